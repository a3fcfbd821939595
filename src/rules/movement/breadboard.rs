//! A solid panel in a breadboard end whose outer tenons have too little room: it bursts the end, or splits.

use super::wood::{half_of, yearly};
use crate::diag::{Diagnostic, code};
use crate::measure::{Length, Rational};
use crate::model::{CutKind, Joint, JointKind};
use crate::rules::report::{Measured, Report, help_with, up};
use crate::rules::view::View;

/// Looks at the mortises of every breadboard end beside the middle one.
pub fn check(view: &View, report: &mut Report) {
    let ends = view.piece.joints.iter();
    for joint in ends.filter(|joint| joint.kind == JointKind::Breadboard) {
        let part = view.part(joint.a);
        let Some(year) = yearly(view, part, part.size.width) else {
            continue;
        };
        let Some(room) = room(view, joint) else {
            continue;
        };
        let needed = Length::from_nm(year.change.as_nm() / Rational::int(2));
        let sum = half_of(view, part.size.width, &year);
        let subject = format!(
            "{}, room to move in {}",
            view.label(part),
            view.tick(joint.b)
        );
        let measured = Measured::at_least(&code::MOVE_BREADBOARD, subject, room, needed)
            .by(sum.clone())
            .from("joint table, placement rules 2.2; Wood Handbook, FPL-GTR-190, eq. 4-5 and 13-2")
            .lines([joint.origin.span, part.origin.span])
            .of(part.assembly)
            .of_many();
        report.judge(measured, || {
            let name = view.tick(part.id);
            let out = Diagnostic::new(
                &code::MOVE_BREADBOARD,
                format!(
                    "{name} has {} to move in {}",
                    view.text(room),
                    view.tick(joint.b)
                ),
                joint.origin.at("room"),
                format!("{} are needed on each side", view.about(needed)),
            )
            .at(part.origin.span, "of solid wood, its grain into this joint")
            .note(format!(
                "{sum} = {}: over a year its width changes by {}",
                view.about(needed),
                view.about(year.change)
            ));
            help_with(out, up(view, needed), |room| format!("`room {room}`"))
                .help("leave `room` out, and it is as much as is needed")
        });
    }
}

/// By how much the mortises are longer than the middle one, which is close, on each side.
fn room(view: &View, joint: &Joint) -> Option<Length> {
    let cuts = view.part(joint.b).cuts.iter();
    let own = cuts.filter(|cut| cut.joint == Some(joint.id) && cut.kind == CutKind::Mortise);
    let long = own.flat_map(|cut| cut.solids.iter().map(|s| s.bounds().extent(cut.along)));
    let (least, most) = long.fold((None, None), |(least, most): (Option<Length>, _), l| {
        (Some(least.map_or(l, |x| x.min(l))), most.max(Some(l)))
    });
    Some((most? - least?).half())
}
