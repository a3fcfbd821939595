//! Setting up in place: what is whole by then comes together where it stands, and can be taken apart
//! again. Cases first, from the ground up and from left to right; then fillers, worktops and kicks, in the
//! order in which a fitter levels, closes, covers and closes off (common practice).
//!
//! Not here: how a wall or floor is met; that is said in the book.

use super::stage::{Move, Stage, StageKind};
use crate::assembly::flat;
use crate::measure::{Length, Rational};
use crate::model::{
    Assembly, AssemblyKind, Box3, Edge, Joint, JointId, JointKind, PartId, Piece, Role,
};
use petgraph::unionfind::UnionFind;
use std::collections::{BTreeMap, BTreeSet};

/// What is one when setting up begins.
struct Whole {
    parts: Vec<PartId>,
    size: Box3,
    rank: u32,
}

/// The one stage of the joints that hold a piece together where it stands.
pub(super) fn stage(piece: &Piece, index: usize, assembly: &Assembly) -> Option<Stage> {
    let joints: Vec<&Joint> = piece
        .joints
        .iter()
        .filter(|joint| joint.assembly == assembly.id && joint.kind != JointKind::Edging)
        .collect();
    if joints.is_empty() {
        return None;
    }
    let wholes = wholes(piece, assembly, &joints);
    let mut moves: Vec<Move> = Vec::new();
    let mut done: BTreeSet<JointId> = BTreeSet::new();
    let mut there: BTreeSet<PartId> = BTreeSet::new();
    // What was one before needs no move for a joint within it.
    let within =
        |parts: &[PartId], joint: &Joint| [joint.a, joint.b].iter().all(|id| parts.contains(id));
    for whole in &wholes {
        let inner = joints.iter().filter(|joint| within(&whole.parts, joint));
        let inner: Vec<JointId> = inner.map(|joint| joint.id).collect();
        if !inner.is_empty() {
            done.extend(&inner);
            moves.push(Move {
                parts: Vec::new(),
                way: None,
                joints: inner,
            });
        }
    }
    for whole in &wholes {
        there.extend(&whole.parts);
        let closing: Vec<&Joint> = joints
            .iter()
            .filter(|j| !done.contains(&j.id) && there.contains(&j.a) && there.contains(&j.b))
            .copied()
            .collect();
        done.extend(closing.iter().map(|joint| joint.id));
        moves.push(Move {
            way: Some(way(piece, whole, &closing)),
            joints: closing.iter().map(|joint| joint.id).collect(),
            parts: whole.parts.clone(),
        });
    }
    Some(Stage {
        number: 0,
        kind: StageKind::Standing,
        piece: index as u32,
        assembly: assembly.id,
        first: wholes.first().map(|w| w.parts.clone()).unwrap_or_default(),
        body: there.into_iter().collect(),
        moves,
        fresh: Vec::new(),
        sand_before: Vec::new(),
        area: Rational::ZERO,
        spread: 0,
        assemble: 0,
        clamps: Vec::new(),
        diagonal: None,
        all_at_once: false,
    })
}

/// What earlier joints have made one, in the order in which it is set up; and every filler, worktop and
/// kick, held or not.
fn wholes(piece: &Piece, assembly: &Assembly, joints: &[&Joint]) -> Vec<Whole> {
    let mut held: UnionFind<usize> = UnionFind::new(piece.parts.len());
    for joint in piece.joints.iter().filter(|j| j.assembly != assembly.id) {
        held.union(joint.a.0 as usize, joint.b.0 as usize);
    }
    let fitted = piece
        .parts
        .iter()
        .filter(|part| piece.assembly(part.assembly).kind == AssemblyKind::Fitted);
    let wanted: BTreeSet<usize> = joints
        .iter()
        .flat_map(|joint| [joint.a, joint.b])
        .chain(fitted.map(|part| part.id))
        .map(|id| held.find(id.0 as usize))
        .collect();
    let mut found: BTreeMap<usize, Whole> = BTreeMap::new();
    for part in piece.parts.iter().filter(|part| part.host.is_none()) {
        let root = held.find(part.id.0 as usize);
        if !wanted.contains(&root) {
            continue;
        }
        let rank = match part.role {
            Role::Filler => 1,
            Role::Worktop => 2,
            Role::Kick if piece.assembly(part.assembly).kind == AssemblyKind::Fitted => 3,
            _ => 0,
        };
        let whole = found.entry(root).or_insert_with(|| Whole {
            parts: Vec::new(),
            size: part.finished,
            rank,
        });
        whole.parts.push(part.id);
        whole.size = whole.size.union(&part.finished);
        whole.rank = whole.rank.min(rank);
    }
    let mut all: Vec<Whole> = found.into_values().collect();
    all.sort_by_key(|w| (w.rank, w.size.lo[2], w.size.lo[0], w.parts.first().copied()));
    all
}

/// The way in which something comes to what is there: where most of its joints close; what meets nothing
/// yet is set down.
fn way(piece: &Piece, whole: &Whole, closing: &[&Joint]) -> Edge {
    let mut ways: BTreeMap<Edge, usize> = BTreeMap::new();
    for joint in closing {
        let axis = flat(joint);
        let own = if whole.parts.contains(&joint.a) {
            joint.a
        } else {
            joint.b
        };
        let plane: Length = joint.contact.lo[axis.index()];
        let low = piece.part(own).core.middle(axis) < plane;
        *ways
            .entry(if low { axis.high() } else { axis.low() })
            .or_default() += 1;
    }
    let most = ways
        .iter()
        .max_by_key(|(way, n)| (**n, std::cmp::Reverse(**way)));
    most.map_or(Edge::Bottom, |(way, _)| *way)
}
