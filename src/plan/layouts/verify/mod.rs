//! Looks at finished layouts without knowing how they came about: each part once, in its size, with the
//! grain; and saws every sheet, board and strip by its list of cuts, each right through one piece, a kerf
//! lost at each, until all that lies on it is there.

mod limits;

use super::{
    BoardList, CutDo, CutLine, Layouts, PartCopy, Placed, Rect, Sheet, Sold, StockLayout,
    StripList, Taken, copies,
};
use crate::measure::Length;
use crate::model::{Grain, Model, OnHandKind, PartId, SheetGrain, StockId, StockKind};

/// The first fault, in words; `None` if everything can be cut.
pub fn layouts(model: &Model, layouts: &Layouts) -> Option<String> {
    let sheets = layouts.sheets.iter().find_map(|l| layout(model, l));
    let boards = || {
        let stocks: Vec<StockId> = layouts.boards.iter().map(|l| l.stock).collect();
        let all = layouts.boards.iter().find_map(|l| boards(model, l));
        all.or_else(|| {
            let pieces = layouts.boards.iter().flat_map(|l| &l.pieces);
            // A panel of staves is there with its first.
            let parts = pieces.filter(|p| p.stave.is_none_or(|(k, _)| k == 1));
            let mut want = Want::of(model, |stock| stocks.contains(&stock));
            let twice = parts.map(|p| &p.part).find_map(|p| want.take(p));
            twice.or_else(|| want.left())
        })
    };
    let strips = || layouts.strips.iter().find_map(|l| strips(model, l));
    let rack = || on_hand(model, layouts);
    sheets.or_else(boards).or_else(strips).or_else(rack)
}

/// Whether what is taken from the rack is there, as large, and not more often than it is there.
fn on_hand(model: &Model, layouts: &Layouts) -> Option<String> {
    let mut used: Vec<(usize, Length)> = Vec::new();
    for sheet in layouts.all() {
        let Taken::OnHand { row, from } = sheet.taken else {
            continue;
        };
        used.push((row, from));
        let on_hand = model.rack.get(row)?;
        let times = used.iter().filter(|u| **u == (row, from)).count();
        if times > on_hand.count as usize {
            return Some(format!("row {row} of the rack is used {times} times"));
        }
        let free = |(start, end): &(Length, Length)| {
            on_hand.faults.iter().all(|(a, b)| end <= a || b <= start)
        };
        let sides = match sheet.grain_long {
            Some(false) if on_hand.kind == OnHandKind::Offcut => (sheet.wide, sheet.long),
            _ => (sheet.long, sheet.wide),
        };
        let strip = on_hand.kind == OnHandKind::Strip;
        let inside = from + sides.0 <= on_hand.long && (strip || sides.1 == on_hand.wide);
        if !inside || !free(&(from, from + sides.0)) {
            return Some(format!("row {row} of the rack is not so large"));
        }
    }
    None
}

/// The parts that must be there.
struct Want(Vec<PartCopy>);

impl Want {
    fn of(model: &Model, stock: impl Fn(StockId) -> bool) -> Want {
        let mut all = copies(model);
        all.retain(|copy| stock(model.part(copy.part).1.stock));
        Want(all)
    }

    fn take(&mut self, part: &PartCopy) -> Option<String> {
        match self.0.iter().position(|w| w == part) {
            Some(found) => {
                self.0.swap_remove(found);
                None
            }
            None => Some(format!("{} is laid out twice", name(part))),
        }
    }

    fn left(&self) -> Option<String> {
        let first = self.0.first()?;
        Some(format!("{} is missing", name(first)))
    }
}

/// The first fault of the sheets of a stock.
pub fn layout(model: &Model, layout: &StockLayout) -> Option<String> {
    let mut want = Want::of(model, |stock| stock == layout.stock);
    for placed in layout.sheets.iter().flat_map(|s| &s.placed) {
        if let Some(twice) = want.take(&placed.part) {
            return Some(twice);
        }
        let (piece, part) = model.part(placed.part.part);
        let size = part.size;
        // Reckoned anew here: a verifier shares no sums with what it looks at.
        if (placed.length, placed.width)
            != (
                piece.units.rough_up(size.length + layout.allowance.0),
                piece.units.rough_up(size.width + layout.allowance.1),
            )
        {
            return Some(format!("{} has another size", name(&placed.part)));
        }
    }
    let twice = layout.unplaced.iter().find_map(|(p, _, _)| want.take(p));
    if let Some(fault) = twice.or_else(|| want.left()) {
        return Some(fault);
    }
    let grain = match model.stocks.get(layout.stock.0 as usize).map(|s| &s.kind) {
        Some(StockKind::Sheet { grain, .. }) => *grain,
        _ => return Some("its stock is no sheet".into()),
    };
    if let Some(torn) = sequences(model, layout) {
        return Some(torn);
    }
    if layout.cost.bound > layout.cost.cost {
        return Some("sheets cost less than is proven".into());
    }
    layout.sheets.iter().find_map(|s| {
        let crossed = s.placed.iter().find(|p| {
            let free = grain == SheetGrain::None || model.part(p.part.part).1.grain == Grain::None;
            !free && p.across != (grain == SheetGrain::Wide)
        });
        match crossed {
            Some(p) => Some(format!("{} lies across the grain", name(&p.part))),
            None => sheet(s, layout.kerf).or_else(|| limits::of(model, layout, s)),
        }
    })
}

