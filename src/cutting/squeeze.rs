//! All parts onto sheets that cost less than the best plan: the sheets of a mix are filled as far as
//! they go, then two at a time are taken apart and filled anew with what found no place, until
//! everything has one (ruin and recreate; Schrimpf et al. 2000, J. Computational Physics 159; from
//! memory).

use super::fill::{GUIDES, Rest, by_area, fill};
use super::job::Job;
use super::mix::{Mix, mix};
use super::pattern::{Pattern, Plan, cost};
use super::price::Pricer;
use super::work::{Dice, Work};

/// Units of work for one mix before another may take its turn.
const TURN: i64 = 25_000_000;

// How likely it is that a mix will do (our own figures, by trial on kitchens).

/// Of one part's mean area: what lacks that much is less likely by the factor e.
const LACK: f64 = 0.75;
/// Steps without gain after which a mix counts half, and after which it is given up; proposed again, it
/// starts anew.
const PATIENCE: f64 = 30.0;
const LONGEST_IDLE: usize = 400;
/// Of what a mix falls short, the share that further steps may well make up for.
const HOPED: f64 = 0.5;
/// How full sheets may well become, before any mix was tried.
const FULL: f64 = 0.98;

/// Mixes proposed before each turn.
const PROPOSALS: usize = 4;

/// From so many sheets the one with the most waste is picked.
const PICKED_FROM: usize = 6;

/// Mixes of sheets under work; whichever promises most goes on.
#[derive(Debug, Default)]
pub(super) struct Squeezes {
    mixes: Vec<Squeeze>,
}

/// A mix of sheets under work.
#[derive(Debug)]
struct Squeeze {
    mix: Mix,
    /// One for each sheet.
    sheets: Vec<Pattern>,
    rest: Rest,
    /// Area of the parts that have no place.
    short: i64,
    /// Steps since that fell.
    idle: usize,
}

impl Squeezes {
    /// One turn on one mix that costs less than `plan`; a plan if every part has a place.
    pub fn turn(
        &mut self,
        job: &Job,
        pricers: &[Pricer],
        plan: &Plan,
        bound: i64,
        dice: &mut Dice,
        work: &mut Work,
    ) -> Option<Plan> {
        let at = self.choose(job, pricers, plan, bound, dice, work)?;
        let squeeze = &mut self.mixes[at];
        let until = work.spent() + TURN;
        while squeeze.short > 0 && work.spent() < until && !work.done() {
            squeeze.step(job, pricers, dice, work);
        }
        if squeeze.short == 0 {
            return Some(self.mixes.remove(at).plan());
        }
        if squeeze.idle > LONGEST_IDLE {
            self.mixes.remove(at);
        }
        None
    }

    /// The mix that promises most, of those under work and some new ones.
    fn choose(
        &mut self,
        job: &Job,
        pricers: &[Pricer],
        plan: &Plan,
        bound: i64,
        dice: &mut Dice,
        work: &mut Work,
    ) -> Option<usize> {
        let below = cost(job, plan);
        self.mixes.retain(|m| m.mix.cost < below);
        let rest = Rest::of(job);
        let wanted = short(job, &rest.left) as f64;
        let one_part = wanted / f64::from(rest.parts());
        // What would be saved, and how likely that is.
        let hope = |mix: &Mix, short: f64, idle: usize| {
            let likely = libm::exp(-short.max(0.0) / (LACK * one_part));
            (below - mix.cost) as f64 * likely / (1.0 + idle as f64 / PATIENCE)
        };
        // New ones are taken to fill as well as the best so far might.
        let full = |m: &Squeeze| (wanted - HOPED * m.short as f64) / m.mix.area as f64;
        let full = self.mixes.iter().map(full).max_by(f64::total_cmp);
        let full = full.unwrap_or(FULL);
        let mixes = &self.mixes;
        let new = |mix: &Mix, _: &mut Dice| {
            let known = mixes.iter().any(|m| m.mix == *mix);
            (!known).then(|| hope(mix, wanted - full * mix.area as f64, 0))
        };
        let new = (0..PROPOSALS).filter_map(|_| {
            let share = dice.unit();
            let target = below - ((below - bound) as f64 * share * share) as i64;
            mix(job, plan, target, dice, work, new)
        });
        let new = new.max_by(|a, b| a.0.total_cmp(&b.0));
        let old = self.mixes.iter().enumerate();
        let old = old
            .map(|(at, m)| (hope(&m.mix, m.short as f64, m.idle), at))
            .max_by(|a, b| a.0.total_cmp(&b.0));
        match (new, old) {
            (Some((hope, mix)), old) if old.is_none_or(|(other, _)| hope > other) => {
                self.mixes
                    .push(Squeeze::start(job, pricers, mix, dice, work));
                Some(self.mixes.len() - 1)
            }
            (_, old) => old.map(|(_, at)| at),
        }
    }
}

