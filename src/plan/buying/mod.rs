//! What to buy for the whole commission, with reasons and prices.
//!
//! Quantities come from the other plans: sheets and boards from the layouts, glue from the glue-up,
//! finish and abrasives from the finishing. Amounts are exact until they are printed. What has no
//! price stays in the list with a blank, and the total says how many lines it leaves out.

mod lines;
mod money;
#[cfg(test)]
mod tests;
mod wood;

pub use lines::{Amount, BuyLine, Reason, Section};
pub use money::{Money, cents};
pub use wood::WoodSum;

use super::finishing::Finishing;
use super::glue_up::GlueUp;
use super::layouts::Layouts;
use crate::measure::Rational;
use crate::model::Model;

/// Everything to buy.
#[derive(Clone, Debug)]
pub struct Buying {
    /// Lines, by section, in the order of [`Section`].
    pub lines: Vec<BuyLine>,
    /// Sum by currency, in the order in which they first occur; each line rounded to cents first, as
    /// on a bill, so that the column adds up.
    pub totals: Vec<Money>,
    /// Lines that the totals leave out, since they have no price.
    pub unpriced: u32,
}

/// Gathers what to buy.
pub fn plan_buying(
    model: &Model,
    layouts: &Layouts,
    glue_up: &GlueUp,
    finishing: &Finishing,
) -> Buying {
    let lines = lines::lines(model, layouts, glue_up, finishing);
    let mut totals: Vec<Money> = Vec::new();
    for price in lines.iter().filter_map(|l| l.price.as_ref()) {
        match totals.iter_mut().find(|t| t.currency == price.currency) {
            Some(total) => total.amount = total.amount + price.amount,
            None => totals.push(price.clone()),
        }
    }
    let unpriced = lines.iter().filter(|l| l.price.is_none()).count() as u32;
    Buying {
        lines,
        totals,
        unpriced,
    }
}

/// Whole units that hold an amount.
fn whole(amount: Rational) -> u32 {
    amount
        .ceil()
        .and_then(|n| u32::try_from(n).ok())
        .unwrap_or(0)
}
