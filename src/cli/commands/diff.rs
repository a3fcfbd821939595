//! `casewright diff`.

use super::{SetArgs, why};
use crate::cli::diff_text::{Called, human, plain};
use crate::cli::output::Output;
use crate::cli::{FILES, FINE, MISTAKE, OURS, USAGE, disk, git};
use crate::cutting::Effort;
use crate::diff::{Built, Changes, Revision, diff};
use crate::elaborate::{self, Options, Unreadable};
use crate::model::WrittenLine;
use crate::plan::{self, Plans};
use crate::source::{Files, ReadFault};
use crate::{Compiled, compile};
use clap::Args;
use serde::Serialize;
use std::path::{Path, PathBuf};

/// Exit code with `--exit-code` when the two differ.
const DIFFERS: u8 = 1;

/// Arguments of `diff`.
#[derive(Debug, Args)]
pub struct DiffArgs {
    /// The old file and the new one, each with what it uses; with `--since`, the file.
    #[arg(value_name = "FILE", required_unless_present = "schema", num_args = 1..=2)]
    files: Vec<PathBuf>,
    /// Compare with what the file was at this revision of its git repository: `HEAD`, a tag, a commit.
    #[arg(long, value_name = "REVISION")]
    since: Option<String>,
    #[command(flatten)]
    set: SetArgs,
    /// End with 1 if the two differ, as git's own diff does; otherwise a difference is no failure.
    #[arg(long)]
    exit_code: bool,
    /// Print the JSON Schema of the output instead; no file is read.
    #[arg(long)]
    schema: bool,
}

/// What is printed as JSON.
#[derive(Serialize, schemars::JsonSchema)]
struct Report {
    /// The old revision.
    old: Side,
    /// The new one.
    new: Side,
    /// What changed.
    changes: Changes,
}

/// A revision in JSON.
#[derive(Serialize, schemars::JsonSchema)]
struct Side {
    /// What it is called.
    name: String,
    /// Its errors, as `check` prints them.
    errors: Vec<serde_json::Value>,
}

/// Compares two files, or a file with what it was, and tells what changed.
pub fn run(args: &DiffArgs, output: &Output) -> u8 {
    if args.schema {
        return print_json(&schemars::schema_for!(Report), output);
    }
    let compared = match (&args.since, args.files.as_slice()) {
        (Some(revision), [file]) => since(file, revision, &args.set, Effort::Quick, output)
            .and_then(|old| Ok((old, of_disk(file, &args.set, Effort::Quick, output)?))),
        (None, [old, new]) => of_disk(old, &args.set, Effort::Quick, output)
            .and_then(|old| Ok((old, of_disk(new, &args.set, Effort::Quick, output)?))),
        (Some(_), _) => {
            output.problem("with `--since` there is one file, which is compared with what it was");
            return USAGE;
        }
        (None, _) => {
            output.problem(
                "a file is compared with another, or with what it was: `diff OLD NEW`, or `diff --since REVISION FILE`",
            );
            return USAGE;
        }
    };
    let (old, new) = match compared {
        Ok(both) => both,
        Err(code) => return code,
    };
    let changes = diff(&old.revision(), &new.revision());
    let code = show(&old, &new, changes, args.exit_code, output);
    // What can't be built can't be compared as a whole, whatever was found.
    if code == FINE && !(old.builds() && new.builds()) {
        return MISTAKE;
    }
    code
}

fn show(old: &Loaded, new: &Loaded, changes: Changes, exit_code: bool, output: &Output) -> u8 {
    let differs = !changes.is_empty();
    let done = if output.is_json() {
        let side = |loaded: &Loaded| Side {
            name: loaded.name.clone(),
            errors: output.as_json(&loaded.errors(), &loaded.compiled.sources),
        };
        let report = Report {
            old: side(old),
            new: side(new),
            changes,
        };
        print_json(&report, output)
    } else {
        for (loaded, which) in [(old, "old"), (new, "new")] {
            loaded.tell_errors(which, output);
        }
        let called = Called {
            old: old.name.clone(),
            new: new.name.clone(),
        };
        output.print(&if output.is_plain() {
            plain(&changes, &called)
        } else {
            human(&changes, &called, output.color_result())
        });
        FINE
    };
    if done == FINE && exit_code && differs {
        return DIFFERS;
    }
    done
}

