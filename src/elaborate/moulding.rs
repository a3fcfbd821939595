//! Mouldings that wrap around a case (placement rules 1.3): strips outside the envelope, mitred or
//! butted at the corners, glued to what they lie against.

use super::build::{Builder, CutWork, JointWork, Panel, ThingKind, Work};
use super::stmt::Stmt;
use super::{Poison, Res, label};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{Axis, CutKind, Edge, JointKind, Role};
use std::rc::Rc;

const AROUND: [Edge; 4] = [Edge::Front, Edge::Left, Edge::Right, Edge::Rear];

impl Builder<'_> {
    /// The mouldings of a case, its panels being placed.
    pub fn make_mouldings(&mut self, body: usize) {
        let stmt = self.bodies[body].stmt.clone();
        for line in stmt.forms("moulding").filter(|l| !l.damaged) {
            let done = self.make_moulding(body, &Rc::new(line.clone()));
            self.settle(done);
        }
    }

    fn make_moulding(&mut self, body: usize, line: &Rc<Stmt>) -> Res<()> {
        let edges = self.moulded_edges(line)?;
        let taken = self.take_stock(line, Role::Moulding)?;
        let high = super::declare::clause_length(self, line, "high")?.ok_or(Poison)?;
        let at = super::declare::clause_length(self, line, "at")?.unwrap_or_default();
        let mitred = line.has("mitred");
        let env = self.bodies[body].envelope;
        let mut made = Vec::new();
        for edge in &edges {
            let mut b = env;
            b.set_face(Edge::Bottom, env.face(Edge::Bottom) + at);
            b.set_face(Edge::Top, env.face(Edge::Bottom) + at + high);
            b.set_face(edge.opposite(), env.face(*edge));
            b.grow(*edge, taken.thick);
            // Round a corner both go on to the point; butted, what lies in front covers the ends.
            let covers = matches!(edge, Edge::Front | Edge::Rear);
            for end in corners(*edge).filter(|end| edges.contains(end)) {
                if mitred || covers {
                    b.grow(end, taken.thick);
                }
            }
            self.room_for_more(line.head_span)?;
            let name = line.name();
            self.panels.push(Panel {
                name: name.to_owned(),
                path: format!("{}.{name}.{}", self.bodies[body].path, edge.word()),
                label: format!("{}, {}", label::panel(name, Role::Moulding), edge.word()),
                role: Role::Moulding,
                grain: edge.axis().third(Axis::Z),
                ..Panel::placed(body, line, &taken, edge.axis(), b)
            });
            let id = self.panels.len() - 1;
            self.bodies[body].panels.push(id);
            if mitred {
                for end in corners(*edge).filter(|end| edges.contains(end)) {
                    self.mitre_moulding(id, *edge, end, line);
                }
            }
            made.push((id, *edge));
        }
        let all = made.iter().map(|(id, _)| *id).collect();
        self.name(body, line.name(), line.named(), ThingKind::Panels(all))?;
        for (id, edge) in made {
            self.glue_moulding(body, id, edge, line);
        }
        Ok(())
    }

    fn moulded_edges(&mut self, line: &Stmt) -> Res<Vec<Edge>> {
        let on = line.clause("on").cloned().ok_or(Poison)?;
        let mut out = Vec::new();
        for word in &on.of.values {
            match word.as_name() {
                Some("all") => out.extend(AROUND),
                text => match text.and_then(Edge::from_word) {
                    Some(edge) if edge.axis() != Axis::Z => out.push(edge),
                    _ => {
                        self.sink.push(
                            Diagnostic::new(
                                &code::PLACE_AXIS,
                                "a moulding does not run there",
                                word.span,
                                "not a side of the case",
                            )
                            .help("it wraps around `front`, `left`, `right`, `rear`; `at` says how high"),
                        );
                        return Err(Poison);
                    }
                },
            }
        }
        out.sort_by_key(|edge| AROUND.iter().position(|e| e == edge));
        out.dedup();
        Ok(out)
    }

    /// Takes the inner corner off an end: long point outside.
    fn mitre_moulding(&mut self, panel: usize, edge: Edge, end: Edge, line: &Stmt) {
        let p = &self.panels[panel];
        let (b, thick) = (p.core, p.thick);
        let point = |out: Length, along: Length| {
            let mut q = [Length::ZERO; 3];
            q[edge.axis().index()] = out;
            q[end.axis().index()] = along;
            q
        };
        let (outer, inner, tip) = (b.face(edge), b.face(edge.opposite()), b.face(end));
        let root = end.inward(tip, thick);
        let cut = CutWork {
            kind: CutKind::Mitre,
            solids: vec![Work::Prism {
                axis: Axis::Z,
                outline: vec![point(outer, tip), point(inner, root), point(inner, tip)],
                lo: b.face(Edge::Bottom),
                hi: b.face(Edge::Top),
            }],
            entry: end,
            along: Axis::Z,
            width: thick,
            depth: thick,
            fit: Length::ZERO,
            relief: Length::ZERO,
            joint: None,
            filler: None,
            origin: line.origin(),
        };
        self.panels[panel].cuts.push(cut);
    }

    /// It is glued flat to every panel of the case that it lies against.
    fn glue_moulding(&mut self, body: usize, id: usize, edge: Edge, line: &Stmt) {
        for other in self.bodies[body].panels.clone() {
            if self.panels[other].role == Role::Moulding {
                continue;
            }
            let Some((met, contact)) = self.meeting(id, other) else {
                continue;
            };
            if met != edge.opposite() {
                continue;
            }
            let both = self.joints_of.entry((id.min(other), id.max(other)));
            both.or_default().push(self.joints.len());
            self.joints.push(JointWork {
                kind: JointKind::Butt,
                a: id,
                b: other,
                edge: met,
                deep: Length::ZERO,
                contact,
                glued: true,
                slotted: false,
                open_to: None,
                fastening: None,
                body,
                origin: line.origin(),
            });
        }
    }
}

/// The ends of a moulding at a side.
fn corners(edge: Edge) -> impl Iterator<Item = Edge> {
    let axis = edge.axis().third(Axis::Z);
    [axis.low(), axis.high()].into_iter()
}
