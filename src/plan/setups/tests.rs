//! Setups of the cabinet worked by hand, and properties over cabinets of other sizes.

use super::*;
use crate::measure::Length;
use crate::model::fixture::{self, dmm, id};
use crate::model::{Cutter, CutterKind, Hand, PartRef, Shop, Side};
use proptest::prelude::*;

fn shop() -> Shop {
    let cutter = |name: &str, kind, from, to, deep: i64, across: i64| Cutter {
        name: name.into(),
        kind,
        thick: (dmm(from), dmm(to)),
        deep: Some(Length::mm(deep)),
        across: (across > 0).then(|| Length::mm(across)),
    };
    Shop {
        cutters: vec![
            cutter("slot4", CutterKind::Groove, 40, 40, 12, 0),
            cutter("stack", CutterKind::Dado, 60, 220, 25, 200),
            cutter("bit5", CutterKind::Bore, 50, 50, 40, 0),
        ],
        ..Shop::default()
    }
}

fn cabinet() -> Model {
    Model {
        shop: shop(),
        ..fixture::cabinet()
    }
}

fn card(setups: &Setups, process: Process, width: Option<i64>) -> &Card {
    setups
        .cards
        .iter()
        .find(|c| c.process == process && (width.is_none() || c.tooling.width == width.map(dmm)))
        .expect("the cabinet has this card")
}

fn fences(card: &Card) -> Vec<Setting> {
    card.rows.iter().map(|row| row.setting.clone()).collect()
}

fn fence(tenths: i64) -> Setting {
    Setting::Fence {
        at: dmm(tenths),
        last: None,
    }
}

#[test]
fn both_dadoes_are_one_card_with_two_fences() {
    let setups = plan_setups(&cabinet());
    let dado = card(&setups, Process::Housing, Some(177));
    assert_eq!(dado.height, Some(dmm(65)));
    assert_eq!(fences(dado), [fence(900), fence(4000)]);
    let hands: Vec<_> = dado.rows[0].runs.iter().map(|r| (r.mark, r.hand)).collect();
    assert_eq!(hands, [(1, Some(Hand::Left)), (1, Some(Hand::Right))]);
    assert_eq!(dado.tooling.cutter.as_deref(), Some("stack"));
    assert_eq!(
        dado.test.as_ref().expect("a housing is a fit").tries,
        [(2, "Floor".into()), (3, "Deck".into())]
    );
}

/// D = 200, h = 6.5: c = sqrt(6.5 x 193.5) = sqrt(1257.75) = 35.465. The deck's dado leaves 20 at the
/// front of a side 392 wide; the left side goes front first and starts inside, 392 - 20 = 372 from
/// its rear edge; the right goes rear first and stops inside.
#[test]
fn the_decks_dado_is_stopped_and_the_hands_change_ends() {
    let setups = plan_setups(&cabinet());
    let dado = card(&setups, Process::Housing, Some(177));
    let stops: Vec<Stops> = dado.rows[1]
        .runs
        .iter()
        .map(|r| {
            r.operations[0]
                .stops
                .expect("the dado stops short of the front")
        })
        .collect();
    assert_eq!(stops[0].reach.round_to(Length::um(1)), Length::um(35_465));
    assert!(!stops[0].round);
    assert_eq!(
        (stops[0].start_block(), stops[0].end_block()),
        (Some(Length::mm(372)), None)
    );
    assert_eq!(
        (stops[1].start_block(), stops[1].end_block()),
        (None, Some(Length::mm(372)))
    );
    assert!(
        dado.rows[0]
            .runs
            .iter()
            .all(|r| r.operations[0].stops.is_none())
    );
}

