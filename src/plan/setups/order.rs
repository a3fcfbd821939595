//! The order of the cards: fewest cutters mounted, then fewest heights set, then fewest fences.
//!
//! Dynamic programming over the sets of cards that can have been done (those that hold, with a card,
//! all that must come before it), as Held and Karp (1962) did for tours; precedence keeps the number
//! of such sets small. Past a limit, a greedy order is given with a lower bound that needs no order.

use super::operation::{Setting, Tooling};
use crate::measure::Length;
use std::collections::{BTreeMap, BTreeSet};

/// What the order needs to know of a card.
#[derive(Clone, Debug)]
pub struct Item {
    /// Machine and cutter.
    pub tooling: Tooling,
    /// Height.
    pub height: Option<Length>,
    /// Settings of its rows.
    pub settings: Vec<Setting>,
    /// Rank of its stage, which breaks ties.
    pub rank: u32,
    /// Indices of the cards that must come before it.
    pub after: BTreeSet<usize>,
}

/// What is set up, counted. The order of the fields is the order of what counts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Changes {
    /// Cutters mounted (or machines gone to).
    pub cutters: u32,
    /// Heights set.
    pub heights: u32,
    /// Fences or stops set.
    pub fences: u32,
}

/// An order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Order {
    /// Cards in order, each with its rows in order.
    pub cards: Vec<(usize, Vec<usize>)>,
    /// What it takes.
    pub changes: Changes,
    /// What no order can go below.
    pub bound: Changes,
    /// Whether no order takes less.
    pub proven: bool,
}

/// Sets of cards that are looked at before the search gives way to a greedy order.
pub const MOST_STATES: usize = 200_000;

/// Which row of the last card the machine is left at, where that can matter to another card.
type Exit = Option<usize>;

#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct State {
    done: u128,
    last: usize,
    exit: Exit,
}

/// Cost with a tie-break: how often a later stage comes before an earlier one.
type Cost = (Changes, u32);

/// A card with names made numbers, since the search asks millions of times whether two are the same.
struct Compact {
    tool: usize,
    /// Whether no other card has its cutter.
    alone: bool,
    /// Machine, cutter and height.
    height: Option<usize>,
    /// Of its rows; none where there is nothing to set.
    settings: Vec<Option<usize>>,
    /// Rows from whose setting a card with the same cutter could go on.
    exits: Vec<usize>,
    rank: u32,
    after: u128,
}

fn compact(items: &[Item]) -> Vec<Compact> {
    fn place<T: PartialEq>(seen: &mut Vec<T>, value: T) -> usize {
        match seen.iter().position(|s| *s == value) {
            Some(i) => i,
            None => {
                seen.push(value);
                seen.len() - 1
            }
        }
    }
    let (mut tools, mut heights, mut settings) = (Vec::new(), Vec::new(), Vec::new());
    items
        .iter()
        .enumerate()
        .map(|(i, item)| {
            let others = || {
                items
                    .iter()
                    .enumerate()
                    .filter(|(k, other)| *k != i && other.tooling == item.tooling)
            };
            Compact {
                tool: place(&mut tools, &item.tooling),
                alone: others().next().is_none(),
                height: item.height.map(|h| place(&mut heights, (&item.tooling, h))),
                settings: item
                    .settings
                    .iter()
                    .map(|s| (*s != Setting::Free).then(|| place(&mut settings, s)))
                    .collect(),
                exits: item
                    .settings
                    .iter()
                    .enumerate()
                    .filter(|(_, s)| {
                        **s != Setting::Free && others().any(|(_, o)| o.settings.contains(s))
                    })
                    .map(|(row, _)| row)
                    .collect(),
                rank: item.rank,
                after: item
                    .after
                    .iter()
                    .filter(|b| **b < 128)
                    .fold(0, |set, b| set | (1 << b)),
            }
        })
        .collect()
}

/// Orders the cards.
pub fn order(items: &[Item], most_states: usize) -> Order {
    let bound = bound(items);
    let cards = compact(items);
    let found = if items.len() <= 128 {
        search(&cards, most_states)
    } else {
        None
    };
    let proven = found.is_some();
    let path = found.unwrap_or_else(|| greedy(items, &cards));
    let (order, changes) = lay_out(&cards, &path);
    Order {
        cards: order,
        changes,
        bound: if proven { changes } else { bound },
        proven: proven || changes == bound,
    }
}

