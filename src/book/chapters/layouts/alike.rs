//! Sheets, boards and strips that are cut alike: one drawing and one list of cuts for all of them, and a
//! table of what comes out of which.

use super::{Marks, gather};
use crate::book::html;
use crate::measure::Length;
use crate::plan::layouts::{Placed, Sheet, place_sign};
use minijinja::Value;
use serde::Serialize;

/// Sheets beside each other in one table, at most.
const BESIDE: usize = 5;

/// What comes out of sheets that are cut alike.
#[derive(Serialize)]
pub(super) struct AlikeFacts {
    count: usize,
    count_word: String,
    /// Tables of a few sheets each.
    tables: Vec<Table>,
}

#[derive(Serialize)]
struct Table {
    /// Numbers of its sheets.
    numbers: Vec<u32>,
    places: Vec<Place>,
}

#[derive(Serialize)]
struct Place {
    sign: String,
    size: Value,
    /// By sheet: what comes out of this place.
    gives: Vec<Vec<Marks>>,
}

impl AlikeFacts {
    /// `figure` writes a rough size.
    pub(super) fn of(alike: &[Sheet], figure: impl Fn(Length) -> Value) -> AlikeFacts {
        let size = |placed: &Placed| {
            let sides = [placed.length, placed.width].map(&figure);
            html::safe(format!(
                "{}{THIN}×{THIN}{}",
                sides[0],
                sides[1],
                THIN = html::THIN
            ))
        };
        let place = |sheets: &[Sheet], index: usize| Place {
            sign: place_sign(index),
            size: size(&alike[0].placed[index]),
            gives: sheets
                .iter()
                .map(|sheet| gather(sheet.placed[index].parts()))
                .collect(),
        };
        let table = |sheets: &[Sheet]| Table {
            numbers: sheets.iter().map(|sheet| sheet.number).collect(),
            places: (0..alike[0].placed.len())
                .map(|index| place(sheets, index))
                .collect(),
        };
        let beside = alike.len().div_ceil(alike.len().div_ceil(BESIDE));
        AlikeFacts {
            count: alike.len(),
            count_word: html::count_word(alike.len() as u32),
            tables: alike.chunks(beside).map(table).collect(),
        }
    }
}

/// Signs of places, in order; three or more that follow each other as `a\u{2013}c`.
pub(super) fn places(indices: &[usize]) -> Vec<String> {
    let mut indices = indices.to_vec();
    indices.sort_unstable();
    let rows = indices.chunk_by(|a, b| a + 1 == *b);
    rows.flat_map(|row| match row {
        [first, _, .., last] => vec![format!(
            "{}\u{2013}{}",
            place_sign(*first),
            place_sign(*last)
        )],
        few => few.iter().map(|index| place_sign(*index)).collect(),
    })
    .collect()
}
