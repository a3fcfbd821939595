//! Integration tests.
mod schema;
mod syntax;
