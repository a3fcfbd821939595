//! Boards as they come: wider than is promised, each another. How many of a width are enough, and what is
//! ripped from each length that is cut off them.

use super::super::area;
use super::BoardList;
use crate::measure::{Length, Rational};
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// How many boards do if all of them are of this width, or as wide as a piece needs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct IfWide {
    /// Their width.
    pub wide: Length,
    /// How many are bought; spare ones are not counted.
    pub boards: u32,
    /// Cubic millimetres of them, in the rough thickness.
    pub volume: Rational,
}

/// What comes out of the board in one length.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OfLength {
    /// To be cut off the board.
    pub long: Length,
    /// Widths to rip, the widest first, and how often.
    pub rips: Vec<(Length, u32)>,
    /// All of them beside one another, a kerf after each.
    pub wide: Length,
}

/// Widths beyond the least that is promised: the greatest, and the middle between them in whole steps. None
/// of what comes in one width only.
pub(super) fn beyond((least, most): (Length, Length), step: Length) -> Vec<Length> {
    let middle = ((least + most) / 2).round_to(step);
    let mut out = vec![middle, most];
    out.retain(|wide| *wide > least);
    out.dedup();
    out
}

/// Of two ways with boards of these lengths and widths, the one that takes fewer.
pub(super) fn fewer(
    wide: Length,
    thick: Length,
    ways: [Vec<(Length, Length)>; 2],
) -> Option<IfWide> {
    let counted = ways.map(|boards| IfWide {
        wide,
        boards: boards.len() as u32,
        volume: boards.iter().fold(Rational::ZERO, |sum, board| {
            sum + area(board.0, board.1) * thick.as_mm()
        }),
    });
    counted
        .into_iter()
        .min_by_key(|way| (way.boards, way.volume))
}

impl BoardList {
    /// What is sawn, by length, the longest first: for boards of other widths than are laid out, from each
    /// length of which as much is ripped as its width gives.
    pub fn by_length(&self, kerf: Length) -> Vec<OfLength> {
        let pieces = self.pieces.iter().filter(|piece| !piece.planed_first);
        let pieces = pieces.map(|piece| (piece.long, piece.wide));
        let blanks = self.blanks.iter().map(|blank| (blank.long, blank.wide));
        let mut all: BTreeMap<Reverse<Length>, BTreeMap<Reverse<Length>, u32>> = BTreeMap::new();
        for (long, wide) in pieces.chain(blanks) {
            let of = all.entry(Reverse(long)).or_default();
            *of.entry(Reverse(wide)).or_default() += 1;
        }
        let row = |(long, rips): (Reverse<Length>, BTreeMap<Reverse<Length>, u32>)| OfLength {
            long: long.0,
            wide: rips
                .iter()
                .map(|(wide, n)| (wide.0 + kerf) * i64::from(*n))
                .sum(),
            rips: rips.into_iter().map(|(wide, n)| (wide.0, n)).collect(),
        };
        all.into_iter().map(row).collect()
    }
}
