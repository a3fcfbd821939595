//! How the shop cuts: which way first, in how many rounds, how long and how heavy; and what it keeps.

use super::cuts::Keep;
use super::item::{Item, Source};
use crate::cutting::{FirstCut, Stages};
use crate::measure::{Length, Rational};
use crate::model::{FirstCuts, Model, StockId};

/// What the engine is told of the shop.
#[derive(Clone, Copy, Debug)]
pub(super) struct Style {
    pub(super) first: FirstCuts,
    pub(super) stages: Stages,
    /// The longest cut.
    pub(super) longest: Option<Length>,
    /// What is kept of what stays over.
    pub(super) keep: Keep,
}

/// For sheets: along first, in three rounds, unless the shop says otherwise or its saw does not reach.
pub(super) fn of_sheets(model: &Model, sources: &[Source], grain_long: Option<bool>) -> Style {
    let shop = &model.shop;
    let reaches = shop
        .saw_long
        .is_none_or(|most| sources.iter().all(|s| s.long <= most));
    let unless = match reaches {
        true => FirstCuts::Along,
        false => FirstCuts::Either,
    };
    Style {
        first: shop.first_sheets.unwrap_or(unless),
        stages: match shop.cut_rounds {
            2 => Stages::Two,
            _ => Stages::Three,
        },
        longest: shop.saw_long,
        keep: (grain_long, shop.keep_sheet),
    }
}

/// For boards: whichever way is better first, unless the shop says otherwise, in two rounds.
pub(super) fn of_boards(model: &Model) -> Style {
    Style {
        first: model.shop.first_boards.unwrap_or(FirstCuts::Either),
        stages: Stages::Two,
        longest: None,
        keep: (Some(true), model.shop.keep_board),
    }
}

impl Style {
    /// The same in the engine's words.
    pub(super) fn first_cut(&self) -> FirstCut {
        match self.first {
            FirstCuts::Along => FirstCut::AlongW,
            FirstCuts::Across => FirstCut::AlongH,
            FirstCuts::Either => FirstCut::Any,
        }
    }
}

/// The weight of a square millimetre of a stock of this thickness, kilograms.
pub(super) fn by_area(model: &Model, stock: StockId, thick: Length) -> Option<Rational> {
    let density = model.density(model.stocks.get(stock.0 as usize)?)?;
    Some(density.value * thick.as_mm() / Rational::int(1_000_000_000))
}

/// Keeps first pieces so light that one person carries them, by what a square millimetre weighs. Where a
/// part can't be had so, the lightest first piece that holds it is let through.
pub(super) fn light(
    sources: &mut [Source],
    items: &[Item],
    first: FirstCuts,
    lift: Rational,
    by_area: Rational,
) {
    if by_area.is_zero() {
        return;
    }
    let area = lift / by_area;
    // Strips that follow each other across are as long as the sheet, and the other way round.
    let axes: &[usize] = match first {
        FirstCuts::Along => &[1],
        FirstCuts::Across => &[0],
        FirstCuts::Either => &[0, 1],
    };
    for source in sources.iter_mut() {
        source.widest =
            [source.wide, source.long].map(|side| Some(Length::from_mm(area / side.as_mm())));
    }
    let extents = |source: &Source, item: &Item, axis: usize| {
        let ways = [
            Some(item.lies(false)),
            item.may_turn.then(|| item.lies(true)),
        ];
        let [long, wide] = source.usable();
        let fits = ways
            .into_iter()
            .flatten()
            .filter(|l| l[0] <= long && l[1] <= wide);
        fits.map(|l| l[axis]).min()
    };
    for item in items {
        let held = sources.iter().any(|source| {
            let holds = |axis: &usize| {
                let least = extents(source, item, *axis);
                least.is_some_and(|least| source.widest[*axis].is_none_or(|most| least <= most))
            };
            axes.iter().any(holds)
        });
        if held {
            continue;
        }
        let heavy = (0..sources.len())
            .flat_map(|s| axes.iter().map(move |axis| (s, *axis)))
            .filter_map(|(s, axis)| {
                let least = extents(&sources[s], item, axis)?;
                let sides = [sources[s].long, sources[s].wide];
                let weight = least.as_mm() * sides[1 - axis].as_mm();
                Some((weight, s, axis, least))
            })
            .min();
        if let Some((_, s, axis, least)) = heavy {
            sources[s].widest[axis] = Some(least);
        }
    }
}
