//! Chapter 6: the cut list.

use super::Chapter;
use crate::book::{Facts, html, piece_name, thing_name};
use crate::measure::{Length, Units};
use crate::model::{AssemblyKind, Grain, Hand, Side, StockKind};
use crate::plan::{CutRow, Rough, StockRows};
use minijinja::Value;
use serde::Serialize;

/// The cut list.
pub const CHAPTER: Chapter = Chapter {
    number: 6,
    id: "cutlist",
    title: "Cut list",
    template: "cutlist.html",
    facts,
};

#[derive(Serialize)]
struct CutListFacts {
    letters: Vec<String>,
    /// Most boxes for a letter in a line of boxes: two, then they stand in two lines.
    most: u32,
    stocks: Vec<StockFacts>,
    off: u32,
    unit: &'static str,
    pieces: Vec<String>,
    lipped: bool,
    /// Whether some strip is sawn larger and flushed.
    proud: bool,
    /// Whether some size of the table has no grain.
    grainless: bool,
    /// Whether some sheet is good on one side.
    good: bool,
}

#[derive(Serialize)]
struct StockFacts {
    title: String,
    kind: &'static str,
    /// Measured thickness of a sheet.
    thick: Option<Value>,
    /// Whether it was measured.
    measured: bool,
    off: u32,
    /// Square metres or feet of sheets.
    area: Option<String>,
    area_unit: &'static str,
    /// Metres or feet of boards and strips, end to end.
    run: Option<String>,
    run_unit: &'static str,
    rows: Vec<RowFacts>,
}

#[derive(Serialize)]
struct RowFacts {
    mark: u32,
    label: String,
    hand: Option<&'static str>,
    off: u32,
    length: Value,
    width: Value,
    /// Thickness of what is planed.
    thick: Option<Value>,
    /// Thickness without its tongue; the tongue's thickness and depth.
    tongue: Option<[Value; 2]>,
    finished: Option<Value>,
    /// The board that a strip is ripped off is planed to this.
    planed: Option<Value>,
    rough: Option<Value>,
    /// No board on offer is thick enough.
    no_rough: bool,
    /// Of a part wider than any board: how many staves, and how wide each.
    staves: Option<(u32, Value)>,
    turns: bool,
    /// Which of its sides is to be the good one of its sheet.
    good: Option<&'static str>,
    places: Vec<String>,
    /// Path of the heavy sides of the small rectangle.
    lipped: Option<String>,
    lipped_words: String,
    /// Boxes for each letter of the table.
    boxes: Vec<u32>,
}

/// Prepares the cut list.
pub fn facts(facts: &Facts) -> Option<Value> {
    let list = &facts.plans.cut_list;
    if list.stocks.is_empty() {
        return None;
    }
    let rows = || list.stocks.iter().flat_map(|s| &s.rows);
    let model = facts.model;
    Some(html::value(&CutListFacts {
        letters: facts.letters().into_iter().map(str::to_owned).collect(),
        most: rows()
            .flat_map(|row| &row.copies)
            .map(|(_, n)| *n)
            .max()
            .unwrap_or(1)
            .min(2),
        off: list.off(),
        unit: facts.units().name(),
        pieces: model.pieces.iter().map(|p| piece_name(facts, p)).collect(),
        lipped: rows().any(|row| !row.lipped.is_empty()),
        proud: rows()
            .filter_map(|row| row.members.first())
            .any(|at| !model.proud(*at).is_none()),
        good: rows().any(|row| row.good.is_some()),
        grainless: rows().any(|row| row.grain == Grain::None),
        stocks: list.stocks.iter().filter_map(|s| stock(facts, s)).collect(),
    }))
}

fn stock(facts: &Facts, rows: &StockRows) -> Option<StockFacts> {
    let stock = facts.model.stocks.get(rows.stock.0 as usize)?;
    let units = facts.units();
    let (area_unit, run_unit, foot) = match units {
        Units::Mm => ("m²", "m", 1000.0),
        Units::Inch(_) => ("sq ft", "ft", 304.8),
    };
    let (kind, thick) = match &stock.kind {
        StockKind::Sheet { measured, .. } => ("sheet", Some(html::figure_column(units, *measured))),
        StockKind::Board { .. } => ("board", None),
        StockKind::Edging { .. } => ("edging", None),
    };
    let sheet = kind == "sheet";
    Some(StockFacts {
        title: stock.title.clone(),
        kind,
        thick,
        measured: stock.is_measured(),
        off: rows.off(),
        area: sheet.then(|| format!("{:.2}", rows.area().to_f64() / (foot * foot))),
        area_unit,
        run: (!sheet).then(|| format!("{:.1}", rows.run().to_f64() / foot)),
        run_unit,
        rows: rows.rows.iter().map(|r| row(facts, r, sheet)).collect(),
    })
}

