//! From the workbench to the model: every length is known, every cut is in its part's frame.

use super::build::{BandWork, Builder, CutWork, Panel, Work, part_id};
use super::stages::StageWork;
use crate::measure::Length;
use crate::model::{
    Assembly, AssemblyId, AssemblyKind, Axis, Banding, Box3, CaseBox, Cut, CutKind, Edge,
    Fastening, Grain, Joint, JointId, JointKind, Lay, LocalAxis, LocalBox, Opening, Part, Piece,
    Role, Shaped, Size, Solid, StatedStage,
};
use crate::source::Span;

/// The finest fraction of a nanometre that is kept, a thousand-millionth: sums of several such still
/// fit. Equal divisions of real furniture stay far coarser.
const FINEST: i128 = 1_000_000_000;

/// Whether a length does not fit, or would not after a few sums.
fn unfit(length: &Length) -> bool {
    length.is_overflow() || length.as_nm().denom() > FINEST
}

fn unfit_solid(solid: &Solid) -> bool {
    let b = solid.bounds();
    b.lo.iter().chain(&b.hi).any(unfit)
}

/// The first line of a piece whose sizes or places do not fit. Such a piece is not built.
pub fn unfit_line(piece: &Piece) -> Option<Span> {
    let unfit_box = |b: &Box3| b.lo.iter().chain(&b.hi).any(unfit);
    let part = piece.parts.iter().find(|p| {
        unfit_box(&p.finished)
            || unfit_box(&p.core)
            || p.cuts.iter().any(|c| {
                [c.width, c.depth, c.fit, c.relief].iter().any(unfit)
                    || c.solids.iter().any(unfit_solid)
            })
    });
    let opening = piece
        .openings
        .iter()
        .find(|o| unfit_box(&o.clear) || unfit_box(&o.daylight));
    part.map(|p| p.origin.span)
        .or_else(|| opening.map(|o| o.origin.span))
}

fn freeze_stage(stage: &StageWork) -> StatedStage {
    StatedStage {
        parts: stage.panels.iter().map(|p| part_id(*p)).collect(),
        from: stage.from,
        origin: stage.origin.clone(),
    }
}

