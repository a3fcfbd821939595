//! Stands: legs at the four corners, aprons between them, tapers (placement rules 1.3, 2.7).

use super::build::{Builder, CutWork, ThingKind, Work};
use super::panels::role_of;
use super::stmt::Stmt;
use super::value;
use super::{Poison, Res};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{Axis, CutKind, Edge, Role};
use crate::source::Span;

/// The corners in the order in which legs are named.
const CORNERS: [(Edge, Edge); 4] = [
    (Edge::Left, Edge::Front),
    (Edge::Right, Edge::Front),
    (Edge::Left, Edge::Rear),
    (Edge::Right, Edge::Rear),
];

impl Builder<'_> {
    /// The legs of a body, in the order of their corners.
    pub(super) fn legs(&self, body: usize) -> Vec<usize> {
        let panels = self.bodies[body].panels.iter().copied();
        panels
            .filter(|p| self.panels[*p].role == Role::Leg)
            .collect()
    }

    /// The corner at which a leg stands: that of its turn among the legs.
    pub fn corner_of(&self, leg: usize) -> (Edge, Edge) {
        let legs = self.legs(self.panels[leg].body);
        let turn = legs.iter().position(|l| *l == leg).unwrap_or_default();
        CORNERS[turn % CORNERS.len()]
    }

    /// A fifth leg has no corner, and an apron spans from leg to leg.
    pub fn check_legs(&mut self, body: usize) {
        self.check_aprons(body);
        if let Some(fifth) = self.legs(body).get(CORNERS.len()).copied() {
            let p = &self.panels[fifth];
            let report = Diagnostic::new(
                &code::VALUE_RANGE,
                format!("a fifth leg, `{}`", p.name),
                p.stmt.name_span(),
                "legs stand at four corners",
            )
            .note("the first is at the front left, then front right, rear left, rear right")
            .help("make what stands between them a `divider`, or another stand");
            self.sink.push(report);
        }
    }

    fn check_aprons(&mut self, body: usize) {
        if self.lost_panel(body) {
            return;
        }
        let corners: Vec<_> = self
            .legs(body)
            .iter()
            .map(|leg| self.corner_of(*leg))
            .collect();
        let spanned = |edge: Edge| {
            let at = |corner: &&(Edge, Edge)| [corner.0, corner.1].contains(&edge);
            corners.iter().filter(at).count() >= 2
        };
        let panels = self.bodies[body].panels.iter().map(|p| &self.panels[*p]);
        for apron in panels.filter(|p| p.role == Role::Apron) {
            let report = |title, label| {
                Diagnostic::new(&code::PLACE_MISSING, title, apron.stmt.name_span(), label)
            };
            let report = match apron.edge {
                None => report(
                    format!("nothing says at which edge `{}` is", apron.name),
                    "an apron is called after its edge",
                )
                .help("call it `left`, `right`, `front` or `rear`"),
                Some(edge) if !spanned(edge) => report(
                    format!("no legs for the apron at the {}", edge.word()),
                    "an apron spans from leg to leg",
                )
                .help("add `leg fl, fr, rl, rr of …`, or make it a `rail`"),
                Some(_) => continue,
            };
            self.sink.push(report);
            return;
        }
    }

    /// A face of a leg: its corner of the envelope, the ground, and the underside of the top.
    pub(super) fn leg_face(&mut self, leg: usize, edge: Edge) -> Res<Length> {
        let (side, end) = self.corner_of(leg);
        let p = &self.panels[leg];
        let (body, thick, stmt) = (p.body, p.thick, p.stmt.clone());
        let env = self.bodies[body].envelope;
        let outer = match edge.axis() {
            Axis::X => side,
            Axis::Y => end,
            Axis::Z if edge == Edge::Bottom => return Ok(env.face(Edge::Bottom)),
            Axis::Z => return Ok(self.bound(body, Edge::Top)?.0),
        };
        let set_in = super::declare::clause_length(self, &stmt, "set_in")?.unwrap_or_default();
        let place = outer.inward(env.face(outer), set_in);
        Ok(if edge == outer {
            place
        } else {
            outer.inward(place, thick)
        })
    }

    /// A face of an apron: in from the legs' outer faces, from leg to leg, under the top.
    pub(super) fn apron_face(&mut self, apron: usize, edge: Edge) -> Res<Length> {
        let p = &self.panels[apron];
        let (body, thick, stmt) = (p.body, p.thick, p.stmt.clone());
        let own = p.edge.ok_or(Poison)?;
        if edge.axis() == own.axis() {
            let outer = self.leg_bound(body, own)?;
            let set_in = super::declare::clause_length(self, &stmt, "set_in")?.unwrap_or_default();
            let place = own.inward(outer, set_in);
            return Ok(if edge == own {
                place
            } else {
                own.inward(place, thick)
            });
        }
        if edge.axis() == Axis::Z {
            let top = self.bound(body, Edge::Top)?.0;
            if edge == Edge::Top {
                return Ok(top);
            }
            let extent = self.stated_extent(apron, Axis::Z)?;
            return match (extent.size, extent.from) {
                (Some((high, span)), _) => {
                    let ground = self.bodies[body].envelope.face(Edge::Bottom);
                    if top - high < ground {
                        self.report_apron_high(apron, span, top - ground);
                    }
                    Ok(top - high)
                }
                (None, Some((from, _))) => Ok(from),
                (None, None) => Err(self.size_missing(apron, "high")),
            };
        }
        self.inner_leg_face(body, edge, own)
    }

    fn report_apron_high(&mut self, apron: usize, span: Span, most: Length) {
        let report = Diagnostic::new(
            &code::VALUE_RANGE,
            format!("`{}` hangs below the feet", self.panels[apron].name),
            span,
            format!("the legs are {} long", self.units.text(most)),
        )
        .help("`high` is how far down it comes from the underside of the top");
        self.sink.push(report);
    }

    /// The outermost face of the legs at an edge.
    fn leg_bound(&mut self, body: usize, edge: Edge) -> Res<Length> {
        let legs = self.legs(body);
        let mut found = None;
        for leg in legs {
            let corner = self.corner_of(leg);
            if corner.0 != edge && corner.1 != edge {
                continue;
            }
            let face = self.face(leg, edge)?;
            found = Some(found.map_or(face, |known: Length| {
                if edge.is_high() {
                    known.max(face)
                } else {
                    known.min(face)
                }
            }));
        }
        found.ok_or(Poison)
    }

    /// The face of the leg at both edges that looks along the apron.
    fn inner_leg_face(&mut self, body: usize, edge: Edge, own: Edge) -> Res<Length> {
        let at = |corner: (Edge, Edge)| {
            let both = [corner.0, corner.1];
            both.contains(&edge) && both.contains(&own)
        };
        let leg = self.legs(body).into_iter().find(|l| at(self.corner_of(*l)));
        match leg {
            Some(leg) => self.face(leg, edge.opposite()),
            // Told once, of the stand.
            None => Err(Poison),
        }
    }

    /// Between legs: where the inside of a stand ends at an edge, and at what. `None` without legs.
    pub(super) fn between_legs(
        &mut self,
        body: usize,
        edge: Edge,
    ) -> Option<Res<(Length, Option<usize>)>> {
        let legs = self.legs(body);
        if legs.is_empty() || edge.axis() == Axis::Z {
            return None;
        }
        // Seen from the front: as deep as to the rear apron.
        if edge.axis() == Axis::Y {
            let rear = self.bodies[body].panels.iter().copied().find(|p| {
                self.panels[*p].role == Role::Apron && self.panels[*p].edge == Some(Edge::Rear)
            });
            return Some(match (edge, rear) {
                (Edge::Rear, Some(apron)) => {
                    self.face(apron, Edge::Front).map(|at| (at, Some(apron)))
                }
                _ => self.leg_bound(body, edge).map(|at| (at, None)),
            });
        }
        let mut found: Option<(Length, usize)> = None;
        for leg in legs {
            if self.corner_of(leg).0 != edge {
                continue;
            }
            let face = match self.face(leg, edge.opposite()) {
                Ok(face) => face,
                Err(Poison) => return Some(Err(Poison)),
            };
            let nearer = found.is_none_or(|(known, _)| {
                if edge.is_high() {
                    face < known
                } else {
                    face > known
                }
            });
            if nearer {
                found = Some((face, leg));
            }
        }
        found.map(|(face, leg)| Ok((face, Some(leg))))
    }

    /// The space of a stand as seen from the front, by that name too.
    pub(super) fn declare_front_of_stand(&mut self, body: usize) {
        let stmt = self.bodies[body].stmt.clone();
        let named = |line: &Stmt| {
            let says = line.names.iter().any(|name| name.text == "front")
                || (line.names.is_empty() && line.word() == "front");
            says && role_of(line.word()).is_some()
        };
        if stmt.word() != "stand" || stmt.lines.iter().any(named) {
            return;
        }
        let Some(ThingKind::Spaces(list)) = self.bodies[body]
            .names
            .get("inside")
            .map(|thing| thing.kind.clone())
        else {
            return;
        };
        let _ = self.name(
            body,
            "front",
            (stmt.head_span, &[]),
            ThingKind::Spaces(list),
        );
    }

    /// The tapers of a body.
    pub fn make_tapers(&mut self, body: usize) {
        let stmt = self.bodies[body].stmt.clone();
        for line in stmt.forms("taper").filter(|l| !l.damaged) {
            for name in &line.names {
                let done = self
                    .panels_of(body, name, &line.env)
                    .and_then(|list| list.into_iter().try_for_each(|leg| self.taper(leg, line)));
                // A line that is wrong for one of its legs is told once.
                if self.settle(done).is_none() {
                    break;
                }
            }
        }
    }

    /// Wedges off the faces of a leg; two opposite faces share what the foot is thinner.
    fn taper(&mut self, leg: usize, line: &Stmt) -> Res<()> {
        let p = &self.panels[leg];
        if p.role != Role::Leg {
            let report = Diagnostic::new(
                &code::TYPE_MISMATCH,
                format!("`{}` is not a leg", p.name),
                line.name_span(),
                "only legs are tapered",
            )
            .help("name the legs: `taper fl, fr, rl, rr on …`");
            self.sink.push(report);
            return Err(Poison);
        }
        let to = line.clause("to").cloned().ok_or(Poison)?;
        let from = line.clause("from").cloned().ok_or(Poison)?;
        let foot = value::positive_length(self, &to.env, to.of.value().ok_or(Poison)?)?;
        let down = value::length_not_negative(self, &from.env, from.of.value().ok_or(Poison)?)?;
        let p = &self.panels[leg];
        let (core, thick) = (p.core, p.thick);
        let units = self.units;
        if foot >= thick {
            let report = Diagnostic::new(
                &code::VALUE_RANGE,
                format!("`{}` does not get thinner", p.name),
                to.of.span,
                format!("the leg is {} thick", units.text(thick)),
            )
            .help("the foot is thinner than the leg");
            self.sink.push(report);
            return Err(Poison);
        }
        if down >= core.extent(Axis::Z) {
            let report = Diagnostic::new(
                &code::VALUE_RANGE,
                format!("the taper of `{}` begins below its foot", p.name),
                from.of.span,
                format!("the leg is {} long", units.text(core.extent(Axis::Z))),
            )
            .help("`from` counts down from the upper end of the leg");
            self.sink.push(report);
            return Err(Poison);
        }
        let edges = self.leg_edges(leg, line)?;
        let origin = line.origin();
        for edge in &edges {
            let whole = thick - foot;
            let off = if edges.contains(&edge.opposite()) {
                whole.half()
            } else {
                whole
            };
            let across = edge.axis().third(Axis::Z);
            let (surface, begin, ground) = (
                core.face(*edge),
                core.face(Edge::Top) - down,
                core.face(Edge::Bottom),
            );
            let point = |out: Length, up: Length| {
                let mut q = [Length::ZERO; 3];
                q[edge.axis().index()] = out;
                q[Axis::Z.index()] = up;
                q
            };
            let cut = CutWork {
                kind: CutKind::Taper,
                solids: vec![Work::Prism {
                    axis: across,
                    outline: vec![
                        point(surface, begin),
                        point(surface, ground),
                        point(edge.inward(surface, off), ground),
                    ],
                    lo: core.face(across.low()),
                    hi: core.face(across.high()),
                }],
                entry: *edge,
                along: Axis::Z,
                width: thick,
                depth: off,
                fit: Length::ZERO,
                relief: Length::ZERO,
                joint: None,
                filler: None,
                origin: origin.clone(),
            };
            self.panels[leg].cuts.push(cut);
        }
        Ok(())
    }

    /// The faces that a taper names; `inside` is the two that look at the middle of the stand, `all`
    /// the four around.
    fn leg_edges(&mut self, leg: usize, line: &Stmt) -> Res<Vec<Edge>> {
        let (side, end) = self.corner_of(leg);
        let on = line.clause("on").cloned().ok_or(Poison)?;
        let mut out = Vec::new();
        for word in &on.of.values {
            match word.as_name() {
                Some("inside") => out.extend([side.opposite(), end.opposite()]),
                Some("outside") => out.extend([side, end]),
                Some("all") => out.extend([Edge::Left, Edge::Right, Edge::Front, Edge::Rear]),
                text => match text.and_then(Edge::from_word) {
                    Some(edge) if edge.axis() != Axis::Z => out.push(edge),
                    _ => {
                        self.sink.push(
                            Diagnostic::new(
                                &code::PLACE_AXIS,
                                "a leg has no such face to taper",
                                word.span,
                                "not one of its four",
                            )
                            .help("write `inside`, `all`, or `left`, `right`, `front`, `rear`"),
                        );
                        return Err(Poison);
                    }
                },
            }
        }
        out.sort();
        out.dedup();
        Ok(out)
    }
}
