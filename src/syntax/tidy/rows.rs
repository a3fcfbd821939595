//! From the tree to rows of cells, and from rows to text.

use super::align;
use super::words::{self, Cell, Shape, Written};
use crate::source::Span;
use crate::syntax::tree::{Block, If, Line, Node, Tree};

/// Blanks for each block.
const STEP: usize = 4;

/// One line of the tidy file.
#[derive(Debug, Default)]
pub(super) struct Row {
    /// Blanks before its first cell.
    pub(super) indent: usize,
    /// What stands in it; nothing in a blank line.
    pub(super) cells: Vec<Cell>,
    /// Blanks after each cell beside the one that parts them.
    pub(super) pads: Vec<usize>,
    /// What follows the cells: a brace, or a whole block.
    pub(super) tail: String,
    /// The comment at its end.
    pub(super) comment: Option<String>,
    /// Whether it begins a line of the language: comments beside such are aligned.
    pub(super) begins_line: bool,
}

impl Row {
    fn of(indent: usize, text: impl Into<String>) -> Row {
        let cell = Cell {
            text: text.into(),
            shape: Shape::Value,
        };
        Row {
            indent,
            cells: vec![cell],
            pads: vec![0],
            ..Row::default()
        }
    }

    /// The column after its last cell and what follows the cells.
    pub(super) fn width(&self) -> usize {
        let cells = self.cells.len();
        self.start_of(cells.saturating_sub(1))
            + self.cells.last().map_or(0, Cell::width)
            + self.tail.chars().count()
    }

    /// The column in which a cell begins.
    pub(super) fn start_of(&self, cell: usize) -> usize {
        let before = self.cells.iter().zip(&self.pads).take(cell);
        self.indent + before.map(|(c, pad)| c.width() + 1 + pad).sum::<usize>()
    }

    fn write(&self, out: &mut String) {
        let blanks = |out: &mut String, count: usize| out.extend(std::iter::repeat_n(' ', count));
        let last = self.cells.len().saturating_sub(1);
        if !self.cells.is_empty() || self.comment.is_some() {
            blanks(out, self.indent);
        }
        for (i, (cell, pad)) in self.cells.iter().zip(&self.pads).enumerate() {
            out.push_str(&cell.text);
            if i < last {
                blanks(out, 1 + pad);
            }
        }
        out.push_str(&self.tail);
        if let Some(comment) = &self.comment {
            if !self.cells.is_empty() {
                blanks(
                    out,
                    self.pads.last().copied().unwrap_or(0) + align::COMMENT_GAP,
                );
            }
            out.push_str(comment);
        }
        out.push('\n');
    }
}

/// How much of the file a line takes, as far as aligning asks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Size {
    /// No block below it.
    Line,
    /// A block of one line: the lines around it are still neighbours.
    Short,
}

/// A line of a run.
#[derive(Clone, Copy, Debug)]
pub(super) struct Entry {
    /// Its first row.
    pub(super) row: usize,
    pub(super) size: Size,
}

/// The tidy text of a file.
pub(super) fn lay_out(tree: &Tree, text: &str) -> String {
    let mut layout = Layout {
        text,
        rows: Vec::new(),
    };
    layout.nodes(&tree.nodes, 0);
    align::comments(&mut layout.rows);
    let mut out = String::with_capacity(text.len() + text.len() / 8);
    layout.rows.iter().for_each(|row| row.write(&mut out));
    out
}

struct Layout<'t> {
    text: &'t str,
    rows: Vec<Row>,
}

