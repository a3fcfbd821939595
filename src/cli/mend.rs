//! Applying the cures that are beyond doubt: which of them, in what order, and that the text is no worse
//! for it. The disk is only read here.

use crate::compile;
use crate::diag::{self, Diagnostic, Edit};
use crate::elaborate::{Options, Unreadable};
use crate::plan;
use crate::schema;
use crate::source::{Files, ReadFault, Source, Sources, Span};
use crate::syntax;
use std::collections::BTreeMap;

/// A cure hides behind another until that is applied: a line is reported once.
const ROUNDS: usize = 30;

/// A cure that was applied.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Change {
    /// The file, in the project.
    pub(super) path: String,
    /// The first line of the file that changes.
    pub(super) line: usize,
    /// What was wrong.
    pub(super) title: String,
    /// The lines as they were.
    pub(super) before: String,
    /// The lines as they are.
    pub(super) after: String,
}

/// A project with its cures applied.
#[derive(Debug, Default)]
pub(super) struct Mended {
    pub(super) changes: Vec<Change>,
    /// By file of the project: its text before and after.
    pub(super) texts: BTreeMap<String, (String, String)>,
}

/// Applies every cure of a file and of what it uses that is beyond doubt.
///
/// Nothing comes out changed if the whole has no fewer faults afterwards.
pub(super) fn mend(files: &dyn Files, name: &str, options: &Options) -> Result<Mended, Unreadable> {
    let mut overlay = Overlay {
        files,
        texts: BTreeMap::new(),
    };
    let mut changes = Vec::new();
    let first = look(&overlay, name, options)?;
    let told = first.errors;
    let mut round = first;
    for _ in 0..ROUNDS {
        let chosen = choose(&round.diagnostics, &round.sources);
        if chosen.is_empty() {
            break;
        }
        let count = changes.len();
        // All at once where that serves, one by one where it does not.
        if !attempt(&mut overlay, &round.sources, &chosen, &mut changes) {
            for one in &chosen {
                if attempt(&mut overlay, &round.sources, &[*one], &mut changes) {
                    break; // the places of the others have moved
                }
            }
        }
        if changes.len() == count {
            break;
        }
        round = look(&overlay, name, options)?;
    }
    let before: usize = overlay.texts.values().map(|(old, _)| faults(old)).sum();
    let after: usize = overlay.texts.values().map(|(_, new)| faults(new)).sum();
    let fewer_read = after < before;
    if fewer_read || (after == before && round.errors < told) {
        Ok(Mended {
            changes,
            texts: overlay.texts,
        })
    } else {
        Ok(Mended::default())
    }
}

/// How a project stands.
struct Look {
    sources: Sources,
    diagnostics: Vec<Diagnostic>,
    /// Errors and cautions.
    errors: usize,
}

fn look(files: &Overlay<'_>, name: &str, options: &Options) -> Result<Look, Unreadable> {
    let mut compiled = compile(files, name, options)?;
    if let Some(model) = compiled.model.as_ref().filter(|_| !compiled.has_errors()) {
        compiled.judge(plan::findings(model));
    }
    Ok(Look {
        sources: compiled.sources,
        errors: compiled.diagnostics.len(),
        diagnostics: compiled.diagnostics,
    })
}

/// Whether a file is one of the project: neither of the library nor given on the command line.
fn of_project(path: &str) -> bool {
    !path.contains(':') && !path.starts_with("--")
}

/// The cures beyond doubt that touch the project alone; of those that overlap, the first.
pub(super) fn choose<'d>(found: &'d [Diagnostic], sources: &Sources) -> Vec<&'d Diagnostic> {
    let mut taken: Vec<Span> = Vec::new();
    let mut chosen = Vec::new();
    for report in found {
        let Some(mend) = report.mend.as_ref().filter(|mend| mend.certain) else {
            continue;
        };
        let spans = || mend.edits.iter().map(|edit| edit.span);
        let meets = |span: Span| {
            let touches = |other: &Span| {
                other.file == span.file && other.start <= span.end && span.start <= other.end
            };
            taken.iter().any(touches)
        };
        let inside = |span: Span| of_project(&sources.get(span.file).path);
        if spans().next().is_some() && spans().all(|span| inside(span) && !meets(span)) {
            taken.extend(spans());
            chosen.push(report);
        }
    }
    chosen.sort_by_key(|report| (report.span().file, report.span().start));
    chosen
}

/// Applies these cures; takes them back if a file reads worse for it.
fn attempt(
    overlay: &mut Overlay<'_>,
    sources: &Sources,
    cures: &[&Diagnostic],
    changes: &mut Vec<Change>,
) -> bool {
    let mut edits: BTreeMap<&str, Vec<Edit>> = BTreeMap::new();
    let all = cures.iter().filter_map(|report| report.mend.as_ref());
    for edit in all.flat_map(|mend| &mend.edits) {
        let path = sources.get(edit.span.file).path.as_str();
        edits.entry(path).or_default().push(edit.clone());
    }
    let mut texts = Vec::new();
    for (path, edits) in edits {
        let Some((_, source)) = sources.iter().find(|(_, source)| source.path == path) else {
            return false;
        };
        let new = diag::apply(&source.text, &edits);
        if *new == *source.text || faults(&new) > faults(&source.text) {
            return false;
        }
        texts.push((path.to_owned(), source.text.to_string(), new));
    }
    for report in cures {
        changes.extend(change(report, sources));
    }
    for (path, old, new) in texts {
        let entry = overlay.texts.entry(path).or_insert((old, String::new()));
        entry.1 = new;
    }
    true
}

/// Mistakes in how a text is written, its lines taken one by one.
fn faults(text: &str) -> usize {
    let mut sources = Sources::default();
    let file = sources.add(Source::new("", text));
    let (tree, reports) = syntax::parse(&sources, file);
    let (_, lines) = schema::read(&tree.nodes, schema::Context::File);
    reports
        .iter()
        .chain(&lines)
        .filter(|r| r.is_error())
        .count()
}

/// A cure, as it is shown.
fn change(report: &Diagnostic, sources: &Sources) -> Option<Change> {
    let edits = &report.mend.as_ref()?.edits;
    let first = edits.iter().map(|edit| edit.span).min_by_key(|s| s.start)?;
    let last = edits.iter().map(|edit| edit.span.end).max()?;
    let source = sources.get(first.file);
    let text: &str = &source.text;
    let line_start = |at: usize| text.get(..at)?.rfind('\n').map(|newline| newline + 1);
    let start = line_start(first.start as usize).unwrap_or(0);
    let rest = text.get(last as usize..)?;
    let end = last as usize + rest.find('\n').unwrap_or(rest.len());
    let moved: Vec<Edit> = edits
        .iter()
        .map(|edit| {
            let moved = |at: u32| at.saturating_sub(start as u32);
            let span = Span {
                start: moved(edit.span.start),
                end: moved(edit.span.end),
                ..edit.span
            };
            Edit::new(span, edit.text.as_str())
        })
        .collect();
    let before = text.get(start..end)?;
    Some(Change {
        path: source.path.clone(),
        line: source.place(start as u32).0,
        title: report.title.clone(),
        before: before.to_owned(),
        after: diag::apply(before, &moved),
    })
}

/// The project, with some of its texts changed.
struct Overlay<'f> {
    files: &'f dyn Files,
    texts: BTreeMap<String, (String, String)>,
}

impl Files for Overlay<'_> {
    fn read(&self, path: &str) -> Result<String, ReadFault> {
        match self.texts.get(path) {
            Some((_, new)) => Ok(new.clone()),
            None => self.files.read(path),
        }
    }
}
