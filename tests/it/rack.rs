//! The rack: read, used before anything is bought, written anew.

use crate::cli::Folder;
use crate::support::Texts;
use casewright::cutting::Effort;
use casewright::model::{Model, OnHandKind};
use casewright::plan::layouts::{Taken, plan_layouts, rack};
use casewright::plan::{self, buying::Section};

const PIECE: &str = "
use \"rack.case\"
stock ply sheet {
    thick 18mm
    sold  long 2440mm wide 1220mm price 100EUR
    grain long
}
stock ash board {
    rough 27mm
    wide  from 100mm to 200mm
    long  from 2m to 3m
    price 2000EUR per m3
}
piece p \"P\" {
    case body {
        size   wide 600mm high 300mm deep 300mm
        side   left, right of ply
        bottom floor       of ply at 50mm
        join   floor into left, right with dado deep 5mm
        band   left, right, floor on front of ash thick 8mm
    }
}
";

fn compile(rack: &str) -> (Option<Model>, Vec<String>) {
    let files = Texts::of(&[("a.case", PIECE), ("rack.case", rack)]);
    let out = casewright::compile(&files, "a.case", &Default::default()).unwrap();
    let errors = out.diagnostics.iter().filter(|d| d.is_error());
    let titles: Vec<String> = errors.map(|d| d.title.clone()).collect();
    (out.model.filter(|_| titles.is_empty()), titles)
}

fn model(rack: &str) -> Model {
    let (model, said) = compile(rack);
    model.unwrap_or_else(|| panic!("it is sound: {said:?}"))
}

/// Sides of 300 x 292, a bottom of 574 x 292 (300 - 8 of strip; 600 - 2 x 18 + 2 x 5): 303 and 577 x 295
/// for breakdown. An offcut of 1210 x 300 holds all three: 303 + 303 + 577 + 2 x 3.2 = 1189.4.
#[test]
fn what_is_on_hand_is_not_bought() {
    let with = model(
        "rack {
            offcut of ply long 1210mm wide 300mm
            board 2 of ash thick 27mm long 1m wide 100mm {
                fault to 50mm
                fault from 40mm to 60mm
                fault from 900mm
            }
        }",
    );
    assert_eq!(with.rack.len(), 2);
    let board = &with.rack[1];
    assert_eq!((board.kind, board.count), (OnHandKind::Board, 2));
    let clear: Vec<String> = board
        .clear()
        .iter()
        .map(|c| format!("{}-{}", c.0, c.1))
        .collect();
    assert_eq!(clear, ["60mm-900mm"]);
    let plans = plan::make(&with);
    let sheets = plans
        .buying
        .lines
        .iter()
        .filter(|l| l.section == Section::Sheets);
    assert_eq!(sheets.count(), 0);
    assert!(
        plans
            .layouts
            .all()
            .all(|s| matches!(s.taken, Taken::OnHand { .. }))
    );
    let without = plan::make(&model("rack {\n}"));
    let sheets = without
        .buying
        .lines
        .iter()
        .filter(|l| l.section == Section::Sheets);
    assert_eq!(sheets.count(), 1);
}

/// What is written is a file of the language that says the same; nothing is lost from job to job.
#[test]
fn the_rack_afterwards_reads_back() {
    let first = model("rack {\n    sheet 2 of ply long 2440mm wide 1220mm\n}");
    let after = plan_layouts(&first, Effort::Quick).rack_after(&first);
    let text = rack::text(&first, &after, &[]);
    let second = model(&text);
    let told = |rows: &[casewright::model::OnHand]| -> Vec<_> {
        let row =
            |r: &casewright::model::OnHand| (r.kind, r.count, r.stock, r.long, r.wide, r.thick);
        rows.iter().map(row).collect()
    };
    assert_eq!(told(&second.rack), told(&after));
    // One sheet is left, and offcuts of the other.
    let sheets = second.rack.iter().filter(|r| r.kind == OnHandKind::Sheet);
    assert_eq!(sheets.map(|r| r.count).sum::<u32>(), 1);
    assert!(second.rack.iter().any(|r| r.kind == OnHandKind::Offcut));
}

