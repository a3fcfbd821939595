//! Wedges of through tenons: how many, how large, and by how much the mortises are flared for them.

use crate::assembly::flat;
use crate::measure::Length;
use crate::model::{CutKind, Joint, LocalAxis, PartId, Piece};

/// The flare of a mortise at each of its ends is this part of its depth, a slope of 1 in 15, and no more
/// than 3 mm: it closes a wedged tenon like a dovetail, and the strip beside the wedge bends so far
/// without breaking (common practice, from memory).
const FLARE: i64 = 15;
const MOST_FLARE_MM: i64 = 3;

/// Wedges of one size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wedges {
    /// How many, one for each saw cut.
    pub count: u32,
    /// As wide as the tenon is thick.
    pub wide: Length,
    /// As long as the saw cut is deep.
    pub long: Length,
    /// At the thick end: the saw cut and the flare.
    pub thick: Length,
    /// What each end of the mortise is wider at the far face.
    pub flare: Length,
    /// Parts with the mortises.
    pub into: Vec<PartId>,
}

/// The wedges of some joints, by size.
pub fn wedges<'a>(piece: &Piece, joints: impl Iterator<Item = &'a Joint>) -> Vec<Wedges> {
    let mut out: Vec<Wedges> = Vec::new();
    for joint in joints {
        let cuts = piece.part(joint.a).cuts.iter();
        let sawn = |cut: &&_| {
            let cut: &crate::model::Cut = cut;
            cut.kind == CutKind::WedgeSlot && cut.joint == Some(joint.id)
        };
        for cut in cuts.filter(sawn) {
            let bounds = cut.bounds();
            let extent = |axis: LocalAxis| bounds.hi[axis.index()] - bounds.lo[axis.index()];
            // What stands proud of the mortise is not in it.
            let deep = joint.deep.min(piece.part(joint.b).core.extent(flat(joint)));
            let flare = (deep / FLARE).min(Length::mm(MOST_FLARE_MM));
            let one = Wedges {
                count: cut.solids.len() as u32,
                wide: extent(cut.along),
                long: cut.depth,
                thick: cut.width + flare,
                flare,
                into: vec![joint.b],
            };
            let size = |w: &Wedges| (w.wide, w.long, w.thick, w.flare);
            match out.iter_mut().find(|w| size(w) == size(&one)) {
                Some(like) => {
                    like.count += one.count;
                    like.into.extend(one.into);
                }
                None => out.push(one),
            }
        }
    }
    out
}
