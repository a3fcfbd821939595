//! What stands in a line: words and how they are set, tidied so that CommonMark can say it.

use super::tree::{Drawing, Element, Node};
use crate::book::markdown::is_harmless;

/// A piece of a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Inline {
    /// Words.
    Text(String),
    /// A blank, if words would run together without it.
    Gap,
    /// Words that are set off.
    Set(Setting, Vec<Inline>),
    /// Words as typed.
    Code(String),
    /// A link.
    Link { to: String, words: Vec<Inline> },
    /// A drawing beside the book, and what it shows.
    Drawing { to: String, shows: String },
    /// A new line in the same paragraph.
    Break,
}

/// How words are set off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Setting {
    Strong,
    Emphasis,
    Struck,
}

/// Where a line stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Place {
    /// In a paragraph, heading or item.
    Prose,
    /// In a cell of a table: no new lines, no drawings, no boxes to tick.
    Cell,
}

/// What is done with a drawing in a line; gives its file's path, or none if it is told in words.
pub(super) type Draw<'a> = dyn FnMut(&Drawing) -> Option<String> + 'a;

/// The line that nodes make.
pub(super) fn line(nodes: &[Node], place: Place, draw: &mut Draw<'_>) -> Vec<Inline> {
    let mut out = Vec::new();
    gather(nodes, place, draw, &mut out);
    tidy(out)
}

/// Words as they are, for what is not markup.
pub(super) fn words(text: &str) -> Inline {
    Inline::Text(text.to_owned())
}

/// The words of a line without their setting.
pub(super) fn plain(line: &[Inline]) -> String {
    line.iter()
        .map(|inline| match inline {
            Inline::Text(text) | Inline::Code(text) => text.clone(),
            Inline::Gap | Inline::Break => " ".to_owned(),
            Inline::Set(_, inner) | Inline::Link { words: inner, .. } => plain(inner),
            Inline::Drawing { .. } => String::new(),
        })
        .collect()
}

fn gather(nodes: &[Node], place: Place, draw: &mut Draw<'_>, out: &mut Vec<Inline>) {
    for (i, node) in nodes.iter().enumerate() {
        match node {
            Node::Text(text) => out.push(Inline::Text(text.clone())),
            Node::Drawing(drawing) => {
                out.push(Inline::Gap);
                out.extend(drawn(drawing, place, draw));
                out.push(Inline::Gap);
            }
            Node::Element(element) => {
                // What only space tells apart in print.
                let beside = i.checked_sub(1).and_then(|before| nodes.get(before));
                if matches!(beside, Some(Node::Element(before)) if !before.is("fr")) {
                    out.push(Inline::Gap);
                }
                put(element, place, draw, out);
                if element.is("lab") {
                    out.extend(after_label(nodes.get(i + 1..).unwrap_or_default()));
                }
            }
        }
    }
}

/// A label is told apart from what it is the label of.
fn after_label(rest: &[Node]) -> Option<Inline> {
    let next = rest
        .iter()
        .find(|node| !matches!(node, Node::Text(text) if text.trim().is_empty()))?;
    let another = matches!(next, Node::Element(element) if element.is("lab"));
    (!another).then(|| words(": "))
}

/// A sign between what stands in the line and what comes, where space tells them apart in print.
fn apart_by(sign: &str, out: &mut Vec<Inline>) {
    trim_end(out);
    if !out.is_empty() {
        out.push(words(sign));
    }
}

fn drawn(drawing: &Drawing, place: Place, draw: &mut Draw<'_>) -> Option<Inline> {
    if place == Place::Prose
        && drawing.tag.is("dw")
        && let Some(to) = draw(drawing)
    {
        let shows = drawing.label().to_owned();
        return Some(Inline::Drawing { to, shows });
    }
    let hidden = drawing.tag.get("aria-hidden") == Some("true");
    (!hidden).then(|| words(drawing.label()))
}

