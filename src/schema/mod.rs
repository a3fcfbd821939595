//! The schema: one table of heads, their subjects, clauses and lines, with documentation and
//! examples. Checking, suggestions and the language reference read it; a new kind of thing is a row.
//!
//! [`read`] takes the flat lines of the tree and gives [`Form`]s: names, count, title and leading
//! values sorted out, every clause with its tails. It knows shapes, never values: what a name stands
//! for and what an expression comes to is for the stage after.
//!
//! What a reader of forms may count on:
//!
//! - A clause that stands as a line of the block is in [`Form::clauses`], after those of the line.
//!   Only lines with a head of their own are in [`Form::lines`].
//! - `from`, `to`, `between`, `on`, `per` are tails of the nearest word before them that takes them,
//!   otherwise clauses of the head (`pins … from a to b`, `band … on front`, `param x = 1 from 0 to 2`).
//! - `with KIND n`: the values are the kind's name and, of fasteners, the count; the options are its tails.
//! - `pattern HEAD NAME …` has [`Form::patterned`]; what follows is read as for that head.
//! - A form that is [`Form::damaged`] was reported already; so was every [`ExprKind::BadUnit`] in it.
//!   A head that is [`Head::later`] gives a damaged form with its names, and nothing else.
//! - What is missing is reported here, but not where it may come from elsewhere: not on lines with
//!   `like`, and not within the block of such a line or of a pattern. Call [`complete`] after merging.
//!
//! [`ExprKind::BadUnit`]: crate::syntax::tree::ExprKind::BadUnit

mod fault;
mod form;
mod head;
mod read;
mod reference;
pub mod table;

pub use form::{Branch, Clause, Content, Entry, Form, NameUse};
pub use head::{Context, Head, Kind, Names, Need, Preposition, Shape, Slot, Use, Word};
pub use read::{complete, read};
pub use reference::{Example, FIELDS, OPEN, Open, Shown, TOPICS, Topic, examples, shown, words};
