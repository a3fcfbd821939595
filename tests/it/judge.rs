//! The outside judge: `tests/judge/judge.py` builds the parts of models anew with a library for solids
//! that has nothing to do with ours, and must come to the same volumes, contacts and clashes.
//!
//! It needs Python with the packages of `tests/judge/requirements.txt`, in `target/venv` or wherever
//! `CASEWRIGHT_PYTHON` says. Where they are missing a note is printed; with `CI` or `CASEWRIGHT_JUDGE` set
//! that is a failure. `CASEWRIGHT_JUDGE=all` judges every source of the project and more made-up parts.

use crate::made_up::{self, Chance};
use crate::support::Texts;
use casewright::measure::Length;
use casewright::model::{
    Box3, Cut, CutKind, LocalAxis, LocalBox, Model, Part, PartId, Side, Size, Solid,
};
use casewright::solid::{Wood, measure, shared};
use std::path::{Path, PathBuf};
use std::process::Command;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// A Python that has what a judge needs; `None` where there is none and nobody insists.
pub(crate) fn python(needs: &str) -> Option<PathBuf> {
    let stated = std::env::var_os("CASEWRIGHT_PYTHON").map(PathBuf::from);
    let tried = stated.into_iter().chain([
        root().join("target/venv/bin/python"),
        root().join("target/venv/Scripts/python.exe"),
        PathBuf::from("python3"),
    ]);
    for python in tried {
        let asked = Command::new(&python)
            .args(["-c", &format!("import {needs}")])
            .output();
        if asked.is_ok_and(|asked| asked.status.success()) {
            return Some(python);
        }
    }
    let how = "an outside judge needs: python3 -m venv target/venv && target/venv/bin/pip install -r tests/judge/requirements.txt";
    let insisted = ["CI", "CASEWRIGHT_JUDGE"]
        .iter()
        .any(|name| std::env::var_os(name).is_some());
    assert!(!insisted, "{how}");
    #[expect(clippy::print_stdout, reason = "a note for whoever runs the tests")]
    {
        println!("not judged: {how}");
    }
    None
}

pub(crate) fn all() -> bool {
    std::env::var("CASEWRIGHT_JUDGE").is_ok_and(|value| value == "all")
}

fn judge(python: &Path, files: &[PathBuf]) -> Result<String, String> {
    ask(python, "judge.py", files)
}

/// Lets a judge look at files; what it says where it disagrees.
pub(crate) fn ask(python: &Path, judge: &str, files: &[PathBuf]) -> Result<String, String> {
    let ran = Command::new(python)
        .arg(root().join("tests/judge").join(judge))
        .args(files)
        .output()
        .map_err(|fault| fault.to_string())?;
    let said = String::from_utf8_lossy(&ran.stdout).into_owned();
    if ran.status.success() {
        Ok(said)
    } else {
        Err(format!("{said}{}", String::from_utf8_lossy(&ran.stderr)))
    }
}

/// Every source below a folder, in order.
fn sources(folder: &str, out: &mut Vec<PathBuf>) {
    let mut found: Vec<PathBuf> = std::fs::read_dir(root().join(folder))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    found.sort();
    for path in found {
        let inside = path.strip_prefix(root()).unwrap().to_owned();
        if path.is_dir() {
            sources(inside.to_str().unwrap(), out);
        } else if path.extension().is_some_and(|e| e == "case") {
            out.push(inside);
        }
    }
}

