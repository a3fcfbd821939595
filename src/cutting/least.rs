//! All parts for the least cost: quick layouts, bounds, the linear program, then dives into it, sheets
//! filled with learning values, wider and wider trees and repairs, each with its share of the work.
//!
//! How much a step may use depends on what was done before, never on what is left: with more work a run
//! goes the same way, only further, so that more work never makes a plan dearer.

use super::bounds;
use super::colgen::{End, Master};
use super::dive::{Dived, Left, Manner, dive};
use super::engine::{Engine, MANNERS, small};
use super::fill::{Rest, by_area, round};
use super::job::Job;
use super::mix::roomy;
use super::pattern::{Plan, cost};
use super::price::Pricer;
use super::repair::repair;
use super::search::{Goal, Guide, Start, search};
use super::squeeze::Squeezes;
use super::work::{Dice, Work};

/// Width of the first trees that share the work with other searches; doubled after each set.
const TREE: usize = 32;

/// Widths of the trees before that, and the most that a set of them may use by estimate.
const EARLY: [usize; 3] = [3, 8, 16];
const EARLY_UNITS: i64 = 100_000_000;

/// Units for the program at first, and each time it is taken up again. Among several kinds of sheet
/// layouts gain more from the work than the bound does.
const FIRST_PROGRAM: i64 = 300_000_000;
const NEXT_PROGRAM: i64 = 50_000_000;

/// Units for the first dive; doubled when one does not come to its end, up to the most.
const DIVE: i64 = 60_000_000;
const LONGEST_DIVE: i64 = 400_000_000;

/// Units that a turn of any phase counts at least.
const TURN: i64 = 2_000;

/// What shares the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Phase {
    Dive,
    Round,
    Tree,
    Repair,
    Program,
    Squeeze,
}

const PHASES: [Phase; 6] = [
    Phase::Dive,
    Phase::Round,
    Phase::Tree,
    Phase::Repair,
    Phase::Program,
    Phase::Squeeze,
];

/// Parts by kind from which parts are repeated somewhat, and much.
const REPEATED: [f64; 2] = [2.5, 8.0];

/// So many parts are many sheets to fill.
const MANY: u32 = 300;

/// Shares of the phases: with repeated parts dives pay, with single ones trees and rounds. Trees choose
/// poorly among several kinds of sheet; there mixes of them pay.
fn weights(repeated: f64, several: bool) -> [f64; 6] {
    let or = |one: f64, more: f64| if several { more } else { one };
    if repeated > REPEATED[1] {
        [5.0, 1.0, 1.0, 6.0, 2.0, 1.0]
    } else if repeated > REPEATED[0] {
        [2.0, 8.0, or(3.0, 0.5), 2.0, 1.0, or(3.0, 12.0)]
    } else {
        [1.0, 3.0, 2.0, 4.0, 1.0, or(3.0, 12.0)]
    }
}

/// What the phases leave to each other.
struct State<'a> {
    rest: Rest,
    /// Parts by kind.
    repeated: f64,
    master: Option<Master<'a>>,
    /// Whether the program has nothing more to tell.
    told: bool,
    values: Vec<f64>,
    learning: Vec<f64>,
    /// A plan that is no dearer than the best, under repair.
    current: Plan,
    dice: Dice,
    dives: usize,
    dive_units: i64,
    trees: usize,
    squeezes: Squeezes,
}

