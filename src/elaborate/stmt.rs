//! Statements: checked lines with the scope that their expressions belong to, after `like` is merged.

use super::env::Env;
use crate::schema::{Clause, Entry, Form, Head, NameUse};
use crate::source::Span;
use crate::syntax::tree::{Doc, Expr};
use std::rc::Rc;

/// A checked line whose clauses know their scope.
#[derive(Clone, Debug)]
pub struct Stmt {
    /// Its row of the table.
    pub head: &'static Head,
    /// The head's word.
    pub head_span: Span,
    /// Its names.
    pub names: Vec<NameUse>,
    /// Its title.
    pub title: Option<(String, Span)>,
    /// How many.
    pub count: Option<Expr>,
    /// Leading values.
    pub values: Vec<Expr>,
    /// Its clauses, each with its scope.
    pub clauses: Vec<Scoped<Clause>>,
    /// Its lines.
    pub lines: Vec<Stmt>,
    /// After `=`.
    pub set: Option<Expr>,
    /// Its description.
    pub docs: Vec<Doc>,
    /// The whole line.
    pub span: Span,
    /// Whether it was damaged.
    pub damaged: bool,
    /// The scope of its names, count and values.
    pub env: Rc<Env>,
    /// The pattern or thing that it is like.
    pub pattern: Option<String>,
}

/// The heads whose own `let` lines are bound in a scope of theirs; pieces and patterns have one anyway.
const SCOPES: &[&str] = &["case", "door", "doors", "drawer", "face", "shelves"];

/// A thing with the scope of its expressions.
#[derive(Clone, Debug)]
pub struct Scoped<T> {
    /// The thing.
    pub of: T,
    /// The scope.
    pub env: Rc<Env>,
}

impl Stmt {
    /// A statement of a form in one scope; conditionals are not of this edition and were reported.
    ///
    /// What a `let` in a case, leaf, drawer or set of shelves names is known in all of it.
    pub fn new(form: &Form, env: &Rc<Env>) -> Stmt {
        let mut inner = env.clone();
        if SCOPES.contains(&form.head.word) && form.forms("let").next().is_some() {
            inner = Env::within(env);
            for line in form.forms("let") {
                super::project::bind_let(&inner, line.names.first(), line.set.as_ref());
            }
        }
        let env = &inner;
        Stmt {
            head: form.head,
            head_span: form.head_span,
            names: form.names.clone(),
            title: form.title.clone(),
            count: form.count.clone(),
            values: form.values.clone(),
            clauses: form
                .clauses
                .iter()
                .map(|c| Scoped {
                    of: c.clone(),
                    env: env.clone(),
                })
                .collect(),
            lines: form
                .lines
                .iter()
                .filter_map(|entry| match entry {
                    Entry::Form(form) => Some(Stmt::new(form, env)),
                    Entry::If(_) => None,
                })
                .collect(),
            set: form.set.clone(),
            docs: form.docs.clone(),
            span: form.span,
            damaged: form.damaged,
            env: env.clone(),
            pattern: None,
        }
    }

    /// Its words again as the schema knows them, without its lines, to ask what it lacks.
    pub fn to_form(&self) -> Form {
        Form {
            head: self.head,
            head_span: self.head_span,
            patterned: None,
            kind: None,
            names: self.names.clone(),
            title: self.title.clone(),
            count: self.count.clone(),
            values: self.values.clone(),
            clauses: self.clauses.iter().map(|c| c.of.clone()).collect(),
            lines: Vec::new(),
            set: self.set.clone(),
            docs: self.docs.clone(),
            span: self.span,
            damaged: self.damaged,
        }
    }