#[test]
fn parts_and_joints_of_the_examples() {
    let Some(python) = python("manifold3d, numpy") else {
        return;
    };
    let mut files: Vec<PathBuf> = [
        "examples/first-shelf.case",
        "examples/music-school/score_cabinet.case",
        "tests/pieces/corners.case",
        "tests/pieces/hall.case",
        "tests/pieces/joints.case",
    ]
    .map(PathBuf::from)
    .to_vec();
    if all() {
        files.clear();
        for folder in ["examples", "tests/pieces", "tests/passes"] {
            sources(folder, &mut files);
        }
    }
    let folder = tempfile::tempdir().unwrap();
    let mut models = Vec::new();
    for (i, file) in files.iter().enumerate() {
        let ran = Command::new(env!("CARGO_BIN_EXE_casewright"))
            .current_dir(root())
            .arg("model")
            .arg(file)
            .output()
            .unwrap();
        assert!(ran.status.success(), "{}", file.display());
        let name = file.file_stem().unwrap().to_string_lossy();
        let path = folder.path().join(format!("{i}-{name}.json"));
        std::fs::write(&path, ran.stdout).unwrap();
        models.push(path);
    }
    let said = judge(&python, &models).unwrap_or_else(|faults| panic!("{faults}"));
    println!("{said}");
}

/// A judge who always agrees would be none.
#[test]
fn the_judge_sees_a_wrong_figure() {
    let Some(python) = python("manifold3d, numpy") else {
        return;
    };
    let folder = tempfile::tempdir().unwrap();
    let mut model = printed(&blocks(2));
    let path = folder.path().join("wrong.json");
    let volume = model["measured"][0]["parts"][0]["volume"].as_f64().unwrap();
    model["measured"][0]["parts"][0]["volume"] = (volume * 1.00001).into();
    model["measured"][0]["shared"] = serde_json::json!([]);
    std::fs::write(&path, model.to_string()).unwrap();
    let said = judge(&python, &[path]).expect_err("it disagrees");
    assert!(said.contains("block0: volume"), "{said}");
    assert!(said.contains("block0 and block1 share"), "{said}");
}

/// Blocks with boxes, prisms of any outline and bores cut at random, in each other's way at random.
#[test]
fn parts_made_up_at_random() {
    let Some(python) = python("manifold3d, numpy") else {
        return;
    };
    let folder = tempfile::tempdir().unwrap();
    let count = if all() { 400 } else { 20 };
    let mut paths = Vec::new();
    for seed in 0..count {
        let path = folder.path().join(format!("made-up-{seed}.json"));
        std::fs::write(&path, printed(&blocks(seed)).to_string()).unwrap();
        paths.push(path);
    }
    judge(&python, &paths).unwrap_or_else(|faults| panic!("{faults}"));
}

/// Whole pieces made up at random; most of them are sound, and those are judged.
#[test]
fn pieces_made_up_at_random() {
    let Some(python) = python("manifold3d, numpy") else {
        return;
    };
    let folder = tempfile::tempdir().unwrap();
    let count = if all() { 160 } else { 12 };
    let mut paths = Vec::new();
    for seed in 0..count {
        let files = Texts::of(&[("a.case", made_up::piece(seed).as_str())]);
        let compiled = casewright::compile(&files, "a.case", &Default::default()).unwrap();
        if compiled.has_errors() {
            continue;
        }
        let model = compiled.model.expect("no errors");
        let mut out = serde_json::to_value(&model).unwrap();
        out["measured"] = serde_json::to_value(measure(&model).unwrap()).unwrap();
        let path = folder.path().join(format!("made-up-piece-{seed}.json"));
        std::fs::write(&path, out.to_string()).unwrap();
        paths.push(path);
    }
    assert!(
        paths.len() * 3 > count as usize * 2,
        "{} of {count} are sound",
        paths.len()
    );
    judge(&python, &paths).unwrap_or_else(|faults| panic!("{faults}"));
}

/// A model with what is computed of it, and what its parts share.
fn printed(model: &Model) -> serde_json::Value {
    let mut out = serde_json::to_value(model).unwrap();
    out["measured"] = serde_json::to_value(measure(model).unwrap()).unwrap();
    let woods: Vec<Wood> = model.pieces[0]
        .parts
        .iter()
        .map(|p| Wood::of(p).unwrap())
        .collect();
    let mut pairs = Vec::new();
    for (j, b) in woods.iter().enumerate() {
        for (i, a) in woods[..j].iter().enumerate() {
            let cells = shared(a, b).unwrap();
            let volume: f64 = cells.iter().map(|cell| cell.volume()).sum();
            pairs.push(serde_json::json!([i, j, volume]));
        }
    }
    out["measured"][0]["shared"] = pairs.into();
    out
}

