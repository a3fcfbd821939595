//! Heads of a case: its parts, the division of its space, joints and edging.

use super::ROW;
use crate::schema::head::{Context, Head, Names, Need, Shape, Slot, Use, def, opt, req};

/// What every part of a case takes.
const PART: &[Use] = &[
    req("of").says("the stock"),
    opt("thick").says("of a part of board: its planed thickness; a sheet has its own"),
    opt("grain"),
    opt("wide")
        .takes(Shape::Extent)
        .says("another extent from left to right, whole or one end"),
    opt("high")
        .takes(Shape::Extent)
        .says("another extent from bottom to top, whole or one end"),
    opt("deep")
        .takes(Shape::Extent)
        .says("another extent from front to rear, whole or one end"),
    opt("at"),
    opt("set_back"),
    opt("set_in"),
    opt("proud"),
    opt("over"),
    opt("like").says("another part that this one repeats"),
];

/// The sides of a case.
const SIDES: &[&str] = &["left", "right", "front", "rear", "bottom", "top"];

const PLACED: &[Context] = &[Context::Case, Context::Divide, Context::Openings];

const PART_ROW: Head = Head {
    places: &[Context::Case],
    names: Names::MayOne,
    clauses: &[PART],
    block: Some(Context::Thing),
    ..ROW
};

