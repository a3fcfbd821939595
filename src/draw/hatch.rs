//! Hatching: real lines, already clipped, so that a drawing needs no clip paths and no fills.
//!
//! Sheets show their plies as layers, solid wood its rings or its long fibres, what is cut away a
//! fine slope. The unevenness of wood is drawn from a seed (the part's number), never from chance.

use super::region::{Region, Segment, length, steps};
use super::scene::{Pen, Point, Rect, Scene, Step};

/// Which way lines run on the paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Run {
    /// From left to right.
    Level,
    /// Up the page.
    Upright,
}

/// Fine slope of what is cut away: lines at 45 degrees.
pub fn cut_away(scene: &mut Scene, region: &Region, red: bool) {
    let pen = Pen::HATCH.red_if(red);
    slope(scene, region, 0.9, pen);
}

/// The slope of machines: fence, table.
pub fn machine(scene: &mut Scene, region: &Region) {
    slope(scene, region, 1.3 * ROOT2, Pen::HATCH);
}

const ROOT2: f64 = std::f64::consts::SQRT_2;

/// Lines at 45 degrees, `step` apart measured along the page.
pub fn slope(scene: &mut Scene, region: &Region, step: f64, pen: Pen) {
    let Some(b) = region.bounds() else { return };
    let mut pieces = Vec::new();
    // Lines x + y = c: from the lower left up to the right. Counted from the page's own origin, so
    // that neighbouring hatches line up.
    let mut n = ((b.x0 + b.y0) / step).floor();
    while n * step < b.x1 + b.y1 {
        let c = n * step;
        let from = (c - b.y1 - 1.0, b.y1 + 1.0);
        let to = (c - b.y0 + 1.0, b.y0 - 1.0);
        pieces.extend(region.clip((from, to)));
        n += 1.0;
    }
    scene.lines(&pieces, pen);
}

/// A sheet cut through: `across` are its two faces (x of an upright sheet, y of a level one) before
/// anything was cut from it, `thick` its real thickness; both decide the plies that are drawn.
pub fn sheet(scene: &mut Scene, region: &Region, run: Run, across: (f64, f64), thick: f64) {
    let Some(b) = region.bounds() else { return };
    let paper = (across.1 - across.0).abs();
    if paper < 1.0 {
        black(scene, region);
        return;
    }
    // At 1:5 and smaller three plain layers; larger, the plies of common sheets (1.4 mm each, an odd
    // number, common practice).
    let plain = paper < thick * 0.25;
    let plies = if plain {
        4.0
    } else {
        ((thick / 1.4 - 1.0) / 2.0).round() * 2.0 + 1.0
    }
    .max(3.0);
    let step = (across.1 - across.0) / plies;
    let mut lines = Vec::new();
    let mut i = 1.0;
    while i < plies {
        let c = across.0 + step * i;
        lines.extend(region.clip(match run {
            Run::Level => ((b.x0 - 1.0, c), (b.x1 + 1.0, c)),
            Run::Upright => ((c, b.y0 - 1.0), (c, b.y1 + 1.0)),
        }));
        i += 1.0;
    }
    if !plain {
        // Each second ply carries slants at 60 degrees.
        let gap = (step.abs() * 0.75).max(0.9);
        let lean = step.abs() * 0.577;
        let mut ply = 1.0;
        while ply < plies {
            let (c0, c1) = (across.0 + step * ply, across.0 + step * (ply + 1.0));
            let (mut p, end) = match run {
                Run::Level => (b.x0 - lean, b.x1),
                Run::Upright => (b.y0 - lean, b.y1),
            };
            while p < end {
                lines.extend(region.clip(match run {
                    Run::Level => ((p, c1), (p + lean, c0)),
                    Run::Upright => ((c1, p), (c0, p + lean)),
                }));
                p += gap;
            }
            ply += 2.0;
        }
    }
    scene.lines(&lines, Pen::HATCH);
}

/// Solid black, for what is too thin to hatch.
pub fn black(scene: &mut Scene, region: &Region) {
    scene.path(region.outline(), Pen::BLACK);
}

/// A small deterministic sequence from a seed.
#[derive(Clone, Debug)]
pub struct Uneven(u64);

impl Uneven {
    /// Of a part.
    pub fn new(seed: u32) -> Uneven {
        Uneven(u64::from(seed).wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x5DEE_CE66_D1CE_4E5B)
    }

    /// The next, from 0 to 1 (a 64-bit linear congruence, upper bits; Knuth's constants).
    pub fn step(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 40) as f64 / (1u64 << 24) as f64
    }

    /// The next, from `low` to `high`.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.step()
    }
}

/// Solid wood cut across: growth rings about a pith off the piece, uneven steps, a few rays.
pub fn end_grain(scene: &mut Scene, region: &Region, seed: u32) {
    let Some(b) = region.bounds() else { return };
    if b.width().min(b.height()) < 1.0 {
        black(scene, region);
        return;
    }
    let mut uneven = Uneven::new(seed);
    let size = b.width().max(b.height());
    let pith = (
        b.x0 + b.width() * uneven.between(0.1, 0.9),
        b.y1 + b.height() * 0.3 + size * uneven.between(0.15, 0.35),
    );
    let reach = b
        .corners()
        .iter()
        .map(|c| length((*c, pith)))
        .fold(0.0, f64::max);
    let least = (pith.1 - b.y1).max(0.5);
    let step = (size / 16.0).clamp(0.35, 1.15);
    let mut pieces: Vec<Segment> = Vec::new();
    let mut radius = least + step * uneven.step();
    while radius < reach {
        let mut run = Vec::new();
        for arc in upper_half(pith, radius) {
            run.extend(region.clip(arc));
        }
        pieces.extend(run);
        radius += step * uneven.between(0.55, 1.35);
    }
    scene.path(steps(&pieces), Pen::HATCH);
    let mut rays: Vec<Segment> = Vec::new();
    for _ in 0..(size / 6.0).clamp(2.0, 8.0) as u32 {
        let x = b.x0 + b.width() * uneven.step();
        let full = (
            pith,
            (pith.0 + (x - pith.0) * 4.0, pith.1 + (b.y0 - pith.1) * 4.0),
        );
        for (from, to) in region.clip(full) {
            let (s, e) = (uneven.between(0.0, 0.5), uneven.between(0.6, 1.0));
            let at = |t: f64| (from.0 + (to.0 - from.0) * t, from.1 + (to.1 - from.1) * t);
            rays.push((at(s), at(e)));
        }
    }
    scene.lines(&rays, Pen::HATCH);
}

