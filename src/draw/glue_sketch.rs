//! Glue-up drawn: the parts drawn apart in the direction in which they go together, the time the
//! glue gives, and the diagonals to measure.

use super::hatch;
use super::mark;
use super::region::{Region, Segment};
use super::scene::{Pen, Point, Rect, Scene, Text, TextSize};
use super::solid::{Block, Spot, corners};
use super::text::Content;
use super::view::{Camera, Sight, View};
use crate::measure::Units;
use crate::model::{Axis, Box3, Edge, Hand, Part, PartId, Piece};
use crate::plan::glue_up::{Diagonal, Stage, seen_boxes};
use std::collections::{BTreeMap, BTreeSet};

/// What a part is called on the sketch.
pub type Marks<'a> = &'a dyn Fn(PartId) -> Option<(u32, Option<Hand>)>;

/// Largest sketch on paper.
const WIDE: f64 = 96.0;
const HIGH: f64 = 64.0;

/// As many parts as can be told apart on one sketch; of a larger body only what the stage touches
/// is drawn.
const LEGIBLE: usize = 60;

/// The parts of a stage drawn apart, the faces that get glue in red.
pub fn exploded(piece: &Piece, stage: &Stage, marks: Marks) -> Scene {
    let mut scene = Scene::new(0.0, 0.0, "The parts of this stage drawn apart");
    let body = drawn(piece, stage);
    let shifts = shifts(piece, stage, &body);
    let shift_of = |id: PartId| shifts.get(&id).copied().unwrap_or([0.0; 3]);
    let mut blocks: Vec<Block> = Vec::new();
    for part in body.iter().map(|id| piece.part(*id)) {
        let mut add = |of: &'_ Part| {
            blocks.push(Block {
                part: piece.part(of.id),
                size: of.core,
                cuts: true,
                front: false,
                shift: shift_of(part.id),
            });
        };
        add(part);
        for band in &part.bands {
            add(piece.part(band.strip));
        }
    }
    let view = View::new(Camera::Corner, &blocks);
    let Some(bounds) = view.bounds() else {
        return scene;
    };
    let factor = (WIDE / bounds.width()).min(HIGH / bounds.height());
    let paper = |p: Point| (p.0 * factor, -p.1 * factor);
    let line = |s: Segment| (paper(s.0), paper(s.1));
    let edges = view.edges();
    for (sight, pen) in [(Sight::Seen, Pen::MEDIUM), (Sight::Outline, Pen::THICK)] {
        let lines: Vec<(Point, Point)> = edges
            .iter()
            .filter(|e| e.sight == sight)
            .map(|e| line(e.line))
            .collect();
        scene.lines(&lines, pen);
    }
    for joint in stage
        .moves
        .iter()
        .flat_map(|m| &m.joints)
        .map(|id| piece.joint(*id))
    {
        let (lo, hi) = corners(&joint.contact);
        let at = |p: Spot, s: Spot| [p[0] + s[0], p[1] + s[1], p[2] + s[2]];
        if joint.glued {
            for (from, to) in rim(lo, hi) {
                let shift = shift_of(joint.b);
                let seen = view.seen(at(from, shift), at(to, shift));
                let lines: Vec<_> = seen.into_iter().map(line).collect();
                scene.lines(&lines, Pen::THICK.red());
            }
        }
        let middle = [
            (lo[0] + hi[0]) / 2.0,
            (lo[1] + hi[1]) / 2.0,
            (lo[2] + hi[2]) / 2.0,
        ];
        let way = view.seen(at(middle, shift_of(joint.a)), at(middle, shift_of(joint.b)));
        for piece in way.into_iter().map(line) {
            scene.line(piece.0, piece.1, Pen::THIN.centre());
        }
    }
    let mut taken: Vec<Rect> = Vec::new();
    for id in &body {
        if let Some((number, hand)) = marks(*id) {
            let spot = label_spot(&view, piece.part(*id), shift_of(*id), factor, &taken);
            let at = paper(Camera::Corner.project(spot).0);
            mark::balloon(&mut scene, at, number);
            taken.push(Rect::of(at, at).grown(3.2));
            if let Some(hand) = hand {
                let foot = (at.0, at.1 + 8.2);
                mark::hand(&mut scene, foot, hand, TextSize::T2);
            }
        }
    }
    scene.fitted(0.6)
}

/// The parts that are drawn.
fn drawn(piece: &Piece, stage: &Stage) -> Vec<PartId> {
    if stage.body.len() <= LEGIBLE {
        return stage.body.clone();
    }
    let joints = stage.moves.iter().flat_map(|m| &m.joints);
    let touched: BTreeSet<PartId> = joints
        .map(|id| piece.joint(*id))
        .flat_map(|j| [j.a, j.b])
        .collect();
    touched.into_iter().collect()
}

