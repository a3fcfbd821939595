//! What holds for a whole line: nothing missing, nothing said twice, the joint's preposition right.

use super::Reader;
use crate::diag::Diagnostic;
use crate::schema::head::{Head, Kind, Need, Shape, Use};
use crate::schema::{Clause, Form, fault, table};
use crate::syntax::tree::{Expr, ExprKind};

/// What a form lacks, for one that was merged from what it is `like`; its lines are not looked into.
pub fn complete(form: &Form) -> Vec<Diagnostic> {
    let row = form.patterned.unwrap_or(form.head);
    let mut faults = Vec::new();
    if !form.damaged {
        faults.extend(lacks_subject(form, row, false));
        if faults.is_empty() {
            faults.extend(lacks_clauses(form, row));
        }
        if faults.is_empty() {
            faults.extend(alone(&form.clauses, &|word| row.takes(word)));
        }
    }
    faults
}

impl Reader {
    /// Checks the form; a fault marks it as damaged.
    pub(super) fn check(&mut self, form: &mut Form, row: &'static Head, partial: bool) {
        let sound = !form.damaged;
        let count = self.faults.len();
        self.doubled(&form.clauses);
        self.prepositions(form, sound);
        if sound && self.faults.len() == count {
            let partial = partial || changes(form) || form.patterned.is_some();
            self.faults.extend(lacks_subject(form, row, partial));
            if !partial && self.faults.len() == count {
                self.faults.extend(lacks_clauses(form, row));
            }
            let takes = |word: &str| {
                let of_kind = form.kind.and_then(|kind| kind.takes(word));
                row.takes(word).or(of_kind)
            };
            self.limits(&form.clauses, &takes, partial);
            for with in form.all("with") {
                let Some(kind) = kind_of(with, row) else {
                    continue;
                };
                self.faults.extend(lacks_options(with, kind));
                self.limits(&with.tails, &|word| kind.takes(word), false);
            }
        }
        form.damaged |= self.faults.len() > count;
    }

    /// Reports words that do not go together, words that say nothing by themselves, and edges that a
    /// word does not have.
    fn limits(&mut self, clauses: &[Clause], takes: Takes, partial: bool) {
        let count = self.faults.len();
        let against =
            |word: &str, other: &str| takes(word).is_some_and(|row| row.without.contains(&other));
        for (index, clause) in clauses.iter().enumerate() {
            let Some(row) = takes(clause.word) else {
                continue;
            };
            let earlier = clauses.iter().take(index).find(|earlier| {
                against(clause.word, earlier.word) || against(earlier.word, clause.word)
            });
            if let Some(earlier) = earlier {
                self.faults.push(fault::opposed(
                    earlier.word,
                    earlier.span,
                    clause.word,
                    clause.span,
                ));
            }
            if row.sides.is_empty() {
                continue;
            }
            let named = ["on", "from"]
                .into_iter()
                .filter_map(|tail| clause.tail(tail));
            let stray = named
                .flat_map(|tail| &tail.values)
                .find(|edge| edge.as_name().is_none_or(|edge| !row.sides.contains(&edge)));
            if let Some(stray) = stray {
                self.faults
                    .push(fault::no_such_side(clause.word, stray.span, row.sides));
            }
        }
        self.places(clauses, takes);
        if !partial && self.faults.len() == count {
            self.faults.extend(alone(clauses, takes));
        }
    }

    /// Reports two places on one axis: of a fitting across and up, of a part along its one.
    fn places(&mut self, clauses: &[Clause], takes: Takes) {
        let axis = |at: &Clause| {
            let from = at.tail("from").and_then(Clause::value);
            let across = from.and_then(Expr::as_name);
            matches!(across, Some("left" | "right" | "meeting"))
        };
        let mut found: Vec<&Clause> = Vec::new();
        if takes("at").is_some_and(|row| row.many) {
            return;
        }
        for at in clauses.iter().filter(|clause| clause.word == "at") {
            let both = takes("at").is_some_and(|row| row.sides.contains(&"left"));
            let first = found.iter().find(|first| !both || axis(first) == axis(at));
            // Two that are alike were told as any word that is said twice.
            if let Some(first) = first.filter(|first| !clash(first, at)) {
                self.faults
                    .push(fault::doubled(at.word, at.span, first.span));
            }
            found.push(at);
        }
    }

    /// Reports clauses of one word with the same tail.
    fn doubled(&mut self, clauses: &[Clause]) {
        for (index, clause) in clauses.iter().enumerate() {
            let earlier = clauses
                .iter()
                .take(index)
                .find(|earlier| clash(earlier, clause));
            if let Some(earlier) = earlier {
                self.faults
                    .push(fault::doubled(clause.word, clause.span, earlier.span));
            }
            self.doubled(&clause.tails);
        }
    }

    fn prepositions(&mut self, form: &Form, sound: bool) {
        if form.head.takes("into").is_none() || form.head.takes("with").is_none() {
            return;
        }
        let with = form.clause("with");
        let kind_name = with.and_then(Clause::value);
        let kind = kind_name.and_then(Expr::as_name).and_then(table::joint);
        let said: Vec<&Clause> = form
            .clauses
            .iter()
            .filter(|clause| matches!(clause.word, "into" | "to"))
            .collect();
        if let (Some(kind), Some(kind_name)) = (kind, kind_name) {
            let right = kind.preposition.map(|preposition| preposition.word());
            if let Some(wrong) = said.iter().find(|clause| Some(clause.word) != right) {
                self.faults.push(fault::preposition(
                    kind,
                    kind_name.span,
                    wrong.word,
                    wrong.word_span,
                ));
                return;
            }
        }
        if said.is_empty() && sound && with.is_some() && !form.names.is_empty() {
            self.faults.push(fault::no_second(kind, form.head_span));
        }
    }
}

