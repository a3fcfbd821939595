//! Fills one sheet with what is worth most, and whole problems sheet by sheet with values that learn
//! (sequential value correction: Belov & Scheithauer 2007, INFORMS J. Computing 19; Chen, Cui & Chen
//! 2016, Optimization Methods & Software 31; from memory).

use super::job::Job;
use super::pattern::{Pattern, Plan};
use super::price::Pricer;
use super::problem::Stages;
use super::rests::fill_rests;
use super::search::{Goal, Guide, Start, search};
use super::work::{Dice, Work};

/// What is left to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Rest {
    /// Of each kind.
    pub left: Vec<u32>,
    /// Of each bin.
    pub copies: Vec<u32>,
    /// Whether these sheets are a mix that is to be used up, rather than all there are.
    pub mixed: bool,
}

impl Rest {
    pub fn of(job: &Job) -> Rest {
        Rest {
            left: job.demands(),
            copies: (0..job.bins.len()).map(|b| job.copies(b)).collect(),
            mixed: false,
        }
    }

    /// Keeps to a mix of sheets.
    pub fn keep_to(&mut self, mix: Vec<u32>) {
        self.copies = mix;
        self.mixed = true;
    }

    pub fn take(&mut self, pattern: &Pattern, times: u32) {
        pattern.take(times, &mut self.left);
        let copies = &mut self.copies[pattern.bin];
        if *copies != u32::MAX {
            *copies -= times;
        }
    }

    /// What a sheet was to give is wanted again, and the sheet is there again.
    pub fn put_back(&mut self, pattern: &Pattern) {
        for (kind, n) in &pattern.counts {
            self.left[*kind] += n;
        }
        let copies = &mut self.copies[pattern.bin];
        *copies = copies.saturating_add(1);
    }

    pub fn done(&self) -> bool {
        self.left.iter().all(|n| *n == 0)
    }

    pub fn parts(&self) -> u32 {
        self.left.iter().sum()
    }
}

/// What suits one sheet.
pub(super) const GUIDES: [Guide; 2] = [Guide::Waste, Guide::Large];

/// The best filling of one sheet of a bin that is found, with its value.
pub(super) fn fill(
    job: &Job,
    pricers: &[Pricer],
    bin: usize,
    values: &[f64],
    rest: &Rest,
    (width, guides): (usize, &[Guide]),
    work: &mut Work,
) -> Option<(Pattern, f64)> {
    let worth = |p: &Pattern| -> f64 {
        p.counts
            .iter()
            .map(|(k, n)| values[*k] * f64::from(*n))
            .sum()
    };
    if job.stages == Stages::One {
        let most = values.iter().fold(1e-300, |m: f64, v| m.max(*v));
        let scale = (1_u64 << 32) as f64 / most;
        let whole: Vec<i64> = values.iter().map(|v| (v * scale) as i64).collect();
        return pricers
            .iter()
            .filter(|p| p.bin == bin)
            .filter_map(|p| p.soon(&whole, &rest.left, 4_000, work))
            // A part may have been taken lying and turned: what exceeds its number goes.
            .filter_map(|root| Pattern::new(bin, root).clip(&rest.left))
            .map(|p| {
                let value = worth(&p);
                (p, value)
            })
            .next();
    }
    let mut best: Option<(Pattern, f64)> = None;
    for axes in [[true, false], [false, true]] {
        if !(0..2).any(|a| axes[a] && job.bins[bin].first[a]) {
            continue;
        }
        for guide in guides {
            let start = Start {
                left: &rest.left,
                copies: &rest.copies,
                axes,
            };
            let goal = Goal::Fill { bin, values };
            let Some(found) = search(job, &start, goal, *guide, width, work) else {
                continue;
            };
            let Some((mut pattern, _)) = found.plan.into_iter().next() else {
                continue;
            };
            if job.stages == Stages::Any {
                pattern = fill_rests(job, &pattern, &rest.left, values, work);
            }
            let value = worth(&pattern);
            if best.as_ref().is_none_or(|(_, best)| value > *best) {
                best = Some((pattern, value));
            }
        }
    }
    best
}

