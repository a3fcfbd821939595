//! The most valuable pattern of a sheet, by dynamic programming over stages (Gilmore & Gomory 1965,
//! Operations Research 13; Beasley 1985, JORS 36; from memory).
//!
//! Strips follow each other along `u`, rows of a strip along `v`, parts of a row along `u`. A row as
//! wide as `x` and as long as `s` holds the best bounded knapsack `K(x, s)` of the parts that are no
//! wider; a strip the best unbounded knapsack of rows `(x, K(x, s))`; the sheet that of strips. Only
//! the demand across rows is relaxed, so the value is never less than that of a true pattern.

mod three;

use super::grid::{Grid, Round};
use super::job::Job;
use super::knapsack::{Good, bounded, branch, put_once, unbounded, unbounded_goods};
use super::pattern::Cell;
use super::problem::Stages;
use super::work::Work;

/// A way a kind may lie, as a good.
#[derive(Clone, Copy, Debug)]
struct Way {
    kind: usize,
    turned: bool,
    u: i64,
    v: i64,
}

/// What pricing one bin with strips along one axis needs again and again.
#[derive(Clone, Debug)]
pub(super) struct Pricer {
    pub bin: usize,
    pub axis: usize,
    stages: Stages,
    trims: bool,
    size: [i64; 2],
    widest: i64,
    /// By extent along `v`, then `u`.
    ways: Vec<Way>,
    u: Grid,
    v: Grid,
}

/// Patterns given at most.
const MANY: usize = 3;

/// What a pattern is priced by.
#[derive(Clone, Copy, Debug)]
struct Wanted<'a> {
    /// Value of each kind.
    values: &'a [i64],
    /// How many of each there may be in a row.
    limits: &'a [u32],
    /// Whether that holds for the whole pattern.
    proper: bool,
}

/// The best pattern found.
#[derive(Clone, Debug)]
pub(super) struct Priced {
    /// No pattern of the bin along the axis is worth more.
    pub value: i64,
    /// Patterns worth more than asked, the best first and then some with other strips; none if there
    /// are none.
    pub roots: Vec<Cell>,
}

impl Pricer {
    /// `None` if strips may not follow each other along the axis, or sizes are too large for a grid.
    pub fn new(job: &Job, bin: usize, axis: usize) -> Option<Pricer> {
        Self::rounded(job, bin, axis, [Round::Exact; 2])
    }

    /// With sizes along `u` and `v` rounded to steps: up, so that patterns are true ones though perhaps
    /// not the best, or down, so that values are never less than those of true patterns.
    fn rounded(job: &Job, bin: usize, axis: usize, to: [Round; 2]) -> Option<Pricer> {
        let of = &job.bins[bin];
        if !of.first[axis] {
            return None;
        }
        let size = [of.size[axis], of.size[1 - axis]];
        let mut ways: Vec<Way> = job
            .kinds
            .iter()
            .enumerate()
            .flat_map(|(kind, k)| k.ways().map(move |(turned, s)| (kind, turned, s)))
            .map(|(kind, turned, s)| Way {
                kind,
                turned,
                u: to[0].of(s[axis]),
                v: to[1].of(s[1 - axis]),
            })
            .filter(|w| w.u <= size[0].min(of.widest[axis]) && w.v <= size[1])
            .filter(|w| job.stages != Stages::One || job.trimming || w.u == size[0])
            .collect();
        ways.sort_by_key(|w| (w.v, w.u, w.kind));
        let us: Vec<i64> = ways.iter().map(|w| w.u).collect();
        let vs: Vec<i64> = ways.iter().map(|w| w.v).collect();
        Some(Pricer {
            bin,
            axis,
            stages: job.stages,
            trims: job.trimming,
            size,
            widest: of.widest[axis],
            u: Grid::new(&us, size[0])?,
            v: Grid::new(&vs, size[1])?,
            ways,
        })
    }

    /// Units of work that making it took.
    pub fn made(&self) -> usize {
        self.u.made() + self.v.made()
    }

