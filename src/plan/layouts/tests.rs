//! Layouts against figures worked by hand, and against the verifier on random parts.

use super::*;
use crate::model::fixture::{self, dmm, lay};
use crate::model::{Box3, Edge, Grain, Group, PartId, PartRef, Price, Role, SheetGrain, SheetSize};
use crate::model::{Per, Piece};
use proptest::prelude::*;

/// A model of one piece whose parts are plain panels of the fixture's first stock.
fn panels(sizes: &[(i64, i64)], grain: SheetGrain) -> Model {
    let mut model = fixture::cabinet();
    let mut parts = Vec::new();
    for (i, (long, wide)) in sizes.iter().enumerate() {
        let b = Box3 {
            lo: [Length::ZERO; 3],
            hi: [Length::mm(*long), Length::mm(*wide), dmm(176)],
        };
        let lie = lay(Edge::Left, Edge::Front, Edge::Top);
        let mut part = fixture::part(i as u32, "p", "Panel", Role::Shelf, 0, 0, b, b, lie);
        if grain == SheetGrain::None {
            part.grain = Grain::None;
        }
        parts.push(part);
    }
    model.groups = (0..parts.len())
        .map(|i| Group {
            mark: i as u32 + 1,
            label: "Panel".into(),
            members: vec![(
                PartRef {
                    piece: 0,
                    part: PartId(i as u32),
                },
                None,
            )],
        })
        .collect();
    let piece: &mut Piece = &mut model.pieces[0];
    piece.parts = parts;
    piece.joints.clear();
    piece.copies = 1;
    piece.letters = vec!["A".into()];
    if let StockKind::Sheet { grain: g, .. } = &mut model.stocks[0].kind {
        *g = grain;
    }
    model
}

fn sizes(model: &mut Model) -> &mut Vec<SheetSize> {
    match &mut model.stocks[0].kind {
        StockKind::Sheet { sizes, .. } => sizes,
        _ => panic!("the fixture's first stock is a sheet"),
    }
}

fn cut(sheet: &Sheet, n: usize) -> (CutDo, Length, u32) {
    let c = &sheet.cuts[n];
    (c.what, c.setting, c.times)
}

/// Four panels 1000 x 500: rough 1003 x 503 (3 mm each way). Usable 2440 - 2 x 5 = 2430 by 1210.
/// Two of them across: 2 x 503 + 3.2 = 1009.2 of 1210. Two along: 2 x 1003 + 3.2 = 2009.2 of 2430.
/// Over at the strip's end 2430 - 2 x (1003 + 3.2) = 417.6, in one; below 1210 - (1009.2 + 3.2) = 197.6.
#[test]
fn four_panels_on_a_sheet() {
    let model = panels(&[(1000, 500); 4], SheetGrain::Long);
    let layouts = plan_layouts(&model, Effort::Quick);
    let layout = &layouts.sheets[0];
    assert_eq!(layout.sheets.len(), 1);
    let sheet = &layout.sheets[0];
    let mm = Length::mm;
    let cuts: Vec<_> = (0..sheet.cuts.len()).map(|n| cut(sheet, n)).collect();
    assert_eq!(
        cuts,
        [
            (CutDo::TrueEdge, mm(5), 1),
            (CutDo::Rip, dmm(10092), 1),
            (CutDo::SquareEnd, mm(5), 1),
            (CutDo::CrossCut, mm(1003), 2),
            (CutDo::Rip, mm(503), 2),
        ]
    );
    // Each rip frees the part that it cuts off and the one behind it.
    assert_eq!(sheet.cuts[4].gives.len(), 4);
    let rounds: Vec<u32> = sheet.cuts.iter().map(|c| c.round).collect();
    assert_eq!(rounds, [0, 1, 0, 2, 3]);
    let kept: Vec<_> = sheet
        .offcuts
        .iter()
        .map(|k| (k.name.as_str(), k.area.long(), k.area.wide()))
        .collect();
    assert_eq!(
        kept,
        [("K1", dmm(4176), dmm(10092)), ("K2", mm(2430), dmm(1976)),]
    );
    // 4 x 1003 x 503 of 2440 x 1220.
    assert_eq!(sheet.used, Rational::new(4 * 1003 * 503, 2440 * 1220));
    // (1006.2 x 506.2 x 4) / (2433.2 x 1213.2) = 2,037,353.76 / 2,951,958.24 = 0.690.
    let bound = layout.bound.expect("something is cut");
    assert_eq!((bound.sheets, bound.rule), (1, BoundRule::Area));
    assert!((bound.cover.to_f64() - 0.690_170).abs() < 1e-5);
}

