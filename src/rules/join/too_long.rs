//! A screw or nail that comes out of what holds it, or a biscuit, dowel, loose tenon or button whose
//! hole goes through a face.

use super::{CONNECTORS, Connector, connectors, driven};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{Cut, CutKind, HardwareKind, Part};
use crate::rules::cut::least_wood;
use crate::rules::report::{Measured, Report, down, help_with};
use crate::rules::view::View;

/// Holds the reach of every connector against the wood that takes it up.
pub fn check(view: &View, report: &mut Report) {
    for screw in driven(view) {
        let joint = screw.connector.joint;
        let subject = format!(
            "{}, point of {}",
            view.label(screw.holder),
            screw.connector.name
        );
        let limit = screw.passed() + screw.held() - view.units().step();
        let measured = Measured::at_most(&code::JOIN_TOO_LONG, subject, screw.long, limit)
            .by(format!(
                "{} + {}",
                view.plain(screw.passed()),
                view.plain(screw.held())
            ))
            .from(CONNECTORS)
            .lines([joint.origin.span])
            .of_many();
        report.judge(measured, || {
            let holder = view.tick(screw.holder.id);
            let diagnostic = Diagnostic::new(
                &code::JOIN_TOO_LONG,
                format!("`{}` comes out of {holder}", screw.connector.name),
                joint.origin.at("with"),
                format!("{} long", view.text(screw.long)),
            )
            .at(
                screw.holder.origin.span,
                format!("{} to hold it", view.text(screw.held())),
            )
            .note(format!(
                "{} - {} = {} in {holder}, which has {}",
                view.plain(screw.long),
                view.plain(screw.passed()),
                view.plain(screw.bite()),
                view.plain(screw.held())
            ));
            let most = screw.passed() + screw.held() - Length::mm(3);
            help_with(diagnostic, down(view, most), |long| {
                format!("one at most {long} long")
            })
        });
    }
    for connector in connectors(view) {
        for id in [connector.joint.a, connector.joint.b] {
            let part = view.part(id);
            if let HardwareKind::Biscuit { wide, .. } = connector.kind {
                biscuit(view, report, &connector, part, wide.half());
            } else {
                hole(view, report, &connector, part);
            }
        }
    }
}

/// The hole of a dowel, the mortise of a loose tenon, the slot of a button.
fn hole(view: &View, report: &mut Report, connector: &Connector, part: &Part) {
    let own = |cut: &&Cut| cut.joint == Some(connector.joint.id);
    let found = part.cuts.iter().filter(own).find_map(|cut| {
        Some(match cut.kind {
            CutKind::DowelHole => (cut, "hole"),
            CutKind::LooseMortise => (cut, "mortise"),
            CutKind::ButtonSlot => (cut, "slot"),
            _ => return None,
        })
    });
    let Some((cut, what)) = found else { return };
    let wood = part.size.along(cut.entry.axis());
    let limit = wood - least_wood();
    let subject = format!("{}, {what} for {}", view.label(part), connector.name);
    let measured = Measured::at_most(&code::JOIN_TOO_LONG, subject, cut.depth, limit)
        .by(format!(
            "{} - {}",
            view.plain(wood),
            view.plain(least_wood())
        ))
        .from(CONNECTORS)
        .lines([connector.joint.origin.span])
        .of_many();
    report.judge(measured, || {
        let name = view.tick(part.id);
        let goes = if cut.depth < wood {
            "nearly goes"
        } else {
            "goes"
        };
        Diagnostic::new(
            &code::JOIN_TOO_LONG,
            format!("the {what} for `{}` {goes} through {name}", connector.name),
            connector.joint.origin.at("with"),
            format!("{} deep", view.text(cut.depth)),
        )
        .at(
            part.origin.at("of"),
            format!("{name} has {} there", view.text(wood)),
        )
        .note(format!(
            "at least {} must stay under it",
            view.text(least_wood())
        ))
        .help("shorter ones, or a thicker part")
    });
}

fn biscuit(view: &View, report: &mut Report, connector: &Connector, part: &Part, half: Length) {
    let wood = part.core.extent(connector.axis);
    let limit = wood - least_wood();
    let subject = format!("{}, slot of {}", view.label(part), connector.name);
    let measured = Measured::at_most(&code::JOIN_TOO_LONG, subject, half, limit)
        .by(format!(
            "{} - {}",
            view.plain(wood),
            view.plain(least_wood())
        ))
        .from(CONNECTORS)
        .lines([connector.joint.origin.span])
        .of_many();
    report.judge(measured, || {
        let name = view.tick(part.id);
        Diagnostic::new(
            &code::JOIN_TOO_LONG,
            format!(
                "the slot of `{}` nearly goes through {name}",
                connector.name
            ),
            connector.joint.origin.at("with"),
            format!("half of it is {} wide", view.text(half)),
        )
        .at(
            part.origin.at("of"),
            format!("{name} has {} there", view.text(wood)),
        )
        .note(format!(
            "at least {} must stay under the slot",
            view.text(least_wood())
        ))
        .help("a smaller biscuit, or dowels")
    });
}

#[cfg(test)]
mod tests {
    use crate::rules::testing;

    /// The floor is 576.8 long between the ends that enter: a screw of a metre comes out.
    #[test]
    fn a_metre() {
        let model = testing::with_screws(10_000);
        let said = testing::only(&testing::checked(model), "join.too_long");
        assert_eq!(said.title, "`screw` comes out of `floor`");
    }

    /// Half of 32 is 16; 17.6 - 3 = 14.6.
    #[test]
    fn a_wide_biscuit_in_a_face() {
        let mut model = testing::with_screws(350);
        testing::make_biscuit(&mut model, 560, 320);
        let said = testing::only(&testing::checked(model), "join.too_long");
        assert_eq!(said.title, "the slot of `screw` nearly goes through `left`");
    }
}
