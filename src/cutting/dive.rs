//! From the linear program to whole sheets: what it uses at least once is cut, what is left is
//! solved again with new patterns, until nothing is left (diving; Cintra et al. 2008, EJOR 191;
//! Furini et al. 2012, EJOR 218; from memory). Where nothing is used once, some patterns are tried,
//! and the few that leave the least to pay are followed.

use super::colgen::{End, Master};
use super::fill::Rest;
use super::job::Job;
use super::pattern::{Pattern, Plan};
use super::work::{Dice, Work};

/// How to dive.
#[derive(Clone, Copy, Debug)]
pub(super) struct Manner {
    /// How far choices stray from the largest share.
    pub stray: f64,
    /// Share of the patterns that stay out, so that dives differ.
    pub idle: f64,
    /// Pricing rounds after each fixing.
    pub rounds: usize,
    /// Patterns tried at each fixing.
    pub tries: usize,
    /// Partial plans followed beside each other.
    pub width: usize,
}

/// Where so few sheets are to go, more partial plans are followed.
const FEW: f64 = 8.0;

/// How often the rounds of pricing are repeated, as long as the program costs this much of a sheet more
/// than it did before the last fixing.
const PATIENCE: usize = 6;
const RISE: f64 = 0.05;

/// Where a dive has come to.
#[derive(Clone, Debug)]
pub(super) struct Left {
    pub plan: Plan,
    pub cost: i64,
    pub rest: Rest,
    /// Of the kinds, by the program for what is left.
    pub values: Vec<f64>,
}

/// How a dive ended.
#[derive(Debug)]
pub(super) enum Dived {
    /// With a plan for less than asked.
    Plan(Plan),
    /// Out of work, with this still to do.
    Left(Left),
    /// With nothing for less than asked.
    Nothing,
}

/// What may end a dive by itself.
pub(super) type Tail<'a> = dyn FnMut(&Left, &mut Work) + 'a;

/// A partial plan with the program solved for what is left.
#[derive(Clone, Debug)]
struct Node {
    so_far: Left,
    /// Cost of the program for what is left; unknown at first.
    more: f64,
    /// Patterns in use, largest share first.
    shares: Vec<(usize, f64)>,
}

impl Left {
    fn same_as(&self, other: &Left) -> bool {
        self.cost == other.cost && self.rest == other.rest
    }
}

impl Node {
    fn hope(&self) -> f64 {
        self.so_far.cost as f64 + self.more
    }

    fn cut(&mut self, job: &Job, pattern: &Pattern, times: u32) {
        let Left {
            plan, cost, rest, ..
        } = &mut self.so_far;
        *cost += job.bins[pattern.bin].cost * i64::from(times);
        rest.take(pattern, times);
        match plan.iter_mut().find(|(p, _)| p == pattern) {
            Some((_, n)) => *n += times,
            None => plan.push((pattern.clone(), times)),
        }
    }
}

