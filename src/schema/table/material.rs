//! What stock is made of: species of wood, and cores of sheets, by the figures of the handbook.

use super::ROW;
use crate::schema::head::{Context, Head, Names, Use, opt};

const FIGURES: &[Use] = &[
    opt("density"),
    opt("stiffness"),
    opt("strength"),
    opt("source").says("where the figures were looked up that have no source of their own"),
    opt("like").says("one of the same head that this one repeats, with changes"),
];

pub(super) const HEADS: &[Head] = &[
    Head {
        word: "species",
        places: &[Context::File],
        names: Names::One,
        clauses: &[
            &[
                opt("latin"),
                opt("radial"),
                opt("tangential"),
                opt("hardness"),
            ],
            FIGURES,
        ],
        block: Some(Context::Material),
        doc: "A species of wood with its figures, each with its source; `use std` brings those of the handbook.",
        example: "species white_oak {\n    latin \"Quercus alba\"\n    density 762kg per m3\n    radial 0.0018\n    tangential 0.00365 source \"Wood Handbook FPL-GTR-190, table 13-5\"\n    stiffness 12.3GPa\n    strength 105MPa\n    hardness 1360lbf\n    source \"Wood Handbook FPL-GTR-282, table 5-3b\"\n}",
        ..ROW
    },
    Head {
        word: "core",
        places: &[Context::File],
        names: Names::One,
        clauses: &[FIGURES],
        block: Some(Context::Material),
        doc: "What sheets are made of, with its figures, each with its source; `use std` brings the common ones.",
        example: "core mdf {\n    density 800kg per m3\n    stiffness 3.59GPa\n    source \"Wood Handbook FPL-GTR-282, table 12-1\"\n}",
        ..ROW
    },
];
