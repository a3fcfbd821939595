//! What pieces and sheets weigh, for cautions about lifting. Rounded up: the figure warns.
//!
//! Densities are common practice for furniture woods and panels, kilograms a cubic metre, the upper
//! part of 600 to 750; hardware is left out, as its weight is not stated.

use crate::measure::Length;
use crate::model::{AssemblyKind, Model, Part, Piece, Size, StockKind};

/// Panels.
pub const SHEET_DENSITY: f64 = 700.0;
/// Solid wood, edging included.
pub const BOARD_DENSITY: f64 = 750.0;

fn density(kind: &StockKind) -> f64 {
    match kind {
        StockKind::Sheet { .. } => SHEET_DENSITY,
        StockKind::Board { .. } | StockKind::Edging { .. } => BOARD_DENSITY,
    }
}

/// Kilograms of a block.
fn block(size: &Size, density: f64) -> f64 {
    let cubic_mm = size.length.to_f64_mm() * size.width.to_f64_mm() * size.thick.to_f64_mm();
    cubic_mm * 1e-9 * density
}

/// Kilograms of a part as sawn, its cuts not taken off.
pub fn part(model: &Model, part: &Part) -> f64 {
    model
        .stocks
        .get(part.stock.0 as usize)
        .map_or(0.0, |stock| block(&part.size, density(&stock.kind)))
}

/// What one copy of a piece weighs.
#[derive(Clone, Copy, Debug)]
pub struct Weight {
    /// All of it, whole kilograms, rounded up.
    pub whole: u32,
    /// With drawers, doors and loose shelves out, rounded up.
    pub bare: u32,
}

/// Weighs a piece.
pub fn piece(model: &Model, piece: &Piece) -> Weight {
    let (mut whole, mut bare) = (0.0, 0.0);
    for one in &piece.parts {
        let kilograms = part(model, one);
        whole += kilograms;
        let stays = piece
            .assemblies
            .get(one.assembly.0 as usize)
            .is_none_or(|assembly| match assembly.kind {
                AssemblyKind::Case => true,
                AssemblyKind::Drawer | AssemblyKind::Leaf | AssemblyKind::Shelf => false,
            });
        if stays {
            bare += kilograms;
        }
    }
    Weight {
        whole: up(whole),
        bare: up(bare),
    }
}

/// The heaviest sheet that a stock is sold in, if it is a sheet: its size and kilograms.
pub fn sheet(kind: &StockKind) -> Option<(Length, Length, Length, u32)> {
    match kind {
        StockKind::Sheet {
            measured, sizes, ..
        } => sizes
            .iter()
            .map(|size| {
                let whole = Size {
                    length: size.long,
                    width: size.wide,
                    thick: *measured,
                };
                (
                    size.long,
                    size.wide,
                    *measured,
                    up(block(&whole, SHEET_DENSITY)),
                )
            })
            .max_by_key(|(.., kilograms)| *kilograms),
        StockKind::Board { .. } | StockKind::Edging { .. } => None,
    }
}

fn up(kilograms: f64) -> u32 {
    kilograms.ceil().clamp(0.0, f64::from(u32::MAX)) as u32
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{SheetGrain, SheetSize, fixture};

    /// 2.44 x 1.22 x 0.0176 m = 0.052392 m3; times 700 = 36.67 kg.
    #[test]
    fn a_sheet_is_weighed() {
        let size = |long, wide| SheetSize {
            long: Length::mm(long),
            wide: Length::mm(wide),
            price: None,
            origin: fixture::line(1),
        };
        let kind = StockKind::Sheet {
            nominal: Length::mm(18),
            measured: Length::um(17_600),
            by_measure: true,
            sizes: vec![size(1220, 1220), size(2440, 1220)],
            grain: SheetGrain::Long,
        };
        assert_eq!(sheet(&kind).map(|(.., kilograms)| kilograms), Some(37));
    }

    /// The fixture's cabinet: its shelf comes out, so it is lighter without.
    #[test]
    fn loose_parts_come_off() {
        let model = fixture::cabinet();
        let weight = piece(&model, &model.pieces[0]);
        assert!(weight.bare < weight.whole && weight.bare > 5, "{weight:?}");
    }
}
