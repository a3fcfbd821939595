//! The drawings of a book in Markdown: files of their own, named after what they show.

use super::tree::Drawing;
use crate::book::html::escape;
use std::collections::BTreeMap;

/// A drawing as a file beside the book.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DrawingFile {
    /// The name of the file, of small letters, digits and hyphens, with `.svg`.
    pub name: String,
    /// What is in it.
    pub svg: String,
}

/// So many letters of a name; what they can't tell apart is counted.
const LONGEST: usize = 80;

/// Room round a drawing, in millimetres: some lettering stands out of its frame.
const ROOM: f64 = 2.0;

/// The drawings so far.
#[derive(Debug)]
pub(super) struct Drawings {
    /// The style sheet of drawings.
    style: String,
    /// How often each name was asked for.
    asked: BTreeMap<String, u32>,
    pub files: Vec<DrawingFile>,
}

impl Drawings {
    /// None so far.
    pub fn new(style: &str) -> Drawings {
        Drawings {
            style: style.to_owned(),
            asked: BTreeMap::new(),
            files: Vec::new(),
        }
    }

    /// Takes in a drawing of a chapter and tells its name.
    pub fn add(&mut self, drawing: &Drawing, chapter: &str, about: &str) -> String {
        let stem = stem(chapter, about, drawing.label());
        let count = self.asked.entry(stem.clone()).or_insert(0);
        let mut name = stem.clone();
        loop {
            *count += 1;
            if *count > 1 {
                name = format!("{stem}-{count}");
            }
            // `a-2` may be what a drawing is called, too.
            if !self.files.iter().any(|file| is_called(file, &name)) {
                break;
            }
        }
        let name = format!("{name}.svg");
        let svg = file(drawing, &name, &self.style);
        self.files.push(DrawingFile {
            name: name.clone(),
            svg,
        });
        name
    }
}

fn is_called(file: &DrawingFile, stem: &str) -> bool {
    file.name.strip_suffix(".svg") == Some(stem)
}

/// The line that a file begins with: a file that begins so, under its own name, was written here.
pub fn first_line(name: &str) -> String {
    format!("<!-- {name}: a drawing of the build book beside it, written by casewright -->\n")
}

/// `parts-side-inner-face-up`: the chapter, what the card is about, and what is shown. Scales are
/// left out, since they change with the piece.
fn stem(chapter: &str, about: &str, label: &str) -> String {
    let scale = |text: &str| {
        let cut = [", at 1 ", " at 1 ", ", length at 1 "]
            .iter()
            .filter_map(|mark| text.find(mark))
            .min();
        let text = cut.and_then(|at| text.get(..at)).unwrap_or(text);
        match text.rsplit_once(", ") {
            Some((what, scale)) if scale.contains(" : ") => what.to_owned(),
            _ => text.to_owned(),
        }
    };
    let label = scale(label);
    let label = label.trim();
    let about = about.trim();
    let mut words: Vec<String> = Vec::new();
    let told = label.to_lowercase().contains(&about.to_lowercase());
    let label = match label.split_once(": ") {
        Some((what, _)) if !told => what,
        _ => label,
    };
    let parts = match (label.is_empty(), told) {
        (false, true) => vec![chapter, label],
        _ => vec![chapter, about, label],
    };
    for part in parts {
        for word in part.split(|c: char| !c.is_ascii_alphanumeric()) {
            if !word.is_empty() {
                words.push(word.to_ascii_lowercase());
            }
        }
    }
    let mut out = String::new();
    for word in words {
        if out.len() + word.len() + 1 > LONGEST {
            break;
        }
        if !out.is_empty() {
            out.push('-');
        }
        out.push_str(&word);
    }
    out
}

/// The drawing as a file that stands on its own: its size, its style sheet, white paper below it.
fn file(drawing: &Drawing, name: &str, style: &str) -> String {
    let mut out = first_line(name);
    out.push_str("<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"dw\" role=\"img\"");
    if !drawing.label().is_empty() {
        out.push_str(&format!(" aria-label=\"{}\"", escape(drawing.label())));
    }
    let frame = drawing.tag.get("viewbox").and_then(frame);
    if let Some([x, y, w, h]) = frame {
        out.push_str(&format!(
            " width=\"{w}mm\" height=\"{h}mm\" viewBox=\"{x} {y} {w} {h}\""
        ));
    }
    out.push_str(&format!(">\n<style>\n{}</style>\n", escape(style)));
    if let Some([x, y, w, h]) = frame {
        out.push_str(&format!(
            "<rect fill=\"#fff\" x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\"/>\n"
        ));
    }
    // A shape a line, so that a drawing that changed a little differs a little.
    out.push_str(&drawing.inside.replace("><", ">\n<"));
    out.push_str("\n</svg>\n");
    out
}

/// The frame with room round it.
fn frame(view_box: &str) -> Option<[f64; 4]> {
    let numbers: Vec<f64> = view_box
        .split_ascii_whitespace()
        .map(|n| n.parse().ok().filter(|n: &f64| n.is_finite()))
        .collect::<Option<_>>()?;
    let hundredths = |n: f64| (n * 100.0).round() / 100.0;
    match numbers.as_slice() {
        [x, y, w, h] => Some([x - ROOM, y - ROOM, w + 2.0 * ROOM, h + 2.0 * ROOM].map(hundredths)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_tell_what_is_shown_and_no_scale() {
        for (about, label, name) in [
            (
                "",
                "Side, inner face up, at 1 : 5",
                "parts-side-inner-face-up",
            ),
            ("Side", "Section of Side", "parts-section-of-side"),
            (
                "Dado for deck",
                "Section at the bit",
                "parts-dado-for-deck-section-at-the-bit",
            ),
            (
                "Rabbet",
                "Section at the bit: face up",
                "parts-rabbet-section-at-the-bit",
            ),
            ("", "Shelf: front view, at 1 : 10", "parts-shelf-front-view"),
            ("", "Floor and Side, 2 : 1", "parts-floor-and-side"),
            (
                "",
                "Board 4, length at 1 to 15, width at 1 to 4",
                "parts-board-4",
            ),
            ("a part, by its number", "", "parts-a-part-by-its-number"),
            ("", "../../É <b>", "parts-b"),
            ("", "", "parts"),
        ] {
            assert_eq!(stem("parts", about, label), name);
        }
        assert!(stem("parts", &"long ".repeat(100), "").len() <= LONGEST);
    }
}
