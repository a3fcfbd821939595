//! Integration tests.

mod bad_input;
mod book;
mod explain;
mod library;
mod render;
mod schema;
mod support;
mod syntax;
