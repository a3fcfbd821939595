//! Which side of a part of sheet that is good on one face must be the good one.

use crate::measure::Rational;
use crate::model::{AssemblyKind, Model, Part, PartRef, Side, Stock};
use crate::sight::Woods;
use std::collections::BTreeMap;

/// The side of each such part that shows more; parts of which neither shows, and of drawer boxes, are left
/// out: they lie as they like.
pub fn good_sides(model: &Model) -> BTreeMap<PartRef, Side> {
    let one_good = |part: &Part| {
        let stock = model.stocks.get(part.stock.0 as usize);
        stock.is_some_and(Stock::is_good_on_one)
    };
    let mut sides = BTreeMap::new();
    for (at, piece) in model.pieces.iter().enumerate() {
        if !piece.parts.iter().any(one_good) {
            continue;
        }
        let woods = Woods::of(piece);
        let sight = woods.sight(piece);
        for part in piece.parts.iter().filter(|part| one_good(part)) {
            if piece.assembly(part.assembly).kind == AssemblyKind::Drawer {
                continue;
            }
            // What does not fit a number is an error of the text: no book is made of it.
            let Ok([(face, shown), (reverse, behind)]) = sight.faces(part) else {
                continue;
            };
            let side = if behind > shown { reverse } else { face };
            if shown.max(behind) > Rational::ZERO {
                let piece = at as u32;
                sides.insert(
                    PartRef {
                        piece,
                        part: part.id,
                    },
                    side,
                );
            }
        }
    }
    sides
}
