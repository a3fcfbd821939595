//! What a maker sees of each mistake, and that one mistake gives one report or few: the good example,
//! spoilt in many ways, never panics, never floods, never goes silent.

use crate::explain::PAGE;
use crate::support::Texts;
use casewright::Compiled;
use casewright::diag::{Style, explain, pages, render, sources};
use std::collections::BTreeMap;

const HUMAN: Style = Style::Human {
    color: false,
    width: 90,
};

fn compile(files: &[(&str, &str)]) -> Compiled {
    let (entry, _) = files.first().expect("a first file");
    casewright::compile(&Texts::of(files), entry, &Default::default()).expect("the file is there")
}

#[test]
fn the_reports_of_the_pages_read_well() {
    let mut shown: BTreeMap<String, String> = BTreeMap::new();
    for code in pages() {
        let page = explain(&code).expect("listed");
        // What is wrong with a template cannot be shown in a source.
        let Some(sample) = sources(page) else {
            continue;
        };
        let mut files = vec![(PAGE, sample.fails)];
        files.extend(&sample.fails_with);
        let compiled = compile(&files);
        if compiled.diagnostics.is_empty() {
            continue; // found when the work is planned, and told in the book
        }
        let family = code.split('.').next().expect("family.fault");
        let text = shown.entry(family.to_owned()).or_default();
        *text += &render(&compiled.diagnostics, &compiled.sources, HUMAN);
        text.push('\n');
    }
    for (family, text) in &shown {
        insta::with_settings!({ snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true }, {
            insta::assert_snapshot!(format!("faults-{family}"), text);
        });
    }
}

/// The good example, spoilt in one place.
struct Spoilt {
    /// How, for messages.
    how: String,
    /// Which of the files, and its text.
    file: usize,
    text: String,
}

const EXAMPLE: [(&str, &str); 3] = [
    (
        "score_cabinet.case",
        include_str!("../../examples/music-school/score_cabinet.case"),
    ),
    (
        "stock.case",
        include_str!("../../examples/music-school/stock.case"),
    ),
    (
        "shop.case",
        include_str!("../../examples/music-school/shop.case"),
    ),
];

/// Every file of the example spoilt by `how`, which gives texts and what was done to them.
fn spoil(how: impl Fn(&str) -> Vec<(String, String)>) -> Vec<Spoilt> {
    let mut out = Vec::new();
    for (file, (_, text)) in EXAMPLE.iter().enumerate() {
        for (how, text) in how(text) {
            out.push(Spoilt { how, file, text });
        }
    }
    out
}

/// Whether every fault is to be tried: some minutes instead of seconds.
fn all_faults() -> bool {
    std::env::var_os("CASEWRIGHT_ALL_FAULTS").is_some()
}

/// What compiles is planned and written as a book: nothing there may panic either.
fn plan_and_write(files: &[(&str, &str)]) {
    let compiled = compile(files);
    let model = compiled.model.expect("it has no errors");
    if model.pieces.is_empty() {
        return;
    }
    let plans = casewright::plan::make(&model);
    let facts = casewright::book::Facts {
        model: &model,
        plans: &plans,
        findings: &compiled.findings,
        paper: casewright::book::Paper::A4,
        revision: None,
        date: None,
        since: None,
    };
    let book = casewright::book::write(&facts, &casewright::book::Templates::built_in());
    assert!(book.is_ok_and(|text| text.ends_with("</html>")));
}

/// Tries one of each `step` of them (all of them with `CASEWRIGHT_ALL_FAULTS` set), and tells which
/// give more than `most` errors, or none and no model.
fn check_spoilt(all: Vec<Spoilt>, step: usize, most: usize) {
    let step = if all_faults() { 1 } else { step };
    let mut wrong = Vec::new();
    for spoilt in all.iter().step_by(step) {
        let mut files = EXAMPLE;
        files[spoilt.file].1 = &spoilt.text;
        let fault = std::panic::catch_unwind(|| {
            let compiled = compile(&files);
            let errors: Vec<String> = compiled
                .diagnostics
                .iter()
                .filter(|d| d.is_error())
                .map(|d| {
                    format!(
                        "{} {}: {}",
                        compiled.sources.place(d.span()),
                        d.code.name,
                        d.title
                    )
                })
                .collect();
            // Every report can be shown.
            let shown = render(&compiled.diagnostics, &compiled.sources, HUMAN);
            assert_eq!(shown.is_empty(), compiled.diagnostics.is_empty());
            let asked = files[0].1.lines().any(|line| line.starts_with("piece "));
            let built = compiled.model.is_some_and(|m| m.pieces.is_empty() != asked);
            if all_faults() && errors.is_empty() {
                plan_and_write(&files);
            }
            if errors.len() > most {
                Some(format!(
                    "{} errors\n    {}",
                    errors.len(),
                    errors.join("\n    ")
                ))
            } else if errors.is_empty() && !built {
                Some("no error and no model".to_owned())
            } else {
                None
            }
        });
        match fault {
            Ok(None) => {}
            Ok(Some(fault)) => wrong.push(format!(
                "{}: {}: {fault}",
                EXAMPLE[spoilt.file].0, spoilt.how
            )),
            Err(_) => wrong.push(format!("{}: {}: PANIC", EXAMPLE[spoilt.file].0, spoilt.how)),
        }
    }
    assert!(
        wrong.is_empty(),
        "{} of {}:\n{}",
        wrong.len(),
        all.len().div_ceil(step),
        wrong.join("\n")
    );
}

