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

/// An inner drawer stands behind an inset pair as far as it is set back; before a divided space doors
/// are as large as the whole: (564.8 - 2 - 2 - 2) / 2 = 279.4 by 664.8 - 2 x 2.
#[test]
fn doors_before_what_is_divided_or_drawn_out() {
    let behind = |back: &str| {
        case(
            "wide 600mm high 700mm deep 500mm",
            &format!(
                "{BACKED}
        doors pair in inside of ply18 inset gap 2mm {{
            hinge 2 of cup
        }}
        drawer tray in inside {back} {{
            box of ply12 high 100mm
            bottom of ply6 at 10mm
            join front, back into left, right with rabbet deep 5mm
            join bottom into left, right, front, back with groove deep 5mm
            runner of run450
        }}"
            ),
        )
    };
    assert_eq!(said(&behind("set_back 18mm"), PLAIN), [""; 0]);
    assert_eq!(
        said(&behind(""), PLAIN),
        ["fit.front_blocked: `tray` stands in the way of `pair.left`"]
    );
    let divided = case(
        "wide 600mm high 700mm deep 300mm",
        &format!(
            "{BOX}
        divide inside downward {{
            opening a high 200mm
            shelf s of ply18 set_back 20mm
            opening b
        }}
        join s into left, right with dado deep 5mm
        doors pair in inside of ply18 inset gap 2mm {{
            hinge 2 of cup
        }}"
        ),
    );
    let compiled = compiled(&divided);
    let model = compiled.model.as_ref().expect("it can be built");
    let leaf = model.pieces[0]
        .parts
        .iter()
        .find(|p| p.path == "body.pair.left")
        .expect("the left door");
    assert_eq!(leaf.size.length, Length::um(660_800));
    assert_eq!(leaf.size.width, Length::um(279_400));
}

/// 18 nominal over 17.6 measured; a board has no nominal thickness.
#[test]
fn a_part_knows_its_nominal_thickness() {
    let shelf = |at: &str| {
        case(
            "wide 600mm high 700mm deep 300mm",
            &format!(
                "{BOX}
        rail bar of ash thick 20mm deep 40mm at 500mm
        shelf s of ply18 at {at}
        join s into left, right with dado deep 5mm
        join bar to left, right with butt"
            ),
        )
    };
    let compiled = compiled(&shelf("roof.nominal * 10"));
    let model = compiled.model.as_ref().expect("it can be built");
    let s = model.pieces[0].parts.iter().find(|p| p.path == "body.s");
    assert_eq!(s.map(|p| p.core.lo[2]), Some(Length::mm(180)));
    assert_eq!(
        said(&shelf("bar.nominal * 10"), PLAIN),
        ["name.unknown: there is no member `nominal` here"]
    );
}

/// A clause may stand as a line of its head's block.
#[test]
fn the_size_may_be_a_block() {
    let text = format!(
        "{GOODS}
piece rack \"Rack\" {{
    case body {{
        size {{
            wide 600mm
            high 700mm
            deep 300mm
        }}{BOX}
    }}
}}
"
    );
    assert_eq!(said(&text, PLAIN), [""; 0]);
}

/// Bearers that nothing asks for are told of once, however much is said of them.
#[test]
fn runners_that_do_not_fit_are_one_mistake() {
    for (runner, codes) in [
        (
            "runner wooden of ash thick 20mm gap 1mm",
            &["name.word_not_here"][..],
        ),
        ("runner wooden of ash gap 1mm", &["name.word_not_here"]),
        ("runner wooden thick 20mm gap 1mm", &["name.word_not_here"]),
        ("runner of run450 thick 3mm", &["name.word_not_here"]),
        ("runner of run450", &[]),
    ] {
        let text = case(
            "wide 600mm high 700mm deep 500mm",
            &format!(
                "{BACKED}
        drawer tray in inside {{
            box of ply12 high 100mm
            bottom of ply6 at 10mm
            join front, back into left, right with rabbet deep 5mm
            join bottom into left, right, front, back with groove deep 5mm
            {runner}
        }}"
            ),
        );
        let errors: Vec<_> = compiled(&text)
            .diagnostics
            .iter()
            .filter(|d| d.is_error())
            .map(|d| d.code.name)
            .collect();
        assert_eq!(errors, codes, "{runner}");
    }
}

/// What no line takes yet is said to be so, and stands in the list of what is to come.
#[test]
fn words_that_are_not_built_say_so() {
    let all = casewright::schema::words(None).expect("the overview");
    let to_come = all.rsplit_once("not built yet: ").expect("the list").1;
    for word in ["packed", "pinned"] {
        assert!(to_come.contains(&format!("`{word}`")), "{word}");
        assert!(!all.contains(&format!("- `{word}`: ")), "{word}");
        let one = casewright::schema::words(Some(word)).expect("it is known");
        assert!(one.contains("not build it yet"), "{one}");
    }
    assert!(!to_come.contains("`wooden`") && all.contains("- `wooden`: "));
}