/// The step 9 high and 6 wide, and the shoulders of the top's tongue 5.8 high and 6 wide, are cut
/// with the head as it is stacked for the 6.1 groove (6.1 >= 6), so no cutter is changed for them.
#[test]
fn steps_use_a_head_that_is_stacked_anyway() {
    let setups = plan_setups(&cabinet());
    let groove = card(&setups, Process::Housing, Some(61));
    assert_eq!(fences(groove), [fence(7082)]);
    let rabbet = card(&setups, Process::Rabbet, None);
    assert_eq!(rabbet.tooling, groove.tooling);
    assert_eq!(rabbet.height, Some(dmm(90)));
    assert_eq!(fences(rabbet), [Setting::Exposed(dmm(60))]);
    let tongue = setups
        .cards
        .iter()
        .find(|c| c.process == Process::Tongue && c.rows[0].runs[0].mark == 4)
        .expect("the top has a tongue");
    assert_eq!(
        (tongue.height, fences(tongue)),
        (Some(dmm(58)), vec![Setting::Exposed(dmm(60))])
    );
    // Two ends, two faces.
    assert_eq!(tongue.rows[0].runs[0].operations.len(), 4);
    let strip = setups
        .cards
        .iter()
        .find(|c| c.process == Process::Tongue && c.rows[0].runs[0].mark == 6)
        .expect("the sides' strips have tongues");
    // (17.6 - 4) / 2 = 6.8 and 0.75 that stands proud: 7.55 high from each edge, the tongue 5 long.
    assert_eq!(
        (strip.height, fences(strip)),
        (Some(Length::um(7550)), vec![Setting::Exposed(dmm(50))])
    );
}

/// 4.1 wide with a cutter of 4: the fence at (17.6 - 4.1) / 2 = 6.75 from each face.
#[test]
fn a_groove_in_the_middle_of_an_edge_is_cut_from_both_faces() {
    let setups = plan_setups(&cabinet());
    let groove = card(&setups, Process::EdgeGroove, None);
    assert_eq!(groove.tooling.cutter.as_deref(), Some("slot4"));
    assert_eq!(
        fences(groove),
        [Setting::Fence {
            at: Length::um(6750),
            last: None
        }]
    );
    let op = groove.operations().next().expect("the sides are grooved");
    assert!(op.turned && op.passes == 2 && op.lies.against == Some(Side::Face));
}

/// The strips' tongues run from end to end: ripped, then tongued, then squared and cut to length.
#[test]
fn strips_are_cut_up_after_their_tongues() {
    let model = cabinet();
    let setups = plan_setups(&model);
    let number = |work: &dyn Fn(&Operation) -> bool| {
        let card = setups.cards.iter().find(|c| {
            c.operations()
                .any(|op| op.at.part == id::STRIP_LEFT && work(op))
        });
        card.expect("the strip has this card").number
    };
    let rip = number(&|op| op.process == Process::Rip);
    let tongue = number(&|op| op.process == Process::Tongue);
    let square = number(&|op| op.phase == Phase::StripSquare);
    let length = number(&|op| op.phase == Phase::StripLength);
    assert!(rip < tongue && tongue < square && square < length);
    // A tongue that stops short can't be run in a length with others.
    let mut stopped = model;
    let strip = &mut stopped.pieces[0].parts[id::STRIP_LEFT.0 as usize];
    for cut in &mut strip.cuts {
        cut.solids = vec![fixture::solid([200, 7200], [0, 68], [0, 50])];
    }
    assert!(!strip.runs_in_lengths(&stopped.stocks));
}

/// A rabbet in the side's rear from 99.6 on: 720 - 99.6 = 620.4 from the end that is far from it. Its
/// head of 200 raised by 9 reaches sqrt(9 x 191) = 41.46.
#[test]
fn a_stopped_rabbet_has_its_marks() {
    let mut model = cabinet();
    for side in [id::LEFT, id::RIGHT] {
        for cut in &mut model.pieces[0].parts[side.0 as usize].cuts {
            if cut.kind == crate::model::CutKind::Rabbet {
                let crate::model::Solid::Box(b) = &mut cut.solids[0] else {
                    unreachable!("a rabbet is a box");
                };
                b.lo[0] = dmm(996);
                cut.stopped = [true, false];
            }
        }
    }
    let setups = plan_setups(&model);
    let rabbet = card(&setups, Process::Rabbet, None);
    let stops: Vec<Stops> = rabbet
        .operations()
        .filter(|op| [id::LEFT, id::RIGHT].contains(&op.at.part))
        .map(|op| op.stops.expect("the rabbet starts inside the side"))
        .collect();
    assert_eq!(stops[0].reach.round_to(Length::um(10)), Length::um(41_460));
    let blocks: Vec<_> = stops
        .iter()
        .map(|s| (s.start_block(), s.end_block()))
        .collect();
    // The hands change ends.
    assert!(blocks.contains(&(Some(dmm(6204)), None)));
    assert!(blocks.contains(&(None, Some(dmm(6204)))));
}

