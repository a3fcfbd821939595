//! The book in Markdown as the program writes it: the files beside it, what a change of the piece
//! changes in it, and what it looks like.

use crate::cli::Folder;
use std::fs;

/// A shelf of three parts.
const SHELF: &str = "\
stock pine board {
    rough 27mm
}
piece shelf \"Wall shelf\" {
    param width = 600mm from 400mm to 900mm
    case body {
        size   wide width high 240mm deep 180mm
        side   left, right of pine thick 18mm
        bottom floor of pine thick 18mm at 40mm
        join   floor into left, right with dado deep 6mm stopped 10mm on front
    }
}
";

fn drawings(folder: &Folder, name: &str) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder.path(name))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

fn write(folder: &Folder, args: &[&str]) -> String {
    let mut all = vec!["book", "shelf.case", "--as", "md", "-o", "book.md"];
    all.extend(args);
    let ran = folder.run(&all);
    assert_eq!(ran.code, 0, "{}", ran.err);
    fs::read_to_string(folder.path("book.md")).unwrap()
}

#[test]
fn a_small_book_reads_well() {
    let folder = Folder::of(&[("shelf.case", SHELF)]);
    let text = write(&folder, &["--revision", "B", "--date", "2027-01-12"]);
    insta::with_settings!({ snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true }, {
        insta::assert_snapshot!("book-md", text);
    });
    // Every file that it shows is there, and no other.
    let names = drawings(&folder, "book");
    for name in &names {
        assert!(text.contains(&format!("](book/{name})")), "{name}");
    }
    assert_eq!(text.matches("](book/").count(), names.len());
    // And the same again.
    let bytes = |names: &[String]| -> Vec<Vec<u8>> {
        let read = |name: &String| fs::read(folder.path("book").join(name)).unwrap();
        names.iter().map(read).collect()
    };
    let before = bytes(&names);
    assert_eq!(
        write(&folder, &["--revision", "B", "--date", "2027-01-12"]),
        text
    );
    assert_eq!(drawings(&folder, "book"), names);
    assert_eq!(bytes(&names), before);
}

#[test]
fn html_stays_what_a_book_is() {
    let folder = Folder::of(&[("shelf.case", SHELF)]);
    for args in [&[][..], &["--as", "html"]] {
        let mut all = vec!["book", "shelf.case", "-o", "book.html"];
        all.extend(args);
        assert_eq!(folder.run(&all).code, 0);
        let text = fs::read_to_string(folder.path("book.html")).unwrap();
        assert!(text.starts_with("<!DOCTYPE html>"));
    }
    assert_eq!(folder.names(), ["book.html", "shelf.case"]);
    assert_eq!(
        folder
            .run(&["book", "shelf.case", "--as", "pdf", "-o", "x"])
            .code,
        2
    );
}

/// One line of the text is changed; so is what follows from it, and nothing else is laid out anew.
#[test]
fn a_change_is_told_by_the_lines_that_it_is_about() {
    let folder = Folder::of(&[("shelf.case", SHELF)]);
    let old = write(&folder, &[]);
    let new = write(&folder, &["--set", "width=610mm"]);
    let rows = |text: &str| -> Vec<String> {
        let chapter = text.split("\n## ").find(|c| c.starts_with("6 Cut list"));
        let lines = chapter
            .unwrap()
            .lines()
            .filter(|line| line.starts_with('|'));
        lines.map(str::to_owned).collect()
    };
    let (old, new) = (rows(&old), rows(&new));
    assert_eq!(old.len(), new.len());
    let changed: Vec<_> = old.iter().zip(&new).filter(|(a, b)| a != b).collect();
    assert_eq!(changed.len(), 1, "{changed:?}");
    let (before, after) = changed[0];
    assert!(
        before.contains("Floor") && before.contains(" 576.0 "),
        "{before}"
    );
    assert_eq!(
        &before.replace("576.0", "586.0").replace("601.0", "611.0"),
        after
    );
}

#[test]
fn what_changed_is_told_in_a_chapter_too() {
    let folder = Folder::of(&[
        ("shelf.case", SHELF),
        ("old.case", &SHELF.replace("high 240mm", "high 230mm")),
    ]);
    assert!(!write(&folder, &[]).contains("## 13 Changes"));
    let text = write(&folder, &["--changes-from", "old.case"]);
    let chapter = text
        .split("\n## ")
        .find(|c| c.starts_with("13 Changes"))
        .unwrap();
    assert!(
        chapter.contains("1. `size wide width high` ~~`230mm`~~ **`240mm`** `deep 180mm` + 10.0; "),
        "{chapter}"
    );
    assert!(
        chapter.contains("| **1** Side × 2, length | ~~230.0~~ | **240.0** | + 10.0 |"),
        "{chapter}"
    );
}

