//! Front view and section A-A on one ground line, plan and side view: the dimensioned drawings of a
//! piece.

use super::dimension::{Beyond, Chain, Stop, Way};
use super::frame::{Frame, Scale};
use super::joint::Detail;
use super::mark;
use super::piece_view::{
    blocks, draw_cut, draw_edges, envelope, faces, fitted, heights_at, labels, panels, places,
    row_step, stops, thing_columns, thing_rows, width_rows, within,
};
use super::region::steps;
use super::scene::{Pen, Point, Scene, Shape, Text};
use super::shape_lines::shape_lines;
use super::solid::{Block, corners, plane_axes};
use super::text::Content;
use super::view::{Camera, Sight, View};
use crate::measure::Length;
use crate::model::{Axis, Box3, CutKind, Edge, HardwareKind, Leaf, Model, Piece, Role, Solid};

/// The measure that every drawing keeps within, on A4 as on Letter.
pub const MEASURE: f64 = 175.0;
/// The height that a drawing may take on a Letter page beside head and strip.
pub const HIGH: f64 = 196.0;

/// A drawing with its scale.
#[derive(Clone, Debug)]
pub struct Drawn {
    /// What it shows.
    pub scene: Scene,
    /// Its scale.
    pub scale: Scale,
}

/// The largest scale at which a drawing fits the page; the smallest if none does.
pub fn largest(draw: impl Fn(Scale) -> Option<Scene>, high: f64) -> Option<Drawn> {
    let mut last = None;
    for scale in Scale::reductions() {
        let Some(scene) = draw(scale) else { continue };
        let fits = scene.width <= MEASURE && scene.height <= high;
        last = Some(Drawn { scene, scale });
        if fits {
            break;
        }
    }
    last
}

/// Front view and section, beside each other, or one above the other where that allows a larger
/// scale. Beside a long run, which is drawn small, the section has a larger scale of its own.
pub fn front_and_section(model: &Model, piece: &Piece, details: &[Detail]) -> Option<Drawn> {
    let plane = cutting_plane(piece);
    let front = |scale| {
        let mut front = front(model, piece, scale, Some(plane));
        rings(&mut front, piece, scale, details, Axis::Y);
        front
    };
    let section = |scale, own| {
        let mut section = section(model, piece, scale, plane, own);
        rings(&mut section, piece, scale, details, Axis::X);
        section
    };
    let alike = largest(
        |scale| {
            let (front, section) = (front(scale), section(scale, false));
            let beside = join(&front, &section, &piece.title, scale);
            if beside.width <= MEASURE {
                return Some(beside);
            }
            Some(stack(&front, &section, &piece.title, scale))
        },
        HIGH,
    )?;
    let larger =
        Scale::reductions().filter(|s| s.wood >= LEGIBLE && s.wood * 2 <= alike.scale.wood);
    for scale in larger {
        let (front, section) = (front(alike.scale), section(scale, true));
        for scene in [
            join(&front, &section, &piece.title, alike.scale),
            stack(&front, &section, &piece.title, alike.scale),
        ] {
            if scene.width <= MEASURE && scene.height <= HIGH {
                let scale = alike.scale;
                return Some(Drawn { scene, scale });
            }
        }
    }
    Some(alike)
}

/// A section is drawn no smaller than 1 : 10, if there is room: then a sheet is 1.8 mm thick on paper.
const LEGIBLE: u32 = 10;

