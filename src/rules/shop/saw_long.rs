//! A part of sheet longer or wider than the shop's saw can cut.

use crate::diag::{Diagnostic, code};
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

/// Holds the rough size of every part of sheet against what the saw takes, if that is stated.
pub fn check(view: &View, report: &mut Report) {
    let shop = &view.model.shop;
    let limits = [("long", shop.saw_long), ("wide", shop.saw_wide)];
    for part in view.piece.parts.iter().filter(|part| view.is_sheet(part)) {
        let (length, width) = view.rough_size(part);
        let sizes = [length.max(width), length.min(width)];
        for ((word, limit), figure) in limits.into_iter().zip(sizes) {
            let Some(limit) = limit else {
                continue;
            };
            let subject = format!("{}, rough size at the saw, {word}", view.label(part));
            let measured = Measured::at_most(&code::SHOP_SAW_LONG, subject, figure, limit)
                .by("rough size for breakdown")
                .from(saw(view))
                .lines([part.origin.span])
                .of(part.assembly)
                .of_many();
            report.judge(measured, || {
                Diagnostic::new(
                    &code::SHOP_SAW_LONG,
                    format!("{} is larger than the saw can cut", view.tick(part.id)),
                    part.origin.span,
                    format!("rough {} {word}", view.text(figure)),
                )
                .note(format!(
                    "{} cuts up to {} {word}",
                    saw(view),
                    view.text(limit)
                ))
                .help("break it down with a hand-held saw along a straight edge, and allow this")
            });
        }
    }
}

fn saw(view: &View) -> String {
    let name = view.model.shop.saw.as_deref();
    name.map_or_else(|| "the saw".to_string(), |name| format!("saw `{name}`"))
}

#[cfg(test)]
mod tests {
    use crate::measure::Length;
    use crate::rules::testing;

    #[test]
    fn a_small_saw() {
        let mut model = testing::sound();
        model.shop.saw = Some("bench".into());
        model.shop.saw_long = Some(Length::mm(700));
        let checked = testing::checked(model);
        let said = testing::of(&checked, "shop.saw_long");
        assert_eq!(said[0].title, "`left` is larger than the saw can cut");
        assert_eq!(said[0].notes, ["saw `bench` cuts up to 700 mm long"]);
        assert_eq!(said.len(), 3, "both sides and the back");
    }
}
