//! Layout: partners of brackets, depth of nesting, and braces that are lost or too many.
//!
//! Where the braces of a file balance, they alone decide. Only where they do not, indentation is asked
//! which block was left open, so that the lines after it still stand in the right block and one lost
//! brace gives one report.

use super::marks::{Kind, Mark, Marks, goes_on};
use crate::diag::{self, Diagnostic, code};
use crate::source::{FileId, Span};

/// How deep blocks, brackets, `else if` and parts of an expression may be nested, taken together.
///
/// The limit is ours: far more than a maker writes, far less than the stack holds.
pub(super) const MAX_DEPTH: usize = 128;

/// Pairs the marks up and mends unbalanced braces.
///
/// # Errors
/// Gives the place where the nesting gets too deep; the file is not read then.
pub(super) fn arrange(
    text: &str,
    file: FileId,
    marks: &mut Marks,
) -> Result<Vec<Diagnostic>, usize> {
    pair_brackets(text, &mut marks.list);
    check_depth(text, &marks.list)?;
    let Some(count) = unbalanced(&marks.list) else {
        return Ok(Vec::new());
    };
    let edits = by_indentation(text, &marks.list).filter(|edits| edits.len() == count);
    let edits = edits.unwrap_or_else(|| by_count(text, &marks.list));
    // A `"""` that never ends has swallowed the braces, and is reported itself.
    let reports = if marks.open_markdown.is_some() {
        Vec::new()
    } else {
        report(text, file, &marks.list, &edits)
    };
    apply(&mut marks.list, edits);
    Ok(reports)
}

fn pair_brackets(text: &str, list: &mut [Mark]) {
    let mut open: Vec<usize> = Vec::new();
    let mut loose: Vec<usize> = Vec::new();
    let shape = |mark: &Mark| {
        text.as_bytes()
            .get(mark.start)
            .is_some_and(|b| matches!(b, b'[' | b']'))
    };
    for (i, mark) in list.iter().enumerate() {
        match mark.kind {
            Kind::Bracket => open.push(i),
            Kind::BracketEnd => {
                let partner = open
                    .iter()
                    .rposition(|o| list.get(*o).is_some_and(|o| shape(o) == shape(mark)));
                match partner {
                    Some(at) => loose.extend(open.drain(at..).skip(1)),
                    None => loose.push(i),
                }
            }
            // No expression holds a brace.
            Kind::Open | Kind::Close | Kind::End => loose.append(&mut open),
            _ => {}
        }
    }
    for i in loose {
        if let Some(mark) = list.get_mut(i) {
            mark.kind = Kind::LooseBracket;
        }
    }
}

fn check_depth(text: &str, list: &[Mark]) -> Result<(), usize> {
    let mut levels: Vec<usize> = Vec::new();
    let (mut brackets, mut loose, mut chain) = (0usize, 0usize, 0usize);
    for mark in list {
        match mark.kind {
            Kind::Open => {
                brackets = 0;
                levels.push(levels.last().copied().unwrap_or(0) + 1 + chain);
                chain = 0;
            }
            Kind::Close => {
                brackets = 0;
                let level = levels.pop().unwrap_or(0);
                // `} else if … {` nests in the tree, though not in the text.
                let rest = text
                    .get(mark.end..)
                    .unwrap_or("")
                    .trim_start_matches([' ', '\t']);
                chain = if rest.starts_with("else") {
                    level.saturating_sub(levels.last().copied().unwrap_or(0))
                } else {
                    0
                };
            }
            Kind::Bracket => brackets += 1,
            Kind::BracketEnd => brackets = brackets.saturating_sub(1),
            // One without a partner is followed to the end of its line all the same.
            Kind::LooseBracket => loose += 1,
            Kind::Newline => {
                loose = 0;
                if brackets == 0 {
                    chain = 0;
                }
            }
            _ => {}
        }
        if levels.last().copied().unwrap_or(0) + brackets + loose > MAX_DEPTH {
            return Err(mark.start);
        }
    }
    Ok(())
}

/// How many braces are lost or too many, if any.
fn unbalanced(list: &[Mark]) -> Option<usize> {
    let (mut open, mut extra) = (0usize, 0usize);
    for mark in list {
        match mark.kind {
            Kind::Open => open += 1,
            Kind::Close if open == 0 => extra += 1,
            Kind::Close => open -= 1,
            _ => {}
        }
    }
    (open + extra > 0).then_some(open + extra)
}

