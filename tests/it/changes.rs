//! The diff of two revisions: what is said in the terminal, and laws that hold for any two.

use crate::support::Texts;
use casewright::diff::{
    Built, Changes, CutFacet, Decision, DecisionKind, Figure, Names, Presence, Revision, Step,
    Word, diff,
};
use casewright::elaborate::{Options, written};
use casewright::model::WrittenLine;
use casewright::plan::{self, Plans};
use casewright::{Compiled, compile};
use proptest::prelude::*;
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// A revision with what is made of it.
struct Made {
    lines: Vec<WrittenLine>,
    compiled: Compiled,
    plans: Option<Plans>,
}

impl Made {
    fn of(files: &[(&str, &str)], entry: &str) -> Made {
        let texts = Texts::of(files);
        let lines = written(&texts, entry).unwrap();
        let mut compiled = compile(&texts, entry, &Options::default()).unwrap();
        let sound = compiled.model.as_ref().filter(|_| !compiled.has_errors());
        let plans = sound.map(plan::make);
        if let Some(plans) = &plans {
            compiled.judge(plans.findings());
        }
        Made {
            lines,
            compiled,
            plans,
        }
    }

    fn text(text: &str) -> Made {
        Made::of(&[("a.case", text)], "a.case")
    }

    fn revision(&self) -> Revision<'_> {
        Revision {
            lines: &self.lines,
            built: self.compiled.model.as_ref().map(|model| Built {
                model,
                plans: self.plans.as_ref(),
                findings: &self.compiled.findings,
            }),
            errors: 0,
        }
    }
}

fn between(old: &Made, new: &Made) -> Changes {
    diff(&old.revision(), &new.revision())
}

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Every piece that the tests build, with what it uses.
fn pieces() -> Vec<(String, Made)> {
    let mut paths: Vec<PathBuf> = ["tests/pieces", "tests/good", "examples"]
        .iter()
        .flat_map(|folder| fs::read_dir(root().join(folder)).unwrap())
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "case"))
        .collect();
    paths.push(root().join("examples/music-school/score_cabinet.case"));
    paths.sort();
    paths
        .iter()
        .map(|path| (path.display().to_string(), made(path)))
        .collect()
}

/// A file with its neighbours.
fn made(path: &Path) -> Made {
    let files: Vec<(String, String)> = fs::read_dir(path.parent().unwrap())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "case"))
        .map(|path| {
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            (name, fs::read_to_string(path).unwrap())
        })
        .collect();
    let files: Vec<(&str, &str)> = files.iter().map(|(n, t)| (&**n, &**t)).collect();
    Made::of(&files, path.file_name().unwrap().to_str().unwrap())
}

const SCHOOL: [&str; 4] = [
    "commission.case",
    "score_cabinet.case",
    "stock.case",
    "shop.case",
];

/// The files of the music school, some of them edited.
fn school(edits: &[(&str, &str, &str)]) -> Vec<(String, String)> {
    SCHOOL
        .iter()
        .map(|name| {
            let path = root().join("examples/music-school").join(name);
            let mut text = fs::read_to_string(path).unwrap();
            for (_, from, to) in edits.iter().filter(|(file, ..)| file == name) {
                assert!(text.contains(from), "{name} holds `{from}`");
                text = text.replace(from, to);
            }
            ((*name).to_owned(), text)
        })
        .collect()
}

fn school_made(edits: &[(&str, &str, &str)]) -> Made {
    let files = school(edits);
    let files: Vec<(&str, &str)> = files.iter().map(|(n, t)| (&**n, &**t)).collect();
    Made::of(&files, "commission.case")
}

/// What the program prints for the music school and an edit of it, in two formats.
fn shown(name: &str, edits: &[(&str, &str, &str)]) -> String {
    shown_between(name, &[], edits)
}

