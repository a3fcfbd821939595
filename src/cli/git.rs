//! Files as a revision of a git repository has them, read by calling `git`.
//!
//! Only commands that look things up are called (`rev-parse`, `ls-tree`, `cat-file`, `diff-index`,
//! `log`), never one that converts, fetches or runs what a repository's settings name: no text
//! conversion, no external diff, no hooks, no signature programs, no network. What the maker calls a
//! revision is turned into an object's name first and can't be taken for an option. Paths are literal
//! and output is ended by NUL, so a file may be called anything.

use crate::source::{Files, MAX_FILE_BYTES, ReadFault};
use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Why a revision can't be had, in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GitFault(pub String);

/// A folder of a revision: the project of a file as it was then.
#[derive(Debug)]
pub struct Tree {
    /// Where git is called.
    folder: PathBuf,
    /// The commit's object name.
    commit: String,
    /// As the maker calls it.
    revision: String,
    /// The project's folder in the tree, with `/` at its end; empty for the top.
    root: String,
}

impl Tree {
    /// The project of a file, as it was at a revision of the repository that the file stands in, and
    /// the file's name in it. A file that was moved or renamed since is found under its former name.
    ///
    /// # Errors
    /// When there is no git, no repository, no such revision, or the file was not in it.
    pub fn of(file: &Path, revision: &str) -> Result<(Tree, String), GitFault> {
        let fault = |why: String| GitFault(why);
        let name = file
            .file_name()
            .and_then(OsStr::to_str)
            .ok_or_else(|| fault(format!("{}: it is not the name of a file", file.display())))?;
        let folder = match file.parent() {
            Some(folder) if !folder.as_os_str().is_empty() => folder,
            _ => Path::new("."),
        };
        let folder = folder
            .canonicalize()
            .map_err(|error| fault(format!("{}: {error}", folder.display())))?;
        let git = Git { folder: &folder };
        let prefix = git.prefix()?;
        let commit = git.commit(revision)?;
        let path = format!("{prefix}{name}");
        let then = if git.is_there(&commit, &path)? {
            path
        } else {
            git.former_name(&commit, &path)?.ok_or_else(|| {
                fault(format!(
                    "{}: it is not in `{revision}`, nor is a file there that it was made from",
                    file.display()
                ))
            })?
        };
        let (root, entry) = match then.rsplit_once('/') {
            Some((root, entry)) => (format!("{root}/"), entry.to_owned()),
            None => (String::new(), then),
        };
        let tree = Tree {
            commit,
            revision: revision.to_owned(),
            root,
            folder: folder.clone(),
        };
        Ok((tree, entry))
    }

    /// A file of the project as git's own words name it: `HEAD~1:pieces/stock.case`.
    pub fn called(&self, path: &str) -> String {
        format!("{}:{}{path}", self.revision, self.root)
    }
}

/// So many links may lead to a file.
const MOST_LINKS: usize = 16;

impl Files for Tree {
    fn read(&self, path: &str) -> Result<String, ReadFault> {
        let git = Git {
            folder: &self.folder,
        };
        let system = |GitFault(why): GitFault| ReadFault::System(why);
        let mut path = path.to_owned();
        for _ in 0..MOST_LINKS {
            let full = format!("{}{path}", self.root);
            let entry = match git.entry(&self.commit, &full).map_err(system)? {
                Some(entry) => entry,
                // A folder on the way may be a link.
                None => match self.through_link(&git, &path)? {
                    Some(real) => {
                        path = real;
                        continue;
                    }
                    None => return Err(ReadFault::Missing),
                },
            };
            match entry.mode.as_str() {
                LINK => path = self.target(&git, &path, &entry)?,
                ANOTHER => return Err(elsewhere()),
                mode if mode.starts_with("100") => {
                    if entry.size > MAX_FILE_BYTES {
                        return Err(ReadFault::TooLarge(entry.size));
                    }
                    let bytes = git.blob(&entry.object).map_err(system)?;
                    return String::from_utf8(bytes)
                        .map_err(|e| ReadFault::NotText(e.utf8_error().valid_up_to()));
                }
                _ => return Err(ReadFault::System("not a file".into())),
            }
        }
        Err(ReadFault::System("too many links lead to it".into()))
    }
}

/// The mode of a link.
const LINK: &str = "120000";

/// The mode of another repository that stands in this one.
const ANOTHER: &str = "160000";

fn elsewhere() -> ReadFault {
    let why = "it is in another repository (a submodule), of which only the revision is known here";
    ReadFault::System(why.into())
}

