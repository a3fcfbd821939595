//! Numbers: exact values of what is written, and why one cannot be had.

use crate::diag::{Diagnostic, Edit, code, nearest, surely};
use crate::measure::{Quantity, Rational, UNITS, Unit};
use crate::source::Span;

/// The value of a bare number such as `17.6`.
pub(super) fn number(text: &str, span: Span) -> Result<Rational, Diagnostic> {
    decimal(text).ok_or_else(|| too_large(text, span))
}

/// The value of a number with its unit: `18mm`, `16 1/2in`, `5ft 3 1/2in`, `9%`.
pub(super) fn measure(text: &str, span: Span) -> Result<Quantity, Diagnostic> {
    if let Some((feet, inches)) = text.split_once("ft ") {
        let feet = simple(feet, "ft", span)?;
        let inches = simple(inches.trim_end_matches("in"), "in", span)?;
        let sum = Quantity {
            value: feet.value + inches.value,
            ..feet
        };
        return if sum.value.is_overflow() {
            Err(too_large(text, span))
        } else {
            Ok(sum)
        };
    }
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '/' | ' ')))
        .unwrap_or(text.len());
    let (amount, unit) = text.split_at(end);
    simple(amount, unit, span)
}

/// One amount with one unit.
fn simple(amount: &str, unit: &str, span: Span) -> Result<Quantity, Diagnostic> {
    let Some(known) = Unit::find(unit) else {
        let start = span.end - unit.len() as u32;
        return Err(unknown_unit(amount, unit, Span { start, ..span }));
    };
    let (whole, fraction) = match amount.split_once(' ') {
        Some((whole, fraction)) => (decimal(whole), fraction),
        None => (Some(Rational::ZERO), amount),
    };
    let rest = match fraction.split_once('/') {
        Some((_, below)) if below.bytes().all(|b| b == b'0') => return Err(divided_by_zero(span)),
        Some((above, below)) => decimal(above)
            .zip(decimal(below))
            .map(|(above, below)| above / below),
        None => decimal(fraction),
    };
    let quantity = whole.zip(rest).map(|(whole, rest)| known.of(whole + rest));
    quantity
        .filter(|quantity| !quantity.value.is_overflow())
        .ok_or_else(|| too_large(amount, span))
}

fn decimal(text: &str) -> Option<Rational> {
    // Nearly every number is short and whole.
    if text.len() <= 18
        && let Ok(number) = text.parse::<i64>()
    {
        return Some(Rational::int(number));
    }
    Rational::parse_decimal(text).filter(|number| !number.is_overflow())
}

fn divided_by_zero(span: Span) -> Diagnostic {
    Diagnostic::new(
        &code::VALUE_DIVIDE_ZERO,
        "a fraction has zero below its line",
        span,
        "divides by zero",
    )
    .help("write the number below the line, as in `3/4in`")
}

fn too_large(text: &str, span: Span) -> Diagnostic {
    let digits = text.bytes().filter(u8::is_ascii_digit).count();
    Diagnostic::new(
        &code::VALUE_OVERFLOW,
        "a number is too large or too fine to be held exactly",
        span,
        format!("has {digits} digits"),
    )
    .note("numbers are kept as exact fractions of up to 38 digits")
    .help("write fewer digits")
}

/// What makers write for a unit that is here under another name.
const OTHER_NAMES: &[(&str, &str)] = &[
    ("inch", "in"),
    ("inches", "in"),
    ("ins", "in"),
    ("foot", "ft"),
    ("feet", "ft"),
    ("metre", "m"),
    ("metres", "m"),
    ("meter", "m"),
    ("meters", "m"),
    ("millimetre", "mm"),
    ("millimetres", "mm"),
    ("millimeter", "mm"),
    ("millimeters", "mm"),
    ("litre", "L"),
    ("litres", "L"),
    ("liter", "L"),
    ("liters", "L"),
    ("lbs", "lb"),
    ("pounds", "lb"),
    ("kilos", "kg"),
    ("hr", "h"),
    ("hrs", "h"),
    ("hour", "h"),
    ("hours", "h"),
    ("mins", "min"),
    ("minutes", "min"),
    ("sec", "s"),
    ("secs", "s"),
    ("day", "d"),
    ("days", "d"),
    ("°", "deg"),
    ("degrees", "deg"),
    ("°C", "degC"),
    ("C", "degC"),
    ("sqm", "m2"),
    ("sqft", "ft2"),
    ("cuft", "ft3"),
    ("bf", "bdft"),
    ("percent", "%"),
];

