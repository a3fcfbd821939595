//! Column generation: the linear program over all patterns, solved with the few that matter, and
//! what its multipliers prove (Gilmore & Gomory 1961, Operations Research 9; bound at every round:
//! Farley 1990, Operations Research 38; from memory).

use super::bounds::whole_cover;
use super::job::Job;
use super::pattern::{Cell, Pattern};
use super::price::Pricer;
use super::problem::Stages;
use super::simplex::{Column, Program};
use super::work::{Dice, Work};
use std::collections::BTreeMap;
use std::rc::Rc;

/// The program with its patterns.
#[derive(Clone, Debug)]
pub(super) struct Master<'a> {
    job: &'a Job,
    pub pricers: Rc<[Pricer]>,
    /// The same on coarser grids, coarsest first; a level holds only those of the bins with fine sizes.
    coarse: Vec<Vec<Pricer>>,
    /// On a coarse grid with sizes rounded down, for a bound that is soon there.
    below: Vec<Pricer>,
    /// How many levels are used up: no pattern that they find improves the program.
    level: usize,
    program: Program,
    pub patterns: Vec<Pattern>,
    /// By bin and parts: the number of the pattern.
    numbers: BTreeMap<(usize, Vec<(usize, u32)>), usize>,
    /// Bins with a row of their own: those with few copies, and all where a mix may be asked for.
    scarce: Vec<usize>,
    /// What is wanted in the present program.
    wanted: Vec<u32>,
    copies: Vec<u32>,
    /// Whether patterns may make no more than is wanted.
    proper: bool,
    /// Patterns that stay out.
    idle: Vec<bool>,
    /// Which pricer was asked last.
    turn: usize,
    /// Multipliers of the parts.
    pub values: Vec<f64>,
    /// Proven for the whole job.
    pub bound: i64,
}

/// How an effort ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum End {
    /// No pattern improves the program, or no better bound can come of it.
    Converged,
    /// Rounds or work used up.
    Stopped,
}

/// Steps for a side of the sheet, level by level.
const LEVELS: [i64; 2] = [250, 1200];

/// What a multiplier of the price of the dearest bin is in integers.
const SCALE: f64 = (1_u64 << 40) as f64;

