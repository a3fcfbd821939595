//! Outlines of prisms, taken apart into convex ones.
//!
//! What lies inside is told by the even-odd rule. An outline that is convex stays whole; any other is
//! cut into strips at each of its corners and crossings, and strips between the same two sides are one.

use super::{Exact, fits};
use crate::measure::Rational;

/// A corner of an outline, in nanometres.
pub type Corner = [Rational; 2];

/// Convex outlines, each with an area and without needless corners, that share none and make up what
/// the outline holds.
pub fn convex(outline: &[Corner]) -> Exact<Vec<Vec<Corner>>> {
    let corners = lean(outline.to_vec())?;
    if corners.len() < 3 {
        return Ok(Vec::new());
    }
    if is_convex(&corners)? {
        return Ok(vec![corners]);
    }
    strips(&corners)
}

/// Without corners that are doubled or lie on a straight side.
fn lean(mut corners: Vec<Corner>) -> Exact<Vec<Corner>> {
    loop {
        let n = corners.len();
        if n < 3 {
            return Ok(Vec::new());
        }
        let mut needless = None;
        for i in 0..n {
            let (a, b, c) = (corners[(i + n - 1) % n], corners[i], corners[(i + 1) % n]);
            if turn(&a, &b, &c)?.is_zero() {
                needless = Some(i);
                break;
            }
        }
        match needless {
            Some(i) => corners.remove(i),
            None => return Ok(corners),
        };
    }
}

/// Above zero where the way from `a` by `b` to `c` turns left.
fn turn(a: &Corner, b: &Corner, c: &Corner) -> Exact<Rational> {
    fits((b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]))
}

/// Whether it turns one way at every corner, and once round in all: a star turns one way too, but its
/// sides change between leftward and rightward more than twice.
fn is_convex(corners: &[Corner]) -> Exact<bool> {
    let n = corners.len();
    let (mut left, mut right, mut changes) = (false, false, 0);
    let mut before: Option<bool> = None;
    let rightward: Vec<bool> = (0..n)
        .filter(|i| corners[*i][0] != corners[(i + 1) % n][0])
        .map(|i| corners[i][0] < corners[(i + 1) % n][0])
        .collect();
    for i in 0..n {
        let way = turn(&corners[i], &corners[(i + 1) % n], &corners[(i + 2) % n])?;
        left |= way > Rational::ZERO;
        right |= way.is_negative();
    }
    for way in rightward.iter().chain(rightward.first()) {
        changes += usize::from(before.is_some_and(|b| b != *way));
        before = Some(*way);
    }
    Ok(left != right && changes <= 2)
}

/// A side, from its left to its right end; upright ones bound nothing here.
type Run = (Corner, Corner);

fn height(run: &Run, at: Rational) -> Exact<Rational> {
    let (a, b) = run;
    let part = (at - a[0]) / (b[0] - a[0]);
    fits(a[1] + (b[1] - a[1]) * part)
}

fn strips(corners: &[Corner]) -> Exact<Vec<Vec<Corner>>> {
    let n = corners.len();
    let runs: Vec<Run> = (0..n)
        .map(|i| (corners[i], corners[(i + 1) % n]))
        .filter(|(a, b)| a[0] != b[0])
        .map(|(a, b)| if a[0] < b[0] { (a, b) } else { (b, a) })
        .collect();
    let mut places: Vec<Rational> = corners.iter().map(|c| c[0]).collect();
    for (i, first) in runs.iter().enumerate() {
        for second in &runs[i + 1..] {
            places.extend(crossing(first, second)?);
        }
    }
    places.sort_unstable();
    places.dedup();
    // Open strips with the sides below and above, and from where.
    let mut open: Vec<(usize, usize, Rational)> = Vec::new();
    let mut out = Vec::new();
    for slab in places.windows(2) {
        let (from, to) = (slab[0], slab[1]);
        let middle = (from + to) / Rational::int(2);
        let mut here = Vec::new();
        for (i, run) in runs.iter().enumerate() {
            if run.0[0] <= from && run.1[0] >= to {
                here.push((height(run, middle)?, i));
            }
        }
        here.sort_unstable();
        let mut now = Vec::new();
        for pair in here.chunks_exact(2) {
            let (below, above) = (pair[0].1, pair[1].1);
            let known = open.iter().find(|o| (o.0, o.1) == (below, above));
            now.push((below, above, known.map_or(from, |o| o.2)));
        }
        for ended in open.iter().filter(|o| !now.contains(o)) {
            out.extend(strip(&runs, *ended, from)?);
        }
        open = now;
    }
    if let Some(end) = places.last() {
        for ended in open {
            out.extend(strip(&runs, ended, *end)?);
        }
    }
    Ok(out)
}

/// A strip from where it began to `to`, if it has an area.
fn strip(
    runs: &[Run],
    (below, above, from): (usize, usize, Rational),
    to: Rational,
) -> Exact<Option<Vec<Corner>>> {
    let (low, high) = (&runs[below], &runs[above]);
    let corners = lean(vec![
        [from, height(low, from)?],
        [to, height(low, to)?],
        [to, height(high, to)?],
        [from, height(high, from)?],
    ])?;
    Ok((corners.len() > 2).then_some(corners))
}

/// Where two sides cross within both, if they do.
fn crossing(first: &Run, second: &Run) -> Exact<Option<Rational>> {
    let from = first.0[0].max(second.0[0]);
    let to = first.1[0].min(second.1[0]);
    if from >= to {
        return Ok(None);
    }
    let at_from = height(first, from)? - height(second, from)?;
    let at_to = height(first, to)? - height(second, to)?;
    let crosses = (at_from.is_negative() && at_to > Rational::ZERO)
        || (at_from > Rational::ZERO && at_to.is_negative());
    if !crosses {
        return Ok(None);
    }
    fits(from + (to - from) * at_from / (at_from - at_to)).map(Some)
}
