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
    /// The commission or only piece of the book needs no second heading of its name.
    whole: bool,
    docs: Option<Value>,
    params: Vec<(String, String)>,
    notes: Vec<Value>,
}

/// Prepares the chapter.
pub fn facts(facts: &Facts) -> Option<Value> {
    let mut words = Vec::new();
    if let Some(commission) = &facts.model.commission {
        words.push(Words {
            title: commission.title.clone(),
            whole: true,
            docs: None,
            params: Vec::new(),
            notes: notes(&commission.notes, "c"),
        });
    }
    for (index, piece) in facts.model.pieces.iter().enumerate() {
        let prefix = format!("p{}", index + 1);
        let docs = (title::short_docs(facts).is_none() && !piece.docs.trim().is_empty())
            .then(|| markdown::to_html(&piece.docs, &format!("{prefix}-d"), 4));
        words.push(Words {
            title: piece_name(facts, piece),
            whole: !facts.many() && !words.iter().any(|w: &Words| !w.notes.is_empty()),
            docs,
            params: piece.params.clone(),
            notes: notes(&piece.notes, &prefix),
        });
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
