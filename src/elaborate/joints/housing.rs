//! Housings and steps: dado, groove, tongue, rabbet, and the two together.

use super::cut::work;
use super::{Options, Pending};
use crate::elaborate::bands::shoulders_round;
use crate::elaborate::build::{Builder, CutWork, JointWork, Work};
use crate::measure::Length;
use crate::model::{Axis, Box3, CutKind, Edge, JointId};
use std::collections::BTreeMap;

/// Where a tongue sits in the thickness.
#[derive(Clone, Copy)]
pub(super) enum TongueAt {
    Middle,
    Flush(Edge),
    Inner,
}

impl Builder<'_> {
    /// A housing in `b`, and what is cut from `a`: shoulders of a tongue, a notch where it is stopped.
    pub(super) fn cut_housing(
        &mut self,
        j: &JointWork,
        id: JointId,
        o: &Options,
        tongue: Option<(Length, TongueAt)>,
    ) {
        let (a, b) = (&self.panels[j.a], &self.panels[j.b]);
        let shop = &self.project.shop;
        let (fit, relief) = (o.fit.unwrap_or(shop.fit), shop.relief_groove);
        let Some(whole) = a.core.meet(&b.core) else {
            return;
        };
        let along = j.edge.axis().third(a.axis);
        let mut entering = whole;
        if let Some((thick, at)) = tongue {
            let (low, high) = (a.core.face(a.axis.low()), a.core.face(a.axis.high()));
            let (lo, hi) = match at {
                TongueAt::Middle => ((low + high - thick).half(), (low + high + thick).half()),
                TongueAt::Flush(face) if face.is_high() => (high - thick, high),
                TongueAt::Flush(_) => (low, low + thick),
                // On the half away from the nearer end of `b`.
                TongueAt::Inner => {
                    let (to_low, to_high) = (
                        low - b.core.face(a.axis.low()),
                        b.core.face(a.axis.high()) - high,
                    );
                    if to_low <= to_high {
                        (high - thick, high)
                    } else {
                        (low, low + thick)
                    }
                }
            };
            entering.set_face(a.axis.low(), lo);
            entering.set_face(a.axis.high(), hi);
        }
        let (mut housing, notches) = stop_short(o, along, entering, a.core);
        if o.run_out {
            housing.set_face(along.low(), b.core.face(along.low()));
            housing.set_face(along.high(), b.core.face(along.high()));
        }
        housing.grow(j.edge, o.gap + relief);
        // The wall on which the part bears is exact; the room to slide in lies beyond it. Near the
        // far end of `b` both ends are set from their own end, so there the outer wall is exact.
        let to_far = b.core.face(a.axis.high()) - housing.face(a.axis.high());
        let room = if to_far < a.thick * 2
            && to_far < housing.face(a.axis.low()) - b.core.face(a.axis.low())
        {
            a.axis.low()
        } else {
            a.axis.high()
        };
        housing.grow(room, fit);
        let kind = if j.edge.axis() != b.axis {
            CutKind::EdgeGroove
        } else if along == b.grain {
            CutKind::Groove
        } else {
            CutKind::Dado
        };
        let mut cuts_a = Vec::new();
        if tongue.is_some() {
            // Where the tongue has room to move, its shoulders have it too.
            let deep = j.deep + o.gap;
            let shoulders = shoulders_round(&a.core, &entering, j.edge, deep, a.axis);
            let kind = if shoulders.len() == 1 {
                CutKind::Rabbet
            } else {
                CutKind::Tongue
            };
            if !shoulders.is_empty() {
                let width = if kind == CutKind::Rabbet {
                    shoulders[0].extent(a.axis)
                } else {
                    entering.extent(a.axis)
                };
                cuts_a.push(work(
                    kind, shoulders, j.edge, along, width, deep, id, None, &j.origin,
                ));
            }
        }
        cuts_a.extend(notch(j, id, o, along, notches));
        let width = housing.extent(a.axis);
        let depth = j.deep + o.gap + relief;
        let mut in_b = work(
            kind,
            vec![housing],
            j.edge.opposite(),
            along,
            width,
            depth,
            id,
            Some(j.a),
            &j.origin,
        );
        in_b.fit = fit;
        in_b.relief = relief;
        self.panels[j.a].cuts.extend(cuts_a);
        self.panels[j.b].cuts.push(in_b);
    }

    /// What moves into the bottom of one groove moves along those beside it: these go on by as much.
    pub(super) fn let_move(&mut self, pending: &[Pending]) {
        let gaps = pending.iter().filter(|p| p.options.gap.is_positive());
        let rooms: BTreeMap<(usize, Edge), Length> = gaps
            .map(|p| {
                let j = &self.joints[p.joint];
                ((j.a, j.edge), p.options.gap)
            })
            .collect();
        for p in pending {
            let (a, b) = (self.joints[p.joint].a, self.joints[p.joint].b);
            let bounds = self.panels[b].core;
            let of_joint = |cut: &&mut CutWork| {
                let housing = matches!(
                    cut.kind,
                    CutKind::Dado | CutKind::Groove | CutKind::EdgeGroove
                );
                housing && cut.joint == Some(JointId(p.joint as u32))
            };
            for cut in self.panels[b].cuts.iter_mut().filter(of_joint) {
                for edge in [cut.along.low(), cut.along.high()] {
                    let Some(room) = rooms.get(&(a, edge)) else {
                        continue;
                    };
                    for solid in &mut cut.solids {
                        if let Work::Box(housing) = solid {
                            housing.grow(edge, *room);
                            *housing = housing.meet(&bounds).unwrap_or(*housing);
                        }
                    }
                }
            }
        }
    }

    pub(super) fn cut_rabbet(&mut self, j: &JointWork, id: JointId, o: &Options) {
        let (a, b) = (&self.panels[j.a], &self.panels[j.b]);
        let Some(step) = a.core.meet(&b.core) else {
            return;
        };
        let along = j.edge.axis().third(a.axis);
        let (mut step, notches) = stop_short(o, along, step, step);
        if o.run_out {
            step.set_face(along.low(), b.core.face(along.low()));
            step.set_face(along.high(), b.core.face(along.high()));
        }
        let width = step.extent(a.axis);
        let cut = work(
            CutKind::Rabbet,
            vec![step],
            j.edge.opposite(),
            along,
            width,
            j.deep,
            id,
            Some(j.a),
            &j.origin,
        );
        self.panels[j.a]
            .cuts
            .extend(notch(j, id, o, along, notches));
        self.panels[j.b].cuts.push(cut);
    }
}

