//! In which order the pieces of a strip follow each other. Whatever that order is, the strip gives the
//! same parts and the same rests; so that one is taken which moves fence and stop least often.

#[cfg(test)]
mod tests;

use super::item::{Item, Node};
use crate::measure::Length;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

/// Settings in the order in which they are used, phase by phase. A phase is all cuts that are made the
/// same way before what they gave is turned: the first goes through the whole sheet.
pub(super) type Phases = Vec<Vec<Length>>;

/// The same tree with the pieces of each strip in order, and the order of settings that goes with it;
/// `room` is what the tree is sawn from.
pub(super) fn ordered(
    root: Node,
    room: [Length; 2],
    items: &[Item],
    kerf: Length,
) -> (Node, Phases) {
    let mut strips = Vec::new();
    read(&root, room, (0, None), &mut strips, (items, kerf));
    let needed = leave_last_uncut(&mut strips);
    let phases = sequences(&strips, &needed);
    let root = sorted(root, &mut strips.iter(), &phases);
    (root, phases)
}

/// Which phase a cut along `axis` belongs to that comes after one of a phase along another axis.
pub(super) fn phase_after((phase, before): (usize, Option<usize>), axis: usize) -> usize {
    phase + usize::from(before.is_some_and(|before| before != axis))
}

/// Pieces that follow each other; an item by itself is one, across the cut that made its room.
#[derive(Debug)]
pub(super) struct Strip<L = Length> {
    pub(super) phase: usize,
    /// How far fence or stop is from each piece's near side, in the tree's order.
    pub(super) settings: Vec<L>,
    /// Whether nothing stays over: then the last piece needs no cut.
    pub(super) full: bool,
    /// Whether the order is given.
    pub(super) in_order: bool,
    /// Of a full one: the piece that comes last.
    pub(super) last: Option<usize>,
}

impl<L: Copy + Ord> Strip<L> {
    /// Settings of the cuts that are made, if the order is the tree's.
    fn cuts(&self) -> &[L] {
        let uncut = usize::from(self.full);
        &self.settings[..self.settings.len() - uncut]
    }

    /// Whether any of its pieces may be the one that needs no cut.
    fn may_end(&self) -> bool {
        self.full && !self.in_order
    }

    fn times(&self, setting: L) -> usize {
        self.settings.iter().filter(|s| **s == setting).count()
    }
}

/// Lists the strips of a tree, each node's before those of what it holds.
fn read(
    node: &Node,
    room: [Length; 2],
    after: (usize, Option<usize>),
    out: &mut Vec<Strip>,
    (items, kerf): (&[Item], Length),
) {
    let cut_up = node.cut_up();
    let (axis, nodes) = match &cut_up {
        Node::Cut(axis, nodes) => (*axis, nodes.as_slice()),
        _ => (after.1.map_or(1, |before| 1 - before), [].as_slice()),
    };
    let size = |node: &Node| node.size(items, kerf)[axis];
    let phase = phase_after(after, axis);
    out.push(Strip {
        phase,
        settings: match nodes {
            [] => vec![size(node)],
            nodes => nodes.iter().map(size).collect(),
        },
        full: size(node) == room[axis],
        in_order: !matches!(node, Node::Cut(..)),
        last: None,
    });
    for node in nodes {
        let mut inner = room;
        inner[axis] = size(node);
        read(node, inner, (phase, Some(axis)), out, (items, kerf));
    }
}

/// Chooses the last piece of each full strip, so that few settings are needed; gives those of each phase.
pub(super) fn leave_last_uncut<L: Copy + Ord>(strips: &mut [Strip<L>]) -> Vec<BTreeSet<L>> {
    let phases = strips.iter().map(|s| s.phase + 1).max().unwrap_or(0);
    let mut needed = vec![BTreeSet::new(); phases];
    let mut common: BTreeMap<(usize, L), usize> = BTreeMap::new();
    for strip in strips.iter() {
        for setting in &strip.settings {
            *common.entry((strip.phase, *setting)).or_default() += 1;
        }
        let cuts = strip.cuts().iter().copied();
        needed[strip.phase].extend(cuts.filter(|s| !strip.may_end() || strip.times(*s) > 1));
    }
    for strip in strips.iter_mut().filter(|s| s.may_end()) {
        let needed = &mut needed[strip.phase];
        // What no other cut needs, and the rarest of it; else the smallest, which is the worst to hold.
        strip.last = (0..strip.settings.len()).min_by_key(|i| {
            let setting = strip.settings[*i];
            let often = common.get(&(strip.phase, setting)).copied();
            (needed.contains(&setting), often, setting)
        });
        let cut = (0..strip.settings.len()).filter(|i| Some(*i) != strip.last);
        needed.extend(cut.map(|i| strip.settings[i]));
    }
    needed
}

