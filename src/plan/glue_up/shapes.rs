//! Which part stands in the way of which, in the six directions.
//!
//! A part is its sawn box less the boxes of its cuts; dovetails and mitres are taken as the box round
//! what is cut (their direction is decided by the joint, see `joints::closes`), bores as solid wood.
//! After Wilson and Latombe, "Geometric reasoning about mechanical assembly" (Artificial Intelligence
//! 71, 1994): a set of parts can leave in a direction if none of it is blocked by the rest.

use crate::measure::Length;
use crate::model::{Axis, Box3, Edge, Part, PartId, Piece, Solid};
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};
use std::collections::BTreeSet;

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
    let boxes = units.iter().flat_map(|unit| &unit.boxes);
    let places = Axis::ALL.map(|axis| {
        let i = axis.index();
        let ends: BTreeSet<Length> = boxes.clone().flat_map(|b| [b.lo[i], b.hi[i]]).collect();
        ends.into_iter().collect::<Vec<Length>>()
    });
    let wood: Vec<(Inner, usize)> = units
        .iter()
        .enumerate()
        .flat_map(|(unit, u)| u.boxes.iter().map(move |b| (unit, b)))
        .map(|(unit, b)| (inner(&places, b), unit))
        .collect();
    let tree = RTree::bulk_load(
        wood.iter()
            .map(|((lo, hi), unit)| GeomWithData::new(Rectangle::from_corners(*lo, *hi), *unit))
            .collect(),
    );
    let mut ways = vec![vec![BTreeSet::new(); units.len()]; Edge::ALL.len()];
    for axis in Axis::ALL {
        let order = |edge: Edge| Edge::ALL.iter().position(|e| *e == edge).unwrap_or(0);
        let (high, low) = (order(axis.high()), order(axis.low()));
        for ((lo, hi), unit) in &wood {
            let mut far = *hi;
            far[axis.index()] = i32::MAX;
            let swept = AABB::from_corners(*lo, far);
            for other in tree.locate_in_envelope_intersecting(&swept) {
                if other.data != *unit {
                    ways[high][*unit].insert(other.data);
                    ways[low][other.data].insert(*unit);
                }
            }
        }
    }
    ways.into_iter()
        .map(|units| units.into_iter().map(|u| u.into_iter().collect()).collect())
        .collect()
}

/// A box by the order of its ends among all ends of an axis, so that only whole numbers are
/// compared: twice the order, one step inward, so that boxes that merely touch do not meet.
type Inner = ([i32; 3], [i32; 3]);

fn inner(places: &[Vec<Length>; 3], b: &Box3) -> Inner {
    let order = |axis: usize, at: Length| places[axis].partition_point(|p| *p < at) as i32 * 2;
    (
        [0, 1, 2].map(|i| order(i, b.lo[i]) + 1),
        [0, 1, 2].map(|i| order(i, b.hi[i]) - 1),
    )
}
