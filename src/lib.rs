//! Casewright compiles a piece of furniture, described in plain text, into a printed build book.
//!
//! Text flows through stages, each a module that knows only those before it:
//!
//! | stage | takes | gives |
//! |---|---|---|
//! | [`measure`] | – | exact lengths, quantities, printing |
//! | [`source`], [`diag`] | files | spans, coded messages |
//! | [`syntax`] | text | a tree that keeps every span and comment |
//! | [`schema`] | tree | lines checked against the one table of heads |
//! | [`model`] | – | the plain data of a finished piece |
//! | [`solid`] | model | the wood of parts: volume, what two share, where they touch |
//! | [`assembly`] | model | what is in the way of what, and the order in which it goes together |
//! | [`elaborate`] | checked lines | the model, proven consistent |
//! | [`cutting`] | sheets and parts as integers | layouts by cuts right through, and a proven bound |
//! | [`rules`] | model | findings: figure, limit, margin |
//! | [`plan`] | model | cut list, setups, glue-up, finish, buying, layouts |
//! | [`diff`] | lines, models and plans of two revisions | what was decided otherwise, and what follows |
//! | [`draw`] | model | drawings as scenes, then SVG |
//! | [`book`] | all of it | the HTML build book |
//! | [`cli`] | arguments | files, terminal output, exit codes |
//!
//! [`compile`] runs them in order.

pub mod assembly;
pub mod book;
pub mod cli;
mod compile;
pub mod cutting;
pub mod diag;
pub mod diff;
pub mod draw;
pub mod elaborate;
pub mod measure;
pub mod model;
pub mod plan;
pub mod rules;
pub mod schema;
pub mod sight;
pub mod solid;
pub mod source;
pub mod syntax;

pub use compile::{Compiled, compile};
