//! Housings opposite each other in one part, which between them leave less than 3 mm of it.

use super::pairs::Pair;
use super::{least_wood, names, place};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{Cut, CutKind};
use crate::rules::report::{Measured, Report, down, help_with};
use crate::rules::view::View;
use crate::rules::words;

struct Opposite<'v, 'm> {
    view: &'v View<'m>,
    pair: &'v Pair<'m>,
    left: Length,
}

/// Whether this pair is this rule's to speak of.
pub fn speaks(pair: &Pair) -> bool {
    let housing = |cut: &Cut| {
        matches!(
            cut.kind,
            CutKind::Dado | CutKind::Groove | CutKind::Rabbet | CutKind::Sockets
        )
    };
    pair.opposite()
        && housing(pair.first)
        && housing(pair.second)
        && pair.gaps[pair.first.entry.axis().index()] < least_wood()
}

/// Looks at every pair of opposite housings.
pub fn check(view: &View, report: &mut Report) {
    let mut count = 0;
    for pair in view.pairs().iter().filter(|pair| speaks(pair)) {
        count += 1;
        let left = pair.gaps[pair.first.entry.axis().index()];
        let fact = Opposite { view, pair, left };
        if let [Some(a), Some(b)] = pair.visitors {
            report.tell(a, b);
        }
        let subject = format!("{}, wood between opposite housings", view.label(pair.part));
        let measured = Measured::at_least(&code::CUT_HOUSINGS_MEET, subject, left, least_wood())
            .by(fact.sum())
            .from("placement rules 2.2")
            .lines([pair.first.origin.span, pair.second.origin.span]);
        report.fails(measured, fact.diagnostic());
    }
    if count == 0 {
        let subject = format!("{}, opposite housings that nearly meet", view.piece.title);
        report.holds(
            Measured::none_of(&code::CUT_HOUSINGS_MEET, subject, 0).from("placement rules 2.2"),
        );
    }
}

impl Opposite<'_, '_> {
    fn sum(&self) -> String {
        let (view, pair) = (self.view, self.pair);
        let stock = pair.part.size.along(pair.first.entry.axis());
        format!(
            "{} - {} - {} = {}",
            view.plain(stock),
            view.plain(pair.first.depth),
            view.plain(pair.second.depth),
            view.plain(self.left)
        )
    }

    fn diagnostic(&self) -> Diagnostic {
        let (view, pair) = (self.view, self.pair);
        let part = view.tick(pair.part.id);
        let [first, second] = names(view, pair.part, pair.first, pair.second);
        let title = if self.left.is_positive() {
            format!(
                "{first} and {second} leave {} of {part}",
                view.text(self.left)
            )
        } else {
            format!("{first} and {second} meet in {part}")
        };
        let stock = pair.part.size.along(pair.first.entry.axis());
        let rooms = pair.first.relief + pair.second.relief;
        let most = (stock - least_wood() - rooms).half();
        let diagnostic = Diagnostic::new(
            &code::CUT_HOUSINGS_MEET,
            title,
            place(pair.first),
            format!(
                "{} deep with its room for glue",
                view.text(pair.first.depth)
            ),
        )
        .at(
            place(pair.second),
            format!("{} deep from the other face", view.text(pair.second.depth)),
        )
        .at(
            pair.part.origin.at("of"),
            format!("{part} measures {}", view.text(stock)),
        )
        .note(self.sum())
        .note(format!(
            "at least {} must stay between them",
            view.text(least_wood())
        ));
        let kind = view.joint_kind(pair.first).map_or("dado", words::joint);
        help_with(diagnostic, down(view, most), |deep| {
            format!("`{kind} deep {deep}` on both sides, or set the two at different heights")
        })
    }
}

#[cfg(test)]
mod tests {
    use crate::model::fixture::{id, line, solid};
    use crate::model::{JointId, Side};
    use crate::rules::testing;

    /// 17.6 - 6.5 - 10 = 1.1.
    #[test]
    fn from_both_faces() {
        let mut model = testing::sound();
        let side = &mut model.pieces[0].parts[id::LEFT.0 as usize];
        let mut other = side.cuts[1].clone();
        other.entry = Side::Reverse;
        other.solids = vec![solid([40000, 41770], [2000, 38600], [760, 1760])];
        other.depth = crate::model::fixture::dmm(100);
        other.joint = Some(JointId(0));
        other.filler = Some(id::FLOOR);
        other.origin = line(91);
        side.cuts.push(other);
        let checked = testing::checked(model);
        let said = testing::of(&checked, "cut.housings_meet");
        assert_eq!(said[0].notes[0], "17.6 - 6.5 - 10 = 1.1");
        assert!(testing::of(&checked, "cut.cuts_meet").is_empty());
    }
}
