//! Cutting layouts: which part comes out of which sheet, board or strip, and in which order the cuts
//! are made. Parts of every piece and copy of the commission are laid out together, by stock.
//!
//! Sizes here are for breakdown: sawn size and the shop's allowance. Sheets, boards and strips go
//! through the engine of [`crate::cutting`] (`solve`), are set out with their cuts in order (`cuts`),
//! and an independent [`verify`] saws each of them before it leaves this module. What is printed beside
//! them is proven, see [`SheetBound`] and [`LayoutCost`]; that a layout is the best one is never claimed
//! unless it meets its bound.

mod alike;
mod boards;
mod bound;
mod copies;
mod cuts;
mod fewer;
mod handling;
mod item;
mod order;
pub mod rack;
mod sheets;
mod solve;
mod strips;
mod style;
#[cfg(test)]
mod tests;
pub mod verify;

pub use alike::{alike, numbers, place_sign};
pub use boards::{Asked, Blank, BoardList, BoardPiece, IfWide, OfLength, Sold, Wood};
pub use bound::{BoundRule, SheetBound};
pub use copies::{PartCopy, copies};
pub use cuts::{CutDo, CutLine, SheetCut};
pub use handling::Handling;
pub use solve::{CostUnits, LayoutCost};
pub use strips::{StripList, StripPiece};

use crate::cutting::Effort;
use crate::measure::{Length, Rational};
use crate::model::{FirstCuts, Model, StockId, StockKind};

/// Everything that is sawn, laid out.
#[derive(Clone, Debug)]
pub struct Layouts {
    /// By sheet stock, in the order of the stocks.
    pub sheets: Vec<StockLayout>,
    /// By board stock and thickness.
    pub boards: Vec<BoardList>,
    /// By ready-made edging.
    pub strips: Vec<StripList>,
    /// How long was looked for cheaper ones.
    pub effort: Effort,
}

/// The sheets of one stock.
#[derive(Clone, Debug)]
pub struct StockLayout {
    /// The stock.
    pub stock: StockId,
    /// Its measured thickness.
    pub thick: Length,
    /// The sheets, in cutting order; numbered over the whole commission.
    pub sheets: Vec<Sheet>,
    /// Parts that no sheet on sale can hold, with their rough sizes.
    pub unplaced: Vec<(PartCopy, Length, Length)>,
    /// The least number of sheets; `None` if nothing was placed, or some of the stock is on hand.
    pub bound: Option<SheetBound>,
    /// What the sheets cost, and at least must.
    pub cost: LayoutCost,
    /// Kerf between parts.
    pub kerf: Length,
    /// Taken off each edge of a sheet.
    pub trim: Length,
    /// Added to length and width for breakdown.
    pub allowance: (Length, Length),
    /// Which way the first cuts go.
    pub first: FirstCuts,
    /// Rounds of cuts, before a last one for what is larger than its part.
    pub rounds: u32,
    /// What a square millimetre weighs, kilograms, if that is known.
    pub by_area: Option<Rational>,
    /// How much more it costs than what was found where first pieces may weigh anything, in the unit of
    /// `cost`; `None` where the shop states no limit or weights are not known.
    pub for_lift: Option<Rational>,
}

impl StockLayout {
    /// What the heaviest piece weighs that a first cut takes off a sheet, kilograms; `None` if that is not
    /// known or nothing is cut.
    pub fn heaviest(&self, sheet: &Sheet) -> Option<Rational> {
        let by_area = self.by_area?;
        let first = sheet.cuts.iter().filter(|cut| cut.round == 1);
        let areas = first.flat_map(|cut| {
            let long = |line: &CutLine| {
                (line.to[0] - line.from[0]).abs() + (line.to[1] - line.from[1]).abs()
            };
            cut.lines
                .iter()
                .map(move |line| area(cut.setting, long(line)))
        });
        areas.max().map(|area| area * by_area)
    }
}

/// One sheet, board or strip and what becomes of it. `x` runs along its long side from the squared end,
/// `y` across from the trued edge; both count from the raw corner.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// Its number, from 1, over all sheets, boards or strips of the commission.
    pub number: u32,
    /// Where it comes from.
    pub taken: Taken,
    /// Along `x`.
    pub long: Length,
    /// Along `y`.
    pub wide: Length,
    /// Taken off each edge first.
    pub trim: Length,
    /// Whether the grain runs along `x` (`Some(true)`), along `y`, or is not seen.
    pub grain_long: Option<bool>,
    /// The parts.
    pub placed: Vec<Placed>,
    /// The cuts, in order.
    pub cuts: Vec<SheetCut>,
    /// Offcuts that are worth keeping.
    pub offcuts: Vec<Offcut>,
    /// What else stays over.
    pub waste: Vec<Rect>,
    /// Area of the rough parts by area of the raw sheet.
    pub used: Rational,
}

