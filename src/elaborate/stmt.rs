//! Statements: checked lines with the scope that their expressions belong to. What is conditional is
//! decided, what is repeated is written out.

use super::env::Env;
use super::unfold::{bind_lets, has_lets, unfold};
use super::value::Lookup;
use crate::diag::{Diagnostic, code};
use crate::schema::{Clause, Form, Head, NameUse};
use crate::source::Span;
use crate::syntax::tree::{Doc, Expr};
use std::collections::BTreeMap;
use std::rc::Rc;

/// A checked line whose clauses know their scope.
#[derive(Clone, Debug)]
pub struct Stmt {
    /// Its row of the table.
    pub head: &'static Head,
    /// The head's word.
    pub head_span: Span,
    /// Its names.
    pub names: Vec<NameUse>,
    /// Its title.
    pub title: Option<(String, Span)>,
    /// How many.
    pub count: Option<Expr>,
    /// Leading values.
    pub values: Vec<Expr>,
    /// Its clauses, each with its scope.
    pub clauses: Vec<Scoped<Clause>>,
    /// Its lines.
    pub lines: Vec<Stmt>,
    /// After `=`.
    pub set: Option<Expr>,
    /// Its description.
    pub docs: Vec<Doc>,
    /// The whole line.
    pub span: Span,
    /// Whether it was damaged.
    pub damaged: bool,
    /// The scope of its names, count and values.
    pub env: Rc<Env>,
    /// The pattern or thing that it is like.
    pub pattern: Option<String>,
    /// Which turn of the repetitions around it this is: what it declares takes this index.
    pub index: Vec<u32>,
    /// What branches that do not hold, and repetitions without a turn, would declare in it.
    pub omitted: Vec<String>,
    /// Whether some of it stands in a branch, so that it was not seen whole before.
    pub branched: bool,
    /// How many blocks lie under the one that it was written in: what is `like` something stands over it.
    pub layer: u32,
    /// Of a pattern: the line as written, to be made anew with each set of arguments.
    pub recipe: Option<Rc<Form>>,
}

/// A thing with the scope of its expressions.
#[derive(Clone, Debug)]
pub struct Scoped<T> {
    /// The thing.
    pub of: T,
    /// The scope.
    pub env: Rc<Env>,
}

impl Stmt {
    /// A statement of a form in a scope. What a `let` in its block names is known in all of it.
    pub fn new(cx: &mut dyn Lookup, form: &Form, env: &Rc<Env>) -> Stmt {
        let mut env = env.clone();
        if has_lets(&form.lines) {
            env = Env::within(&env);
            bind_lets(&env, &form.lines);
        }
        let recipe = form.patterned.map(|_| Rc::new(form.clone()));
        // A pattern within a piece is made when something is like it.
        let block = match form.patterned {
            Some(_) => super::unfold::Unfolded::default(),
            None => unfold(cx, &form.lines, &env, &[]),
        };
        let own = form.clauses.iter().map(|clause| Scoped {
            of: clause.clone(),
            env: env.clone(),
        });
        let out = Stmt {
            head: form.head,
            head_span: form.head_span,
            names: form.names.clone(),
            title: form.title.clone(),
            count: form.count.clone(),
            values: form.values.clone(),
            clauses: own.chain(block.clauses).collect(),
            lines: block.lines,
            omitted: block.omitted,
            set: form.set.clone(),
            docs: form.docs.clone(),
            span: form.span,
            damaged: form.damaged || block.damaged,
            env,
            pattern: None,
            index: Vec::new(),
            branched: form.lines.iter().any(crate::schema::Entry::states),
            layer: 0,
            recipe,
        };
        out.once(cx);
        out
    }

    /// The thing that a pattern is the pattern of, in a scope with its arguments.
    pub fn of_pattern(cx: &mut dyn Lookup, pattern: &Form, env: &Rc<Env>) -> Stmt {
        let thing = Form {
            head: pattern.patterned.unwrap_or(pattern.head),
            patterned: None,
            ..pattern.clone()
        };
        let mut out = Stmt::new(cx, &thing, env);
        out.lines.retain(|line| line.word() != "param");
        out
    }

