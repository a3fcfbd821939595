//! From files to checked lines: `use` is followed within the project folder, cycles are reported;
//! `use std` takes in the library that ships inside the program.

use super::library;
use crate::diag::{Diagnostic, code};
use crate::schema::{Context, Entry};
use crate::source::{FileId, Files, ReadFault, Source, Sources, Span};
use crate::syntax::tree::{ExprKind, Node};
use crate::{schema, syntax};
use std::collections::BTreeSet;

/// Files read so far.
pub struct Loaded {
    /// Their texts.
    pub sources: Sources,
    /// The lines of each file, used files first.
    pub entries: Vec<(FileId, Vec<Entry>)>,
    /// What was found on the way.
    pub diagnostics: Vec<Diagnostic>,
    /// Whether a file or a line could not be read, which was reported: it may have declared anything.
    pub holes: bool,
    /// Whether a file says `use std`.
    pub library: bool,
}

/// Why the first file could not be had.
#[derive(Debug)]
pub struct Unreadable {
    /// Its path.
    pub path: String,
    /// Why.
    pub fault: ReadFault,
}

/// Reads a file and all that it uses.
///
/// # Errors
/// When the first file can't be read; a file that is used and can't be read is a diagnostic.
pub fn load(files: &dyn Files, entry: &str) -> Result<Loaded, Unreadable> {
    let text = files.read(entry).map_err(|fault| Unreadable {
        path: entry.to_owned(),
        fault,
    })?;
    let mut loader = Loader {
        files,
        loaded: Loaded {
            sources: Sources::default(),
            entries: Vec::new(),
            diagnostics: Vec::new(),
            holes: false,
            library: false,
        },
        open: Vec::new(),
        done: Vec::new(),
        named: BTreeSet::new(),
    };
    loader.file(entry, text);
    if loader.loaded.library {
        loader.library();
    }
    Ok(loader.loaded)
}

struct Loader<'a> {
    files: &'a dyn Files,
    loaded: Loaded,
    /// Files being read, the first one first, with the line that asked for each.
    open: Vec<(String, Option<Span>)>,
    done: Vec<String>,
    /// Words that may name what the library declares.
    named: BTreeSet<String>,
}

/// How deep files may use files.
const DEEPEST: usize = 64;

