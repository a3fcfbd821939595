//! From the linear program to whole sheets: what it uses at least once is cut, what is left is
//! solved again with new patterns, until nothing is left (diving; Cintra et al. 2008, EJOR 191;
//! Furini et al. 2012, EJOR 218; from memory).

use super::colgen::Master;
use super::fill::{GUIDES, Rest, fill};
use super::job::Job;
use super::pattern::{Pattern, Plan};
use super::work::{Dice, Work};

/// How to dive.
#[derive(Clone, Copy, Debug)]
pub(super) struct Manner {
    /// How far choices stray from the largest share.
    pub stray: f64,
    /// Pricing rounds after each fixing.
    pub rounds: usize,
    /// Width of the search that fills a sheet, 0 for none.
    pub width: usize,
}

/// What may end a dive: the plan so far, its cost, what is left, the values of the kinds.
pub(super) type Tail<'a> = dyn FnMut(&Plan, i64, &Rest, &[f64], &mut Work) + 'a;

/// Dives once for what is in `rest`. `tail` sees what is left when no pattern is used a whole time any more, and may end
/// the plan by itself: it is given the plan so far and its cost.
pub(super) fn dive(
    job: &Job,
    master: &mut Master<'_>,
    mut rest: Rest,
    manner: Manner,
    below: i64,
    dice: &mut Dice,
    work: &mut Work,
    tail: &mut Tail<'_>,
) -> Option<Plan> {
    let mut plan: Plan = Vec::new();
    let mut cost = 0;
    let mut tails = 0;
    while !rest.done() {
        master.restart(&rest.left, &rest.copies);
        master.improve(manner.rounds, false, i64::MAX, work);
        if work.done() || cost >= below {
            return None;
        }
        let mut shares = master.solution();
        shares.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        let mut fixed = false;
        for (j, share) in &shares {
            let pattern = &master.patterns[*j];
            let times = (*share + 1e-6).floor() as u32;
            let times = times
                .min(pattern.times(&rest.left))
                .min(rest.copies[pattern.bin]);
            if times > 0 {
                cost += job.bins[pattern.bin].cost * i64::from(times);
                rest.take(pattern, times);
                plan.push((pattern.clone(), times));
                fixed = true;
            }
        }
        if fixed || rest.done() {
            continue;
        }
        if tails < 3 {
            tails += 1;
            let values = master.values.clone();
            tail(&plan, cost, &rest, &values, work);
        }
        let pattern = choose(job, master, manner, &shares, &rest, dice, work)?;
        let times = 1;
        cost += job.bins[pattern.bin].cost;
        rest.take(&pattern, times);
        plan.push((pattern, times));
    }
    (cost < below).then_some(plan)
}

/// One pattern for what is left: of the program's, the one with the largest share that loses little
/// when it is cut down to what is left; or a new filling where that is worth more.
fn choose(
    job: &Job,
    master: &Master<'_>,
    manner: Manner,
    shares: &[(usize, f64)],
    rest: &Rest,
    dice: &mut Dice,
    work: &mut Work,
) -> Option<Pattern> {
    let worth = |p: &Pattern| -> f64 {
        p.counts
            .iter()
            .map(|(k, n)| master.values[*k] * f64::from(*n))
            .sum()
    };
    let price = |bin: usize| job.bins[bin].cost.max(1) as f64;
    let mut best: Option<(f64, Pattern)> = None;
    for (j, share) in shares {
        let full = &master.patterns[*j];
        if rest.copies[full.bin] == 0 {
            continue;
        }
        let Some(pattern) = full.clip(&rest.left) else {
            continue;
        };
        let yields = (worth(&pattern) / price(pattern.bin)).min(1.0);
        let score = (share + manner.stray * dice.unit()) * yields.powi(8);
        if best.as_ref().is_none_or(|(s, _)| score > *s) {
            best = Some((score, pattern));
        }
    }
    let (_, chosen) = best?;
    if manner.width > 0 {
        let bin = chosen.bin;
        let found = fill(
            job,
            &master.pricers,
            bin,
            &master.values,
            rest,
            (manner.width, &GUIDES),
            work,
        );
        if let Some((pattern, value)) = found
            && value > worth(&chosen) * (1.0 + 1e-9)
        {
            return Some(pattern);
        }
    }
    Some(chosen)
}
