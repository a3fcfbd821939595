//! `casewright model`.

use super::{SetArgs, compile_file};
use crate::cli::output::Output;
use crate::cli::{FINE, MISTAKE, OURS};
use clap::Args;
use std::path::PathBuf;

/// Arguments of `model`.
#[derive(Debug, Args)]
pub struct ModelArgs {
    /// The file to read; files that it uses must lie in its folder or below.
    #[arg(required_unless_present = "schema")]
    file: Option<PathBuf>,
    #[command(flatten)]
    set: SetArgs,
    /// Print the JSON Schema of the output instead; a file is not read.
    #[arg(long)]
    schema: bool,
}

/// Prints the model or its schema.
pub fn run(args: &ModelArgs, output: &Output) -> u8 {
    if args.schema {
        return print_json(&schemars::schema_for!(crate::model::Model), output);
    }
    let Some(file) = &args.file else {
        return crate::cli::USAGE;
    };
    let compiled = match compile_file(file, &args.set, output) {
        Ok(compiled) => compiled,
        Err(code) => return code,
    };
    if compiled.has_errors() {
        output.reports(&compiled.diagnostics, &compiled.sources);
    } else {
        output.reports_beside(&compiled.diagnostics, &compiled.sources);
    }
    match &compiled.model {
        Some(model) if !compiled.has_errors() => print_json(model, output),
        _ => MISTAKE,
    }
}

fn print_json(value: &impl serde::Serialize, output: &Output) -> u8 {
    match serde_json::to_string_pretty(value) {
        Ok(mut text) => {
            text.push('\n');
            output.print(&text);
            FINE
        }
        Err(error) => {
            output.problem(&format!("the model can't be written as JSON: {error}"));
            OURS
        }
    }
}
