//! What a block holds once its conditions are known and its repetitions are written out.

use super::env::{Env, Slot};
use super::stmt::{Scoped, Stmt};
use super::value::{self, Lookup, Value};
use super::{Poison, Res};
use crate::diag::{Diagnostic, code};
use crate::measure::{Quantity, Rational};
use crate::schema::{Clause, Entry, Form, NameUse};
use crate::syntax::tree::{Expr, ExprKind};
use std::rc::Rc;

/// The lines of a block as they hold, and the clauses of its owner that stand in its branches.
#[derive(Default)]
pub struct Unfolded {
    /// The lines.
    pub lines: Vec<Stmt>,
    /// The clauses.
    pub clauses: Vec<Scoped<Clause>>,
    /// What branches that do not hold, and repetitions without a turn, would declare.
    pub omitted: Vec<String>,
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
                let (content, other) = match holds {
                    true => (&branch.then, &branch.otherwise),
                    false => (&branch.otherwise, &branch.then),
                };
                declared(&other.lines, &mut out.omitted);
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
        self.omitted.extend(other.omitted);
        self.damaged |= other.damaged;
    }
}

/// The names of what some lines would make, also in divisions and repetitions.
fn declared(entries: &[Entry], names: &mut Vec<String>) {
    for entry in entries {
        match entry {
            Entry::Form(form) => {
                let word = form.head.word;
                if matches!(word, "divide" | "openings" | "repeat") {
                    declared(&form.lines, names);
                }
                if !form.head.declares || matches!(word, "repeat" | "let" | "param" | "pattern") {
                    continue;
                }
                match form.names.is_empty() {
                    true => names.push(word.to_owned()),
                    false => names.extend(form.names.iter().map(|name| name.text.clone())),
                }
            }
            Entry::If(branch) => {
                declared(&branch.then.lines, names);
                declared(&branch.otherwise.lines, names);
            }
        }
    }
}

/// In one turn of a repetition, the name of a part that a line of this turn declares means the part of
/// this turn: it takes its index.
fn of_this_turn(lines: &mut [Stmt], turn: &[u32]) {
    let parts = lines
        .iter()
        .filter(|line| super::panels::role_of(line.word()).is_some());
    let own: Vec<String> = parts
        .filter(|line| line.index == turn)
        .flat_map(|line| line.names.iter())
        .filter(|name| name.index.is_empty())
        .map(|name| name.text.clone())
        .collect();
    let number = |span| {
        let number = |n: &u32| Expr {
            kind: ExprKind::Number(Rational::int(i64::from(*n))),
            span,
        };
        turn.iter().map(number).collect::<Vec<Expr>>()
    };
    let speaks =
        |line: &&mut Stmt| matches!(line.word(), "join" | "band" | "cut" | "rows" | "matched");
    for line in lines.iter_mut().filter(speaks) {
        if line.word() != "rows" {
            for name in &mut line.names {
                if name.index.is_empty() && own.contains(&name.text) {
                    name.index = number(name.span);
                }
            }
        }
        let into = line
            .clauses
            .iter_mut()
            .filter(|c| matches!(c.of.word, "into" | "to"));
        for value in into.flat_map(|clause| &mut clause.of.values) {
            if value
                .as_name()
                .is_some_and(|name| own.iter().any(|n| n == name))
            {
                let of = Box::new(value.clone());
                value.kind = ExprKind::Index(of, number(value.span));
            }
        }
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
    if first > last {
        forward(cx, (from, first), (to, last))?;
        declared(&form.lines, &mut out.omitted);
    }
    for turn in first..=last {
        // Once there are too many, no further turn of any repetition is written out.
        more(cx, form)?;
        let scope = Env::within(env);
        let number = Value::Quantity(Quantity::number(Rational::int(i64::from(turn))));
        scope.set(&name.text, Slot::Done(number));
        bind_lets(&scope, &form.lines);
        let mut at = index.to_vec();
        at.push(turn);
        let mut inner = unfold(cx, &form.lines, &scope, &at);
        of_this_turn(&mut inner.lines, &at);
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

/// Whether repetitions wrote out more lines than can be built, which was reported: nothing is made of
/// those that they did.
pub fn too_many(cx: &mut dyn Lookup) -> bool {
    *cx.turns() > MOST_TURNS
}

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

/// Of two numbers as written, the second may be the less by one: then there is no turn, as where what is
/// counted may be none. By more, they stand the wrong way round.
fn forward(cx: &mut dyn Lookup, (from, first): (&Expr, u32), (to, last): (&Expr, u32)) -> Res<()> {
    let written = |expr: &Expr| matches!(expr.kind, ExprKind::Number(_));
    if first == last + 1 || !written(from) || !written(to) {
        return Ok(());
    }
    cx.report(
        Diagnostic::new(
            &code::VALUE_RANGE,
            "a range that runs backwards",
            to.span,
            format!("less than {first}, so that nothing is repeated"),
        )
        .help(format!("`from {last} to {first}`")),
    );
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
        Some(n) => {
            cx.report(Diagnostic::new(
                &code::VALUE_RANGE,
                "a range that goes on too long",
                expr.span,
                format!("this is {n}, more than {}", value::MOST),
            ));
            Err(Poison)
        }
        None => {
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
