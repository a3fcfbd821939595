//! Reading: flat lines to forms, block by block. Shapes only; no name is resolved, nothing computed.

mod check;
mod clauses;
mod subject;

pub use check::complete;

use super::head::{Context, Head, Kind, Shape, Use};
use super::{Branch, Content, Entry, Form, fault, table};
use crate::diag::Diagnostic;
use crate::syntax::tree::{Expr, ExprKind, Item, Line, Node};

/// Reads the lines of a file or of a block that stands in `context`.
///
/// Every fault is reported once; a line with a fault still gives a form, marked as damaged.
pub fn read(nodes: &[Node], context: Context) -> (Vec<Entry>, Vec<Diagnostic>) {
    let mut reader = Reader::default();
    let scope = Scope {
        context,
        pattern: false,
        owner: None,
        partial: false,
        around: None,
    };
    let block = reader.block(nodes, &scope);
    (block.lines, reader.faults)
}

/// The kind of value of a word where it is used.
pub(super) fn shape_of(row: &Use) -> Shape {
    row.shape
        .unwrap_or_else(|| table::word(row.word).map_or(Shape::Value, |word| word.shape))
}

/// The head whose clauses a line may state, with its kind.
#[derive(Clone, Copy)]
struct Owner {
    head: &'static Head,
    kind: Option<&'static Kind>,
}

impl Owner {
    fn takes(self, word: &str) -> Option<&'static Use> {
        self.head
            .takes(word)
            .or_else(|| self.kind.and_then(|kind| kind.takes(word)))
    }

    fn words(self) -> Vec<&'static str> {
        let kind = self.kind.map_or(&[] as &[Use], |kind| kind.clauses);
        self.head
            .words()
            .chain(kind)
            .filter(|row| !row.later)
            .map(|row| row.word)
            .collect()
    }
}

/// What a block belongs to.
struct Scope {
    context: Context,
    /// Whether `param` and its like stand here too.
    pattern: bool,
    owner: Option<Owner>,
    /// Whether what is missing may come from elsewhere.
    partial: bool,
    /// What the lines stand in that decides whether and how often they hold.
    around: Option<&'static str>,
}

/// Heads that hold always, and once: what they say is wanted before anything is computed.
const UNCONDITIONAL: &[&str] = &["use", "edition", "param"];

#[derive(Default)]
struct Reader {
    faults: Vec<Diagnostic>,
    /// Words of later editions that were reported.
    later: Vec<String>,
}

impl Reader {
    fn later(&mut self, word: &str, span: crate::source::Span) {
        if !self.later.iter().any(|known| known == word) {
            self.later.push(word.to_string());
            self.faults.push(fault::later(word, span));
        }
    }

    fn block(&mut self, nodes: &[Node], scope: &Scope) -> Content {
        let mut content = Content::default();
        for node in nodes {
            match node {
                Node::Line(line) => self.line(line, scope, &mut content),
                Node::If(branch) => {
                    let inner = Scope {
                        around: Some("if"),
                        ..*scope
                    };
                    let then = self.block(&branch.then.nodes, &inner);
                    let otherwise = branch.otherwise.as_ref();
                    let otherwise = otherwise.map(|block| self.block(&block.nodes, &inner));
                    let branch = Branch {
                        condition: branch.condition.clone(),
                        then,
                        otherwise: otherwise.unwrap_or_default(),
                        span: branch.span,
                    };
                    content.damaged |= branch.then.damaged || branch.otherwise.damaged;
                    content.lines.push(Entry::If(branch));
                }
                Node::Bad(_) => content.damaged = true,
                Node::Comment(_) | Node::Blank => {}
            }
        }
        content
    }

