//! Filled-in templates read as a tree: elements, words, drawings.
//!
//! The tokens are those of the HTML standard; the tree is simpler than a browser's, since it is the
//! book's own templates that are read. Whatever a template holds, no word of it is lost.

use html5gum::{Token, Tokenizer};
use std::collections::VecDeque;

/// What stands in an element.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Node {
    /// An element with what is in it.
    Element(Element),
    /// Words, their character references resolved.
    Text(String),
    /// An `<svg>`.
    Drawing(Drawing),
}

/// An element.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Element {
    /// In lower case.
    pub name: String,
    pub attributes: Vec<(String, String)>,
    pub children: Vec<Node>,
}

/// An `<svg>`, whose inside is not read: its names are told apart by case, as tokens are not.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Drawing {
    /// Its start tag, without children.
    pub tag: Element,
    /// What stands between its tags, as written.
    pub inside: String,
}

impl Element {
    /// An attribute's value.
    pub fn get(&self, name: &str) -> Option<&str> {
        self.attributes
            .iter()
            .find(|(known, _)| known == name)
            .map(|(_, value)| value.as_str())
    }

    /// Whether it has a class.
    pub fn is(&self, class: &str) -> bool {
        self.get("class")
            .is_some_and(|all| all.split_ascii_whitespace().any(|own| own == class))
    }

    /// The elements in it.
    pub fn elements(&self) -> impl Iterator<Item = &Element> {
        self.children.iter().filter_map(|node| match node {
            Node::Element(element) => Some(element),
            Node::Text(_) | Node::Drawing(_) => None,
        })
    }

    /// Its words, blanks as written.
    pub fn text(&self) -> String {
        text(&self.children)
    }
}

impl Drawing {
    /// What it shows, in words.
    pub fn label(&self) -> &str {
        self.tag.get("aria-label").unwrap_or("")
    }
}

/// The words of nodes, blanks as written.
pub(super) fn text(nodes: &[Node]) -> String {
    nodes
        .iter()
        .map(|node| match node {
            Node::Text(text) => text.clone(),
            Node::Element(element) => element.text(),
            Node::Drawing(_) => String::new(),
        })
        .collect()
}

/// Elements that deeper ones are read into without a tree of their own: a note may hold quotes in
/// quotes without end, and all that walks the tree does so by recursion.
const DEEPEST: usize = 60;

const VOID: [&str; 8] = ["br", "hr", "img", "col", "wbr", "meta", "link", "input"];

/// Elements whose words are not for a reader.
const UNREAD: [&str; 5] = ["script", "style", "template", "noscript", "title"];

/// Reads markup.
pub(super) fn read(html: &str) -> Vec<Node> {
    let (html, mut insides) = without_drawings(html);
    let mut stack = Stack::default();
    for Ok(token) in Tokenizer::new(&html) {
        match token {
            Token::StartTag(tag) => {
                let element = Element {
                    name: lossy(&tag.name),
                    attributes: tag
                        .attributes
                        .iter()
                        .map(|(name, value)| (lossy(name), lossy(&value.value)))
                        .collect(),
                    children: Vec::new(),
                };
                if element.name == "svg" {
                    let inside = insides.pop_front().unwrap_or_default();
                    let tag = element;
                    stack.put(Node::Drawing(Drawing { tag, inside }));
                } else if tag.self_closing || VOID.contains(&element.name.as_str()) {
                    stack.put(Node::Element(element));
                } else {
                    stack.open(element);
                }
            }
            Token::EndTag(tag) => stack.close(&lossy(&tag.name)),
            Token::String(text) => stack.put(Node::Text(lossy(&text.value))),
            Token::Comment(_) | Token::Doctype(_) | Token::Error(_) => {}
        }
    }
    stack.finish()
}

