//! Glue-up: in which stages the piece is put together.
//!
//! First the panels of staves and the edging, over the whole commission; then, piece by piece, each assembly as
//! the order of [`crate::assembly`] says: what comes off last goes together first. A stage is what is
//! spread, assembled and clamped at once. Its time is glued area by the shop's pace plus the shop's
//! time for each joint (operations: a stage is spread and assembled within the glue's open time).
//! Joints of one direction share a stage as long as that fits; where it does not, the stage is
//! split, and where it can't be split the plan says so in a finding.
//!
//! Cases that are held to each other come together last, in one stage where they stand
//! ([`standing`]).
//!
//! Not here: whether a part can get in at all (a rule's work), and when finish is put on.

mod alike;
mod edging;
mod glue;
mod joints;
mod square;
mod stage;
mod standing;
mod staves;
#[cfg(test)]
mod tests;
pub mod verify;
mod wedges;

pub use edging::{EdgingBatch, EdgingSession, EdgingUnit, Layer, layers};
pub use glue::GlueInUse;
pub use joints::{glued_area, needs_clamps};
pub use square::Diagonal;
pub use stage::seen_boxes;
pub use stage::{ClampNeed, Move, Stage, StageKind};
pub use staves::PanelGlueUp;
pub use wedges::{Wedges, wedges};

use crate::measure::{Length, Rational};
use crate::model::{Assembly, AssemblyKind, Finding, Model, Piece};
use std::collections::BTreeSet;

/// How much longer than the work a clamp must open (common practice).
pub fn jaws() -> Length {
    Length::mm(20)
}

/// From clamp to clamp along a joint (common practice).
pub fn clamp_pitch() -> Length {
    Length::mm(200)
}

/// The whole glue-up.
#[derive(Clone, Debug)]
pub struct GlueUp {
    /// The glue that the times are for.
    pub glue: GlueInUse,
    /// Panels of staves, before they are sized.
    pub panels: Vec<PanelGlueUp>,
    /// Edging, over the whole commission.
    pub edging: Vec<EdgingSession>,
    /// Then assemblies, by piece: drawers, doors and shelves, then cases. Numbered after the edging,
    /// those that are alike with one number.
    pub stages: Vec<Stage>,
    /// Glued area of the whole commission, square millimetres.
    pub area: Rational,
    /// Open time and clamps of each stage against the shop's.
    pub findings: Vec<Finding>,
}

impl GlueUp {
    /// How many works there are: the panels together, sessions, and stages that differ.
    pub fn cards(&self) -> usize {
        let stages: BTreeSet<u32> = self.stages.iter().map(|stage| stage.number).collect();
        usize::from(!self.panels.is_empty()) + self.edging.len() + stages.len()
    }
}

/// When an assembly has its turn.
fn turn(piece: &Piece, assembly: &Assembly) -> u32 {
    match assembly.kind {
        AssemblyKind::Drawer | AssemblyKind::Leaf | AssemblyKind::Shelf => 0,
        AssemblyKind::Case => {
            let outer = piece.outer_case(assembly.id);
            1 + u32::from(outer.is_some_and(|case| case.assembly == assembly.id))
        }
        AssemblyKind::Fitted => 3 + u32::from(assembly.parts.is_empty()),
    }
}

/// Plans the glue-up.
pub fn plan_glue_up(model: &Model) -> GlueUp {
    let glue = glue::in_use(model);
    let mut findings = Vec::new();
    let mut panels = staves::panels(model, &glue, &mut findings);
    let mut edging = edging::sessions(model, &glue, &mut findings);
    let mut number = 0;
    if !panels.is_empty() {
        number += 1;
        panels.iter_mut().for_each(|panel| panel.number = number);
    }
    for session in &mut edging {
        number += 1;
        session.number = number;
    }
    let mut stages = Vec::new();
    for (i, piece) in model.pieces.iter().enumerate() {
        let mut order: Vec<usize> = (0..piece.assemblies.len()).collect();
        // Cases late: what stands in them is glued while they are still open or waiting, cases within
        // cases among it. Last what holds them together.
        order.sort_by_key(|a| (turn(piece, &piece.assemblies[*a]), *a));
        for a in order {
            let assembly = &piece.assemblies[a];
            if assembly.kind == AssemblyKind::Fitted && assembly.parts.is_empty() {
                stages.extend(standing::stage(piece, i, assembly));
                continue;
            }
            stages.extend(stage::stages(model, i, assembly, &glue, &mut findings));
        }
    }
    alike::number(model, &mut stages, number);
    let of_panels = panels.iter().fold(Rational::ZERO, |sum, panel| {
        sum + panel.area * Rational::int(panel.parts.len() as i64)
    });
    let area = model.pieces.iter().fold(of_panels, |sum, piece| {
        let once = piece
            .joints
            .iter()
            .filter(|j| {
                j.glued
                    && ![j.a, j.b]
                        .iter()
                        .any(|p| piece.part(*p).is_tape(&model.stocks))
            })
            .fold(Rational::ZERO, |sum, j| sum + glued_area(j));
        sum + once * Rational::int(i64::from(piece.copies))
    });
    let plan = GlueUp {
        glue,
        panels,
        edging,
        stages,
        area,
        findings,
    };
    let fault = verify::glue_up(model, &plan);
    assert!(
        fault.is_none(),
        "a glue-up passes its verifier: {}",
        fault.unwrap_or_default()
    );
    plan
}
