//! From millimetres of wood to millimetres of paper: scale and place.

use super::region::{Outline, Region, Segment};
use super::scene::Point;

/// Scales in use, largest first: ISO 5455 steps of 1, 2, 5; and 1 : 25 (common practice), for the run along
/// a wall that 1 : 20 does not hold.
pub const SCALES: [Scale; 8] = [
    Scale { paper: 2, wood: 1 },
    Scale { paper: 1, wood: 1 },
    Scale { paper: 1, wood: 2 },
    Scale { paper: 1, wood: 5 },
    Scale { paper: 1, wood: 10 },
    Scale { paper: 1, wood: 20 },
    Scale { paper: 1, wood: 25 },
    Scale { paper: 1, wood: 50 },
];

/// So much paper for so much wood.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Scale {
    /// Paper.
    pub paper: u32,
    /// Wood.
    pub wood: u32,
}

impl Scale {
    /// Full size.
    pub const FULL: Scale = Scale { paper: 1, wood: 1 };
    /// Twice full size.
    pub const DOUBLE: Scale = Scale { paper: 2, wood: 1 };

    /// Paper over wood.
    pub fn factor(self) -> f64 {
        f64::from(self.paper) / f64::from(self.wood)
    }

    /// As it prints: `1 : 10`.
    pub fn text(self) -> String {
        format!("{} : {}", self.paper, self.wood)
    }

    /// The scales from full size down.
    pub fn reductions() -> impl Iterator<Item = Scale> {
        SCALES.into_iter().filter(|s| s.paper == 1)
    }
}

/// Puts a view on the paper: `v` points up, the paper's y down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// Paper over wood.
    pub factor: f64,
    /// Where (0, 0) of the view stands on the paper.
    pub origin: Point,
}

impl Frame {
    /// With the view's (0, 0) at the paper's.
    pub fn new(scale: Scale) -> Frame {
        Frame {
            factor: scale.factor(),
            origin: (0.0, 0.0),
        }
    }

    /// The x of the paper.
    pub fn x(&self, u: f64) -> f64 {
        self.origin.0 + u * self.factor
    }

    /// The y of the paper.
    pub fn y(&self, v: f64) -> f64 {
        self.origin.1 - v * self.factor
    }

    /// A point of the view on the paper.
    pub fn at(&self, p: Point) -> Point {
        (self.x(p.0), self.y(p.1))
    }

    /// A line.
    pub fn line(&self, s: Segment) -> Segment {
        (self.at(s.0), self.at(s.1))
    }

    /// An outline.
    pub fn outline(&self, o: &Outline) -> Outline {
        o.iter().map(|p| self.at(*p)).collect()
    }

    /// A region.
    pub fn region(&self, r: &Region) -> Region {
        Region {
            solids: r.solids.iter().map(|o| self.outline(o)).collect(),
            voids: r.voids.iter().map(|o| self.outline(o)).collect(),
        }
    }
}
