//! Wide solid wood that is glued or fastened across its grain to what does not move with it: it splits, or
//! pulls the joint apart.
//!
//! A tenon in a leg is such a joint too, and a narrow one holds: 3 mm over a year is about what a tenon of
//! 150 mm (6 in) of oak makes, the widest in common practice.

use super::wood::{solid, sum, yearly};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{Box3, CutKind, Joint, JointKind, LocalAxis, Part, Role, Yearly};
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

const SOURCE: &str = "at most 3 mm, common practice; Wood Handbook, FPL-GTR-190, eq. 4-5 and 13-2";

fn limit() -> Length {
    Length::mm(3)
}

/// Looks at both parts of every joint that lets neither move.
pub fn check(view: &View, report: &mut Report) {
    for joint in view.piece.joints.iter().filter(|joint| is_fast(joint)) {
        for (part, other) in [(joint.a, joint.b), (joint.b, joint.a)] {
            let (part, other) = (view.part(part), view.part(other));
            let Some(held) = held(view, joint, part, other) else {
                continue;
            };
            let Some(year) = yearly(view, part, held) else {
                continue;
            };
            let subject = format!("{}, held by {}", view.label(part), view.tick(other.id));
            let measured =
                Measured::at_most(&code::MOVE_ACROSS_GRAIN, subject, year.change, limit())
                    .by(sum(view, held, &year))
                    .from(SOURCE)
                    .lines([joint.origin.span, part.origin.span])
                    .of(joint.assembly)
                    .of_many();
            report.judge(measured, || {
                diagnostic(view, joint, part, other, held, &year)
            });
        }
    }
}

/// Whether a joint leaves no way to move: nails bend, buttons and slots are made for it, and of breadboard
/// ends the rule of their own speaks.
fn is_fast(joint: &Joint) -> bool {
    match joint.kind {
        JointKind::Buttons | JointKind::Nails | JointKind::Breadboard => false,
        kind => (joint.glued || kind.is_fastened()) && !joint.slotted,
    }
}

/// Over how much of its width a part is held by another that stays as wide as it is: sheet, or solid wood
/// whose grain runs that way.
fn held(view: &View, joint: &Joint, part: &Part, other: &Part) -> Option<Length> {
    let across = part.lay.axis(LocalAxis::Width);
    let moves = solid(view, other) && other.lay.local_axis(across) != LocalAxis::Length;
    if !solid(view, part) || moves {
        return None;
    }
    let places = joint.fastening.as_ref().map(|f| f.places.as_slice());
    let held = match places {
        Some(places) if !joint.glued && !places.is_empty() => {
            let at = || places.iter().map(|place| place[across.index()]);
            at().max()? - at().min()?
        }
        _ => mortises(view, joint)
            .unwrap_or(joint.contact)
            .extent(across),
    };
    held.is_positive().then_some(held)
}

/// The box round the mortises of a joint.
fn mortises(view: &View, joint: &Joint) -> Option<Box3> {
    let part = view.part(joint.b);
    let own = part.cuts.iter().filter(|cut| {
        cut.joint == Some(joint.id) && matches!(cut.kind, CutKind::Mortise | CutKind::LooseMortise)
    });
    let boxes = own.map(|cut| part.to_piece(&cut.bounds()));
    boxes.reduce(|all, b| all.union(&b))
}

fn diagnostic(
    view: &View,
    joint: &Joint,
    part: &Part,
    other: &Part,
    held: Length,
    year: &Yearly,
) -> Diagnostic {
    let (name, other_name) = (view.tick(part.id), view.tick(other.id));
    let how = if joint.glued { "glued" } else { "fastened" };
    let out = Diagnostic::new(
        &code::MOVE_ACROSS_GRAIN,
        format!("{name} is held across its grain by {other_name}"),
        joint.origin.at("with"),
        format!(
            "{how} over {}, of which {} come and go in a year",
            view.text(held),
            view.about(year.change)
        ),
    )
    .at(
        part.origin.span,
        "of solid wood, its grain across this joint",
    )
    .note(format!(
        "{} = {}; what holds it keeps its width",
        sum(view, held, year),
        view.about(year.change)
    ));
    if other.host == Some(part.id) || other.role == Role::Moulding {
        return out.help(
            "glue the strip over its first hand's breadth only and pin the rest, and say so: `allow move.across_grain \"…\"`",
        );
    }
    let out = out.help(
        "let it move: `buttons`, screws that are `slotted`, a `breadboard` end, or `dry` in a housing or `dovetail sliding`",
    );
    match solid(view, other) {
        true => out.help("or turn the grain of one of the two, so that both move alike"),
        false => out,
    }
}
