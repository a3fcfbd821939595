//! A runner on the side of a case whose face frame or hanging edging stands in the drawer's way.
//!
//! Behind a face frame the runner must be packed out to the daylight.

use super::{DRAWERS, is_packed, label, runner};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::Axis;
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

/// Looks whether clear width and daylight are one, or the runner packed.
pub fn check(view: &View, report: &mut Report) {
    for drawer in &view.piece.drawers {
        if runner(view, drawer).is_none() {
            continue;
        }
        let opening = view.piece.opening(drawer.opening);
        let clear = opening.clear.extent(Axis::X);
        let daylight = opening.daylight.extent(Axis::X);
        let hidden = if is_packed(view, opening) {
            Length::ZERO
        } else {
            clear - daylight
        };
        let subject = format!("{}, runners behind the frame", label(view, &drawer.path));
        let measured = Measured::at_most(&code::FIT_RUNNER_UNPACKED, subject, hidden, Length::ZERO)
            .by(format!(
                "clear {}, daylight {}",
                view.plain(clear),
                view.plain(daylight)
            ))
            .from(DRAWERS)
            .lines([drawer.origin.span, opening.origin.span]);
        if !measured.holds() {
            super::tell(view, report, drawer);
        }
        report.judge(measured, || {
            Diagnostic::new(
                &code::FIT_RUNNER_UNPACKED,
                format!(
                    "the runners of drawer `{}` lie behind the frame",
                    view.name(&drawer.path)
                ),
                drawer.origin.at("runner"),
                "on the side of the case",
            )
            .at(
                opening.origin.span,
                format!(
                    "clear {}, daylight {}",
                    view.text(clear),
                    view.text(daylight)
                ),
            )
            .note(format!(
                "({} - {}) / 2 = {} a side",
                view.plain(clear),
                view.plain(daylight),
                view.plain(hidden.half())
            ))
            .help("edging no wider than the side is thick, or a drawer that runs on wood")
        });
    }
}

#[cfg(test)]
mod tests {
    use crate::model::fixture::dmm;
    use crate::rules::testing;

    #[test]
    fn a_frame_of_ten_a_side() {
        let mut model = testing::with_drawer();
        let daylight = &mut model.pieces[0].openings[0].daylight;
        daylight.lo[0] += dmm(100);
        daylight.hi[0] -= dmm(100);
        let checked = testing::checked(model);
        let said = testing::of(&checked, "fit.runner_unpacked");
        assert_eq!(said[0].notes, ["(564.8 - 544.8) / 2 = 10 a side"]);
    }
}
