//! Orders of cuts against one worked by hand, and on trees made up at random against sawing and against
//! the plain order, the largest piece first.

use super::super::item::Source;
use super::super::sheets::sheet;
use super::super::tests::bare;
use super::super::{CutDo, Handling, Sheet, Taken, verify};
use super::*;
use crate::measure::Rational;
use crate::model::fixture::dmm;
use proptest::prelude::*;

/// Extents of the items of a piece, and whether they keep their order.
type PieceOf = (bool, Vec<[i64; 2]>);

struct Tree {
    items: Vec<Item>,
    root: Node,
}

/// Along `axis` come the strips, across it the pieces of each, along it again the items of each piece, told
/// along `axis` first; a piece whose flag is set keeps the order of its items.
fn tree(axis: usize, strips: &[Vec<PieceOf>]) -> Tree {
    let mut items = Vec::new();
    let mut piece = |(in_order, sizes): &PieceOf| {
        let first = items.len();
        items.extend(sizes.iter().map(|size| Item {
            long: Length::mm(size[usize::from(axis == 1)]),
            wide: Length::mm(size[usize::from(axis == 0)]),
            may_turn: false,
            run: None,
        }));
        let all = first..items.len();
        match (in_order, sizes.len()) {
            (_, 1) => Node::Item(first, false),
            (true, _) => Node::Run(axis, all.collect()),
            (false, _) => Node::Cut(axis, all.map(|i| Node::Item(i, false)).collect()),
        }
    };
    let mut strip = |of: &Vec<_>| Node::Cut(1 - axis, of.iter().map(&mut piece).collect());
    let root = Node::Cut(axis, strips.iter().map(&mut strip).collect());
    Tree { items, root }
}

fn kerf() -> Length {
    dmm(32)
}

/// The tree sawn from a sheet that much larger than it.
fn sawn(tree: &Tree, over: [i64; 2]) -> Sheet {
    let [long, wide] = tree.root.size(&tree.items, kerf());
    let source = Source {
        taken: Taken::Bought(0),
        long: long + Length::mm(over[0]),
        wide: wide + Length::mm(over[1]),
        trim: Length::ZERO,
        worth: Rational::ONE,
        copies: None,
        widest: [None; 2],
    };
    let placed = |item: usize, _, area| bare(item, area);
    let keep = (Some(true), (Length::ZERO, Length::ZERO));
    sheet(
        tree.root.clone(),
        &source,
        &tree.items,
        kerf(),
        keep,
        placed,
    )
}

/// A strip of 203.2 by 103.2 holds, across, 60 + 3.2 + 40 = 103.2 and 40 + 3.2 + 40 = 83.2. The 40 is ripped
/// off the first piece too, so that the 60 is free: one setting of the fence, where 60 first would take two.
/// The strip itself is as wide as the board; its first piece of 100 is cut off, the second is free.
#[test]
fn what_no_other_cut_needs_comes_last() {
    let pieces = vec![
        (false, vec![[60, 100], [40, 100]]),
        (false, vec![[40, 100], [40, 100]]),
    ];
    let sheet = sawn(&tree(1, &[pieces]), [0, 0]);
    let cuts: Vec<_> = sheet
        .cuts
        .iter()
        .map(|c| (c.what, c.setting, c.times))
        .collect();
    let mm = Length::mm;
    assert_eq!(
        cuts,
        [(CutDo::CrossCut, mm(100), 1), (CutDo::Rip, mm(40), 3)]
    );
    let handling = Handling {
        fence: 1,
        stop: 1,
        turns: 1,
    };
    assert_eq!(sheet.handling(), handling);
}

/// Strips of 50, 40 and 30 by 100, the first ripped again into 40 and waste: the fence stands at 40 last, and
/// stays.
#[test]
fn the_fence_stays_where_it_is_of_use_again() {
    let one = |wide| vec![(false, vec![[wide, 100]])];
    let wide = vec![(false, vec![[40, 60]]), (false, vec![[50, 37]])];
    let tree = tree(1, &[wide, one(40), one(30)]);
    let sheet = sawn(&tree, [0, 5]);
    let rips: Vec<_> = sheet.cuts.iter().filter(|c| c.what == CutDo::Rip).collect();
    let settings: Vec<_> = rips.iter().map(|c| c.setting).collect();
    assert_eq!(settings, [50, 30, 40, 40].map(Length::mm));
    assert_eq!(sheet.handling().fence, 3);
}