/// Rings round the places of details, each with its letter toward the middle of the drawing.
fn rings(scene: &mut Scene, piece: &Piece, scale: Scale, details: &[Detail], normal: Axis) {
    let frame = Frame::new(scale);
    let env = envelope(piece);
    let (u, v) = plane_axes(normal);
    let middle = frame.at((mm(env.middle(Axis::ALL[u])), mm(env.middle(Axis::ALL[v]))));
    for detail in details.iter().filter(|d| d.normal == normal) {
        let at = frame.at((detail.spot[u], detail.spot[v]));
        let (dx, dy) = (
            if at.0 <= middle.0 { 1.0 } else { -1.0 },
            if at.1 <= middle.1 { 1.0 } else { -1.0 },
        );
        // The nearest free place for the letter.
        let place = [
            (5.2, 4.6),
            (7.4, 7.6),
            (4.4, 8.6),
            (10.0, 4.6),
            (5.2, -4.6),
            (11.0, 9.0),
        ]
        .into_iter()
        .map(|(x, y)| {
            Text::new(
                (at.0 + dx * x, at.1 + dy * y + 1.25),
                detail.letter.as_str(),
            )
            .bold()
            .middle()
            .halo()
        })
        .find(|text| {
            let ink = text.ink().grown(0.5);
            !scene.shapes.iter().any(|shape| match shape {
                Shape::Text(other) => other.ink().overlaps(&ink),
                Shape::Circle { .. } => shape.extent().is_some_and(|e| e.overlaps(&ink)),
                Shape::Path { .. } => false,
            })
        });
        scene.circle(at, 3.2, Pen::THIN);
        if let Some(text) = place {
            let ink = text.ink();
            let end = (
                (ink.x0 + ink.x1) / 2.0 - dx * 1.9,
                (ink.y0 + ink.y1) / 2.0 - dy * 1.2,
            );
            let (ex, ey) = (end.0 - at.0, end.1 - at.1);
            let long = (ex * ex + ey * ey).sqrt().max(1e-6);
            scene.line(
                (at.0 + ex / long * 3.2, at.1 + ey / long * 3.2),
                end,
                Pen::THIN,
            );
            scene.text(text);
        }
    }
}

/// Plan and side view; the plan has the rings of the details that are cut level.
pub fn plan_and_side(piece: &Piece, details: &[Detail]) -> Option<Drawn> {
    largest(
        |scale| {
            let mut plan = outside(piece, scale, Camera::Above);
            rings(&mut plan, piece, scale, details, Axis::Z);
            let side = outside(piece, scale, Camera::Right);
            let beside = join(&plan, &side, &piece.title, scale);
            if beside.width <= MEASURE {
                return Some(beside);
            }
            Some(stack(&plan, &side, &piece.title, scale))
        },
        HIGH,
    )
}

fn join(left: &Scene, right: &Scene, title: &str, scale: Scale) -> Scene {
    let mut out = Scene::new(0.0, 0.0, named(title, left, right, scale));
    out.place(left, (0.0, 0.0));
    if let (Some(a), Some(b)) = (left.extent(), right.extent()) {
        out.place(right, (a.x1 - b.x0 + 0.9, 0.0));
    }
    out.fitted(0.1)
}

fn stack(upper: &Scene, lower: &Scene, title: &str, scale: Scale) -> Scene {
    let mut out = Scene::new(0.0, 0.0, named(title, upper, lower, scale));
    out.place(upper, (0.0, 0.0));
    if let (Some(a), Some(b)) = (upper.extent(), lower.extent()) {
        out.place(lower, (a.x0 - b.x0, a.y1 - b.y0 + 5.0));
    }
    out.fitted(0.1)
}

fn named(title: &str, a: &Scene, b: &Scene, scale: Scale) -> String {
    format!("{title}: {}, {}, at {}", a.title, b.title, scale.text())
}

/// Where section A-A is cut: through as many openings as possible, never along a panel, and in the
/// widest space of those.
pub fn cutting_plane(piece: &Piece) -> Length {
    let env = envelope(piece);
    let mut edges = vec![env.lo[0], env.hi[0]];
    edges.extend(faces(
        piece
            .parts
            .iter()
            .filter(|p| super::piece_view::thickness(p) == Axis::X)
            .map(|p| &p.finished),
        Axis::X,
    ));
    let leaves: Vec<Box3> = piece
        .leaves
        .iter()
        .map(|leaf| piece.leaf_box(leaf))
        .collect();
    edges.extend(faces(leaves.iter(), Axis::X));
    let edges = places(
        edges
            .into_iter()
            .filter(|x| *x >= env.lo[0] && *x <= env.hi[0]),
    );
    let mut best: Option<(usize, Length, Length)> = None;
    for pair in edges.windows(2) {
        // Off the middle, so that it misses pulls and meeting fronts.
        let wide = pair[1] - pair[0];
        let x = pair[0] + wide * 7 / 10;
        let crosses = piece
            .openings
            .iter()
            .filter(|o| !o.divided && within(&o.clear, Axis::X, x))
            .count();
        let solid = piece.parts.iter().any(|part| {
            super::piece_view::thickness(part) == Axis::X
                && part.role != Role::Band
                && within(&part.core, Axis::X, x)
        });
        if solid && piece.parts.len() > 1 {
            continue;
        }
        if best.is_none_or(|(n, w, _)| (crosses, wide) > (n, w)) {
            best = Some((crosses, wide, x));
        }
    }
    best.map_or(env.middle(Axis::X), |(_, _, x)| x)
}

