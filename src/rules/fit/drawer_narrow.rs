//! A drawer box so narrow that its runners do not reach it: side-mounted runners fill their room.
//!
//! More than 1 mm of play in the whole width is taken as a mistake (common practice).

use super::{DRAWERS, label};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::Axis;
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

/// Holds the width of every box on runners against their room.
pub fn check(view: &View, report: &mut Report) {
    for drawer in &view.piece.drawers {
        if super::runner(view, drawer).is_none() {
            continue;
        }
        let opening = view.piece.opening(drawer.opening);
        let hidden = opening.clear.extent(Axis::X) > opening.daylight.extent(Axis::X);
        if hidden && !super::is_packed(view, opening) {
            continue; // `fit.runner_unpacked` speaks of it
        }
        let room = super::room(view, drawer);
        let wide = drawer.outside.extent(Axis::X);
        let least = room.wide - Length::mm(1);
        let subject = format!("{}, reach of the runners", label(view, &drawer.path));
        let measured = Measured::at_least(&code::FIT_DRAWER_NARROW, subject, wide, least)
            .by(format!("{}, less 1 mm of play", room.sum))
            .from(format!("{DRAWERS}; play: common practice"))
            .lines([drawer.origin.span, opening.origin.span])
            .of(drawer.assembly);
        report.judge(measured, || {
            Diagnostic::new(
                &code::FIT_DRAWER_NARROW,
                format!(
                    "drawer `{}` is {} too narrow for its runners",
                    view.name(&drawer.path),
                    view.text(room.wide - wide)
                ),
                drawer.origin.at("wide"),
                format!("the box is to be {} wide", view.text(wide)),
            )
            .note(room.sum.clone())
            .help("leave `wide` out and the box is made to fit")
        });
    }
}

#[cfg(test)]
mod tests {
    use crate::rules::testing;

    #[test]
    fn ten_millimetres_of_air() {
        let mut model = testing::with_drawer();
        testing::resize_drawer(&mut model, [5294, 3500, 1000]);
        let said = testing::only(&testing::checked(model), "fit.drawer_narrow");
        assert_eq!(
            said.title,
            "drawer `tray` is 10 mm too narrow for its runners"
        );
    }
}
