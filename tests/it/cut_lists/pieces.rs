//! The pieces of `tests/pieces`, and the examples: each file against its list.

use super::list::compare;
use crate::support::Texts;
use casewright::plan::finishing::Faces;
use std::path::Path;

fn check(name: &str) {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let list = root.join("tests/pieces").join(format!("{name}.list"));
    let list = std::fs::read_to_string(list).unwrap();
    let (folder, entry) = match name {
        "score_cabinet" | "reed_chest" | "window_bench" | "tuning_table" | "blanket_chest"
        | "wall_cupboard" => ("examples/music-school", format!("{name}.case")),
        "first_shelf" => ("examples", "first-shelf.case".to_owned()),
        _ => ("tests/pieces", format!("{name}.case")),
    };
    let folder = root.join(folder);
    let mut texts = Vec::new();
    for name in [entry.as_str(), "stock.case", "shop.case", "patterns.case"] {
        if let Ok(text) = std::fs::read_to_string(folder.join(name)) {
            texts.push((name, text));
        }
    }
    let texts: Vec<(&str, &str)> = texts.iter().map(|(n, t)| (*n, t.as_str())).collect();
    let compiled = casewright::compile(&Texts::of(&texts), &entry, &Default::default()).unwrap();
    let errors: Vec<_> = compiled
        .diagnostics
        .iter()
        .filter(|d| d.is_error())
        .collect();
    assert!(errors.is_empty(), "{errors:#?}");
    let model = compiled
        .model
        .unwrap_or_else(|| panic!("{:#?}", compiled.diagnostics));
    let wrong = compare(&list, &model);
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
    for piece in &model.pieces {
        let faces = Faces::of(piece, &model.shop);
        for part in &piece.parts {
            let areas = faces.areas(part).unwrap();
            let fit = areas.iter().all(|(_, area)| !area.is_overflow());
            assert!(fit, "{}: {areas:?}", part.path);
        }
    }
}

/// One test for each file, and one that none is forgotten.
macro_rules! pieces {
    ($($name:ident)*) => {
        $(#[test]
        fn $name() {
            check(stringify!($name));
        })*

        #[test]
        fn every_list_is_compared() {
            let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/pieces");
            for entry in std::fs::read_dir(folder).unwrap() {
                let name = entry.unwrap().file_name().into_string().unwrap();
                if let Some(name) = name.strip_suffix(".list") {
                    assert!([$(stringify!($name)),*].contains(&name), "{name} is not compared");
                }
            }
        }
    };
}

pieces! {
    placement
    division
    edging
    fronts
    flaps
    framing
    moulded
    joints
    drawers
    shelves
    rows
    cut_out
    patterns
    alike
    practice
    tenons
    interlocked
    connected
    stand
    desk_box
    press
    corners
    hall
    breadboard
    bridled
    mitred
    openslots
    stubs
    chest
    run
    hutch
    till
    score_cabinet
    reed_chest
    window_bench
    tuning_table
    blanket_chest
    wall_cupboard
    first_shelf
}

/// Whoever begins with it should find nothing to mend.
#[test]
fn the_first_shelf_has_no_caution() {
    let text = include_str!("../../../examples/first-shelf.case");
    let files = Texts::of(&[("first-shelf.case", text)]);
    let compiled = casewright::compile(&files, "first-shelf.case", &Default::default()).unwrap();
    assert!(
        compiled.diagnostics.is_empty(),
        "{:#?}",
        compiled.diagnostics
    );
}
