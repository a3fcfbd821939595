//! Integration tests.

mod bad_input;
mod explain;
mod render;
mod schema;
mod syntax;
