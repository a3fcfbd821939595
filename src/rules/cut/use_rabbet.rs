//! A dado at the very end of a part: nothing of the part goes on past what enters, so the cut has one
//! wall only. That is a rabbet.

use super::{Beyond, Housing, TABLE};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;
use crate::rules::words;

struct UseRabbet<'v, 'm> {
    view: &'v View<'m>,
    housing: &'v Housing<'m>,
    beyond: Beyond,
}

/// Looks whether there is wood on both sides of every housing.
pub fn check(view: &View, report: &mut Report) {
    for housing in &super::housings(view) {
        let Some(beyond) = super::beyond(view, housing) else {
            continue;
        };
        let fact = UseRabbet {
            view,
            housing,
            beyond,
        };
        let mut measured = Measured::at_least(
            &code::CUT_USE_RABBET,
            fact.subject(),
            fact.beyond.past,
            // Any wood at all is enough for this rule: the least that is printed.
            view.units().step(),
        )
        .from(TABLE)
        .lines([housing.cut.origin.span])
        .of_many();
        measured.arithmetic = format!("toward the {}", fact.beyond.edge.word());
        report.judge(measured, || fact.diagnostic());
    }
}

impl UseRabbet<'_, '_> {
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
        let kind = words::joint(housing.joint.kind);
        let diagnostic = Diagnostic::new(
            &code::CUT_USE_RABBET,
            format!("{part} does not go on past {a} at the {edge}"),
            housing.joint.origin.at("with"),
            format!("a {kind} needs wood on both sides"),
        );
        let past = self.beyond.past;
        let diagnostic = if past < Length::ZERO {
            diagnostic.note(format!(
                "{a} stands out past {part} by {}",
                view.text(-past)
            ))
        } else {
            diagnostic.note(format!("{a} and {part} end in one plane at the {edge}"))
        };
        diagnostic
            .help("`with rabbet`, whose step is open at that side")
            .help(format!("or let {part} run on past {a}"))
    }
}

#[cfg(test)]
mod tests {
    use crate::model::fixture::{id, solid};
    use crate::rules::testing;

    #[test]
    fn a_floor_flush_with_the_sides_ends() {
        let mut model = testing::sound();
        testing::shift(&mut model, id::FLOOR, [0, 0, -900]);
        testing::shift(&mut model, id::STRIP_FLOOR, [0, 0, -900]);
        for side in [id::LEFT, id::RIGHT] {
            model.pieces[0].parts[side.0 as usize].cuts[0].solids =
                vec![solid([0, 1770], [0, 38600], [0, 650])];
        }
        for joint in [0, 1, 10] {
            testing::shift_joint(&mut model, joint, [0, 0, -900]);
        }
        let said = testing::only(&testing::checked(model), "cut.use_rabbet");
        assert_eq!(
            said.title,
            "`left` does not go on past `floor` at the bottom"
        );
        assert_eq!(
            said.notes[0],
            "`floor` and `left` end in one plane at the bottom"
        );
    }
}
