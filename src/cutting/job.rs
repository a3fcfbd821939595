//! A problem made ready: the kerf added to parts and sheets, so that pieces simply touch; equal parts
//! merged; parts that fit nowhere set aside.

use super::problem::{FirstCut, Problem, Stages};

/// A kind of part: all parts of one size and freedom.
#[derive(Clone, Debug)]
pub(super) struct Kind {
    /// Size with kerf, `[w, h]`.
    pub size: [i64; 2],
    /// Whether turning it gives another rectangle.
    pub turns: bool,
    /// How many.
    pub demand: u32,
    /// What one is worth (profit of the problem).
    pub profit: i64,
    /// Indices in the problem, with their demands.
    pub parts: Vec<(usize, u32)>,
}

impl Kind {
    /// Area with kerf.
    pub fn area(&self) -> i64 {
        self.size[0] * self.size[1]
    }

    /// The ways it may lie: turned or not, and `[w, h]`.
    pub fn ways(&self) -> impl Iterator<Item = (bool, [i64; 2])> {
        let turned = [self.size[1], self.size[0]];
        std::iter::once((false, self.size)).chain(self.turns.then_some((true, turned)))
    }
}

/// A sheet that can be used.
#[derive(Clone, Debug)]
pub(super) struct Bin {
    /// Index in the problem.
    pub sheet: usize,
    /// Usable size with kerf.
    pub size: [i64; 2],
    /// What it costs.
    pub cost: i64,
    /// How many there are.
    pub copies: Option<u32>,
    /// Axes along which the strips of the first round may follow each other.
    pub first: [bool; 2],
    /// The widest strip when they follow each other along an axis.
    pub widest: [i64; 2],
}

impl Bin {
    /// Usable area with kerf.
    pub fn area(&self) -> i64 {
        self.size[0] * self.size[1]
    }
}

/// The problem as the engine sees it.
#[derive(Clone, Debug)]
pub(super) struct Job {
    pub kinds: Vec<Kind>,
    pub bins: Vec<Bin>,
    pub stages: Stages,
    pub trimming: bool,
    pub kerf: i64,
    /// By part of the problem: how many fit on no sheet.
    pub unplaced: Vec<u32>,
}

impl Job {
    /// Prepares a checked problem.
    pub fn new(problem: &Problem) -> Job {
        let kerf = problem.kerf;
        let bins: Vec<Bin> = problem
            .sheets
            .iter()
            .enumerate()
            .filter(|(_, sheet)| sheet.copies != Some(0))
            .map(|(i, sheet)| bin(problem, i, sheet.usable()))
            .filter(|bin| bin.first != [false; 2])
            .collect();
        let mut job = Job {
            kinds: Vec::new(),
            bins,
            stages: problem.stages,
            trimming: problem.trimming || problem.stages == Stages::Any,
            kerf,
            unplaced: vec![0; problem.parts.len()],
        };
        for (i, part) in problem.parts.iter().enumerate() {
            if part.demand == 0 {
                continue;
            }
            let kind = Kind {
                size: [part.w + kerf, part.h + kerf],
                turns: part.turns && part.w != part.h,
                demand: part.demand,
                profit: part.profit,
                parts: vec![(i, part.demand)],
            };
            if !job.bins.iter().any(|bin| job.fits(bin, &kind)) {
                job.unplaced[i] = part.demand;
                continue;
            }
            let same = job
                .kinds
                .iter_mut()
                .find(|k| k.size == kind.size && k.turns == kind.turns && k.profit == kind.profit);
            match same {
                Some(same) => {
                    same.demand += kind.demand;
                    same.parts.extend(kind.parts);
                }
                None => job.kinds.push(kind),
            }
        }
        // Large parts first: every later order starts from this one.
        job.kinds
            .sort_by_key(|k| (std::cmp::Reverse(k.area()), std::cmp::Reverse(k.size)));
        job
    }

    /// Whether a kind can be cut from a bin at all.
    pub fn fits(&self, bin: &Bin, kind: &Kind) -> bool {
        (0..2).any(|axis| {
            bin.first[axis]
                && kind.ways().any(|(_, size)| {
                    size[0] <= bin.size[0]
                        && size[1] <= bin.size[1]
                        && self.strip_takes(bin, axis, size)
                })
        })
    }

    /// Whether a part of a size may lie in a strip when strips follow each other along `axis`.
    pub fn strip_takes(&self, bin: &Bin, axis: usize, size: [i64; 2]) -> bool {
        if self.stages == Stages::One {
            self.trimming || size[axis] == bin.size[axis]
        } else {
            size[axis] <= bin.widest[axis]
        }
    }

    /// Cost of a bin by its area.
    pub fn rate(bin: &Bin) -> f64 {
        bin.cost as f64 / bin.area() as f64
    }

    /// What sheets cost by their area: the cheapest that does not run out, or all together. Offcuts are
    /// cheap, but there are few.
    pub fn going_rate(&self) -> f64 {
        let lasting = self.bins.iter().filter(|b| b.copies.is_none());
        let least = lasting.map(Job::rate).fold(f64::INFINITY, f64::min);
        let sum = |of: fn(&Bin) -> i64| self.bins.iter().map(|b| of(b) as f64).sum::<f64>();
        let rate = if least.is_finite() {
            least
        } else {
            sum(|b| b.cost) / sum(Bin::area)
        };
        rate.max(1e-12)
    }

    /// What is wanted of each kind.
    pub fn demands(&self) -> Vec<u32> {
        self.kinds.iter().map(|k| k.demand).collect()
    }

    /// Adds what is left of each kind to the numbers by part. A layout deals kinds out to their parts
    /// in order, so the last ones go without.
    pub fn deal_out(&self, left: Vec<u32>, by_part: &mut [u32]) {
        for (kind, mut left) in self.kinds.iter().zip(left) {
            for (part, demand) in kind.parts.iter().rev() {
                let n = left.min(*demand);
                by_part[*part] += n;
                left -= n;
            }
        }
    }

    /// How many bins of a kind there are at most.
    pub fn copies(&self, bin: usize) -> u32 {
        self.bins[bin].copies.unwrap_or(u32::MAX)
    }
}

/// What the cuts allow on a sheet. With one stage the strip is the whole sheet, so its "first" axis
/// is the one across which nothing is cut.
fn bin(problem: &Problem, sheet: usize, usable: [i64; 2]) -> Bin {
    let kerf = problem.kerf;
    let one = problem.stages == Stages::One;
    let mut first = [false; 2];
    let mut widest = [0; 2];
    for axis in 0..2 {
        let cut_wanted = match problem.first_cut {
            FirstCut::AlongW => axis == 1,
            FirstCut::AlongH => axis == 0,
            FirstCut::Any => true,
        };
        let allows = |of: usize| problem.longest_cut[of].is_none_or(|most| usable[of] <= most);
        // Cuts that separate along `axis` run along the other one.
        if one {
            first[1 - axis] = cut_wanted && allows(1 - axis);
            widest[1 - axis] = usable[1 - axis] + kerf;
        } else {
            first[axis] = cut_wanted && allows(1 - axis);
            let limits = [
                problem.longest_cut[axis],
                problem.sheets[sheet].widest[axis],
            ];
            let most = limits.into_iter().flatten().min();
            widest[axis] = usable[axis].min(most.unwrap_or(i64::MAX)) + kerf;
        }
    }
    Bin {
        sheet,
        size: [usable[0] + kerf, usable[1] + kerf],
        cost: problem.sheets[sheet].cost,
        copies: problem.sheets[sheet].copies,
        first,
        widest,
    }
}
