//! A tongue across the grain of solid wood: cut on the end of a board, it is glued across the grain
//! of what it enters and can't move with the seasons.

use crate::diag::{Diagnostic, code};
use crate::model::{JointKind, LocalAxis};
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

/// Looks at the tongues of solid parts.
pub fn check(view: &View, report: &mut Report) {
    for joint in view
        .piece
        .joints
        .iter()
        .filter(|joint| joint.kind == JointKind::Tongue && joint.glued)
    {
        let a = view.part(joint.a);
        if !view.is_board(a) {
            continue;
        }
        let side = a.lay.side(view.toward(joint));
        let across = side.axis() == LocalAxis::Length;
        let subject = format!("{}, grain of its tongue", view.label(a));
        let measured = Measured::none_of(&code::JOIN_ACROSS, subject, usize::from(across))
            .by("tongues across the grain")
            .from("joint table, placement rules 2.2")
            .lines([joint.origin.span, a.origin.span])
            .of(a.assembly)
            .of_many();
        report.judge(measured, || {
            let name = view.tick(a.id);
            Diagnostic::new(
                &code::JOIN_ACROSS,
                format!("the tongue of {name} runs across the grain"),
                joint.origin.at("with"),
                "a tongue in solid wood runs with the grain",
            )
            .at(
                a.origin.span,
                format!("the grain of {name} ends at this joint"),
            )
            .note("the width of the board changes with the seasons, and this joint holds it fast")
            .help("`with dado`, glued in the middle only, or a part of sheet")
        });
    }
}

#[cfg(test)]
mod tests {
    use crate::model::StockId;
    use crate::model::fixture::id;
    use crate::rules::testing;

    #[test]
    fn a_solid_top_with_tongues_on_its_ends() {
        let mut model = testing::sound();
        model.pieces[0].parts[id::TOP.0 as usize].stock = StockId(2);
        let checked = testing::checked(model);
        assert_eq!(testing::of(&checked, "join.across").len(), 2);
    }
}
