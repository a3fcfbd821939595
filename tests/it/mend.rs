//! Cures as changes of the text: which are beyond doubt, that each takes its fault away, and what
//! `check --mend` writes, shows and leaves alone.

use super::cli::Folder;
use crate::support::Texts;
use casewright::diag::{self, CODES, Diagnostic, Edit, explain, sources};
use casewright::schema::{self, Context};
use casewright::source::{Source, Sources};
use casewright::syntax;
use std::fs;

/// What is wrong with how a text is written.
fn read(text: &str) -> Vec<Diagnostic> {
    let mut files = Sources::default();
    let file = files.add(Source::new("a.case", text));
    let (tree, mut reports) = syntax::parse(&files, file);
    reports.extend(schema::read(&tree.nodes, Context::Case).1);
    reports
}

/// The text after the first cure, and whether that is beyond doubt.
fn first_cure(text: &str) -> Option<(String, bool)> {
    let mend = read(text).into_iter().find_map(|report| report.mend)?;
    Some((diag::apply(text, &mend.edits), mend.certain))
}

/// Each of these becomes the other without asking.
#[test]
fn cures_beyond_doubt() {
    for (before, after) in [
        // numbers and units
        ("size wide 18 mm", "size wide 18mm"),
        ("size wide 16 1/2 in", "size wide 16 1/2in"),
        ("size wide 16-1/2in", "size wide 16 1/2in"),
        ("size wide 17,6mm", "size wide 17.6mm"),
        ("size wide 3/4\"", "size wide 3/4in"),
        ("size wide 5'", "size wide 5ft"),
        ("size wide 16½in", "size wide 16 1/2in"),
        ("size wide ½in", "size wide 1/2in"),
        ("size wide .5in", "size wide 0.5in"),
        ("size wide 5.mm", "size wide 5mm"),
        ("size wide 18MM", "size wide 18mm"),
        ("size wide 18inches", "size wide 18in"),
        ("let a = 118€", "let a = 118EUR"),
        ("let a = 9 %", "let a = 9%"),
        // signs
        ("let a = w- 3mm", "let a = w - 3mm"),
        ("size wide 100mm -3mm", "size wide 100mm - 3mm"),
        ("let a = w − 3mm", "let a = w - 3mm"),
        ("let a = w ÷ 3", "let a = w / 3"),
        ("require a ≤ b \"x\"", "require a <= b \"x\""),
        ("require a =< b \"x\"", "require a <= b \"x\""),
        ("require a <> b \"x\"", "require a != b \"x\""),
        ("require a&&b \"x\"", "require a and b \"x\""),
        ("require !a \"x\"", "require not a \"x\""),
        ("let a = post [1]", "let a = post[1]"),
        ("let a = deck .top", "let a = deck.top"),
        ("let a = deck. top", "let a = deck.top"),
        ("side a;", "side a"),
        ("side a # why", "side a // why"),
        ("# why", "// why"),
        ("- side a of oak", "side a of oak"),
        ("note “words”", "note \"words\""),
        ("note 'words'", "note \"words\""),
        ("note «words»", "note \"words\""),
        ("note\"words\"", "note \"words\""),
        ("side a\u{a0}of oak", "side a of oak"),
        ("side a，b of oak", "side a,b of oak"),
        ("size wide １８mm", "size wide 18mm"),
        // blocks
        (
            "divide inside downward\n{\n}\n",
            "divide inside downward {\n}\n",
        ),
        ("if a {\n}\nelse {\n}\n", "if a {\n} else {\n}\n"),
        (
            "door a in b {\n    hinge 2 of c\n} side l, r of oak\n",
            "door a in b {\n    hinge 2 of c\n}\nside l, r of oak\n",
        ),
        (
            "door a in b {\n    hinge 2 of c\nside l, r of oak\n",
            "door a in b {\n    hinge 2 of c\n}\nside l, r of oak\n",
        ),
        // words
        ("botom a of oak", "bottom a of oak"),
        ("side a, b of oak tihck 3mm", "side a, b of oak thick 3mm"),
        ("band a on back of oak", "band a on rear of oak"),
        ("band a on sides of oak", "band a on left, right of oak"),
        ("band a on frnt of oak", "band a on front of oak"),
        (
            "band a on left right of oak",
            "band a on left, right of oak",
        ),
        ("side a, b of oak 3mm thick", "side a, b of oak thick 3mm"),
        ("side a, b of oak thick = 3mm", "side a, b of oak thick 3mm"),
        (
            "join a into b with dadoo deep 3mm",
            "join a into b with dado deep 3mm",
        ),
        (
            "join a to b with dado deep 3mm",
            "join a into b with dado deep 3mm",
        ),
        ("join a into b with butt", "join a to b with butt"),
        (
            "divide inside downwrad {\n}\n",
            "divide inside downward {\n}\n",
        ),
    ] {
        let (cured, certain) = first_cure(before).unwrap_or_else(|| panic!("no cure: {before}"));
        assert_eq!(cured, after);
        assert!(certain, "in doubt: {before}");
        assert!(read(&cured).len() <= read(before).len(), "{before}");
    }
}

