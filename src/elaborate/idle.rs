//! Words on the line of a panel that would change nothing: something else on the line, or how the
//! panel lies, says already where it is. They are refused, for whoever wrote them meant something.

use super::build::{Builder, extent_word};
use super::project::name_use;
use crate::diag::{Diagnostic, code};
use crate::model::{Axis, Edge, Role};
use crate::source::Span;

/// A word that says nothing: where, why in a few words, and what to do.
struct Idle {
    word: &'static str,
    span: Span,
    why: String,
    help: &'static str,
}

impl Builder<'_> {
    /// Reports what changes nothing on the line of a panel; parts of one line are told once.
    pub fn check_idle(&mut self, panel: usize) -> bool {
        let p = &self.panels[panel];
        let moves = ["at", "set_in", "set_back", "proud", "over"];
        if p.stmt.damaged || !moves.iter().any(|word| p.stmt.has(word)) || self.told_before(panel) {
            return true;
        }
        let found = [
            self.idle_at(panel),
            self.idle_set_in(panel),
            self.idle_set_back(panel),
        ];
        let mut reports: Vec<Diagnostic> = found
            .into_iter()
            .flatten()
            .map(|idle| {
                Diagnostic::new(
                    &code::NAME_WORD_NOT_HERE,
                    format!("`{}` says nothing about `{}`", idle.word, p.name),
                    idle.span,
                    idle.why,
                )
                .help(idle.help)
            })
            .collect();
        reports.extend(self.idle_proud(panel));
        let mut fine = reports.is_empty();
        for report in reports {
            self.sink.push(report);
        }
        fine &= self.check_over(panel);
        fine
    }

    /// Whether an earlier panel is of the same line: of a pair of sides, of the drawers of an array.
    fn told_before(&self, panel: usize) -> bool {
        let span = self.panels[panel].stmt.span;
        let mut before = self.panels.iter().take(panel);
        before.any(|other| other.stmt.span == span)
    }

    /// Whether its place between the openings of a division is its place.
    fn divided(&self, panel: usize) -> bool {
        matches!(self.panels[panel].within, Some((_, Some(_))))
    }

    /// Whether it bounds its body along the axis on which it is placed.
    fn bounds_along(&self, panel: usize) -> Option<Edge> {
        let p = &self.panels[panel];
        p.edge.filter(|edge| edge.axis() == p.pos)
    }

    fn idle_at(&self, panel: usize) -> Option<Idle> {
        let at = self.panels[panel].stmt.clause("at")?;
        self.divided(panel).then(|| Idle {
            word: "at",
            span: at.of.span,
            why: "it stands between two openings".into(),
            help: "leave it out, and size the openings beside it",
        })
    }

    /// What of its extent from front to rear is stated: where it begins, where it ends, how long it is.
    fn stated_deep(&self, panel: usize) -> [bool; 3] {
        let p = &self.panels[panel];
        // A cleat's width is across it, which lies front to rear; `between` are its ends.
        let across = p.role == Role::Cleat && !p.stmt.has("deep");
        let word = if across { "wide" } else { extent_word(Axis::Y) };
        let mut out = [false; 3];
        for deep in p.stmt.all(word) {
            let tail = |word| !across && deep.of.tail(word).is_some();
            out[0] |= tail("from") || tail("between");
            out[1] |= tail("to") || tail("between");
            out[2] |= deep.of.value().is_some();
        }
        out
    }

    fn idle_set_in(&self, panel: usize) -> Option<Idle> {
        let p = &self.panels[panel];
        let set_in = p.stmt.clause("set_in")?;
        // In from the corners of the stand, or from the legs.
        if matches!(p.role, Role::Leg | Role::Apron) {
            return None;
        }
        let at = p.stmt.has("at");
        let idle = |why: &str, help| {
            Some(Idle {
                word: "set_in",
                span: set_in.of.span,
                why: why.into(),
                help,
            })
        };
        let upright = p.axis == Axis::Y;
        if self.bounds_along(panel).is_some() || (upright && p.pos == Axis::Y) {
            return if at {
                idle("`at` says where it is", "keep one of them")
            } else {
                None
            };
        }
        // A rail or stile that stands in a plane, or what is as deep as it says.
        let [from, to, size] = self.stated_deep(panel);
        if upright || (size && !from && !to) {
            return None;
        }
        idle(
            "nothing of it lies by this",
            "`set_in` moves what bounds its case, or with `deep` what lies at the rear",
        )
    }

    fn idle_set_back(&self, panel: usize) -> Option<Idle> {
        let p = &self.panels[panel];
        let set_back = p.stmt.clause("set_back")?;
        let (at, set_in) = (p.stmt.has("at"), p.stmt.has("set_in"));
        let idle = |why: &str, help| {
            Some(Idle {
                word: "set_back",
                span: set_back.of.span,
                why: why.into(),
                help,
            })
        };
        if p.axis == Axis::Y {
            let placed = at && p.pos == Axis::Y;
            return match self.bounds_along(panel) {
                Some(Edge::Rear) => idle(
                    "it is set from the rear",
                    "`set_in` moves a back to the front",
                ),
                _ if self.divided(panel) && p.pos == Axis::Y => idle(
                    "it stands between two openings",
                    "leave it out, and size the openings beside it",
                ),
                _ if placed => idle("`at` says where it is", "keep one of them"),
                _ if set_in && p.role != Role::Front => {
                    idle("`set_in` says where it is", "keep one of them")
                }
                _ => None,
            };
        }
        let [from, to, size] = self.stated_deep(panel);
        if from {
            return idle("`deep` says where it begins", "keep one of them");
        }
        if size && (to || set_in) {
            return idle(
                "it is as deep as it says, from the rear",
                "keep one of them",
            );
        }
        None
    }

    /// A panel stands proud at its ends and edges, where nothing else says how far it goes.
    fn idle_proud(&self, panel: usize) -> Vec<Diagnostic> {
        let p = &self.panels[panel];
        let mut out = Vec::new();
        for proud in p.stmt.all("proud") {
            let named = proud.of.tail("on").into_iter().flat_map(|on| &on.values);
            for word in named {
                let Some(edge) = word.as_name().and_then(Edge::from_word) else {
                    continue;
                };
                let axis = edge.axis();
                if axis == p.axis || axis == p.pos {
                    let report = Diagnostic::new(
                        &code::NAME_UNKNOWN_EDGE,
                        format!("`{}` has no end or edge at its {}", p.name, edge.word()),
                        word.span,
                        "one of its faces",
                    );
                    out.push(report.help("to move it, write `at` or `set_in`"));
                    continue;
                }
                let stated = p.stmt.all(extent_word(axis)).find(|extent| {
                    let tail = |word| extent.of.tail(word).is_some();
                    let end = if edge.is_high() { "to" } else { "from" };
                    let fixed = tail(end) || tail("between");
                    fixed || (extent.of.value().is_some() && edge.is_high())
                });
                if let Some(stated) = stated {
                    let report = Diagnostic::new(
                        &code::NAME_WORD_NOT_HERE,
                        format!("`proud` says nothing about `{}`", p.name),
                        proud.of.span,
                        "where it ends is stated",
                    );
                    out.push(report.at(stated.of.span, "here").help("keep one of them"));
                }
            }
        }
        out
    }

    /// `over` names parts of the body that want the same corner.
    fn check_over(&mut self, panel: usize) -> bool {
        let stmt = self.panels[panel].stmt.clone();
        let (body, mut fine) = (self.panels[panel].body, true);
        for over in stmt.all("over") {
            for value in &over.of.values {
                let Ok(name) = name_use(self, value) else {
                    fine = false;
                    continue;
                };
                let Ok(others) = self.panels_of(body, &name, &over.env) else {
                    fine = false;
                    continue;
                };
                let own = self.panels[panel].edge;
                let corner = |other: &usize| match (own, self.panels[*other].edge) {
                    (Some(a), Some(b)) => a.axis() != b.axis(),
                    _ => false,
                };
                if !others.is_empty() && !others.iter().any(corner) {
                    fine = false;
                    let report = Diagnostic::new(
                        &code::NAME_WORD_NOT_HERE,
                        format!("`{}` and `{}` share no corner", stmt.name(), name.text),
                        name.span,
                        "not over this",
                    )
                    .help(
                        "`over` says which of two that bound their case runs through at the corner",
                    );
                    self.sink.push(report);
                }
            }
        }
        fine
    }
}
