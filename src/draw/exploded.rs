//! The exploded view: every part moved away from the middle of its piece in the direction in which
//! it comes off, seen from the corner, with the number of its group in a balloon.

use super::dimension::spread;
use super::frame::Frame;
use super::joint::mark_of;
use super::mark;
use super::piece_view::{blocks, draw_edges, envelope, thickness};
use super::scene::{Pen, Point, Scene};
use super::solid::{Block, Spot};
use super::view::{Camera, View, spot};
use crate::model::{AssemblyKind, Axis, Edge, LeafKind, Model, Part, PartRef, Piece, Role};
use std::collections::BTreeMap;

/// Balloons stand so far apart, and so far from the drawing.
const PITCH: f64 = 6.4;
const BESIDE: f64 = 9.0;

/// The view, as large as fits the paper; it is not to a usual scale.
pub fn exploded(model: &Model, piece_index: usize, room: (f64, f64)) -> Option<Scene> {
    let piece = model.pieces.get(piece_index)?;
    if piece.parts.len() < 2 {
        return None;
    }
    let mut all = blocks(piece);
    let shifts = shifts(piece);
    for block in &mut all {
        if let Some(shift) = shifts.get(&block.part.id.0) {
            block.shift = *shift;
        }
    }
    let view = View::new(Camera::Corner, &all);
    let bounds = view.bounds()?;
    let factor = ((room.0 - 2.0 * BESIDE - 12.0) / bounds.width().max(1.0))
        .min(room.1 / bounds.height().max(1.0))
        .max(0.001);
    let frame = Frame {
        factor,
        origin: (0.0, 0.0),
    };
    let mut scene = Scene::new(0.0, 0.0, format!("{}, exploded", piece.title));
    draw_edges(&mut scene, &frame, &view.edges(), |_| false);
    // One balloon a group, at the member that shows best.
    let mut anchors: BTreeMap<u32, (f64, Point)> = BTreeMap::new();
    // Strips of doors and drawer faces are drawn as one with them; each has its balloon all the same.
    let drawn: Vec<u32> = all.iter().map(|block| block.part.id.0).collect();
    let on_fronts = piece
        .parts
        .iter()
        .filter(|part| part.host.is_some() && !drawn.contains(&part.id.0))
        .map(|part| Block {
            part,
            size: part.finished,
            cuts: false,
            front: true,
            shift: part
                .host
                .and_then(|host| shifts.get(&host.0).copied())
                .unwrap_or([0.0; 3]),
        });
    let on_fronts: Vec<Block> = on_fronts.collect();
    for block in all.iter().chain(&on_fronts) {
        let at = PartRef {
            piece: piece_index as u32,
            part: block.part.id,
        };
        let Some(mark) = mark_of(model, at) else {
            continue;
        };
        let Some((score, place)) = anchor(&view, block) else {
            continue;
        };
        let place = frame.at(place);
        if anchors.get(&mark).is_none_or(|(had, _)| score > *had) {
            anchors.insert(mark, (score, place));
        }
    }
    let (x0, x1) = (frame.x(bounds.x0), frame.x(bounds.x1));
    let (top, foot) = (frame.y(bounds.y1), frame.y(bounds.y0));
    balloons(&mut scene, &anchors, (x0, x1), (top, foot));
    Some(scene.fitted(0.5))
}

/// How far each part is moved.
fn shifts(piece: &Piece) -> BTreeMap<u32, Spot> {
    let env = envelope(piece);
    let size = Axis::ALL.map(|axis| env.extent(axis).to_f64_mm());
    let gap = 0.20 * (size[0] + size[1] + size[2]) / 2.0;
    let middle = Axis::ALL.map(|axis| env.middle(axis));
    let mut out: BTreeMap<u32, Spot> = BTreeMap::new();
    for part in &piece.parts {
        if part.host.is_none() {
            out.insert(part.id.0, own_shift(piece, part, gap, &middle));
        }
    }
    // Strips go with what they cover, and a little off its edge.
    for part in &piece.parts {
        let Some(host) = part.host else { continue };
        let mut shift = out.get(&host.0).copied().unwrap_or([0.0; 3]);
        let host = piece.part(host);
        if let Some(band) = host.bands.iter().find(|b| b.strip == part.id) {
            let looks = host.lay.looks(band.side);
            let by = gap * 0.3;
            shift[looks.axis().index()] += if looks.is_high() { by } else { -by };
        }
        out.insert(part.id.0, shift);
    }
    out
}

