//! Chapter 5: every sheet to scale with its cuts in order; boards and edging as lists.

use super::Chapter;
use super::buy::{BoardsAsked, boards};
use crate::book::{Facts, html};
use crate::draw::{board_sketch, layout_sketch};
use crate::measure::{Length, Rational, Units};
use crate::model::{Hand, StockId, StockKind};
use crate::plan::layouts::{
    Board, BoardList, BoundRule, CutDo, LayoutCost, PartCopy, Sheet, StockLayout, StripList,
    offcut_worth_keeping,
};
use minijinja::Value;
use serde::Serialize;

/// Cutting layouts.
pub const CHAPTER: Chapter = Chapter {
    number: 5,
    id: "layouts",
    title: "Cutting layouts",
    template: "layouts.html",
    facts,
};

#[derive(Serialize)]
struct Layouts {
    unit: &'static str,
    /// Smallest offcut that is kept: along and across the grain.
    keep: (Value, Value),
    stocks: Vec<Stock>,
    boards: Vec<BoardFacts>,
    strips: Vec<StripFacts>,
}

#[derive(Serialize)]
struct Stock {
    title: String,
    thick: Value,
    measured: bool,
    sheets: Vec<SheetFacts>,
    count: u32,
    count_word: String,
    /// Not fewer than this many; what gives the bound, and its figure.
    bound: Option<(u32, &'static str, String)>,
    /// Printed instead where it says more.
    cost: Option<CostFacts>,
    sizes: usize,
    kerf: Value,
    trim: Value,
    over: (Value, Value),
    unplaced: Vec<(Marks, Value)>,
}

/// What is proven of the cost of the sheets.
#[derive(Serialize)]
struct CostFacts {
    /// `sheets` where one size is sold, else `money` or `area`.
    what: &'static str,
    cost: String,
    /// No layout of this kind costs less.
    bound: String,
    least: bool,
    /// What could be saved at most, of the cost.
    saving: String,
}

#[derive(Serialize)]
struct SheetFacts {
    number: u32,
    scale: u32,
    drawing: Value,
    size: Value,
    cuts: Vec<CutFacts>,
    offcuts: Vec<(String, Value, Value)>,
    used: String,
}

#[derive(Serialize)]
struct CutFacts {
    number: u32,
    /// `true`, `rip`, `square`, `cross`, `rip_part`, `cross_part`.
    what: &'static str,
    times: u32,
    setting: Value,
    /// What is in the strip that a rip takes off, by name.
    holds: Vec<(usize, String)>,
    gives: Vec<Marks>,
}

/// A copy and hand, and how many of it.
#[derive(Clone, Serialize)]
struct Copy {
    letter: String,
    hand: Option<Hand>,
    count: u32,
}

impl Marks {
    fn of(part: &PartCopy) -> Marks {
        let mut marks = Marks {
            mark: part.mark,
            label: part.label.clone(),
            copies: Vec::new(),
        };
        marks.add(part);
        marks
    }

