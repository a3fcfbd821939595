//! Which sheets to cut from: mixes that cost less than a plan and still hold the area of its parts. To
//! fill sheets greedily, the one that pays best first, misses plans of sheets that pay less one by one.

use super::job::Job;
use super::pattern::{Plan, cost};
use super::work::{Dice, Work};

/// Mixes looked at for each one chosen.
const TRIES: usize = 24;

/// By bin how many sheets to use, for less than `below`; one of those that leave the most area, give or
/// take. Some sheets of the plan are swapped for others. `None` if no mix found holds the parts.
pub(super) fn mix(
    job: &Job,
    plan: &Plan,
    below: i64,
    dice: &mut Dice,
    work: &mut Work,
) -> Option<Vec<u32>> {
    if job.bins.len() < 2 {
        return None;
    }
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
    let mut best: Option<(f64, Vec<u32>)> = None;
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
        for i in (1..order.len()).rev() {
            order.swap(i, dice.below(i + 1));
        }
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
        let area: i64 = counts
            .iter()
            .zip(&job.bins)
            .map(|(n, bin)| i64::from(*n) * bin.area())
            .sum();
        let score = area as f64 * (0.98 + 0.04 * dice.unit());
        let holds = price < below && area >= wanted;
        if holds && best.as_ref().is_none_or(|(s, _)| score > *s) {
            best = Some((score, counts));
        }
    }
    best.map(|(_, counts)| counts)
}
