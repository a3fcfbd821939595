//! Discretisation points: the sums of part sizes that a cut can have to its near side. Whatever is
//! cut can be pushed together until every cut is at such a point (Herz 1972, IBM J. Research and
//! Development 16; Beasley 1985, JORS 36; from memory).

/// The points of one direction of a sheet.
#[derive(Clone, Debug)]
pub(super) struct Grid {
    /// Ascending, from 0; the last is the size itself or the largest sum that it holds.
    pub points: Vec<i64>,
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
        let mut floor = Vec::with_capacity(sums.len());
        for (at, reached) in sums.iter().enumerate() {
            if *reached {
                points.push(i64::try_from(at).ok()? * step);
            }
            floor.push(u32::try_from(points.len() - 1).ok()?);
        }
        Some(Grid {
            points,
            floor,
            step,
        })
    }

    /// How many points.
    pub fn len(&self) -> usize {
        self.points.len()
    }

    /// Index of the largest point that is at most `size`.
    pub fn at(&self, size: i64) -> usize {
        self.floor[(size / self.step) as usize] as usize
    }

    /// Index of the first point that is at least `size`; the number of points if there is none.
    pub fn from(&self, size: i64) -> usize {
        self.points.partition_point(|p| *p < size)
    }
}

fn gcd(a: i64, b: i64) -> i64 {
    if b == 0 { a } else { gcd(b, a % b) }
}
