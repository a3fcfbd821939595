//! What stands after `with`: read, and held against the parts.

use super::slips::Slips;
use super::{Pending, tongue_thick};
use crate::diag::{Diagnostic, code};
use crate::elaborate::build::{Builder, JointWork};
use crate::elaborate::stmt::{Scoped, Stmt};
use crate::elaborate::{Poison, Res, value};
use crate::measure::{Length, Rational};
use crate::model::{Axis, Edge, JointKind};
use crate::schema::Clause;
use crate::source::Span;

/// The steepest slope of a dovetail that wood holds, 1 in so much: its corners break off beyond.
const STEEPEST: i64 = 2;

/// The gentlest slope that still pulls, 1 in so much; common practice is 1 in 5 to 1 in 10.
const GENTLEST: i64 = 12;

/// More air than this is no joint for glue, in millimetres (common practice).
const LOOSEST_MM: i64 = 1;

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
    /// A tenon that goes right through, by how much it stands proud there.
    pub through: bool,
    pub proud: Length,
    pub haunched: bool,
    pub twin: bool,
    pub wedged: bool,
    /// Room left in a groove.
    pub gap: Length,
    /// Of both parts together.
    pub fingers: Option<u32>,
    /// How much narrower a sliding dovetail is at one end, that end if stated, and where it says so.
    pub tapered: Option<(Length, Option<Edge>, Span)>,
    /// Of a breadboard end.
    pub breadboard: Option<super::breadboard::Tenons>,
    /// What holds a mitre besides its glue.
    pub slips: Option<Slips>,
}

