//! The glue that the shop uses, or what is common practice where it names none.

use crate::measure::Rational;
use crate::model::{Model, Price};

/// A glue's times and coverage.
#[derive(Clone, Debug)]
pub struct GlueInUse {
    /// Its name.
    pub name: String,
    /// From spreading to clamping, seconds.
    pub open: u32,
    /// In clamps, seconds.
    pub clamped: u32,
    /// Before it is worked, seconds.
    pub cured: u32,
    /// Whether the shop states open and clamp time; otherwise they are common practice.
    pub stated: bool,
    /// Whether the shop states when it may be worked.
    pub cured_stated: bool,
    /// Square millimetres that a cubic millimetre covers.
    pub covers: Rational,
    /// Whether the shop states it.
    pub covers_stated: bool,
    /// Where its times were looked up, where the shop takes them from a declaration that says so.
    pub source: Option<String>,
    /// Its price.
    pub price: Option<Price>,
}

/// The shop's first glue.
///
/// Defaults are common practice for white and yellow wood glue (PVA): 10 min from spreading to
/// clamps, an hour in them, a day before it is worked; 5 m² a litre, a film of 0.2 mm. The label
/// has the last word, and the book says so.
pub(super) fn in_use(model: &Model) -> GlueInUse {
    let usual = Rational::int(5);
    let day = 24 * 3600;
    match model.shop.glues.first() {
        Some(glue) => GlueInUse {
            name: glue.name.clone(),
            open: glue.open,
            clamped: glue.clamped,
            cured: glue.cured.unwrap_or(day),
            stated: true,
            cured_stated: glue.cured.is_some(),
            covers: glue.covers.filter(|c| *c > Rational::ZERO).unwrap_or(usual),
            covers_stated: glue.covers.is_some(),
            source: glue.source.clone(),
            price: glue.price.clone(),
        },
        None => GlueInUse {
            name: "wood glue (PVA)".into(),
            open: 600,
            clamped: 3600,
            cured: day,
            stated: false,
            cured_stated: false,
            covers: usual,
            covers_stated: false,
            source: None,
            price: None,
        },
    }
}
