//! A part that is joined to nothing and yet carries shelves, a drawer or a front.

use super::{carries, join_line, loose};
use crate::diag::{Diagnostic, code};
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

/// Looks for parts without a joint that something hangs on or lies on.
pub fn check(view: &View, report: &mut Report) {
    let mut clean = true;
    for part in loose(view) {
        let Some(what) = carries(view, part.id) else {
            continue;
        };
        clean = false;
        let name = view.tick(part.id);
        let measured = Measured::none_of(
            &code::JOIN_NONE_CARRIES,
            format!("{}, joints", view.label(part)),
            1,
        )
        .by(format!("it carries {what}"))
        .from("placement rules 1.3")
        .lines([part.origin.span]);
        report.fails(
            measured,
            Diagnostic::new(
                &code::JOIN_NONE_CARRIES,
                format!("{name} carries {what} and is joined to nothing"),
                part.origin.span,
                "no `join` line names it",
            )
            .help(join_line(view, part)),
        );
    }
    if clean {
        let subject = format!(
            "{}, parts that carry and are joined to nothing",
            view.piece.title
        );
        report.holds(
            Measured::none_of(&code::JOIN_NONE_CARRIES, subject, 0).from("placement rules 1.3"),
        );
    }
}

#[cfg(test)]
mod tests {
    use crate::model::fixture::id;
    use crate::rules::testing;

    #[test]
    fn a_side_that_carries_a_shelf() {
        let mut model = testing::sound();
        testing::unjoin(&mut model, id::LEFT);
        let checked = testing::checked(model);
        let said = testing::only(&checked, "join.none_carries");
        assert_eq!(
            said.title,
            "`left` carries the shelves `upper.shelf` and is joined to nothing"
        );
    }
}
