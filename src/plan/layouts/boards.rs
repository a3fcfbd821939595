//! Parts of solid wood: which boards they come out of, and how much to buy; ready-made edging by
//! its running length.
//!
//! Boards come in random widths and lengths, so the list is laid out on boards of the least size
//! that the stock promises: whatever is delivered, it is at least that large. Boards wider or longer
//! than the least are asked for where a part needs them.

use super::pack::{Bin, Item, Manner, Order, down, pack, up};
use super::{PartCopy, area};
use crate::measure::{Length, Rational};
use crate::model::{Model, Part, Role, StockId, StockKind};
use std::cmp::Reverse;
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
    /// Running length of the strips of edging in it, a kerf each included.
    pub running: Length,
    /// Rough size of all pieces in the rough thickness, cubic millimetres; a strip's with its kerf.
    pub net: Rational,
    /// With the shop's waste: what to buy, cubic millimetres.
    pub buy: Rational,
    /// The boards; empty if the stock states no least width and length.
    pub boards: Vec<Board>,
    /// Least length and width that the stock promises.
    pub least: Option<(Length, Length)>,
    /// Pieces longer than the longest board (indices of `pieces`).
    pub unplaced: Vec<usize>,
    /// The boards to ask for; empty if the stock states no least width and length.
    pub asked: Vec<Asked>,
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
    /// Whether the board is planed before the piece is ripped off it.
    pub planed_first: bool,
    /// Of a panel that is wider than any board: which of how many staves.
    pub stave: Option<(u32, u32)>,
}

/// Boards to ask for: those laid out by what each must measure at least, and spare ones of the
/// largest, until the volume to buy is there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Asked {
    /// How many are laid out.
    pub laid: u32,
    /// How many more, for defects.
    pub spare: u32,
    /// At least this long.
    pub long: Length,
    /// At least this wide.
    pub wide: Length,
}

/// A board and what comes out of it.
#[derive(Clone, Debug)]
pub struct Board {
    /// Planed to this before it is ripped.
    pub planed: Option<Length>,
    /// At least this long.
    pub long: Length,
    /// At least this wide.
    pub wide: Length,
    /// Rips over its length: width, and the pieces (indices) cut from each in order.
    pub rips: Vec<(Length, Vec<usize>)>,
}

/// Ready-made edging.
#[derive(Clone, Debug)]
pub struct StripList {
    /// The stock.
    pub stock: StockId,
    /// What is cut.
    pub pieces: Vec<StripPiece>,
    /// All of it, a kerf each included.
    pub running: Length,
    /// Length of a strip or roll as sold.
    pub sold: Option<Length>,
    /// What comes out of each strip or roll (indices of `pieces`); empty if the length is not stated.
    pub rolls: Vec<Vec<usize>>,
    /// Longer than what is sold.
    pub unplaced: Vec<usize>,
}

/// A length of ready-made edging.
#[derive(Clone, Debug)]
pub struct StripPiece {
    /// The part.
    pub part: PartCopy,
    /// Rough length.
    pub long: Length,
}

