//! The exploded view: every part moved away from the middle of its piece in the direction in which
//! it comes off, seen from the corner, with the number of its group in a balloon. Of several cases made
//! alike the first is taken apart and the others stand closed beside it.

use super::dimension::spread;
use super::frame::Frame;
use super::joint::mark_of;
use super::mark;
use super::piece_view::{blocks, draw_edges, thickness};
use super::scene::{Pen, Point, Scene};
use super::solid::{Block, Spot};
use super::view::{Camera, View, spot};
use crate::model::{
    AssemblyKind, Axis, Box3, CaseBox, Edge, LeafKind, Model, Part, PartRef, Piece, Role,
};
use std::collections::{BTreeMap, BTreeSet};

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
    let shifts = shifts(model, piece_index, piece);
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

/// A case or something fitted, and how it is taken off the others.
struct Thing {
    size: Box3,
    /// Whether its parts are taken apart: of cases made alike only the first.
    open: bool,
    /// How far its parts come apart.
    gap: f64,
    /// How far the whole is moved.
    base: Spot,
}

impl Thing {
    /// The room that it takes beyond its box.
    fn room(&self) -> f64 {
        if self.open { self.gap } else { 0.0 }
    }
}

/// A fifth of the mean of the three extents, by half of their sum.
fn gap_of(size: &Box3) -> f64 {
    let extents = Axis::ALL.map(|axis| size.extent(axis).to_f64_mm());
    0.20 * (extents[0] + extents[1] + extents[2]) / 2.0
}

/// How far each part is moved.
fn shifts(model: &Model, piece_index: usize, piece: &Piece) -> BTreeMap<u32, Spot> {
    let cases = cases_apart(model, piece_index, piece);
    let mut out: BTreeMap<u32, Spot> = BTreeMap::new();
    for part in piece.parts.iter().filter(|part| part.host.is_none()) {
        let outer = piece.outer_case(part.assembly).and_then(|case| {
            let at = cases.iter().find(|(id, _)| *id == case.assembly.0)?;
            Some((case, &at.1))
        });
        let shift = match outer {
            Some((case, thing)) => in_case(piece, part, case, thing),
            None => fitted_shift(piece, part, &cases),
        };
        out.insert(part.id.0, shift);
    }
    // Strips go with what they cover, and a little off its edge.
    for part in &piece.parts {
        let Some(host) = part.host else { continue };
        let mut shift = out.get(&host.0).copied().unwrap_or([0.0; 3]);
        let host = piece.part(host);
        let thing = piece.outer_case(host.assembly).and_then(|case| {
            let at = cases.iter().find(|(id, _)| *id == case.assembly.0);
            at.map(|(_, thing)| thing)
        });
        let by = match thing {
            Some(thing) => thing.room() * 0.3,
            None => gap_of(&host.finished) * 0.3,
        };
        if let Some(band) = host.bands.iter().find(|b| b.strip == part.id) {
            let looks = host.lay.looks(band.side);
            shift[looks.axis().index()] += if looks.is_high() { by } else { -by };
        }
        out.insert(part.id.0, shift);
    }
    out
}

/// Every case that stands in no other, by its assembly, moved clear of what is at its left and below
/// it. A case whose parts all have their numbers at an earlier one stays closed.
fn cases_apart(model: &Model, piece_index: usize, piece: &Piece) -> Vec<(u32, Thing)> {
    let marks: BTreeMap<u32, u32> = model
        .groups
        .iter()
        .flat_map(|group| group.members.iter().map(|(at, _)| (*at, group.mark)))
        .filter(|(at, _)| at.piece as usize == piece_index)
        .map(|(at, mark)| (at.part.0, mark))
        .collect();
    let mut shown: BTreeSet<u32> = BTreeSet::new();
    let mut out: Vec<(u32, Thing)> = Vec::new();
    let mut cases: Vec<&CaseBox> = piece.outer_cases().collect();
    cases.sort_by_key(|case| (case.envelope.lo[0], case.envelope.lo[2]));
    for case in cases {
        let own = piece.parts.iter().filter(|part| {
            let of = piece.outer_case(part.assembly);
            of.is_some_and(|of| of.assembly == case.assembly)
        });
        let own: BTreeSet<u32> = own.filter_map(|p| marks.get(&p.id.0).copied()).collect();
        let mut thing = Thing {
            size: case.envelope,
            open: shown.is_empty() || !own.is_subset(&shown),
            gap: gap_of(&case.envelope),
            base: [0.0; 3],
        };
        shown.extend(own);
        for axis in [Axis::X, Axis::Z] {
            let i = axis.index();
            let before = out.iter().filter(|(_, other)| {
                let other = &other.size;
                let beside = axis == Axis::X
                    || other.lo[0] < thing.size.hi[0] && thing.size.lo[0] < other.hi[0];
                beside && other.hi[i] <= thing.size.lo[i]
            });
            let clear = before
                .map(|(_, other)| other.base[i] + other.room() + other.gap.min(thing.gap) * 0.45)
                .fold(None, |most: Option<f64>, by| {
                    Some(most.map_or(by, |most| most.max(by)))
                });
            if let Some(clear) = clear {
                thing.base[i] = clear + thing.room();
            }
        }
        out.push((case.assembly.0, thing));
    }
    out
}

