//! Layouts, glue-up, finishing and buying, from text to plan, with figures worked by hand.

use crate::support::Texts;
use casewright::book::{self, Facts, Paper, Templates};
use casewright::elaborate::{Options, elaborate};
use casewright::measure::{Length, Rational};
use casewright::model::Model;
use casewright::plan::buying::{Money, Section};
use casewright::plan::glue_up::{self, StageKind};
use casewright::plan::layouts::verify;
use casewright::plan::setups::{Phase, Process, Setting};
use casewright::plan::{self, Plans};
use casewright::source::{Files, ReadFault};
use std::path::PathBuf;

/// The example's folder, without the lines that allow a caution: no plan depends on them.
struct Folder(PathBuf);

impl Files for Folder {
    fn read(&self, path: &str) -> Result<String, ReadFault> {
        let text = std::fs::read_to_string(self.0.join(path))
            .map_err(|error| ReadFault::System(error.to_string()))?;
        let kept: Vec<&str> = text
            .lines()
            .filter(|line| !line.trim_start().starts_with("allow "))
            .collect();
        Ok(kept.join("\n"))
    }
}

fn compile(files: &dyn Files, entry: &str) -> (Model, Plans) {
    let out = elaborate(files, entry, &Options::default()).expect("it can be read");
    let model = out
        .model
        .unwrap_or_else(|| panic!("the text is sound: {:#?}", out.diagnostics));
    let plans = plan::make(&model);
    (model, plans)
}

fn example() -> (Model, Plans) {
    example_of("commission.case")
}

fn example_of(entry: &str) -> (Model, Plans) {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("examples/music-school");
    compile(&Folder(folder), entry)
}

fn written(model: &Model, plans: &Plans) -> String {
    let facts = Facts {
        model,
        plans,
        findings: &plans.glue_up.findings,
        paper: Paper::A4,
        revision: Some("1"),
        date: None,
        since: None,
    };
    book::write(&facts, &Templates::built_in()).expect("the book can be written")
}

/// Every part of the commission lies on a sheet or comes out of a board, and the verifiers agree.
#[test]
fn the_commission_is_laid_out_and_goes_together() {
    let (model, plans) = example();
    for layout in &plans.layouts.sheets {
        assert_eq!(verify::layout(&model, layout), None);
        assert!(layout.unplaced.is_empty());
        let bound = layout.bound.expect("something is cut").sheets as usize;
        assert!(bound <= layout.sheets.len());
    }
    assert_eq!(glue_up::verify::glue_up(&model, &plans.glue_up), None);
    let parts: usize = model.pieces.iter().map(|p| p.parts.len() * 3).sum();
    let sheets = plans.layouts.sheets.iter().flat_map(|l| &l.sheets);
    let laid: usize = sheets.map(|s| s.placed.len()).sum();
    let sawn: usize = plans.layouts.boards.iter().map(|l| l.pieces.len()).sum();
    assert_eq!(laid + sawn, parts);
}

/// Sheets and their cost (EUR), stock by stock, as first fits in many orders lay them out: the engine
/// is to need no more of either.
#[test]
fn no_more_sheets_than_first_fits_need() {
    let first_fits: [(&str, &[(usize, i64)]); 5] = [
        ("commission.case", &[(3, 490), (1, 64), (1, 58), (1, 32)]),
        ("reed_chest.case", &[(1, 118), (1, 64), (2, 116), (1, 32)]),
        ("score_cabinet.case", &[(1, 186), (1, 64), (1, 58), (1, 32)]),
        (
            "waiting_room.case",
            &[(3, 558), (2, 128), (4, 232), (2, 64)],
        ),
        ("window_bench.case", &[(2, 236), (1, 64)]),
    ];
    for (entry, stocks) in first_fits {
        let (model, plans) = example_of(entry);
        assert_eq!(plans.layouts.sheets.len(), stocks.len(), "{entry}");
        for (layout, (sheets, cost)) in plans.layouts.sheets.iter().zip(stocks) {
            assert_eq!(verify::layout(&model, layout), None);
            assert!(layout.unplaced.is_empty());
            assert_eq!(layout.cost.currency.as_deref(), Some("EUR"));
            // Least cost, then fewest sheets: four small ones may cost less than three.
            let found = (layout.cost.cost, layout.sheets.len());
            assert!(
                found <= (Rational::int(*cost), *sheets),
                "{entry}: {found:?} is more than {cost} for {sheets}"
            );
        }
    }
}

