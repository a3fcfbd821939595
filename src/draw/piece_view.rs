//! A piece as blocks to look at, and the rows of sizes that run through it.

use super::dimension::Stop;
use super::frame::Frame;
use super::hatch::{self, Run};
use super::region::{Region, Segment, steps};
use super::scene::{Pen, Scene};
use super::solid::{Block, Grainwise, grain_in};
use super::text::Content;
use super::view::{Piece2, Sight};
use crate::measure::{Length, Units};
use crate::model::{
    AssemblyKind, Axis, Box3, LeafKind, LocalAxis, Model, Part, PartId, Piece, Role, StockKind,
};

/// The piece with its fronts closed: fronts whole with their edging, all else as sawn with strips
/// and cuts.
pub fn blocks(piece: &Piece) -> Vec<Block<'_>> {
    let applied: Vec<PartId> = piece
        .leaves
        .iter()
        .filter(|leaf| leaf.kind != LeafKind::OwnFront)
        .map(|leaf| leaf.part)
        .collect();
    let own: Vec<PartId> = piece
        .leaves
        .iter()
        .filter(|leaf| leaf.kind == LeafKind::OwnFront)
        .map(|leaf| leaf.part)
        .collect();
    piece
        .parts
        .iter()
        .filter(|part| !part.host.is_some_and(|host| applied.contains(&host)))
        .map(|part| {
            let leaf = applied.contains(&part.id);
            Block {
                part,
                size: if leaf { part.finished } else { part.core },
                cuts: !leaf,
                front: leaf || own.contains(&part.id),
                shift: [0.0; 3],
            }
        })
        .collect()
}

/// The envelope of all cases with their fillers, from the ground under a kick to the worktop, whose
/// overhang stands proud of it; of everything where there is no case.
pub fn envelope(piece: &Piece) -> Box3 {
    let cases = piece.cases.iter().map(|case| case.envelope);
    let Some(mut env) = cases.reduce(|a, b| a.union(&b)) else {
        return piece.overall;
    };
    for part in fitted(piece) {
        let b = &part.finished;
        let axes: &[Axis] = match part.role {
            Role::Worktop | Role::Kick => &[Axis::Z],
            _ => &[Axis::X, Axis::Z],
        };
        for i in axes.iter().map(|axis| axis.index()) {
            env.lo[i] = env.lo[i].min(b.lo[i]);
            env.hi[i] = env.hi[i].max(b.hi[i]);
        }
    }
    env
}

/// Fillers, worktops and kicks of runs, without their edging.
pub fn fitted(piece: &Piece) -> impl Iterator<Item = &Part> {
    piece.parts.iter().filter(|part| {
        piece.assembly(part.assembly).kind == AssemblyKind::Fitted && part.role != Role::Band
    })
}

/// What stands on each other, as boxes: cases that stand in no other, and worktops.
fn things(piece: &Piece) -> Vec<Box3> {
    let cases = piece.outer_cases().map(|case| case.envelope);
    let tops = fitted(piece).filter(|part| part.role == Role::Worktop);
    cases.chain(tops.map(|part| part.finished)).collect()
}

/// Widths of what stands side by side: cases and fillers, a row for each height at which others stand;
/// the lowest first. A single thing makes no row.
pub fn thing_rows(piece: &Piece) -> Vec<Vec<Length>> {
    let standing = |part: &&Part| part.role == Role::Filler;
    let mut all: Vec<Box3> = piece.outer_cases().map(|case| case.envelope).collect();
    all.extend(fitted(piece).filter(standing).map(|part| part.finished));
    chains(&all, Axis::X, Axis::Z)
}

/// Heights of what stands on each other, from the ground up, a row for each place where others do.
pub fn thing_columns(piece: &Piece) -> Vec<Vec<Length>> {
    let env = envelope(piece);
    let mut out = chains(&things(piece), Axis::Z, Axis::X);
    for row in &mut out {
        *row = places(row.iter().copied().chain([env.lo[2], env.hi[2]]));
    }
    out.retain(|row| row.len() > 2);
    out
}

