//! A dovetail that slides and narrows, worked by hand: `join ledge into left, right with dovetail sliding deep
//! 8mm slope 6 tapered 2mm stopped 15mm on front`, in a rack 600 x 600 x 300 with sides of 22 and a ledge of 20
//! with its underside at 300.

use crate::support::Texts;
use casewright::assembly::{joints_of, order};
use casewright::measure::{Length, Rational};
use casewright::model::{CutKind, Edge, Model, Solid};
use casewright::solid::Wood;

const RACK: &str = "stock oak board {
    rough 27mm, 34mm
}
piece rack \"Rack\" {
    case body {
        size   wide 600mm high 600mm deep 300mm
        side   left, right of oak thick 22mm
        bottom floor of oak thick 22mm at 40mm
        shelf  ledge of oak thick 20mm at 300mm
        join   floor into left, right with dado deep 8mm stopped 10mm on front
        join   ledge into left, right with dovetail sliding deep 8mm slope 6 HERE
    }
}
";

fn rack(taper: &str) -> Model {
    let text = RACK.replace("HERE", taper);
    let files = Texts::of(&[("a.case", text.as_str())]);
    let compiled = casewright::compile(&files, "a.case", &Default::default()).unwrap();
    assert!(!compiled.has_errors(), "{:?}", compiled.diagnostics.first());
    compiled.model.expect("no errors")
}

/// Millimetres from sixths.
fn sixths(n: i64) -> Length {
    Length::from_nm(Rational::new(i128::from(n) * 1_000_000, 6))
}

/// The housing in the left side, along whose width it runs: from the floor up, 300 at the rear; in front,
/// where it stops 15 behind the edge, it has risen by 2 x 285/300 = 1.9. Its mouth is 8/6 narrower on each
/// side than its ground, 20 at the rear; the upper wall stays at 320.
#[test]
fn the_lower_wall_of_the_housing_rises_to_the_front() {
    let model = rack("tapered 2mm stopped 15mm on front");
    let piece = &model.pieces[0];
    let left = piece
        .parts
        .iter()
        .find(|part| part.path == "body.left")
        .unwrap();
    let cut = left
        .cuts
        .iter()
        .find(|cut| cut.kind == CutKind::DovetailHousing)
        .unwrap();
    let Solid::Prism {
        outline,
        far: Some(far),
        lo,
        hi,
        ..
    } = &cut.solids[0]
    else {
        panic!("{:?}", cut.solids)
    };
    assert_eq!((*lo, *hi), (Length::mm(15), Length::mm(300)));
    let heights = |outline: &[[Length; 2]]| outline.iter().map(|c| c[0]).collect::<Vec<_>>();
    let risen = |n: i64| sixths(n * 6) + Length::um(1900);
    assert_eq!(
        heights(outline),
        [
            risen(300) + sixths(8),
            sixths(320 * 6 - 8),
            Length::mm(320),
            risen(300)
        ]
    );
    assert_eq!(
        heights(far),
        [
            sixths(300 * 6 + 8),
            sixths(320 * 6 - 8),
            Length::mm(320),
            Length::mm(300)
        ]
    );
}

/// The key: of the ledge's end, 8 x 20 x 300, goes at the rear a triangle 8 x 8/6 on each side, in front on
/// the lower side 2 more over all of the 8: in the mean 1 more. 15 at the front is the notch.
/// Left of the ledge: 572 x 300 x 20, less on each end 15 x 8 x 20 of notch and 285 long the two triangles and
/// the wedge, which is 2 thick at the front and 1.9 where the notch ends: 0.95 in the mean.
#[test]
fn the_wood_of_the_key() {
    let model = rack("tapered 2mm stopped 15mm on front");
    let piece = &model.pieces[0];
    let ledge = piece
        .parts
        .iter()
        .find(|part| part.path == "body.ledge")
        .unwrap();
    let volume = Wood::of(ledge).unwrap().volume().unwrap();
    let end = 15.0 * 8.0 * 20.0 + 285.0 * (2.0 * 8.0 * (8.0 / 6.0) / 2.0 + 0.95 * 8.0);
    assert!(
        (volume - (572.0 * 300.0 * 20.0 - 2.0 * end)).abs() < 1e-6,
        "{volume}"
    );
}

/// It slides in from its wide end only; one that is straight comes from either.
#[test]
fn it_goes_in_from_the_wide_end() {
    for (taper, way) in [
        ("tapered 2mm on front", Some(Edge::Front)),
        ("tapered 2mm on rear", Some(Edge::Rear)),
    ] {
        let model = rack(taper);
        let piece = &model.pieces[0];
        let joints = joints_of(piece, piece.cases[0].assembly);
        let order = order(piece, &joints).unwrap();
        assert!(order.stuck.is_empty());
        let ledge = piece
            .parts
            .iter()
            .find(|part| part.path == "body.ledge")
            .unwrap()
            .id;
        let of_ledge = |id: &casewright::model::JointId| {
            let joint = &piece.joints[id.0 as usize];
            joint.a == ledge
        };
        let closes = order
            .joins
            .iter()
            .find(|join| join.joints.iter().any(of_ledge))
            .unwrap();
        // Either the ledge is moved that way, or the sides the other.
        let moved = casewright::assembly::parts(&order.joins, closes.bodies[1]);
        let toward = match moved.contains(&ledge) {
            true => closes.way,
            false => closes.way.map(Edge::opposite),
        };
        assert_eq!(toward, way, "{taper}");
    }
}
