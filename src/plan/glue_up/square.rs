//! The square check: which rings of parts stand, and between which corners their diagonals are measured.
//!
//! A ring of four is two parts apart one way, held to two parts apart the other way; a ring of legs is
//! four of them, each two neighbours held by a part between them. Both diagonals of a rectangle are
//! equal, so a tape from corner to corner tells whether the ring is square (common practice). Only
//! corners of the ring's own parts can be hooked: what sticks out past it (a rail that runs on, a plinth)
//! has no say.

use crate::measure::{Length, Rational};
use crate::model::{Axis, Box3, JointId, PartId};
use std::collections::{BTreeMap, BTreeSet};

/// Both diagonals of a ring of parts, over its outer corners.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Diagonal {
    /// The two axes of the ring.
    pub axes: (Axis, Axis),
    /// Where its corners begin along each.
    pub from: (Length, Length),
    /// Outer extent along the first.
    pub wide: Length,
    /// Outer extent along the second.
    pub high: Length,
    /// The square root of the sum of their squares, to the nanometre.
    pub long: Length,
    /// How far the two may differ: 1 mm a metre (common practice).
    pub within: Length,
    /// The parts of the ring: two that face each other, then the other two; or four legs, then what
    /// holds them.
    pub parts: Vec<PartId>,
}

impl Diagonal {
    fn sides(&self) -> [[PartId; 2]; 2] {
        [
            [self.parts[0], self.parts[1]],
            [self.parts[2], self.parts[3]],
        ]
    }
}

/// From a lower to a higher place.
type Span = (Length, Length);

/// A joint that holds two parts.
pub(super) type Held = (JointId, PartId, PartId);

/// What is known of parts that are joined.
pub(super) struct Rings<'a> {
    seen: &'a [Box3],
    held: BTreeMap<PartId, BTreeMap<PartId, Vec<JointId>>>,
}

