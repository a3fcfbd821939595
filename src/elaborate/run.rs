//! Runs (placement rules 1.4 and 1.8): cases in a row with fillers that share the rest; and what is fitted
//! to cases where they stand: worktops, kicks, fillers.

use super::build::Builder;
use super::circle::{self, What};
use super::compose::{Found, NOWHERE, Placing, box_at};
use super::declare::clause_length;
use super::project::name_use;
use super::stmt::{Scoped, Stmt};
use super::value;
use super::{Poison, Res, label};
use crate::diag::{Diagnostic, code};
use crate::measure::{Dimension, Length, Rational};
use crate::model::{Axis, Box3, Edge, Role};
use crate::schema::Clause;
use crate::source::Span;
use std::rc::Rc;

/// A run of the piece.
#[derive(Clone, Debug)]
pub struct Run {
    /// Its name.
    pub name: String,
    /// Its line.
    pub stmt: Rc<Stmt>,
    /// What stands in it, from left to right.
    pub items: Vec<RunItem>,
    /// Where each begins, and where the last ends.
    pub starts: Found<Rc<Vec<Length>>>,
}

/// What stands in a run.
#[derive(Clone, Copy, Debug)]
pub enum RunItem {
    /// A case of the piece.
    Case(usize),
    /// A filler, of what is fitted.
    Filler(usize),
}

/// A worktop, filler or kick.
#[derive(Clone, Debug)]
pub struct Fitted {
    /// Its name in the piece: of a filler after the name of its run.
    pub name: String,
    /// Its line.
    pub stmt: Rc<Stmt>,
    /// What it is.
    pub role: Role,
    /// Of a filler: its run, and its place in it.
    pub within: Option<(usize, usize)>,
    /// Its whole box.
    pub place: Found<Box3>,
}

