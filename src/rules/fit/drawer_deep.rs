//! A drawer, or its runner, deeper than the case: the back was forgotten, or an inset face.

use super::{DRAWERS, inset_face, label, runner};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{Axis, Drawer, Edge, LeafKind};
use crate::rules::report::{Measured, Report, down, help_with};
use crate::rules::view::View;

struct Deep<'v, 'm> {
    view: &'v View<'m>,
    drawer: &'m Drawer,
    /// Thickness of an inset face in front of the box.
    face: Length,
    /// The deeper of box and runner, and which.
    deep: Length,
    what: &'static str,
    rear: Length,
    clear: Length,
}

/// Holds face, box or runner, and the room behind against the clear depth.
pub fn check(view: &View, report: &mut Report) {
    for drawer in &view.piece.drawers {
        let opening = view.piece.opening(drawer.opening);
        // Behind a face frame a box may begin in front of the clear space.
        let start = drawer.outside.lo[1].min(opening.clear.lo[1]);
        let face = inset_face(view, drawer)
            .filter(|leaf| leaf.kind == LeafKind::DrawerFace)
            .map_or(Length::ZERO, |leaf| view.piece.leaf_box(leaf).hi[1] - start);
        let own = drawer.outside.extent(Axis::Y);
        let (deep, what, rear) = match runner(view, drawer) {
            Some((runner, _, _)) if runner.long >= own => (runner.long, "runner", runner.rear),
            Some((runner, _, _)) => (own, "box", runner.rear),
            None => (own, "box", Length::ZERO),
        };
        let clear = opening.clear.hi[1] - start;
        let fact = Deep {
            view,
            drawer,
            face,
            deep,
            what,
            rear,
            clear,
        };
        let subject = format!("{}, depth with its {what}", label(view, &drawer.path));
        let measured = Measured::at_most(&code::FIT_DRAWER_DEEP, subject, fact.needed(), clear)
            .by(fact.sum())
            .from(DRAWERS)
            .lines([drawer.origin.span, opening.origin.span]);
        if !measured.holds() {
            super::tell(view, report, drawer);
        }
        report.judge(measured, || fact.diagnostic());
    }
}

impl Deep<'_, '_> {
    fn needed(&self) -> Length {
        self.face + self.deep + self.rear
    }

    fn sum(&self) -> String {
        let view = self.view;
        let mut terms = Vec::new();
        if !self.face.is_zero() {
            terms.push(format!("{} (inset face)", view.plain(self.face)));
        }
        terms.push(format!("{} ({})", view.plain(self.deep), self.what));
        if !self.rear.is_zero() {
            terms.push(format!("{} (behind it)", view.plain(self.rear)));
        }
        format!("{} = {}", terms.join(" + "), view.plain(self.needed()))
    }

    fn diagnostic(&self) -> Diagnostic {
        let (view, drawer) = (self.view, self.drawer);
        let opening = view.piece.opening(drawer.opening);
        let back = opening
            .bounds
            .iter()
            .find(|(edge, _)| *edge == Edge::Rear)
            .map(|(_, part)| *part);
        let clause = if self.what == "runner" {
            "runner"
        } else {
            "deep"
        };
        let diagnostic = Diagnostic::new(
            &code::FIT_DRAWER_DEEP,
            format!(
                "drawer `{}` is {} too deep for `{}`",
                view.name(&drawer.path),
                view.text(self.needed() - self.clear),
                view.name(&opening.path)
            ),
            drawer.origin.at(clause),
            format!("the {} is {} deep", self.what, view.text(self.deep)),
        );
        let diagnostic = match back {
            Some(back) => diagnostic.at(
                view.part(back).origin.span,
                format!(
                    "clear depth {} in front of {}",
                    view.text(self.clear),
                    view.tick(back)
                ),
            ),
            None => diagnostic.at(
                opening.origin.span,
                format!("clear depth {}", view.text(self.clear)),
            ),
        };
        let diagnostic = diagnostic.note(self.sum());
        let most = self.clear - self.face - self.rear;
        if self.what == "runner" {
            help_with(diagnostic, down(view, most), |long| {
                format!("a runner at most {long} long, or a deeper case")
            })
        } else {
            help_with(diagnostic, down(view, most), |deep| {
                format!("`deep {deep}` at most")
            })
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::rules::testing;

    /// 394 between front plane and back.
    #[test]
    fn the_back_forgotten() {
        let mut model = testing::with_drawer();
        testing::set_runner_long(&mut model, 4000);
        testing::resize_drawer(&mut model, [5394, 4000, 1000]);
        let said = testing::only(&testing::checked(model), "fit.drawer_deep");
        assert_eq!(said.title, "drawer `tray` is 6 mm too deep for `lower`");
        assert_eq!(said.labels[1].text, "clear depth 394 mm in front of `back`");
        assert_eq!(said.notes, ["400 (runner) = 400"]);
    }
}
