//! Chapter 7: a card for each setup, in the order to do them.
//!
//! Figures and sketches are prepared here; what is said of them stands in the template. [`paging`]
//! decides what goes on one page, [`card`] prepares it, [`lines`] its table.

mod card;
mod dovetails;
mod lines;
mod paging;
mod words;

use super::Chapter;
use crate::book::{Facts, html};
use crate::plan::setups::Changes;
use card::CardFacts;
use minijinja::Value;
use serde::Serialize;

/// The setups.
pub const CHAPTER: Chapter = Chapter {
    number: 7,
    id: "setups",
    title: "Setups",
    template: "setups.html",
    facts,
};

#[derive(Serialize)]
struct SetupsFacts {
    letters: Vec<String>,
    cards: Vec<CardFacts>,
    count: usize,
    proven: bool,
    changes: ChangeFacts,
    bound: ChangeFacts,
    unit: &'static str,
}

#[derive(Serialize)]
struct ChangeFacts {
    cutters: u32,
    heights: u32,
    fences: u32,
}

/// Prepares the setups.
pub fn facts(facts: &Facts) -> Option<Value> {
    let setups = &facts.plans.setups;
    if setups.cards.is_empty() {
        return None;
    }
    let changes = |c: &Changes| ChangeFacts {
        cutters: c.cutters,
        heights: c.heights,
        fences: c.fences,
    };
    Some(html::value(&SetupsFacts {
        letters: facts.letters().into_iter().map(str::to_owned).collect(),
        cards: setups
            .cards
            .iter()
            .flat_map(|c| paging::pages(facts, c))
            .collect(),
        count: setups.cards.len(),
        proven: setups.proven,
        changes: changes(&setups.changes),
        bound: changes(&setups.bound),
        unit: facts.units().name(),
    }))
}
