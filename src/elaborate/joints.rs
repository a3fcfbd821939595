//! Joints (placement rules 2): who meets whom, growth, then cuts in both as long as the cores meet.

use super::build::{Builder, JointWork};
use super::project::{name_use, thing_use};
use super::stmt::{Scoped, Stmt};
use super::value;
use super::{Poison, Res};
use crate::diag::{Diagnostic, code};
use crate::measure::{Length, Rational};
use crate::model::{Axis, Box3, Edge, HardwareId, HardwareKind, HardwareUse, JointKind, Origin};
use crate::schema::Clause;
use crate::source::Span;
use std::collections::BTreeSet;
use std::rc::Rc;

/// A joint of a line, with its options read, before its cuts are made.
pub struct Pending {
    pub joint: usize,
    pub options: Rc<Options>,
}

/// What stands after `with`.
#[derive(Debug, Default)]
pub struct Options {
    pub thick: Option<Length>,
    pub flush: Option<Edge>,
    pub fit: Option<Length>,
    pub stopped: Vec<(Length, Vec<Edge>)>,
    pub run_out: bool,
    pub tails: u32,
    pub slope: Rational,
    pub lap: Length,
}

impl Builder<'_> {
    /// Makes the joints of a body: all growth first, then all cuts.
    pub fn make_joints(&mut self, body: usize) {
        let stmt = self.bodies[body].stmt.clone();
        let mut pending = Vec::new();
        for line in stmt.forms("join") {
            // A joint that is wrong was reported; the others go on.
            let more = self.join_line(body, line);
            pending.extend(self.settle(more).unwrap_or_default());
        }
        for p in &pending {
            let done = self.grow(p);
            self.settle(done);
        }
        for p in &pending {
            self.cut_joint(p);
        }
    }

    fn join_line(&mut self, body: usize, line: &Stmt) -> Res<Vec<Pending>> {
        let with = line.clause("with").cloned().ok_or(Poison)?;
        let other = line
            .clause("into")
            .or_else(|| line.clause("to"))
            .cloned()
            .ok_or(Poison)?;
        let kind_word = with
            .of
            .value()
            .and_then(|v| v.as_name())
            .ok_or(Poison)?
            .to_owned();
        let kind = kind_of(&kind_word, &with.of).ok_or(Poison)?;
        let options = Rc::new(self.joint_options(line, &with, kind)?);
        let deep = match kind {
            JointKind::Dado
            | JointKind::Groove
            | JointKind::Rabbet
            | JointKind::DadoRabbet
            | JointKind::Tongue => self.option_length(&with, "deep", line)?,
            _ => Length::ZERO,
        };
        let fastener = self.fastener(&with, kind)?;
        let mut first = Vec::new();
        for name in &line.names {
            first.push((name, self.panels_of(body, name, &line.env)?));
        }
        let mut second = Vec::new();
        for value in &other.of.values {
            let name = name_use(self, value)?;
            let panels = self.panels_of(body, &name, &other.env)?;
            second.push((name, panels));
        }
        // A panel without a place was reported: it joins nothing, and nothing misses it.
        let placed =
            |me: &Self, list: &[usize]| list.iter().all(|p| !me.panels[*p].finished.is_empty());
        if !first.iter().all(|(_, list)| placed(self, list))
            || !second.iter().all(|(_, list)| placed(self, list))
        {
            return Err(Poison);
        }
        let mut out = Vec::new();
        let mut met_first: BTreeSet<usize> = BTreeSet::new();
        let mut met_second: BTreeSet<usize> = BTreeSet::new();
        let mut doubled = false;
        for a in first.iter().flat_map(|(_, list)| list) {
            for b in second.iter().flat_map(|(_, list)| list) {
                let Some((edge, contact)) = self.meeting(*a, *b) else {
                    continue;
                };
                met_first.insert(*a);
                met_second.insert(*b);
                let (a, b) = (*a, *b);
                if let Some(first) = self.same_joint(a, b, kind, deep) {
                    // One line may do so in many places: once is enough.
                    if !doubled {
                        self.report_doubled(a, b, first, line);
                    }
                    doubled = true;
                    continue;
                }
                let corner = matches!(
                    kind,
                    JointKind::Mitre | JointKind::DovetailThrough | JointKind::DovetailHalfBlind
                );
                // At a corner either part may be the one that ran through.
                let edge = if corner && edge.axis() == self.panels[a].axis {
                    self.corner(b, a)
                } else {
                    edge
                };
                if deep.is_positive()
                    || matches!(
                        kind,
                        JointKind::DovetailThrough | JointKind::DovetailHalfBlind
                    )
                {
                    self.enters(a, b, edge, line)?;
                }
                let fastening = match &fastener {
                    Some((hardware, n, from_ends)) => {
                        let places = self.connector_places(&contact, *n, *from_ends, line, a)?;
                        Some((*hardware, places))
                    }
                    None => None,
                };
                let dry = line.has("dry") || with.of.tail("dry").is_some();
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
                    deep,
                    contact,
                    glued: !dry,
                    fastening,
                    body,
                    origin,
                });
                out.push(Pending {
                    joint: self.joints.len() - 1,
                    options: options.clone(),
                });
            }
        }
        self.stops_have_ends(&with, &out)?;
        for (name, list) in &first {
            for a in list.iter().filter(|a| !met_first.contains(a)) {
                self.report_apart(
                    *a,
                    name.span,
                    second.iter().flat_map(|(_, l)| l).copied().collect(),
                    other.of.span,
                );
            }
        }
        let named = line.names.iter().fold(line.head_span, |all, n| {
            if all == line.head_span {
                n.span
            } else {
                all.to(n.span)
            }
        });
        for (name, list) in &second {
            for b in list.iter().filter(|b| !met_second.contains(b)) {
                if first
                    .iter()
                    .flat_map(|(_, l)| l)
                    .all(|a| met_first.contains(a))
                {
                    self.report_apart(
                        *b,
                        name.span,
                        first.iter().flat_map(|(_, l)| l).copied().collect(),
                        named,
                    );
                }
            }
        }
        if let Some((hardware, n, _)) = fastener
            && !out.is_empty()
        {
            let names: Vec<&str> = line.names.iter().map(|n| n.text.as_str()).collect();
            self.hardware.push(HardwareUse {
                hardware,
                count: u32::try_from(out.len())
                    .unwrap_or(u32::MAX)
                    .saturating_mul(n),
                reason: format!("{}: {}", self.bodies[body].label, names.join(", ")),
                assembly: crate::model::AssemblyId(body as u32),
            });
        }
        Ok(out)
    }

    /// An edge at which a joint is stopped is an end of one of the meetings.
    fn stops_have_ends(&mut self, with: &Scoped<Clause>, made: &[Pending]) -> Res<()> {
        let along: Vec<Axis> = made
            .iter()
            .map(|pending| {
                let j = &self.joints[pending.joint];
                j.edge.axis().third(self.panels[j.a].axis)
            })
            .collect();
        let stopped = with.of.tails.iter().filter(|tail| tail.word == "stopped");
        let named = stopped.filter_map(|tail| tail.tail("on"));
        for word in named.flat_map(|on| &on.values) {
            let edge = word.as_name().and_then(Edge::from_word);
            let (Some(edge), false) = (edge, along.is_empty()) else {
                continue;
            };
            if !along.contains(&edge.axis()) {
                let ends: Vec<&str> = along
                    .iter()
                    .take(1)
                    .flat_map(|axis| [axis.low().word(), axis.high().word()])
                    .collect();
                self.sink.push(
                    Diagnostic::new(
                        &code::NAME_UNKNOWN_EDGE,
                        format!("the joint does not end at the {}", edge.word()),
                        word.span,
                        "not one of its ends",
                    )
                    .help(format!("it ends at the {}", ends.join(" and the "))),
                );
                return Err(Poison);
            }
        }
        Ok(())
    }

    fn joint_options(
        &mut self,
        line: &Stmt,
        with: &Scoped<Clause>,
        kind: JointKind,
    ) -> Res<Options> {
        let mut out = Options {
            run_out: with.of.tail("run_out").is_some(),
            slope: Rational::int(7),
            ..Options::default()
        };
        for (word, slot) in [("thick", &mut out.thick), ("fit", &mut out.fit)] {
            if let Some(value) = with.of.tail(word).and_then(Clause::value) {
                *slot = Some(if word == "thick" {
                    value::positive_length(self, &with.env, value)?
                } else {
                    value::length_not_negative(self, &with.env, value)?
                });
            }
        }
        out.flush = with
            .of
            .tail("flush")
            .and_then(Clause::value)
            .and_then(|v| v.as_name())
            .and_then(Edge::from_word);
        for stopped in with.of.tails.iter().filter(|t| t.word == "stopped") {
            let by = value::positive_length(self, &with.env, stopped.value().ok_or(Poison)?)?;
            let edges = stopped.tail("on").map(|on| {
                on.values
                    .iter()
                    .filter_map(|v| v.as_name())
                    .filter_map(Edge::from_word)
                    .collect()
            });
            out.stopped.push((by, edges.unwrap_or_default()));
        }
        if matches!(
            kind,
            JointKind::DovetailThrough | JointKind::DovetailHalfBlind
        ) {
            if let Some(tails) = with.of.tail("tails").and_then(Clause::value) {
                out.tails = value::count(self, &with.env, tails)?;
            }
            if let Some(slope) = with.of.tail("slope").and_then(Clause::value) {
                out.slope =
                    value::quantity_of(self, &with.env, slope, crate::measure::Dimension::NONE)?;
                if out.slope < Rational::int(2) {
                    self.sink.push(
                        Diagnostic::new(
                            &code::VALUE_RANGE,
                            "dovetails too steep to hold together",
                            slope.span,
                            format!("1 in {}", out.slope),
                        )
                        .help("1 in 6 to 1 in 8 is common practice: write `slope 7`"),
                    );
                    return Err(Poison);
                }
            }
            if kind == JointKind::DovetailHalfBlind {
                out.lap = self.option_length(with, "lap", line)?;
            }
        }
        if kind == JointKind::Tongue && out.thick.is_none() {
            out.thick = Some(self.option_length(with, "thick", line)?);
        }
        Ok(out)
    }

    /// The connector of a joint, how many a meeting, and `from_ends`.
    pub fn fastener(
        &mut self,
        with: &Scoped<Clause>,
        kind: JointKind,
    ) -> Res<Option<(HardwareId, u32, Option<Length>)>> {
        if !matches!(
            kind,
            JointKind::Biscuits | JointKind::Screws | JointKind::Nails | JointKind::Bolts
        ) {
            return Ok(None);
        }
        let n = match with.of.values.get(1) {
            Some(n) => value::count(self, &with.env, n)?,
            None => 1,
        };
        let of = with.of.tail("of").and_then(Clause::value).ok_or(Poison)?;
        let name = thing_use(self, &with.env, of)?;
        let project = self.project;
        let (id, data) = project.hardware(self, &name)?;
        let fits = matches!(
            (kind, &data.kind),
            (JointKind::Biscuits, HardwareKind::Biscuit { .. })
                | (JointKind::Screws, HardwareKind::Screw { .. })
                | (JointKind::Bolts, HardwareKind::Bolt { .. })
                | (JointKind::Nails, HardwareKind::Nail { .. })
        );
        if !fits {
            let word = with
                .of
                .value()
                .and_then(|v| v.as_name())
                .unwrap_or("connectors");
            self.sink.push(
                Diagnostic::new(
                    &code::TYPE_MISMATCH,
                    format!("`{}` is not for a joint with {word}", data.name),
                    name.span,
                    format!("this is a {}", super::label::hardware(&data.kind)),
                )
                .at(data.origin.span, "declared here")
                .help(format!(
                    "name hardware that is a {}",
                    word.trim_end_matches('s')
                )),
            );
            return Err(Poison);
        }
        if let Some(from_ends) = with.of.tail("from_ends").filter(|_| n == 1) {
            self.sink.push(
                Diagnostic::new(
                    &code::NAME_WORD_NOT_HERE,
                    "`from_ends` of one connector",
                    from_ends.span,
                    "it sits in the middle",
                )
                .help("leave `from_ends` out, or set two"),
            );
            return Err(Poison);
        }
        let from_ends = match with.of.tail("from_ends").and_then(Clause::value) {
            Some(value) => Some(value::length_not_negative(self, &with.env, value)?),
            None => None,
        };
        Ok(Some((id, n, from_ends)))
    }

    /// The edge of `a` that meets `b`, and where: nominal faces that touch over an area.
    pub fn meeting(&self, a: usize, b: usize) -> Option<(Edge, Box3)> {
        if a == b {
            return None;
        }
        let (p, q) = (&self.panels[a].finished, &self.panels[b].finished);
        let contact = p.meet(q)?;
        let flat: Vec<Axis> = Axis::ALL
            .into_iter()
            .filter(|axis| contact.extent(*axis).is_zero())
            .collect();
        match flat[..] {
            [axis] => {
                let edge = if p.face(axis.high()) == q.face(axis.low()) {
                    axis.high()
                } else {
                    axis.low()
                };
                Some((edge, contact))
            }
            _ => None,
        }
    }

    /// A joint of the same two parts that a second one can't stand beside: both shape what meets, or
    /// both put the same connectors in the same places. Where they differ in depth, `join.two_depths`
    /// speaks of them.
    fn same_joint(&self, a: usize, b: usize, kind: JointKind, deep: Length) -> Option<Span> {
        let known = self.joints_of.get(&(a.min(b), a.max(b)));
        let known = known
            .into_iter()
            .flatten()
            .map(|joint| &self.joints[*joint]);
        let mut alike = known
            .filter(|j| j.deep == deep && (j.kind == kind || (shapes(j.kind) && shapes(kind))));
        alike.next().map(|j| j.origin.span)
    }

    fn report_doubled(&mut self, a: usize, b: usize, first: Span, line: &Stmt) {
        let name = |p: usize| super::label::indexed(&self.panels[p].name, &self.panels[p].index);
        let report = Diagnostic::new(
            &code::LINE_DOUBLED,
            format!("`{}` is joined to `{}` twice", name(a), name(b)),
            line.span,
            "again here",
        )
        .at(first, "first here")
        .help("leave one of the two joints out");
        self.sink.push(report);
    }

    fn report_apart(
        &mut self,
        a: usize,
        span: crate::source::Span,
        others: Vec<usize>,
        other_span: crate::source::Span,
    ) {
        let units = self.units;
        let single = others.len() == 1;
        let p = &self.panels[a];
        let mut best: Option<(Length, String)> = None;
        let mut within: Option<(Length, usize)> = None;
        for other in others {
            let shared = p.finished.meet(&self.panels[other].finished);
            if let Some(shared) = shared.filter(|b| !b.is_empty() && other != a) {
                let least = Axis::ALL.map(|axis| shared.extent(axis)).into_iter().min();
                within = within.or(least.map(|by| (by, other)));
            }
            let q = &self.panels[other];
            if other == a {
                continue;
            }
            for axis in Axis::ALL {
                for (near, far) in [(axis.high(), axis.low()), (axis.low(), axis.high())] {
                    let (x, y) = (p.finished.face(near), q.finished.face(far));
                    let gap = if near.is_high() { y - x } else { x - y };
                    if gap.is_positive() && best.as_ref().is_none_or(|(g, _)| gap < *g) {
                        let text = format!(
                            "the {} of `{}` is at {}, the {} of `{}` at {}: {} apart",
                            near.word(),
                            p.name,
                            units.text(x),
                            far.word(),
                            q.name,
                            units.text(y),
                            units.text(gap)
                        );
                        best = Some((gap, text));
                    }
                }
            }
        }
        let mut report = Diagnostic::new(
            &code::JOIN_APART,
            format!(
                "`{}` meets nothing that it is joined to",
                super::label::indexed(&p.name, &p.index)
            ),
            span,
            match within {
                Some((_, other)) => format!("reaches into `{}`", self.panels[other].name),
                None if single => "does not touch it".to_owned(),
                None => "touches none of them".to_owned(),
            },
        )
        .at(other_span, "what it is joined to");
        report = match best {
            _ if within.is_some() => report,
            Some((_, text)) => report.note(text),
            None => report.note("they share an edge at most, no face"),
        };
        let Some((by, other)) = within else {
            self.sink.push(
                report.help("name the parts that it touches, or move it so that their faces meet"),
            );
            return;
        };
        let q = &self.panels[other].name;
        report = report.note(format!(
            "they share {} of space before they are joined; parts that are joined touch",
            units.text(by)
        ));
        self.sink.push(match p.stmt.clause("proud") {
            Some(proud) if proud.of.tail("on").is_none() => report
                .at(proud.of.span, "proud at every edge")
                .help("name the edges that are proud, as in `proud 10mm on front`")
                .help(format!("`over {q}` lets it run over `{q}`")),
            Some(proud) => report.at(proud.of.span, "proud here").help(format!(
                "leave it out there; `over {q}` lets it run over `{q}`"
            )),
            None => report.help("move one of the two, so that their faces meet"),
        });
    }

    /// Only an end or edge enters, and not one that is banded (rule 1.6, 7).
    fn enters(&mut self, a: usize, b: usize, edge: Edge, line: &Stmt) -> Res<()> {
        if edge.axis() == self.panels[a].axis {
            let (p, q) = (&self.panels[a].name, &self.panels[b].name);
            let report = Diagnostic::new(
                &code::JOIN_FACE,
                format!("`{p}` meets `{q}` with its face, and a face can't enter"),
                line.names
                    .iter()
                    .find(|n| n.text == *p)
                    .map_or(line.head_span, |n| n.span),
                "the wrong way round",
            )
            .help(format!("if `{q}` is to enter, write `join {q} into {p}`"));
            self.sink.push(report);
            return Err(Poison);
        }
        self.band_in_joint(a, edge, line.head_span)?;
        self.band_in_joint(b, edge.opposite(), line.head_span)
    }

    /// The places of connectors on a meeting (rule 2.1).
    pub fn connector_places(
        &mut self,
        contact: &Box3,
        n: u32,
        from_ends: Option<Length>,
        line: &Stmt,
        a: usize,
    ) -> Res<Vec<[Length; 3]>> {
        let long = longest_axis(contact);
        let length = contact.extent(long);
        let from = from_ends.unwrap_or_else(|| Length::mm(60).min(length / 4));
        if from * 2 > length {
            let units = self.units;
            let report = Diagnostic::new(
                &code::JOIN_NO_ROOM,
                format!("no room for the connectors of `{}`", self.panels[a].name),
                line.clause("with").map_or(line.span, |c| {
                    c.of.tail("from_ends").map_or(c.of.span, |t| t.span)
                }),
                "so far from both ends",
            )
            .note(format!(
                "2 x {} is more than the meeting, {}",
                units.text(from),
                units.text(length)
            ))
            .help(format!(
                "half of the meeting is {}: stay within it",
                units.text(length.half())
            ));
            self.sink.push(report);
            return Err(Poison);
        }
        self.room_for_holes(n, line.head_span)?;
        let mut out = Vec::new();
        for i in 0..n {
            let along = if n == 1 {
                length.half()
            } else {
                from + (length - from * 2).scale(Rational::new(i128::from(i), i128::from(n) - 1))
            };
            let mut at = [Length::ZERO; 3];
            for axis in Axis::ALL {
                at[axis.index()] = if axis == long {
                    contact.lo[axis.index()] + along
                } else {
                    contact.middle(axis)
                };
            }
            out.push(at);
        }
        Ok(out)
    }

    /// Growth of both parts at a joint.
    fn grow(&mut self, pending: &Pending) -> Res<()> {
        let j = self.joints[pending.joint].clone();
        let (fa, fb) = (self.panels[j.a].finished, self.panels[j.b].finished);
        match j.kind {
            JointKind::Dado
            | JointKind::Groove
            | JointKind::Rabbet
            | JointKind::DadoRabbet
            | JointKind::Tongue => self.claim(j.a, j.edge, j.deep, &j.origin),
            JointKind::DovetailThrough | JointKind::DovetailHalfBlind | JointKind::Mitre => {
                let outer = fb.face(j.edge);
                let lap = pending.options.lap;
                let reach = if j.edge.is_high() {
                    outer - lap
                } else {
                    outer + lap
                };
                self.claim(j.a, j.edge, (reach - fa.face(j.edge)).abs(), &j.origin)?;
                self.panels[j.a].core.set_face(j.edge, reach);
                let corner = self.corner(j.a, j.b);
                self.panels[j.b].core.set_face(corner, fa.face(corner));
                Ok(())
            }
            JointKind::Butt
            | JointKind::Biscuits
            | JointKind::Screws
            | JointKind::Bolts
            | JointKind::Nails
            | JointKind::Edging => Ok(()),
        }
    }

    /// The end of `b` at the corner that it makes with `a`.
    pub fn corner(&self, a: usize, b: usize) -> Edge {
        let (fa, fb) = (&self.panels[a].finished, &self.panels[b].finished);
        let axis = self.panels[a].axis;
        let off = |edge: Edge| (fa.face(edge) - fb.face(edge)).abs();
        if off(axis.high()) <= off(axis.low()) {
            axis.high()
        } else {
            axis.low()
        }
    }

    /// Lengthens a part at an edge; two joints may claim it only alike.
    fn claim(&mut self, panel: usize, edge: Edge, by: Length, origin: &Origin) -> Res<()> {
        let claimed = self.panels[panel]
            .growth
            .iter()
            .find(|(e, _, _)| *e == edge)
            .copied();
        match claimed {
            Some((_, same, _)) if same == by => Ok(()),
            Some((_, other, span)) => {
                let units = self.units;
                let report = Diagnostic::new(
                    &code::JOIN_TWO_DEPTHS,
                    format!(
                        "two joints lengthen the {} of `{}` by different amounts",
                        edge.word(),
                        self.panels[panel].name
                    ),
                    origin.at("deep"),
                    format!("by {} here", units.text(by)),
                )
                .at(span, format!("by {} here", units.text(other)))
                .help("give both joints the same depth");
                self.sink.push(report);
                Err(Poison)
            }
            None => {
                self.panels[panel].core.grow(edge, by);
                self.panels[panel]
                    .growth
                    .push((edge, by, origin.at("deep")));
                Ok(())
            }
        }
    }
}

