//! What can be wrong with a template, and the report about it.

use crate::diag::{Diagnostic, code};
use crate::source::{Source, Sources, Span};
use std::error::Error as _;
use std::fmt;
use std::ops::Range;

/// A template that can't be filled in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BookFault {
    /// The template's file name.
    pub template: String,
    /// Its line, from 1, if it is known.
    pub line: Option<usize>,
    /// The bytes of the template that are at fault, if they are known.
    pub range: Option<Range<usize>>,
    /// The template's text.
    pub text: String,
    /// What is wrong, lower case, no full stop.
    pub what: String,
}

impl BookFault {
    /// The innermost fault of the template engine: that of the included template rather than that
    /// of the line that includes it.
    pub(super) fn from_engine(name: &str, text: &str, error: &minijinja::Error) -> BookFault {
        let mut inner = error;
        let mut next = error.source();
        while let Some(source) = next {
            if let Some(source) = source.downcast_ref::<minijinja::Error>() {
                inner = source;
            }
            next = source.source();
        }
        let template = inner.name().unwrap_or(name).to_owned();
        let text = inner.template_source().unwrap_or(text).to_owned();
        let range = inner.range();
        let word = range
            .clone()
            .and_then(|range| text.get(range))
            .filter(|word| !word.is_empty());
        let what = match (inner.kind(), word) {
            (minijinja::ErrorKind::UndefinedError, Some(word)) => format!("`{word}` is undefined"),
            (minijinja::ErrorKind::OutOfFuel, _) => {
                "the template does not come to an end".to_owned()
            }
            (kind, _) => match inner.detail() {
                Some(detail) => format!("{kind}: {detail}"),
                None => kind.to_string(),
            },
        };
        BookFault {
            template,
            line: inner.line(),
            range,
            text,
            what,
        }
    }

    /// The report. The template joins the sources, so that its lines can be shown.
    pub fn diagnostic(&self, sources: &mut Sources) -> Diagnostic {
        let file = sources.add(Source::new(
            format!("book-templates/{}", self.template),
            self.text.as_str(),
        ));
        let line_start = |line: usize| {
            self.text
                .split_inclusive('\n')
                .take(line.saturating_sub(1))
                .map(str::len)
                .sum::<usize>()
        };
        let range = self.range.clone().unwrap_or_else(|| {
            let start = self.line.map_or(0, line_start);
            let rest = self.text.get(start..).unwrap_or("");
            start..start + rest.lines().next().map_or(0, str::len)
        });
        let span = Span {
            file,
            start: range.start as u32,
            end: range.end as u32,
        };
        Diagnostic::new(
            &code::BOOK_TEMPLATE,
            format!("the book's template `{}` can't be filled in", self.template),
            span,
            self.what.clone(),
        )
        .help(
            "correct this template, or take it out of the folder so that the built-in one is used",
        )
    }
}

impl fmt::Display for BookFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.line {
            Some(line) => write!(f, "{}:{line}: {}", self.template, self.what),
            None => write!(f, "{}: {}", self.template, self.what),
        }
    }
}

impl std::error::Error for BookFault {}
