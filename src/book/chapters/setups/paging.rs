//! What goes on one page: a card stays whole, and a table that is too long goes on.

use super::super::cutlist::hand_word;
use super::card::{CardFacts, page};
use super::lines::{Cell, Detail, Line, lines};
use crate::book::{Facts, html};
use crate::draw::Scene;
use crate::draw::setup_parts::{parts, stop_plan};
use crate::draw::setup_sketch::mitre::mitres;
use crate::draw::setup_sketch::section;
use crate::measure::Units;
use crate::plan::setups::{Card, Process};
use minijinja::Value;
use std::collections::BTreeSet;

/// Millimetres that a card's pieces take, a little generously: a page of Letter holds [`PAGE`].
const PAGE: f64 = 234.0;
const HEAD: f64 = 15.0;
const SECTION: f64 = 50.0;
const SKETCH: f64 = 52.0;
const PLAN: f64 = 38.0;
const WORDS: f64 = 20.0;
const TEST: f64 = 20.0;
const NOTE: f64 = 12.0;
const CARE: f64 = 14.0;

/// Rows of boxes in a line: past six copies they wrap at 54 mm, a letter and its box taking 11.
fn tick_rows(line: &Line) -> f64 {
    let rows = |cell: &Cell| match cell.boxes.len() {
        0..=6 => cell.boxes.iter().map(|n| n.div_ceil(2)).max().unwrap_or(1) as usize,
        _ => (cell.boxes.iter().filter(|n| **n > 0).count() * 11).div_ceil(50),
    };
    let most = line.cells.iter().map(rows).max().unwrap_or(1).clamp(1, 100);
    (most as f64 * 0.75).max(1.0)
}

/// A card, on as many pages as its table needs.
pub(super) fn pages(facts: &Facts, card: &Card) -> Vec<CardFacts> {
    let units = facts.units();
    let full = facts.paper.page(PAGE);
    let section = section(facts.model, units, card);
    let all_plans = plans(facts, units, card);
    let lines = lines(facts, units, card);
    let high = |line: &Line, chars: usize| {
        let rows = |n: usize| n.div_ceil(chars) as f64 * 3.8;
        let names: usize = line.strips.iter().map(|s| s.label.len() + 8).sum();
        let detail = line.detail.as_ref().map_or(0, Detail::letters);
        let stops = line.stops.len() * 80;
        tick_rows(line) * 6.8 + rows(stops) + rows(line.lies.len()) + rows(names) + rows(detail)
    };
    let table = |chars: usize| lines.iter().map(|line| high(line, chars)).sum::<f64>();
    // A short table stands beside the sketch of the parts; a long one has the whole width below it.
    let room = sketch_room(card);
    let top = |plans: usize| {
        let section = if section.is_some() { SECTION } else { 0.0 };
        let words = if plans == 0 { 0.0 } else { WORDS };
        section + plans as f64 * PLAN + words
    };
    let rest = HEAD + CARE + if card.test.is_some() { TEST } else { NOTE };
    let fit = |n: usize| n < 3 || rest + top(n) + table(90) <= full;
    // Where not all plans find room, those that show nothing new are left to the table.
    let all_fit = fit(all_plans.len());
    let mut plans: Vec<Value> = all_plans
        .into_iter()
        .filter(|(_, new)| *new || all_fit)
        .map(|(plan, _)| plan)
        .collect();
    // And if there still are too many, setting up has a page of its own, and the table stands on the
    // next with the sketch.
    let apart = !fit(plans.len());
    let mut later: Vec<Value> = Vec::new();
    if apart {
        let room = (3..=plans.len()).take_while(|n| HEAD + CARE + top(*n) <= full);
        later = plans.split_off(room.last().unwrap_or(2));
    }
    let top = if apart {
        later.len() as f64 * PLAN
    } else {
        top(plans.len())
    };
    let beside = room.is_some()
        && card.process != Process::Mitre
        && !(card.process == Process::Notch && many(card))
        && rest + top + table(34).max(SKETCH) <= full
        && lines.len() <= 8;
    let above = !beside && room.is_some() && (apart || plans.is_empty());
    let sketch = room.filter(|_| beside || above).and_then(|wide| {
        let wide = if above { 150.0 } else { wide };
        match card.process {
            Process::Mitre => mitres(facts.model, units, card),
            _ => parts(facts.model, units, card, wide),
        }
    });
    let mut left = if beside {
        f64::MAX
    } else {
        full - rest - top - if above { SKETCH } else { 0.0 }
    };
    let mut chunks: Vec<Vec<Line>> = vec![Vec::new()];
    if apart {
        chunks.push(Vec::new());
    }
    let listed = matches!(card.process, Process::TrueEdge | Process::SquareEnd);
    let mut setting = None;
    for mut line in lines {
        let high = high(&line, 90);
        setting = line.figure.clone().or(setting);
        if high > left && !listed {
            chunks.push(Vec::new());
            left = full - rest;
            // A page stands on its own: its first line says what is set.
            line.figure = setting.clone();
        }
        left -= high;
        if let Some(chunk) = chunks.last_mut() {
            chunk.push(line);
        }
    }
    let pages = chunks.len();
    let first = Drawn {
        section,
        plans,
        ..Drawn::default()
    };
    let table = Drawn {
        sketch,
        beside,
        ..Drawn::default()
    };
    let mut drawn = if apart {
        let plans = later;
        vec![first, Drawn { plans, ..table }]
    } else {
        let Drawn { section, plans, .. } = first;
        vec![Drawn {
            section,
            plans,
            ..table
        }]
    }
    .into_iter();
    chunks
        .into_iter()
        .enumerate()
        .map(|(i, lines)| {
            let drawn = drawn.next().unwrap_or_default();
            page(facts, units, card, (i + 1, pages), drawn, lines)
        })
        .collect()
}

