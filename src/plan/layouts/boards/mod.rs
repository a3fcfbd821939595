//! Parts of solid wood: which boards they come out of, and how much to buy.
//!
//! Boards in listed sizes are laid out as sheets are, on just these sizes at their own prices. Others come
//! in random widths and lengths, so the list is laid out on boards of the least size that the stock
//! promises: whatever is delivered, it is at least that large. Boards wider or longer than the least are
//! asked for where a part needs them (`ask`); how many do where all come wider is told beside (`widths`).
//! Of either, spare ones make up for defects (`ask`). Strips that are ripped off a planed edge are sawn out together, in blanks
//! that are planed before they are ripped.

mod ask;
mod lay;
#[cfg(test)]
mod tests;
mod widths;

pub use ask::{Asked, Wood};
pub use widths::{IfWide, OfLength};

use super::{LayoutCost, PartCopy, Sheet, area};
use crate::cutting::Effort;
use crate::measure::{Length, Rational};
use crate::model::{Model, Part, Role, StockId, StockKind};
use std::collections::BTreeMap;

/// What is sawn from boards of one rough thickness.
#[derive(Clone, Debug)]
pub struct BoardList {
    /// The stock.
    pub stock: StockId,
    /// The rough thickness; `None` if none on offer is thick enough.
    pub rough: Option<Length>,
    /// The thickest that a part needs, planing included.
    pub needed: Length,
    /// What is sawn.
    pub pieces: Vec<BoardPiece>,
    /// Strips that are sawn out together.
    pub blanks: Vec<Blank>,
    /// Running length of the strips of edging in it, a kerf each included.
    pub running: Length,
    /// Rough size of all pieces in the rough thickness, cubic millimetres; a strip's with its kerf.
    pub net: Rational,
    /// The boards, in cutting order; empty if the stock does not state its sizes.
    pub boards: Vec<Sheet>,
    /// In which sizes they are sold.
    pub sold: Sold,
    /// Pieces that no board that is sold holds (indices of `pieces`): longer than any or, of listed sizes, than
    /// those that are wide enough.
    pub unplaced: Vec<usize>,
    /// What must be bought so that the shop's share of it may be lost, less what comes out of boards on
    /// hand; cubic millimetres.
    pub need: Rational,
    /// The boards to ask for; empty if the stock does not state its sizes.
    pub asked: Vec<Asked>,
    /// How many do if all come wider than is promised; empty if none do.
    pub if_wide: Vec<IfWide>,
    /// What the boards that are laid out cost, and at least must; `None` if none are.
    pub cost: Option<LayoutCost>,
}

/// In which lengths and widths boards are sold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Sold {
    /// It is not stated.
    Open,
    /// Each board has its own between these.
    Random {
        /// Least and greatest length.
        long: (Length, Length),
        /// Least and greatest width.
        wide: (Length, Length),
    },
    /// In just these.
    In(Vec<(Length, Length)>),
}

/// A piece to saw from a board, for breakdown.
#[derive(Clone, Debug)]
pub struct BoardPiece {
    /// The part.
    pub part: PartCopy,
    /// Whether it is a strip of edging.
    pub strip: bool,
    /// Rough length.
    pub long: Length,
    /// Rough width.
    pub wide: Length,
    /// Thickness after planing.
    pub thick: Length,
    /// Whether the wood is planed before the piece is ripped off it.
    pub planed_first: bool,
    /// Of a panel that is wider than any board: which of how many staves.
    pub stave: Option<(u32, u32)>,
}

/// A length of board that is planed, and strips ripped off its edge.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Blank {
    /// The strips (indices of [`BoardList::pieces`]), all of one size.
    pub strips: Vec<usize>,
    /// As long as a strip.
    pub long: Length,
    /// All strips, a kerf each, and what holds the last.
    pub wide: Length,
}

/// What stays of a blank to hold it by when its last strip is ripped off (our own figure).
fn hold() -> Length {
    Length::mm(30)
}

