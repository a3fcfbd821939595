//! The one table of codes. A code names the fault in two words, `family.fault`; it is never renamed
//! and never reused for another meaning.

/// Whether a message stops the book.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Severity {
    /// The piece can't be built as written.
    Error,
    /// It can be, but a maker would look twice. `allow CODE "why"` records the decision.
    Caution,
}

/// One row.
#[derive(Debug)]
pub struct Code {
    /// `family.fault`.
    pub name: &'static str,
    /// Error or caution.
    pub severity: Severity,
    /// One line for the index.
    pub title: &'static str,
}

impl Code {
    /// The row with this name.
    pub fn find(name: &str) -> Option<&'static Code> {
        CODES.iter().copied().find(|code| code.name == name)
    }
}

impl PartialEq for Code {
    fn eq(&self, other: &Code) -> bool {
        self.name == other.name
    }
}

macro_rules! codes {
    ($($constant:ident $severity:ident $name:literal $title:literal;)*) => {
        /// One constant for each code.
        pub mod code {
            use super::{Code, Severity};
            $(#[doc = $title] pub static $constant: Code = Code { name: $name, severity: Severity::$severity, title: $title };)*
        }
        /// Every code, by family.
        pub static CODES: &[&Code] = &[$(&code::$constant),*];
    };
}

codes! {
    SYNTAX_UNREADABLE Error "syntax.unreadable" "something on this line cannot be read";
    BOOK_TEMPLATE Error "book.template" "a template of the book cannot be filled in";
}
