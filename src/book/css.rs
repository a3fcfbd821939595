//! Text for style sheets: quoting for CSS, and the page rules that carry each chapter's title.
//!
//! Chromium knows neither `string-set` nor running elements, so the generator writes one named page a
//! chapter with the title in it.

use super::Facts;
use super::chapters::Chapter;

/// The paper that the book is laid out for. The measure is 175 mm on both.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Paper {
    /// 210 by 297 mm.
    #[default]
    A4,
    /// 8 1/2 by 11 in.
    Letter,
    /// None: what is read by scrolling has no pages to fill.
    Endless,
}

impl Paper {
    /// The word of CSS and of the command line.
    pub fn word(self) -> &'static str {
        match self {
            Paper::A4 => "A4",
            Paper::Letter => "letter",
            Paper::Endless => "A4", // should it be printed all the same
        }
    }

    /// The paper with this word, in any case.
    pub fn from_word(word: &str) -> Option<Paper> {
        [Paper::A4, Paper::Letter]
            .into_iter()
            .find(|paper| paper.word().eq_ignore_ascii_case(word))
    }

    /// Right margin in millimetres that leaves a measure of 175 beside 22 at the left, where the
    /// sheets are punched.
    fn right(self) -> &'static str {
        match self {
            Paper::A4 | Paper::Endless => "13",
            Paper::Letter => "18.9",
        }
    }

    /// How much of what fills `full` millimetres of a page goes on one.
    pub(super) fn page(self, full: f64) -> f64 {
        match self {
            Paper::A4 | Paper::Letter => full,
            Paper::Endless => f64::MAX,
        }
    }

    /// Height of the title page's frame in millimetres: the sheet less 10 above and below, and room
    /// for the line itself.
    pub fn frame(self) -> f64 {
        match self {
            Paper::A4 | Paper::Endless => 276.4,
            Paper::Letter => 258.8,
        }
    }
}

/// A quoted CSS string that is also safe inside `<style>`: quotes, backslashes, line breaks, control
/// characters and what HTML could read as the end of the element become CSS escapes
/// (CSS Syntax Level 3, section 4.3.7).
pub fn css_string(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 2);
    out.push('"');
    for c in text.chars() {
        match c {
            '\0' => out.push('\u{fffd}'),
            '"' | '\\' | '<' | '>' | '&' | '\'' => out.push_str(&format!("\\{:x} ", c as u32)),
            c if c.is_control() => out.push_str(&format!("\\{:x} ", c as u32)),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

/// Keeps a running head on one line: at most `most` characters, the rest an ellipsis.
fn short(text: &str, most: usize) -> String {
    let one_line: Vec<&str> = text.split_whitespace().collect();
    let one_line = one_line.join(" ");
    if one_line.chars().count() <= most {
        return one_line;
    }
    let mut out: String = one_line.chars().take(most.saturating_sub(1)).collect();
    out.push('…');
    out
}

/// Every `@page` rule of the book.
pub(super) fn page_rules(facts: &Facts, chapters: &[&Chapter]) -> String {
    const FONT: &str = "8.5pt \"Times New Roman\",\"Liberation Serif\",\"Nimbus Roman\",serif";
    let head = "vertical-align:bottom;padding-bottom:1.6mm;margin-bottom:4mm;border-bottom:.18mm solid #000";
    let foot = "vertical-align:top;padding-top:3mm";
    let tick = "content:\"\";width:5mm;height:0;border-top:.35mm solid #000;vertical-align:middle";
    let (paper, right, frame) = (facts.paper.word(), facts.paper.right(), facts.paper.frame());
    let left_head = css_string(&short(&facts.running_title(), 80));
    let left_foot = css_string(&short(&facts.stamp(), 60));
    let units = css_string(&format!("sizes in {}", facts.unit_names()));
    let mut out = format!(
        ":root{{--frame:{frame}mm}}\n\
         @page{{size:{paper} portrait;margin:20mm {right}mm 17mm 22mm;\
         @top-left{{content:{left_head};font:{FONT};text-align:left;{head}}}\
         @top-right{{font:bold {FONT};text-align:right;{head}}}\
         @bottom-left{{content:{left_foot};font:{FONT};{foot}}}\
         @bottom-center{{content:{units};font:{FONT};{foot}}}\
         @bottom-right{{content:\"page \" counter(page) \" of \" counter(pages);font:{FONT};{foot}}}\
         @left-middle{{{tick};margin:0 12mm 0 0}}}}\n\
         @page p-title{{margin:10mm 10mm 10mm 20mm;\
         @top-left{{content:none;border:0}}@top-right{{content:none;border:0}}\
         @bottom-left{{content:none}}@bottom-center{{content:none}}@bottom-right{{content:none}}\
         @left-middle{{{tick};margin:0 10mm 0 0}}}}\n"
    );
    for chapter in chapters {
        let id = chapter.id;
        if id != "title" {
            let title = css_string(&format!("{}\u{2002}{}", chapter.number, chapter.title));
            out.push_str(&format!("@page p-{id}{{@top-right{{content:{title}}}}}\n"));
        }
        out.push_str(&format!("#{id}{{page:p-{id}}}\n"));
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_css_string_cannot_be_left() {
        assert_eq!(css_string("plain – ½"), "\"plain – ½\"");
        assert_eq!(
            css_string("a\"b\\c\nd</style>\0"),
            "\"a\\22 b\\5c c\\a d\\3c /style\\3e \u{fffd}\""
        );
        let hostile = css_string("\";} @import 'x'; </STYLE><script>");
        assert_eq!(hostile.matches('"').count(), 2);
        assert!(!hostile.contains('<') && !hostile.contains('\''));
    }

    #[test]
    fn long_heads_are_cut() {
        assert_eq!(short("one\n two", 80), "one two");
        assert_eq!(short("abcdef", 4), "abc…");
    }
}
