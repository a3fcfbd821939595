//! Knapsacks: the best of parts along one line. By dynamic programming over a grid, or by branch and
//! bound where few parts fit (Gilmore & Gomory 1966, Operations Research 14; Martello & Toth 1990,
//! Knapsack Problems; from memory). Values are integers: what is calculated here is proof.

use super::grid::Grid;

/// Something that can be put in, several times.
#[derive(Clone, Copy, Debug)]
pub(super) struct Good {
    pub extent: i64,
    pub value: i64,
    pub limit: u32,
}

impl Good {
    /// Bundles of 1, 2, 4 ... up to the limit: any number is a sum of bundles.
    pub fn bundles(self, size: i64) -> impl Iterator<Item = (u32, Good)> {
        let most = i64::from(self.limit).min(size / self.extent);
        let mut left = u32::try_from(most).unwrap_or(0);
        let mut next = 1;
        std::iter::from_fn(move || {
            let n = next.min(left);
            left -= n;
            next *= 2;
            let good = Good {
                extent: self.extent * i64::from(n),
                value: self.value * i64::from(n),
                limit: 1,
            };
            (n > 0).then_some((n, good))
        })
    }
}

/// Puts one bundle on a table of best values by point, at most once.
pub(super) fn put_once(grid: &Grid, table: &mut [i64], good: Good) {
    let (first, steps) = (grid.from(good.extent), grid.steps(good.extent));
    for p in (first..table.len()).rev() {
        let with = table[grid.before(p, steps)].wrapping_add(good.value);
        if with > table[p] {
            table[p] = with;
        }
    }
}

/// The same, noting where it pays.
pub(super) fn put_once_noting(grid: &Grid, table: &mut [i64], good: Good, notes: &mut [bool]) {
    let (first, steps) = (grid.from(good.extent), grid.steps(good.extent));
    for p in (first..table.len()).rev() {
        let with = table[grid.before(p, steps)] + good.value;
        if with > table[p] {
            table[p] = with;
            notes[p] = true;
        }
    }
}

/// Which goods, how often, give the best value up to a size: value and counts in order of `goods`.
pub(super) fn bounded(grid: &Grid, goods: &[Good], size: i64) -> (i64, Vec<u32>) {
    let end = grid.at(size);
    let mut table = vec![0; end + 1];
    let mut notes: Vec<(usize, u32, i64, Vec<bool>)> = Vec::new();
    for (i, good) in goods.iter().enumerate() {
        if good.value <= 0 || good.extent > size {
            continue;
        }
        for (n, bundle) in good.bundles(size) {
            let mut pays = vec![false; end + 1];
            put_once_noting(grid, &mut table, bundle, &mut pays);
            notes.push((i, n, bundle.extent, pays));
        }
    }
    let mut counts = vec![0; goods.len()];
    let mut at = end;
    for (i, n, extent, pays) in notes.iter().rev() {
        if pays[at] {
            counts[*i] += n;
            at = grid.at(grid.points[at] - extent);
        }
    }
    (table[end], counts)
}

/// Best value by point when each good may be used any number of times.
pub(super) fn unbounded(grid: &Grid, goods: &[Good]) -> Vec<i64> {
    let mut table = vec![0_i64; grid.len()];
    for good in goods {
        let (first, steps) = (grid.from(good.extent), grid.steps(good.extent));
        for p in first..table.len() {
            let with = table[grid.before(p, steps)].wrapping_add(good.value);
            if with > table[p] {
                table[p] = with;
            }
        }
    }
    table
}

/// Which goods make up the best value of an unbounded table up to a size.
pub(super) fn unbounded_goods(grid: &Grid, goods: &[Good], table: &[i64], size: i64) -> Vec<usize> {
    let mut out = Vec::new();
    let mut at = grid.at(size);
    while table[at] > 0 {
        let found = goods.iter().enumerate().find_map(|(i, good)| {
            let rest = grid.points[at] - good.extent;
            (rest >= 0 && table[grid.at(rest)] + good.value == table[at])
                .then(|| (i, grid.at(rest)))
        });
        match found {
            Some((i, rest)) => {
                out.push(i);
                at = rest;
            }
            // The value comes from a smaller point.
            None => at -= 1,
        }
    }
    out
}

/// What branch and bound came to.
#[derive(Clone, Debug)]
pub(super) struct Branched {
    pub value: i64,
    /// In order of the goods.
    pub counts: Vec<u32>,
    /// Whether nothing is better.
    pub proven: bool,
    pub steps: usize,
}