    fn add(&mut self, part: &PartCopy) {
        let same = |c: &&mut Copy| c.letter == part.letter && c.hand == part.hand;
        match self.copies.iter_mut().find(same) {
            Some(copy) => copy.count += 1,
            None => self.copies.push(Copy {
                letter: part.letter.clone(),
                hand: part.hand,
                count: 1,
            }),
        }
    }
}

/// A part's number with the copies and hands that a cut gives.
#[derive(Clone, Serialize)]
struct Marks {
    mark: u32,
    label: String,
    copies: Vec<Copy>,
}

#[derive(Serialize)]
struct BoardFacts {
    title: String,
    rough: Option<Value>,
    needed: Value,
    pieces: Vec<BoardRow>,
    running: Option<Value>,
    net: String,
    buy: String,
    waste: String,
    asked: Vec<BoardsAsked>,
    boards: Vec<BoardSheet>,
    too_long: Vec<Marks>,
}

#[derive(Serialize)]
struct BoardRow {
    marks: Marks,
    off: usize,
    staves: u32,
    strip: bool,
    long: Value,
    wide: Value,
    thick: Value,
}

#[derive(Serialize)]
struct BoardSheet {
    number: usize,
    size: Value,
    /// Planed to this before it is ripped.
    planed: Option<Value>,
    drawing: Value,
    /// Scales, 1 to so much.
    along: u32,
    across: u32,
}

#[derive(Serialize)]
struct StripFacts {
    title: String,
    running: Value,
    sold: Option<Value>,
    rolls: usize,
    pieces: Vec<(Marks, usize, Value)>,
    too_long: Vec<Marks>,
}

/// Prepares the chapter.
pub fn facts(facts: &Facts) -> Option<Value> {
    let plan = &facts.plans.layouts;
    if plan.sheets.is_empty() && plan.boards.is_empty() && plan.strips.is_empty() {
        return None;
    }
    let units = facts.units();
    let keep = offcut_worth_keeping();
    Some(html::value(&Layouts {
        unit: units.name(),
        keep: (html::figure(units, keep.0), html::figure(units, keep.1)),
        stocks: plan.sheets.iter().map(|l| stock(facts, l)).collect(),
        boards: plan.boards.iter().map(|l| board(facts, l)).collect(),
        strips: plan.strips.iter().map(|l| strip(facts, l)).collect(),
    }))
}

fn title(facts: &Facts, id: StockId) -> String {
    facts
        .model
        .stocks
        .get(id.0 as usize)
        .map(|s| s.title.clone())
        .unwrap_or_default()
}

fn stock(facts: &Facts, layout: &StockLayout) -> Stock {
    let units = facts.units();
    let figure = |l| html::figure(units, l);
    let count = layout.sheets.len() as u32;
    let rough = |l: Length| html::figure_rough(units, l);
    let mut sizes: Vec<usize> = layout.sheets.iter().map(|s| s.size).collect();
    sizes.sort_unstable();
    sizes.dedup();
    Stock {
        title: title(facts, layout.stock),
        thick: figure(layout.thick),
        measured: facts
            .model
            .stocks
            .get(layout.stock.0 as usize)
            .is_some_and(|s| s.is_measured()),
        sheets: layout
            .sheets
            .iter()
            .map(|s| sheet(units, layout, s))
            .collect(),
        count,
        count_word: html::capital(&html::count_word(count)),
        bound: layout.bound.map(|b| {
            let rule = match b.rule {
                BoundRule::Area => "area",
                BoundRule::HalfLong => "long",
                BoundRule::HalfWide => "wide",
            };
            // Rounded up: printed 2.00 must not stand for 1.996 where it is the bound.
            (b.sheets, rule, hundredths(b.cover))
        }),
        cost: cost(facts, layout),
        sizes: sizes.len(),
        kerf: figure(layout.kerf),
        trim: figure(layout.trim),
        over: (figure(layout.allowance.0), figure(layout.allowance.1)),
        unplaced: gather(layout.unplaced.iter().map(|(part, _, _)| part))
            .into_iter()
            .zip(layout.unplaced.iter().map(|(_, l, w)| {
                html::safe(format!(
                    "{}{THIN}×{THIN}{}",
                    rough(*l),
                    rough(*w),
                    THIN = html::THIN
                ))
            }))
            .collect(),
    }
}

/// `None` where nothing is proven of the cost, or the bound on the number of sheets says as much: it
/// holds for cuts of any kind.
fn cost(facts: &Facts, layout: &StockLayout) -> Option<CostFacts> {
    let LayoutCost {
        cost,
        bound,
        currency,
    } = &layout.cost;
    let (cost, bound) = (*cost, *bound);
    let sold = match &facts.model.stocks.get(layout.stock.0 as usize)?.kind {
        StockKind::Sheet { sizes, .. } => sizes.len(),
        _ => 0,
    };
    if bound.is_zero() {
        return None;
    }
    let (what, unit, name) = match (sold, currency, facts.units()) {
        (1, _, _) => {
            let sheet = cost / Rational::int(layout.sheets.len() as i64);
            ("sheets", sheet, String::new())
        }
        (_, Some(currency), _) => ("money", Rational::new(1, 100), currency.clone()),
        (_, None, Units::Mm) => ("area", Rational::int(10_000), "m²".into()),
        (_, None, Units::Inch(_)) => ("area", Rational::new(9_290_304, 10_000), "sq ft".into()),
    };
    let cost_units = (cost / unit).ceil()?;
    let bound_units = if what == "sheets" {
        (bound / unit).ceil()?
    } else {
        (bound / unit).floor()?
    };
    if what == "sheets"
        && layout
            .bound
            .is_some_and(|b| i128::from(b.sheets) >= bound_units)
    {
        return None;
    }
    let figure = |n: i128| match what {
        "sheets" => n.to_string(),
        _ => format!("{}.{:02}{}{name}", n / 100, n % 100, html::THIN),
    };
    let saving = ((cost - bound) / cost * Rational::int(1000)).ceil()?;
    Some(CostFacts {
        what,
        cost: figure(cost_units),
        bound: figure(bound_units),
        least: layout.cost.is_least(),
        saving: format!("{}.{}", saving / 10, saving % 10),
    })
}

fn hundredths(value: Rational) -> String {
    let n = (value * Rational::int(100)).ceil().unwrap_or(0);
    format!("{}.{:02}", n / 100, n % 100)
}

fn sheet(units: Units, layout: &StockLayout, sheet: &Sheet) -> SheetFacts {
    let (scene, scale) = layout_sketch::sheet(sheet, layout.thick, units);
    let rough = |l: Length| html::figure_rough(units, l);
    let placed = |i: &usize| sheet.placed.get(*i).map(|p| &p.part);
    let tenths = (sheet.used * Rational::int(1000)).round().unwrap_or(0);
    SheetFacts {
        number: sheet.number,
        scale,
        drawing: html::svg(&scene),
        size: html::sizes(units, &[sheet.long, sheet.wide, layout.thick]),
        cuts: sheet
            .cuts
            .iter()
            .map(|cut| CutFacts {
                number: cut.number,
                what: match cut.what {
                    CutDo::TrueEdge => "true",
                    CutDo::Rip => "rip",
                    CutDo::SquareEnd => "square",
                    CutDo::CrossCut => "cross",
                    CutDo::RipPart => "rip_part",
                    CutDo::CrossCutPart => "cross_part",
                },
                times: cut.times,
                setting: rough(cut.setting),
                holds: named(cut.holds.iter().filter_map(placed)),
                gives: gather(cut.gives.iter().filter_map(placed)),
            })
            .collect(),
        offcuts: sheet
            .offcuts
            .iter()
            .map(|k| {
                // Along the grain first, where there is one.
                let (a, b) = (k.area.long(), k.area.wide());
                let (long, wide) = match sheet.grain_long {
                    Some(true) => (a, b),
                    Some(false) => (b, a),
                    None => (a.max(b), a.min(b)),
                };
                (k.name.clone(), rough(long), rough(wide))
            })
            .collect(),
        used: format!("{}.{}", tenths / 10, tenths % 10),
    }
}

/// How many of each name, in order of first use.
fn named<'a>(parts: impl Iterator<Item = &'a PartCopy>) -> Vec<(usize, String)> {
    let mut out: Vec<(usize, String)> = Vec::new();
    for part in parts {
        match out.iter_mut().find(|(_, label)| *label == part.label) {
            Some((n, _)) => *n += 1,
            None => out.push((1, part.label.clone())),
        }
    }
    out
}