impl Squeeze {
    /// Fills the sheets of a mix, one after the other.
    fn start(job: &Job, pricers: &[Pricer], mix: Mix, dice: &mut Dice, work: &mut Work) -> Squeeze {
        let of = |b: usize| std::iter::repeat_n(b, mix.counts[b] as usize);
        let mut bins: Vec<usize> = (0..job.bins.len()).flat_map(of).collect();
        dice.shuffle(&mut bins);
        let mut rest = Rest::of(job);
        rest.keep_to(mix.counts.clone());
        let sheets = refill(job, pricers, &bins, &mut rest, dice, work);
        Squeeze {
            short: short(job, &rest.left),
            mix,
            sheets,
            rest,
            idle: 0,
        }
    }

    /// Takes two sheets apart and fills them anew; that stays if no more is missing than before.
    fn step(&mut self, job: &Job, pricers: &[Pricer], dice: &mut Dice, work: &mut Work) {
        work.spend(3000 + 600 * self.sheets.len());
        self.idle += 1;
        let mut at: Vec<usize> = (0..self.sheets.len()).collect();
        dice.shuffle(&mut at);
        if dice.below(2) == 0 {
            let waste = |i: &usize| {
                let sheet = &self.sheets[at[*i]];
                job.bins[sheet.bin].area() - sheet.area(job)
            };
            let most = (0..at.len().min(PICKED_FROM)).max_by_key(waste);
            at.swap(0, most.unwrap_or(0));
        }
        at.truncate(2);
        let mut rest = self.rest.clone();
        let mut bins = Vec::new();
        for i in &at {
            rest.put_back(&self.sheets[*i]);
            bins.push(self.sheets[*i].bin);
        }
        let sheets = refill(job, pricers, &bins, &mut rest, dice, work);
        let short = short(job, &rest.left);
        if short <= self.short {
            if short < self.short {
                self.idle = 0;
            }
            (self.short, self.rest) = (short, rest);
            for (i, sheet) in at.into_iter().zip(sheets) {
                self.sheets[i] = sheet;
            }
        }
    }

    fn plan(self) -> Plan {
        let mut plan: Plan = Vec::new();
        for sheet in self.sheets.into_iter().filter(|s| !s.counts.is_empty()) {
            match plan.iter_mut().find(|(other, _)| *other == sheet) {
                Some((_, times)) => *times += 1,
                None => plan.push((sheet, 1)),
            }
        }
        plan
    }
}

/// Area of the parts that are left.
fn short(job: &Job, left: &[u32]) -> i64 {
    let kinds = job.kinds.iter().zip(left);
    kinds.map(|(k, n)| k.area() * i64::from(*n)).sum()
}

/// Fills sheets one after the other; large parts count somewhat more than their area, since small ones
/// find a place later.
fn refill(
    job: &Job,
    pricers: &[Pricer],
    bins: &[usize],
    rest: &mut Rest,
    dice: &mut Dice,
    work: &mut Work,
) -> Vec<Pattern> {
    let mut values = by_area(job, 1.05 + 0.2 * dice.unit());
    for value in &mut values {
        *value *= 0.95 + 0.1 * dice.unit();
    }
    let width = 4 << dice.below(4);
    let mut out = Vec::new();
    for bin in bins {
        let found = fill(job, pricers, *bin, &values, rest, (width, &GUIDES), work);
        let sheet = found.map_or_else(|| Pattern::empty(*bin), |(sheet, _)| sheet);
        rest.take(&sheet, 1);
        out.push(sheet);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::super::Sheet;
    use super::super::colgen::Master;
    use super::super::pattern::Cell;
    use super::super::tests::plain;
    use super::*;

    /// Sheets of 100 x 100 at 10 hold six of 30 x 50, those of 60 x 100 at 5 hold four: five of the small
    /// ones hold all 20 for 25. From a plan of one part a sheet it gets there.
    #[test]
    fn cheaper_mixes_are_found_and_filled() {
        let mut problem = plain([100, 100], &[(30, 50, 20)]);
        problem.sheets[0].cost = 10;
        problem.sheets.push(Sheet {
            w: 60,
            cost: 5,
            ..problem.sheets[0].clone()
        });
        let job = Job::new(&problem);
        let mut work = Work::new(100_000_000);
        let pricers = Master::new(&job, &mut work).unwrap().pricers;
        let one = Cell::Leaf {
            kind: 0,
            turned: false,
        };
        let mut plan = vec![(Pattern::new(0, one), 20)];
        let (mut squeezes, mut dice) = (Squeezes::default(), Dice::new(1));
        while !work.done() && cost(&job, &plan) > 25 {
            let before = cost(&job, &plan);
            let found = squeezes.turn(&job, &pricers, &plan, 25, &mut dice, &mut work);
            if let Some(found) = found {
                assert!(cost(&job, &found) < before);
                let made = found.iter().map(|(p, n)| p.counts[0].1 * n).sum::<u32>();
                assert_eq!(made, 20);
                plan = found;
            }
        }
        assert_eq!(cost(&job, &plan), 25);
    }
}
