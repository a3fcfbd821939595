//! Dimensions: chains between faces, and figures that run from a reference.
//!
//! Lettering is kept apart here: what does not fit between its strokes goes beside the line or on a
//! short leader, and running figures are pushed apart along their row.

use super::mark;
use super::scene::{Anchor, Pen, Point, Scene, Text, TextSize};
use super::text::Content;

/// Which way a row of dimensions runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// Level: stops are x, the row stands at a y.
    Level,
    /// Upright: stops are y, the row stands at an x.
    Upright,
}

/// On which side of the drawing a row stands: where labels that do not fit may go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Beyond {
    /// Above a level row, at the left of an upright one.
    Less,
    /// Below a level row, at the right of an upright one.
    More,
}

/// A place that is dimensioned.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stop {
    /// Along the row.
    pub at: f64,
    /// Across it: where the outline is; the extension line starts 1 mm off. `None` draws none.
    pub outline: Option<f64>,
}

impl Stop {
    /// With an extension line from the outline.
    pub fn new(at: f64, outline: f64) -> Stop {
        Stop {
            at,
            outline: Some(outline),
        }
    }
}

/// A chain: 45 degree strokes, figures between them.
#[derive(Clone, Debug, PartialEq)]
pub struct Chain {
    /// Which way it runs.
    pub way: Way,
    /// Where the row stands.
    pub row: f64,
    /// On which side labels that don't fit go.
    pub beyond: Beyond,
    /// In order along the row.
    pub stops: Vec<Stop>,
    /// One for each space between two stops; an empty one letters nothing.
    pub labels: Vec<Content>,
    /// For each label, whether it is in red; shorter lists mean no.
    pub red: Vec<bool>,
    /// Outside sizes are heavy.
    pub bold: bool,
    /// Of the figures.
    pub size: TextSize,
    /// How close the row's leaders may come to what is at its ends: none go past these.
    pub within: Option<(f64, f64)>,
}

impl Chain {
    /// A plain one.
    pub fn new(way: Way, row: f64, beyond: Beyond) -> Chain {
        Chain {
            way,
            row,
            beyond,
            stops: Vec::new(),
            labels: Vec::new(),
            red: Vec::new(),
            bold: false,
            size: TextSize::T2,
            within: None,
        }
    }

    /// One outside size.
    pub fn overall(way: Way, row: f64, beyond: Beyond, a: Stop, b: Stop, label: Content) -> Chain {
        Chain {
            stops: vec![a, b],
            labels: vec![label],
            bold: true,
            ..Chain::new(way, row, beyond)
        }
    }

    fn point(&self, along: f64, across: f64) -> Point {
        match self.way {
            Way::Level => (along, across),
            Way::Upright => (across, along),
        }
    }