/// Whether matched fronts lie on one sheet, each a kerf from the one before, level with it.
fn sequences(model: &Model, layout: &StockLayout) -> Option<String> {
    for (index, piece) in model.pieces.iter().enumerate() {
        for (row, letter) in piece
            .matched
            .iter()
            .flat_map(|row| piece.letters.iter().map(move |letter| (row, letter)))
        {
            let is = |part: &PartCopy, id: PartId| {
                part.part.piece as usize == index && part.part.part == id && part.letter == *letter
            };
            let found = row.parts.iter().map(|id| {
                layout.sheets.iter().find_map(|sheet| {
                    let placed = sheet.placed.iter().find(|p| is(&p.part, *id))?;
                    Some((sheet.number, placed.area))
                })
            });
            // What is not of this stock, or has no room on any sheet, is told elsewhere.
            let Some(spots) = found.collect::<Option<Vec<_>>>() else {
                continue;
            };
            let follows = |a: &Rect, b: &Rect| {
                (0..2).any(|i| {
                    let level = a.lo[1 - i] == b.lo[1 - i] && a.hi[1 - i] == b.hi[1 - i];
                    level && a.hi[i] + layout.kerf == b.lo[i]
                })
            };
            for pair in spots.windows(2) {
                let [(sheet, a), (other, b)] = pair else {
                    continue;
                };
                if sheet != other || !follows(a, b) {
                    return Some(format!("matched fronts of copy {letter} are apart"));
                }
            }
        }
    }
    None
}

/// The first fault of the boards of a list.
pub fn boards(model: &Model, list: &BoardList) -> Option<String> {
    let kerf = model.shop.kerf;
    let mut want: Vec<usize> = (0..list.pieces.len()).collect();
    if list.sold == Sold::Open {
        want.clear();
    }
    for i in &list.unplaced {
        want.retain(|w| w != i);
    }
    for placed in list.boards.iter().flat_map(|b| &b.placed) {
        let mut strips = Length::ZERO;
        for part in placed.parts() {
            let same = |i: &usize| {
                let piece = &list.pieces[*i];
                piece.part == *part && piece.stave == placed.stave
            };
            let Some(at) = want.iter().position(same) else {
                return Some(format!("{} is sawn twice", name(part)));
            };
            let piece = &list.pieces[want.remove(at)];
            let sawn = model.sawn_size(part.part);
            let more = model.shop.rough_board;
            let (long, wide) = (sawn.length + more.0, sawn.width + more.1);
            let enough = match piece.planed_first {
                true => piece.wide >= sawn.thick,
                false => {
                    let staves = i64::from(piece.stave.map_or(1, |(_, n)| n));
                    (piece.wide - more.1) * staves >= wide - more.1
                }
            };
            if placed.length < long || piece.long < long || !enough {
                return Some(format!("{} has another size", name(part)));
            }
            strips += match piece.planed_first {
                true => piece.wide + kerf,
                false => piece.wide,
            };
        }
        if placed.width + kerf < strips {
            return Some(format!("{} is too narrow", name(&placed.part)));
        }
    }
    if let Some(first) = want.first() {
        return Some(format!("{} is missing", name(&list.pieces[*first].part)));
    }
    if list.cost.as_ref().is_some_and(|c| c.bound > c.cost) {
        return Some("boards cost less than is proven".into());
    }
    if let Sold::In(sizes) = &list.sold {
        let strange = list.boards.iter().find(|board| match board.taken {
            Taken::Bought(k) => sizes.get(k) != Some(&(board.long, board.wide)),
            Taken::OnHand { .. } => false,
        });
        if let Some(board) = strange {
            return Some(format!("board {} is of no size that is sold", board.number));
        }
    }
    let mut all = list.boards.iter();
    all.find_map(|board| sheet(board, kerf))
}

/// The first fault of the edging of a stock.
pub fn strips(model: &Model, list: &StripList) -> Option<String> {
    let mut want = Want::of(model, |stock| stock == list.stock);
    let laid = list.strips.iter().flat_map(|s| &s.placed);
    let left = list.unplaced.iter().map(|i| &list.pieces[*i]);
    let none = list.pieces.iter().filter(|_| list.sold.is_none());
    let parts = laid
        .map(|p| (&p.part, p.length))
        .chain(left.chain(none).map(|p| (&p.part, p.long)));
    for (part, long) in parts {
        let sawn = model.sawn_size(part.part).length + model.shop.rough_board.0;
        if let Some(twice) = want.take(part) {
            return Some(twice);
        }
        if long < sawn {
            return Some(format!("{} is too short", name(part)));
        }
    }
    let mut all = list.strips.iter();
    want.left()
        .or_else(|| all.find_map(|s| sheet(s, model.shop.kerf)))
}

