//! Stock and hardware, with their kinds.

use super::ROW;
use crate::schema::head::{Context, Head, Kind, Names, Need, Shape, Slot, Use, def, opt, req};

const KIND: &[Slot] = &[Slot {
    name: "kind",
    shape: Shape::Kind,
    optional: false,
}];

pub(super) const HEADS: &[Head] = &[
    Head {
        word: "stock",
        places: &[Context::File],
        names: Names::One,
        values: KIND,
        kinds: STOCKS,
        clauses: &[&[
            opt("like").says("a stock of the same kind that this one repeats, with changes")
        ]],
        block: Some(Context::Stock),
        doc: "Material, as it is bought.",
        example: "stock oak18 sheet {\n    thick 18mm measured 17.6mm\n    sold long 2440mm wide 1220mm price 118EUR\n    grain long\n}",
        ..ROW
    },
    Head {
        word: "sold",
        places: &[Context::Stock],
        clauses: &[&[
            req("long"),
            opt("wide"),
            opt("price").says("for one, or `per` something"),
        ]],
        doc: "A size in which sheets or boards of the stock are sold. Of boards that are `like` others, such lines take the place of a `long`, `wide` and `price` there.",
        example: "sold long 2440mm wide 1220mm price 118EUR",
        ..ROW
    },
    Head {
        word: "hardware",
        places: &[Context::File],
        names: Names::One,
        values: KIND,
        kinds: HARDWARE,
        clauses: &[&[
            opt("price").says("for one, or `per` pair or box"),
            opt("like").says("hardware of the same kind that this one repeats, with changes"),
        ]],
        block: Some(Context::Hardware),
        doc: "A fitting or fastener, with the room and the holes that it needs.",
        example: "hardware runner400 runner {\n    mounts side\n    long 400mm\n    beside 12.7mm\n    above 6mm\n    below 8mm\n    load 30kg\n}",
        ..ROW
    },
];

const fn kind(
    word: &'static str,
    clauses: &'static [Use],
    doc: &'static str,
    example: &'static str,
) -> Kind {
    Kind {
        word,
        preposition: None,
        count: Need::No,
        clauses,
        later: false,
        doc,
        example,
    }
}

const STOCKS: &[Kind] = &[
    kind(
        "sheet",
        &[
            req("thick").says("the name's thickness"),
            opt("measured").says("what the calipers say; left out, the name's"),
            def("grain", "long")
                .takes(Shape::Choice(&["long", "wide", "none"]))
                .says("along the length or the width of the sheet, or `none`"),
            def("good", "both"),
            opt("core"),
            opt("species").says("of the faces"),
            opt("density").says("what it weighs, where the core's figure is not good enough"),
        ],
        "Plywood, boards of fibre or chips: sold in sheets, of one thickness.",
        "stock oak18 sheet {\n    thick 18mm measured 17.6mm\n    sold long 2440mm wide 1220mm price 118EUR\n    grain long\n}",
    ),
    kind(
        "board",
        &[
            opt("species"),
            req("rough").says("the thicknesses that are sold"),
            opt("wide").takes(Shape::Extent).says(
                "`from` to `to`: the widths that are sold; one figure where all are of one width",
            ).without(&["sold"]),
            opt("long").takes(Shape::Extent).says(
                "`from` to `to`: the lengths that are sold; one figure where all are of one length",
            ).without(&["sold"]),
            opt("moisture"),
            opt("density").says("what it weighs, where the species' figure is not good enough"),
            opt("price").says("`per` volume").without(&["sold"]),
        ],
        "Solid wood, sold rough; every part of it says how thick it is planed. Boards of random sizes state the `long` and `wide` that is sold; those of a few fixed sizes, all of one thickness, list them in lines of `sold`, each with its price.",
        "stock oak board {\n    species white_oak\n    rough 27mm, 52mm\n    wide from 120mm to 220mm\n    long from 2.4m to 3m\n    moisture 9%\n    price 2450EUR per m3\n}",
    ),
    kind(
        "edging",
        &[
            req("thick"),
            opt("wide").says("as it is sold, before it is trimmed"),
            opt("long").says("of a strip or roll"),
            opt("species"),
            opt("density").says("what it weighs, where the species' figure is not good enough"),
            opt("price").says("`per` length"),
        ],
        "Thin edging, sold by the length.",
        "stock veneer_tape edging {\n    thick 0.6mm wide 22mm\n    price 1.2EUR per m\n}",
    ),
];

