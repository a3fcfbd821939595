//! A groove in an edge leaves a cheek on each side; under 3 mm a cheek splits off.
//!
//! The cheeks are taken without the room to slide in (`fit`).

use super::{TABLE, least_wood};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{Cut, CutKind, LocalAxis, Part};
use crate::rules::report::{Measured, Report, down, help_with};
use crate::rules::view::View;

struct Cheek<'v, 'm> {
    view: &'v View<'m>,
    part: &'m Part,
    cut: &'m Cut,
    left: Length,
    groove: Length,
}

/// Holds the thinner cheek of every groove in an edge against 3 mm.
pub fn check(view: &View, report: &mut Report) {
    for part in &view.piece.parts {
        for cut in part
            .cuts
            .iter()
            .filter(|cut| cut.kind == CutKind::EdgeGroove)
        {
            let bounds = cut.bounds();
            let t = LocalAxis::Thickness.index();
            let groove = cut.width - cut.fit;
            let stock = part.size.thick;
            let left = if super::is_centred(cut, LocalAxis::Thickness, stock) {
                (stock - groove).half()
            } else {
                bounds.lo[t].min(stock - bounds.hi[t]) + cut.fit.half()
            };
            let fact = Cheek {
                view,
                part,
                cut,
                left,
                groove,
            };
            let subject = format!(
                "{}, cheek beside {}",
                view.label(part),
                super::name(view, part, cut)
            );
            let measured =
                Measured::at_least(&code::CUT_EDGE_CHEEK, subject, fact.left, least_wood())
                    .by(fact.sum())
                    .from(TABLE)
                    .lines([cut.origin.span])
                    .of_many();
            report.judge(measured, || fact.diagnostic());
        }
    }
}

impl Cheek<'_, '_> {
    fn centred(&self) -> bool {
        self.left == (self.part.size.thick - self.groove).half()
    }

    fn sum(&self) -> String {
        let view = self.view;
        if self.centred() {
            format!(
                "({} - {}) / 2 = {}",
                view.plain(self.part.size.thick),
                view.plain(self.groove),
                view.plain(self.left)
            )
        } else {
            String::new()
        }
    }

    fn diagnostic(&self) -> Diagnostic {
        let (view, part) = (self.view, view_part(self));
        let diagnostic = Diagnostic::new(
            &code::CUT_EDGE_CHEEK,
            format!(
                "{} leaves a cheek of {} on {part}",
                super::name(view, self.part, self.cut),
                view.text(self.left)
            ),
            self.cut
                .origin
                .clause("thick")
                .unwrap_or_else(|| super::place(self.cut)),
            format!(
                "{} of {} goes",
                view.text(self.groove),
                view.text(self.part.size.thick)
            ),
        )
        .at(
            self.part.origin.at("of"),
            format!("{part} measures {}", view.text(self.part.size.thick)),
        );
        let diagnostic = if self.centred() {
            diagnostic.note(self.sum())
        } else {
            diagnostic
        };
        let diagnostic = diagnostic.note(format!(
            "a cheek needs at least {}",
            view.text(least_wood())
        ));
        let most = self.part.size.thick - least_wood() * 2;
        help_with(
            diagnostic,
            down(view, most.min(self.groove - view.units().step())),
            |thick| format!("`tongue thick {thick}`"),
        )
    }
}

fn view_part(fact: &Cheek) -> String {
    fact.view.tick(fact.part.id)
}

#[cfg(test)]
mod tests {
    use crate::model::fixture::{dmm, id, solid};
    use crate::rules::testing;

    /// (17.6 - 12) / 2 = 2.8.
    #[test]
    fn a_tongue_of_twelve_leaves_2_8() {
        let mut model = testing::sound();
        let side = &mut model.pieces[0].parts[id::RIGHT.0 as usize];
        side.cuts.remove(0); // a thick tongue would meet the floor's dado too
        side.cuts.remove(1);
        let groove = side
            .cuts
            .iter_mut()
            .find(|c| c.width == dmm(41))
            .expect("the groove");
        groove.solids = vec![solid([0, 72000], [0, 550], [275, 1485])];
        groove.width = dmm(121);
        let checked = testing::checked(model);
        let said = testing::of(&checked, "cut.edge_cheek");
        assert_eq!(said[0].notes[0], "(17.6 - 12) / 2 = 2.8");
        assert_eq!(said[0].help, ["`tongue thick 11mm`"]);
    }
}