/// The tokens of a kind: byte ranges of runs of characters that belong to it, outside remarks.
fn runs(
    text: &str,
    belongs: fn(char) -> bool,
    starts: fn(char) -> bool,
) -> Vec<std::ops::Range<usize>> {
    let mut out = Vec::new();
    let mut at = 0;
    for line in text.split_inclusive('\n') {
        let code = line.split("//").next().unwrap_or("");
        let mut from = None;
        for (i, c) in code.char_indices().chain([(code.len(), '\n')]) {
            match from {
                None if belongs(c) => from = Some(i),
                Some(start) if !belongs(c) => {
                    if code[start..].starts_with(starts) {
                        out.push(at + start..at + i);
                    }
                    from = None;
                }
                _ => {}
            }
        }
        at += line.len();
    }
    out
}

fn words(text: &str) -> Vec<std::ops::Range<usize>> {
    runs(
        text,
        |c| c.is_alphanumeric() || c == '_' || c == '.',
        char::is_alphabetic,
    )
}

fn numbers(text: &str) -> Vec<std::ops::Range<usize>> {
    runs(
        text,
        |c| c.is_alphanumeric() || c == '.' || c == '_' || c == '%',
        |c| c.is_ascii_digit(),
    )
}

fn place(text: &str, at: usize) -> String {
    format!("line {}, byte {at}", text[..at].lines().count())
}

fn put(text: &str, range: &std::ops::Range<usize>, new: &str) -> String {
    format!("{}{new}{}", &text[..range.start], &text[range.end..])
}

#[test]
fn a_line_left_out() {
    let dropped = spoil(|text| {
        let lines: Vec<&str> = text.split_inclusive('\n').collect();
        (0..lines.len())
            .map(|i| {
                let rest: String = lines
                    .iter()
                    .enumerate()
                    .filter(|(j, _)| *j != i)
                    .map(|(_, l)| *l)
                    .collect();
                (
                    format!("without line {}, {:?}", i + 1, lines[i].trim()),
                    rest,
                )
            })
            .collect()
    });
    // Without `use std` each of the four woods and cores that the stock names is missing.
    check_spoilt(dropped, 1, 4);
}

#[test]
fn a_word_misspelt() {
    let misspelt = spoil(|text| {
        words(text)
            .iter()
            .map(|r| {
                (
                    format!("{}: {}x", place(text, r.start), &text[r.clone()]),
                    put(text, &(r.end..r.end), "x"),
                )
            })
            .collect()
    });
    check_spoilt(misspelt, 4, 3);
}

#[test]
fn a_figure_replaced() {
    let replaced = spoil(|text| {
        let mut out = Vec::new();
        for r in numbers(text) {
            for new in [
                "0mm",
                "-5mm",
                "100000m",
                "1/3mm",
                "7",
                "3kg",
                "0",
                "100000000000000000000000000mm",
                "2.5",
                "\"ten\"",
                "wide",
                "45mm > 3mm",
            ] {
                out.push((
                    format!("{}: {new} for {}", place(text, r.start), &text[r.clone()]),
                    put(text, &r, new),
                ));
            }
        }
        out
    });
    check_spoilt(replaced, 11, 3);
}

#[test]
fn two_words_swapped() {
    let swapped = spoil(|text| {
        let tokens = runs(text, |c| !c.is_whitespace(), |_| true);
        tokens
            .windows(2)
            .filter(|pair| !text[pair[0].end..pair[1].start].contains('\n'))
            .map(|pair| {
                let (a, b) = (&pair[0], &pair[1]);
                let new = format!(
                    "{}{}{}",
                    &text[b.clone()],
                    &text[a.end..b.start],
                    &text[a.clone()]
                );
                (
                    format!("{}: {new}", place(text, a.start)),
                    put(text, &(a.start..b.end), &new),
                )
            })
            .collect()
    });
    check_spoilt(swapped, 4, 3);
}