/// The same as [`bounded`] by depth-first branch and bound, without a grid, in at most so many steps;
/// ends early within `near` of the bound (0 for the best).
pub(super) fn branch(goods: &[Good], size: i64, steps: usize, near: f64) -> Branched {
    let mut order: Vec<usize> = (0..goods.len())
        .filter(|i| goods[*i].value > 0 && goods[*i].limit > 0 && goods[*i].extent <= size)
        .collect();
    order.sort_by(|a, b| {
        let left = i128::from(goods[*a].value) * i128::from(goods[*b].extent);
        let right = i128::from(goods[*b].value) * i128::from(goods[*a].extent);
        right
            .cmp(&left)
            .then(goods[*b].extent.cmp(&goods[*a].extent))
            .then(a.cmp(b))
    });
    let sorted: Vec<Good> = order.iter().map(|i| goods[*i]).collect();
    // The least extent from here on: nothing fits below it.
    let mut least = vec![i64::MAX; sorted.len() + 1];
    for i in (0..sorted.len()).rev() {
        least[i] = least[i + 1].min(sorted[i].extent);
    }
    let most = sorted
        .first()
        .map_or(0.0, |g| size as f64 * g.value as f64 / g.extent as f64);
    let mut state = Branch {
        goods: &sorted,
        least: &least,
        counts: vec![0; sorted.len()],
        best: 0,
        best_counts: vec![0; sorted.len()],
        left: steps,
        enough: if near > 0.0 {
            (most * (1.0 - near)) as i64
        } else {
            i64::MAX
        },
    };
    let proven = state.go(0, size, 0);
    let steps = steps - state.left;
    let mut counts = vec![0; goods.len()];
    for (i, n) in order.iter().zip(&state.best_counts) {
        counts[*i] = *n;
    }
    Branched {
        value: state.best,
        counts,
        proven,
        steps,
    }
}

struct Branch<'a> {
    goods: &'a [Good],
    least: &'a [i64],
    counts: Vec<u32>,
    best: i64,
    best_counts: Vec<u32>,
    left: usize,
    enough: i64,
}

impl Branch<'_> {
    /// Whether the search went to its end.
    fn go(&mut self, from: usize, room: i64, value: i64) -> bool {
        if value > self.best {
            self.best = value;
            self.best_counts.clone_from(&self.counts);
        }
        for i in from..self.goods.len() {
            if self.least[i] > room {
                return true;
            }
            let good = self.goods[i];
            // Later goods are worth no more for their extent.
            if value.saturating_add(ceiling(room, good)) <= self.best {
                return true;
            }
            if self.left == 0 || self.best >= self.enough {
                return false;
            }
            self.left -= 1;
            let fit = u32::try_from(room / good.extent)
                .unwrap_or(u32::MAX)
                .min(good.limit);
            for n in (1..=fit).rev() {
                self.counts[i] = n;
                let rest = room - good.extent * i64::from(n);
                let ended = self.go(i + 1, rest, value + good.value * i64::from(n));
                self.counts[i] = 0;
                if !ended {
                    return false;
                }
            }
        }
        true
    }
}

/// No less than what an extent filled with a good in parts is worth; a little more, so that rounding
/// never makes it less.
fn ceiling(room: i64, good: Good) -> i64 {
    let exact = room as f64 * (good.value as f64 / good.extent as f64);
    (exact * (1.0 + 1e-12)) as i64 + 1
}

/// The best value up to a size when each good may be used any number of times, by branch and bound;
/// `None` after so many steps; `least` if it is no more than that. `goods` come in falling order of value
/// by extent.
pub(super) fn unbounded_value(
    goods: &[Good],
    size: i64,
    least: i64,
    steps: &mut usize,
) -> Option<i64> {
    let shortest = goods.iter().map(|g| g.extent).min().unwrap_or(i64::MAX);
    let mut best = least;
    repeat(goods, shortest, size, 0, &mut best, steps).then_some(best)
}

fn repeat(
    goods: &[Good],
    least: i64,
    room: i64,
    value: i64,
    best: &mut i64,
    steps: &mut usize,
) -> bool {
    *best = (*best).max(value);
    if room < least {
        return true;
    }
    for (i, good) in goods.iter().enumerate() {
        if good.extent > room {
            continue;
        }
        if value.saturating_add(ceiling(room, *good)) <= *best {
            return true;
        }
        if *steps == 0 {
            return false;
        }
        *steps -= 1;
        for n in (1..=room / good.extent).rev() {
            let rest = room - good.extent * n;
            if !repeat(
                &goods[i + 1..],
                least,
                rest,
                value + good.value * n,
                best,
                steps,
            ) {
                return false;
            }
        }
    }
    true
}
