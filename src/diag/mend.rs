//! The cure of a fault as a change of the text, where it can be told exactly.

use crate::source::Span;

/// A change of the text that mends a fault.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mend {
    /// What is put in the place of what; they do not overlap.
    pub edits: Vec<Edit>,
    /// Whether nothing else can have been meant, so that it may be done without asking.
    pub certain: bool,
}

/// Words in the place of a stretch of text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Edit {
    /// What is replaced; empty where something is put in.
    pub span: Span,
    /// What stands there afterwards.
    pub text: String,
}

impl Edit {
    /// These words in the place of a stretch.
    pub fn new(span: Span, text: impl Into<String>) -> Edit {
        Edit {
            span,
            text: text.into(),
        }
    }
}

/// The text after these edits, of which those that overlap an earlier one are left out.
///
/// ```
/// use casewright::diag::{Edit, apply};
/// use casewright::source::{FileId, Span};
/// let span = |start, end| Span { file: FileId(0), start, end };
/// let edits = [Edit::new(span(2, 3), "B"), Edit::new(span(0, 0), ">"), Edit::new(span(2, 4), "x")];
/// assert_eq!(apply("a b c", &edits), ">a B c");
/// ```
pub fn apply(text: &str, edits: &[Edit]) -> String {
    let mut order: Vec<&Edit> = edits.iter().collect();
    order.sort_by_key(|edit| (edit.span.start, edit.span.end));
    let mut out = String::with_capacity(text.len());
    let mut at = 0usize;
    for edit in order {
        let (start, end) = (edit.span.start as usize, edit.span.end as usize);
        let Some(kept) = text.get(at..start).filter(|_| end >= start) else {
            continue;
        };
        if !text.is_char_boundary(end) {
            continue;
        }
        out.push_str(kept);
        out.push_str(&edit.text);
        at = end;
    }
    out.push_str(text.get(at..).unwrap_or(""));
    out
}
