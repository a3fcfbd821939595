//! Slips across a mitre: a spline in slots of both faces, and keys in slots that are sawn across the
//! corner when it is glued. Both stand at 45 degrees to the parts that they hold, and are parts of their own,
//! their grain across the joint.

use super::Options;
use super::cut::work;
use crate::diag::{Diagnostic, code};
use crate::elaborate::build::{Aslant, Builder, JointWork, Panel, Work};
use crate::elaborate::panels::Taken;
use crate::elaborate::stmt::{Scoped, Stmt};
use crate::elaborate::{Poison, Res, label, value};
use crate::measure::{Length, Rational};
use crate::model::{Axis, Box3, CutKind, JointId, JointKind, Role, Size};
use crate::schema::Clause;
use std::rc::Rc;

/// The least wood between a slot and a surface that it is not to break, in millimetres (common practice).
const LEAST_WOOD_MM: i64 = 3;

/// One by the root of 2, to within a part in a hundred million.
fn half_root() -> Rational {
    Rational::new(5741, 8119)
}

/// What holds a mitre besides its glue.
#[derive(Debug)]
pub struct Slips {
    /// How many keys; none: one spline along all of it.
    pub keys: Option<u32>,
    /// What they are made of, and how thick.
    pub taken: Taken,
    /// How far a spline enters each part; of a key, from the outer corner inward.
    pub deep: Length,
    /// Of the first and the last key.
    pub from_ends: Option<Length>,
    /// The line.
    line: Rc<Stmt>,
}

/// The corner of a mitre in the plane across it: where its faces begin and which way they run.
pub(super) struct Corner {
    /// The axes of the plane: along the first part, and through it.
    pub(super) axes: [Axis; 2],
    /// The outer corner.
    pub(super) outer: [Length; 2],
    /// Whether inward is toward the high end of each.
    pub(super) up: [bool; 2],
    /// How far the mitre runs inward along each.
    pub(super) thick: Length,
}

impl Corner {
    /// A point so far inward along each axis.
    fn at(&self, inward: [Length; 2]) -> [Length; 3] {
        let mut p = [Length::ZERO; 3];
        for i in 0..2 {
            let by = if self.up[i] { inward[i] } else { -inward[i] };
            p[self.axes[i].index()] = self.outer[i] + by;
        }
        p
    }
}

