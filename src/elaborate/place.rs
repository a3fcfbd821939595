//! Where the faces of panels and spaces are (placement rules 1.2 to 1.4). Each face is found when it
//! is first asked for; meeting one that is being found is a cycle of sizes.

use super::build::{Builder, Place, ThingKind, extent_word};
use super::circle::{self, What};
use super::project::name_use;
use super::stmt::{Scoped, Stmt};
use super::value::{self, Lookup as _, Value};
use super::{Poison, Res};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{AssemblyKind, Axis, Edge, Role};
use crate::schema::Clause;
use crate::source::Span;
use crate::syntax::tree::{Expr, ExprKind};

/// The order of running through, earlier over later (placement rules 1.2).
fn rank(role: Role) -> u8 {
    match role {
        // A face frame stands before everything.
        Role::Lid | Role::FaceStile | Role::FaceRail => 0,
        Role::Side | Role::DrawerSide => 2,
        Role::Top => 3,
        Role::Front | Role::DrawerFront => 4,
        Role::Bottom => 5,
        Role::Back | Role::DrawerBack => 6,
        Role::DrawerBottom => 7,
        Role::Shelf | Role::Divider | Role::Rail | Role::Stile => 8,
        _ => 9,
    }
}

/// What a part states about one extent.
#[derive(Clone, Debug, Default)]
pub struct Extent {
    /// Where it begins.
    pub from: Option<(Length, Span)>,
    /// Where it ends.
    pub to: Option<(Length, Span)>,
    /// How long it is.
    pub size: Option<(Length, Span)>,
}