/// Panels wider than half of the sheet can't lie beside one another: 3 x 1303.2 / 2433.2 = 1.607.
/// By area it would be 3 x 1303.2 x 706.2 / 2,951,958.24 = 0.935, so one.
#[test]
fn the_bound_counts_what_is_wider_than_half_the_sheet() {
    let model = panels(&[(1297, 700); 3], SheetGrain::Long);
    let layouts = plan_layouts(&model, Effort::Quick);
    let bound = layouts.sheets[0].bound.expect("something is cut");
    // Lengths of 1300 are also more than half of 2430: widths add up to 3 x 706.2 / 1213.2 = 1.746.
    assert_eq!((bound.sheets, bound.rule), (2, BoundRule::HalfLong));
    // Neither two in a strip (2603.2 > 2430) nor two strips (1409.2 > 1210): one a sheet.
    assert_eq!(layouts.sheets[0].sheets.len(), 3);
}

/// One panel of 2300 x 600: on the small sheet for 100, not on the large one for 190.
/// One of 2600 x 600 more: the large sheet holds both for 190, two sheets would be 290.
#[test]
fn the_cheaper_whole_is_taken() {
    let mut model = panels(&[(2300, 600)], SheetGrain::Long);
    let price = |amount: i64| {
        Some(Price {
            amount: Rational::int(amount),
            currency: "EUR".into(),
            per: Per::One,
        })
    };
    let mut large = sizes(&mut model)[0].clone();
    large.long = Length::mm(3050);
    large.wide = Length::mm(1525);
    large.price = price(190);
    sizes(&mut model)[0].price = price(100);
    sizes(&mut model).push(large.clone());
    let layouts = plan_layouts(&model, Effort::Quick);
    assert_eq!(layouts.sheets[0].sheets[0].size, 0);
    let mut both = panels(&[(2300, 600), (2600, 600)], SheetGrain::Long);
    sizes(&mut both)[0].price = price(100);
    sizes(&mut both).push(large);
    let layouts = plan_layouts(&both, Effort::Quick);
    assert_eq!(layouts.sheets[0].sheets.len(), 1);
    assert_eq!(layouts.sheets[0].sheets[0].size, 1);
    let cost = &layouts.sheets[0].cost;
    assert_eq!(cost.currency.as_deref(), Some("EUR"));
    // The long panel needs a large sheet, so nothing costs less.
    assert_eq!(cost.cost, Rational::int(190));
    assert!(cost.is_least());
}

/// Three panels of 1203 x 703, with kerf 1206.2 x 706.2: two side by side in a strip (2412.4 of 2433.2),
/// one strip a sheet (1412.4 of 1213.2). So two sheets of 2440 x 1220 mm. Without a price it is area.
#[test]
fn without_prices_the_area_of_the_sheets_counts() {
    let model = panels(&[(1200, 700); 3], SheetGrain::Long);
    let mut bare = model.clone();
    sizes(&mut bare)[0].price = None;
    let cost = plan_layouts(&bare, Effort::Quick).sheets.remove(0).cost;
    assert_eq!(cost.currency, None);
    assert_eq!(cost.cost, Rational::int(2 * 2440 * 1220));
    assert!(cost.is_least());
    // One size priced and another not: nothing to compare but areas.
    let mut half = model;
    sizes(&mut half)[0].price = Some(Price {
        amount: Rational::int(100),
        currency: "EUR".into(),
        per: Per::One,
    });
    let mut other = sizes(&mut bare)[0].clone();
    other.long = Length::mm(1300);
    sizes(&mut half).push(other);
    let layout = plan_layouts(&half, Effort::Quick).sheets.remove(0);
    assert_eq!(layout.cost.currency, None);
    // Two on a sheet of 2440, one on a sheet of 1300.
    assert_eq!(layout.cost.cost, Rational::int((2440 + 1300) * 1220));
}