/// Whether a line changes what stands elsewhere: a pattern, or the line of its array.
pub(super) fn changes(form: &Form) -> bool {
    form.has("like") || form.names.iter().any(|name| !name.index.is_empty())
}

fn lacks_subject(form: &Form, row: &'static Head, partial: bool) -> Option<Diagnostic> {
    let word = row.word;
    let names_must = row.names.must() || form.patterned.is_some();
    let lack = |what: &str, title: String| {
        Some(fault::no_subject(
            form.patterned.map_or(row, |_| form.head),
            form.head_span,
            what,
            title,
        ))
    };
    if names_must && form.names.is_empty() {
        return if row.declares {
            lack("a name", format!("`{word}` has no name"))
        } else {
            lack("a name", format!("`{word}` does not say of what"))
        };
    }
    if row.count == Need::Must && form.count.is_none() && !partial {
        return lack("how many", format!("`{word}` does not say how many"));
    }
    let wanted = row.values.iter().filter(|slot| !slot.optional).count();
    if form.values.len() < wanted && !partial {
        let slot = row
            .values
            .get(form.values.len())
            .map_or("value", |slot| slot.name);
        return lack(
            slot,
            format!("`{word}` does not say its {}", slot.replace('`', "")),
        );
    }
    if row.title == Need::Must && form.title.is_none() {
        return lack("words in quotes", format!("`{word}` has no words"));
    }
    None
}

fn lacks_clauses(form: &Form, row: &'static Head) -> Option<Diagnostic> {
    let kind = form.kind.map_or(&[] as &[Use], |kind| kind.clauses);
    let missing: Vec<&'static Use> = row
        .words()
        .chain(kind)
        .filter(|row| row.required && !form.has(row.word))
        // What may not stand beside another is not wanted where that stands.
        .filter(|row| !row.without.iter().any(|other| form.has(other)))
        .collect();
    (!missing.is_empty()).then(|| {
        fault::needs(
            row.word,
            form.kind.map_or(row.example, |kind| kind.example),
            form.head_span,
            &missing,
        )
    })
}

/// How a word stands where it is.
type Takes<'t> = &'t dyn Fn(&str) -> Option<&'static Use>;

/// A word that says something only beside another, which is not there.
fn alone(clauses: &[Clause], takes: Takes) -> Option<Diagnostic> {
    clauses.iter().find_map(|clause| {
        let beside = takes(clause.word)?.beside;
        let there = |word: &&str| clauses.iter().any(|other| other.word == *word);
        (!beside.is_empty() && !beside.iter().any(there))
            .then(|| fault::alone(clause.word, clause.span, beside))
    })
}

/// The kind of joint of a `with`, as its head knows it.
fn kind_of(with: &Clause, row: &'static Head) -> Option<&'static Kind> {
    let word = with.value()?.as_name()?;
    match row.takes("with").map(super::shape_of) {
        Some(Shape::JointOf(kinds)) => kinds.iter().find(|kind| kind.word == word),
        _ => table::joint(word),
    }
}

/// What the joint's kind must have.
fn lacks_options(with: &Clause, kind: &'static Kind) -> Option<Diagnostic> {
    let name = with.value()?;
    let missing: Vec<&'static Use> = kind
        .clauses
        .iter()
        .filter(|row| row.required && with.tail(row.word).is_none())
        .collect();
    (!missing.is_empty()).then(|| fault::needs(kind.word, kind.example, name.span, &missing))
}

/// Whether both say the same thing: one word, and the same tails or a common edge.
fn clash(first: &Clause, second: &Clause) -> bool {
    if first.word != second.word {
        return false;
    }
    match (first.tail("on"), second.tail("on")) {
        (Some(first), Some(second)) => {
            return first.values.iter().any(|edge| {
                second
                    .values
                    .iter()
                    .any(|other| edge.as_name() == other.as_name())
            });
        }
        (None, None) => {}
        _ => return false,
    }
    if table::word(first.word).is_some_and(|row| row.shape == Shape::Flag) {
        return true;
    }
    let words = |clause: &Clause| -> Vec<(&'static str, String)> {
        let place = |tail: &Clause| {
            tail.values
                .iter()
                .map(spelled)
                .collect::<Vec<_>>()
                .join(", ")
        };
        // Two bounds of one extent clash whatever they say; two places or prices may differ in theirs.
        let bounds = matches!(clause.word, "wide" | "high" | "deep" | "long");
        clause
            .tails
            .iter()
            .map(|tail| (tail.word, if bounds { String::new() } else { place(tail) }))
            .collect()
    };
    words(first) == words(second)
}

/// The expression in words, without its place: equal texts are equal places.
fn spelled(expr: &Expr) -> String {
    match &expr.kind {
        ExprKind::Name(name) => name.clone(),
        ExprKind::Member(of, member) => format!("{}.{}", spelled(of), member.text),
        ExprKind::Measure(quantity) => format!("{:?}", quantity),
        ExprKind::Number(number) => number.to_string(),
        // Anything computed is taken to be different from everything else.
        _ => format!("{}:{}", expr.span.start, expr.span.end),
    }
}
