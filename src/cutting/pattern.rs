//! A sheet being laid out: nested pieces in sizes with kerf, and the way back to plain layouts.

use super::job::Job;
use super::layout::{Becomes, CutSheet, Layout, Piece};
use super::problem::Axis;

/// What fills a piece. Sizes are with kerf; what a split leaves over is waste.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Cell {
    /// One part, in the near corner of its piece.
    Leaf { kind: usize, turned: bool },
    /// Pieces that follow each other along an axis, with their extents.
    Split {
        axis: usize,
        cells: Vec<(i64, Cell)>,
    },
}

/// How one sheet is cut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Pattern {
    /// Index of the bin.
    pub bin: usize,
    /// What fills it.
    pub root: Cell,
    /// How many of each kind, by kind in order.
    pub counts: Vec<(usize, u32)>,
}

/// Patterns and how often each is cut.
pub(super) type Plan = Vec<(Pattern, u32)>;

impl Cell {
    fn count(&self, counts: &mut std::collections::BTreeMap<usize, u32>) {
        match self {
            Cell::Leaf { kind, .. } => *counts.entry(*kind).or_insert(0) += 1,
            Cell::Split { cells, .. } => cells.iter().for_each(|(_, cell)| cell.count(counts)),
        }
    }

    /// Takes in each piece to what its parts need.
    pub fn tight(&self, job: &Job) -> Cell {
        self.taken_in(job).0
    }

    fn taken_in(&self, job: &Job) -> (Cell, [i64; 2]) {
        match self {
            Cell::Leaf { kind, turned } => {
                let mut size = job.kinds[*kind].size;
                if *turned {
                    size.swap(0, 1);
                }
                (self.clone(), size)
            }
            Cell::Split { axis, cells } => {
                let mut size = [0; 2];
                let mut out = Vec::with_capacity(cells.len());
                for (_, cell) in cells {
                    let (cell, of) = cell.taken_in(job);
                    size[*axis] += of[*axis];
                    size[1 - axis] = size[1 - axis].max(of[1 - axis]);
                    out.push((of[*axis], cell));
                }
                let axis = *axis;
                (Cell::Split { axis, cells: out }, size)
            }
        }
    }

    /// Without the parts that exceed what is `left` of them; `None` if nothing stays.
    fn clip(&self, left: &mut [u32]) -> Option<Cell> {
        match self {
            Cell::Leaf { kind, .. } => {
                let left = &mut left[*kind];
                (*left > 0).then(|| {
                    *left -= 1;
                    self.clone()
                })
            }
            Cell::Split { axis, cells } => {
                let cells: Vec<_> = cells
                    .iter()
                    .filter_map(|(extent, cell)| Some((*extent, cell.clip(left)?)))
                    .collect();
                (!cells.is_empty()).then_some(Cell::Split { axis: *axis, cells })
            }
        }
    }
}

impl Pattern {
    pub fn new(bin: usize, root: Cell) -> Pattern {
        let mut counts = std::collections::BTreeMap::new();
        root.count(&mut counts);
        Pattern {
            bin,
            root,
            counts: counts.into_iter().collect(),
        }
    }

    /// A sheet that gives nothing.
    pub fn empty(bin: usize) -> Pattern {
        let cells = Vec::new();
        Pattern::new(bin, Cell::Split { axis: 0, cells })
    }

    /// How often it can be cut without making more than is `left`.
    pub fn times(&self, left: &[u32]) -> u32 {
        self.counts
            .iter()
            .map(|(kind, n)| left[*kind] / n)
            .min()
            .unwrap_or(0)
    }

    /// Whether it makes no more than is `left`.
    pub fn suits(&self, left: &[u32]) -> bool {
        self.counts.iter().all(|(kind, n)| left[*kind] >= *n)
    }

