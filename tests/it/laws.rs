//! Laws that hold for every text: layout says the same and is stable, cures and checks never panic. The
//! laws themselves are those of the fuzz targets (`tests/fuzz/src/lib.rs`); here they are tried on what
//! is kept, and on sources with slips.

#[path = "../fuzz/src/lib.rs"]
mod fuzz;

use crate::support::Texts;
use crate::tidy::{sources_in, tidy};
use proptest::prelude::*;
use serde_json::Value;
use std::fs;
use std::path::Path;

const SOUND: &[&str] = &["examples", "tests/pieces", "tests/passes"];

fn name(path: &Path) -> String {
    path.file_name().unwrap().to_string_lossy().into_owned()
}

/// A file with all that stands beside it: what it uses.
fn project(path: &Path, change: &dyn Fn(&str) -> String) -> Texts {
    let beside = fs::read_dir(path.parent().unwrap()).unwrap();
    let files: Vec<(String, String)> = beside
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "case"))
        .map(|path| (name(&path), change(&fs::read_to_string(&path).unwrap())))
        .collect();
    let pairs: Vec<(&str, &str)> = files
        .iter()
        .map(|(name, text)| (name.as_str(), text.as_str()))
        .collect();
    Texts::of(&pairs)
}

/// The model as JSON, without places in the text.
fn model(path: &Path, change: &dyn Fn(&str) -> String) -> Value {
    let compiled =
        casewright::compile(&project(path, change), &name(path), &Default::default()).unwrap();
    let mut model = serde_json::to_value(&compiled.model).unwrap();
    without_places(&mut model);
    model
}

fn without_places(value: &mut Value) {
    match value {
        Value::Object(fields) => {
            let is_span = fields.len() == 3
                && ["file", "start", "end"]
                    .iter()
                    .all(|f| fields.contains_key(*f));
            if is_span {
                fields.clear();
            }
            // A condition is kept as it is written; a page shows its blanks as one.
            if let Some(Value::String(text)) = fields.get_mut("text") {
                *text = text.split_whitespace().collect::<Vec<_>>().join(" ");
            }
            fields.values_mut().for_each(without_places);
        }
        Value::Array(values) => values.iter_mut().for_each(without_places),
        _ => {}
    }
}

/// Where two values differ first.
fn differs(a: &Value, b: &Value) -> Option<String> {
    match (a, b) {
        (Value::Object(a), Value::Object(b)) if a.len() == b.len() => a
            .iter()
            .find_map(|(key, a)| Some(format!("{key}.{}", differs(a, b.get(key)?)?))),
        (Value::Array(a), Value::Array(b)) if a.len() == b.len() => {
            let mut pairs = a.iter().zip(b).enumerate();
            pairs.find_map(|(i, (a, b))| Some(format!("{i}.{}", differs(a, b)?)))
        }
        (a, b) => (a != b).then(|| format!("{a} is not {b}")),
    }
}

/// A generator of small numbers, for slips that are the same on every machine.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: usize) -> usize {
        // xorshift64
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % sides as u64) as usize
    }
}

/// The text with its layout thrown about: blanks, indentation, blank lines. What goes on stays further
/// right, and notes stay as they are.
fn disorder(text: &str, seed: u64) -> String {
    let mut dice = Dice(seed | 1);
    let mut out = String::new();
    let mut in_note = false;
    let mut goes_on = false;
    for line in text.lines() {
        if in_note {
            in_note = line.matches("\"\"\"").count() % 2 == 0;
            out.push_str(line);
            out.push('\n');
            continue;
        }
        in_note = line.matches("\"\"\"").count() % 2 == 1;
        let words = line.trim_start();
        if words.is_empty() {
            (0..=dice.roll(3)).for_each(|_| out.push('\n'));
            continue;
        }
        let indent = if goes_on { 20 } else { dice.roll(12) };
        goes_on = words.ends_with(',');
        out.extend(std::iter::repeat_n(' ', indent));
        let mut quoted = false;
        let mut remark = false;
        for (i, c) in words.char_indices() {
            quoted ^= c == '"';
            remark |= !quoted && words[i..].starts_with("//");
            // Of mixed numbers the one blank is a part.
            let mixed = c == ' ' && words[..i].ends_with(|c: char| c.is_ascii_digit())
                || words[..i].ends_with("ft");
            match c {
                ' ' if !quoted && !remark && !mixed => {
                    if !out.ends_with([' ', '\t']) {
                        (0..=dice.roll(4)).for_each(|_| out.push(' '));
                    }
                }
                c => out.push(c),
            }
        }
        if dice.roll(4) == 0 && !in_note {
            out.push_str("  ");
        }
        out.push('\n');
    }
    out
}

