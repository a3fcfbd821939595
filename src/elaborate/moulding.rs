//! Mouldings that wrap around a case (placement rules 1.3): strips outside the envelope, mitred or
//! butted at the corners, glued to what they lie against.

use super::build::{Builder, CutWork, JointWork, Panel, ThingKind, Work};
use super::stmt::Stmt;
use super::{Poison, Res, label};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{Axis, Box3, CutKind, Edge, JointKind, Role};
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
        let mut returned: Vec<Box3> = Vec::new();
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
            if line.has("returned") {
                for end in self.ends_in_sight(body, *edge, &edges) {
                    let turned = self.return_moulding(id, *edge, end, line)?;
                    made.push((turned, *edge));
                    returned.push(self.panels[turned].finished);
                }
            }
        }
        if line.has("returned") && returned.is_empty() {
            let report = Diagnostic::new(
                &code::NAME_WORD_NOT_HERE,
                format!("no end of `{}` is in sight", line.name()),
                line.clause("returned")
                    .map_or(line.head_span, |c| c.of.span),
                "nothing to return",
            );
            self.sink
                .push(report.help("leave it out; `seen` of the case says which of its sides show"));
        }
        let all = made.iter().map(|(id, _)| *id).collect();
        self.name(body, line.name(), line.named(), ThingKind::Panels(all))?;
        for (id, edge) in made {
            self.glue_moulding(body, id, edge, &returned, line);
        }
        Ok(())
    }

    /// The ends of a moulding that no other covers, on sides of the case that show.
    fn ends_in_sight(&self, body: usize, edge: Edge, edges: &[Edge]) -> Vec<Edge> {
        let seen = &self.bodies[body].seen;
        let open = |end: &Edge| !edges.contains(end) && seen.contains(end);
        corners(edge).filter(open).collect()
    }

    /// Closes an end with a mitred piece of the same section, whose face is level with the side of the
    /// case there.
    fn return_moulding(
        &mut self,
        strip: usize,
        edge: Edge,
        end: Edge,
        line: &Rc<Stmt>,
    ) -> Res<usize> {
        self.room_for_more(line.head_span)?;
        self.mitre_moulding(strip, edge, end, line);
        let taken = self.take_stock(line, Role::Moulding)?;
        let p = &self.panels[strip];
        let (body, name, path, label) = (p.body, p.name.clone(), p.path.clone(), p.label.clone());
        let mut b = p.finished;
        b.set_face(end.opposite(), end.inward(b.face(end), taken.thick));
        // Where they meet when both are square.
        let mut contact = b;
        contact.set_face(end, b.face(end.opposite()));
        self.panels.push(Panel {
            name,
            path: format!("{path}.return_{}", end.word()),
            label: format!("{label}, return"),
            role: Role::Moulding,
            grain: edge.axis(),
            ..Panel::placed(body, line, &taken, end.axis(), b)
        });
        let id = self.panels.len() - 1;
        self.bodies[body].panels.push(id);
        self.mitre_moulding(id, end, edge, line);
        let both = self.joints_of.entry((strip, id));
        both.or_default().push(self.joints.len());
        self.joints.push(JointWork::glued(
            JointKind::Mitre,
            [id, strip],
            end.opposite(),
            contact,
            body,
            line,
        ));
        Ok(id)
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

    /// It is glued flat to every panel of the case that it lies against; where its end is mitred for a
    /// return, that lies there instead.
    fn glue_moulding(
        &mut self,
        body: usize,
        id: usize,
        edge: Edge,
        returned: &[Box3],
        line: &Stmt,
    ) {
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
            let own = self.panels[id].finished;
            let gone = |b: &Box3| *b != own && b.meet(&contact) == Some(contact);
            if returned.iter().any(gone) {
                continue;
            }
            let both = self.joints_of.entry((id.min(other), id.max(other)));
            both.or_default().push(self.joints.len());
            self.joints.push(JointWork::glued(
                JointKind::Butt,
                [id, other],
                met,
                contact,
                body,
                line,
            ));
        }
    }
}

/// The ends of a moulding at a side.
fn corners(edge: Edge) -> impl Iterator<Item = Edge> {
    let axis = edge.axis().third(Axis::Z);
    [axis.low(), axis.high()].into_iter()
}
