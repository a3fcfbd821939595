//! Heads that the language has and this edition does not build yet: known, so that the message is honest.

use super::ROW;
use crate::schema::head::{Context, Head};

/// Settings of the shop whose figure is still the program's own.
const SHOP: &[Context] = &[Context::Shop];

const fn later(word: &'static str, places: &'static [Context], doc: &'static str) -> Head {
    Head {
        word,
        places,
        later: true,
        doc,
        ..ROW
    }
}

pub(super) const HEADS: &[Head] = &[
    later("cheek", SHOP, "The least wood beside a groove in an edge."),
    later("floor", SHOP, "The least wood under a housing."),
    later("shelf_gap", SHOP, "The air on each side of a loose shelf."),
    later("drawer_stop", SHOP, "The room behind a drawer on wood."),
    later("planing", SHOP, "What is planed off a rough board."),
    later("adjust", SHOP, "The finest step in which a fence is moved."),
    later(
        "reading",
        SHOP,
        "The finest reading of the rule by which diagonals are checked.",
    ),
    later(
        "clamp_pitch",
        SHOP,
        "The distance from clamp to clamp along a joint.",
    ),
    later(
        "jaws",
        SHOP,
        "How much longer than the part a clamp must be.",
    ),
    later(
        "least",
        SHOP,
        "The smallest part that is safely fed through the saw.",
    ),
    later("weekdays", SHOP, "The days on which the shop works."),
    later("wage", SHOP, "What an hour in the shop costs."),
];