impl<'a> Engine<'a> {
    /// All parts for the least cost.
    pub fn least_cost(&mut self, work: &mut Work) {
        let job = self.job;
        let rest = Rest::of(job);
        let before = work.spent();
        for (guide, axes) in MANNERS {
            // The first layout is made to its end, however little work is left.
            let mut free = Work::new(i64::MAX);
            let first = self.plan.is_empty();
            self.tree(&rest, 1, guide, axes, if first { &mut free } else { work });
            work.spend(usize::try_from(free.spent()).unwrap_or(usize::MAX));
        }
        let one = work.spent() - before;
        self.bound = bounds::any_layout(job, work).0;
        self.note("bound by area", work);
        for width in EARLY {
            if one * width as i64 <= EARLY_UNITS {
                self.trees(&rest, width, work);
            }
        }
        if self.done() || work.done() {
            return;
        }
        let mut master = Master::new(job, work);
        let mut told = true;
        let mut values = by_area(job, 1.03);
        if let Some(master) = &mut master {
            self.pricers = master.pricers.clone();
            let units = match job.bins.len() {
                _ if small(job) => FIRST_PROGRAM / 4,
                1 => FIRST_PROGRAM,
                _ => FIRST_PROGRAM / 2,
            };
            told = self.program(master, units, work);
            values.clone_from(&master.values);
        }
        let repeated = f64::from(rest.parts()) / job.kinds.len().max(1) as f64;
        let mut state = State {
            rest,
            repeated,
            master,
            told,
            learning: values.clone(),
            values,
            current: Vec::new(),
            dice: Dice::new(1),
            dives: 0,
            dive_units: DIVE,
            trees: 0,
            squeezes: Squeezes::default(),
        };
        let weights = weights(repeated, job.bins.len() > 1);
        let mut spent = [0_i64; PHASES.len()];
        while !work.done() && !self.done() {
            let may = |i: &usize| match PHASES[*i] {
                Phase::Dive => state.master.is_some(),
                Phase::Program => !state.told,
                Phase::Squeeze => !self.plan.is_empty(),
                _ => true,
            };
            // Whoever is furthest behind its share goes next.
            let behind = |i: &usize| spent[*i] as f64 / weights[*i];
            let next = (0..PHASES.len())
                .filter(may)
                .min_by(|a, b| behind(a).total_cmp(&behind(b)))
                .unwrap_or(1);
            let before = work.spent();
            match PHASES[next] {
                Phase::Dive => self.dive(&mut state, work),
                Phase::Round => self.round(&mut state, work),
                Phase::Tree => {
                    let (guide, axes) = MANNERS[state.trees % MANNERS.len()];
                    let width = TREE << (state.trees / MANNERS.len()).min(20);
                    self.tree(&state.rest, width, guide, axes, work);
                    state.trees += 1;
                }
                Phase::Repair => self.repair(&mut state, work),
                Phase::Squeeze => self.squeeze(&mut state, work),
                Phase::Program => {
                    if let Some(master) = &mut state.master {
                        state.told = self.program(master, NEXT_PROGRAM, work);
                        state.values.clone_from(&master.values);
                    }
                }
            }
            // A turn that finds nothing to do is not free, or it would be taken for ever.
            let idle = TURN - (work.spent() - before);
            work.spend(usize::try_from(idle).unwrap_or(0));
            spent[next] += work.spent() - before;
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

    /// Sheets filled one by one; where there are several kinds of sheet, now and then of a mix.
    fn round(&mut self, state: &mut State<'_>, work: &mut Work) {
        let job = self.job;
        let mut rest = state.rest.clone();
        let dice = &mut state.dice;
        if dice.below(8) == 0 {
            state.learning = if dice.below(2) == 0 {
                state.values.clone()
            } else {
                by_area(job, 1.0 + 0.15 * dice.unit())
            };
        }
        // Wide trees fill a sheet better, where there are not too many sheets to fill.
        let narrow = if rest.parts() > MANY { 1 } else { 8 };
        let width = narrow << dice.below(5);
        if job.bins.len() > 1
            && dice.below(3) > 0
            && let Some(mix) = roomy(job, &self.plan, self.cost, dice, work)
        {
            rest.keep_to(mix.counts);
        }
        let plan = round(
            job,
            &self.pricers,
            &mut state.learning,
            rest,
            self.cost,
            width,
            dice,
            work,
        );
        if let Some(plan) = plan {
            self.offer(plan, "round", work);
        }
    }

    fn repair(&mut self, state: &mut State<'_>, work: &mut Work) {
        let dice = &mut state.dice;
        let plan = if state.current.is_empty() || dice.below(60) == 0 {
            &self.plan
        } else {
            &state.current
        };
        let program = state
            .master
            .as_mut()
            .filter(|_| state.repeated > REPEATED[1] && dice.below(2) == 0);
        let found = repair(
            self.job,
            program,
            &self.pricers,
            plan,
            &state.values,
            dice,
            work,
        );
        if let Some(found) = found {
            self.offer(found.clone(), "repair", work);
            state.current = found;
        }
    }

    /// A cheaper mix of sheets, filled and refilled until it holds everything.
    fn squeeze(&mut self, state: &mut State<'_>, work: &mut Work) {
        let State { squeezes, dice, .. } = state;
        let plan = squeezes.turn(self.job, &self.pricers, &self.plan, self.bound, dice, work);
        if let Some(plan) = plan {
            self.offer(plan, "squeeze", work);
        }
    }

    /// A dive; where there are several kinds of sheet every other one of a mix.
    fn dive(&mut self, state: &mut State<'_>, work: &mut Work) {
        let job = self.job;
        let Some(master) = &mut state.master else {
            return;
        };
        let number = state.dives;
        state.dives += 1;
        let manner = Manner {
            stray: if number == 0 { 0.0 } else { 0.3 },
            idle: [0.0, 0.15, 0.03, 0.3][number % 4],
            rounds: [30, 6, 15][number % 3],
            tries: [1, 3, 2][number % 3],
            width: [1, 1, 2][number % 3],
        };
        let mut rest = state.rest.clone();
        // Of parts that are much repeated the program knows the best mix.
        if job.bins.len() > 1
            && number % 2 == usize::from(state.repeated > REPEATED[1])
            && let Some(mix) = roomy(job, &self.plan, self.cost, &mut state.dice, work)
        {
            rest.keep_to(mix.counts);
        }
        let mut best: Option<(i64, Plan)> = None;
        let below = self.cost;
        let pricers = self.pricers.clone();
        let mut tail = |left: &Left, work: &mut Work| {
            let below = best.as_ref().map_or(below, |(c, _)| *c) - left.cost;
            if let Some(found) = end(job, &pricers, left, below, number, work) {
                let mut whole = left.plan.clone();
                whole.extend(found);
                best = Some((cost(job, &whole), whole));
            }
        };
        let dice = &mut state.dice;
        let units = state.dive_units;
        let dived = work.share(units, |work| {
            dive(job, master, rest, manner, below, dice, work, &mut tail)
        });
        let plan = match dived {
            Dived::Plan(plan) => Some(plan),
            Dived::Left(left) => {
                state.dive_units = (2 * units).min(LONGEST_DIVE);
                work.share(units / 4, |work| tail(&left, work));
                None
            }
            Dived::Nothing => None,
        };
        if let Some((_, plan)) = best {
            self.offer(plan, "tail", work);
        }
        if let Some(plan) = plan {
            self.offer(plan, "dive", work);
        }
    }
}

/// Ends what a dive left for less than `below`, by filling sheets and by trees.
fn end(
    job: &Job,
    pricers: &[Pricer],
    left: &Left,
    mut below: i64,
    number: usize,
    work: &mut Work,
) -> Option<Plan> {
    let mut best = None;
    let mut dice = Dice::new(number as u64 + 7);
    let mut learning = left.values.clone();
    for _ in 0..4 {
        if below <= 0 {
            return best;
        }
        let rest = left.rest.clone();
        let found = round(job, pricers, &mut learning, rest, below, 2, &mut dice, work);
        if let Some(found) = found {
            below = cost(job, &found);
            best = Some(found);
        }
    }
    for axes in [[true, false], [false, true]] {
        let start = Start {
            left: &left.rest.left,
            copies: &left.rest.copies,
            axes,
        };
        let goal = Goal::All { below };
        if let Some(found) = search(job, &start, goal, Guide::Large, 12, work) {
            below = found.cost;
            best = Some(found.plan);
        }
    }
    best
}
