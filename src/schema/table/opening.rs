//! Heads that fill openings, and what stands in them: doors, drawers, loose shelves, their fittings.

use super::ROW;
use crate::schema::head::{Context, Head, Names, Need, Shape, Use, def, later, opt, req};

/// How a front sits in or before its opening.
const FRONT: &[Use] = &[
    opt("overlay")
        .says("lies before the case; with a length, covers so much of it")
        .without(&["inset", "set_back"])
        .sides(AROUND),
    opt("inset")
        .says("stands within the opening")
        .without(&["overlay", "reveal", "stand_off"]),
    opt("reveal")
        .says("what an overlay front leaves to be seen at the outer edges of the case")
        .sides(AROUND),
    opt("set_back")
        .says("of an inset front: how far behind the front plane")
        .beside(&["inset"]),
    opt("stand_off").says("the air behind an overlay front; left out, the hinge's"),
];

/// The edges of one front, and of a pair.
const AROUND: &[&str] = &["left", "right", "top", "bottom", "all"];
const PAIRED: &[&str] = &["left", "right", "top", "bottom", "meeting", "all"];

const GAP: Use = opt("gap")
    .says("the air to the opening, or to the next front")
    .sides(AROUND);

/// The grain of a front lies in its plane.
const FRONT_GRAIN: Shape = Shape::Choice(&["up", "across"]);

const LEAF: &[Use] = &[
    req("in").says("the opening, or an array of openings: then one in each"),
    req("of").says("the stock"),
    opt("thick").says("of a leaf of board: its planed thickness"),
    opt("grain")
        .takes(FRONT_GRAIN)
        .says("which way the grain runs: `up` unless said, or `across`"),
    opt("like").says("a pattern of a door, or another door, that this one repeats"),
];

/// Where a hinge sits: how far along the edge on which the leaf hangs.
const HUNG: &[Use] = &[
    opt("at")
        .says("where the first one sits, `from` an end of the edge that the leaf hangs on: of a door from `top` or `bottom`, of a flap from `left` or `right`; the last is as far from the other end")
        .sides(&["left", "right", "top", "bottom"]),
    opt("in").takes(Shape::Name).says(
        "of a door: the `rows` of the case whose holes take the screws of the plates: each hinge sits on the two holes nearest to its place",
    ),
    later("set_back").says("from the finished front edge of what is bored"),
];

/// Where a fitting sits.
const FITTING: &[Use] = &[
    opt("at")
        .says("where it sits; one for each direction")
        .sides(&["left", "right", "top", "bottom", "meeting"]),
    later("set_back").says("from the finished front edge of what is bored"),
];