fn unknown_unit(amount: &str, unit: &str, at: Span) -> Diagnostic {
    let report = Diagnostic::new(
        &code::VALUE_UNIT,
        format!("`{unit}` is not a unit"),
        at,
        "no such unit",
    );
    if let Some(pair) = pair_of_sizes(amount, unit) {
        let number = Span {
            start: at.start.saturating_sub(amount.len() as u32),
            ..at
        };
        return report
            .help(format!("give each size its word: `{pair}`"))
            .might_mend(number, pair);
    }
    if unit.starts_with(['e', 'E'])
        && unit
            .get(1..)
            .is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()))
    {
        return report.help("write the number out; powers of ten are not read");
    }
    let other = OTHER_NAMES
        .iter()
        .find(|(name, _)| name.eq_ignore_ascii_case(unit))
        .map(|(_, symbol)| *symbol);
    let close = || {
        UNITS
            .iter()
            .find(|u| u.symbol.eq_ignore_ascii_case(unit))
            .map(|u| u.symbol)
    };
    if let Some(symbol) = other
        .or_else(close)
        .or_else(|| nearest(unit, UNITS.iter().map(|u| u.symbol)))
    {
        let known = || UNITS.iter().map(|u| u.symbol);
        let certain = other.is_some() || close().is_some() || surely(unit, known()) == Some(symbol);
        return report
            .help(format!("write `{amount}{symbol}`"))
            .mends([Edit::new(at, symbol)], certain);
    }
    report
        .help("the units of length are `mm`, `cm`, `m`, `in` and `ft`")
        .help("a name cannot start with a digit; a number and a word have a blank between them")
}

/// `2400x1200mm` is meant as two sizes.
fn pair_of_sizes(amount: &str, unit: &str) -> Option<String> {
    let rest = unit.strip_prefix(['x', 'X', '×'])?;
    let end = rest.find(|c: char| !c.is_ascii_digit())?;
    let (second, symbol) = rest.split_at(end);
    let symbol = Unit::find(symbol)?.symbol;
    (!second.is_empty()).then(|| format!("long {amount}{symbol} wide {second}{symbol}"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::FileId;

    fn read(text: &str) -> Result<String, String> {
        let span = Span {
            file: FileId(0),
            start: 0,
            end: text.len() as u32,
        };
        measure(text, span)
            .map(|q| q.value.to_string())
            .map_err(|d| format!("{}: {}", d.code.name, d.help.join("; ")))
    }

    /// 1 in = 25.4 mm: 16.5 in = 419.1 mm; 5 ft 3.5 in = 63.5 in = 1612.9 mm.
    #[test]
    fn literals_are_exact() {
        for (text, mm) in [
            ("18mm", "18"),
            ("17.60mm", "17.6"),
            ("2.4m", "2400"),
            ("3/4in", "19.05"),
            ("16 1/2in", "419.1"),
            ("5ft", "1524"),
            ("5ft 3 1/2in", "1612.9"),
            ("5ft 1/2in", "1536.7"),
            ("1/3in", "127/15"),
            ("9%", "0.09"),
        ] {
            assert_eq!(read(text).as_deref(), Ok(mm), "{text}");
        }
    }

    #[test]
    fn faults_of_numbers_name_the_cure() {
        for (text, report) in [
            (
                "1/0in",
                "value.divide_zero: write the number below the line, as in `3/4in`",
            ),
            (
                "1/00in",
                "value.divide_zero: write the number below the line, as in `3/4in`",
            ),
            (
                "2400x1200mm",
                "value.unit: give each size its word: `long 2400mm wide 1200mm`",
            ),
            ("18MM", "value.unit: write `18mm`"),
            ("3inches", "value.unit: write `3in`"),
            ("90°", "value.unit: write `90deg`"),
            ("18mmm", "value.unit: write `18mm`"),
            (
                "1e3mm",
                "value.unit: write the number out; powers of ten are not read",
            ),
        ] {
            assert_eq!(read(text), Err(report.to_string()), "{text}");
        }
        let huge = format!("{}mm", "9".repeat(60));
        assert_eq!(
            read(&huge),
            Err("value.overflow: write fewer digits".to_string())
        );
        let fine = format!("0.{}1mm", "0".repeat(60));
        assert_eq!(
            read(&fine),
            Err("value.overflow: write fewer digits".to_string())
        );
    }
}
