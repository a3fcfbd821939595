//! A bore for a hinge cup that reaches an edge of its leaf: less than the shop's least web is left.

use super::{FRONTS, label};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{Axis, CutKind, Edge};
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

/// Holds the wood between every cup and the finished edges of its leaf against the least web.
pub fn check(view: &View, report: &mut Report) {
    let least = view.model.shop.web;
    for leaf in &view.piece.leaves {
        let panel = view.part(leaf.part);
        for cut in panel.cuts.iter().filter(|cut| cut.kind == CutKind::CupBore) {
            for solid in &cut.solids {
                let cup = panel.to_piece(&solid.bounds());
                let mut left: Option<(Length, Edge)> = None;
                for edge in Edge::ALL.into_iter().filter(|edge| edge.axis() != Axis::Y) {
                    let to = panel.finished.face(edge) - cup.face(edge);
                    let to = if edge.is_high() { to } else { -to };
                    if left.is_none_or(|(best, _)| to < best) {
                        left = Some((to, edge));
                    }
                }
                let Some((left, edge)) = left else {
                    continue;
                };
                let subject = format!("{}, wood beside a hinge cup", label(view, &leaf.path));
                let measured = Measured::at_least(&code::FIT_CUP_EDGE, subject, left, least)
                    .by(format!("at the {}", edge.word()))
                    .from(format!("{FRONTS}; the shop's least web"))
                    .lines([cut.origin.span, leaf.origin.span]);
                report.judge(measured, || {
                    let name = view.name(&leaf.path);
                    let title = if left.is_positive() {
                        format!(
                            "only {} of `{name}` is left beside a hinge cup",
                            view.text(left)
                        )
                    } else {
                        format!("a hinge cup breaks out at the {} of `{name}`", edge.word())
                    };
                    Diagnostic::new(
                        &code::FIT_CUP_EDGE,
                        title,
                        cut.origin.span,
                        format!("too near the {}", edge.word()),
                    )
                    .note(format!("at least {} must stay", view.text(least)))
                    .help("move the hinge in from the edge, or use one with a larger rim")
                });
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::model::fixture::{cut, dmm};
    use crate::model::{CutKind, LocalAxis, Side, Solid};
    use crate::rules::testing;

    #[test]
    fn a_cup_one_millimetre_from_the_edge() {
        let mut model = testing::with_inset_door();
        let door = model.pieces[0].leaves[0].part;
        let bore = Solid::Bore {
            mouth: [dmm(900), dmm(185), dmm(176)],
            entry: Side::Reverse,
            diameter: dmm(350),
            depth: dmm(125),
        };
        let cup = cut(
            CutKind::CupBore,
            vec![bore],
            Side::Reverse,
            LocalAxis::Length,
            3500,
            1250,
        );
        model.pieces[0].parts[door.0 as usize].cuts = vec![cup];
        let said = testing::only(&testing::checked(model), "fit.cup_edge");
        assert_eq!(said.title, "only 1 mm of `gate` is left beside a hinge cup");
    }
}
