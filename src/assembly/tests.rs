//! Orders and traps against trying everything, on puzzles of small cubes.

use super::*;
use crate::measure::Length;
use crate::model::fixture::{self, box3, lay, part};
use crate::model::{
    Axis, Cut, CutKind, Edge, Fastening, HardwareId, JointId, LocalAxis, Role, Side, Solid,
};
use proptest::prelude::*;
use std::collections::{BTreeMap, BTreeSet};

/// A place in a grid of cubes.
type Cube = [i64; 3];

/// A puzzle: which cubes each part has, and which pairs have connectors, along which axis.
#[derive(Clone, Debug)]
struct Puzzle {
    parts: Vec<BTreeSet<Cube>>,
    pinned: Vec<(usize, usize, Axis)>,
}

impl Puzzle {
    /// Each cube of a grid goes to the part of its number.
    fn of(size: Cube, labels: &[usize]) -> Puzzle {
        let mut parts: BTreeMap<usize, BTreeSet<Cube>> = BTreeMap::new();
        for (i, label) in labels.iter().enumerate() {
            let i = i as i64;
            let cube = [i % size[0], i / size[0] % size[1], i / (size[0] * size[1])];
            parts.entry(*label).or_default().insert(cube);
        }
        Puzzle {
            parts: parts.into_values().collect(),
            pinned: Vec::new(),
        }
    }

    /// As boxes with boxes cut out, 10 mm a cube, joined where they touch.
    fn piece(&self) -> Piece {
        let mut piece = fixture::cabinet().pieces.remove(0);
        piece.parts.clear();
        piece.joints.clear();
        let cube = |c: &Cube| {
            let range = |i: usize| [c[i] * 100, c[i] * 100 + 100];
            box3(range(0), range(1), range(2))
        };
        for (n, cubes) in self.parts.iter().enumerate() {
            let hull = cubes.iter().map(cube).reduce(|a, b| a.union(&b)).unwrap();
            let lay = lay(Edge::Left, Edge::Front, Edge::Bottom);
            let mut block = part(
                n as u32,
                "block",
                "Block",
                Role::Rail,
                0,
                0,
                hull,
                hull,
                lay,
            );
            for other in self.parts.iter().filter(|other| *other != cubes).flatten() {
                if cube(other).overlaps(&hull) {
                    block.cuts.push(pocket(block.to_local(&cube(other))));
                }
            }
            piece.parts.push(block);
        }
        for a in 0..self.parts.len() {
            for b in 0..a {
                if touch(&self.parts[a], &self.parts[b]) {
                    self.join(&mut piece, a, b, None);
                }
            }
        }
        for (a, b, axis) in &self.pinned {
            self.join(&mut piece, *a, *b, Some(*axis));
        }
        piece
    }

    /// Plain faces, or connectors along an axis.
    fn join(&self, piece: &mut Piece, a: usize, b: usize, pinned: Option<Axis>) {
        let mut contact = box3([0, 100], [0, 100], [0, 100]);
        if let Some(axis) = pinned {
            contact.hi[axis.index()] = Length::ZERO;
        }
        let fastening = pinned.map(|_| Fastening {
            hardware: HardwareId(0),
            places: Vec::new(),
        });
        piece.joints.push(Joint {
            id: JointId(piece.joints.len() as u32),
            kind: if pinned.is_some() {
                JointKind::Biscuits
            } else {
                JointKind::Butt
            },
            a: PartId(a as u32),
            b: PartId(b as u32),
            deep: Length::ZERO,
            contact,
            glued_along: None,
            slotted: false,
            open_to: None,
            glued: false,
            fastening,
            assembly: AssemblyId(0),
            // A line for each.
            origin: fixture::line(piece.joints.len() as u32),
        });
    }

