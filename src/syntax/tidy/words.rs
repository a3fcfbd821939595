//! The words of one line, spaced: one blank between two, none inside brackets, one after a comma. Where
//! the maker broke the line after a comma or an operator, it stays broken.

use crate::syntax::tree::{Expr, ExprKind, Item};
use std::iter::Peekable;

/// What an item is, as far as aligning asks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Shape {
    /// A name, or several.
    Names,
    /// A text.
    Text,
    /// Anything else.
    Value,
}

/// An item of a line, spaced.
#[derive(Clone, Debug)]
pub(super) struct Cell {
    pub(super) text: String,
    pub(super) shape: Shape,
}

impl Cell {
    /// How many columns it takes.
    pub(super) fn width(&self) -> usize {
        self.text.chars().count()
    }
}

/// What stands on one line of the file.
#[derive(Debug, Default)]
pub(super) struct Written {
    pub(super) cells: Vec<Cell>,
    pub(super) comment: Option<String>,
}

/// Where items begin, and what they are.
pub(super) fn starts(items: &[Item]) -> Vec<(usize, Shape)> {
    let shape = |item: &Item| {
        let all = |fits: fn(&Expr) -> bool| item.exprs.iter().all(fits);
        if all(|expr| {
            use ExprKind::{Call, Index, Member, Name};
            matches!(expr.kind, Name(_) | Member(..) | Index(..) | Call(..))
        }) {
            Shape::Names
        } else if all(|expr| matches!(expr.kind, ExprKind::Text(_) | ExprKind::Markdown(_))) {
            Shape::Text
        } else {
            Shape::Value
        }
    };
    items
        .iter()
        .map(|item| (item.span.start as usize, shape(item)))
        .collect()
}

/// Spaces the words from byte `start` to byte `end`, cut into cells where `starts` says.
pub(super) fn lay(text: &str, start: usize, end: usize, starts: &[(usize, Shape)]) -> Vec<Written> {
    let mut lines = vec![Written::default()];
    let mut starts = starts.iter().peekable();
    let mut before: Option<Token<'_>> = None;
    let mut tokens = Tokens {
        text: text.get(..end).unwrap_or(text),
        at: start,
    }
    .peekable();
    while let Some(token) = tokens.next() {
        let Some(line) = lines.last_mut() else { break };
        let begins = begins_at(&mut starts, token.start);
        match token.kind {
            Kind::Newline => {
                before = None;
                if !line.cells.is_empty() || line.comment.is_some() {
                    lines.push(Written::default());
                }
                continue;
            }
            Kind::Comment => {
                line.comment = Some(token.text.to_owned());
                continue;
            }
            _ => {}
        }
        let assigns = token.text == "=";
        let own_cell = begins.is_some() || assigns || before.is_none();
        // A line that goes on is no table: what follows the break is one stretch of words.
        let fresh = line.cells.is_empty() || (own_cell && before.is_some());
        let words = token.text.replace("\r\n", "\n");
        match line.cells.last_mut().filter(|_| !fresh) {
            Some(cell) => {
                let next = tokens.peek();
                if before.is_some_and(|before| blank_between(&before, &token, next)) {
                    cell.text.push(' ');
                }
                cell.text.push_str(&words);
            }
            None => line.cells.push(Cell {
                text: words,
                shape: match begins {
                    _ if assigns => Shape::Names,
                    Some(shape) => shape,
                    None => Shape::Names, // the head
                },
            }),
        }
        before = Some(Token {
            spaced_behind: behind(&token, tokens.peek()),
            ..token
        });
    }
    if lines
        .last()
        .is_some_and(|line| line.cells.is_empty() && line.comment.is_none())
    {
        lines.pop();
    }
    lines
}

fn begins_at<'s>(
    starts: &mut Peekable<impl Iterator<Item = &'s (usize, Shape)>>,
    at: usize,
) -> Option<Shape> {
    let mut begins = None;
    while let Some((start, shape)) = starts.next_if(|(start, _)| *start <= at) {
        if *start == at {
            begins = Some(*shape);
        }
    }
    begins
}

