//! `diff --since`: what a file was at a revision, in real git repositories made here.

use std::fs;
use std::path::Path;
use std::process::{Command, Output};
use tempfile::TempDir;

const STOCK: &str = "stock ash board {\n    rough 27mm\n}\n";
const RACK: &str = "\
use \"stock.case\"
piece rack \"Rack\" {
    case body {
        size   wide 600mm high 400mm deep 300mm
        side   left, right of ash thick 18mm
        bottom floor of ash thick 18mm
        join   floor to left, right with butt
    }
}
";

struct Repo(TempDir);

struct Ran {
    code: i32,
    out: String,
    err: String,
}

impl Ran {
    fn of(output: &Output) -> Ran {
        Ran {
            code: output.status.code().unwrap(),
            out: String::from_utf8_lossy(&output.stdout).into_owned(),
            err: String::from_utf8_lossy(&output.stderr).into_owned(),
        }
    }
}

impl Repo {
    fn empty() -> Repo {
        let repo = Repo(tempfile::tempdir().unwrap());
        repo.git(&["init", "--quiet", "--initial-branch=trunk"]);
        repo
    }

    /// With a rack of 600 in its first commit.
    fn with_rack(folder: &str) -> Repo {
        let repo = Repo::empty();
        repo.put(&format!("{folder}stock.case"), STOCK);
        repo.put(&format!("{folder}rack.case"), RACK);
        repo.commit();
        repo
    }

    fn path(&self) -> &Path {
        self.0.path()
    }

    fn put(&self, name: &str, text: &str) {
        let path = self.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }

    fn git(&self, args: &[&str]) -> String {
        let mut command = Command::new("git");
        command.args(args).current_dir(self.path());
        quiet(&mut command);
        let output = command.output().expect("git is there");
        assert!(
            output.status.success(),
            "{args:?}: {}",
            String::from_utf8_lossy(&output.stderr)
        );
        String::from_utf8(output.stdout).unwrap()
    }

    fn commit(&self) {
        self.git(&["add", "--all"]);
        self.git(&["commit", "--quiet", "--message", "a step"]);
    }

    fn run(&self, args: &[&str]) -> Ran {
        self.run_in("", args)
    }

    fn run_in(&self, folder: &str, args: &[&str]) -> Ran {
        let mut command = Command::new(env!("CARGO_BIN_EXE_casewright"));
        command
            .args(["--format", "plain"])
            .args(args)
            .current_dir(self.path().join(folder));
        quiet(&mut command);
        Ran::of(&command.output().unwrap())
    }

    /// Compares a file with what it was, and gives the lines after the two names.
    fn since(&self, revision: &str, file: &str) -> Vec<String> {
        let ran = self.run(&["diff", "--since", revision, file]);
        assert_eq!(ran.code, 0, "{}", ran.err);
        ran.out.lines().skip(2).map(str::to_owned).collect()
    }
}

/// Neither the user's settings nor the machine's count.
fn quiet(command: &mut Command) {
    command
        .env("GIT_CONFIG_GLOBAL", "/dev/null")
        .env("GIT_CONFIG_NOSYSTEM", "1")
        .env("GIT_AUTHOR_NAME", "A maker")
        .env("GIT_AUTHOR_EMAIL", "maker@example.org")
        .env("GIT_COMMITTER_NAME", "A maker")
        .env("GIT_COMMITTER_EMAIL", "maker@example.org")
        .env("GIT_AUTHOR_DATE", "2027-01-12T08:00:00Z")
        .env("GIT_COMMITTER_DATE", "2027-01-12T08:00:00Z");
}

fn wider(text: &str) -> String {
    text.replace("wide 600mm", "wide 650mm")
}

const WIDER: &str = "decided: ~ piece rack: case body: size wide 600mm -> 650mm high 400mm deep 300mm (+50 mm) at rack.case:4";