    /// Whether a part that leaves toward an edge runs into another, cube by cube, or its connectors hold.
    fn blocks(&self, moved: usize, rest: usize, edge: Edge) -> bool {
        let i = edge.axis().index();
        let held = self.pinned.iter().any(|(a, b, axis)| {
            [(*a, *b), (*b, *a)].contains(&(moved, rest)) && *axis != edge.axis()
        });
        let hits = |c: &Cube, d: &Cube| {
            let in_line = (0..3).all(|k| k == i || c[k] == d[k]);
            in_line
                && if edge.is_high() {
                    d[i] > c[i]
                } else {
                    d[i] < c[i]
                }
        };
        let cubes = &self.parts[moved];
        held || cubes
            .iter()
            .any(|c| self.parts[rest].iter().any(|d| hits(c, d)))
    }

    fn leaves(&self, moved: u32, rest: u32, edge: Edge) -> bool {
        let of = |set: u32| (0..self.parts.len()).filter(move |i| set & 1 << i != 0);
        of(moved).all(|m| of(rest).all(|r| !self.blocks(m, r, edge)))
    }

    /// Whether a set comes apart, by trying every half in every direction.
    fn comes_apart(&self, set: u32, known: &mut BTreeMap<u32, bool>) -> bool {
        if set.count_ones() < 2 {
            return true;
        }
        if let Some(known) = known.get(&set) {
            return *known;
        }
        let mut half = (set - 1) & set;
        let mut found = false;
        while half > 0 && !found {
            let rest = set & !half;
            found = Edge::ALL
                .into_iter()
                .any(|edge| self.leaves(half, rest, edge))
                && self.comes_apart(half, known)
                && self.comes_apart(rest, known);
            half = (half - 1) & set;
        }
        known.insert(set, found);
        found
    }
}

fn touch(a: &BTreeSet<Cube>, b: &BTreeSet<Cube>) -> bool {
    let apart = |c: &Cube, d: &Cube| (0..3).map(|i| (c[i] - d[i]).abs()).sum::<i64>();
    a.iter().any(|c| b.iter().any(|d| apart(c, d) == 1))
}

fn pocket(b: crate::model::LocalBox) -> Cut {
    Cut {
        kind: CutKind::Pocket,
        solids: vec![Solid::Box(b)],
        entry: Side::Face,
        along: LocalAxis::Length,
        width: Length::ZERO,
        depth: Length::ZERO,
        fit: Length::ZERO,
        relief: Length::ZERO,
        stopped: [false, false],
        joint: None,
        filler: None,
        origin: fixture::line(1),
    }
}

fn as_set(parts: &[PartId]) -> u32 {
    parts.iter().fold(0, |set, part| set | 1 << part.0)
}

/// Graphs and order agree with trying everything; each move of an order is free, cube by cube; a trap is
/// stuck and nothing within it is.
fn agrees(puzzle: &Puzzle) {
    let piece = puzzle.piece();
    let joints: Vec<&Joint> = piece.joints.iter().collect();
    let all = (1u32 << puzzle.parts.len()) - 1;
    let mut known = BTreeMap::new();
    let order = order(&piece, &joints).unwrap();
    // What touches nothing is no part of the order.
    let joined = joints.iter().fold(0, |s, j| s | 1 << j.a.0 | 1 << j.b.0) & all;
    assert_eq!(
        order.stuck.is_empty(),
        puzzle.comes_apart(joined, &mut known),
        "{puzzle:?}"
    );
    for join in &order.joins {
        let Some(way) = join.way else { continue };
        let [there, brought] = join.bodies.as_slice() else {
            panic!("{join:?}")
        };
        let (there, brought) = (parts(&order.joins, *there), parts(&order.joins, *brought));
        assert!(
            puzzle.leaves(as_set(&brought), as_set(&there), way.opposite()),
            "{puzzle:?}"
        );
    }
    for trap in trapped(&piece, &joints).unwrap() {
        let set = as_set(&trap.parts);
        assert!(!puzzle.comes_apart(set, &mut known), "{puzzle:?} {trap:?}");
        for part in &trap.parts {
            assert!(
                puzzle.comes_apart(set & !(1 << part.0), &mut known),
                "{puzzle:?} {trap:?}"
            );
        }
    }
}

