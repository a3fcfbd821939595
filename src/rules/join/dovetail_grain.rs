//! Dovetails that are not cut in end grain: with the grain across them, tails and pins break off.

use crate::diag::{Diagnostic, code};
use crate::model::{JointKind, LocalAxis, Part};
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

/// Whether a joint is dovetailed.
pub fn is_dovetail(kind: JointKind) -> bool {
    matches!(
        kind,
        JointKind::DovetailThrough | JointKind::DovetailHalfBlind
    )
}

/// Looks whether both parts of every dovetail in solid wood meet at their ends.
pub fn check(view: &View, report: &mut Report) {
    for joint in view
        .piece
        .joints
        .iter()
        .filter(|joint| is_dovetail(joint.kind))
    {
        let (a, b) = (view.part(joint.a), view.part(joint.b));
        let a_axis = view.toward(joint).axis();
        // The corner lies at that end of B along which A's thickness is laid.
        let b_axis = a.lay.axis(LocalAxis::Thickness);
        let ends = |part: &Part, axis| part.lay.local_axis(axis) == LocalAxis::Length;
        let wrong: Vec<&Part> = [(a, a_axis), (b, b_axis)]
            .into_iter()
            .filter(|(part, axis)| view.is_board(part) && !ends(part, *axis))
            .map(|(part, _)| part)
            .collect();
        let subject = format!(
            "{} and {}, grain of their dovetails",
            view.label(a),
            view.label(b)
        );
        let measured = Measured::none_of(&code::JOIN_DOVETAIL_GRAIN, subject, wrong.len())
            .by("parts whose grain runs along the joint")
            .from("joint table, placement rules 2.2")
            .lines([joint.origin.span])
            .of_many();
        report.judge(measured, || {
            let mut diagnostic = Diagnostic::new(
                &code::JOIN_DOVETAIL_GRAIN,
                format!(
                    "dovetails of {} and {} are not in end grain",
                    view.tick(a.id),
                    view.tick(b.id)
                ),
                joint.origin.at("with"),
                "tails and pins would break off along the grain",
            );
            for part in &wrong {
                diagnostic = diagnostic.at(
                    part.origin.span,
                    format!("the grain of {} runs along the corner", view.tick(part.id)),
                );
            }
            diagnostic.help("turn the grain with `grain`, or use another joint")
        });
    }
}

#[cfg(test)]
mod tests {
    use crate::model::fixture::id;
    use crate::model::{Edge, JointKind, Lay, StockId};
    use crate::rules::testing;

    #[test]
    fn a_front_whose_grain_stands_up() {
        let mut model = testing::sound();
        let piece = &mut model.pieces[0];
        piece.joints[0].kind = JointKind::DovetailThrough;
        let floor = &mut piece.parts[id::FLOOR.0 as usize];
        floor.stock = StockId(2);
        floor.lay = Lay {
            end: Edge::Front,
            edge: Edge::Left,
            face: Edge::Top,
        };
        let checked = testing::checked(model);
        assert_eq!(testing::of(&checked, "join.dovetail_grain").len(), 1);
    }
}
