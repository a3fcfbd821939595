//! The face frame of a case (placement rules 1.5): stiles at both sides, rails above and below, and a
//! member before every part of the front division, centred on it. The panels behind start behind it.
//! Its members are parts of the case; a body of its own only holds their names.

use super::build::{Body, Builder, Item, Panel, Place, Thing, ThingKind};
use super::stmt::Stmt;
use super::{Poison, Res, label};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{AssemblyKind, Axis, Box3, Edge, Role};
use crate::source::Span;
use std::collections::BTreeMap;
use std::rc::Rc;

/// What a member stands before.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Covers {
    /// An edge of the case.
    Edge(Edge),
    /// A part of its division.
    Part(usize),
}

impl Builder<'_> {
    /// Declares the members at the edges of a case, so that what stands behind them knows where to
    /// begin.
    pub(super) fn declare_face_frame(&mut self, body: usize) {
        let stmt = self.bodies[body].stmt.clone();
        let mut frames = stmt.forms("frame");
        let Some(line) = frames.next().cloned().map(Rc::new) else {
            return;
        };
        if let Some(second) = frames.next() {
            let report = Diagnostic::new(
                &code::NAME_TWICE,
                "a case has one face frame",
                second.head_span,
                "a second one",
            )
            .at(line.head_span, "the first");
            self.sink.push(report);
            return;
        }
        let done = self.face_frame(body, &line);
        self.settle(done);
    }

    fn face_frame(&mut self, body: usize, line: &Rc<Stmt>) -> Res<()> {
        let name = line.name().to_owned();
        if let Some(second) = line.names.get(1) {
            let report = Diagnostic::new(
                &code::NAME_UNKNOWN_EDGE,
                "a face frame has one name",
                second.span,
                "a second name",
            )
            .help("its members are called after their edges: `face.left`, `face.top`; `member left wide …` in its block gives one another width");
            self.sink.push(report);
            return Err(Poison);
        }
        let path = format!("{}.{name}", self.bodies[body].path);
        let frame = self.bodies.len();
        self.bodies.push(Body {
            kind: AssemblyKind::Leaf,
            path,
            label: label::words(&name),
            envelope: self.bodies[body].envelope,
            stmt: line.clone(),
            panels: Vec::new(),
            frame: Vec::new(),
            names: BTreeMap::new(),
            seen: Vec::new(),
        });
        self.name(body, &name, line.named(), ThingKind::Fitting)?;
        if let Some(join) = line.forms("join").next() {
            let report = Diagnostic::new(
                &code::NAME_MISPLACED,
                "the members of a face frame are joined by lines of the case",
                join.head_span,
                "one block too far in",
            )
            .help(format!(
                "write `join {name}.rails into {name}.stiles …` in the block of the case"
            ));
            self.sink.push(report);
        }
        self.face_frames.insert(body, frame);
        for edge in [Edge::Left, Edge::Right, Edge::Bottom, Edge::Top] {
            self.face_member(
                body,
                frame,
                line,
                Covers::Edge(edge),
                edge.word().to_owned(),
            )?;
        }
        Ok(())
    }

    /// Members before the parts of the divisions that are seen from the front.
    pub(super) fn divide_face_frame(&mut self, body: usize) {
        let Some(frame) = self.face_frames.get(&body).copied() else {
            return;
        };
        let line = self.bodies[frame].stmt.clone();
        let parts: Vec<usize> = self
            .divisions
            .iter()
            .filter(|d| d.axis != Axis::Y && self.spaces[d.space].body == body)
            .flat_map(|d| &d.items)
            .filter_map(|item| match item {
                Item::Part(part) => Some(*part),
                Item::Opening { .. } => None,
            })
            .collect();
        for part in parts {
            let name = self.panels[part].name.clone();
            let done = self.face_member(body, frame, &line, Covers::Part(part), name);
            self.settle(done);
        }
        self.check_members(frame);
    }

    /// Each `member` line speaks of members that are there, and no two of the same.
    fn check_members(&mut self, frame: usize) {
        let stmt = self.bodies[frame].stmt.clone();
        let mut said: BTreeMap<usize, Span> = BTreeMap::new();
        for line in stmt.forms("member") {
            for name in &line.names {
                let Ok(list) = self.panels_of(frame, name, &line.env) else {
                    continue;
                };
                for member in list {
                    let first = *said.entry(member).or_insert(name.span);
                    if first != name.span {
                        let report = Diagnostic::new(
                            &code::LINE_DOUBLED,
                            format!(
                                "the width of `{}` is stated twice",
                                self.panels[member].path
                            ),
                            name.span,
                            "again here",
                        )
                        .at(first, "first here");
                        self.push_once(report);
                    }
                }
            }
        }
    }

    /// How wide a member is: as its own `member` line says, or as all are.
    pub(super) fn member_width(&mut self, member: usize) -> Res<Length> {
        let stmt = self.panels[member].stmt.clone();
        let p = &self.panels[member];
        let (name, at) = (p.name.clone(), p.index.clone());
        let group = match p.role {
            Role::FaceStile => "stiles",
            _ => "rails",
        };
        for line in stmt.forms("member") {
            for of in &line.names {
                let speaks = of.text == name || of.text == group;
                if speaks && at.starts_with(&self.indices(of, &line.env)?) {
                    return super::declare::clause_length(self, line, "wide")?.ok_or(Poison);
                }
            }
        }
        super::declare::clause_length(self, &stmt, "wide")?.ok_or(Poison)
    }

    fn face_member(
        &mut self,
        body: usize,
        frame: usize,
        line: &Rc<Stmt>,
        covers: Covers,
        name: String,
    ) -> Res<()> {
        self.room_for_more(line.head_span)?;
        let upright = match covers {
            Covers::Edge(edge) => edge.axis() == Axis::X,
            Covers::Part(part) => self.panels[part].pos == Axis::X,
        };
        let role = if upright {
            Role::FaceStile
        } else {
            Role::FaceRail
        };
        let taken = self.take_stock(line, role)?;
        let front = self.bodies[body].envelope.face(Edge::Front);
        let mut faces = [Place::Todo; 6];
        faces[Edge::Front as usize] = Place::At(front);
        faces[Edge::Rear as usize] = Place::At(front + taken.thick);
        let index = match covers {
            Covers::Edge(_) => Vec::new(),
            Covers::Part(part) => self.panels[part].index.clone(),
        };
        let (path, title) = (self.bodies[frame].path.clone(), line.name().to_owned());
        let words = label::words(&name).to_lowercase();
        self.panels.push(Panel {
            name: name.clone(),
            path: format!("{path}.{}", label::indexed(&name, &index)),
            index,
            label: label::within(&title, &format!("{words} {}", label::role(role))),
            role,
            body,
            stmt: line.clone(),
            stock: taken.stock,
            thick: taken.thick,
            axis: Axis::Y,
            pos: Axis::Y,
            edge: Some(Edge::Front),
            within: None,
            faces,
            grain: if upright { Axis::Z } else { Axis::X },
            grained: taken.grain,
            finished: Box3::NONE,
            core: Box3::NONE,
            cuts: Vec::new(),
            bands: Vec::new(),
            host: None,
            aslant: None,
            shaped: Vec::new(),
            growth: Vec::new(),
        });
        let id = self.panels.len() - 1;
        self.covers.insert(id, covers);
        self.bodies[body].panels.push(id);
        if let Covers::Edge(_) = covers {
            self.bodies[body].frame.push(id);
        }
        let group = if upright { "stiles" } else { "rails" };
        for name in [name.as_str(), group] {
            let span = line.head_span;
            let thing = self.bodies[frame].names.entry(name.to_owned());
            let thing = thing.or_insert(Thing {
                span,
                kind: ThingKind::Panels(Vec::new()),
                elements: [(Vec::new(), span)].into(),
            });
            if let ThingKind::Panels(list) = &mut thing.kind {
                list.push(id);
            }
        }
        Ok(())
    }

    /// A face of a member: outer ones along the envelope, the others centred on what they cover and
    /// from member to member.
    pub(super) fn member_face(&mut self, member: usize, edge: Edge) -> Res<Length> {
        let body = self.panels[member].body;
        let wide = self.member_width(member)?;
        let env = self.bodies[body].envelope;
        let covers = self.covers.get(&member).copied().ok_or(Poison)?;
        let across = if self.panels[member].role == Role::FaceStile {
            Axis::X
        } else {
            Axis::Z
        };
        if edge.axis() == across {
            let (low, high) = match covers {
                Covers::Edge(Edge::Bottom) => {
                    // From the floor's underside up; without a floor from the ground.
                    let floor = self.bodies[body]
                        .panels
                        .iter()
                        .copied()
                        .find(|p| self.panels[*p].role == Role::Bottom);
                    let low = match floor {
                        Some(floor) => self.face(floor, Edge::Bottom)?,
                        None => env.face(Edge::Bottom),
                    };
                    (low, low + wide)
                }
                Covers::Edge(outer) => {
                    let at = env.face(outer);
                    if outer.is_high() {
                        (at - wide, at)
                    } else {
                        (at, at + wide)
                    }
                }
                Covers::Part(part) => {
                    let middle =
                        (self.face(part, across.low())? + self.face(part, across.high())?).half();
                    (middle - wide.half(), middle + wide.half())
                }
            };
            return Ok(if edge.is_high() { high } else { low });
        }
        match covers {
            // Stiles run through.
            Covers::Edge(Edge::Left | Edge::Right) => Ok(env.face(edge)),
            Covers::Edge(_) => {
                let stile = self.member_before(body, Covers::Edge(edge))?;
                self.face(stile, edge.opposite())
            }
            Covers::Part(part) => {
                let (space, _) = self.panels[part].within.ok_or(Poison)?;
                let bound = self.bounding(space, edge)?;
                let next = match bound.map(|panel| self.before(body, panel, edge)) {
                    Some(Some(member)) => member,
                    _ => self.member_before(body, Covers::Edge(edge))?,
                };
                self.face(next, edge.opposite())
            }
        }
    }

    fn member_before(&self, body: usize, covers: Covers) -> Res<usize> {
        let mut members = self.bodies[body].panels.iter().copied();
        members
            .find(|m| self.covers.get(m) == Some(&covers))
            .ok_or(Poison)
    }

    /// The member before a panel that bounds a space at an edge.
    fn before(&self, body: usize, panel: usize, edge: Edge) -> Option<usize> {
        let covers = match self.panels[panel].role {
            Role::Shelf | Role::Divider | Role::Rail | Role::Stile
                if self.panels[panel].within.is_some() =>
            {
                Covers::Part(panel)
            }
            _ => Covers::Edge(edge),
        };
        self.member_before(body, covers).ok()
    }

    /// The member of the face frame that stands before a space's bound, if its case has one.
    pub(super) fn member_at_bound(&mut self, space: usize, edge: Edge) -> Res<Option<usize>> {
        let body = self.spaces[space].body;
        if !self.face_frames.contains_key(&body) {
            return Ok(None);
        }
        let bound = self.bounding(space, edge)?;
        Ok(bound.and_then(|panel| self.before(body, panel, edge)))
    }
}
