//! Volumes and clashes worked by hand, and laws on random shapes.

use super::*;
use crate::measure::Length;
use crate::model::fixture::{box3, lay, line, part};
use crate::model::{Axis, Cut, CutKind, Edge, LocalAxis, LocalBox, Part, Role, Side, Solid};
use proptest::prelude::*;

/// A block with its corner at a place; length along x, width along y, thickness up; whole millimetres.
fn block(at: [i64; 3], size: [i64; 3], solids: Vec<Solid>) -> Part {
    let range = |i: usize| [at[i] * 10, (at[i] + size[i]) * 10];
    let b = box3(range(0), range(1), range(2));
    let lay = lay(Edge::Left, Edge::Front, Edge::Bottom);
    let mut out = part(0, "block", "Block", Role::Rail, 0, 0, b, b, lay);
    out.cuts = solids
        .into_iter()
        .map(|solid| Cut {
            kind: CutKind::Pocket,
            solids: vec![solid],
            entry: Side::Face,
            along: LocalAxis::Length,
            width: Length::ZERO,
            depth: Length::ZERO,
            fit: Length::ZERO,
            relief: Length::ZERO,
            stopped: [false, false],
            joint: None,
            filler: None,
            origin: line(1),
        })
        .collect();
    out
}

fn prism(axis: LocalAxis, outline: &[[i64; 2]], lo: i64, hi: i64) -> Solid {
    Solid::Prism {
        far: None,
        axis,
        outline: outline.iter().map(|c| c.map(Length::mm)).collect(),
        lo: Length::mm(lo),
        hi: Length::mm(hi),
    }
}

fn cut_box(lo: [i64; 3], hi: [i64; 3]) -> Solid {
    Solid::Box(LocalBox {
        lo: lo.map(Length::mm),
        hi: hi.map(Length::mm),
    })
}

fn bore(mouth: [i64; 3], diameter: i64, depth: i64) -> Solid {
    Solid::Bore {
        mouth: mouth.map(Length::mm),
        entry: Side::Face,
        diameter: Length::mm(diameter),
        depth: Length::mm(depth),
    }
}

fn wood(part: &Part) -> Wood {
    Wood::of(part).unwrap()
}

fn volume(part: &Part) -> f64 {
    wood(part).volume().unwrap()
}

fn sum(cells: &[Cell]) -> f64 {
    cells.iter().map(Cell::volume).sum()
}

/// Equal but for the rounding of floats, in cubic or square millimetres.
fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-6
}

/// 100 x 60 x 20 = 120,000. A 45° bevel off one end, 20 by 20: 20 x 20 / 2 x 60 = 12,000. A housing
/// 10 x 60 x 5 = 3,000. A bore of 6, 15 deep: 9 pi x 15 = 424.115.
#[test]
fn a_bevel_a_housing_and_a_bore() {
    let bevel = prism(LocalAxis::Width, &[[100, 0], [100, 20], [80, 20]], 0, 60);
    let housing = cut_box([30, 0, 0], [40, 60, 5]);
    let block = block(
        [0, 0, 0],
        [100, 60, 20],
        vec![bevel, housing, bore([60, 30, 0], 6, 15)],
    );
    assert!(near(volume(&block), 105_000.0 - 424.115_008_234));
    assert!(near(sum(&wood(&block).cells().unwrap()), 105_000.0));
}

/// A frustum: 40 x 40 x 300 tapered on all four faces to 20 x 20 at the end: 300 / 3 x (1600 + 400 +
/// sqrt(1600 x 400)) = 280,000. Neighbouring tapers meet in slanted lines.
#[test]
fn a_leg_tapered_on_four_faces() {
    let both = |axis| {
        [
            prism(axis, &[[0, 0], [300, 0], [300, 10]], 0, 40),
            prism(axis, &[[0, 40], [300, 40], [300, 30]], 0, 40),
        ]
    };
    let solids = [both(LocalAxis::Width), both(LocalAxis::Thickness)].concat();
    let leg = block([0, 0, 0], [300, 40, 40], solids);
    assert!(near(volume(&leg), 280_000.0));
    assert!(near(sum(&wood(&leg).cells().unwrap()), 280_000.0));
}