impl Builder<'_> {
    /// Where a face of a panel is.
    pub fn face(&mut self, panel: usize, edge: Edge) -> Res<Length> {
        match self.panels[panel].faces[edge as usize] {
            Place::At(at) => return Ok(at),
            Place::Bad => return Err(Poison),
            Place::Busy => {
                let what = What::Face(panel, edge);
                let report = circle::report(
                    self,
                    &code::PLACE_CYCLE,
                    &what,
                    self.panels[panel].stmt.name_span(),
                );
                self.sink.push(report);
                self.panels[panel].faces[edge as usize] = Place::Bad;
                return Err(Poison);
            }
            Place::Todo => {}
        }
        self.panels[panel].faces[edge as usize] = Place::Busy;
        let stmt = &self.panels[panel].stmt;
        let span = stmt.clause("at").map_or(stmt.name_span(), |c| c.of.span);
        let found = circle::while_finding(self, What::Face(panel, edge), span, |me| {
            me.find_face(panel, edge)
        });
        let state = match found {
            Ok(at) if at.is_overflow() => {
                let p = &self.panels[panel];
                self.sink.push(Diagnostic::new(
                    &code::VALUE_OVERFLOW,
                    "a size that is too large to hold",
                    p.stmt.name_span(),
                    "the place of a face does not fit",
                ));
                Place::Bad
            }
            Ok(at) => Place::At(at),
            Err(Poison) => Place::Bad,
        };
        let faces = &mut self.panels[panel].faces;
        faces[edge as usize] = state;
        // What hinders one face hinders the opposite one.
        if state == Place::Bad && faces[edge.opposite() as usize] == Place::Todo {
            faces[edge.opposite() as usize] = Place::Bad;
        }
        match state {
            Place::At(at) => Ok(at),
            _ => Err(Poison),
        }
    }

    fn find_face(&mut self, panel: usize, edge: Edge) -> Res<Length> {
        let p = &self.panels[panel];
        match p.role {
            Role::Leg => return self.leg_face(panel, edge),
            Role::Apron => return self.apron_face(panel, edge),
            Role::FaceStile | Role::FaceRail => return self.member_face(panel, edge),
            _ => {}
        }
        let (axis, pos, within) = (edge.axis(), p.pos, p.within);
        if axis == pos {
            if let Some((_, Some(division))) = within {
                self.solve(division)?;
                return match self.panels[panel].faces[edge as usize] {
                    Place::At(at) => Ok(at),
                    _ => Err(Poison),
                };
            }
            if axis == p.axis || p.stmt.has("at") {
                return self.placed_face(panel, edge);
            }
        }
        if axis == p.axis {
            // Upright rails and stiles, and all that stands in the front plane: behind it by `set_back`.
            return self.thickness_face(panel, edge);
        }
        self.extent_face(panel, edge)
    }

    /// The size of a panel along an axis on which it is placed as a whole.
    pub fn size_along(&mut self, panel: usize, axis: Axis) -> Res<Length> {
        if axis == self.panels[panel].axis {
            return Ok(self.panels[panel].thick);
        }
        let extent = self.stated_extent(panel, axis)?;
        match extent.size {
            Some((size, _)) => Ok(size),
            None => Err(self.size_missing(panel, extent_word(axis))),
        }
    }

    /// Reports an extent of a panel of which less than two of its ends and its size are stated.
    fn ends_missing(&mut self, panel: usize, axis: Axis) -> Poison {
        let (p, word) = (&self.panels[panel], extent_word(axis));
        if !p.stmt.damaged {
            let (low, high) = (axis.low().word(), axis.high().word());
            let stated = p
                .stmt
                .clause(word)
                .map_or(p.stmt.name_span(), |c| c.of.span);
            let report = Diagnostic::new(
                &code::PLACE_MISSING,
                format!("`{}` does not say from where to where it is {word}", p.name),
                stated,
                "a panel states all",
            )
            .help(format!("write `{word} from {low} to {high}` or `{word} … from {low}`, with edges or faces of parts"));
            self.push_once(report);
        }
        Poison
    }

    pub(super) fn size_missing(&mut self, panel: usize, word: &str) -> Poison {
        let p = &self.panels[panel];
        if !p.stmt.damaged {
            let report = Diagnostic::new(
                &code::LINE_NEEDS,
                format!("`{}` does not say how {word} it is", p.name),
                p.stmt.name_span(),
                "no size",
            )
            .help(format!("add `{word}` with a length"));
            self.sink.push(report);
        }
        Poison
    }

    /// A face along the axis of placement, outside a division.
    fn placed_face(&mut self, panel: usize, edge: Edge) -> Res<Length> {
        let axis = edge.axis();
        let size = self.size_along(panel, axis)?;
        let (low, high) = (axis.low(), axis.high());
        let body = self.panels[panel].body;
        let env = self.bodies[body].envelope;
        let stmt = self.panels[panel].stmt.clone();
        let finish = |face_low: Length| {
            if edge.is_high() {
                face_low + size
            } else {
                face_low
            }
        };
        if let Some(at) = stmt.clause("at") {
            let distance_expr = at.of.value().ok_or(Poison)?;
            let distance = match value::eval(self, &at.env, distance_expr)? {
                // `at deck.top`: the face itself.
                Value::Place(of, place) if of == axis && at.of.tail("from").is_none() => {
                    return Ok(finish(place));
                }
                Value::Quantity(q) if q.as_length().is_some() => q.as_length().unwrap_or_default(),
                _ => value::length(self, &at.env, distance_expr)?,
            };
            let Some(from) = at.of.tail("from").and_then(Clause::value) else {
                return Ok(finish(env.face(low) + distance));
            };
            if let Some(bare) = from.as_name().and_then(Edge::from_word) {
                if bare.axis() != axis {
                    return Err(self.wrong_axis(from, axis));
                }
                return Ok(if bare.is_high() {
                    finish(env.face(high) - distance - size)
                } else {
                    finish(env.face(low) + distance)
                });
            }
            let (place, looks_high) = self.place_of(&at.env.clone(), from, axis)?;
            return Ok(if looks_high {
                finish(place + distance)
            } else {
                finish(place - distance - size)
            });
        }
        let set_in = super::declare::clause_length(self, &stmt, "set_in")?.unwrap_or_default();
        match self.panels[panel].edge {
            Some(bound) if bound.axis() == axis => {
                let set_back = if bound == Edge::Front {
                    super::declare::clause_length(self, &stmt, "set_back")?.unwrap_or_default()
                } else {
                    Length::ZERO
                };
                Ok(if bound.is_high() {
                    finish(env.face(high) - set_in - size)
                } else {
                    finish(env.face(low) + set_in + set_back)
                })
            }
            // What closes an opening stands at its front.
            _ if matches!(self.panels[panel].role, Role::Kick | Role::Panel) => {
                self.thickness_face(panel, edge)
            }
            _ => {
                let p = &self.panels[panel];
                let report = Diagnostic::new(
                    &code::PLACE_MISSING,
                    format!("nothing says where `{}` is", p.name),
                    p.stmt.name_span(),
                    "no place",
                )
                .help("put it in a `divide`, or add `at` with a distance");
                self.sink.push(report);
                Err(Poison)
            }
        }
    }

    /// A face of a part that stands in the front plane, along its thickness.
    fn thickness_face(&mut self, panel: usize, edge: Edge) -> Res<Length> {
        let stmt = self.panels[panel].stmt.clone();
        let thick = self.panels[panel].thick;
        if let Some(set_in) = super::declare::clause_length(self, &stmt, "set_in")? {
            let rear = self.bodies[self.panels[panel].body]
                .envelope
                .face(Edge::Rear);
            return Ok(if edge.is_high() {
                rear - set_in
            } else {
                rear - set_in - thick
            });
        }
        let front = match self.panels[panel].role {
            // A kick stands under the bottom: only the envelope is in front of it.
            Role::Kick => {
                let plane = self.bodies[self.panels[panel].body]
                    .envelope
                    .face(Edge::Front);
                let by = super::declare::clause_length(self, &stmt, "set_back")?;
                plane + by.unwrap_or_default()
            }
            _ => {
                let front = self.inner(panel, Edge::Front)?;
                self.set_back(self.panels[panel].body, &stmt, front)?
            }
        };
        Ok(if edge.is_high() { front + thick } else { front })
    }

    /// A face at an end or edge of a panel.
    fn extent_face(&mut self, panel: usize, edge: Edge) -> Res<Length> {
        let axis = edge.axis();
        let stated = self.stated_extent(panel, axis)?;
        let own = if edge.is_high() {
            &stated.to
        } else {
            &stated.from
        };
        if let Some((place, _)) = own {
            return Ok(*place);
        }
        let stmt = self.panels[panel].stmt.clone();
        let free = self.panels[panel].role == Role::Panel && self.panels[panel].within.is_none();
        let said = [
            stated.from.is_some(),
            stated.to.is_some(),
            stated.size.is_some(),
        ];
        if free && said.iter().filter(|said| **said).count() < 2 {
            return Err(self.ends_missing(panel, axis));
        }
        if let Some((size, _)) = stated.size {
            // One end is anchored: the other stated end, the rear if set in, else the low end.
            let set_in = if axis == Axis::Y {
                super::declare::clause_length(self, &stmt, "set_in")?
            } else {
                None
            };
            return match (&stated.from, &stated.to, set_in) {
                (Some((from, _)), _, _) => Ok(*from + size),
                (_, Some((to, _)), _) => Ok(*to - size),
                (_, _, Some(set_in)) => {
                    let rear = self.bodies[self.panels[panel].body]
                        .envelope
                        .face(Edge::Rear)
                        - set_in;
                    Ok(if edge.is_high() { rear } else { rear - size })
                }
                _ => {
                    let low = self.default_face(panel, axis.low())?;
                    Ok(if edge.is_high() { low + size } else { low })
                }
            };
        }
        if axis == Axis::Y && matches!(self.panels[panel].role, Role::Rail | Role::Cleat) {
            // These lie at the front or rear and must say how far they reach.
            let word = if self.panels[panel].role == Role::Cleat {
                "wide"
            } else {
                "deep"
            };
            return Err(self.size_missing(panel, word));
        }
        self.default_face(panel, edge)
    }

    /// Where a face is when the line says nothing about it but `set_back` and `proud`.
    fn default_face(&mut self, panel: usize, edge: Edge) -> Res<Length> {
        let stmt = self.panels[panel].stmt.clone();
        let role = self.panels[panel].role;
        let body = self.panels[panel].body;
        let env = self.bodies[body].envelope;
        let mut place = if role == Role::Kick && edge.axis() == Axis::Z {
            if edge == Edge::Bottom {
                env.face(Edge::Bottom)
            } else {
                self.kick_top(panel)?
            }
        } else if self.panels[panel].edge.is_some() {
            self.outer(panel, edge)?
        } else {
            self.inner(panel, edge)?
        };
        if edge == Edge::Front {
            place = self.set_back(body, &stmt, place)?;
        }
        for proud in stmt.all("proud").cloned().collect::<Vec<_>>() {
            let edges = self.edges_of(&proud.of, panel)?;
            if edges.is_empty() || edges.contains(&edge) {
                let by =
                    value::length_not_negative(self, &proud.env, proud.of.value().ok_or(Poison)?)?;
                place = if edge.is_high() {
                    place + by
                } else {
                    place - by
                };
            }
        }
        Ok(place)
    }

    /// Where something begins that its line sets back: behind what would be its front, but behind a
    /// face frame counted from the front plane of the case, as fronts are.
    pub(super) fn set_back(&mut self, body: usize, line: &Stmt, front: Length) -> Res<Length> {
        let Some(by) = super::declare::clause_length(self, line, "set_back")? else {
            return Ok(front);
        };
        let plane = self.plane_before(body, front)?;
        if plane + by >= front {
            return Ok(plane + by);
        }
        let text = |length| self.units.text(length);
        let report = Diagnostic::new(
            &code::VALUE_RANGE,
            format!("`{}` would stand in the face frame", line.name()),
            line.clause("set_back")
                .map_or(line.head_span, |c| c.of.span),
            format!("{} behind the front plane", text(by)),
        )
        .note(format!("the frame is {} thick", text(front - plane)))
        .help(format!(
            "a `set_back` of {} or more, or none",
            text(front - plane)
        ));
        self.sink.push(report);
        Err(Poison)
    }

    /// The front plane of a case for what begins at the rear of its face frame, else what was given.
    pub(super) fn plane_before(&mut self, body: usize, front: Length) -> Res<Length> {
        if !self.face_frames.contains_key(&body) || self.bound(body, Edge::Front)?.0 != front {
            return Ok(front);
        }
        Ok(self.bodies[body].envelope.face(Edge::Front))
    }

    fn kick_top(&mut self, panel: usize) -> Res<Length> {
        let body = self.panels[panel].body;
        match self.bodies[body]
            .panels
            .iter()
            .copied()
            .find(|p| self.panels[*p].role == Role::Bottom)
        {
            Some(bottom) => self.face(bottom, Edge::Bottom),
            None if self.lost_panel(body) => Err(Poison),
            None => {
                let p = &self.panels[panel];
                let report = Diagnostic::new(
                    &code::PLACE_MISSING,
                    format!("nothing says how high `{}` is", p.name),
                    p.stmt.name_span(),
                    "there is no bottom to stand under",
                )
                .help("add `high` with a length, or a `bottom` at that height");
                self.sink.push(report);
                Err(Poison)
            }
        }
    }

    /// The end of a boundary panel: the envelope, or the panel that is over it there.
    fn outer(&mut self, panel: usize, edge: Edge) -> Res<Length> {
        let body = self.panels[panel].body;
        let mut place = self.bodies[body].envelope.face(edge);
        let others: Vec<usize> = self.bodies[body]
            .frame
            .iter()
            .copied()
            .filter(|q| *q != panel && self.panels[*q].edge == Some(edge))
            .collect();
        for other in others {
            if self.is_over(other, panel) {
                let stop = self.face(other, edge.opposite())?;
                place = if edge.is_high() {
                    place.min(stop)
                } else {
                    place.max(stop)
                };
            }
        }
        Ok(place)
    }

    /// The inner face of what bounds the space that a panel stands in.
    fn inner(&mut self, panel: usize, edge: Edge) -> Res<Length> {
        if let Some((space, _)) = self.panels[panel].within {
            return self.space_face(space, edge);
        }
        self.inside_bound(self.panels[panel].body, edge)
            .map(|(place, _)| place)
    }

    /// Where the inside of a body is bounded at an edge by its boundary panels, and by which one.
    pub fn bound(&mut self, body: usize, edge: Edge) -> Res<(Length, Option<usize>)> {
        let mut place = self.bodies[body].envelope.face(edge);
        let mut by = None;
        let panels: Vec<usize> = self.bodies[body]
            .frame
            .iter()
            .copied()
            .filter(|q| self.panels[*q].edge == Some(edge))
            .collect();
        for panel in panels {
            let inner = self.face(panel, edge.opposite())?;
            if by.is_none()
                || (edge.is_high() && inner < place)
                || (!edge.is_high() && inner > place)
            {
                place = inner;
                by = Some(panel);
            }
        }
        Ok((place, by))
    }

    /// Whether one panel runs through at the corner that both want.
    fn is_over(&self, a: usize, b: usize) -> bool {
        let says = |x: usize, y: usize| {
            self.panels[x].stmt.all("over").any(|c| {
                c.of.values
                    .iter()
                    .any(|v| v.as_name() == Some(self.panels[y].name.as_str()))
            })
        };
        if says(a, b) {
            return true;
        }
        if says(b, a) {
            return false;
        }
        // In a drawer the bottom is within: over nothing unless it says so.
        let drawer = self.bodies[self.panels[a].body].kind == AssemblyKind::Drawer;
        let rank_of = |p: usize| match (drawer, self.panels[p].role) {
            (true, Role::DrawerBack) => 6,
            (_, role) => rank(role),
        };
        rank_of(a) < rank_of(b)
    }

    /// What a panel's line states about one extent: `wide 300mm`, `deep to rear.front`, `between p, q`.
    pub fn stated_extent(&mut self, panel: usize, axis: Axis) -> Res<Extent> {
        let stmt = self.panels[panel].stmt.clone();
        let mut out = Extent::default();
        let word = match (self.panels[panel].role, axis) {
            // A cleat's width is across it, which lies front to rear.
            (Role::Cleat, Axis::Y) if stmt.has("wide") && !stmt.has("deep") => "wide",
            (Role::Cleat, Axis::X) if stmt.has("wide") && !stmt.has("deep") => {
                self.cleat_ends(&stmt, &mut out)?;
                return Ok(out);
            }
            _ => extent_word(axis),
        };
        for clause in stmt.all(word).cloned().collect::<Vec<_>>() {
            if let Some(size) = clause.of.value() {
                out.size = Some((
                    value::positive_length(self, &clause.env, size)?,
                    clause.of.span,
                ));
            }
            let mut clause = clause;
            if word == "wide" && axis == Axis::Y {
                clause.of.tails.retain(|tail| tail.word != "between");
            }
            self.ends_of(&clause, axis, &mut out)?;
        }
        if let (Some((from, a)), Some((to, b))) = (out.from, out.to) {
            if from >= to {
                let p = &self.panels[panel];
                let report = Diagnostic::new(
                    &code::SUM_NO_ROOM,
                    format!("`{}` would end before it begins", p.name),
                    b,
                    format!("ends at {}", self.units.text(to)),
                )
                .at(a, format!("begins at {}", self.units.text(from)));
                self.sink.push(report);
                return Err(Poison);
            }
            if let Some((size, c)) = out.size
                && to - from != size
            {
                let units = self.units;
                let report = Diagnostic::new(
                    &code::SUM_OFF,
                    format!("`{}` is given two sizes", self.panels[panel].name),
                    c,
                    format!("{} here", units.text(size)),
                )
                .at(a, "begins and ends elsewhere")
                .note(format!(
                    "{} \u{2212} {} = {}, not {}",
                    units.text(to),
                    units.text(from),
                    units.text(to - from),
                    units.text(size)
                ))
                .help("leave one of the statements out");
                self.sink.push(report);
                return Err(Poison);
            }
        }
        Ok(out)
    }

    /// `wide 60mm between left, post` of a cleat: `wide` is across it, `between` from end to end.
    fn cleat_ends(&mut self, stmt: &Stmt, out: &mut Extent) -> Res<()> {
        for clause in stmt.all("wide").cloned().collect::<Vec<_>>() {
            let mut clause = clause;
            clause.of.tails.retain(|tail| tail.word == "between");
            self.ends_of(&clause, Axis::X, out)?;
        }
        Ok(())
    }

    /// Reports a size that is stated along the thickness of a panel. Its place is known all the same.
    pub fn check_thickness(&mut self, panel: usize) {
        let p = &self.panels[panel];
        let word = extent_word(p.axis);
        let Some(clause) = p.stmt.clause(word) else {
            return;
        };
        let role = super::label::role(p.role);
        let report = Diagnostic::new(
            &code::PLACE_THICKNESS,
            format!("`{word}` is the thickness of a {role}"),
            clause.of.span,
            "runs through its thickness",
        )
        .note(format!(
            "a {role} lies so that its thickness runs from {} to {}",
            p.axis.low().word(),
            p.axis.high().word()
        ))
        .help(format!(
            "leave `{word}` out: `{}` is {} thick by its line or stock",
            p.name,
            self.units.text(p.thick)
        ));
        self.sink.push(report);
    }

    fn ends_of(&mut self, clause: &Scoped<Clause>, axis: Axis, out: &mut Extent) -> Res<()> {
        if let Some(from) = clause.of.tail("from").and_then(Clause::value) {
            out.from = Some((self.place_of(&clause.env, from, axis)?.0, from.span));
        }
        if let Some(to) = clause.of.tail("to").and_then(Clause::value) {
            out.to = Some((self.place_of(&clause.env, to, axis)?.0, to.span));
        }
        if let Some(between) = clause.of.tail("between") {
            let (Some(a), Some(b)) = (between.values.first(), between.values.get(1)) else {
                self.sink.push(
                    Diagnostic::new(
                        &code::LINE_NEEDS,
                        "`between` needs two places",
                        between.span,
                        "only one",
                    )
                    .help("write `between left, right`, or two faces"),
                );
                return Err(Poison);
            };
            let low = self.facing(&clause.env, a, axis.high(), axis)?;
            let high = self.facing(&clause.env, b, axis.low(), axis)?;
            out.from = Some((low, a.span));
            out.to = Some((high, b.span));
        }
        Ok(())
    }

    /// A place, or of a part by its name the face that looks toward `edge`.
    fn facing(
        &mut self,
        env: &std::rc::Rc<super::env::Env>,
        expr: &Expr,
        edge: Edge,
        axis: Axis,
    ) -> Res<Length> {
        let name = match &expr.kind {
            ExprKind::Index(of, _) => of.as_name(),
            _ => expr.as_name(),
        };
        let known = name.and_then(|name| self.bodies[self.current].names.get(name));
        let is_part = known.is_some_and(|thing| matches!(thing.kind, ThingKind::Panels(_)));
        if !is_part {
            return self.place_of(env, expr, axis).map(|(place, _)| place);
        }
        let name = name_use(self, expr)?;
        match self.panels_of(self.current, &name, env)?.as_slice() {
            [panel] => self.face(*panel, edge),
            list => {
                let which = list.first().map(|p| self.panels[*p].index.clone());
                let which = super::label::indexed(&name.text, &which.unwrap_or_default());
                let report = Diagnostic::new(
                    &code::LINE_TOO_MANY,
                    format!("`{}` is an array, and one place is wanted", name.text),
                    expr.span,
                    "which of them?",
                );
                self.sink
                    .push(report.help(format!("name one of them: `{which}`")));
                Err(Poison)
            }
        }
    }

    /// A place along an axis: a bare edge of the body, a face of a part (and whether it looks to the
    /// high end), or a distance from the low end of the body.
    fn place_of(
        &mut self,
        env: &std::rc::Rc<super::env::Env>,
        expr: &Expr,
        axis: Axis,
    ) -> Res<(Length, bool)> {
        let body = self.bodies[self.current].envelope;
        if let Some(edge) = expr.as_name().and_then(Edge::from_word) {
            return if edge.axis() == axis {
                Ok((body.face(edge), !edge.is_high()))
            } else {
                Err(self.wrong_axis(expr, axis))
            };
        }
        match value::eval(self, env, expr)? {
            Value::Place(of, place) if of == axis => {
                let high = match &expr.kind {
                    crate::syntax::tree::ExprKind::Member(_, name) => {
                        Edge::from_word(&name.text).is_some_and(Edge::is_high)
                    }
                    _ => true,
                };
                Ok((place, high))
            }
            Value::Place(..) => Err(self.wrong_axis(expr, axis)),
            Value::Quantity(q) if q.as_length().is_some() => Ok((
                body.face(axis.low()) + q.as_length().unwrap_or_default(),
                true,
            )),
            other => {
                let report = Diagnostic::new(
                    &code::TYPE_MISMATCH,
                    "a place is wanted here",
                    expr.span,
                    format!("this is {}", other.kind()),
                )
                .help("name an edge, or a face of a part as in `deck.top`");
                self.sink.push(report);
                Err(Poison)
            }
        }
    }

    fn wrong_axis(&mut self, expr: &Expr, axis: Axis) -> Poison {
        let (low, high) = (axis.low().word(), axis.high().word());
        let text = self.source(expr.span);
        self.sink.push(
            Diagnostic::new(
                &code::PLACE_AXIS,
                format!("`{text}` is no place between {low} and {high}"),
                expr.span,
                "looks another way",
            )
            .help(format!(
                "this measure runs from {low} to {high}: name a {low} or {high} face"
            )),
        );
        Poison
    }

    /// The edges that a clause's `on` names; none means all.
    pub fn edges_of(&mut self, clause: &Clause, panel: usize) -> Res<Vec<Edge>> {
        match clause.tail("on") {
            Some(on) => self.edge_list(&on.values, panel),
            None => Ok(Vec::new()),
        }
    }

    /// Edges by their words, for a panel; `all` is the four around it.
    pub fn edge_list(&mut self, words: &[Expr], panel: usize) -> Res<Vec<Edge>> {
        let mut out = Vec::new();
        for word in words {
            let text = word.as_name().unwrap_or("");
            let index = self.panels[panel].index.clone();
            match (Edge::from_word(text), text) {
                (Some(edge), _) => out.push(edge),
                (None, "all") => {
                    let axis = self.panels[panel].axis;
                    // The ends first, so that what covers the long way round comes last (rule 1.6).
                    let order = match axis {
                        Axis::Y => [Edge::Top, Edge::Bottom, Edge::Left, Edge::Right],
                        Axis::Z => [Edge::Front, Edge::Rear, Edge::Left, Edge::Right],
                        Axis::X => [Edge::Top, Edge::Bottom, Edge::Front, Edge::Rear],
                    };
                    out.extend(order);
                }
                (None, "meeting" | "outside" | "inside") => {
                    let name = self.panels[panel].name.clone();
                    let own = if name == "left" {
                        Edge::Left
                    } else {
                        Edge::Right
                    };
                    let paired = matches!(name.as_str(), "left" | "right") && index.len() <= 2;
                    if !paired {
                        self.sink.push(Diagnostic::new(
                            &code::NAME_UNKNOWN,
                            format!("`{text}` is an edge of a pair"),
                            word.span,
                            "this is not one of a pair",
                        ));
                        return Err(Poison);
                    }
                    out.push(if text == "outside" {
                        own
                    } else {
                        own.opposite()
                    });
                }
                _ => {
                    self.sink.push(Diagnostic::new(
                        &code::NAME_UNKNOWN,
                        "an edge is wanted here",
                        word.span,
                        "not an edge",
                    ));
                    return Err(Poison);
                }
            }
        }
        Ok(out)
    }
}
