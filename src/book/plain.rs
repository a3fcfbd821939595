//! Words of findings as they stand in print: a maker's names by their titles, no marks of code, and
//! no references to how this program is described elsewhere.

use super::html;
use crate::model::{Model, Piece};

/// Text of a finding: names between back ticks become what the thing is called in print, and names of
/// hardware, stock and tools that no trade word can be mistaken for are put by their titles.
pub(super) fn words(model: &Model, piece: Option<&Piece>, text: &str) -> String {
    text.split('`')
        .enumerate()
        .map(|(i, part)| {
            if i % 2 == 1 {
                name(model, piece, part)
            } else {
                titles(model, part)
            }
        })
        .collect()
}

fn name(model: &Model, piece: Option<&Piece>, name: &str) -> String {
    if let Some(title) = title(model, name) {
        return title;
    }
    let part = piece.and_then(|piece| {
        piece.parts.iter().find(|part| {
            part.path == name
                || part
                    .path
                    .split_once('.')
                    .is_some_and(|(_, rest)| rest == name)
        })
    });
    match part {
        Some(part) => part.label.to_lowercase(),
        None => path(name),
    }
}

/// `body.well.high` without code: `body, well, high`.
fn path(text: &str) -> String {
    text.replace('_', " ").replace('.', ", ")
}

/// The title of hardware or stock of this name.
fn title(model: &Model, name: &str) -> Option<String> {
    let hardware = model.hardware.iter().map(|h| (&h.name, &h.title));
    let stock = model.stocks.iter().map(|s| (&s.name, &s.title));
    hardware
        .chain(stock)
        .find(|(own, _)| *own == name)
        .map(|(_, title)| short(title).to_owned())
}

/// A title as far as its first comma: `Pine boards` of `Pine boards, as the yard sells them`.
pub(super) fn short(title: &str) -> &str {
    title.split(',').next().unwrap_or(title).trim()
}

/// Names that are plainly code, with a figure or a line in them, by their titles.
fn titles(model: &Model, text: &str) -> String {
    let mut out = String::new();
    let mut word = String::new();
    let flush = |word: &mut String, out: &mut String| {
        let coded = word.contains('_') || word.chars().any(|c| c.is_ascii_digit());
        match title(model, word).filter(|_| coded) {
            Some(title) => out.push_str(&title.to_lowercase()),
            None => out.push_str(word),
        }
        word.clear();
    };
    for c in text.chars() {
        if c.is_alphanumeric() || c == '_' {
            word.push(c);
        } else {
            flush(&mut word, &mut out);
            out.push(c);
        }
    }
    flush(&mut word, &mut out);
    out
}

/// Where a limit comes from, without chapter and verse of the rules of placement.
pub(super) fn source(text: &str) -> String {
    let parts: Vec<String> = text
        .split("; ")
        .filter_map(|part| {
            let (what, numbered) = match part.find("placement rules") {
                Some(at) => (part.get(..at).unwrap_or("").trim_end_matches(", "), true),
                None => (part, false),
            };
            match (what.trim(), numbered) {
                ("", true) => Some("how the parts lie".to_owned()),
                ("", false) => None,
                ("joint table", _) => Some("usual proportions of the joint".to_owned()),
                ("drawers", true) => Some("how drawers are sized".to_owned()),
                ("fronts", true) => Some("how fronts are sized".to_owned()),
                ("connectors", true) => Some("how connectors are placed".to_owned()),
                ("adjustable shelves", true) => Some("how pin holes are placed".to_owned()),
                (what, _) => Some(what.to_owned()),
            }
        })
        .collect();
    parts.join("; ")
}

/// The left-hand side of a comparison of one path with a figure, in words; `None` where the line
/// is more than that.
pub(super) fn compared(piece: &Piece, text: &str) -> Option<String> {
    let (left, _) = [" >= ", " <= ", " > ", " < "]
        .into_iter()
        .find_map(|sign| text.split_once(sign))?;
    let plain = |c: char| c.is_alphanumeric() || c == '_' || c == '.';
    if left.is_empty() || !left.chars().all(plain) {
        return None;
    }
    let own = match piece.cases.as_slice() {
        [case] => left
            .strip_prefix(case.name.as_str())
            .and_then(|rest| rest.strip_prefix('.')),
        _ => None,
    };
    Some(html::capital(&path(own.unwrap_or(left))))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::fixture;

    #[test]
    fn names_become_words() {
        let mut model = fixture::cabinet();
        model.hardware[0].name = "pin5".into();
        let piece = model.pieces.first();
        let part = &model.pieces[0].parts[0];
        let said = words(&model, piece, &format!("the groove for `{}`", part.path));
        assert_eq!(
            said,
            format!("the groove for {}", part.label.to_lowercase())
        );
        let hardware = &model.hardware[0];
        let said = words(
            &model,
            piece,
            &format!("2 x 12.7 ({}, beside)", hardware.name),
        );
        assert_eq!(
            said,
            format!(
                "2 x 12.7 ({}, beside)",
                short(&hardware.title).to_lowercase()
            )
        );
        assert_eq!(
            words(&model, piece, "no `such_thing.here`"),
            "no such thing, here"
        );
    }

    #[test]
    fn sources_name_no_chapters() {
        assert_eq!(
            source("drawers, placement rules 2.5"),
            "how drawers are sized"
        );
        assert_eq!(
            source("the shop's least web, placement rules 2.1"),
            "the shop's least web"
        );
        assert_eq!(
            source("drawers, placement rules 2.5; play: common practice"),
            "how drawers are sized; play: common practice"
        );
        assert_eq!(source("placement rules 1.3"), "how the parts lie");
        assert_eq!(source("common practice"), "common practice");
    }

    #[test]
    fn a_condition_is_said_in_words_where_it_is_one_figure() {
        let model = fixture::cabinet();
        let piece = &model.pieces[0];
        let case = &piece.cases[0].name;
        let said = compared(piece, &format!("{case}.lower.high >= 120mm"));
        assert_eq!(said.as_deref(), Some("Lower, high"));
        assert_eq!(compared(piece, "a + b >= 120mm"), None);
        assert_eq!(compared(piece, "a == b"), None);
    }
}
