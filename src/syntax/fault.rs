//! Why the words of a line cannot be read, in the maker's terms: one report for one line.
//!
//! The grammar says how far it got; what stands there, what stands before it and which bracket is open
//! say what was meant.

use super::foreign::invisible;
use super::marks::Kind;
use super::parse::Stretch;
use super::place::{Place, ends_open, operator, reserved};
use crate::diag::{Diagnostic, Edit, code};
use crate::source::Span;

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

impl Place<'_> {
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
        let report = self.report(
            &code::SYNTAX_HEAD,
            "a line does not start with a word",
            "not a word",
        );
        let help = match self.here() {
            Some('#') => {
                return Some(
                    report
                        .help("a remark starts with `//`")
                        .mend(self.span(1), "//"),
                );
            }
            Some('-' | '*')
                if self
                    .after
                    .get(1..)
                    .is_some_and(|rest| rest.starts_with(' ')) =>
            {
                let rest = self.after.get(1..).unwrap_or("");
                let bullet = self.after.len() - rest.trim_start_matches(' ').len();
                return Some(
                    report
                        .help("lines need no bullet; a line starts with its head")
                        .mend(self.span(bullet), ""),
                );
            }
            Some(c) if narrow(c).is_some() => return Some(self.narrowed(report)),
            Some(',' | '+' | '*' | '/' | '<' | '>' | '-') => {
                "a line goes on after a comma or an operator: put it at the end of the line above"
            }
            _ => "a line starts with its head: `size`, `side`, `join`, …",
        };
        Some(report.help(help))
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
                Some(if member.is_empty() {
                    report.help(format!("write what you want of it, as in `{name}wide`"))
                } else {
                    let blanks = self.after.len() - self.after.trim_start().len();
                    report
                        .help(format!("glue it: `{name}{member}`"))
                        .mend(self.span(blanks), "")
                })
            }
            '[' if !self.glued() => {
                let report = self.report(
                    &code::SYNTAX_APART,
                    "`[` stands apart from its name",
                    "a blank stands before it",
                );
                Some(if named {
                    let end = self.after.find(']').filter(|end| *end < 30);
                    let index = end.and_then(|end| self.after.get(..=end)).unwrap_or("[");
                    report
                        .help(format!("glue it: `{name}{index}`"))
                        .mend(self.blanks_before(), "")
                } else {
                    report.help("glue it to the name of an array: `post[1]`")
                })
            }
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
                Some(if member.is_empty() {
                    report.help(format!(
                        "write what you want of `{name}`, as in `{name}.wide`"
                    ))
                } else {
                    let rest = self.after.get(1..).unwrap_or("");
                    let dot = self.at + 1 + rest.len() - rest.trim_start_matches(' ').len();
                    let span = self.blanks_before().to(self.stretch.span(self.at, dot));
                    let report = report.help(format!("glue it: `{name}.{member}`"));
                    // Without a blank, it is what follows that is wrong.
                    if span.end - span.start > 1 {
                        report.mend(span, ".")
                    } else {
                        report
                    }
                })
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
        Some(
            report
                .help("to subtract, put a blank on both sides: `a - b`")
                .mend(self.span(0), " "),
        )
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
            let report = self
                .report(
                    &code::SYNTAX_HIDDEN,
                    format!("{name} stands where a blank belongs"),
                    "cannot be seen",
                )
                .help("replace it by a plain blank");
            // One without any width may stand within a word, or for a blank.
            let wide = name.ends_with("space") || name.starts_with("a form feed");
            return report.mends([Edit::new(self.span(here.len_utf8()), " ")], wide);
        }
        if narrow(here).is_some() {
            let report = self.report(
                &code::SYNTAX_UNREADABLE,
                format!("`{found}` cannot stand here"),
                "not read from here on",
            );
            return self.narrowed(report);
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
            ('!', "!") => report.help("write `not`").mend(self.span(1), "not "),
            ('!', _) => report.help("write `not`"),
            ('^', _) => report.help("powers are not read: write `a * a`"),
            (';', _) => {
                let last = self.after.get(1..).is_some_and(|rest| rest.trim().is_empty());
                let report =
                    report.help("a line ends by itself; write each decision on its own line");
                report.mends([Edit::new(self.span(1), "")], last)
            }
            (':', _) => report.help("no `:` stands after a word; it belongs to arguments alone: `base_case(width: 600mm)`"),
            ('#', _) => report.help("a remark starts with `//`").mend(self.span(1), "//"),
            ('\'' | '`' | '“' | '”' | '„' | '«' | '»' | '‘' | '’', _) => {
                self.quoted(report.help("a text stands between straight double quotes: `\"Score cabinet\"`"))
            }
            ('"', _) => report.help("put a blank before the text").mend(self.span(0), " "),
            ('×', _) => report
                .help("`*` multiplies; two sizes have each their word: `long 2400mm wide 1200mm`")
                .might_mend(self.span(here.len_utf8()), "*"),
            // A dash may stand for `to`.
            ('−' | '–' | '—', _) => report
                .help("a minus is written `-`")
                .mends([Edit::new(self.span(here.len_utf8()), "-")], here == '−'),
            ('÷', _) => report.help("`/` divides").mend(self.span(here.len_utf8()), "/"),
            ('≤', _) => report.help("write `<=`").mend(self.span(here.len_utf8()), "<="),
            ('≥', _) => report.help("write `>=`").mend(self.span(here.len_utf8()), ">="),
            ('%', _) => {
                let number = self.left_word().starts_with(|c: char| c.is_ascii_digit());
                report
                    .help("per cent is glued to its number: `9%`")
                    .mends([Edit::new(self.blanks_before(), "")], number && !self.glued())
            }
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

    /// The blanks just before.
    fn blanks_before(&self) -> Span {
        let blanks = self.before.len() - self.left().len();
        self.stretch.span(self.at - blanks, self.at)
    }

    /// Mends a text between other quotes, if it ends on this line.
    fn quoted(&self, report: Diagnostic) -> Diagnostic {
        let mut chars = self.after.char_indices();
        let Some((_, open)) = chars.next() else {
            return report;
        };
        let closes: &[char] = match open {
            '“' => &['”', '“'],
            '„' => &['“', '”'],
            '”' => &['”'],
            '«' => &['»'],
            '»' => &['«', '»'],
            '‘' => &['’'],
            '’' => &['’'],
            '\'' => &['\''],
            _ => &['`'],
        };
        let close = chars.find(|(_, c)| closes.contains(c));
        let Some((at, close)) = close else {
            return report;
        };
        let inside = self.after.get(open.len_utf8()..at).unwrap_or("");
        let behind = self.after.get(at + close.len_utf8()..).unwrap_or("");
        let ends = behind.is_empty() || behind.starts_with([' ', '\t', '\n', '\r', ',', ')', '{']);
        // Within a word it is an apostrophe.
        if inside.contains(['"', '\n']) || inside.is_empty() || self.glued() || !ends {
            return report;
        }
        let end = self.at + at;
        report.mends(
            [
                Edit::new(self.span(open.len_utf8()), "\""),
                Edit::new(self.stretch.span(end, end + close.len_utf8()), "\""),
            ],
            true,
        )
    }

    /// Mends signs that are written in their wide form.
    fn narrowed(&self, report: Diagnostic) -> Diagnostic {
        let plain: String = self.after.chars().map_while(narrow).collect();
        // Each takes three bytes there, one here.
        let length = self
            .after
            .chars()
            .map_while(|c| narrow(c).map(|_| c.len_utf8()));
        let length: usize = length.sum();
        report
            .help(format!("these are wide forms: write `{plain}`"))
            .mend(self.span(length), plain)
    }
}

/// The plain form of a sign in the wide form that scripts of full width use.
fn narrow(c: char) -> Option<char> {
    match c {
        '\u{ff01}'..='\u{ff5e}' => char::from_u32(c as u32 - 0xfee0),
        _ => None,
    }
}
