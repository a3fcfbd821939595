//! The language reference, printed from the table as Markdown: an overview, or all about one word.

mod edition;
mod examples;
mod overview;
mod topics;

pub use edition::{FIELDS, OPEN, Open};
pub use examples::{Example, Shown, examples, shown};
pub use topics::{TOPICS, Topic};

use super::fault::{listed, wants};
use super::head::{Context, Head, Kind, Names, Need, Shape, Use, Word};
use super::table;
use std::fmt::Write;

/// The reference: an overview, or all about one head, clause word, edge or kind of joint, stock or
/// hardware. Nothing if there is no such word.
pub fn words(head: Option<&str>) -> Option<String> {
    match head {
        None => Some(overview::overview()),
        Some(word) => about(word),
    }
}

/// Every entry about this word.
fn about(word: &str) -> Option<String> {
    let mut text = String::new();
    for head in table::heads().filter(|head| head.word == word) {
        part(&mut text, &about_head(head));
    }
    if let Some(row) = table::word(word) {
        part(&mut text, &about_word(row));
    }
    if let Some(kind) = table::joint(word) {
        part(
            &mut text,
            &about_kind(kind, "a kind of joint", Some("with")),
        );
    }
    for head in table::heads() {
        if let Some(kind) = head.kind(word) {
            part(
                &mut text,
                &about_kind(kind, &format!("a kind of {}", head.word), None),
            );
        }
    }
    if table::EDGES.contains(&word) {
        part(
            &mut text,
            &format!("# `{word}`, an edge\n\n{}\n", overview::EDGES),
        );
    }
    for topic in TOPICS.iter().filter(|topic| topic.words.contains(&word)) {
        part(&mut text, &about_topic(topic));
    }
    if word == "edition" {
        part(&mut text, &edition::page());
    }
    (!text.is_empty()).then_some(text)
}

fn part(text: &mut String, more: &str) {
    if !text.is_empty() {
        text.push('\n');
    }
    text.push_str(more);
}

/// Writing to a string cannot fail, so nothing is lost by not asking.
macro_rules! put {
    ($text:expr, $($rest:tt)*) => { let _ = writeln!($text, $($rest)*); };
}

fn about_topic(topic: &Topic) -> String {
    let example = indented(topic.example.text);
    format!("# {}\n\n{}\n\n{example}\n", topic.title, topic.text)
}

fn about_head(head: &'static Head) -> String {
    let mut text = String::new();
    put!(text, "# `{}`, {}\n", head.word, places(head.places));
    put!(text, "{}", head.doc);
    if head.later {
        put!(
            text,
            "\nThis edition knows the word and does not build it yet."
        );
        return text;
    }
    put!(text, "\n    {}", line_shape(head));
    if !head.kinds.is_empty() {
        put!(text, "\n## Kinds\n");
        for kind in head.kinds {
            put!(
                text,
                "- `{}`{}: {}",
                kind.word,
                if kind.later { " (not built yet)" } else { "" },
                kind.doc
            );
        }
    }
    let uses: Vec<&Use> = head.words().collect();
    if !uses.is_empty() {
        put!(text, "\n## Words\n");
        text.push_str(&use_list(&uses));
    }
    if let Some(block) = head.block {
        let lines: Vec<&str> = heads_in(block).map(|head| head.word).collect();
        match lines.as_slice() {
            [] => {
                put!(text, "\n## Lines\n\nThe words above, one decision a line.");
            }
            _ => {
                let words = if uses.is_empty() && head.kinds.is_empty() {
                    ""
                } else {
                    "; the words above may stand as lines too"
                };
                put!(text, "\n## Lines\n\n{}{words}.", listed(lines, "and"));
            }
        }
    }
    let more = examples::more_of(head.word, head.places).map(|example| example.text);
    let all: Vec<&str> = std::iter::once(head.example).chain(more).collect();
    let title = if all.len() == 1 {
        "Example"
    } else {
        "Examples"
    };
    put!(text, "\n## {title}");
    for example in all {
        put!(text, "\n{}", indented(example));
    }
    text
}

