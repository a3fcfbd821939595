//! Two fronts that overlap, or leave less between them than fronts need to pass each other.
//!
//! A pair keeps the gap that it states; other neighbours need at least 1 mm (common practice).

use super::{FRONTS, label};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::tree::Tree;
use crate::model::{Axis, Leaf, LeafKind, PartId};
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

struct Meet<'v, 'm> {
    view: &'v View<'m>,
    first: &'m Leaf,
    second: &'m Leaf,
    gap: Length,
    limit: Length,
    across: Axis,
}

/// Holds the gap between every two neighbouring fronts against what it must be.
pub fn check(view: &View, report: &mut Report) {
    let leaves = &view.piece.leaves;
    let places: Vec<_> = leaves
        .iter()
        .map(|leaf| view.piece.leaf_box(leaf))
        .collect();
    let tree = Tree::new(places.clone());
    for (i, (first, place)) in leaves.iter().zip(&places).enumerate() {
        let mut reach = *place;
        for edge in crate::model::Edge::ALL {
            reach.grow(edge, Length::mm(20));
        }
        for j in tree.touching(&reach).into_iter().filter(|j| *j > i) {
            let (Some(second), Some(other)) = (leaves.get(j), places.get(j)) else {
                continue;
            };
            // A drawer within, behind a door, is held against the door as a whole.
            let own = |leaf: &Leaf| leaf.kind == LeafKind::OwnFront;
            let rooms = [first, second].map(|leaf| view.piece.opening(leaf.opening).clear);
            if own(first) != own(second) && rooms[0].overlaps(&rooms[1]) {
                continue;
            }
            let apart =
                [0, 1, 2].map(|k| place.lo[k].max(other.lo[k]) - place.hi[k].min(other.hi[k]));
            // They must pass each other only if they lie in one layer and face each other.
            let Some((across, gap)) = (match (apart[0], apart[1], apart[2]) {
                (_, y, _) if !y.is_negative() => None,
                (x, _, z) if z.is_negative() && x >= z => Some((Axis::X, x)),
                (x, _, z) if x.is_negative() => Some((Axis::Z, z)),
                _ => None,
            }) else {
                continue;
            };
            let fact = Meet {
                view,
                first,
                second,
                gap,
                limit: stated(first, second).unwrap_or(Length::mm(1)),
                across,
            };
            let subject = format!(
                "{} and {}, gap",
                label(view, &first.path),
                label(view, &second.path)
            );
            let measured = Measured::at_least(&code::FIT_FRONTS_MEET, subject, gap, fact.limit)
                .from(FRONTS)
                .lines([first.origin.span, second.origin.span]);
            if !measured.holds() {
                tell(view, report, first, second);
            }
            report.judge(measured, || fact.diagnostic());
        }
    }
}

/// The gap that the two leaves of a pair state.
fn stated(first: &Leaf, second: &Leaf) -> Option<Length> {
    let (edge, gap) = first.meeting?;
    let (other, _) = second.meeting?;
    (first.opening == second.opening && edge == other.opposite()).then_some(gap)
}

fn tell(view: &View, report: &mut Report, first: &Leaf, second: &Leaf) {
    let parts = |leaf: &Leaf| -> Vec<PartId> {
        let panel = view.part(leaf.part);
        panel
            .bands
            .iter()
            .map(|band| band.strip)
            .chain([panel.id])
            .collect()
    };
    for a in parts(first) {
        for b in parts(second) {
            report.tell(a, b);
        }
    }
}

impl Meet<'_, '_> {
    fn diagnostic(&self) -> Diagnostic {
        let view = self.view;
        let (first, second) = (view.name(&self.first.path), view.name(&self.second.path));
        let way = if self.across == Axis::X {
            "side by side"
        } else {
            "one over the other"
        };
        let title = if self.gap.is_negative() {
            format!(
                "`{first}` and `{second}` overlap by {}",
                view.text(-self.gap)
            )
        } else {
            format!("`{first}` and `{second}` are {} apart", view.text(self.gap))
        };
        let place = |leaf: &Leaf| {
            leaf.origin
                .clause("overlay")
                .or_else(|| leaf.origin.clause("gap"))
                .unwrap_or(leaf.origin.span)
        };
        let i = self.across.index();
        let (a, b) = (
            view.part(self.first.part).finished,
            view.part(self.second.part).finished,
        );
        let (low, high) = if a.lo[i] <= b.lo[i] { (a, b) } else { (b, a) };
        Diagnostic::new(
            &code::FIT_FRONTS_MEET,
            title,
            place(self.second),
            format!("{way} with `{first}`"),
        )
        .at(place(self.first), format!("`{first}`"))
        .note(format!(
            "one ends at {}, the other begins at {}: {} - {} = {}",
            view.plain(low.hi[i]),
            view.plain(high.lo[i]),
            view.plain(high.lo[i]),
            view.plain(low.hi[i]),
            view.plain(self.gap)
        ))
        .note(format!("at least {} is needed", view.text(self.limit)))
        .help("`overlay gap …` without a stated overlay shares the part between them")
    }
}

#[cfg(test)]
mod tests {
    use crate::rules::testing;

    /// Two full-overlay doors on one 17.6 mm deck: 16.1 + 16.1 - 17.6 = 14.6.
    #[test]
    fn two_full_overlays_on_one_shelf() {
        let checked = testing::checked(testing::with_overlay_doors(161));
        assert_eq!(
            testing::codes(&checked),
            ["fit.fronts_meet"],
            "{checked:#?}"
        );
        let said = testing::only(&checked, "fit.fronts_meet");
        assert_eq!(
            said.title,
            "`lower_door` and `upper_door` overlap by 14.6 mm"
        );
    }

    #[test]
    fn a_shared_shelf() {
        let checked = testing::checked(testing::with_overlay_doors(73));
        assert_eq!(testing::codes(&checked), [""; 0], "{checked:#?}");
    }
}
