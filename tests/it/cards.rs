//! What the setup cards tell, worked by hand from small sources: sheet of 18 mm that measures 17.6.

use casewright::book::{self, Facts, Paper, Templates};
use casewright::draw::glue_sketch::diagonals;
use casewright::draw::part_section::cut_section;
use casewright::draw::{Rect, Scene};
use casewright::elaborate::{Options, elaborate};
use casewright::measure::{Length, Rational};
use casewright::model::{CutKind, Model, Side};
use casewright::plan::setups::{Card, Machine, Operation, Process, Setting, Space, Stops, verify};
use casewright::plan::{self, Plans};
use casewright::source::{Files, ReadFault};

const STOCK: &str = "edition 1
use std
stock ply18 sheet {; thick 18mm measured 17.6mm; sold long 2440mm wide 1220mm; grain long; }
stock ash board {; species white_ash; rough 27mm; wide from 120mm to 220mm; long from 2m to 3m; moisture 9%; }
hardware butt50 hinge {; mounts butt; long 50mm; wide 14mm; thick 2mm; }
";

struct One(String);

impl Files for One {
    fn read(&self, _: &str) -> Result<String, ReadFault> {
        Ok(self.0.clone())
    }
}

/// The plans of a case, its lines given.
fn plans(lines: &str) -> (Model, Plans) {
    let text = format!("{STOCK}piece p \"P\" {{\nunits mm\ncase body {{\n{lines}\n}}\n}}\n")
        .replace("; ", "\n");
    let out = elaborate(&One(text), "p.case", &Options::default()).expect("it can be read");
    let model = out
        .model
        .unwrap_or_else(|| panic!("the source is sound: {:#?}", out.diagnostics));
    let plans = plan::make(&model);
    assert_eq!(verify(&model, &plans.setups), []);
    (model, plans)
}

/// The book.
fn html((model, plans): &(Model, Plans)) -> String {
    let facts = Facts {
        model,
        plans,
        findings: &[],
        paper: Paper::A4,
        revision: None,
        date: None,
        since: None,
    };
    book::write(&facts, &Templates::built_in()).expect("the built-in templates hold")
}

/// The words of the book, without drawings and marks.
fn words(made: &(Model, Plans)) -> String {
    let mut out = String::new();
    for piece in html(made).split('<') {
        match piece.split_once('>') {
            Some((tag, text)) if !tag.starts_with("style") => out.push_str(text),
            _ => {}
        }
    }
    out
}

fn cards(plans: &Plans, process: Process) -> Vec<&Card> {
    let all = plans.setups.cards.iter();
    all.filter(|card| card.process == process).collect()
}

fn settings(plans: &Plans, process: Process) -> Vec<Setting> {
    let rows = cards(plans, process).into_iter().flat_map(|c| &c.rows);
    rows.map(|row| row.setting.clone()).collect()
}

fn tenths(n: i64) -> Length {
    Length::um(n * 100)
}

const BOX: &str = "side left, right of ply18; bottom floor of ply18; top lid of ply18; \
    join floor, lid into left, right with rabbet deep 6mm";

