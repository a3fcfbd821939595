//! Which part lies where, among layouts of the same sheets: so that fence and stop are set least often.
//!
//! Parts, stacks and strips are moved and exchanged, by late acceptance: a layout is taken that is no worse
//! than the one so many steps before (Burke & Bykov 2017, "The late acceptance hill-climbing heuristic"). What
//! comes of it is counted as the cuts are made, and kept only where it takes fewer settings, or as many and
//! fewer turns, and leaves offcuts over that are no worse: at least as many kept, none smaller by area, squares
//! of areas no less.

mod moves;
mod state;
#[cfg(test)]
mod tests;

use super::Handling;
use super::cuts::{SetOut, is_kept, set_out};
use super::item::{Item, Node};
use super::solve::Question;
use crate::cutting::{Effort, Stages};
use crate::measure::{Length, Rational};
use crate::model::FirstCuts;
use moves::Walk;
use state::{Cut, Kind, Room, Shop, Stack};
use std::cmp::Reverse;
use std::collections::{BTreeMap, VecDeque};

/// Sheet by sheet: from which source, and what becomes of it.
pub(super) type Laid = Vec<(usize, Node)>;

/// Rearranges a layout of the same parts on the same sheets, if that takes fewer settings, or as many and fewer
/// turns. Of `unit`, the kerf and all sides of parts and of usable sheets are whole numbers; a limit of the saw,
/// a trim or what is kept need not be.
pub(super) fn rearrange(ask: &Question, unit: Rational, laid: &mut Laid) {
    let Some(mut puzzle) = Puzzle::of(ask, unit, laid) else {
        return;
    };
    let mut best = Merit::of(ask, laid);
    let (rounds, steps, work) = match ask.effort {
        Effort::Quick => (1, 120, 300_000),
        Effort::Normal => (4, 250, 1_000_000),
        Effort::Long => (10, 1000, 4_000_000),
    };
    // So many steps for each part, unless its sheets hold so many that a step, which looks at two of them, is
    // much work.
    let parts = laid.iter().map(|(_, node)| count(node)).sum::<usize>();
    let steps = (steps * parts.max(10)).min(work * laid.len() / (2 * parts.max(1)));
    let mut walk = Walk::new(&puzzle.shop, std::mem::take(&mut puzzle.cuts));
    walk.run(rounds, steps, |cuts| {
        let other = puzzle.laid(cuts);
        let merit = Merit::of(ask, &other);
        if merit.is_better(&best) {
            (*laid, best) = (other, merit);
        }
    });
}

fn count(node: &Node) -> usize {
    match node {
        Node::Item(..) => 1,
        Node::Run(_, members) => members.len(),
        Node::Cut(_, nodes) => nodes.iter().map(count).sum(),
    }
}

/// What a layout asks for at the saw, as its cuts are made, and what stays over.
#[derive(Debug, PartialEq, Eq)]
struct Merit {
    /// Settings, then turns; of sheets that are cut alike, once.
    asks: (u32, u32),
    /// Squares of the areas of what stays over.
    squares: Rational,
    /// Areas of what is kept, the largest first.
    kept: Vec<Rational>,
}

impl Merit {
    fn of(ask: &Question, laid: &Laid) -> Merit {
        let mut out = Merit {
            asks: (0, 0),
            squares: Rational::ZERO,
            kept: Vec::new(),
        };
        let mut before: Vec<(usize, SetOut)> = Vec::new();
        for (source, node) in laid {
            let from = &ask.sources[*source];
            let set = set_out(node.clone(), from, ask.items, ask.kerf);
            for rest in &set.rests {
                let area = super::area(rest.long(), rest.wide());
                out.squares = out.squares + area * area;
                if is_kept(rest, ask.style.keep) {
                    out.kept.push(area);
                }
            }
            if !before
                .iter()
                .any(|(of, other)| of == source && set.alike(other, ask.items))
            {
                let handling = Handling::of(&set.cuts);
                out.asks.0 += handling.settings();
                out.asks.1 += handling.turns;
                before.push((*source, set));
            }
        }
        out.kept.sort_by_key(|area| Reverse(*area));
        out
    }

