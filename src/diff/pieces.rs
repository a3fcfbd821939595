//! Pieces: made or no longer made, how many, and their outside sizes.

use super::changes::{Extent, PieceChange, Presence};
use super::figure::{Figure, Step};
use super::matching::Matched;
use crate::model::{Axis, Box3, Model, Piece};

/// Every piece that changed as a whole.
pub(super) fn compare(old: &Model, new: &Model, matched: &Matched) -> Vec<PieceChange> {
    let mut out = Vec::new();
    for pair in &matched.pieces {
        let was = pair.old.and_then(|i| old.pieces.get(i));
        let is = pair.new.and_then(|i| new.pieces.get(i));
        let Some(piece) = is.or(was) else { continue };
        let copies = |piece: Option<&Piece>| piece.map(|p| Figure::count(p.copies));
        let change = PieceChange {
            presence: presence(was.is_some(), is.is_some()),
            title: piece.title.clone(),
            name: match (was, is) {
                (Some(a), Some(b)) => {
                    Step::words(&a.name, &b.name).or_else(|| Step::words(&a.title, &b.title))
                }
                _ => None,
            },
            copies: Step::between(copies(was), copies(is)),
            outside: match (was, is) {
                (Some(a), Some(b)) => extents(Some(&a.overall), Some(&b.overall)),
                (a, b) => extents(a.map(|p| &p.overall), b.map(|p| &p.overall)),
            },
            units: piece.units,
        };
        let stays = change.presence == Presence::Stays
            && change.name.is_none()
            && change.copies.is_none()
            && change.outside.is_empty();
        if !stays {
            out.push(change);
        }
    }
    out
}

/// Whether something came, went or stayed.
pub(super) fn presence(was: bool, is: bool) -> Presence {
    match (was, is) {
        (false, true) => Presence::Added,
        (true, false) => Presence::Gone,
        _ => Presence::Stays,
    }
}

/// Extents that differ: in the order in which they are said, width, height, depth.
pub(super) fn extents(old: Option<&Box3>, new: Option<&Box3>) -> Vec<(Extent, Step)> {
    [Axis::X, Axis::Z, Axis::Y]
        .into_iter()
        .filter_map(|axis| {
            let of = |b: Option<&Box3>| b.map(|b| Figure::Length(b.extent(axis)));
            Some((Extent::of(axis), Step::between(of(old), of(new))?))
        })
        .collect()
}
