//! Boards and ready-made edging: what is sawn, from which boards, and each of them to scale.

use super::proof::{self, CostFacts};
use super::{Marks, SheetFacts, gather, running, sheet, title, wood};
use crate::book::chapters::buy::{BoardSum, BoardsAsked, boards, sum};
use crate::book::{Facts, html};
use crate::draw::layout_sketch;
use crate::measure::Length;
use crate::plan::buying::WoodSum;
use crate::plan::layouts::{BoardList, Sheet, Sold, StripList, Taken, alike};
use minijinja::Value;
use serde::Serialize;

/// The boards of one rough thickness.
#[derive(Serialize)]
pub(super) struct BoardFacts {
    title: String,
    rough: Option<Value>,
    needed: Value,
    pieces: Vec<BoardRow>,
    blanks: Vec<BlankRow>,
    running: Option<Value>,
    buy: String,
    sum: BoardSum,
    asked: Vec<BoardsAsked>,
    /// How many of other widths do, and what they come to; the width that is laid out comes first.
    if_wide: Vec<(Value, u32, String)>,
    /// For boards of other widths: what to rip from each length, and how wide all of that is.
    by_length: Vec<LengthRow>,
    /// In just which sizes they are sold; else they are of the least size that the stock promises, length
    /// and width, or of what a piece needs.
    sizes: Vec<Value>,
    least: Option<Value>,
    boards: Vec<SheetFacts>,
    count: usize,
    count_word: String,
    cost: Option<CostFacts>,
    kerf: Value,
    too_long: Vec<Marks>,
}

#[derive(Serialize)]
struct BoardRow {
    marks: Marks,
    off: usize,
    staves: u32,
    strip: bool,
    long: Value,
    wide: Value,
    thick: Value,
}

/// What is ripped from one length: how many, how wide; and all of it beside one another.
#[derive(Serialize)]
struct LengthRow {
    long: Value,
    rips: Vec<(u32, Value)>,
    wide: Value,
}

/// Blanks of one size.
#[derive(Serialize)]
struct BlankRow {
    off: usize,
    long: Value,
    wide: Value,
    /// Planed to this.
    thick: Value,
    /// How many strips come off each, how wide, and of which parts.
    strips: usize,
    strip: Value,
    marks: Vec<Marks>,
}

/// Edging of one stock.
#[derive(Serialize)]
pub(super) struct StripFacts {
    title: String,
    running: Value,
    sold: Option<Value>,
    pieces: Vec<(Marks, usize, Value)>,
    strips: Vec<SheetFacts>,
    count: usize,
    count_word: String,
    cost: Option<CostFacts>,
    kerf: Value,
    too_long: Vec<Marks>,
}

pub(super) fn board(facts: &Facts, list: &BoardList) -> BoardFacts {
    let units = facts.units();
    let rough = |l: Length| html::figure_rough(units, l);
    let mut rows: Vec<(BoardRow, u32, (Length, Length, Length))> = Vec::new();
    for piece in &list.pieces {
        let key = (piece.part.mark, (piece.long, piece.wide, piece.thick));
        match rows.iter_mut().find(|(_, m, s)| (*m, *s) == key) {
            Some((row, _, _)) => {
                row.off += 1;
                if piece.stave.is_none_or(|(k, _)| k == 1) {
                    row.marks.add(&piece.part);
                }
            }
            None => rows.push((
                BoardRow {
                    marks: Marks::of(&piece.part),
                    off: 1,
                    staves: piece.stave.map_or(1, |(_, n)| n),
                    strip: piece.strip,
                    long: rough(piece.long),
                    wide: rough(piece.wide),
                    thick: html::figure_column(units, piece.thick),
                },
                key.0,
                key.1,
            )),
        }
    }
    let sum_of = WoodSum::of(list, facts.model.shop.board_waste);
    let size = |(long, wide): &(Length, Length)| html::sizes(units, &[*long, *wide]);
    let (sizes, least) = match &list.sold {
        Sold::Open => (Vec::new(), None),
        Sold::Random { long, wide } => (Vec::new(), Some(size(&(long.0, wide.0)))),
        Sold::In(sizes) => (sizes.iter().map(size).collect(), None),
    };
    let thick = list.rough.unwrap_or(list.needed);
    let bought = list
        .boards
        .iter()
        .all(|b| matches!(b.taken, Taken::Bought(_)));
    let count = (sizes.len() == 1 && bought).then_some(list.boards.len());
    BoardFacts {
        title: title(facts, list.stock),
        rough: list.rough.map(|l| html::figure(units, l)),
        needed: html::figure(units, list.needed),
        pieces: rows.into_iter().map(|(row, _, _)| row).collect(),
        blanks: blanks(facts, list),
        running: list
            .running
            .is_positive()
            .then(|| running(units, list.running))
            .map(html::safe),
        buy: wood(units, list.bought().volume),
        sum: sum(units, &sum_of),
        asked: list.asked.iter().map(|a| boards(units, a)).collect(),
        if_wide: list
            .if_wide
            .iter()
            .map(|way| {
                (
                    html::figure(units, way.wide),
                    way.boards,
                    wood(units, way.volume),
                )
            })
            .collect(),
        by_length: match list.if_wide.as_slice() {
            [] => Vec::new(),
            _ => by_length(facts, list),
        },
        sizes,
        least,
        boards: drawn(facts, &list.boards, "Board", thick),
        count: list.boards.len(),
        count_word: html::capital(&html::count_word(list.boards.len() as u32)),
        cost: list
            .cost
            .as_ref()
            .and_then(|cost| proof::of(units, cost, count, Some(thick))),
        kerf: html::figure(units, facts.model.shop.kerf),
        too_long: gather(
            list.unplaced
                .iter()
                .filter_map(|i| list.pieces.get(*i))
                .map(|p| &p.part),
        ),
    }
}