fn put(element: &Element, place: Place, draw: &mut Draw<'_>, out: &mut Vec<Inline>) {
    let inner = |draw: &mut Draw<'_>| {
        let mut out = Vec::new();
        gather(&element.children, place, draw, &mut out);
        out
    };
    let apart = |inline: Inline, out: &mut Vec<Inline>| {
        out.extend([Inline::Gap, inline, Inline::Gap]);
    };
    let on = element.is("on");
    match element.name.as_str() {
        _ if element.is("fr") => out.push(Inline::Text(element.text())),
        _ if element.is("bx") && place == Place::Cell => {}
        _ if element.is("bx") => apart(words(if on { "\u{2611}" } else { "\u{2610}" }), out),
        _ if element.is("sq") => apart(Inline::Code(element.text()), out),
        _ if element.is("pt") => {
            apart(Inline::Set(Setting::Strong, inner(draw)), out);
        }
        _ if element.is("hd") => apart(Inline::Text(element.text()), out),
        _ if element.is("blank") => {
            let name = element.text();
            if !name.is_empty() {
                apart(Inline::Text(format!("{name} \u{2026}")), out);
            }
        }
        _ if element.is("lab") => {
            apart_by("; ", out);
            out.extend(inner(draw));
        }
        _ if element.is("sc") => {
            apart_by(", ", out);
            out.extend(inner(draw));
        }
        "small" if element.text().trim().is_empty() => {}
        "small" => {
            apart_by("; ", out);
            out.extend(inner(draw));
        }
        "br" if place == Place::Prose => out.push(Inline::Break),
        "br" => apart_by("; ", out),
        "b" | "strong" => out.push(Inline::Set(Setting::Strong, inner(draw))),
        "i" | "em" => out.push(Inline::Set(Setting::Emphasis, inner(draw))),
        "s" | "del" => out.push(Inline::Set(Setting::Struck, inner(draw))),
        "code" => code(&element.children, out),
        "sup" => out.push(Inline::Text(format!("[{}]", element.text()))),
        "a" => match element.get("href").filter(|to| is_harmless(to)) {
            Some(to) => out.push(Inline::Link {
                to: to.to_owned(),
                words: inner(draw),
            }),
            None => out.extend(inner(draw)),
        },
        // What stands in blocks of its own in a cell is told one after the other.
        "p" | "div" | "li" | "dt" | "dd" | "figcaption" => {
            out.push(words(" "));
            out.extend(inner(draw));
            out.push(words(" "));
        }
        _ => out.extend(inner(draw)),
    }
}

/// Words as typed. Those among them that are set off stand in marks of their own, since nothing is
/// set off within code.
fn code(nodes: &[Node], out: &mut Vec<Inline>) {
    for (i, node) in nodes.iter().enumerate() {
        if i > 0 {
            out.push(Inline::Gap);
        }
        match node {
            Node::Text(text) => {
                let blank = |so: bool| so.then(|| words(" "));
                out.extend(blank(text.starts_with(char::is_whitespace)));
                out.push(Inline::Code(text.clone()));
                out.extend(blank(text.ends_with(char::is_whitespace)));
            }
            Node::Element(element) => {
                let mut inner = Vec::new();
                code(&element.children, &mut inner);
                match element.name.as_str() {
                    "s" | "del" => out.push(Inline::Set(Setting::Struck, inner)),
                    "b" | "strong" => out.push(Inline::Set(Setting::Strong, inner)),
                    _ => out.extend(inner),
                }
            }
            Node::Drawing(_) => {}
        }
    }
}

/// A line that CommonMark can say: blanks single, none at the ends, nothing set twice, and nothing
/// set off where its marks would stand in the middle of a word.
pub(super) fn tidy(line: Vec<Inline>) -> Vec<Inline> {
    let mut chars = Chars::default();
    let mut line = settle(line, &[], &mut chars);
    trim_end(&mut line);
    flank(&mut line, None, None);
    joined(line)
}

/// The characters so far, as much of them as is asked for.
#[derive(Default)]
struct Chars {
    last: Option<char>,
    /// A gap was left open before what comes.
    gap: bool,
}

