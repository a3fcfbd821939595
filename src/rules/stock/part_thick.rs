//! A part of board thicker than the thickest rough board gives once it is planed.

use super::also;
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{Part, PartId, StockKind};
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

struct Thick<'v, 'm> {
    view: &'v View<'m>,
    part: &'m Part,
    thick: Length,
    rough: Length,
    planing: Length,
    also: Vec<PartId>,
}

/// Holds the thickness of every part of board against rough less planing.
pub fn check(view: &View, report: &mut Report) {
    let planing = view.model.shop.rough_board.2;
    let mut facts: Vec<Thick> = Vec::new();
    for part in &view.piece.parts {
        let Some(StockKind::Board { rough, .. }) = view.stock(part).map(|stock| &stock.kind) else {
            continue;
        };
        let Some(rough) = rough.iter().copied().max() else {
            continue;
        };
        // A strip may be sawn from a board either way up.
        let thick = part.size.thick.min(part.size.width);
        let fact = Thick {
            view,
            part,
            thick,
            rough,
            planing,
            also: Vec::new(),
        };
        // One slip in a stock or a pattern makes many parts too thick: they are told together.
        let same = facts.iter_mut().find(|first| {
            thick > rough - planing && first.thick == thick && first.part.stock == part.stock
        });
        match same {
            Some(first) => first.also.push(part.id),
            None => facts.push(fact),
        }
    }
    for fact in facts {
        let (part, thick, rough) = (fact.part, fact.thick, fact.rough);
        let subject = format!("{}, thickness against rough boards", view.label(part));
        let measured = Measured::at_most(&code::STOCK_PART_THICK, subject, thick, rough - planing)
            .by(fact.sum())
            .from("the shop's allowance for planing, placement rules 1.1")
            .lines([part.origin.span])
            .of_many();
        report.judge(measured, || fact.diagnostic());
    }
}

impl Thick<'_, '_> {
    fn sum(&self) -> String {
        let view = self.view;
        format!(
            "{} - {} (planing) = {}",
            view.plain(self.rough),
            view.plain(self.planing),
            view.plain(self.rough - self.planing)
        )
    }

    fn diagnostic(&self) -> Diagnostic {
        let (view, part) = (self.view, self.part);
        let name = view.tick(part.id);
        let mut diagnostic = Diagnostic::new(
            &code::STOCK_PART_THICK,
            format!("{name} is thicker than its rough boards give"),
            part.origin.at("thick"),
            format!("{} thick", view.text(self.thick)),
        );
        if let Some(stock) = view.stock(part) {
            diagnostic = diagnostic.at(
                stock.origin.at("rough"),
                format!("the thickest rough board is {}", view.text(self.rough)),
            );
        }
        diagnostic = diagnostic.note(self.sum());
        if let Some(also) = also(view, &self.also) {
            diagnostic = diagnostic.note(also);
        }
        diagnostic
            .help(format!(
                "`thick` at most {}",
                view.text(self.rough - self.planing)
            ))
            .help("or a stock with thicker `rough` boards")
    }
}

#[cfg(test)]
mod tests {
    use crate::measure::Length;
    use crate::model::StockKind;
    use crate::rules::testing;

    /// 15 - 3 = 12 < 13, the blank of the side's strip with its tongue.
    #[test]
    fn a_strip_from_thin_boards() {
        let mut model = testing::sound();
        if let StockKind::Board { rough, .. } = &mut model.stocks[2].kind {
            *rough = vec![Length::mm(15)];
        }
        let checked = testing::checked(model);
        let said = testing::of(&checked, "stock.part_thick");
        assert_eq!(
            said[0].notes,
            ["15 - 3 (planing) = 12", "so is `upper.shelf`"]
        );
    }
}
