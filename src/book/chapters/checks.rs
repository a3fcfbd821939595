//! Chapter 12: every check that ran, with figure, limit, margin and source.

use super::Chapter;
use crate::book::{Facts, html, piece_name, plain};
use crate::diag::Code;
use crate::draw::{Pen, Rect, Scene};
use crate::measure::{Length, Units};
use crate::model::{Finding, Model, Outcome, Piece, Role, Sense, StockKind, Value as Amount};
use minijinja::Value;
use serde::Serialize;

/// The checks.
pub const CHAPTER: Chapter = Chapter {
    number: 12,
    id: "checks",
    title: "Checks",
    template: "checks.html",
    facts,
};

/// Families in the order of print; others follow by name.
const FAMILIES: [&str; 11] = [
    "fit", "cut", "join", "band", "show", "move", "load", "stand", "stock", "shop", "order",
];

#[derive(Serialize)]
struct Checks {
    tables: Vec<Table>,
    counts: Counts,
    narrowest: Option<Narrowest>,
    /// How many hold with nothing to spare.
    tight: usize,
    /// What no check in this book looks at, though the pieces give reason to.
    unchecked: Vec<&'static str>,
    /// Loads that the maker states and nothing is held against.
    loads: Vec<String>,
    decided: Vec<Decided>,
}

#[derive(Serialize)]
struct Table {
    /// The piece, where there are several tables.
    title: Option<String>,
    families: Vec<Family>,
}

#[derive(Serialize)]
struct Family {
    title: String,
    rows: Vec<Row>,
    /// Faults that were looked for and not found, told in one line.
    none: Vec<String>,
}

#[derive(Serialize)]
struct Row {
    subject: String,
    /// Set as the maker's own line.
    quoted: bool,
    figure: Option<Value>,
    sense: &'static str,
    limit: Option<Value>,
    unit: String,
    bar: Option<Value>,
    margin: Option<Value>,
    source: String,
    arithmetic: String,
    outcome: &'static str,
    /// The maker's reason for an allowed caution, or what the caution is about.
    words: Option<String>,
}

#[derive(Default, Serialize)]
struct Counts {
    all: usize,
    hold: usize,
    cautions: usize,
    allowed: usize,
    faults: usize,
}

#[derive(Serialize)]
struct Narrowest {
    subject: String,
    margin: Value,
    unit: String,
}

/// A caution allowed by the maker that has no figure of its own.
#[derive(Serialize)]
struct Decided {
    code: String,
    about: Option<&'static str>,
    why: String,
}

/// Prepares the checks.
pub fn facts(facts: &Facts) -> Option<Value> {
    let pieces = facts.model.pieces.len();
    let mut tables = Vec::new();
    for index in (0..pieces).map(Some).chain([None]) {
        let families = families(facts, index);
        if !families.is_empty() {
            let title = match index.and_then(|i| facts.model.pieces.get(i)) {
                Some(piece) => facts.many().then(|| piece_name(facts, piece)),
                None => Some("The whole commission".to_owned()).filter(|_| pieces > 0),
            };
            tables.push(Table { title, families });
        }
    }
    let decided = decided(facts);
    if tables.is_empty() && decided.is_empty() {
        return None;
    }
    Some(html::value(&Checks {
        tables,
        counts: counts(facts.findings),
        narrowest: narrowest(facts),
        tight: tight(facts.findings),
        unchecked: unchecked(facts),
        loads: loads(facts),
        decided,
    }))
}

fn units(facts: &Facts, piece: Option<usize>) -> Units {
    piece
        .and_then(|i| facts.model.pieces.get(i))
        .map_or_else(|| facts.units(), |piece| piece.units)
}

fn family(code: &str) -> &str {
    code.split_once('.').map_or(code, |(family, _)| family)
}