impl Builder<'_> {
    /// Fills the geometry of a piece.
    pub fn freeze(&mut self, piece: &mut Piece) {
        for i in 0..self.panels.len() {
            let part = self.freeze_part(i);
            piece.parts.push(part);
        }
        for (i, joint) in self.joints.iter().enumerate() {
            piece.joints.push(Joint {
                id: JointId(i as u32),
                kind: joint.kind,
                a: part_id(joint.a),
                b: part_id(joint.b),
                deep: joint.deep,
                contact: joint.contact,
                glued: joint.glued,
                glued_along: joint.glued_along,
                slotted: joint.slotted,
                open_to: joint.open_to,
                fastening: joint
                    .fastening
                    .clone()
                    .map(|(hardware, places)| Fastening { hardware, places }),
                assembly: AssemblyId(joint.body as u32),
                origin: joint.origin.clone(),
            });
        }
        for space in 0..self.spaces.len() {
            if let Some(opening) = self.freeze_space(space) {
                piece.openings.push(opening);
            }
        }
        for (i, body) in self.bodies.iter().enumerate() {
            piece.assemblies.push(Assembly {
                id: AssemblyId(i as u32),
                path: body.path.clone(),
                label: body.label.clone(),
                kind: body.kind,
                parts: body.panels.iter().map(|p| part_id(*p)).collect(),
                stages: (self.stages.get(&i).into_iter().flatten())
                    .map(freeze_stage)
                    .collect(),
            });
            if body.kind == AssemblyKind::Case {
                piece.cases.push(CaseBox {
                    name: body.path.clone(),
                    envelope: body.envelope,
                    seen: body.seen.clone(),
                    assembly: AssemblyId(i as u32),
                    origin: body.stmt.origin(),
                });
            }
        }
        piece.matched = self.matched_rows();
        piece.leaves = std::mem::take(&mut self.leaves);
        piece.drawers = std::mem::take(&mut self.drawers);
        piece.rows = self.freeze_rows();
        piece.shelves = std::mem::take(&mut self.shelves);
        piece.hardware = std::mem::take(&mut self.hardware);
        piece.allowed = std::mem::take(&mut self.allowed);
    }

    /// The box round all parts.
    pub fn overall_box(&self) -> Option<Box3> {
        let mut boxes = self.panels.iter().map(|p| p.finished);
        let first = boxes.next()?;
        Some(boxes.fold(first, |all, b| all.union(&b)))
    }

    fn freeze_part(&self, i: usize) -> Part {
        let panel = &self.panels[i];
        // An early strip is wood of the panel's while joints are cut, and no longer when it is sawn.
        let mut sawn = panel.core;
        for band in panel.bands.iter().filter(|b| b.early) {
            sawn.grow(band.edge, -band.thick);
        }
        let mut finished = panel.core;
        for band in panel.bands.iter().filter(|b| !b.early) {
            finished.set_face(band.edge, panel.finished.face(band.edge));
        }
        let lay = lay_of(panel, &sawn, self.bodies[panel.body].envelope);
        let size_of = |b: &Box3| match &panel.aslant {
            Some(aslant) => aslant.size,
            None => Size {
                length: b.extent(lay.axis(LocalAxis::Length)),
                width: b.extent(lay.axis(LocalAxis::Width)),
                thick: b.extent(lay.axis(LocalAxis::Thickness)),
            },
        };
        let off = panel.aslant.iter().flat_map(|aslant| &aslant.off);
        let aslant = off.filter_map(|off| freeze_solid(off, &lay, &sawn, &sawn));
        let mut cuts: Vec<Cut> = panel
            .cuts
            .iter()
            .filter_map(|cut| freeze_cut(cut, &lay, &sawn, self.wood_at(panel, cut, &sawn)))
            .collect();
        if let Some(host) = panel.host {
            cuts.extend(self.early_cuts(host, i, &lay, &sawn));
        }
        let bands = panel
            .bands
            .iter()
            .filter_map(|band| {
                Some(Banding {
                    side: lay.side(band.edge),
                    strip: self.strip_part(band)?,
                    thick: band.thick,
                    tongue: band.tongue.map(|(thick, deep, _)| (thick, deep)),
                    mitred: band.mitred,
                    early: band.early,
                })
            })
            .collect();
        Part {
            id: part_id(i),
            path: panel.path.clone(),
            label: panel.label.clone(),
            role: panel.role,
            assembly: AssemblyId(panel.body as u32),
            stock: panel.stock,
            grain: panel.grained,
            finished,
            core: sawn,
            lay,
            finished_size: size_of(&finished),
            size: size_of(&sawn),
            aslant: aslant.collect(),
            cuts,
            bands,
            shaped: panel
                .shaped
                .iter()
                .map(|(shape, edge, zone, origin)| Shaped {
                    shape: shape.clone(),
                    side: lay.side(*edge),
                    zone: lay.to_local(&sawn, zone),
                    origin: origin.clone(),
                })
                .collect(),
            host: panel.host.map(part_id),
            origin: panel.stmt.origin(),
        }
    }

    /// What a panel is when a cut is made in it (rule 1.6, 5): bare for what serves an early strip, with
    /// its early strips for joints, and with all of them for hinges.
    fn wood_at(&self, panel: &Panel, cut: &CutWork, sawn: &Box3) -> Box3 {
        let joint = cut.joint.and_then(|id| self.joints.get(id.0 as usize));
        let serves_early = joint.is_some_and(|j| {
            let strip = |b: &BandWork| b.early && b.strip == Some(j.a);
            j.kind == JointKind::Edging && panel.bands.iter().any(strip)
        });
        match cut.kind {
            _ if serves_early => *sawn,
            CutKind::HingeRecess => panel.finished,
            _ => panel.core,
        }
    }

    /// The joints of a panel that run out through its early strip are cut in the strip too.
    fn early_cuts(&self, host: usize, strip: usize, lay: &Lay, sawn: &Box3) -> Vec<Cut> {
        let panel = &self.panels[host];
        if !panel
            .bands
            .iter()
            .any(|b| b.early && b.strip == Some(strip))
        {
            return Vec::new();
        }
        let own: Vec<Option<JointId>> = self.panels[strip].cuts.iter().map(|c| c.joint).collect();
        panel
            .cuts
            .iter()
            .filter(|c| !own.contains(&c.joint))
            .filter_map(|c| freeze_cut(c, lay, sawn, *sawn))
            .collect()
    }

    fn freeze_space(&mut self, space: usize) -> Option<Opening> {
        let clear = self.space_box(space).ok()?;
        let daylight = self.daylight(space).ok()?;
        let mut bounds = Vec::new();
        for edge in Edge::ALL {
            if let Ok(Some(panel)) = self.bounding(space, edge) {
                bounds.push((edge, part_id(panel)));
            }
        }
        let s = &self.spaces[space];
        let body = &self.bodies[s.body];
        Some(Opening {
            path: format!("{}.{}", body.path, super::label::indexed(&s.name, &s.index)),
            clear,
            daylight,
            bounds,
            divided: s.divided,
            axis: s.parent.map(|(_, division)| self.divisions[division].axis),
            origin: s.origin.clone(),
        })
    }
}

/// How a part lies: its reference end, reference edge and face side, where makers put them.
fn lay_of(panel: &Panel, sawn: &Box3, body: Box3) -> Lay {
    let thick = panel.axis;
    let mut length = panel.grain;
    if panel.grained == Grain::None && panel.host.is_none() && panel.aslant.is_none() {
        let other = thick.third(length);
        if sawn.extent(other) > sawn.extent(length) {
            length = other;
        }
    }
    let width = thick.third(length);
    let edge = match width {
        Axis::Y => Edge::Front,
        axis => axis.low(),
    };
    Lay {
        end: length.low(),
        edge,
        face: face_side(panel, sawn, body),
    }
}

