//! Sources with one fault each, and the nearest sound source beside each.
//!
//! In `tests/fails/<family>/<fault>.case` (or `<fault>-<twist>.case`) a remark under the faulty line
//! covers exactly the faulty columns with `^` and states code and title. All that is said about a
//! source is compared, both ways. The twin in `tests/passes/` gives nothing.

use crate::support::Texts;
use casewright::Compiled;
use casewright::diag::{CODES, Style, render};
use casewright::model::Outcome;
use std::path::{Path, PathBuf};

/// Families whose codes the rules give.
const FAMILIES: &[&str] = &[
    "fit", "cut", "space", "show", "band", "join", "stock", "shop", "order", "move",
];

/// Codes of these families that other stages give.
const OF_OTHERS: &[&str] = &[
    "fit.no_hinge",
    "fit.row_missing",
    "fit.row_level",
    "fit.plate_row",
    "cut.outside",
    "cut.at_band",
    "band.face",
    "join.apart",
    "join.face",
    "join.breadboard",
    "join.bridle",
    "join.lap_level",
    "join.mitre_flat",
    "join.not_dropped",
    "join.two_depths",
    "stock.thick_missing",
    "stock.thick_stated",
    "shop.no_cutter",
    "shop.long_rip",
    "order.open_time",
    "order.clamps",
];

/// A fault that a source says it has: line, first column, columns, code and title.
type Fault = (usize, usize, usize, String);

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests")
}

/// Every source of a folder of families, as `family/name`, in order.
fn sources_of(folder: &str) -> Vec<String> {
    let mut found = Vec::new();
    for family in std::fs::read_dir(root().join(folder)).unwrap() {
        let family = family.unwrap();
        for file in std::fs::read_dir(family.path()).unwrap() {
            let path = file.unwrap().path();
            let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
            assert_eq!(
                path.extension().and_then(|e| e.to_str()),
                Some("case"),
                "{path:?}"
            );
            found.push(format!("{}/{name}", family.file_name().to_str().unwrap()));
        }
    }
    found.sort();
    found
}

fn read(folder: &str, name: &str) -> String {
    let path = root().join(folder).join(format!("{name}.case"));
    std::fs::read_to_string(&path).unwrap_or_else(|fault| panic!("{path:?}: {fault}"))
}

fn compile(text: &str) -> Compiled {
    let files = Texts::of(&[("piece.case", text)]);
    casewright::compile(&files, "piece.case", &Default::default()).expect("the file is there")
}

/// The code that a file is named for.
fn code_of(name: &str) -> String {
    let name = name.split('-').next().unwrap_or(name);
    name.replace('/', ".")
}

/// What the remarks of a source say.
fn stated(text: &str) -> Vec<Fault> {
    let mut faults = Vec::new();
    let mut line = 0;
    for (at, content) in text.lines().enumerate() {
        let Some(marks) = content
            .strip_prefix("//")
            .filter(|rest| rest.trim_start().starts_with('^'))
        else {
            line = at + 1;
            continue;
        };
        let column = 3 + marks.len() - marks.trim_start().len();
        let marks = marks.trim_start();
        let wide = marks.len() - marks.trim_start_matches('^').len();
        let said = marks.trim_start_matches('^').trim();
        faults.push((line, column, wide, said.to_owned()));
    }
    faults
}

/// What the compiler says of it.
fn said(compiled: &Compiled) -> Vec<Fault> {
    let mut faults: Vec<Fault> = compiled
        .diagnostics
        .iter()
        .map(|d| {
            let span = d.span();
            let source = compiled.sources.get(span.file);
            let (line, column) = source.place(span.start);
            let wide = compiled.sources.text(span).chars().count();
            (line, column, wide, format!("{}: {}", d.code.name, d.title))
        })
        .collect();
    faults.sort();
    faults
}

#[test]
fn each_faulty_source_gives_what_its_remarks_say_and_nothing_else() {
    for name in sources_of("fails") {
        let text = read("fails", &name);
        let mut expected = stated(&text);
        expected.sort();
        assert_eq!(said(&compile(&text)), expected, "tests/fails/{name}.case");
        assert!(!expected.is_empty(), "{name} marks no fault");
        let code = format!("{}: ", code_of(&name));
        for (.., text) in &expected {
            assert!(text.starts_with(&code), "{name} shows {text}");
        }
    }
}