pub(super) const HEADS: &[Head] = &[
    Head {
        word: "door",
        places: &[Context::Case],
        names: Names::MayOne,
        clauses: &[
            LEAF,
            FRONT,
            &[GAP, opt("hung").takes(Shape::Choice(&["left", "right"]))],
        ],
        block: Some(Context::Leaf),
        doc: "One door.",
        example: "door gate in cupboard of oak18 inset gap 2mm hung left {\n    band on all of oak thick 6mm\n    hinge 2 of butt50\n}",
        ..ROW
    },
    Head {
        word: "doors",
        places: &[Context::Case],
        names: Names::MayOne,
        clauses: &[LEAF, FRONT, &[GAP.sides(PAIRED)]],
        block: Some(Context::Leaf),
        doc: "A pair of doors, hung outward; `gap` is also what is left where they meet.",
        example: "doors gates in cupboard of oak18 overlay reveal 1.5mm gap 3mm {\n    band on all of oak thick 6mm\n    hinge 2 of cup_hinge\n}",
        ..ROW
    },
    Head {
        word: "flap",
        places: &[Context::Case],
        names: Names::MayOne,
        clauses: &[
            &[
                req("in").says("the opening, or an array of openings: then one in each"),
                req("of").says("the stock"),
                opt("thick").says("of a flap of board: its planed thickness"),
                opt("grain")
                    .takes(FRONT_GRAIN)
                    .says("which way the grain runs: `across` unless said, or `up`"),
                opt("like").says("a pattern of a flap, or another flap, that this one repeats"),
            ],
            FRONT,
            &[
                GAP,
                def("hung", "bottom")
                    .takes(Shape::Choice(&["bottom", "top"]))
                    .says("the edge on which it hangs: at the `bottom` it opens down, at the `top` up"),
            ],
        ],
        block: Some(Context::Leaf),
        doc: "A front that opens down or up, by the rules of doors; `stay` tells what holds it open, between the flap and the sides of its opening.",
        example: "flap desk in cupboard of oak18 inset gap 2mm hung bottom {\n    band on all of oak thick 6mm\n    hinge 3 of butt50 at 80mm from left\n    stay 2 of flap_stay at 180mm from bottom\n    lock 1 of cabinet_lock\n}",
        ..ROW
    },
    Head {
        word: "drawer",
        places: &[Context::Case],
        names: Names::MayOne,
        clauses: &[&[
            req("in").says("the opening, or an array of openings: then one in each"),
            opt("gap")
                .says("of a drawer whose front is its own: the air between it and the opening; beside it the runner's `gap` says it, and below it there is none where it runs on wood, so then `gap … on top`")
                .sides(AROUND),
            opt("set_back").says("of a drawer whose front is its own: how far behind the front plane, as behind a door"),
            later("load").says("what it carries"),
            opt("like").says("a pattern of a drawer, or another drawer, that this one repeats"),
        ]],
        block: Some(Context::Drawer),
        doc: "A box that pulls out, with ready-made `left`, `right`, `front` and `back`; its width follows from the runners.",
        example: "drawer tray in well {\n    box of birch12 high 100mm\n    bottom of birch6 at 10mm over back\n    join left, right into front, back with dovetail through tails 3\n    join bottom into left, right, front with groove deep 5mm\n    join bottom to back with nails 3 of brad20\n    runner of runner400\n}",
        ..ROW
    },
    Head {
        word: "shelves",
        places: &[Context::Case],
        names: Names::MayOne,
        count: Need::Must,
        clauses: &[&[
            req("of").says("the stock"),
            req("in").says("the opening that they lie in"),
            opt("thick").says("of shelves of board: the planed thickness"),
            def("set_back", "0mm").says("how far behind the front plane"),
            def("gap", "1mm")
                .says("the air to each side and to the back")
                .sides(&["left", "right", "rear", "all"]),
            opt("load").says("what each carries"),
            opt("grain")
                .takes(Shape::Choice(&["across", "inward"]))
                .says("which way the grain runs: `across` unless said, or `inward`"),
            opt("like").says("other shelves that these repeat"),
        ]],
        block: Some(Context::Shelves),
        doc: "Loose shelves that lie on pins.",
        example: "shelves loose 2 of oak18 in cupboard set_back 30mm gap 1mm {\n    pins 4 of pin5 pitch 32mm set_back 67mm from 96mm to 416mm\n    band on front of oak thick 6mm\n    load 60kg per m2\n}",
        ..ROW
    },
    Head {
        word: "hinge",
        places: &[Context::Leaf, Context::Thing],
        count: Need::Must,
        clauses: &[&[req("of").says("the hardware")], HUNG],
        once: true,
        doc: "How many hinges each leaf has; without a place the first and the last are 100 mm or a sixth of the edge from its ends.",
        example: "hinge 2 of cup_hinge",
        ..ROW
    },
    Head {
        word: "pull",
        places: &[Context::Leaf, Context::Drawer, Context::Face],
        count: Need::Must,
        clauses: &[&[req("of").says("the hardware")], FITTING],
        doc: "How many pulls each leaf or face has, and where.",
        example: "pull 1 of knob at 60mm from top at 40mm from meeting",
        ..ROW
    },
    Head {
        word: "catch",
        places: &[Context::Leaf],
        count: Need::Must,
        clauses: &[&[req("of").says("the hardware")], FITTING],
        doc: "How many catches hold each leaf.",
        example: "catch 1 of touch at 60mm from top",
        ..ROW
    },
    Head {
        word: "lock",
        places: &[Context::Leaf, Context::Drawer, Context::Face],
        count: Need::Must,
        clauses: &[&[req("of").says("the hardware")]],
        doc: "How many locks each leaf, drawer or face has; where they go is for their own sheet to say.",
        example: "lock 1 of cabinet_lock",
        ..ROW
    },
    Head {
        word: "foot",
        places: &[Context::Case],
        count: Need::Must,
        clauses: &[&[req("of").says("the hardware")]],
        doc: "How many feet are fixed under the case; their height is not counted.",
        example: "foot 4 of levelling_foot",
        ..ROW
    },
    Head {
        word: "stay",
        places: &[Context::Leaf, Context::Thing],
        count: Need::Must,
        clauses: &[&[
            req("of").says("the hardware"),
            opt("at")
                .says("of a flap: how far from the edge that it hangs on each is screwed to it; unless said, seven tenths of the `long` of the stay, so that it is about as far up the side")
                .sides(&["top", "bottom"]),
        ]],
        doc: "How many stays hold a lid, door or flap open, or let it down slowly. Those of a flap are screwed to the sides of its opening: one at the right, two on both sides.",
        example: "stay 1 of lid_stay",
        ..ROW
    },
    Head {
        word: "strap",
        places: &[Context::Case],
        count: Need::Must,
        clauses: &[&[req("of").says("the hardware")]],
        doc: "How many restraints hold the case to a wall, so that it can't tip.",
        example: "strap 1 of wall_strap",
        ..ROW
    },
    Head {
        word: "pins",
        places: &[Context::Shelves],
        count: Need::Must,
        clauses: &[&[
            req("of").says("the hardware").without(&["in"]),
            req("pitch").without(&["in"]),
            req("set_back")
                .says("from the front edge of what is bored to the front row; the rear row is as far from the rear edge of the shelf")
                .without(&["in"]),
            opt("from")
                .takes(Shape::Length)
                .says("the first hole, above the clear floor of the opening")
                .without(&["in"]),
            opt("to").takes(Shape::Length).says("the last hole").without(&["in"]),
            opt("in")
                .takes(Shape::Name)
                .says("the `rows` of the case, instead of holes of their own: their pins, pitch and place")
                .without(&["of", "pitch", "set_back", "from", "to"]),
        ]],
        once: true,
        doc: "How many pins carry a shelf, and the rows of holes for them, of their own or `in` the rows of the case; `from` to `to` is whole pitches.",
        example: "pins 4 of pin5 pitch 32mm set_back 67mm from 96mm to 416mm",
        ..ROW
    },
    Head {
        word: "box",
        places: &[Context::Drawer],
        clauses: &[&[
            req("of").says("the stock of its sides, front and back"),
            opt("high"),
            opt("wide").says("left out, it is made to fit"),
            opt("deep").says("left out, the runner's length"),
            opt("thick").says("of a box of board: the planed thickness"),
        ]],
        block: Some(Context::Thing),
        once: true,
        doc: "The box of the drawer: one stock for its sides, front and back.",
        example: "box of birch12 high 100mm",
        ..ROW
    },
    Head {
        word: "side",
        doc: "What is different about the sides of the box.",
        example: "side of birch16",
        ..BOX_PART
    },
    Head {
        word: "front",
        doc: "What is different about the front of the box.",
        example: "front of oak thick 20mm",
        ..BOX_PART
    },
    Head {
        word: "back",
        doc: "What is different about the back of the box.",
        example: "back set_in 12mm",
        ..BOX_PART
    },
    Head {
        word: "bottom",
        clauses: &[&[
            req("of").says("the stock"),
            opt("thick").says("of a bottom of board: its planed thickness"),
            req("at").says("its underside above the lower edge of the box"),
            opt("over").says("`over back` lets it slide in under the back"),
            opt("grain"),
        ]],
        once: true,
        doc: "The bottom of the box.",
        example: "bottom of birch6 at 10mm over back",
        ..BOX_PART
    },
    Head {
        word: "face",
        places: &[Context::Drawer],
        clauses: &[&[req("of").says("the stock"), opt("thick").says("of a face of board: its planed thickness"), opt("grain").takes(FRONT_GRAIN).says("which way the grain runs: `across` unless said, or `up`")], FRONT, &[GAP]],
        block: Some(Context::Face),
        once: true,
        doc: "A front that is put on before the box, by the rules of fronts.",
        example: "face of oak18 overlay reveal 1.5mm gap 3mm {\n    band on all of oak thick 6mm\n}",
        ..ROW
    },
    Head {
        word: "runner",
        places: &[Context::Drawer],
        clauses: &[&[
            opt("of").says("the hardware; of wooden runners the stock of bearers, guides and kickers, made where rails bound the opening"),
            opt("wooden").says("runs on wood instead"),
            opt("gap")
                .says("of wooden runners: the air between the box and the opening at the left and at the right")
                .beside(&["wooden"]),
            opt("thick").says("of bearers, guides and kickers of board").beside(&["wooden"]),
            later("packed"),
        ]],
        block: Some(Context::Thing),
        once: true,
        doc: "What the drawer runs on: a pair of runners of the hardware, or wood.",
        example: "runner of runner400",
        ..ROW
    },
];

const BOX_PART: Head = Head {
    places: &[Context::Drawer],
    clauses: &[&[
        def("of", "the stock of the box"),
        opt("thick"),
        opt("high"),
        opt("set_in").says("in from the outer plane of the box"),
        opt("over"),
        opt("grain"),
    ]],
    block: Some(Context::Thing),
    once: true,
    ..ROW
};