/// 2 x 47 15/16 in and a kerf of 1/8 in are 96 in: to the last sixteenth, or not at all.
#[test]
fn what_just_fits_is_laid_out() {
    let item = |sixteenths| item::Item {
        long: Length::inches(sixteenths, 16),
        wide: Length::inches(12, 1),
        may_turn: false,
    };
    let sheets = |items: &[item::Item]| {
        solve::solve(&solve::Question {
            items,
            sources: &[item::Source {
                size: 0,
                long: Length::inches(96, 1),
                wide: Length::inches(12, 1),
                trim: Length::ZERO,
                worth: Rational::ONE,
            }],
            currency: None,
            kerf: Length::inches(1, 8),
            stages: crate::cutting::Stages::Three,
            trimming: true,
            first_cut: crate::cutting::FirstCut::AlongW,
            effort: Effort::Quick,
        })
    };
    let just = sheets(&[item(767), item(767)]);
    assert_eq!(just.laid.len(), 1);
    assert!(just.cost.is_least());
    assert_eq!(sheets(&[item(767), item(768)]).laid.len(), 2);
    // A length that is whole in no unit that the engine can count in is rounded, the safe way, and then
    // nothing is claimed.
    let fine = item::Item {
        long: Length::from_mm(Rational::new(100_000_000_019, 100_000_007)),
        ..item(767)
    };
    let rounded = sheets(&[fine, item(767)]);
    assert_eq!((rounded.laid.len(), rounded.unplaced.len()), (1, 0));
    assert!(!rounded.cost.is_least());
    assert!(rounded.cost.bound.is_zero());
}

#[test]
fn a_part_that_no_sheet_holds_is_left_over() {
    let model = panels(&[(2428, 600), (500, 400)], SheetGrain::Long);
    let layouts = plan_layouts(&model, Effort::Quick);
    let layout = &layouts.sheets[0];
    // 2428 + 3 = 2431, and 2430 can be used.
    assert_eq!(layout.unplaced.len(), 1);
    assert_eq!(layout.unplaced[0].1, Length::mm(2431));
    assert_eq!(layout.sheets.len(), 1);
}

/// Grain across the sheet: the part's length of 1203 lies along the 1220 side.
#[test]
fn grain_that_runs_across_the_sheet_turns_its_parts() {
    let model = panels(&[(1200, 300)], SheetGrain::Wide);
    let layouts = plan_layouts(&model, Effort::Quick);
    let placed = &layouts.sheets[0].sheets[0].placed[0];
    assert!(placed.across);
    assert_eq!(
        (placed.area.long(), placed.area.wide()),
        (Length::mm(303), Length::mm(1203))
    );
}

#[test]
fn the_verifier_sees_each_kind_of_fault() {
    let model = panels(&[(1000, 500); 4], SheetGrain::Long);
    let sound = plan_layouts(&model, Effort::Quick).sheets.remove(0);
    assert_eq!(verify::layout(&model, &sound), None);
    let broken = |change: &dyn Fn(&mut StockLayout)| {
        let mut other = sound.clone();
        change(&mut other);
        verify::layout(&model, &other).expect("the fault is seen")
    };
    let shift = |r: &mut Rect, axis: usize, by: Length| {
        r.lo[axis] += by;
        r.hi[axis] += by;
    };
    // A tenth of a millimetre less than a kerf apart.
    let close = broken(&|l| {
        let first = l.sheets[0].placed[0].area;
        l.sheets[0].placed[1].area = first;
        shift(&mut l.sheets[0].placed[1].area, 0, first.long() + dmm(31));
    });
    assert!(close.contains("less than a kerf"), "{close}");
    let over = broken(&|l| shift(&mut l.sheets[0].placed[0].area, 1, dmm(-1)));
    assert!(over.contains("edge"), "{over}");
    let missing = broken(&|l| {
        l.sheets[0].placed.pop();
    });
    assert!(missing.contains("missing"), "{missing}");
    let twice = broken(&|l| {
        let again = l.sheets[0].placed[0].clone();
        l.sheets[0].placed.push(again);
    });
    assert!(twice.contains("twice"), "{twice}");
    let turned = broken(&|l| {
        let p = &mut l.sheets[0].placed;
        p.truncate(1);
        p[0].across = true;
        p[0].area.hi = [p[0].area.lo[0] + p[0].width, p[0].area.lo[1] + p[0].length];
        for part in &sound.sheets[0].placed[1..] {
            l.unplaced
                .push((part.part.clone(), part.length, part.width));
        }
    });
    assert!(turned.contains("across the grain"), "{turned}");
}