    /// Without the parts that exceed what is left; `None` if nothing stays.
    pub fn clip(&self, left: &[u32]) -> Option<Pattern> {
        if self.suits(left) {
            return Some(self.clone());
        }
        let root = self.root.clip(&mut left.to_vec())?;
        Some(Pattern::new(self.bin, root))
    }

    /// Takes its parts, `times` over, from what is left.
    pub fn take(&self, times: u32, left: &mut [u32]) {
        for (kind, n) in &self.counts {
            left[*kind] -= n * times;
        }
    }

    /// Area of its parts, with kerf.
    pub fn area(&self, job: &Job) -> i64 {
        self.counts
            .iter()
            .map(|(kind, n)| job.kinds[*kind].area() * i64::from(*n))
            .sum()
    }
}

/// Total cost of a plan.
pub(super) fn cost(job: &Job, plan: &Plan) -> i64 {
    plan.iter()
        .map(|(p, times)| job.bins[p.bin].cost * i64::from(*times))
        .sum()
}

/// Turns a plan into plain layouts: kerfs out again, kinds dealt out to the parts that they stand for.
pub(super) fn layout(job: &Job, plan: &Plan) -> Layout {
    let mut dealt: Vec<Vec<(usize, u32)>> = job.kinds.iter().map(|k| k.parts.clone()).collect();
    let mut sheets: Vec<CutSheet> = Vec::new();
    for (pattern, times) in plan {
        let bin = &job.bins[pattern.bin];
        for _ in 0..*times {
            let piece = piece(job, &pattern.root, bin.size, &mut dealt);
            match sheets.last_mut() {
                Some(last) if last.sheet == bin.sheet && last.piece == piece => last.times += 1,
                _ => sheets.push(CutSheet {
                    sheet: bin.sheet,
                    times: 1,
                    piece,
                }),
            }
        }
    }
    Layout { sheets }
}

/// The piece of a size (with kerf) that a cell fills.
fn piece(job: &Job, cell: &Cell, size: [i64; 2], dealt: &mut [Vec<(usize, u32)>]) -> Piece {
    let plain = [size[0] - job.kerf, size[1] - job.kerf];
    match cell {
        Cell::Leaf { kind, turned } => {
            let mut part = job.kinds[*kind].size;
            if *turned {
                part.swap(0, 1);
            }
            if let Some(axis) = (0..2).find(|a| part[*a] < size[*a]) {
                let cells = [(part[axis], cell.clone())];
                return split(job, axis, &cells, size, dealt);
            }
            let of = &mut dealt[*kind];
            while of.len() > 1 && of[0].1 == 0 {
                of.remove(0);
            }
            of[0].1 = of[0].1.saturating_sub(1);
            Piece {
                size: plain,
                becomes: Becomes::Part {
                    part: of[0].0,
                    turned: *turned,
                },
            }
        }
        Cell::Split { axis, cells } => split(job, *axis, cells, size, dealt),
    }
}

fn split(
    job: &Job,
    axis: usize,
    cells: &[(i64, Cell)],
    size: [i64; 2],
    dealt: &mut [Vec<(usize, u32)>],
) -> Piece {
    if let [(extent, cell)] = cells
        && *extent == size[axis]
    {
        return piece(job, cell, size, dealt);
    }
    let mut rest = size[axis];
    let mut pieces: Vec<Piece> = Vec::new();
    for (extent, cell) in cells {
        let mut part = size;
        part[axis] = *extent;
        rest -= extent;
        pieces.push(piece(job, cell, part, dealt));
    }
    // Up to a kerf is gone with the cut.
    if rest > job.kerf {
        let mut left = size;
        left[axis] = rest;
        pieces.push(Piece {
            size: [left[0] - job.kerf, left[1] - job.kerf],
            becomes: Becomes::Rest,
        });
    }
    Piece {
        size: [size[0] - job.kerf, size[1] - job.kerf],
        becomes: Becomes::Cut {
            axis: Axis::at(axis),
            pieces,
        },
    }
}
