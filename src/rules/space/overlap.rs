//! No two parts share space once they are cut.
//!
//! Exact for boxes and for slanted cuts; how round bores count is told in [`crate::solid`]. Pairs whose
//! clash another rule has told by its name are left to it.

use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{AssemblyId, Axis, Box3, LocalAxis, Part, PartId, Role};
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;
use crate::solid::{self, Cell, Exact, Overflow};
use std::collections::BTreeSet;

struct Overlap<'v, 'm> {
    view: &'v View<'m>,
    first: &'m Part,
    second: &'m Part,
    shared: Box3,
    /// Whether they belong to two cases.
    cases: bool,
}

/// Proves it for every two parts whose sawn boxes overlap.
pub fn check(view: &View, report: &mut Report) {
    let mut pairs = 0;
    // Two cases in one place are one mistake, however many of their parts clash.
    let mut cases: BTreeSet<(AssemblyId, AssemblyId)> = BTreeSet::new();
    let mut clean = true;
    for first in &view.piece.parts {
        for second in view.near(&first.core).filter(|other| other.id > first.id) {
            if !first.core.overlaps(&second.core) {
                continue;
            }
            let subject = || {
                let (a, b) = (view.label(first), view.label(second));
                format!("{a} and {b}, shared space")
            };
            pairs += 1;
            let cells = match shared(view, first.id, second.id) {
                Ok(cells) => cells,
                Err(Overflow) => {
                    clean = false;
                    let measured = Measured::none_of(&code::SPACE_OVERLAP, subject(), 1)
                        .by("numbers that do not fit")
                        .lines([first.origin.span, second.origin.span]);
                    report.fails(measured, too_fine(view, first, second));
                    continue;
                }
            };
            let bounds = cells.iter().map(|cell| *cell.bounds());
            let Some(shared) = bounds.reduce(|all, b| all.union(&b)) else {
                continue;
            };
            clean = false;
            if report.is_told(first.id, second.id) {
                continue;
            }
            let within = (view.case_of(first), view.case_of(second));
            let two_cases = match within {
                (Some(a), Some(b)) if a.assembly != b.assembly => {
                    Some((a.assembly.min(b.assembly), a.assembly.max(b.assembly)))
                }
                _ => None,
            };
            if two_cases.is_some_and(|two| !cases.insert(two)) {
                continue;
            }
            let fact = Overlap {
                cases: two_cases.is_some(),
                view,
                first,
                second,
                shared,
            };
            let measured = Measured::none_of(&code::SPACE_OVERLAP, subject(), 1)
                .by(fact.size())
                .from("placement rules 1.1")
                .lines([first.origin.span, second.origin.span]);
            report.fails(measured, fact.diagnostic());
        }
    }
    if clean {
        let subject = format!("{}, parts that share space", view.piece.title);
        report.holds(
            Measured::none_of(&code::SPACE_OVERLAP, subject, 0)
                .by(format!(
                    "{} parts, {pairs} pairs that enter each other",
                    view.piece.parts.len()
                ))
                .from("placement rules 1.1"),
        );
    }
}

fn shared(view: &View, a: PartId, b: PartId) -> Exact<Vec<Cell>> {
    solid::shared(view.wood(a)?, view.wood(b)?)
}

/// Where slanted sides meet, their corners may be fractions that can't be held.
fn too_fine(view: &View, first: &Part, second: &Part) -> Diagnostic {
    let (a, b) = (view.tick(first.id), view.tick(second.id));
    Diagnostic::new(
        &code::VALUE_OVERFLOW,
        format!("where {a} and {b} meet cannot be computed exactly"),
        second.origin.span,
        "slanted sides with too long fractions",
    )
    .at(first.origin.span, a)
    .help("give the slanted cuts rounder sizes or slopes")
}

impl Overlap<'_, '_> {
    fn size(&self) -> String {
        let extent = |axis| self.view.plain(self.shared.extent(axis));
        format!(
            "{} x {} x {} {} (across, deep, high)",
            extent(Axis::X),
            extent(Axis::Y),
            extent(Axis::Z),
            self.view.units().name()
        )
    }

