//! A part so short that hands would come near the blade: it is best worked while it is still part of
//! a longer blank.
//!
//! 150 mm is common practice; the machine's manual has the last word. Strips of edging are not looked
//! at: they are cut to length by hand.

use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::Role;
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

/// Holds the longer extent of every part against 150 mm.
pub fn check(view: &View, report: &mut Report) {
    for part in view
        .piece
        .parts
        .iter()
        .filter(|part| part.role != Role::Band)
    {
        let long = part.size.length.max(part.size.width);
        let limit = Length::mm(150);
        let subject = format!("{}, size at the saw", part.label);
        let measured = Measured::at_least(&code::SHOP_PART_SMALL, subject, long, limit)
            .from("common practice; the machine's manual decides")
            .lines([part.origin.span])
            .of_many();
        report.judge(measured, || {
            Diagnostic::new(
                &code::SHOP_PART_SMALL,
                format!(
                    "{} is too small to be cut safely on its own",
                    view.tick(part.id)
                ),
                part.origin.span,
                format!("{} the longer way", view.text(long)),
            )
            .note(format!(
                "under {} hands come near the blade",
                view.text(limit)
            ))
            .help("work it as part of a longer blank and cut it off last, with a push stick")
        });
    }
}

#[cfg(test)]
mod tests {
    use crate::model::fixture::{dmm, id};
    use crate::rules::testing;

    #[test]
    fn a_scrap() {
        let mut model = testing::sound();
        let shelf = &mut model.pieces[0].parts[id::SHELF.0 as usize];
        shelf.size.length = dmm(1200);
        shelf.size.width = dmm(800);
        let checked = testing::checked(model);
        assert_eq!(testing::of(&checked, "shop.part_small").len(), 1);
    }
}
