//! A board with the rips and the pieces that come out of it. Boards are long and narrow and their
//! strips narrower, so the width is drawn at a larger scale than the length, and both are told.

use super::hatch;
use super::mark;
use super::region::Region;
use super::scene::{Pen, Point, Rect, Scene, Text};
use super::text::Content;
use crate::measure::{Length, Units};
use crate::model::Hand;
use crate::plan::layouts::{Board, BoardPiece};

/// Scales of the length.
const LONG: [u32; 8] = [5, 10, 15, 20, 25, 30, 40, 50];
/// Scales of the width.
const WIDE: [u32; 6] = [2, 3, 4, 5, 8, 10];
/// Room at the left for the widths of the rips.
const LEFT: f64 = 12.0;
/// Largest board on paper.
const MOST: (f64, f64) = (160.0, 31.0);

/// Draws a board; returns the scene and the scales of its length and width, 1 to so much.
pub fn board(
    board: &Board,
    number: usize,
    pieces: &[BoardPiece],
    kerf: Length,
    units: Units,
) -> (Scene, [u32; 2]) {
    let (long, wide) = (board.long.to_f64_mm(), board.wide.to_f64_mm());
    let pick = |scales: &[u32], size: f64, most: f64| {
        let fits = |s: &&u32| size / f64::from(**s) <= most;
        scales.iter().find(fits).copied().unwrap_or(100)
    };
    let scales = [pick(&LONG, long, MOST.0), pick(&WIDE, wide, MOST.1)];
    let at = |x: f64, y: f64| -> Point {
        (
            LEFT + x / f64::from(scales[0]),
            1.0 + y / f64::from(scales[1]),
        )
    };
    let outline = Rect::of(at(0.0, 0.0), at(long, wide));
    let title = format!(
        "Board {number}, length at 1 to {}, width at 1 to {}",
        scales[0], scales[1]
    );
    let mut scene = Scene::new(outline.x1 + 1.0, outline.y1 + 1.0, title);
    let step = units.rough_step();
    let figure = |l: Length| Content::new().figure(&units.figure_to(l, step), false);
    let kerf = kerf.to_f64_mm();
    let mut waste = Region::rect(outline);
    let mut parts: Vec<(Rect, &BoardPiece)> = Vec::new();
    let mut y = 0.0;
    for (width, held) in &board.rips {
        let far = y + width.to_f64_mm();
        let mut x = 0.0;
        for piece in held.iter().filter_map(|i| pieces.get(*i)) {
            let end = x + piece.long.to_f64_mm();
            // A piece may be narrower than the rip that it shares with others.
            let r = Rect::of(at(x, y), at(end, y + piece.wide.to_f64_mm()));
            waste = waste.without(r.corners().to_vec());
            parts.push((r, piece));
            x = end + kerf;
        }
        let middle = at(0.0, (y + far) / 2.0).1;
        let text = Text::new((LEFT - 1.4, middle + 0.93), figure(*width));
        scene.text(text.small().end());
        y = far + kerf;
    }
    hatch::slope(&mut scene, &waste, 0.9, Pen::HATCH);
    for (r, piece) in parts {
        scene.rect(r, Pen::THIN.white());
        label(&mut scene, &r, piece, &figure(piece.long));
    }
    let mut y = 0.0;
    for (width, _) in &board.rips {
        y += width.to_f64_mm();
        scene.line(at(0.0, y), at(long, y), Pen::MEDIUM);
        y += kerf;
    }
    scene.rect(outline, Pen::THICK);
    (scene, scales)
}

/// The fullest label that fits: number, hand and letter, and the length.
fn label(scene: &mut Scene, r: &Rect, piece: &BoardPiece, long: &Content) {
    let hand = match piece.part.hand {
        Some(Hand::Left) => "L ",
        Some(Hand::Right) => "R ",
        None => "",
    };
    let (x, y) = r.middle();
    let copy = format!("{hand}{}", piece.part.letter);
    let size = Text::new((0.0, 0.0), long);
    let copy = Text::new((0.0, 0.0), copy);
    let full = 6.2 + copy.width() + 2.0 + size.width();
    if r.height() >= 5.6 && full + 1.0 <= r.width() {
        let left = x - full / 2.0;
        mark::balloon(scene, (left + 2.7, y), piece.part.mark);
        let next = left + 6.4 + copy.width() + 2.0;
        scene.text(moved(copy, (left + 6.4, y + 1.25)));
        scene.text(moved(size, (next, y + 1.25)));
        return;
    }
    let number = Text::new((0.0, 0.0), piece.part.mark.to_string())
        .small()
        .bold();
    let (copy, size) = (copy.small(), size.small());
    let short = number.width() + 1.0 + copy.width();
    let full = short + 1.6 + size.width();
    if r.height() < 2.0 || short + 0.6 > r.width() {
        return;
    }
    let with_size = full + 0.6 <= r.width();
    let left = x - if with_size { full } else { short } / 2.0;
    let next = left + number.width() + 1.0;
    let last = next + copy.width() + 1.6;
    scene.text(moved(number, (left, y + 0.93)));
    scene.text(moved(copy, (next, y + 0.93)));
    if with_size {
        scene.text(moved(size, (last, y + 0.93)));
    }
}

fn moved(mut text: Text, at: Point) -> Text {
    text.at = at;
    text
}
