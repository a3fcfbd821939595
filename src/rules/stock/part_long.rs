//! A part larger than any sheet or board that is sold of its stock.
//!
//! The sawn size counts, laid with its grain along that of the sheet; without grain either way.
//! Wide panels of board are glued up from several, so that a board's width is no limit.

use super::also;
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{Grain, Part, PartId, SheetGrain, SheetSize, StockKind};
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

struct Long<'v, 'm> {
    view: &'v View<'m>,
    part: &'m Part,
    /// The extent that does not fit.
    figure: Length,
    /// What the best size has there.
    limit: Length,
    across: bool,
    sold: String,
    also: Vec<PartId>,
}

/// Holds every part against the sizes of its stock.
pub fn check(view: &View, report: &mut Report) {
    let mut facts: Vec<Long> = Vec::new();
    for fact in view
        .piece
        .parts
        .iter()
        .filter_map(|part| measure(view, part))
    {
        // Strips that are all too long have one cause, and are told together.
        let strip = |fact: &Long| fact.part.host.is_some() && fact.figure > fact.limit;
        let same = facts
            .iter_mut()
            .find(|first| strip(first) && strip(&fact) && first.part.stock == fact.part.stock);
        match same {
            Some(first) => first.also.push(fact.part.id),
            None => facts.push(fact),
        }
    }
    for fact in facts {
        let part = fact.part;
        let way = if fact.across { "width" } else { "length" };
        let subject = format!("{}, {way} against what is sold", view.label(part));
        let measured = Measured::at_most(&code::STOCK_PART_LONG, subject, fact.figure, fact.limit)
            .by(fact.sold.clone())
            .from(
                view.stock(part)
                    .map_or(String::new(), |stock| stock.title.clone()),
            )
            .lines([part.origin.span])
            .of_many();
        report.judge(measured, || fact.diagnostic());
    }
}

fn measure<'v, 'm>(view: &'v View<'m>, part: &'m Part) -> Option<Long<'v, 'm>> {
    let stock = view.stock(part)?;
    let long = |limit: Length, word: &str| Long {
        view,
        part,
        figure: part.size.length,
        limit,
        across: false,
        sold: format!("the longest {word} is {}", view.text(limit)),
        also: Vec::new(),
    };
    match &stock.kind {
        StockKind::Sheet { sizes, grain, .. } => {
            // The size and way round that leaves most room in the tighter direction.
            sizes
                .iter()
                .flat_map(|size| ways(size, *grain, part.grain))
                .map(|(along, across, sold)| {
                    let tight = (along - part.size.length) > (across - part.size.width);
                    let (figure, limit) = if tight {
                        (part.size.width, across)
                    } else {
                        (part.size.length, along)
                    };
                    Long {
                        view,
                        part,
                        figure,
                        limit,
                        across: tight,
                        sold: sheet(view, sold),
                        also: Vec::new(),
                    }
                })
                .max_by_key(|fact| fact.limit - fact.figure)
        }
        StockKind::Board { long: range, .. } => range.map(|(_, most)| long(most, "board")),
        StockKind::Edging { long: most, .. } => most.map(|most| long(most, "strip")),
    }
}

/// The ways in which a part may lie on a sheet: extents along and across the part's grain.
fn ways(size: &SheetSize, sheet: SheetGrain, part: Grain) -> Vec<(Length, Length, &SheetSize)> {
    let with = (size.long, size.wide, size);
    let across = (size.wide, size.long, size);
    match (part, sheet) {
        (Grain::None, _) | (_, SheetGrain::None) => vec![with, across],
        (Grain::Lengthwise, SheetGrain::Long) => vec![with],
        (Grain::Lengthwise, SheetGrain::Wide) => vec![across],
    }
}

fn sheet(view: &View, size: &SheetSize) -> String {
    format!(
        "sheets up to {} x {}",
        view.plain(size.long),
        view.text(size.wide)
    )
}

impl Long<'_, '_> {
    fn diagnostic(&self) -> Diagnostic {
        let (view, part) = (self.view, self.part);
        let name = view.tick(part.id);
        let way = if self.across { "wide" } else { "long" };
        let mut diagnostic = Diagnostic::new(
            &code::STOCK_PART_LONG,
            format!(
                "{name} is {} too {way} for any stock that is sold",
                view.text(self.figure - self.limit)
            ),
            part.origin.at("of"),
            format!(
                "sawn {} x {}",
                view.plain(part.size.length),
                view.text(part.size.width)
            ),
        );
        if let Some(also) = also(view, &self.also) {
            diagnostic = diagnostic.note(also);
        }
        if let Some(stock) = view.stock(part) {
            diagnostic = diagnostic.at(stock.origin.span, self.sold.clone());
        }
        let sheet = view.is_sheet(part);
        let grain = match part.grain {
            Grain::Lengthwise if sheet => " with the grain",
            Grain::Lengthwise | Grain::None => "",
        };
        let diagnostic = diagnostic
            .note(format!(
                "{} - {} = {}",
                view.plain(self.figure),
                view.plain(self.limit),
                view.plain(self.figure - self.limit)
            ))
            .help(format!(
                "stock that is sold at least {} {way}{grain}",
                view.text(self.figure)
            ));
        if sheet {
            diagnostic.help("or divide the part, or turn its grain with `grain`")
        } else {
            diagnostic.help("or make the part of two, joined end to end or divided")
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::measure::Length;
    use crate::model::StockKind;
    use crate::rules::testing;

    #[test]
    fn sides_longer_than_the_sheet() {
        let mut model = testing::sound();
        if let StockKind::Sheet { sizes, .. } = &mut model.stocks[0].kind {
            sizes[0].long = Length::mm(700);
        }
        let checked = testing::checked(model);
        let said = testing::of(&checked, "stock.part_long");
        assert_eq!(
            said[0].title,
            "`left` is 20 mm too long for any stock that is sold"
        );
        assert_eq!(said.len(), 2);
    }

    #[test]
    fn across_the_grain_is_no_way_out() {
        let mut model = testing::sound();
        if let StockKind::Sheet { sizes, .. } = &mut model.stocks[0].kind {
            sizes[0].long = Length::mm(2440);
            sizes[0].wide = Length::mm(390);
        }
        let checked = testing::checked(model);
        let said = testing::of(&checked, "stock.part_long");
        assert_eq!(
            said[0].title,
            "`left` is 2 mm too wide for any stock that is sold"
        );
    }
}
