//! Rearranged layouts against ones worked by hand, and on layouts made up at random against the laws: the same
//! parts, the same sheets, offcuts no worse, settings no more.

use super::super::Sheet;
use super::super::style::Style;
use super::super::tests::bare;
use super::super::{Placed, Rect, Taken, item::Source, sheets::sheet, verify};
use super::*;
use crate::model::fixture::dmm;
use proptest::prelude::*;

fn item(long: i64, wide: i64) -> Item {
    Item {
        long: Length::mm(long),
        wide: Length::mm(wide),
        may_turn: false,
        run: None,
    }
}

fn source(long: Length, wide: Length) -> Source {
    Source {
        taken: Taken::Bought(0),
        long,
        wide,
        trim: Length::ZERO,
        worth: Rational::ONE,
        copies: None,
        widest: [None; 2],
    }
}

/// Rips first, pieces of at least this length are kept.
fn question<'a>(items: &'a [Item], sources: &'a [Source], keep: i64) -> Question<'a> {
    Question {
        items,
        sources,
        currency: None,
        kerf: dmm(32),
        style: Style {
            first: FirstCuts::Along,
            stages: Stages::Three,
            longest: None,
            keep: (Some(true), (Length::mm(keep), Length::ZERO)),
        },
        trimming: true,
        effort: Effort::Quick,
    }
}

/// A tenth of a millimetre.
fn unit() -> Rational {
    Rational::new(1, 10)
}

/// Strips of a sheet, each of stacks, each of items.
fn node(strips: &[Vec<Vec<usize>>]) -> Node {
    let stack = |of: &Vec<usize>| {
        let items = of.iter().map(|item| Node::Item(*item, false));
        Node::Cut(1, items.collect())
    };
    let strip = |of: &Vec<Vec<usize>>| Node::Cut(0, of.iter().map(stack).collect());
    Node::Cut(1, strips.iter().map(strip).collect())
}

/// Boards of 1000 by 100, kerf 3.2. One gives 300, 300, 200 and leaves 1000 - 809.6 = 190.4 over, one 300, 200,
/// 200 and leaves 290.4: four settings of the stop. Lengths of 300 from the one and of 200 from the other are two,
/// and leave 90.4 and 390.4 over: where 250 and more is kept, one piece that is larger than before; where 150 is
/// kept, one piece instead of two, so that all stays as it is.
#[test]
fn lengths_go_together_unless_it_costs_an_offcut() {
    let items: Vec<Item> = [300, 300, 200, 300, 200, 200]
        .map(|long| item(long, 100))
        .into();
    let sources = [source(Length::mm(1000), Length::mm(100))];
    let strip = |of: [usize; 3]| (0, node(&[of.iter().map(|i| vec![*i]).collect()]));
    let start = vec![strip([0, 1, 2]), strip([3, 4, 5])];
    let settings = |keep: i64| {
        let ask = question(&items, &sources, keep);
        let mut laid = start.clone();
        rearrange(&ask, unit(), &mut laid);
        Merit::of(&ask, &laid).asks.0
    };
    assert_eq!(settings(250), 2);
    assert_eq!(settings(150), 4);
}

/// Strips of 120 and 126.9, one kerf of 3.2 between them, are 250.1 in one: more than a saw takes whose longest
/// cut is 250.07, though that is nearer to 250.1 than to 250 in tenths.
#[test]
fn a_limit_is_no_whole_number_of_units() {
    let items: Vec<Item> = [dmm(1200), dmm(1269)]
        .map(|long| Item {
            long,
            ..item(1, 100)
        })
        .into();
    let sources = [source(Length::mm(1000), Length::mm(250))];
    let fits = |longest: Length| {
        let mut ask = question(&items, &sources, 1000);
        (ask.style.first, ask.style.longest) = (FirstCuts::Across, Some(longest));
        let strips = [0, 1].map(|i| Node::Cut(1, vec![Node::Item(i, false)]));
        let laid = vec![(0, Node::Cut(0, strips.into()))];
        let puzzle = Puzzle::of(&ask, unit(), &laid).expect("it can be cut");
        let mut cut = puzzle.cuts[0].clone();
        let [other] = cut.strips.remove(1).try_into().expect("it is one stack");
        cut.strips[0][0].extend(other);
        puzzle.shop.score(&cut).is_some()
    };
    assert!(fits(dmm(2501)));
    assert!(!fits(Length::from_mm(Rational::new(25_007, 100))));
}

