//! What a joint asks of the person who glues it.

use crate::assembly::flat;
use crate::measure::{Length, Rational};
use crate::model::{Axis, HardwareKind, Joint, JointKind, Model};

/// Length and width of the meeting faces, the longer first.
pub(super) fn faces(joint: &Joint) -> (Length, Length) {
    let axis = flat(joint);
    let mut extents: Vec<Length> = Axis::ALL
        .into_iter()
        .filter(|a| *a != axis)
        .map(|a| joint.contact.extent(a))
        .collect();
    extents.sort_unstable();
    let (short, long) = (extents[0], extents[extents.len() - 1]);
    (long, short)
}

/// Square millimetres on which glue is spread: the meeting faces, and the two walls of what enters
/// (one wall in a rabbet).
pub fn glued_area(joint: &Joint) -> Rational {
    let (long, short) = faces(joint);
    match joint.kind {
        // Both sides of what lies in this part.
        JointKind::Spline => return long.as_mm() * (joint.deep * 2).as_mm(),
        // Half of each of the two triangles, which are as deep and twice as long.
        JointKind::Key => return joint.deep.as_mm() * joint.deep.as_mm(),
        // Both cheeks of the middle tenon; the tongue and the other tenons stay dry.
        JointKind::Breadboard => {
            let wide = joint.glued_along.unwrap_or_default();
            return wide.as_mm() * (joint.deep * 2).as_mm();
        }
        _ => {}
    }
    let walls = match joint.kind {
        JointKind::Dado
        | JointKind::Groove
        | JointKind::DadoRabbet
        | JointKind::Tongue
        | JointKind::Edging
        | JointKind::DovetailThrough
        | JointKind::DovetailHalfBlind
        | JointKind::DovetailSliding
        | JointKind::DovetailDropped
        | JointKind::Mortise
        | JointKind::Bridle
        | JointKind::Breadboard
        | JointKind::Finger => 2,
        JointKind::Rabbet => 1,
        JointKind::Butt
        | JointKind::Mitre
        | JointKind::Spline
        | JointKind::Key
        | JointKind::Lap
        | JointKind::Biscuits
        | JointKind::Dowels
        | JointKind::LooseTenons
        | JointKind::PocketScrews
        | JointKind::Buttons
        | JointKind::Screws
        | JointKind::Bolts
        | JointKind::Nails => 0,
    };
    long.as_mm() * (short + joint.deep * walls).as_mm()
}

/// Whether a joint keeps its parts from racking once it is made: glue does, and screws and bolts that can't
/// slide.
pub(super) fn holds_square(joint: &Joint) -> bool {
    let driven = matches!(
        joint.kind,
        JointKind::Screws | JointKind::PocketScrews | JointKind::Bolts
    );
    joint.glued || (driven && !joint.slotted)
}

/// Whether it must be clamped: screws and nails do it themselves, slips are held by the mitre, and a
/// sliding dovetail draws its parts together on its way in.
pub fn needs_clamps(model: &Model, joint: &Joint) -> bool {
    let holds = joint.fastening.as_ref().is_some_and(|f| {
        model.hardware.get(f.hardware.0 as usize).is_some_and(|h| {
            matches!(
                h.kind,
                HardwareKind::Screw { .. } | HardwareKind::Bolt { .. } | HardwareKind::Nail { .. }
            )
        })
    });
    joint.glued
        && !holds
        && !matches!(
            joint.kind,
            JointKind::Spline
                | JointKind::Key
                | JointKind::DovetailSliding
                | JointKind::Screws
                | JointKind::PocketScrews
                | JointKind::Buttons
                | JointKind::Nails
                | JointKind::Bolts
        )
}
