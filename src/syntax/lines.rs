//! Walks the lines and blocks of a file and builds the tree.

use super::layout;
use super::marks::{self, Kind, Mark, goes_on};
use super::parse::{self, Stretch};
use super::tree::{Block, Doc, If, Line, Node, Tree};
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

/// Why a text is not read at all.
fn not_text(text: &str, file: FileId) -> Option<Diagnostic> {
    let span = |at: usize| Span {
        file,
        start: at as u32,
        end: at as u32 + 1,
    };
    if let Some(at) = text.find('\0') {
        let title = "a file is not text";
        let report = Diagnostic::new(&code::SYNTAX_NOT_TEXT, title, span(at), "a zero byte");
        return Some(report.help("give a text file that was written in an editor"));
    }
    let mut returns = text.match_indices('\r').map(|(at, _)| at);
    let lone = returns.find(|at| text.as_bytes().get(at + 1) != Some(&b'\n'))?;
    let title = "a carriage return stands without its newline";
    let here = "hides what stands before it on some screens";
    let report = Diagnostic::new(&code::SYNTAX_HIDDEN, title, span(lone), here);
    Some(report.help("save the file with line ends of one usual kind"))
}

/// Characters that change the order in which the rest of a line is shown: text that reads otherwise
/// than it is compiled must not pass a review unseen.
///
/// The first sign that another program lost is reported too: the maker must look at the original.
fn hidden(text: &str, file: FileId) -> Vec<Diagnostic> {
    let mut reports = Vec::new();
    let span = |at: usize, c: char| Span {
        file,
        start: at as u32,
        end: (at + c.len_utf8()) as u32,
    };
    if let Some(at) = text.find('\u{fffd}') {
        reports.push(
            Diagnostic::new(
                &code::SYNTAX_NOT_TEXT,
                "a letter was lost before the file was saved",
                span(at, '\u{fffd}'),
                "stands for a letter that some program could not read",
            )
            .help("write the letter again, and save the file as UTF-8"),
        );
    }
    // All characters that turn the direction begin with this byte in UTF-8.
    for at in text
        .bytes()
        .enumerate()
        .filter(|(_, byte)| *byte == 0xe2)
        .map(|(at, _)| at)
    {
        if let Some(c @ ('\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')) =
            text.get(at..).and_then(|t| t.chars().next())
        {
            let here = format!("U+{:04X} turns the direction of what follows", c as u32);
            reports.push(
                Diagnostic::new(
                    &code::SYNTAX_HIDDEN,
                    "a character that cannot be seen changes how the text reads",
                    span(at, c),
                    here,
                )
                .help("take it out"),
            );
            if reports.len() > 20 {
                break; // enough to find the rest by
            }
        }
    }
    reports
}

struct Reader<'a> {
    text: &'a str,
    file: FileId,
    marks: &'a [Mark],
    open_strings: &'a [usize],
    open_markdown: Option<usize>,
    /// The next mark.
    mark: usize,
    /// The next byte; never beyond the next mark.
    pos: usize,
    /// Where something was reported for following a block on its line.
    after_block: Option<usize>,
    reports: Vec<Diagnostic>,
}

const END: Mark = Mark {
    kind: Kind::End,
    start: usize::MAX,
    end: usize::MAX,
};

impl<'a> Reader<'a> {
    fn span(&self, start: usize, end: usize) -> Span {
        Span {
            file: self.file,
            start: start as u32,
            end: end as u32,
        }
    }

    fn next(&self) -> Mark {
        self.marks.get(self.mark).copied().unwrap_or(END)
    }

    /// Goes behind the next mark.
    fn pass(&mut self) -> Mark {
        let mark = self.next();
        if mark.kind != Kind::End {
            self.pos = mark.end;
            self.mark += 1;
        }
        mark
    }

    /// Goes over blanks; gives the mark that stands there, if one does.
    fn here(&mut self) -> Option<Mark> {
        let mark = self.next();
        let rest = self
            .text
            .get(self.pos..mark.start.min(self.text.len()))
            .unwrap_or("");
        self.pos += rest.len() - rest.trim_start_matches([' ', '\t']).len();
        (self.pos >= mark.start).then_some(mark)
    }