/// The door is 600 - 2 x 17.6 - 2 x 2 = 560.8 high; its hinges sit 560.8 / 6 from its ends, and half
/// of 50 less to their lower ends: 93.467 - 25 = 68.467 and 560.8 - 93.467 - 25 = 442.333.
#[test]
fn each_hinge_has_its_own_recess() {
    let of = |leaf: &str| {
        plans(&format!(
            "size wide 500mm high 600mm deep 300mm; {BOX}; door d in inside {leaf} inset gap 2mm hung left {{; \
             hinge 2 of butt50; }}"
        ))
    };
    let sixth = tenths(5608) / 6;
    let recess = Setting::Recess {
        starts: vec![
            sixth - Length::mm(25),
            tenths(5608) - sixth - Length::mm(25),
        ],
        // From the rear, the face side: it lies at the front, where the door turns.
        back: Length::mm(4),
        size: [Length::mm(50), Length::mm(14)],
    };
    let made = of("of ash thick 18mm");
    assert_eq!(settings(&made.1, Process::Recess), vec![recess.clone()]);
    let text = words(&made);
    assert!(
        text.contains("from the reference end 68.5~ and 442.3~"),
        "{text}"
    );
    // Of a leaf that is banded, the recess lies in the strip, which is on by then: same figures, but for
    // the sheet's 17.6.
    let banded = plans(&format!(
        "size wide 500mm high 600mm deep 300mm; {BOX}; door d in inside of ply18 inset gap 2mm hung left {{; \
         band on all of ash thick 6mm; hinge 2 of butt50; }}"
    ));
    let Setting::Recess { starts, size, .. } = recess else {
        unreachable!()
    };
    let back = tenths(36);
    assert_eq!(
        settings(&banded.1, Process::Recess),
        [Setting::Recess { starts, back, size }]
    );
    let recess = cards(&banded.1, Process::Recess)[0].number;
    let band = cards(&banded.1, Process::Band)
        .last()
        .expect("it is banded")
        .number;
    assert!(band < recess);
}

/// 5 by 12 at the front and 5 by 20 at the rear of both ends; `stopped 20mm` alone is both edges.
#[test]
fn each_notch_has_its_own_size_and_place() {
    let corner = |across: i64| Setting::Corner {
        along: Length::mm(5),
        across: Length::mm(across),
        inside: [Length::ZERO; 2],
    };
    let of = |stopped: &str| {
        plans(&format!(
            "size wide 600mm high 700mm deep 300mm; {BOX}; shelf s of ply18 at 300mm; \
             join s into left, right with dado deep 5mm {stopped}"
        ))
    };
    let made = of("stopped 12mm on front stopped 20mm on rear");
    assert_eq!(settings(&made.1, Process::Notch), [corner(12), corner(20)]);
    let text = words(&made);
    let front = "left end, front edge; right end, front edge";
    assert!(text.contains(front) && text.contains("left end, rear edge; right end, rear edge"));
    // And on the part's own sheet.
    assert!(
        text.contains("5\u{202f}×\u{202f}12; 5\u{202f}×\u{202f}20"),
        "{text}"
    );
    assert_eq!(
        settings(&of("stopped 20mm").1, Process::Notch),
        [corner(20)]
    );
}

/// The strip is 10 thick and the tongue on the floor 5 long: the core begins 5 behind the front, the
/// notch 10 behind it, so 5 inside the core's front edge, and it ends 12 further on.
#[test]
fn a_notch_behind_a_tongue_is_at_the_front() {
    let made = plans(
        "size wide 600mm high 400mm deep 300mm; side left, right of ply18; \
         bottom floor of ply18 at 40mm; join floor into left, right with dado deep 5mm stopped 12mm on front; \
         band floor, left, right on front of ash thick 10mm with groove thick 5mm deep 5mm",
    );
    let notch = Setting::Corner {
        along: Length::mm(5),
        across: Length::mm(12),
        inside: [Length::ZERO, Length::mm(5)],
    };
    assert!(settings(&made.1, Process::Notch).contains(&notch));
    let text = words(&made);
    assert!(text.contains("right end, front edge"), "{text}");
    assert!(!text.contains("right end, rear edge"));
}

/// Two tails on 200: pitch 100, 5/8 of it at half depth, 62.5. Slope 1 in 8 over 17.6 widens a tail by
/// 17.6 / 8 = 2.2 at each wall: 60.3 at the shoulder, 64.7 at the end. So the first pin's waste ends at
/// 50 - 32.35 = 17.65 outside and at 50 - 30.15 = 19.85 inside, at either end of the board.
#[test]
fn waste_of_dovetails_is_told_from_outside_to_inside() {
    let made = plans(
        "size wide 600mm high 400mm deep 200mm; side left, right of ply18; bottom floor of ply18; \
         lid top_of of ply18; join left, right into floor, top_of with dovetail through tails 2 slope 8",
    );
    let um = |n| Length::um(n);
    let space = |out: [i64; 2], inner: [i64; 2]| Space {
        outside: out.map(um),
        inside: inner.map(um),
    };
    let waste = vec![
        space([0, 17_650], [0, 19_850]),
        space([82_350, 117_650], [80_150, 119_850]),
        space([182_350, 200_000], [180_150, 200_000]),
    ];
    // Both ends of both sides: one setting.
    assert_eq!(settings(&made.1, Process::Tails), [Setting::Spaces(waste)]);
    let sockets = vec![
        space([17_650, 82_350], [19_850, 80_150]),
        space([117_650, 182_350], [119_850, 180_150]),
    ];
    assert_eq!(
        settings(&made.1, Process::Sockets),
        [Setting::Spaces(sockets)]
    );
}

