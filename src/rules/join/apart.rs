//! A joint whose parts do not meet: their nominal faces must touch over some area, and so must what is
//! left of them when all is cut.
//!
//! Elaboration refuses such a joint where it reads it; this proves it of the finished model.

use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{Axis, Joint, Part, PartId};
use crate::rules::report::{Measured, Report};
use crate::rules::solids::{self, is_area};
use crate::rules::view::View;

/// Looks at the meeting faces of every joint.
pub fn check(view: &View, report: &mut Report) {
    for joint in &view.piece.joints {
        let (a, b) = (view.part(joint.a), view.part(joint.b));
        let apart = apart(joint, a, b);
        let subject = format!("{} and {}, their meeting", view.label(a), view.label(b));
        let measured = Measured::at_most(&code::JOIN_APART, subject, apart, Length::ZERO)
            .from("placement rules 1.1")
            .lines([joint.origin.span])
            .of_many();
        let on_area = is_area(&joint.contact);
        if on_area && apart.is_zero() && touch(view, a, b) {
            report.holds(measured);
            continue;
        }
        let (name, other) = (view.tick(a.id), view.tick(b.id));
        let diagnostic = Diagnostic::new(
            &code::JOIN_APART,
            format!("{name} and {other} do not meet"),
            joint.origin.span,
            "joined here",
        )
        .at(a.origin.span, name)
        .at(b.origin.span, other)
        .note(if apart.is_positive() {
            format!("they are {} apart", view.text(apart))
        } else if on_area {
            "once all is cut, no face of one lies on the other".to_string()
        } else {
            "they touch along a line or at a corner only".to_string()
        })
        .help("move one until their faces lie on each other");
        report.fails(measured, diagnostic);
    }
}

/// Whether as cut, and with their edging, the two lie on each other over some area.
fn touch(view: &View, a: &Part, b: &Part) -> bool {
    let with_strips = |part: &Part| -> Vec<PartId> {
        let strips = part.bands.iter().map(|band| band.strip);
        std::iter::once(part.id).chain(strips).collect()
    };
    let yours = with_strips(b);
    with_strips(a)
        .into_iter()
        .any(|one| yours.iter().any(|other| solids::touch(view, one, *other)))
}

/// How far the two parts are from the plane on which the joint says they meet; zero if both reach it.
fn apart(joint: &Joint, a: &Part, b: &Part) -> Length {
    let far = |part: &Part, axis: Axis| {
        let i = axis.index();
        let below = joint.contact.lo[i] - part.finished.hi[i].max(part.core.hi[i]);
        let above = part.finished.lo[i].min(part.core.lo[i]) - joint.contact.hi[i];
        below.max(above).max(Length::ZERO)
    };
    Axis::ALL
        .into_iter()
        .flat_map(|axis| [far(a, axis), far(b, axis)])
        .max()
        .unwrap_or(Length::ZERO)
}

#[cfg(test)]
mod tests {
    use crate::model::fixture::{box3, id};
    use crate::rules::testing;

    #[test]
    fn a_deck_that_stops_short() {
        let mut model = testing::sound();
        let piece = &mut model.pieces[0];
        piece.joints[2].contact = box3([176, 176], [280, 3940], [4000, 4176]);
        let deck = &mut piece.parts[id::DECK.0 as usize];
        deck.core.lo[0] = crate::model::fixture::dmm(200);
        deck.finished.lo[0] = deck.core.lo[0];
        let checked = testing::checked(model);
        let said = testing::of(&checked, "join.apart");
        assert_eq!(said[0].title, "`deck` and `left` do not meet");
        assert_eq!(said[0].notes, ["they are 2.4 mm apart"]);
    }
}