impl Builder<'_> {
    /// `splined` or `keyed n` of a mitre.
    pub(super) fn slips(&mut self, line: &Stmt, with: &Scoped<Clause>) -> Res<Option<Slips>> {
        let keyed = with.of.tail("keyed");
        if keyed.is_none() && with.of.tail("splined").is_none() {
            return Ok(None);
        }
        let keys = match keyed.and_then(Clause::value) {
            Some(n) => Some(value::count(self, &with.env, n)?),
            None => None,
        };
        let option = |word: &str| {
            with.of.tail(word).map(|clause| Scoped {
                of: clause.clone(),
                env: with.env.clone(),
            })
        };
        let role = if keys.is_some() {
            Role::Key
        } else {
            Role::Spline
        };
        let Some(of) = option("of") else {
            if !line.damaged {
                self.sink.push(
                    Diagnostic::new(
                        &code::LINE_NEEDS,
                        format!("a {} does not say what it is made of", label::role(role)),
                        with.of.span,
                        "no stock",
                    )
                    .help("add `of` with the name of a stock"),
                );
            }
            return Err(Poison);
        };
        let made = (label::role(role), line.damaged);
        let taken = self.take_of(&of, option("thick"), made, role)?;
        let deep = self.option_length(with, "deep", line)?;
        let from_ends = match with.of.tail("from_ends").and_then(Clause::value) {
            Some(value) => Some(value::length_not_negative(self, &with.env, value)?),
            None => None,
        };
        Ok(Some(Slips {
            keys,
            taken,
            deep,
            from_ends,
            line: Rc::new(line.clone()),
        }))
    }

    /// Slots and slips of a mitre.
    pub(super) fn cut_slips(&mut self, j: &JointWork, id: JointId, o: &Options, corner: &Corner) {
        let Some(slips) = &o.slips else { return };
        let along = corner.axes[0].third(corner.axes[1]);
        let run = [along.low(), along.high()].map(|end| {
            let [a, b] = [j.a, j.b].map(|p| self.panels[p].core.face(end));
            if end.is_high() { a.min(b) } else { a.max(b) }
        });
        let done = match slips.keys {
            Some(n) => self.cut_keys(j, id, slips, n, corner, along, run),
            None => self.cut_spline(j, id, slips, corner, along, run),
        };
        self.settle(done);
    }

    /// A slot in each face, square to it, a third of its length from the inner corner, where there is
    /// most wood behind it.
    fn cut_spline(
        &mut self,
        j: &JointWork,
        id: JointId,
        slips: &Slips,
        corner: &Corner,
        along: Axis,
        run: [Length; 2],
    ) -> Res<()> {
        let r = half_root();
        let (thick, deep) = (slips.taken.thick, slips.deep);
        let middle = corner.thick * 2 / 3;
        let (half, depth) = (thick.half().scale(r), deep.scale(r));
        let left = [
            // From a corner of the slot to the outer face, and from its wall to the inner corner.
            middle - half - (deep + self.project.shop.relief_groove).scale(r),
            (corner.thick - middle - half).scale(Rational::int(2) * r),
        ];
        if left.into_iter().min() < Some(Length::mm(LEAST_WOOD_MM)) {
            return self.report_thin_mitre(j, corner, left);
        }
        let fit = self.project.shop.fit;
        let relief = self.project.shop.relief_groove;
        // Square to the face by so much into the first part, along it by so much toward the inside.
        let at = |into: Length, inside: Length| {
            corner.at([middle + into + inside, middle - into + inside])
        };
        let rect = |near: Length, far: Length, low: Length, high: Length| {
            vec![at(near, low), at(far, low), at(far, high), at(near, high)]
        };
        let floor = (deep + relief).scale(r);
        let wall = half + fit.scale(r);
        for (panel, other, into) in [(j.a, j.b, floor), (j.b, j.a, -floor)] {
            let end = if panel == j.a {
                j.edge
            } else {
                self.corner(j.a, j.b)
            };
            let mut cut = work(
                CutKind::SplineSlot,
                Vec::new(),
                end,
                along,
                thick + fit,
                deep + relief,
                id,
                Some(other),
                &j.origin,
            );
            (cut.fit, cut.relief) = (fit, relief);
            cut.solids = vec![Work::Prism {
                axis: along,
                outline: rect(Length::ZERO, into, -half, wall),
                lo: run[0],
                hi: run[1],
            }];
            self.panels[panel].cuts.push(cut);
        }
        let outline = rect(-depth, depth, -half, half);
        let size = Size {
            length: deep * 2,
            width: run[1] - run[0],
            thick,
        };
        let lay = [corner.axes[0], along, corner.axes[1]];
        self.push_slip(j, slips, Role::Spline, &outline, run, size, lay)
    }

    /// Slots across the corner as deep as stated, measured from it, and a key in each.
    fn cut_keys(
        &mut self,
        j: &JointWork,
        id: JointId,
        slips: &Slips,
        n: u32,
        corner: &Corner,
        along: Axis,
        run: [Length; 2],
    ) -> Res<()> {
        let r = half_root();
        let (thick, deep) = (slips.taken.thick, slips.deep);
        // From the corner along each face to where the slot comes out of it.
        let leg = deep.scale(Rational::int(2) * r);
        let left = corner.thick.scale(Rational::int(2) * r) - deep;
        if left < Length::mm(LEAST_WOOD_MM) {
            return self.report_thin_mitre(j, corner, [left, left]);
        }
        let places = self.stations(run[1] - run[0], n, slips.from_ends, &slips.line, j.a)?;
        let web = self.project.shop.web.max(Length::mm(LEAST_WOOD_MM));
        let ends = [Length::ZERO, run[1] - run[0]];
        let near = places.windows(2).map(|p| p[1] - p[0] - thick);
        let near = near.chain(places.first().map(|p| *p - thick.half() - ends[0]));
        let near = near.chain(places.last().map(|p| ends[1] - *p - thick.half()));
        if let Some(close) = near.min().filter(|left| *left < web) {
            let text = |length| self.units.text(length);
            let report = Diagnostic::new(
                &code::JOIN_NO_ROOM,
                format!(
                    "no room for {n} keys at the corner of `{}`",
                    self.panels[j.a].name
                ),
                j.origin.at("keyed"),
                format!("{} of wood beside one", text(close)),
            )
            .note(format!("{} are left at least (common practice)", text(web)))
            .help("fewer or thinner keys, or another `from_ends`");
            self.sink.push(report);
            return Err(Poison);
        }
        let fit = self.project.shop.fit;
        let clipped = |most: [Length; 2]| -> Vec<[Length; 3]> {
            // The triangle at the corner, as far as a part goes.
            let [e, c] = most.map(|most| most.min(leg));
            let mut out = vec![corner.at([Length::ZERO; 2]), corner.at([e, Length::ZERO])];
            if e < leg {
                out.push(corner.at([e, leg - e]));
            }
            if c < leg {
                out.push(corner.at([leg - c, c]));
            }
            out.push(corner.at([Length::ZERO, c]));
            out
        };
        let slots = |outline: Vec<[Length; 3]>| -> Vec<Work> {
            let slot = |at: &Length| Work::Prism {
                axis: along,
                outline: outline.clone(),
                lo: run[0] + *at - thick.half(),
                hi: run[0] + *at + thick.half() + fit,
            };
            places.iter().map(slot).collect()
        };
        for panel in [j.a, j.b] {
            let core = self.panels[panel].core;
            let end = if panel == j.a {
                j.edge
            } else {
                self.corner(j.a, j.b)
            };
            let mut cut = work(
                CutKind::KeySlot,
                Vec::new(),
                end,
                along,
                thick + fit,
                deep,
                id,
                None,
                &j.origin,
            );
            cut.fit = fit;
            cut.solids = slots(clipped(corner.axes.map(|axis| core.extent(axis))));
            self.panels[panel].cuts.push(cut);
        }
        let outline =
            [[Length::ZERO; 2], [leg, Length::ZERO], [Length::ZERO, leg]].map(|p| corner.at(p));
        let size = Size {
            length: deep * 2,
            width: deep,
            thick,
        };
        let lay = [corner.axes[0], corner.axes[1], along];
        for at in places {
            let within = [run[0] + at - thick.half(), run[0] + at + thick.half()];
            self.push_slip(j, slips, Role::Key, &outline, within, size, lay)?;
        }
        Ok(())
    }

    /// A slip as a part of its own, glued to both parts of the mitre; `lay` has the axes of its length,
    /// width and thickness, as near as it lies to them.
    fn push_slip(
        &mut self,
        j: &JointWork,
        slips: &Slips,
        role: Role,
        outline: &[[Length; 3]],
        run: [Length; 2],
        size: Size,
        lay: [Axis; 3],
    ) -> Res<()> {
        self.room_for_more(j.origin.span)?;
        let along = if role == Role::Spline { lay[1] } else { lay[2] };
        let spot = |p: &[Length; 3]| Box3 { lo: *p, hi: *p };
        let mut round = spot(&outline[0]);
        for p in outline {
            round = round.union(&spot(p));
        }
        (round.lo[along.index()], round.hi[along.index()]) = (run[0], run[1]);
        let (a, b) = (&self.panels[j.a].name, &self.panels[j.b].name);
        let name = format!("{a}_{b}_{}", label::role(role));
        let many = slips.keys.is_some_and(|n| n > 1);
        let before = self
            .panels
            .iter()
            .filter(|p| p.name == name && p.body == j.body);
        let index = match (many, u32::try_from(before.count() + 1)) {
            (true, Ok(n)) => vec![n],
            _ => Vec::new(),
        };
        let panel = Panel {
            path: format!(
                "{}.{}",
                self.bodies[j.body].path,
                label::indexed(&name, &index)
            ),
            name,
            index,
            label: label::within(&format!("{a}_{b}"), label::role(role)),
            role,
            grain: lay[0],
            aslant: Some(Aslant {
                size,
                off: corners_off(outline, &round, along),
            }),
            ..Panel::placed(j.body, &slips.line, &slips.taken, lay[2], round)
        };
        self.panels.push(panel);
        let slip = self.panels.len() - 1;
        self.bodies[j.body].panels.push(slip);
        for part in [j.a, j.b] {
            let contact = match round.meet(&self.panels[part].core) {
                Some(both) => both,
                None => round,
            };
            let kind = if role == Role::Key {
                JointKind::Key
            } else {
                JointKind::Spline
            };
            let both = self.joints_of.entry((part.min(slip), part.max(slip)));
            both.or_default().push(self.joints.len());
            self.joints.push(JointWork {
                kind,
                a: slip,
                b: part,
                edge: if part == j.a {
                    j.edge.opposite()
                } else {
                    j.edge
                },
                deep: slips.deep,
                contact: flat_toward(contact, kind, along),
                glued: j.glued,
                glued_along: None,
                slotted: false,
                open_to: None,
                fastening: None,
                body: j.body,
                origin: j.origin.clone(),
            });
        }
        Ok(())
    }

    fn report_thin_mitre(&mut self, j: &JointWork, corner: &Corner, left: [Length; 2]) -> Res<()> {
        let text = |length: Length| {
            if length.is_positive() {
                format!("{} of wood is left", self.units.text(length))
            } else {
                "no wood is left".to_owned()
            }
        };
        let (a, b) = (&self.panels[j.a].name, &self.panels[j.b].name);
        let least = left.into_iter().min().unwrap_or_default();
        let report = Diagnostic::new(
            &code::JOIN_NO_ROOM,
            format!("the slot in the mitre of `{a}` and `{b}` comes too near to a surface"),
            j.origin.at("deep"),
            text(least),
        )
        .note(format!(
            "a mitre of parts {} thick; {} of wood stays on every side of a slot (common practice)",
            self.units.text(corner.thick),
            self.units.text(Length::mm(LEAST_WOOD_MM))
        ))
        .help("let it enter less deep, or use thinner stock for it");
        self.sink.push(report);
        Err(Poison)
    }
}

