//! What holds cases, worktops, kicks and fillers together (placement rules 1.8): screws or bolts where
//! their faces meet, to be undone again.

use super::build::{Body, Builder, JointWork};
use super::joints::{Pending, kind_of};
use super::label;
use super::project::name_use;
use super::run::RunItem;
use super::stmt::{Scoped, Stmt};
use super::{Poison, Res};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{
    AssemblyId, AssemblyKind, Box3, Edge, HardwareId, HardwareKind, HardwareUse, Role,
};
use crate::schema::{Clause, NameUse};
use crate::source::Span;
use crate::syntax::tree::{Expr, ExprKind};
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

/// The name of what is held: `bench`, or `north.west` for a filler of a run.
fn held_name(cx: &mut Builder, expr: &Expr) -> Res<NameUse> {
    match &expr.kind {
        ExprKind::Member(of, member) if of.as_name().is_some() => Ok(NameUse {
            text: format!("{}.{}", of.as_name().unwrap_or_default(), member.text),
            index: Vec::new(),
            span: expr.span,
        }),
        ExprKind::Index(of, index) => Ok(NameUse {
            index: index.clone(),
            span: expr.span,
            ..held_name(cx, of)?
        }),
        _ => name_use(cx, expr),
    }
}

impl Builder<'_> {
    /// The `fix` and `bolt` lines of the piece.
    pub fn make_fixings(&mut self, stmt: &Stmt) {
        let lines: Vec<&Stmt> = stmt
            .lines
            .iter()
            .filter(|line| matches!(line.word(), "fix" | "bolt"))
            .collect();
        if lines.is_empty() {
            return;
        }
        let body = self.bodies.len();
        self.bodies.push(Body {
            kind: AssemblyKind::Fitted,
            path: "standing".into(),
            label: "Where it stands".into(),
            envelope: Box3 {
                lo: [Length::ZERO; 3],
                hi: [Length::ZERO; 3],
            },
            stmt: Rc::new(stmt.clone()),
            panels: Vec::new(),
            frame: Vec::new(),
            names: BTreeMap::new(),
            seen: Vec::new(),
        });
        for line in lines {
            let done = match line.word() {
                "fix" => self.fix(body, line),
                _ => self.bolt(body, line),
            };
            self.settle(done);
        }
    }

    fn fix(&mut self, body: usize, line: &Stmt) -> Res<()> {
        let to = line.clause("to").cloned().ok_or(Poison)?;
        let mut first = Vec::new();
        for name in &line.names {
            first.push((name.clone(), self.held_by(name, &line.env)?));
        }
        let mut second = Vec::new();
        for value in &to.of.values {
            let name = held_name(self, value)?;
            let bodies = self.held_by(&name, &to.env)?;
            second.push((name, bodies));
        }
        let mut met: Vec<usize> = Vec::new();
        let mut held: BTreeSet<[usize; 2]> = BTreeSet::new();
        for a in first.iter().flat_map(|(_, list)| list) {
            for b in second.iter().flat_map(|(_, list)| list) {
                let pair = [*a.min(b), *a.max(b)];
                if a != b && !held.contains(&pair) && self.fix_two(body, line, *a, *b)? {
                    held.insert(pair);
                    met.extend(pair);
                }
            }
        }
        for (name, bodies) in first.iter().chain(&second) {
            if let Some(apart) = bodies.iter().find(|b| !met.contains(b)) {
                return Err(self.stand_apart(*apart, name.span));
            }
        }
        Ok(())
    }

    fn bolt(&mut self, body: usize, line: &Stmt) -> Res<()> {
        let name = line.names.first().cloned().ok_or(Poison)?;
        let Some(run) = self.runs.iter().position(|run| run.name == name.text) else {
            if self.slots_of(&name.text).is_empty() {
                return Err(self.no_case(&name.text, name.span));
            }
            let report = Diagnostic::new(
                &code::NAME_UNKNOWN,
                format!("no run of this piece is called `{}`", name.text),
                name.span,
                "this is a case",
            )
            .help(format!(
                "`bolt` takes a run; to hold two cases together: `fix {} to … with …`",
                name.text
            ));
            self.sink.push(report);
            return Err(Poison);
        };
        let items = self.runs[run].items.clone();
        let mut held = false;
        for pair in items.windows(2) {
            let [RunItem::Case(a), RunItem::Case(b)] = pair else {
                continue;
            };
            held = true;
            let (a, b) = (self.case_body(*a)?, self.case_body(*b)?);
            if !self.fix_two(body, line, a, b)? {
                return Err(self.stand_apart(b, name.span));
            }
        }
        // A case that was lost may have been the neighbour.
        if !held && !self.lost_cases {
            let report = Diagnostic::new(
                &code::JOIN_APART,
                format!("no two cases of `{}` stand side by side", name.text),
                name.span,
                "nothing to hold together",
            )
            .help("leave the line out; `fix … to …` holds a filler to the case beside it");
            self.sink.push(report);
            return Err(Poison);
        }
        Ok(())
    }

    /// The bodies that a name stands for: a case, a worktop with its lengths, a kick, a filler.
    fn held_by(&mut self, name: &NameUse, env: &Rc<super::env::Env>) -> Res<Vec<usize>> {
        let index = self.indices(name, env)?;
        let path = label::indexed(&name.text, &index);
        let named = |body: &Body| {
            let kind = matches!(body.kind, AssemblyKind::Case | AssemblyKind::Fitted);
            kind && (body.path == path || super::paths::element_of(&body.path, &path))
        };
        let bodies = self
            .bodies
            .iter()
            .enumerate()
            .filter(|(_, body)| named(body));
        let found: Vec<usize> = bodies.map(|(i, _)| i).collect();
        // What is declared and has no body was reported.
        let known = self.fitted.iter().any(|fitted| fitted.name == path);
        match found.is_empty() {
            true if known || !self.slots_of(&path).is_empty() => Err(Poison),
            true => Err(self.no_case(&name.text, name.span)),
            false => Ok(found),
        }
    }

    /// Holds two bodies together where their panels meet best: face to face; else the face of one to an
    /// edge of the other; else edge to edge. Strips hold nothing.
    fn fix_two(&mut self, body: usize, line: &Stmt, a: usize, b: usize) -> Res<bool> {
        let wood = |me: &Self, body: usize| {
            let panels = me.bodies[body].panels.iter().copied();
            let wood = panels.filter(|p| me.panels[*p].role != Role::Band);
            wood.collect::<Vec<usize>>()
        };
        let others = wood(self, b);
        let mut meetings = Vec::new();
        for p in wood(self, a) {
            for q in &others {
                if let Some((edge, contact)) = self.meeting(p, *q) {
                    let face = |panel: usize| self.panels[panel].axis == edge.axis();
                    let faces = usize::from(face(p)) + usize::from(face(*q));
                    meetings.push((faces, p, *q, edge, contact));
                }
            }
        }
        let best = meetings.iter().map(|m| m.0).max();
        for (faces, p, q, edge, contact) in meetings {
            if Some(faces) == best {
                self.hold(body, line, p, q, edge, contact)?;
            }
        }
        Ok(best.is_some())
    }

    /// One meeting that is held.
    fn hold(
        &mut self,
        body: usize,
        line: &Stmt,
        a: usize,
        b: usize,
        edge: Edge,
        contact: Box3,
    ) -> Res<()> {
        let with = line.clause("with").cloned().ok_or(Poison)?;
        let word = with.of.value().and_then(|v| v.as_name()).ok_or(Poison)?;
        let kind = kind_of(word, &with.of).ok_or(Poison)?;
        let (hardware, n, from_ends) = self.fastener(&with, kind)?.ok_or(Poison)?;
        self.held_once(hardware, a, b, line)?;
        self.long_enough(hardware, a, b, edge, &with)?;
        let places = self.connector_places(&contact, n, from_ends, line, a)?;
        let mut origin = line.origin();
        origin.span = line.span;
        for tail in &with.of.tails {
            origin.clauses.push((tail.word.to_owned(), tail.span));
        }
        let both = self.joints_of.entry((a.min(b), a.max(b)));
        both.or_default().push(self.joints.len());
        self.joints.push(JointWork {
            kind,
            a,
            b,
            edge,
            deep: Length::ZERO,
            contact,
            glued: false,
            glued_along: None,
            slotted: with.of.tail("slotted").is_some(),
            open_to: None,
            fastening: Some((hardware, places)),
            body,
            origin,
        });
        let held = Pending {
            joint: self.joints.len() - 1,
            options: Rc::default(),
        };
        self.cut_joint(&held);
        let held = [a, b].map(|panel| self.bodies[self.panels[panel].body].label.clone());
        self.hardware.push(HardwareUse {
            hardware,
            count: n,
            reason: held.join(" to "),
            assembly: AssemblyId(body as u32),
        });
        Ok(())
    }

    /// Two parts are held once by the same hardware.
    fn held_once(&mut self, hardware: HardwareId, a: usize, b: usize, line: &Stmt) -> Res<()> {
        let pair = (a.min(b), a.max(b));
        let held = self.joints_of.get(&pair).into_iter().flatten();
        let mut held = held.map(|joint| &self.joints[*joint]);
        let same = held.find(|joint| joint.fastening.as_ref().is_some_and(|f| f.0 == hardware));
        let Some(first) = same.map(|joint| joint.origin.span) else {
            return Ok(());
        };
        let [p, q] = [a, b].map(|panel| self.panels[panel].path.clone());
        self.sink.push(
            Diagnostic::new(
                &code::LINE_DOUBLED,
                format!("`{p}` and `{q}` are held twice by the same hardware"),
                line.span,
                "again here",
            )
            .at(first, "they are held here")
            .help("keep one of them, with as many as there are to be"),
        );
        Err(Poison)
    }

    /// A bolt reaches through both of what it holds.
    fn long_enough(
        &mut self,
        hardware: HardwareId,
        a: usize,
        b: usize,
        edge: Edge,
        with: &Scoped<Clause>,
    ) -> Res<()> {
        let data = self.project.hardware.get_index(hardware.0 as usize);
        let Some(HardwareKind::Bolt { long, .. }) = data.map(|(_, h)| h.kind.clone()) else {
            return Ok(());
        };
        let [x, y] = [a, b].map(|panel| self.panels[panel].finished.extent(edge.axis()));
        if x + y <= long {
            return Ok(());
        }
        let units = self.units;
        let [p, q] = [a, b].map(|panel| self.panels[panel].path.clone());
        let report = Diagnostic::new(
            &code::VALUE_RANGE,
            format!("a bolt that is too short for `{p}` and `{q}`"),
            with.of.span,
            format!("holds {} at most", units.text(long)),
        )
        .note(format!(
            "{} + {} = {}",
            units.text(x),
            units.text(y),
            units.text(x + y)
        ))
        .help("name a longer bolt");
        self.sink.push(report);
        Err(Poison)
    }

    fn stand_apart(&mut self, body: usize, span: Span) -> Poison {
        let report = Diagnostic::new(
            &code::JOIN_APART,
            format!(
                "`{}` meets nothing that it is held to",
                self.bodies[body].path
            ),
            span,
            "no face of it touches them",
        );
        self.sink
            .push(report.help("name what it stands against, or move it there"));
        Poison
    }
}