    /// Draws it.
    pub fn draw(&self, scene: &mut Scene) {
        let (Some(first), Some(last)) = (self.stops.first(), self.stops.last()) else {
            return;
        };
        let out = match self.beyond {
            Beyond::Less => -1.0,
            Beyond::More => 1.0,
        };
        for stop in &self.stops {
            if let Some(outline) = stop.outline {
                let toward = if outline <= self.row { 1.0 } else { -1.0 };
                let (from, to) = (outline + toward, self.row + 1.6 * toward);
                if (to - from) * toward > 0.0 {
                    scene.line(
                        self.point(stop.at, from),
                        self.point(stop.at, to),
                        Pen::THIN,
                    );
                }
            }
        }
        scene.line(
            self.point(first.at, self.row),
            self.point(last.at, self.row),
            Pen::THIN,
        );
        for stop in &self.stops {
            let (x, y) = self.point(stop.at, self.row);
            scene.line((x - 0.69, y + 0.69), (x + 0.69, y - 0.69), Pen::MEDIUM);
        }
        let font = self.size.mm(false);
        let mut narrow: Vec<(f64, usize)> = Vec::new();
        let mut taken: Vec<(f64, f64)> = Vec::new();
        let mut said: Vec<String> = Vec::new();
        for (i, pair) in self.stops.windows(2).enumerate() {
            let Some(label) = self.labels.get(i).filter(|label| !label.is_empty()) else {
                continue;
            };
            let (a, b) = (pair[0].at.min(pair[1].at), pair[0].at.max(pair[1].at));
            let wide = label.width(font, self.bold, false);
            let middle = (a + b) / 2.0;
            if wide + 1.4 <= b - a {
                let lift = if label.is_tall() { 1.7 } else { 0.9 };
                scene.text(
                    self.text(i, self.point(middle, self.row - lift), label)
                        .middle()
                        .turned(if self.way == Way::Upright { -90.0 } else { 0.0 }),
                );
                taken.push((middle - wide / 2.0, middle + wide / 2.0));
                said.push(label.plain());
            } else {
                narrow.push((middle, i));
            }
        }
        // An upright row that runs up the page has falling places.
        narrow.sort_by(|a, b| a.0.total_cmp(&b.0));
        // A size is said once: its twins have strokes and no figure.
        narrow.retain(|(_, i)| {
            let plain = self.labels[*i].plain();
            let new = !said.contains(&plain);
            if new {
                said.push(plain);
            }
            new
        });
        match self.way {
            Way::Upright => self.beside(scene, &narrow, &taken, out),
            Way::Level => self.on_leaders(scene, &narrow, &taken, out),
        }
    }

    fn text(&self, i: usize, at: Point, label: &Content) -> Text {
        Text::new(at, label)
            .size(self.size)
            .bold_if(self.bold)
            .red_if(self.red.get(i).copied().unwrap_or(false))
    }

    /// An upright row: figures lie level beside the line, pushed apart, beyond the upright figures
    /// where they would meet them.
    fn beside(&self, scene: &mut Scene, narrow: &[(f64, usize)], taken: &[(f64, f64)], out: f64) {
        if narrow.is_empty() {
            return;
        }
        let pitch = self.pitch(narrow);
        let wanted: Vec<f64> = narrow.iter().map(|(middle, _)| *middle).collect();
        let places = spread(&wanted, pitch, self.within);
        let font = self.size.mm(false);
        let half = pitch / 2.0 - 0.3;
        let meets = |y: f64| {
            taken
                .iter()
                .any(|(a, b)| y - half < b + 0.4 && y + half > a - 0.4)
        };
        for ((middle, i), y) in narrow.iter().zip(&places) {
            let label = &self.labels[*i];
            // Upright figures stand at the left of their line, whichever side is the outer one.
            let crowded = out < 0.0 && meets(*y);
            let gap = if crowded { 0.9 + font + 0.3 } else { 1.7 };
            let x = self.row + out * gap;
            if crowded || (y - middle).abs() > 0.9 {
                scene.polyline(&[(self.row, *middle), (x - out * 0.4, *y)], Pen::THIN);
            }
            let anchor = if out < 0.0 {
                Anchor::End
            } else {
                Anchor::Start
            };
            scene.text(self.text(*i, (x, y + 1.25), label).anchored(anchor).halo());
        }
    }

