//! Checked lines: each clause with its word, its values and its tails, as the schema's table reads them.

use super::{Head, Kind};
use crate::source::Span;
use crate::syntax::tree::{Doc, Expr, ExprKind};

/// A line that the table accepts: subject, clauses, lines of its block.
///
/// A clause that stands as a line of the block is in `clauses` like any other.
#[derive(Clone, Debug)]
pub struct Form {
    /// The row of the table.
    pub head: &'static Head,
    /// The head's word.
    pub head_span: Span,
    /// Of `pattern HEAD NAME …`: the head that it is a pattern of.
    pub patterned: Option<&'static Head>,
    /// Of stock and hardware: the kind, which also stands in `values`.
    pub kind: Option<&'static Kind>,
    /// The names that it declares or speaks of (for `join`, `band`: parts; for `divide`, the space).
    pub names: Vec<NameUse>,
    /// The title of a piece, commission, note or requirement: `"Score cabinet"`; Markdown of a note.
    pub title: Option<(String, Span)>,
    /// How many: `shelves 2 of oak18`, `pins 4 of pin5`, `openings tray 3`.
    pub count: Option<Expr>,
    /// Leading values that are neither names nor a count: `require a >= b`, `edition 1`,
    /// `use "x.case"`, `units in 1/32in`, `due "…"`, `sand 120, 180`, `relief groove 0.5mm`,
    /// `stock oak18 sheet`, `divide inside downward`.
    pub values: Vec<Expr>,
    /// In the order written.
    pub clauses: Vec<Clause>,
    /// The lines of the block that are not clauses.
    pub lines: Vec<Entry>,
    /// After `=`: the value of `let`, `param`, `expect`.
    pub set: Option<Expr>,
    /// Its description.
    pub docs: Vec<Doc>,
    /// The whole line.
    pub span: Span,
    /// Whether it was damaged (reported already): what is missing stays quiet.
    pub damaged: bool,
}

/// A line of a block.
#[derive(Clone, Debug)]
pub enum Entry {
    /// A line.
    Form(Form),
    /// A conditional.
    If(Branch),
}

/// `if CONDITION { … } else { … }`: both blocks are read; which one holds is decided later.
#[derive(Clone, Debug)]
pub struct Branch {
    /// The condition.
    pub condition: Expr,
    /// What holds if it does.
    pub then: Content,
    /// What holds if it does not.
    pub otherwise: Content,
    /// The whole.
    pub span: Span,
}

/// What a block holds.
#[derive(Clone, Debug, Default)]
pub struct Content {
    /// The clauses of its owner that stand as lines.
    pub clauses: Vec<Clause>,
    /// The other lines.
    pub lines: Vec<Entry>,
    /// Whether a line of it was lost.
    pub damaged: bool,
}

impl Content {
    /// Whether it states a clause of its owner, in a branch or not.
    pub fn states(&self) -> bool {
        !self.clauses.is_empty() || self.lines.iter().any(Entry::states)
    }
}

impl Entry {
    /// Whether it is a conditional that states a clause of the line in whose block it stands.
    pub fn states(&self) -> bool {
        match self {
            Entry::Form(_) => false,
            Entry::If(branch) => branch.then.states() || branch.otherwise.states(),
        }
    }
}

/// A word and its value, with the words that qualify it.
#[derive(Clone, Debug)]
pub struct Clause {
    /// The clause word: `thick`, `of`, `from`, …
    pub word: &'static str,
    /// Where the word stands.
    pub word_span: Span,
    /// Its values; none for a flag.
    pub values: Vec<Expr>,
    /// `on EDGES` of a `proud`, `from`/`to`/`between` of an axis word, `from` of an `at`,
    /// `per` of a price; of `with`: the joint's options; of a hardware count: `of`.
    pub tails: Vec<Clause>,
    /// Word, values and tails.
    pub span: Span,
}

/// A name where it stands, perhaps one element of an array: `box[2, 6]`.
#[derive(Clone, Debug)]
pub struct NameUse {
    /// The name; dotted where it is a member: `gates.left`.
    pub text: String,
    /// The indices, if it is one element.
    pub index: Vec<Expr>,
    /// Where.
    pub span: Span,
}

impl NameUse {
    /// The plain name as an expression, to ask for its value.
    pub fn as_expr(&self) -> Expr {
        Expr {
            kind: ExprKind::Name(self.text.clone()),
            span: self.span,
        }
    }
}

impl Form {
    /// The last clause of this word (a later one of the same tail replaces an earlier one).
    pub fn clause(&self, word: &str) -> Option<&Clause> {
        self.clauses.iter().rev().find(|clause| clause.word == word)
    }

    /// All clauses of this word.
    pub fn all<'a>(&'a self, word: &'a str) -> impl Iterator<Item = &'a Clause> {
        self.clauses
            .iter()
            .filter(move |clause| clause.word == word)
    }

    /// Whether the flag is there.
    pub fn has(&self, word: &str) -> bool {
        self.clause(word).is_some()
    }

    /// The forms of its block with this head, conditionals left out.
    pub fn forms<'a>(&'a self, head: &'a str) -> impl Iterator<Item = &'a Form> {
        self.lines.iter().filter_map(move |entry| match entry {
            Entry::Form(form) if form.head.word == head => Some(form),
            _ => None,
        })
    }
}

impl Clause {
    /// The tail with this word.
    pub fn tail(&self, word: &str) -> Option<&Clause> {
        self.tails.iter().rev().find(|clause| clause.word == word)
    }

    /// The first value.
    pub fn value(&self) -> Option<&Expr> {
        self.values.first()
    }
}