fn print_json(value: &impl Serialize, output: &Output) -> u8 {
    match serde_json::to_string_pretty(value) {
        Ok(text) => {
            output.print(&format!("{text}\n"));
            FINE
        }
        Err(error) => {
            output.problem(&format!("the changes can't be written as JSON: {error}"));
            OURS
        }
    }
}

/// A revision with all that is made of it.
pub(super) struct Loaded {
    /// What it is called.
    pub(super) name: String,
    pub(super) compiled: Compiled,
    lines: Vec<WrittenLine>,
    plans: Option<Plans>,
}

impl Loaded {
    /// Whether it can be built.
    pub(super) fn builds(&self) -> bool {
        !self.compiled.has_errors()
    }

    /// Tells why it can't be built, if it can't.
    pub(super) fn tell_errors(&self, which: &str, output: &Output) {
        let errors = self.errors();
        if !errors.is_empty() {
            output.tell(&format!(
                "{}, the {which} one, can't be built:\n",
                self.name
            ));
            output.reports_beside(&errors, &self.compiled.sources);
        }
    }

    pub(super) fn errors(&self) -> Vec<crate::diag::Diagnostic> {
        let all = self.compiled.diagnostics.iter();
        all.filter(|report| report.is_error()).cloned().collect()
    }

    /// As the diff takes it.
    pub(super) fn revision(&self) -> Revision<'_> {
        Revision {
            lines: &self.lines,
            built: self.compiled.model.as_ref().map(|model| Built {
                model,
                plans: self.plans.as_ref(),
                findings: &self.compiled.findings,
            }),
            errors: self.errors().len(),
        }
    }
}

/// A file of the disk.
pub(super) fn of_disk(
    file: &Path,
    set: &SetArgs,
    effort: Effort,
    output: &Output,
) -> Result<Loaded, u8> {
    let (project, entry) =
        disk::Disk::project_of(file).map_err(|fault| unreadable(file, &fault, output))?;
    let folder = file.parent().filter(|f| !f.as_os_str().is_empty());
    let called = |path: &str| match folder {
        Some(folder) => folder.join(path).to_string_lossy().into_owned(),
        None => path.to_owned(),
    };
    let name = file.display().to_string();
    load(&project, &entry, set, effort, name, &called)
        .map_err(|fault| unreadable(file, &fault, output))
}

/// The lines of a file of the disk.
pub(super) fn lines_of(file: &Path, output: &Output) -> Result<Vec<WrittenLine>, u8> {
    disk::Disk::project_of(file)
        .and_then(|(project, entry)| {
            elaborate::written(&project, &entry).map_err(|Unreadable { fault, .. }| fault)
        })
        .map_err(|fault| unreadable(file, &fault, output))
}

/// A file as it was at a revision.
pub(super) fn since(
    file: &Path,
    revision: &str,
    set: &SetArgs,
    effort: Effort,
    output: &Output,
) -> Result<Loaded, u8> {
    let (tree, entry) = git::Tree::of(file, revision).map_err(|git::GitFault(why)| {
        output.problem(&why);
        FILES
    })?;
    let name = tree.called(&entry);
    load(&tree, &entry, set, effort, name.clone(), &|path| {
        tree.called(path)
    })
    .map_err(|fault| {
        output.problem(&format!("{name}: {}", why(&fault)));
        FILES
    })
}

fn unreadable(file: &Path, fault: &ReadFault, output: &Output) -> u8 {
    output.problem(&format!("{}: {}", file.display(), why(fault)));
    FILES
}

fn load(
    files: &dyn Files,
    entry: &str,
    set: &SetArgs,
    effort: Effort,
    name: String,
    called: &dyn Fn(&str) -> String,
) -> Result<Loaded, ReadFault> {
    let options = Options {
        set: set.set.clone(),
    };
    let gone = |Unreadable { fault, .. }| fault;
    let lines = elaborate::written(files, entry).map_err(gone)?;
    let mut compiled = compile(files, entry, &options).map_err(gone)?;
    compiled.sources = compiled.sources.called(called);
    let sound = compiled.model.as_ref().filter(|_| !compiled.has_errors());
    let plans = sound.map(|model| plan::make_with(model, effort));
    if let Some(plans) = &plans {
        compiled.judge(plans.findings());
    }
    Ok(Loaded {
        name,
        compiled,
        lines,
        plans,
    })
}
