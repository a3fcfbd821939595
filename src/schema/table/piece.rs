//! Heads of pieces and commissions.

use super::ROW;
use crate::schema::head::{Context, Head, Names, Need, Shape, Slot, def, opt, req};

pub(super) const HEADS: &[Head] = &[
    Head {
        word: "piece",
        places: &[Context::File],
        names: Names::One,
        title: Need::May,
        block: Some(Context::Piece),
        doc: "A piece of furniture: what stands as one is one piece.",
        example: "piece shelf_box \"Shelf box\" {\n    units mm\n    case body seen front, left, right {\n        size wide 600mm high 300mm deep 250mm\n        side left, right of oak18\n        bottom floor of oak18\n        top lid of oak18\n        join floor, lid into left, right with rabbet deep 8mm\n        band left, right, floor, lid on front of oak thick 1mm\n    }\n}",
        ..ROW
    },
    Head {
        word: "commission",
        places: &[Context::File],
        names: Names::One,
        title: Need::May,
        block: Some(Context::Commission),
        doc: "What is made together, for whom and by when: its pieces share sheets, setups and glue-ups.",
        example: "commission music_room \"Music school, score room\" {\n    make 3 of score_cabinet(width: 900mm)\n}",
        ..ROW
    },
    Head {
        word: "units",
        places: &[Context::Piece],
        values: &[
            Slot {
                name: "`mm` or `in`",
                shape: Shape::Choice(&["mm", "in"]),
                optional: false,
            },
            Slot {
                name: "finest fraction",
                shape: Shape::Length,
                optional: true,
            },
        ],
        once: true,
        doc: "The units in which the book prints this piece; for inches perhaps the finest fraction, otherwise 1/64in.",
        example: "units in 1/32in",
        ..ROW
    },
    Head {
        word: "finish",
        places: &[Context::Piece, Context::Commission],
        names: Names::One,
        declares: false,
        once: true,
        doc: "The finish that is put on, by the name of a `finish` of the file.",
        example: "finish clear_hard",
        ..ROW
    },
    Head {
        word: "case",
        places: &[Context::Piece, Context::Run, Context::Case],
        names: Names::One,
        clauses: &[&[
            opt("like").says("a pattern of a case, or another case, that this one repeats"),
            def("seen", "front, left, right, top").says("the sides that show"),
            opt("in").says("within another case: the opening that it is placed in, or an array of openings: then one in each"),
            opt("gap")
                .says("within an opening: the air around it")
                .beside(&["in"])
                .sides(&["left", "right", "front", "rear", "top", "bottom", "all"]),
            opt("set_back")
                .says("within an opening: how far behind its front")
                .beside(&["in"]),
        ]],
        block: Some(Context::Case),
        doc: "A box of panels with openings in it.",
        example: "case body seen front, left, right {\n    size wide 600mm high 300mm deep 250mm\n    side left, right of oak18\n    bottom floor of oak18\n    top lid of oak18\n    join floor, lid into left, right with rabbet deep 8mm\n    band left, right, floor, lid on front of oak thick 1mm\n}",
        ..ROW
    },
    Head {
        word: "stand",
        places: &[Context::Piece],
        names: Names::One,
        clauses: &[&[
            opt("like").says("a pattern of a stand, or another stand, that this one repeats"),
            def("seen", "front, left, right, top").says("the sides that show"),
        ]],
        block: Some(Context::Case),
        doc: "Legs and aprons with a top. `inside`, also called `front`, is the space between the legs, from the ground to the underside of the top and back to the rear apron.",
        example: "stand table {\n    size  wide 900mm high 760mm deep 360mm\n    leg   fl, fr, rl, rr    of oak thick 45mm\n    top   board             of oak thick 20mm proud 25mm\n    apron left, right, rear of oak thick 22mm high 112mm set_in 4mm\n    join  left, right, rear into fl, fr, rl, rr with mortise thick 8mm deep 22mm\n}",
        ..ROW
    },
    Head {
        word: "size",
        places: &[Context::Case],
        clauses: &[&[
            opt("wide").says("from left to right"),
            opt("high").says("from the ground to the top"),
            opt("deep").says("from front to rear"),
        ]],
        block: Some(Context::Thing),
        once: true,
        doc: "How wide, high and deep the case is; one placed in an opening fills it where nothing is said. The envelope of the case's finished panels: edging and a lid or top included; what is `proud`, overlay fronts, applied faces and pulls excluded.",
        example: "size wide 900mm high 760mm deep 460mm",
        ..ROW
    },
    Head {
        word: "client",
        places: &[Context::Commission],
        values: &[Slot {
            name: "who",
            shape: Shape::Text,
            optional: false,
        }],
        once: true,
        doc: "For whom it is made.",
        example: "client \"The music school\"",
        ..ROW
    },
    Head {
        word: "due",
        places: &[Context::Commission],
        values: &[Slot {
            name: "date",
            shape: Shape::Text,
            optional: false,
        }],
        once: true,
        doc: "The day of delivery, as year, month and day.",
        example: "due \"2027-03-12\"",
        ..ROW
    },
    Head {
        word: "make",
        places: &[Context::Commission],
        count: Need::Must,
        clauses: &[&[req("of").says("a piece, perhaps with values for its parameters")]],
        doc: "How many of a piece are made.",
        example: "make 3 of score_cabinet(width: 900mm)",
        ..ROW
    },
];
