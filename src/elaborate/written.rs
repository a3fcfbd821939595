//! The checked lines as plain data, for whoever compares two revisions: [`WrittenLine`]s with the
//! maker's own words, where neither layout nor the place of a clause counts. It computes nothing.

use super::library::is_library;
use super::load::{self, Unreadable};
use crate::model::{Token, WrittenClause, WrittenLine, WrittenOrder};
use crate::schema::{Clause, Content, Context, Entry, Form, NameUse};
use crate::source::{FileId, Files, Sources, Span};
use crate::syntax;
use crate::syntax::tree::{Expr, ExprKind, If, Line, Node, Op};

/// The lines of a file and of all that it uses, in the order in which they are read.
///
/// # Errors
/// When the file itself can't be read. What else is wrong is for [`super::elaborate`] to report.
pub fn written(files: &dyn Files, entry: &str) -> Result<Vec<WrittenLine>, Unreadable> {
    let loaded = load::load(files, entry)?;
    let writer = Writer {
        sources: &loaded.sources,
    };
    let mut out = Vec::new();
    for (file, entries) in &loaded.entries {
        if is_library(&loaded.sources.get(*file).path) {
            continue;
        }
        // The tree knows of lines that the schema could not take.
        let (tree, _) = syntax::parse(&loaded.sources, *file);
        let block = Block {
            entries,
            clauses: &[],
            context: Context::File,
            file: *file,
        };
        out.extend(writer.block(&tree.nodes, &block));
    }
    Ok(out)
}

/// A block as the schema reads it.
struct Block<'a> {
    entries: &'a [Entry],
    /// Clauses of its owner, some of which stand as lines of it.
    clauses: &'a [Clause],
    context: Context,
    file: FileId,
}

struct Writer<'a> {
    sources: &'a Sources,
}

