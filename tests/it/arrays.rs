//! Arrays that repetitions and branches make: who may bear one name, what a name means within a turn,
//! and what is made no times.

use crate::support::Texts;
use casewright::Compiled;
use casewright::measure::Length;
use casewright::model::Part;

/// A case with lines of a test's own.
fn compile(lines: &str) -> Compiled {
    let text = format!(
        "
stock ply sheet {{
    thick 18mm
    sold  long 2440mm wide 1220mm
}}
stock thin sheet {{
    thick 12mm
    sold  long 2440mm wide 1220mm
}}
stock ash board {{
    rough 27mm
}}
piece rack \"Rack\" {{
    case body {{
        size   wide 600mm high 700mm deep 300mm
        side   left, right of ply
        bottom floor       of ply
        top    lid         of ply
        join   floor, lid into left, right with rabbet deep 6mm
        {lines}
    }}
}}
"
    );
    let files = Texts::of(&[("a.case", &text)]);
    casewright::compile(&files, "a.case", &Default::default()).expect("the text is there")
}

fn errors(lines: &str) -> Vec<&'static str> {
    let compiled = compile(lines);
    let errors = compiled.diagnostics.iter().filter(|d| d.is_error());
    errors.map(|d| d.code.name).collect()
}

fn parts(lines: &str) -> Vec<Part> {
    let compiled = compile(lines);
    assert!(
        !compiled.has_errors(),
        "{lines}\n{:#?}",
        compiled.diagnostics
    );
    compiled.model.expect("no errors").pieces.remove(0).parts
}

const BRANCHES: &str = "
    repeat i from 1 to 3 {
        if i < 3 {
            shelf ledge of ply at 150mm * i
        } else {
            shelf ledge of thin at 150mm * i
        }
    }
    join ledge into left, right with dado deep 6mm
";

#[test]
fn the_branches_of_a_turn_may_bear_one_name() {
    let parts = parts(BRANCHES);
    let thick = |path: &str| {
        let part = parts.iter().find(|p| p.path == path);
        part.unwrap_or_else(|| panic!("{path}")).size.thick
    };
    let mm = Length::mm;
    let found = [1, 2, 3].map(|i| thick(&format!("body.ledge[{i}]")));
    assert_eq!(found, [mm(18), mm(18), mm(12)]);
}

#[test]
fn openings_and_fittings_of_the_branches_too() {
    let lines = "
    divide inside downward {
        openings row 2 {
            shelf tier of ply
        }
    }
    join tier into left, right with dado deep 6mm
    repeat r from 1 to 2 {
        divide row[r] rightward {
            if r == 1 {
                openings cell 3 {
                    divider post of ply
                }
            } else {
                openings cell 2 {
                    divider post of ply
                }
            }
        }
        if r == 1 {
            shelves loose 1 of ply in cell[1, 1]
        } else {
            shelves loose 1 of ply in cell[2, 1]
        }
    }
    join post into tier, floor, lid with dado deep 5mm
    ";
    let compiled = compile(lines);
    let errors: Vec<_> = compiled
        .diagnostics
        .iter()
        .filter(|d| d.is_error())
        .collect();
    assert!(errors.is_empty(), "{errors:#?}");
    let piece = &compiled.model.expect("no errors").pieces[0];
    let cells = piece
        .openings
        .iter()
        .filter(|o| o.path.starts_with("body.cell["));
    assert_eq!(cells.count(), 5);
    assert_eq!(piece.shelves.len(), 2);
}

#[test]
fn one_name_twice_in_a_turn_is_a_second_one() {
    for lines in [
        "shelf ledge of ply at 200mm\n shelf ledge of ply at 400mm",
        "repeat i from 1 to 2 {\n shelf ledge of ply at 150mm * i\n shelf ledge of ply at 150mm * i + 70mm\n }",
        "shelf ledge of ply at 600mm\n repeat i from 1 to 2 {\n shelf ledge of ply at 150mm * i\n }",
    ] {
        let found = errors(lines);
        assert!(
            found.iter().all(|code| *code == "name.twice"),
            "{lines}: {found:?}"
        );
        assert!(!found.is_empty(), "{lines}");
    }
}

