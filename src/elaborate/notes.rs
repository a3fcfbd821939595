//! Words for the book: notes with `{expr}` computed, and the maker's conditions.

use super::build::{Body, Builder};
use super::env::Env;
use super::stmt::Stmt;
use super::value::{self, Lookup, Value};
use super::{Poison, Res};
use crate::diag::{Code, Diagnostic, Severity, code};
use crate::measure::Units;
use crate::model::{Allowed, AssemblyId, Note, Stated};
use crate::source::{Source, Span};
use crate::syntax::tree::{Expr, ExprKind, Op};
use crate::{schema, syntax};
use std::rc::Rc;

/// The expression in a text such as `let x = TEXT`; faults go to the sink with the given texts.
pub fn read_expr(
    sources: &mut crate::source::Sources,
    name: &str,
    text: &str,
    sink: &mut Vec<Diagnostic>,
) -> Option<Expr> {
    // Read as a line of the language, shown as it was given: both are of one length.
    let shown = format!("{name}=");
    let blank = shown.len().saturating_sub("let  = ".len()).max(1);
    let file = sources.add(Source::new(
        name,
        format!("let {} = {text}\n", "v".repeat(blank)),
    ));
    let (tree, faults) = syntax::parse(sources, file);
    if name.starts_with("--") {
        sources.show_as(file, format!("{shown}{text}\n"));
    }
    let broken = !faults.is_empty();
    sink.extend(faults);
    let (entries, faults) = schema::read(&tree.nodes, schema::Context::File);
    let worse = !faults.is_empty();
    sink.extend(faults);
    if broken || worse {
        return None;
    }
    entries.into_iter().find_map(|entry| match entry {
        schema::Entry::Form(form) => form.set,
        schema::Entry::If(_) => None,
    })
}

/// A note's Markdown with what stands in braces computed. Code between backticks is left alone.
///
/// The names in a note are read in a scratch copy of the texts, so a fault is shown at the note.
pub fn note(
    cx: &mut dyn Lookup,
    env: &Rc<Env>,
    units: Units,
    markdown: &str,
    origin: crate::model::Origin,
) -> Note {
    let mut out = String::new();
    let mut rest = markdown;
    let mut code_span = false;
    while let Some(at) = rest.find(['{', '`']) {
        let (before, from) = rest.split_at(at);
        out.push_str(before);
        if let Some(after) = from.strip_prefix('`') {
            code_span = !code_span;
            out.push('`');
            rest = after;
            continue;
        }
        match from.find('}').filter(|_| !code_span) {
            Some(end) => {
                let inner = &from[1..end];
                out.push_str(&computed(cx, env, units, inner, origin.span));
                rest = &from[end + 1..];
            }
            None => {
                if !code_span {
                    cx.report(unclosed(place_in(
                        cx,
                        from.lines().next().unwrap_or("{"),
                        origin.span,
                    )));
                }
                out.push('{');
                rest = &from[1..];
            }
        }
    }
    out.push_str(rest);
    Note {
        markdown: out,
        origin,
    }
}

fn unclosed(span: Span) -> Diagnostic {
    Diagnostic::new(
        &code::NOTE_EXPRESSION,
        "a brace in a note that is not closed",
        span,
        "what is to be computed ends nowhere",
    )
    .help("close it, as in `{deck.high}`; a brace that is to be printed stands between backticks")
}

/// The place of a text in a note, or the whole note.
fn place_in(cx: &dyn Lookup, text: &str, note: Span) -> Span {
    let at = cx.source(note).find(text);
    match at.and_then(|at| u32::try_from(at).ok()) {
        Some(at) => Span {
            start: note.start + at,
            end: note.start + at + text.len() as u32,
            ..note
        },
        None => note,
    }
}

fn computed(cx: &mut dyn Lookup, env: &Rc<Env>, units: Units, text: &str, note: Span) -> String {
    let span = place_in(cx, &format!("{{{text}}}"), note);
    let mut scratch = crate::source::Sources::default();
    let mut faults = Vec::new();
    let expr = read_expr(&mut scratch, "note", text, &mut faults);
    let Some(mut expr) = expr else {
        let why = faults.first().map_or_else(String::new, |f| f.title.clone());
        cx.report(
            Diagnostic::new(
                &code::NOTE_EXPRESSION,
                "something in a note can't be computed",
                span,
                "can't be computed",
            )
            .note(why),
        );
        return String::new();
    };
    respan(&mut expr, span);
    match value::eval(cx, env, &expr) {
        Ok(value) => value.text(units),
        Err(Poison) => String::new(),
    }
}

/// Puts every part of an expression at one place.
fn respan(expr: &mut Expr, span: Span) {
    expr.span = span;
    match &mut expr.kind {
        ExprKind::Member(of, name) => {
            name.span = span;
            respan(of, span);
        }
        ExprKind::Index(of, list) => {
            respan(of, span);
            list.iter_mut().for_each(|e| respan(e, span));
        }
        ExprKind::Call(of, args) => {
            respan(of, span);
            args.iter_mut().for_each(|a| respan(&mut a.value, span));
        }
        ExprKind::Neg(a) | ExprKind::Not(a) => respan(a, span),
        ExprKind::Binary(a, _, at, b) => {
            *at = span;
            respan(a, span);
            respan(b, span);
        }
        ExprKind::Choice(a, b, c) => [a, b, c].into_iter().for_each(|e| respan(e, span)),
        _ => {}
    }
}