/// Copies by their part's number.
fn gather<'a>(parts: impl Iterator<Item = &'a PartCopy>) -> Vec<Marks> {
    let mut out: Vec<Marks> = Vec::new();
    for part in parts {
        match out.iter_mut().find(|m| m.mark == part.mark) {
            Some(marks) => marks.add(part),
            None => out.push(Marks::of(part)),
        }
    }
    out
}

fn board(facts: &Facts, list: &BoardList) -> BoardFacts {
    let units = facts.units();
    let rough = |l: Length| html::figure_rough(units, l);
    let mut rows: Vec<(BoardRow, u32, (Length, Length, Length))> = Vec::new();
    for piece in &list.pieces {
        let key = (piece.part.mark, (piece.long, piece.wide, piece.thick));
        match rows.iter_mut().find(|(_, m, s)| (*m, *s) == key) {
            Some((row, _, _)) => {
                row.off += 1;
                if piece.stave.is_none_or(|(k, _)| k == 1) {
                    row.marks.add(&piece.part);
                }
            }
            None => rows.push((
                BoardRow {
                    marks: Marks::of(&piece.part),
                    off: 1,
                    staves: piece.stave.map_or(1, |(_, n)| n),
                    strip: piece.strip,
                    long: rough(piece.long),
                    wide: rough(piece.wide),
                    thick: html::figure_column(units, piece.thick),
                },
                key.0,
                key.1,
            )),
        }
    }
    let percent = (facts.model.shop.board_waste * Rational::int(100))
        .round()
        .unwrap_or(0);
    BoardFacts {
        title: title(facts, list.stock),
        rough: list.rough.map(|l| html::figure(units, l)),
        needed: html::figure(units, list.needed),
        pieces: rows.into_iter().map(|(row, _, _)| row).collect(),
        running: list
            .running
            .is_positive()
            .then(|| running(units, list.running))
            .map(html::safe),
        net: wood(units, list.net),
        buy: wood(units, list.buy),
        waste: format!("{percent} %"),
        asked: list.asked.iter().map(|a| boards(units, a)).collect(),
        boards: list
            .boards
            .iter()
            .enumerate()
            .map(|(i, b)| board_sheet(facts, list, i, b))
            .collect(),
        too_long: gather(
            list.unplaced
                .iter()
                .filter_map(|i| list.pieces.get(*i))
                .map(|p| &p.part),
        ),
    }
}

