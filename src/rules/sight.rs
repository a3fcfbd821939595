//! What a person sees of a surface.
//!
//! In sight is what lies on a side of the case that shows (`seen`) with the fronts closed, and what
//! looks to the front with the fronts open. Undersides never are, nor a rear that is not `seen`.
//! A part hides what lies straight behind it; cuts in it are not looked through.

use super::solids::less;
use super::view::View;
use crate::measure::Length;
use crate::model::{AssemblyKind, Box3, Edge, Part, PartId, Side};

/// Anything narrower than this is not worth a message (judgement).
fn least() -> Length {
    Length::mm(1)
}

/// What shows of `region`, a flat part of a surface of `part` that looks toward `edge`, as flat
/// boxes. Strips in `aside` do not hide anything.
pub fn seen(view: &View, part: &Part, edge: Edge, region: &Box3, aside: &[PartId]) -> Vec<Box3> {
    let Some(case) = view.case_of(part) else {
        return Vec::new();
    };
    if edge == Edge::Bottom || !case.seen.contains(&edge) {
        return Vec::new();
    }
    let axis = edge.axis();
    let place = region.face(edge);
    let beyond = |other: Length, than: Length| {
        if edge.is_high() {
            other > than
        } else {
            other < than
        }
    };
    // Inside the case only what looks to the front is seen.
    if edge != Edge::Front && beyond(case.envelope.face(edge), place) {
        return Vec::new();
    }
    // One millimetre of depth turns the area into boxes that can be subtracted.
    let mut flat = *region;
    flat.set_face(edge.opposite(), place);
    flat.set_face(edge, place);
    flat.grow(edge, Length::mm(1));
    let mut way = flat;
    let outside = view.piece.overall.face(edge);
    if beyond(outside, way.face(edge)) {
        way.set_face(edge, outside);
    }
    let mut left = vec![flat];
    for other in view.near(&way) {
        let fronts_open = edge == Edge::Front
            && matches!(view.kind(other), AssemblyKind::Leaf | AssemblyKind::Drawer);
        if other.id == part.id || fronts_open || aside.contains(&other.id) {
            continue;
        }
        if !beyond(other.core.face(edge), place) {
            continue;
        }
        let mut shadow = other.core;
        shadow.set_face(edge, flat.face(edge));
        shadow.set_face(edge.opposite(), flat.face(edge.opposite()));
        left = less(left, &shadow);
        if left.is_empty() {
            break;
        }
    }
    left.retain(|b| {
        crate::model::Axis::ALL
            .into_iter()
            .all(|a| a == axis || b.extent(a) >= least())
    });
    left
}

/// A surface of a part as sawn, as a flat box of the piece.
pub fn surface(part: &Part, side: Side) -> Box3 {
    let edge = part.lay.looks(side);
    let mut flat = part.core;
    flat.set_face(edge.opposite(), part.core.face(edge));
    flat
}
