//! A drawer box too high for the daylight of its opening, less what its runners need above and below.

use super::{DRAWERS, between, label, runner};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{Axis, Drawer, Edge};
use crate::rules::report::{Measured, Report, down, help_with};
use crate::rules::view::View;

struct High<'v, 'm> {
    view: &'v View<'m>,
    drawer: &'m Drawer,
    high: Length,
    limit: Length,
    sum: String,
}

/// Holds the height of every drawer box against its daylight.
pub fn check(view: &View, report: &mut Report) {
    for drawer in &view.piece.drawers {
        let opening = view.piece.opening(drawer.opening);
        let daylight = opening.daylight.extent(Axis::Z);
        let (limit, sum) = match runner(view, drawer) {
            Some((runner, name, _)) => {
                let limit = daylight - runner.above - runner.below;
                let sum = format!(
                    "{} - {} - {} ({name}, above and below) = {}",
                    view.plain(daylight),
                    view.plain(runner.above),
                    view.plain(runner.below),
                    view.plain(limit)
                );
                (limit, sum)
            }
            None => (daylight, format!("daylight {}", view.plain(daylight))),
        };
        let fact = High {
            view,
            drawer,
            high: drawer.outside.extent(Axis::Z),
            limit,
            sum,
        };
        let subject = format!("{}, height of the box", label(view, &drawer.path));
        let measured = Measured::at_most(&code::FIT_DRAWER_HIGH, subject, fact.high, limit)
            .by(fact.sum.clone())
            .from(DRAWERS)
            .lines([drawer.origin.span, opening.origin.span]);
        if !measured.holds() {
            super::tell(view, report, drawer);
        }
        report.judge(measured, || fact.diagnostic());
    }
}

impl High<'_, '_> {
    fn diagnostic(&self) -> Diagnostic {
        let (view, drawer) = (self.view, self.drawer);
        let opening = view.piece.opening(drawer.opening);
        let diagnostic = Diagnostic::new(
            &code::FIT_DRAWER_HIGH,
            format!(
                "drawer `{}` is {} too high for `{}`",
                view.name(&drawer.path),
                view.text(self.high - self.limit),
                view.name(&opening.path)
            ),
            drawer.origin.at("high"),
            format!("the box is to be {} high", view.text(self.high)),
        )
        .at(
            opening.origin.span,
            format!(
                "daylight {} high{}",
                view.text(opening.daylight.extent(Axis::Z)),
                between(view, opening, Edge::Bottom, Edge::Top)
            ),
        )
        .note(self.sum.clone());
        help_with(diagnostic, down(view, self.limit), |high| {
            format!("`high {high}`")
        })
    }
}

#[cfg(test)]
mod tests {
    use crate::rules::testing;

    /// 292.4 - 6 - 8 = 278.4.
    #[test]
    fn no_room_above_the_runner() {
        let mut model = testing::with_drawer();
        testing::resize_drawer(&mut model, [5394, 3500, 2790]);
        let said = testing::only(&testing::checked(model), "fit.drawer_high");
        assert_eq!(
            said.notes,
            ["292.4 - 6 - 8 (runner, above and below) = 278.4"]
        );
        assert_eq!(said.help, ["`high 278mm`"]);
    }
}
