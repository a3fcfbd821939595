//! Promises about the source tree itself: stages point one way, modules say what they are for, the
//! README shows what is so.

use std::fs;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn read(path: &str) -> String {
    fs::read_to_string(root().join(path)).unwrap_or_else(|e| panic!("{path}: {e}"))
}

fn rust_files(folder: &Path, out: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            // What the fuzzer builds is not ours.
            if path.file_name().is_some_and(|name| name != "target") {
                rust_files(&path, out);
            }
        } else if path.extension().is_some_and(|e| e == "rs") {
            out.push(path);
        }
    }
}

/// What each stage may import, beside itself.
const MAY: &[(&str, &[&str])] = &[
    ("measure", &[]),
    ("cutting", &[]),
    ("source", &["measure"]),
    ("diag", &["measure", "source"]),
    ("syntax", &["measure", "source", "diag"]),
    ("schema", &["measure", "source", "diag", "syntax"]),
    ("model", &["measure", "source"]),
    ("solid", &["measure", "model"]),
    ("assembly", &["measure", "source", "model", "solid"]),
    ("sight", &["measure", "model", "solid"]),
    (
        "elaborate",
        &["measure", "source", "diag", "syntax", "schema", "model"],
    ),
    (
        "rules",
        &[
            "measure", "source", "diag", "model", "solid", "assembly", "sight",
        ],
    ),
    (
        "plan",
        &[
            "measure", "source", "diag", "model", "solid", "assembly", "sight", "cutting",
        ],
    ),
    ("diff", &["measure", "source", "model", "plan"]),
    ("draw", &["measure", "model", "plan"]),
    (
        "book",
        &[
            "measure", "source", "diag", "model", "solid", "plan", "diff", "draw",
        ],
    ),
    (
        "compile",
        &["source", "diag", "model", "elaborate", "rules"],
    ),
    (
        "cli",
        &[
            "measure",
            "source",
            "diag",
            "syntax",
            "schema",
            "model",
            "solid",
            "elaborate",
            "cutting",
            "rules",
            "plan",
            "diff",
            "draw",
            "book",
            "compile",
            "Compiled",
            "cli",
        ],
    ),
];

#[test]
fn stages_point_one_way() {
    let mut files = Vec::new();
    rust_files(&root().join("src"), &mut files);
    let mut wrong = Vec::new();
    for file in files {
        let inside = file.strip_prefix(root().join("src")).unwrap();
        let stage = inside
            .components()
            .next()
            .unwrap()
            .as_os_str()
            .to_string_lossy()
            .replace(".rs", "");
        let Some((_, may)) = MAY.iter().find(|(s, _)| *s == stage) else {
            assert!(
                matches!(stage.as_str(), "lib" | "main"),
                "the stage {stage} has no row"
            );
            continue;
        };
        let text = fs::read_to_string(&file).unwrap();
        // What a file does in its own tests does not count.
        let text = text.split("#[cfg(test)]\nmod ").next().unwrap();
        for part in text.split("crate::").skip(1) {
            let first: Vec<&str> = match part.strip_prefix('{') {
                Some(list) => list
                    .split('}')
                    .next()
                    .unwrap_or("")
                    .split(',')
                    .map(|s| s.trim().split("::").next().unwrap_or(""))
                    .collect(),
                None => vec![
                    part.split(|c: char| !c.is_alphanumeric() && c != '_')
                        .next()
                        .unwrap_or(""),
                ],
            };
            for stage_of in first.into_iter().filter(|s| !s.is_empty()) {
                if stage_of != stage && !may.contains(&stage_of) {
                    wrong.push(format!("{} imports {stage_of}", inside.display()));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_module_says_what_it_is_for() {
    let mut files = Vec::new();
    for folder in ["src", "tests", "benches"] {
        rust_files(&root().join(folder), &mut files);
    }
    for file in files {
        let text = fs::read_to_string(&file).unwrap();
        assert!(
            text.starts_with("//!"),
            "{} does not open with a module comment",
            file.display()
        );
    }
}

#[test]
fn no_test_file_is_forgotten() {
    let main = read("tests/it/main.rs");
    for entry in fs::read_dir(root().join("tests/it")).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        if path.extension().is_some_and(|e| e == "rs") && name != "main" {
            assert!(
                main.contains(&format!("mod {name};")),
                "tests/it/main.rs does not declare {name}"
            );
        }
    }
}

#[test]
fn the_readme_runs_what_ci_runs() {
    let (readme, ci) = (read("README.md"), read(".ci/run"));
    let line = readme
        .lines()
        .find(|l| l.contains("cargo test"))
        .expect("the README has a test command");
    for command in line.split("&&").map(str::trim) {
        assert!(
            ci.lines().any(|l| l.trim() == command),
            ".ci/run does not run `{command}`"
        );
    }
}

#[test]
fn the_readme_shows_the_first_shelf_as_it_is() {
    let shelf = read("examples/first-shelf.case");
    assert!(
        read("README.md").contains(shelf.trim()),
        "the README's piece is not examples/first-shelf.case"
    );
}

/// The message in the README is what the program says.
#[test]
fn the_readme_shows_a_real_mistake() {
    use casewright::diag::{Style, render};
    let piece = read("examples/music-school/score_cabinet.case").replace(
        "box    of birch12 high 100mm",
        "box    of birch12 wide 852.1mm high 100mm",
    );
    let project = crate::support::Texts::of(&[
        ("score_cabinet.case", &piece),
        ("stock.case", &read("examples/music-school/stock.case")),
        ("shop.case", &read("examples/music-school/shop.case")),
    ]);
    let compiled =
        casewright::compile(&project, "score_cabinet.case", &Default::default()).unwrap();
    let text = render(
        &compiled.diagnostics,
        &compiled.sources,
        Style::Human {
            color: false,
            width: 100,
        },
    );
    let text = text
        .lines()
        .map(str::trim_end)
        .collect::<Vec<_>>()
        .join("\n");
    assert!(
        read("README.md").contains(text.trim()),
        "the README should show:\n{text}"
    );
}
