//! One file a command: its arguments, whose comments are the help, and what it does.

mod book;
mod check;
mod completions;
mod diff;
mod explain;
mod layout;
mod manual;
mod model;
mod rack_file;
mod start;
mod tidy;
mod words;

use super::output::Output;
use super::{FILES, disk};
use crate::cutting::Effort;
use crate::elaborate::{Options, Unreadable};
use crate::source::ReadFault;
use crate::{Compiled, compile};
use clap::{Args, Subcommand, ValueEnum};
use std::path::{Path, PathBuf};

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Check files and print what is wrong with them.
    Check(check::CheckArgs),
    /// Write the build book of a file: one HTML file to print.
    Book(book::BookArgs),
    /// Tell what changed between two files or since a revision, and what follows.
    Diff(diff::DiffArgs),
    /// Lay out the sheets of a file and print what they hold and cost, and at least must.
    Layout(layout::LayoutArgs),
    /// Print the model of a file as JSON: parts, cuts, joints, openings.
    Model(model::ModelArgs),
    /// Lay files out in the one canonical way; nothing that they say changes.
    Tidy(tidy::TidyArgs),
    /// Start a project: a small piece that builds as it stands, to be changed.
    Start(start::StartArgs),
    /// Tell at length what a code means, with a source that fails and one that passes.
    Explain(explain::ExplainArgs),
    /// Print the language reference, or the page of one word.
    Words(words::WordsArgs),
    /// Print what makes a shell complete the words of this program.
    Completions(completions::CompletionsArgs),
    /// Print the manual page, for `man`.
    Manual,
}

impl Command {
    /// Runs it; gives the exit code.
    pub fn run(&self, output: &Output) -> u8 {
        match self {
            Command::Check(args) => check::run(args, output),
            Command::Book(args) => book::run(args, output),
            Command::Diff(args) => diff::run(args, output),
            Command::Layout(args) => layout::run(args, output),
            Command::Model(args) => model::run(args, output),
            Command::Tidy(args) => tidy::run(args, output),
            Command::Start(args) => start::run(args, output),
            Command::Explain(args) => explain::run(args, output),
            Command::Words(args) => words::run(args, output),
            Command::Completions(args) => completions::run(args, output),
            Command::Manual => manual::run(output),
        }
    }
}

/// A source file and values for its parameters.
#[derive(Debug, Args)]
pub struct SourceArgs {
    /// The file to read; files that it uses must lie in its folder or below.
    file: PathBuf,
    #[command(flatten)]
    set: SetArgs,
}

/// Values for parameters.
#[derive(Debug, Args)]
pub struct SetArgs {
    /// Give a parameter another value, as in `--set width=800mm`.
    #[arg(long, value_name = "NAME=VALUE", value_parser = read_set)]
    set: Vec<(String, String)>,
}

/// How long to look for cheaper layouts of sheets. Work is counted, not timed: the same file and effort
/// give the same book on every machine.
#[derive(Clone, Copy, Debug, Default, ValueEnum)]
enum EffortArg {
    /// What is found at once.
    Quick,
    /// A second or two for each kind of sheet.
    #[default]
    Normal,
    /// Many times that.
    Long,
}

impl From<EffortArg> for Effort {
    fn from(arg: EffortArg) -> Effort {
        match arg {
            EffortArg::Quick => Effort::Quick,
            EffortArg::Normal => Effort::Normal,
            EffortArg::Long => Effort::Long,
        }
    }
}

fn read_set(text: &str) -> Result<(String, String), String> {
    match text.split_once('=') {
        Some((name, value))
            if !name.trim().is_empty()
                && !value.trim().is_empty()
                && !value.contains(['\n', '\r']) =>
        {
            Ok((name.trim().to_owned(), value.trim().to_owned()))
        }
        _ => Err("write NAME=VALUE, as in width=800mm".into()),
    }
}

/// Compiles a file of the disk; tells why and gives the exit code if it can't be read.
fn compile_file(file: &Path, set: &SetArgs, output: &Output) -> Result<Compiled, u8> {
    let unreadable = |fault: &ReadFault| {
        output.problem(&format!("{}: {}", file.display(), why(fault)));
        FILES
    };
    let (project, name) = disk::Disk::project_of(file).map_err(|fault| unreadable(&fault))?;
    let options = Options {
        set: set.set.clone(),
    };
    let compiled = compile(&project, &name, &options)
        .map_err(|Unreadable { fault, .. }| unreadable(&fault))?;
    Ok(show_from(compiled, file))
}

/// Calls the files of a project as they are seen from where the program was started.
fn show_from(mut compiled: Compiled, file: &Path) -> Compiled {
    if let Some(folder) = file.parent().filter(|f| !f.as_os_str().is_empty()) {
        compiled.sources = compiled.sources.seen_from(&folder.to_string_lossy());
    }
    compiled
}

fn why(fault: &ReadFault) -> String {
    match fault {
        ReadFault::Missing => "there is no such file".into(),
        ReadFault::Outside => "it is a link that leads out of its folder".into(),
        ReadFault::NotText(byte) => {
            format!("it is not UTF-8 text (it stops being so at byte {byte})")
        }
        ReadFault::TooLarge(size) => format!(
            "it is too large: {size} bytes, at most {} are read",
            crate::source::MAX_FILE_BYTES
        ),
        ReadFault::System(why) => why.clone(),
    }
}