/// A saw of 500 crosscuts a sheet of 1000 by 400, but does not rip it.
#[test]
fn the_saw_reaches_through_what_is_cut_first() {
    let items = [item(300, 150), item(300, 150)];
    let sources = [source(Length::mm(1000), Length::mm(400))];
    let mut ask = question(&items, &sources, 1000);
    (ask.style.first, ask.style.longest) = (FirstCuts::Either, Some(Length::mm(500)));
    let laid = |axis: usize| {
        let strips = [0, 1].map(|i| Node::Cut(1 - axis, vec![Node::Item(i, false)]));
        vec![(0, Node::Cut(axis, strips.into()))]
    };
    assert!(Puzzle::of(&ask, unit(), &laid(0)).is_some());
    assert!(Puzzle::of(&ask, unit(), &laid(1)).is_none());
}

/// What is smaller than its strip is no part where nothing is trimmed.
#[test]
fn nothing_is_trimmed_unless_that_is_asked() {
    let sources = [source(Length::mm(1000), Length::mm(100))];
    let fits = |wide: i64, trimming: bool| {
        let items = [item(300, 100), item(300, wide)];
        let mut ask = question(&items, &sources, 1000);
        ask.style.stages = Stages::One;
        (ask.style.first, ask.trimming) = (FirstCuts::Across, trimming);
        let laid = vec![(
            0,
            Node::Cut(0, vec![Node::Item(0, false), Node::Item(1, false)]),
        )];
        Puzzle::of(&ask, unit(), &laid).is_some()
    };
    assert!(fits(100, false) && fits(90, true));
    assert!(!fits(90, false));
}

/// Sheets of so fine a unit that squares of areas, times ten thousand, are more than 128 bits hold.
#[test]
fn fine_units_are_no_fault() {
    let items: Vec<Item> = [300, 200, 300, 200, 300, 200]
        .map(|long| item(long, 100))
        .into();
    let sources = [source(Length::mm(2600), Length::mm(2600))];
    let ask = question(&items, &sources, 250);
    let start: Laid = vec![
        (0, node(&[vec![vec![0], vec![1], vec![2]]])),
        (0, node(&[vec![vec![3], vec![4]], vec![vec![5]]])),
    ];
    let mut laid = start.clone();
    rearrange(&ask, Rational::new(1, 200_000), &mut laid);
    let (before, after) = (Merit::of(&ask, &start), Merit::of(&ask, &laid));
    assert!(after.is_better(&before), "{before:?} {after:?}");
}

/// Two runs of two 150s, 303.2 each, and lengths of 303.2 go together as 300s and 200s do: what is a run stays
/// one.
#[test]
fn a_run_moves_as_one() {
    let block = Item {
        long: dmm(3032),
        ..item(1, 100)
    };
    let mut items = vec![
        block.clone(),
        item(200, 100),
        item(200, 100),
        item(200, 100),
    ];
    items.extend([
        item(150, 100),
        item(150, 100),
        item(150, 100),
        item(150, 100),
    ]);
    for members in [vec![4, 5], vec![6, 7]] {
        let run = Item::run(&items, 0, members, dmm(32));
        assert_eq!((run.long, run.wide), (block.long, block.wide));
        items.push(run);
    }
    let sources = [source(Length::mm(1000), Length::mm(100))];
    let run = |a: usize| Node::Run(0, vec![a, a + 1]);
    let part = |a: usize| Node::Item(a, false);
    let board = |of: Vec<Node>| (0, Node::Cut(1, vec![Node::Cut(0, of)]));
    let start = vec![
        board(vec![part(0), run(4), part(1)]),
        board(vec![run(6), part(2), part(3)]),
    ];
    let ask = question(&items, &sources, 250);
    let mut laid = start.clone();
    rearrange(&ask, unit(), &mut laid);
    let (before, after) = (Merit::of(&ask, &start), Merit::of(&ask, &laid));
    assert!(after.is_better(&before), "{before:?} {after:?}");
    let mut all = Vec::new();
    laid.iter().for_each(|(_, node)| members(node, &mut all));
    for pair in [[4, 5], [6, 7]] {
        assert!(all.windows(2).any(|two| two == pair), "{all:?}");
    }
}

