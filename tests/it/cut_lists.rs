//! Complete cut lists, worked by hand from the placement rules, with the arithmetic beside each
//! size. A part that is missing or extra fails; so does a size that is off by anything at all.

mod list;
mod pieces;

use crate::support::Texts;
use casewright::measure::{Length, Rational};
use casewright::model::{CutKind, Hand, Part, Piece, Solid};
use std::collections::BTreeMap;

/// One row: the part, its sawn length, width and thickness, as exact text (`mm`, or `in` with a
/// fraction).
type Row = (&'static str, [&'static str; 3]);

fn length(text: &str) -> Length {
    let (number, inch) = match text.strip_suffix("in") {
        Some(number) => (number, true),
        None => (text, false),
    };
    let mut sum = Rational::ZERO;
    for word in number.split(' ') {
        sum = sum
            + match word.split_once('/') {
                Some((n, d)) => Rational::new(n.parse().unwrap(), d.parse().unwrap()),
                None => Rational::parse_decimal(word).unwrap(),
            };
    }
    Length::from_mm(if inch {
        sum * Rational::new(254, 10)
    } else {
        sum
    })
}

fn built(files: &[(&str, &str)], entry: &str) -> Piece {
    let compiled = casewright::compile(&Texts::of(files), entry, &Default::default()).unwrap();
    let errors: Vec<_> = compiled
        .diagnostics
        .iter()
        .filter(|d| d.is_error())
        .collect();
    assert!(errors.is_empty(), "{errors:#?}");
    compiled.model.unwrap().pieces.remove(0)
}

fn compare(piece: &Piece, rows: &[Row]) {
    let mut parts: BTreeMap<&str, &Part> =
        piece.parts.iter().map(|p| (p.path.as_str(), p)).collect();
    let mut wrong = Vec::new();
    for (path, size) in rows {
        let Some(part) = parts.remove(path) else {
            wrong.push(format!("{path} is not there"));
            continue;
        };
        let wanted = size.map(length);
        let found = [part.size.length, part.size.width, part.size.thick];
        if wanted != found {
            wrong.push(format!("{path}: by hand {wanted:?}, found {found:?}"));
        }
    }
    wrong.extend(
        parts
            .keys()
            .map(|path| format!("{path} is not in the list worked by hand")),
    );
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

fn part<'p>(piece: &'p Piece, path: &str) -> &'p Part {
    piece
        .parts
        .iter()
        .find(|p| p.path == path)
        .unwrap_or_else(|| panic!("no part {path}"))
}

/// The low and high corners of the first box of a part's n-th cut of a kind, in the part's frame.
fn cut(part: &Part, kind: CutKind, n: usize) -> [[Length; 2]; 3] {
    let cut = part
        .cuts
        .iter()
        .filter(|c| c.kind == kind)
        .nth(n)
        .unwrap_or_else(|| panic!("no {kind:?}"));
    let Solid::Box(b) = &cut.solids[0] else {
        panic!("a box")
    };
    [[b.lo[0], b.hi[0]], [b.lo[1], b.hi[1]], [b.lo[2], b.hi[2]]]
}

fn mm(text: &str) -> Length {
    length(text)
}

fn score_cabinet() -> Piece {
    built(
        &[
            (
                "score_cabinet.case",
                include_str!("../../examples/music-school/score_cabinet.case"),
            ),
            (
                "stock.case",
                include_str!("../../examples/music-school/stock.case"),
            ),
            (
                "shop.case",
                include_str!("../../examples/music-school/shop.case"),
            ),
        ],
        "score_cabinet.case",
    )
}

