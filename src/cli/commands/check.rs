//! `casewright check`.

use super::{SetArgs, compile_file};
use crate::cli::output::Output;
use crate::cli::{FILES, FINE, MISTAKE, changes, disk, mend};
use crate::elaborate::Options;
use crate::plan;
use crate::source::Files as _;
use clap::{Args, ValueEnum};
use std::path::{Path, PathBuf};

/// Arguments of `check`.
#[derive(Debug, Args)]
pub struct CheckArgs {
    /// The files to check, each with what it uses.
    #[arg(required = true)]
    files: Vec<PathBuf>,
    #[command(flatten)]
    set: SetArgs,
    /// Apply the cures that leave no doubt, showing each, then check again; `--mend=show` only shows.
    #[arg(
        long,
        value_enum,
        value_name = "HOW",
        num_args = 0..=1,
        require_equals = true,
        default_missing_value = "write"
    )]
    mend: Option<Mend>,
}

/// What is done with cures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Mend {
    /// Write them into the files.
    Write,
    /// Show them and write nothing.
    Show,
}

/// Checks each file and tells how it went.
pub fn run(args: &CheckArgs, output: &Output) -> u8 {
    let mut worst = FINE;
    // Of several files one array is printed, as of one.
    let mut all: Vec<serde_json::Value> = Vec::new();
    for file in &args.files {
        if let Some(how) = args.mend {
            worst = worst.max(mend_file(file, how, args, output));
        }
        let mut compiled = match compile_file(file, &args.set, output) {
            Ok(compiled) => compiled,
            Err(code) => {
                worst = worst.max(code);
                continue;
            }
        };
        if let Some(model) = compiled.model.as_ref().filter(|_| !compiled.has_errors()) {
            compiled.judge(plan::findings(model));
        }
        if output.is_json() {
            all.extend(output.as_json(&compiled.diagnostics, &compiled.sources));
        } else {
            output.reports(&compiled.diagnostics, &compiled.sources);
        }
        let errors = compiled.diagnostics.iter().filter(|d| d.is_error()).count();
        let cautions = compiled.diagnostics.len() - errors;
        if errors > 0 {
            worst = worst.max(MISTAKE);
        }
        if !output.is_json() {
            let cures = match args.mend {
                Some(Mend::Write) => 0,
                _ => mend::choose(&compiled.diagnostics, &compiled.sources).len(),
            };
            output.tell(&format!(
                "{}: {}{}\n",
                file.display(),
                tally(errors, cautions, compiled.findings.len()),
                match cures {
                    0 => String::new(),
                    n => format!("; `--mend` would mend {n}"),
                }
            ));
        }
    }
    if output.is_json() {
        output.print_json(&all);
    }
    worst
}

/// Shows the cures of a file and of what it uses, and writes them if they are to be.
fn mend_file(file: &Path, how: Mend, args: &CheckArgs, output: &Output) -> u8 {
    let options = Options {
        set: args.set.set.clone(),
    };
    // A file that can't be read is told by the check that follows.
    let Ok((project, name)) = disk::Disk::project_of(file) else {
        return FINE;
    };
    let Ok(mended) = mend::mend(&project, &name, &options) else {
        return FINE;
    };
    let folder = file.parent().filter(|f| !f.as_os_str().is_empty());
    let shown = |path: &str| match folder {
        Some(folder) => folder.join(path).display().to_string(),
        None => path.to_owned(),
    };
    if !output.is_json() {
        for change in &mended.changes {
            output.print(&changes::cure(&shown(&change.path), change));
        }
    }
    if how == Mend::Show {
        return FINE;
    }
    for (path, (old, new)) in &mended.texts {
        // What somebody has changed in the meantime is not written over.
        let written = match project.read(path) {
            Ok(text) if text == *old => disk::write_whole(&project.path_of(path), new),
            _ => Err(std::io::Error::other("it has changed in the meantime")),
        };
        if let Err(error) = written {
            output.problem(&format!("{}: it can't be written: {error}", shown(path)));
            return FILES;
        }
        if !output.is_json() {
            let count = mended.changes.iter().filter(|c| c.path == *path).count();
            let places = if count == 1 { "place" } else { "places" };
            output.tell(&format!("{}: mended in {count} {places}\n", shown(path)));
        }
    }
    FINE
}

fn tally(errors: usize, cautions: usize, checks: usize) -> String {
    let count = |n: usize, word: &str| format!("{n} {word}{}", if n == 1 { "" } else { "s" });
    match (errors, cautions) {
        (0, 0) => format!("all is well, {}", count(checks, "check")),
        (0, n) => format!("it can be built, {}", count(n, "caution")),
        (n, 0) => count(n, "error"),
        (n, m) => format!("{}, {}", count(n, "error"), count(m, "caution")),
    }
}