impl Writer<'_> {
    /// The lines of a block, in order. What stands in the tree and in no form was not understood.
    fn block(&self, nodes: &[Node], block: &Block<'_>) -> Vec<WrittenLine> {
        let form_at = |head: Span| {
            block.entries.iter().find_map(|entry| match entry {
                Entry::Form(form) if form.head_span == head => Some(form),
                _ => None,
            })
        };
        let is_clause = |head: Span| block.clauses.iter().any(|c| c.word_span == head);
        let mut out = Vec::new();
        for node in nodes {
            match node {
                Node::Line(line) => match form_at(line.head.span) {
                    // What a file takes in stands in the lines of that file.
                    Some(form) if takes_in_file(form) => {}
                    Some(form) => out.push(self.form(form, line, block)),
                    None if is_clause(line.head.span) => {}
                    None => out.push(self.unread(line.span, &line.head.text)),
                },
                Node::If(branch) => out.extend(self.branch(branch, block)),
                Node::Bad(span) => out.push(self.unread(*span, "")),
                Node::Comment(_) | Node::Blank => {}
            }
        }
        out
    }

    fn form(&self, form: &Form, line: &Line, block: &Block<'_>) -> WrittenLine {
        let context = match form.patterned.unwrap_or(form.head).block {
            Some(Context::Around) => block.context,
            Some(context) => context,
            None => Context::Thing,
        };
        let lines = line.block.as_ref().map_or_else(Vec::new, |inner| {
            let inside = Block {
                entries: &form.lines,
                clauses: &form.clauses,
                context,
                file: block.file,
            };
            self.block(&inner.nodes, &inside)
        });
        let mut out = self.line(form.span, form.head.word);
        out.names = form.names.iter().map(|name| self.name(name)).collect();
        out.docs = docs(form);
        out.order = match (block.context, form.head.word) {
            (Context::Divide | Context::Assemble | Context::Finish, _) => WrittenOrder::Block,
            (_, "band" | "make") => WrittenOrder::Head,
            _ => WrittenOrder::Free,
        };
        out.lines = lines;
        // Damage within its block is told there.
        if form.damaged && !out.lines.iter().any(is_damaged) {
            out.subject = self.raw(form.span);
            out.damaged = true;
            return out;
        }
        self.subject(form, &mut out.subject);
        if let Some(set) = &form.set {
            out.set.push(word("="));
            self.expr(set, true, &mut out.set);
        }
        out.clauses = form.clauses.iter().map(|c| self.clause(c)).collect();
        out
    }

    fn branch(&self, branch: &If, block: &Block<'_>) -> Vec<WrittenLine> {
        let read = block.entries.iter().find_map(|entry| match entry {
            Entry::If(read) if read.span == branch.span => Some(read),
            _ => None,
        });
        let fill = |line: &mut WrittenLine, nodes: &[Node], content: Option<&Content>| {
            let inside = Block {
                entries: content.map_or(&[], |content| &content.lines),
                clauses: content.map_or(&[], |content| &content.clauses),
                ..*block
            };
            line.clauses = inside.clauses.iter().map(|c| self.clause(c)).collect();
            line.lines = self.block(nodes, &inside);
        };
        let mut then = self.line(branch.span, "if");
        then.subject.push(word("if"));
        self.expr(&branch.condition, true, &mut then.subject);
        fill(&mut then, &branch.then.nodes, read.map(|read| &read.then));
        let mut out = vec![then];
        if let Some(otherwise) = &branch.otherwise {
            let mut line = self.line(otherwise.span, "else");
            line.subject.push(word("else"));
            let content = read.map(|read| &read.otherwise);
            fill(&mut line, &otherwise.nodes, content);
            out.push(line);
        }
        out
    }

    fn unread(&self, span: Span, head: &str) -> WrittenLine {
        let mut line = self.line(span, head);
        line.subject = self.raw(span);
        line.damaged = true;
        line
    }

    fn line(&self, span: Span, head: &str) -> WrittenLine {
        let source = self.sources.get(span.file);
        WrittenLine {
            file: source.path.clone(),
            line: source.place(span.start).0 as u32,
            head: head.to_owned(),
            names: Vec::new(),
            subject: Vec::new(),
            set: Vec::new(),
            clauses: Vec::new(),
            docs: String::new(),
            lines: Vec::new(),
            order: WrittenOrder::Free,
            damaged: false,
        }
    }

    /// The first line of a span, word by word.
    fn raw(&self, span: Span) -> Vec<Token> {
        let text = self.sources.text(span).lines().next().unwrap_or("");
        let text = text.trim_end().strip_suffix('{').unwrap_or(text);
        text.split_whitespace().map(word).collect()
    }

    fn name(&self, name: &NameUse) -> String {
        let index: Vec<String> = name
            .index
            .iter()
            .map(|at| {
                let mut tokens = Vec::new();
                self.expr(at, false, &mut tokens);
                crate::model::text_of(&tokens)
            })
            .collect();
        if index.is_empty() {
            name.text.clone()
        } else {
            format!("{}[{}]", name.text, index.join(", "))
        }
    }

    /// Head, kind, names, count, values and title, in the order in which they are written.
    fn subject(&self, form: &Form, out: &mut Vec<Token>) {
        out.push(word(self.sources.text(form.head_span)));
        if let Some(patterned) = form.patterned {
            out.push(word(patterned.word));
        }
        for (i, name) in form.names.iter().enumerate() {
            if i > 0 {
                out.push(glued(","));
            }
            out.push(word(&self.name(name)));
        }
        if let Some(count) = &form.count {
            self.expr(count, true, out);
        }
        self.list(&form.values, out);
        if let Some((_, span)) = &form.title {
            out.push(word(self.sources.text(*span)));
        }
    }

    fn clause(&self, clause: &Clause) -> WrittenClause {
        let mut tokens = vec![word(clause.word)];
        // Values that commas part stand as a list.
        self.list(&clause.values, &mut tokens);
        WrittenClause {
            word: clause.word,
            tokens,
            tails: clause.tails.iter().map(|tail| self.clause(tail)).collect(),
        }
    }

    /// Values, with a comma between two where one is written.
    fn list(&self, values: &[Expr], out: &mut Vec<Token>) {
        let mut before: Option<Span> = None;
        for value in values {
            let comma = before.is_some_and(|last| {
                let between = Span {
                    start: last.end,
                    end: value.span.start.max(last.end),
                    ..last
                };
                self.sources.text(between).trim_start().starts_with(',')
            });
            if comma {
                out.push(glued(","));
            }
            self.expr(value, true, out);
            before = Some(value.span);
        }
    }

    /// An expression, as tokens with blanks as they are usually set.
    fn expr(&self, expr: &Expr, spaced: bool, out: &mut Vec<Token>) {
        let from = out.len();
        self.bare(expr, out);
        if let Some(first) = out.get_mut(from) {
            first.spaced = spaced;
        }
    }

    fn bare(&self, expr: &Expr, out: &mut Vec<Token>) {
        // Parentheses are no part of the tree: they stand where something binds less than what it is
        // in, and only there.
        let inner = |part: &Expr, least: u8, spaced: bool, out: &mut Vec<Token>| {
            if binds(part) < least {
                out.push(Token {
                    spaced,
                    ..word("(")
                });
                self.expr(part, false, out);
                out.push(glued(")"));
            } else {
                self.expr(part, spaced, out);
            }
        };
        match &expr.kind {
            ExprKind::Measure(quantity) => out.push(Token {
                value: Some(*quantity),
                ..word(self.number(expr.span))
            }),
            ExprKind::Number(number) => out.push(Token {
                value: Some(crate::measure::Quantity::number(*number)),
                ..word(self.number(expr.span))
            }),
            ExprKind::BadUnit => out.push(word(self.sources.text(expr.span))),
            ExprKind::Text(text) => out.push(word(&format!("\"{text}\""))),
            ExprKind::Markdown(text) => out.push(word(&format!("\"\"\"{text}\"\"\""))),
            ExprKind::Name(name) => out.push(word(name)),
            ExprKind::Member(of, member) => {
                inner(of, ATOM, true, out);
                out.push(glued("."));
                out.push(glued(&member.text));
            }
            ExprKind::Index(of, at) => {
                inner(of, ATOM, true, out);
                out.push(glued("["));
                for (i, index) in at.iter().enumerate() {
                    if i > 0 {
                        out.push(glued(","));
                    }
                    self.expr(index, i > 0, out);
                }
                out.push(glued("]"));
            }
            ExprKind::Call(of, args) => {
                inner(of, ATOM, true, out);
                out.push(glued("("));
                for (i, arg) in args.iter().enumerate() {
                    if i > 0 {
                        out.push(glued(","));
                    }
                    if let Some(name) = &arg.name {
                        out.push(Token {
                            spaced: i > 0,
                            ..word(&name.text)
                        });
                        out.push(glued(":"));
                    }
                    self.expr(&arg.value, i > 0 || arg.name.is_some(), out);
                }
                out.push(glued(")"));
            }
            ExprKind::Neg(of) => {
                out.push(word("-"));
                inner(of, ATOM, false, out);
            }
            ExprKind::Not(of) => {
                out.push(word("not"));
                inner(of, ATOM, true, out);
            }
            ExprKind::Binary(a, op, _, b) => {
                inner(a, binds(expr), true, out);
                out.push(word(op.symbol()));
                inner(b, binds(expr) + 1, true, out);
            }
            ExprKind::Choice(a, b, c) => {
                for (key, part) in [("if", a), ("then", b), ("else", c)] {
                    out.push(word(key));
                    self.expr(part, true, out);
                }
            }
        }
    }

    /// A number as written, without parentheses round it.
    fn number(&self, span: Span) -> &str {
        let text = self.sources.text(span);
        text.trim_matches(|c: char| c == '(' || c == ')' || c.is_whitespace())
    }
}