/// The rows of a piece (or of the whole commission) by family.
fn families(facts: &Facts, piece: Option<usize>) -> Vec<Family> {
    let units = units(facts, piece);
    let own = piece.and_then(|i| facts.model.pieces.get(i));
    let of_piece: Vec<&Finding> = facts
        .findings
        .iter()
        .filter(|finding| finding.piece.map(|i| i as usize) == piece)
        .collect();
    let mut names: Vec<&str> = of_piece.iter().map(|f| family(&f.code)).collect();
    names.sort_by_key(|name| {
        let place = FAMILIES.iter().position(|known| known == name);
        (place.unwrap_or(FAMILIES.len()), *name)
    });
    names.dedup();
    let mut out: Vec<Family> = names
        .into_iter()
        .map(|name| Family {
            title: html::capital(name),
            rows: of_piece
                .iter()
                .filter(|finding| family(&finding.code) == name && !is_none(finding))
                .map(|finding| row(facts.model, own, finding, units))
                .collect(),
            none: of_piece
                .iter()
                .filter(|finding| family(&finding.code) == name && is_none(finding))
                .map(|finding| none_found(facts.model, own, finding))
                .collect(),
        })
        .collect();
    let stated: Vec<Row> = piece
        .and_then(|i| facts.model.pieces.get(i))
        .into_iter()
        .flat_map(|piece| &piece.stated)
        .map(|stated| {
            let compared = stated.margin.map(|(figure, limit, at_least)| {
                let sense = if at_least {
                    Sense::AtLeast
                } else {
                    Sense::AtMost
                };
                Compared::of(
                    &Amount::Length(figure),
                    &Amount::Length(limit),
                    sense,
                    units,
                )
            });
            let said = own
                .filter(|_| compared.is_some())
                .and_then(|piece| plain::compared(piece, &stated.text));
            Row {
                quoted: said.is_none(),
                subject: said.unwrap_or_else(|| stated.text.clone()),
                sense: compared.as_ref().map_or("", |c| c.sense),
                unit: compared.as_ref().map_or(String::new(), |c| c.unit.clone()),
                bar: compared.as_ref().and_then(|c| c.bar.clone()),
                margin: compared.as_ref().and_then(|c| c.margin.clone()),
                limit: compared.as_ref().map(|c| c.limit.clone()),
                figure: compared.map(|c| c.figure),
                source: stated.why.clone().unwrap_or_default(),
                arithmetic: String::new(),
                outcome: "holds",
                words: None,
            }
        })
        .collect();
    if !stated.is_empty() {
        out.push(Family {
            title: "Asked for by the maker".to_owned(),
            rows: stated,
            none: Vec::new(),
        });
    }
    out
}

/// Whether a finding counts something that should not be there, and there is none.
fn is_none(finding: &Finding) -> bool {
    let nothing = |amount: &Amount| matches!(amount, Amount::Number(n, _) if *n == 0.0);
    finding.outcome == Outcome::Holds && nothing(&finding.figure) && nothing(&finding.limit)
}

/// `bare edges of sheet in sight (47 edges without a strip looked at)`.
fn none_found(model: &Model, piece: Option<&Piece>, finding: &Finding) -> String {
    let subject = plain::words(model, piece, &finding.subject);
    let title = piece.map_or("", |piece| piece.title.as_str());
    let subject = subject
        .strip_prefix(title)
        .and_then(|rest| rest.strip_prefix(", "))
        .unwrap_or(&subject);
    let looked = plain::words(model, piece, &finding.arithmetic);
    if looked.is_empty() {
        subject.to_owned()
    } else {
        format!("{subject} ({looked})")
    }
}

fn row(model: &Model, piece: Option<&Piece>, finding: &Finding, units: Units) -> Row {
    let in_print = |text: &str| plain::words(model, piece, text);
    let compared = Compared::of(&finding.figure, &finding.limit, finding.sense, units);
    let (outcome, words) = match &finding.outcome {
        Outcome::Holds => ("holds", None),
        Outcome::Caution => ("caution", code_title(&finding.code)),
        Outcome::Error => ("error", code_title(&finding.code)),
        Outcome::Allowed(why) => ("allowed", Some(why.clone())),
    };
    Row {
        subject: in_print(&finding.subject),
        quoted: false,
        figure: Some(compared.figure),
        sense: compared.sense,
        limit: Some(compared.limit),
        unit: compared.unit,
        bar: compared.bar,
        margin: compared.margin,
        source: plain::source(&in_print(&finding.source)),
        arithmetic: html::arithmetic(&in_print(&finding.arithmetic)),
        outcome,
        words,
    }
}

/// What the code says, or the code itself where the table lacks it.
fn code_title(code: &str) -> Option<String> {
    Some(Code::find(code).map_or_else(|| code.to_owned(), |code| html::capital(code.title)))
}

/// A figure beside its limit, set for the table.
struct Compared {
    figure: Value,
    limit: Value,
    sense: &'static str,
    unit: String,
    bar: Option<Value>,
    margin: Option<Value>,
}

impl Compared {
    fn of(figure: &Amount, limit: &Amount, sense: Sense, units: Units) -> Compared {
        let (set_figure, unit) = set(figure, units);
        let (set_limit, limit_unit) = set(limit, units);
        Compared {
            figure: set_figure,
            limit: set_limit,
            sense: match sense {
                Sense::AtMost => "at most",
                Sense::AtLeast => "at least",
            },
            unit: if unit.is_empty() { limit_unit } else { unit },
            bar: used(figure, limit, sense).map(|share| html::svg(&bar(share))),
            margin: margin(figure, limit, sense, units),
        }
    }
}

