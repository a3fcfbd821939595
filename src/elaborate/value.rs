//! Computing expressions.

use super::circle::{self, Step, What};
use super::env::{Env, Segment, Slot};
use super::{Poison, Res};
use crate::diag::{Diagnostic, code};
use crate::measure::{Dimension, Length, Quantity, Rational, Units};
use crate::model::Axis;
use crate::source::Span;
use crate::syntax::tree::{Expr, ExprKind, Op};
use std::rc::Rc;

/// What an expression gives.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A number with a dimension.
    Quantity(Quantity),
    /// A truth value.
    Bool(bool),
    /// Words.
    Text(String),
    /// A place along an axis of the case: a face of a part, `deck.top`.
    Place(Axis, Length),
    /// What the elements of an array have, each with its indices; they are not all alike.
    Each(Vec<(Vec<u32>, Value)>),
}

impl Value {
    /// For messages: `a length`, `a number`, `words`.
    pub fn kind(&self) -> String {
        match self {
            Value::Quantity(q) => amount_of(q.dimension),
            Value::Bool(_) => "a condition".into(),
            Value::Text(_) => "words".into(),
            Value::Place(..) => "a place".into(),
            Value::Each(_) => "one for each element, and they differ".into(),
        }
    }

    /// As it is printed in notes and messages.
    pub fn text(&self, units: Units) -> String {
        match self {
            Value::Quantity(q) => match q.as_length() {
                Some(length) => units.text(length),
                None => format!(
                    "{}{}",
                    q.value,
                    if q.dimension == Dimension::NONE {
                        String::new()
                    } else {
                        format!(" ({})", q.dimension)
                    }
                ),
            },
            Value::Bool(b) => if *b { "yes" } else { "no" }.into(),
            Value::Text(t) => t.clone(),
            Value::Place(_, at) => units.text(*at),
            Value::Each(list) => {
                let texts: Vec<String> = list.iter().map(|(_, v)| v.text(units)).collect();
                texts.join(", ")
            }
        }
    }

    /// Two values side by side, element by element where one of them is of an array.
    pub fn beside(&self, other: &Value) -> Vec<(Vec<u32>, Value, Value)> {
        match (self, other) {
            (Value::Each(xs), Value::Each(ys)) => {
                let pairs = xs.iter().zip(ys);
                pairs
                    .map(|((index, x), (_, y))| (index.clone(), x.clone(), y.clone()))
                    .collect()
            }
            (Value::Each(xs), y) => xs
                .iter()
                .map(|(index, x)| (index.clone(), x.clone(), y.clone()))
                .collect(),
            (x, Value::Each(ys)) => ys
                .iter()
                .map(|(index, y)| (index.clone(), x.clone(), y.clone()))
                .collect(),
            (x, y) => vec![(Vec::new(), x.clone(), y.clone())],
        }
    }

    /// The length that it is: a size, or how far along its axis a place is.
    pub fn as_length(&self) -> Option<Length> {
        match self {
            Value::Quantity(q) => q.as_length(),
            Value::Place(_, at) => Some(*at),
            _ => None,
        }
    }
}

/// What computing needs from outside: names that are not bound in scopes, and a place for reports.
pub trait Lookup {
    /// The value of a path that no scope binds; `None` if there is no such thing.
    fn path(&mut self, path: &[Segment]) -> Option<Res<Value>>;
    /// Names that could have been meant.
    fn candidates(&self) -> Vec<String>;
    /// Whether a path that is not known may speak of something that was reported.
    fn excuses(&self, path: &[Segment]) -> bool;
    /// The text under a span, as written.
    fn source(&self, span: Span) -> String;
    /// How many values wait for the one that is being computed.
    fn depth(&mut self) -> &mut usize;
    /// What is being found, and what it waits for.
    fn trail(&mut self) -> &mut Vec<Step>;
    /// What a step is called in messages.
    fn name_of(&self, what: &What) -> String;
    /// How many turns repetitions have taken so far.
    fn turns(&mut self) -> &mut u32;
    /// Takes a report.
    fn report(&mut self, diagnostic: Diagnostic);
}