    /// Whether what stays over is worth no less than that of another; not if that is past reckoning.
    fn keeps(&self, other: &Merit) -> bool {
        let mut pairs = self.kept.iter().zip(&other.kept);
        !self.squares.is_overflow()
            && self.squares >= other.squares
            && self.kept.len() >= other.kept.len()
            && pairs.all(|(mine, its)| mine >= its)
    }

    fn is_better(&self, other: &Merit) -> bool {
        self.asks < other.asks && self.keeps(other)
    }
}

/// A layout in integers, and the items of its kinds.
struct Puzzle {
    shop: Shop,
    cuts: Vec<Cut>,
    /// By kind, in order.
    items: Vec<Vec<usize>>,
    /// By item that is a run.
    runs: BTreeMap<usize, Node>,
}

impl Puzzle {
    /// `None` if nothing is laid out, or some tree is not one of strips, stacks and parts.
    fn of(ask: &Question, unit: Rational, laid: &Laid) -> Option<Puzzle> {
        let whole = |units: Option<i128>| i64::try_from(units?).ok();
        // What limits is rounded down, what is a least extent up: neither need be a whole number of units.
        let down = |length: Length| whole((length.as_mm() / unit).floor());
        let up = |length: Length| whole((length.as_mm() / unit).ceil());
        let kerf = up(ask.kerf)?;
        let over = |sides: [Length; 2]| Some([up(sides[0])? + kerf, up(sides[1])? + kerf]);
        let rooms = ask.sources.iter().map(|source| {
            let usable = source.usable();
            let usable = [down(usable[0])? + kerf, down(usable[1])? + kerf];
            let trim = up(source.trim)?;
            let longest = match ask.style.longest {
                Some(most) => down(most - source.trim * 2)?.saturating_add(kerf),
                None => i64::MAX,
            };
            let widest = |axis: usize| match (ask.style.stages, source.widest[axis]) {
                (Stages::One, _) | (_, None) => Some(longest),
                (_, Some(most)) => Some(longest.min(down(most)?.saturating_add(kerf))),
            };
            let reaches = |across: Length| ask.style.longest.is_none_or(|most| across <= most);
            Some(Room {
                raw: usable.map(|side| side + trim),
                usable,
                widest: [widest(0)?, widest(1)?],
                reached: [reaches(source.wide), reaches(source.long)],
            })
        });
        let (grain_long, (along, across)) = ask.style.keep;
        let keep = match grain_long {
            Some(false) => ([up(across)?, up(along)?], false),
            grain => ([up(along)?, up(across)?], grain.is_none()),
        };
        let mut puzzle = Puzzle {
            shop: Shop {
                kinds: Vec::new(),
                rooms: rooms.collect::<Option<_>>()?,
                kerf,
                rounds: match ask.style.stages {
                    Stages::One => 1,
                    Stages::Two => 2,
                    Stages::Three => 3,
                    Stages::Any => return None,
                },
                trimming: ask.trimming,
                keep,
            },
            cuts: Vec::new(),
            items: Vec::new(),
            runs: BTreeMap::new(),
        };
        let mut kinds = BTreeMap::new();
        for (source, node) in laid {
            let mut kind = |node: &Node| {
                let (item, turned) = match node {
                    Node::Item(item, turned) => (*item, *turned),
                    Node::Run(axis, members) => {
                        let is = |item: &Item| {
                            let run = item.run.as_ref();
                            run.is_some_and(|(a, of)| a == axis && of == members)
                        };
                        (ask.items.iter().position(is)?, false)
                    }
                    Node::Cut(..) => return None,
                };
                let of = &ask.items[item];
                let size = over([of.long, of.wide])?;
                let run = match &of.run {
                    Some((axis, members)) => {
                        puzzle.runs.insert(item, node.clone());
                        let sizes = members.iter().map(|member| {
                            let of = &ask.items[*member];
                            over([of.long, of.wide]).map(|size| size[*axis])
                        });
                        Some((*axis, sizes.collect::<Option<Vec<_>>>()?))
                    }
                    None => None,
                };
                let of_run = run.as_ref().map(|_| item);
                let kind = *kinds.entry((size, of.may_turn, of_run)).or_insert_with(|| {
                    puzzle.items.push(Vec::new());
                    puzzle.shop.kinds.push(Kind {
                        size,
                        turns: of.may_turn && size[0] != size[1],
                        run,
                    });
                    puzzle.items.len() - 1
                });
                puzzle.items[kind].push(item);
                Some((kind, turned))
            };
            let (axis, strips) = strips(node, ask.style.first, &mut kind)?;
            let one = Cut {
                source: *source,
                times: 1,
                axis,
                strips,
            };
            let same = |other: &&mut Cut| {
                Cut {
                    times: 1,
                    ..(*other).clone()
                } == one
            };
            match puzzle.cuts.iter_mut().find(same) {
                Some(same) => same.times += 1,
                None => puzzle.cuts.push(one),
            }
        }
        let fits = |cut: &Cut| puzzle.shop.score(cut).is_some();
        if laid.is_empty() || !puzzle.cuts.iter().all(fits) {
            return None;
        }
        puzzle
            .items
            .iter_mut()
            .for_each(|items| items.sort_unstable());
        Some(puzzle)
    }