    /// The same with so many steps for a side of the sheet, which is much sooner priced; `None` where
    /// the sizes themselves make few enough points, and where parts must fit strips exactly.
    pub fn coarser(&self, job: &Job, steps: i64, up: bool) -> Option<Pricer> {
        let staged = !matches!(self.stages, Stages::One);
        if !staged || !self.trims || self.u.len().max(self.v.len()) as i64 <= steps * 3 / 2 {
            return None;
        }
        let sizes = |axis: usize| {
            let ways = self.ways.iter().map(move |w| [w.u, w.v][axis]);
            ways.collect::<Vec<i64>>()
        };
        let to = [0, 1].map(|axis| Round::to_steps(&sizes(axis), self.size[axis], steps, up));
        let coarse = Self::rounded(job, self.bin, self.axis, to)?;
        (!coarse.ways.is_empty()).then_some(coarse)
    }

    /// The best pattern by the values of the kinds, with at most `limits` of each in a row; if `proper`
    /// the pattern is changed to have at most so many of each in all, and may then be worth less.
    pub fn price(
        &self,
        values: &[i64],
        limits: &[u32],
        above: i64,
        proper: bool,
        work: &mut Work,
    ) -> Priced {
        let wanted = Wanted {
            values,
            limits,
            proper,
        };
        match self.stages {
            Stages::One => self.one(wanted, above, work),
            Stages::Two => self.two(wanted, above, work),
            Stages::Three | Stages::Any => self.three(wanted, above, work),
        }
    }

    fn good(way: &Way, extent: i64, values: &[i64], limits: &[u32]) -> Good {
        Good {
            extent,
            value: values[way.kind],
            limit: limits[way.kind],
        }
    }

