//! Drawings of whole pieces, from text: everything fits the measure, no lettering lies on another,
//! and the same text gives the same drawing.

use crate::support::Texts;
use casewright::draw::elevation::{HIGH, MEASURE, front_and_section, plan_and_side};
use casewright::draw::exploded::exploded;
use casewright::draw::joint::details;
use casewright::draw::part_face::part_face;
use casewright::draw::part_section::{cut_section, wants_section};
use casewright::draw::part_small::{both_hands, plain_part};
use casewright::draw::text::Content;
use casewright::draw::{Scene, svg};
use casewright::model::{CutKind, Hand, Model};
use casewright::plan::setups::Setting;

const STOCK: &str = r#"
stock oak18 sheet {
    thick 18mm measured 17.6mm
    sold  long 2440mm wide 1220mm
    grain long
}
stock ply6 sheet {
    thick 6mm
    sold  long 2440mm wide 1220mm
    grain long
}
stock ply12 sheet {
    thick 12mm
    sold  long 1525mm wide 1525mm
    grain long
}
stock oak board {
    species white_oak
    rough   27mm, 52mm
    wide    from 120mm to 220mm
    long    from 2.4m to 3m
}
use std
pattern band lipping of oak thick 8mm with tongue thick 4mm deep 5mm
hardware cup_hinge hinge {
    mounts cup
    bore   35mm deep 13mm set_in 4mm
    covers from 14mm to 18mm
}
hardware knob pull {
    bore 4.5mm
}
hardware pin5 pin {
    thick 5mm deep 10mm
}
hardware biscuit20 biscuit {
    long 56mm wide 23mm thick 4mm
}
"#;

/// A cabinet with doors over a drawer, a lid that stands proud, everything lipped.
const CABINET: &str = r#"
piece cabinet "Score cabinet" {
    units mm
    case body {
        size   wide 900mm high 760mm deep 460mm
        side   left, right of oak18
        bottom floor       of oak18 at 90mm
        top    lid         of oak18 over left, right proud 15mm on front, left, right
        back   rear        of ply6
        kick   toe         of oak18 set_back 50mm
        divide inside downward {
            opening well high 130mm
            shelf   deck of oak18
            opening cupboard
        }
        join floor, deck into left, right             with dado   deep 5mm
        join left, right into lid                     with tongue thick 4mm deep 6mm stopped 10mm on rear
        join rear        into left, right, lid, floor with rabbet deep 8mm
        join toe         to   left, right             with biscuits 1 of biscuit20
        band left, right, floor, deck on front like lipping
        band lid on front, left, right like lipping thick 15mm mitred
        doors gates in cupboard of oak18 overlay reveal 1.5mm gap 3mm {
            hinge 2 of cup_hinge
            pull  1 of knob at 60mm from top at 40mm from meeting
        }
        shelves loose 2 of oak18 in cupboard set_back 30mm gap 1mm {
            pins 4 of pin5 pitch 32mm set_back 67mm from 96mm to 416mm
        }
    }
}
"#;

/// A tall bookcase in inches, with figures that are mostly fractions.
const BOOKCASE: &str = r#"
piece bookcase "Bookcase" {
    units in
    case tall {
        size   wide 36in high 84in deep 11 7/8in
        side   left, right of oak18
        bottom floor of oak18 at 3in
        top    crown of oak18
        back   rear of ply6
        kick   toe of oak18 set_back 2in
        divide inside downward {
            opening high_up
            shelf   fix1 of oak18
            opening mid
            shelf   fix2 of oak18
            opening low high 13 1/4in
        }
        join floor, crown, fix1, fix2 into left, right with dado deep 1/4in
        join rear into left, right, floor, crown with rabbet deep 3/8in
        join toe to left, right with biscuits 1 of biscuit20
        band left, right, floor, crown, fix1, fix2 on front like lipping
    }
}
"#;

