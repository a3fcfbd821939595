//! The phases of a run, over one best plan so far: quick layouts, bounds, the linear program, dives
//! into it, sheets filled with learning values, wider and wider trees.

use super::bounds;
use super::colgen::{End, Master};
use super::dive::{Manner, dive};
use super::fill::{GUIDES, Rest, by_area, fill, round};
use super::finish::finish;
use super::job::Job;
use super::mix::mix;
use super::pattern::{Plan, cost};
use super::price::Pricer;
use super::problem::Stages;
use super::repair::{repair, together};
use super::search::{Goal, Guide, Start, search};
use super::work::{Dice, Effort, Work};
use std::rc::Rc;

/// Ways to grow a tree: guide and axes of the strips.
pub(super) const MANNERS: [(Guide, [bool; 2]); 6] = [
    (Guide::Large, [true, false]),
    (Guide::Large, [false, true]),
    (Guide::Waste, [true, false]),
    (Guide::Waste, [false, true]),
    (Guide::Middling, [true, false]),
    (Guide::Middling, [false, true]),
];

/// Width of the first trees that share the work with other searches; doubled after each set.
const TREE: usize = 32;

/// A run.
#[derive(Debug)]
pub(super) struct Engine<'a> {
    pub(super) job: &'a Job,
    pub plan: Plan,
    pub cost: i64,
    pub bound: i64,
    pub history: Vec<Step>,
    /// Empty until a phase needs them.
    pricers: Rc<[Pricer]>,
}

/// A better layout on the way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Step {
    /// What found it.
    pub by: &'static str,
    /// Its value.
    pub value: i64,
    /// The bound then.
    pub bound: i64,
    /// Units of work spent until then.
    pub work: i64,
}

/// Units of work for a job.
pub(super) fn budget(job: &Job, effort: Effort) -> i64 {
    let parts: u32 = job.demands().iter().sum();
    let small = job.stages == Stages::One || parts <= 60;
    let normal = if small { 350_000_000 } else { 1_400_000_000 };
    match effort {
        Effort::Quick => normal / 10,
        Effort::Normal => normal,
        Effort::Long => normal * 20,
    }
}

/// Units of work for choosing among plans of one cost.
pub(super) fn finishing(job: &Job, effort: Effort) -> i64 {
    budget(job, effort) / 10
}

