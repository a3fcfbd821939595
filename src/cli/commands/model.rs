//! `casewright model`.

use super::{SetArgs, show_from, why};
use crate::cli::output::Output;
use crate::cli::{FILES, FINE, MISTAKE, OURS, disk};
use crate::diff::{Built, listing};
use crate::elaborate::{Options, Unreadable};
use crate::plan;
use crate::source::{Files, ReadFault};
use crate::{Compiled, compile};
use clap::{Args, ValueEnum};
use std::path::{Path, PathBuf};

/// Arguments of `model`.
#[derive(Debug, Args)]
pub struct ModelArgs {
    /// The file to read; files that it uses must lie in its folder or below.
    #[arg(required_unless_present = "schema")]
    file: Option<PathBuf>,
    #[command(flatten)]
    set: SetArgs,
    /// How the model is printed.
    #[arg(long = "as", value_name = "FORM", value_enum, default_value_t)]
    form: Form,
    /// Read used files from this folder, or from the one folder below it that holds a file of the same
    /// name: for a file that stands elsewhere, as git hands it on.
    #[arg(long, value_name = "FOLDER")]
    project: Option<PathBuf>,
    /// Print the text itself before its lines, and the text alone where it does not compile: for git.
    #[arg(long)]
    after_text: bool,
    /// Print the JSON Schema of the output instead; a file is not read.
    #[arg(long)]
    schema: bool,
}

/// How the model is printed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
enum Form {
    /// All of it.
    #[default]
    Json,
    /// One line for each opening, part, cut, purchase and setup, in a fixed order: for comparing.
    Lines,
}

/// The model with what is computed from it.
#[derive(serde::Serialize, schemars::JsonSchema)]
struct Printed<'a> {
    #[serde(flatten)]
    model: &'a crate::model::Model,
    /// Volumes of parts and contacts of joints, piece by piece.
    measured: Vec<crate::solid::Measured>,
}

/// What stands between a text and its lines.
const RULE: &str = "---- what follows ----";

/// Prints the model or its schema.
pub fn run(args: &ModelArgs, output: &Output) -> u8 {
    if args.schema {
        return print_json(&schemars::schema_for!(Printed), output);
    }
    let Some(file) = &args.file else {
        return crate::cli::USAGE;
    };
    let (text, compiled) = match read(file, args) {
        Ok(read) => read,
        Err(fault) => {
            // What is no text is compared as it is.
            if let (true, Ok(bytes)) = (args.after_text, std::fs::read(file)) {
                output.print(&String::from_utf8_lossy(&bytes));
                return FINE;
            }
            output.problem(&format!("{}: {}", file.display(), why(&fault)));
            return FILES;
        }
    };
    if args.after_text {
        return after_text(&text, compiled, output);
    }
    if compiled.has_errors() {
        output.reports(&compiled.diagnostics, &compiled.sources);
    } else {
        output.reports_beside(&compiled.diagnostics, &compiled.sources);
    }
    match &compiled.model {
        Some(_) if args.form == Form::Lines && !compiled.has_errors() => {
            output.print(&lines(compiled));
            FINE
        }
        Some(model) if !compiled.has_errors() => {
            // The rules have reported what can't be computed.
            let measured = crate::solid::measure(model).unwrap_or_default();
            print_json(&Printed { model, measured }, output)
        }
        _ => MISTAKE,
    }
}

/// A text as git compares it: as it stands, then what follows from it. Git gives up on a file whose
/// text can't be had, so whatever is wrong with it, the text alone is never a failure.
fn after_text(text: &str, compiled: Compiled, output: &Output) -> u8 {
    let mut out = text.to_owned();
    if !out.is_empty() && !out.ends_with('\n') {
        out.push('\n');
    }
    if !compiled.has_errors() {
        let lines = lines(compiled);
        if !lines.is_empty() {
            out.push_str(&format!("\n{RULE}\n{lines}"));
        }
    }
    output.print(&out);
    FINE
}

fn lines(mut compiled: Compiled) -> String {
    let plans = compiled.model.as_ref().map(plan::make);
    if let Some(plans) = &plans {
        compiled.judge(plans.findings());
    }
    let built = compiled.model.as_ref().map(|model| Built {
        model,
        plans: plans.as_ref(),
        findings: &compiled.findings,
    });
    built.map_or(String::new(), |built| listing(&built))
}

/// The text of a file, and what it compiles to.
fn read(file: &Path, args: &ModelArgs) -> Result<(String, Compiled), ReadFault> {
    let (own, name) = disk::Disk::project_of(file)?;
    let text = own.read(&name)?;
    let options = Options {
        set: args.set.set.clone(),
    };
    let compiled = match &args.project {
        None => compile(&own, &name, &options).map(|compiled| show_from(compiled, file)),
        Some(folder) => {
            let home = disk::home_of(folder, &name).map(|home| home.join(&name));
            let around = home.and_then(|path| disk::Disk::project_of(&path).ok());
            let files = Handed {
                name: &name,
                text: &text,
                around: around.map(|(disk, _)| disk),
            };
            compile(&files, &name, &options)
        }
    };
    let compiled = compiled.map_err(|Unreadable { fault, .. }| fault)?;
    Ok((text, compiled))
}

/// A text that stands apart from the files that it uses.
struct Handed<'a> {
    name: &'a str,
    text: &'a str,
    /// The folder that it belongs in, where that is known.
    around: Option<disk::Disk>,
}

impl Files for Handed<'_> {
    fn read(&self, path: &str) -> Result<String, ReadFault> {
        if path == self.name {
            return Ok(self.text.to_owned());
        }
        match &self.around {
            Some(around) => around.read(path),
            None => Err(ReadFault::Missing),
        }
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
