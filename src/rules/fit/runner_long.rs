//! A runner longer than the box that it carries: its rear end has no drawer side to be screwed to.

use super::{DRAWERS, label, runner};
use crate::diag::{Diagnostic, code};
use crate::model::Axis;
use crate::rules::report::{Measured, Report, help_with, up};
use crate::rules::view::View;

/// Holds the length of every runner against the depth of its box.
pub fn check(view: &View, report: &mut Report) {
    for drawer in &view.piece.drawers {
        let Some((runner, name, _)) = runner(view, drawer) else {
            continue;
        };
        let deep = drawer.outside.extent(Axis::Y);
        let subject = format!("{}, length of its runner", label(view, &drawer.path));
        let measured = Measured::at_most(&code::FIT_RUNNER_LONG, subject, runner.long, deep)
            .by(format!("the box is {} deep", view.plain(deep)))
            .from(DRAWERS)
            .lines([drawer.origin.span]);
        report.judge(measured, || {
            let diagnostic = Diagnostic::new(
                &code::FIT_RUNNER_LONG,
                format!(
                    "runner `{name}` is longer than drawer `{}`",
                    view.name(&drawer.path)
                ),
                drawer.origin.at("runner"),
                format!("{} long", view.text(runner.long)),
            )
            .at(
                drawer.origin.at("deep"),
                format!("the box is {} deep", view.text(deep)),
            )
            .note(format!(
                "{} - {} = {} past the rear of the box",
                view.plain(runner.long),
                view.plain(deep),
                view.plain(runner.long - deep)
            ));
            help_with(diagnostic, up(view, runner.long), |deep| {
                format!("leave `deep` out and the box is made {deep} deep")
            })
        });
    }
}

#[cfg(test)]
mod tests {
    use crate::rules::testing;

    #[test]
    fn a_box_shorter_than_its_runner() {
        let mut model = testing::with_drawer();
        testing::resize_drawer(&mut model, [5394, 3000, 1000]);
        let said = testing::only(&testing::checked(model), "fit.runner_long");
        assert_eq!(said.notes, ["350 - 300 = 50 past the rear of the box"]);
    }
}
