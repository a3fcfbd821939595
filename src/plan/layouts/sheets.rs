//! From parts of one sheet stock to sheets, set out as they are cut.

use super::bound::bound;
use super::cuts::{offcuts, set_out};
use super::item::{Item, Node, Source};
use super::solve::{Question, solve, worths};
use super::{PartCopy, Placed, Sheet, StockLayout, area};
use crate::cutting::{Effort, FirstCut, Stages};
use crate::measure::{Length, Rational};
use crate::model::{Grain, Model, SheetGrain, StockId, StockKind};

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
    let (worths, currency) = worths(sizes);
    let sources: Vec<Source> = sizes
        .iter()
        .zip(worths)
        .enumerate()
        .map(|(k, (size, worth))| Source {
            size: k,
            long: size.long,
            wide: size.wide,
            trim: shop.trim,
            worth,
        })
        .collect();
    let solved = solve(&Question {
        items: &items,
        sources: &sources,
        currency,
        kerf: shop.kerf,
        stages: Stages::Three,
        trimming: true,
        first_cut: FirstCut::AlongW,
        effort,
    });
    let placed: Vec<usize> = (0..items.len())
        .filter(|i| !solved.unplaced.contains(i))
        .collect();
    let usable = |side: Length| side - shop.trim * 2;
    let longest = sizes.iter().map(|s| usable(s.long)).max();
    let widest = sizes.iter().map(|s| usable(s.wide)).max();
    let grain_long = match grain {
        SheetGrain::Long => Some(true),
        SheetGrain::Wide => Some(false),
        SheetGrain::None => None,
    };
    let sheets = solved
        .laid
        .into_iter()
        .map(|(source, node)| {
            let placed = |item: usize, turned: bool, area| Placed {
                part: parts[item].clone(),
                more: Vec::new(),
                stave: None,
                area,
                length: rough[item].0,
                width: rough[item].1,
                across: turned != (grain == SheetGrain::Wide),
            };
            sheet(
                node,
                &sources[source],
                &items,
                shop.kerf,
                grain_long,
                placed,
            )
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

/// One sheet, board or strip: what lies on it, how it is cut, what stays over.
pub(super) fn sheet(
    node: Node,
    source: &Source,
    items: &[Item],
    kerf: Length,
    grain_long: Option<bool>,
    place: impl Fn(usize, bool, super::Rect) -> Placed,
) -> Sheet {
    let out = set_out(node, source, items, kerf);
    let placed: Vec<Placed> = out
        .puts
        .into_iter()
        .map(|(item, turned, area)| place(item, turned, area))
        .collect();
    let sawn = placed
        .iter()
        .fold(Rational::ZERO, |sum, p| sum + area(p.length, p.width));
    let mut sheet = Sheet {
        number: 0,
        size: source.size,
        long: source.long,
        wide: source.wide,
        grain_long,
        placed,
        cuts: out.cuts,
        offcuts: Vec::new(),
        waste: Vec::new(),
        used: sawn / area(source.long, source.wide),
    };
    (sheet.offcuts, sheet.waste) = offcuts(&sheet, out.rests);
    sheet
}
