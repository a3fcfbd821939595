//! Exact rational numbers on `i128` that carry overflow as a value.

use num_rational::Ratio;
use std::cmp::Ordering;
use std::fmt;
use std::ops::{Add, Div, Mul, Neg, Sub};

/// An exact rational number.
///
/// Arithmetic never wraps and never panics: where a result does not fit, and where something is
/// divided by zero, the result is [`Rational::OVERFLOW`], which every further operation keeps.
/// The stage that combines what a maker wrote looks for it and reports it (`value.overflow`), so no
/// later stage ever holds one.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub struct Rational {
    /// Reduced; the sign is here.
    num: i128,
    /// Above zero, or zero for the overflow value alone.
    den: i128,
}

impl Rational {
    /// Nothing.
    pub const ZERO: Rational = Rational { num: 0, den: 1 };
    /// One.
    pub const ONE: Rational = Rational { num: 1, den: 1 };
    /// The value that stands for a result that does not fit.
    pub const OVERFLOW: Rational = Rational { num: 0, den: 0 };

    /// A whole number.
    pub const fn int(value: i64) -> Rational {
        Rational {
            num: value as i128,
            den: 1,
        }
    }

    /// `num / den`, reduced. A zero denominator gives [`Rational::OVERFLOW`].
    pub fn new(num: i128, den: i128) -> Rational {
        if den == 0 || num == i128::MIN || den == i128::MIN {
            return Rational::OVERFLOW;
        }
        // Whole machine words reduce many times faster than i128, and nearly all are.
        match (i64::try_from(num), i64::try_from(den)) {
            (Ok(num), Ok(den)) if num != i64::MIN && den != i64::MIN => {
                let (num, den) = Ratio::new(num, den).into();
                Rational {
                    num: num.into(),
                    den: den.into(),
                }
            }
            _ => Rational::from_ratio(Ratio::new(num, den)),
        }
    }

    fn from_ratio(ratio: Ratio<i128>) -> Rational {
        let (num, den) = ratio.into();
        Rational { num, den }
    }

    fn ratio(self) -> Ratio<i128> {
        Ratio::new_raw(self.num, self.den)
    }

    fn combine(
        self,
        other: Rational,
        whole: impl Fn(i128, i128) -> Option<i128>,
        words: impl Fn([i128; 2], [i128; 2]) -> [i128; 2],
        general: impl Fn(&Ratio<i128>, &Ratio<i128>) -> Option<Ratio<i128>>,
    ) -> Rational {
        if self.is_overflow() || other.is_overflow() {
            return Rational::OVERFLOW;
        }
        // Nearly every length is a whole number of nanometres: no reduction is needed there.
        let sum = if self.den == 1 && other.den == 1 {
            whole(self.num, other.num).map(|num| Rational { num, den: 1 })
        } else if let (Some(a), Some(b)) = (self.words(), other.words()) {
            let [num, den] = words(a, b);
            Some(Rational::new(num, den))
        } else {
            general(&self.ratio(), &other.ratio()).map(Rational::from_ratio)
        };
        sum.unwrap_or(Rational::OVERFLOW)
    }

    /// Numerator and denominator if both are below 2⁶² in size: sums of their products fit, and are
    /// reduced once instead of at every step.
    fn words(self) -> Option<[i128; 2]> {
        const LIMIT: i128 = 1 << 62;
        let fits = -LIMIT < self.num && self.num < LIMIT && self.den < LIMIT;
        fits.then_some([self.num, self.den])
    }

    /// Whether this stands for a result that did not fit.
    pub const fn is_overflow(self) -> bool {
        self.den == 0
    }

    /// Whether this is exactly zero.
    pub const fn is_zero(self) -> bool {
        self.num == 0 && self.den != 0
    }

    /// Whether this is below zero.
    pub const fn is_negative(self) -> bool {
        self.num < 0
    }

    /// Whether this is a whole number.
    pub const fn is_integer(self) -> bool {
        self.den == 1
    }

    /// The numerator of the reduced fraction, with its sign.
    pub const fn numer(self) -> i128 {
        self.num
    }

    /// The denominator of the reduced fraction, above zero (zero for the overflow value).
    pub const fn denom(self) -> i128 {
        self.den
    }

    /// The absolute value.
    pub fn abs(self) -> Rational {
        if self.num < 0 { -self } else { self }
    }

    /// The nearest whole number; halves go away from zero. `None` for the overflow value.
    pub fn round(self) -> Option<i128> {
        if self.is_overflow() {
            return None;
        }
        Some(self.ratio().round().to_integer())
    }

    /// The least whole number that is not below this one. `None` for the overflow value.
    pub fn ceil(self) -> Option<i128> {
        (!self.is_overflow()).then(|| -((-self.num).div_euclid(self.den)))
    }

    /// The greatest whole number that is not above this one. `None` for the overflow value.
    pub fn floor(self) -> Option<i128> {
        (!self.is_overflow()).then(|| self.num.div_euclid(self.den))
    }

    /// As a float, for drawings and physics. The overflow value gives NaN.
    pub fn to_f64(self) -> f64 {
        if self.is_overflow() {
            f64::NAN
        } else {
            self.num as f64 / self.den as f64
        }
    }