/// Every cutter is mounted, every height set, every fence set at least once.
fn bound(items: &[Item]) -> Changes {
    let tools: BTreeSet<_> = items.iter().map(|i| &i.tooling).collect();
    let heights: BTreeSet<_> = items
        .iter()
        .filter(|i| i.height.is_some())
        .map(|i| (&i.tooling, i.height))
        .collect();
    let fences: BTreeSet<_> = items
        .iter()
        .flat_map(|i| {
            i.settings
                .iter()
                .filter(|s| **s != Setting::Free)
                .map(move |s| (&i.tooling, s))
        })
        .collect();
    Changes {
        cutters: tools.len() as u32,
        heights: heights.len() as u32,
        fences: fences.len() as u32,
    }
}

/// What it takes to go from one card, left at a setting, to another that is begun at `entry`.
fn step(cards: &[Compact], from: Option<(usize, Exit)>, to: usize, entry: Option<usize>) -> Cost {
    let Some(next) = cards.get(to) else {
        return Cost::default();
    };
    let last = from.and_then(|(card, exit)| Some((cards.get(card)?, exit)));
    let same_tool = last.is_some_and(|(card, _)| card.tool == next.tool);
    let same_height = last.is_some_and(|(card, _)| card.height == next.height);
    let left_at = setting(cards, from);
    let same_fence = same_tool
        && left_at.is_some()
        && entry.and_then(|e| next.settings.get(e).copied().flatten()) == left_at;
    (
        Changes {
            cutters: u32::from(!same_tool),
            heights: u32::from(next.height.is_some() && !same_height),
            fences: next.settings.iter().flatten().count() as u32 - u32::from(same_fence),
        },
        last.map_or(0, |(card, _)| card.rank.saturating_sub(next.rank)),
    )
}

/// At what the machine was left.
fn setting(cards: &[Compact], from: Option<(usize, Exit)>) -> Option<usize> {
    let (card, exit) = from?;
    cards.get(card)?.settings.get(exit?).copied().flatten()
}

fn add(a: Cost, b: Cost) -> Cost {
    (
        Changes {
            cutters: a.0.cutters + b.0.cutters,
            heights: a.0.heights + b.0.heights,
            fences: a.0.fences + b.0.fences,
        },
        a.1 + b.1,
    )
}

/// Ways to run a card: the row that it begins with, where that is what the machine was left at, and
/// the row that it ends with, where another card could go on from there.
fn ways(cards: &[Compact], from: Option<(usize, Exit)>, to: usize) -> Vec<(Option<usize>, Exit)> {
    let Some(next) = cards.get(to) else {
        return Vec::new();
    };
    let same_tool = from
        .and_then(|(card, _)| cards.get(card))
        .is_some_and(|last| last.tool == next.tool);
    let entry = setting(cards, from)
        .filter(|_| same_tool)
        .and_then(|s| next.settings.iter().position(|own| *own == Some(s)));
    let one = next.settings.len() == 1;
    let mut out = Vec::new();
    for entry in [entry, None] {
        if !one || next.exits.is_empty() {
            out.push((entry, None));
        }
        for exit in &next.exits {
            if one || entry != Some(*exit) {
                out.push((entry, Some(*exit)));
            }
        }
        if entry.is_none() {
            break;
        }
    }
    out
}

/// Cards that can come next.
///
/// Where the cutter that is mounted is wanted no more, a card whose cutter no other card wants may as
/// well be done now: a change is due anyway, and wherever else it stood it could only come between
/// two cards of one cutter. ([`settle`] brings such cards back to where they belong by their stage.)
fn next(cards: &[Compact], done: u128, last: Option<usize>) -> Vec<usize> {
    let open = |(i, card): &(usize, &Compact)| done & (1 << i) == 0 && card.after & !done == 0;
    let all: Vec<usize> = cards
        .iter()
        .enumerate()
        .filter(open)
        .map(|(i, _)| i)
        .collect();
    let tool = last.and_then(|i| cards.get(i)).map(|card| card.tool);
    let wanted = cards
        .iter()
        .enumerate()
        .any(|(i, card)| done & (1 << i) == 0 && Some(card.tool) == tool);
    let alone = all
        .iter()
        .copied()
        .filter(|i| !wanted && cards.get(*i).is_some_and(|c| c.alone))
        .min_by_key(|i| (cards.get(*i).map(|c| c.rank), *i));
    alone.map_or(all, |i| vec![i])
}

