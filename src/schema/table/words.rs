//! The closed list of clause words. A word has one shape wherever it stands; only the prepositions
//! `from to between on under`, and `dry`, take their cue from what stands before them.

use crate::schema::head::{Shape, Use, Word, opt};

/// The words for edges; `meeting` is that of a pair of doors, `inside` and `outside` look toward and
/// away from the middle, `all` is every edge.
pub const EDGES: &[&str] = &[
    "left", "right", "front", "rear", "top", "bottom", "all", "meeting", "inside", "outside",
];

const EXTENT: &[Use] = &[
    opt("from").says("where this extent begins"),
    opt("to").takes(Shape::Place).says("where this extent ends"),
    opt("between").says("where it begins and where it ends"),
];
const ON: &[Use] = &[opt("on").says("at these edges only")];
const PER: &[Use] = &[opt("per")];
const SOURCE: Use = opt("source");

const fn word(word: &'static str, shape: Shape, tails: &'static [Use], doc: &'static str) -> Word {
    Word {
        word,
        shape,
        tails,
        free: false,
        doc,
    }
}

const fn free(word: &'static str, shape: Shape, tails: &'static [Use], doc: &'static str) -> Word {
    Word {
        word,
        shape,
        tails,
        free: true,
        doc,
    }
}

const GRAIN: &[&str] = &["up", "across", "inward"];

/// Values of a closed choice that this edition does not build yet: word and value.
pub const LATER_CHOICES: &[(&str, &str)] = &[];

