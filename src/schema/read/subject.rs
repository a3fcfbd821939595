//! The subject of a line: names, how many, leading values, words in quotes, in this order.

use super::{Reader, is_reserved, is_text, single_name};
use crate::measure::Rational;
use crate::schema::head::{Head, Names, Need, Shape, Slot};
use crate::schema::{Form, NameUse, fault, table};
use crate::syntax::tree::{Expr, ExprKind, Item, Op};

/// Words that no maker would take for a name: seen first on a line, they begin its clauses.
const PREPOSITIONS: &[&str] = &[
    "of", "at", "in", "on", "into", "to", "from", "between", "over", "under", "like", "with",
    "per", "by",
];

/// The expression as a name: a word, a member with dots, perhaps one element of an array.
pub(super) fn name_use(expr: &Expr) -> Option<NameUse> {
    match &expr.kind {
        ExprKind::Name(text) => Some(NameUse {
            text: text.clone(),
            index: Vec::new(),
            span: expr.span,
        }),
        ExprKind::Member(of, member) => {
            let of = name_use(of)?;
            of.index.is_empty().then(|| NameUse {
                text: format!("{}.{}", of.text, member.text),
                index: Vec::new(),
                span: expr.span,
            })
        }
        ExprKind::Index(of, index) => {
            let of = name_use(of)?;
            of.index.is_empty().then(|| NameUse {
                text: of.text,
                index: index.clone(),
                span: expr.span,
            })
        }
        _ => None,
    }
}

impl Reader {
    /// Reads the subject from `start` on into the form; gives where the clauses begin.
    pub(super) fn subject(
        &mut self,
        items: &[Item],
        start: usize,
        row: &'static Head,
        form: &mut Form,
    ) -> usize {
        let mut at = start;
        at = self.names(items, at, row, form);
        if row.count != Need::No
            && let Some(item) = items.get(at)
            && let ([count], false, false) = (
                item.exprs.as_slice(),
                is_text(item),
                begins_clause(item, row),
            )
        {
            form.count = Some(count.clone());
            at += 1;
        }
        for slot in row.values {
            at = self.slot(items, at, slot, row, form);
        }
        if row.title != Need::No
            && let Some(Expr {
                kind: ExprKind::Text(text) | ExprKind::Markdown(text),
                span,
            }) = items
                .get(at)
                .filter(|item| is_text(item))
                .and_then(|item| item.exprs.first())
        {
            form.title = Some((text.clone(), *span));
            at += 1;
        }
        at
    }

    fn names(&mut self, items: &[Item], at: usize, row: &'static Head, form: &mut Form) -> usize {
        let pattern = form.patterned.is_some();
        let declares = row.declares || pattern;
        let takes_names = row.names != Names::None || pattern;
        let Some(item) = items.get(at).filter(|_| takes_names) else {
            return at;
        };
        if let Some(word) = single_name(item) {
            if is_kind_alone(word, items, at, row) {
                return at;
            }
            if table::reserved(word) {
                let next_is_word = items.get(at + 1).is_some_and(is_reserved);
                let flag = row.takes(word).is_some_and(|row| {
                    matches!(super::shape_of(row), Shape::Flag | Shape::FlagOrLength)
                });
                let begins = match row.takes(word) {
                    Some(_) => flag || !next_is_word,
                    None => items.get(at + 1).is_some_and(|next| !is_reserved(next)),
                };
                if begins || PREPOSITIONS.contains(&word) || !declares {
                    return at;
                }
                self.faults.push(fault::reserved(word, item.span));
                form.damaged = true;
            }
        } else if item.exprs.iter().any(|expr| name_use(expr).is_none()) {
            return self.no_names(item, at, row, form);
        } else if let Some(word) = item
            .exprs
            .iter()
            .find(|expr| expr.as_name().is_some_and(table::reserved))
        {
            self.faults
                .push(fault::reserved(word.as_name().unwrap_or(""), word.span));
            form.damaged = true;
        }
        form.names = item.exprs.iter().filter_map(name_use).collect();
        if form.names.len() > 1 && (pattern || !row.names.many()) {
            self.faults
                .push(fault::too_many(row.word, item.span, "name"));
            form.damaged = true;
        } else if let Some(name) = form
            .names
            .iter()
            .find(|name| declares && matches!(name.text.as_str(), "yes" | "no"))
        {
            self.faults.push(fault::reserved(&name.text, name.span));
            form.damaged = true;
        } else if declares {
            // A dotted name speaks of a thing; it cannot declare one.
            if let Some(name) = form.names.iter().find(|name| name.text.contains('.')) {
                self.faults
                    .push(fault::not_a_name(row.word, name.span, "a plain name"));
                form.damaged = true;
            }
        }
        at + 1
    }

    /// The first item is no name: a count or title may come first; anything else is in the way.
    fn no_names(&mut self, item: &Item, at: usize, row: &'static Head, form: &mut Form) -> usize {
        let number = matches!(
            item.exprs.as_slice(),
            [Expr {
                kind: ExprKind::Number(_) | ExprKind::Measure(_) | ExprKind::BadUnit,
                ..
            }]
        );
        if is_text(item) || number || !row.names.must() {
            return at;
        }
        self.faults
            .push(fault::not_a_name(row.word, item.span, "a name"));
        form.damaged = true;
        at + 1
    }

