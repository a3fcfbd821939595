//! The canonical layout: what it looks like, that it keeps what is said, that it is stable, and the
//! command that applies it.

use super::cli::Folder;
use casewright::source::{Source, Sources};
use casewright::syntax::{self, Untidy};
use std::fs;
use std::path::{Path, PathBuf};

/// The tidy text; `None` if the text has faults.
pub(crate) fn tidy(text: &str) -> Option<String> {
    let mut sources = Sources::default();
    let file = sources.add(Source::new("a.case", text));
    match syntax::tidy(&sources, file) {
        Ok(text) => Some(text),
        Err(Untidy::Faults(_)) => None,
        Err(Untidy::Changed) => panic!("the layout changes what is said:\n{text}"),
    }
}

fn check(text: &str, tidy_text: &str) {
    assert_eq!(tidy(text).as_deref(), Some(tidy_text));
    assert_eq!(tidy(tidy_text).as_deref(), Some(tidy_text), "a second time");
}

/// Every source under these folders.
pub(crate) fn sources_in(folders: &[&str]) -> Vec<PathBuf> {
    fn walk(folder: &Path, out: &mut Vec<PathBuf>) {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                walk(&path, out);
            } else if path.extension().is_some_and(|e| e == "case") {
                out.push(path);
            }
        }
    }
    let mut out = Vec::new();
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    folders
        .iter()
        .for_each(|folder| walk(&root.join(folder), &mut out));
    out.sort();
    out
}

#[test]
fn heads_subjects_and_joints_stand_in_columns() {
    check(
        "\
case body {
  size wide 900mm high 760mm
  side left,right of oak18
  bottom floor of oak18 at 90mm
  kick toe of oak18 set_back 50mm


  join floor, deck into left, right with dado deep 5mm
  join left, right into lid with tongue thick 4mm deep 6mm stopped 10mm on rear {
    allow cut.web_thin \"the glue fills it\"
  }
  join rear into left, right, lid, floor with rabbet deep 8mm
  join toe to left, right with biscuits 1 of biscuit20

  band left, right, floor, deck on front like lipping
  band lid on front, left, right like lipping thick 15mm mitred
}
",
        "\
case body {
    size   wide 900mm high 760mm
    side   left, right of oak18
    bottom floor       of oak18 at 90mm
    kick   toe         of oak18 set_back 50mm

    join floor, deck into left, right             with dado   deep 5mm
    join left, right into lid                     with tongue thick 4mm deep 6mm stopped 10mm on rear {
        allow cut.web_thin \"the glue fills it\"
    }
    join rear        into left, right, lid, floor with rabbet deep 8mm
    join toe         to   left, right             with biscuits 1 of biscuit20

    band left, right, floor, deck on front like lipping
    band lid on front, left, right like lipping thick 15mm mitred
}
",
    );
}

#[test]
fn a_block_of_several_lines_ends_a_table_and_a_blank_line_does() {
    check(
        "\
piece x \"X\" {
units mm
finish clear
case body {
size wide 1mm
rows r
}
require body.wide > 1mm \"so\"
let a = 1mm

let longer = 2mm
}
",
        "\
piece x \"X\" {
    units  mm
    finish clear
    case body {
        size wide 1mm
        rows r
    }
    require body.wide > 1mm \"so\"
    let     a = 1mm

    let longer = 2mm
}
",
    );
}

#[test]
fn at_the_top_only_lines_of_one_head_are_a_table() {
    check(
        "edition 1\nuse \"a.case\"\nlet a = 1mm\nlet bcd = 2mm\nstock oak sheet {\nthick 1mm\n}\nstock pine6 sheet {\nthick 6mm\n}\n",
        "edition 1\nuse \"a.case\"\nlet a   = 1mm\nlet bcd = 2mm\nstock oak sheet {\n    thick 1mm\n}\nstock pine6 sheet {\n    thick 6mm\n}\n",
    );
}

#[test]
fn comments_and_descriptions_stay_where_they_are() {
    check(
        "\
//first
/// What it is.
case b {// of b
      // own line
side l of oak//one
bottom floor of oak18  //  two

//   last
} // end
",
        "\
//first
/// What it is.
case b {  // of b
    // own line
    side   l     of oak    //one
    bottom floor of oak18  //  two

    //   last
}  // end
",
    );
}

#[test]
fn a_line_that_goes_on_still_goes_on() {
    check(
        "\
case b {
  join a, // why
   b2,

   // more
   c into d
  let n = (
1 +
 2 )*3
}
",
        "\
case b {
    join a,  // why
        b2,
        // more
        c into d
    let  n = (
        1 +
        2)*3
}
",
    );
}

#[test]
fn numbers_texts_and_tight_operators_are_kept_as_written() {
    check(
        "let a=16 1/2in\nlet b=w*2-01.50mm\nlet c=w *2\nlet d = (a+b)/ 2\nlet e=a[ 1,2 ].w\nlet f=g(x:1,y: -2)\n",
        "let a = 16 1/2in\nlet b = w*2-01.50mm\nlet c = w * 2\nlet d = (a+b) / 2\nlet e = a[1, 2].w\nlet f = g(x: 1, y: -2)\n",
    );
    check(
        "note \"a  b // c { \"\nnote \"\"\"\n  *a*\t\n\n\n  b {\n\"\"\"\n",
        "note \"a  b // c { \"\nnote \"\"\"\n  *a*\t\n\n\n  b {\n\"\"\"\n",
    );
}

