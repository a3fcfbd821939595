//! Dovetails in plywood under 9 mm: the plies split at the narrow ends of tails and pins. Fingers have none,
//! and hold in sheet from 6 mm (common practice).

use super::dovetail_grain::is_dovetail;
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::JointKind;
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

/// Holds the thickness of both parts of every dovetail in sheet against 9 mm, of fingers against 6.
pub fn check(view: &View, report: &mut Report) {
    for joint in view
        .piece
        .joints
        .iter()
        .filter(|joint| is_dovetail(joint.kind) || joint.kind == JointKind::Finger)
    {
        let (what, limit) = if joint.kind == JointKind::Finger {
            ("fingers", Length::mm(6))
        } else {
            ("dovetails", Length::mm(9))
        };
        for part in [view.part(joint.a), view.part(joint.b)] {
            if !view.has_core(part) {
                continue;
            }
            let subject = format!("{}, thickness for {what}", view.label(part));
            let thick = part.size.thick;
            let measured = Measured::at_least(&code::JOIN_DOVETAIL_THIN, subject, thick, limit)
                .from("joint table, placement rules 2.2")
                .lines([joint.origin.span, part.origin.span])
                .of_many();
            report.judge(measured, || {
                Diagnostic::new(
                    &code::JOIN_DOVETAIL_THIN,
                    format!("{} is too thin for {what} in sheet", view.tick(part.id)),
                    joint.origin.at("with"),
                    format!("{what} asked for here"),
                )
                .at(
                    part.origin.at("of"),
                    format!("measures {}", view.text(thick)),
                )
                .note(format!("sheet needs {} for {what}", view.text(limit)))
                .help("thicker stock, or `rabbet`")
            });
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::model::JointKind;
    use crate::rules::testing;

    #[test]
    fn a_six_millimetre_back() {
        let mut model = testing::sound();
        model.pieces[0].joints[6].kind = JointKind::DovetailThrough;
        let checked = testing::checked(model);
        assert_eq!(testing::of(&checked, "join.dovetail_thin").len(), 1);
    }
}
