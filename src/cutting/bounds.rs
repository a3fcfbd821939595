//! Bounds that hold for every layout, whatever the cuts: by area, and by dual feasible functions.
//!
//! A dual feasible function maps sizes to sizes so that whatever fitted before still fits. Applied to
//! both sides of every part it gives a rectangle whose area counts instead of its own (Fekete &
//! Schepers 2001, Mathematical Programming 91; Boschetti & Mingozzi 2003, 4OR 1; from memory). With
//! several sheet sizes a part counts by the largest sheets' sides, and each sheet by its own area
//! under the function. A part that may turn counts by the smaller of its two images.

use super::job::Job;
use super::work::Work;
use std::collections::BTreeMap;

/// The functions, on sizes of 0 to a capacity; each maps the capacity to at most the second figure.
#[derive(Clone, Copy, Debug)]
enum Stretch {
    /// As it is.
    Plain,
    /// `u(k)`: multiples of `1/(k+1)` stay, the rest is rounded down to multiples of `1/k`.
    Rounding(i64),
    /// `U(e)`: more than `C - e` counts as everything, less than `e` as nothing.
    Threshold(i64),
    /// `phi(e)`: how many of `e` fit, counted from both ends.
    Counting(i64),
}

impl Stretch {
    /// The image of a size and of the capacity.
    fn of(self, size: i64, cap: i64) -> (i64, i64) {
        match self {
            Stretch::Plain => (size, cap),
            Stretch::Rounding(k) => {
                let whole = (k + 1) * size;
                if whole % cap == 0 {
                    (size * k, cap * k)
                } else {
                    (whole / cap * cap, cap * k)
                }
            }
            Stretch::Threshold(e) => {
                if size > cap - e {
                    (cap, cap)
                } else if size < e {
                    (0, cap)
                } else {
                    (size, cap)
                }
            }
            Stretch::Counting(e) => {
                let full = cap / e;
                if 2 * size > cap {
                    (2 * (full - (cap - size) / e), 2 * full)
                } else if 2 * size == cap {
                    (full, 2 * full)
                } else {
                    (2 * (size / e), 2 * full)
                }
            }
        }
    }
}

/// The functions worth trying along an axis: thresholds are sizes of parts.
fn stretches(job: &Job, axis: usize, cap: i64) -> Vec<Stretch> {
    let mut out = vec![Stretch::Plain];
    out.extend((1..=6).map(Stretch::Rounding));
    let mut sizes: Vec<i64> = job
        .kinds
        .iter()
        .flat_map(|k| k.ways().map(move |(_, size)| size[axis]))
        .flat_map(|size| [size, cap - size, cap - size + 1])
        .filter(|e| *e > 0 && *e * 2 <= cap)
        .collect();
    sizes.sort_unstable();
    sizes.dedup();
    // So many suffice; evenly spread over what there is.
    let step = sizes.len().div_ceil(60).max(1);
    for e in sizes.into_iter().step_by(step) {
        out.push(Stretch::Threshold(e));
        out.push(Stretch::Counting(e));
    }
    out
}

