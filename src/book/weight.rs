//! What pieces and sheets weigh, for cautions about lifting. Rounded up: the figure warns.
//!
//! Densities are those of the model: of a stock, its species or its core. What has none is named and
//! not weighed. Hardware is left out, as its weight is not stated.

use crate::measure::{Length, Units};
use crate::model::{
    AssemblyId, AssemblyKind, Model, Part, PartId, Piece, Size, Stock, StockId, StockKind,
};
use crate::solid::Wood;
use std::collections::BTreeSet;

/// Kilograms of a cubic metre that wood and panels for furniture stay below: nearly all of them float.
/// A bound for what is not known, never a weight.
const BOUND: f64 = 1000.0;

fn cubic_metres(size: &Size) -> f64 {
    let cubic_mm = size.length.to_f64_mm() * size.width.to_f64_mm() * size.thick.to_f64_mm();
    cubic_mm * 1e-9
}

fn stock_of<'a>(model: &'a Model, part: &Part) -> Option<&'a Stock> {
    model.stocks.get(part.stock.0 as usize)
}

/// The wood of a part, its cuts taken off. Where a number does not fit, which the rules have reported, they
/// are not.
fn wood(part: &Part) -> f64 {
    let volume = Wood::of(part).and_then(|wood| wood.volume());
    volume.map_or(cubic_metres(&part.size), |volume| volume * 1e-9)
}

/// Kilograms of a part, its cuts taken off, if the density of its stock is known.
pub fn part(model: &Model, part: &Part) -> Option<f64> {
    let density = model.density(stock_of(model, part)?)?;
    Some(wood(part) * density.value.to_f64())
}

/// What one copy of a piece weighs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Weight {
    /// All of it whose density is known, whole kilograms, rounded up.
    pub whole: u32,
    /// With drawers, doors and loose shelves out, rounded up.
    pub bare: u32,
    /// Stock of its parts whose density is not known; its parts are not in the figures.
    pub unknown: BTreeSet<StockId>,
    /// More than it can weigh, those parts in.
    pub bound: u32,
}

/// Weighs a piece.
pub fn piece(model: &Model, piece: &Piece) -> Weight {
    weigh(model, piece, piece.parts.iter())
}

/// Something that is carried by itself: a case with all in it, a worktop, a filler, a kick.
#[derive(Clone, Debug)]
pub struct Thing {
    /// What it is called.
    pub name: String,
    /// Its parts.
    pub parts: Vec<PartId>,
    /// What it weighs.
    pub weight: Weight,
}

/// What of a piece is carried by itself, each weighed: cases that stand in no other in their order, then
/// what is fitted.
pub fn things(model: &Model, piece: &Piece) -> Vec<Thing> {
    let mut out: Vec<(Option<AssemblyId>, String, Vec<&Part>)> = Vec::new();
    for case in piece.outer_cases() {
        let name = piece.assembly(case.assembly).label.clone();
        out.push((Some(case.assembly), name, Vec::new()));
    }
    for one in &piece.parts {
        match piece.outer_case(one.assembly) {
            Some(case) => {
                let of = out.iter_mut().find(|(id, ..)| *id == Some(case.assembly));
                if let Some((.., parts)) = of {
                    parts.push(one);
                }
            }
            None if one.host.is_none() => {
                let strips = one.bands.iter().map(|band| piece.part(band.strip));
                let parts = std::iter::once(one).chain(strips).collect();
                out.push((None, one.label.clone(), parts));
            }
            None => {}
        }
    }
    out.into_iter()
        .map(|(_, name, parts)| Thing {
            name,
            parts: parts.iter().map(|part| part.id).collect(),
            weight: weigh(model, piece, parts.into_iter()),
        })
        .collect()
}

fn weigh<'a>(model: &Model, piece: &Piece, parts: impl Iterator<Item = &'a Part>) -> Weight {
    let (mut whole, mut bare, mut bound) = (0.0, 0.0, 0.0);
    let mut unknown = BTreeSet::new();
    for one in parts {
        let Some(kilograms) = part(model, one) else {
            unknown.insert(one.stock);
            bound += wood(one) * BOUND;
            continue;
        };
        whole += kilograms;
        bound += kilograms;
        let stays = piece
            .assemblies
            .get(one.assembly.0 as usize)
            .is_none_or(|assembly| match assembly.kind {
                AssemblyKind::Case | AssemblyKind::Fitted => true,
                AssemblyKind::Drawer | AssemblyKind::Leaf | AssemblyKind::Shelf => false,
            });
        if stays {
            bare += kilograms;
        }
    }
    Weight {
        whole: up(whole),
        bare: up(bare),
        unknown,
        bound: up(bound),
    }
}

