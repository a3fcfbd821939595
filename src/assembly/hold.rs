//! What a joint holds while its parts come together.

use crate::model::{Axis, Edge, Joint, JointKind, LocalAxis, Piece};

/// The axis in which the parts of a joint meet: that in which its contact is flat, or thinnest.
pub fn flat(joint: &Joint) -> Axis {
    Axis::ALL
        .into_iter()
        .min_by_key(|axis| joint.contact.extent(*axis))
        .unwrap_or(Axis::X)
}

/// Whether a joint closes, or opens, along an axis without sliding over its glue.
///
/// Tails go in across the board that they are cut from; a rabbet is open to two sides; mitres, fingers,
/// laps, bridles and dovetails that slide close the way that their shape leaves them; all others close square to the
/// faces that meet. What is dry may slide.
pub(super) fn closes(piece: &Piece, joint: &Joint, axis: Axis) -> bool {
    let across = piece.part(joint.a).lay.axis(LocalAxis::Thickness) == axis;
    match joint.kind {
        JointKind::DovetailThrough | JointKind::DovetailHalfBlind => across,
        _ if !joint.glued => true,
        JointKind::Rabbet => flat(joint) == axis || across,
        // A spline lies all along its slots.
        JointKind::Spline => piece.part(joint.a).lay.axis(LocalAxis::Width) != axis,
        JointKind::Mitre
        | JointKind::Key
        | JointKind::Finger
        | JointKind::Lap
        | JointKind::Bridle
        | JointKind::DovetailSliding
        | JointKind::DovetailDropped => true,
        _ => flat(joint) == axis,
    }
}

/// Whether its connectors let one of its parts, `a` or the other, leave toward an edge: those that lie in
/// both do along themselves alone, square to the faces that meet, and out of slots that are open to an edge.
pub(super) fn lets(joint: &Joint, edge: Edge, is_a: bool) -> bool {
    let out = if is_a { edge } else { edge.opposite() };
    !is_pinned(joint) || flat(joint) == edge.axis() || joint.open_to == Some(out)
}

/// Whether connectors lie in both its parts before they come together.
pub(super) fn is_pinned(joint: &Joint) -> bool {
    match joint.kind {
        JointKind::Biscuits | JointKind::Dowels | JointKind::LooseTenons => true,
        // Driven or turned in when the parts are where they belong, or no connectors at all.
        JointKind::Butt
        | JointKind::Dado
        | JointKind::Groove
        | JointKind::Rabbet
        | JointKind::DadoRabbet
        | JointKind::Tongue
        | JointKind::Mortise
        | JointKind::Bridle
        | JointKind::Breadboard
        | JointKind::Mitre
        | JointKind::Spline
        | JointKind::Key
        | JointKind::Finger
        | JointKind::Lap
        | JointKind::DovetailThrough
        | JointKind::DovetailHalfBlind
        | JointKind::DovetailSliding
        | JointKind::DovetailDropped
        | JointKind::Screws
        | JointKind::PocketScrews
        | JointKind::Buttons
        | JointKind::Nails
        | JointKind::Bolts
        | JointKind::Edging => false,
    }
}