#[test]
fn a_file_is_compared_with_what_it_was() {
    let repo = Repo::with_rack("");
    assert_eq!(repo.since("HEAD", "rack.case"), ["no difference"]);
    repo.put("rack.case", &wider(RACK));
    assert_eq!(repo.since("HEAD", "rack.case")[0], WIDER);
    // The files that it uses are those of the revision.
    repo.put("rack.case", RACK);
    repo.put("stock.case", &STOCK.replace("27mm", "34mm"));
    let lines = repo.since("HEAD", "rack.case");
    assert!(lines[0].contains("rough 27mm -> 34mm"), "{lines:?}");
    repo.commit();
    assert_eq!(repo.since("HEAD", "rack.case"), ["no difference"]);
    assert_eq!(repo.since("HEAD~1", "rack.case"), lines);
    assert_eq!(repo.since("trunk^", "rack.case"), lines);
}

#[test]
fn the_book_tells_what_changed_since_a_revision() {
    let repo = Repo::with_rack("");
    repo.git(&["tag", "first"]);
    repo.put("rack.case", &wider(RACK));
    repo.commit();
    let args = ["book", "rack.case", "-o", "rack.html", "--since"];
    let ran = repo.run(&[&args[..], &["first"]].concat());
    assert_eq!(ran.code, 0, "{}", ran.err);
    let html = fs::read_to_string(repo.path().join("rack.html")).unwrap();
    assert!(
        html.contains("Since first."),
        "the chapter names the revision"
    );
    assert!(html.contains("<s>600mm</s> <b class=\"now\">650mm</b>"));
    let ran = repo.run(&[&args[..], &["second"]].concat());
    assert_eq!(ran.code, 3);
    assert!(
        ran.err.contains("`second` names no revision"),
        "{}",
        ran.err
    );
}

#[test]
fn differences_are_no_failure_unless_asked_for() {
    let repo = Repo::with_rack("");
    let args = ["diff", "--exit-code", "--since", "HEAD", "rack.case"];
    assert_eq!(repo.run(&args).code, 0);
    repo.put("rack.case", &wider(RACK));
    assert_eq!(repo.run(&args).code, 1);
    assert_eq!(repo.run(&["diff", "--since", "HEAD", "rack.case"]).code, 0);
}

#[test]
fn folders_below_and_folders_elsewhere() {
    let repo = Repo::with_rack("pieces/hall/");
    repo.put("pieces/hall/rack.case", &wider(RACK));
    assert_eq!(repo.since("HEAD", "pieces/hall/rack.case")[0], WIDER);
    for (folder, file) in [
        ("pieces/hall", "rack.case"),
        ("pieces", "hall/../hall/rack.case"),
    ] {
        let ran = repo.run_in(folder, &["diff", "--since", "HEAD", file]);
        assert!(ran.out.contains(WIDER), "{}", ran.err);
        assert!(
            ran.out.starts_with("old: HEAD:pieces/hall/rack.case\n"),
            "{}",
            ran.out
        );
    }
}

#[test]
fn a_file_that_was_renamed_or_moved_is_found() {
    let repo = Repo::with_rack("");
    // Staged and not yet committed.
    repo.git(&["mv", "rack.case", "shelf.case"]);
    assert_eq!(repo.since("HEAD", "shelf.case"), ["no difference"]);
    repo.commit();
    repo.git(&["mv", "shelf.case", "tall.case"]);
    repo.put("tall.case", &wider(RACK));
    repo.commit();
    assert!(repo.since("HEAD~2", "tall.case")[0].contains("600mm -> 650mm"));
    // With its whole project into a folder.
    fs::create_dir(repo.path().join("pieces")).unwrap();
    repo.git(&["mv", "tall.case", "stock.case", "pieces"]);
    repo.commit();
    assert_eq!(repo.since("HEAD~1", "pieces/tall.case"), ["no difference"]);
    let ran = repo.run(&["diff", "--since", "HEAD~3", "pieces/tall.case"]);
    assert!(
        ran.out
            .starts_with("old: HEAD~3:rack.case\nnew: pieces/tall.case\n"),
        "{}",
        ran.out
    );
}

