//! A solid panel whose grooves, or the grooves for its tongues, leave it too little room to swell: it bursts
//! its frame, or splits.

use super::wood::{half_of, yearly};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{Joint, JointKind, LocalAxis, Role, Yearly};
use crate::rules::report::{Measured, Report, help_with, up};
use crate::rules::view::View;

const SOURCE: &str =
    "joint table, placement rules 2.2; Wood Handbook, FPL-GTR-190, eq. 4-5 and 13-2";

/// Looks at the grooves along the edges of solid fields, solid bottoms of drawers, and of whatever else has a
/// gap.
pub fn check(view: &View, report: &mut Report) {
    for joint in &view.piece.joints {
        let part = view.part(joint.a);
        let floats = !joint.glued || matches!(part.role, Role::Field | Role::DrawerBottom);
        let across = part.lay.side(view.toward(joint)).axis() == LocalAxis::Width;
        let grooved = matches!(joint.kind, JointKind::Groove | JointKind::Tongue);
        if !grooved || !floats || !across {
            continue;
        }
        let Some(year) = yearly(view, part, part.size.width) else {
            continue;
        };
        let room = room(view, joint);
        let needed = year.change.half();
        let subject = format!(
            "{}, room to move in {}",
            view.label(part),
            view.tick(joint.b)
        );
        let measured = Measured::at_least(&code::MOVE_FIELD_GAP, subject, room, needed)
            .by(half_of(view, part.size.width, &year))
            .from(SOURCE)
            .lines([joint.origin.span, part.origin.span])
            .of(part.assembly)
            .of_many();
        report.judge(measured, || diagnostic(view, joint, room, needed, &year));
    }
}

/// How far a panel may still go in: none where it is glued.
fn room(view: &View, joint: &Joint) -> Length {
    if joint.glued {
        return Length::ZERO;
    }
    let cuts = view.part(joint.b).cuts.iter();
    let own = cuts.filter(|cut| cut.joint == Some(joint.id));
    let deep = own.map(|cut| cut.depth).min().unwrap_or(joint.deep);
    (deep - joint.deep).max(Length::ZERO)
}

fn diagnostic(
    view: &View,
    joint: &Joint,
    room: Length,
    needed: Length,
    year: &Yearly,
) -> Diagnostic {
    let part = view.part(joint.a);
    let name = view.tick(part.id);
    let has = if joint.glued {
        "is glued in".to_owned()
    } else {
        format!("has {} to swell", view.text(room))
    };
    let out = Diagnostic::new(
        &code::MOVE_FIELD_GAP,
        format!("{name} {has} in {}", view.tick(joint.b)),
        joint.origin.at("gap"),
        format!("{} are needed on each side", view.about(needed)),
    )
    .at(
        part.origin.span,
        "of solid wood, its grain along this joint",
    )
    .note(format!(
        "{} = {}: over a year its width changes by {}",
        half_of(view, part.size.width, year),
        view.about(needed),
        view.about(year.change)
    ));
    let out = match joint.glued {
        true => out,
        false => out.note(format!("{} too little", view.about(needed - room))),
    };
    let out = help_with(out, up(view, needed), |gap| {
        format!(
            "`gap {gap}` on this joint, and `deep` as much more, so that as much stays in the groove"
        )
    });
    out.help("or a panel of sheet, which hardly moves")
}
