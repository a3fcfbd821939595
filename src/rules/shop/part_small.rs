//! A part so short that hands would come near the blade: it is best worked while it is still part of
//! a longer blank.
//!
//! 150 mm is common practice; the machine's manual has the last word. Strips that can be run in long
//! lengths are (the setups say so) and are cut up after, away from the blade; thin ready-made edging
//! goes over no machine. A strip that must be cut to length before it is grooved or tongued is looked
//! at like any part.

use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::Role;
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

/// Holds the longer extent of every part against 150 mm.
pub fn check(view: &View, report: &mut Report) {
    for part in view.piece.parts.iter().filter(|part| {
        let stocks = &view.model.stocks;
        !part.is_return() && !part.is_tape(stocks) && !part.runs_in_lengths(stocks)
    }) {
        let long = part.size.length.max(part.size.width);
        let limit = Length::mm(150);
        let subject = format!("{}, size at the saw", view.label(part));
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
            .help(if part.role == Role::Band {
                "rip, groove and tongue it in a long length, then cut it off"
            } else {
                "work it as part of a longer blank and cut it off last, with a push stick"
            })
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

    /// A strip 120 long whose tongue runs from end to end is cut from a long length; one whose tongue
    /// starts 20 inside is not.
    #[test]
    fn a_short_strip() {
        use crate::model::Solid;
        let short = |stopped: bool| {
            let mut model = testing::sound();
            let strip = &mut model.pieces[0].parts[id::STRIP_LEFT.0 as usize];
            strip.size.length = dmm(1200);
            for cut in &mut strip.cuts {
                let low = if stopped { 200 } else { 0 };
                cut.solids = cut
                    .solids
                    .iter()
                    .map(|solid| {
                        let Solid::Box(mut b) = solid.clone() else {
                            return solid.clone();
                        };
                        (b.lo[0], b.hi[0]) = (dmm(low), dmm(1200));
                        Solid::Box(b)
                    })
                    .collect();
            }
            let checked = testing::checked(model);
            let said = testing::of(&checked, "shop.part_small");
            said.first().map(|d| d.help.clone())
        };
        assert_eq!(short(false), None);
        let help = short(true).expect("a caution");
        assert!(help[0].contains("long length"), "{help:?}");
    }
}
