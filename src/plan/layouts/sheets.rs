//! From parts of one sheet stock to sheets, set out as they are cut.

use super::bound::bound;
use super::cuts::{offcuts, sheet_cuts};
use super::pack::{Bin, Item};
use super::solve::solve;
use super::{PartCopy, Placed, Rect, Sheet, StockLayout, area};
use crate::cutting::Effort;
use crate::measure::{Length, Rational};
use crate::model::{Grain, Model, SheetGrain, SheetSize, StockId, StockKind};
use std::cmp::Reverse;

/// Lays out the parts of a sheet stock.
pub(super) fn lay_out(
    model: &Model,
    stock: StockId,
    parts: Vec<PartCopy>,
    effort: Effort,
) -> StockLayout {
    let shop = &model.shop;
    let (measured, sizes, grain) = match model.stocks.get(stock.0 as usize).map(|s| &s.kind) {
        Some(StockKind::Sheet {
            measured,
            sizes,
            grain,
            ..
        }) => (*measured, sizes.as_slice(), *grain),
        _ => (Length::ZERO, [].as_slice(), SheetGrain::None),
    };
    let rough: Vec<(Length, Length)> = parts
        .iter()
        .map(|copy| model.rough_size(copy.part))
        .collect();
    let items: Vec<Item> = parts
        .iter()
        .zip(&rough)
        .map(|(copy, (length, width))| {
            let along = (*length, *width);
            let (long, wide) = if grain == SheetGrain::Wide {
                (along.1, along.0)
            } else {
                along
            };
            Item {
                long,
                wide,
                may_turn: grain == SheetGrain::None || model.part(copy.part).1.grain == Grain::None,
            }
        })
        .collect();
    let solved = solve(&items, sizes, shop.kerf, shop.trim, effort);
    let placed: Vec<usize> = (0..items.len())
        .filter(|i| !solved.unplaced.contains(i))
        .collect();
    let usable = |side: Length| side - shop.trim * 2;
    let longest = sizes.iter().map(|s| usable(s.long)).max();
    let widest = sizes.iter().map(|s| usable(s.wide)).max();
    let sheets = solved
        .bins
        .into_iter()
        .map(|bin| {
            let size = &sizes[bin.kind];
            sheet(&parts, &rough, bin, size, grain, shop.kerf, shop.trim)
        })
        .collect();
    StockLayout {
        stock,
        thick: measured,
        sheets,
        unplaced: solved
            .unplaced
            .iter()
            .filter_map(|i| Some((parts.get(*i)?.clone(), rough.get(*i)?.0, rough.get(*i)?.1)))
            .collect(),
        bound: longest
            .zip(widest)
            .and_then(|(l, w)| bound(&items, &placed, l, w, shop.kerf)),
        cost: solved.cost,
        kerf: shop.kerf,
        trim: shop.trim,
        allowance: shop.rough_sheet,
    }
}

/// Sets out a packed bin: strips widest first, in each the longest columns first, so that each
/// setting of fence and stop is used once; in a column the widest part first.
fn sheet(
    parts: &[PartCopy],
    rough: &[(Length, Length)],
    mut bin: Bin<Length>,
    size: &SheetSize,
    grain: SheetGrain,
    kerf: Length,
    trim: Length,
) -> Sheet {
    bin.strips.sort_by_key(|strip| Reverse(strip.wide));
    let mut placed = Vec::new();
    let mut y = trim;
    for strip in &mut bin.strips {
        strip.columns.sort_by_key(|column| Reverse(column.long));
        let mut x = trim;
        for column in &mut strip.columns {
            column.stack.sort_by_key(|put| Reverse(put.wide));
            let mut at = y;
            for put in &column.stack {
                let (length, width) = rough[put.item];
                placed.push(Placed {
                    part: parts[put.item].clone(),
                    area: Rect {
                        lo: [x, at],
                        hi: [x + put.long, at + put.wide],
                    },
                    length,
                    width,
                    across: put.turned != (grain == SheetGrain::Wide),
                });
                at += put.wide + kerf;
            }
            x += column.long + kerf;
        }
        y += strip.wide + kerf;
    }
    let sawn = placed
        .iter()
        .fold(Rational::ZERO, |sum, p| sum + area(p.length, p.width));
    let mut sheet = Sheet {
        number: 0,
        size: bin.kind,
        long: size.long,
        wide: size.wide,
        grain_long: match grain {
            SheetGrain::Long => Some(true),
            SheetGrain::Wide => Some(false),
            SheetGrain::None => None,
        },
        placed,
        cuts: Vec::new(),
        offcuts: Vec::new(),
        waste: Vec::new(),
        used: sawn / area(size.long, size.wide),
    };
    sheet.cuts = sheet_cuts(&sheet, &bin, kerf, trim);
    (sheet.offcuts, sheet.waste) = offcuts(&sheet, &bin, kerf, trim);
    sheet
}