/// The list of cuts is sawn: each right through, so far from the edge, in an order that can be had, and
/// it gives what it says.
#[test]
fn the_verifier_saws_by_the_list_of_cuts() {
    let model = panels(&[(1000, 500); 4], SheetGrain::Long);
    let sound = plan_layouts(&model, Effort::Quick).sheets.remove(0);
    let broken = |change: &dyn Fn(&mut Vec<SheetCut>)| {
        let mut other = sound.clone();
        change(&mut other.sheets[0].cuts);
        verify::layout(&model, &other).expect("the fault is seen")
    };
    let short = broken(&|cuts| cuts[4].lines[0].to[0] -= dmm(1));
    assert!(short.contains("stops within a piece"), "{short}");
    // Cross-cuts before the strips are ripped would go through what lies beyond.
    let early = broken(&|cuts| cuts.swap(1, 3));
    assert!(early.contains("stops within a piece"), "{early}");
    let setting = broken(&|cuts| cuts[3].setting += dmm(1));
    assert!(setting.contains("setting"), "{setting}");
    let missing = broken(&|cuts| {
        cuts.pop();
    });
    assert!(missing.contains("no cut"), "{missing}");
    let gives = broken(&|cuts| {
        cuts[4].gives.pop();
    });
    assert!(gives.contains("cut 5"), "{gives}");
}

/// The cabinet's strips, twice over: four of 720 and four of 564.8 long (oak, 13 or 8 thick).
/// Side strips: rough 720 + 6 to trim + 25 = 751, 17.6 + 1.5 to flush + 6 = 25.1, so 25.5; 13 + 3 =
/// 16, so of 20; floor and top, not trimmed: 589.8, so 590, x 25.5 x 11, of 20.
/// Running: 4 x (751 + 3.2) + 4 x (590 + 3.2) = 3016.8 + 2372.8 = 5389.6.
/// Net: (4 x 751 + 4 x 590) x (25.5 + 3.2) x 20 = 5364 x 28.7 x 20 = 3,078,936 mm3;
/// with 30 % waste of what is bought: / 0.7 = 4,398,480 mm3.
/// A board of 2000 x 100 x 20 is 4,000,000 mm3. Three strips of 25.5 take 82.9 of its 100, four are too
/// many; of its 2000, 751 + 590 + 590 and two kerfs take 1937.4: two such rips, and one with 751 + 751,
/// are all of them. So one board, and a spare one, as 30 % may be lost and the layout loses
/// 1 - 3.079 / 4 = 23 %.
#[test]
fn strips_are_sawn_from_boards() {
    let model = fixture::cabinet();
    let layouts = plan_layouts(&model, Effort::Quick);
    assert_eq!(layouts.boards.len(), 1);
    let list = &layouts.boards[0];
    assert_eq!(list.rough, Some(Length::mm(20)));
    assert_eq!(list.pieces.len(), 8);
    assert_eq!(list.running, dmm(53896));
    assert_eq!(list.net, Rational::int(3_078_936));
    assert_eq!(list.boards.len(), 1);
    assert!(list.cost.as_ref().is_some_and(LayoutCost::is_least));
    let asked: Vec<(u32, u32)> = list.asked.iter().map(|a| (a.laid, a.spare)).collect();
    assert_eq!(asked, [(1, 1)]);
    let wood = list.bought(model.shop.board_waste);
    assert_eq!((wood.count, wood.length), (2, Length::mm(4000)));
    assert_eq!(wood.volume, Rational::int(8_000_000));
    assert!(list.unplaced.is_empty());
    // Rips first: each of 25.5, then what is cut off them.
    let cuts: Vec<_> = (0..3).map(|n| cut(&list.boards[0], n)).collect();
    assert_eq!(
        cuts,
        [
            (CutDo::Rip, dmm(255), 3),
            (CutDo::CrossCut, Length::mm(751), 4),
            (CutDo::CrossCut, Length::mm(590), 4),
        ]
    );
    assert_eq!(list.boards[0].cuts[2].gives.len(), 4);
}

