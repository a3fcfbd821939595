//! The chapters: each a file that prepares facts for the template of the same name.

pub mod checks;
pub mod start;
pub mod title;

use super::Facts;
use minijinja::Value;

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

/// All chapters in order of print. Each file has one line here.
pub const CHAPTERS: &[Chapter] = &[title::CHAPTER, start::CHAPTER, checks::CHAPTER];
