//! The kinds of joint. What each does to the parts is told in the placement rules, 2.2.

use crate::schema::head::{Kind, Need, Preposition, Shape, Use, def, opt, req};

const fn joint(
    word: &'static str,
    preposition: Preposition,
    clauses: &'static [Use],
    doc: &'static str,
    example: &'static str,
) -> Kind {
    Kind {
        word,
        preposition: Some(preposition),
        count: Need::No,
        clauses,
        later: false,
        doc,
        example,
    }
}

const fn fastener(
    word: &'static str,
    clauses: &'static [Use],
    doc: &'static str,
    example: &'static str,
) -> Kind {
    Kind {
        count: Need::Must,
        ..joint(word, To, clauses, doc, example)
    }
}

const fn unbuilt(word: &'static str, preposition: Preposition, doc: &'static str) -> Kind {
    Kind {
        later: true,
        ..joint(word, preposition, &[], doc, "")
    }
}

use Preposition::{Into, To};

const DEEP: Use = req("deep").says("how far the part enters");
const STOPPED: Use =
    opt("stopped").says("keeps the cut away from the end there, and notches the part by as much");
const RUN_OUT: Use = opt("run_out").says("lets the cut go on to the end, for the saw's sake");
const FIT: Use = def("fit", "the shop's");
const DRY: Use = opt("dry").takes(Shape::Flag).says("without glue");

const GAP: Use = opt("gap")
    .says("room left at the bottom of the groove, so that solid wood can move: the part enters `deep` less this; then without glue");

const GROOVE: &[Use] = &[DEEP, STOPPED, RUN_OUT, FIT, GAP, DRY];
const HOUSING: &[Use] = &[DEEP, STOPPED, RUN_OUT, FIT, DRY];
const FASTENED: &[Use] = &[
    req("of").says("the hardware"),
    opt("from_ends"),
    opt("slotted")
        .says("in slots across the grain of solid wood, so that it can move; then without glue"),
    DRY,
];
const SLIDING_IN: &[Use] = &[
    req("of").says("the hardware"),
    opt("from_ends"),
    opt("open_to").says(
        "the end to which the slots of the second part run out, so that the first can slide in",
    ),
    DRY,
];
const PLAIN_FASTENED: &[Use] = &[req("of").says("the hardware"), opt("from_ends"), DRY];

/// How cases, tops and kicks are held to each other: by what can be undone.
pub(super) const HOLDS: &[Kind] = &[
    fastener(
        "screws",
        FASTENED,
        "So many screws a meeting, through the first part into the second.",
        "fix slab to bench with screws 4 of screw30",
    ),
    fastener(
        "bolts",
        PLAIN_FASTENED,
        "So many bolts a meeting, through both parts.",
        "bolt north with bolts 4 of case_bolt",
    ),
];

/// What a strip of edging has: it is as long as its edge, so nothing else can be said.
pub(super) const STRIP: &[Kind] = &[
    joint(
        "tongue",
        Into,
        &[req("thick").says("of the tongue"), DEEP, RUN_OUT],
        "A tongue on the strip stands in a groove in the edge.",
        "band left on front of oak thick 8mm with tongue thick 4mm deep 5mm",
    ),
    joint(
        "groove",
        Into,
        &[DEEP, req("thick").says("of the tongue"), RUN_OUT],
        "A tongue on the edge stands in a groove in the strip.",
        "band left on front of oak thick 8mm with groove thick 4mm deep 5mm",
    ),
];

