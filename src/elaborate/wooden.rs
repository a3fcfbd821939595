//! Wooden runners with bearers (placement rules 2.5): under, beside and above the sides of a drawer,
//! where its opening is bounded by rails and not by whole panels.

use super::build::{Builder, JointWork, Panel};
use super::stmt::Stmt;
use super::{Poison, Res, label};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{Axis, Box3, Edge, JointKind, Role};
use std::rc::Rc;

impl Builder<'_> {
    /// Bearers, guides and kickers of a drawer's opening, as parts of its case, glued to what they
    /// meet. They run from the rear of the front member to the front of the rear one.
    pub(super) fn make_wooden_runners(
        &mut self,
        body: usize,
        space: usize,
        drawer: &Stmt,
        runner: &Stmt,
        day: Box3,
        side: Length,
    ) -> Res<()> {
        let line = Rc::new(runner.clone());
        let mut made = Vec::new();
        for edge in [Edge::Left, Edge::Right] {
            let wall = self.wall_beside(body, space, edge)?;
            for (at, role) in [(Edge::Bottom, Role::Bearer), (Edge::Top, Role::Kicker)] {
                let Some(rail) = self.rail_at(space, at)? else {
                    continue;
                };
                let thick = self.take_stock(runner, role)?.thick;
                let mut b = self.between_members(space, rail, day)?;
                b.set_face(edge, wall);
                b.set_face(edge.opposite(), edge.inward(day.face(edge), side));
                b.set_face(at.opposite(), day.face(at));
                b.set_face(at, at.inward(day.face(at), -thick));
                made.push(self.push_runner(body, drawer, &line, role, edge, b)?);
                let beside = if edge.is_high() {
                    wall - day.face(edge)
                } else {
                    day.face(edge) - wall
                };
                // Where the wall is flush with the daylight it guides the drawer itself.
                if role == Role::Bearer && beside.is_positive() {
                    let mut g = b;
                    g.set_face(edge.opposite(), day.face(edge));
                    g.set_face(Edge::Bottom, day.face(Edge::Bottom));
                    g.set_face(Edge::Top, day.face(Edge::Bottom) + thick);
                    made.push(self.push_runner(body, drawer, &line, Role::Guide, edge, g)?);
                }
            }
        }
        if made.is_empty() {
            let report = Diagnostic::new(
                &code::NAME_WORD_NOT_HERE,
                format!("`{}` needs no bearers", drawer.name()),
                runner.head_span,
                "it runs between whole panels",
            )
            .help("leave `of` and `thick` out: `runner wooden gap 1mm`");
            self.sink.push(report);
            return Err(Poison);
        }
        for panel in made {
            self.glue_runner(body, panel, &line);
        }
        Ok(())
    }

    /// The rail that bounds a space below or above: a whole panel carries the drawer itself.
    fn rail_at(&mut self, space: usize, edge: Edge) -> Res<Option<usize>> {
        let bound = self.bounding(space, edge)?;
        Ok(bound.filter(|panel| self.panels[*panel].role == Role::Rail))
    }

    /// The inner face of the case's own wall beside a space: its side, or the apron between the legs.
    fn wall_beside(&mut self, body: usize, space: usize, edge: Edge) -> Res<Length> {
        let apron =
            self.bodies[body].panels.iter().copied().find(|p| {
                self.panels[*p].role == Role::Apron && self.panels[*p].edge == Some(edge)
            });
        match apron {
            Some(apron) => self.face(apron, edge.opposite()),
            None => self.space_face(space, edge),
        }
    }

    fn between_members(&mut self, space: usize, rail: usize, day: Box3) -> Res<Box3> {
        let mut b = day;
        let front = self.face(rail, Edge::Rear)?;
        // Rear legs stand out before their apron.
        let mut rear = self.space_face(space, Edge::Rear)?;
        for leg in self.legs(self.spaces[space].body) {
            if self.corner_of(leg).1 == Edge::Rear {
                rear = rear.min(self.face(leg, Edge::Front)?);
            }
        }
        b.set_face(Edge::Front, front);
        b.set_face(Edge::Rear, rear);
        Ok(b)
    }

    fn push_runner(
        &mut self,
        body: usize,
        drawer: &Stmt,
        line: &Rc<Stmt>,
        role: Role,
        edge: Edge,
        finished: Box3,
    ) -> Res<usize> {
        self.room_for_more(line.head_span)?;
        let taken = self.take_stock(line, role)?;
        if finished.is_empty() {
            let report = Diagnostic::new(
                &code::SUM_NO_ROOM,
                format!(
                    "no room is left for the {} of `{}`",
                    label::role(role),
                    drawer.name()
                ),
                line.head_span,
                "it runs from the rail to what stands behind",
            );
            self.sink.push(report);
            return Err(Poison);
        }
        let name = format!("{}_{}", drawer.name(), label::role(role));
        let count = self
            .panels
            .iter()
            .filter(|p| p.name == name && p.body == body)
            .count();
        let index = vec![u32::try_from(count + 1).unwrap_or(u32::MAX)];
        self.panels.push(Panel {
            path: format!(
                "{}.{}",
                self.bodies[body].path,
                label::indexed(&name, &index)
            ),
            name,
            index,
            label: label::within(
                drawer.name(),
                &format!("{} {}", edge.word(), label::role(role)),
            ),
            role,
            grain: Axis::Y,
            ..Panel::placed(body, line, &taken, Axis::Z, finished)
        });
        let id = self.panels.len() - 1;
        self.bodies[body].panels.push(id);
        Ok(id)
    }

    fn glue_runner(&mut self, body: usize, id: usize, line: &Stmt) {
        for other in self.bodies[body].panels.clone() {
            // A top above a kicker moves across it: what holds it is said by its own joints.
            if matches!(self.panels[other].role, Role::Top | Role::Lid) {
                continue;
            }
            let Some((edge, contact)) = self.meeting(id, other) else {
                continue;
            };
            let pair = (id.min(other), id.max(other));
            if self.joints_of.contains_key(&pair) {
                continue;
            }
            self.joints_of.insert(pair, vec![self.joints.len()]);
            self.joints.push(JointWork::glued(
                JointKind::Butt,
                [id, other],
                edge,
                contact,
                body,
                line,
            ));
        }
    }
}
