//! Reading within the project folder, writing whole files or none.

use crate::source::{Files, MAX_FILE_BYTES, ReadFault};
use std::io::Write as _;
use std::path::{Path, PathBuf};

/// The files of a project: everything under the folder of its first file.
#[derive(Debug)]
pub struct Disk {
    root: PathBuf,
}

impl Disk {
    /// The project of a file, and the file's name in it.
    ///
    /// # Errors
    /// When there is no such file or its folder can't be found.
    pub fn project_of(file: &Path) -> Result<(Disk, String), ReadFault> {
        let name = file
            .file_name()
            .and_then(|n| n.to_str())
            .ok_or(ReadFault::Missing)?
            .to_owned();
        let folder = match file.parent() {
            Some(folder) if !folder.as_os_str().is_empty() => folder,
            _ => Path::new("."),
        };
        let root = folder.canonicalize().map_err(|e| fault(&e))?;
        Ok((Disk { root }, name))
    }

    /// Where a file of the project lies.
    pub fn path_of(&self, path: &str) -> PathBuf {
        self.root.join(path)
    }
}

fn fault(error: &std::io::Error) -> ReadFault {
    match error.kind() {
        std::io::ErrorKind::NotFound => ReadFault::Missing,
        _ => ReadFault::System(error.to_string()),
    }
}

impl Files for Disk {
    fn read(&self, path: &str) -> Result<String, ReadFault> {
        let full = self.root.join(path).canonicalize().map_err(|e| fault(&e))?;
        // Links have been followed: what they lead to must lie in the folder too.
        if !full.starts_with(&self.root) {
            return Err(ReadFault::Outside);
        }
        let data = std::fs::metadata(&full).map_err(|e| fault(&e))?;
        if !data.is_file() {
            return Err(ReadFault::System("not a file".into()));
        }
        if data.len() > MAX_FILE_BYTES {
            return Err(ReadFault::TooLarge(data.len()));
        }
        let bytes = std::fs::read(&full).map_err(|e| fault(&e))?;
        String::from_utf8(bytes).map_err(|e| ReadFault::NotText(e.utf8_error().valid_up_to()))
    }
}

/// Writes a file whole: beside the target first, then renamed into its place.
///
/// # Errors
/// When the folder is missing or can't be written; the target is then as it was.
pub fn write_whole(target: &Path, text: &str) -> std::io::Result<()> {
    stage(target, text)?.place()
}

/// A file that is written and not yet in its place; left there, it is gone.
#[derive(Debug)]
pub struct Staged {
    target: PathBuf,
    file: Written,
}

#[derive(Debug)]
enum Written {
    Beside(tempfile::NamedTempFile),
    /// A pipe or a device can't be renamed over: it is written at last.
    NotYet(String),
}

impl Staged {
    /// Puts the file into its place.
    ///
    /// # Errors
    /// When it can't be renamed; the target is then as it was.
    pub fn place(self) -> std::io::Result<()> {
        match self.file {
            Written::Beside(file) => file.persist(&self.target).map(|_| ()).map_err(|e| e.error),
            Written::NotYet(text) => std::fs::write(&self.target, text),
        }
    }
}

/// Writes a file beside its target.
///
/// # Errors
/// When the folder is missing or can't be written.
pub fn stage(target: &Path, text: &str) -> std::io::Result<Staged> {
    // A link stays a link, what it leads to is written.
    let real = target.canonicalize();
    if real.is_err() && target.is_symlink() {
        return Err(std::io::Error::other("it is a link that leads nowhere"));
    }
    let target = real.as_deref().unwrap_or(target);
    if target.is_dir() {
        return Err(std::io::Error::other("it is a folder"));
    }
    if std::fs::metadata(target).is_ok_and(|data| !data.is_file()) {
        return Ok(Staged {
            target: target.to_owned(),
            file: Written::NotYet(text.to_owned()),
        });
    }
    let folder = match target.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    std::fs::metadata(folder)?;
    let mut builder = tempfile::Builder::new();
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        // One that was there keeps its permissions; of a new one the user's mask applies.
        let kept = std::fs::metadata(target).map(|data| data.permissions());
        builder.permissions(kept.unwrap_or_else(|_| std::fs::Permissions::from_mode(0o666)));
    }
    let file = builder.prefix(".casewright-").tempfile_in(folder);
    // The name of the file beside it is nobody's business.
    let mut file = file.map_err(|error| std::io::Error::from(error.kind()))?;
    file.write_all(text.as_bytes())?;
    file.as_file().sync_all()?;
    Ok(Staged {
        target: target.to_owned(),
        file: Written::Beside(file),
    })
}

/// The `.html` and `.css` files of a folder of templates, by name.
///
/// # Errors
/// When the folder or a file in it can't be read.
pub fn read_templates(folder: &Path) -> std::io::Result<Vec<(String, String)>> {
    let mut out = Vec::new();
    for entry in std::fs::read_dir(folder)? {
        let path = entry?.path();
        let known = path.extension().is_some_and(|e| e == "html" || e == "css");
        if let (true, Some(name)) = (known, path.file_name().and_then(|n| n.to_str())) {
            out.push((name.to_owned(), std::fs::read_to_string(&path)?));
        }
    }
    out.sort();
    Ok(out)
}

/// So many folders are looked into for a file's own.
const MOST_FOLDERS: usize = 2000;

/// The folder that a file of this name belongs in: `folder` itself if it holds one, otherwise the only
/// folder below that does. None where there is none, or more than one: it is not guessed at. Hidden
/// folders and links are left out.
pub fn home_of(folder: &Path, name: &str) -> Option<PathBuf> {
    if folder.join(name).is_file() {
        return Some(folder.to_owned());
    }
    let mut found = None;
    let mut todo = vec![folder.to_owned()];
    let mut seen = 0;
    while let Some(next) = todo.pop() {
        seen += 1;
        if seen > MOST_FOLDERS {
            return None;
        }
        let Ok(entries) = std::fs::read_dir(&next) else {
            continue;
        };
        for entry in entries.flatten() {
            let hidden = entry.file_name().to_string_lossy().starts_with('.');
            if hidden || !entry.file_type().is_ok_and(|kind| kind.is_dir()) {
                continue;
            }
            let below = entry.path();
            if below.join(name).is_file() && found.replace(below.clone()).is_some() {
                return None;
            }
            todo.push(below);
        }
    }
    found
}