fn lossy(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

/// The markup with every `<svg>` emptied, and what stood in each. Drawings do not hold one another,
/// and all words from outside are escaped, so the tags can be looked for as they are.
fn without_drawings(html: &str) -> (String, VecDeque<String>) {
    let mut out = String::with_capacity(html.len() / 2);
    let mut insides = VecDeque::new();
    let mut rest = html;
    while let Some((before, from)) = find(rest, "<svg") {
        let (Some((tag, inside)), Some((whole, after))) =
            (from.split_once('>'), find(from, "</svg>"))
        else {
            break;
        };
        out.push_str(before);
        out.push_str(tag);
        out.push('>');
        let inside_long = whole.len().saturating_sub(tag.len() + 1);
        insides.push_back(inside.get(..inside_long).unwrap_or("").to_owned());
        rest = after;
    }
    out.push_str(rest);
    (out, insides)
}

/// What stands before a tag, and from it on.
fn find<'a>(text: &'a str, tag: &str) -> Option<(&'a str, &'a str)> {
    text.find(tag).map(|at| text.split_at(at))
}

/// The elements that are open.
#[derive(Default)]
struct Stack {
    done: Vec<Node>,
    open: Vec<Element>,
    /// Open elements that are too deep to be kept.
    deeper: usize,
}

impl Stack {
    fn put(&mut self, node: Node) {
        match self.open.last_mut() {
            Some(last) => last.children.push(node),
            None => self.done.push(node),
        }
    }

    fn open(&mut self, element: Element) {
        while self.deeper == 0
            && self
                .open
                .last()
                .is_some_and(|last| ends(&last.name, &element.name))
        {
            self.pop();
        }
        if self.open.len() >= DEEPEST {
            self.deeper += 1;
        } else {
            self.open.push(element);
        }
    }

    fn close(&mut self, name: &str) {
        if self.deeper > 0 {
            self.deeper -= 1;
        } else if let Some(at) = self.open.iter().rposition(|open| open.name == name) {
            while self.open.len() > at {
                self.pop();
            }
        }
    }

    fn pop(&mut self) {
        if let Some(element) = self.open.pop()
            && !UNREAD.contains(&element.name.as_str())
        {
            self.put(Node::Element(element));
        }
    }

    fn finish(mut self) -> Vec<Node> {
        while !self.open.is_empty() {
            self.pop();
        }
        self.done
    }
}

/// Whether an open element ends where this one begins, its end tag left out.
fn ends(open: &str, begins: &str) -> bool {
    match begins {
        "li" => open == "li",
        "dt" | "dd" => matches!(open, "dt" | "dd"),
        "td" | "th" => matches!(open, "td" | "th"),
        "tr" => matches!(open, "td" | "th" | "tr"),
        "tbody" | "tfoot" => matches!(open, "td" | "th" | "tr" | "thead" | "tbody"),
        "p" | "div" | "ul" | "ol" | "dl" | "table" | "figure" | "article" | "section" | "h1"
        | "h2" | "h3" | "h4" | "h5" | "h6" | "pre" | "blockquote" => open == "p",
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_words_again_and_drawings_stay_as_written() {
        let nodes = read(
            "<p class=\"a b\">1 &lt; 2 &amp;&#8239;3<br></p><!-- c --><style>x{}</style>\
             <svg class=\"dw\" viewBox=\"0 0 1 1\" aria-label=\"a &quot;b&quot;\"><clipPath id=\"x\"/></svg>z",
        );
        let [Node::Element(p), Node::Drawing(drawing), Node::Text(z)] = nodes.as_slice() else {
            panic!("{nodes:?}");
        };
        assert_eq!(p.text(), "1 < 2 &\u{202f}3");
        assert!(p.is("b") && !p.is("c"));
        assert_eq!(drawing.label(), "a \"b\"");
        assert_eq!(drawing.inside, "<clipPath id=\"x\"/>");
        assert_eq!(z, "z");
    }

    #[test]
    fn what_is_not_closed_or_closed_twice_loses_no_word() {
        for html in [
            "<ul><li>a<li>b</ul></p>c",
            "<table><tr><td>a<td>b<tr><td>c</table>",
            "<div><p>a<p>b</div></div></svg>c",
            "a<svg>b</i><b>c",
            "<p>a<div>b</p>c",
        ] {
            let said: String = text(&read(html));
            assert_eq!(said, "abc", "{html}");
        }
    }

    #[test]
    fn depth_is_bounded_and_nothing_is_lost() {
        let deep = format!("{}x{}y", "<div>".repeat(50_000), "</div>".repeat(50_000));
        let nodes = read(&deep);
        assert_eq!(text(&nodes), "xy");
        assert_eq!(nodes.last(), Some(&Node::Text("y".into())));
    }
}
