//! Setting up in place: cases, fillers, worktop and kick drawn whole and apart, each with the number of
//! the step in which it is set.

use super::exploded::anchor;
use super::frame::Frame;
use super::mark;
use super::piece_view::{blocks, draw_edges};
use super::scene::Scene;
use super::solid::Spot;
use super::view::{Camera, View};
use crate::model::{AssemblyId, Axis, Box3, Part, PartId, Piece, Role};

/// What is set in one step: its parts.
type Step<'a> = &'a [PartId];

/// The sketch, as large as the room allows.
pub fn standing(piece: &Piece, steps: &[Step], room: (f64, f64)) -> Scene {
    let mut scene = Scene::new(
        0.0,
        0.0,
        "What is set up, drawn apart in the order of the steps",
    );
    let shifts = shifts(piece, steps);
    let mut all = blocks(piece);
    for block in &mut all {
        if let Some(step) = step_of(piece, steps, block.part) {
            block.shift = shifts.get(step).copied().unwrap_or([0.0; 3]);
        }
    }
    let view = View::new(Camera::Corner, &all);
    let Some(bounds) = view.bounds() else {
        return scene;
    };
    let factor = (room.0 / bounds.width().max(1.0))
        .min(room.1 / bounds.height().max(1.0))
        .max(0.001);
    let frame = Frame {
        factor,
        origin: (0.0, 0.0),
    };
    draw_edges(&mut scene, &frame, &view.edges(), |_| false);
    for number in 0..steps.len() {
        let own = all
            .iter()
            .filter(|block| step_of(piece, steps, block.part) == Some(number));
        // Where it shows best.
        let best = own
            .filter_map(|block| anchor(&view, block))
            .max_by(|a, b| a.0.total_cmp(&b.0));
        if let Some((_, place)) = best {
            mark::square(&mut scene, frame.at(place), &(number + 1).to_string());
        }
    }
    scene.fitted(0.6)
}

/// The step in which a part is set: its own, its panel's, or that of the case in which it is.
fn step_of(piece: &Piece, steps: &[Step], part: &Part) -> Option<usize> {
    let root = part.host.unwrap_or(part.id);
    let case_of = |id: AssemblyId| piece.outer_case(id).map(|case| case.assembly);
    let own = steps.iter().position(|step| step.contains(&root));
    own.or_else(|| {
        let case = case_of(part.assembly)?;
        steps.iter().position(|step| {
            let parts = step.iter().map(|id| piece.part(*id));
            parts
                .map(|part| case_of(part.assembly))
                .any(|of| of == Some(case))
        })
    })
}

/// How far each step's things are moved.
fn shifts(piece: &Piece, steps: &[Step]) -> Vec<Spot> {
    let size = |step: &Step| -> Option<Box3> {
        let boxes = step.iter().map(|id| piece.part(*id).finished);
        boxes.reduce(|a, b| a.union(&b))
    };
    let sizes: Vec<Option<Box3>> = steps.iter().map(size).collect();
    let whole = &piece.overall;
    let extents = Axis::ALL.map(|axis| whole.extent(axis).to_f64_mm());
    let gap = 0.16 * (extents[1] + extents[2]) / 2.0 + 0.02 * extents[0];
    let mut out: Vec<Spot> = Vec::new();
    for (step, size) in steps.iter().zip(&sizes) {
        let (Some(size), Some(first)) = (size, step.first()) else {
            out.push([0.0; 3]);
            continue;
        };
        let set = || sizes.iter().flatten().zip(&out);
        // Clear of what is wholly at its left, and below it.
        let clear = |i: usize| {
            let before = set().filter(|(other, _)| {
                let across = i == 0 || other.lo[0] < size.hi[0] && size.lo[0] < other.hi[0];
                across && other.hi[i] <= size.lo[i]
            });
            before.map(|(_, by)| by[i] + gap).fold(0.0, f64::max)
        };
        let along = || {
            let met: Vec<f64> = set()
                .filter(|(other, _)| other.lo[0] < size.hi[0] && size.lo[0] < other.hi[0])
                .map(|(_, by)| by[0])
                .collect();
            met.iter().sum::<f64>() / met.len().max(1) as f64
        };
        out.push(match piece.part(*first).role {
            Role::Worktop => [along(), 0.0, clear(2) + gap],
            Role::Kick if piece.outer_case(piece.part(*first).assembly).is_none() => {
                [along(), -gap * 1.6, -gap * 0.4]
            }
            Role::Filler => {
                let right = set().find(|(other, _)| other.lo[0] == size.hi[0]);
                let along = match right {
                    Some((_, by)) => by[0] - gap,
                    None => clear(0),
                };
                [along, -gap, 0.0]
            }
            _ => [clear(0), 0.0, clear(2)],
        });
    }
    out
}
