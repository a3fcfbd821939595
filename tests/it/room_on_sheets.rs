//! What `check` lets pass, the layouts can place: a part that no sheet, board or strip yields is an error.

use crate::support::Texts;
use casewright::plan::layouts::plan_layouts;

/// A case whose lid is so wide, and the sheet and shop that it is made of and in.
fn text(wide: &str, shop: &str, of: &str) -> String {
    format!(
        "
stock ply sheet {{
    thick 18mm
    sold  long 2440mm wide 1220mm
    grain long
}}
stock plain sheet {{
    thick 18mm
    sold  long 2440mm wide 1220mm
    grain none
}}
stock ash board {{
    rough 27mm
    wide  from 100mm to 200mm
    long  from 2m to 2440mm
}}
stock tape edging {{
    thick 1mm
    wide  22mm
    long  2440mm
}}
shop {{
    {shop}
}}
piece p \"P\" {{
    case body {{
        size   wide {wide} high 300mm deep 300mm
        side   left, right of plain
        bottom floor       of plain wide 200mm
        top    lid         of {of} over left, right
        join   left, right to lid with butt
    }}
}}
"
    )
}

/// Whether `check` calls a part too long; it must say so just where the layouts can't place one.
fn too_long(text: &str) -> bool {
    let files = Texts::of(&[("a.case", text)]);
    let compiled = casewright::compile(&files, "a.case", &Default::default()).unwrap();
    let said = compiled
        .diagnostics
        .iter()
        .any(|d| d.code.name == "stock.part_long");
    let layouts = plan_layouts(
        compiled.model.as_ref().expect("a rule speaks of a model"),
        casewright::cutting::Effort::Quick,
    );
    let sheets = layouts.sheets.iter().any(|l| !l.unplaced.is_empty());
    let boards = layouts.boards.iter().any(|l| !l.unplaced.is_empty());
    let strips = layouts.strips.iter().any(|l| !l.unplaced.is_empty());
    assert_eq!(said, sheets || boards || strips, "{text}");
    said
}

/// 2440 - 2 x 5 - 3 = 2427 of a sheet; 2440 - 25 = 2415 of a board.
#[test]
fn trim_and_allowance_count() {
    for (of, most) in [("ply", 2427), ("plain", 2427), ("ash thick 18mm", 2415)] {
        for wide in 2410..2445 {
            let long = too_long(&text(&format!("{wide}mm"), "trim 5mm", of));
            assert_eq!(long, wide > most, "{of} {wide}");
        }
    }
    let third = text("7281mm / 3", "trim 5mm", "ply");
    assert!(!too_long(&third), "2427 exactly");
    assert!(too_long(&text("7282mm / 3", "trim 5mm", "ply")));
}

#[test]
fn a_shop_that_takes_nothing_off_uses_the_whole_sheet() {
    let shop = "trim 0mm\n rough sheets long 0mm wide 0mm";
    assert!(!too_long(&text("2440mm", shop, "ply")));
    assert!(too_long(&text("2441mm", shop, "ply")));
}

/// Strips stand longer than their panel until they are flushed, and are cut with the allowance of board.
#[test]
fn strips_of_board_and_ready_made_edging() {
    for (band, least, most) in [("ash thick 6mm", 2400, 2420), ("tape", 2405, 2425)] {
        let mut found = Vec::new();
        for wide in least..most {
            let text = text(&format!("{wide}mm"), "trim 0mm", "ply");
            let text = text.replace(
                "with butt\n",
                &format!("with butt\n        band   lid on front of {band}\n"),
            );
            found.push(too_long(&text));
        }
        assert!(
            found.contains(&true) && found.contains(&false),
            "{band} {found:?}"
        );
    }
}
