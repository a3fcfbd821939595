//! `casewright manual`.

use crate::cli::output::Output;
use crate::cli::{self, FINE, OURS};
use clap_mangen::Man;

/// Prints the manual page of the whole program.
pub fn run(output: &Output) -> u8 {
    match page() {
        Ok(page) => {
            output.print(&page);
            FINE
        }
        Err(error) => {
            output.problem(&format!("the manual page can't be made: {error}"));
            OURS
        }
    }
}

/// One page: the program, then each command with its options.
fn page() -> std::io::Result<String> {
    let mut command = cli::command();
    command.build();
    let mut page = Vec::new();
    let man = Man::new(command.clone());
    man.render_title(&mut page)?;
    man.render_name_section(&mut page)?;
    man.render_synopsis_section(&mut page)?;
    man.render_description_section(&mut page)?;
    man.render_options_section(&mut page)?;
    page.extend_from_slice(b".SH COMMANDS\n");
    for sub in command.get_subcommands() {
        if sub.get_name() == "help" {
            continue;
        }
        // What every command takes was told above.
        let own = sub.clone().mut_args(|arg| {
            let told = arg.is_global_set() || arg.get_id() == "help";
            arg.hide(told)
        });
        let man = Man::new(own);
        let mut section = Vec::new();
        man.render_synopsis_section(&mut section)?;
        man.render_description_section(&mut section)?;
        man.render_options_section(&mut section)?;
        page.extend_from_slice(format!(".SS {}\n", sub.get_name()).as_bytes());
        page.extend(without_headings(&String::from_utf8_lossy(&section)).into_bytes());
    }
    man.render_version_section(&mut page)?;
    Ok(String::from_utf8_lossy(&page).into_owned())
}

/// The parts of a command follow its name as paragraphs.
fn without_headings(section: &str) -> String {
    let lines = section
        .lines()
        .filter(|line| !line.starts_with(".ie") && !line.starts_with(".el"));
    lines
        .map(|line| if line.starts_with(".SH") { ".PP" } else { line })
        .flat_map(|line| [line, "\n"])
        .collect()
}
