//! Blocks as a tree of comrak's, which writes it as CommonMark with the tables of GitHub.
//!
//! Escaping is the library's work; no Markdown is put together from strings here.

use super::block::{Block, Item};
use super::inline::{Inline, Setting};
use super::table::Table;
use comrak::nodes::{
    AstNode, ListDelimType, ListType, Node, NodeCode, NodeCodeBlock, NodeHeading, NodeLink,
    NodeList, NodeTable, NodeTaskItem, NodeValue, Sourcepos, TableAlignment,
};
use comrak::{Arena, Options};

/// What forges read: tables, struck words, items to tick.
pub(super) fn options() -> Options<'static> {
    let mut options = Options::default();
    options.extension.table = true;
    options.extension.strikethrough = true;
    options.extension.tasklist = true;
    options.render.width = 0; // a paragraph a line
    options
}

/// The document.
pub(super) fn print(blocks: &[Block]) -> String {
    let arena = Arena::new();
    let tree = Tree { arena: &arena };
    let root = tree.node(NodeValue::Document);
    tree.blocks(blocks, root);
    let mut out = String::new();
    comrak::format_commonmark(root, &options(), &mut out)
        .expect("writing to a string does not fail");
    out
}

struct Tree<'a> {
    arena: &'a Arena<'a>,
}

impl<'a> Tree<'a> {
    fn node(&self, value: NodeValue) -> Node<'a> {
        self.arena.alloc(AstNode::from(value))
    }

    fn under(&self, parent: Node<'a>, value: NodeValue) -> Node<'a> {
        let node = self.node(value);
        parent.append(node);
        node
    }

    fn blocks(&self, blocks: &[Block], parent: Node<'a>) {
        for block in blocks {
            self.block(block, parent);
        }
    }

    fn block(&self, block: &Block, parent: Node<'a>) {
        match block {
            Block::Heading(level, line) => {
                let heading = NodeHeading {
                    level: (*level).clamp(1, 6),
                    ..NodeHeading::default()
                };
                self.line(line, self.under(parent, NodeValue::Heading(heading)), false);
            }
            Block::Paragraph(line) => {
                self.line(line, self.under(parent, NodeValue::Paragraph), false);
            }
            Block::Quote(inner) => {
                self.blocks(inner, self.under(parent, NodeValue::BlockQuote));
            }
            Block::List { start, items } => self.list(*start, items, parent),
            Block::Code(text) => {
                let mut literal = text.clone();
                if !literal.ends_with('\n') {
                    literal.push('\n');
                }
                let code = NodeCodeBlock {
                    fenced: true,
                    fence_char: b'`',
                    fence_length: 3,
                    literal,
                    closed: true,
                    ..NodeCodeBlock::default()
                };
                self.under(parent, NodeValue::CodeBlock(Box::new(code)));
            }
            Block::Rule => {
                self.under(parent, NodeValue::ThematicBreak);
            }
            Block::Table(table) => self.table(table, parent),
        }
    }

    fn list(&self, start: Option<usize>, items: &[Item], parent: Node<'a>) {
        let list = NodeList {
            list_type: match start {
                Some(_) => ListType::Ordered,
                None => ListType::Bullet,
            },
            start: start.unwrap_or(1),
            delimiter: ListDelimType::Period,
            bullet_char: b'-',
            tight: items.iter().all(|item| item.blocks.len() < 2),
            is_task_list: items.iter().any(|item| item.done.is_some()),
            ..NodeList::default()
        };
        let node = self.under(parent, NodeValue::List(list));
        for item in items {
            let value = match item.done {
                Some(done) => NodeValue::TaskItem(NodeTaskItem {
                    symbol: done.then_some('x'),
                    symbol_sourcepos: Sourcepos::from((0, 0, 0, 0)),
                }),
                None => NodeValue::Item(list),
            };
            self.blocks(&item.blocks, self.under(node, value));
        }
    }

    fn table(&self, table: &Table, parent: Node<'a>) {
        let alignments: Vec<TableAlignment> = table
            .figures
            .iter()
            .map(|figures| match figures {
                true => TableAlignment::Right,
                false => TableAlignment::None,
            })
            .collect();
        let node = self.under(
            parent,
            NodeValue::Table(Box::new(NodeTable {
                num_columns: alignments.len(),
                num_rows: table.rows.len() + 1,
                alignments,
                num_nonempty_cells: 0,
            })),
        );
        self.row(&table.head, true, node);
        for row in &table.rows {
            self.row(row, false, node);
        }
    }

    fn row(&self, cells: &[Vec<Inline>], head: bool, table: Node<'a>) {
        let row = self.under(table, NodeValue::TableRow(head));
        for cell in cells {
            self.line(cell, self.under(row, NodeValue::TableCell), true);
        }
    }

    fn line(&self, line: &[Inline], parent: Node<'a>, in_table: bool) {
        for inline in line {
            match inline {
                Inline::Text(text) => self.text(text, parent, in_table),
                // A bar in code ends a cell in some readers.
                Inline::Code(text) if in_table && text.contains(['|', '\\']) => {
                    self.text(text, parent, true);
                }
                Inline::Code(text) => {
                    let code = NodeCode {
                        num_backticks: 1,
                        literal: text.clone(),
                    };
                    self.under(parent, NodeValue::Code(code));
                }
                Inline::Set(setting, inner) => {
                    let value = match setting {
                        Setting::Strong => NodeValue::Strong,
                        Setting::Emphasis => NodeValue::Emph,
                        Setting::Struck => NodeValue::Strikethrough,
                    };
                    self.line(inner, self.under(parent, value), in_table);
                }
                Inline::Link { to, words } => {
                    let link = NodeLink {
                        url: to.replace('|', "%7C"),
                        title: String::new(),
                    };
                    let node = self.under(parent, NodeValue::Link(Box::new(link)));
                    self.line(words, node, in_table);
                }
                Inline::Drawing { to, shows } => {
                    let image = NodeLink {
                        url: to.clone(),
                        title: String::new(),
                    };
                    let node = self.under(parent, NodeValue::Image(Box::new(image)));
                    self.text(shows, node, in_table);
                }
                Inline::Break => {
                    self.under(parent, NodeValue::LineBreak);
                }
                Inline::Gap => {}
            }
        }
    }

    /// Words. The sign of the dollar is escaped, since forges read formulas between two of them, and
    /// the upright bar, since two lines with bars may be a table; the library knows of the first only
    /// while it reads, and of the second only within tables.
    fn text(&self, text: &str, parent: Node<'a>, in_table: bool) {
        let ours = |c: char| c == '$' || (c == '|' && !in_table);
        for part in text.split_inclusive(ours) {
            let sign = part.chars().next_back().filter(|c| ours(*c));
            let words = sign.map_or(part, |sign| part.trim_end_matches(sign));
            if !words.is_empty() {
                self.under(parent, NodeValue::Text(words.to_owned().into()));
            }
            if let Some(sign) = sign {
                self.under(parent, NodeValue::Raw(format!("\\{sign}")));
            }
        }
    }
}
