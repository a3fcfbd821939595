//! `like`: what a line repeats, with the changes that it states merged in; patterns and their parameters.

use super::env::{Env, Slot};
use super::merge::merge;
use super::project::{Project, name_use, twice};
use super::stmt::Stmt;
use super::value::{self, Lookup, Value};
use super::{Poison, Res};
use crate::diag::{Diagnostic, code};
use crate::measure::Dimension;
use crate::schema::{self, Form, NameUse};
use crate::source::Span;
use crate::syntax::tree::{Arg, Expr, ExprKind, Name};
use std::collections::BTreeMap;
use std::collections::btree_map::Entry;
use std::rc::Rc;

/// How deep patterns may be like patterns.
const DEEPEST: usize = 32;

/// How often a pattern may stand within what it makes: where it does so twice over, each more doubles the
/// work.
const OFTENEST: usize = 3;

/// The lines of a block, within those of the blocks around it: what `like` may name.
#[derive(Clone, Copy)]
struct Around<'a> {
    lines: &'a [Stmt],
    outer: Option<&'a Around<'a>>,
}

impl Around<'_> {
    /// The nearest pattern of this name.
    fn pattern(&self, name: &str) -> Option<&Stmt> {
        let mut here = self.lines.iter();
        here.find(|line| line.word() == "pattern" && line.name() == name)
            .or_else(|| self.outer?.pattern(name))
    }
}

/// A statement with its `like`, and those of its lines, merged in.
pub fn expand(cx: &mut dyn Lookup, project: &Project, stmt: &Stmt) -> Res<Stmt> {
    let whole = expand_beside(cx, project, stmt, &[])?;
    complete(cx, &whole, false);
    Ok(whole)
}

/// As [`expand`], among the lines beside it, without asking whether all is there.
pub fn expand_beside(
    cx: &mut dyn Lookup,
    project: &Project,
    stmt: &Stmt,
    lines: &[Stmt],
) -> Res<Stmt> {
    expand_within(cx, project, stmt, &Around { lines, outer: None }, &[])
}

/// What must stand on a line may come from what it, or what it stands in, is like, or from a branch: so
/// it is missed only when all of that is put together. What is dropped was there.
pub fn complete(cx: &mut dyn Lookup, stmt: &Stmt, merged: bool) {
    // The line of one element is put over that of its array later.
    if stmt.is_of_element() && stmt.head.declares {
        return;
    }
    let merged = merged || stmt.pattern.is_some();
    if merged || stmt.branched {
        for fault in schema::complete(&stmt.to_form()) {
            cx.report(fault);
        }
    }
    for line in &stmt.lines {
        match line.word() {
            "drop" => {
                for name in &line.names {
                    let whole = within(&stmt.lines, &name.text).filter(|_| merged);
                    cx.report(nothing_dropped(name, merged, whole));
                }
            }
            _ => complete(cx, line, merged),
        }
    }
}

/// The division or run among some lines in which a name stands.
fn within<'a>(lines: &'a [Stmt], name: &str) -> Option<&'a Stmt> {
    lines
        .iter()
        .find(|line| line.is_whole() && line.bears(name))
}

fn nothing_dropped(name: &NameUse, merged: bool, whole: Option<&Stmt>) -> Diagnostic {
    if let Some(whole) = whole {
        let word = whole.word();
        return Diagnostic::new(
            &code::NAME_UNKNOWN,
            format!("`{}` can't be dropped on its own", name.text),
            name.span,
            format!("it stands in a `{word}`"),
        )
        .at(whole.head_span, format!("this `{word}`"))
        .help(format!(
            "a `{word}` is replaced as a whole: write it here as it is to be"
        ));
    }
    let report = Diagnostic::new(
        &code::NAME_UNKNOWN,
        format!("there is no `{}` to drop", name.text),
        name.span,
        "no line bears this name",
    );
    if merged {
        report.help("name a line of what this one is `like`; what stands in a `divide` is replaced with the whole `divide`")
    } else {
        report.help("`drop` stands in the block of a thing that is `like` another")
    }
}

