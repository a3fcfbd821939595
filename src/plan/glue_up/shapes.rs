//! Which part stands in the way of which, in the six directions.
//!
//! A part is its sawn box less the boxes of its cuts; dovetails and mitres are taken as the box round
//! what is cut (their direction is decided by the joint, see `joints::closes`), bores as solid wood.
//! After Wilson and Latombe, "Geometric reasoning about mechanical assembly" (Artificial Intelligence
//! 71, 1994): a set of parts can leave in a direction if none of it is blocked by the rest.

use crate::model::tree::Tree;
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

/// For each edge in the order of [`Edge::ALL`] and each unit, by index: the units that stand in its
/// way when it leaves toward that edge, smallest first.
pub(super) fn in_the_way(units: &[Unit]) -> Vec<Vec<Vec<usize>>> {
    let (owners, boxes): (Vec<usize>, Vec<Box3>) = units
        .iter()
        .enumerate()
        .flat_map(|(unit, u)| u.boxes.iter().map(move |b| (unit, *b)))
        .unzip();
    let hull = boxes.iter().copied().reduce(|a, b| a.union(&b));
    let tree = Tree::new(boxes.clone());
    Edge::ALL
        .iter()
        .map(|edge| {
            let mut ahead = vec![Vec::new(); units.len()];
            for (unit, wood) in owners.iter().zip(&boxes) {
                let mut swept = *wood;
                if let Some(hull) = &hull {
                    swept.set_face(*edge, hull.face(*edge));
                }
                let found = tree.touching(&swept).into_iter();
                ahead[*unit].extend(
                    found
                        .filter(|b| owners[*b] != *unit && swept.overlaps(&boxes[*b]))
                        .map(|b| owners[b]),
                );
            }
            for found in &mut ahead {
                found.sort_unstable();
                found.dedup();
            }
            ahead
        })
        .collect()
}
