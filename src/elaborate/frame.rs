//! Frame and field (placement rules 2.3): a panel that is made of members round a field.
//!
//! The panel itself becomes the field; its members are new panels, called after the edges. What
//! bounds a space goes on being the whole.

use super::build::{Body, Builder, Panel, Thing, ThingKind};
use super::stmt::Stmt;
use super::{Poison, Res, label};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{AssemblyKind, Axis, Box3, Edge, Role};
use std::collections::BTreeMap;
use std::rc::Rc;

/// A member on its way.
struct Member {
    edge: Edge,
    line: Rc<Stmt>,
    wide: Length,
}

/// The four edges round a panel, those first whose members run through: upright leaves have them at
/// the left and right, level ones in front and behind.
fn around(axis: Axis) -> [Edge; 4] {
    match axis {
        Axis::Y => [Edge::Left, Edge::Right, Edge::Bottom, Edge::Top],
        Axis::Z => [Edge::Front, Edge::Rear, Edge::Left, Edge::Right],
        Axis::X => [Edge::Front, Edge::Rear, Edge::Bottom, Edge::Top],
    }
}

impl Builder<'_> {
    /// Makes frames of the panels of a case whose lines say so.
    pub fn frame_panels(&mut self, body: usize) {
        for panel in self.bodies[body].panels.clone() {
            let line = self.panels[panel].stmt.clone();
            self.report_turning(panel, &line);
            if line.forms("frame").next().is_none() {
                self.report_frameless(&line);
                continue;
            }
            let done = self.frame_in_case(body, panel);
            self.settle(done);
        }
    }

    /// Only a lid turns.
    fn report_turning(&mut self, panel: usize, line: &Stmt) {
        let stray = ["hinge", "stay"]
            .into_iter()
            .find_map(|word| line.forms(word).next());
        let Some(stray) = stray.filter(|_| self.panels[panel].role != Role::Lid) else {
            return;
        };
        let report = Diagnostic::new(
            &code::NAME_MISPLACED,
            format!("`{}` does not open", line.name()),
            stray.head_span,
            "of a lid or a door",
        )
        .help("make it a `lid`, or a `door` in an opening");
        self.push_once(report);
    }

    /// Each name of a line would say the same.
    pub(super) fn push_once(&mut self, report: Diagnostic) {
        if self.sink.iter().all(|other| other.labels != report.labels) {
            self.sink.push(report);
        }
    }

    /// Members, fields and joints within a panel are those of a frame.
    fn report_frameless(&mut self, line: &Stmt) {
        let stray = ["field", "join"]
            .into_iter()
            .find_map(|word| line.forms(word).next());
        let Some(stray) = stray.filter(|_| !line.damaged) else {
            return;
        };
        let report = Diagnostic::new(
            &code::LINE_NEEDS,
            format!("`{}` has no frame", line.name()),
            stray.head_span,
            "of a frame",
        )
        .help("add `frame of … wide …` to this block");
        self.push_once(report);
    }

    fn frame_in_case(&mut self, body: usize, panel: usize) -> Res<()> {
        let p = &self.panels[panel];
        let (name, path, envelope, line) =
            (p.name.clone(), p.path.clone(), p.finished, p.stmt.clone());
        let leaf = self.bodies.len();
        self.bodies.push(Body {
            kind: AssemblyKind::Leaf,
            path,
            label: label::words(&name),
            envelope,
            stmt: line,
            panels: vec![panel],
            frame: Vec::new(),
            names: BTreeMap::new(),
            seen: Vec::new(),
        });
        self.panels[panel].body = leaf;
        self.bodies[body].panels.retain(|p| *p != panel);
        self.frame_panel(panel, &name)?;
        // What is joined to it meets whichever member it touches.
        let members = self.bodies[leaf].panels.clone();
        if let Some(thing) = self.bodies[body].names.get_mut(&name) {
            thing.kind = ThingKind::Panels(members);
        }
        self.make_joints(leaf);
        Ok(())
    }

    /// Turns the only panel of a leaf into its field, and adds the members round it. A leaf whose
    /// line has no `frame` stays as it is.
    pub(super) fn frame_panel(&mut self, panel: usize, name: &str) -> Res<()> {
        let leaf = self.panels[panel].body;
        let line = self.panels[panel].stmt.clone();
        if line.forms("frame").next().is_none() {
            return Ok(());
        }
        let members = self.members(panel, &line)?;
        let whole = self.panels[panel].finished;
        let mut sight = whole;
        for member in &members {
            sight.grow(member.edge, -member.wide);
        }
        if sight.is_empty() {
            let text = |length| self.units.text(length);
            let axis = Axis::ALL
                .into_iter()
                .find(|axis| !sight.extent(*axis).is_positive())
                .unwrap_or(Axis::X);
            let widths: Vec<String> = members
                .iter()
                .filter(|m| m.edge.axis() == axis)
                .map(|m| text(m.wide))
                .collect();
            let report = Diagnostic::new(
                &code::SUM_NO_ROOM,
                format!("no room is left for the field of `{name}`"),
                line.name_span(),
                "its members fill it",
            )
            .note(format!(
                "{} of {}",
                widths.join(" + "),
                text(whole.extent(axis))
            ))
            .help("make the members narrower");
            self.sink.push(report);
            return Err(Poison);
        }
        let through = self.through_axis(panel, &line);
        for member in &members {
            let mut b = whole;
            b.set_face(member.edge.opposite(), sight.face(member.edge));
            if member.edge.axis() != through {
                let ends = members.iter().filter(|m| m.edge.axis() == through);
                ends.for_each(|m| b.set_face(m.edge, sight.face(m.edge)));
            }
            self.push_member(panel, member, b, through, name)?;
        }
        self.make_field(panel, &line, sight, name)?;
        for (word, axis) in [
            ("stiles", through),
            ("rails", self.other_axis(panel, through)),
        ] {
            let list: Vec<usize> = self.bodies[leaf]
                .panels
                .iter()
                .copied()
                .filter(|p| self.panels[*p].edge.is_some_and(|edge| edge.axis() == axis))
                .collect();
            self.call(leaf, word, &line, list);
        }
        Ok(())
    }

    /// The members by their lines: one line for all edges, or lines that name theirs.
    fn members(&mut self, panel: usize, line: &Stmt) -> Res<Vec<Member>> {
        let edges = around(self.panels[panel].axis);
        let mut out: Vec<Member> = Vec::new();
        for frame in line.forms("frame") {
            if let Some(member) = frame.forms("member").next() {
                let report = Diagnostic::new(
                    &code::NAME_MISPLACED,
                    "`member` is of the face frame of a case",
                    member.head_span,
                    "of a face frame",
                )
                .help("here each width has a line of its own: `frame bottom of … wide …`");
                self.sink.push(report);
                return Err(Poison);
            }
            let wide = super::declare::clause_length(self, frame, "wide")?.ok_or(Poison)?;
            let mut named = Vec::new();
            for name in &frame.names {
                match Edge::from_word(&name.text).filter(|edge| edges.contains(edge)) {
                    Some(edge) => named.push(edge),
                    None => {
                        let known: Vec<&str> = edges.iter().map(|edge| edge.word()).collect();
                        let report = Diagnostic::new(
                            &code::NAME_UNKNOWN_EDGE,
                            format!("a frame has no member called `{}` here", name.text),
                            name.span,
                            "not one of its edges",
                        )
                        .help(format!("its edges are {}", known.join(", ")));
                        self.sink.push(report);
                        return Err(Poison);
                    }
                }
            }
            if named.is_empty() {
                named = edges.to_vec();
            }
            for edge in named {
                if let Some(first) = out.iter().find(|m| m.edge == edge) {
                    let report = Diagnostic::new(
                        &code::LINE_DOUBLED,
                        format!("the {} member is described twice", edge.word()),
                        frame.head_span,
                        "again here",
                    )
                    .at(first.line.head_span, "first here")
                    .help("let each line name its own edges");
                    self.sink.push(report);
                    return Err(Poison);
                }
                out.push(Member {
                    edge,
                    line: Rc::new(frame.clone()),
                    wide,
                });
            }
        }
        let missing = edges
            .iter()
            .find(|edge| out.iter().all(|m| m.edge != **edge));
        if let Some(edge) = missing {
            let report = Diagnostic::new(
                &code::LINE_NEEDS,
                format!(
                    "the frame of `{}` has no {} member",
                    line.name(),
                    edge.word()
                ),
                out.first().map_or(line.head_span, |m| m.line.head_span),
                "these only",
            )
            .help(format!("add `frame {} of … wide …`", edge.word()));
            self.sink.push(report);
            return Err(Poison);
        }
        out.sort_by_key(|m| edges.iter().position(|edge| *edge == m.edge));
        Ok(out)
    }

    /// The axis of the edges whose members run through; `over` flips it.
    fn through_axis(&self, panel: usize, line: &Stmt) -> Axis {
        let first = around(self.panels[panel].axis)[0].axis();
        let over = line.forms("frame").find(|frame| frame.has("over"));
        over.and_then(|frame| frame.names.first())
            .and_then(|name| Edge::from_word(&name.text))
            .map_or(first, Edge::axis)
    }

    fn other_axis(&self, panel: usize, axis: Axis) -> Axis {
        self.panels[panel].axis.third(axis)
    }

    fn push_member(
        &mut self,
        panel: usize,
        member: &Member,
        finished: Box3,
        through: Axis,
        name: &str,
    ) -> Res<()> {
        self.room_for_more(member.line.head_span)?;
        let runs = member.edge.axis() == through;
        let role = if runs { Role::Stile } else { Role::Rail };
        let leaf_thick = self.panels[panel].thick;
        let line = self.with_thickness(&member.line, panel);
        let taken = self.take_stock(&line, role)?;
        if taken.thick != leaf_thick {
            let text = |length| self.units.text(length);
            let report = Diagnostic::new(
                &code::VALUE_RANGE,
                format!("the frame of `{name}` is not as thick as `{name}`"),
                member
                    .line
                    .clause("thick")
                    .map_or(member.line.head_span, |c| c.of.span),
                format!("{}, not {}", text(taken.thick), text(leaf_thick)),
            )
            .help("leave `thick` of the frame out: it is as thick as what it frames");
            self.sink.push(report);
            return Err(Poison);
        }
        let p = &self.panels[panel];
        let (axis, leaf, path) = (p.axis, p.body, p.path.clone());
        let word = member.edge.word();
        self.panels.push(Panel {
            name: word.to_owned(),
            path: format!("{path}.{word}"),
            label: label::within(name, &format!("{word} {}", label::role(role))),
            role,
            edge: Some(member.edge),
            grain: axis.third(member.edge.axis()),
            ..Panel::placed(leaf, &line, &taken, axis, finished)
        });
        let id = self.panels.len() - 1;
        self.bodies[leaf].panels.push(id);
        let line = self.panels[id].stmt.clone();
        self.call(leaf, word, &line, vec![id]);
        Ok(())
    }

    /// A line as it stands, or with the thickness of what it frames where it says none and is board.
    fn with_thickness(&self, line: &Rc<Stmt>, panel: usize) -> Rc<Stmt> {
        if line.has("thick") {
            return line.clone();
        }
        let mut own = Stmt::clone(line);
        own.clauses
            .extend(self.panels[panel].stmt.all("thick").cloned());
        Rc::new(own)
    }

    /// The panel becomes what stands between its members, in the middle of their thickness unless
    /// `set_back` says otherwise.
    fn make_field(&mut self, panel: usize, line: &Stmt, sight: Box3, name: &str) -> Res<()> {
        let Some(field) = line.forms("field").next().cloned().map(Rc::new) else {
            let report = Diagnostic::new(
                &code::LINE_NEEDS,
                format!("the frame of `{name}` has no field"),
                line.forms("frame")
                    .next()
                    .map_or(line.head_span, |f| f.head_span),
                "nothing stands in it",
            )
            .help("add `field of …` and a `join field into …`");
            self.sink.push(report);
            return Err(Poison);
        };
        let taken = self.take_stock(&field, Role::Field)?;
        let axis = self.panels[panel].axis;
        // The show face of what lies level is its upper one.
        let show = if axis == Axis::Z {
            axis.high()
        } else {
            axis.low()
        };
        let back = super::declare::clause_length(self, &field, "set_back")?;
        let room = sight.extent(axis) - taken.thick;
        let off = back.unwrap_or_else(|| room.half());
        if off > room || room.is_negative() {
            let text = |length| self.units.text(length);
            let report = Diagnostic::new(
                &code::VALUE_RANGE,
                format!("the field of `{name}` does not lie within its frame"),
                field.head_span,
                format!("{} thick", text(taken.thick)),
            )
            .note(format!("the frame is {} thick", text(sight.extent(axis))));
            self.sink.push(report);
            return Err(Poison);
        }
        let mut b = sight;
        b.grow(show, -off);
        b.set_face(show.opposite(), show.inward(b.face(show), taken.thick));
        let grain = match field
            .clause("grain")
            .and_then(|c| c.of.value())
            .and_then(|v| v.as_name())
        {
            Some("up") if axis != Axis::Z => Axis::Z,
            Some("across") if axis != Axis::X => Axis::X,
            Some("inward") if axis != Axis::Y => Axis::Y,
            _ => self.panels[panel].grain,
        };
        let leaf = self.panels[panel].body;
        let p = &mut self.panels[panel];
        p.name = "field".into();
        p.path = format!("{}.field", p.path);
        p.label = label::within(name, "field");
        p.role = Role::Field;
        p.stock = taken.stock;
        p.thick = taken.thick;
        p.grained = taken.grain;
        p.grain = grain;
        p.finished = b;
        p.core = b;
        p.stmt = field.clone();
        self.call(leaf, "field", &field, vec![panel]);
        Ok(())
    }

    fn call(&mut self, body: usize, word: &str, line: &Stmt, list: Vec<usize>) {
        let thing = Thing {
            span: line.head_span,
            kind: ThingKind::Panels(list),
            elements: [(Vec::new(), line.head_span)].into(),
        };
        self.bodies[body].names.insert(word.to_owned(), thing);
    }

    /// The panel of a leaf that carries its hinges: the leaf itself, or the member at that edge.
    pub(super) fn hung_member(&self, body: usize, edge: Option<Edge>) -> Option<usize> {
        let panels = &self.bodies[body].panels;
        let at = |p: &usize| edge.is_some() && self.panels[*p].edge == edge;
        panels.iter().copied().find(at).or(panels.first().copied())
    }

    /// The panel of a leaf in which something sits: the leaf itself, or the member there.
    pub(super) fn member_at(&self, body: usize, at: &Box3) -> Option<usize> {
        let panels = &self.bodies[body].panels;
        let over = |p: &usize| {
            let b = &self.panels[*p].finished;
            [Axis::X, Axis::Z]
                .into_iter()
                .map(Axis::index)
                .all(|i| b.lo[i] <= at.lo[i] && at.hi[i] <= b.hi[i])
        };
        panels
            .iter()
            .copied()
            .find(over)
            .or(panels.first().copied())
    }
}
