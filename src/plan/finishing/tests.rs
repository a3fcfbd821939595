//! Areas, quantities and the calendar, worked by hand.

use super::*;
use crate::model::fixture::{self, id};
use crate::model::{Coat, Commission, Finish, FinishStep, Model};
use jiff::civil::date;

fn hours(n: i64) -> Rational {
    Rational::int(n * 3600)
}

fn coat(name: &str, coats: u32, dry: i64, covers: i64) -> FinishStep {
    FinishStep::Coat(Coat {
        name: name.into(),
        coats,
        dry: hours(dry),
        covers: Rational::int(covers),
        price: None,
    })
}

/// The cabinet with a finish, due on Friday 12 March 2027.
fn finished() -> Model {
    let mut model = fixture::cabinet();
    model.finishes = vec![Finish {
        name: "clear".into(),
        title: "Clear".into(),
        steps: vec![
            FinishStep::Sand(vec![120, 180]),
            coat("sealer", 1, 2, 10),
            FinishStep::Sand(vec![320]),
            coat("varnish", 2, 8, 12),
        ],
        cure: Some(hours(72)),
        origin: fixture::line(80),
    }];
    model.pieces[0].finish = Some(FinishId(0));
    model.commission = Some(Commission {
        name: "room".into(),
        title: "Room".into(),
        client: None,
        due: Some("2027-03-12".into()),
        notes: Vec::new(),
        origin: fixture::line(81),
    });
    model
}

fn of(rows: &[(AreaClass, Rational)], class: AreaClass) -> Rational {
    rows.iter()
        .find(|(c, _)| *c == class)
        .map_or(Rational::ZERO, |(_, a)| *a)
}

/// The left side's core is 17.6 x 392 x 720, with a rabbet 9 x 6 for the back along its rear edge and a
/// groove 4.1 x 5.5 for its lipping's tongue along its front edge, both right through.
/// In sight: the outer face 392 x 720 = 282,240 and the upper end 17.6 x 392 = 6,899.2 less the rabbet's
/// 54 and the groove's 22.55: 289,062.65. Out of sight: the lower end, the same 6,822.65, and the rear edge
/// beside the rabbet, 8.6 x 720 = 6,192: 13,014.65.
/// Inside: 386 x 720 = 277,920 less the dadoes for floor and deck, 17.7 x 386 = 6,832.2 and
/// 17.7 x 366 = 6,478.2, and less the top's end, 17.6 x 386 = 6,793.6: 257,816. The walls and floors of the
/// housings lie against what stands in them.
#[test]
fn a_sides_surfaces() {
    let model = finished();
    let piece = &model.pieces[0];
    let faces = Faces::of(piece, &model.shop);
    let rows = faces.areas(piece.part(id::LEFT)).unwrap();
    assert_eq!(
        of(&rows, AreaClass::Outside),
        Rational::new(28_906_265, 100)
    );
    assert_eq!(of(&rows, AreaClass::Unseen), Rational::new(1_301_465, 100));
    assert_eq!(of(&rows, AreaClass::Inside), Rational::int(257_816));
}

/// Its lipping, 17.6 x 8 x 720: outer face 5,760, front edge 12,672, upper end 140.8 and that of the tongue,
/// 20.
#[test]
fn a_strip_covers_its_edge() {
    let model = finished();
    let piece = &model.pieces[0];
    let faces = Faces::of(piece, &model.shop);
    let rows = faces.areas(piece.part(id::STRIP_LEFT)).unwrap();
    assert_eq!(of(&rows, AreaClass::Outside), Rational::new(185_928, 10));
}

/// A loose shelf 562.8 x 363 x 17.6, all round:
/// 2 x (562.8 x 363 + 562.8 x 17.6 + 363 x 17.6) = 2 x (204,296.4 + 9,905.28 + 6,388.8).
#[test]
fn a_loose_shelf_is_coated_all_round() {
    let model = finished();
    let piece = &model.pieces[0];
    let faces = Faces::of(piece, &model.shop);
    let rows = faces.areas(piece.part(id::SHELF)).unwrap();
    assert_eq!(rows, [(AreaClass::Shelves, Rational::new(44_118_096, 100))]);
}

/// The back is 582.8 x 720 x 6, 564.8 of it between the rabbets. In sight: in front, below the floor,
/// 564.8 x 90 = 50,832, and the upper end, 582.8 x 6 = 3,496.8. Out of sight: the rear, 582.8 x 720 =
/// 419,616, and the lower end. Inside: the rest in front less floor, deck and top, 564.8 x (630 - 3 x 17.6) =
/// 326,002.56, and the air at the ends of the housings that run out into the rabbets: of each dado
/// 0.5 x 17.7 + 6 x 0.1 = 9.45, of the tongues' grooves 0.5 x 6.1 + 6 x 0.1 = 3.65, twice: 45.1.
#[test]
fn the_back_is_inside_in_front_and_unseen_behind() {
    let model = finished();
    let piece = &model.pieces[0];
    let faces = Faces::of(piece, &model.shop);
    let rows = faces.areas(piece.part(id::BACK)).unwrap();
    assert_eq!(of(&rows, AreaClass::Outside), Rational::new(543_288, 10));
    assert_eq!(of(&rows, AreaClass::Unseen), Rational::new(4_231_128, 10));
    assert_eq!(of(&rows, AreaClass::Inside), Rational::new(32_604_766, 100));
}