/// The same model and effort give the same layouts.
#[test]
fn layouts_do_not_depend_on_the_run() {
    let (model, plans) = example();
    let again = plan::make(&model);
    let text = |plans: &Plans| format!("{:?}", plans.layouts);
    assert_eq!(text(&plans), text(&again));
}

/// Two large sheets (186 each) and a small one (118) are cheaper than three large ones.
#[test]
fn sizes_of_sheet_are_mixed_where_that_is_cheaper() {
    let (_, plans) = example();
    let oak: Vec<String> = plans
        .buying
        .lines
        .iter()
        .filter(|l| l.section == Section::Sheets && l.what.starts_with("Oak-faced birch"))
        .filter_map(|l| l.price.as_ref().map(Money::plain))
        .collect();
    assert_eq!(oak, ["118.00", "372.00"]);
}

/// Sides, lid and floor: the frame is 900 over the sides and 760 - 17.6 = 742.4 high without the
/// lid, so the diagonal is sqrt(810,000 + 551,157.76) = 1166.69 mm.
#[test]
fn the_case_goes_together_side_by_side_then_lid_then_back() {
    let (model, plans) = example();
    let piece = &model.pieces[0];
    let names: Vec<Vec<&str>> = plans
        .glue_up
        .stages
        .iter()
        .map(|s| {
            s.fresh
                .iter()
                .map(|p| piece.part(*p).path.as_str())
                .collect()
        })
        .collect();
    let at = |part: &str| {
        names
            .iter()
            .position(|stage| stage.contains(&part))
            .unwrap_or_else(|| panic!("{part} is in a stage: {names:?}"))
    };
    assert_eq!(at("body.left"), at("body.floor"));
    assert_eq!(at("body.right"), at("body.deck"));
    assert!(at("body.left") < at("body.lid") && at("body.lid") < at("body.rear"));
    // The drawer is glued before the case.
    assert!(at("body.tray.left") < at("body.left"));
    let frame = &plans.glue_up.stages[at("body.left")];
    let diagonal = frame.diagonal.as_ref().expect("the frame closes");
    assert_eq!(
        (diagonal.wide, diagonal.high),
        (Length::mm(900), Length::um(742_400))
    );
    assert_eq!(
        diagonal.long.round_to(Length::um(100)),
        Length::um(1_166_700)
    );
    // Every stage fits the 12 minutes that the shop's glue stays open.
    for stage in &plans.glue_up.stages {
        assert!(stage.kind == StageKind::Dry || stage.seconds() <= 720);
    }
}

/// The total is the sum of the lines that have a price, and what has none is counted.
#[test]
fn the_bill_adds_up() {
    let (_, plans) = example();
    let buying = &plans.buying;
    let sum = buying
        .lines
        .iter()
        .filter_map(|l| l.price.as_ref())
        .fold(Rational::ZERO, |sum, p| sum + p.amount);
    assert_eq!(buying.totals.len(), 1);
    assert_eq!(buying.totals[0].amount, sum);
    let blank = buying.lines.iter().filter(|l| l.price.is_none()).count();
    assert_eq!(buying.unpriced as usize, blank);
    // Four cup hinges a cabinet, at 3.20: 12 x 3.20.
    let hinges = buying
        .lines
        .iter()
        .find(|l| l.what.starts_with("Cup hinge"))
        .expect("hinges are bought");
    assert_eq!(
        hinges.price.as_ref().map(Money::plain),
        Some("38.40".into())
    );
}

/// The last step is done before the shop opens on the due date, and no work is on a week-end.
#[test]
fn the_finish_is_ready_when_it_is_due() {
    let (_, plans) = example();
    let plan = &plans.finishing.plans[0];
    assert!(plan.calendar.in_hand.is_some_and(|m| m >= 0));
    for (step, slot) in plan.steps.iter().zip(&plan.calendar.slots) {
        assert!(slot.start <= slot.worked && slot.worked <= slot.ready);
        if step.work > 0 {
            let day = casewright::plan::finishing::Calendar::day(slot.start);
            assert!(plan.calendar.open(day), "step {}", step.number);
        }
    }
    assert!(plan.rags);
}