/// A key through a ring, a closed box, and two hooks that hold each other.
#[test]
fn small_puzzles() {
    // Three in a row: the middle one leaves sideways.
    let row = Puzzle::of([3, 1, 1], &[0, 1, 2]);
    agrees(&row);
    // A cube inside a shell of one part.
    let mut labels = vec![0; 27];
    labels[13] = 1;
    let shell = Puzzle::of([3, 3, 3], &labels);
    agrees(&shell);
    let piece = shell.piece();
    let joints: Vec<&Joint> = piece.joints.iter().collect();
    assert_eq!(order(&piece, &joints).unwrap().stuck.len(), 1);
    // Two hooks side by side slide past each other in one direction only.
    let hooks = Puzzle::of([3, 3, 1], &[0, 0, 0, 0, 1, 1, 0, 0, 1]);
    agrees(&hooks);
}

/// Three parts with connectors between each two, each pair along another axis: nothing moves. Any one of
/// the three joints made plain frees them.
#[test]
fn a_corner_with_connectors_three_ways() {
    // Two rods side by side, and a plate that lies on both.
    let mut puzzle = Puzzle::of([2, 2, 2], &[0, 1, 0, 1, 2, 2, 2, 2]);
    puzzle.pinned = vec![(0, 1, Axis::X), (1, 2, Axis::Z)];
    agrees(&puzzle);
    let free = puzzle.piece();
    assert!(
        trapped(&free, &free.joints.iter().collect::<Vec<_>>())
            .unwrap()
            .is_empty()
    );
    puzzle.pinned.push((0, 2, Axis::Y));
    agrees(&puzzle);
    let piece = puzzle.piece();
    let found = trapped(&piece, &piece.joints.iter().collect::<Vec<_>>()).unwrap();
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].parts, [PartId(0), PartId(1), PartId(2)]);
    let pinned = piece
        .joints
        .iter()
        .filter(|j| j.kind == JointKind::Biscuits);
    for joint in pinned {
        assert!(found[0].cures.contains(&Cure::Plain(vec![joint.id])));
    }
}

/// Four boards in a ring, each let into the next the same way round: no single one comes off, two do.
#[test]
fn a_ring_comes_apart_in_halves() {
    // Seen from above, 4 x 4: each side is 3 long, so the corners go round.
    let mut labels = vec![4; 16];
    for (part, cubes) in [[0, 1, 2], [3, 7, 11], [15, 14, 13], [12, 8, 4]]
        .iter()
        .enumerate()
    {
        for cube in cubes {
            labels[*cube] = part;
        }
    }
    let mut ring = Puzzle::of([4, 4, 1], &labels);
    ring.parts.truncate(4);
    ring.pinned = vec![
        (0, 1, Axis::X),
        (1, 2, Axis::Y),
        (2, 3, Axis::X),
        (3, 0, Axis::Y),
    ];
    agrees(&ring);
    let piece = ring.piece();
    let order = order(&piece, &piece.joints.iter().collect::<Vec<_>>()).unwrap();
    assert!(order.stuck.is_empty());
    let halves = parts(&order.joins, order.joins.last().unwrap().bodies[1]);
    assert_eq!(halves.len(), 2);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    /// Cubes dealt out at random: most hold each other in some way.
    #[test]
    fn random_puzzles(
        labels in prop::collection::vec(0usize..4, 18),
        pins in prop::collection::vec((0usize..4, 0usize..4, 0usize..3), 0..3),
    ) {
        let mut puzzle = Puzzle::of([3, 3, 2], &labels);
        pin(&mut puzzle, &pins);
        agrees(&puzzle);
    }

    /// Boxes split off a block, again and again, as in furniture; with connectors here and there.
    #[test]
    fn random_boxes(
        splits in prop::collection::vec((0usize..6, 0usize..3, 1i64..4), 1..6),
        pins in prop::collection::vec((0usize..6, 0usize..6, 0usize..3), 0..5),
    ) {
        let mut boxes: Vec<(Cube, Cube)> = vec![([0; 3], [4, 4, 4])];
        for (which, axis, at) in splits {
            let n = boxes.len();
            let (lo, hi) = boxes[which % n];
            if lo[axis] < at && at < hi[axis] {
                boxes[which % n].1[axis] = at;
                let mut second = lo;
                second[axis] = at;
                boxes.push((second, hi));
            }
        }
        let fill = |(lo, hi): &(Cube, Cube)| -> BTreeSet<Cube> {
            let mut cubes = BTreeSet::new();
            for x in lo[0]..hi[0] {
                for y in lo[1]..hi[1] {
                    for z in lo[2]..hi[2] {
                        cubes.insert([x, y, z]);
                    }
                }
            }
            cubes
        };
        let mut puzzle = Puzzle {
            parts: boxes.iter().map(fill).collect(),
            pinned: Vec::new(),
        };
        pin(&mut puzzle, &pins);
        agrees(&puzzle);
    }
}

