//! Source files, spans and places. The core asks for files through [`Files`]; only the command line
//! touches the disk.

use std::sync::Arc;

/// A file of the project, by its index in [`Sources`].
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, schemars::JsonSchema,
)]
pub struct FileId(pub u32);

/// A byte range of a file.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, schemars::JsonSchema,
)]
pub struct Span {
    /// The file.
    pub file: FileId,
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

impl Span {
    /// Whether all of `other` lies in it.
    pub fn holds(self, other: Span) -> bool {
        self.file == other.file && self.start <= other.start && other.end <= self.end
    }

    /// The smallest span that holds both (of one file; otherwise the first).
    pub fn to(self, other: Span) -> Span {
        if self.file != other.file {
            return self;
        }
        Span {
            file: self.file,
            start: self.start.min(other.start),
            end: self.end.max(other.end),
        }
    }

    /// The empty span just after this one.
    pub fn after(self) -> Span {
        Span {
            start: self.end,
            ..self
        }
    }
}

/// A text with its display path and the table of its lines.
#[derive(Clone, Debug)]
pub struct Source {
    /// As named by the maker: relative to the project folder, with `/`. `std:…` for the library.
    pub path: String,
    /// The whole text.
    pub text: Arc<str>,
    /// Byte offset of the start of each line.
    pub line_starts: Arc<[u32]>,
}

impl Source {
    /// Indexes the lines of a text.
    pub fn new(path: impl Into<String>, text: impl Into<Arc<str>>) -> Source {
        let text = text.into();
        let starts = text
            .bytes()
            .enumerate()
            .filter(|(_, b)| *b == b'\n')
            .map(|(i, _)| i as u32 + 1);
        let line_starts = std::iter::once(0).chain(starts).collect();
        Source {
            path: path.into(),
            text,
            line_starts,
        }
    }

    /// Line and column of a byte, both from 1; the column counts characters.
    pub fn place(&self, byte: u32) -> (usize, usize) {
        let line = self
            .line_starts
            .partition_point(|start| *start <= byte)
            .max(1)
            - 1;
        let start = self.line_starts.get(line).copied().unwrap_or(0);
        let column = self
            .text
            .get(start as usize..byte as usize)
            .map_or(0, |t| t.chars().count());
        (line + 1, column + 1)
    }
}

/// All files of a compilation.
#[derive(Clone, Debug, Default)]
pub struct Sources {
    files: Vec<Source>,
}

impl Sources {
    /// Adds a file.
    pub fn add(&mut self, source: Source) -> FileId {
        self.files.push(source);
        FileId(self.files.len() as u32 - 1)
    }

    /// Shows another text in the place of a file's: what was read is how it was given, put into a line
    /// of the same length.
    pub fn show_as(&mut self, id: FileId, text: String) {
        if let Some(file) = self.files.get_mut(id.0 as usize) {
            *file = Source::new(file.path.clone(), text);
        }
    }

    /// The file with this id, which must come from [`Sources::add`] of this set.
    pub fn get(&self, id: FileId) -> &Source {
        self.files
            .get(id.0 as usize)
            .expect("a file id comes from the set that made it")
    }

    /// The text under a span; empty if the span does not lie on character borders.
    pub fn text(&self, span: Span) -> &str {
        self.get(span.file)
            .text
            .get(span.start as usize..span.end as usize)
            .unwrap_or("")
    }

    /// `path:line:column` of the start of a span.
    pub fn place(&self, span: Span) -> String {
        let source = self.get(span.file);
        let (line, column) = source.place(span.start);
        format!("{}:{line}:{column}", source.path)
    }

    /// The same files, called as they are seen from elsewhere: in messages the project's folder stands
    /// before their names. What ships inside the program keeps its own, and so does what was given on
    /// the command line.
    pub fn seen_from(self, folder: &str) -> Sources {
        self.called(|path| format!("{}/{path}", folder.trim_end_matches('/')))
    }

    /// The same files, each called as `name` says; but for what ships inside the program or was given
    /// on the command line.
    pub fn called(mut self, name: impl Fn(&str) -> String) -> Sources {
        for file in self
            .files
            .iter_mut()
            .filter(|f| !f.path.contains(':') && !f.path.starts_with("--"))
        {
            file.path = name(&file.path);
        }
        self
    }

    /// Every file with its id, in the order in which they were added.
    pub fn iter(&self) -> impl Iterator<Item = (FileId, &Source)> {
        self.files
            .iter()
            .enumerate()
            .map(|(i, s)| (FileId(i as u32), s))
    }
}

/// Why a file could not be had.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ReadFault {
    /// There is no such file.
    Missing,
    /// It lies outside the project folder (also by way of a link).
    Outside,
    /// It is not UTF-8 text; the byte where it stops being so.
    NotText(usize),
    /// It is larger than [`MAX_FILE_BYTES`].
    TooLarge(u64),
    /// The system says no, in its own words.
    System(String),
}

/// The largest source file that is read (the limit is ours: 100,000 lines take about 4 MB).
pub const MAX_FILE_BYTES: u64 = 16 * 1024 * 1024;

/// Where the core gets files from. Paths are relative to the project folder and use `/`.
pub trait Files {
    /// The text of a file.
    ///
    /// # Errors
    /// When the file is missing, outside, not text or too large.
    fn read(&self, path: &str) -> Result<String, ReadFault>;
}
