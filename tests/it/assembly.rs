//! Every move of a glue-up is free: what is brought runs into nothing that is there, piece of wood by
//! piece of wood, without the graphs that found the order.

use casewright::model::{Edge, Model, PartId, Piece};
use casewright::plan::glue_up::{Stage, StageKind, plan_glue_up};
use casewright::solid::{Cell, Wood, sweep_hits};
use casewright::source::{Files, ReadFault};
use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

struct Folder(PathBuf);

impl Files for Folder {
    fn read(&self, path: &str) -> Result<String, ReadFault> {
        std::fs::read_to_string(self.0.join(path)).map_err(|_| ReadFault::Missing)
    }
}

fn model(folder: &str, file: &str) -> Model {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(folder);
    let compiled = casewright::compile(&Folder(folder), file, &Default::default()).unwrap();
    let errors: Vec<_> = compiled
        .diagnostics
        .iter()
        .filter(|d| d.is_error())
        .collect();
    assert!(errors.is_empty(), "{file}: {errors:?}");
    compiled.model.unwrap()
}

/// A part with the strips on it.
fn cells(piece: &Piece, id: PartId) -> Vec<Cell> {
    let part = piece.part(id);
    let strips = part.bands.iter().map(|band| piece.part(band.strip));
    std::iter::once(part)
        .chain(strips)
        .flat_map(|part| Wood::of(part).unwrap().cells().unwrap())
        .collect()
}

/// Whether `moved`, leaving toward an edge, runs into `there`.
fn hits(moved: &[Cell], there: &[Cell], edge: Edge) -> bool {
    moved.iter().any(|m| {
        there.iter().any(|t| {
            // Leaving toward the low end is the other one leaving toward the high end.
            let (a, b) = if edge.is_high() { (m, t) } else { (t, m) };
            sweep_hits(a, b, edge.axis()).unwrap()
        })
    })
}

/// Follows the stages of an assembly; what is one is found by the joints that have closed.
fn follow(piece: &Piece, stages: &[&Stage]) -> usize {
    let mut body: BTreeMap<PartId, usize> = BTreeMap::new();
    let mut wood: BTreeMap<PartId, Vec<Cell>> = BTreeMap::new();
    let mut moves = 0;
    for (i, step) in stages.iter().flat_map(|stage| &stage.moves).enumerate() {
        let joined = step.joints.iter().map(|id| piece.joint(*id));
        let ends: BTreeSet<PartId> = joined.flat_map(|joint| [joint.a, joint.b]).collect();
        let moved: BTreeSet<PartId> = step.parts.iter().copied().collect();
        let bodies: BTreeSet<usize> = ends
            .iter()
            .filter(|id| !moved.contains(id))
            .filter_map(|id| body.get(id).copied())
            .collect();
        let known = body
            .iter()
            .filter(|(_, b)| bodies.contains(b))
            .map(|(id, _)| *id);
        let there: BTreeSet<PartId> = known
            .chain(ends.iter().copied())
            .filter(|id| !moved.contains(id))
            .collect();
        for id in there.iter().chain(&moved) {
            wood.entry(*id).or_insert_with(|| cells(piece, *id));
        }
        if let Some(way) = step.way {
            for m in &moved {
                for t in &there {
                    moves += 1;
                    let (a, b) = (piece.part(*m), piece.part(*t));
                    assert!(
                        !hits(&wood[m], &wood[t], way.opposite()),
                        "{}: {} is moved to the {way:?} through {}",
                        piece.name,
                        a.path,
                        b.path
                    );
                }
            }
        }
        for id in there.iter().chain(&moved) {
            body.insert(*id, i);
        }
    }
    moves
}

#[test]
fn nothing_is_moved_through_anything() {
    let mut moves = 0;
    for (folder, file) in [
        ("examples", "first-shelf.case"),
        ("examples/music-school", "waiting_room.case"),
        ("examples/music-school", "window_bench.case"),
        ("examples/music-school", "tuning_table.case"),
        ("examples/music-school", "wall_cupboard.case"),
        ("tests/pieces", "alike.case"),
        ("tests/pieces", "breadboard.case"),
        ("tests/pieces", "chest.case"),
        ("tests/pieces", "corners.case"),
        ("tests/pieces", "drawers.case"),
        ("tests/pieces", "hall.case"),
        ("tests/pieces", "joints.case"),
        ("tests/pieces", "till.case"),
    ] {
        let model = model(folder, file);
        let plan = plan_glue_up(&model);
        for (p, piece) in model.pieces.iter().enumerate() {
            for assembly in &piece.assemblies {
                let stages = plan.stages.iter().filter(|stage| {
                    stage.piece as usize == p
                        && stage.assembly == assembly.id
                        && stage.kind != StageKind::Standing
                });
                let stages: Vec<&Stage> = stages.collect();
                assert!(
                    stages.iter().all(|stage| !stage.all_at_once),
                    "{file}: {}",
                    assembly.path
                );
                moves += follow(piece, &stages);
            }
        }
    }
    assert!(moves > 500, "{moves}");
}

/// A top glued in itself, with its breadboard ends, is one before its buttons hold it: it comes down on the
/// frame without glue, last (common practice).
#[test]
fn a_top_on_buttons_is_glued_by_itself_and_comes_down_last() {
    let model = model("tests/pieces", "breadboard.case");
    let piece = &model.pieces[0];
    let stages = plan_glue_up(&model).stages;
    let last = stages.iter().rfind(|stage| stage.piece == 0).unwrap();
    assert_eq!(last.kind, StageKind::Dry);
    let [down] = last.moves.as_slice() else {
        panic!("{:?}", last.moves)
    };
    assert_eq!(down.way, Some(Edge::Bottom));
    let brought: Vec<&str> = down
        .parts
        .iter()
        .map(|id| piece.part(*id).path.as_str())
        .collect();
    assert_eq!(brought, ["body.board", "body.west", "body.east"]);
}
