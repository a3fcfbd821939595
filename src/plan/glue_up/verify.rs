//! Looks at a finished glue-up without knowing how it came about: every joint closes once, and no
//! stage uses what is not there yet.

use super::{EdgingSession, GlueUp};
use crate::model::{Joint, JointId, JointKind, Model, PartId, Piece};
use std::collections::{BTreeMap, BTreeSet};

/// The first fault, in words; `None` if the piece goes together.
pub fn glue_up(model: &Model, plan: &GlueUp) -> Option<String> {
    model
        .pieces
        .iter()
        .enumerate()
        .find_map(|(i, piece)| edging(piece, i, &plan.edging).or_else(|| stages(piece, i, plan)))
}

/// Each strip once for each copy, each session's strips not before those of an earlier layer.
fn edging(piece: &Piece, index: usize, sessions: &[EdgingSession]) -> Option<String> {
    let mut times: BTreeMap<PartId, u32> = BTreeMap::new();
    for unit in sessions
        .iter()
        .flat_map(|s| &s.batches)
        .flat_map(|b| &b.units)
        .filter(|u| u.panel.part.piece as usize == index)
    {
        for strip in &unit.strips {
            *times.entry(*strip).or_default() += 1;
        }
    }
    piece.parts.iter().flat_map(|p| &p.bands).find_map(|band| {
        let found = times.get(&band.strip).copied().unwrap_or(0);
        (found != piece.copies).then(|| {
            format!(
                "{} is glued on {found} times, for {} copies",
                piece.part(band.strip).path,
                piece.copies
            )
        })
    })
}

fn stages(piece: &Piece, index: usize, plan: &GlueUp) -> Option<String> {
    let mut closed: BTreeSet<JointId> = BTreeSet::new();
    // Which bodies there are: each part alone at first.
    let mut body: BTreeMap<PartId, BTreeSet<PartId>> = piece
        .parts
        .iter()
        .map(|p| (p.id, BTreeSet::from([p.id])))
        .collect();
    for stage in plan.stages.iter().filter(|s| s.piece as usize == index) {
        let whole: BTreeSet<PartId> = stage.body.iter().copied().collect();
        for step in &stage.moves {
            for id in &step.joints {
                let Some(joint) = piece.joints.iter().find(|j| j.id == *id) else {
                    return Some("a joint that is not there is closed".into());
                };
                if !closed.insert(*id) {
                    return Some(format!("{} closes twice", name(piece, joint)));
                }
                let moved = |p: PartId| step.parts.contains(&p);
                if step.way.is_some() && moved(joint.a) == moved(joint.b) {
                    return Some(format!("{} does not close there", name(piece, joint)));
                }
                if !whole.contains(&joint.a) || !whole.contains(&joint.b) {
                    return Some(format!("{} lacks a part", name(piece, joint)));
                }
                let mut one = body.get(&joint.a).cloned().unwrap_or_default();
                one.extend(body.get(&joint.b).into_iter().flatten().copied());
                for part in one.clone() {
                    body.insert(part, one.clone());
                }
            }
        }
    }
    piece
        .joints
        .iter()
        .filter(|j| j.kind != JointKind::Edging)
        .find_map(|joint| {
            (!closed.contains(&joint.id)).then(|| format!("{} never closes", name(piece, joint)))
        })
        .or_else(|| jumps(piece, index, plan))
}

/// A body that moves must be one already, by joints that closed before.
fn jumps(piece: &Piece, index: usize, plan: &GlueUp) -> Option<String> {
    let mut held: Vec<(PartId, PartId)> = Vec::new();
    for step in plan
        .stages
        .iter()
        .filter(|s| s.piece as usize == index)
        .flat_map(|s| &s.moves)
    {
        if step.way.is_some() && step.parts.len() > 1 && !connected(&step.parts, &held) {
            let first = step.parts.first().map(|p| piece.part(*p).path.clone());
            return Some(format!(
                "a body with {} moves before it is one",
                first.unwrap_or_default()
            ));
        }
        held.extend(
            step.joints
                .iter()
                .filter_map(|id| piece.joints.iter().find(|j| j.id == *id))
                .map(|j| (j.a, j.b)),
        );
    }
    None
}

fn connected(parts: &[PartId], held: &[(PartId, PartId)]) -> bool {
    let Some(first) = parts.first() else {
        return true;
    };
    let (mut seen, mut open) = (BTreeSet::from([*first]), vec![*first]);
    while let Some(part) = open.pop() {
        for (a, b) in held {
            for (from, to) in [(a, b), (b, a)] {
                if *from == part && parts.contains(to) && seen.insert(*to) {
                    open.push(*to);
                }
            }
        }
    }
    seen.len() == parts.len()
}

fn name(piece: &Piece, joint: &Joint) -> String {
    format!(
        "the joint of {} and {}",
        piece.part(joint.a).path,
        piece.part(joint.b).path
    )
}
