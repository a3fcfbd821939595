//! Half-blind dovetails whose lap leaves too little of the front for the tails: they must be at least
//! two thirds as long as the side is thick.

use crate::diag::{Diagnostic, code};
use crate::measure::{Length, Rational};
use crate::model::{Joint, JointKind};
use crate::rules::report::{Measured, Report, down, help_with};
use crate::rules::view::View;

struct HalfBlind<'v, 'm> {
    view: &'v View<'m>,
    joint: &'m Joint,
    thick: Length,
    /// How far the side enters the front.
    tails: Length,
    limit: Length,
}

/// Holds the length of the tails of every half-blind dovetail against two thirds of their side.
pub fn check(view: &View, report: &mut Report) {
    for joint in view
        .piece
        .joints
        .iter()
        .filter(|j| j.kind == JointKind::DovetailHalfBlind)
    {
        let (a, b) = (view.part(joint.a), view.part(joint.b));
        let axis = view.toward(joint).axis();
        let thick = b.core.extent(axis);
        let tails = a
            .core
            .meet(&b.core)
            .map_or(Length::ZERO, |m| m.extent(axis));
        let limit = a.size.thick.scale(Rational::new(2, 3));
        let fact = HalfBlind {
            view,
            joint,
            thick,
            tails,
            limit,
        };
        let subject = format!("{}, length of its tails", view.label(a));
        let measured = Measured::at_least(&code::JOIN_HALF_BLIND, subject, tails, limit)
            .by(fact.sum())
            .from("joint table, placement rules 2.2")
            .lines([joint.origin.span])
            .of_many();
        report.judge(measured, || fact.diagnostic());
    }
}

impl HalfBlind<'_, '_> {
    fn sum(&self) -> String {
        let view = self.view;
        format!(
            "{} - {} (lap) = {}",
            view.plain(self.thick),
            view.plain(self.thick - self.tails),
            view.plain(self.tails)
        )
    }

    fn diagnostic(&self) -> Diagnostic {
        let (view, joint) = (self.view, self.joint);
        let (a, b) = (view.tick(joint.a), view.tick(joint.b));
        let diagnostic = Diagnostic::new(
            &code::JOIN_HALF_BLIND,
            format!("the lap leaves tails of only {}", view.text(self.tails)),
            joint.origin.at("lap"),
            format!(
                "{} of {b} stay in front",
                view.text(self.thick - self.tails)
            ),
        )
        .at(
            view.part(joint.a).origin.at("of"),
            format!("{a} measures {}", view.text(view.part(joint.a).size.thick)),
        )
        .note(self.sum())
        .note(format!(
            "two thirds of {} are {}",
            view.plain(view.part(joint.a).size.thick),
            view.plain(self.limit)
        ));
        help_with(diagnostic, down(view, self.thick - self.limit), |lap| {
            format!("`lap {lap}`")
        })
    }
}

#[cfg(test)]
mod tests {
    use crate::model::JointKind;
    use crate::model::fixture::dmm;
    use crate::rules::testing;

    /// 17.6 - 7.6 = 10 against 2/3 of 17.6 = 11.733….
    #[test]
    fn a_thick_lap() {
        let mut model = testing::sound();
        let joint = &mut model.pieces[0].joints[0];
        joint.kind = JointKind::DovetailHalfBlind;
        let floor = &mut model.pieces[0].parts[crate::model::fixture::id::FLOOR.0 as usize];
        floor.core.lo[0] = dmm(76);
        let checked = testing::checked(model);
        let said = testing::of(&checked, "join.half_blind");
        assert_eq!(said[0].notes[0], "17.6 - 7.6 (lap) = 10");
        assert_eq!(said[0].help, ["`lap 5mm`"]);
    }
}
