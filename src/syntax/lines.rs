//! Walks the lines and blocks of a file and builds the tree.

use super::blocks::first_word;
use super::layout;
use super::marks::{self, Kind, Mark, goes_on};
use super::parse::{self, Stretch};
use super::refuse::{hidden, not_text};
use super::tree::{Doc, Line, Node, Tree};
use crate::diag::{Diagnostic, code};
use crate::source::{FileId, Sources, Span};

/// Reads a file. What cannot be read is in the reports, and as little as possible of the tree is lost.
///
/// ```
/// use casewright::source::{Source, Sources};
/// let mut sources = Sources::default();
/// let file = sources.add(Source::new("a.case", "side left, right of oak18\n"));
/// let (tree, reports) = casewright::syntax::parse(&sources, file);
/// assert!(reports.is_empty());
/// assert_eq!(tree.nodes.len(), 1);
/// ```
pub fn parse(sources: &Sources, file: FileId) -> (Tree, Vec<Diagnostic>) {
    let text: &str = &sources.get(file).text;
    let whole = Span {
        file,
        start: 0,
        end: text.len() as u32,
    };
    let refuse = |report: Diagnostic| {
        (
            Tree {
                file,
                nodes: vec![Node::Bad(whole)],
            },
            vec![report],
        )
    };
    if let Some(report) = not_text(text, file) {
        return refuse(report);
    }
    let from = if text.starts_with('\u{feff}') {
        '\u{feff}'.len_utf8()
    } else {
        0
    };
    let mut marks = marks::find(text, from);
    let reports = match layout::arrange(text, file, &mut marks) {
        Ok(reports) => reports,
        Err(at) => {
            let span = Span {
                file,
                start: at as u32,
                end: at as u32 + 1,
            };
            let here = format!("the {}th level stands here", layout::MAX_DEPTH + 1);
            return refuse(
                Diagnostic::new(
                    &code::SYNTAX_DEEP,
                    "blocks and brackets are nested too deep",
                    span,
                    here,
                )
                .help("give parts of it a name with `let`, or a pattern of their own"),
            );
        }
    };
    let hidden = hidden(text, file);
    let mut reader = Reader {
        text,
        file,
        marks: &marks.list,
        open_strings: &marks.open_strings,
        open_markdown: marks.open_markdown,
        mark: 0,
        pos: from,
        after_block: None,
        reports,
    };
    let nodes = reader.nodes(true);
    let mut reports = reader.reports;
    // Outside of remarks and texts the grammar stumbles over them too: one mistake, one report.
    let told = |report: &Diagnostic| {
        hidden
            .iter()
            .any(|other| other.span().start == report.span().start)
    };
    if !hidden.is_empty() {
        reports.retain(|report| !told(report));
        reports.extend(hidden);
    }
    reports.sort_by_key(|report| report.span().start);
    (Tree { file, nodes }, reports)
}

pub(super) struct Reader<'a> {
    pub(super) text: &'a str,
    pub(super) file: FileId,
    pub(super) marks: &'a [Mark],
    pub(super) open_strings: &'a [usize],
    pub(super) open_markdown: Option<usize>,
    /// The next mark.
    pub(super) mark: usize,
    /// The next byte; never beyond the next mark.
    pub(super) pos: usize,
    /// Where something was reported for following a block on its line.
    pub(super) after_block: Option<usize>,
    pub(super) reports: Vec<Diagnostic>,
}

const END: Mark = Mark {
    kind: Kind::End,
    start: usize::MAX,
    end: usize::MAX,
};

impl<'a> Reader<'a> {
    pub(super) fn span(&self, start: usize, end: usize) -> Span {
        Span {
            file: self.file,
            start: start as u32,
            end: end as u32,
        }
    }

    pub(super) fn next(&self) -> Mark {
        self.marks.get(self.mark).copied().unwrap_or(END)
    }

    /// Goes behind the next mark.
    pub(super) fn pass(&mut self) -> Mark {
        let mark = self.next();
        if mark.kind != Kind::End {
            self.pos = mark.end;
            self.mark += 1;
        }
        mark
    }

