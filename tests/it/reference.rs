//! The reference is complete by construction: nothing in the table is without words and an example,
//! and every example stands in a whole project that compiles.

use crate::support::Texts;
use casewright::Compiled;
use casewright::diag::{Style, render};
use casewright::schema::{Context, Example, FIELDS, OPEN, Use, examples, shown, table, words};
use std::path::Path;

fn frame(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/reference/{name}"));
    std::fs::read_to_string(&path).unwrap_or_else(|fault| panic!("{path:?}: {fault}"))
}

/// The frame of what stands in this context.
fn frame_of(context: Context) -> &'static str {
    match context {
        Context::File | Context::Pattern => "file",
        Context::Piece | Context::Around => "piece",
        Context::Case | Context::Thing => "case",
        Context::Divide | Context::Openings => "divide",
        Context::Assemble => "assemble",
        Context::Leaf => "leaf",
        Context::Drawer => "drawer",
        Context::Face => "face",
        Context::Frame => "frame",
        Context::Shelves => "shelves",
        Context::Run => "run",
        Context::Slab => "row",
        Context::Stock | Context::Hardware | Context::Material => "stock",
        Context::Finish => "finish",
        Context::Shop => "shop",
        Context::Rack => "rack",
        Context::OnHand => "on_hand",
        Context::Commission => "commission",
    }
}

/// What `around.txt` says about the examples that begin so.
#[derive(Debug, Default)]
struct Around {
    of: String,
    frame: Option<String>,
    without: Vec<String>,
    beside: Vec<String>,
}

fn all_around() -> Vec<Around> {
    let mut all: Vec<Around> = Vec::new();
    for line in frame("around.txt").lines() {
        if let Some(of) = line.strip_prefix("= ") {
            all.push(Around {
                of: of.to_owned(),
                ..Around::default()
            });
        }
        let Some(last) = all.last_mut() else { continue };
        if let Some(name) = line.strip_prefix("frame ") {
            last.frame = Some(name.to_owned());
        } else if let Some(line) = line.strip_prefix("- ") {
            last.without.push(line.to_owned());
        } else if let Some(line) = line.strip_prefix("+ ") {
            last.beside.push(line.to_owned());
        }
    }
    all
}

