//! The grammar, asked for one line at a time. The only file beside `build` that names its rules.

use super::build::{self, Words};
use super::fault;
use super::marks::Mark;
use crate::diag::{Diagnostic, code};
use crate::source::{FileId, Span};
use crate::syntax::tree::{Expr, ExprKind};
use pest::Parser;
use pest::error::{ErrorVariant, InputLocation};

#[derive(pest_derive::Parser)]
#[grammar = "grammar/casewright.pest"]
struct Grammar;

/// Words of a file, with what is needed to explain them where they cannot be read.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stretch<'a> {
    /// The whole text of the file.
    pub(super) text: &'a str,
    /// The file.
    pub(super) file: FileId,
    /// Where the line starts; before `start` for the condition of an `if`.
    pub(super) line_start: usize,
    /// First byte.
    pub(super) start: usize,
    /// One past the last byte.
    pub(super) end: usize,
    /// The marks within.
    pub(super) marks: &'a [Mark],
    /// All strings of the file that do not end on their line, in order.
    pub(super) open_strings: &'a [usize],
    /// The `"""` of the file that never ends.
    pub(super) open_markdown: Option<usize>,
}

impl<'a> Stretch<'a> {
    pub(super) fn words(&self) -> &'a str {
        self.text.get(self.start..self.end).unwrap_or("")
    }

    pub(super) fn span(&self, start: usize, end: usize) -> Span {
        Span {
            file: self.file,
            start: start as u32,
            end: end as u32,
        }
    }
}

/// Reads the words of a line. `None` if not even a head could be read. The flag says whether a part
/// was lost (and reported).
pub(super) fn line(stretch: &Stretch<'_>, reports: &mut Vec<Diagnostic>) -> (Option<Words>, bool) {
    let words = stretch.words();
    match Grammar::parse(Rule::line, words) {
        Ok(pairs) => (build::words(pairs, stretch, reports), false),
        Err(error) => {
            reports.push(explain(stretch, &error));
            let kept = Grammar::parse(Rule::loose, words).ok();
            let mut quiet = Vec::new(); // one report for a line
            (
                kept.and_then(|pairs| build::words(pairs, stretch, &mut quiet)),
                true,
            )
        }
    }
}

/// Reads the condition of an `if`.
pub(super) fn condition(stretch: &Stretch<'_>, reports: &mut Vec<Diagnostic>) -> Expr {
    let poison = Expr {
        kind: ExprKind::BadUnit,
        span: stretch.span(stretch.start, stretch.end),
    };
    match Grammar::parse(Rule::condition, stretch.words()) {
        Ok(pairs) => build::condition(pairs, stretch, reports).unwrap_or(poison),
        Err(error) => {
            reports.push(explain(stretch, &error));
            poison
        }
    }
}

fn explain(stretch: &Stretch<'_>, error: &pest::error::Error<Rule>) -> Diagnostic {
    let at = match error.location {
        InputLocation::Pos(at) | InputLocation::Span((at, _)) => stretch.start + at,
    };
    // The parser's own guard; our limit on nesting is far below it.
    if matches!(error.variant, ErrorVariant::CustomError { .. }) {
        return Diagnostic::new(
            &code::SYNTAX_DEEP,
            "an expression is nested too deep",
            stretch.span(stretch.start, stretch.end),
            "here",
        )
        .help("give parts of it a name with `let`");
    }
    fault::explain(stretch, at)
}
