//! Convex bodies bounded by planes, exact: each face is a ring of corners.

use super::{Exact, Overflow, fits};
use crate::measure::{Length, Rational};
use crate::model::Box3;
use std::collections::BTreeMap;

/// A point of the piece, in nanometres.
pub type Point = [Rational; 3];

/// The half of space in which `normal . p <= at`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Plane {
    /// Points out of the half; whole numbers without a common divisor, so that equal planes are equal.
    pub normal: [Rational; 3],
    /// In nanometres times the normal's length.
    pub at: Rational,
}

impl Plane {
    /// The plane square to an axis: everything below `place`, or above it.
    pub fn square(axis: usize, below: bool, place: Rational) -> Plane {
        let one = Rational::int(if below { 1 } else { -1 });
        let mut normal = [Rational::ZERO; 3];
        normal[axis] = one;
        Plane {
            normal,
            at: one * place,
        }
    }

    /// A plane through a point, its normal made whole.
    pub fn through(point: &Point, normal: [Rational; 3]) -> Exact<Plane> {
        let mut den = 1i128;
        for n in normal {
            fits(n)?;
            let gcd = gcd(den, n.denom());
            den = (den / gcd).checked_mul(n.denom()).ok_or(Overflow)?;
        }
        let mut whole = [0i128; 3];
        for (w, n) in whole.iter_mut().zip(normal) {
            *w = n.numer().checked_mul(den / n.denom()).ok_or(Overflow)?;
        }
        let common = whole.iter().fold(0, |all, w| gcd(all, *w)).max(1);
        let normal = whole.map(|w| Rational::new(w / common, 1));
        let at = fits(dot(&normal, point))?;
        Ok(Plane { normal, at })
    }

    /// The other half.
    pub fn flipped(&self) -> Plane {
        Plane {
            normal: self.normal.map(|n| -n),
            at: -self.at,
        }
    }

    /// Above zero outside, below zero inside.
    pub fn off(&self, point: &Point) -> Exact<Rational> {
        fits(dot(&self.normal, point) - self.at)
    }

    /// The axis to which it is square, if it is.
    pub fn axis(&self) -> Option<usize> {
        let mut axes = (0..3).filter(|i| !self.normal[*i].is_zero());
        match (axes.next(), axes.next()) {
            (Some(axis), None) => Some(axis),
            _ => None,
        }
    }
}

fn gcd(a: i128, b: i128) -> i128 {
    let (mut a, mut b) = (a.abs(), b.abs());
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

/// The sum of the products, leaving out what is times zero.
fn dot(normal: &[Rational; 3], point: &Point) -> Rational {
    (0..3)
        .filter(|i| !normal[*i].is_zero())
        .fold(Rational::ZERO, |sum, i| {
            // Most normals are of one: no fraction need be reduced.
            if normal[i] == Rational::ONE {
                sum + point[i]
            } else {
                sum + normal[i] * point[i]
            }
        })
}

/// One side of a hull.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Face {
    /// Its plane; the hull lies inside.
    pub plane: Plane,
    /// Its corners, turning left seen from outside.
    pub ring: Vec<Point>,
}

/// A convex body with a volume.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hull {
    /// Its sides.
    pub faces: Vec<Face>,
    /// The smallest box round it.
    pub bounds: Box3,
}

impl Hull {
    /// A box as a hull.
    pub fn of_box(b: &Box3) -> Hull {
        let (lo, hi) = (b.lo.map(Length::as_nm), b.hi.map(Length::as_nm));
        let outline = [
            [lo[0], lo[1]],
            [hi[0], lo[1]],
            [hi[0], hi[1]],
            [lo[0], hi[1]],
        ];
        // A box's planes have normals of one, which always fit.
        let faces = prism_faces(2, &outline, lo[2], hi[2]).unwrap_or_default();
        Hull { faces, bounds: *b }
    }

    /// A prism over a convex outline without needless corners, in the two axes other than `axis` in
    /// their order; either way round.
    pub fn prism(
        axis: usize,
        outline: &[[Rational; 2]],
        lo: Rational,
        hi: Rational,
    ) -> Exact<Hull> {
        Hull::of_faces(prism_faces(axis, outline, lo, hi)?)
    }

