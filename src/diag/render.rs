//! Diagnostics as text: boxes and arrows for a terminal, plain lines, or JSON.
//!
//! The only file that knows of the library that draws the boxes. It decides no wording.

use super::{Diagnostic, Label, Severity};
use crate::source::{FileId, Source, Sources, Span};
use miette::{
    GraphicalReportHandler, GraphicalTheme, LabeledSpan, MietteError, MietteSpanContents,
    SourceCode, SourceSpan, SpanContents, ThemeStyles,
};
use serde::Serialize;
use std::borrow::Cow;
use std::fmt;

/// How reports are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Style {
    /// The source lines with arrows, for a terminal.
    Human {
        /// Whether to colour it with terminal codes.
        color: bool,
        /// Columns of the terminal.
        width: usize,
    },
    /// One line a report, its details indented below: for screen readers and searching.
    Plain,
    /// An array of objects, for programs.
    Json,
}

/// Writes reports: errors before cautions, each by file and place.
pub fn render(diags: &[Diagnostic], sources: &Sources, style: Style) -> String {
    let mut order: Vec<&Diagnostic> = diags.iter().collect();
    order.sort_by_key(|diag| (!diag.is_error(), diag.span().file, diag.span().start));
    match style {
        Style::Human { color, width } => human(&order, sources, color, width),
        Style::Plain => order.iter().map(|diag| plain(diag, sources)).collect(),
        Style::Json => json(&order, sources),
    }
}

fn severity(diag: &Diagnostic) -> &'static str {
    match diag.code.severity {
        Severity::Error => "error",
        Severity::Caution => "caution",
    }
}

/// Replaces what could steer the terminal by a sign that cannot, of the same length in bytes.
pub fn safe(text: &str) -> Cow<'_, str> {
    let harmful = |c: char| {
        (c.is_control() && !matches!(c, '\n' | '\t'))
            || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
    };
    if !text.contains(harmful) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len());
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        match c {
            '\r' if chars.peek() == Some(&'\n') => out.push(c),
            c if !harmful(c) => out.push(c),
            c if c.len_utf8() == 3 => out.push('\u{fffd}'),
            c => out.extend(std::iter::repeat_n('?', c.len_utf8())),
        }
    }
    Cow::Owned(out)
}

fn plain(diag: &Diagnostic, sources: &Sources) -> String {
    let mut lines = vec![format!(
        "{}: {}[{}]: {}",
        sources.place(diag.span()),
        severity(diag),
        diag.code.name,
        diag.title
    )];
    for label in diag.labels.iter().filter(|label| !label.text.is_empty()) {
        lines.push(format!(
            "    at {}: {}",
            sources.place(label.span),
            label.text
        ));
    }
    lines.extend(diag.notes.iter().map(|note| format!("    note: {note}")));
    lines.extend(diag.help.iter().map(|help| format!("    help: {help}")));
    let text: String = lines
        .iter()
        .flat_map(|line| [line.as_str(), "\n"])
        .collect();
    safe(&text).into_owned()
}

#[derive(Serialize)]
struct JsonReport<'a> {
    code: &'a str,
    severity: &'a str,
    title: &'a str,
    labels: Vec<JsonLabel<'a>>,
    notes: &'a [String],
    help: &'a [String],
    /// The cure as changes of the text.
    #[serde(skip_serializing_if = "Option::is_none")]
    mend: Option<JsonMend<'a>>,
}

#[derive(Serialize)]
struct JsonMend<'a> {
    /// Whether it may be done without asking.
    certain: bool,
    edits: Vec<JsonLabel<'a>>,
}

/// Lines and columns count from 1, columns in characters; `start` and `end` are bytes. Of an edit, `text`
/// is what stands there afterwards.
#[derive(Serialize)]
struct JsonLabel<'a> {
    file: &'a str,
    line: usize,
    column: usize,
    end_line: usize,
    end_column: usize,
    start: u32,
    end: u32,
    text: &'a str,
}

