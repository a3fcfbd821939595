//! Why the words of a line cannot be read, in the maker's terms: one report for one line.
//!
//! The grammar says how far it got; what stands there, what stands before it and which bracket is open
//! say what was meant.

use super::marks::{Kind, Mark};
use super::parse::Stretch;
use crate::diag::{Diagnostic, code};

/// The report for a line that could be read up to byte `at`.
pub(super) fn explain(stretch: &Stretch<'_>, at: usize) -> Diagnostic {
    let place = Place::new(stretch, at);
    open_text(stretch, at)
        .or_else(|| loose_bracket(stretch, at))
        .or_else(|| place.head())
        .or_else(|| place.sign_of_unit())
        .or_else(|| place.value_missing())
        .or_else(|| place.choice())
        .or_else(|| place.apart())
        .or_else(|| place.minus())
        .or_else(|| place.number())
        .unwrap_or_else(|| place.unreadable())
}

/// A text that is never closed.
fn open_text(stretch: &Stretch<'_>, at: usize) -> Option<Diagnostic> {
    let within = |start: &usize| (stretch.start..=at).contains(start);
    if let Some(start) = stretch.open_markdown.filter(within) {
        return Some(
            Diagnostic::new(
                &code::SYNTAX_QUOTE,
                "a text is never closed",
                stretch.span(start, start + 3),
                "opened here",
            )
            .help("close it with `\"\"\"`"),
        );
    }
    let first = stretch
        .open_strings
        .partition_point(|start| *start < stretch.start);
    let start = *stretch
        .open_strings
        .get(first)
        .filter(|start| within(start))?;
    Some(
        Diagnostic::new(
            &code::SYNTAX_QUOTE,
            "a text is not closed on its line",
            stretch.span(start, start + 1),
            "opened here",
        )
        .help("close it with `\"`; words over several lines stand between `\"\"\"` and `\"\"\"`"),
    )
}

fn loose_bracket(stretch: &Stretch<'_>, at: usize) -> Option<Diagnostic> {
    let mark = stretch
        .marks
        .iter()
        .find(|mark| mark.kind == Kind::LooseBracket && mark.start <= at)?;
    let bracket = stretch.text.get(mark.start..mark.end)?;
    let (title, here, help) = match bracket {
        "(" => (
            "a bracket is never closed",
            "opened here",
            "close it with `)`",
        ),
        "[" => (
            "a bracket is never closed",
            "opened here",
            "close it with `]`",
        ),
        ")" => (
            "a bracket closes nothing",
            "no `(` is open here",
            "take it out, or open it with `(`",
        ),
        _ => (
            "a bracket closes nothing",
            "no `[` is open here",
            "take it out, or open it with `[`",
        ),
    };
    let report = Diagnostic::new(
        &code::SYNTAX_BRACKET,
        title,
        stretch.span(mark.start, mark.end),
        here,
    );
    let open = matches!(bracket, "(" | "[");
    Some(if open && at > mark.end {
        report
            .at(stretch.span(at, at), "still open here")
            .help(help)
    } else {
        report.help(help)
    })
}

/// The place where reading stopped.
struct Place<'a> {
    stretch: &'a Stretch<'a>,
    at: usize,
    /// The words before it.
    before: &'a str,
    /// The words from it on.
    after: &'a str,
    /// The innermost bracket that is open here.
    bracket: Option<Mark>,
}

