//! `casewright check`.

use super::{SetArgs, compile_file};
use crate::cli::output::Output;
use crate::cli::{FINE, MISTAKE};
use crate::plan;
use clap::Args;
use std::path::PathBuf;

/// Arguments of `check`.
#[derive(Debug, Args)]
pub struct CheckArgs {
    /// The files to check, each with what it uses.
    #[arg(required = true)]
    files: Vec<PathBuf>,
    #[command(flatten)]
    set: SetArgs,
}

/// Checks each file and tells how it went.
pub fn run(args: &CheckArgs, output: &Output) -> u8 {
    let mut worst = FINE;
    // Of several files one array is printed, as of one.
    let mut all: Vec<serde_json::Value> = Vec::new();
    for file in &args.files {
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
            output.tell(&format!(
                "{}: {}\n",
                file.display(),
                tally(errors, cautions, compiled.findings.len())
            ));
        }
    }
    if output.is_json() {
        output.print_json(&all);
    }
    worst
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
