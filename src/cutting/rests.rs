//! Any number of stages: what a layout of three stages leaves over is laid out again, offcut by
//! offcut, with what is still wanted.

use super::job::{Bin, Job};
use super::pattern::{Cell, Pattern};
use super::problem::Stages;
use super::search::{Goal, Guide, Start, search};
use super::work::{Dice, Work};

/// The pattern with its offcuts filled. Only for jobs with any number of stages.
pub(super) fn fill_rests(
    job: &Job,
    pattern: &Pattern,
    left: &[u32],
    values: &[f64],
    work: &mut Work,
) -> Pattern {
    debug_assert_eq!(job.stages, Stages::Any);
    let mut left = left.to_vec();
    pattern.take(1, &mut left);
    let mut inner = Inner {
        job: Job {
            bins: vec![job.bins[pattern.bin].clone()],
            ..job.clone()
        },
        left,
        values,
        width: 6,
        sheet: job.bins[pattern.bin].clone(),
    };
    let size = job.bins[pattern.bin].size;
    let root = inner.cell(&pattern.root, size, work);
    Pattern::new(pattern.bin, root)
}

/// A sheet cut in two somewhere, perhaps again, and each piece laid out by itself.
pub(super) fn in_pieces(
    job: &Job,
    bin: usize,
    left: &[u32],
    values: &[f64],
    width: usize,
    dice: &mut Dice,
    work: &mut Work,
) -> Option<Pattern> {
    let mut inner = Inner {
        job: Job {
            bins: vec![job.bins[bin].clone()],
            ..job.clone()
        },
        left: left.to_vec(),
        values,
        width,
        sheet: job.bins[bin].clone(),
    };
    let root = inner.halves(job.bins[bin].size, 1 + dice.below(3), dice, work)?;
    Some(Pattern::new(bin, root))
}

struct Inner<'a> {
    job: Job,
    left: Vec<u32>,
    values: &'a [f64],
    width: usize,
    /// The whole sheet.
    sheet: Bin,
}

impl Inner<'_> {
    /// Whether the saw takes a cut that separates along an axis.
    fn may_cut(&self, axis: usize, size: [i64; 2]) -> bool {
        size[1 - axis] <= self.sheet.widest[1 - axis]
    }

    fn cell(&mut self, cell: &Cell, size: [i64; 2], work: &mut Work) -> Cell {
        match cell {
            Cell::Leaf { kind, turned } => {
                let mut part = self.job.kinds[*kind].size;
                if *turned {
                    part.swap(0, 1);
                }
                let Some(axis) = (0..2).find(|a| part[*a] < size[*a]) else {
                    return cell.clone();
                };
                let alone = Cell::Split {
                    axis,
                    cells: vec![(part[axis], cell.clone())],
                };
                self.cell(&alone, size, work)
            }
            Cell::Split { axis, cells } => {
                let mut rest = size;
                let mut out = Vec::new();
                for (extent, cell) in cells {
                    let mut piece = size;
                    piece[*axis] = *extent;
                    rest[*axis] -= extent;
                    out.push((*extent, self.cell(cell, piece, work)));
                }
                if let Some(more) = self.offcut(rest, work) {
                    out.push((rest[*axis], more));
                }
                Cell::Split {
                    axis: *axis,
                    cells: out,
                }
            }
        }
    }

    fn halves(
        &mut self,
        size: [i64; 2],
        depth: usize,
        dice: &mut Dice,
        work: &mut Work,
    ) -> Option<Cell> {
        if depth == 0 {
            return self.offcut(size, work);
        }
        // The near piece is as long as one part, or two beside each other.
        let axis = dice.below(2);
        let ways: Vec<i64> = self
            .job
            .kinds
            .iter()
            .zip(&self.left)
            .filter(|(_, n)| **n > 0)
            .flat_map(|(k, _)| k.ways())
            .map(|(_, s)| s[axis])
            .filter(|s| *s < size[axis])
            .collect();
        if ways.is_empty() || !self.may_cut(axis, size) {
            return self.offcut(size, work);
        }
        let one = ways[dice.below(ways.len())];
        let two = one + ways[dice.below(ways.len())];
        let at = if two < size[axis] && dice.below(2) == 0 {
            two
        } else {
            one
        };
        let (mut near, mut far) = (size, size);
        near[axis] = at;
        far[axis] -= at;
        let near = self.halves(near, dice.below(depth), dice, work);
        let far_cell = self.halves(far, dice.below(depth), dice, work);
        let cells: Vec<(i64, Cell)> = [near.map(|c| (at, c)), far_cell.map(|c| (far[axis], c))]
            .into_iter()
            .flatten()
            .collect();
        (!cells.is_empty()).then_some(Cell::Split { axis, cells })
    }

    /// The best of what is left that an offcut holds, its own offcuts filled too.
    fn offcut(&mut self, size: [i64; 2], work: &mut Work) -> Option<Cell> {
        let fits = |k: &super::job::Kind| k.ways().any(|(_, s)| s[0] <= size[0] && s[1] <= size[1]);
        let some = self
            .job
            .kinds
            .iter()
            .zip(&self.left)
            .any(|(k, n)| *n > 0 && fits(k));
        if !some || work.done() {
            return None;
        }
        self.job.bins[0] = Bin {
            size,
            first: [0, 1].map(|axis| self.may_cut(axis, size)),
            widest: [0, 1].map(|a| self.sheet.widest[a].min(size[a])),
            ..self.sheet.clone()
        };
        let mut best: Option<(f64, Pattern)> = None;
        for axes in [[true, false], [false, true]] {
            if !(0..2).any(|a| axes[a] && self.job.bins[0].first[a]) {
                continue;
            }
            let start = Start {
                left: &self.left,
                copies: &[1],
                axes,
            };
            let goal = Goal::Fill {
                bin: 0,
                values: self.values,
            };
            let Some(found) = search(&self.job, &start, goal, Guide::Waste, self.width, work)
            else {
                continue;
            };
            if let Some((pattern, _)) = found.plan.into_iter().next()
                && best.as_ref().is_none_or(|(value, _)| found.value > *value)
            {
                best = Some((found.value, pattern));
            }
        }
        let (_, pattern) = best?;
        pattern.take(1, &mut self.left);
        Some(self.cell(&pattern.root, size, work))
    }
}
