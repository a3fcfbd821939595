//! The most valuable pattern of a sheet, by dynamic programming over stages (Gilmore & Gomory 1965,
//! Operations Research 13; Beasley 1985, JORS 36; from memory).
//!
//! Strips follow each other along `u`, rows of a strip along `v`, parts of a row along `u`. A row as
//! wide as `x` and as long as `s` holds the best bounded knapsack `K(x, s)` of the parts that are no
//! wider; a strip the best unbounded knapsack of rows `(x, K(x, s))`; the sheet that of strips. Only
//! the demand across rows is relaxed, so the value is never less than that of a true pattern.

use super::grid::Grid;
use super::job::Job;
use super::knapsack::{
    Good, bounded, branch, put_once, unbounded, unbounded_goods, unbounded_value,
};
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

/// The best pattern found.
#[derive(Clone, Debug)]
pub(super) struct Priced {
    /// No pattern of the bin along the axis is worth more.
    pub value: i64,
    /// The pattern, unless it is worth no more than asked.
    pub root: Option<Cell>,
}

impl Pricer {
    /// `None` if strips may not follow each other along the axis, or sizes are too large for a grid.
    pub fn new(job: &Job, bin: usize, axis: usize) -> Option<Pricer> {
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
                u: s[axis],
                v: s[1 - axis],
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

    /// A good pattern of strips that take no more than two fifths of the sheet; nothing is proven by
    /// it, but it is found much sooner. `None` if none is worth more than `above`.
    pub fn narrow(
        &self,
        values: &[i64],
        limits: &[u32],
        above: i64,
        work: &mut Work,
    ) -> Option<Cell> {
        self.three(values, limits, above, self.size[0] * 2 / 5, work)
            .root
    }

    /// Whether looking at narrow strips first is worth it.
    pub fn can_be_narrow(&self) -> bool {
        let large = self.u.len() * self.v.len() > 400_000;
        large && matches!(self.stages, Stages::Three | Stages::Any)
    }

    /// The best pattern by the values of the kinds, with at most `limits` of each in a row.
    pub fn price(&self, values: &[i64], limits: &[u32], above: i64, work: &mut Work) -> Priced {
        match self.stages {
            Stages::One => self.one(values, limits, above, work),
            Stages::Two => self.two(values, limits, above, work),
            Stages::Three | Stages::Any => self.three(values, limits, above, self.widest, work),
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

    /// The knapsack of ways along `v`, by whichever method is quicker.
    fn line(
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
        let bundles: usize = goods.iter().map(|g| g.bundles(self.size[1]).count()).sum();
        let table = bundles * self.v.len();
        let tried = branch(&goods, self.size[1], table / 8, 0.0);
        work.spend(tried.steps * 2 + goods.len() * 8);
        if tried.proven {
            return (tried.value, tried.counts);
        }
        work.spend(table * 2);
        bounded(&self.v, &goods, self.size[1])
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
        work.spend(found.steps * 2 + goods.len() * 8);
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

    fn one(&self, values: &[i64], limits: &[u32], above: i64, work: &mut Work) -> Priced {
        let ways: Vec<Way> = self.of_worth(values, limits).copied().collect();
        let (value, counts) = self.line(&ways, values, limits, work);
        let root = (value > above).then(|| self.single(self.laid(&ways, &counts)));
        Priced { value, root }
    }

    fn two(&self, values: &[i64], limits: &[u32], above: i64, work: &mut Work) -> Priced {
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
                work.spend(table.len() * 3 / 2);
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
        let root = (value > above).then(|| {
            let chosen = unbounded_goods(&self.u, &strips, &sheet, self.size[0]);
            let mut cells = Vec::new();
            for i in chosen {
                let wide = strips[i].extent;
                let suits = |w: &&Way| if self.trims { w.u <= wide } else { w.u == wide };
                let mine: Vec<Way> = ways.iter().filter(suits).copied().collect();
                let (_, counts) = self.line(&mine, values, limits, work);
                let strip = Cell::Split {
                    axis: 1 - self.axis,
                    cells: self.laid(&mine, &counts),
                };
                cells.push((wide, strip));
            }
            Cell::Split {
                axis: self.axis,
                cells,
            }
        });
        Priced { value, root }
    }

    fn three(
        &self,
        values: &[i64],
        limits: &[u32],
        above: i64,
        widest: i64,
        work: &mut Work,
    ) -> Priced {
        let ways: Vec<Way> = self
            .of_worth(values, limits)
            .filter(|w| w.u <= widest)
            .copied()
            .collect();
        let end = self.u.at(widest.min(self.size[0]));
        // Rows: by width x, the value for every length.
        let mut rows: Vec<(i64, Vec<i64>)> = Vec::new();
        let mut table = vec![0; end + 1];
        for (i, way) in ways.iter().enumerate() {
            if !self.trims && i > 0 && ways[i - 1].v != way.v {
                table.fill(0);
            }
            for (_, bundle) in Self::good(way, way.u, values, limits).bundles(widest) {
                put_once(&self.u, &mut table, bundle);
                work.spend(table.len() * 3 / 2);
            }
            if ways.get(i + 1).is_none_or(|next| next.v != way.v) {
                rows.push((way.v, table.clone()));
            }
        }
        let (strips, sheet) = self.strips(&rows, end, work);
        let value = sheet.last().copied().unwrap_or(0);
        let root = (value > above).then(|| {
            let chosen = unbounded_goods(&self.u, &strips, &sheet, self.size[0]);
            let cells = chosen
                .into_iter()
                .map(|i| {
                    let wide = strips[i].extent;
                    (wide, self.strip(wide, &ways, &rows, values, limits, work))
                })
                .collect();
            Cell::Split {
                axis: self.axis,
                cells,
            }
        });
        Priced { value, root }
    }

    /// The strips that are worth more than narrower ones together, and the best value of the sheet
    /// by point. A strip is only looked at where the value of some row grows, and only if not even
    /// rows taken in parts make it useless.
    fn strips(
        &self,
        rows: &[(i64, Vec<i64>)],
        end: usize,
        work: &mut Work,
    ) -> (Vec<Good>, Vec<i64>) {
        let size = self.size[1];
        let mut strips: Vec<Good> = Vec::new();
        let mut sheet = vec![0_i64; self.u.len()];
        let (mut looks, mut steps) = (0, 0);
        for s in 1..sheet.len() {
            let point = self.u.points[s];
            let mut best = sheet[s - 1];
            for strip in &strips {
                let with = sheet[self.u.at(point - strip.extent)].wrapping_add(strip.value);
                best = best.max(with);
            }
            looks += strips.len();
            sheet[s] = best;
            if s > end || rows.iter().all(|(_, row)| row[s] == row[s - 1]) {
                continue;
            }
            let mut goods = self.rows_of(rows, s);
            let most = goods
                .iter()
                .map(|g| g.value as f64 / g.extent as f64)
                .fold(0.0, f64::max);
            looks += 2 * rows.len();
            if ((most * size as f64 * (1.0 + 1e-12)) as i64) < best {
                continue;
            }
            goods.sort_by(|a, b| {
                let ratio = |g: &Good| g.value as f64 / g.extent as f64;
                ratio(b).total_cmp(&ratio(a)).then(b.extent.cmp(&a.extent))
            });
            let limit = goods.len() * self.v.len() / 8;
            let mut left = limit;
            let value = match unbounded_value(&goods, size, &mut left) {
                Some(value) => value,
                None => {
                    looks += goods.len() * self.v.len();
                    unbounded(&self.v, &goods).last().copied().unwrap_or(0)
                }
            };
            steps += limit - left + goods.len();
            if value > best {
                sheet[s] = value;
                strips.push(Good {
                    extent: point,
                    value,
                    limit: u32::MAX,
                });
            }
        }
        work.spend(looks * 3 / 2 + steps * 12);
        (strips, sheet)
    }

    /// Rows of a length that are worth more than every narrower one.
    fn rows_of(&self, rows: &[(i64, Vec<i64>)], s: usize) -> Vec<Good> {
        let mut goods: Vec<Good> = Vec::new();
        for (x, row) in rows {
            let value = row[s];
            if value > goods.last().map_or(0, |g| g.value) {
                goods.push(Good {
                    extent: *x,
                    value,
                    limit: u32::MAX,
                });
            }
        }
        goods
    }

    fn strip(
        &self,
        wide: i64,
        ways: &[Way],
        rows: &[(i64, Vec<i64>)],
        values: &[i64],
        limits: &[u32],
        work: &mut Work,
    ) -> Cell {
        let goods = self.rows_of(rows, self.u.at(wide));
        let table = unbounded(&self.v, &goods);
        let chosen = unbounded_goods(&self.v, &goods, &table, self.size[1]);
        let mut cells = Vec::new();
        for i in chosen {
            let x = goods[i].extent;
            let suits = |w: &&Way| if self.trims { w.v <= x } else { w.v == x };
            let mine: Vec<Way> = ways.iter().filter(suits).copied().collect();
            let parts: Vec<Good> = mine
                .iter()
                .map(|w| Self::good(w, w.u, values, limits))
                .collect();
            let (_, counts) = bounded(&self.u, &parts, wide);
            work.spend(parts.len() * self.u.at(wide) * 4);
            let mut row = Vec::new();
            for (way, n) in mine.iter().zip(&counts).rev() {
                row.extend((0..*n).map(|_| (way.u, Self::leaf(way))));
            }
            let row = Cell::Split {
                axis: self.axis,
                cells: row,
            };
            cells.push((x, row));
        }
        Cell::Split {
            axis: 1 - self.axis,
            cells,
        }
    }
}