/// How often fence or stop is set for strips in the best order.
pub(super) fn settings<L: Copy + Ord>(strips: &mut [Strip<L>]) -> usize {
    let needed = leave_last_uncut(strips);
    let stays = links(&needed, &given(strips, needed.len()));
    needed.iter().map(BTreeSet::len).sum::<usize>() - stays.iter().flatten().count()
}

/// By phase: what a strip that keeps its order has first must come first.
fn given<L: Copy + Ord>(strips: &[Strip<L>], phases: usize) -> Vec<BTreeSet<(L, L)>> {
    let mut before = vec![BTreeSet::new(); phases];
    for strip in strips.iter().filter(|s| s.in_order) {
        let pairs = strip.cuts().windows(2).map(|pair| (pair[0], pair[1]));
        before[strip.phase].extend(pairs.filter(|(a, b)| a != b));
    }
    before
}

/// By phase: what it needs and the next one of the same way too, so that it stays set between them.
fn links<L: Copy + Ord>(needed: &[BTreeSet<L>], before: &[BTreeSet<(L, L)>]) -> Vec<Option<L>> {
    let bound = |phase: usize, s: L| before[phase].iter().any(|(a, b)| [*a, *b].contains(&s));
    let mut out: Vec<Option<L>> = vec![None; needed.len()];
    for phase in 0..needed.len().saturating_sub(2) {
        let next = phase + 2;
        let first = phase.checked_sub(2).and_then(|before| out[before]);
        let shared = needed[phase].intersection(&needed[next]).copied();
        let free = shared.filter(|s| {
            let taken = first == Some(*s) && needed[phase].len() > 1;
            !taken && !bound(phase, *s) && !bound(next, *s)
        });
        // One that is of use again later is left for then.
        let later = |s: &L| needed.get(next + 2).is_some_and(|n| n.contains(s));
        out[phase] = free.max_by_key(|s| (!later(s), *s));
    }
    out
}

/// The order of settings in each phase: large ones first, so that the rest stays long enough to hold; but a
/// setting that the next phase of the same way needs too comes last in the one and first in the other.
fn sequences(strips: &[Strip], needed: &[BTreeSet<Length>]) -> Phases {
    let before = given(strips, needed.len());
    let last = links(needed, &before);
    let first = |phase: usize| phase.checked_sub(2).and_then(|before| last[before]);
    let sequence = |phase: usize| {
        let mut left = needed[phase].clone();
        let mut out = Vec::new();
        while !left.is_empty() {
            let waits = |s: Length| {
                let mut all = before[phase].iter();
                all.any(|(a, b)| *b == s && left.contains(a))
            };
            let next = left.iter().copied().min_by_key(|s| {
                let at_its_end = (Some(*s) != first(phase), Some(*s) == last[phase]);
                (waits(*s), at_its_end, Reverse(*s))
            });
            left.retain(|s| Some(*s) != next);
            out.extend(next);
        }
        out
    };
    (0..needed.len()).map(sequence).collect()
}

/// Puts the pieces of each strip in order; `strips` as [`read`] lists them.
fn sorted<'a>(node: Node, strips: &mut impl Iterator<Item = &'a Strip>, phases: &Phases) -> Node {
    let strip = strips.next();
    match node {
        Node::Cut(axis, nodes) => {
            let nodes = nodes.into_iter().map(|n| sorted(n, strips, phases));
            let mut nodes: Vec<(usize, Node)> = nodes.enumerate().collect();
            if let Some(strip) = strip {
                let rank = |s| phases[strip.phase].iter().position(|of| *of == s);
                nodes.sort_by_key(|(i, _)| {
                    let last = strip.last == Some(*i);
                    (last, rank(strip.settings[*i]))
                });
            }
            Node::Cut(axis, nodes.into_iter().map(|(_, node)| node).collect())
        }
        Node::Run(_, ref members) => {
            // Its items' own.
            strips.by_ref().take(members.len()).for_each(|_| ());
            node
        }
        Node::Item(..) => node,
    }
}