impl Tree {
    /// The path with its first folder that is a link replaced by what that leads to.
    fn through_link(&self, git: &Git<'_>, path: &str) -> Result<Option<String>, ReadFault> {
        for (at, _) in path.match_indices('/') {
            let (folder, rest) = path.split_at(at);
            let full = format!("{}{folder}", self.root);
            let entry = git
                .entry(&self.commit, &full)
                .map_err(|GitFault(why)| ReadFault::System(why))?;
            match entry {
                Some(entry) if entry.mode == LINK => {
                    let target = self.target(git, folder, &entry)?;
                    return Ok(Some(format!("{target}{rest}")));
                }
                Some(entry) if entry.mode == ANOTHER => return Err(elsewhere()),
                Some(_) => {}
                None => return Ok(None),
            }
        }
        Ok(None)
    }

    /// What a link leads to, in the project; a link that leads out of it is refused, as on disk.
    fn target(&self, git: &Git<'_>, path: &str, entry: &Entry) -> Result<String, ReadFault> {
        let bytes = git
            .blob(&entry.object)
            .map_err(|GitFault(why)| ReadFault::System(why))?;
        let target = String::from_utf8(bytes)
            .map_err(|e| ReadFault::NotText(e.utf8_error().valid_up_to()))?;
        if target.starts_with('/') {
            return Err(ReadFault::Outside);
        }
        let mut parts: Vec<&str> = path.split('/').collect();
        parts.pop();
        for part in target.split('/') {
            match part {
                "" | "." => {}
                ".." => {
                    parts.pop().ok_or(ReadFault::Outside)?;
                }
                part => parts.push(part),
            }
        }
        Ok(parts.join("/"))
    }
}

/// What stands at a path of a tree.
struct Entry {
    mode: String,
    object: String,
    size: u64,
}

/// The program, called in a folder.
struct Git<'a> {
    folder: &'a Path,
}

/// What a call gave.
struct Answer {
    fine: bool,
    out: Vec<u8>,
    err: String,
}