fn row(facts: &Facts, row: &CutRow, sheet: bool) -> RowFacts {
    let units = units_of(facts, row);
    let figure = |length| html::figure_column(units, length);
    let (rough, no_rough) = match row.rough {
        Rough::Sheet { length, width } => (Some(rough_sizes(units, &[length, width])), false),
        Rough::Board {
            length,
            width,
            thick,
        } => {
            let all: Vec<Length> = [Some(length), Some(width), thick]
                .into_iter()
                .flatten()
                .collect();
            (Some(rough_sizes(units, &all)), thick.is_none())
        }
        Rough::Strip => (None, false),
    };
    RowFacts {
        mark: row.mark,
        label: row.label.clone(),
        hand: row.hand.map(hand_word),
        off: row.off,
        length: figure(row.sawn.length),
        width: figure(row.sawn.width),
        thick: (!sheet).then(|| figure(row.sawn.thick)),
        tongue: row
            .tongue
            .map(|(thick, deep)| [thick, deep].map(|l| html::figure(units, l))),
        finished: row
            .finished
            .map(|size| html::sizes(units, &[size.length, size.width])),
        planed: row.planed.map(figure),
        rough,
        no_rough,
        staves: row
            .members
            .first()
            .and_then(|at| facts.model.staves(*at))
            .map(|staves| (staves.count, figure(staves.wide))),
        turns: row.grain == Grain::None,
        good: row.good.map(|side| match side {
            Side::Reverse => "reverse",
            _ => "face",
        }),
        places: places(facts, row),
        lipped: lipped(&row.lipped),
        lipped_words: lipped_words(facts, row),
        boxes: boxes(facts, row),
    }
}

/// `left` or `right`, as the macro for hands takes it.
pub(super) fn hand_word(hand: Hand) -> &'static str {
    match hand {
        Hand::Left => "left",
        Hand::Right => "right",
    }
}

/// Units of the piece that a row's parts belong to; the first piece's where there are several.
fn units_of(facts: &Facts, row: &CutRow) -> Units {
    let mut pieces: Vec<u32> = row.members.iter().map(|at| at.piece).collect();
    pieces.dedup();
    match pieces.as_slice() {
        [one] => facts
            .model
            .pieces
            .get(*one as usize)
            .map_or(facts.units(), |p| p.units),
        _ => facts.units(),
    }
}

/// Breakdown sizes, as the plan has rounded them up; of the first piece's units if there are several.
fn rough_sizes(units: Units, lengths: &[Length]) -> Value {
    let up = lengths.iter().map(|l| units.rough_up(*l));
    let figures: Vec<String> = up
        .map(|l| html::figure_column(units, l).to_string())
        .collect();
    html::safe(figures.join(&format!("{0}×{0}", html::THIN)))
}

fn places(facts: &Facts, row: &CutRow) -> Vec<String> {
    // A strip's name says its panel already.
    let strip = row
        .members
        .first()
        .is_some_and(|at| facts.model.part(*at).1.host.is_some());
    if strip && !facts.many() {
        return Vec::new();
    }
    let mut out: Vec<String> = Vec::new();
    for (piece, assembly) in &row.places {
        let Some(piece) = facts.model.pieces.get(*piece as usize) else {
            continue;
        };
        let label = &thing_name(piece, *assembly);
        let words = if facts.many() {
            format!("{}: {label}", piece_name(facts, piece))
        } else {
            label.clone()
        };
        // `Tray, side` need not say that it belongs to the tray.
        let fitted = piece.assembly(*assembly).kind == AssemblyKind::Fitted;
        let within = fitted && row.label.to_lowercase().contains(&label.to_lowercase());
        let said = !facts.many() && (within || row.label.starts_with(label.as_str()));
        if !said && !out.contains(&words) {
            out.push(words);
        }
    }
    out
}

/// Heavy sides of a rectangle from (1, 1) to (19, 9), the reference edge below.
fn lipped(sides: &[Side]) -> Option<String> {
    let path: String = sides
        .iter()
        .map(|side| match side {
            Side::End => "M1 1V9",
            Side::FarEnd => "M19 1V9",
            Side::Edge => "M1 9H19",
            Side::FarEdge => "M1 1H19",
            Side::Face | Side::Reverse => "",
        })
        .collect();
    (!path.is_empty()).then_some(path)
}

fn lipped_words(facts: &Facts, row: &CutRow) -> String {
    let Some(first) = row.members.first() else {
        return String::new();
    };
    let lay = facts.model.part(*first).1.lay;
    let words: Vec<String> = row
        .lipped
        .iter()
        .map(|side| lay.looks(*side).word().to_owned())
        .collect();
    html::list(&words)
}

/// Boxes for each letter of the commission.
fn boxes(facts: &Facts, row: &CutRow) -> Vec<u32> {
    facts
        .letters()
        .iter()
        .map(|letter| {
            row.copies
                .iter()
                .find(|(own, _)| own == letter)
                .map_or(0, |(_, n)| *n)
        })
        .collect()
}
