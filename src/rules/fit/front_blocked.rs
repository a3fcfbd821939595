//! An inset front that shares its place with what stands behind it: a shelf, an inner drawer, a
//! runner. Nothing moves by itself to make room.

use super::{FRONTS, label, runner};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{Drawer, Leaf, LeafKind, Part, PartId};
use crate::rules::report::{Measured, Report, help_with, up};
use crate::rules::view::View;

struct Blocked<'v, 'm> {
    view: &'v View<'m>,
    leaf: &'m Leaf,
    /// How far the leaf reaches into the case.
    rear: Length,
    by: By<'m>,
    /// Where what stands behind begins.
    front: Length,
}

enum By<'m> {
    Part(&'m Part),
    Drawer(&'m Drawer),
    Runner(&'m Drawer),
}

/// Holds what stands behind every inset front against the front's rear face.
pub fn check(view: &View, report: &mut Report) {
    // A drawer's own front is part of its box: what it runs on is fixed beside it.
    let inset = |leaf: &&Leaf| leaf.inset && leaf.kind != LeafKind::OwnFront;
    for leaf in view.piece.leaves.iter().filter(inset) {
        let panel = view.part(leaf.part);
        let rear = panel.finished.hi[1];
        let mut clear = true;
        let mut found = parts_in(view, leaf, panel, rear);
        found.extend(runners_in(view, leaf, rear, &found));
        for fact in found {
            clear = false;
            for part in fact.parts() {
                report.tell(leaf.part, part.id);
                for band in &panel.bands {
                    report.tell(band.strip, part.id);
                }
                for band in &part.bands {
                    report.tell(leaf.part, band.strip);
                }
            }
            let measured = Measured::at_least(
                &code::FIT_FRONT_BLOCKED,
                format!("{}, room behind it", label(view, &leaf.path)),
                fact.front,
                rear,
            )
            .by(fact.sum())
            .from(FRONTS)
            .lines([leaf.origin.span, fact.other()]);
            report.fails(measured, fact.diagnostic());
        }
        if clear {
            let subject = format!("{}, room behind it", label(view, &leaf.path));
            report.holds(
                Measured::none_of(&code::FIT_FRONT_BLOCKED, subject, 0)
                    .by("things that share its place")
                    .from(FRONTS)
                    .lines([leaf.origin.span]),
            );
        }
    }
}

/// The drawer that a part is of.
fn drawer_of<'m>(view: &View<'m>, part: &Part) -> Option<&'m Drawer> {
    let mut drawers = view.piece.drawers.iter();
    drawers.find(|drawer| drawer.assembly == part.assembly)
}

/// What claims the leaf's space: drawers as a whole, other parts with the strips on them.
fn parts_in<'v, 'm>(
    view: &'v View<'m>,
    leaf: &'m Leaf,
    panel: &'m Part,
    rear: Length,
) -> Vec<Blocked<'v, 'm>> {
    let opening = view.piece.opening(leaf.opening);
    let bounds = |id: PartId| opening.bounds.iter().any(|(_, part)| *part == id);
    let mut seen: Vec<PartId> = Vec::new();
    let mut found = Vec::new();
    for other in view.near(&panel.finished) {
        if !other.core.overlaps(&panel.finished) {
            continue;
        }
        let main = other.host.map_or(other, |host| view.part(host));
        let own = main.assembly == panel.assembly || leaf.drawer == Some(main.assembly);
        let front = view.piece.leaves.iter().any(|l| l.part == main.id);
        if own || front || bounds(main.id) || seen.contains(&main.id) {
            continue;
        }
        seen.push(main.id);
        let drawer = drawer_of(view, main);
        if found.iter().any(|fact: &Blocked| fact.is_of(drawer)) {
            continue;
        }
        let (by, front) = match drawer {
            Some(drawer) => (By::Drawer(drawer), drawer.outside.lo[1]),
            None => (By::Part(main), main.finished.lo[1]),
        };
        found.push(Blocked {
            view,
            leaf,
            rear,
            by,
            front,
        });
    }
    found
}