/// Two bores of 10 on one line, 5 and 8 deep: as one of 8, with a polygon for a circle.
#[test]
fn bores_that_meet_count_once() {
    let solids = vec![bore([50, 30, 0], 10, 5), bore([50, 30, 0], 10, 8)];
    let found = volume(&block([0, 0, 0], [100, 60, 20], solids));
    let exact = 120_000.0 - std::f64::consts::PI * 25.0 * 8.0;
    assert!((found / exact - 1.0).abs() < 1e-9, "{found} {exact}");
    // At an edge half of it is gone: that half counts as a polygon.
    let found = volume(&block(
        [0, 0, 0],
        [100, 60, 20],
        vec![bore([50, 0, 0], 10, 8)],
    ));
    let exact = 120_000.0 - std::f64::consts::PI * 25.0 * 4.0;
    assert!((found / exact - 1.0).abs() < 1e-9, "{found} {exact}");
}

/// An arrow's head, a star of one line and a comb: outlines that are not convex.
#[test]
fn outlines_that_are_not_convex() {
    let of = |outline: &[[i64; 2]]| {
        let solid = prism(LocalAxis::Thickness, outline, 0, 10);
        volume(&block([0, 0, 0], [100, 60, 10], vec![solid]))
    };
    let left = |area: i64| (60_000 - area * 10) as f64;
    // By the surveyor's formula: (-400 + 700 + 1300 - 400) / 2.
    assert!(near(
        of(&[[10, 10], [50, 10], [30, 20], [10, 50]]),
        left(600)
    ));
    // Teeth 10 wide and 20 deep on a back of 70 x 10.
    let comb = [
        [10, 10],
        [80, 10],
        [80, 40],
        [70, 40],
        [70, 20],
        [50, 20],
        [50, 40],
        [40, 40],
        [40, 20],
        [20, 20],
        [20, 40],
        [10, 40],
    ];
    assert!(near(of(&comb), left(70 * 10 + 3 * 10 * 20)));
    // A bow tie crosses itself: two triangles of 20 x 20 / 2.
    assert_eq!(
        of(&[[10, 10], [50, 30], [50, 10], [10, 30]]),
        left(2 * 20 * 20 / 2)
    );
    // No area, and corners that are not needed.
    assert!(near(of(&[[10, 10], [50, 10], [30, 10]]), left(0)));
    assert_eq!(
        of(&[[10, 10], [30, 10], [50, 10], [50, 20], [10, 20]]),
        left(400)
    );
}

/// A tail 20 wide at the root and 30 at the tip, 12 long, 18 thick, in its socket: they share nothing and
/// touch along both slanted sides, the tip lies flush. Seen along x each side is 5 x 18, along y 12 x 18.
fn dovetail() -> (Part, Part) {
    let waste = [
        prism(
            LocalAxis::Thickness,
            &[[88, 0], [88, 15], [100, 10], [100, 0]],
            0,
            18,
        ),
        prism(
            LocalAxis::Thickness,
            &[[88, 50], [88, 35], [100, 40], [100, 50]],
            0,
            18,
        ),
    ];
    let tails = block([0, 0, 0], [100, 50, 18], waste.to_vec());
    let socket = prism(
        LocalAxis::Thickness,
        &[[0, 15], [12, 10], [12, 40], [0, 35]],
        0,
        18,
    );
    let pins = block([88, 0, 0], [12, 50, 60], vec![socket]);
    (tails, pins)
}

#[test]
fn a_dovetail_fits_touches_and_opens_one_way() {
    let (tails, pins) = dovetail();
    let (a, b) = (wood(&tails), wood(&pins));
    assert_eq!(shared(&a, &b), Ok(vec![]));
    let touch = touching(&a, &b).unwrap();
    let expected = [
        // Slanted sides hold the tail from being drawn out: they look left.
        (Edge::Left, 2 * 5 * 18),
        // Its shoulders, 15 x 18 each, lie against the pins.
        (Edge::Right, 2 * 15 * 18),
        (Edge::Front, 12 * 18),
        (Edge::Rear, 12 * 18),
        (Edge::Bottom, 0),
        // The socket's ceiling: a trapezium of 20 and 30 by 12.
        (Edge::Top, 25 * 12),
    ];
    for (edge, area) in expected {
        assert!(near(touch.toward(edge), f64::from(area)), "{edge:?}");
    }
    let back = touching(&b, &a).unwrap();
    for edge in Edge::ALL {
        assert!(near(touch.toward(edge), back.toward(edge.opposite())));
    }
    let hits = |a: &Wood, b: &Wood, axis| {
        let (a, b) = (a.cells().unwrap(), b.cells().unwrap());
        a.iter()
            .any(|c| b.iter().any(|d| sweep_hits(c, d, axis).unwrap()))
    };
    assert!(hits(&a, &b, Axis::X) && hits(&b, &a, Axis::X));
    assert!(hits(&a, &b, Axis::Y) && hits(&b, &a, Axis::Y));
    assert!(hits(&a, &b, Axis::Z), "the socket is closed above");
    assert!(!hits(&b, &a, Axis::Z), "and open below");
}

