//! Which faces of two parts touch, and what is said of those that do not.

use crate::diag::{Diagnostic, code};
use crate::elaborate::build::Builder;
use crate::elaborate::stmt::Stmt;
use crate::elaborate::{Poison, Res};
use crate::measure::Length;
use crate::model::{Axis, Box3, Edge, JointKind, Role};
use crate::source::Span;

impl Builder<'_> {
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

    /// Where two parts cross, for a lap: the first runs through along its grain.
    pub(super) fn crossing(&self, a: usize, b: usize) -> Option<(Edge, Box3)> {
        let (p, q) = (&self.panels[a], &self.panels[b]);
        let zone = p.finished.meet(&q.finished)?;
        (a != b && !zone.is_empty()).then_some((p.grain.high(), zone))
    }

    /// The end of `b` at the corner that it makes with `a`.
    pub fn corner(&self, a: usize, b: usize) -> Edge {
        let (fa, fb) = (&self.panels[a].finished, &self.panels[b].finished);
        let (axis, other) = (self.panels[a].axis, self.panels[b].axis);
        let axis = match self.meeting(a, b) {
            // Members of a frame lie in one plane, and their corner in it too.
            Some((edge, _)) if axis == other && edge.axis() != axis => edge.axis().third(axis),
            _ => axis,
        };
        let off = |edge: Edge| (fa.face(edge) - fb.face(edge)).abs();
        if off(axis.high()) <= off(axis.low()) {
            axis.high()
        } else {
            axis.low()
        }
    }

    /// A joint of the same two parts that a second one can't stand beside: both shape what meets, or
    /// both put the same connectors in the same places. Where they differ in depth, `join.two_depths`
    /// speaks of them.
    pub(super) fn same_joint(
        &self,
        a: usize,
        b: usize,
        kind: JointKind,
        deep: Length,
    ) -> Option<Span> {
        let known = self.joints_of.get(&(a.min(b), a.max(b)));
        let known = known
            .into_iter()
            .flatten()
            .map(|joint| &self.joints[*joint]);
        let mut alike = known
            .filter(|j| j.deep == deep && (j.kind == kind || (j.kind.shapes() && kind.shapes())));
        alike.next().map(|j| j.origin.span)
    }

    pub(super) fn report_doubled(&mut self, a: usize, b: usize, first: Span, line: &Stmt) {
        let name = |p: usize| {
            crate::elaborate::label::indexed(&self.panels[p].name, &self.panels[p].index)
        };
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

    pub(super) fn report_apart(
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
                crate::elaborate::label::indexed(&p.name, &p.index)
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
    pub(super) fn enters(&mut self, a: usize, b: usize, edge: Edge, line: &Stmt) -> Res<()> {
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
            let level = matches!(self.panels[a].role, Role::Bottom | Role::Top);
            let report = match level && self.panels[b].role == Role::Back {
                true => report.help(format!(
                    "or let `{q}` run over the edge of `{p}`: `back {q} … over {p}`, and `{p}` enters or meets its face"
                )),
                false => report,
            };
            self.sink.push(report);
            return Err(Poison);
        }
        self.band_in_joint(a, edge, line.head_span)?;
        self.band_in_joint(b, edge.opposite(), line.head_span)
    }
}