fn mm(length: Length) -> f64 {
    length.to_f64_mm()
}

/// A title under a view, centred on it.
fn caption(scene: &mut Scene, middle: f64, below: f64, words: &str) {
    scene.text(Text::new((middle, below + 5.5), words).italic().middle());
}

/// The front view; the ground line is y = 0.
pub fn front(model: &Model, piece: &Piece, scale: Scale, plane: Option<Length>) -> Scene {
    let mut scene = Scene::new(0.0, 0.0, "front view");
    let frame = Frame::new(scale);
    let units = piece.units;
    let all = blocks(piece);
    let view = View::new(Camera::Front, &all);
    let edges = view.edges();
    let Some(bounds) = view.bounds() else {
        return scene;
    };
    let env = envelope(piece);
    let (left, right) = (frame.x(bounds.x0), frame.x(bounds.x1));
    let (top, foot) = (frame.y(bounds.y1), frame.y(bounds.y0));
    scene.line((left - 1.5, foot), (right + 0.6, foot), Pen::THIN);
    draw_edges(&mut scene, &frame, &edges, |i| {
        all.get(i).is_some_and(|b| shows_hidden(b))
    });
    shape_lines(&mut scene, &frame, &view, piece);
    for leaf in &piece.leaves {
        swing(&mut scene, &frame, piece, leaf);
    }
    for leaf in &piece.leaves {
        pulls(&mut scene, &frame, model, piece, leaf);
    }
    if let Some(x) = plane {
        let x = frame.x(mm(x));
        scene.line((x, top - 3.0), (x, foot + 2.4), Pen::THIN.centre());
    }
    // Widths below, clear of the plane's letter, the outside size in the row beyond.
    let mut row = foot + 11.5;
    let mut things = thing_rows(piece).into_iter();
    let beside = things.next().filter(|row| row.len() > 2);
    // Of a long run, drawn small, the panels of each case would leave no room for their figures.
    let bare = beside.is_some() && scale.wood > LEGIBLE;
    for places in width_rows(piece) {
        if places.len() > 2 && !bare {
            Chain {
                stops: stops(&places, |u| frame.x(u), foot),
                labels: labels(units, &places),
                ..Chain::new(Way::Level, row, Beyond::More)
            }
            .draw(&mut scene);
            row += row_step(units);
        }
    }
    let (x0, x1) = (env.lo[0], env.hi[0]);
    // What stands beside each other; what stands on it, above.
    if let Some(places) = &beside {
        Chain {
            stops: stops(places, |u| frame.x(u), foot),
            labels: labels(units, places),
            ..Chain::new(Way::Level, row, Beyond::More)
        }
        .draw(&mut scene);
        row += row_step(units);
    }
    Chain::overall(
        Way::Level,
        row,
        Beyond::More,
        Stop::new(frame.x(mm(x0)), foot),
        Stop::new(frame.x(mm(x1)), foot),
        Content::new().length(units, x1 - x0),
    )
    .draw(&mut scene);
    // What stands proud, above.
    let upper = things.next().unwrap_or_default();
    let proud = places(
        [piece.overall.lo[0], x0, x1, piece.overall.hi[0]]
            .into_iter()
            .chain(upper),
    );
    if proud.len() > 2 {
        Chain {
            stops: stops(&proud, |u| frame.x(u), top),
            labels: labels(units, &proud),
            ..Chain::new(Way::Level, top - 10.0, Beyond::Less)
        }
        .draw(&mut scene);
    }
    // Fronts at the left; at the right those of another column.
    let columns = match bare {
        true => Vec::new(),
        false => front_columns(piece, plane),
    };
    if let Some(first) = columns.first() {
        Chain {
            stops: stops(first, |v| frame.y(v), left),
            labels: labels(units, first),
            ..Chain::new(Way::Upright, left - 4.1, Beyond::Less)
        }
        .draw(&mut scene);
    }
    // Cases, worktop and kick, further out.
    let mut column = match columns.is_empty() {
        true => left - 4.1,
        false => left - 4.1 - row_step(units) - 1.0,
    };
    for places in thing_columns(piece).iter().take(2) {
        if columns.first() == Some(places) {
            continue;
        }
        Chain {
            stops: stops(places, |v| frame.y(v), left),
            labels: labels(units, places),
            ..Chain::new(Way::Upright, column, Beyond::Less)
        }
        .draw(&mut scene);
        column -= row_step(units) + 1.0;
    }
    if let Some(last) = columns.get(1) {
        Chain {
            stops: stops(last, |v| frame.y(v), right),
            labels: labels(units, last),
            ..Chain::new(Way::Upright, right + 6.5, Beyond::More)
        }
        .draw(&mut scene);
    }
    if let Some(x) = plane {
        let x = frame.x(mm(x));
        mark::plane(&mut scene, (x, top - 2.6), false, "A");
        mark::plane(&mut scene, (x, foot + 2.2), true, "A");
    }
    caption(&mut scene, (left + right) / 2.0, row + 0.5, "Front view");
    scene
}

