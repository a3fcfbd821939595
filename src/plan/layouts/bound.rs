//! A proven least number of sheets.

use super::item::Item;
use crate::measure::{Length, Rational};

/// What the bound rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BoundRule {
    /// The parts' area, each grown by a kerf both ways, over the usable sheet's, grown likewise.
    Area,
    /// Parts longer than half of the sheet can't lie behind one another: their widths add up.
    HalfLong,
    /// Parts wider than half of the sheet can't lie beside one another: their lengths add up.
    HalfWide,
}

/// The least number of sheets that any way of cutting needs.
///
/// A part that is grown by one kerf both ways, on a usable sheet grown likewise, takes room that no
/// other part may use; so areas add up (volume bound; Martello and Vigo, Management Science 44, 1998,
/// `L0`). Two parts that are both longer than half of the sheet overlap in `x`, so their widths add
/// up within one sheet. Where several sizes are sold the largest extents are taken, which keeps the
/// bound true for every mixture.
#[derive(Clone, Copy, Debug)]
pub struct SheetBound {
    /// Not fewer than this.
    pub sheets: u32,
    /// The figure before it is rounded up: how many sheets the parts fill.
    pub cover: Rational,
    /// What gives it.
    pub rule: BoundRule,
}

/// The best of the three bounds; `None` if there is nothing to cut or the sheet has no room.
pub(super) fn bound(
    items: &[Item],
    placed: &[usize],
    long: Length,
    wide: Length,
    kerf: Length,
) -> Option<SheetBound> {
    if placed.is_empty() || !long.is_positive() || !wide.is_positive() {
        return None;
    }
    let (l, w) = (long + kerf, wide + kerf);
    let mut sums = [
        (BoundRule::Area, Rational::ZERO),
        (BoundRule::HalfLong, Rational::ZERO),
        (BoundRule::HalfWide, Rational::ZERO),
    ];
    for item in placed.iter().filter_map(|i| items.get(*i)) {
        let (a, b) = (item.long + kerf, item.wide + kerf);
        sums[0].1 = sums[0].1 + (a.as_mm() * b.as_mm()) / (l.as_mm() * w.as_mm());
        // An item that may turn counts only if both ways are long enough.
        let least = |x: Length, y: Length| if item.may_turn { x.min(y) } else { x };
        if least(a, b) * 2 > l {
            sums[1].1 = sums[1].1 + least(b, a).ratio(w);
        }
        if least(b, a) * 2 > w {
            sums[2].1 = sums[2].1 + least(a, b).ratio(l);
        }
    }
    let mut best = sums[0];
    for sum in sums {
        if sum.1.ceil() > best.1.ceil() {
            best = sum;
        }
    }
    Some(SheetBound {
        sheets: u32::try_from(best.1.ceil()?).ok()?,
        cover: best.1,
        rule: best.0,
    })
}
