//! The rack: what is on hand.

use super::ROW;
use crate::schema::head::{Context, Head, Need, Shape, opt, req};

/// So many alike of a stock.
const ON_HAND: Head = Head {
    places: &[Context::Rack],
    count: Need::May,
    clauses: &[&[
        req("of").says("its stock"),
        req("long").says("along the grain"),
        req("wide").says("across the grain"),
    ]],
    ..ROW
};

pub(super) const HEADS: &[Head] = &[
    Head {
        word: "rack",
        places: &[Context::File],
        block: Some(Context::Rack),
        once: true,
        doc: "What is on hand, in a file of its own as a rule: `casewright layout --rack-after` writes it anew. It is used before anything is bought, where that saves a sheet or board; an offcut counts the less the smaller it is, so that a small part does not spoil a large piece.",
        example: "rack {\n    sheet  1 of oak18 long 2440mm wide 1220mm\n    offcut 2 of oak18 long 1200mm wide 320mm\n}",
        ..ROW
    },
    Head {
        word: "sheet",
        clauses: &[&[
            req("of").says("its stock"),
            req("long").says("its long side"),
            req("wide").says("its other side"),
        ]],
        doc: "So many sheets as they were bought (one unless said): their edges are trimmed before anything is sawn from them.",
        example: "sheet 1 of oak18 long 2440mm wide 1220mm",
        ..ON_HAND
    },
    Head {
        word: "offcut",
        doc: "So many offcuts of a sheet, with clean edges (one unless said).",
        example: "offcut 2 of oak18 long 1200mm wide 320mm",
        ..ON_HAND
    },
    Head {
        word: "board",
        clauses: &[&[
            req("of").says("its stock"),
            req("thick").says("its rough thickness"),
            req("long"),
            req("wide"),
        ]],
        block: Some(Context::OnHand),
        doc: "So many boards (one unless said). What is unsound is crosscut out of each, as its `fault` lines say.",
        example: "board 3 of oak thick 27mm long 2400mm wide 180mm {\n    fault from 300mm to 360mm\n}",
        ..ON_HAND
    },
    Head {
        word: "strip",
        clauses: &[&[req("of").says("its stock"), req("long")]],
        doc: "So many lengths of ready-made edging (one unless said).",
        example: "strip 2 of oak_veneer_edging long 1200mm",
        ..ON_HAND
    },
    Head {
        word: "fault",
        places: &[Context::OnHand],
        clauses: &[&[
            opt("from")
                .takes(Shape::Length)
                .says("where it begins, from the board's end; at the end itself unless said"),
            opt("to")
                .takes(Shape::Length)
                .says("where it ends; at the other end unless said"),
        ]],
        doc: "A length of the board that nothing is sawn from: a knot, a split end, wane.",
        example: "fault from 300mm to 360mm",
        ..ROW
    },
];