/// The tail board driven 2 too far: its shoulders sink into the pins, which are 15 wide at their face and
/// 15 - 2 x 5 / 12 two deeper. Twice (15 + 14 1/6) / 2 x 2 x 18 = 1050; the tail itself is narrower than
/// its socket there.
#[test]
fn what_two_parts_share_is_told_exactly() {
    let (mut tails, pins) = dovetail();
    for b in [&mut tails.core, &mut tails.finished] {
        b.lo[0] += Length::mm(2);
        b.hi[0] += Length::mm(2);
    }
    let found = shared(&wood(&tails), &wood(&pins)).unwrap();
    assert!(near(sum(&found), 1050.0));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// The cells of a part and what was taken out make up its box; cells share no space; and two parts
    /// share the same the other way round.
    #[test]
    fn cells_add_up(
        cuts in prop::collection::vec(any_solid(), 0..6),
        others in prop::collection::vec(any_solid(), 0..4),
        at in (-30i64..30, -30i64..30, -30i64..30),
    ) {
        let straight = |solids: &[Solid]| -> Vec<Solid> {
            solids.iter().filter(|s| !matches!(s, Solid::Bore { .. })).cloned().collect()
        };
        let a = wood(&block([0, 0, 0], [40, 40, 40], straight(&cuts)));
        let b = wood(&block([at.0, at.1, at.2], [40, 40, 40], straight(&others)));
        let cells = a.cells().unwrap();
        prop_assert!(near(sum(&cells), a.volume().unwrap()));
        for (i, one) in cells.iter().enumerate() {
            for other in &cells[..i] {
                prop_assert_eq!(one.meet(other), Ok(None));
            }
        }
        let (ab, ba) = (shared(&a, &b).unwrap(), shared(&b, &a).unwrap());
        prop_assert!(near(sum(&ab), sum(&ba)));
        // Wood is shared where a cell of one meets a cell of the other.
        let mut slow = 0.0;
        for one in &cells {
            for other in &b.cells().unwrap() {
                if let Some(cell) = one.meet(other).unwrap() {
                    slow += cell.volume();
                }
            }
        }
        prop_assert!(near(sum(&ab), slow));
    }

    /// Seen in a mirror, areas of contact change sides.
    #[test]
    fn contact_is_mutual(
        cuts in prop::collection::vec(any_solid(), 0..4),
        others in prop::collection::vec(any_solid(), 0..4),
    ) {
        let a = wood(&block([0, 0, 0], [40, 40, 40], cuts));
        let b = wood(&block([40, 5, 3], [40, 40, 40], others));
        let (ab, ba) = (touching(&a, &b).unwrap(), touching(&b, &a).unwrap());
        for edge in Edge::ALL {
            prop_assert!(near(ab.toward(edge), ba.toward(edge.opposite())));
        }
        prop_assert!(ab.toward(Edge::Right) <= 35.0 * 37.0 + 1e-6);
    }
}

fn any_solid() -> impl Strategy<Value = Solid> {
    let place = -5i64..45;
    let cut = (
        prop::array::uniform3(place.clone()),
        prop::array::uniform3(1i64..25),
    )
        .prop_map(|(lo, size)| cut_box(lo, [lo[0] + size[0], lo[1] + size[1], lo[2] + size[2]]));
    let wedge = (
        prop::sample::select(LocalAxis::ALL.to_vec()),
        prop::collection::vec(prop::array::uniform2(place.clone()), 3..6),
        place,
        1i64..30,
    )
        .prop_map(|(axis, outline, lo, size)| prism(axis, &outline, lo, lo + size));
    prop_oneof![cut, wedge]
}
