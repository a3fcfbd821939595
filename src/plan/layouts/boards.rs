//! Parts of solid wood: which boards they come out of, and how much to buy.
//!
//! Boards come in random widths and lengths, so the list is laid out on boards of the least size
//! that the stock promises: whatever is delivered, it is at least that large. Boards wider or longer
//! than the least are asked for where a part needs them. Strips that are ripped off a planed edge are
//! sawn out together, in blanks that are planed before they are ripped.

use super::item::{Item, Source};
use super::sheets::sheet;
use super::solve::{Question, solve};
use super::{LayoutCost, PartCopy, Placed, Sheet, Taken, area, rack, style};
use crate::cutting::Effort;
use crate::measure::{Length, Rational};
use crate::model::{Model, Part, Per, Price, Role, StockId, StockKind};
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
    /// The boards, in cutting order; empty if the stock states no least width and length.
    pub boards: Vec<Sheet>,
    /// Least length and width that the stock promises.
    pub least: Option<(Length, Length)>,
    /// Whether every board is of that size.
    pub fixed: bool,
    /// Pieces longer than the longest board (indices of `pieces`).
    pub unplaced: Vec<usize>,
    /// The boards to ask for; empty if the stock states no least width and length.
    pub asked: Vec<Asked>,
    /// What the boards that are laid out cost, and at least must; `None` if none are.
    pub cost: Option<LayoutCost>,
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

/// Boards to ask for: those laid out, and spare ones of the largest, until what is lost to defects is
/// made up for.
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

/// What boards amount to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wood {
    /// How many boards.
    pub count: u32,
    /// One behind the other.
    pub length: Length,
    /// Square millimetres.
    pub area: Rational,
    /// Cubic millimetres, in the rough thickness.
    pub volume: Rational,
}

/// What stays of a blank to hold it by when its last strip is ripped off (our own figure).
fn hold() -> Length {
    Length::mm(30)
}

/// Sizes of boards that are told apart; beyond that they are asked for in steps.
const SIZES: usize = 12;

impl BoardList {
    /// What to buy: the boards asked for; where none can be laid out, the net volume and the share of it
    /// that is lost.
    pub fn bought(&self, waste: Rational) -> Wood {
        let thick = self.rough.unwrap_or(self.needed).as_mm();
        let mut wood = Wood {
            count: 0,
            length: Length::ZERO,
            area: Rational::ZERO,
            volume: Rational::ZERO,
        };
        for asked in &self.asked {
            let n = asked.laid + asked.spare;
            wood.count += n;
            wood.length += asked.long * i64::from(n);
            wood.area = wood.area + area(asked.long, asked.wide) * Rational::int(i64::from(n));
        }
        wood.volume = wood.area * thick;
        if self.boards.is_empty() {
            wood.volume = self.net / (Rational::ONE - waste);
            wood.area = wood.volume / thick;
        }
        wood
    }
}

