//! Edging (placement rules 1.6): cores, strips, and the grooves and tongues between them.

use super::build::{BandWork, Builder, CutWork, JointWork, Panel, Place, Work, part_id};
use super::joints::tongue_thick;
use super::project::thing_use;
use super::stmt::{Scoped, Stmt};
use super::value;
use super::{Poison, Res};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{Axis, Box3, CutKind, Edge, Grain, JointId, JointKind, Role, StockKind};
use crate::schema::Clause;
use crate::source::Span;

impl Builder<'_> {
    /// Reads the bands of a body and takes them off the cores of its panels.
    pub fn declare_bands(&mut self, body: usize) {
        let stmt = self.bodies[body].stmt.clone();
        for line in stmt.forms("band") {
            // A band that is wrong was reported; the others go on.
            let done = self.declare_band(body, line);
            self.settle(done);
        }
        self.check_mitred(body);
        for panel in self.bodies[body].panels.clone() {
            for band in self.panels[panel].bands.clone() {
                if !band.early {
                    self.panels[panel].core.grow(band.edge, -band.thick);
                }
            }
        }
    }

    /// Strips are mitred where two of one panel meet, both of them `mitred`.
    fn check_mitred(&mut self, body: usize) {
        let mut told: Vec<Span> = Vec::new();
        for panel in &self.bodies[body].panels {
            let p = &self.panels[*panel];
            for band in p.bands.iter().filter(|b| b.mitred) {
                let meets = p.bands.iter().any(|other| {
                    other.mitred
                        && other.early == band.early
                        && other.edge.axis() != band.edge.axis()
                });
                let span = band.origin.at("mitred");
                if meets || told.contains(&span) {
                    continue;
                }
                told.push(span);
                self.sink.push(
                    Diagnostic::new(
                        &code::NAME_WORD_NOT_HERE,
                        format!(
                            "the strip at the {} of `{}` meets no other at a mitre",
                            band.edge.word(),
                            p.name
                        ),
                        span,
                        "nothing to be mitred with",
                    )
                    .note("strips are mitred where two edges of one panel meet that both have one")
                    .help("leave `mitred` out, or band the edges beside it so too"),
                );
            }
        }
    }

    fn declare_band(&mut self, body: usize, line: &Stmt) -> Res<()> {
        let panels = if line.names.is_empty() {
            self.bodies[body].panels.clone()
        } else {
            let mut panels = Vec::new();
            for name in &line.names {
                panels.extend(self.panels_of(body, name, &line.env)?);
            }
            panels
        };
        let on = line.clause("on").cloned().ok_or(Poison)?;
        let stock_of = line
            .clause("of")
            .cloned()
            .ok_or_else(|| self.missing_stock(line))?;
        let name = thing_use(self, &stock_of.env, stock_of.of.value().ok_or(Poison)?)?;
        let project = self.project;
        let (stock, data) = project.stock(self, &name)?;
        let thick = match (line.clause("thick").cloned(), &data.kind) {
            (Some(clause), StockKind::Board { .. }) => {
                value::positive_length(self, &clause.env, clause.of.value().ok_or(Poison)?)?
            }
            (None, StockKind::Edging { thick, .. }) => *thick,
            (Some(clause), StockKind::Edging { thick, .. }) => {
                let stated =
                    value::positive_length(self, &clause.env, clause.of.value().ok_or(Poison)?)?;
                if stated != *thick {
                    self.sink.push(
                        Diagnostic::new(
                            &code::STOCK_THICK_STATED,
                            format!("`{}` is {} thick", data.name, self.units.text(*thick)),
                            clause.of.span,
                            "another thickness is stated",
                        )
                        .at(data.origin.at("thick"), "its own")
                        .help("leave `thick` out"),
                    );
                    return Err(Poison);
                }
                stated
            }
            (None, StockKind::Board { .. }) => {
                if !line.damaged {
                    self.sink.push(
                        Diagnostic::new(
                            &code::STOCK_THICK_MISSING,
                            "a strip of board does not say how thick it is",
                            line.head_span,
                            "no `thick`",
                        )
                        .at(data.origin.span, "a board")
                        .help("add `thick` with a length"),
                    );
                }
                return Err(Poison);
            }
            (_, StockKind::Sheet { .. }) => {
                self.sink.push(
                    Diagnostic::new(
                        &code::TYPE_MISMATCH,
                        "edging is not made of sheet",
                        name.span,
                        "a sheet",
                    )
                    .at(data.origin.span, "declared here")
                    .help("use a board or an edging"),
                );
                return Err(Poison);
            }
        };
        let tongue = self.band_joint(line)?;
        let run_out = line
            .clause("with")
            .is_some_and(|w| w.of.tail("run_out").is_some());
        let title = super::label::words(line.pattern.as_deref().unwrap_or("edging"));
        for panel in panels {
            let p = &self.panels[panel];
            if let (Some((thick, ..)), Some(with)) = (tongue, line.clause("with"))
                && thick >= p.thick
            {
                let (thick, of) = (self.units.text(thick), self.units.text(p.thick));
                let span = with.of.tail("thick").map_or(with.of.span, |t| t.span);
                self.sink.push(tongue_thick(span, &thick, &p.name, &of));
                return Err(Poison);
            }
            for edge in self.edge_list(&on.of.values, panel)? {
                let p = &self.panels[panel];
                if edge.axis() == p.axis {
                    let report = Diagnostic::new(
                        &code::BAND_FACE,
                        format!("the {} of `{}` is a face, not an edge", edge.word(), p.name),
                        on.of.span,
                        "a strip covers edges",
                    )
                    .at(
                        p.stmt.name_span(),
                        format!(
                            "its thickness runs from {} to {}",
                            p.axis.low().word(),
                            p.axis.high().word()
                        ),
                    );
                    let edges: Vec<&str> = Edge::ALL
                        .into_iter()
                        .filter(|e| e.axis() != p.axis)
                        .map(Edge::word)
                        .collect();
                    let report = report.help(format!("its edges are {}", edges.join(", ")));
                    self.sink.push(report);
                    return Err(Poison);
                }
                if let Some(first) = p.bands.iter().find(|b| b.edge == edge) {
                    let report = Diagnostic::new(
                        &code::LINE_DOUBLED,
                        format!("the {} edge of `{}` is banded twice", edge.word(), p.name),
                        on.of.span,
                        "again here",
                    )
                    .at(first.origin.span, "first here");
                    self.sink.push(report);
                    return Err(Poison);
                }
                let across = self.band_across(line, panel)?;
                let mut origin = line.origin();
                origin.span = line.head_span;
                self.panels[panel].bands.push(BandWork {
                    edge,
                    thick,
                    across,
                    stock,
                    mitred: line.has("mitred"),
                    early: line.has("early"),
                    tongue,
                    run_out,
                    title: title.clone(),
                    strip: None,
                    origin,
                });
            }
        }
        Ok(())
    }

    fn missing_stock(&mut self, line: &Stmt) -> Poison {
        if !line.damaged {
            self.sink.push(
                Diagnostic::new(
                    &code::LINE_NEEDS,
                    "a band does not say what it is made of",
                    line.head_span,
                    "no stock",
                )
                .help("add `of` with a board or an edging, or `like` with a pattern"),
            );
        }
        Poison
    }

    /// `with tongue thick T deep D` (tongue on the strip) or `with groove thick T deep D` (on the core).
    fn band_joint(&mut self, line: &Stmt) -> Res<Option<(Length, Length, bool)>> {
        let Some(with) = line.clause("with").cloned() else {
            return Ok(None);
        };
        let kind = with
            .of
            .value()
            .and_then(|v| v.as_name())
            .unwrap_or("")
            .to_owned();
        if kind == "butt" {
            return Ok(None);
        }
        if !matches!(kind.as_str(), "tongue" | "groove") {
            self.sink.push(
                Diagnostic::new(
                    &code::TYPE_MISMATCH,
                    format!("edging does not go on with a {kind}"),
                    with.of.span,
                    "not a joint for a strip",
                )
                .help("use `with tongue`, `with groove`, or leave it out to glue the strip flat"),
            );
            return Err(Poison);
        }
        let thick = self.option_length(&with, "thick", line)?;
        let deep = self.option_length(&with, "deep", line)?;
        Ok(Some((thick, deep, kind == "tongue")))
    }

    /// A length option of a joint that must be there.
    pub fn option_length(&mut self, with: &Scoped<Clause>, word: &str, line: &Stmt) -> Res<Length> {
        match with.of.tail(word).and_then(Clause::value).cloned() {
            Some(value) => value::positive_length(self, &with.env, &value),
            None => {
                if !line.damaged {
                    let kind = with.of.value().and_then(|v| v.as_name()).unwrap_or("joint");
                    self.sink.push(
                        Diagnostic::new(
                            &code::LINE_NEEDS,
                            format!("a {kind} needs `{word}`"),
                            with.of.span,
                            format!("no `{word}`"),
                        )
                        .help(format!("add `{word}` with a length after `with {kind}`")),
                    );
                }
                Err(Poison)
            }
        }
    }

    /// Where a strip lies across the panel's thickness.
    fn band_across(&mut self, line: &Stmt, panel: usize) -> Res<(Length, Length)> {
        let (axis, name, stock) = {
            let p = &self.panels[panel];
            (p.axis, p.name.clone(), p.finished)
        };
        let (low, high) = (stock.face(axis.low()), stock.face(axis.high()));
        let Some(wide) = line.clause("wide").cloned() else {
            return Ok((low, high));
        };
        let width = value::positive_length(self, &wide.env, wide.of.value().ok_or(Poison)?)?;
        if width == high - low {
            return Ok((low, high));
        }
        match line
            .clause("flush")
            .and_then(|c| c.of.value())
            .and_then(|v| v.as_name())
            .and_then(Edge::from_word)
        {
            Some(face) if face.axis() == axis => Ok(if face.is_high() {
                (high - width, high)
            } else {
                (low, low + width)
            }),
            Some(_) => {
                self.sink.push(
                    Diagnostic::new(
                        &code::PLACE_AXIS,
                        "`flush` names an edge, not a face of the panel",
                        line.span,
                        "a strip is flush with a face",
                    )
                    .help(format!(
                        "name {} or {}",
                        axis.low().word(),
                        axis.high().word()
                    )),
                );
                Err(Poison)
            }
            None => {
                let units = self.units;
                self.sink.push(
                    Diagnostic::new(
                        &code::LINE_NEEDS,
                        format!("the strip is not as wide as `{name}` is thick"),
                        wide.of.span,
                        format!("{} wide", units.text(width)),
                    )
                    .note(format!("`{name}` is {} thick", units.text(high - low)))
                    .help(format!(
                        "add `flush {}` or `flush {}`: the face with which it is level",
                        axis.low().word(),
                        axis.high().word()
                    )),
                );
                Err(Poison)
            }
        }
    }

    /// What a strip that hangs over a panel's face adds to it along that axis, at the front.
    pub fn hanging(&self, panel: usize, toward: Edge) -> Length {
        let p = &self.panels[panel];
        let face = p.finished.face(toward);
        let mut out = Length::ZERO;
        for band in p
            .bands
            .iter()
            .filter(|b| b.edge == Edge::Front && p.axis == toward.axis())
        {
            let reach = if toward.is_high() {
                band.across.1 - face
            } else {
                face - band.across.0
            };
            out = out.max(reach);
        }
        out
    }

    /// Makes the strips of a body's panels, after the joints are cut (rule 1.6, 5).
    pub fn make_strips(&mut self, body: usize) {
        for panel in self.bodies[body].panels.clone() {
            if self.panels[panel].role == Role::Band {
                continue;
            }
            // Grooves and tongues are as long as the core without its other tongues: where two edges
            // with tongues on the core meet, neither tongue runs into the corner.
            let mut base = self.panels[panel].core;
            for band in self.panels[panel].bands.iter().filter(|b| b.early) {
                base.grow(band.edge, -band.thick);
            }
            let mut grown = base;
            for band in self.panels[panel].bands.clone() {
                if let Some((_, deep, false)) = band.tongue {
                    self.panels[panel].core.grow(band.edge, deep);
                    grown.grow(band.edge, deep);
                }
            }
            for i in 0..self.panels[panel].bands.len() {
                self.make_strip(panel, i, base, grown);
            }
        }
    }

    /// `base` is the panel as sawn without tongues for its strips, `grown` with them.
    fn make_strip(&mut self, panel: usize, i: usize, base: Box3, grown: Box3) {
        let p = &self.panels[panel];
        let band = p.bands[i].clone();
        let edge = band.edge;
        let along = edge.axis().third(p.axis);
        let mut seen = p.finished;
        let outer = p.finished.face(edge);
        let core_face = if edge.is_high() {
            outer - band.thick
        } else {
            outer + band.thick
        };
        seen.set_face(edge.opposite(), core_face);
        seen.set_face(edge, outer);
        seen.set_face(p.axis.low(), band.across.0);
        seen.set_face(p.axis.high(), band.across.1);
        let mut mitres = Vec::new();
        for end in [along.low(), along.high()] {
            let beside = p.bands.iter().enumerate().find(|(_, b)| b.edge == end);
            match beside.filter(|(_, other)| other.early || !band.early) {
                Some((_, other)) if band.mitred && other.mitred => mitres.push((end, other.thick)),
                // The later strip covers this one's end; an early one is there before all others.
                Some((j, other)) if j > i && other.early == band.early => {
                    seen.grow(end, -other.thick)
                }
                Some(_) => {}
                // An early strip is cut and let in with the core; other strips go over its ends.
                None if band.early => seen.set_face(end, base.face(end)),
                None => {}
            }
        }
        let mut blank = seen;
        let (panel_core, panel_axis, shop) = (base, p.axis, &self.project.shop);
        let (fit, relief) = (shop.fit, shop.relief_groove);
        let middle = p.finished.middle(panel_axis);
        let joint = JointId(self.joints.len() as u32);
        let mut contact = seen;
        contact.set_face(edge, core_face);
        if let Some(meet) = contact.meet(&p.finished) {
            contact = meet;
        }
        let mut strip_cuts = Vec::new();
        let mut panel_cut = None;
        let strip_id = self.panels.len();
        if let Some((thick, deep, on_strip)) = band.tongue {
            // The tongue is centred on the core's thickness whatever the strip's width.
            let tongue = |extra: Length, depth: Length| {
                let mut b = seen;
                // One pass from each face centres a groove, so its room lies on both sides.
                b.set_face(panel_axis.low(), middle - (thick + extra).half());
                b.set_face(panel_axis.high(), middle + (thick + extra).half());
                b.set_face(
                    edge.opposite(),
                    if edge.is_high() {
                        core_face - depth
                    } else {
                        core_face + depth
                    },
                );
                b.set_face(edge, core_face);
                for end in [along.low(), along.high()] {
                    // The groove is as long as the strip, where the core is.
                    let stop = panel_core.face(end);
                    let place = if band.run_out {
                        stop
                    } else if end.is_high() {
                        b.face(end).min(stop)
                    } else {
                        b.face(end).max(stop)
                    };
                    b.set_face(end, place);
                }
                b
            };
            if on_strip {
                blank.grow(edge.opposite(), deep);
                let mut left = tongue(Length::ZERO, deep);
                for (end, other_deep) in earlier_tongues(&p.bands, i, along) {
                    // At a corner the tongue of the earlier strip fills the end of this groove.
                    let stop = panel_core.face(end);
                    let place = if end.is_high() {
                        left.face(end).min(stop - other_deep)
                    } else {
                        left.face(end).max(stop + other_deep)
                    };
                    left.set_face(end, place);
                }
                let mut shoulders =
                    shoulders_round(&blank, &left, edge.opposite(), deep, panel_axis);
                shoulders.extend(ends_beyond(&blank, &left, edge.opposite(), deep, along));
                strip_cuts.push(cut(
                    CutKind::Tongue,
                    shoulders,
                    edge.opposite(),
                    along,
                    thick,
                    deep,
                    Length::ZERO,
                    Length::ZERO,
                    joint,
                    None,
                    &band,
                ));
                let groove = tongue(fit, deep + relief);
                panel_cut = Some(cut(
                    CutKind::EdgeGroove,
                    vec![groove],
                    edge,
                    along,
                    thick + fit,
                    deep + relief,
                    fit,
                    relief,
                    joint,
                    Some(strip_id),
                    &band,
                ));
            } else {
                let groove = {
                    let mut b = tongue(fit, Length::ZERO);
                    b.set_face(edge.opposite(), core_face);
                    b.set_face(
                        edge,
                        if edge.is_high() {
                            core_face + deep + relief
                        } else {
                            core_face - deep - relief
                        },
                    );
                    b
                };
                // A strip is as thick as it stands out, so its groove lies in its face.
                strip_cuts.push(cut(
                    CutKind::Groove,
                    vec![groove],
                    edge.opposite(),
                    along,
                    thick + fit,
                    deep + relief,
                    fit,
                    relief,
                    joint,
                    Some(panel),
                    &band,
                ));
                let core = grown;
                let mut left = tongue(Length::ZERO, Length::ZERO);
                left.set_face(edge.opposite(), core_face);
                left.set_face(edge, core.face(edge));
                let mut shoulders = shoulders_round(&core, &left, edge, deep, panel_axis);
                shoulders.extend(ends_beyond(&core, &left, edge, deep, along));
                panel_cut = Some(cut(
                    CutKind::Tongue,
                    shoulders,
                    edge,
                    along,
                    thick,
                    deep,
                    Length::ZERO,
                    Length::ZERO,
                    joint,
                    None,
                    &band,
                ));
            }
        }
        for (end, other_thick) in mitres {
            strip_cuts.push(strip_mitre(
                &blank,
                edge,
                end,
                core_face,
                other_thick,
                panel_axis,
                joint,
                &band,
            ));
        }
        if let Some(cut) = panel_cut {
            self.panels[panel].cuts.push(cut);
        }
        let p = &self.panels[panel];
        let strip = Panel {
            name: format!("{}_{}", p.name, edge.word()),
            index: p.index.clone(),
            path: format!("{}.band_{}", p.path, edge.word()),
            label: format!("{}, {}", band.title, p.label.to_lowercase()),
            role: Role::Band,
            body: p.body,
            stmt: p.stmt.clone(),
            stock: band.stock,
            thick: blank.extent(edge.axis()),
            axis: edge.axis(),
            pos: edge.axis(),
            edge: None,
            within: None,
            faces: [Place::Todo; 6],
            grain: along,
            grained: Grain::Lengthwise,
            finished: blank,
            core: blank,
            cuts: strip_cuts,
            bands: Vec::new(),
            host: Some(panel),
            aslant: None,
            shaped: Vec::new(),
            growth: Vec::new(),
        };
        let body = p.body;
        self.panels.push(strip);
        self.panels[panel].bands[i].strip = Some(strip_id);
        self.bodies[body].panels.push(strip_id);
        let deep = band.tongue.map_or(Length::ZERO, |(_, deep, _)| deep);
        self.joints.push(JointWork {
            kind: JointKind::Edging,
            a: strip_id,
            b: panel,
            edge: edge.opposite(),
            deep,
            contact,
            glued: true,
            glued_along: None,
            slotted: false,
            open_to: None,
            fastening: None,
            body,
            origin: band.origin.clone(),
        });
    }

    /// Reports an edge that is banded and enters, or is entered there.
    pub fn band_in_joint(&mut self, panel: usize, edge: Edge, joint: Span) -> Res<()> {
        let p = &self.panels[panel];
        match p.bands.iter().find(|b| b.edge == edge && !b.early) {
            None => Ok(()),
            Some(band) => {
                let report = Diagnostic::new(
                    &code::BAND_IN_JOINT,
                    format!(
                        "the {} edge of `{}` is banded and joined",
                        edge.word(),
                        p.name
                    ),
                    joint,
                    "this joint meets it there",
                )
                .at(band.origin.span, "this strip covers it")
                .help("leave the edge out of the band, or join another edge");
                self.sink.push(report);
                Err(Poison)
            }
        }
    }

    /// The part that a strip's id stands for.
    pub fn strip_part(&self, band: &BandWork) -> Option<crate::model::PartId> {
        band.strip.map(part_id)
    }
}