/// How many values may wait for each other, each for the next: more is no design, and would exhaust
/// the program.
const DEEPEST: usize = 100;

/// Computes what one value or place needs, one step deeper.
pub fn deeper<C: Lookup + ?Sized, T>(
    cx: &mut C,
    span: Span,
    compute: impl FnOnce(&mut C) -> Res<T>,
) -> Res<T> {
    if *cx.depth() >= DEEPEST {
        cx.report(
            Diagnostic::new(
                &code::SYNTAX_DEEP,
                format!("more than {DEEPEST} sizes that each follow from the next"),
                span,
                "one too many here",
            )
            .help("state one of them as a figure"),
        );
        return Err(Poison);
    }
    *cx.depth() += 1;
    let found = compute(cx);
    *cx.depth() -= 1;
    found
}

/// Computes an expression.
pub fn eval(cx: &mut dyn Lookup, env: &Rc<Env>, expr: &Expr) -> Res<Value> {
    match &expr.kind {
        ExprKind::Measure(q) => Ok(Value::Quantity(*q)),
        ExprKind::BadUnit => Err(Poison),
        ExprKind::Number(n) => Ok(Value::Quantity(Quantity::number(*n))),
        ExprKind::Text(t) | ExprKind::Markdown(t) => Ok(Value::Text(t.clone())),
        ExprKind::Name(_) | ExprKind::Member(..) | ExprKind::Index(..) => path_value(cx, env, expr),
        ExprKind::Call(of, _) => {
            cx.report(Diagnostic::new(
                &code::TYPE_MISMATCH,
                "a pattern with arguments is not a value",
                of.span,
                "expected a value here",
            ));
            Err(Poison)
        }
        ExprKind::Neg(a) => match eval(cx, env, a)? {
            Value::Each(list) => list
                .into_iter()
                .map(|(index, value)| Ok((index, negative(cx, value, a)?)))
                .collect::<Res<Vec<_>>>()
                .map(Value::Each),
            value => negative(cx, value, a),
        },
        ExprKind::Not(a) => Ok(Value::Bool(!boolean(cx, env, a)?)),
        ExprKind::Binary(a, op, at, b) => binary(cx, env, a, *op, *at, b),
        ExprKind::Choice(c, a, b) => {
            if boolean(cx, env, c)? {
                eval(cx, env, a)
            } else {
                eval(cx, env, b)
            }
        }
    }
}

fn negative(cx: &mut dyn Lookup, value: Value, expr: &Expr) -> Res<Value> {
    let q = as_quantity(cx, value, expr)?;
    Ok(Value::Quantity(Quantity {
        value: -q.value,
        ..q
    }))
}

fn binary(cx: &mut dyn Lookup, env: &Rc<Env>, a: &Expr, op: Op, at: Span, b: &Expr) -> Res<Value> {
    if matches!(op, Op::And | Op::Or) {
        let left = boolean(cx, env, a)?;
        let right = boolean(cx, env, b)?;
        return Ok(Value::Bool(if op == Op::And {
            left && right
        } else {
            left || right
        }));
    }
    let (left, right) = (eval(cx, env, a), eval(cx, env, b));
    let (left, right) = (left?, right?);
    let one = |cx: &mut dyn Lookup, x: Value, y: Value| apply(cx, x, y, a, op, at, b);
    let elements = match (left, right) {
        (Value::Each(xs), Value::Each(ys)) => {
            if !xs.iter().map(|x| &x.0).eq(ys.iter().map(|y| &y.0)) {
                cx.report(
                    Diagnostic::new(
                        &code::TYPE_MISMATCH,
                        "two arrays that do not match",
                        at,
                        "element by element",
                    )
                    .at(a.span, format!("{} of them here", xs.len()))
                    .at(b.span, format!("{} of them here", ys.len())),
                );
                return Err(Poison);
            }
            let pairs = xs.into_iter().zip(ys);
            pairs
                .map(|((index, x), (_, y))| Ok((index, one(cx, x, y)?)))
                .collect::<Res<Vec<_>>>()?
        }
        (Value::Each(xs), y) => xs
            .into_iter()
            .map(|(index, x)| Ok((index, one(cx, x, y.clone())?)))
            .collect::<Res<Vec<_>>>()?,
        (x, Value::Each(ys)) => ys
            .into_iter()
            .map(|(index, y)| Ok((index, one(cx, x.clone(), y)?)))
            .collect::<Res<Vec<_>>>()?,
        (x, y) => return one(cx, x, y),
    };
    // A comparison with an array holds if it holds for every element.
    if op.compares() {
        let holds = elements.iter().all(|(_, v)| *v == Value::Bool(true));
        return Ok(Value::Bool(holds));
    }
    Ok(Value::Each(elements))
}