#[test]
fn what_can_not_lie_on_the_rack_is_refused() {
    for (line, says) in [
        ("offcut of ash long 1m wide 100mm", "`ash` is no offcut"),
        (
            "board of ply thick 18mm long 1m wide 100mm",
            "`ply` is no board",
        ),
        ("strip of ply long 1m", "`ply` is no strip"),
        (
            "offcut of plx long 1m wide 100mm",
            "no stock is called `plx`",
        ),
        (
            "offcut 0 of ply long 1m wide 100mm",
            "a count that can't be made",
        ),
        (
            "board of ash thick 27mm long 1m wide 100mm {\n fault from 900mm to 1100mm\n }",
            "a fault that does not lie on its board",
        ),
        (
            "board of ash thick 27mm long 1m wide 100mm {\n fault from 300mm to 200mm\n }",
            "a fault that does not lie on its board",
        ),
    ] {
        let (_, said) = compile(&format!("rack {{\n    {line}\n}}"));
        assert_eq!(said, [says], "{line}");
    }
    let (_, said) = compile("rack {\n}\nrack {\n}");
    assert_eq!(said, ["`rack` is stated twice"]);
    // And in two files.
    let more = format!("{PIECE}rack {{\n}}\n");
    let files = Texts::of(&[("a.case", more.as_str()), ("rack.case", "rack {\n}")]);
    let out = casewright::compile(&files, "a.case", &Default::default()).unwrap();
    assert!(out.diagnostics.iter().any(|d| d.title == "a second rack"));
}

/// What the program writes can be read by itself, by the project, and written over for the next job.
#[test]
fn the_file_afterwards_stands_by_itself() {
    let (uses, rest) = PIECE.split_once("stock ply").unwrap();
    let (stocks, piece) = rest.split_once("piece p").unwrap();
    let stocks = format!("edition 1\nstock ply{stocks}");
    let piece = format!("edition 1\n{uses}use \"sub/stocks.case\"\nuse std\npiece p{piece}");
    let piece = piece.replace("left, right of ply", "left, right of birch_ply18");
    let first = "edition 1\n\nrack {\n    sheet 2 of ply long 2440mm wide 1220mm\n    sheet of birch_ply18 long 2440mm wide 1220mm\n}\n";
    let folder = Folder::of(&[
        ("a.case", &piece),
        ("sub/stocks.case", &stocks),
        ("rack.case", first),
    ]);
    let job = || folder.run(&["layout", "a.case", "--rack-after", "rack.case"]);
    let ran = job();
    assert_eq!(ran.code, 0, "{}", ran.err);
    let text = std::fs::read_to_string(folder.path("rack.case")).unwrap();
    let head = "edition 1\nuse \"sub/stocks.case\"\nuse std\n";
    assert!(text.starts_with(head), "{text}");
    // By itself, in the project, and once more after the next job.
    assert_eq!(folder.run(&["check", "rack.case"]).code, 0);
    assert_eq!(folder.run(&["check", "a.case"]).code, 0);
    assert_eq!(job().code, 0);
    // In a folder within the project its lines lead up; from outside they are those of the project.
    folder.run(&["layout", "a.case", "--rack-after", "sub/after.case"]);
    let below = std::fs::read_to_string(folder.path("sub/after.case")).unwrap();
    assert!(below.contains("use \"../sub/stocks.case\""), "{below}");
    // Where the piece declares its own stock, the rack knows it through the piece that uses it.
    let own = Folder::of(&[
        ("a.case", PIECE),
        (
            "rack.case",
            "rack {\n    sheet of ply long 2440mm wide 1220mm\n}\n",
        ),
    ]);
    assert_eq!(
        own.run(&["layout", "a.case", "--rack-after", "rack.case"])
            .code,
        0
    );
    let text = std::fs::read_to_string(own.path("rack.case")).unwrap();
    assert!(!text.contains("use"), "{text}");
    assert_eq!(own.run(&["check", "a.case"]).code, 0);
}
