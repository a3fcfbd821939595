//! Printing lengths: the one place where a length is rounded.

use super::{Length, Rational};
use serde::Serialize;

/// The finest inch fraction that a piece prints.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub enum InchStep {
    /// Sixteenths.
    Sixteenth,
    /// Thirty-seconds.
    ThirtySecond,
    /// Sixty-fourths.
    SixtyFourth,
}

/// The system in which a piece is printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub enum Units {
    /// Millimetres to 0.1.
    Mm,
    /// Inches with fractions down to the step.
    Inch(InchStep),
}

/// A proper fraction in lowest terms.
pub type Fraction = (u32, u32);

/// A length as it is printed, in pieces, so that text, HTML and drawings can set it each in their way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Figure {
    /// Whether a minus sign stands before it (never before zero).
    pub negative: bool,
    /// The whole number of millimetres or inches.
    pub whole: u128,
    /// Tenths of a millimetre; `None` in inches.
    pub tenth: Option<u8>,
    /// Hundredths beyond the tenths, where a setting needs them; `None` where there are none to print.
    pub hundredth: Option<u8>,
    /// The inch fraction, if any.
    pub fraction: Option<Fraction>,
    /// Whether the printed figure is the length exactly; otherwise it carries `~`.
    pub exact: bool,
}

impl Units {
    /// The short name of the unit: `mm` or `in`.
    pub fn name(self) -> &'static str {
        match self {
            Units::Mm => "mm",
            Units::Inch(_) => "in",
        }
    }

    /// The finest step that sizes are printed to.
    pub fn step(self) -> Length {
        match self {
            Units::Mm => Length::um(100),
            Units::Inch(InchStep::Sixteenth) => Length::inches(1, 16),
            Units::Inch(InchStep::ThirtySecond) => Length::inches(1, 32),
            Units::Inch(InchStep::SixtyFourth) => Length::inches(1, 64),
        }
    }

    /// The step that breakdown sizes are printed to: 0.5 mm, or 1/16 in.
    pub fn rough_step(self) -> Length {
        match self {
            Units::Mm => Length::um(500),
            Units::Inch(_) => Length::inches(1, 16),
        }
    }

    /// A breakdown size, up to the next coarse step: rounding never takes from the allowance, and
    /// every chapter has the same figure.
    pub fn rough_up(self, length: Length) -> Length {
        let step = self.rough_step();
        let near = length.round_to(step);
        if near < length { near + step } else { near }
    }

    /// The figure for a finished size: nearest step, halves away from zero.
    pub fn figure(self, length: Length) -> Figure {
        self.figure_to(length, self.step())
    }

    /// The figure rounded to `step`.
    pub fn figure_to(self, length: Length, step: Length) -> Figure {
        let rounded = length.round_to(step);
        let exact = rounded == length && !length.is_overflow();
        let size = rounded.abs();
        let (whole, tenth, hundredth, fraction) = match self {
            Units::Mm => {
                let hundredths = (size.as_mm() * Rational::int(100))
                    .round()
                    .unwrap_or(0)
                    .unsigned_abs();
                let (tenth, rest) = (hundredths / 10 % 10, hundredths % 10);
                let rest = (rest > 0).then_some(rest as u8);
                (hundredths / 100, Some(tenth as u8), rest, None)
            }
            Units::Inch(_) => {
                let inches = size.as_inches();
                let whole = inches.floor().unwrap_or(0).unsigned_abs();
                let rest = inches - Rational::new(whole as i128, 1);
                let fraction = (!rest.is_zero() && !rest.is_overflow())
                    .then(|| (rest.numer() as u32, rest.denom() as u32));
                (whole, None, None, fraction)
            }
        };
        Figure {
            negative: rounded.is_negative(),
            whole,
            tenth,
            hundredth,
            fraction,
            exact,
        }
    }

    /// The figure to which a machine is set: as fine as it must be for what is cut to add up.
    ///
    /// In millimetres to 0.05, which dials and feelers read (common practice), the second decimal
    /// only where it is a five. In inches to the piece's step where that is exact, otherwise to 1/64.
    pub fn setting(self, length: Length) -> Figure {
        let step = match self {
            Units::Mm => Length::um(50),
            Units::Inch(_) if length.round_to(self.step()) == length => self.step(),
            Units::Inch(_) => Length::inches(1, 64),
        };
        self.figure_to(length, step)
    }

    /// Plain text with its unit, for messages: `829.6 mm`, `16 1/2 in`, `~21/64 in`.
    pub fn text(self, length: Length) -> String {
        format!("{} {}", self.figure(length).plain(), self.name())
    }

    /// Two lengths that differ, and how much the first is more, with as many decimals as it takes to
    /// tell them apart where the printed step does not.
    ///
    /// ```
    /// use casewright::measure::{Length, Units};
    /// let third = Length::mm(628) / 3;
    /// let apart = Units::Mm.apart(third, third + Length::um(10));
    /// assert_eq!(apart, ["209.333 mm", "209.343 mm", "-0.01 mm"]);
    /// ```
    pub fn apart(self, a: Length, b: Length) -> [String; 3] {
        let plain = [a, b, a - b].map(|length| self.text(length));
        if plain[0] != plain[1] || a == b {
            return plain;
        }
        let value = |length: Length| match self {
            Units::Mm => length.as_mm(),
            Units::Inch(_) => length.as_inches(),
        };
        let tell = |digits: u32| {
            let of = |length| decimals(value(length), digits);
            let said = [of(a), of(b), of(a - b)];
            (said[0] != said[1] && !said[2].trim_matches(['-', '0', '.']).is_empty())
                .then_some(said)
        };
        // One digit more than tells them apart, so that the difference is no rounding.
        let digits = (1..=FINEST).find(|digits| tell(*digits).is_some());
        let said = digits.and_then(|digits| tell((digits + 1).min(FINEST)));
        let said = said.unwrap_or_else(|| [a, b, a - b].map(|length| value(length).to_string()));
        said.map(|figure| format!("{figure} {}", self.name()))
    }
}

