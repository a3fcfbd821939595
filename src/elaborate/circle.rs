//! Circles of sizes: which value or place waits for which, so that a circle can be shown as a loop.

use super::value::Lookup;
use crate::diag::{Code, Diagnostic};
use crate::model::Edge;
use crate::source::Span;

/// A value or place that is being found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum What {
    /// What a `let` or `param` names.
    Value(String),
    /// A face of a part, by its index.
    Face(usize, Edge),
    /// A face of an opening.
    Space(usize, Edge),
    /// What a division leaves to its openings.
    Division(usize),
    /// The size and place of a case, by its name.
    Case(String),
}

/// A step of the way from what was asked for to what it needs.
#[derive(Clone, Debug)]
pub struct Step {
    /// What is being found.
    pub what: What,
    /// Where that is decided.
    pub span: Span,
}

/// Finds something; meanwhile it stands in the trail.
pub fn while_finding<C: Lookup + ?Sized, T>(
    cx: &mut C,
    what: What,
    span: Span,
    find: impl FnOnce(&mut C) -> T,
) -> T {
    cx.trail().push(Step { what, span });
    let found = find(cx);
    cx.trail().pop();
    found
}

/// The most steps of a circle that are shown.
const SHOWN: usize = 8;

/// Reports that something is needed to find itself, which was asked for at `at`: each step of the loop
/// at its place.
pub fn report<C: Lookup + ?Sized>(
    cx: &mut C,
    code: &'static Code,
    what: &What,
    at: Span,
) -> Diagnostic {
    let trail = cx.trail().clone();
    let first = trail.iter().position(|step| step.what == *what);
    let mut steps: Vec<(String, Span)> = Vec::new();
    for step in trail.get(first.unwrap_or(0)..).unwrap_or_default() {
        let name = cx.name_of(&step.what);
        // The faces of one part, and an opening with its division, are one step of the way.
        match steps.last_mut() {
            Some((before, span)) if *before == name => *span = step.span,
            _ => steps.push((name, step.span)),
        }
    }
    if steps.len() > 1 && steps.first().map(|s| &s.0) == steps.last().map(|s| &s.0) {
        steps.pop();
    }
    let own = cx.name_of(what);
    let title = match what {
        What::Value(_) => format!("`{own}` is computed from itself"),
        What::Division(_) => format!("the sizes in `{own}` follow from themselves"),
        What::Face(..) => format!("where `{own}` is follows from itself"),
        What::Space(..) => format!("the size of `{own}` follows from itself"),
        What::Case(_) => format!("the place of `{own}` follows from itself"),
    };
    let mut next: Vec<&str> = steps
        .iter()
        .skip(1)
        .map(|(name, _)| name.as_str())
        .collect();
    next.push(&own);
    let mut report: Option<Diagnostic> = None;
    for ((_, span), needs) in steps.iter().zip(&next).take(SHOWN) {
        let here = match steps.len() {
            1 => "needs itself".to_owned(),
            _ => format!("needs `{needs}`"),
        };
        report = Some(match report {
            None => Diagnostic::new(code, title.clone(), *span, here),
            Some(report) => report.at(*span, here),
        });
    }
    let mut report =
        report.unwrap_or_else(|| Diagnostic::new(code, title.clone(), at, "needs itself"));
    if steps.len() > 1 {
        let mut loop_of = vec![own.as_str()];
        loop_of.extend(&next);
        let shown: Vec<String> = loop_of.iter().map(|name| format!("`{name}`")).collect();
        report = report.note(format!("the circle: {}", shown.join(" needs ")));
    }
    match what {
        What::Case(_) if steps.len() > 1 => {
            report.help("let one of them stand on the ground by itself: leave its `place` out, or state its `size`")
        }
        What::Case(_) => report.help("name another case, or leave `place` out"),
        _ => report.help("state one of them as a figure"),
    }
}
