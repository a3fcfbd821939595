//! A tree of cuts set out on its sheet, board or strip: where each item lies, in which order the cuts
//! are made, and what stays over. Cuts the same way and at one setting are made together.

use super::item::{Item, Node, Source};
use super::order::{Phases, ordered, phase_after};
use super::{Offcut, Rect};
use crate::measure::Length;
use std::collections::BTreeSet;

/// What a cut does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum CutDo {
    /// Takes the shop's trim off the long edge that becomes the reference edge.
    TrueEdge,
    /// Takes the shop's trim off the end that becomes the reference end.
    SquareEnd,
    /// Along the length, against the fence.
    Rip,
    /// Across the length, against a stop.
    CrossCut,
}

/// One setting and every cut that is made with it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetCut {
    /// Its number on this sheet, from 1.
    pub number: u32,
    /// What it does.
    pub what: CutDo,
    /// The round of cuts: 1 goes right through the sheet, 2 the other way through what the first gave, and
    /// so on; 0 for the trimmed edges.
    pub round: u32,
    /// Fence, stop, or what is taken off.
    pub setting: Length,
    /// How many cuts.
    pub times: u32,
    /// What lies (indices of [`Sheet::placed`]) in the pieces that come off.
    pub holds: Vec<usize>,
    /// What of it needs no further cut.
    pub gives: Vec<usize>,
    /// Where the saw goes: the near side of each kerf; of a trimmed edge the far side.
    pub lines: Vec<CutLine>,
}

/// A cut on the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CutLine {
    /// Start.
    pub from: [Length; 2],
    /// End.
    pub to: [Length; 2],
}

/// One cut before cuts with one setting are gathered.
struct Single {
    what: CutDo,
    phase: usize,
    setting: Length,
    holds: Vec<usize>,
    line: CutLine,
    /// The cut that must come before it: that which frees the piece it goes through.
    after: Option<usize>,
}

/// A tree set out.
pub(super) struct SetOut {
    /// Items, whether they are turned, and where they lie.
    pub(super) puts: Vec<(usize, bool, Rect)>,
    pub(super) cuts: Vec<SheetCut>,
    /// What stays over, at the usable size (trimmed edges off).
    pub(super) rests: Vec<Rect>,
}

impl SetOut {
    /// Whether another one from the same source is cut in the same way into places of the same kind, as
    /// [`super::Sheet::is_alike`] asks of what is printed.
    pub(super) fn alike(&self, other: &SetOut, items: &[Item]) -> bool {
        let runs = items.iter().filter_map(|item| item.run.as_ref());
        let runs: Vec<&Vec<usize>> = runs.map(|(_, members)| members).collect();
        let sequence = |item: usize| {
            let place = |run: &&Vec<usize>| {
                let at = run.iter().position(|member| *member == item)?;
                Some((at, run.len()))
            };
            runs.iter().find_map(place)
        };
        let place = |(item, turned, area): &(usize, bool, Rect)| {
            let of = &items[*item];
            (*area, *turned, of.long, of.wide, sequence(*item))
        };
        self.cuts == other.cuts
            && self.rests == other.rests
            && self.puts.iter().map(place).eq(other.puts.iter().map(place))
    }
}

/// Sets a tree out, from the trimmed corner.
pub(super) fn set_out(node: Node, source: &Source, items: &[Item], kerf: Length) -> SetOut {
    let trim = source.trim;
    let root = match node {
        cut @ Node::Cut(..) => cut,
        one => Node::Cut(1, vec![one]),
    };
    let lo = [trim; 2];
    let hi = [source.long, source.wide];
    let room = [source.long - trim, source.wide - trim];
    let (root, phases) = ordered(root, room, items, kerf);
    let mut setter = Setter {
        items,
        kerf,
        usable: room,
        puts: Vec::new(),
        singles: Vec::new(),
        rests: Vec::new(),
    };
    setter.place(&root, (lo, hi), (0, None), None);
    let Node::Cut(axis, _) = root else {
        unreachable!("it was made a cut")
    };
    let mut edges = Vec::new();
    if trim.is_positive() {
        // The edge against which the first cuts are made is trued first, the other one of the pieces.
        let end = lo[axis] + root.size(items, kerf)[axis];
        for across in [axis, 1 - axis] {
            let (mut from, mut to) = ([Length::ZERO; 2], hi);
            (from[across], to[across]) = (trim, trim);
            if across != axis {
                (from[axis], to[axis]) = (trim, end);
            }
            edges.push(Single {
                what: if across == 1 {
                    CutDo::TrueEdge
                } else {
                    CutDo::SquareEnd
                },
                phase: usize::from(across != axis),
                setting: trim,
                holds: Vec::new(),
                line: CutLine { from, to },
                after: None,
            });
        }
    }
    SetOut {
        cuts: gather(edges, &setter.singles, &phases),
        rests: setter.rests,
        puts: setter.puts,
    }
}