/// Moves single cards while that lessens the cost or brings a stage to its natural place.
fn settle(cards: &[Compact], path: Path) -> Path {
    let cost = |path: &Path| {
        let mut last = None;
        path.iter()
            .fold(Cost::default(), |sum, (card, entry, exit)| {
                let sum = add(sum, step(cards, last, *card, *entry));
                last = Some((*card, *exit));
                sum
            })
    };
    let lawful = |path: &Path| {
        let mut done = 0u128;
        path.iter().all(|(card, ..)| {
            let ready = cards.get(*card).is_some_and(|c| c.after & !done == 0);
            done |= 1 << card;
            ready
        })
    };
    let mut best = (cost(&path), path);
    loop {
        let mut better: Option<(Cost, Path)> = None;
        for from in 0..best.1.len() {
            for to in 0..best.1.len() {
                let mut tried = best.1.clone();
                let card = tried.remove(from);
                tried.insert(to, card);
                let total = cost(&tried);
                if total < better.as_ref().map_or(best.0, |b| b.0) && lawful(&tried) {
                    better = Some((total, tried));
                }
            }
        }
        match better {
            Some(found) => best = found,
            None => return best.1,
        }
    }
}

/// The path of cards: each with the row it begins and ends with, where that matters.
type Path = Vec<(usize, Option<usize>, Exit)>;

/// The least order, unless there are too many sets to look at.
fn search(cards: &[Compact], most_states: usize) -> Option<Path> {
    type Layer = BTreeMap<State, (Cost, Option<State>, Option<usize>)>;
    let mut layers: Vec<Layer> = Vec::new();
    let mut states = 0;
    for size in 0..cards.len() {
        let mut layer = Layer::new();
        let starts: Vec<(Option<State>, Cost)> = match size.checked_sub(1) {
            None => vec![(None, Cost::default())],
            Some(k) => layers
                .get(k)?
                .iter()
                .map(|(state, (cost, ..))| (Some(*state), *cost))
                .collect(),
        };
        for (from, cost) in starts {
            let done = from.map_or(0, |s| s.done);
            let last = from.map(|s| (s.last, s.exit));
            for card in next(cards, done, last.map(|(card, _)| card)) {
                for (entry, exit) in ways(cards, last, card) {
                    let total = add(cost, step(cards, last, card, entry));
                    let state = State {
                        done: done | (1 << card),
                        last: card,
                        exit,
                    };
                    let slot = layer.entry(state).or_insert((total, from, entry));
                    if total < slot.0 {
                        *slot = (total, from, entry);
                    }
                }
            }
            if states + layer.len() > most_states {
                return None;
            }
        }
        states += layer.len();
        layers.push(layer);
    }
    let (mut state, _) = match layers.last() {
        Some(layer) => layer
            .iter()
            .min_by_key(|(state, (cost, ..))| (*cost, **state))?,
        None => return Some(Path::new()),
    };
    let mut path = Path::new();
    for layer in layers.iter().rev() {
        let (_, from, entry) = layer.get(state)?;
        path.push((state.last, *entry, state.exit));
        match from {
            Some(before) => state = before,
            None => break,
        }
    }
    path.reverse();
    Some(settle(cards, path))
}

/// The next card that costs least; among equals one whose cutter is not wanted by a card that must
/// still wait, then the earliest.
fn greedy(items: &[Item], cards: &[Compact]) -> Path {
    let mut done = BTreeSet::new();
    let mut path = Path::new();
    let mut last: Option<(usize, Exit)> = None;
    while done.len() < items.len() {
        let open = |card: &usize| {
            !done.contains(card)
                && items
                    .get(*card)
                    .is_some_and(|i| i.after.iter().all(|b| done.contains(b)))
        };
        let waits = |card: usize| {
            (0..items.len())
                .filter(|k| !done.contains(k) && !open(k))
                .filter(|k| {
                    items.get(*k).map(|i| &i.tooling) == items.get(card).map(|i| &i.tooling)
                })
                .count()
        };
        let best = (0..items.len())
            .filter(open)
            .flat_map(|card| {
                ways(cards, last, card)
                    .into_iter()
                    .map(move |(entry, exit)| (card, entry, exit))
            })
            .min_by_key(|(card, entry, exit)| {
                let (changes, back) = step(cards, last, *card, *entry);
                let moved = last.is_some() && changes.cutters > 0;
                (
                    changes.cutters,
                    if moved { waits(*card) } else { 0 },
                    back,
                    items.get(*card).map_or(0, |i| i.rank),
                    changes,
                    *card,
                    exit.is_none(),
                    *exit,
                )
            });
        let Some((card, entry, exit)) = best else {
            break; // the stages have no circle, so this is not reached
        };
        done.insert(card);
        path.push((card, entry, exit));
        last = Some((card, exit));
    }
    path
}

/// Rows in order and the count of changes, from the path alone.
fn lay_out(list: &[Compact], path: &Path) -> (Vec<(usize, Vec<usize>)>, Changes) {
    let mut cards = Vec::new();
    let mut total = Cost::default();
    let mut last: Option<(usize, Exit)> = None;
    for (card, entry, exit) in path {
        total = add(total, step(list, last, *card, *entry));
        let rows = list.get(*card).map_or(0, |i| i.settings.len());
        let mut order: Vec<usize> = (0..rows).collect();
        order.sort_by_key(|row| (Some(*row) != *entry, rows > 1 && Some(*row) == *exit, *row));
        cards.push((*card, order));
        last = Some((*card, *exit));
    }
    (cards, total.0)
}