fn shown_between(
    name: &str,
    before: &[(&str, &str, &str)],
    after: &[(&str, &str, &str)],
) -> String {
    let folder = tempfile::tempdir().unwrap();
    for (side, edits) in [("old", before), ("new", after)] {
        fs::create_dir(folder.path().join(side)).unwrap();
        for (file, text) in school(edits) {
            fs::write(folder.path().join(side).join(file), text).unwrap();
        }
    }
    let run = |format: &str| {
        let output = Command::new(env!("CARGO_BIN_EXE_casewright"))
            .args([
                "--format",
                format,
                "diff",
                "old/commission.case",
                "new/commission.case",
            ])
            .current_dir(folder.path())
            .output()
            .unwrap();
        assert_eq!(output.status.code(), Some(0), "{name}");
        assert!(
            output.stderr.is_empty(),
            "{}",
            String::from_utf8_lossy(&output.stderr)
        );
        String::from_utf8(output.stdout).unwrap()
    };
    let human = run("human");
    let text = format!("{human}\n---- plain ----\n{}", run("plain"));
    insta::with_settings!({ snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true }, {
        insta::assert_snapshot!(format!("diff-{name}"), text);
    });
    human
}

const CABINET: &str = "score_cabinet.case";

#[test]
fn one_size_changed() {
    shown(
        "size",
        &[(
            CABINET,
            "opening well high 130mm",
            "opening well high 140mm",
        )],
    );
}

#[test]
fn the_stock_measures_less() {
    shown(
        "stock",
        &[("stock.case", "measured 17.6mm", "measured 17.4mm")],
    );
}

#[test]
fn a_part_is_called_otherwise() {
    shown("renamed", &[(CABINET, "deck", "ledge")]);
}

#[test]
fn a_joint_goes_deeper() {
    let text = shown(
        "joint",
        &[(
            CABINET,
            "with dado   deep 5mm\n        join left",
            "with dado   deep 6mm\n        join left",
        )],
    );
    // The README shows it as it is.
    let (_, body) = text.split_once("\n\n").unwrap();
    let readme = fs::read_to_string(root().join("README.md")).unwrap();
    assert!(
        readme.contains(body.trim_end()),
        "the README should show:\n{body}"
    );
}

/// The cabinet without its doors, and with them.
#[test]
fn a_door_is_added() {
    let doors = "        doors gates in cupboard of oak18 overlay reveal 1.5mm gap 3mm {
            band  on all like lipping thick 6mm
            hinge 2 of cup_hinge
            pull  1 of knob at 60mm from top at 40mm from meeting
        }
";
    shown_between("door", &[(CABINET, doors, "")], &[]);
}

#[test]
fn one_more_is_made() {
    shown("copies", &[("commission.case", "make   3", "make   4")]);
}

#[test]
fn a_thing_and_itself_do_not_differ() {
    for (name, made) in pieces() {
        let changes = between(&made, &made);
        assert!(changes.is_empty(), "{name}: {changes:?}");
    }
}

/// Layout, remarks, the order of free lines, clauses as lines of the block, files and spellings of one
/// number decide nothing.
#[test]
fn what_is_only_written_otherwise_is_no_change() {
    let plain = school_made(&[]);
    let cabinet = fs::read_to_string(root().join("examples/music-school").join(CABINET)).unwrap();
    let mut lines: Vec<&str> = cabinet.lines().collect();
    let joins: Vec<usize> = (0..lines.len())
        .filter(|i| lines[*i].starts_with("        join") && !lines[*i].ends_with('{'))
        .collect();
    assert!(joins.len() >= 3);
    let (first, last) = (joins[0], *joins.last().unwrap());
    lines.swap(first, last);
    let turned = lines.join("\n");
    let loose: String = cabinet
        .replace("join", "join  ")
        .lines()
        .map(|line| match line.trim_start().starts_with("///") {
            true => format!("{line}\n"),
            false => format!("{line} // a remark\n"),
        })
        .collect();
    let edits: [&[(&str, &str, &str)]; 6] = [
        &[(CABINET, &cabinet, &turned)],
        &[(CABINET, &cabinet, &loose)],
        &[(
            "stock.case",
            "thick 18mm measured 17.6mm",
            "thick 1.8cm measured (17.6mm)",
        )],
        &[(
            CABINET,
            "drawer tray in well {",
            "drawer tray {\n            in well",
        )],
        &[(
            CABINET,
            "of oak18 overlay reveal 1.5mm gap 3mm {\n            band",
            "of oak18 reveal 1.5mm gap 3mm overlay {\n            band",
        )],
        &[
            (
                "stock.case",
                "/// Biscuit, size 20.\nhardware biscuit20 biscuit {\n    long  56mm wide 23mm thick 4mm\n    price 8EUR per box of 100\n}\n",
                "",
            ),
            (
                "shop.case",
                "/// What this",
                "/// Biscuit, size 20.\nhardware biscuit20 biscuit {\n    long  56mm wide 23mm thick 4mm\n    price 8EUR per box of 100\n}\n/// What this",
            ),
        ],
    ];
    for edit in edits {
        let changes = between(&plain, &school_made(edit));
        assert!(changes.decisions.is_empty(), "{:?}", changes.decisions);
        assert!(
            changes.consequences.is_some_and(|c| c.is_empty()),
            "{edit:?}"
        );
    }
}

