//! Looks at a finished layout without knowing how it came about: each part once, in its size, with
//! the grain, inside the trimmed sheet, a kerf from its neighbours, and to be had by cuts that go
//! right through.

use super::{PartCopy, Placed, Rect, Sheet, StockLayout, copies};
use crate::measure::Length;
use crate::model::{Grain, Model, SheetGrain, StockKind};

/// The first fault, in words; `None` if the layout can be cut.
pub fn layout(model: &Model, layout: &StockLayout) -> Option<String> {
    let mut want: Vec<PartCopy> = copies(model)
        .into_iter()
        .filter(|copy| model.part(copy.part).1.stock == layout.stock)
        .collect();
    let mut take = |part: &PartCopy| {
        let found = want.iter().position(|w| w == part)?;
        Some(want.swap_remove(found))
    };
    for placed in layout.sheets.iter().flat_map(|s| &s.placed) {
        if take(&placed.part).is_none() {
            return Some(format!("{} is laid out twice", name(&placed.part)));
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
    for (part, _, _) in &layout.unplaced {
        if take(part).is_none() {
            return Some(format!("{} is laid out twice", name(part)));
        }
    }
    if let Some(part) = want.first() {
        return Some(format!("{} is missing", name(part)));
    }
    let grain = match model.stocks.get(layout.stock.0 as usize).map(|s| &s.kind) {
        Some(StockKind::Sheet { grain, .. }) => *grain,
        _ => return Some("its stock is no sheet".into()),
    };
    layout.sheets.iter().find_map(|s| {
        sheet(s, layout.kerf, layout.trim).or_else(|| {
            s.placed.iter().find_map(|p| {
                let free =
                    grain == SheetGrain::None || model.part(p.part.part).1.grain == Grain::None;
                let right = p.across == (grain == SheetGrain::Wide);
                (!free && !right).then(|| format!("{} lies across the grain", name(&p.part)))
            })
        })
    })
}

fn name(part: &PartCopy) -> String {
    format!("part {} of copy {}", part.mark, part.letter)
}

/// The first fault of one sheet.
pub fn sheet(sheet: &Sheet, kerf: Length, trim: Length) -> Option<String> {
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
    let rects: Vec<Rect> = sheet.placed.iter().map(|p: &Placed| p.area).collect();
    (!comes_apart(&rects, kerf)).then(|| format!("sheet {} needs a cut that stops", sheet.number))
}

fn apart(a: &Rect, b: &Rect, kerf: Length) -> bool {
    (0..2).any(|i| a.hi[i] + kerf <= b.lo[i] || b.hi[i] + kerf <= a.lo[i])
}

/// Whether cuts from edge to edge take the parts apart. All through cuts of one direction may be
/// made first: what a set of parts allows, each of its subsets allows too.
fn comes_apart(rects: &[Rect], kerf: Length) -> bool {
    if rects.len() < 2 {
        return true;
    }
    for axis in 0..2 {
        let mut sorted = rects.to_vec();
        sorted.sort_by_key(|r| r.lo[axis]);
        let mut groups: Vec<Vec<Rect>> = Vec::new();
        let mut reach: Option<Length> = None;
        for r in sorted {
            match (groups.last_mut(), reach) {
                (Some(last), Some(end)) if end + kerf > r.lo[axis] => last.push(r),
                _ => groups.push(vec![r]),
            }
            reach = Some(reach.map_or(r.hi[axis], |end| end.max(r.hi[axis])));
        }
        if groups.len() > 1 {
            return groups.iter().all(|group| comes_apart(group, kerf));
        }
    }
    false
}
