//! Text to tree. Parsing never fails outright: it gives a tree and what it could not read.
//!
//! [`parse`] goes in four steps: `marks` finds the braces, brackets, newlines and comments; `layout`
//! pairs them and mends unbalanced braces; `lines` and `blocks` walk the file and give each line to the
//! grammar (`parse`, `build`, `literal`). What cannot be read is explained by `fault` and `foreign` from
//! the `place` where reading stopped; slips that read well but mean nothing are caught by `mend`; texts
//! that are not read at all by `refuse`.
//!
//! [`tidy`] goes the other way: the same text in one canonical layout.
//!
//! Nothing after this stage knows the parser: pairs become our own tree with our own spans at once.
//! Nothing here knows what a head means; that is the schema's.

mod blocks;
mod build;
mod fault;
mod foreign;
mod layout;
mod lines;
mod literal;
mod marks;
mod mend;
mod parse;
mod place;
mod refuse;
mod tidy;
pub mod tree;

pub use lines::parse;
pub use tidy::{Untidy, tidy};
