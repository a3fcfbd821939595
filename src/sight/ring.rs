//! Flat convex figures in space, and what is left of one behind another.

use crate::measure::Rational;
use crate::solid::{Exact, Plane, Point, clip_ring, has_area, others, steepest};

/// Corners of a flat convex figure, in order.
pub type Ring = Vec<Point>;

/// The smallest convex figure round points of a plane, as the planes of its sides, which stand along
/// `axis`; `None` if it has no area as seen along it.
///
/// The hull of points sorted from left to right, the lower and the upper chain (Andrew 1979).
pub fn sides_of(points: &[Point], axis: usize) -> Exact<Option<Vec<Plane>>> {
    let (u, v) = others(axis);
    let mut sorted: Vec<Point> = points.to_vec();
    sorted.sort_unstable_by(|a, b| (a[u], a[v]).cmp(&(b[u], b[v])));
    sorted.dedup_by(|a, b| (a[u], a[v]) == (b[u], b[v]));
    let chain = |points: &mut dyn Iterator<Item = &Point>| {
        let mut chain: Vec<Point> = Vec::new();
        for point in points {
            while let [.., a, b] = chain.as_slice()
                && !turns_left(a, b, point, (u, v))
            {
                chain.pop();
            }
            chain.push(*point);
        }
        chain.pop();
        chain
    };
    let mut hull = chain(&mut sorted.iter());
    hull.extend(chain(&mut sorted.iter().rev()));
    if !has_area(&hull, axis)? {
        return Ok(None);
    }
    let sides = (0..hull.len()).map(|i| {
        let (a, b) = (&hull[i], &hull[(i + 1) % hull.len()]);
        let mut outward = [Rational::ZERO; 3];
        outward[u] = b[v] - a[v];
        outward[v] = a[u] - b[u];
        Plane::through(a, outward)
    });
    sides.collect::<Exact<_>>().map(Some)
}

fn turns_left(a: &Point, b: &Point, c: &Point, (u, v): (usize, usize)) -> bool {
    (b[u] - a[u]) * (c[v] - a[v]) > (b[v] - a[v]) * (c[u] - a[u])
}

/// Figures of a plane of which some is hidden; none share area.
#[derive(Clone, Debug, Default)]
pub struct Split {
    /// What is not hidden.
    pub free: Vec<Ring>,
    /// What is.
    pub hidden: Vec<Ring>,
}

impl Split {
    /// Hides what of the free figures lies inside the sides of another.
    pub fn hide(&mut self, sides: &[Plane], axis: usize) -> Exact<()> {
        for ring in std::mem::take(&mut self.free) {
            let from = self.free.len();
            let mut rest = ring.clone();
            for side in sides {
                self.free.extend(clip(&rest, &side.flipped(), axis)?);
                match clip(&rest, side, axis)? {
                    Some(inside) => rest = inside,
                    // They only lie near each other: it stays whole.
                    None => {
                        self.free.truncate(from);
                        self.free.push(ring);
                        rest = Vec::new();
                        break;
                    }
                }
            }
            self.hidden.extend((!rest.is_empty()).then_some(rest));
        }
        Ok(())
    }
}

/// The denominator beyond which a number of nanometres is long: what a maker writes has shorter ones.
const LONG: i128 = 1_000_000_000;

/// What of a figure lies inside a plane; `None` if that has no area.
pub fn clip(ring: &Ring, plane: &Plane, axis: usize) -> Exact<Option<Ring>> {
    let off: Vec<Rational> = ring.iter().map(|p| plane.off(p)).collect::<Exact<_>>()?;
    if off.iter().all(|o| *o <= Rational::ZERO) {
        return Ok(Some(ring.clone()));
    }
    if off.iter().all(|o| !o.is_negative()) {
        return Ok(None);
    }
    let (mut points, _) = clip_ring(ring, &off)?;
    points
        .iter_mut()
        .flatten()
        .for_each(|place| *place = short(*place));
    Ok(has_area(&points, axis)?.then_some(points))
}

/// A place, to a thousandth of a nanometre where its number is long: where shadows of slanted sides cross
/// again and again, exact places soon have numbers that do not fit.
fn short(place: Rational) -> Rational {
    match place.denom() > LONG {
        true => fine(place),
        false => place,
    }
}

/// A place to a thousandth of a nanometre.
fn fine(place: Rational) -> Rational {
    let thousandths = (place * Rational::int(1000)).round();
    thousandths.map_or(Rational::OVERFLOW, |n| Rational::new(n, 1000))
}

/// The area of figures of a plane, square millimetres. Corners are taken to a thousandth of a nanometre, and
/// a plane that is square to no axis to a billionth: where shadows of slanted sides cross, places have
/// numbers so long that the sum of their products would not fit.
pub fn area<'r>(rings: impl IntoIterator<Item = &'r Ring>, plane: &Plane) -> Rational {
    let axis = steepest(plane);
    let (u, v) = others(axis);
    let mm = |place: Rational| fine(place) / Rational::int(1_000_000);
    let along = rings.into_iter().fold(Rational::ZERO, |sum, ring| {
        let corners: Vec<[Rational; 2]> = ring.iter().map(|p| [mm(p[u]), mm(p[v])]).collect();
        let next = corners.iter().cycle().skip(1);
        let twice = corners
            .iter()
            .zip(next)
            .fold(Rational::ZERO, |sum, (a, b)| {
                sum + a[0] * b[1] - b[0] * a[1]
            });
        sum + (twice / Rational::int(2)).abs()
    });
    if plane.axis().is_some() {
        return along;
    }
    let long: f64 = plane.normal.iter().map(|n| n.to_f64() * n.to_f64()).sum();
    let steeper = long.sqrt() / plane.normal[axis].to_f64().abs();
    along * Rational::new((steeper * 1e9).round() as i128, 1_000_000_000)
}