/// What an operator makes of two values that are none of arrays.
pub fn apply(
    cx: &mut dyn Lookup,
    left: Value,
    right: Value,
    a: &Expr,
    op: Op,
    at: Span,
    b: &Expr,
) -> Res<Value> {
    if let (Value::Text(x), Value::Text(y)) = (&left, &right) {
        match op {
            Op::Equal => return Ok(Value::Bool(x == y)),
            Op::NotEqual => return Ok(Value::Bool(x != y)),
            _ => {}
        }
    }
    // The distance between two places of one axis is a length; a place and a length give a place.
    if let (Value::Place(axis, p), Value::Place(other, q)) = (&left, &right)
        && axis == other
        && op == Op::Sub
    {
        return Ok(Value::Quantity(Quantity::length(*p - *q)));
    }
    let place = match (&left, op) {
        (Value::Place(axis, _), Op::Add | Op::Sub) => Some(*axis),
        _ => None,
    };
    let (x, y) = (as_quantity(cx, left, a)?, as_quantity(cx, right, b)?);
    let dimension = match op {
        Op::Mul => x.dimension.times(y.dimension),
        Op::Div => x.dimension.per(y.dimension),
        _ if x.dimension == y.dimension => x.dimension,
        _ => {
            cx.report(dimension_clash(x.dimension, y.dimension, op, at, a, b));
            return Err(Poison);
        }
    };
    let value = match op {
        Op::Add => x.value + y.value,
        Op::Sub => x.value - y.value,
        Op::Mul => x.value * y.value,
        Op::Div => {
            if y.value.is_zero() {
                cx.report(
                    Diagnostic::new(
                        &code::VALUE_DIVIDE_ZERO,
                        "a division by zero",
                        at,
                        "divides by zero",
                    )
                    .at(b.span, "this is 0"),
                );
                return Err(Poison);
            }
            x.value / y.value
        }
        Op::Less => return Ok(Value::Bool(x.value < y.value)),
        Op::LessEq => return Ok(Value::Bool(x.value <= y.value)),
        Op::Greater => return Ok(Value::Bool(x.value > y.value)),
        Op::GreaterEq => return Ok(Value::Bool(x.value >= y.value)),
        Op::Equal => return Ok(Value::Bool(x.value == y.value)),
        Op::NotEqual => return Ok(Value::Bool(x.value != y.value)),
        Op::And | Op::Or => return Err(Poison),
    };
    if value.is_overflow() {
        cx.report(Diagnostic::new(
            &code::VALUE_OVERFLOW,
            "a number that is too large to hold",
            at,
            "the result does not fit",
        ));
        return Err(Poison);
    }
    match place {
        Some(axis) => Ok(Value::Place(axis, Length::from_mm(value))),
        None => Ok(Value::Quantity(Quantity { value, dimension })),
    }
}

