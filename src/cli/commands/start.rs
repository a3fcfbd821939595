//! `casewright start`.

use crate::cli::output::Output;
use crate::cli::start::{Units, name_of, project};
use crate::cli::{FILES, FINE, USAGE, disk};
use clap::Args;
use std::path::{Path, PathBuf};

/// Arguments of `start`.
#[derive(Debug, Args)]
pub struct StartArgs {
    /// The folder to make; one that exists must be empty, save for a `.git`.
    folder: PathBuf,
    /// The name of the piece, as in `hall_shelf`; left out, that of the folder.
    #[arg(long)]
    name: Option<String>,
    /// The units to work in.
    #[arg(long, value_enum, default_value_t)]
    units: Units,
}

/// Makes the folder and writes its files.
pub fn run(args: &StartArgs, output: &Output) -> u8 {
    let folder = &args.folder;
    let shown = folder.display();
    match in_the_way(folder) {
        Ok(None) => {}
        Ok(Some(name)) => {
            output.problem(&format!(
                "{shown}: it holds `{name}`; a project starts in a folder that is empty"
            ));
            return FILES;
        }
        Err(error) => {
            output.problem(&format!("{shown}: it can't be read: {error}"));
            return FILES;
        }
    }
    let name = match &args.name {
        Some(name) => name.clone(),
        None => name_of(&folder_name(folder)),
    };
    let files = match project(&name, args.units) {
        Ok(files) => files,
        Err(why) => {
            output.problem(&format!(
                "`{name}` can't be the name of a piece: {why}; give another with `--name`"
            ));
            return USAGE;
        }
    };
    if let Err(error) = std::fs::create_dir_all(folder) {
        output.problem(&format!("{shown}: the folder can't be made: {error}"));
        return FILES;
    }
    for (file, text) in &files {
        let path = folder.join(file);
        if let Err(error) = disk::write_whole(&path, text) {
            output.problem(&format!("{}: it can't be written: {error}", path.display()));
            return FILES;
        }
        output.tell(&format!("{}: written\n", path.display()));
    }
    let first = folder.join("commission.case");
    output.tell(&format!(
        "next: casewright check {}\n",
        quoted(&first.to_string_lossy())
    ));
    FINE
}

/// What the folder holds already, if it is there: the first name in order.
fn in_the_way(folder: &Path) -> std::io::Result<Option<String>> {
    let entries = match std::fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(error),
    };
    let mut names = Vec::new();
    for entry in entries {
        names.push(entry?.file_name().to_string_lossy().into_owned());
    }
    names.sort();
    Ok(names.into_iter().find(|name| name != ".git"))
}

fn folder_name(folder: &Path) -> String {
    let last = |path: &Path| path.file_name().map(|n| n.to_string_lossy().into_owned());
    // `.` and `..` have a name only where they lead.
    last(folder)
        .or_else(|| folder.canonicalize().ok().as_deref().and_then(last))
        .unwrap_or_default()
}

/// For a shell, if it has a blank in it.
fn quoted(path: &str) -> String {
    if path.contains(' ') {
        format!("\"{path}\"")
    } else {
        path.to_owned()
    }
}
