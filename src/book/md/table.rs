//! Tables: a row a line, a table a group, since CommonMark has no groups of rows.

use super::block::Block;
use super::inline::{Inline, Place, Setting, line, plain, tidy, words};
use super::tree::{Element, Node};

/// A table of one head row.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Table {
    /// Whether each column holds figures.
    pub figures: Vec<bool>,
    pub head: Vec<Vec<Inline>>,
    pub rows: Vec<Vec<Vec<Inline>>>,
}

/// A column as its head has it.
#[derive(Clone, Debug, Default)]
struct Column {
    head: Vec<Inline>,
    figures: bool,
    /// The letters of the copies that it has boxes for.
    letters: Vec<String>,
    /// Some cell of it holds a box to tick.
    ticks: bool,
    /// Some cell of it holds words.
    said: bool,
}

/// Rows of a table in the order in which they stand, and what stands between them.
enum Piece {
    Row(Vec<Vec<Inline>>),
    /// The title of a group.
    Group(Vec<Inline>),
    /// A sentence about the rows before.
    Words(Vec<Inline>),
}

/// Reads a table.
pub(super) fn read(element: &Element, out: &mut Vec<Block>) {
    let mut columns: Vec<Column> = Vec::new();
    let mut pieces: Vec<Piece> = Vec::new();
    for part in element.elements() {
        match part.name.as_str() {
            "caption" => {
                let line = tidy(vec![Inline::Set(Setting::Strong, cell_line(part))]);
                if !line.is_empty() {
                    out.push(Block::Paragraph(line));
                }
            }
            "thead" => {
                for row in part.elements().filter(|row| row.name == "tr") {
                    columns = row.elements().flat_map(head).collect();
                }
            }
            "tfoot" => {
                for row in part.elements().filter(|row| row.name == "tr") {
                    match row.elements().next() {
                        Some(first) if span_of(first) > 1 => {
                            pieces.extend(sum(row).map(Piece::Words));
                        }
                        _ => rows(row, &mut columns, &mut pieces),
                    }
                }
            }
            "tr" => rows(part, &mut columns, &mut pieces),
            _ => {
                for row in part.elements().filter(|row| row.name == "tr") {
                    rows(row, &mut columns, &mut pieces);
                }
            }
        }
    }
    let kept: Vec<bool> = columns
        .iter()
        .map(|column| column.said || !column.ticks && !column.head.is_empty())
        .collect();
    let kept = |cells: Vec<Vec<Inline>>| -> Vec<Vec<Inline>> {
        let cells = cells.into_iter().zip(&kept);
        cells
            .filter(|(_, kept)| **kept)
            .map(|(cell, _)| cell)
            .collect()
    };
    let figures = columns.iter().map(|column| column.figures);
    let empty = Table {
        figures: figures
            .zip(&columns)
            .filter(|(_, c)| c.said || !c.ticks && !c.head.is_empty())
            .map(|(figures, _)| figures)
            .collect(),
        head: kept(columns.iter().map(|column| column.head.clone()).collect()),
        rows: Vec::new(),
    };
    if pieces.is_empty() && empty.head.iter().any(|cell| !cell.is_empty()) {
        out.push(Block::Table(empty.clone()));
    }
    let mut table = empty.clone();
    for piece in pieces {
        match piece {
            Piece::Row(mut cells) => {
                cells.resize(columns.len(), Vec::new());
                table.rows.push(kept(cells));
            }
            Piece::Group(line) | Piece::Words(line) => {
                let full = std::mem::replace(&mut table, empty.clone());
                if !full.rows.is_empty() {
                    out.push(Block::Table(full));
                }
                if !line.is_empty() {
                    out.push(Block::Paragraph(line));
                }
            }
        }
    }
    if !table.rows.is_empty() {
        out.push(Block::Table(table));
    }
}

fn cell_line(cell: &Element) -> Vec<Inline> {
    line(&cell.children, Place::Cell, &mut |_| None)
}

fn span_of(cell: &Element) -> usize {
    let span = cell.get("colspan").and_then(|n| n.parse().ok());
    span.unwrap_or(1usize).clamp(1, 100)
}

/// The columns that a cell of the head stands over.
fn head(cell: &Element) -> Vec<Column> {
    let spans: Vec<String> = cell
        .elements()
        .filter(|span| span.name == "span" && !span.is("hd"))
        .map(|span| span.text().trim().to_owned())
        .collect();
    let (letters, line) = match (cell.is("bxs"), spans.as_slice()) {
        (true, [word]) if word == "Done" => (Vec::new(), copies_of(cell)),
        (true, []) => (Vec::new(), copies_of(cell)),
        (true, _) => (spans, copies_of(cell)),
        (false, _) => (Vec::new(), cell_line(cell)),
    };
    let first = Column {
        head: line,
        figures: cell.is("n"),
        letters,
        ..Column::default()
    };
    let more = span_of(cell) - 1;
    std::iter::once(first)
        .chain(std::iter::repeat_n(Column::default(), more))
        .collect()
}

