//! Three stages: rows of parts, strips of rows, the sheet of strips.

use super::{Priced, Pricer, Wanted, Way, take};
use crate::cutting::knapsack::{Good, put_once, unbounded, unbounded_goods, unbounded_value};
use crate::cutting::pattern::Cell;
use crate::cutting::work::Work;

impl Pricer {
    /// The best pattern of three stages.
    pub(super) fn three(&self, wanted: Wanted<'_>, above: i64, work: &mut Work) -> Priced {
        let Wanted { values, limits, .. } = wanted;
        let widest = self.widest;
        let ways: Vec<Way> = self.of_worth(values, limits).copied().collect();
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
        let (strips, sheet, left_out) = self.strips(&rows, end, above, work);
        let found = sheet.last().copied().unwrap_or(0);
        let value = if left_out { found.max(above) } else { found };
        let mut roots = Vec::new();
        for chosen in self.choices(&strips, &sheet, above) {
            let mut left = limits.to_vec();
            let mut cells = Vec::new();
            for i in chosen {
                let wide = strips[i].extent;
                if let Some(strip) = self.strip(wide, &ways, &rows, wanted, &mut left, work) {
                    cells.push((wide, strip));
                }
            }
            let axis = self.axis;
            roots.push(Cell::Split { axis, cells });
        }
        Priced { value, roots }
    }

    /// The strips that are worth more than narrower ones together and that a sheet worth more than
    /// `above` can have, the best value of the sheet by point, and whether strips were left out because
    /// of `above`. A strip is only looked at where the
    /// value of some row grows, and only if rows taken in parts would make it worth enough.
    fn strips(
        &self,
        rows: &[(i64, Vec<i64>)],
        end: usize,
        above: i64,
        work: &mut Work,
    ) -> (Vec<Good>, Vec<i64>, bool) {
        const MORE: f64 = 1.0 + 1e-12;
        let size = self.size;
        let paid: Vec<f64> = rows.iter().map(|(x, _)| MORE / *x as f64).collect();
        // By point: what a strip is worth at most; nothing where no row grows.
        let mut most = vec![0.0; self.u.len()];
        let mut dearest = 0.0_f64;
        for s in 1..=end {
            let (mut best, mut grows) = (0.0_f64, false);
            for ((_, row), paid) in rows.iter().zip(&paid) {
                best = best.max(row[s] as f64 * paid);
                grows |= row[s] != row[s - 1];
            }
            if grows {
                most[s] = best * size[1] as f64;
                dearest = dearest.max(most[s] * MORE / self.u.points[s] as f64);
            }
        }
        let mut looks = rows.len() * end;
        let (mut steps, mut left_out) = (0, false);
        let mut strips: Vec<Good> = Vec::new();
        let mut wide: Vec<u32> = Vec::new();
        let mut sheet = vec![0_i64; self.u.len()];
        for s in 1..sheet.len() {
            let point = self.u.points[s];
            let mut best = sheet[s - 1];
            for (strip, steps) in strips.iter().zip(&wide) {
                let with = sheet[self.u.before(s, *steps)].wrapping_add(strip.value);
                best = best.max(with);
            }
            looks += strips.len();
            sheet[s] = best;
            let beside = (dearest * (size[0] - point) as f64) as i64 + 1;
            let need = best.max(above.saturating_sub(beside));
            if (most[s] as i64) < need {
                left_out |= most[s] as i64 >= best;
                continue;
            }
            left_out |= need > best;
            let mut goods = self.rows_of(rows, s);
            looks += 4 * rows.len();
            useful(&mut goods, size[1], need);
            let limit = goods.len() * self.v.len() / 8;
            let mut left = limit;
            let value = match unbounded_value(&goods, size[1], need, &mut left) {
                Some(value) => value,
                None => {
                    looks += goods.len() * self.v.len();
                    unbounded(&self.v, &goods).last().copied().unwrap_or(0)
                }
            };
            steps += limit - left + goods.len();
            if value > need {
                sheet[s] = value;
                wide.push(self.u.steps(point));
                strips.push(Good {
                    extent: point,
                    value,
                    limit: u32::MAX,
                });
            }
        }
        work.spend(looks * 4 + steps * 30);
        (strips, sheet, left_out)
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

    /// The best rows of a strip; where the pattern is to be proper, of what is left.
    fn strip(
        &self,
        wide: i64,
        ways: &[Way],
        rows: &[(i64, Vec<i64>)],
        wanted: Wanted<'_>,
        left: &mut [u32],
        work: &mut Work,
    ) -> Option<Cell> {
        let goods = self.rows_of(rows, self.u.at(wide));
        let table = unbounded(&self.v, &goods);
        work.spend(goods.len() * self.v.len() * 5 / 2);
        let chosen = unbounded_goods(&self.v, &goods, &table, self.size[1]);
        let mut cells = Vec::new();
        for i in chosen {
            let x = goods[i].extent;
            let suits = |w: &&Way| if self.trims { w.v <= x } else { w.v == x };
            let mine: Vec<Way> = ways.iter().filter(suits).copied().collect();
            let parts: Vec<Good> = mine
                .iter()
                .map(|w| Self::good(w, w.u, wanted.values, left))
                .collect();
            let (_, counts) = Self::line(&self.u, &parts, wide, work);
            if wanted.proper {
                take(left, &mine, &counts);
            }
            let mut row = Vec::new();
            for (way, n) in mine.iter().zip(&counts).rev() {
                row.extend((0..*n).map(|_| (way.u, Self::leaf(way))));
            }
            if row.is_empty() {
                continue;
            }
            let axis = self.axis;
            cells.push((x, Cell::Split { axis, cells: row }));
        }
        let axis = 1 - self.axis;
        (!cells.is_empty()).then_some(Cell::Split { axis, cells })
    }
}

/// Leaves of rows those that a strip worth more than `need` can have, best paid first.
fn useful(goods: &mut Vec<Good>, size: i64, need: i64) {
    let ratio = |g: &Good| g.value as f64 / g.extent as f64;
    let better = |a: Good, b: Good| if ratio(&b) >= ratio(&a) { b } else { a };
    let Some(pays) = goods.iter().copied().reduce(better) else {
        return;
    };
    let most = ratio(&pays) * (1.0 + 1e-12);
    goods.retain(|g| {
        let fits = g.value + (most * (size - g.extent) as f64) as i64 + 1 > need;
        // One that is worth no more than the best paid as often as it is wide is not needed.
        let own = g.extent == pays.extent || g.value > g.extent / pays.extent * pays.value;
        fits && own
    });
    goods.sort_by(|a, b| ratio(b).total_cmp(&ratio(a)).then(b.extent.cmp(&a.extent)));
}