    /// Goes over blanks; gives the mark that stands there, if one does.
    pub(super) fn here(&mut self) -> Option<Mark> {
        let mark = self.next();
        let rest = self
            .text
            .get(self.pos..mark.start.min(self.text.len()))
            .unwrap_or("");
        self.pos += rest.len() - rest.trim_start_matches([' ', '\t']).len();
        (self.pos >= mark.start).then_some(mark)
    }

    /// The lines up to the brace that closes the block, or to the end of the file.
    pub(super) fn nodes(&mut self, top: bool) -> Vec<Node> {
        let mut nodes = Vec::new();
        let mut docs: Vec<Doc> = Vec::new();
        let mut fresh = top;
        loop {
            let Some(mark) = self.here() else {
                self.line(std::mem::take(&mut docs), &mut nodes);
                fresh = false;
                continue;
            };
            match mark.kind {
                Kind::Doc => {
                    let text = self
                        .text
                        .get(mark.start + 3..mark.end)
                        .unwrap_or("")
                        .trim()
                        .to_string();
                    docs.push(Doc {
                        text,
                        span: self.span(mark.start, mark.end),
                    });
                    fresh = false;
                    self.pass();
                    continue;
                }
                Kind::Newline => {
                    self.pass();
                    if !fresh {
                        fresh = true;
                        continue;
                    }
                    if !matches!(nodes.last(), Some(Node::Blank)) {
                        nodes.push(Node::Blank);
                    }
                }
                Kind::Comment => {
                    nodes.push(Node::Comment(self.span(mark.start, mark.end)));
                    fresh = false;
                    self.pass();
                }
                Kind::LateDoc => self.late_doc(),
                Kind::Open => {
                    self.stray_block(&mut nodes);
                    fresh = false;
                }
                Kind::Close | Kind::Missing if top => {
                    self.pass();
                }
                Kind::Close | Kind::Missing | Kind::End => {
                    self.stray_docs(&mut docs);
                    return nodes;
                }
                Kind::Extra => {
                    fresh = false;
                    self.pass();
                }
                Kind::Bracket | Kind::BracketEnd | Kind::LooseBracket => {
                    self.line(std::mem::take(&mut docs), &mut nodes);
                    fresh = false;
                }
            }
            self.stray_docs(&mut docs);
        }
    }

    pub(super) fn stray_docs(&mut self, docs: &mut Vec<Doc>) {
        for doc in docs.drain(..).take(1) {
            self.reports.push(
                Diagnostic::new(
                    &code::SYNTAX_DOC_PLACE,
                    "a description does not stand just above a line",
                    doc.span,
                    "describes nothing",
                )
                .help("put it just above what it describes, or write a remark with `//`"),
            );
        }
    }

    fn late_doc(&mut self) {
        let mark = self.pass();
        self.reports.push(
            Diagnostic::new(
                &code::SYNTAX_DOC_PLACE,
                "a description stands behind its line",
                self.span(mark.start, mark.end),
                "describes nothing",
            )
            .help("put it just above the line, or write a remark with `//`"),
        );
    }

    /// A comment at the end of the line that was just read.
    pub(super) fn end_comment(&mut self) -> Option<Span> {
        match self.here()?.kind {
            Kind::Comment => {
                let mark = self.pass();
                Some(self.span(mark.start, mark.end))
            }
            Kind::LateDoc => {
                self.late_doc();
                None
            }
            _ => None,
        }
    }

