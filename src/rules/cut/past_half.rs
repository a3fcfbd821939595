//! A housing or step deeper than half of the stock weakens the part that carries it.
//!
//! Half is half of the extent in the direction of entry; the room for glue does not count.

use super::{Housing, TABLE, least_wood};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::rules::report::{Measured, Report, down, help_with};
use crate::rules::view::View;
use crate::rules::words;

struct PastHalf<'v, 'm> {
    view: &'v View<'m>,
    housing: &'v Housing<'m>,
    half: Length,
}

/// Holds every housing against half of its stock, unless it is too deep in any case.
pub fn check(view: &View, report: &mut Report) {
    for housing in &super::housings(view) {
        if housing.stock - housing.cut.depth < least_wood() {
            continue;
        }
        let fact = PastHalf {
            view,
            housing,
            half: housing.stock.half(),
        };
        let measured = Measured::at_most(
            &code::CUT_PAST_HALF,
            fact.subject(),
            housing.deep,
            fact.half,
        )
        .by(format!(
            "{} / 2 = {}",
            view.plain(housing.stock),
            view.plain(fact.half)
        ))
        .from(TABLE)
        .lines([housing.cut.origin.span])
        .of(housing.part.assembly)
        .of_many();
        report.judge(measured, || fact.diagnostic());
    }
}

impl PastHalf<'_, '_> {
    fn subject(&self) -> String {
        let part = self.housing.part;
        format!(
            "{}, depth of {}",
            self.view.label(part),
            super::name(self.view, part, self.housing.cut)
        )
    }

    fn diagnostic(&self) -> Diagnostic {
        let (view, housing) = (self.view, self.housing);
        let what = super::name(view, housing.part, housing.cut);
        let part = view.tick(housing.part.id);
        let diagnostic = Diagnostic::new(
            &code::CUT_PAST_HALF,
            format!("{what} goes past half of {part}"),
            super::place(housing.cut),
            format!("{} deep", view.text(housing.deep)),
        )
        .at(
            housing.part.origin.at("of"),
            format!("{part} measures {}", view.text(housing.stock)),
        )
        .note(format!(
            "half of {} is {}; {} - {} = {} past it",
            view.plain(housing.stock),
            view.plain(self.half),
            view.plain(housing.deep),
            view.plain(self.half),
            view.plain(housing.deep - self.half)
        ));
        help_with(diagnostic, down(view, self.half), |deep| {
            format!("`{} deep {deep}`", words::joint(housing.joint.kind))
        })
    }
}

#[cfg(test)]
mod tests {
    use crate::model::fixture::{dmm, id, solid};
    use crate::rules::testing;

    #[test]
    fn nine_is_past_half_of_17_6() {
        let mut model = testing::sound();
        let cut = &mut model.pieces[0].parts[id::LEFT.0 as usize].cuts[1];
        cut.solids = vec![solid([40000, 41770], [2000, 38600], [0, 950])];
        cut.depth = dmm(95);
        let checked = testing::checked(model);
        let said = testing::only(&checked, "cut.past_half");
        assert_eq!(said.notes, ["half of 17.6 is 8.8; 9 - 8.8 = 0.2 past it"]);
        assert_eq!(said.help, ["`dado deep 8mm`"]);
    }
}