fn set(amount: &Amount, units: Units) -> (Value, String) {
    match amount {
        Amount::Length(length) => (html::figure_column(units, *length), units.name().to_owned()),
        Amount::Number(number, unit) => (Value::from(html::number(*number, 0)), unit.clone()),
    }
}

fn margin(figure: &Amount, limit: &Amount, sense: Sense, units: Units) -> Option<Value> {
    match (figure, limit) {
        (Amount::Length(figure), Amount::Length(limit)) => {
            let rest = match sense {
                Sense::AtMost => *limit - *figure,
                Sense::AtLeast => *figure - *limit,
            };
            Some(html::signed(units, rest))
        }
        (Amount::Number(figure, _), Amount::Number(limit, _)) => {
            let places = html::decimals(*figure).max(html::decimals(*limit));
            let rest = match sense {
                Sense::AtMost => limit - figure,
                Sense::AtLeast => figure - limit,
            };
            let sign = if rest < 0.0 { html::MINUS } else { "+" };
            Some(Value::from(format!("{sign}\u{a0}{:.places$}", rest.abs())))
        }
        (Amount::Length(_), Amount::Number(..)) | (Amount::Number(..), Amount::Length(_)) => None,
    }
}

/// How much of the limit is used; 1 is the limit itself. `None` where a share has no meaning.
fn used(figure: &Amount, limit: &Amount, sense: Sense) -> Option<f64> {
    let (figure, limit) = match (figure, limit) {
        (Amount::Length(figure), Amount::Length(limit)) => (figure.to_f64_mm(), limit.to_f64_mm()),
        (Amount::Number(figure, _), Amount::Number(limit, _)) => (*figure, *limit),
        (Amount::Length(_), Amount::Number(..)) | (Amount::Number(..), Amount::Length(_)) => {
            return None;
        }
    };
    let (part, whole) = match sense {
        Sense::AtMost => (figure, limit),
        Sense::AtLeast => (limit, figure),
    };
    if part <= 0.0 {
        Some(0.0)
    } else if whole > 0.0 {
        Some(part / whole)
    } else {
        Some(f64::INFINITY) // nothing was allowed, and something is there
    }
}

/// The bar: black up to the limit, whose upright always stands at the same place; what passes it is
/// hatched and red.
fn bar(share: f64) -> Scene {
    const LIMIT: f64 = 20.0;
    const END: f64 = 26.0;
    let (top, foot) = (1.2, 3.4);
    let label = if share.is_finite() {
        format!("{:.0} % of the limit", share * 100.0)
    } else {
        "more than a limit of nothing".to_owned()
    };
    let mut scene = Scene::new(END, 5.0, label);
    scene.line((0.0, 4.3), (END, 4.3), Pen::HATCH);
    let reach = (share * LIMIT).min(END);
    let black = reach.min(LIMIT);
    if black > 0.0 {
        scene.rect(Rect::of((0.0, top), (black, foot)), Pen::BLACK);
    }
    let over = share > 1.0;
    if over {
        let high = foot - top;
        let mut x = LIMIT - high;
        while x < reach {
            // A slant from the lower to the upper edge, cut off at both ends of the box.
            let (from, to) = ((LIMIT - x).max(0.0), (reach - x).min(high));
            if from < to {
                scene.line(
                    (x + from, foot - from),
                    (x + to, foot - to),
                    Pen::THIN.red(),
                );
            }
            x += 0.7;
        }
        scene.rect(Rect::of((LIMIT, top), (reach, foot)), Pen::MEDIUM.red());
    }
    scene.line((LIMIT, 0.0), (LIMIT, 5.0), Pen::THICK.red_if(over));
    scene
}

fn counts(findings: &[Finding]) -> Counts {
    let mut counts = Counts {
        all: findings.len(),
        ..Counts::default()
    };
    for finding in findings {
        match finding.outcome {
            Outcome::Holds => counts.hold += 1,
            Outcome::Caution => counts.cautions += 1,
            Outcome::Allowed(_) => counts.allowed += 1,
            Outcome::Error => counts.faults += 1,
        }
    }
    counts
}

/// The check of a length that holds with the least to spare, in share of its limit.
fn narrowest(facts: &Facts) -> Option<Narrowest> {
    let mut best: Option<(f64, &Finding, Length)> = None;
    for finding in facts.findings {
        if let (Outcome::Holds, Amount::Length(figure), Amount::Length(limit)) =
            (&finding.outcome, &finding.figure, &finding.limit)
        {
            let share = used(&finding.figure, &finding.limit, finding.sense).unwrap_or(0.0);
            let rest = (*limit - *figure).abs();
            if rest.is_positive() && best.is_none_or(|(most, _, _)| share > most) {
                best = Some((share, finding, rest));
            }
        }
    }
    best.map(|(_, finding, rest)| {
        let units = units(facts, finding.piece.map(|i| i as usize));
        Narrowest {
            subject: plain::words(
                facts.model,
                finding
                    .piece
                    .and_then(|i| facts.model.pieces.get(i as usize)),
                &finding.subject,
            ),
            margin: html::figure(units, rest),
            unit: units.name().to_owned(),
        }
    })
}