/// Blanks made single, gaps decided, empty and repeated settings taken out.
fn settle(line: Vec<Inline>, within: &[Setting], chars: &mut Chars) -> Vec<Inline> {
    let mut out = Vec::new();
    for inline in line {
        match inline {
            Inline::Text(text) => {
                let mut said = String::new();
                for c in text.chars() {
                    say(c, &mut said, chars);
                }
                if !said.is_empty() {
                    out.push(Inline::Text(said));
                }
            }
            Inline::Gap => chars.gap = true,
            Inline::Set(setting, inner) => {
                let known = within.contains(&setting);
                let deeper: Vec<Setting> = within.iter().copied().chain([setting]).collect();
                open_gap(&inner, &mut out, chars);
                let inner = settle(inner, &deeper, chars);
                if known {
                    out.extend(inner);
                } else {
                    out.extend(set(setting, inner));
                }
            }
            Inline::Code(text) => {
                let text: String = text
                    .chars()
                    .map(|c| if c.is_whitespace() { ' ' } else { c })
                    .collect();
                let text = text.trim();
                if let Some(last) = text.chars().last() {
                    fill_gap(&mut out, chars);
                    out.push(Inline::Code(text.to_owned()));
                    chars.last = Some(last);
                }
            }
            Inline::Link { to, words } => {
                open_gap(&words, &mut out, chars);
                let words = settle(words, within, chars);
                if !plain(&words).trim().is_empty() {
                    out.push(Inline::Link { to, words });
                }
            }
            Inline::Drawing { to, shows } => {
                fill_gap(&mut out, chars);
                let shows = shows.split_whitespace().collect::<Vec<_>>().join(" ");
                out.push(Inline::Drawing { to, shows });
                chars.last = Some(')');
            }
            Inline::Break => {
                trim_end(&mut out);
                if !out.is_empty() {
                    out.push(Inline::Break);
                    chars.last = None;
                }
            }
        }
    }
    out
}

/// One character of words, or the blank that it makes.
fn say(c: char, said: &mut String, chars: &mut Chars) {
    if c.is_whitespace() {
        chars.gap = false;
        if chars.last.is_some_and(|last| last != ' ') {
            said.push(' ');
            chars.last = Some(' ');
        }
        return;
    }
    if std::mem::take(&mut chars.gap) && c.is_alphanumeric() && wants_gap(chars) {
        said.push(' ');
    }
    said.push(c);
    chars.last = Some(c);
}

fn wants_gap(chars: &Chars) -> bool {
    chars
        .last
        .is_some_and(|last| !last.is_whitespace() && !matches!(last, '(' | '\u{201c}'))
}

/// A gap before what is set off stands outside of it.
fn open_gap(inner: &[Inline], out: &mut Vec<Inline>, chars: &mut Chars) {
    if plain(inner)
        .chars()
        .next()
        .is_some_and(char::is_alphanumeric)
    {
        fill_gap(out, chars);
    }
}

fn fill_gap(out: &mut Vec<Inline>, chars: &mut Chars) {
    if std::mem::take(&mut chars.gap) && wants_gap(chars) {
        out.push(words(" "));
        chars.last = Some(' ');
    }
}

/// Set off, with the blanks at its ends outside.
fn set(setting: Setting, mut inner: Vec<Inline>) -> Vec<Inline> {
    let said = plain(&inner);
    if said.trim().is_empty() && !inner.iter().any(|i| matches!(i, Inline::Drawing { .. })) {
        return vec![words(&said)];
    }
    let (before, after) = (said.starts_with(' '), said.ends_with(' '));
    trim_start(&mut inner);
    trim_end(&mut inner);
    let mut out = Vec::new();
    if before {
        out.push(words(" "));
    }
    out.push(Inline::Set(setting, inner));
    if after {
        out.push(words(" "));
    }
    out
}

fn trim_start(line: &mut Vec<Inline>) {
    while let Some(first) = line.first_mut() {
        let empty = match first {
            Inline::Text(text) => {
                *text = text.trim_start().to_owned();
                text.is_empty()
            }
            Inline::Break | Inline::Gap => true,
            Inline::Set(_, inner) | Inline::Link { words: inner, .. } => {
                trim_start(inner);
                inner.is_empty()
            }
            Inline::Code(_) | Inline::Drawing { .. } => false,
        };
        if !empty {
            break;
        }
        line.remove(0);
    }
}

