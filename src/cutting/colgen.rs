//! Column generation: the linear program over all patterns, solved with the few that matter, and
//! what its multipliers prove (Gilmore & Gomory 1961, Operations Research 9; bound at every round:
//! Farley 1990, Operations Research 38; from memory).

use super::bounds::whole_cover;
use super::job::Job;
use super::pattern::Pattern;
use super::price::Pricer;
use super::problem::Stages;
use super::simplex::{Column, Program};
use super::work::Work;

/// The program with its patterns.
#[derive(Clone, Debug)]
pub(super) struct Master<'a> {
    job: &'a Job,
    pub pricers: Vec<Pricer>,
    program: Program,
    pub patterns: Vec<Pattern>,
    /// Bins with a row of their own: few copies.
    scarce: Vec<usize>,
    /// What is wanted in the present program.
    wanted: Vec<u32>,
    copies: Vec<u32>,
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

/// What a multiplier of the price of the dearest bin is in integers.
const SCALE: f64 = (1_u64 << 40) as f64;

impl<'a> Master<'a> {
    /// `None` if some bin cannot be priced.
    pub fn new(job: &'a Job) -> Option<Master<'a>> {
        let mut pricers = Vec::new();
        for (b, bin) in job.bins.iter().enumerate() {
            for axis in 0..2 {
                if bin.first[axis] {
                    pricers.push(Pricer::new(job, b, axis)?);
                }
            }
        }
        let scarce: Vec<usize> = (0..job.bins.len())
            .filter(|b| job.bins[*b].copies.is_some())
            .collect();
        let wanted = job.demands();
        let copies: Vec<u32> = (0..job.bins.len()).map(|b| job.copies(b)).collect();
        let rows: Vec<u32> = scarce.iter().map(|b| copies[*b]).collect();
        let dearest = job.bins.iter().map(|b| b.cost).max()? as f64;
        Some(Master {
            job,
            pricers,
            program: Program::new(&wanted, &rows, dearest.max(1.0) * 10.0),
            patterns: Vec::new(),
            scarce,
            values: vec![0.0; wanted.len()],
            wanted,
            copies,
            turn: 0,
            bound: 0,
        })
    }

    /// Adds a pattern unless it is there.
    pub fn add(&mut self, pattern: &Pattern) -> bool {
        let known = self
            .patterns
            .iter()
            .any(|p| p.bin == pattern.bin && p.counts == pattern.counts);
        if known {
            return false;
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
        true
    }

    /// Other demands and copies (what is left of them).
    pub fn restart(&mut self, wanted: &[u32], copies: &[u32]) {
        self.wanted = wanted.to_vec();
        self.copies = copies.to_vec();
        let rows: Vec<u32> = self.scarce.iter().map(|b| copies[*b]).collect();
        self.program.restart(wanted, &rows);
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
        for _ in 0..rounds {
            if work.done() {
                return End::Stopped;
            }
            let y = self.program.multipliers();
            self.values = y[..self.wanted.len()].iter().map(|y| y.max(0.0)).collect();
            let dearest = self
                .job
                .bins
                .iter()
                .map(|b| b.cost)
                .max()
                .unwrap_or(1)
                .max(1);
            let scale = SCALE / dearest as f64;
            let values: Vec<i64> = self
                .values
                .iter()
                .map(|y| (y * scale).min(SCALE * 16.0) as i64)
                .collect();
            let mut added = self.quick_patterns(&values, &y, scale, work);
            if !added && (whole || !self.narrow()) {
                let mut worth = vec![0_i64; self.job.bins.len()];
                for i in 0..self.pricers.len() {
                    let bin = self.pricers[i].bin;
                    if self.copies[bin] == 0 && !whole {
                        continue;
                    }
                    let above = self.above(bin, &y, scale);
                    let priced = self.pricers[i].price(&values, &self.wanted, above, work);
                    worth[bin] = worth[bin].max(priced.value);
                    if let Some(root) = priced.root {
                        added |= self.add(&Pattern::new(bin, root));
                    }
                }
                if whole && self.job.stages != Stages::Any {
                    self.bound = self.bound.max(self.proven(&values, &worth));
                    let hoped = (self.objective() * (1.0 - 1e-9)).ceil() as i64;
                    if self.bound >= enough || self.bound >= self.next_cost(hoped) {
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

    fn narrow(&self) -> bool {
        self.pricers.iter().any(Pricer::can_be_narrow)
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

    /// Adds up to two patterns of narrow strips, bins and axes taking turns; whether there were any.
    fn quick_patterns(&mut self, values: &[i64], y: &[f64], scale: f64, work: &mut Work) -> bool {
        let mut added = 0;
        for _ in 0..self.pricers.len() {
            self.turn = (self.turn + 1) % self.pricers.len();
            let pricer = &self.pricers[self.turn];
            let bin = pricer.bin;
            if !pricer.can_be_narrow() || self.copies[bin] == 0 {
                continue;
            }
            let above = self.above(bin, y, scale);
            let found = pricer.narrow(values, &self.wanted, above, work);
            if let Some(root) = found
                && self.add(&Pattern::new(bin, root))
            {
                added += 1;
            }
            if added == 2 {
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