/// Strips 5 thick and 17.6 wide, from 20 boards: ripped off, each 5 + 1.5 to true the edge. A blank
/// holds 30 besides, so of the least board's 100 are 70: 70 / (6.5 + 3.2) = 7.2, seven strips at most.
/// Of one length there are nine: two blanks, of five and four, 5 x 9.7 + 30 = 78.5 and 68.8 wide.
#[test]
fn thin_strips_are_ripped_off_blanks() {
    let piece = |i: u32| BoardPiece {
        part: PartCopy {
            part: PartRef {
                piece: 0,
                part: PartId(i),
            },
            mark: 1,
            label: "Strip".into(),
            hand: None,
            letter: "A".into(),
        },
        strip: true,
        long: Length::mm(800),
        wide: dmm(65),
        thick: dmm(191),
        planed_first: true,
        stave: None,
    };
    let pieces: Vec<BoardPiece> = (0..9).map(piece).collect();
    let limits = (Length::mm(100), Length::mm(250));
    let found: Vec<_> = boards::blanks(&pieces, dmm(32), limits, |l| l)
        .into_iter()
        .map(|b| (b.strips.len(), b.long, b.wide))
        .collect();
    let mm = Length::mm;
    assert_eq!(found, [(5, mm(800), dmm(785)), (4, mm(800), dmm(688))]);
}

/// Strips of edging, 2 m as sold: 1225, 815, 525 and 425 long for breakdown, two of each. Beside a 1225
/// is room for one of 525 or 425 (525 + 425 and two kerfs are 956.4 of the 775 left). What those two
/// leave is 815 twice and at least 425 twice, 2480, and takes two more: four.
#[test]
fn edging_is_cut_from_strips_as_sold() {
    let mut model = panels(
        &[
            (1200, 20),
            (790, 20),
            (500, 20),
            (400, 20),
            (1200, 20),
            (790, 20),
            (500, 20),
            (400, 20),
        ],
        SheetGrain::None,
    );
    model.stocks[0].kind = StockKind::Edging {
        thick: Length::mm(1),
        wide: Some(Length::mm(22)),
        long: Some(Length::mm(2000)),
        price: Some(Price {
            amount: Rational::new(12, 10_000),
            currency: "EUR".into(),
            per: Per::Length,
        }),
    };
    let list = plan_layouts(&model, Effort::Quick).strips.remove(0);
    assert_eq!(list.strips.len(), 4);
    // 1.20 a metre: 2.40 a strip.
    let cost = list.cost.expect("strips are laid out");
    assert_eq!(cost.cost, Rational::new(96, 10));
    assert!(cost.is_least());
    let laid: usize = list.strips.iter().map(|s| s.placed.len()).sum();
    assert_eq!(laid, 8);
    assert!(
        list.strips
            .iter()
            .all(|s| s.cuts.iter().all(|c| c.what == CutDo::CrossCut))
    );
}

/// A board part of 600 in boards at most 250 wide, 6 mm rough: 600 / 244 = 2.46, three staves of
/// 200 + 6.
#[test]
fn boards_are_asked_for_as_wide_as_their_parts() {
    let mut model = panels(&[(900, 180)], SheetGrain::Long);
    model.pieces[0].parts[0].stock = StockId(2);
    let list = plan_layouts(&model, Effort::Quick).boards.remove(0);
    // The stock promises 100; what is bought must hold 180 + 6.
    assert_eq!(list.least.map(|l| l.1), Some(Length::mm(100)));
    assert_eq!(list.asked.len(), 1);
    assert_eq!(list.asked[0].wide, Length::mm(186));
}

