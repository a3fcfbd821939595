//! Whether two texts say the same: every sign in its order, and one tree.

use crate::syntax::tree::{Arg, Block, Expr, ExprKind, Item, Node, Tree};
use std::fmt::Write as _;

/// Every sign of a text that can be seen.
pub(super) fn visible(text: &str) -> impl Iterator<Item = char> {
    let text = text.trim_start_matches('\u{feff}');
    text.chars()
        .filter(|c| !matches!(c, ' ' | '\t' | '\r' | '\n'))
}

/// The tree in words, without places and blank lines.
pub(super) fn outline(tree: &Tree, text: &str) -> String {
    let mut outline = Outline {
        text,
        out: String::new(),
    };
    outline.nodes(&tree.nodes);
    outline.out
}

struct Outline<'t> {
    text: &'t str,
    out: String,
}

impl Outline<'_> {
    fn put(&mut self, word: &str) {
        // In quotes, so that no words can be taken for others.
        let _ = write!(self.out, "{word:?} ");
    }

    fn comment(&mut self, span: Option<crate::source::Span>) {
        if let Some(span) = span {
            let words = self.text.get(span.start as usize..span.end as usize);
            self.out.push_str("// ");
            self.put(words.unwrap_or(""));
        }
    }

    fn nodes(&mut self, nodes: &[Node]) {
        for node in nodes {
            match node {
                Node::Blank => continue,
                Node::Comment(span) => self.comment(Some(*span)),
                Node::Bad(_) => self.out.push_str("unread "),
                Node::Line(line) => {
                    for doc in &line.docs {
                        self.out.push_str("/// ");
                        self.put(&doc.text);
                    }
                    self.put(&line.head.text);
                    self.items(&line.items);
                    if let Some(set) = &line.set {
                        self.out.push_str("= ");
                        self.items(set);
                    }
                    line.inner_comments
                        .iter()
                        .for_each(|span| self.comment(Some(*span)));
                    self.comment(line.comment);
                    if let Some(block) = &line.block {
                        self.block(block);
                    }
                }
                Node::If(branch) => {
                    self.out.push_str("if ");
                    self.expr(&branch.condition);
                    self.comment(branch.comment);
                    self.block(&branch.then);
                    if let Some(block) = &branch.otherwise {
                        self.out.push_str("else ");
                        self.block(block);
                    }
                }
            }
            self.out.push('\n');
        }
    }

    fn block(&mut self, block: &Block) {
        self.out.push_str("{\n");
        self.nodes(&block.nodes);
        self.out.push_str("} ");
        self.comment(block.comment);
    }

    fn items(&mut self, items: &[Item]) {
        for item in items {
            self.list(&item.exprs);
        }
    }

    fn list(&mut self, exprs: &[Expr]) {
        self.out.push_str("[ ");
        exprs.iter().for_each(|expr| self.expr(expr));
        self.out.push_str("] ");
    }

    fn expr(&mut self, expr: &Expr) {
        self.out.push_str("( ");
        match &expr.kind {
            ExprKind::Measure(quantity) => {
                let _ = write!(self.out, "{quantity:?} ");
            }
            ExprKind::Number(number) => {
                let _ = write!(self.out, "{number:?} ");
            }
            ExprKind::BadUnit => self.out.push_str("unread "),
            ExprKind::Text(text) => {
                self.out.push_str("text ");
                self.put(text);
            }
            ExprKind::Markdown(text) => {
                // A line end is one however the file was saved.
                self.out.push_str("words ");
                self.put(&text.replace("\r\n", "\n"));
            }
            ExprKind::Name(name) => self.put(name),
            ExprKind::Member(of, name) => {
                self.expr(of);
                self.out.push('.');
                self.put(&name.text);
            }
            ExprKind::Index(of, at) => {
                self.expr(of);
                self.out.push_str("at ");
                self.list(at);
            }
            ExprKind::Call(of, args) => {
                self.expr(of);
                self.out.push_str("of ");
                args.iter().for_each(|arg| self.arg(arg));
            }
            ExprKind::Neg(of) => {
                self.out.push_str("- ");
                self.expr(of);
            }
            ExprKind::Not(of) => {
                self.out.push_str("not ");
                self.expr(of);
            }
            ExprKind::Binary(a, op, _, b) => {
                self.expr(a);
                self.out.push_str(op.symbol());
                self.expr(b);
            }
            ExprKind::Choice(a, b, c) => {
                self.out.push_str("choice ");
                self.expr(a);
                self.expr(b);
                self.expr(c);
            }
        }
        self.out.push_str(") ");
    }

    fn arg(&mut self, arg: &Arg) {
        if let Some(name) = &arg.name {
            self.put(&name.text);
            self.out.push_str(": ");
        }
        self.expr(&arg.value);
    }
}
