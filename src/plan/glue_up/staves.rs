//! Panels of staves: boards glued edge to edge, before anything is cut that a panel has. One at a time: few
//! walls hold clamps for two, and each is watched until it is flat.

use super::glue::GlueInUse;
use super::jaws;
use super::stage::{ClampNeed, clamps_finding, clamps_for, open_time, spread_seconds, take};
use crate::measure::{Length, Rational};
use crate::model::{Finding, LocalAxis, Model, Staves};
use crate::plan::layouts::{PartCopy, area, copies};

/// Panels that are alike, each glued up by itself.
#[derive(Clone, Debug)]
pub struct PanelGlueUp {
    /// Its number over the whole glue-up, one for all panels.
    pub number: u32,
    /// The parts that they become.
    pub parts: Vec<PartCopy>,
    /// The boards of each.
    pub staves: Staves,
    /// How long those are, for breakdown.
    pub long: Length,
    /// Glued area of one, square millimetres.
    pub area: Rational,
    /// Seconds from first glue to clamps.
    pub seconds: u32,
    /// The clamps of one, from both faces by turns.
    pub clamps: Vec<ClampNeed>,
}

impl PanelGlueUp {
    /// Joints of one panel.
    pub fn joints(&self) -> u32 {
        self.staves.count - 1
    }
}

/// Every panel, those alike together, in the order of their marks.
pub(super) fn panels(
    model: &Model,
    glue: &GlueInUse,
    findings: &mut Vec<Finding>,
) -> Vec<PanelGlueUp> {
    let mut out: Vec<PanelGlueUp> = Vec::new();
    for copy in copies(model) {
        let Some(staves) = model.staves(copy.part) else {
            continue;
        };
        let long = model.rough_size(copy.part).0;
        let alike = |panel: &&mut PanelGlueUp| {
            panel.parts[0].mark == copy.mark && (panel.staves, panel.long) == (staves, long)
        };
        match out.iter_mut().find(alike) {
            Some(panel) => panel.parts.push(copy),
            None => out.push(one(model, copy, staves, long, glue, findings)),
        }
    }
    out
}

fn one(
    model: &Model,
    copy: PartCopy,
    staves: Staves,
    long: Length,
    glue: &GlueInUse,
    findings: &mut Vec<Finding>,
) -> PanelGlueUp {
    let (piece, part) = model.part(copy.part);
    let joints = staves.count - 1;
    let area = area(long, staves.thick) * Rational::int(i64::from(joints));
    let mut clamps = vec![ClampNeed {
        axis: part.lay.axis(LocalAxis::Width),
        open: staves.wide * i64::from(staves.count) + jaws(),
        count: clamps_for(long),
        taken: Vec::new(),
        missing: 0,
    }];
    take(model, &mut clamps);
    let (index, pace) = (copy.part.piece as usize, model.shop.joint_pace);
    let spread = spread_seconds(model, area);
    let subject = format!("{}, glued up of staves", copy.label);
    let spans = || vec![part.origin.span];
    findings.push(open_time(
        index,
        &subject,
        (spread, joints as usize, pace),
        glue,
        spans(),
    ));
    if !model.shop.clamps.is_empty() {
        findings.push(clamps_finding(piece, index, &subject, &clamps, spans()));
    }
    PanelGlueUp {
        number: 0,
        parts: vec![copy],
        staves,
        long,
        area,
        seconds: spread.saturating_add(joints * pace),
        clamps,
    }
}
