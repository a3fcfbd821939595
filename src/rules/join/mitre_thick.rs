//! A mitre between parts of different thickness, or of different width where they lie in one plane: the mitre
//! can't run from corner to corner.

use crate::diag::{Diagnostic, code};
use crate::model::{JointKind, LocalAxis};
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

/// Compares what the parts of every mitre measure across it.
pub fn check(view: &View, report: &mut Report) {
    for joint in view
        .piece
        .joints
        .iter()
        .filter(|joint| joint.kind == JointKind::Mitre)
    {
        let (a, b) = (view.part(joint.a), view.part(joint.b));
        let through = LocalAxis::Thickness;
        let (across, word) = match a.lay.axis(through) == b.lay.axis(through) {
            true => (LocalAxis::Width, "width"),
            false => (through, "thickness"),
        };
        let (thick, other) = (a.size.along(across), b.size.along(across));
        let subject = format!(
            "{} and {}, difference in {word}",
            view.label(a),
            view.label(b)
        );
        let measured = Measured::at_most(
            &code::JOIN_MITRE_THICK,
            subject,
            (thick - other).abs(),
            crate::measure::Length::ZERO,
        )
        .by(format!("{} and {}", view.plain(thick), view.plain(other)))
        .from("joint table, placement rules 2.2")
        .lines([joint.origin.span])
        .of(joint.assembly)
        .of_many();
        report.judge(measured, || {
            Diagnostic::new(
                &code::JOIN_MITRE_THICK,
                format!(
                    "{} and {} differ in {word} at a mitre",
                    view.tick(a.id),
                    view.tick(b.id)
                ),
                joint.origin.at("with"),
                match across {
                    LocalAxis::Width => "the mitre ends in a shoulder on the wider one",
                    _ => "the mitre ends in a shoulder on the thicker one",
                },
            )
            .at(a.origin.span, format!("measures {}", view.text(thick)))
            .at(b.origin.span, format!("measures {}", view.text(other)))
            .note(format!(
                "they differ by {}",
                view.text((thick - other).abs())
            ))
            .help(format!("stock of one {word}"))
        });
    }
}

#[cfg(test)]
mod tests {
    use crate::model::JointKind;
    use crate::rules::testing;

    #[test]
    fn six_on_17_6() {
        let mut model = testing::sound();
        model.pieces[0].joints[6].kind = JointKind::Mitre;
        let checked = testing::checked(model);
        assert_eq!(testing::of(&checked, "join.mitre_thick").len(), 1);
    }
}
