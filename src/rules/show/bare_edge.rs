//! An edge of sheet that is seen without a strip of edging.
//!
//! Looked at are the edges of a case's panels and of loose shelves where they are in sight, those of notches
//! and openings in them, and the edges of doors and drawer faces except the lower one. Drawer boxes are not:
//! their upper edges are customarily left bare.

use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{AssemblyKind, Box3, Cut, CutKind, Edge, LocalAxis, Part, PartId, Role, Side};
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;
use crate::sight::{Facet, Fronts, Ring, bounds};
use crate::solid::Exact;

struct Bare<'v, 'm> {
    view: &'v View<'m>,
    part: &'m Part,
    edge: Edge,
    /// The notch or opening whose edge it is.
    within: Option<&'m Cut>,
    /// How long the bare piece is that shows.
    long: Length,
}

/// Looks at every edge of every part of sheet.
pub fn check<'m>(view: &View<'m>, report: &mut Report) {
    let mut looked = 0;
    let mut clean = true;
    let looked_at = |part: &&'m Part| view.has_core(part) && part.aslant.is_empty();
    for part in view.piece.parts.iter().filter(looked_at) {
        // What does not fit a number is told where parts share space.
        let Ok(surface) = view.sight().surface(part.id) else {
            continue;
        };
        let mut tell = |edge: Edge, within: Option<&'m Cut>, long: Length| {
            clean = false;
            let fact = Bare {
                view,
                part,
                edge,
                within,
                long,
            };
            // Of an array each is named: that they are alike does not put edging on them.
            let index = part.path.rfind('[').filter(|_| part.path.ends_with(']'));
            let index = index.and_then(|at| part.path.get(at..)).unwrap_or("");
            let of = within.map_or("", |_| " of a cut in it");
            let subject = format!(
                "{}{index}, edge at the {}{of}",
                view.label(part),
                edge.word()
            );
            let measured = Measured::at_most(&code::SHOW_BARE_EDGE, subject, long, Length::ZERO)
                .by("length of the bare edge in sight")
                .from("placement rules 2.1")
                .lines([part.origin.span])
                .of(part.assembly);
            report.fails(measured, fact.diagnostic());
        };
        let around = Side::ALL.into_iter();
        let around = around.filter(|side| side.axis() != LocalAxis::Thickness);
        let edges: Vec<Edge> = around.map(|side| part.lay.looks(side)).collect();
        for &edge in &edges {
            looked += 1;
            let plane = Facet::of_side(&part.core, edge).plane;
            let facets = surface.iter().filter(|facet| facet.plane == plane);
            if let Ok(Some(long)) = shows(view, part, edge, facets) {
                tell(edge, None, long);
            }
        }
        let own = |cut: &&Cut| matches!(cut.kind, CutKind::EdgeNotch | CutKind::Opening);
        for cut in part.cuts.iter().filter(own) {
            let notch = part.to_piece(&cut.bounds());
            for &edge in &edges {
                looked += 1;
                // The wood at the notch's far end looks back into it.
                let plane = Facet::of_side(&notch, edge.opposite()).plane.flipped();
                let facets = surface.iter().filter(|facet| {
                    facet.plane == plane && facet.rings.iter().all(|ring| holds(&notch, ring))
                });
                if let Ok(Some(long)) = shows(view, part, edge, facets) {
                    tell(edge, Some(cut), long);
                }
            }
        }
    }
    if clean {
        let subject = format!("{}, bare edges of sheet in sight", view.piece.title);
        report.holds(
            Measured::none_of(&code::SHOW_BARE_EDGE, subject, 0)
                .by(format!("{looked} edges without a strip looked at"))
                .from("placement rules 2.1"),
        );
    }
}

/// Whether a figure lies within a box or on its sides.
fn holds(b: &Box3, ring: &Ring) -> bool {
    let around = bounds(ring);
    b.union(&around) == *b
}

/// The length of a bare edge that shows; `None` if none of it does.
fn shows<'f>(
    view: &View,
    part: &Part,
    edge: Edge,
    facets: impl Iterator<Item = &'f Facet>,
) -> Exact<Option<Length>> {
    let thick = part.lay.axis(LocalAxis::Thickness);
    let run = edge.axis().third(thick);
    let sight = view.sight();
    let mut stretches = Vec::new();
    for facet in facets {
        let shown = match view.kind(part) {
            AssemblyKind::Drawer => Vec::new(),
            AssemblyKind::Leaf if edge == Edge::Bottom => Vec::new(),
            AssemblyKind::Leaf => {
                let own = |other: &Part| other.assembly == part.assembly;
                sight.before(part, facet, None, &[], own)?.free
            }
            AssemblyKind::Case | AssemblyKind::Shelf | AssemblyKind::Fitted => {
                let least = Length::mm(1);
                sight.seen(part, facet, Fronts::Open, &[], least)?.free
            }
        };
        stretches.extend(shown.iter().map(bounds));
    }
    let long = covered(
        stretches
            .iter()
            .map(|b| (b.face(run.low()), b.face(run.high()))),
    );
    Ok(long.is_positive().then_some(long))
}

