//! Joints lengthen parts: how far, and that no two claim one end differently.

use super::Pending;
use crate::diag::{Diagnostic, code};
use crate::elaborate::build::Builder;
use crate::elaborate::{Poison, Res};
use crate::measure::Length;
use crate::model::{Edge, JointKind, Origin};

impl Builder<'_> {
    /// Growth of both parts at a joint.
    pub(super) fn grow(&mut self, pending: &Pending) -> Res<()> {
        let j = self.joints[pending.joint].clone();
        let (fa, fb) = (self.panels[j.a].finished, self.panels[j.b].finished);
        match j.kind {
            JointKind::Dado
            | JointKind::Groove
            | JointKind::Rabbet
            | JointKind::DadoRabbet
            | JointKind::Tongue
            | JointKind::Mortise
            | JointKind::Bridle
            | JointKind::Breadboard
            | JointKind::DovetailSliding
            | JointKind::DovetailDropped => self.claim(j.a, j.edge, j.deep, &j.origin),
            // The one that ends there goes on to the other's far face; where they cross, neither.
            JointKind::Lap if fa.overlaps(&fb) => Ok(()),
            JointKind::Lap => {
                let (part, edge, far) = if self.panels[j.a].grain == j.edge.axis() {
                    (j.a, j.edge, fb.face(j.edge))
                } else {
                    (j.b, j.edge.opposite(), fa.face(j.edge.opposite()))
                };
                let by = (far - self.panels[part].finished.face(edge)).abs();
                self.claim(part, edge, by, &j.origin)
            }
            JointKind::DovetailThrough
            | JointKind::DovetailHalfBlind
            | JointKind::Finger
            | JointKind::Mitre => {
                let outer = fb.face(j.edge);
                let lap = pending.options.lap;
                let reach = if j.edge.is_high() {
                    outer - lap
                } else {
                    outer + lap
                };
                self.claim(j.a, j.edge, (reach - fa.face(j.edge)).abs(), &j.origin)?;
                self.panels[j.a].core.set_face(j.edge, reach);
                let corner = self.corner(j.a, j.b);
                self.panels[j.b].core.set_face(corner, fa.face(corner));
                Ok(())
            }
            JointKind::Butt
            | JointKind::Biscuits
            | JointKind::Dowels
            | JointKind::LooseTenons
            | JointKind::PocketScrews
            | JointKind::Buttons
            | JointKind::Screws
            | JointKind::Bolts
            | JointKind::Nails
            | JointKind::Spline
            | JointKind::Key
            | JointKind::Edging => Ok(()),
        }
    }

    /// Lengthens a part at an edge; two joints may claim it only alike.
    pub(super) fn claim(
        &mut self,
        panel: usize,
        edge: Edge,
        by: Length,
        origin: &Origin,
    ) -> Res<()> {
        let claimed = self.panels[panel]
            .growth
            .iter()
            .find(|(e, _, _)| *e == edge)
            .copied();
        match claimed {
            Some((_, same, _)) if same == by => Ok(()),
            Some((_, other, span)) => {
                let units = self.units;
                let report = Diagnostic::new(
                    &code::JOIN_TWO_DEPTHS,
                    format!(
                        "two joints lengthen the {} of `{}` by different amounts",
                        edge.word(),
                        self.panels[panel].name
                    ),
                    origin.at("deep"),
                    format!("by {} here", units.text(by)),
                )
                .at(span, format!("by {} here", units.text(other)))
                .help("give both joints the same depth");
                self.sink.push(report);
                Err(Poison)
            }
            None => {
                self.panels[panel].core.grow(edge, by);
                self.panels[panel]
                    .growth
                    .push((edge, by, origin.at("deep")));
                Ok(())
            }
        }
    }
}