/// The card names the end that the saw meets, not the one at the stop.
#[test]
fn a_mitre_is_named_by_the_end_that_is_cut() {
    let made = plans(
        "size wide 600mm high 400mm deep 200mm; side left, right of ply18; bottom floor of ply18; \
         lid over_all of ply18; join floor into left, right with rabbet deep 6mm; \
         join left, right to over_all with mitre",
    );
    let card = cards(&made.1, Process::Mitre)[0];
    for op in card.operations() {
        let part = made.0.part(op.at).1;
        let inner = op.lies.against.expect("an end is at the stop");
        let cut = part.cuts.iter().find(|c| c.entry == inner.opposite());
        assert!(cut.is_some(), "{}", part.path);
    }
    let text = words(&made);
    assert!(
        text.contains("top end mitred") && !text.contains("bottom end mitred"),
        "{text}"
    );
}

/// Sides 300 deep with strips of 6 on before the housings; the floor, banded late, begins 6 behind the
/// front: of 300 the dado leaves 6. The roof's strips are as early, so its rabbets are cut through
/// strip and sheet at once, 17.6 wide from the strip's outside, and never in a bare strip.
#[test]
fn a_cut_ends_at_the_back_of_an_early_strip_or_goes_through_both_at_once() {
    let made = plans(
        "size wide 600mm high 700mm deep 300mm; side left, right of ply18; bottom floor of ply18 at 50mm; \
         top roof of ply18 over left, right; join left, right into roof with rabbet deep 6mm; \
         join floor into left, right with dado deep 5mm; \
         band left, right on front of ash thick 6mm early; \
         band roof on front, left, right of ash thick 6mm early; band floor on front of ash thick 6mm",
    );
    let dado = cards(&made.1, Process::Housing);
    let stops: Vec<Stops> = dado[0].operations().filter_map(|op| op.stops).collect();
    assert_eq!((dado.len(), stops.len()), (1, 2));
    for s in &stops {
        assert_eq!(s.long, Length::mm(300));
        assert_eq!(s.before + s.after, Length::mm(6));
    }
    let rabbets: Vec<&Operation> = cards(&made.1, Process::Rabbet)
        .into_iter()
        .flat_map(Card::operations)
        .collect();
    let exposed = Setting::Exposed(tenths(176));
    let roof = |op: &&Operation| made.0.part(op.at).1.path == "body.roof" && op.setting == exposed;
    assert_eq!(rabbets.len(), 2);
    assert!(rabbets.iter().all(roof));
}

fn letters(scene: &Scene) -> Vec<String> {
    let all = scene.lettering();
    all.iter().map(|(text, _)| text.content.plain()).collect()
}

/// The figures of a section of a part's first cut of a kind.
fn section(model: &Model, path: &str, kind: CutKind) -> Vec<String> {
    let piece = &model.pieces[0];
    let part = piece
        .parts
        .iter()
        .find(|p| p.path == path)
        .expect("there is such a part");
    let cut = part
        .cuts
        .iter()
        .find(|c| c.kind == kind)
        .expect("it has such a cut");
    let drawn = cut_section(model, piece, part, cut).expect("the cut has a section");
    letters(&drawn.scene)
}

