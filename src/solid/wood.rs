//! A part as wood: its sawn box, and what is cut out of it.

use super::Exact;
use super::bore::Bore;
use super::cell::Cell;
use super::hull::{Hull, others};
use super::outline::{self, Corner};
use crate::measure::{Length, Rational};
use crate::model::{Box3, LocalBox, Part, Solid};

/// The wood of a part, in the piece.
#[derive(Clone, Debug)]
pub struct Wood {
    /// What is sawn.
    pub core: Box3,
    /// What is cut out: boxes, and prisms as convex cells. They may reach beyond the core and into each
    /// other.
    pub(super) voids: Vec<Cell>,
    /// Round bores.
    pub(super) bores: Vec<Bore>,
}

impl Wood {
    /// The wood of a part of a model.
    ///
    /// # Errors
    /// When a slanted side has numbers that do not fit.
    pub fn of(part: &Part) -> Exact<Wood> {
        let mut wood = Wood {
            core: part.core,
            voids: Vec::new(),
            bores: Vec::new(),
        };
        let cuts = part.cuts.iter().flat_map(|cut| &cut.solids);
        for solid in cuts.chain(&part.aslant) {
            let bounds = part.to_piece(&solid.bounds());
            if bounds.is_empty() {
                continue;
            }
            match solid {
                Solid::Box(_) => wood.voids.push(Cell::Box(bounds)),
                Solid::Bore { entry, .. } => wood.bores.push(Bore {
                    bounds,
                    mouth: part.lay.looks(*entry),
                }),
                Solid::Prism {
                    axis, outline, far, ..
                } => {
                    let along = part.lay.axis(*axis).index();
                    let corners = |outline: &[[Length; 2]]| -> Vec<Corner> {
                        outline
                            .iter()
                            .map(|corner| in_piece(part, axis.index(), *corner))
                            .map(|spot| [spot[others(along).0], spot[others(along).1]])
                            .collect()
                    };
                    let (lo, hi) = (bounds.lo[along].as_nm(), bounds.hi[along].as_nm());
                    if let Some(far) = far {
                        let back = [part.lay.end, part.lay.edge, part.lay.face][axis.index()];
                        let ends = if back.is_high() { [hi, lo] } else { [lo, hi] };
                        let hull = Hull::leaning(along, [corners(outline), corners(far)], ends)?;
                        wood.voids.push(Cell::Hull(Box::new(hull)));
                        continue;
                    }
                    for outline in outline::convex(&corners(outline))? {
                        let hull = Hull::prism(along, &outline, lo, hi)?;
                        wood.voids.push(Cell::Hull(Box::new(hull)));
                    }
                }
            }
        }
        Ok(wood)
    }

    /// The wood inside a box, as cells that share no space. Bores count as wood.
    ///
    /// # Errors
    /// When a corner has numbers that do not fit.
    pub fn within(&self, region: &Box3) -> Exact<Vec<Cell>> {
        match self.core.meet(region) {
            Some(both) if !both.is_empty() => left_of(both, &self.voids),
            _ => Ok(Vec::new()),
        }
    }

    /// All of it, as cells that share no space. Bores count as wood.
    ///
    /// # Errors
    /// When a corner has numbers that do not fit.
    pub fn cells(&self) -> Exact<Vec<Cell>> {
        self.within(&self.core)
    }
}

/// A corner of an outline across an axis of the part, as a point of the piece.
fn in_piece(part: &Part, axis: usize, corner: [Length; 2]) -> [Rational; 3] {
    let mut at = [Length::ZERO; 3];
    (at[others(axis).0], at[others(axis).1]) = (corner[0], corner[1]);
    let spot = part.to_piece(&LocalBox { lo: at, hi: at });
    spot.lo.map(Length::as_nm)
}

/// A box less what is cut out of it.
fn left_of(whole: Box3, voids: &[Cell]) -> Exact<Vec<Cell>> {
    let mut left = vec![Cell::Box(whole)];
    for void in voids.iter().filter(|void| void.bounds().overlaps(&whole)) {
        left = less(left, void)?;
        if left.is_empty() {
            break;
        }
    }
    Ok(left)
}

/// Cells less another one.
pub(super) fn less(cells: Vec<Cell>, taken: &Cell) -> Exact<Vec<Cell>> {
    let mut left = Vec::with_capacity(cells.len() + 4);
    for cell in cells {
        cell.less(taken, &mut left)?;
    }
    Ok(left)
}

/// Space that the wood of both parts takes up, as cells; empty if there is none.
///
/// # Errors
/// When a corner has numbers that do not fit.
pub fn shared(a: &Wood, b: &Wood) -> Exact<Vec<Cell>> {
    let Some(both) = a.core.meet(&b.core).filter(|both| !both.is_empty()) else {
        return Ok(Vec::new());
    };
    let mut left = left_of(both, &a.voids)?;
    for void in b.voids.iter().filter(|void| void.bounds().overlaps(&both)) {
        left = less(left, void)?;
    }
    for bore in a.bores.iter().chain(&b.bores) {
        if left.iter().any(|cell| cell.bounds().overlaps(&bore.bounds)) {
            for hull in bore.inscribed()? {
                left = less(left, &Cell::Hull(Box::new(hull)))?;
            }
        }
    }
    Ok(left)
}
