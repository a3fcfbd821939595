//! Finger joints: equal fingers over the whole corner, one part's where the other has none.

use super::Options;
use super::cut::work;
use crate::diag::{Diagnostic, code};
use crate::elaborate::build::{Builder, JointWork, Work};
use crate::measure::Length;
use crate::model::{Box3, CutKind, JointId};

/// The narrowest finger, in millimetres: the narrowest cutter (common practice).
const LEAST_FINGER_MM: i64 = 3;

impl Builder<'_> {
    /// The first part has the fingers at both ends; left out, their number is odd and each is about
    /// as wide as the thinner part is thick.
    pub(super) fn cut_finger(&mut self, j: &JointWork, id: JointId, o: &Options) {
        let (a, b) = (&self.panels[j.a], &self.panels[j.b]);
        let Some(zone) = a.core.meet(&b.core).filter(|zone| !zone.is_empty()) else {
            return;
        };
        let along = a.axis.third(b.axis);
        let run = zone.extent(along);
        let n = o.fingers.unwrap_or_else(|| {
            let about = run.ratio(a.thick.min(b.thick)).floor().unwrap_or(3);
            // The odd number at or below, three at least: alike at both ends.
            let odd = (about - i128::from(about % 2 == 0)).max(3);
            u32::try_from(odd).unwrap_or(3)
        });
        let pitch = run / i64::from(n);
        if pitch < Length::mm(LEAST_FINGER_MM) {
            let text = |length| self.units.text(length);
            let report = Diagnostic::new(
                &code::JOIN_NO_ROOM,
                format!("no room for {n} fingers on `{}`", a.name),
                j.origin.span,
                format!("less than {} each", text(Length::mm(LEAST_FINGER_MM))),
            )
            .note(format!("{} / {n} = {}", text(run), text(pitch)))
            .help("cut fewer; unless said they are about as wide as the part is thick");
            self.sink.push(report);
            return;
        }
        let slot = |i: u32| -> Box3 {
            let mut slot = zone;
            let start = zone.face(along.low()) + pitch * i64::from(i);
            slot.set_face(along.low(), start);
            slot.set_face(along.high(), start + pitch);
            slot
        };
        let corner = self.corner(j.a, j.b);
        for (panel, entry, first) in [(j.a, j.edge, 1), (j.b, corner, 0)] {
            let depth = zone.extent(entry.axis());
            let slots: Vec<Box3> = (first..n).step_by(2).map(slot).collect();
            let other = if panel == j.a { j.b } else { j.a };
            let mut cut = work(
                CutKind::Fingers,
                Vec::new(),
                entry,
                along,
                pitch,
                depth,
                id,
                Some(other),
                &j.origin,
            );
            cut.solids = slots.into_iter().map(Work::Box).collect();
            self.panels[panel].cuts.push(cut);
        }
    }
}
