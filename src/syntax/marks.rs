//! Marks: the few characters that cut a text into lines and blocks, with strings and comments
//! stepped over. Knows nothing of what the words mean.

/// What a mark is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// `{`.
    Open,
    /// `}`.
    Close,
    /// A `}` that layout adds where the maker left one out; empty.
    Missing,
    /// A `}` that closes nothing; reported, then passed over.
    Extra,
    /// `(` or `[`.
    Bracket,
    /// `)` or `]`.
    BracketEnd,
    /// A bracket without its partner: it holds no newline.
    LooseBracket,
    /// The end of a line, with its carriage return.
    Newline,
    /// `// …`.
    Comment,
    /// `/// …`, first on its line.
    Doc,
    /// `/// …` after something on its line.
    LateDoc,
    /// The end of the text.
    End,
}

/// A mark and its bytes.
#[derive(Clone, Copy, Debug)]
pub(super) struct Mark {
    pub(super) kind: Kind,
    pub(super) start: usize,
    pub(super) end: usize,
}

/// The marks of a text, in order; the last is [`Kind::End`].
#[derive(Debug)]
pub(super) struct Marks {
    pub(super) list: Vec<Mark>,
    /// Where strings begin that do not end on their line, in order.
    pub(super) open_strings: Vec<usize>,
    /// Where a `"""` begins that never ends.
    pub(super) open_markdown: Option<usize>,
}

/// Finds the marks of a text from byte `from` on.
pub(super) fn find(text: &str, from: usize) -> Marks {
    let bytes = text.as_bytes();
    let at = |i: usize| bytes.get(i).copied().unwrap_or(0);
    let mut marks = Marks {
        list: Vec::new(),
        open_strings: Vec::new(),
        open_markdown: None,
    };
    let mut fresh = true;
    let mut i = from;
    while i < bytes.len() {
        let start = i;
        i += 1;
        let kind = match at(start) {
            b' ' | b'\t' => continue,
            b'\r' if at(i) == b'\n' => {
                i += 1;
                Kind::Newline
            }
            b'\n' => Kind::Newline,
            b'{' => Kind::Open,
            b'}' => Kind::Close,
            b'(' | b'[' => Kind::Bracket,
            b')' | b']' => Kind::BracketEnd,
            b'/' if at(i) == b'/' => {
                i = line_end(bytes, start);
                let remark = bytes.get(start..i).unwrap_or_default();
                i = start + remark.trim_ascii_end().len();
                let doc = at(start + 2) == b'/' && at(start + 3) != b'/';
                match (doc, fresh) {
                    (false, _) => Kind::Comment,
                    (true, true) => Kind::Doc,
                    (true, false) => Kind::LateDoc,
                }
            }
            // After a digit it is meant as the inch sign, which the fault's message explains.
            b'"' if start == 0 || !at(start - 1).is_ascii_digit() => {
                i = marks.text_end(text, start);
                fresh = false;
                continue;
            }
            _ => {
                fresh = false;
                continue;
            }
        };
        fresh = kind == Kind::Newline;
        marks.list.push(Mark {
            kind,
            start,
            end: i,
        });
    }
    marks.list.push(Mark {
        kind: Kind::End,
        start: bytes.len(),
        end: bytes.len(),
    });
    marks
}

impl Marks {
    /// Where the string that begins at `start` ends.
    fn text_end(&mut self, text: &str, start: usize) -> usize {
        let bytes = text.as_bytes();
        if text
            .get(start..)
            .is_some_and(|rest| rest.starts_with("\"\"\""))
        {
            return match text.get(start + 3..).and_then(|rest| rest.find("\"\"\"")) {
                Some(length) => start + 3 + length + 3,
                None => {
                    self.open_markdown = Some(start);
                    bytes.len()
                }
            };
        }
        let line = line_end(bytes, start);
        let rest = bytes.get(start + 1..line).unwrap_or_default();
        if let Some(length) = rest.iter().position(|b| *b == b'"') {
            return start + 1 + length + 1;
        }
        self.open_strings.push(start);
        // A brace that ends the line is almost surely meant as one.
        let last = rest
            .iter()
            .rposition(|b| !b.is_ascii_whitespace())
            .map_or(line, |i| start + 1 + i);
        match bytes.get(last) {
            Some(b'{') => last,
            Some(b'}') if self.open_on_this_line() => last,
            _ => line,
        }
    }

    /// Whether a brace was opened on the line that is being read and is still open.
    fn open_on_this_line(&self) -> bool {
        let mut closed = 0usize;
        for mark in self.list.iter().rev() {
            match mark.kind {
                Kind::Newline => return false,
                Kind::Close => closed += 1,
                Kind::Open if closed == 0 => return true,
                Kind::Open => closed -= 1,
                _ => {}
            }
        }
        false
    }
}

/// Where the line around `start` ends, before its newline and carriage return.
fn line_end(bytes: &[u8], start: usize) -> usize {
    let rest = bytes.get(start..).unwrap_or_default();
    let end = rest
        .iter()
        .position(|b| *b == b'\n')
        .map_or(bytes.len(), |length| start + length);
    let carriage = end > start && end < bytes.len() && bytes.get(end - 1) == Some(&b'\r');
    end - usize::from(carriage)
}

/// Whether a line whose words so far are `words` goes on after a newline: it ends with a comma or
/// with an operator between two values.
pub(super) fn goes_on(words: &str) -> bool {
    let words = words.trim_end();
    let mut back = words.chars().rev();
    match back.next() {
        Some(',' | '+' | '*' | '/' | '<' | '>') => true,
        Some('-') => back
            .next()
            .is_some_and(|c| c == ' ' || c == '\t' || c == '\n'),
        Some('=') => matches!(back.next(), Some('=' | '<' | '>' | '!')),
        Some('d' | 'r' | 'n' | 'e') => {
            let word = words
                .rsplit(|c: char| !(c.is_alphanumeric() || c == '_'))
                .next()
                .unwrap_or("");
            // The first word of a line is its head, whatever it is.
            matches!(word, "and" | "or" | "then" | "else") && word.len() < words.len()
        }
        _ => false,
    }
}