fn own_shift(piece: &Piece, part: &Part, gap: f64, middle: &[crate::measure::Length; 3]) -> Spot {
    let kind = piece.assembly(part.assembly).kind;
    let mut shift = [0.0; 3];
    let leaf = piece.leaves.iter().find(|leaf| leaf.part == part.id);
    match (kind, leaf) {
        (_, Some(leaf)) if leaf.kind != LeafKind::OwnFront => {
            shift[1] = if leaf.drawer.is_some() {
                -gap * 3.0
            } else {
                -gap * 2.2
            };
        }
        (AssemblyKind::Drawer, _) => {
            shift[1] = -gap * 1.6;
            // The box itself comes apart a little.
            let axis = thickness(part);
            let whole = piece
                .drawers
                .iter()
                .find(|d| d.assembly == part.assembly)
                .map(|d| d.outside.middle(axis));
            if let Some(whole) = whole {
                let by = gap * 0.25;
                shift[axis.index()] += if part.core.middle(axis) < whole {
                    -by
                } else {
                    by
                };
            }
        }
        (AssemblyKind::Shelf, _) => shift[1] = -gap * 0.9,
        _ => {
            let axis = thickness(part);
            let looks: Option<Edge> = match part.role {
                Role::Side | Role::Top | Role::Lid | Role::Bottom | Role::Back | Role::Front => {
                    Some(if part.core.middle(axis) < middle[axis.index()] {
                        axis.low()
                    } else {
                        axis.high()
                    })
                }
                _ => None,
            };
            if let Some(looks) = looks {
                shift[looks.axis().index()] = if looks.is_high() { gap } else { -gap };
            } else if part.role == Role::Kick {
                shift = [0.0, -gap, -gap];
            } else if matches!(part.role, Role::Rail | Role::Stile) {
                shift[1] = -gap * 0.7;
            }
        }
    }
    shift
}

/// A place of a part that is seen, and how well: the share of its looked-at points that are.
fn anchor(view: &View, block: &Block) -> Option<(f64, Point)> {
    let (lo, hi) = block.corners();
    let mut seen: Vec<Spot> = Vec::new();
    let mut best: Option<(f64, Spot)> = None;
    for looks in Camera::Corner.sees() {
        let axis = looks.axis();
        let i = axis.index();
        let place = if looks.is_high() { hi[i] } else { lo[i] };
        let (u, v) = super::solid::plane_axes(axis);
        let area = (hi[u] - lo[u]) * (hi[v] - lo[v]);
        for a in 1..8 {
            for b in 1..8 {
                let (s, t) = (f64::from(a) / 8.0, f64::from(b) / 8.0);
                let p = spot(
                    axis,
                    place,
                    (lo[u] + (hi[u] - lo[u]) * s, lo[v] + (hi[v] - lo[v]) * t),
                );
                if !view.sees(p) {
                    continue;
                }
                seen.push(p);
                // Large faces and places near their middle are preferred.
                let off = (s - 0.5).abs() + (t - 0.5).abs();
                let score = area.sqrt() * (1.2 - off);
                if best.is_none_or(|(had, _)| score > had) {
                    best = Some((score, p));
                }
            }
        }
    }
    best.map(|(_, p)| (seen.len() as f64, Camera::Corner.project(p).0))
}

/// Balloons in a column at each side, in the order of what they point at.
fn balloons(
    scene: &mut Scene,
    anchors: &BTreeMap<u32, (f64, Point)>,
    (x0, x1): (f64, f64),
    (top, foot): (f64, f64),
) {
    let mut all: Vec<(u32, Point)> = anchors.iter().map(|(m, (_, p))| (*m, *p)).collect();
    // Half of them to each side, the leftmost to the left.
    all.sort_by(|a, b| a.1.0.total_cmp(&b.1.0).then(a.0.cmp(&b.0)));
    let right = all.split_off(all.len().div_ceil(2));
    for (mut side, x) in [(all, x0 - BESIDE), (right, x1 + BESIDE)] {
        side.sort_by(|a, b| a.1.1.total_cmp(&b.1.1).then(a.0.cmp(&b.0)));
        let wanted: Vec<f64> = side.iter().map(|(_, p)| p.1).collect();
        let places = spread(&wanted, PITCH, Some((top - 4.0, foot + 4.0)));
        for ((number, tip), y) in side.iter().zip(places) {
            scene.line((x, y), *tip, Pen::THIN);
            scene.circle(*tip, 0.5, Pen::BLACK);
            mark::balloon(scene, (x, y), *number);
        }
    }
}
