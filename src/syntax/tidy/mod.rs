//! One canonical layout for every file: text in, text out, nothing else changed.
//!
//! Four blanks a block; one blank between words; like lines in a run (never across a blank line) have
//! their columns aligned; several blank lines become one; comments, texts and numbers stay as written,
//! and so does the order of everything. `words` spaces the words of a line, `rows` lays the tree out,
//! `align` sets the columns.
//!
//! What comes out is read again and compared with what went in (`same`) before it is given to anyone.
//! Nothing here knows what a head means: likeness of lines is likeness of their shape.

mod align;
mod rows;
mod same;
mod words;

use super::lines::parse;
use crate::diag::Diagnostic;
use crate::source::{FileId, Source, Sources};

/// Why a text is not tidied.
#[derive(Debug)]
pub enum Untidy {
    /// It can't be read wholly; nothing is moved about in such a text.
    Faults(Vec<Diagnostic>),
    /// The tidy text would not mean the same: a fault of ours, found by comparing.
    Changed,
}

/// The text of a file in its canonical layout.
///
/// # Errors
/// When the text has faults of syntax, or (a fault of ours) its layout can't be changed safely.
///
/// ```
/// use casewright::source::{Source, Sources};
/// let mut sources = Sources::default();
/// let file = sources.add(Source::new("a.case", "case  body {\nside left,right of oak18\ntop lid of oak18 }\n"));
/// assert_eq!(
///     casewright::syntax::tidy(&sources, file).unwrap(),
///     "case body {\n    side left, right of oak18\n    top  lid         of oak18\n}\n",
/// );
/// ```
pub fn tidy(sources: &Sources, file: FileId) -> Result<String, Untidy> {
    let (tree, reports) = parse(sources, file);
    if reports.iter().any(Diagnostic::is_error) {
        return Err(Untidy::Faults(reports));
    }
    let before: &str = &sources.get(file).text;
    let after = rows::lay_out(&tree, before);
    let mut again = Sources::default();
    let file = again.add(Source::new("", after.as_str()));
    let (laid_out, reports) = parse(&again, file);
    let same = !reports.iter().any(Diagnostic::is_error)
        && same::visible(before).eq(same::visible(&after))
        && same::outline(&tree, before) == same::outline(&laid_out, &after);
    if same {
        Ok(after)
    } else {
        Err(Untidy::Changed)
    }
}