/// Between the two trees nothing of it is left, but each step is small enough for git to follow.
#[test]
fn a_file_that_was_changed_much_is_followed_step_by_step() {
    let repo = Repo::empty();
    let line = |n: usize, word: &str| format!("let {word}_{n} = {n}mm // what number {n} is for\n");
    let part = |from: usize, to: usize, word: &str| -> String {
        (from..to).map(|n| line(n, word)).collect()
    };
    repo.put("a.case", &part(0, 40, "first"));
    repo.commit();
    fs::remove_file(repo.path().join("a.case")).unwrap();
    repo.put(
        "b.case",
        &format!("{}{}", part(0, 25, "first"), part(25, 40, "second")),
    );
    repo.commit();
    fs::remove_file(repo.path().join("b.case")).unwrap();
    repo.put(
        "sub/c.case",
        &format!("{}{}", part(0, 12, "first"), part(12, 40, "second")),
    );
    repo.commit();
    let ran = repo.run(&["diff", "--since", "HEAD~2", "sub/c.case"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.out.starts_with("old: HEAD~2:a.case\n"), "{}", ran.out);
}

#[test]
fn merges_are_revisions_too() {
    let repo = Repo::with_rack("");
    repo.git(&["checkout", "--quiet", "-b", "side"]);
    repo.git(&["mv", "rack.case", "shelf.case"]);
    repo.commit();
    repo.git(&["checkout", "--quiet", "trunk"]);
    repo.put("stock.case", &STOCK.replace("27mm", "34mm"));
    repo.commit();
    repo.git(&["merge", "--quiet", "--no-edit", "side"]);
    assert!(
        repo.since("HEAD~1", "shelf.case")
            .contains(&"no difference".to_owned())
    );
    assert!(repo.since("side", "shelf.case")[0].contains("27mm -> 34mm"));
    assert!(repo.since("HEAD^2~1", "shelf.case")[0].contains("27mm -> 34mm"));
}

#[test]
fn what_can_not_be_had_is_told() {
    let repo = Repo::with_rack("");
    repo.put("later.case", "piece later {\n}\n");
    let cases = [
        (
            "nowhere",
            "rack.case",
            "`nowhere` names no revision of this repository",
        ),
        ("--help", "rack.case", "`--help` names no revision"),
        ("--output=x", "rack.case", "names no revision"),
        ("HEAD..HEAD", "rack.case", "names no revision"),
        ("HEAD:rack.case", "rack.case", "names no revision"),
        ("", "rack.case", "names no revision"),
        ("HEAD", "later.case", "later.case: it is not in `HEAD`"),
        ("HEAD", "nothing.case", "nothing.case"),
    ];
    for (revision, file, says) in cases {
        let since = format!("--since={revision}");
        let ran = repo.run(&["diff", &since, file]);
        assert_eq!(ran.code, 3, "{revision} {file}: {}", ran.err);
        assert!(ran.err.contains(says), "{revision} {file}: {}", ran.err);
    }
    assert!(!repo.path().join("x").exists());
    // Deleted since: there is nothing to compare with what it was.
    fs::remove_file(repo.path().join("rack.case")).unwrap();
    let ran = repo.run(&["diff", "--since", "HEAD", "rack.case"]);
    assert_eq!(ran.code, 3, "{}", ran.err);
    assert!(
        ran.err.contains("rack.case: there is no such file"),
        "{}",
        ran.err
    );
    // No repository; no program.
    let bare = Repo(tempfile::tempdir().unwrap());
    bare.put("rack.case", RACK);
    let ran = bare.run(&["diff", "--since", "HEAD", "rack.case"]);
    assert_eq!(ran.code, 3);
    assert!(
        ran.err.contains("it is in no git repository"),
        "{}",
        ran.err
    );
    let mut command = Command::new(env!("CARGO_BIN_EXE_casewright"));
    command
        .args(["diff", "--since", "HEAD", "rack.case"])
        .current_dir(repo.path());
    let ran = Ran::of(&command.env("PATH", "/nowhere").output().unwrap());
    assert_eq!(ran.code, 3);
    assert!(ran.err.contains("there is no program `git`"), "{}", ran.err);
}

#[test]
fn a_used_file_that_was_deleted_since_is_read_as_it_was() {
    let repo = Repo::with_rack("");
    fs::remove_file(repo.path().join("stock.case")).unwrap();
    repo.put("rack.case", &RACK.replace("use \"stock.case\"\n", STOCK));
    repo.commit();
    assert_eq!(repo.since("HEAD~1", "rack.case"), ["no difference"]);
}

#[test]
fn broken_text_then_is_shown_and_the_decisions_stand() {
    let repo = Repo::with_rack("");
    repo.put("rack.case", &RACK.replace("butt", "but"));
    repo.commit();
    repo.put("rack.case", &wider(RACK));
    let ran = repo.run(&["diff", "--since", "HEAD", "rack.case"]);
    assert_eq!(ran.code, 1, "{}", ran.err);
    assert!(
        ran.err
            .contains("HEAD:rack.case, the old one, can't be built"),
        "{}",
        ran.err
    );
    assert!(ran.err.contains("HEAD:rack.case:7:"), "{}", ran.err);
    assert!(ran.out.contains("wide 600mm -> 650mm"), "{}", ran.out);
    assert!(ran.out.contains("what follows is not known"), "{}", ran.out);
}

/// The settings of the README, tried for real: a plain `git diff` shows the changed line and what follows
/// from it, and nothing that is wrong with a text stops it.
#[test]
fn a_plain_git_diff_shows_what_follows() {
    let repo = Repo::with_rack("pieces/");
    let readme = include_str!("../../README.md");
    let setting = |key: &str| {
        let start = format!("git config diff.casewright.{key} ");
        let line = readme
            .lines()
            .find_map(|line| line.strip_prefix(&start))
            .unwrap();
        line.trim_matches('\'').to_owned()
    };
    let program = format!("'{}'", env!("CARGO_BIN_EXE_casewright"));
    let textconv = setting("textconv");
    assert!(textconv.starts_with("casewright "), "{textconv}");
    repo.git(&[
        "config",
        "diff.casewright.textconv",
        &textconv.replacen("casewright", &program, 1),
    ]);
    repo.git(&["config", "diff.casewright.xfuncname", &setting("xfuncname")]);
    assert!(readme.contains("\n*.case diff=casewright\n"));
    repo.put(".gitattributes", "*.case diff=casewright\n");
    repo.commit();
    repo.put("pieces/rack.case", &wider(RACK));
    let diff = repo.git(&["diff"]);
    let has = |diff: &str, lines: &[&str]| {
        for line in lines {
            assert!(diff.lines().any(|l| l == *line), "{line} in\n{diff}");
        }
    };
    has(
        &diff,
        &[
            "-        size   wide 600mm high 400mm deep 300mm",
            "+        size   wide 650mm high 400mm deep 300mm",
            "-rack part body.floor 564 x 300 x 18 mm of ash",
            "+rack part body.floor 614 x 300 x 18 mm of ash",
            " rack part body.left 400 x 300 x 18 mm of ash",
        ],
    );
    // A hunk says what it is in.
    let far = "        // a remark\n        // and another\n        // and a third\n        // and a fourth\n";
    let long = RACK.replace("        size ", &format!("{far}        size "));
    repo.put("pieces/rack.case", &long);
    repo.commit();
    repo.put("pieces/rack.case", &wider(&long));
    let diff = repo.git(&["diff"]);
    assert!(
        diff.lines()
            .any(|l| l.starts_with("@@") && l.ends_with(" case body {")),
        "{diff}"
    );
    let diff = repo.git(&["diff", "--unified=0"]);
    assert!(
        diff.lines()
            .any(|l| l.starts_with("@@") && l.ends_with(" ---- what follows ----")),
        "{diff}"
    );
    // Of a revision too; its used files are those of the work tree.
    repo.commit();
    let log = repo.git(&["log", "-p", "-1"]);
    has(&log, &["+rack part body.floor 614 x 300 x 18 mm of ash"]);
    // Text that does not compile, and what is no text, are compared as they are.
    repo.put("pieces/rack.case", &long.replace("butt", "but"));
    let diff = repo.git(&["diff"]);
    has(&diff, &["+        join   floor to left, right with but"]);
    fs::write(repo.path().join("pieces/rack.case"), b"piece \xff\n").unwrap();
    assert!(repo.git(&["diff"]).contains("+piece "));
    // Where two folders hold a file of that name neither is guessed at.
    repo.put("pieces/rack.case", &wider(&long));
    repo.put("other/rack.case", RACK);
    repo.put("pieces/rack.case", RACK);
    let diff = repo.git(&["diff"]);
    assert!(!diff.contains("rack part"), "{diff}");
    has(&diff, &["+        size   wide 600mm high 400mm deep 300mm"]);
}

/// A file above the project's folder is refused, and so is a link that leads there; a link within the
/// project is followed, as on disk.
#[cfg(unix)]
#[test]
fn files_outside_the_folder_are_refused_as_on_disk() {
    let link = |repo: &Repo, to: &str, name: &str| {
        std::os::unix::fs::symlink(to, repo.path().join(name)).unwrap();
    };
    for (used, target) in [
        ("../stock.case", None),
        ("out.case", Some("../stock.case")),
        ("far.case", Some("/etc/hostname")),
        ("up/stock.case", Some("..")),
    ] {
        let repo = Repo::empty();
        repo.put("stock.case", STOCK);
        repo.put("pieces/rack.case", &RACK.replace("stock.case", used));
        if let Some(target) = target {
            let name = used.split('/').next().unwrap();
            link(&repo, target, &format!("pieces/{name}"));
        }
        repo.commit();
        repo.put(
            "pieces/rack.case",
            &RACK.replace("use \"stock.case\"\n", STOCK),
        );
        let ran = repo.run(&["diff", "--since", "HEAD", "pieces/rack.case"]);
        assert_eq!(ran.code, 1, "{used}: {}", ran.err);
        assert!(ran.err.contains("use.outside"), "{used}: {}", ran.err);
    }
    for (name, target) in [
        ("in.case", "parts/../parts/stock.case"),
        ("folder", "parts"),
    ] {
        let repo = Repo::empty();
        repo.put("parts/stock.case", STOCK);
        let used = if name == "folder" {
            "folder/stock.case"
        } else {
            name
        };
        repo.put("rack.case", &RACK.replace("stock.case", used));
        link(&repo, target, name);
        repo.commit();
        assert_eq!(repo.since("HEAD", "rack.case"), ["no difference"], "{name}");
    }
}

/// What stands in a repository within this one can't be read as it was, which is told.
#[test]
fn a_file_of_a_submodule_is_told_as_such() {
    let inner = Repo::empty();
    inner.put("stock.case", STOCK);
    inner.commit();
    let repo = Repo::empty();
    repo.put("rack.case", &RACK.replace("stock.case", "parts/stock.case"));
    let from = inner.path().display().to_string();
    let allow = "protocol.file.allow=always";
    repo.git(&["-c", allow, "submodule", "add", "--quiet", &from, "parts"]);
    repo.commit();
    let ran = repo.run(&["diff", "--since", "HEAD", "rack.case"]);
    assert!(ran.err.contains("submodule"), "{}", ran.err);
}

/// Nothing that the settings of a repository name is run, and odd names of files are only names.
#[cfg(unix)]
#[test]
fn a_repository_can_not_make_it_run_anything() {
    use std::os::unix::fs::PermissionsExt as _;
    let repo = Repo::with_rack("");
    repo.put(
        "spy",
        "#!/bin/sh\ntouch \"$(dirname \"$0\")/ran\"\ncat \"$1\" 2>/dev/null\nexit 0\n",
    );
    let spy = repo.path().join("spy");
    fs::set_permissions(&spy, fs::Permissions::from_mode(0o755)).unwrap();
    let spy = spy.to_str().unwrap();
    for key in [
        "core.fsmonitor",
        "diff.external",
        "diff.case.textconv",
        "diff.case.command",
        "gpg.program",
        "core.pager",
        "pager.log",
        "filter.case.smudge",
        "filter.case.clean",
        "core.sshCommand",
        "alias.ls-tree",
    ] {
        repo.git(&["config", key, spy]);
    }
    repo.git(&["config", "log.showSignature", "true"]);
    repo.git(&["config", "diff.renames", "false"]);
    fs::write(
        repo.path().join(".git/info/attributes"),
        "*.case diff=case filter=case\n",
    )
    .unwrap();
    fs::rename(
        repo.path().join("rack.case"),
        repo.path().join("-z :(top) ru\tn.case"),
    )
    .unwrap();
    // Put into the index by a git that does not know of these settings.
    repo.git(&[
        "-c",
        "core.fsmonitor=false",
        "-c",
        "filter.case.clean=cat",
        "add",
        "--all",
    ]);
    let _ = fs::remove_file(repo.path().join("ran"));
    let ran = repo.run(&["diff", "--since", "HEAD", "--", "-z :(top) ru\tn.case"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.out.ends_with("no difference\n"), "{}", ran.out);
    let ran = repo.run(&["diff", "--since", "HEAD", "stock.case"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(!repo.path().join("ran").exists());
}