impl Layout<'_> {
    fn slice(&self, span: Span) -> &str {
        self.text
            .get(span.start as usize..span.end as usize)
            .unwrap_or("")
    }

    fn nodes(&mut self, nodes: &[Node], depth: usize) {
        let indent = depth * STEP;
        let first = self.rows.len();
        let mut run: Vec<Entry> = Vec::new();
        let mut blank = false;
        for node in nodes {
            if matches!(node, Node::Blank) {
                blank = true;
                self.flush(&mut run, depth);
                continue;
            }
            if std::mem::take(&mut blank) && self.rows.len() > first {
                self.rows.push(Row::default());
            }
            match node {
                Node::Line(line) => match self.line(line, depth) {
                    Some(entry) => run.push(entry),
                    None => self.flush(&mut run, depth),
                },
                Node::If(branch) => {
                    self.flush(&mut run, depth);
                    self.branch(branch, depth, "if ");
                }
                Node::Comment(span) | Node::Bad(span) => {
                    let words = self.slice(*span).to_owned();
                    self.rows.push(Row::of(indent, words));
                }
                Node::Blank => {}
            }
        }
        self.flush(&mut run, depth);
    }

    /// Aligns the lines of a run, which ends here.
    fn flush(&mut self, run: &mut Vec<Entry>, depth: usize) {
        align::run(&mut self.rows, run, depth == 0);
        run.clear();
    }

    /// Gives the line's place in its run; `None` if its block ends the run.
    fn line(&mut self, line: &Line, depth: usize) -> Option<Entry> {
        let indent = depth * STEP;
        for doc in &line.docs {
            let words = self.slice(doc.span).to_owned();
            self.rows.push(Row::of(indent, words));
        }
        let row = self.rows.len();
        self.words(line, indent);
        let Some(block) = &line.block else {
            self.end(String::new(), line.comment);
            return Some(Entry {
                row,
                size: Size::Line,
            });
        };
        if let Some(tail) = self.on_one_line(line) {
            self.end(tail, line.comment.or(block.comment));
            return Some(Entry {
                row,
                size: Size::Line,
            });
        }
        self.end(" {".to_owned(), line.comment);
        let inside = self.rows.len();
        self.nodes(&block.nodes, depth + 1);
        let short = self.rows.len() <= inside + 1;
        self.close(block, indent);
        short.then_some(Entry {
            row,
            size: Size::Short,
        })
    }

    /// The rows of a line's words.
    fn words(&mut self, line: &Line, indent: usize) {
        for (i, written) in self.written(line).into_iter().enumerate() {
            let Written { cells, comment } = written;
            self.rows.push(Row {
                indent: if i == 0 { indent } else { indent + STEP },
                pads: vec![0; cells.len()],
                cells,
                comment,
                tail: String::new(),
                begins_line: i == 0,
            });
        }
    }

    fn written(&self, line: &Line) -> Vec<Written> {
        let end = line
            .block
            .as_ref()
            .map_or(line.span.end, |block| block.span.start);
        let mut starts = words::starts(&line.items);
        starts.extend(words::starts(line.set.as_deref().unwrap_or_default()));
        words::lay(self.text, line.span.start as usize, end as usize, &starts)
    }

    /// Ends the last row.
    fn end(&mut self, tail: String, comment: Option<Span>) {
        let comment = comment.map(|span| self.slice(span).to_owned());
        if let Some(row) = self.rows.last_mut() {
            row.tail = tail;
            row.comment = row.comment.take().or(comment);
        }
    }

    fn close(&mut self, block: &Block, indent: usize) {
        self.rows.push(Row::of(indent, "}"));
        self.end(String::new(), block.comment);
    }

    /// ` { … }`, if the maker wrote it so, and for a block of nothing.
    fn on_one_line(&self, line: &Line) -> Option<String> {
        let block = line.block.as_ref()?;
        if line.comment.is_some() {
            return None;
        }
        self.short_block(block)
    }

    fn short_block(&self, block: &Block) -> Option<String> {
        let mut nodes = block
            .nodes
            .iter()
            .filter(|node| !matches!(node, Node::Blank));
        let (node, more) = (nodes.next(), nodes.next());
        match node {
            None => Some(" { }".to_owned()),
            Some(Node::Line(inner))
                if more.is_none()
                    && inner.docs.is_empty()
                    && !self.slice(block.span).contains('\n') =>
            {
                let inside = match &inner.block {
                    Some(_) => self.on_one_line(inner)?,
                    None => String::new(),
                };
                let written = self.written(inner);
                let cells = written.iter().flat_map(|line| &line.cells);
                let words: Vec<&str> = cells.map(|cell| cell.text.as_str()).collect();
                Some(format!(" {{ {}{inside} }}", words.join(" ")))
            }
            Some(_) => None,
        }
    }

    /// `if … { } else …`, on the row that was begun with `lead`.
    fn branch(&mut self, branch: &If, depth: usize, lead: &str) {
        let indent = depth * STEP;
        let start = branch.condition.span.start as usize;
        let end = branch.then.span.start as usize;
        let written = words::lay(self.text, start, end, &[]);
        for (i, Written { cells, comment }) in written.into_iter().enumerate() {
            let words: Vec<&str> = cells.iter().map(|cell| cell.text.as_str()).collect();
            let lead = if i == 0 { lead } else { "" };
            let indent = if i == 0 { indent } else { indent + STEP };
            let mut row = Row::of(indent, format!("{lead}{}", words.join(" ")));
            if cells.is_empty() && i > 0 {
                row.cells.clear();
                row.pads.clear();
            }
            row.comment = comment;
            self.rows.push(row);
        }
        self.end(" {".to_owned(), branch.comment);
        self.nodes(&branch.then.nodes, depth + 1);
        let Some(otherwise) = &branch.otherwise else {
            self.close(&branch.then, indent);
            return;
        };
        // The span of `else if` begins with its `else`, that of a block with its brace.
        match otherwise.nodes.as_slice() {
            [Node::If(next)] if !self.slice(otherwise.span).starts_with('{') => {
                self.branch(next, depth, "} else if ");
            }
            nodes => {
                self.rows.push(Row::of(indent, "} else {"));
                self.nodes(nodes, depth + 1);
                self.close(otherwise, indent);
            }
        }
    }
}