#[test]
fn the_end_cut_off() {
    let cut = spoil(|text| {
        (0..text.len())
            .step_by(7)
            .filter(|at| text.is_char_boundary(*at))
            .map(|at| (format!("cut at {}", place(text, at)), text[..at].to_owned()))
            .collect()
    });
    // A cut stock list lacks up to seven things that the piece is made of, each told once.
    check_spoilt(cut, 5, 8);
}

/// The example of every head, put after every line: where it has no place it is told so, where it
/// has, it does what it says.
#[test]
fn a_line_put_in() {
    let put_in = spoil(|text| {
        let lines: Vec<&str> = text.split_inclusive('\n').collect();
        let mut out = Vec::new();
        for i in 0..lines.len() {
            for head in casewright::schema::table::heads().filter(|head| !head.example.is_empty()) {
                let mut new = lines.clone();
                let line = format!("{}\n", head.example);
                new.insert(i + 1, &line);
                out.push((
                    format!("`{}` after line {}", head.example, i + 1),
                    new.concat(),
                ));
            }
        }
        out
    });
    check_spoilt(put_in, 83, 6);
}

/// Words and signs that a hand may put in the wrong place.
const STRAY: &[&str] = &[
    " ",
    "\n",
    "{",
    "}",
    "(",
    ")",
    "[",
    "]",
    ",",
    "=",
    "\"",
    "\"\"\"",
    "//",
    "///",
    " - ",
    "*",
    "/",
    ".",
    "0mm",
    "-1",
    "1/3in",
    " of ",
    " on ",
    " at ",
    " from ",
    " to ",
    " with ",
    " like ",
    " in ",
    " over ",
    " left",
    " all",
    " inside",
    " wide",
    " thick",
    " deep",
    "if ",
    " else ",
    "not ",
    "\u{e9}",
    "\u{202e}",
    "\t",
    "99999999999999999999",
];

proptest::proptest! {
    #![proptest_config(proptest::test_runner::Config {
        cases: if all_faults() { 4000 } else { 96 },
        failure_persistence: None,
        ..Default::default()
    })]

    /// Up to five random edits: nothing panics, and what gives no model says why.
    #[test]
    fn random_edits(
        file in 0usize..3,
        edits in proptest::collection::vec((0usize..1000, 0usize..60, 0usize..STRAY.len(), 0u8..4), 1..6),
    ) {
        let mut text = EXAMPLE[file].1.to_owned();
        for (at, length, stray, kind) in edits {
            let border = |text: &str, at: usize| {
                (at.min(text.len())..=text.len()).find(|i| text.is_char_boundary(*i)).unwrap_or(0)
            };
            let start = border(&text, at * text.len() / 1000);
            let end = border(&text, start + length);
            match kind {
                0 => text.replace_range(start..end, ""),
                1 => text.insert_str(start, STRAY[stray]),
                2 => text.replace_range(start..end, STRAY[stray]),
                _ => {
                    let again = text[start..end].to_owned();
                    text.insert_str(end, &again);
                }
            }
        }
        let mut files = EXAMPLE;
        files[file].1 = &text;
        let compiled = compile(&files);
        let asked = files[0].1.lines().any(|line| line.starts_with("piece "));
        let built = compiled.model.as_ref().is_some_and(|m| m.pieces.is_empty() != asked);
        proptest::prop_assert!(built || compiled.has_errors(), "neither a model nor an error");
        if all_faults() && !compiled.has_errors() {
            plan_and_write(&files);
        }
        let shown = render(&compiled.diagnostics, &compiled.sources, Style::Plain);
        proptest::prop_assert_eq!(shown.is_empty(), compiled.diagnostics.is_empty());
    }
}

/// The codes that one text gives.
fn codes(text: &str) -> Vec<&'static str> {
    let compiled = compile(&[(PAGE, text)]);
    compiled.diagnostics.iter().map(|d| d.code.name).collect()
}