fn about_word(word: &'static Word) -> String {
    let mut text = String::new();
    put!(text, "# `{}`, a word of a line\n", word.word);
    put!(text, "{}.", capital(word.doc));
    if !overview::is_built(word) {
        put!(
            text,
            "\nThis edition knows the word and does not build it yet."
        );
    }
    put!(text, "\n    {}", with_value(word.word, word.shape));
    if !word.tails.is_empty() {
        put!(text, "\n## Words after it\n");
        text.push_str(&use_list(&word.tails.iter().collect::<Vec<_>>()));
    }
    put!(text, "\n## Where it stands\n");
    let told = |row: &Use| {
        let later = if row.later { " (not built yet)" } else { "" };
        if row.doc.is_empty() {
            later.to_string()
        } else {
            format!("{later}: {}", row.doc)
        }
    };
    for head in table::heads() {
        if let Some(row) = head.takes(word.word) {
            put!(
                text,
                "- `{}` {}{}",
                head.word,
                places(head.places),
                told(row)
            );
        }
        for kind in head.kinds {
            if let Some(row) = kind.takes(word.word) {
                put!(text, "- `{} {}`{}", head.word, kind.word, told(row));
            }
        }
    }
    for kind in table::joints() {
        if let Some(row) = kind.takes(word.word) {
            put!(text, "- `with {}`{}", kind.word, told(row));
        }
    }
    for other in table::WORDS {
        if let Some(row) = other.tails.iter().find(|row| row.word == word.word) {
            put!(text, "- after `{}`{}", other.word, told(row));
        }
    }
    if word.free {
        put!(text, "\nA maker may use this word as a name.");
    }
    if let Some(example) = examples::example_of(word.word) {
        put!(text, "\n## Example\n\n{}", indented(example.text));
    }
    text
}

fn about_kind(kind: &'static Kind, what: &str, before: Option<&str>) -> String {
    let mut text = String::new();
    put!(text, "# `{}`, {what}\n", kind.word);
    put!(text, "{}", kind.doc);
    if let Some(preposition) = kind.preposition {
        put!(
            text,
            "\nThe second part stands after `{}`.",
            preposition.word()
        );
    }
    if kind.later {
        put!(
            text,
            "\nThis edition knows the word and does not build it yet."
        );
        return text;
    }
    if let Some(before) = before {
        let count = match kind.count {
            Need::No => "",
            Need::May => " [HOW_MANY]",
            Need::Must => " HOW_MANY",
        };
        put!(text, "\n    {before} {}{count}", kind.word);
    }
    if !kind.clauses.is_empty() {
        put!(text, "\n## Words\n");
        text.push_str(&use_list(&kind.clauses.iter().collect::<Vec<_>>()));
    }
    put!(text, "\n## Example\n\n{}", indented(kind.example));
    text
}

/// `HEAD NAME COUNT VALUES "WORDS" …`.
fn line_shape(head: &Head) -> String {
    let mut shape = head.word.to_string();
    let mut add = |word: &str| {
        shape.push(' ');
        shape.push_str(word);
    };
    match head.names {
        Names::None if head.word == "pattern" => add("HEAD NAME …"),
        Names::One if head.word == "pattern" => add("HEAD NAME …"),
        Names::None => {}
        Names::MayOne => add("[NAME]"),
        Names::One => add("NAME"),
        Names::MaySome => add("[NAME, …]"),
        Names::Some => add("NAME, …"),
    }
    match head.count {
        Need::No => {}
        Need::May => add("[HOW_MANY]"),
        Need::Must => add("HOW_MANY"),
    }
    for slot in head.values {
        let name = match slot.shape {
            Shape::Choice(words) => words.join("|"),
            Shape::Choices(words) => format!("{}, …", words.join("|")),
            Shape::Numbers | Shape::Lengths => format!("{}, …", slot.name.to_uppercase()),
            _ => slot.name.to_uppercase().replace(' ', "_"),
        };
        add(&if slot.optional {
            format!("[{name}]")
        } else {
            name
        });
    }
    match head.title {
        Need::No => {}
        Need::May => add("[\"WORDS\"]"),
        Need::Must => add("\"WORDS\""),
    }
    if head.set {
        add("= VALUE");
    }
    for row in head.words().filter(|row| row.required) {
        add(&with_value(row.word, super::read::shape_of(row)));
    }
    if head.block.is_some() {
        add("{ … }");
    }
    shape
}

