//! What is proven of the cost of a layout, in figures for print.

use crate::book::{Facts, html};
use crate::measure::{Length, Rational, Units};
use crate::model::StockKind;
use crate::plan::layouts::{LayoutCost, StockLayout};
use serde::Serialize;

/// What is proven of the cost.
#[derive(Serialize)]
pub(super) struct CostFacts {
    /// `count` where one size is sold, else `money`, `area` or `wood`.
    what: &'static str,
    cost: String,
    /// No layout of this kind costs less.
    bound: String,
    least: bool,
    /// What could be saved at most, of the cost.
    saving: String,
    /// What of the cost is paid for, and what it counts that was on hand; `None` if nothing was.
    to_buy: Option<String>,
    on_hand: Option<String>,
}

/// Of sheets. `None` where nothing is proven, or the bound on the number of sheets says as much: it holds
/// for cuts of any kind.
pub(super) fn sheets(facts: &Facts, layout: &StockLayout) -> Option<CostFacts> {
    let sold = match &facts.model.stocks.get(layout.stock.0 as usize)?.kind {
        StockKind::Sheet { sizes, .. } => sizes.len(),
        _ => 0,
    };
    let bought = layout.cost.on_hand.is_zero();
    let count = (sold == 1 && bought).then_some(layout.sheets.len());
    let bound = layout.bound.map(|b| i128::from(b.sheets));
    let proven = of(facts.units(), &layout.cost, count, None)?;
    let counted = proven
        .bound
        .parse::<i128>()
        .ok()
        .filter(|_| proven.what == "count");
    let said = counted
        .zip(bound)
        .is_some_and(|(counted, bound)| counted <= bound);
    (!said).then_some(proven)
}

/// What keeping first pieces light costs: nothing as an empty text.
pub(super) fn for_lift(units: Units, layout: &StockLayout) -> Option<String> {
    let more = layout.for_lift?;
    let (unit, name) = match (&layout.cost.currency, units) {
        (Some(currency), _) => (Rational::new(1, 100), currency.as_str()),
        (None, Units::Mm) => (Rational::int(10_000), "m\u{b2}"),
        (None, Units::Inch(_)) => (Rational::new(9_290_304, 10_000), "sq ft"),
    };
    let n = (more / unit).round()?;
    Some(match n {
        0 => String::new(),
        n => format!("{}.{:02}{}{name}", n / 100, n % 100, html::THIN),
    })
}

/// Of so many sheets, boards or strips, if all are of one size; `thick` where wood is bought by volume.
/// `None` where nothing is proven.
pub(super) fn of(
    units: Units,
    cost: &LayoutCost,
    count: Option<usize>,
    thick: Option<Length>,
) -> Option<CostFacts> {
    let (paid, bound) = (cost.cost, cost.bound);
    if bound.is_zero() || paid.is_zero() {
        return None;
    }
    let hundredth = Rational::new(1, 100);
    let (what, unit, name) = match (count, &cost.currency, thick, units) {
        (Some(n), ..) => ("count", paid / Rational::int(n as i64), String::new()),
        (_, Some(currency), ..) => ("money", hundredth, currency.clone()),
        (_, None, Some(thick), Units::Mm) => {
            let litre = Rational::int(10_000_000) / thick.as_mm();
            ("wood", litre, "m\u{b3}".into())
        }
        (_, None, Some(thick), Units::Inch(_)) => {
            let foot = Rational::new(144 * 254 * 254 * 254, 1000);
            (
                "wood",
                foot / thick.as_mm() * hundredth,
                "board feet".into(),
            )
        }
        (_, None, None, Units::Mm) => ("area", Rational::int(10_000), "m\u{b2}".into()),
        (_, None, None, Units::Inch(_)) => {
            ("area", Rational::new(9_290_304, 10_000), "sq ft".into())
        }
    };
    let mut units = cost.in_units(unit)?;
    if what == "count" {
        units.bound = (bound / unit).ceil()?;
    }
    let figure = |n: i128| match what {
        "count" => n.to_string(),
        _ => format!("{}.{:02}{}{name}", n / 100, n % 100, html::THIN),
    };
    let saving = cost.saving();
    let racked = !cost.on_hand.is_zero();
    Some(CostFacts {
        what,
        cost: figure(units.cost),
        bound: figure(units.bound),
        to_buy: racked.then(|| figure(units.to_buy)),
        on_hand: racked.then(|| figure(units.on_hand)),
        least: cost.is_least(),
        saving: format!("{}.{}", saving / 10, saving % 10),
    })
}
