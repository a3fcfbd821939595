//! A housing, step, blind mortise or socket that goes through, or nearly: less than 3 mm of wood is left
//! under it.
//!
//! The room for glue (`relief`) is real wood gone, so it counts.

use super::{Housing, TABLE, housings, least_wood, sockets};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::JointKind;
use crate::rules::report::{Measured, Report, down, help_with};
use crate::rules::view::View;
use crate::rules::words;

struct TooDeep<'v, 'm> {
    view: &'v View<'m>,
    housing: &'v Housing<'m>,
    left: Length,
}

/// Holds what is left under every housing against the least.
pub fn check(view: &View, report: &mut Report) {
    for housing in housings(view).iter().chain(&sockets(view)) {
        let left = housing.stock - housing.cut.depth;
        let fact = TooDeep {
            view,
            housing,
            left,
        };
        let measured = Measured::at_least(&code::CUT_TOO_DEEP, fact.subject(), left, least_wood())
            .by(fact.sum())
            .from(TABLE)
            .lines([housing.cut.origin.span])
            .of_many();
        report.judge(measured, || fact.diagnostic());
    }
}

impl TooDeep<'_, '_> {
    fn subject(&self) -> String {
        let part = self.housing.part;
        format!(
            "{}, wood left under {}",
            self.view.label(part),
            super::name(self.view, part, self.housing.cut)
        )
    }

    fn sum(&self) -> String {
        let (view, housing) = (self.view, self.housing);
        let mut sum = format!(
            "{} - {}",
            view.plain(housing.stock),
            view.plain(housing.deep)
        );
        if !housing.cut.relief.is_zero() {
            sum += &format!(" - {} (room for glue)", view.plain(housing.cut.relief));
        }
        sum + &format!(" = {}", view.plain(self.left))
    }

    fn diagnostic(&self) -> Diagnostic {
        let (view, housing) = (self.view, self.housing);
        let what = super::name(view, housing.part, housing.cut);
        let part = view.tick(housing.part.id);
        let title = if self.left.is_positive() {
            format!("{what} leaves {} of {part}", view.text(self.left))
        } else {
            format!("{what} goes through {part}")
        };
        let most = housing.stock - least_wood() - housing.cut.relief;
        let through = housing.joint.kind == JointKind::Mortise && !self.left.is_positive();
        let diagnostic = Diagnostic::new(
            &code::CUT_TOO_DEEP,
            title,
            super::place(housing.cut),
            format!("{} deep", view.text(housing.deep)),
        )
        .at(
            housing.part.origin.at("of"),
            format!("{part} measures {}", view.text(housing.stock)),
        )
        .note(self.sum())
        .note(format!("at least {} must stay", view.text(least_wood())));
        let diagnostic = help_with(
            diagnostic,
            down(view, most.min(housing.stock.half())),
            |deep| format!("`{} deep {deep}`", words::joint(housing.joint.kind)),
        );
        if through {
            diagnostic.help("`mortise through` where it is to be seen on the far face")
        } else {
            diagnostic
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::model::fixture::{dmm, id, solid};
    use crate::rules::testing;

    #[test]
    fn fifteen_in_17_6_leaves_2_1() {
        let mut model = testing::sound();
        for side in [id::LEFT, id::RIGHT] {
            let cut = &mut model.pieces[0].parts[side.0 as usize].cuts[0];
            cut.solids = vec![solid([9000, 10770], [0, 38600], [0, 1550])];
            cut.depth = dmm(155);
        }
        let checked = testing::checked(model);
        let said = testing::only(&checked, "cut.too_deep");
        assert_eq!(said.title, "the dado for `floor` leaves 2.1 mm of `left`");
        assert_eq!(said.notes[0], "17.6 - 15 - 0.5 (room for glue) = 2.1");
        assert_eq!(said.help, ["`dado deep 8mm`"]);
        assert_eq!(said.notes.len(), 2, "both hands are one mistake");
    }
}
