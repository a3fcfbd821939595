//! Which outlines lie near a place: an R-tree over their bounds.

use super::region::Outline;
use super::scene::{Point, Rect};
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};

/// Places closer than this count as one everywhere in the drawings.
const SPARE: f64 = 0.01;

type Bounds = GeomWithData<Rectangle<[f64; 2]>, usize>;

/// Outlines by place; they are known by their index.
#[derive(Clone, Debug, Default)]
pub struct Places {
    tree: RTree<Bounds>,
}

impl Places {
    /// Takes in the bounds of outlines.
    pub fn of(outlines: &[Outline]) -> Places {
        Places::new(
            outlines
                .iter()
                .enumerate()
                .filter_map(|(i, o)| Some((i, bounds(o)?))),
        )
    }

    /// Takes in bounds, each with its index.
    pub fn new(all: impl Iterator<Item = (usize, Rect)>) -> Places {
        Places {
            tree: RTree::bulk_load(all.map(|(i, b)| entry(i, &b)).collect()),
        }
    }

    /// Takes one more in.
    pub fn add(&mut self, index: usize, bounds: &Rect) {
        self.tree.insert(entry(index, bounds));
    }

    /// What may hold a point, in no order.
    pub fn at(&self, p: Point) -> impl Iterator<Item = usize> {
        let found = self.tree.locate_all_at_point(&[p.0, p.1]);
        found.map(|entry| entry.data)
    }

    /// What may touch a rectangle, smallest first.
    pub fn near(&self, around: &Rect) -> Vec<usize> {
        let around = AABB::from_corners([around.x0, around.y0], [around.x1, around.y1]);
        let found = self.tree.locate_in_envelope_intersecting(&around);
        let mut found: Vec<usize> = found.map(|entry| entry.data).collect();
        found.sort_unstable();
        found
    }
}

fn entry(index: usize, bounds: &Rect) -> Bounds {
    let b = bounds.grown(SPARE);
    GeomWithData::new(Rectangle::from_corners([b.x0, b.y0], [b.x1, b.y1]), index)
}

/// The paper that an outline covers.
pub fn bounds(outline: &[Point]) -> Option<Rect> {
    outline
        .iter()
        .map(|p| Rect::of(*p, *p))
        .reduce(|a, b| a.union(&b))
}
