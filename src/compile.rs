//! The stages in order, from files to model and findings.

use crate::diag::{Code, Diagnostic, Label, code};
use crate::elaborate::{self, Options, Unreadable};
use crate::model::{Allowed, Finding, Model, Outcome, Piece, Sense, Value};
use crate::rules;
use crate::source::{Files, Sources, Span};
use indexmap::IndexMap;
use std::collections::BTreeSet;

/// What compiling gives.
#[derive(Debug)]
pub struct Compiled {
    /// The texts, for messages.
    pub sources: Sources,
    /// Errors and cautions, in the order in which they were found.
    pub diagnostics: Vec<Diagnostic>,
    /// The model; `None` if the text has errors. A rule may still have found one.
    pub model: Option<Model>,
    /// What the rules found, also where it holds.
    pub findings: Vec<Finding>,
}

impl Compiled {
    /// Whether something can't be built as written.
    pub fn has_errors(&self) -> bool {
        self.diagnostics.iter().any(Diagnostic::is_error)
    }

    /// Takes in what plans found: cautions become reports, unless the maker lives with them.
    pub fn judge(&mut self, found: Vec<Finding>) {
        let Some(model) = &self.model else { return };
        let mut used: BTreeSet<Span> = BTreeSet::new();
        for mut finding in found {
            let piece = finding.piece.and_then(|p| model.pieces.get(p as usize));
            let planned = PLANNED.iter().find(|(code, _)| code.name == finding.code);
            if let (Outcome::Caution, Some(piece), Some((code, help))) =
                (&finding.outcome, piece, planned)
            {
                let allowed = piece.allowed.iter().find(|allowed| {
                    let mut places = finding.spans.iter();
                    allowed.code == finding.code && places.any(|s| allowed.covers(*s))
                });
                if let Some(allowed) = allowed {
                    used.insert(allowed.origin.span);
                    finding.outcome = Outcome::Allowed(allowed.why.clone());
                } else {
                    let span = finding.spans.first().unwrap_or(&piece.origin.span);
                    let report = Diagnostic::new(code, code.title, *span, within(&finding, piece));
                    let report = report.note(&finding.subject).note(&finding.arithmetic);
                    self.diagnostics.push(report.help(*help));
                }
            }
            self.findings.push(finding);
        }
        let of_plans = |allowed: &&Allowed| PLANNED.iter().any(|(c, _)| c.name == allowed.code);
        let allowed = model.pieces.iter().flat_map(|piece| &piece.allowed);
        let unused = allowed
            .filter(of_plans)
            .filter(|a| !used.contains(&a.origin.span));
        self.diagnostics.extend(unused.map(rules::allows_nothing));
        self.diagnostics = once_each(std::mem::take(&mut self.diagnostics));
    }
}

/// What plans may warn of, and what can be done.
static PLANNED: [(&Code, &str); 3] = [
    (
        &code::SHOP_NO_CUTTER,
        "list a `cutter` that makes it, or change the joint",
    ),
    (
        &code::ORDER_OPEN_TIME,
        "a glue with a longer `open` time, or joints that can be closed in two goes",
    ),
    (
        &code::ORDER_CLAMPS,
        "list the clamps that the shop has with `clamp`, or borrow what is missing",
    ),
];

/// A figure against its limit, in few words.
fn within(finding: &Finding, piece: &Piece) -> String {
    let text = |value: &Value| match value {
        Value::Length(length) => piece.units.text(*length),
        Value::Number(n, unit) => format!("{n} {unit}").trim_end().to_owned(),
    };
    let sense = match finding.sense {
        Sense::AtMost => "at most",
        Sense::AtLeast => "at least",
    };
    let (figure, limit) = (text(&finding.figure), text(&finding.limit));
    format!("{figure}, where it should be {sense} {limit}")
}

