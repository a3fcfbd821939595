//! Heads that put cases together: where they stand, rows of them, what covers a row, what holds it.

use super::ROW;
use crate::schema::head::{Context, Head, Names, Shape, Slot, Use, opt, req};

/// What is fitted where the piece stands.
const FITTED: &[Use] = &[
    req("of").says("the stock"),
    opt("thick").says("of a part of board: its planed thickness; a sheet has its own"),
    opt("grain"),
];

const LENGTHS: Use = opt("lengths").says("made of so many equal lengths; one unless said");

pub(super) const HEADS: &[Head] = &[
    Head {
        word: "place",
        places: &[Context::Case],
        declares: false,
        values: &[Slot {
            name: "`right`, for beside",
            shape: Shape::Choice(&["right"]),
            optional: true,
        }],
        clauses: &[&[
            opt("on")
                .takes(Shape::Thing)
                .says("stands on this case or worktop, left and rear edges in line"),
            opt("of").says("stands at the right of this case, on the same ground, rears in line"),
            opt("across").says("how far to the right of where it would stand"),
            opt("inward").says("how far behind the front of what it stands on or beside, in place of rears in line"),
            opt("centred").says("in the middle of its width").without(&["across"]),
        ]],
        once: true,
        doc: "Where a case stands: on another, at the right of another; or within the opening that it is `in`.",
        example: "place right of base across 2mm",
        ..ROW
    },
    Head {
        word: "run",
        places: &[Context::Piece],
        names: Names::One,
        clauses: &[&[
            opt("wide").says("what it fills; left out, what stands in it says so"),
            opt("up").says("how far its cases stand above the ground"),
        ]],
        block: Some(Context::Run),
        doc: "Cases in a row, rears in line, from left to right; fillers share what is left of its width.",
        example: "run north wide 1280mm up 100mm {\n    filler scribe of white18\n    case bench like base_case(width: 600mm)\n    case desk like base_case(width: 600mm)\n}",
        ..ROW
    },
    Head {
        word: "filler",
        places: &[Context::Run],
        names: Names::One,
        clauses: &[
            FITTED,
            &[
                opt("wide").says("its width; left out, it shares the rest").without(&["share"]),
                opt("share").says("its share of the rest, where others have another"),
            ],
        ],
        block: Some(Context::Slab),
        doc: "A strip in line with the fronts of the cases, as high as the case beside it, that fills the rest of a run.",
        example: "filler scribe of white18",
        ..ROW
    },
    Head {
        word: "worktop",
        places: &[Context::Piece],
        names: Names::One,
        clauses: &[
            FITTED,
            &[
                req("over").says("the run or the cases that it lies on"),
                opt("proud").says("past the front, or past the edges that `on` names"),
                LENGTHS,
            ],
        ],
        block: Some(Context::Slab),
        doc: "A top that lies on a run or on cases, from their rears to their fronts.",
        example: "worktop slab of oak18 over north proud 30mm on front {\n    band on front of oak thick 8mm\n}",
        ..ROW
    },
    Head {
        word: "kick",
        places: &[Context::Piece],
        names: Names::One,
        clauses: &[
            FITTED,
            &[
                req("under").says("the run or the cases that it stands under"),
                opt("set_back").says("behind their fronts"),
                opt("high").says("left out, it reaches to their undersides"),
                LENGTHS,
            ],
        ],
        block: Some(Context::Slab),
        doc: "The upright panel under a run or under cases, from end to end.",
        example: "kick plinth of white18 under north set_back 50mm lengths 2",
        ..ROW
    },
    Head {
        word: "fix",
        places: &[Context::Piece],
        names: Names::Some,
        declares: false,
        clauses: &[&[
            req("to").says("the cases and tops that they are held to"),
            req("with").takes(Shape::JointOf(super::joint::HOLDS)),
        ]],
        block: Some(Context::Thing),
        doc: "Holds cases, worktops, kicks and fillers to each other where they meet, so that they can be taken apart.",
        example: "fix slab to bench with screws 4 of screw30",
        ..ROW
    },
    Head {
        word: "bolt",
        places: &[Context::Piece],
        names: Names::One,
        declares: false,
        clauses: &[&[req("with").takes(Shape::JointOf(super::joint::HOLDS))]],
        block: Some(Context::Thing),
        doc: "Holds each two neighbours of a run to each other.",
        example: "bolt north with bolts 4 of case_bolt",
        ..ROW
    },
];
