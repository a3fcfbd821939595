//! Takes a few sheets of a plan apart and cuts their parts anew: for less, or for the same with the
//! parts moved together, so that some sheet empties (ruin and recreate; after Charalambous & Fleszar
//! 2011, COR 38; from memory).

use super::colgen::Master;
use super::dive::{Dived, Left, Manner, dive};
use super::fill::{Rest, round};
use super::job::Job;
use super::pattern::{Pattern, Plan, cost};
use super::price::Pricer;
use super::search::{Goal, Guide, Start, search};
use super::work::{Dice, Work};

/// How well parts are moved together: by sheet the square of the area used, by the sheet's area, at
/// its cost.
pub(super) fn together(job: &Job, plan: &Plan) -> f64 {
    plan.iter()
        .map(|(p, times)| {
            let share = share(job, p);
            f64::from(*times) * share * share * price(job, p)
        })
        .sum()
}

fn share(job: &Job, pattern: &Pattern) -> f64 {
    pattern.area(job) as f64 / job.bins[pattern.bin].area() as f64
}

fn price(job: &Job, pattern: &Pattern) -> f64 {
    job.bins[pattern.bin].cost.max(1) as f64
}

/// One try: another plan that costs less, or as much with parts moved together at least as well. With
/// the linear program at hand more sheets are taken apart, and it is dived into for their parts.
pub(super) fn repair(
    job: &Job,
    master: Option<&mut Master<'_>>,
    pricers: &[Pricer],
    plan: &Plan,
    values: &[f64],
    dice: &mut Dice,
    work: &mut Work,
) -> Option<Plan> {
    let sheets: u32 = plan.iter().map(|(_, times)| times).sum();
    if sheets < 2 {
        return None;
    }
    work.spend(3000 + 600 * plan.len());
    let most = if master.is_some() { 12 } else { 4 };
    let many = (2 + dice.below(most)).min(sheets as usize);
    let (kept, out) = take_out(job, plan, values, many, dice);
    let mut rest = Rest {
        left: vec![0; job.kinds.len()],
        copies: Rest::of(job).copies,
        mixed: false,
    };
    for (pattern, times) in &kept {
        if rest.copies[pattern.bin] != u32::MAX {
            rest.copies[pattern.bin] -= times;
        }
    }
    for (pattern, times) in &out {
        for (kind, n) in &pattern.counts {
            rest.left[*kind] += n * times;
        }
    }
    let (limit, was) = (cost(job, &out), together(job, &out));
    let mut best: Option<(i64, f64, Plan)> = None;
    let mut offer = |found: Plan| {
        let key = (cost(job, &found), together(job, &found));
        let fits = key.0 < limit || (key.0 == limit && key.1 >= was - 1e-9);
        let wins = best
            .as_ref()
            .is_none_or(|(c, t, _)| key.0 < *c || (key.0 == *c && key.1 > *t));
        if fits && wins {
            best = Some((key.0, key.1, found));
        }
    };
    if let Some(master) = master {
        for (pattern, _) in &out {
            master.add(pattern);
        }
        for _ in 0..2 {
            let manner = Manner {
                stray: 0.6 * dice.unit(),
                idle: 0.0,
                rounds: 1 + dice.below(6),
                tries: 1 + dice.below(2),
                width: 1,
            };
            let rest = rest.clone();
            let mut no_tail = |_: &Left, _: &mut Work| ();
            let found = dive(
                job,
                master,
                rest,
                manner,
                limit + 1,
                dice,
                work,
                &mut no_tail,
            );
            if let Dived::Plan(found) = found {
                offer(found);
            }
        }
    } else {
        let mut learning = values.to_vec();
        for value in &mut learning {
            *value *= 0.9 + 0.2 * dice.unit();
        }
        for _ in 0..2 {
            let width = 1 + dice.below(4);
            let found = round(
                job,
                pricers,
                &mut learning,
                rest.clone(),
                limit + 1,
                width,
                dice,
                work,
            );
            found.into_iter().for_each(&mut offer);
        }
        let guide = [Guide::Large, Guide::Waste, Guide::Middling][dice.below(3)];
        let all = [[true, false], [false, true], [true, true]];
        let axes = all[dice.below(3)];
        let some = job
            .bins
            .iter()
            .any(|b| (0..2).any(|a| axes[a] && b.first[a]));
        if some {
            let start = Start {
                left: &rest.left,
                copies: &rest.copies,
                axes,
            };
            let goal = Goal::All { below: limit };
            let found = work.share(400_000, |work| search(job, &start, goal, guide, 16, work));
            found.into_iter().map(|f| f.plan).for_each(&mut offer);
        }
    }
    let (_, _, found) = best?;
    let mut whole = kept;
    for (pattern, times) in found {
        match whole.iter_mut().find(|(p, _)| *p == pattern) {
            Some((_, n)) => *n += times,
            None => whole.push((pattern, times)),
        }
    }
    Some(whole)
}

/// What stays and what is taken apart: a poor sheet and some others.
fn take_out(job: &Job, plan: &Plan, values: &[f64], many: usize, dice: &mut Dice) -> (Plan, Plan) {
    let mut kept = plan.clone();
    let mut out: Plan = Vec::new();
    for i in 0..many {
        // Of some picked at random the worst paid; later ones nearly at random.
        let picks = if i == 0 { 6 } else { 1 + dice.below(2) };
        let worst = (0..picks)
            .map(|_| dice.below(kept.len()))
            .map(|at| {
                let pattern = &kept[at].0;
                let pays: f64 = pattern
                    .counts
                    .iter()
                    .map(|(kind, n)| values[*kind] * f64::from(*n))
                    .sum();
                (pays / price(job, pattern), at)
            })
            .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let Some((_, at)) = worst else { break };
        kept[at].1 -= 1;
        let pattern = kept[at].0.clone();
        if kept[at].1 == 0 {
            kept.remove(at);
        }
        match out.iter_mut().find(|(p, _)| *p == pattern) {
            Some((_, n)) => *n += 1,
            None => out.push((pattern, 1)),
        }
        if kept.is_empty() {
            break;
        }
    }
    (kept, out)
}
