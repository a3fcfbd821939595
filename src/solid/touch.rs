//! Where two parts lie on each other, and whether one runs into the other when it moves.

use super::cell::Cell;
use super::hull::{Face, Plane, Point, clip_ring, has_area, others, seen_area};
use super::wood::Wood;
use super::{Exact, fits};
use crate::measure::{Length, Rational};
use crate::model::{Axis, Edge};

/// Faces of a part that lie on faces of another.
///
/// A face that is square to an axis counts toward one side of the piece with its area; a slanted one
/// counts toward each of the sides that it looks to, with its area as seen from there. A part can't begin to
/// move toward a side where the figure is above zero.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Touch([f64; 6]);

impl Touch {
    /// The area that looks toward a side of the piece, square millimetres.
    pub fn toward(&self, edge: Edge) -> f64 {
        self.0[edge as usize]
    }

    /// Whether no faces touch.
    pub fn is_none(&self) -> bool {
        self.0 == [0.0; 6]
    }

    fn add(&mut self, edge: Edge, area: f64) {
        self.0[edge as usize] += area;
    }
}

/// The faces of `a` that lie on faces of `b`; the mouths of bores count as wood.
///
/// # Errors
/// When a number does not fit.
pub fn touching(a: &Wood, b: &Wood) -> Exact<Touch> {
    let mut out = Touch([0.0; 6]);
    let Some(mut near) = a.core.meet(&b.core) else {
        return Ok(out);
    };
    // Cells need some volume beside the faces; how much does not matter.
    for i in 0..3 {
        near.lo[i] -= Length::mm(1);
        near.hi[i] += Length::mm(1);
    }
    let (mine, yours) = (a.within(&near)?, b.within(&near)?);
    for one in &mine {
        for other in &yours {
            touch_cells(one, other, &mut out)?;
        }
    }
    Ok(out)
}

fn touch_cells(a: &Cell, b: &Cell, out: &mut Touch) -> Exact<()> {
    let Some(common) = a.bounds().meet(b.bounds()) else {
        return Ok(());
    };
    if let (Cell::Box(one), Cell::Box(other)) = (a, b) {
        let flat = Axis::ALL
            .into_iter()
            .filter(|axis| common.extent(*axis).is_zero());
        let flat: Vec<Axis> = flat.collect();
        if let [axis] = flat.as_slice() {
            let (i, (u, v)) = (axis.index(), others(axis.index()));
            let side = |k: usize| (common.hi[k] - common.lo[k]).to_f64_mm();
            let high = one.hi[i] == other.lo[i];
            let edge = if high { axis.high() } else { axis.low() };
            out.add(edge, side(u) * side(v));
        }
        return Ok(());
    }
    let yours = b.faces();
    for face in a.faces() {
        let back = face.plane.flipped();
        let Some(other) = yours.iter().find(|other| other.plane == back) else {
            continue;
        };
        let mut ring = face.ring;
        for plane in yours
            .iter()
            .map(|f| &f.plane)
            .filter(|p| **p != other.plane)
        {
            let off: Exact<Vec<Rational>> = ring.iter().map(|p| plane.off(p)).collect();
            ring = clip_ring(&ring, &off?)?.0;
        }
        for axis in Axis::ALL {
            let along = face.plane.normal[axis.index()];
            if !along.is_zero() && has_area(&ring, axis.index())? {
                let edge = if along.is_negative() {
                    axis.low()
                } else {
                    axis.high()
                };
                out.add(edge, seen_area(&ring, axis.index()));
            }
        }
    }
    Ok(())
}

/// Whether a cell that moves toward the high end of an axis runs into another, however far away; the two
/// share no space.
///
/// # Errors
/// When a number does not fit.
pub fn sweep_hits(a: &Cell, b: &Cell, axis: Axis) -> Exact<bool> {
    let i = axis.index();
    let (mine, yours) = (a.bounds(), b.bounds());
    let beside = (0..3).any(|k| k != i && (mine.lo[k] >= yours.hi[k] || yours.lo[k] >= mine.hi[k]));
    if beside || mine.lo[i] >= yours.hi[i] {
        return Ok(false);
    }
    if matches!((a, b), (Cell::Box(_), Cell::Box(_))) {
        return Ok(true);
    }
    // Where they lie over one another, a convex one is before a convex one it does not meet either on
    // every line or on none: so the first place found tells.
    let tops = a.faces();
    let tops = tops.iter().filter(|f| f.plane.normal[i] > Rational::ZERO);
    let bottoms: Vec<Face> = b
        .faces()
        .into_iter()
        .filter(|f| f.plane.normal[i].is_negative())
        .collect();
    for top in tops {
        for bottom in &bottoms {
            let ring = over(&top.ring, &bottom.ring, i)?;
            if has_area(&ring, i)? {
                // Below b's lower face is outside of it.
                return is_outside(&bottom.plane, &ring);
            }
        }
    }
    Ok(false)
}

fn is_outside(plane: &Plane, ring: &[Point]) -> Exact<bool> {
    for point in ring {
        if plane.off(point)?.is_negative() {
            return Ok(false);
        }
    }
    Ok(true)
}

/// What of a convex ring lies over another one, seen along an axis.
fn over(ring: &[Point], other: &[Point], axis: usize) -> Exact<Vec<Point>> {
    let (u, v) = others(axis);
    let beside = |p: &Point, from: &Point, to: &Point| {
        fits((to[0] - from[0]) * (p[1] - from[1]) - (to[1] - from[1]) * (p[0] - from[0]))
    };
    let flat = |p: &Point| [p[u], p[v], Rational::ZERO];
    let mut left = ring.to_vec();
    for i in 0..other.len() {
        let (from, to) = (flat(&other[i]), flat(&other[(i + 1) % other.len()]));
        // The side on which the rest of the ring lies.
        let mut inside = Rational::ZERO;
        for p in other {
            inside = inside + beside(&flat(p), &from, &to)?;
        }
        let sign = if inside.is_negative() { 1 } else { -1 };
        let off: Exact<Vec<Rational>> = left
            .iter()
            .map(|p| beside(&flat(p), &from, &to).map(|o| o * Rational::int(sign)))
            .collect();
        left = clip_ring(&left, &off?)?.0;
    }
    Ok(left)
}