/// Dives once for what is in `rest`, for less than `below`. `tail` sees now and then what is left when
/// no pattern is used a whole time any more, and may end the plan by itself.
pub(super) fn dive(
    job: &Job,
    master: &mut Master<'_>,
    rest: Rest,
    manner: Manner,
    below: i64,
    dice: &mut Dice,
    work: &mut Work,
    tail: &mut Tail<'_>,
) -> Dived {
    let mut root = Node {
        so_far: Left {
            plan: Vec::new(),
            cost: 0,
            rest,
            values: Vec::new(),
        },
        more: f64::INFINITY,
        shares: Vec::new(),
    };
    master.idle(manner.idle, dice);
    settle(job, master, manner, &mut root, work);
    let mut nodes = vec![root];
    let mut tails = (0, f64::INFINITY);
    let (start, mut in_tails) = (work.spent(), 0);
    loop {
        if let Some(node) = nodes.iter().find(|n| n.so_far.rest.done()) {
            let left = &node.so_far;
            return if left.cost < below {
                Dived::Plan(left.plan.clone())
            } else {
                Dived::Nothing
            };
        }
        let Some(first) = nodes.first() else {
            return Dived::Nothing;
        };
        if tails.0 < 3 && first.more < tails.1 * 0.6 {
            tails = (tails.0 + 1, first.more);
            let before = work.spent();
            let units = (before - start - 2 * in_tails).max(100_000);
            work.share(units, |work| {
                tail(&first.so_far, work);
            });
            in_tails += work.spent() - before;
        }
        let mut next: Vec<Node> = Vec::new();
        for node in &nodes {
            for j in candidates(node, manner, dice) {
                if work.done() {
                    return Dived::Left(first.so_far.clone());
                }
                let mut child = node.clone();
                child.cut(job, &master.patterns[j].clone(), 1);
                settle(job, master, manner, &mut child, work);
                let twin = next.iter().any(|n| n.so_far.same_as(&child.so_far));
                if !twin && child.hope() <= below as f64 - 1.0 + 1e-6 {
                    next.push(child);
                }
            }
        }
        // The sort is stable: among equals the one with the larger share stays in front.
        next.sort_by(|a, b| a.hope().total_cmp(&b.hope()));
        let sheets = next.first().map_or(0.0, |n| n.more / dearest(job));
        next.truncate(if sheets < FEW {
            manner.width.max(4)
        } else {
            manner.width
        });
        nodes = next;
    }
}

fn dearest(job: &Job) -> f64 {
    job.bins.iter().map(|b| b.cost).max().unwrap_or(1).max(1) as f64
}

/// Solves the program for what is left and cuts what it uses at least once, again and again.
fn settle(job: &Job, master: &mut Master<'_>, manner: Manner, node: &mut Node, work: &mut Work) {
    let price = dearest(job);
    let mut hope = node.hope();
    loop {
        if node.so_far.rest.done() {
            node.more = 0.0;
            return;
        }
        work.spend(5000 + 200 * node.so_far.plan.len());
        // What was in use and makes too much by now is a start when cut down.
        let mut likely = Vec::new();
        for (j, _) in &node.shares {
            if let Some(pattern) = master.patterns[*j].clip(&node.so_far.rest.left) {
                likely.push(master.add(&pattern).0);
            }
        }
        master.restart(&node.so_far.rest.left, &node.so_far.rest.copies, &likely);
        // The program should not cost much more than before something was fixed.
        for _ in 0..PATIENCE {
            let end = master.improve(manner.rounds, false, i64::MAX, work);
            let risen = node.so_far.cost as f64 + master.objective() - hope;
            if end == End::Converged || work.done() || risen < RISE * price {
                break;
            }
        }
        node.more = master.objective();
        hope = node.hope();
        node.so_far.values.clone_from(&master.values);
        node.shares = master.solution();
        node.shares
            .sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        if work.done() {
            return;
        }
        let mut fixed = false;
        for (j, share) in &node.shares.clone() {
            let pattern = &master.patterns[*j];
            let times = ((*share + 1e-6).floor() as u32)
                .min(pattern.times(&node.so_far.rest.left))
                .min(node.so_far.rest.copies[pattern.bin]);
            if times > 0 {
                node.cut(job, pattern, times);
                fixed = true;
            }
        }
        if !fixed {
            return;
        }
    }
}

/// The patterns to try: those with the largest shares, give or take; one where its share is nearly
/// whole.
fn candidates(node: &Node, manner: Manner, dice: &mut Dice) -> Vec<usize> {
    let mut scored: Vec<(f64, usize)> = node
        .shares
        .iter()
        .map(|(j, share)| (share + manner.stray * dice.unit(), *j))
        .collect();
    scored.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    let sure = scored.first().is_some_and(|(score, _)| *score > 0.9);
    scored.truncate(if sure { 1 } else { manner.tries });
    scored.into_iter().map(|(_, j)| j).collect()
}
