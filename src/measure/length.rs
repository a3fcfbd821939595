//! Exact lengths.

use super::Rational;
use serde::ser::{Serialize, SerializeStruct, Serializer};
use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

/// An exact length, kept as a rational number of nanometres.
///
/// Every 1/64 inch (396,875 nm) and every 0.000001 mm is whole in nanometres, so arithmetic is
/// mostly on integers; thirds and sevenths stay exact fractions. Like [`Rational`], a result that
/// does not fit is [`Length::OVERFLOW`] and stays so.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Length(Nm);

/// Wraps the rational so that `Default` is zero.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
struct Nm(Rational);

impl Default for Nm {
    fn default() -> Nm {
        Nm(Rational::ZERO)
    }
}

const NM_PER_MM: i64 = 1_000_000;

impl Length {
    /// No length.
    pub const ZERO: Length = Length(Nm(Rational::ZERO));
    /// Stands for a result that does not fit.
    pub const OVERFLOW: Length = Length(Nm(Rational::OVERFLOW));

    /// Whole millimetres.
    pub fn mm(value: i64) -> Length {
        Length::from_mm(Rational::int(value))
    }

    /// Whole micrometres (thousandths of a millimetre).
    pub fn um(value: i64) -> Length {
        Length(Nm(Rational::int(value) * Rational::int(1000)))
    }

    /// `num / den` inches; 1 in = 25.4 mm exactly (international yard and pound agreement, 1959).
    pub fn inches(num: i64, den: i64) -> Length {
        Length(Nm(Rational::new(
            i128::from(num) * 25_400_000,
            i128::from(den),
        )))
    }

    /// From a rational number of millimetres.
    pub fn from_mm(value: Rational) -> Length {
        Length(Nm(value * Rational::int(NM_PER_MM)))
    }

    /// From a rational number of nanometres.
    pub fn from_nm(value: Rational) -> Length {
        Length(Nm(value))
    }

    /// The exact number of millimetres.
    pub fn as_mm(self) -> Rational {
        self.0.0 / Rational::int(NM_PER_MM)
    }

    /// The exact number of nanometres.
    pub fn as_nm(self) -> Rational {
        self.0.0
    }

    /// The exact number of inches.
    pub fn as_inches(self) -> Rational {
        self.0.0 / Rational::int(25_400_000)
    }

    /// Nearest whole nanometre, half away from zero, for drawings and layouts.
    ///
    /// Values beyond ±9.2 million km saturate; the frozen model holds none.
    pub fn to_nm(self) -> i64 {
        let nm = self.0.0.round().unwrap_or(0);
        i64::try_from(nm).unwrap_or(if nm < 0 { i64::MIN } else { i64::MAX })
    }

    /// Millimetres as a float, for drawings and physics only.
    pub fn to_f64_mm(self) -> f64 {
        self.0.0.to_f64() / NM_PER_MM as f64
    }

    /// Whether this stands for a result that did not fit.
    pub fn is_overflow(self) -> bool {
        self.0.0.is_overflow()
    }

    /// Whether this is exactly zero.
    pub fn is_zero(self) -> bool {
        self.0.0.is_zero()
    }

    /// Whether this is above zero.
    pub fn is_positive(self) -> bool {
        self > Length::ZERO
    }

    /// Whether this is below zero.
    pub fn is_negative(self) -> bool {
        self.0.0.is_negative()
    }

    /// Half of it.
    pub fn half(self) -> Length {
        self / 2
    }

    /// The absolute value.
    pub fn abs(self) -> Length {
        Length(Nm(self.0.0.abs()))
    }

    /// Scaled by an exact factor.
    pub fn scale(self, factor: Rational) -> Length {
        Length(Nm(self.0.0 * factor))
    }

    /// This length as a multiple of `other` ([`Rational::OVERFLOW`] if `other` is zero).
    pub fn ratio(self, other: Length) -> Rational {
        self.0.0 / other.0.0
    }

    /// Rounded to the nearest multiple of `step` (above zero), halves away from zero.
    pub fn round_to(self, step: Length) -> Length {
        match self.ratio(step).round().and_then(|n| i64::try_from(n).ok()) {
            Some(n) => step * n,
            None => Length::OVERFLOW,
        }
    }
}

impl Add for Length {
    type Output = Length;
    fn add(self, other: Length) -> Length {
        Length(Nm(self.0.0 + other.0.0))
    }
}

impl Sub for Length {
    type Output = Length;
    fn sub(self, other: Length) -> Length {
        Length(Nm(self.0.0 - other.0.0))
    }
}

impl AddAssign for Length {
    fn add_assign(&mut self, other: Length) {
        *self = *self + other;
    }
}

impl SubAssign for Length {
    fn sub_assign(&mut self, other: Length) {
        *self = *self - other;
    }
}

impl Mul<i64> for Length {
    type Output = Length;
    fn mul(self, by: i64) -> Length {
        Length(Nm(self.0.0 * Rational::int(by)))
    }
}

impl Div<i64> for Length {
    type Output = Length;
    fn div(self, by: i64) -> Length {
        Length(Nm(self.0.0 / Rational::int(by)))
    }
}

impl Neg for Length {
    type Output = Length;
    fn neg(self) -> Length {
        Length(Nm(-self.0.0))
    }
}

impl Sum for Length {
    fn sum<I: Iterator<Item = Length>>(iter: I) -> Length {
        iter.fold(Length::ZERO, Add::add)
    }
}

impl fmt::Display for Length {
    /// Exact millimetres: `829.6mm`, `829 + 8/15` as `12448/15mm`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}mm", self.as_mm())
    }
}

impl fmt::Debug for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl Serialize for Length {
    /// `{"exact": "829.6mm", "mm": 829.6}`.
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut out = serializer.serialize_struct("Length", 2)?;
        out.serialize_field("exact", &self.to_string())?;
        out.serialize_field("mm", &self.to_f64_mm())?;
        out.end()
    }
}

impl schemars::JsonSchema for Length {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Length".into()
    }

    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({
            "description": "An exact length: its text, exact, and the nearest decimal number of millimetres.",
            "type": "object",
            "properties": { "exact": { "type": "string" }, "mm": { "type": "number" } },
            "required": ["exact", "mm"],
            "additionalProperties": false
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Exact by definition: 1 in = 25.4 mm, so 1/64 in = 0.396875 mm.
    #[test]
    fn inch_fractions_are_exact() {
        assert_eq!(Length::inches(1, 64).to_string(), "0.396875mm");
        assert_eq!(
            Length::inches(3, 4) + Length::inches(1, 4),
            Length::from_mm(Rational::new(254, 10))
        );
        assert_eq!(Length::mm(829) / 3 * 3, Length::mm(829));
    }

    #[test]
    fn overflow_stays() {
        let far = Length::from_mm(Rational::new(i128::MAX / 2, 1));
        assert!(far.is_overflow());
        assert!((far + Length::mm(1)).is_overflow());
    }
}