/// 100 of wood, 16 uncut: 84 of cut, and a head that reaches 32.7 makes full depth on 51 of it only
/// (4 x 32.7 = 131 > 84). On 392 with 20 uncut it makes its cut (131 < 372).
#[test]
fn a_short_stopped_cut_is_the_routers() {
    let stops = |long: i64, after: i64| Stops {
        diameter: Length::mm(200),
        reach: reach(Length::mm(200), dmm(55)),
        round: false,
        before: Length::ZERO,
        after: dmm(after),
        long: dmm(long),
    };
    assert!(stops(1000, 160).mostly_arc());
    assert!(!stops(3920, 200).mostly_arc());
    let mut model = cabinet();
    for side in [id::LEFT, id::RIGHT] {
        // The deck's dado, now only 80 long from the rear: 312 to 392.
        let cut = &mut model.pieces[0].parts[side.0 as usize].cuts[1];
        let crate::model::Solid::Box(b) = &mut cut.solids[0] else {
            unreachable!("a dado is a box");
        };
        b.lo[1] = dmm(3120);
    }
    let setups = plan_setups(&model);
    assert_eq!(verify(&model, &setups), []);
    let router = setups
        .cards
        .iter()
        .find(|c| c.process == Process::Housing && c.tooling.machine == Machine::Router)
        .expect("the short dado is cut with a router");
    assert_eq!(
        fences(router),
        [Setting::Guided {
            wall: Length::mm(400),
            from: dmm(3120),
            to: dmm(3920)
        }]
    );
}

/// Dadoes at 6.8 from both ends of the floor, alike: the floor is turned, and one fence does for both.
#[test]
fn twins_share_a_fence_when_the_part_is_turned() {
    use crate::model::{CutKind, LocalAxis};
    let mut model = cabinet();
    let floor = &mut model.pieces[0].parts[id::FLOOR.0 as usize];
    let long = floor.size.length;
    let wide = floor.size.width;
    let housing = |from: Length| {
        let mut cut = fixture::cut(
            CutKind::Dado,
            vec![fixture::solid([0, 0], [0, 0], [0, 50])],
            Side::Face,
            LocalAxis::Width,
            61,
            50,
        );
        cut.width = dmm(61);
        cut.depth = dmm(50);
        if let crate::model::Solid::Box(b) = &mut cut.solids[0] {
            (b.lo[0], b.hi[0], b.hi[1], b.hi[2]) = (from, from + dmm(61), wide, dmm(50));
        }
        cut
    };
    floor.cuts = vec![housing(dmm(68)), housing(long - dmm(68) - dmm(61))];
    let setups = plan_setups(&model);
    let sides: Vec<_> = setups
        .cards
        .iter()
        .filter(|c| c.process == Process::Housing)
        .flat_map(|c| &c.rows)
        .filter(|row| row.setting == fence(68))
        .flat_map(|row| &row.runs)
        .flat_map(|run| &run.operations)
        .map(|op| op.lies.against)
        .collect();
    assert_eq!(sides, [Some(Side::End), Some(Side::FarEnd)]);
}

/// Tape of 0.6 mm: no saw, no stop; put on at the bench.
#[test]
fn thin_edging_goes_over_no_machine() {
    use crate::model::StockKind;
    let mut model = cabinet();
    let strip = &mut model.pieces[0].parts[id::STRIP_TOP.0 as usize];
    strip.cuts.clear();
    let stock = strip.stock.0 as usize;
    let mut tape = model.stocks[stock].clone();
    tape.kind = StockKind::Edging {
        thick: Length::um(600),
        wide: None,
        long: None,
        price: None,
    };
    strip.stock = crate::model::StockId(model.stocks.len() as u32);
    model.stocks.push(tape);
    let setups = plan_setups(&model);
    assert_eq!(verify(&model, &setups), []);
    let touched = || setups.cards.iter().flat_map(Card::operations);
    assert!(touched().all(|op| op.at.part != id::STRIP_TOP));
    assert!(touched().any(|op| op.process == Process::Tape));
    // And no clamp is asked for it.
    let plan = crate::plan::glue_up::plan_glue_up(&model);
    let session = plan
        .edging
        .iter()
        .find(|s| s.tape)
        .expect("a session of tape");
    assert!(session.batches.iter().all(|b| b.clamps.is_empty()));
}