struct Setter<'a> {
    items: &'a [Item],
    kerf: Length,
    /// The far corner inside the trimmed edges.
    usable: [Length; 2],
    puts: Vec<(usize, bool, Rect)>,
    singles: Vec<Single>,
    rests: Vec<Rect>,
}

impl Setter<'_> {
    /// Places what a node holds in its room; `before` is the phase and axis of the cut that made the room,
    /// `made` that cut.
    fn place(
        &mut self,
        node: &Node,
        (lo, hi): ([Length; 2], [Length; 2]),
        before: (usize, Option<usize>),
        made: Option<usize>,
    ) -> Vec<usize> {
        match node {
            Node::Item(item, turned) => {
                let size = self.items[*item].lies(*turned);
                let index = self.puts.len();
                let far = [lo[0] + size[0], lo[1] + size[1]];
                self.puts.push((*item, *turned, Rect { lo, hi: far }));
                let (mut room, mut before, mut made) = (hi, before, made);
                let first = before.1.map_or(1, |axis| 1 - axis);
                for axis in [first, 1 - first] {
                    if far[axis] < room[axis] {
                        before = (phase_after(before, axis), Some(axis));
                        made = Some(self.cut((axis, before.0), (lo, room), far[axis], made));
                        self.singles[made.unwrap_or(0)].holds.push(index);
                        self.rest(axis, (lo, room), far[axis] + self.kerf);
                        room[axis] = far[axis];
                    }
                }
                vec![index]
            }
            Node::Run(..) | Node::Cut(..) => {
                let cut_up = node.cut_up();
                let Node::Cut(axis, nodes) = &cut_up else {
                    unreachable!("it is one or cut up to one")
                };
                let axis = *axis;
                let phase = phase_after(before, axis);
                // A first cut goes through the trimmed edges too.
                let mut start = match before.1 {
                    None => [Length::ZERO; 2],
                    Some(_) => lo,
                };
                let (mut all, mut last) = (Vec::new(), None);
                let mut at = lo[axis];
                for node in nodes {
                    let end = at + node.size(self.items, self.kerf)[axis];
                    let (mut from, mut to) = (lo, hi);
                    (from[axis], to[axis]) = (at, end);
                    if end < hi[axis] {
                        start[axis] = at;
                        last = Some(self.cut((axis, phase), (start, hi), end, last.or(made)));
                    }
                    // What comes last is free with the cut before it.
                    let under = self.place(node, (from, to), (phase, Some(axis)), last.or(made));
                    if let Some(cut) = last {
                        self.singles[cut].holds.extend(&under);
                    }
                    all.extend(under);
                    at = end + self.kerf;
                }
                self.rest(axis, (lo, hi), at);
                all
            }
        }
    }

    /// A cut right through a room, at `at` along an axis; gives its index.
    fn cut(
        &mut self,
        (axis, phase): (usize, usize),
        (lo, hi): ([Length; 2], [Length; 2]),
        at: Length,
        after: Option<usize>,
    ) -> usize {
        let (mut from, mut to) = (lo, hi);
        (from[axis], to[axis]) = (at, at);
        self.singles.push(Single {
            what: if axis == 1 {
                CutDo::Rip
            } else {
                CutDo::CrossCut
            },
            phase,
            setting: at - lo[axis],
            holds: Vec::new(),
            line: CutLine { from, to },
            after,
        });
        self.singles.len() - 1
    }

    /// What is left of a room from `at` along an axis.
    fn rest(&mut self, axis: usize, (mut lo, mut hi): ([Length; 2], [Length; 2]), at: Length) {
        lo[axis] = at;
        hi = [hi[0].min(self.usable[0]), hi[1].min(self.usable[1])];
        if (0..2).all(|i| lo[i] < hi[i]) {
            self.rests.push(Rect { lo, hi });
        }
    }
}