#[test]
fn blocks_on_one_line_and_empty_ones_stay_small() {
    check(
        "a {b  c}\nd {\n\n}\ne { f { g } }\nif x { a } else { b }\nif x {\n} else if y {\n} else {\n}\n",
        "a { b c }\nd { }\ne { f { g } }\nif x {\n    a\n} else {\n    b\n}\nif x {\n} else if y {\n} else {\n}\n",
    );
}

#[test]
fn line_ends_are_newlines_and_a_byte_order_mark_goes() {
    check(
        "\u{feff}a b\r\n\r\n\r\nnote \"\"\"x\r\ny\"\"\"\r\n\r\n",
        "a b\n\nnote \"\"\"x\ny\"\"\"\n",
    );
    check("", "");
    check("\n \n\t\n", "");
    check("a", "a\n");
}

#[test]
fn a_text_with_faults_is_left_alone() {
    assert_eq!(tidy("case b {\n  side left of\n  (\n"), None);
    assert_eq!(tidy("a 18 mm\n"), None);
}

/// Every source of this project that can be read, also those that are wrong in another way.
#[test]
fn tidying_twice_is_tidying_once() {
    let files = sources_in(&[
        "examples",
        "src/cli/start",
        "src/std",
        "tests/bad-input",
        "tests/fails",
        "tests/good",
        "tests/passes",
        "tests/pieces",
    ]);
    let mut read = 0;
    for file in &files {
        let Ok(text) = fs::read_to_string(file) else {
            continue;
        };
        if let Some(once) = tidy(&text) {
            read += 1;
            assert_eq!(tidy(&once), Some(once), "{}", file.display());
        }
    }
    assert!(read > 100, "{read} of {} files", files.len());
}

/// What the project shows is laid out as it tells others to.
#[test]
fn examples_are_tidy() {
    for file in sources_in(&["examples", "tests/good", "tests/pieces", "tests/passes"]) {
        let text = fs::read_to_string(&file).unwrap();
        assert_eq!(tidy(&text), Some(text), "{}", file.display());
    }
}

const WILD: &str = "case b {\n  side left,right of oak\n  top lid of oak\n}\n";
const TAME: &str = "case b {\n    side left, right of oak\n    top  lid         of oak\n}\n";

#[test]
fn the_command_writes_what_changes_and_nothing_else() {
    let folder = Folder::of(&[("wild.case", WILD), ("tame.case", TAME)]);
    let old = fs::metadata(folder.path("tame.case")).unwrap();
    let ran = folder.run(&["tidy", "wild.case", "tame.case"]);
    assert_eq!((ran.code, ran.out.as_str()), (0, ""));
    assert_eq!(ran.err, "wild.case: tidied\n");
    assert_eq!(fs::read_to_string(folder.path("wild.case")).unwrap(), TAME);
    let new = fs::metadata(folder.path("tame.case")).unwrap();
    assert_eq!(old.modified().unwrap(), new.modified().unwrap());
    assert_eq!(folder.run(&["tidy", "--check", "wild.case"]).code, 0);
    assert_eq!(folder.names(), ["tame.case", "wild.case"]);
}

#[test]
fn check_shows_the_lines_and_writes_nothing() {
    let folder = Folder::of(&[("wild.case", WILD), ("tame.case", TAME)]);
    let ran = folder.run(&["tidy", "--check", "tame.case", "wild.case"]);
    assert_eq!(ran.code, 1);
    assert_eq!(
        ran.out,
        "\
wild.case: 2 lines would change
  2 -   side left,right of oak
  3 -   top lid of oak
    +     side left, right of oak
    +     top  lid         of oak
"
    );
    assert_eq!(fs::read_to_string(folder.path("wild.case")).unwrap(), WILD);
}

#[test]
fn files_with_faults_are_told_and_left_and_the_others_are_tidied() {
    let folder = Folder::of(&[("bad.case", "case b {\n  a (\n}\n"), ("wild.case", WILD)]);
    let ran = folder.run(&["tidy", "bad.case", "missing.case", "wild.case"]);
    assert_eq!(ran.code, 3);
    assert!(ran.err.contains("error[syntax.bracket]"), "{}", ran.err);
    assert!(ran.err.contains("left as it is"), "{}", ran.err);
    assert_eq!(fs::read_to_string(folder.path("wild.case")).unwrap(), TAME);
    let ran = folder.run(&["--format", "json", "tidy", "bad.case"]);
    let reports: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!((ran.code, reports.as_array().unwrap().len()), (1, 1));
}

#[test]
fn standard_input_goes_to_standard_output() {
    let folder = Folder::of(&[]);
    let ran = folder.run_with(&["tidy", "-"], WILD.as_bytes());
    assert_eq!(
        (ran.code, ran.out.as_str(), ran.err.as_str()),
        (0, TAME, "")
    );
    let ran = folder.run_with(&["tidy", "-"], b"a (\n");
    assert_eq!((ran.code, ran.out.as_str()), (1, ""));
    let ran = folder.run_with(&["tidy", "-"], b"a \xff\n");
    assert_eq!((ran.code, ran.out.as_str()), (3, ""));
    assert_eq!(folder.run_with(&["tidy", "-", "a.case"], b"").code, 2);
    assert_eq!(folder.run(&["tidy"]).code, 2);
}

/// A file that only its owner reads stays so.
#[cfg(unix)]
#[test]
fn permissions_are_kept() {
    use std::os::unix::fs::PermissionsExt as _;
    let folder = Folder::of(&[("wild.case", WILD)]);
    let path = folder.path("wild.case");
    fs::set_permissions(&path, fs::Permissions::from_mode(0o600)).unwrap();
    assert_eq!(folder.run(&["tidy", "wild.case"]).code, 0);
    let mode = fs::metadata(&path).unwrap().permissions().mode();
    assert_eq!(mode & 0o777, 0o600);
}
