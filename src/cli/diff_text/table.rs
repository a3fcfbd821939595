//! Rows with columns as wide as what stands in them, coloured after they are measured.

/// How a cell looks. Without colour, signs and arrows say the same.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Look {
    Plain,
    Strong,
    Dim,
    Old,
    New,
    Warn,
}

impl Look {
    fn code(self) -> &'static str {
        match self {
            Look::Plain => "",
            Look::Strong => "1",
            Look::Dim => "2",
            Look::Old => "31",
            Look::New => "32",
            Look::Warn => "33",
        }
    }
}

/// Sets colours, or none.
#[derive(Clone, Copy, Debug)]
pub(super) struct Paint {
    pub(super) color: bool,
}

impl Paint {
    pub(super) fn set(self, text: &str, look: Look) -> String {
        if self.color && look != Look::Plain && !text.is_empty() {
            format!("\u{1b}[{}m{text}\u{1b}[0m", look.code())
        } else {
            text.to_owned()
        }
    }
}

/// A cell.
#[derive(Clone, Debug)]
pub(super) struct Cell {
    text: String,
    look: Look,
    right: bool,
}

/// A cell of words.
pub(super) fn left(text: impl Into<String>, look: Look) -> Cell {
    Cell {
        text: text.into(),
        look,
        right: false,
    }
}

/// A cell of a figure.
pub(super) fn right(text: impl Into<String>, look: Look) -> Cell {
    Cell {
        right: true,
        ..left(text, look)
    }
}

/// A row: cells in columns, or words that take the whole of its width after the first cells.
#[derive(Clone, Debug)]
pub(super) struct Row {
    cells: Vec<Cell>,
    /// The last cell is as long as it is and widens no column.
    open: bool,
}

/// A table.
#[derive(Debug, Default)]
pub(super) struct Table {
    rows: Vec<Row>,
}

impl Table {
    /// A row whose cells stand in columns.
    pub(super) fn row(&mut self, cells: Vec<Cell>) {
        self.rows.push(Row { cells, open: false });
    }

    /// A row whose last cell runs on.
    pub(super) fn open(&mut self, cells: Vec<Cell>) {
        self.rows.push(Row { cells, open: true });
    }

    /// The rows as lines, two blanks between columns.
    pub(super) fn write(&self, indent: &str, paint: Paint, out: &mut String) {
        let mut widths: Vec<usize> = Vec::new();
        for row in &self.rows {
            let closed = row.cells.len() - usize::from(row.open);
            for (i, cell) in row.cells.iter().take(closed).enumerate() {
                let width = cell.text.chars().count();
                match widths.get_mut(i) {
                    Some(known) => *known = (*known).max(width),
                    None => widths.push(width),
                }
            }
        }
        for row in &self.rows {
            let mut line = indent.to_owned();
            let last = row.cells.iter().rposition(|cell| !cell.text.is_empty());
            for (i, cell) in row.cells.iter().enumerate() {
                if last.is_none_or(|last| i > last) {
                    break;
                }
                let text = paint.set(&cell.text, cell.look);
                let open = row.open && i + 1 == row.cells.len();
                let width = widths.get(i).copied().unwrap_or(0);
                let blank = if open {
                    0
                } else {
                    width.saturating_sub(cell.text.chars().count())
                };
                let blank = " ".repeat(blank);
                // Of an empty column not even its gap is kept.
                if width == 0 && !open {
                    continue;
                }
                if cell.right {
                    line.push_str(&blank);
                    line.push_str(&text);
                } else {
                    line.push_str(&text);
                    if last != Some(i) {
                        line.push_str(&blank);
                    }
                }
                if last != Some(i) {
                    line.push_str("  ");
                }
            }
            out.push_str(line.trim_end());
            out.push('\n');
        }
    }
}
