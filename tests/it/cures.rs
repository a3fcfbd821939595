//! Helps that follow from where things lie: each is taken, and the fault is gone.

use crate::support::Texts;
use casewright::Compiled;
use casewright::measure::Length;

const GOODS: &str = "
stock ash board {
    rough 27mm, 34mm, 52mm
}
stock ply6 sheet {
    thick 6mm measured 5.8mm
    sold  long 2440mm wide 1220mm
}
hardware knob pull {
    bore 4mm
}
hardware butt60 hinge {
    mounts butt
    long 60mm wide 16mm thick 2mm
}
";

fn compiled(lines: &str) -> Compiled {
    let text = format!("{GOODS}piece rack \"Rack\" {{\n    case body {{\n{lines}\n    }}\n}}\n");
    let files = Texts::of(&[("rack.case", &text)]);
    casewright::compile(&files, "rack.case", &Default::default()).expect("the text is there")
}

/// Code and helps of each error.
fn errors(lines: &str) -> Vec<(&'static str, Vec<String>)> {
    let found = compiled(lines).diagnostics;
    let errors = found.into_iter().filter(|d| d.is_error());
    errors.map(|d| (d.code.name, d.help)).collect()
}

/// A stile of 50 with a groove of 10.5 leaves 39.5: the pull sits in the middle of it, at 19 in whole
/// millimetres, and not over the groove.
#[test]
fn a_pull_gives_way_to_a_groove() {
    let door = |at: &str| {
        format!(
            "size wide 300mm high 500mm deep 200mm
        side left, right of ash thick 20mm
        bottom floor of ash thick 20mm
        top roof of ash thick 20mm over left, right
        join floor to left, right with butt
        join left, right to roof with butt
        divide inside downward {{
            opening bay
        }}
        door gate in bay of ash thick 20mm inset gap 2mm hung left {{
            frame of ash wide 50mm
            field of ply6
            join rails into stiles with mortise thick 6mm deep 30mm
            join field into stiles, rails with groove deep 10mm
            hinge 2 of butt60
            pull 1 of knob {at}
        }}"
        )
    };
    let help = "move the pull off the groove: `at 19mm from right` on its line";
    assert_eq!(
        errors(&door("")),
        [("cut.cuts_meet", vec![help.to_owned()])]
    );
    assert_eq!(errors(&door("at 19mm from right")), []);
}

/// Rails of 480 between stiles of 60 run out to both corners, 480 + 2 x 60 = 600 to the long points; the
/// stiles keep their 400. A key of 40 from the corner lies in the middle of the thickness.
#[test]
fn the_members_of_a_frame_are_mitred_at_its_corners() {
    let frame = |up: &str, with: &str| {
        format!(
            "size wide 600mm high 400mm deep 24mm
        stile l of ash thick 24mm wide 60mm at 0mm
        stile r of ash thick 24mm wide 60mm at 540mm
        rail  u of ash thick 24mm upright high 60mm at {up} wide from l.right to r.left
        rail  d of ash thick 24mm upright high 60mm at 0mm wide from l.right to r.left
        join  u, d to l, r with {with}"
        )
    };
    let keyed = compiled(&frame("340mm", "mitre keyed 1 of ply6 deep 40mm"));
    assert!(!keyed.has_errors(), "{:#?}", keyed.diagnostics);
    let piece = &keyed.model.expect("a model").pieces[0];
    let long = |name: &str| {
        let path = format!("body.{name}");
        piece
            .parts
            .iter()
            .find(|p| p.path == path)
            .unwrap()
            .size
            .length
    };
    assert_eq!(
        ["u", "d", "l", "r"].map(long),
        [600, 600, 400, 400].map(Length::mm)
    );
    let keys = piece.parts.iter().filter(|p| p.path.ends_with("_key"));
    assert_eq!(keys.count(), 4);
    for (up, with) in [
        ("300mm", "mitre"),
        ("340mm", "mitre splined of ply6 deep 10mm"),
    ] {
        let found = errors(&frame(up, with));
        assert_eq!(
            found.first().map(|e| e.0),
            Some("join.mitre_flat"),
            "{with}"
        );
    }
}

/// A shelf that a back closes in can't slide in from the rear; from the front it can.
#[test]
fn a_tapered_dovetail_slides_in_from_the_other_end() {
    let shelf = |end: &str| {
        format!(
            "size wide 600mm high 700mm deep 300mm
        side left, right of ash thick 20mm
        bottom floor of ash thick 20mm at 60mm
        shelf mid of ash thick 20mm at 300mm
        back rear of ply6
        join floor into left, right with dado deep 6mm
        join mid into left, right with dovetail sliding deep 8mm slope 8 tapered 1.5mm on {end}
        join rear into left, right, floor with rabbet deep 6mm"
        )
    };
    let found = errors(&shelf("front"));
    let helps = found.iter().flat_map(|(_, helps)| helps);
    assert!(
        helps
            .clone()
            .any(|h| h.contains("from the other end: `tapered … on rear`")),
        "{found:#?}"
    );
    assert_eq!(errors(&shelf("rear")), []);
}

/// The top lies on the rail of 18: a kicker of 20 would stand 2 into it.
#[test]
fn a_kicker_is_no_thicker_than_its_rail() {
    let table = |thick: &str| {
        format!(
            "size wide 800mm high 740mm deep 400mm
        side left, right of ash thick 30mm
        top board of ash thick 22mm over left, right
        back rear of ash thick 20mm
        join left, right to board with butt
        join rear to left, right with butt
        divide inside downward {{
            rail upper of ash thick 18mm deep 45mm
            opening till high 80mm
            rail lower of ash thick 18mm deep 45mm
            opening rest
        }}
        join upper, lower into left, right with mortise thick 6mm deep 15mm
        drawer tray in till gap 2mm on top {{
            box of ash thick 12mm
            bottom of ply6 at 8mm
            join left, right into front, back with dovetail through tails 2
            join bottom into left, right, front, back with groove deep 5mm
            runner wooden of ash thick {thick} gap 1mm
        }}"
        )
    };
    let found = errors(&table("20mm"));
    let helps = found.iter().flat_map(|(_, helps)| helps);
    assert!(
        helps.clone().any(|h| h.contains("at most 18 mm here")),
        "{found:#?}"
    );
    assert_eq!(errors(&table("18mm")), []);
}
