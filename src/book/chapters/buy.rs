//! Chapter 4: what to buy, why so much, and what it costs.

use super::Chapter;
use super::layouts::{running, wood};
use crate::book::{Facts, html};
use crate::measure::{Rational, Units};
use crate::model::{Per, Price};
use crate::plan::buying::{Amount, BuyLine, Money, Reason, Section, WoodSum, cents};
use crate::plan::finishing::square_metres;
use crate::plan::layouts::Asked;
use minijinja::Value;
use serde::Serialize;

/// To buy.
pub const CHAPTER: Chapter = Chapter {
    number: 4,
    id: "buy",
    title: "To buy",
    template: "buy.html",
    facts,
};

#[derive(Serialize)]
struct Buy {
    sections: Vec<SectionFacts>,
    totals: Vec<(String, String)>,
    unpriced: u32,
    lines: usize,
    /// Glue and finish of common practice rather than of the shop.
    glue_stated: bool,
    /// Whether the rack is told.
    racked: bool,
}

#[derive(Serialize)]
struct SectionFacts {
    /// `sheets`, `boards`, …
    id: &'static str,
    lines: Vec<LineFacts>,
}

#[derive(Serialize)]
struct LineFacts {
    what: String,
    size: Option<Value>,
    amount: Value,
    unit: &'static str,
    /// The kind of reason, and its figures.
    reason: ReasonFacts,
    each: Option<String>,
    price: Option<String>,
}

#[derive(Default, Serialize)]
struct ReasonFacts {
    kind: &'static str,
    words: Vec<String>,
    numbers: Vec<u32>,
    /// Boards to ask for: how many, their least length and width, how many of them are spare.
    boards: Vec<BoardsAsked>,
    area: Option<String>,
    sum: Option<BoardSum>,
    net: Option<String>,
    waste: Option<String>,
    count: Option<u32>,
    coats: Option<u32>,
    covers: Option<String>,
    stated: bool,
    used: Option<u32>,
}

/// Prepares the chapter.
pub fn facts(facts: &Facts) -> Option<Value> {
    let plan = &facts.plans.buying;
    if plan.lines.is_empty() {
        return None;
    }
    let units = facts.units();
    let mut sections: Vec<SectionFacts> = Vec::new();
    for row in &plan.lines {
        let id = match row.section {
            Section::Sheets => "sheets",
            Section::Boards => "boards",
            Section::Edging => "edging",
            Section::Hardware => "hardware",
            Section::Fasteners => "fasteners",
            Section::Glue => "glue",
            Section::Abrasives => "abrasives",
            Section::Finish => "finish",
        };
        if sections.last().is_none_or(|s| s.id != id) {
            sections.push(SectionFacts {
                id,
                lines: Vec::new(),
            });
        }
        if let Some(section) = sections.last_mut() {
            section.lines.push(line(units, row));
        }
    }
    Some(html::value(&Buy {
        sections,
        totals: plan
            .totals
            .iter()
            .map(|t| (t.plain(), t.currency.clone()))
            .collect(),
        unpriced: plan.unpriced,
        lines: plan.lines.len(),
        glue_stated: facts.plans.glue_up.glue.covers_stated,
        racked: !facts.model.rack.is_empty(),
    }))
}

fn line(units: Units, row: &BuyLine) -> LineFacts {
    let (amount, unit) = match &row.amount {
        Amount::Count(n) => (n.to_string(), ""),
        Amount::Packs { packs, .. } => (
            packs.to_string(),
            if *packs == 1 { "pack" } else { "packs" },
        ),
        Amount::Length(l) => (running(units, *l), ""),
        Amount::Wood(v) => (wood(units, *v), ""),
        Amount::Litres(l) => (litres(*l), "L"),
        Amount::Open => ("<span class=\"blank\"></span>".to_owned(), ""),
    };
    let mut reason = reason(units, &row.reason);
    if let Amount::Packs { used, of, .. } = &row.amount {
        reason.used = Some(*used);
        reason.count = Some(*of);
    }
    LineFacts {
        what: html::capital(&row.what),
        size: row.size.map(|(l, w, t)| match row.section {
            // Of random boards the least length and width are no size to ask for by itself.
            Section::Boards if matches!(row.amount, Amount::Wood(_)) => html::figure(units, t),
            _ => html::sizes(units, &[l, w, t]),
        }),
        amount: html::safe(amount),
        unit,
        reason,
        each: row.unit.as_ref().map(|p| each(units, p, row)),
        price: row.price.as_ref().map(Money::plain),
    }
}

fn litres(value: Rational) -> String {
    let n = (value * Rational::int(10)).round().unwrap_or(0);
    format!("{}.{}", n / 10, n % 10)
}

fn metres(area: Rational) -> String {
    let n = (square_metres(area) * Rational::int(100))
        .round()
        .unwrap_or(0);
    format!("{}.{:02}", n / 100, n % 100)
}

fn percent(share: Rational) -> String {
    let n = (share * Rational::int(100)).round().unwrap_or(0);
    format!("{n} %")
}