/// Settings and turns where the largest piece of each strip comes first, round by round.
fn largest_first(tree: &Tree, room: [Length; 2]) -> Handling {
    type Cuts = BTreeSet<(u32, usize, Length)>;
    fn list(node: &Node, room: [Length; 2], at: (u32, Option<usize>), tree: &Tree, out: &mut Cuts) {
        let (round, before) = at;
        let size = |node: &Node| node.size(&tree.items, kerf());
        if let Node::Item(..) = node {
            let first = before.map_or(1, |axis| 1 - axis);
            for (axis, round) in [(first, round), (1 - first, round + 1)] {
                if size(node)[axis] < room[axis] {
                    out.insert((round, 1 - axis, size(node)[axis]));
                }
            }
        }
        let Node::Cut(axis, mut nodes) = node.cut_up() else {
            return;
        };
        let in_order = matches!(node, Node::Run(..));
        if !in_order {
            nodes.sort_by_key(|n| Reverse(size(n)[axis]));
        }
        let round = round + u32::from(before == Some(axis));
        let after = round + if in_order { nodes.len() as u32 } else { 1 };
        let full = size(node)[axis] == room[axis];
        let last = nodes.len() - 1;
        for (i, node) in nodes.iter().enumerate() {
            let round = round + if in_order { i as u32 } else { 0 };
            if !(full && i == last) {
                out.insert((round, 1 - axis, size(node)[axis]));
            }
            let mut inner = room;
            inner[axis] = size(node)[axis];
            list(node, inner, (after, Some(axis)), tree, out);
        }
    }
    let mut cuts = Cuts::new();
    list(&tree.root, room, (1, None), tree, &mut cuts);
    let ways: Vec<usize> = cuts.iter().map(|(_, way, _)| *way).collect();
    let count = |of: usize| ways.iter().filter(|way| **way == of).count() as u32;
    Handling {
        fence: count(0),
        stop: count(1),
        turns: ways.windows(2).filter(|w| w[0] != w[1]).count() as u32,
    }
}

/// Sizes of which many are alike, so that strips are full and settings shared.
fn strips() -> impl Strategy<Value = Vec<Vec<PieceOf>>> {
    let size = || prop::sample::select(vec![30i64, 40, 50, 60, 70]);
    let item = (size(), size()).prop_map(|(a, b)| [a, b]);
    let piece = (prop::bool::weighted(0.2), prop::collection::vec(item, 1..4));
    prop::collection::vec(prop::collection::vec(piece, 1..5), 1..5)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 512, ..ProptestConfig::default() })]

    /// Each cut goes right through its piece, at its setting, and gives what it is said to give (the verifier
    /// saws by the list); fence and stop are set, and work is turned, no more often than in the plain order.
    #[test]
    fn cuts_stay_legal_and_settings_never_rise(
        strips in strips(),
        axis in 0usize..2,
        over in prop::sample::select(vec![[0, 0], [20, 0], [0, 20], [20, 20]]),
    ) {
        let tree = tree(axis, &strips);
        let sheet = sawn(&tree, over);
        prop_assert_eq!(verify::sheet(&sheet, kerf()), None);
        let plain = largest_first(&tree, [sheet.long, sheet.wide]);
        let handling = sheet.handling();
        prop_assert!(handling.settings() <= plain.settings(), "{:?} {:?}", handling, plain);
        prop_assert!(handling.turns <= plain.turns, "{:?} {:?}", handling, plain);
    }

    /// The order of a strip changes neither what it gives nor what stays over.
    #[test]
    fn order_keeps_parts_and_rests(strips in strips(), axis in 0usize..2) {
        let tree = tree(axis, &strips);
        let sheet = sawn(&tree, [20, 20]);
        let mut turned = strips;
        for strip in &mut turned {
            strip.reverse();
        }
        let other = sawn(&self::tree(axis, &turned), [20, 20]);
        let rests = |sheet: &Sheet| {
            let mut all: Vec<_> = sheet.offcuts.iter().map(|k| (k.area.long(), k.area.wide())).collect();
            all.sort();
            all
        };
        prop_assert_eq!(rests(&sheet), rests(&other));
    }
}
