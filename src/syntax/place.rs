//! The place in a line where reading stopped, and what stands around it.

use super::marks::{Kind, Mark};
use super::parse::Stretch;
use crate::diag::{Code, Diagnostic};
use crate::source::Span;

/// The place where reading stopped.
pub(super) struct Place<'a> {
    pub(super) stretch: &'a Stretch<'a>,
    pub(super) at: usize,
    /// The words before it.
    pub(super) before: &'a str,
    /// The words from it on.
    pub(super) after: &'a str,
    /// The innermost bracket that is open here.
    pub(super) bracket: Option<Mark>,
}

impl<'a> Place<'a> {
    pub(super) fn new(stretch: &'a Stretch<'a>, at: usize) -> Place<'a> {
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

    pub(super) fn here(&self) -> Option<char> {
        self.after.chars().next()
    }

    /// What stands here: a word, a number, an operator, or one character.
    pub(super) fn found(&self) -> &'a str {
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
    pub(super) fn left(&self) -> &'a str {
        self.before.trim_end()
    }

    pub(super) fn glued(&self) -> bool {
        !self.before.is_empty() && self.left().len() == self.before.len()
    }

    /// The number or name that ends just before.
    pub(super) fn left_word(&self) -> &'a str {
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

    /// So many bytes from here on.
    pub(super) fn span(&self, length: usize) -> Span {
        self.stretch.span(self.at, self.at + length)
    }

    pub(super) fn report(
        &self,
        code: &'static Code,
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
}

/// Whether these words call for a value: they end with an operator, a comma, an opening bracket, `=` or `:`.
pub(super) fn ends_open(words: &str) -> bool {
    let word = words
        .rsplit(|c: char| !(c.is_alphanumeric() || c == '_'))
        .next()
        .unwrap_or("");
    words.ends_with(|c: char| "=<>+-*/,([:".contains(c))
        || (reserved(word) && (word.len() < words.len() || word == "if"))
}

pub(super) fn operator(found: &str) -> bool {
    matches!(
        found,
        "+" | "-" | "*" | "**" | "/" | "<" | ">" | "<=" | ">=" | "==" | "!="
    )
}

pub(super) fn reserved(word: &str) -> bool {
    matches!(word, "if" | "then" | "else" | "and" | "or" | "not")
}