/// How far each part is moved: back along its way from what it is brought to.
fn shifts(piece: &Piece, stage: &Stage, body: &[PartId]) -> BTreeMap<PartId, Spot> {
    let hull = body
        .iter()
        .map(|id| piece.part(*id).core)
        .reduce(|a, b| a.union(&b));
    let largest = hull.map_or(0.0, |hull| {
        Axis::ALL
            .into_iter()
            .map(|a| hull.extent(a).to_f64_mm())
            .fold(0.0, f64::max)
    });
    let mut out: BTreeMap<PartId, Spot> = body.iter().map(|id| (*id, [0.0; 3])).collect();
    for step in &stage.moves {
        let Some(way) = step.way else { continue };
        let i = way.axis().index();
        let apart = 0.34 * largest * if way.is_high() { -1.0 } else { 1.0 };
        let shift = |out: &BTreeMap<PartId, Spot>, id: &PartId| out.get(id).map_or(0.0, |s| s[i]);
        // What it is brought to may itself be drawn out: stay clear of the farthest.
        let reach = step
            .joints
            .iter()
            .map(|id| piece.joint(*id))
            .map(|j| if step.parts.contains(&j.a) { j.b } else { j.a })
            .map(|other| shift(&out, &other))
            .reduce(|a, b| if apart < 0.0 { a.min(b) } else { a.max(b) });
        let mine = step.parts.first().map_or(0.0, |p| shift(&out, p));
        for part in &step.parts {
            if let Some(shift) = out.get_mut(part) {
                shift[i] += reach.unwrap_or(0.0) - mine + apart;
            }
        }
    }
    out
}

/// The edges of a box that has an extent of nothing in one direction.
fn rim(lo: Spot, hi: Spot) -> Vec<(Spot, Spot)> {
    let flat = (0..3)
        .min_by(|a, b| (hi[*a] - lo[*a]).total_cmp(&(hi[*b] - lo[*b])))
        .unwrap_or(0);
    let others: Vec<usize> = (0..3).filter(|k| *k != flat).collect();
    let corner = |u: bool, v: bool| {
        let mut p = lo;
        if u {
            p[others[0]] = hi[others[0]];
        }
        if v {
            p[others[1]] = hi[others[1]];
        }
        p
    };
    let round = [
        corner(false, false),
        corner(true, false),
        corner(true, true),
        corner(false, true),
    ];
    (0..4).map(|k| (round[k], round[(k + 1) % 4])).collect()
}

/// A spot of a part that is seen, on its largest face that is, clear of other labels.
fn label_spot(view: &View, part: &Part, shift: Spot, factor: f64, taken: &[Rect]) -> Spot {
    let (lo, hi) = corners(&part.core);
    let extent = |i: usize| hi[i] - lo[i];
    let mut faces = [Edge::Front, Edge::Right, Edge::Top];
    let area = |edge: Edge| {
        let i = edge.axis().index();
        (0..3).filter(|k| *k != i).map(extent).product::<f64>()
    };
    faces.sort_by(|a, b| area(*b).total_cmp(&area(*a)));
    let spots = faces.iter().flat_map(|edge| {
        [0.5, 0.35, 0.65, 0.2, 0.8]
            .into_iter()
            .flat_map(move |s| [0.5, 0.25, 0.75].into_iter().map(move |t| (edge, s, t)))
    });
    let spot = |edge: Edge, s: f64, t: f64| {
        let i = edge.axis().index();
        let mut p = [0.0; 3];
        for (k, share) in (0..3).filter(|k| *k != i).zip([s, t]) {
            p[k] = lo[k] + extent(k) * share + shift[k];
        }
        p[i] = if edge.is_high() { hi[i] } else { lo[i] } + shift[i];
        p
    };
    let free = |p: &Spot| {
        let (u, v) = Camera::Corner.project(*p).0;
        let at = (u * factor, -v * factor);
        !taken
            .iter()
            .any(|r| r.overlaps(&Rect::of(at, at).grown(3.2)))
    };
    let all: Vec<Spot> = spots.map(|(edge, s, t)| spot(*edge, s, t)).collect();
    all.iter()
        .find(|p| view.sees(**p) && free(p))
        .or_else(|| all.iter().find(|p| free(p)))
        .or(all.first())
        .copied()
        .unwrap_or([0.0; 3])
}