/// A groove of 4 + 0.1 in the middle of 17.6 leaves (17.6 - 4.1) / 2 = 6.75 on either side, and
/// 6.75 + 4.1 + 6.75 = 17.6: to a tenth, 6.8 + 4.1 + 6.8 would be 17.7.
#[test]
fn figures_of_a_section_add_up() {
    let (model, _) = plans(&format!(
        "size wide 500mm high 600mm deep 300mm; {BOX}; \
         band left, right on front of ash thick 8mm with tongue thick 4mm deep 5mm"
    ));
    let figures = section(&model, "body.left", CutKind::EdgeGroove);
    let count = |figure: &str| figures.iter().filter(|f| *f == figure).count();
    assert_eq!((count("6.75"), count("4.1")), (2, 1), "{figures:?}");
}

/// The leaf of the hinge is 14 wide and 2 thick: of the 17.6 of the door's edge 3.6 stay, and the
/// section shows the strip in which the recess lies.
#[test]
fn a_recess_in_a_strip_is_drawn_in_it() {
    let (model, _) = plans(&format!(
        "size wide 500mm high 600mm deep 300mm; {BOX}; \
         door d in inside of ply18 inset gap 2mm hung left {{; band on all of ash thick 6mm; \
         hinge 2 of butt50; }}"
    ));
    let mut figures = section(&model, "body.d", CutKind::HingeRecess);
    figures.sort();
    assert_eq!(figures, ["14.0", "2.0", "3.6"]);
}

/// The left side starts inside, the right one stops inside, the lid does both: two plans show all of
/// it, the table has the lid's figures, and the card stays on one page.
#[test]
fn a_third_plan_that_shows_nothing_new_takes_no_page() {
    let made = plans(
        "size wide 900mm high 700mm deep 300mm; side left, right of ply18; bottom floor of ply18 at 60mm; \
         top over_all of ply18 over left, right proud 20mm on left, right; back rear of ply18; \
         join floor into left, right with dado deep 6mm; join left, right to over_all with butt; \
         join rear into left, right, over_all, floor with rabbet deep 8mm",
    );
    let card = cards(&made.1, Process::Rabbet)
        .into_iter()
        .find(|c| c.operations().filter(|op| op.stops.is_some()).count() > 2)
        .expect("the back's rabbets are stopped");
    let html = html(&made);
    let page = |n: u32| format!("id=\"setup{}p{n}\"", card.number);
    assert!(html.contains(&page(1)) && !html.contains(&page(2)));
    let article = html
        .split(&page(1))
        .nth(1)
        .and_then(|rest| rest.split("</article>").next())
        .expect("the card is printed");
    assert_eq!(article.matches("Plan at the fence").count(), 2);
    // A stop of the lid: the lid's length less what stays uncut at one end.
    let lid = card
        .operations()
        .filter(|op| made.0.part(op.at).1.path == "body.over_all")
        .find_map(|op| op.stops)
        .expect("the lid's rabbet is stopped at both ends");
    let block = lid.start_block().expect("it starts inside").to_f64_mm();
    assert!(
        article.contains(&format!("begin <b>{block:.1}</b>")),
        "{block}"
    );
}

/// A frame 500 by 2200 is drawn 10 mm wide: both figures find room, off each other and off the numbers.
#[test]
fn both_diagonals_of_a_narrow_frame_can_be_read() {
    for (wide, high) in [(500, 2200), (900, 700), (1800, 500)] {
        let (model, plans) = plans(&format!(
            "size wide {wide}mm high {high}mm deep 300mm; {BOX}; \
             shelf a of ply18 at {}mm; shelf b of ply18 at {}mm; join a, b into left, right with dado deep 6mm",
            high * 27 / 100,
            high * 77 / 100,
        ));
        let piece = &model.pieces[0];
        let stages = &plans.glue_up.stages;
        let (stage, diagonal) = stages
            .iter()
            .find_map(|s| Some((s, s.diagonal.as_ref()?)))
            .expect("the frame closes");
        let mark = |id: casewright::model::PartId| Some((id.0 + 1, None));
        let scene = diagonals(piece, stage, diagonal, piece.units, &mark);
        let all = scene.lettering();
        let ink = |bold: bool| -> Vec<Rect> {
            let of = |text: &str| text.contains('.') || text.len() > 2;
            let kept = all
                .iter()
                .filter(|(text, _)| of(&text.content.plain()) == bold);
            kept.map(|(_, ink)| *ink).collect()
        };
        let (figures, numbers) = (ink(true), ink(false));
        assert_eq!(figures.len(), 2, "{:?}", letters(&scene));
        assert!(!figures[0].overlaps(&figures[1]), "{wide} x {high}");
        assert!(numbers.len() > 3);
        assert!(
            !numbers
                .iter()
                .any(|n| figures.iter().any(|f| f.overlaps(n)))
        );
    }
}

