//! Lines of what is shaped, on views of a piece: where a profile begins on the face and on the edge, and
//! where what is turned or rounded begins and ends. The shape itself is the cutter's or the turner's.

use super::frame::Frame;
use super::scene::{Pen, Scene};
use super::solid::Spot;
use super::view::View;
use crate::measure::Length;
use crate::model::{Axis, Box3, Edge, Part, Piece, Shape, Shaped};

/// Draws what is seen of them.
pub fn shape_lines(scene: &mut Scene, frame: &Frame, view: &View, piece: &Piece) {
    for part in &piece.parts {
        for (from, to) in part.shaped.iter().flat_map(|shaped| lines(part, shaped)) {
            for (a, b) in view.seen(from, to) {
                scene.line(frame.at(a), frame.at(b), Pen::THIN);
            }
        }
    }
}

fn lines(part: &Part, shaped: &Shaped) -> Vec<(Spot, Spot)> {
    let zone = part.to_piece(&shaped.zone);
    let edge = part.lay.looks(shaped.side);
    let spot = |at: [Length; 3]| at.map(Length::to_f64_mm);
    match shaped.shape {
        Shape::Profile { .. } => {
            let thick = part.lay.face.axis();
            let along = edge.axis().third(thick);
            let face = match zone.face(thick.high()) == part.finished.face(thick.high()) {
                true => thick.high(),
                false => thick.low(),
            };
            // On the face as far in as it goes, on the edge as far down.
            [(face, edge.opposite()), (edge, face.opposite())]
                .map(|(on, inner)| {
                    let end = |end: Edge| {
                        let mut at = zone.lo;
                        at[on.axis().index()] = zone.face(on);
                        at[inner.axis().index()] = zone.face(inner);
                        at[along.index()] = zone.face(end);
                        spot(at)
                    };
                    (end(along.low()), end(along.high()))
                })
                .to_vec()
        }
        Shape::Turned { .. } | Shape::Rounded => [edge, edge.opposite()]
            .into_iter()
            .filter(|end| zone.face(*end) != part.finished.face(*end))
            .flat_map(|end| around(&zone, end))
            .map(|(a, b)| (spot(a), spot(b)))
            .collect(),
    }
}

/// The four lines around a box at one of its ends.
fn around(zone: &Box3, end: Edge) -> [([Length; 3], [Length; 3]); 4] {
    let axes = Axis::ALL.map(|axis| axis.index());
    let i = end.axis().index();
    let [u, v] = match axes.map(|axis| axis == i) {
        [true, ..] => [1, 2],
        [_, true, _] => [0, 2],
        _ => [0, 1],
    };
    let corner = |high: [bool; 2]| {
        let mut at = zone.lo;
        at[i] = zone.face(end);
        for (axis, high) in [u, v].into_iter().zip(high) {
            at[axis] = if high { zone.hi[axis] } else { zone.lo[axis] };
        }
        at
    };
    let [a, b, c, d] = [[false, false], [true, false], [true, true], [false, true]].map(corner);
    [(a, b), (b, c), (c, d), (d, a)]
}
