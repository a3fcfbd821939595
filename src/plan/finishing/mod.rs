//! Finishing: how much there is to coat, in which steps, how much of each coat to buy, and when each
//! step has to start so that the work is ready on the day it is due.
//!
//! One [`FinishPlan`] for each finish that is used, over every copy of every piece that has it. Work
//! takes place in working hours; drying and curing go on over night and at the week-end. Public
//! holidays are not known here, and the book says so.

mod areas;
mod calendar;
mod steps;
#[cfg(test)]
mod tests;

pub use areas::{AreaClass, AreaRow, Faces};
pub use calendar::{Calendar, Moment, Slot};
pub use steps::{CoatNeed, Step, StepKind, litres};

use crate::measure::Rational;
use crate::model::{FinishId, Model};

/// The work of one finish.
#[derive(Clone, Debug)]
pub struct FinishPlan {
    /// The finish.
    pub finish: FinishId,
    /// Pieces that have it, by index.
    pub pieces: Vec<u32>,
    /// Letters of all their copies.
    pub letters: Vec<String>,
    /// Surfaces, by class.
    pub areas: Vec<AreaRow>,
    /// All of it, square millimetres.
    pub area: Rational,
    /// Of it what is sanded before the glue-up, since no sander reaches in after: the insides of cases
    /// and drawer boxes.
    pub inner: Rational,
    /// Minutes that takes; they are in no slot of the calendar.
    pub inner_sanding: u32,
    /// What to do, in order.
    pub steps: Vec<Step>,
    /// How much of each material.
    pub coats: Vec<CoatNeed>,
    /// When.
    pub calendar: Calendar,
    /// Whether something in it may heat up in a heap of rags: any oil or varnish, and whatever the
    /// name does not tell.
    pub rags: bool,
}

/// Everything about finishing.
#[derive(Clone, Debug)]
pub struct Finishing {
    /// By finish.
    pub plans: Vec<FinishPlan>,
    /// Pieces for which no finish is stated, by index.
    pub bare: Vec<u32>,
}

/// Plans the finishing of the commission.
pub fn plan_finishing(model: &Model) -> Finishing {
    let plans = (0..model.finishes.len())
        .map(|i| FinishId(i as u32))
        .filter_map(|id| plan(model, id))
        .collect();
    let bare = (0..model.pieces.len())
        .filter(|i| model.pieces[*i].finish.is_none())
        .map(|i| i as u32)
        .collect();
    Finishing { plans, bare }
}

fn plan(model: &Model, id: FinishId) -> Option<FinishPlan> {
    let finish = model.finishes.get(id.0 as usize)?;
    let pieces: Vec<u32> = (0..model.pieces.len() as u32)
        .filter(|i| model.pieces[*i as usize].finish == Some(id))
        .collect();
    if pieces.is_empty() {
        return None;
    }
    let areas = areas::rows(model, &pieces);
    let area = areas.iter().fold(Rational::ZERO, |sum, row| sum + row.area);
    let inner = areas
        .iter()
        .filter(|row| matches!(row.class, AreaClass::Inside | AreaClass::Drawers))
        .fold(Rational::ZERO, |sum, row| sum + row.area);
    let steps = steps::steps(&model.shop, finish, area, inner);
    let due = model.commission.as_ref().and_then(|c| c.due.as_deref());
    Some(FinishPlan {
        finish: id,
        letters: pieces
            .iter()
            .flat_map(|i| model.pieces[*i as usize].letters.iter().cloned())
            .collect(),
        pieces,
        areas,
        area,
        inner,
        inner_sanding: steps::sanding(&model.shop, finish, inner),
        coats: steps::needs(&model.shop, finish, area),
        calendar: calendar::calendar(&model.shop, &steps, due),
        rags: steps::rags(finish),
        steps,
    })
}

/// Square millimetres as square metres.
pub fn square_metres(area: Rational) -> Rational {
    area / Rational::int(1_000_000)
}

/// Cubic millimetres as litres, rounded up to a tenth.
pub fn tenths_of_litre(volume: Rational) -> Rational {
    let tenths = (volume / Rational::int(100_000)).ceil().unwrap_or(0);
    Rational::new(tenths, 10)
}

/// A litre in cubic millimetres.
pub const LITRE: Rational = Rational::int(1_000_000);
