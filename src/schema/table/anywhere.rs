//! Heads that shape other lines: they stand in every block.

use super::ROW;
use crate::schema::head::{Context, Head, Names, Shape, req};

/// Every block; at the top of a file each declaration has a name of its own.
const BLOCKS: &[Context] = &[
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
    Context::Stock,
    Context::Material,
    Context::Hardware,
    Context::Finish,
    Context::Shop,
    Context::Commission,
    Context::Pattern,
];

pub(super) const HEADS: &[Head] = &[
    Head {
        word: "repeat",
        places: BLOCKS,
        names: Names::One,
        clauses: &[&[
            req("from")
                .takes(Shape::Number)
                .says("the first value, 1 or more"),
            req("to")
                .takes(Shape::Number)
                .says("the last value; below the first, nothing is repeated"),
        ]],
        block: Some(Context::Around),
        doc: "Repeats the lines of its block for each whole number of a range, which the name stands for; what they declare becomes an array, with that number as its index.",
        example: "repeat i from 1 to 4 {\n    require 100mm * i <= 400mm \"each fits\"\n}",
        ..ROW
    },
    Head {
        word: "drop",
        places: BLOCKS,
        names: Names::Some,
        declares: false,
        doc: "In what is `like` something else: takes out the lines with these names, and these names out of its joints and bands.",
        example: "drop rear",
        ..ROW
    },
];