impl<'a> Engine<'a> {
    pub fn new(job: &'a Job) -> Engine<'a> {
        Engine {
            job,
            plan: Vec::new(),
            cost: i64::MAX,
            bound: 0,
            history: Vec::new(),
            pricers: Rc::default(),
        }
    }

    fn pricers(&mut self, work: &mut Work) -> Rc<[Pricer]> {
        if self.pricers.is_empty()
            && let Some(master) = Master::new(self.job, work)
        {
            self.pricers = master.pricers;
        }
        self.pricers.clone()
    }

    fn done(&self) -> bool {
        self.cost <= self.bound
    }

    fn offer(&mut self, plan: Plan, by: &'static str, work: &Work) {
        let cost = cost(self.job, &plan);
        if cost > self.cost {
            return;
        }
        let sheets = |plan: &Plan| plan.iter().map(|(_, times)| times).sum::<u32>();
        let fewer = sheets(&plan).cmp(&sheets(&self.plan)).then_with(|| {
            let [new, old] = [&plan, &self.plan].map(|p| together(self.job, p));
            old.total_cmp(&new)
        });
        let cheaper = cost < self.cost;
        if cheaper || fewer.is_lt() {
            self.cost = cost;
            self.plan = plan;
            if cheaper {
                self.note(by, work);
            }
        }
    }

    pub(super) fn note(&mut self, by: &'static str, work: &Work) {
        self.history.push(Step {
            by,
            value: self.cost,
            bound: self.bound,
            work: work.spent(),
        });
    }

    /// All parts for the least cost.
    pub fn least_cost(&mut self, work: &mut Work) {
        let job = self.job;
        let rest = Rest::of(job);
        self.trees(&rest, 1, work);
        self.bound = bounds::any_layout(job, work).0;
        self.note("bound by area", work);
        if self.done() {
            return;
        }
        for width in [3, 8, 16] {
            let units = work.left() / 10;
            work.share(units, |work| self.trees(&rest, width, work));
        }
        let mut master = Master::new(job, work);
        let mut values = by_area(job, 1.03);
        // Whether the program has nothing more to tell.
        let mut told = true;
        if let Some(master) = &mut master {
            let units = work.left() / 5;
            told = self.program(master, units, work);
            self.pricers = master.pricers.clone();
            values.clone_from(&master.values);
        }
        let pricers = self.pricers.clone();
        let mut dice = Dice::new(1);
        let mut tree = 0;
        let mut number = 0;
        let mut learning = values.clone();
        let mut current: Plan = Vec::new();
        let mut shares = [0_i64; 5];
        // Repeated parts: dives pay; single ones: trees and rounds.
        let parts = f64::from(rest.parts());
        let repeated = parts / job.kinds.len().max(1) as f64;
        let weights = if repeated > 8.0 {
            [5.0, 1.0, 1.0, 6.0, 4.0]
        } else if repeated > 2.5 {
            [2.0, 3.0, 2.0, 4.0, 3.0]
        } else {
            [1.0, 3.0, 2.0, 4.0, 2.0]
        };
        while !work.done() && !self.done() {
            // Whoever is furthest behind its share of the work goes next.
            let next = (0..5)
                .filter(|i| (*i != 0 || master.is_some()) && (*i != 4 || !told))
                .min_by(|a, b| {
                    (shares[*a] as f64 / weights[*a]).total_cmp(&(shares[*b] as f64 / weights[*b]))
                })
                .unwrap_or(1);
            let before = work.spent();
            match next {
                0 => {
                    if let Some(master) = &mut master {
                        let units = work.left() / if repeated > 8.0 { 4 } else { 15 };
                        work.share(units, |work| self.dive(master, number, &mut dice, work));
                    }
                    number += 1;
                }
                1 => {
                    if dice.below(8) == 0 {
                        learning = if dice.below(2) == 0 {
                            values.clone()
                        } else {
                            by_area(job, 1.0 + 0.15 * dice.unit())
                        };
                    }
                    let width = 1 << dice.below(6);
                    let mut rest = rest.clone();
                    if job.bins.len() > 1
                        && dice.below(2) == 0
                        && let Some(mix) = mix(job, &self.plan, self.cost, &mut dice, work)
                    {
                        rest.copies = mix;
                    }
                    let plan = round(
                        job,
                        &pricers,
                        &mut learning,
                        rest,
                        self.cost,
                        width,
                        &mut dice,
                        work,
                    );
                    if let Some(plan) = plan {
                        self.offer(plan, "round", work);
                    }
                }
                2 => {
                    let (guide, axes) = MANNERS[tree % MANNERS.len()];
                    let width = TREE << (tree / MANNERS.len()).min(20);
                    self.tree(&rest, width, guide, axes, work);
                    tree += 1;
                }
                4 => {
                    if let Some(master) = &mut master {
                        let units = work.left() / 10;
                        told = self.program(master, units, work);
                        values.clone_from(&master.values);
                    }
                }
                _ => {
                    let plan = if current.is_empty() || dice.below(60) == 0 {
                        &self.plan
                    } else {
                        &current
                    };
                    let program = master
                        .as_mut()
                        .filter(|_| repeated > 2.5 && dice.below(2) == 0);
                    let found = repair(job, program, &pricers, plan, &values, &mut dice, work);
                    if let Some(found) = found {
                        self.offer(found.clone(), "repair", work);
                        current = found;
                    }
                }
            }
            shares[next] += work.spent() - before + 1;
        }
    }

    /// Solves the program on; whether it has nothing more to tell.
    fn program(&mut self, master: &mut Master<'_>, units: i64, work: &mut Work) -> bool {
        for (pattern, _) in &self.plan {
            master.add(pattern);
        }
        master.bound = self.bound;
        master.restart_whole();
        let target = self.cost;
        let end = work.share(units, |work| master.improve(2000, true, target, work));
        self.bound = master.bound;
        self.note("bound by patterns", work);
        end == End::Converged
    }

    /// Among plans of the least cost: fewest sheets, then the best offcuts.
    pub fn finish(&mut self, work: &mut Work) {
        let job = self.job;
        let pricers = self.pricers(work);
        let values = by_area(job, 1.0);
        let mut dice = Dice::new(2);
        let units = work.left() / 2;
        work.share(units, |work| {
            for _ in 0..40 {
                if work.done() {
                    break;
                }
                let found = repair(job, None, &pricers, &self.plan, &values, &mut dice, work);
                if let Some(found) = found {
                    self.offer(found, "repair", work);
                }
            }
        });
        self.plan = finish(job, &self.plan, work);
    }

    fn dive(&mut self, master: &mut Master<'_>, number: usize, dice: &mut Dice, work: &mut Work) {
        let job = self.job;
        let manner = Manner {
            stray: if number == 0 { 0.0 } else { 0.3 },
            idle: [0.0, 0.15, 0.03, 0.3][number % 4],
            rounds: [30, 6, 15][number % 3],
            tries: [1, 3, 2][number % 3],
            width: [1, 1, 2][number % 3],
        };
        let mut best: Option<(i64, Plan)> = None;
        let below = self.cost;
        let pricers = master.pricers.clone();
        let mut tail = |plan: &Plan, cost: i64, rest: &Rest, values: &[f64], work: &mut Work| {
            let below = best.as_ref().map_or(below, |(c, _)| *c);
            if cost >= below {
                return;
            }
            let mut dice = Dice::new(number as u64 + 7);
            let mut learning = values.to_vec();
            for _ in 0..4 {
                let found = round(
                    job,
                    &pricers,
                    &mut learning,
                    rest.clone(),
                    below - cost,
                    2,
                    &mut dice,
                    work,
                );
                if let Some(found) = found {
                    let total = cost + super::pattern::cost(job, &found);
                    if best.as_ref().is_none_or(|(c, _)| total < *c) {
                        let mut whole = plan.clone();
                        whole.extend(found);
                        best = Some((total, whole));
                    }
                }
            }
            for axes in [[true, false], [false, true]] {
                let start = Start {
                    left: &rest.left,
                    copies: &rest.copies,
                    axes,
                };
                let below = best.as_ref().map_or(below, |(c, _)| *c);
                let goal = Goal::All {
                    below: below - cost,
                };
                if let Some(found) = search(job, &start, goal, Guide::Large, 12, work) {
                    let mut whole = plan.clone();
                    whole.extend(found.plan);
                    best = Some((cost + found.cost, whole));
                }
            }
        };
        let rest = Rest::of(job);
        let plan = dive(job, master, rest, manner, below, dice, work, &mut tail);
        if let Some((_, plan)) = best {
            self.offer(plan, "tail", work);
        }
        if let Some(plan) = plan {
            self.offer(plan, "dive", work);
        }
    }

    /// Trees of a width under every guide, strips along each axis.
    fn trees(&mut self, rest: &Rest, width: usize, work: &mut Work) {
        for (guide, axes) in MANNERS {
            self.tree(rest, width, guide, axes, work);
        }
    }

    fn tree(&mut self, rest: &Rest, width: usize, guide: Guide, axes: [bool; 2], work: &mut Work) {
        let mut bins = self.job.bins.iter();
        let some = bins.any(|b| (0..2).any(|a| axes[a] && b.first[a]));
        if !some || work.done() || self.done() {
            return;
        }
        let start = Start {
            left: &rest.left,
            copies: &rest.copies,
            axes,
        };
        let goal = Goal::All { below: self.cost };
        if let Some(found) = search(self.job, &start, goal, guide, width, work) {
            self.offer(found.plan, "tree", work);
        }
    }

    /// Fills sheets as far as they go, when there are too few for all parts; what is left then.
    pub fn as_far_as_it_goes(&mut self, work: &mut Work) -> Vec<u32> {
        let job = self.job;
        let pricers = self.pricers(work);
        let values = by_area(job, 1.0);
        let mut rest = Rest::of(job);
        self.plan.clear();
        for (b, _) in job.bins.iter().enumerate() {
            while rest.copies[b] > 0 && !rest.done() {
                let Some((pattern, _)) = fill(job, &pricers, b, &values, &rest, (2, &GUIDES), work)
                else {
                    break;
                };
                rest.take(&pattern, 1);
                self.plan.push((pattern, 1));
            }
        }
        self.cost = cost(job, &self.plan);
        self.bound = 0;
        rest.left
    }
}
