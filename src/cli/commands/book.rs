//! `casewright book`.

use super::{EffortArg, SourceArgs, compile_file, diff};
use crate::Compiled;
use crate::book::{self, Facts, Paper, Since, Templates};
use crate::cli::output::Output;
use crate::cli::{FILES, FINE, MISTAKE, USAGE, disk, drawings};
use crate::diff::{Built, Changes, Revision};
use crate::plan;
use clap::{Args, ValueEnum};
use std::path::{Path, PathBuf};

/// The paper to print on.
#[derive(Clone, Copy, Debug, Default, ValueEnum)]
enum PaperArg {
    /// 210 by 297 mm.
    #[default]
    A4,
    /// 8 1/2 by 11 in.
    Letter,
}

/// What the book is written as.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
enum Edition {
    /// One HTML file, to print and take to the bench.
    #[default]
    Html,
    /// Markdown, for reviews: a part a line, and the drawings as SVG files in a folder beside it that
    /// has the book's name. Drawings of an earlier book that are no longer shown are taken away.
    Md,
}

/// Arguments of `book`.
#[derive(Debug, Args)]
pub struct BookArgs {
    #[command(flatten)]
    source: SourceArgs,
    /// The file to write.
    #[arg(short, long, value_name = "FILE")]
    output: PathBuf,
    /// What to write it as.
    #[arg(long = "as", value_enum, default_value_t, value_name = "EDITION")]
    edition: Edition,
    /// The paper to print on; Markdown has no pages.
    #[arg(long, value_enum, default_value_t)]
    paper: PaperArg,
    /// How long to look for cheaper layouts of sheets; the same file and effort give the same book.
    #[arg(long, value_enum, default_value_t)]
    effort: EffortArg,
    /// The name of this revision; left out, a blank to write in.
    #[arg(long, value_parser = read_revision)]
    revision: Option<String>,
    /// The day of this revision, as in 2027-01-12; left out, a blank to write in.
    #[arg(long)]
    date: Option<jiff::civil::Date>,
    /// Tell in a chapter of its own what changed since this revision of the file's git repository.
    #[arg(long, value_name = "REVISION", conflicts_with = "changes_from")]
    since: Option<String>,
    /// Tell in a chapter of its own what changed from this file.
    #[arg(long, value_name = "OLD.case")]
    changes_from: Option<PathBuf>,
    /// A folder of templates that stand in the place of those of the same name in the program.
    #[arg(long, value_name = "FOLDER")]
    templates: Option<PathBuf>,
}

