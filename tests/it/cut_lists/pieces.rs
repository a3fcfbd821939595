//! The pieces of `tests/pieces`: each file against its list.

use super::list::compare;
use crate::support::Texts;
use std::path::Path;

fn check(name: &str) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/pieces");
    let list = std::fs::read_to_string(folder.join(format!("{name}.list"))).unwrap();
    let entry = format!("{name}.case");
    let read = |name: &str| std::fs::read_to_string(folder.join(name)).unwrap();
    let (stock, text) = (read("stock.case"), read(&entry));
    let files = Texts::of(&[("stock.case", &stock), (&entry, &text)]);
    let compiled = casewright::compile(&files, &entry, &Default::default()).unwrap();
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
    joints
    drawers
    shelves
    patterns
    alike
    practice
    desk_box
}