/// The word with a stand-in for its value.
fn with_value(word: &str, shape: Shape) -> String {
    let value = match shape {
        Shape::Flag => return word.to_string(),
        Shape::FlagOrLength => "[LENGTH]".to_string(),
        Shape::Length | Shape::Extent => "LENGTH".to_string(),
        Shape::Lengths => "LENGTH, …".to_string(),
        Shape::Number => "NUMBER".to_string(),
        Shape::Numbers => "NUMBER, …".to_string(),
        Shape::Angle => "ANGLE".to_string(),
        Shape::Mass => "MASS".to_string(),
        Shape::Time => "TIME".to_string(),
        Shape::Money => "MONEY".to_string(),
        Shape::Amount | Shape::Range => "AMOUNT".to_string(),
        Shape::Text => "\"WORDS\"".to_string(),
        Shape::Value => "VALUE".to_string(),
        Shape::Code => "CODE".to_string(),
        Shape::Name | Shape::Thing => "NAME".to_string(),
        Shape::Opening => "OPENING".to_string(),
        Shape::Parts => "PART, …".to_string(),
        Shape::Edges => "EDGE, …".to_string(),
        Shape::Choice(words) => words.join("|"),
        Shape::Choices(words) => format!("{}, …", words.join("|")),
        Shape::Joint => "JOINT".to_string(),
        Shape::JointOf(kinds) => kinds
            .iter()
            .map(|kind| kind.word)
            .collect::<Vec<_>>()
            .join("|"),
        Shape::Kind => "KIND".to_string(),
        Shape::Place => "PLACE".to_string(),
        Shape::Places => "PLACE, PLACE".to_string(),
        Shape::Unit => "UNIT".to_string(),
    };
    format!("{word} {value}")
}

fn use_list(uses: &[&Use]) -> String {
    let mut text = String::new();
    for row in uses {
        let shape = super::read::shape_of(row);
        let doc = match (row.doc, table::word(row.word)) {
            ("", Some(word)) => word.doc,
            (doc, _) => doc,
        };
        let need = match (row.later, row.required, row.default) {
            (true, ..) => " (not built yet)".to_string(),
            (_, true, _) => " (must be there)".to_string(),
            (.., Some(default)) => format!(" (unless said: {default})"),
            _ => String::new(),
        };
        // Where the words themselves are told already, the list of all that the word takes anywhere
        // would contradict them.
        let told = matches!(shape, Shape::Choice(_)) && doc.starts_with('`');
        let mut takes = if shape == Shape::Flag || told {
            String::new()
        } else {
            format!("; {}", wants(shape))
        };
        let after = table::word(row.word).map_or(&[][..], |word| word.tails);
        // A plain length has no ends to be stated.
        let ends = after.iter().any(|tail| tail.word == "between");
        let after = if ends && shape == Shape::Length {
            &[]
        } else {
            after
        };
        let after: Vec<&str> = after
            .iter()
            .filter(|tail| !tail.later)
            .map(|tail| tail.word)
            .collect();
        if !after.is_empty() && matches!(shape, Shape::Length | Shape::Amount) {
            takes.push_str(&format!(", then {}", listed(after, "and")));
        }
        let limits = limits(row);
        put!(text, "- `{}`{need}: {doc}{takes}{limits}", row.word);
    }
    text
}

/// What it does not stand beside, what it needs beside it, and where it may be.
fn limits(row: &Use) -> String {
    let mut text = String::new();
    if !row.beside.is_empty() {
        let beside = listed(row.beside.iter().copied(), "or");
        text.push_str(&format!("; only beside {beside}"));
    }
    if !row.without.is_empty() {
        let without = listed(row.without.iter().copied(), "or");
        text.push_str(&format!("; not beside {without}"));
    }
    if !row.sides.is_empty() {
        let sides = listed(row.sides.iter().copied(), "and");
        text.push_str(&format!("; its edges are {sides}"));
    }
    text
}

/// `in a case, in a divide`.
fn places(places: &[Context]) -> String {
    if places.len() == Context::ALL.len() {
        return "anywhere".to_string();
    }
    places
        .iter()
        .map(|place| place.phrase())
        .collect::<Vec<_>>()
        .join(", ")
}

/// The heads that stand in this block and are built, words that stand nearly anywhere left out.
fn heads_in(context: Context) -> impl Iterator<Item = &'static Head> {
    table::heads().filter(move |head| head.places.contains(&context) && !head.later)
}

fn indented(text: &str) -> String {
    text.lines()
        .map(|line| format!("    {line}"))
        .collect::<Vec<_>>()
        .join("\n")
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