    /// A level row: figures stand on a shelf one step out, each led to its space.
    fn on_leaders(
        &self,
        scene: &mut Scene,
        narrow: &[(f64, usize)],
        taken: &[(f64, f64)],
        out: f64,
    ) {
        if narrow.is_empty() {
            return;
        }
        let font = self.size.mm(false);
        let widths: Vec<f64> = narrow
            .iter()
            .map(|(_, i)| self.labels[*i].width(font, self.bold, false) + 1.2)
            .collect();
        let close = narrow
            .windows(2)
            .zip(widths.windows(2))
            .any(|(n, w)| n[1].0 - n[0].0 < (w[0] + w[1]) / 2.0 + 5.0);
        if close {
            self.in_a_row(scene, narrow, &widths, taken, out);
            return;
        }
        let wanted: Vec<f64> = narrow.iter().map(|(middle, _)| *middle).collect();
        let first = self.stops.iter().map(|s| s.at).fold(f64::MAX, f64::min);
        let last = self.stops.iter().map(|s| s.at).fold(f64::MIN, f64::max);
        // At an end of the row the shelf points outward, so that it does not meet the extension line.
        let wanted: Vec<f64> = wanted
            .iter()
            .zip(&widths)
            .map(|(middle, wide)| {
                if *middle - first < (last - first) * 0.12 {
                    middle - wide / 2.0 - 2.2
                } else if last - *middle < (last - first) * 0.12 {
                    middle + wide / 2.0 + 2.2
                } else {
                    middle + wide / 2.0 + 1.6
                }
            })
            .collect();
        let places = spread_wide(&wanted, &widths, self.within);
        let tall = self.labels.iter().any(Content::is_tall);
        // Figures on the row itself stand above it, so only a shelf above has to clear them.
        let meets = places.iter().zip(&widths).any(|(x, w)| {
            taken
                .iter()
                .any(|(a, b)| x - w / 2.0 < *b && *a < x + w / 2.0)
        });
        let shelf = self.row
            + out
                * match (out < 0.0, tall, meets) {
                    (true, false, false) => 3.0,
                    (true, false, true) => 4.2,
                    (true, true, false) => 3.4,
                    (true, true, true) => 6.0,
                    (false, false, _) => 3.9,
                    (false, true, _) => 5.6,
                };
        for (((middle, i), x), wide) in narrow.iter().zip(&places).zip(&widths) {
            let near = if (x - wide / 2.0 - middle).abs() < (x + wide / 2.0 - middle).abs() {
                x - wide / 2.0
            } else {
                x + wide / 2.0
            };
            let far = if near < *x {
                x + wide / 2.0
            } else {
                x - wide / 2.0
            };
            scene.polyline(
                &[(*middle, self.row), (near, shelf), (far, shelf)],
                Pen::THIN,
            );
            let lift = if self.labels[*i].is_tall() { 1.6 } else { 0.8 };
            scene.text(
                self.text(*i, (*x, shelf - lift), &self.labels[*i])
                    .middle()
                    .halo(),
            );
        }
    }

    /// Several figures that don't fit stand in a row of their own, each under a short leader.
    fn in_a_row(
        &self,
        scene: &mut Scene,
        narrow: &[(f64, usize)],
        widths: &[f64],
        taken: &[(f64, f64)],
        out: f64,
    ) {
        let wanted: Vec<f64> = narrow.iter().map(|(middle, _)| *middle).collect();
        let places = spread_wide(&wanted, widths, self.within);
        let tall = self.labels.iter().any(Content::is_tall);
        let meets = places.iter().zip(widths).any(|(x, w)| {
            taken
                .iter()
                .any(|(a, b)| x - w / 2.0 < *b && *a < x + w / 2.0)
        });
        // Above the row its own figures may stand.
        let knee = self.row
            + out
                * match (out < 0.0 && meets, tall) {
                    (true, false) => 3.9,
                    (true, true) => 5.6,
                    (false, _) => 1.3,
                };
        let size = self.size.mm(false);
        let (rise, drop) = if tall {
            (size * 0.96, size * 0.25)
        } else {
            (size * 0.72, 0.0)
        };
        for ((middle, i), x) in narrow.iter().zip(&places) {
            scene.polyline(&[(*middle, self.row), (*x, knee)], Pen::THIN);
            let base = if out < 0.0 {
                knee - 0.4 - drop
            } else {
                knee + 0.4 + rise
            };
            scene.text(self.text(*i, (*x, base), &self.labels[*i]).middle().halo());
        }
    }

    fn pitch(&self, narrow: &[(f64, usize)]) -> f64 {
        let tall = narrow.iter().any(|(_, i)| self.labels[*i].is_tall());
        self.size.mm(false) * if tall { 1.4 } else { 1.06 }
    }
}

