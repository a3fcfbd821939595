//! The library `std`: written in the language, shipped inside the program, cut into its declarations.
//! Only what a project names is read, so `use std` costs what is used. Nothing here is checked or computed.

use crate::syntax::tree::{Expr, ExprKind, Node};
use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::sync::OnceLock;

/// Its texts, by topic.
const TEXTS: &[(&str, &str)] = &[
    ("species", include_str!("../std/species.case")),
    ("cores", include_str!("../std/cores.case")),
    ("sheets", include_str!("../std/sheets.case")),
    ("boards", include_str!("../std/boards.case")),
    ("hardware", include_str!("../std/hardware.case")),
    ("glues", include_str!("../std/glues.case")),
    ("abrasives", include_str!("../std/abrasives.case")),
    ("finishes", include_str!("../std/finishes.case")),
];

/// One declaration of the library.
#[derive(Debug)]
pub struct Declared {
    /// Where it stands, and how messages name it: `std:sheets/birch_ply18`.
    pub path: String,
    /// Its topic: `sheets`.
    pub topic: &'static str,
    /// `stock`, `hardware`, `species`, …
    pub head: &'static str,
    /// Its name.
    pub name: &'static str,
    /// The kind of stock or hardware.
    pub kind: Option<&'static str>,
    /// Its text with its description.
    pub text: &'static str,
}

impl Declared {
    /// Its description, one paragraph.
    pub fn docs(&self) -> String {
        let lines = self.text.lines();
        let docs: Vec<&str> = lines
            .map_while(|line| line.strip_prefix("///"))
            .map(str::trim)
            .collect();
        docs.join(" ")
    }

    /// The lines of its block, and the sources that they name, each once.
    fn figures(&self) -> (Vec<String>, Vec<&'static str>) {
        let (mut figures, mut sources) = (Vec::new(), Vec::new());
        let inside = self
            .text
            .lines()
            .filter_map(|line| line.strip_prefix("    "));
        for line in inside {
            let (figure, source) = match line.split_once("source") {
                Some((figure, source)) => (figure, source.trim().trim_matches('"')),
                None => (line, ""),
            };
            let words: Vec<&str> = figure.split_ascii_whitespace().collect();
            if !words.is_empty() {
                figures.push(words.join(" "));
            }
            if !source.is_empty() && !sources.contains(&source) {
                sources.push(source);
            }
        }
        (figures, sources)
    }
}

/// Every declaration, topic by topic, in the order written.
pub fn all() -> &'static [Declared] {
    static ALL: OnceLock<Vec<Declared>> = OnceLock::new();
    ALL.get_or_init(|| {
        TEXTS
            .iter()
            .flat_map(|(topic, text)| cut(topic, text))
            .collect()
    })
}

/// What the library declares: by topic and kind, each with its description, figures and sources.
pub fn words() -> String {
    let mut out = String::from(
        "# `std`, the library that ships inside the program\n\nAfter `use std` each of these can be \
         used by its name; a project's own name goes\nfirst. The text of one: `casewright words NAME`.\n",
    );
    let (mut topic, mut kind) = ("", None);
    for declared in all() {
        if declared.topic != topic {
            (topic, kind) = (declared.topic, None);
            let _ = write!(out, "\n## {topic}\n\n");
        }
        if declared.kind != kind {
            kind = declared.kind;
            if let Some(kind) = kind {
                let gap = if out.ends_with("\n\n") { "" } else { "\n" };
                let _ = write!(out, "{gap}### {kind}\n\n");
            }
        }
        let (figures, sources) = declared.figures();
        let mut entry = format!("- `{}`: {}", declared.name, declared.docs());
        if !figures.is_empty() {
            let _ = write!(entry, " {}.", figures.join("; "));
        }
        wrap("", &entry, &mut out);
        if !sources.is_empty() {
            wrap("  ", &format!("Source: {}.", sources.join("; ")), &mut out);
        }
    }
    out
}

/// Columns of a terminal that lists stay within.
const COLUMNS: usize = 96;

/// Adds an entry of a list, its further lines set in.
fn wrap(indent: &str, entry: &str, out: &mut String) {
    out.push_str(indent);
    let (mut column, mut first) = (indent.len(), true);
    for word in entry.split(' ') {
        let long = word.chars().count();
        if !first && column + 1 + long > COLUMNS {
            out.push_str("\n  ");
            column = 2;
        } else if !first {
            out.push(' ');
            column += 1;
        }
        first = false;
        out.push_str(word);
        column += long;
    }
    out.push('\n');
}