/// The faces of boxes along one axis, seen at the middles of those boxes across it: every row that says
/// a place that no earlier row says.
fn chains(all: &[Box3], along: Axis, across: Axis) -> Vec<Vec<Length>> {
    let middles = places(all.iter().map(|b| b.middle(across)));
    let mut rows: Vec<Vec<Length>> = middles
        .into_iter()
        .map(|at| places(faces(all.iter().filter(|b| within(b, across, at)), along)))
        .collect();
    // The fullest first, the lowest of those.
    rows.sort_by_key(|row| std::cmp::Reverse(row.len()));
    let mut out: Vec<Vec<Length>> = Vec::new();
    for row in rows {
        let fresh = row.iter().any(|at| !out.iter().any(|had| had.contains(at)));
        if fresh {
            out.push(row);
        }
    }
    if out.len() == 1 && out.iter().all(|row| row.len() < 3) {
        out.clear();
    }
    out
}

/// Whether a part belongs to a case itself, not to what stands or hangs in it; or is a worktop.
fn of_case(piece: &Piece, part: &Part) -> bool {
    match piece.assembly(part.assembly).kind {
        AssemblyKind::Case => {
            let outer = piece.outer_case(part.assembly);
            part.role != Role::Band && outer.is_some_and(|case| case.assembly == part.assembly)
        }
        AssemblyKind::Fitted => part.role == Role::Worktop,
        AssemblyKind::Drawer | AssemblyKind::Leaf | AssemblyKind::Shelf => false,
    }
}

/// The axis of the piece through a part's thickness.
pub fn thickness(part: &Part) -> Axis {
    part.lay.axis(LocalAxis::Thickness)
}

/// Case panels that lie across an axis (their thickness runs along it).
pub fn panels(piece: &Piece, axis: Axis) -> impl Iterator<Item = &Part> {
    piece
        .parts
        .iter()
        .filter(move |part| of_case(piece, part) && thickness(part) == axis)
        .filter(move |part| {
            axis != Axis::Y && !matches!(part.role, Role::Kick | Role::Cleat | Role::Packing)
                || axis == Axis::Y && matches!(part.role, Role::Back | Role::Front)
        })
        .filter(|part| !matches!(part.role, Role::Bearer | Role::Guide | Role::Kicker))
}

/// Whether a length lies strictly within an extent of a box.
pub fn within(b: &Box3, axis: Axis, at: Length) -> bool {
    b.lo[axis.index()] < at && at < b.hi[axis.index()]
}

/// Places along an axis in rising order, each once.
pub fn places(all: impl IntoIterator<Item = Length>) -> Vec<Length> {
    let mut out: Vec<Length> = all.into_iter().collect();
    out.sort();
    out.dedup();
    out
}

/// Both faces of boxes along an axis.
pub fn faces<'a>(
    boxes: impl Iterator<Item = &'a Box3>,
    axis: Axis,
) -> impl Iterator<Item = Length> {
    boxes.flat_map(move |b| [b.lo[axis.index()], b.hi[axis.index()]])
}

/// Heights at one x: ground, every level panel that crosses there, the envelope's top.
pub fn heights_at(piece: &Piece, x: Length) -> Vec<Length> {
    let env = envelope(piece);
    let boxes: Vec<&Box3> = panels(piece, Axis::Z)
        .map(|part| &part.finished)
        .filter(|b| within(b, Axis::X, x))
        .collect();
    places(faces(boxes.into_iter().chain([&env]), Axis::Z))
}

/// Widths at one height: the envelope's sides and every upright panel that crosses there.
pub fn widths_at(piece: &Piece, z: Length) -> Vec<Length> {
    let env = envelope(piece);
    let boxes: Vec<&Box3> = panels(piece, Axis::X)
        .map(|part| &part.finished)
        .filter(|b| within(b, Axis::Z, z))
        .collect();
    places(faces(boxes.into_iter().chain([&env]), Axis::X))
}