/// The ends of a strip at which the tongue of an earlier strip already fills the corner, and how deep
/// that is. Strips that are mitred there meet along the mitre instead.
fn earlier_tongues(bands: &[BandWork], i: usize, along: Axis) -> Vec<(Edge, Length)> {
    let mitred = bands.get(i).is_some_and(|band| band.mitred);
    bands
        .iter()
        .take(i)
        .filter(|other| other.edge.axis() == along && !(mitred && other.mitred))
        .filter_map(|other| match other.tongue {
            Some((_, deep, true)) => Some((other.edge, deep)),
            Some((_, _, false)) | None => None,
        })
        .collect()
}

/// The wood beside a tongue at `edge` of `whole`: one box a shoulder.
pub fn shoulders_round(
    whole: &Box3,
    tongue: &Box3,
    edge: Edge,
    deep: Length,
    across: Axis,
) -> Vec<Box3> {
    let mut strip = *whole;
    strip.set_face(
        edge.opposite(),
        if edge.is_high() {
            whole.face(edge) - deep
        } else {
            whole.face(edge) + deep
        },
    );
    let mut out = Vec::new();
    for side in [across.low(), across.high()] {
        let mut shoulder = strip;
        shoulder.set_face(side.opposite(), tongue.face(side));
        if !shoulder.is_empty() {
            out.push(shoulder);
        }
    }
    out
}