#[test]
fn the_chapters_are_written_with_what_the_plans_say() {
    let (model, plans) = example();
    let html = written(&model, &plans);
    for words in [
        "Keep for the rack",
        "1166.7",
        "Rags with oil or varnish",
        "read the label",
        "Tray: the box",
        "without the",
    ] {
        assert!(
            html.to_lowercase().contains(&words.to_lowercase()),
            "{words}"
        );
    }
    assert_eq!(html, written(&model, &plans));
}

/// A bookcase in inches, of solid wood and sheet, without shop, finish, commission or prices: all
/// plans still have something to say, and nothing is made up.
const BOOKCASE: &str = r#"edition 1
use std
stock ash board {
    species white_ash
    rough   1in
    wide    from 5in to 9in
    long    from 8ft to 12ft
}
stock ply sheet {
    thick 1/4in
    sold  long 96in wide 48in
    grain long
}
piece bookcase "Bookcase" {
    units in
    case body {
        size   wide 30in high 40in deep 10in
        side   left, right of ash thick 3/4in
        bottom floor of ash thick 3/4in at 3in
        top    upper of ash thick 3/4in
        back   rear of ply
        divide inside downward {
            opening high_bay
            shelf   middle of ash thick 3/4in
            opening low_bay
        }
        join floor, middle into left, right with dado deep 1/4in
        join upper into left, right with rabbet deep 3/8in
        join rear into left, right with rabbet deep 3/8in
    }
}
"#;

#[test]
fn a_piece_without_a_shop_has_its_plans_too() {
    let (model, plans) = compile(&Texts::of(&[("b.case", BOOKCASE)]), "b.case");
    assert!(!plans.glue_up.glue.stated);
    let list = &plans.layouts.boards[0];
    // Each panel is wider than a board with its allowance: two staves each.
    assert!(
        list.pieces
            .iter()
            .all(|p| p.stave.is_some_and(|(_, n)| n == 2))
    );
    assert!(list.unplaced.is_empty() && !list.boards.is_empty());
    assert!(plans.finishing.plans.is_empty());
    assert_eq!(plans.buying.totals, []);
    assert_eq!(plans.buying.unpriced as usize, plans.buying.lines.len());
    let html = written(&model, &plans);
    assert!(html.contains("board feet") && html.contains("common practice"));
}

/// The sources of the pages on plans' findings: the first gives the caution, the second none.
#[test]
fn the_pages_on_stages_do_what_they_say() {
    let cautions = |text: &str| -> Vec<String> {
        let (_, plans) = compile(&Texts::of(&[("p.case", text)]), "p.case");
        let found = plans.glue_up.findings.iter();
        found
            .filter(|f| f.outcome == casewright::model::Outcome::Caution)
            .map(|f| f.code.clone())
            .collect()
    };
    for code in ["order.open_time", "order.clamps"] {
        let page = casewright::diag::explain(code).expect("the code has a page");
        let sample = casewright::diag::sources(page).expect("it has its sources");
        let found = cautions(sample.fails);
        assert!(
            !found.is_empty() && found.iter().all(|c| c == code),
            "{found:?}"
        );
        assert_eq!(cautions(sample.mended), Vec::<String>::new());
    }
}

