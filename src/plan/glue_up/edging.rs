//! Edging sessions: strips onto panels, over the whole commission, before anything else is glued.
//!
//! Strips on opposite edges of a panel go on together; strips that cover the ends of others, or meet
//! them in a mitre, wait until those are glued and flush: the next layer, the next session. [`layers`]
//! is the one place that says so, for the setups as well. Thin ready-made edging has sessions of its
//! own, with neither clamps nor open time. Within a session panels are glued in batches: as many at once as the glue's
//! open time and the clamps on the wall allow.

use super::glue::GlueInUse;
use super::jaws;
use super::joints::glued_area;
use super::stage::{ClampNeed, clamps_finding, clamps_for, open_time, spread_seconds, take};
use crate::measure::Rational;
use crate::model::{Axis, Finding, JointId, JointKind, Model, Part, PartId, PartRef, Piece};
use crate::plan::layouts::{PartCopy, copies};

/// One session.
#[derive(Clone, Debug)]
pub struct EdgingSession {
    /// Its number over the whole glue-up.
    pub number: u32,
    /// Which strips of a panel: 1 for those that go on first.
    pub layer: u32,
    /// Before joints are cut.
    pub early: bool,
    /// Thin ready-made edging, put on as its label says.
    pub tape: bool,
    /// What is glued at once, in order.
    pub batches: Vec<EdgingBatch>,
}

/// Panels that are glued and clamped at once.
#[derive(Clone, Debug)]
pub struct EdgingBatch {
    /// The panels.
    pub units: Vec<EdgingUnit>,
    /// Seconds from first glue to clamps.
    pub seconds: u32,
    /// Their clamps.
    pub clamps: Vec<ClampNeed>,
}

/// A panel with the strips that it gets in a session.
#[derive(Clone, Debug)]
pub struct EdgingUnit {
    /// The panel.
    pub panel: PartCopy,
    /// Its strips.
    pub strips: Vec<PartId>,
    /// The joints that close.
    pub joints: Vec<JointId>,
    /// Glued area, square millimetres.
    pub area: Rational,
    /// The way the clamps press.
    pub axis: Axis,
}

/// Every session, in order.
pub(super) fn sessions(
    model: &Model,
    glue: &GlueInUse,
    findings: &mut Vec<Finding>,
) -> Vec<EdgingSession> {
    let mut rows: Vec<((bool, u32, bool), EdgingUnit)> = Vec::new();
    for copy in copies(model) {
        let (piece, part) = model.part(copy.part);
        for (layer, unit) in units(model, piece, part, &copy) {
            rows.push(((!layer.early, layer.number, layer.tape), unit));
        }
    }
    rows.sort_by_key(|(key, _)| *key);
    let mut out: Vec<EdgingSession> = Vec::new();
    for ((late, layer, tape), unit) in rows {
        let fits = out
            .last()
            .is_some_and(|s| (!s.early, s.layer, s.tape) == (late, layer, tape));
        if !fits {
            out.push(EdgingSession {
                number: 0,
                layer,
                early: !late,
                tape,
                batches: Vec::new(),
            });
        }
        if let Some(session) = out.last_mut() {
            add(model, glue, session, unit);
        }
    }
    report(model, glue, &out, findings);
    out
}

/// When a strip goes on: layers of one panel are glued and flushed one after the other.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Layer {
    /// Before the joints are cut.
    pub early: bool,
    /// From 1, of those that go on early or of those that do not.
    pub number: u32,
    /// Thin ready-made edging.
    pub tape: bool,
}

/// The layer of each strip of a panel, in the order of its strips. A strip goes on with those before
/// it unless it meets one of them at a corner, or is clamped another way.
pub fn layers(model: &Model, piece: &Piece, part: &Part) -> Vec<Layer> {
    let mut out: Vec<Layer> = Vec::new();
    for (i, band) in part.bands.iter().enumerate() {
        let axis = part.lay.looks(band.side).axis();
        let tape = piece.part(band.strip).is_tape(&model.stocks);
        let mine = &piece.part(band.strip).finished;
        let mut number = 1;
        for (other, layer) in part.bands.iter().take(i).zip(&out) {
            if layer.early != band.early {
                continue;
            }
            let turned = part.lay.looks(other.side).axis() != axis;
            let meets = piece.part(other.strip).finished.meet(mine).is_some();
            // Glued in one go only with its like.
            let apart = turned || meets || layer.tape != tape;
            number = number.max(layer.number + u32::from(apart));
        }
        out.push(Layer {
            early: band.early,
            number,
            tape,
        });
    }
    out
}