/// Panels whose edges are drawn where a front hides them.
fn shows_hidden(block: &Block) -> bool {
    matches!(
        block.part.role,
        Role::Side | Role::Bottom | Role::Top | Role::Lid | Role::Shelf | Role::Divider
    )
}

/// Rows of heights for the front view, first the one at the left: of fronts where there are any,
/// else of openings that the section does not show; at most two.
fn front_columns(piece: &Piece, plane: Option<Length>) -> Vec<Vec<Length>> {
    let env = envelope(piece);
    let fronts: Vec<Box3> = piece
        .leaves
        .iter()
        .map(|leaf| piece.leaf_box(leaf))
        .collect();
    let mut rows: Vec<Vec<Length>> = Vec::new();
    let mut middles: Vec<Length> = fronts.iter().map(|b| b.middle(Axis::X)).collect();
    middles.sort();
    middles.dedup();
    // The middle of a wide front may fall into the gap of a pair below it: that is no column.
    let in_gap = |x: Length| {
        fronts.iter().any(|l| {
            fronts.iter().any(|r| {
                l.hi[0] <= x
                    && x <= r.lo[0]
                    && r.lo[0] - l.hi[0] <= Length::mm(10)
                    && l.lo[2] < r.hi[2]
                    && r.lo[2] < l.hi[2]
            })
        })
    };
    middles.retain(|x| !in_gap(*x));
    for x in &middles {
        let boxes: Vec<&Box3> = fronts.iter().filter(|b| within(b, Axis::X, *x)).collect();
        // Panels that no front of the column covers are seen, and count too.
        let bare = panels(piece, Axis::Z).map(|p| &p.finished).filter(|p| {
            within(p, Axis::X, *x) && !boxes.iter().any(|b| b.lo[2] < p.hi[2] && p.lo[2] < b.hi[2])
        });
        let row =
            places(faces(boxes.iter().copied().chain(bare), Axis::Z).chain([env.lo[2], env.hi[2]]));
        rows.push(row);
    }
    // A row that says nothing that another does not say is left out.
    let all = rows.clone();
    let mut n = 0;
    rows.retain(|row| {
        n += 1;
        !all.iter().enumerate().any(|(i, other)| {
            i + 1 != n
                && row.iter().all(|z| other.contains(z))
                && (other.len() > row.len() || i + 1 < n)
        })
    });
    if rows.is_empty() {
        let shown = plane.map(|x| heights_at(piece, x));
        for places in width_rows(piece) {
            for pair in places.windows(2) {
                let row = heights_at(piece, (pair[0] + pair[1]).half());
                if row.len() > 2 && Some(&row) != shown.as_ref() && !rows.contains(&row) {
                    rows.push(row);
                }
            }
        }
    }
    match rows.len() {
        0..=2 => rows,
        n => {
            let last = rows.swap_remove(n - 1);
            rows.truncate(1);
            rows.push(last);
            rows
        }
    }
}