/// The score cabinet, 900 x 760 x 460, sheet of 17.6 as measured.
///
/// Between the sides 900 - 2 x 17.6 = 864.8. The lid's underside is at 760 - 17.6 = 742.4, the
/// floor's upper face at 90 + 17.6 = 107.6, the back's front face at 460 - 6 = 454.
#[test]
fn the_score_cabinet() {
    let piece = score_cabinet();
    compare(
        &piece,
        &[
            // up to the lid 742.4 + tongue 6; deep 460 less the lipping 8
            ("body.left", ["748.4", "452", "17.6"]),
            ("body.right", ["748.4", "452", "17.6"]),
            // 742.4 from the ground to the lid; 8 thick and its tongue 5
            ("body.left.band_front", ["742.4", "17.6", "13"]),
            ("body.right.band_front", ["742.4", "17.6", "13"]),
            // 864.8 + 2 x 5 into the sides; 460 - 8
            ("body.floor", ["874.8", "452", "17.6"]),
            ("body.floor.band_front", ["864.8", "17.6", "13"]),
            // to the back's front face 454, less 8
            ("body.deck", ["874.8", "446", "17.6"]),
            ("body.deck.band_front", ["864.8", "17.6", "13"]),
            // 930 x 475 with what is proud, less the lipping of 15 on three edges
            ("body.lid", ["900", "460", "17.6"]),
            // mitred, to the long points: 900 + 2 x 15, and 460 + 15; 15 + tongue 5
            ("body.lid.band_front", ["930", "17.6", "20"]),
            ("body.lid.band_left", ["475", "17.6", "20"]),
            ("body.lid.band_right", ["475", "17.6", "20"]),
            // up: 742.4 - 107.6 + 2 x 8; across: 864.8 + 2 x 8
            ("body.rear", ["650.8", "880.8", "6"]),
            // under the floor, between the sides
            ("body.toe", ["864.8", "90", "17.6"]),
            // the cupboard is 742.4 - 130 - 17.6 - 107.6 = 487.2 high. Doors: 487.2 + 7.3 above,
            // (17.6 - 3)/2, + 16.1 below, 17.6 - 1.5, = 510.6; wide (864.8 + 2 x 16.1 - 3)/2 = 447;
            // less lipping 6 all round
            ("body.gates.left", ["498.6", "435", "17.6"]),
            ("body.gates.right", ["498.6", "435", "17.6"]),
            // top and bottom first, so between the others: 447 - 2 x 6; 6 + tongue 5
            ("body.gates.left.band_top", ["435", "17.6", "11"]),
            ("body.gates.left.band_bottom", ["435", "17.6", "11"]),
            ("body.gates.left.band_left", ["510.6", "17.6", "11"]),
            ("body.gates.left.band_right", ["510.6", "17.6", "11"]),
            ("body.gates.right.band_top", ["435", "17.6", "11"]),
            ("body.gates.right.band_bottom", ["435", "17.6", "11"]),
            ("body.gates.right.band_left", ["510.6", "17.6", "11"]),
            ("body.gates.right.band_right", ["510.6", "17.6", "11"]),
            // 864.8 - 2 x 1; 454 - 30 - 1 = 423, less 8
            ("body.loose.1", ["862.8", "415", "17.6"]),
            ("body.loose.2", ["862.8", "415", "17.6"]),
            ("body.loose.1.band_front", ["862.8", "30", "13"]),
            ("body.loose.2.band_front", ["862.8", "30", "13"]),
            // the box is 864.8 - 2 x 12.7 = 839.4 wide and 400 deep. Sides stop 3 short in the front
            ("body.tray.left", ["397", "100", "12"]),
            ("body.tray.right", ["397", "100", "12"]),
            // runs out to both outer corners
            ("body.tray.front", ["839.4", "100", "12"]),
            // 839.4 - 2 x 12 + 2 x 5; above the bottom: 100 - 10 - 6
            ("body.tray.back", ["825.4", "84", "12"]),
            // 815.4 + 2 x 5; from 5 in the front, 12 - 5 = 7, to the rear of the box: 400 - 7
            ("body.tray.bottom", ["825.4", "393", "6"]),
            // 864.8 + 2 x 16.1 = 897 less 12; the lid is proud, so 3 below it: 130 - 3 + 7.3 = 134.3 less 12
            ("body.tray.face", ["885", "122.3", "17.6"]),
            ("body.tray.face.band_top", ["885", "17.6", "11"]),
            ("body.tray.face.band_bottom", ["885", "17.6", "11"]),
            ("body.tray.face.band_left", ["134.3", "17.6", "11"]),
            ("body.tray.face.band_right", ["134.3", "17.6", "11"]),
        ],
    );
}

