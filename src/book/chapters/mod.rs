//! The chapters: each a file that prepares facts for the template of the same name.

pub mod buy;
pub mod changes;
pub mod checks;
pub mod cutlist;
pub mod drawings;
pub mod finishing;
pub mod fitting;
pub mod glueup;
mod in_place;
pub mod layouts;
pub mod parts;
pub mod setups;
mod standing;
pub mod start;
pub mod title;

use super::Facts;
use crate::model::{Hand, PartId};
use minijinja::Value;
use serde::Serialize;

/// A chapter of the book.
#[derive(Clone, Copy, Debug)]
pub struct Chapter {
    /// Its number in print, fixed: a chapter that has nothing to say leaves a gap.
    pub number: u32,
    /// The id of its section, and the name of its template without `.html`.
    pub id: &'static str,
    /// Its title in print.
    pub title: &'static str,
    /// Its template.
    pub template: &'static str,
    /// Prepares its facts; `None` leaves the chapter out.
    pub facts: fn(&Facts) -> Option<Value>,
}

/// A part's number in its circle, with its hand.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PartMark {
    /// The number.
    pub mark: u32,
    /// Left or right of a mirrored pair.
    pub hand: Option<Hand>,
    /// Name in print.
    pub label: String,
}

/// The mark of a part of the piece with this index.
pub fn part_mark(facts: &Facts, piece: usize, part: PartId) -> Option<PartMark> {
    facts.model.groups.iter().find_map(|group| {
        let (_, hand) = group
            .members
            .iter()
            .find(|(at, _)| at.piece as usize == piece && at.part == part)?;
        Some(PartMark {
            mark: group.mark,
            hand: *hand,
            label: group.label.clone(),
        })
    })
}

/// All chapters in order of print. Each file has one line here.
pub const CHAPTERS: &[Chapter] = &[
    title::CHAPTER,
    start::CHAPTER,
    drawings::CHAPTER,
    buy::CHAPTER,
    layouts::CHAPTER,
    cutlist::CHAPTER,
    setups::CHAPTER,
    parts::CHAPTER,
    glueup::CHAPTER,
    fitting::CHAPTER,
    finishing::CHAPTER,
    checks::CHAPTER,
    changes::CHAPTER,
];
