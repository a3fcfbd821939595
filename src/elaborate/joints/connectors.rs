//! Joints that something else holds: biscuits, screws, nails, bolts.

use super::cut::work;
use crate::diag::{Diagnostic, code};
use crate::elaborate::build::{Builder, JointWork, Work};
use crate::elaborate::project::thing_use;
use crate::elaborate::stmt::{Scoped, Stmt};
use crate::elaborate::{Poison, Res, value};
use crate::measure::{Length, Rational};
use crate::model::{
    Axis, Box3, CutKind, Edge, HardwareId, HardwareKind, JointId, JointKind, StockKind,
};
use crate::schema::Clause;

impl Builder<'_> {
    /// The connector of a joint, how many a meeting, and `from_ends`.
    pub fn fastener(
        &mut self,
        with: &Scoped<Clause>,
        kind: JointKind,
    ) -> Res<Option<(HardwareId, u32, Option<Length>)>> {
        if !kind.is_fastened() {
            return Ok(None);
        }
        let n = match with.of.values.get(1) {
            Some(n) => value::count(self, &with.env, n)?,
            None => 1,
        };
        let of = with.of.tail("of").and_then(Clause::value).ok_or(Poison)?;
        let name = thing_use(self, &with.env, of)?;
        let project = self.project;
        let (id, data) = project.hardware(self, &name)?;
        let fits = matches!(
            (kind, &data.kind),
            (JointKind::Biscuits, HardwareKind::Biscuit { .. })
                | (JointKind::Dowels, HardwareKind::Dowel { .. })
                | (JointKind::LooseTenons, HardwareKind::LooseTenon { .. })
                | (JointKind::Buttons, HardwareKind::Button { .. })
                | (
                    JointKind::Screws | JointKind::PocketScrews,
                    HardwareKind::Screw { .. }
                )
                | (JointKind::Bolts, HardwareKind::Bolt { .. })
                | (JointKind::Nails, HardwareKind::Nail { .. })
        );
        if !fits {
            let word = with
                .of
                .value()
                .and_then(|v| v.as_name())
                .unwrap_or("connectors");
            self.sink.push(
                Diagnostic::new(
                    &code::TYPE_MISMATCH,
                    format!("`{}` is not for a joint with {word}", data.name),
                    name.span,
                    format!(
                        "this is a {}",
                        crate::elaborate::label::hardware(&data.kind)
                    ),
                )
                .at(data.origin.span, "declared here")
                .help(format!(
                    "name hardware that is a {}",
                    word.trim_end_matches('s')
                )),
            );
            return Err(Poison);
        }
        if let Some(from_ends) = with.of.tail("from_ends").filter(|_| n == 1) {
            self.sink.push(
                Diagnostic::new(
                    &code::NAME_WORD_NOT_HERE,
                    "`from_ends` of one connector",
                    from_ends.span,
                    "it sits in the middle",
                )
                .help("leave `from_ends` out, or set two"),
            );
            return Err(Poison);
        }
        let from_ends = match with.of.tail("from_ends").and_then(Clause::value) {
            Some(value) => Some(value::length_not_negative(self, &with.env, value)?),
            None => None,
        };
        Ok(Some((id, n, from_ends)))
    }

    /// The end of a meeting to which the slots of its connectors run out.
    pub(super) fn open_to(&mut self, with: &Scoped<Clause>, contact: &Box3) -> Res<Option<Edge>> {
        let Some(value) = with.of.tail("open_to").and_then(Clause::value) else {
            return Ok(None);
        };
        let along = longest_axis(contact);
        let edge = value.as_name().and_then(Edge::from_word);
        if let Some(edge) = edge.filter(|edge| edge.axis() == along) {
            return Ok(Some(edge));
        }
        self.sink.push(
            Diagnostic::new(
                &code::NAME_UNKNOWN_EDGE,
                "slots run out at an end of the meeting",
                value.span,
                "not one of its ends",
            )
            .help(format!(
                "it ends at the {} and the {}",
                along.low().word(),
                along.high().word()
            )),
        );
        Err(Poison)
    }

    /// What of the second part is cut for connectors that slide in from an end: one groove from there
    /// to the farthest of them.
    pub(super) fn open_groove(&mut self, j: &JointWork, id: JointId, edge: Edge, slots: &[Box3]) {
        let b = &self.panels[j.b];
        let mut whole = slots.iter().copied().reduce(|all, slot| all.union(&slot));
        if let Some(groove) = &mut whole {
            groove.set_face(edge, b.core.face(edge));
        }
        let Some(groove) = whole else { return };
        let kind = if j.edge.axis() != b.axis {
            CutKind::EdgeGroove
        } else if edge.axis() == b.grain {
            CutKind::Groove
        } else {
            CutKind::Dado
        };
        let across = j.edge.axis().third(edge.axis());
        let cut = work(
            kind,
            vec![groove],
            j.edge.opposite(),
            edge.axis(),
            groove.extent(across),
            groove.extent(j.edge.axis()),
            id,
            Some(j.a),
            &j.origin,
        );
        self.panels[j.b].cuts.push(cut);
    }

    /// The places of connectors on a meeting (rule 2.1).
    pub fn connector_places(
        &mut self,
        contact: &Box3,
        n: u32,
        from_ends: Option<Length>,
        line: &Stmt,
        a: usize,
    ) -> Res<Vec<[Length; 3]>> {
        let long = longest_axis(contact);
        let stations = self.stations(contact.extent(long), n, from_ends, line, a)?;
        let place = |along: Length| {
            let mut at = Axis::ALL.map(|axis| contact.middle(axis));
            at[long.index()] = contact.lo[long.index()] + along;
            at
        };
        Ok(stations.into_iter().map(place).collect())
    }

    /// Where several stand along a meeting, from its low end (rule 2.1).
    pub(super) fn stations(
        &mut self,
        length: Length,
        n: u32,
        from_ends: Option<Length>,
        line: &Stmt,
        a: usize,
    ) -> Res<Vec<Length>> {
        let from = from_ends.unwrap_or_else(|| Length::mm(60).min(length / 4));
        if from * 2 > length {
            let units = self.units;
            let report = Diagnostic::new(
                &code::JOIN_NO_ROOM,
                format!("no room for the connectors of `{}`", self.panels[a].name),
                line.clause("with").map_or(line.span, |c| {
                    c.of.tail("from_ends").map_or(c.of.span, |t| t.span)
                }),
                "so far from both ends",
            )
            .note(format!(
                "2 x {} is more than the meeting, {}",
                units.text(from),
                units.text(length)
            ))
            .help(format!(
                "half of the meeting is {}: stay within it",
                units.text(length.half())
            ));
            self.sink.push(report);
            return Err(Poison);
        }
        self.room_for_holes(n, line.head_span)?;
        let rest = length - from * 2;
        let station = |i: u32| match n {
            1 => length.half(),
            _ => from + rest.scale(Rational::new(i128::from(i), i128::from(n) - 1)),
        };
        Ok((0..n).map(station).collect())
    }

    /// What holds a joint, and where.
    pub(super) fn connector_of(&self, j: &JointWork) -> Option<(HardwareKind, Vec<[Length; 3]>)> {
        let (hardware, places) = j.fastening.as_ref()?;
        let (_, data) = self.project.hardware.get_index(hardware.0 as usize)?;
        Some((data.kind.clone(), places.clone()))
    }

    pub(super) fn cut_biscuits(&mut self, j: &JointWork, id: JointId) {
        let Some((HardwareKind::Biscuit { long, wide, thick }, places)) = self.connector_of(j)
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
            if let Some(edge) = j.open_to.filter(|_| panel == j.b) {
                self.open_groove(j, id, edge, &slots);
                continue;
            }
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
    pub(super) fn cut_bolts(&mut self, j: &JointWork, id: JointId) {
        let Some((HardwareKind::Bolt { thick, .. }, places)) = self.connector_of(j) else {
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

    /// Whether a part is of solid wood.
    pub(super) fn is_solid(&self, panel: usize) -> bool {
        let stock = self.panels[panel].stock.0 as usize;
        let stock = self.project.stocks.get_index(stock);
        stock.is_some_and(|(_, stock)| matches!(stock.kind, StockKind::Board { .. }))
    }

    /// Clearance through the part that is met with its face, a pilot in the one that holds.
    pub(super) fn cut_screws(&mut self, j: &JointWork, id: JointId) {
        let Some((HardwareKind::Screw { long, thick }, places)) = self.connector_of(j) else {
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
        // A slot lies the way in which solid wood moves: across the grain of the part that is held, where
        // that is a board; else across that of the part with the slots.
        let slot = j.slotted.then(|| {
            let moving = if self.is_solid(holds) { holds } else { through };
            let (axis, grain) = (into.axis(), self.panels[moving].grain);
            if grain == axis {
                axis.third(self.panels[moving].axis)
            } else {
                axis.third(grain)
            }
        });
        let mut head = Vec::new();
        let mut pilot = Vec::new();
        for at in &places {
            let mut mouth = *at;
            mouth[into.axis().index()] = self.panels[through].finished.face(into.opposite());
            head.push(match slot {
                None => Work::Bore {
                    mouth,
                    entry: into.opposite(),
                    diameter: thick,
                    depth: passed,
                },
                Some(way) => {
                    let mut b = Box3 {
                        lo: mouth,
                        hi: mouth,
                    };
                    for axis in [way, into.axis().third(way)] {
                        let play = if axis == way { SLOT_PLAY_MM } else { 0 };
                        for edge in [axis.low(), axis.high()] {
                            b.grow(edge, thick.half() + Length::mm(play));
                        }
                    }
                    b.grow(into, passed);
                    Work::Box(b)
                }
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
            if slot.is_some() {
                CutKind::ScrewSlot
            } else {
                CutKind::ScrewHole
            },
            Vec::new(),
            into.opposite(),
            slot.unwrap_or(along),
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

/// Room on each side of a screw in its slot, in millimetres, as of a button.
const SLOT_PLAY_MM: i64 = 5;

/// The axis of the longer side of a flat box.
pub fn longest_axis(b: &Box3) -> Axis {
    let mut best = Axis::X;
    for axis in [Axis::Y, Axis::Z] {
        if b.extent(axis) > b.extent(best) {
            best = axis;
        }
    }
    best
}
