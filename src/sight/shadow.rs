//! What a cell hides of a plane from an eye that is far away.

use super::ring::sides_of;
use crate::measure::Rational;
use crate::solid::{Cell, Exact, Plane, Point, steepest};

/// A way to an eye, in steps along the axes of the piece.
pub type Way = [Rational; 3];

/// How far a step along `way` leads off a plane, in units of its normal.
pub fn slope(plane: &Plane, way: &Way) -> Rational {
    (0..3).fold(Rational::ZERO, |sum, i| sum + plane.normal[i] * way[i])
}

/// The sides of what of a plane a cell before it hides; `None` if nothing.
///
/// `way` leads from the plane to the eye. Only what of the cell lies no farther off than `within` counts,
/// in units of the normal.
pub fn shadow(
    cell: &Cell,
    plane: &Plane,
    way: &Way,
    within: Option<Rational>,
) -> Exact<Option<Vec<Plane>>> {
    let Some(mut before) = cell.clip(&plane.flipped())? else {
        return Ok(None);
    };
    if let Some(within) = within {
        let far = Plane {
            normal: plane.normal,
            at: plane.at + within,
        };
        match before.clip(&far)? {
            Some(near) => before = near,
            None => return Ok(None),
        }
    }
    let slope = slope(plane, way);
    let mut points: Vec<Point> = Vec::new();
    for mut corner in corners(&before) {
        let steps = plane.off(&corner)? / slope;
        for (place, step) in corner.iter_mut().zip(way) {
            if !step.is_zero() {
                *place = *place - steps * *step;
            }
        }
        points.push(corner);
    }
    sides_of(&points, steepest(plane))
}

fn corners(cell: &Cell) -> Vec<Point> {
    match cell {
        Cell::Box(b) => (0..8)
            .map(|k| [0, 1, 2].map(|i| if k >> i & 1 == 0 { b.lo[i] } else { b.hi[i] }.as_nm()))
            .collect(),
        Cell::Hull(hull) => hull
            .faces
            .iter()
            .flat_map(|face| &face.ring)
            .copied()
            .collect(),
    }
}
