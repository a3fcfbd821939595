//! Lettering: what it says and how much paper it takes.
//!
//! Widths are those of the standard sans face (equal in Arial, Helvetica and Liberation Sans), so
//! that labels can be kept apart without asking a browser. Italics are taken from the same table.

use super::scene::{Anchor, Rect, Text};
use crate::measure::{Figure, Length, Units};

/// Lettering in pieces, so that inch fractions can be stacked.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Content {
    /// In order from the left.
    pub pieces: Vec<Glyphs>,
}

/// A piece of lettering.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Glyphs {
    /// Plain words or digits.
    Words(String),
    /// A stacked fraction.
    Fraction(u32, u32),
}

/// Font size of a stacked fraction's digits: smaller than the lettering that it stands in, but never
/// too small to read.
pub fn fraction_size(size: f64) -> f64 {
    (0.68 * size).max(2.3)
}
/// Height of capitals and digits over the font size.
pub const CAPITAL: f64 = 0.716;

impl Content {
    /// Nothing yet.
    pub fn new() -> Content {
        Content::default()
    }

    /// And these words.
    pub fn words(mut self, words: impl AsRef<str>) -> Content {
        match self.pieces.last_mut() {
            Some(Glyphs::Words(last)) => last.push_str(words.as_ref()),
            _ if words.as_ref().is_empty() => {}
            _ => self.pieces.push(Glyphs::Words(words.as_ref().to_string())),
        }
        self
    }

    /// And this length as it prints in drawings: `452`, `17.6`, `16` and a
    /// stacked fraction; `~` follows a figure that is not exact.
    pub fn length(self, units: Units, length: Length) -> Content {
        self.figure(&units.figure(length), false)
    }

    /// And this length as fine as a machine is set to it: `17.65`.
    pub fn setting(self, units: Units, length: Length) -> Content {
        self.figure(&units.setting(length), false)
    }

    /// And this figure; `keep_zero` prints `452.0`.
    pub fn figure(self, figure: &Figure, keep_zero: bool) -> Content {
        let mut words = String::new();
        if figure.negative {
            words.push('\u{2212}');
        }
        if figure.whole > 0 || figure.fraction.is_none() {
            words.push_str(&figure.whole.to_string());
        }
        let keep = keep_zero || figure.hundredth.is_some();
        if let Some(tenth) = figure.tenth.filter(|tenth| *tenth > 0 || keep) {
            words.push_str(&format!(".{tenth}"));
        }
        if let Some(rest) = figure.hundredth {
            words.push_str(&rest.to_string());
        }
        let mut out = self.words(words);
        if let Some((n, d)) = figure.fraction {
            out.pieces.push(Glyphs::Fraction(n, d));
        }
        if figure.exact { out } else { out.words("~") }
    }

    /// Whether it holds a stacked fraction and so stands taller than its digits.
    pub fn is_tall(&self) -> bool {
        self.pieces
            .iter()
            .any(|piece| matches!(piece, Glyphs::Fraction(..)))
    }

    /// Whether there is nothing to letter.
    pub fn is_empty(&self) -> bool {
        self.pieces.is_empty()
    }

    /// Without stacking: `16 1/2~`.
    pub fn plain(&self) -> String {
        let mut out = String::new();
        for piece in &self.pieces {
            match piece {
                Glyphs::Words(words) => out.push_str(words),
                Glyphs::Fraction(n, d) => {
                    if out.chars().last().is_some_and(|c| c.is_ascii_digit()) {
                        out.push(' ');
                    }
                    out.push_str(&format!("{n}/{d}"));
                }
            }
        }
        out
    }

    /// Its width at a font size.
    pub fn width(&self, size: f64, bold: bool, italic: bool) -> f64 {
        self.pieces
            .iter()
            .map(|piece| piece.width(size, bold, italic))
            .sum()
    }
}

impl Glyphs {
    /// Its width at a font size; a fraction has a little room at either side.
    pub fn width(&self, size: f64, bold: bool, italic: bool) -> f64 {
        match self {
            Glyphs::Words(words) => words_width(words, size, bold, italic),
            Glyphs::Fraction(n, d) => {
                let digits = |v: &u32| v.to_string().len() as f64;
                digits(n).max(digits(d)) * 0.556 * fraction_size(size) + 0.16 * size
            }
        }
    }
}

impl From<&str> for Content {
    fn from(words: &str) -> Content {
        Content::new().words(words)
    }
}

impl From<String> for Content {
    fn from(words: String) -> Content {
        Content::new().words(words)
    }
}

impl From<&Content> for Content {
    fn from(content: &Content) -> Content {
        content.clone()
    }
}

