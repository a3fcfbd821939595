//! A tongue nearly as thick as its panel has no shoulders left to stop on: each takes at least 3 mm.

use super::{TABLE, Tongue, least_wood};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{JointKind, LocalAxis};
use crate::rules::report::{Measured, Report, down, help_with};
use crate::rules::view::View;

struct TongueThick<'v, 'm> {
    view: &'v View<'m>,
    tongue: &'v Tongue<'m>,
    thick: Length,
    limit: Length,
}

/// Holds the thickness of every tongue against its panel less its shoulders.
pub fn check(view: &View, report: &mut Report) {
    for tongue in &super::tongues(view) {
        if tongue.joint.kind != JointKind::Tongue {
            continue;
        }
        let axis = tongue.part.lay.axis(LocalAxis::Thickness).index();
        let low = tongue.wood.iter().map(|b| b.lo[axis]).min();
        let high = tongue.wood.iter().map(|b| b.hi[axis]).max();
        let (Some(low), Some(high)) = (low, high) else {
            continue;
        };
        let thick = high - low;
        let stock = tongue.part.size.thick;
        let shoulders = i64::from(tongue.shoulders > 1) + 1;
        let fact = TongueThick {
            view,
            tongue,
            thick,
            limit: stock - least_wood() * shoulders,
        };
        let arithmetic = if shoulders == 2 {
            format!("{} - 2 x {}", view.plain(stock), view.plain(least_wood()))
        } else {
            format!("{} - {}", view.plain(stock), view.plain(least_wood()))
        };
        let subject = format!(
            "{}, tongue into {}",
            view.label(tongue.part),
            view.tick(tongue.joint.b)
        );
        let measured = Measured::at_most(&code::CUT_TONGUE_THICK, subject, thick, fact.limit)
            .by(format!("{arithmetic} = {}", view.plain(fact.limit)))
            .from(TABLE)
            .lines([tongue.joint.origin.span])
            .of_many();
        let sum = measured.arithmetic.clone();
        report.judge(measured, || fact.diagnostic(&sum));
    }
}

impl TongueThick<'_, '_> {
    fn diagnostic(&self, sum: &str) -> Diagnostic {
        let (view, tongue) = (self.view, self.tongue);
        let part = view.tick(tongue.part.id);
        let diagnostic = Diagnostic::new(
            &code::CUT_TONGUE_THICK,
            format!(
                "the tongue of {part} is {} too thick",
                view.text(self.thick - self.limit)
            ),
            tongue.joint.origin.at("thick"),
            format!("{} thick", view.text(self.thick)),
        )
        .at(
            tongue.part.origin.at("of"),
            format!("{part} measures {}", view.text(tongue.part.size.thick)),
        )
        .note(format!(
            "each shoulder takes at least {}: {sum}",
            view.text(least_wood())
        ));
        help_with(diagnostic, down(view, self.limit), |thick| {
            format!("`tongue thick {thick}`")
        })
    }
}

#[cfg(test)]
mod tests {
    use crate::model::fixture::{id, solid};
    use crate::rules::testing;

    #[test]
    fn thirteen_of_17_6_is_too_thick() {
        let mut model = testing::sound();
        model.pieces[0].parts[id::TOP.0 as usize].cuts[0].solids = vec![
            solid([0, 600], [0, 38600], [0, 230]),
            solid([0, 600], [0, 38600], [1530, 1760]),
        ];
        let cut = &mut model.pieces[0].parts[id::LEFT.0 as usize].cuts[2];
        cut.solids = vec![solid([70470, 71780], [0, 38600], [0, 650])];
        let said = testing::only(&testing::checked(model), "cut.tongue_thick");
        assert_eq!(said.title, "the tongue of `top` is 1.4 mm too thick");
        assert_eq!(
            said.notes,
            ["each shoulder takes at least 3 mm: 17.6 - 2 x 3 = 11.6"]
        );
        assert_eq!(said.help, ["`tongue thick 11mm`"]);
    }
}
