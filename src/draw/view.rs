//! Looking at blocks: which of their edges are seen from the front, the side, above or a corner.
//!
//! Every edge is split where the outline of another face crosses it, and a piece is seen when no
//! face lies in front of its middle. No order of painting is needed, so parts that enter each other
//! are right too.

use super::places::{Places, bounds};
use super::region::{Outline, Segment, inside, key, middle, sides, split};
use super::scene::{Point, Rect};
use super::solid::{Block, Spot, plane_axes};
use crate::model::{Axis, Edge};

/// From where one looks. Paper coordinates of a view: `u` to the right, `v` up, in millimetres of
/// wood; depth grows away from the eye.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Camera {
    /// At the front.
    Front,
    /// At the right side; the front is at the left of the drawing.
    Right,
    /// From above; the front is at the foot of the drawing.
    Above,
    /// At the front right upper corner, all three axes drawn to one scale.
    Corner,
}

/// Cosine of 30 degrees; its sine is one half.
pub const COS30: f64 = 0.866_025_403_784_438_6;

impl Camera {
    /// The place of a spot in the view, and how far off it is.
    pub fn project(self, p: Spot) -> (Point, f64) {
        let [x, y, z] = p;
        match self {
            Camera::Front => ((x, z), y),
            Camera::Right => ((y, z), -x),
            Camera::Above => ((x, y), -z),
            Camera::Corner => ((COS30 * (x + y), z + 0.5 * (y - x)), y - x - z),
        }
    }

    /// The faces that are seen.
    pub fn sees(self) -> &'static [Edge] {
        match self {
            Camera::Front => &[Edge::Front],
            Camera::Right => &[Edge::Right],
            Camera::Above => &[Edge::Top],
            Camera::Corner => &[Edge::Front, Edge::Right, Edge::Top],
        }
    }

    /// Depth over a plane at `place` as `a + b u + c v`.
    fn depth(self, axis: Axis, place: f64) -> [f64; 3] {
        match (self, axis) {
            (Camera::Front, _) => [place, 0.0, 0.0],
            (Camera::Right | Camera::Above, _) => [-place, 0.0, 0.0],
            // From u = c (x + y), v = z + (y - x) / 2 and d = y - x - z, with one of them fixed.
            (Camera::Corner, Axis::X) => [-3.0 * place, 1.5 / COS30, -1.0],
            (Camera::Corner, Axis::Y) => [3.0 * place, -1.5 / COS30, -1.0],
            (Camera::Corner, Axis::Z) => [-3.0 * place, 0.0, 2.0],
        }
    }
}

/// A face in the view.
#[derive(Clone, Debug)]
struct Facet {
    outlines: Vec<Outline>,
    holes: Vec<Outline>,
    /// The holes by place.
    places: Places,
    bounds: Rect,
    depth: [f64; 3],
    front: bool,
}

impl Facet {
    /// Whether it lies in front of a point of the view at this depth.
    fn covers(&self, p: Point, depth: f64) -> bool {
        let b = &self.bounds;
        if p.0 <= b.x0 || p.0 >= b.x1 || p.1 <= b.y0 || p.1 >= b.y1 {
            return false;
        }
        let here = self.depth[0] + self.depth[1] * p.0 + self.depth[2] * p.1;
        here < depth - 0.02 && self.holds(p)
    }

    fn holds(&self, p: Point) -> bool {
        self.outlines.iter().any(|o| strictly(o, p))
            && !self
                .places
                .at(p)
                .filter_map(|hole| self.holes.get(hole))
                .any(|o| inside(o, p) || touches(o, p))
    }

    /// The outlines that may touch a rectangle.
    fn near(&self, around: &Rect) -> impl Iterator<Item = &[Point]> {
        let holes = self.places.near(around).into_iter();
        let holes = holes.filter_map(|hole| self.holes.get(hole));
        self.outlines.iter().chain(holes).map(|o| o.as_slice())
    }
}

/// Inside an outline and not on its side.
fn strictly(outline: &[Point], p: Point) -> bool {
    inside(outline, p) && !touches(outline, p)
}

fn touches(outline: &[Point], p: Point) -> bool {
    sides(outline).any(|(a, b)| {
        let (dx, dy) = (b.0 - a.0, b.1 - a.1);
        let long2 = dx * dx + dy * dy;
        if long2 < 1e-12 {
            return false;
        }
        let t = (((p.0 - a.0) * dx + (p.1 - a.1) * dy) / long2).clamp(0.0, 1.0);
        let (ex, ey) = (a.0 + t * dx - p.0, a.1 + t * dy - p.1);
        ex * ex + ey * ey < 1e-6
    })
}

