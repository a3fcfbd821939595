//! What a lid turns on: butts let into its underside and into the edge behind, and stays.

use super::build::{Builder, CutWork, Work};
use super::stmt::Stmt;
use super::value;
use super::{Poison, Res};
use crate::diag::{Diagnostic, code};
use crate::measure::{Length, Rational};
use crate::model::{AssemblyId, Axis, CutKind, Edge, HardwareKind, HardwareUse, Hinge, Role};

/// The end hinges of a lid are this far from its ends, or a sixth of it if less (common practice).
const HINGE_END_MM: i64 = 100;

impl Builder<'_> {
    /// Hinges and stays of the lids of a case.
    pub fn hang_lids(&mut self, body: usize) {
        let stmt = self.bodies[body].stmt.clone();
        for line in stmt.forms("lid") {
            for hinge in line.forms("hinge") {
                let done = self.hang_lid(body, line, hinge);
                self.settle(done);
            }
            for stay in line.forms("stay") {
                let done = self.report_place(stay);
                self.settle(done);
            }
            let label = super::label::words(line.name());
            self.take_fitted(body, &label, line, "stay");
        }
    }

    fn hang_lid(&mut self, body: usize, line: &Stmt, hinge: &Stmt) -> Res<()> {
        let (hardware, kind) = self.hardware_of(hinge)?;
        let n = value::count(self, &hinge.env, hinge.count.as_ref().ok_or(Poison)?)?;
        self.room_for_holes(n, hinge.head_span)?;
        if let Some(word) = hinge.clause("at").or_else(|| hinge.clause("in")) {
            let report = Diagnostic::new(
                &code::NAME_WORD_NOT_HERE,
                "the hinges of a lid lie along its rear edge",
                word.of.span,
                "of the hinges of a door",
            )
            .help("leave it out: the outer ones are 100 mm or a sixth from its ends");
            self.sink.push(report);
            return Err(Poison);
        }
        let HardwareKind::Hinge(Hinge::Butt { long, wide, thick }) = kind else {
            let report = Diagnostic::new(
                &code::TYPE_MISMATCH,
                "a lid turns on butt hinges",
                hinge.head_span,
                "a cup hinge",
            )
            .help("name a hinge with `long`, `wide` and `thick`");
            self.sink.push(report);
            return Err(Poison);
        };
        let name = line.name().to_owned();
        let lids = match self.bodies[body].names.get(&name).map(|t| t.kind.clone()) {
            Some(super::build::ThingKind::Panels(list)) => list,
            _ => return Err(Poison),
        };
        let under = |p: usize| self.panels[p].finished.face(Edge::Bottom);
        // Of a framed lid the rear member; what it turns on is the panel that its underside meets
        // furthest back.
        let rear = |p: &&usize| self.panels[**p].finished.face(Edge::Rear);
        let lid = *lids.iter().max_by_key(rear).ok_or(Poison)?;
        let posts = self.bodies[body].panels.iter().copied().filter(|p| {
            matches!(self.panels[*p].role, Role::Back | Role::Rail | Role::Apron)
                && self.panels[*p].finished.face(Edge::Top) == under(lid)
        });
        let Some(post) = posts.max_by_key(|p| self.panels[*p].finished.face(Edge::Rear)) else {
            let report = Diagnostic::new(
                &code::PLACE_MISSING,
                format!("nothing for the hinges of `{name}` to be screwed to"),
                hinge.head_span,
                "no back or rail under it",
            )
            .help("let a `back` or a `rail` reach up to its underside");
            self.sink.push(report);
            return Err(Poison);
        };
        let back = self.panels[post].core;
        let run = back.extent(Axis::X);
        let end = Length::mm(HINGE_END_MM).min(run / 6);
        if end + long.half() > run.half() && n > 1 {
            let report = Diagnostic::new(
                &code::VALUE_RANGE,
                format!("no room for the hinges of `{name}`"),
                hinge.head_span,
                "they run into each other",
            )
            .help("fit fewer, or shorter ones");
            self.sink.push(report);
            return Err(Poison);
        }
        let place = |i: u32| match n {
            1 => run.half(),
            _ => end + (run - end * 2).scale(Rational::new(i128::from(i), i128::from(n) - 1)),
        };
        for (panel, edge) in [(lid, Edge::Bottom), (post, Edge::Top)] {
            let core = self.panels[panel].core;
            let recess = |i: u32| {
                let mut b = back;
                let middle = back.face(Edge::Left) + place(i);
                b.set_face(Edge::Left, middle - long.half());
                b.set_face(Edge::Right, middle + long.half());
                b.set_face(Edge::Front, back.face(Edge::Rear) - wide);
                b.set_face(edge, core.face(edge));
                let deep = if edge.is_high() { -thick } else { thick };
                b.set_face(edge.opposite(), core.face(edge) + deep);
                Work::Box(b)
            };
            let cut = CutWork {
                kind: CutKind::HingeRecess,
                solids: (0..n).map(recess).collect(),
                entry: edge,
                along: Axis::X,
                width: wide,
                depth: thick,
                fit: Length::ZERO,
                relief: Length::ZERO,
                joint: None,
                filler: None,
                origin: hinge.origin(),
            };
            self.panels[panel].cuts.push(cut);
        }
        self.hardware.push(HardwareUse {
            hardware,
            count: n,
            reason: format!("{}, hinges", super::label::words(&name)),
            assembly: AssemblyId(body as u32),
        });
        Ok(())
    }
}