impl Builder<'_> {
    pub(super) fn joint_options(
        &mut self,
        line: &Stmt,
        with: &Scoped<Clause>,
        kind: JointKind,
    ) -> Res<Options> {
        let mut out = Options {
            run_out: with.of.tail("run_out").is_some(),
            through: with.of.tail("through").is_some(),
            haunched: with.of.tail("haunched").is_some(),
            twin: with.of.tail("twin").is_some(),
            wedged: with.of.tail("wedged").is_some(),
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
            JointKind::DovetailThrough
                | JointKind::DovetailHalfBlind
                | JointKind::DovetailSliding
                | JointKind::DovetailDropped
        ) {
            if let Some(tails) = with.of.tail("tails").and_then(Clause::value) {
                out.tails = value::count(self, &with.env, tails)?;
            }
            if let Some(slope) = with.of.tail("slope").and_then(Clause::value) {
                out.slope =
                    value::quantity_of(self, &with.env, slope, crate::measure::Dimension::NONE)?;
                let wrong = match out.slope {
                    steep if steep < Rational::int(STEEPEST) => {
                        Some("dovetails too steep to hold together")
                    }
                    gentle if gentle > Rational::int(GENTLEST) => {
                        Some("dovetails that hardly slope")
                    }
                    _ => None,
                };
                if let Some(wrong) = wrong {
                    self.sink.push(
                        Diagnostic::new(
                            &code::VALUE_RANGE,
                            wrong,
                            slope.span,
                            format!("1 in {}", out.slope),
                        )
                        .help("1 in 6 to 1 in 8 is common practice: write `slope 7`"),
                    );
                    return Err(Poison);
                }
            }
            if let Some(tapered) = with.of.tail("tapered") {
                let by = value::positive_length(self, &with.env, tapered.value().ok_or(Poison)?)?;
                let edges = tapered.tail("on").into_iter().flat_map(|on| &on.values);
                let edges: Vec<Edge> = edges
                    .filter_map(|v| Edge::from_word(v.as_name()?))
                    .collect();
                if edges.len() > 1 {
                    let report = Diagnostic::new(
                        &code::VALUE_RANGE,
                        "a dovetail that narrows at two ends",
                        tapered.span,
                        "one end is narrow, the other lets it in",
                    )
                    .help("name the end at which it is narrower");
                    self.sink.push(report);
                    return Err(Poison);
                }
                let edge = edges.first().copied();
                out.tapered = Some((by, edge, tapered.span));
            }
            if kind == JointKind::DovetailHalfBlind {
                out.lap = self.option_length(with, "lap", line)?;
            }
        }
        if let Some(gap) = with.of.tail("gap").and_then(Clause::value) {
            out.gap = value::positive_length(self, &with.env, gap)?;
            let deep = self.option_length(with, "deep", line)?;
            if out.gap >= deep {
                let text = |length| self.units.text(length);
                let report = Diagnostic::new(
                    &code::VALUE_RANGE,
                    "a gap that leaves nothing in the groove",
                    gap.span,
                    format!("{} of {}", text(out.gap), text(deep)),
                )
                .help("`gap` is the room left at the bottom of the groove");
                self.sink.push(report);
                return Err(Poison);
            }
        }
        if let Some(proud) = with.of.tail("proud").and_then(Clause::value) {
            out.proud = value::positive_length(self, &with.env, proud)?;
        }
        if kind == JointKind::Finger
            && let Some(n) = with.of.values.get(1)
        {
            let fingers = value::count(self, &with.env, n)?;
            if fingers == 1 {
                let report = Diagnostic::new(
                    &code::VALUE_RANGE,
                    "one finger holds nothing",
                    n.span,
                    "of both parts together",
                )
                .help("an odd number looks the same at both ends; leave it out, and they are about as wide as the part is thick");
                self.sink.push(report);
                return Err(Poison);
            }
            out.fingers = Some(fingers);
        }
        if kind == JointKind::Breadboard {
            out.breadboard = Some(self.breadboard_options(with)?);
        }
        if kind == JointKind::Tongue && out.thick.is_none() {
            out.thick = Some(self.option_length(with, "thick", line)?);
        }
        Ok(out)
    }

    /// An edge at which a joint is stopped is an end of one of the meetings.
    pub(super) fn stops_have_ends(&mut self, with: &Scoped<Clause>, made: &[Pending]) -> Res<()> {
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

    /// Whether a joint's own figures leave something of it; what does not is reported.
    pub(super) fn options_fit(&mut self, j: &JointWork, o: &Options) -> bool {
        let (a, b) = (&self.panels[j.a], &self.panels[j.b]);
        let Some(whole) = a.core.meet(&b.core) else {
            return true;
        };
        let along = j.edge.axis().third(a.axis);
        let long = whole.extent(along);
        let stops: Vec<Length> = o
            .stopped
            .iter()
            .flat_map(|(by, edges)| {
                let ends = [along.low(), along.high()].into_iter();
                let ends = ends.filter(|e| edges.is_empty() || edges.contains(e));
                ends.map(|_| *by)
            })
            .collect();
        let text = |length: Length| self.units.text(length);
        let left = long - stops.iter().copied().sum::<Length>();
        let wide = o.thick.unwrap_or(a.thick);
        let report = if !stops.is_empty() && left < wide {
            let stops: Vec<String> = stops.iter().map(|by| text(*by)).collect();
            Diagnostic::new(
                &code::VALUE_RANGE,
                "the stops leave next to nothing of the cut",
                j.origin.at("stopped"),
                format!("{} of {}", stops.join(" and "), text(long)),
            )
            .note(format!(
                "a cut at least as long as it is wide must stay: {}",
                text(wide)
            ))
            .help("stop it by less, at one end, or leave the joint out")
        } else if let Some(fit) = o.fit.filter(|fit| *fit > Length::mm(LOOSEST_MM)) {
            Diagnostic::new(
                &code::VALUE_RANGE,
                "a housing too loose to hold",
                j.origin.at("fit"),
                format!("{} wider than what enters it", text(fit)),
            )
            .note(format!(
                "more than {} is no joint for glue: common practice is 0.1 to 0.3 mm",
                text(Length::mm(LOOSEST_MM))
            ))
            .help("`fit` is the air, not the width of the housing")
        } else if let Some(thick) = o
            .thick
            .filter(|t| j.kind == JointKind::Mortise && *t >= a.thick)
        {
            Diagnostic::new(
                &code::VALUE_RANGE,
                "a tenon as thick as the part that it is cut from",
                j.origin.at("thick"),
                format!("{} thick", text(thick)),
            )
            .note(format!(
                "`{}` is {} thick, and a tenon has a shoulder",
                a.name,
                text(a.thick)
            ))
            .help("a third of the part is common practice, and what it is unless said")
        } else if matches!(
            j.kind,
            JointKind::Tongue | JointKind::DadoRabbet | JointKind::Breadboard
        ) && o.thick.is_some_and(|t| t >= a.thick)
        {
            tongue_thick(
                j.origin.at("thick"),
                &text(o.thick.unwrap_or_default()),
                &a.name,
                &text(a.thick),
            )
        } else if let Some(flush) = o.flush.filter(|flush| flush.axis() != a.axis) {
            Diagnostic::new(
                &code::PLACE_AXIS,
                format!("`{}` has no face at its {}", a.name, flush.word()),
                j.origin.at("flush"),
                "an edge, not a face",
            )
            .help(format!(
                "its faces are at the {} and the {}",
                a.axis.low().word(),
                a.axis.high().word()
            ))
        } else {
            return true;
        };
        self.sink.push(report);
        false
    }
}