/// Connectors between two different parts, along an axis.
fn pin(puzzle: &mut Puzzle, pins: &[(usize, usize, usize)]) {
    let n = puzzle.parts.len();
    for (a, b, axis) in pins {
        if a % n != b % n {
            puzzle.pinned.push((a % n, b % n, Axis::ALL[*axis]));
        }
    }
}

/// Whether parts can be brought in the order of their stages, by trying every set of a stage's parts in every
/// direction.
fn goes_in_stages(puzzle: &Puzzle, stages: &[u32], known: &mut BTreeMap<u32, bool>) -> bool {
    let Some((last, before)) = stages.split_last() else {
        return true;
    };
    let standing = before.iter().fold(0, |set, stage| set | stage);
    if standing == 0 {
        return puzzle.comes_apart(*last, known);
    }
    let (mut open, mut met) = (vec![standing | last], BTreeSet::new());
    while let Some(set) = open.pop() {
        if set == standing {
            return goes_in_stages(puzzle, before, known);
        }
        let left = set & !standing;
        let mut off = left;
        while off > 0 {
            let rest = set & !off;
            let leaves = Edge::ALL
                .into_iter()
                .any(|edge| puzzle.leaves(off, rest, edge));
            if leaves && puzzle.comes_apart(off, known) && met.insert(rest) {
                open.push(rest);
            }
            off = (off - 1) & left;
        }
    }
    false
}

proptest! {
    /// A stated order is taken exactly when trying everything finds its moves, and then keeps to its stages.
    #[test]
    fn stated_orders(
        labels in prop::collection::vec(0..5usize, 12),
        stage_of in prop::collection::vec(0..3usize, 5),
    ) {
        let puzzle = Puzzle::of([3, 2, 2], &labels);
        let mut piece = puzzle.piece();
        let joined = piece.joints.iter().fold(0u32, |s, j| s | 1 << j.a.0 | 1 << j.b.0);
        let parts = (0..puzzle.parts.len() as u32).filter(|part| joined & 1 << part != 0);
        let mut stages = [0u32; 3];
        for part in parts {
            stages[stage_of[part as usize]] |= 1 << part;
        }
        let list = |set: u32| (0..32).filter(move |part| set & 1 << part != 0).map(PartId);
        // The last stage is named by no line.
        piece.assemblies[0].stages = stages[..2]
            .iter()
            .map(|set| crate::model::StatedStage {
                parts: list(*set).collect(),
                from: None,
                origin: fixture::line(1),
            })
            .collect();
        let joints: Vec<&Joint> = piece.joints.iter().collect();
        let found = order(&piece, &joints).unwrap();
        let filled: Vec<u32> = stages.iter().copied().filter(|set| *set != 0).collect();
        let can = goes_in_stages(&puzzle, &filled, &mut BTreeMap::new());
        prop_assert_eq!(found.barred.is_none() && found.stuck.is_empty(), can, "{:?}", puzzle);
        if can {
            let order: Vec<Option<usize>> = found.joins.iter().map(|join| join.stage).collect();
            prop_assert!(order.is_sorted() && order.iter().all(Option::is_some));
        }
    }
}