fn squeezed(line: &str) -> String {
    line.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn indent(line: &str) -> &str {
    &line[..line.len() - line.trim_start().len()]
}

/// The lines that are kept, each left out with its block.
fn keep(text: &str, leave: impl Fn(&str, &str) -> bool) -> Vec<&str> {
    let mut deep = 0_usize;
    let mut kept = Vec::new();
    for line in text.lines() {
        let words = squeezed(line);
        let left = deep > 0 || leave(&words, indent(line));
        if left {
            deep = deep + usize::from(words.ends_with('{')) - usize::from(words == "}" && deep > 0);
        } else {
            kept.push(line);
        }
    }
    kept
}

/// The first two words of a line: its head and the first of its names.
fn start(line: &str) -> String {
    let words: Vec<&str> = line.split_whitespace().take(2).collect();
    words.join(" ").trim_end_matches(',').to_owned()
}

/// A whole project around an example: goods, a sound piece, and the example where it belongs.
fn project(example: Example) -> String {
    let all = all_around();
    let says = squeezed(example.text);
    let near = all.iter().filter(|around| says.starts_with(&around.of));
    let none = Around::default();
    let around = near.max_by_key(|around| around.of.len()).unwrap_or(&none);
    let name = around
        .frame
        .clone()
        .unwrap_or_else(|| frame_of(example.context).to_owned());
    let text = frame(&format!("{name}.case"));
    let here = text
        .lines()
        .find(|line| line.trim() == "HERE")
        .expect("a frame has a place");
    let own = start(example.text.lines().next().unwrap_or(""));
    let replaces = !own.starts_with("join ") && !own.starts_with("band ");
    let leave = |words: &str, at: &str| {
        around.without.iter().any(|left| words.starts_with(left))
            || replaces && at == indent(here) && words.starts_with(&own)
    };
    let mut out: Vec<String> = Vec::new();
    let declared: Vec<String> = if example.context == Context::File {
        example
            .text
            .lines()
            .filter(|line| indent(line).is_empty() && line.contains(' '))
            .map(start)
            .collect()
    } else {
        Vec::new()
    };
    // The edition stands first of all.
    if example.text.starts_with("edition ") {
        return format!(
            "{}\n{}",
            example.text,
            frame("goods.case").replacen("edition 1\n", "", 1)
        );
    }
    let goods = frame("goods.case");
    let goods = keep(&goods, |words, _| {
        declared.iter().any(|own| words.starts_with(own))
    });
    out.extend(goods.into_iter().map(str::to_owned));
    for line in keep(&text, leave) {
        if line.trim() == "HERE" {
            let beside = around.beside.iter().map(String::as_str);
            out.extend(
                example
                    .text
                    .lines()
                    .chain(beside)
                    .map(|line| format!("{}{line}", indent(here))),
            );
        } else {
            out.push(line.to_owned());
        }
    }
    out.join("\n") + "\n"
}

fn compile(text: &str) -> Compiled {
    let files = Texts::of(&[("piece.case", text), ("stock.case", "edition 1\n")]);
    casewright::compile(&files, "piece.case", &Default::default()).expect("the file is there")
}

/// Every example compiles in a whole project, and what it says counts: no error, and no caution but
/// of edges, which other lines cover, and of what other lines hold.
#[test]
fn every_example_stands_in_a_project_that_compiles() {
    let mut wrong = String::new();
    let all = examples();
    for example in &all {
        let text = project(*example);
        assert!(
            text.contains(example.text.lines().next().expect("a line")),
            "{example:?}"
        );
        let compiled = compile(&text);
        let told: Vec<_> = compiled
            .diagnostics
            .into_iter()
            .filter(|report| !["show.bare_edge", "join.none"].contains(&report.code.name))
            .collect();
        if !told.is_empty() {
            wrong += &format!(
                "=== {}\n{}",
                example.text,
                render(&told, &compiled.sources, Style::Plain)
            );
        }
    }
    assert!(all.len() > 100);
    assert_eq!(wrong, "");
}

/// The project around an example is what fails where the example is wrong.
#[test]
fn a_wrong_example_is_noticed() {
    for text in [
        "shelf deck of oak19 at 400mm",
        "shelf deck of oak18 at 4000mm",
        "join floor into lid with dado deep 5mm",
    ] {
        let example = Example {
            context: Context::Case,
            text,
        };
        let compiled = compile(&project(example));
        assert!(
            compiled.diagnostics.iter().any(|report| report.is_error()),
            "{text}"
        );
    }
}

/// What no example shows: `of` takes `word`.
fn missing() -> Vec<String> {
    let shown: Vec<_> = examples().into_iter().flat_map(shown).collect();
    let mut missing: Vec<String> = Vec::new();
    let mut ask = |of: &str, row: &Use, anyone: bool| {
        let there = shown
            .iter()
            .any(|shown| shown.word == row.word && (shown.of == of || anyone && shown.row == row));
        let told = format!("{of}: {}", row.word);
        if !row.later && !there && !missing.contains(&told) {
            missing.push(told);
        }
    };
    for head in table::heads().filter(|head| !head.later) {
        // What several heads take alike need not be shown of each.
        head.words().for_each(|row| ask(head.word, row, true));
        for kind in head.kinds.iter().filter(|kind| !kind.later) {
            kind.clauses
                .iter()
                .for_each(|row| ask(kind.word, row, false));
        }
    }
    for kind in table::joints().iter().filter(|kind| !kind.later) {
        kind.clauses
            .iter()
            .for_each(|row| ask(kind.word, row, true));
    }
    for word in table::WORDS {
        word.tails.iter().for_each(|row| ask(word.word, row, true));
    }
    missing
}

#[test]
fn no_word_is_without_an_example() {
    assert_eq!(missing(), [""; 0]);
}

/// What is told of a word ends with an example, unless this edition does not build it yet.
#[test]
fn every_page_has_words_and_an_example() {
    let heads = table::heads()
        .filter(|head| !head.later)
        .map(|head| head.word);
    let kinds = table::heads()
        .flat_map(|head| head.kinds)
        .filter(|kind| !kind.later)
        .map(|kind| kind.word);
    let joints = table::joints()
        .iter()
        .filter(|kind| !kind.later)
        .map(|kind| kind.word);
    for word in heads.chain(kinds).chain(joints) {
        let page = words(Some(word)).expect("a page");
        assert!(page.contains("\n## Example"), "{page}");
    }
    for word in table::WORDS {
        let page = words(Some(word.word)).expect("a page");
        let later = page.contains("does not build it yet") || page.contains("(not built yet)");
        assert!(later || page.contains("\n## Example"), "{page}");
        assert!(word.doc.len() > 6, "{page}");
    }
}

fn codes(text: &str) -> Vec<&'static str> {
    compile(text)
        .diagnostics
        .iter()
        .map(|report| report.code.name)
        .collect()
}

/// What the page of editions says is refused is refused, with the one code that it names.
#[test]
fn what_is_kept_open_is_an_error_today() {
    let page = words(Some("edition")).expect("a page");
    for open in OPEN {
        assert_eq!(
            codes(open.source),
            [open.code],
            "{}: {}",
            open.says,
            open.source
        );
        assert!(
            page.contains(open.says) && page.contains(open.code),
            "{}",
            open.says
        );
        assert!(
            casewright::diag::explain(open.code).is_some(),
            "{}",
            open.code
        );
    }
    // The nearest sources that are sound: each says nothing.
    for sound in [
        "edition 1\nlet width = 1",
        "let bay = 2\nlet first = bay / 2",
        "if 1 > 0 {\n} else if 1 > 2 {\n} else {\n}",
    ] {
        assert_eq!(codes(sound), [""; 0], "{sound}");
    }
}