impl<'a> Master<'a> {
    /// `None` if some bin cannot be priced.
    pub fn new(job: &'a Job, work: &mut Work) -> Option<Master<'a>> {
        let mut pricers = Vec::new();
        for (b, bin) in job.bins.iter().enumerate() {
            for axis in 0..2 {
                if bin.first[axis] {
                    pricers.push(Pricer::new(job, b, axis)?);
                }
            }
        }
        let coarser = |steps: i64, up: bool| -> Vec<Pricer> {
            let all = pricers.iter();
            all.filter_map(|p| p.coarser(job, steps, up)).collect()
        };
        let coarse = LEVELS.map(|steps| coarser(steps, true)).to_vec();
        let mut below = coarser(LEVELS[1], false);
        if !below.is_empty() {
            // A bin that has few points is priced exactly.
            let others = pricers
                .iter()
                .filter(|p| p.coarser(job, LEVELS[1], false).is_none());
            below.extend(others.cloned().collect::<Vec<_>>());
        }
        let all = coarse.iter().flatten().chain(&below).chain(&pricers);
        work.spend(all.map(Pricer::made).sum());
        let several = job.bins.len() > 1;
        let scarce: Vec<usize> = (0..job.bins.len())
            .filter(|b| several || job.bins[*b].copies.is_some())
            .collect();
        let wanted = job.demands();
        let copies: Vec<u32> = (0..job.bins.len()).map(|b| job.copies(b)).collect();
        let most = wanted.iter().sum::<u32>();
        let rows: Vec<u32> = scarce.iter().map(|b| copies[*b].min(most)).collect();
        let dearest = job.bins.iter().map(|b| b.cost).max()? as f64;
        Some(Master {
            job,
            pricers: pricers.into(),
            coarse,
            below,
            level: 0,
            program: Program::new(&wanted, &rows, dearest.max(1.0) * 10.0),
            patterns: Vec::new(),
            numbers: BTreeMap::new(),
            scarce,
            values: vec![0.0; wanted.len()],
            wanted,
            copies,
            proper: false,
            idle: Vec::new(),
            turn: 0,
            bound: 0,
        })
    }

    /// Adds a pattern unless one of the same parts is there; its number, and whether it is new.
    pub fn add(&mut self, pattern: &Pattern) -> (usize, bool) {
        let number = self.patterns.len();
        let key = (pattern.bin, pattern.counts.clone());
        let known = *self.numbers.entry(key).or_insert(number);
        if known < number {
            return (known, false);
        }
        let mut entries: Vec<(usize, f64)> = pattern
            .counts
            .iter()
            .map(|(kind, n)| (*kind, f64::from(*n)))
            .collect();
        if let Some(row) = self.scarce.iter().position(|b| *b == pattern.bin) {
            entries.push((self.wanted.len() + row, 1.0));
        }
        self.program.add(Column {
            cost: self.job.bins[pattern.bin].cost as f64,
            entries,
        });
        self.patterns.push(pattern.clone());
        (number, true)
    }

    /// Adds what a pricer found if it improves the program: what was changed to be proper may be worth
    /// too little by then.
    fn add_if_it_pays(&mut self, bin: usize, root: Cell, values: &[i64], above: i64) -> bool {
        let root = match self.job.stages {
            Stages::One => root,
            _ => root.tight(self.job),
        };
        let pattern = Pattern::new(bin, root);
        let Some(pattern) = self.allowed(pattern) else {
            return false;
        };
        let value: i64 = pattern
            .counts
            .iter()
            .map(|(kind, n)| values[*kind] * i64::from(*n))
            .sum();
        value > above && self.add(&pattern).1
    }

    /// The pattern, less what is more than wanted where that matters.
    fn allowed(&self, pattern: Pattern) -> Option<Pattern> {
        if self.proper {
            pattern.clip(&self.wanted)
        } else {
            Some(pattern)
        }
    }

    /// Starts anew for the whole job with every pattern.
    pub fn restart_whole(&mut self) {
        let copies: Vec<u32> = (0..self.job.bins.len())
            .map(|b| self.job.copies(b))
            .collect();
        self.start(&self.job.demands(), &copies, false, &[]);
    }

    /// Starts anew for what is left, with patterns that make no more than that; `likely` are those that
    /// were in use before.
    pub fn restart(&mut self, left: &[u32], copies: &[u32], likely: &[usize]) {
        self.start(left, copies, true, likely);
    }

    /// Leaves a share of the patterns out of what is solved for a part of the job.
    pub fn idle(&mut self, share: f64, dice: &mut Dice) {
        self.idle = self.patterns.iter().map(|_| dice.unit() < share).collect();
    }

    fn start(&mut self, wanted: &[u32], copies: &[u32], proper: bool, likely: &[usize]) {
        self.wanted = wanted.to_vec();
        self.copies = copies.to_vec();
        self.proper = proper;
        // No more sheets than parts are ever used.
        let most = wanted.iter().sum::<u32>();
        let rows = self.scarce.iter().map(|b| copies[*b].min(most));
        let rows: Vec<u32> = rows.collect();
        let idle = |j: usize| self.idle.get(j).is_some_and(|idle| *idle);
        self.program
            .restart(wanted, &rows, proper, |j| !proper || !idle(j));
        self.program.try_first(likely);
    }

    /// Cost of the program's present solution.
    pub fn objective(&self) -> f64 {
        self.program.objective()
    }

    /// Patterns in use and how often.
    pub fn solution(&self) -> Vec<(usize, f64)> {
        self.program.solution()
    }

    /// Prices patterns and solves, round after round. `whole` says that the demands are those of the
    /// whole job, so that the bound counts; it stops when the bound reaches `enough`.
    pub fn improve(&mut self, rounds: usize, whole: bool, enough: i64, work: &mut Work) -> End {
        work.spend(self.program.solve());
        self.level = 0;
        // Parts that no pattern makes yet need more rounds.
        let mut round = 0;
        while round < rounds || (round < 20 * rounds && self.program.buys()) {
            round += 1;
            let y = self.program.multipliers();
            self.values = y[..self.wanted.len()].iter().map(|y| y.max(0.0)).collect();
            let bins = self.job.bins.iter();
            let dearest = bins.map(|b| b.cost).max().unwrap_or(1).max(1);
            let scale = SCALE / dearest as f64;
            let values: Vec<i64> = self
                .values
                .iter()
                .map(|y| (y * scale).min(SCALE * 16.0) as i64)
                .collect();
            if work.done() {
                if whole && self.level + 1 == self.coarse.len() {
                    self.prove(&values, scale, work);
                }
                return End::Stopped;
            }
            let mut added = false;
            while !added && self.level < self.coarse.len() {
                added = self.soon(&values, &y, scale, work);
                if !added {
                    self.level += 1;
                    if whole && self.level == self.coarse.len() {
                        self.prove(&values, scale, work);
                        if self.bound >= enough || self.settled() {
                            return End::Converged;
                        }
                    }
                }
            }
            let fine = self.coarse.last().is_some_and(|level| !level.is_empty());
            if !added && (whole || !fine) {
                let mut worth = vec![0_i64; self.job.bins.len()];
                for i in 0..self.pricers.len() {
                    let bin = self.pricers[i].bin;
                    if self.copies[bin] == 0 && !whole {
                        continue;
                    }
                    let above = self.above(bin, &y, scale);
                    let asked = if whole {
                        self.price_of(bin, scale)
                    } else {
                        above
                    };
                    let pricer = &self.pricers[i];
                    let priced = pricer.price(&values, &self.wanted, asked, self.proper, work);
                    worth[bin] = worth[bin].max(priced.value);
                    for root in priced.roots {
                        added |= self.add_if_it_pays(bin, root, &values, above);
                    }
                }
                if whole && self.job.stages != Stages::Any {
                    self.bound = self.bound.max(self.proven(&values, &worth));
                    if self.bound >= enough || self.settled() {
                        return End::Converged;
                    }
                }
            }
            if !added {
                return End::Converged;
            }
            work.spend(self.program.solve());
        }
        End::Stopped
    }

    /// Whether the bound is the least cost of whole sheets that the program allows.
    fn settled(&self) -> bool {
        let hoped = (self.objective() * (1.0 - 1e-9)).ceil() as i64;
        self.bound >= self.next_cost(hoped)
    }

    /// What the multipliers prove by patterns of parts that are a little smaller.
    fn prove(&mut self, values: &[i64], scale: f64, work: &mut Work) {
        if self.below.is_empty() || self.job.stages == Stages::Any {
            return;
        }
        let mut worth = vec![0_i64; self.job.bins.len()];
        for pricer in &self.below {
            let asked = self.price_of(pricer.bin, scale);
            let priced = pricer.price(values, &self.wanted, asked, false, work);
            worth[pricer.bin] = worth[pricer.bin].max(priced.value);
        }
        self.bound = self.bound.max(self.proven(values, &worth));
    }

    /// What a bin costs, in scaled integers.
    fn price_of(&self, bin: usize, scale: f64) -> i64 {
        (self.job.bins[bin].cost as f64 * scale) as i64
    }

    /// What a pattern of a bin has to be worth to improve the program, in scaled integers.
    fn above(&self, bin: usize, y: &[f64], scale: f64) -> i64 {
        let rent = match self.scarce.iter().position(|b| *b == bin) {
            Some(row) => -y[self.wanted.len() + row].min(0.0),
            None => 0.0,
        };
        let price = self.job.bins[bin].cost as f64 + rent;
        (price * scale * (1.0 + 1e-9)) as i64
    }

    /// Adds a few patterns of the present level, bins and axes taking turns; whether there were any.
    fn soon(&mut self, values: &[i64], y: &[f64], scale: f64, work: &mut Work) -> bool {
        let mut added = 0;
        let count = self.coarse[self.level].len();
        for _ in 0..count {
            self.turn = (self.turn + 1) % count;
            let pricer = &self.coarse[self.level][self.turn];
            let bin = pricer.bin;
            if self.copies[bin] == 0 {
                continue;
            }
            let above = self.above(bin, y, scale);
            let found = pricer.price(values, &self.wanted, above, self.proper, work);
            for root in found.roots {
                added += usize::from(self.add_if_it_pays(bin, root, values, above));
            }
            if added >= 4 {
                break;
            }
        }
        added > 0
    }

    /// The bound that multipliers prove, given the most that a pattern of each bin is worth by them:
    /// for any `t`, `t * sum(demand * value) - sum(copies * max(0, t * worth - cost))`, with
    /// `t * worth <= cost` for bins without limit. Tried with every `t` at which a term starts.
    fn proven(&self, values: &[i64], worth: &[i64]) -> i64 {
        let total: i128 = self
            .job
            .kinds
            .iter()
            .zip(values)
            .map(|(k, v)| i128::from(k.demand) * i128::from(*v))
            .sum();
        let bins = &self.job.bins;
        let mut best = 0;
        for (s, worth_s) in worth.iter().enumerate() {
            if *worth_s <= 0 {
                continue;
            }
            // t = cost / worth of this bin, times worth throughout.
            let (cost, by) = (i128::from(bins[s].cost), i128::from(*worth_s));
            let mut sum = cost * total;
            let mut holds = true;
            for (k, bin) in bins.iter().enumerate() {
                let over = cost * i128::from(worth[k]) - i128::from(bin.cost) * by;
                match bin.copies {
                    None => holds &= over <= 0,
                    Some(copies) => sum -= i128::from(copies) * over.max(0),
                }
            }
            if holds && sum > 0 {
                best = best.max(i64::try_from((sum + by - 1) / by).unwrap_or(i64::MAX));
            }
        }
        let worth: Vec<i128> = worth.iter().map(|w| i128::from(*w)).collect();
        whole_cover(self.job, total, &worth, best)
    }

    /// The least cost from `bound` on that some number of sheets has.
    fn next_cost(&self, bound: i64) -> i64 {
        whole_cover(self.job, 1, &vec![1; self.job.bins.len()], bound)
    }
}