/// A part of a case, or of a case that stands in it.
fn in_case(piece: &Piece, part: &Part, case: &CaseBox, thing: &Thing) -> Spot {
    let mut shift = thing.base;
    if !thing.open {
        return shift;
    }
    let inner = piece.inner_case(part.assembly).unwrap_or(case);
    let middle = Axis::ALL.map(|axis| inner.envelope.middle(axis));
    if inner.assembly == case.assembly {
        let own = own_shift(piece, part, thing.gap, &middle);
        return add(shift, own);
    }
    // It comes out of its case upward if nothing lies over it, else forward.
    let gap = gap_of(&inner.envelope);
    let (mine, whole) = (&inner.envelope, &case.envelope);
    let over = |other: &Part| {
        let b = &other.finished;
        let across = [0, 1]
            .iter()
            .all(|i| b.lo[*i] < mine.hi[*i] && mine.lo[*i] < b.hi[*i]);
        across && b.lo[2] >= mine.hi[2] && thickness(other) == Axis::Z
    };
    let covered = piece.parts.iter().any(|other| {
        other.role != Role::Band
            && piece
                .outer_case(other.assembly)
                .is_some_and(|of| of.assembly == case.assembly)
            && over(other)
    });
    if covered {
        shift[1] -= mm(mine.hi[1] - whole.lo[1]) + gap + thing.gap * 0.5;
    } else {
        shift[2] += mm(whole.hi[2] - mine.lo[2]) + gap + thing.gap * 0.2;
    }
    add(shift, own_shift(piece, part, gap, &middle))
}

/// A filler, worktop or kick: off the cases that it meets.
fn fitted_shift(piece: &Piece, part: &Part, cases: &[(u32, Thing)]) -> Spot {
    let b = &part.finished;
    let mean = |of: &dyn Fn(&Thing) -> f64| {
        let met: Vec<f64> = cases
            .iter()
            .filter(|(_, thing)| thing.size.lo[0] < b.hi[0] && b.lo[0] < thing.size.hi[0])
            .map(|(_, thing)| of(thing))
            .collect();
        (
            met.iter().sum::<f64>() / met.len().max(1) as f64,
            met.iter().copied().fold(0.0, f64::max),
        )
    };
    let (along, _) = mean(&|thing| thing.base[0]);
    let (_, up) = mean(&|thing| thing.base[2] + thing.room() + thing.gap * 0.5);
    let (_, room) = mean(&|thing| thing.room() + thing.gap * 0.3);
    match part.role {
        Role::Worktop => [along, 0.0, up],
        Role::Kick => [along, -room, -room],
        _ => {
            // A filler goes with the case at its side, a little off it.
            let beside = |edge: Edge| {
                let at = cases
                    .iter()
                    .find(|(_, thing)| thing.size.face(edge.opposite()) == b.face(edge));
                at.map(|(_, thing)| thing)
            };
            match (beside(Edge::Left), beside(Edge::Right)) {
                (_, Some(right)) => [
                    right.base[0] - right.room() - right.gap * 0.4,
                    -right.gap * 0.4,
                    right.base[2],
                ],
                (Some(left), None) => [
                    left.base[0] + left.room() + left.gap * 0.4,
                    -left.gap * 0.4,
                    left.base[2],
                ],
                (None, None) => {
                    let gap = gap_of(&piece.overall);
                    [0.0, -gap, 0.0]
                }
            }
        }
    }
}

fn add(a: Spot, b: Spot) -> Spot {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

fn mm(length: crate::measure::Length) -> f64 {
    length.to_f64_mm()
}

fn own_shift(piece: &Piece, part: &Part, gap: f64, middle: &[crate::measure::Length; 3]) -> Spot {
    let kind = piece.assembly(part.assembly).kind;
    let mut shift = [0.0; 3];
    // All members of a framed front go with it.
    let leaf = piece.leaves.iter().find(|leaf| match leaf.kind {
        LeafKind::OwnFront => leaf.part == part.id,
        _ => piece.part(leaf.part).assembly == part.assembly,
    });
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
        // A framed lid or end of a case, as a whole.
        (AssemblyKind::Leaf, None) => {
            let parts = &piece.assembly(part.assembly).parts;
            let boxes = parts.iter().map(|id| piece.part(*id).core);
            let whole = boxes.reduce(|a, b| a.union(&b)).unwrap_or(part.core);
            let axis = thickness(part);
            let away = if whole.middle(axis) < middle[axis.index()] {
                -1.0
            } else {
                1.0
            };
            shift[axis.index()] = away * gap;
        }
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
pub(super) fn anchor(view: &View, block: &Block) -> Option<(f64, Point)> {
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
