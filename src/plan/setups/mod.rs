//! Setups: from the cuts of every part to cards that a person works through at the machines.
//!
//! 1. [`operation`] says what one operation is; [`sizing`] and [`cuts`] make them from the model;
//!    [`cutters`] finds the shop's cutter for each and [`stops`] the marks for stopped cuts.
//! 2. [`cards`] puts operations with the same machine, cutter and height on one card, over all parts
//!    of the commission, with a row for each fence or stop.
//! 3. [`precedence`] is the table of what comes before what; [`order`] finds the order of the cards
//!    with the fewest changes; [`verify`] checks the result without either.
//!
//! Breaking down sheets is told by the cutting layouts, gluing up by the glue-up plan. Nails are
//! driven at the glue-up and are no setup.

mod cards;
mod cuts;
mod cutters;
mod joinery;
mod operation;
mod order;
mod precedence;
mod sizing;
mod sliding;
mod stops;
mod verify;

#[cfg(test)]
pub(crate) mod tests;

pub use cards::{Card, Row, Run, TestCut};
pub use operation::{
    Lies, Listed, Machine, Operation, Phase, Process, Setting, Sliding, Space, Stops, Tooling, Work,
};
pub use order::{Changes, MOST_STATES};
pub use precedence::{RULES, Rule, Scope};
pub use stops::{cross, reach};
pub use verify::{Broken, verify};

use crate::model::{Finding, Model};

/// The setups of a commission.
#[derive(Clone, Debug)]
pub struct Setups {
    /// In the order to do them.
    pub cards: Vec<Card>,
    /// What this order takes.
    pub changes: Changes,
    /// What no order can go below.
    pub bound: Changes,
    /// Whether it is proven that no order takes less.
    pub proven: bool,
    /// What the shop's machines can or can't do of it.
    pub findings: Vec<Finding>,
}

/// Plans the setups.
pub fn plan_setups(model: &Model) -> Setups {
    plan_within(model, MOST_STATES)
}

/// Plans the setups, looking at no more than so many sets of cards for the order.
pub fn plan_within(model: &Model, most_states: usize) -> Setups {
    let operations = cuts::operations(model);
    let (cards, changes, bound, proven) = cards::cards(model, operations, most_states);
    let mut setups = Setups {
        cards,
        changes,
        bound,
        proven,
        findings: Vec::new(),
    };
    setups.findings = verify::findings(model, &setups);
    setups
}