/// The face side of a panel that is not yet cut, within the box of its body.
pub fn face_of(panel: &Panel, body: Box3) -> Edge {
    face_side(panel, &panel.core, body)
}

fn face_side(panel: &Panel, sawn: &Box3, body: Box3) -> Edge {
    match (panel.role, panel.axis) {
        (Role::Band, axis) => {
            // The face of a strip is what shows: the side away from its panel.
            let middle = |b: &Box3| b.middle(axis);
            if middle(sawn) > middle(&body) {
                axis.high()
            } else {
                axis.low()
            }
        }
        (Role::Back | Role::DrawerBack, Axis::Y) => Edge::Front,
        (_, Axis::Y) => Edge::Rear,
        (Role::Top | Role::Lid, Axis::Z) => Edge::Bottom,
        (_, Axis::Z) => Edge::Top,
        (_, Axis::X) => {
            // A side's inner face, where its joints are.
            if sawn.middle(Axis::X) > body.middle(Axis::X) {
                Edge::Left
            } else {
                Edge::Right
            }
        }
    }
}

/// A cut in its part's frame; what lies outside the `wood` that is there is left out. `None` if all of
/// it does.
fn freeze_cut(cut: &CutWork, lay: &Lay, sawn: &Box3, wood: Box3) -> Option<Cut> {
    let solids: Vec<Solid> = cut
        .solids
        .iter()
        .filter_map(|solid| freeze_solid(solid, lay, sawn, &wood))
        .collect();
    if solids.is_empty() {
        return None;
    }
    let along = lay.local_axis(cut.along);
    let mut out = Cut {
        kind: cut.kind,
        solids,
        entry: lay.side(cut.entry),
        along,
        width: cut.width,
        depth: cut.depth,
        fit: cut.fit,
        relief: cut.relief,
        stopped: [false; 2],
        joint: cut.joint,
        filler: cut.filler.map(part_id),
        origin: cut.origin.clone(),
    };
    let i = along.index();
    let (b, whole) = (out.bounds(), lay.to_local(sawn, &wood));
    out.stopped = [b.lo[i] > whole.lo[i], b.hi[i] < whole.hi[i]];
    Some(out)
}

fn freeze_solid(solid: &Work, lay: &Lay, sawn: &Box3, wood: &Box3) -> Option<Solid> {
    match solid {
        Work::Box(b) => {
            // Housings that reach through the far side are kept whole, so that a rule can see it.
            if !b.overlaps(wood) {
                return None;
            }
            Some(Solid::Box(lay.to_local(sawn, b)))
        }
        Work::Bore {
            mouth,
            entry,
            diameter,
            depth,
        } => {
            let point = Box3 {
                lo: *mouth,
                hi: *mouth,
            };
            let LocalBox { lo, .. } = lay.to_local(sawn, &point);
            Some(Solid::Bore {
                mouth: lo,
                entry: lay.side(*entry),
                diameter: *diameter,
                depth: *depth,
            })
        }
        Work::Prism {
            axis,
            outline,
            lo,
            hi,
        } => Some(freeze_prism(
            lay,
            sawn,
            *axis,
            [outline, outline],
            [*lo, *hi],
        )),
        Work::Leaning {
            axis,
            outlines: [near, far],
            lo,
            hi,
        } => Some(freeze_prism(lay, sawn, *axis, [near, far], [*lo, *hi])),
    }
}

/// A prism in a part's frame; its outline at the start and at the end.
fn freeze_prism(
    lay: &Lay,
    sawn: &Box3,
    axis: Axis,
    outlines: [&Vec<[Length; 3]>; 2],
    [lo, hi]: [Length; 2],
) -> Solid {
    let local_axis = lay.local_axis(axis);
    let others: Vec<usize> = (0..3).filter(|i| *i != local_axis.index()).collect();
    let mut outlines = outlines.map(|outline| -> Vec<[Length; 2]> {
        let corner = |corner: &[Length; 3]| {
            let mut at = *corner;
            at[axis.index()] = lo;
            let local = lay.to_local(sawn, &Box3 { lo: at, hi: at }).lo;
            [local[others[0]], local[others[1]]]
        };
        outline.iter().map(corner).collect()
    });
    let mut ends = *sawn;
    (ends.lo[axis.index()], ends.hi[axis.index()]) = (lo, hi);
    let span = lay.to_local(sawn, &ends);
    // Along the piece the start is the low end; in the part's frame it may be the far one.
    if [lay.end, lay.edge, lay.face][local_axis.index()].is_high() {
        outlines.reverse();
    }
    let [outline, far] = outlines;
    Solid::Prism {
        axis: local_axis,
        far: (far != outline).then_some(far),
        outline,
        lo: span.lo[local_axis.index()],
        hi: span.hi[local_axis.index()],
    }
}