    /// The lines up to the brace that closes the block, or to the end of the file.
    fn nodes(&mut self, top: bool) -> Vec<Node> {
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

    fn stray_docs(&mut self, docs: &mut Vec<Doc>) {
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
    fn end_comment(&mut self) -> Option<Span> {
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
    fn stretch(&mut self) -> (Stretch<'a>, Vec<Span>) {
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

    /// A block, whose `{` is the next mark; the comment behind `{`; whether its `}` was missing.
    fn block(&mut self) -> (Block, Option<Span>, bool) {
        let open = self.pass();
        let comment = self.end_comment();
        let nodes = self.nodes(false);
        let last = self.pos;
        let close = self.pass();
        let missing = close.kind != Kind::Close;
        let end = if missing {
            last.min(self.text.len())
        } else {
            close.end
        };
        let end = if missing {
            open.end
                + self
                    .text
                    .get(open.end..end)
                    .unwrap_or("")
                    .trim_end_matches([' ', '\t', '\r', '\n'])
                    .len()
        } else {
            end
        };
        let behind = if missing { None } else { self.end_comment() };
        (
            Block {
                nodes,
                comment: behind,
                span: self.span(open.start, end),
            },
            comment,
            missing,
        )
    }

    /// `if c { } else …`, whose words are read up to the first brace.
    fn branch(&mut self, stretch: Stretch<'a>, nodes: &mut Vec<Node>) {
        let condition_start = stretch.start + 2;
        let lead = stretch.words().get(2..).unwrap_or("");
        let start = condition_start + (lead.len() - lead.trim_start().len());
        let words = Stretch {
            start: start.min(stretch.end),
            ..stretch
        };
        let condition = parse::condition(&words, &mut self.reports);
        if self.here().is_none_or(|mark| mark.kind != Kind::Open) {
            let span = self.span(stretch.start, stretch.end);
            // A condition that could not be read was reported.
            if !matches!(condition.kind, super::tree::ExprKind::BadUnit) {
                self.reports.push(
                    Diagnostic::new(
                        &code::SYNTAX_BLOCK_MISSING,
                        "a condition has no block",
                        span,
                        "decides nothing",
                    )
                    .help("open its block with `{` at the end of the line"),
                );
            }
            self.end_comment();
            nodes.push(Node::Bad(span));
            return;
        }
        let (then, comment, _) = self.block();
        let otherwise = if then.comment.is_none() {
            self.otherwise()
        } else {
            None
        };
        let end = otherwise.as_ref().map_or(then.span, |block| block.span);
        let span = self.span(stretch.start, stretch.end).to(end);
        nodes.push(Node::If(If {
            condition,
            then,
            otherwise,
            comment,
            span,
        }));
    }

    /// What follows the block of an `if` on its line.
    fn otherwise(&mut self) -> Option<Block> {
        if self.here().is_some() || first_word(self.text.get(self.pos..)?) != "else" {
            return None;
        }
        let start = self.pos;
        self.pos += "else".len();
        if self.here().is_some_and(|mark| mark.kind == Kind::Open) {
            let (mut block, comment, _) = self.block();
            if let Some(comment) = comment {
                // The tree has one place for a comment of this block; both are kept in order.
                block.nodes.insert(0, Node::Comment(comment));
            }
            return Some(block);
        }
        let (stretch, _) = self.stretch();
        if first_word(stretch.words()) == "if" {
            let mut nodes = Vec::new();
            self.branch(stretch, &mut nodes);
            let span = nodes
                .iter()
                .fold(self.span(start, stretch.end), |span, node| match node {
                    Node::If(branch) => span.to(branch.span),
                    _ => span,
                });
            return Some(Block {
                nodes,
                comment: None,
                span,
            });
        }
        let report = if stretch.words().is_empty() {
            let span = self.span(start, start + 4);
            Diagnostic::new(
                &code::SYNTAX_BLOCK_MISSING,
                "an `else` has no block",
                span,
                "decides nothing",
            )
        } else {
            Diagnostic::new(
                &code::SYNTAX_BLOCK_MISSING,
                "an `else` has no block",
                self.span(stretch.start, stretch.end),
                "a block or another `if` belongs here",
            )
        };
        self.reports
            .push(report.help("write `else { … }` or `else if … { … }`"));
        if self.here().is_some_and(|mark| mark.kind == Kind::Open) {
            return Some(self.block().0);
        }
        None
    }

    fn stray_else(&mut self, stretch: &Stretch<'_>, nodes: &mut Vec<Node>) {
        let report = Diagnostic::new(
            &code::SYNTAX_ELSE_PLACE,
            "an `else` does not follow the block of an `if`",
            self.span(stretch.start, stretch.start + 4),
            "begins a line",
        );
        let report = match nodes.iter().rev().find(|node| !matches!(node, Node::Blank)) {
            Some(Node::If(branch)) => {
                let end = branch.span;
                report
                    .at(
                        Span {
                            start: end.end.saturating_sub(1),
                            ..end
                        },
                        "it belongs behind this brace",
                    )
                    .help("write `} else {` on one line")
            }
            _ => report.help("write `if … { } else { }`"),
        };
        self.reports.push(report);
        let mut span = self.span(stretch.start, stretch.end);
        self.end_comment();
        if self.here().is_some_and(|mark| mark.kind == Kind::Open) {
            span = span.to(self.block().0.span);
        }
        nodes.push(Node::Bad(span));
    }

    /// A `{` that does not follow a head on its line.
    fn stray_block(&mut self, nodes: &mut Vec<Node>) {
        let open = self.next();
        let brace = self.span(open.start, open.end);
        let report = Diagnostic::new(
            &code::SYNTAX_BRACE_PLACE,
            "a block does not begin on the line of its head",
            brace,
            "begins a line",
        );
        let last = nodes
            .iter()
            .rposition(|node| !matches!(node, Node::Blank | Node::Comment(_)));
        let (block, comment, missing) = self.block();
        let owner = last.and_then(|i| nodes.get_mut(i));
        let report = match owner {
            Some(Node::Line(line)) if line.block.is_none() => {
                let report = report
                    .at(line.head.span, "its head, it seems")
                    .help("put `{` at the end of the line above");
                line.span = line.span.to(block.span);
                line.block = Some(block);
                line.comment = line.comment.or(comment);
                line.damaged |= missing;
                nodes.truncate(last.map_or(0, |i| i + 1)); // what stood between belongs within its span
                report
            }
            _ => {
                nodes.push(Node::Bad(block.span));
                report.help("a block belongs to a line: `case body {`")
            }
        };
        self.reports.push(report);
        self.after_block();
    }

    /// Nothing but a comment may follow a line or its block.
    fn after_block(&mut self) {
        let last = self.mark.checked_sub(1).and_then(|i| self.marks.get(i));
        if last.is_some_and(|mark| mark.kind == Kind::Missing) {
            return; // the block ended above this line
        }
        if self.here().is_some_and(|mark| {
            !matches!(
                mark.kind,
                Kind::Bracket | Kind::BracketEnd | Kind::LooseBracket
            )
        }) {
            return;
        }
        if self.pos >= self.text.len() {
            return;
        }
        let rest = self.text.get(self.pos..).unwrap_or("");
        let length = rest
            .find(|c: char| c.is_whitespace() || c == '{' || c == '}')
            .unwrap_or(rest.len())
            .max(1);
        let length = (0..=length)
            .rev()
            .find(|l| rest.is_char_boundary(*l))
            .unwrap_or(0);
        let span = self.span(self.pos, self.pos + length);
        // A condition without its block leads here too, and is reported already.
        self.after_block = Some(self.pos);
        let told = self
            .reports
            .last()
            .is_some_and(|report| report.code == &code::SYNTAX_BLOCK_MISSING);
        if !told {
            self.reports.push(
                Diagnostic::new(
                    &code::SYNTAX_AFTER_BLOCK,
                    "something follows a block on its line",
                    span,
                    "begins a new line",
                )
                .help("put it on a line of its own"),
            );
        }
    }
}

fn first_word(words: &str) -> &str {
    let end = words
        .find(|c: char| !(c.is_alphanumeric() || c == '_'))
        .unwrap_or(words.len());
    words.get(..end).unwrap_or("")
}
