//! Which part stands in the way of which, in the six directions: the directional blocking graphs.
//!
//! Parts are wood as cut ([`crate::solid`]), exact for boxes and slanted cuts; a bore counts as wood, since
//! what goes into one comes later.

use crate::measure::Length;
use crate::model::{Axis, Box3, Edge, PartId, Piece};
use crate::solid::{Cell, Exact, Wood, sweep_hits};
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};
use std::collections::BTreeSet;

/// A part with the strips on it: it moves as one.
#[derive(Clone, Debug)]
pub(super) struct Unit {
    /// The part.
    pub(super) part: PartId,
    /// Its wood and that of its strips.
    pub(super) cells: Vec<Cell>,
}

/// The units of an assembly, strips with their panels.
pub(super) fn units(piece: &Piece, parts: &[PartId]) -> Exact<Vec<Unit>> {
    parts
        .iter()
        .filter(|id| piece.part(**id).host.is_none())
        .map(|id| {
            let part = piece.part(*id);
            let mut cells = Wood::of(part)?.cells()?;
            for band in &part.bands {
                cells.extend(Wood::of(piece.part(band.strip))?.cells()?);
            }
            Ok(Unit { part: *id, cells })
        })
        .collect()
}

/// By edge in the order of [`Edge::ALL`], then by unit: the units in its way, smallest first.
pub(super) type Ways = Vec<Vec<Vec<usize>>>;

/// For each edge in the order of [`Edge::ALL`] and each unit, by index: the units that stand in its
/// way when it leaves toward that edge, smallest first.
pub(super) fn in_the_way(units: &[Unit]) -> Exact<Ways> {
    let cells = units.iter().flat_map(|unit| &unit.cells);
    let places = Axis::ALL.map(|axis| {
        let i = axis.index();
        let bounds = cells.clone().map(Cell::bounds);
        let ends: BTreeSet<Length> = bounds.flat_map(|b| [b.lo[i], b.hi[i]]).collect();
        ends.into_iter().collect::<Vec<Length>>()
    });
    let wood: Vec<(Inner, usize, &Cell)> = units
        .iter()
        .enumerate()
        .flat_map(|(unit, u)| u.cells.iter().map(move |cell| (unit, cell)))
        .map(|(unit, cell)| (inner(&places, cell.bounds()), unit, cell))
        .collect();
    let tree = RTree::bulk_load(
        wood.iter()
            .map(|((lo, hi), unit, cell)| {
                GeomWithData::new(Rectangle::from_corners(*lo, *hi), (*unit, *cell))
            })
            .collect(),
    );
    let mut ways = vec![vec![BTreeSet::new(); units.len()]; Edge::ALL.len()];
    for axis in Axis::ALL {
        let order = |edge: Edge| Edge::ALL.iter().position(|e| *e == edge).unwrap_or(0);
        let (high, low) = (order(axis.high()), order(axis.low()));
        for ((lo, hi), unit, cell) in &wood {
            let mut far = *hi;
            far[axis.index()] = i32::MAX;
            let swept = AABB::from_corners(*lo, far);
            for other in tree.locate_in_envelope_intersecting(&swept) {
                let (blocker, ahead) = other.data;
                let known = blocker == *unit || ways[high][*unit].contains(&blocker);
                if !known && sweep_hits(cell, ahead, axis)? {
                    ways[high][*unit].insert(blocker);
                    ways[low][blocker].insert(*unit);
                }
            }
        }
    }
    let sorted = |units: Vec<BTreeSet<usize>>| {
        let units = units.into_iter().map(|u| u.into_iter().collect());
        units.collect()
    };
    Ok(ways.into_iter().map(sorted).collect())
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
