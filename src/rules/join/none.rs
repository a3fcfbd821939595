//! A part that is joined, fixed or banded to nothing: nothing holds it in the piece.

use super::{carries, loose};
use crate::diag::{Diagnostic, code};
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

/// Looks for parts of cases and drawers without a joint that carry nothing (those that do are the
/// error `join.none_carries`), and for loose shelves that lie on nothing.
pub fn check(view: &View, report: &mut Report) {
    let mut clean = true;
    for part in loose(view) {
        clean = false;
        if carries(view, part.id).is_some() {
            continue;
        }
        let measured = Measured::none_of(&code::JOIN_NONE, format!("{}, joints", part.label), 1)
            .by("parts without a joint")
            .from("placement rules 1.3")
            .lines([part.origin.span]);
        let name = view.tick(part.id);
        report.fails(
            measured,
            Diagnostic::new(
                &code::JOIN_NONE,
                format!("{name} is joined to nothing"),
                part.origin.span,
                "no `join` line names it",
            )
            .help(format!("`join {} into …` or `to …`", view.name(&part.path))),
        );
    }
    for set in view.piece.shelves.iter().filter(|set| set.pins.is_none()) {
        clean = false;
        let name = view.name(&set.path);
        let subject = format!("{}, pins", crate::rules::fit::label(view, &set.path));
        let measured = Measured::none_of(&code::JOIN_NONE, subject, 1)
            .by("loose shelves without pins")
            .from("adjustable shelves, placement rules 2.6")
            .lines([set.origin.span]);
        report.fails(
            measured,
            Diagnostic::new(
                &code::JOIN_NONE,
                format!("nothing carries the shelves `{name}`"),
                set.origin.span,
                "no `pins` in its block",
            )
            .help("add a line `pins 4 of … pitch … set_back …`"),
        );
    }
    if clean {
        let subject = format!("{}, parts joined to nothing", view.piece.title);
        report.holds(
            Measured::none_of(&code::JOIN_NONE, subject, 0)
                .by(format!("{} joints", view.piece.joints.len()))
                .from("placement rules 1.3"),
        );
    }
}

#[cfg(test)]
mod tests {
    use crate::model::fixture::id;
    use crate::rules::testing;

    #[test]
    fn a_deck_without_its_joints() {
        let mut model = testing::sound();
        testing::unjoin(&mut model, id::DECK);
        let said = testing::only(&testing::checked(model), "join.none");
        assert_eq!(said.title, "`deck` is joined to nothing");
    }
}
