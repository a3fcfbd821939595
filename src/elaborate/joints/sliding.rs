//! Dovetails that slide: one along its whole length, one dropped in from above.

use super::Options;
use super::cut::work;
use super::housing::{notch, stop_short};
use crate::diag::{Diagnostic, code};
use crate::elaborate::build::{Builder, JointWork, Work};
use crate::measure::{Length, Rational};
use crate::model::{Axis, Box3, CutKind, Edge, JointId};
use crate::source::Span;

/// Wood beside the tip of a dropped tail, in millimetres (common practice).
const SOCKET_WALL_MM: i64 = 6;

/// The least neck of a tail, in millimetres (common practice).
const LEAST_NECK_MM: i64 = 3;

/// A point by its places along two axes.
fn point(first: (Axis, Length), second: (Axis, Length)) -> [Length; 3] {
    let mut p = [Length::ZERO; 3];
    p[first.0.index()] = first.1;
    p[second.0.index()] = second.1;
    p
}

/// How much a wall leans in over its length.
struct Taper {
    by: Length,
    /// Where it begins, and where it has leant all the way.
    wide: Length,
    narrow: Length,
}

impl Taper {
    /// How far it has leant at a place.
    fn at(&self, place: Length) -> Length {
        self.by
            .scale((place - self.wide).ratio(self.narrow - self.wide))
    }
}