/// Whether an operator has a blank on either side as written, so that it gets one on both.
fn behind(token: &Token<'_>, next: Option<&Token<'_>>) -> bool {
    token.kind == Kind::Operator
        && (token.gap || next.is_none_or(|next| next.gap || next.kind == Kind::Newline))
}

fn blank_between(before: &Token<'_>, token: &Token<'_>, next: Option<&Token<'_>>) -> bool {
    match (before.kind, token.kind) {
        (_, Kind::Comma | Kind::Close | Kind::Colon) | (Kind::Open, _) => false,
        (Kind::Comma | Kind::Colon, _) => true,
        (Kind::Operator, _) => before.spaced_behind,
        (_, Kind::Operator) => behind(token, next),
        _ => token.gap,
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    Word,
    Text,
    Comma,
    Colon,
    Operator,
    Open,
    Close,
    Comment,
    Newline,
}

#[derive(Clone, Copy, Debug)]
struct Token<'t> {
    kind: Kind,
    text: &'t str,
    start: usize,
    /// Whether a blank stands before it.
    gap: bool,
    /// Whether what follows gets a blank, of an operator that was written.
    spaced_behind: bool,
}

/// The signs and words of a line that was read without a fault.
struct Tokens<'t> {
    text: &'t str,
    at: usize,
}

impl<'t> Iterator for Tokens<'t> {
    type Item = Token<'t>;

    fn next(&mut self) -> Option<Token<'t>> {
        let rest = self.text.get(self.at..)?;
        let words = rest.trim_start_matches([' ', '\t']);
        let gap = words.len() < rest.len();
        let start = self.text.len() - words.len();
        let (kind, length) = token(words, self.text.get(..start).unwrap_or(""))?;
        self.at = start + length;
        let text = words.get(..length)?;
        let text = if kind == Kind::Comment {
            text.trim_end_matches(|c: char| c.is_ascii_whitespace())
        } else {
            text
        };
        Some(Token {
            kind,
            text,
            start,
            gap,
            spaced_behind: false,
        })
    }
}

/// The kind and length of the token with which `words` begin.
fn token(words: &str, before: &str) -> Option<(Kind, usize)> {
    let mut chars = words.chars();
    let (first, second) = (chars.next()?, chars.next());
    let to_line_end = || words.find('\n').unwrap_or(words.len());
    Some(match first {
        '\n' => (Kind::Newline, 1),
        '\r' if second == Some('\n') => (Kind::Newline, 2),
        '/' if second == Some('/') => (Kind::Comment, to_line_end()),
        '"' if !before.ends_with(|c: char| c.is_ascii_digit()) => (Kind::Text, text_length(words)),
        ',' => (Kind::Comma, 1),
        ':' => (Kind::Colon, 1),
        '(' | '[' => (Kind::Open, 1),
        ')' | ']' => (Kind::Close, 1),
        '=' | '<' | '>' | '!' if second == Some('=') => (Kind::Operator, 2),
        '=' | '<' | '>' | '+' | '*' | '/' => (Kind::Operator, 1),
        _ => {
            let ends = |c: char| " \t\r\n\",:()[]=<>!+*/".contains(c);
            let length = words
                .char_indices()
                .skip(1)
                .find(|(_, c)| ends(*c))
                .map_or(words.len(), |(at, _)| at);
            (Kind::Word, length)
        }
    })
}

/// How long the text is with which these words begin.
fn text_length(words: &str) -> usize {
    let quotes = if words.starts_with("\"\"\"") { 3 } else { 1 };
    let mark = words.get(..quotes).unwrap_or("\"");
    words
        .get(quotes..)
        .and_then(|rest| rest.find(mark))
        .map_or(words.len(), |length| length + 2 * quotes)
}