/// Puts cuts in order, phase by phase, each after the trimmed edge that it is measured from, and one number
/// on those that are made at one setting.
fn gather(edges: Vec<Single>, singles: &[Single], phases: &Phases) -> Vec<SheetCut> {
    let mut out: Vec<SheetCut> = Vec::new();
    let mut done = vec![false; singles.len()];
    let count = singles.iter().chain(&edges).map(|s| s.phase + 1).max();
    for phase in 0..count.unwrap_or(0) {
        for edge in edges.iter().filter(|edge| edge.phase == phase) {
            out.push(numbered(&out, edge, 0));
        }
        let mut set = None;
        while let Some(setting) = next(singles, &done, phase, set, phases) {
            for (i, single) in singles.iter().enumerate() {
                let freed = single.after.is_none_or(|before| done[before]);
                if done[i] || !freed || (single.phase, single.setting) != (phase, setting) {
                    continue;
                }
                done[i] = true;
                match out.last_mut().filter(|_| set == Some(setting)) {
                    Some(last) => {
                        last.times += 1;
                        last.holds.extend(&single.holds);
                        last.lines.push(single.line);
                    }
                    None => out.push(numbered(&out, single, phase as u32 + 1)),
                }
                set = Some(setting);
            }
        }
    }
    // A cut gives what no later cut holds.
    let mut later: Vec<usize> = Vec::new();
    for cut in out.iter_mut().rev() {
        cut.gives = cut.holds.clone();
        cut.gives.retain(|i| !later.contains(i));
        later.extend(&cut.gives);
    }
    out
}

fn numbered(before: &[SheetCut], single: &Single, round: u32) -> SheetCut {
    SheetCut {
        number: before.len() as u32 + 1,
        what: single.what,
        round,
        setting: single.setting,
        times: 1,
        holds: single.holds.clone(),
        gives: Vec::new(),
        lines: vec![single.line],
    }
}

/// The setting to cut at next in a phase: the one that is set while there is anything to cut at it; else one
/// that need not be set again, in the order of the phase. `None` if nothing is left.
fn next(
    singles: &[Single],
    done: &[bool],
    phase: usize,
    set: Option<Length>,
    phases: &Phases,
) -> Option<Length> {
    let left = || (0..singles.len()).filter(|i| !done[*i] && singles[*i].phase == phase);
    // Something at another setting must come before one at this.
    let waits = |i: usize| {
        let before = |i: &usize| singles[*i].after.filter(|before| !done[*before]);
        let mut chain = std::iter::successors(before(&i), before);
        chain.any(|before| singles[before].setting != singles[i].setting)
    };
    let ready = left().filter(|i| singles[*i].after.is_none_or(|before| done[before]));
    let settings: BTreeSet<Length> = ready.map(|i| singles[i].setting).collect();
    settings.into_iter().min_by_key(|setting| {
        let again = left().any(|i| singles[i].setting == *setting && waits(i));
        let order = phases.get(phase).map(|all| all.iter());
        let order = order.and_then(|mut all| all.position(|s| s == setting));
        (set != Some(*setting), again, order.unwrap_or(usize::MAX))
    })
}

/// What a shop keeps: which way the grain runs (along `x`, along `y`, or not seen), and the least extents
/// along and across it.
pub(super) type Keep = (Option<bool>, (Length, Length));

/// Whether what stays over is large enough to keep; without grain either way round.
pub(super) fn is_kept(rest: &Rect, (grain_long, (along, across)): Keep) -> bool {
    let (long, wide) = match grain_long {
        Some(true) => (rest.long(), rest.wide()),
        Some(false) => (rest.wide(), rest.long()),
        None => (rest.long().max(rest.wide()), rest.long().min(rest.wide())),
    };
    long >= along && wide >= across
}

/// What stays over: what is large enough to keep, and waste.
pub(super) fn offcuts(rests: Vec<Rect>, keep: Keep) -> (Vec<Offcut>, Vec<Rect>) {
    let (kept, waste): (Vec<Rect>, Vec<Rect>) =
        rests.into_iter().partition(|rest| is_kept(rest, keep));
    let named = |area| Offcut {
        name: String::new(),
        area,
    };
    (kept.into_iter().map(named).collect(), waste)
}
