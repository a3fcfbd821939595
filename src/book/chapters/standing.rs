//! Setting up in place: the last card of a piece that is put together of several things (chapter 9).

use crate::book::{Facts, html, weight};
use crate::draw::standing;
use crate::measure::Length;
use crate::model::{Axis, HardwareKind, JointId, PartId, Piece, Role};
use crate::plan::glue_up::{Move, Stage};
use minijinja::Value;
use serde::Serialize;

/// The room for the sketch, millimetres.
const ROOM: (f64, f64) = (170.0, 88.0);

/// What the card says beside its steps.
#[derive(Serialize)]
pub(super) struct StandingFacts {
    sketch: Value,
    steps: Vec<StepFacts>,
    /// Upper edge of what stands on the ground, above it.
    level: Value,
    /// Undersides above the ground, if they are.
    up: Option<Value>,
    /// Feet are among the hardware.
    feet: bool,
    /// Sorts of things that are set.
    fillers: bool,
    tops: bool,
    /// A worktop has several lengths.
    lengths: bool,
    kicks: bool,
    /// One stands on another.
    stacked: bool,
    tips: bool,
    fasteners: Vec<(usize, String)>,
    unit: &'static str,
}

#[derive(Serialize)]
struct StepFacts {
    /// `case`, `on`, `filler`, `worktop`, `kick`.
    kind: &'static str,
    names: Vec<String>,
    /// What it is held to.
    to: Vec<String>,
    fasteners: Vec<(usize, String)>,
    /// Kilograms, if they are known.
    weighs: Option<String>,
    /// More than one person lifts.
    heavy: bool,
}

/// The steps of a stage: lengths of one worktop, and of one kick, in one.
pub(super) fn facts(facts: &Facts, piece: &Piece, stage: &Stage) -> StandingFacts {
    let units = piece.units;
    let mut steps: Vec<(Vec<PartId>, Vec<JointId>)> = Vec::new();
    let mut last: Option<(Role, String)> = None;
    for one in stage.moves.iter().filter(|m| !m.parts.is_empty()) {
        let Some(first) = one.parts.first() else {
            continue;
        };
        let kind = (role(piece, *first), name(piece, *first));
        let joins = matches!(kind.0, Role::Worktop | Role::Kick) && last.as_ref() == Some(&kind);
        match steps.last_mut().filter(|_| joins) {
            Some((parts, joints)) => {
                parts.extend(&one.parts);
                joints.extend(&one.joints);
            }
            None => steps.push((one.parts.clone(), one.joints.clone())),
        }
        last = Some(kind);
    }
    let drawn: Vec<&[PartId]> = steps.iter().map(|(parts, _)| parts.as_slice()).collect();
    let ground = piece.outer_cases().map(|case| case.envelope.lo[2]).min();
    let ground = ground.unwrap_or(piece.overall.lo[2]);
    let low = piece
        .outer_cases()
        .filter(|case| case.envelope.lo[2] == ground);
    let level: Length = low
        .map(|case| case.envelope.hi[2])
        .max()
        .unwrap_or_default();
    let up = ground - piece.overall.lo[2].min(Length::ZERO);
    let feet = piece.hardware.iter().any(|row| {
        let hardware = facts.model.hardware.get(row.hardware.0 as usize);
        hardware.is_some_and(|h| matches!(h.kind, HardwareKind::Foot))
    });
    let kinds: Vec<(Role, usize)> = drawn
        .iter()
        .filter_map(|parts| Some((role(piece, *parts.first()?), parts.len())))
        .collect();
    let is = |of: Role| kinds.iter().any(|(role, _)| *role == of);
    let facts_of: Vec<StepFacts> = steps
        .iter()
        .map(|(parts, joints)| step(facts, piece, parts, joints))
        .collect();
    StandingFacts {
        sketch: html::svg(&standing::standing(piece, &drawn, ROOM)),
        level: html::figure(units, level),
        up: up.is_positive().then(|| html::figure(units, up)),
        feet,
        fillers: is(Role::Filler),
        tops: is(Role::Worktop),
        lengths: kinds
            .iter()
            .any(|(role, n)| *role == Role::Worktop && *n > 1),
        kicks: is(Role::Kick),
        stacked: facts_of.iter().any(|step| step.kind == "on"),
        tips: piece.can_tip(),
        fasteners: fasteners(
            facts,
            piece,
            stage.moves.iter().flat_map(|m: &Move| &m.joints),
        ),
        steps: facts_of,
        unit: units.name(),
    }
}

fn step(facts: &Facts, piece: &Piece, parts: &[PartId], joints: &[JointId]) -> StepFacts {
    let first = parts.first().copied();
    let of = first.map(|id| role(piece, id));
    let low = parts.iter().map(|id| piece.part(*id).finished.lo[2]).min();
    // It stands on what lies under it and is held to it.
    let on = joints.iter().map(|id| piece.joint(*id)).any(|joint| {
        joint.contact.extent(Axis::Z).is_zero()
            && Some(joint.contact.lo[2]) == low
            && of == Some(Role::Side)
    });
    let mut names: Vec<String> = Vec::new();
    let mut to: Vec<String> = Vec::new();
    for id in parts {
        let own = name(piece, *id);
        if !names.contains(&own) {
            names.push(own);
        }
    }
    for joint in joints.iter().map(|id| piece.joint(*id)) {
        let other = if parts.contains(&joint.a) {
            joint.b
        } else {
            joint.a
        };
        let other = name(piece, other);
        if !to.contains(&other) {
            to.push(other);
        }
    }
    let weight = weight::things(facts.model, piece)
        .into_iter()
        .find(|thing| first.is_some_and(|id| thing.parts.contains(&id)));
    // Nobody asks what a strip weighs.
    let told = !matches!(of, Some(Role::Filler | Role::Kick));
    let known = weight
        .as_ref()
        .filter(|thing| told && thing.weight.unknown.is_empty());
    StepFacts {
        kind: match of {
            Some(Role::Filler) => "filler",
            Some(Role::Worktop) => "worktop",
            Some(Role::Kick) => "kick",
            _ if on => "on",
            _ => "case",
        },
        names,
        to,
        fasteners: fasteners(facts, piece, joints.iter()),
        weighs: known.map(|thing| weight::mass(piece.units, thing.weight.bare)),
        heavy: weight.is_some_and(|thing| thing.weight.bound > weight::ALONE),
    }
}

/// What a thing is as it is set: a part that is fitted by its role, all else a case.
fn role(piece: &Piece, id: PartId) -> Role {
    let part = piece.part(id);
    match piece.outer_case(part.assembly) {
        Some(_) => Role::Side,
        None => part.role,
    }
}

/// What a thing is called: its case, or what is fitted.
fn name(piece: &Piece, id: PartId) -> String {
    let part = piece.part(id);
    match piece.outer_case(part.assembly) {
        Some(case) => piece.assembly(case.assembly).label.clone(),
        None => part.label.clone(),
    }
}

fn fasteners<'a>(
    facts: &Facts,
    piece: &Piece,
    joints: impl Iterator<Item = &'a JointId>,
) -> Vec<(usize, String)> {
    let mut out: Vec<(usize, String)> = Vec::new();
    for fastening in joints.filter_map(|id| piece.joint(*id).fastening.as_ref()) {
        let Some(hardware) = facts.model.hardware.get(fastening.hardware.0 as usize) else {
            continue;
        };
        match out.iter_mut().find(|(_, title)| *title == hardware.title) {
            Some((n, _)) => *n += fastening.places.len(),
            None => out.push((fastening.places.len(), hardware.title.clone())),
        }
    }
    out
}
