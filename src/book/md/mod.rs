//! The book as Markdown, for reviews where the piece is kept: the chapters of the HTML book, a row of
//! a table a line, the drawings as files beside it.
//!
//! The words of a chapter stand in its template and nowhere else, a maker's own templates included.
//! So this edition is made from the chapters as the templates fill them in: their elements are read
//! as a tree, and the tree is told again as CommonMark. What is of use on paper only is left out:
//! boxes to tick in tables, rules of scale, cards that go on over the page.

mod block;
mod drawings;
mod inline;
mod print;
mod table;
#[cfg(test)]
mod tests;
mod tree;

pub use drawings::{DrawingFile, first_line};

use super::{BookFault, Facts, Paper, Templates, chapters_of, no_cautions, safety};
use block::{Block, Blocks};
use drawings::Drawings;

/// A book in Markdown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pages {
    /// The text.
    pub text: String,
    /// The files that it shows, in its order.
    pub drawings: Vec<DrawingFile>,
}

/// Writes the book, its drawings in a folder of this name beside it.
///
/// # Errors
/// The first template that can't be filled in.
pub fn write(facts: &Facts, templates: &Templates, folder: &str) -> Result<Pages, BookFault> {
    let facts = Facts {
        paper: Paper::Endless,
        ..*facts
    };
    let folder = in_link(folder);
    let mut drawings = Drawings::new(templates.get("drawing.css").unwrap_or_default());
    let mut blocks = Vec::new();
    for chapter in chapters_of(&facts, templates)? {
        let mut draw = |drawing: &tree::Drawing, about: &str| {
            let name = drawings.add(drawing, chapter.id, about);
            Some(format!("{folder}/{name}"))
        };
        let mut own = Blocks::new(&mut draw).read(&tree::read(&chapter.body));
        title_first(&mut own);
        blocks.append(&mut own);
    }
    let cautions = Blocks::new(&mut |_, _| None).read(&tree::read(&safety::block(&facts)));
    if !blocks
        .windows(cautions.len().max(1))
        .any(|some| some == cautions.as_slice())
    {
        return Err(no_cautions(
            templates,
            "the cautions, `{{ cautions }}`, do not stand in the book as blocks of their own",
        ));
    }
    let text = print::print(&blocks);
    Ok(Pages {
        text,
        drawings: drawings.files,
    })
}

/// Drawings as the book in Markdown has them beside it, named after their chapter and what they show.
pub fn files(
    chapter: &str,
    svgs: impl Iterator<Item = String>,
    templates: &Templates,
) -> Vec<DrawingFile> {
    let mut drawings = Drawings::new(templates.get("drawing.css").unwrap_or_default());
    for node in svgs.flat_map(|svg| tree::read(&svg)) {
        if let tree::Node::Drawing(drawing) = node {
            drawings.add(&drawing, chapter, "");
        }
    }
    drawings.files
}

/// The title of the whole goes before what stands above it on the title page.
fn title_first(blocks: &mut [Block]) {
    let title = |block: &Block| matches!(block, Block::Heading(1, _));
    if let Some(some) = blocks
        .iter()
        .position(title)
        .and_then(|at| blocks.get_mut(..=at))
    {
        some.rotate_right(1);
    }
}

/// A folder's name as a link has it.
fn in_link(folder: &str) -> String {
    let mut out = String::new();
    for c in folder.chars() {
        if c.is_ascii() && !c.is_ascii_alphanumeric() && !"-._~".contains(c) {
            out.push_str(&format!("%{:02X}", c as u32));
        } else {
            out.push(c);
        }
    }
    out
}