#[test]
fn drawings_no_longer_shown_are_taken_away_and_nothing_else() {
    let folder = Folder::of(&[("shelf.case", SHELF)]);
    write(&folder, &[]);
    let all = drawings(&folder, "book");
    let dado: Vec<&String> = all.iter().filter(|name| name.contains("dado")).collect();
    assert!(!dado.is_empty());
    // A copy that the maker has drawn on, a drawing of theirs, and a note.
    let copied = fs::read_to_string(folder.path("book").join(&all[0])).unwrap();
    folder.put("book/mine.svg", copied.as_bytes());
    folder.put("book/own.svg", b"<svg/>");
    folder.put("book/note.txt", b"keep");
    fs::create_dir(folder.path("book/folder.svg")).unwrap();
    folder.put(
        "shelf.case",
        SHELF
            .replace("with dado deep 6mm stopped 10mm on front", "with butt")
            .replace("into", "to  ")
            .as_bytes(),
    );
    write(&folder, &[]);
    let left = drawings(&folder, "book");
    for name in ["mine.svg", "own.svg", "note.txt", "folder.svg"] {
        assert!(left.iter().any(|n| n == name), "{name} is gone");
    }
    for name in dado {
        assert!(!left.contains(name), "{name} is still there");
    }
}

#[test]
fn a_file_of_the_makers_is_not_written_over() {
    let folder = Folder::of(&[("shelf.case", SHELF)]);
    write(&folder, &[]);
    let names = drawings(&folder, "book");
    let own = names
        .iter()
        .find(|name| name.starts_with("drawings-"))
        .unwrap();
    let path = format!("book/{own}");
    folder.put(&path, b"<svg>mine</svg>");
    folder.put("book.md", b"as it was");
    let ran = folder.run(&["book", "shelf.case", "--as", "md", "-o", "book.md"]);
    assert_eq!(ran.code, 3, "{}", ran.err);
    assert!(ran.err.contains(own), "{}", ran.err);
    assert_eq!(
        fs::read_to_string(folder.path(&path)).unwrap(),
        "<svg>mine</svg>"
    );
    assert_eq!(
        fs::read_to_string(folder.path("book.md")).unwrap(),
        "as it was"
    );
    #[cfg(unix)]
    {
        // Nor is what a link leads to.
        fs::remove_file(folder.path(&path)).unwrap();
        folder.put("elsewhere.svg", b"mine");
        std::os::unix::fs::symlink("../elsewhere.svg", folder.path(&path)).unwrap();
        let ran = folder.run(&["book", "shelf.case", "--as", "md", "-o", "book.md"]);
        assert_eq!(ran.code, 3, "{}", ran.err);
        assert_eq!(
            fs::read_to_string(folder.path("elsewhere.svg")).unwrap(),
            "mine"
        );
    }
}

/// A book that can't be written whole leaves nothing of it behind.
#[cfg(unix)]
#[test]
fn nothing_is_left_of_a_book_that_can_not_be_written() {
    use std::os::unix::fs::symlink;
    let folder = Folder::of(&[("shelf.case", SHELF), ("taken.md/file", "")]);
    let run = |target: &str| folder.run(&["book", "shelf.case", "--as", "md", "-o", target]);
    // Where the text is to stand there is a folder: the drawings are not put in their places.
    assert_eq!(run("taken.md").code, 3);
    assert_eq!(folder.names(), ["shelf.case", "taken.md"]);
    // A link out of the book's folder is not followed; one within it is.
    let elsewhere = Folder::of(&[("kept.txt", "mine")]);
    symlink(elsewhere.path(""), folder.path("book")).unwrap();
    let ran = run("book.md");
    assert_eq!(ran.code, 3, "{}", ran.err);
    assert!(ran.err.contains("leads out"), "{}", ran.err);
    assert_eq!(elsewhere.names(), ["kept.txt"]);
    assert!(!folder.path("book.md").exists());
    fs::remove_file(folder.path("book")).unwrap();
    fs::create_dir(folder.path("drawings")).unwrap();
    symlink("drawings", folder.path("book")).unwrap();
    assert_eq!(run("book.md").code, 0);
    assert!(fs::read_dir(folder.path("drawings")).unwrap().count() > 0);
}

#[test]
fn places_where_no_book_can_be() {
    let folder = Folder::of(&[("shelf.case", SHELF), ("taken", "a file")]);
    let run = |target: &str| folder.run(&["book", "shelf.case", "--as", "md", "-o", target]);
    // The folder of the drawings would have the book's own name, or a file has it.
    assert_eq!(run("book").code, 2);
    assert_eq!(run("shelf.case").code, 2);
    for target in ["taken.md", "missing/book.md", ".."] {
        let ran = run(target);
        assert!(ran.code == 3 || ran.code == 2, "{target}: {}", ran.err);
        assert!(!ran.err.contains("panicked"));
    }
    assert_eq!(folder.names(), ["shelf.case", "taken"]);
    assert_eq!(
        fs::read_to_string(folder.path("shelf.case")).unwrap(),
        SHELF
    );
    // Odd names are links all the same.
    assert_eq!(run("a (b) #1%.md").code, 0);
    let text = fs::read_to_string(folder.path("a (b) #1%.md")).unwrap();
    assert!(text.contains("](a%20%28b%29%20%231%25/title-wall-shelf.svg)"));
}