fn expand_within(
    cx: &mut dyn Lookup,
    project: &Project,
    stmt: &Stmt,
    around: &Around<'_>,
    chain: &[Span],
) -> Res<Stmt> {
    names_once(cx, stmt)?;
    let mut whole = match stmt.clause("like") {
        None => stmt.clone(),
        Some(like) => {
            let source = like.of.value().ok_or(Poison)?;
            if chain.len() >= DEEPEST {
                cx.report(endless(chain, source.span));
                return Err(Poison);
            }
            let name = name_use(cx, source)?;
            let args: &[Arg] = match &source.kind {
                ExprKind::Call(_, args) => args,
                _ => &[],
            };
            let base = source_of(cx, project, stmt, around, &name, args, &like.env)?;
            let met = chain.iter().filter(|name| **name == base.name_span());
            if met.count() >= OFTENEST {
                cx.report(endless(&[chain, &[base.name_span()]].concat(), source.span));
                return Err(Poison);
            }
            let longer = [chain, &[base.name_span()]].concat();
            let base = expand_within(cx, project, &base, around, &longer)?;
            Stmt {
                pattern: Some(name.text),
                ..merge(base, stmt)
            }
        }
    };
    let lines = std::mem::take(&mut whole.lines);
    let inner = Around {
        lines: &lines,
        outer: Some(around),
    };
    for line in &lines {
        if let Some(recipe) = &line.recipe {
            // A pattern is tried with its defaults, so that one that nothing is like is read too.
            let call = Call::plain(line.name(), &line.env);
            let named = params_once(cx, recipe);
            let tried =
                named.and_then(|()| instance(cx, project, &inner, (recipe, &line.env), &call));
            if let Ok(tried) = tried {
                let longer = [chain, &[line.name_span()]].concat();
                let _ = expand_within(cx, project, &tried, &inner, &longer);
            }
            continue;
        }
        // A line whose pattern is broken was reported; leaving it out keeps the rest checked.
        match expand_within(cx, project, line, &inner, chain) {
            Ok(line) => whole.lines.push(line),
            // What stands in a run is summed: what is lost would be missed.
            // So would a case, by the lines that hold it.
            Err(Poison) => whole.damaged |= whole.word() == "run" || line.word() == "case",
        }
    }
    Ok(whole)
}

/// Patterns that are like each other without an end in sight: in a circle if one of them came before,
/// else one for the next, too many of them.
fn endless(chain: &[Span], here: Span) -> Diagnostic {
    let circle = chain
        .iter()
        .enumerate()
        .any(|(i, name)| chain[..i].contains(name));
    if circle {
        return Diagnostic::new(
            &code::VALUE_CYCLE,
            "patterns that are like each other in a circle",
            here,
            "no end to it",
        );
    }
    Diagnostic::new(
        &code::SYNTAX_DEEP,
        format!("more than {DEEPEST} patterns that are each like the next"),
        here,
        "one too many here",
    )
    .help("let one of them state its lines itself")
}

/// A value is named once in a block.
fn names_once(cx: &mut dyn Lookup, stmt: &Stmt) -> Res<()> {
    let mut seen: BTreeMap<(&[u32], &str), Span> = BTreeMap::new();
    let mut fine = Ok(());
    for line in stmt
        .lines
        .iter()
        .filter(|l| matches!(l.word(), "let" | "param"))
    {
        let Some(name) = line.names.first() else {
            continue;
        };
        match seen.entry((&line.index, &name.text)) {
            Entry::Occupied(first) => {
                cx.report(twice(&name.text, name.span, *first.get()));
                fine = Err(Poison);
            }
            Entry::Vacant(free) => {
                free.insert(name.span);
            }
        }
    }
    fine
}

