//! A loose shelf that can't be brought into its opening: it is wider than the daylight, and tilted
//! it is too high for it.
//!
//! A shelf of width W and thickness t that leans at an angle takes up `W cos + t sin` of the width
//! and `W sin + t cos` of the height. A thousand angles with rational sine and cosine are tried,
//! `cos = (1 - u²) / (1 + u²)`, `sin = 2u / (1 + u²)`, so that no rounding lets one through that
//! does not pass.

use super::shelves;
use crate::diag::{Diagnostic, code};
use crate::measure::{Length, Rational};
use crate::model::{Axis, Opening, Part};
use crate::rules::report::{Measured, Report, down, help_with};
use crate::rules::view::View;

const SOURCE: &str = "clear and daylight, placement rules 1.5";

struct NoWay<'v, 'm> {
    view: &'v View<'m>,
    shelf: &'m Part,
    opening: &'m Opening,
    /// The least height that it takes when it is tilted so far that its width passes.
    tilted: Length,
}

/// Holds every loose shelf against the daylight of its opening.
pub fn check(view: &View, report: &mut Report) {
    for set in &view.piece.shelves {
        let opening = view.piece.opening(set.opening);
        let daylight = opening.daylight.extent(Axis::X);
        let high = opening.daylight.extent(Axis::Z);
        for id in &set.parts {
            let shelf = view.part(*id);
            let wide = shelf.finished.extent(Axis::X);
            let subject = format!("{}, way in", shelves(view, set));
            let lines = [shelf.origin.span, opening.origin.span];
            if wide <= daylight {
                report.holds(
                    Measured::at_most(&code::FIT_NO_WAY_IN, subject, wide, daylight)
                        .by("straight in")
                        .from(SOURCE)
                        .lines(lines),
                );
                continue;
            }
            let thick = shelf.finished.extent(Axis::Z);
            let tilted = tilted_height(wide, thick, daylight).unwrap_or(wide);
            let fact = NoWay {
                view,
                shelf,
                opening,
                tilted,
            };
            let measured = Measured::at_most(&code::FIT_NO_WAY_IN, subject, tilted, high)
                .by("height when tilted so far that its width passes")
                .from(SOURCE)
                .lines(lines);
            report.judge(measured, || fact.diagnostic());
        }
    }
}

/// The least height of a tilted shelf that passes `daylight`; `None` if it passes at no angle.
fn tilted_height(wide: Length, thick: Length, daylight: Length) -> Option<Length> {
    const STEPS: i64 = 1000;
    (0..=STEPS)
        .filter_map(|step| {
            let u = Rational::new(step.into(), STEPS.into());
            let whole = Rational::ONE + u * u;
            let cos = (Rational::ONE - u * u) / whole;
            let sin = u * Rational::int(2) / whole;
            let across = wide.scale(cos) + thick.scale(sin);
            let up = wide.scale(sin) + thick.scale(cos);
            (!across.is_overflow() && !up.is_overflow() && across <= daylight).then_some(up)
        })
        .min()
}

impl NoWay<'_, '_> {
    fn diagnostic(&self) -> Diagnostic {
        let (view, shelf, opening) = (self.view, self.shelf, self.opening);
        let wide = shelf.finished.extent(Axis::X);
        let daylight = opening.daylight.extent(Axis::X);
        let high = opening.daylight.extent(Axis::Z);
        let name = view.tick(shelf.id);
        let diagnostic = Diagnostic::new(
            &code::FIT_NO_WAY_IN,
            format!(
                "{name} can't be brought into `{}`",
                view.name(&opening.path)
            ),
            shelf.origin.span,
            format!("{} wide", view.text(wide)),
        )
        .at(
            opening.origin.span,
            format!(
                "daylight {} wide, {} high",
                view.text(daylight),
                view.text(high)
            ),
        )
        .note(format!(
            "straight in: {} - {} = {} too wide",
            view.plain(wide),
            view.plain(daylight),
            view.plain(wide - daylight)
        ))
        .note(format!(
            "tilted until it passes: {} high, {} too much",
            view.about(self.tilted.round_to(Length::mm(1))),
            view.text((self.tilted - high).round_to(Length::mm(1)))
        ));
        help_with(diagnostic, down(view, daylight), |wide| {
            format!("a shelf at most {wide} wide, or in two halves")
        })
    }
}

#[cfg(test)]
mod tests {
    use super::tilted_height;
    use crate::measure::Length;
    use crate::rules::testing;

    /// 3-4-5: a thin shelf of 500 passes 400 when it is raised by 300.
    #[test]
    fn the_tilt_follows_pythagoras() {
        let up = tilted_height(Length::mm(500), Length::um(1), Length::mm(401)).expect("it passes");
        assert!(up > Length::mm(298) && up < Length::mm(300), "{up}");
        assert_eq!(
            tilted_height(Length::mm(500), Length::mm(20), Length::mm(10)),
            None
        );
    }

    #[test]
    fn a_frame_too_narrow_and_too_low() {
        let mut model = testing::sound();
        let daylight = &mut model.pieces[0].openings[1].daylight;
        daylight.hi[0] = daylight.lo[0] + Length::mm(400);
        daylight.hi[2] = daylight.lo[2] + Length::mm(300);
        let said = testing::only(&testing::checked(model), "fit.no_way_in");
        assert_eq!(said.title, "`upper.shelf` can't be brought into `upper`");
    }
}