/// What binds as a single word does.
const ATOM: u8 = 6;

/// How tightly an expression binds: as in the grammar.
fn binds(expr: &Expr) -> u8 {
    match &expr.kind {
        ExprKind::Choice(..) => 0,
        ExprKind::Binary(_, op, ..) => match op {
            Op::Or => 1,
            Op::And => 2,
            Op::Less | Op::LessEq | Op::Greater | Op::GreaterEq | Op::Equal | Op::NotEqual => 3,
            Op::Add | Op::Sub => 4,
            Op::Mul | Op::Div => 5,
        },
        _ => ATOM,
    }
}

fn is_damaged(line: &WrittenLine) -> bool {
    line.damaged || line.lines.iter().any(is_damaged)
}

fn takes_in_file(form: &Form) -> bool {
    let file = |value: &Expr| matches!(value.kind, ExprKind::Text(_));
    form.head.word == "use" && form.values.first().is_some_and(file)
}

fn docs(form: &Form) -> String {
    let lines: Vec<&str> = form.docs.iter().map(|doc| doc.text.trim()).collect();
    lines.join(" ")
}

fn word(text: &str) -> Token {
    Token {
        text: text.to_owned(),
        spaced: true,
        value: None,
    }
}

fn glued(text: &str) -> Token {
    Token {
        spaced: false,
        ..word(text)
    }
}
