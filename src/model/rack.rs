//! What is on hand: sheets, offcuts, boards and strips that are used before anything is bought.

use super::{Origin, StockId};
use crate::measure::Length;
use schemars::JsonSchema;
use serde::Serialize;

/// So many alike on the rack.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct OnHand {
    /// What it is.
    pub kind: OnHandKind,
    /// How many.
    pub count: u32,
    /// Of which stock.
    pub stock: StockId,
    /// Along the grain; of a sheet as it is sold its long side.
    pub long: Length,
    /// Across it; of a strip zero.
    pub wide: Length,
    /// Rough thickness of boards; of other stock zero.
    pub thick: Length,
    /// Lengths that nothing is sawn from, from and to, in order, apart.
    pub faults: Vec<(Length, Length)>,
    /// The line.
    pub origin: Origin,
}

/// What lies on the rack.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum OnHandKind {
    /// A sheet as it was bought: its edges are trimmed first.
    Sheet,
    /// What was sawn off a sheet: its edges are clean.
    Offcut,
    /// A board.
    Board,
    /// A length of edging.
    Strip,
}

impl OnHandKind {
    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            OnHandKind::Sheet => "sheet",
            OnHandKind::Offcut => "offcut",
            OnHandKind::Board => "board",
            OnHandKind::Strip => "strip",
        }
    }
}

impl OnHand {
    /// The lengths between the faults.
    pub fn clear(&self) -> Vec<(Length, Length)> {
        let mut from = Length::ZERO;
        let mut out = Vec::new();
        for (start, end) in &self.faults {
            if from < *start {
                out.push((from, *start));
            }
            from = from.max(*end);
        }
        if from < self.long {
            out.push((from, self.long));
        }
        out
    }
}
