//! How much wood a part has.

use super::Exact;
use super::cell::Cell;
use super::wood::{Wood, less};
use crate::model::Box3;
use crate::model::tree::Tree;
use petgraph::unionfind::UnionFind;

impl Wood {
    /// Its volume, cubic millimetres. A bore that meets another cut, or leaves the wood sideways, counts with the area of a
    /// polygon there.
    ///
    /// # Errors
    /// When a number does not fit.
    pub fn volume(&self) -> Exact<f64> {
        let mut left = Cell::Box(self.core).volume();
        let boxes = self.voids.iter().map(|void| *void.bounds());
        let boxes: Vec<Box3> = boxes.chain(self.bores.iter().map(|b| b.bounds)).collect();
        for group in groups(&boxes) {
            left -= match group.as_slice() {
                // A bore by itself.
                [one] if *one >= self.voids.len() && within(&boxes[*one], &self.core) => {
                    self.bores[*one - self.voids.len()].volume()
                }
                _ => self.taken(&group)?,
            };
        }
        Ok(left)
    }

    /// What cuts that reach into each other take out of the core together.
    fn taken(&self, group: &[usize]) -> Exact<f64> {
        let (mut sum, mut before) = (0.0, Vec::new());
        for i in group {
            for void in self.void(*i)? {
                let mut fresh: Vec<Cell> = Cell::Box(self.core).meet(&void)?.into_iter().collect();
                for other in &before {
                    fresh = less(fresh, other)?;
                }
                sum += fresh.iter().map(Cell::volume).sum::<f64>();
                before.push(void);
            }
        }
        Ok(sum)
    }

    /// A cut by its index, bores after the others.
    fn void(&self, i: usize) -> Exact<Vec<Cell>> {
        match self.voids.get(i) {
            Some(void) => Ok(vec![void.clone()]),
            None => {
                let hulls = self.bores[i - self.voids.len()].same_area()?;
                Ok(hulls.into_iter().map(|h| Cell::Hull(Box::new(h))).collect())
            }
        }
    }
}

/// Indices of boxes by what reaches into each other, directly or by others.
fn groups(boxes: &[Box3]) -> Vec<Vec<usize>> {
    let tree = Tree::new(boxes.to_vec());
    let mut one: UnionFind<usize> = UnionFind::new(boxes.len());
    for (i, b) in boxes.iter().enumerate() {
        for j in tree.touching(b) {
            if j < i && boxes[j].overlaps(b) {
                one.union(i, j);
            }
        }
    }
    let mut out: Vec<Vec<usize>> = vec![Vec::new(); boxes.len()];
    for i in 0..boxes.len() {
        out[one.find(i)].push(i);
    }
    out.retain(|group| !group.is_empty());
    out
}

fn within(b: &Box3, core: &Box3) -> bool {
    (0..3).all(|i| core.lo[i] <= b.lo[i] && b.hi[i] <= core.hi[i])
}
