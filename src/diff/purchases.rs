//! What is bought otherwise, and what it comes to.

use super::changes::{Purchase, Total};
use super::figure::{Figure, Step};
use super::pieces::presence;
use crate::measure::{Length, Rational, Units};
use crate::model::Model;
use crate::plan::Plans;
use crate::plan::buying::{Amount, BuyLine, Money, Section};
use indexmap::IndexMap;
use std::collections::BTreeMap;

/// A line by what is bought: stock or words, and the size that one asks for.
type Key = (String, Vec<Length>);

/// Every line of the shopping list that changed.
pub(super) fn compare(
    old_model: &Model,
    old: &Plans,
    new_model: &Model,
    new: &Plans,
    units: Units,
) -> Vec<Purchase> {
    type Both<'a> = (Option<&'a BuyLine>, Option<&'a BuyLine>);
    // In the order of the new list. What stands twice is told apart by its turn.
    let mut lines: IndexMap<(u8, Key, usize), Both<'_>> = IndexMap::new();
    for (model, plans, is_new) in [(new_model, new, true), (old_model, old, false)] {
        let mut turns: BTreeMap<(u8, Key), usize> = BTreeMap::new();
        for line in &plans.buying.lines {
            let at = (line.section as u8, key(model, line));
            let turn = turns.entry(at.clone()).or_insert(0);
            let both = lines.entry((at.0, at.1, *turn)).or_default();
            *turn += 1;
            *(if is_new { &mut both.1 } else { &mut both.0 }) = Some(line);
        }
    }
    let mut out: Vec<(Section, Purchase)> = lines
        .into_iter()
        .filter_map(|((_, (_, size), _), (was, is))| {
            let line = is.or(was)?;
            let section = line.section;
            let of = |line: Option<&BuyLine>| line.map(|l| amount(l, units));
            let used = |line: Option<&BuyLine>| match line.map(|l| &l.amount) {
                Some(Amount::Packs { used, .. }) => Some(Figure::count(*used)),
                _ => None,
            };
            let change = Purchase {
                section: section_word(section).to_owned(),
                what: line.what.clone(),
                size,
                amount: Step::between(of(was), of(is)),
                used: Step::between(used(was), used(is)),
                price: Step::between(
                    was.and_then(|l| l.price.as_ref()).map(money),
                    is.and_then(|l| l.price.as_ref()).map(money),
                ),
                presence: presence(was.is_some(), is.is_some()),
            };
            let changed =
                change.amount.is_some() || change.used.is_some() || change.price.is_some();
            changed.then_some((section, change))
        })
        .collect();
    out.sort_by_key(|(section, _)| *section);
    out.into_iter().map(|(_, change)| change).collect()
}

/// The totals that changed, by currency.
pub(super) fn cost(old: &Plans, new: &Plans) -> Vec<Total> {
    let mut sums: IndexMap<&str, (Option<Figure>, Option<Figure>)> = IndexMap::new();
    for total in &new.buying.totals {
        sums.entry(&total.currency).or_default().1 = Some(money(total));
    }
    for total in &old.buying.totals {
        sums.entry(&total.currency).or_default().0 = Some(money(total));
    }
    let mut out: Vec<Total> = sums
        .into_iter()
        .filter_map(|(_, (was, is))| {
            Some(Total {
                what: "cost".into(),
                step: Step::between(was, is)?,
            })
        })
        .collect();
    let unpriced = Step::counts(old.buying.unpriced, new.buying.unpriced);
    out.extend(unpriced.map(|step| Total {
        what: "lines without a price".into(),
        step,
    }));
    out
}

fn key(model: &Model, line: &BuyLine) -> Key {
    let stock = line.stock.and_then(|id| model.stocks.get(id.0 as usize));
    let what = stock.map_or_else(|| line.what.clone(), |stock| stock.name.clone());
    let size = match (line.section, line.size) {
        // Of a sheet one asks for length and width; that it measures less is the same sheet.
        (Section::Sheets, Some((long, wide, _))) => vec![long, wide],
        // Of random boards the least length and width are no size to ask for.
        (Section::Boards, Some((_, _, thick))) if matches!(line.amount, Amount::Wood(_)) => {
            vec![thick]
        }
        (_, Some((long, wide, thick))) => vec![long, wide, thick],
        (_, None) => Vec::new(),
    };
    (what, size)
}

pub(super) fn money(of: &Money) -> Figure {
    Figure::number(of.amount, &of.currency, 2)
}

pub(super) fn amount(line: &BuyLine, units: Units) -> Figure {
    let inch = matches!(units, Units::Inch(_));
    match &line.amount {
        Amount::Count(n) => Figure::count(*n),
        Amount::Packs { packs, of, .. } => {
            let unit = format!("{} of {of}", if *packs == 1 { "pack" } else { "packs" });
            Figure::number(Rational::int(i64::from(*packs)), &unit, 0)
        }
        // As in the list of what to buy: rounded up.
        Amount::Length(l) if inch => up(l.as_inches() / Rational::int(12), "ft", 0),
        Amount::Length(l) => up(l.as_mm() / Rational::int(1000), "m", 1),
        Amount::Wood(v) if inch => {
            // 144 cubic inches.
            let foot = Rational::new(144 * 254 * 254 * 254, 1000);
            up(*v / foot, "board feet", 1)
        }
        Amount::Wood(v) => up(*v / Rational::int(1_000_000_000), "m³", 4),
        Amount::Litres(l) => Figure::number(*l, "L", 1),
        Amount::Open => Figure::Words("as needed".into()),
    }
}

fn up(value: Rational, unit: &str, places: u8) -> Figure {
    let scale = 10i128.pow(u32::from(places));
    let whole = (value * Rational::new(scale, 1)).ceil();
    let value = whole.map_or(Rational::OVERFLOW, |n| Rational::new(n, scale));
    Figure::number(value, unit, places)
}

pub(super) fn section_word(section: Section) -> &'static str {
    match section {
        Section::Sheets => "sheets",
        Section::Boards => "boards",
        Section::Edging => "edging",
        Section::Hardware => "hardware",
        Section::Fasteners => "fasteners",
        Section::Glue => "glue",
        Section::Abrasives => "abrasives",
        Section::Finish => "finish",
    }
}
