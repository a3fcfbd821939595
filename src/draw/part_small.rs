//! Small drawings of parts: plain parts with their sizes, and both hands side by side.

use super::dimension::{Beyond, Chain, Stop, Way};
use super::frame::Scale;
use super::mark;
use super::scene::{Pen, Rect, Scene, TextSize};
use super::text::Content;
use crate::measure::Length;
use crate::model::{Grain, Hand, LocalAxis, Part, Piece, Side, Solid};

fn mm(length: Length) -> f64 {
    length.to_f64_mm()
}

/// A part without cuts: outline, length and width, reference edge, grain, lipped edges.
pub fn plain_part(piece: &Piece, part: &Part) -> (Scene, Scale) {
    let (long, wide) = (mm(part.size.length), mm(part.size.width));
    let scale = Scale::reductions()
        .find(|s| long * s.factor() <= 42.0 && wide * s.factor() <= 30.0)
        .unwrap_or(Scale { paper: 1, wood: 50 });
    let f = scale.factor();
    let mut scene = Scene::new(0.0, 0.0, part.label.clone());
    // A part too small to see is drawn at least 2 mm wide; its figures tell the truth.
    let area = Rect::of((0.0, -(wide * f).max(2.0)), ((long * f).max(2.0), 0.0));
    scene.rect(area, Pen::THICK.white());
    for band in &part.bands {
        edge_line(&mut scene, &area, band.side, part.lay.end_at_left());
    }
    if part.grain == Grain::Lengthwise && area.height() > 4.0 {
        let reach = area.width() * 0.3;
        let (mx, my) = area.middle();
        mark::grain(&mut scene, (mx - reach, my), (mx + reach, my));
    }
    let figure = |l: Length| Content::new().figure(&piece.units.setting(l), true);
    Chain::overall(
        Way::Level,
        area.y0 - 4.5,
        Beyond::Less,
        Stop::new(area.x0, area.y0),
        Stop::new(area.x1, area.y0),
        figure(part.size.length),
    )
    .draw(&mut scene);
    Chain::overall(
        Way::Upright,
        area.x0 - 4.5,
        Beyond::Less,
        Stop::new(area.y0, area.x0),
        Stop::new(area.y1, area.x0),
        figure(part.size.width),
    )
    .draw(&mut scene);
    mark::reference_edge(&mut scene, (area.x0 + area.width() * 0.4, area.y1));
    (scene.fitted(0.3), scale)
}

fn edge_line(scene: &mut Scene, area: &Rect, side: Side, end_at_left: bool) {
    let (a, b) = match side {
        Side::Edge => ((area.x0, area.y1 + 0.9), (area.x1, area.y1 + 0.9)),
        Side::FarEdge => ((area.x0, area.y0 - 0.9), (area.x1, area.y0 - 0.9)),
        Side::End | Side::FarEnd => {
            let x = if (side == Side::End) == end_at_left {
                area.x0 - 0.9
            } else {
                area.x1 + 0.9
            };
            ((x, area.y0), (x, area.y1))
        }
        Side::Face | Side::Reverse => return,
    };
    scene.line(a, b, Pen::HEAVY);
}

/// Both hands of a part, face side up, reference edges toward the reader; what is cut in the face
/// is black.
pub fn both_hands(part: &Part, drawn: Hand) -> Scene {
    let (long, wide) = (mm(part.size.length), mm(part.size.width));
    let f = (33.0 / long.max(1.0)).min(17.0 / wide.max(1.0));
    let mut scene = Scene::new(0.0, 0.0, format!("{}: both hands", part.label));
    let drawn_left = part.lay.end_at_left();
    let high = wide * f;
    for (row, hand) in [Hand::Left, Hand::Right].into_iter().enumerate() {
        let end_at_left = (hand == drawn) == drawn_left;
        let foot = (high + 9.5) * (row as f64 + 1.0);
        let x = |l: f64| {
            if end_at_left { l * f } else { (long - l) * f }
        };
        let area = Rect::of((0.0, foot - high), (long * f, foot));
        scene.rect(area, Pen::MEDIUM.white());
        for solid in part.cuts.iter().flat_map(|c| &c.solids) {
            let b = solid.bounds();
            if !b.lo[LocalAxis::Thickness.index()].is_zero() {
                continue;
            }
            if let Solid::Bore { mouth, .. } = solid {
                let at = (x(mm(mouth[0])), foot - mm(mouth[1]) * f);
                scene.circle(at, 0.3, Pen::BLACK);
                continue;
            }
            let rect = Rect::of(
                (x(mm(b.lo[0])), foot - mm(b.lo[1]) * f),
                (x(mm(b.hi[0])), foot - mm(b.hi[1]) * f),
            );
            scene.rect(rect, Pen::THIN.black());
        }
        let touch = (area.middle().0, foot);
        scene.polyline(
            &[
                (touch.0 - 1.1, foot + 2.2),
                touch,
                (touch.0 + 1.1, foot + 2.2),
            ],
            Pen::MEDIUM,
        );
        let at = match hand {
            Hand::Left => (area.x1 + 8.2, foot - high / 2.0 + 2.4),
            Hand::Right => (area.x1 + 3.4, foot - high / 2.0 + 2.4),
        };
        mark::hand(&mut scene, at, hand, TextSize::T2);
    }
    scene.fitted(0.3)
}