/// Where a sheet, board or strip comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Taken {
    /// Bought, in this one of the sizes that are sold or asked for.
    Bought(usize),
    /// On hand: a row of the model's rack, and where on it the clear length begins.
    OnHand {
        /// Index of the row.
        row: usize,
        /// From its end.
        from: Length,
    },
}

/// A part on a sheet.
#[derive(Clone, Debug)]
pub struct Placed {
    /// The part and its copy.
    pub part: PartCopy,
    /// Strips that are ripped off the same blank afterwards.
    pub more: Vec<PartCopy>,
    /// Of a panel that is wider than any board: which of how many staves.
    pub stave: Option<(u32, u32)>,
    /// Of matched fronts: which of how many in sequence.
    pub sequence: Option<(u32, u32)>,
    /// Where it lies.
    pub area: Rect,
    /// Rough length along the part's own length.
    pub length: Length,
    /// Rough width.
    pub width: Length,
    /// Whether the part's length runs across the sheet (along `y`).
    pub across: bool,
}

impl Placed {
    /// What comes out of it: the part, or all strips of a blank.
    pub fn parts(&self) -> impl Iterator<Item = &PartCopy> {
        std::iter::once(&self.part).chain(&self.more)
    }
}

/// What stays over and is kept.
#[derive(Clone, Debug)]
pub struct Offcut {
    /// Its name, `K1`, over the whole commission.
    pub name: String,
    /// Where it lies.
    pub area: Rect,
}

/// A rectangle on a sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rect {
    /// `x`, `y` of the near corner.
    pub lo: [Length; 2],
    /// `x`, `y` of the far corner.
    pub hi: [Length; 2],
}

impl Rect {
    /// Along `x`.
    pub fn long(&self) -> Length {
        self.hi[0] - self.lo[0]
    }

    /// Along `y`.
    pub fn wide(&self) -> Length {
        self.hi[1] - self.lo[1]
    }
}

/// Square millimetres.
pub fn area(long: Length, wide: Length) -> Rational {
    long.as_mm() * wide.as_mm()
}

/// Lays out every part of the commission. The same model and effort give the same layouts.
pub fn plan_layouts(model: &Model, effort: Effort) -> Layouts {
    let copies = copies(model);
    let mut out = Layouts {
        sheets: Vec::new(),
        boards: Vec::new(),
        strips: Vec::new(),
        effort,
    };
    for (i, stock) in model.stocks.iter().enumerate() {
        let id = StockId(i as u32);
        let mine: Vec<PartCopy> = copies
            .iter()
            .filter(|copy| model.part(copy.part).1.stock == id)
            .cloned()
            .collect();
        if mine.is_empty() {
            continue;
        }
        match &stock.kind {
            StockKind::Sheet { .. } => out.sheets.push(sheets::lay_out(model, id, mine, effort)),
            StockKind::Board { .. } => out
                .boards
                .extend(boards::board_lists(model, id, &mine, effort)),
            StockKind::Edging { .. } => {
                out.strips.push(strips::strip_list(model, id, mine, effort))
            }
        }
    }
    out.number();
    let fault = verify::layouts(model, &out);
    assert!(
        fault.is_none(),
        "layouts pass their verifier: {}",
        fault.unwrap_or_default()
    );
    out
}

impl Layouts {
    /// Numbers sheets, boards and strips each by themselves, those that are cut alike one after another; and
    /// offcuts over all.
    fn number(&mut self) {
        let sheets = self.sheets.iter_mut().map(|l| &mut l.sheets);
        let boards = self.boards.iter_mut().map(|l| &mut l.boards);
        let strips = self.strips.iter_mut().map(|l| &mut l.strips);
        let mut kept = 0;
        let mut number = |lists: &mut dyn Iterator<Item = &mut Vec<Sheet>>| {
            let sheets = lists.flat_map(|list| {
                alike::together(list);
                list
            });
            for (n, sheet) in (1..).zip(sheets) {
                sheet.number = n;
                for offcut in &mut sheet.offcuts {
                    kept += 1;
                    offcut.name = format!("K{kept}");
                }
            }
        };
        number(&mut { sheets });
        number(&mut { boards });
        number(&mut { strips });
    }
}