/// What is cut alike is set once: two boards of 300, 300, 200.
#[test]
fn alike_boards_are_set_once() {
    let items: Vec<Item> = [300, 300, 200, 300, 300, 200]
        .map(|long| item(long, 100))
        .into();
    let sources = [source(Length::mm(1000), Length::mm(100))];
    let strip = |of: [usize; 3]| (0, node(&[of.iter().map(|i| vec![*i]).collect()]));
    let ask = question(&items, &sources, 250);
    let one = Merit::of(&ask, &vec![strip([0, 1, 2])]);
    let both = Merit::of(&ask, &vec![strip([0, 1, 2]), strip([3, 4, 5])]);
    assert_eq!((one.asks, both.asks), ((2, 0), (2, 0)));
    assert_eq!(both.kept.len(), 2 * one.kept.len());
}

/// The same tree with runs in place of the items that stand for them.
fn whole(node: Node, items: &[Item]) -> Node {
    match node {
        Node::Item(item, turned) => match &items[item].run {
            Some((axis, members)) => Node::Run(*axis, members.clone()),
            None => Node::Item(item, turned),
        },
        Node::Cut(axis, nodes) => {
            let nodes = nodes.into_iter().map(|node| whole(node, items));
            Node::Cut(axis, nodes.collect())
        }
        run => run,
    }
}

fn members(node: &Node, out: &mut Vec<usize>) {
    match node {
        Node::Item(item, _) => out.push(*item),
        Node::Run(_, items) => out.extend(items),
        Node::Cut(_, nodes) => nodes.iter().for_each(|node| members(node, out)),
    }
}

/// The sheet that a tree is sawn from, with its cuts.
fn sawn(ask: &Question, (from, node): &(usize, Node)) -> Sheet {
    let placed = |item: usize, across: bool, area: Rect| Placed {
        length: ask.items[item].long,
        width: ask.items[item].wide,
        across,
        ..bare(item, area)
    };
    let source = &ask.sources[*from];
    sheet(
        node.clone(),
        source,
        ask.items,
        ask.kerf,
        ask.style.keep,
        placed,
    )
}

/// A part's size; and the axis of a run, if it is one of two such parts.
type Made = ([i64; 2], Option<usize>);

/// Sheets of strips of stacks of parts, of which many are of one size.
fn sheets() -> impl Strategy<Value = Vec<Vec<Vec<Vec<Made>>>>> {
    let size = || prop::sample::select(vec![30i64, 40, 50, 60, 70]);
    // Most are parts, some runs of two along either axis.
    let run = prop::sample::select(vec![None, None, None, None, Some(0usize), Some(1)]);
    let item = (size(), size(), run).prop_map(|(a, b, run)| ([a, b], run));
    let stack = prop::collection::vec(item, 1..3);
    let strip = prop::collection::vec(stack, 1..4);
    prop::collection::vec(prop::collection::vec(strip, 1..4), 1..4)
}