/// Two blocks with a joint, cut at random, with bores in places of their own.
fn blocks(seed: u64) -> Model {
    let text = "
stock oak board {
    rough 27mm
}
piece rack \"Rack\" {
    case body {
        size   wide 600mm high 400mm deep 300mm
        side   left, right of oak thick 18mm
        bottom floor of oak thick 18mm at 40mm
        join   floor to left, right with butt
    }
}
";
    let files = Texts::of(&[("a.case", text)]);
    let compiled = casewright::compile(&files, "a.case", &Default::default()).unwrap();
    let mut model = compiled.model.unwrap();
    let mut chance = Chance::of(seed);
    let piece = &mut model.pieces[0];
    let lays = [0, 1, 2].map(|i| piece.parts[i].lay);
    piece.parts.truncate(2);
    // Every other pair lies side by side, with bores and a joint; the rest lie in each other.
    let beside = seed % 2 == 1;
    piece.joints.truncate(usize::from(beside));
    for (i, part) in piece.parts.iter_mut().enumerate() {
        part.id = PartId(i as u32);
        part.path = format!("block{i}");
        part.lay = lays[chance.below(3) as usize];
        let far = if beside { 64 } else { 20 + chance.below(30) };
        let at = [far, chance.below(9), 0].map(|along| along * i as i64);
        *part = block(part, at, beside, &mut chance);
    }
    for joint in &mut piece.joints {
        (joint.a, joint.b) = (PartId(0), PartId(1));
    }
    model
}

/// A cube of 64 mm: up to 48 in each direction it is cut at random, beyond stands a bore.
fn block(part: &Part, at: [i64; 3], bored: bool, chance: &mut Chance) -> Part {
    let mm = Length::mm;
    let lo = at.map(mm);
    let mut out = part.clone();
    out.core = Box3 {
        lo,
        hi: lo.map(|l| l + mm(64)),
    };
    out.finished = out.core;
    out.size = Size {
        length: mm(64),
        width: mm(64),
        thick: mm(64),
    };
    let template = Cut {
        kind: CutKind::Pocket,
        solids: Vec::new(),
        entry: Side::Face,
        along: LocalAxis::Length,
        width: mm(1),
        depth: mm(1),
        fit: Length::ZERO,
        relief: Length::ZERO,
        stopped: [false, false],
        joint: None,
        filler: None,
        origin: part.origin.clone(),
    };
    let cut = |solid: Solid| Cut {
        solids: vec![solid],
        ..template.clone()
    };
    out.cuts = Vec::new();
    for _ in 0..chance.below(5) {
        let low = [0, 1, 2].map(|_| chance.below(44) - 6);
        let high = low.map(|l| (l + 1 + chance.below(30)).min(48));
        let axis = LocalAxis::ALL[chance.below(3) as usize];
        let (i, corners) = (axis.index(), 3 + chance.below(4));
        out.cuts.push(cut(if chance.below(2) == 0 {
            Solid::Box(LocalBox {
                lo: low.map(mm),
                hi: high.map(mm),
            })
        } else {
            let corner = |chance: &mut Chance| mm(chance.below(54) - 6);
            Solid::Prism {
                far: None,
                axis,
                outline: (0..corners)
                    .map(|_| [corner(chance), corner(chance)])
                    .collect(),
                lo: mm(low[i]),
                hi: mm(high[i]),
            }
        }));
    }
    // Beside what else is cut: where cuts meet a bore counts as a polygon.
    if bored {
        let entry = Side::ALL[chance.below(6) as usize];
        let mut mouth = [56; 3];
        mouth[entry.axis().index()] = if entry.is_far() { 64 } else { 0 };
        let deep = 3 + chance.below(50);
        out.cuts.push(cut(Solid::Bore {
            mouth: mouth.map(mm),
            entry,
            diameter: mm(1 + chance.below(8)),
            depth: mm(deep),
        }));
    }
    out
}
