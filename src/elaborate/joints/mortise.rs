//! Mortise and tenon (placement rules 2.2): a third of the thickness, shoulders all round; haunched,
//! twin, through and wedged where the line says so. A short one that a groove holds, which runs right through
//! there, is a stub tenon and needs no mortise.

use super::Options;
use super::cut::work;
use crate::diag::{Diagnostic, code};
use crate::elaborate::build::{Builder, JointWork, Work};
use crate::measure::Length;
use crate::model::{Axis, Box3, CutKind, Edge, JointId};

/// Shoulder at the edges of a tenon, in millimetres (common practice).
const EDGE_SHOULDER_MM: i64 = 6;

/// How far a haunch goes in where there is no groove for it to fill, in millimetres (common practice).
const HAUNCH_MM: i64 = 10;

/// The least tenon either way, in millimetres: the narrowest chisel and cutter (common practice).
const LEAST_TENON_MM: i64 = 3;

/// A saw cut for a wedge, in millimetres: a fine hand saw's (common practice).
const WEDGE_KERF_MM: i64 = 1;

/// The wood of one joint's tenons, in the piece.
struct Tenons {
    /// Each whole: as deep as the joint.
    whole: Vec<Box3>,
    /// What is left of the outer quarter.
    haunch: Option<Box3>,
    /// Whether a groove of what they enter holds them already.
    stub: bool,
}