/// The best of these bounds on the total cost, and whether it is more than the plain area gives.
pub(super) fn any_layout(job: &Job, work: &mut Work) -> (i64, bool) {
    let Some(caps) = (0..2)
        .map(|axis| job.bins.iter().map(|b| b.size[axis]).max())
        .collect::<Option<Vec<i64>>>()
    else {
        return (0, false);
    };
    let along: Vec<Vec<Stretch>> = (0..2).map(|a| stretches(job, a, caps[a])).collect();
    // Images of each way of each kind and of each bin, by function.
    let images = |axis: usize| -> Vec<(Vec<[i64; 2]>, Vec<i64>)> {
        along[axis]
            .iter()
            .map(|f| {
                let of = |size: i64| f.of(size.min(caps[axis]), caps[axis]).0;
                (
                    job.kinds
                        .iter()
                        .map(|k| [of(k.size[axis]), of(k.size[1 - axis])])
                        .collect(),
                    // What a smaller sheet can hold under the function: no more than its image when
                    // the function is superadditive, which all of these are.
                    job.bins.iter().map(|b| of(b.size[axis])).collect(),
                )
            })
            .collect()
    };
    let (ws, hs) = (images(0), images(1));
    let fits: Vec<[bool; 2]> = (0..job.kinds.len())
        .map(|k| ways_that_fit(job, k))
        .collect();
    work.spend(ws.len() * hs.len() * (10 * job.kinds.len() + 40 * job.bins.len()));
    let mut found: Vec<(i64, usize, usize)> = Vec::new();
    let sums = |i: usize, j: usize| -> (i128, Vec<i128>) {
        let (w, h) = (&ws[i], &hs[j]);
        let total = job.kinds.iter().enumerate().map(|(k, kind)| {
            let lying = i128::from(w.0[k][0]) * i128::from(h.0[k][0]);
            let turned = i128::from(w.0[k][1]) * i128::from(h.0[k][1]);
            // One that fits only one way counts that way.
            let image = match fits[k] {
                [true, true] => lying.min(turned),
                [false, true] => turned,
                _ => lying,
            };
            image * i128::from(kind.demand)
        });
        let holds = (0..job.bins.len()).map(|b| i128::from(w.1[b]) * i128::from(h.1[b]));
        (total.sum(), holds.collect())
    };
    for i in 0..ws.len() {
        for j in 0..hs.len() {
            let (total, holds) = sums(i, j);
            found.push((cover(job, total, &holds), i, j));
        }
    }
    let plain = found.first().map_or(0, |f| f.0);
    found.sort_by_key(|(bound, i, j)| (std::cmp::Reverse(*bound), *i, *j));
    // Whole sheets only: worth asking where the bound is near the best.
    let best = found
        .iter()
        .take(20)
        .map(|(bound, i, j)| {
            let (total, holds) = sums(*i, *j);
            whole_cover(job, total, &holds, *bound)
        })
        .max()
        .unwrap_or(0);
    (
        best,
        best > whole_cover(job, sums(0, 0).0, &sums(0, 0).1, plain),
    )
}

fn ways_that_fit(job: &Job, kind: usize) -> [bool; 2] {
    let mut out = [false; 2];
    for (turned, size) in job.kinds[kind].ways() {
        out[usize::from(turned)] = job
            .bins
            .iter()
            .any(|b| size[0] <= b.size[0] && size[1] <= b.size[1]);
    }
    out
}

/// The least cost of sheets that together hold `total`, sheets taken in parts (a fractional knapsack),
/// rounded up.
fn cover(job: &Job, total: i128, holds: &[i128]) -> i64 {
    let mut order: Vec<usize> = (0..job.bins.len()).filter(|b| holds[*b] > 0).collect();
    // Cheapest for what it holds first.
    order.sort_by(|a, b| {
        let left = i128::from(job.bins[*a].cost) * holds[*b];
        let right = i128::from(job.bins[*b].cost) * holds[*a];
        left.cmp(&right).then(a.cmp(b))
    });
    let (mut left, mut cost) = (total, 0_i128);
    for bin in order {
        if left <= 0 {
            break;
        }
        let all = i128::from(job.copies(bin)) * holds[bin];
        let price = i128::from(job.bins[bin].cost);
        if job.bins[bin].copies.is_none() || all >= left {
            cost += (left * price + holds[bin] - 1) / holds[bin];
            left = 0;
        } else {
            cost += i128::from(job.copies(bin)) * price;
            left -= all;
        }
    }
    i64::try_from(cost).unwrap_or(i64::MAX)
}

/// The least cost of whole sheets that together hold `total`: at least `bound`, found by dynamic
/// programming over costs. Where that would take a large table, over the costs that occur; where those are
/// too many: the next multiple of the greatest common divisor of the costs.
pub(super) fn whole_cover(job: &Job, total: i128, holds: &[i128], bound: i64) -> i64 {
    let step = job.bins.iter().fold(0, |g, b| gcd(g, b.cost));
    if step == 0 || bound <= 0 || total <= 0 {
        return bound;
    }
    let up = (bound + step - 1) / step;
    if job
        .bins
        .iter()
        .all(|b| b.cost == job.bins[0].cost && b.copies.is_none())
    {
        return up * step;
    }
    let most = job.bins.iter().map(|b| b.cost / step).max().unwrap_or(1);
    let Some(size) = usize::try_from(up + most + 1)
        .ok()
        .filter(|s| *s <= 1_000_000)
    else {
        let found = few_covers(job, total, holds, up * step);
        return found.unwrap_or(up * step);
    };
    // By cost: the most that sheets of exactly that cost hold; none holds less than nothing.
    let mut table = vec![-1_i128; size];
    table[0] = 0;
    for (bin, holds) in job.bins.iter().zip(holds) {
        let Ok(price) = usize::try_from(bin.cost / step) else {
            continue;
        };
        let mut put = |price: usize, holds: i128, often: bool| {
            let at = price..table.len();
            let mut one = |at: usize| {
                if table[at - price] >= 0 {
                    table[at] = table[at].max(table[at - price] + holds);
                }
            };
            if often {
                at.for_each(&mut one);
            } else {
                at.rev().for_each(&mut one);
            }
        };
        match bin.copies {
            _ if price == 0 => {
                let all = holds * i128::from(bin.copies.unwrap_or(u32::MAX));
                table
                    .iter_mut()
                    .filter(|t| **t >= 0)
                    .for_each(|t| *t += all);
            }
            None => put(price, *holds, true),
            Some(copies) => {
                let mut left = (copies as usize).min(size / price + 1);
                let mut next = 1;
                while left > 0 {
                    let n = next.min(left);
                    put(price * n, holds * n as i128, false);
                    left -= n;
                    next *= 2;
                }
            }
        }
    }
    (up..=up + most)
        .find(|at| usize::try_from(*at).is_ok_and(|at| table[at] >= total))
        .map_or(up * step, |at| at * step)
}

