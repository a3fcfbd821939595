//! A cut that shaves a tongue: the wood that one joint holds by is taken away for another.
//!
//! The two parts share no space then, so that the overlap proof cannot see it: a rabbet for the back
//! that runs out over the tongue on a side's end is the usual case.

use super::{Tongue, place};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{Box3, Cut, LocalAxis, Solid};
use crate::rules::report::{Measured, Report, help_with, up};
use crate::rules::view::View;
use crate::rules::words;

struct Shaved<'v, 'm> {
    view: &'v View<'m>,
    tongue: &'v Tongue<'m>,
    cut: &'m Cut,
    gone: Box3,
}

/// Looks for cuts of one joint in the tongue of another.
pub fn check(view: &View, report: &mut Report) {
    for tongue in &super::tongues(view) {
        let found = tongue
            .part
            .cuts
            .iter()
            .filter(|cut| cut.joint != Some(tongue.joint.id))
            .find_map(|cut| {
                gone(tongue, cut).map(|gone| Shaved {
                    view,
                    tongue,
                    cut,
                    gone,
                })
            });
        let subject = format!(
            "{}, tongue into {}",
            view.label(tongue.part),
            view.tick(tongue.joint.b)
        );
        let measured =
            Measured::none_of(&code::CUT_TONGUE_CUT, subject, usize::from(found.is_some()))
                .by("cuts of other joints in the tongue")
                .from("placement rules 4")
                .lines([tongue.joint.origin.span])
                .of_many();
        match found {
            Some(shaved) => report.fails(measured, shaved.diagnostic()),
            None => report.holds(measured),
        }
    }
}

fn gone(tongue: &Tongue, cut: &Cut) -> Option<Box3> {
    cut.solids
        .iter()
        .map(Solid::bounds)
        .map(|b| tongue.part.to_piece(&b))
        .flat_map(|b| tongue.wood.iter().filter_map(move |wood| wood.meet(&b)))
        .find(|shared| !shared.is_empty())
}

impl Shaved<'_, '_> {
    fn diagnostic(&self) -> Diagnostic {
        let (view, tongue) = (self.view, self.tongue);
        let part = tongue.part;
        let joint = tongue.joint;
        let what = super::name(view, part, self.cut);
        let (name, b) = (view.tick(part.id), view.tick(joint.b));
        let thick = part.lay.axis(LocalAxis::Thickness);
        let entry = view.toward(joint).axis();
        // Along the joint: how much of the tongue would have to stop short.
        let run = along_joint(entry, thick);
        let from = if self.gone.middle(run) < part.core.middle(run) {
            run.low()
        } else {
            run.high()
        };
        let short = (self.gone.face(from.opposite()) - part.core.face(from)).abs();
        let clear = short + Length::mm(2);
        let diagnostic = Diagnostic::new(
            &code::CUT_TONGUE_CUT,
            format!("{what} shaves the tongue of {name} into {b}"),
            joint.origin.at("with"),
            "this tongue is cut into",
        )
        .at(place(self.cut), "by this cut")
        .note(format!(
            "{} of the tongue's {} goes over {} at the {}",
            view.text(self.gone.extent(thick)),
            view.text(extent(tongue, thick)),
            view.text(self.gone.extent(run)),
            from.word()
        ))
        .note("the parts share no space, but the tongue is weaker there than it looks");
        help_with(diagnostic, up(view, clear), |by| {
            format!(
                "`stopped {by} on {}` after this `{}`",
                from.word(),
                words::joint(joint.kind)
            )
        })
    }
}

fn along_joint(entry: crate::model::Axis, thick: crate::model::Axis) -> crate::model::Axis {
    entry.third(thick)
}

fn extent(tongue: &Tongue, axis: crate::model::Axis) -> Length {
    let i = axis.index();
    let low = tongue
        .wood
        .iter()
        .map(|b| b.lo[i])
        .min()
        .unwrap_or(Length::ZERO);
    let high = tongue
        .wood
        .iter()
        .map(|b| b.hi[i])
        .max()
        .unwrap_or(Length::ZERO);
    high - low
}

#[cfg(test)]
mod tests {
    use crate::model::fixture::{cut, id, solid};
    use crate::model::{CutKind, JointId, LocalAxis, Side};
    use crate::rules::testing;

    /// The tongue stands 5.8 to 11.8 from the top's upper face; a rabbet that leaves 8 mm takes 3.8.
    #[test]
    fn a_backs_rabbet_over_the_tops_tongue() {
        let mut model = testing::sound();
        let mut rabbet = cut(
            CutKind::Rabbet,
            vec![solid([0, 57680], [38000, 38600], [800, 1760])],
            Side::Reverse,
            LocalAxis::Length,
            600,
            960,
        );
        rabbet.joint = Some(JointId(6));
        rabbet.filler = Some(id::BACK);
        model.pieces[0].parts[id::TOP.0 as usize].cuts.push(rabbet);
        let checked = testing::checked(model);
        let said = testing::of(&checked, "cut.tongue_cut");
        assert_eq!(
            said[0].title,
            "the rabbet for `back` shaves the tongue of `top` into `left`"
        );
        assert_eq!(
            said[0].notes[0],
            "3.8 mm of the tongue's 6 mm goes over 6 mm at the rear"
        );
        assert_eq!(said[0].help, ["`stopped 8mm on rear` after this `tongue`"]);
    }
}