/// A brace put in or passed over.
#[derive(Clone, Copy, Debug)]
enum Edit {
    /// The block that the mark `open` opens ends before mark `before`, at byte `at`.
    Close {
        open: usize,
        before: usize,
        at: usize,
    },
    /// The mark `close` closes nothing.
    Drop { close: usize },
}

#[derive(Clone, Copy)]
struct Block {
    mark: usize,
    indent: usize,
}

/// Mends by indentation: the lines of a block stand further right than the line that opens it, and
/// the brace that closes it stands below that line's start.
fn by_indentation(text: &str, list: &[Mark]) -> Option<Vec<Edit>> {
    let mut edits = Vec::new();
    let mut open: Vec<Block> = Vec::new();
    let mut first = 0usize;
    let mut line_start = 0usize;
    let mut continued = false;
    let mut held = 0i64;
    while first < list.len() {
        let length = list
            .get(first..)?
            .iter()
            .position(|m| matches!(m.kind, Kind::Newline | Kind::End))?;
        let line = list.get(first..first + length)?;
        let line_end = list.get(first + length)?.start;
        let words = text.get(line_start..line_end)?;
        let start = line_start + (words.len() - words.trim_start_matches([' ', '\t']).len());
        let indent = column(text.get(line_start..start)?);
        let begins = text
            .as_bytes()
            .get(start)
            .copied()
            .filter(|_| start < line_end);
        let remark = line
            .first()
            .is_some_and(|m| m.start == start && matches!(m.kind, Kind::Comment));
        let mut dropped = None;
        if let Some(byte) = begins.filter(|_| !continued && !remark) {
            let ends = |block: &Block| {
                if byte == b'}' {
                    block.indent > indent
                } else {
                    block.indent >= indent
                }
            };
            while let Some(block) = open.last().copied().filter(ends) {
                if byte == b'}' && !open.iter().any(|b| b.indent == indent) {
                    break;
                }
                open.pop();
                edits.push(Edit::Close {
                    open: block.mark,
                    before: first,
                    at: start,
                });
            }
            if byte == b'}' && open.last().is_none_or(|block| block.indent < indent) {
                edits.push(Edit::Drop { close: first });
                dropped = Some(first);
            }
        }
        for (i, mark) in line.iter().enumerate().map(|(i, mark)| (first + i, mark)) {
            match mark.kind {
                Kind::Open => open.push(Block { mark: i, indent }),
                Kind::Close if dropped == Some(i) => {}
                Kind::Close if open.pop().is_none() => edits.push(Edit::Drop { close: i }),
                _ => {}
            }
        }
        if begins.is_some() && !remark {
            let words_end = line
                .iter()
                .find(|m| matches!(m.kind, Kind::Comment | Kind::LateDoc))
                .map_or(line_end, |m| m.start);
            held = line.iter().fold(held, |n, m| match m.kind {
                Kind::Bracket => n + 1,
                Kind::BracketEnd => n - 1,
                Kind::Open | Kind::Close => 0,
                _ => n,
            });
            continued = held > 0 || goes_on(text.get(start..words_end)?);
        }
        first += length + 1;
        line_start = list.get(first - 1)?.end;
    }
    let (before, at) = (list.len().checked_sub(1)?, text.len());
    edits.extend(open.iter().rev().map(|block| Edit::Close {
        open: block.mark,
        before,
        at,
    }));
    Some(edits)
}

/// Mends by counting alone: a brace without a partner is dropped, an open block ends with the file.
fn by_count(text: &str, list: &[Mark]) -> Vec<Edit> {
    let mut edits = Vec::new();
    let mut open = Vec::new();
    for (i, mark) in list.iter().enumerate() {
        match mark.kind {
            Kind::Open => open.push(i),
            Kind::Close if open.pop().is_none() => edits.push(Edit::Drop { close: i }),
            _ => {}
        }
    }
    let before = list.len().saturating_sub(1);
    edits.extend(open.into_iter().rev().map(|open| Edit::Close {
        open,
        before,
        at: text.len(),
    }));
    edits
}

fn report(text: &str, file: FileId, list: &[Mark], edits: &[Edit]) -> Vec<Diagnostic> {
    let mut reports = Vec::new();
    let mut to_the_end = Vec::new();
    for edit in edits {
        match *edit {
            Edit::Close { open, at, .. } if at == text.len() => to_the_end.extend(list.get(open)),
            Edit::Close { open, at, .. } => {
                // Where one brace alone is lost, and the lines around say where, there is one cure.
                let alone = edits.len() == 1;
                reports.extend(list.get(open).map(|open| {
                    let edit = close_above(text, file, open, at);
                    open_until(text, file, open, at).mends([edit], alone)
                }));
            }
            Edit::Drop { close } => reports.extend(list.get(close).map(|close| extra(file, close))),
        }
    }
    reports.extend(open_to_the_end(text, file, &to_the_end));
    reports
}

