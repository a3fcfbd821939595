//! One sheet cut in any number of stages, by dynamic programming over the sizes that pieces can have:
//! a piece is cut in two and each half laid out by itself (Gilmore & Gomory 1966, Operations Research
//! 14; Beasley 1985, JORS 36). Without regard to how many of each part are wanted the value is a bound;
//! with one true layout kept for each size, as in a heuristic of Velasco & Uchoa 2019 (EJOR 272), there
//! is a pattern to cut. All from memory.

use super::grid::{Grid, Round};
use super::job::Job;
use super::pattern::Cell;
use super::work::Work;

/// A way a kind may lie.
#[derive(Clone, Copy, Debug)]
struct Way {
    kind: usize,
    turned: bool,
    /// Index of its size among the points of either axis.
    at: [usize; 2],
}

/// What becomes of a piece of some size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Becomes {
    Nothing,
    /// A part, by the index of its way.
    Part(u32),
    /// The same as a piece one point smaller along an axis.
    Smaller(usize),
    /// Two pieces, the near one as long along the axis as a point.
    Two(usize, u32),
}

/// The sizes that pieces of a sheet can have, and the parts that go on it.
#[derive(Clone, Debug)]
pub(super) struct Free {
    grids: [Grid; 2],
    ways: Vec<Way>,
    kinds: usize,
}

/// Values and choices by size, row by row.
struct Table {
    values: Vec<i64>,
    becomes: Vec<Becomes>,
    /// How many of each kind, size by size; empty where that does not matter.
    counts: Vec<u16>,
}

/// Pieces are not told apart more finely than by so many steps along a side.
const STEPS: i64 = 160;

impl Free {
    /// For a bin of a job. Where sizes are fine they are rounded: up for patterns, down for a bound.
    /// `None` if they are too large for tables, and where the saw or a person sets limits to pieces.
    pub fn new(job: &Job, bin: usize, up: bool) -> Option<Free> {
        let of = &job.bins[bin];
        if of.widest != of.size {
            return None;
        }
        let fits = |size: [i64; 2]| (0..2).all(|a| size[a] <= of.size[a]);
        let ways = || {
            let all = job.kinds.iter().enumerate();
            all.flat_map(|(kind, k)| k.ways().map(move |(turned, size)| (kind, turned, size)))
                .filter(|(_, _, size)| fits(*size))
        };
        let grid = |axis: usize| -> Option<(Round, Grid)> {
            let sizes: Vec<i64> = ways().map(|(_, _, size)| size[axis]).collect();
            let exact = Grid::new(&sizes, of.size[axis])?;
            if exact.len() as i64 <= STEPS * 3 / 2 {
                return Some((Round::Exact, exact));
            }
            let round = Round::to_steps(&sizes, of.size[axis], STEPS, up);
            let rounded: Vec<i64> = sizes.iter().map(|s| round.of(*s)).collect();
            Some((round, Grid::new(&rounded, of.size[axis])?))
        };
        let (rounds, grids): (Vec<Round>, Vec<Grid>) = [grid(0)?, grid(1)?].into_iter().unzip();
        let grids: [Grid; 2] = grids.try_into().ok()?;
        let ways = ways()
            .map(|(kind, turned, size)| (kind, turned, [0, 1].map(|a| rounds[a].of(size[a]))))
            .filter(|(_, _, size)| fits(*size))
            .map(|(kind, turned, size)| Way {
                kind,
                turned,
                at: [0, 1].map(|a| grids[a].at(size[a])),
            })
            .collect();
        Some(Free {
            grids,
            ways,
            kinds: job.kinds.len(),
        })
    }

    /// No layout is worth more by the values of the kinds, however many of each it has; and how many of
    /// each the layout has that is worth so much.
    pub fn bound(&self, values: &[i64], work: &mut Work) -> (i64, Vec<u32>) {
        let table = self.table(values, None, work);
        let mut used = vec![0; self.kinds];
        let end = table.values.len() - 1;
        if let Some(root) = self.cell(&table, end) {
            self.count(&root, &mut used);
        }
        (table.values[end], used)
    }

    /// A good layout with at most `limits` of each kind.
    pub fn layout(&self, values: &[i64], limits: &[u32], work: &mut Work) -> Option<Cell> {
        let table = self.table(values, Some(limits), work);
        self.cell(&table, table.values.len() - 1)
    }