pub(super) const HEADS: &[Head] = &[
    Head {
        word: "side",
        names: Names::MaySome,
        doc: "An upright panel at the left or the right: the first name is the left one, unless the names say it.",
        example: "side left, right of oak18",
        ..PART_ROW
    },
    Head {
        word: "bottom",
        doc: "The lower panel; its underside is on the ground, or `at` a height.",
        example: "bottom floor of oak18 at 90mm",
        ..PART_ROW
    },
    Head {
        word: "top",
        doc: "The upper panel, between the sides unless it is `over` them.",
        example: "top lid of oak18 over left, right proud 15mm on front, left, right",
        ..PART_ROW
    },
    Head {
        word: "lid",
        doc: "The upper panel that lies over everything else.",
        example: "lid cover of oak18 proud 15mm on front, left, right",
        ..PART_ROW
    },
    Head {
        word: "front",
        doc: "A fixed panel in the front plane.",
        example: "front apron of oak18 high 100mm",
        ..PART_ROW
    },
    Head {
        word: "back",
        doc: "The rear panel.",
        example: "back rear of oak6",
        ..PART_ROW
    },
    Head {
        word: "kick",
        doc: "The upright panel under the bottom, behind the front plane by `set_back`.",
        example: "kick toe of oak18 set_back 50mm",
        ..PART_ROW
    },
    Head {
        word: "shelf",
        places: PLACED,
        doc: "A fixed level panel, by its place in a `divide` or `at` a height.",
        example: "shelf deck of oak18 at 400mm",
        ..PART_ROW
    },
    Head {
        word: "divider",
        places: PLACED,
        doc: "An upright panel between openings, by its place in a `divide` or `at` a distance from the left.",
        example: "divider post of oak18 at 450mm",
        ..PART_ROW
    },
    Head {
        word: "rail",
        places: PLACED,
        clauses: &[
            PART,
            &[opt("upright").says("stands on edge; then `high` is stated instead of `deep`")],
        ],
        doc: "A narrow level part at the front, by its place in a `divide` or `at` a height.",
        example: "rail stretcher of oak18 deep 80mm at 700mm",
        ..PART_ROW
    },
    Head {
        word: "stile",
        places: PLACED,
        doc: "A narrow upright part at the front.",
        example: "stile post of oak18 wide 40mm at 430mm",
        ..PART_ROW
    },
    Head {
        word: "cleat",
        doc: "A narrow part that holds others: to hang the case by, or to screw a top to. It lies flat, its thickness up and down, and `wide` is from front to rear, with `set_in` from the rear; one that stands on edge is a `rail` that is `upright`.",
        example: "cleat hanger of oak18 wide 80mm at 660mm",
        ..PART_ROW
    },
    Head {
        word: "leg",
        names: Names::MaySome,
        clauses: &[&[
            req("of").says("the stock"),
            req("thick").says("both ways"),
            opt("set_in").says("in from the envelope, both ways"),
            opt("like").says("another leg that this one repeats"),
        ]],
        doc: "Square legs at the corners, in the order front left, front right, rear left, rear right; from the ground to the underside of the top.",
        example: "leg fl, fr, rl, rr of oak thick 45mm",
        ..PART_ROW
    },
    Head {
        word: "apron",
        names: Names::MaySome,
        clauses: &[&[
            req("of").says("the stock"),
            opt("thick").says("of a part of board: its planed thickness; a sheet has its own"),
            req("high").takes(Shape::Extent).says("how far down from the underside of the top"),
            opt("set_in").says("in from the outer faces of the legs"),
            opt("like").says("another apron that this one repeats"),
        ]],
        doc: "A panel from leg to leg under the top, called after its edge: `left`, `right`, `front`, `rear`.",
        example: "apron left, right, rear of oak thick 22mm high 112mm set_in 4mm",
        ..PART_ROW
    },
    Head {
        word: "panel",
        clauses: &[&[
            req("of").says("the stock"),
            opt("thick").says("of a part of board: its planed thickness; a sheet has its own"),
            opt("grain").says("which way the grain runs: the long way unless said"),
            req("faces")
                .says("the side of the case to which it looks, and so how it lies")
                .without(&["in"]),
            req("at").says("where it lies along its thickness").without(&["in"]),
            opt("wide")
                .takes(Shape::Extent)
                .says("from left to right: both ends, or one and how wide it is")
                .without(&["in"]),
            opt("high")
                .takes(Shape::Extent)
                .says("from bottom to top: both ends, or one and how high it is")
                .without(&["in"]),
            opt("deep")
                .takes(Shape::Extent)
                .says("from front to rear: both ends, or one and how deep it is")
                .without(&["in"]),
            opt("in").says("an opening that it closes for good, or an array of openings: then one in each; it is as wide and high as what is clear"),
            opt("set_back")
                .says("of a panel in an opening: how far behind its front")
                .beside(&["in"]),
            opt("like").says("another panel that this one repeats"),
        ]],
        doc: "A panel anywhere, with every extent stated; or a fixed panel that closes an opening.",
        example: "panel baffle of oak18 faces left at 300mm high from floor.top to deck.bottom deep 200mm to rear.front",
        ..PART_ROW
    },
    Head {
        word: "taper",
        names: Names::Some,
        declares: false,
        places: &[Context::Case],
        clauses: &[&[
            req("on").says("the faces that slope: `inside` the two that look at the middle, `all` four; where opposite faces do, each loses half"),
            req("to").takes(Shape::Length).says("how thick the foot is"),
            req("from").takes(Shape::Length).says("where it begins, down from the upper end"),
        ]],
        block: Some(Context::Thing),
        doc: "Makes legs thinner toward the foot.",
        example: "taper fl, fr, rl, rr on inside to 28mm from 130mm",
        ..ROW
    },
    Head {
        word: "assemble",
        places: &[Context::Case],
        block: Some(Context::Assemble),
        doc: "An order of assembly of your own, which is proven instead of one being found; the stages stand in the order of the work, and none is glued with the next. What no stage names goes in last.",
        example: "assemble {\n    stage floor, left, right\n    stage lid\n}",
        ..ROW
    },
    Head {
        word: "stage",
        names: Names::Some,
        declares: false,
        places: &[Context::Assemble],
        clauses: &[&[opt("from")
            .takes(Shape::Choice(SIDES))
            .says("the side from which all of it is brought in one move; left out, whichever is free")]],
        doc: "Parts that are put together and brought to what stands already.",
        example: "stage deck from rear",
        ..ROW
    },
    Head {
        word: "divide",
        places: &[Context::Case, Context::Drawer],
        names: Names::One,
        declares: false,
        values: &[Slot {
            name: "direction",
            shape: Shape::Choice(&["downward", "upward", "rightward", "inward"]),
            optional: false,
        }],
        block: Some(Context::Divide),
        doc: "Parts a space into openings, with a part between each two; the lines stand in the order of their places, and sum to the clear size.",
        example: "divide inside downward {\n    opening well high 130mm\n    shelf deck of oak18\n    opening cupboard\n}",
        ..ROW
    },
    Head {
        word: "opening",
        places: &[Context::Divide],
        names: Names::One,
        clauses: &[OPENING],
        block: Some(Context::Thing),
        doc: "An opening; without a size it gets what is left.",
        example: "opening well high 130mm",
        ..ROW
    },
    Head {
        word: "openings",
        places: &[Context::Divide],
        names: Names::One,
        count: Need::Must,
        clauses: &[OPENING, &[opt("by")]],
        block: Some(Context::Openings),
        doc: "Equal openings, called `tray[1]` and so on in the direction of the division; the part in its block stands between each two.",
        example: "openings tray 3 share 2 {\n    shelf ledge of oak18\n}",
        ..ROW
    },
    Head {
        word: "join",
        places: &[
            Context::Case,
            Context::Drawer,
            Context::Leaf,
            Context::Face,
            Context::Thing,
            Context::Frame,
        ],
        names: Names::Some,
        declares: false,
        clauses: &[&[
            opt("into").says("the parts that are entered"),
            opt("to").says("the parts that are met"),
            req("with"),
        ]],
        block: Some(Context::Thing),
        doc: "Joins parts; every part before `into` or `to` is joined to every part after it that it meets.",
        example: "join floor, deck into left, right with dado deep 5mm",
        ..ROW
    },
    Head {
        word: "moulding",
        places: &[Context::Case],
        names: Names::MayOne,
        clauses: &[&[
            req("of").says("the stock"),
            opt("thick").says("out from the case; of board its planed thickness"),
            req("high").says("from its foot up"),
            req("on").says("the sides of the case that it runs along"),
            opt("at").says("how high its foot is above the case's; 0 unless said"),
            opt("mitred").says("at the corners; butted behind the front unless said"),
            opt("returned").says("its free ends, where they are in sight, each closed by a mitred piece of the same section"),
        ]],
        block: Some(Context::Thing),
        doc: "Strips that wrap around the case, outside its envelope, glued to what they lie against.",
        example: "moulding plinth of oak thick 20mm high 90mm on front, left, right mitred",
        ..ROW
    },
    Head {
        word: "frame",
        places: &[Context::Leaf, Context::Face, Context::Thing, Context::Case],
        names: Names::MaySome,
        declares: false,
        clauses: &[&[
            req("of").says("the stock"),
            opt("thick").says("as thick as what is framed, unless said"),
            req("wide").says("of the members"),
            opt("over").says("the members past which these run through; upright ones do unless said, of what lies level those in front and behind"),
        ]],
        block: Some(Context::Frame),
        doc: "Makes a door, a drawer's face, a lid or another panel of members round a `field`; they are called after their edges, and `stiles` and `rails` name those that run through and the others. A line for all edges, or lines that name theirs. Of a case, a face frame: a member at each edge and one before every part of its divisions, centred on it; `bottom` reaches up from the underside of the floor, without one from the ground; its members are `face.left`, `face.rails` after its own name, and the panels behind begin at its rear; `member` gives some of them another width.",
        example: "frame left, right, top of oak wide 60mm\nframe bottom of oak wide 80mm\nfield of oak6\njoin rails into stiles with mortise thick 6mm deep 40mm haunched\njoin field into stiles, rails with groove deep 10mm gap 1mm",
        ..ROW
    },
    Head {
        word: "member",
        names: Names::Some,
        declares: false,
        places: &[Context::Frame],
        clauses: &[&[req("wide").says("of these members")]],
        block: Some(Context::Thing),
        doc: "Members of a face frame of another width than its line says: by their edges, or by the parts that they stand before.",
        example: "member top, deck wide 60mm",
        ..ROW
    },
    Head {
        word: "field",
        places: &[Context::Leaf, Context::Face, Context::Thing],
        clauses: &[&[
            req("of").says("the stock"),
            opt("thick").says("of a field of board: its planed thickness"),
            opt("grain"),
            opt("set_back").says("behind the face of the frame; in the middle of its thickness unless said"),
        ]],
        block: Some(Context::Thing),
        doc: "The panel within a frame, as large as what is seen of it and as its joints let it in.",
        example: "field of oak6 set_back 6mm",
        ..ROW
    },
    Head {
        word: "band",
        places: &[
            Context::Case,
            Context::Leaf,
            Context::Face,
            Context::Drawer,
            Context::Shelves,
            Context::Slab,
        ],
        names: Names::MaySome,
        declares: false,
        clauses: &[&[
            req("on").says("the edges that are covered"),
            req("of").says("the stock of the strip"),
            opt("thick").says("out from the edge"),
            def("wide", "the panel's thickness").says("across the edge"),
            opt("flush")
                .says("the face with which a wider strip is level")
                .beside(&["wide"]),
            opt("mitred"),
            opt("early"),
            opt("like").says("a pattern of a band; what is said here replaces what it says"),
            opt("with")
                .takes(Shape::JointOf(super::joint::STRIP))
                .says("`tongue` on the strip, or `groove` in it; neither: glued flat"),
        ]],
        block: Some(Context::Thing),
        doc: "Covers edges of panels with strips, in the order written: a later strip covers the ends of an earlier one.",
        example: "band left, right on front of oak thick 8mm with tongue thick 4mm deep 5mm",
        ..ROW
    },
    Head {
        word: "profile",
        places: &[Context::Case],
        names: Names::Some,
        declares: false,
        clauses: &[PROFILE],
        block: Some(Context::Thing),
        doc: "Moulds edges of panels with a cutter of the shop, on the face that shows; what it takes is left square in their sizes, and no cut, joint or thin strip may lie there.",
        example: "profile lid on front of thumb8",
        ..ROW
    },
    Head {
        word: "profile",
        places: &[Context::Leaf, Context::Face, Context::Thing],
        declares: false,
        clauses: &[PROFILE],
        block: Some(Context::Thing),
        doc: "Moulds edges of this part, leaf or moulding with a cutter of the shop: of a framed one along its outer edges.",
        example: "profile on all of thumb8",
        ..ROW
    },
    Head {
        word: "turned",
        names: Names::Some,
        declares: false,
        places: &[Context::Case],
        clauses: &[&[
            req("from").takes(Shape::Length).says("where it begins, down from the upper end"),
            opt("to").takes(Shape::Length).says("where it ends, down from the upper end; the foot unless said"),
            opt("thick").says("what is left where it is thinnest"),
        ]],
        block: Some(Context::Thing),
        doc: "Turns legs on a lathe between two places; the blank stays square in their sizes, and no joint may lie there.",
        example: "turned fl, fr, rl, rr from 150mm thick 28mm",
        ..ROW
    },
    Head {
        word: "rounded",
        names: Names::Some,
        declares: false,
        places: &[Context::Case],
        clauses: &[&[
            req("from").takes(Shape::Length).says("where it begins, down from the upper end"),
            opt("to").takes(Shape::Length).says("where it ends, down from the upper end; the foot unless said"),
        ]],
        block: Some(Context::Thing),
        doc: "Rounds legs with drawknife and spokeshave between two places; the blank stays square in their sizes, and no joint may lie there.",
        example: "rounded fl, fr, rl, rr from 150mm",
        ..ROW
    },
    Head {
        word: "rows",
        names: Names::One,
        places: &[Context::Case],
        clauses: &[&[
            req("of").says("the pins that the holes are for"),
            req("into").says("the upright panels that are bored, on each face that looks at an opening"),
            req("pitch"),
            req("set_back").says("from the finished front edge of each panel to its front row; the rear row is as far in front of the back"),
            req("from")
                .takes(Shape::Length)
                .says("the first hole, above the finished lower end of each panel"),
            req("to").takes(Shape::Length).says("the last hole"),
            opt("front").says("only the front row"),
        ]],
        block: Some(Context::Thing),
        doc: "Rows of holes that shelves and hinges share (`pins 4 in NAME`, `hinge 2 of … in NAME`); `from` to `to` is whole pitches.",
        example: "rows line32 of pin5 into left, right pitch 32mm set_back 37mm from 128mm to 544mm",
        ..ROW
    },
    Head {
        word: "cut",
        names: Names::Some,
        declares: false,
        places: &[Context::Case, Context::Piece],
        clauses: &[&[
            opt("wide").says("from left to right; along the thickness of a part: how deep a recess is"),
            opt("deep").says("from front to rear; along the thickness of a part: how deep a recess is"),
            opt("high").says("from bottom to top; along the thickness of a part: how deep a recess is"),
            req("at")
                .says("where it begins, once for each way: `from` a bare edge of the part itself inward, or from a face as `post.right` away from it (of a case or an opening: inward); `at 0mm from` a face of the part says where a recess is open, left out: at its face side")
                .each_axis(),
        ]],
        block: Some(Context::Thing),
        doc: "Cuts a notch (it reaches an edge) or an opening (it does not) through a part as it stands in the case; where its third extent is given too, a recess of that depth. It is cut before the part's edging goes on, and may not reach it.",
        example: "cut left, right deep 40mm high 60mm at 0mm from rear at 0mm from bottom",
        ..ROW
    },
    Head {
        word: "matched",
        names: Names::Some,
        declares: false,
        places: &[Context::Case],
        doc: "Fronts in sequence: doors and faces of drawers that stand in a row, side by side or one above the other, come from one sheet in the order in which they stand, so that the grain runs on from one to the next (sequence matched). They are of one sheet stock and equally large across the row.",
        example: "matched gates",
        ..ROW
    },
];

/// What every profile takes.
const PROFILE: &[Use] = &[
    req("on").says("the edges that are moulded"),
    req("of").says("the cutter"),
    opt("faces").says("the face from which it is cut; unless said the upper one, of what is upright the front or outer one, of a moulding the one that looks away from the case"),
];

const OPENING: &[Use] = &[
    opt("wide").says("clear width, in a division to the right"),
    opt("high").says("clear height, in a division up or down"),
    opt("deep").says("clear depth, in a division inward"),
    def("share", "1").says("its share of what is left over"),
];
