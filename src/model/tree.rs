//! Which boxes lie near a box: a tree of boxes, halved along the longer way at the median.
//!
//! Building takes n log n steps, a question log n and what it finds, so that proofs over pairs of
//! parts stay near linear. Answers come in the order of the indices.

use crate::model::{Axis, Box3};

/// Boxes below this many are asked one by one.
const LEAF: usize = 4;

/// The tree.
#[derive(Debug)]
pub struct Tree {
    boxes: Vec<Box3>,
    nodes: Vec<Node>,
    order: Vec<usize>,
}

#[derive(Debug)]
struct Node {
    bounds: Box3,
    from: usize,
    to: usize,
    /// Its two halves, if it is not a leaf.
    halves: Option<[usize; 2]>,
}

impl Tree {
    /// Takes the boxes in; they are known by their index from then on.
    pub fn new(boxes: Vec<Box3>) -> Tree {
        let order: Vec<usize> = (0..boxes.len()).collect();
        let mut tree = Tree {
            boxes,
            nodes: Vec::new(),
            order,
        };
        if !tree.order.is_empty() {
            tree.build(0, tree.order.len());
        }
        tree
    }

    fn build(&mut self, from: usize, to: usize) -> usize {
        let mut bounds = self.boxes[self.order[from]];
        for i in from + 1..to {
            bounds = bounds.union(&self.boxes[self.order[i]]);
        }
        let node = self.nodes.len();
        self.nodes.push(Node {
            bounds,
            from,
            to,
            halves: None,
        });
        if to - from > LEAF {
            let longest = Axis::ALL
                .into_iter()
                .max_by_key(|axis| bounds.extent(*axis))
                .unwrap_or(Axis::X)
                .index();
            let boxes = &self.boxes;
            self.order[from..to].sort_by_key(|i| {
                let b = &boxes[*i];
                (b.lo[longest] + b.hi[longest], *i)
            });
            let middle = from + (to - from) / 2;
            let halves = [self.build(from, middle), self.build(middle, to)];
            self.nodes[node].halves = Some(halves);
        }
        node
    }

    /// The indices of all boxes that share a point with `b` (touching counts), smallest first.
    pub fn touching(&self, b: &Box3) -> Vec<usize> {
        let mut found = Vec::new();
        let mut open: Vec<usize> = if self.nodes.is_empty() {
            Vec::new()
        } else {
            vec![0]
        };
        while let Some(node) = open.pop() {
            let node = &self.nodes[node];
            if node.bounds.meet(b).is_none() {
                continue;
            }
            match node.halves {
                Some(halves) => open.extend(halves),
                None => found.extend(
                    self.order[node.from..node.to]
                        .iter()
                        .copied()
                        .filter(|i| self.boxes[*i].meet(b).is_some()),
                ),
            }
        }
        found.sort_unstable();
        found
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::Length;
    use proptest::prelude::*;

    fn cube(at: &(i64, i64, i64, i64)) -> Box3 {
        let lo = [at.0, at.1, at.2].map(Length::mm);
        Box3 {
            lo,
            hi: lo.map(|l| l + Length::mm(at.3)),
        }
    }

    proptest! {
        #[test]
        fn finds_what_asking_one_by_one_finds(
            places in prop::collection::vec((0..60i64, 0..60i64, 0..60i64, 0..9i64), 0..60),
            asked in (0..60i64, 0..60i64, 0..60i64, 0..20i64),
        ) {
            let boxes: Vec<Box3> = places.iter().map(cube).collect();
            let asked = cube(&asked);
            let slow: Vec<usize> =
                (0..boxes.len()).filter(|i| boxes[*i].meet(&asked).is_some()).collect();
            prop_assert_eq!(Tree::new(boxes).touching(&asked), slow);
        }
    }
}
