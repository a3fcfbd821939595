//! Ready-made edging: lengths out of strips or rolls as they are sold.

use super::item::{Item, Source};
use super::sheets::sheet;
use super::solve::{Question, solve};
use super::style::Style;
use super::{LayoutCost, PartCopy, Placed, Sheet, Taken, area, rack};
use crate::cutting::{Effort, Stages};
use crate::measure::Length;
use crate::model::{FirstCuts, Model, Per, StockId, StockKind};

/// Ready-made edging.
#[derive(Clone, Debug)]
pub struct StripList {
    /// The stock.
    pub stock: StockId,
    /// How far it stands out from the edge.
    pub thick: Length,
    /// What is cut, the longest first.
    pub pieces: Vec<StripPiece>,
    /// All of it, a kerf each included.
    pub running: Length,
    /// Length of a strip or roll as sold.
    pub sold: Option<Length>,
    /// The strips or rolls, in cutting order; empty if the length is not stated.
    pub strips: Vec<Sheet>,
    /// Longer than what is sold (indices of `pieces`).
    pub unplaced: Vec<usize>,
    /// What the strips cost, and at least must; `None` if none are laid out.
    pub cost: Option<LayoutCost>,
}

/// A length of ready-made edging.
#[derive(Clone, Debug)]
pub struct StripPiece {
    /// The part.
    pub part: PartCopy,
    /// Rough length.
    pub long: Length,
}

/// The edging of one stock.
pub(super) fn strip_list(
    model: &Model,
    stock: StockId,
    parts: Vec<PartCopy>,
    effort: Effort,
) -> StripList {
    let kerf = model.shop.kerf;
    // A roll is one wide, however that is trimmed later.
    let widest = parts
        .iter()
        .map(|copy| model.rough_size(copy.part).1)
        .max()
        .unwrap_or_default();
    let mut pieces: Vec<StripPiece> = parts
        .into_iter()
        .map(|copy| StripPiece {
            long: model.rough_size(copy.part).0,
            part: copy,
        })
        .collect();
    pieces.sort_by_key(|piece| std::cmp::Reverse(piece.long));
    let running = pieces.iter().map(|p| p.long + kerf).sum();
    let mut list = StripList {
        stock,
        thick: Length::ZERO,
        pieces,
        running,
        sold: None,
        strips: Vec::new(),
        unplaced: Vec::new(),
        cost: None,
    };
    let Some(StockKind::Edging {
        long,
        wide,
        thick,
        price,
    }) = model.stocks.get(stock.0 as usize).map(|s| &s.kind)
    else {
        return list;
    };
    list.thick = *thick;
    let Some(long) = long else {
        return list;
    };
    let (long, wide) = (*long, wide.unwrap_or(widest));
    list.sold = Some(long);
    let price = price.as_ref().filter(|p| !p.amount.is_zero());
    let worth = price.and_then(|price| match price.per {
        Per::One => Some(price.amount),
        Per::Length => Some(price.amount * long.as_mm()),
        _ => None,
    });
    let items: Vec<Item> = list
        .pieces
        .iter()
        .map(|piece| Item {
            long: piece.long,
            wide,
            may_turn: false,
            run: None,
        })
        .collect();
    let new = Source {
        taken: Taken::Bought(0),
        long,
        wide,
        trim: Length::ZERO,
        worth: worth.unwrap_or_else(|| area(long, wide)),
        copies: None,
        widest: [None; 2],
    };
    let mut sources = rack::sources(model, stock, Length::ZERO, Some(&new));
    sources.insert(0, new);
    let keep = (Some(true), (model.shop.keep_strip, Length::ZERO));
    let solved = solve(&Question {
        items: &items,
        sources: &sources,
        currency: worth.and(price).map(|p| p.currency.clone()),
        kerf,
        style: Style {
            first: FirstCuts::Across,
            stages: Stages::One,
            longest: None,
            keep,
        },
        trimming: false,
        effort,
    });
    let pieces = &list.pieces;
    list.strips = solved
        .laid
        .into_iter()
        .map(|(source, node)| {
            let placed = |item: usize, _, at| Placed {
                part: pieces[item].part.clone(),
                more: Vec::new(),
                stave: None,
                sequence: None,
                area: at,
                length: items[item].long,
                width: wide,
                across: false,
            };
            sheet(node, &sources[source], &items, kerf, keep, placed)
        })
        .collect();
    list.unplaced = solved.unplaced;
    list.cost = (!list.strips.is_empty()).then_some(solved.cost);
    list
}
