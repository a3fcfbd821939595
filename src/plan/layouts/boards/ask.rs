//! What boards to ask for, in which sizes, and what they cost.

use super::super::item::{Item, Source};
use super::super::{Sheet, Taken, area};
use super::{BoardList, Sold};
use crate::measure::{Length, Rational};
use std::cmp::Reverse;

/// Boards to ask for: those laid out, and spare ones, until what is lost to defects is made up for: of the
/// largest of random boards; of listed sizes, of the one that makes up for it most cheaply.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Asked {
    /// How many are laid out.
    pub laid: u32,
    /// How many more, for defects.
    pub spare: u32,
    /// This long, random ones at least.
    pub long: Length,
    /// This wide, random ones at least.
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

/// Sizes of boards that are told apart; beyond that they are asked for in steps.
const SIZES: usize = 12;

impl BoardList {
    /// The boards that are bought.
    fn bought_boards(&self) -> impl Iterator<Item = &Sheet> {
        let bought = |board: &&Sheet| matches!(board.taken, Taken::Bought(_));
        self.boards.iter().filter(bought)
    }

    /// What the boards that are laid out and bought amount to, without spare ones; cubic millimetres.
    pub fn laid(&self) -> Rational {
        let thick = self.rough.unwrap_or(self.needed).as_mm();
        self.asked.iter().fold(Rational::ZERO, |sum, asked| {
            sum + area(asked.long, asked.wide) * thick * Rational::int(i64::from(asked.laid))
        })
    }

    /// What to buy: the boards asked for; where none can be laid out, as much as is needed.
    pub fn bought(&self) -> Wood {
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
            wood.volume = self.need;
            wood.area = wood.volume / thick;
        }
        wood
    }
}

/// The sizes of board that are asked for: the least that is promised, and what longer or wider pieces
/// need.
pub(super) fn sizes(
    items: &[Item],
    long: (Length, Length),
    wide: (Length, Length),
) -> Vec<(Length, Length)> {
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

/// What must be bought so that the stated share of it may be lost, to the saw or to defects; what comes out
/// of boards on hand is taken off. Cubic millimetres.
pub(super) fn need(list: &BoardList, waste: Rational) -> Rational {
    let thick = list.rough.unwrap_or(list.needed).as_mm();
    let on_hand = list
        .boards
        .iter()
        .filter(|b| !matches!(b.taken, Taken::Bought(_)));
    let there = on_hand.flat_map(|b| &b.placed);
    let there = there.fold(Rational::ZERO, |sum, p| {
        sum + area(p.length, p.width) * thick
    });
    (list.net - there).max(Rational::ZERO) / (Rational::ONE - waste)
}

/// The boards by size, and spare ones for as much of the need as those that are laid out do not make up for.
/// `sources` are what they were laid out on.
pub(super) fn asked(list: &BoardList, sources: &[Source]) -> Vec<Asked> {
    let thick = list.rough.unwrap_or(list.needed).as_mm();
    let mut out: Vec<Asked> = Vec::new();
    let mut laid = Rational::ZERO;
    for board in list.bought_boards() {
        laid = laid + area(board.long, board.wide) * thick;
        let asked = of_size(&mut out, (board.long, board.wide));
        asked.laid += 1;
    }
    let lacks = |(long, wide): (Length, Length)| {
        let more = (list.need - laid) / (area(long, wide) * thick);
        more.ceil().and_then(|n| u32::try_from(n).ok()).unwrap_or(0)
    };
    let largest = out
        .iter()
        .map(|a| (a.long, a.wide))
        .max_by_key(|a| area(a.0, a.1));
    let spare = largest.map(|largest| match &list.sold {
        Sold::In(_) => cheapest_spare(list, sources, lacks).unwrap_or(largest),
        // Whatever a defect spoils can come out of the largest.
        Sold::Random { .. } | Sold::Open => largest,
    });
    if let Some(size) = spare.filter(|size| lacks(*size) > 0) {
        of_size(&mut out, size).spare = lacks(size);
    }
    out
}

fn of_size(asked: &mut Vec<Asked>, (long, wide): (Length, Length)) -> &mut Asked {
    let at = asked.iter().position(|a| (a.long, a.wide) == (long, wide));
    let at = at.unwrap_or(asked.len());
    if at == asked.len() {
        asked.push(Asked {
            laid: 0,
            spare: 0,
            long,
            wide,
        });
    }
    &mut asked[at]
}

/// The size of which spare boards are bought: those that hold most of what a defect may spoil, and of those
/// the one in which as many as are lacking cost least.
fn cheapest_spare(
    list: &BoardList,
    sources: &[Source],
    lacks: impl Fn((Length, Length)) -> u32,
) -> Option<(Length, Length)> {
    let held = |(long, wide): (Length, Length)| {
        let pieces = list.bought_boards().flat_map(|board| &board.placed);
        let held = pieces.filter(|piece| piece.length <= long && piece.width <= wide);
        held.fold(Rational::ZERO, |sum, piece| {
            sum + area(piece.length, piece.width)
        })
    };
    let new = sources.iter().filter(|source| source.copies.is_none());
    let ranked = new.map(|source| {
        let size = (source.long, source.wide);
        let n = lacks(size);
        let cost = source.worth * Rational::int(i64::from(n));
        (Reverse(held(size)), cost, n, size)
    });
    ranked.min().map(|(.., size)| size)
}