fn name(part: &PartCopy) -> String {
    format!("part {} of copy {}", part.mark, part.letter)
}

/// The first fault of one sheet, board or strip.
pub fn sheet(sheet: &Sheet, kerf: Length) -> Option<String> {
    let trim = sheet.trim;
    for placed in &sheet.placed {
        let r = placed.area;
        let (long, wide) = if placed.across {
            (placed.width, placed.length)
        } else {
            (placed.length, placed.width)
        };
        if (r.long(), r.wide()) != (long, wide) {
            return Some(format!(
                "{} lies in a place of another size",
                name(&placed.part)
            ));
        }
        let inside = r.lo[0] >= trim
            && r.lo[1] >= trim
            && r.hi[0] <= sheet.long - trim
            && r.hi[1] <= sheet.wide - trim;
        if !inside {
            return Some(format!("{} lies past the sheet's edge", name(&placed.part)));
        }
    }
    for (i, a) in sheet.placed.iter().enumerate() {
        for b in sheet.placed.iter().skip(i + 1) {
            if !apart(&a.area, &b.area, kerf) {
                return Some(format!(
                    "{} and {} are less than a kerf apart",
                    name(&a.part),
                    name(&b.part)
                ));
            }
        }
    }
    saw(sheet, kerf)
}

fn apart(a: &Rect, b: &Rect, kerf: Length) -> bool {
    (0..2).any(|i| a.hi[i] + kerf <= b.lo[i] || b.hi[i] + kerf <= a.lo[i])
}

/// Saws a sheet by its list of cuts, and looks whether what each cut is said to give is there then and
/// was not before.
fn saw(sheet: &Sheet, kerf: Length) -> Option<String> {
    let whole = Rect {
        lo: [Length::ZERO; 2],
        hi: [sheet.long, sheet.wide],
    };
    let mut pieces = vec![whole];
    let there = |pieces: &[Rect], placed: &Placed| pieces.contains(&placed.area);
    for cut in &sheet.cuts {
        let edge = matches!(cut.what, CutDo::TrueEdge | CutDo::SquareEnd);
        let axis = usize::from(matches!(cut.what, CutDo::TrueEdge | CutDo::Rip));
        let before = pieces.clone();
        for line in &cut.lines {
            if let Some(fault) = saw_line(&mut pieces, line, axis, cut.setting, (edge, kerf)) {
                return Some(format!(
                    "cut {} of sheet {}: {fault}",
                    cut.number, sheet.number
                ));
            }
        }
        for (i, placed) in sheet.placed.iter().enumerate() {
            let given = there(&pieces, placed) && !there(&before, placed);
            if given != cut.gives.contains(&i) {
                let part = name(&placed.part);
                return Some(format!(
                    "cut {} of sheet {} and {part}",
                    cut.number, sheet.number
                ));
            }
        }
    }
    let missing = sheet.placed.iter().find(|placed| !there(&pieces, placed));
    if let Some(placed) = missing {
        let part = name(&placed.part);
        return Some(format!("no cut of sheet {} gives {part}", sheet.number));
    }
    let rests = sheet.offcuts.iter().map(|k| &k.area).chain(&sheet.waste);
    let lies_in = |r: &Rect, p: &Rect| (0..2).all(|i| p.lo[i] <= r.lo[i] && r.hi[i] <= p.hi[i]);
    let torn = rests
        .into_iter()
        .find(|r| !pieces.iter().any(|p| lies_in(r, p)));
    torn.map(|_| format!("what stays over of sheet {} is in pieces", sheet.number))
}

/// One cut: right through every piece that it meets, so far from the edge of each.
fn saw_line(
    pieces: &mut Vec<Rect>,
    line: &CutLine,
    axis: usize,
    setting: Length,
    (edge, kerf): (bool, Length),
) -> Option<String> {
    let (at, across) = (line.from[axis], 1 - axis);
    if line.to[axis] != at {
        return Some("it is not straight".into());
    }
    let (start, end) = (line.from[across], line.to[across]);
    let met =
        |p: &Rect| p.lo[axis] < at && at < p.hi[axis] && start < p.hi[across] && p.lo[across] < end;
    let (cut, mut kept): (Vec<Rect>, Vec<Rect>) = pieces.drain(..).partition(met);
    if cut.is_empty() {
        return Some("it meets nothing".into());
    }
    for piece in cut {
        if start > piece.lo[across] || end < piece.hi[across] {
            return Some("it stops within a piece".into());
        }
        if at - piece.lo[axis] != setting {
            return Some("its setting is another".into());
        }
        let (mut near, mut far) = (piece, piece);
        near.hi[axis] = at;
        far.lo[axis] = if edge { at } else { at + kerf };
        if !edge {
            kept.push(near);
        }
        if far.lo[axis] < far.hi[axis] {
            kept.push(far);
        }
    }
    *pieces = kept;
    None
}
