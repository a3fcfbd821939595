//! How much wood a part has.

use super::cell::Cell;
use super::wood::{Wood, less};
use super::{Exact, fits};
use crate::measure::Rational;
use crate::model::Box3;
use crate::model::tree::Tree;
use petgraph::unionfind::UnionFind;

/// A volume, cubic millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Volume {
    /// Without the round bores that stand alone, exact.
    pub straight: Rational,
    /// Of those bores together; not in `straight`.
    pub round: f64,
}

impl Volume {
    /// All of it: the nearest float.
    pub fn cubic_mm(&self) -> f64 {
        self.straight.to_f64() - self.round
    }
}

impl Wood {
    /// Its volume. A bore that meets another cut, or leaves the wood sideways, counts with the area of a
    /// polygon there.
    ///
    /// # Errors
    /// When a number does not fit.
    pub fn volume(&self) -> Exact<Volume> {
        let mut out = Volume {
            straight: Cell::Box(self.core).volume()?,
            round: 0.0,
        };
        let boxes = self.voids.iter().map(|void| *void.bounds());
        let boxes: Vec<Box3> = boxes.chain(self.bores.iter().map(|b| b.bounds)).collect();
        for group in groups(&boxes) {
            match group.as_slice() {
                // A bore by itself.
                [one] if *one >= self.voids.len() && within(&boxes[*one], &self.core) => {
                    out.round += self.bores[*one - self.voids.len()].volume();
                }
                _ => out.straight = out.straight - self.taken(&group)?,
            }
        }
        fits(out.straight)?;
        Ok(out)
    }

    /// What cuts that reach into each other take out of the core together.
    fn taken(&self, group: &[usize]) -> Exact<Rational> {
        let (mut sum, mut before) = (Rational::ZERO, Vec::new());
        for i in group {
            for void in self.void(*i)? {
                let mut fresh: Vec<Cell> = Cell::Box(self.core).meet(&void)?.into_iter().collect();
                for other in &before {
                    fresh = less(fresh, other)?;
                }
                for cell in fresh {
                    sum = sum + cell.volume()?;
                }
                before.push(void);
            }
        }
        fits(sum)
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
