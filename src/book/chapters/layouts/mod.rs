//! Chapter 5: every sheet, board and strip to scale with its cuts in order.

mod alike;
mod proof;
mod solid;

use super::Chapter;
use crate::book::{Facts, html};
use crate::draw::layout_sketch;
use crate::measure::{Length, Rational, Units};
use crate::model::{
    Axis, FirstCuts, Hand, LocalAxis, Model, OnHandKind, SheetGrain, StockId, StockKind,
};
use crate::plan::Effort;
use crate::plan::layouts::{
    self, BoundRule, CutDo, PartCopy, Placed, Sheet, SheetCut, StockLayout, Taken,
};
use alike::AlikeFacts;
use minijinja::Value;
use proof::CostFacts;
use serde::Serialize;
use solid::{BoardFacts, StripFacts};

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
    /// `quick`, `normal` or `long`.
    effort: &'static str,
    /// Whether anything is on the rack.
    racked: bool,
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
    /// Whether nothing is left over for breakdown.
    straight: bool,
    /// `along`, `across` or `either`: the way of the first cuts; and in how many rounds.
    first: &'static str,
    rounds: u32,
    /// What one person lifts, and whether what first pieces weigh is known.
    lift: Option<String>,
    weighed: bool,
    /// What keeping to it costs; empty where nothing.
    for_lift: Option<String>,
    unplaced: Vec<(Marks, Value)>,
}

/// A sheet, board or strip, or several that are cut alike.
#[derive(Serialize)]
struct SheetFacts {
    /// `3`, `3 and 4`, or `3 to 6`.
    numbers: String,
    /// Which one of its stock it is, likewise.
    of_stock: String,
    /// Of several, what comes out of which.
    alike: Option<AlikeFacts>,
    /// Scales, 1 to so much; of a sheet both are the same.
    scale: u32,
    across: u32,
    drawing: Value,
    size: Value,
    cuts: Vec<CutFacts>,
    /// Name, number of its sheet, extents along and across the grain.
    offcuts: Vec<(String, u32, Value, Value)>,
    used: String,
    /// How often fence and stop are set, and the work is turned.
    fence: u32,
    stop: u32,
    turns: u32,
    /// What it is on the rack, if it is from there; of a length between faults where it begins.
    on_hand: Option<&'static str>,
    begins: Option<Value>,
    /// Matched fronts, row by row, in sequence.
    rows: Vec<RowFacts>,
    /// How far the saw's fence reaches, if some cut is beyond that.
    reach: Option<Value>,
    /// What the heaviest first piece weighs, if that is more than one person lifts.
    heavy: Option<String>,
}

#[derive(Serialize)]
struct RowFacts {
    /// On sheets that are cut alike, the signs of its places.
    places: Vec<String>,
    /// The number of each sheet, and what its row gives.
    of: Vec<(u32, Vec<Marks>)>,
    /// Whether they stand as the sheet does when its length is upright: up is to the right of the drawing,
    /// away from the squared end; else to its top, at the trued edge.
    upright: bool,
}

