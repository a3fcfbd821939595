//! Which part stands in the way of which, in the six directions.
//!
//! A part is its sawn box less the boxes of its cuts; dovetails and mitres are taken as the box round
//! what is cut (their direction is decided by the joint, see `joints::closes`), bores as solid wood.
//! After Wilson and Latombe, "Geometric reasoning about mechanical assembly" (Artificial Intelligence
//! 71, 1994): a set of parts can leave in a direction if none of it is blocked by the rest.

use crate::model::{Axis, Box3, Edge, Part, PartId, Piece, Solid};

/// A part with the strips on it: it moves as one.
#[derive(Clone, Debug)]
pub(super) struct Unit {
    /// The part.
    pub(super) part: PartId,
    boxes: Vec<Box3>,
}

/// The units of an assembly, strips with their panels.
pub(super) fn units(piece: &Piece, parts: &[PartId]) -> Vec<Unit> {
    parts
        .iter()
        .filter(|id| piece.part(**id).host.is_none())
        .map(|id| {
            let part = piece.part(*id);
            let mut boxes = material(part);
            for band in &part.bands {
                boxes.extend(material(piece.part(band.strip)));
            }
            Unit { part: *id, boxes }
        })
        .collect()
}

/// The wood of a part, as boxes.
fn material(part: &Part) -> Vec<Box3> {
    let mut boxes = vec![part.core];
    for solid in part.cuts.iter().flat_map(|cut| &cut.solids) {
        if matches!(solid, Solid::Bore { .. }) {
            continue;
        }
        let gone = part.to_piece(&solid.bounds());
        boxes = boxes.iter().flat_map(|b| less(b, &gone)).collect();
    }
    boxes
}

/// What remains of a box when another is taken out of it.
fn less(whole: &Box3, gone: &Box3) -> Vec<Box3> {
    if !whole.overlaps(gone) {
        return vec![*whole];
    }
    let (mut rest, mut out) = (*whole, Vec::new());
    for axis in Axis::ALL {
        let i = axis.index();
        if rest.lo[i] < gone.lo[i] {
            let mut low = rest;
            low.hi[i] = gone.lo[i];
            out.push(low);
            rest.lo[i] = gone.lo[i];
        }
        if gone.hi[i] < rest.hi[i] {
            let mut high = rest;
            high.lo[i] = gone.hi[i];
            out.push(high);
            rest.hi[i] = gone.hi[i];
        }
    }
    out
}

/// Whether `b` stands in the way of `a` when `a` leaves toward `way`.
pub(super) fn blocks(a: &Unit, b: &Unit, way: Edge) -> bool {
    let i = way.axis().index();
    a.boxes.iter().any(|p| {
        b.boxes.iter().any(|q| {
            let beside = (0..3)
                .filter(|k| *k != i)
                .all(|k| p.lo[k] < q.hi[k] && q.lo[k] < p.hi[k]);
            let ahead = if way.is_high() {
                q.hi[i] > p.lo[i]
            } else {
                q.lo[i] < p.hi[i]
            };
            beside && ahead
        })
    })
}