/// A figure that runs from the reference.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// Its place along the row.
    pub at: f64,
    /// Where the outline is; the extension line starts 1 mm off.
    pub outline: f64,
    /// The figure.
    pub label: Content,
    /// The part's own end.
    pub bold: bool,
    /// What the page is about.
    pub red: bool,
}

/// Figures that run from a ring at zero, along one side of a part.
#[derive(Clone, Debug, PartialEq)]
pub struct Running {
    /// Which way it runs.
    pub way: Way,
    /// Where the row stands: above the part, or at its left.
    pub row: f64,
    /// Place of the ring, and of the outline there.
    pub zero: Stop,
    /// In any order.
    pub marks: Vec<Mark>,
    /// Of the figures.
    pub size: TextSize,
    /// Figures keep within these along the row.
    pub within: Option<(f64, f64)>,
}

impl Running {
    /// Draws it; figures stand above a level row and at the left of an upright one.
    pub fn draw(&self, scene: &mut Scene) {
        let point = |along: f64, across: f64| match self.way {
            Way::Level => (along, across),
            Way::Upright => (across, along),
        };
        let font = self.size.mm(false);
        let mut marks: Vec<&Mark> = self.marks.iter().collect();
        marks.sort_by(|a, b| a.at.total_cmp(&b.at));
        let pitch = font
            * if marks.iter().any(|m| m.label.is_tall()) {
                1.42
            } else {
                1.057
            };
        // The zero takes part in the pushing apart, as its figure stands in the same row.
        let mut wanted: Vec<f64> = marks.iter().map(|m| m.at).collect();
        let zero_at = wanted.partition_point(|at| *at < self.zero.at);
        wanted.insert(zero_at, self.zero.at);
        let mut places = spread(&wanted, pitch, self.within);
        let zero_place = places.remove(zero_at);
        let far = marks
            .iter()
            .map(|m| m.at)
            .max_by(|a, b| {
                (a - self.zero.at)
                    .abs()
                    .total_cmp(&(b - self.zero.at).abs())
            })
            .unwrap_or(self.zero.at);
        let forward = if far >= self.zero.at { 1.0 } else { -1.0 };
        let ring = point(self.zero.at, self.row);
        if let Some(outline) = self.zero.outline {
            scene.line(
                point(self.zero.at, outline - 1.0),
                point(self.zero.at, self.row + 0.9),
                Pen::THIN,
            );
        }
        scene.line(
            point(self.zero.at + 0.9 * forward, self.row),
            point(far, self.row),
            Pen::THIN,
        );
        for (mark, place) in marks.iter().zip(&places) {
            scene.line(
                point(mark.at, mark.outline - 1.0),
                point(mark.at, self.row),
                Pen::THIN,
            );
            mark::arrow(
                scene,
                point(mark.at - 5.0 * forward, self.row),
                point(mark.at, self.row),
            );
            scene.polyline(
                &[
                    point(mark.at, self.row),
                    point(mark.at, self.row - 1.0),
                    point(*place, self.row - 3.0),
                    point(*place, self.row - 3.8),
                ],
                Pen::THIN,
            );
            scene.text(self.figure(*place, &mark.label, mark.bold, mark.red));
        }
        if (zero_place - self.zero.at).abs() > 0.05 {
            scene.polyline(
                &[
                    point(self.zero.at, self.row - 0.9),
                    point(zero_place, self.row - 3.0),
                    point(zero_place, self.row - 3.8),
                ],
                Pen::THIN,
            );
        }
        mark::ring(scene, ring);
        scene.text(self.figure(zero_place, &Content::from("0"), false, false));
    }

    fn figure(&self, place: f64, label: &Content, bold: bool, red: bool) -> Text {
        // Digits stand in the middle of their extension line.
        let half = self.size.mm(false) * 0.716 / 2.0;
        let text = match self.way {
            Way::Level => Text::new((place + half, self.row - 4.2), label).upright(),
            Way::Upright => Text::new((self.row - 4.2, place + half), label).end(),
        };
        text.size(self.size).bold_if(bold).red_if(red).halo()
    }
}

