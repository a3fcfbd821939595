//! Connectors that do not fit where they sit: past the end of the meeting, into each other, or in
//! stock too thin for their slot.

use super::{CONNECTORS, Connector, connectors};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{Axis, HardwareKind};
use crate::rules::cut::least_wood;
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

struct NoRoom<'v, 'm> {
    view: &'v View<'m>,
    connector: &'v Connector<'m>,
    what: &'static str,
    have: Length,
    need: Length,
}

/// Holds the room of every connector along the meeting, between two, and across the meeting.
pub fn check(view: &View, report: &mut Report) {
    for connector in &connectors(view) {
        let Some((long, thick)) = sizes(connector) else {
            continue;
        };
        for fact in rooms(view, connector, long, thick) {
            let subject = format!(
                "{}, room for {} {}",
                view.label(view.part(connector.joint.a)),
                connector.name,
                fact.what
            );
            let measured = Measured::at_least(&code::JOIN_NO_ROOM, subject, fact.have, fact.need)
                .from(CONNECTORS)
                .lines([connector.joint.origin.span])
                .of_many();
            if !measured.holds() {
                report.fails(measured, fact.diagnostic());
                break;
            }
            report.holds(measured);
        }
    }
}

/// What a connector takes up along the meeting, and across it with the cheeks of its slot.
fn sizes(connector: &Connector) -> Option<(Length, Option<Length>)> {
    match connector.kind {
        HardwareKind::Biscuit { long, thick, .. } => Some((*long, Some(*thick + least_wood() * 2))),
        HardwareKind::Screw { thick, .. } | HardwareKind::Bolt { thick, .. } => {
            Some((*thick, Some(*thick * 2)))
        }
        HardwareKind::Dowel { thick, .. } => Some((*thick, Some(*thick + least_wood() * 2))),
        HardwareKind::LooseTenon { wide, thick, .. } => {
            Some((*wide, Some(*thick + least_wood() * 2)))
        }
        HardwareKind::Button { wide, .. } => Some((*wide, None)),
        HardwareKind::Nail { thick, .. } => Some((thick.unwrap_or(Length::mm(1)), None)),
        HardwareKind::Hinge(_)
        | HardwareKind::Runner(_)
        | HardwareKind::Pin { .. }
        | HardwareKind::Pull { .. }
        | HardwareKind::Catch
        | HardwareKind::Lock
        | HardwareKind::Stay { .. }
        | HardwareKind::Foot
        | HardwareKind::Strap => None,
    }
}

fn rooms<'v, 'm>(
    view: &'v View<'m>,
    connector: &'v Connector<'m>,
    long: Length,
    across: Option<Length>,
) -> Vec<NoRoom<'v, 'm>> {
    let contact = &connector.joint.contact;
    let [run, other] = ways(connector);
    let i = run.index();
    let fact = |what, have, need| NoRoom {
        view,
        connector,
        what,
        have,
        need,
    };
    let mut places: Vec<Length> = connector.fastening.places.iter().map(|p| p[i]).collect();
    places.sort_unstable();
    let mut found = Vec::new();
    if let (Some(first), Some(last)) = (places.first(), places.last()) {
        let have = (*first - contact.lo[i]).min(contact.hi[i] - *last);
        found.push(fact("to the end of the meeting", have, long.half()));
    }
    if let Some(least) = places.windows(2).map(|w| w[1] - w[0]).min() {
        found.push(fact("beside the next", least, long));
    }
    if let Some(across) = across {
        found.push(fact("across the meeting", contact.extent(other), across));
    }
    found
}

/// The longer and the shorter way of the meeting.
fn ways(connector: &Connector) -> [Axis; 2] {
    let contact = &connector.joint.contact;
    let mut ways = Axis::ALL.into_iter().filter(|axis| *axis != connector.axis);
    let (first, second) = (
        ways.next().unwrap_or(Axis::X),
        ways.next().unwrap_or(Axis::Y),
    );
    if contact.extent(first) >= contact.extent(second) {
        [first, second]
    } else {
        [second, first]
    }
}

impl NoRoom<'_, '_> {
    fn diagnostic(&self) -> Diagnostic {
        let (view, connector) = (self.view, self.connector);
        let joint = connector.joint;
        let (a, b) = (view.tick(joint.a), view.tick(joint.b));
        let [run, _] = ways(connector);
        Diagnostic::new(
            &code::JOIN_NO_ROOM,
            format!("`{}` has no room between {a} and {b}", connector.name),
            joint.origin.at("with"),
            format!("{} of them", connector.fastening.places.len()),
        )
        .note(format!(
            "{}: {} there, {} needed",
            self.what,
            view.text(self.have),
            view.text(self.need)
        ))
        .note(format!(
            "the two meet over {}",
            view.text(joint.contact.extent(run))
        ))
        .help("fewer or smaller connectors, or `from_ends` to move them")
    }
}

#[cfg(test)]
mod tests {
    use crate::rules::testing;

    #[test]
    fn a_biscuit_longer_than_the_meeting() {
        let mut model = testing::with_screws(350);
        testing::make_biscuit(&mut model, 4000, 230);
        let said = testing::only(&testing::checked(model), "join.no_room");
        assert_eq!(said.title, "`screw` has no room between `floor` and `left`");
        assert_eq!(
            said.notes[0],
            "to the end of the meeting: 60 mm there, 200 mm needed"
        );
    }
}
