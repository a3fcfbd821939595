//! A housing, groove or rabbet that runs out in sight: its outline, and the end of what goes in,
//! show at an edge that no strip covers.

use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{AssemblyKind, Cut, CutKind, Edge, JointKind, Part, PartId, Side};
use crate::rules::cut::{name, place};
use crate::rules::report::{Measured, Report, help_with, up};
use crate::rules::view::View;
use crate::sight::{Facet, Fronts, bounds};

struct RunsOut<'v, 'm> {
    view: &'v View<'m>,
    part: &'m Part,
    cut: &'m Cut,
    edge: Edge,
    wide: Length,
}

/// Looks at both ends of every housing.
pub fn check(view: &View, report: &mut Report) {
    let mut looked = 0;
    let mut clean = true;
    for part in &view.piece.parts {
        if matches!(view.kind(part), AssemblyKind::Drawer) {
            continue;
        }
        for cut in &part.cuts {
            let housing = matches!(cut.kind, CutKind::Dado | CutKind::Groove | CutKind::Rabbet);
            // What shows at the end of an edging is the edge beside it: `show.bare_edge` speaks of that.
            if !housing || matches!(view.joint_kind(cut), None | Some(JointKind::Edging)) {
                continue;
            }
            for (far, stopped) in [(false, cut.stopped[0]), (true, cut.stopped[1])] {
                if stopped {
                    continue;
                }
                looked += 1;
                let Some((edge, wide)) = mouth(view, part, cut, far) else {
                    continue;
                };
                clean = false;
                let fact = RunsOut {
                    view,
                    part,
                    cut,
                    edge,
                    wide,
                };
                let subject = format!(
                    "{}, {} at the {}",
                    view.label(part),
                    name(view, part, cut),
                    edge.word()
                );
                let measured = Measured::at_most(&code::SHOW_HOUSING, subject, wide, Length::ZERO)
                    .by("width of the mouth in sight")
                    .from("placement rules 2.1")
                    .lines([cut.origin.span, part.origin.span])
                    .of(part.assembly);
                report.fails(measured, fact.diagnostic());
            }
        }
    }
    if clean {
        let subject = format!("{}, housings that run out in sight", view.piece.title);
        report.holds(
            Measured::none_of(&code::SHOW_HOUSING, subject, 0)
                .by(format!("{looked} open ends looked at"))
                .from("placement rules 2.1"),
        );
    }
}

/// Where and how wide the mouth of a cut shows at one end of its run; `None` if it does not.
fn mouth(view: &View, part: &Part, cut: &Cut, far: bool) -> Option<(Edge, Length)> {
    let side = Side::ALL
        .into_iter()
        .find(|side| side.axis() == cut.along && side.is_far() == far)?;
    let band = part.band_on(side);
    if band.is_some_and(|band| !band.early) {
        return None;
    }
    let aside: Vec<PartId> = band.map(|band| band.strip).into_iter().collect();
    let edge = part.lay.looks(side);
    let reaches = |place: Length, to: Length| {
        if edge.is_high() {
            place >= to
        } else {
            place <= to
        }
    };
    let mut region = part.to_piece(&cut.bounds());
    if !reaches(region.face(edge), part.core.face(edge)) {
        return None;
    }
    // Through a strip that was put on early the cut runs out at the strip's face.
    let surface = if band.is_some() {
        part.finished.face(edge)
    } else {
        part.core.face(edge)
    };
    region.set_face(edge, surface);
    region.set_face(edge.opposite(), surface);
    let mouth = Facet::of_side(&region, edge);
    let sight = view.sight();
    // What does not fit a number is told where parts share space.
    let seen = sight.seen(part, &mouth, Fronts::Open, &aside, Length::mm(1));
    let seen = seen.map(|split| split.free).unwrap_or_default();
    let wide = seen
        .iter()
        .map(bounds)
        .flat_map(|b| crate::model::Axis::ALL.map(|axis| (axis, b.extent(axis))))
        .filter(|(axis, _)| *axis != edge.axis())
        .map(|(_, extent)| extent)
        .max()?;
    Some((edge, wide))
}

impl RunsOut<'_, '_> {
    fn diagnostic(&self) -> Diagnostic {
        let (view, part) = (self.view, self.part);
        let (what, host) = (name(view, part, self.cut), view.tick(part.id));
        let edge = self.edge.word();
        let diagnostic = Diagnostic::new(
            &code::SHOW_HOUSING,
            format!("{what} runs out at the {edge} of {host}"),
            place(self.cut),
            "cut right through to the edge",
        )
        .at(
            part.origin.span,
            format!("its {edge} edge shows and has no edging"),
        )
        .note(format!("{} of the cut show", view.text(self.wide)));
        let slides = self.cut.joint.map(|id| view.joint(id).open_to.is_some());
        let diagnostic = if slides == Some(true) {
            diagnostic.help(format!(
                "`open_to {}` on this joint",
                self.edge.opposite().word()
            ))
        } else {
            help_with(diagnostic, up(view, Length::mm(10)), |by| {
                format!("`stopped {by} on {edge}` on this joint")
            })
        };
        diagnostic.help(format!("{} covers it", view.band_line(part, self.edge)))
    }
}

#[cfg(test)]
mod tests {
    use crate::model::fixture::{cabinet, id};
    use crate::rules::testing;

    /// In the fixture the rabbets for the back run out at the sides' upper ends.
    #[test]
    fn a_rabbet_through_the_top() {
        let checked = testing::checked(cabinet());
        let said = testing::of(&checked, "show.housing");
        assert_eq!(said.len(), 1, "both hands are one mistake");
        assert_eq!(
            said[0].title,
            "the rabbet for `back` runs out at the top of `left`"
        );
        assert_eq!(said[0].help[0], "`stopped 10mm on top` on this joint");
    }

    #[test]
    fn a_dado_without_a_strip_in_front_of_it() {
        let mut model = testing::sound();
        testing::unband(&mut model, id::LEFT);
        let checked = testing::checked(model);
        let said = testing::of(&checked, "show.housing");
        assert_eq!(
            said[0].title,
            "the dado for `floor` runs out at the front of `left`"
        );
    }
}
