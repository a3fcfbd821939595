//! What a block holds once its conditions are known and its repetitions are written out.

use super::env::{Env, Slot};
use super::stmt::{Scoped, Stmt};
use super::value::{self, Lookup, Value};
use super::{Poison, Res};
use crate::diag::{Diagnostic, code};
use crate::measure::{Quantity, Rational};
use crate::schema::{Clause, Entry, Form, NameUse};
use crate::syntax::tree::Expr;
use std::rc::Rc;

/// The lines of a block as they hold, and the clauses of its owner that stand in its branches.
#[derive(Default)]
pub struct Unfolded {
    /// The lines.
    pub lines: Vec<Stmt>,
    /// The clauses.
    pub clauses: Vec<Scoped<Clause>>,
    /// Whether something was lost.
    pub damaged: bool,
}

/// Unfolds the entries of a block in a scope, which takes up what `let` names in branches.
///
/// `index` tells which turn of the repetitions around it this is. A condition or range that can't be
/// computed was reported; its lines are left out, and the block is damaged.
pub fn unfold(cx: &mut dyn Lookup, entries: &[Entry], env: &Rc<Env>, index: &[u32]) -> Unfolded {
    let mut out = Unfolded::default();
    for entry in entries {
        let done = match entry {
            Entry::Form(form) if form.head.word == "repeat" => {
                repeat(cx, form, env, index, &mut out)
            }
            Entry::Form(form) => {
                out.lines.push(Stmt {
                    index: index.to_vec(),
                    ..Stmt::new(cx, form, env)
                });
                Ok(())
            }
            Entry::If(branch) => value::boolean(cx, env, &branch.condition).map(|holds| {
                let content = if holds {
                    &branch.then
                } else {
                    &branch.otherwise
                };
                bind_lets(env, &content.lines);
                out.clauses
                    .extend(content.clauses.iter().map(|clause| Scoped {
                        of: clause.clone(),
                        env: env.clone(),
                    }));
                let inner = unfold(cx, &content.lines, env, index);
                out.take(inner);
            }),
        };
        out.damaged |= done.is_err();
    }
    out
}

impl Unfolded {
    fn take(&mut self, other: Unfolded) {
        self.lines.extend(other.lines);
        self.clauses.extend(other.clauses);
        self.damaged |= other.damaged;
    }
}

/// Binds what the `let` lines of a block name.
pub fn bind_lets(env: &Env, entries: &[Entry]) {
    for entry in entries {
        if let Entry::Form(form) = entry
            && form.head.word == "let"
        {
            super::project::bind_let(env, form.names.first(), form.set.as_ref());
        }
    }
}

/// Whether a block names values, in a branch or not.
pub fn has_lets(entries: &[Entry]) -> bool {
    entries.iter().any(|entry| match entry {
        Entry::Form(form) => form.head.word == "let",
        Entry::If(branch) => has_lets(&branch.then.lines) || has_lets(&branch.otherwise.lines),
    })
}

/// The lines of a repetition, once for each whole number of its range.
fn repeat(
    cx: &mut dyn Lookup,
    form: &Form,
    env: &Rc<Env>,
    index: &[u32],
    out: &mut Unfolded,
) -> Res<()> {
    // A line without its name or range was reported.
    let name = form.names.first().ok_or(Poison)?;
    let bound = |word: &str| form.clause(word).and_then(Clause::value).ok_or(Poison);
    let (from, to) = (bound("from")?, bound("to")?);
    if index.is_empty() {
        named_once(cx, name, &form.lines)?;
    }
    let first = start(cx, env, from)?;
    let last = whole(cx, env, to)?;
    for turn in first..=last {
        more(cx, form)?;
        let scope = Env::within(env);
        let number = Value::Quantity(Quantity::number(Rational::int(i64::from(turn))));
        scope.set(&name.text, Slot::Done(number));
        bind_lets(&scope, &form.lines);
        let mut at = index.to_vec();
        at.push(turn);
        let inner = unfold(cx, &form.lines, &scope, &at);
        out.take(inner);
    }
    Ok(())
}

/// The name of a repetition means its number in all of its lines: none of them takes it again.
fn named_once(cx: &mut dyn Lookup, name: &NameUse, entries: &[Entry]) -> Res<()> {
    let mut fine = Ok(());
    for entry in entries {
        match entry {
            Entry::Form(form) if matches!(form.head.word, "repeat" | "let") => {
                let again = form.names.first();
                if let Some(again) = again.filter(|again| again.text == name.text) {
                    cx.report(super::project::twice(&again.text, again.span, name.span));
                    fine = Err(Poison);
                } else {
                    fine = fine.and(named_once(cx, name, &form.lines));
                    if let Some(again) = again.filter(|_| form.head.word == "repeat") {
                        fine = fine.and(named_once(cx, again, &form.lines));
                    }
                }
            }
            Entry::Form(_) => {}
            Entry::If(branch) => {
                for lines in [&branch.then.lines, &branch.otherwise.lines] {
                    fine = fine.and(named_once(cx, name, lines));
                }
            }
        }
    }
    fine
}

/// Lines that repetitions write out in all, at most: more is a slip in a range.
const MOST_TURNS: u32 = 100_000;

/// Counts one more turn of a repetition.
fn more(cx: &mut dyn Lookup, form: &Form) -> Res<()> {
    let turns = cx.turns();
    *turns += 1;
    if *turns <= MOST_TURNS {
        return Ok(());
    }
    if *turns == MOST_TURNS + 1 {
        cx.report(
            Diagnostic::new(
                &code::VALUE_RANGE,
                "more repetitions than can be built",
                form.head_span,
                format!("more than {MOST_TURNS} in all"),
            )
            .help("look for a range that is too long"),
        );
    }
    Err(Poison)
}

/// The start of a range: the first index of an array is 1.
fn start(cx: &mut dyn Lookup, env: &Rc<Env>, expr: &Expr) -> Res<u32> {
    let value = value::quantity_of(cx, env, expr, crate::measure::Dimension::NONE)?;
    match value.is_integer().then(|| value.numer()) {
        Some(n) if n >= 1 && n <= i128::from(value::MOST) => Ok(n as u32),
        _ => {
            cx.report(
                Diagnostic::new(
                    &code::VALUE_RANGE,
                    "a range that does not begin at a whole number from 1",
                    expr.span,
                    format!("this is {value}"),
                )
                .note(format!(
                    "it is the index of what is declared, from 1 to {}",
                    value::MOST
                ))
                .help("begin at 1, and compute with `i - 1` where that is wanted"),
            );
            Err(Poison)
        }
    }
}

/// The end of a range: a whole number, perhaps less than its start.
fn whole(cx: &mut dyn Lookup, env: &Rc<Env>, expr: &Expr) -> Res<u32> {
    let value = value::quantity_of(cx, env, expr, crate::measure::Dimension::NONE)?;
    match value.is_integer().then(|| value.numer()) {
        Some(n) if n <= 0 => Ok(0),
        Some(n) if n <= i128::from(value::MOST) => Ok(n as u32),
        _ => {
            cx.report(Diagnostic::new(
                &code::VALUE_RANGE,
                "a range that does not end on a whole number",
                expr.span,
                format!(
                    "this is {value}; the last number is whole, up to {}",
                    value::MOST
                ),
            ));
            Err(Poison)
        }
    }
}