/// The wood of a tongue beyond its ends.
fn ends_beyond(whole: &Box3, tongue: &Box3, edge: Edge, deep: Length, along: Axis) -> Vec<Box3> {
    let mut strip = *tongue;
    strip.set_face(edge, whole.face(edge));
    strip.set_face(
        edge.opposite(),
        if edge.is_high() {
            whole.face(edge) - deep
        } else {
            whole.face(edge) + deep
        },
    );
    let mut out = Vec::new();
    for end in [along.low(), along.high()] {
        let mut beyond = strip;
        beyond.set_face(end, whole.face(end));
        beyond.set_face(end.opposite(), tongue.face(end));
        if !beyond.is_empty() {
            out.push(beyond);
        }
    }
    out
}

#[expect(
    clippy::too_many_arguments,
    reason = "one line for each figure of a cut"
)]
fn cut(
    kind: CutKind,
    boxes: Vec<Box3>,
    entry: Edge,
    along: Axis,
    width: Length,
    depth: Length,
    fit: Length,
    relief: Length,
    joint: JointId,
    filler: Option<usize>,
    band: &BandWork,
) -> CutWork {
    CutWork {
        kind,
        solids: boxes.into_iter().map(Work::Box).collect(),
        entry,
        along,
        width,
        depth,
        fit,
        relief,
        joint: Some(joint),
        filler,
        origin: band.origin.clone(),
    }
}