/// Takes `stopped` off a cut at its ends, and gives what is left of it with the pieces of `a` that
/// would have filled it there: from `reach` of `a` when the part goes on past the cut.
pub(super) fn stop_short(o: &Options, along: Axis, whole: Box3, reach: Box3) -> (Box3, Vec<Box3>) {
    let (mut kept, mut notches) = (whole, Vec::new());
    for (by, edges) in &o.stopped {
        for edge in [along.low(), along.high()]
            .into_iter()
            .filter(|e| edges.is_empty() || edges.contains(e))
        {
            let stop = if edge.is_high() {
                kept.face(edge) - *by
            } else {
                kept.face(edge) + *by
            };
            let mut notch = whole;
            notch.set_face(edge, reach.face(edge));
            notch.set_face(edge.opposite(), stop);
            if !notch.is_empty() {
                notches.push(notch);
            }
            kept.set_face(edge, stop);
        }
    }
    (kept, notches)
}

/// What is taken off the corners of `a` where the cut that it enters is stopped.
pub(super) fn notch(
    j: &JointWork,
    id: JointId,
    o: &Options,
    along: Axis,
    corners: Vec<Box3>,
) -> Option<CutWork> {
    let (size, _) = o.stopped.first().filter(|_| !corners.is_empty())?;
    let edge = j.edge;
    Some(work(
        CutKind::Notch,
        corners,
        edge,
        along,
        *size,
        j.deep,
        id,
        None,
        &j.origin,
    ))
}
