//! Text to tree. Parsing never fails outright: it gives a tree and what it could not read.
//!
//! Nothing after this stage knows the parser: pairs become our own tree with our own spans at once.
//! Nothing here knows what a head means; that is the schema's.

pub mod tree;
