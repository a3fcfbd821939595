//! What boards to ask for, in which sizes, and what they cost.

use super::super::item::Item;
use super::super::{Taken, area};
use super::BoardList;
use crate::measure::{Length, Rational};
use crate::model::{Per, Price};

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

/// Sizes of boards that are told apart; beyond that they are asked for in steps.
const SIZES: usize = 12;

impl BoardList {
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
/// need. Fixed sizes are those alone.
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

/// What one board costs.
pub(super) fn worth(
    price: Option<&Price>,
    (long, wide): (Length, Length),
    thick: Length,
) -> Option<Rational> {
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
pub(super) fn asked(list: &BoardList) -> Vec<Asked> {
    let thick = list.rough.unwrap_or(list.needed).as_mm();
    let mut out: Vec<Asked> = Vec::new();
    let mut laid = Rational::ZERO;
    for board in &list.boards {
        if !matches!(board.taken, Taken::Bought(_)) {
            continue;
        }
        laid = laid + area(board.long, board.wide) * thick;
        let size = (board.long, board.wide);
        match out.iter_mut().find(|a| (a.long, a.wide) == size) {
            Some(same) => same.laid += 1,
            None => out.push(Asked {
                laid: 1,
                spare: 0,
                long: board.long,
                wide: board.wide,
            }),
        }
    }
    // Whatever a defect spoils can come out of the largest.
    if let Some(largest) = out.iter_mut().max_by_key(|a| area(a.long, a.wide)) {
        let more = (list.need - laid) / (area(largest.long, largest.wide) * thick);
        largest.spare = more.ceil().and_then(|n| u32::try_from(n).ok()).unwrap_or(0);
    }
    out
}