/// What of an edge is seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sight {
    /// It is seen, and there is nothing beside it on one side: the outline of the whole.
    Outline,
    /// It is seen.
    Seen,
    /// A front hides it, and nothing else.
    BehindFront,
}

/// A piece of an edge in the view.
#[derive(Clone, Copy, Debug)]
pub struct Piece2 {
    /// Where, in millimetres of wood.
    pub line: Segment,
    /// How it is seen.
    pub sight: Sight,
    /// Index of its block.
    pub block: usize,
}

/// A view of blocks, ready to be asked.
#[derive(Clone, Debug)]
pub struct View {
    camera: Camera,
    facets: Vec<Facet>,
    /// The facets by place, so that a line asks only those near it.
    places: Places,
    edges: Vec<(usize, Spot, Spot)>,
}

impl View {
    /// Looks at blocks.
    pub fn new(camera: Camera, blocks: &[Block]) -> View {
        let mut view = View {
            camera,
            facets: Vec::new(),
            places: Places::default(),
            edges: Vec::new(),
        };
        for (index, block) in blocks.iter().enumerate() {
            for looks in camera.sees() {
                for surface in block.surfaces(*looks) {
                    let axis = looks.axis();
                    if !surface.floor {
                        for (a, b) in surface.region.edge() {
                            view.edges.push((
                                index,
                                spot(axis, surface.place, a),
                                spot(axis, surface.place, b),
                            ));
                        }
                    }
                    let project = |o: &Outline| -> Outline {
                        o.iter()
                            .map(|p| camera.project(spot(axis, surface.place, *p)).0)
                            .collect()
                    };
                    view.add(
                        surface.region.solids.iter().map(project).collect(),
                        surface.region.voids.iter().map(project).collect(),
                        camera.depth(axis, surface.place),
                        block.front,
                    );
                }
            }
        }
        view
    }

    fn add(&mut self, outlines: Vec<Outline>, holes: Vec<Outline>, depth: [f64; 3], front: bool) {
        let covered = outlines.iter().filter_map(|o| bounds(o));
        if let Some(bounds) = covered.reduce(|a, b| a.union(&b)) {
            self.places.add(self.facets.len(), &bounds);
            self.facets.push(Facet {
                places: Places::of(&holes),
                outlines,
                holes,
                bounds,
                depth,
                front,
            });
        }
    }

    /// Adds a plane region that hides what lies beyond it: what a section cuts.
    pub fn cover(&mut self, region: &super::region::Region, depth: f64) {
        self.add(
            region.solids.clone(),
            region.voids.clone(),
            [depth, 0.0, 0.0],
            false,
        );
    }

    /// The facets whose bounds may hold a place.
    fn at(&self, p: Point) -> impl Iterator<Item = &Facet> {
        let found = self.places.at(p);
        found.filter_map(|i| self.facets.get(i))
    }

    /// The paper that the blocks cover.
    pub fn bounds(&self) -> Option<Rect> {
        self.facets
            .iter()
            .map(|f| f.bounds)
            .reduce(|a, b| a.union(&b))
    }

    /// Whether a spot is seen.
    pub fn sees(&self, p: Spot) -> bool {
        let (at, depth) = self.camera.project(p);
        !self.at(at).any(|f| f.covers(at, depth))
    }

    /// The pieces of a line that are seen.
    pub fn seen(&self, from: Spot, to: Spot) -> Vec<Segment> {
        self.pieces(from, to)
            .into_iter()
            .filter(|(piece, depth)| {
                let m = middle(*piece);
                !self.at(m).any(|f| f.covers(m, *depth))
            })
            .map(|(piece, _)| piece)
            .collect()
    }

    /// A line in the view, split wherever something crosses it, with the depth of each middle.
    fn pieces(&self, from: Spot, to: Spot) -> Vec<(Segment, f64)> {
        let (a, da) = self.camera.project(from);
        let (b, db) = self.camera.project(to);
        let around = Rect::of(a, b).grown(1e-3);
        let facets = self.places.near(&around).into_iter();
        let outlines: Vec<&[Point]> = facets
            .filter_map(|i| self.facets.get(i))
            .filter(|f| f.bounds.overlaps(&around))
            .flat_map(|f| f.near(&around))
            .collect();
        let long = super::region::length((a, b));
        split((a, b), outlines.into_iter())
            .into_iter()
            .map(|piece| {
                let t = super::region::length((a, middle(piece))) / long.max(1e-9);
                (piece, da + (db - da) * t)
            })
            .collect()
    }

