//! `casewright completions`.

use crate::cli::output::Output;
use crate::cli::{self, FINE};
use clap::Args;
use clap_complete::Shell;

/// Arguments of `completions`.
#[derive(Debug, Args)]
pub struct CompletionsArgs {
    /// The shell that is to complete what is typed.
    #[arg(value_enum)]
    shell: Shell,
}

/// Prints the script for a shell.
pub fn run(args: &CompletionsArgs, output: &Output) -> u8 {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut cli::command(), cli::NAME, &mut script);
    output.print(&String::from_utf8_lossy(&script));
    FINE
}
