//! Layouts against figures worked by hand, and against the verifier on random parts.

use super::*;
use crate::model::fixture::{self, dmm, lay};
use crate::model::{Box3, Edge, Grain, Group, PartId, PartRef, Price, Role, SheetGrain, SoldSize};
use crate::model::{Figure, FirstCuts, Matched, OnHand, OnHandKind, Per, Piece};
use proptest::prelude::*;

/// An item by itself, as its own part, where it was sawn out.
pub(super) fn bare(item: usize, area: Rect) -> Placed {
    Placed {
        part: PartCopy {
            part: PartRef {
                piece: 0,
                part: PartId(item as u32),
            },
            mark: item as u32,
            label: String::new(),
            hand: None,
            letter: String::new(),
        },
        more: Vec::new(),
        stave: None,
        sequence: None,
        area,
        length: area.long(),
        width: area.wide(),
        across: false,
    }
}

/// A model of one piece whose parts are plain panels of the fixture's first stock.
pub(super) fn panels(sizes: &[(i64, i64)], grain: SheetGrain) -> Model {
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

fn sizes(model: &mut Model) -> &mut Vec<SoldSize> {
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

/// Eight of them fill two sheets that are cut alike: one group, each part once, settings told once.
#[test]
fn sheets_cut_alike_go_together() {
    let model = panels(&[(1000, 500); 8], SheetGrain::Long);
    let layouts = plan_layouts(&model, Effort::Quick);
    let groups: Vec<&[Sheet]> = alike(&layouts.sheets[0].sheets).collect();
    let numbers: Vec<u32> = groups
        .iter()
        .flat_map(|g| g.iter().map(|s| s.number))
        .collect();
    assert_eq!((groups.len(), numbers), (1, vec![1, 2]));
    let marks = groups[0]
        .iter()
        .flat_map(|s| s.placed.iter().map(|p| p.part.mark));
    let mut marks: Vec<u32> = marks.collect();
    marks.sort_unstable();
    assert_eq!(marks, [1, 2, 3, 4, 5, 6, 7, 8]);
    // A ninth lies on a sheet that is cut in another way.
    let model = panels(&[(1000, 500); 9], SheetGrain::Long);
    let layouts = plan_layouts(&model, Effort::Quick);
    let groups = alike(&layouts.sheets[0].sheets).map(<[Sheet]>::len);
    assert_eq!(groups.collect::<Vec<_>>(), [2, 1]);
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
    assert_eq!(layouts.sheets[0].sheets[0].taken, Taken::Bought(0));
    let mut both = panels(&[(2300, 600), (2600, 600)], SheetGrain::Long);
    sizes(&mut both)[0].price = price(100);
    sizes(&mut both).push(large);
    let layouts = plan_layouts(&both, Effort::Quick);
    assert_eq!(layouts.sheets[0].sheets.len(), 1);
    assert_eq!(layouts.sheets[0].sheets[0].taken, Taken::Bought(1));
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
        run: None,
    };
    let sheets = |items: &[item::Item]| {
        solve::solve(&solve::Question {
            items,
            sources: &[item::Source {
                taken: Taken::Bought(0),
                long: Length::inches(96, 1),
                wide: Length::inches(12, 1),
                trim: Length::ZERO,
                worth: Rational::ONE,
                copies: None,
                widest: [None; 2],
            }],
            currency: None,
            kerf: Length::inches(1, 8),
            style: style::Style {
                first: FirstCuts::Along,
                stages: crate::cutting::Stages::Three,
                longest: None,
                keep: (None, (Length::ZERO, Length::ZERO)),
            },
            trimming: true,
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

/// Four panels by first strips of 2440 x 1009.2, 30.3 kg (see `one_person_lifts_the_first_pieces`), in three
/// rounds: too many, too long and too heavy for another shop. A panel alone needs 15.1 kg, not this strip.
#[test]
fn the_verifier_sees_what_the_shop_can_not_do() {
    let mut model = panels(&[(1000, 500); 4], SheetGrain::Long);
    model.stocks[0].density = Some(Figure {
        value: Rational::int(700),
        source: None,
    });
    let sound = plan_layouts(&model, Effort::Quick).sheets.remove(0);
    let fault = |change: &dyn Fn(&mut crate::model::Model)| {
        let mut other = model.clone();
        change(&mut other);
        verify::layout(&other, &sound)
    };
    let mut fewer = sound.clone();
    fewer.rounds = 2;
    assert_eq!(verify::layout(&model, &fewer), None);
    fewer.rounds = 1;
    let late = verify::layout(&model, &fewer).expect("it is seen");
    assert!(late.contains("of round 3"), "{late}");
    assert_eq!(fault(&|m| m.shop.saw_long = Some(Length::mm(2440))), None);
    let long = fault(&|m| m.shop.saw_long = Some(dmm(24_399))).expect("it is seen");
    assert!(long.contains("longer than the saw"), "{long}");
    assert_eq!(fault(&|m| m.shop.lift = Some(Rational::int(31))), None);
    for most in [20, 10] {
        let heavy = fault(&|m| m.shop.lift = Some(Rational::int(most))).expect("it is seen");
        assert!(heavy.contains("too heavy"), "{heavy}");
    }
}

/// A panel of 2430 by 1210, all that can be used: nothing is cut but the edges.
#[test]
fn what_fills_a_sheet_is_only_trued() {
    let mut model = panels(&[(2427, 1207)], SheetGrain::Long);
    model.shop.saw_long = Some(Length::mm(1500));
    let layout = plan_layouts(&model, Effort::Quick).sheets.remove(0);
    let placed: usize = layout.sheets.iter().map(|s| s.placed.len()).sum();
    assert_eq!(placed + layout.unplaced.len(), 1);
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
    let wood = list.bought();
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
    let found: Vec<_> = boards::blanks(&pieces, dmm(32), |_| Some(limits), |l| l)
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
    let Sold::Random { long, wide } = list.sold else {
        panic!("random ones")
    };
    assert_eq!((long.0, wide.0), (Length::mm(2000), Length::mm(100)));
    assert_eq!(list.asked.len(), 1);
    assert_eq!(list.asked[0].wide, Length::mm(186));
}

/// Five parts of 900 x 84, 90 with what is over, from boards of 2000 by 100 to 300: two in the length of a
/// board and one in its width, so three boards. In 200 lie two, 90 + 3.2 + 90, so four to a board and two
/// boards; in 300 three, six to a board, and one does. 30 % may be lost: 5 x 925 x 90 = 416,250 mm2, / 0.7 =
/// 594,643, which three boards of 200,000 hold. By length: five of 90, a kerf after each, 466.
#[test]
fn wider_boards_are_told_beside() {
    let mut model = panels(&[(900, 84); 5], SheetGrain::Long);
    for part in &mut model.pieces[0].parts {
        part.stock = StockId(2);
    }
    let mm = Length::mm;
    if let StockKind::Board { wide, .. } = &mut model.stocks[2].kind {
        *wide = Some((mm(100), mm(300)));
    }
    let list = plan_layouts(&model, Effort::Quick).boards.remove(0);
    assert_eq!(
        (list.pieces[0].long, list.pieces[0].wide),
        (mm(925), mm(90))
    );
    let asked: Vec<(u32, u32)> = list.asked.iter().map(|a| (a.laid, a.spare)).collect();
    assert_eq!(asked, [(3, 0)]);
    let thick = list.rough.expect("it is thick enough").as_mm();
    assert_eq!(list.laid(), Rational::int(600_000) * thick);
    assert_eq!(list.need, Rational::new(4_162_500, 7) * thick);
    let wider: Vec<_> = list.if_wide.iter().map(|w| (w.wide, w.boards)).collect();
    assert_eq!(wider, [(mm(200), 2), (mm(300), 1)]);
    assert_eq!(list.if_wide[0].volume, Rational::int(800_000) * thick);
    let rows = list.by_length(model.shop.kerf);
    assert_eq!(rows.len(), 1);
    assert_eq!((rows[0].long, rows[0].wide), (mm(925), mm(466)));
    assert_eq!(rows[0].rips, [(mm(90), 5)]);
}

/// 10.006 in hundredths is 1001, of which 9.001 is paid for: 900, and 101 is left for the rack. A bound of
/// 9.999 is printed 9.99; 0.007 of 10.006 are 0.0699 %, so at most 0.7 thousandths, printed as one.
#[test]
fn printed_costs_add_up() {
    let cost = LayoutCost {
        cost: Rational::new(10_006, 1000),
        bound: Rational::new(9_999, 1000),
        on_hand: Rational::new(1_005, 1000),
        currency: None,
    };
    let units = CostUnits {
        cost: 1001,
        to_buy: 900,
        on_hand: 101,
        bound: 999,
    };
    assert_eq!(cost.in_units(Rational::new(1, 100)), Some(units));
    assert_eq!(cost.saving(), 1);
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

/// A row of the rack, for the fixture's stocks.
fn on_hand(kind: OnHandKind, stock: u32, size: [i64; 3], model: &Model) -> OnHand {
    OnHand {
        kind,
        count: 2,
        stock: StockId(stock),
        long: Length::mm(size[0]),
        wide: Length::mm(size[1]),
        thick: Length::mm(size[2]),
        faults: Vec::new(),
        origin: model.stocks[stock as usize].origin.clone(),
    }
}

/// Two panels of 1003 x 503 for breakdown lie behind one another on an offcut of 1010 x 1010: 1009.2.
/// It counts 0.3427 of the sheet's area, times the root of that, 0.585, times 19/20: 0.190 of 100 EUR.
#[test]
fn the_rack_goes_first() {
    let mut model = panels(&[(1000, 500); 2], SheetGrain::Long);
    sizes(&mut model)[0].price = Some(Price {
        amount: Rational::int(100),
        currency: "EUR".into(),
        per: Per::One,
    });
    model.rack = vec![on_hand(OnHandKind::Offcut, 0, [1010, 1010, 0], &model)];
    let layouts = plan_layouts(&model, Effort::Quick);
    let layout = &layouts.sheets[0];
    let taken = Taken::OnHand {
        row: 0,
        from: Length::ZERO,
    };
    assert_eq!(layout.sheets.len(), 1);
    assert_eq!(layout.sheets[0].taken, taken);
    // Its edges are clean: nothing is trimmed.
    assert!(layout.sheets[0].cuts.iter().all(|c| c.round > 0));
    assert_eq!(layout.cost.cost, Rational::int(19));
    assert_eq!(layout.cost.on_hand, Rational::int(19));
    // Nothing of it is worth keeping; the other one stays.
    let after = layouts.rack_after(&model);
    assert_eq!((after.len(), after[0].count), (1, 1));
    assert!(rack::text(&model, &after, &[]).contains("offcut 1 of "));
    model.rack[0].count = 0;
    let fault = verify::layouts(&model, &layouts).expect("it is seen");
    assert!(fault.contains("used 1 times"), "{fault}");
    model.rack[0].count = 1;
    model.rack[0].long = Length::mm(1000);
    let fault = verify::layouts(&model, &layouts).expect("it is seen");
    assert!(fault.contains("not so large"), "{fault}");
}

/// A board of 2000 with a fault from 900 to 1000 is 900 and 1000 long. Two pieces of 870 + 25 = 895 come
/// out of one each; a new board of 2000 would hold both. The two count 0.45 and 0.5 of it, times their
/// roots 0.67 and 0.707, times 0.95: 0.286 + 0.335 of it.
#[test]
fn faults_are_cut_out_of_boards_on_hand() {
    let mut model = panels(&[(870, 90); 2], SheetGrain::Long);
    for part in &mut model.pieces[0].parts {
        part.stock = StockId(2);
    }
    let rough = plan_layouts(&model, Effort::Quick).boards[0].rough;
    let thick = rough.expect("it is on offer");
    let mut board = on_hand(OnHandKind::Board, 2, [2000, 100, 0], &model);
    (board.count, board.thick) = (1, thick);
    board.faults = vec![(Length::mm(900), Length::mm(1000))];
    model.rack = vec![board];
    let layouts = plan_layouts(&model, Effort::Quick);
    let list = &layouts.boards[0];
    let mut from: Vec<Taken> = list.boards.iter().map(|b| b.taken).collect();
    from.sort_by_key(|taken| match taken {
        Taken::OnHand { from, .. } => *from,
        Taken::Bought(_) => Length::mm(-1),
    });
    let at = |mm| Taken::OnHand {
        row: 0,
        from: Length::mm(mm),
    };
    assert_eq!(from, [at(0), at(1000)]);
    assert_eq!(list.bought().count, 0);
    assert!(list.asked.is_empty());
    assert!(layouts.rack_after(&model).is_empty());
    let bought = crate::plan::make(&model).buying;
    let boards = bought.lines.iter().filter(|l| l.stock == Some(StockId(2)));
    assert_eq!(boards.count(), 0);
}

/// Across first: the end is squared, two pieces of 1003 come off the sheet, an edge of each is trued, and
/// each is ripped twice.
#[test]
fn the_shop_cuts_across_first() {
    let mut model = panels(&[(1000, 500); 4], SheetGrain::Long);
    model.shop.first_sheets = Some(FirstCuts::Across);
    model.shop.cut_rounds = 2;
    let layouts = plan_layouts(&model, Effort::Quick);
    let sheet = &layouts.sheets[0].sheets[0];
    let cuts: Vec<_> = (0..sheet.cuts.len()).map(|n| cut(sheet, n)).collect();
    let mm = Length::mm;
    assert_eq!(
        cuts,
        [
            (CutDo::SquareEnd, mm(5), 1),
            (CutDo::CrossCut, mm(1003), 2),
            (CutDo::TrueEdge, mm(5), 1),
            (CutDo::Rip, mm(503), 4),
        ]
    );
    // Rips of 2440 are more than the saw takes: then across, unless the shop says along.
    model.shop.first_sheets = None;
    model.shop.saw_long = Some(mm(1500));
    let layouts = plan_layouts(&model, Effort::Quick);
    assert_eq!(layouts.sheets[0].sheets[0].cuts[0].what, CutDo::SquareEnd);
}

/// Two panels of 248 beside one of 503: 248 + 3.2 + 248 = 499.2 in one strip takes a third round. In two
/// each lies in a strip by itself, or beside the large one with a trimming cut.
#[test]
fn two_rounds_stack_nothing() {
    let mut model = panels(&[(1000, 500), (1000, 245), (1000, 245)], SheetGrain::Long);
    model.shop.cut_rounds = 2;
    let layouts = plan_layouts(&model, Effort::Quick);
    let cuts = &layouts.sheets[0].sheets[0].cuts;
    let first: u32 = cuts.iter().filter(|c| c.round == 1).map(|c| c.times).sum();
    assert_eq!(first, 2);
    // What is ripped off a third time is a part and what is left of its piece.
    let third = cuts.iter().filter(|c| c.round == 3);
    assert!(third.flat_map(|c| &c.lines).count() <= 1);
    assert!(cuts.iter().all(|c| c.round <= 3));
}

/// 700 kg/m3 and 17.6 mm are 12.32 kg/m2. A first strip for two panels beside one another is 2440 x
/// 1009.2 = 2.46 m2, 30.3 kg; for one 2440 x 503 = 1.227 m2, 15.12 kg.
#[test]
fn one_person_lifts_the_first_pieces() {
    let mut model = panels(&[(1000, 500); 4], SheetGrain::Long);
    model.stocks[0].density = Some(Figure {
        value: Rational::int(700),
        source: None,
    });
    let strips = |model: &Model| {
        let layout = plan_layouts(model, Effort::Quick).sheets.remove(0);
        let heaviest = layout.heaviest(&layout.sheets[0]).expect("it is known");
        (cut(&layout.sheets[0], 1), heaviest)
    };
    let (first, weight) = strips(&model);
    assert_eq!(first, (CutDo::Rip, dmm(10092), 1));
    assert_eq!(weight, Rational::new(1232 * 2440 * 10_092, 1_000_000_000));
    assert_eq!(plan_layouts(&model, Effort::Quick).sheets[0].for_lift, None);
    model.shop.lift = Some(Rational::int(20));
    // One sheet holds them either way.
    let costs = plan_layouts(&model, Effort::Quick)
        .sheets
        .remove(0)
        .for_lift;
    assert_eq!(costs, Some(Rational::ZERO));
    let (first, weight) = strips(&model);
    assert_eq!(first, (CutDo::Rip, Length::mm(503), 2));
    assert!(weight < Rational::int(16));
    // A panel that can't be had so is laid out all the same, from the lightest piece that holds it.
    model.shop.lift = Some(Rational::int(10));
    let (first, weight) = strips(&model);
    assert_eq!(first, (CutDo::Rip, Length::mm(503), 2));
    assert!(weight > Rational::int(15));
}

/// Below the panels 2430 x 197.6 stay over, at their end 417.6 x 1009.2.
/// Six of 1190 x 390 lie in three strips of 393 by 2440: 0.959 m2 of 12.32 kg, 11.8 kg each, so 12 kg bind
/// nothing and cost nothing.
#[test]
fn what_lifting_alone_costs_is_told() {
    let mut model = panels(&[(1190, 390); 6], SheetGrain::Long);
    model.stocks[0].density = Some(Figure {
        value: Rational::int(700),
        source: None,
    });
    let free = plan_layouts(&model, Effort::Quick).sheets.remove(0);
    model.shop.lift = Some(Rational::int(12));
    let light = plan_layouts(&model, Effort::Quick).sheets.remove(0);
    let more = light.cost.cost - free.cost.cost;
    assert!(more.is_zero());
    assert_eq!(light.for_lift, Some(more));
    assert!(
        light
            .heaviest(&light.sheets[0])
            .is_some_and(|w| w <= Rational::int(12))
    );
}

#[test]
fn what_is_worth_keeping_is_for_the_shop_to_say() {
    let mut model = panels(&[(1000, 500); 4], SheetGrain::Long);
    model.shop.keep_sheet = (Length::mm(300), Length::mm(200));
    let layouts = plan_layouts(&model, Effort::Quick);
    let kept = &layouts.sheets[0].sheets[0].offcuts;
    assert_eq!(kept.len(), 1);
    assert_eq!(kept[0].area.long(), dmm(4176));
    let after = layouts.rack_after(&model);
    assert_eq!((after[0].long, after[0].wide), (dmm(4176), dmm(10092)));
}

/// Matched along the grain: 403 + 603 + 503 and two kerfs of 3.2 are 1515.4 of 2430, all 703 wide, whatever
/// else lies on the sheet; in sequence though 603 is the longest. Across the grain: 403 + 303 + 353 and
/// two kerfs are 1065.4 of 1210.
#[test]
fn matched_fronts_follow_each_other() {
    let sizes = [
        ([(400, 700), (600, 700), (500, 700)], 0),
        ([(700, 400), (700, 300), (700, 350)], 1),
    ];
    for (fronts, axis) in sizes {
        let others = [(900, 350); 3];
        let all: Vec<(i64, i64)> = others.into_iter().chain(fronts).collect();
        let mut model = panels(&all, SheetGrain::Long);
        let piece = &mut model.pieces[0];
        for (i, part) in piece.parts.iter_mut().enumerate().skip(3) {
            part.core.lo[axis] = Length::mm(i as i64);
        }
        piece.matched = vec![Matched {
            parts: (3..6).map(PartId).collect(),
            origin: piece.origin.clone(),
        }];
        let layouts = plan_layouts(&model, Effort::Quick);
        let sheet = &layouts.sheets[0].sheets[0];
        let spot = |id: u32| {
            let is = |p: &&Placed| p.part.part.part == PartId(id);
            sheet.placed.iter().find(is).expect("it is on the sheet")
        };
        let row = [3, 4, 5].map(spot);
        let order: Vec<_> = row.iter().map(|p| p.sequence).collect();
        assert_eq!(order, [Some((1, 3)), Some((2, 3)), Some((3, 3))]);
        for pair in row.windows(2) {
            assert_eq!(pair[0].area.hi[axis] + dmm(32), pair[1].area.lo[axis]);
            assert_eq!(pair[0].area.lo[1 - axis], pair[1].area.lo[1 - axis]);
        }
        // The verifier sees one that is apart.
        let mut torn = layouts.clone();
        let placed = &mut torn.sheets[0].sheets[0].placed;
        let at = |id| placed.iter().position(|p| p.part.part.part == PartId(id));
        let (a, b) = (at(3).expect("one"), at(5).expect("two"));
        let area = placed[a].area;
        placed[a].area = placed[b].area;
        placed[b].area = area;
        let fault = verify::layouts(&model, &torn).expect("it is seen");
        assert!(fault.contains("apart"), "{fault}");
    }
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
        let second = SoldSize { long: Length::mm(1525), wide: Length::mm(1525), ..second };
        let squares = Rational::int(by_area) * Rational::new(1525 * 1525, 1_000_000);
        *sizes(&mut model) = vec![first.clone()];
        let one = plan_layouts(&model, Effort::Quick).sheets.remove(0);
        *sizes(&mut model) = vec![first, second];
        let both = plan_layouts(&model, Effort::Quick).sheets.remove(0);
        let paid = both.sheets.iter().fold(Rational::ZERO, |sum, sheet| {
            sum + if sheet.taken == Taken::Bought(0) { Rational::int(whole) } else { squares }
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

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, ..ProptestConfig::default() })]

    /// Whatever the shop can't do, its sheets pass the verifier (which runs inside `plan_layouts`), and no part
    /// is lost.
    #[test]
    fn sheets_keep_to_what_the_shop_can_do(
        parts in prop::collection::vec((30i64..2400, 30i64..1200), 1..12),
        grain in prop::sample::select(vec![SheetGrain::Long, SheetGrain::Wide, SheetGrain::None]),
        first in prop::sample::select(vec![
            None, Some(FirstCuts::Along), Some(FirstCuts::Across), Some(FirstCuts::Either),
        ]),
        rounds in 2u32..4,
        // Sevenths of a millimetre: no whole number of units.
        saw_long in prop::option::of(6_000i64..18_000),
        lift in prop::option::of(3i64..40),
    ) {
        let mut model = panels(&parts, grain);
        model.stocks[0].density = Some(Figure { value: Rational::int(700), source: None });
        model.shop.first_sheets = first;
        model.shop.cut_rounds = rounds;
        model.shop.saw_long = saw_long.map(|n| Length::from_mm(Rational::new(n.into(), 7)));
        model.shop.lift = lift.map(Rational::int);
        let layout = plan_layouts(&model, Effort::Quick).sheets.remove(0);
        let placed: usize = layout.sheets.iter().map(|s| s.placed.len()).sum();
        prop_assert_eq!(placed + layout.unplaced.len(), parts.len());
    }
}
