//! How much a width of a part changes over a year.

use crate::measure::{Length, Rational};
use crate::model::{Part, Yearly};
use crate::rules::view::View;

/// Whether a part is of solid wood, boards or an edge-glued panel.
pub fn solid(view: &View, part: &Part) -> bool {
    view.is_board(part) || (view.is_sheet(part) && !view.has_core(part))
}

/// The yearly change of a width across the grain of a part. `None` where the part is not solid, no climate is
/// stated, or the species' figure is not known.
pub fn yearly<'m>(view: &View<'m>, part: &Part, width: Length) -> Option<Yearly<'m>> {
    let stock = view.stock(part).filter(|_| solid(view, part))?;
    let coefficient = view.model.material(stock)?.tangential.as_ref()?;
    Some(Yearly::of(width, coefficient, view.model.shop.climate?))
}

/// The sum behind half of a yearly change.
pub fn half_of(view: &View, width: Length, year: &Yearly) -> String {
    format!("half of {}", sum(view, width, year))
}

/// The sum behind a yearly change.
pub fn sum(view: &View, width: Length, year: &Yearly) -> String {
    let percent = |share: Rational| (share.to_f64() * 100.0).round();
    format!(
        "{} x {} x ({:.1} - {:.1}) %, moisture of wood at {} and {} % humidity",
        view.plain(width),
        year.coefficient.value.to_f64(),
        year.moisture[1],
        year.moisture[0],
        percent(year.humidity[1]),
        percent(year.humidity[0]),
    )
}