/// How much of a line stretches of it cover together.
fn covered(stretches: impl Iterator<Item = (Length, Length)>) -> Length {
    let mut stretches: Vec<(Length, Length)> = stretches.collect();
    stretches.sort_unstable();
    let mut sum = Length::ZERO;
    let mut upto: Option<Length> = None;
    for (from, to) in stretches {
        let from = upto.map_or(from, |upto| from.max(upto));
        if to > from {
            sum += to - from;
        }
        upto = Some(upto.map_or(to, |upto| upto.max(to)));
    }
    sum
}

impl Bare<'_, '_> {
    fn diagnostic(&self) -> Diagnostic {
        let (view, part) = (self.view, self.part);
        let name = view.tick(part.id);
        let edge = self.edge.word();
        let outer = view.case_of(part).map(|case| case.envelope);
        let inner = self.within.is_some()
            || outer.is_some_and(|case| case.face(self.edge) != part.finished.face(self.edge));
        let when = match (view.kind(part), self.edge) {
            (AssemblyKind::Leaf, _) => "when it is opened",
            (_, Edge::Front) => "from the front",
            (AssemblyKind::Case | AssemblyKind::Shelf, _) if inner => "by who looks in",
            _ => "on a side that shows",
        };
        if let Some(cut) = self.within {
            let what = cut.kind.word();
            return Diagnostic::new(
                &code::SHOW_BARE_EDGE,
                format!("the edge of the {what} in {name} is bare"),
                cut.origin.span,
                format!("its wood shows, {when}"),
            )
            .at(part.origin.span, "of sheet")
            .note(format!("{} of the sheet's edge show", view.text(self.long)))
            .help("`allow show.bare_edge \"…\"` if it may show, sealed or painted");
        }
        Diagnostic::new(
            &code::SHOW_BARE_EDGE,
            format!("the {edge} edge of {name} is bare"),
            part.origin.span,
            format!("seen {when}"),
        )
        .note(format!("{} of the sheet's edge show", view.text(self.long)))
        .help(match self.flush_neighbour() {
            // A strip there would lie in the part that is let in flush.
            Some(other) if matches!(other.role, Role::Top | Role::Lid | Role::Bottom) => {
                let ((own, of), (name, _)) = (view.own_name(part), view.own_name(other));
                format!(
                    "let `{name}` cover it: `over {own}` on its line{of}, and the joint the other way \
                     round, `join {own} into {name}`"
                )
            }
            Some(other) => format!(
                "{} is let in flush there: `allow show.bare_edge \"…\"` if it may show",
                view.tick(other.id)
            ),
            None => view.band_line(part, self.edge),
        })
    }

    /// What is let into the part in a rabbet and ends flush with the bare edge.
    fn flush_neighbour(&self) -> Option<&Part> {
        let face = self.part.finished.face(self.edge);
        self.part
            .cuts
            .iter()
            .filter(|cut| cut.kind == CutKind::Rabbet)
            .filter_map(|cut| cut.filler.or_else(|| self.other(cut)))
            .map(|id| self.view.part(id))
            .find(|other| other.finished.face(self.edge) == face)
    }

    /// The other part of a cut's joint.
    fn other(&self, cut: &Cut) -> Option<PartId> {
        let joint = self.view.joint(cut.joint?);
        [joint.a, joint.b]
            .into_iter()
            .find(|id| *id != self.part.id)
    }
}

#[cfg(test)]
mod tests {
    use crate::model::fixture::cabinet;
    use crate::rules::testing;

    /// As it stands in the fixture, deck and loose shelf have no edging, and the sides, the top of
    /// the back and nothing else look up bare.
    #[test]
    fn the_fixture_as_it_stands() {
        let checked = testing::checked(cabinet());
        let titles: Vec<&str> = testing::of(&checked, "show.bare_edge")
            .into_iter()
            .map(|d| d.title.as_str())
            .collect();
        assert_eq!(
            titles,
            [
                "the top edge of `left` is bare",
                "the top edge of `right` is bare",
                "the front edge of `deck` is bare",
                "the top edge of `back` is bare",
                "the front edge of `upper.shelf` is bare",
            ]
        );
    }
}
