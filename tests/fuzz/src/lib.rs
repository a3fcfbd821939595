//! What holds for every text, however broken. The fuzz targets call these with texts that nobody wrote,
//! `tests/it/laws.rs` with those that are kept.

use casewright::diag::{self, Diagnostic, Style, render};
use casewright::source::{Files, ReadFault, Source, Sources, Span};
use casewright::syntax::tree::{Node, Tree};
use casewright::syntax::{self, Untidy};
use casewright::{plan, schema};

/// A text is read: every place that is named lies in it, every report can be shown in every way, and
/// its cures can be applied.
pub fn parse(text: &str) {
    let mut sources = Sources::default();
    let file = sources.add(Source::new("a.case", text));
    let (tree, mut reports) = syntax::parse(&sources, file);
    places(&tree, text);
    reports.extend(schema::read(&tree.nodes, schema::Context::File).1);
    shown(&reports, &sources);
}

/// A text that can be read is laid out, says the same, and laid out again stays as it is.
pub fn tidy(text: &str) {
    if let Some(once) = tidied(text) {
        assert_eq!(
            tidied(&once).as_deref(),
            Some(once.as_str()),
            "a second time is not the first"
        );
    }
}

fn tidied(text: &str) -> Option<String> {
    let mut sources = Sources::default();
    let file = sources.add(Source::new("a.case", text));
    match syntax::tidy(&sources, file) {
        Ok(text) => Some(text),
        Err(Untidy::Faults(reports)) => {
            assert!(reports.iter().any(Diagnostic::is_error));
            None
        }
        Err(Untidy::Changed) => panic!("the layout changes what is said"),
    }
}

/// A text is compiled and, if that gives a model, planned; every report can be shown.
pub fn check(text: &str) {
    let compiled = casewright::compile(&One(text), "a.case", &Default::default());
    let mut compiled = compiled.expect("the file is there");
    if let Some(model) = compiled.model.as_ref().filter(|_| !compiled.has_errors()) {
        let found = plan::findings(model);
        compiled.judge(found);
    }
    shown(&compiled.diagnostics, &compiled.sources);
}

struct One<'t>(&'t str);

impl Files for One<'_> {
    fn read(&self, path: &str) -> Result<String, ReadFault> {
        if path == "a.case" {
            Ok(self.0.to_owned())
        } else {
            Err(ReadFault::Missing)
        }
    }
}

fn shown(reports: &[Diagnostic], sources: &Sources) {
    for report in reports {
        let edits = report.mend.iter().flat_map(|mend| &mend.edits);
        let labels = report.labels.iter().map(|label| label.span);
        for span in labels.chain(edits.map(|edit| edit.span)) {
            within(span, &sources.get(span.file).text);
        }
        if let Some(mend) = &report.mend {
            let text = &sources.get(report.span().file).text;
            let mended = diag::apply(text, &mend.edits);
            assert!(
                !mend.certain || *mended != **text,
                "{}: a cure that changes nothing",
                report.code.name
            );
        }
    }
    for style in [
        Style::Json,
        Style::Plain,
        Style::Human {
            color: true,
            width: 80,
        },
    ] {
        render(reports, sources, style);
    }
}

fn within(span: Span, text: &str) {
    let (start, end) = (span.start as usize, span.end as usize);
    assert!(
        text.get(start..end).is_some(),
        "{start}..{end} is no place of {} bytes",
        text.len()
    );
}

/// Lines stand in their order, and each within its block.
fn places(tree: &Tree, text: &str) {
    fn nodes(list: &[Node], text: &str, mut from: u32, to: u32) {
        for node in list {
            let span = match node {
                Node::Line(line) => line.span,
                Node::If(branch) => branch.span,
                Node::Comment(span) | Node::Bad(span) => *span,
                Node::Blank => continue,
            };
            within(span, text);
            assert!(
                from <= span.start && span.end <= to,
                "{span:?} is not in {from}..{to}"
            );
            from = span.start;
            match node {
                Node::Line(line) => {
                    if let Some(block) = &line.block {
                        nodes(&block.nodes, text, block.span.start, block.span.end);
                    }
                }
                Node::If(branch) => {
                    let then = &branch.then;
                    nodes(&then.nodes, text, then.span.start, then.span.end);
                    if let Some(block) = &branch.otherwise {
                        nodes(&block.nodes, text, block.span.start, block.span.end);
                    }
                }
                _ => {}
            }
        }
    }
    nodes(&tree.nodes, text, 0, text.len() as u32);
}
