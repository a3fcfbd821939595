//! The schema: one table of heads, their subjects, clauses and lines, with documentation and
//! examples. Checking, suggestions and the language reference read it; a new kind of thing is a row.

mod form;

pub use form::{Clause, Entry, Form, NameUse};

/// A head of the language: one row of the table.
#[derive(Debug)]
pub struct Head {
    /// The first word of the line.
    pub word: &'static str,
}
