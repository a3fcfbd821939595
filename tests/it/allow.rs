//! `allow` reaches what its block makes, also where a pattern wrote the lines, and nothing else.

use crate::support::Texts;
use casewright::Compiled;

/// A case of sheet whose rabbets of 10 go past half of its 18, and whose front edges are covered.
const SHELL: &str = "
    size   wide 600mm high 400mm deep 300mm
    side   left, right of ply
    bottom floor       of ply
    top    roof        of ply over left, right
    join   floor       into left, right with rabbet deep 10mm
    join   left, right into roof        with rabbet deep 6mm
    band   left, right, floor, roof on front of ash thick 6mm
";

/// The box of a drawer whose rabbets go past half of its 9.
const BOX: &str = "
    box    of thin
    gap    1mm on top
    bottom of thin at 10mm
    join   front, back into left, right              with rabbet deep 5mm
    join   bottom      into left, right, front, back with groove deep 4mm
    runner wooden gap 1mm
";

const ALLOW: &str = "allow cut.past_half \"it carries little\"";

fn compile(text: &str) -> Compiled {
    let goods = "
stock ply sheet {
    thick 18mm
    sold  long 2440mm wide 1220mm
}
stock thin sheet {
    thick 9mm
    sold  long 2440mm wide 1220mm
}
stock ash board {
    rough 27mm
}
";
    let files = Texts::of(&[("a.case", &format!("{goods}{text}"))]);
    casewright::compile(&files, "a.case", &Default::default()).expect("the text is there")
}

/// The codes of the cautions about depth, and of what allows nothing.
fn told(text: &str) -> Vec<&'static str> {
    let compiled = compile(text);
    assert!(
        !compiled.has_errors(),
        "{text}\n{:#?}",
        compiled.diagnostics
    );
    let codes = compiled.diagnostics.iter().map(|d| d.code.name);
    codes
        .filter(|code| matches!(*code, "cut.past_half" | "allow.unused"))
        .collect()
}

#[test]
fn a_pattern_is_allowed_what_its_lines_do() {
    let pattern = |inner: &str| format!("pattern case shell {{{SHELL}{inner}\n}}\n");
    let piece = |line: &str, inner: &str| {
        format!("piece p \"P\" {{\n {line}\n case one like shell {{\n {inner}\n }}\n}}\n")
    };
    let plain = pattern("");
    assert_eq!(told(&(plain.clone() + &piece("", ""))), ["cut.past_half"]);
    for text in [
        pattern(ALLOW) + &piece("", ""),
        plain.clone() + &piece("", ALLOW),
        plain + &piece(ALLOW, ""),
    ] {
        assert_eq!(told(&text), [""; 0], "{text}");
    }
}

#[test]
fn two_of_one_pattern_are_allowed_each_for_itself() {
    let text = |one: &str, two: &str| {
        format!(
            "pattern case shell {{{SHELL}}}\npiece p \"P\" {{\n case one like shell {{\n {one}\n }}\n \
             case two like shell {{\n place right of one\n {two}\n }}\n}}\n"
        )
    };
    assert_eq!(told(&text(ALLOW, ALLOW)), [""; 0]);
    for (one, two, subject) in [(ALLOW, "", "Two"), ("", ALLOW, "One")] {
        let compiled = compile(&text(one, two));
        let cautions = compiled.findings.iter();
        let mut open = cautions.filter(|f| {
            f.code == "cut.past_half" && f.outcome == casewright::model::Outcome::Caution
        });
        let said: Vec<&str> = open.by_ref().map(|f| f.subject.as_str()).collect();
        assert!(!said.is_empty());
        assert!(said.iter().all(|s| s.starts_with(subject)), "{said:?}");
        assert_eq!(told(&text(one, two)), ["cut.past_half"]);
    }
}

#[test]
fn a_drawer_of_a_pattern_is_allowed_in_its_own_block() {
    let shell = SHELL.replace("10mm", "6mm");
    let text = |pattern: &str, first: &str| {
        format!(
            "pattern drawer small {{{BOX}{pattern}\n}}\npiece p \"P\" {{\n case one {{{shell}
    divide inside rightward {{\n opening a\n divider post of ply\n opening b\n }}
    join post into floor, roof with dado deep 6mm
    band post on front of ash thick 6mm
    drawer d in a like small {{\n {first}\n }}
    drawer e in b like small\n }}\n}}\n"
        )
    };
    assert_eq!(told(&text("", "")), ["cut.past_half"]);
    assert_eq!(told(&text(ALLOW, "")), [""; 0]);
    // The other is still told.
    assert_eq!(told(&text("", ALLOW)), ["cut.past_half"]);
}

#[test]
fn what_is_not_there_is_not_allowed() {
    let shell = SHELL.replace("10mm", "6mm");
    let text = format!(
        "pattern case shell {{{shell}}}\npiece p \"P\" {{\n case one like shell {{\n {ALLOW}\n }}\n}}\n"
    );
    assert_eq!(told(&text), ["allow.unused"]);
}