    fn diagnostic(&self) -> Diagnostic {
        let view = self.view;
        let (a, b) = (view.tick(self.first.id), view.tick(self.second.id));
        let place = |at: Length| view.plain(at);
        Diagnostic::new(
            &code::SPACE_OVERLAP,
            format!("{a} and {b} share space"),
            self.second.origin.span,
            format!("{b} lies in {a}"),
        )
        .at(self.first.origin.span, a.clone())
        .note(format!("shared: {}", self.size()))
        .note(format!(
            "from {} from the left, {} behind the front, {} above the ground",
            place(self.shared.lo[0]),
            place(self.shared.lo[1]),
            place(self.shared.lo[2])
        ))
        .help(self.way_out())
    }

    fn way_out(&self) -> String {
        if self.cases {
            return "the two cases stand in each other: move one of them by its `place` or its `run`".into();
        }
        let (first, second) = (self.first, self.second);
        let runs = |part: &&Part| matches!(part.role, Role::Bearer | Role::Kicker);
        if let Some(wood) = [first, second].into_iter().find(runs) {
            let left = wood.core.extent(Axis::Z) - self.shared.extent(Axis::Z);
            return match left.is_positive() {
                true => format!(
                    "thinner stock for the runners, at most {} here: a bearer or kicker is no thicker than the rail that it is level with",
                    self.view.text(left)
                ),
                false => {
                    "move the drawer's opening or what stands in the way of its runners".into()
                }
            };
        }
        let (strip, other) = match (first.role == Role::Band, second.role == Role::Band) {
            (true, false) => (first, second),
            (false, true) => (second, first),
            _ => {
                return "join the two so that one is let into the other, or move one away".into();
            }
        };
        // Strips go on after the joints are cut: what enters their panel stays behind them.
        let edge = strip.host.and_then(|host| {
            let host = self.view.part(host);
            let band = host.bands.iter().find(|band| band.strip == strip.id)?;
            Some((host.lay.looks(band.side), band.thick))
        });
        let name = self.view.name(&other.path);
        match edge {
            // A strip beside a face of it: edging there would be no help.
            Some((edge, _)) if other.lay.axis(LocalAxis::Thickness) == edge.axis() => {
                format!("move `{name}` away from the strip, or leave that edge without one")
            }
            Some((edge, thick)) => format!(
                "give `{name}` edging at the {} as well, or set it back by {}",
                edge.word(),
                self.view.text(thick)
            ),
            None => format!("move `{name}` away from the strip"),
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::model::fixture::{box3, id, lay, part};
    use crate::model::{Edge, PartId, Role};
    use crate::rules::testing;

    #[test]
    fn a_shelf_through_the_deck() {
        let mut model = testing::sound();
        testing::shift(&mut model, id::SHELF, [0, 0, -1380]);
        let said = testing::only(&testing::checked(model), "space.overlap");
        assert_eq!(said.title, "`deck` and `upper.shelf` share space");
        assert_eq!(
            said.notes[0],
            "shared: 562.8 x 363 x 11.6 mm (across, deep, high)"
        );
    }

    #[test]
    fn touching_is_not_sharing() {
        let mut model = testing::sound();
        testing::shift(&mut model, id::SHELF, [0, 0, -1264]);
        assert_eq!(testing::codes(&testing::checked(model)), [""; 0]);
    }

    #[test]
    fn ten_thousand_parts_take_no_pairwise_loop() {
        let mut model = testing::sound();
        let piece = &mut model.pieces[0];
        piece.assemblies[1].parts.clear();
        for i in 0..10_000i64 {
            let (x, y, z) = ((i % 22) * 200, (i / 22 % 22) * 200, (i / 484) * 200);
            let b = box3([x, x + 190], [10_000 + y, 10_190 + y], [z, z + 190]);
            let n = piece.parts.len() as u32;
            let path = format!("body.block[{i}]");
            let at = lay(Edge::Left, Edge::Front, Edge::Top);
            piece
                .parts
                .push(part(n, &path, "Block", Role::LooseShelf, 1, 2, b, b, at));
        }
        let last = piece.parts.len() as u32 - 1;
        testing::shift(&mut model, PartId(last), [-100, 0, 0]);
        // A loop over all fifty million pairs would take minutes in a test build.
        let checked = testing::checked(model);
        assert_eq!(testing::of(&checked, "space.overlap").len(), 1);
    }
}
