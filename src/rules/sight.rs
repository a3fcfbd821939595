//! What a person sees of a surface.
//!
//! In sight is what lies on a side of the case that shows (`seen`) with the fronts closed, and what
//! looks to the front with the fronts open. Undersides never are, nor a rear that is not `seen`.
//! A part hides what lies straight behind it; cuts in it are not looked through.

use super::solids::less;
use super::view::View;
use crate::measure::Length;
use crate::model::{AssemblyKind, Box3, Edge, LocalBox, Part, PartId, Side, Solid};

/// Anything narrower than this is not worth a message (judgement).
fn least() -> Length {
    Length::mm(1)
}

/// What shows of `region`, a flat part of a surface of `part` that looks toward `edge`, as flat
/// boxes. Strips in `aside` do not hide anything.
pub fn seen(view: &View, part: &Part, edge: Edge, region: &Box3, aside: &[PartId]) -> Vec<Box3> {
    if edge == Edge::Bottom {
        return Vec::new();
    }
    let envelope = match (view.kind(part), view.case_of(part)) {
        // A worktop or filler is seen from every side but the rear, which stands at the wall.
        (AssemblyKind::Fitted, _) if edge != Edge::Rear && !view.piece.walls.contains(&edge) => {
            view.piece.overall
        }
        (_, Some(case)) if case.seen.contains(&edge) => case.envelope,
        _ => return Vec::new(),
    };
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
    if edge != Edge::Front && beyond(envelope.face(edge), place) {
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

/// What is left of a surface of a part after its cuts, as flat boxes: of a mitred end nothing.
///
/// A cut takes away of a surface what of its mouth lies in that plane.
pub fn left_of(part: &Part, side: Side) -> Vec<Box3> {
    let edge = part.lay.looks(side);
    let whole = surface(part, side);
    let place = whole.face(edge);
    let reached = part.cuts.iter().flat_map(|cut| &cut.solids);
    let mut left = vec![whole];
    for solid in reached {
        let Some(mouth) = mouth(solid, side, part) else {
            continue;
        };
        let mouth = part.to_piece(&mouth);
        let beyond = if edge.is_high() {
            mouth.face(edge) >= place
        } else {
            mouth.face(edge) <= place
        };
        if !beyond {
            continue;
        }
        left = left
            .into_iter()
            .flat_map(|b| flat_less(b, &mouth, edge))
            .collect();
    }
    left
}

/// A flat box less what of it lies within another, seen along `edge`.
fn flat_less(flat: Box3, taken: &Box3, edge: Edge) -> Vec<Box3> {
    let place = flat.face(edge);
    let mut thick = flat;
    thick.grow(edge, Length::mm(1));
    let mut through = *taken;
    for e in [edge, edge.opposite()] {
        through.set_face(e, thick.face(e));
    }
    less(vec![thick], &through)
        .into_iter()
        .map(|mut b| {
            b.set_face(edge, place);
            b.set_face(edge.opposite(), place);
            b
        })
        .collect()
}

/// What a volume takes of the plane of a side of its part, as a box that reaches that plane; `None`
/// if it takes nothing that counts.
fn mouth(solid: &Solid, side: Side, part: &Part) -> Option<LocalBox> {
    let mut bounds = solid.bounds();
    let i = side.axis().index();
    let end = if side.is_far() {
        part.size.along(side.axis())
    } else {
        Length::ZERO
    };
    match solid {
        Solid::Box(_) => Some(bounds),
        // A hole is no edge's end.
        Solid::Bore { .. } => None,
        // Of an edge beside a mitre the corner on its outer side is left.
        Solid::Prism { axis, .. } if *axis == side.axis() => None,
        Solid::Prism { axis, outline, .. } => {
            // The outline's points are in the two other axes, in order.
            let others: Vec<usize> = (0..3).filter(|k| *k != axis.index()).collect();
            let (down, over) = if others.first() == Some(&i) {
                (0, 1)
            } else {
                (1, 0)
            };
            let across = *others.get(over)?;
            let on = outline.iter().filter(|p| p[down] == end).map(|p| p[over]);
            bounds.lo[across] = on.clone().min()?;
            bounds.hi[across] = on.max()?;
            Some(bounds)
        }
    }
}