    /// The words from here to where the line's block, comment or end begins, and the comments within.
    pub(super) fn stretch(&mut self) -> (Stretch<'a>, Vec<Span>) {
        let start = self.pos;
        let first_mark = self.mark;
        let (mut depth, mut end, mut from) = (0usize, start, start);
        let mut comments = Vec::new();
        loop {
            let mark = self.next();
            let part = self
                .text
                .get(from..mark.start.min(self.text.len()))
                .unwrap_or("");
            let kept = part.trim_end_matches([' ', '\t']).len();
            if kept > 0 {
                end = from + kept;
            }
            match mark.kind {
                Kind::Bracket => depth += 1,
                Kind::BracketEnd => depth = depth.saturating_sub(1),
                Kind::LooseBracket => {}
                Kind::Newline | Kind::Comment | Kind::LateDoc | Kind::Doc => {
                    let words = self.text.get(start..end).unwrap_or("");
                    if depth == 0
                        && !(goes_on(words) && self.next_line_stands_further_right(start, mark))
                    {
                        break;
                    }
                    if mark.kind == Kind::Comment {
                        comments.push(self.span(mark.start, mark.end));
                    } else if mark.kind != Kind::Newline {
                        self.late_doc();
                        from = self.pos;
                        continue;
                    }
                    self.pass();
                    from = self.pos;
                    continue;
                }
                Kind::Open | Kind::Close | Kind::Missing | Kind::Extra | Kind::End => break,
            }
            self.pass();
            end = self.pos;
            from = self.pos;
        }
        self.pos = from.max(end);
        let marks = self.marks.get(first_mark..self.mark).unwrap_or_default();
        let stretch = Stretch {
            text: self.text,
            file: self.file,
            line_start: start,
            start,
            end,
            marks,
            open_strings: self.open_strings,
            open_markdown: self.open_markdown,
        };
        (stretch, comments)
    }

    /// Whether the words after this newline or comment stand further right than the line that they would
    /// carry on. Where they do not, the comma or operator before is a slip, and they are a line.
    fn next_line_stands_further_right(&self, start: usize, mark: Mark) -> bool {
        let line_start = self
            .text
            .get(..start)
            .and_then(|text| text.rfind('\n'))
            .map_or(0, |at| at + 1);
        let blanks = |text: &str| text.len() - text.trim_start_matches([' ', '\t']).len();
        let indent = |at: usize| {
            let line = self.text.get(at..).unwrap_or("");
            layout::column(line.get(..blanks(line)).unwrap_or(""))
        };
        let lines = self
            .text
            .get(mark.start..)
            .unwrap_or("")
            .split_inclusive('\n');
        let mut at = mark.start;
        for (i, line) in lines.enumerate() {
            let words = line.trim_start();
            if i > 0 && !words.is_empty() && !words.starts_with("//") {
                return indent(at) > indent(line_start);
            }
            at += line.len();
        }
        false
    }

    fn line(&mut self, docs: Vec<Doc>, nodes: &mut Vec<Node>) {
        let before = self.pos;
        let (stretch, inner_comments) = self.stretch();
        match first_word(stretch.words()) {
            "if" => {
                let mut docs = docs;
                self.stray_docs(&mut docs);
                self.branch(stretch, nodes);
            }
            "else" => self.stray_else(&stretch, nodes),
            _ => self.plain(&stretch, docs, inner_comments, nodes),
        }
        debug_assert!(self.pos > before, "every line takes some of the text");
        self.after_block();
    }

    fn plain(
        &mut self,
        stretch: &Stretch<'_>,
        mut docs: Vec<Doc>,
        inner_comments: Vec<Span>,
        nodes: &mut Vec<Node>,
    ) {
        let known = self.reports.len();
        let (words, lost) = parse::line(stretch, &mut self.reports);
        if self.after_block == Some(stretch.start) && words.is_none() {
            self.reports.truncate(known); // it should not stand here in the first place
        }
        let mut comment = self.end_comment();
        let mut missing = false;
        let block = match self.here() {
            Some(mark) if mark.kind == Kind::Open && comment.is_none() => {
                let block;
                (block, comment, missing) = self.block();
                Some(block)
            }
            _ => None,
        };
        let mut span = self.span(stretch.start, stretch.end);
        if let Some(block) = &block {
            span = span.to(block.span);
        }
        let Some(words) = words else {
            docs.clear();
            nodes.push(Node::Bad(span));
            return;
        };
        nodes.push(Node::Line(Line {
            docs,
            head: words.head,
            items: words.items,
            set: words.set,
            block,
            comment,
            inner_comments,
            span,
            damaged: lost || missing,
        }));
    }
}