fn span(file: FileId, start: usize, end: usize) -> Span {
    Span {
        file,
        start: start as u32,
        end: end as u32,
    }
}

/// The block that `open` opens is open where a line shows that it should not be.
fn open_until(text: &str, file: FileId, open: &Mark, at: usize) -> Diagnostic {
    let line = text.bytes().take(at).filter(|b| *b == b'\n').count() + 1;
    let rest = text.get(at..).unwrap_or("");
    let word = rest.find(char::is_whitespace).unwrap_or(rest.len());
    never_closed(text, file, open)
        .at(
            span(file, at, at + word),
            "stands no further right than the line that opens it",
        )
        .help(format!("add `}}` above line {line}"))
}

/// A brace on a line of its own, above the line that stands too far left.
fn close_above(text: &str, file: FileId, open: &Mark, at: usize) -> diag::Edit {
    let line_start = |at: usize| {
        let before = text.get(..at).unwrap_or("");
        before.rfind('\n').map_or(0, |newline| newline + 1)
    };
    let opening = text.get(line_start(open.start)..).unwrap_or("");
    let words = opening.trim_start_matches([' ', '\t']);
    let indent = opening.get(..opening.len() - words.len()).unwrap_or("");
    let here = line_start(at);
    diag::Edit::new(span(file, here, here), format!("{indent}}}\n"))
}

/// One report for all blocks that are open at the end, the innermost first: most likely the text was
/// cut off, or one brace is lost and indentation does not show where.
fn open_to_the_end(text: &str, file: FileId, open: &[&Mark]) -> Option<Diagnostic> {
    let (first, outer) = open.split_first()?;
    let mut report = never_closed(text, file, first);
    for mark in outer {
        report = report.at(span(file, mark.start, mark.end), "nor is this one");
    }
    Some(match outer.len() + 1 {
        1 => report.help("add `}` at the end of the block"),
        count => report.help(format!("add `}}` {count} times at the end")),
    })
}

fn never_closed(text: &str, file: FileId, open: &Mark) -> Diagnostic {
    let before = text.get(..open.start).unwrap_or("");
    let head = before.rsplit('\n').next().unwrap_or("");
    let head: Vec<&str> = head.split_whitespace().take(2).collect();
    let title = match head.as_slice() {
        [] => "a block is never closed".to_string(),
        words => format!("the block of `{}` is never closed", words.join(" ")),
    };
    let brace = span(file, open.start, open.end);
    Diagnostic::new(&code::SYNTAX_BRACE_MISSING, title, brace, "opened here")
}

fn extra(file: FileId, close: &Mark) -> Diagnostic {
    Diagnostic::new(
        &code::SYNTAX_BRACE_EXTRA,
        "a brace closes no block",
        span(file, close.start, close.end),
        "nothing is open here that it could close",
    )
    .help("take it out, or open its block with `{` at the end of a line")
}

fn apply(list: &mut Vec<Mark>, edits: Vec<Edit>) {
    let mut closes: Vec<(usize, usize)> = Vec::new();
    for edit in edits {
        match edit {
            Edit::Close { before, at, .. } => closes.push((before, at)),
            Edit::Drop { close } => {
                if let Some(mark) = list.get_mut(close) {
                    mark.kind = Kind::Extra;
                }
            }
        }
    }
    if closes.is_empty() {
        return;
    }
    closes.sort_unstable();
    let mut closes = closes.into_iter().peekable();
    let mut mended = Vec::with_capacity(list.len() + closes.len());
    for (i, mark) in list.drain(..).enumerate() {
        while let Some((_, at)) = closes.next_if(|(before, _)| *before == i) {
            mended.push(Mark {
                kind: Kind::Missing,
                start: at,
                end: at,
            });
        }
        mended.push(mark);
    }
    *list = mended;
}

/// The width of leading blanks; a tab goes to the next multiple of four.
pub(super) fn column(blanks: &str) -> usize {
    blanks.bytes().fold(0, |column, b| {
        if b == b'\t' {
            (column / 4 + 1) * 4
        } else {
            column + 1
        }
    })
}