    /// Reports lines that stand once in their block, and that branches or turns bring again.
    fn once(&self, cx: &mut dyn Lookup) {
        let mut seen: BTreeMap<&str, &Stmt> = BTreeMap::new();
        for line in self.lines.iter().filter(|line| line.head.once) {
            let first = *seen.entry(line.word()).or_insert(line);
            if !std::ptr::eq(first, line) {
                let report = Diagnostic::new(
                    &code::LINE_DOUBLED,
                    format!("`{}` is stated twice", line.word()),
                    line.head_span,
                    "said again",
                );
                let report = match first.span == line.span {
                    true => report.help("it stands once in its block: take it out of the `repeat`"),
                    false => report
                        .at(first.head_span, "said before")
                        .help("keep one of them, or put the first in the other branch"),
                };
                cx.report(report);
                return;
            }
        }
    }

    /// Its words again as the schema knows them, without its lines, to ask what it lacks.
    pub fn to_form(&self) -> Form {
        Form {
            head: self.head,
            head_span: self.head_span,
            patterned: None,
            kind: None,
            names: self.names.clone(),
            title: self.title.clone(),
            count: self.count.clone(),
            values: self.values.clone(),
            clauses: self.clauses.iter().map(|c| c.of.clone()).collect(),
            lines: Vec::new(),
            set: self.set.clone(),
            docs: self.docs.clone(),
            span: self.span,
            damaged: self.damaged,
        }
    }

    /// Its head's word.
    pub fn word(&self) -> &'static str {
        self.head.word
    }

    /// Its first name, or its head's word where it has none.
    pub fn name(&self) -> &str {
        self.names
            .first()
            .map_or(self.head.word, |n| n.text.as_str())
    }

    /// Where its name stands.
    pub fn name_span(&self) -> Span {
        self.names.first().map_or(self.head_span, |n| n.span)
    }

    /// The last clause of a word.
    pub fn clause(&self, word: &str) -> Option<&Scoped<Clause>> {
        self.clauses.iter().rev().find(|c| c.of.word == word)
    }

    /// All clauses of a word.
    pub fn all<'a>(&'a self, word: &'a str) -> impl Iterator<Item = &'a Scoped<Clause>> {
        self.clauses.iter().filter(move |c| c.of.word == word)
    }

    /// Whether the clause is there.
    pub fn has(&self, word: &str) -> bool {
        self.clause(word).is_some()
    }

    /// Where its name stands, and the index that it takes.
    pub fn named(&self) -> (Span, &[u32]) {
        (self.name_span(), &self.index)
    }

    /// Whether it, or what stands in its order, declares a name only where a branch does not hold or a
    /// repetition has no turn.
    pub fn omits(&self, name: &str) -> bool {
        let mut ordered = self.lines.iter();
        self.omitted.iter().any(|omitted| omitted == name)
            || ordered.any(|line| matches!(line.word(), "divide" | "openings") && line.omits(name))
    }

    /// Whether its block is replaced as a whole, not line by line: in it order is place.
    pub fn is_whole(&self) -> bool {
        matches!(self.word(), "divide" | "run" | "assemble")
    }

    /// Whether a line in it, or in what stands in its order, bears a name.
    pub fn bears(&self, name: &str) -> bool {
        self.lines.iter().any(|line| {
            let own = line.head.declares && line.names.iter().any(|n| n.text == name);
            own || (line.word() == "openings" && line.bears(name))
        })
    }

    /// Its lines with this head.
    pub fn forms<'a>(&'a self, word: &'a str) -> impl Iterator<Item = &'a Stmt> {
        self.lines.iter().filter(move |s| s.head.word == word)
    }

    /// Every line that it is made of, those of a pattern among them; none lies in another.
    pub fn places(&self) -> Vec<Span> {
        let mut places = vec![self.span];
        self.add_places(&mut places);
        places
    }

    fn add_places(&self, places: &mut Vec<Span>) {
        let clauses = self.clauses.iter().map(|clause| clause.of.span);
        for place in clauses.chain(self.lines.iter().map(|line| line.span)) {
            if !places.iter().any(|known| known.holds(place)) {
                places.push(place);
            }
        }
        for line in &self.lines {
            line.add_places(places);
        }
    }

    /// What messages may point at: the line and each of its clauses.
    pub fn origin(&self) -> crate::model::Origin {
        let mut origin = crate::model::Origin::line(self.name_span());
        for clause in &self.clauses {
            origin
                .clauses
                .push((clause.of.word.to_owned(), clause.of.span));
        }
        origin.clauses.push(("line".into(), self.span));
        origin
    }
}
