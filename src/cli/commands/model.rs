//! `casewright model`.

use super::{SourceArgs, compile_file};
use crate::cli::output::Output;
use crate::cli::{FINE, MISTAKE, OURS};
use clap::Args;

/// Arguments of `model`.
#[derive(Debug, Args)]
pub struct ModelArgs {
    #[command(flatten)]
    source: Option<SourceArgs>,
    /// Print the JSON Schema of the output instead; takes no file.
    #[arg(long, conflicts_with = "file")]
    schema: bool,
}

/// Prints the model or its schema.
pub fn run(args: &ModelArgs, output: &Output) -> u8 {
    if args.schema {
        return print_json(&schemars::schema_for!(crate::model::Model), output);
    }
    let Some(source) = &args.source else {
        output.problem("name a file, or ask for the `--schema`");
        return crate::cli::USAGE;
    };
    let compiled = match compile_file(&source.file, &source.set, output) {
        Ok(compiled) => compiled,
        Err(code) => return code,
    };
    if !(output.is_json() && !compiled.has_errors()) {
        output.reports(&compiled.diagnostics, &compiled.sources);
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
