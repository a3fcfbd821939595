//! Outlines with parts taken out of them: what is left, its edge, and lines clipped to it.
//!
//! A region is where it is inside a solid and outside every void. Its edge is found without a
//! polygon library: each side of every outline is split where others cross it, and a piece is edge
//! when there is wood on exactly one side of it. That is exact enough for paper and has no special
//! cases for outlines that touch.

use super::places::{Places, bounds};
use super::scene::{Point, Rect, Step};
use std::collections::BTreeSet;

/// An outline, in order round.
pub type Outline = Vec<Point>;
/// A straight piece.
pub type Segment = (Point, Point);

/// Below this two places are one, in the units of the outlines (millimetres of paper or of wood).
const NEAR: f64 = 1e-4;

/// Solids less voids.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Region {
    /// What is there.
    pub solids: Vec<Outline>,
    /// What is taken out.
    pub voids: Vec<Outline>,
}

impl Region {
    /// A plain outline.
    pub fn of(outline: Outline) -> Region {
        Region {
            solids: vec![outline],
            voids: Vec::new(),
        }
    }

    /// A rectangle.
    pub fn rect(rect: Rect) -> Region {
        Region::of(rect.corners().to_vec())
    }

    /// Takes an outline out.
    pub fn without(mut self, void: Outline) -> Region {
        self.voids.push(void);
        self
    }

    /// Whether there is something at a point that lies on no side of an outline.
    pub fn holds(&self, p: Point) -> bool {
        self.solids.iter().any(|o| inside(o, p)) && !self.voids.iter().any(|o| inside(o, p))
    }

    /// The same, asking only the voids near the point.
    fn holds_by(&self, voids: &Places, p: Point) -> bool {
        let near = voids.at(p).filter_map(|i| self.voids.get(i));
        self.solids.iter().any(|o| inside(o, p)) && !near.into_iter().any(|o| inside(o, p))
    }

    /// The outlines that a line may meet.
    fn near(&self, voids: &Places, line: Segment) -> Vec<&[Point]> {
        let around = Rect::of(line.0, line.1).grown(10.0 * NEAR);
        let voids = voids.near(&around).into_iter();
        let voids = voids.filter_map(|i| self.voids.get(i));
        self.solids
            .iter()
            .chain(voids)
            .map(|o| o.as_slice())
            .collect()
    }

    /// The paper that its solids cover.
    pub fn bounds(&self) -> Option<Rect> {
        self.solids
            .iter()
            .filter_map(|o| bounds(o))
            .reduce(|a, b| a.union(&b))
    }

    /// Its edge as straight pieces.
    pub fn edge(&self) -> Vec<Segment> {
        let voids = Places::of(&self.voids);
        let (mut out, mut had) = (Vec::new(), BTreeSet::new());
        for side in self.solids.iter().chain(&self.voids).flat_map(|o| sides(o)) {
            for piece in split(side, self.near(&voids, side).into_iter()) {
                let (left, right) = beside(piece);
                if self.holds_by(&voids, left) != self.holds_by(&voids, right)
                    && had.insert(key(piece))
                {
                    out.push(piece);
                }
            }
        }
        out
    }

    /// Its edge as outlines to draw: closed where it closes.
    pub fn outline(&self) -> Vec<Step> {
        steps(&self.edge())
    }

    /// What of a line lies in it.
    pub fn clip(&self, line: Segment) -> Vec<Segment> {
        let outlines = self.solids.iter().chain(&self.voids);
        split(line, outlines.map(|o| o.as_slice()))
            .into_iter()
            .filter(|piece| self.holds(middle(*piece)))
            .collect()
    }
}

/// A piece as whole steps of a thousandth, its ends in order, to find the same one again.
pub fn key(piece: Segment) -> ((i64, i64), (i64, i64)) {
    let whole = |p: Point| ((p.0 * 1000.0).round() as i64, (p.1 * 1000.0).round() as i64);
    let (p, q) = (whole(piece.0), whole(piece.1));
    (p.min(q), p.max(q))
}

/// The sides of an outline.
pub fn sides(outline: &[Point]) -> impl Iterator<Item = Segment> + '_ {
    let next = outline.iter().cycle().skip(1);
    outline.iter().copied().zip(next.copied())
}

/// Even-odd rule.
pub fn inside(outline: &[Point], p: Point) -> bool {
    let mut odd = false;
    for (a, b) in sides(outline) {
        if (a.1 > p.1) != (b.1 > p.1) {
            let x = a.0 + (p.1 - a.1) / (b.1 - a.1) * (b.0 - a.0);
            if p.0 < x {
                odd = !odd;
            }
        }
    }
    odd
}