/// The largest sheet that a stock is sold in.
#[derive(Clone, Copy, Debug)]
pub struct WholeSheet {
    /// The longer way, the other way, the thickness.
    pub size: (Length, Length, Length),
    /// Kilograms, rounded up, if its density is known.
    pub weighs: Option<u32>,
    /// More than it can weigh.
    pub bound: u32,
}

/// The largest sheet that a stock is sold in, if it is a sheet.
pub fn sheet(model: &Model, stock: &Stock) -> Option<WholeSheet> {
    let StockKind::Sheet {
        measured, sizes, ..
    } = &stock.kind
    else {
        return None;
    };
    let density = model.density(stock).map(|density| density.value.to_f64());
    let largest = sizes
        .iter()
        .max_by_key(|size| size.long.as_mm() * size.wide.as_mm())?;
    let volume = cubic_metres(&Size {
        length: largest.long,
        width: largest.wide,
        thick: *measured,
    });
    Some(WholeSheet {
        size: (largest.long, largest.wide, *measured),
        weighs: density.map(|density| up(volume * density)),
        bound: up(volume * density.unwrap_or(BOUND)),
    })
}

/// What one person lifts at most without a second thought: common practice; many workplace rules
/// name 23 to 25 kg.
pub const ALONE: u32 = 25;

/// Kilograms, with pounds first for makers who work in inches (1 lb = 0.45359237 kg).
pub fn mass(units: Units, kilograms: u32) -> String {
    match units {
        Units::Mm => format!("{kilograms} kg"),
        Units::Inch(_) => {
            let pounds = (f64::from(kilograms) / 0.453_592_37).ceil();
            format!("{pounds} lb ({kilograms} kg)")
        }
    }
}

fn up(kilograms: f64) -> u32 {
    kilograms.ceil().clamp(0.0, f64::from(u32::MAX)) as u32
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{SoldSize, fixture};

    /// 2.44 x 1.22 x 0.0176 m = 0.052392 m3; times 680 = 35.63 kg, of the larger of two sizes.
    #[test]
    fn a_sheet_is_weighed() {
        let mut model = fixture::cabinet();
        let small = SoldSize {
            long: Length::mm(1220),
            wide: Length::mm(1220),
            price: None,
            origin: fixture::line(1),
        };
        let StockKind::Sheet { sizes, .. } = &mut model.stocks[0].kind else {
            panic!("a sheet")
        };
        sizes.insert(0, small);
        assert_eq!(sheet(&model, &model.stocks[0]).unwrap().weighs, Some(36));
    }

    /// The fixture's cabinet: its shelf comes out, so it is lighter without.
    #[test]
    fn loose_parts_come_off() {
        let model = fixture::cabinet();
        let weight = piece(&model, &model.pieces[0]);
        assert!(weight.bare < weight.whole && weight.bare > 5, "{weight:?}");
        assert!(weight.unknown.is_empty() && weight.bound == weight.whole);
    }

    /// What nobody stated is no figure: the parts of such a stock are named and not weighed.
    #[test]
    fn what_is_not_known_is_not_guessed() {
        let mut model = fixture::cabinet();
        let known = piece(&model, &model.pieces[0]);
        model.stocks[0].material = None;
        let weight = piece(&model, &model.pieces[0]);
        assert_eq!(weight.unknown, BTreeSet::from([StockId(0)]));
        assert!(weight.whole < known.whole && weight.bound > known.whole);
        let whole = sheet(&model, &model.stocks[0]).unwrap();
        assert_eq!((whole.weighs, whole.bound), (None, 53));
    }

    /// A stock's own density goes before that of what it is made of: 0.052392 m3 x 610 = 31.96 kg.
    #[test]
    fn a_stocks_own_density_goes_first() {
        let mut model = fixture::cabinet();
        model.stocks[0].density = Some(crate::model::Figure {
            value: crate::measure::Rational::int(610),
            source: None,
        });
        assert_eq!(sheet(&model, &model.stocks[0]).unwrap().weighs, Some(32));
    }
}