/// Whether so many kinds of parts are notched that their sketches need the whole width.
fn many(card: &Card) -> bool {
    let kinds: BTreeSet<_> = card
        .rows
        .iter()
        .flat_map(|row| &row.runs)
        .map(|run| (run.mark, run.hand))
        .collect();
    kinds.len() > 3
}

/// What is drawn on a page of a card.
#[derive(Default)]
pub(super) struct Drawn {
    pub section: Option<Scene>,
    pub sketch: Option<Scene>,
    pub plans: Vec<Value>,
    pub beside: bool,
}

/// Width of the sketch of the parts; none for cards that need none.
fn sketch_room(card: &Card) -> Option<f64> {
    match card.process {
        Process::JointEdges
        | Process::Panel
        | Process::Plane
        | Process::TrueEdge
        | Process::Rip
        | Process::SquareEnd
        | Process::CutToLength
        | Process::Turn
        | Process::Round
        | Process::Profile
        | Process::Band
        | Process::Tape
        | Process::Tails
        | Process::Sockets
        | Process::Fingers => None,
        Process::Housing
        | Process::EdgeGroove
        | Process::Score
        | Process::Rabbet
        | Process::Tongue
        | Process::Tenon
        | Process::Mortise
        | Process::OpenMortise
        | Process::SplineSlot
        | Process::KeySlot
        | Process::WedgeSlot
        | Process::Taper
        | Process::Lap
        | Process::DovetailKey
        | Process::DovetailHousing
        | Process::PocketHole
        | Process::Notch
        | Process::Slot
        | Process::HoleRow
        | Process::Bore
        | Process::Mitre
        | Process::Recess
        | Process::CutOut => Some(84.0),
    }
}

/// Plans of stopped cuts: one for each mark, hand and way to stop, as many as two pages hold; the
/// table gives the rest. With each, whether it shows a hand, a start inside or a stop inside that none
/// before it shows.
fn plans(facts: &Facts, units: Units, card: &Card) -> Vec<(Value, bool)> {
    let mut seen = BTreeSet::new();
    let mut shown = BTreeSet::new();
    let mut out: Vec<(Value, bool)> = Vec::new();
    for run in card.rows.iter().flat_map(|row| &row.runs) {
        for op in &run.operations {
            let Some(stops) = op.stops else {
                continue;
            };
            if !seen.insert((run.mark, run.hand, stops)) || out.len() > 5 {
                continue;
            }
            let part = facts.model.part(op.at).1;
            let Some(scene) = stop_plan(part, units, op, run.hand) else {
                continue;
            };
            let plan = html::svg(&scene);
            // Parts that are run alike share a plan.
            if out.iter().any(|(other, _)| *other == plan) {
                continue;
            }
            let ways = [
                run.hand.map(hand_word),
                stops.start_block().map(|_| "start"),
                stops.end_block().map(|_| "stop"),
            ];
            let mut new = false;
            for way in ways.into_iter().flatten() {
                new |= shown.insert(way);
            }
            out.push((plan, new));
        }
    }
    out
}