impl Builder<'_> {
    /// Takes up the cases of a piece, its runs and what is fitted to them, by name.
    pub fn declare_composition(&mut self, stmt: &Stmt) {
        for line in &stmt.lines {
            let done = match line.word() {
                "case" | "stand" => self.declare_case_line(line, Placing::Itself).map(|_| ()),
                "run" => self.declare_run(line),
                "worktop" => self.add_fitted(line, Role::Worktop, None).map(|_| ()),
                "kick" => self.add_fitted(line, Role::Kick, None).map(|_| ()),
                _ => Ok(()),
            };
            self.lost_cases |= self.settle(done).is_none() || line.damaged;
        }
    }

    fn declare_case_line(&mut self, line: &Stmt, placing: Placing) -> Res<usize> {
        if let Some(within) = line.clause("in") {
            self.sink.push(
                Diagnostic::new(
                    &code::NAME_WORD_NOT_HERE,
                    format!("`{}` is in no case", line.name()),
                    within.of.span,
                    "of a case within a case",
                )
                .help("move the line into the block of the case whose opening it is"),
            );
            return Err(Poison);
        }
        if let (Placing::Run(..), Some(place)) = (placing, line.forms("place").next()) {
            self.sink.push(
                Diagnostic::new(
                    &code::NAME_WORD_NOT_HERE,
                    format!("`{}` stands in a run, which places it", line.name()),
                    place.head_span,
                    "said by the run",
                )
                .help("leave `place` out, or move the case out of the run"),
            );
            return Err(Poison);
        }
        let path = label::indexed(line.name(), &line.index);
        self.add_slot(&Rc::new(line.clone()), path, placing)
    }

    fn declare_run(&mut self, line: &Stmt) -> Res<()> {
        let name = label::indexed(line.name(), &line.index);
        if let Some(first) = self.runs.iter().find(|run| run.name == name) {
            let report = super::project::twice(&name, line.name_span(), first.stmt.name_span());
            self.sink.push(report);
            return Err(Poison);
        }
        let run = self.runs.len();
        self.runs.push(Run {
            name: name.clone(),
            stmt: Rc::new(line.clone()),
            items: Vec::new(),
            starts: Found::Todo,
        });
        let mut sound = Ok(());
        for item in &line.lines {
            let at = self.runs[run].items.len();
            let made = match item.word() {
                "case" => self
                    .declare_case_line(item, Placing::Run(run, at))
                    .map(RunItem::Case),
                "filler" => self
                    .add_fitted(item, Role::Filler, Some((run, at)))
                    .map(RunItem::Filler),
                _ => continue,
            };
            match self.settle(made) {
                Some(item) => self.runs[run].items.push(item),
                None => sound = Err(Poison),
            }
        }
        let cases = |item: &RunItem| matches!(item, RunItem::Case(_));
        if sound.is_ok() && !self.runs[run].items.iter().any(cases) {
            if !line.damaged {
                self.sink.push(
                    Diagnostic::new(
                        &code::LINE_NEEDS,
                        format!("the run `{name}` has no case"),
                        line.name_span(),
                        "nothing stands in it",
                    )
                    .help("add a `case` to its block"),
                );
            }
            sound = Err(Poison);
        }
        if sound.is_err() || line.damaged {
            // What is lost would be missed in the sum.
            self.runs[run].starts = Found::Bad;
        }
        sound
    }

    fn add_fitted(
        &mut self,
        line: &Stmt,
        role: Role,
        within: Option<(usize, usize)>,
    ) -> Res<usize> {
        let own = label::indexed(line.name(), &line.index);
        let name = match within.and_then(|(run, _)| self.runs.get(run)) {
            Some(run) => format!("{}.{own}", run.name),
            None => own,
        };
        if let Some(first) = self.fitted.iter().find(|fitted| fitted.name == name) {
            let report = super::project::twice(&name, line.name_span(), first.stmt.name_span());
            self.sink.push(report);
            return Err(Poison);
        }
        self.fitted.push(Fitted {
            name,
            stmt: Rc::new(line.clone()),
            role,
            within,
            place: Found::Todo,
        });
        Ok(self.fitted.len() - 1)
    }

    /// The sides of a case in a run that show: not those at which something stands beside it.
    pub fn seen_in_run(&self, run: usize, at: usize) -> Vec<Edge> {
        let mut seen = vec![Edge::Front, Edge::Top];
        if at == 0 {
            seen.push(Edge::Left);
        }
        if at + 1 == self.runs[run].items.len() {
            seen.push(Edge::Right);
        }
        seen
    }

    /// The ends at which a run is closed by a filler, and so stands at a wall.
    pub fn walls(&self) -> Vec<Edge> {
        let closed = |item: Option<&RunItem>| matches!(item, Some(RunItem::Filler(_)));
        let runs = &self.runs;
        let ends = [
            (Edge::Left, runs.iter().any(|run| closed(run.items.first()))),
            (Edge::Right, runs.iter().any(|run| closed(run.items.last()))),
        ];
        let walls = ends.into_iter().filter(|(_, wall)| *wall);
        walls.map(|(edge, _)| edge).collect()
    }

    /// Where the rears of all runs are: that of the deepest case, so that they stand against one wall.
    fn wall(&mut self) -> Res<Length> {
        let mut rear = Length::ZERO;
        for run in 0..self.runs.len() {
            rear = rear.max(self.depth_of_run(run)?);
        }
        Ok(rear)
    }

    fn depth_of_run(&mut self, run: usize) -> Res<Length> {
        let mut deep = Length::ZERO;
        for item in self.runs[run].items.clone() {
            if let RunItem::Case(slot) = item {
                deep = deep.max(self.case_size(slot)?[1]);
            }
        }
        Ok(deep)
    }

    /// How far the cases of a run stand above the ground.
    fn up(&mut self, run: usize) -> Res<Length> {
        let stmt = self.runs[run].stmt.clone();
        Ok(clause_length(self, &stmt, "up")?.unwrap_or_default())
    }

    /// The low corner of a case of a run.
    pub fn place_in_run(&mut self, run: usize, at: usize, size: [Length; 3]) -> Res<[Length; 3]> {
        let starts = self.starts(run)?;
        let start = *starts.get(at).ok_or(Poison)?;
        Ok([start, self.wall()? - size[1], self.up(run)?])
    }

    /// The box of a run: from its first case to its last, with their fillers.
    pub fn run_box(&mut self, run: usize) -> Res<Box3> {
        let starts = self.starts(run)?;
        let (wall, deep, up) = (self.wall()?, self.depth_of_run(run)?, self.up(run)?);
        let mut high = Length::ZERO;
        for item in self.runs[run].items.clone() {
            if let RunItem::Case(slot) = item {
                high = high.max(self.case_size(slot)?[2]);
            }
        }
        let wide = starts.last().copied().ok_or(Poison)?;
        Ok(box_at([Length::ZERO, wall - deep, up], [wide, deep, high]))
    }

    /// Where each thing in a run begins, and where the last ends.
    fn starts(&mut self, run: usize) -> Res<Rc<Vec<Length>>> {
        let what = What::Case(self.runs[run].name.clone());
        let span = self.runs[run].stmt.name_span();
        match &self.runs[run].starts {
            Found::Done(starts) => return Ok(starts.clone()),
            Found::Bad => return Err(Poison),
            Found::Busy => {
                let report = circle::report(self, &code::PLACE_CYCLE, &what, span);
                self.sink.push(report);
                self.runs[run].starts = Found::Bad;
                return Err(Poison);
            }
            Found::Todo => {}
        }
        self.runs[run].starts = Found::Busy;
        let before = std::mem::replace(&mut self.current, NOWHERE);
        let found = circle::while_finding(self, what, span, |me| me.find_starts(run));
        self.current = before;
        let found = found.map(Rc::new);
        self.runs[run].starts = match &found {
            Ok(starts) => Found::Done(starts.clone()),
            Err(Poison) => Found::Bad,
        };
        found
    }

    fn find_starts(&mut self, run: usize) -> Res<Vec<Length>> {
        let Run { stmt, items, .. } = self.runs[run].clone();
        let total = match stmt.clause("wide").cloned() {
            Some(clause) => {
                let value = clause.of.value().ok_or(Poison)?;
                let wide = value::positive_length(self, &clause.env, value)?;
                Some((wide, clause.of.span))
            }
            None => None,
        };
        // Stated widths, and the shares of what takes the rest.
        let mut widths: Vec<(Option<Length>, Rational, Span)> = Vec::new();
        for item in &items {
            widths.push(match *item {
                RunItem::Case(slot) => {
                    let span = self.slots[slot].stmt.name_span();
                    (Some(self.case_size(slot)?[0]), Rational::ONE, span)
                }
                RunItem::Filler(fitted) => self.filler_width(fitted)?,
            });
        }
        let fixed = widths
            .iter()
            .filter_map(|w| w.0)
            .fold(Length::ZERO, |a, b| a + b);
        let shares = widths
            .iter()
            .filter(|w| w.0.is_none())
            .fold(Rational::ZERO, |sum, w| sum + w.1);
        let open = widths.iter().filter(|w| w.0.is_none()).count();
        let rest = match total {
            Some((total, _)) => total - fixed,
            None if open == 0 => Length::ZERO,
            None => {
                self.sink.push(
                    Diagnostic::new(
                        &code::LINE_NEEDS,
                        format!("the run `{}` does not say how wide it is", stmt.name()),
                        stmt.name_span(),
                        "its fillers share what is left",
                    )
                    .help("add `wide` and a length, or state how wide each filler is"),
                );
                return Err(Poison);
            }
        };
        if (open == 0 && !rest.is_zero()) || (open > 0 && !rest.is_positive()) {
            let report = self.run_sum(&stmt, &widths, rest, fixed, total);
            self.sink.push(report);
            return Err(Poison);
        }
        let mut at = Length::ZERO;
        let mut starts = vec![at];
        for (stated, share, _) in widths {
            at += stated.unwrap_or_else(|| rest.scale(share / shares));
            starts.push(at);
        }
        Ok(starts)
    }

    fn filler_width(&mut self, fitted: usize) -> Res<(Option<Length>, Rational, Span)> {
        let stmt = self.fitted[fitted].stmt.clone();
        let share = match stmt.clause("share").cloned() {
            Some(clause) => {
                let value = clause.of.value().ok_or(Poison)?;
                let share = value::quantity_of(self, &clause.env, value, Dimension::NONE)?;
                if share <= Rational::ZERO {
                    let report = Diagnostic::new(
                        &code::VALUE_RANGE,
                        "a share of nothing or less",
                        clause.of.span,
                        "no room would be left",
                    );
                    self.sink.push(report.help("a share is above 0"));
                    return Err(Poison);
                }
                share
            }
            None => Rational::ONE,
        };
        Ok(match stmt.clause("wide").cloned() {
            Some(clause) => {
                let value = clause.of.value().ok_or(Poison)?;
                let wide = value::positive_length(self, &clause.env, value)?;
                (Some(wide), share, clause.of.span)
            }
            None => (None, share, stmt.name_span()),
        })
    }

    fn run_sum(
        &self,
        stmt: &Stmt,
        widths: &[(Option<Length>, Rational, Span)],
        rest: Length,
        fixed: Length,
        total: Option<(Length, Span)>,
    ) -> Diagnostic {
        let units = self.units;
        let name = stmt.name();
        let open = widths.iter().any(|w| w.0.is_none());
        let title = match (open, rest.is_negative()) {
            (false, true) => format!(
                "what stands in the run `{name}` is {} too wide",
                units.text(rest.abs())
            ),
            (false, false) => format!(
                "what stands in the run `{name}` leaves {} over",
                units.text(rest)
            ),
            (true, _) => format!("nothing is left for the fillers of `{name}`"),
        };
        let code = if open {
            &code::SUM_NO_ROOM
        } else {
            &code::SUM_OFF
        };
        let (wide, span) = total.unwrap_or((fixed, stmt.name_span()));
        let mut report = Diagnostic::new(code, title, span, format!("{} here", units.text(wide)));
        for (width, _, span) in widths.iter().take(5) {
            if let Some(width) = width {
                report = report.at(*span, units.text(*width));
            }
        }
        let sum: Vec<String> = widths
            .iter()
            .filter_map(|w| w.0)
            .map(|w| units.figure(w).plain())
            .collect();
        report
            .note(format!(
                "{} = {}, of {}",
                sum.join(" + "),
                units.text(fixed),
                units.text(wide)
            ))
            .help(match open {
                true => "make a case narrower, or the run wider",
                false => "add a `filler`, which takes what is left",
            })
    }

    /// The whole box of a worktop, kick or filler.
    pub fn fitted_box(&mut self, fitted: usize) -> Res<Box3> {
        let what = What::Case(self.fitted[fitted].name.clone());
        let span = self.fitted[fitted].stmt.name_span();
        match self.fitted[fitted].place {
            Found::Done(place) => return Ok(place),
            Found::Bad => return Err(Poison),
            Found::Busy => {
                let report = circle::report(self, &code::PLACE_CYCLE, &what, span);
                self.sink.push(report);
                self.fitted[fitted].place = Found::Bad;
                return Err(Poison);
            }
            Found::Todo => {}
        }
        self.fitted[fitted].place = Found::Busy;
        let before = std::mem::replace(&mut self.current, NOWHERE);
        let found = circle::while_finding(self, what, span, |me| me.find_fitted(fitted));
        self.current = before;
        self.fitted[fitted].place = match found {
            Ok(place) => Found::Done(place),
            Err(Poison) => Found::Bad,
        };
        found
    }

    fn find_fitted(&mut self, fitted: usize) -> Res<Box3> {
        let Fitted {
            stmt, role, within, ..
        } = self.fitted[fitted].clone();
        let thick = self.take_stock(&stmt, role)?.thick;
        match (role, within) {
            (Role::Filler, Some((run, at))) => self.filler_box(run, at, thick),
            (Role::Worktop, _) => {
                let over = stmt.clause("over").cloned().ok_or(Poison)?;
                let (mut whole, top) = self.what_is_under(&over)?;
                whole.set_face(Edge::Bottom, top);
                whole.set_face(Edge::Top, top + thick);
                for proud in stmt.all("proud").cloned().collect::<Vec<_>>() {
                    let by = value::length_not_negative(
                        self,
                        &proud.env,
                        proud.of.value().ok_or(Poison)?,
                    )?;
                    let on = proud.of.tail("on").map(|on| on.values.as_slice());
                    for word in on.unwrap_or_default() {
                        let edge = word.as_name().and_then(Edge::from_word);
                        match edge.filter(|edge| edge.axis() != Axis::Z) {
                            Some(edge) => whole.grow(edge, by),
                            None => return Err(self.no_edge(word.span, "worktop")),
                        }
                    }
                    if on.is_none() {
                        whole.grow(Edge::Front, by);
                    }
                }
                Ok(whole)
            }
            _ => {
                let under = stmt.clause("under").cloned().ok_or(Poison)?;
                let (mut whole, _) = self.what_is_under(&under)?;
                let underside = whole.face(Edge::Bottom);
                let high = match stmt.clause("high").cloned() {
                    Some(clause) => {
                        value::positive_length(self, &clause.env, clause.of.value().ok_or(Poison)?)?
                    }
                    None => underside,
                };
                if !underside.is_positive() || high > underside {
                    let report = self.no_room_under(&stmt, &under, underside, high);
                    self.sink.push(report);
                    return Err(Poison);
                }
                let set_back = clause_length(self, &stmt, "set_back")?.unwrap_or_default();
                let front = whole.face(Edge::Front) + set_back;
                whole.set_face(Edge::Front, front);
                whole.set_face(Edge::Rear, front + thick);
                whole.set_face(Edge::Bottom, Length::ZERO);
                whole.set_face(Edge::Top, high);
                Ok(whole)
            }
        }
    }

    fn no_room_under(
        &self,
        stmt: &Stmt,
        under: &Scoped<Clause>,
        underside: Length,
        high: Length,
    ) -> Diagnostic {
        let units = self.units;
        if !underside.is_positive() {
            return Diagnostic::new(
                &code::SUM_NO_ROOM,
                format!("no room is left for `{}`", stmt.name()),
                under.of.span,
                "stands on the ground",
            )
            .help("say how far the run stands `up`");
        }
        let span = stmt.clause("high").map_or(stmt.name_span(), |c| c.of.span);
        Diagnostic::new(
            &code::SUM_NO_ROOM,
            format!(
                "`{}` is {} too high",
                stmt.name(),
                units.text(high - underside)
            ),
            span,
            units.text(high),
        )
        .at(
            under.of.span,
            format!("the underside is at {}", units.text(underside)),
        )
        .help("leave `high` out, and it reaches to the underside")
    }

    fn no_edge(&mut self, span: Span, of: &str) -> Poison {
        self.sink.push(
            Diagnostic::new(
                &code::NAME_UNKNOWN_EDGE,
                format!("not an edge of a {of}"),
                span,
                "not one of four",
            )
            .help("it has a left, a right, a front and a rear"),
        );
        Poison
    }

    /// The box round the runs and cases that a worktop is over or a kick under, and their highest panel.
    fn what_is_under(&mut self, clause: &Scoped<Clause>) -> Res<(Box3, Length)> {
        let mut whole: Option<Box3> = None;
        let mut top: Option<Length> = None;
        let mut tops: Vec<(String, Length, Span)> = Vec::new();
        for value in &clause.of.values {
            let name = name_use(self, value)?;
            let index = self.indices(&name, &clause.env)?;
            let path = label::indexed(&name.text, &index);
            let mut boxes = Vec::new();
            let slots = match self.runs.iter().position(|run| run.name == path) {
                Some(run) => {
                    boxes.push(self.run_box(run)?);
                    let items = self.runs[run].items.iter();
                    let cases = items.filter_map(|item| match item {
                        RunItem::Case(slot) => Some(*slot),
                        RunItem::Filler(_) => None,
                    });
                    cases.collect()
                }
                None => self.slots_of(&path),
            };
            if slots.is_empty() {
                return Err(self.no_case(&name.text, value.span));
            }
            for slot in slots {
                let body = self.case_body(slot)?;
                boxes.push(self.bodies[body].envelope);
                let high = self.highest(body)?;
                tops.push((self.bodies[body].path.clone(), high, value.span));
                top = Some(top.map_or(high, |top| top.max(high)));
            }
            for b in boxes {
                whole = Some(whole.map_or(b, |all| all.union(&b)));
            }
        }
        let (whole, top) = whole.zip(top).ok_or(Poison)?;
        let low = tops.iter().find(|(_, high, _)| *high < top);
        if let Some((name, high, span)) = low.filter(|_| clause.of.word == "over") {
            let units = self.units;
            let (most, own) = (units.text(top), units.text(*high));
            let gap = units.text(top - *high);
            let highest = tops.iter().find(|(_, high, _)| *high == top);
            let other = highest.map_or("", |(other, ..)| other.as_str());
            let report = Diagnostic::new(
                &code::SUM_OFF,
                "the cases under a worktop are not equally high",
                *span,
                format!("`{name}` ends at {own}"),
            )
            .note(format!("`{other}` ends at {most}: {most} - {own} = {gap}"))
            .help("make them equally high, or lay the worktop over those that are");
            self.sink.push(report);
            return Err(Poison);
        }
        Ok((whole, top))
    }

    fn filler_box(&mut self, run: usize, at: usize, thick: Length) -> Res<Box3> {
        let starts = self.starts(run)?;
        let items = self.runs[run].items.clone();
        // As high as the case beside it, in line with its front; the one before counts first.
        let case = |i: usize| match items.get(i) {
            Some(RunItem::Case(slot)) => Some(*slot),
            _ => None,
        };
        let before = (0..at).rev().find_map(case);
        let beside = before
            .or_else(|| (at..items.len()).find_map(case))
            .ok_or(Poison)?;
        let [_, deep, high] = self.case_size(beside)?;
        let (from, to) = (
            starts.get(at).ok_or(Poison)?,
            starts.get(at + 1).ok_or(Poison)?,
        );
        let lo = [*from, self.wall()? - deep, self.up(run)?];
        Ok(box_at(lo, [*to - *from, thick, high]))
    }

    /// Makes the worktops, kicks and fillers of the piece.
    pub fn make_fitted_parts(&mut self) {
        for fitted in 0..self.fitted.len() {
            let done = self.make_fitted_part(fitted);
            self.settle(done);
        }
    }

    fn make_fitted_part(&mut self, fitted: usize) -> Res<()> {
        let whole = self.fitted_box(fitted)?;
        let Fitted {
            name, stmt, role, ..
        } = self.fitted[fitted].clone();
        let lengths = match stmt.clause("lengths").cloned() {
            Some(clause) => value::count(self, &clause.env, clause.of.value().ok_or(Poison)?)?,
            None => 1,
        };
        let title = label::panel(stmt.name(), role);
        let wide = whole.extent(Axis::X) / i64::from(lengths);
        for i in 1..=lengths {
            let mut b = whole;
            let left = whole.face(Edge::Left) + wide * i64::from(i - 1);
            b.set_face(Edge::Left, left);
            b.set_face(Edge::Right, left + wide);
            let (path, line) = match lengths {
                1 => (name.clone(), stmt.clone()),
                _ => (
                    label::indexed(&name, &[i]),
                    Rc::new(inner_length(&stmt, i, lengths)),
                ),
            };
            let body = self.make_leaf_body(&path, &title, stmt.name(), &title, &line, b, role)?;
            self.make_strips(body);
        }
        Ok(())
    }
}

/// The line of one length of several: only the outer ones have the outer ends to band.
fn inner_length(stmt: &Stmt, i: u32, of: u32) -> Stmt {
    let mut line = stmt.clone();
    let ends = [("left", i > 1), ("right", i < of)];
    for band in line.lines.iter_mut().filter(|l| l.word() == "band") {
        for clause in band.clauses.iter_mut().filter(|c| c.of.word == "on") {
            clause.of.values.retain(|v| {
                let word = v.as_name();
                !ends.iter().any(|(end, inner)| *inner && word == Some(*end))
            });
        }
    }
    line.lines.retain(|l| {
        let empty = |c: &Scoped<Clause>| c.of.word == "on" && c.of.values.is_empty();
        l.word() != "band" || !l.clauses.iter().any(empty)
    });
    line
}