/// The cuts of its sides: a dado 17.6 + 0.1 wide and 5 + 0.5 deep at 90 and at 594.8 (742.4 - 130 -
/// 17.6), the deck's ending with the deck; the tongue notched by 10; the rabbet from 99.6 (107.6 - 8).
#[test]
fn the_score_cabinets_sides() {
    let piece = score_cabinet();
    let side = part(&piece, "body.left");
    assert_eq!(
        cut(side, CutKind::Dado, 0),
        [
            [mm("90"), mm("107.7")],
            [mm("0"), mm("452")],
            [mm("0"), mm("5.5")]
        ]
    );
    assert_eq!(
        cut(side, CutKind::Dado, 1),
        [
            [mm("594.8"), mm("612.5")],
            [mm("0"), mm("446")],
            [mm("0"), mm("5.5")]
        ]
    );
    assert_eq!(
        cut(side, CutKind::Notch, 0),
        [
            [mm("742.4"), mm("748.4")],
            [mm("442"), mm("452")],
            [mm("6.8"), mm("10.8")]
        ]
    );
    assert_eq!(
        cut(side, CutKind::Rabbet, 0),
        [
            [mm("99.6"), mm("748.4")],
            [mm("446"), mm("452")],
            [mm("0"), mm("8")]
        ]
    );
    // The lid's grooves: (17.6 - 4)/2 = 6.8 from either end; the room 0.1 lies inward.
    let lid = part(&piece, "body.lid");
    assert_eq!(cut(lid, CutKind::Dado, 0)[0], [mm("6.8"), mm("10.9")]);
    assert_eq!(cut(lid, CutKind::Dado, 1)[0], [mm("889.1"), mm("893.2")]);
    // Pins: 107.6 + 96 = 203.6 to 203.6 + 10 x 32 = 523.6; rows at 67 - 8 = 59 and, as far inside the
    // shelf's rear edge (453) as the front row is inside its front one (67 - 30), 416 - 8 = 408.
    let rows: Vec<_> = piece.shelves[0]
        .rows
        .iter()
        .map(|r| (r.first_z, r.count, r.set_back))
        .collect();
    assert_eq!(rows[0], (mm("203.6"), 11, mm("67")));
    assert_eq!(rows[1], (mm("203.6"), 11, mm("416")));
}

/// The two sides are one part in two hands.
#[test]
fn hands_are_found_by_geometry() {
    let files = [
        (
            "score_cabinet.case",
            include_str!("../../examples/music-school/score_cabinet.case"),
        ),
        (
            "stock.case",
            include_str!("../../examples/music-school/stock.case"),
        ),
        (
            "shop.case",
            include_str!("../../examples/music-school/shop.case"),
        ),
    ];
    let compiled = casewright::compile(
        &Texts::of(&files),
        "score_cabinet.case",
        &Default::default(),
    )
    .unwrap();
    let model = compiled.model.unwrap();
    let group = |path: &str| {
        let id = model.pieces[0]
            .parts
            .iter()
            .find(|p| p.path == path)
            .unwrap()
            .id;
        let group = model
            .groups
            .iter()
            .find(|g| g.members.iter().any(|(at, _)| at.part == id))
            .unwrap();
        let hand = group
            .members
            .iter()
            .find(|(at, _)| at.part == id)
            .unwrap()
            .1;
        (group.mark, hand)
    };
    let ((left, l), (right, r)) = (group("body.left"), group("body.right"));
    assert_eq!((left, l, r), (right, Some(Hand::Left), Some(Hand::Right)));
    assert_eq!(group("body.loose.1"), group("body.loose.2"));
    assert_ne!(group("body.floor").0, group("body.deck").0);
}

const INSTRUMENT_PRESS: &str = r#"
edition 1
/// Maple plywood, three quarters by name.
stock ply sheet {
    thick 3/4in measured 23/32in
    sold  long 96in wide 48in
    grain long
}
stock ply_half sheet {
    thick 1/2in measured 15/32in
    sold  long 96in wide 48in
}
stock ply_quarter sheet {
    thick 1/4in measured 7/32in
    sold  long 96in wide 48in
}
stock maple board {
    rough 1in
}
stock tape edging {
    thick 1/32in wide 7/8in
}
piece press "Instrument press" {
    units in 1/32in
    case body {
        size   wide 36in high 30in deep 18in
        side   left, right of ply
        bottom floor of ply
        top    roof  of maple thick 3/4in over left, right
        back   rear  of ply_quarter
        divide inside downward {
            opening tray_hole high 5in
            shelf   web of ply
            opening bin
        }
        join floor, web into left, right       with dado_rabbet thick 3/8in deep 1/4in stopped 5/16in on rear
        join left, right into roof             with tongue thick 1/4in deep 3/8in stopped 5/16in on rear
        join rear into left, right, roof, floor with rabbet deep 3/8in
        band left, right, floor, web on front of tape
        drawer tray in tray_hole gap 1/16in {
            box    of maple thick 1/2in
            bottom of ply_quarter at 1/4in
            join   left, right into front, back with dovetail through tails 3 slope 8
            join   bottom into left, right, front, back with groove deep 1/4in
            runner wooden gap 1/32in
        }
    }
}
"#;

