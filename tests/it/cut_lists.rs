//! Complete cut lists, worked by hand from the placement rules, with the arithmetic beside each
//! size. A part that is missing or extra fails; so does a size that is off by anything at all.

mod list;
mod pieces;