/// Covers looked at one by one, at most.
const FEW: usize = 20_000;

/// The least cost, not below `bound`, of whole sheets that together hold `total`. `None` if there are too
/// many, or a sheet costs nothing.
fn few_covers(job: &Job, total: i128, holds: &[i128], bound: i64) -> Option<i64> {
    let most = bound + job.bins.iter().map(|b| b.cost).max()?;
    // By cost: the most that sheets of that cost hold.
    let mut covers = BTreeMap::from([(0, 0_i128)]);
    let mut looked = 0;
    for (bin, holds) in job.bins.iter().zip(holds) {
        if bin.cost == 0 {
            return None;
        }
        let copies = i64::from(bin.copies.unwrap_or(u32::MAX)).min(most / bin.cost);
        for (cost, held) in covers.clone() {
            for n in (1..=copies).take_while(|n| cost + n * bin.cost <= most) {
                looked += 1;
                if looked > FEW {
                    return None;
                }
                let all = held + i128::from(n) * holds;
                let best = covers.entry(cost + n * bin.cost).or_insert(all);
                *best = all.max(*best);
            }
        }
    }
    let enough = |(cost, held): (&i64, &i128)| (*held >= total).then_some(*cost);
    covers.range(bound..).find_map(enough)
}

/// No layout of the one sheet earns more: parts taken in pieces, best paid by area first (Dantzig
/// 1957, Operations Research 5), rounded down.
pub(super) fn profit_by_area(job: &Job) -> i64 {
    let mut room = job.bins.iter().map(|b| i128::from(b.area())).sum::<i128>();
    let mut order: Vec<usize> = (0..job.kinds.len())
        .filter(|k| job.kinds[*k].profit > 0)
        .collect();
    order.sort_by_key(|k| {
        let kind = &job.kinds[*k];
        (
            std::cmp::Reverse(i128::from(kind.profit) * (1 << 60) / i128::from(kind.area())),
            *k,
        )
    });
    let mut profit = 0_i128;
    for k in order {
        let kind = &job.kinds[k];
        let (area, price) = (i128::from(kind.area()), i128::from(kind.profit));
        let fit = (room / area).min(i128::from(kind.demand));
        profit += fit * price;
        room -= fit * area;
        if fit < i128::from(kind.demand) {
            profit += room * price / area;
            break;
        }
    }
    i64::try_from(profit).unwrap_or(i64::MAX)
}

fn gcd(a: i64, b: i64) -> i64 {
    if b == 0 { a } else { gcd(b, a % b) }
}

#[cfg(test)]
mod tests {
    use super::super::tests::plain;
    use super::super::{Effort, Sheet, solve};

    /// Prices in small units: the one part comes out of the cheaper sheet, and no sheet costs less.
    #[test]
    fn prices_in_small_units_are_proven_too() {
        let mut problem = plain([2440, 1220], &[(354, 653, 1)]);
        problem.sheets[0].cost = 3_767_000;
        problem.sheets.push(Sheet {
            w: 1965,
            h: 1045,
            cost: 2_044_989,
            copies: Some(1),
            ..problem.sheets[0].clone()
        });
        problem.sheets.push(Sheet {
            h: 1250,
            cost: 11_800_000,
            ..problem.sheets[0].clone()
        });
        let outcome = solve(&problem, Effort::Quick).unwrap();
        assert_eq!((outcome.value, outcome.bound), (2_044_989, 2_044_989));
    }
}
