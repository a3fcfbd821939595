//! A run over one best plan so far: how much work it may use, what counts as better, and what ends it.
//! The phases between are in `least` and `profit`.

use super::colgen::Master;
use super::fill::{GUIDES, Rest, by_area, fill};
use super::finish::finish;
use super::job::Job;
use super::pattern::{Plan, cost};
use super::price::Pricer;
use super::problem::Stages;
use super::repair::{repair, together};
use super::search::Guide;
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

/// A run.
#[derive(Debug)]
pub(super) struct Engine<'a> {
    pub(super) job: &'a Job,
    pub plan: Plan,
    pub cost: i64,
    pub bound: i64,
    pub history: Vec<Step>,
    /// Empty until a phase needs them.
    pub(super) pricers: Rc<[Pricer]>,
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

/// Whether a job is to take a quarter of the time: lines, and few parts.
pub(super) fn small(job: &Job) -> bool {
    job.stages == Stages::One || job.demands().iter().sum::<u32>() <= 60
}

/// Units of work for a job.
pub(super) fn budget(job: &Job, effort: Effort) -> i64 {
    let normal = match small(job) {
        true if job.stages == Stages::One => 450_000_000,
        true => 350_000_000,
        false => 1_300_000_000,
    };
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

    pub(super) fn done(&self) -> bool {
        self.cost <= self.bound
    }

    pub(super) fn offer(&mut self, plan: Plan, by: &'static str, work: &Work) {
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