/// Each of these could be meant in another way: the cure is offered, or there is none.
#[test]
fn where_there_is_doubt_nothing_is_written() {
    for (before, offered) in [
        ("rough 27,52mm", Some("rough 27.52mm")),
        (
            "size wide 2400x1200mm",
            Some("size wide long 2400mm wide 1200mm"),
        ),
        ("let a = 118$", Some("let a = 118USD")),
        ("size wide 16½", Some("size wide 16 1/2in")),
        ("let a = 3 × 4mm", Some("let a = 3 * 4mm")),
        ("let a = 3 – 4mm", Some("let a = 3 - 4mm")),
        ("require a => b \"x\"", Some("require a >= b \"x\"")),
        ("size wide 2\"x4", Some("size wide 2inx4")),
        ("side left oak", Some("side left, oak")),
        ("join a into b dado", None),
        ("side a;side b", Some("side aside b")),
        ("note don't say 'x'", None),
        ("note 'open", None),
        ("size wide 18", None),
        ("side a of (oak", None),
        ("case a {", None),
    ] {
        match first_cure(before) {
            Some((cured, certain)) => {
                assert!(!certain, "beyond doubt: {before} → {cured}");
                if let Some(offered) = offered {
                    assert_eq!(cured, offered);
                }
            }
            None => assert_eq!(offered, None, "{before}"),
        }
    }
}

/// The sources of the pages that explain codes: what mends a fault takes it away, and brings no other
/// fault of writing.
#[test]
fn a_cure_takes_its_fault_away() {
    let mut cures = 0;
    for code in CODES {
        let Some(sample) = explain(code.name).and_then(sources) else {
            continue;
        };
        let compiled = |text: &str| {
            let mut files = vec![("page.case", text)];
            files.extend(&sample.fails_with);
            casewright::compile(&Texts::of(&files), "page.case", &Default::default()).unwrap()
        };
        let before = compiled(sample.fails);
        for report in &before.diagnostics {
            let Some(mend) = report.mend.as_ref().filter(|mend| mend.certain) else {
                continue;
            };
            let source = before.sources.get(report.span().file);
            if source.path != "page.case" {
                continue;
            }
            cures += 1;
            let after = compiled(&diag::apply(&source.text, &mend.edits));
            let same = after.diagnostics.iter().any(|other| {
                other.title == report.title && other.span().start == report.span().start
            });
            assert!(!same, "{}: {mend:?}", report.code.name);
            let errors = |list: &[Diagnostic]| list.iter().filter(|r| r.is_error()).count();
            assert!(
                errors(&after.diagnostics) < errors(&before.diagnostics),
                "{}: {mend:?}: {:?}",
                code.name,
                after.diagnostics
            );
        }
    }
    assert!(cures >= 15, "only {cures}");
}

#[test]
fn edits_that_overlap_are_left_out() {
    let mut files = Sources::default();
    let file = files.add(Source::new("a", ""));
    let span = |start, end| casewright::source::Span { file, start, end };
    let edit = |start, end, text: &str| Edit::new(span(start, end), text);
    let text = "añb";
    assert_eq!(
        diag::apply(text, &[edit(1, 3, "n"), edit(2, 3, "x")]),
        "anb"
    );
    assert_eq!(
        diag::apply(text, &[edit(4, 4, "!"), edit(0, 0, "¡")]),
        "¡añb!"
    );
    assert_eq!(
        diag::apply(text, &[edit(2, 3, "half"), edit(9, 12, "far")]),
        text
    );
}

const STOCK: &str = "stock ash board {\n    rough 27mm, 5 2mm\n}\n";
const RACK: &str = "\
use \"parts/stock.case\"
use std
piece rack \"Rack\" {
    case body {
        size   wide 600 mm high 400MM deep 300mm
        side   left, right of ash thick 18mm
        bottom floor of ash thick 18mm
        join   floor into left, right with butt
    }
}
";