/// Twelve drawers on wood, in three columns.
const CHEST: &str = r#"
piece chest "Reed chest" {
    units mm
    case body {
        size   wide 1200mm high 800mm deep 450mm
        side   left, right of oak18
        bottom floor of oak18 at 60mm
        top    crown of oak18 over left, right
        back   rear of ply6
        divide inside rightward {
            openings bay 3 {
                divider post of oak18
            }
        }
        divide bay downward {
            openings till 4 {
                shelf ledge of oak18
            }
        }
        join floor into left, right with dado deep 5mm
        join left, right into crown with rabbet deep 6mm
        join post into floor, crown with dado deep 5mm
        join ledge into left, right, post with dado deep 3mm
        join rear into left, right, crown, floor with rabbet deep 8mm
        drawer tray in till {
            box    of ply12 high 100mm
            bottom of ply6 at 10mm
            join   front, back into left, right with dado_rabbet deep 5mm thick 5mm
            join   bottom into left, right, front, back with groove deep 5mm
            runner wooden gap 1mm
            face   of oak18 inset gap 2mm
            pull   1 of knob
        }
    }
}
"#;

/// A box for the hand.
const BOX: &str = r#"
piece rosin_box "Rosin box" {
    units mm
    case box {
        size   wide 150mm high 60mm deep 100mm
        side   left, right of ply6
        bottom floor of ply6 at 8mm
        back   rear of ply6
        front  fore of ply6
        join   floor into left, right with dado deep 2mm
    }
}
"#;

/// One board and its lipping.
const BOARD: &str = r#"
piece board "Shelf board" {
    units mm
    case one {
        size   wide 1800mm high 17.6mm deep 300mm
        top    plank of oak18
        band   plank on front like lipping
    }
}
"#;

const PIECES: [(&str, &str); 5] = [
    ("cabinet", CABINET),
    ("bookcase", BOOKCASE),
    ("chest", CHEST),
    ("box", BOX),
    ("board", BOARD),
];

fn model(piece: &str) -> Model {
    let text = format!("edition 1\n{STOCK}{piece}");
    let files = Texts::of(&[("piece.case", &text)]);
    let out = casewright::elaborate::elaborate(&files, "piece.case", &Default::default())
        .expect("the file can be read");
    let errors: Vec<_> = out.diagnostics.iter().filter(|d| d.is_error()).collect();
    assert!(errors.is_empty(), "{errors:#?}");
    out.model.expect("no errors, so there is a model")
}

/// Every drawing of a piece, with what it is of.
fn drawings(model: &Model) -> Vec<(String, Scene)> {
    let piece = &model.pieces[0];
    let mut out = Vec::new();
    let joints = details(model, 0);
    if let Some(drawn) = front_and_section(model, piece, &joints) {
        out.push(("front".to_owned(), drawn.scene));
    }
    if let Some(drawn) = plan_and_side(piece, &joints) {
        out.push(("plan".to_owned(), drawn.scene));
    }
    if let Some(scene) = exploded(model, 0, (MEASURE, HIGH)) {
        out.push(("exploded".to_owned(), scene));
    }
    for detail in joints {
        out.push((format!("detail {}", detail.caption), detail.scene));
    }
    for part in &piece.parts {
        if part.cuts.is_empty() {
            out.push((format!("plain {}", part.path), plain_part(piece, part).0));
            continue;
        }
        let number = |i: usize| Some((i + 1).to_string());
        let face = part_face(piece, part, Some(Hand::Left), &number);
        out.push((format!("face {}", part.path), face.scene));
        out.push((format!("hands {}", part.path), both_hands(part, Hand::Left)));
        for cut in part.cuts.iter().filter(|c| wants_section(c)) {
            if let Some(drawn) = cut_section(model, piece, part, cut) {
                out.push((format!("{:?} of {}", cut.kind, part.path), drawn.scene));
            }
        }
    }
    out
}

#[test]
fn every_drawing_fits_the_measure_and_says_what_it_is() {
    for (name, text) in PIECES {
        let model = model(text);
        let all = drawings(&model);
        assert!(all.len() > 4, "{name}");
        for (what, scene) in all {
            assert!(
                scene.width <= MEASURE + 0.5,
                "{name}, {what}: {}",
                scene.width
            );
            assert!(scene.height <= 230.0, "{name}, {what}: {}", scene.height);
            assert!(!scene.title.is_empty(), "{name}, {what}");
            let ink = scene.extent().expect("something is drawn");
            assert!(ink.x0 >= 0.0 && ink.y0 >= 0.0, "{name}, {what}");
            assert!(
                ink.x1 <= scene.width && ink.y1 <= scene.height,
                "{name}, {what}"
            );
        }
    }
}