/// `Copies`, with the hand that they are of.
fn copies_of(cell: &Element) -> Vec<Inline> {
    let hand = cell.elements().find(|mark| mark.is("hd"));
    match hand.map(Element::text) {
        Some(hand) => vec![Inline::Text(format!("{}, copies", hand.trim()))],
        None => vec![words("Copies")],
    }
}

/// Takes in a row, which may be the title of a group or a sentence instead.
fn rows(row: &Element, columns: &mut Vec<Column>, pieces: &mut Vec<Piece>) {
    let cells: Vec<&Element> = row
        .elements()
        .filter(|cell| cell.name == "td" || cell.name == "th")
        .collect();
    if let [only] = cells.as_slice()
        && span_of(only) > 1
        && span_of(only) >= columns.len()
    {
        whole(row, only, pieces);
        return;
    }
    let mut line = Vec::new();
    for cell in cells {
        let at = line.len();
        while columns.len() < at + span_of(cell) {
            columns.push(Column {
                figures: cell.is("n"),
                ..Column::default()
            });
        }
        let Some(column) = columns.get_mut(at) else {
            break;
        };
        let said = if cell.is("bxs") {
            copies(cell, &column.letters)
        } else {
            cell_line(cell)
        };
        column.said |= !said.is_empty();
        column.ticks |= has_box(cell);
        // A row is read by itself: what is the same as above is said again.
        let said = match pieces.last() {
            Some(Piece::Row(above)) if at == 0 && said.is_empty() && row.is("same") => {
                above.first().cloned().unwrap_or_default()
            }
            _ => said,
        };
        line.push(said);
        line.resize(at + span_of(cell), Vec::new());
    }
    pieces.push(Piece::Row(line));
}

/// What is added up below a table, of all its groups: a sentence. None where there is no figure.
fn sum(row: &Element) -> Option<Vec<Inline>> {
    let cells = row.elements().map(cell_line);
    let mut cells = cells.filter(|cell| !cell.is_empty());
    let mut out = cells.next()?;
    let mut joint = ": ";
    for cell in cells {
        out.push(words(joint));
        out.extend(cell);
        joint = " ";
    }
    (joint == " ").then(|| tidy(out))
}

/// A row of one cell.
fn whole(row: &Element, cell: &Element, pieces: &mut Vec<Piece>) {
    if row.is("grp") {
        let line = vec![Inline::Set(Setting::Strong, group_line(cell))];
        pieces.push(Piece::Group(tidy(line)));
        return;
    }
    let said = cell_line(cell);
    // What is said of one row stays with it.
    if row.is("more")
        && !row.is("all")
        && let Some(Piece::Row(cells)) = pieces.last_mut()
        && let Some(last) = cells.iter_mut().rev().find(|cell| !cell.is_empty())
    {
        last.push(words(". "));
        last.extend(said);
        *last = tidy(std::mem::take(last));
        return;
    }
    pieces.push(Piece::Words(said));
}

/// The title of a group; what stands at its far end is told after it.
fn group_line(cell: &Element) -> Vec<Inline> {
    let mut out = Vec::new();
    for node in &cell.children {
        let said = line(std::slice::from_ref(node), Place::Cell, &mut |_| None);
        match node {
            Node::Element(element) if element.name == "em" => {
                out.push(words("; "));
                out.push(Inline::Text(plain(&said)));
            }
            Node::Element(element) if element.is("num") && !said.is_empty() => {
                out.push(words(", "));
                out.extend(said);
            }
            Node::Element(_) => out.extend(said),
            Node::Text(_) => out.extend(said),
            Node::Drawing(_) => {}
        }
    }
    tidy(out)
}

fn has_box(element: &Element) -> bool {
    element.is("bx") || element.elements().any(has_box)
}

fn boxes(element: &Element) -> usize {
    usize::from(element.is("bx")) + element.elements().map(boxes).sum::<usize>()
}

/// The copies that boxes stand for, and how many of each: `A, C 2`. A box's letter stands in the
/// column's head, or beside it where there are many copies.
fn copies(cell: &Element, letters: &[String]) -> Vec<Inline> {
    let mut out: Vec<String> = Vec::new();
    for (i, span) in cell.elements().enumerate() {
        let text = span.text();
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let boxes = boxes(span);
        match (letters.get(i), text.as_str(), boxes) {
            (_, "", 0) => {}
            (Some(letter), "", 1) => out.push(letter.clone()),
            (Some(letter), "", n) => out.push(format!("{letter} {n}")),
            (Some(letter), count, _) => out.push(format!("{letter} {count}")),
            (None, "", n) => out.push(n.to_string()),
            (None, letter, 0 | 1) => out.push(letter.to_owned()),
            (None, letter, n) => out.push(format!("{letter} {n}")),
        }
    }
    if out.is_empty() {
        return Vec::new();
    }
    vec![Inline::Text(out.join(", "))]
}
