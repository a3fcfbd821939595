//! The page about editions: what may change, what is kept open by being an error today, and what stays.
//!
//! Each statement about today has a source and the code that it gives; a test compiles it.

use crate::diag::CODES;
use crate::schema::fault::listed;
use std::fmt::Write;

/// Something that is refused today, so that it can be given a meaning.
#[derive(Debug)]
pub struct Open {
    /// What is refused.
    pub says: &'static str,
    /// A source that does it.
    pub source: &'static str,
    /// The only code that it gives.
    pub code: &'static str,
}

const fn open(says: &'static str, source: &'static str, code: &'static str) -> Open {
    Open { says, source, code }
}

/// What is an error today.
pub static OPEN: &[Open] = &[
    open(
        "a line with an unknown head, anywhere",
        "wardrobe tall",
        "name.unknown_head",
    ),
    open(
        "a word that a line does not take, known or unknown",
        "hardware knob pull {\n    bore 4mm tinted\n}",
        "name.unknown_word",
    ),
    open(
        "a word of the closed list as a name",
        "let wide = 900mm",
        "name.reserved",
    ),
    open(
        "a word that is listed as not built yet",
        "shop {\n    jaws 30mm\n}",
        "name.later",
    ),
    open(
        "`[` after a blank",
        "let bay = 1\nlet first = bay [1]",
        "syntax.apart",
    ),
    open(
        "`(` after a blank, behind a name",
        "let bay = 1\nlet first = bay (1)",
        "line.stray_value",
    ),
    open(
        "a value before its word",
        "stock ash board {\n    rough 27mm\n    long 2m from\n}",
        "line.no_value",
    ),
    open(
        "`=` outside `let`, `param` and `expect`",
        "shop {\n    web = 2mm\n}",
        "line.equals",
    ),
    open(
        "a number without a unit where a size belongs",
        "shop {\n    web 2\n}",
        "type.no_unit",
    ),
    open(
        "a unit in other letters, and a unit that is not listed",
        "let width = 18MM",
        "value.unit",
    ),
    open(
        "a comparison of a comparison",
        "let fits = 1mm < 2mm < 3mm",
        "syntax.compare_chain",
    ),
    open(
        "a line that starts with anything but a word",
        "@width 3",
        "syntax.head",
    ),
    open(
        "signs that no value has, as `%` or `#` between two values",
        "let rest = 7 % 2",
        "syntax.unreadable",
    ),
    open(
        "`param` in a branch or a repetition",
        "piece p {\n    if 1 > 0 {\n        param width = 900mm\n    }\n    case c { }\n}",
        "name.misplaced",
    ),
    open(
        "a repetition at the top of a file",
        "repeat i from 1 to 2 {\n    let size = i\n}",
        "name.misplaced",
    ),
    open(
        "a second `else`",
        "if 1 > 0 {\n} else {\n} else {\n}",
        "syntax.else_place",
    ),
    open(
        "a second commission in a file",
        "commission a { }\ncommission b { }",
        "name.twice",
    ),
    open(
        "`edition` twice, or behind another line",
        "let width = 1\nedition 1",
        "name.misplaced",
    ),
    open(
        "an edition that the program does not know",
        "edition 2",
        "name.later",
    ),
    open(
        "`use` of anything but `std` and a file of the project",
        "use other",
        "use.missing",
    ),
];

/// Fields of what is printed as JSON: of a report, of a place in it, and at the top of a model.
pub static FIELDS: &[(&str, &[&str])] = &[
    (
        "a report",
        &[
            "code", "help", "labels", "mend", "notes", "severity", "title",
        ],
    ),
    (
        "a label",
        &[
            "column",
            "end",
            "end_column",
            "end_line",
            "file",
            "line",
            "start",
            "text",
        ],
    ),
    (
        "the model",
        &["edition", "files", "pieces", "stocks", "hardware", "shop"],
    ),
];

const INTRODUCTION: &str = "`edition 1` on the first line of a file states the edition of the language that the file is written in; left out, it is 1. This program reads edition 1 and refuses others.";

const NEW: &str = "Within an edition the language grows only where there is an error today: what compiles keeps its meaning. A mistake of the program itself is mended within the edition, and the changelog says which figures it touches. What would give another meaning to a source that compiles, or would reserve a word that makers may use as a name, waits for the next edition; a program that reads it reads this one too, so a file stays as it is until its maker writes the new number on its first line.";

/// The page.
pub fn page() -> String {
    let mut text = String::from("# Editions\n\n");
    let _ = write!(
        text,
        "{INTRODUCTION}\n\n{NEW}\n\n## An error today\n\nThese are refused, so that they can be given a meaning without touching what compiles:\n\n"
    );
    for open in OPEN {
        let first = open
            .source
            .lines()
            .last()
            .filter(|_| !open.source.contains('{'));
        let as_in = first.map_or_else(String::new, |line| format!(": `{line}`"));
        let _ = writeln!(text, "- {} (`{}`){as_in}", open.says, open.code);
    }
    let allowed = CODES
        .iter()
        .filter(|code| code.may_be_allowed())
        .map(|code| code.name);
    let _ = write!(
        text,
        "\n## What stays\n\nReserved words: those listed in the overview; no others are added within an edition. Words of stock, hardware, shop and finish only may be added, since a maker may use them as names.\n\nCodes that `allow` takes keep their names and what they say: {}.\n\nJSON: within an edition fields are added, and none is renamed, taken out or given another meaning. ",
        listed(allowed, "and")
    );
    let fields = FIELDS
        .iter()
        .map(|(of, fields)| format!("Of {of}: {}.", listed(fields.iter().copied(), "and")));
    text.push_str(&fields.collect::<Vec<_>>().join(" "));
    text.push_str("\n\nThe layout of `tidy`, the words of messages, and the look and page breaks of the book are not fixed.\n");
    text
}