/// The swing of a door or flap: from the corners of its free edge to the middle of the hung one.
fn swing(scene: &mut Scene, frame: &Frame, piece: &Piece, leaf: &Leaf) {
    if !leaf.kind.turns() {
        return;
    }
    let b = &piece.leaf_box(leaf);
    let (lo, hi) = corners(b);
    let inset = 1.2 / frame.factor;
    let (x0, x1, z0, z1) = (lo[0] + inset, hi[0] - inset, lo[2] + inset, hi[2] - inset);
    let (mx, mz) = ((x0 + x1) / 2.0, (z0 + z1) / 2.0);
    let points: [Point; 3] = match leaf.hung {
        Some(Edge::Left) => [(x1, z1), (x0, mz), (x1, z0)],
        Some(Edge::Right) => [(x0, z1), (x1, mz), (x0, z0)],
        Some(Edge::Bottom) => [(x0, z1), (mx, z0), (x1, z1)],
        Some(Edge::Top) => [(x0, z0), (mx, z1), (x1, z0)],
        _ => return,
    };
    scene.polyline(&points.map(|p| frame.at(p)), Pen::THIN.swing());
}

/// Pulls: a ring with its centre lines; a handle with two screws also its bar.
fn pulls(scene: &mut Scene, frame: &Frame, model: &Model, piece: &Piece, leaf: &Leaf) {
    let (lo, _) = corners(&piece.leaf_box(leaf));
    for pull in &leaf.pulls {
        let at = frame.at((lo[0] + mm(pull.from_left), lo[2] + mm(pull.from_bottom)));
        let centres = model
            .hardware
            .get(pull.hardware.0 as usize)
            .and_then(|h| match &h.kind {
                HardwareKind::Pull { centres, .. } => *centres,
                _ => None,
            });
        let cross = |scene: &mut Scene, (x, y): Point| {
            scene.circle((x, y), 1.1, Pen::MEDIUM.white());
            scene.lines(
                &[((x - 2.0, y), (x + 2.0, y)), ((x, y - 2.0), (x, y + 2.0))],
                Pen::HATCH,
            );
        };
        match centres {
            Some(apart) => {
                let half = mm(apart) / 2.0 * frame.factor;
                scene.line((at.0 - half, at.1), (at.0 + half, at.1), Pen::MEDIUM);
                cross(scene, (at.0 - half, at.1));
                cross(scene, (at.0 + half, at.1));
            }
            None => cross(scene, at),
        }
    }
}

