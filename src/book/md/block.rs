//! Blocks: headings, paragraphs, lists, tables, out of the elements that the templates lay out.

use super::inline::{Draw, Inline, Place, Setting, line, plain, tidy, words};
use super::table::{self, Table};
use super::tree::{Element, Node};

/// A block of the document.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Block {
    Heading(u8, Vec<Inline>),
    Paragraph(Vec<Inline>),
    Quote(Vec<Block>),
    /// Numbered from `start`, or with bullets.
    List {
        start: Option<usize>,
        items: Vec<Item>,
    },
    Code(String),
    Rule,
    Table(Table),
}

/// An item of a list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Item {
    /// Whether it is something to do, and done.
    pub done: Option<bool>,
    pub blocks: Vec<Block>,
}

/// Reads blocks. What is drawn goes to `draw`, with the words that it stands among.
pub(super) struct Blocks<'d> {
    /// Called with the drawing and what it is about.
    pub draw: &'d mut DrawAbout<'d>,
    /// The heading of the card or sheet that is read.
    about: String,
    /// A number that stands before the next heading.
    number: Option<String>,
}

/// What is done with a drawing that belongs to something with a name.
pub(super) type DrawAbout<'d> = dyn FnMut(&super::tree::Drawing, &str) -> Option<String> + 'd;

const BLOCKS: [&str; 33] = [
    "address",
    "article",
    "aside",
    "blockquote",
    "body",
    "details",
    "div",
    "dl",
    "dd",
    "dt",
    "figcaption",
    "figure",
    "footer",
    "h1",
    "h2",
    "h3",
    "h4",
    "h5",
    "h6",
    "header",
    "hr",
    "html",
    "li",
    "main",
    "nav",
    "ol",
    "p",
    "pre",
    "section",
    "summary",
    "table",
    "ul",
    "caption",
];

/// What is of use on paper only: the rule that proves the scale of print, boxes to tick for a card
/// as a whole.
fn for_paper(element: &Element) -> bool {
    element.is("rule") || element.is("dn") && !element.is("abc")
}