#[cfg(test)]
mod tests {
    use super::super::operation::Machine;
    use super::*;
    use proptest::prelude::*;

    fn item(tool: u8, height: i64, fences: &[i64], after: &[usize]) -> Item {
        let mut tooling = Tooling::plain(Machine::SawHead);
        tooling.width = Some(Length::mm(i64::from(tool)));
        Item {
            tooling,
            height: Some(Length::mm(height)),
            settings: fences
                .iter()
                .map(|f| Setting::Fence {
                    at: Length::mm(*f),
                    last: None,
                })
                .collect(),
            rank: 0,
            after: after.iter().copied().collect(),
        }
    }

    /// Two heads A and B; B's first card must wait for A's first, A's second for B's second. Taking
    /// them A, B, B, A mounts three times; nothing can do better since A's second needs B done.
    #[test]
    fn a_cutter_that_must_come_back_is_counted_twice() {
        let items = [
            item(1, 5, &[90], &[]),
            item(2, 5, &[90], &[0]),
            item(2, 6, &[90], &[]),
            item(1, 6, &[90], &[2]),
        ];
        let order = order(&items, MOST_STATES);
        assert!(order.proven);
        // 2 needs nothing: B's second first, then both of A, then B's first: 3 mountings.
        assert_eq!(order.changes.cutters, 3);
        assert_eq!(order.changes.heights, 4);
        // Within one head the fence stays at 90: one of four settings is saved.
        assert_eq!(order.changes.fences, 3);
    }

    #[test]
    fn the_fence_is_left_where_the_next_card_begins() {
        // One head, three heights; fences {90, 500}, {500, 600}, {600}: 5 settings less 2 left standing.
        let items = [
            item(1, 5, &[500, 90], &[]),
            item(1, 6, &[600], &[]),
            item(1, 7, &[600, 500], &[]),
        ];
        let order = order(&items, MOST_STATES);
        assert_eq!(
            order.changes,
            Changes {
                cutters: 1,
                heights: 3,
                fences: 3
            }
        );
    }

    /// All orders of the cards, with the best rows, tried one by one.
    fn by_hand(items: &[Item]) -> Changes {
        fn go(
            items: &[Item],
            cards: &[Compact],
            done: &mut Vec<usize>,
            last: Option<(usize, Exit)>,
            at: Cost,
            best: &mut Option<Changes>,
        ) {
            if done.len() == items.len() {
                *best = Some(best.map_or(at.0, |b| b.min(at.0)));
                return;
            }
            for card in 0..items.len() {
                if done.contains(&card) || !items[card].after.iter().all(|b| done.contains(b)) {
                    continue;
                }
                let rows = items[card].settings.len();
                for entry in 0..rows {
                    for exit in 0..rows {
                        if (rows > 1) == (entry == exit) {
                            continue;
                        }
                        let cost = add(at, step(cards, last, card, Some(entry)));
                        done.push(card);
                        go(items, cards, done, Some((card, Some(exit))), cost, best);
                        done.pop();
                    }
                }
            }
        }
        let mut best = None;
        go(
            items,
            &compact(items),
            &mut Vec::new(),
            None,
            Cost::default(),
            &mut best,
        );
        best.expect("precedence runs from lower to higher indices, so an order exists")
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]
        #[test]
        fn the_search_agrees_with_trying_every_order(
            cards in prop::collection::vec((0u8..3, 0i64..2, prop::collection::btree_set(0i64..3, 1..3), prop::collection::vec(0usize..5, 0..3)), 1..6)
        ) {
            let items: Vec<Item> = cards
                .iter()
                .enumerate()
                .map(|(i, (tool, height, fences, after))| {
                    let fences: Vec<i64> = fences.iter().copied().collect();
                    let after: Vec<usize> = after.iter().copied().filter(|b| *b < i).collect();
                    item(*tool, *height, &fences, &after)
                })
                .collect();
            let exact = order(&items, MOST_STATES);
            let quick = order(&items, 0);
            let least = by_hand(&items);
            prop_assert!(exact.proven);
            prop_assert_eq!(exact.changes, least);
            prop_assert!(quick.changes >= least);
            prop_assert!(quick.bound.cutters <= least.cutters);
            let mut seen: Vec<usize> = quick.cards.iter().map(|(c, _)| *c).collect();
            seen.sort();
            prop_assert_eq!(seen, (0..items.len()).collect::<Vec<_>>());
        }
    }
}
