//! Looks at a finished glue-up without knowing how it came about: every joint closes once, and no
//! stage uses what is not there yet.

use super::{EdgingSession, GlueUp};
use crate::model::{Joint, JointId, JointKind, Model, PartId, Piece};
use crate::plan::layouts::{PartCopy, copies};
use petgraph::unionfind::UnionFind;
use std::collections::{BTreeMap, BTreeSet};

/// The first fault, in words; `None` if the piece goes together.
pub fn glue_up(model: &Model, plan: &GlueUp) -> Option<String> {
    let of_piece = |(i, piece)| edging(piece, i, &plan.edging).or_else(|| stages(piece, i, plan));
    let mut pieces = model.pieces.iter().enumerate();
    pieces.find_map(of_piece).or_else(|| panels(model, plan))
}

/// Each part of staves once for each copy, of staves that reach across it.
fn panels(model: &Model, plan: &GlueUp) -> Option<String> {
    let glued = || plan.panels.iter().flat_map(|panel| &panel.parts);
    let narrow = plan.panels.iter().find(|panel| {
        let all = panel.staves.wide * i64::from(panel.staves.count);
        let part = |copy: &PartCopy| model.sawn_size(copy.part);
        panel.parts.iter().any(|copy| all < part(copy).width)
    });
    if let Some(panel) = narrow {
        return Some(format!(
            "the staves of {} are too narrow",
            panel.parts[0].label
        ));
    }
    let mut all = copies(model).into_iter();
    all.find_map(|copy| {
        let wanted = usize::from(model.staves(copy.part).is_some());
        let found = glued().filter(|glued| **glued == copy).count();
        (found != wanted).then(|| format!("{} is glued up {found} times", copy.label))
    })
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
    let mut held: UnionFind<usize> = UnionFind::new(piece.parts.len());
    for stage in plan.stages.iter().filter(|s| s.piece as usize == index) {
        let whole: BTreeSet<PartId> = stage.body.iter().copied().collect();
        for step in &stage.moves {
            let moved: BTreeSet<PartId> = step.parts.iter().copied().collect();
            // A body that moves must be one already, by joints that closed before.
            let mut bodies = moved.iter().map(|p| held.find(p.0 as usize));
            let first = bodies.next();
            if step.way.is_some() && bodies.any(|body| Some(body) != first) {
                let first = moved.first().map(|p| piece.part(*p).path.clone());
                return Some(format!(
                    "a body with {} moves before it is one",
                    first.unwrap_or_default()
                ));
            }
            for id in &step.joints {
                let Some(joint) = piece.joints.get(id.0 as usize) else {
                    return Some("a joint that is not there is closed".into());
                };
                if !closed.insert(*id) {
                    return Some(format!("{} closes twice", name(piece, joint)));
                }
                if step.way.is_some() && moved.contains(&joint.a) == moved.contains(&joint.b) {
                    return Some(format!("{} does not close there", name(piece, joint)));
                }
                if !whole.contains(&joint.a) || !whole.contains(&joint.b) {
                    return Some(format!("{} lacks a part", name(piece, joint)));
                }
                held.union(joint.a.0 as usize, joint.b.0 as usize);
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
}

fn name(piece: &Piece, joint: &Joint) -> String {
    format!(
        "the joint of {} and {}",
        piece.part(joint.a).path,
        piece.part(joint.b).path
    )
}
