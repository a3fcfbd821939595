//! What rules ask of boxes, and of the wood of parts ([`crate::solid`]).

use super::view::View;
use crate::measure::{Length, Rational};
use crate::model::{Box3, LocalBox, PartId};
use crate::solid;

/// What is left of boxes when another is taken out of them.
pub fn less(boxes: Vec<Box3>, taken: &Box3) -> Vec<Box3> {
    let mut left = Vec::with_capacity(boxes.len());
    for b in boxes {
        if !b.overlaps(taken) {
            left.push(b);
            continue;
        }
        let mut rest = b;
        for i in 0..3 {
            if rest.lo[i] < taken.lo[i] {
                let mut slab = rest;
                slab.hi[i] = taken.lo[i];
                rest.lo[i] = taken.lo[i];
                left.push(slab);
            }
            if rest.hi[i] > taken.hi[i] {
                let mut slab = rest;
                slab.lo[i] = taken.hi[i];
                rest.hi[i] = taken.hi[i];
                left.push(slab);
            }
        }
    }
    left
}

/// Space that two parts both claim after their cuts, as boxes round it; empty if there is none. Where a
/// number does not fit, [`super::space::overlap`] says so.
pub fn shared(view: &View, a: PartId, b: PartId) -> Vec<Box3> {
    let (Ok(first), Ok(second)) = (view.wood(a), view.wood(b)) else {
        return Vec::new();
    };
    let cells = solid::shared(first, second).unwrap_or_default();
    cells.iter().map(|cell| *cell.bounds()).collect()
}

/// Whether two parts, as cut, lie against each other over some area (or share space).
pub fn touch(view: &View, a: PartId, b: PartId) -> bool {
    let (Ok(first), Ok(second)) = (view.wood(a), view.wood(b)) else {
        return false;
    };
    let touches = solid::touching(first, second).is_ok_and(|touch| !touch.is_none());
    touches || !shared(view, a, b).is_empty()
}

/// Whether a box has at least an area: two extents above zero.
pub fn is_area(b: &Box3) -> bool {
    (0..3).filter(|i| b.lo[*i] < b.hi[*i]).count() >= 2
}

/// The distance between two boxes of a part along each axis; below zero: how far they overlap.
pub fn gaps(a: &LocalBox, b: &LocalBox) -> [Length; 3] {
    [0, 1, 2].map(|i| (a.lo[i].max(b.lo[i])) - (a.hi[i].min(b.hi[i])))
}

/// The square of the least distance between two boxes, in square millimetres; zero if they meet.
pub fn distance_squared(gaps: &[Length; 3]) -> Rational {
    gaps.iter()
        .filter(|gap| gap.is_positive())
        .map(|gap| gap.as_mm() * gap.as_mm())
        .fold(Rational::ZERO, |sum, square| sum + square)
}

/// The greatest multiple of `step` whose square is not above `squared` (square millimetres): a root,
/// rounded down. Whole numbers only, by bisection.
pub fn root_down(squared: Rational, step: Length) -> Length {
    let unit = step.as_mm() * step.as_mm();
    let Some(most) = (squared / unit).floor().filter(|n| *n > 0) else {
        return Length::ZERO;
    };
    let (mut low, mut high) = (0i128, most.min(1 << 60) + 1);
    while high - low > 1 {
        let middle = low + (high - low) / 2;
        if middle.checked_mul(middle).is_some_and(|s| s <= most) {
            low = middle;
        } else {
            high = middle;
        }
    }
    step * i64::try_from(low).unwrap_or(i64::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::fixture::{box3, dmm};

    #[test]
    fn a_box_in_the_middle_leaves_six_slabs_of_the_right_volume() {
        let whole = box3([0, 100], [0, 100], [0, 100]);
        let hole = box3([20, 50], [30, 60], [40, 80]);
        let volume = |b: &Box3| (0..3).fold(Rational::ONE, |v, i| v * (b.hi[i] - b.lo[i]).as_mm());
        let left = less(vec![whole], &hole);
        assert_eq!(left.len(), 6);
        let sum = left.iter().map(volume).fold(Rational::ZERO, |s, v| s + v);
        assert_eq!(sum + volume(&hole), volume(&whole));
        assert!(left.iter().all(|b| !b.overlaps(&hole)));
    }

    /// 1.25² + 0.25² = 1.625 = 1.2747…²; 3² + 4² = 5².
    #[test]
    fn roots_go_down_to_the_step() {
        let step = dmm(1);
        assert_eq!(root_down(Rational::new(1625, 1000), step), dmm(12));
        assert_eq!(root_down(Rational::int(25), step), dmm(50));
        assert_eq!(root_down(Rational::ZERO, step), Length::ZERO);
    }
}
