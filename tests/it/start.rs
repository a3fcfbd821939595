//! A project to begin with, completions and the manual page, as the program gives them.

use super::cli::Folder;
use std::fs;

const FILES: [&str; 7] = [
    ".gitattributes",
    ".gitignore",
    "README.md",
    "commission.case",
    "hall_shelf.case",
    "shop.case",
    "stock.case",
];

fn files_in(folder: &Folder, name: &str) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder.path(name))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

#[test]
fn a_project_builds_as_it_stands() {
    for units in ["mm", "in"] {
        let folder = Folder::of(&[]);
        let ran = folder.run(&["start", "Hall-shelf", "--units", units]);
        assert_eq!((ran.code, ran.out.as_str()), (0, ""), "{}", ran.err);
        assert!(
            ran.err
                .ends_with("next: casewright check Hall-shelf/commission.case\n")
        );
        assert_eq!(files_in(&folder, "Hall-shelf"), FILES);

        let ran = folder.run(&["check", "Hall-shelf/commission.case"]);
        assert_eq!(ran.code, 0);
        assert!(
            ran.err.contains("commission.case: all is well, "),
            "{}",
            ran.err
        );
        assert_eq!(ran.err.lines().count(), 1, "{}", ran.err);

        let case = |name: &str| format!("Hall-shelf/{name}.case");
        let cases = ["commission", "hall_shelf", "shop", "stock"].map(case);
        let mut args = vec!["tidy", "--check"];
        args.extend(cases.iter().map(String::as_str));
        let ran = folder.run(&args);
        assert_eq!((ran.code, ran.out.as_str()), (0, ""));

        let ran = folder.run(&["book", "Hall-shelf/commission.case", "-o", "a.html"]);
        assert_eq!(ran.code, 0, "{}", ran.err);
        let book = fs::read_to_string(folder.path("a.html")).unwrap();
        assert!(book.contains("Hall shelf"));
        for name in FILES {
            let text = fs::read_to_string(folder.path("Hall-shelf").join(name)).unwrap();
            assert!(!text.contains("piece_name") && !text.contains("Piece title"));
        }
    }
}

#[test]
fn nothing_that_is_there_is_touched() {
    let folder = Folder::of(&[("full/notes.txt", "mine"), ("repo/.git/config", "")]);
    let ran = folder.run(&["start", "full"]);
    assert_eq!(ran.code, 3);
    assert!(ran.err.contains("it holds `notes.txt`"), "{}", ran.err);
    assert_eq!(files_in(&folder, "full"), ["notes.txt"]);
    // A fresh repository is as good as empty.
    assert_eq!(folder.run(&["start", "repo", "--name", "rack"]).code, 0);
    assert!(folder.path("repo/rack.case").exists());
    assert_eq!(folder.run(&["start", "repo", "--name", "rack"]).code, 3);
}

#[test]
fn a_name_that_cannot_be_makes_no_folder() {
    let folder = Folder::of(&[]);
    for args in [
        &["start", "a", "--name", "wide"][..],
        &["start", "9lives"],
        &["start", "a", "--name", "pine"],
        &["start", "a", "--name", "x/y"],
        &["start", "a", "--units", "cubits"],
        &["start"],
    ] {
        let ran = folder.run(args);
        assert_eq!(ran.code, 2, "{args:?}: {}", ran.err);
    }
    assert!(folder.names().is_empty());
}

/// What a project says of git's settings is what the README says.
#[test]
fn the_settings_for_git_are_those_of_the_readme() {
    let folder = Folder::of(&[]);
    folder.run(&["start", "rack"]);
    let attributes = fs::read_to_string(folder.path("rack/.gitattributes")).unwrap();
    let readme = concat!(env!("CARGO_MANIFEST_DIR"), "/README.md");
    let readme = fs::read_to_string(readme).unwrap();
    let settings = readme
        .lines()
        .filter(|line| line.starts_with("git config diff.casewright."));
    let mut count = 0;
    for setting in settings {
        assert!(
            attributes.contains(&format!("#   {setting}\n")),
            "{setting}"
        );
        count += 1;
    }
    assert!(count >= 2, "{count}");
}

/// The commands, from the help.
fn commands(folder: &Folder) -> Vec<String> {
    let help = folder.run(&["--help"]).out;
    let list = help.split("Commands:\n").nth(1).unwrap();
    let lines = list.lines().take_while(|line| !line.is_empty());
    let names = lines.filter_map(|line| line.split_whitespace().next());
    names
        .filter(|name| *name != "help")
        .map(str::to_owned)
        .collect()
}

#[test]
fn every_shell_is_told_every_command() {
    let folder = Folder::of(&[]);
    let commands = commands(&folder);
    assert!(commands.len() >= 9, "{commands:?}");
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let ran = folder.run(&["completions", shell]);
        assert_eq!((ran.code, ran.err.as_str()), (0, ""));
        for command in &commands {
            assert!(ran.out.contains(command.as_str()), "{shell}: {command}");
        }
        assert!(ran.out.contains("revision"), "{shell}: options too");
    }
    assert_eq!(folder.run(&["completions", "abacus"]).code, 2);
}

#[test]
fn the_manual_page_tells_every_command_once() {
    let folder = Folder::of(&[]);
    let ran = folder.run(&["manual"]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    for command in commands(&folder) {
        let heading = format!("\n.SS {command}\n");
        assert_eq!(ran.out.matches(&heading).count(), 1, "{command}");
    }
    let headings: Vec<&str> = ran
        .out
        .lines()
        .filter_map(|line| line.strip_prefix(".SH "))
        .collect();
    assert_eq!(
        headings,
        [
            "NAME",
            "SYNOPSIS",
            "DESCRIPTION",
            "OPTIONS",
            "COMMANDS",
            "VERSION"
        ]
    );
    // What every command takes is told once.
    assert_eq!(ran.out.matches("When colour is used").count(), 1);
    assert!(ran.out.contains("Give a parameter another value"));
}