/// Each of these was once taken without a word, and something was left out or made up in silence.
#[test]
fn nothing_is_lost_in_silence() {
    let rack = |lines: &str| {
        format!(
            "stock ash board {{\n    rough 27mm\n}}\nstock ply12 sheet {{\n    thick 12mm\n}}\n\
             hardware pin5 pin {{\n    thick 5mm deep 10mm\n}}\npiece rack {{\n    case body {{\n        \
             size wide 600mm high 400mm deep 300mm\n        side left, right of ash thick 18mm\n        \
             bottom floor of ash thick 18mm\n        join floor to left, right with butt\n{lines}    }}\n}}\n"
        )
    };
    assert_eq!(codes(&rack("")), Vec::<&str>::new());
    for (text, code) in [
        // A size of sheet without its width.
        (
            "stock ply sheet {\n    thick 6mm\n    sold long 2440mm\n}\n".to_owned(),
            "line.needs",
        ),
        // A size by one end, where no ends are.
        (
            rack("").replace("wide 600mm", "wide from 600mm"),
            "line.no_value",
        ),
        (
            rack(
                "        divide inside downward {\n            opening a high 100mm from 3mm\n            opening b\n        }\n",
            ),
            "line.stray_tail",
        ),
        // Openings whose sizes follow from each other.
        (
            rack(
                "        divide inside downward {\n            opening a high b.high\n            opening b high a.high\n        }\n",
            ),
            "place.cycle",
        ),
        // The name of a head is no name.
        (
            rack(
                "        shelf deck of ash thick 18mm at 200mm\n        join deck to left, right with butt\n        join shelf to left with butt\n",
            ),
            "name.unknown",
        ),
        // A part of a drawer is none of the case.
        (
            rack(
                "        drawer tray in inside {\n            box of ply12 high 100mm\n            front of ply12\n        }\n        join front to left with butt\n",
            ),
            "name.unknown",
        ),
        // A range with one end.
        (
            "stock ash board {\n    rough 27mm\n    wide from 100mm\n}\n".to_owned(),
            "line.needs",
        ),
        // A row of holes beyond counting.
        (
            rack(
                "        shelves loose 1 of ash thick 18mm in inside {\n            pins 4 of pin5 pitch 0.0000001mm set_back 57mm from 96mm to 300mm\n        }\n",
            ),
            "value.range",
        ),
        // A load of something else.
        (
            rack(
                "        shelves loose 1 of ash thick 18mm in inside {\n            pins 4 of pin5 pitch 32mm set_back 57mm from 96mm to 288mm\n            load 60kg per h\n        }\n",
            ),
            "type.mismatch",
        ),
        // Figures of the shop and the stock that can't be.
        (
            "shop {\n    relief groove -5mm\n}\n".to_owned(),
            "value.range",
        ),
        ("shop {\n    waste 100%\n}\n".to_owned(), "value.range"),
        (
            "shop {\n    hours from 17h to 8h\n}\n".to_owned(),
            "value.range",
        ),
        (
            "shop {\n    climate dry 65% damp 30%\n}\n".to_owned(),
            "value.range",
        ),
        (
            "stock ply sheet {\n    thick 18mm measured 1.76mm\n}\n".to_owned(),
            "value.range",
        ),
        (
            "finish oil {\n    coat oil 1 dry 2h covers 10m2 per 0L\n}\n".to_owned(),
            "value.range",
        ),
        // A name given twice.
        (
            rack("        let a = 3mm\n        let a = 4mm\n"),
            "name.twice",
        ),
        // Words that nothing is made of yet.
        (
            "commission c {\n    allow show.bare_edge \"seen by nobody\"\n    make 1 of r\n}\n"
                .to_owned()
                + &rack("").replace("piece rack", "piece r"),
            "name.misplaced",
        ),
    ] {
        assert_eq!(codes(&text), [code], "{text}");
    }
}

/// Lines may stand in any order, and what is said at any level counts.
#[test]
fn names_reach_as_far_as_they_should() {
    let text = "\
note \"\"\"Made for {tall}.\"\"\"
let tall = 400mm
stock pine board like ash {
    rough 35mm
}
stock ash board {
    rough 27mm
    moisture 9%
}
piece rack {
    case body {
        let t = 18mm
        size   wide 600mm high tall deep 300mm
        side   left, right of pine thick t
        bottom floor of ash thick t
        divide low downward {
            opening a high upper.high / 3
            shelf   ledge of ash thick t
            opening b
        }
        divide inside downward {
            opening upper high 100mm
            shelf   deck of ash thick t
            opening low
        }
        join   floor, deck, ledge to left, right with butt
    }
    expect body.a.high = 100mm / 3
}
";
    let compiled = compile(&[(PAGE, text)]);
    let shown = render(&compiled.diagnostics, &compiled.sources, HUMAN);
    assert_eq!(shown, "");
    let model = compiled.model.expect("no errors");
    assert_eq!(model.pieces[0].notes[0].markdown, "Made for 400 mm.");
    assert_eq!(model.pieces[0].stated.len(), 1);
}