fn json(diags: &[&Diagnostic], sources: &Sources) -> String {
    let reports: Vec<JsonReport<'_>> = diags
        .iter()
        .map(|diag| JsonReport {
            code: diag.code.name,
            severity: severity(diag),
            title: &diag.title,
            labels: diag
                .labels
                .iter()
                .map(|label| json_place(label.span, &label.text, sources))
                .collect(),
            notes: &diag.notes,
            help: &diag.help,
            mend: diag.mend.as_ref().map(|mend| JsonMend {
                certain: mend.certain,
                edits: mend
                    .edits
                    .iter()
                    .map(|edit| json_place(edit.span, &edit.text, sources))
                    .collect(),
            }),
        })
        .collect();
    let mut text =
        serde_json::to_string_pretty(&reports).expect("strings and numbers always make JSON");
    text.push('\n');
    text
}

fn json_place<'a>(span: Span, text: &'a str, sources: &'a Sources) -> JsonLabel<'a> {
    let source = sources.get(span.file);
    let (line, column) = source.place(span.start);
    let (end_line, end_column) = source.place(span.end);
    JsonLabel {
        file: &source.path,
        line,
        column,
        end_line,
        end_column,
        start: span.start,
        end: span.end,
        text,
    }
}

fn human(diags: &[&Diagnostic], sources: &Sources, color: bool, width: usize) -> String {
    let width = width.max(40);
    let mut theme = GraphicalTheme::unicode_nocolor();
    if color {
        theme.styles = ThemeStyles::ansi();
    }
    let handler = GraphicalReportHandler::new_themed(theme)
        .with_links(false)
        .with_context_lines(0)
        .without_syntax_highlighting()
        .with_width(width);
    let paint = |codes: &str, text: &str| {
        if color {
            format!("\u{1b}[{codes}m{text}\u{1b}[0m")
        } else {
            text.to_string()
        }
    };
    let mut excerpts: Vec<(FileId, Excerpt<'_>)> = Vec::new();
    let mut out = String::new();
    for (i, diag) in diags.iter().enumerate() {
        if i > 0 {
            out.push('\n');
        }
        let codes = if diag.is_error() { "1;31" } else { "1;33" };
        let kind = paint(codes, &format!("{}[{}]", severity(diag), diag.code.name));
        out.push_str(&format!("{kind}: {}\n", safe(&diag.title)));
        for labels in groups(diag, sources) {
            let Some(file) = labels.first().map(|label| label.span.file) else {
                continue;
            };
            if !excerpts.iter().any(|(known, _)| *known == file) {
                excerpts.push((file, Excerpt::new(sources.get(file))));
            }
            if let Some((_, excerpt)) = excerpts.iter().find(|(known, _)| *known == file) {
                out.push_str(&boxes(&handler, &labels, excerpt));
            }
        }
        for note in &diag.notes {
            out.push_str(&wrapped("  ", "  ", note, width));
        }
        for help in &diag.help {
            out.push_str(&wrapped(&paint("36", "  help: "), "        ", help, width));
        }
    }
    out
}

/// The labels that share a box: those on the line of the fault first, then the others file by file.
fn groups<'a>(diag: &'a Diagnostic, sources: &Sources) -> Vec<Vec<&'a Label>> {
    let line = |label: &Label| sources.get(label.span.file).place(label.span.start).0;
    let mut groups: Vec<Vec<&Label>> = Vec::new();
    for label in &diag.labels {
        let fits = |(i, group): (usize, &Vec<&Label>)| {
            group.first().is_some_and(|first| {
                let near = i > 0 || line(first).abs_diff(line(label)) <= 1;
                first.span.file == label.span.file && near
            })
        };
        let known = groups.iter().enumerate().position(fits);
        match known.and_then(|at| groups.get_mut(at)) {
            Some(group) => group.push(label),
            None => groups.push(vec![label]),
        }
    }
    groups
}

/// Lines of one file with their arrows.
fn boxes(handler: &GraphicalReportHandler, labels: &[&Label], excerpt: &Excerpt<'_>) -> String {
    let labels = labels.iter().enumerate();
    let report = Report {
        excerpt,
        labels: labels
            .map(|(i, label)| excerpt.label(label, i == 0))
            .collect(),
    };
    let mut text = String::new();
    if handler.render_report(&mut text, &report).is_err() {
        text.clear(); // writing to a string does not fail; the plain parts of the report still stand
    }
    // Its first line is for the title, which stands above all boxes.
    text.split_once('\n')
        .map_or(String::new(), |(_, boxes)| boxes.to_string())
}