impl Builder<'_> {
    /// `require`, `expect` and `note` lines of a statement, when all sizes are known.
    pub fn statements(&mut self, stmt: &Stmt, stated: &mut Vec<Stated>, notes: &mut Vec<Note>) {
        for line in &stmt.lines {
            match line.word() {
                "require" => {
                    let found = self.require(line);
                    stated.extend(self.settle(found));
                }
                "expect" => {
                    let found = self.expect(line);
                    stated.extend(self.settle(found));
                }
                "note" => {
                    if let Some((markdown, span)) = line.title.clone() {
                        let (env, units) = (line.env.clone(), self.units);
                        let mut origin = line.origin();
                        origin.span = span;
                        notes.push(note(self, &env, units, &markdown, origin));
                    }
                }
                "divide" | "openings" => self.statements(line, stated, notes),
                _ => {
                    if !line.lines.is_empty() && !matches!(line.word(), "case" | "stand" | "drawer")
                    {
                        self.statements(line, stated, notes);
                    }
                }
            }
        }
    }

    fn require(&mut self, line: &Stmt) -> Res<Stated> {
        let condition = line.values.first().ok_or(Poison)?.clone();
        let env = line.env.clone();
        let holds = value::boolean(self, &env, &condition)?;
        let sides = self.sides(&env, &condition);
        let text = self.source(condition.span);
        let why = line.title.as_ref().map(|(t, _)| t.clone());
        if !holds {
            let mut report = Diagnostic::new(
                &code::REQUIRE_FAILS,
                why.clone().map_or_else(
                    || "a requirement does not hold".to_owned(),
                    |w| format!("a requirement does not hold: {w}"),
                ),
                condition.span,
                "not so",
            );
            if let ExprKind::Binary(a, op, at, b) = &condition.kind
                && let (Ok(x), Ok(y)) = (value::eval(self, &env, a), value::eval(self, &env, b))
            {
                for (index, x, y) in x.beside(&y) {
                    let holds = value::apply(self, x.clone(), y.clone(), a, *op, *at, b)?;
                    if holds == Value::Bool(true) {
                        continue;
                    }
                    let units = self.units;
                    let (mut is, mut limit, mut apart) =
                        (x.text(units), y.text(units), String::new());
                    if let Some((x, y)) = x.as_length().zip(y.as_length()) {
                        let (more, less) = (x.max(y), x.min(y));
                        let [a, b, by] = units.apart(more, less);
                        apart = format!("; they are {by} apart");
                        if is == limit {
                            (is, limit) = if more == x { (a, b) } else { (b, a) };
                        }
                    }
                    report = report.note(format!(
                        "{} is {is}, which is not {} {limit}{apart}",
                        super::label::indexed(&self.source(a.span), &index),
                        op.symbol(),
                    ));
                    break;
                }
            }
            self.sink.push(report);
            return Err(Poison);
        }
        Ok(Stated {
            text,
            why,
            margin: sides,
            origin: line.origin(),
        })
    }

    /// Figure, limit and direction of a comparison of lengths.
    fn sides(
        &mut self,
        env: &Rc<Env>,
        condition: &Expr,
    ) -> Option<(crate::measure::Length, crate::measure::Length, bool)> {
        let ExprKind::Binary(a, op, _, b) = &condition.kind else {
            return None;
        };
        let at_least = match op {
            Op::Greater | Op::GreaterEq => true,
            Op::Less | Op::LessEq => false,
            _ => return None,
        };
        let (x, y) = (
            value::eval(self, env, a).ok()?,
            value::eval(self, env, b).ok()?,
        );
        // Of an array, the element that is nearest to its limit.
        let pairs = x.beside(&y).into_iter();
        let lengths = pairs.filter_map(|(_, x, y)| x.as_length().zip(y.as_length()));
        let (x, y) = lengths.min_by_key(|(x, y)| if at_least { *x - *y } else { *y - *x })?;
        Some((x, y, at_least))
    }

    fn expect(&mut self, line: &Stmt) -> Res<Stated> {
        let what = line.values.first().ok_or(Poison)?.clone();
        let wanted = line.set.clone().ok_or(Poison)?;
        let env = line.env.clone();
        let (found, expected) = (
            value::eval(self, &env, &what)?,
            value::eval(self, &env, &wanted)?,
        );
        let text = format!("{} = {}", self.source(what.span), self.source(wanted.span));
        let pairs = found.beside(&expected);
        let alike = |x: &Value, y: &Value| match (x.as_length(), y.as_length()) {
            (Some(x), Some(y)) => x == y,
            _ => x == y,
        };
        let kind = |value: &Value| match value {
            Value::Place(..) => "a length".to_owned(),
            value => value.kind(),
        };
        if let Some((_, x, y)) = pairs.iter().find(|(_, x, y)| kind(x) != kind(y)) {
            let report = Diagnostic::new(
                &code::TYPE_MISMATCH,
                format!("{} is never {}", kind(x), kind(y)),
                wanted.span,
                format!("this is {}", kind(y)),
            );
            self.sink
                .push(report.at(what.span, format!("this is {}", kind(x))));
            return Err(Poison);
        }
        let off = pairs.iter().find(|(_, x, y)| !alike(x, y));
        let lengths = off.and_then(|(_, x, y)| x.as_length().zip(y.as_length()));
        let same = off.is_none();
        if !same {
            let units = self.units;
            let apart = lengths.map(|(x, y)| units.apart(x, y));
            let (mut is, mut not) = (found.text(units), expected.text(units));
            if let (true, Some([x, y, _])) = (is == not, &apart) {
                (is, not) = (x.clone(), y.clone());
            }
            let mut report = Diagnostic::new(
                &code::EXPECT_FAILS,
                format!("`{}` is {is}, not {not}", self.source(what.span)),
                wanted.span,
                format!("{not} is expected"),
            )
            .at(what.span, format!("is {is}"));
            if let Some([x, y, more]) = apart {
                report = report.note(format!("{x} \u{2212} {y} = {more}"));
            }
            self.sink.push(report);
            return Err(Poison);
        }
        Ok(Stated {
            text,
            why: None,
            margin: None,
            origin: line.origin(),
        })
    }

    /// Every `allow CODE "why"` of the piece; each is about what holds it. What a pattern makes several
    /// of is told apart by what is made.
    pub fn take_allows(&mut self, piece: &Stmt) {
        self.allows_in(piece, &[]);
        for body in 0..self.bodies.len() {
            let stmt = self.bodies[body].stmt.clone();
            self.allows_in(&stmt, &self.with_inner(body));
        }
    }

    /// A body and those in it.
    fn with_inner(&self, body: usize) -> Vec<AssemblyId> {
        let inner = format!("{}.", self.bodies[body].path);
        let bodies = self.bodies.iter().enumerate();
        bodies
            .filter(|(i, b)| *i == body || b.path.starts_with(&inner))
            .map(|(i, _)| AssemblyId(i as u32))
            .collect()
    }

    /// Those of a statement and of the lines in it that make no body of their own.
    fn allows_in(&mut self, stmt: &Stmt, within: &[AssemblyId]) {
        for line in &stmt.lines {
            if line.word() != "allow" {
                let of_line = |body: &Body| {
                    std::ptr::eq(body.stmt.head, line.head) && body.stmt.span == line.span
                };
                if !self.bodies.iter().any(of_line) {
                    self.allows_in(line, within);
                }
                continue;
            }
            let mut known = self.allowed.iter_mut();
            if let Some(known) = known.find(|a| a.origin.span == line.name_span()) {
                // The same line of a pattern, of another thing that it makes.
                if !known.within.is_empty() {
                    known.about.extend(stmt.places());
                    known.within.extend(within);
                }
                continue;
            }
            let Some(expr) = line.values.first() else {
                continue;
            };
            match caution(expr) {
                Ok(name) => {
                    let why = line
                        .title
                        .as_ref()
                        .map_or_else(String::new, |(t, _)| t.clone());
                    self.allowed.push(Allowed {
                        code: name,
                        why,
                        about: stmt.places(),
                        within: within.to_vec(),
                        origin: line.origin(),
                    });
                }
                Err(report) => self.sink.push(report),
            }
        }
    }
}