/// The mitre at an end of a strip: from the outer corner through the inner one, tongue included.
fn strip_mitre(
    blank: &Box3,
    edge: Edge,
    end: Edge,
    core_face: Length,
    other: Length,
    across: Axis,
    joint: JointId,
    band: &BandWork,
) -> CutWork {
    let (e, f) = (edge.axis().index(), end.axis().index());
    let tip = blank.face(end);
    let outer = blank.face(edge);
    let inner = blank.face(edge.opposite());
    // Along the end's axis the mitre runs back by `other` over the strip's visible thickness.
    let visible = (outer - core_face).abs();
    let depth = (outer - inner).abs();
    let run = if visible.is_zero() {
        Length::ZERO
    } else {
        other.scale(depth.ratio(visible))
    };
    let back = if end.is_high() { tip - run } else { tip + run };
    let corner = |along: Length, out: Length| {
        let mut p = [Length::ZERO; 3];
        p[f] = along;
        p[e] = out;
        p
    };
    CutWork {
        kind: CutKind::Mitre,
        solids: vec![Work::Prism {
            axis: across,
            outline: vec![corner(tip, outer), corner(tip, inner), corner(back, inner)],
            lo: blank.face(across.low()),
            hi: blank.face(across.high()),
        }],
        entry: end,
        along: across,
        width: depth,
        depth: run,
        fit: Length::ZERO,
        relief: Length::ZERO,
        joint: Some(joint),
        filler: None,
        origin: band.origin.clone(),
    }
}