#[test]
fn no_lettering_lies_on_another() {
    let mut bad = Vec::new();
    for (name, text) in PIECES {
        let model = model(text);
        for (what, scene) in drawings(&model) {
            let letters = scene.lettering();
            for (i, (a, ia)) in letters.iter().enumerate() {
                for (b, ib) in &letters[i + 1..] {
                    // A hair of overlap can't be seen: white round the letters belongs to them.
                    if ia.grown(-0.15).overlaps(&ib.grown(-0.15)) {
                        bad.push(format!(
                            "{name}, {what}: `{}` on `{}`",
                            a.content.plain(),
                            b.content.plain()
                        ));
                    }
                }
            }
        }
    }
    assert!(bad.is_empty(), "{bad:#?}");
}

#[test]
fn the_same_text_gives_the_same_drawings() {
    let draw = || -> Vec<String> {
        let model = model(CABINET);
        drawings(&model)
            .iter()
            .map(|(_, s)| svg::write(s))
            .collect()
    };
    assert_eq!(draw(), draw());
}

/// Sizes that can be worked by hand stand in the front view and section: 900 - 2 x 17.6 = 864.8;
/// 760 - 90 - 3 x 17.6 - 130 = 487.2; 460 - 6 = 454.
#[test]
fn the_clear_sizes_are_lettered() {
    let model = model(CABINET);
    let drawn = front_and_section(&model, &model.pieces[0], &[]).expect("it is drawn");
    let letters: Vec<String> = drawn
        .scene
        .lettering()
        .iter()
        .map(|(text, _)| text.content.plain())
        .collect();
    for figure in [
        "900", "864.8", "487.2", "130", "454", "760", "460", "15", "50",
    ] {
        assert!(letters.iter().any(|l| l == figure), "{figure}: {letters:?}");
    }
}

/// The side's dado for the deck: 90 + 17.6 + 487.2 = 594.8 up; its figure runs from the ring.
#[test]
fn a_part_sheet_runs_from_the_reference_end() {
    let model = model(CABINET);
    let piece = &model.pieces[0];
    let side = piece
        .parts
        .iter()
        .find(|p| p.path == "body.left")
        .expect("a side");
    let face = part_face(piece, side, Some(Hand::Left), &|_| None);
    let letters: Vec<String> = face
        .scene
        .lettering()
        .iter()
        .map(|(text, _)| text.content.plain())
        .collect();
    for figure in ["0", "594.8", "612.5", "748.4", "203.6", "523.6", "446.0"] {
        assert!(letters.iter().any(|l| l == figure), "{figure}: {letters:?}");
    }
}

/// What is bored when the edging is on stands on the part sheet with the figures that the machine
/// is set to: the plan's own, which count from the finished edge.
#[test]
fn bores_after_edging_are_figured_from_the_finished_edge() {
    // Doors with edging all round, as in the example commission.
    let hinge = "hinge 2 of cup_hinge\n";
    let edging = format!("{hinge}band on all like lipping thick 6mm\n");
    let model = model(&CABINET.replace(hinge, &edging));
    let setups = casewright::plan::make(&model).setups;
    let (mut seen, mut edged) = (0, 0);
    for op in setups.cards.iter().flat_map(|card| card.operations()) {
        let (Setting::Points(points), Some(CutKind::CupBore | CutKind::PullHole)) =
            (&op.setting, op.kind)
        else {
            continue;
        };
        let (piece, part) = model.part(op.at);
        let face = part_face(piece, part, None, &|_| None);
        let letters: Vec<String> = face
            .scene
            .lettering()
            .iter()
            .map(|(text, _)| text.content.plain())
            .collect();
        for figure in points.iter().flatten() {
            let figure = Content::new()
                .figure(&piece.units.setting(*figure), true)
                .plain();
            assert!(
                letters.contains(&figure),
                "{}: {figure}: {letters:?}",
                part.path
            );
            seen += 1;
        }
        assert_eq!(face.edged, letters.iter().any(|l| l == "after edging"));
        edged += usize::from(face.edged);
    }
    assert!(seen > 8 && edged > 2, "{seen}, {edged}");
}
