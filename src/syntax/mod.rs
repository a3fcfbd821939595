//! Text to tree. Parsing never fails outright: it gives a tree and what it could not read.
//!
//! [`parse`] goes in four steps, one file each: `marks` finds the braces, brackets, newlines and
//! comments; `layout` pairs them and mends unbalanced braces; `lines` walks the lines and blocks and
//! gives each line to the grammar (`parse`, `build`, `literal`); what a line holds that cannot be read
//! is explained by `fault`, and slips that read well but mean nothing by `mend`.
//!
//! Nothing after this stage knows the parser: pairs become our own tree with our own spans at once.
//! Nothing here knows what a head means; that is the schema's.

mod build;
mod fault;
mod layout;
mod lines;
mod literal;
mod marks;
mod mend;
mod parse;
pub mod tree;

pub use lines::parse;