/// The middle of a piece.
pub fn middle(s: Segment) -> Point {
    ((s.0.0 + s.1.0) / 2.0, (s.0.1 + s.1.1) / 2.0)
}

/// The length of a piece.
pub fn length(s: Segment) -> f64 {
    libm::hypot(s.1.0 - s.0.0, s.1.1 - s.0.1)
}

fn close(a: Point, b: Point) -> bool {
    (a.0 - b.0).abs() < NEAR && (a.1 - b.1).abs() < NEAR
}

/// Two points a little to either side of a piece's middle.
fn beside(s: Segment) -> (Point, Point) {
    let long = length(s).max(NEAR);
    let (nx, ny) = (
        -(s.1.1 - s.0.1) / long * 4.0 * NEAR,
        (s.1.0 - s.0.0) / long * 4.0 * NEAR,
    );
    let m = middle(s);
    ((m.0 + nx, m.1 + ny), (m.0 - nx, m.1 - ny))
}

/// Splits a piece wherever a side of an outline crosses or touches it.
pub fn split<'a>(s: Segment, outlines: impl Iterator<Item = &'a [Point]>) -> Vec<Segment> {
    let (a, b) = s;
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let long = length(s);
    if long < NEAR {
        return Vec::new();
    }
    let mut cuts = vec![0.0, 1.0];
    let mut add = |t: f64| {
        if t > 0.0 && t < 1.0 {
            cuts.push(t);
        }
    };
    for outline in outlines {
        for (c, d) in sides(outline) {
            let (ex, ey) = (d.0 - c.0, d.1 - c.1);
            let cross = dx * ey - dy * ex;
            let side = ((ex * ex + ey * ey).sqrt()).max(NEAR);
            if cross.abs() < 1e-9 * long * side {
                // Parallel: its corners split the piece where they lie on it.
                for p in [c, d] {
                    let off = (dx * (p.1 - a.1) - dy * (p.0 - a.0)) / long;
                    if off.abs() < NEAR {
                        add(((p.0 - a.0) * dx + (p.1 - a.1) * dy) / (long * long));
                    }
                }
            } else {
                let t = ((c.0 - a.0) * ey - (c.1 - a.1) * ex) / cross;
                let u = ((c.0 - a.0) * dy - (c.1 - a.1) * dx) / cross;
                if u > -NEAR / side && u < 1.0 + NEAR / side {
                    add(t);
                }
            }
        }
    }
    cuts.sort_by(f64::total_cmp);
    let at = |t: f64| (a.0 + dx * t, a.1 + dy * t);
    cuts.windows(2)
        .filter(|w| (w[1] - w[0]) * long > NEAR)
        .map(|w| (at(w[0]), at(w[1])))
        .collect()
}

/// Segments not yet joined, found by the cells in which they end, so that joining many stays quick.
struct Loose {
    segments: Vec<Segment>,
    cells: std::collections::BTreeMap<(i64, i64), std::collections::BTreeSet<usize>>,
}

/// Side of a cell, millimetres of paper: wider than the distance that counts as touching.
const CELL: f64 = 0.05;

impl Loose {
    fn new(pieces: &[Segment]) -> Loose {
        let mut loose = Loose {
            segments: pieces.to_vec(),
            cells: std::collections::BTreeMap::new(),
        };
        for i in 0..pieces.len() {
            loose.enter(i);
        }
        loose
    }

    fn cell(p: Point) -> (i64, i64) {
        ((p.0 / CELL).floor() as i64, (p.1 / CELL).floor() as i64)
    }

    fn ends(&self, i: usize) -> Vec<(i64, i64)> {
        let segment = self.segments.get(i);
        segment.map_or_else(Vec::new, |s| vec![Loose::cell(s.0), Loose::cell(s.1)])
    }

    fn enter(&mut self, i: usize) {
        for cell in self.ends(i) {
            self.cells.entry(cell).or_default().insert(i);
        }
    }

    fn leave(&mut self, i: usize) {
        for cell in self.ends(i) {
            if let Some(held) = self.cells.get_mut(&cell) {
                held.remove(&i);
            }
        }
    }

    fn pop(&mut self) -> Option<Segment> {
        let last = self.segments.len().checked_sub(1)?;
        self.leave(last);
        self.segments.pop()
    }

    /// Takes one out; the last takes its place.
    fn take(&mut self, i: usize) {
        let last = self.segments.len().saturating_sub(1);
        self.leave(i);
        if i != last {
            self.leave(last);
        }
        self.segments.swap_remove(i);
        if i != last {
            self.enter(i);
        }
    }

