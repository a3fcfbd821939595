//! Chapter 1: the title page.

use super::Chapter;
use crate::book::{Facts, html, long_date, markdown, short_date};
use crate::measure::{InchStep, Length, Units};
use crate::model::{Axis, Box3, Piece, StockKind};
use minijinja::Value;
use serde::Serialize;

/// The title page.
pub const CHAPTER: Chapter = Chapter {
    number: 1,
    id: "title",
    title: "Title page",
    template: "title.html",
    facts,
};

/// So many pieces find room in the title block.
const ROOM: usize = 4;

#[derive(Serialize)]
struct Title {
    /// What is made: `Score cabinet, three alike`.
    makes: Vec<String>,
    docs: Vec<Value>,
    drawing: Option<Value>,
    pieces: Vec<PieceSizes>,
    /// Pieces that found no room.
    more: usize,
    client: Option<String>,
    due: Option<String>,
    date: Option<String>,
    sheets: Vec<Value>,
    /// The unit of `sheets`.
    unit: &'static str,
    units: Vec<String>,
    letters: String,
}

#[derive(Serialize)]
struct PieceSizes {
    title: String,
    count: String,
    copies: u32,
    unit: &'static str,
    case: Value,
    cases: usize,
    other_unit: &'static str,
    other_step: &'static str,
    other: Value,
    overall: Value,
}

/// Prepares the title page.
pub fn facts(facts: &Facts) -> Option<Value> {
    let model = facts.model;
    let commission = model.commission.as_ref();
    let makes = model
        .pieces
        .iter()
        .map(|piece| match piece.copies {
            1 => piece.title.clone(),
            n => format!("{}, {} alike", piece.title, html::count_word(n)),
        })
        .collect();
    // One piece on its own speaks for the whole; of several, the commission's words alone.
    let docs = match model.pieces.as_slice() {
        [piece] if !piece.docs.trim().is_empty() => {
            vec![markdown::to_html(&piece.docs, "title", 3)]
        }
        _ => Vec::new(),
    };
    let title = Title {
        makes,
        docs,
        drawing: None,
        pieces: model.pieces.iter().take(ROOM).map(sizes).collect(),
        more: model.pieces.len().saturating_sub(ROOM),
        client: commission.and_then(|c| c.client.clone()),
        due: commission.and_then(|c| c.due.as_deref()).map(|due| {
            due.parse::<jiff::civil::Date>()
                .map_or_else(|_| due.to_owned(), long_date)
        }),
        date: facts.date.map(short_date),
        sheets: sheets(facts),
        unit: facts.units().name(),
        units: units(facts),
        letters: facts.letters().join(", "),
    };
    Some(html::value(&title))
}

/// Wide, high and deep.
fn extents(b: &Box3) -> [Length; 3] {
    [Axis::X, Axis::Z, Axis::Y].map(|axis| b.extent(axis))
}

fn sizes(piece: &Piece) -> PieceSizes {
    let case = piece
        .cases
        .iter()
        .map(|case| case.envelope)
        .reduce(|all, b| all.union(&b))
        .unwrap_or(piece.overall);
    let case = extents(&case);
    let (other, other_step) = match piece.units {
        Units::Mm => (Units::Inch(InchStep::SixtyFourth), "1/64"),
        Units::Inch(_) => (Units::Mm, "0.1"),
    };
    PieceSizes {
        title: piece.title.clone(),
        count: html::count_word(piece.copies),
        copies: piece.copies,
        unit: piece.units.name(),
        case: html::sizes(piece.units, &case),
        cases: piece.cases.len(),
        other_unit: other.name(),
        other_step,
        other: html::sizes(other, &case),
        overall: html::sizes(piece.units, &extents(&piece.overall)),
    }
}

/// Measured thicknesses of the sheets in use, thickest first.
fn sheets(facts: &Facts) -> Vec<Value> {
    let mut thick: Vec<Length> = facts
        .model
        .parts()
        .filter_map(|(_, part)| facts.model.stocks.get(part.stock.0 as usize))
        .filter_map(|stock| match stock.kind {
            StockKind::Sheet { measured, .. } => Some(measured),
            StockKind::Board { .. } | StockKind::Edging { .. } => None,
        })
        .collect();
    thick.sort_by(|a, b| b.cmp(a));
    thick.dedup();
    let units = facts.units();
    thick
        .into_iter()
        .map(|thick| html::safe(html::figure_markup(units, thick)))
        .collect()
}

/// `mm, to 0.1`, for each system in use.
fn units(facts: &Facts) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for piece in &facts.model.pieces {
        let step = match piece.units {
            Units::Mm => "0.1",
            Units::Inch(InchStep::Sixteenth) => "1/16",
            Units::Inch(InchStep::ThirtySecond) => "1/32",
            Units::Inch(InchStep::SixtyFourth) => "1/64",
        };
        let words = format!("{}, to {step}", piece.units.name());
        if !out.contains(&words) {
            out.push(words);
        }
    }
    out
}
