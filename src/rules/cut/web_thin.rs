//! A thin web of wood between two cuts of one part: it breaks out when the part is handled.
//!
//! The web is the least distance between the two volumes, corner to corner where they lie aslant,
//! room for glue included. The least is a setting of the shop (1.5 mm, judgement).

use super::pairs::{Pair, reach};
use super::{names, place};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::rules::report::{Measured, Report};
use crate::rules::solids::root_down;
use crate::rules::view::View;

struct Web<'v, 'm> {
    view: &'v View<'m>,
    pair: &'v Pair<'m>,
    web: Length,
    least: Length,
}

/// Holds every web between two cuts against the shop's least.
pub fn check(view: &View, report: &mut Report) {
    let least = view.model.shop.web;
    let mut any = false;
    for pair in view.pairs() {
        if pair.exempt || pair.clash.is_some() || pair.open() || super::housings_meet::speaks(pair)
        {
            continue;
        }
        any = true;
        let fact = Web {
            view,
            pair,
            web: width(view, pair),
            least,
        };
        let [first, second] = names(view, pair.part, pair.first, pair.second);
        let subject = format!(
            "{}, web between {first} and {second}",
            view.label(pair.part)
        );
        let measured = Measured::at_least(&code::CUT_WEB_THIN, subject, fact.web, least)
            .by(fact.sum())
            .from("the shop's least web, placement rules 2.1")
            .lines([pair.first.origin.span, pair.second.origin.span])
            .of(pair.part.assembly)
            .of_many();
        // The squares decide: the printed figure is rounded down.
        if pair.squared < least.as_mm() * least.as_mm() {
            report.fails(measured, fact.diagnostic());
        } else {
            report.holds(measured);
        }
    }
    if !any {
        let subject = format!("{}, webs between cuts", view.piece.title);
        report.holds(
            Measured::at_least(&code::CUT_WEB_THIN, subject, reach(view), least)
                .by("no two cuts come nearer to each other than this")
                .from("the shop's least web, placement rules 2.1"),
        );
    }
}

/// The web as printed: exact where the two lie straight across from each other, else the root
/// rounded down to the printed step.
fn width(view: &View, pair: &Pair) -> Length {
    let apart: Vec<Length> = pair
        .gaps
        .into_iter()
        .filter(|gap| gap.is_positive())
        .collect();
    match apart.as_slice() {
        [one] if one.as_mm() * one.as_mm() == pair.squared => *one,
        _ => root_down(pair.squared, view.units().step()),
    }
}

impl Web<'_, '_> {
    /// How far the two lie apart along each axis, where they lie aslant.
    fn sum(&self) -> String {
        let apart: Vec<String> = self
            .pair
            .gaps
            .iter()
            .filter(|gap| gap.is_positive())
            .map(|gap| self.view.text(*gap))
            .collect();
        match apart.as_slice() {
            [] | [_] => String::new(),
            _ => format!("corner to corner: they lie {} apart", apart.join(" and ")),
        }
    }

    fn diagnostic(&self) -> Diagnostic {
        let (view, pair) = (self.view, self.pair);
        let part = view.tick(pair.part.id);
        let [first, second] = names(view, pair.part, pair.first, pair.second);
        let diagnostic = Diagnostic::new(
            &code::CUT_WEB_THIN,
            format!(
                "in {part}, only {} is left between two cuts",
                view.text(self.web)
            ),
            place(pair.first),
            first,
        )
        .at(place(pair.second), second)
        .note(format!("the shop's least web is {}", view.text(self.least)));
        let sum = self.sum();
        let diagnostic = if sum.is_empty() {
            diagnostic
        } else {
            diagnostic.note(sum)
        };
        diagnostic.help("make one of the two shallower or narrower, or move it away")
    }
}

#[cfg(test)]
mod tests {
    use crate::model::fixture::{cut, id, line, solid};
    use crate::model::{CutKind, LocalAxis, Side};
    use crate::rules::testing;

    /// 1.25 and 0.25 apart: √(1.5625 + 0.0625) = 1.274…, printed 1.2.
    #[test]
    fn a_web_corner_to_corner() {
        let mut model = testing::sound();
        let deck = &mut model.pieces[0].parts[id::DECK.0 as usize];
        let pocket = |l: [i64; 2], t: [i64; 2], n| {
            let mut c = cut(
                CutKind::Notch,
                vec![solid(l, [5000, 9000], t)],
                Side::Face,
                LocalAxis::Width,
                500,
                500,
            );
            c.origin = line(n);
            c
        };
        deck.cuts = vec![
            pocket([20000, 20500], [0, 500], 92),
            pocket([20625, 21000], [525, 1760], 93),
        ];
        let checked = testing::checked(model);
        let said = testing::only(&checked, "cut.web_thin");
        assert_eq!(
            said.title,
            "in `deck`, only 1.2 mm is left between two cuts"
        );
        assert_eq!(
            said.notes[1],
            "corner to corner: they lie ~1.3 mm and ~0.3 mm apart"
        );
    }

    #[test]
    fn cuts_that_touch_in_their_fillers_are_exempt() {
        // The dado for the floor lies 0.25 mm from the edging's groove, but the strip and the floor
        // touch there.
        let checked = testing::checked(testing::sound());
        assert!(testing::of(&checked, "cut.web_thin").is_empty());
    }
}
