//! Looks at a finished layout without knowing how it came about, and shares nothing with the engine
//! but the data types: cuts, kerf and trim, stages, first cut, grain, demand, copies, cost.

use super::layout::{Becomes, CutSheet, Layout, Piece};
use super::problem::{Axis, FirstCut, Objective, Problem, Stages};

/// The value of a layout, recomputed: total cost, or total profit for [`Objective::MostProfit`].
///
/// `unplaced` counts by part what the engine says fits on no sheet.
///
/// # Errors
///
/// The first fault, in words.
pub fn value(problem: &Problem, layout: &Layout, unplaced: &[u32]) -> Result<i64, String> {
    let mut made = vec![0_u64; problem.parts.len()];
    let mut used = vec![0_u64; problem.sheets.len()];
    let mut cost = 0_i64;
    for (number, cut) in layout.sheets.iter().enumerate() {
        let times = u64::from(cut.times);
        let mut parts = Vec::new();
        sheet(problem, cut, &mut parts).map_err(|fault| format!("sheet {number}: {fault}"))?;
        for part in parts {
            made[part] += times;
        }
        used[cut.sheet] += times;
        cost += problem.sheets[cut.sheet].cost * i64::from(cut.times);
    }
    for (i, (sheet, used)) in problem.sheets.iter().zip(&used).enumerate() {
        if sheet.copies.is_some_and(|copies| *used > u64::from(copies)) {
            return Err(format!("sheet size {i} is used {used} times"));
        }
    }
    for (i, (part, made)) in problem.parts.iter().zip(&made).enumerate() {
        let left = u64::from(unplaced.get(i).copied().unwrap_or(0));
        let wanted = u64::from(part.demand);
        let right = match problem.objective {
            Objective::LeastCost => made + left == wanted,
            Objective::MostProfit => *made <= wanted,
        };
        if !right {
            return Err(format!("part {i} is made {made} times, wanted {wanted}"));
        }
    }
    match problem.objective {
        Objective::LeastCost => Ok(cost),
        Objective::MostProfit if used.iter().sum::<u64>() > 1 => Err("more than one sheet".into()),
        Objective::MostProfit => Ok(problem
            .parts
            .iter()
            .zip(&made)
            .map(|(part, made)| part.profit * i64::try_from(*made).unwrap_or(i64::MAX))
            .sum()),
    }
}

/// Checks one sheet and gathers its parts.
fn sheet(problem: &Problem, cut: &CutSheet, parts: &mut Vec<usize>) -> Result<(), String> {
    let Some(sheet) = problem.sheets.get(cut.sheet) else {
        return Err(format!("there is no sheet size {}", cut.sheet));
    };
    let inside = [
        sheet.w - sheet.trim.left - sheet.trim.right,
        sheet.h - sheet.trim.bottom - sheet.trim.top,
    ];
    if cut.piece.size != inside {
        return Err(format!("{:?} is laid out on {inside:?}", cut.piece.size));
    }
    let most = match problem.stages {
        Stages::One => Some(1),
        Stages::Two => Some(2),
        Stages::Three => Some(3),
        Stages::Any => None,
    };
    piece(problem, &cut.piece, parts)?;
    // A first round without any cut is allowed: then the second is the first to be seen.
    let starts: &[Axis] = match problem.first_cut {
        FirstCut::AlongW => &[Axis::H],
        FirstCut::AlongH => &[Axis::W],
        FirstCut::Any => &[Axis::W, Axis::H],
    };
    let light = |axis: Axis| {
        let most = sheet.widest[axis.index()].filter(|_| most != Some(1));
        let strips = match &cut.piece.becomes {
            Becomes::Cut { axis: of, pieces } if *of == axis => pieces.as_slice(),
            _ => std::slice::from_ref(&cut.piece),
        };
        let mut held = strips.iter().filter(|p| p.becomes != Becomes::Rest);
        most.is_none_or(|most| held.all(|p| p.size[axis.index()] <= most))
    };
    let first = |axis: Axis| {
        light(axis)
            && most.is_none_or(|most| rounds(&cut.piece, axis, problem.trimming, most) <= most)
    };
    if starts.iter().any(|axis| first(*axis)) {
        Ok(())
    } else {
        Err("more rounds of cuts than allowed, or the first in the wrong direction".into())
    }
}

/// The rounds of cuts that a piece takes when the next one separates along `next`, with `left` rounds
/// to go; more than `left` if it takes too many.
fn rounds(piece: &Piece, next: Axis, trimming: bool, left: u32) -> u32 {
    let Becomes::Cut { axis, pieces } = &piece.becomes else {
        return 0;
    };
    // One part and what is trimmed off it: the extra cut after the last round.
    let trims = trimming
        && pieces.len() <= 2
        && matches!(pieces[0].becomes, Becomes::Part { .. })
        && pieces[1..].iter().all(|p| p.becomes == Becomes::Rest);
    if left == 0 {
        return u32::from(!(trims && *axis == next));
    }
    if *axis != next {
        return 1 + rounds(piece, next.other(), trimming, left - 1);
    }
    1 + pieces
        .iter()
        .map(|p| rounds(p, next.other(), trimming, left - 1))
        .max()
        .unwrap_or(0)
}

/// Checks sizes, kerfs, saw and grain under a piece.
fn piece(problem: &Problem, of: &Piece, parts: &mut Vec<usize>) -> Result<(), String> {
    if of.size.iter().any(|side| *side <= 0) {
        return Err(format!("a piece of {:?}", of.size));
    }
    match &of.becomes {
        Becomes::Rest => Ok(()),
        Becomes::Part { part, turned } => {
            let Some(wanted) = problem.parts.get(*part) else {
                return Err(format!("there is no part {part}"));
            };
            if *turned && !wanted.turns {
                return Err(format!("part {part} lies across the grain"));
            }
            let size = if *turned {
                [wanted.h, wanted.w]
            } else {
                [wanted.w, wanted.h]
            };
            if size != of.size {
                return Err(format!("part {part} of {size:?} is cut {:?}", of.size));
            }
            parts.push(*part);
            Ok(())
        }
        Becomes::Cut { axis, pieces } => {
            let (along, across) = (axis.index(), axis.other().index());
            if pieces.is_empty() {
                return Err("a cut without pieces".into());
            }
            if pieces.iter().any(|p| p.size[across] != of.size[across]) {
                return Err("a cut that does not go right through".into());
            }
            let mut used = 0;
            for (i, p) in pieces.iter().enumerate() {
                used += p.size[along] + if i > 0 { problem.kerf } else { 0 };
            }
            let rest = of.size[along] - used;
            if rest < 0 || rest > problem.kerf {
                return Err(format!("pieces of {used} out of {}", of.size[along]));
            }
            if pieces.len() == 1 && rest == 0 {
                return Err("a cut that separates nothing".into());
            }
            if problem.longest_cut[across].is_some_and(|most| of.size[across] > most) {
                return Err(format!("a cut of {} is too long", of.size[across]));
            }
            pieces.iter().try_for_each(|p| piece(problem, p, parts))
        }
    }
}