    /// Every edge that is drawn, each place once.
    pub fn edges(&self) -> Vec<Piece2> {
        let mut out: Vec<Piece2> = Vec::new();
        let mut had = std::collections::BTreeSet::new();
        for (block, from, to) in &self.edges {
            for (piece, depth) in self.pieces(*from, *to) {
                let m = middle(piece);
                let over: Vec<&Facet> = self.at(m).filter(|f| f.covers(m, depth)).collect();
                let sight = if over.is_empty() {
                    if self.is_outline(piece) {
                        Sight::Outline
                    } else {
                        Sight::Seen
                    }
                } else if over.iter().all(|f| f.front) {
                    Sight::BehindFront
                } else {
                    continue;
                };
                if had.insert((key(piece), sight == Sight::BehindFront)) {
                    out.push(Piece2 {
                        line: piece,
                        sight,
                        block: *block,
                    });
                }
            }
        }
        // Where something is seen, no hidden line is drawn over it.
        out.retain(|piece| {
            piece.sight != Sight::BehindFront || !had.contains(&(key(piece.line), false))
        });
        out
    }

    fn is_outline(&self, piece: Segment) -> bool {
        let long = super::region::length(piece).max(1e-9);
        let (nx, ny) = (
            -(piece.1.1 - piece.0.1) / long * 0.02,
            (piece.1.0 - piece.0.0) / long * 0.02,
        );
        let m = middle(piece);
        [1.0, -1.0].into_iter().any(|k| {
            let p = (m.0 + k * nx, m.1 + k * ny);
            !self.at(p).any(|f| f.holds(p))
        })
    }
}

/// A point of a plane as a spot of the piece.
pub fn spot(normal: Axis, place: f64, p: Point) -> Spot {
    let (u, v) = plane_axes(normal);
    let mut out = [place; 3];
    out[u] = p.0;
    out[v] = p.1;
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::region::length;
    use crate::model::fixture::{box3, cabinet, lay, part};
    use crate::model::{Edge, Part, Role};

    fn cube(id: u32, x: [i64; 2], y: [i64; 2], z: [i64; 2]) -> Part {
        let b = box3(x, y, z);
        let lay = lay(Edge::Left, Edge::Front, Edge::Top);
        part(id, "p", "P", Role::Shelf, 0, 0, b, b, lay)
    }

    fn block(part: &Part) -> Block<'_> {
        Block {
            part,
            size: part.core,
            cuts: true,
            front: false,
            shift: [0.0; 3],
        }
    }

    #[test]
    fn a_box_in_front_hides_what_it_covers() {
        // 100 x 100 behind, 50 wide in front of its right half.
        let behind = cube(0, [0, 1000], [100, 200], [0, 1000]);
        let before = cube(1, [500, 1000], [0, 100], [0, 1000]);
        let view = View::new(Camera::Front, &[block(&behind), block(&before)]);
        let edges = view.edges();
        let of = |block: usize| -> f64 {
            edges
                .iter()
                .filter(|e| e.block == block)
                .map(|e| length(e.line))
                .sum()
        };
        // Left, and the left halves of top and bottom; what coincides is drawn once.
        assert!((of(0) + of(1) - (100.0 + 100.0 + 200.0 + 100.0)).abs() < 1e-6);
        assert!(view.sees([10.0, 10.0, 50.0]) && !view.sees([75.0, 10.0, 50.0]));
    }

    #[test]
    fn from_the_corner_three_faces_of_a_cube_show_nine_edges() {
        let one = cube(0, [0, 1000], [0, 1000], [0, 1000]);
        let view = View::new(Camera::Corner, &[block(&one)]);
        let edges = view.edges();
        assert_eq!(edges.len(), 9);
        let outline = edges.iter().filter(|e| e.sight == Sight::Outline).count();
        assert_eq!(outline, 6);
    }

    #[test]
    fn the_floor_behind_the_lipping_is_not_seen_entering_the_side() {
        let model = cabinet();
        let piece = &model.pieces[0];
        let blocks: Vec<Block> = piece.parts.iter().map(block).collect();
        let view = View::new(Camera::Front, &blocks);
        // Nothing is seen at the left side's front but its outline: no edge crosses x = 9.
        for edge in view.edges().iter().filter(|e| e.sight == Sight::Seen) {
            let (a, b) = edge.line;
            let crosses = a.0.min(b.0) < 9.0 && a.0.max(b.0) > 9.0;
            assert!(!crosses, "{edge:?}");
        }
    }
}