impl Builder<'_> {
    /// The taper of a dovetail: its narrow end is where the joint is stopped, or where it says.
    fn taper_of(
        &mut self,
        j: &JointWork,
        o: &Options,
        along: Axis,
        (by, on, span): (Length, Option<Edge>, Span),
    ) -> Option<Taper> {
        let stopped = o
            .stopped
            .iter()
            .flat_map(|(_, edges)| edges)
            .copied()
            .next();
        let end = match (on, stopped) {
            (Some(on), Some(stop)) if on != stop => {
                let report = Diagnostic::new(
                    &code::VALUE_RANGE,
                    "a dovetail that narrows toward its open end",
                    span,
                    format!(
                        "it is stopped at the {}, and slides in from the other end",
                        stop.word()
                    ),
                )
                .help(format!("`tapered … on {}`, or leave `on` out", stop.word()));
                self.sink.push(report);
                return None;
            }
            (on, stop) => on.or(stop),
        };
        let Some(end) = end.filter(|end| end.axis() == along) else {
            let (low, high) = (along.low().word(), along.high().word());
            let report = Diagnostic::new(
                &code::VALUE_RANGE,
                "a dovetail that narrows, and not said at which end",
                span,
                format!("it runs from {low} to {high}"),
            )
            .help(format!(
                "`tapered … on {high}`: it is narrower there, and slides in from the other end"
            ));
            self.sink.push(report);
            return None;
        };
        let core = self.panels[j.a].core;
        Some(Taper {
            by,
            wide: core.face(end.opposite()),
            narrow: core.face(end),
        })
    }

    /// The end is a dovetail in its thickness, and slides into a housing from an end that is open.
    pub(super) fn cut_sliding(&mut self, j: &JointWork, id: JointId, o: &Options) {
        let (a, b) = (&self.panels[j.a], &self.panels[j.b]);
        let Some(zone) = a.core.meet(&b.core) else {
            return;
        };
        let along = j.edge.axis().third(a.axis);
        let (low, high) = (a.core.face(a.axis.low()), a.core.face(a.axis.high()));
        let flare = j.deep.scale(Rational::ONE / o.slope);
        let (housing, notches) = stop_short(o, along, zone, a.core);
        let stopped = |edge: Edge| {
            let mut stops = o.stopped.iter();
            stops.any(|(_, edges)| edges.is_empty() || edges.contains(&edge))
        };
        if stopped(along.low()) && stopped(along.high()) {
            return self.report_shut(j, along);
        }
        let taper = match o.tapered {
            Some(tapered) => match self.taper_of(j, o, along, tapered) {
                Some(taper) => Some(taper),
                None => return,
            },
            None => None,
        };
        let by = taper.as_ref().map_or(Length::ZERO, |taper| taper.by);
        if flare * 2 + by + Length::mm(LEAST_NECK_MM) > high - low {
            return self.report_no_neck(j, flare, by, high - low);
        }
        let relief = self.project.shop.relief_groove;
        let a = &self.panels[j.a];
        let (mouth, tip) = (j.contact.face(j.edge), a.core.face(j.edge));
        let floor = j.edge.opposite().inward(tip, relief);
        let at = |e: Length, t: Length| point((j.edge.axis(), e), (a.axis, t));
        let straight = |outline: Vec<[Length; 3]>, within: &Box3| Work::Prism {
            axis: along,
            outline,
            lo: within.face(along.low()),
            hi: within.face(along.high()),
        };
        let above = straight(
            vec![at(mouth, high), at(mouth, high - flare), at(tip, high)],
            &a.core,
        );
        let (key, socket) = match taper {
            None => {
                let below = vec![at(mouth, low), at(mouth, low + flare), at(tip, low)];
                let socket = vec![
                    at(mouth, low + flare),
                    at(mouth, high - flare),
                    at(tip, high),
                    at(floor, high),
                    at(floor, low),
                    at(tip, low),
                ];
                (
                    vec![straight(below, &a.core), above],
                    vec![straight(socket, &housing)],
                )
            }
            // The lower wall leans; the upper one is straight, to be measured from.
            Some(taper) => {
                let leaning = |outline: &dyn Fn(Length) -> Vec<[Length; 3]>, within: &Box3| {
                    let ends = [along.low(), along.high()].map(|end| within.face(end));
                    Work::Leaning {
                        axis: along,
                        outlines: ends.map(|end| outline(low + taper.at(end))),
                        lo: ends[0],
                        hi: ends[1],
                    }
                };
                let below = |wall: Length| {
                    vec![
                        at(mouth, low),
                        at(mouth, wall + flare),
                        at(tip, wall),
                        at(tip, low),
                    ]
                };
                let tail = |wall: Length| {
                    vec![
                        at(mouth, wall + flare),
                        at(mouth, high - flare),
                        at(tip, high),
                        at(tip, wall),
                    ]
                };
                let ground = |wall: Length| {
                    vec![
                        at(tip, high),
                        at(floor, high),
                        at(floor, wall),
                        at(tip, wall),
                    ]
                };
                (
                    vec![leaning(&below, &a.core), above],
                    vec![leaning(&tail, &housing), leaning(&ground, &housing)],
                )
            }
        };
        let wide = high - low;
        let mut cut_a = work(
            CutKind::DovetailKey,
            Vec::new(),
            j.edge,
            along,
            wide,
            j.deep,
            id,
            None,
            &j.origin,
        );
        cut_a.solids = key;
        let mut cut_b = work(
            CutKind::DovetailHousing,
            Vec::new(),
            j.edge.opposite(),
            along,
            wide,
            j.deep + relief,
            id,
            Some(j.a),
            &j.origin,
        );
        cut_b.solids = socket;
        cut_b.relief = relief;
        let notched = notch(j, id, o, along, notches);
        self.panels[j.a].cuts.push(cut_a);
        self.panels[j.a].cuts.extend(notched);
        self.panels[j.b].cuts.push(cut_b);
    }

    /// One tail, let into the upper end of a leg or post from above.
    pub(super) fn cut_dropped(&mut self, j: &JointWork, id: JointId, o: &Options) {
        let (a, b) = (&self.panels[j.a], &self.panels[j.b]);
        let Some(zone) = a.core.meet(&b.core) else {
            return;
        };
        if j.edge.axis() == Axis::Z {
            return self.report_not_dropped(j, "it enters from above or below itself");
        }
        if zone.face(Edge::Top) != b.core.face(Edge::Top) {
            return self.report_not_dropped(j, "its upper face is not level with that end");
        }
        let across = j.edge.axis().third(Axis::Z);
        let wall = Length::mm(SOCKET_WALL_MM);
        let tip_low = zone
            .face(across.low())
            .max(b.core.face(across.low()) + wall);
        let tip_high = zone
            .face(across.high())
            .min(b.core.face(across.high()) - wall);
        let flare = j.deep.scale(Rational::ONE / o.slope);
        if flare * 2 + Length::mm(LEAST_NECK_MM) > tip_high - tip_low {
            return self.report_no_neck(j, flare, Length::ZERO, tip_high - tip_low);
        }
        let (mouth, tip) = (j.contact.face(j.edge), a.core.face(j.edge));
        let at = |e: Length, c: Length| point((j.edge.axis(), e), (across, c));
        let sides = [
            (a.core.face(across.low()), tip_low, tip_low + flare),
            (a.core.face(across.high()), tip_high, tip_high - flare),
        ];
        let waste = sides.map(|(face, tip_at, neck)| {
            let mut outline = vec![at(mouth, face), at(mouth, neck), at(tip, tip_at)];
            if tip_at != face {
                outline.push(at(tip, face));
            }
            Work::Prism {
                axis: Axis::Z,
                outline,
                lo: a.core.face(Edge::Bottom),
                hi: a.core.face(Edge::Top),
            }
        });
        let socket = Work::Prism {
            axis: Axis::Z,
            outline: vec![
                at(mouth, tip_low + flare),
                at(mouth, tip_high - flare),
                at(tip, tip_high),
                at(tip, tip_low),
            ],
            lo: zone.face(Edge::Bottom),
            hi: b.core.face(Edge::Top),
        };
        let wide = tip_high - tip_low;
        let mut cut_a = work(
            CutKind::Tails,
            Vec::new(),
            j.edge,
            across,
            wide,
            j.deep,
            id,
            None,
            &j.origin,
        );
        cut_a.solids = waste.to_vec();
        let mut cut_b = work(
            CutKind::Sockets,
            Vec::new(),
            j.edge.opposite(),
            across,
            wide,
            j.deep,
            id,
            Some(j.a),
            &j.origin,
        );
        cut_b.solids = vec![socket];
        self.panels[j.a].cuts.push(cut_a);
        self.panels[j.b].cuts.push(cut_b);
    }

    /// What the slopes, and perhaps a taper, take from the width of a tail leaves no neck.
    fn report_no_neck(&mut self, j: &JointWork, flare: Length, by: Length, wide: Length) {
        let text = |length| self.units.text(length);
        let (word, narrows, help) = if by == Length::ZERO {
            (
                "slope",
                String::new(),
                "enter less deep, or with a gentler slope",
            )
        } else {
            let narrows = format!(", and it narrows by {}", text(by));
            (
                "tapered",
                narrows,
                "let it narrow by less, or enter less deep",
            )
        };
        let report = Diagnostic::new(
            &code::JOIN_NO_ROOM,
            format!("the dovetail of `{}` has no neck", self.panels[j.a].name),
            j.origin.at(word),
            "so little is left of it",
        )
        .note(format!(
            "{} deep at that slope takes {} from each side of {}{narrows}",
            text(j.deep),
            text(flare),
            text(wide)
        ))
        .note(format!(
            "at least {} must stay",
            text(Length::mm(LEAST_NECK_MM))
        ))
        .help(help);
        self.sink.push(report);
    }

    fn report_shut(&mut self, j: &JointWork, along: Axis) {
        let (a, b) = (&self.panels[j.a].name, &self.panels[j.b].name);
        let ends = [along.low().word(), along.high().word()];
        let report = Diagnostic::new(
            &code::ORDER_TRAPPED,
            format!("`{a}` can't slide into `{b}`"),
            j.origin.at("stopped"),
            format!("at the {} and at the {}", ends[0], ends[1]),
        )
        .note("a dovetail slides in from an end that is open")
        .help(format!("stop it at one end: `stopped … on {}`", ends[0]));
        self.sink.push(report);
    }

    fn report_not_dropped(&mut self, j: &JointWork, why: &str) {
        let (a, b) = (&self.panels[j.a].name, &self.panels[j.b].name);
        let report = Diagnostic::new(
            &code::JOIN_NOT_DROPPED,
            format!("`{a}` can't be dropped into the end of `{b}`"),
            j.origin.span,
            why,
        )
        .help("a rail whose upper face is level with the upper end of a leg or post can be; others take a `mortise`");
        self.sink.push(report);
    }
}