    fn line(&mut self, line: &Line, scope: &Scope, content: &mut Content) {
        let word = line.head.text.as_str();
        let head = table::head(word, scope.context).or_else(|| {
            if scope.pattern {
                table::head(word, Context::Pattern)
            } else {
                None
            }
        });
        if let Some(head) = head {
            if let Some(around) = scope.around.filter(|_| UNCONDITIONAL.contains(&word)) {
                self.faults
                    .push(fault::unconditional(word, line.head.span, around));
                content.damaged = true;
                return;
            }
            let form = self.form(line, head, scope);
            if word == "edition"
                && let Some(Entry::Form(above)) = content.lines.first()
                && above.head.word != "edition"
            {
                let above = above.span;
                self.faults.push(fault::edition_late(line.head.span, above));
                content.damaged = true;
                return;
            }
            if head.once {
                let first = content.lines.iter().find_map(|entry| match entry {
                    Entry::Form(first) if std::ptr::eq(first.head, head) => Some(first.head_span),
                    _ => None,
                });
                if let Some(first) = first {
                    self.faults
                        .push(fault::doubled(word, form.head_span, first));
                    return;
                }
            }
            content.lines.push(Entry::Form(form));
            return;
        }
        let known = table::word(word);
        if let (Some(owner), Some(_)) = (scope.owner, known)
            && owner.takes(word).is_some()
        {
            return self.clause_line(line, owner, content);
        }
        content.damaged = true;
        let report = match scope.owner {
            Some(owner) if known.is_some_and(|row| !row.free) => {
                fault::not_here(word, line.head.span, owner.head.word, &owner.words())
            }
            owner if table::heads().any(|head| head.word == word) => {
                let _ = owner;
                fault::misplaced(word, line.head.span, scope.context)
            }
            owner => fault::unknown_head(
                word,
                line.head.span,
                scope.context,
                owner.map(|owner| owner.head),
            ),
        };
        self.faults.push(report);
    }

    /// A clause of the owner that stands as a line of its block.
    fn clause_line(&mut self, line: &Line, owner: Owner, content: &mut Content) {
        let word = Expr {
            kind: ExprKind::Name(line.head.text.clone()),
            span: line.head.span,
        };
        let mut items = vec![Item {
            exprs: vec![word],
            span: line.head.span,
        }];
        items.extend(line.items.iter().cloned());
        let mut damaged = line.damaged || line.set.is_some();
        content
            .clauses
            .extend(self.clauses(&items, 0, owner, &[], &mut damaged));
        content.damaged |= damaged;
        self.no_set(line, &line.head.text);
        if let Some(block) = &line.block {
            self.faults
                .push(fault::no_block(&line.head.text, block.span));
        }
    }

    fn no_set(&mut self, line: &Line, owner: &str) {
        if let Some(first) = line.set.as_ref().and_then(|set| set.first()) {
            let before = line.items.last().map_or(line.head.span, |item| item.span);
            self.faults.push(fault::equals(owner, before, first.span));
        }
    }

