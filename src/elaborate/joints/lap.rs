//! Lap joints: flat parts that meet or cross are each cut away by half.

use super::cut::work;
use crate::diag::{Diagnostic, code};
use crate::elaborate::build::{Builder, JointWork};
use crate::model::{Axis, CutKind, JointId};

impl Builder<'_> {
    /// Each loses half of what they share. Where both are equally thick and level, the first named
    /// keeps its front or upper half.
    pub(super) fn cut_lap(&mut self, j: &JointWork, id: JointId) {
        let (a, b) = (&self.panels[j.a], &self.panels[j.b]);
        let Some(zone) = a.core.meet(&b.core).filter(|zone| !zone.is_empty()) else {
            return;
        };
        // Flat parts lose half of their thickness; parts that cross on edge, half of what they share.
        let axis = if a.axis == b.axis {
            a.axis
        } else {
            a.axis.third(b.axis)
        };
        // Whose wood stands out further at each face decides which half it keeps: nothing is left in
        // the way of laying one into the other.
        let lower = a.core.face(axis.low()) - b.core.face(axis.low());
        let upper = a.core.face(axis.high()) - b.core.face(axis.high());
        let level = lower.is_zero() && upper.is_zero();
        let keeps_high = if level {
            axis == Axis::Z
        } else {
            !lower.is_negative() && !upper.is_negative()
        };
        if !level && !keeps_high && (lower.is_positive() || upper.is_positive()) {
            let units = self.units;
            let (thin, thick) = if lower.is_positive() { (a, b) } else { (b, a) };
            self.sink.push(
                Diagnostic::new(
                    &code::JOIN_LAP_LEVEL,
                    format!("`{}` and `{}` are level at no face", a.name, b.name),
                    j.origin.span,
                    format!(
                        "{} thick between the faces of {}",
                        units.text(thin.thick),
                        units.text(thick.thick)
                    ),
                )
                .help("make both equally thick, or move one so that they are level at a face")
                .help("a thinner part that ends against a thicker one takes a `mortise`"),
            );
            return;
        }
        let middle = zone.middle(axis);
        let (keep_a, keep_b) = if keeps_high {
            (axis.high(), axis.low())
        } else {
            (axis.low(), axis.high())
        };
        let mut contact = zone;
        contact.set_face(axis.low(), middle);
        contact.set_face(axis.high(), middle);
        self.joints[id.0 as usize].contact = contact;
        for (panel, keeps) in [(j.a, keep_a), (j.b, keep_b)] {
            let mut waste = zone;
            waste.set_face(keeps, middle);
            let p = &self.panels[panel];
            let depth = waste.extent(axis);
            let across = if p.grain == axis {
                p.axis.third(axis)
            } else {
                p.grain
            };
            let other = if panel == j.a { j.b } else { j.a };
            let cut = work(
                CutKind::Lap,
                vec![waste],
                keeps.opposite(),
                axis.third(across),
                waste.extent(across),
                depth,
                id,
                Some(other),
                &j.origin,
            );
            self.panels[panel].cuts.push(cut);
        }
    }
}