fn trim_end(line: &mut Vec<Inline>) {
    while let Some(last) = line.last_mut() {
        let empty = match last {
            Inline::Text(text) => {
                *text = text.trim_end().to_owned();
                text.is_empty()
            }
            Inline::Break | Inline::Gap => true,
            Inline::Set(_, inner) | Inline::Link { words: inner, .. } => {
                trim_end(inner);
                inner.is_empty()
            }
            Inline::Code(_) | Inline::Drawing { .. } => false,
        };
        if !empty {
            break;
        }
        line.pop();
    }
}

/// Takes the setting off words whose marks CommonMark would read as characters: a mark opens only
/// where no letter stands before it and a sign behind it, and closes the other way round
/// (CommonMark 0.31, section 6.2). Words that are set right beside others that are set lose theirs.
fn flank(line: &mut Vec<Inline>, before: Option<char>, after: Option<char>) {
    let mut out: Vec<Inline> = Vec::new();
    let mut last = before;
    let mut rest = std::mem::take(line).into_iter().peekable();
    while let Some(inline) = rest.next() {
        let next = rest.peek().map_or(after, first_of);
        match inline {
            Inline::Set(setting, mut inner) => {
                let opens = inner.first().and_then(first_of);
                let closes = inner.last().and_then(last_of);
                let beside = matches!(out.last(), Some(Inline::Set(..)));
                let sign = |c: Option<char>| c.is_some_and(|c| !c.is_alphanumeric());
                let free = |c: Option<char>| {
                    c.is_none_or(|c| c.is_whitespace() || c.is_ascii_punctuation())
                };
                let nested = matches!(inner.first(), Some(Inline::Set(..)))
                    || matches!(inner.last(), Some(Inline::Set(..)));
                let word = !sign(opens) && !sign(closes) && !nested;
                // Beside code some readers leave the marks of struck words unread.
                let code = setting == Setting::Struck && [last, next].contains(&Some('`'));
                let stands =
                    free(last) && free(next) && !code || word && setting != Setting::Struck;
                let end = closes.or(last);
                if stands && !beside {
                    flank(&mut inner, None, None);
                    out.push(Inline::Set(setting, inner));
                } else {
                    flank(&mut inner, last, next);
                    out.append(&mut inner);
                }
                last = end;
            }
            Inline::Link {
                to,
                words: mut inner,
            } => {
                flank(&mut inner, None, None);
                out.push(Inline::Link { to, words: inner });
                last = Some(')');
            }
            other => {
                last = last_of(&other).or(last);
                out.push(other);
            }
        }
    }
    *line = out;
}

/// The character that a piece begins with in Markdown, marks of what is set off left out.
fn first_of(inline: &Inline) -> Option<char> {
    match inline {
        Inline::Text(text) => text.chars().next(),
        Inline::Set(_, inner) => inner.first().and_then(first_of),
        Inline::Code(_) => Some('`'),
        Inline::Link { .. } | Inline::Drawing { .. } => Some('['),
        Inline::Break | Inline::Gap => None,
    }
}

/// The character that it ends with.
fn last_of(inline: &Inline) -> Option<char> {
    match inline {
        Inline::Text(text) => text.chars().last(),
        Inline::Set(_, inner) => inner.last().and_then(last_of),
        Inline::Code(_) => Some('`'),
        Inline::Link { .. } | Inline::Drawing { .. } => Some(')'),
        Inline::Break | Inline::Gap => None,
    }
}

/// Words beside words as one, and code beside code, whose marks would run together.
fn joined(line: Vec<Inline>) -> Vec<Inline> {
    let mut out: Vec<Inline> = Vec::new();
    for inline in line {
        let inline = match inline {
            Inline::Set(setting, inner) => Inline::Set(setting, joined(inner)),
            Inline::Link { to, words } => Inline::Link {
                to,
                words: joined(words),
            },
            other => other,
        };
        match (out.last_mut(), inline) {
            (Some(Inline::Text(before)), Inline::Text(text))
            | (Some(Inline::Code(before)), Inline::Code(text)) => before.push_str(&text),
            (_, inline) => out.push(inline),
        }
    }
    out
}