    /// The segments that end near either point, by their index.
    fn near(&self, a: Point, b: Point) -> Vec<(usize, Segment)> {
        let mut found = std::collections::BTreeSet::new();
        for (x, y) in [Loose::cell(a), Loose::cell(b)] {
            for dx in -1..=1 {
                for dy in -1..=1 {
                    found.extend(
                        self.cells
                            .get(&(x + dx, y + dy))
                            .into_iter()
                            .flatten()
                            .copied(),
                    );
                }
            }
        }
        let segment = |i: usize| self.segments.get(i).map(|s| (i, *s));
        found.into_iter().filter_map(segment).collect()
    }
}

/// Joins pieces that follow each other into lines, closing those that return to their start, and
/// drops corners on straight runs.
pub fn steps(pieces: &[Segment]) -> Vec<Step> {
    let mut left = Loose::new(pieces);
    let mut out = Vec::new();
    while let Some(first) = left.pop() {
        let mut run = std::collections::VecDeque::from([first.0, first.1]);
        while let (Some(head), Some(tail)) = (run.front().copied(), run.back().copied()) {
            if run.len() > 2 && close(head, tail) {
                break;
            }
            let next = left.near(tail, head).into_iter().find_map(|(i, s)| {
                [
                    (close(s.0, tail), true, s.1),
                    (close(s.1, tail), true, s.0),
                    (close(s.0, head), false, s.1),
                    (close(s.1, head), false, s.0),
                ]
                .into_iter()
                .find(|(fits, ..)| *fits)
                .map(|(_, back, p)| (i, back, p))
            });
            let Some((i, back, p)) = next else { break };
            left.take(i);
            if back {
                run.push_back(p);
            } else {
                run.push_front(p);
            }
        }
        let mut points: Vec<Point> = run.into();
        let closed = points.len() > 3
            && matches!((points.first(), points.last()), (Some(a), Some(b)) if close(*a, *b));
        if closed {
            points.pop();
        }
        let points = straightened(&points, closed);
        for (i, p) in points.iter().enumerate() {
            out.push(if i == 0 {
                Step::Move(*p)
            } else {
                Step::Line(*p)
            });
        }
        if closed {
            out.push(Step::Close);
        }
    }
    out
}

fn straightened(points: &[Point], closed: bool) -> Vec<Point> {
    let n = points.len();
    let on_line = |a: Point, p: Point, b: Point| {
        let long = length((a, b)).max(NEAR);
        (((b.0 - a.0) * (p.1 - a.1) - (b.1 - a.1) * (p.0 - a.0)) / long).abs() < NEAR
    };
    (0..n)
        .filter(|i| {
            let ends = *i == 0 || *i == n - 1;
            (ends && !closed) || !on_line(points[(i + n - 1) % n], points[*i], points[(i + 1) % n])
        })
        .map(|i| points[i])
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(x0: f64, y0: f64, x1: f64, y1: f64) -> Outline {
        Rect::of((x0, y0), (x1, y1)).corners().to_vec()
    }

    #[test]
    fn a_groove_in_a_board_leaves_eight_corners() {
        // 40 x 18, a groove 10 wide and 5 deep open at the upper edge.
        let region = Region::of(square(0.0, 0.0, 40.0, 18.0)).without(square(10.0, 0.0, 20.0, 5.0));
        let total: f64 = region.edge().into_iter().map(length).sum();
        // Perimeter 116, less the mouth 10, plus floor 10 and two walls 5.
        assert!((total - 126.0).abs() < 1e-6, "{total}");
        let outline = region.outline();
        assert_eq!(outline.len(), 9, "eight corners and one close");
        assert!(region.holds((5.0, 2.0)) && !region.holds((15.0, 2.0)));
    }

    #[test]
    fn voids_that_touch_leave_no_wall() {
        let region = Region::of(square(0.0, 0.0, 40.0, 18.0))
            .without(square(10.0, 0.0, 20.0, 5.0))
            .without(square(20.0, 0.0, 30.0, 5.0));
        let total: f64 = region.edge().into_iter().map(length).sum();
        assert!((total - (116.0 - 20.0 + 20.0 + 10.0)).abs() < 1e-6);
    }

    #[test]
    fn lines_are_clipped_to_what_is_left() {
        let region = Region::of(square(0.0, 0.0, 40.0, 18.0)).without(square(10.0, 0.0, 20.0, 5.0));
        let pieces = region.clip(((-5.0, 2.0), (50.0, 2.0)));
        assert_eq!(pieces.len(), 2);
        let total: f64 = pieces.into_iter().map(length).sum();
        assert!((total - 30.0).abs() < 1e-6);
    }
}