/// Both sides of an operator that must measure the same, and do not.
pub fn dimension_clash(
    x: Dimension,
    y: Dimension,
    op: Op,
    at: Span,
    a: &Expr,
    b: &Expr,
) -> Diagnostic {
    let report = Diagnostic::new(
        &code::TYPE_DIMENSION,
        format!("`{}` between a {x} and a {y}", op.symbol()),
        at,
        "both sides must measure the same",
    )
    .at(a.span, format!("this is a {x}"))
    .at(b.span, format!("this is a {y}"));
    if x == Dimension::NONE || y == Dimension::NONE {
        return report.help("give the bare number its unit, glued to it, as in `18mm` or `3/4in`");
    }
    report.help(format!(
        "multiply the {x} by a {}, or divide the {y} by one, so that both sides agree",
        y.per(x)
    ))
}

/// The path of names and indices that an expression is; `None` if it is something else.
pub fn path_of(cx: &mut dyn Lookup, env: &Rc<Env>, expr: &Expr) -> Option<Res<Vec<Segment>>> {
    match &expr.kind {
        ExprKind::Name(name) => Some(Ok(vec![Segment {
            name: name.clone(),
            index: Vec::new(),
            span: expr.span,
        }])),
        ExprKind::Member(of, member) => {
            let mut path = match path_of(cx, env, of)? {
                Ok(path) => path,
                Err(poison) => return Some(Err(poison)),
            };
            path.push(Segment {
                name: member.text.clone(),
                index: Vec::new(),
                span: member.span,
            });
            Some(Ok(path))
        }
        ExprKind::Index(of, indices) => {
            let mut path = match path_of(cx, env, of)? {
                Ok(path) => path,
                Err(poison) => return Some(Err(poison)),
            };
            for index in indices {
                match count(cx, env, index) {
                    Ok(n) => path.last_mut()?.index.push(n),
                    Err(poison) => return Some(Err(poison)),
                }
            }
            Some(Ok(path))
        }
        _ => None,
    }
}

/// `yes` and `no`, where nothing else bears that name.
pub fn truth(name: &str) -> Option<bool> {
    match name {
        "yes" => Some(true),
        "no" => Some(false),
        _ => None,
    }
}

fn path_value(cx: &mut dyn Lookup, env: &Rc<Env>, expr: &Expr) -> Res<Value> {
    let path = match path_of(cx, env, expr) {
        Some(path) => path?,
        None => {
            cx.report(Diagnostic::new(
                &code::TYPE_MISMATCH,
                "only a named thing has members",
                expr.span,
                "has no name",
            ));
            return Err(Poison);
        }
    };
    let first = path.first().ok_or(Poison)?;
    if path.len() == 1
        && first.index.is_empty()
        && let Some(found) = env.find(&first.name)
    {
        return match found.slot {
            Slot::Done(value) => Ok(value),
            Slot::Bad => Err(Poison),
            Slot::Busy => {
                found.env.set(&first.name, Slot::Bad);
                let what = What::Value(first.name.clone());
                let report = circle::report(cx, &code::VALUE_CYCLE, &what, first.span);
                cx.report(report);
                Err(Poison)
            }
            Slot::Todo(value, of) => {
                found.env.set(&first.name, Slot::Busy);
                let scope = of.unwrap_or_else(|| found.env.clone());
                let what = What::Value(first.name.clone());
                let value = circle::while_finding(cx, what, value.span, |cx| {
                    deeper(cx, first.span, |cx| eval(cx, &scope, &value))
                });
                found
                    .env
                    .set(&first.name, value.clone().map_or(Slot::Bad, Slot::Done));
                value
            }
        };
    }
    if let ([_], Some(truth)) = (path.as_slice(), truth(&first.name)) {
        return Ok(Value::Bool(truth));
    }
    if let Some(value) = deeper(cx, expr.span, |cx| Ok(cx.path(&path)))? {
        return value;
    }
    if cx.excuses(&path) {
        return Err(Poison);
    }
    let whole = path
        .iter()
        .map(|s| s.name.as_str())
        .collect::<Vec<_>>()
        .join(".");
    let mut names = env.names();
    names.extend(cx.candidates());
    let mut report = Diagnostic::new(
        &code::NAME_UNKNOWN,
        format!("there is nothing called `{whole}` here"),
        expr.span,
        "not known",
    );
    if path.len() == 1 && matches!(first.name.as_str(), "true" | "false") {
        let word = if first.name == "true" { "yes" } else { "no" };
        report = report.help(format!("write `{word}`")).mend(expr.span, word);
    } else if let Some(near) = crate::diag::nearest(&first.name, names.iter().map(String::as_str)) {
        report = report.help(format!("did you mean `{near}`?"));
    }
    cx.report(report);
    Err(Poison)
}