/// The lists of one board stock, thinnest first.
pub(super) fn board_lists(
    model: &Model,
    stock: StockId,
    parts: &[PartCopy],
    effort: Effort,
) -> Vec<BoardList> {
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
                        blanks: Vec::new(),
                        running: Length::ZERO,
                        net: Rational::ZERO,
                        boards: Vec::new(),
                        least: long.zip(*wide).map(|(l, w)| (l.0, w.0)),
                        fixed: [*long, *wide].iter().flatten().all(|(a, b)| a == b),
                        unplaced: Vec::new(),
                        asked: Vec::new(),
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
        if let Some((long, wide)) = long.zip(*wide) {
            lay_out(model, list, long, wide, effort);
        }
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
/// for, each with as many strips as the others; `up` gives the next coarse step.
pub(super) fn blanks(
    pieces: &[BoardPiece],
    kerf: Length,
    board: (Length, Length),
    up: impl Fn(Length) -> Length,
) -> Vec<Blank> {
    let mut alike: BTreeMap<(Length, Length, Length), Vec<usize>> = BTreeMap::new();
    for (i, piece) in pieces.iter().enumerate().filter(|(_, p)| p.planed_first) {
        let size = (piece.thick, piece.long, piece.wide);
        alike.entry(size).or_default().push(i);
    }
    let mut out = Vec::new();
    for ((_, long, wide), strips) in alike {
        let most = (board.0 - hold()).ratio(wide + kerf).floor().unwrap_or(1);
        let most = usize::try_from(most).unwrap_or(1).max(1);
        let each = strips.len().div_ceil(strips.len().div_ceil(most));
        out.extend(strips.chunks(each).map(|strips| Blank {
            strips: strips.to_vec(),
            long,
            wide: up((wide + kerf) * strips.len() as i64 + hold()).min(board.1.max(wide)),
        }));
    }
    out
}

/// The sizes of board that are asked for: the least that is promised, and what longer or wider pieces
/// need. Fixed sizes are those alone.
fn sizes(items: &[Item], long: (Length, Length), wide: (Length, Length)) -> Vec<(Length, Length)> {
    let fits = |item: &&Item| item.long <= long.1 && item.wide <= wide.1;
    let need = |step: Option<(Length, Length)>| {
        let up = |l: Length, step: Length| {
            let n = l.ratio(step).ceil().and_then(|n| i64::try_from(n).ok());
            n.map_or(l, |n| step * n)
        };
        let mut sizes: Vec<(Length, Length)> = items
            .iter()
            .filter(fits)
            .map(|item| match step {
                None => (item.long.max(long.0), item.wide.max(wide.0)),
                Some((a, b)) => (
                    up(item.long, a).clamp(long.0, long.1),
                    up(item.wide, b).clamp(wide.0, wide.1),
                ),
            })
            .chain([(long.0, wide.0)])
            .collect();
        sizes.sort();
        sizes.dedup();
        sizes
    };
    let exact = need(None);
    if exact.len() <= SIZES {
        return exact;
    }
    // Boards are asked for in steps rather than each for its piece.
    need(Some((Length::mm(300), Length::mm(50))))
}

/// What one board costs.
fn worth(price: Option<&Price>, (long, wide): (Length, Length), thick: Length) -> Option<Rational> {
    let price = price?;
    let times = match price.per {
        Per::One => Rational::ONE,
        Per::Length => long.as_mm(),
        Per::Area => area(long, wide),
        Per::Volume => area(long, wide) * thick.as_mm(),
        Per::Pack(_) | Per::Mass => return None,
    };
    Some(price.amount * times)
}

/// Lays a list out on boards of these lengths and widths.
fn lay_out(
    model: &Model,
    list: &mut BoardList,
    long: (Length, Length),
    wide: (Length, Length),
    effort: Effort,
) {
    let kerf = model.shop.kerf;
    let first = list.pieces.first().map(|p| model.part(p.part.part).0.units);
    let up = |l: Length| first.map_or(l, |units| units.rough_up(l));
    list.blanks = blanks(&list.pieces, kerf, wide, up);
    // What is sawn out: pieces by themselves, and blanks.
    let mut sawn: Vec<Vec<usize>> = (0..list.pieces.len())
        .filter(|i| !list.pieces[*i].planed_first)
        .map(|i| vec![i])
        .collect();
    let mut items: Vec<Item> = sawn
        .iter()
        .map(|of| (list.pieces[of[0]].long, list.pieces[of[0]].wide))
        .map(item)
        .collect();
    sawn.extend(list.blanks.iter().map(|b| b.strips.clone()));
    items.extend(list.blanks.iter().map(|b| item((b.long, b.wide))));
    let price = match model.stocks.get(list.stock.0 as usize).map(|s| &s.kind) {
        Some(StockKind::Board { price, .. }) => price.as_ref(),
        _ => None,
    };
    let thick = list.rough.unwrap_or(list.needed);
    let sizes = sizes(&items, long, wide);
    let priced = sizes
        .iter()
        .all(|size| worth(price, *size, thick).is_some_and(|w| !w.is_zero()));
    let mut sources: Vec<Source> = sizes
        .iter()
        .enumerate()
        .map(|(k, (long, wide))| Source {
            taken: Taken::Bought(k),
            long: *long,
            wide: *wide,
            trim: Length::ZERO,
            worth: worth(price.filter(|_| priced), (*long, *wide), thick)
                .unwrap_or_else(|| area(*long, *wide)),
            copies: None,
            widest: [None; 2],
        })
        .collect();
    sources.extend(rack::sources(model, list.stock, thick, sources.first()));
    let solved = solve(&Question {
        items: &items,
        sources: &sources,
        currency: price.filter(|_| priced).map(|p| p.currency.clone()),
        kerf,
        style: style::of_boards(model),
        trimming: true,
        effort,
    });
    let pieces = &list.pieces;
    list.boards = solved
        .laid
        .into_iter()
        .map(|(source, node)| {
            let placed = |item: usize, _, at| {
                let of = &sawn[item];
                let first = &pieces[of[0]];
                Placed {
                    part: first.part.clone(),
                    more: of[1..].iter().map(|i| pieces[*i].part.clone()).collect(),
                    stave: first.stave,
                    sequence: None,
                    area: at,
                    length: items[item].long,
                    width: items[item].wide,
                    across: false,
                }
            };
            let kept = (Some(true), model.shop.keep_board);
            sheet(node, &sources[source], &items, kerf, kept, placed)
        })
        .collect();
    let left = solved.unplaced.iter().flat_map(|i| &sawn[*i]);
    list.unplaced = left.copied().collect();
    list.unplaced.sort_unstable();
    list.cost = (!list.boards.is_empty()).then_some(solved.cost);
    list.asked = asked(list, model.shop.board_waste);
}

fn item((long, wide): (Length, Length)) -> Item {
    Item {
        long,
        wide,
        may_turn: false,
        run: None,
    }
}

/// The boards by size, and spare ones: of what is bought the stated share may be lost, to the saw or to
/// defects, and what the layout does not lose to the saw already is made up for.
fn asked(list: &BoardList, waste: Rational) -> Vec<Asked> {
    let thick = list.rough.unwrap_or(list.needed).as_mm();
    let mut out: Vec<Asked> = Vec::new();
    let bought = || {
        let mut all = list.boards.iter();
        std::iter::from_fn(move || all.find(|b| matches!(b.taken, Taken::Bought(_))))
    };
    for board in bought() {
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
    let laid = bought().fold(Rational::ZERO, |sum, board| {
        sum + area(board.long, board.wide) * thick
    });
    // Whatever a defect spoils can come out of the largest.
    if let Some(largest) = out.iter_mut().max_by_key(|a| area(a.long, a.wide)) {
        let on_hand = list
            .boards
            .iter()
            .filter(|b| !matches!(b.taken, Taken::Bought(_)));
        let there = on_hand.flat_map(|b| &b.placed);
        let there = there.fold(Rational::ZERO, |sum, p| {
            sum + area(p.length, p.width) * thick
        });
        let buy = (list.net - there) / (Rational::ONE - waste);
        let more = (buy - laid) / (area(largest.long, largest.wide) * thick);
        largest.spare = more.ceil().and_then(|n| u32::try_from(n).ok()).unwrap_or(0);
    }
    out
}