/// 10 m2 at 10 m2 a litre: 1 L, with 10 % loss 1.1 L. Two coats at 12: 1.666... x 1.1 = 1.8333, so 1.9.
#[test]
fn quantities_are_rounded_up_to_a_tenth() {
    let model = finished();
    let needs = steps::needs(&model.shop, &model.finishes[0], Rational::int(10_000_000));
    let litres: Vec<Rational> = needs.iter().map(|n| n.litres).collect();
    assert_eq!(litres, [Rational::new(11, 10), Rational::new(19, 10)]);
}

/// 6 m2 at 6 m2 an hour: each pass takes an hour. Steps: sand 2 h; sealer 1 h, dry 2 h; sand 1 h;
/// varnish 1 h, dry 8 h; rub 1 h; varnish 1 h; cure 72 h.
///
/// Back from Friday 12 March, 8.00: cured if the last coat is on by Tuesday 9 at 8.00, so the work
/// ends by Monday 8 at 17.00 and begins at 16.00; rub 15.00; the first varnish, dry for 8 h by then,
/// is on by 7.00, so by Friday 5 at 17.00, begun 16.00; sand 15.00; sealer on by 13.00, begun 12.00;
/// sand from 10.00 on Friday 5.
///
/// Forward from Friday 5, 8.00: sand to 10; sealer to 11, dry 13; sand to 14; varnish to 15, dry
/// 23; rub Monday 8 to 9; varnish to 10; cured Thursday 11 at 10.00. In hand until Friday 8.00: 22 h.
#[test]
fn the_calendar_counts_back_from_the_due_date() {
    let model = finished();
    let steps = steps::steps(
        &model.shop,
        &model.finishes[0],
        Rational::int(6_000_000),
        Rational::ZERO,
    );
    let kinds: Vec<(u32, u32)> = steps.iter().map(|s| (s.work, s.wait)).collect();
    assert_eq!(
        kinds,
        [
            (120, 0),
            (60, 120),
            (60, 0),
            (60, 480),
            (60, 0),
            (60, 0),
            (0, 4320)
        ]
    );
    let calendar = calendar::calendar(&model.shop, &steps, Some("2027-03-12"));
    assert_eq!(calendar.due, Some(date(2027, 3, 12)));
    let clock = |m: Moment| {
        let day = calendar.date(Calendar::day(m)).expect("a date");
        (day.day(), Calendar::minute(m) / 60)
    };
    let starts: Vec<_> = calendar.slots.iter().map(|s| clock(s.start)).collect();
    assert_eq!(
        starts,
        [(5, 8), (5, 10), (5, 13), (5, 14), (8, 8), (8, 9), (8, 10)]
    );
    assert_eq!(clock(calendar.slots[6].ready), (11, 10));
    assert_eq!(calendar.in_hand, Some(22 * 60));
}

/// Of 6 m2 two are sanded before the glue-up: 4 m2 at 6 m2 an hour is 40 min a grit on the day, and
/// 20 min a grit before.
#[test]
fn what_is_inside_is_sanded_before_the_glue_up() {
    let model = finished();
    let finish = &model.finishes[0];
    let (all, inner) = (Rational::int(6_000_000), Rational::int(2_000_000));
    let steps = steps::steps(&model.shop, finish, all, inner);
    let StepKind::Sand(grits) = &steps[0].kind else {
        panic!("the first step sands");
    };
    let n = grits.len() as u32;
    assert_eq!(steps[0].work, 40 * n);
    assert_eq!(steps::sanding(&model.shop, finish, inner), 20 * n);
    let whole = steps::steps(&model.shop, finish, all, Rational::ZERO);
    let later = |s: &[Step]| s[1..].iter().map(|s| s.work).collect::<Vec<_>>();
    assert_eq!(later(&steps), later(&whole));
}

#[test]
fn without_a_due_date_days_are_counted_from_one() {
    let model = finished();
    let steps = steps::steps(
        &model.shop,
        &model.finishes[0],
        Rational::int(6_000_000),
        Rational::ZERO,
    );
    let calendar = calendar::calendar(&model.shop, &steps, None);
    assert_eq!(calendar.slots[0].start, 8 * 60);
    assert_eq!((calendar.in_hand, calendar.due), (None, None));
    assert!(calendar.open(4) && !calendar.open(5) && !calendar.open(6) && calendar.open(7));
}

#[test]
fn rags_of_whatever_may_hold_oil_are_cautioned() {
    let finish = |name: &str| Finish {
        steps: vec![coat(name, 1, 2, 10)],
        ..finished().finishes.remove(0)
    };
    assert!(steps::rags(&finish("varnish")));
    assert!(steps::rags(&finish("hard wax oil")));
    assert!(steps::rags(&finish("something new")));
    assert!(!steps::rags(&finish("shellac")));
}
