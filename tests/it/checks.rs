//! Checks that must say something, and checks that must not: pieces worked by hand, each with all the
//! codes that it gets. What the messages say in full is in `fails/`.

use crate::support::Texts;
use casewright::Compiled;
use casewright::measure::Length;
use casewright::model::Value;

const GOODS: &str = "
stock ply18 sheet {
    thick 18mm measured 17.6mm
    sold  long 2440mm wide 1220mm
    grain long
}
stock ply12 sheet {
    thick 12mm measured 11.8mm
    sold  long 2440mm wide 1220mm
    grain long
}
stock ply6 sheet {
    thick 6mm measured 5.6mm
    sold  long 2440mm wide 1220mm
    grain long
}
stock ash board {
    rough 27mm, 52mm
    wide  from 120mm to 220mm
    long  from 2m to 3m
}
hardware screw30 screw {
    long 30mm thick 3.5mm
}
hardware cup hinge {
    mounts cup
    bore   35mm deep 11mm set_in 4mm
    covers from 0mm to 20mm
}
hardware butt50 hinge {
    mounts butt
    long 50mm wide 14mm thick 2mm
}
hardware run450 runner {
    mounts side
    long 450mm beside 12.7mm above 6mm below 8mm
}
";

/// A case of the given size and lines.
fn case(size: &str, lines: &str) -> String {
    format!(
        "{GOODS}\npiece rack \"Rack\" {{\n    case body {{\n        size {size}\n{lines}\n    }}\n}}\n"
    )
}

fn compiled(text: &str) -> Compiled {
    let files = Texts::of(&[("rack.case", text)]);
    casewright::compile(&files, "rack.case", &Default::default()).expect("the text is there")
}

/// Codes and titles of what is said, leaving out some codes.
fn said(text: &str, but: &[&str]) -> Vec<String> {
    compiled(text)
        .diagnostics
        .iter()
        .filter(|d| !but.contains(&d.code.name))
        .map(|d| format!("{}: {}", d.code.name, d.title))
        .collect()
}

/// What every plain box of these tests has: edges without edging.
const PLAIN: &[&str] = &["show.bare_edge", "show.housing"];

const BOX: &str = "
        side left, right of ply18
        bottom floor of ply18
        top roof of ply18
        join floor, roof into left, right with rabbet deep 6mm";

const BACKED: &str = "
        side left, right of ply18
        bottom floor of ply18
        top roof of ply18
        back rear of ply6
        join floor, roof into left, right with rabbet deep 6mm
        join rear into left, right, floor, roof with rabbet deep 6mm";

/// Nothing of a mitred end lies in sight but its edge line.
#[test]
fn a_mitred_end_is_not_bare() {
    let text = case(
        "wide 600mm high 400mm deep 300mm",
        "
        side left, right of ply18
        top lid of ply18
        bottom floor of ply18
        join left, right to lid, floor with mitre
        band left, right, lid, floor on front of ash thick 6mm",
    );
    assert_eq!(said(&text, &[]), [""; 0]);
}

/// The shelf is 564.8 + 2 x 5 long; notched at both ends of its front edge, 564.8 show.
#[test]
fn what_is_cut_away_of_an_edge_does_not_show() {
    let text = case(
        "wide 600mm high 700mm deep 300mm",
        &format!(
            "{BOX}
        shelf s of ply18 at 300mm
        join s into left, right with dado deep 5mm stopped 12mm on front"
        ),
    );
    let compiled = compiled(&text);
    let found: Vec<_> = compiled
        .findings
        .iter()
        .filter(|f| f.code == "show.bare_edge" && f.subject == "S, edge at the front")
        .map(|f| f.figure.clone())
        .collect();
    assert_eq!(found, [Value::Length(Length::um(564_800))]);
}

/// The box lies on the wood that carries it: only the air above and beside it is judged.
#[test]
fn a_drawer_on_wood_has_no_gap_below() {
    let drawer = |gaps: &str| {
        format!(
            "{BACKED}
        drawer tray in inside {{
            box of ply12 high 100mm
            bottom of ply6 at 10mm
            join front, back into left, right with rabbet deep 5mm
            join bottom into left, right, front, back with groove deep 5mm
            {gaps}
            front of ash thick 20mm
        }}"
        )
    };
    let size = "wide 600mm high 700mm deep 500mm";
    let sound = case(size, &drawer("runner wooden gap 1mm\n gap 3mm on top"));
    assert_eq!(said(&sound, PLAIN), [""; 0]);
    let tight = case(size, &drawer("runner wooden gap 0.5mm\n gap 3mm on top"));
    assert_eq!(
        said(&tight, PLAIN),
        ["fit.front_gap: `tray.front` has a gap of only 0.5 mm at the left"]
    );
}

/// The pilot in the floor's rear edge is 11.8 / 2 ± 0.7 x 3.5 / 2 = 4.675 to 7.125 up; the dado goes
/// down to 11.8 - 5 - 0.5 = 6.3. The screw fills the one, the divider the other.
#[test]
fn a_screw_hole_that_opens_into_a_dado() {
    let text = case(
        "wide 620mm high 450mm deep 250mm",
        "
        side left, right of ply12
        bottom floor of ply12
        top roof of ply12
        back rear of ply6 over left, right, floor, roof
        divider slim of ply6 at 307.2mm
        join floor, roof into left, right with rabbet deep 5mm
        join slim into floor, roof with dado deep 5mm
        join rear to left, right, floor, roof with screws 3 of screw30",
    );
    assert_eq!(
        said(&text, PLAIN),
        [
            "cut.cuts_meet: in `floor`, the dado for `slim` and the screw hole toward `rear` break into each other"
        ]
    );
}

/// Two joints that both make room for the shelf are one mistake; screws beside a dado are none.
#[test]
fn two_joints_in_one_place() {
    let shelf = |second: &str| {
        case(
            "wide 600mm high 700mm deep 300mm",
            &format!(
                "{BOX}
        shelf s of ply18 at 300mm
        join s into left, right with dado deep 5mm stopped 12mm on front, rear
        {second}"
            ),
        )
    };
    assert_eq!(
        said(&shelf("join s into left, right with dado deep 5mm"), PLAIN),
        ["line.doubled: `s` is joined to `left` twice"]
    );
    assert_eq!(
        said(&shelf("join s into left with rabbet deep 5mm"), PLAIN),
        ["line.doubled: `s` is joined to `left` twice"]
    );
    assert_eq!(
        said(
            &shelf("join s to left, right with screws 2 of screw30"),
            PLAIN
        ),
        [""; 0]
    );
}