    fn form(&mut self, line: &Line, head: &'static Head, scope: &Scope) -> Form {
        let mut form = Form {
            head,
            head_span: line.head.span,
            patterned: None,
            kind: None,
            names: Vec::new(),
            title: None,
            count: None,
            values: Vec::new(),
            clauses: Vec::new(),
            lines: Vec::new(),
            set: None,
            docs: line.docs.clone(),
            span: line.span,
            damaged: line.damaged,
        };
        if head.later {
            self.later(head.word, line.head.span);
            form.damaged = true;
            if let Some(item) = line.items.first() {
                form.names = item.exprs.iter().filter_map(subject::name_use).collect();
                form.names.retain(|name| !table::reserved(&name.text));
            }
            return form;
        }
        let (row, start) = if head.word == "pattern" {
            match self.patterned(line, &mut form) {
                Some(row) => (row, 1),
                None => return form,
            }
        } else {
            (head, 0)
        };
        let next = self.subject(&line.items, start, row, &mut form);
        let owner = Owner {
            head: row,
            kind: form.kind,
        };
        if !row.kinds.is_empty() && form.kind.is_none() {
            // Without its kind nothing can be said of its clauses: what is wrong is reported already,
            // or is that very lack.
            self.check(&mut form, row, false);
            form.damaged = true;
            return form;
        }
        if row.set && line.set.is_none() {
            if !form.damaged {
                self.faults.push(fault::no_equals(row, line.head.span));
            }
            form.damaged = true;
            return form;
        }
        // What stands after a stray `=` is no longer at hand: the last word may lack it.
        let mut damaged = form.damaged || (line.set.is_some() && !head.set);
        let names = form.names.clone();
        form.clauses = self.clauses(&line.items, next, owner, &names, &mut damaged);
        self.set(line, head, owner, &mut form, &mut damaged);
        if let Some(block) = &line.block {
            match row.block {
                None => self.faults.push(fault::no_block(row.word, block.span)),
                Some(context) => {
                    let pattern = form.patterned.is_some();
                    let partial = scope.partial || pattern || check::changes(&form);
                    let inner = match context {
                        Context::Around => Scope {
                            owner: None,
                            around: Some(row.word),
                            ..*scope
                        },
                        context => Scope {
                            context,
                            pattern,
                            owner: Some(owner),
                            partial,
                            around: None,
                        },
                    };
                    let content = self.block(&block.nodes, &inner);
                    form.clauses.extend(content.clauses);
                    form.lines = content.lines;
                    damaged |= content.damaged;
                }
            }
        }
        form.damaged = damaged;
        // What is missing here may stand in a branch.
        let partial = scope.partial || form.lines.iter().any(Entry::states);
        self.check(&mut form, row, partial);
        form
    }

    /// The head that a pattern is of.
    fn patterned(&mut self, line: &Line, form: &mut Form) -> Option<&'static Head> {
        form.damaged = true;
        let Some(item) = line.items.first() else {
            let title = "the pattern does not say what it is of".to_string();
            self.faults.push(fault::no_subject(
                form.head,
                line.head.span,
                "a head and a name",
                title,
            ));
            return None;
        };
        let Some(word) = single_name(item) else {
            self.faults
                .push(fault::not_a_name("pattern", item.span, "a head"));
            return None;
        };
        let rows = || table::heads().filter(|head| head.word == word);
        let row = rows().find(|head| head.can_be_patterned());
        match row {
            Some(row) => {
                form.patterned = Some(row);
                form.damaged = line.damaged;
                return Some(row);
            }
            None if rows().any(|head| head.later) => self.later(word, item.span),
            None if rows().next().is_some() => self.faults.push(fault::no_pattern(word, item.span)),
            None => self
                .faults
                .push(fault::unknown_head(word, item.span, Context::Case, None)),
        }
        form.names.extend(
            line.items
                .get(1)
                .and_then(|item| item.exprs.first())
                .and_then(subject::name_use),
        );
        None
    }

    /// What stands after `=`.
    fn set(
        &mut self,
        line: &Line,
        head: &'static Head,
        owner: Owner,
        form: &mut Form,
        damaged: &mut bool,
    ) {
        match (&line.set, head.set) {
            (None, _) => {}
            (Some(_), false) => {
                self.no_set(line, head.word);
                *damaged = true;
            }
            (Some(items), true) => {
                let Some(first) = items.first() else { return };
                if let [only] = first.exprs.as_slice() {
                    form.set = Some(only.clone());
                } else {
                    self.faults
                        .push(fault::too_many(head.word, first.span, "value"));
                    *damaged = true;
                }
                form.clauses
                    .extend(self.clauses(items, 1, owner, &[], damaged));
            }
        }
    }
}

/// The word, if the item is one.
fn single_name(item: &Item) -> Option<&str> {
    match item.exprs.as_slice() {
        [only] => only.as_name(),
        _ => None,
    }
}

/// Whether the item is a reserved clause word.
fn is_reserved(item: &Item) -> bool {
    single_name(item).is_some_and(table::reserved)
}

/// Whether the item is words in quotes.
fn is_text(item: &Item) -> bool {
    matches!(
        item.exprs.as_slice(),
        [Expr {
            kind: ExprKind::Text(_) | ExprKind::Markdown(_),
            ..
        }]
    )
}
