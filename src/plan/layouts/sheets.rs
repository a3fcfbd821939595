//! From parts of one sheet stock to sheets: every size that is sold is tried, the cheaper whole taken.

use super::bound::bound;
use super::cuts::{offcuts, sheet_cuts};
use super::pack::{Bin, Item, Manner, down, pack, up};
use super::{PartCopy, Placed, Rect, Sheet, StockLayout, area};
use crate::measure::{Length, Rational};
use crate::model::{Grain, Model, Per, SheetGrain, SheetSize, StockId, StockKind};
use std::cmp::Reverse;

/// Lays out the parts of a sheet stock.
pub(super) fn lay_out(model: &Model, stock: StockId, parts: Vec<PartCopy>) -> StockLayout {
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
    let chosen = choose(&items, sizes, shop.kerf, shop.trim);
    let placed: Vec<usize> = (0..items.len())
        .filter(|i| !chosen.unplaced.contains(i))
        .collect();
    let usable = |side: Length| side - shop.trim * 2;
    let longest = sizes.iter().map(|s| usable(s.long)).max();
    let widest = sizes.iter().map(|s| usable(s.wide)).max();
    let sheets = chosen
        .bins
        .into_iter()
        .map(|bin| {
            let size = &sizes[bin.kind];
            let bin = bin.exact(&items, shop.kerf, usable(size.long), usable(size.wide));
            sheet(&parts, &rough, bin, size, grain, shop.kerf, shop.trim)
        })
        .collect();
    StockLayout {
        stock,
        thick: measured,
        sheets,
        unplaced: chosen
            .unplaced
            .iter()
            .filter_map(|i| Some((parts.get(*i)?.clone(), rough.get(*i)?.0, rough.get(*i)?.1)))
            .collect(),
        bound: longest
            .zip(widest)
            .and_then(|(l, w)| bound(&items, &placed, l, w, shop.kerf)),
        kerf: shop.kerf,
        trim: shop.trim,
        allowance: shop.rough_sheet,
    }
}

/// What a way of packing costs; smaller is better. Price where every size has one in one currency,
/// then area, then number, then the number of distinct strips (settings of the fence).
type Cost = (usize, Rational, Rational, usize, usize);

struct Packing {
    bins: Vec<Bin<i64>>,
    unplaced: Vec<usize>,
}

/// How many parts are placed in all the tries together: bounds the work, not the clock, so that the
/// result is the same everywhere.
const PLACINGS: usize = 40_000;

/// Tries every manner with every size first and every size after so many sheets, then other orders
/// of the parts, and keeps the cheapest whole.
fn choose(items: &[Item], sizes: &[SheetSize], kerf: Length, trim: Length) -> Packing {
    let mut best: Option<(Cost, Packing)> = None;
    let mut left = PLACINGS;
    let usable = |k: usize| {
        sizes
            .get(k)
            .map(|size| (size.long - trim * 2, size.wide - trim * 2))
    };
    // Where one size alone is sold and as few sheets are used as any way needs, no more is tried.
    let longest = (0..sizes.len()).filter_map(usable).map(|u| u.0).max();
    let widest = (0..sizes.len()).filter_map(usable).map(|u| u.1).max();
    let least = longest
        .zip(widest)
        .filter(|_| sizes.len() == 1)
        .and_then(|(l, w)| {
            let fits = |i: &usize| {
                items.get(*i).is_some_and(|i| {
                    (i.long <= l && i.wide <= w) || (i.may_turn && i.wide <= l && i.long <= w)
                })
            };
            let placeable: Vec<usize> = (0..items.len()).filter(fits).collect();
            bound(items, &placeable, l, w, kerf)
        })
        .map(|b| b.sheets as usize);
    let mut seed = 1u64;
    for round in 0.. {
        let orders = if round == 0 {
            Manner::all(items)
        } else {
            Manner::plain()
        };
        let mut shuffled: Vec<usize> = (0..items.len()).collect();
        if round > 0 {
            jostle(&mut shuffled, items, &mut seed);
        }
        let turned: Vec<Item> = shuffled
            .iter()
            .filter_map(|i| items.get(*i).cloned())
            .collect();
        for manner in orders {
            for (first, then, after) in
                sequences(sizes.len(), best.as_ref().map_or(1, |(c, _)| c.3))
            {
                let open = |long: i64, wide: i64, opened: usize| {
                    let main = if opened < after { first } else { then };
                    // The main size where it will do, else the first other one that is large enough.
                    std::iter::once(main)
                        .chain((0..sizes.len()).filter(|k| *k != main))
                        .find_map(|k| {
                            let (l, w) = usable(k).map(|(l, w)| (down(l), down(w)))?;
                            (long <= l && wide <= w).then_some((k, l, w))
                        })
                };
                let (mut bins, unplaced) = pack(&turned, manner, up(kerf), &open);
                for bin in &mut bins {
                    shrink(bin, &turned, sizes, manner, kerf, trim);
                }
                left = left.saturating_sub(items.len());
                let cost = cost(&bins, unplaced.len(), sizes);
                if best.as_ref().is_none_or(|(c, _)| cost < *c) {
                    for put in puts(&mut bins) {
                        put.item = shuffled[put.item];
                    }
                    let mut unplaced: Vec<usize> = unplaced.iter().map(|i| shuffled[*i]).collect();
                    unplaced.sort_unstable();
                    best = Some((cost, Packing { bins, unplaced }));
                }
            }
        }
        let fewest = best
            .as_ref()
            .is_some_and(|(c, _)| least.is_some_and(|least| c.3 <= least));
        if left == 0 || fewest || sizes.is_empty() || items.len() < 2 {
            break;
        }
    }
    best.map_or_else(
        || Packing {
            bins: Vec::new(),
            unplaced: (0..items.len()).collect(),
        },
        |(_, packing)| packing,
    )
}

