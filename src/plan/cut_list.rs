//! The cut list: what to cut from which stock, with rough, sawn and finished sizes.
//!
//! Where on a sheet a part lies is told by the cutting layouts.

use super::good_side::good_sides;
use crate::measure::{Length, Rational};
use crate::model::{
    AssemblyId, Grain, Group, Hand, Model, PartRef, Side, Size, StockId, StockKind,
};
use std::collections::{BTreeMap, BTreeSet};

/// The cut list.
#[derive(Clone, Debug)]
pub struct CutList {
    /// By stock, in the order in which the stocks are declared; only those with parts.
    pub stocks: Vec<StockRows>,
}

/// Parts of one stock.
#[derive(Clone, Debug)]
pub struct StockRows {
    /// The stock.
    pub stock: StockId,
    /// One row a mark, hand and good side.
    pub rows: Vec<CutRow>,
}

/// Parts of one mark and hand, and of one good side where their sheet has but one.
#[derive(Clone, Debug)]
pub struct CutRow {
    /// Number of their group.
    pub mark: u32,
    /// Name of their group.
    pub label: String,
    /// Their hand.
    pub hand: Option<Hand>,
    /// How many over all copies.
    pub off: u32,
    /// The parts, each once (not times its copies).
    pub members: Vec<PartRef>,
    /// How many in each copy, by its letter; copies without any are left out.
    pub copies: Vec<(String, u32)>,
    /// Sawn size: what enters joints included, edging not, and what of a strip is flushed later. The
    /// thickness is that of the blank.
    pub sawn: Size,
    /// For a strip that is ripped off a board planed to its width: that width.
    pub planed: Option<Length>,
    /// Finished size, where it differs.
    pub finished: Option<Size>,
    /// What to break down to.
    pub rough: Rough,
    /// Its grain.
    pub grain: Grain,
    /// Of sheet that is good on one face: the side of the part that is to be the good one.
    pub good: Option<Side>,
    /// The surfaces that get a strip.
    pub lipped: Vec<Side>,
    /// A strip's tongue, whose depth is in the thickness of its blank.
    pub tongue: Option<(Length, Length)>,
    /// Where they go: piece and assembly.
    pub places: Vec<(u32, AssemblyId)>,
}

/// Rough size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rough {
    /// From a sheet.
    Sheet {
        /// Sawn length and the shop's allowance.
        length: Length,
        /// Sawn width and the shop's allowance.
        width: Length,
    },
    /// From a board.
    Board {
        /// Sawn length and the shop's allowance.
        length: Length,
        /// Sawn width and the shop's allowance.
        width: Length,
        /// The thinnest board on offer that holds the thickness and the allowance for planing;
        /// `None` if none does.
        thick: Option<Length>,
    },
    /// Ready-made strip: no more than cut to length.
    Strip,
}

impl StockRows {
    /// How many parts.
    pub fn off(&self) -> u32 {
        self.rows.iter().map(|row| row.off).sum()
    }

    /// Area of the sawn parts, square millimetres.
    pub fn area(&self) -> Rational {
        self.sum(|row| row.sawn.length.as_mm() * row.sawn.width.as_mm())
    }

    /// Length of the sawn parts laid end to end, millimetres.
    pub fn run(&self) -> Rational {
        self.sum(|row| row.sawn.length.as_mm())
    }

    fn sum(&self, of: impl Fn(&CutRow) -> Rational) -> Rational {
        self.rows.iter().fold(Rational::ZERO, |sum, row| {
            sum + of(row) * Rational::int(i64::from(row.off))
        })
    }
}

impl CutList {
    /// How many parts.
    pub fn off(&self) -> u32 {
        self.stocks.iter().map(StockRows::off).sum()
    }
}

/// Gathers what is to be cut.
pub fn plan_cut_list(model: &Model) -> CutList {
    let good = good_sides(model);
    let mut stocks: BTreeMap<StockId, Vec<CutRow>> = BTreeMap::new();
    for group in &model.groups {
        let mut hands: BTreeMap<(StockId, Option<Hand>, Option<Side>), Vec<PartRef>> =
            BTreeMap::new();
        for (at, hand) in &group.members {
            let stock = model.part(*at).1.stock;
            let good = good.get(at).copied();
            hands.entry((stock, *hand, good)).or_default().push(*at);
        }
        for ((stock, hand, good), members) in hands {
            if let Some(row) = row(model, group, hand, good, members) {
                stocks.entry(stock).or_default().push(row);
            }
        }
    }
    CutList {
        stocks: stocks
            .into_iter()
            .map(|(stock, rows)| StockRows { stock, rows })
            .collect(),
    }
}

