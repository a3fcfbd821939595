//! The clauses of a line: each word with its values, tails attached to the nearest word before them
//! that takes them, everything after `with KIND` an option of the joint.

use super::{Owner, Reader, is_reserved, is_text, shape_of, single_name, subject};
use crate::schema::head::{Kind, Names, Need, Shape, Use};
use crate::schema::{Clause, NameUse, fault, table};
use crate::source::Span;
use crate::syntax::tree::{Expr, ExprKind, Item};

/// A clause whose tails may still come.
struct Open {
    clause: Clause,
    /// The clause that it is a tail of.
    parent: Option<usize>,
    tails: &'static [Use],
    /// Of `with`: the kind of joint.
    kind: Option<&'static Kind>,
}

/// Where a word attaches.
enum Attached {
    To(Option<usize>, &'static Use),
    /// The word belongs to the head, but `with` has come.
    AfterWith(&'static Kind, Span),
    Nowhere,
}

/// What the reading of a value gives.
struct Value {
    values: Vec<Expr>,
    next: usize,
    kind: Option<&'static Kind>,
    /// Whether the clause can be kept.
    sound: bool,
}

impl Reader {
    /// Reads clauses from `start` to the end of the items.
    pub(super) fn clauses(
        &mut self,
        items: &[Item],
        start: usize,
        owner: Owner,
        names: &[NameUse],
        damaged: &mut bool,
    ) -> Vec<Clause> {
        let mut open: Vec<Open> = Vec::new();
        let mut at = start;
        // Once a word or value of the line is lost, those after it that attach to nothing do so because
        // of it: they are not reported again.
        let mut lost = false;
        while let Some(item) = items.get(at) {
            let word = single_name(item).filter(|word| is_clause_word(word, owner, &open));
            let Some(word) = word.and_then(table::word) else {
                *damaged = true;
                let told = self.faults.len();
                at = self.stray(items, at, start, owner, names, &mut open);
                if lost {
                    self.faults.truncate(told);
                }
                lost = true;
                continue;
            };
            match attach(word.word, owner, &open) {
                Attached::To(parent, row) => {
                    let shape = shape_of(row);
                    let value = self.value(items, at, row, shape, damaged);
                    at = value.next;
                    if row.later {
                        self.later(word.word, item.span);
                        *damaged = true;
                    } else if value.sound {
                        let end = value
                            .values
                            .last()
                            .map_or(item.span, |value| item.span.to(value.span));
                        let clause = Clause {
                            word: word.word,
                            word_span: item.span,
                            values: value.values,
                            tails: Vec::new(),
                            span: end,
                        };
                        let tails = match value.kind {
                            Some(kind) => kind.clauses,
                            // A plain length has no ends to be stated.
                            None if shape == Shape::Length
                                && takes(word.tails, "between").is_some() =>
                            {
                                &[]
                            }
                            None => word.tails,
                        };
                        open.push(Open {
                            clause,
                            parent,
                            tails,
                            kind: value.kind,
                        });
                    } else {
                        *damaged = true;
                        lost = true;
                    }
                }
                Attached::AfterWith(kind, with) => {
                    self.faults.push(fault::after_with(
                        word.word,
                        item.span,
                        kind,
                        with,
                        owner.head.word,
                    ));
                    *damaged = true;
                    at = skip_values(items, at + 1, owner, &open);
                }
                Attached::Nowhere => {
                    if !lost {
                        self.nowhere(word.word, item.span, owner, &open);
                    }
                    lost = true;
                    *damaged = true;
                    at = skip_values(items, at + 1, owner, &open);
                }
            }
        }
        close(open)
    }

    /// Reports a word of the language that nothing on this line takes.
    fn nowhere(&mut self, word: &str, span: Span, owner: Owner, open: &[Open]) {
        let tail = table::WORDS
            .iter()
            .filter(|row| row.tails.iter().any(|tail| tail.word == word));
        let mut takers: Vec<&str> = tail.map(|row| row.word).collect();
        if takers.is_empty() {
            let joint = open.iter().rev().find_map(|open| open.kind);
            let report = match joint {
                Some(kind) => {
                    let takes: Vec<&str> = kind
                        .clauses
                        .iter()
                        .filter(|row| !row.later)
                        .map(|row| row.word)
                        .collect();
                    fault::not_here(word, span, kind.word, &takes)
                }
                None => fault::not_here(word, span, owner.head.word, &owner.words()),
            };
            return self.faults.push(report);
        }
        takers.retain(|taker| {
            owner.takes(taker).is_some()
                || open.iter().any(|open| takes(open.tails, taker).is_some())
        });
        self.faults.push(fault::stray_tail(word, span, &takers));
    }

    /// Reports an item that is no clause word and no value of one; gives where to go on.
    fn stray(
        &mut self,
        items: &[Item],
        at: usize,
        start: usize,
        owner: Owner,
        names: &[NameUse],
        open: &mut Vec<Open>,
    ) -> usize {
        let Some(item) = items.get(at) else {
            return at + 1;
        };
        let known = |item: &Item, open: &[Open]| {
            single_name(item).is_some_and(|word| is_clause_word(word, owner, open))
        };
        let joint = open.iter().rev().find_map(|open| open.kind);
        let (name, takes): (&str, Vec<&str>) = match joint {
            Some(kind) => (
                kind.word,
                kind.clauses
                    .iter()
                    .filter(|row| !row.later)
                    .map(|row| row.word)
                    .collect(),
            ),
            None => (owner.head.word, owner.words()),
        };
        if is_text(item) {
            self.faults.push(fault::stray_text(owner.head, item.span));
            return at + 1;
        }
        let before = open.last().filter(|open| {
            at.checked_sub(1)
                .and_then(|before| items.get(before))
                .is_some_and(|item| item.span.end == open.clause.span.end)
        });
        if let Some(flag) = before.filter(|open| open.clause.values.is_empty())
            && single_name(item).is_none()
        {
            self.faults.push(fault::flag_value(
                flag.clause.word,
                flag.clause.word_span,
                item.span,
            ));
            return skip_values(items, at + 1, owner, open);
        }
        if let Some(word) = single_name(item) {
            // `bottom off oak18`: what was taken for the name is the word that is wrong.
            let first = names.first().filter(|_| at == start && names.len() == 1);
            let blamed = first.filter(|first| fault::is_slip(&first.text, &takes));
            let list = |open: &&Open| {
                table::word(open.clause.word).is_some_and(|word| {
                    matches!(
                        word.shape,
                        Shape::Edges | Shape::Parts | Shape::Choices(_) | Shape::Lengths
                    )
                })
            };
            // `on left right`: a list goes on with a comma.
            let sooner = match before.filter(list) {
                Some(open) => {
                    let last = open.clause.values.last();
                    last.and_then(|last| Some((last.as_name()?, last.span)))
                }
                None if at == start && matches!(owner.head.names, Names::Some | Names::MaySome) => {
                    names.last().map(|name| (name.text.as_str(), name.span))
                }
                None => None,
            };
            let sooner = sooner.filter(|_| !takes.iter().any(|take| fault::is_slip(word, &[take])));
            let report = match (blamed, sooner) {
                (None, Some((sooner, at))) => fault::no_comma(sooner, at, word, item.span),
                (Some(first), _) => fault::unknown_word(&first.text, first.span, name, &takes),
                (None, None) => fault::unknown_word(word, item.span, name, &takes),
            };
            self.faults.push(report);
            return skip_values(items, at + 1, owner, open);
        }
        let next = items.get(at + 1).filter(|next| known(next, open));
        let after_next_is_value = items
            .get(at + 2)
            .is_some_and(|item| !known(item, open) && !is_text(item));
        if let Some((next, word)) =
            next.and_then(|next| Some((next, single_name(next).and_then(table::word)?)))
        {
            let takes_value = match attach(word.word, owner, open) {
                Attached::To(_, row) => shape_of(row) != Shape::Flag,
                _ => false,
            };
            if takes_value && !after_next_is_value {
                self.faults
                    .push(fault::value_first(word.word, next.span, item.span));
                if let Attached::To(parent, _) = attach(word.word, owner, open) {
                    let clause = Clause {
                        word: word.word,
                        word_span: next.span,
                        values: item.exprs.clone(),
                        tails: Vec::new(),
                        span: item.span.to(next.span),
                    };
                    open.push(Open {
                        clause,
                        parent,
                        tails: word.tails,
                        kind: None,
                    });
                }
                return at + 2;
            }
        }
        let after = before
            .filter(|open| !open.clause.values.is_empty())
            .map(|open| (open.clause.word, open.clause.word_span));
        self.faults
            .push(fault::stray_value(name, item.span, after, &takes));
        skip_values(items, at + 1, owner, open)
    }

    /// Reads what follows the word at `at`.
    fn value(
        &mut self,
        items: &[Item],
        at: usize,
        row: &'static Use,
        shape: Shape,
        damaged: &mut bool,
    ) -> Value {
        let none = |sound| Value {
            values: Vec::new(),
            next: at + 1,
            kind: None,
            sound,
        };
        let word_span = items.get(at).map(|item| item.span);
        let next = items
            .get(at + 1)
            .filter(|next| !is_text(next) || shape == Shape::Text);
        let next = next.filter(|next| !is_reserved(next) || accepts_word(row.word, shape, next));
        let Some(item) = next else {
            let followed = items.get(at + 1).and_then(single_name);
            let bounded = matches!(followed, Some("from" | "to" | "between"));
            return match shape {
                Shape::Flag | Shape::FlagOrLength => none(true),
                Shape::Extent | Shape::Range if bounded => none(true),
                _ => {
                    // At the end of a damaged line the value is what could not be read.
                    if let Some(span) =
                        word_span.filter(|_| !(*damaged && items.get(at + 1).is_none()))
                    {
                        self.faults.push(fault::no_value(row.word, span, shape));
                    }
                    none(false)
                }
            };
        };
        match shape {
            Shape::Flag => none(true),
            Shape::Joint | Shape::JointOf(_) => self.joint(items, at + 1, shape, damaged),
            _ => {
                let many = matches!(
                    shape,
                    Shape::Lengths
                        | Shape::Numbers
                        | Shape::Parts
                        | Shape::Edges
                        | Shape::Choices(_)
                        | Shape::Places
                        | Shape::Value
                        | Shape::Place
                );
                if item.exprs.len() > 1 && !many {
                    self.faults
                        .push(fault::too_many(row.word, item.span, "value"));
                    return Value {
                        next: at + 2,
                        ..none(false)
                    };
                }
                if let Some(report) = wrong_value(row.word, item, shape) {
                    match report {
                        Wrong::Later(word, span) => self.later(word, span),
                        Wrong::Report(report) => self.faults.push(report),
                    }
                    return Value {
                        next: at + 2,
                        ..none(false)
                    };
                }
                let values = self.units(item, row.word, shape, damaged);
                let next = at + 2;
                Value {
                    values,
                    next,
                    kind: None,
                    sound: true,
                }
            }
        }
    }

    /// Reads the kind after `with`, and how many of a fastener. Of an unknown kind nothing more is read.
    fn joint(&mut self, items: &[Item], at: usize, shape: Shape, damaged: &mut bool) -> Value {
        let lost = Value {
            values: Vec::new(),
            next: items.len(),
            kind: None,
            sound: false,
        };
        let Some(item) = items.get(at) else {
            return lost;
        };
        let Some(word) = single_name(item) else {
            self.faults
                .push(fault::not_a_name("with", item.span, "a kind of joint"));
            return lost;
        };
        let strip = match shape {
            Shape::JointOf(kinds) => kinds.iter().find(|kind| kind.word == word),
            _ => None,
        };
        let Some(kind) = strip.or_else(|| table::joint(word)) else {
            self.faults.push(fault::unknown_kind(
                "kind of joint",
                word,
                item.span,
                table::joints().iter(),
            ));
            return lost;
        };
        if kind.later {
            self.later(kind.word, item.span);
            return lost;
        }
        if let Shape::JointOf(kinds) = shape
            && strip.is_none()
        {
            let kinds: Vec<&str> = kinds.iter().map(|kind| kind.word).collect();
            self.faults
                .push(fault::unknown_choice("with", Some(word), item.span, &kinds));
            return lost;
        }
        let mut values = item.exprs.clone();
        let mut next = at + 1;
        if kind.count != Need::No {
            let count = items
                .get(next)
                .filter(|item| !is_reserved(item) && !is_text(item));
            match count.map(|item| item.exprs.as_slice()) {
                Some([count]) => {
                    values.push(count.clone());
                    next += 1;
                }
                _ if kind.count == Need::May => {}
                _ => {
                    if !*damaged {
                        self.faults.push(fault::no_count(kind, item.span));
                    }
                    *damaged = true;
                }
            }
        }
        Value {
            values,
            next,
            kind: Some(kind),
            sound: true,
        }
    }
}

/// A value of the wrong sort.
enum Wrong {
    Later(&'static str, Span),
    Report(crate::diag::Diagnostic),
}

/// What is wrong with the sort of value, as far as its form tells.
fn wrong_value(word: &str, item: &Item, shape: Shape) -> Option<Wrong> {
    for expr in &item.exprs {
        let report = match shape {
            Shape::Edges => match expr.as_name() {
                Some(edge) if table::EDGES.contains(&edge) => continue,
                Some(edge) => fault::unknown_edge(edge, expr.span),
                None => fault::not_an_edge(expr.span),
            },
            Shape::Choice(words) | Shape::Choices(words) => match expr.as_name() {
                Some(value) if words.contains(&value) => continue,
                Some(value) => {
                    if let Some((_, value)) = table::LATER_CHOICES
                        .iter()
                        .find(|(of, later)| *of == word && *later == value)
                    {
                        return Some(Wrong::Later(value, expr.span));
                    }
                    fault::unknown_choice(word, Some(value), expr.span, words)
                }
                None => fault::unknown_choice(word, None, expr.span, words),
            },
            Shape::Parts | Shape::Opening if subject::name_use(expr).is_none() => {
                fault::not_a_name(
                    word,
                    expr.span,
                    if shape == Shape::Parts {
                        "the name of a part"
                    } else {
                        "an opening"
                    },
                )
            }
            Shape::Name if expr.as_name().is_none() => fault::not_a_name(word, expr.span, "a name"),
            Shape::Thing => match &expr.kind {
                ExprKind::Call(of, _) if subject::name_use(of).is_some() => continue,
                _ if subject::name_use(expr).is_some() => continue,
                _ => fault::not_a_name(word, expr.span, "a name"),
            },
            _ => continue,
        };
        return Some(Wrong::Report(report));
    }
    None
}

fn takes(tails: &'static [Use], word: &str) -> Option<&'static Use> {
    tails.iter().find(|row| row.word == word)
}

/// Whether the word stands for a clause here: reserved, or a free one that something takes.
fn is_clause_word(word: &str, owner: Owner, open: &[Open]) -> bool {
    match table::word(word) {
        Some(row) => {
            !row.free
                || owner.takes(word).is_some()
                || open.iter().any(|open| takes(open.tails, word).is_some())
        }
        None => false,
    }
}

/// The nearest word before that takes this one, or the head.
fn attach(word: &str, owner: Owner, open: &[Open]) -> Attached {
    for (index, candidate) in open.iter().enumerate().rev() {
        if let Some(row) = takes(candidate.tails, word) {
            let counts_boxes = candidate.clause.word == "per" && word == "of";
            let is_box = candidate
                .clause
                .values
                .first()
                .and_then(Expr::as_name)
                .is_some_and(|unit| unit == "box" || unit == "pack");
            if !counts_boxes || is_box {
                return Attached::To(Some(index), row);
            }
        }
        if let Some(kind) = candidate.kind {
            return match owner.takes(word) {
                Some(_) => Attached::AfterWith(kind, candidate.clause.span),
                None => Attached::Nowhere,
            };
        }
    }
    match owner.takes(word) {
        Some(row) => Attached::To(None, row),
        None => Attached::Nowhere,
    }
}

/// Whether a reserved word may be the value: `grain long`, `by faces`.
fn accepts_word(of: &str, shape: Shape, item: &Item) -> bool {
    let word = single_name(item).unwrap_or("");
    match shape {
        Shape::Choice(words) | Shape::Choices(words) => {
            // One of the word's other choices is told as such.
            let known = table::word(of)
                .is_some_and(|row| matches!(row.shape, Shape::Choice(all) if all.contains(&word)));
            known || words.contains(&word) || table::LATER_CHOICES.contains(&(of, word))
        }
        Shape::Joint | Shape::JointOf(_) => table::joint(word).is_some(),
        _ => false,
    }
}

/// Past the values of a word that was reported.
fn skip_values(items: &[Item], mut at: usize, owner: Owner, open: &[Open]) -> usize {
    while items.get(at).is_some_and(|item| {
        !is_reserved(item)
            && !single_name(item).is_some_and(|word| is_clause_word(word, owner, open))
    }) {
        at += 1;
    }
    at
}

/// Puts every tail into its clause.
fn close(mut open: Vec<Open>) -> Vec<Clause> {
    let mut done = Vec::new();
    while let Some(mut last) = open.pop() {
        last.clause.tails.reverse();
        for tail in &last.clause.tails {
            last.clause.span = last.clause.span.to(tail.span);
        }
        match last.parent.and_then(|parent| open.get_mut(parent)) {
            Some(parent) => parent.clause.tails.push(last.clause),
            None => done.push(last.clause),
        }
    }
    done.reverse();
    done
}
