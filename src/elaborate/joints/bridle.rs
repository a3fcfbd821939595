//! Bridle joints: a mortise and tenon that is open at the end. At a corner the part that enters has the
//! tenon and the other the fork; where the other runs on to both sides, the fork is on the part that
//! enters and straddles what the other keeps between its two laps.

use super::Options;
use super::cut::work;
use crate::diag::{Diagnostic, code};
use crate::elaborate::build::{Builder, JointWork};
use crate::measure::Length;
use crate::model::{Axis, Box3, CutKind, JointId, Role};

/// The least cheek of a fork, and the least tongue in it, in millimetres (common practice).
const LEAST_CHEEK_MM: i64 = 3;

impl Builder<'_> {
    /// A middle third unless said, as wide as the part and right through.
    pub(super) fn cut_bridle(&mut self, j: &JointWork, id: JointId, o: &Options) {
        let (a, b) = (&self.panels[j.a], &self.panels[j.b]);
        let Some(zone) = a.core.meet(&b.core).filter(|zone| !zone.is_empty()) else {
            return;
        };
        let Some(across) = self.across_bridle(j) else {
            return self.report_not_flat(j);
        };
        let along = j.edge.axis().third(across);
        let thick = o
            .thick
            .unwrap_or(a.core.extent(across).min(b.core.extent(across)) / 3);
        let low = a.core.face(across.low()) + (a.core.extent(across) - thick).half();
        let mut middle = zone;
        middle.set_face(across.low(), low);
        middle.set_face(across.high(), low + thick);
        let cheek = [&a.core, &b.core]
            .into_iter()
            .map(|of| {
                let below = middle.face(across.low()) - of.face(across.low());
                below.min(of.face(across.high()) - middle.face(across.high()))
            })
            .min()
            .unwrap_or_default();
        let least = Length::mm(LEAST_CHEEK_MM);
        if cheek < least || thick < least {
            return self.report_thin_bridle(j, thick, cheek);
        }
        let fit = o.fit.unwrap_or(self.project.shop.fit);
        let ends = [along.low(), along.high()];
        let at_end = ends
            .into_iter()
            .find(|end| a.core.face(*end) == b.core.face(*end));
        // A groove along the inner edge ends before the tenon.
        let inner = at_end.map(|end| {
            (
                end.opposite(),
                self.groove_at(j.a, end.opposite(), j.edge.axis()),
            )
        });
        let mut shoulder = middle;
        if let Some((edge, deep)) = inner {
            let stop = edge.inward(a.core.face(edge), deep);
            middle.set_face(edge, stop);
            shoulder.set_face(edge.opposite(), stop);
        }
        let mut slot = middle;
        slot.grow(self.room_side(a, across), fit);
        let beside = |whole: &Box3| {
            let (mut near, mut far) = (zone, zone);
            near.set_face(across.low(), whole.face(across.low()));
            near.set_face(across.high(), middle.face(across.low()));
            far.set_face(across.low(), middle.face(across.high()));
            far.set_face(across.high(), whole.face(across.high()));
            [(across.low(), near), (across.high(), far)]
        };
        let depth = zone.extent(j.edge.axis());
        let (wide, origin) = (slot.extent(along), &j.origin);
        let mut of_a = Vec::new();
        let mut of_b = Vec::new();
        if let Some(end) = at_end {
            let mut cheeks = beside(&a.core).map(|(_, cheek)| cheek).to_vec();
            cheeks.extend((!shoulder.is_empty()).then_some(shoulder));
            of_a.push(work(
                CutKind::Tenon,
                cheeks,
                j.edge,
                along,
                thick,
                depth,
                id,
                None,
                origin,
            ));
            let mut fork = work(
                CutKind::OpenMortise,
                vec![slot],
                end,
                j.edge.axis(),
                thick + fit,
                wide,
                id,
                Some(j.a),
                origin,
            );
            fork.fit = fit;
            of_b.push(fork);
        } else {
            let mut fork = work(
                CutKind::OpenMortise,
                vec![slot],
                j.edge,
                along,
                thick + fit,
                depth,
                id,
                Some(j.b),
                origin,
            );
            fork.fit = fit;
            of_a.push(fork);
            for (face, lap) in beside(&b.core) {
                let deep = lap.extent(across);
                of_b.push(work(
                    CutKind::Lap,
                    vec![lap],
                    face,
                    j.edge.axis(),
                    wide,
                    deep,
                    id,
                    Some(j.a),
                    origin,
                ));
            }
        }
        self.panels[j.a].cuts.extend(of_a);
        self.panels[j.b].cuts.extend(of_b);
    }

    /// The axis through both parts' faces; a leg, square as it is, has one on every side.
    fn across_bridle(&self, j: &JointWork) -> Option<Axis> {
        let (a, b) = (&self.panels[j.a], &self.panels[j.b]);
        let across = if b.role == Role::Leg { a.axis } else { b.axis };
        let level = a.axis == across || a.role == Role::Leg;
        (level && across != j.edge.axis()).then_some(across)
    }

    fn report_not_flat(&mut self, j: &JointWork) {
        let (a, b) = (&self.panels[j.a], &self.panels[j.b]);
        let faces = |p: usize| {
            let axis = self.panels[p].axis;
            format!("{} and {}", axis.low().word(), axis.high().word())
        };
        let report = Diagnostic::new(
            &code::JOIN_BRIDLE,
            format!(
                "`{}` and `{}` do not lie flat to each other",
                a.name, b.name
            ),
            j.origin.span,
            "no bridle joint",
        )
        .at(a.stmt.name_span(), format!("faces at the {}", faces(j.a)))
        .at(b.stmt.name_span(), format!("faces at the {}", faces(j.b)))
        .note("a fork straddles the other part: the faces of both look the same way")
        .help("`mortise` lets one into the other at any of its sides");
        self.sink.push(report);
    }

    fn report_thin_bridle(&mut self, j: &JointWork, thick: Length, cheek: Length) {
        let text = |length| self.units.text(length);
        let (a, b) = (&self.panels[j.a], &self.panels[j.b]);
        let across = self.across_bridle(j).unwrap_or(b.axis);
        let report = Diagnostic::new(
            &code::JOIN_NO_ROOM,
            format!(
                "no room for the bridle joint of `{}` and `{}`",
                a.name, b.name
            ),
            j.origin.at("thick"),
            format!("{} thick, with cheeks of {}", text(thick), text(cheek)),
        )
        .at(
            a.stmt.name_span(),
            format!("measures {}", text(a.core.extent(across))),
        )
        .at(
            b.stmt.name_span(),
            format!("measures {}", text(b.core.extent(across))),
        )
        .note(format!(
            "each cheek, and what stands between them, has at least {} (common practice)",
            text(Length::mm(LEAST_CHEEK_MM))
        ))
        .help("leave `thick` out for a third, take thicker stock, or set the parts level");
        self.sink.push(report);
    }
}
