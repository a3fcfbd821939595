//! Exact arithmetic on boxes with boxes cut out of them.
//!
//! A part is its sawn box less its cuts. Cuts that are boxes count exactly. A dovetail or mitre (a
//! prism) counts as the box round it, so of the wood within that box nothing is said here: the tails
//! and sockets of one joint come from one layout, and what is proven is that the two parts share no
//! space outside the corner that the joint takes up. Round holes are not taken off at all: no part
//! sits in one.

use super::view::View;
use crate::measure::{Length, Rational};
use crate::model::{Box3, LocalBox, PartId, Solid};

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

/// A volume that is cut from a part, in the piece.
#[derive(Clone, Copy, Debug)]
pub struct Taken {
    /// The box, or the box round it.
    pub bounds: Box3,
    /// Whether it is a box: a prism is not.
    pub exact: bool,
}

/// The box-like volumes cut from a part, in the piece.
pub fn taken(part: &crate::model::Part) -> Vec<Taken> {
    part.cuts
        .iter()
        .flat_map(|cut| &cut.solids)
        .filter_map(|solid| match solid {
            Solid::Box(b) => Some((*b, true)),
            Solid::Prism { .. } => Some((solid.bounds(), false)),
            Solid::Bore { .. } => None,
        })
        .map(|(b, exact)| Taken {
            bounds: part.to_piece(&b),
            exact,
        })
        .collect()
}

/// Space that two parts both claim after their cuts, as boxes; empty if there is none.
pub fn shared(view: &View, a: PartId, b: PartId) -> Vec<Box3> {
    let (first, second) = (view.part(a), view.part(b));
    let Some(both) = first.core.meet(&second.core).filter(|m| !m.is_empty()) else {
        return Vec::new();
    };
    let mut left = vec![both];
    for taken in view.taken(a).iter().chain(view.taken(b)) {
        left = less(left, &taken.bounds);
        if left.is_empty() {
            break;
        }
    }
    left
}

/// Whether two parts, as cut, lie against each other over some area (or share space). A mitred end
/// counts as uncut here: mitred strips do touch.
pub fn touch(view: &View, a: PartId, b: PartId) -> bool {
    let (first, second) = (view.part(a), view.part(b));
    let Some(mut near) = first.core.meet(&second.core) else {
        return false;
    };
    for i in 0..3 {
        near.lo[i] -= Length::mm(1);
        near.hi[i] += Length::mm(1);
    }
    let wood = |id: PartId, core: &Box3| {
        let mut left: Vec<Box3> = core.meet(&near).into_iter().collect();
        for taken in view.taken(id).iter().filter(|taken| taken.exact) {
            left = less(left, &taken.bounds);
        }
        left
    };
    let (mine, yours) = (wood(a, &first.core), wood(b, &second.core));
    mine.iter()
        .any(|m| yours.iter().any(|y| m.meet(y).is_some_and(|c| is_area(&c))))
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