/// The lists of one board stock, thinnest first.
pub(super) fn board_lists(model: &Model, stock: StockId, parts: &[PartCopy]) -> Vec<BoardList> {
    let Some(StockKind::Board {
        rough, wide, long, ..
    }) = model.stocks.get(stock.0 as usize).map(|s| &s.kind)
    else {
        return Vec::new();
    };
    let mut lists: Vec<BoardList> = Vec::new();
    for copy in parts {
        let part = model.part(copy.part).1;
        for (piece, needed) in pieces(model, copy, part, *wide) {
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
                        running: Length::ZERO,
                        net: Rational::ZERO,
                        buy: Rational::ZERO,
                        boards: Vec::new(),
                        least: long.zip(*wide).map(|(l, w)| (l.0, w.0)),
                        unplaced: Vec::new(),
                        asked: Vec::new(),
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
        measure(model, list, long.map(|l| l.1));
    }
    lists
}

fn offered(rough: &[Length], needed: Length) -> Option<Length> {
    rough.iter().copied().filter(|r| *r >= needed).min()
}

/// What to saw for a part (as the cut list has it), with the rough thickness that it needs.
fn pieces(
    model: &Model,
    copy: &PartCopy,
    part: &Part,
    limits: Option<(Length, Length)>,
) -> Vec<(BoardPiece, Length)> {
    let (_, more_wide, more_thick) = model.shop.rough_board;
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
    let widest = limits.map(|l| l.1);
    match widest {
        Some(widest) if size.width + more_wide > widest && widest > more_wide => {
            let n = size
                .width
                .ratio(widest - more_wide)
                .ceil()
                .unwrap_or(1)
                .max(1);
            let n = u32::try_from(n).unwrap_or(1);
            (1..=n)
                .map(|k| {
                    let stave = size.width / i64::from(n) + more_wide;
                    let wide = model.part(copy.part).0.units.rough_up(stave);
                    (one(wide, size.thick, Some((k, n))), needed)
                })
                .collect()
        }
        _ => vec![(one(wide, size.thick, None), needed)],
    }
}

fn measure(model: &Model, list: &mut BoardList, longest: Option<Length>) {
    let thick = list.rough.unwrap_or(list.needed).as_mm();
    let strips = list.pieces.iter().filter(|p| p.strip);
    list.running = strips.map(|p| p.long + model.shop.kerf).sum();
    list.net = list.pieces.iter().fold(Rational::ZERO, |sum, p| {
        // Of so narrow a piece the kerf is no small part.
        let wide = if p.strip {
            p.wide + model.shop.kerf
        } else {
            p.wide
        };
        sum + area(p.long, wide) * thick
    });
    list.buy = list.net / (Rational::ONE - model.shop.board_waste);
    let Some(least) = list.least else {
        return;
    };
    // What is ripped off a board that is planed first shares it only with its like.
    let mut alike: BTreeMap<Option<Length>, Vec<usize>> = BTreeMap::new();
    for (i, piece) in list.pieces.iter().enumerate() {
        let planed = piece.planed_first.then_some(piece.thick);
        alike.entry(planed).or_default().push(i);
    }
    for (planed, members) in alike {
        let (boards, left) = boards_for(list, &members, least, longest, model.shop.kerf);
        list.unplaced.extend(left);
        list.boards
            .extend(boards.into_iter().map(|board| Board { planed, ..board }));
    }
    list.unplaced.sort_unstable();
    list.boards
        .sort_by_key(|board| Reverse((board.wide, board.long)));
    list.asked = asked(list, thick);
}

/// Lays some pieces of a list out on boards; those that are too long are given back.
fn boards_for(
    list: &BoardList,
    members: &[usize],
    (least_long, least_wide): (Length, Length),
    longest: Option<Length>,
    kerf: Length,
) -> (Vec<Board>, Vec<usize>) {
    let items: Vec<Item> = members
        .iter()
        .filter_map(|i| list.pieces.get(*i))
        .map(|p| Item {
            long: p.long,
            wide: p.wide,
            may_turn: false,
        })
        .collect();
    let own = |i: usize| members.get(i).copied();
    let (first_long, first_wide) = (down(least_long), down(least_wide));
    let open = |long: i64, wide: i64, _: usize| {
        longest
            .is_none_or(|longest| long <= down(longest))
            .then_some((0, first_long.max(long), first_wide.max(wide)))
    };
    let mut best: Option<(i128, Vec<Bin<i64>>, Vec<usize>)> = None;
    for order in [Order::Wide, Order::Long, Order::Area] {
        for fit in [false, true] {
            let manner = Manner { order, best: fit };
            let (bins, left) = pack(&items, manner, up(kerf), &open);
            let sum = bins
                .iter()
                .map(|b| i128::from(b.long) * i128::from(b.wide))
                .sum::<i128>();
            if best.as_ref().is_none_or(|(s, _, _)| sum < *s) {
                best = Some((sum, bins, left));
            }
        }
    }
    let Some((_, bins, left)) = best else {
        return (Vec::new(), Vec::new());
    };
    let boards = bins
        .into_iter()
        .map(|bin| {
            let bin = bin.exact(&items, kerf, [least_long, least_wide]);
            let longest = bin
                .strips
                .iter()
                .flat_map(|s| &s.columns)
                .map(|c| c.long)
                .max();
            let widest = bin.strips.iter().map(|s| s.wide).max();
            let mut rips: Vec<(Length, Vec<usize>)> = bin
                .strips
                .iter()
                .map(|strip| {
                    let puts = strip.columns.iter().flat_map(|c| &c.stack);
                    (strip.wide, puts.filter_map(|p| own(p.item)).collect())
                })
                .collect();
            rips.sort_by_key(|rip| Reverse(rip.0));
            Board {
                planed: None,
                long: least_long.max(longest.unwrap_or_default()),
                wide: least_wide.max(widest.unwrap_or_default()),
                rips,
            }
        })
        .collect();
    (boards, left.into_iter().filter_map(own).collect())
}

fn asked(list: &BoardList, thick: Rational) -> Vec<Asked> {
    let mut out: Vec<Asked> = Vec::new();
    for board in &list.boards {
        match out
            .iter_mut()
            .find(|a| (a.long, a.wide) == (board.long, board.wide))
        {
            Some(same) => same.laid += 1,
            None => out.push(Asked {
                laid: 1,
                spare: 0,
                long: board.long,
                wide: board.wide,
            }),
        }
    }
    let laid = list.boards.iter().fold(Rational::ZERO, |sum, board| {
        sum + area(board.long, board.wide) * thick
    });
    // Whatever a defect spoils can come out of the largest.
    if let Some(largest) = out.iter_mut().max_by_key(|a| area(a.long, a.wide)) {
        let more = (list.buy - laid) / (area(largest.long, largest.wide) * thick);
        largest.spare = more.ceil().and_then(|n| u32::try_from(n).ok()).unwrap_or(0);
    }
    out
}

/// Ready-made edging of one stock: first fit, longest first, on strips as sold.
pub(super) fn strip_list(model: &Model, stock: StockId, parts: Vec<PartCopy>) -> StripList {
    let sold = match model.stocks.get(stock.0 as usize).map(|s| &s.kind) {
        Some(StockKind::Edging { long, .. }) => *long,
        _ => None,
    };
    let kerf = model.shop.kerf;
    let mut pieces: Vec<StripPiece> = parts
        .into_iter()
        .map(|copy| StripPiece {
            long: model.rough_size(copy.part).0,
            part: copy,
        })
        .collect();
    pieces.sort_by_key(|piece| Reverse(piece.long));
    let running = pieces.iter().map(|p| p.long + kerf).sum();
    let (mut rolls, mut unplaced): (Vec<(Length, Vec<usize>)>, Vec<usize>) = Default::default();
    if let Some(sold) = sold {
        for (i, piece) in pieces.iter().enumerate() {
            if piece.long > sold {
                unplaced.push(i);
                continue;
            }
            match rolls.iter_mut().find(|(rest, _)| *rest >= piece.long) {
                Some((rest, held)) => {
                    *rest -= piece.long + kerf;
                    held.push(i);
                }
                None => rolls.push((sold - piece.long - kerf, vec![i])),
            }
        }
    }
    StripList {
        stock,
        pieces,
        running,
        sold,
        rolls: rolls.into_iter().map(|(_, held)| held).collect(),
        unplaced,
    }
}