/// A text that was tidied says what it said.
#[test]
fn tidying_is_no_change() {
    use casewright::source::{Source, Sources};
    let mut changed = 0;
    for folder in ["tests/pieces", "tests/good", "examples"] {
        for entry in fs::read_dir(root().join(folder)).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_none_or(|e| e != "case") {
                continue;
            }
            // As somebody in a hurry would have typed it.
            let text = fs::read_to_string(&path).unwrap().replace("  ", " ");
            let mut sources = Sources::default();
            let file = sources.add(Source::new("a.case", text.clone()));
            let tidied = casewright::syntax::tidy(&sources, file).unwrap();
            changed += usize::from(tidied != text);
            let lines = |text: &str| written(&Texts::of(&[("a.case", text)]), "a.case").unwrap();
            let (old, new) = (lines(&text), lines(&tidied));
            let revision = |lines| Revision {
                lines,
                built: None,
                errors: 0,
            };
            let changes = diff(&revision(&old), &revision(&new));
            assert!(
                changes.is_empty(),
                "{}: {:?}",
                path.display(),
                changes.decisions
            );
        }
    }
    assert!(changed > 5);
}

/// In a `divide` the order of lines is place; among bands of one panel it is who covers whom.
#[test]
fn order_that_says_something_is_a_decision() {
    let plain = school_made(&[]);
    let turned = school_made(&[(
        CABINET,
        "opening well high 130mm\n            shelf   deck of oak18\n            opening cupboard",
        "opening cupboard\n            shelf   deck of oak18\n            opening well high 130mm",
    )]);
    let kinds = |changes: Changes| -> Vec<DecisionKind> {
        changes.decisions.iter().map(|d| d.kind).collect()
    };
    let moved = kinds(between(&plain, &turned));
    assert!(
        !moved.is_empty() && moved.iter().all(|k| *k == DecisionKind::Moved),
        "{moved:?}"
    );
    let of_one = school_made(&[(
        CABINET,
        "band left, right, floor, deck on front like lipping\n        band lid on front, left, right like lipping thick 15mm mitred",
        "band lid on front, left, right like lipping thick 15mm mitred\n        band left, right, floor, deck on front like lipping",
    )]);
    assert!(
        between(&plain, &of_one).is_empty(),
        "bands of different panels"
    );
}

/// Brackets count where they change what is meant.
#[test]
fn brackets_count_where_they_mean_something() {
    let with = |value: &str| Made::text(&format!("let a = 2mm\nlet b = {value}\n"));
    assert!(between(&with("(a + 1mm) * 2"), &with("((a + 1mm)) * 2")).is_empty());
    let changes = between(&with("(a + 1mm * 3) * 2"), &with("(a + 1mm) * 3 * 2"));
    assert_eq!(changes.decisions.len(), 1);
}

/// What can't be built is compared as far as it was written; and what could not be read of it is told
/// as text.
#[test]
fn broken_text_still_gives_its_decisions() {
    let plain = school_made(&[]);
    let broken = school_made(&[
        (CABINET, "high 760mm deep 460mm", "high 780mm deep 460mm"),
        (
            CABINET,
            "back   rear        of oak6",
            "back   rear        off oak6",
        ),
    ]);
    let changes = between(&plain, &broken);
    assert!(changes.consequences.is_none());
    let said: Vec<String> = changes
        .decisions
        .iter()
        .flat_map(|d| &d.line)
        .filter_map(|word| match word {
            Word::New(text) => Some(text.clone()),
            _ => None,
        })
        .collect();
    assert_eq!(said, ["780mm", "off"]);
}