/// What a maker cuts out comes after the joints and before the edging: laid out from the reference end
/// and edge of the sawn part. A side of 600 stands on its end; the shelf is banded 8 at the front.
#[test]
fn notches_and_openings_are_laid_out_from_the_reference_edges() {
    let made = plans(&format!(
        "size wide 500mm high 600mm deep 300mm; {BOX}; shelf s of ply18 at 250mm; \
         join s into left, right with dado deep 6mm; band s on front of ash thick 8mm; \
         cut left deep 60mm high 90mm at 0mm from front at 100mm from bottom; \
         cut left deep 60mm high 90mm wide 7mm at 50mm from front at 350mm from bottom; \
         cut s wide 100mm deep 40mm at 32.4mm from left at 28mm from front"
    ));
    let of = |cards: &[&Card]| {
        let rows = cards.iter().flat_map(|c| &c.rows);
        rows.map(|row| row.setting.clone()).collect::<Vec<_>>()
    };
    let cards = cards(&made.1, Process::CutOut);
    let window = |from: [i64; 2], size: [i64; 2]| Setting::Window {
        from: from.map(Length::mm),
        size: size.map(Length::mm),
    };
    // The shelf's end goes 6 into the side: 32.4 + 6; its sawn edge lies 8 behind the front: 28 - 8.
    let shelf = Setting::Window {
        from: [tenths(384), Length::mm(20)],
        size: [Length::mm(100), Length::mm(40)],
    };
    let mut found = of(&cards);
    found.sort();
    let mut wanted = vec![
        window([100, 0], [90, 60]),
        window([350, 50], [90, 60]),
        shelf,
    ];
    wanted.sort();
    assert_eq!(found, wanted);
    let depths: Vec<Option<Length>> = cards
        .iter()
        .flat_map(|c| c.operations())
        .map(|op| op.height)
        .collect();
    assert_eq!(
        depths.iter().flatten().collect::<Vec<_>>(),
        [&Length::mm(7)]
    );
    let last = |process| {
        let all = made.1.setups.cards.iter();
        all.filter(|c| c.process == process).map(|c| c.number).max()
    };
    assert!(last(Process::Housing) < cards.iter().map(|c| c.number).min());
    assert!(cards.iter().map(|c| c.number).max() < last(Process::Band));
    let text = words(&made);
    for said in [
        "Notches and openings",
        "Recesses",
        "in the face side",
        "support what falls out",
    ] {
        assert!(text.contains(said), "{said}");
    }
}

