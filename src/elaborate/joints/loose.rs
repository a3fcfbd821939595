//! Connectors that go half into each part: dowels and loose tenons; and what holds from one side:
//! pocket screws and buttons.

use super::connectors::longest_axis;
use super::cut::work;
use crate::diag::{Diagnostic, code};
use crate::elaborate::build::{Builder, JointWork, Work};
use crate::measure::Length;
use crate::model::{Axis, Box3, CutKind, Edge, HardwareKind, JointId};

/// Wood that is left behind a bore in a face, in millimetres (placement rules 2.1).
const LEFT_BEHIND_MM: i64 = 5;

/// Across a pocket, 3/8 in (common practice).
fn pocket_wide() -> Length {
    Length::um(9525)
}

/// Half of a pocket measured square to the face: its half width by the root of 1 + 1/16, to the
/// tenth of a millimetre upward.
fn pocket_half() -> Length {
    Length::um(5000)
}

/// The thinnest part that takes a pocket, in millimetres (common practice).
const POCKET_LEAST_MM: i64 = 12;

/// Room on each side of a button in its slot, in millimetres, so that the top can move.
const BUTTON_PLAY_MM: i64 = 5;

impl Builder<'_> {
    /// How much of a connector goes into the first part and into the second: half each, but into a
    /// face no more than leaves 5 mm, the rest into the end.
    fn halves(&self, j: &JointWork, long: Length) -> [Length; 2] {
        let most = |panel: usize| {
            let p = &self.panels[panel];
            (p.axis == j.edge.axis()).then(|| p.thick - Length::mm(LEFT_BEHIND_MM))
        };
        let half = long.half();
        match [most(j.a), most(j.b)] {
            [_, Some(b)] if b < half => [long - b, b],
            [Some(a), _] if a < half => [a, long - a],
            _ => [half, half],
        }
    }

    /// Round holes for dowels.
    pub(super) fn cut_dowels(&mut self, j: &JointWork, id: JointId) {
        let Some((HardwareKind::Dowel { long, thick }, places)) = self.connector_of(j) else {
            return;
        };
        let relief = self.project.shop.relief_mortise;
        let halves = self.halves(j, long);
        for (panel, entry, deep) in [
            (j.a, j.edge, halves[0]),
            (j.b, j.edge.opposite(), halves[1]),
        ] {
            let mut cut = work(
                CutKind::DowelHole,
                Vec::new(),
                entry,
                longest_axis(&j.contact),
                thick,
                deep + relief,
                id,
                None,
                &j.origin,
            );
            cut.relief = relief;
            let bore = |at: &[Length; 3]| Work::Bore {
                mouth: *at,
                entry,
                diameter: thick,
                depth: deep + relief,
            };
            cut.solids = places.iter().map(bore).collect();
            self.panels[panel].cuts.push(cut);
        }
    }

    /// Mortises for loose tenons, in both parts.
    pub(super) fn cut_loose_tenons(&mut self, j: &JointWork, id: JointId) {
        let Some((HardwareKind::LooseTenon { long, wide, thick }, places)) = self.connector_of(j)
        else {
            return;
        };
        let (relief, fit) = (self.project.shop.relief_mortise, self.project.shop.fit);
        let along = longest_axis(&j.contact);
        let across = j.edge.axis().third(along);
        let halves = self.halves(j, long);
        let side = self.room_side(&self.panels[j.a], across);
        for (panel, entry, deep) in [
            (j.a, j.edge, halves[0]),
            (j.b, j.edge.opposite(), halves[1]),
        ] {
            let slot = |at: &[Length; 3]| {
                let mut slot = Box3 { lo: *at, hi: *at };
                for (axis, size) in [(along, wide), (across, thick)] {
                    slot.grow(axis.low(), size.half());
                    slot.grow(axis.high(), size.half());
                }
                slot.grow(side, fit);
                slot.grow(entry.opposite(), deep + relief);
                slot
            };
            let slots: Vec<Box3> = places.iter().map(slot).collect();
            if let Some(edge) = j.open_to.filter(|_| panel == j.b) {
                self.open_groove(j, id, edge, &slots);
                continue;
            }
            let other = if panel == j.a { j.b } else { j.a };
            let mut cut = work(
                CutKind::LooseMortise,
                slots,
                entry,
                along,
                thick + fit,
                deep + relief,
                id,
                Some(other),
                &j.origin,
            );
            (cut.fit, cut.relief) = (fit, relief);
            self.panels[panel].cuts.push(cut);
        }
    }

    /// The face of a part that is seen least: underneath, behind, or toward the middle of its body.
    fn hidden_face(&self, panel: usize) -> Edge {
        let p = &self.panels[panel];
        match p.axis {
            Axis::Z => Edge::Bottom,
            Axis::Y
                if p.finished.middle(Axis::Y) > self.bodies[p.body].envelope.middle(Axis::Y) =>
            {
                Edge::Front
            }
            Axis::Y => Edge::Rear,
            Axis::X
                if p.finished.middle(Axis::X) > self.bodies[p.body].envelope.middle(Axis::X) =>
            {
                Edge::Left
            }
            Axis::X => Edge::Right,
        }
    }

    /// Slanted pockets, 1 in 4 (about 15 degrees, common practice), from the hidden face of the first
    /// part to the middle of its end. Drawn and counted as square as they are wide.
    pub(super) fn cut_pockets(&mut self, j: &JointWork, id: JointId) {
        let Some((HardwareKind::Screw { long, .. }, places)) = self.connector_of(j) else {
            return;
        };
        let p = &self.panels[j.a];
        if p.axis == j.edge.axis() || p.thick < Length::mm(POCKET_LEAST_MM) {
            let (label, note) = if p.axis == j.edge.axis() {
                (
                    "it meets with its face",
                    "pockets are bored into a face and come out at an end or edge",
                )
            } else {
                (
                    "too thin for a pocket",
                    "a pocket takes 12 mm (common practice)",
                )
            };
            let report = Diagnostic::new(
                &code::JOIN_NO_ROOM,
                format!("no room for pockets in `{}`", p.name),
                j.origin.span,
                label,
            );
            self.sink.push(
                report
                    .note(note)
                    .help("use other connectors, or a thicker part"),
            );
            return;
        }
        let face = self.hidden_face(j.a);
        let along = j.edge.axis().third(p.axis);
        let (end, surface) = (j.contact.face(j.edge), p.core.face(face));
        // From the end inward, and from the hidden face into the wood.
        let at = |e: Length, t: Length| {
            let mut q = [Length::ZERO; 3];
            q[j.edge.axis().index()] = j.edge.inward(end, e);
            q[face.axis().index()] = face.inward(surface, t);
            q
        };
        // The head sits half a screw from the end; its line rises by a quarter toward the end.
        let seat = long.half();
        let line = |e: Length| p.thick.half() - e / 4;
        let half = pocket_half();
        let out = p.thick * 2 + half * 4;
        let mut outline = vec![at(seat, line(seat) + half), at(out, Length::ZERO)];
        let near = p.thick * 2 - half * 4;
        if near > seat {
            outline.extend([at(near, Length::ZERO), at(seat, line(seat) - half)]);
        } else {
            outline.push(at(seat, Length::ZERO));
        }
        let mut cut = work(
            CutKind::PocketHole,
            Vec::new(),
            face,
            along,
            pocket_wide(),
            line(seat) + half,
            id,
            None,
            &j.origin,
        );
        cut.solids = places
            .iter()
            .map(|place| Work::Prism {
                axis: along,
                outline: outline.clone(),
                lo: place[along.index()] - pocket_wide().half(),
                hi: place[along.index()] + pocket_wide().half(),
            })
            .collect();
        self.panels[j.a].cuts.push(cut);
    }

    /// Slots for wooden buttons, in the hidden face of the second part.
    pub(super) fn cut_buttons(&mut self, j: &JointWork, id: JointId) {
        let Some((kind, places)) = self.connector_of(j) else {
            return;
        };
        let HardwareKind::Button {
            wide,
            thick,
            deep,
            below,
        } = kind
        else {
            return;
        };
        let p = &self.panels[j.b];
        if p.axis == j.edge.axis() {
            let report = Diagnostic::new(
                &code::JOIN_NO_ROOM,
                format!("no slots for buttons in `{}`", p.name),
                j.origin.span,
                "it is met with its face",
            )
            .note("a button sits in a slot beside the edge that carries the top")
            .help("use screws here");
            self.sink.push(report);
            return;
        }
        let face = self.hidden_face(j.b);
        let along = longest_axis(&j.contact);
        let (surface, under) = (p.core.face(face), j.contact.face(j.edge));
        let slot = |at: &[Length; 3]| {
            let mut slot = Box3 { lo: *at, hi: *at };
            for edge in [along.low(), along.high()] {
                slot.grow(edge, wide.half() + Length::mm(BUTTON_PLAY_MM));
            }
            let back = j.edge.opposite();
            slot.set_face(back, back.inward(under, below));
            slot.set_face(j.edge, back.inward(under, below + thick));
            slot.set_face(face, surface);
            slot.set_face(face.opposite(), face.inward(surface, deep));
            slot
        };
        let cut = work(
            CutKind::ButtonSlot,
            places.iter().map(slot).collect(),
            face,
            along,
            thick,
            deep,
            id,
            None,
            &j.origin,
        );
        self.panels[j.b].cuts.push(cut);
    }
}