    fn of_worth<'a>(
        &'a self,
        values: &'a [i64],
        limits: &'a [u32],
    ) -> impl Iterator<Item = &'a Way> {
        self.ways
            .iter()
            .filter(|w| values[w.kind] > 0 && limits[w.kind] > 0)
    }

    fn leaf(way: &Way) -> Cell {
        Cell::Leaf {
            kind: way.kind,
            turned: way.turned,
        }
    }

    /// The knapsack of goods along a line, by whichever method is quicker.
    fn line(grid: &Grid, goods: &[Good], size: i64, work: &mut Work) -> (i64, Vec<u32>) {
        let bundles: usize = goods.iter().map(|g| g.bundles(size).count()).sum();
        let table = bundles * (grid.at(size) + 1);
        let tried = branch(goods, size, table / 8, 0.0);
        work.spend(500 + tried.steps * 12 + goods.len() * 50);
        if tried.proven {
            return (tried.value, tried.counts);
        }
        work.spend(table * 3);
        bounded(grid, goods, size)
    }

    /// The knapsack of ways along `v`.
    fn line_of(
        &self,
        ways: &[Way],
        values: &[i64],
        limits: &[u32],
        work: &mut Work,
    ) -> (i64, Vec<u32>) {
        let goods: Vec<Good> = ways
            .iter()
            .map(|w| Self::good(w, w.v, values, limits))
            .collect();
        Self::line(&self.v, &goods, self.size[1], work)
    }

    /// A good line of ways along `v` for one-dimensional jobs, soon: within a ten-thousandth of the
    /// best, or what so many steps give.
    pub fn soon(
        &self,
        values: &[i64],
        limits: &[u32],
        steps: usize,
        work: &mut Work,
    ) -> Option<Cell> {
        let ways: Vec<Way> = self.of_worth(values, limits).copied().collect();
        let goods: Vec<Good> = ways
            .iter()
            .map(|w| Self::good(w, w.v, values, limits))
            .collect();
        let found = branch(&goods, self.size[1], steps, 1e-4);
        work.spend(300 + found.steps * 10 + goods.len() * 40);
        (found.value > 0).then(|| self.single(self.laid(&ways, &found.counts)))
    }

    fn single(&self, cells: Vec<(i64, Cell)>) -> Cell {
        let strip = Cell::Split {
            axis: 1 - self.axis,
            cells,
        };
        Cell::Split {
            axis: self.axis,
            cells: vec![(self.size[0], strip)],
        }
    }

    fn laid(&self, ways: &[Way], counts: &[u32]) -> Vec<(i64, Cell)> {
        let mut cells = Vec::new();
        for (way, n) in ways.iter().zip(counts).rev() {
            cells.extend((0..*n).map(|_| (way.v, Self::leaf(way))));
        }
        cells
    }

    fn one(&self, wanted: Wanted<'_>, above: i64, work: &mut Work) -> Priced {
        let Wanted { values, limits, .. } = wanted;
        let ways: Vec<Way> = self.of_worth(values, limits).copied().collect();
        let (value, counts) = self.line_of(&ways, values, limits, work);
        let root = (value > above).then(|| self.single(self.laid(&ways, &counts)));
        let roots = root.into_iter().collect();
        Priced { value, roots }
    }

    fn two(&self, wanted: Wanted<'_>, above: i64, work: &mut Work) -> Priced {
        let Wanted { values, limits, .. } = wanted;
        let mut ways: Vec<Way> = self.of_worth(values, limits).copied().collect();
        ways.sort_by_key(|w| w.u);
        let mut table = vec![0; self.v.len()];
        let mut strips: Vec<Good> = Vec::new();
        let end = self.v.len() - 1;
        for (i, way) in ways.iter().enumerate() {
            if !self.trims && i > 0 && ways[i - 1].u != way.u {
                table.fill(0);
            }
            for (_, bundle) in Self::good(way, way.v, values, limits).bundles(self.size[1]) {
                put_once(&self.v, &mut table, bundle);
                work.spend(table.len() * 2);
            }
            if ways.get(i + 1).is_none_or(|next| next.u != way.u)
                && table[end]
                    > strips
                        .last()
                        .map_or(0, |s| if self.trims { s.value } else { 0 })
            {
                strips.push(Good {
                    extent: way.u,
                    value: table[end],
                    limit: u32::MAX,
                });
            }
        }
        let sheet = unbounded(&self.u, &strips);
        work.spend(strips.len() * self.u.len());
        let value = sheet.last().copied().unwrap_or(0);
        let mut roots = Vec::new();
        for chosen in self.choices(&strips, &sheet, above) {
            let mut cells = Vec::new();
            let mut left = limits.to_vec();
            for i in chosen {
                let wide = strips[i].extent;
                let suits = |w: &&Way| if self.trims { w.u <= wide } else { w.u == wide };
                let mine: Vec<Way> = ways.iter().filter(suits).copied().collect();
                let (_, counts) = self.line_of(&mine, values, &left, work);
                if wanted.proper {
                    take(&mut left, &mine, &counts);
                }
                let strip = self.laid(&mine, &counts);
                if strip.is_empty() {
                    continue;
                }
                let axis = 1 - self.axis;
                cells.push((wide, Cell::Split { axis, cells: strip }));
            }
            let axis = self.axis;
            roots.push(Cell::Split { axis, cells });
        }
        Priced { value, roots }
    }

    /// Which strips make up the sheets worth more than `above`: the best, then the best that begin with
    /// a strip that was in none before.
    fn choices(&self, strips: &[Good], sheet: &[i64], above: i64) -> Vec<Vec<usize>> {
        let beside = |i: usize| self.size[0] - strips[i].extent;
        let mut firsts: Vec<(i64, usize)> = (0..strips.len())
            .map(|i| (strips[i].value + sheet[self.u.at(beside(i))], i))
            .filter(|(value, _)| *value > above)
            .collect();
        firsts.sort_by_key(|(value, i)| (std::cmp::Reverse(*value), *i));
        let mut out: Vec<Vec<usize>> = Vec::new();
        for (_, i) in firsts {
            if out.len() < MANY && !out.iter().flatten().any(|used| *used == i) {
                let mut chosen = unbounded_goods(&self.u, strips, sheet, beside(i));
                chosen.push(i);
                out.push(chosen);
            }
        }
        out
    }
}

/// Takes what a row has from what is left of each kind. One that lies both ways in a row may be in it
/// more often than there are.
fn take(left: &mut [u32], ways: &[Way], counts: &[u32]) {
    for (way, n) in ways.iter().zip(counts) {
        left[way.kind] = left[way.kind].saturating_sub(*n);
    }
}