/// The time of a stage against the glue's open time, both in seconds.
pub fn time_bar(spread: u32, assemble: u32, open: u32) -> Scene {
    let wide = 158.0;
    let all = f64::from(open.max(spread + assemble)).max(1.0);
    let x = |s: u32| 2.0 + f64::from(s) / all * wide;
    let mut scene = Scene::new(wide + 6.0, 20.0, "Time from first glue to clamps");
    let (y0, y1) = (7.0, 13.0);
    let rect = |a: u32, b: u32| Rect::of((x(a), y0), (x(b), y1));
    let label = |scene: &mut Scene, a: u32, b: u32, options: &[String], bold: bool, red: bool| {
        let room = x(b) - x(a) - 1.0;
        let middle = (x(a) + x(b)) / 2.0;
        let fits = options
            .iter()
            .map(|w| {
                Text::new((middle, y0 + 4.2), w.as_str())
                    .middle()
                    .bold_if(bold)
                    .red_if(red)
                    .halo()
            })
            .find(|t| t.width() <= room);
        if let Some(text) = fits {
            scene.text(text);
        }
    };
    let done = spread + assemble;
    hatch::slope(&mut scene, &Region::rect(rect(0, spread)), 1.3, Pen::HATCH);
    for (a, b) in [(0, spread), (spread, done), (done, open.max(done))] {
        scene.rect(rect(a, b), Pen::MEDIUM);
    }
    let time = |s: u32| minutes(s);
    label(
        &mut scene,
        0,
        spread,
        &[format!("spread {}", time(spread)), "spread".into()],
        false,
        false,
    );
    label(
        &mut scene,
        spread,
        done,
        &[
            format!("bring together {}", time(assemble)),
            "bring together".into(),
            time(assemble),
        ],
        false,
        false,
    );
    if open >= done {
        let spare = time(open - done);
        label(
            &mut scene,
            done,
            open,
            &[format!("{spare} to spare"), spare],
            true,
            false,
        );
    }
    scene.text(Text::new((x(0), y0 - 1.6), "first glue"));
    scene.line((x(open), y0 - 2.4), (x(open), y1 + 1.0), Pen::THICK.red());
    scene.text(
        Text::new((x(open), y0 - 3.2), format!("{}, glue closes", time(open)))
            .bold()
            .red()
            .end(),
    );
    // A stroke a minute, or every five where there are many; figures where they have room.
    let step = if open > 1800 { 300 } else { 60 };
    let mut last = f64::NEG_INFINITY;
    for t in (0..=open.max(done)).step_by(step) {
        scene.line((x(t), y1), (x(t), y1 + 1.2), Pen::MEDIUM);
        if x(t) - last > 9.0 {
            let text = Text::new((x(t), y1 + 4.8), (t / 60).to_string()).middle();
            scene.text(text);
            last = x(t);
        }
    }
    scene
}

/// `2 min`, `2.5 min`, `40 s`.
pub fn minutes(seconds: u32) -> String {
    if seconds < 60 {
        return format!("{seconds} s");
    }
    let tenths = seconds.div_ceil(6);
    if tenths.is_multiple_of(10) {
        format!("{} min", tenths / 10)
    } else {
        format!("{}.{} min", tenths / 10, tenths % 10)
    }
}