    fn slot(
        &mut self,
        items: &[Item],
        at: usize,
        slot: &Slot,
        row: &'static Head,
        form: &mut Form,
    ) -> usize {
        let Some(item) = items.get(at) else { return at };
        let word = single_name(item);
        match slot.shape {
            Shape::Kind => {
                let Some(word) = word.filter(|word| !table::reserved(word)) else {
                    return at;
                };
                match row.kind(word) {
                    Some(kind) if kind.later => {
                        self.later(word, item.span);
                        form.damaged = true;
                    }
                    Some(kind) => form.kind = Some(kind),
                    None => {
                        let what = format!("kind of {}", row.word);
                        self.faults.push(fault::unknown_kind(
                            &what,
                            word,
                            item.span,
                            row.kinds.iter(),
                        ));
                        form.damaged = true;
                    }
                }
            }
            Shape::Choice(words) | Shape::Choices(words) => {
                let many = matches!(slot.shape, Shape::Choices(_));
                if word.is_some_and(|word| table::reserved(word) && !words.contains(&word))
                    || is_text(item)
                {
                    return at;
                }
                if item.exprs.len() > 1 && !many {
                    self.faults
                        .push(fault::too_many(row.word, item.span, "value"));
                    form.damaged = true;
                } else if let Some(wrong) = item
                    .exprs
                    .iter()
                    .find(|expr| !expr.as_name().is_some_and(|word| words.contains(&word)))
                {
                    // A value of the next slot stands here: then this one is missing.
                    if wrong.as_name().is_none() && !slot.optional && !many {
                        self.faults
                            .push(fault::unknown_choice(row.word, None, wrong.span, words));
                    } else {
                        self.faults.push(fault::unknown_choice(
                            row.word,
                            wrong.as_name(),
                            wrong.span,
                            words,
                        ));
                    }
                    form.damaged = true;
                }
            }
            _ => {
                let text = matches!(slot.shape, Shape::Text | Shape::Value);
                if is_reserved(item) || (is_text(item) && !text) {
                    return at;
                }
                if item.exprs.len() > 1 && !matches!(slot.shape, Shape::Numbers | Shape::Lengths) {
                    self.faults
                        .push(fault::too_many(row.word, item.span, "value"));
                    form.damaged = true;
                }
                let values = self.units(item, row.word, slot.shape, &mut form.damaged);
                form.values.extend(values);
                return at + 1;
            }
        }
        form.values.extend(item.exprs.iter().cloned());
        at + 1
    }

    /// The values of an item, with bare numbers reported where a quantity belongs.
    pub(super) fn units(
        &mut self,
        item: &Item,
        word: &str,
        shape: Shape,
        damaged: &mut bool,
    ) -> Vec<Expr> {
        let mut values = item.exprs.clone();
        let wants_unit = matches!(
            shape,
            Shape::Length
                | Shape::Lengths
                | Shape::FlagOrLength
                | Shape::Extent
                | Shape::Range
                | Shape::Place
                | Shape::Places
                | Shape::Angle
                | Shape::Mass
                | Shape::Time
                | Shape::Money
                | Shape::Amount
        );
        for value in values.iter_mut().filter(|_| wants_unit) {
            if let Some(number) = bare_number(value) {
                self.faults
                    .push(fault::no_unit(word, &number, value.span, shape));
                *damaged = true;
                value.kind = ExprKind::BadUnit;
            }
        }
        values
    }
}

/// Whether the item is a word that the head takes, or a reserved one.
fn begins_clause(item: &Item, row: &Head) -> bool {
    single_name(item).is_some_and(|word| table::reserved(word) || row.takes(word).is_some())
}

/// Whether the word is the head's leading kind or choice, so that the name before it is what lacks.
fn is_kind_alone(word: &str, items: &[Item], at: usize, row: &Head) -> bool {
    let Some(slot) = row.values.first() else {
        return false;
    };
    let fits = match slot.shape {
        Shape::Kind => row.kind(word).is_some(),
        Shape::Choice(words) => words.contains(&word),
        _ => false,
    };
    let next_fits = items
        .get(at + 1)
        .and_then(single_name)
        .is_some_and(|next| match slot.shape {
            Shape::Kind => row.kind(next).is_some(),
            Shape::Choice(words) => words.contains(&next),
            _ => false,
        });
    fits && !next_fits
}

/// The literal number, as written as far as a number tells.
fn bare_number(expr: &Expr) -> Option<String> {
    match &expr.kind {
        ExprKind::Number(number) => Some(number.to_string()),
        ExprKind::Neg(inner) => bare_number(inner).map(|number| format!("-{number}")),
        ExprKind::Binary(..) => fraction(expr),
        _ => None,
    }
}

/// `1/2` as written with bare numbers.
fn fraction(expr: &Expr) -> Option<String> {
    let ExprKind::Binary(above, Op::Div, _, below) = &expr.kind else {
        return None;
    };
    let whole = |expr: &Expr| -> Option<Rational> {
        match expr.kind {
            ExprKind::Number(number) => Some(number),
            _ => None,
        }
    };
    Some(format!("{}/{}", whole(above)?, whole(below)?))
}