/// A thing per line, sorted: what changed, told the one way or the other.
fn told(changes: &Changes, turned: bool) -> BTreeSet<String> {
    let mut out = BTreeSet::new();
    let flip = |presence: Presence| match (presence, turned) {
        (Presence::Added, true) => Presence::Gone,
        (Presence::Gone, true) => Presence::Added,
        (same, _) => same,
    };
    let order = |pair: [String; 2]| -> [String; 2] {
        let [a, b] = pair;
        if turned { [b, a] } else { [a, b] }
    };
    let step = |step: &Step| {
        let figure = |figure: &Option<Figure>| format!("{figure:?}");
        order([figure(&step.old), figure(&step.new)])
    };
    let names = |names: &Names| order([format!("{:?}", names.old), format!("{:?}", names.new)]);
    let facets = |facets: &[CutFacet]| -> BTreeSet<String> {
        facets
            .iter()
            .map(|f| format!("{} {:?}", f.what, step(&f.step)))
            .collect()
    };
    for decision in changes
        .decisions
        .iter()
        .filter(|d| d.kind != DecisionKind::Moved)
    {
        out.insert(told_of(decision, turned));
    }
    let Some(all) = &changes.consequences else {
        return out;
    };
    for piece in &all.pieces {
        let outside: Vec<_> = piece.outside.iter().map(|(e, s)| (e, step(s))).collect();
        let copies = piece.copies.as_ref().map(step);
        let name = piece.name.as_ref().map(step);
        out.insert(format!(
            "piece {:?} {name:?} {copies:?} {outside:?}",
            flip(piece.presence)
        ));
    }
    for opening in &all.openings {
        let sizes: Vec<_> = opening.sizes.iter().map(|(e, s)| (e, step(s))).collect();
        for name in &opening.names {
            out.insert(format!(
                "opening {:?} {:?} {sizes:?}",
                flip(opening.presence),
                names(name)
            ));
        }
    }
    for rename in &all.renames {
        let both = order([rename.old.clone(), rename.new.clone()]);
        out.insert(format!(
            "rename {both:?} {} {}",
            rename.parts, rename.openings
        ));
    }
    for part in &all.parts {
        let sizes: Vec<_> = part
            .sizes
            .iter()
            .map(|s| (s.axis, s.finished, step(&s.step)))
            .collect();
        let stock = part.stock.as_ref().map(step);
        let cuts: BTreeSet<String> = part
            .cuts
            .iter()
            .map(|cut| format!("{:?} {:?}", flip(cut.presence), facets(&cut.facets)))
            .collect();
        for name in &part.names {
            out.insert(format!(
                "part {:?} {:?} {sizes:?} {stock:?} {cuts:?}",
                flip(part.presence),
                names(name)
            ));
        }
    }
    for group in &all.moves {
        let by = group.by.map(|by| if turned { -by } else { by });
        for name in &group.names {
            out.insert(format!("moved {:?} {by:?}", names(name)));
        }
    }
    // Wood and strips are counted in the units of the new revision.
    for line in all
        .purchases
        .iter()
        .filter(|line| !["boards", "edging"].contains(&&*line.section))
    {
        let steps = [&line.amount, &line.used, &line.price].map(|s| s.as_ref().map(step));
        out.insert(format!(
            "buy {:?} {} {:?} {steps:?}",
            flip(line.presence),
            line.section,
            line.size
        ));
    }
    for total in all.cost.iter().chain(&all.totals) {
        out.insert(format!("total {} {:?}", total.what, step(&total.step)));
    }
    for setup in &all.setups {
        out.insert(format!(
            "setup {:?} {} {:?}",
            flip(setup.presence),
            setup.what,
            facets(&setup.settings)
        ));
    }
    for check in &all.checks {
        let both = order([format!("{:?}", check.old), format!("{:?}", check.new)]);
        out.insert(format!(
            "check {} {} {both:?}",
            check.code,
            check.subjects.len()
        ));
    }
    out
}

fn told_of(decision: &Decision, turned: bool) -> String {
    let (mut olds, mut news) = (BTreeSet::new(), BTreeSet::new());
    for word in &decision.line {
        match word {
            Word::Old(text) => olds.insert(text.clone()),
            Word::New(text) => news.insert(text.clone()),
            Word::Same(_) => true,
        };
    }
    let (mut old, mut new) = (
        format!("{:?} {olds:?}", decision.old),
        format!("{:?} {news:?}", decision.new),
    );
    if turned {
        std::mem::swap(&mut old, &mut new);
    }
    format!("decided {old} {new}")
}

