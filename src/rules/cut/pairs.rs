//! Pairs of cuts of one part that lie near each other: what [`super::cuts_meet`],
//! [`super::housings_meet`] and [`super::web_thin`] look at.

use crate::measure::{Length, Rational};
use crate::model::{Box3, Cut, CutKind, JointKind, LocalBox, Part, PartId, Solid};
use crate::rules::solids::{self, distance_squared, gaps};
use crate::rules::view::View;
use std::collections::BTreeMap;

/// Two cuts of one part.
#[derive(Debug)]
pub struct Pair<'m> {
    /// The part.
    pub part: &'m Part,
    /// The one that stands first in the text.
    pub first: &'m Cut,
    /// The other.
    pub second: &'m Cut,
    /// What goes into each, or comes with it.
    pub visitors: [Option<PartId>; 2],
    /// Between the two volumes that come closest, along each axis of the part; below zero where they
    /// overlap.
    pub gaps: [Length; 3],
    /// The volumes that come closest.
    pub boxes: [LocalBox; 2],
    /// The square of their distance, square millimetres.
    pub squared: Rational,
    /// Whether nothing is left to break there: what fills them touches or is joined.
    pub exempt: bool,
    /// Space within this part that both fillers claim.
    pub clash: Option<Box3>,
}

impl Pair<'_> {
    /// Whether the wood between them is gone.
    pub fn open(&self) -> bool {
        self.squared.is_zero()
    }

    /// Whether they come from opposite surfaces and lie over each other.
    pub fn opposite(&self) -> bool {
        let axis = self.first.entry.axis().index();
        self.first.entry == self.second.entry.opposite()
            && (0..3).all(|i| i == axis || self.gaps[i].is_negative())
    }
}

/// How far apart two cuts may be and still be looked at, as a multiple of the least web.
const REACH: i64 = 10;

/// How far apart two cuts may be and still be looked at.
pub fn reach(view: &View) -> Length {
    view.model.shop.web * REACH
}

/// Every pair of cuts within [`reach`], part by part, in the order of the cuts.
pub fn find<'m>(view: &View<'m>) -> Vec<Pair<'m>> {
    let reach = reach(view);
    let limit = reach.as_mm() * reach.as_mm();
    let mut contacts = Contacts::new();
    let mut found = Vec::new();
    for part in &view.piece.parts {
        let bounds: Vec<LocalBox> = part.cuts.iter().map(Cut::bounds).collect();
        for near in neighbours(&bounds, reach) {
            let (Some(first), Some(second)) = (part.cuts.get(near.0), part.cuts.get(near.1)) else {
                continue;
            };
            if first.joint.is_some() && first.joint == second.joint {
                continue;
            }
            // A taper takes an outside away: its wedges may meet, and the box round one is no wall.
            if [first, second].iter().any(|cut| cut.kind == CutKind::Taper) {
                continue;
            }
            let apart = gaps(&bounds[near.0], &bounds[near.1]);
            if apart.into_iter().any(|gap| gap > reach) {
                continue;
            }
            if let Some(pair) = pair(view, part, first, second, limit, &mut contacts) {
                found.push(pair);
            }
        }
    }
    found
}

/// Pairs of indices of boxes that lie within `reach` along the grain, by sweeping along it.
fn neighbours(bounds: &[LocalBox], reach: Length) -> Vec<(usize, usize)> {
    let mut order: Vec<usize> = (0..bounds.len()).collect();
    order.sort_by_key(|i| (bounds[*i].lo[0], *i));
    let mut pairs = Vec::new();
    let mut open: Vec<usize> = Vec::new();
    for i in order {
        open.retain(|j| bounds[*j].hi[0] + reach >= bounds[i].lo[0]);
        pairs.extend(open.iter().map(|j| (i.min(*j), i.max(*j))));
        open.push(i);
    }
    pairs.sort_unstable();
    pairs
}

/// What is known of two parts: whether they touch or are joined, and the space that both claim.
type Contacts = BTreeMap<(PartId, PartId), (bool, Vec<Box3>)>;

