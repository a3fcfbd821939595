//! Shapes that are no boxes or wedges (placement rules 2.7): edges that are moulded, legs that are turned
//! or rounded. They are allowances: the wood is left square in sizes and volumes, and the rules keep
//! cuts and joints out of it.

use super::build::Builder;
use super::declare::clause_length;
use super::project::thing_use;
use super::stmt::Stmt;
use super::{Poison, Res};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{AssemblyKind, Axis, Box3, Cutter, CutterKind, Edge, Role, Shape};

impl Builder<'_> {
    /// The shapes of all parts, every strip being on.
    pub fn make_shapes(&mut self) {
        for body in 0..self.bodies.len() {
            let stmt = self.bodies[body].stmt.clone();
            // Of a leaf its own lines, of a case those that name parts.
            let leaf = self.bodies[body].kind == AssemblyKind::Leaf;
            for line in stmt.lines.iter().filter(|line| !line.damaged) {
                let done = match line.word() {
                    "profile" if leaf => self.profile_leaf(body, line),
                    "profile" => self.named(body, line, Builder::profile),
                    "turned" | "rounded" => self.named(body, line, Builder::round_leg),
                    _ => continue,
                };
                self.settle(done);
            }
            if leaf {
                continue;
            }
            for panel in self.bodies[body].panels.clone() {
                let stmt = self.panels[panel].stmt.clone();
                for line in stmt.forms("profile").filter(|line| !line.damaged) {
                    let done = self.profile(panel, line);
                    self.settle(done);
                }
            }
        }
    }

    /// The parts that a line names; a line that is wrong for one of them is told once.
    fn named(
        &mut self,
        body: usize,
        line: &Stmt,
        shape: fn(&mut Self, usize, &Stmt) -> Res<()>,
    ) -> Res<()> {
        self.current = body;
        for name in &line.names {
            for panel in self.panels_of(body, name, &line.env)? {
                shape(self, panel, line)?;
            }
        }
        Ok(())
    }

    /// The outer edges of a leaf, whatever it is made of.
    fn profile_leaf(&mut self, body: usize, line: &Stmt) -> Res<()> {
        let panels = self.bodies[body].panels.clone();
        let own: Vec<usize> = panels
            .into_iter()
            .filter(|p| self.panels[*p].host.is_none())
            .collect();
        let boxes = own.iter().map(|p| self.panels[*p].finished);
        let whole = boxes.reduce(|a, b| a.union(&b)).ok_or(Poison)?;
        let edges = self.shaped_edges(own.first().copied().ok_or(Poison)?, line)?;
        for panel in own {
            for edge in &edges {
                if self.panels[panel].finished.face(*edge) == whole.face(*edge) {
                    self.profile_edge(panel, *edge, line)?;
                }
            }
        }
        Ok(())
    }

    fn profile(&mut self, panel: usize, line: &Stmt) -> Res<()> {
        for edge in self.shaped_edges(panel, line)? {
            self.profile_edge(panel, edge, line)?;
        }
        Ok(())
    }

    fn shaped_edges(&mut self, panel: usize, line: &Stmt) -> Res<Vec<Edge>> {
        let on = line.clause("on").cloned().ok_or(Poison)?;
        let edges = self.edge_list(&on.of.values, panel)?;
        let axis = self.panels[panel].axis;
        if let Some(face) = edges.iter().find(|edge| edge.axis() == axis) {
            let report = Diagnostic::new(
                &code::PLACE_AXIS,
                format!(
                    "the {} of `{}` is a face",
                    face.word(),
                    self.panels[panel].name
                ),
                on.of.span,
                "a profile runs along an edge",
            );
            self.sink
                .push(report.help("`on` names edges; `faces` the face from which it is cut"));
            return Err(Poison);
        }
        Ok(edges)
    }

    /// The cutter of a line, of the shop.
    fn cutter_of(&mut self, line: &Stmt) -> Res<Cutter> {
        let of = line.clause("of").cloned().ok_or(Poison)?;
        let name = thing_use(self, &of.env, of.of.value().ok_or(Poison)?)?;
        let all = &self.project.shop.cutters;
        let found = all.iter().find(|cutter| cutter.name == name.text);
        if let Some(cutter) = found.filter(|cutter| cutter.kind == CutterKind::Profile) {
            return Ok(cutter.clone());
        }
        let known: Vec<&str> = all
            .iter()
            .filter(|cutter| cutter.kind == CutterKind::Profile)
            .map(|cutter| cutter.name.as_str())
            .collect();
        let report = match found {
            Some(_) => Diagnostic::new(
                &code::TYPE_MISMATCH,
                format!("`{}` does not mould edges", name.text),
                name.span,
                "another sort of cutter",
            ),
            None => Diagnostic::new(
                &code::NAME_UNKNOWN,
                format!("the shop has no cutter called `{}`", name.text),
                name.span,
                "not known",
            ),
        };
        let near = crate::diag::nearest(&name.text, known.iter().copied());
        let report = match (near, known.is_empty()) {
            (Some(near), _) => report.help(format!("did you mean `{near}`?")),
            (None, true) => report.help(format!(
                "add `cutter {} profile wide … high …` to the shop",
                name.text
            )),
            (None, false) => report.note(format!("it has {}", known.join(", "))),
        };
        self.sink.push(report);
        Err(Poison)
    }

    /// The face from which an edge of a panel is moulded.
    fn shaped_face(&mut self, panel: usize, line: &Stmt) -> Res<Edge> {
        let p = &self.panels[panel];
        let (axis, body) = (p.axis, self.bodies[p.body].envelope);
        if let Some(faces) = line.clause("faces") {
            let word = faces.of.value().and_then(|v| v.as_name());
            let face = word.and_then(Edge::from_word).ok_or(Poison)?;
            if face.axis() == axis {
                return Ok(face);
            }
            let report = Diagnostic::new(
                &code::PLACE_AXIS,
                format!("the {} of `{}` is no face of it", face.word(), p.name),
                faces.of.span,
                "an edge",
            );
            let help = format!(
                "its faces are {} and {}",
                axis.low().word(),
                axis.high().word()
            );
            self.sink.push(report.help(help));
            return Err(Poison);
        }
        let outer = match p.finished.middle(axis) > body.middle(axis) {
            true => axis.high(),
            false => axis.low(),
        };
        Ok(match (p.role, axis) {
            (Role::Moulding | Role::Side | Role::Back, _) => outer,
            (_, Axis::Z) => Edge::Top,
            (_, Axis::Y) => Edge::Front,
            (_, Axis::X) => outer,
        })
    }

    fn profile_edge(&mut self, panel: usize, edge: Edge, line: &Stmt) -> Res<()> {
        let cutter = self.cutter_of(line)?;
        let face = self.shaped_face(panel, line)?;
        let (wide, high) = (cutter.thick.0, cutter.deep.unwrap_or_default());
        let p = &self.panels[panel];
        // Its strips are on; what enters a joint is not moulded.
        let whole = p.finished;
        let text = |length| self.units.text(length);
        let thick = whole.extent(face.axis());
        let report = if high > thick {
            let here = format!("takes {} of an edge of {}", text(high), text(thick));
            Some((
                here,
                format!(
                    "{} - {} = {} too much",
                    text(high),
                    text(thick),
                    text(high - thick)
                ),
            ))
        } else if wide > whole.extent(edge.axis()) {
            let size = whole.extent(edge.axis());
            let here = format!("takes {} in from the edge of {}", text(wide), text(size));
            Some((
                here,
                format!(
                    "{} - {} = {} too much",
                    text(wide),
                    text(size),
                    text(wide - size)
                ),
            ))
        } else if let Some(band) = p
            .bands
            .iter()
            .find(|band| band.edge == edge && band.thick < wide)
        {
            let here = format!("takes {} in from the edge", text(wide));
            Some((
                here,
                format!(
                    "the strip there is {} thick: it would be cut through",
                    text(band.thick)
                ),
            ))
        } else {
            None
        };
        if let Some((here, note)) = report {
            let span = line.clause("of").map_or(line.head_span, |of| of.of.span);
            let report = Diagnostic::new(
                &code::VALUE_RANGE,
                format!(
                    "`{}` takes more of `{}` than there is",
                    cutter.name, self.panels[panel].name
                ),
                span,
                here,
            );
            self.sink
                .push(report.note(note).help("a smaller profile, or thicker wood"));
            return Err(Poison);
        }
        let mut zone = whole;
        zone.set_face(edge.opposite(), edge.inward(whole.face(edge), wide));
        zone.set_face(face.opposite(), face.inward(whole.face(face), high));
        let shape = Shape::Profile {
            cutter: cutter.name,
            wide,
            high,
        };
        self.add_shape(panel, shape, edge, zone, line)
    }

    /// A length of a leg that is turned or rounded.
    fn round_leg(&mut self, leg: usize, line: &Stmt) -> Res<()> {
        let from = clause_length(self, line, "from")?.ok_or(Poison)?;
        let to = clause_length(self, line, "to")?;
        let least = clause_length(self, line, "thick")?;
        let p = &self.panels[leg];
        let refused = |title: String, word: &str, here: String, help: &str| {
            let span = line.clause(word).map_or(line.name_span(), |c| c.of.span);
            Diagnostic::new(&code::VALUE_RANGE, title, span, here).help(help.to_owned())
        };
        let text = |length: Length| self.units.text(length);
        let (core, name) = (p.core, p.name.clone());
        let long = core.extent(Axis::Z);
        let end = to.unwrap_or(long);
        let report = if p.role != Role::Leg {
            Some(
                Diagnostic::new(
                    &code::TYPE_MISMATCH,
                    format!("`{name}` is not a leg"),
                    line.name_span(),
                    format!("only legs are {}", line.word()),
                )
                .help(format!(
                    "name the legs: `{} fl, fr, rl, rr from …`",
                    line.word()
                )),
            )
        } else if from >= end || end > long {
            let title = format!("no length of `{name}` is {}", line.word());
            let here = format!("from {} to {}", text(from), text(end));
            let word = if to.is_some() && from < long {
                "to"
            } else {
                "from"
            };
            Some(
                refused(
                    title,
                    word,
                    here,
                    "both count down from the upper end of the leg",
                )
                .note(format!("the leg is {} long", text(long))),
            )
        } else if let Some(least) = least.filter(|least| *least >= p.thick || !least.is_positive())
        {
            let title = format!("`{name}` does not get thinner");
            let here = format!("{} of {}", text(least), text(p.thick));
            Some(refused(
                title,
                "thick",
                here,
                "what is left is thinner than the leg",
            ))
        } else {
            None
        };
        if let Some(report) = report {
            self.sink.push(report);
            return Err(Poison);
        }
        let mut zone = core;
        zone.set_face(Edge::Top, core.face(Edge::Top) - from);
        zone.set_face(Edge::Bottom, core.face(Edge::Top) - end);
        let shape = match line.word() {
            "turned" => Shape::Turned { least },
            _ => Shape::Rounded,
        };
        self.add_shape(leg, shape, Edge::Bottom, zone, line)
    }

    /// Notes a shape; two of one part on the same edge or length are one too many.
    fn add_shape(
        &mut self,
        panel: usize,
        shape: Shape,
        edge: Edge,
        zone: Box3,
        line: &Stmt,
    ) -> Res<()> {
        let p = &self.panels[panel];
        let profile = matches!(shape, Shape::Profile { .. });
        let again = p.shaped.iter().find(|(other, at, taken, _)| match other {
            Shape::Profile { .. } => profile && *at == edge && taken.overlaps(&zone),
            _ => !profile && taken.overlaps(&zone),
        });
        if let Some((.., first)) = again {
            let report = Diagnostic::new(
                &code::LINE_DOUBLED,
                format!("`{}` is shaped twice in one place", p.name),
                line.head_span,
                "again here",
            )
            .at(first.span, "it was shaped here");
            self.push_once(report);
            return Err(Poison);
        }
        self.panels[panel]
            .shaped
            .push((shape, edge, zone, line.origin()));
        Ok(())
    }
}