/// The roof's strip at its left end stands where the side enters it; edging the side's face would be
/// no way out.
#[test]
fn a_strip_where_another_part_enters() {
    for early in ["", "early"] {
        let text = case(
            "wide 600mm high 700mm deep 300mm",
            &format!(
                "
        side left, right of ply18
        bottom floor of ply18 at 50mm
        top roof of ply18 over left, right
        join left, right into roof with rabbet deep 6mm
        join floor into left, right with dado deep 5mm
        band left, right on front of ash thick 6mm {early}
        band floor on front of ash thick 6mm
        band roof on front, left, right of ash thick 6mm"
            ),
        );
        assert_eq!(
            said(&text, PLAIN),
            ["band.in_joint: `left` enters the left edge of `roof`, which has edging"]
        );
    }
}

/// Proud at every edge, a top between its sides reaches into them.
#[test]
fn a_top_that_is_proud_into_its_sides() {
    let top = |proud: &str| {
        case(
            "wide 600mm high 700mm deep 300mm",
            &format!(
                "
        side left, right of ply18
        bottom floor of ply18
        top roof of ply18 {proud}
        join floor, roof into left, right with rabbet deep 6mm"
            ),
        )
    };
    let compiled = compiled(&top("proud 10mm"));
    let report = compiled
        .diagnostics
        .iter()
        .find(|d| d.code.name == "join.apart")
        .expect("they do not touch");
    assert_eq!(report.labels[0].text, "reaches into `left`");
    assert_eq!(
        report.notes,
        ["they share 10 mm of space before they are joined; parts that are joined touch"]
    );
    assert_eq!(
        report.help[0],
        "name the edges that are proud, as in `proud 10mm on front`"
    );
    assert_eq!(said(&top("proud 10mm on front"), PLAIN), [""; 0]);
}

/// Words that would say nothing are refused: `over` where two parts want no corner alike, `mitred`
/// where no strip meets another.
#[test]
fn what_would_say_nothing_is_refused() {
    let with = |kick: &str, band: &str| {
        case(
            "wide 600mm high 700mm deep 300mm",
            &format!(
                "
        side left, right of ply18
        bottom floor of ply18 at 90mm
        top roof of ply18
        kick toe of ply18 set_back 50mm {kick}
        join floor into left, right with dado deep 6mm
        join roof into left, right with rabbet deep 6mm
        join toe to left, right with screws 2 of screw30
        band left, right, floor, roof on front of ash thick 6mm {band}"
            ),
        )
    };
    assert_eq!(said(&with("", ""), PLAIN), [""; 0]);
    assert_eq!(
        said(&with("over left", ""), PLAIN),
        ["name.word_not_here: `toe` and `left` share no corner"]
    );
    assert_eq!(
        said(&with("", "mitred"), PLAIN),
        ["name.word_not_here: the strip at the front of `left` meets no other at a mitre"]
    );
}

/// Every one of an array that is bare is named.
#[test]
fn the_bare_edges_of_an_array() {
    let text = case(
        "wide 600mm high 700mm deep 300mm",
        &format!(
            "{BOX}
        divide inside rightward {{
            openings cell 4 {{
                divider post of ply18
            }}
        }}
        join post into floor, roof with dado deep 5mm"
        ),
    );
    let compiled = compiled(&text);
    let report = compiled
        .diagnostics
        .iter()
        .find(|d| d.title.contains("edge of `post"))
        .expect("they are bare");
    assert_eq!(
        report.notes.last().map(String::as_str),
        Some("the same of: Post[2], edge at the front; Post[3], edge at the front")
    );
}

/// Two rows of the same kind are not called by one name.
#[test]
fn two_rows_of_holes_have_two_names() {
    let text = case(
        "wide 600mm high 700mm deep 300mm",
        &format!(
            "{BOX}
        shelves few 1 of ply18 in inside {{
            pins 4 of pin pitch 32mm set_back 40mm from 96mm to 224mm
        }}
        shelves more 1 of ply18 in inside {{
            pins 4 of pin pitch 32mm set_back 44mm from 96mm to 224mm
        }}"
        ),
    )
    .replace(
        "hardware cup hinge",
        "hardware pin pin {\n    thick 5mm deep 8mm\n}\nhardware cup hinge",
    );
    let titles = said(&text, PLAIN);
    assert!(
        titles.iter().any(|t| t.contains(
            "in `left`, the row of pin holes and another row of pin holes break into each other"
        )),
        "{titles:?}"
    );
}
