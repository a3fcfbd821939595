//! A hinge made for more or less overlay than the front has.

use super::{FRONTS, hinge, label};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{Edge, Hinge, Leaf};
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

struct Covers<'v, 'm> {
    view: &'v View<'m>,
    leaf: &'m Leaf,
    hinge: &'m str,
    cover: Length,
    range: (Length, Length),
}

/// Holds the cover of every hung front against the range of its hinges.
pub fn check(view: &View, report: &mut Report) {
    for leaf in &view.piece.leaves {
        let Some(cover) = cover(leaf) else {
            continue;
        };
        let Some((name, range)) =
            leaf.hinges
                .iter()
                .find_map(|place| match hinge(view, place.hardware)? {
                    (Hinge::Cup { covers, .. }, name) => covers.map(|range| (name, range)),
                    (Hinge::Butt { .. }, _) => None,
                })
        else {
            continue;
        };
        let fact = Covers {
            view,
            leaf,
            hinge: name,
            cover,
            range,
        };
        let subject = format!("{}, cover at its hinges", label(view, &leaf.path));
        let (least, most) = range;
        let measured = if cover < least {
            Measured::at_least(&code::FIT_HINGE_COVERS, subject, cover, least)
        } else {
            Measured::at_most(&code::FIT_HINGE_COVERS, subject, cover, most)
        }
        .by(format!(
            "{name} covers {} to {}",
            view.plain(least),
            view.plain(most)
        ))
        .from(FRONTS)
        .lines([leaf.origin.span]);
        report.judge(measured, || fact.diagnostic());
    }
}

/// How far a front covers the case at its hung edge; an inset one stands back by its gap.
fn cover(leaf: &Leaf) -> Option<Length> {
    let hung = leaf.hung?;
    if !leaf.inset {
        return leaf.covers;
    }
    let gap = match hung {
        Edge::Left => leaf.gaps.left,
        Edge::Right => leaf.gaps.right,
        Edge::Bottom => leaf.gaps.bottom,
        Edge::Top => leaf.gaps.top,
        Edge::Front | Edge::Rear => return None,
    };
    Some(-gap)
}

impl Covers<'_, '_> {
    fn diagnostic(&self) -> Diagnostic {
        let view = self.view;
        let (least, most) = self.range;
        let leaf = view.name(&self.leaf.path);
        let (title, here) = if self.leaf.inset {
            (
                format!(
                    "hinge `{}` is made for overlay, and `{leaf}` is inset",
                    self.hinge
                ),
                "stands in the opening".to_string(),
            )
        } else {
            (
                format!(
                    "`{leaf}` covers {} at hinge `{}`",
                    view.text(self.cover),
                    self.hinge
                ),
                format!("covers {}", view.text(self.cover)),
            )
        };
        let place = self
            .leaf
            .origin
            .clause("overlay")
            .or_else(|| self.leaf.origin.clause("inset"))
            .unwrap_or(self.leaf.origin.span);
        let diagnostic = Diagnostic::new(&code::FIT_HINGE_COVERS, title, place, here)
            .at(
                self.leaf.origin.at("hinge"),
                format!("hinge `{}`", self.hinge),
            )
            .note(format!(
                "`{}` covers from {} to {}",
                self.hinge,
                view.text(least),
                view.text(most)
            ));
        if self.cover > most {
            diagnostic.help(format!(
                "a `reveal` larger by {}, or a hinge that covers more",
                view.text(self.cover - most)
            ))
        } else {
            let by = view.text(least - self.cover);
            let diagnostic = if self.leaf.inset {
                diagnostic
            } else {
                diagnostic.help(format!("a `reveal` smaller by {by}"))
            };
            diagnostic.help(format!(
                "a hinge that covers {by} less than `{}`",
                self.hinge
            ))
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::model::fixture::dmm;
    use crate::model::{Edge, HardwareId};
    use crate::rules::testing;

    #[test]
    fn an_overlay_hinge_on_an_inset_door() {
        let mut model = testing::with_inset_door();
        let cup = testing::add_cup_hinge(&mut model, (140, 180));
        assert_eq!(cup, HardwareId(1));
        testing::hang(&mut model, 0, cup, Edge::Left);
        let said = testing::only(&testing::checked(model), "fit.hinge_covers");
        assert_eq!(
            said.title,
            "hinge `cup` is made for overlay, and `gate` is inset"
        );
    }

    #[test]
    fn covers_too_much() {
        let mut model = testing::with_overlay_doors(73);
        let cup = testing::add_cup_hinge(&mut model, (60, 150));
        testing::hang(&mut model, 0, cup, Edge::Left);
        let checked = testing::checked(model);
        let said = testing::only(&checked, "fit.hinge_covers");
        assert_eq!(said.title, "`lower_door` covers 16.1 mm at hinge `cup`");
        assert_eq!(testing::figure(&checked, "fit.hinge_covers"), dmm(161));
    }
}
