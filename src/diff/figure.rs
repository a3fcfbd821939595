//! A figure then and now, and the difference, exact until it is printed.

use crate::measure::{Length, Rational, Units};
use crate::model::Value;
use schemars::JsonSchema;
use serde::{Serialize, Serializer};

/// A figure.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Figure {
    /// A length.
    Length(Length),
    /// A number as it prints.
    Number {
        /// Exact.
        #[serde(serialize_with = "exact")]
        #[schemars(with = "String")]
        value: Rational,
        /// In print; empty for a count.
        unit: String,
        /// Decimals in print.
        places: u8,
    },
    /// Words.
    Words(String),
}

/// How finely a length is printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Precision {
    /// As in the cut list.
    Size,
    /// As a machine is set.
    Setting,
}

impl Precision {
    /// A length as it prints.
    pub fn figure(self, units: Units, length: Length) -> crate::measure::Figure {
        match self {
            Precision::Size => units.figure(length),
            Precision::Setting => units.setting(length),
        }
    }
}

fn exact<S: Serializer>(value: &Rational, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_str(value)
}

/// The minus of print.
const MINUS: &str = "\u{2212}";

impl Figure {
    /// A count.
    pub fn count(n: impl Into<i64>) -> Figure {
        Figure::number(Rational::int(n.into()), "", 0)
    }

    /// A number, rounded to what prints, so that what prints alike is alike.
    pub fn number(value: Rational, unit: &str, places: u8) -> Figure {
        let scale = 10i128.pow(u32::from(places.min(9)));
        let whole = (value * Rational::new(scale, 1)).round();
        Figure::Number {
            value: whole.map_or(Rational::OVERFLOW, |n| Rational::new(n, scale)),
            unit: unit.to_owned(),
            places,
        }
    }

    /// A figure of a check, rounded there already.
    pub fn of_value(value: &Value) -> Figure {
        match value {
            Value::Length(length) => Figure::Length(*length),
            Value::Number(n, unit) => {
                let text = format!("{n}");
                let places = text.split_once('.').map_or(0, |(_, after)| after.len());
                let value = Rational::parse_decimal(text.trim_start_matches('-'));
                let value = value.unwrap_or(Rational::OVERFLOW);
                Figure::Number {
                    value: if *n < 0.0 { -value } else { value },
                    unit: unit.clone(),
                    places: places.min(9) as u8,
                }
            }
        }
    }

    /// The other taken off; `None` where that means nothing.
    pub fn less(&self, other: &Figure) -> Option<Figure> {
        match (self, other) {
            (Figure::Length(a), Figure::Length(b)) => Some(Figure::Length(*a - *b)),
            (
                Figure::Number {
                    value: a,
                    unit,
                    places,
                },
                Figure::Number {
                    value: b,
                    unit: other,
                    places: more,
                },
            ) if unit == other => Some(Figure::Number {
                value: *a - *b,
                unit: unit.clone(),
                places: (*places).max(*more),
            }),
            _ => None,
        }
    }

    /// Without its unit: `829.6`, `16 1/2`, `~276.3`, `0.0781`.
    pub fn plain(&self, units: Units, precision: Precision) -> String {
        match self {
            Figure::Length(length) => precision.figure(units, *length).plain(),
            Figure::Number { value, places, .. } => decimals(*value, *places),
            Figure::Words(words) => words.clone(),
        }
    }

    /// Its unit in print; empty where it has none.
    pub fn unit(&self, units: Units) -> &str {
        match self {
            Figure::Length(_) => units.name(),
            Figure::Number { unit, .. } => unit,
            Figure::Words(_) => "",
        }
    }

    /// With its unit.
    pub fn text(&self, units: Units) -> String {
        let unit = self.unit(units);
        let space = if unit.is_empty() { "" } else { " " };
        format!("{}{space}{unit}", self.plain(units, Precision::Size))
    }

    /// With its sign and without its unit: `+0.2`, `−1.5`.
    pub fn signed(&self, units: Units, precision: Precision) -> String {
        let (negative, size) = match self {
            Figure::Length(length) => (length.is_negative(), Figure::Length(length.abs())),
            Figure::Number {
                value,
                unit,
                places,
            } => (
                value.is_negative(),
                Figure::Number {
                    value: value.abs(),
                    unit: unit.clone(),
                    places: *places,
                },
            ),
            Figure::Words(words) => return words.clone(),
        };
        let sign = if negative { MINUS } else { "+" };
        let plain = size.plain(units, precision);
        match plain.strip_prefix('~') {
            Some(size) => format!("~{sign}{size}"),
            None => format!("{sign}{plain}"),
        }
    }
}

fn decimals(value: Rational, places: u8) -> String {
    let scale = 10i128.pow(u32::from(places.min(9)));
    let Some(n) = (value * Rational::new(scale, 1)).round() else {
        return "too large".into();
    };
    let sign = if n < 0 { MINUS } else { "" };
    let (n, scale) = (n.unsigned_abs(), scale.unsigned_abs());
    if places == 0 {
        return format!("{sign}{n}");
    }
    let width = usize::from(places);
    format!("{sign}{}.{:0width$}", n / scale, n % scale)
}

/// From one figure to another.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Step {
    /// Then; `None` where it was not there.
    pub old: Option<Figure>,
    /// Now; `None` where it is no longer there.
    pub new: Option<Figure>,
    /// The difference, where that means something.
    pub by: Option<Figure>,
}

impl Step {
    /// A step, whether or not the two differ.
    pub fn new(old: Option<Figure>, new: Option<Figure>) -> Step {
        let by = match (&old, &new) {
            (Some(old), Some(new)) => new.less(old),
            _ => None,
        };
        Step { old, new, by }
    }

    /// A step, if the two differ.
    pub fn between(old: Option<Figure>, new: Option<Figure>) -> Option<Step> {
        (old != new).then(|| Step::new(old, new))
    }

    /// Two lengths, if they differ.
    pub fn lengths(old: Length, new: Length) -> Option<Step> {
        Step::between(Some(Figure::Length(old)), Some(Figure::Length(new)))
    }

    /// Two counts, if they differ.
    pub fn counts(old: impl Into<i64>, new: impl Into<i64>) -> Option<Step> {
        Step::between(Some(Figure::count(old)), Some(Figure::count(new)))
    }

    /// Words, if they differ.
    pub fn words(old: &str, new: &str) -> Option<Step> {
        Step::between(
            Some(Figure::Words(old.to_owned())),
            Some(Figure::Words(new.to_owned())),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_print_with_sign_and_unit() {
        let mm = Units::Mm;
        let step = Step::lengths(Length::um(17_600), Length::um(17_400)).expect("they differ");
        assert_eq!(
            step.by
                .as_ref()
                .map(|f| f.signed(mm, Precision::Size))
                .as_deref(),
            Some("\u{2212}0.2")
        );
        let money = Figure::number(Rational::new(120_450, 100), "EUR", 2);
        assert_eq!(money.text(mm), "1204.50 EUR");
        assert_eq!(
            Figure::number(Rational::new(1, 3), "m³", 4).plain(mm, Precision::Size),
            "0.3333"
        );
        assert_eq!(
            Figure::of_value(&Value::Number(-1.25, "kg".into())).text(mm),
            "\u{2212}1.25 kg"
        );
        assert_eq!(Figure::count(3).less(&Figure::Words("x".into())), None);
    }
}