/// The diff the other way round says the same, turned round.
fn agree(old: &Made, new: &Made) -> Result<(), String> {
    let (there, back) = (
        told(&between(old, new), false),
        told(&between(new, old), true),
    );
    if there == back {
        return Ok(());
    }
    let only = |a: &BTreeSet<String>, b: &BTreeSet<String>| -> String {
        a.difference(b).map(|line| format!("  {line}\n")).collect()
    };
    Err(format!(
        "there:\n{}back:\n{}",
        only(&there, &back),
        only(&back, &there)
    ))
}

#[test]
fn there_and_back_agree_for_every_two_pieces() {
    let all = pieces();
    for (i, (name, old)) in all.iter().enumerate() {
        for (other, new) in &all[i + 1..] {
            agree(old, new).unwrap_or_else(|why| panic!("{name} and {other}\n{why}"));
        }
    }
}

/// Places of the lengths of a text: from, to, millimetres.
fn lengths(text: &str) -> Vec<(usize, usize, f64)> {
    let mut out = Vec::new();
    for (end, _) in text.match_indices("mm") {
        let start = text[..end]
            .rfind(|c: char| !(c.is_ascii_digit() || c == '.'))
            .map_or(0, |at| at + 1);
        if let Ok(value) = text[start..end].parse::<f64>() {
            out.push((start, end, value));
        }
    }
    out
}

/// Sources for edits: small, so that many can be tried.
fn small() -> Vec<String> {
    [
        "tests/pieces/chest.case",
        "tests/pieces/fronts.case",
        "tests/pieces/joints.case",
        "tests/pieces/drawers.case",
        "tests/pieces/division.case",
        "examples/first-shelf.case",
    ]
    .iter()
    .map(|path| fs::read_to_string(root().join(path)).unwrap())
    .collect()
}

/// One length of a text made larger or smaller.
fn edited(text: &str, which: usize, percent: i32) -> String {
    let all = lengths(text);
    let (start, end, value) = all[which % all.len()];
    let value = (value * f64::from(100 + percent) / 10.0).round() / 10.0;
    format!("{}{value}{}", &text[..start], &text[end..])
}

/// One name of a text, wherever it stands as a whole word, called otherwise.
fn renamed(text: &str, which: usize) -> String {
    let names: Vec<&str> = text
        .lines()
        .filter_map(|line| {
            let mut words = line.split_whitespace();
            let head = words.next()?;
            let known = [
                "shelf", "opening", "divider", "bottom", "drawer", "door", "case", "rail",
            ];
            words.next().filter(|_| known.contains(&head))
        })
        .map(|name| name.trim_end_matches(','))
        .filter(|name| name.chars().all(|c| c.is_ascii_lowercase()) && name.len() > 3)
        .filter(|name| !["left", "right", "front", "rear", "bottom", "inside"].contains(name))
        .collect();
    let Some(name) = names.get(which % names.len().max(1)) else {
        return text.to_owned();
    };
    let mut out = String::new();
    let mut word = String::new();
    for c in text.chars().chain(std::iter::once('\n')) {
        if c.is_alphanumeric() || c == '_' {
            word.push(c);
        } else {
            out.push_str(if word == **name { "other_name" } else { &word });
            word.clear();
            out.push(c);
        }
    }
    out
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    /// One length of a good source changed: there and back agree, the text with itself is empty, and
    /// what was decided is that one line.
    #[test]
    fn one_length_changed(source in 0usize..6, which in 0usize..400, percent in -20i32..20) {
        let text = &small()[source];
        let edit = edited(text, which, percent);
        let (old, new) = (Made::text(text), Made::text(&edit));
        prop_assert!(between(&new, &new).is_empty());
        if let Err(why) = agree(&old, &new) {
            return Err(TestCaseError::fail(why));
        }
        let changes = between(&old, &new);
        prop_assert!(changes.decisions.len() <= 1, "{:?}", changes.decisions);
        if changes.decisions.is_empty() {
            prop_assert!(changes.is_empty());
        }
    }

    /// A thing called otherwise: nothing comes or goes, nothing is made otherwise.
    #[test]
    fn one_name_changed(source in 0usize..6, which in 0usize..50) {
        let text = &small()[source];
        let edit = renamed(text, which);
        let (old, new) = (Made::text(text), Made::text(&edit));
        if let Err(why) = agree(&old, &new) {
            return Err(TestCaseError::fail(why));
        }
        let changes = between(&old, &new);
        if let Some(all) = &changes.consequences {
            prop_assert!(all.parts.is_empty(), "{:?}", all.parts);
            prop_assert!(all.openings.is_empty() && all.purchases.is_empty(), "{:?}", all.openings);
        }
    }
}

