//! Columns: lines of a run that are alike have their items begin in one column.
//!
//! In a block, what follows the heads is aligned. Beyond that, an item is aligned with that of the line
//! above while the two lines are of one shape up to it: under one head the same word, or a word where the
//! other has a word; under two heads the word after the subject, if it is the same. A column stands one blank after its longest item, so that a table takes no
//! more room than it needs; an item that is far longer than most keeps to itself.

use super::rows::{Entry, Row, Size};
use super::words::Shape;

/// The widest hole that is left to bring an item into its column.
const REACH: usize = 20;

/// Blanks before a comment at the end of a line.
pub(super) const COMMENT_GAP: usize = 2;

/// The widest hole before a comment.
const COMMENT_REACH: usize = 40;

/// Aligns the lines of a run. At the top of a file each head begins a thing of its own, so that lines
/// of unlike heads are no table there, and neither are blocks.
pub(super) fn run(rows: &mut [Row], run: &[Entry], top: bool) {
    let lines = run.iter().take_while(|entry| entry.size == Size::Short);
    let blocks = lines.count();
    let (lead, table) = run.split_at(blocks);
    let head = |rows: &[Row], entry: &Entry| cell_text(rows, entry.row, 0).to_owned();
    // Blocks before the first plain line are of its table only if they are of its kind.
    let one_head = |rows: &[Row], entries: &[Entry]| {
        entries
            .windows(2)
            .all(|pair| matches!(pair, [a, b] if head(rows, a) == head(rows, b)))
    };
    let belongs = run
        .get(..(blocks + 1).min(run.len()))
        .is_some_and(|part| one_head(rows, part));
    let tables: Vec<Vec<Entry>> = if top {
        let lines = run.split(|entry| entry.size == Size::Short);
        lines.flat_map(|lines| by_head(rows, lines)).collect()
    } else if belongs {
        vec![run.to_vec()]
    } else {
        let mut tables = by_head(rows, lead);
        tables.push(table.to_vec());
        tables
    };
    for table in tables {
        heads(rows, &table);
        let ids: Vec<usize> = table.iter().map(|entry| entry.row).collect();
        deeper(rows, &ids, 2);
    }
}

fn by_head(rows: &[Row], entries: &[Entry]) -> Vec<Vec<Entry>> {
    entries
        .chunk_by(|a, b| cell_text(rows, a.row, 0) == cell_text(rows, b.row, 0))
        .map(<[Entry]>::to_vec)
        .collect()
}

fn cell_text(rows: &[Row], row: usize, cell: usize) -> &str {
    rows.get(row)
        .and_then(|row| row.cells.get(cell))
        .map_or("", |cell| cell.text.as_str())
}

/// Aligns what follows the heads. A line with a block fits in if it can, and widens nothing.
fn heads(rows: &mut [Row], table: &[Entry]) {
    let width = |rows: &[Row], entry: &Entry| {
        let row = rows.get(entry.row).filter(|row| row.cells.len() > 1)?;
        row.cells.first().map(super::words::Cell::width)
    };
    let lines = table.iter().filter(|entry| entry.size == Size::Line);
    let Some(widest) = lines.filter_map(|entry| width(rows, entry)).max() else {
        return;
    };
    for entry in table {
        let missing = width(rows, entry).and_then(|width| widest.checked_sub(width));
        pad(rows, entry.row, 0, missing.unwrap_or(0));
    }
}

fn pad(rows: &mut [Row], row: usize, cell: usize, blanks: usize) {
    if let Some(pad) = rows.get_mut(row).and_then(|row| row.pads.get_mut(cell)) {
        *pad = blanks;
    }
}

