//! Panels from lines: role, stock, thickness, how they lie (placement rules 1.1 and 1.3).

use super::build::{Builder, Panel, Place, ThingKind};
use super::project::thing_use;
use super::stmt::{Scoped, Stmt};
use super::value;
use super::{Poison, Res};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{AssemblyKind, Axis, Box3, Edge, Grain, Role, SheetGrain, StockId, StockKind};
use crate::schema::{Clause, NameUse};
use std::rc::Rc;

/// The most panels and openings of a piece: far above any furniture, and quickly refused.
const MOST_THINGS: usize = 100_000;

/// The most holes, slots and fittings of a piece.
const MOST_HOLES: u32 = 1_000_000;

/// Less of a part than this, along or across, no saw leaves whole: a slip in a size.
const LEAST_MM: i64 = 1;

/// The heads that are panels of a case, with their roles.
pub fn role_of(word: &str) -> Option<Role> {
    Some(match word {
        "side" => Role::Side,
        "bottom" => Role::Bottom,
        "top" => Role::Top,
        "lid" => Role::Lid,
        "front" => Role::Front,
        "back" => Role::Back,
        "shelf" => Role::Shelf,
        "divider" => Role::Divider,
        "rail" => Role::Rail,
        "stile" => Role::Stile,
        "kick" => Role::Kick,
        "cleat" => Role::Cleat,
        "panel" => Role::Panel,
        "leg" => Role::Leg,
        "apron" => Role::Apron,
        _ => return None,
    })
}

/// A stock taken up by a panel.
#[derive(Debug)]
pub struct Taken {
    /// Which.
    pub stock: StockId,
    /// The panel's thickness.
    pub thick: Length,
    /// Whether there is grain to keep.
    pub grain: Grain,
    /// Whether it is sheet.
    pub sheet: bool,
}

