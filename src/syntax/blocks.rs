//! Blocks: braces, `if … else`, and what stands in the wrong place around them.

use super::lines::Reader;
use super::marks::Kind;
use super::parse::{self, Stretch};
use super::tree::{Block, ExprKind, If, Node};
use crate::diag::{Diagnostic, code};
use crate::source::Span;

impl<'a> Reader<'a> {
    /// A block, whose `{` is the next mark; the comment behind `{`; whether its `}` was missing.
    pub(super) fn block(&mut self) -> (Block, Option<Span>, bool) {
        let open = self.pass();
        let comment = self.end_comment();
        let nodes = self.nodes(false);
        let last = self.pos;
        let close = self.pass();
        let missing = close.kind != Kind::Close;
        let end = if missing {
            last.min(self.text.len())
        } else {
            close.end
        };
        // The blanks before the next line are no part of the block, unless a text that never ends holds them.
        let end = if missing && self.open_markdown.is_none_or(|start| start >= end) {
            let held = self.text.get(open.end..end).unwrap_or("");
            open.end + held.trim_end_matches([' ', '\t', '\r', '\n']).len()
        } else {
            end
        };
        let behind = if missing { None } else { self.end_comment() };
        (
            Block {
                nodes,
                comment: behind,
                span: self.span(open.start, end),
            },
            comment,
            missing,
        )
    }

    /// `if c { } else …`, whose words are read up to the first brace.
    pub(super) fn branch(&mut self, stretch: Stretch<'a>, nodes: &mut Vec<Node>) {
        let condition_start = stretch.start + 2;
        let lead = stretch.words().get(2..).unwrap_or("");
        let start = condition_start + (lead.len() - lead.trim_start().len());
        let words = Stretch {
            start: start.min(stretch.end),
            ..stretch
        };
        let condition = parse::condition(&words, &mut self.reports);
        if self.here().is_none_or(|mark| mark.kind != Kind::Open) {
            let span = self.span(stretch.start, stretch.end);
            // A condition that could not be read was reported.
            if !matches!(condition.kind, ExprKind::BadUnit) {
                self.reports.push(
                    Diagnostic::new(
                        &code::SYNTAX_BLOCK_MISSING,
                        "a condition has no block",
                        span,
                        "decides nothing",
                    )
                    .help("open its block with `{` at the end of the line"),
                );
            }
            self.end_comment();
            nodes.push(Node::Bad(span));
            return;
        }
        let (then, comment, _) = self.block();
        let otherwise = if then.comment.is_none() {
            self.otherwise()
        } else {
            None
        };
        let end = otherwise.as_ref().map_or(then.span, |block| block.span);
        let span = self.span(stretch.start, stretch.end).to(end);
        nodes.push(Node::If(If {
            condition,
            then,
            otherwise,
            comment,
            span,
        }));
    }

    /// What follows the block of an `if` on its line.
    pub(super) fn otherwise(&mut self) -> Option<Block> {
        if self.here().is_some() {
            return None;
        }
        let start = self.pos;
        match first_word(self.text.get(self.pos..)?) {
            "else" => self.pos += "else".len(),
            word @ ("elif" | "elseif" | "elsif") => {
                let span = self.span(start, start + word.len());
                self.reports.push(
                    Diagnostic::new(
                        &code::SYNTAX_ELSE_PLACE,
                        format!("`{word}` is two words"),
                        span,
                        "asks on, it seems",
                    )
                    .help("write `else if`")
                    .mend(span, "else if"),
                );
                // It goes on with its own `if`.
                self.pos += word.len() - "if".len();
            }
            _ => return None,
        }
        if self.here().is_some_and(|mark| mark.kind == Kind::Open) {
            let (mut block, comment, _) = self.block();
            if let Some(comment) = comment {
                // The tree has one place for a comment of this block; both are kept in order.
                block.nodes.insert(0, Node::Comment(comment));
            }
            return Some(block);
        }
        let (stretch, _) = self.stretch();
        if first_word(stretch.words()) == "if" {
            let mut nodes = Vec::new();
            self.branch(stretch, &mut nodes);
            let span = nodes
                .iter()
                .fold(self.span(start, stretch.end), |span, node| match node {
                    Node::If(branch) => span.to(branch.span),
                    _ => span,
                });
            return Some(Block {
                nodes,
                comment: None,
                span,
            });
        }
        let report = if stretch.words().is_empty() {
            let span = self.span(start, start + 4);
            Diagnostic::new(
                &code::SYNTAX_BLOCK_MISSING,
                "an `else` has no block",
                span,
                "decides nothing",
            )
        } else {
            Diagnostic::new(
                &code::SYNTAX_BLOCK_MISSING,
                "an `else` has no block",
                self.span(stretch.start, stretch.end),
                "a block or another `if` belongs here",
            )
        };
        self.reports
            .push(report.help("write `else { … }` or `else if … { … }`"));
        if self.here().is_some_and(|mark| mark.kind == Kind::Open) {
            return Some(self.block().0);
        }
        None
    }

