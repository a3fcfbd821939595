//! A butt hinge whose leaf is wider than the door is thick: its recess comes out in front.

use super::{FRONTS, hinge, label};
use crate::diag::{Diagnostic, code};
use crate::model::Hinge;
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

/// Holds the leaf of every butt hinge against the thickness of the front it hangs.
pub fn check(view: &View, report: &mut Report) {
    for leaf in &view.piece.leaves {
        let Some((wide, name)) =
            leaf.hinges
                .iter()
                .find_map(|place| match hinge(view, place.hardware)? {
                    (Hinge::Butt { wide, .. }, name) => Some((*wide, name)),
                    (Hinge::Cup { .. }, _) => None,
                })
        else {
            continue;
        };
        let panel = view.part(leaf.part);
        let thick = panel.size.thick;
        let subject = format!("{}, leaf of its hinges", label(view, &leaf.path));
        let measured = Measured::at_most(&code::FIT_HINGE_WIDE, subject, wide, thick)
            .by(format!("the front is {} thick", view.plain(thick)))
            .from(FRONTS)
            .lines([leaf.origin.span]);
        report.judge(measured, || {
            Diagnostic::new(
                &code::FIT_HINGE_WIDE,
                format!(
                    "hinge `{name}` is wider than `{}` is thick",
                    view.name(&leaf.path)
                ),
                leaf.origin.at("hinge"),
                format!("one leaf is {} wide", view.text(wide)),
            )
            .at(
                panel.origin.at("of"),
                format!("measures {}", view.text(thick)),
            )
            .note(format!(
                "{} - {} = {} would stand out",
                view.plain(wide),
                view.plain(thick),
                view.plain(wide - thick)
            ))
            .help("a narrower hinge, or a thicker front")
        });
    }
}

#[cfg(test)]
mod tests {
    use crate::model::Edge;
    use crate::rules::testing;

    #[test]
    fn twenty_five_on_eighteen() {
        let mut model = testing::with_inset_door();
        let butt = testing::add_butt_hinge(&mut model, 250);
        testing::hang(&mut model, 0, butt, Edge::Left);
        let said = testing::only(&testing::checked(model), "fit.hinge_wide");
        assert_eq!(said.notes, ["25 - 17.6 = 7.4 would stand out"]);
    }
}