#[test]
fn equal_widths_share_a_fence_and_equal_lengths_a_stop() {
    let setups = plan_setups(&cabinet());
    let rip = card(&setups, Process::Rip, None);
    let marks = |setting: &Setting| -> Vec<u32> {
        rip.rows
            .iter()
            .filter(|row| row.setting == *setting)
            .flat_map(|row| row.runs.iter().map(|run| run.mark))
            .collect()
    };
    assert_eq!(marks(&fence(3860)), [2, 4]); // floor and top
    assert_eq!(marks(&fence(191)), [6, 7]); // both kinds of strip, 1.5 to flush
    let length = card(&setups, Process::CutToLength, None);
    let stops: Vec<Setting> = fences(length);
    assert_eq!(stops, [5628, 5768, 7200].map(|l| Setting::Stop(dmm(l))));
    // Strips are cut up later, and their card shares no stop with the panels.
    let strips = setups
        .cards
        .iter()
        .find(|c| c.phase == Phase::StripLength)
        .expect("strips are cut to length");
    assert_eq!(fences(strips), [5648, 7260].map(|l| Setting::Stop(dmm(l))));
    let plane = card(&setups, Process::Plane, None);
    assert_eq!(fences(plane), [80, 130].map(|t| Setting::Thickness(dmm(t))));
}

#[test]
fn rows_of_holes_are_measured_from_the_sawn_edge() {
    let setups = plan_setups(&cabinet());
    let holes = card(&setups, Process::HoleRow, None);
    let rows = [290, 3490].map(|back| Setting::Row {
        first: dmm(4800),
        pitch: dmm(320),
        count: 5,
        back: dmm(back),
    });
    assert_eq!(fences(holes), rows);
    assert_eq!(holes.height, Some(dmm(100)));
}

#[test]
fn the_plan_keeps_its_promises_and_is_the_fewest() {
    for model in [cabinet(), fixture::cabinet()] {
        let setups = plan_setups(&model);
        assert_eq!(verify(&model, &setups), []);
        assert!(setups.proven);
        let quick = plan_within(&model, 0);
        assert_eq!(verify(&model, &quick), []);
        assert!(quick.changes >= setups.changes && quick.bound <= setups.changes);
    }
}

/// Saw (plane, blade), head at 17.7 and at 6.1, slot cutter, knife, mitre saw, drill, bench; the head at
/// 6.1 need not come back.
#[test]
fn no_cutter_is_mounted_twice() {
    let setups = plan_setups(&cabinet());
    let mut tools: Vec<_> = setups.cards.iter().map(|c| &c.tooling).collect();
    tools.dedup();
    assert_eq!(tools.len() as u32, setups.changes.cutters);
    assert_eq!(setups.changes.cutters, 9);
}

#[test]
fn the_verifier_sees_a_cut_forgotten_and_a_card_too_early() {
    let model = cabinet();
    let mut setups = plan_setups(&model);
    let at = setups
        .cards
        .iter()
        .position(|c| c.process == Process::EdgeGroove)
        .expect("the sides are grooved");
    let groove = setups.cards.remove(at);
    assert!(matches!(
        verify(&model, &setups)[..],
        [
            Broken::Count {
                wanted: 1,
                planned: 0,
                ..
            },
            Broken::Count { .. }
        ]
    ));
    setups.cards.push(Card {
        number: 99,
        ..groove
    });
    let broken = verify(&model, &setups);
    assert!(!broken.is_empty());
    assert!(
        broken
            .iter()
            .all(|b| matches!(b, Broken::Order { first: 99, .. }))
    );
}