/// Advance widths of ASCII 32..=126 in thousandths of the font size (Helvetica's published metrics).
const WIDTHS: [u16; 95] = [
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556,
    556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556, 1015, 667, 667, 722, 722, 667,
    611, 778, 722, 278, 500, 667, 556, 833, 722, 778, 667, 778, 722, 667, 611, 722, 667, 944, 667,
    667, 611, 278, 278, 278, 469, 556, 333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500,
    222, 833, 556, 556, 556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
];

fn words_width(words: &str, size: f64, bold: bool, italic: bool) -> f64 {
    let thousandths: u32 = words
        .chars()
        .map(|c| {
            let at = (c as u32).checked_sub(32).map(|i| i as usize);
            let known = at.and_then(|i| WIDTHS.get(i)).copied();
            u32::from(known.unwrap_or(match c {
                '\u{2009}' => 200, // thin space
                '\u{2212}' | '\u{d7}' => 584,
                c if (c as u32) < 0x250 => 611, // Latin letters with marks
                _ => 1000,
            }))
        })
        .sum();
    // Bold digits are as wide, bold letters about a twelfth wider; Times italic is about a tenth
    // narrower than the sans.
    let digits = words.chars().all(|c| !c.is_alphabetic());
    let factor = match (bold && !digits, italic) {
        (true, _) => 1.08,
        (false, true) => 0.88,
        (false, false) => 1.0,
    };
    f64::from(thousandths) * size * factor / 1000.0
}

/// How far lettering reaches above and below its base line.
pub fn rise_and_drop(text: &Text) -> (f64, f64) {
    let size = text.size.mm(text.italic);
    let mut rise = CAPITAL * size;
    let mut drop = 0.0_f64;
    for piece in &text.content.pieces {
        match piece {
            Glyphs::Words(words) => {
                if words.chars().any(|c| "gjpqy,;()Q".contains(c)) {
                    drop = drop.max(0.2 * size);
                }
            }
            Glyphs::Fraction(..) => {
                let half = CAPITAL * fraction_size(size) + 0.1 * size;
                rise = rise.max(CAPITAL / 2.0 * size + half);
                drop = drop.max(half - CAPITAL / 2.0 * size);
            }
        }
    }
    (rise, drop)
}

/// The paper that lettering covers.
pub fn ink(text: &Text) -> Rect {
    let width = text.width();
    let (rise, drop) = rise_and_drop(text);
    let left = match text.anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => -width / 2.0,
        Anchor::End => -width,
    };
    let (x, y) = text.at;
    let corners = [
        (left, -rise),
        (left + width, -rise),
        (left + width, drop),
        (left, drop),
    ];
    let (cos, sin) = unit(text.turn);
    let turned = corners.map(|(u, v)| (x + u * cos - v * sin, y + u * sin + v * cos));
    turned
        .iter()
        .map(|p| Rect::of(*p, *p))
        .reduce(|a, b| a.union(&b))
        .unwrap_or(Rect::of(text.at, text.at))
}

/// Cosine and sine of the few angles that lettering is turned by, as constants, so that every
/// machine computes the same.
fn unit(degrees: f64) -> (f64, f64) {
    const ROOT3_2: f64 = 0.866_025_403_784_438_6;
    match degrees {
        -90.0 => (0.0, -1.0),
        90.0 => (0.0, 1.0),
        30.0 => (ROOT3_2, 0.5),
        -30.0 => (ROOT3_2, -0.5),
        _ => (1.0, 0.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::InchStep;

    #[test]
    fn figures_in_drawings_drop_the_zero_and_stack_fractions() {
        let mm = Content::new().length(Units::Mm, Length::mm(452));
        assert_eq!(mm.plain(), "452");
        let inch = Units::Inch(InchStep::SixtyFourth);
        let half = Content::new().length(inch, Length::inches(33, 2));
        assert_eq!(half.pieces.len(), 2);
        assert_eq!(half.plain(), "16 1/2");
        let less = Content::new().length(inch, Length::mm(18));
        assert_eq!(less.plain(), "45/64~");
    }

    /// Digits are 0.556 em and the point 0.278 em in the published metrics: 748.4 at 3.5 mm.
    #[test]
    fn widths_follow_the_published_metrics() {
        let figure = Content::from("748.4");
        let expected = 3.5 * (4.0 * 0.556 + 0.278);
        assert!((figure.width(3.5, false, false) - expected).abs() < 1e-9);
    }

    #[test]
    fn upright_lettering_covers_upright_paper() {
        let text = Text::new((10.0, 50.0), "760").middle().upright();
        let ink = text.ink();
        assert!(ink.height() > ink.width());
        assert!((ink.middle().1 - 50.0).abs() < 1e-9 && ink.x1 <= 10.0 + 1e-9);
    }
}