fn as_quantity(cx: &mut dyn Lookup, value: Value, expr: &Expr) -> Res<Quantity> {
    match value {
        Value::Quantity(q) => Ok(q),
        Value::Place(_, at) => Ok(Quantity::length(at)),
        other => Err(mismatch(cx, expr, "a number or a length", &other)),
    }
}

/// For messages: `a length`, `a number`, `a quantity of mass`.
pub fn amount_of(dimension: Dimension) -> String {
    match dimension {
        Dimension::NONE => "a number".to_owned(),
        Dimension::LENGTH => "a length".to_owned(),
        _ => format!("a quantity of {dimension}"),
    }
}

/// A value of another kind than is wanted.
pub fn mismatch(cx: &mut dyn Lookup, expr: &Expr, wanted: &str, found: &Value) -> Poison {
    let mut report = Diagnostic::new(
        &code::TYPE_MISMATCH,
        format!("{wanted} is wanted here"),
        expr.span,
        format!("this is {}", found.kind()),
    );
    if let Value::Each(list) = found
        && let Some((index, _)) = list.first()
    {
        let at: Vec<String> = index.iter().map(u32::to_string).collect();
        report = report.help(format!("name one of them, as in `[{}]`", at.join(", ")));
    }
    if wanted == "a length" && matches!(found, Value::Quantity(q) if q.dimension == Dimension::NONE)
    {
        report = report.help("glue a unit to the number, as in `18mm` or `3/4in`");
    }
    if wanted == "a number"
        && matches!(found, Value::Quantity(q) if q.dimension == Dimension::LENGTH)
    {
        report = report.help("a bare number, as in `2`, or a length divided by a length");
    }
    if wanted == "a condition" && matches!(found, Value::Quantity(_) | Value::Place(..)) {
        report = report.help("compare it with something, as in `width > 600mm`");
    }
    cx.report(report);
    Poison
}

/// A quantity of one dimension.
pub fn quantity_of(
    cx: &mut dyn Lookup,
    env: &Rc<Env>,
    expr: &Expr,
    dimension: Dimension,
) -> Res<Rational> {
    let value = eval(cx, env, expr)?;
    match value {
        Value::Quantity(q) if q.dimension == dimension => Ok(q.value),
        other => Err(mismatch(cx, expr, &amount_of(dimension), &other)),
    }
}

/// The most of a dimension that is taken, in its base unit, so that all that is computed from it fits:
/// a year, a thousand million of a currency, the area and volume of a large hall.
fn most(dimension: Dimension) -> i64 {
    match dimension {
        Dimension::TIME => 366 * 86_400,
        Dimension::AREA => 10_000_000_000,
        Dimension::VOLUME => 100_000_000_000_000,
        _ => 1_000_000_000,
    }
}

/// A quantity of one dimension, of nothing or more.
pub fn quantity_not_negative(
    cx: &mut dyn Lookup,
    env: &Rc<Env>,
    expr: &Expr,
    dimension: Dimension,
) -> Res<Rational> {
    let value = quantity_of(cx, env, expr, dimension)?;
    if value > Rational::int(most(dimension)) {
        cx.report(
            Diagnostic::new(
                &code::VALUE_RANGE,
                "a figure beyond all use",
                expr.span,
                "too large",
            )
            .help("look for a slip in the figure or its unit"),
        );
        return Err(Poison);
    }
    if !value.is_negative() {
        return Ok(value);
    }
    cx.report(
        Diagnostic::new(
            &code::VALUE_RANGE,
            "a figure below nothing",
            expr.span,
            "less than nothing",
        )
        .help("leave the minus out"),
    );
    Err(Poison)
}

