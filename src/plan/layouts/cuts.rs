//! A tree of cuts set out on its sheet, board or strip: where each item lies, in which order the cuts
//! are made, and what stays over. Each setting of fence or stop comes once in a round of cuts.

use super::item::{Item, Node, Source};
use super::{Offcut, Rect, Sheet};
use crate::measure::Length;
use std::cmp::Reverse;

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
#[derive(Clone, Debug)]
pub struct SheetCut {
    /// Its number on this sheet, from 1.
    pub number: u32,
    /// What it does.
    pub what: CutDo,
    /// The round of cuts: 1 goes right through the sheet, 2 through what the first gave, and so on;
    /// 0 for the trimmed edges.
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
#[derive(Clone, Copy, Debug)]
pub struct CutLine {
    /// Start.
    pub from: [Length; 2],
    /// End.
    pub to: [Length; 2],
}

/// One cut before cuts with one setting are gathered.
struct Single {
    what: CutDo,
    round: u32,
    setting: Length,
    holds: Vec<usize>,
    line: CutLine,
}

/// A tree set out.
pub(super) struct SetOut {
    /// Items, whether they are turned, and where they lie.
    pub(super) puts: Vec<(usize, bool, Rect)>,
    pub(super) cuts: Vec<SheetCut>,
    /// What stays over, at the usable size (trimmed edges off).
    pub(super) rests: Vec<Rect>,
}

/// Sets a tree out, from the trimmed corner.
pub(super) fn set_out(node: Node, source: &Source, items: &[Item], kerf: Length) -> SetOut {
    let trim = source.trim;
    let root = match node.sorted(items, kerf) {
        cut @ Node::Cut(..) => cut,
        one => Node::Cut(1, vec![one]),
    };
    let mut setter = Setter {
        items,
        kerf,
        usable: [source.long - trim, source.wide - trim],
        puts: Vec::new(),
        singles: Vec::new(),
        rests: Vec::new(),
    };
    let lo = [trim; 2];
    let hi = [source.long, source.wide];
    setter.place(&root, lo, hi, 1, None);
    let Node::Cut(axis, _) = root else {
        unreachable!("it was made a cut")
    };
    if trim.is_positive() {
        // The edge against which the first cuts are made is trued first, the other one of the pieces.
        let end = lo[axis] + root.size(items, kerf)[axis];
        for across in [axis, 1 - axis] {
            let (mut from, mut to) = ([Length::ZERO; 2], hi);
            (from[across], to[across]) = (trim, trim);
            if across != axis {
                (from[axis], to[axis]) = (trim, end);
            }
            setter.singles.push(Single {
                what: if across == 1 {
                    CutDo::TrueEdge
                } else {
                    CutDo::SquareEnd
                },
                round: 0,
                setting: trim,
                holds: Vec::new(),
                line: CutLine { from, to },
            });
        }
    }
    let first = if axis == 1 {
        CutDo::TrueEdge
    } else {
        CutDo::SquareEnd
    };
    SetOut {
        cuts: gather(setter.singles, first),
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
    /// Places what a node holds in its room; `before` is the axis of the cut that made the room.
    fn place(
        &mut self,
        node: &Node,
        lo: [Length; 2],
        hi: [Length; 2],
        round: u32,
        before: Option<usize>,
    ) -> Vec<usize> {
        match node {
            Node::Item(item, turned) => {
                let size = self.items[*item].lies(*turned);
                let index = self.puts.len();
                let far = [lo[0] + size[0], lo[1] + size[1]];
                self.puts.push((*item, *turned, Rect { lo, hi: far }));
                let (mut room, first) = (hi, before.map_or(1, |axis| 1 - axis));
                for (axis, round) in [(first, round), (1 - first, round + 1)] {
                    if far[axis] < room[axis] {
                        self.cut(axis, round, (lo, room), far[axis], vec![index]);
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
                // A run keeps its order: each of its cuts is a round of its own.
                let in_order = matches!(node, Node::Run(..));
                // Cuts the same way as those before come after them.
                let round = round + u32::from(before == Some(axis));
                let start = if before.is_none() {
                    [Length::ZERO; 2]
                } else {
                    lo
                };
                let mut start = start;
                start[axis] = lo[axis];
                let mut all = Vec::new();
                let mut at = lo[axis];
                let after = round + if in_order { nodes.len() as u32 } else { 1 };
                for (i, node) in (0..).zip(nodes) {
                    let round = round + if in_order { i } else { 0 };
                    let end = at + node.size(self.items, self.kerf)[axis];
                    let (mut from, mut to) = (lo, hi);
                    (from[axis], to[axis]) = (at, end);
                    let under = self.place(node, from, to, after, Some(axis));
                    all.extend(&under);
                    if end < hi[axis] {
                        (from, to) = (start, hi);
                        from[axis] = at;
                        self.cut(axis, round, (from, to), end, under);
                    } else if let Some(last) = self.last_of(axis, at - self.kerf) {
                        // What comes last is free with the cut before it.
                        last.holds.extend(under);
                    }
                    at = end + self.kerf;
                }
                self.rest(axis, (lo, hi), at);
                all
            }
        }
    }

    /// The last cut at `at` along an axis.
    fn last_of(&mut self, axis: usize, at: Length) -> Option<&mut Single> {
        let of = |s: &&mut Single| {
            let across = if axis == 1 {
                CutDo::Rip
            } else {
                CutDo::CrossCut
            };
            s.what == across && s.line.from[axis] == at
        };
        self.singles.iter_mut().rev().find(of)
    }

    /// A cut right through a room, at `at` along an axis.
    fn cut(
        &mut self,
        axis: usize,
        round: u32,
        (lo, hi): ([Length; 2], [Length; 2]),
        at: Length,
        holds: Vec<usize>,
    ) {
        let (mut from, mut to) = (lo, hi);
        (from[axis], to[axis]) = (at, at);
        self.singles.push(Single {
            what: if axis == 1 {
                CutDo::Rip
            } else {
                CutDo::CrossCut
            },
            round,
            setting: at - lo[axis],
            holds,
            line: CutLine { from, to },
        });
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

/// Puts cuts in order and one number on those that share a setting: the edge that comes first, the
/// cuts through the whole sheet, the other edge, the rounds that follow.
fn gather(mut singles: Vec<Single>, first: CutDo) -> Vec<SheetCut> {
    let rank = |s: &Single| match s.round {
        0 if s.what == first => 0,
        0 => 2,
        1 => 1,
        round => round + 1,
    };
    // Larger settings first: the rest always stays long enough to hold.
    singles.sort_by_key(|s| (rank(s), s.what, Reverse(s.setting)));
    let mut out: Vec<SheetCut> = Vec::new();
    for single in singles {
        match out.last_mut() {
            Some(last)
                if (last.what, last.round, last.setting)
                    == (single.what, single.round, single.setting) =>
            {
                last.times += 1;
                last.holds.extend(single.holds);
                last.lines.push(single.line);
            }
            _ => out.push(SheetCut {
                number: out.len() as u32 + 1,
                what: single.what,
                round: single.round,
                setting: single.setting,
                times: 1,
                holds: single.holds,
                gives: Vec::new(),
                lines: vec![single.line],
            }),
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

/// What stays over: what is large enough to keep, along and across the grain (without grain either way
/// round), and waste.
pub(super) fn offcuts(
    sheet: &Sheet,
    rests: Vec<Rect>,
    (along, across): (Length, Length),
) -> (Vec<Offcut>, Vec<Rect>) {
    let (kept, waste): (Vec<Rect>, Vec<Rect>) =
        rests.into_iter().partition(|r| match sheet.grain_long {
            Some(true) => r.long() >= along && r.wide() >= across,
            Some(false) => r.wide() >= along && r.long() >= across,
            None => r.long().max(r.wide()) >= along && r.long().min(r.wide()) >= across,
        });
    let named = |area| Offcut {
        name: String::new(),
        area,
    };
    (kept.into_iter().map(named).collect(), waste)
}
