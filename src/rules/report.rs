//! Where rules put what they find. It applies `allow`, merges what is one mistake, and keeps of
//! the many that hold only what a reader of the book wants to see.

use super::words;
use crate::diag::{Code, Diagnostic, Severity, code};
use crate::measure::Length;
use crate::model::{Allowed, AssemblyId, Finding, Model, Outcome, PartId, Sense, Value};
use crate::source::Span;
use indexmap::IndexSet;
use std::collections::{BTreeMap, BTreeSet};

/// What came of checking.
#[derive(Clone, Debug)]
pub struct Checked {
    /// Every check with its figure and limit, piece by piece, rule by rule.
    pub findings: Vec<Finding>,
    /// What does not hold and was not allowed.
    pub diagnostics: Vec<Diagnostic>,
}

/// A figure held against its limit.
#[derive(Clone, Debug)]
pub struct Measured {
    /// The code of a failure.
    pub code: &'static Code,
    /// What was looked at, in print.
    pub subject: String,
    /// The figure.
    pub figure: Value,
    /// Its limit.
    pub limit: Value,
    /// Which way.
    pub sense: Sense,
    /// How the figure comes about.
    pub arithmetic: String,
    /// Where the limit comes from.
    pub source: String,
    /// The lines concerned.
    pub spans: Vec<Span>,
    /// What it is found of, where it may be allowed.
    pub assembly: Option<AssemblyId>,
    /// Whether it is one of many of its kind: of those that hold only the tightest is kept.
    pub one_of_many: bool,
}

impl Measured {
    /// A length that must not exceed another.
    pub fn at_most(
        code: &'static Code,
        subject: String,
        figure: Length,
        limit: Length,
    ) -> Measured {
        Measured::lengths(code, subject, figure, limit, Sense::AtMost)
    }

    /// A length that must reach another.
    pub fn at_least(
        code: &'static Code,
        subject: String,
        figure: Length,
        limit: Length,
    ) -> Measured {
        Measured::lengths(code, subject, figure, limit, Sense::AtLeast)
    }

    fn lengths(
        code: &'static Code,
        subject: String,
        figure: Length,
        limit: Length,
        sense: Sense,
    ) -> Measured {
        Measured {
            code,
            subject,
            figure: Value::Length(figure),
            limit: Value::Length(limit),
            sense,
            arithmetic: String::new(),
            source: String::new(),
            spans: Vec::new(),
            assembly: None,
            one_of_many: false,
        }
    }

    /// A number of faults, of which there may be none.
    pub fn none_of(code: &'static Code, subject: String, count: usize) -> Measured {
        Measured {
            figure: Value::Number(count as f64, String::new()),
            limit: Value::Number(0.0, String::new()),
            ..Measured::at_most(code, subject, Length::ZERO, Length::ZERO)
        }
    }

    /// How the figure comes about.
    #[must_use]
    pub fn by(mut self, arithmetic: impl Into<String>) -> Measured {
        self.arithmetic = arithmetic.into();
        self
    }

    /// Where the limit comes from.
    #[must_use]
    pub fn from(mut self, source: impl Into<String>) -> Measured {
        self.source = source.into();
        self
    }

    /// The lines concerned, the main one first.
    #[must_use]
    pub fn lines(mut self, spans: impl IntoIterator<Item = Span>) -> Measured {
        self.spans.extend(spans);
        self
    }

    /// Says what it is found of: another thing of the same pattern may have its own `allow`.
    #[must_use]
    pub fn of(mut self, assembly: AssemblyId) -> Measured {
        self.assembly = Some(assembly);
        self
    }

    /// Marks it as one of many.
    #[must_use]
    pub fn of_many(mut self) -> Measured {
        self.one_of_many = true;
        self
    }

    /// Whether the figure keeps to the limit.
    pub fn holds(&self) -> bool {
        match (&self.figure, &self.limit, self.sense) {
            (Value::Length(figure), Value::Length(limit), Sense::AtMost) => figure <= limit,
            (Value::Length(figure), Value::Length(limit), Sense::AtLeast) => figure >= limit,
            (Value::Number(figure, _), Value::Number(limit, _), Sense::AtMost) => figure <= limit,
            (Value::Number(figure, _), Value::Number(limit, _), Sense::AtLeast) => figure >= limit,
            // A rule compares like with like.
            (Value::Length(_), Value::Number(..), _) | (Value::Number(..), Value::Length(_), _) => {
                false
            }
        }
    }
}

/// A message with its place in the order of finding.
struct Said {
    diagnostic: Diagnostic,
    /// Of whom it is said.
    subjects: IndexSet<String>,
}