/// Squares of what stays over and areas of what is kept, as they are reckoned in units; `None` where a layout
/// is none that is rearranged.
fn reckoned(ask: &Question, laid: &Laid) -> Option<(Rational, Vec<Rational>)> {
    let puzzle = Puzzle::of(ask, unit(), laid)?;
    let (squares, kept) = Walk::new(&puzzle.shop, puzzle.cuts).over();
    let square = unit() * unit();
    let kept = kept.iter().map(|area| Rational::int(*area) * square);
    Some((Rational::new(squares, 1) * square * square, kept.collect()))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    #[test]
    fn settings_fall_and_nothing_is_lost(
        sheets in sheets(),
        turns in any::<bool>(),
        over in prop::sample::select(vec![0i64, 15, 60]),
        trim in prop::sample::select(vec![0i64, 5]),
        keep in prop::sample::select(vec![20i64, 60, 1000]),
        grain in prop::sample::select(vec![Some(true), Some(false), None]),
        across in prop::sample::select(vec![0i64, 40, 80]),
        lift in prop::option::of(70i64..150),
    ) {
        let mut items: Vec<Item> = Vec::new();
        let mut number = |(size, run): &Made| {
            let first = items.len();
            let part = Item { may_turn: turns && run.is_none(), ..item(size[0], size[1]) };
            items.push(part.clone());
            if let Some(axis) = run {
                items.push(part);
                let run = Item::run(&items, *axis, vec![first, first + 1], dmm(32));
                items.push(run);
            }
            items.len() - 1
        };
        let nodes: Vec<Vec<Vec<Vec<usize>>>> = sheets
            .iter()
            .map(|strips| {
                let stack = |of: &Vec<Made>, number: &mut dyn FnMut(&Made) -> usize| {
                    of.iter().map(number).collect::<Vec<_>>()
                };
                let strips: Vec<Vec<Vec<usize>>> = strips
                    .iter()
                    .map(|stacks| stacks.iter().map(|of| stack(of, &mut number)).collect())
                    .collect();
                strips
            })
            .collect();
        let nodes: Vec<Node> = nodes.iter().map(|strips| whole(node(strips), &items)).collect();
        let sizes = nodes.iter().map(|node| node.size(&items, dmm(32)));
        let [long, wide] = sizes.fold([Length::ZERO; 2], |a, b| [a[0].max(b[0]), a[1].max(b[1])]);
        let more = Length::mm(over + 2 * trim);
        let widest = lift.map(Length::mm);
        let sources = [Source {
            trim: Length::mm(trim),
            widest: [None, widest],
            ..source(long + more, wide + more)
        }];
        let mut ask = question(&items, &sources, keep);
        ask.style.keep = (grain, (Length::mm(keep), Length::mm(across)));
        let start: Laid = nodes.into_iter().map(|node| (0, node)).collect();
        let mut laid = start.clone();
        rearrange(&ask, unit(), &mut laid);
        let parts = |laid: &Laid| {
            let mut all = Vec::new();
            laid.iter().for_each(|(_, node)| members(node, &mut all));
            all.sort_unstable();
            all
        };
        prop_assert_eq!(laid.len(), start.len());
        prop_assert_eq!(parts(&laid), parts(&start));
        let (before, after) = (Merit::of(&ask, &start), Merit::of(&ask, &laid));
        prop_assert!(after.keeps(&before), "{:?} {:?}", before, after);
        prop_assert!(after.asks <= before.asks, "{:?} {:?}", before, after);
        // What a step reckons in integers is what comes of the cuts as they are made.
        for laid in [&start, &laid] {
            if let Some((squares, kept)) = reckoned(&ask, laid) {
                let merit = Merit::of(&ask, laid);
                prop_assert_eq!((squares, kept), (merit.squares, merit.kept));
            }
        }
        // As the independent verifier saws it: strips along, in three rounds and one that trims.
        let highest = |laid: &Laid| {
            let strips = laid.iter().flat_map(|(_, node)| match node {
                Node::Cut(1, strips) => strips.clone(),
                _ => Vec::new(),
            });
            strips.map(|strip| strip.size(&items, dmm(32))[1]).max()
        };
        // Where the first layout keeps to the limit, so does the other.
        prop_assert!(widest.is_none() || highest(&laid) <= highest(&start).max(widest));
        for laid in &laid {
            let sheet = sawn(&ask, laid);
            prop_assert_eq!(verify::sheet(&sheet, dmm(32)), None);
            prop_assert!(sheet.cuts.iter().all(|cut| cut.round <= 4));
        }
    }
}
