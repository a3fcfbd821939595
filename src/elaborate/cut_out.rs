//! Notches, openings and recesses that a maker cuts in a panel (placement rules 1.7).
//!
//! They are cut in the panel as the text places it, before its strips go on. What reaches an edge is a
//! notch, what does not is an opening; where an extent is given through the thickness too, it is a
//! recess of that depth, from the face side or from the face that a third `at 0mm from` names.

use super::build::{Body, Builder, CutWork, ThingKind, Work, extent_word};
use super::project::name_use;
use super::stmt::{Scoped, Stmt};
use super::value;
use super::{Poison, Res};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{AssemblyKind, Axis, Box3, CutKind, Edge};
use crate::schema::{Clause, NameUse};
use crate::source::Span;
use crate::syntax::tree::{Expr, ExprKind};

/// Where a cut begins along an axis.
struct Start {
    /// The place of the end that is stated.
    place: Length,
    /// Whether the cut goes on from there to the high end.
    upward: bool,
    span: Span,
    /// As it was written.
    distance: Length,
    /// The face of the panel itself that it counts from, if it does.
    own: Option<Edge>,
}

impl Builder<'_> {
    /// The cuts of a case.
    pub fn make_cut_outs(&mut self, body: usize) {
        let stmt = self.bodies[body].stmt.clone();
        for line in stmt.forms("cut").filter(|l| !l.damaged) {
            for name in &line.names {
                let Some(panels) = self.panels_of(body, name, &line.env).ok() else {
                    continue;
                };
                for panel in panels {
                    // A line that is wrong for one of its parts is told once.
                    if self.cut_out(panel, line).is_err() {
                        break;
                    }
                }
            }
        }
    }

    /// The cuts that a piece makes in parts of its cases and in what is fitted to them.
    pub fn make_piece_cuts(&mut self, stmt: &Stmt) {
        for line in stmt.forms("cut").filter(|l| !l.damaged) {
            for name in &line.names {
                let panels = self.panels_of_piece(name, line);
                for panel in self.settle(panels).unwrap_or_default() {
                    let body = self.panels[panel].body;
                    let before = std::mem::replace(&mut self.current, body);
                    let done = self.cut_out(panel, line);
                    self.current = before;
                    if done.is_err() {
                        break;
                    }
                }
            }
        }
    }

    /// The panels that a name of the piece stands for: of a worktop, kick or filler; of a case, `base.top`.
    fn panels_of_piece(&mut self, name: &NameUse, line: &Stmt) -> Res<Vec<usize>> {
        let index = self.indices(name, &line.env)?;
        let path = super::label::indexed(&name.text, &index);
        let is = |body: &Body| {
            let named = body.path == path || super::paths::element_of(&body.path, &path);
            named && body.kind == AssemblyKind::Fitted
        };
        let fitted = self.bodies.iter().filter(|body| is(body));
        let panels: Vec<usize> = fitted
            .filter_map(|body| body.panels.first())
            .copied()
            .collect();
        if !panels.is_empty() {
            return Ok(panels);
        }
        let case = name.text.rsplit_once('.').and_then(|(case, own)| {
            let body = self.bodies.iter().position(|b| b.path == case)?;
            let own = NameUse {
                text: own.to_owned(),
                ..name.clone()
            };
            Some((body, own))
        });
        match case {
            Some((body, own)) => self.panels_of(body, &own, &line.env),
            None => Err(self.no_case(&name.text, name.span)),
        }
    }

    fn cut_out(&mut self, panel: usize, line: &Stmt) -> Res<()> {
        if self.panels[panel].finished.is_empty() {
            return Err(Poison);
        }
        let finished = self.panels[panel].finished;
        let thick = self.panels[panel].axis;
        let starts = self.cut_starts(panel, line)?;
        let mut b = finished;
        let mut across = Vec::new();
        for axis in Axis::ALL.into_iter().filter(|axis| *axis != thick) {
            let size = self.cut_size(panel, line, axis)?;
            let Some(start) = starts[axis.index()].as_ref() else {
                return Err(self.cut_lacks(panel, line, axis, "at"));
            };
            let other = if start.upward {
                start.place + size
            } else {
                start.place - size
            };
            b.lo[axis.index()] = start.place.min(other);
            b.hi[axis.index()] = start.place.max(other);
            across.push((axis, size));
        }
        for (axis, _) in &across {
            let start = starts[axis.index()].as_ref();
            self.check_inside(panel, *axis, &b, &finished, start, line)?;
        }
        let face = super::freeze::face_of(
            &self.panels[panel],
            self.bodies[self.panels[panel].body].envelope,
        );
        let entry = self.cut_entry(panel, line, face, starts[thick.index()].as_ref())?;
        let depth = match line.clause(extent_word(thick)).cloned() {
            Some(clause) => {
                let depth =
                    value::positive_length(self, &clause.env, clause.of.value().ok_or(Poison)?)?;
                self.check_recess(panel, depth, clause.of.span)?;
                b.set_face(
                    entry.opposite(),
                    if entry.is_high() {
                        finished.face(entry) - depth
                    } else {
                        finished.face(entry) + depth
                    },
                );
                Some(depth)
            }
            None => None,
        };
        let reached: Vec<Edge> = across
            .iter()
            .flat_map(|(axis, _)| [axis.low(), axis.high()])
            .filter(|edge| b.face(*edge) == finished.face(*edge))
            .collect();
        self.check_bands(panel, &b, line)?;
        if across
            .iter()
            .all(|(axis, _)| reached.contains(&axis.low()) && reached.contains(&axis.high()))
        {
            return Err(self.all_gone(panel, line));
        }
        // Where a joint has lengthened the panel beyond that edge, the notch goes on to the end.
        let core = self.panels[panel].core;
        for edge in &reached {
            b.set_face(*edge, core.face(*edge));
        }
        let kind = match (depth, reached.is_empty()) {
            (Some(_), _) => CutKind::Pocket,
            (None, true) => CutKind::Opening,
            (None, false) => CutKind::EdgeNotch,
        };
        let along = match across.as_slice() {
            [(a, long), (b, wide)] if wide > long => (*b, *a),
            [(a, _), (b, _)] => (*a, *b),
            _ => return Err(Poison),
        };
        self.room_for_holes(1, line.head_span)?;
        let depth = depth.unwrap_or(self.panels[panel].thick);
        self.panels[panel].cuts.push(CutWork {
            kind,
            solids: vec![Work::Box(b)],
            entry,
            along: along.0,
            width: b.extent(along.1),
            depth,
            fit: Length::ZERO,
            relief: Length::ZERO,
            joint: None,
            filler: None,
            origin: line.origin(),
        });
        Ok(())
    }

    fn cut_lacks(&mut self, panel: usize, line: &Stmt, axis: Axis, word: &str) -> Poison {
        let (low, high) = (axis.low().word(), axis.high().word());
        let p = &self.panels[panel];
        let help = if word == "at" {
            format!("add `at` with a distance `from {low}` or `from {high}`")
        } else {
            format!("add `{word}` with a length")
        };
        let what = if word == "at" {
            "where it begins"
        } else {
            "how far it goes"
        };
        self.sink.push(
            Diagnostic::new(
                &code::LINE_NEEDS,
                format!(
                    "the cut in `{}` does not say {what} between {low} and {high}",
                    p.name
                ),
                line.head_span,
                format!("no `{word}` for that way"),
            )
            .help(help),
        );
        Poison
    }

    fn cut_size(&mut self, panel: usize, line: &Stmt, axis: Axis) -> Res<Length> {
        let word = extent_word(axis);
        let Some(clause) = line.clause(word).cloned() else {
            return Err(self.cut_lacks(panel, line, axis, word));
        };
        value::positive_length(self, &clause.env, clause.of.value().ok_or(Poison)?)
    }

    /// Where the cut begins, along each axis that an `at` speaks of.
    fn cut_starts(&mut self, panel: usize, line: &Stmt) -> Res<[Option<Start>; 3]> {
        let mut out = [None, None, None];
        for at in line.all("at").cloned().collect::<Vec<_>>() {
            let (axis, start) = self.cut_start(panel, &at)?;
            let slot = &mut out[axis.index()];
            if let Some(first) = slot {
                let first: &Start = first;
                self.sink.push(
                    Diagnostic::new(
                        &code::SUM_OFF,
                        "a cut that begins at two places",
                        start.span,
                        format!(
                            "also between {} and {}",
                            axis.low().word(),
                            axis.high().word()
                        ),
                    )
                    .at(first.span, "the first")
                    .help("keep one of them; the size says where it ends"),
                );
                return Err(Poison);
            }
            *slot = Some(start);
        }
        Ok(out)
    }

    fn cut_start(&mut self, panel: usize, at: &Scoped<Clause>) -> Res<(Axis, Start)> {
        let span = at.of.span;
        let Some(from) = at.of.tail("from").and_then(Clause::value).cloned() else {
            self.sink.push(
                Diagnostic::new(
                    &code::LINE_NEEDS,
                    "`at` of a cut does not say from where",
                    span,
                    "from which edge",
                )
                .help("add `from` with an edge of the part, or a face of another"),
            );
            return Err(Poison);
        };
        let distance = value::length_not_negative(self, &at.env, at.of.value().ok_or(Poison)?)?;
        let finished = self.panels[panel].finished;
        if let Some(edge) = from.as_name().and_then(Edge::from_word) {
            return Ok((
                edge.axis(),
                Start {
                    place: inward(finished.face(edge), edge, distance),
                    upward: !edge.is_high(),
                    span,
                    distance,
                    own: Some(edge),
                },
            ));
        }
        let (edge, place, within) = self.cut_face(panel, at, &from)?;
        // Into what holds the part, away from any other.
        let upward = edge.is_high() != within;
        Ok((
            edge.axis(),
            Start {
                place: if upward {
                    place + distance
                } else {
                    place - distance
                },
                upward,
                span,
                distance,
                own: None,
            },
        ))
    }

    /// A dotted face: which way it looks, where it is, and whether it bounds what the part lies in.
    fn cut_face(
        &mut self,
        panel: usize,
        at: &Scoped<Clause>,
        from: &Expr,
    ) -> Res<(Edge, Length, bool)> {
        let face = match &from.kind {
            ExprKind::Member(of, name) => Edge::from_word(&name.text).map(|edge| (of, edge)),
            _ => None,
        };
        let Some((of, edge)) = face else {
            let text = self.project.sources.text(from.span).to_owned();
            self.sink.push(
                Diagnostic::new(
                    &code::TYPE_MISMATCH,
                    "an edge or a face is wanted here",
                    from.span,
                    format!("`{text}` is neither"),
                )
                .help("name an edge of the part, or a face as in `deck.top`"),
            );
            return Err(Poison);
        };
        let body = self.panels[panel].body;
        let named = match &of.kind {
            ExprKind::Name(_) | ExprKind::Index(..) => Some(name_use(self, of)?.text),
            _ => None,
        };
        let known = named.as_ref().and_then(|n| self.bodies[body].names.get(n));
        let space = known.is_some_and(|t| matches!(t.kind, ThingKind::Spaces(_)));
        if known.is_none() && named.as_ref() == Some(&self.bodies[body].path) {
            // Of the case: its outer face, also where a part of it bears the same word.
            return Ok((edge, self.bodies[body].envelope.face(edge), true));
        }
        let place = match value::eval(self, &at.env, from)? {
            value::Value::Place(_, place) => place,
            _ => return Err(Poison),
        };
        // From an end of an opening, or a face of the part itself, inward.
        let within = space || named.as_ref() == Some(&self.panels[panel].name);
        Ok((edge, place, within))
    }

    /// The face through which a cut goes in: the face side, or the one that a third `at` names.
    fn cut_entry(
        &mut self,
        panel: usize,
        line: &Stmt,
        face: Edge,
        start: Option<&Start>,
    ) -> Res<Edge> {
        let Some(start) = start else {
            return Ok(face);
        };
        let thick = self.panels[panel].axis;
        let (low, high) = (thick.low().word(), thick.high().word());
        let name = self.panels[panel].name.clone();
        let report = match start.own {
            Some(edge) if line.has(extent_word(thick)) && start.distance.is_zero() => {
                return Ok(edge);
            }
            Some(_) if line.has(extent_word(thick)) => Diagnostic::new(
                &code::VALUE_RANGE,
                "a recess that is open at neither face",
                start.span,
                "begins inside the part",
            )
            .help(format!("`at 0mm from {low}` or `at 0mm from {high}`")),
            _ => Diagnostic::new(
                &code::PLACE_THICKNESS,
                format!("this cut goes through the thickness of `{name}`"),
                start.span,
                format!("from {low} to {high} is its thickness"),
            )
            .help(format!(
                "leave this `at` out, or add `{}` for a recess",
                extent_word(thick)
            )),
        };
        self.sink.push(report);
        Err(Poison)
    }

    fn check_recess(&mut self, panel: usize, depth: Length, span: Span) -> Res<()> {
        let p = &self.panels[panel];
        if depth < p.thick {
            return Ok(());
        }
        let units = self.units;
        let report = Diagnostic::new(
            &code::VALUE_RANGE,
            "a recess as deep as the part is thick",
            span,
            format!("{} deep", units.text(depth)),
        )
        .note(format!("`{}` is {} thick", p.name, units.text(p.thick)))
        .help(format!(
            "leave `{}` out: it goes through",
            extent_word(p.axis)
        ));
        self.sink.push(report);
        Err(Poison)
    }

    /// A cut lies within its panel.
    fn check_inside(
        &mut self,
        panel: usize,
        axis: Axis,
        b: &Box3,
        finished: &Box3,
        start: Option<&Start>,
        line: &Stmt,
    ) -> Res<()> {
        let off = [axis.low(), axis.high()].into_iter().find_map(|edge| {
            let past = if edge.is_high() {
                b.face(edge) - finished.face(edge)
            } else {
                finished.face(edge) - b.face(edge)
            };
            past.is_positive().then_some((edge, past))
        });
        let Some((edge, past)) = off else {
            return Ok(());
        };
        let units = self.units;
        let i = axis.index();
        let from = |place: Length| units.text(place - finished.lo[i]);
        let word = extent_word(axis);
        let size = line.clause(word).map_or(line.head_span, |c| c.of.span);
        let p = &self.panels[panel];
        let mut report = Diagnostic::new(
            &code::CUT_OUTSIDE,
            format!("a cut that goes past the {} of `{}`", edge.word(), p.name),
            start.map_or(line.head_span, |s| s.span),
            format!("{} past it", units.text(past)),
        );
        if start.is_some() {
            report = report.at(size, format!("{} {word}", units.text(b.extent(axis))));
        }
        let report = report
            .note(format!(
                "`{}` is {} {word}; the cut goes from {} to {} from its {}",
                p.name,
                units.text(finished.extent(axis)),
                from(b.lo[i]),
                from(b.hi[i]),
                axis.low().word()
            ))
            .help("a smaller cut, or one that begins elsewhere; at the edge itself it is a notch");
        self.sink.push(report);
        Err(Poison)
    }

    /// Strips go on after: what reaches them would cut them off, so it is not taken.
    fn check_bands(&mut self, panel: usize, b: &Box3, line: &Stmt) -> Res<()> {
        let p = &self.panels[panel];
        let reached = p.bands.iter().find(|band| {
            let sawn = inward(p.finished.face(band.edge), band.edge, band.thick);
            if band.edge.is_high() {
                b.face(band.edge) > sawn
            } else {
                b.face(band.edge) < sawn
            }
        });
        let Some(band) = reached else {
            return Ok(());
        };
        let units = self.units;
        let report = Diagnostic::new(
            &code::CUT_AT_BAND,
            format!(
                "a cut that reaches the edging on the {} of `{}`",
                band.edge.word(),
                p.name
            ),
            line.head_span,
            "the strip would be cut off here",
        )
        .at(
            band.origin.span,
            format!("the strip, {} thick", units.text(band.thick)),
        )
        .note("the strip goes on when the cut is made, as one length over the whole edge")
        .help(format!(
            "end the cut at least {} inside the {} edge, or leave the edging off that edge",
            units.text(band.thick),
            band.edge.word()
        ));
        self.sink.push(report);
        Err(Poison)
    }

    fn all_gone(&mut self, panel: usize, line: &Stmt) -> Poison {
        self.sink.push(
            Diagnostic::new(
                &code::CUT_OUTSIDE,
                format!("a cut that takes all of `{}`", self.panels[panel].name),
                line.head_span,
                "nothing would be left of it",
            )
            .help("a smaller cut"),
        );
        Poison
    }
}

/// A distance inward from a face.
fn inward(face: Length, edge: Edge, by: Length) -> Length {
    if edge.is_high() { face - by } else { face + by }
}
