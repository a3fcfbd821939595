//! Changes in the terminal: a table for reading, or one line a change for searching.

mod human;
mod plain;
mod table;

pub use human::human;
pub use plain::plain;

use crate::diff::{Decision, DecisionKind, Move, Names, Precision, Presence, Step};
use crate::measure::Units;

/// What two revisions are called.
#[derive(Debug)]
pub struct Called {
    /// The old one: `HEAD~1:body.case`.
    pub old: String,
    /// The new one.
    pub new: String,
}

/// The sign of what came, went or changed.
fn sign(presence: Presence) -> &'static str {
    match presence {
        Presence::Stays => "~",
        Presence::Added => "+",
        Presence::Gone => "-",
    }
}

fn decision_sign(kind: DecisionKind) -> &'static str {
    match kind {
        DecisionKind::Changed => "~",
        DecisionKind::Added => "+",
        DecisionKind::Gone => "-",
        DecisionKind::Moved => ">",
    }
}

/// Where a line stood and stands: `stock.case:3`, `a.case:3 → 5`, `a.case:3 → b.case:1`.
fn place(decision: &Decision, arrow: &str) -> String {
    match (&decision.old, &decision.new) {
        (Some(old), Some(new)) if old == new => format!("{}:{}", new.file, new.line),
        (Some(old), Some(new)) if old.file == new.file => {
            format!("{}:{} {arrow} {}", new.file, old.line, new.line)
        }
        (Some(old), Some(new)) => {
            format!(
                "{}:{} {arrow} {}:{}",
                old.file, old.line, new.file, new.line
            )
        }
        (Some(one), None) | (None, Some(one)) => format!("{}:{}", one.file, one.line),
        (None, None) => String::new(),
    }
}

/// `up 0.4, left 2`.
fn direction(of: &Move) -> String {
    let words = [
        ["left", "right"],
        ["to the front", "to the rear"],
        ["down", "up"],
    ];
    let parts: Vec<String> = of
        .by
        .iter()
        .zip(words)
        .filter(|(by, _)| !by.is_zero())
        .map(|(by, [low, high])| {
            let word = if by.is_negative() { low } else { high };
            format!("{} {word}", of.units.figure(by.abs()).plain())
        })
        .collect();
    if parts.is_empty() {
        "turned".into()
    } else {
        parts.join(", ")
    }
}

/// Names of things that changed alike, as many as can be read: `post[1], post[2], post[3] and 5 more`.
fn named(names: &[Names]) -> String {
    const MOST: usize = 3;
    let shown: Vec<&str> = names.iter().take(MOST).map(|n| short(n.now())).collect();
    let mut out = shown.join(", ");
    if let Some(more) = names.len().checked_sub(MOST).filter(|n| *n > 0) {
        out.push_str(&format!(" and {more} more"));
    }
    out
}

/// A name in the piece without its case.
fn short(path: &str) -> &str {
    path.split_once('.').map_or(path, |(_, rest)| rest)
}

/// The figures of a step without units; what is not there is empty.
fn figures(step: &Step, units: Units, precision: Precision) -> [String; 3] {
    let old = step.old.as_ref().map(|f| f.plain(units, precision));
    let new = step.new.as_ref().map(|f| f.plain(units, precision));
    let by = step.by.as_ref().map(|f| f.signed(units, precision));
    [old, new, by].map(Option::unwrap_or_default)
}

/// The unit of a step.
fn unit(step: &Step, units: Units) -> String {
    let figure = step.new.as_ref().or(step.old.as_ref());
    figure.map_or("", |f| f.unit(units)).to_owned()
}