fn by_length(facts: &Facts, list: &BoardList) -> Vec<LengthRow> {
    let rough = |l: Length| html::figure_rough(facts.units(), l);
    let rows = list.by_length(facts.model.shop.kerf).into_iter();
    rows.map(|of| LengthRow {
        long: rough(of.long),
        rips: of.rips.iter().map(|(wide, n)| (*n, rough(*wide))).collect(),
        wide: rough(of.wide),
    })
    .collect()
}

fn blanks(facts: &Facts, list: &BoardList) -> Vec<BlankRow> {
    let units = facts.units();
    let rough = |l: Length| html::figure_rough(units, l);
    let mut rows: Vec<(BlankRow, (Length, Length, Length), usize)> = Vec::new();
    for blank in &list.blanks {
        let Some(first) = blank.strips.first().and_then(|i| list.pieces.get(*i)) else {
            continue;
        };
        let key = (blank.long, blank.wide, first.thick);
        let strips = blank.strips.iter().filter_map(|i| list.pieces.get(*i));
        match rows.iter_mut().find(|(_, size, _)| *size == key) {
            Some((row, _, _)) => {
                row.off += 1;
                for strip in strips {
                    match row.marks.iter_mut().find(|m| m.mark == strip.part.mark) {
                        Some(marks) => marks.add(&strip.part),
                        None => row.marks.push(Marks::of(&strip.part)),
                    }
                }
            }
            None => rows.push((
                BlankRow {
                    off: 1,
                    long: rough(blank.long),
                    wide: rough(blank.wide),
                    thick: html::figure(units, first.thick),
                    strips: blank.strips.len(),
                    strip: rough(first.wide),
                    marks: gather(strips.map(|p| &p.part)),
                },
                key,
                blank.strips.len(),
            )),
        }
    }
    rows.into_iter().map(|(row, _, _)| row).collect()
}

/// Boards or strips to scale.
fn drawn(facts: &Facts, all: &[Sheet], noun: &str, thick: Length) -> Vec<SheetFacts> {
    let units = facts.units();
    let one = |boards: &[Sheet]| {
        let (scene, scales) = layout_sketch::board(boards, noun, thick, units);
        let size = html::sizes(units, &[boards[0].long, boards[0].wide]);
        sheet(facts, boards, (html::svg(&scene), scales), size)
    };
    alike(all).map(one).collect()
}

pub(super) fn strip(facts: &Facts, list: &StripList) -> StripFacts {
    let units = facts.units();
    let mut pieces: Vec<(Marks, usize, Length)> = Vec::new();
    for piece in &list.pieces {
        match pieces
            .iter_mut()
            .find(|(m, _, l)| m.mark == piece.part.mark && *l == piece.long)
        {
            Some((marks, off, _)) => {
                marks.add(&piece.part);
                *off += 1;
            }
            None => pieces.push((Marks::of(&piece.part), 1, piece.long)),
        }
    }
    StripFacts {
        title: title(facts, list.stock),
        running: html::safe(running(units, list.running)),
        sold: list.sold.map(|l| html::figure(units, l)),
        strips: drawn(facts, &list.strips, "Strip", list.thick),
        count: list.strips.len(),
        count_word: html::capital(&html::count_word(list.strips.len() as u32)),
        cost: list.cost.as_ref().and_then(|cost| {
            let count = cost.on_hand.is_zero().then_some(list.strips.len());
            proof::of(units, cost, count, None)
        }),
        kerf: html::figure(units, facts.model.shop.kerf),
        pieces: pieces
            .into_iter()
            .map(|(m, n, l)| (m, n, html::figure_rough(units, l)))
            .collect(),
        too_long: gather(
            list.unplaced
                .iter()
                .filter_map(|i| list.pieces.get(*i))
                .map(|p| &p.part),
        ),
    }
}
