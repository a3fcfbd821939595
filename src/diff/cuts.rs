//! Cuts of one part then and now, in its own frame. A cut that stays where it was from either end, or
//! runs out where it ran out, is the same cut though the part is longer.

use super::changes::{CutChange, CutFacet, Presence};
use super::figure::{Figure, Step};
use crate::measure::Length;
use crate::model::{Cut, CutKind, LocalAxis, Part, PartId, Piece, Side, Size};
use std::collections::BTreeMap;

/// The cuts that changed; those that changed alike once.
pub(super) fn compare(
    (old_piece, old): (&Piece, &Part),
    (new_piece, new): (&Piece, &Part),
    others: &BTreeMap<PartId, PartId>,
) -> Vec<CutChange> {
    // The other part: whether it is one of the new piece, and which.
    type Key = (CutKind, Side, Option<(bool, PartId)>);
    type Queues<'a> = (Vec<&'a Cut>, Vec<&'a Cut>);
    let mut kinds: BTreeMap<Key, Queues<'_>> = BTreeMap::new();
    for cut in &old.cuts {
        // By what it is in the new piece; what is gone can't be met there.
        let other = other(old_piece, old, cut).map(|part| match others.get(&part) {
            Some(new) => (true, *new),
            None => (false, part),
        });
        let entry = kinds.entry((cut.kind, cut.entry, other)).or_default();
        entry.0.push(cut);
    }
    for cut in &new.cuts {
        let other = other(new_piece, new, cut).map(|part| (true, part));
        let entry = kinds.entry((cut.kind, cut.entry, other)).or_default();
        entry.1.push(cut);
    }
    let mut out: Vec<CutChange> = Vec::new();
    for ((kind, _, other), (mut olds, mut news)) in kinds {
        let what = match other {
            None => kind_words(kind).to_owned(),
            Some((true, part)) => {
                format!("{} for {}", kind_words(kind), new_piece.part(part).label)
            }
            Some((false, part)) => {
                format!("{} for {}", kind_words(kind), old_piece.part(part).label)
            }
        };
        olds.sort_by_key(|cut| cut.bounds());
        news.sort_by_key(|cut| cut.bounds());
        for i in 0..olds.len().max(news.len()) {
            let (presence, facets) = match (olds.get(i), news.get(i)) {
                (Some(a), Some(b)) => (Presence::Stays, facets(a, &old.size, b, &new.size)),
                (None, Some(b)) => (Presence::Added, measures(b, true)),
                (Some(a), None) => (Presence::Gone, measures(a, false)),
                (None, None) => continue,
            };
            if presence == Presence::Stays && facets.is_empty() {
                continue;
            }
            let change = CutChange {
                what: what.clone(),
                presence,
                facets,
            };
            if !out.contains(&change) {
                out.push(change);
            }
        }
    }
    out
}

/// The other part of the joint that a cut serves, or the part that goes in.
pub(super) fn other(piece: &Piece, part: &Part, cut: &Cut) -> Option<PartId> {
    let joint = cut
        .joint
        .and_then(|id| piece.joints.get(id.0 as usize))
        .map(|joint| if joint.a == part.id { joint.b } else { joint.a });
    cut.filler.or(joint)
}

/// Width and depth of a cut that came or went.
fn measures(cut: &Cut, added: bool) -> Vec<CutFacet> {
    [("wide", cut.width), ("deep", cut.depth)]
        .into_iter()
        .filter(|(_, length)| length.is_positive())
        .map(|(what, length)| {
            let figure = Some(Figure::Length(length));
            facet(
                what,
                if added {
                    Step::new(None, figure)
                } else {
                    Step::new(figure, None)
                },
            )
        })
        .collect()
}

fn facet(what: &str, step: Step) -> CutFacet {
    CutFacet {
        what: what.to_owned(),
        step,
    }
}

/// What of a cut is another.
fn facets(old: &Cut, was: &Size, new: &Cut, is: &Size) -> Vec<CutFacet> {
    let mut out = Vec::new();
    let mut add = |what: &str, step: Option<Step>| out.extend(step.map(|step| facet(what, step)));
    add("wide", Step::lengths(old.width, new.width));
    add("deep", Step::lengths(old.depth, new.depth));
    let (a, b) = (old.bounds(), new.bounds());
    let span = |axis: LocalAxis| {
        let i = axis.index();
        Span {
            old: (a.lo[i], a.hi[i], was.along(axis)),
            new: (b.lo[i], b.hi[i], is.along(axis)),
        }
    };
    for axis in LocalAxis::ALL {
        if axis == old.entry.axis() {
            continue;
        }
        let from = match axis {
            LocalAxis::Length => "from the end",
            LocalAxis::Width => "from the edge",
            LocalAxis::Thickness => "from the face",
        };
        let span = span(axis);
        if axis != old.along {
            if span.moved() {
                add(from, Step::lengths(span.old.0, span.new.0));
            }
        } else if !span.stays() {
            if span.moved() {
                add(from, Step::lengths(span.old.0, span.new.0));
            }
            add(
                "long",
                Step::lengths(span.old.1 - span.old.0, span.new.1 - span.new.0),
            );
        }
    }
    add(
        "places",
        Step::counts(old.solids.len() as i64, new.solids.len() as i64),
    );
    // The same outline with other waste in it: spacing of holes, slope of tails.
    if out.is_empty() && was == is && solids(old) != solids(new) {
        out.push(facet("shape", Step::new(None, None)));
    }
    out
}

/// What goes, in any order.
fn solids(cut: &Cut) -> Vec<&crate::model::Solid> {
    let mut solids: Vec<_> = cut.solids.iter().collect();
    solids.sort();
    solids
}

/// A cut along one axis of the part: from, to, and the part's size.
struct Span {
    old: (Length, Length, Length),
    new: (Length, Length, Length),
}

impl Span {
    /// Whether it is elsewhere, from whichever end one measures.
    fn moved(&self) -> bool {
        let ((lo, hi, size), (lo2, hi2, size2)) = (self.old, self.new);
        lo != lo2 && size - hi != size2 - hi2
    }

    /// Whether it lies as it lay: from the near end, from the far one, or as far from both.
    fn stays(&self) -> bool {
        let ((lo, hi, size), (lo2, hi2, size2)) = (self.old, self.new);
        let (near, far) = (lo == lo2, size - hi == size2 - hi2);
        near && (far || hi == hi2) || far && size - lo == size2 - lo2
    }
}

pub(super) fn kind_words(kind: CutKind) -> &'static str {
    kind.word()
}