impl<'a> Place<'a> {
    fn new(stretch: &'a Stretch<'a>, at: usize) -> Place<'a> {
        let mut open: Vec<Mark> = Vec::new();
        for mark in stretch.marks.iter().filter(|mark| mark.start < at) {
            match mark.kind {
                Kind::Bracket => open.push(*mark),
                Kind::BracketEnd => {
                    open.pop();
                }
                _ => {}
            }
        }
        Place {
            stretch,
            at,
            before: stretch.text.get(stretch.line_start..at).unwrap_or(""),
            after: stretch.text.get(at..stretch.end).unwrap_or(""),
            bracket: open.pop(),
        }
    }

    fn here(&self) -> Option<char> {
        self.after.chars().next()
    }

    /// What stands here: a word, a number, an operator, or one character.
    fn found(&self) -> &'a str {
        let word = |c: char| c.is_alphanumeric() || c == '_';
        let length = match self.here() {
            None => 0,
            Some(c) if word(c) => self.after.find(|c| !word(c)).unwrap_or(self.after.len()),
            Some('=' | '<' | '>' | '!' | '&' | '|' | '*') => self
                .after
                .find(|c| !"=<>!&|*".contains(c))
                .unwrap_or(self.after.len()),
            Some(c) => c.len_utf8(),
        };
        self.after.get(..length).unwrap_or("")
    }

    /// The words before it without the blanks at their end.
    fn left(&self) -> &'a str {
        self.before.trim_end()
    }

    fn glued(&self) -> bool {
        !self.before.is_empty() && self.left().len() == self.before.len()
    }

    /// The number or name that ends just before.
    fn left_word(&self) -> &'a str {
        let left = self.left();
        let start = left
            .rfind(|c: char| !(c.is_alphanumeric() || matches!(c, '_' | '.')))
            .map_or(0, |i| {
                i + left
                    .get(i..)
                    .and_then(|rest| rest.chars().next())
                    .map_or(1, char::len_utf8)
            });
        left.get(start..).unwrap_or("")
    }

    fn report(
        &self,
        code: &'static crate::diag::Code,
        title: impl Into<String>,
        here: impl Into<String>,
    ) -> Diagnostic {
        let found = self.found().len();
        Diagnostic::new(
            code,
            title,
            self.stretch.span(self.at, self.at + found),
            here,
        )
    }

    /// The line starts with something other than a word.
    fn head(&self) -> Option<Diagnostic> {
        if !self.before.trim().is_empty() {
            return None;
        }
        let found = self.found();
        if reserved(found) {
            let report = self.report(
                &code::SYNTAX_HEAD,
                format!("a line cannot start with `{found}`"),
                "not the head of a line",
            );
            return Some(if found == "and" || found == "or" {
                report.help(format!(
                    "a line goes on after an operator: put `{found}` at the end of the line above"
                ))
            } else {
                report.help("a line starts with its head: `size`, `side`, `join`, …")
            });
        }
        let help = match self.here() {
            Some('#') => "a remark starts with `//`",
            Some('-' | '*')
                if self
                    .after
                    .get(1..)
                    .is_some_and(|rest| rest.starts_with(' ')) =>
            {
                "lines need no bullet; a line starts with its head"
            }
            Some(',' | '+' | '*' | '/' | '<' | '>' | '-') => {
                "a line goes on after a comma or an operator: put it at the end of the line above"
            }
            _ => "a line starts with its head: `size`, `side`, `join`, …",
        };
        Some(
            self.report(
                &code::SYNTAX_HEAD,
                "a line does not start with a word",
                "not a word",
            )
            .help(help),
        )
    }

    /// `16"`, `5'`, `16½in`, `118€`.
    fn sign_of_unit(&self) -> Option<Diagnostic> {
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
            report.help(format!("write `{}{unit}`", mixed()))
        };
        match here {
            '"' | '″' | '”' if is_number => Some(sign("in", "inch")),
            '\'' | '′' | '’' if is_number => Some(sign("ft", "foot")),
            '€' if is_number => Some(sign("EUR", "euro")),
            '$' if is_number => {
                Some(sign("USD", "dollar").help("or another currency: `CAD`, `AUD`"))
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
                let unit = if unit.is_empty() { "in" } else { unit.as_str() };
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
                Some(report.help(format!("write `{whole}{fraction}{unit}`")))
            }
        }
    }

    /// After an operator, a comma, an opening bracket or `=` there stands nothing, or nothing that is a value.
    fn value_missing(&self) -> Option<Diagnostic> {
        let found = self.found();
        // A sign that is not one of the language is better explained for itself.
        let ends = found.is_empty()
            || matches!(self.here(), Some(')' | ']' | ',' | '='))
            || operator(found)
            || reserved(found);
        if !ends {
            return None;
        }
        // `a -` and `a and`: the operator itself is where reading stopped, for nothing follows it.
        let rest = self.after.get(found.len()..).unwrap_or("").trim_start();
        if matches!(found, "-" | "and" | "or" | "=")
            && rest.is_empty()
            && !self.left().is_empty()
            && !ends_open(self.left())
        {
            let end = self.stretch.end;
            let report = Diagnostic::new(
                &code::SYNTAX_VALUE_MISSING,
                "a value is missing",
                self.stretch.span(end, end),
                "a value belongs here",
            );
            return Some(report.help(format!("write what follows `{found}`, or take it out")));
        }
        if !ends_open(self.left()) {
            return None;
        }
        if let Some(report) = self.foreign_operator() {
            return Some(report);
        }
        let left = self.left();
        let start = left
            .trim_end_matches(|c: char| "=<>!+-*/".contains(c))
            .len();
        let last = match left.get(start..) {
            Some("") | None if left.ends_with([',', '(', '[', ':']) => {
                left.get(left.len() - 1..).unwrap_or("")
            }
            Some("") | None => self.left_word(),
            Some(signs) => signs,
        };
        let report = self.report(
            &code::SYNTAX_VALUE_MISSING,
            "a value is missing",
            "a value belongs here",
        );
        Some(match (last, found) {
            (",", _) if found.is_empty() => {
                report.help("take the comma out, or name another one; a line goes on after a comma")
            }
            (_, "") => report.help(format!("write what follows `{last}`, or take it out")),
            _ => report.help(format!("write a value between `{last}` and `{found}`")),
        })
    }

    /// An operator of other languages, of which the first sign was read: `=>`, `**`.
    fn foreign_operator(&self) -> Option<Diagnostic> {
        let signs = |c: char| "=<>!&|*+-".contains(c);
        let start = self.before.trim_end_matches(signs).len();
        let end = self.after.find(|c| !signs(c)).unwrap_or(self.after.len());
        let run = format!("{}{}", self.before.get(start..)?, self.after.get(..end)?);
        let help = match run.as_str() {
            "=>" => "`at least` is written `>=`",
            "=<" => "`at most` is written `<=`",
            "===" => "equality is written `==`",
            "!==" | "<>" | "=!" => "`not equal` is written `!=`",
            "&&" | "&" => "write `and`",
            "||" | "|" => "write `or`",
            "**" => "powers are not read: write `a * a`",
            "++" | "--" | "+=" | "-=" | "*=" => {
                "a value never changes; give the new one a name with `let`"
            }
            _ => return None,
        };
        let start = self.stretch.line_start + start;
        let span = self.stretch.span(start, start + run.len());
        Some(
            Diagnostic::new(
                &code::SYNTAX_UNREADABLE,
                format!("`{run}` is not an operator"),
                span,
                "not read",
            )
            .help(help),
        )
    }

    /// `if a` without its `then`, `if a then b` without its `else`.
    fn choice(&self) -> Option<Diagnostic> {
        if let Some(',' | ')' | ']') | None = self.here() {
            let words = || {
                self.before
                    .split(|c: char| !(c.is_alphanumeric() || c == '_'))
                    .skip(1)
            };
            let count = |wanted: &str| words().filter(|word| *word == wanted).count();
            let word = match (count("if"), count("then"), count("else")) {
                (ifs, thens, _) if ifs > thens => "then",
                (_, thens, elses) if thens > elses => "else",
                _ => return None,
            };
            return Some(
                self.report(
                    &code::SYNTAX_UNREADABLE,
                    "a choice is not complete",
                    format!("`{word}` belongs here"),
                )
                .help("a choice reads `if a then b else c`"),
            );
        }
        None
    }

    /// `box [1, 2]`, `deck .top`, `deck. top`.
    fn apart(&self) -> Option<Diagnostic> {
        let name = self.left_word();
        let named = name.starts_with(|c: char| c.is_alphabetic() || c == '_');
        match self.here().unwrap_or(' ') {
            c if c.is_whitespace() && named && name.ends_with('.') => {
                let member: String = self
                    .after
                    .trim_start()
                    .chars()
                    .take_while(|c| c.is_alphanumeric() || *c == '_')
                    .collect();
                let report = Diagnostic::new(
                    &code::SYNTAX_APART,
                    "a dot stands apart from its names",
                    self.stretch.span(self.at - 1, self.at),
                    "a blank stands behind it",
                );
                Some(report.help(if member.is_empty() {
                    format!("write what you want of it, as in `{name}wide`")
                } else {
                    format!("glue it: `{name}{member}`")
                }))
            }
            '[' if !self.glued() => Some(
                self.report(
                    &code::SYNTAX_APART,
                    "`[` stands apart from its name",
                    "a blank stands before it",
                )
                .help(if named {
                    let end = self.after.find(']').filter(|end| *end < 30);
                    let index = end.and_then(|end| self.after.get(..=end)).unwrap_or("[");
                    format!("glue it: `{name}{index}`")
                } else {
                    "glue it to the name of an array: `post[1]`".to_string()
                }),
            ),
            '.' if named
                && !self
                    .after
                    .get(1..)
                    .is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit())) =>
            {
                let member: String = self
                    .after
                    .chars()
                    .skip(1)
                    .skip_while(|c| *c == ' ')
                    .take_while(|c| c.is_alphanumeric() || *c == '_')
                    .collect();
                let report = self.report(
                    &code::SYNTAX_APART,
                    "a dot stands apart from its names",
                    "has a blank beside it, or no name behind it",
                );
                Some(report.help(if member.is_empty() {
                    format!("write what you want of `{name}`, as in `{name}.wide`")
                } else {
                    format!("glue it: `{name}.{member}`")
                }))
            }
            _ => None,
        }
    }

    /// `a- b`.
    fn minus(&self) -> Option<Diagnostic> {
        if self.here()? != '-' {
            return None;
        }
        let report = self.report(
            &code::SYNTAX_MINUS,
            "a minus has a blank on one side only",
            "a blank stands behind it, none before",
        );
        Some(report.help("to subtract, put a blank on both sides: `a - b`"))
    }

    /// `.5mm`, `5.mm`.
    fn number(&self) -> Option<Diagnostic> {
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
            return Some(report.help(format!("write `0.{}`", rest.get(..word).unwrap_or(""))));
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
            report.help(format!("write `{number}{unit}`"))
        })
    }

    fn unreadable(&self) -> Diagnostic {
        let found = self.found();
        let Some(here) = self.here() else {
            return self
                .report(
                    &code::SYNTAX_UNREADABLE,
                    "a line ends too early",
                    "something is missing here",
                )
                .help("finish the line or take its last word out");
        };
        if let Some(report) = self.foreign_operator() {
            return report;
        }
        if let Some(name) = invisible(here) {
            return self
                .report(
                    &code::SYNTAX_HIDDEN,
                    format!("{name} stands where a blank belongs"),
                    "cannot be seen",
                )
                .help("replace it by a plain blank");
        }
        let title = format!("`{found}` cannot stand here");
        let bracketed = self.bracket.and_then(|mark| {
            self.stretch
                .text
                .get(mark.start..mark.end)
                .map(|text| (mark, text))
        });
        if let Some((mark, open)) = bracketed.filter(|_| !ends_open(self.left())) {
            let close = if open == "(" { ")" } else { "]" };
            let is_call = self
                .stretch
                .text
                .get(..mark.start)
                .is_some_and(|t| t.ends_with(|c: char| c.is_alphanumeric() || c == '_'));
            let report = self.report(
                &code::SYNTAX_UNREADABLE,
                title,
                if is_call || open == "[" {
                    format!("`,` or `{close}` belongs here")
                } else {
                    format!("`{close}` belongs here")
                },
            );
            let report = report.at(self.stretch.span(mark.start, mark.end), "of this bracket");
            return match here {
                ',' => report.help("a list stands without brackets: `left, right`"),
                '=' => report.help("an argument is written `name: value`; `==` compares"),
                _ => report.help(if is_call || open == "[" {
                    format!("put `,` before `{found}`")
                } else {
                    format!("put `{close}` before `{found}`, or an operator")
                }),
            };
        }
        let report = self.report(&code::SYNTAX_UNREADABLE, title, "not read from here on");
        match (here, found) {
            ('=', _) => report.help("a line has one `=`; equality is written `==`"),
            ('!', _) => report.help("write `not`"),
            ('^', _) => report.help("powers are not read: write `a * a`"),
            (';', _) => report.help("a line ends by itself; write each decision on its own line"),
            (':', _) => report.help("no `:` stands after a word; it belongs to arguments alone: `base_case(width: 600mm)`"),
            ('#', _) => report.help("a remark starts with `//`"),
            ('\'' | '`' | '“' | '”' | '„' | '«' | '»' | '‘' | '’', _) => report.help("a text stands between straight double quotes: `\"Score cabinet\"`"),
            ('"', _) => report.help("put a blank before the text"),
            ('×', _) => report.help("`*` multiplies; two sizes have each their word: `long 2400mm wide 1200mm`"),
            ('−' | '–' | '—', _) => report.help("a minus is written `-`"),
            ('÷', _) => report.help("`/` divides"),
            ('≤', _) => report.help("write `<=`"),
            ('≥', _) => report.help("write `>=`"),
            ('%', _) => report.help("per cent is glued to its number: `9%`"),
            ('(', _) => report.help("an operator or a blank belongs before it"),
            (',', _) => report.help("a comma stands between two values of a list"),
            _ if reserved(found) => report.help(match found {
                "then" | "else" => "it belongs to a choice: `if a then b else c`",
                "if" => "a choice reads `if a then b else c`",
                _ => "it is a word of the language and cannot be a name",
            }),
            (c, _) if c.is_control() => report.help(format!("U+{:04X} is a control character; take it out", c as u32)),
            (c, _) if c.is_alphanumeric() => report.help("put a blank or an operator before it"),
            (c, _) => report.help(format!("`{c}` is no sign of the language; take it out")),
        }
    }
}

/// Whether these words call for a value: they end with an operator, a comma, an opening bracket, `=` or `:`.
fn ends_open(words: &str) -> bool {
    let word = words
        .rsplit(|c: char| !(c.is_alphanumeric() || c == '_'))
        .next()
        .unwrap_or("");
    words.ends_with(|c: char| "=<>+-*/,([:".contains(c))
        || (reserved(word) && (word.len() < words.len() || word == "if"))
}

fn operator(found: &str) -> bool {
    matches!(
        found,
        "+" | "-" | "*" | "**" | "/" | "<" | ">" | "<=" | ">=" | "==" | "!="
    )
}

fn reserved(word: &str) -> bool {
    matches!(word, "if" | "then" | "else" | "and" | "or" | "not")
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

fn invisible(c: char) -> Option<&'static str> {
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
