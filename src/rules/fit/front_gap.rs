//! An inset front with next to no gap round it: it binds before the finish is on.
//!
//! Under 1 mm is taken as a mistake (common practice). A front larger than its opening is not
//! spoken of here: it shares space with the case.

use super::{label, runner};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{Edge, Leaf, LeafKind, RunnerPlace};
use crate::rules::report::{Measured, Report, help_with, up};
use crate::rules::view::View;

/// Holds the least gap of every inset front against 1 mm.
pub fn check(view: &View, report: &mut Report) {
    for leaf in view.piece.leaves.iter().filter(|leaf| leaf.inset) {
        // A box on runners keeps the room that these need: `fit.drawer_wide` holds it to that.
        let on_runners =
            view.piece.drawers.iter().any(|drawer| {
                leaf.drawer == Some(drawer.assembly) && runner(view, drawer).is_some()
            });
        if leaf.kind == LeafKind::OwnFront && on_runners {
            continue;
        }
        let on_wood = leaf.kind == LeafKind::OwnFront
            && view.piece.drawers.iter().any(|drawer| {
                leaf.drawer == Some(drawer.assembly)
                    && matches!(drawer.runner, Some(RunnerPlace::Wooden { .. }))
            });
        let (edge, gap) = least(leaf, on_wood);
        if gap.is_negative() {
            continue;
        }
        let limit = Length::mm(1);
        let subject = format!("{}, gap at the {}", label(view, &leaf.path), edge.word());
        let measured = Measured::at_least(&code::FIT_FRONT_GAP, subject, gap, limit)
            .from("common practice")
            .lines([leaf.origin.span])
            .of(view.part(leaf.part).assembly);
        report.judge(measured, || {
            let diagnostic = Diagnostic::new(
                &code::FIT_FRONT_GAP,
                format!(
                    "`{}` has a gap of only {} at the {}",
                    view.name(&leaf.path),
                    view.text(gap),
                    edge.word()
                ),
                leaf.origin.at("gap"),
                "too little to swing or slide",
            )
            .note(format!("an inset front needs {}", view.about(limit)));
            help_with(diagnostic, up(view, Length::um(1500)), |gap| {
                format!("`gap {gap} on {}`", edge.word())
            })
        });
    }
}

/// The edge with the least gap, leaving out where a pair meets, and the lower edge of a drawer that
/// slides on wood: it lies on what carries it.
fn least(leaf: &Leaf, on_wood: bool) -> (Edge, Length) {
    let meeting = leaf.meeting.map(|(edge, _)| edge);
    [
        (Edge::Left, leaf.gaps.left),
        (Edge::Right, leaf.gaps.right),
        (Edge::Bottom, leaf.gaps.bottom),
        (Edge::Top, leaf.gaps.top),
    ]
    .into_iter()
    .filter(|(edge, _)| Some(*edge) != meeting && !(on_wood && *edge == Edge::Bottom))
    .min_by_key(|(_, gap)| *gap)
    .unwrap_or((Edge::Left, leaf.gaps.left))
}

#[cfg(test)]
mod tests {
    use crate::model::fixture::dmm;
    use crate::rules::testing;

    #[test]
    fn half_a_millimetre() {
        let mut model = testing::with_inset_door();
        model.pieces[0].leaves[0].gaps.top = dmm(5);
        let said = testing::only(&testing::checked(model), "fit.front_gap");
        assert_eq!(said.title, "`gate` has a gap of only 0.5 mm at the top");
    }
}
