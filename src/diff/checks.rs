//! Checks that are not what they were: a caution that appeared, one that went, a fault that became
//! one, and figures of those that do not hold. What holds as it held is not told.

use super::Built;
use super::changes::{CheckChange, Held};
use super::figure::Figure;
use super::matching::Matched;
use super::parts::natural;
use crate::measure::{Rational, Units};
use crate::model::{Finding, Model, Outcome, Sense, Value};
use indexmap::IndexMap;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// A check by what it looks at: the piece in the new model, its code, its subject.
type Key<'a> = (Option<Option<usize>>, &'a str, &'a str);

/// Every check whose outcome changed.
pub(super) fn compare(old: &Built<'_>, new: &Built<'_>, matched: &Matched) -> Vec<CheckChange> {
    // The piece of an old finding, as the new model has it; `None` if it went.
    let now = |piece: Option<u32>| match piece {
        None => Some(None),
        Some(i) => matched.of_old(i as usize).and_then(|m| m.new).map(Some),
    };
    // What only plans find is not compared where one of the two is not planned.
    let both = old.plans.is_some() && new.plans.is_some();
    let of_plans: BTreeSet<String> = [old.plans, new.plans]
        .into_iter()
        .flatten()
        .filter(|_| !both)
        .flat_map(|plans| plans.findings())
        .map(|finding| finding.code)
        .collect();
    let compared = |finding: &&Finding| !of_plans.contains(&finding.code);
    let mut waiting: BTreeMap<Key<'_>, VecDeque<&Finding>> = BTreeMap::new();
    for finding in old.findings.iter().filter(compared) {
        let key = (
            now(finding.piece),
            finding.code.as_str(),
            finding.subject.as_str(),
        );
        waiting.entry(key).or_default().push_back(finding);
    }
    let mut pairs: Vec<(Option<&Finding>, Option<&Finding>)> = Vec::new();
    let mut left: Vec<&Finding> = Vec::new();
    for finding in new.findings.iter().filter(compared) {
        let piece = Some(finding.piece.map(|i| i as usize));
        let key = (piece, finding.code.as_str(), finding.subject.as_str());
        match waiting.get_mut(&key).and_then(VecDeque::pop_front) {
            Some(old) => pairs.push((Some(old), Some(finding))),
            None => left.push(finding),
        }
    }
    // What is called otherwise, and comes to the same against the same, is the same check.
    let mut rest: Vec<&Finding> = waiting.into_values().flatten().collect();
    for finding in left {
        let at = rest.iter().position(|old| {
            old.code == finding.code
                && now(old.piece) == Some(finding.piece.map(|i| i as usize))
                && (&old.figure, &old.limit) == (&finding.figure, &finding.limit)
        });
        pairs.push((at.map(|at| rest.remove(at)), Some(finding)));
    }
    pairs.extend(rest.into_iter().map(|old| (Some(old), None)));
    let mut alike: IndexMap<String, CheckChange> = IndexMap::new();
    for (was, is) in pairs.into_iter().filter(|(was, is)| tells(*was, *is)) {
        let Some(finding) = is.or(was) else { continue };
        let model = if is.is_some() { new.model } else { old.model };
        let (piece, units) = piece(model, finding);
        let change = CheckChange {
            piece,
            units,
            code: finding.code.clone(),
            subjects: Vec::new(),
            old: was.map(held),
            new: is.map(held),
        };
        let known = alike.entry(format!("{change:?}")).or_insert(change);
        known.subjects.push(finding.subject.clone());
    }
    let mut out: Vec<CheckChange> = alike.into_values().collect();
    for change in &mut out {
        change.subjects.sort_by_key(|subject| natural(subject));
    }
    // What is worse now comes first.
    let worst = |held: &Option<Held>| held.as_ref().map_or(0, |held| rank(held.outcome));
    out.sort_by(|a, b| {
        let key = |c: &CheckChange| (Reverse(worst(&c.new)), worst(&c.old));
        key(a)
            .cmp(&key(b))
            .then_with(|| (&a.code, &a.subjects).cmp(&(&b.code, &b.subjects)))
    });
    out
}

fn rank(outcome: &str) -> u8 {
    match outcome {
        "error" => 3,
        "caution" => 2,
        "allowed" => 1,
        _ => 0,
    }
}

/// Whether two outcomes are worth telling.
fn tells(was: Option<&Finding>, is: Option<&Finding>) -> bool {
    match (was, is) {
        (Some(a), Some(b)) => {
            let (x, y) = (word(&a.outcome), word(&b.outcome));
            x != y || x != "holds" && (&a.figure, &a.limit) != (&b.figure, &b.limit)
        }
        (one, other) => one.or(other).is_some_and(|f| f.outcome != Outcome::Holds),
    }
}

fn piece(model: &Model, finding: &Finding) -> (Option<String>, Units) {
    let piece = finding.piece.and_then(|i| model.pieces.get(i as usize));
    let units = piece.or(model.pieces.first());
    (
        piece.map(|piece| piece.title.clone()),
        units.map_or(Units::Mm, |piece| piece.units),
    )
}

pub(super) fn word(outcome: &Outcome) -> &'static str {
    match outcome {
        Outcome::Holds => "holds",
        Outcome::Caution => "caution",
        Outcome::Error => "error",
        Outcome::Allowed(_) => "allowed",
    }
}

fn held(finding: &Finding) -> Held {
    let (figure, limit) = (
        Figure::of_value(&finding.figure),
        Figure::of_value(&finding.limit),
    );
    let (more, less) = match finding.sense {
        Sense::AtMost => (&limit, &figure),
        Sense::AtLeast => (&figure, &limit),
    };
    Held {
        outcome: word(&finding.outcome),
        margin: more.less(less).filter(|_| !counts_nothing(finding)),
        figure,
        limit,
    }
}

/// Whether a check counts what should not be there: then a margin says nothing.
fn counts_nothing(finding: &Finding) -> bool {
    match &finding.limit {
        Value::Number(n, _) => {
            Figure::of_value(&Value::Number(*n, String::new()))
                == Figure::number(Rational::ZERO, "", 0)
        }
        Value::Length(_) => false,
    }
}