impl Builder<'_> {
    /// Declares the panels that a body's lines name, outside divisions.
    pub fn declare_panels(&mut self, body: usize) {
        let stmt = self.bodies[body].stmt.clone();
        for line in &stmt.lines {
            if role_of(line.word()).is_none() {
                continue;
            }
            // It changes one part of an array; or it closes an opening, which is not there yet.
            if line.is_of_element() || line.has("in") {
                continue;
            }
            let line = Rc::new(line.clone());
            if line.names.is_empty() {
                let done = self.declare_panel(body, &line, None, None, line.index.clone());
                self.settle(done);
            }
            let placed = self.one_place(&line);
            for name in &line.names {
                let done = self.declare_panel(body, &line, Some(name), None, line.index.clone());
                if let (Some(panel), false) = (self.settle(done), placed) {
                    self.panels[panel].faces = [Place::Bad; 6];
                }
            }
        }
    }

    /// Declares the panels that close openings of a body, one in each.
    pub fn declare_panels_in(&mut self, body: usize) {
        let stmt = self.bodies[body].stmt.clone();
        let within = |l: &&Stmt| l.word() == "panel" && l.has("in") && !l.is_of_element();
        for line in stmt.lines.iter().filter(within) {
            let line = Rc::new(line.clone());
            let Some(spaces) = self.target_spaces(body, &line).ok() else {
                continue;
            };
            for space in spaces {
                let index = self.fitting_index(&line, space);
                let claimed = self.claim_space(space, &line);
                let done = claimed.and_then(|()| {
                    let within = Some((space, None));
                    self.declare_panel(body, &line, line.names.first(), within, index)
                });
                self.settle(done);
            }
        }
    }

    /// Whether a part of a body could not be declared: what misses it was reported with it.
    pub fn lost_panel(&self, body: usize) -> bool {
        let b = &self.bodies[body];
        let lost = |line: &Stmt| match line.names.as_slice() {
            [] => !b.names.contains_key(line.word()),
            names => names.iter().any(|name| !b.names.contains_key(&name.text)),
        };
        let mut parts = b.stmt.lines.iter().filter(|l| role_of(l.word()).is_some());
        parts.any(|line| lost(line) || line.damaged)
    }

    /// `at` is the place of one part: reports it where several stand on the line.
    fn one_place(&mut self, line: &Stmt) -> bool {
        let (Some(at), [first, .., last]) = (line.clause("at"), line.names.as_slice()) else {
            return true;
        };
        let report = Diagnostic::new(
            &code::NAME_WORD_NOT_HERE,
            format!(
                "several parts at one place: `{}` and `{}`",
                first.text, last.text
            ),
            at.of.span,
            "the place of one",
        );
        self.sink
            .push(report.help("give each a line of its own, or leave `at` out"));
        false
    }

    /// Declares one panel; its faces are found later.
    pub fn declare_panel(
        &mut self,
        body: usize,
        line: &Rc<Stmt>,
        name: Option<&NameUse>,
        within: Option<(usize, Option<usize>)>,
        index: Vec<u32>,
    ) -> Res<usize> {
        let text = name.map_or(line.word(), |n| n.text.as_str()).to_owned();
        let lost = (body, text.clone(), index.clone());
        let done = self.try_panel(body, line, (name, text), within, index);
        if done.is_err() {
            self.lost_parts.push(lost);
        }
        done
    }

    fn try_panel(
        &mut self,
        body: usize,
        line: &Rc<Stmt>,
        (name, text): (Option<&NameUse>, String),
        within: Option<(usize, Option<usize>)>,
        index: Vec<u32>,
    ) -> Res<usize> {
        self.room_for_more(line.head_span)?;
        let role = self.role_in(body, line.word()).ok_or(Poison)?;
        let line = &Rc::new(self.changed(body, line, &text, &index)?);
        let span = name.map_or(line.head_span, |n| n.span);
        let edge = self.edge_of(body, line, role, &text);
        self.check_edge_word(line, role, &text, span, edge)?;
        let taken = self.take_stock(line, role)?;
        let upright = line.has("upright");
        let inward = within
            .and_then(|(_, division)| self.divisions.get(division?))
            .is_some_and(|division| division.axis == Axis::Y);
        let (axis, pos) = match role {
            // Between openings one behind the other, a divider stands across.
            Role::Divider if inward => (Axis::Y, Axis::Y),
            Role::Side | Role::Divider | Role::DrawerSide => (Axis::X, Axis::X),
            Role::Front | Role::Back | Role::Kick | Role::DrawerFront | Role::DrawerBack => {
                (Axis::Y, Axis::Y)
            }
            Role::Apron if edge.is_some_and(|edge| edge.axis() == Axis::X) => (Axis::X, Axis::X),
            Role::Apron => (Axis::Y, Axis::Y),
            Role::Leg => (Axis::X, Axis::X),
            Role::Stile => (Axis::Y, Axis::X),
            Role::Panel => {
                let looks = line.clause("faces").and_then(|c| c.of.value());
                let looks = looks.and_then(|v| v.as_name()).and_then(Edge::from_word);
                let axis = looks.map_or(Axis::Y, Edge::axis);
                (axis, axis)
            }
            Role::Rail if upright => (Axis::Y, Axis::Z),
            _ => (Axis::Z, Axis::Z),
        };
        let grain = self.grain_axis(body, line, role, axis, &taken)?;
        let b = &self.bodies[body];
        let full = super::label::indexed(&text, &index);
        let label = match b.kind {
            AssemblyKind::Drawer => format!("{}, {}", b.label, super::label::role(role)),
            _ => super::label::panel(&text, role),
        };
        let panel = Panel {
            name: text.clone(),
            index,
            path: format!("{}.{full}", b.path),
            label,
            role,
            body,
            stmt: line.clone(),
            stock: taken.stock,
            thick: taken.thick,
            axis,
            pos,
            edge,
            within,
            faces: [Place::Todo; 6],
            grain,
            grained: taken.grain,
            finished: Box3 {
                lo: [Length::ZERO; 3],
                hi: [Length::ZERO; 3],
            },
            core: Box3 {
                lo: [Length::ZERO; 3],
                hi: [Length::ZERO; 3],
            },
            cuts: Vec::new(),
            bands: Vec::new(),
            host: None,
            aslant: None,
            shaped: Vec::new(),
            growth: Vec::new(),
        };
        let index = panel.index.clone();
        self.panels.push(panel);
        let id = self.panels.len() - 1;
        self.name(body, &text, (span, &index), ThingKind::Panels(vec![id]))?;
        self.bodies[body].panels.push(id);
        let bounds = edge.is_some() && role != Role::Apron;
        if bounds || (role == Role::Rail && within.is_none()) {
            self.bodies[body].frame.push(id);
        }
        Ok(id)
    }

    /// One piece has so many parts and openings at most; more is a slip in a count.
    pub fn room_for_more(&mut self, span: crate::source::Span) -> Res<()> {
        if self.panels.len() + self.spaces.len() < MOST_THINGS {
            return Ok(());
        }
        self.sink.push(
            Diagnostic::new(
                &code::VALUE_RANGE,
                "more parts and openings than a piece can have",
                span,
                "one too many here",
            )
            .note(format!("a piece holds at most {MOST_THINGS}"))
            .help("look for a count that is too large"),
        );
        Err(Poison)
    }

    /// Of holes, slots and fittings a piece has so many at most.
    pub fn room_for_holes(&mut self, more: u32, span: crate::source::Span) -> Res<()> {
        self.holes = self.holes.saturating_add(more);
        if self.holes <= MOST_HOLES {
            return Ok(());
        }
        self.sink.push(
            Diagnostic::new(
                &code::VALUE_RANGE,
                "more holes and slots than a piece can have",
                span,
                "too many with these",
            )
            .note(format!("a piece holds at most {MOST_HOLES}"))
            .help("look for a count that is too large"),
        );
        Err(Poison)
    }

    /// The role of a head in this body.
    pub fn role_in(&self, body: usize, word: &str) -> Option<Role> {
        match (self.bodies[body].kind, word) {
            (AssemblyKind::Drawer, "left" | "right" | "side") => Some(Role::DrawerSide),
            (AssemblyKind::Drawer, "front") => Some(Role::DrawerFront),
            (AssemblyKind::Drawer, "back") => Some(Role::DrawerBack),
            (AssemblyKind::Drawer, "bottom") => Some(Role::DrawerBottom),
            _ => role_of(word),
        }
    }

    /// The edge that a boundary panel bounds. Sides: by their name, else the first at the left.
    fn edge_of(&self, body: usize, line: &Stmt, role: Role, name: &str) -> Option<Edge> {
        match role {
            Role::Side | Role::DrawerSide => {
                if let Some(edge @ (Edge::Left | Edge::Right)) = Edge::from_word(name) {
                    return Some(edge);
                }
                let taken = |edge: Edge| {
                    let named = line
                        .names
                        .iter()
                        .any(|n| Edge::from_word(&n.text) == Some(edge));
                    named
                        || self.bodies[body]
                            .panels
                            .iter()
                            .any(|p| self.panels[*p].edge == Some(edge))
                };
                Some(if taken(Edge::Left) {
                    Edge::Right
                } else {
                    Edge::Left
                })
            }
            Role::Top | Role::Lid => Some(Edge::Top),
            Role::Bottom | Role::DrawerBottom => Some(Edge::Bottom),
            Role::Front | Role::DrawerFront => Some(Edge::Front),
            Role::Back | Role::DrawerBack => Some(Edge::Rear),
            Role::Apron => Edge::from_word(name).filter(|edge| edge.axis() != Axis::Z),
            _ => None,
        }
    }

    /// A part may be called by an edge word only if it bounds that edge, so both readings agree.
    fn check_edge_word(
        &mut self,
        line: &Stmt,
        role: Role,
        name: &str,
        span: crate::source::Span,
        edge: Option<Edge>,
    ) -> Res<()> {
        match Edge::from_word(name) {
            Some(word) if Some(word) != edge && !line.names.is_empty() => {
                let what = super::label::role(role);
                let mut report = Diagnostic::new(
                    &code::NAME_EDGE,
                    format!("a {what} called `{name}` that does not bound that edge"),
                    span,
                    "reads as an edge",
                );
                if let Some(edge) = edge {
                    report =
                        report.note(format!("a {what} bounds the {} of its case", edge.word()));
                }
                self.sink.push(report.help("give it another name"));
                Err(Poison)
            }
            _ => Ok(()),
        }
    }

    /// The stock of a line, and the thickness that it gives.
    pub fn take_stock(&mut self, line: &Stmt, role: Role) -> Res<Taken> {
        let Some(of) = line.clause("of").cloned() else {
            if !line.damaged {
                self.sink.push(
                    Diagnostic::new(
                        &code::LINE_NEEDS,
                        format!("`{}` does not say what it is made of", line.name()),
                        line.name_span(),
                        "no stock",
                    )
                    .help("add `of` with the name of a stock"),
                );
            }
            return Err(Poison);
        };
        let made = (line.name(), line.damaged);
        self.take_of(&of, line.clause("thick").cloned(), made, role)
    }

    /// The stock that an `of` names, and the thickness that it gives to what is made of it.
    pub fn take_of(
        &mut self,
        of: &Scoped<Clause>,
        thick: Option<Scoped<Clause>>,
        (made, damaged): (&str, bool),
        role: Role,
    ) -> Res<Taken> {
        let name = thing_use(self, &of.env, of.of.value().ok_or(Poison)?)?;
        let project = self.project;
        let (stock, data) = project.stock(self, &name)?;
        match &data.kind {
            StockKind::Sheet {
                measured, grain, ..
            } => {
                if let Some(thick) = thick {
                    self.sink.push(
                        Diagnostic::new(&code::STOCK_THICK_STATED, format!("`{}` is a sheet, which has one thickness", data.name), thick.of.span, "a thickness is stated")
                            .at(data.origin.at("measured"), format!("it measures {}", self.units.text(*measured)))
                            .help("leave `thick` out; change the stock's `measured` when a new pack is measured"),
                    );
                    return Err(Poison);
                }
                let grain = if *grain == SheetGrain::None {
                    Grain::None
                } else {
                    Grain::Lengthwise
                };
                Ok(Taken {
                    stock,
                    thick: *measured,
                    grain,
                    sheet: true,
                })
            }
            StockKind::Board { .. } => match thick {
                Some(thick) => {
                    let thick =
                        value::positive_length(self, &thick.env, thick.of.value().ok_or(Poison)?)?;
                    Ok(Taken {
                        stock,
                        thick,
                        grain: Grain::Lengthwise,
                        sheet: false,
                    })
                }
                None => {
                    if !damaged {
                        self.sink.push(
                            Diagnostic::new(
                                &code::STOCK_THICK_MISSING,
                                format!(
                                    "`{made}` is of board and does not say how thick it is planed"
                                ),
                                of.of.span,
                                "boards have no one thickness",
                            )
                            .at(data.origin.span, "a board")
                            .help("add `thick` with a length"),
                        );
                    }
                    Err(Poison)
                }
            },
            StockKind::Edging { .. } => {
                self.sink.push(
                    Diagnostic::new(
                        &code::TYPE_MISMATCH,
                        format!(
                            "`{}` is edging, not stock for a {}",
                            data.name,
                            super::label::role(role)
                        ),
                        name.span,
                        "only a band is made of it",
                    )
                    .at(data.origin.span, "declared here"),
                );
                Err(Poison)
            }
        }
    }

    /// The axis of the grain (placement rules 1.3).
    fn grain_axis(
        &mut self,
        body: usize,
        line: &Stmt,
        role: Role,
        axis: Axis,
        taken: &Taken,
    ) -> Res<Axis> {
        if let Some(clause) = line.clause("grain") {
            let stated = match clause.of.value().and_then(|v| v.as_name()) {
                Some("up") => Axis::Z,
                Some("inward") => Axis::Y,
                Some("across") => Axis::X,
                _ => return Err(Poison),
            };
            if stated == axis {
                self.sink.push(
                    Diagnostic::new(
                        &code::PLACE_AXIS,
                        format!(
                            "the grain of `{}` would run through its thickness",
                            line.name()
                        ),
                        clause.of.span,
                        "runs through the part",
                    )
                    .help("choose a direction that lies in the panel"),
                );
                return Err(Poison);
            }
            return Ok(stated);
        }
        let inward = !taken.sheet && role == Role::Side && self.dovetailed(body, line);
        let drawer = self.bodies[body].kind == AssemblyKind::Drawer;
        Ok(match role {
            Role::Side if inward => Axis::Y,
            // The walls in a box are low and long: their grain runs with its sides, or across.
            Role::Divider if drawer && axis == Axis::X => Axis::Y,
            Role::Divider if drawer => Axis::X,
            Role::Side | Role::Divider | Role::Stile | Role::Leg => Axis::Z,
            Role::Apron if axis == Axis::X => Axis::Y,
            Role::Back if taken.sheet => Axis::Z,
            Role::DrawerSide => Axis::Y,
            // The long way, once its size is known.
            Role::Panel if axis == Axis::X => Axis::Y,
            _ => Axis::X,
        })
    }

    /// Whether a side is joined by dovetails to a front or back, as the sides of a chest are.
    fn dovetailed(&self, body: usize, line: &Stmt) -> bool {
        let stmt = &self.bodies[body].stmt;
        let names: Vec<&str> = if line.names.is_empty() {
            vec![line.word()]
        } else {
            line.names.iter().map(|n| n.text.as_str()).collect()
        };
        let across: Vec<&str> = stmt
            .lines
            .iter()
            .filter(|l| matches!(l.word(), "front" | "back"))
            .map(Stmt::name)
            .collect();
        stmt.forms("join").any(|join| {
            let with = join
                .clause("with")
                .and_then(|c| c.of.value())
                .and_then(|v| v.as_name());
            let mut speaks = join
                .names
                .iter()
                .map(|n| n.text.as_str())
                .collect::<Vec<_>>();
            speaks.extend(
                ["into", "to"]
                    .iter()
                    .filter_map(|w| join.clause(w))
                    .flat_map(|c| c.of.values.iter())
                    .filter_map(|v| v.as_name()),
            );
            matches!(with, Some("dovetail" | "finger"))
                && speaks.iter().any(|n| names.contains(n))
                && speaks.iter().any(|n| across.contains(n))
        })
    }

    /// Finds the finished boxes of a body's panels; a panel that can't be placed was reported.
    pub fn finish_panels(&mut self, body: usize) -> bool {
        let mut fine = true;
        let mut empty: Vec<(Axis, usize)> = Vec::new();
        for panel in self.bodies[body].panels.clone() {
            self.check_thickness(panel);
            fine &= self.check_idle(panel);
            match self.panel_box(panel) {
                Ok(b) => {
                    if let Some(axis) = self.too_little(panel, &b) {
                        empty.push((axis, panel));
                        fine = false;
                    } else if self.report_outside(panel, &b) {
                        fine = false;
                    }
                    self.panels[panel].finished = b;
                    self.panels[panel].core = b;
                    self.lay_long_way(panel);
                }
                Err(Poison) => fine = false,
            }
        }
        self.report_empty(&empty);
        fine
    }

    /// The grain of a panel runs the long way unless its line says; of a square one as it was declared.
    fn lay_long_way(&mut self, panel: usize) {
        let p = &mut self.panels[panel];
        if p.role != Role::Panel || p.stmt.has("grain") {
            return;
        }
        let across = p.axis.third(p.grain);
        if p.finished.extent(across) > p.finished.extent(p.grain) {
            p.grain = across;
        }
    }

    /// The direction in which nothing is left of a part, or too little to be cut.
    fn too_little(&self, panel: usize, b: &Box3) -> Option<Axis> {
        let thin = self.panels[panel].axis;
        Axis::ALL.into_iter().find(|axis| {
            let extent = b.extent(*axis);
            !extent.is_positive() || (*axis != thin && extent < Length::mm(LEAST_MM))
        })
    }

    /// What is placed stands within its case.
    fn report_outside(&mut self, panel: usize, b: &Box3) -> bool {
        let p = &self.panels[panel];
        let case = self.bodies[p.body].envelope;
        let i = p.pos.index();
        let placed = matches!(p.role, Role::Shelf | Role::Divider) || p.stmt.has("at");
        if self.bodies[p.body].kind != AssemblyKind::Case
            || !placed
            || (case.lo[i] <= b.lo[i] && b.hi[i] <= case.hi[i])
        {
            return false;
        }
        let text = |length: Length| self.units.text(length);
        let span = p
            .stmt
            .clause("at")
            .map_or(p.stmt.name_span(), |c| c.of.span);
        let report = Diagnostic::new(
            &code::VALUE_RANGE,
            format!("`{}` does not stand within its case", p.name),
            span,
            format!(
                "from {} to {}",
                text(b.lo[i] - case.lo[i]),
                text(b.hi[i] - case.lo[i])
            ),
        )
        .note(format!(
            "the case goes from 0 to {}, from {} to {}",
            text(case.extent(p.pos)),
            p.pos.low().word(),
            p.pos.high().word()
        ))
        .help("`at` counts from the bottom, the left or the front of the case");
        self.sink.push(report);
        true
    }

    /// Parts of which nothing is left; those of one direction are told together: one size is at fault.
    fn report_empty(&mut self, empty: &[(Axis, usize)]) {
        for axis in Axis::ALL {
            let mut panels = empty.iter().filter(|(a, _)| *a == axis).map(|(_, p)| *p);
            let Some(panel) = panels.next() else { continue };
            let (p, units) = (&self.panels[panel], self.units);
            let (low, high) = (p.finished.lo[axis.index()], p.finished.hi[axis.index()]);
            let left = if high > low { "hardly any" } else { "no" };
            let mut report = Diagnostic::new(
                &code::SUM_NO_ROOM,
                format!("{left} room is left for `{}`", p.path),
                p.stmt.name_span(),
                format!(
                    "it would be {} {}",
                    units.text(high - low),
                    super::build::extent_word(axis)
                ),
            )
            .note(format!(
                "it would begin at {} and end at {}, from {} to {}",
                units.text(low),
                units.text(high),
                axis.low().word(),
                axis.high().word()
            ));
            if high > low {
                report = report.note(format!(
                    "under {} nothing can be cut",
                    units.text(Length::mm(LEAST_MM))
                ));
            }
            let others: Vec<String> = panels
                .map(|other| format!("`{}`", self.panels[other].path))
                .collect();
            report = match others.len() {
                0 => report,
                1..=3 => report.note(format!("the same holds for {}", others.join(", "))),
                n => report.note(format!("the same holds for {n} more parts")),
            };
            self.sink
                .push(report.help("make what is around it smaller, or the case larger"));
        }
    }
}
