//! The cuts of joints (placement rules 2.1, 2.2): in both parts, as long as their grown cores meet.

use super::housing::TongueAt;
use super::{Pending, dovetail};
use crate::diag::{Diagnostic, code};
use crate::elaborate::build::{Builder, CutWork, Panel, Work};
use crate::measure::Length;
use crate::model::{Axis, Box3, CutKind, Edge, JointId, JointKind, Origin};
use crate::source::Span;

/// Least pitch of common practice for tails when a line does not say how many: one each 35 mm or so.
const TAIL_PITCH_MM: i64 = 35;

impl Builder<'_> {
    /// The side of a mortise on which the room to slide in lies. The wall toward the outside of the
    /// case is exact and the room lies toward its middle: so the same part in another corner of the
    /// case is its mirror image.
    pub fn room_side(&self, a: &Panel, across: Axis) -> Edge {
        let case = &self.bodies[a.body].envelope;
        if a.core.middle(across) > case.middle(across) {
            across.low()
        } else {
            across.high()
        }
    }

    /// Cuts both parts of a joint, all growth being made.
    pub fn cut_joint(&mut self, pending: &Pending) {
        let j = self.joints[pending.joint].clone();
        let id = JointId(pending.joint as u32);
        let o = &pending.options;
        if !self.options_fit(&j, o) {
            return;
        }
        match j.kind {
            JointKind::Dado | JointKind::Groove => self.cut_housing(&j, id, o, None),
            JointKind::Rabbet => self.cut_rabbet(&j, id, o),
            JointKind::DadoRabbet => {
                let thick = o.thick.unwrap_or_else(|| self.panels[j.a].thick.half());
                self.cut_housing(&j, id, o, Some((thick, TongueAt::Inner)));
            }
            JointKind::Tongue => {
                let at = o.flush.map_or(TongueAt::Middle, TongueAt::Flush);
                self.cut_housing(&j, id, o, Some((o.thick.unwrap_or_default(), at)));
            }
            JointKind::Mitre => self.cut_mitre(&j, id, o),
            JointKind::DovetailThrough | JointKind::DovetailHalfBlind => {
                let (a, b) = (&self.panels[j.a], &self.panels[j.b]);
                let pitch = Length::mm(TAIL_PITCH_MM);
                let along = j.edge.axis().third(a.axis);
                let run = a.core.extent(along).min(b.core.extent(along));
                let tails = if o.tails > 0 {
                    o.tails
                } else {
                    u32::try_from(run.ratio(pitch).round().unwrap_or(1).max(1)).unwrap_or(1)
                };
                let layout =
                    dovetail::lay_out(&a.core, a.axis, &b.core, b.axis, j.edge, tails, o.slope);
                match layout {
                    Some(layout) => {
                        let (in_a, in_b) = dovetail::cuts(&layout, id, j.a, &j.origin);
                        self.panels[j.a].cuts.push(in_a);
                        self.panels[j.b].cuts.push(in_b);
                    }
                    None => {
                        let report = Diagnostic::new(
                            &code::JOIN_NO_ROOM,
                            format!("no room for {tails} tails on `{}`", a.name),
                            j.origin.at("tails"),
                            "the tails run into each other",
                        )
                        .note(format!(
                            "{} tails in {}, sloped 1 in {}",
                            tails,
                            self.units.text(run),
                            o.slope
                        ))
                        .help("cut fewer tails, or a gentler slope");
                        self.sink.push(report);
                    }
                }
            }
            JointKind::Biscuits => self.cut_biscuits(&j, id),
            JointKind::Screws => self.cut_screws(&j, id),
            JointKind::Bolts => self.cut_bolts(&j, id),
            JointKind::Mortise => self.cut_mortise(&j, id, o),
            JointKind::Bridle => self.cut_bridle(&j, id, o),
            JointKind::Breadboard => self.cut_breadboard(&j, id, o),
            JointKind::Lap => self.cut_lap(&j, id),
            JointKind::Finger => self.cut_finger(&j, id, o),
            JointKind::DovetailSliding => self.cut_sliding(&j, id, o),
            JointKind::DovetailDropped => self.cut_dropped(&j, id, o),
            JointKind::Dowels => self.cut_dowels(&j, id),
            JointKind::LooseTenons => self.cut_loose_tenons(&j, id),
            JointKind::PocketScrews => self.cut_pockets(&j, id),
            JointKind::Buttons => self.cut_buttons(&j, id),
            JointKind::Butt
            | JointKind::Nails
            | JointKind::Edging
            | JointKind::Spline
            | JointKind::Key => {}
        }
    }
}

/// A tongue that leaves no shoulder of its panel.
pub fn tongue_thick(span: Span, thick: &str, panel: &str, of: &str) -> Diagnostic {
    Diagnostic::new(
        &code::VALUE_RANGE,
        "a tongue as thick as the panel that it is cut from",
        span,
        format!("{thick} thick"),
    )
    .note(format!(
        "`{panel}` is {of} thick, and a tongue has a shoulder"
    ))
    .help("a third of the panel is common practice; the whole thickness is a `dado`")
}

#[expect(
    clippy::too_many_arguments,
    reason = "one line for each figure of a cut"
)]
pub(super) fn work(
    kind: CutKind,
    boxes: Vec<Box3>,
    entry: Edge,
    along: Axis,
    width: Length,
    depth: Length,
    id: JointId,
    filler: Option<usize>,
    origin: &Origin,
) -> CutWork {
    CutWork {
        kind,
        solids: boxes.into_iter().map(Work::Box).collect(),
        entry,
        along,
        width,
        depth,
        fit: Length::ZERO,
        relief: Length::ZERO,
        joint: Some(id),
        filler,
        origin: origin.clone(),
    }
}