fn pair<'m>(
    view: &View<'m>,
    part: &'m Part,
    first: &'m Cut,
    second: &'m Cut,
    limit: Rational,
    contacts: &mut Contacts,
) -> Option<Pair<'m>> {
    let (squared, boxes) = closest(first, second)?;
    if squared > limit {
        return None;
    }
    let visitors = [view.visitor(part.id, first), view.visitor(part.id, second)];
    let mut exempt = filled_before(view, first, second) || filled_before(view, second, first);
    let mut clash = None;
    if let [Some(a), Some(b)] = visitors {
        if a == b {
            return None;
        }
        let (touching, shared) = contacts.entry((a.min(b), a.max(b))).or_insert_with(|| {
            (
                view.joined(a, b) || solids::touch(view, a, b),
                solids::shared(view, a, b),
            )
        });
        // A screw or a biscuit fills its hole, not the part that it holds.
        exempt |= *touching && !bored(first) && !bored(second);
        clash = shared
            .iter()
            .filter_map(|s| s.meet(&part.core))
            .find(|s| !s.is_empty());
    }
    Some(Pair {
        part,
        first,
        second,
        visitors,
        gaps: gaps(&boxes[0], &boxes[1]),
        boxes,
        squared,
        exempt,
        clash,
    })
}

/// Whether what goes into a cut is a connector.
fn bored(cut: &Cut) -> bool {
    matches!(
        cut.kind,
        CutKind::ScrewHole | CutKind::ScrewSlot | CutKind::BiscuitSlot
    )
}

/// Whether `groove` is filled with a glued strip before `hole` is bored: then no web is left to
/// break, as the hole is bored in what has become one piece of wood.
fn filled_before(view: &View, groove: &Cut, hole: &Cut) -> bool {
    view.joint_kind(groove) == Some(JointKind::Edging)
        && matches!(
            hole.kind,
            CutKind::PinHoles
                | CutKind::CupBore
                | CutKind::HingeRecess
                | CutKind::PullHole
                | CutKind::ScrewHole
                | CutKind::ScrewSlot
        )
}

/// The two volumes of two cuts that come closest, and the square of their distance. A round hole
/// counts as the box round it, except that two parallel ones count by their centres.
fn closest(first: &Cut, second: &Cut) -> Option<(Rational, [LocalBox; 2])> {
    let mut best: Option<(Rational, [LocalBox; 2])> = None;
    for a in &first.solids {
        let a_bounds = a.bounds();
        for b in &second.solids {
            let boxes = [a_bounds, b.bounds()];
            let squared = parallel_holes(a, b)
                .unwrap_or_else(|| distance_squared(&gaps(&boxes[0], &boxes[1])));
            if best.as_ref().is_none_or(|(least, _)| squared < *least) {
                best = Some((squared, boxes));
            }
        }
    }
    best
}

/// The square of the wall between two round holes from the same or opposite surfaces that pass each
/// other side by side, rounded down to a tenth of a millimetre; `None` if they are no such pair.
fn parallel_holes(a: &Solid, b: &Solid) -> Option<Rational> {
    let (
        Solid::Bore {
            mouth: p,
            entry: e,
            diameter: d,
            ..
        },
        Solid::Bore {
            mouth: q,
            entry: f,
            diameter: g,
            ..
        },
    ) = (a, b)
    else {
        return None;
    };
    let axis = e.axis().index();
    let (bounds, other) = (a.bounds(), b.bounds());
    if e.axis() != f.axis() || gaps(&bounds, &other)[axis].is_positive() {
        return None;
    }
    let squared = (0..3)
        .filter(|i| *i != axis)
        .map(|i| (p[i] - q[i]).as_mm() * (p[i] - q[i]).as_mm())
        .fold(Rational::ZERO, |sum, square| sum + square);
    let wall = solids::root_down(squared, Length::um(100)) - (*d + *g).half();
    let wall = wall.max(Length::ZERO).as_mm();
    Some(wall * wall)
}