/// Compiles a file of a project and all that it uses: read, elaborate, check by the rules.
///
/// ```
/// use casewright::source::{Files, ReadFault};
///
/// struct One(&'static str);
/// impl Files for One {
///     fn read(&self, _: &str) -> Result<String, ReadFault> {
///         Ok(self.0.to_owned())
///     }
/// }
///
/// let text = "
/// stock ply12 sheet {
///     thick 12mm
///     sold long 2440mm wide 1220mm
/// }
/// piece tray \"Tray\" {
///     case body {
///         size wide 400mm high 100mm deep 300mm
///         side   left, right of ply12
///         bottom floor of ply12 at 10mm
///         join floor into left, right with dado deep 4mm
///     }
/// }
/// ";
/// let compiled = casewright::compile(&One(text), "tray.case", &Default::default())?;
/// let model = compiled.model.expect("it can be built");
/// // Between the sides 400 - 2 x 12, and 4 into each: 384.
/// let floor = model.pieces[0].parts.iter().find(|p| p.path == "body.floor").unwrap();
/// assert_eq!(floor.size.length, casewright::measure::Length::mm(384));
/// # Ok::<(), casewright::elaborate::Unreadable>(())
/// ```
///
/// # Errors
/// When the first file can't be read; every other mistake is a diagnostic.
pub fn compile(files: &dyn Files, entry: &str, options: &Options) -> Result<Compiled, Unreadable> {
    let elaborate::Outcome {
        sources,
        mut diagnostics,
        model,
    } = elaborate::elaborate(files, entry, options)?;
    let mut findings = Vec::new();
    if let Some(model) = &model {
        let checked = rules::check(model);
        findings = checked.findings;
        diagnostics.extend(checked.diagnostics);
    }
    Ok(Compiled {
        sources,
        diagnostics: once_each(diagnostics),
        model,
        findings,
    })
}

/// How many other places of the same mistake are pointed at; more are counted.
const SHOWN: usize = 3;

/// One mistake, one report: a line that makes many alike (an array of drawers, several copies) is
/// reported once, with how many more there are; a name that is unknown in many places, and a circle,
/// once with these places.
fn once_each(found: Vec<Diagnostic>) -> Vec<Diagnostic> {
    type Key<'a> = (&'a str, Span, Option<Span>);
    let mut out: IndexMap<Key<'_>, (Diagnostic, usize)> = IndexMap::new();
    let mut places: IndexMap<String, (Key<'_>, Vec<Span>)> = IndexMap::new();
    for diagnostic in found {
        // A condition of a piece that is made in several ways is told of each.
        let conditions = [&code::REQUIRE_FAILS, &code::EXPECT_FAILS];
        let made = conditions.contains(&diagnostic.code);
        let made = diagnostic.labels.last().filter(|_| made);
        let key = (
            diagnostic.code.name,
            diagnostic.span(),
            made.map(|label| label.span),
        );
        if let Some((_, more)) = out.get_mut(&key) {
            *more += 1;
            continue;
        }
        let told_once = [&code::NAME_UNKNOWN, &code::VALUE_CYCLE];
        if told_once.contains(&diagnostic.code) {
            if let Some((_, others)) = places.get_mut(&diagnostic.title) {
                others.push(diagnostic.span());
                continue;
            }
            let place = (key, Vec::new());
            places.insert(diagnostic.title.clone(), place);
        }
        out.insert(key, (diagnostic, 0));
    }
    for (first, others) in places.into_values() {
        if let Some((report, _)) = out.get_mut(&first) {
            for other in others.iter().take(SHOWN) {
                report.labels.push(Label {
                    span: *other,
                    text: "here too".into(),
                });
            }
            if let Some(more) = others.len().checked_sub(SHOWN).filter(|n| *n > 0) {
                report.notes.push(format!("and in {more} more places"));
            }
        }
    }
    let tell = |(diagnostic, more): (Diagnostic, usize)| match more {
        0 => diagnostic,
        1 => diagnostic.note("the same in one more place that this line makes"),
        n => diagnostic.note(format!("the same in {n} more places that this line makes")),
    };
    out.into_values().map(tell).collect()
}