/// Which size the first sheets have, which the others, and from which sheet on.
fn sequences(sizes: usize, sheets: usize) -> Vec<(usize, usize, usize)> {
    let mut out: Vec<_> = (0..sizes).map(|k| (k, k, 0)).collect();
    for first in 0..sizes {
        for then in (0..sizes).filter(|k| *k != first) {
            out.extend((1..=sheets.min(12)).map(|after| (first, then, after)));
        }
    }
    out
}

/// Another order that still puts large parts early: each extent is weighed by a factor of its own
/// between 0.7 and 1.3 (64-bit linear congruence, Knuth's constants).
fn jostle(order: &mut [usize], items: &[Item], seed: &mut u64) {
    let mut next = || {
        *seed = seed
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        i64::try_from((*seed >> 40) % 601).unwrap_or(0) + 700
    };
    let weights: Vec<i128> = items
        .iter()
        .map(|i| i128::from(up(i.wide) + up(i.long) / 4) * i128::from(next()))
        .collect();
    order.sort_by(|a, b| weights[*b].cmp(&weights[*a]).then(a.cmp(b)));
}

fn puts(bins: &mut [Bin<i64>]) -> impl Iterator<Item = &mut super::pack::Put<i64>> {
    bins.iter_mut()
        .flat_map(|b| &mut b.strips)
        .flat_map(|s| &mut s.columns)
        .flat_map(|c| &mut c.stack)
}

/// Puts what a sheet holds on one of another size if that is cheaper.
fn shrink(
    bin: &mut Bin<i64>,
    items: &[Item],
    sizes: &[SheetSize],
    manner: Manner,
    kerf: Length,
    trim: Length,
) {
    let held: Vec<usize> = bin
        .strips
        .iter()
        .flat_map(|s| &s.columns)
        .flat_map(|c| &c.stack)
        .map(|p| p.item)
        .collect();
    let few: Vec<Item> = held.iter().filter_map(|i| items.get(*i).cloned()).collect();
    for (k, size) in sizes.iter().enumerate() {
        let (l, w) = (down(size.long - trim * 2), down(size.wide - trim * 2));
        let open = |long: i64, wide: i64, _: usize| (long <= l && wide <= w).then_some((k, l, w));
        let (mut other, left) = pack(&few, manner, up(kerf), &open);
        let (Some(found), true, true) = (other.pop(), other.is_empty(), left.is_empty()) else {
            continue;
        };
        let one = std::slice::from_ref(bin);
        if cost(std::slice::from_ref(&found), 0, sizes) < cost(one, 0, sizes) {
            *bin = found;
            for put in puts(std::slice::from_mut(bin)) {
                put.item = held[put.item];
            }
        }
    }
}

fn cost(bins: &[Bin<i64>], unplaced: usize, sizes: &[SheetSize]) -> Cost {
    let prices: Vec<Option<Rational>> = sizes.iter().map(sheet_price).collect();
    let currencies: Vec<&str> = sizes
        .iter()
        .filter_map(|s| Some(s.price.as_ref()?.currency.as_str()))
        .collect();
    let comparable =
        prices.iter().all(Option::is_some) && currencies.windows(2).all(|pair| pair[0] == pair[1]);
    let sum = |of: &dyn Fn(&Bin<i64>) -> Rational| {
        bins.iter().fold(Rational::ZERO, |sum, bin| sum + of(bin))
    };
    let price = if comparable {
        sum(&|bin| {
            prices
                .get(bin.kind)
                .copied()
                .flatten()
                .unwrap_or(Rational::ZERO)
        })
    } else {
        Rational::ZERO
    };
    let whole = sum(&|bin| {
        sizes
            .get(bin.kind)
            .map_or(Rational::ZERO, |s| area(s.long, s.wide))
    });
    let settings = bins
        .iter()
        .map(|bin| {
            let mut wide: Vec<i64> = bin.strips.iter().map(|s| s.wide).collect();
            wide.sort_unstable();
            wide.dedup();
            let columns: usize = bin.strips.iter().map(|s| s.columns.len()).sum();
            wide.len() + columns
        })
        .sum();
    (unplaced, price, whole, bins.len(), settings)
}

/// The price of one sheet, whether it was stated by the sheet or by its area.
pub(crate) fn sheet_price(size: &SheetSize) -> Option<Rational> {
    let price = size.price.as_ref()?;
    match price.per {
        Per::One => Some(price.amount),
        Per::Area => Some(price.amount * area(size.long, size.wide)),
        _ => None,
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