/// Whatever the layout was, it becomes the one that stands here, and the piece is the same.
#[test]
fn layout_is_no_part_of_what_is_said() {
    let mut models = 0;
    for (seed, file) in sources_in(SOUND).iter().enumerate() {
        let text = fs::read_to_string(file).unwrap();
        let wild = |text: &str| disorder(text, 0x9e37_79b9_7f4a_7c15 ^ seed as u64);
        assert_ne!(wild(&text), text, "{}", file.display());
        assert_eq!(
            tidy(&wild(&text)).as_deref(),
            Some(text.as_str()),
            "{}",
            file.display()
        );
        let as_written = model(file, &|text| text.to_owned());
        if let Some(place) = differs(&model(file, &wild), &as_written) {
            panic!("{}: {place}", file.display());
        }
        models += usize::from(!as_written.is_null());
    }
    assert!(models > 40, "only {models}");
}

/// What broke the program once, or could: kept for good.
#[test]
fn laws_hold_for_the_corpus() {
    for file in sources_in(&["tests/bad-input", "tests/fails", "tests/good"]) {
        let bytes = fs::read(&file).unwrap();
        let text = String::from_utf8_lossy(&bytes);
        fuzz::parse(&text);
        fuzz::tidy(&text);
        fuzz::check(&text);
    }
}

/// Sound sources, and pieces of them to put elsewhere.
fn sound() -> Vec<String> {
    let files = sources_in(SOUND);
    files
        .iter()
        .map(|file| fs::read_to_string(file).unwrap())
        .collect()
}

const SCRAPS: &[&str] = &[
    " ",
    "  ",
    "\n",
    "\n\n",
    "\t",
    ",",
    "{",
    "}",
    "(",
    ")",
    "[",
    "]",
    "\"",
    "\"\"\"",
    "//x\n",
    "///y\n",
    "=",
    " = ",
    "==",
    "<",
    "-",
    " - ",
    " -",
    "+",
    "*",
    "/",
    ".",
    "%",
    "mm",
    " in",
    "16 1/2in",
    "17,6mm",
    "5ft 3in",
    "1/0in",
    "0",
    "999999999999",
    "if ",
    " then ",
    " else ",
    " and ",
    "not ",
    "of",
    " with ",
    "let",
    "side",
    "join",
    "repeat",
    "½",
    "“",
    "×",
    "é",
    "\u{202e}",
    "\r\n",
    "{ }",
    "pattern ",
    "like ",
];

/// One slip: where, how much is taken out, and what is put in.
fn slips() -> impl Strategy<Value = Vec<(usize, usize, usize)>> {
    prop::collection::vec((0..100_000usize, 0..12usize, 0..SCRAPS.len() * 2), 1..5)
}

fn spoiled(text: &str, slips: &[(usize, usize, usize)]) -> String {
    let mut text = text.to_owned();
    for (at, length, put) in slips {
        let borders: Vec<usize> = text
            .char_indices()
            .map(|(i, _)| i)
            .chain([text.len()])
            .collect();
        let first = at % borders.len();
        let last = (first + length).min(borders.len() - 1);
        let put = SCRAPS.get(*put).copied().unwrap_or("");
        text.replace_range(borders[first]..borders[last], put);
    }
    text
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    /// A source with slips is laid out once and for all, or left alone.
    #[test]
    fn slips_never_upset_the_layout(which in 0..1000usize, slips in slips()) {
        let texts = sound();
        let text = spoiled(&texts[which % texts.len()], &slips);
        fuzz::parse(&text);
        fuzz::tidy(&text);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    /// A source with slips is checked to its end.
    #[test]
    fn slips_never_upset_the_check(which in 0..1000usize, slips in slips()) {
        let texts = sound();
        let text = spoiled(&texts[which % texts.len()], &slips);
        fuzz::check(&text);
    }
}