/// The upper half of a circle in straight pieces, by the rational parametrisation
/// ((1 - t^2) / (1 + t^2), 2t / (1 + t^2)): no trigonometry, so every machine draws the same.
fn upper_half(centre: Point, radius: f64) -> Vec<Segment> {
    let n = ((radius * 0.8) as i32).clamp(8, 40);
    let at = |i: i32| {
        let t = f64::from(i) / f64::from(n);
        let d = 1.0 + t * t;
        ((1.0 - t * t) / d, 2.0 * t / d)
    };
    let right: Vec<Point> = (0..=n)
        .map(at)
        .map(|(c, s)| (centre.0 + radius * c, centre.1 - radius * s))
        .collect();
    let left: Vec<Point> = (0..=n)
        .rev()
        .map(at)
        .map(|(c, s)| (centre.0 - radius * c, centre.1 - radius * s))
        .collect();
    right
        .windows(2)
        .chain(left.windows(2))
        .map(|w| (w[0], w[1]))
        .collect()
}

/// Solid wood cut along: long lines that wander a little and break.
pub fn long_grain(scene: &mut Scene, region: &Region, run: Run, seed: u32) {
    let Some(b) = region.bounds() else { return };
    if b.width().min(b.height()) < 1.0 {
        black(scene, region);
        return;
    }
    fibres(scene, region, b, run, seed, 1.15, (6.0, 22.0));
}

/// Grain on a face: a few broken lines with the fibres.
pub fn face_grain(scene: &mut Scene, region: &Region, run: Run, seed: u32) {
    let Some(b) = region.bounds() else { return };
    fibres(scene, region, b, run, seed, 4.2, (12.0, 46.0));
}

fn fibres(
    scene: &mut Scene,
    region: &Region,
    b: Rect,
    run: Run,
    seed: u32,
    apart: f64,
    long: (f64, f64),
) {
    let mut uneven = Uneven::new(seed);
    let (from, to, low, high) = match run {
        Run::Level => (b.x0, b.x1, b.y0, b.y1),
        Run::Upright => (b.y0, b.y1, b.x0, b.x1),
    };
    let mut out: Vec<Step> = Vec::new();
    let mut across = low + apart * uneven.between(0.4, 0.9);
    while across < high - 0.2 {
        let mut along = from - uneven.between(0.0, long.0);
        while along < to {
            let end = along + uneven.between(long.0, long.1);
            let sway = uneven.between(-0.22, 0.22);
            let third = (end - along) / 3.0;
            let place = |a: f64, c: f64| match run {
                Run::Level => (a, c),
                Run::Upright => (c, a),
            };
            let pieces = [
                (place(along, across), place(along + third, across + sway)),
                (
                    place(along + third, across + sway),
                    place(along + 2.0 * third, across - sway),
                ),
                (
                    place(along + 2.0 * third, across - sway),
                    place(end, across),
                ),
            ];
            let kept: Vec<Segment> = pieces.iter().flat_map(|s| region.clip(*s)).collect();
            out.extend(steps(&kept));
            along = end + uneven.between(0.6, 3.0);
        }
        across += apart * uneven.between(0.6, 1.4);
    }
    scene.path(out, Pen::HATCH);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::scene::Shape;

    #[test]
    fn hatching_stays_within_its_outline() {
        let rect = Rect::of((10.0, 10.0), (50.0, 27.6));
        let region =
            Region::rect(rect).without(Rect::of((20.0, 10.0), (30.0, 15.0)).corners().to_vec());
        let mut scene = Scene::new(60.0, 40.0, "");
        cut_away(&mut scene, &region, true);
        sheet(&mut scene, &region, Run::Level, (10.0, 27.6), 17.6);
        end_grain(&mut scene, &region, 7);
        long_grain(&mut scene, &region, Run::Level, 7);
        let outer = rect.grown(0.07);
        assert!(scene.shapes.len() >= 4);
        for shape in &scene.shapes {
            let Shape::Path { steps, .. } = shape else {
                panic!("hatching is line work")
            };
            for step in steps {
                if let Step::Move(p) | Step::Line(p) = step {
                    assert!(outer.x0 <= p.0 && p.0 <= outer.x1, "{p:?}");
                    assert!(outer.y0 <= p.1 && p.1 <= outer.y1, "{p:?}");
                    let in_groove = Rect::of((20.0, 10.0), (30.0, 15.0)).grown(-0.01);
                    assert!(!in_groove.overlaps(&Rect::of(*p, *p).grown(1e-9)));
                }
            }
        }
    }

    #[test]
    fn the_same_part_is_drawn_the_same() {
        let region = Region::rect(Rect::of((0.0, 0.0), (20.0, 20.0)));
        let draw = |seed| {
            let mut scene = Scene::new(20.0, 20.0, "");
            end_grain(&mut scene, &region, seed);
            scene
        };
        assert_eq!(draw(3), draw(3));
        assert_ne!(draw(3), draw(4));
    }
}