#[test]
fn what_is_made_no_times_is_joined_to_nothing() {
    let spoken = "
    join ledge into left, right with dado deep 6mm
    join floor to   ledge       with butt
    band ledge on front of ash thick 6mm
    ";
    for none in [
        "repeat i from 1 to 0 {\n shelf ledge of ply at 100mm * i\n }",
        "if 1 > 2 {\n shelf ledge of ply at 100mm\n }",
        "if 1 < 2 {\n } else {\n shelf ledge of ply at 100mm\n }",
        "repeat i from 1 to 0 {\n divide inside downward {\n openings slot 2 {\n shelf ledge of ply\n }\n }\n }",
    ] {
        for line in spoken.trim().lines() {
            assert_eq!(errors(&format!("{none}\n{line}")), [""; 0], "{none} {line}");
        }
    }
    // A name that nothing declares is a slip all the same.
    for line in spoken.trim().lines() {
        assert_eq!(errors(line), ["name.unknown"], "{line}");
    }
    let slip =
        "if 1 > 2 {\n shelf ledge of ply at 100mm\n }\n join lege into left with dado deep 6mm";
    assert_eq!(errors(slip), ["name.unknown"]);
}

#[test]
fn a_part_of_the_same_turn_is_that_of_the_turn() {
    let within = "
    repeat i from 1 to 3 {
        shelf ledge of ply at 150mm * i
        join  ledge into left, right with dado deep 6mm
        band  ledge on front of ash thick 6mm
    }";
    let after = "
    repeat i from 1 to 3 {
        shelf ledge of ply at 150mm * i
    }
    join  ledge into left, right with dado deep 6mm
    band  ledge on front of ash thick 6mm
    ";
    let sizes = |lines: &str| {
        let all = parts(lines)
            .into_iter()
            .map(|p| (p.path, p.finished, p.cuts.len()));
        let mut all: Vec<_> = all.map(|p| format!("{p:?}")).collect();
        all.sort();
        all
    };
    assert_eq!(sizes(within), sizes(after));
    // Of two turns, that of the inner one.
    let inner = "
    repeat i from 1 to 2 {
        repeat k from 1 to 2 {
            shelf ledge of ply at 200mm * i + 90mm * k
            band  ledge on front of ash thick 6mm
        }
    }
    join ledge into left, right with dado deep 6mm
    ";
    assert_eq!(errors(inner), [""; 0]);
}

#[test]
fn an_extent_runs_between_elements() {
    let lines = "
    repeat i from 1 to 2 {
        shelf ledge of ply at 200mm * i
    }
    divider post of ply at 300mm high between ledge[1], ledge[2]
    join ledge into left, right with dado deep 6mm
    join post to ledge with butt
    ";
    let parts = parts(lines);
    let post = parts
        .iter()
        .find(|p| p.path == "body.post")
        .expect("it is made");
    // From 218 to 400.
    assert_eq!(post.size.length.min(post.size.width), Length::mm(182));
    let array = lines.replace("between ledge[1], ledge[2]", "between floor, ledge");
    assert_eq!(errors(&array), ["line.too_many"]);
    let none = lines.replace("ledge[2]", "ledge[3]");
    assert_eq!(errors(&none), ["name.unknown"]);
}

/// Three doors of one size are made alike; where their grain runs on from one to the next each has its own
/// place in the row, and says which.
#[test]
fn matched_doors_are_not_made_alike() {
    let doors = |matched: &str| {
        let compiled = compile(&format!(
            "divide inside rightward {{
                openings bay 3 {{
                    divider post of ply
                }}
            }}
            join post to floor, lid with butt
            door gate in bay of grained inset gap 2mm hung left {{
                hinge 2 of butt50
            }}
            {matched}
        }}
    }}
    stock grained sheet {{
        thick 18mm
        sold  long 2440mm wide 1220mm
        grain long
    }}
    hardware butt50 hinge {{
        mounts butt
        long   50mm
        wide   14mm
        thick  2mm
    }}
    piece other \"Other\" {{
        case body {{
            size   wide 600mm high 700mm deep 300mm
            side   left, right of ply
            bottom floor       of ply
            join   floor to left, right with butt"
        ));
        let model = compiled.model.expect("no errors");
        let groups = model.groups.into_iter();
        let doors = groups.filter(|group| group.label.starts_with("Gate"));
        doors
            .map(|group| (group.label, group.members.len()))
            .collect::<Vec<_>>()
    };
    let one = |label: &str| (label.to_owned(), 1);
    assert_eq!(doors(""), [("Gate, door".to_owned(), 3)]);
    let each = ["Gate 1, door", "Gate 2, door", "Gate 3, door"].map(one);
    assert_eq!(doors("matched gate"), each);
}
