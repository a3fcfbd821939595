//! The steps of a finish, their working times, and what they use up.

use super::{LITRE, tenths_of_litre};
use crate::measure::Rational;
use crate::model::{Finish, FinishStep, Price, Shop};

/// What a step does.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum StepKind {
    /// Sanding of bare wood, or between materials, through these grits.
    Sand(Vec<u32>),
    /// Coat number `of` so many of a material.
    Coat {
        /// What.
        name: String,
        /// Which, from 1.
        number: u32,
        /// How many in all.
        of: u32,
    },
    /// A light rub between two coats of one material.
    Rub {
        /// The grit: the one that the finish names for sanding after its first coat, else 320
        /// (common practice: 220 to 320).
        grit: u32,
        /// Whether the finish names it.
        stated: bool,
    },
    /// Standing untouched until it may be used.
    Cure,
}

/// A step.
#[derive(Clone, Debug)]
pub struct Step {
    /// Its number, from 1.
    pub number: u32,
    /// What.
    pub kind: StepKind,
    /// Minutes of work, in working hours.
    pub work: u32,
    /// Minutes until the next step may begin, at any hour.
    pub wait: u32,
}

impl Step {
    /// Whether it puts something on.
    pub fn is_coat(&self) -> bool {
        matches!(self.kind, StepKind::Coat { .. })
    }
}

/// How much of a material is used.
#[derive(Clone, Debug)]
pub struct CoatNeed {
    /// What.
    pub name: String,
    /// Coats of it over the whole finish.
    pub coats: u32,
    /// Square millimetres that a cubic millimetre covers.
    pub covers: Rational,
    /// Cubic millimetres on the wood.
    pub net: Rational,
    /// Litres to buy: with the shop's loss, rounded up to a tenth.
    pub litres: Rational,
    /// Its price.
    pub price: Option<Price>,
}

/// Minutes that an area takes, `times` over, at the shop's pace; rounded up to five.
fn minutes(shop: &Shop, area: Rational, times: usize) -> u32 {
    // Pace is square metres an hour.
    let per = area * Rational::int(60) / (shop.finish_pace * Rational::int(1_000_000));
    (per * Rational::int(times as i64) / Rational::int(5))
        .ceil()
        .and_then(|m| u32::try_from(m).ok())
        .unwrap_or(0)
        .saturating_mul(5)
}

fn wait(seconds: Rational) -> u32 {
    (seconds / Rational::int(60))
        .ceil()
        .and_then(|m| u32::try_from(m).ok())
        .unwrap_or(0)
}

/// Grits of bare wood, before anything is put on.
fn bare(finish: &Finish) -> impl Iterator<Item = &Vec<u32>> {
    finish.steps.iter().map_while(|step| match step {
        FinishStep::Sand(grits) => Some(grits),
        FinishStep::Coat(_) => None,
    })
}

/// Minutes of sanding bare wood for an area that is sanded before the glue-up.
pub(super) fn sanding(shop: &Shop, finish: &Finish, area: Rational) -> u32 {
    bare(finish)
        .map(|grits| minutes(shop, area, grits.len().max(1)))
        .sum()
}

/// The steps in order, numbered; `inner` of the area is sanded before the glue-up, not here.
pub(super) fn steps(shop: &Shop, finish: &Finish, area: Rational, inner: Rational) -> Vec<Step> {
    let first_coat = finish
        .steps
        .iter()
        .position(|s| matches!(s, FinishStep::Coat(_)));
    let between = first_coat.and_then(|first| {
        finish.steps.iter().skip(first).find_map(|s| match s {
            FinishStep::Sand(grits) => grits.last().copied(),
            FinishStep::Coat(_) => None,
        })
    });
    let mut rows: Vec<(StepKind, u32, u32)> = Vec::new();
    let before_coats = bare(finish).count();
    for (i, step) in finish.steps.iter().enumerate() {
        match step {
            FinishStep::Sand(grits) => {
                let own = if i < before_coats { area - inner } else { area };
                rows.push((
                    StepKind::Sand(grits.clone()),
                    minutes(shop, own, grits.len().max(1)),
                    0,
                ));
            }
            FinishStep::Coat(coat) => {
                for number in 1..=coat.coats {
                    if number > 1 {
                        let kind = StepKind::Rub {
                            grit: between.unwrap_or(320),
                            stated: between.is_some(),
                        };
                        rows.push((kind, minutes(shop, area, 1), 0));
                    }
                    let kind = StepKind::Coat {
                        name: coat.name.clone(),
                        number,
                        of: coat.coats,
                    };
                    rows.push((kind, minutes(shop, area, 1), wait(coat.dry)));
                }
            }
        }
    }
    if let Some(cure) = finish.cure {
        // Curing begins with the last coat's end, so its drying is part of it.
        let last = rows.last_mut().map_or(0, |row| std::mem::take(&mut row.2));
        rows.push((StepKind::Cure, 0, wait(cure).max(last)));
    }
    rows.into_iter()
        .enumerate()
        .map(|(i, (kind, work, wait))| Step {
            number: i as u32 + 1,
            kind,
            work,
            wait,
        })
        .collect()
}

/// Quantity = area x coats / coverage x (1 + loss), a material that comes twice added up.
pub(super) fn needs(shop: &Shop, finish: &Finish, area: Rational) -> Vec<CoatNeed> {
    let mut out: Vec<CoatNeed> = Vec::new();
    for step in &finish.steps {
        let FinishStep::Coat(coat) = step else {
            continue;
        };
        let net = area * Rational::int(i64::from(coat.coats)) / coat.covers;
        match out
            .iter_mut()
            .find(|n| n.name == coat.name && n.covers == coat.covers)
        {
            Some(need) => {
                need.coats += coat.coats;
                need.net = need.net + net;
            }
            None => out.push(CoatNeed {
                name: coat.name.clone(),
                coats: coat.coats,
                covers: coat.covers,
                net,
                litres: Rational::ZERO,
                price: coat.price.clone(),
            }),
        }
    }
    for need in &mut out {
        need.litres = tenths_of_litre(need.net * (Rational::ONE + shop.finish_loss));
    }
    out
}

/// Whether rags with it may heat up by themselves: drying oils do (linseed, tung), and so do the
/// varnishes and stains made of them. Only what is surely none of these is taken out: shellac,
/// lacquer, wax, soap and what is called water-based.
pub(super) fn rags(finish: &Finish) -> bool {
    const SURE: [&str; 5] = ["shellac", "lacquer", "soap", "wax", "water"];
    finish.steps.iter().any(|step| match step {
        FinishStep::Coat(coat) => {
            let name = coat.name.to_lowercase();
            name.contains("oil") || !SURE.iter().any(|word| name.contains(word))
        }
        FinishStep::Sand(_) => false,
    })
}

/// Litres of a volume, for tables: rounded to the nearest hundredth.
pub fn litres(volume: Rational) -> Rational {
    let hundredths = (volume * Rational::int(100) / LITRE).round().unwrap_or(0);
    Rational::new(hundredths, 100)
}
