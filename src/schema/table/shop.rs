//! The shop and the finish: machines, cutters, clamps, glue, allowances, paces; the steps of a finish.

use super::ROW;
use crate::schema::head::{Context, Head, Names, Need, Shape, Slot, Use, later, opt, req};

const LENGTH: &[Slot] = &[Slot {
    name: "length",
    shape: Shape::Length,
    optional: false,
}];
const SHOP_ROW: Head = Head {
    places: &[Context::Shop],
    ..ROW
};
/// A setting of the shop: said once, a length.
const SETTING: Head = Head {
    values: LENGTH,
    once: true,
    ..SHOP_ROW
};
const FINISH_ROW: Head = Head {
    places: &[Context::Finish],
    ..ROW
};
const BUYING: &[Use] = &[
    opt("covers").says("what a litre covers in one coat; of a coat 10m2 per L unless said"),
    opt("price").says("`per` litre or `per` container: `per 750ml`"),
];
/// The sorts of cutter.
const CUTTERS: &[&str] = &["groove", "dado", "bore", "rabbet", "dovetail", "profile"];

pub(super) const HEADS: &[Head] = &[
    Head {
        word: "shop",
        places: &[Context::File],
        block: Some(Context::Shop),
        once: true,
        doc: "What this shop can do; every piece of the project is made in it.",
        example: "shop {\n    saw panel long 3100mm wide 1250mm kerf 3.2mm\n    clamp bar 8 long 1200mm\n}",
        ..ROW
    },
    Head {
        word: "saw",
        names: Names::One,
        clauses: &[&[
            req("long").says("the longest cut"),
            req("wide").says("the widest piece beside the blade"),
            req("kerf"),
        ]],
        doc: "A saw and its reach.",
        example: "saw panel long 3100mm wide 1250mm kerf 3.2mm",
        ..SHOP_ROW
    },
    Head {
        word: "rough",
        values: &[Slot {
            name: "`sheets`, `boards` or `strips`",
            shape: Shape::Choice(&["sheets", "boards", "strips"]),
            optional: false,
        }],
        clauses: &[&[opt("long"), opt("wide"), opt("thick")]],
        doc: "How much larger than its core a part is broken down, from sheets or from boards; how far strips of edging stand proud until they are flushed.",
        example: "rough boards long 25mm wide 6mm thick 3mm",
        ..SHOP_ROW
    },
    Head {
        word: "cutter",
        names: Names::One,
        values: &[Slot {
            name: "kind of cut",
            shape: Shape::Choice(CUTTERS),
            optional: false,
        }],
        clauses: &[&[
            opt("thick").says("the width of its cut"),
            opt("from")
                .takes(Shape::Length)
                .says("the narrowest cut of a stacked head"),
            opt("to")
                .takes(Shape::Length)
                .says("the widest cut of a stacked head"),
            opt("deep").says("the deepest cut"),
            opt("across"),
            opt("wide").says("of a profile: how far it takes in from the edge"),
            opt("high").says("of a profile: how much of the edge it takes"),
        ]],
        doc: "A cutter, the cuts it makes and how wide and deep; of a `profile`, what it takes of an edge.",
        example: "cutter stack dado from 6mm to 22mm deep 25mm across 200mm",
        ..SHOP_ROW
    },
    Head {
        word: "clamp",
        names: Names::One,
        count: Need::Must,
        clauses: &[&[req("long").says("how far it opens")]],
        doc: "How many clamps of a length are on the wall.",
        example: "clamp bar 8 long 1200mm",
        ..SHOP_ROW
    },
    Head {
        word: "glue",
        names: Names::One,
        clauses: &[&[opt("open"), opt("clamped"), opt("cured")], BUYING],
        doc: "A glue of the shop; the first is the one in use. Its times are stated here, or come from the glue of that name at the top of a file or in the library: `glue pva` alone. What is stated here goes first.",
        example: "glue pva open 12min clamped 45min",
        ..SHOP_ROW
    },
    Head {
        word: "glue",
        places: &[Context::File],
        names: Names::One,
        clauses: &[
            &[
                req("open"),
                req("clamped"),
                opt("cured"),
                opt("source").says("where its figures were looked up: the label"),
                opt("like").says("a glue that this one repeats, with changes"),
            ],
            BUYING,
        ],
        block: Some(Context::Material),
        doc: "A glue with its times, which a shop takes by its name; `use std` brings the common ones.",
        example: "glue slow_pva {\n    open 20min\n    clamped 2h\n    cured 24h\n    source \"the label\"\n}",
        ..ROW
    },
    Head {
        word: "abrasive",
        names: Names::One,
        clauses: &[&[
            opt("lasts"),
            opt("price").says("of one, or `per box of` so many of one grit"),
        ]],
        once: true,
        doc: "What the shop sands with. How much one of a grit sands is stated here, or comes from the abrasive of that name at the top of a file or in the library: `abrasive sanding_disc150` alone.",
        example: "abrasive sanding_disc150 price 22EUR per box of 50",
        ..SHOP_ROW
    },
    Head {
        word: "abrasive",
        places: &[Context::File],
        names: Names::One,
        clauses: &[&[
            req("lasts"),
            opt("price").says("of one, or `per box of` so many of one grit"),
            opt("source").says("where its figures were looked up"),
            opt("like").says("an abrasive that this one repeats, with changes"),
        ]],
        block: Some(Context::Material),
        doc: "An abrasive, which a shop takes by its name; `use std` brings the common ones.",
        example: "abrasive fine_disc {\n    lasts 1.2m2\n    price 22EUR per box of 50\n}",
        ..ROW
    },
    Head {
        word: "climate",
        clauses: &[&[
            req("dry")
                .takes(Shape::Number)
                .says("least relative humidity of the year"),
            req("damp").says("greatest relative humidity of the year"),
        ]],
        once: true,
        doc: "The humidity of the room in which the pieces will stand, at both ends of the year.",
        example: "climate dry 30% damp 65%",
        ..SHOP_ROW
    },
    Head {
        word: "relief",
        values: &[
            Slot {
                name: "`groove` or `mortise`",
                shape: Shape::Choice(&["groove", "mortise"]),
                optional: false,
            },
            Slot {
                name: "length",
                shape: Shape::Length,
                optional: false,
            },
        ],
        doc: "How much deeper a cut is than what enters it: `groove` for dadoes, grooves and grooves for tongues (0.5mm unless said), `mortise` (1.5mm).",
        example: "relief groove 0.5mm",
        ..SHOP_ROW
    },
    Head {
        word: "fit",
        doc: "How much wider a housing is than what enters it; 0.1mm unless said.",
        example: "fit 0.1mm",
        ..SETTING
    },
    Head {
        word: "web",
        doc: "The least wood between two cuts; 1.5mm unless said.",
        example: "web 1.5mm",
        ..SETTING
    },
    Head {
        word: "trim",
        doc: "What is taken off each edge of a new sheet; 5mm unless said.",
        example: "trim 5mm",
        ..SETTING
    },
    Head {
        word: "first_cuts",
        values: &[
            Slot {
                name: "`sheets` or `boards`",
                shape: Shape::Choice(&["sheets", "boards"]),
                optional: false,
            },
            Slot {
                name: "way",
                shape: Shape::Choice(&["along", "across", "either"]),
                optional: false,
            },
        ],
        doc: "Which way the first cuts go, those right through: `along` the length or `across` it, or `either`, whichever is better. Sheets are cut along unless said, where the saw reaches, boards either way.",
        example: "first_cuts sheets across",
        ..SHOP_ROW
    },
    Head {
        word: "cut_rounds",
        values: &[Slot {
            name: "2 or 3",
            shape: Shape::Number,
            optional: false,
        }],
        once: true,
        doc: "In how many rounds a sheet is cut, each across the one before: `2` or `3` (unless said); what is larger than its part then gets one cut more. Fewer rounds are less handling and more waste.",
        example: "cut_rounds 2",
        ..SHOP_ROW
    },
    Head {
        word: "keep",
        values: &[Slot {
            name: "`sheets`, `boards` or `strips`",
            shape: Shape::Choice(&["sheets", "boards", "strips"]),
            optional: false,
        }],
        clauses: &[&[
            opt("long").says("along the grain; 300mm unless said"),
            opt("wide").says("across it; 100mm of a sheet, 60mm of a board unless said"),
        ]],
        doc: "The smallest offcut that is worth keeping, of a sheet, a board or ready-made edging.",
        example: "keep sheets long 400mm wide 150mm",
        ..SHOP_ROW
    },
    Head {
        word: "lift",
        values: &[Slot {
            name: "mass",
            shape: Shape::Mass,
            optional: false,
        }],
        once: true,
        doc: "What one person lifts: the first pieces that come off a sheet weigh no more, where a part can be had so; the book says where not.",
        example: "lift 25kg",
        ..SHOP_ROW
    },
    Head {
        word: "pace",
        values: &[
            Slot {
                name: "work",
                shape: Shape::Choice(&["spread", "joint", "finish"]),
                optional: false,
            },
            Slot {
                name: "amount",
                shape: Shape::Amount,
                optional: false,
            },
        ],
        clauses: &[&[opt("per")]],
        doc: "How fast the shop works: `spread`, the glue spread (0.1m2 per min unless said); `joint`, the time to bring one joint together (20s); `finish`, the area sanded or coated (6m2 per h).",
        example: "pace spread 0.1m2 per min",
        ..SHOP_ROW
    },
    Head {
        word: "hours",
        clauses: &[&[
            req("from")
                .takes(Shape::Time)
                .says("when the working day begins, after midnight"),
            req("to").takes(Shape::Time).says("when it ends"),
        ]],
        once: true,
        doc: "The working day; from 8h to 17h unless said.",
        example: "hours from 7h to 16h",
        ..SHOP_ROW
    },
    Head {
        word: "waste",
        values: &[Slot {
            name: "share",
            shape: Shape::Number,
            optional: false,
        }],
        once: true,
        doc: "How much of the board that is bought is lost when parts are sawn from it; 30% unless said.",
        example: "waste 30%",
        ..SHOP_ROW
    },
    Head {
        word: "finish",
        places: &[Context::File],
        names: Names::One,
        clauses: &[&[opt("like").says("a finish that this one repeats, with changes")]],
        block: Some(Context::Finish),
        doc: "A finish, its steps in the order of the work.",
        example: "finish clear_hard {\n    sand 120, 180, 220\n    coat sealer 1 dry 2h covers 10m2 per L\n    sand 320\n    coat varnish 2 dry 8h covers 12m2 per L\n    cure 72h\n}",
        ..ROW
    },
    Head {
        word: "sand",
        values: &[Slot {
            name: "grits",
            shape: Shape::Numbers,
            optional: false,
        }],
        doc: "Sanding, by the grits in turn.",
        example: "sand 120, 180, 220",
        ..FINISH_ROW
    },
    Head {
        word: "coat",
        names: Names::One,
        count: Need::May,
        clauses: &[
            &[
                req("dry").takes(Shape::Time).says("until the next step"),
                later("base"),
            ],
            BUYING,
        ],
        doc: "So many coats of something (one unless said), and how long each dries.",
        example: "coat varnish 2 dry 8h covers 12m2 per L",
        ..FINISH_ROW
    },
    Head {
        word: "cure",
        values: &[Slot {
            name: "time",
            shape: Shape::Time,
            optional: false,
        }],
        once: true,
        doc: "How long until the piece may be used.",
        example: "cure 72h",
        ..FINISH_ROW
    },
    Head {
        word: "loss",
        places: &[Context::Finish, Context::Shop],
        values: &[Slot {
            name: "share",
            shape: Shape::Number,
            optional: false,
        }],
        once: true,
        doc: "How much of the finish stays in brush, gun and pot; 10% unless said.",
        example: "loss 10%",
        ..ROW
    },
];