/// Whether a joint gives wood of one part a place in the other.
fn shapes(kind: JointKind) -> bool {
    match kind {
        JointKind::Dado
        | JointKind::Groove
        | JointKind::Rabbet
        | JointKind::DadoRabbet
        | JointKind::Tongue
        | JointKind::Mitre
        | JointKind::DovetailThrough
        | JointKind::DovetailHalfBlind => true,
        JointKind::Butt
        | JointKind::Biscuits
        | JointKind::Screws
        | JointKind::Bolts
        | JointKind::Nails
        | JointKind::Edging => false,
    }
}

/// The kind of joint with this word.
pub fn kind_of(word: &str, with: &Clause) -> Option<JointKind> {
    Some(match word {
        "butt" => JointKind::Butt,
        "dado" => JointKind::Dado,
        "groove" => JointKind::Groove,
        "rabbet" => JointKind::Rabbet,
        "dado_rabbet" => JointKind::DadoRabbet,
        "tongue" => JointKind::Tongue,
        "mitre" => JointKind::Mitre,
        "dovetail" if with.tail("half_blind").is_some() => JointKind::DovetailHalfBlind,
        "dovetail" => JointKind::DovetailThrough,
        "biscuits" => JointKind::Biscuits,
        "screws" => JointKind::Screws,
        "bolts" => JointKind::Bolts,
        "nails" => JointKind::Nails,
        _ => return None,
    })
}

/// The axis of the longer side of a flat box.
pub fn longest_axis(b: &Box3) -> Axis {
    let mut best = Axis::X;
    for axis in [Axis::Y, Axis::Z] {
        if b.extent(axis) > b.extent(best) {
            best = axis;
        }
    }
    best
}
