//! Shelf-pin holes that miss the panel they are bored in: off its front, rear, top or bottom.

use super::shelves;
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{Axis, Cut, CutKind, Edge, HardwareId, HardwareKind, Origin, PinRow};
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

struct Off<'v, 'm> {
    view: &'v View<'m>,
    /// Whose holes they are.
    path: &'m str,
    origin: &'m Origin,
    row: &'m PinRow,
    edge: Edge,
    past: Length,
}

/// Holds the wood between every row and the edges of its panel against none.
pub fn check(view: &View, report: &mut Report) {
    for set in &view.piece.shelves {
        // Those of the case's rows are looked at with these.
        if set.in_rows.is_none() {
            let pin = set.pins.map(|(id, _)| id);
            let of = shelves(view, set);
            look(view, report, &set.rows, pin, (&of, &set.path, &set.origin));
        }
    }
    for rows in &view.piece.rows {
        let of = super::label(view, &rows.path);
        let pin = Some(rows.hardware);
        look(
            view,
            report,
            &rows.rows,
            pin,
            (&of, &rows.path, &rows.origin),
        );
    }
}

/// Looks at the rows of one line: their label in print, name and line.
fn look<'m>(
    view: &View<'m>,
    report: &mut Report,
    rows: &'m [PinRow],
    pin: Option<HardwareId>,
    (label, path, origin): (&str, &'m str, &'m Origin),
) {
    let diameter = pin
        .and_then(|id| view.hardware(id))
        .and_then(|hardware| match &hardware.kind {
            HardwareKind::Pin { diameter, .. } => Some(*diameter),
            HardwareKind::Hinge(_)
            | HardwareKind::Runner(_)
            | HardwareKind::Pull { .. }
            | HardwareKind::Catch
            | HardwareKind::Lock
            | HardwareKind::Stay { .. }
            | HardwareKind::Foot
            | HardwareKind::Strap
            | HardwareKind::Screw { .. }
            | HardwareKind::Bolt { .. }
            | HardwareKind::Dowel { .. }
            | HardwareKind::LooseTenon { .. }
            | HardwareKind::Button { .. }
            | HardwareKind::Nail { .. }
            | HardwareKind::Biscuit { .. } => None,
        })
        .unwrap_or(Length::ZERO);
    for row in rows {
        let (edge, left) = least(view, row, diameter.half());
        let fact = Off {
            view,
            path,
            origin,
            row,
            edge,
            past: -left,
        };
        let subject = format!("{label}, pin holes in {}", view.tick(row.part));
        let measured = Measured::at_least(&code::FIT_PINS_OFF, subject, left, view.units().step())
            .by(format!("nearest the {} of the panel", edge.word()))
            .from("adjustable shelves, placement rules 2.6")
            .lines([origin.span, view.part(row.part).origin.span])
            .of_many();
        report.judge(measured, || fact.diagnostic());
    }
}

/// The edge of the panel that a row comes nearest to, and the wood left there.
fn least(view: &View, row: &PinRow, radius: Length) -> (Edge, Length) {
    let panel = view.part(row.part).finished;
    let y = panel.lo[1] + row.set_back;
    let last = row.first_z + row.pitch * i64::from(row.count.saturating_sub(1));
    [
        (Edge::Front, y - radius - panel.lo[1]),
        (Edge::Rear, panel.hi[1] - y - radius),
        (Edge::Bottom, row.first_z - radius - panel.lo[2]),
        (Edge::Top, panel.hi[2] - last - radius),
    ]
    .into_iter()
    .min_by_key(|(_, left)| *left)
    .unwrap_or((Edge::Front, Length::ZERO))
}

impl Off<'_, '_> {
    /// The holes of this row in the panel, which know their line.
    fn bored(&self) -> Option<&Cut> {
        let (panel, row) = (self.view.part(self.row.part), self.row);
        let y = panel.finished.lo[1] + row.set_back;
        panel.cuts.iter().find(|cut| {
            let place = panel.to_piece(&cut.bounds());
            let lower = place.lo[2] + place.extent(Axis::Y).half();
            cut.kind == CutKind::PinHoles && place.middle(Axis::Y) == y && lower == row.first_z
        })
    }

    fn diagnostic(&self) -> Diagnostic {
        let view = self.view;
        let panel = view.tick(self.row.part);
        let clause = match self.edge {
            Edge::Bottom => "from",
            Edge::Top => "to",
            Edge::Left | Edge::Right | Edge::Front | Edge::Rear => "set_back",
        };
        let place = self
            .bored()
            .map(|cut| cut.origin.at(clause))
            .unwrap_or_else(|| self.origin.at("pins"));
        Diagnostic::new(
            &code::FIT_PINS_OFF,
            format!(
                "pin holes of `{}` run off {panel} at the {}",
                view.name(self.path),
                self.edge.word()
            ),
            place,
            format!("{} past the edge", view.text(self.past.max(Length::ZERO))),
        )
        .at(
            view.part(self.row.part).origin.span,
            format!("{panel} ends there"),
        )
        .help("bring the row inside the panel")
    }
}

#[cfg(test)]
mod tests {
    use crate::model::fixture::dmm;
    use crate::rules::testing;

    #[test]
    fn a_row_behind_the_rear_edge() {
        let mut model = testing::sound();
        for row in &mut model.pieces[0].shelves[0].rows {
            row.set_back = if row.set_back > dmm(1000) {
                dmm(4020)
            } else {
                row.set_back
            };
        }
        let said = testing::only(&testing::checked(model), "fit.pins_off");
        assert_eq!(
            said.title,
            "pin holes of `upper.shelf` run off `left` at the rear"
        );
        assert_eq!(said.labels[0].text, "4.5 mm past the edge");
    }
}