/// Allowed cautions that no finding carries.
fn decided(facts: &Facts) -> Vec<Decided> {
    let mut out = Vec::new();
    for (index, piece) in facts.model.pieces.iter().enumerate() {
        for allowed in &piece.allowed {
            let found = facts.findings.iter().any(|finding| {
                finding.code == allowed.code
                    && finding.piece == Some(index as u32)
                    && finding.outcome == Outcome::Allowed(allowed.why.clone())
            });
            if !found {
                out.push(Decided {
                    code: allowed.code.clone(),
                    about: Code::find(&allowed.code).map(|code| code.title),
                    why: allowed.why.clone(),
                });
            }
        }
    }
    out
}

/// How many checks of a length hold with nothing to spare.
fn tight(findings: &[Finding]) -> usize {
    findings
        .iter()
        .filter(|finding| {
            finding.outcome == Outcome::Holds
                && matches!(
                    (&finding.figure, &finding.limit),
                    (Amount::Length(a), Amount::Length(b)) if a == b && a.is_positive()
                )
        })
        .count()
}

/// What the pieces give reason to compute and no check of this book does.
fn unchecked(facts: &Facts) -> Vec<&'static str> {
    let ran = |name: &str| facts.findings.iter().any(|f| family(&f.code) == name);
    let parts = || facts.model.parts().map(|(_, part)| part);
    let shelves =
        parts().any(|part| matches!(part.role, Role::Shelf | Role::LooseShelf | Role::Bottom));
    let solid = parts().any(|part| {
        let stock = facts.model.stocks.get(part.stock.0 as usize);
        part.role != Role::Band && stock.is_some_and(|s| matches!(s.kind, StockKind::Board { .. }))
    });
    [
        (shelves && !ran("load"), "sag of shelves under load"),
        (solid && !ran("move"), "movement of solid wood"),
        (!ran("stand"), "tipping over"),
    ]
    .into_iter()
    .filter_map(|(so, words)| so.then_some(words))
    .collect()
}

/// Stated loads that no check of this book uses: `60 kg a square metre on loose shelf`.
fn loads(facts: &Facts) -> Vec<String> {
    if facts.findings.iter().any(|f| family(&f.code) == "load") {
        return Vec::new();
    }
    let mut out: Vec<String> = Vec::new();
    for piece in &facts.model.pieces {
        for set in &piece.shelves {
            let label = set
                .parts
                .first()
                .map(|id| piece.part(*id).label.to_lowercase());
            if let (Some(load), Some(label)) = (set.load, label) {
                let load = html::number(load, 1);
                let words = format!("{load} kg a square metre on {label}");
                if !out.contains(&words) {
                    out.push(words);
                }
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(tenths: i64) -> Amount {
        Amount::Length(Length::um(tenths * 100))
    }

    #[test]
    fn share_of_the_limit() {
        assert_eq!(used(&mm(50), &mm(100), Sense::AtMost), Some(0.5));
        assert_eq!(used(&mm(100), &mm(50), Sense::AtLeast), Some(0.5));
        assert_eq!(used(&mm(0), &mm(50), Sense::AtLeast), Some(f64::INFINITY));
        assert_eq!(used(&mm(-5), &mm(0), Sense::AtMost), Some(0.0));
        assert_eq!(
            used(&mm(5), &Amount::Number(1.0, "kg".into()), Sense::AtMost),
            None
        );
    }

    #[test]
    fn margins_have_a_sign() {
        let set = |f: &Amount, l: &Amount, s| margin(f, l, s, Units::Mm).map(|v| v.to_string());
        assert_eq!(
            set(&mm(13), &mm(15), Sense::AtLeast).as_deref(),
            Some("−\u{a0}0.2")
        );
        assert_eq!(
            set(&mm(13), &mm(15), Sense::AtMost).as_deref(),
            Some("+\u{a0}0.2")
        );
        let kg = |n| Amount::Number(n, "kg".into());
        assert_eq!(
            set(&kg(47.8), &kg(25.0), Sense::AtMost).as_deref(),
            Some("−\u{a0}22.8")
        );
    }

    #[test]
    fn a_bar_never_leaves_its_box() {
        for share in [0.0, 0.3, 1.0, 1.05, 9.0, f64::INFINITY] {
            let extent = bar(share).extent().expect("a bar has lines");
            assert!(
                extent.x0 >= -0.3 && extent.x1 <= 26.3,
                "{share}: {extent:?}"
            );
        }
    }
}