/// Collects findings and messages of all pieces.
pub struct Report<'m> {
    model: &'m Model,
    piece: u32,
    findings: Vec<Finding>,
    /// Where in `findings` the tightest of many stands, with how many there were.
    many: BTreeMap<(u32, &'static str), (usize, usize)>,
    said: Vec<Said>,
    /// Where in `said` a message about this code and place stands.
    places: BTreeMap<(&'static str, Span), usize>,
    /// Pairs of parts of the present piece whose clash has been told.
    told: BTreeSet<(PartId, PartId)>,
    /// `allow` lines that something was allowed by: piece and index.
    used: BTreeSet<(usize, usize)>,
}

impl<'m> Report<'m> {
    /// An empty report.
    pub fn new(model: &'m Model) -> Report<'m> {
        Report {
            model,
            piece: 0,
            findings: Vec::new(),
            many: BTreeMap::new(),
            said: Vec::new(),
            places: BTreeMap::new(),
            told: BTreeSet::new(),
            used: BTreeSet::new(),
        }
    }

    /// Says which piece the next findings are of.
    pub fn enter(&mut self, piece: u32) {
        self.piece = piece;
        self.told.clear();
    }

    /// Notes that the clash of two parts has been told.
    pub fn tell(&mut self, a: PartId, b: PartId) {
        self.told.insert((a.min(b), a.max(b)));
    }

    /// Whether the clash of two parts has been told.
    pub fn is_told(&self, a: PartId, b: PartId) -> bool {
        self.told.contains(&(a.min(b), a.max(b)))
    }

    /// Holds a figure against its limit; `wording` is asked only if it fails.
    pub fn judge(&mut self, measured: Measured, wording: impl FnOnce() -> Diagnostic) {
        if measured.holds() {
            self.holds(measured);
        } else {
            self.fails(measured, wording());
        }
    }

    /// Notes what does not hold, as its rule has found.
    pub fn fails(&mut self, measured: Measured, diagnostic: Diagnostic) {
        let outcome = match measured.code.severity {
            Severity::Error => Outcome::Error,
            Severity::Caution => match self.allowing(&measured, &diagnostic) {
                Some(why) => Outcome::Allowed(why),
                None => Outcome::Caution,
            },
        };
        let allowed = matches!(outcome, Outcome::Allowed(_));
        let subject = measured.subject.clone();
        let finding = self.finding(measured, outcome);
        if !self
            .findings
            .iter()
            .rev()
            .take(64)
            .any(|f| same(f, &finding))
        {
            self.findings.push(finding);
        }
        if !allowed {
            self.say(diagnostic, subject);
        }
    }

    fn say(&mut self, diagnostic: Diagnostic, subject: String) {
        let key = (diagnostic.code.name, diagnostic.span());
        match self.places.get(&key).and_then(|i| self.said.get_mut(*i)) {
            Some(said) => {
                said.subjects.insert(subject);
            }
            None => {
                self.places.insert(key, self.said.len());
                self.said.push(Said {
                    diagnostic,
                    subjects: IndexSet::from([subject]),
                });
            }
        }
    }

    /// Notes what holds, as its rule has found.
    pub fn holds(&mut self, measured: Measured) {
        let (many, name) = (measured.one_of_many, measured.code.name);
        let finding = self.finding(measured, Outcome::Holds);
        if !many {
            if !self
                .findings
                .iter()
                .rev()
                .take(64)
                .any(|f| same(f, &finding))
            {
                self.findings.push(finding);
            }
            return;
        }
        let next = self.findings.len();
        let (at, count) = self.many.entry((self.piece, name)).or_insert((next, 0));
        *count += 1;
        match self.findings.get_mut(*at) {
            Some(kept) if tighter(&finding, kept) => *kept = finding,
            Some(_) => {}
            None => self.findings.push(finding),
        }
    }

    fn finding(&self, measured: Measured, outcome: Outcome) -> Finding {
        Finding {
            code: measured.code.name.to_string(),
            subject: measured.subject,
            piece: Some(self.piece),
            figure: measured.figure,
            limit: measured.limit,
            sense: measured.sense,
            outcome,
            arithmetic: measured.arithmetic,
            source: measured.source,
            spans: measured.spans,
        }
    }

    /// The reason of an `allow` line that covers one of the places of a caution.
    fn allowing(&mut self, measured: &Measured, diagnostic: &Diagnostic) -> Option<String> {
        let places: Vec<Span> = diagnostic
            .labels
            .iter()
            .map(|label| label.span)
            .chain(measured.spans.iter().copied())
            .collect();
        let piece = self.piece as usize;
        let lines = &self.model.pieces.get(piece)?.allowed;
        let covers = |allowed: &Allowed| {
            let here = measured.assembly.is_none_or(|of| allowed.concerns(of));
            allowed.code == measured.code.name
                && here
                && places.iter().any(|place| allowed.covers(*place))
        };
        // The innermost line speaks, but no other that covers it is unused for that.
        let mut reason: Option<&Allowed> = None;
        for (i, allowed) in lines.iter().enumerate().filter(|(_, a)| covers(a)) {
            self.used.insert((piece, i));
            if reason.is_none_or(|r| r.holds(allowed)) {
                reason = Some(allowed);
            }
        }
        reason.map(|allowed| allowed.why.clone())
    }

    /// Everything, with `allow.unused` for lines about rules that ran and found nothing there.
    pub fn finish(mut self, ran: &[&'static Code]) -> Checked {
        for (p, piece) in self.model.pieces.iter().enumerate() {
            for (i, allowed) in piece.allowed.iter().enumerate() {
                let known = ran.iter().any(|code| code.name == allowed.code);
                if known && !self.used.contains(&(p, i)) {
                    self.say(allows_nothing(allowed), allowed.code.clone());
                }
            }
        }
        for (at, count) in self.many.values() {
            if let Some(kept) = self.findings.get_mut(*at).filter(|_| *count > 1) {
                let sep = if kept.arithmetic.is_empty() { "" } else { "; " };
                kept.arithmetic += &format!("{sep}the tightest of {count}");
            }
        }
        let diagnostics = self.said.into_iter().map(Said::into_diagnostic).collect();
        Checked {
            findings: self.findings,
            diagnostics: without_consequences(diagnostics),
        }
    }
}

/// Leaves out what follows from another fault: two cuts that meet because one of them goes through
/// the part, and what would show of a piece that can't be cut as it is.
fn without_consequences(mut found: Vec<Diagnostic>) -> Vec<Diagnostic> {
    let spans_of = |code: &'static Code, found: &[Diagnostic]| -> Vec<Span> {
        found
            .iter()
            .filter(|d| d.code == code)
            .map(Diagnostic::span)
            .collect()
    };
    let through = spans_of(&code::CUT_TOO_DEEP, &found);
    found.retain(|d| {
        let meets = [
            &code::CUT_CUTS_MEET,
            &code::CUT_HOUSINGS_MEET,
            &code::CUT_MORTISES_MEET,
        ]
        .contains(&d.code);
        let follows = meets && d.labels.iter().any(|label| through.contains(&label.span));
        let early = !through.is_empty() && d.code.name.starts_with("show.");
        !follows && !early
    });
    found
}

impl Said {
    fn into_diagnostic(self) -> Diagnostic {
        let others: Vec<&String> = self.subjects.iter().skip(1).collect();
        if others.is_empty() {
            return self.diagnostic;
        }
        let mut names = others
            .iter()
            .take(4)
            .map(|name| name.as_str())
            .collect::<Vec<_>>()
            .join("; ");
        if others.len() > 4 {
            names += &format!("; and {} more", others.len() - 4);
        }
        self.diagnostic.note(format!("the same of: {names}"))
    }
}

/// The caution about an `allow` line that was not needed.
pub fn allows_nothing(allowed: &Allowed) -> Diagnostic {
    Diagnostic::new(
        &code::ALLOW_UNUSED,
        format!("`allow {}` allows nothing", allowed.code),
        allowed.origin.span,
        "no such caution here",
    )
    .help("take the line out, or move it into the block of the thing concerned")
}

fn same(a: &Finding, b: &Finding) -> bool {
    a.code == b.code
        && a.piece == b.piece
        && a.subject == b.subject
        && a.figure == b.figure
        && a.limit == b.limit
        && a.outcome == b.outcome
}

/// Whether `a` has less room to its limit than `b`.
fn tighter(a: &Finding, b: &Finding) -> bool {
    let room = |f: &Finding| match (&f.figure, &f.limit, f.sense) {
        (Value::Length(figure), Value::Length(limit), Sense::AtMost) => Some(*limit - *figure),
        (Value::Length(figure), Value::Length(limit), Sense::AtLeast) => Some(*figure - *limit),
        _ => None,
    };
    match (room(a), room(b)) {
        (Some(a), Some(b)) => a < b,
        _ => false,
    }
}

/// A length as a maker writes it, for a `help` that is left out where nothing sensible remains.
pub fn help_with(
    diagnostic: Diagnostic,
    text: Option<String>,
    wording: impl FnOnce(String) -> String,
) -> Diagnostic {
    match text {
        Some(text) => diagnostic.help(wording(text)),
        None => diagnostic,
    }
}

/// See [`words::written_down`].
pub fn down(view: &super::view::View, length: Length) -> Option<String> {
    words::written_down(view.units(), length)
}

/// See [`words::written_up`].
pub fn up(view: &super::view::View, length: Length) -> Option<String> {
    words::written_up(view.units(), length)
}
