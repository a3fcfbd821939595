//! Heads at the top of a file, and those that may stand in any block.

use super::{EVERY_BLOCK, ROW};
use crate::schema::head::{Context, Head, Names, Need, Shape, Slot, opt};

pub(super) const HEADS: &[Head] = &[
    Head {
        word: "edition",
        places: &[Context::File],
        values: &[Slot {
            name: "number",
            shape: Shape::Number,
            optional: false,
        }],
        once: true,
        doc: "The edition of the language that the file is written in; it stands first.",
        example: "edition 1",
        ..ROW
    },
    Head {
        word: "use",
        places: &[Context::File],
        values: &[Slot {
            name: "file",
            shape: Shape::Value,
            optional: false,
        }],
        doc: "Takes in what another file of the project declares; `use std` is the library that ships inside the program; `casewright words std` lists it.",
        example: "use \"stock.case\"",
        ..ROW
    },
    Head {
        word: "let",
        places: Context::ALL,
        names: Names::One,
        set: true,
        doc: "Gives a value a name.",
        example: "let reach = 560mm - 2 * 18mm",
        ..ROW
    },
    Head {
        word: "param",
        places: &[Context::File, Context::Piece, Context::Pattern],
        names: Names::One,
        set: true,
        clauses: &[&[
            opt("from")
                .takes(Shape::Value)
                .says("the least that it may be"),
            opt("to")
                .takes(Shape::Value)
                .says("the most that it may be"),
        ]],
        doc: "A value that whoever makes the piece, or uses the pattern, may set; what follows `=` is its default.",
        example: "param width = 900mm from 600mm to 1200mm",
        ..ROW
    },
    Head {
        word: "pattern",
        places: &[Context::File, Context::Piece, Context::Case],
        names: Names::One,
        block: Some(Context::Pattern),
        doc: "Declares a thing without building it: `pattern HEAD NAME …`, with `param` lines of its own; a thing of that head is made `like` it.",
        example: "pattern band lipping of oak thick 8mm with tongue thick 4mm deep 5mm",
        ..ROW
    },
    Head {
        word: "note",
        places: &[
            Context::File,
            Context::Piece,
            Context::Case,
            Context::Divide,
            Context::Openings,
            Context::Leaf,
            Context::Drawer,
            Context::Face,
            Context::Shelves,
            Context::Thing,
            Context::Commission,
            Context::Pattern,
        ],
        title: Need::Must,
        doc: "Words for the book, in Markdown between `\"\"\"`; `{expr}` inside is computed.",
        example: "note \"\"\"Pick the straightest boards for the doors.\"\"\"",
        ..ROW
    },
    Head {
        word: "allow",
        places: EVERY_BLOCK,
        values: &[Slot {
            name: "code",
            shape: Shape::Code,
            optional: false,
        }],
        title: Need::Must,
        doc: "Turns a caution about the thing that it stands in into a noted decision, with the reason; cautions of safety can't be allowed.",
        example: "allow show.bare_edge \"the rear is painted with the wall\"",
        ..ROW
    },
    Head {
        word: "require",
        places: EVERY_BLOCK,
        values: &[Slot {
            name: "condition",
            shape: Shape::Value,
            optional: false,
        }],
        title: Need::Must,
        doc: "A condition of the maker's own that must hold, and the words that say why.",
        example: "require body.well.high >= 120mm \"a full score lies in the well\"",
        ..ROW
    },
    Head {
        word: "expect",
        places: EVERY_BLOCK,
        values: &[Slot {
            name: "what",
            shape: Shape::Value,
            optional: false,
        }],
        set: true,
        doc: "A figure that is verified and printed, and never used.",
        example: "expect body.well.high = 130mm",
        ..ROW
    },
];