/// Compiles, plans and writes the book.
pub fn run(args: &BookArgs, output: &Output) -> u8 {
    if is_source(&args.output) {
        output.problem(&format!(
            "{}: a book is not written over a `.case` file; call it `.{}`",
            args.output.display(),
            match args.edition {
                Edition::Html => "html",
                Edition::Md => "md",
            }
        ));
        return USAGE;
    }
    let Some(folder) = folder_of(args) else {
        output.problem(&format!(
            "{}: a folder of this name is to hold the drawings; call the book `.md`",
            args.output.display()
        ));
        return USAGE;
    };
    let templates = match &args.templates {
        None => Templates::built_in(),
        Some(folder) => match disk::read_templates(folder) {
            Ok(texts) => Templates::with_overrides(texts),
            Err(error) => {
                output.problem(&format!(
                    "{}: the templates can't be read: {error}",
                    folder.display()
                ));
                return FILES;
            }
        },
    };
    let mut compiled = match compile_file(&args.source.file, &args.source.set, output) {
        Ok(compiled) => compiled,
        Err(code) => return code,
    };
    if let Some(read) = would_overwrite(args, &compiled) {
        output.problem(&format!(
            "{}: the book would overwrite `{read}`, which it is made from",
            args.output.display()
        ));
        return USAGE;
    }
    let Some(model) = compiled.model.as_ref().filter(|_| !compiled.has_errors()) else {
        output.reports(&compiled.diagnostics, &compiled.sources);
        return MISTAKE;
    };
    if model.pieces.is_empty() {
        output.reports(&compiled.diagnostics, &compiled.sources);
        output.problem(&format!(
            "{}: there is no piece and no commission in this file, so there is nothing to build",
            args.source.file.display()
        ));
        return MISTAKE;
    }
    let plans = plan::make_with(model, args.effort.into());
    compiled.judge(plans.findings());
    let Some(model) = &compiled.model else {
        return MISTAKE;
    };
    let changes = match changed(args, &compiled, &plans, output) {
        Ok(changes) => changes,
        Err(code) => return code,
    };
    let facts = Facts {
        model,
        plans: &plans,
        findings: &compiled.findings,
        paper: match args.paper {
            PaperArg::A4 => Paper::A4,
            PaperArg::Letter => Paper::Letter,
        },
        revision: args.revision.as_deref(),
        date: args.date,
        since: changes
            .as_ref()
            .map(|(name, changes)| Since { name, changes }),
    };
    let written = match args.edition {
        Edition::Html => book::write(&facts, &templates).map(|text| (text, Vec::new())),
        Edition::Md => {
            let name = folder.file_name().unwrap_or_default().to_string_lossy();
            book::md::write(&facts, &templates, &name).map(|pages| (pages.text, pages.drawings))
        }
    };
    let (text, drawings) = match written {
        Ok(written) => written,
        Err(fault) => {
            let report = fault.diagnostic(&mut compiled.sources);
            compiled.diagnostics.push(report);
            output.reports(&compiled.diagnostics, &compiled.sources);
            return MISTAKE;
        }
    };
    output.reports(&compiled.diagnostics, &compiled.sources);
    let done = match args.edition {
        Edition::Html => disk::write_whole(&args.output, &text),
        // Nothing is put in its place before all is written; the text goes last: what it shows is there
        // when it is.
        Edition::Md => drawings::stage(&folder, &drawings).and_then(|drawn| {
            let text = disk::stage(&args.output, &text)?;
            drawn.place()?;
            text.place()?;
            drawings::take_away_others(&folder, &drawings)
        }),
    };
    match done {
        Ok(()) => {
            output.tell(&format!("{}: the book is written\n", args.output.display()));
            FINE
        }
        Err(error) => {
            output.problem(&format!(
                "{}: the book can't be written: {error}",
                args.output.display()
            ));
            FILES
        }
    }
}

/// The folder of the drawings: the book's name without what follows the last point. None where it
/// would be the book itself.
fn folder_of(args: &BookArgs) -> Option<PathBuf> {
    let folder = args.output.with_extension("");
    (args.edition == Edition::Html || folder != args.output).then_some(folder)
}

/// What changed since the revision or file that the maker names, and what that is called.
fn changed(
    args: &BookArgs,
    compiled: &Compiled,
    plans: &plan::Plans,
    output: &Output,
) -> Result<Option<(String, Changes)>, u8> {
    let (file, set) = (&args.source.file, &args.source.set);
    // Both laid out with one effort: another one alone is no change.
    let effort = args.effort.into();
    let (name, old) = match (&args.since, &args.changes_from) {
        (Some(revision), _) => (
            revision.clone(),
            diff::since(file, revision, set, effort, output)?,
        ),
        (None, Some(old)) => (
            old.display().to_string(),
            diff::of_disk(old, set, effort, output)?,
        ),
        (None, None) => return Ok(None),
    };
    old.tell_errors("old", output);
    let lines = diff::lines_of(file, output)?;
    let new = Revision {
        lines: &lines,
        built: compiled.model.as_ref().map(|model| Built {
            model,
            plans: Some(plans),
            findings: &compiled.findings,
        }),
        errors: 0,
    };
    Ok(Some((name, crate::diff::diff(&old.revision(), &new))))
}

/// The file of the project that the book would overwrite.
fn would_overwrite(args: &BookArgs, compiled: &Compiled) -> Option<String> {
    let target = args.output.canonicalize().ok()?;
    let mut read = compiled.sources.iter().map(|(_, source)| &source.path);
    read.find(|path| Path::new(path).canonicalize().ok().as_ref() == Some(&target))
        .cloned()
}

/// A text of the maker's must not be lost to a slip of the keys.
fn is_source(target: &Path) -> bool {
    target.extension().is_some_and(|e| e == "case")
}

/// The name of a revision: words on one line.
fn read_revision(text: &str) -> Result<String, String> {
    if text.chars().any(char::is_control) {
        return Err("it must not hold control characters".into());
    }
    Ok(text.to_owned())
}