const HARDWARE: &[Kind] = &[
    kind(
        "hinge",
        &[
            def("mounts", "cup if it says `bore`, otherwise butt").says("`cup` or `butt`"),
            opt("bore")
                .says("of a cup hinge: the cup; `set_in` is from the edge of the leaf to its rim"),
            opt("covers").says("of a cup hinge: the overlays that it allows"),
            opt("stand_off").says("the air that it leaves behind an overlay door"),
            opt("set_back").says(
                "of a cup hinge: from the front edge of the case's side to the screws of the plate",
            ),
            opt("long").says("of a butt hinge: its length"),
            opt("wide").says("of a butt hinge: one leaf, from the pin to the edge"),
            opt("thick").says("of a butt hinge: one leaf"),
        ],
        "A hinge: with a cup that is bored into the door, or a butt hinge that is let in.",
        "hardware cup_hinge hinge {\n    mounts cup\n    bore 35mm deep 13mm set_in 4mm\n    covers from 14mm to 18mm\n    price 3.2EUR per piece\n}",
    ),
    kind(
        "runner",
        &[
            req("mounts").says("`side` or `under`"),
            req("long"),
            opt("beside").says("of side-mounted runners: the room on each side of the box"),
            def("above", "0mm"),
            def("below", "0mm"),
            def("rear", "0mm"),
            opt("inside")
                .says("of under-mounted runners: the clear width less the inside width of the box"),
            opt("side_max").says("of under-mounted runners: the thickest side of the box"),
            opt("recess").says("of under-mounted runners: from the lower edge of the box to the underside of its bottom"),
            opt("load").says("what a pair carries"),
        ],
        "A runner for a drawer; one is a pair, left and right.",
        "hardware runner400 runner {\n    mounts side\n    long 400mm\n    beside 12.7mm\n    above 6mm\n    below 8mm\n    load 30kg\n    price 14EUR per pair\n}",
    ),
    kind(
        "pin",
        &[
            req("thick").says("diameter of its hole"),
            req("deep").says("depth of its hole"),
        ],
        "A pin that a loose shelf lies on.",
        "hardware pin5 pin {\n    thick 5mm deep 10mm\n    price 9EUR per box of 100\n}",
    ),
    kind(
        "pull",
        &[
            req("bore").says("diameter of the hole for its screw"),
            opt("pitch").says("between its two screws; left out, it has one"),
        ],
        "A knob or handle.",
        "hardware knob pull {\n    bore 4.5mm\n    price 4EUR per piece\n}",
    ),
    kind(
        "catch",
        &[],
        "What holds a door shut.",
        "hardware touch catch {\n    price 2.5EUR per piece\n}",
    ),
    kind(
        "lock",
        &[],
        "A lock, cut in as its own sheet says.",
        "hardware cabinet_lock lock {\n    price 9EUR per piece\n}",
    ),
    kind(
        "foot",
        &[],
        "A foot under a case, levelling or plain; its height is not counted.",
        "hardware levelling_foot foot {\n    price 2EUR per piece\n}",
    ),
    kind(
        "strap",
        &[],
        "A restraint that holds the piece to a wall, so that it can't tip.",
        "hardware wall_strap strap {\n    price 6EUR per piece\n}",
    ),
    kind(
        "screw",
        &[req("long"), req("thick").says("diameter of the shank")],
        "A wood screw.",
        "hardware screw40 screw {\n    long 40mm thick 4mm\n    price 6EUR per box of 100\n}",
    ),
    kind(
        "bolt",
        &[
            req("long").says("the most that it holds together"),
            req("thick").says("diameter of its hole"),
        ],
        "A bolt with its nut, through both of what it holds.",
        "hardware case_bolt bolt {\n    long 45mm thick 5mm\n    price 0.8EUR per piece\n}",
    ),
    kind(
        "nail",
        &[req("long"), opt("thick").says("diameter")],
        "A nail or brad.",
        "hardware brad20 nail {\n    long 20mm thick 1.2mm\n    price 5EUR per box of 1000\n}",
    ),
    kind(
        "biscuit",
        &[
            req("long").says("along the joint"),
            req("wide").says("across the joint: half goes into each part"),
            req("thick").says("of the slot"),
        ],
        "A biscuit of pressed wood for a machined slot.",
        "hardware biscuit20 biscuit {\n    long 56mm wide 23mm thick 4mm\n    price 8EUR per box of 100\n}",
    ),
    kind(
        "button",
        &[
            req("wide").says("along the part that it hooks into"),
            req("thick").says("of its tongue"),
            req("deep").says("how deep the slot for the tongue is"),
            req("below").says("from the underside of the top to the slot"),
        ],
        "A wooden button that holds a top and lets it move.",
        "hardware wood_button button {\n    wide 25mm thick 8mm deep 10mm below 11mm\n    price 0.4EUR per piece\n}",
    ),
    kind(
        "dowel",
        &[
            req("long").says("half goes into each part, into a face no more than leaves 5 mm"),
            req("thick").says("diameter"),
        ],
        "A round pin for a glued joint.",
        "hardware dowel8 dowel {\n    long 40mm thick 8mm\n    price 4EUR per box of 100\n}",
    ),
    kind(
        "loose_tenon",
        &[
            req("long").says("half goes into each part, into a face no more than leaves 5 mm"),
            req("wide").says("along the joint"),
            req("thick").says("of the slot"),
        ],
        "A tenon of its own that enters both parts.",
        "hardware tenon8 loose_tenon {\n    long 40mm wide 22mm thick 8mm\n    price 9EUR per box of 50\n}",
    ),
    kind(
        "stay",
        &[opt("long").says("from screw to screw when it is drawn out; then the places of those of a flap are worked out")],
        "What holds a lid or flap open, or lets it down slowly; fitted as its own sheet says.",
        "hardware flap_stay stay {\n    long  250mm\n    price 12EUR per piece\n}",
    ),
];
