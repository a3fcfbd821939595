//! Cases among cases (placement rules 1.8): where each stands, on another, beside it, in a run or in an
//! opening. A case is declared when something first asks for it, so lines may stand in any order.

use super::build::{Body, Builder, Filling, ThingKind, extent_axis};
use super::circle::{self, What};
use super::declare::clause_length;
use super::project::name_use;
use super::stmt::{Scoped, Stmt};
use super::value;
use super::{Poison, Res, label};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{AssemblyKind, Axis, Box3, Edge};
use crate::schema::Clause;
use crate::source::Span;
use std::collections::BTreeMap;
use std::rc::Rc;

/// No body: what is computed here knows cases by their names only.
pub const NOWHERE: usize = usize::MAX;

/// What is found when it is first asked for.
#[derive(Clone, Debug, Default)]
pub enum Found<T> {
    /// Not yet asked for.
    #[default]
    Todo,
    /// Being found: meeting it again is a circle.
    Busy,
    /// Reported.
    Bad,
    /// Found.
    Done(T),
}

/// A case of the piece, declared or not.
#[derive(Clone, Debug)]
pub struct Slot {
    /// Its name in the piece, with the index of the turn in which it is repeated.
    pub path: String,
    /// Its line.
    pub stmt: Rc<Stmt>,
    /// What decides where it stands.
    pub placing: Placing,
    /// Wide, deep, high.
    pub size: Found<[Length; 3]>,
    /// Its body.
    pub body: Found<usize>,
}

/// What decides where a case stands.
#[derive(Clone, Copy, Debug)]
pub enum Placing {
    /// Its own `place` line, or the origin of the piece.
    Itself,
    /// A run, and its place in it.
    Run(usize, usize),
    /// An opening of another body.
    In(usize),
}

/// The heads of the extents of a case, by axis.
const EXTENTS: [&str; 3] = ["wide", "deep", "high"];