/// A meeting is flat: of a key its side, of a spline the plane through its middle.
fn flat_toward(mut contact: Box3, kind: JointKind, along: Axis) -> Box3 {
    let flat = match kind {
        JointKind::Key => along,
        _ if along == Axis::X => Axis::Z,
        _ => Axis::X,
    };
    let low = if kind == JointKind::Key {
        contact.face(flat.low())
    } else {
        contact.middle(flat)
    };
    contact.set_face(flat.low(), low);
    contact.set_face(flat.high(), low);
    contact
}

/// What of the box round a convex outline lies outside of it: a triangle at each of its corners that is
/// off.
fn corners_off(outline: &[[Length; 3]], round: &Box3, along: Axis) -> Vec<Work> {
    let [e, c] = [0, 1, 2]
        .into_iter()
        .filter(|i| *i != along.index())
        .collect::<Vec<_>>()[..]
    else {
        return Vec::new();
    };
    let n = outline.len();
    (0..n)
        .filter_map(|i| {
            let (p, q) = (outline[i], outline[(i + 1) % n]);
            if p[e] == q[e] || p[c] == q[c] {
                return None;
            }
            // Of the two other corners of the box round a slanted side, the one outside is the box's own.
            let is_corner = |x: Length, y: Length| {
                (x == round.lo[e] || x == round.hi[e]) && (y == round.lo[c] || y == round.hi[c])
            };
            let own = |x: Length, y: Length| outline.iter().any(|o| (o[e], o[c]) == (x, y));
            let mut corners = [(p[e], q[c]), (q[e], p[c])].into_iter();
            let corner = corners.find(|(x, y)| is_corner(*x, *y) && !own(*x, *y))?;
            let mut third = p;
            (third[e], third[c]) = corner;
            Some(Work::Prism {
                axis: along,
                outline: vec![p, q, third],
                lo: round.face(along.low()),
                hi: round.face(along.high()),
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::half_root;

    #[test]
    fn the_root_is_near_enough() {
        let square = half_root() * half_root() * crate::measure::Rational::int(2);
        let off = (square - crate::measure::Rational::ONE).to_f64().abs();
        assert!(off < 1e-7, "{off}");
    }
}
