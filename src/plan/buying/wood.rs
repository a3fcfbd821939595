//! What is bought of solid wood: so much of random boards, so many of each size of others, and why.

use super::lines::{Amount, BuyLine, Reason, Section, int, price_of_size, priced, title};
use crate::measure::Rational;
use crate::model::{Model, Per, SoldSize, StockKind};
use crate::plan::layouts::{BoardList, Layouts, Sold, Taken};

/// Why so much wood is bought, in cubic millimetres.
#[derive(Clone, Debug, PartialEq)]
pub struct WoodSum {
    /// Without waste, beside what boards on hand give.
    pub net: Rational,
    /// Share of what is bought that may be lost.
    pub waste: Rational,
    /// What would do with that share.
    pub need: Rational,
    /// How many boards are laid out and bought.
    pub count: u32,
    /// What they come to.
    pub laid: Rational,
    /// How many spare ones are bought beside them.
    pub spare: u32,
}

impl WoodSum {
    /// Of a list of boards, in a shop that may lose such a share.
    pub fn of(list: &BoardList, waste: Rational) -> WoodSum {
        WoodSum {
            net: list.need * (Rational::ONE - waste),
            waste,
            need: list.need,
            count: list.asked.iter().map(|asked| asked.laid).sum(),
            laid: list.laid(),
            spare: list.asked.iter().map(|asked| asked.spare).sum(),
        }
    }
}

/// The boards of every list.
pub(super) fn boards(model: &Model, layouts: &Layouts, out: &mut Vec<BuyLine>) {
    for list in &layouts.boards {
        let kind = model.stocks.get(list.stock.0 as usize).map(|s| &s.kind);
        let Some(StockKind::Board { price, sizes, .. }) = kind else {
            continue;
        };
        if matches!(list.sold, Sold::In(_)) {
            of_sizes(model, list, sizes, out);
            continue;
        }
        let thick = list.rough.unwrap_or(list.needed);
        let wood = list.bought();
        let asked = !list.asked.is_empty();
        if !asked && !list.boards.is_empty() {
            continue; // all of it is on hand
        }
        out.push(BuyLine {
            section: Section::Boards,
            what: title(model, list.stock),
            stock: Some(list.stock),
            size: match list.sold {
                Sold::Random { long, wide } => Some((long.0, wide.0, thick)),
                Sold::Open | Sold::In(_) => None,
            },
            amount: Amount::Wood(wood.volume),
            reason: Reason::Boards {
                sum: WoodSum::of(list, model.shop.board_waste),
                asked: list.asked.clone(),
            },
            price: priced(
                price.as_ref(),
                asked.then(|| int(wood.count)),
                |per| match per {
                    Per::Volume => Some(wood.volume),
                    Per::Area => Some(wood.area),
                    Per::Length => asked.then(|| wood.length.as_mm()),
                    Per::One | Per::Pack(_) | Per::Mass => None,
                },
            ),
            unit: price.clone(),
        });
    }
}

/// Boards in listed sizes, a line a size.
fn of_sizes(model: &Model, list: &BoardList, sizes: &[SoldSize], out: &mut Vec<BuyLine>) {
    let thick = list.rough.unwrap_or(list.needed);
    for (k, size) in sizes.iter().enumerate() {
        let mut asked = list.asked.iter();
        let Some(asked) = asked.find(|a| (a.long, a.wide) == (size.long, size.wide)) else {
            continue;
        };
        let boards = list.boards.iter();
        let laid = boards.filter(|board| board.taken == Taken::Bought(k));
        let n = asked.laid + asked.spare;
        out.push(BuyLine {
            section: Section::Boards,
            what: title(model, list.stock),
            stock: Some(list.stock),
            size: Some((size.long, size.wide, thick)),
            amount: Amount::Count(n),
            reason: Reason::BoardsOfSize {
                numbers: laid.map(|board| board.number).collect(),
                spare: (asked.spare > 0).then(|| WoodSum::of(list, model.shop.board_waste)),
            },
            price: price_of_size(size, thick, n),
            unit: size.price.clone(),
        });
    }
}
