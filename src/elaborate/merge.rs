//! `changes` over what they are `like` (language rules, "one mechanism for reuse").

use super::stmt::{Scoped, Stmt};
use crate::schema::{Clause, NameUse};
use crate::syntax::tree::Expr;

/// `changes` over `base`: clauses replace those of the same word, blocks merge line by line; lines match
/// by name, or by head where they have none. A `drop` that finds nothing to take out is left standing.
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
        omitted: [base.omitted, changes.omitted.clone()].concat(),
        set: changes.set.clone().or(base.set),
        docs: if changes.docs.is_empty() {
            base.docs
        } else {
            changes.docs.clone()
        },
        span: changes.span,
        damaged: base.damaged || changes.damaged,
        pattern: base.pattern,
        index: changes.index.clone(),
        branched: base.branched || changes.branched,
        layer: base.layer.max(changes.layer),
        recipe: None,
    };
    // What says the opposite of a change goes with it.
    let opposed = |c: &Scoped<Clause>, word: &str| {
        let row = changes.head.takes(c.of.word);
        row.is_some_and(|row| row.without.contains(&word))
    };
    let kind = out.values.first().and_then(Expr::as_name);
    let kind = changes.head.kinds.iter().find(|k| Some(k.word) == kind);
    let by_line = |word: &str, line: &Stmt| {
        let row = kind.and_then(|kind| kind.takes(word));
        row.is_some_and(|row| row.without.contains(&line.word()))
    };
    let replaced = |word: &str| {
        let mut clauses = changes.clauses.iter();
        let mut lines = changes.lines.iter();
        clauses.any(|c| c.of.word == word || opposed(c, word)) || lines.any(|l| by_line(word, l))
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
    // What is dropped goes before what is put in its place.
    let (drops, others): (Vec<&Stmt>, Vec<&Stmt>) =
        changes.lines.iter().partition(|line| line.word() == "drop");
    for line in drops {
        take_out(&mut out.lines, line);
    }
    let mut open: Vec<usize> = (0..out.lines.len()).collect();
    let under = out.lines.iter().map(|line| line.layer + 1).max();
    for line in others {
        let line = Stmt {
            layer: under.unwrap_or(0),
            ..line.clone()
        };
        set_apart(&mut out.lines, &mut open, &line);
        put_in(&mut out.lines, &mut open, &line);
    }
    out
}

/// Gives the names that a line of the changes speaks of a line of their own, where they share one with
/// others: `side right` of `side left, right`.
fn set_apart(lines: &mut Vec<Stmt>, open: &mut Vec<usize>, line: &Stmt) {
    let names = |names: &[NameUse]| names.iter().map(|n| n.text.clone()).collect::<Vec<_>>();
    let wanted = names(&line.names);
    let shares = |slot: &Stmt| {
        let all = names(&slot.names);
        all.len() > wanted.len()
            && !wanted.is_empty()
            && wanted.iter().all(|name| all.contains(name))
            && slot.head.declares
            && !slot.is_of_element()
            && !line.is_of_element()
            && (line.index.is_empty() || line.index == slot.index)
    };
    let mut at = 0;
    while let Some(slot) = lines.get_mut(at) {
        if open.contains(&at) && shares(slot) {
            let mut rest = slot.clone();
            let first = slot.names.first().is_some_and(|n| wanted.contains(&n.text));
            slot.names.retain(|n| wanted.contains(&n.text) == first);
            rest.names.retain(|n| wanted.contains(&n.text) != first);
            lines.insert(at + 1, rest);
            open.iter_mut().filter(|i| **i > at).for_each(|i| *i += 1);
            open.push(at + 1);
            open.sort_unstable();
            at += 1;
        }
        at += 1;
    }
}

/// One line of the changes: over the line that it matches among those that no change has met yet (`open`),
/// or beside them. All turns of a repetition are one line.
fn put_in(lines: &mut Vec<Stmt>, open: &mut Vec<usize>, line: &Stmt) {
    let mut met: Option<crate::source::Span> = None;
    open.retain(|at| {
        let slot = &lines[*at];
        let same = matches(slot, line) && met.is_none_or(|span| span == slot.span);
        if same {
            met = Some(slot.span);
            let whole = line.is_whole() || slot.word() != line.word();
            let index = slot.index.clone();
            let changed = match whole {
                true => line.clone(),
                false => merge(slot.clone(), line),
            };
            lines[*at] = Stmt { index, ..changed };
        }
        !same
    });
    if met.is_none() {
        lines.push(line.clone());
    }
}

/// Whether a line of the changes speaks of this line.
fn matches(other: &Stmt, line: &Stmt) -> bool {
    // A line for one element stands beside the line of the array.
    if line.is_of_element() || other.is_of_element() || other.word() == "drop" {
        return false;
    }
    if !line.index.is_empty() && line.index != other.index {
        return false;
    }
    if line.names.is_empty() && other.names.is_empty() {
        // Joins, bands and divisions are told apart by what they speak of.
        return other.word() == line.word();
    }
    let same = other
        .names
        .iter()
        .map(|n| &n.text)
        .eq(line.names.iter().map(|n| &n.text));
    let speaks = ["join", "band", "divide"];
    let speaks = speaks.contains(&line.word()) || speaks.contains(&other.word());
    same && (other.word() == line.word() || !speaks)
}

/// `drop NAME`: the lines that bear the name go, and the name goes out of the joints and bands that
/// speak of it. A name that nothing bears stays in a `drop`, to be reported.
fn take_out(lines: &mut Vec<Stmt>, drop: &Stmt) {
    let speaks = |line: &Stmt| matches!(line.word(), "join" | "band");
    let mut lost = Vec::new();
    for name in &drop.names {
        if lines
            .iter()
            .any(|line| line.is_whole() && line.bears(&name.text))
        {
            // The rest of the division would be built without it.
            lost.push(name.clone());
            continue;
        }
        let before = lines.len();
        let mut found = false;
        lines.retain_mut(|line| {
            if line.word() == "assemble" {
                for stage in &mut line.lines {
                    stage.names.retain(|n| n.text != name.text);
                }
                line.lines
                    .retain(|stage| stage.word() != "stage" || !stage.names.is_empty());
                return true;
            }
            if !speaks(line) {
                if line.names.len() < 2 {
                    return line.name() != name.text;
                }
                let before = line.names.len();
                line.names.retain(|n| n.text != name.text);
                found |= line.names.len() < before;
                return true;
            }
            let heard = forget(line, &name.text);
            found |= heard != Heard::Not;
            heard != Heard::OfNothingElse
        });
        if !found && lines.len() == before {
            lost.push(name.clone());
        }
    }
    if !lost.is_empty() {
        lines.push(Stmt {
            names: lost,
            ..drop.clone()
        });
    }
}

/// How a joint or band speaks of a name.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Heard {
    Not,
    OfOthersToo,
    OfNothingElse,
}

/// Takes a name out of a joint or band.
fn forget(line: &mut Stmt, name: &str) -> Heard {
    let mut heard = Heard::Not;
    let mut after = |left: usize, before: usize| {
        heard = match left {
            _ if left == before => heard,
            0 => Heard::OfNothingElse,
            _ if heard == Heard::Not => Heard::OfOthersToo,
            _ => heard,
        };
    };
    let before = line.names.len();
    line.names.retain(|n| n.text != name);
    after(line.names.len(), before);
    for clause in &mut line.clauses {
        if matches!(clause.of.word, "into" | "to") {
            let before = clause.of.values.len();
            clause.of.values.retain(|v| v.as_name() != Some(name));
            after(clause.of.values.len(), before);
        }
    }
    heard
}
