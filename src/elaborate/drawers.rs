//! Drawers (placement rules 2.5) and loose shelves (2.6).

use super::build::{Body, Builder, CutWork, ThingKind, Work, part_id};
use super::declare::clause_length;
use super::fronts::{Front, bare};
use super::stmt::{Stmt, merge};
use super::value;
use super::{Poison, Res};
use crate::diag::{Diagnostic, code};
use crate::measure::{Dimension, Length, Rational, Unit};
use crate::model::{
    AssemblyId, AssemblyKind, Axis, Box3, CutKind, Drawer, Edge, HardwareKind, HardwareUse,
    LeafKind, OpeningId, Origin, PinRow, Role, Runner, RunnerPlace, ShelfSet,
};
use crate::schema::Clause;
use crate::source::Span;
use std::collections::BTreeMap;
use std::rc::Rc;

/// What a wooden-run drawer stops short of the back, 10 mm unless stated (a judgement of this
/// project, told in the reference).
const STOP_MM: i64 = 10;
/// Room around loose shelves, 1 mm unless said.
const SHELF_GAP_MM: i64 = 1;

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
        self.name(body, &name, line.name_span(), ThingKind::Fitting)?;
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
        let index = self.spaces[space].index.clone();
        let full = super::label::indexed(line.name(), &index);
        let path = format!("{}.{full}", self.bodies[parent].path);
        let label = super::label::words(line.name());
        let face = line.forms("face").next().map(|f| {
            let mut face = f.clone();
            // Pulls of the drawer sit on its face.
            face.lines.extend(line.forms("pull").cloned());
            Rc::new(face)
        });
        let face_overlay = face.as_ref().is_some_and(|f| !f.has("inset"));
        // The box stands behind an inset face, wherever that is set back to.
        let behind = match &face {
            Some(f) if !face_overlay => {
                let set_back = clause_length(self, f, "set_back")?.unwrap_or_default();
                self.take_stock(f, Role::Face)?.thick + set_back
            }
            _ => Length::ZERO,
        };
        let (clear, day) = (self.space_box(space)?, self.daylight(space)?);
        let runner = line.forms("runner").next().cloned();
        let (outside, place, origin) = self.box_outside(
            line,
            box_line,
            runner.as_ref(),
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
        if let Some(runner_line) = &runner
            && let Some(RunnerPlace::Side { hardware, .. }) = &place
        {
            self.hardware.push(HardwareUse {
                hardware: *hardware,
                count: 1,
                reason: format!("{label}, runners, a pair"),
                assembly: AssemblyId(body as u32),
            });
            let _ = runner_line;
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

    /// The box outside, and how it runs.
    fn box_outside(
        &mut self,
        line: &Stmt,
        box_line: &Stmt,
        runner: Option<&Stmt>,
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
        let front = clear.face(Edge::Front) + behind;
        let mut out = day;
        out.set_face(Edge::Front, front);
        if let Some(runner) = runner {
            origin.clauses.push(("runner".into(), runner.span));
        }
        if let Some(of) = runner
            .filter(|r| r.has("wooden"))
            .and_then(|r| r.clause("of"))
        {
            self.sink.push(
                Diagnostic::new(
                    &code::NAME_LATER,
                    "bearers, guides and kickers are not made by this edition",
                    of.of.span,
                    "not built yet",
                )
                .help("leave `of` out, and draw the wooden runners yourself"),
            );
            return Err(Poison);
        }
        let hardware = match runner {
            Some(runner) if runner.has("of") => Some(self.hardware_of(runner)?),
            _ => None,
        };
        match hardware {
            Some((
                id,
                HardwareKind::Runner(Runner {
                    long,
                    beside,
                    below,
                    ..
                }),
            )) => {
                let width = wide.unwrap_or(clear.extent(Axis::X) - beside * 2);
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
                    set_back: front - clear.face(Edge::Front),
                };
                Ok((out, Some(place), origin))
            }
            _ => {
                let mut gap = Length::ZERO;
                if let Some(runner) = runner {
                    gap = clause_length(self, runner, "gap")?.unwrap_or_default();
                } else if let Some(side) = self.gap_on(line, Edge::Left)? {
                    gap = side;
                }
                let width = wide.unwrap_or(day.extent(Axis::X) - gap * 2);
                let middle = day.middle(Axis::X);
                out.set_face(Edge::Left, middle - width.half());
                out.set_face(Edge::Right, middle + width.half());
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
    fn gap_on(&mut self, line: &Stmt, edge: Edge) -> Res<Option<Length>> {
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
        let mut pulls = line.clone();
        pulls.lines.retain(|l| l.word() == "pull");
        let front = Front {
            line: Rc::new(pulls),
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

    /// The loose shelves of a body.
    pub fn make_shelves(&mut self, body: usize) {
        let stmt = self.bodies[body].stmt.clone();
        for line in stmt.forms("shelves").filter(|l| !l.is_of_element()) {
            let done = self.make_shelves_line(body, line);
            self.settle(done);
        }
    }

    fn make_shelves_line(&mut self, body: usize, line: &Stmt) -> Res<()> {
        let name = line.name().to_owned();
        self.name(body, &name, line.name_span(), ThingKind::Fitting)?;
        let n = match &line.count {
            Some(count) => value::count(self, &line.env, count)?,
            None => return Err(Poison),
        };
        for space in self.target_spaces(body, line)? {
            let line = &self.element(body, line, space)?;
            let done = self.make_shelves_in(body, space, line, n);
            self.settle(done);
        }
        Ok(())
    }

    fn make_shelves_in(&mut self, parent: usize, space: usize, line: &Stmt, n: u32) -> Res<()> {
        let clear = self.space_box(space)?;
        let gap = clause_length(self, line, "gap")?.unwrap_or(Length::mm(SHELF_GAP_MM));
        let set_back = clause_length(self, line, "set_back")?.unwrap_or_default();
        let rows = match line.forms("pins").next() {
            Some(pins) => Some(self.pin_rows(space, pins, clear, set_back, gap)?),
            None => None,
        };
        let thick = self.take_stock(line, Role::LooseShelf)?.thick;
        let index = self.spaces[space].index.clone();
        let path = format!(
            "{}.{}",
            self.bodies[parent].path,
            super::label::indexed(line.name(), &index)
        );
        let label = if line.name() == "shelves" {
            "Loose shelf".to_owned()
        } else {
            format!("{} shelf", super::label::words(line.name()))
        };
        let mut parts = Vec::new();
        let mut shelf = None;
        let shared = Rc::new(line.clone());
        for i in 1..=n {
            // Drawn equally spaced, each on the nearest hole.
            let wanted = clear
                .extent(Axis::Z)
                .scale(Rational::new(i128::from(i), i128::from(n) + 1));
            let above = match &rows {
                Some(rows) => rows.nearest(wanted),
                None => wanted,
            };
            let mut b = clear;
            b.grow(Edge::Left, -gap);
            b.grow(Edge::Right, -gap);
            b.grow(Edge::Rear, -gap);
            b.grow(Edge::Front, -set_back);
            b.set_face(Edge::Bottom, clear.face(Edge::Bottom) + above);
            b.set_face(Edge::Top, clear.face(Edge::Bottom) + above + thick);
            if b.is_empty() {
                self.sink.push(
                    Diagnostic::new(
                        &code::SUM_NO_ROOM,
                        format!("no room is left for the shelves `{}`", line.name()),
                        line.name_span(),
                        "nothing would be left of them",
                    )
                    .note(format!(
                        "they would be {} wide and {} deep",
                        self.units.text(b.extent(Axis::X)),
                        self.units.text(b.extent(Axis::Y))
                    )),
                );
                return Err(Poison);
            }
            let own = if n == 1 {
                path.clone()
            } else {
                format!("{path}.{i}")
            };
            let made = self.make_leaf_body(
                &own,
                &label,
                line.name(),
                &label,
                &shared,
                b,
                Role::LooseShelf,
            )?;
            if let Some(panel) = self.bodies[made].panels.first() {
                parts.push(part_id(*panel));
            }
            shelf = Some(b);
            self.make_strips(made);
        }
        let load = match (line.clause("load").cloned(), shelf) {
            (Some(load), Some(shelf)) => Some(self.load_of(&load, &shelf)?),
            _ => None,
        };
        let mut set = ShelfSet {
            path,
            opening: OpeningId(space as u32),
            parts,
            rows: Vec::new(),
            pins: None,
            load,
            origin: line.origin(),
        };
        if let (Some(rows), Some(pins)) = (rows, line.forms("pins").next()) {
            let (id, kind) = self.hardware_of(pins)?;
            let HardwareKind::Pin { diameter, deep } = kind else {
                return Err(Poison);
            };
            let per_shelf = match &pins.count {
                Some(count) => value::count(self, &pins.env, count)?,
                None => return Err(Poison),
            };
            set.pins = Some((id, per_shelf));
            self.hardware.push(HardwareUse {
                hardware: id,
                count: per_shelf * n,
                reason: format!("{label}, pins"),
                assembly: AssemblyId(parent as u32),
            });
            set.rows = self.bore_rows(space, &rows, diameter, deep, clear, pins)?;
        }
        self.shelves.push(set);
        Ok(())
    }

    /// `load 60kg per m2`, `load 40kg per m`, `load 25kg` on each shelf: in kilograms a square metre.
    fn load_of(&mut self, load: &super::stmt::Scoped<Clause>, shelf: &Box3) -> Res<f64> {
        let amount = load.of.value().ok_or(Poison)?;
        let mass = value::quantity_not_negative(self, &load.env, amount, Dimension::MASS)?;
        let metres = |axis: Axis| shelf.extent(axis).as_mm() / Rational::int(1000);
        let (wide, deep) = (metres(Axis::X), metres(Axis::Y));
        let per = load.of.tail("per").and_then(Clause::value);
        let unit = per.and_then(|p| p.as_name()).and_then(Unit::find);
        let spread = match (per, unit.map(|u| u.of(Rational::ONE))) {
            (None, _) => wide * deep,
            (_, Some(q)) if q.dimension == Dimension::AREA => q.value / Rational::int(1_000_000),
            (_, Some(q)) if q.dimension == Dimension::LENGTH => {
                q.value / Rational::int(1000) * deep
            }
            (Some(per), _) => {
                self.sink.push(
                    Diagnostic::new(
                        &code::TYPE_MISMATCH,
                        "a load is for an area or a length of shelf",
                        per.span,
                        "neither",
                    )
                    .help("write `load 60kg per m2`, `load 40kg per m`, or `load 25kg` for each shelf"),
                );
                return Err(Poison);
            }
        };
        Ok((mass / spread).to_f64())
    }

    fn pin_rows(
        &mut self,
        space: usize,
        pins: &Stmt,
        clear: Box3,
        shelf_set_back: Length,
        gap: Length,
    ) -> Res<Rows> {
        let pitch_clause = pins.clause("pitch").cloned().ok_or(Poison)?;
        let pitch = value::positive_length(
            self,
            &pitch_clause.env,
            pitch_clause.of.value().ok_or(Poison)?,
        )?;
        let set_back = clause_length(self, pins, "set_back")?.ok_or(Poison)?;
        let from = clause_length(self, pins, "from")?;
        let to = clause_length(self, pins, "to")?;
        let units = self.units;
        let (first, steps) = match (from, to) {
            (Some(from), Some(to)) => {
                let steps = (to - from).ratio(pitch);
                if to < from {
                    let span = |word| pins.clause(word).map_or(pins.head_span, |c| c.of.span);
                    self.sink.push(
                        Diagnostic::new(
                            &code::VALUE_RANGE,
                            "rows of holes that end before they begin",
                            span("to"),
                            format!("{} is below the first hole", units.text(to)),
                        )
                        .at(span("from"), "the first hole"),
                    );
                    return Err(Poison);
                }
                if !steps.is_integer() {
                    let span = pins.clause("to").map_or(pins.head_span, |c| c.of.span);
                    let whole = pitch.scale(Rational::new(steps.floor().unwrap_or(0), 1));
                    self.sink.push(
                        Diagnostic::new(
                            &code::SUM_PITCH,
                            "the rows of holes do not end on a hole",
                            span,
                            format!("{} is not whole pitches above the first", units.text(to)),
                        )
                        .at(
                            pitch_clause.of.span,
                            format!("the pitch is {}", units.text(pitch)),
                        )
                        .note(format!(
                            "({} \u{2212} {}) / {} = {}",
                            units.text(to),
                            units.text(from),
                            units.text(pitch),
                            steps
                        ))
                        .help(format!(
                            "end at {} or {}",
                            units.text(from + whole),
                            units.text(from + whole + pitch)
                        )),
                    );
                    return Err(Poison);
                }
                (from, steps.numer())
            }
            _ => {
                // As many whole pitches as go into half of the clear height, centred in it (rule 2.6).
                let clear_high = clear.extent(Axis::Z);
                let steps = clear_high.half().ratio(pitch).floor().unwrap_or(0).max(0);
                let span = pitch.scale(Rational::new(steps, 1));
                let first = from.unwrap_or((clear_high - span).half());
                (first, steps)
            }
        };
        let count = u32::try_from(steps + 1).ok().filter(|n| *n <= value::MOST);
        let Some(count) = count else {
            self.sink.push(
                Diagnostic::new(
                    &code::VALUE_RANGE,
                    "more holes than can be bored",
                    pitch_clause.of.span,
                    format!("{} in a row", steps + 1),
                )
                .note(format!("at most {} are taken", value::MOST)),
            );
            return Err(Poison);
        };
        let shelf_front = clear.face(Edge::Front) + shelf_set_back;
        let shelf_rear = clear.face(Edge::Rear) - gap;
        let _ = space;
        Ok(Rows {
            first,
            pitch,
            count,
            set_back,
            shelf_front,
            shelf_rear,
            span: pins.head_span,
        })
    }

    /// The rows in both panels beside an opening: front row and rear row.
    fn bore_rows(
        &mut self,
        space: usize,
        rows: &Rows,
        diameter: Length,
        deep: Length,
        clear: Box3,
        pins: &Stmt,
    ) -> Res<Vec<PinRow>> {
        let mut out = Vec::new();
        self.room_for_holes(4 * rows.count, rows.span)?;
        for edge in [Edge::Left, Edge::Right] {
            let Some(panel) = self.bounding(space, edge)? else {
                self.sink.push(Diagnostic::new(
                    &code::PLACE_MISSING,
                    "no panel to bore for the pins",
                    rows.span,
                    format!("nothing bounds the opening at its {}", edge.word()),
                ));
                return Err(Poison);
            };
            let face = self.face(panel, edge.opposite())?;
            let front_row = self.face(panel, Edge::Front)? + rows.set_back;
            let rear_row = rows.shelf_rear - (front_row - rows.shelf_front);
            for (y, from) in [
                (front_row, rows.set_back),
                (rear_row, rear_row - self.face(panel, Edge::Front)?),
            ] {
                let first_z = clear.face(Edge::Bottom) + rows.first;
                out.push(PinRow {
                    part: part_id(panel),
                    set_back: from,
                    first_z,
                    pitch: rows.pitch,
                    count: rows.count,
                });
                let bores = (0..rows.count)
                    .map(|i| Work::Bore {
                        mouth: [face, y, first_z + rows.pitch * i64::from(i)],
                        entry: edge.opposite(),
                        diameter,
                        depth: deep,
                    })
                    .collect();
                self.panels[panel].cuts.push(CutWork {
                    kind: CutKind::PinHoles,
                    solids: bores,
                    entry: edge.opposite(),
                    along: Axis::Z,
                    width: diameter,
                    depth: deep,
                    fit: Length::ZERO,
                    relief: Length::ZERO,
                    joint: None,
                    filler: None,
                    origin: pins.origin(),
                });
            }
        }
        Ok(out)
    }
}

/// Rows of holes for an opening.
struct Rows {
    /// The first hole above the clear floor.
    first: Length,
    pitch: Length,
    count: u32,
    /// Behind the front edge of what is bored.
    set_back: Length,
    shelf_front: Length,
    shelf_rear: Length,
    span: Span,
}

impl Rows {
    /// The hole nearest to a height above the clear floor.
    fn nearest(&self, wanted: Length) -> Length {
        let step = (wanted - self.first)
            .ratio(self.pitch)
            .round()
            .unwrap_or(0)
            .clamp(0, i128::from(self.count) - 1);
        self.first + self.pitch.scale(Rational::new(step, 1))
    }
}
