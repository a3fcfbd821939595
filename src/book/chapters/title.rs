//! Chapter 1: the title page.

use super::Chapter;
use crate::book::{Facts, html, long_date, markdown, short_date};
use crate::draw::{Scene, corner::corner};
use crate::measure::{InchStep, Length, Units};
use crate::model::{AssemblyKind, Axis, Box3, Part, Piece, StockKind};
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
    /// A long title is set smaller.
    long: bool,
    docs: Option<Value>,
    drawing: Value,
    pieces: Vec<PieceSizes>,
    /// Pieces that found no room.
    more: usize,
    client: Option<String>,
    /// The same as it reads after "for".
    client_in_prose: Option<String>,
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
    /// All of it, not the cases alone.
    fitted: bool,
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
    let docs = short_docs(facts).map(|docs| markdown::to_html(docs, "title", 2));
    let title = Title {
        makes,
        long: is_long(facts.title()),
        docs,
        drawing: html::svg(&drawing(facts)),
        pieces: model.pieces.iter().take(ROOM).map(sizes).collect(),
        more: model.pieces.len().saturating_sub(ROOM),
        client: commission.and_then(|c| c.client.clone()),
        client_in_prose: facts.client_in_prose(),
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

/// The description of the only piece, if it is short enough for the title page; chapter 2 prints
/// the others.
pub(super) fn short_docs<'a>(facts: &Facts<'a>) -> Option<&'a str> {
    match facts.model.pieces.as_slice() {
        [piece] => Some(piece.docs.trim())
            .filter(|docs| !docs.is_empty() && docs.len() <= SHORT && !docs.contains('\n')),
        _ => None,
    }
}

/// Letters of a description that the title page takes.
const SHORT: usize = 400;

fn is_long(title: &str) -> bool {
    title.chars().count() > 24
}

/// The pieces from a corner, in the rows that let them be drawn largest.
fn drawing(facts: &Facts) -> Scene {
    let room = room(facts);
    let pieces: Vec<&Piece> = facts.model.pieces.iter().take(ROOM).collect();
    let area = |scene: &[Vec<Scene>]| -> f64 {
        // The piece that comes out smallest decides.
        let all = scene.iter().flatten().map(|one| one.width * one.height);
        all.fold(f64::MAX, f64::min)
    };
    let mut best: Option<(f64, Vec<Vec<Scene>>)> = None;
    for rows in 1..=pieces.len().clamp(1, 3) {
        let laid = laid(&pieces, rows, room);
        let area = area(&laid);
        if best.as_ref().is_none_or(|(most, _)| area > *most) {
            best = Some((area, laid));
        }
    }
    let mut all = Scene::new(0.0, 0.0, facts.title());
    let mut y = 0.0;
    for row in best.map(|(_, rows)| rows).unwrap_or_default() {
        let high = row.iter().map(|one| one.height).fold(0.0, f64::max);
        let mut x = 0.0;
        for one in &row {
            all.place(one, (x, y + (high - one.height) / 2.0));
            x += one.width + GAP;
        }
        y += high + GAP;
    }
    all.fitted(0.3)
}

/// Room for the drawing, and between pieces.
const WIDE: f64 = 165.0;
const GAP: f64 = 8.0;

/// The pieces in so many rows, each as large as its share of the room allows.
fn laid(pieces: &[&Piece], rows: usize, room: f64) -> Vec<Vec<Scene>> {
    let columns = pieces.len().max(1).div_ceil(rows);
    let wide = (WIDE - GAP * (columns - 1) as f64) / columns as f64;
    let high = (room - GAP * (rows - 1) as f64) / rows as f64;
    let row = |row: &[&Piece]| {
        row.iter()
            .map(|piece| corner(piece, (wide, high)))
            .collect()
    };
    pieces.chunks(columns).map(row).collect()
}

/// The height that frame, title, marks and title block leave for the drawing. The heights of lines
/// are those of the style sheet; a figure that is too low shows as a page that runs over.
fn room(facts: &Facts) -> f64 {
    let lines = |letters: usize, a_line: usize| letters.div_ceil(a_line.max(1)) as f64;
    let title = facts.title().chars().count();
    let title = if is_long(facts.title()) {
        lines(title, 36) * 11.2
    } else {
        lines(title, 24) * 16.8
    };
    let docs = short_docs(facts).map_or(0.0, |docs| 2.0 + lines(docs.chars().count(), 95) * 5.3);
    let model = facts.model;
    let makes: usize = model
        .pieces
        .iter()
        .map(|p| p.title.chars().count() + 20)
        .sum();
    let client = model.commission.as_ref().and_then(|c| c.client.as_ref());
    let sub = lines(
        makes.min(if facts.many() { makes } else { 20 })
            + client.map_or(0, |client| client.chars().count() + 6),
        75,
    ) * 6.8;
    let rows = 3 + model.pieces.len().min(ROOM) + usize::from(model.pieces.len() > ROOM);
    let used = 5.0 + 6.0 + 7.5 + title + sub + docs + 5.0 + 42.0 + rows as f64 * 11.2;
    (facts.paper.frame() - used).max(40.0)
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
    // With a worktop, kick or fillers it is larger than its cases: then all of it is told.
    let fitted = has_fitted(piece);
    let case = extents(if fitted { &piece.overall } else { &case });
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
        cases: piece.outer_cases().count(),
        fitted,
        other_unit: other.name(),
        other_step,
        other: html::sizes(other, &case),
        overall: html::sizes(piece.units, &extents(&piece.overall)),
    }
}

/// Whether something is fitted to its cases that stands beyond them.
fn has_fitted(piece: &Piece) -> bool {
    let kind = |part: &Part| piece.assembly(part.assembly).kind;
    piece
        .parts
        .iter()
        .any(|part| kind(part) == AssemblyKind::Fitted)
}

/// Thicknesses of the sheets in use, thickest first; those by name only say so.
fn sheets(facts: &Facts) -> Vec<Value> {
    let mut thick: Vec<(Length, bool)> = facts
        .model
        .parts()
        .filter_map(|(_, part)| facts.model.stocks.get(part.stock.0 as usize))
        .filter_map(|stock| match stock.kind {
            StockKind::Sheet { measured, .. } => Some((measured, stock.is_measured())),
            StockKind::Board { .. } | StockKind::Edging { .. } => None,
        })
        .collect();
    thick.sort_by(|a, b| b.cmp(a));
    thick.dedup();
    let units = facts.units();
    thick
        .into_iter()
        .map(|(thick, measured)| {
            let figure = html::figure_markup(units, thick);
            let by = if measured { "measured" } else { "nominal" };
            html::safe(format!("{figure} {by}"))
        })
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
