//! A part larger than what any sheet or board that is sold of its stock yields.
//!
//! The size for breakdown counts, as in the layouts: sawn size and the shop's allowance, on a sheet
//! whose edges are trimmed, laid with its grain along that of the sheet; without grain either way.
//! Wide panels of board are glued up from several, so that a board's width is no limit, unless boards that are
//! long enough are no wider than what is allowed for jointing their edges.

use super::also;
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{
    AssemblyKind, Axis, Grain, LocalAxis, Part, PartId, Role, SheetGrain, SoldSize, StockKind,
};
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

struct Long<'v, 'm> {
    view: &'v View<'m>,
    part: &'m Part,
    /// The extent that does not fit, for breakdown.
    figure: Length,
    /// What the best size yields there.
    limit: Length,
    across: bool,
    /// What that size measures there as it is sold.
    raw: Length,
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
            .by([vec![fact.sold.clone()], fact.sums()].concat().join("; "))
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
    let rough = view.rough_size(part);
    let long = |limit: Length, word: &str| Long {
        view,
        part,
        figure: rough.0,
        limit,
        across: false,
        raw: limit,
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
                    let trimmed = |side| side - view.model.shop.trim * 2;
                    let tight = (along - rough.0) > (across - rough.1);
                    let (figure, raw) = match tight {
                        true => (rough.1, across),
                        false => (rough.0, along),
                    };
                    Long {
                        view,
                        part,
                        figure,
                        limit: trimmed(raw),
                        across: tight,
                        raw,
                        sold: sheet(view, sold),
                        also: Vec::new(),
                    }
                })
                .max_by_key(|fact| fact.limit - fact.figure)
        }
        StockKind::Board { .. } => match stock.kind.board_widths(rough.0) {
            Some((_, widest)) if rough.1 > widest && widest <= view.model.shop.rough_board.1 => {
                Some(Long {
                    figure: rough.1,
                    across: true,
                    sold: format!(
                        "the widest board that is long enough is {}",
                        view.text(widest)
                    ),
                    ..long(widest, "board")
                })
            }
            _ => stock.kind.longest_board().map(|most| long(most, "board")),
        },
        StockKind::Edging { long: most, .. } => most.map(|most| long(most, "strip")),
    }
}

/// The ways in which a part may lie on a sheet: extents along and across the part's grain.
fn ways(size: &SoldSize, sheet: SheetGrain, part: Grain) -> Vec<(Length, Length, &SoldSize)> {
    let with = (size.long, size.wide, size);
    let across = (size.wide, size.long, size);
    match (part, sheet) {
        (Grain::None, _) | (_, SheetGrain::None) => vec![with, across],
        (Grain::Lengthwise, SheetGrain::Long) => vec![with],
        (Grain::Lengthwise, SheetGrain::Wide) => vec![across],
    }
}

