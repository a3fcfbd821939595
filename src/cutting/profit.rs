//! The most profit from one sheet: trees by wider and wider search, under profits that multipliers
//! lower for parts of which patterns use too many; the same multipliers prove a bound (Lagrangian
//! relaxation of the demand, subgradient steps; Held & Karp 1971, Mathematical Programming 1; Hifi
//! 1997, COR 24; from memory).

use super::bounds;
use super::colgen::Master;
use super::engine::{Engine, MANNERS};
use super::fill::Rest;
use super::free::Free;
use super::job::Job;
use super::pattern::{Pattern, Plan};
use super::problem::Stages;
use super::rests::{fill_rests, in_pieces};
use super::search::{Goal, Start, search};
use super::work::{Dice, Work};

/// Profits are multiplied by this, so that multipliers can be fractions.
const FINE: i64 = 1 << 10;

impl Engine<'_> {
    /// Looks for the most profit; `cost` is then the profit.
    pub fn most_profit(&mut self, work: &mut Work) {
        let job = self.job;
        let profits: Vec<f64> = job.kinds.iter().map(|k| k.profit as f64).collect();
        self.cost = 0;
        self.bound = bounds::profit_by_area(job);
        self.note("bound by area", work);
        self.grow(&profits, 1, work);
        self.grow(&profits, 8, work);
        let mut lowered = profits.clone();
        if let Some(master) = Master::new(job, work) {
            let units = work.left() / 4;
            lowered = work.share(units, |work| self.multipliers(&master, work));
        }
        let mut dice = Dice::new(3);
        let mut width = 16;
        let free = (job.stages == Stages::Any)
            .then(|| Free::new(job, 0, true))
            .flatten();
        while !work.done() && self.cost < self.bound {
            self.grow(&profits, width, work);
            // The same under other profits, between the true ones and what multipliers leave.
            let mix = dice.unit();
            let values: Vec<f64> = profits
                .iter()
                .zip(&lowered)
                .map(|(p, l)| (p + mix * (l - p)) * (0.95 + 0.1 * dice.unit()))
                .collect();
            self.grow(&values, width / 2, work);
            if job.stages == Stages::Any {
                let units = work.left() / 8;
                work.share(units, |work| self.halve(&profits, width, &mut dice, work));
            }
            if let Some(free) = &free {
                let units = work.left() / 3;
                work.share(units, |work| {
                    self.freely(free, &profits, &lowered, &mut dice, work)
                });
            }
            width += width / 2;
        }
    }

    /// Trees of a width under every guide.
    fn grow(&mut self, values: &[f64], width: usize, work: &mut Work) {
        let job = self.job;
        let rest = Rest::of(job);
        for (guide, axes) in MANNERS {
            let some = (0..2).any(|a| axes[a] && job.bins.first().is_some_and(|b| b.first[a]));
            if !some || work.done() || self.cost >= self.bound {
                continue;
            }
            let start = Start {
                left: &rest.left,
                copies: &rest.copies,
                axes,
            };
            let goal = Goal::Fill { bin: 0, values };
            if let Some(found) = search(job, &start, goal, guide, width, work) {
                let mut plan = found.plan;
                if job.stages == Stages::Any {
                    let profits: Vec<f64> = job.kinds.iter().map(|k| k.profit as f64).collect();
                    for (pattern, _) in &mut plan {
                        *pattern = fill_rests(job, pattern, &rest.left, &profits, work);
                    }
                }
                self.offer_profit(plan, "tree", work);
            }
        }
    }

    /// Sheets cut in two first, many times, under profits that vary a little.
    fn halve(&mut self, profits: &[f64], width: usize, dice: &mut Dice, work: &mut Work) {
        let job = self.job;
        let demands = job.demands();
        for _ in 0..width * 20 {
            if work.done() || self.cost >= self.bound {
                break;
            }
            let values: Vec<f64> = profits
                .iter()
                .map(|p| p * (0.8 + 0.4 * dice.unit()))
                .collect();
            let found = in_pieces(job, 0, &demands, &values, 1 + dice.below(width), dice, work);
            if let Some(pattern) = found {
                let pattern = fill_rests(job, &pattern, &demands, profits, work);
                self.offer_profit(vec![(pattern, 1)], "halves", work);
            }
        }
    }

    /// Layouts by size of piece, under profits that vary and are lowered for parts of which patterns use
    /// too many.
    fn freely(
        &mut self,
        free: &Free,
        profits: &[f64],
        lowered: &[f64],
        dice: &mut Dice,
        work: &mut Work,
    ) {
        let job = self.job;
        let demands = job.demands();
        while !work.done() && self.cost < self.bound {
            let (mix, stray) = (dice.unit(), 0.2 * dice.unit());
            let values: Vec<i64> = profits
                .iter()
                .zip(lowered)
                .map(|(p, l)| (p + mix * (l - p)) * (1.0 + stray * (dice.unit() - 0.5)))
                .map(|value| (value * FINE as f64) as i64)
                .collect();
            let Some(pattern) = free
                .layout(&values, &demands, work)
                .and_then(|root| Pattern::new(0, root.tight(job)).clip(&demands))
            else {
                return;
            };
            let pattern = fill_rests(job, &pattern, &demands, profits, work);
            self.offer_profit(vec![(pattern, 1)], "pieces", work);
        }
    }

    fn offer_profit(&mut self, plan: Plan, by: &'static str, work: &Work) {
        let profit = plan.iter().map(|(p, _)| profit(self.job, p)).sum();
        if profit > self.cost {
            self.cost = profit;
            self.plan = plan;
            self.note(by, work);
        }
    }

    /// Lowers the bound step by step; gives the profits less the best multipliers.
    fn multipliers(&mut self, master: &Master<'_>, work: &mut Work) -> Vec<f64> {
        let job = self.job;
        let demands = job.demands();
        // With any number of stages patterns of three prove nothing.
        let any = job.stages == Stages::Any;
        let free = any.then(|| Free::new(job, 0, false)).flatten();
        let mut lambda = vec![0_i64; job.kinds.len()];
        let mut best = (i64::MAX, lambda.clone());
        let mut pace = 1.0;
        let mut since = 0;
        while !work.done() && pace > 0.005 && self.cost < self.bound {
            let values: Vec<i64> = job
                .kinds
                .iter()
                .zip(&lambda)
                .map(|(k, l)| k.profit * FINE - l)
                .collect();
            let mut worth = 0;
            let mut used = vec![0; job.kinds.len()];
            let staged = master.pricers.iter().filter(|_| free.is_none());
            for pricer in staged {
                let priced = pricer.price(&values, &demands, worth, false, work);
                worth = worth.max(priced.value);
                if let Some(root) = priced.roots.into_iter().next() {
                    let pattern = Pattern::new(pricer.bin, root);
                    used.fill(0);
                    for (kind, n) in &pattern.counts {
                        used[*kind] = *n;
                    }
                    if let Some(clipped) = pattern.clip(&demands) {
                        self.offer_profit(vec![(clipped, 1)], "pattern", work);
                    }
                }
            }
            if let Some(free) = &free {
                (worth, used) = free.bound(&values, work);
            }
            let fixed: i64 = lambda
                .iter()
                .zip(&demands)
                .map(|(l, d)| l * i64::from(*d))
                .sum();
            let bound = fixed + worth;
            if bound < best.0 {
                best = (bound, lambda.clone());
                since = 0;
                if !any || free.is_some() {
                    self.bound = self.bound.min(bound / FINE);
                }
            } else {
                since += 1;
                if since == 12 {
                    pace /= 2.0;
                    since = 0;
                    lambda.clone_from(&best.1);
                }
            }
            let slope: Vec<i64> = used
                .iter()
                .zip(&demands)
                .map(|(used, d)| i64::from(*used) - i64::from(*d))
                .collect();
            // Only what is used too often, or has been paid for, moves.
            let norm: i64 = slope
                .iter()
                .zip(&lambda)
                .filter(|(s, l)| **s > 0 || **l > 0)
                .map(|(s, _)| s * s)
                .sum();
            if norm == 0 {
                break;
            }
            let step = pace * (bound - self.cost * FINE).max(FINE) as f64 / norm as f64;
            for (l, s) in lambda.iter_mut().zip(&slope) {
                *l = (*l + (step * *s as f64) as i64).max(0);
            }
        }
        self.note("bound by patterns", work);
        job.kinds
            .iter()
            .zip(&best.1)
            .map(|(k, l)| (k.profit as f64 - *l as f64 / FINE as f64).max(0.0))
            .collect()
    }
}

fn profit(job: &Job, pattern: &Pattern) -> i64 {
    pattern
        .counts
        .iter()
        .map(|(kind, n)| job.kinds[*kind].profit * i64::from(*n))
        .sum()
}
