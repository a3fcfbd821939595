//! The program as it is run: exit codes, formats, files that are not what they should be, and that
//! no input brings it down or leaves half a book behind.

use std::fs;
use std::path::Path;
use std::process::{Command, Output};
use std::time::{Duration, Instant};
use tempfile::TempDir;

/// A small piece without a fault.
const RACK: &str = "\
stock ash board {
    rough 27mm
}
piece rack \"Rack\" {
    param width = 600mm from 400mm to 900mm
    case body {
        size   wide width high 400mm deep 300mm
        side   left, right of ash thick 18mm
        bottom floor of ash thick 18mm
        join   floor to left, right with butt
    }
}
";

/// What running the program gave.
pub(crate) struct Ran {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

/// A folder of files in which the program is run.
pub(crate) struct Folder(TempDir);

impl Folder {
    pub(crate) fn of(files: &[(&str, &str)]) -> Folder {
        let folder = Folder(tempfile::tempdir().unwrap());
        for (name, text) in files {
            folder.put(name, text.as_bytes());
        }
        folder
    }

    pub(crate) fn put(&self, name: &str, bytes: &[u8]) {
        let path = self.path(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }

    pub(crate) fn path(&self, name: &str) -> std::path::PathBuf {
        self.0.path().join(name)
    }

    pub(crate) fn run(&self, args: &[&str]) -> Ran {
        run_in(self.0.path(), args)
    }

    /// Runs it with these bytes on standard input.
    pub(crate) fn run_with(&self, args: &[&str], input: &[u8]) -> Ran {
        use std::io::Write as _;
        use std::process::Stdio;
        let mut child = Command::new(env!("CARGO_BIN_EXE_casewright"))
            .args(args)
            .current_dir(self.0.path())
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        // It may end before it has read all; dropping the pipe ends its input.
        let _ = child.stdin.take().unwrap().write_all(input);
        ran(child.wait_with_output().unwrap())
    }

    /// The names in the folder, in order.
    pub(crate) fn names(&self) -> Vec<String> {
        let mut names: Vec<String> = fs::read_dir(self.0.path())
            .unwrap()
            .map(|e| e.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }
}

fn run_in(folder: &Path, args: &[&str]) -> Ran {
    let mut command = Command::new(env!("CARGO_BIN_EXE_casewright"));
    command
        .args(args)
        .current_dir(folder)
        .env_remove("COLUMNS")
        .env_remove("NO_COLOR");
    ran(command.output().unwrap())
}

fn ran(output: Output) -> Ran {
    let Output {
        status,
        stdout,
        stderr,
    } = output;
    Ran {
        code: status.code().expect("it is not ended by a signal"),
        out: String::from_utf8(stdout).unwrap(),
        err: String::from_utf8(stderr).unwrap(),
    }
}

/// Runs `check` on one text.
fn check(text: &str) -> Ran {
    Folder::of(&[("a.case", text)]).run(&["--format", "plain", "check", "a.case"])
}

/// The codes in the reports of a run in the plain style.
fn codes(ran: &Ran) -> Vec<&str> {
    ran.err
        .lines()
        .filter(|line| !line.starts_with(' '))
        .filter_map(|line| line.split_once('[')?.1.split_once("]:"))
        .map(|(code, _)| code)
        .collect()
}

#[test]
fn the_help_says_what_there_is() {
    insta::with_settings!({ snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true }, {
        insta::assert_snapshot!("cli-help", casewright::cli::help());
    });
    let folder = Folder::of(&[]);
    for args in [&["--help"][..], &["check", "--help"], &["--version"]] {
        let ran = folder.run(args);
        assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{args:?}");
        assert!(!ran.out.is_empty());
    }
}

#[test]
fn exit_codes_tell_how_it_went() {
    let folder = Folder::of(&[
        ("good.case", RACK),
        ("bad.case", &RACK.replace("of ash", "of asch")),
        ("stock.case", "stock ash board {\n    rough 27mm\n}\n"),
    ]);
    let code = |args: &[&str]| folder.run(args).code;
    assert_eq!(code(&["check", "good.case"]), 0);
    assert_eq!(code(&["check", "bad.case"]), 1);
    assert_eq!(code(&["check", "good.case", "bad.case", "good.case"]), 1);
    assert_eq!(code(&["check", "bad.case", "missing.case", "good.case"]), 3);
    assert_eq!(code(&["model", "good.case"]), 0);
    assert_eq!(code(&["model", "bad.case"]), 1);
    assert_eq!(code(&["book", "bad.case", "-o", "a.html"]), 1);
    assert_eq!(
        code(&["book", "stock.case", "-o", "a.html"]),
        1,
        "nothing to build"
    );
    assert!(!folder.path("a.html").exists());
    for usage in [
        &[][..],
        &["chekc", "good.case"],
        &["check"],
        &["book", "good.case"],
        &["check", "good.case", "--set", "width"],
        &["check", "good.case", "--set", "=3mm"],
        &["check", "good.case", "--set", "width=1mm\nlet x = 2"],
        &["book", "good.case", "-o", "a.html", "--date", "2027-02-30"],
        &["explain", "sum.of"],
        &["words", "shlef"],
    ] {
        let ran = folder.run(usage);
        assert_eq!(ran.code, 2, "{usage:?}: {}", ran.err);
        assert_eq!(ran.out, "", "{usage:?}");
    }
    assert!(
        folder
            .run(&["explain", "sum.of"])
            .err
            .contains("did you mean `sum.off`?")
    );
    assert!(
        folder
            .run(&["words", "shlef"])
            .err
            .contains("did you mean `shelf`?")
    );
    assert!(
        folder
            .run(&["explain", "sum.off"])
            .out
            .starts_with("# sum.off\n")
    );
    assert_eq!(code(&["words"]), 0);
}

#[test]
fn reports_come_in_three_forms() {
    let folder = Folder::of(&[
        ("good.case", RACK),
        ("bad.case", &RACK.replace("of ash", "of asch")),
    ]);
    let human = folder.run(&["check", "bad.case"]);
    assert!(human.err.contains("╭─[bad.case:8:"), "{}", human.err);
    assert!(human.err.ends_with("bad.case: 1 error\n"));
    assert!(
        !human.err.contains('\u{1b}'),
        "no colour where there is no terminal"
    );
    let colored = folder.run(&["check", "bad.case", "--color", "always"]);
    assert!(colored.err.contains("\u{1b}["));
    let plain = folder.run(&["check", "bad.case", "--format", "plain"]);
    assert!(plain.err.starts_with("bad.case:8:"), "{}", plain.err);
    assert!(plain.err.is_ascii());
    for ran in [&human, &plain] {
        assert_eq!(ran.out, "");
    }
    // One array on standard output, of however many files, and nothing else.
    for (files, count) in [
        (&["good.case"][..], 0),
        (&["bad.case"], 1),
        (&["bad.case", "good.case", "bad.case"], 2),
    ] {
        let mut args = vec!["--format", "json", "check"];
        args.extend(files);
        let ran = folder.run(&args);
        let array: Vec<serde_json::Value> = serde_json::from_str(&ran.out).unwrap();
        assert_eq!((array.len(), ran.err.as_str()), (count, ""));
        for report in array {
            assert_eq!(report["code"], "name.unknown");
            assert_eq!(report["severity"], "error");
        }
    }
    let model = folder.run(&["--format", "json", "model", "good.case"]);
    assert!(serde_json::from_str::<serde_json::Value>(&model.out).unwrap()["pieces"].is_array());
    let book = folder.run(&["--format", "json", "book", "good.case", "-o", "a.html"]);
    assert_eq!(book.code, 0);
    serde_json::from_str::<Vec<serde_json::Value>>(&book.out).unwrap();
}

/// Five racks of sheet, so deep that two strips go on a sheet: 5 floors of 564 and 10 sides of 400 are,
/// with 3 over and a kerf of 3.2 each, 6913 long; a strip gives 2433.2. So three strips, two sheets.
#[test]
fn layouts_are_told_with_what_is_proven_of_them() {
    let sheet = "sheet {\n    thick 18mm\n    sold  long 2440mm wide 1220mm price 118EUR\n    grain long\n}";
    let rack = RACK
        .replace("board {\n    rough 27mm\n}", sheet)
        .replace("of ash thick 18mm", "of ash")
        .replace("deep 300mm", "deep 590mm");
    let text = format!("{rack}commission racks \"Racks\" {{\n    make 5 of rack\n}}\n");
    let folder = Folder::of(&[("a.case", &text), ("board.case", RACK)]);
    let plain = folder.run(&["layout", "a.case", "--effort", "quick"]);
    assert_eq!(plain.code, 0, "{}", plain.err);
    let again = folder.run(&["layout", "a.case", "--effort", "quick"]);
    assert_eq!(plain.out, again.out);
    insta::with_settings!({ snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true }, {
        insta::assert_snapshot!("layout", plain.out);
    });
    let json = folder.run(&["--format", "json", "layout", "a.case"]);
    let stocks: serde_json::Value = serde_json::from_str(&json.out).unwrap();
    let stock = &stocks[0];
    let sheets = stock["sheets"].as_array().unwrap();
    assert_eq!(stock["cost"], 118.0 * sheets.len() as f64);
    assert!(stock["bound"].as_f64() <= stock["cost"].as_f64());
    let parts = sheets.iter().map(|sheet| sheet["parts"].as_u64().unwrap());
    assert_eq!(parts.sum::<u64>(), 15);
    // A drawing for each sheet, that stands on its own; a maker's own file is not written over.
    let draw = || folder.run(&["layout", "a.case", "--svg", "sheets"]);
    assert_eq!(draw().code, 0);
    for number in 1..=sheets.len() {
        let name = format!("sheets/layouts-sheet-{number}-layout.svg");
        let drawing = fs::read_to_string(folder.path(&name)).unwrap();
        assert!(drawing.contains("xmlns=\"http://www.w3.org/2000/svg\""));
    }
    assert_eq!(
        fs::read_dir(folder.path("sheets")).unwrap().count(),
        sheets.len()
    );
    folder.put("sheets/layouts-sheet-1-layout.svg", b"my own");
    assert_eq!(draw().code, 3);
    // Boards of which no size is stated can't be laid out.
    let none = folder.run(&["layout", "board.case"]);
    let says = "ash, 27 mm rough: in which lengths and widths it is sold is not stated\n";
    assert_eq!((none.code, none.out.as_str()), (0, says));
}

#[test]
fn parameters_are_set_from_outside() {
    let folder = Folder::of(&[("a.case", RACK)]);
    let run = |set: &str| folder.run(&["--format", "plain", "check", "a.case", "--set", set]);
    assert_eq!(run("width=800mm").code, 0);
    assert_eq!(run("width = 400mm + 2 * 50mm").code, 0);
    for (set, code, says) in [
        (
            "width=2m",
            "value.bounds",
            "`width` is 2000 mm, more than its bound",
        ),
        ("width=30kg", "type.mismatch", "`width` takes a length"),
        ("width=\"ten\"", "type.mismatch", "`width` takes a length"),
        ("widht=800mm", "name.unknown", "did you mean `width`?"),
        ("width=800", "type.mismatch", "`width` takes a length"),
        ("width=8OOmm", "value.unit", "`OOmm` is not a unit"),
        (
            "width=other",
            "name.unknown",
            "there is nothing called `other` here",
        ),
    ] {
        let ran = run(set);
        assert_eq!(
            (ran.code, codes(&ran)),
            (1, vec![code]),
            "{set}: {}",
            ran.err
        );
        assert!(ran.err.contains(says), "{set}: {}", ran.err);
        assert!(ran.err.contains("--set"), "{set}: {}", ran.err);
    }
    let ran = folder.run(&["model", "a.case", "--set", "width=800mm"]);
    let model: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(model["pieces"][0]["params"][0][1], "800 mm");
}

#[test]
fn the_schema_of_the_model_fits_the_model() {
    let example = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/music-school");
    let schema = run_in(&example, &["model", "--schema"]);
    let model = run_in(&example, &["model", "commission.case"]);
    assert_eq!((schema.code, model.code), (0, 0), "{}", model.err);
    let schema: serde_json::Value = serde_json::from_str(&schema.out).unwrap();
    let mut model: serde_json::Value = serde_json::from_str(&model.out).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let faults: Vec<String> = validator
        .iter_errors(&model)
        .map(|e| format!("{}: {e}", e.instance_path))
        .collect();
    assert_eq!(faults, Vec::<String>::new());
    // And it is no schema that takes anything.
    model["pieces"][0]["parts"][0]["core"] = "large".into();
    assert!(!validator.is_valid(&model));
}

#[test]
fn a_file_that_is_none_is_told_and_leaves_nothing() {
    let folder = Folder::of(&[("a.case", RACK)]);
    folder.put("latin1.case", b"stock gr\xfcn board {\n}\n");
    folder.put("binary.case", &[0, 159, 146, 150, 255, 0, 7]);
    folder.put("inner/b.case", b"");
    let big = "a".repeat(17 * 1024 * 1024);
    folder.put("big.case", big.as_bytes());
    for (file, says) in [
        ("missing.case", "there is no such file"),
        ("missing/a.case", "there is no such file"),
        (
            "latin1.case",
            "not UTF-8 text (it stops being so at byte 8)",
        ),
        ("binary.case", "not UTF-8 text"),
        ("inner", "not a file"),
        ("a.case/b.case", ""),
        ("big.case", "too large"),
    ] {
        let ran = folder.run(&["check", file]);
        assert_eq!(ran.code, 3, "{file}: {}", ran.err);
        assert!(ran.err.contains(says), "{file}: {}", ran.err);
        let ran = folder.run(&["book", file, "-o", "book.html"]);
        assert_eq!(ran.code, 3, "{file}");
    }
    for used in ["latin1.case", "binary.case", "inner", "big.case", "no.case"] {
        folder.put("c.case", format!("use \"{used}\"\n{RACK}").as_bytes());
        let ran = folder.run(&["--format", "plain", "check", "c.case"]);
        assert_eq!(
            (ran.code, codes(&ran)),
            (1, vec!["use.missing"]),
            "{used}: {}",
            ran.err
        );
    }
    assert!(!folder.path("book.html").exists());
}

#[test]
fn nothing_outside_the_folder_is_read() {
    let folder = Folder::of(&[
        ("secret.case", "stock ash board {\n    rough 27mm\n}\n"),
        ("project/a.case", "use \"../secret.case\"\n"),
        ("project/b.case", "use \"inner/../../secret.case\"\n"),
        ("project/c.case", "use \"/etc/passwd\"\n"),
        ("project/d.case", "use \"C:\\secret.case\"\n"),
        ("project/inner/e.case", "use \"../good.case\"\n"),
        ("project/good.case", RACK),
        ("project/f.case", "use \"inner/e.case\"\n"),
        ("project/g.case", "use \"link.case\"\n"),
        ("project/h.case", "use \"linked/secret.case\"\n"),
    ]);
    let project = folder.path("project");
    let outside = |name: &str| {
        let ran = run_in(&project, &["--format", "plain", "check", name]);
        assert_eq!(
            (ran.code, codes(&ran)),
            (1, vec!["use.outside"]),
            "{name}: {}",
            ran.err
        );
        assert!(!ran.err.contains("27mm"));
    };
    for name in ["a.case", "b.case", "c.case", "d.case"] {
        outside(name);
    }
    assert_eq!(
        run_in(&project, &["check", "f.case"]).code,
        0,
        "up and within is fine"
    );
    #[cfg(unix)]
    {
        use std::os::unix::fs::symlink;
        symlink(folder.path("secret.case"), project.join("link.case")).unwrap();
        symlink(folder.0.path(), project.join("linked")).unwrap();
        outside("g.case");
        outside("h.case");
        let ran = run_in(&project, &["check", "link.case"]);
        assert_eq!(ran.code, 3);
        assert!(
            ran.err.contains("a link that leads out of its folder"),
            "{}",
            ran.err
        );
        // A link that stays within is followed.
        symlink("good.case", project.join("near.case")).unwrap();
        assert_eq!(run_in(&project, &["check", "near.case"]).code, 0);
    }
}

#[test]
fn a_book_is_written_whole_or_not_at_all() {
    let folder = Folder::of(&[("a.case", RACK), ("old.html", "the old book"), ("file", "")]);
    fs::create_dir(folder.path("shelf")).unwrap();
    let before = folder.names();
    for target in ["shelf", "missing/book.html", "file/book.html", "shelf/.."] {
        let ran = folder.run(&["book", "a.case", "-o", target]);
        assert_eq!(ran.code, 3, "{target}: {}", ran.err);
        assert!(ran.err.contains("the book can't be written"), "{}", ran.err);
        assert_eq!(folder.names(), before, "{target}");
    }
    assert_eq!(fs::read_dir(folder.path("shelf")).unwrap().count(), 0);
    // What it is made from is never overwritten.
    for target in ["a.case", "./a.case", "shelf/../a.case"] {
        let ran = folder.run(&["book", "a.case", "-o", target]);
        assert_eq!(ran.code, 2, "{target}: {}", ran.err);
        assert_eq!(fs::read_to_string(folder.path("a.case")).unwrap(), RACK);
    }
    // A faulty text leaves the old book.
    folder.put("bad.case", RACK.replace("of ash", "of asch").as_bytes());
    assert_eq!(folder.run(&["book", "bad.case", "-o", "old.html"]).code, 1);
    assert_eq!(
        fs::read_to_string(folder.path("old.html")).unwrap(),
        "the old book"
    );
    #[cfg(unix)]
    {
        use std::os::unix::fs::{PermissionsExt as _, symlink};
        symlink("old.html", folder.path("link.html")).unwrap();
        assert_eq!(folder.run(&["book", "a.case", "-o", "link.html"]).code, 0);
        assert!(folder.path("link.html").is_symlink(), "the link stays");
        let locked = folder.path("locked");
        fs::create_dir(&locked).unwrap();
        fs::set_permissions(&locked, fs::Permissions::from_mode(0o555)).unwrap();
        // Whoever may write everywhere can't be refused.
        if fs::write(locked.join("probe"), "").is_err() {
            assert_eq!(
                folder.run(&["book", "a.case", "-o", "locked/a.html"]).code,
                3
            );
        }
        fs::set_permissions(&locked, fs::Permissions::from_mode(0o755)).unwrap();
        // A pipe or device is written to, not replaced.
        assert_eq!(folder.run(&["book", "a.case", "-o", "/dev/null"]).code, 0);
        assert!(!fs::metadata("/dev/null").unwrap().is_file());
    }
    let book = fs::read_to_string(folder.path("old.html")).unwrap();
    assert!(book.starts_with("<!DOCTYPE html>") && book.ends_with("</html>"));
    assert!(!folder.names().iter().any(|n| n.starts_with(".casewright")));
}

#[test]
fn a_faulty_template_is_shown_and_leaves_nothing() {
    let folder = Folder::of(&[
        ("a.case", RACK),
        ("mine/title.html", "{{ no_such_thing.at_all }}\n"),
        ("empty/readme.txt", ""),
    ]);
    let book = |templates: &str| {
        folder.run(&[
            "--format",
            "plain",
            "book",
            "a.case",
            "-o",
            "a.html",
            "--templates",
            templates,
        ])
    };
    let ran = book("mine");
    assert_eq!(
        (ran.code, codes(&ran)),
        (1, vec!["book.template"]),
        "{}",
        ran.err
    );
    assert!(ran.err.contains("title.html:1"), "{}", ran.err);
    assert_eq!(book("missing").code, 3);
    assert!(!folder.path("a.html").exists());
    assert_eq!(book("empty").code, 0);
}

/// The case of [`RACK`] with more lines in it.
fn rack_with(lines: &str) -> String {
    RACK.replace(
        "        join   floor",
        &format!("{lines}        join   floor"),
    )
}

#[test]
fn circles_are_told_once() {
    let folder = Folder::of(&[
        ("self.case", "use \"self.case\"\n"),
        ("a.case", "use \"b.case\"\n"),
        ("b.case", "use \"c.case\"\n"),
        ("c.case", "use \"./a.case\"\n"),
    ]);
    for file in ["self.case", "a.case", "b.case"] {
        let ran = folder.run(&["--format", "plain", "check", file]);
        assert_eq!(
            (ran.code, codes(&ran)),
            (1, vec!["use.cycle"]),
            "{file}: {}",
            ran.err
        );
    }
    for (text, code) in [
        ("let a = b\nlet b = c + 1mm\nlet c = a\nlet d = a\n".to_owned() + &RACK.replace("400mm deep", "d deep"), "value.cycle"),
        (RACK.replace("= 600mm", "= width"), "value.cycle"),
        (rack_with("        shelf s of ash thick 18mm at s.top\n"), "place.cycle"),
        (rack_with("        shelf s of ash thick 18mm at t.top\n        shelf t of ash thick 18mm at s.top\n"), "place.cycle"),
        (rack_with("        divide inside downward {\n            opening a high b.high\n            opening b high a.high\n        }\n"), "place.cycle"),
        ("pattern case p like q {\n}\npattern case q like p {\n}\npiece r {\n    case b like p\n}\n".to_owned(), "value.cycle"),
    ] {
        let ran = check(&text);
        assert_eq!((ran.code, codes(&ran)), (1, vec![code]), "{text}\n{}", ran.err);
    }
}

#[test]
fn sizes_that_cant_be_are_refused() {
    for (from, to, code) in [
        ("high 400mm", "high 0mm", "value.range"),
        ("high 400mm", "high 400mm - 500mm", "value.range"),
        ("high 400mm", "high 400mm / (2 - 2)", "value.divide_zero"),
        (
            "high 400mm",
            "high 1000000000000000000000000000000mm",
            "value.range",
        ),
        (
            "high 400mm",
            "high 100000000000000000000000000000000000000mm",
            "value.range",
        ),
        (
            "high 400mm",
            "high 99999999999999999999mm * 99999999999999999999",
            "value.overflow",
        ),
        (
            "high 400mm",
            "high 400mm + 1/999999999999mm",
            "value.overflow",
        ),
        ("thick 18mm", "thick 300mm", "sum.no_room"),
        ("thick 18mm", "thick -18mm", "value.range"),
        ("rough 27mm", "rough 0mm", "value.range"),
        ("deep 300mm", "deep 300kg", "type.mismatch"),
        ("deep 300mm", "deep 300", "type.no_unit"),
    ] {
        let ran = check(&RACK.replace(from, to));
        let mut found = codes(&ran);
        found.dedup();
        assert_eq!((ran.code, found), (1, vec![code]), "{to}: {}", ran.err);
    }
    // Thirds, sevenths and elevenths stay exact.
    let odd = "high 1/3mm + 1/7mm + 1/11mm + 1/13mm + 400mm";
    assert_eq!(check(&RACK.replace("high 400mm", odd)).code, 0);
}

/// Of very many errors the first are told, and how many more there are; programs get them all.
#[test]
fn very_many_errors_are_counted() {
    let text = "x\n".repeat(3000);
    let folder = Folder::of(&[("x.case", &text)]);
    let ran = folder.run(&["check", "x.case"]);
    assert_eq!(ran.err.matches("error[").count(), 20, "{}", ran.err);
    assert!(ran.err.contains("and 2980 more errors"), "{}", ran.err);
    let ran = folder.run(&["--format", "json", "check", "x.case"]);
    let all: Vec<serde_json::Value> = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(all.len(), 3000);
}

/// Too much of everything: refused or done, in seconds, never a crash.
#[test]
fn too_much_is_refused_quickly() {
    let many = |n: usize, line: &dyn Fn(usize) -> String| (0..n).map(line).collect::<String>();
    let nested = "        divide inside rightward {\n            openings bay 10000\n        }\n        divide bay downward {\n            openings till 10000\n        }\n";
    let pins = "        shelves loose 10000 of ash thick 18mm in inside {\n            pins 4 of pin5 pitch 0.001mm set_back 40mm from 10mm to 300mm\n        }\n";
    let texts = [
        ("nested counts", rack_with(nested), "value.range"),
        (
            "a count beyond counting",
            rack_with("        shelves loose 99999999999999999999 of ash thick 18mm in inside\n"),
            "value.range",
        ),
        (
            "holes",
            format!(
                "hardware pin5 pin {{\n    thick 5mm deep 10mm\n}}\n{}",
                rack_with(pins)
            ),
            "value.range",
        ),
        (
            "a chain of values",
            many(3000, &|i| format!("let a{i} = a{} + 1mm\n", i + 1))
                + "let a3000 = 400mm\n"
                + &RACK.replace("high 400mm", "high a0"),
            "syntax.deep",
        ),
        (
            "a chain of shelves",
            rack_with(
                &(many(400, &|i| {
                    format!("        shelf s{i} of ash thick 0.01mm at s{}.top\n", i + 1)
                }) + "        shelf s400 of ash thick 1mm at 100mm\n"),
            ),
            "syntax.deep",
        ),
        (
            "a chain of spaces",
            rack_with(
                &("        shelf s of ash thick 1mm at d399.bottom\n".to_owned()
                    + &many(400, &|i| {
                        format!(
                            "        divide {} inward {{\n            opening d{i} deep 299mm - {i} * 0.5mm\n            opening e{i}\n        }}\n",
                            if i == 0 {
                                "inside".to_owned()
                            } else {
                                format!("d{}", i - 1)
                            }
                        )
                    })),
            ),
            "syntax.deep",
        ),
        (
            "a chain of patterns",
            many(500, &|i| {
                format!("pattern case p{} like p{i} {{\n}}\n", i + 1)
            }) + "pattern case p0 {\n}\npiece r {\n    case b like p500\n}\n",
            "syntax.deep",
        ),
        ("blocks", "a {\n".repeat(20_000), "syntax.deep"),
        (
            "brackets",
            format!("let a = {}1{}\n", "(".repeat(100_000), ")".repeat(100_000)),
            "syntax.deep",
        ),
        (
            "a long name",
            RACK.replace("floor", &"x".repeat(200_000)).replace(
                "of ash thick 18mm\n        join",
                "of asch thick 18mm\n        join",
            ),
            "name.unknown",
        ),
        (
            "a long line",
            format!("let a = \"{}", "y".repeat(10_000_000)),
            "syntax.quote",
        ),
    ];
    for (what, text, code) in texts {
        let start = Instant::now();
        let ran = check(&text);
        let took = start.elapsed();
        let mut found = codes(&ran);
        found.dedup();
        assert_eq!((ran.code, found), (1, vec![code]), "{what}");
        // A guard against hanging, not a measure: how long it takes is for the benchmarks.
        assert!(took < Duration::from_secs(120), "{what}: {took:?}");
        assert!(ran.err.len() < 5_000_000, "{what}: {} bytes", ran.err.len());
    }
    let long_note = rack_with(&format!("        note \"{}\"\n", "z".repeat(1_000_000)));
    assert_eq!(check(&long_note).code, 0);
}

/// Whatever is in the corpus of bad input, the program ends by itself with one of its codes.
#[test]
fn the_corpus_of_bad_input_brings_nothing_down() {
    let corpus = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad-input");
    let mut shown = String::new();
    let mut names: Vec<String> = fs::read_dir(&corpus)
        .unwrap()
        .map(|e| e.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    for name in names {
        let ran = run_in(&corpus, &["--format", "plain", "check", &name]);
        assert!(matches!(ran.code, 0 | 1 | 3), "{name}: {}", ran.err);
        let mut found = codes(&ran);
        found.dedup();
        shown += &format!("{name}: {} {}\n", ran.code, found.join(" "));
    }
    insta::with_settings!({ snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true }, {
        insta::assert_snapshot!("bad-input-checked", shown);
    });
}
