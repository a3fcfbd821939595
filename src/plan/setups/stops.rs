//! Stopped cuts: marks on the fence, and which end goes first.
//!
//! A cutter of diameter D raised by h above the table reaches c = sqrt(h (D - h)) to either side of
//! its centre at the table (half a chord of a circle, D - h below and h above it).

use super::operation::{Lies, Stops};
use crate::measure::{Length, Rational};
use crate::model::{Cut, Edge, Lay, LocalAxis, LocalBox, Part, Side, Solid};

/// `sqrt(h (D - h))`, to the nearest nanometre; nothing if the cutter does not reach so high.
pub fn reach(diameter: Length, height: Length) -> Length {
    let (d, h) = (i128::from(diameter.to_nm()), i128::from(height.to_nm()));
    let square = h * (d - h);
    if square <= 0 {
        return Length::ZERO;
    }
    let root = square.isqrt();
    // (root + 1/2)^2 = root^2 + root + 1/4: beyond it the next whole number is nearer.
    let nearest = root + i128::from(square - root * root > root);
    Length::from_mm(Rational::new(nearest, 1_000_000))
}

/// What goes first when `down` lies on the table and `against` is at the fence on the right of the
/// cutter: with right = x, up = z, away from the operator is y = z cross x.
pub(super) fn lies(lay: &Lay, down: Side, against: Side) -> Lies {
    let leads = cross(lay.looks(down).opposite(), lay.looks(against)).map(|edge| lay.side(edge));
    Lies {
        down,
        against: Some(against),
        leads,
    }
}

/// The side toward which the cross product of two directions points; none if they are of one axis.
/// The piece frame (right, rear, up) is right-handed.
pub fn cross(a: Edge, b: Edge) -> Option<Edge> {
    let (i, j) = (a.axis().index(), b.axis().index());
    if i == j {
        return None;
    }
    let axis = a.axis().third(b.axis());
    let even = (i + 1) % 3 == j;
    let positive = even == (a.is_high() == b.is_high());
    Some(if positive { axis.high() } else { axis.low() })
}

/// The stops of a cut with a cutter that reaches `reach` from its centre; none if it runs through.
/// `beyond` is what strips that are on add to the part at the low and at the high end of the run.
pub(super) fn stops(
    at: (&Part, usize),
    cut: &Cut,
    beyond: [Length; 2],
    lies: &Lies,
    (diameter, reach, round): (Length, Length, bool),
) -> Option<Stops> {
    let uncut = left_of(at, cut.along, &cut.bounds(), beyond, cut.stopped);
    of_run(
        at.0,
        cut.along,
        uncut,
        beyond,
        lies,
        (diameter, reach, round),
    )
}

/// The stops of one step of a rabbet or tongue, whose solid is `step`.
pub(super) fn step_stops(
    at: (&Part, usize),
    (cut, step): (&Cut, &LocalBox),
    beyond: [Length; 2],
    lies: &Lies,
    cutter: (Length, Length, bool),
) -> Option<Stops> {
    let i = cut.along.index();
    let [low, high] = [
        step.lo[i] + beyond[0],
        at.0.size.along(cut.along) + beyond[1] - step.hi[i],
    ];
    let ends = [low, high].map(Length::is_positive);
    let uncut = left_of(at, cut.along, step, beyond, ends);
    of_run(at.0, cut.along, uncut, beyond, lies, cutter)
}

fn of_run(
    part: &Part,
    along: LocalAxis,
    [low, high]: [Length; 2],
    beyond: [Length; 2],
    lies: &Lies,
    (diameter, reach, round): (Length, Length, bool),
) -> Option<Stops> {
    let leads = lies.leads.filter(|side| side.axis() == along)?;
    let (before, after) = if leads.is_far() {
        (high, low)
    } else {
        (low, high)
    };
    (before.is_positive() || after.is_positive()).then_some(Stops {
        diameter,
        reach,
        round,
        before,
        after,
        long: part.size.along(along) + beyond[0] + beyond[1],
    })
}

/// How much stays uncut at the low and at the high end of the run. An end whose rest another cut of
/// the same part takes away anyway needs no stop.
fn left_of(
    (part, index): (&Part, usize),
    along: LocalAxis,
    all: &LocalBox,
    beyond: [Length; 2],
    [low, high]: [bool; 2],
) -> [Length; 2] {
    let i = along.index();
    let end = part.size.along(along) + beyond[1];
    let rest = |high: bool| {
        let mut rest = *all;
        if high {
            rest.lo[i] = all.hi[i];
            rest.hi[i] = end;
        } else {
            rest.hi[i] = all.lo[i];
            rest.lo[i] = -beyond[0];
        }
        let long = rest.hi[i] - rest.lo[i];
        let taken = part.cuts.iter().enumerate().any(|(k, other)| {
            k != index
                && other.solids.iter().any(|solid| match solid {
                    Solid::Box(b) => (0..3).all(|a| b.lo[a] <= rest.lo[a] && rest.hi[a] <= b.hi[a]),
                    Solid::Bore { .. } | Solid::Prism { .. } => false,
                })
        });
        if taken { Length::ZERO } else { long }
    };
    [
        if low { rest(false) } else { Length::ZERO },
        if high { rest(true) } else { Length::ZERO },
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::fixture::{self, id};

    /// D = 203.2 mm (8 in), h = 8 mm: sqrt(8 x 195.2) = sqrt(1561.6) = 39.517.
    #[test]
    fn an_eight_inch_head_raised_eight_reaches_39_5() {
        let c = reach(Length::inches(8, 1), Length::mm(8));
        assert_eq!(c.round_to(Length::um(1)), Length::um(39_517));
        assert_eq!(reach(Length::mm(5), Length::mm(5)), Length::ZERO);
        // 3-4-5: D = 10, h = 2 gives sqrt(16) exactly.
        assert_eq!(reach(Length::mm(10), Length::mm(2)), Length::mm(4));
    }

    #[test]
    fn of_a_pair_one_goes_front_first_and_the_other_rear_first() {
        let model = fixture::cabinet();
        let (left, right) = (
            model.pieces[0].part(id::LEFT),
            model.pieces[0].part(id::RIGHT),
        );
        let first = |part: &Part| {
            let lies = lies(&part.lay, Side::Face, Side::End);
            part.lay.looks(lies.leads.expect("end and face differ"))
        };
        assert_eq!((first(left), first(right)), (Edge::Front, Edge::Rear));
    }

    #[test]
    fn a_rabbet_makes_the_stop_at_the_rear_needless_and_the_front_stays() {
        let model = fixture::cabinet();
        let left = model.pieces[0].part(id::LEFT);
        let uncut = |k: usize| {
            let cut = &left.cuts[k];
            let none = [Length::ZERO; 2];
            left_of((left, k), cut.along, &cut.bounds(), none, cut.stopped)
        };
        assert_eq!(uncut(0), [Length::ZERO, Length::ZERO]);
        assert_eq!(uncut(1), [Length::mm(20), Length::ZERO]);
    }
}
