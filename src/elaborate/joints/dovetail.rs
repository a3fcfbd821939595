//! Laying out dovetails: tails on the part that enters, sockets between pins on the other.
//!
//! Equal pitch over the width of the joint, half pins at both ends. In the middle of a tail's length
//! the tail takes five eighths of the pitch and the pin three eighths (common practice for cutting
//! with a guide; a maker who cuts by hand may draw finer pins on the same centres).

use crate::elaborate::build::{CutWork, Work};
use crate::measure::{Length, Rational};
use crate::model::{Axis, Box3, CutKind, Edge, JointId, Origin};

/// A layout in the piece.
pub struct Layout {
    /// Along which tails follow each other.
    along: Axis,
    /// The edge of the tail part that enters.
    edge: Edge,
    /// Where the joint lies, tails' length by their part's thickness.
    zone: Box3,
    /// Thickness axis of the tail part.
    across: Axis,
    /// Each tail at its shoulder and at its end: low and high along `along`.
    tails: Vec<((Length, Length), (Length, Length))>,
}

/// Least pin that can be cut at its narrow end, 3 mm (common practice).
const LEAST_PIN_MM: i64 = 3;

/// Lays out tails where two cores meet; `None` if they do not fit.
pub fn lay_out(
    a: &Box3,
    a_axis: Axis,
    b: &Box3,
    b_axis: Axis,
    edge: Edge,
    tails: u32,
    slope: Rational,
) -> Option<Layout> {
    let zone = a.meet(b)?;
    if zone.is_empty() || edge.axis() != b_axis {
        return None;
    }
    let along = a_axis.third(b_axis);
    let run = zone.extent(along);
    let pitch = run / i64::from(tails);
    let mean = pitch.scale(Rational::new(5, 8));
    // The tail widens by length / slope on each side over its length: half of it either way.
    let flare = zone.extent(b_axis).scale(Rational::ONE / slope).half();
    let (shoulder, end) = (mean - flare * 2, mean + flare * 2);
    if !shoulder.is_positive() || pitch - end < Length::mm(LEAST_PIN_MM) {
        return None;
    }
    let mut out = Vec::new();
    for i in 0..tails {
        let centre = zone.lo[along.index()] + pitch.scale(Rational::new(2 * i128::from(i) + 1, 2));
        let pair = |width: Length| (centre - width.half(), centre + width.half());
        out.push((pair(shoulder), pair(end)));
    }
    Some(Layout {
        along,
        edge,
        zone,
        across: a_axis,
        tails: out,
    })
}

/// The waste between the tails of `a`, and the sockets of `b`.
pub fn cuts(layout: &Layout, joint: JointId, a: usize, origin: &Origin) -> (CutWork, CutWork) {
    let (along, edge) = (layout.along, layout.edge);
    let tip = layout.zone.face(edge);
    let root = layout.zone.face(edge.opposite());
    let point = |at: Length, depth: Length| {
        let mut p = [Length::ZERO; 3];
        p[along.index()] = at;
        p[edge.axis().index()] = depth;
        p
    };
    let quad = |root_lo, root_hi, tip_lo, tip_hi| {
        vec![
            point(root_lo, root),
            point(root_hi, root),
            point(tip_hi, tip),
            point(tip_lo, tip),
        ]
    };
    let (low, high) = (
        layout.zone.face(along.low()),
        layout.zone.face(along.high()),
    );
    let mut waste = Vec::new();
    let (mut from_root, mut from_tip) = (low, low);
    for (shoulder, end) in &layout.tails {
        waste.push(quad(from_root, shoulder.0, from_tip, end.0));
        (from_root, from_tip) = (shoulder.1, end.1);
    }
    waste.push(quad(from_root, high, from_tip, high));
    let sockets = layout
        .tails
        .iter()
        .map(|(s, e)| quad(s.0, s.1, e.0, e.1))
        .collect();
    let (t_lo, t_hi) = (
        layout.zone.face(layout.across.low()),
        layout.zone.face(layout.across.high()),
    );
    let cut = |kind, outlines: Vec<Vec<[Length; 3]>>, entry, filler| CutWork {
        kind,
        solids: outlines
            .into_iter()
            .map(|outline| Work::Prism {
                axis: layout.across,
                outline,
                lo: t_lo,
                hi: t_hi,
            })
            .collect(),
        entry,
        along,
        width: (high - low) / layout.tails.len().max(1) as i64,
        depth: layout.zone.extent(edge.axis()),
        fit: Length::ZERO,
        relief: Length::ZERO,
        joint: Some(joint),
        filler,
        origin: origin.clone(),
    };
    (
        cut(CutKind::Tails, waste, edge, None),
        cut(CutKind::Sockets, sockets, edge.opposite(), Some(a)),
    )
}