/// Coverage is per millimetre, which is square metres a litre.
fn coverage(covers: Rational) -> String {
    let n = (covers * Rational::int(10)).round().unwrap_or(0);
    if n % 10 == 0 {
        (n / 10).to_string()
    } else {
        format!("{}.{}", n / 10, n % 10)
    }
}

#[derive(Serialize)]
pub(super) struct BoardsAsked {
    count: u32,
    long: Value,
    wide: Value,
    spare: u32,
}

/// Boards as one asks for them.
pub(super) fn boards(units: Units, asked: &Asked) -> BoardsAsked {
    BoardsAsked {
        count: asked.laid + asked.spare,
        long: html::figure(units, asked.long),
        wide: html::figure(units, asked.wide),
        spare: asked.spare,
    }
}

/// Why so many boards: whole ones are laid out, and the shop's waste may ask for more.
#[derive(Serialize)]
pub(super) struct BoardSum {
    net: String,
    /// Share that may be lost, and the other part of one.
    waste: String,
    rest: String,
    need: String,
    /// How many are laid out, what they come to, and spare ones.
    count: u32,
    laid: String,
    spare: u32,
}

/// The sum in figures for print.
pub(super) fn sum(units: Units, of: &WoodSum) -> BoardSum {
    let hundredths = (of.waste * Rational::int(100)).round().unwrap_or(0);
    let rest = 100 - hundredths;
    BoardSum {
        net: wood(units, of.net),
        waste: percent(of.waste),
        rest: format!("{}.{:02}", rest / 100, rest % 100),
        need: wood(units, of.need),
        count: of.count,
        laid: wood(units, of.laid),
        spare: of.spare,
    }
}

fn reason(units: Units, reason: &Reason) -> ReasonFacts {
    let none = ReasonFacts::default();
    match reason {
        Reason::Sheets(numbers) => ReasonFacts {
            kind: "sheets",
            numbers: numbers.clone(),
            ..none
        },
        Reason::Boards { sum: of, asked } => ReasonFacts {
            kind: "boards",
            sum: Some(sum(units, of)),
            boards: asked.iter().map(|a| boards(units, a)).collect(),
            ..none
        },
        Reason::BoardsOfSize { numbers, spare } => ReasonFacts {
            kind: "boards_of_size",
            numbers: numbers.clone(),
            sum: spare.as_ref().map(|spare| sum(units, spare)),
            ..none
        },
        Reason::NotLaid(parts, area) => ReasonFacts {
            kind: "not_laid",
            count: Some(*parts),
            area: Some(metres(*area)),
            ..none
        },
        Reason::Running(l) => ReasonFacts {
            kind: "running",
            net: Some(running(units, *l)),
            ..none
        },
        Reason::For(words) => ReasonFacts {
            kind: "for",
            words: words.clone(),
            ..none
        },
        Reason::Glue {
            area,
            covers,
            stated,
        } => ReasonFacts {
            kind: "glue",
            area: Some(metres(*area)),
            covers: Some(coverage(*covers)),
            stated: *stated,
            ..none
        },
        Reason::Sanding {
            area,
            each,
            grits,
            lasts,
            stated,
            source,
        } => ReasonFacts {
            kind: "sanding",
            count: Some(*each),
            numbers: vec![*grits],
            area: Some(metres(*area)),
            covers: Some(metres(*lasts)),
            stated: *stated,
            words: source.iter().cloned().collect(),
            ..none
        },
        Reason::Coats {
            area,
            coats,
            covers,
            loss,
        } => ReasonFacts {
            kind: "coats",
            area: Some(metres(*area)),
            coats: Some(*coats),
            covers: Some(coverage(*covers)),
            waste: Some(percent(*loss)),
            ..none
        },
    }
}

/// A price as it is quoted: `118.00 EUR`, `2450.00 EUR per m³`.
fn each(units: Units, price: &Price, row: &BuyLine) -> String {
    let inch = matches!(units, Units::Inch(_));
    let liquid = matches!(row.amount, Amount::Litres(_));
    // Amounts are for a millimetre, a square or cubic millimetre.
    let foot = Rational::new(3048, 10);
    let board_foot = Rational::new(144 * 254 * 254 * 254, 1000);
    let (times, per) = match &price.per {
        Per::One => (Rational::ONE, String::new()),
        Per::Pack(of) => (Rational::ONE, format!(" for {of}")),
        Per::Length if inch => (foot, " per ft".into()),
        Per::Length => (Rational::int(1000), " per m".into()),
        Per::Area if inch => (foot * foot, " per ft²".into()),
        Per::Area => (Rational::int(1_000_000), " per m²".into()),
        Per::Volume if liquid => (Rational::int(1_000_000), " per L".into()),
        Per::Volume if inch => (board_foot, " per board foot".into()),
        Per::Volume => (Rational::int(1_000_000_000), " per m³".into()),
        Per::Mass => (Rational::ONE, " per kg".into()),
    };
    let money = Money {
        amount: cents(price.amount * times),
        currency: price.currency.clone(),
    };
    format!("{}{per}", money.plain())
}
