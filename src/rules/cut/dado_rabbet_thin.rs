//! A rabbeted tongue on a thin part: under 9 mm there is not enough wood for a tongue and a shoulder.

use super::TABLE;
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{Joint, JointKind};
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

struct Thin<'v, 'm> {
    view: &'v View<'m>,
    joint: &'m Joint,
    thick: Length,
}

/// Holds the thickness of every part that enters by a rabbeted tongue against 9 mm.
pub fn check(view: &View, report: &mut Report) {
    for joint in view
        .piece
        .joints
        .iter()
        .filter(|j| j.kind == JointKind::DadoRabbet)
    {
        let a = view.part(joint.a);
        let fact = Thin {
            view,
            joint,
            thick: a.size.thick,
        };
        let subject = format!("{}, thickness for its tongue", view.label(a));
        let measured = Measured::at_least(
            &code::CUT_DADO_RABBET_THIN,
            subject,
            fact.thick,
            Length::mm(9),
        )
        .from(TABLE)
        .lines([joint.origin.span, a.origin.span])
        .of_many();
        report.judge(measured, || fact.diagnostic());
    }
}

impl Thin<'_, '_> {
    fn diagnostic(&self) -> Diagnostic {
        let (view, joint) = (self.view, self.joint);
        let a = view.tick(joint.a);
        Diagnostic::new(
            &code::CUT_DADO_RABBET_THIN,
            format!("{a} is too thin for a rabbeted tongue"),
            joint.origin.at("with"),
            "asked for here",
        )
        .at(
            view.part(joint.a).origin.at("of"),
            format!("{a} measures {}", view.text(self.thick)),
        )
        .note(format!(
            "a tongue and its shoulder need {}",
            view.text(Length::mm(9))
        ))
        .help("`with dado`, which takes the whole thickness")
    }
}

#[cfg(test)]
mod tests {
    use crate::model::JointKind;
    use crate::model::fixture::id;
    use crate::rules::testing;

    #[test]
    fn a_six_millimetre_back() {
        let mut model = testing::sound();
        let piece = &mut model.pieces[0];
        for joint in piece.joints.iter_mut().filter(|j| j.a == id::BACK) {
            joint.kind = JointKind::DadoRabbet;
        }
        let checked = testing::checked(model);
        let said = testing::of(&checked, "cut.dado_rabbet_thin");
        assert_eq!(said[0].title, "`back` is too thin for a rabbeted tongue");
    }
}