/// Two shelves on one card's machine, each with its own bit: 8 deep at 1 in 8 leans by 1.0, at 1 in 7 by 8/7.
/// The first narrows by 1.5 toward the rear: its lower wall is cut 1.0 + 1.5 with a shim of 1.5 at the front.
/// Shelves are 264 deep behind a back that is let in, and housings end there.
#[test]
fn a_sliding_dovetail_has_its_own_bit_and_each_wall_its_own_exposure() {
    let made = plans(
        "size wide 900mm high 1400mm deep 300mm
side left, right of ash thick 20mm
bottom floor of ash thick 20mm at 70mm
back rear of ply18 set_in 18mm
shelf mid of ash thick 20mm at 960mm
shelf low of ash thick 20mm at 520mm
join floor into left, right with dado deep 8mm
join rear into left, right, floor with groove deep 8mm
join mid into left, right with dovetail sliding deep 8mm slope 8 tapered 1.5mm on rear
join low into left, right with dovetail sliding deep 8mm slope 7",
    );
    let tenths = |n: i64| Length::mm(n) / 10;
    let of = |process, slope: i128| {
        let slope = Some(Rational::new(slope, 1));
        let all = cards(&made.1, process);
        let found: Vec<&Card> = all
            .into_iter()
            .filter(|card| card.tooling.slope == slope)
            .collect();
        assert_eq!(found.len(), 1, "{process:?}");
        found[0]
    };
    let settings = |card: &Card| -> Vec<Setting> {
        let mut rows: Vec<Setting> = card.rows.iter().map(|row| row.setting.clone()).collect();
        rows.sort();
        rows
    };
    let mid = of(Process::DovetailKey, 8);
    assert_eq!(
        settings(mid),
        [
            Setting::Exposed(Length::mm(1)),
            Setting::Shimmed {
                exposed: tenths(25),
                shim: tenths(15),
                at: Side::Edge
            }
        ]
    );
    let low = of(Process::DovetailKey, 7);
    assert_eq!(settings(low), [Setting::Exposed(Length::mm(8) / 7)]);
    // Two walls at each of two ends.
    assert_eq!(low.operations().count(), 4);
    let deep = |setting: &Setting| match setting {
        Setting::Sliding(run) => (run.from, run.to, run.mouth, run.floor),
        other => panic!("{other:?}"),
    };
    let housing = of(Process::DovetailHousing, 8);
    assert_eq!(housing.tooling.machine, Machine::Router);
    let (from, to, mouth, floor) = deep(&housing.rows[0].setting);
    let (_, shelf) = made
        .0
        .parts()
        .find(|(_, part)| part.label == "Mid")
        .unwrap();
    assert_eq!((from, to), (Length::ZERO, Some(shelf.size.width)));
    let walls = |pairs: [[i64; 2]; 2]| pairs.map(|pair| pair.map(tenths));
    assert_eq!(mouth, walls([[9610, 9790], [9625, 9790]]));
    assert_eq!(floor, walls([[9600, 9800], [9615, 9800]]));
    let (.., mouth, floor) = deep(&of(Process::DovetailHousing, 7).rows[0].setting);
    assert_eq!(mouth[0], mouth[1]);
    assert_eq!(floor, walls([[5200, 5400]; 2]));
    let text = words(&made);
    for said in [
        "1 in 8",
        "7.1 degrees, at most 18.5 across",
        "at the front edge",
    ] {
        assert!(text.contains(said), "{said}");
    }
}

/// The rails of a frame are one part, and lie turned about: the groove of each is in its inner edge, the
/// left edge of one and the right edge of the other. Their card names one edge, that of the part sheet.
#[test]
fn parts_that_are_one_are_told_by_one_of_them() {
    let made = plans(
        "size wide 600mm high 700mm deep 300mm
side left, right of ply18
bottom floor of ply18
top roof of ply18
join floor, roof into left, right with dado deep 8mm
divide inside downward {; opening all; }
doors pair in all of ash thick 20mm inset gap 2mm {
frame of ash wide 50mm
field of ply18
join rails into stiles with mortise thick 6mm deep 10mm
join field into stiles, rails with rabbet deep 10mm
hinge 2 of butt50
}",
    );
    let (model, plans) = &made;
    for group in &model.groups {
        for (at, hand) in &group.members {
            let told = model.told_by(*at);
            assert!(group.members.contains(&(told, *hand)));
            assert_eq!(model.told_by(told), told);
        }
    }
    let turned = |card: &&Card| {
        let lay = |at| model.part(at).1.lay;
        card.operations()
            .any(|op| lay(op.at) != lay(model.told_by(op.at)))
    };
    assert!(plans.setups.cards.iter().any(|card| turned(&card)));
    assert!(!words(&made).contains("bottom edge and top edge"));
    for run in plans
        .setups
        .cards
        .iter()
        .flat_map(|card| &card.rows)
        .flat_map(|row| &row.runs)
    {
        let first = run.operations[0].at;
        let told = model.told_by(first);
        assert!(first == told || run.parts().iter().all(|at| *at != told));
    }
}