/// Breaks a text at blanks so that no line is longer than `width`, where words allow it.
fn wrapped(first: &str, rest: &str, text: &str, width: usize) -> String {
    let text = safe(text);
    let room = width.saturating_sub(rest.chars().count()).max(20);
    let mut out = String::from(first);
    let mut used = 0;
    for (i, word) in text.split(' ').enumerate() {
        let length = word.chars().count();
        if i > 0 && used + 1 + length > room {
            out.push('\n');
            out.push_str(rest);
            used = 0;
        } else if i > 0 {
            out.push(' ');
            used += 1;
        }
        out.push_str(word);
        used += length;
    }
    out.push('\n');
    out
}

/// What is handed to the library: labels in one file.
#[derive(Debug)]
struct Report<'a> {
    excerpt: &'a Excerpt<'a>,
    labels: Vec<LabeledSpan>,
}

impl fmt::Display for Report<'_> {
    fn fmt(&self, _: &mut fmt::Formatter<'_>) -> fmt::Result {
        Ok(()) // the title is written by us
    }
}

impl std::error::Error for Report<'_> {}

impl miette::Diagnostic for Report<'_> {
    fn source_code(&self) -> Option<&dyn SourceCode> {
        Some(self.excerpt)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        Some(Box::new(self.labels.iter().cloned()))
    }
}

/// A source whose lines are found by its table of line starts; the library's own type scans the
/// whole text for each label.
#[derive(Debug)]
struct Excerpt<'a> {
    source: &'a Source,
    text: Cow<'a, str>,
}

impl<'a> Excerpt<'a> {
    fn new(source: &'a Source) -> Excerpt<'a> {
        // The library points at nothing behind the last newline; so there always is one.
        let text = match safe(&source.text) {
            text if text.ends_with('\n') => text,
            text => Cow::Owned(text.into_owned() + "\n"),
        };
        Excerpt { source, text }
    }

    /// The index of the line that holds a byte.
    fn line(&self, byte: usize) -> usize {
        self.source
            .line_starts
            .partition_point(|start| *start as usize <= byte)
            .max(1)
            - 1
    }

    fn line_start(&self, line: usize) -> usize {
        self.source
            .line_starts
            .get(line)
            .map_or(self.text.len(), |start| {
                (*start as usize).min(self.text.len())
            })
    }

    /// The bytes of a line without its newline.
    fn line_end(&self, line: usize) -> usize {
        let start = self.line_start(line);
        let text = self
            .text
            .get(start..self.line_start(line + 1))
            .unwrap_or("");
        start + text.trim_end_matches(['\n', '\r']).len()
    }

    /// A label for the library: on one line, and never behind the last character of the file.
    fn label(&self, label: &Label, primary: bool) -> LabeledSpan {
        let Span { start, end, .. } = label.span;
        let (mut start, mut end) = (
            (start as usize).min(self.text.len()),
            (end as usize).min(self.text.len()),
        );
        if start >= end && start == self.text.len() && self.line_start(self.line(start)) == start {
            // After the last newline there is no line to point at.
            start = self.text.trim_end_matches(['\n', '\r']).len();
            end = start;
        }
        let line_end = self.line_end(self.line(start));
        let start = start.min(line_end);
        let span = SourceSpan::from(start..end.clamp(start, line_end));
        let text = (!label.text.is_empty()).then(|| safe(&label.text).into_owned());
        if primary {
            LabeledSpan::new_primary_with_span(text, span)
        } else {
            LabeledSpan::new_with_span(text, span)
        }
    }
}

impl SourceCode for Excerpt<'_> {
    fn read_span<'b>(
        &'b self,
        span: &SourceSpan,
        before: usize,
        after: usize,
    ) -> Result<Box<dyn SpanContents<'b> + 'b>, MietteError> {
        let first = self.line(span.offset());
        let last = self.line((span.offset() + span.len()).max(span.offset() + 1) - 1) + after;
        let top = first.saturating_sub(before);
        let (start, end) = (self.line_start(top), self.line_start(last + 1));
        let data = self
            .text
            .as_bytes()
            .get(start..end)
            .ok_or(MietteError::OutOfBounds)?;
        let column = self.source.place(span.offset() as u32).1 - 1;
        Ok(Box::new(MietteSpanContents::new_named(
            safe(&self.source.path).into_owned(),
            data,
            (start, end - start).into(),
            top,
            if before == 0 { column } else { 0 },
            last + 1 - top,
        )))
    }
}
