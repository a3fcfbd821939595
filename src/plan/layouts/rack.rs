//! The rack: what on hand can be sawn, what of it is, and what lies there afterwards.

use super::item::Source;
use super::{Layouts, Sheet, Taken, area};
use crate::cutting::rack_worth;
use crate::measure::{Length, Rational};
use crate::model::{Model, OnHand, OnHandKind, SheetGrain, StockId, StockKind};
use std::fmt::Write as _;

/// What of a stock (of boards: of a rough thickness) is on hand, as what items can be sawn from. It costs
/// a share of what `new`, the cheapest that is sold, costs: the smaller share the smaller it is.
pub(super) fn sources(
    model: &Model,
    stock: StockId,
    thick: Length,
    new: Option<&Source>,
) -> Vec<Source> {
    let mut out = Vec::new();
    let across = matches!(
        model.stocks.get(stock.0 as usize).map(|s| &s.kind),
        Some(StockKind::Sheet {
            grain: SheetGrain::Wide,
            ..
        })
    );
    for (row, on_hand) in model.rack.iter().enumerate() {
        if on_hand.stock != stock || on_hand.thick != thick {
            continue;
        }
        for (from, to) in on_hand.clear() {
            // An offcut is told along its grain.
            let turn = across && on_hand.kind == OnHandKind::Offcut;
            let (long, wide) = match turn {
                true => (on_hand.wide, to - from),
                false => (to - from, on_hand.wide),
            };
            let mut source = Source {
                taken: Taken::OnHand { row, from },
                long,
                wide,
                trim: match on_hand.kind {
                    OnHandKind::Sheet => model.shop.trim,
                    _ => Length::ZERO,
                },
                worth: Rational::ZERO,
                copies: Some(on_hand.count),
                widest: [None; 2],
            };
            // A strip is as wide as those that are sold.
            if on_hand.kind == OnHandKind::Strip {
                source.wide = new.map_or(Length::mm(1), |new| new.wide);
            }
            source.worth = worth(&source, new);
            out.push(source);
        }
    }
    out
}

/// The source that costs least by its area.
pub(super) fn cheapest(sources: &[Source]) -> Option<&Source> {
    let least = Rational::new(1, 1_000_000);
    let by_area = |s: &&Source| s.worth / area(s.long, s.wide).max(least);
    sources.iter().min_by_key(by_area)
}

/// In thousandths of what a new one costs, so that costs stay whole numbers of one unit.
fn worth(source: &Source, new: Option<&Source>) -> Rational {
    let side = |l: Length| {
        let tenths = (l.as_mm() * Rational::int(10)).floor();
        tenths.and_then(|n| i64::try_from(n).ok()).unwrap_or(0)
    };
    let sides = |s: &Source| [side(s.long), side(s.wide)];
    match new {
        Some(new) => {
            let share = rack_worth(sides(source), sides(new), 1000);
            new.worth * Rational::new(i128::from(share), 1000)
        }
        None => source.long.as_mm() * source.wide.as_mm(),
    }
}

impl Layouts {
    /// Every sheet, board and strip.
    pub fn all(&self) -> impl Iterator<Item = &Sheet> {
        let sheets = self.sheets.iter().flat_map(|l| &l.sheets);
        let boards = self.boards.iter().flat_map(|l| &l.boards);
        let strips = self.strips.iter().flat_map(|l| &l.strips);
        sheets.chain(boards).chain(strips)
    }

    /// How often each clear length of a row of the rack is used, by where it begins.
    fn used(&self, row: usize) -> Vec<(Length, u32)> {
        let mut out: Vec<(Length, u32)> = Vec::new();
        for sheet in self.all() {
            if let Taken::OnHand { row: of, from } = sheet.taken
                && of == row
            {
                match out.iter_mut().find(|(at, _)| *at == from) {
                    Some((_, n)) => *n += 1,
                    None => out.push((from, 1)),
                }
            }
        }
        out
    }