/// Aligns the cells `at` of these rows and those behind them, as far as neighbours are alike.
fn deeper(rows: &mut [Row], ids: &[usize], at: usize) {
    let groups: Vec<Vec<usize>> = ids
        .chunk_by(|a, b| alike(rows, *a, *b, at))
        .map(<[usize]>::to_vec)
        .collect();
    for group in groups.into_iter().filter(|group| group.len() > 1) {
        let ends: Vec<usize> = group.iter().map(|row| end(rows, *row, at - 1)).collect();
        let (least, most) = window(&ends, REACH);
        let kept: Vec<usize> = group
            .into_iter()
            .filter(|row| (least..=most).contains(&end(rows, *row, at - 1)))
            .collect();
        let column = kept.iter().map(|row| end(rows, *row, at - 1)).max();
        for row in &kept {
            let missing = column.unwrap_or(0) - end(rows, *row, at - 1);
            pad(rows, *row, at - 1, missing);
        }
        deeper(rows, &kept, at + 1);
    }
}

/// The column after a cell.
fn end(rows: &[Row], row: usize, cell: usize) -> usize {
    rows.get(row).map_or(0, |row| {
        row.start_of(cell) + row.cells.get(cell).map_or(0, super::words::Cell::width)
    })
}

/// The stretch of at most `reach` that holds most of the ends; of several the first.
fn window(ends: &[usize], reach: usize) -> (usize, usize) {
    let held = |least: usize| {
        let count = ends
            .iter()
            .filter(|end| (least..=least + reach).contains(*end));
        (count.count(), std::cmp::Reverse(least))
    };
    let least = ends.iter().copied().max_by_key(|end| held(*end));
    let least = least.unwrap_or(0);
    (least, least + reach)
}

/// Whether two lines that are alike up to their cell `at` are so in it too.
fn alike(rows: &[Row], a: usize, b: usize, at: usize) -> bool {
    let (Some(a), Some(b)) = (rows.get(a), rows.get(b)) else {
        return false;
    };
    // After a text of several lines there are no columns.
    let several_lines = |row: &Row| row.cells.iter().take(at).any(|c| c.text.contains('\n'));
    if several_lines(a) || several_lines(b) {
        return false;
    }
    let (Some(cell_a), Some(cell_b)) = (a.cells.get(at), b.cells.get(at)) else {
        return false;
    };
    let one_head = a.cells.first().map(|c| &c.text) == b.cells.first().map(|c| &c.text);
    let one_word = cell_a.text == cell_b.text && cell_a.shape == Shape::Names;
    if one_word || !one_head {
        return one_word && (one_head || at == 2);
    }
    let before = |row: &'_ Row| {
        row.cells
            .get(at - 1)
            .map(|cell| (cell.text.clone(), cell.shape))
    };
    let follows_one_word =
        before(a) == before(b) && before(a).is_some_and(|(_, shape)| shape == Shape::Names);
    if follows_one_word {
        return true;
    }
    // What follows the subject is its count, or the word that says what is done with it.
    cell_a.shape == cell_b.shape && (cell_a.shape != Shape::Value || at == 2)
}

/// Aligns the comments at the ends of neighbouring lines.
pub(super) fn comments(rows: &mut [Row]) {
    let mut from = 0;
    while from < rows.len() {
        let takes_part = |row: &Row| {
            row.comment.is_some()
                && row.begins_line
                && !row.cells.iter().any(|cell| cell.text.contains('\n'))
        };
        let indent = rows.get(from).map(|row| row.indent);
        let rest = rows.get(from..).unwrap_or_default();
        let length = rest
            .iter()
            .take_while(|row| takes_part(row) && Some(row.indent) == indent)
            .count();
        let group = rows.get_mut(from..from + length).unwrap_or_default();
        let ends: Vec<usize> = group.iter().map(Row::width).collect();
        let (least, most) = window(&ends, COMMENT_REACH);
        let inside = ends
            .iter()
            .copied()
            .filter(|end| (least..=most).contains(end));
        let column = inside.max().unwrap_or(0);
        for (row, end) in group.iter_mut().zip(ends) {
            if let (true, Some(pad)) = ((least..=most).contains(&end), row.pads.last_mut()) {
                *pad = column - end;
            }
        }
        from += length.max(1);
    }
}