/// Values by area, at the going rate.
pub(super) fn by_area(job: &Job, power: f64) -> Vec<f64> {
    let rate = job.going_rate();
    let largest = job.kinds.iter().map(|k| k.area()).max().unwrap_or(1) as f64;
    job.kinds
        .iter()
        .map(|k| {
            let area = k.area() as f64;
            rate * area * libm::pow(area / largest, power - 1.0)
        })
        .collect()
}

/// Fills sheets until nothing is left or the cost is no longer below a limit; values of what made
/// waste rise on the way.
pub(super) fn round(
    job: &Job,
    pricers: &[Pricer],
    values: &mut [f64],
    mut rest: Rest,
    below: i64,
    width: usize,
    dice: &mut Dice,
    work: &mut Work,
) -> Option<Plan> {
    let mut plan: Plan = Vec::new();
    let mut cost = 0;
    let all = f64::from(rest.parts());
    // A mix of sheets is used up in an order: what goes on which of them is all there is to choose.
    let order = rest.mixed.then(|| dice.below(3));
    while !rest.done() {
        work.spend(1000 + job.kinds.len() * 30);
        if work.done() || cost >= below {
            return None;
        }
        let total: f64 = values
            .iter()
            .zip(&rest.left)
            .map(|(v, n)| v * f64::from(*n))
            .sum();
        let mut best: Option<(f64, Pattern, f64)> = None;
        let guide = [GUIDES[dice.below(2)]];
        let next = order.and_then(|order| next_of(job, &rest, order, dice));
        for (b, bin) in job.bins.iter().enumerate() {
            if next.is_some_and(|next| next != b) {
                continue;
            }
            // Offcuts sit out now and then, so that rounds differ.
            let skipped = bin.copies.is_some() && dice.below(3) == 0 && best.is_some();
            if rest.copies[b] == 0 || skipped {
                continue;
            }
            let Some((pattern, value)) =
                fill(job, pricers, b, values, &rest, (width, &guide), work)
            else {
                continue;
            };
            // What ends the job costs what it costs; otherwise the value counts that a sheet gives
            // for its price.
            let ends = value >= total * (1.0 - 1e-9);
            let price = (bin.cost.max(1)) as f64;
            let key = if ends {
                total / price * 1.5
            } else {
                value / price
            } * (1.0 + 0.02 * (dice.unit() - 0.5));
            if best.as_ref().is_none_or(|(k, ..)| key > *k) {
                best = Some((key, pattern, value));
            }
        }
        let (_, pattern, _) = best?;
        let times = pattern
            .times(&rest.left)
            .min(rest.copies[pattern.bin])
            .max(1);
        cost += job.bins[pattern.bin].cost * i64::from(times);
        correct(job, values, &pattern, times, all, dice);
        rest.take(&pattern, times);
        plan.push((pattern, times));
    }
    (cost < below).then_some(plan)
}

/// The next sheet of a mix: the smallest, the largest or any.
fn next_of(job: &Job, rest: &Rest, order: usize, dice: &mut Dice) -> Option<usize> {
    let mut bins: Vec<usize> = (0..job.bins.len())
        .filter(|b| rest.copies[*b] > 0)
        .collect();
    bins.sort_by_key(|b| (job.bins[*b].area(), *b));
    match order {
        0 => bins.first().copied(),
        1 => bins.last().copied(),
        _ => (!bins.is_empty()).then(|| bins[dice.below(bins.len())]),
    }
}

/// Moves the values of a pattern's parts towards what the pattern made them cost.
fn correct(
    job: &Job,
    values: &mut [f64],
    pattern: &Pattern,
    times: u32,
    all: f64,
    dice: &mut Dice,
) {
    let used = pattern.area(job) as f64;
    let share = job.going_rate() * job.bins[pattern.bin].area() as f64 / used;
    for (kind, n) in &pattern.counts {
        let made = f64::from(*n) * f64::from(times);
        let area = job.kinds[*kind].area() as f64;
        let power = 1.0 + 0.06 * dice.unit();
        let largest = job.kinds[0].area() as f64;
        let costs = share * area * libm::pow(area / largest, power - 1.0);
        let old = &mut values[*kind];
        let weight = (all * (0.2 + 0.6 * dice.unit())).max(1.0);
        let demand = f64::from(job.kinds[*kind].demand);
        let weight = weight.min(2.0 * demand);
        *old = (*old * weight + costs * made) / (weight + made);
    }
}