/// Runners that begin in front of the leaf's rear face, in the leaf's opening, of drawers that are
/// not told already.
fn runners_in<'v, 'm>(
    view: &'v View<'m>,
    leaf: &'m Leaf,
    rear: Length,
    told: &[Blocked],
) -> Vec<Blocked<'v, 'm>> {
    let opening = view.piece.opening(leaf.opening);
    let behind = |drawer: &&'m Drawer| {
        let inner = view.piece.opening(drawer.opening);
        inner.clear.overlaps(&opening.clear)
    };
    view.piece
        .drawers
        .iter()
        .filter(behind)
        .filter(|drawer| !told.iter().any(|fact| fact.is_of(Some(drawer))))
        .filter_map(|drawer| {
            let (_, _, set_back) = runner(view, drawer)?;
            let case = view.case_of(view.part(leaf.part))?;
            let front = case.envelope.lo[1] + set_back;
            (front < rear).then_some(Blocked {
                view,
                leaf,
                rear,
                by: By::Runner(drawer),
                front,
            })
        })
        .collect()
}

impl<'m> Blocked<'_, 'm> {
    fn is_of(&self, drawer: Option<&Drawer>) -> bool {
        match (&self.by, drawer) {
            (By::Drawer(own), Some(drawer)) => std::ptr::eq(*own, drawer),
            _ => false,
        }
    }

    /// The parts in the way.
    fn parts(&self) -> Vec<&'m Part> {
        match self.by {
            By::Part(part) => vec![part],
            By::Drawer(drawer) => {
                let parts = self.view.piece.parts.iter();
                parts.filter(|p| p.assembly == drawer.assembly).collect()
            }
            By::Runner(_) => Vec::new(),
        }
    }

    fn other(&self) -> crate::source::Span {
        match self.by {
            By::Part(part) => part.origin.at("set_back"),
            By::Drawer(drawer) => drawer.origin.at("set_back"),
            By::Runner(drawer) => drawer.origin.at("runner"),
        }
    }

    fn name(&self) -> String {
        match self.by {
            By::Part(part) => self.view.tick(part.id),
            By::Drawer(drawer) => format!("`{}`", self.view.name(&drawer.path)),
            By::Runner(drawer) => format!("the runner of `{}`", self.view.name(&drawer.path)),
        }
    }

    fn sum(&self) -> String {
        let view = self.view;
        format!(
            "{} - {} = {}",
            view.plain(self.rear),
            view.plain(self.front),
            view.plain(self.rear - self.front)
        )
    }

    fn diagnostic(&self) -> Diagnostic {
        let view = self.view;
        let leaf = view.name(&self.leaf.path);
        let name = self.name();
        let diagnostic = Diagnostic::new(
            &code::FIT_FRONT_BLOCKED,
            format!("{name} stands in the way of `{leaf}`"),
            self.other(),
            format!("begins {} behind the front plane", view.text(self.front)),
        )
        .at(
            self.leaf.origin.at("inset"),
            format!("reaches {} behind the front plane", view.text(self.rear)),
        )
        .note(format!("{} too far forward", self.sum()));
        help_with(diagnostic, up(view, self.rear), |by| {
            format!("`set_back {by}` on {name}")
        })
    }
}

#[cfg(test)]
mod tests {
    use crate::model::fixture::id;
    use crate::rules::testing;

    #[test]
    fn a_loose_shelf_behind_an_inset_door() {
        let mut model = testing::with_inset_door();
        testing::shift(&mut model, id::SHELF, [0, -200, 0]);
        let checked = testing::checked(model);
        assert_eq!(
            testing::codes(&checked),
            ["fit.front_blocked"],
            "{checked:#?}"
        );
        let said = testing::only(&checked, "fit.front_blocked");
        assert_eq!(said.title, "`upper.shelf` stands in the way of `gate`");
        assert_eq!(said.notes, ["17.6 - 10 = 7.6 too far forward"]);
        assert_eq!(said.help, ["`set_back 18mm` on `upper.shelf`"]);
    }

    #[test]
    fn a_shelf_behind_the_doors_back() {
        let checked = testing::checked(testing::with_inset_door());
        assert_eq!(testing::codes(&checked), [""; 0], "{checked:#?}");
    }
}