impl Git<'_> {
    fn call(&self, args: &[&str]) -> Result<Answer, GitFault> {
        let mut command = Command::new("git");
        command
            .args(["--no-pager", "--no-replace-objects", "--literal-pathspecs"])
            // Nothing that a repository's settings name is run.
            .args([
                "-c",
                "core.fsmonitor=false",
                "-c",
                "core.hooksPath=/dev/null",
            ])
            .args(["-c", "log.showSignature=false", "-c", "diff.external="])
            .args(args)
            .current_dir(self.folder)
            .stdin(std::process::Stdio::null())
            .env("LC_ALL", "C")
            .env("GIT_OPTIONAL_LOCKS", "0")
            .env("GIT_TERMINAL_PROMPT", "0")
            .env("GIT_NO_LAZY_FETCH", "1")
            .env("GIT_ALLOW_PROTOCOL", "none");
        // The repository is the one that the file stands in, whatever called this program.
        for name in REPOSITORY {
            command.env_remove(name);
        }
        let output = command.output().map_err(|error| {
            GitFault(match error.kind() {
                std::io::ErrorKind::NotFound => {
                    "git is needed to read a revision, and there is no program `git`".into()
                }
                _ => format!("git can't be started: {error}"),
            })
        })?;
        Ok(Answer {
            fine: output.status.success(),
            out: output.stdout,
            err: String::from_utf8_lossy(&output.stderr).trim().to_owned(),
        })
    }

    /// A call that can only fail for reasons that are not ours to know.
    fn ask(&self, args: &[&str]) -> Result<Vec<u8>, GitFault> {
        let answer = self.call(args)?;
        if answer.fine {
            Ok(answer.out)
        } else {
            Err(says(&answer))
        }
    }

    /// The folder's path in the repository, with `/` at its end; empty at the top.
    fn prefix(&self) -> Result<String, GitFault> {
        let answer = self.call(&["rev-parse", "--is-inside-work-tree", "--show-prefix"])?;
        if !answer.fine {
            if answer.err.contains("not a git repository") {
                return Err(GitFault(format!(
                    "{}: it is in no git repository",
                    self.folder.display()
                )));
            }
            return Err(says(&answer));
        }
        let text = String::from_utf8(answer.out).map_err(|_| {
            GitFault("the folder's name is no UTF-8 text, so it can't be named to git".into())
        })?;
        match text.split_once('\n') {
            Some(("true", prefix)) => Ok(prefix.strip_suffix('\n').unwrap_or(prefix).to_owned()),
            _ => Err(GitFault(format!(
                "{}: it is within git's own folder or in a repository without files",
                self.folder.display()
            ))),
        }
    }

    /// The object name of a commit.
    fn commit(&self, revision: &str) -> Result<String, GitFault> {
        let unknown = || GitFault(format!("`{revision}` names no revision of this repository"));
        let odd = |c: char| c.is_control();
        if revision.is_empty() || revision.starts_with('-') || revision.contains(odd) {
            return Err(unknown());
        }
        let named = format!("{revision}^{{commit}}");
        let answer = self.call(&[
            "rev-parse",
            "--verify",
            "--quiet",
            "--end-of-options",
            &named,
        ])?;
        let text = String::from_utf8(answer.out).unwrap_or_default();
        let name = text.trim_end();
        let is_name = name.len() >= 40 && name.bytes().all(|b| b.is_ascii_hexdigit());
        if answer.fine && is_name {
            Ok(name.to_owned())
        } else {
            Err(unknown())
        }
    }

    fn is_there(&self, commit: &str, path: &str) -> Result<bool, GitFault> {
        let entry = self.entry(commit, path)?;
        Ok(entry.is_some_and(|entry| entry.mode.starts_with("100") || entry.mode == LINK))
    }

    /// What stands at a path, seen from the top of the tree.
    fn entry(&self, commit: &str, path: &str) -> Result<Option<Entry>, GitFault> {
        if path.is_empty() {
            return Ok(None);
        }
        let out = self.ask(&["ls-tree", "-z", "-l", "--full-tree", commit, "--", path])?;
        let text = String::from_utf8_lossy(&out);
        for record in text.split('\0') {
            let Some((about, name)) = record.split_once('\t') else {
                continue;
            };
            let mut words = about.split_whitespace();
            if let (true, Some(mode), Some(_), Some(object), Some(size)) = (
                name == path,
                words.next(),
                words.next(),
                words.next(),
                words.next(),
            ) {
                return Ok(Some(Entry {
                    mode: mode.to_owned(),
                    object: object.to_owned(),
                    size: size.parse().unwrap_or(0),
                }));
            }
        }
        Ok(None)
    }

    /// The bytes of a blob, as they are stored.
    fn blob(&self, object: &str) -> Result<Vec<u8>, GitFault> {
        self.ask(&["cat-file", "blob", object])
    }

    /// What a file was called at a commit, if git knows that it was moved or renamed since: from the
    /// two trees, and where too much was changed since, from one commit to the next.
    fn former_name(&self, commit: &str, path: &str) -> Result<Option<String>, GitFault> {
        let found = self.ask(&[
            "diff-index",
            "--cached",
            "-r",
            "-z",
            "-M",
            "--diff-filter=R",
            "--name-status",
            "--no-ext-diff",
            "--no-textconv",
            commit,
            "--",
        ])?;
        if let Some((_, old)) = renames(&found).into_iter().find(|(new, _)| new == path) {
            return Ok(Some(old));
        }
        let since = format!("{commit}..HEAD");
        // A path is seen from the folder here, unless it is said to be seen from the top; and paths are
        // literal, so that can't be said. The file's own name is what `log` gets.
        let name = path.rsplit('/').next().unwrap_or(path);
        let answer = self.call(&[
            "log",
            "--follow",
            "-z",
            "-M",
            "--format=",
            "--diff-filter=R",
            "--name-status",
            "--no-ext-diff",
            "--no-textconv",
            "--no-show-signature",
            "--end-of-options",
            &since,
            "--",
            name,
        ])?;
        if !answer.fine {
            // There may be no commit yet, or no `HEAD`.
            return Ok(None);
        }
        // Newest first: each rename leads one step back.
        let mut then = path.to_owned();
        for (new, old) in renames(&answer.out) {
            if new == then {
                then = old;
            }
            if self.is_there(commit, &then)? {
                return Ok(Some(then));
            }
        }
        Ok(None)
    }
}

/// Variables by which another repository would be taken.
const REPOSITORY: [&str; 9] = [
    "GIT_DIR",
    "GIT_WORK_TREE",
    "GIT_INDEX_FILE",
    "GIT_PREFIX",
    "GIT_COMMON_DIR",
    "GIT_NAMESPACE",
    "GIT_OBJECT_DIRECTORY",
    "GIT_ALTERNATE_OBJECT_DIRECTORIES",
    "GIT_EXTERNAL_DIFF",
];

/// New and old path of each rename: `R087 NUL old NUL new NUL`.
fn renames(out: &[u8]) -> Vec<(String, String)> {
    let text = String::from_utf8_lossy(out);
    let mut fields = text
        .split('\0')
        .map(|f| f.trim_start_matches('\n'))
        .filter(|f| !f.is_empty());
    let mut found = Vec::new();
    while let Some(status) = fields.next() {
        if !status.starts_with('R') {
            continue;
        }
        if let (Some(old), Some(new)) = (fields.next(), fields.next()) {
            found.push((new.to_owned(), old.to_owned()));
        }
    }
    found
}

/// What git itself says.
fn says(answer: &Answer) -> GitFault {
    let line = answer.err.lines().next().unwrap_or("");
    let line = line.strip_prefix("fatal: ").unwrap_or(line);
    GitFault(format!("git says: {}", crate::diag::safe(line)))
}