fn board_sheet(facts: &Facts, list: &BoardList, index: usize, board: &Board) -> BoardSheet {
    let units = facts.units();
    let kerf = facts.model.shop.kerf;
    let (scene, [along, across]) = board_sketch::board(board, index + 1, &list.pieces, kerf, units);
    BoardSheet {
        number: index + 1,
        size: html::sizes(units, &[board.long, board.wide]),
        planed: board.planed.map(|l| html::figure(units, l)),
        drawing: html::svg(&scene),
        along,
        across,
    }
}

fn strip(facts: &Facts, list: &StripList) -> StripFacts {
    let units = facts.units();
    let mut pieces: Vec<(Marks, usize, Length)> = Vec::new();
    for piece in &list.pieces {
        match pieces
            .iter_mut()
            .find(|(m, _, l)| m.mark == piece.part.mark && *l == piece.long)
        {
            Some((marks, off, _)) => {
                marks.add(&piece.part);
                *off += 1;
            }
            None => pieces.push((Marks::of(&piece.part), 1, piece.long)),
        }
    }
    StripFacts {
        title: title(facts, list.stock),
        running: html::safe(running(units, list.running)),
        sold: list.sold.map(|l| html::figure(units, l)),
        rolls: list.rolls.len(),
        pieces: pieces
            .into_iter()
            .map(|(m, n, l)| (m, n, html::figure_rough(units, l)))
            .collect(),
        too_long: gather(
            list.unplaced
                .iter()
                .filter_map(|i| list.pieces.get(*i))
                .map(|p| &p.part),
        ),
    }
}

/// A running length, rounded up: `5.4 m`, `18 ft`.
pub(super) fn running(units: Units, length: Length) -> String {
    match units {
        Units::Mm => {
            let n = (length.as_mm() / Rational::int(100)).ceil().unwrap_or(0);
            format!("{}.{} m", n / 10, n % 10)
        }
        Units::Inch(_) => {
            let n = (length.as_inches() / Rational::int(12)).ceil().unwrap_or(0);
            format!("{n} ft")
        }
    }
}

/// A volume of wood, rounded up: `0.0041 m³`, `1.8 board feet` (144 cubic inches each).
pub(super) fn wood(units: Units, volume: Rational) -> String {
    match units {
        Units::Mm => {
            let n = (volume / Rational::int(100_000)).ceil().unwrap_or(0);
            format!("{}.{:04} m³", n / 10_000, n % 10_000)
        }
        Units::Inch(_) => {
            let foot = Rational::new(144 * 254 * 254 * 254, 1000);
            let n = (volume / foot * Rational::int(10)).ceil().unwrap_or(0);
            format!("{}.{} board feet", n / 10, n % 10)
        }
    }
}
