//! What is read and not built this time: patterns with whatever nothing is like, and branches whose
//! condition does not hold. Asked once all that is built is sound: which stocks, hardware, patterns and
//! cautions they name, and whether their quantities measure what they should. What follows from
//! geometry or from a turn of a repetition is not known here, and nothing is said of it.

use super::env::{Env, Slot};
use super::project::{MOST_NAMES, Project, TopLevel, bind_let};
use super::unfold::bind_lets;
use super::value::{self, Lookup};
use crate::diag::Diagnostic;
use crate::measure::{Dimension, Quantity, Rational};
use crate::schema::table;
use crate::schema::{Clause, Content, Entry, Form, Head, NameUse, Shape};
use crate::source::Span;
use crate::syntax::tree::{Expr, ExprKind, Op};
use std::collections::BTreeSet;
use std::rc::Rc;

/// Heads that name hardware after `of`; the others name stock.
const OF_HARDWARE: &[&str] = &[
    "hinge", "pull", "catch", "lock", "stay", "pins", "rows", "runner", "foot", "strap",
];

/// Heads whose `of` is neither.
const OF_OTHERS: &[&str] = &["make", "place", "profile"];

/// Checks what is not built; reports go to the sink.
pub fn check(project: &Project, sink: &mut Vec<Diagnostic>) {
    // A file of patterns alone is used by others, which declare what it names; what stands in conditions
    // at the top of a file may declare anything.
    if project.has_holes() || project.pieces.is_empty() {
        return;
    }
    let mut names = BTreeSet::new();
    let forms = || {
        project
            .patterns
            .values()
            .chain(project.pieces.values().map(|(_, form)| form))
    };
    forms().for_each(|form| declared(&form.lines, &mut names));
    let cx = TopLevel::new(&project.sources, false, sink);
    let mut reader = Reader { project, names, cx };
    for form in forms() {
        reader.form(form, &project.globals, false);
    }
}

/// The names that lines give, at any depth.
fn declared(entries: &[Entry], names: &mut BTreeSet<String>) {
    for entry in entries {
        match entry {
            Entry::Form(form) => {
                names.extend(form.names.iter().map(|name| name.text.clone()));
                declared(&form.lines, names);
            }
            Entry::If(branch) => {
                declared(&branch.then.lines, names);
                declared(&branch.otherwise.lines, names);
            }
        }
    }
}

struct Reader<'a> {
    project: &'a Project,
    /// Names given anywhere that is not built for sure.
    names: BTreeSet<String>,
    cx: TopLevel<'a>,
}

