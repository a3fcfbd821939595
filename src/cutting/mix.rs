//! Which sheets to cut from: mixes that cost less than a plan and still hold the area of its parts. To
//! fill sheets greedily, the one that pays best first, misses plans of sheets that pay less one by one.

use super::job::{Bin, Job};
use super::pattern::{Plan, cost};
use super::work::{Dice, Work};

/// Mixes looked at for each one chosen.
const TRIES: usize = 24;

/// How many sheets of each bin.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Mix {
    /// By bin.
    pub counts: Vec<u32>,
    /// Of all of them.
    pub cost: i64,
    pub area: i64,
}

impl Mix {
    fn of(job: &Job, counts: Vec<u32>) -> Mix {
        let sum = |of: &dyn Fn(&Bin) -> i64| -> i64 {
            let bins = counts.iter().zip(&job.bins);
            bins.map(|(n, bin)| i64::from(*n) * of(bin)).sum()
        };
        Mix {
            cost: sum(&|bin| bin.cost),
            area: sum(&Bin::area),
            counts,
        }
    }
}

/// The mix with the most area, give or take.
pub(super) fn roomy(
    job: &Job,
    plan: &Plan,
    below: i64,
    dice: &mut Dice,
    work: &mut Work,
) -> Option<Mix> {
    let area = |mix: &Mix, dice: &mut Dice| Some(mix.area as f64 * (0.98 + 0.04 * dice.unit()));
    mix(job, plan, below, dice, work, area).map(|(_, mix)| mix)
}

/// A mix for less than `below`, the best of some by `score` (`None`: not this one), and its score: some
/// sheets of the plan are swapped for others; of one kind of sheet there are less. `None` if no mix found
/// holds the area of the parts.
pub(super) fn mix(
    job: &Job,
    plan: &Plan,
    below: i64,
    dice: &mut Dice,
    work: &mut Work,
    score: impl Fn(&Mix, &mut Dice) -> Option<f64>,
) -> Option<(f64, Mix)> {
    let wanted: i64 = plan
        .iter()
        .map(|(p, times)| p.area(job) * i64::from(*times))
        .sum();
    let mut used = vec![0; job.bins.len()];
    for (pattern, times) in plan {
        used[pattern.bin] += times;
    }
    let sheets: u32 = used.iter().sum();
    work.spend(TRIES * (300 + 60 * used.len()));
    let mut best: Option<(f64, Mix)> = None;
    for _ in 0..TRIES {
        let mut counts = used.clone();
        let mut price = cost(job, plan);
        for _ in 0..=dice.below((sheets as usize / 2).clamp(1, 12)) {
            let bin = dice.below(counts.len());
            if counts[bin] > 0 {
                counts[bin] -= 1;
                price -= job.bins[bin].cost;
            }
        }
        // One kind of sheet after the other, as many as the price allows or a few less.
        let mut order: Vec<usize> = (0..counts.len()).collect();
        dice.shuffle(&mut order);
        for _ in 0..2 {
            for bin in &order {
                let most = (below - 1 - price)
                    .div_euclid(job.bins[*bin].cost.max(1))
                    .max(0);
                let free = job.copies(*bin) - counts[*bin];
                let mut more = u32::try_from(most)
                    .unwrap_or(u32::MAX)
                    .min(free)
                    .min(sheets);
                if more > 0 && dice.below(2) == 0 {
                    more = dice.below(more as usize + 1) as u32;
                }
                counts[*bin] += more;
                price += job.bins[*bin].cost * i64::from(more);
            }
        }
        let mix = Mix::of(job, counts);
        if mix.cost >= below || mix.area < wanted {
            continue;
        }
        let Some(score) = score(&mix, dice) else {
            continue;
        };
        if best.as_ref().is_none_or(|(s, _)| score > *s) {
            best = Some((score, mix));
        }
    }
    best
}
