//! Integration tests.

mod bad_input;
mod book;
mod cut_lists;
mod draw;
mod explain;
mod house;
mod library;
mod render;
mod schema;
mod setups;
mod support;
mod syntax;
mod workplans;
