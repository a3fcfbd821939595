//! `casewright tidy`.

use super::why;
use crate::cli::output::Output;
use crate::cli::{FILES, FINE, MISTAKE, OURS, USAGE, changes, disk};
use crate::source::{Files as _, MAX_FILE_BYTES, ReadFault, Source, Sources};
use crate::syntax::{self, Untidy};
use clap::Args;
use std::io::Read as _;
use std::path::{Path, PathBuf};

/// Arguments of `tidy`.
#[derive(Debug, Args)]
pub struct TidyArgs {
    /// The files to lay out; `-` alone reads standard input and writes standard output.
    #[arg(required = true)]
    files: Vec<PathBuf>,
    /// Write nothing; show what would change, and exit with 1 if anything would.
    #[arg(long)]
    check: bool,
}

/// What became of a text.
enum Outcome {
    Same,
    Tidy(String),
    Failed(u8),
}

/// Lays out each file.
pub fn run(args: &TidyArgs, output: &Output) -> u8 {
    let standard = Path::new("-");
    if args.files.len() > 1 && args.files.iter().any(|file| file == standard) {
        output.problem("`-` stands alone: standard input can't be mixed with files");
        return USAGE;
    }
    if args.files.first().is_some_and(|file| file == standard) {
        return of_standard_input(args, output);
    }
    let mut worst = FINE;
    let mut all: Vec<serde_json::Value> = Vec::new();
    for file in &args.files {
        let code = match read(file, output) {
            Ok(text) => match tidied(&file.display().to_string(), &text, output, &mut all) {
                Outcome::Same => FINE,
                Outcome::Failed(code) => code,
                Outcome::Tidy(new) if args.check => {
                    show(&file.display().to_string(), &text, &new, output);
                    MISTAKE
                }
                Outcome::Tidy(new) => write(file, &new, output),
            },
            Err(code) => code,
        };
        worst = worst.max(code);
    }
    if output.is_json() {
        output.print_json(&all);
    }
    worst
}

fn of_standard_input(args: &TidyArgs, output: &Output) -> u8 {
    let mut bytes = Vec::new();
    let mut input = std::io::stdin().lock().take(MAX_FILE_BYTES + 1);
    if let Err(error) = input.read_to_end(&mut bytes) {
        output.problem(&format!("standard input can't be read: {error}"));
        return FILES;
    }
    let text = if bytes.len() as u64 > MAX_FILE_BYTES {
        Err(ReadFault::TooLarge(bytes.len() as u64))
    } else {
        String::from_utf8(bytes).map_err(|e| ReadFault::NotText(e.utf8_error().valid_up_to()))
    };
    let text = match text {
        Ok(text) => text,
        Err(fault) => {
            output.problem(&format!("standard input: {}", why(&fault)));
            return FILES;
        }
    };
    let mut reports = Vec::new();
    let outcome = tidied("-", &text, output, &mut reports);
    if output.is_json() && (args.check || !reports.is_empty()) {
        output.print_json(&reports);
    }
    match outcome {
        Outcome::Failed(code) => code,
        Outcome::Same if args.check => FINE,
        Outcome::Tidy(new) if args.check => {
            show("-", &text, &new, output);
            MISTAKE
        }
        Outcome::Same => {
            output.print(&text);
            FINE
        }
        Outcome::Tidy(new) => {
            output.print(&new);
            FINE
        }
    }
}

fn read(file: &Path, output: &Output) -> Result<String, u8> {
    let text = disk::Disk::project_of(file).and_then(|(project, name)| project.read(&name));
    text.map_err(|fault| {
        output.problem(&format!("{}: {}", file.display(), why(&fault)));
        FILES
    })
}

/// The tidy text; reports of faults are shown, or kept in `all` where they are to be JSON.
fn tidied(name: &str, text: &str, output: &Output, all: &mut Vec<serde_json::Value>) -> Outcome {
    let mut sources = Sources::default();
    let file = sources.add(Source::new(name, text));
    match syntax::tidy(&sources, file) {
        Ok(new) if new == text => Outcome::Same,
        Ok(new) => Outcome::Tidy(new),
        Err(Untidy::Faults(reports)) => {
            if output.is_json() {
                all.extend(output.as_json(&reports, &sources));
            } else {
                output.reports(&reports, &sources);
                output.problem(&format!(
                    "{name}: it can't be read wholly, so it is left as it is"
                ));
            }
            Outcome::Failed(MISTAKE)
        }
        Err(Untidy::Changed) => {
            output.problem(&format!(
                "{name}: its layout can't be changed without changing what it says, so it is left as it is; this is a fault of the program, please report it with the file"
            ));
            Outcome::Failed(OURS)
        }
    }
}

fn show(name: &str, old: &str, new: &str, output: &Output) {
    if !output.is_json() {
        output.print(&changes::between(name, old, new));
    }
}

fn write(file: &Path, text: &str, output: &Output) -> u8 {
    match disk::write_whole(file, text) {
        Ok(()) => {
            if !output.is_json() {
                output.tell(&format!("{}: tidied\n", file.display()));
            }
            FINE
        }
        Err(error) => {
            output.problem(&format!("{}: it can't be written: {error}", file.display()));
            FILES
        }
    }
}
