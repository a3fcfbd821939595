//! The command line: arguments, files, the terminal, exit codes. The only module that touches any of
//! them; it decides nothing about furniture.

mod changes;
mod commands;
mod diff_text;
mod disk;
mod drawings;
mod git;
mod mend;
mod output;
mod start;

use clap::{CommandFactory, Parser};
use std::process::ExitCode;

/// The name of the program.
const NAME: &str = "casewright";

/// Exit code when all is well; cautions may have been printed.
const FINE: u8 = 0;
/// Exit code for a mistake in the maker's text.
const MISTAKE: u8 = 1;
/// Exit code for a command line that can't be read (given by the argument parser).
const USAGE: u8 = 2;
/// Exit code for a file that can't be read or written.
const FILES: u8 = 3;
/// Exit code for a fault of the program's own.
const OURS: u8 = 70;

/// Compiles a piece of furniture, described in plain text, into a printed build book.
///
/// Exit codes: 0 all is well (cautions may have been printed); 1 the text has a mistake; 2 the
/// command line can't be read; 3 a file can't be read or written; 70 a fault of the program's own.
#[derive(Debug, Parser)]
#[command(name = NAME, version, max_term_width = 100)]
struct Args {
    #[command(subcommand)]
    command: commands::Command,
    #[command(flatten)]
    output: output::OutputArgs,
}

/// Runs the program.
pub fn main() -> ExitCode {
    let args = match Args::try_parse() {
        Ok(args) => args,
        Err(error) => {
            // A pipe that is closed while help is printed is nobody's fault.
            let _ = error.print();
            return ExitCode::from(if error.use_stderr() { USAGE } else { FINE });
        }
    };
    let output = output::Output::new(args.output);
    let code = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| args.command.run(&output)));
    if let Some(error) = output.lost() {
        output.problem(&format!("the result can't be printed: {error}"));
        return ExitCode::from(FILES);
    }
    match code {
        Ok(code) => ExitCode::from(code),
        Err(_) => {
            output.problem("this is a fault of the program, not of your text; please report it with the file that shows it");
            ExitCode::from(OURS)
        }
    }
}

/// What the program can be told to do.
fn command() -> clap::Command {
    Args::command()
}

/// The whole help text, for a test that pins it.
pub fn help() -> String {
    let mut command = Args::command();
    let mut out = command.render_long_help().to_string();
    for sub in command.get_subcommands_mut() {
        let name = sub.get_name().to_owned();
        out.push_str(&format!("\n---- {name} ----\n{}", sub.render_long_help()));
    }
    out
}