/// Tags out, blanks single, a line for each row.
fn words(html: &str) -> String {
    let mut out = String::new();
    for part in html.split('<').skip(1) {
        let (tag, text) = part.split_once('>').unwrap_or((part, ""));
        if ["tr", "p", "li", "h3", "caption", "header", "small"]
            .contains(&tag.split(' ').next().unwrap_or(""))
        {
            out.push('\n');
        }
        match tag {
            "s" => out.push('['),
            "/s" => out.push(']'),
            "/td" | "/th" => out.push(' '),
            _ => {}
        }
        out.push_str(text);
    }
    let lines = out
        .lines()
        .map(|line| line.split_whitespace().collect::<Vec<_>>().join(" "));
    lines
        .filter(|line| !line.is_empty())
        .collect::<Vec<_>>()
        .join("\n")
}

/// The chapter of changes, where it is asked for; the book is the same each time.
#[test]
fn the_book_tells_what_changed() {
    let folder = tempfile::tempdir().unwrap();
    let deeper = "with dado   deep 6mm\n        join left";
    let edits = [
        (CABINET, "with dado   deep 5mm\n        join left", deeper),
        (
            CABINET,
            "opening well high 130mm",
            "opening well high 140mm",
        ),
        ("commission.case", "make   3", "make   4"),
    ];
    for (side, edits) in [("old", &[][..]), ("new", &edits)] {
        fs::create_dir(folder.path().join(side)).unwrap();
        for (file, text) in school(edits) {
            fs::write(folder.path().join(side).join(file), text).unwrap();
        }
    }
    let book = |args: &[&str]| {
        let output = Command::new(env!("CARGO_BIN_EXE_casewright"))
            .args(["book", "new/commission.case", "-o", "book.html"])
            .args(args)
            .current_dir(folder.path())
            .output()
            .unwrap();
        assert_eq!(
            output.status.code(),
            Some(0),
            "{}",
            String::from_utf8_lossy(&output.stderr)
        );
        fs::read_to_string(folder.path().join("book.html")).unwrap()
    };
    let chapter = |html: &str| {
        let start = html.find("<section class=\"sheet\" id=\"changes\"")?;
        let end = html[start..].find("</section>")?;
        Some(words(&html[start..start + end]))
    };
    assert_eq!(chapter(&book(&[])), None);
    let html = book(&["--changes-from", "old/commission.case"]);
    assert_eq!(html, book(&["--changes-from", "old/commission.case"]));
    let same = chapter(&book(&["--changes-from", "new/commission.case"])).unwrap();
    assert!(
        same.contains("Nothing was decided otherwise, and nothing follows."),
        "{same}"
    );
    insta::with_settings!({ snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true }, {
        insta::assert_snapshot!("book-changes", chapter(&html).unwrap());
    });
}

/// What the program prints as JSON is as its schema says.
#[test]
fn json_is_as_its_schema_says() {
    let folder = tempfile::tempdir().unwrap();
    for (file, text) in school(&[]) {
        fs::write(folder.path().join(file), text).unwrap();
    }
    for (file, text) in school(&[("stock.case", "17.6mm", "17.4mm")]) {
        fs::create_dir_all(folder.path().join("new")).unwrap();
        fs::write(folder.path().join("new").join(file), text).unwrap();
    }
    let run = |args: &[&str]| -> serde_json::Value {
        let output = Command::new(env!("CARGO_BIN_EXE_casewright"))
            .args(args)
            .current_dir(folder.path())
            .output()
            .unwrap();
        assert_eq!(output.status.code(), Some(0));
        serde_json::from_slice(&output.stdout).unwrap()
    };
    let schema = run(&["diff", "--schema"]);
    let json = run(&[
        "--format",
        "json",
        "diff",
        "commission.case",
        "new/commission.case",
    ]);
    let validator = jsonschema::validator_for(&schema).unwrap();
    let errors: Vec<String> = validator
        .iter_errors(&json)
        .map(|e| e.to_string())
        .collect();
    assert!(errors.is_empty(), "{errors:?}");
    assert_eq!(
        json["changes"]["decisions"][0]["by"]["length"]["exact"],
        "-0.2mm"
    );
}