/// The strips of a panel, with their layer, those of a layer together.
fn units(model: &Model, piece: &Piece, part: &Part, copy: &PartCopy) -> Vec<(Layer, EdgingUnit)> {
    let mut out: Vec<(Layer, EdgingUnit)> = Vec::new();
    for (band, layer) in part.bands.iter().zip(layers(model, piece, part)) {
        let axis = part.lay.looks(band.side).axis();
        let joint = piece.joints.iter().find(|j| {
            j.kind == JointKind::Edging
                && [j.a, j.b].contains(&band.strip)
                && [j.a, j.b].contains(&part.id)
        });
        let area = joint.map_or(Rational::ZERO, glued_area);
        match out.iter_mut().find(|(own, _)| *own == layer) {
            Some((_, unit)) => {
                unit.strips.push(band.strip);
                unit.joints.extend(joint.map(|j| j.id));
                unit.area = unit.area + area;
            }
            None => out.push((
                layer,
                EdgingUnit {
                    panel: copy.clone(),
                    strips: vec![band.strip],
                    joints: joint.map(|j| j.id).into_iter().collect(),
                    area,
                    axis,
                },
            )),
        }
    }
    out
}

/// Adds a panel to the last batch if it still fits, else begins a batch.
fn add(model: &Model, glue: &GlueInUse, session: &mut EdgingSession, unit: EdgingUnit) {
    if let Some(batch) = session.batches.last_mut() {
        if session.tape {
            batch.seconds = batch
                .seconds
                .saturating_add(unit.strips.len() as u32 * model.shop.joint_pace);
            batch.units.push(unit);
            return;
        }
        let mut units = batch.units.clone();
        units.push(unit.clone());
        let wider = batch_of(model, units);
        let clamped = wider.clamps.iter().all(|c| c.missing == 0);
        if wider.seconds <= glue.open && clamped {
            *batch = wider;
            return;
        }
    }
    session.batches.push(if session.tape {
        EdgingBatch {
            seconds: unit.strips.len() as u32 * model.shop.joint_pace,
            clamps: Vec::new(),
            units: vec![unit],
        }
    } else {
        batch_of(model, vec![unit])
    });
}

fn batch_of(model: &Model, units: Vec<EdgingUnit>) -> EdgingBatch {
    let area = units.iter().fold(Rational::ZERO, |sum, u| sum + u.area);
    let strips: usize = units.iter().map(|u| u.strips.len()).sum();
    let mut clamps: Vec<ClampNeed> = Vec::new();
    for unit in &units {
        let part = model.part(unit.panel.part).1;
        let open = part.finished.extent(unit.axis) + jaws();
        let line = Axis::ALL
            .into_iter()
            .filter(|a| *a != unit.axis)
            .map(|a| part.finished.extent(a))
            .max()
            .unwrap_or_default();
        let count = clamps_for(line);
        match clamps
            .iter_mut()
            .find(|c| c.axis == unit.axis && c.open == open)
        {
            Some(need) => need.count += count,
            None => clamps.push(ClampNeed {
                axis: unit.axis,
                open,
                count,
                taken: Vec::new(),
                missing: 0,
            }),
        }
    }
    take(model, &mut clamps);
    EdgingBatch {
        seconds: spread_seconds(model, area).saturating_add(strips as u32 * model.shop.joint_pace),
        units,
        clamps,
    }
}

/// One finding a session: its longest batch, and its worst need of clamps.
fn report(
    model: &Model,
    glue: &GlueInUse,
    sessions: &[EdgingSession],
    findings: &mut Vec<Finding>,
) {
    for session in sessions.iter().filter(|s| !s.tape) {
        let Some(longest) = session.batches.iter().max_by_key(|b| b.seconds) else {
            continue;
        };
        let (Some(unit), subject) = (
            longest.units.first(),
            format!("Edging, session {}", session.layer),
        ) else {
            continue;
        };
        let at = unit.panel.part;
        let (piece, _) = model.part(at);
        let area = longest
            .units
            .iter()
            .fold(Rational::ZERO, |sum, u| sum + u.area);
        let strips: usize = longest.units.iter().map(|u| u.strips.len()).sum();
        let spans = spans(model, longest);
        findings.push(open_time(
            at.piece as usize,
            &subject,
            (spread_seconds(model, area), strips, model.shop.joint_pace),
            glue,
            spans,
        ));
        let worst = session
            .batches
            .iter()
            .max_by_key(|b| b.clamps.iter().map(|c| c.missing).sum::<u32>());
        if let (Some(worst), false) = (worst, model.shop.clamps.is_empty()) {
            findings.push(clamps_finding(
                piece,
                at.piece as usize,
                &subject,
                &worst.clamps,
                self::spans(model, worst),
            ));
        }
    }
}

fn spans(model: &Model, batch: &EdgingBatch) -> Vec<crate::source::Span> {
    let mut out: Vec<crate::source::Span> = Vec::new();
    for unit in &batch.units {
        for strip in &unit.strips {
            let at = PartRef {
                piece: unit.panel.part.piece,
                part: *strip,
            };
            let span = model.part(at).1.origin.span;
            if !out.contains(&span) {
                out.push(span);
            }
        }
    }
    out
}
