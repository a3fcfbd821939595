//! From the model to work plans: one folder or file a plan, plain data out, deterministic.
//!
//! Plans read the model alone; they know nothing of text, rules or pages.

mod cut_list;
pub mod setups;

pub use cut_list::{CutList, CutRow, Rough, StockRows};

use crate::model::Model;

/// Every plan of the book.
#[derive(Debug)]
pub struct Plans {
    /// What to cut, by stock.
    pub cut_list: CutList,
    /// How the machines are set up, and in which order.
    pub setups: setups::Setups,
}

/// Makes every plan.
pub fn make(model: &Model) -> Plans {
    Plans {
        cut_list: cut_list::plan_cut_list(model),
        setups: setups::plan_setups(model),
    }
}