impl Builder<'_> {
    /// Cheeks and shoulders of the tenon, and the mortise.
    pub(super) fn cut_mortise(&mut self, j: &JointWork, id: JointId, o: &Options) {
        let along = j.edge.axis().third(self.panels[j.a].axis);
        let Some(zone) = self.panels[j.a].core.meet(&self.panels[j.b].core) else {
            return;
        };
        let Some(tenons) = self.tenons(j, o, along, zone) else {
            self.report_no_tenon(j, along, zone);
            return;
        };
        let (a, b) = (&self.panels[j.a], &self.panels[j.b]);
        let mut end = a.core;
        end.set_face(j.edge.opposite(), j.contact.face(j.edge));
        let kept: Vec<Box3> = tenons.whole.iter().chain(&tenons.haunch).copied().collect();
        let waste = around(end, &kept, a.axis, along);
        let shop = &self.project.shop;
        let fit = o.fit.unwrap_or(shop.fit);
        // A through mortise has no floor to clear, and what stands proud of the far face cuts nothing.
        let (relief, depth) = if o.through {
            (Length::ZERO, b.core.extent(j.edge.axis()))
        } else {
            (shop.relief_mortise, j.deep + shop.relief_mortise)
        };
        let side = self.room_side(a, a.axis);
        let first = tenons.whole[0];
        let thick = first.extent(a.axis);
        let (cut_a, mut cut_b) = (
            work(
                CutKind::Tenon,
                waste,
                j.edge,
                along,
                thick,
                j.deep,
                id,
                None,
                &j.origin,
            ),
            work(
                CutKind::Mortise,
                Vec::new(),
                j.edge.opposite(),
                along,
                thick + fit,
                depth,
                id,
                Some(j.a),
                &j.origin,
            ),
        );
        let holes = kept.iter().map(|tenon| {
            let mut hole = *tenon;
            hole.grow(j.edge, relief);
            hole.grow(side, fit);
            hole.meet(&b.core).unwrap_or(hole)
        });
        cut_b.solids = holes.map(Work::Box).collect();
        (cut_b.fit, cut_b.relief) = (fit, relief);
        let mut of_a = vec![cut_a];
        if o.wedged {
            let slots = tenons
                .whole
                .iter()
                .flat_map(|tenon| wedge_slots(tenon, along, j.edge))
                .collect();
            of_a.push(work(
                CutKind::WedgeSlot,
                slots,
                j.edge,
                a.axis,
                Length::mm(WEDGE_KERF_MM),
                j.deep * 2 / 3,
                id,
                None,
                &j.origin,
            ));
        }
        self.panels[j.a].cuts.extend(of_a);
        if !tenons.stub {
            self.panels[j.b].cuts.push(cut_b);
        }
    }

    /// Whether a groove of the part that is entered holds a tenon already.
    fn in_groove(&self, j: &JointWork, along: Axis, tenon: &Box3) -> bool {
        let grooves = self.panels[j.b].cuts.iter().filter(|cut| {
            cut.entry == j.edge.opposite()
                && cut.along == along
                && matches!(cut.kind, CutKind::EdgeGroove | CutKind::Groove)
        });
        let mut solids = grooves.flat_map(|cut| &cut.solids);
        solids.any(|solid| matches!(solid, Work::Box(groove) if groove.union(tenon) == *groove))
    }

    /// Where the tenons are; `None` if no wood is left for them.
    fn tenons(&self, j: &JointWork, o: &Options, along: Axis, zone: Box3) -> Option<Tenons> {
        let (a, b) = (&self.panels[j.a], &self.panels[j.b]);
        // Upright parts have twins side by side across the thickness, flat ones across the width.
        let across_thickness = o.twin && along == Axis::Z;
        let share = if across_thickness { 5 } else { 3 };
        let thick = o.thick.unwrap_or(a.thick / share);
        let taken = if across_thickness { thick * 3 } else { thick };
        let (low, high) = (a.core.face(a.axis.low()), a.core.face(a.axis.high()));
        let start = match o.flush {
            Some(face) if face.is_high() => high - taken,
            Some(_) => low,
            None => (low + high - taken).half(),
        };
        let outer = self.outer_edge(j, along);
        let mut tenon = zone;
        tenon.set_face(j.edge, a.core.face(j.edge));
        tenon.set_face(j.edge.opposite(), j.contact.face(j.edge));
        tenon.set_face(a.axis.low(), start);
        tenon.set_face(a.axis.high(), start + thick);
        let stub = self.in_groove(j, along, &tenon);
        let mut haunch = None;
        for edge in [along.low(), along.high()] {
            let place = a.core.face(edge);
            if o.haunched && edge == outer {
                let quarter = a.core.extent(along) / 4;
                let mut h = tenon;
                h.set_face(edge, place);
                let stop = edge.inward(place, quarter);
                h.set_face(edge.opposite(), stop);
                h.set_face(
                    j.edge,
                    j.edge
                        .opposite()
                        .inward(j.contact.face(j.edge), self.haunch_depth(j, along)),
                );
                tenon.set_face(edge, stop);
                haunch = Some(h);
                continue;
            }
            // From the tenon part's own edge, and never out of the part that is entered.
            // A stub tenon fills its groove to the end.
            let least = if stub { 0 } else { EDGE_SHOULDER_MM };
            let groove = self.groove_at(j.a, edge, j.edge.axis());
            let shoulder = edge.inward(place, groove.max(Length::mm(least)));
            let bound = b.core.face(edge);
            let inner = if edge.is_high() {
                shoulder.min(bound)
            } else {
                shoulder.max(bound)
            };
            tenon.set_face(edge, inner);
        }
        let whole = if !o.twin {
            vec![tenon]
        } else if across_thickness {
            let mut second = tenon;
            second.set_face(a.axis.low(), start + thick * 2);
            second.set_face(a.axis.high(), start + thick * 3);
            vec![tenon, second]
        } else {
            let wide = (tenon.extent(along) - thick).half();
            let (mut first, mut second) = (tenon, tenon);
            first.set_face(along.high(), tenon.face(along.low()) + wide);
            second.set_face(along.low(), tenon.face(along.high()) - wide);
            vec![first, second]
        };
        let within = low <= start && start + taken <= high;
        let least = Length::mm(LEAST_TENON_MM);
        let stands = |t: &Box3| t.extent(a.axis) >= least && t.extent(along) >= least;
        (within && whole.iter().all(stands)).then_some(Tenons {
            whole,
            haunch,
            stub,
        })
    }

    fn report_no_tenon(&mut self, j: &JointWork, along: Axis, zone: Box3) {
        let text = |length| self.units.text(length);
        let a = &self.panels[j.a];
        let report = Diagnostic::new(
            &code::JOIN_NO_ROOM,
            format!("no room for the tenon of `{}`", a.name),
            j.origin.span,
            "too little is left of it",
        )
        .note(format!(
            "`{}` is {} thick and meets `{}` over {}; shoulders take at least {} at each edge, and a tenon has at least {} each way",
            a.name,
            text(a.thick),
            self.panels[j.b].name,
            text(zone.extent(along)),
            text(Length::mm(EDGE_SHOULDER_MM)),
            text(Length::mm(LEAST_TENON_MM))
        ))
        .help("state another `thick`, leave `twin` out, or use dowels");
        self.sink.push(report);
    }

    /// How deep the deepest groove or step is that runs along an edge; zero where there is none.
    pub(super) fn groove_at(&self, a: usize, edge: Edge, run: Axis) -> Length {
        let grooves = self.panels[a].cuts.iter().filter(|cut| {
            cut.entry == edge
                && cut.along == run
                && matches!(cut.kind, CutKind::EdgeGroove | CutKind::Rabbet)
        });
        grooves.map(|cut| cut.depth).max().unwrap_or_default()
    }

    /// How deep a haunch goes: as the groove that it fills.
    fn haunch_depth(&self, j: &JointWork, along: Axis) -> Length {
        let grooves = self.panels[j.b].cuts.iter().filter(|cut| {
            cut.entry == j.edge.opposite()
                && cut.along == along
                && matches!(cut.kind, CutKind::EdgeGroove | CutKind::Groove)
        });
        let deep = grooves.map(|cut| cut.depth - cut.relief).max();
        deep.unwrap_or(Length::mm(HAUNCH_MM)).min(j.deep)
    }

    /// The edge of the tenon part that is nearer to an end of what it enters.
    fn outer_edge(&self, j: &JointWork, along: Axis) -> Edge {
        let (a, b) = (&self.panels[j.a].core, &self.panels[j.b].core);
        let off = |edge: Edge| (a.face(edge) - b.face(edge)).abs();
        if off(along.high()) <= off(along.low()) {
            along.high()
        } else {
            along.low()
        }
    }
}

