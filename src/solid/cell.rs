//! A convex piece of wood or of a cut: a box, which nearly all are, or a hull.

use super::Exact;
use super::hull::{Face, Hull, Plane};
use crate::measure::{Length, Rational};
use crate::model::Box3;

/// A convex cell with a volume.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Cell {
    /// A box.
    Box(Box3),
    /// Any other.
    Hull(Box<Hull>),
}

impl Cell {
    /// The smallest box round it.
    pub fn bounds(&self) -> &Box3 {
        match self {
            Cell::Box(b) => b,
            Cell::Hull(hull) => &hull.bounds,
        }
    }

    /// Its volume, cubic millimetres.
    pub fn volume(&self) -> f64 {
        match self {
            Cell::Box(b) => (0..3).map(|i| (b.hi[i] - b.lo[i]).to_f64_mm()).product(),
            Cell::Hull(hull) => hull.volume(),
        }
    }

    /// Its sides with their corners.
    pub fn faces(&self) -> Vec<Face> {
        match self {
            Cell::Box(b) => Hull::of_box(b).faces,
            Cell::Hull(hull) => hull.faces.clone(),
        }
    }

    /// Its planes, those square to an axis first: they leave boxes boxes.
    pub fn planes(&self) -> Vec<Plane> {
        let mut planes: Vec<Plane> = match self {
            Cell::Box(b) => (0..3)
                .flat_map(|i| {
                    [
                        Plane::square(i, false, b.lo[i].as_nm()),
                        Plane::square(i, true, b.hi[i].as_nm()),
                    ]
                })
                .collect(),
            Cell::Hull(hull) => hull.faces.iter().map(|face| face.plane).collect(),
        };
        planes.sort_by_key(|plane| plane.axis().is_none());
        planes
    }

    /// What of it lies inside a plane; `None` if that has no volume.
    pub fn clip(&self, plane: &Plane) -> Exact<Option<Cell>> {
        match (self, plane.axis()) {
            (Cell::Box(b), Some(axis)) => Ok(clip_box(b, axis, plane)),
            // What lies inside as a whole stays a box.
            (Cell::Box(b), None) if is_within(b, plane)? => Ok(Some(self.clone())),
            (Cell::Box(b), None) => Ok(Hull::of_box(b).clip(plane)?.map(of)),
            (Cell::Hull(hull), _) => Ok(hull.clip(plane)?.map(of)),
        }
    }

    /// What two cells share; `None` if that has no volume.
    pub fn meet(&self, other: &Cell) -> Exact<Option<Cell>> {
        if !self.bounds().overlaps(other.bounds()) {
            return Ok(None);
        }
        let mut left = self.clone();
        for plane in other.planes() {
            match left.clip(&plane)? {
                Some(inside) => left = inside,
                None => return Ok(None),
            }
        }
        Ok(Some(left))
    }

    /// Takes another cell out of it and adds what remains to `out`.
    pub fn less(self, taken: &Cell, out: &mut Vec<Cell>) -> Exact<()> {
        if !self.bounds().overlaps(taken.bounds()) {
            out.push(self);
            return Ok(());
        }
        let from = out.len();
        let mut rest = self.clone();
        for plane in taken.planes() {
            out.extend(rest.clip(&plane.flipped())?);
            match rest.clip(&plane)? {
                Some(inside) => rest = inside,
                // They only lie near each other: it stays whole.
                None => {
                    out.truncate(from);
                    out.push(self);
                    break;
                }
            }
        }
        Ok(())
    }
}

fn of(hull: Hull) -> Cell {
    Cell::Hull(Box::new(hull))
}

/// Whether all of a box lies inside a plane: its farthest corner does.
fn is_within(b: &Box3, plane: &Plane) -> Exact<bool> {
    let mut far = b.hi.map(Length::as_nm);
    for (i, place) in far.iter_mut().enumerate() {
        if plane.normal[i].is_negative() {
            *place = b.lo[i].as_nm();
        }
    }
    Ok(plane.off(&far)? <= Rational::ZERO)
}

fn clip_box(b: &Box3, axis: usize, plane: &Plane) -> Option<Cell> {
    let below = !plane.normal[axis].is_negative();
    let place = Length::from_nm(if below { plane.at } else { -plane.at });
    let mut left = *b;
    if below {
        left.hi[axis] = left.hi[axis].min(place);
    } else {
        left.lo[axis] = left.lo[axis].max(place);
    }
    (left.lo[axis] < left.hi[axis]).then_some(Cell::Box(left))
}
