//! The cuts of joints (placement rules 2.1, 2.2): in both parts, as long as their grown cores meet.

use super::bands::shoulders_round;
use super::build::{Builder, CutWork, JointWork, Work};
use super::dovetail;
use super::joints::{Options, Pending, longest_axis};
use crate::diag::{Diagnostic, code};
use crate::measure::{Length, Rational};
use crate::model::{Axis, Box3, CutKind, Edge, HardwareKind, JointId, JointKind, Origin};
use crate::source::Span;

/// Least pitch of common practice for tails when a line does not say how many: one each 35 mm or so.
const TAIL_PITCH_MM: i64 = 35;

/// More air than this is no joint for glue, in millimetres (common practice).
const LOOSEST_MM: i64 = 1;

impl Builder<'_> {
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
            JointKind::Mitre => self.cut_mitre(&j, id),
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
            JointKind::Butt | JointKind::Nails | JointKind::Edging => {}
        }
    }

    /// Whether a joint's own figures leave something of it; what does not is reported.
    fn options_fit(&mut self, j: &JointWork, o: &Options) -> bool {
        let (a, b) = (&self.panels[j.a], &self.panels[j.b]);
        let Some(whole) = a.core.meet(&b.core) else {
            return true;
        };
        let along = j.edge.axis().third(a.axis);
        let long = whole.extent(along);
        let stops: Vec<Length> = o
            .stopped
            .iter()
            .flat_map(|(by, edges)| {
                let ends = [along.low(), along.high()].into_iter();
                let ends = ends.filter(|e| edges.is_empty() || edges.contains(e));
                ends.map(|_| *by)
            })
            .collect();
        let text = |length: Length| self.units.text(length);
        let report = if stops.iter().copied().sum::<Length>() >= long {
            let stops: Vec<String> = stops.iter().map(|by| text(*by)).collect();
            Diagnostic::new(
                &code::VALUE_RANGE,
                "the stops leave nothing of the cut",
                j.origin.at("stopped"),
                format!("{} of {}", stops.join(" and "), text(long)),
            )
            .help("stop it by less, at one end, or leave the joint out")
        } else if let Some(fit) = o.fit.filter(|fit| *fit > Length::mm(LOOSEST_MM)) {
            Diagnostic::new(
                &code::VALUE_RANGE,
                "a housing too loose to hold",
                j.origin.at("fit"),
                format!("{} wider than what enters it", text(fit)),
            )
            .note(format!(
                "more than {} is no joint for glue: common practice is 0.1 to 0.3 mm",
                text(Length::mm(LOOSEST_MM))
            ))
            .help("`fit` is the air, not the width of the housing")
        } else if matches!(j.kind, JointKind::Tongue | JointKind::DadoRabbet)
            && o.thick.is_some_and(|t| t >= a.thick)
        {
            tongue_thick(
                j.origin.at("thick"),
                &text(o.thick.unwrap_or_default()),
                &a.name,
                &text(a.thick),
            )
        } else if let Some(flush) = o.flush.filter(|flush| flush.axis() != a.axis) {
            Diagnostic::new(
                &code::PLACE_AXIS,
                format!("`{}` has no face at its {}", a.name, flush.word()),
                j.origin.at("flush"),
                "an edge, not a face",
            )
            .help(format!(
                "its faces are at the {} and the {}",
                a.axis.low().word(),
                a.axis.high().word()
            ))
        } else {
            return true;
        };
        self.sink.push(report);
        false
    }

    /// A housing in `b`, and what is cut from `a`: shoulders of a tongue, a notch where it is stopped.
    fn cut_housing(
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
        housing.grow(j.edge, relief);
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
            let shoulders = shoulders_round(&a.core, &entering, j.edge, j.deep, a.axis);
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
                    kind, shoulders, j.edge, along, width, j.deep, id, None, &j.origin,
                ));
            }
        }
        cuts_a.extend(notch(j, id, o, along, notches));
        let width = housing.extent(a.axis);
        let depth = j.deep + relief;
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

    fn cut_rabbet(&mut self, j: &JointWork, id: JointId, o: &Options) {
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

    /// Both ends at 45 degrees from the outer corner inward, as deep as the thinner part; beyond that
    /// the thicker one ends in a shoulder against the inner face of the thinner.
    fn cut_mitre(&mut self, j: &JointWork, id: JointId) {
        let corner = self.corner(j.a, j.b);
        let (fa, fb) = (self.panels[j.a].finished, self.panels[j.b].finished);
        let along = j.edge.axis().third(self.panels[j.a].axis);
        let inner = |f: &Box3, edge: Edge| f.face(edge.opposite());
        let point = |e: Length, c: Length| {
            let mut p = [Length::ZERO; 3];
            p[j.edge.axis().index()] = e;
            p[corner.axis().index()] = c;
            p
        };
        let (end, top) = (fb.face(j.edge), fa.face(corner));
        let thinner = fb.extent(j.edge.axis()).min(fa.extent(corner.axis()));
        let inward = |from: Length, edge: Edge| {
            if edge.is_high() {
                from - thinner
            } else {
                from + thinner
            }
        };
        let outer_point = point(end, top);
        // Where the mitre ends: with equal thicknesses in the inner corner.
        let (mitred_e, mitred_c) = (inward(end, j.edge), inward(top, corner));
        let mitre_end = point(mitred_e, mitred_c);
        // Each loses what lies on its inner side of the mitre, and of the shoulder beyond it.
        let mut of_a = vec![outer_point, mitre_end];
        if mitred_c != inner(&fa, corner) {
            of_a.push(point(mitred_e, inner(&fa, corner)));
        }
        of_a.push(point(end, inner(&fa, corner)));
        let mut of_b = vec![outer_point, mitre_end];
        if mitred_e != inner(&fb, j.edge) {
            of_b.push(point(inner(&fb, j.edge), mitred_c));
        }
        of_b.push(point(inner(&fb, j.edge), top));
        for (panel, outline, end) in [(j.a, of_a, j.edge), (j.b, of_b, corner)] {
            let core = self.panels[panel].core;
            let thick = self.panels[panel].thick;
            let cut = CutWork {
                kind: CutKind::Mitre,
                solids: vec![Work::Prism {
                    axis: along,
                    outline,
                    lo: core.face(along.low()),
                    hi: core.face(along.high()),
                }],
                entry: end,
                along,
                width: thick,
                depth: thinner,
                fit: Length::ZERO,
                relief: Length::ZERO,
                joint: Some(id),
                filler: None,
                origin: j.origin.clone(),
            };
            self.panels[panel].cuts.push(cut);
        }
    }

    fn cut_biscuits(&mut self, j: &JointWork, id: JointId) {
        let Some((hardware, places)) = &j.fastening else {
            return;
        };
        let Some(HardwareKind::Biscuit { long, wide, thick }) = self
            .project
            .hardware
            .get_index(hardware.0 as usize)
            .map(|(_, h)| h.kind.clone())
        else {
            return;
        };
        let along = longest_axis(&j.contact);
        let across = j.edge.axis().third(along);
        for (panel, into) in [(j.a, j.edge.opposite()), (j.b, j.edge)] {
            let slots: Vec<Box3> = places
                .iter()
                .map(|at| {
                    let mut slot = Box3 { lo: *at, hi: *at };
                    for (axis, size) in [(along, long), (across, thick)] {
                        slot.grow(axis.low(), size.half());
                        slot.grow(axis.high(), size.half());
                    }
                    slot.grow(into, wide.half());
                    slot
                })
                .collect();
            let other = if panel == j.a { j.b } else { j.a };
            let cut = work(
                CutKind::BiscuitSlot,
                slots,
                into.opposite(),
                along,
                thick,
                wide.half(),
                id,
                Some(other),
                &j.origin,
            );
            self.panels[panel].cuts.push(cut);
        }
    }

    /// A hole for each bolt, through both.
    fn cut_bolts(&mut self, j: &JointWork, id: JointId) {
        let Some((hardware, places)) = &j.fastening else {
            return;
        };
        let hardware = self.project.hardware.get_index(hardware.0 as usize);
        let Some(HardwareKind::Bolt { thick, .. }) = hardware.map(|(_, h)| h.kind.clone()) else {
            return;
        };
        let along = longest_axis(&j.contact);
        for (part, outer) in [(j.a, j.edge.opposite()), (j.b, j.edge)] {
            let deep = self.panels[part].finished.extent(outer.axis());
            let face = self.panels[part].finished.face(outer);
            let mut cut = work(
                CutKind::ScrewHole,
                Vec::new(),
                outer,
                along,
                thick,
                deep,
                id,
                None,
                &j.origin,
            );
            let holes = places.iter().map(|at| {
                let mut mouth = *at;
                mouth[outer.axis().index()] = face;
                Work::Bore {
                    mouth,
                    entry: outer,
                    diameter: thick,
                    depth: deep,
                }
            });
            cut.solids = holes.collect();
            self.panels[part].cuts.push(cut);
        }
    }

    /// Clearance through the part that is met with its face, a pilot in the one that holds.
    fn cut_screws(&mut self, j: &JointWork, id: JointId) {
        let Some((hardware, places)) = &j.fastening else {
            return;
        };
        let Some(HardwareKind::Screw { long, thick }) = self
            .project
            .hardware
            .get_index(hardware.0 as usize)
            .map(|(_, h)| h.kind.clone())
        else {
            return;
        };
        // The one whose face is met is gone through; between two faces, the first named.
        let through_b =
            self.panels[j.b].axis == j.edge.axis() && self.panels[j.a].axis != j.edge.axis();
        let (through, holds, into) = if through_b {
            (j.b, j.a, j.edge.opposite())
        } else {
            (j.a, j.b, j.edge)
        };
        let passed = self.panels[through].finished.extent(j.edge.axis());
        let mut head = Vec::new();
        let mut pilot = Vec::new();
        for at in places {
            let mut mouth = *at;
            mouth[into.axis().index()] = self.panels[through].finished.face(into.opposite());
            head.push(Work::Bore {
                mouth,
                entry: into.opposite(),
                diameter: thick,
                depth: passed,
            });
            // Pilot 7/10 of the shank: common practice between softwood and hardwood.
            pilot.push(Work::Bore {
                mouth: *at,
                entry: into.opposite(),
                diameter: thick.scale(Rational::new(7, 10)),
                depth: long - passed,
            });
        }
        let along = longest_axis(&j.contact);
        let mut in_through = work(
            CutKind::ScrewHole,
            Vec::new(),
            into.opposite(),
            along,
            thick,
            passed,
            id,
            None,
            &j.origin,
        );
        in_through.solids = head;
        self.panels[through].cuts.push(in_through);
        if long > passed {
            let mut in_holds = work(
                CutKind::ScrewHole,
                Vec::new(),
                into.opposite(),
                along,
                thick.scale(Rational::new(7, 10)),
                long - passed,
                id,
                None,
                &j.origin,
            );
            in_holds.solids = pilot;
            self.panels[holds].cuts.push(in_holds);
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

/// Where a tongue sits in the thickness.
#[derive(Clone, Copy)]
enum TongueAt {
    Middle,
    Flush(Edge),
    Inner,
}

/// Takes `stopped` off a cut at its ends, and gives what is left of it with the pieces of `a` that
/// would have filled it there: from `reach` of `a` when the part goes on past the cut.
fn stop_short(o: &Options, along: Axis, whole: Box3, reach: Box3) -> (Box3, Vec<Box3>) {
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
fn notch(
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

#[expect(
    clippy::too_many_arguments,
    reason = "one line for each figure of a cut"
)]
fn work(
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
