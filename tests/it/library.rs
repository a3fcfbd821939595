//! The library `std`: it reads without a word, gives way to a project's own names, and its sizes are
//! those of the trade.

use crate::support::Texts;
use casewright::measure::Length;
use casewright::model::{HardwareKind, Model};

fn model(text: &str) -> Model {
    let compiled = casewright::compile(
        &Texts::of(&[("a.case", text)]),
        "a.case",
        &Default::default(),
    )
    .unwrap();
    assert!(
        compiled.diagnostics.is_empty(),
        "{:#?}",
        compiled.diagnostics
    );
    compiled.model.unwrap()
}

#[test]
fn a_project_takes_it_in() {
    let model = model("edition 1\nuse std\n");
    assert!(model.stocks.len() > 15 && model.hardware.len() > 15 && model.finishes.len() >= 4);
}

#[test]
fn a_name_of_the_project_wins() {
    let model = model(
        "use std\nstock birch_ply18 sheet {\n    thick 18mm measured 17.4mm\n    sold long 2440mm wide 1220mm\n}\n",
    );
    let own: Vec<_> = model
        .stocks
        .iter()
        .filter(|s| s.name == "birch_ply18")
        .collect();
    assert_eq!(own.len(), 1);
    let casewright::model::StockKind::Sheet { measured, .. } = &own[0].kind else {
        panic!("a sheet")
    };
    assert_eq!(*measured, Length::um(17_400));
}

/// Shank of a wood screw, No. n: 0.060 + 0.013 n inches (ASME B18.6.1; agrees with the table of wood
/// screws in the Wood Handbook, FPL-GTR-282, chapter 8). Biscuits 0 and 10: common practice.
#[test]
fn sizes_are_those_of_the_trade() {
    let model = model("use std\n");
    let kind = |name: &str| {
        model
            .hardware
            .iter()
            .find(|h| h.name == name)
            .unwrap()
            .kind
            .clone()
    };
    let HardwareKind::Screw { long, thick } = kind("screw8_1_1_4") else {
        panic!("a screw")
    };
    assert_eq!(
        (long, thick),
        (Length::inches(5, 4), Length::inches(60 + 13 * 8, 1000))
    );
    let HardwareKind::Biscuit { long, wide, thick } = kind("biscuit_10") else {
        panic!("a biscuit")
    };
    assert_eq!(
        (long, wide, thick),
        (Length::mm(53), Length::mm(19), Length::mm(4))
    );
}

const SET: &str = "param sheet = 18mm from 6mm to 25mm\nstock ply sheet {\n    thick 18mm measured sheet\n    sold long 2440mm wide 1220mm price 60USD\n}\n";

fn set(value: &str) -> casewright::Compiled {
    let options = casewright::elaborate::Options {
        set: vec![("sheet".into(), value.into())],
    };
    casewright::compile(&Texts::of(&[("a.case", SET)]), "a.case", &options).unwrap()
}

/// A parameter of a file that is set from outside reaches the stock, within its bounds.
#[test]
fn a_set_parameter_reaches_the_stock() {
    let model = set("17.4mm").model.unwrap();
    let casewright::model::StockKind::Sheet {
        measured, sizes, ..
    } = &model.stocks[0].kind
    else {
        panic!("a sheet")
    };
    assert_eq!(*measured, Length::um(17_400));
    assert_eq!(sizes[0].price.as_ref().unwrap().currency, "USD");
    let codes: Vec<_> = set("99mm")
        .diagnostics
        .iter()
        .map(|d| d.code.name)
        .collect();
    assert_eq!(codes, ["value.bounds"]);
}

/// A price never takes a currency that the maker did not write beside it.
#[test]
fn a_price_shows_its_currency() {
    let text = SET.replace("price 60USD", "price cost") + "let cost = 60USD\n";
    let compiled = casewright::compile(
        &Texts::of(&[("a.case", &text)]),
        "a.case",
        &Default::default(),
    )
    .unwrap();
    let codes: Vec<_> = compiled.diagnostics.iter().map(|d| d.code.name).collect();
    assert_eq!(codes, ["type.mismatch"]);
}

#[test]
fn every_name_of_it_is_listed() {
    let words = casewright::elaborate::library_words();
    let model = model("use std\n");
    let names = (model.stocks.iter().map(|s| &s.name))
        .chain(model.hardware.iter().map(|h| &h.name))
        .chain(model.finishes.iter().map(|f| &f.name));
    let mut seen = 0;
    for name in names {
        assert!(words.contains(&format!("- `{name}`: ")), "{name}");
        seen += 1;
    }
    assert_eq!(words.lines().filter(|l| l.starts_with("- ")).count(), seen);
}

/// A strip on an edge into which a lid is let flush would lie in the lid: another cure is told.
#[test]
fn a_flush_lid_is_told_to_cover_its_sides() {
    let text = "stock ply sheet {\n    thick 18mm\n    sold long 2440mm wide 1220mm\n}\npiece p \"P\" {\n    case body {\n        size wide 600mm high 400mm deep 300mm\n        side left, right of ply\n        bottom floor of ply\n        top lid of ply\n        join floor into left, right with rabbet deep 9mm\n        join lid into left, right with rabbet deep 9mm\n    }\n}\n";
    let compiled = casewright::compile(
        &Texts::of(&[("a.case", text)]),
        "a.case",
        &Default::default(),
    )
    .unwrap();
    let checked = casewright::rules::check(&compiled.model.unwrap());
    let bare = checked
        .diagnostics
        .iter()
        .find(|d| d.title == "the top edge of `left` is bare")
        .unwrap();
    assert!(
        bare.help
            .iter()
            .any(|h| h.starts_with("let `lid` cover it: `over left`")),
        "{bare:?}"
    );
}

#[test]
fn a_list_without_its_comma_is_told_so() {
    let compiled = casewright::compile(
        &Texts::of(&[(
            "a.case",
            "stock oak board {\n    rough 27mm\n}\npiece p \"P\" {\n    case body {\n        size wide 600mm high 400mm deep 300mm\n        side left, right of oak thick 18mm\n        band left on front rear of oak thick 8mm\n    }\n}\n",
        )]),
        "a.case",
        &Default::default(),
    )
    .unwrap();
    let said: Vec<&str> = compiled
        .diagnostics
        .iter()
        .map(|d| d.title.as_str())
        .collect();
    assert!(
        said.contains(&"`rear` follows `front` without a comma"),
        "{said:?}"
    );
}