    /// The layout in exact lengths, items dealt out in order.
    fn laid(&self, cuts: &[Cut]) -> Laid {
        let mut cuts: Vec<&Cut> = cuts.iter().collect();
        let area = |cut: &Cut| {
            let kinds = cut.places().map(|[s, k, i]| cut.strips[s][k][i].0);
            let sizes = kinds.map(|kind| self.shop.kinds[kind].size);
            sizes.map(|size| size[0] * size[1]).sum::<i64>()
        };
        cuts.sort_by_key(|cut| (cut.source, Reverse(area(cut)), Reverse(cut.times)));
        let mut items: Vec<VecDeque<usize>> = self
            .items
            .iter()
            .map(|of| of.iter().copied().collect())
            .collect();
        let mut out = Laid::new();
        for cut in cuts {
            for _ in 0..cut.times {
                let mut put = |(kind, turned): &(usize, bool)| {
                    let item = items[*kind]
                        .pop_front()
                        .expect("parts are moved, none is made or lost");
                    let run = self.runs.get(&item).cloned();
                    run.unwrap_or(Node::Item(item, *turned))
                };
                let mut stack =
                    |puts: &Stack| Node::Cut(cut.axis, puts.iter().map(&mut put).collect());
                let strips = cut
                    .strips
                    .iter()
                    .map(|stacks| Node::Cut(1 - cut.axis, stacks.iter().map(&mut stack).collect()));
                out.push((cut.source, Node::Cut(cut.axis, strips.collect())));
            }
        }
        out
    }
}

/// A tree as strips of stacks of parts, and the axis along which the strips follow each other.
fn strips(
    node: &Node,
    first: FirstCuts,
    kind: &mut impl FnMut(&Node) -> Option<(usize, bool)>,
) -> Option<(usize, Vec<Vec<Stack>>)> {
    /// What follows each other along an axis; what is not cut that way is one.
    fn along(node: &Node, axis: usize) -> &[Node] {
        match node {
            Node::Cut(of, nodes) if *of == axis => nodes,
            one => std::slice::from_ref(one),
        }
    }
    let axis = match (node, first) {
        (Node::Cut(axis, nodes), FirstCuts::Either) if nodes.len() > 1 => *axis,
        (_, FirstCuts::Across) => 0,
        (_, FirstCuts::Along) => 1,
        (Node::Cut(axis, _), FirstCuts::Either) => *axis,
        (_, FirstCuts::Either) => 1,
    };
    let strips = along(node, axis).iter().map(|strip| {
        let stacks = along(strip, 1 - axis).iter().map(|stack| {
            let puts = along(stack, axis).iter().map(|put| {
                let mut put = put;
                while let Node::Cut(_, nodes) = put
                    && let [one] = nodes.as_slice()
                {
                    put = one;
                }
                kind(put)
            });
            puts.collect::<Option<Stack>>()
        });
        stacks.collect::<Option<Vec<_>>>()
    });
    Some((axis, strips.collect::<Option<_>>()?))
}
