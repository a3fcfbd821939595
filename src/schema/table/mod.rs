//! The rows: one file for each group of heads, one for the kinds of joint, one for the clause words.
//!
//! Plain data. A new kind of thing is a row here; nothing else of the reader changes.

mod anywhere;
mod case;
mod file;
mod joint;
mod later;
mod material;
mod opening;
mod piece;
mod rack;
mod shop;
mod stock;
mod together;
mod words;

use super::head::{Context, Head, Kind, Names, Need, Word};

pub use words::{EDGES, LATER_CHOICES, WORDS};

/// Rows of each group, in the order of the reference.
static GROUPS: &[&[Head]] = &[
    file::HEADS,
    piece::HEADS,
    together::HEADS,
    case::HEADS,
    opening::HEADS,
    stock::HEADS,
    material::HEADS,
    shop::HEADS,
    rack::HEADS,
    anywhere::HEADS,
    later::HEADS,
];

/// Every row.
pub fn heads() -> impl Iterator<Item = &'static Head> {
    GROUPS.iter().flat_map(|group| group.iter())
}

/// The row of this word here.
pub fn head(word: &str, context: Context) -> Option<&'static Head> {
    heads().find(|head| head.word == word && head.places.contains(&context))
}

/// The clause word.
pub fn word(word: &str) -> Option<&'static Word> {
    WORDS.iter().find(|row| row.word == word)
}

/// Every kind of joint.
pub fn joints() -> &'static [Kind] {
    joint::KINDS
}

/// The kind of joint with this word.
pub fn joint(word: &str) -> Option<&'static Kind> {
    joint::KINDS.iter().find(|kind| kind.word == word)
}

/// Whether a maker may not use the word as a name.
pub fn reserved(name: &str) -> bool {
    word(name).is_some_and(|row| !row.free)
}

/// A row with everything at its least, for the rows to start from.
const ROW: Head = Head {
    word: "",
    places: &[],
    names: Names::None,
    declares: true,
    count: Need::No,
    title: Need::No,
    values: &[],
    set: false,
    kinds: &[],
    clauses: &[],
    block: None,
    once: false,
    later: false,
    doc: "",
    example: "",
};

/// Where remarks may stand.
const EVERY_BLOCK: &[Context] = &[
    Context::Piece,
    Context::Case,
    Context::Divide,
    Context::Openings,
    Context::Assemble,
    Context::Leaf,
    Context::Drawer,
    Context::Face,
    Context::Shelves,
    Context::Thing,
    Context::Frame,
    Context::Run,
    Context::Slab,
];
