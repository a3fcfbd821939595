//! Drawers (placement rules 2.5).

use super::build::{Body, Builder, ThingKind};
use super::declare::clause_length;
use super::fronts::{Front, bare};
use super::merge::merge;
use super::stmt::Stmt;
use super::value;
use super::{Poison, Res};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{
    AssemblyId, AssemblyKind, Axis, Box3, Drawer, Edge, HardwareKind, HardwareUse, LeafKind,
    OpeningId, Origin, Role, Runner, RunnerPlace, UnderMount,
};
use std::collections::BTreeMap;
use std::rc::Rc;

/// What a wooden-run drawer stops short of the back, 10 mm unless stated (a judgement of this
/// project, told in the reference).
const STOP_MM: i64 = 10;

impl Builder<'_> {
    /// The drawers of a body.
    pub fn make_drawers(&mut self, body: usize) {
        let stmt = self.bodies[body].stmt.clone();
        for line in stmt.forms("drawer").filter(|l| !l.is_of_element()) {
            let done = self.make_drawer_line(body, line);
            self.settle(done);
        }
    }

    fn make_drawer_line(&mut self, body: usize, line: &Stmt) -> Res<()> {
        let name = line.name().to_owned();
        self.name(body, &name, line.named(), ThingKind::Fitting)?;
        for space in self.target_spaces(body, line)? {
            let line = &self.element(body, line, space)?;
            self.claim_space(space, line)?;
            // One that is wrong was reported; its like in the other openings are checked too.
            let done = self.make_drawer(body, space, line);
            self.settle(done);
        }
        Ok(())
    }

    fn make_drawer(&mut self, parent: usize, space: usize, line: &Stmt) -> Res<()> {
        let Some(box_line) = line.forms("box").next() else {
            if !line.damaged {
                self.sink.push(
                    Diagnostic::new(
                        &code::LINE_NEEDS,
                        format!("the drawer `{}` has no box", line.name()),
                        line.name_span(),
                        "nothing to pull out",
                    )
                    .help("add a line `box of …` to its block"),
                );
            }
            return Err(Poison);
        };
        let index = self.fitting_index(line, space);
        let full = super::label::indexed(line.name(), &index);
        let path = format!("{}.{full}", self.bodies[parent].path);
        let label = super::label::words(line.name());
        let face = line.forms("face").next().map(|f| {
            let mut face = f.clone();
            // Pulls and locks of the drawer sit on its face.
            for word in ["pull", "lock"] {
                face.lines.extend(line.forms(word).cloned());
            }
            Rc::new(face)
        });
        let face_overlay = face.as_ref().is_some_and(|f| !f.has("inset"));
        if let (Some(_), Some(set_back)) = (&face, line.clause("set_back")) {
            self.sink.push(
                Diagnostic::new(
                    &code::NAME_WORD_NOT_HERE,
                    format!("`{}` has a face, which stands before its box", line.name()),
                    set_back.of.span,
                    "of a drawer without a face",
                )
                .help("write `set_back` on the `face`"),
            );
            return Err(Poison);
        }
        // The box stands behind an inset face, wherever that is set back to.
        let behind = match &face {
            Some(f) if !face_overlay => {
                let set_back = clause_length(self, f, "set_back")?.unwrap_or_default();
                self.take_stock(f, Role::Face)?.thick + set_back
            }
            None => clause_length(self, line, "set_back")?.unwrap_or_default(),
            Some(_) => Length::ZERO,
        };
        let (clear, day) = (self.space_box(space)?, self.daylight(space)?);
        let plane = self.plane_before(parent, clear.face(Edge::Front))?;
        let runner = line.forms("runner").next().cloned();
        self.check_air(line, runner.as_ref(), face.is_some())?;
        let (outside, place, origin) = self.box_outside(
            line,
            box_line,
            runner.as_ref(),
            plane,
            clear,
            day,
            face.is_some(),
            behind,
        )?;
        if outside.is_empty() {
            let units = self.units;
            self.sink.push(
                Diagnostic::new(
                    &code::SUM_NO_ROOM,
                    format!("no room is left for the box of `{full}`"),
                    box_line.head_span,
                    "nothing would be left of it",
                )
                .note(format!(
                    "it would be {} wide, {} high, {} deep",
                    units.text(outside.extent(Axis::X)),
                    units.text(outside.extent(Axis::Z)),
                    units.text(outside.extent(Axis::Y))
                )),
            );
            return Err(Poison);
        }
        let body = self.bodies.len();
        let stmt = Rc::new(line.clone());
        self.bodies.push(Body {
            kind: AssemblyKind::Drawer,
            path: path.clone(),
            label: label.clone(),
            envelope: outside,
            stmt: stmt.clone(),
            panels: Vec::new(),
            frame: Vec::new(),
            names: BTreeMap::new(),
            seen: Vec::new(),
        });
        let before = std::mem::replace(&mut self.current, body);
        self.declare_box_panels(body, line, box_line);
        self.declare_inside(body);
        self.declare_divisions(body);
        let fine = self.finish_panels(body);
        if fine {
            self.declare_bands(body);
            self.make_joints(body);
            self.make_strips(body);
        }
        self.current = before;
        if let Some(runner) = runner.as_ref().filter(|r| r.has("wooden") && r.has("of")) {
            let sides = self.bodies[body].panels.iter().copied();
            let side = sides
                .map(|p| &self.panels[p])
                .find(|p| p.role == Role::DrawerSide);
            let side = side.map_or(Length::ZERO, |p| p.thick);
            self.make_wooden_runners(parent, space, line, runner, day, side)?;
        } else if let Some(runner) = &runner
            && runner.has("wooden")
            && let Some(thick) = runner.clause("thick")
        {
            let report = Diagnostic::new(
                &code::NAME_WORD_NOT_HERE,
                "`thick` without `of`",
                thick.of.span,
                "of what is not said",
            )
            .help("add `of` and the stock of the bearers, or leave `thick` out");
            self.sink.push(report);
        }
        if let Some(RunnerPlace::Side { hardware, .. }) = &place {
            self.hardware.push(HardwareUse {
                hardware: *hardware,
                count: 1,
                reason: format!("{label}, runners, a pair"),
                assembly: AssemblyId(body as u32),
            });
        }
        self.drawers.push(Drawer {
            path: path.clone(),
            assembly: AssemblyId(body as u32),
            opening: OpeningId(space as u32),
            outside,
            runner: place,
            origin,
        });
        match face {
            Some(face_line) => {
                let front = Front {
                    line: face_line.clone(),
                    space,
                    overlay: face_overlay,
                    pair: false,
                };
                let boxes = self.front_boxes(&front, Role::Face)?;
                for (_, finished) in boxes {
                    let leaf_path = format!("{path}.face");
                    let part_label = super::label::within(line.name(), "face");
                    let made = self.make_leaf_body(
                        &leaf_path,
                        &part_label,
                        "face",
                        &part_label,
                        &face_line,
                        finished,
                        Role::Face,
                    )?;
                    self.dress_leaf(
                        made,
                        &front,
                        LeafKind::DrawerFace,
                        leaf_path,
                        finished,
                        None,
                        false,
                        Some(AssemblyId(body as u32)),
                    )?;
                }
            }
            None => self.own_front(body, space, line, &path, outside)?,
        }
        Ok(())
    }

    /// The air of a drawer is stated where it has an effect, and once.
    fn check_air(&mut self, line: &Stmt, runner: Option<&Stmt>, has_face: bool) -> Res<()> {
        if let Some(runner) = runner.filter(|r| !r.damaged && !r.has("of") && !r.has("wooden")) {
            self.sink.push(
                Diagnostic::new(
                    &code::LINE_NEEDS,
                    "a runner that is neither hardware nor wood",
                    runner.head_span,
                    "not complete",
                )
                .help("`runner of` with the name of hardware, or `runner wooden`"),
            );
            return Err(Poison);
        }
        let of_runner = runner.and_then(|r| r.clause("gap"));
        for gap in line.all("gap") {
            let on = gap.of.tail("on").into_iter().flat_map(|on| &on.values);
            let on: Vec<&str> = on.filter_map(|edge| edge.as_name()).collect();
            let (why, help) = if has_face {
                (
                    "of a drawer without a face",
                    "leave it out: the air of the front stands on the `face`",
                )
            } else if runner.is_some_and(|r| r.has("of") && !r.has("wooden")) {
                (
                    "its runners say how much air it has",
                    "leave it out: `beside`, `above` and `below` of the hardware count",
                )
            } else if of_runner.is_some() && on.iter().any(|e| matches!(*e, "left" | "right")) {
                (
                    "its runner says how much air it has there",
                    "keep one of them",
                )
            } else if runner.is_some() && on.contains(&"bottom") {
                ("it runs on wood there", "leave it out: there is no air")
            } else if of_runner.is_some() && (on.is_empty() || on.contains(&"all")) {
                (
                    "its runner says how much air it has at the left and right",
                    "state it for the top: `gap … on top`",
                )
            } else {
                continue;
            };
            let report = Diagnostic::new(
                &code::NAME_WORD_NOT_HERE,
                format!("`gap` says nothing about `{}`", line.name()),
                gap.of.span,
                why,
            );
            self.sink.push(report.help(help));
            return Err(Poison);
        }
        Ok(())
    }

    /// The box outside, and how it runs.
    #[expect(clippy::too_many_arguments, reason = "what a box depends on")]
    fn box_outside(
        &mut self,
        line: &Stmt,
        box_line: &Stmt,
        runner: Option<&Stmt>,
        plane: Length,
        clear: Box3,
        day: Box3,
        has_face: bool,
        behind: Length,
    ) -> Res<(Box3, Option<RunnerPlace>, Origin)> {
        let mut origin = line.origin();
        origin.clauses.extend(
            box_line
                .origin()
                .clauses
                .into_iter()
                .filter(|(w, _)| w != "line"),
        );
        origin.clauses.push(("box".into(), box_line.head_span));
        let stated = |me: &mut Self, word: &str| match box_line.clause(word).cloned() {
            Some(clause) => {
                value::positive_length(me, &clause.env, clause.of.value().ok_or(Poison)?).map(Some)
            }
            None => Ok(None),
        };
        let (wide, high, deep) = (
            stated(self, "wide")?,
            stated(self, "high")?,
            stated(self, "deep")?,
        );
        let front = plane + behind;
        let mut out = day;
        out.set_face(Edge::Front, front);
        if let Some(runner) = runner {
            origin.clauses.push(("runner".into(), runner.span));
        }
        let hardware = match runner {
            Some(runner) if runner.has("of") && !runner.has("wooden") => {
                Some(self.hardware_of(runner)?)
            }
            _ => None,
        };
        match hardware {
            Some((
                id,
                HardwareKind::Runner(Runner {
                    long,
                    beside,
                    below,
                    under,
                    ..
                }),
            )) => {
                let fits = match under {
                    Some(under) => {
                        let side = self.under_side(line, box_line, under)?;
                        clear.extent(Axis::X) - under.inside + side * 2
                    }
                    None => clear.extent(Axis::X) - beside * 2,
                };
                let width = wide.unwrap_or(fits);
                let middle = clear.middle(Axis::X);
                out.set_face(Edge::Left, middle - width.half());
                out.set_face(Edge::Right, middle + width.half());
                let high = high.ok_or_else(|| self.box_height(box_line))?;
                out.set_face(Edge::Bottom, day.face(Edge::Bottom) + below);
                out.set_face(Edge::Top, day.face(Edge::Bottom) + below + high);
                out.set_face(Edge::Rear, front + deep.unwrap_or(long));
                let place = RunnerPlace::Side {
                    hardware: id,
                    box_above_floor: out.face(Edge::Bottom) - clear.face(Edge::Bottom),
                    set_back: behind,
                };
                Ok((out, Some(place), origin))
            }
            _ => {
                let of_runner = match runner {
                    Some(runner) => clause_length(self, runner, "gap")?,
                    None => None,
                };
                let mut air = [Length::ZERO; 2];
                for (air, edge) in air.iter_mut().zip([Edge::Left, Edge::Right]) {
                    *air = match of_runner {
                        Some(gap) => gap,
                        None => self.gap_on(line, edge)?.unwrap_or_default(),
                    };
                }
                let [left, right] = air;
                let gap = left.min(right);
                out.grow(Edge::Left, -left);
                out.grow(Edge::Right, -right);
                if let Some(width) = wide {
                    let middle = day.middle(Axis::X);
                    out.set_face(Edge::Left, middle - width.half());
                    out.set_face(Edge::Right, middle + width.half());
                }
                let above = self.gap_on(line, Edge::Top)?.unwrap_or_default();
                let below = if has_face || runner.is_some() {
                    Length::ZERO
                } else {
                    self.gap_on(line, Edge::Bottom)?.unwrap_or_default()
                };
                out.set_face(Edge::Bottom, day.face(Edge::Bottom) + below);
                out.set_face(
                    Edge::Top,
                    high.map_or(day.face(Edge::Top) - above, |h| {
                        day.face(Edge::Bottom) + below + h
                    }),
                );
                let stop = Length::mm(STOP_MM);
                out.set_face(
                    Edge::Rear,
                    deep.map_or(clear.face(Edge::Rear) - stop, |d| front + d),
                );
                let place = runner.map(|_| RunnerPlace::Wooden { gap });
                Ok((out, place, origin))
            }
        }
    }

    /// The thickness of a box's sides on runners under it, held against what those take.
    fn under_side(&mut self, line: &Stmt, box_line: &Stmt, under: UnderMount) -> Res<Length> {
        let own = line.forms("side").next().filter(|side| side.has("of"));
        let of = own.unwrap_or(box_line).clone();
        let side = self.take_stock(&of, Role::DrawerSide)?.thick;
        let text = |length| self.units.text(length);
        if let Some(most) = under.side_max.filter(|most| side > *most) {
            let report = Diagnostic::new(
                &code::VALUE_RANGE,
                format!(
                    "the sides of `{}` are too thick for its runners",
                    line.name()
                ),
                of.clause("of").map_or(of.head_span, |c| c.of.span),
                format!("{}, {} too thick", text(side), text(side - most)),
            )
            .note(format!("the runners take sides up to {}", text(most)))
            .help("take thinner sides, or another runner");
            self.sink.push(report);
            return Err(Poison);
        }
        let bottom = line.forms("bottom").next().cloned();
        let at = match &bottom {
            Some(bottom) => clause_length(self, bottom, "at")?,
            None => None,
        };
        let text = |length| self.units.text(length);
        if let (Some(recess), Some(at), Some(bottom)) = (under.recess, at, bottom)
            && recess != at
        {
            let report = Diagnostic::new(
                &code::VALUE_RANGE,
                format!(
                    "the bottom of `{}` does not lie as its runners ask",
                    line.name()
                ),
                bottom.clause("at").map_or(bottom.head_span, |c| c.of.span),
                format!("{} above the lower edge", text(at)),
            )
            .note(format!("the runners take it {} above", text(recess)))
            .help(format!("write `at {}`", text(recess)));
            self.sink.push(report);
            return Err(Poison);
        }
        Ok(side)
    }

    fn box_height(&mut self, box_line: &Stmt) -> Poison {
        if !box_line.damaged {
            self.sink.push(
                Diagnostic::new(
                    &code::LINE_NEEDS,
                    "the box does not say how high it is",
                    box_line.head_span,
                    "no `high`",
                )
                .help("add `high` with a length; side-mounted runners leave it to the maker"),
            );
        }
        Poison
    }

    /// `gap L` or `gap L on EDGE` of a drawer's line.
    pub(super) fn gap_on(&mut self, line: &Stmt, edge: Edge) -> Res<Option<Length>> {
        let mut out = None;
        for gap in line.all("gap").cloned().collect::<Vec<_>>() {
            let on = gap.of.tail("on").map(|on| {
                on.values
                    .iter()
                    .any(|v| v.as_name().is_some_and(|w| w == edge.word() || w == "all"))
            });
            if on.unwrap_or(true) {
                out = Some(value::length_not_negative(
                    self,
                    &gap.env,
                    gap.of.value().ok_or(Poison)?,
                )?);
            }
        }
        Ok(out)
    }

    /// `left`, `right`, `front` and `back` of the box's stock, each changed by its own line, and the
    /// bottom if it has a line.
    fn declare_box_panels(&mut self, body: usize, line: &Stmt, box_line: &Stmt) {
        let base = |word: &str| {
            let mut stmt = box_line.clone();
            stmt.clauses.retain(|c| matches!(c.of.word, "of" | "thick"));
            stmt.lines.clear();
            if let Some(own) = line.forms(word).next() {
                stmt.names.clear();
                let stated_stock = own.has("of");
                if stated_stock {
                    stmt.clauses.clear();
                }
                stmt = merge(stmt, own);
            }
            stmt
        };
        for (name, word) in [
            ("left", "side"),
            ("right", "side"),
            ("front", "front"),
            ("back", "back"),
        ] {
            let stmt = base(word);
            let span = stmt.head_span;
            let named = bare(name, span);
            let mut stmt = stmt;
            if let Some(head) = crate::schema::table::head(word, crate::schema::Context::Drawer) {
                stmt.head = head;
            }
            stmt.names = vec![named.clone()];
            let done = self.declare_panel(body, &Rc::new(stmt), Some(&named), None, Vec::new());
            self.settle(done);
        }
        if let Some(bottom) = line.forms("bottom").next() {
            let done = self.declare_panel(body, &Rc::new(bottom.clone()), None, None, Vec::new());
            self.settle(done);
        }
    }

    /// A drawer without a face: the front of the box is what shows.
    fn own_front(
        &mut self,
        body: usize,
        space: usize,
        line: &Stmt,
        path: &str,
        outside: Box3,
    ) -> Res<()> {
        let Some(panel) = self.bodies[body]
            .panels
            .iter()
            .copied()
            .find(|p| self.panels[*p].role == Role::DrawerFront)
        else {
            return Err(Poison);
        };
        let finished = self.panels[panel].finished;
        let mut fitted = line.clone();
        fitted.lines.retain(|l| matches!(l.word(), "pull" | "lock"));
        let front = Front {
            line: Rc::new(fitted),
            space,
            overlay: false,
            pair: false,
        };
        // The strips of the box are on already; only the record and the pulls are left to make.
        let mut visible = finished;
        visible.set_face(Edge::Left, outside.face(Edge::Left));
        visible.set_face(Edge::Right, outside.face(Edge::Right));
        let saved = std::mem::take(&mut self.bodies[body].panels);
        self.bodies[body].panels = vec![panel];
        let bands = std::mem::take(&mut self.panels[panel].bands);
        let made = self.dress_leaf(
            body,
            &front,
            LeafKind::OwnFront,
            format!("{path}.front"),
            visible,
            None,
            false,
            Some(AssemblyId(body as u32)),
        );
        self.panels[panel].bands = bands;
        self.bodies[body].panels = saved;
        made
    }
}