pub(super) const KINDS: &[Kind] = &[
    joint(
        "butt",
        To,
        &[DRY],
        "Faces that meet and are glued; no cut in either part.",
        "join toe to floor with butt",
    ),
    joint(
        "dado",
        Into,
        HOUSING,
        "The end of a panel stands in a housing as wide as the panel is thick; the part that is entered goes on past it.",
        "join floor, deck into left, right with dado deep 5mm",
    ),
    joint(
        "groove",
        Into,
        GROOVE,
        "An edge stands in a housing that runs along the part; as a dado, by the name for along the grain.",
        "join bottom into left, right, front with groove deep 5mm",
    ),
    joint(
        "rabbet",
        Into,
        &[DEEP, STOPPED, RUN_OUT, DRY],
        "A panel lies in a step at the end or edge of the other, the outer face flush.",
        "join rear into left, right, lid, floor with rabbet deep 8mm",
    ),
    joint(
        "dado_rabbet",
        Into,
        &[
            DEEP,
            def("thick", "half of the part").says("of the tongue that the rabbet leaves"),
            STOPPED,
            RUN_OUT,
            FIT,
            DRY,
        ],
        "The end is rabbeted, and the tongue that is left stands in a dado.",
        "join floor into left, right with dado_rabbet thick 6mm deep 6mm",
    ),
    joint(
        "tongue",
        Into,
        &[
            req("thick").says("of the tongue"),
            DEEP,
            opt("flush")
                .says("the face with which the tongue is level: a shoulder on the other side only"),
            STOPPED,
            RUN_OUT,
            FIT,
            GAP,
            DRY,
        ],
        "A tongue on the end or edge, with a shoulder on each side, stands in a groove.",
        "join left, right into lid with tongue thick 4mm deep 6mm stopped 10mm on rear",
    ),
    joint(
        "mitre",
        To,
        &[
            opt("splined")
                .says("a spline in slots of both faces, along all of the joint")
                .without(&["keyed"]),
            opt("keyed").says("so many keys, in slots that are sawn across the corner when it is glued"),
            opt("of").says("the stock of the spline or keys").beside(&["splined", "keyed"]),
            opt("thick").says("of the spline or keys, where their stock is a board").beside(&["splined", "keyed"]),
            opt("deep")
                .says("how far a spline enters each part; of a key, from the outer corner inward")
                .beside(&["splined", "keyed"]),
            opt("from_ends").says("of the first and the last key").beside(&["keyed"]),
            DRY,
        ],
        "Both run out to the corner and are cut at 45 degrees: a side and a top through their thickness, members of a frame across their faces.",
        "join left, right to lid with mitre",
    ),
    joint(
        "dovetail",
        Into,
        &[
            opt("through")
                .says("the tails are seen on both faces; so it is where none of these four is said")
                .without(&["half_blind"]),
            opt("half_blind").says("the tails end short of the outer face by `lap`"),
            opt("lap").beside(&["half_blind"]),
            opt("sliding")
                .says("one dovetail along the whole end, slid into a housing that is open at an end")
                .without(&["through", "half_blind", "dropped"]),
            opt("dropped")
                .says("one tail, let into the upper end of a leg or post from above")
                .without(&["through", "half_blind"]),
            opt("deep")
                .says("how far a `sliding` or `dropped` one enters")
                .beside(&["sliding", "dropped"]),
            def("tails", "one each 35 mm or so")
                .says("how many")
                .without(&["sliding", "dropped"]),
            def("slope", "7"),
            STOPPED.beside(&["sliding"]),
            opt("tapered")
                .says("so much narrower at one end, `on` which it says unless the joint is stopped there: it slides in from the other, and is tight at the last")
                .beside(&["sliding"]),
            DRY,
        ],
        "Tails on the part that enters, pins or sockets in the other; `through`, `half_blind`, `sliding` or `dropped`.",
        "join left, right into front with dovetail half_blind lap 3mm tails 3 slope 7",
    ),
    fastener(
        "biscuits",
        SLIDING_IN,
        "So many biscuits a meeting, in slots in both parts.",
        "join toe to left, right with biscuits 1 of biscuit20",
    ),
    fastener(
        "screws",
        FASTENED,
        "So many screws a meeting, through the first part into the second.",
        "join left, right to floor with screws 3 of screw40",
    ),
    fastener(
        "nails",
        PLAIN_FASTENED,
        "So many nails a meeting, through the first part into the second.",
        "join bottom to back with nails 3 of brad20 dry",
    ),
    fastener(
        "bolts",
        PLAIN_FASTENED,
        "So many bolts a meeting, through both parts.",
        "join post to left with bolts 2 of case_bolt",
    ),
    joint(
        "mortise",
        Into,
        &[
            opt("deep").says("how far the tenon enters; with `through` the other part says it"),
            opt("thick").says("of the tenon; a third of the part unless said, of twins across the thickness a fifth"),
            opt("flush").says("the face with which the tenon is level: no shoulder there"),
            opt("haunched").says("the outer quarter goes in only as deep as the groove there, else 10 mm"),
            opt("twin").says("two tenons, across the thickness of upright parts, across the width of flat ones"),
            opt("through").says("to the far face of what it enters").without(&["deep"]),
            opt("proud").says("how far a through tenon stands out beyond it").beside(&["through"]),
            opt("wedged").says("two saw cuts for wedges").beside(&["through"]),
            FIT,
            DRY,
        ],
        "A tenon on the end of the part that enters stands in a mortise; shoulders of 6 mm at its edges, or as deep as a groove there. A stub tenon, no thicker than a groove that runs right through (`run_out`) and no deeper, fills it to the end and has no mortise.",
        "join left, right, rear into fl, fr, rl, rr with mortise thick 8mm deep 22mm haunched",
    ),
    joint(
        "bridle",
        Into,
        &[
            def("thick", "a third of the part").says("of what stands in the fork"),
            FIT,
            DRY,
        ],
        "An open mortise and tenon, as wide as the part and right through. At a corner the part that enters has the tenon; where the other runs on to both sides, the part that enters has the fork and straddles it.",
        "join post into brace with bridle thick 6mm",
    ),
    joint(
        "breadboard",
        Into,
        &[
            req("deep").says("how far the tenons enter"),
            def("tongue", "as deep as it is thick").says("how far the tongue enters, along all of the end"),
            def("thick", "a third of the panel").says("of the tongue and its tenons"),
            def("tenons", "3").says("how many: an odd number, of which the middle one is glued"),
            def("wide", "5 times its thickness").says("of a tenon, along the end"),
            opt("from_ends").says("of the middle of the first and the last tenon"),
            opt("room").says("on each side of all tenons but the middle one, for the panel to move; left out, half of what its width changes over a year in the `climate` of the shop"),
            STOPPED,
            FIT,
            DRY,
        ],
        "A cap across the end of a solid panel, which keeps it flat and lets it move: a tongue along the end, and tenons that reach deeper; the middle one is close and glued, the others have room in their mortises. The grain of the panel ends at the cap, that of the cap runs along it.",
        "join board into cap with breadboard deep 35mm tongue 8mm tenons 3 wide 50mm room 3mm stopped 15mm",
    ),
    Kind {
        count: Need::May,
        ..joint(
            "finger",
            To,
            &[DRY],
            "So many fingers over both parts together, out to the corner; unless said an odd number, about as wide as the part is thick.",
            "join left, right to front with finger 9",
        )
    },
    joint(
        "lap",
        To,
        &[DRY],
        "Each part is cut away by half where they meet or cross: an end on a part, or two parts that run through each other.",
        "join brace to post with lap",
    ),
    fastener(
        "dowels",
        PLAIN_FASTENED,
        "So many dowels a meeting, half in each part.",
        "join floor to left, right with dowels 4 of dowel8",
    ),
    fastener(
        "loose_tenons",
        SLIDING_IN,
        "So many loose tenons a meeting, half in each part.",
        "join floor to left, right with loose_tenons 3 of tenon8",
    ),
    fastener(
        "pocket_screws",
        PLAIN_FASTENED,
        "So many screws a meeting, from slanted pockets in the hidden face of the first part.",
        "join floor to left, right with pocket_screws 3 of screw30",
    ),
    fastener(
        "buttons",
        &[req("of").says("the hardware"), opt("from_ends")],
        "So many wooden buttons a meeting, screwed to the first part, in slots of the second: a solid top can move.",
        "join board to left, right, rear with buttons 2 of wood_button",
    ),
    unbuilt("straps", To, "So many straps a meeting."),
];
