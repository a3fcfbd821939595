//! Chapter 2: cautions, how the pieces were set out, and the maker's own words.

use super::{Chapter, title};
use crate::book::{Facts, html, markdown, piece_name, safety};
use crate::model::Note;
use minijinja::Value;
use serde::Serialize;

/// Before you start.
pub const CHAPTER: Chapter = Chapter {
    number: 2,
    id: "start",
    title: "Before you start",
    template: "start.html",
    facts,
};

#[derive(Serialize)]
struct Start {
    cautions: Value,
    words: Vec<Words>,
}

/// What the maker says about the commission or one piece.
#[derive(Serialize)]
struct Words {
    title: String,
    /// About the whole book, whose name needs no repeating.
    whole: bool,
    docs: Option<Value>,
    params: Vec<(String, String)>,
    notes: Vec<Value>,
}

/// Prepares the chapter.
pub fn facts(facts: &Facts) -> Option<Value> {
    let commission = facts.model.commission.as_ref();
    let of_all = commission.map_or_else(Vec::new, |c| notes(&c.notes, "c"));
    let mut words: Vec<Words> = facts
        .model
        .pieces
        .iter()
        .enumerate()
        .map(|(index, piece)| {
            let prefix = format!("p{}", index + 1);
            let docs = (title::short_docs(facts).is_none() && !piece.docs.trim().is_empty())
                .then(|| markdown::to_html(&piece.docs, &format!("{prefix}-d"), 4));
            Words {
                title: piece_name(facts, piece),
                whole: !facts.many(),
                docs,
                params: piece.params.clone(),
                notes: notes(&piece.notes, &prefix),
            }
        })
        .collect();
    match words.as_mut_slice() {
        // What is said of the commission is said of its only piece.
        [only] => {
            only.notes.splice(0..0, of_all);
        }
        _ => words.insert(
            0,
            Words {
                title: facts.title().to_owned(),
                whole: true,
                docs: None,
                params: Vec::new(),
                notes: of_all,
            },
        ),
    }
    words.retain(|w| w.docs.is_some() || !w.params.is_empty() || !w.notes.is_empty());
    Some(html::value(&Start {
        cautions: html::safe(safety::block(facts)),
        words,
    }))
}

fn notes(notes: &[Note], prefix: &str) -> Vec<Value> {
    notes
        .iter()
        .enumerate()
        .map(|(i, note)| markdown::to_html(&note.markdown, &format!("{prefix}-{}", i + 1), 4))
        .collect()
}