impl Reader<'_> {
    /// The lines of a block; `asked` tells whether they may be left unbuilt.
    fn entries(&mut self, entries: &[Entry], owner: &'static Head, env: &Rc<Env>, asked: bool) {
        for entry in entries {
            match entry {
                Entry::Form(form) => self.form(form, env, asked),
                Entry::If(branch) => {
                    self.measure(&branch.condition, env);
                    self.content(&branch.then, owner, env);
                    self.content(&branch.otherwise, owner, env);
                }
            }
        }
    }

    /// The block of a condition.
    fn content(&mut self, content: &Content, owner: &'static Head, env: &Rc<Env>) {
        let env = Env::within(env);
        bind_lets(&env, &content.lines);
        for clause in &content.clauses {
            self.clause(owner, clause, &env);
        }
        self.entries(&content.lines, owner, &env, true);
    }

    fn form(&mut self, form: &Form, env: &Rc<Env>, asked: bool) {
        let asked = asked || form.patterned.is_some();
        let head = form.patterned.unwrap_or(form.head);
        let inner = Env::within(env);
        bind_lets(&inner, &form.lines);
        for param in form.forms("param") {
            bind_let(&inner, param.names.first(), param.set.as_ref());
        }
        if let ("repeat", Some(name)) = (head.word, form.names.first()) {
            inner.set(&name.text, Slot::Bad);
        }
        if asked && !form.damaged {
            self.line(form, head, &inner);
        }
        self.entries(&form.lines, head, &inner, asked);
    }

    fn line(&mut self, form: &Form, head: &'static Head, env: &Rc<Env>) {
        if let Some(count) = &form.count {
            self.wanted(count, Shape::Number, env);
        }
        let values = form.values.iter().zip(head.values);
        for (value, slot) in values {
            if head.word == "allow" {
                if let Err(report) = super::notes::caution(value) {
                    self.cx.report(report);
                }
            } else {
                self.wanted(value, slot.shape, env);
            }
        }
        for clause in &form.clauses {
            self.clause(head, clause, env);
        }
        if let Some(set) = &form.set {
            self.measure(set, env);
        }
    }

    fn clause(&mut self, head: &'static Head, clause: &Clause, env: &Rc<Env>) {
        match clause.word {
            "of" if OF_OTHERS.contains(&head.word) => {}
            "of" => self.thing(clause, OF_HARDWARE.contains(&head.word), env),
            "like" => self.source(clause, head),
            _ => self.quantities(clause, env),
        }
        for tail in &clause.tails {
            match (clause.word, tail.word) {
                ("with", "of") => self.thing(tail, true, env),
                _ => self.quantities(tail, env),
            }
        }
    }

    /// What a part is made of, or which hardware is fitted.
    fn thing(&mut self, of: &Clause, hardware: bool, env: &Rc<Env>) {
        let Some(value) = of.value() else { return };
        let Some(name) = value.as_name() else { return };
        let mut at = (env.clone(), name.to_owned());
        for _ in 0..MOST_NAMES {
            match at.0.find(&at.1).map(|found| (found.env, found.slot)) {
                Some((env, Slot::Todo(value, of))) => match value.as_name() {
                    Some(name) => at = (of.unwrap_or(env), name.to_owned()),
                    None => return,
                },
                Some(_) => return,
                None => break,
            }
        }
        let (project, name) = (self.project, at.1);
        if self.names.contains(&name)
            || project.stocks.contains_key(&name)
            || project.hardware.contains_key(&name)
        {
            return;
        }
        let (what, known): (&str, Vec<&str>) = match hardware {
            true => (
                "hardware",
                project.hardware.keys().map(String::as_str).collect(),
            ),
            false => ("stock", project.stocks.keys().map(String::as_str).collect()),
        };
        let name = name_at(name, value.span);
        let _ = project.missing(&mut self.cx, &name, what, known);
    }

    /// The pattern or line that one is like.
    fn source(&mut self, like: &Clause, head: &'static Head) {
        let of = match like.value().map(|value| (&value.kind, value)) {
            Some((ExprKind::Call(of, _), _)) => of,
            Some((_, value)) => value,
            None => return,
        };
        let Some(name) = of.as_name() else { return };
        let project = self.project;
        let goods = project.stocks.contains_key(name)
            || project.hardware.contains_key(name)
            || project.finishes.contains_key(name);
        if goods || self.names.contains(name) || project.patterns.contains_key(name) {
            return;
        }
        let known = project.patterns.keys().map(String::as_str).collect();
        let name = name_at(name.to_owned(), of.span);
        let what = format!("pattern {}", head.word);
        let _ = project.missing(&mut self.cx, &name, &what, known);
    }

    fn quantities(&mut self, clause: &Clause, env: &Rc<Env>) {
        // What a preposition takes is told by the word before it.
        let shape = table::word(clause.word).map_or(Shape::Value, |word| word.shape);
        let shape = match clause.word {
            "from" | "to" | "between" | "on" | "under" | "per" | "dry" | "of" => Shape::Value,
            _ => shape,
        };
        for value in &clause.values {
            self.wanted(value, shape, env);
        }
    }

    /// A value that is to be of a kind, as far as its kind is known.
    fn wanted(&mut self, value: &Expr, shape: Shape, env: &Rc<Env>) {
        let wanted = match shape {
            Shape::Length
            | Shape::Lengths
            | Shape::FlagOrLength
            | Shape::Extent
            | Shape::Place
            | Shape::Places => Dimension::LENGTH,
            Shape::Number | Shape::Numbers => Dimension::NONE,
            Shape::Mass => Dimension::MASS,
            Shape::Time => Dimension::TIME,
            Shape::Money => Dimension::MONEY,
            Shape::Amount | Shape::Value | Shape::Range => {
                self.measure(value, env);
                return;
            }
            _ => return,
        };
        match self.measure(value, env) {
            Some(found) if found != wanted => {
                let found = Quantity {
                    value: Rational::ONE,
                    dimension: found,
                };
                let wanted = value::amount_of(wanted);
                value::mismatch(&mut self.cx, value, &wanted, &value::Value::Quantity(found));
            }
            _ => {}
        }
    }

    /// What an expression measures, where that is known without its value; reports sides that do not
    /// measure the same.
    fn measure(&mut self, expr: &Expr, env: &Rc<Env>) -> Option<Dimension> {
        match &expr.kind {
            ExprKind::Measure(quantity) => Some(quantity.dimension),
            ExprKind::Number(_) => Some(Dimension::NONE),
            ExprKind::Name(name) => named(name, env, MOST_NAMES),
            ExprKind::Neg(of) => self.measure(of, env),
            ExprKind::Not(of) => {
                self.measure(of, env);
                None
            }
            ExprKind::Choice(condition, yes, no) => {
                self.measure(condition, env);
                let (yes, no) = (self.measure(yes, env), self.measure(no, env));
                yes.filter(|yes| Some(*yes) == no)
            }
            ExprKind::Binary(a, op, at, b) => {
                let sides = (self.measure(a, env), self.measure(b, env));
                let (Some(x), Some(y)) = sides else {
                    return None;
                };
                match op {
                    Op::Mul => Some(x.times(y)),
                    Op::Div => Some(x.per(y)),
                    Op::And | Op::Or => None,
                    _ if x != y => {
                        let report = value::dimension_clash(x, y, *op, *at, a, b);
                        self.cx.report(report);
                        None
                    }
                    Op::Add | Op::Sub => Some(x),
                    _ => None,
                }
            }
            _ => None,
        }
    }
}

/// What a value that is named measures, where its line tells.
fn named(name: &str, env: &Rc<Env>, deepest: usize) -> Option<Dimension> {
    let found = env.find(name)?;
    match found.slot {
        Slot::Done(value::Value::Quantity(quantity)) => Some(quantity.dimension),
        Slot::Todo(value, of) => match &value.kind {
            ExprKind::Measure(quantity) => Some(quantity.dimension),
            ExprKind::Number(_) => Some(Dimension::NONE),
            ExprKind::Name(next) if deepest > 0 => {
                named(next, &of.unwrap_or(found.env), deepest - 1)
            }
            _ => None,
        },
        _ => None,
    }
}

fn name_at(text: String, span: Span) -> NameUse {
    NameUse {
        text,
        index: Vec::new(),
        span,
    }
}
