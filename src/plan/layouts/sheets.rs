//! From parts of one sheet stock to sheets, set out as they are cut.

use super::bound::bound;
use super::cuts::{Keep, offcuts, set_out};
use super::item::{Item, Node, Source};
use super::solve::{Question, solve, worths};
use super::{PartCopy, Placed, Sheet, StockLayout, Taken, area, rack, style};
use crate::cutting::Effort;
use crate::measure::{Length, Rational};
use crate::model::{Grain, Model, PartId, SheetGrain, StockId, StockKind};

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
    let mut items: Vec<Item> = parts
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
                run: None,
            }
        })
        .collect();
    let runs = runs(model, &parts, grain);
    let order = |item: usize| {
        runs.iter().find_map(|(_, of)| {
            let at = of.iter().position(|i| *i == item)?;
            Some((at as u32 + 1, of.len() as u32))
        })
    };
    for (axis, members) in &runs {
        items.push(Item::run(&items, *axis, members.clone(), shop.kerf));
    }
    let sold = sizes.iter().map(|s| (s.long, s.wide, s.price.as_ref()));
    let (worths, currency) = worths(sold, measured);
    let mut sources: Vec<Source> = sizes
        .iter()
        .zip(worths)
        .enumerate()
        .map(|(k, (size, worth))| Source {
            taken: Taken::Bought(k),
            long: size.long,
            wide: size.wide,
            trim: shop.trim,
            worth,
            copies: None,
            widest: [None; 2],
        })
        .collect();
    let on_hand = rack::sources(model, stock, Length::ZERO, rack::cheapest(&sources));
    let racked = !on_hand.is_empty();
    sources.extend(on_hand);
    let grain_long = match grain {
        SheetGrain::Long => Some(true),
        SheetGrain::Wide => Some(false),
        SheetGrain::None => None,
    };
    let style = style::of_sheets(model, &sources, grain_long);
    let by_area = style::by_area(model, stock, measured);
    let lay = |sources: &[Source]| {
        solve(&Question {
            items: &items,
            sources,
            currency: currency.clone(),
            kerf: shop.kerf,
            style,
            trimming: true,
            effort,
        })
    };
    let mut for_lift = None;
    let solved = match shop.lift.zip(by_area) {
        Some((lift, by_area)) => {
            let unbound = lay(&sources).cost.cost;
            style::light(&mut sources, &items, style.first, lift, by_area);
            let solved = lay(&sources);
            // What is light enough would do without the limit too.
            for_lift = Some((solved.cost.cost - unbound).max(Rational::ZERO));
            solved
        }
        None => lay(&sources),
    };
    let placed: Vec<usize> = (0..parts.len())
        .filter(|i| !solved.unplaced.contains(i))
        .collect();
    let usable = |side: Length| side - shop.trim * 2;
    let longest = sizes.iter().map(|s| usable(s.long)).max();
    let widest = sizes.iter().map(|s| usable(s.wide)).max();
    let sheets = solved
        .laid
        .into_iter()
        .map(|(source, node)| {
            let placed = |item: usize, turned: bool, area| Placed {
                part: parts[item].clone(),
                more: Vec::new(),
                stave: None,
                sequence: order(item),
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
                style.keep,
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
            .filter(|_| !racked)
            .and_then(|(l, w)| bound(&items, &placed, l, w, shop.kerf)),
        cost: solved.cost,
        kerf: shop.kerf,
        trim: shop.trim,
        allowance: shop.rough_sheet,
        first: style.first,
        rounds: shop.cut_rounds,
        by_area,
        for_lift,
    }
}

/// The runs of matched fronts, each once a copy: along `x` or `y` of the sheet, and its parts in order.
fn runs(model: &Model, parts: &[PartCopy], grain: SheetGrain) -> Vec<(usize, Vec<usize>)> {
    let mut out = Vec::new();
    for (index, piece) in model.pieces.iter().enumerate() {
        for row in &piece.matched {
            // `x` runs along the grain where that runs along the sheet.
            let axis = usize::from(row.along_grain(piece) != (grain != SheetGrain::Wide));
            for letter in &piece.letters {
                let find = |part: &PartId| {
                    parts.iter().position(|copy| {
                        copy.part.piece as usize == index
                            && copy.part.part == *part
                            && copy.letter == *letter
                    })
                };
                // Of another stock: not here.
                let members: Option<Vec<usize>> = row.parts.iter().map(find).collect();
                out.extend(members.map(|members| (axis, members)));
            }
        }
    }
    out
}

/// One sheet, board or strip: what lies on it, how it is cut, what stays over.
pub(super) fn sheet(
    node: Node,
    source: &Source,
    items: &[Item],
    kerf: Length,
    keep: Keep,
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
    let (offcuts, waste) = offcuts(out.rests, keep);
    Sheet {
        number: 0,
        taken: source.taken,
        long: source.long,
        wide: source.wide,
        trim: source.trim,
        grain_long: keep.0,
        placed,
        cuts: out.cuts,
        offcuts,
        waste,
        used: sawn / area(source.long, source.wide),
    }
}