/// A parameter of a pattern is named once, and not as one of its values.
fn params_once(cx: &mut dyn Lookup, pattern: &Form) -> Res<()> {
    let mut seen: Vec<&NameUse> = Vec::new();
    let mut fine = Ok(());
    for name in pattern
        .forms("param")
        .chain(pattern.forms("let"))
        .filter_map(|line| line.names.first())
    {
        match seen.iter().find(|first| first.text == name.text) {
            Some(first) => {
                cx.report(twice(&name.text, name.span, first.span));
                fine = Err(Poison);
            }
            None => seen.push(name),
        }
    }
    fine
}

/// What `like NAME(args)` names: a pattern, the nearest first, or a line of the same head beside this one.
fn source_of(
    cx: &mut dyn Lookup,
    project: &Project,
    stmt: &Stmt,
    around: &Around<'_>,
    name: &NameUse,
    args: &[Arg],
    env: &Rc<Env>,
) -> Res<Stmt> {
    let head = stmt.word();
    if let Some((pattern, outer)) = pattern_of(project, around, &name.text) {
        let of = pattern.patterned.ok_or(Poison)?.word;
        // A top is like a shelf's pattern no more than a drawer is: heads must agree.
        if of != head {
            cx.report(
                Diagnostic::new(
                    &code::TYPE_MISMATCH,
                    format!("`{}` is a pattern of `{of}`", name.text),
                    name.span,
                    format!("this line makes a `{head}`"),
                )
                .at(pattern.head_span, "declared here")
                .help(format!(
                    "name a pattern of `{head}`, or another `{head}` beside this one"
                )),
            );
            return Err(Poison);
        }
        let call = Call {
            name: &name.text,
            args,
            env,
        };
        return instance(cx, project, around, (&pattern, &outer), &call);
    }
    let mut beside = around.lines.iter();
    let sibling = beside.find(|s| s.word() == head && s.name() == name.text && s.span != stmt.span);
    if let Some(sibling) = sibling {
        if let Some(arg) = args.first() {
            cx.report(
                Diagnostic::new(
                    &code::NAME_UNKNOWN,
                    format!("`{}` has no parameters", name.text),
                    arg.value.span,
                    "nothing takes this value",
                )
                .at(sibling.name_span(), format!("a {head}, not a pattern")),
            );
            return Err(Poison);
        }
        return Ok(sibling.clone());
    }
    let patterns = project.patterns.iter();
    let patterns = patterns.filter(|(_, f)| f.patterned.is_some_and(|h| h.word == head));
    let beside = around.lines.iter().filter(|s| {
        let other = s.word() == head && s.span != stmt.span && !s.names.is_empty();
        other && !s.is_of_element()
    });
    let known: Vec<&str> = patterns
        .map(|(n, _)| n.as_str())
        .chain(beside.map(Stmt::name))
        .collect();
    if name.text == stmt.name() && !stmt.names.is_empty() {
        let report = Diagnostic::new(
            &code::VALUE_CYCLE,
            format!("`{}` is like itself", name.text),
            name.span,
            "this line's own name",
        );
        cx.report(match known.is_empty() {
            true => report.help(format!("declare a `pattern {head}`")),
            false => report.help(format!("it may be like {}", known.join(", "))),
        });
        return Err(Poison);
    }
    Err(project.missing(cx, name, &format!("pattern {head}"), known))
}

/// A pattern as it is named, with what its parameters are given.
struct Call<'a> {
    name: &'a str,
    args: &'a [Arg],
    env: &'a Rc<Env>,
}

impl<'a> Call<'a> {
    /// Without arguments.
    fn plain(name: &'a str, env: &'a Rc<Env>) -> Call<'a> {
        Call {
            name,
            args: &[],
            env,
        }
    }
}

/// The pattern of this name, the nearest first, and the scope that it stands in.
fn pattern_of(project: &Project, around: &Around<'_>, name: &str) -> Option<(Rc<Form>, Rc<Env>)> {
    let local = around.pattern(name);
    let local = local.and_then(|line| Some((line.recipe.clone()?, line.env.clone())));
    local.or_else(|| {
        let pattern = project.patterns.get(name)?;
        Some((pattern.clone(), project.globals.clone()))
    })
}