/// Places as near to the wanted ones (in order) as `pitch` between neighbours allows, within the
/// ends if they are given and there is room.
///
/// Neighbours that are too close form a block that is centred on the mean of its wishes (the exact
/// least-squares answer for an ordered row, by pooling).
pub fn spread(wanted: &[f64], pitch: f64, within: Option<(f64, f64)>) -> Vec<f64> {
    let widths = vec![pitch; wanted.len()];
    spread_wide(wanted, &widths, within)
}

/// As [`spread`], for labels of different widths.
pub fn spread_wide(wanted: &[f64], widths: &[f64], within: Option<(f64, f64)>) -> Vec<f64> {
    // Offsets turn "at least this far apart" into "not before": u_i = x_i - offset_i must not fall.
    let mut offset = Vec::with_capacity(wanted.len());
    let mut sum = 0.0;
    for i in 0..wanted.len() {
        if i > 0 {
            sum += (widths[i - 1] + widths[i]) / 2.0;
        }
        offset.push(sum);
    }
    let mut blocks: Vec<(f64, usize)> = Vec::new(); // mean, count
    for (want, off) in wanted.iter().zip(&offset) {
        let mut block = (want - off, 1usize);
        while let Some(last) = blocks.last() {
            if last.0 <= block.0 {
                break;
            }
            let n = last.1 + block.1;
            block = (
                (last.0 * last.1 as f64 + block.0 * block.1 as f64) / n as f64,
                n,
            );
            blocks.pop();
        }
        blocks.push(block);
    }
    let mut places: Vec<f64> = blocks
        .iter()
        .flat_map(|(mean, n)| std::iter::repeat_n(*mean, *n))
        .zip(&offset)
        .map(|(u, off)| u + off)
        .collect();
    if let Some((low, high)) = within {
        let n = places.len();
        let mut floor = low;
        for i in 0..n {
            places[i] = places[i].max(floor + widths[i] / 2.0);
            floor = places[i] + widths[i] / 2.0;
        }
        let mut ceiling = high;
        for i in (0..n).rev() {
            places[i] = places[i].min(ceiling - widths[i] / 2.0);
            ceiling = places[i] - widths[i] / 2.0;
        }
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn near_figures_are_pushed_apart_evenly() {
        // Two at 37.0 and 40.54 with a pitch of 3.7: 0.16 too close, shared.
        let places = spread(&[37.0, 40.54], 3.7, None);
        assert!((places[0] - 36.92).abs() < 1e-9 && (places[1] - 40.62).abs() < 1e-9);
        let far = spread(&[10.0, 50.0], 3.7, None);
        assert_eq!(far, [10.0, 50.0]);
        let block = spread(&[1.0, 1.0, 1.0], 2.0, None);
        assert_eq!(block, [-1.0, 1.0, 3.0]);
        let held = spread(&[1.0, 1.0, 1.0], 2.0, Some((0.0, 40.0)));
        assert_eq!(held, [1.0, 3.0, 5.0]);
    }

    #[test]
    fn a_chain_says_a_size_once_and_keeps_figures_apart() {
        let mut scene = Scene::new(0.0, 0.0, "");
        let mut chain = Chain::new(Way::Upright, 10.0, Beyond::Less);
        // Places fall, as heights do on paper.
        chain.stops = [0.0, 9.15, 60.21, 60.51, 73.94, 74.24, 76.0]
            .map(|at: f64| Stop::new(-at, 14.0))
            .to_vec();
        chain.labels = ["91.5", "510.6", "3", "134.3", "3", "17.6"]
            .map(Content::from)
            .to_vec();
        chain.draw(&mut scene);
        let letters = scene.lettering();
        let threes = letters
            .iter()
            .filter(|(text, _)| text.content.plain() == "3")
            .count();
        assert_eq!(threes, 1);
        for (i, (_, a)) in letters.iter().enumerate() {
            for (_, b) in &letters[i + 1..] {
                assert!(!a.overlaps(b), "{a:?} {b:?}");
            }
        }
    }
}