#[test]
fn each_faulty_source_has_a_sound_neighbour() {
    let (fails, passes) = (sources_of("fails"), sources_of("passes"));
    assert_eq!(passes, fails);
    for name in &passes {
        let compiled = compile(&read("passes", name));
        assert_eq!(
            said(&compiled),
            Vec::<Fault>::new(),
            "tests/passes/{name}.case"
        );
        assert!(compiled.model.is_some(), "{name}");
    }
}

/// Sound neighbours in which what the check is about is gone: no figure is left to tell.
const GONE: &[&str] = &[
    "allow/unused",
    "cut/dado_rabbet_thin",
    "cut/use_rabbet",
    "join/across",
];

/// A check tells its figure also where it holds, so that the book can print it.
#[test]
fn what_holds_is_told_with_its_limit_and_source() {
    let mut silent = Vec::new();
    for name in sources_of("passes") {
        let code = code_of(&name);
        let compiled = compile(&read("passes", &name));
        let mut told = compiled
            .findings
            .iter()
            .filter(|f| f.code == code)
            .peekable();
        // Elaboration refuses what does not hold, and tells no figures.
        if told.peek().is_none() && !OF_OTHERS.contains(&code.as_str()) {
            silent.push(name.clone());
        }
        for finding in told {
            assert_eq!(finding.outcome, Outcome::Holds, "{name}: {finding:?}");
            assert!(
                !finding.subject.is_empty() && !finding.source.is_empty(),
                "{finding:?}"
            );
        }
    }
    assert_eq!(silent, GONE);
}

#[test]
fn every_code_of_the_rules_has_a_faulty_source() {
    let shown: Vec<String> = sources_of("fails")
        .iter()
        .map(|name| code_of(name))
        .collect();
    let missing: Vec<&str> = CODES
        .iter()
        .map(|code| code.name)
        .filter(|name| FAMILIES.contains(&name.split('.').next().unwrap_or("")))
        .filter(|name| !OF_OTHERS.contains(name) && !shown.iter().any(|s| s == name))
        .collect();
    assert_eq!(missing, [""; 0]);
}

/// `allow` takes every caution of the rules away, and is itself used.
#[test]
fn each_caution_can_be_allowed() {
    let mut tried = 0;
    for name in sources_of("fails") {
        let code = code_of(&name);
        let caution = CODES
            .iter()
            .any(|c| c.name == code && c.may_be_allowed() && code != "allow.unused");
        if !caution {
            continue;
        }
        tried += 1;
        let text = read("fails", &name);
        // In the block of the case, or of the piece that has several.
        let of_case = text.lines().find(|line| *line == "    case body {");
        let of_piece = text.lines().find(|line| line.starts_with("piece "));
        let head = of_case.or(of_piece).unwrap();
        let allow = format!("{head}\n        allow {code} \"as it should be here\"");
        let allowing = text.replacen(head, &allow, 1);
        let compiled = compile(&allowing);
        assert_eq!(said(&compiled), Vec::<Fault>::new(), "{name}");
        let noted = compiled.findings.iter().any(|f| {
            f.code == code && f.outcome == Outcome::Allowed("as it should be here".into())
        });
        assert!(noted, "{name}: the decision is not noted");
    }
    assert!(tried > 8, "only {tried} cautions tried");
}

/// A caution about safety is always told: `allow` is refused.
#[test]
fn safety_can_not_be_allowed() {
    let text = read("fails", "shop/part_small").replacen(
        "    case body {",
        "    case body {\n        allow shop.part_small \"steady hands\"",
        1,
    );
    let compiled = compile(&text);
    let codes: Vec<&str> = compiled.diagnostics.iter().map(|d| d.code.name).collect();
    assert_eq!(codes, ["allow.error"]);
}

#[test]
fn the_messages_read_well() {
    let style = Style::Human {
        color: false,
        width: 100,
    };
    for family in FAMILIES {
        let mut shown = String::new();
        for name in sources_of("fails")
            .iter()
            .filter(|n| n.split('/').next() == Some(family))
        {
            let compiled = compile(&read("fails", name));
            shown += &render(&compiled.diagnostics, &compiled.sources, style);
            shown.push('\n');
        }
        insta::with_settings!({ snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true }, {
            insta::assert_snapshot!(format!("rules-{family}"), shown);
        });
    }
}