/// Reserved words of edition 1. A word more here takes a name from makers, so it waits for the next
/// edition; a word that is free to makers needs no line here.
const RESERVED: &[&str] = &[
    "across",
    "at",
    "between",
    "bore",
    "by",
    "centred",
    "clamped",
    "covers",
    "damp",
    "deep",
    "dropped",
    "dry",
    "early",
    "faces",
    "fit",
    "flush",
    "from",
    "from_ends",
    "gap",
    "grain",
    "half_blind",
    "haunched",
    "high",
    "hung",
    "in",
    "inset",
    "into",
    "inward",
    "kerf",
    "lap",
    "lengths",
    "like",
    "load",
    "long",
    "measured",
    "mitred",
    "of",
    "on",
    "open",
    "over",
    "overlay",
    "packed",
    "per",
    "pinned",
    "pitch",
    "price",
    "proud",
    "reveal",
    "run_out",
    "seen",
    "set_back",
    "set_in",
    "share",
    "slope",
    "slotted",
    "sliding",
    "splined",
    "stand_off",
    "stopped",
    "tails",
    "thick",
    "through",
    "to",
    "twin",
    "under",
    "up",
    "upright",
    "wedged",
    "wide",
    "with",
    "wooden",
];

/// The codes that `allow` takes: sources name them.
const ALLOWED: &[&str] = &[
    "shop.no_cutter",
    "order.open_time",
    "order.clamps",
    "fit.drawer_narrow",
    "fit.front_gap",
    "cut.short_grain",
    "cut.past_half",
    "cut.web_thin",
    "cut.edge_web",
    "cut.over_joint",
    "join.across",
    "join.mitre_thick",
    "join.none",
    "join.drawer",
    "show.housing",
    "show.bare_edge",
    "shop.saw_long",
    "allow.unused",
];

#[test]
fn what_stays_stays() {
    let reserved: Vec<&str> = table::WORDS
        .iter()
        .filter(|word| !word.free)
        .map(|word| word.word)
        .collect();
    assert_eq!(reserved, RESERVED);
    let page = words(Some("edition")).expect("a page");
    for code in ALLOWED {
        let row = casewright::diag::Code::find(code).unwrap_or_else(|| panic!("{code} is gone"));
        assert!(
            row.may_be_allowed() && page.contains(&format!("`{code}`")),
            "{code}"
        );
    }
}

/// The fields that the page promises are there.
#[test]
fn json_has_the_fields_that_the_page_names() {
    let compiled = compile("let width = 18MM");
    let reports = render(&compiled.diagnostics, &compiled.sources, Style::Json);
    let reports: serde_json::Value = serde_json::from_str(&reports).expect("JSON");
    let model = compile("edition 1").model.expect("it compiles");
    let model = serde_json::to_value(&model).expect("JSON");
    let of = |what: &str| match what {
        "a report" => reports[0].clone(),
        "a label" => reports[0]["labels"][0].clone(),
        "the model" => model.clone(),
        _ => panic!("{what}"),
    };
    for (what, fields) in FIELDS {
        for field in *fields {
            assert!(of(what).get(field).is_some(), "{what} has no `{field}`");
        }
    }
}

/// Each slip of `slips.txt` in its frame: its name and the whole text.
fn slips() -> Vec<(String, String)> {
    let mut all: Vec<(String, String, Vec<String>)> = Vec::new();
    for line in frame("slips.txt").lines() {
        if let Some(title) = line.strip_prefix("= ") {
            let (name, within) = title.split_once(" in ").expect("a name and a frame");
            all.push((
                name.to_owned(),
                frame(&format!("{within}.case")),
                Vec::new(),
            ));
        } else if let Some((.., lines)) = all.last_mut() {
            lines.push(line.to_owned());
        }
    }
    let whole = |(name, around, lines): (String, String, Vec<String>)| {
        let mut text = frame("goods.case");
        for line in around.lines() {
            if line.trim() == "HERE" {
                let lines = lines.iter().filter(|line| !line.is_empty());
                lines.for_each(|slip| text += &format!("{}{slip}\n", indent(line)));
            } else {
                text += &format!("{line}\n");
            }
        }
        (name, text)
    };
    all.into_iter().map(whole).collect()
}

/// One mistake gives one report, which says what is wrong and, where there is a cure, what to change.
#[test]
fn each_slip_gives_one_report() {
    let style = Style::Human {
        color: false,
        width: 100,
    };
    let mut shown = String::new();
    let mut wrong: Vec<String> = Vec::new();
    for (name, text) in slips() {
        let compiled = compile(&text);
        let errors: Vec<_> = compiled
            .diagnostics
            .iter()
            .filter(|report| report.is_error())
            .cloned()
            .collect();
        if errors.len() != 1 {
            let codes: Vec<_> = errors.iter().map(|report| report.code.name).collect();
            wrong.push(format!("{name}: {codes:?}"));
        }
        shown += &format!("{name}\n{}\n", render(&errors, &compiled.sources, style));
    }
    assert_eq!(wrong, [""; 0]);
    insta::with_settings!({ snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true }, {
        insta::assert_snapshot!("slips", shown);
    });
}