/// Section A-A seen from the right: front at the left; the ground line is y = 0.
///
/// `own`: its scale is another than that of the sheet, and stands below it.
pub fn section(model: &Model, piece: &Piece, scale: Scale, plane: Length, own: bool) -> Scene {
    let mut scene = Scene::new(0.0, 0.0, "section A\u{2013}A");
    let frame = Frame::new(scale);
    let units = piece.units;
    let env = envelope(piece);
    let at = mm(plane);
    let all = blocks(piece);
    let behind: Vec<Block> = all
        .iter()
        .filter(|b| b.size.hi[0] <= plane)
        .copied()
        .collect();
    let cut: Vec<(&Block, super::region::Region)> = all
        .iter()
        .filter_map(|b| Some((b, b.section(Axis::X, at)?)))
        .collect();
    let mut view = View::new(Camera::Right, &behind);
    for (_, region) in &cut {
        view.cover(region, -at - 1.0);
    }
    let Some(bounds) = view.bounds() else {
        return scene;
    };
    let (left, right) = (frame.x(bounds.x0), frame.x(bounds.x1));
    let (top, foot) = (frame.y(bounds.y1), frame.y(bounds.y0));
    scene.line((left - 1.5, foot), (right + 0.6, foot), Pen::THIN);
    let seen: Vec<_> = view
        .edges()
        .iter()
        .filter(|e| e.sight != Sight::BehindFront)
        .map(|e| frame.line(e.line))
        .collect();
    scene.path(steps(&seen), Pen::THIN);
    holes(&mut scene, &frame, &view, &behind);
    for (block, region) in &cut {
        let paper = frame.region(region);
        draw_cut(
            &mut scene,
            model,
            block.part,
            &paper,
            &frame,
            (Axis::Y, Axis::Z),
        );
    }
    // Heights at the left, the whole at the right.
    let heights = heights_at(piece, plane);
    if heights.len() > 2 {
        Chain {
            stops: stops(&heights, |v| frame.y(v), left),
            labels: labels(units, &heights),
            ..Chain::new(Way::Upright, left - 4.1, Beyond::Less)
        }
        .draw(&mut scene);
    }
    let over = |lo: Length, hi: Length, row: f64| {
        Chain::overall(
            Way::Upright,
            row,
            Beyond::More,
            Stop::new(frame.y(mm(lo)), right),
            Stop::new(frame.y(mm(hi)), right),
            Content::new().length(units, hi - lo),
        )
    };
    over(env.lo[2], env.hi[2], right + 5.0).draw(&mut scene);
    if piece.overall.extent(Axis::Z) != env.extent(Axis::Z) {
        over(piece.overall.lo[2], piece.overall.hi[2], right + 12.0).draw(&mut scene);
    }
    // Depths below.
    let mut row = foot + 11.5;
    let depths = depths_at(piece, plane);
    if depths.len() > 2 {
        Chain {
            stops: stops(&depths, |u| frame.x(u), foot),
            labels: labels(units, &depths),
            ..Chain::new(Way::Level, row, Beyond::More)
        }
        .draw(&mut scene);
        row += row_step(units);
    }
    let mut whole = |lo: Length, hi: Length| {
        Chain::overall(
            Way::Level,
            row,
            Beyond::More,
            Stop::new(frame.x(mm(lo)), foot),
            Stop::new(frame.x(mm(hi)), foot),
            Content::new().length(units, hi - lo),
        )
        .draw(&mut scene);
        row += row_step(units);
    };
    whole(env.lo[1], env.hi[1]);
    if piece.overall.extent(Axis::Y) != env.extent(Axis::Y) {
        whole(piece.overall.lo[1], piece.overall.hi[1]);
    }
    // What stands proud of the case in front, above.
    if let Some(lid) = panels(piece, Axis::Z)
        .map(|p| &p.finished)
        .filter(|b| within(b, Axis::X, plane))
        .max_by_key(|b| b.hi[2])
    {
        let proud = places([lid.lo[1], env.lo[1], env.hi[1], lid.hi[1]]);
        if lid.lo[1] < env.lo[1] || lid.hi[1] > env.hi[1] {
            Chain {
                stops: stops(&proud, |u| frame.x(u), top),
                labels: labels(units, &proud),
                ..Chain::new(Way::Level, top - 10.0, Beyond::Less)
            }
            .draw(&mut scene);
        }
    }
    set_backs(&mut scene, &frame, piece, plane);
    caption(
        &mut scene,
        (left + right) / 2.0,
        row - row_step(units) + 0.5,
        &match own {
            true => format!("Section A\u{2013}A, {}", scale.text()),
            false => "Section A\u{2013}A".to_owned(),
        },
    );
    scene
}

/// Depths at the cutting plane: fronts, front boards and back, at the middle of the tallest opening
/// that it crosses.
fn depths_at(piece: &Piece, x: Length) -> Vec<Length> {
    let env = envelope(piece);
    let z = piece
        .openings
        .iter()
        .filter(|o| !o.divided && within(&o.clear, Axis::X, x))
        .map(|o| &o.clear)
        .max_by_key(|b| b.extent(Axis::Z))
        .map_or(env.middle(Axis::Z), |b| b.middle(Axis::Z));
    let fronts = piece.leaves.iter().map(|leaf| piece.part(leaf.part));
    let boxes: Vec<&Box3> = panels(piece, Axis::Y)
        .chain(fronts)
        .map(|part| &part.finished)
        .filter(|b| within(b, Axis::X, x) && within(b, Axis::Z, z))
        .chain([&env])
        .collect();
    places(faces(boxes.into_iter(), Axis::Y))
}

/// How far a kick stands back, dimensioned where it stands.
fn set_backs(scene: &mut Scene, frame: &Frame, piece: &Piece, plane: Length) {
    let env = envelope(piece);
    let Some(kick) = piece
        .parts
        .iter()
        .find(|p| p.role == Role::Kick && within(&p.finished, Axis::X, plane))
    else {
        return;
    };
    let back = kick.finished.lo[1] - env.lo[1];
    if !back.is_positive() {
        return;
    }
    let y = frame.y(mm(kick.finished.middle(Axis::Z)));
    let (x0, x1) = (frame.x(mm(env.lo[1])), frame.x(mm(kick.finished.lo[1])));
    Chain {
        stops: vec![
            Stop {
                at: x0,
                outline: None,
            },
            Stop {
                at: x1,
                outline: None,
            },
        ],
        labels: vec![Content::new()],
        ..Chain::new(Way::Level, y, Beyond::More)
    }
    .draw(scene);
    let beyond = frame.x(mm(kick.finished.hi[1]));
    scene.text(
        Text::new(
            (beyond + 1.6, y + 1.25),
            Content::new().length(piece.units, back),
        )
        .halo(),
    );
}