impl<'a> Rings<'a> {
    /// Of joints that hold, with what is seen of each part.
    pub(super) fn new(seen: &'a [Box3], joints: impl IntoIterator<Item = Held>) -> Rings<'a> {
        let mut held: BTreeMap<PartId, BTreeMap<PartId, Vec<JointId>>> = BTreeMap::new();
        for (id, a, b) in joints {
            for (one, other) in [(a, b), (b, a)] {
                let meetings = held.entry(one).or_default().entry(other).or_default();
                meetings.push(id);
            }
        }
        Rings { seen, held }
    }

    /// The largest ring that one of the joints of `fresh` closes; not one of which two sides that face each
    /// other were in a ring `measured` before, which keeps them square.
    pub(super) fn close(
        &self,
        fresh: &BTreeSet<JointId>,
        measured: &[Diagonal],
    ) -> Option<Diagonal> {
        let mut found = self.fours(fresh);
        found.extend(self.posts(fresh));
        found.retain(|ring| {
            let known = measured.iter().filter(|known| known.axes == ring.axes);
            !known
                .flat_map(Diagonal::sides)
                .any(|side| ring.sides().contains(&side))
        });
        let largest = |ring: &Diagonal| (ring.long, std::cmp::Reverse(ring.parts.clone()));
        found.into_iter().max_by_key(largest)
    }

    fn span(&self, part: PartId, axis: Axis) -> Span {
        let seen = &self.seen[part.0 as usize];
        (seen.lo[axis.index()], seen.hi[axis.index()])
    }

    fn is_fresh(&self, a: PartId, b: PartId, fresh: &BTreeSet<JointId>) -> bool {
        let meetings = self.held.get(&a).and_then(|others| others.get(&b));
        meetings.is_some_and(|ids| ids.iter().any(|id| fresh.contains(id)))
    }

    /// The lower and the higher of two parts with room between them along an axis, side by side along
    /// the other. Parts that lie closer than the thinner is thick are one side of a ring, not two.
    fn facing(&self, a: PartId, b: PartId, (apart, beside): (Axis, Axis)) -> Option<[PartId; 2]> {
        let overlap = |axis: Axis| {
            let (a, b) = (self.span(a, axis), self.span(b, axis));
            a.0 < b.1 && b.0 < a.1
        };
        if !overlap(beside) {
            return None;
        }
        let below = |a: PartId, b: PartId| {
            let (a, b) = (self.span(a, apart), self.span(b, apart));
            b.0 - a.1 >= (a.1 - a.0).min(b.1 - b.0)
        };
        if below(a, b) {
            Some([a, b])
        } else {
            below(b, a).then_some([b, a])
        }
    }

    /// Rings of four parts.
    fn fours(&self, fresh: &BTreeSet<JointId>) -> Vec<Diagonal> {
        let mut out = Vec::new();
        let parts: Vec<PartId> = self.held.keys().copied().collect();
        for (i, a) in parts.iter().enumerate() {
            for b in &parts[i + 1..] {
                let to_b = &self.held[b];
                let common: Vec<PartId> = self.held[a]
                    .keys()
                    .filter(|part| to_b.contains_key(part))
                    .copied()
                    .collect();
                for (k, c) in common.iter().enumerate() {
                    for d in &common[k + 1..] {
                        let sides = [(a, c), (a, d), (b, c), (b, d)];
                        if sides.iter().any(|(p, q)| self.is_fresh(**p, **q, fresh)) {
                            out.extend(self.four([*a, *b], [*c, *d]));
                        }
                    }
                }
            }
        }
        out
    }

    fn four(&self, one: [PartId; 2], other: [PartId; 2]) -> Option<Diagonal> {
        let planes = [(Axis::X, Axis::Z), (Axis::X, Axis::Y), (Axis::Y, Axis::Z)];
        planes.into_iter().find_map(|(u, v)| {
            // Every ring is found from either pair: here from the one that is apart along the first axis.
            let posts = self.facing(one[0], one[1], (u, v))?;
            let rails = self.facing(other[0], other[1], (v, u))?;
            let flip = |(a, b): (Span, Span)| (b, a);
            let (wide, high) = self
                .corners((u, v), posts, rails, false)
                .or_else(|| self.corners((v, u), rails, posts, false).map(flip))
                .or_else(|| self.corners((u, v), posts, rails, true))
                .or_else(|| self.corners((v, u), rails, posts, true).map(flip))?;
            diagonal((u, v), wide, high, [posts, rails].concat())
        })
    }

    /// The outer corners at the ends of two posts: along `u` from outer face to outer face, along `v` from
    /// end to end, or over a rail that lies flush across both ends. A rail that runs out past the faces
    /// of the posts covers their corners; they are taken below it only if need be.
    fn corners(
        &self,
        (u, v): (Axis, Axis),
        posts: [PartId; 2],
        rails: [PartId; 2],
        below: bool,
    ) -> Option<(Span, Span)> {
        let outer = (self.span(posts[0], u).0, self.span(posts[1], u).1);
        let ends = posts.map(|post| self.span(post, v));
        let end = |high: bool| {
            let rail = rails[usize::from(high)];
            let of = |span: Span| if high { span.1 } else { span.0 };
            let over = |a: Length, b: Length| if high { a > b } else { a < b };
            let (rail_end, post_end) = (of(self.span(rail, v)), of(ends[0]));
            let covers = ends.iter().all(|span| over(rail_end, of(*span)));
            let across = self.span(rail, u);
            if covers && across == outer {
                return Some(rail_end);
            }
            let past = across.0 < outer.0 || across.1 > outer.1;
            (of(ends[1]) == post_end && (!(covers && past) || below)).then_some(post_end)
        };
        Some((outer, (end(false)?, end(true)?)))
    }

    /// Rings of four legs, seen from above.
    fn posts(&self, fresh: &BTreeSet<JointId>) -> Vec<Diagonal> {
        let (u, v) = (Axis::X, Axis::Y);
        let stands = |part: &PartId| {
            let seen = &self.seen[part.0 as usize];
            seen.extent(Axis::Z) > seen.extent(u).max(seen.extent(v))
        };
        // What holds two of them, the lower first; one part of several stands for all.
        let mut along: [BTreeMap<[PartId; 2], PartId>; 2] = Default::default();
        for (rail, others) in &self.held {
            let ends: Vec<PartId> = others.keys().filter(|p| stands(p)).copied().collect();
            for (i, a) in ends.iter().enumerate() {
                for b in &ends[i + 1..] {
                    for (k, axes) in [(u, v), (v, u)].into_iter().enumerate() {
                        if let Some(pair) = self.facing(*a, *b, axes) {
                            along[k].entry(pair).or_insert(*rail);
                        }
                    }
                }
            }
        }
        let mut out = Vec::new();
        for ([a, b], low) in &along[0] {
            for ([c, d], high) in &along[0] {
                let (Some(left), Some(right)) = (along[1].get(&[*a, *c]), along[1].get(&[*b, *d]))
                else {
                    continue;
                };
                let holds = [(low, a, b), (high, c, d), (left, a, c), (right, b, d)];
                let closes = holds.iter().any(|(rail, one, other)| {
                    self.is_fresh(**rail, **one, fresh) || self.is_fresh(**rail, **other, fresh)
                });
                let at = |post: &PartId| (self.span(*post, u), self.span(*post, v));
                let [(au, av), (bu, bv), (cu, cv), (du, dv)] = [a, b, c, d].map(at);
                let even = au.0 == cu.0 && bu.1 == du.1 && av.0 == bv.0 && cv.1 == dv.1;
                if closes && even {
                    let parts = vec![*a, *d, *b, *c, *low, *high, *left, *right];
                    out.extend(diagonal((u, v), (au.0, bu.1), (av.0, cv.1), parts));
                }
            }
        }
        out
    }
}

fn diagonal(axes: (Axis, Axis), wide: Span, high: Span, parts: Vec<PartId>) -> Option<Diagonal> {
    let from = (wide.0, high.0);
    let (wide, high) = (wide.1 - wide.0, high.1 - high.0);
    let long = hypotenuse(wide, high)?;
    Some(Diagonal {
        axes,
        from,
        wide,
        high,
        long,
        within: long / 1000,
        parts,
    })
}

/// The square root of `a² + b²` to the nearest nanometre, by whole numbers.
fn hypotenuse(a: Length, b: Length) -> Option<Length> {
    let (a, b) = (i128::from(a.to_nm()), i128::from(b.to_nm()));
    let square = a.checked_mul(a)?.checked_add(b.checked_mul(b)?)?;
    let mut root = square.isqrt();
    if square - root * root > root {
        root += 1;
    }
    Some(Length::from_mm(Rational::new(root, 1_000_000)))
}