/// A pattern of the files with each parameter at its default.
pub fn with_defaults(cx: &mut dyn Lookup, project: &Project, pattern: &Rc<Form>) -> Res<Stmt> {
    let name = pattern.names.first().map_or("", |n| n.text.as_str());
    let around = Around {
        lines: &[],
        outer: None,
    };
    let call = Call::plain(name, &project.globals);
    params_once(cx, pattern)?;
    instance(cx, project, &around, (pattern, &project.globals), &call)
}

/// The thing that a pattern is the pattern of. The parameters of what the pattern is like are its own too,
/// but for those that it gives a value.
fn instance(
    cx: &mut dyn Lookup,
    project: &Project,
    around: &Around<'_>,
    (pattern, outer): (&Rc<Form>, &Rc<Env>),
    call: &Call<'_>,
) -> Res<Stmt> {
    let inherited = inherited(project, around, pattern, DEEPEST);
    let scope = Env::within(outer);
    let own = pattern.forms("param");
    bind_params(
        cx,
        own.chain(&inherited),
        call.args,
        call.env,
        &scope,
        (project, call.name),
    )?;
    let mut thing = Stmt::of_pattern(cx, pattern, &scope);
    let like = thing
        .clauses
        .iter_mut()
        .find(|clause| clause.of.word == "like");
    if let Some(source) = like.and_then(|like| like.of.values.first_mut()) {
        let (base, mut args) = match source.kind.clone() {
            ExprKind::Call(base, args) => (base, args),
            _ => (Box::new(source.clone()), Vec::new()),
        };
        args.extend(
            inherited
                .iter()
                .filter_map(|param| param.names.first())
                .map(|name| Arg {
                    name: Some(Name {
                        text: name.text.clone(),
                        span: name.span,
                    }),
                    value: name.as_expr(),
                }),
        );
        source.kind = ExprKind::Call(base, args);
    }
    Ok(thing)
}

/// The parameters of what a pattern is like that it neither names itself nor gives a value.
fn inherited(project: &Project, around: &Around<'_>, pattern: &Form, deepest: usize) -> Vec<Form> {
    let source = pattern.clause("like").and_then(|like| like.value());
    let (name, args): (_, &[Arg]) = match source.map(|source| &source.kind) {
        Some(ExprKind::Name(name)) => (name, &[]),
        Some(ExprKind::Call(of, args)) => match &of.kind {
            ExprKind::Name(name) => (name, args),
            _ => return Vec::new(),
        },
        _ => return Vec::new(),
    };
    let Some((base, _)) = pattern_of(project, around, name).filter(|_| deepest > 0) else {
        return Vec::new();
    };
    let further = inherited(project, around, &base, deepest - 1);
    let all = base.forms("param").cloned().chain(further);
    let given = |name: &str| {
        let mut named = args.iter().filter_map(|arg| arg.name.as_ref());
        named.any(|named| named.text == name)
    };
    let own = |name: &str| {
        let mut own = pattern.forms("param").filter_map(|p| p.names.first());
        own.any(|n| n.text == name)
    };
    all.filter(|param| {
        let name = param.names.first().map(|n| n.text.as_str());
        name.is_some_and(|name| !given(name) && !own(name))
    })
    .collect()
}

