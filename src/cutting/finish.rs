//! Among plans of one cost: fewer sheets, then more useful offcuts, then fewer settings of the fence.

use super::fill::Rest;
use super::job::Job;
use super::pattern::{Cell, Pattern, Plan};
use super::search::{Goal, Guide, Start, search};
use super::work::Work;
use std::cmp::Reverse;
use std::collections::BTreeSet;

/// Lays each sheet that is not full out anew for its offcuts, puts equal pieces beside each other and
/// equal sheets together, full sheets first.
pub(super) fn finish(job: &Job, plan: &Plan, work: &mut Work) -> Plan {
    let mut out: Plan = Vec::new();
    for (pattern, times) in plan {
        let mut best = tidy(pattern);
        let full = pattern.area(job) * 20 > job.bins[pattern.bin].area() * 19;
        if !full && !work.done() {
            let mut merit = merit(job, &best);
            for other in again(job, pattern, work) {
                let other = tidy(&other);
                let key = self::merit(job, &other);
                if other.counts == best.counts && key > merit {
                    (best, merit) = (other, key);
                }
            }
        }
        match out.iter_mut().find(|(p, _)| *p == best) {
            Some((_, n)) => *n += times,
            None => out.push((best, *times)),
        }
    }
    out.sort_by_key(|(p, times)| (p.bin, Reverse(p.area(job)), Reverse(*times)));
    out
}

/// Other layouts of the same parts on the same sheet.
fn again(job: &Job, pattern: &Pattern, work: &mut Work) -> Vec<Pattern> {
    let mut rest = Rest::of(job);
    rest.left.fill(0);
    for (kind, n) in &pattern.counts {
        rest.left[*kind] = *n;
    }
    let values: Vec<f64> = job.kinds.iter().map(|k| k.area() as f64).collect();
    let mut out = Vec::new();
    for axes in [[true, false], [false, true]] {
        if !(0..2).any(|a| axes[a] && job.bins[pattern.bin].first[a]) {
            continue;
        }
        for guide in [Guide::Waste, Guide::Large, Guide::Middling] {
            let start = Start {
                left: &rest.left,
                copies: &rest.copies,
                axes,
            };
            let goal = Goal::Fill {
                bin: pattern.bin,
                values: &values,
            };
            let found = work.share(4_000_000, |work| search(job, &start, goal, guide, 24, work));
            out.extend(found.into_iter().flat_map(|f| f.plan).map(|(p, _)| p));
        }
    }
    out
}

/// How good a layout is beside its cost: squares of the areas of its offcuts (one large is worth more
/// than two halves; our own measure), then how few widths it is cut in.
fn merit(job: &Job, pattern: &Pattern) -> (i128, Reverse<usize>) {
    let mut squares = 0;
    let mut widths = BTreeSet::new();
    offcuts(
        job,
        &pattern.root,
        job.bins[pattern.bin].size,
        &mut squares,
        &mut widths,
    );
    (squares, Reverse(widths.len()))
}

fn offcuts(
    job: &Job,
    cell: &Cell,
    size: [i64; 2],
    squares: &mut i128,
    widths: &mut BTreeSet<(usize, i64)>,
) {
    let mut see = |size: [i64; 2]| {
        let area =
            i128::from((size[0] - job.kerf).max(0)) * i128::from((size[1] - job.kerf).max(0));
        *squares += area * area;
    };
    match cell {
        Cell::Leaf { kind, turned } => {
            let mut part = job.kinds[*kind].size;
            if *turned {
                part.swap(0, 1);
            }
            if let Some(axis) = (0..2).find(|a| part[*a] < size[*a]) {
                let mut rest = size;
                rest[axis] -= part[axis];
                see(rest);
            }
        }
        Cell::Split { axis, cells } => {
            let mut rest = size;
            rest[*axis] -= cells.iter().map(|(extent, _)| extent).sum::<i64>();
            see(rest);
            for (extent, cell) in cells {
                let mut piece = size;
                piece[*axis] = *extent;
                widths.insert((*axis, *extent));
                offcuts(job, cell, piece, squares, widths);
            }
        }
    }
}

/// The same pieces, the largest first, equal ones beside each other.
fn tidy(pattern: &Pattern) -> Pattern {
    fn key(cell: &Cell) -> (usize, bool, Vec<i64>) {
        match cell {
            Cell::Leaf { kind, turned } => (*kind, *turned, Vec::new()),
            Cell::Split { cells, .. } => {
                let extents = cells.iter().map(|(extent, _)| -extent).collect();
                (0, false, extents)
            }
        }
    }
    fn sort(cell: &Cell) -> Cell {
        match cell {
            Cell::Leaf { .. } => cell.clone(),
            Cell::Split { axis, cells } => {
                let mut cells: Vec<(i64, Cell)> = cells
                    .iter()
                    .map(|(extent, cell)| (*extent, sort(cell)))
                    .collect();
                cells.sort_by_cached_key(|(extent, cell)| (Reverse(*extent), key(cell)));
                Cell::Split { axis: *axis, cells }
            }
        }
    }
    Pattern::new(pattern.bin, sort(&pattern.root))
}
