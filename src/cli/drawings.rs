//! The drawings beside a book in Markdown: written, and taken away when the book shows them no more.
//!
//! A file that this program did not write is neither written over nor taken away. That a drawing is
//! its own is told by its first line, which has the file's name: a copy under another name, that a
//! maker has drawn on, is the maker's.

use super::disk;
use crate::book::md::{DrawingFile, first_line};
use std::fs::File;
use std::io::{self, Read as _};
use std::path::{Path, PathBuf};

/// Drawings that are written and not yet in their places; left there, they are gone, and so is a folder
/// that was made for them.
#[derive(Debug, Default)]
pub struct Staged {
    files: Vec<Drawn>,
    made: Option<PathBuf>,
}

#[derive(Debug)]
struct Drawn {
    path: PathBuf,
    file: disk::Staged,
}

impl Staged {
    /// Puts the drawings into their places.
    ///
    /// # Errors
    /// When one can't be renamed.
    pub fn place(mut self) -> io::Result<()> {
        for drawn in std::mem::take(&mut self.files) {
            let placed = drawn.file.place();
            placed.map_err(|error| of(&drawn.path, &error.to_string()))?;
        }
        Ok(())
    }
}

impl Drop for Staged {
    fn drop(&mut self) {
        self.files.clear();
        if let Some(folder) = &self.made {
            // What holds drawings by now stays: only an empty folder can be taken away.
            let _ = std::fs::remove_dir(folder);
        }
    }
}

/// Writes the drawings beside their places in their folder; none if one of the names is taken.
///
/// # Errors
/// When the folder can't be made or leads out of the book's, a file can't be written, or one stands
/// there that is not a drawing of this program.
pub fn stage(folder: &Path, drawings: &[DrawingFile]) -> io::Result<Staged> {
    let mut staged = Staged::default();
    if drawings.is_empty() {
        return Ok(staged);
    }
    if leads_away(folder) {
        return Err(of(
            folder,
            "it is a link that leads out of the folder in which it stands; take it away or choose another name",
        ));
    }
    if !folder.is_dir() {
        std::fs::create_dir(folder).map_err(|error| of(folder, &error.to_string()))?;
        staged.made = Some(folder.to_owned());
    }
    for drawing in drawings {
        let path = folder.join(&drawing.name);
        if path.symlink_metadata().is_ok() && !is_ours(&path, &drawing.name) {
            return Err(of(
                &path,
                "there is a file that is not a drawing of this program; move it or choose another name",
            ));
        }
    }
    for drawing in drawings {
        let path = folder.join(&drawing.name);
        if std::fs::read(&path).is_ok_and(|known| known == drawing.svg.as_bytes()) {
            continue;
        }
        let file = disk::stage(&path, &drawing.svg);
        let file = file.map_err(|error| of(&path, &error.to_string()))?;
        staged.files.push(Drawn { path, file });
    }
    Ok(staged)
}

/// Whether the folder is a link out of the folder that the book stands in.
fn leads_away(folder: &Path) -> bool {
    let around = match folder.parent() {
        Some(around) if !around.as_os_str().is_empty() => around,
        _ => Path::new("."),
    };
    match (
        folder.is_symlink(),
        folder.canonicalize(),
        around.canonicalize(),
    ) {
        (true, Ok(real), Ok(around)) => !real.starts_with(around),
        (link, ..) => link,
    }
}

/// Takes away the drawings of an earlier book that are not among these.
///
/// # Errors
/// When the folder can't be read or a file can't be taken away.
pub fn take_away_others(folder: &Path, drawings: &[DrawingFile]) -> io::Result<()> {
    let entries = match std::fs::read_dir(folder) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(()),
        entries => entries?,
    };
    for entry in entries {
        let entry = entry?;
        let Ok(name) = entry.file_name().into_string() else {
            continue;
        };
        let shown = drawings.iter().any(|drawing| drawing.name == name);
        if !shown && name.ends_with(".svg") && is_ours(&entry.path(), &name) {
            std::fs::remove_file(entry.path())?;
        }
    }
    Ok(())
}

/// Whether the file is one that this program wrote under this name. Links are not followed.
fn is_ours(path: &Path, name: &str) -> bool {
    if !path.symlink_metadata().is_ok_and(|data| data.is_file()) {
        return false;
    }
    let line = first_line(name);
    let mut head = Vec::new();
    let read = File::open(path).and_then(|file| {
        let most = line.len() as u64;
        file.take(most).read_to_end(&mut head)
    });
    read.is_ok() && head == line.as_bytes()
}

fn of(path: &Path, what: &str) -> io::Error {
    io::Error::other(format!("{}: {what}", path.display()))
}