/// What is cut away round tenons: both cheeks whole, then what lies between and beside the tenons.
fn around(end: Box3, kept: &[Box3], across: Axis, along: Axis) -> Vec<Box3> {
    let low = kept.iter().map(|k| k.face(across.low())).min();
    let high = kept.iter().map(|k| k.face(across.high())).max();
    let (Some(low), Some(high)) = (low, high) else {
        return Vec::new();
    };
    let mut out = Vec::new();
    let (mut near, mut far, mut core) = (end, end, end);
    near.set_face(across.high(), low);
    far.set_face(across.low(), high);
    core.set_face(across.low(), low);
    core.set_face(across.high(), high);
    out.extend([near, far].into_iter().filter(|b| !b.is_empty()));
    let mut rest = vec![core];
    for tenon in kept {
        rest = rest
            .into_iter()
            .flat_map(|b| less(b, tenon, [along, across]))
            .collect();
    }
    out.extend(rest);
    out
}

/// A box less another: slabs along the given axes first, then what is left along the third.
fn less(b: Box3, taken: &Box3, order: [Axis; 2]) -> Vec<Box3> {
    if !b.overlaps(taken) {
        return vec![b];
    }
    let mut out = Vec::new();
    let mut rest = b;
    for axis in [order[0], order[1], order[0].third(order[1])] {
        for edge in [axis.low(), axis.high()] {
            let mut slab = rest;
            slab.set_face(edge.opposite(), taken.face(edge));
            if !slab.is_empty() {
                out.push(slab);
                rest.set_face(edge, taken.face(edge));
            }
        }
    }
    out
}

/// Two saw cuts in a tenon, a sixth of its width from its edges and two thirds of its length deep
/// (common practice): the wedges spread it toward the ends of the mortise.
fn wedge_slots(tenon: &Box3, along: Axis, edge: Edge) -> [Box3; 2] {
    let (wide, kerf) = (tenon.extent(along), Length::mm(WEDGE_KERF_MM));
    [wide / 6, wide - wide / 6 - kerf].map(|from| {
        let mut slot = *tenon;
        let start = tenon.face(along.low()) + from;
        slot.set_face(along.low(), start);
        slot.set_face(along.high(), start + kerf);
        let deep = tenon.extent(edge.axis()) * 2 / 3;
        slot.set_face(edge.opposite(), edge.inward(tenon.face(edge), deep));
        slot
    })
}
