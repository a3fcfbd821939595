//! `casewright explain`.

use crate::cli::output::Output;
use crate::cli::{FINE, USAGE};
use crate::diag::{CODES, explain, nearest};
use clap::Args;

/// Arguments of `explain`.
#[derive(Debug, Args)]
pub struct ExplainArgs {
    /// The code, such as `fit.drawer_wide`; left out, all codes are listed.
    code: Option<String>,
}

/// Prints the page of a code, or the list.
pub fn run(args: &ExplainArgs, output: &Output) -> u8 {
    let Some(code) = &args.code else {
        let widest = CODES.iter().map(|c| c.name.len()).max().unwrap_or(0);
        for code in CODES {
            output.print(&format!("{:widest$}  {}\n", code.name, code.title));
        }
        return FINE;
    };
    match explain(code) {
        Some(page) => {
            output.print(page);
            FINE
        }
        None => {
            let near = nearest(code, CODES.iter().map(|c| c.name))
                .map_or_else(String::new, |near| format!("; did you mean `{near}`?"));
            output.problem(&format!("there is no code `{code}`{near}"));
            USAGE
        }
    }
}