    fn table(&self, values: &[i64], limits: Option<&[u32]>, work: &mut Work) -> Table {
        let [rows, columns] = [0, 1].map(|a| self.grids[a].len());
        let kinds = if limits.is_some() { self.kinds } else { 0 };
        let mut table = Table {
            values: vec![0; rows * columns],
            becomes: vec![Becomes::Nothing; rows * columns],
            counts: vec![0; rows * columns * kinds],
        };
        for (index, way) in self.ways.iter().enumerate() {
            let at = way.at[0] * columns + way.at[1];
            let some = limits.is_none_or(|l| l[way.kind] > 0);
            if some && values[way.kind] > table.values[at] {
                table.values[at] = values[way.kind];
                table.becomes[at] = Becomes::Part(index as u32);
                if limits.is_some() {
                    table.counts[at * kinds..(at + 1) * kinds].fill(0);
                    table.counts[at * kinds + way.kind] = 1;
                }
            }
        }
        let mut looks = 0;
        for i in 1..rows {
            for j in 1..columns {
                let at = i * columns + j;
                for (axis, from) in [(0, at - columns), (1, at - 1)] {
                    if table.values[from] > table.values[at] {
                        table.values[at] = table.values[from];
                        table.becomes[at] = Becomes::Smaller(axis);
                        table
                            .counts
                            .copy_within(from * kinds..(from + 1) * kinds, at * kinds);
                    }
                }
                for axis in 0..2 {
                    let (grid, along) = (&self.grids[axis], [i, j][axis]);
                    for near in 1..along {
                        let steps = grid.steps(grid.points[near]);
                        let far = grid.before(along, steps);
                        if far < near {
                            break;
                        }
                        looks += 1;
                        let [a, b] = if axis == 0 {
                            [near * columns + j, far * columns + j]
                        } else {
                            [i * columns + near, i * columns + far]
                        };
                        let mut with = table.values[a] + table.values[b];
                        if with <= table.values[at] {
                            continue;
                        }
                        if let Some(limits) = limits {
                            looks += kinds / 3;
                            with -= table.excess([a, b], values, limits);
                            if with <= table.values[at] {
                                continue;
                            }
                            looks += kinds / 2;
                            table.put_together([a, b], at, limits);
                        }
                        table.values[at] = with;
                        table.becomes[at] = Becomes::Two(axis, near as u32);
                    }
                }
            }
        }
        work.spend(looks * 5 + rows * columns * (20 + kinds));
        table
    }

    /// The nested pieces of a size.
    fn cell(&self, table: &Table, at: usize) -> Option<Cell> {
        let columns = self.grids[1].len();
        match table.becomes[at] {
            Becomes::Nothing => None,
            Becomes::Part(way) => {
                let Way { kind, turned, .. } = self.ways[way as usize];
                Some(Cell::Leaf { kind, turned })
            }
            Becomes::Smaller(axis) => self.cell(table, at - [columns, 1][axis]),
            Becomes::Two(axis, near) => {
                let (i, j) = (at / columns, at % columns);
                let (grid, near) = (&self.grids[axis], near as usize);
                let far = grid.before([i, j][axis], grid.steps(grid.points[near]));
                let cells = [near, far].map(|along| {
                    let at = if axis == 0 {
                        along * columns + j
                    } else {
                        i * columns + along
                    };
                    Some((grid.points[along], self.cell(table, at)?))
                });
                let cells = cells.into_iter().flatten().collect();
                Some(Cell::Split { axis, cells })
            }
        }
    }

    fn count(&self, cell: &Cell, used: &mut [u32]) {
        match cell {
            Cell::Leaf { kind, .. } => used[*kind] += 1,
            Cell::Split { cells, .. } => cells.iter().for_each(|(_, c)| self.count(c, used)),
        }
    }
}

impl Table {
    fn kinds(&self) -> usize {
        self.counts.len() / self.values.len()
    }

    /// What two pieces are worth in parts beyond the limits.
    fn excess(&self, of: [usize; 2], values: &[i64], limits: &[u32]) -> i64 {
        let kinds = self.kinds();
        let [a, b] = of.map(|at| &self.counts[at * kinds..(at + 1) * kinds]);
        a.iter()
            .zip(b)
            .zip(values.iter().zip(limits))
            .map(|((a, b), (value, limit))| {
                let over = (u32::from(*a) + u32::from(*b)).saturating_sub(*limit);
                value * i64::from(over)
            })
            .sum()
    }

    fn put_together(&mut self, of: [usize; 2], at: usize, limits: &[u32]) {
        let kinds = self.kinds();
        for (kind, limit) in limits.iter().enumerate() {
            let [a, b] = of.map(|of| u32::from(self.counts[of * kinds + kind]));
            let n = (a + b).min(*limit);
            self.counts[at * kinds + kind] = u16::try_from(n).unwrap_or(u16::MAX);
        }
    }
}