/// In inches, stock under nominal: 23/32 for 3/4. Between the sides 36 - 2 x 23/32 = 34 9/16; the
/// roof's underside at 30 - 3/4 = 29 1/4; the back's front face at 18 - 7/32 = 17 25/32.
#[test]
fn an_instrument_press_in_inches() {
    let piece = built(&[("press.case", INSTRUMENT_PRESS)], "press.case");
    compare(
        &piece,
        &[
            // 29 1/4 + 3/8; 18 - 1/32
            ("body.left", ["29 5/8in", "17 31/32in", "23/32in"]),
            ("body.right", ["29 5/8in", "17 31/32in", "23/32in"]),
            ("body.left.band_front", ["29 1/4in", "23/32in", "1/32in"]),
            ("body.right.band_front", ["29 1/4in", "23/32in", "1/32in"]),
            // 34 9/16 + 2 x 1/4
            ("body.floor", ["35 1/16in", "17 31/32in", "23/32in"]),
            ("body.floor.band_front", ["34 9/16in", "23/32in", "1/32in"]),
            // to the back: 17 25/32 - 1/32
            ("body.web", ["35 1/16in", "17 3/4in", "23/32in"]),
            ("body.web.band_front", ["34 9/16in", "23/32in", "1/32in"]),
            ("body.roof", ["36in", "18in", "3/4in"]),
            // up: 29 1/4 - 23/32 + 2 x 3/8 = 29 9/32; across: 34 9/16 + 3/4
            ("body.rear", ["29 9/32in", "35 5/16in", "7/32in"]),
            // box: 34 9/16 - 2/32 = 34 1/2 wide; 5 - 1/16 = 4 15/16 high;
            // 17 25/32 less the stop of 10 mm deep: 451.64375 - 10 = 441.64375 mm
            ("body.tray.left", ["441.64375", "4 15/16in", "1/2in"]),
            ("body.tray.right", ["441.64375", "4 15/16in", "1/2in"]),
            ("body.tray.front", ["34 1/2in", "4 15/16in", "1/2in"]),
            ("body.tray.back", ["34 1/2in", "4 15/16in", "1/2in"]),
            // within all four: 34 1/2 - 2 x 1/2 + 2 x 1/4 = 34; 441.64375 - 25.4 + 12.7 = 428.94375
            ("body.tray.bottom", ["34in", "428.94375", "7/32in"]),
        ],
    );
    // The tongue of a dado and rabbet is on the inner half: the web stands at 29 1/4 - 5 - 23/32 =
    // 23 17/32, its tongue 3/8 thick. The web is nearer the top, so its inner half is the lower one.
    let side = part(&piece, "body.left");
    let dado = cut(side, CutKind::Dado, 1);
    assert_eq!(
        dado[0],
        [
            length("23 17/32in"),
            length("23 17/32in") + length("3/8in") + mm("0.1")
        ]
    );
    assert_eq!(dado[2][1], length("1/4in") + mm("0.5"));
}

