//! Stages that are one work done several times: 24 drawers are one card with 24 boxes to tick.

use super::{Move, Stage};
use crate::measure::Length;
use crate::model::{Edge, Hand, JointKind, Model, PartId};
use std::collections::BTreeMap;

/// A part as the book calls it.
type Mark = (u32, Option<Hand>);

/// What a person does in one coming together.
type Did = (
    Vec<Mark>,
    Option<Edge>,
    Vec<(JointKind, Mark, Mark, Length, bool)>,
);

/// Numbers stages from `from` on. Stages of one piece with like parts brought together by like joints
/// the same way have one number, that of the first.
pub fn number(model: &Model, stages: &mut [Stage], from: u32) {
    let mut marks: BTreeMap<(u32, PartId), Mark> = BTreeMap::new();
    for group in &model.groups {
        for (part, hand) in &group.members {
            marks.insert((part.piece, part.part), (group.mark, *hand));
        }
    }
    let mut known: BTreeMap<_, u32> = BTreeMap::new();
    let mut next = from;
    for stage in stages {
        let Some(piece) = model.pieces.get(stage.piece as usize) else {
            continue;
        };
        let mark = |part: &PartId| {
            marks
                .get(&(stage.piece, *part))
                .copied()
                .unwrap_or_default()
        };
        let done = |m: &Move| -> Did {
            let joints = m.joints.iter().map(|id| {
                let j = piece.joint(*id);
                (j.kind, mark(&j.a), mark(&j.b), j.deep, j.glued)
            });
            (m.parts.iter().map(mark).collect(), m.way, joints.collect())
        };
        let did: Vec<Did> = stage.moves.iter().map(done).collect();
        let body: Vec<Mark> = stage.body.iter().map(mark).collect();
        stage.number = *known
            .entry((stage.piece, piece.assembly(stage.assembly).kind, body, did))
            .or_insert_with(|| {
                next += 1;
                next
            });
    }
}