fn row(
    model: &Model,
    group: &Group,
    hand: Option<Hand>,
    good: Option<Side>,
    members: Vec<PartRef>,
) -> Option<CutRow> {
    let first = *members.first()?;
    let (_, part) = model.part(first);
    let sawn = model.sawn_size(first);
    let mut copies: Vec<(String, u32)> = Vec::new();
    for (i, piece) in model.pieces.iter().enumerate() {
        let each = members.iter().filter(|at| at.piece as usize == i).count() as u32;
        if each > 0 {
            copies.extend(piece.letters.iter().map(|letter| (letter.clone(), each)));
        }
    }
    let off = members.iter().map(|at| model.part(*at).0.copies).sum();
    let places: BTreeSet<(u32, AssemblyId)> = members
        .iter()
        .map(|at| (at.piece, model.part(*at).1.assembly))
        .collect();
    let lipped: BTreeSet<Side> = part.bands.iter().map(|band| band.side).collect();
    Some(CutRow {
        mark: group.mark,
        label: group.label.clone(),
        hand,
        off,
        copies,
        sawn,
        finished: (part.finished_size != sawn).then_some(part.finished_size),
        planed: model.ripped_off(first).then_some(sawn.width),
        rough: rough(model, first),
        grain: part.grain,
        good,
        lipped: lipped.into_iter().collect(),
        tongue: strip_tongue(model, &members),
        places: places.into_iter().collect(),
        members,
    })
}

fn rough(model: &Model, at: PartRef) -> Rough {
    let part = model.part(at).1;
    let (length, width) = model.rough_size(at);
    let width = model.staves(at).map_or(width, |staves| staves.rough);
    match model.stocks.get(part.stock.0 as usize).map(|s| &s.kind) {
        Some(StockKind::Board { rough, .. }) => {
            let size = model.sawn_size(at);
            let planed = match model.ripped_off(at) {
                true => size.width,
                false => size.thick,
            };
            let least = planed + model.shop.rough_board.2;
            Rough::Board {
                length,
                width,
                thick: rough.iter().copied().filter(|r| *r >= least).min(),
            }
        }
        Some(StockKind::Edging { .. }) => Rough::Strip,
        Some(StockKind::Sheet { .. }) | None => Rough::Sheet { length, width },
    }
}

/// The tongue of the first member that is a strip with one on it.
fn strip_tongue(model: &Model, members: &[PartRef]) -> Option<(Length, Length)> {
    members.iter().find_map(|at| {
        let (piece, part) = model.part(*at);
        let host = piece.part(part.host?);
        let band = host.bands.iter().find(|band| band.strip == part.id)?;
        let grown = part.size.thick > band.thick;
        band.tongue.filter(|_| grown)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::fixture::{self, dmm};

    fn find(list: &CutList, mark: u32, hand: Option<Hand>) -> &CutRow {
        list.stocks
            .iter()
            .flat_map(|s| &s.rows)
            .find(|row| row.mark == mark && row.hand == hand)
            .expect("the cabinet has this row")
    }

    #[test]
    fn sizes_of_the_cabinet() {
        let list = plan_cut_list(&fixture::cabinet());
        let side = find(&list, 1, Some(Hand::Right));
        assert_eq!((side.off, side.copies.len()), (2, 2));
        assert_eq!((side.sawn.length, side.sawn.width), (dmm(7200), dmm(3920)));
        // 392 and 8 of strip; what is sawn from the sheet is 3 more each way.
        assert_eq!(side.finished.map(|s| s.width), Some(dmm(4000)));
        assert_eq!(
            side.rough,
            Rough::Sheet {
                length: dmm(7230),
                width: dmm(3950)
            }
        );
        assert_eq!(side.lipped, [Side::Edge]);
        assert_eq!(find(&list, 3, None).finished, None);
    }

    /// 8 thick and a tongue 5 deep is a blank of 13, from 13 + 3 = 16: the 20 board. Two strips a
    /// cabinet.
    #[test]
    fn strips_are_blanks_with_their_tongue() {
        let list = plan_cut_list(&fixture::cabinet());
        let strip = find(&list, 6, None);
        assert_eq!(
            (strip.off, strip.copies.as_slice()),
            (4, [("A".into(), 2), ("B".into(), 2)].as_slice())
        );
        assert_eq!(strip.sawn.thick, dmm(130));
        assert_eq!(strip.tongue, Some((dmm(40), dmm(50))));
        assert_eq!(
            strip.rough,
            Rough::Board {
                length: dmm(7510),
                width: dmm(255),
                thick: Some(Length::mm(20))
            }
        );
        assert_eq!(find(&list, 7, None).tongue, None);
    }

    /// Off: 4 sides, floor, deck, top, shelf twice = 12 of 17.6; 2 backs; 8 strips. The area of the
    /// backs is 2 x 720 x 582.8.
    #[test]
    fn totals() {
        let list = plan_cut_list(&fixture::cabinet());
        let offs: Vec<u32> = list.stocks.iter().map(StockRows::off).collect();
        assert_eq!((offs, list.off()), (vec![12, 2, 8], 22));
        assert_eq!(
            list.stocks[1].area(),
            Rational::int(1440) * Rational::new(5828, 10)
        );
    }

    #[test]
    fn a_board_too_thick_for_what_is_sold_says_so() {
        let mut model = fixture::cabinet();
        if let StockKind::Board { rough, .. } = &mut model.stocks[2].kind {
            *rough = vec![Length::mm(15)];
        }
        let list = plan_cut_list(&model);
        assert!(matches!(
            find(&list, 6, None).rough,
            Rough::Board { thick: None, .. }
        ));
    }
}