impl Builder<'_> {
    /// Takes up a case of the piece. Two of one name are reported.
    pub fn add_slot(&mut self, stmt: &Rc<Stmt>, path: String, placing: Placing) -> Res<usize> {
        if let Some(first) = self.slots.iter().find(|slot| slot.path == path) {
            let report = super::project::twice(&path, stmt.name_span(), first.stmt.name_span());
            self.sink.push(report);
            return Err(Poison);
        }
        self.slots.push(Slot {
            path,
            stmt: stmt.clone(),
            placing,
            size: Found::Todo,
            body: Found::Todo,
        });
        Ok(self.slots.len() - 1)
    }

    /// The case of this name, or those of an array.
    pub fn slots_of(&self, name: &str) -> Vec<usize> {
        let named = |slot: &Slot| slot.path == name || super::paths::element_of(&slot.path, name);
        let found = self.slots.iter().enumerate().filter(|(_, s)| named(s));
        found.map(|(i, _)| i).collect()
    }

    /// The body of a case: declared now, if it was not.
    pub fn case_body(&mut self, slot: usize) -> Res<usize> {
        let what = What::Case(self.slots[slot].path.clone());
        let span = self.slots[slot].stmt.name_span();
        match self.slots[slot].body {
            Found::Done(body) => return Ok(body),
            Found::Bad => return Err(Poison),
            Found::Busy => {
                let report = circle::report(self, &code::PLACE_CYCLE, &what, span);
                self.sink.push(report);
                self.slots[slot].body = Found::Bad;
                return Err(Poison);
            }
            Found::Todo => {}
        }
        self.slots[slot].body = Found::Busy;
        let before = std::mem::replace(&mut self.current, NOWHERE);
        let envelope = circle::while_finding(self, what, span, |me| {
            value::deeper(me, span, |me| me.case_envelope(slot))
        });
        let declared = envelope.map(|envelope| {
            let body = self.push_case(slot, envelope);
            self.slots[slot].body = Found::Done(body);
            self.current = body;
            self.declare_panels(body);
            self.check_legs(body);
            self.declare_face_frame(body);
            self.declare_inside(body);
            self.declare_divisions(body);
            self.declare_panels_in(body);
            self.divide_face_frame(body);
            self.check_elements(body);
            self.declare_fronts(body);
            self.declare_cases_in(body);
            body
        });
        if declared.is_err() {
            self.slots[slot].body = Found::Bad;
        }
        self.current = before;
        declared
    }

    fn push_case(&mut self, slot: usize, envelope: Box3) -> usize {
        let Slot {
            path,
            stmt,
            placing,
            ..
        } = self.slots[slot].clone();
        let stated = stmt.clause("seen").map(|clause| {
            let words = clause.of.values.iter().filter_map(|v| v.as_name());
            words.filter_map(Edge::from_word).collect()
        });
        let seen = match placing {
            Placing::In(_) => vec![Edge::Front],
            Placing::Run(run, at) => self.seen_in_run(run, at),
            Placing::Itself => vec![Edge::Front, Edge::Left, Edge::Right, Edge::Top],
        };
        let own = path.rsplit('.').next().unwrap_or(&path);
        self.bodies.push(Body {
            kind: AssemblyKind::Case,
            label: label::words(own),
            path,
            envelope,
            stmt,
            panels: Vec::new(),
            frame: Vec::new(),
            names: BTreeMap::new(),
            seen: stated.unwrap_or(seen),
        });
        self.bodies.len() - 1
    }

    /// The cases that stand in openings of this one: a body for each, known by name.
    fn declare_cases_in(&mut self, body: usize) {
        let stmt = self.bodies[body].stmt.clone();
        for line in stmt.forms("case").filter(|line| !line.is_of_element()) {
            let done = self.declare_case_in(body, line);
            self.settle(done);
        }
    }

    fn declare_case_in(&mut self, body: usize, line: &Stmt) -> Res<()> {
        let name = line.name().to_owned();
        self.name(body, &name, line.named(), ThingKind::Fitting)?;
        if !line.has("in") {
            if !line.damaged {
                let report = Diagnostic::new(
                    &code::LINE_NEEDS,
                    format!(
                        "`{name}` does not say where in `{}` it stands",
                        self.bodies[body].path
                    ),
                    line.name_span(),
                    "no opening",
                );
                self.sink
                    .push(report.help("add `in` with the name of an opening"));
            }
            return Err(Poison);
        }
        for space in self.target_spaces(body, line)? {
            let line = Rc::new(self.element(body, line, space)?);
            self.claim_parts(space, &line, &[Filling::Within])?;
            let index = self.fitting_index(&line, space);
            let own = label::indexed(&name, &index);
            let path = format!("{}.{own}", self.bodies[body].path);
            self.add_slot(&line, path, Placing::In(space))?;
        }
        Ok(())
    }

    /// How wide, deep and high a case is.
    pub fn case_size(&mut self, slot: usize) -> Res<[Length; 3]> {
        let what = What::Case(self.slots[slot].path.clone());
        let span = self.slots[slot].stmt.name_span();
        match self.slots[slot].size {
            Found::Done(size) => return Ok(size),
            Found::Bad => return Err(Poison),
            Found::Busy => {
                let report = circle::report(self, &code::PLACE_CYCLE, &what, span);
                self.sink.push(report);
                self.slots[slot].size = Found::Bad;
                return Err(Poison);
            }
            Found::Todo => {}
        }
        self.slots[slot].size = Found::Busy;
        let before = std::mem::replace(&mut self.current, NOWHERE);
        let size = circle::while_finding(self, what, span, |me| {
            value::deeper(me, span, |me| me.find_case_size(slot))
        });
        self.current = before;
        self.slots[slot].size = match size {
            Ok(size) => Found::Done(size),
            Err(Poison) => Found::Bad,
        };
        size
    }

    fn find_case_size(&mut self, slot: usize) -> Res<[Length; 3]> {
        let Slot { stmt, placing, .. } = self.slots[slot].clone();
        let line = stmt.forms("size").next().cloned();
        let within = match placing {
            Placing::In(space) => Some(self.room_in(&stmt, space)?),
            _ => None,
        };
        if line.is_none() && within.is_none() {
            if !stmt.damaged {
                self.sink.push(
                    Diagnostic::new(
                        &code::LINE_NEEDS,
                        format!("`{}` does not say how large it is", stmt.name()),
                        stmt.name_span(),
                        "no `size`",
                    )
                    .help("add a line `size wide … high … deep …`"),
                );
            }
            return Err(Poison);
        }
        let mut size = [Length::ZERO; 3];
        let mut fine = Ok(());
        for (axis, word) in Axis::ALL.into_iter().zip(EXTENTS) {
            let clause = line.as_ref().and_then(|line| line.clause(word)).cloned();
            let stated = match (clause, &within, &line) {
                (Some(clause), _, _) => self.extent_of_case(&clause),
                (None, Some(room), _) => Ok(room.extent(axis)),
                (None, None, Some(line)) => Err(self.extent_missing(line, word)),
                (None, None, None) => Err(Poison),
            };
            match stated {
                Ok(length) => size[axis.index()] = length,
                Err(poison) => fine = Err(poison),
            }
        }
        fine.map(|()| size)
    }

    fn extent_of_case(&mut self, clause: &Scoped<Clause>) -> Res<Length> {
        let value = clause.of.value().ok_or(Poison)?;
        value::positive_length(self, &clause.env, value)
    }

    fn extent_missing(&mut self, line: &Stmt, word: &str) -> Poison {
        if !line.damaged {
            self.sink.push(
                Diagnostic::new(
                    &code::LINE_NEEDS,
                    format!("`size` does not say how {word} the case is"),
                    line.head_span,
                    format!("no `{word}`"),
                )
                .help(format!("add `{word}` and a length")),
            );
        }
        Poison
    }

    fn case_envelope(&mut self, slot: usize) -> Res<Box3> {
        let size = self.case_size(slot)?;
        let Slot { stmt, placing, .. } = self.slots[slot].clone();
        let lo = match placing {
            Placing::Run(run, at) => self.place_in_run(run, at, size)?,
            Placing::In(space) => self.place_in_opening(&stmt, space, size)?,
            Placing::Itself => self.place_of_case(slot, &stmt, size)?,
        };
        Ok(box_at(lo, size))
    }

    /// Where a case stands by its own `place`. The first case of a piece is its origin.
    fn place_of_case(&mut self, slot: usize, stmt: &Stmt, size: [Length; 3]) -> Res<[Length; 3]> {
        let Some(place) = stmt.forms("place").next().cloned() else {
            let unplaced = |s: &Slot| {
                matches!(s.placing, Placing::Itself) && s.stmt.forms("place").next().is_none()
            };
            let first = self.slots.iter().position(unplaced);
            if first == Some(slot) && self.runs.is_empty() {
                return Ok([Length::ZERO; 3]);
            }
            let other = first
                .filter(|first| *first != slot)
                .map(|i| self.slots[i].path.clone());
            let other = other.or_else(|| self.runs.first().map(|run| run.name.clone()));
            let other = other.unwrap_or_default();
            self.sink.push(
                Diagnostic::new(
                    &code::PLACE_MISSING,
                    format!("nothing says where `{}` stands", stmt.name()),
                    stmt.name_span(),
                    "no `place`",
                )
                .help(format!(
                    "add a line `place right of {other}` or `place on {other}` to its block"
                ))
                .help("or put the cases in a `run`"),
            );
            return Err(Poison);
        };
        let right = !place.values.is_empty();
        let target = match (place.clause("on").cloned(), place.clause("of").cloned()) {
            (Some(on), None) if !right => on,
            (None, Some(of)) if right => of,
            _ => {
                if !place.damaged {
                    self.sink.push(
                        Diagnostic::new(
                            &code::LINE_NEEDS,
                            "a place that is neither on a case nor beside one",
                            place.head_span,
                            "not complete",
                        )
                        .help("write `place on base` or `place right of base`"),
                    );
                }
                return Err(Poison);
            }
        };
        let below = self.what_stands(&target, right)?;
        let across = clause_length(self, &place, "across")?.unwrap_or_default();
        let mut lo = [below.lo[0] + across, below.hi[1] - size[1], below.lo[2]];
        if right {
            lo[0] = below.hi[0] + across;
        } else {
            lo[2] = below.hi[2];
            if place.has("centred") {
                lo[0] = below.lo[0] + (below.extent(Axis::X) - size[0]).half();
            }
        }
        if let Some(inward) = clause_length(self, &place, "inward")? {
            lo[1] = below.lo[1] + inward;
        }
        Ok(lo)
    }

    /// The box on which, or beside which, something is placed: a case up to its highest panel, or what
    /// is fitted over it.
    fn what_stands(&mut self, target: &Scoped<Clause>, beside: bool) -> Res<Box3> {
        let expr = target.of.value().ok_or(Poison)?;
        let name = name_use(self, expr)?;
        let index = self.indices(&name, &target.env)?;
        let path = label::indexed(&name.text, &index);
        if let Some(fitted) = self.fitted.iter().position(|f| f.name == path) {
            if beside {
                return Err(self.beside_fitted(fitted, expr.span));
            }
            return self.fitted_box(fitted);
        }
        if let Some(run) = self.runs.iter().position(|run| run.name == path) {
            return self.run_box(run);
        }
        let slots = self.slots_of(&path);
        let [slot] = slots[..] else {
            return Err(self.no_case(&name.text, expr.span));
        };
        let body = self.case_body(slot)?;
        let mut whole = self.bodies[body].envelope;
        if !beside {
            whole.set_face(Edge::Top, self.highest(body)?);
        }
        Ok(whole)
    }

    /// Reports a case that is to stand beside a worktop or kick: level with it, it would float.
    fn beside_fitted(&mut self, fitted: usize, span: Span) -> Poison {
        let super::run::Fitted { name, stmt, .. } = &self.fitted[fitted];
        let report = Diagnostic::new(
            &code::TYPE_MISMATCH,
            format!(
                "`{name}` is a {}, and nothing stands beside it",
                stmt.word()
            ),
            span,
            "not a case or run",
        )
        .at(stmt.name_span(), "declared here");
        let under = stmt.clause("over").or_else(|| stmt.clause("under"));
        let cases = under.map_or([].as_slice(), |over| over.of.values.as_slice());
        let last = cases
            .last()
            .map(|case| self.project.sources.text(case.span));
        self.sink.push(match last {
            Some(last) => report.help(format!(
                "`place right of {last}`, on the ground as that stands, or `place on {name}`"
            )),
            None => report.help(format!("name a case or run, or `place on {name}`")),
        });
        Poison
    }

    /// The highest panel face of a case.
    pub fn highest(&mut self, body: usize) -> Res<Length> {
        let mut top = self.bodies[body].envelope.face(Edge::Bottom);
        for panel in self.bodies[body].panels.clone() {
            top = top.max(self.face(panel, Edge::Top)?);
        }
        Ok(top)
    }

    /// Reports a name that is not that of a case, run, worktop or kick.
    pub fn no_case(&mut self, name: &str, span: Span) -> Poison {
        // A case whose line is broken was reported.
        if self.project.has_holes() || self.lost_cases {
            return Poison;
        }
        let cases = self.slots.iter().map(|slot| slot.path.as_str());
        let runs = self.runs.iter().map(|run| run.name.as_str());
        let fitted = self.fitted.iter().map(|fitted| fitted.name.as_str());
        let known: Vec<&str> = cases.chain(runs).chain(fitted).collect();
        let mut report = Diagnostic::new(
            &code::NAME_UNKNOWN,
            format!("no case, run or worktop of this piece is called `{name}`"),
            span,
            "not known",
        );
        report = match crate::diag::nearest(name, known.iter().copied()) {
            Some(near) => report.help(format!("did you mean `{near}`?")),
            None if known.is_empty() => report.help("declare it with a line `case NAME { … }`"),
            None => report.note(format!("known are {}", known.join(", "))),
        };
        self.sink.push(report);
        Poison
    }

    /// What of an opening is left for a case in it: less its `gap` and `set_back`.
    fn room_in(&mut self, stmt: &Stmt, space: usize) -> Res<Box3> {
        let mut room = self.space_box(space)?;
        for edge in Edge::ALL {
            // It stands on the floor of its opening, unless the floor is named.
            let named = stmt.all("gap").any(|gap| gap.of.tail("on").is_some());
            if edge == Edge::Bottom && !named {
                continue;
            }
            if let Some(gap) = self.gap_on(stmt, edge)? {
                room.grow(edge, -gap);
            }
        }
        if let Some(set_back) = clause_length(self, stmt, "set_back")? {
            room.grow(Edge::Front, -set_back);
        }
        Ok(room)
    }

    /// Where a case stands in its opening: at the left, in front, on the floor, unless its `place` says
    /// otherwise; and that it goes in.
    fn place_in_opening(
        &mut self,
        stmt: &Stmt,
        space: usize,
        size: [Length; 3],
    ) -> Res<[Length; 3]> {
        let room = self.room_in(stmt, space)?;
        let mut lo = room.lo;
        if let Some(place) = stmt.forms("place").next().cloned() {
            lo[0] += clause_length(self, &place, "across")?.unwrap_or_default();
            lo[1] += clause_length(self, &place, "inward")?.unwrap_or_default();
            if place.has("centred") {
                lo[0] = room.lo[0] + (room.extent(Axis::X) - size[0]).half();
            }
        }
        let placed = box_at(lo, size);
        for (axis, word) in Axis::ALL.into_iter().zip(EXTENTS) {
            let over = placed.hi[axis.index()] - room.hi[axis.index()];
            let under = room.lo[axis.index()] - placed.lo[axis.index()];
            if !over.is_positive() && !under.is_positive() {
                continue;
            }
            let units = self.units;
            let line = stmt.forms("size").next();
            let span = line
                .and_then(|l| l.clause(word))
                .map_or(stmt.name_span(), |c| c.of.span);
            let name = label::indexed(&self.spaces[space].name, &self.spaces[space].index);
            let report = Diagnostic::new(
                &code::SUM_NO_ROOM,
                format!(
                    "`{}` is {} too {word} for `{name}`",
                    stmt.name(),
                    units.text(over.max(under))
                ),
                span,
                format!("{} {word}", units.text(size[axis.index()])),
            )
            .at(
                self.spaces[space].origin.span,
                format!("has room for {}", units.text(room.extent(axis))),
            );
            self.sink
                .push(report.help(format!("leave `{word}` out, and it fills what there is")));
            return Err(Poison);
        }
        Ok(lo)
    }

    /// `place` and extents of a case that is known but not placed: its sizes need no place.
    pub fn extent_of_slot(&mut self, slot: usize, word: &str) -> Option<Res<Length>> {
        let axis = extent_axis(word)?;
        Some(self.case_size(slot).map(|size| size[axis.index()]))
    }

    /// Makes what stands in every case, in stages over all of them, so that joints may speak of parts
    /// of another.
    pub fn make_cases(&mut self) {
        let mut slot = 0;
        let mut cases = Vec::new();
        // Cases within cases are found on the way.
        while slot < self.slots.len() {
            let body = self.case_body(slot);
            cases.extend(self.settle(body));
            slot += 1;
        }
        for &body in &cases {
            self.current = body;
            self.finish_panels(body);
            self.frame_panels(body);
            self.declare_bands(body);
        }
        for &body in &cases {
            self.current = body;
            self.make_joints(body);
            self.make_rows(body);
            self.make_mouldings(body);
            self.make_tapers(body);
            self.make_cut_outs(body);
            self.make_stages(body);
        }
        for &body in &cases {
            self.current = body;
            self.hang_lids(body);
            self.make_doors(body);
            self.make_drawers(body);
            self.make_shelves(body);
            self.make_fitted(body);
            self.current = body;
            self.make_strips(body);
            for space in 0..self.spaces.len() {
                // Every space is placed, also one that nothing asked for, so that its sums are checked.
                if self.spaces[space].body == body {
                    let _ = self.space_box(space);
                }
            }
        }
        self.make_shapes();
        self.current = match cases[..] {
            [only] => only,
            _ => NOWHERE,
        };
    }
}

/// A box of a size with its low corner at a place.
pub fn box_at(lo: [Length; 3], size: [Length; 3]) -> Box3 {
    Box3 {
        lo,
        hi: [lo[0] + size[0], lo[1] + size[1], lo[2] + size[2]],
    }
}
