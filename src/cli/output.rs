//! The terminal: colour, width, and how messages are shown.

use crate::diag::Diagnostic;
use crate::diag::{Style, render};
use crate::source::Sources;
use clap::{Args, ValueEnum};
use std::cell::RefCell;
use std::io::{IsTerminal as _, Write as _};

/// How messages are shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
enum Format {
    /// With the lines of the text and arrows.
    #[default]
    Human,
    /// One line a report, its details below: for screen readers and searching.
    Plain,
    /// An array of objects, on standard output.
    Json,
}

/// When colour is used.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
enum Color {
    /// On a terminal, unless NO_COLOR is set.
    #[default]
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

/// Options of every command.
#[derive(Debug, Args)]
pub struct OutputArgs {
    /// How messages are shown.
    #[arg(long, global = true, value_enum, default_value_t)]
    format: Format,
    /// When colour is used.
    #[arg(long, global = true, value_enum, default_value_t)]
    color: Color,
}

/// Where words go.
#[derive(Debug)]
pub struct Output {
    args: OutputArgs,
    /// Why a result could not be printed.
    lost: RefCell<Option<std::io::Error>>,
}

/// How many errors are told in words; more are counted.
const MOST_ERRORS: usize = 20;

/// Columns where the terminal does not say.
const WIDTH: usize = 100;

impl Output {
    /// By the options.
    pub fn new(args: OutputArgs) -> Output {
        Output {
            args,
            lost: RefCell::new(None),
        }
    }

    /// Shows reports: on standard error, or as JSON on standard output.
    pub fn reports(&self, reports: &[Diagnostic], sources: &Sources) {
        if self.args.format == Format::Json {
            self.print(&render(reports, sources, Style::Json));
            return;
        }
        self.tell_reports(reports, sources);
    }

    /// The reports in words: of very many errors the first, since one cause has many.
    fn tell_reports(&self, reports: &[Diagnostic], sources: &Sources) {
        let (mut errors, cautions): (Vec<&Diagnostic>, Vec<&Diagnostic>) =
            reports.iter().partition(|report| report.is_error());
        let more = errors.len().saturating_sub(MOST_ERRORS);
        if more == 0 {
            return self.tell(&render(reports, sources, self.style()));
        }
        errors.sort_by_key(|report| (report.span().file, report.span().start));
        let few: Vec<Diagnostic> = errors.into_iter().take(MOST_ERRORS).cloned().collect();
        self.tell(&render(&few, sources, self.style()));
        self.tell(&format!(
            "\nand {more} more errors; `--format json` lists them all\n"
        ));
        if !cautions.is_empty() {
            let cautions: Vec<Diagnostic> = cautions.into_iter().cloned().collect();
            self.tell(&format!("\n{}", render(&cautions, sources, self.style())));
        }
    }

    fn style(&self) -> Style {
        match self.args.format {
            Format::Human => Style::Human {
                color: self.color(),
                width: width(),
            },
            Format::Plain => Style::Plain,
            Format::Json => Style::Json,
        }
    }

    /// Shows reports on standard error, where standard output holds something else.
    pub fn reports_beside(&self, reports: &[Diagnostic], sources: &Sources) {
        self.tell_reports(reports, sources);
    }

    /// Reports as JSON values.
    pub fn as_json(&self, reports: &[Diagnostic], sources: &Sources) -> Vec<serde_json::Value> {
        serde_json::from_str(&render(reports, sources, Style::Json))
            .expect("reports are written as an array of objects")
    }

    /// Prints values as one JSON array.
    pub fn print_json(&self, values: &[serde_json::Value]) {
        let text = serde_json::to_string_pretty(values).expect("values hold no odd keys");
        self.print(&format!("{text}\n"));
    }

    /// Whether reports are JSON, so that nothing else may be printed on standard output.
    pub fn is_json(&self) -> bool {
        self.args.format == Format::Json
    }

    /// Whether results are one line a thing, for screen readers and searching.
    pub fn is_plain(&self) -> bool {
        self.args.format == Format::Plain
    }

    fn color(&self) -> bool {
        self.color_on(std::io::stderr().is_terminal())
    }

    /// Whether a result on standard output is coloured.
    pub fn color_result(&self) -> bool {
        self.color_on(std::io::stdout().is_terminal())
    }

    fn color_on(&self, terminal: bool) -> bool {
        match self.args.color {
            Color::Always => true,
            Color::Never => false,
            Color::Auto => terminal && std::env::var_os("NO_COLOR").is_none_or(|v| v.is_empty()),
        }
    }

    /// Prints a result on standard output. A reader that went away is nobody's fault; any other
    /// failure is kept for [`Output::lost`].
    pub fn print(&self, text: &str) {
        let mut out = std::io::stdout().lock();
        let written = out.write_all(text.as_bytes()).and_then(|()| out.flush());
        if let Err(error) = written
            && error.kind() != std::io::ErrorKind::BrokenPipe
        {
            self.lost.borrow_mut().get_or_insert(error);
        }
    }

    /// Why a result could not be printed, if it could not.
    pub fn lost(&self) -> Option<std::io::Error> {
        self.lost.take()
    }

    /// Tells the maker something, on standard error.
    pub fn tell(&self, text: &str) {
        let _ = std::io::stderr().lock().write_all(text.as_bytes());
    }

    /// Tells of a problem outside the text.
    pub fn problem(&self, text: &str) {
        self.tell(&format!("casewright: {text}\n"));
    }
}

fn width() -> usize {
    std::env::var("COLUMNS")
        .ok()
        .and_then(|c| c.parse().ok())
        .filter(|c| (40..=400).contains(c))
        .unwrap_or(WIDTH)
}
