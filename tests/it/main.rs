//! Integration tests.
mod syntax;