    /// What lies on the rack when everything is sawn: what was not used, what stays of boards whose
    /// faults were cut out, and what is worth keeping of all that was sawn.
    pub fn rack_after(&self, model: &Model) -> Vec<OnHand> {
        let mut out = Vec::new();
        for (row, on_hand) in model.rack.iter().enumerate() {
            let used = self.used(row);
            let touched = used.iter().map(|(_, n)| *n).max().unwrap_or(0);
            add(
                &mut out,
                OnHand {
                    count: on_hand.count.saturating_sub(touched),
                    ..on_hand.clone()
                },
            );
            for (from, to) in on_hand.clear().into_iter().filter(|_| touched > 0) {
                let sawn = used.iter().find(|(at, _)| *at == from).map_or(0, |u| u.1);
                let keep = model.shop.keep_board.0;
                if to - from >= keep {
                    add(
                        &mut out,
                        OnHand {
                            count: touched - sawn,
                            long: to - from,
                            faults: Vec::new(),
                            ..on_hand.clone()
                        },
                    );
                }
            }
        }
        let mut keep = |kind, stock: StockId, thick, sheets: &[Sheet]| {
            let Some(of) = model.stocks.get(stock.0 as usize) else {
                return;
            };
            for sheet in sheets {
                for area in sheet.offcuts.iter().map(|k| k.area) {
                    let (long, wide) = match sheet.grain_long {
                        Some(false) => (area.wide(), area.long()),
                        _ => (area.long(), area.wide()),
                    };
                    // What is measured next time is not less.
                    let down = |l: Length| {
                        let tenths = (l.as_mm() * Rational::int(10)).floor().unwrap_or(0);
                        Length::from_mm(Rational::new(tenths, 10))
                    };
                    add(
                        &mut out,
                        OnHand {
                            kind,
                            count: 1,
                            stock,
                            long: down(long),
                            wide: match kind {
                                OnHandKind::Strip => Length::ZERO,
                                _ => down(wide),
                            },
                            thick,
                            faults: Vec::new(),
                            origin: of.origin.clone(),
                        },
                    );
                }
            }
        };
        for layout in &self.sheets {
            keep(
                OnHandKind::Offcut,
                layout.stock,
                Length::ZERO,
                &layout.sheets,
            );
        }
        for list in &self.boards {
            let thick = list.rough.unwrap_or(list.needed);
            keep(OnHandKind::Board, list.stock, thick, &list.boards);
        }
        for list in &self.strips {
            keep(OnHandKind::Strip, list.stock, Length::ZERO, &list.strips);
        }
        out.sort_by(|a, b| {
            let key = |r: &OnHand| (r.stock, r.kind, r.thick);
            let size = |r: &OnHand| (r.long, r.wide);
            key(a).cmp(&key(b)).then(size(b).cmp(&size(a)))
        });
        out
    }
}

/// Adds a row to those that are alike.
fn add(rows: &mut Vec<OnHand>, row: OnHand) {
    if row.count == 0 {
        return;
    }
    let key = |r: &OnHand| (r.kind, r.stock, r.long, r.wide, r.thick, r.faults.clone());
    match rows.iter_mut().find(|r| key(r) == key(&row)) {
        Some(same) => same.count += row.count,
        None => rows.push(row),
    }
}

/// What stands over the rows, and is no remark of the maker's.
pub const DOC: &str = "/// What is on hand.";

/// The rows as a file of the language, to be laid out tidily; `uses` are its `use` lines, as they are
/// written, so that it can be read by itself.
pub fn text(model: &Model, rows: &[OnHand], uses: &[String]) -> String {
    let mut out = String::from("edition 1\n");
    for used in uses {
        let _ = writeln!(out, "use {used}");
    }
    let _ = writeln!(out, "\n{DOC}\nrack {{");
    for row in rows {
        let stock = model.stocks.get(row.stock.0 as usize);
        let stock = stock.map_or("", |stock| stock.name.as_str());
        let _ = write!(out, "    {} {} of {stock}", row.kind.word(), row.count);
        if row.kind == OnHandKind::Board {
            let _ = write!(out, " thick {}", row.thick);
        }
        let _ = write!(out, " long {}", row.long);
        if row.kind != OnHandKind::Strip {
            let _ = write!(out, " wide {}", row.wide);
        }
        if !row.faults.is_empty() {
            out.push_str(" {\n");
            for (from, to) in &row.faults {
                let _ = writeln!(out, "        fault from {from} to {to}");
            }
            out.push_str("    }");
        }
        out.push('\n');
    }
    out.push_str("}\n");
    out
}