    /// Its head's word.
    pub fn word(&self) -> &'static str {
        self.head.word
    }

    /// Its first name, or its head's word where it has none.
    pub fn name(&self) -> &str {
        self.names
            .first()
            .map_or(self.head.word, |n| n.text.as_str())
    }

    /// Where its name stands.
    pub fn name_span(&self) -> Span {
        self.names.first().map_or(self.head_span, |n| n.span)
    }

    /// The last clause of a word.
    pub fn clause(&self, word: &str) -> Option<&Scoped<Clause>> {
        self.clauses.iter().rev().find(|c| c.of.word == word)
    }

    /// All clauses of a word.
    pub fn all<'a>(&'a self, word: &'a str) -> impl Iterator<Item = &'a Scoped<Clause>> {
        self.clauses.iter().filter(move |c| c.of.word == word)
    }

    /// Whether the clause is there.
    pub fn has(&self, word: &str) -> bool {
        self.clause(word).is_some()
    }

    /// Its lines with this head.
    pub fn forms<'a>(&'a self, word: &'a str) -> impl Iterator<Item = &'a Stmt> {
        self.lines.iter().filter(move |s| s.head.word == word)
    }

    /// What messages may point at: the line and each of its clauses.
    pub fn origin(&self) -> crate::model::Origin {
        let mut origin = crate::model::Origin::line(self.name_span());
        for clause in &self.clauses {
            origin
                .clauses
                .push((clause.of.word.to_owned(), clause.of.span));
        }
        origin.clauses.push(("line".into(), self.span));
        origin
    }
}

/// `changes` over `base` (language rules, "one mechanism for reuse"): clauses replace those of the
/// same word, blocks merge line by line, lines match by name, or by head where they have none.
pub fn merge(base: Stmt, changes: &Stmt) -> Stmt {
    let mut out = Stmt {
        head: changes.head,
        head_span: changes.head_span,
        names: changes.names.clone(),
        title: changes.title.clone().or(base.title),
        env: if changes.count.is_some() || !changes.values.is_empty() {
            changes.env.clone()
        } else {
            base.env
        },
        count: changes.count.clone().or(base.count),
        values: if changes.values.is_empty() {
            base.values
        } else {
            changes.values.clone()
        },
        clauses: Vec::new(),
        lines: base.lines,
        set: changes.set.clone().or(base.set),
        docs: if changes.docs.is_empty() {
            base.docs
        } else {
            changes.docs.clone()
        },
        span: changes.span,
        damaged: base.damaged || changes.damaged,
        pattern: base.pattern,
    };
    // What says the opposite of a change goes with it.
    let opposed = |c: &Scoped<Clause>, word: &str| {
        let row = changes.head.takes(c.of.word);
        row.is_some_and(|row| row.without.contains(&word))
    };
    let replaced = |word: &str| {
        let mut changes = changes.clauses.iter();
        changes.any(|c| c.of.word == word || opposed(c, word))
    };
    out.clauses
        .extend(base.clauses.into_iter().filter(|c| !replaced(c.of.word)));
    out.clauses.extend(
        changes
            .clauses
            .iter()
            .filter(|c| c.of.word != "like")
            .cloned(),
    );
    for line in &changes.lines {
        let matches = |other: &Stmt| {
            // A line for one element stands beside the line of the array.
            if line.is_of_element() || other.is_of_element() {
                return false;
            }
            if line.names.is_empty() && other.names.is_empty() {
                // Joins, bands and divisions are told apart by what they speak of.
                return other.word() == line.word();
            }
            other
                .names
                .iter()
                .map(|n| &n.text)
                .eq(line.names.iter().map(|n| &n.text))
                && {
                    let speaks = ["join", "band", "divide"];
                    other.word() == line.word()
                        || !(speaks.contains(&line.word()) || speaks.contains(&other.word()))
                }
        };
        match out.lines.iter().position(matches) {
            Some(at) => {
                let whole = line.word() == "divide"
                    || out.lines.get(at).is_some_and(|o| o.word() != line.word());
                if let Some(slot) = out.lines.get_mut(at) {
                    *slot = if whole {
                        line.clone()
                    } else {
                        merge(slot.clone(), line)
                    };
                }
            }
            None => out.lines.push(line.clone()),
        }
    }
    out
}