    /// Reads a decimal such as `17.6` exactly. `None` if it is not one or does not fit.
    pub fn parse_decimal(text: &str) -> Option<Rational> {
        let (whole, part) = text.split_once('.').unwrap_or((text, ""));
        if whole.is_empty() || !format!("{whole}{part}").bytes().all(|b| b.is_ascii_digit()) {
            return None;
        }
        let den = 10i128.checked_pow(u32::try_from(part.len()).ok()?)?;
        let num = format!("{whole}{part}").parse::<i128>().ok()?;
        Some(Rational::new(num, den))
    }
}

impl Default for Rational {
    /// Zero.
    fn default() -> Rational {
        Rational::ZERO
    }
}

impl Add for Rational {
    type Output = Rational;
    fn add(self, other: Rational) -> Rational {
        self.combine(
            other,
            i128::checked_add,
            |[a, b], [c, d]| [a * d + c * b, b * d],
            num_traits::CheckedAdd::checked_add,
        )
    }
}

impl Sub for Rational {
    type Output = Rational;
    fn sub(self, other: Rational) -> Rational {
        self.combine(
            other,
            i128::checked_sub,
            |[a, b], [c, d]| [a * d - c * b, b * d],
            num_traits::CheckedSub::checked_sub,
        )
    }
}

impl Mul for Rational {
    type Output = Rational;
    fn mul(self, other: Rational) -> Rational {
        self.combine(
            other,
            i128::checked_mul,
            |[a, b], [c, d]| [a * c, b * d],
            num_traits::CheckedMul::checked_mul,
        )
    }
}

impl Div for Rational {
    type Output = Rational;
    fn div(self, other: Rational) -> Rational {
        if other.is_zero() || self.is_overflow() || other.is_overflow() {
            return Rational::OVERFLOW;
        }
        if self.den == 1 && other.den == 1 {
            return Rational::new(self.num, other.num);
        }
        num_traits::CheckedDiv::checked_div(&self.ratio(), &other.ratio())
            .map_or(Rational::OVERFLOW, Rational::from_ratio)
    }
}

impl Neg for Rational {
    type Output = Rational;
    fn neg(self) -> Rational {
        Rational::ZERO - self
    }
}

impl PartialOrd for Rational {
    fn partial_cmp(&self, other: &Rational) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Rational {
    fn cmp(&self, other: &Rational) -> Ordering {
        match (self.is_overflow(), other.is_overflow()) {
            (true, true) => Ordering::Equal,
            (true, false) => Ordering::Less, // total order; an overflow never decides a size
            (false, true) => Ordering::Greater,
            (false, false) if self.den == other.den => self.num.cmp(&other.num),
            (false, false) => match (self.words(), other.words()) {
                (Some([a, b]), Some([c, d])) => (a * d).cmp(&(c * b)),
                _ => self.ratio().cmp(&other.ratio()),
            },
        }
    }
}

impl fmt::Display for Rational {
    /// A whole number, a finite decimal where there is one, else a fraction: `18`, `17.6`, `1/3`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.is_overflow() {
            return f.write_str("overflow");
        }
        if self.den == 1 {
            return write!(f, "{}", self.num);
        }
        let (mut rest, mut digits) = (self.den, 0usize);
        for prime in [2, 5] {
            let mut count = 0;
            while rest % prime == 0 {
                rest /= prime;
                count += 1;
            }
            digits = digits.max(count);
        }
        let scaled = u32::try_from(digits)
            .ok()
            .and_then(|d| 10i128.checked_pow(d))
            .and_then(|p| p.checked_mul(self.num.abs()));
        match scaled {
            Some(scaled) if rest == 1 && digits <= 12 => {
                let text = format!("{:0>width$}", scaled / self.den, width = digits + 1);
                let (whole, part) = text.split_at(text.len() - digits);
                write!(f, "{}{whole}.{part}", if self.num < 0 { "-" } else { "" })
            }
            _ => write!(f, "{}/{}", self.num, self.den),
        }
    }
}

impl fmt::Debug for Rational {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn overflow_and_division_by_zero_are_values() {
        let big = Rational::new(i128::MAX, 1);
        assert!((big + Rational::ONE).is_overflow());
        assert!((Rational::ONE / Rational::ZERO).is_overflow());
        assert!((Rational::OVERFLOW - Rational::OVERFLOW).is_overflow());
        assert!(Rational::new(1, 0).is_overflow());
    }

    #[test]
    fn thirds_come_back_whole() {
        let third = Rational::int(1) / Rational::int(3);
        assert_eq!(third * Rational::int(3), Rational::ONE);
        assert_eq!(
            format!(
                "{} {} {}",
                third,
                Rational::new(176, 10),
                Rational::new(-1, 8)
            ),
            "1/3 17.6 -0.125"
        );
    }

    #[test]
    fn rounding_goes_away_from_zero_and_ceil_floor_hold() {
        assert_eq!(Rational::new(-5, 2).round(), Some(-3));
        assert_eq!(Rational::new(-5, 2).ceil(), Some(-2));
        assert_eq!(Rational::new(-5, 2).floor(), Some(-3));
        assert_eq!(Rational::parse_decimal("17.60"), Some(Rational::new(88, 5)));
        assert_eq!(Rational::parse_decimal("1.2.3"), None);
    }
}
