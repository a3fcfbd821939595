//! Pieces of markup that Rust writes: figures with stacked fractions, sizes, signed margins.
//!
//! Everything returned as a [`Value`] here is marked safe, so nothing of it may be a user's text
//! unless [`escape`] went over it.

use crate::measure::{Figure, Length, Units};
use minijinja::Value;

/// Narrow no-break space, between a whole number and its fraction and round `×`.
pub const THIN: &str = "\u{202f}";
/// The minus of figures.
pub const MINUS: &str = "\u{2212}";

/// Escapes text for HTML content and for quoted attributes.
pub fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c => out.push(c),
        }
    }
    out
}

/// Marks markup that this crate wrote as safe.
pub fn safe(markup: impl Into<String>) -> Value {
    Value::from_safe_string(markup.into())
}

/// A drawing.
pub fn svg(scene: &crate::draw::Scene) -> Value {
    safe(crate::draw::svg::write(scene))
}

/// Arithmetic as typed (`864.8 - 2 x 12.7`) with the signs of print.
pub fn arithmetic(text: &str) -> String {
    text.replace(" - ", &format!(" {MINUS} "))
        .replace(" x ", &format!("{THIN}×{THIN}"))
        .replace(" * ", &format!("{THIN}×{THIN}"))
        .replace("<=", "≤")
        .replace(">=", "≥")
}

/// A number as its rule rounded it, with the minus of print; `keep` decimals at least.
pub fn number(value: f64, keep: usize) -> String {
    let places = decimals(value).max(keep);
    format!("{value:.places$}").replace('-', MINUS)
}

/// How many decimals a number has when written in full.
pub fn decimals(value: f64) -> usize {
    let text = format!("{value}");
    text.split_once('.').map_or(0, |(_, after)| after.len())
}

/// A chapter's facts as a value for its template.
pub fn value<T: serde::Serialize>(facts: &T) -> Value {
    Value::from(minijinja::value::Serde(facts))
}

/// How a figure's decimal is set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Zero {
    Keep,
    Drop,
}

/// A fraction, stacked. The slash between is for readers and for copying; print does not show it.
fn fraction(n: u32, d: u32) -> String {
    format!("<span class=\"fr\"><span>{n}</span><i>/</i><span>{d}</span></span>")
}

fn markup(figure: &Figure, zero: Zero) -> String {
    let mut out = String::new();
    if figure.negative {
        out.push_str(MINUS);
    }
    match (figure.tenth, figure.fraction) {
        (Some(tenth), _) if figure.hundredth.is_some() => {
            let rest = figure.hundredth.unwrap_or(0);
            out.push_str(&format!("{}.{tenth}{rest}", figure.whole));
        }
        (Some(0), _) if zero == Zero::Drop => out.push_str(&figure.whole.to_string()),
        (Some(tenth), _) => out.push_str(&format!("{}.{tenth}", figure.whole)),
        (None, Some((n, d))) if figure.whole == 0 => out.push_str(&fraction(n, d)),
        (None, Some((n, d))) => {
            out.push_str(&format!("{}{THIN}{}", figure.whole, fraction(n, d)));
        }
        (None, None) => out.push_str(&figure.whole.to_string()),
    }
    if !figure.exact {
        out.push('~');
    }
    out
}

/// Markup of a length without its unit: `452`, `17.6`, `16` with a stacked 1/2; `~` follows a figure
/// that is not exact.
pub fn figure_markup(units: Units, length: Length) -> String {
    markup(&units.figure(length), Zero::Drop)
}

/// A length set for reading: sans, no idle decimal.
pub fn figure(units: Units, length: Length) -> Value {
    safe(format!(
        "<span class=\"num\">{}</span>",
        figure_markup(units, length)
    ))
}

/// A length set for a column, where the decimal stays: `452.0`.
pub fn figure_column(units: Units, length: Length) -> Value {
    safe(markup(&units.figure(length), Zero::Keep))
}

/// A length that a machine is set to, for a column: as fine as it must be.
pub fn figure_setting(units: Units, length: Length) -> Value {
    safe(markup(&units.setting(length), Zero::Keep))
}

/// The same among words, without an idle decimal.
pub fn setting_markup(units: Units, length: Length) -> String {
    markup(&units.setting(length), Zero::Drop)
}

/// A breakdown size for a column, to the coarser step.
pub fn figure_rough(units: Units, length: Length) -> Value {
    safe(markup(
        &units.figure_to(length, units.rough_step()),
        Zero::Keep,
    ))
}

/// Sizes with thin spaces round the cross: `900 × 760 × 460`.
pub fn sizes(units: Units, lengths: &[Length]) -> Value {
    let figures: Vec<String> = lengths.iter().map(|l| figure_markup(units, *l)).collect();
    safe(format!(
        "<span class=\"num\">{}</span>",
        figures.join(&format!("{THIN}×{THIN}"))
    ))
}

/// A length with its sign for a column: `+ 54.0`, `− 0.2`.
pub fn signed(units: Units, length: Length) -> Value {
    let figure = units.figure(length.abs());
    let sign = if length.is_negative() { MINUS } else { "+" };
    safe(format!("{sign}\u{a0}{}", markup(&figure, Zero::Keep)))
}

/// A count as a word up to twelve, as in running text.
pub fn count_word(n: u32) -> String {
    const WORDS: [&str; 13] = [
        "none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
        "eleven", "twelve",
    ];
    WORDS
        .get(n as usize)
        .map_or_else(|| n.to_string(), |word| (*word).to_owned())
}

/// A text with its first letter as a capital.
pub fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(chars).collect()
    })
}

/// The first letter small: `Tray` within a longer name.
pub fn small(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| {
        first.to_lowercase().chain(chars).collect()
    })
}

/// Words as a list in prose: `a, b and c`.
pub fn list(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [start @ .., last] => format!("{} and {last}", start.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::InchStep;

    #[test]
    fn figures_are_set_as_in_the_trade() {
        let inch = Units::Inch(InchStep::SixtyFourth);
        assert_eq!(figure_markup(Units::Mm, Length::mm(452)), "452");
        assert_eq!(
            figure_column(Units::Mm, Length::mm(452)).to_string(),
            "452.0"
        );
        assert_eq!(figure_markup(Units::Mm, Length::mm(829) / 3), "276.3~");
        assert_eq!(
            figure_markup(inch, Length::inches(33, 2)),
            "16\u{202f}<span class=\"fr\"><span>1</span><i>/</i><span>2</span></span>"
        );
        assert_eq!(
            signed(Units::Mm, -Length::um(200)).to_string(),
            "\u{2212}\u{a0}0.2"
        );
    }

    #[test]
    fn prose() {
        assert_eq!(capital(&count_word(3)), "Three");
        assert_eq!(list(&["a".into(), "b".into(), "c".into()]), "a, b and c");
    }
}
