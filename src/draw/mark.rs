//! The book's marks as line work: part circles, square marks, hands, reference edge, face loop,
//! reference end, grain, breaks, leaders, the check rule. Each has one meaning in every chapter.

use super::scene::{Anchor, Pen, Point, Rect, Scene, Step, Text, TextSize};
use super::text::{CAPITAL, Content};
use crate::model::Hand;

/// A part's number in its circle.
pub fn balloon(scene: &mut Scene, centre: Point, number: u32) {
    let text = Text::new(
        (centre.0, centre.1 + CAPITAL * 3.5 / 2.0),
        number.to_string(),
    )
    .bold()
    .middle();
    let radius = (text.width() / 2.0 + 1.0).max(2.6);
    scene.circle(centre, radius, Pen::MEDIUM.white());
    scene.text(text);
}

/// The number of something to do, in its square.
pub fn square(scene: &mut Scene, centre: Point, number: &str) {
    let text = Text::new((centre.0, centre.1 + CAPITAL * 3.5 / 2.0), number)
        .bold()
        .middle();
    let half = (text.width() / 2.0 + 0.8).max(2.3);
    scene.rect(
        Rect::of(
            (centre.0 - half, centre.1 - 2.3),
            (centre.0 + half, centre.1 + 2.3),
        ),
        Pen::MEDIUM.white(),
    );
    scene.text(text);
}

/// Half of the cabinetmaker's triangle with its letter; `foot` is the lower end of the upright edge.
pub fn hand(scene: &mut Scene, foot: Point, hand: Hand, size: TextSize) {
    let font = size.mm(false);
    let (high, wide) = (1.36 * font, 0.84 * font);
    let (x, y) = foot;
    let (tip, letter, anchor, at) = match hand {
        Hand::Left => (x - wide, "L", Anchor::End, x - wide - 0.1 * font),
        Hand::Right => (x + wide, "R", Anchor::Start, x + wide + 0.1 * font),
    };
    scene.polygon(&[(x, y), (x, y - high), (tip, y)], Pen::BLACK);
    scene.text(
        Text::new((at, y), letter)
            .size(size)
            .bold()
            .anchored(anchor),
    );
}

/// The reference edge: a V below a level edge, its point touching it.
pub fn reference_edge(scene: &mut Scene, touch: Point) {
    let (x, y) = touch;
    scene.polyline(
        &[(x - 2.0, y + 4.0), (x, y), (x + 2.0, y + 4.0)],
        Pen::MEDIUM,
    );
}

/// The same at an upright edge: `right` puts the V at the right of it.
pub fn reference_edge_upright(scene: &mut Scene, touch: Point, right: bool) {
    let (x, y) = touch;
    let out = if right { x + 2.2 } else { x - 2.2 };
    scene.polyline(&[(out, y - 1.1), (x, y), (out, y + 1.1)], Pen::MEDIUM);
}

/// The face side: a loop whose tail runs to the reference edge at `foot`.
pub fn face_loop(scene: &mut Scene, foot: Point) {
    let at = |dx: f64, dy: f64| (foot.0 + dx, foot.1 + dy);
    scene.path(
        vec![
            Step::Move(at(0.0, 0.0)),
            Step::Curve(at(-0.6, -3.3), at(2.85, -5.4), at(2.55, -8.7)),
            Step::Curve(at(2.25, -11.25), at(-1.5, -11.1), at(-1.5, -8.4)),
            Step::Curve(at(-1.5, -5.4), at(1.65, -3.45), at(4.35, -3.45)),
        ],
        Pen::MEDIUM,
    );
}

/// The reference end: the ring that every running figure counts from.
pub fn ring(scene: &mut Scene, centre: Point) {
    scene.circle(centre, 0.9, Pen::MEDIUM.white());
}

/// Grain: a line with half a barb at each end.
pub fn grain(scene: &mut Scene, from: Point, to: Point) {
    scene.line(from, to, Pen::THIN);
    if from.1 == to.1 {
        scene.line(from, (from.0 + 2.2, from.1 - 0.77), Pen::THIN);
        scene.line(to, (to.0 - 2.2, to.1 + 0.77), Pen::THIN);
    } else {
        scene.line(from, (from.0 - 0.77, from.1 + 2.2), Pen::THIN);
        scene.line(to, (to.0 + 0.77, to.1 - 2.2), Pen::THIN);
    }
}

