//! Integration tests: one binary, a module for each subject.

#![allow(clippy::unwrap_used, reason = "a test that can't go on should stop")]

mod allow;
mod arrays;
mod assembly;
mod bad_input;
mod board_sizes;
mod book;
mod book_md;
mod cards;
mod changes;
mod checks;
mod cli;
mod cures;
mod cut_lists;
mod draw;
mod explain;
mod faults;
mod highlight;
mod house;
mod judge;
mod laws;
mod library;
mod made_up;
mod mend;
mod narrowing;
mod once;
mod rack;
mod reference;
mod refused;
mod render;
mod reuse;
mod room_on_sheets;
mod rules;
mod schema;
mod setups;
mod sheets;
mod since;
mod start;
mod support;
mod syntax;
mod tidy;
mod workplans;