/// Every clause word, by the alphabet; the free ones after the reserved.
pub static WORDS: &[Word] = &[
    word(
        "across",
        Shape::Length,
        &[],
        "a distance across: of a cutter its diameter, of a case how far to the right it stands",
    ),
    word(
        "at",
        Shape::Length,
        &[opt("from").says("measured from this edge or face")],
        "where a face lies: the distance from the bottom, the left or the front, or from what `from` names",
    ),
    word(
        "between",
        Shape::Places,
        &[],
        "two edges or faces that bound an extent",
    ),
    word(
        "bore",
        Shape::Length,
        &[
            opt("deep").says("how deep"),
            opt("set_in").says("from the edge of the leaf to the rim of the hole"),
        ],
        "diameter of the hole that a fitting needs",
    ),
    word(
        "by",
        Shape::Choice(&["faces"]),
        &[],
        "what is made equal: `by faces` makes the overlay fronts equal instead of the openings",
    ),
    word("centred", Shape::Flag, &[], "in the middle"),
    word("clamped", Shape::Time, &[], "how long the clamps stay on"),
    word(
        "covers",
        Shape::Range,
        &[
            opt("from").takes(Shape::Length).says("the least overlay"),
            opt("to").takes(Shape::Length).says("the greatest overlay"),
            opt("per"),
        ],
        "what it reaches: the area that a finish covers, or the overlay that a hinge allows",
    ),
    word(
        "damp",
        Shape::Number,
        &[],
        "relative humidity of the wet season",
    ),
    word(
        "deep",
        Shape::Length,
        EXTENT,
        "size from front to rear; of a joint, how far the part enters; of a hole, how deep",
    ),
    word(
        "dropped",
        Shape::Flag,
        &[],
        "a dovetail let into a socket that is open at the top",
    ),
    word(
        "dry",
        Shape::Flag,
        &[],
        "put together without glue; of a coat its drying time, of a climate its least humidity",
    ),
    word(
        "early",
        Shape::Flag,
        &[],
        "the strip goes on before the joints are cut",
    ),
    word(
        "faces",
        Shape::Choice(&["left", "right", "front", "rear", "top", "bottom"]),
        &[],
        "which way the face looks",
    ),
    word(
        "fit",
        Shape::Length,
        &[],
        "how much wider a housing is than what enters it",
    ),
    word(
        "flush",
        Shape::Edges,
        &[],
        "the face with which it is level",
    ),
    word(
        "from",
        Shape::Place,
        &[],
        "where an extent or a range begins",
    ),
    word(
        "from_ends",
        Shape::Length,
        &[],
        "distance of the first and the last connector from the ends of the meeting",
    ),
    word(
        "gap",
        Shape::Length,
        ON,
        "the air left between a thing and its opening",
    ),
    word(
        "grain",
        Shape::Choice(GRAIN),
        &[],
        "which way the grain runs: `up`, `across` or `inward`",
    ),
    word(
        "half_blind",
        Shape::Flag,
        &[],
        "a dovetail that is not seen from the front; `lap` is what stays in front of it",
    ),
    word(
        "haunched",
        Shape::Flag,
        &[],
        "the outer part of the tenon is shorter",
    ),
    word("high", Shape::Length, EXTENT, "size from bottom to top"),
    word(
        "hung",
        Shape::Choice(&["left", "right", "bottom", "top"]),
        &[],
        "the edge on which a door or a flap hangs",
    ),
    word(
        "in",
        Shape::Opening,
        &[],
        "the opening that it fills; of pins and hinges, the rows of holes that they use",
    ),
    word(
        "inset",
        Shape::Flag,
        &[],
        "a front that stands within its opening, its face level with the case",
    ),
    word("into", Shape::Parts, &[], "the parts that are entered"),
    word(
        "inward",
        Shape::Length,
        &[],
        "how far from the front toward the rear",
    ),
    word(
        "kerf",
        Shape::Length,
        &[],
        "the width that a saw turns to dust",
    ),
    word(
        "lap",
        Shape::Length,
        &[],
        "the wood that stays in front of half-blind dovetails",
    ),
    word(
        "lengths",
        Shape::Number,
        &[],
        "how many equal lengths it is made of",
    ),
    word(
        "like",
        Shape::Thing,
        &[],
        "a pattern or a thing of the same head that this one repeats, with changes",
    ),
    word(
        "load",
        Shape::Amount,
        PER,
        "what it carries: a mass, or a mass `per m2`",
    ),
    word("long", Shape::Length, EXTENT, "size along its length"),
    word(
        "measured",
        Shape::Length,
        &[],
        "the thickness that the calipers say, which all sizes follow",
    ),
    word(
        "mitred",
        Shape::Flag,
        &[],
        "the corners of the strips are mitred",
    ),
    word(
        "of",
        Shape::Thing,
        &[],
        "the stock or hardware that it is made of",
    ),
    word(
        "on",
        Shape::Edges,
        &[],
        "the edges concerned; left out, all of them",
    ),
    free(
        "lasts",
        Shape::Amount,
        &[],
        "the area that one piece of one grit sands",
    ),
    word("open", Shape::Time, &[], "how long the glue may lie open"),
    word(
        "over",
        Shape::Parts,
        &[],
        "the parts that stop at this one, where both want the corner",
    ),
    word(
        "overlay",
        Shape::FlagOrLength,
        ON,
        "a front that lies before the case; with a length, how far it covers",
    ),
    word(
        "packed",
        Shape::Flag,
        &[],
        "packing is made where a runner needs it",
    ),
    word(
        "per",
        Shape::Unit,
        &[opt("of").takes(Shape::Number).says("how many a box holds")],
        "what a price, a load or a coverage counts",
    ),
    word(
        "pinned",
        Shape::Flag,
        &[],
        "held by a pin through the joint",
    ),
    word(
        "pitch",
        Shape::Length,
        &[],
        "the distance from hole to hole",
    ),
    word("price", Shape::Money, PER, "what it costs"),
    word(
        "proud",
        Shape::Length,
        ON,
        "how far it stands past the envelope",
    ),
    word(
        "reveal",
        Shape::Length,
        ON,
        "what an overlay front leaves to be seen of the case",
    ),
    word(
        "run_out",
        Shape::Flag,
        &[],
        "the cut may go on to the end of the part",
    ),
    word("seen", Shape::Edges, &[], "the sides of a case that show"),
    word(
        "set_back",
        Shape::Length,
        &[],
        "distance behind the front plane; of holes and hardware, from the front edge of what is bored",
    ),
    word(
        "set_in",
        Shape::Length,
        &[],
        "distance in from the outer plane",
    ),
    word(
        "share",
        Shape::Number,
        &[],
        "how many parts of what is left an opening gets",
    ),
    word(
        "slope",
        Shape::Number,
        &[],
        "the slope of dovetails: 1 in so much",
    ),
    word(
        "slotted",
        Shape::Flag,
        &[],
        "the screws sit in slots, so that solid wood can move",
    ),
    word(
        "sliding",
        Shape::Flag,
        &[],
        "a dovetail along a whole end, that slides in",
    ),
    word("splined", Shape::Flag, &[], "a spline in the mitre"),
    word(
        "stand_off",
        Shape::Length,
        &[],
        "the air between the case and the rear of an overlay front",
    ),
    word(
        "stopped",
        Shape::Length,
        ON,
        "how far the cut stays away from the end of the part",
    ),
    word("tails", Shape::Number, &[], "how many tails"),
    word("thick", Shape::Length, &[], "thickness"),
    word("through", Shape::Flag, &[], "goes right through"),
    word(
        "to",
        Shape::Parts,
        &[],
        "the parts that it meets; after a size, where that ends",
    ),
    word("twin", Shape::Flag, &[], "two tenons side by side"),
    word(
        "under",
        Shape::Parts,
        &[],
        "the parts or the run that it stands under",
    ),
    word("up", Shape::Length, &[], "height above the ground"),
    word("upright", Shape::Flag, &[], "a rail that stands on edge"),
    word("wedged", Shape::Flag, &[], "wedges spread the tenon"),
    word(
        "wide",
        Shape::Length,
        EXTENT,
        "size from left to right; of a strip or rail, across it",
    ),
    word(
        "with",
        Shape::Joint,
        &[],
        "the kind of joint; its options follow, so it comes last",
    ),
    word("wooden", Shape::Flag, &[], "a drawer that runs on wood"),
    free(
        "above",
        Shape::Length,
        &[],
        "the room that a runner needs above the box",
    ),
    free(
        "base",
        Shape::Choice(&["water", "oil", "solvent", "shellac", "wax"]),
        &[],
        "what thins the finish: it decides the cautions, and whether the grain is raised first",
    ),
    free(
        "below",
        Shape::Length,
        &[],
        "the room that a runner needs below the box",
    ),
    free(
        "beside",
        Shape::Length,
        &[],
        "the room that a side-mounted runner needs on each side of the box",
    ),
    free(
        "core",
        Shape::Name,
        &[],
        "what a sheet is made of, as `mdf`, for its stiffness and its weight; a species where it is solid wood",
    ),
    free(
        "cured",
        Shape::Time,
        &[],
        "when the glue has its full strength",
    ),
    free(
        "density",
        Shape::Mass,
        &[opt("per"), SOURCE],
        "mass for each volume, at 12 % moisture",
    ),
    free(
        "good",
        Shape::Choice(&["one", "both"]),
        &[],
        "how many of a sheet's faces are good enough to show: `one` or `both`",
    ),
    free(
        "hardness",
        Shape::Amount,
        &[SOURCE],
        "the force that presses a ball of 0.444 in halfway into the side of the grain, at 12 % moisture",
    ),
    free(
        "front",
        Shape::Flag,
        &[],
        "a front row only, without the rear row",
    ),
    free(
        "inside",
        Shape::Length,
        &[],
        "by how much the inside of a box on under-mounted runners is narrower than the clear width",
    ),
    free("keyed", Shape::Number, &[], "so many keys across a mitre"),
    free("latin", Shape::Text, &[], "the botanical name"),
    free(
        "moisture",
        Shape::Number,
        &[],
        "moisture of the wood when it is worked",
    ),
    free(
        "mounts",
        Shape::Choice(&["side", "under", "cup", "butt"]),
        &[],
        "where a runner is fixed, or the sort of a hinge",
    ),
    free(
        "open_to",
        Shape::Edges,
        &[],
        "the end of a meeting to which slots run out",
    ),
    free(
        "radial",
        Shape::Number,
        &[SOURCE],
        "how much of its size quarter-sawn wood gains for each per cent of moisture, from 6 to 14 %",
    ),
    free(
        "rear",
        Shape::Length,
        &[],
        "the room that a runner needs behind it",
    ),
    free(
        "recess",
        Shape::Length,
        &[],
        "how far the bottom sits above the lower edge of the box",
    ),
    free(
        "returned",
        Shape::Flag,
        &[],
        "an end of a moulding is closed by a mitred piece of its own section",
    ),
    free(
        "room",
        Shape::Length,
        &[],
        "what is left free for solid wood to move",
    ),
    free(
        "rough",
        Shape::Lengths,
        &[],
        "the thicknesses in which boards are sold, before planing",
    ),
    free(
        "side_max",
        Shape::Length,
        &[],
        "the thickest side of a box that a runner takes",
    ),
    free("source", Shape::Text, &[], "where a figure was looked up"),
    free(
        "species",
        Shape::Name,
        &[],
        "the wood, as `white_oak`: for movement, stiffness and weight",
    ),
    free(
        "stiffness",
        Shape::Amount,
        &[SOURCE],
        "modulus of elasticity in bending, along the grain, at 12 % moisture",
    ),
    free(
        "strength",
        Shape::Amount,
        &[SOURCE],
        "modulus of rupture in bending, along the grain, at 12 % moisture",
    ),
    free(
        "tangential",
        Shape::Number,
        &[SOURCE],
        "how much of its size flat-sawn wood gains for each per cent of moisture, from 6 to 14 %",
    ),
    free(
        "tapered",
        Shape::Length,
        ON,
        "how much narrower a dovetail that slides is at its inner end",
    ),
    free("tenons", Shape::Number, &[], "how many tenons"),
    free(
        "tongue",
        Shape::Length,
        &[],
        "how far the tongue enters between tenons",
    ),
];
