//! Signs and numbers as they are written elsewhere, and how they are written here.

use super::place::Place;
use crate::diag::{Diagnostic, Edit, code};
use crate::source::Span;

impl Place<'_> {
    /// `16"`, `5'`, `16½in`, `118€`.
    pub(super) fn sign_of_unit(&self) -> Option<Diagnostic> {
        let here = self.here()?;
        let number = self.left_word();
        let is_number = self.glued()
            && number.ends_with(|c: char| c.is_ascii_digit())
            && number.starts_with(|c: char| c.is_ascii_digit());
        let mixed = || {
            // `16 1/2"`: the whole and the fraction before the sign.
            let start = self
                .left()
                .rfind(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '/' | ' ')))
                .map_or(0, |i| i + 1);
            let amount = self.left().get(start..).unwrap_or("").trim();
            if amount.contains('/') { amount } else { number }
        };
        let sign = |unit: &str, name: &str| {
            let report = self.report(
                &code::VALUE_INCH_SIGN,
                format!("`{here}` is not the name of a unit"),
                format!("{name} is written `{unit}`"),
            );
            // `3"x4` and `2"words"` may be something else.
            let mut rest = self.after.chars().skip(1);
            let certain = rest
                .next()
                .is_none_or(|c| c.is_whitespace() || c == ',' || c == ')');
            report
                .help(format!("write `{}{unit}`", mixed()))
                .mends([Edit::new(self.span(here.len_utf8()), unit)], certain)
        };
        match here {
            '"' | '″' | '”' if is_number => Some(sign("in", "inch")),
            '\'' | '′' | '’' if is_number => Some(sign("ft", "foot")),
            '€' if is_number => Some(sign("EUR", "euro")),
            '$' if is_number => {
                let report = sign("USD", "dollar").help("or another currency: `CAD`, `AUD`");
                Some(report.might_mend(self.span(1), "USD"))
            }
            '£' if is_number => Some(sign("GBP", "pound")),
            '€' | '$' | '£' => Some(
                self.report(
                    &code::VALUE_INCH_SIGN,
                    format!("`{here}` is not the name of a unit"),
                    "a currency is named after its number",
                )
                .help("write `118EUR`, `118USD` or `118GBP`"),
            ),
            _ => {
                let fraction = vulgar(here)?;
                let unit: String = self
                    .after
                    .chars()
                    .skip(1)
                    .take_while(|c| c.is_alphabetic())
                    .collect();
                let stated = !unit.is_empty();
                let unit = if stated { unit.as_str() } else { "in" };
                let report = self.report(
                    &code::VALUE_NUMBER,
                    "a fraction is written in one character",
                    "not read",
                );
                let whole = if is_number {
                    format!("{number} ")
                } else {
                    String::new()
                };
                let blank = if is_number { " " } else { "" };
                let added = if stated { "" } else { unit };
                let edit = Edit::new(
                    self.span(here.len_utf8()),
                    format!("{blank}{fraction}{added}"),
                );
                Some(
                    report
                        .help(format!("write `{whole}{fraction}{unit}`"))
                        .mends([edit], stated),
                )
            }
        }
    }

    /// An operator of other languages, of which the first sign was read: `=>`, `**`.
    pub(super) fn foreign_operator(&self) -> Option<Diagnostic> {
        let signs = |c: char| "=<>!&|*+-".contains(c);
        let start = self.before.trim_end_matches(signs).len();
        let end = self.after.find(|c| !signs(c)).unwrap_or(self.after.len());
        let run = format!("{}{}", self.before.get(start..)?, self.after.get(..end)?);
        let (help, meant) = match run.as_str() {
            "=>" => ("`at least` is written `>=`", Some(">=")),
            "=<" => ("`at most` is written `<=`", Some("<=")),
            "===" => ("equality is written `==`", Some("==")),
            "!==" | "<>" | "=!" => ("`not equal` is written `!=`", Some("!=")),
            "&&" | "&" => ("write `and`", Some("and")),
            "||" | "|" => ("write `or`", Some("or")),
            "**" => ("powers are not read: write `a * a`", None),
            "++" | "--" | "+=" | "-=" | "*=" => (
                "a value never changes; give the new one a name with `let`",
                None,
            ),
            _ => return None,
        };
        let start = self.stretch.line_start + start;
        let span = self.stretch.span(start, start + run.len());
        let report = Diagnostic::new(
            &code::SYNTAX_UNREADABLE,
            format!("`{run}` is not an operator"),
            span,
            "not read",
        )
        .help(help);
        Some(match meant {
            Some(word @ ("and" | "or")) => report.mend(span, self.apart_from_words(span, word)),
            // An arrow, and a sign alone, may be meant in another way.
            Some(sign) => report.mends([Edit::new(span, sign)], run != "=>"),
            None => report,
        })
    }

    /// The word with a blank on each side that has none.
    fn apart_from_words(&self, span: Span, word: &str) -> String {
        let text = self.stretch.text;
        let blank = |c: Option<char>| c.is_none_or(char::is_whitespace);
        let before = text.get(..span.start as usize).unwrap_or("");
        let after = text.get(span.end as usize..).unwrap_or("");
        let lead = if blank(before.chars().next_back()) {
            ""
        } else {
            " "
        };
        let trail = if blank(after.chars().next()) { "" } else { " " };
        format!("{lead}{word}{trail}")
    }

    /// `.5mm`, `5.mm`.
    pub(super) fn number(&self) -> Option<Diagnostic> {
        if self.here()? != '.' {
            return None;
        }
        let rest = self.after.get(1..).unwrap_or("");
        let digits = rest.bytes().take_while(u8::is_ascii_digit).count();
        if digits > 0 && !self.glued() {
            let word = rest
                .find(|c: char| !c.is_alphanumeric())
                .unwrap_or(rest.len());
            let report = self.report(
                &code::VALUE_NUMBER,
                "a number starts with its point",
                "a digit belongs before it",
            );
            return Some(
                report
                    .help(format!("write `0.{}`", rest.get(..word).unwrap_or("")))
                    .mend(self.span(0), "0"),
            );
        }
        let number = self.left_word();
        number.starts_with(|c: char| c.is_ascii_digit()).then(|| {
            let unit: String = rest.chars().take_while(|c| c.is_alphabetic()).collect();
            let report = self.report(
                &code::VALUE_NUMBER,
                "a number has a point too many",
                "no digit follows, or it is the second one",
            );
            if number.contains('.') {
                return report.help("a number has one point");
            }
            let report = report.help(format!("write `{number}{unit}`"));
            report.mends([Edit::new(self.span(1), "")], !unit.is_empty())
        })
    }
}

fn vulgar(c: char) -> Option<&'static str> {
    Some(match c {
        '½' => "1/2",
        '¼' => "1/4",
        '¾' => "3/4",
        '⅓' => "1/3",
        '⅔' => "2/3",
        '⅛' => "1/8",
        '⅜' => "3/8",
        '⅝' => "5/8",
        '⅞' => "7/8",
        _ => return None,
    })
}

/// The name of a character that cannot be seen.
pub(super) fn invisible(c: char) -> Option<&'static str> {
    Some(match c {
        '\u{a0}' | '\u{202f}' | '\u{2007}' => "a no-break space",
        '\u{2000}'..='\u{2006}' | '\u{2008}'..='\u{200a}' | '\u{3000}' | '\u{205f}' => {
            "a wide or thin space"
        }
        '\u{200b}'..='\u{200d}' | '\u{2060}' => "a zero-width character",
        '\u{feff}' => "a byte order mark",
        '\u{ad}' => "a soft hyphen",
        '\r' => "a lone carriage return",
        '\u{b}' | '\u{c}' => "a form feed",
        _ => return None,
    })
}
