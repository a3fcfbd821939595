//! Whether a sheet keeps to what the shop states: rounds of cuts, the saw's longest cut, what one person lifts.

use super::super::{CutDo, PartCopy, Rect, Sheet, StockLayout, area};
use crate::measure::Length;
use crate::model::{FirstCuts, Grain, Model, SheetGrain, StockKind};

/// The first fault, in words.
pub(super) fn of(model: &Model, layout: &StockLayout, sheet: &Sheet) -> Option<String> {
    rounds(layout, sheet)
        .or_else(|| reach(model.shop.saw_long?, sheet))
        .or_else(|| lift(model, layout, sheet))
}

/// The shop's rounds, one that trims, and one more for matched fronts, which stay together until last.
fn rounds(layout: &StockLayout, sheet: &Sheet) -> Option<String> {
    let matched = sheet.placed.iter().any(|p| p.sequence.is_some());
    let most = layout.rounds + 1 + u32::from(matched);
    let late = sheet.cuts.iter().find(|cut| cut.round > most)?;
    Some(format!("cut {} is of round {}", late.number, late.round))
}

/// Whether the saw takes each cut. A trimmed edge is drawn across all pieces at once, and what fills a sheet is
/// only trued, however long it is.
fn reach(most: Length, sheet: &Sheet) -> Option<String> {
    let filled = sheet.offcuts.is_empty() && sheet.waste.is_empty();
    let mut cuts = sheet.cuts.iter().filter(|cut| cut.round > 0 && !filled);
    let far = cuts.find(|cut| {
        let long = |i: usize| cut.lines.iter().map(move |line| line.to[i] - line.from[i]);
        long(0).chain(long(1)).any(|long| long > most)
    })?;
    Some(format!("cut {} is longer than the saw takes", far.number))
}

/// Whether one person lifts each first piece, inside the trimmed edges, unless a part, or a run of matched
/// fronts, can't be had from a lighter one.
fn lift(model: &Model, layout: &StockLayout, sheet: &Sheet) -> Option<String> {
    let (most, by_area) = model.shop.lift.zip(layout.by_area)?;
    let axes: &[usize] = match layout.first {
        FirstCuts::Along => &[1],
        FirstCuts::Across => &[0],
        FirstCuts::Either => &[0, 1],
    };
    // A run that has no place may have let any piece through.
    let matched = |part: &PartCopy| {
        let rows = model.pieces[part.part.piece as usize].matched.iter();
        rows.flat_map(|row| &row.parts)
            .any(|id| *id == part.part.part)
    };
    if layout.unplaced.iter().any(|(part, _, _)| matched(part)) {
        return None;
    }
    let raw = [sheet.long, sheet.wide];
    let usable = raw.map(|side| side - sheet.trim * 2);
    let weight = |long, wide| area(long, wide) * by_area;
    let heavy = |least: &[Length; 2]| {
        let own = |axis: &usize| weight(least[*axis], raw[1 - *axis]);
        axes.iter().all(|axis| own(axis) > most)
    };
    let wanted: Vec<[Length; 2]> = ways(model, layout)
        .iter()
        .filter_map(|ways| {
            let fits = |way: &&[Length; 2]| (0..2).all(|i| way[i] <= usable[i]);
            let ways = ways.iter().filter(fits).copied();
            ways.reduce(|a, b| [a[0].min(b[0]), a[1].min(b[1])])
        })
        .filter(heavy)
        .collect();
    let mut first = sheet.cuts.iter().filter(|cut| cut.round == 1);
    let over = first.find(|cut| {
        let mut piece = usable;
        piece[usize::from(cut.what == CutDo::Rip)] = cut.setting;
        let needed = |least: &[Length; 2]| axes.iter().any(|i| least[*i] >= piece[*i]);
        weight(piece[0], piece[1]) > most && !wanted.iter().any(needed)
    })?;
    Some(format!(
        "cut {} takes off a piece that is too heavy",
        over.number
    ))
}

/// Extents of each part and run of a stock in every way that it may lie.
fn ways(model: &Model, layout: &StockLayout) -> Vec<Vec<[Length; 2]>> {
    let grain = match model.stocks.get(layout.stock.0 as usize).map(|s| &s.kind) {
        Some(StockKind::Sheet { grain, .. }) => *grain,
        _ => return Vec::new(),
    };
    let mut out = Vec::new();
    let placed = || layout.sheets.iter().flat_map(|s| &s.placed);
    let laid = placed().map(|p| (&p.part, p.length, p.width));
    let left = layout.unplaced.iter().map(|(part, l, w)| (part, *l, *w));
    for (part, length, width) in laid.chain(left) {
        let lies = match grain {
            SheetGrain::Wide => [width, length],
            SheetGrain::Long | SheetGrain::None => [length, width],
        };
        let mut ways = vec![lies];
        if grain == SheetGrain::None || model.part(part.part).1.grain == Grain::None {
            ways.push([lies[1], lies[0]]);
        }
        out.push(ways);
    }
    for (index, piece) in model.pieces.iter().enumerate() {
        for (row, letter) in piece
            .matched
            .iter()
            .flat_map(|row| piece.letters.iter().map(move |letter| (row, letter)))
        {
            let is = |part: &PartCopy| {
                let of = part.part;
                of.piece as usize == index && part.letter == *letter && row.parts.contains(&of.part)
            };
            let areas = placed().filter(|p| is(&p.part)).map(|p| p.area);
            let whole = areas.reduce(|a, b| Rect {
                lo: [0, 1].map(|i| a.lo[i].min(b.lo[i])),
                hi: [0, 1].map(|i| a.hi[i].max(b.hi[i])),
            });
            out.extend(whole.map(|whole| vec![[whole.long(), whole.wide()]]));
        }
    }
    out
}