    /// What lies between two convex outlines with as many corners, each side of one parallel to that of the
    /// other; corners that are none at one end coincide there.
    pub fn leaning(
        axis: usize,
        outlines: [Vec<[Rational; 2]>; 2],
        ends: [Rational; 2],
    ) -> Exact<Hull> {
        let (u, v) = others(axis);
        let rings: Vec<Vec<Point>> = outlines
            .iter()
            .zip(ends)
            .map(|(outline, end)| {
                let point = |corner: &[Rational; 2]| {
                    let mut point = [end; 3];
                    (point[u], point[v]) = (corner[0], corner[1]);
                    point
                };
                outline.iter().map(point).collect()
            })
            .collect();
        let count = rings[0].len().min(rings[1].len());
        // Within the hull: no side passes through it.
        let corners = || rings.iter().flatten();
        let all = Rational::int(corners().count().max(1) as i64);
        let middle =
            [0, 1, 2].map(|i| corners().fold(Rational::ZERO, |sum, corner| sum + corner[i]) / all);
        let sides = (0..count).map(|i| {
            let next = (i + 1) % count;
            vec![rings[0][i], rings[0][next], rings[1][next], rings[1][i]]
        });
        let mut faces = Vec::with_capacity(count + 2);
        for mut ring in rings.iter().cloned().chain(sides) {
            ring.dedup();
            if ring.len() > 1 && ring.first() == ring.last() {
                ring.pop();
            }
            if ring.len() < 3 {
                continue;
            }
            let (a, b, c) = (ring[0], ring[1], ring[2]);
            let (p, q) = (
                [0, 1, 2].map(|i| b[i] - a[i]),
                [0, 1, 2].map(|i| c[i] - a[i]),
            );
            let across = |i: usize, j: usize| p[i] * q[j] - p[j] * q[i];
            let mut plane = Plane::through(&a, [across(1, 2), across(2, 0), across(0, 1)])?;
            if plane.off(&middle)? > Rational::ZERO {
                plane = plane.flipped();
                ring.reverse();
            }
            faces.push(Face { plane, ring });
        }
        Hull::of_faces(faces)
    }

    fn of_faces(faces: Vec<Face>) -> Exact<Hull> {
        let mut corners = faces.iter().flat_map(|face| &face.ring);
        let first = corners.next().ok_or(Overflow)?;
        let (mut lo, mut hi) = (*first, *first);
        for corner in corners {
            for i in 0..3 {
                lo[i] = lo[i].min(corner[i]);
                hi[i] = hi[i].max(corner[i]);
            }
        }
        let bounds = Box3 {
            lo: lo.map(Length::from_nm),
            hi: hi.map(Length::from_nm),
        };
        if bounds.is_overflow() {
            return Err(Overflow);
        }
        Ok(Hull { faces, bounds })
    }

    /// What of it lies inside a plane; `None` if that has no volume.
    pub fn clip(&self, plane: &Plane) -> Exact<Option<Hull>> {
        let mut off: Vec<Vec<Rational>> = Vec::with_capacity(self.faces.len());
        let (mut out, mut within) = (false, false);
        for face in &self.faces {
            let row: Exact<Vec<Rational>> = face.ring.iter().map(|p| plane.off(p)).collect();
            let row = row?;
            out |= row.iter().any(|o| *o > Rational::ZERO);
            within |= row.iter().any(|o| o.is_negative());
            off.push(row);
        }
        if !within {
            return Ok(None);
        }
        if !out {
            return Ok(Some(self.clone()));
        }
        let mut faces = Vec::with_capacity(self.faces.len() + 1);
        let mut rim: BTreeMap<Point, Point> = BTreeMap::new();
        for (face, off) in self.faces.iter().zip(&off) {
            if !off.iter().any(|o| o.is_negative()) {
                continue;
            }
            let (ring, on) = clip_ring(&face.ring, off)?;
            for i in 0..ring.len() {
                let next = (i + 1) % ring.len();
                if on[i] && on[next] {
                    // The new face runs along it the other way.
                    rim.insert(ring[next], ring[i]);
                }
            }
            faces.push(Face {
                plane: face.plane,
                ring,
            });
        }
        if let Some(start) = rim.keys().next().copied() {
            let (mut ring, mut at) = (vec![start], start);
            while let Some(next) = rim.get(&at).filter(|next| **next != start) {
                ring.push(*next);
                at = *next;
                if ring.len() > rim.len() {
                    break;
                }
            }
            faces.push(Face {
                plane: *plane,
                ring,
            });
        }
        Hull::of_faces(faces).map(Some)
    }

    /// Its volume, cubic millimetres: the sum of pyramids from one corner to every face.
    pub fn volume(&self) -> f64 {
        let Some(tip) = self.faces.first().and_then(|face| face.ring.first()) else {
            return 0.0;
        };
        let apart = self.faces.iter().filter(|face| !face.ring.contains(tip));
        apart
            .map(|face| {
                // The area as seen along an axis, times the height along it, is the same pyramid.
                let axis = steepest(&face.plane);
                let corner = &face.ring[0];
                let height = |i: usize| {
                    let slope = (face.plane.normal[i] / face.plane.normal[axis]).to_f64();
                    slope * mm(corner[i] - tip[i])
                };
                let height = height(0) + height(1) + height(2);
                seen_area(&face.ring, axis) * height.abs() / 3.0
            })
            .sum()
    }
}