const TUNING_CHEST: &str = r#"
edition 1
stock birch18 sheet {
    thick 18mm
    sold  long 2440mm wide 1220mm
    grain long
}
stock birch12 sheet {
    thick 12mm
    sold  long 2440mm wide 1220mm
}
stock birch6 sheet {
    thick 6mm
    sold  long 2440mm wide 1220mm
}
hardware butt50 hinge {
    long 50mm wide 17mm thick 1.5mm
}
hardware run350 runner {
    mounts side
    long   350mm
    beside 12.7mm
    above  6mm
    below  8mm
}
pattern drawer small {
    param tall = 80mm
    box    of birch12 high tall
    bottom of birch6 at 8mm
    join   front into left, right with rabbet deep 6mm
    join   back into left, right with dado deep 6mm
    join   bottom into left, right, front, back with groove deep 4mm
    runner of run350
    face   of birch18 overlay reveal 2mm gap 3mm
}
piece chest "Tuning chest" {
    case body {
        size   wide 800mm high 900mm deep 400mm
        side   left, right of birch18
        bottom floor of birch18 at 60mm
        rail   front_rail of birch18 deep 80mm at 0mm from top
        rail   rear_rail  of birch18 deep 80mm at 0mm from top set_in 6mm
        back   rear  of birch6 over left, right, floor
        kick   toe   of birch18 set_back 40mm
        divide inside downward {
            opening row high 130mm
            shelf   deck of birch18
            opening room
        }
        divide row rightward {
            openings slot 3 by faces {
                divider post of birch18
            }
        }
        join floor, deck into left, right with dado deep 6mm
        join post into deck, front_rail, rear_rail with dado deep 6mm
        join front_rail, rear_rail into left, right with rabbet deep 6mm
        join rear to left, right, floor, rear_rail with butt
        join toe to left, right, floor with butt
        drawer box in slot like small(tall: 90mm) {
            back set_in 20mm
        }
        doors pair in room of birch18 inset gap 2mm {
            hinge 2 of butt50
        }
    }
}
"#;

/// Inset doors, a divided row of drawers, a planted back, rails for a top.
///
/// Between the sides 800 - 36 = 764. The back is planted over the sides and the floor, 6 thick: its
/// front face at 394, so sides are 394 deep. The rails bound the inside at 900 - 18 = 882; the row is
/// 882 to 752, the deck 752 to 734, the room 734 to 78.
#[test]
fn a_tuning_chest_with_a_divided_row() {
    let piece = built(&[("chest.case", TUNING_CHEST)], "chest.case");
    let mut rows: Vec<Row> = vec![
        ("body.left", ["900", "394", "18"]),
        ("body.right", ["900", "394", "18"]),
        // 764 + 2 x 6; planted back: 394
        ("body.floor", ["776", "394", "18"]),
        ("body.deck", ["776", "394", "18"]),
        ("body.front_rail", ["776", "80", "18"]),
        ("body.rear_rail", ["776", "80", "18"]),
        // over the sides and the floor: the whole envelope
        ("body.rear", ["900", "800", "6"]),
        ("body.toe", ["764", "60", "18"]),
        // in the row, 130 + 2 x 6; to the back 394
        ("body.post[1]", ["142", "394", "18"]),
        ("body.post[2]", ["142", "394", "18"]),
        // (764 - 3 x 2)/2 wide; 734 - 78 - 2 x 2 high
        ("body.pair.left", ["652", "379", "18"]),
        ("body.pair.right", ["652", "379", "18"]),
    ];
    // By faces: outer cover 18 - 2 = 16, gap 3: (764 + 32 - 6)/3 = 790/3 each, so the outer
    // openings are 790/3 - 16 - (18 - 3)/2 = 1439/6, the middle one 790/3 - 15 = 745/3.
    // Face high: 130 above the deck, which it covers by 16 (the doors below are inset), and up over
    // the rail by 16: 162.
    // Box: the opening less 25.4; high 90; deep 350.
    let sides = ["350", "90", "12"];
    for (i, wide) in [("1", "6433/30"), ("2", "3344/15"), ("3", "6433/30")] {
        // 1439/6 - 25.4 = 6433/30; 745/3 - 25.4 = 3344/15. Fronts: less 2 x 12, plus 2 x 6.
        let (front, bottom): (&str, &str) = if i == "2" {
            ("3164/15", "3104/15")
        } else {
            ("6073/30", "5953/30")
        };
        let _ = wide;
        let name = |part: &str| -> &'static str {
            Box::leak(format!("body.box[{i}].{part}").into_boxed_str())
        };
        rows.push((name("left"), sides));
        rows.push((name("right"), sides));
        rows.push((name("front"), [front, "90", "12"]));
        rows.push((name("back"), [front, "90", "12"]));
        // Between the sides plus 2 x 4; from the front (12) to the back (350 - 20 - 12 = 318) plus 2 x 4.
        rows.push((name("bottom"), [bottom, "314", "6"]));
        rows.push((name("face"), ["790/3", "162", "18"]));
    }
    compare(&piece, &rows);
}
