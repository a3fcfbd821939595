//! A drawer box too wide for the room that its runners leave.

use super::{DRAWERS, Room, between, label};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{Axis, Drawer, Edge};
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

struct Wide<'v, 'm> {
    view: &'v View<'m>,
    drawer: &'m Drawer,
    wide: Length,
    room: Room,
}

/// Holds the width of every drawer box against its room.
pub fn check(view: &View, report: &mut Report) {
    for drawer in &view.piece.drawers {
        let fact = Wide {
            view,
            drawer,
            wide: drawer.outside.extent(Axis::X),
            room: super::room(view, drawer),
        };
        let subject = format!("{}, width of the box", label(view, &drawer.path));
        let opening = view.piece.opening(drawer.opening);
        let measured =
            Measured::at_most(&code::FIT_DRAWER_WIDE, subject, fact.wide, fact.room.wide)
                .by(fact.room.sum.clone())
                .from(DRAWERS)
                .lines([drawer.origin.span, opening.origin.span]);
        if !measured.holds() {
            super::tell(view, report, drawer);
        }
        report.judge(measured, || fact.diagnostic());
    }
}

impl Wide<'_, '_> {
    fn diagnostic(&self) -> Diagnostic {
        let (view, drawer) = (self.view, self.drawer);
        let opening = view.piece.opening(drawer.opening);
        Diagnostic::new(
            &code::FIT_DRAWER_WIDE,
            format!(
                "drawer `{}` is {} too wide for `{}`",
                view.name(&drawer.path),
                view.text(self.wide - self.room.wide),
                view.name(&opening.path)
            ),
            drawer.origin.at("wide"),
            format!("the box is to be {} wide", view.text(self.wide)),
        )
        .at(
            opening.origin.span,
            format!(
                "clear width {}{}",
                view.text(opening.clear.extent(Axis::X)),
                between(view, opening, Edge::Left, Edge::Right)
            ),
        )
        .note(self.room.sum.clone())
        .help("leave `wide` out and the box is made to fit")
    }
}

#[cfg(test)]
mod tests {
    use crate::model::fixture::dmm;
    use crate::rules::testing;

    /// 564.8 between the sides, less 2 x 12.7, is 539.4.
    #[test]
    fn the_runners_room_forgotten() {
        let mut model = testing::with_drawer();
        testing::resize_drawer(&mut model, [5521, 3500, 1000]);
        let checked = testing::checked(model);
        let said = testing::only(&checked, "fit.drawer_wide");
        assert_eq!(said.title, "drawer `tray` is 12.7 mm too wide for `lower`");
        assert_eq!(said.notes, ["564.8 - 2 x 12.7 (runner, beside) = 539.4"]);
        assert_eq!(testing::figure(&checked, "fit.drawer_wide"), dmm(5521));
    }

    #[test]
    fn a_drawer_that_fits() {
        let checked = testing::checked(testing::with_drawer());
        assert_eq!(testing::codes(&checked), [""; 0], "{checked:#?}");
    }
}