#[derive(Serialize)]
struct CutFacts {
    number: u32,
    /// `true`, `rip`, `square`, `cross`, `rip_part`, `cross_part`.
    what: &'static str,
    /// Whether it goes right through the sheet.
    first: bool,
    /// Of a rip: whether it is the first, against the edge that was trued; of a board that edge is trued for
    /// it.
    against: Option<&'static str>,
    /// Whether fence or stop still stands as it must.
    stays: bool,
    /// Whether what comes off is wider than the saw's fence reaches.
    guided: bool,
    /// Of a trimmed edge: whether it is that of the pieces that were sawn off before.
    all: bool,
    times: u32,
    setting: Value,
    /// What is in the pieces that a first cut takes off, by name.
    holds: Vec<(usize, String)>,
    gives: Vec<Marks>,
    /// On sheets that are cut alike, signs of places instead: of all that a first cut takes off, else of what
    /// needs no further cut.
    places: Vec<String>,
    /// Whether more lies in what comes off.
    on: bool,
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

/// Prepares the chapter.
pub fn facts(facts: &Facts) -> Option<Value> {
    let plan = &facts.plans.layouts;
    if plan.sheets.is_empty() && plan.boards.is_empty() && plan.strips.is_empty() {
        return None;
    }
    let units = facts.units();
    let keep = facts.model.shop.keep_sheet;
    Some(html::value(&Layouts {
        unit: units.name(),
        effort: match plan.effort {
            Effort::Quick => "quick",
            Effort::Normal => "normal",
            Effort::Long => "long",
        },
        racked: !facts.model.rack.is_empty(),
        keep: (html::figure(units, keep.0), html::figure(units, keep.1)),
        stocks: plan.sheets.iter().map(|l| stock(facts, l)).collect(),
        boards: plan.boards.iter().map(|l| solid::board(facts, l)).collect(),
        strips: plan.strips.iter().map(|l| solid::strip(facts, l)).collect(),
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
    let mut sizes: Vec<(Length, Length)> = layout.sheets.iter().map(|s| (s.long, s.wide)).collect();
    sizes.sort_unstable();
    sizes.dedup();
    let lift = facts.model.shop.lift;
    Stock {
        title: title(facts, layout.stock),
        thick: figure(layout.thick),
        measured: facts
            .model
            .stocks
            .get(layout.stock.0 as usize)
            .is_some_and(|s| s.is_measured()),
        sheets: layouts::alike(&layout.sheets)
            .map(|alike| {
                let s = &alike[0];
                let (scene, scale) = layout_sketch::sheet(alike, layout.thick, units);
                let size = html::sizes(units, &[s.long, s.wide, layout.thick]);
                let before = layout.sheets[0].number - 1;
                let heaviest = layout.heaviest(s);
                let heavy = heaviest.zip(lift).filter(|(weight, lift)| weight > lift);
                SheetFacts {
                    heavy: heavy.map(|(weight, _)| kilograms(weight)),
                    of_stock: layouts::numbers(alike, before),
                    ..sheet(facts, alike, (html::svg(&scene), [scale; 2]), size)
                }
            })
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
        cost: proof::sheets(facts, layout),
        sizes: sizes.len(),
        kerf: figure(layout.kerf),
        trim: figure(layout.trim),
        over: (figure(layout.allowance.0), figure(layout.allowance.1)),
        straight: layout.allowance == (Length::ZERO, Length::ZERO),
        first: match layout.first {
            FirstCuts::Along => "along",
            FirstCuts::Across => "across",
            FirstCuts::Either => "either",
        },
        rounds: layout.rounds,
        lift: lift.map(kilograms),
        weighed: layout.by_area.is_some(),
        for_lift: proof::for_lift(units, layout),
        unplaced: gather(layout.unplaced.iter().map(|(part, _, _)| part))
            .into_iter()
            .map(|marks| {
                let first = layout
                    .unplaced
                    .iter()
                    .find(|(p, _, _)| p.mark == marks.mark);
                let size = first.map_or_else(String::new, |(_, l, w)| {
                    format!("{}{THIN}×{THIN}{}", rough(*l), rough(*w), THIN = html::THIN)
                });
                (marks, html::safe(size))
            })
            .collect(),
    }
}

fn hundredths(value: Rational) -> String {
    let n = (value * Rational::int(100)).ceil().unwrap_or(0);
    format!("{}.{:02}", n / 100, n % 100)
}

fn sheet(
    facts: &Facts,
    alike: &[Sheet],
    (drawing, [scale, across]): (Value, [u32; 2]),
    size: Value,
) -> SheetFacts {
    let units = facts.units();
    let sheet = &alike[0];
    let rough = |l: Length| html::figure_rough(units, l);
    let parts = |of: &[usize]| -> Vec<PartCopy> {
        let placed = of.iter().filter_map(|i| sheet.placed.get(*i));
        placed.flat_map(Placed::parts).cloned().collect()
    };
    let tenths = (sheet.used * Rational::int(1000)).round().unwrap_or(0);
    let row = match sheet.taken {
        Taken::Bought(_) => None,
        Taken::OnHand { row, from } => facts.model.rack.get(row).map(|of| (of, from)),
    };
    // The edges of a sheet's offcut were sawn.
    let sawn = row.is_some_and(|(of, _)| of.kind == OnHandKind::Offcut);
    let through = sheet.cuts.iter().position(|cut| cut.round == 1);
    let ripped = sheet.cuts.iter().position(|cut| cut.what == CutDo::Rip);
    let trued = sheet.cuts.iter().any(|cut| cut.what == CutDo::TrueEdge);
    let handling = sheet.handling();
    let stays = sheet.stays();
    let reach = facts.model.shop.saw_wide;
    let guided =
        |cut: &SheetCut| cut.what == CutDo::Rip && reach.is_some_and(|most| cut.setting > most);
    SheetFacts {
        numbers: layouts::numbers(alike, 0),
        of_stock: String::new(),
        alike: (alike.len() > 1).then(|| AlikeFacts::of(alike, rough)),
        scale,
        across,
        drawing,
        size,
        cuts: sheet
            .cuts
            .iter()
            .enumerate()
            .map(|(i, cut)| CutFacts {
                number: cut.number,
                what: match (cut.what, cut.round) {
                    (CutDo::TrueEdge, _) => "true",
                    (CutDo::SquareEnd, _) => "square",
                    (CutDo::Rip, ..=2) => "rip",
                    (CutDo::CrossCut, ..=2) => "cross",
                    (CutDo::Rip, _) => "rip_part",
                    (CutDo::CrossCut, _) => "cross_part",
                },
                first: cut.round == 1,
                against: (ripped == Some(i)).then_some(match (trued || sawn, cut.round) {
                    (true, _) => "trued",
                    (false, 1) => "true",
                    (false, _) => "true_each",
                }),
                stays: stays[i],
                guided: guided(cut),
                all: through.is_some_and(|first| first < i),
                times: cut.times,
                setting: rough(cut.setting),
                holds: named(parts(&cut.holds).iter()),
                gives: gather(parts(&cut.gives).iter()),
                places: alike::places(match cut.round {
                    1 => &cut.holds,
                    _ => &cut.gives,
                }),
                on: cut.holds.len() > cut.gives.len(),
            })
            .collect(),
        offcuts: alike
            .iter()
            .flat_map(|sheet| sheet.offcuts.iter().map(|k| (sheet.number, k)))
            .map(|(number, k)| {
                // Along the grain first, where there is one.
                let (a, b) = (k.area.long(), k.area.wide());
                let (long, wide) = match sheet.grain_long {
                    Some(true) => (a, b),
                    Some(false) => (b, a),
                    None => (a.max(b), a.min(b)),
                };
                (k.name.clone(), number, rough(long), rough(wide))
            })
            .collect(),
        used: format!("{}.{}", tenths / 10, tenths % 10),
        fence: handling.fence,
        stop: handling.stop,
        turns: handling.turns,
        on_hand: row.map(|(of, _)| of.kind.word()),
        begins: row
            .filter(|(of, _)| !of.faults.is_empty())
            .map(|(_, from)| html::figure(units, from)),
        rows: rows(facts.model, alike),
        reach: reach
            .filter(|_| sheet.cuts.iter().any(guided))
            .map(|most| html::figure(units, most)),
        heavy: None,
    }
}

/// Matched fronts of sheets that are cut alike, in sequence; a row begins with its first.
fn rows(model: &Model, alike: &[Sheet]) -> Vec<RowFacts> {
    let mut out: Vec<(Vec<usize>, RowFacts)> = Vec::new();
    for (i, placed) in alike[0].placed.iter().enumerate() {
        match (placed.sequence, out.last_mut()) {
            (Some((1, _)), _) => {
                let (_, part) = model.part(placed.part.part);
                let along = match &model.stocks[part.stock.0 as usize].kind {
                    StockKind::Sheet {
                        grain: SheetGrain::Wide,
                        ..
                    } => LocalAxis::Width,
                    _ => LocalAxis::Length,
                };
                let row = RowFacts {
                    places: Vec::new(),
                    of: Vec::new(),
                    upright: part.lay.axis(along) == Axis::Z,
                };
                out.push((vec![i], row));
            }
            (Some(_), Some((places, _))) => places.push(i),
            _ => {}
        }
    }
    let filled = out.into_iter().map(|(places, row)| {
        let marks = |sheet: &Sheet| {
            let placed = places.iter().filter_map(|i| sheet.placed.get(*i));
            placed.map(|p| Marks::of(&p.part)).collect()
        };
        RowFacts {
            of: alike.iter().map(|s| (s.number, marks(s))).collect(),
            places: match alike.len() {
                1 => Vec::new(),
                _ => alike::places(&places),
            },
            ..row
        }
    });
    filled.collect()
}

/// Whole kilograms, rounded up.
fn kilograms(mass: Rational) -> String {
    let n = mass.ceil().unwrap_or(0);
    format!("{n}{}kg", html::THIN)
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
