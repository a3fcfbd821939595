//! A bore that should end in the wood and comes out on the other side.
//!
//! Holes that are meant to go through (for a pull, or the clearance of a screw) are not looked at;
//! what a screw's point does is the business of `join.too_long`.

use super::place;
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{Cut, CutKind, Part, Solid};
use crate::rules::report::{Measured, Report, down, help_with};
use crate::rules::view::View;
use crate::rules::words;

struct Through<'v, 'm> {
    view: &'v View<'m>,
    part: &'m Part,
    cut: &'m Cut,
    depth: Length,
    stock: Length,
}

/// Holds the depth of every blind bore against its stock.
pub fn check(view: &View, report: &mut Report) {
    for part in &view.piece.parts {
        for cut in &part.cuts {
            if !matches!(cut.kind, CutKind::PinHoles | CutKind::CupBore) {
                continue;
            }
            let deepest = cut
                .solids
                .iter()
                .filter_map(|solid| match solid {
                    Solid::Bore { depth, .. } => Some(*depth),
                    Solid::Box(_) | Solid::Prism { .. } => None,
                })
                .max();
            let Some(depth) = deepest else {
                continue;
            };
            let stock = part.size.along(cut.entry.axis());
            let fact = Through {
                view,
                part,
                cut,
                depth,
                stock,
            };
            let subject = format!(
                "{}, depth of the {}",
                view.label(part),
                words::cut(cut.kind)
            );
            // A hair of wood is no wood: the printed step must be left.
            let limit = stock - view.units().step();
            let measured = Measured::at_most(&code::CUT_BORE_THROUGH, subject, depth, limit)
                .from("common practice")
                .lines([cut.origin.span, part.origin.span])
                .of_many();
            report.judge(measured, || fact.diagnostic());
        }
    }
}

impl Through<'_, '_> {
    fn diagnostic(&self) -> Diagnostic {
        let view = self.view;
        let (part, what) = (view.tick(self.part.id), words::cut(self.cut.kind));
        let diagnostic = Diagnostic::new(
            &code::CUT_BORE_THROUGH,
            format!("the {what} comes out on the other side of {part}"),
            place(self.cut),
            format!("bored {} deep", view.text(self.depth)),
        )
        .at(
            self.part.origin.at("of"),
            format!("{part} measures {}", view.text(self.stock)),
        )
        .note(format!(
            "{} - {} = {}",
            view.plain(self.stock),
            view.plain(self.depth),
            view.plain(self.stock - self.depth)
        ));
        help_with(diagnostic, down(view, self.stock - Length::mm(2)), |deep| {
            format!("hardware whose hole is at most {deep} deep, or thicker stock")
        })
    }
}

#[cfg(test)]
mod tests {
    use crate::model::Solid;
    use crate::model::fixture::{dmm, id};
    use crate::rules::testing;

    #[test]
    fn pins_eighteen_deep_in_17_6() {
        let mut model = testing::sound();
        let row = &mut model.pieces[0].parts[id::LEFT.0 as usize].cuts[5];
        for solid in &mut row.solids {
            if let Solid::Bore { depth, .. } = solid {
                *depth = dmm(180);
            }
        }
        let said = testing::only(&testing::checked(model), "cut.bore_through");
        assert_eq!(
            said.title,
            "the row of pin holes comes out on the other side of `left`"
        );
        assert_eq!(
            said.help,
            ["hardware whose hole is at most 15mm deep, or thicker stock"]
        );
    }
}
