//! Wedges that spread a tenon across the grain of what it goes through: they split it. They are to press
//! against end grain, the ends of a mortise that runs with the grain.

use crate::diag::{Diagnostic, code};
use crate::model::{CutKind, LocalAxis};
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

/// Looks at the mortise of every wedged tenon in solid wood.
pub fn check(view: &View, report: &mut Report) {
    for part in view.piece.parts.iter().filter(|part| view.is_board(part)) {
        for cut in part.cuts.iter().filter(|cut| cut.kind == CutKind::Mortise) {
            let Some(joint) = cut.joint.map(|id| view.joint(id)) else {
                continue;
            };
            let tenon = view.part(joint.a);
            let mut slots = tenon.cuts.iter();
            if !slots.any(|c| c.kind == CutKind::WedgeSlot && c.joint == cut.joint) {
                continue;
            }
            // They spread a tenon along the length of its mortise.
            let splits = cut.along != LocalAxis::Length;
            let subject = format!("{}, wedges in {}", view.label(tenon), view.tick(part.id));
            let measured = Measured::none_of(&code::JOIN_WEDGE_GRAIN, subject, usize::from(splits))
                .by("pressing across the grain")
                .from("joint table, placement rules 2.2 (common practice)")
                .lines([joint.origin.span, part.origin.span])
                .of_many();
            report.judge(measured, || {
                let name = view.tick(part.id);
                Diagnostic::new(
                    &code::JOIN_WEDGE_GRAIN,
                    format!(
                        "the wedges in the tenon of {} split {name}",
                        view.tick(tenon.id)
                    ),
                    joint.origin.at("with"),
                    "they spread it across the grain of what it goes through",
                )
                .at(
                    part.origin.span,
                    format!("the grain of {name} runs across the mortise"),
                )
                .help("leave `wedged` out, or turn the wider side of the tenon along that grain")
            });
        }
    }
}
