//! A flap that nothing holds: open, its whole weight hangs on the screws of its hinges, or falls shut.

use super::label;
use crate::diag::{Diagnostic, code};
use crate::model::{Edge, LeafKind};
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

/// Asks of every flap for stays.
pub fn check(view: &View, report: &mut Report) {
    for leaf in &view.piece.leaves {
        let Some(hung) = leaf.hung.filter(|_| leaf.kind == LeafKind::Flap) else {
            continue;
        };
        let none = usize::from(leaf.stays.is_empty());
        let subject = format!("{}, held open", label(view, &leaf.path));
        let measured = Measured::none_of(&code::FIT_NO_STAY, subject, none)
            .by("flaps without a stay")
            .from("common practice")
            .lines([leaf.origin.span])
            .of(view.part(leaf.part).assembly);
        report.judge(measured, || {
            let (here, why) = match hung {
                Edge::Top => ("falls shut", "open, it is held by a hand alone"),
                _ => (
                    "falls open",
                    "open, its whole weight turns on the screws of its hinges",
                ),
            };
            Diagnostic::new(
                &code::FIT_NO_STAY,
                format!("nothing holds `{}` open", view.name(&leaf.path)),
                leaf.origin.span,
                here,
            )
            .note(why)
            .help("add `stay 2 of …` to its block")
        });
    }
}