    pub(super) fn stray_else(&mut self, stretch: &Stretch<'_>, nodes: &mut Vec<Node>) {
        let report = Diagnostic::new(
            &code::SYNTAX_ELSE_PLACE,
            "an `else` does not follow the block of an `if`",
            self.span(stretch.start, stretch.start + 4),
            "begins a line",
        );
        let before = nodes.iter().rev().find(|node| !matches!(node, Node::Blank));
        let first = match before {
            Some(Node::If(branch)) => self.last_else(branch),
            _ => None,
        };
        let report = match (before, first) {
            (_, Some(first)) => Diagnostic::new(
                &code::SYNTAX_ELSE_PLACE,
                "an `if` has a second `else`",
                self.span(stretch.start, stretch.start + 4),
                "never holds",
            )
            .at(first, "all that is left falls here")
            .help("leave one of them out, or let the first ask: `else if … {`"),
            (Some(Node::If(branch)), None) => {
                let end = branch.span;
                let report = report
                    .at(
                        Span {
                            start: end.end.saturating_sub(1),
                            ..end
                        },
                        "it belongs behind this brace",
                    )
                    .help("write `} else {` on one line");
                self.gap_to(end.end as usize, stretch.start, " ", report)
            }
            _ => report.help("write `if … { } else { }`"),
        };
        self.reports.push(report);
        let mut span = self.span(stretch.start, stretch.end);
        self.end_comment();
        if self.here().is_some_and(|mark| mark.kind == Kind::Open) {
            span = span.to(self.block().0.span);
        }
        nodes.push(Node::Bad(span));
    }

    /// The block behind the `else` that ends an `if`, up to its brace.
    fn last_else(&self, branch: &super::tree::If) -> Option<Span> {
        let block = branch.otherwise.as_ref()?;
        let open = Span {
            end: block.span.start + 1,
            ..block.span
        };
        match block.nodes.as_slice() {
            _ if self.text.get(open.start as usize..open.end as usize) == Some("{") => Some(open),
            [Node::If(next)] => self.last_else(next),
            _ => None,
        }
    }

    /// A `{` that does not follow a head on its line.
    pub(super) fn stray_block(&mut self, nodes: &mut Vec<Node>) {
        let open = self.next();
        let brace = self.span(open.start, open.end);
        let report = Diagnostic::new(
            &code::SYNTAX_BRACE_PLACE,
            "a block does not begin on the line of its head",
            brace,
            "begins a line",
        );
        let last = nodes
            .iter()
            .rposition(|node| !matches!(node, Node::Blank | Node::Comment(_)));
        let (block, comment, missing) = self.block();
        let owner = last.and_then(|i| nodes.get_mut(i));
        let report = match owner {
            Some(Node::Line(line)) if line.block.is_none() => {
                let report = report
                    .at(line.head.span, "its head, it seems")
                    .help("put `{` at the end of the line above");
                let report = match line.comment {
                    None => gap(self.text, line.span, brace, " ", report),
                    Some(_) => report,
                };
                line.span = line.span.to(block.span);
                line.block = Some(block);
                line.comment = line.comment.or(comment);
                line.damaged |= missing;
                nodes.truncate(last.map_or(0, |i| i + 1)); // what stood between belongs within its span
                report
            }
            _ => {
                nodes.push(Node::Bad(block.span));
                report.help("a block belongs to a line: `case body {`")
            }
        };
        self.reports.push(report);
        self.after_block();
    }

    /// See [`gap`]; from byte `before` to byte `after`.
    fn gap_to(&self, before: usize, after: usize, put: &str, report: Diagnostic) -> Diagnostic {
        let (before, after) = (self.span(before, before), self.span(after, after));
        gap(self.text, before, after, put, report)
    }

    /// Nothing but a comment may follow a line or its block.
    pub(super) fn after_block(&mut self) {
        let last = self.mark.checked_sub(1).and_then(|i| self.marks.get(i));
        if last.is_some_and(|mark| mark.kind == Kind::Missing) {
            return; // the block ended above this line
        }
        if self.here().is_some_and(|mark| {
            !matches!(
                mark.kind,
                Kind::Bracket | Kind::BracketEnd | Kind::LooseBracket
            )
        }) {
            return;
        }
        if self.pos >= self.text.len() {
            return;
        }
        let rest = self.text.get(self.pos..).unwrap_or("");
        if first_word(rest) == "else" {
            return; // told where it is read
        }
        let length = rest
            .find(|c: char| c.is_whitespace() || c == '{' || c == '}')
            .unwrap_or(rest.len())
            .max(1);
        let length = (0..=length)
            .rev()
            .find(|l| rest.is_char_boundary(*l))
            .unwrap_or(0);
        let span = self.span(self.pos, self.pos + length);
        // A condition without its block leads here too, and is reported already.
        self.after_block = Some(self.pos);
        let told = self
            .reports
            .last()
            .is_some_and(|report| report.code == &code::SYNTAX_BLOCK_MISSING);
        if !told {
            let report = Diagnostic::new(
                &code::SYNTAX_AFTER_BLOCK,
                "something follows a block on its line",
                span,
                "begins a new line",
            )
            .help("put it on a line of its own");
            let before = self.text.get(..self.pos).unwrap_or("");
            let line = before.rsplit('\n').next().unwrap_or("");
            let blanks = line.len() - line.trim_start_matches([' ', '\t']).len();
            let indent = format!("\n{}", line.get(..blanks).unwrap_or(""));
            let end = before.trim_end_matches([' ', '\t']).len();
            let report = self.gap_to(end, self.pos, &indent, report);
            self.reports.push(report);
        }
    }
}

/// Mends by putting `text` in the place of the blanks and newlines from `before` to `after`, which goes on
/// with its own first sign; nothing is mended where something else stands between.
fn gap(text: &str, before: Span, after: Span, put: &str, report: Diagnostic) -> Diagnostic {
    let between = Span {
        start: before.end,
        end: after.start,
        ..before
    };
    let words = text.get(between.start as usize..between.end as usize);
    match words {
        Some(words) if words.trim().is_empty() && words != put => report.mend(between, put),
        _ => report,
    }
}

/// The word with which these words begin; empty if it is none.
pub(super) fn first_word(words: &str) -> &str {
    let end = words
        .find(|c: char| !(c.is_alphanumeric() || c == '_'))
        .unwrap_or(words.len());
    words.get(..end).unwrap_or("")
}