/// The longest length that is taken, a kilometre: no piece and no roll of edging comes near it, and
/// all that is computed from it fits.
const LONGEST_MM: i64 = 1_000_000;

/// The finest part of a millimetre that is taken.
const FINEST: i128 = 1_000_000_000;

/// A length.
pub fn length(cx: &mut dyn Lookup, env: &Rc<Env>, expr: &Expr) -> Res<Length> {
    match eval(cx, env, expr)? {
        Value::Quantity(q) if q.dimension == Dimension::LENGTH => {
            if q.value.denom() > FINEST {
                cx.report(
                    Diagnostic::new(
                        &code::VALUE_OVERFLOW,
                        "a length too fine to be held exactly",
                        expr.span,
                        "finer than any tool",
                    )
                    .help("round it to 1/64in or to 0.01mm"),
                );
                return Err(Poison);
            }
            if q.value.abs() <= Rational::int(LONGEST_MM) {
                return Ok(Length::from_mm(q.value));
            }
            cx.report(
                Diagnostic::new(
                    &code::VALUE_RANGE,
                    "a length beyond all furniture",
                    expr.span,
                    "longer than a kilometre",
                )
                .help("look for a slip in the figure or its unit"),
            );
            Err(Poison)
        }
        other => Err(mismatch(cx, expr, "a length", &other)),
    }
}

/// A length above zero.
pub fn positive_length(cx: &mut dyn Lookup, env: &Rc<Env>, expr: &Expr) -> Res<Length> {
    let value = length(cx, env, expr)?;
    if value.is_positive() {
        return Ok(value);
    }
    cx.report(
        Diagnostic::new(
            &code::VALUE_RANGE,
            "a size of nothing or less",
            expr.span,
            format!("this is {value}"),
        )
        .help("a size is above 0mm"),
    );
    Err(Poison)
}

/// A length of zero or more.
pub fn length_not_negative(cx: &mut dyn Lookup, env: &Rc<Env>, expr: &Expr) -> Res<Length> {
    let value = length(cx, env, expr)?;
    if !value.is_negative() {
        return Ok(value);
    }
    cx.report(
        Diagnostic::new(
            &code::VALUE_RANGE,
            "a length below zero",
            expr.span,
            format!("this is {value}"),
        )
        .help("write 0mm or more"),
    );
    Err(Poison)
}

/// How many of a thing a maker may ask for in one place; more is a slip of the pen.
pub const MOST: u32 = 10_000;

/// A whole number from 1.
pub fn count(cx: &mut dyn Lookup, env: &Rc<Env>, expr: &Expr) -> Res<u32> {
    let value = quantity_of(cx, env, expr, Dimension::NONE)?;
    let whole = value
        .is_integer()
        .then(|| u32::try_from(value.numer()).ok())
        .flatten();
    match whole {
        Some(n) if (1..=MOST).contains(&n) => Ok(n),
        _ => {
            cx.report(Diagnostic::new(
                &code::VALUE_RANGE,
                "a count that can't be made",
                expr.span,
                format!("this is {value}; a count is a whole number from 1 to {MOST}"),
            ));
            Err(Poison)
        }
    }
}

/// A truth value.
pub fn boolean(cx: &mut dyn Lookup, env: &Rc<Env>, expr: &Expr) -> Res<bool> {
    match eval(cx, env, expr)? {
        Value::Bool(b) => Ok(b),
        other => Err(mismatch(cx, expr, "a condition", &other)),
    }
}

/// Words.
pub fn text(cx: &mut dyn Lookup, env: &Rc<Env>, expr: &Expr) -> Res<String> {
    match eval(cx, env, expr)? {
        Value::Text(t) => Ok(t),
        other => Err(mismatch(cx, expr, "words in quotes", &other)),
    }
}