fn sheet(view: &View, size: &SoldSize) -> String {
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
        for sum in self.sums() {
            diagnostic = diagnostic.note(sum);
        }
        let sheet = view.is_sheet(part);
        let grain = match part.grain {
            Grain::Lengthwise if sheet => " with the grain",
            Grain::Lengthwise | Grain::None => "",
        };
        let diagnostic = diagnostic.note(format!(
            "{} - {} = {}",
            view.plain(self.figure),
            view.plain(self.limit),
            view.plain(self.figure - self.limit)
        ));
        if self.across && !sheet {
            return diagnostic.help(format!(
                "stock that is sold wider than the {} that are allowed for jointing its edges: of that \
                 it can be glued up",
                view.text(view.model.shop.rough_board.1)
            ));
        }
        let diagnostic = diagnostic.help(format!(
            "stock that is sold at least {} {way}{grain}",
            view.text(self.figure + (self.raw - self.limit))
        ));
        diagnostic.help(self.otherwise(sheet))
    }

    /// How the figure and the limit come about, where they are not simply what is sawn and sold.
    fn sums(&self) -> Vec<String> {
        let view = self.view;
        let (size, shop) = (self.part.size, &view.model.shop);
        let (sawn, shop) = match (self.across, view.is_sheet(self.part)) {
            (true, true) => (size.width, shop.rough_sheet.1),
            (true, false) => (size.width, shop.rough_board.1),
            (false, true) => (size.length, shop.rough_sheet.0),
            (false, false) => (size.length, shop.rough_board.0),
        };
        // What a strip is longer until it is flushed.
        let proud = self.figure - sawn - shop;
        let rounded = proud > Length::ZERO && proud < view.units().rough_step();
        let mut sums = Vec::new();
        if self.figure != sawn {
            let more = self.figure - sawn;
            let up = if rounded { ", rounded up," } else { "" };
            sums.push(format!(
                "{} + {}{up} for breakdown = {}",
                view.plain(sawn),
                view.plain(more),
                view.plain(self.figure)
            ));
        }
        if self.raw != self.limit {
            sums.push(format!(
                "{} - 2 x {}, trimmed off a new sheet, = {}",
                view.plain(self.raw),
                view.plain(view.model.shop.trim),
                view.plain(self.limit)
            ));
        }
        sums
    }

    /// What else would do: what the part's own line takes, and leads no further into the same.
    fn otherwise(&self, sheet: bool) -> String {
        let (view, part) = (self.view, self.part);
        let mut ways = Vec::new();
        if let Some(lengths) = self.lengths() {
            ways.push(format!("make it of several with `lengths {lengths}`"));
        } else if sheet {
            ways.push("divide the part".to_owned());
        } else {
            ways.push("make the part of two, joined end to end or divided".to_owned());
        }
        let (length, width) = view.rough_size(part);
        if part.grain == Grain::Lengthwise && self.fits(width, length) {
            let word = match part.lay.axis(LocalAxis::Width) {
                Axis::X => "across",
                Axis::Y => "inward",
                Axis::Z => "up",
            };
            ways.push(format!("turn its grain with `grain {word}`"));
        }
        format!("or {}", ways.join(", or "))
    }

    /// Whether a sheet yields a part of this length and width for breakdown.
    fn fits(&self, length: Length, width: Length) -> bool {
        let Some(StockKind::Sheet { sizes, grain, .. }) =
            self.view.stock(self.part).map(|stock| &stock.kind)
        else {
            return false;
        };
        let trim = self.view.model.shop.trim * 2;
        let ways = sizes
            .iter()
            .flat_map(|size| ways(size, *grain, self.part.grain));
        let mut ways = ways;
        ways.any(|(along, across, _)| length <= along - trim && width <= across - trim)
    }

    /// In how many equal lengths a worktop or the kick of a run would fit.
    fn lengths(&self) -> Option<u32> {
        /// More joints than that are no worktop.
        const MOST: u32 = 12;
        let (view, part) = (self.view, self.part);
        let fitted = view.piece.assembly(part.assembly).kind == AssemblyKind::Fitted;
        if !fitted || !matches!(part.role, Role::Worktop | Role::Kick) {
            return None;
        }
        let same = |other: &&Part| other.origin.span == part.origin.span && other.role == part.role;
        let now = u32::try_from(view.piece.parts.iter().filter(same).count()).ok()?;
        let along = part.lay.axis(LocalAxis::Length) == Axis::X;
        let (length, width) = view.rough_size(part);
        (now + 1..=MOST).find(|n| {
            let extent = part.core.extent(Axis::X);
            let less = extent - extent * i64::from(now) / i64::from(*n);
            match (along, view.is_sheet(part)) {
                (true, true) => self.fits(length - less, width),
                (true, false) => length - less <= self.limit,
                (false, _) => self.fits(length, width - less),
            }
        })
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
            "`left` is 33 mm too long for any stock that is sold"
        );
        assert_eq!(said.len(), 2);
    }

    /// Of boards that are 6 wide nothing is left once an edge is jointed: they are no staves. Of those that are
    /// 7 wide 1 is left, so that any width can be built up. The deck is 366 wide, 372 for breakdown.
    #[test]
    fn boards_too_narrow_for_staves() {
        let narrow = |wide| {
            let mut model = testing::sound();
            if let StockKind::Board { wide: of, .. } = &mut model.stocks[2].kind {
                *of = Some((Length::mm(wide), Length::mm(wide)));
            }
            let checked = testing::checked(model);
            let said = testing::of(&checked, "stock.part_long");
            said.iter().map(|d| d.title.clone()).collect::<Vec<_>>()
        };
        let wide = "`deck` is 366 mm too wide for any stock that is sold";
        assert_eq!(narrow(6)[0], wide);
        assert_eq!(narrow(7), [""; 0]);
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
            "`left` is 15 mm too wide for any stock that is sold"
        );
    }
}