/// Rows of holes in the faces that one looks at.
fn holes(scene: &mut Scene, frame: &Frame, view: &View, blocks: &[Block]) {
    for block in blocks {
        for cut in &block.part.cuts {
            if cut.kind != CutKind::PinHoles || block.part.lay.looks(cut.entry) != Edge::Right {
                continue;
            }
            for solid in &cut.solids {
                let Solid::Bore { diameter, .. } = solid else {
                    continue;
                };
                let b = block.part.to_piece(&solid.bounds());
                let spot = [mm(b.hi[0]), mm(b.middle(Axis::Y)), mm(b.middle(Axis::Z))];
                if view.sees(spot) {
                    let radius = (mm(diameter.half()) * frame.factor).max(0.28);
                    scene.circle(frame.at((spot[1], spot[2])), radius, Pen::THIN);
                }
            }
        }
    }
}

/// A view of the outside with its outside sizes: from above, or from the right.
pub fn outside(piece: &Piece, scale: Scale, camera: Camera) -> Scene {
    let (words, right_axis, up_axis) = match camera {
        Camera::Above => ("Plan", Axis::X, Axis::Y),
        Camera::Right => ("Side view", Axis::Y, Axis::Z),
        Camera::Front | Camera::Corner => ("Front view", Axis::X, Axis::Z),
    };
    let mut scene = Scene::new(0.0, 0.0, words.to_lowercase());
    let frame = Frame::new(scale);
    let units = piece.units;
    let env = envelope(piece);
    let all = blocks(piece);
    let view = View::new(camera, &all);
    let Some(bounds) = view.bounds() else {
        return scene;
    };
    let (left, right) = (frame.x(bounds.x0), frame.x(bounds.x1));
    let foot = frame.y(bounds.y0);
    if camera == Camera::Right {
        scene.line((left - 1.5, foot), (right + 0.6, foot), Pen::THIN);
    }
    draw_edges(&mut scene, &frame, &view.edges(), |_| false);
    shape_lines(&mut scene, &frame, &view, piece);
    let (i, j) = (right_axis.index(), up_axis.index());
    let (case, all_of_it) = (&env, &piece.overall);
    let mut level = vec![case.lo[i], case.hi[i], all_of_it.lo[i], all_of_it.hi[i]];
    if camera == Camera::Above {
        // The lengths of a worktop meet here.
        let tops = fitted(piece).filter(|part| part.role == Role::Worktop);
        level.extend(tops.flat_map(|top| [top.finished.lo[i], top.finished.hi[i]]));
    }
    let level = places(level);
    let mut row = foot + 9.5;
    if level.len() > 2 {
        Chain {
            stops: stops(&level, |u| frame.x(u), foot),
            labels: labels(units, &level),
            ..Chain::new(Way::Level, row, Beyond::More)
        }
        .draw(&mut scene);
        row += row_step(units);
    }
    if let (Some(a), Some(b)) = (level.first(), level.last()) {
        Chain::overall(
            Way::Level,
            row,
            Beyond::More,
            Stop::new(frame.x(mm(*a)), foot),
            Stop::new(frame.x(mm(*b)), foot),
            Content::new().length(units, *b - *a),
        )
        .draw(&mut scene);
    }
    let upright = places([case.lo[j], case.hi[j], all_of_it.lo[j], all_of_it.hi[j]]);
    let mut column = left - 5.0;
    if upright.len() > 2 {
        Chain {
            stops: stops(&upright, |v| frame.y(v), left),
            labels: labels(units, &upright),
            ..Chain::new(Way::Upright, column, Beyond::Less)
        }
        .draw(&mut scene);
        column -= row_step(units) + 1.0;
    }
    if let (Some(a), Some(b)) = (upright.first(), upright.last()) {
        Chain::overall(
            Way::Upright,
            column,
            Beyond::Less,
            Stop::new(frame.y(mm(*a)), left),
            Stop::new(frame.y(mm(*b)), left),
            Content::new().length(units, *b - *a),
        )
        .draw(&mut scene);
    }
    caption(&mut scene, (left + right) / 2.0, row + 0.5, words);
    scene
}