fn project() -> Folder {
    Folder::of(&[
        ("rack.case", RACK),
        ("parts/stock.case", &STOCK.replace("5 2mm", "52 mm")),
    ])
}

#[test]
fn the_command_shows_then_writes_then_checks() {
    let folder = project();
    let ran = folder.run(&["check", "--mend", "rack.case"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert_eq!(
        ran.out,
        "\
rack.case:5: `mm` stands apart from its number
  -         size   wide 600 mm high 400MM deep 300mm
  +         size   wide 600mm high 400MM deep 300mm
rack.case:5: `MM` is not a unit
  -         size   wide 600 mm high 400MM deep 300mm
  +         size   wide 600 mm high 400mm deep 300mm
rack.case:8: a joint with `butt` cannot be `into`
  -         join   floor into left, right with butt
  +         join   floor to left, right with butt
parts/stock.case:2: `mm` stands apart from its number
  -     rough 27mm, 52 mm
  +     rough 27mm, 52mm
"
    );
    assert!(
        ran.err.contains("rack.case: mended in 3 places\n"),
        "{}",
        ran.err
    );
    assert!(ran.err.contains("rack.case: all is well"), "{}", ran.err);
    let text = fs::read_to_string(folder.path("rack.case")).unwrap();
    assert!(text.contains("wide 600mm high 400mm deep"));
    let stock = fs::read_to_string(folder.path("parts/stock.case")).unwrap();
    assert_eq!(stock, STOCK.replace("5 2mm", "52mm"));
    // There is nothing left to mend.
    let ran = folder.run(&["check", "--mend", "rack.case"]);
    assert_eq!((ran.code, ran.out.as_str()), (0, ""));
    assert_eq!(ran.err.lines().count(), 1, "{}", ran.err);
}

#[test]
fn show_writes_nothing() {
    let folder = project();
    let ran = folder.run(&["check", "--mend=show", "rack.case"]);
    assert_eq!(ran.code, 1);
    assert_eq!(ran.out.lines().count(), 12, "{}", ran.out);
    assert!(
        ran.err.ends_with("; `--mend` would mend 4\n"),
        "{}",
        ran.err
    );
    assert_eq!(fs::read_to_string(folder.path("rack.case")).unwrap(), RACK);
    assert_eq!(folder.run(&["check", "--mend=never", "rack.case"]).code, 2);
}

/// A cure that hides behind another is found too; what is in doubt stays.
#[test]
fn rounds_go_on_until_nothing_is_beyond_doubt() {
    let text = "let a = 5' 3 1/2\"\nlet b = 16½\nlet c = 1 && 2 && 3\n";
    let folder = Folder::of(&[("a.case", text)]);
    let ran = folder.run(&["check", "--mend", "a.case"]);
    assert_eq!(ran.code, 1);
    assert_eq!(
        fs::read_to_string(folder.path("a.case")).unwrap(),
        "let a = 5ft 3 1/2in\nlet b = 16½\nlet c = 1 and 2 and 3\n"
    );
}

#[test]
fn programs_get_cures_as_edits() {
    let folder = project();
    let ran = folder.run(&["--format", "json", "check", "rack.case"]);
    let reports: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    let first = &reports[0]["mend"];
    assert_eq!(first["certain"], true);
    let edit = &first["edits"][0];
    assert_eq!(edit["text"], "600mm");
    assert_eq!(
        (edit["line"].as_u64(), edit["column"].as_u64()),
        (Some(5), Some(21))
    );
    assert_eq!(
        (edit["end_line"].as_u64(), edit["end_column"].as_u64()),
        (Some(5), Some(27))
    );
    let ran = folder.run(&["--format", "json", "check", "--mend", "rack.case"]);
    assert_eq!((ran.code, ran.out.as_str()), (0, "[]\n"));
}

/// A value on the command line is no file.
#[test]
fn what_is_given_on_the_command_line_is_not_written() {
    let text = "piece rack \"Rack\" {\n    param w = 3mm\n}\n";
    let folder = Folder::of(&[("a.case", text)]);
    let ran = folder.run(&["check", "--mend", "--set", "w=3 mm", "a.case"]);
    assert_eq!(ran.out, "");
    assert_eq!(folder.names(), ["a.case"]);
    assert_eq!(fs::read_to_string(folder.path("a.case")).unwrap(), text);
}