impl<'d> Blocks<'d> {
    /// With what is done with drawings.
    pub fn new(draw: &'d mut DrawAbout<'d>) -> Blocks<'d> {
        Blocks {
            draw,
            about: String::new(),
            number: None,
        }
    }

    /// The blocks that nodes make.
    pub fn read(&mut self, nodes: &[Node]) -> Vec<Block> {
        let mut out = Vec::new();
        let mut loose: Vec<Node> = Vec::new();
        for node in nodes {
            match node {
                Node::Element(element) if BLOCKS.contains(&element.name.as_str()) => {
                    self.paragraph(&std::mem::take(&mut loose), &mut out);
                    self.block(element, &mut out);
                }
                Node::Element(element)
                    if ["no", "nr", "xl"].iter().any(|class| element.is(class)) =>
                {
                    self.number = Some(element.text().trim().to_owned());
                }
                other => loose.push(other.clone()),
            }
        }
        self.paragraph(&loose, &mut out);
        out
    }

    fn line(&mut self, nodes: &[Node]) -> Vec<Inline> {
        let (draw, about) = (&mut *self.draw, self.about.as_str());
        let mut draw = |drawing: &super::tree::Drawing| draw(drawing, about);
        let draw: &mut Draw<'_> = &mut draw;
        line(nodes, Place::Prose, draw)
    }

    fn paragraph(&mut self, nodes: &[Node], out: &mut Vec<Block>) {
        let line = self.line(nodes);
        if !line.is_empty() {
            out.push(Block::Paragraph(line));
        }
    }

    fn block(&mut self, element: &Element, out: &mut Vec<Block>) {
        let children = element.children.as_slice();
        match element.name.as_str() {
            _ if for_paper(element) => {}
            _ if element.is("abc") => out.extend(copies(element)),
            _ if element.is("strip") => self.strip(element, out),
            "h1" | "h2" | "h3" | "h4" | "h5" | "h6" => self.heading(element, out),
            "article" => {
                self.about = first_heading(element).unwrap_or_default();
                out.extend(self.read(children));
                self.about.clear();
            }
            "p" if element.is("line") => self.sentences(element, out),
            "p" if element.is("lead") => {
                let line = self.line(children);
                let line = tidy(vec![Inline::Set(Setting::Emphasis, line)]);
                if !line.is_empty() {
                    out.push(Block::Paragraph(line));
                }
            }
            "p" if element.is("care") => {
                let mut inner = Vec::new();
                self.paragraph(children, &mut inner);
                if !inner.is_empty() {
                    out.push(Block::Quote(inner));
                }
            }
            "p" => self.paragraph(children, out),
            "blockquote" => {
                let inner = self.read(children);
                if !inner.is_empty() {
                    out.push(Block::Quote(inner));
                }
            }
            "ul" | "ol" => self.list(element, out),
            "dl" => self.terms(element, out),
            "pre" => {
                let text = element.text();
                if !text.trim().is_empty() {
                    out.push(Block::Code(text));
                }
            }
            "hr" => out.push(Block::Rule),
            "table" => table::read(element, out),
            _ => out.extend(self.read(children)),
        }
    }

    fn heading(&mut self, element: &Element, out: &mut Vec<Block>) {
        let level = element
            .name
            .chars()
            .last()
            .and_then(|c| c.to_digit(10))
            .map_or(6, |n| n as u8);
        let mut line = self.line(&element.children);
        if let Some(number) = self.number.take() {
            line.insert(0, Inline::Text(format!("{number} ")));
        }
        // A heading is one line.
        for inline in &mut line {
            if *inline == Inline::Break {
                *inline = words(" ");
            }
        }
        let line = tidy(line);
        if !line.is_empty() {
            out.push(Block::Heading(level, line));
        }
    }

    /// What stands in a row of boxes below a drawing: one line.
    fn strip(&mut self, element: &Element, out: &mut Vec<Block>) {
        let mut all = Vec::new();
        for part in element.elements().filter(|part| !for_paper(part)) {
            let line = self.line(&part.children);
            if line.is_empty() {
                continue;
            }
            if !all.is_empty() {
                all.push(words("; "));
            }
            all.extend(line);
        }
        let line = tidy(all);
        if !line.is_empty() {
            out.push(Block::Paragraph(line));
        }
    }

    /// What stands side by side with room between: a label, its figure, sentences.
    fn sentences(&mut self, element: &Element, out: &mut Vec<Block>) {
        let mut all = Vec::new();
        let mut sign = None;
        for node in &element.children {
            let line = self.line(std::slice::from_ref(node));
            if line.is_empty() {
                continue;
            }
            all.extend(sign.map(words));
            all.extend(line);
            let label = matches!(node, Node::Element(element) if element.is("lab"));
            sign = Some(if label { ": " } else { ". " });
        }
        let line = tidy(all);
        if !line.is_empty() {
            out.push(Block::Paragraph(line));
        }
    }

    fn list(&mut self, element: &Element, out: &mut Vec<Block>) {
        let start = (element.name == "ol").then(|| {
            let start = element.get("start").and_then(|start| start.parse().ok());
            start.unwrap_or(1)
        });
        let mut items = Vec::new();
        for item in element.elements() {
            let outer = self.about.clone();
            if self.about.is_empty() {
                self.about = item.text();
            }
            let done = box_of(item);
            let blocks = match (done, item.children.split_first()) {
                (Some(_), Some((_, rest))) => self.read(rest),
                _ => self.read(&item.children),
            };
            self.about = outer;
            if !blocks.is_empty() {
                items.push(Item { done, blocks });
            }
        }
        if !items.is_empty() {
            out.push(Block::List { start, items });
        }
        if element.is("marks") {
            out.push(Block::Paragraph(marks_in_text()));
        }
    }

    /// Terms and what they are: an item each.
    fn terms(&mut self, element: &Element, out: &mut Vec<Block>) {
        let mut items: Vec<Item> = Vec::new();
        let mut add = |term: Vec<Inline>, said: Vec<Vec<Inline>>| {
            let said: Vec<_> = said.into_iter().filter(|line| !line.is_empty()).collect();
            let mut all = term;
            for (i, line) in said.into_iter().enumerate() {
                all.push(words(if i == 0 { ": " } else { "; " }));
                all.extend(line);
            }
            let line = tidy(all);
            let blocks = vec![Block::Paragraph(line)];
            items.push(Item { done: None, blocks });
        };
        let mut open: Option<(Vec<Inline>, Vec<Vec<Inline>>)> = None;
        let groups = element
            .elements()
            .flat_map(|part| match part.name.as_str() {
                "div" => part.elements().collect(),
                _ => vec![part],
            });
        for part in groups {
            let line = self.line(&part.children);
            match (part.name.as_str(), &mut open) {
                ("dd", Some((_, said))) => said.push(line),
                _ => {
                    if let Some((term, said)) = open.replace((line, Vec::new())) {
                        add(term, said);
                    }
                }
            }
        }
        if let Some((term, said)) = open {
            add(term, said);
        }
        // A term that nothing is said of is a blank to fill in.
        items.retain(|item| {
            item.blocks
                .iter()
                .any(|block| matches!(block, Block::Paragraph(line) if plain(line).contains(": ")))
        });
        if !items.is_empty() {
            out.push(Block::List { start: None, items });
        }
    }
}

/// How parts and steps are told apart, where their numbers have no circle and no square.
fn marks_in_text() -> Vec<Inline> {
    tidy(vec![
        words("These stand in the drawings; among words the number of a "),
        Inline::Set(Setting::Strong, vec![words("part")]),
        words(" is bold, that of something "),
        Inline::Code("to do".to_owned()),
        words(" is set so."),
    ])
}

/// The copies that a card is for, instead of a box for each.
fn copies(element: &Element) -> Option<Block> {
    let letters: Vec<String> = element
        .elements()
        .map(|span| span.text().trim().to_owned())
        .filter(|letter| !letter.is_empty())
        .collect();
    let text = match letters.as_slice() {
        [] => return None,
        [one] => format!("Copy {one}"),
        all => format!("Copies {}", all.join(", ")),
    };
    Some(Block::Paragraph(vec![Inline::Text(text)]))
}

/// Whether the item begins with a box, and whether that is ticked.
fn box_of(item: &Element) -> Option<bool> {
    match item.children.first() {
        Some(Node::Element(first)) if first.is("bx") => Some(first.is("on")),
        _ => None,
    }
}

fn first_heading(element: &Element) -> Option<String> {
    element.elements().find_map(|inner| {
        let heading = inner
            .name
            .strip_prefix('h')
            .is_some_and(|level| level.len() == 1 && level.chars().all(|c| c.is_ascii_digit()));
        if heading {
            Some(inner.text())
        } else {
            first_heading(inner)
        }
    })
}