/// Binds parameters to arguments or defaults in `scope`, and checks their bounds.
pub fn bind_params<'a>(
    cx: &mut dyn Lookup,
    params: impl Iterator<Item = &'a Form>,
    args: &[Arg],
    env: &Rc<Env>,
    scope: &Rc<Env>,
    (project, of): (&Project, &str),
) -> Res<()> {
    let params: Vec<&Form> = params.collect();
    let mut fine = Ok(());
    for (i, arg) in args.iter().enumerate() {
        let Some(name) = &arg.name else {
            let report = unnamed(cx, arg, params.get(i).copied(), of);
            cx.report(report);
            fine = Err(Poison);
            continue;
        };
        let first = args
            .iter()
            .find(|a| a.name.as_ref().is_some_and(|n| n.text == name.text));
        if let Some(first) = first.filter(|first| !std::ptr::eq(*first, arg)) {
            cx.report(
                Diagnostic::new(
                    &code::LINE_DOUBLED,
                    format!("`{}` is given twice", name.text),
                    arg.value.span,
                    "again here",
                )
                .at(first.value.span, "it was given here"),
            );
            fine = Err(Poison);
        }
        let mut known = params.iter().filter_map(|p| p.names.first());
        if !known.any(|n| n.text == name.text) {
            let (span, shown) = (name.span, name.text.as_str());
            let names: Vec<&str> = params
                .iter()
                .filter_map(|p| p.names.first())
                .map(|n| n.text.as_str())
                .collect();
            let mut report = Diagnostic::new(
                &code::NAME_UNKNOWN,
                format!("`{of}` has no parameter `{shown}`"),
                span,
                "not a parameter",
            );
            if let Some(near) = crate::diag::nearest(shown, names.iter().copied()) {
                report = report.help(format!("did you mean `{near}`?"));
            } else if !names.is_empty() {
                report = report.note(format!("its parameters are {}", names.join(", ")));
            }
            cx.report(report);
            fine = Err(Poison);
        }
    }
    let given = |name: &NameUse| {
        let mut args = args.iter();
        args.find(|arg| arg.name.as_ref().is_some_and(|n| n.text == name.text))
    };
    for param in &params {
        let Some(name) = param.names.first() else {
            continue;
        };
        match (given(name), &param.set) {
            (Some(arg), default) => {
                scope.bind(&name.text, arg.value.clone(), Some(env.clone()));
                if let Some(default) = default {
                    let same =
                        same_type(cx, project, (&name.text, default, scope), (&arg.value, env));
                    if same.is_err() {
                        scope.set(&name.text, Slot::Bad);
                        fine = same;
                    }
                }
            }
            (None, Some(default)) => scope.bind(&name.text, default.clone(), None),
            // A parameter without its `=` was reported.
            (None, None) => {
                scope.set(&name.text, Slot::Bad);
                fine = Err(Poison);
            }
        }
    }
    for param in &params {
        let given = param.names.first().and_then(given);
        if check_bounds(cx, param, scope, given.map(|arg| arg.value.span)).is_err() {
            fine = Err(Poison);
        }
    }
    fine
}

/// A value without the name of its parameter: which one is meant would change with the pattern.
fn unnamed(cx: &dyn Lookup, arg: &Arg, param: Option<&Form>, of: &str) -> Diagnostic {
    let span = arg.value.span;
    let report = Diagnostic::new(
        &code::LINE_STRAY_VALUE,
        format!("a value that names no parameter of `{of}`"),
        span,
        "for which parameter?",
    );
    match param.and_then(|param| param.names.first()) {
        Some(name) => {
            let named = format!("{}: {}", name.text, cx.source(span));
            report.help(format!("`{named}`")).might_mend(span, named)
        }
        None => report.help("it takes no more values; leave this one out"),
    }
}

/// What a parameter is given is of the kind of its default: both a length, both a number, both a name.
pub fn same_type(
    cx: &mut dyn Lookup,
    project: &Project,
    (name, default, scope): (&str, &Expr, &Rc<Env>),
    (given, env): (&Expr, &Rc<Env>),
) -> Res<()> {
    let wanted = kind(cx, scope, default)?;
    let thing = given.as_name().unwrap_or_default();
    let found = match names_thing(env, given) && !names_thing(scope, default) {
        false => kind(cx, env, given)?,
        true if project.stocks.contains_key(thing) => "a stock".to_owned(),
        true if project.hardware.contains_key(thing) => "hardware".to_owned(),
        // A name of nothing that has a value is told as such.
        true => return value::eval(cx, env, given).and(Err(Poison)),
    };
    if wanted == found {
        return Ok(());
    }
    let numbers = found == "a number" && default.as_name().is_none();
    let report = Diagnostic::new(
        &code::TYPE_MISMATCH,
        format!("`{name}` takes {wanted}"),
        given.span,
        format!("this is {found}"),
    )
    .at(default.span, "as its default shows");
    cx.report(match numbers {
        true => report.help("give the bare number its unit, glued to it, as in `18mm` or `3/4in`"),
        false => report,
    });
    Err(Poison)
}