/// Nanometres as millimetres.
fn mm(nm: Rational) -> f64 {
    nm.to_f64() / 1e6
}

/// The axis along which a plane's normal is longest.
pub fn steepest(plane: &Plane) -> usize {
    (0..3)
        .max_by_key(|i| plane.normal[*i].abs())
        .unwrap_or_default()
}

/// The area of a convex ring as seen along an axis, square millimetres.
pub fn seen_area(ring: &[Point], axis: usize) -> f64 {
    let (u, v) = others(axis);
    let Some(first) = ring.first() else {
        return 0.0;
    };
    let arm = |p: &Point| (mm(p[u] - first[u]), mm(p[v] - first[v]));
    let twice: f64 = ring[1..]
        .windows(2)
        .map(|pair| (arm(&pair[0]), arm(&pair[1])))
        .map(|(a, b)| a.0 * b.1 - a.1 * b.0)
        .sum();
    twice.abs() / 2.0
}

/// Whether a convex ring has an area as seen along an axis: exact.
pub fn has_area(ring: &[Point], axis: usize) -> Exact<bool> {
    let (u, v) = others(axis);
    let Some(first) = ring.first() else {
        return Ok(false);
    };
    for pair in ring[1..].windows(2) {
        let (a, b) = (&pair[0], &pair[1]);
        let left = fits((a[u] - first[u]) * (b[v] - first[v]))?;
        let right = fits((a[v] - first[v]) * (b[u] - first[u]))?;
        if left != right {
            return Ok(true);
        }
    }
    Ok(false)
}

/// The two axes other than one, in order.
pub fn others(axis: usize) -> (usize, usize) {
    [(1, 2), (0, 2), (0, 1)][axis]
}

/// What of a ring lies inside, and which of its corners lie on the plane; `off` are their distances.
pub fn clip_ring(ring: &[Point], off: &[Rational]) -> Exact<(Vec<Point>, Vec<bool>)> {
    let (mut points, mut on) = (Vec::with_capacity(ring.len() + 1), Vec::new());
    for i in 0..ring.len() {
        let next = (i + 1) % ring.len();
        let (a, b) = (off[i], off[next]);
        if a <= Rational::ZERO {
            points.push(ring[i]);
            on.push(a.is_zero());
        }
        let crosses =
            (a.is_negative() && b > Rational::ZERO) || (a > Rational::ZERO && b.is_negative());
        if crosses {
            let part = a / (a - b);
            let mut point = ring[i];
            for (k, place) in point.iter_mut().enumerate() {
                if ring[next][k] != *place {
                    *place = fits(*place + (ring[next][k] - *place) * part)?;
                }
            }
            points.push(point);
            on.push(true);
        }
    }
    Ok((points, on))
}

fn prism_faces(
    axis: usize,
    outline: &[[Rational; 2]],
    lo: Rational,
    hi: Rational,
) -> Exact<Vec<Face>> {
    let (u, v) = others(axis);
    let mut turned = Rational::ZERO;
    for i in 0..outline.len() {
        let (a, b) = (outline[i], outline[(i + 1) % outline.len()]);
        turned = turned + a[0] * b[1] - a[1] * b[0];
    }
    let mut corners = outline.to_vec();
    // u, v and the axis turn right where the axis is the middle one.
    let reversed = fits(turned)?.is_negative();
    if reversed != (axis == 1) {
        corners.reverse();
    }
    let point = |c: &[Rational; 2], along: Rational| {
        let mut p = [along; 3];
        p[u] = c[0];
        p[v] = c[1];
        p
    };
    let mut faces = vec![
        Face {
            plane: Plane::square(axis, true, hi),
            ring: corners.iter().map(|c| point(c, hi)).collect(),
        },
        Face {
            plane: Plane::square(axis, false, lo),
            ring: corners.iter().rev().map(|c| point(c, lo)).collect(),
        },
    ];
    for i in 0..corners.len() {
        let (a, b) = (&corners[i], &corners[(i + 1) % corners.len()]);
        // To the right of a way round to the left, seen from the far end.
        let sign = Rational::int(if axis == 1 { -1 } else { 1 });
        let mut normal = [Rational::ZERO; 3];
        normal[u] = (b[1] - a[1]) * sign;
        normal[v] = (a[0] - b[0]) * sign;
        faces.push(Face {
            plane: Plane::through(&point(a, lo), normal)?,
            ring: vec![point(a, lo), point(b, lo), point(b, hi), point(a, hi)],
        });
    }
    Ok(faces)
}