/// How a leader ends at what it speaks of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tip {
    /// On a surface.
    Dot,
    /// On an edge.
    Arrow,
}

/// A note on a leader: from what it speaks of to a short shelf before the note.
///
/// The shelf runs toward the note: to the right if the note stands at the right of the elbow.
pub fn leader(scene: &mut Scene, tip: Point, kind: Tip, elbow: Point, lines: &[Text]) {
    let right = elbow.0 >= tip.0;
    let shelf = (if right { elbow.0 + 2.0 } else { elbow.0 - 2.0 }, elbow.1);
    scene.polyline(&[tip, elbow, shelf], Pen::THIN);
    match kind {
        Tip::Dot => scene.circle(tip, 0.55, Pen::BLACK),
        Tip::Arrow => arrow(scene, elbow, tip),
    }
    let mut y = elbow.1 + 1.25;
    for line in lines {
        let mut line = line.clone();
        line.at = (shelf.0 + if right { 0.6 } else { -0.6 }, y);
        line.anchor = if right { Anchor::Start } else { Anchor::End };
        y += line.size.mm(line.italic) * 1.25;
        scene.text(line);
    }
}

/// A slim filled arrow head at `to`, coming from `from`.
pub fn arrow(scene: &mut Scene, from: Point, to: Point) {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let long = (dx * dx + dy * dy).sqrt();
    if long < 1e-6 {
        return;
    }
    let (ux, uy) = (dx / long, dy / long);
    let (bx, by) = (to.0 - 2.47 * ux, to.1 - 2.47 * uy);
    scene.polygon(
        &[
            to,
            (bx - 0.41 * uy, by + 0.41 * ux),
            (bx + 0.41 * uy, by - 0.41 * ux),
        ],
        Pen::BLACK,
    );
}

/// Where a part is broken off: a thin line with one zigzag, from `from` to `to` (level or upright).
pub fn broken(scene: &mut Scene, from: Point, to: Point) {
    let at = |t: f64, side: f64| {
        let p = (from.0 + (to.0 - from.0) * t, from.1 + (to.1 - from.1) * t);
        if from.0 == to.0 {
            (p.0 + side, p.1)
        } else {
            (p.0, p.1 + side)
        }
    };
    let long = libm::hypot(to.0 - from.0, to.1 - from.1);
    let k = if long > 0.0 {
        (1.0 / long).min(0.15)
    } else {
        0.1
    };
    scene.polyline(
        &[
            at(0.0, 0.0),
            at(0.5 - 1.5 * k, 0.0),
            at(0.5 - 0.5 * k, -1.1),
            at(0.5 + 0.5 * k, 1.1),
            at(0.5 + 1.5 * k, 0.0),
            at(1.0, 0.0),
        ],
        Pen::THIN,
    );
}

/// The letter of a cutting plane with its arrow: `at` is the end of the plane's line.
pub fn plane(scene: &mut Scene, at: Point, down: bool, letter: &str) {
    let (x, y) = at;
    let end = if down { y + 3.6 } else { y - 3.6 };
    scene.line((x, y), (x, end), Pen::THICK);
    scene.line((x, end), (x - 5.0, end), Pen::THIN);
    arrow(scene, (x, end), (x - 5.0, end));
    scene.text(
        Text::new((x + 1.4, end + 1.2), letter)
            .size(TextSize::T3)
            .bold(),
    );
}

/// 100 mm with strokes each 10 mm, to measure on the printed page.
pub fn check_rule() -> Scene {
    let mut scene = Scene::new(104.0, 9.6, "A rule of 100 millimetres");
    scene.exact = true;
    let base = 5.2;
    scene.line((2.0, base), (102.0, base), Pen::MEDIUM);
    for i in 0..=10 {
        let x = 2.0 + 10.0 * f64::from(i);
        let high = if i % 5 == 0 { 3.6 } else { 2.0 };
        scene.line((x, base), (x, base - high), Pen::MEDIUM);
        if i % 5 == 0 {
            scene.text(
                Text::new((x, base + 3.2), Content::from((i * 10).to_string()))
                    .small()
                    .middle(),
            );
        }
    }
    scene
}

/// A tick box.
pub fn tick_box(scene: &mut Scene, at: Point) {
    scene.rect(Rect::of(at, (at.0 + 3.6, at.1 + 3.6)), Pen::MEDIUM);
}