/// The lists of one board stock, thinnest first.
pub(super) fn board_lists(
    model: &Model,
    stock: StockId,
    parts: &[PartCopy],
    effort: Effort,
) -> Vec<BoardList> {
    let Some(kind) = model.stocks.get(stock.0 as usize).map(|s| &s.kind) else {
        return Vec::new();
    };
    let StockKind::Board {
        rough,
        sizes,
        wide,
        long,
        ..
    } = kind
    else {
        return Vec::new();
    };
    let sold = match long.zip(*wide) {
        _ if !sizes.is_empty() => Sold::In(sizes.iter().map(|s| (s.long, s.wide)).collect()),
        Some((long, wide)) => Sold::Random { long, wide },
        None => Sold::Open,
    };
    let mut lists: Vec<BoardList> = Vec::new();
    for copy in parts {
        let part = model.part(copy.part).1;
        for (piece, needed) in pieces(model, copy, part) {
            let thick = offered(rough, needed);
            let at = lists.iter().position(|l| l.rough == thick);
            let list = match at {
                Some(at) => lists.get_mut(at),
                None => {
                    lists.push(BoardList {
                        stock,
                        rough: thick,
                        needed,
                        pieces: Vec::new(),
                        blanks: Vec::new(),
                        running: Length::ZERO,
                        net: Rational::ZERO,
                        boards: Vec::new(),
                        sold: sold.clone(),
                        unplaced: Vec::new(),
                        need: Rational::ZERO,
                        asked: Vec::new(),
                        if_wide: Vec::new(),
                        cost: None,
                    });
                    lists.last_mut()
                }
            };
            if let Some(list) = list {
                list.needed = list.needed.max(needed);
                list.pieces.push(piece);
            }
        }
    }
    lists.sort_by_key(|l| (l.rough.is_none(), l.rough));
    for list in &mut lists {
        measure(model, list);
        let sources = lay::lay_out(model, list, kind, effort);
        list.need = ask::need(list, model.shop.board_waste);
        list.asked = ask::asked(list, &sources);
    }
    lists
}

fn offered(rough: &[Length], needed: Length) -> Option<Length> {
    rough.iter().copied().filter(|r| *r >= needed).min()
}

/// What to saw for a part (as the cut list has it), with the rough thickness that it needs.
fn pieces(model: &Model, copy: &PartCopy, part: &Part) -> Vec<(BoardPiece, Length)> {
    let (_, _, more_thick) = model.shop.rough_board;
    let size = model.sawn_size(copy.part);
    let (long, wide) = model.rough_size(copy.part);
    let one = |wide, thick, stave| BoardPiece {
        part: copy.clone(),
        strip: part.role == Role::Band,
        long,
        wide,
        thick,
        planed_first: false,
        stave,
    };
    if model.ripped_off(copy.part) {
        let piece = BoardPiece {
            planed_first: true,
            ..one(wide, size.width, None)
        };
        return vec![(piece, size.width + more_thick)];
    }
    let needed = size.thick + more_thick;
    match model.staves(copy.part) {
        Some(staves) => (1..=staves.count)
            .map(|k| {
                let of = Some((k, staves.count));
                (one(staves.rough, staves.thick, of), needed)
            })
            .collect(),
        None => vec![(one(wide, size.thick, None), needed)],
    }
}

/// Running length and net volume.
fn measure(model: &Model, list: &mut BoardList) {
    let thick = list.rough.unwrap_or(list.needed).as_mm();
    let kerf = model.shop.kerf;
    let strips = list.pieces.iter().filter(|p| p.strip);
    list.running = strips.map(|p| p.long + kerf).sum();
    list.net = list.pieces.iter().fold(Rational::ZERO, |sum, p| {
        // Of so narrow a piece the kerf is no small part.
        let wide = if p.strip { p.wide + kerf } else { p.wide };
        sum + area(p.long, wide) * thick
    });
}

/// Strips of one size that are planed before they are ripped, as few blanks as the least board is wide
/// for, each with as many strips as the others; `widths` gives the least and greatest of boards of a length
/// (`None` where there is no limit), `up` the next coarse step.
pub(super) fn blanks(
    pieces: &[BoardPiece],
    kerf: Length,
    widths: impl Fn(Length) -> Option<(Length, Length)>,
    up: impl Fn(Length) -> Length,
) -> Vec<Blank> {
    let mut alike: BTreeMap<(Length, Length, Length), Vec<usize>> = BTreeMap::new();
    for (i, piece) in pieces.iter().enumerate().filter(|(_, p)| p.planed_first) {
        let size = (piece.thick, piece.long, piece.wide);
        alike.entry(size).or_default().push(i);
    }
    let mut out = Vec::new();
    for ((_, long, wide), strips) in alike {
        let (least, widest) = widths(long).unzip();
        let most = least.map_or(strips.len(), |least| {
            let most = (least - hold()).ratio(wide + kerf).floor().unwrap_or(1);
            usize::try_from(most).unwrap_or(1).max(1)
        });
        let each = strips.len().div_ceil(strips.len().div_ceil(most));
        out.extend(strips.chunks(each).map(|strips| {
            let whole = up((wide + kerf) * strips.len() as i64 + hold());
            Blank {
                strips: strips.to_vec(),
                long,
                wide: widest.map_or(whole, |widest| whole.min(widest.max(wide))),
            }
        }));
    }
    out
}