/// Rows of widths, the fullest first, until every upright panel stands in one (at most three rows).
pub fn width_rows(piece: &Piece) -> Vec<Vec<Length>> {
    let env = envelope(piece);
    let all = places(faces(
        panels(piece, Axis::X).map(|p| &p.finished).chain([&env]),
        Axis::Z,
    ));
    let mut rows: Vec<Vec<Length>> = all
        .windows(2)
        .map(|w| widths_at(piece, (w[0] + w[1]).half()))
        .collect();
    let mut out: Vec<Vec<Length>> = Vec::new();
    while out.len() < 3 {
        let fresh = |row: &Vec<Length>| {
            row.iter()
                .filter(|x| !out.iter().any(|had| had.contains(x)))
                .count()
        };
        // The lowest of equally full rows.
        let mut best: Option<(usize, usize)> = None;
        for (i, row) in rows.iter().enumerate() {
            let n = fresh(row);
            if n > best.map_or(0, |(_, m)| m) {
                best = Some((i, n));
            }
        }
        match best {
            Some((i, _)) => out.push(rows.swap_remove(i)),
            None => break,
        }
    }
    if out.is_empty() {
        out.push(vec![env.lo[0], env.hi[0]]);
    }
    out
}

/// Labels of the spaces between places.
pub fn labels(units: Units, places: &[Length]) -> Vec<Content> {
    places
        .windows(2)
        .map(|w| Content::new().length(units, w[1] - w[0]))
        .collect()
}

/// Places as stops of a row whose extension lines start at one outline.
pub fn stops(places: &[Length], paper: impl Fn(f64) -> f64, outline: f64) -> Vec<Stop> {
    places
        .iter()
        .map(|l| Stop::new(paper(l.to_f64_mm()), outline))
        .collect()
}

/// Room from one row of dimensions to the next.
pub fn row_step(units: Units) -> f64 {
    match units {
        Units::Mm => 7.5,
        Units::Inch(_) => 11.5,
    }
}

/// Draws the edges of a view: outline thick, others medium, behind fronts hidden where `hidden`
/// says so for the block.
pub fn draw_edges(
    scene: &mut Scene,
    frame: &Frame,
    edges: &[Piece2],
    hidden: impl Fn(usize) -> bool,
) {
    let gather = |sight: Sight| -> Vec<Segment> {
        edges
            .iter()
            .filter(|e| e.sight == sight && (sight != Sight::BehindFront || hidden(e.block)))
            .map(|e| frame.line(e.line))
            .collect()
    };
    for (sight, pen) in [
        (Sight::BehindFront, Pen::THIN.hidden()),
        (Sight::Seen, Pen::MEDIUM),
        (Sight::Outline, Pen::THICK),
    ] {
        scene.path(steps(&gather(sight)), pen);
    }
}

/// Draws what a plane cuts of a part: hatching for what it is made of, and a thick outline.
///
/// `region` is on the paper; `axes` are the piece's axes to the right and up.
pub fn draw_cut(
    scene: &mut Scene,
    model: &Model,
    part: &Part,
    region: &Region,
    frame: &Frame,
    axes: (Axis, Axis),
) {
    let normal = axes.0.third(axes.1);
    hatch_cut(scene, model, part, region, frame, axes, normal);
    scene.path(region.outline(), Pen::THICK);
}

/// The hatching of [`draw_cut`] alone.
pub fn hatch_cut(
    scene: &mut Scene,
    model: &Model,
    part: &Part,
    region: &Region,
    frame: &Frame,
    axes: (Axis, Axis),
    normal: Axis,
) {
    let sheet = model
        .stocks
        .get(part.stock.0 as usize)
        .is_some_and(|stock| matches!(stock.kind, StockKind::Sheet { .. }));
    let run_of = |axis: Axis| {
        if axis == axes.0 {
            Run::Level
        } else {
            Run::Upright
        }
    };
    if sheet {
        let across = thickness(part);
        if across == normal {
            return;
        }
        let (lo, hi) = (
            part.core.lo[across.index()].to_f64_mm(),
            part.core.hi[across.index()].to_f64_mm(),
        );
        let thick = part.size.thick.to_f64_mm();
        if across == axes.0 {
            hatch::sheet(
                scene,
                region,
                Run::Upright,
                (frame.x(lo), frame.x(hi)),
                thick,
            );
        } else {
            hatch::sheet(scene, region, Run::Level, (frame.y(lo), frame.y(hi)), thick);
        }
    } else {
        match grain_in(part, normal) {
            Grainwise::Across => hatch::end_grain(scene, region, part.id.0),
            Grainwise::Along(axis) => hatch::long_grain(scene, region, run_of(axis), part.id.0),
        }
    }
}
