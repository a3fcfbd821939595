//! What is seen of blocks, against rays and sums by hand.

use super::*;
use crate::model::fixture::{cabinet, lay, part};
use crate::model::{Edge, Role};
use proptest::prelude::*;

/// A box of whole millimetres.
type Whole = [[i64; 2]; 3];

fn box3(b: &Whole) -> Box3 {
    Box3 {
        lo: b.map(|extent| Length::mm(extent[0])),
        hi: b.map(|extent| Length::mm(extent[1])),
    }
}

/// A piece of blocks, seen from front, left, right and top; the first of them is looked at.
fn blocks(boxes: &[Whole]) -> Piece {
    let mut piece = cabinet().pieces.remove(0);
    piece.joints.clear();
    piece.openings.clear();
    piece.parts = boxes
        .iter()
        .enumerate()
        .map(|(i, b)| {
            let (b, lay) = (box3(b), lay(Edge::Left, Edge::Front, Edge::Bottom));
            part(
                i as u32,
                "body.block",
                "Block",
                Role::Shelf,
                0,
                0,
                b,
                b,
                lay,
            )
        })
        .collect();
    let all = boxes.iter().map(box3).reduce(|a, b| a.union(&b));
    piece.overall = all.expect("there are blocks");
    piece
}

/// What is seen of a side of the first block, and what is not, square millimetres.
fn areas(piece: &Piece, edge: Edge) -> [Rational; 2] {
    let woods = Woods::of(piece);
    let sight = woods.sight(piece);
    let first = &piece.parts[0];
    let facet = Facet::of_side(&first.core, edge);
    let split = sight.seen(first, &facet, Fronts::Closed, &[], Length::ZERO);
    let split = split.unwrap();
    [split.free, split.hidden].map(|rings| area(&rings, &facet.plane))
}

/// Counts the square millimetres of a side from whose middle a ray gets out, along any of the ways.
fn counted(boxes: &[Whole], edge: Edge) -> [i64; 2] {
    let ways: [[i64; 3]; 9] = [
        [0, -1, 0],
        [-1, 0, 0],
        [1, 0, 0],
        [0, 0, 1],
        [-1, -1, 0],
        [1, -1, 0],
        [0, -1, 1],
        [-1, 0, 1],
        [1, 0, 1],
    ];
    let axis = edge.axis().index();
    let (u, v) = crate::solid::others(axis);
    let toward = if edge.is_high() { 1 } else { -1 };
    let mut count = [0, 0];
    for a in boxes[0][u][0]..boxes[0][u][1] {
        for b in boxes[0][v][0]..boxes[0][v][1] {
            // In half millimetres, and so are the steps of the ray: it passes planes of whole ones in turn.
            let mut from = [0; 3];
            from[axis] = 2 * boxes[0][axis][usize::from(edge.is_high())];
            (from[u], from[v]) = (2 * a + 1, 2 * b + 1);
            let gets_out = |way: &[i64; 3]| {
                way[axis] * toward > 0
                    && (1..200).all(|step| {
                        let at = [0, 1, 2].map(|i| 4 * from[i] + way[i] * (2 * step - 1));
                        !boxes
                            .iter()
                            .any(|b| (0..3).all(|i| 8 * b[i][0] < at[i] && at[i] < 8 * b[i][1]))
                    })
            };
            count[usize::from(!ways.iter().any(gets_out))] += 1;
        }
    }
    count
}

fn a_box() -> impl Strategy<Value = Whole> {
    let extent = || (0..12i64, 1..8i64).prop_map(|(at, long)| [at, at + long]);
    [extent(), extent(), extent()]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// Rays from the middle of every square millimetre see the same as the shadows do.
    #[test]
    fn rays_agree(boxes in prop::collection::vec(a_box(), 1..7)) {
        let piece = blocks(&boxes);
        for edge in [Edge::Front, Edge::Left, Edge::Right, Edge::Top, Edge::Bottom, Edge::Rear] {
            let [seen, hidden] = counted(&boxes, edge).map(Rational::int);
            prop_assert_eq!(areas(&piece, edge), [seen, hidden], "{}", edge.word());
        }
    }
}

/// A block 100 wide and 50 high, 10 behind a board 20 lower: from the front its upper 20 show, and from
/// above and in front 10 more.
#[test]
fn over_a_board_in_front() {
    let piece = blocks(&[
        [[0, 100], [10, 40], [0, 50]],
        [[-100, 200], [-5, 0], [0, 30]],
    ]);
    let [seen, hidden] = areas(&piece, Edge::Front);
    assert_eq!((seen, hidden), (Rational::int(3_000), Rational::int(2_000)));
}

/// A cube of 20 with a step of 10 x 10 along its upper front edge has the surface of the whole cube less twice
/// the step's ends: 6 x 400 - 2 x 100.
#[test]
fn a_step_has_its_surface() {
    let cells = [
        Cell::Box(box3(&[[0, 20], [0, 20], [0, 10]])),
        Cell::Box(box3(&[[0, 20], [10, 20], [10, 20]])),
    ];
    let facets = surface(&cells).unwrap();
    let all = facets.iter().fold(Rational::ZERO, |sum, facet| {
        sum + area(&facet.rings, &facet.plane)
    });
    assert_eq!(all, Rational::int(2_200));
}
