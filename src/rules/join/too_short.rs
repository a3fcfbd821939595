//! A screw or nail no longer than what it goes through: it holds nothing.

use super::{CONNECTORS, driven};
use crate::diag::{Diagnostic, code};
use crate::rules::report::{Measured, Report, help_with, up};
use crate::rules::view::View;

/// Holds the length of every screw and nail against what it goes through.
pub fn check(view: &View, report: &mut Report) {
    for screw in driven(view) {
        let joint = screw.connector.joint;
        let subject = format!(
            "{}, reach of {}",
            view.label(screw.through),
            screw.connector.name
        );
        // It must come out at all: the least that is printed.
        let limit = screw.passed() + view.units().step();
        let measured = Measured::at_least(&code::JOIN_TOO_SHORT, subject, screw.long, limit)
            .by(format!("goes through {}", view.plain(screw.passed())))
            .from(CONNECTORS)
            .lines([joint.origin.span])
            .of_many();
        report.judge(measured, || {
            let (through, holder) = (view.tick(screw.through.id), view.tick(screw.holder.id));
            let diagnostic = Diagnostic::new(
                &code::JOIN_TOO_SHORT,
                format!("`{}` does not reach {holder}", screw.connector.name),
                joint.origin.at("with"),
                format!("{} long", view.text(screw.long)),
            )
            .at(
                screw.through.origin.span,
                format!("goes through {} of {through}", view.text(screw.passed())),
            )
            .note(format!(
                "{} - {} = {} in {holder}",
                view.plain(screw.long),
                view.plain(screw.passed()),
                view.plain(screw.bite())
            ));
            // About half of its length, or of what holds it if that is less.
            let good = screw.passed() + screw.passed().min(screw.held() * 2 / 3);
            help_with(diagnostic, up(view, good), |long| {
                format!("one about {long} long")
            })
        });
    }
}

#[cfg(test)]
mod tests {
    use crate::rules::testing;

    #[test]
    fn sixteen_through_17_6() {
        let model = testing::with_screws(160);
        let said = testing::only(&testing::checked(model), "join.too_short");
        assert_eq!(said.notes, ["16 - 17.6 = \u{2212}1.6 in `floor`"]);
    }
}
