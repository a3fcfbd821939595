//! Discretisation points: the sums of part sizes that a cut can have to its near side. Whatever is
//! cut can be pushed together until every cut is at such a point (Herz 1972, IBM J. Research and
//! Development 16; Beasley 1985, JORS 36; from memory).

/// The points of one direction of a sheet.
#[derive(Clone, Debug)]
pub(super) struct Grid {
    /// Ascending, from 0; the last is the size itself or the largest sum that it holds.
    pub points: Vec<i64>,
    /// The points in steps.
    units: Vec<u32>,
    /// By size: the index of the largest point that is not larger.
    floor: Vec<u32>,
    /// Size divided by this before `floor` is asked.
    step: i64,
}

/// Sizes above this many common divisors are not put on a grid.
const LONGEST: i64 = 4_000_000;

impl Grid {
    /// The points of sums of any number of `extents` up to `size`; `None` if the size is too large
    /// for a table.
    pub fn new(extents: &[i64], size: i64) -> Option<Grid> {
        let step = extents.iter().fold(0, |g, e| gcd(g, *e)).max(1);
        let top = size / step;
        if top > LONGEST {
            return None;
        }
        let mut sums = vec![false; usize::try_from(top + 1).ok()?];
        sums[0] = true;
        let mut extents: Vec<usize> = extents
            .iter()
            .filter(|e| **e > 0 && **e <= size)
            .filter_map(|e| usize::try_from(*e / step).ok())
            .collect();
        extents.sort_unstable();
        extents.dedup();
        for e in extents {
            for at in e..sums.len() {
                if sums[at - e] {
                    sums[at] = true;
                }
            }
        }
        let mut points = Vec::new();
        let mut units = Vec::new();
        let mut floor = Vec::with_capacity(sums.len());
        for (at, reached) in sums.iter().enumerate() {
            if *reached {
                points.push(i64::try_from(at).ok()? * step);
                units.push(u32::try_from(at).ok()?);
            }
            floor.push(u32::try_from(points.len() - 1).ok()?);
        }
        Some(Grid {
            points,
            units,
            floor,
            step,
        })
    }

    /// Units of work that making it took.
    pub fn made(&self) -> usize {
        40 * self.floor.len()
    }

    /// How many points.
    pub fn len(&self) -> usize {
        self.points.len()
    }

    /// Index of the largest point that is at most `size`.
    pub fn at(&self, size: i64) -> usize {
        self.floor[(size / self.step) as usize] as usize
    }

    /// An extent, which is some sum of sizes, in steps.
    pub fn steps(&self, extent: i64) -> u32 {
        u32::try_from(extent / self.step).unwrap_or(u32::MAX)
    }

    /// Index of the largest point that leaves so many steps before the point at an index.
    pub fn before(&self, at: usize, steps: u32) -> usize {
        self.floor[(self.units[at] - steps) as usize] as usize
    }

    /// Index of the first point that is at least `size`; the number of points if there is none.
    pub fn from(&self, size: i64) -> usize {
        self.points.partition_point(|p| *p < size)
    }
}

/// What sizes are rounded to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Round {
    Exact,
    /// To the next multiple of a step.
    Up(i64),
    /// To the last multiple of a step.
    Down(i64),
}

impl Round {
    pub fn of(self, size: i64) -> i64 {
        match self {
            Round::Exact => size,
            Round::Up(step) => (size + step - 1) / step * step,
            Round::Down(step) => size / step * step,
        }
    }

    /// About so many steps for `whole`: of steps up to twice as long as asked the one that changes
    /// the sizes least; never longer than the smallest size.
    pub fn to_steps(sizes: &[i64], whole: i64, steps: i64, up: bool) -> Round {
        let round = if up { Round::Up } else { Round::Down };
        let smallest = sizes.iter().copied().min().unwrap_or(1);
        let least = (whole / steps).clamp(1, smallest);
        let changes = |step: &i64| -> i64 {
            let to = round(*step);
            sizes.iter().map(|s| (to.of(*s) - s).abs()).sum()
        };
        let tried = least..=(2 * least - 1).min(smallest);
        let pace = usize::try_from(least / 64 + 1).unwrap_or(1);
        tried
            .step_by(pace)
            .min_by_key(changes)
            .map_or(Round::Exact, round)
    }
}

fn gcd(a: i64, b: i64) -> i64 {
    if b == 0 { a } else { gcd(b, a % b) }
}
