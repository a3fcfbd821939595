//! The drawing of the title page: a piece from its front right upper corner, all three axes to one
//! scale, a drawer drawn out, with the three outside sizes.

use super::frame::Frame;
use super::piece_view::{blocks, draw_edges};
use super::scene::{Pen, Point, Scene, Text, TextSize};
use super::text::Content;
use super::view::{COS30, Camera, View};
use crate::measure::Length;
use crate::model::{Axis, PartId, Piece};

/// How far the drawer stands out, in its own depth.
const OUT: f64 = 0.45;

/// The piece as large as the room on paper allows; it is not to a usual scale.
pub fn corner(piece: &Piece, room: (f64, f64)) -> Scene {
    let title = format!("{}, seen from the front right corner", piece.title);
    let mut scene = Scene::new(0.0, 0.0, title);
    let out = drawn_out(piece);
    let mut all = blocks(piece);
    if let Some((parts, by)) = &out {
        for block in all.iter_mut().filter(|b| parts.contains(&b.part.id)) {
            block.shift = [0.0, -by, 0.0];
        }
    }
    let view = View::new(Camera::Corner, &all);
    let Some(bounds) = view.bounds() else {
        return scene;
    };
    // Rows of sizes take some 14 mm of paper at each side and at the foot.
    let factor = ((room.0 - 28.0) / bounds.width().max(1.0))
        .min((room.1 - 16.0) / bounds.height().max(1.0))
        .max(0.001);
    let frame = Frame {
        factor,
        origin: (0.0, 0.0),
    };
    draw_edges(&mut scene, &frame, &view.edges(), |_| false);
    sizes(&mut scene, piece, &frame);
    scene.fitted(0.5)
}

/// The first drawer that no door or flap stands before: its parts with its front, and how far it comes out.
fn drawn_out(piece: &Piece) -> Option<(Vec<PartId>, f64)> {
    let door_before = |drawer: &crate::model::Drawer| {
        piece
            .leaves
            .iter()
            .filter(|leaf| leaf.kind.turns())
            .map(|leaf| piece.leaf_box(leaf))
            .any(|door| {
                [Axis::X, Axis::Z].into_iter().all(|axis| {
                    let i = axis.index();
                    door.lo[i] < drawer.outside.hi[i] && drawer.outside.lo[i] < door.hi[i]
                })
            })
    };
    let drawer = piece.drawers.iter().find(|drawer| !door_before(drawer))?;
    let fronts = piece
        .leaves
        .iter()
        .filter(|leaf| leaf.drawer == Some(drawer.assembly))
        .flat_map(|leaf| &piece.assembly(piece.part(leaf.part).assembly).parts);
    let parts: Vec<PartId> = piece
        .assembly(drawer.assembly)
        .parts
        .iter()
        .chain(fronts)
        .copied()
        .collect();
    Some((parts, drawer.outside.extent(Axis::Y).to_f64_mm() * OUT))
}

/// Width along the foot at the front, depth along the foot at the right, height at the far right.
fn sizes(scene: &mut Scene, piece: &Piece, frame: &Frame) {
    let b = &piece.overall;
    let at = |x: Length, y: Length, z: Length| {
        let spot = [x.to_f64_mm(), y.to_f64_mm(), z.to_f64_mm()];
        frame.at(Camera::Corner.project(spot).0)
    };
    let [x0, y0, z0] = b.lo;
    let [x1, y1, z1] = b.hi;
    let (x_way, y_way): (Point, Point) = ((COS30, 0.5), (COS30, -0.5));
    let label = |axis| Content::new().length(piece.units, b.extent(axis));
    let foot_left = at(x0, y0, z0);
    let foot_front = at(x1, y0, z0);
    let foot_right = at(x1, y1, z0);
    let forward = (-y_way.0, -y_way.1);
    let level = Row {
        out: forward,
        turn: 30.0,
        up: (0.5, -COS30),
    };
    let inward = Row {
        out: x_way,
        turn: -30.0,
        up: (-0.5, -COS30),
    };
    let upright = Row {
        out: (1.0, 0.0),
        turn: -90.0,
        up: (-1.0, 0.0),
    };
    size(scene, foot_left, foot_front, &level, label(Axis::X));
    size(scene, foot_front, foot_right, &inward, label(Axis::Y));
    size(scene, foot_right, at(x1, y1, z1), &upright, label(Axis::Z));
}

/// How a row of sizes stands: the way off the outline, the turn of its figure in degrees, and the
/// way up for one who reads it.
struct Row {
    out: Point,
    turn: f64,
    up: Point,
}

/// One size.
fn size(scene: &mut Scene, a: Point, b: Point, row: &Row, label: Content) {
    const OFF: f64 = 1.0;
    const ROW: f64 = 9.0;
    const PAST: f64 = 1.6;
    let Row { out, turn, up } = *row;
    let step = |p: Point, by: f64| (p.0 + out.0 * by, p.1 + out.1 * by);
    for end in [a, b] {
        scene.line(step(end, OFF), step(end, ROW + PAST), Pen::THIN);
    }
    let (from, to) = (step(a, ROW), step(b, ROW));
    scene.line(from, to, Pen::THIN);
    // A stroke of 2 mm at each end, at 45 degrees to the row.
    let length = libm::hypot(to.0 - from.0, to.1 - from.1).max(0.001);
    let along = ((to.0 - from.0) / length, (to.1 - from.1) / length);
    for end in [from, to] {
        let half = std::f64::consts::FRAC_1_SQRT_2;
        let by = ((along.0 + along.1) * half, (along.1 - along.0) * half);
        scene.line(
            (end.0 - by.0, end.1 - by.1),
            (end.0 + by.0, end.1 + by.1),
            Pen::MEDIUM,
        );
    }
    // The figure stands above its line, read from below or from the right.
    let middle = ((from.0 + to.0) / 2.0, (from.1 + to.1) / 2.0);
    scene.text(
        Text::new((middle.0 + up.0 * 1.3, middle.1 + up.1 * 1.3), label)
            .size(TextSize::T3)
            .middle()
            .turned(turn)
            .halo(),
    );
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::fixture;

    #[test]
    fn it_fits_the_room_and_names_the_three_sizes() {
        let model = fixture::cabinet();
        for room in [(165.0, 124.0), (165.0, 60.0), (60.0, 120.0)] {
            let scene = corner(&model.pieces[0], room);
            assert!(scene.width <= room.0 && scene.height <= room.1, "{room:?}");
            let letters = scene.lettering();
            for size in ["600", "400", "720"] {
                let found = letters.iter().filter(|(t, _)| t.content.plain() == size);
                assert_eq!(found.count(), 1, "{size}");
            }
        }
    }
}
