//! A housing near the end of a part leaves a short piece beside it that shears off along the grain.
//!
//! Across the grain B must go on past A by at least B's own thickness; along the grain by at least
//! A's thickness and 5 mm; past the tongue of a rabbeted tongue by at least 5 mm. Grooves in edges have a
//! rule of their own.

use super::{Beyond, Housing, TABLE};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{CutKind, JointKind};
use crate::rules::report::{Measured, Report, help_with, up};
use crate::rules::view::View;

struct ShortGrain<'v, 'm> {
    view: &'v View<'m>,
    housing: &'v Housing<'m>,
    beyond: Beyond,
    limit: Length,
}

/// Holds the wood beyond every housing against what the grain needs.
pub fn check(view: &View, report: &mut Report) {
    // Beside a groove in an edge stand cheeks, of which `cut.edge_cheek` speaks.
    let housings = super::housings(view).into_iter();
    for housing in &housings
        .filter(|housing| housing.cut.kind != CutKind::EdgeGroove)
        .collect::<Vec<_>>()
    {
        let Some(beyond) = super::beyond(view, housing).filter(|b| b.past.is_positive()) else {
            continue;
        };
        let least = Length::mm(5);
        let limit = match housing.joint.kind {
            JointKind::DadoRabbet => least,
            _ if beyond.short => housing.part.size.thick,
            _ => view.part(housing.joint.a).size.thick.max(least),
        };
        let fact = ShortGrain {
            view,
            housing,
            beyond,
            limit,
        };
        let mut measured = Measured::at_least(
            &code::CUT_SHORT_GRAIN,
            fact.subject(),
            fact.beyond.past,
            limit,
        )
        .from(TABLE)
        .lines([housing.cut.origin.span])
        .of(housing.part.assembly)
        .of_many();
        measured.arithmetic = format!("toward the {}", fact.beyond.edge.word());
        report.judge(measured, || fact.diagnostic());
    }
}

impl ShortGrain<'_, '_> {
    fn subject(&self) -> String {
        let part = self.housing.part;
        format!(
            "{}, wood beyond {}",
            self.view.label(part),
            super::name(self.view, part, self.housing.cut)
        )
    }

    fn diagnostic(&self) -> Diagnostic {
        let (view, housing) = (self.view, self.housing);
        let (a, part) = (view.tick(housing.joint.a), view.tick(housing.part.id));
        let edge = self.beyond.edge.word();
        let why = match housing.joint.kind {
            JointKind::DadoRabbet => "beyond the tongue".to_string(),
            _ if self.beyond.short => format!("across the grain, the thickness of {part}"),
            _ => format!(
                "along the grain, the thickness of {a} and not under {}",
                view.text(Length::mm(5))
            ),
        };
        let diagnostic = Diagnostic::new(
            &code::CUT_SHORT_GRAIN,
            format!(
                "only {} of {part} is left beyond {a}",
                view.text(self.beyond.past)
            ),
            housing.joint.origin.span,
            format!("too near the {edge} of {part}"),
        )
        .at(
            view.part(housing.joint.a).origin.at("at"),
            format!("{a} lies here"),
        )
        .note(format!("needed: {} ({why})", view.text(self.limit)))
        .note(format!(
            "short by {} - {} = {}",
            view.plain(self.limit),
            view.plain(self.beyond.past),
            view.plain(self.limit - self.beyond.past)
        ));
        help_with(diagnostic, up(view, self.limit), |by| {
            format!("let {part} go on past {a} by {by}, or use `rabbet` at its very end")
        })
    }
}

#[cfg(test)]
mod tests {
    use crate::model::fixture::{dmm, id, solid};
    use crate::rules::testing;

    /// 10 mm beyond a dado across 17.6 mm stock: 17.6 are needed.
    #[test]
    fn a_floor_ten_above_the_ends() {
        let mut model = testing::sound();
        testing::shift(&mut model, id::FLOOR, [0, 0, -800]);
        testing::shift(&mut model, id::STRIP_FLOOR, [0, 0, -800]);
        for side in [id::LEFT, id::RIGHT] {
            model.pieces[0].parts[side.0 as usize].cuts[0].solids =
                vec![solid([1000, 2770], [0, 38600], [0, 650])];
        }
        for joint in [0, 1, 10] {
            testing::shift_joint(&mut model, joint, [0, 0, -800]);
        }
        let checked = testing::checked(model);
        let said = testing::only(&checked, "cut.short_grain");
        assert_eq!(said.title, "only 10 mm of `left` is left beyond `floor`");
        assert_eq!(said.notes[1], "short by 17.6 - 10 = 7.6");
        assert_eq!(testing::figure(&checked, "cut.short_grain"), dmm(100));
    }
}
