//! What is on hand and holds no part.

use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{Grain, Model, OnHand, OnHandKind, Part, PartRef, Piece, SheetGrain, StockKind};
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

/// Holds every row of the rack against the parts of its stock, over all pieces: one of them must lie on a
/// length between its faults, at its size for breakdown and as its grain must run, and of boards come from
/// that rough thickness. The rack is the whole commission's, so a row is told with the first piece that has
/// parts of its stock; what is of a stock that no part is of waits for another job.
pub fn check(view: &View, report: &mut Report) {
    let model = view.model;
    for row in &model.rack {
        let parts = parts(model, row);
        let Some(stock) = model.stocks.get(row.stock.0 as usize) else {
            continue;
        };
        let with = model
            .pieces
            .iter()
            .find(|piece| of_stock(piece, row).next().is_some());
        if !with.is_some_and(|piece| std::ptr::eq(piece, view.piece)) {
            continue;
        }
        let thick: Vec<Length> = parts.iter().filter_map(|part| part.rough).collect();
        let another = row.kind == OnHandKind::Board && !thick.contains(&row.thick);
        let held = parts.iter().any(|part| part.lies_on(model, row));
        let lines = of_stock(view.piece, row).map(|part| part.origin.span);
        let word = row.kind.word();
        let measured = Measured::none_of(
            &code::STOCK_RACK_IDLE,
            format!(
                "{word} of {} on the rack, {} long, without use",
                stock.title,
                view.text(row.long)
            ),
            usize::from(!held),
        )
        .by("parts at their size for breakdown, against each clear length")
        .from("the rack")
        // Any of these parts may say that it is so on purpose.
        .lines(std::iter::once(row.origin.span).chain(lines))
        .of_many();
        report.judge(measured, || {
            let title = format!("no part is sawn from this {word} on the rack");
            let new = |label: String| {
                Diagnostic::new(&code::STOCK_RACK_IDLE, title, row.origin.span, label)
            };
            let mut rough = thick;
            rough.sort_unstable();
            rough.dedup();
            let told: Vec<String> = rough.iter().map(|thick| view.text(*thick)).collect();
            match parts.iter().min_by_key(|part| part.size) {
                Some(least) if !another => {
                    let [long, wide] = least.size;
                    let size = match row.kind {
                        OnHandKind::Strip => format!("{} long", view.text(long)),
                        _ => format!("{} x {}", view.plain(long), view.text(wide)),
                    };
                    new(format!("too small for each part of `{}`", stock.name))
                        .note(format!("the shortest of them is {size} for breakdown"))
                        .help("take it off the rack, or leave it there for another job")
                }
                _ => new(format!("{} rough", view.text(row.thick)))
                    .note(format!("parts of `{}` come from {} rough", stock.name, told.join(", ")))
                    .help("write the rough thickness as the stock states it, or leave it for another job"),
            }
        });
    }
}

/// A part for breakdown, or one of the staves that it is glued up of.
struct Sawn {
    /// Along its length and across.
    size: [Length; 2],
    /// Whether it may lie either way.
    turns: bool,
    /// The rough thickness that it is planed from; `None` of sheets, and of what none on sale is thick enough
    /// for.
    rough: Option<Length>,
}

fn of_stock<'a>(piece: &'a Piece, row: &OnHand) -> impl Iterator<Item = &'a Part> {
    let stock = row.stock;
    piece.parts.iter().filter(move |part| part.stock == stock)
}

/// The parts that are of a row's stock, of all pieces.
fn parts(model: &Model, row: &OnHand) -> Vec<Sawn> {
    let mut out = Vec::new();
    let kind = model.stocks.get(row.stock.0 as usize).map(|s| &s.kind);
    for (piece, of) in (0..).zip(&model.pieces) {
        for part in of_stock(of, row) {
            let at = PartRef {
                piece,
                part: part.id,
            };
            let (long, mut wide) = model.rough_size(at);
            if let Some(staves) = model.staves(at) {
                wide = staves.rough;
            }
            let (turns, rough) = match kind {
                Some(StockKind::Sheet { grain, .. }) => (
                    *grain == SheetGrain::None || part.grain == Grain::None,
                    None,
                ),
                Some(StockKind::Board { rough, .. }) => {
                    let sawn = model.sawn_size(at);
                    let planed = match model.ripped_off(at) {
                        true => sawn.width,
                        false => sawn.thick,
                    };
                    let least = planed + model.shop.rough_board.2;
                    let enough = rough.iter().copied().filter(|rough| *rough >= least);
                    // What none is thick enough for is planned at its own, which an error tells.
                    (false, enough.min().or(Some(row.thick)))
                }
                _ => (false, None),
            };
            out.push(Sawn {
                size: [long, wide],
                turns,
                rough,
            });
        }
    }
    out
}

impl Sawn {
    fn lies_on(&self, model: &Model, row: &OnHand) -> bool {
        if self.rough.is_some_and(|rough| rough != row.thick) {
            return false;
        }
        let across = match model.stocks.get(row.stock.0 as usize).map(|s| &s.kind) {
            Some(StockKind::Sheet { grain, .. }) => *grain == SheetGrain::Wide,
            _ => false,
        };
        row.clear().into_iter().any(|(from, to)| {
            let trim = match row.kind {
                OnHandKind::Sheet => model.shop.trim * 2,
                _ => Length::ZERO,
            };
            let mut room = [to - from - trim, row.wide - trim];
            // An offcut is told along its grain, a sheet as it is sold.
            if across && row.kind == OnHandKind::Sheet {
                room.reverse();
            }
            let fits = |[long, wide]: [Length; 2]| {
                long <= room[0] && (wide <= room[1] || row.kind == OnHandKind::Strip)
            };
            let [long, wide] = self.size;
            fits([long, wide]) || (self.turns && fits([wide, long]))
        })
    }
}