/// The most decimals of a figure; what differs by less is told as a fraction.
const FINEST: u32 = 9;

/// A number with at most so many decimals, rounded; without zeros at its end.
fn decimals(value: Rational, digits: u32) -> String {
    let scale = 10_i128.pow(digits);
    let Some(scaled) = (value * Rational::new(scale, 1)).round() else {
        return value.to_string();
    };
    let (whole, rest) = (scaled.abs() / scale, scaled.abs() % scale);
    let sign = if scaled < 0 { "-" } else { "" };
    let text = format!("{sign}{whole}.{rest:0width$}", width = digits as usize);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

impl Figure {
    /// Plain text without a unit; a decimal of `.0` is dropped: `452`, `17.6`, `16 1/2`, `~11/16`.
    pub fn plain(&self) -> String {
        self.set(false)
    }

    /// Plain text that keeps the decimal, for columns of figures: `452.0`.
    pub fn column(&self) -> String {
        self.set(true)
    }

    fn set(&self, keep_zero: bool) -> String {
        let mut out = String::new();
        if !self.exact {
            out.push('~');
        }
        if self.negative {
            out.push('\u{2212}');
        }
        match (self.tenth, self.fraction) {
            (Some(tenth), _) if self.hundredth.is_some() => {
                out.push_str(&format!(
                    "{}.{tenth}{}",
                    self.whole,
                    self.hundredth.unwrap_or(0)
                ));
            }
            (Some(0), _) if !keep_zero => out.push_str(&self.whole.to_string()),
            (Some(tenth), _) => out.push_str(&format!("{}.{tenth}", self.whole)),
            (None, Some((n, d))) if self.whole == 0 => out.push_str(&format!("{n}/{d}")),
            (None, Some((n, d))) => out.push_str(&format!("{} {n}/{d}", self.whole)),
            (None, None) => out.push_str(&self.whole.to_string()),
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inch(step: InchStep, mm: i64) -> String {
        Units::Inch(step).figure(Length::mm(mm)).plain()
    }

    /// Worked from 1 in = 25.4 mm: 18 mm = 0.70866 in, 12 mm = 0.47244 in, 25 mm = 0.98425 in,
    /// 6 mm = 0.23622 in.
    #[test]
    fn nearest_fractions() {
        use InchStep::{Sixteenth, SixtyFourth, ThirtySecond};
        assert_eq!(
            [
                inch(Sixteenth, 18),
                inch(ThirtySecond, 18),
                inch(SixtyFourth, 18)
            ],
            ["~11/16", "~23/32", "~45/64"]
        );
        assert_eq!(
            [
                inch(Sixteenth, 12),
                inch(ThirtySecond, 12),
                inch(SixtyFourth, 12)
            ],
            ["~1/2", "~15/32", "~15/32"]
        );
        assert_eq!(
            [
                inch(Sixteenth, 25),
                inch(ThirtySecond, 25),
                inch(SixtyFourth, 25)
            ],
            ["~1", "~31/32", "~63/64"]
        );
        assert_eq!(
            [
                inch(Sixteenth, 6),
                inch(ThirtySecond, 6),
                inch(SixtyFourth, 6)
            ],
            ["~1/4", "~1/4", "~15/64"]
        );
    }

    /// (17.6 - 4.1) / 2 = 6.75, so that 6.75 + 4.1 + 6.75 = 17.6; 6.725 is 134.5 steps of 0.05. In
    /// sixteenths 3/64 in is not exact, and 64ths print it.
    #[test]
    fn a_setting_is_as_fine_as_it_must_be() {
        let set = |um| Units::Mm.setting(Length::um(um)).column();
        assert_eq!(
            [set(6750), set(6700), set(12_000), set(6725)],
            ["6.75", "6.7", "12.0", "~6.75"]
        );
        let inch = Units::Inch(InchStep::Sixteenth);
        assert_eq!(inch.setting(Length::inches(3, 64)).plain(), "3/64");
        assert_eq!(inch.setting(Length::inches(1, 2)).plain(), "1/2");
    }

    #[test]
    fn metric_rounds_once_and_says_so() {
        let third = Units::Mm.figure(Length::mm(829) / 3);
        assert_eq!((third.plain(), third.exact), ("~276.3".into(), false));
        assert_eq!(Units::Mm.figure(Length::mm(452)).column(), "452.0");
        assert_eq!(Units::Mm.figure(-Length::um(40)).plain(), "~0");
        assert_eq!(
            Units::Inch(InchStep::SixtyFourth).text(Length::inches(33, 2)),
            "16 1/2 in"
        );
    }
}
