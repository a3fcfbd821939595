//! A notch, opening or recess where something lies against the part: a joint loses that much of its
//! meeting, and what stands there loses its hold.
//!
//! A housing that such a cut breaks into is told by [`super::cuts_meet`].

use super::name;
use crate::diag::{Diagnostic, code};
use crate::model::{Axis, Box3, Cut, JointKind, Part};
use crate::rules::report::{Measured, Report};
use crate::rules::solids::is_area;
use crate::rules::view::View;

struct Over<'v, 'm> {
    view: &'v View<'m>,
    part: &'m Part,
    cut: &'m Cut,
    other: &'m Part,
    /// Where the two meet, and what of it lies in the cut.
    meeting: Box3,
    lost: Box3,
    joined: bool,
}

/// Looks at what meets a part where it is cut.
pub fn check(view: &View, report: &mut Report) {
    let mut count = 0;
    for part in &view.piece.parts {
        for cut in part.cuts.iter().filter(|cut| cut.kind.is_own()) {
            let gone = part.to_piece(&cut.bounds());
            for other in view.near(&gone) {
                let Some(fact) = over(view, part, cut, &gone, other) else {
                    continue;
                };
                count += 1;
                let subject = format!(
                    "{}, {} over {}",
                    view.label(part),
                    name(view, part, cut),
                    view.tick(other.id)
                );
                let measured = Measured::none_of(&code::CUT_OVER_JOINT, subject, 1)
                    .by(fact.sum())
                    .from("placement rules 1.7")
                    .lines([cut.origin.span, other.origin.span])
                    .of(part.assembly);
                report.fails(measured, fact.diagnostic());
            }
        }
    }
    if count == 0 {
        let subject = format!("{}, cuts over what stands there", view.piece.title);
        report.holds(
            Measured::none_of(&code::CUT_OVER_JOINT, subject, 0).from("placement rules 1.7"),
        );
    }
}

fn over<'v, 'm>(
    view: &'v View<'m>,
    part: &'m Part,
    cut: &'m Cut,
    gone: &Box3,
    other: &'m Part,
) -> Option<Over<'v, 'm>> {
    if other.id == part.id || other.host == Some(part.id) || part.host == Some(other.id) {
        return None;
    }
    let joint = view
        .joints_of(part.id)
        .find(|joint| [joint.a, joint.b].contains(&other.id));
    let meeting = match joint {
        Some(joint) if joint.kind == JointKind::Edging => return None,
        Some(joint) => {
            let housed = joint.b == part.id
                && part
                    .cuts
                    .iter()
                    .any(|c| c.joint == Some(joint.id) && c.filler == Some(other.id));
            if housed {
                return None;
            }
            joint.contact
        }
        // Doors, drawers and loose shelves come and go; what stands in the same body does not.
        None if other.assembly != part.assembly => return None,
        None => part.finished.meet(&other.finished)?,
    };
    let lost = meeting.meet(gone).filter(is_area)?;
    Some(Over {
        view,
        part,
        cut,
        other,
        meeting,
        lost,
        joined: joint.is_some(),
    })
}

impl Over<'_, '_> {
    fn sum(&self) -> String {
        let size = |b: &Box3| {
            let extents: Vec<String> = Axis::ALL
                .into_iter()
                .map(|axis| b.extent(axis))
                .filter(|extent| extent.is_positive())
                .map(|extent| self.view.text(extent))
                .collect();
            extents.join(" x ")
        };
        format!(
            "{} of the {} where they meet are cut away",
            size(&self.lost),
            size(&self.meeting)
        )
    }

    fn diagnostic(&self) -> Diagnostic {
        let view = self.view;
        let (part, other) = (view.tick(self.part.id), view.tick(self.other.id));
        Diagnostic::new(
            &code::CUT_OVER_JOINT,
            format!(
                "in {part}, {} lies over {other}",
                name(view, self.part, self.cut)
            ),
            self.cut.origin.span,
            "cut here",
        )
        .at(
            self.other.origin.span,
            if self.joined {
                "joined to it there"
            } else {
                "lies against it there"
            },
        )
        .note(self.sum())
        .help(format!("move it off {other}, or make it smaller"))
    }
}
