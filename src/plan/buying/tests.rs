//! Prices, packs and totals, worked by hand.

use super::*;
use crate::model::fixture;
use crate::model::{Per, Price, StockKind};
use crate::plan;

fn price(num: i128, den: i128, per: Per) -> Option<Price> {
    Some(Price {
        amount: Rational::new(num, den),
        currency: "EUR".into(),
        per,
    })
}

fn find<'a>(buying: &'a Buying, what: &str) -> &'a BuyLine {
    buying
        .lines
        .iter()
        .find(|l| l.what == what)
        .expect("the line is there")
}

/// Eight pins for two cabinets in packs of five: two packs at 2.35 = 4.70.
/// Oak at 2450 a cubic metre: two boards of 2000 x 100 x 20 are 0.008 m3, 19.60.
/// Sheets have no price: 2 lines, and the glue, which the shop does not name.
#[test]
fn the_cabinets_list() {
    let mut model = fixture::cabinet();
    model.hardware[0].price = price(235, 100, Per::Pack(5));
    if let StockKind::Board { price: p, .. } = &mut model.stocks[2].kind {
        *p = price(2450, 1_000_000_000, Per::Volume);
    }
    let buying = plan::make(&model).buying;
    let pins = find(&buying, "Shelf pin 5 mm");
    assert_eq!(
        pins.amount,
        Amount::Packs {
            packs: 2,
            of: 5,
            used: 8
        }
    );
    assert_eq!(pins.price.as_ref().map(Money::plain), Some("4.70".into()));
    let oak = find(&buying, "White oak");
    assert_eq!(oak.price.as_ref().map(Money::plain), Some("19.60".into()));
    assert_eq!(buying.totals.len(), 1);
    assert_eq!(buying.totals[0].plain(), "24.30");
    assert_eq!(buying.unpriced, 3);
}

/// Glued area of one cabinet: strips 59,624.96 (half of 119,249.92), frame 67,369.6, back 21,600:
/// 148,594.56; of two 297,189.12 mm2. At 5 m2 a litre 0.0594 L, so 0.1 L.
#[test]
fn glue_is_rounded_up_to_a_tenth_of_a_litre() {
    let plans = plan::make(&fixture::cabinet());
    assert_eq!(plans.glue_up.area, Rational::new(29_718_912, 100));
    let glue = find(&plans.buying, "wood glue (PVA)");
    assert_eq!(glue.amount, Amount::Litres(Rational::new(1, 10)));
}

#[test]
fn cents_round_halves_away_from_zero() {
    assert_eq!(cents(Rational::new(1_005, 1000)), Rational::new(101, 100));
    assert_eq!(cents(Rational::new(1_004, 1000)), Rational::new(100, 100));
}

/// A tall drawer cabinet twice: its restraints, and screws that no line lists.
#[test]
fn what_fitting_needs_is_on_the_list() {
    let mut model = fixture::cabinet();
    // The cabinet is 720 high; 27 in are 685.8, but nothing opens and it is not narrow.
    let has = |model: &Model, what: &str| {
        plan::make(model)
            .buying
            .lines
            .iter()
            .find(|l| l.what == what)
            .map(|l| l.amount.clone())
    };
    assert_eq!(has(&model, "restraint against tipping"), None);
    model.pieces[0].overall.hi[2] = crate::measure::Length::mm(900);
    assert_eq!(
        has(&model, "restraint against tipping"),
        Some(Amount::Count(2))
    );
    assert_eq!(has(&model, "screws for drawer faces"), None);
}
