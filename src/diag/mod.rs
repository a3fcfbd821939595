//! Messages to the maker: the table of codes, the diagnostic as data, its pages and its rendering.
//!
//! A [`Diagnostic`] holds facts and short texts; turning it into boxes and arrows is `render`'s job
//! alone. Nothing here knows of furniture.

mod codes;
mod explain;
mod mend;
mod render;
mod suggest;

/// One constant for each code: `code::FIT_DRAWER_WIDE`.
pub use codes::code;
pub use codes::{CODES, Code, Severity};
pub use explain::{Sample, explain, pages, sources};
pub use mend::{Edit, Mend, apply};
pub use render::{Style, render, safe};
pub use suggest::{nearest, surely};

use crate::source::Span;

/// A place with a few words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Label {
    /// Where.
    pub span: Span,
    /// What is so here; short, lower case.
    pub text: String,
}

/// One report about one mistake.
#[derive(Clone, Debug)]
pub struct Diagnostic {
    /// The row of the table.
    pub code: &'static Code,
    /// Understandable alone on one line; lower case, no full stop, never the cure.
    pub title: String,
    /// The faulty place first, then the places that it clashes with.
    pub labels: Vec<Label>,
    /// The arithmetic, or the other side of the matter; one line each.
    pub notes: Vec<String>,
    /// What would mend it; one way each.
    pub help: Vec<String>,
    /// The cure as a change of the text, where it can be told exactly; `help` says it in words.
    pub mend: Option<Box<Mend>>,
}

impl Diagnostic {
    /// A report with its main place.
    pub fn new(
        code: &'static Code,
        title: impl Into<String>,
        span: Span,
        here: impl Into<String>,
    ) -> Diagnostic {
        Diagnostic {
            code,
            title: title.into(),
            labels: vec![Label {
                span,
                text: here.into(),
            }],
            notes: Vec::new(),
            help: Vec::new(),
            mend: None,
        }
    }

    /// Adds another place.
    #[must_use]
    pub fn at(mut self, span: Span, text: impl Into<String>) -> Diagnostic {
        self.labels.push(Label {
            span,
            text: text.into(),
        });
        self
    }

    /// Adds a line of arithmetic or reason.
    #[must_use]
    pub fn note(mut self, text: impl Into<String>) -> Diagnostic {
        self.notes.push(text.into());
        self
    }

    /// Adds a way to mend it.
    #[must_use]
    pub fn help(mut self, text: impl Into<String>) -> Diagnostic {
        self.help.push(text.into());
        self
    }

    /// Adds the one change of the text that mends it beyond doubt.
    #[must_use]
    pub fn mend(self, span: Span, text: impl Into<String>) -> Diagnostic {
        self.mends([Edit::new(span, text)], true)
    }

    /// Adds a change of the text that may mend it, where something else may have been meant.
    #[must_use]
    pub fn might_mend(self, span: Span, text: impl Into<String>) -> Diagnostic {
        self.mends([Edit::new(span, text)], false)
    }

    /// Adds changes of the text that together mend it; whether beyond doubt.
    #[must_use]
    pub fn mends(mut self, edits: impl IntoIterator<Item = Edit>, certain: bool) -> Diagnostic {
        self.mend = Some(Box::new(Mend {
            edits: edits.into_iter().collect(),
            certain,
        }));
        self
    }

    /// Adds "did you mean", and the change of the text: beyond doubt if no other word is near.
    #[must_use]
    pub fn meant<'a>(
        self,
        word: &str,
        near: &str,
        span: Span,
        candidates: impl Iterator<Item = &'a str>,
    ) -> Diagnostic {
        let certain = surely(word, candidates) == Some(near);
        self.help(format!("did you mean `{near}`?"))
            .mends([Edit::new(span, near)], certain)
    }

    /// The place of the fault.
    pub fn span(&self) -> Span {
        self.labels
            .first()
            .expect("a diagnostic is made with its main place")
            .span
    }

    /// Whether this stops the book.
    pub fn is_error(&self) -> bool {
        self.code.severity == Severity::Error
    }
}