#[test]
fn a_panel_wider_than_any_board_is_built_up() {
    let mut model = panels(&[(900, 600)], SheetGrain::Long);
    model.pieces[0].parts[0].stock = StockId(2);
    let list = plan_layouts(&model, Effort::Quick).boards.remove(0);
    assert_eq!(list.pieces.len(), 3);
    assert_eq!(list.pieces[0].wide, Length::mm(206));
    assert_eq!(list.pieces[2].stave, Some((3, 3)));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    /// Random parts: all are placed, none overlap (the verifier runs inside `plan_layouts`, and once
    /// more here), and never fewer sheets than the bound.
    #[test]
    fn random_parts_are_all_placed(
        parts in prop::collection::vec((30i64..2400, 30i64..1200), 1..40),
        grain in prop::sample::select(vec![SheetGrain::Long, SheetGrain::None]),
    ) {
        let model = panels(&parts, grain);
        let layouts = plan_layouts(&model, Effort::Quick);
        let layout = &layouts.sheets[0];
        prop_assert_eq!(verify::layout(&model, layout), None);
        let placed: usize = layout.sheets.iter().map(|s| s.placed.len()).sum();
        prop_assert_eq!(placed, parts.len());
        let bound = layout.bound.expect("something is cut");
        prop_assert!(bound.sheets as usize <= layout.sheets.len());
        prop_assert!(layout.cost.bound <= layout.cost.cost);
        for sheet in &layout.sheets {
            // Every part is finished by some cut, or its far sides are the sheet's own.
            for cut in &sheet.cuts {
                prop_assert!(cut.times as usize == cut.lines.len());
            }
            for k in &sheet.offcuts {
                for p in &sheet.placed {
                    let apart = (0..2).any(|i| k.area.hi[i] <= p.area.lo[i] || p.area.hi[i] <= k.area.lo[i]);
                    prop_assert!(apart, "an offcut lies under a part");
                }
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]

    /// What sheets cost adds up, is not less than its bound, and two sizes never cost more than one.
    #[test]
    fn more_sizes_never_cost_more(
        parts in prop::collection::vec((100i64..1500, 100i64..1200), 1..16),
        grain in prop::sample::select(vec![SheetGrain::Long, SheetGrain::Wide, SheetGrain::None]),
        (whole, by_area) in (50i64..150, 10i64..60),
    ) {
        let mut model = panels(&parts, grain);
        // One sheet, and a square metre.
        let prices = [
            (Rational::int(whole), Per::One),
            (Rational::new(i128::from(by_area), 1_000_000), Per::Area),
        ];
        let [first, second] = prices.map(|(amount, per)| {
            let mut size = sizes(&mut model)[0].clone();
            size.price = Some(Price { amount, currency: "EUR".into(), per });
            size
        });
        let second = SheetSize { long: Length::mm(1525), wide: Length::mm(1525), ..second };
        let squares = Rational::int(by_area) * Rational::new(1525 * 1525, 1_000_000);
        *sizes(&mut model) = vec![first.clone()];
        let one = plan_layouts(&model, Effort::Quick).sheets.remove(0);
        *sizes(&mut model) = vec![first, second];
        let both = plan_layouts(&model, Effort::Quick).sheets.remove(0);
        let paid = both.sheets.iter().fold(Rational::ZERO, |sum, sheet| {
            sum + if sheet.size == 0 { Rational::int(whole) } else { squares }
        });
        prop_assert_eq!(both.cost.cost, paid);
        prop_assert!(both.cost.bound <= paid);
        prop_assert!(both.unplaced.len() <= one.unplaced.len());
        if one.unplaced.is_empty() {
            prop_assert!(paid <= one.cost.cost);
            // What is proven of both sizes is so of one.
            prop_assert!(both.cost.bound <= one.cost.cost);
        }
    }
}