/// Sides of 400 from boards of 220 at most, 6 allowed for jointing: 400 / 214 = 1.9, two staves. For
/// breakdown 400 / 2 + 6 = 206, 18 + 1 thick for flattening, jointed (400 + 6) / 2 = 203, together 406. One
/// joint, 700 + 25 long and 19 high: 13,775 mm2 of glue. Clamps every 200: 725 / 200 = 3.6, so four, that
/// open to 406 + 20.
#[test]
fn wide_panels_are_glued_up_of_staves_first() {
    let text = "
stock oak board {
    rough 27mm
    wide  from 120mm to 220mm
    long  from 2.4m to 3m
}
shop {
    rough boards long 25mm wide 6mm thick 3mm
    clamp bar    6 long 900mm
}
piece chest \"Chest\" {
    case body {
        size   wide 600mm high 700mm deep 400mm
        side   left, right of oak thick 18mm
        bottom floor       of oak thick 18mm
        join   floor into left, right with dado deep 6mm stopped 10mm on front
    }
}
";
    let (model, plans) = compile(&Texts::of(&[("a.case", text)]), "a.case");
    let panels = &plans.glue_up.panels;
    assert_eq!(panels.len(), 2);
    let side = &panels[0];
    let mm = Length::mm;
    assert_eq!((side.parts.len(), side.staves.count), (2, 2));
    let staves = (side.staves.rough, side.staves.wide, side.staves.thick);
    assert_eq!(staves, (mm(206), mm(203), mm(19)));
    assert_eq!(side.area, Rational::int(725 * 19));
    let clamps = &side.clamps[0];
    assert_eq!((clamps.count, clamps.open, clamps.missing), (4, mm(426), 0));
    // Of the boards, of the cut list and of the setups the staves are the same.
    let sawn = plans.layouts.boards[0].pieces.iter();
    let of_sides = sawn.filter(|p| p.stave.is_some() && p.long == mm(725));
    let sizes: Vec<_> = of_sides.map(|p| (p.wide, p.thick)).collect();
    assert_eq!(sizes, [(mm(206), mm(19)); 4]);
    let cards = plans.setups.cards.iter();
    let processes: Vec<_> = cards.map(|card| (card.phase, card.process)).collect();
    let first = [
        (Phase::StavePlane, Process::Plane),
        (Phase::StaveJoint, Process::JointEdges),
        (Phase::StaveGlue, Process::Panel),
        (Phase::Plane, Process::Plane),
    ];
    assert_eq!(processes[..4], first);
    let fences = plans.setups.cards[1].rows.iter().map(|row| &row.setting);
    assert!(
        fences
            .clone()
            .any(|s| matches!(s, Setting::Fence { at, .. } if *at == mm(203)))
    );
    let book = written(&model, &plans);
    assert!(book.contains("Panels of staves"));
    // The verifiers see a panel that nobody glues.
    let mut torn = plans.glue_up.clone();
    torn.panels.pop();
    assert!(glue_up::verify::glue_up(&model, &torn).is_some());
}

/// A stool: a stretcher between two legs of board, its tenons wedged, and a top on buttons.
const STOOL: &str = r#"edition 1
/// Ash.
stock ash board { rough 34mm }
/// Button.
hardware button button { wide 30mm thick 9mm deep 9mm below 12mm }
piece stool "Stool" {
    units mm
    case body {
        size wide 600mm high 450mm deep 280mm
        side left, right of ash thick 30mm
        top  seat        of ash thick 30mm over left, right
        rail stretcher   of ash thick 30mm upright high 80mm at 150mm set_back 125mm
        join stretcher into left, right with mortise thick 9mm through wedged
        join seat to left, right with buttons 3 of button
    }
}
"#;

/// Two saw cuts for each of two tenons: four wedges, as wide as the tenon is thick, 9 mm. The sides are
/// 30 mm thick: the saw cuts 2/3 of it deep, 20 mm, the mortises flared by a fifteenth of it, 2 mm, at each
/// end; with the kerf of 1 mm a wedge is 3 mm thick. Two sides with three buttons each.
#[test]
fn wedges_are_counted_and_buttons_get_screws() {
    let files = Texts::of(&[("stool.case", STOOL)]);
    let (model, plans) = compile(&files, "stool.case");
    let piece = &model.pieces[0];
    let wedges = glue_up::wedges(piece, piece.joints.iter());
    assert_eq!(wedges.len(), 1);
    let one = &wedges[0];
    assert_eq!(
        (one.count, one.wide, one.long),
        (4, Length::mm(9), Length::mm(20))
    );
    assert_eq!((one.flare, one.thick), (Length::mm(2), Length::mm(3)));
    let screws = plans
        .buying
        .lines
        .iter()
        .find(|l| l.what == "screws for buttons");
    let screws = screws.expect("buttons are screwed to the top");
    assert_eq!(screws.amount, casewright::plan::buying::Amount::Count(6));
    let page = written(&model, &plans);
    for said in [
        "×&#8239;wedge",
        "screw for the buttons",
        "Wedges with glue",
        "in the middle of the slot",
    ] {
        assert!(page.contains(said), "{said}");
    }
}