#[test]
fn a_list_without_a_cutter_for_the_cut_is_a_caution_and_no_list_is_none() {
    let mut model = cabinet();
    model.shop.cutters.retain(|c| c.kind != CutterKind::Bore);
    let setups = plan_setups(&model);
    let codes: Vec<&str> = setups.findings.iter().map(|f| f.code.as_str()).collect();
    assert_eq!(codes, ["shop.no_cutter"]);
    assert_eq!(
        card(&setups, Process::HoleRow, None).tooling.listed,
        Listed::NoneFits
    );
    assert!(plan_setups(&fixture::cabinet()).findings.is_empty());
}

#[test]
fn early_edging_goes_on_before_the_housings_and_they_are_measured_over_it() {
    let mut model = cabinet();
    let piece = &mut model.pieces[0];
    for side in [id::LEFT, id::RIGHT] {
        piece.parts[side.0 as usize].bands[0].early = true;
    }
    let setups = plan_setups(&model);
    assert_eq!(verify(&model, &setups), []);
    let number = |process, phase| {
        setups
            .cards
            .iter()
            .find(|c| c.process == process && c.phase == phase)
            .expect("there is such a card")
            .number
    };
    let band = number(Process::Band, Phase::EarlyBand);
    assert!(number(Process::EdgeGroove, Phase::EarlyGroove) < band);
    assert!(band < number(Process::Housing, Phase::Housing));
    // 29 from the sawn edge, and 8 of strip.
    let holes = card(&setups, Process::HoleRow, None);
    assert!(matches!(holes.rows[0].setting, Setting::Row { back, .. } if back == dmm(370)));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    #[test]
    fn whatever_the_cuts_each_is_made_once_and_in_time(
        keep in prop::collection::vec(any::<bool>(), 7),
        heights in prop::collection::vec(30i64..170, 7),
        early in any::<bool>(),
        listed in any::<bool>(),
    ) {
        let mut model = if listed { cabinet() } else { fixture::cabinet() };
        for side in [id::LEFT, id::RIGHT] {
            let part = &mut model.pieces[0].parts[side.0 as usize];
            part.bands[0].early = early;
            for (cut, tenths) in part.cuts.iter_mut().zip(&heights) {
                cut.depth = dmm(*tenths);
            }
            let mut flags = keep.iter();
            part.cuts.retain(|_| *flags.next().expect("a flag for each cut"));
        }
        let setups = plan_setups(&model);
        prop_assert_eq!(verify(&model, &setups), vec![]);
        let count = setups.cards.iter().map(|c| c.operations().count()).sum::<usize>();
        let distinct: std::collections::BTreeSet<(PartRef, Work)> =
            setups.cards.iter().flat_map(|c| c.operations().map(|op| (op.at, op.work))).collect();
        prop_assert_eq!(count, distinct.len());
    }
}