/// What kind of value an expression is: `a length`, `a number`, `a name`.
fn kind(cx: &mut dyn Lookup, scope: &Rc<Env>, expr: &Expr) -> Res<String> {
    if names_thing(scope, expr) {
        return Ok("a name".to_owned());
    }
    Ok(match value::eval(cx, scope, expr)? {
        Value::Quantity(q) if q.dimension == Dimension::LENGTH => "a length".to_owned(),
        Value::Quantity(q) if q.dimension != Dimension::NONE => format!("a {}", q.dimension),
        other => other.kind(),
    })
}

/// Whether an expression is a bare name of no value: of a stock or of hardware.
fn names_thing(scope: &Rc<Env>, expr: &Expr) -> bool {
    let mut at = (scope.clone(), expr.clone());
    // Names that stand for each other in a circle are no name of a thing.
    for _ in 0..super::project::MOST_NAMES {
        let ExprKind::Name(name) = &at.1.kind else {
            return false;
        };
        if value::truth(name).is_some() {
            return false;
        }
        match at.0.find(name).map(|found| (found.env, found.slot)) {
            None => return true,
            Some((env, Slot::Todo(value, of))) => at = (of.unwrap_or(env), value),
            Some(_) => return false,
        }
    }
    false
}

/// A parameter's value against `from … to …`.
/// `given` is where the value stands, if not on the parameter's own line.
pub fn check_bounds(
    cx: &mut dyn Lookup,
    param: &Form,
    scope: &Rc<Env>,
    given: Option<Span>,
) -> Res<()> {
    let Some(name) = param.names.first() else {
        return Ok(());
    };
    let value_at = Expr {
        kind: ExprKind::Name(name.text.clone()),
        span: name.span,
    };
    if names_thing(scope, &value_at) {
        return Ok(());
    }
    let value = value::eval(cx, scope, &value_at)?;
    for (word, wrong) in [
        ("from", std::cmp::Ordering::Less),
        ("to", std::cmp::Ordering::Greater),
    ] {
        let Some(bound_expr) = param.clause(word).and_then(|c| c.value()) else {
            continue;
        };
        let bound = value::eval(cx, scope, bound_expr)?;
        let (value::Value::Quantity(v), value::Value::Quantity(b)) = (&value, &bound) else {
            cx.report(
                Diagnostic::new(
                    &code::TYPE_MISMATCH,
                    format!("`{}` and its bound are not both quantities", name.text),
                    given.unwrap_or(name.span),
                    format!("this is {}", value.kind()),
                )
                .at(bound_expr.span, format!("the bound is {}", bound.kind())),
            );
            return Err(Poison);
        };
        if v.dimension != b.dimension {
            cx.report(
                Diagnostic::new(
                    &code::TYPE_DIMENSION,
                    format!("`{}` and its bound do not measure the same", name.text),
                    given.unwrap_or(name.span),
                    format!("this is a {}", v.dimension),
                )
                .at(bound_expr.span, format!("the bound is a {}", b.dimension)),
            );
            return Err(Poison);
        }
        if v.value.cmp(&b.value) == wrong {
            let units = crate::measure::Units::Mm;
            let (than, most) = if word == "from" {
                ("less", "at least")
            } else {
                ("more", "at most")
            };
            let shown = value.text(units);
            let (at, here) = match given {
                Some(at) => (at, format!("gives {shown}")),
                None => (name.span, format!("is {shown}")),
            };
            cx.report(
                Diagnostic::new(
                    &code::VALUE_BOUNDS,
                    format!("`{}` is {shown}, {than} than its bound", name.text),
                    at,
                    here,
                )
                .at(bound_expr.span, format!("{most} {}", bound.text(units))),
            );
            return Err(Poison);
        }
    }
    Ok(())
}