impl Loader<'_> {
    fn file(&mut self, path: &str, text: String) {
        let id = self.loaded.sources.add(Source::new(path, text));
        let (mut tree, faults) = syntax::parse(&self.loaded.sources, id);
        super::orphans::take_out(self.loaded.sources.get(id), &faults, &mut tree.nodes);
        // What follows a brace too few may be lost with it.
        let unclosed = faults.iter().any(|f| *f.code == code::SYNTAX_BRACE_MISSING);
        self.loaded.holes |= unclosed;
        self.loaded.diagnostics.extend(faults);
        let (entries, mut faults) = schema::read(&tree.nodes, Context::File);
        // Behind a block that is not closed lines seem to stand in it: they stand elsewhere.
        let open = self
            .loaded
            .diagnostics
            .iter()
            .filter(|f| *f.code == code::SYNTAX_BRACE_MISSING);
        let open = open
            .map(|f| f.span())
            .filter(|at| at.file == id)
            .map(|at| at.start)
            .min();
        if let Some(open) = open {
            faults.retain(|fault| {
                let moved = [
                    &code::NAME_MISPLACED,
                    &code::NAME_WORD_NOT_HERE,
                    &code::LINE_DOUBLED,
                    &code::LINE_NEEDS,
                ];
                fault.span().start < open || !moved.contains(&fault.code)
            });
        }
        // A text that breaks off in a line is told once, by the block that is not closed.
        let text = &self.loaded.sources.get(id).text;
        if unclosed && !text.ends_with('\n') {
            let last = text.rfind('\n').map_or(0, |at| at + 1);
            faults.retain(|fault| (fault.span().start as usize) < last);
        }
        self.loaded.diagnostics.extend(faults);
        let read: BTreeSet<Span> = entries
            .iter()
            .filter_map(|entry| match entry {
                Entry::Form(form) => Some(form.head_span),
                Entry::If(_) => None,
            })
            .collect();
        self.loaded.holes |= tree.nodes.iter().any(|node| match node {
            Node::Line(line) => !read.contains(&line.head.span),
            Node::If(_) | Node::Bad(_) => true,
            Node::Comment(_) | Node::Blank => false,
        });
        if self.open.is_empty() {
            self.open.push((path.to_owned(), None));
        }
        library::names_in(&tree.nodes, &mut self.named);
        for entry in &entries {
            let Entry::Form(form) = entry else { continue };
            if form.head.word != "use" {
                continue;
            }
            let Some(value) = form.values.first() else {
                continue;
            };
            match &value.kind {
                ExprKind::Text(target) => self.follow(path, target, value.span),
                ExprKind::Name(name) if name == "std" => self.loaded.library = true,
                _ => self.hole(
                    Diagnostic::new(
                        &code::USE_MISSING,
                        "`use` takes a file of the project",
                        value.span,
                        "not the name of a file",
                    )
                    .help("write the file's name in quotes, as in `use \"stock.case\"`"),
                ),
            }
        }
        self.loaded.entries.push((id, entries));
        self.done.push(path.to_owned());
    }

    /// Reads what the files name of the library, and what that names in turn.
    fn library(&mut self) {
        loop {
            let wanted: Vec<_> = library::all()
                .iter()
                .filter(|d| self.named.contains(d.name) && !self.done.contains(&d.path))
                .collect();
            if wanted.is_empty() {
                return;
            }
            for declared in wanted {
                self.file(&declared.path, declared.text.to_owned());
            }
        }
    }

    /// Reports a file that is not had: what it declares is not missed again by name.
    fn hole(&mut self, report: Diagnostic) {
        self.loaded.diagnostics.push(report);
        self.loaded.holes = true;
    }

    fn follow(&mut self, from: &str, target: &str, span: Span) {
        if matches!(target.rsplit('/').next(), Some("" | "." | "..")) {
            return self.hole(
                Diagnostic::new(
                    &code::USE_MISSING,
                    "`use` takes a file of the project",
                    span,
                    "names no file",
                )
                .help("write the file's name in quotes, as in `use \"stock.case\"`"),
            );
        }
        let Some(path) = resolve(from, target) else {
            return self.hole(outside(target, span));
        };
        if let Some(at) = self.open.iter().position(|(open, _)| *open == path) {
            let mut names: Vec<&str> = self.open.iter().skip(at).map(|(p, _)| p.as_str()).collect();
            names.push(&path);
            let mut report = Diagnostic::new(
                &code::USE_CYCLE,
                "files that use each other in a circle",
                span,
                "closes the circle",
            )
            .note(names.join(" uses "));
            for (name, asked) in self.open.iter().skip(at + 1) {
                if let Some(asked) = asked {
                    report = report.at(*asked, format!("`{name}` is used here"));
                }
            }
            return self.hole(report.help("move what both need into a third file"));
        }
        if self.done.contains(&path) {
            return;
        }
        if self.open.len() >= DEEPEST {
            return self.hole(Diagnostic::new(
                &code::USE_CYCLE,
                format!("files that use files more than {DEEPEST} deep"),
                span,
                "one too many",
            ));
        }
        match self.files.read(&path) {
            Ok(text) => {
                self.open.push((path.clone(), Some(span)));
                self.file(&path, text);
                self.open.pop();
            }
            Err(fault) => self.hole(unreadable(&path, &fault, span)),
        }
    }
}

/// The path that `target` names, seen from the file `from`; `None` if it leaves the project folder.
pub fn resolve(from: &str, target: &str) -> Option<String> {
    if target.starts_with('/') || target.contains('\\') || target.contains(':') {
        return None;
    }
    let mut parts: Vec<&str> = from.split('/').collect();
    parts.pop();
    for part in target.split('/') {
        match part {
            "" | "." => {}
            ".." => {
                parts.pop()?;
            }
            part => parts.push(part),
        }
    }
    Some(parts.join("/"))
}

fn outside(target: &str, span: Span) -> Diagnostic {
    Diagnostic::new(
        &code::USE_OUTSIDE,
        format!("`{target}` is outside the project folder"),
        span,
        "leaves the folder",
    )
    .note("a project reads only files within its own folder")
    .help("copy the file into the project and use it from there")
}

fn unreadable(path: &str, fault: &ReadFault, span: Span) -> Diagnostic {
    let report = |here: &str| {
        Diagnostic::new(
            &code::USE_MISSING,
            format!("the file `{path}` can't be read"),
            span,
            here,
        )
    };
    match fault {
        ReadFault::Missing => report("there is no such file")
            .help("the name is relative to the file that it stands in"),
        ReadFault::Outside => outside(path, span),
        ReadFault::NotText(byte) => {
            report("is not UTF-8 text").note(format!("it stops being text at byte {byte}"))
        }
        ReadFault::TooLarge(size) => report("is too large").note(format!(
            "{size} bytes; at most {} are read",
            crate::source::MAX_FILE_BYTES
        )),
        ReadFault::System(why) => report("the system does not let it be read").note(why.clone()),
    }
}