/// A cabinet whose shelf has one of every other kind of cut; a figure of each is worked by hand.
pub(crate) fn of_every_kind() -> Model {
    use crate::model::fixture::{cut, solid};
    use crate::model::{CutKind, LocalAxis, Solid};
    let mut model = cabinet();
    let bore = |l: i64, w: i64, d: i64, deep: i64| Solid::Bore {
        mouth: [dmm(l), dmm(w), Length::ZERO],
        entry: Side::Face,
        diameter: dmm(d),
        depth: dmm(deep),
    };
    let length = LocalAxis::Length;
    let prism = |axis, outline: &[[i64; 2]], lo: i64, hi: i64| Solid::Prism {
        far: None,
        axis,
        outline: outline.iter().map(|p| p.map(dmm)).collect(),
        lo: dmm(lo),
        hi: dmm(hi),
    };
    // The shelf is 562.8 x 363 x 17.6. Waste of two tails, 12 deep, wider outside than inside.
    let tails = [200, 2000]
        .map(|w| {
            prism(
                LocalAxis::Thickness,
                &[[0, w], [0, w + 400], [120, w + 380], [120, w + 20]],
                0,
                176,
            )
        })
        .to_vec();
    // Sockets, entered from the face: widest at their floor, 12 in.
    let sockets = vec![prism(
        length,
        &[[620, 0], [980, 0], [1000, 120], [600, 120]],
        5448,
        5628,
    )];
    model.pieces[0].parts[id::SHELF.0 as usize].cuts = vec![
        cut(
            CutKind::Tails,
            tails,
            Side::End,
            LocalAxis::Width,
            4000,
            1200,
        ),
        cut(CutKind::Sockets, sockets, Side::Face, length, 4000, 1200),
        cut(
            CutKind::CupBore,
            vec![bore(1000, 225, 350, 125)],
            Side::Face,
            length,
            3500,
            1250,
        ),
        cut(
            CutKind::PullHole,
            vec![bore(2000, 400, 40, 176)],
            Side::Face,
            length,
            400,
            1760,
        ),
        cut(
            CutKind::ScrewHole,
            vec![bore(3000, 400, 40, 176), bore(3500, 400, 40, 176)],
            Side::Face,
            length,
            400,
            1760,
        ),
        cut(
            CutKind::Notch,
            vec![solid([0, 1000], [0, 2000], [0, 1760])],
            Side::Edge,
            length,
            1000,
            2000,
        ),
        cut(
            CutKind::HingeRecess,
            vec![solid([10000, 15000], [0, 2000], [0, 200])],
            Side::Face,
            length,
            2000,
            200,
        ),
        cut(
            CutKind::BiscuitSlot,
            vec![
                solid([7000, 13000], [35200, 36300], [680, 1080]),
                solid([40000, 46000], [35200, 36300], [680, 1080]),
            ],
            Side::FarEdge,
            length,
            400,
            1100,
        ),
    ];
    let mitre = |l: [i64; 2], entry| {
        let [a, b] = l;
        cut(
            CutKind::Mitre,
            vec![prism(LocalAxis::Width, &[[a, 0], [a, 80], [b, 0]], 0, 176)],
            entry,
            LocalAxis::Width,
            1760,
            800,
        )
    };
    model.pieces[0].parts[id::STRIP_TOP.0 as usize].cuts =
        vec![mitre([0, 80], Side::End), mitre([5648, 5568], Side::FarEnd)];
    model
}

#[test]
fn every_kind_of_cut_finds_its_card() {
    let model = of_every_kind();
    let setups = plan_setups(&model);
    assert_eq!(verify(&model, &setups), []);
    let one = |process| fences(card(&setups, process, None));
    let l = Length::mm;
    assert_eq!(
        one(Process::Notch),
        [Setting::Corner {
            along: l(10),
            across: l(20),
            inside: [l(0); 2]
        }]
    );
    assert_eq!(
        one(Process::Slot),
        [Setting::Slots {
            centres: vec![l(100), l(430)],
            height: dmm(88)
        }]
    );
    assert_eq!(
        one(Process::Recess),
        [Setting::Recess {
            starts: vec![l(100)],
            back: l(0),
            size: [l(50), l(20)]
        }]
    );
    assert_eq!(one(Process::Mitre), [Setting::LongPoint(dmm(5648))]);
    // Outside from 20 to 60 and 200 to 240, inside 2 less at each wall.
    let space = |a: i64, b: i64| Space {
        outside: [l(a), l(b)],
        inside: [l(a + 2), l(b - 2)],
    };
    assert_eq!(
        one(Process::Tails),
        [Setting::Spaces(vec![space(20, 60), space(200, 240)])]
    );
    assert_eq!(
        one(Process::Sockets),
        [Setting::Spaces(vec![space(60, 100)])]
    );
    let bores: Vec<_> = setups
        .cards
        .iter()
        .filter(|c| c.process == Process::Bore)
        .map(|c| (c.phase, c.height, fences(c)))
        .collect();
    assert!(bores.contains(&(
        Phase::LateBore,
        Some(dmm(125)),
        vec![Setting::Points(vec![[l(100), dmm(225)]])]
    )));
    assert!(bores.contains(&(
        Phase::Bore,
        None,
        vec![Setting::Points(vec![[l(300), l(40)], [l(350), l(40)]])]
    )));
    // A mitred strip is not cut square first: its length is made by the mitres.
    let squared = setups
        .cards
        .iter()
        .filter(|c| matches!(c.process, Process::SquareEnd | Process::CutToLength))
        .flat_map(Card::operations)
        .any(|op| op.at.part == id::STRIP_TOP);
    assert!(!squared);
}