/// The frame with its diagonals, their length, and where clamps press.
pub fn diagonals(
    piece: &Piece,
    stage: &Stage,
    diagonal: &Diagonal,
    units: Units,
    marks: Marks,
) -> Scene {
    let mut scene = Scene::new(0.0, 0.0, "Both diagonals of the frame");
    let (u, v) = (diagonal.axes.0.index(), diagonal.axes.1.index());
    let seen = seen_boxes(piece);
    let (w, h) = (diagonal.wide.to_f64_mm(), diagonal.high.to_f64_mm());
    let from = [diagonal.from.0.to_f64_mm(), diagonal.from.1.to_f64_mm()];
    let lies_within = |b: &Box3| {
        let (lo, hi) = corners(b);
        let ends = [(u, from[0], w), (v, from[1], h)];
        ends.into_iter()
            .all(|(i, from, long)| lo[i] >= from - 0.01 && hi[i] <= from + long + 0.01)
    };
    // The ring over what it holds; what reaches past it is left out.
    let of_ring = |id: &PartId| diagonal.parts.contains(id);
    let mut boxes: Vec<(PartId, Box3)> = stage
        .body
        .iter()
        .filter_map(|id| Some((*id, *seen.get(id.0 as usize)?)))
        .filter(|(id, b)| of_ring(id) || lies_within(b))
        .collect();
    boxes.sort_by_key(|(id, _)| of_ring(id));
    let factor = (66.0 / w).min(44.0 / h);
    let at = |p: [f64; 2]| ((p[0] - from[0]) * factor, -(p[1] - from[1]) * factor);
    let through = diagonal.axes.0.third(diagonal.axes.1);
    for (id, b) in &boxes {
        // What lies in the plane of the frame (a back) would hide all else.
        if !of_ring(id)
            && b.extent(through) * 4 < b.extent(diagonal.axes.0).min(b.extent(diagonal.axes.1))
        {
            continue;
        }
        let (lo, hi) = corners(b);
        let rect = Rect::of(at([lo[u], lo[v]]), at([hi[u], hi[v]]));
        scene.rect(rect, Pen::MEDIUM.white());
    }
    let frame = Rect::of((0.0, 0.0), (w * factor, -h * factor));
    scene.rect(frame, Pen::THICK);
    let [a, b, c, d] = frame.corners();
    for (from, to) in [(a, c), (b, d)] {
        scene.line(from, to, Pen::MEDIUM.red().centre());
    }
    for corner in [a, b, c, d] {
        mark::ring(&mut scene, corner);
    }
    let figure = units.figure(diagonal.long.round_to(units.step()));
    let label = |x: f64, y: f64| {
        Text::new((x, y), Content::new().figure(&figure, false))
            .size(TextSize::T3)
            .bold()
            .middle()
            .halo()
    };
    clamps(&mut scene, piece, stage, diagonal, &frame, &at);
    let mut told: Vec<Rect> = Vec::new();
    for (id, b) in boxes.iter().rev() {
        let Some((number, _)) = marks(*id) else {
            continue;
        };
        let (lo, hi) = corners(b);
        let (x, y) = at([(lo[u] + hi[u]) / 2.0, (lo[v] + hi[v]) / 2.0]);
        // Members at the rim are told outside it, those within on themselves.
        let out = 5.2;
        let centre = if (x - frame.x0).abs() < 3.0 {
            (frame.x0 - out - 4.6, y)
        } else if (frame.x1 - x).abs() < 3.0 {
            (frame.x1 + out + 4.6, y)
        } else if (y - frame.y0).abs() < 3.0 {
            (x, frame.y0 - out)
        } else if (frame.y1 - y).abs() < 3.0 {
            (x, frame.y1 + out)
        } else {
            (x, y)
        };
        let rect = Rect::of(centre, centre).grown(2.8);
        if !told.iter().any(|r| r.overlaps(&rect)) {
            told.push(rect);
            mark::balloon(&mut scene, centre, number);
        }
    }
    // A figure for each diagonal, on it and off the numbers; where there is no room, at its upper end.
    let (x, y) = frame.middle();
    let (w, h) = (frame.width(), frame.height());
    let on = |t: f64| [-1.0, 1.0].map(|side| label(x + side * w * t, y + h * t + 1.8));
    let clear = |pair: &[Text; 2]| {
        let [a, b] = [pair[0].ink(), pair[1].ink()];
        let free = |ink: &Rect| !told.iter().any(|r| r.overlaps(ink));
        !a.grown(1.0).overlaps(&b) && free(&a) && free(&b)
    };
    let mut spots = [0.24, 0.28, 0.2, 0.32, 0.16, 0.36].into_iter().map(on);
    let texts = spots.find(clear).unwrap_or_else(|| {
        let wide = label(0.0, 0.0).width();
        let off = w / 2.0 + wide / 2.0 + 1.6;
        [x - off, x + off].map(|x| label(x, frame.y0 - 1.8))
    });
    for text in texts {
        scene.text(text);
    }
    scene.fitted(0.6)
}

/// Arrows where clamps press on the frame's plane.
fn clamps(
    scene: &mut Scene,
    piece: &Piece,
    stage: &Stage,
    diagonal: &Diagonal,
    frame: &Rect,
    at: &dyn Fn([f64; 2]) -> Point,
) {
    let (u, v) = (diagonal.axes.0.index(), diagonal.axes.1.index());
    let mut done: Vec<Point> = Vec::new();
    let closing = stage
        .moves
        .iter()
        .filter_map(|m| Some((m.way?.axis(), m)))
        .flat_map(|(axis, m)| m.joints.iter().map(move |id| (axis, id)));
    for (axis, joint) in closing
        .map(|(axis, id)| (axis, piece.joint(*id)))
        .filter(|(_, j)| j.glued)
    {
        let (lo, hi) = corners(&joint.contact);
        let (x, y) = at([(lo[u] + hi[u]) / 2.0, (lo[v] + hi[v]) / 2.0]);
        let level = axis == diagonal.axes.0;
        let upright = axis == diagonal.axes.1;
        let (tips, from): (Vec<Point>, f64) = if level {
            (vec![(frame.x0, y), (frame.x1, y)], 6.0)
        } else if upright {
            (vec![(x, frame.y0), (x, frame.y1)], 6.0)
        } else {
            continue;
        };
        for (k, tip) in tips.into_iter().enumerate() {
            if done
                .iter()
                .any(|p| (p.0 - tip.0).abs() < 0.5 && (p.1 - tip.1).abs() < 0.5)
            {
                continue;
            }
            done.push(tip);
            let back = if k == 0 { -from } else { from };
            let start = if level {
                (tip.0 + back, tip.1)
            } else {
                (tip.0, tip.1 + back)
            };
            scene.line(start, tip, Pen::MEDIUM);
            mark::arrow(scene, start, tip);
        }
    }
}
