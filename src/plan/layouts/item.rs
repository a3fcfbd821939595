//! What is laid out, as rectangles: nothing here knows of parts, prices or order of cuts.

use super::Taken;
use crate::measure::{Length, Rational};

/// What is to be placed.
#[derive(Clone, Debug)]
pub(super) struct Item {
    /// Extent along `x`.
    pub(super) long: Length,
    /// Extent along `y`.
    pub(super) wide: Length,
    /// Whether it may lie the other way.
    pub(super) may_turn: bool,
    /// Of a run, laid out as one: the axis along which its items follow each other, a kerf apart, in
    /// this order.
    pub(super) run: Option<(usize, Vec<usize>)>,
}

impl Item {
    /// Whether it fits into a rectangle, lying as it may.
    pub(super) fn fits(&self, [long, wide]: [Length; 2]) -> bool {
        let ways = [self.lies(false), self.lies(self.may_turn)];
        ways.iter().any(|[l, w]| *l <= long && *w <= wide)
    }

    /// A run of these items of a list.
    pub(super) fn run(items: &[Item], axis: usize, members: Vec<usize>, kerf: Length) -> Item {
        let cut = Node::Run(axis, members.clone());
        let [long, wide] = cut.size(items, kerf);
        Item {
            long,
            wide,
            may_turn: false,
            run: Some((axis, members)),
        }
    }

    /// Its extents, turned or not.
    pub(super) fn lies(&self, turned: bool) -> [Length; 2] {
        if turned {
            [self.wide, self.long]
        } else {
            [self.long, self.wide]
        }
    }
}

/// What items are sawn from: sheets of one size, boards, strips.
#[derive(Clone, Debug)]
pub(super) struct Source {
    /// What it is: sold, or on hand.
    pub(super) taken: Taken,
    /// Along `x`, edges included.
    pub(super) long: Length,
    /// Along `y`, edges included.
    pub(super) wide: Length,
    /// Taken off each edge first.
    pub(super) trim: Length,
    /// What one of it costs.
    pub(super) worth: Rational,
    /// How many there are; `None` without limit.
    pub(super) copies: Option<u32>,
    /// The widest first piece, where they follow each other along `x` and along `y`.
    pub(super) widest: [Option<Length>; 2],
}

impl Source {
    /// What is left inside the trimmed edges.
    pub(super) fn usable(&self) -> [Length; 2] {
        [self.long - self.trim * 2, self.wide - self.trim * 2]
    }
}

/// A rectangle of material and what becomes of it, in exact lengths.
#[derive(Clone, Debug)]
pub(super) enum Node {
    /// An item, and whether it is turned.
    Item(usize, bool),
    /// Pieces that follow each other along an axis (0 is `x`).
    Cut(usize, Vec<Node>),
    /// Items that follow each other along an axis and stay in this order.
    Run(usize, Vec<usize>),
}

impl Node {
    /// How large it must be, `[x, y]`.
    pub(super) fn size(&self, items: &[Item], kerf: Length) -> [Length; 2] {
        match self {
            Node::Item(item, turned) => items[*item].lies(*turned),
            Node::Run(..) => self.cut_up().size(items, kerf),
            Node::Cut(axis, nodes) => {
                let mut size = [Length::ZERO; 2];
                size[*axis] = kerf * (nodes.len() as i64 - 1).max(0);
                for node in nodes {
                    let of = node.size(items, kerf);
                    size[*axis] += of[*axis];
                    size[1 - axis] = size[1 - axis].max(of[1 - axis]);
                }
                size
            }
        }
    }

    /// A run as cuts.
    pub(super) fn cut_up(&self) -> Node {
        match self {
            Node::Run(axis, members) => {
                let items = members.iter().map(|item| Node::Item(*item, false));
                Node::Cut(*axis, items.collect())
            }
            other => other.clone(),
        }
    }
}
