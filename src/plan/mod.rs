//! From the model to work plans: one folder or file a plan, plain data out, deterministic.
//!
//! Plans read the model alone; they know nothing of text, rules or pages.

pub mod buying;
mod cut_list;
pub mod finishing;
pub mod glue_up;
mod good_side;
pub mod layouts;
pub mod setups;

pub use cut_list::{CutList, CutRow, Rough, StockRows};

pub use crate::cutting::Effort;
use crate::model::{Finding, Model};

/// Every plan of the book.
#[derive(Debug)]
pub struct Plans {
    /// What to cut, by stock.
    pub cut_list: CutList,
    /// How the machines are set up, and in which order.
    pub setups: setups::Setups,
    /// Which part comes out of which sheet or board.
    pub layouts: layouts::Layouts,
    /// In which stages it is glued up.
    pub glue_up: glue_up::GlueUp,
    /// Surfaces, coats, calendar.
    pub finishing: finishing::Finishing,
    /// What to buy, with prices.
    pub buying: buying::Buying,
}

/// Makes every plan, the layouts as they are found at once.
pub fn make(model: &Model) -> Plans {
    make_with(model, Effort::Quick)
}

/// Makes every plan, with so much effort for the layouts.
pub fn make_with(model: &Model, effort: Effort) -> Plans {
    let layouts = layouts::plan_layouts(model, effort);
    let glue_up = glue_up::plan_glue_up(model);
    let finishing = finishing::plan_finishing(model);
    Plans {
        cut_list: cut_list::plan_cut_list(model),
        setups: setups::plan_setups(model),
        buying: buying::plan_buying(model, &layouts, &glue_up, &finishing),
        layouts,
        glue_up,
        finishing,
    }
}

impl Plans {
    /// What the plans found: cutters and clamps that are missing, stages that outlast the glue.
    pub fn findings(&self) -> Vec<Finding> {
        found(&self.setups, &self.glue_up)
    }
}

/// What [`Plans::findings`] gives, without the plans that find nothing: laying out takes longest.
pub fn findings(model: &Model) -> Vec<Finding> {
    found(&setups::plan_setups(model), &glue_up::plan_glue_up(model))
}

fn found(setups: &setups::Setups, glue_up: &glue_up::GlueUp) -> Vec<Finding> {
    let findings = setups.findings.iter().chain(&glue_up.findings);
    findings.cloned().collect()
}