/// The declarations of a name with their text; nothing if the library has none. A species and a stock
/// may share a name.
pub fn page(name: &str) -> Option<String> {
    let mut out = String::new();
    for declared in all().iter().filter(|declared| declared.name == name) {
        if !out.is_empty() {
            out.push('\n');
        }
        let kind = declared
            .kind
            .map_or(String::new(), |kind| format!(" ({kind})"));
        let _ = write!(
            out,
            "# `{name}`, a {}{kind} of the library\n\n`use std` takes it in.\n\n",
            declared.head
        );
        for line in declared.text.lines() {
            let _ = writeln!(out, "    {line}");
        }
    }
    (!out.is_empty()).then_some(out)
}

/// Whether a path names a text of the library. No file of a project can: a colon leads outside.
pub fn is_library(path: &str) -> bool {
    path.starts_with("std:") && all().iter().any(|declared| declared.path == path)
}

/// Cuts a text into its declarations: each begins at the margin, after its `///` lines, and ends with
/// the line of its closing brace.
fn cut(topic: &'static str, text: &'static str) -> Vec<Declared> {
    let mut out = Vec::new();
    let (mut start, mut at) = (None, 0);
    let mut head = "";
    for line in text.split_inclusive('\n') {
        let end = at + line.len();
        let bare = line.trim_end();
        if bare.starts_with("///") {
            start.get_or_insert(at);
        } else if bare.starts_with(|c: char| c.is_ascii_lowercase()) {
            start.get_or_insert(at);
            head = bare;
        }
        let closes = bare == "}" || (!head.is_empty() && !head.ends_with('{'));
        if let (Some(from), true) = (start, closes) {
            let mut words = head.split_ascii_whitespace().filter(|word| *word != "{");
            if let (Some(word), Some(name)) = (words.next(), words.next()) {
                out.push(Declared {
                    path: format!("std:{topic}/{name}"),
                    topic,
                    head: word,
                    name,
                    kind: words.next(),
                    text: text.get(from..end).unwrap_or(""),
                });
            }
            (start, head) = (None, "");
        }
        at = end;
    }
    out
}

/// Adds every word of these lines that may name a declaration.
pub fn names_in(nodes: &[Node], out: &mut BTreeSet<String>) {
    for node in nodes {
        match node {
            Node::Line(line) => {
                let items = line.items.iter().chain(line.set.iter().flatten());
                for expr in items.flat_map(|item| &item.exprs) {
                    names_of(expr, out);
                }
                if let Some(block) = &line.block {
                    names_in(&block.nodes, out);
                }
            }
            Node::If(branch) => {
                names_of(&branch.condition, out);
                names_in(&branch.then.nodes, out);
                if let Some(otherwise) = &branch.otherwise {
                    names_in(&otherwise.nodes, out);
                }
            }
            Node::Comment(_) | Node::Blank | Node::Bad(_) => {}
        }
    }
}

fn names_of(expr: &Expr, out: &mut BTreeSet<String>) {
    let mut names = Vec::new();
    expr.names_in(&mut names);
    // Words in braces are computed in notes and reasons: `{oak18.thick}`.
    if let ExprKind::Text(text) | ExprKind::Markdown(text) = &expr.kind
        && text.contains('{')
    {
        names.extend(text.split(|c: char| !c.is_alphanumeric() && c != '_'));
    }
    for name in names {
        if !out.contains(name) {
            out.insert(name.to_owned());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_is_cut_at_its_margin() {
        let text = "// Of the trade.\n\n/// One.\n/// Two.\nstock a sheet {\n    thick 1mm\n}\n/// Three.\nhardware b catch\nspecies c {\n}\n";
        let found = cut("things", text);
        let told: Vec<_> = found
            .iter()
            .map(|d| (d.path.as_str(), d.head, d.kind, d.docs()))
            .collect();
        assert_eq!(
            told,
            [
                (
                    "std:things/a",
                    "stock",
                    Some("sheet"),
                    "One. Two.".to_owned()
                ),
                (
                    "std:things/b",
                    "hardware",
                    Some("catch"),
                    "Three.".to_owned()
                ),
                ("std:things/c", "species", None, String::new()),
            ]
        );
        assert_eq!(
            found[0].text,
            "/// One.\n/// Two.\nstock a sheet {\n    thick 1mm\n}\n"
        );
    }

    /// Nothing of a text is lost but its remarks and blank lines.
    #[test]
    fn every_line_belongs_to_a_declaration() {
        for (topic, text) in TEXTS {
            let declared: String = cut(topic, text).iter().map(|d| d.text).collect();
            let kept = |text: &str| -> Vec<String> {
                text.lines()
                    .filter(|l| !l.is_empty() && (l.starts_with("///") || !l.starts_with("//")))
                    .map(str::to_owned)
                    .collect()
            };
            assert_eq!(kept(&declared), kept(text), "{topic}");
        }
    }
}