/// The code of a caution that can be allowed.
///
/// # Errors
/// The report of one that can't be, or that there is not.
pub fn caution(expr: &Expr) -> Result<String, Diagnostic> {
    let name = match &expr.kind {
        ExprKind::Member(of, fault) => of
            .as_name()
            .map(|family| format!("{family}.{}", fault.text)),
        _ => None,
    }
    .unwrap_or_default();
    Err(match Code::find(&name) {
        Some(found) if found.may_be_allowed() => return Ok(name),
        Some(found) if found.severity == Severity::Caution => Diagnostic::new(
            &code::ALLOW_ERROR,
            format!("`{name}` is about safety, and can't be allowed"),
            expr.span,
            "always told",
        )
        .note("the book shows it to whoever stands at the machine"),
        Some(_) => Diagnostic::new(
            &code::ALLOW_ERROR,
            format!("`{name}` is an error, which can't be allowed"),
            expr.span,
            "only cautions can be",
        )
        .note("the piece can't be built so, whatever the reason"),
        None => {
            let known = crate::diag::CODES
                .iter()
                .filter(|c| c.may_be_allowed())
                .map(|c| c.name);
            let codes = known.clone();
            let report = Diagnostic::new(
                &code::ALLOW_UNKNOWN,
                "there is no caution of this name",
                expr.span,
                "not a code",
            );
            match crate::diag::nearest(&name, known) {
                Some(near) => report.meant(&name, near, expr.span, codes),
                None => report,
            }
        }
    })
}
