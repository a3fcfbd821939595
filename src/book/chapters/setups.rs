//! Chapter 7: a card for each setup, in the order to do them.
//!
//! Figures and sketches are prepared here; what is said of them stands in the template.

use super::Chapter;
use super::cutlist::hand_word;
use crate::book::{Facts, html};
use crate::draw::Scene;
use crate::draw::setup_parts::{parts, stop_plan};
use crate::draw::setup_sketch::{section, side_words};
use crate::measure::{Length, Units};
use crate::model::{CutKind, Hand, PartRef, StockKind};
use crate::plan::setups::{
    Card, Changes, Lies, Listed, Machine, Operation, Phase, Process, Run, Setting,
};
use minijinja::Value;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// The setups.
pub const CHAPTER: Chapter = Chapter {
    number: 7,
    id: "setups",
    title: "Setups",
    template: "setups.html",
    facts,
};

/// Up to so many copies both hands stand in one line.
const BESIDE: usize = 3;

#[derive(Serialize)]
struct SetupsFacts {
    letters: Vec<String>,
    cards: Vec<CardFacts>,
    count: usize,
    proven: bool,
    changes: ChangeFacts,
    bound: ChangeFacts,
    unit: &'static str,
}

#[derive(Serialize)]
struct ChangeFacts {
    cutters: u32,
    heights: u32,
    fences: u32,
}

/// A card, or a page of one whose table is long.
#[derive(Serialize)]
struct CardFacts {
    number: u32,
    /// Page of the card, from 1, and how many.
    page: usize,
    pages: usize,
    process: &'static str,
    early: bool,
    /// `dado`, `groove` or both; for bores what they are for.
    kinds: Vec<&'static str>,
    stopped: bool,
    turned: bool,
    moved: bool,
    /// What goes in, and what it is cut in.
    fillers: Vec<String>,
    hosts: Vec<Named>,
    host_names: Vec<String>,
    machine: &'static str,
    cutter: Option<String>,
    listed: &'static str,
    passes: usize,
    parts: usize,
    cutter_wide: Option<Value>,
    width: Option<WidthFacts>,
    height: Option<Value>,
    depth: Option<Value>,
    relief: Option<Value>,
    first: Option<Value>,
    rest: Vec<Value>,
    section: Option<Value>,
    sketch: Option<Value>,
    /// Whether the table stands beside the sketch.
    beside: bool,
    plans: Vec<Value>,
    stops: Option<StopFacts>,
    /// Whether each line carries figures beyond its setting.
    detailed: bool,
    /// Most hands in a line.
    cells: usize,
    /// Most boxes for a letter in a line of boxes: two, then they stand in two lines.
    most: u32,
    lines: Vec<Line>,
    test: Option<TestFacts>,
    fine: Value,
}

#[derive(Serialize, PartialEq)]
struct Named {
    mark: u32,
    label: String,
}

#[derive(Serialize)]
struct WidthFacts {
    whole: Value,
    inner: Value,
    fit: Value,
}

#[derive(Serialize)]
struct StopFacts {
    diameter: Value,
    reach: Value,
    round: bool,
    starts_inside: bool,
    stops_inside: bool,
}

#[derive(Serialize)]
struct TestFacts {
    stock: String,
    thick: Option<Value>,
    tries: Vec<Named>,
}

#[derive(Serialize)]
struct Line {
    figure: Option<Value>,
    detail: Option<Detail>,
    mark: u32,
    label: String,
    lies: String,
    /// The strips that go on.
    strips: Vec<Named>,
    stops: Vec<StopLine>,
    /// Passes of each part, where there are several.
    each: usize,
    cells: Vec<Cell>,
}

/// Stops of one way to run a part.
#[derive(Serialize)]
struct StopLine {
    /// What goes first.
    leads: String,
    /// From mark 1 to the stop behind, where the cut starts inside.
    start: Option<Value>,
    /// From mark 2 to the stop ahead, where it stops inside.
    end: Option<Value>,
}

#[derive(Serialize)]
struct Cell {
    hand: Option<&'static str>,
    boxes: Vec<u32>,
}

#[derive(Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
enum Detail {
    Row {
        first: Value,
        pitch: Value,
        count: u32,
    },
    Points {
        points: Vec<[Value; 2]>,
    },
    Slots {
        centres: Vec<Value>,
        height: Value,
    },
    Recess {
        values: Vec<Value>,
    },
    Corner {
        width: Value,
    },
    Spaces {
        spaces: Vec<[Value; 4]>,
    },
    Moved {
        last: Value,
    },
}

impl Detail {
    /// About how many letters it takes.
    fn letters(&self) -> usize {
        match self {
            Detail::Row { .. } => 70,
            Detail::Points { points } => points.len() * 30,
            Detail::Slots { centres, .. } => 40 + centres.len() * 8,
            Detail::Recess { .. } => 50,
            Detail::Corner { .. } | Detail::Moved { .. } => 36,
            Detail::Spaces { spaces } => 24 + spaces.len() * 36,
        }
    }
}

/// Prepares the setups.
pub fn facts(facts: &Facts) -> Option<Value> {
    let setups = &facts.plans.setups;
    if setups.cards.is_empty() {
        return None;
    }
    let changes = |c: &Changes| ChangeFacts {
        cutters: c.cutters,
        heights: c.heights,
        fences: c.fences,
    };
    Some(html::value(&SetupsFacts {
        letters: facts.letters().into_iter().map(str::to_owned).collect(),
        cards: setups.cards.iter().flat_map(|c| card(facts, c)).collect(),
        count: setups.cards.len(),
        proven: setups.proven,
        changes: changes(&setups.changes),
        bound: changes(&setups.bound),
        unit: facts.units().name(),
    }))
}

fn process_word(process: Process) -> &'static str {
    match process {
        Process::Plane => "plane",
        Process::TrueEdge => "true_edge",
        Process::Rip => "rip",
        Process::SquareEnd => "square_end",
        Process::CutToLength => "cut_to_length",
        Process::Housing => "housing",
        Process::EdgeGroove => "edge_groove",
        Process::Score => "score",
        Process::Rabbet => "rabbet",
        Process::Tongue => "tongue",
        Process::Notch => "notch",
        Process::Tails => "tails",
        Process::Sockets => "sockets",
        Process::Slot => "slot",
        Process::HoleRow => "hole_row",
        Process::Bore => "bore",
        Process::Recess => "recess",
        Process::Mitre => "mitre",
        Process::Band => "band",
    }
}

fn machine_word(machine: Machine) -> &'static str {
    match machine {
        Machine::Planer => "planer",
        Machine::Saw => "saw",
        Machine::SawHead => "saw_head",
        Machine::RouterTable => "router_table",
        Machine::Router => "router",
        Machine::Drill => "drill",
        Machine::MitreSaw => "mitre_saw",
        Machine::BiscuitCutter => "biscuit_cutter",
        Machine::HandSaw => "hand_saw",
        Machine::Knife => "knife",
        Machine::Bench => "bench",
    }
}

fn listed_word(listed: Listed) -> &'static str {
    match listed {
        Listed::NotAsked => "not_asked",
        Listed::Shop => "shop",
        Listed::NoList => "no_list",
        Listed::NoneFits => "none_fits",
    }
}

fn kind_word(kind: CutKind) -> &'static str {
    match kind {
        CutKind::Dado => "dado",
        CutKind::Groove => "groove",
        CutKind::CupBore => "cup",
        CutKind::PullHole => "pull",
        CutKind::ScrewHole => "screw",
        CutKind::EdgeGroove
        | CutKind::Rabbet
        | CutKind::Tongue
        | CutKind::Notch
        | CutKind::Tails
        | CutKind::Sockets
        | CutKind::Mitre
        | CutKind::PinHoles
        | CutKind::HingeRecess
        | CutKind::BiscuitSlot => "cut",
    }
}

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
fn card(facts: &Facts, card: &Card) -> Vec<CardFacts> {
    let units = facts.units();
    let section = section(facts.model, units, card);
    let plans = plans(facts, units, card);
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
    let top = if section.is_some() { SECTION } else { 0.0 }
        + plans.len() as f64 * PLAN
        + if plans.is_empty() { 0.0 } else { WORDS };
    let rest = HEAD + CARE + if card.test.is_some() { TEST } else { NOTE };
    let beside = room.is_some() && rest + top + table(34).max(SKETCH) <= PAGE && lines.len() <= 8;
    let above = !beside && room.is_some() && plans.is_empty();
    let sketch = room
        .filter(|_| beside || above)
        .and_then(|wide| parts(facts.model, units, card, if above { 150.0 } else { wide }));
    let mut left = if beside {
        f64::MAX
    } else {
        PAGE - rest - top - if above { SKETCH } else { 0.0 }
    };
    let mut chunks: Vec<Vec<Line>> = vec![Vec::new()];
    let listed = matches!(card.process, Process::TrueEdge | Process::SquareEnd);
    let mut setting = None;
    for mut line in lines {
        let high = high(&line, 90);
        setting = line.figure.clone().or(setting);
        if high > left && !listed {
            chunks.push(Vec::new());
            left = PAGE - rest;
            // A page stands on its own: its first line says what is set.
            line.figure = setting.clone();
        }
        left -= high;
        if let Some(chunk) = chunks.last_mut() {
            chunk.push(line);
        }
    }
    let pages = chunks.len();
    let mut drawn = Some(Drawn {
        section,
        sketch,
        plans,
        beside,
    });
    chunks
        .into_iter()
        .enumerate()
        .map(|(i, lines)| {
            let drawn = drawn.take().unwrap_or_default();
            page(facts, units, card, (i + 1, pages), drawn, lines)
        })
        .collect()
}

/// What is drawn on a page of a card.
#[derive(Default)]
struct Drawn {
    section: Option<Scene>,
    sketch: Option<Scene>,
    plans: Vec<Value>,
    beside: bool,
}

fn page(
    facts: &Facts,
    units: Units,
    card: &Card,
    (page, pages): (usize, usize),
    drawn: Drawn,
    lines: Vec<Line>,
) -> CardFacts {
    let model = facts.model;
    let figure = |length| html::figure_column(units, length);
    let first = card.operations().next();
    let copies = |at: PartRef| model.part(at).0.copies as usize;
    let parts_made: BTreeSet<PartRef> = card.operations().map(|op| op.at).collect();
    let stopped = card.operations().find_map(|op| op.stops);
    let kinds: BTreeSet<&'static str> = card
        .operations()
        .filter_map(|op| op.kind)
        .map(kind_word)
        .collect();
    let wide = first.and_then(|op| op.width);
    let mut settings = card.rows.iter().filter_map(|row| main_figure(&row.setting));
    CardFacts {
        number: card.number,
        page,
        pages,
        process: process_word(card.process),
        early: matches!(
            card.phase,
            Phase::EarlyGroove | Phase::EarlyTongue | Phase::EarlyMitre | Phase::EarlyBand
        ),
        kinds: kinds.into_iter().collect(),
        stopped: stopped.is_some(),
        turned: card.operations().any(|op| op.turned),
        moved: card.operations().any(|op| op.passes > 1 && !op.turned),
        fillers: names(
            card.test
                .iter()
                .flat_map(|t| &t.tries)
                .map(|(_, label)| label),
        ),
        host_names: names(hosts(card).iter().map(|named| &named.label)),
        hosts: hosts(card),
        machine: machine_word(card.tooling.machine),
        cutter: card.tooling.cutter.clone(),
        listed: listed_word(card.tooling.listed),
        passes: card
            .operations()
            .map(|op| op.passes as usize * copies(op.at) * holes(&op.setting))
            .sum(),
        parts: parts_made.into_iter().map(copies).sum(),
        cutter_wide: card.tooling.width.map(figure),
        width: width(units, card, wide),
        height: card.height.map(figure),
        depth: first
            .filter(|op| op.relief.is_positive())
            .and_then(|op| Some(figure(op.height? - op.relief))),
        relief: first
            .filter(|op| op.relief.is_positive())
            .map(|op| html::figure(units, op.relief)),
        first: settings.next().map(figure),
        rest: settings.map(figure).collect(),
        section: drawn.section.as_ref().map(html::svg),
        sketch: drawn.sketch.as_ref().map(html::svg),
        beside: drawn.beside,
        plans: drawn.plans,
        stops: stopped.map(|stops| StopFacts {
            diameter: html::figure(units, stops.diameter),
            reach: figure(stops.reach),
            round: stops.round,
            starts_inside: card
                .operations()
                .any(|op| op.stops.is_some_and(|s| s.start_block().is_some())),
            stops_inside: card
                .operations()
                .any(|op| op.stops.is_some_and(|s| s.end_block().is_some())),
        }),
        detailed: lines.iter().any(|line| line.detail.is_some()),
        cells: lines.iter().map(|line| line.cells.len()).max().unwrap_or(1),
        most: lines
            .iter()
            .flat_map(|line| &line.cells)
            .flat_map(|cell| &cell.boxes)
            .copied()
            .max()
            .unwrap_or(1)
            .min(2),
        lines,
        test: card.test.as_ref().map(|test| {
            let stock = model.stocks.get(test.stock.0 as usize);
            TestFacts {
                stock: stock.map_or_else(String::new, |s| s.title.clone()),
                thick: stock.and_then(|s| match s.kind {
                    StockKind::Sheet { measured, .. } => Some(html::figure(units, measured)),
                    StockKind::Board { .. } | StockKind::Edging { .. } => None,
                }),
                tries: test
                    .tries
                    .iter()
                    .map(|(mark, label)| Named {
                        mark: *mark,
                        label: label.clone(),
                    })
                    .collect(),
            }
        }),
        // The finest move of a fence that counts: a thirty-second, 0.8 mm (common practice).
        fine: match units {
            Units::Mm => html::figure(units, Length::um(800)),
            Units::Inch(_) => html::figure(units, Length::inches(1, 32)),
        },
    }
}

/// Holes of one operation, each a stroke of the drill; one for anything else.
fn holes(setting: &Setting) -> usize {
    match setting {
        Setting::Row { count, .. } => *count as usize,
        Setting::Points(points) => points.len(),
        Setting::Slots { centres, .. } => centres.len(),
        _ => 1,
    }
}

fn width(units: Units, card: &Card, wide: Option<Length>) -> Option<WidthFacts> {
    let op = card.operations().next()?;
    let housing = matches!(card.process, Process::Housing | Process::EdgeGroove);
    let whole = wide.filter(|_| housing)?;
    Some(WidthFacts {
        whole: html::figure_column(units, whole),
        inner: html::figure(units, whole - op.fit),
        fit: html::figure(units, op.fit),
    })
}

/// Names as they stand in a title: `tray back` for `Tray, back`, each once.
fn names<'a>(labels: impl Iterator<Item = &'a String>) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for label in labels {
        let name = label.replace(", ", " ").to_lowercase();
        if !out.contains(&name) {
            out.push(name);
        }
    }
    out
}

fn hosts(card: &Card) -> Vec<Named> {
    let mut out: Vec<Named> = Vec::new();
    for run in card.rows.iter().flat_map(|row| &row.runs) {
        let named = Named {
            mark: run.mark,
            label: run.label.clone(),
        };
        if !out.contains(&named) {
            out.push(named);
        }
    }
    out.sort_by_key(|named| named.mark);
    out
}

/// Width of the sketch of the parts; none for cards that need none.
fn sketch_room(card: &Card) -> Option<f64> {
    match card.process {
        Process::Plane
        | Process::TrueEdge
        | Process::Rip
        | Process::SquareEnd
        | Process::CutToLength
        | Process::Mitre
        | Process::Band
        | Process::Tails
        | Process::Sockets => None,
        Process::Housing
        | Process::EdgeGroove
        | Process::Score
        | Process::Rabbet
        | Process::Tongue
        | Process::Notch
        | Process::Slot
        | Process::HoleRow
        | Process::Bore
        | Process::Recess => Some(84.0),
    }
}

/// Plans of stopped cuts: one for each mark, hand and way to stop, two at most on a card so that it
/// stays whole; the table gives the rest.
fn plans(facts: &Facts, units: Units, card: &Card) -> Vec<Value> {
    let mut seen = BTreeSet::new();
    let mut out = Vec::new();
    for run in card.rows.iter().flat_map(|row| &row.runs) {
        for op in &run.operations {
            if op.stops.is_none() || !seen.insert((run.mark, run.hand, op.stops)) || out.len() > 1 {
                continue;
            }
            let part = facts.model.part(op.at).1;
            if let Some(scene) = stop_plan(part, units, op, run.hand) {
                out.push(html::svg(&scene));
            }
        }
    }
    out
}

/// What stands large in a line of the table.
fn main_figure(setting: &Setting) -> Option<Length> {
    match setting {
        Setting::Free | Setting::Points(_) | Setting::Spaces(_) | Setting::Strip(_) => None,
        Setting::Thickness(l)
        | Setting::Trim(l)
        | Setting::Exposed(l)
        | Setting::Stop(l)
        | Setting::LongPoint(l)
        | Setting::Line(l)
        | Setting::Corner(l, _) => Some(*l),
        Setting::Fence { at, .. } => Some(*at),
        Setting::Row { back, .. } => Some(*back),
        Setting::Slots { height, .. } => Some(*height),
        Setting::Recess([l, ..]) => Some(*l),
    }
}

fn detail(units: Units, setting: &Setting) -> Option<Detail> {
    let figure = |l: Length| html::figure_column(units, l);
    match setting {
        Setting::Row {
            first,
            pitch,
            count,
            ..
        } => Some(Detail::Row {
            first: figure(*first),
            pitch: figure(*pitch),
            count: *count,
        }),
        Setting::Points(points) => Some(Detail::Points {
            points: points.iter().map(|p| p.map(figure)).collect(),
        }),
        Setting::Slots { centres, height } => Some(Detail::Slots {
            centres: centres.iter().map(|c| figure(*c)).collect(),
            height: figure(*height),
        }),
        Setting::Recess(values) => Some(Detail::Recess {
            values: values.iter().map(|v| figure(*v)).collect(),
        }),
        Setting::Corner(_, width) => Some(Detail::Corner {
            width: figure(*width),
        }),
        Setting::Spaces(spaces) => Some(Detail::Spaces {
            spaces: spaces
                .iter()
                .map(|s| [s.near[0], s.near[1], s.far[0], s.far[1]].map(figure))
                .collect(),
        }),
        Setting::Fence {
            last: Some(last), ..
        } => Some(Detail::Moved {
            last: figure(*last),
        }),
        Setting::Free
        | Setting::Thickness(_)
        | Setting::Trim(_)
        | Setting::Fence { last: None, .. }
        | Setting::Exposed(_)
        | Setting::Stop(_)
        | Setting::LongPoint(_)
        | Setting::Line(_)
        | Setting::Strip(_) => None,
    }
}

/// The table of a card: a line for each setting and mark, both hands beside each other where few
/// copies are made.
fn lines(facts: &Facts, units: Units, card: &Card) -> Vec<Line> {
    let letters = facts.letters();
    let beside = letters.len() <= BESIDE
        && card
            .rows
            .iter()
            .flat_map(|row| &row.runs)
            .all(|run| run.hand.is_some());
    let first = ways(facts, card.operations().take(1));
    let many_ways = ways(facts, card.operations()) != first;
    let mut out: Vec<Line> = Vec::new();
    for row in &card.rows {
        let start = out.len();
        for run in &row.runs {
            let cell = Cell {
                hand: run.hand.map(hand_word),
                boxes: boxes(facts, &letters, run),
            };
            let lies = if many_ways {
                ways(facts, run.operations.iter()).join("; ")
            } else {
                String::new()
            };
            let parts = run.parts().len().max(1);
            let partner = out
                .get_mut(start..)
                .and_then(|lines| lines.last_mut())
                .filter(|last| {
                    beside
                        && run.hand == Some(Hand::Right)
                        && last.mark == run.mark
                        && last.lies == lies
                        && run.operations.iter().all(|op| op.stops.is_none())
                });
            match partner {
                Some(last) => last.cells.push(cell),
                None => out.push(Line {
                    figure: None,
                    detail: None,
                    mark: run.mark,
                    label: run.label.clone(),
                    lies,
                    strips: strips(facts, run),
                    stops: stop_lines(facts, units, run),
                    each: run.operations.len() / parts,
                    cells: vec![cell],
                }),
            }
        }
        if let Some(first) = out.get_mut(start) {
            first.figure = main_figure(&row.setting).map(|l| html::figure_column(units, l));
            first.detail = detail(units, &row.setting);
            if let Setting::Strip(n) = row.setting {
                first.figure = Some(html::safe(n.to_string()));
            }
        }
    }
    out
}

/// The stops of a run, each way once.
fn stop_lines(facts: &Facts, units: Units, run: &Run) -> Vec<StopLine> {
    let mut seen = BTreeSet::new();
    let figure = |l| html::figure_column(units, l);
    run.operations
        .iter()
        .filter_map(|op| {
            let (stops, leads) = (op.stops?, op.lies.leads?);
            let part = facts.model.part(op.at).1;
            let leads = side_words(part, leads);
            seen.insert((leads.clone(), stops)).then(|| StopLine {
                leads,
                start: stops.start_block().map(figure),
                end: stops.end_block().map(figure),
            })
        })
        .collect()
}

/// The strips that a run puts on.
fn strips(facts: &Facts, run: &Run) -> Vec<Named> {
    let mut out: Vec<Named> = Vec::new();
    for op in run
        .operations
        .iter()
        .filter(|op| op.process == Process::Band)
    {
        let strip = op.filler.map(|part| PartRef {
            piece: op.at.piece,
            part,
        });
        for group in &facts.model.groups {
            let named = Named {
                mark: group.mark,
                label: group.label.clone(),
            };
            if group.members.iter().any(|(at, _)| Some(*at) == strip) && !out.contains(&named) {
                out.push(named);
            }
        }
    }
    out
}

/// Boxes for each letter: one a part.
fn boxes(facts: &Facts, letters: &[&str], run: &Run) -> Vec<u32> {
    let mut each: BTreeMap<&str, u32> = BTreeMap::new();
    for at in run.parts() {
        for letter in &facts.model.part(at).0.letters {
            *each.entry(letter).or_insert(0) += 1;
        }
    }
    letters
        .iter()
        .map(|letter| each.get(letter).copied().unwrap_or(0))
        .collect()
}

/// How parts lie, in as few words as say it all: surfaces that are down, and those at the fence.
fn ways<'a>(facts: &Facts, operations: impl Iterator<Item = &'a Operation>) -> Vec<String> {
    let mut pairs: BTreeSet<(String, String)> = BTreeSet::new();
    let mut out: BTreeSet<String> = BTreeSet::new();
    for op in operations {
        let part = facts.model.part(op.at).1;
        let Lies { down, against, .. } = op.lies;
        match (told(op), against) {
            (Some(Shown::Down), Some(against)) => {
                pairs.insert((side_words(part, down), side_words(part, against)));
            }
            (Some(Shown::Corner(leads)), Some(against)) => {
                out.insert(format!(
                    "{}, {}",
                    side_words(part, against),
                    side_words(part, leads)
                ));
            }
            (Some(Shown::On), Some(against)) => {
                out.insert(side_words(part, against));
            }
            (Some(_), None) | (None, _) => {}
        }
    }
    let downs: BTreeSet<String> = pairs.iter().map(|p| p.0.clone()).collect();
    let fences: BTreeSet<String> = pairs.iter().map(|p| p.1.clone()).collect();
    let words = |set: BTreeSet<String>| html::list(&set.into_iter().collect::<Vec<_>>());
    if !pairs.is_empty() && downs.len() * fences.len() == pairs.len() {
        out.insert(format!(
            "{} down, {} to the fence",
            words(downs),
            words(fences)
        ));
    } else {
        out.extend(
            pairs
                .into_iter()
                .map(|(down, fence)| format!("{down} down, {fence} to the fence")),
        );
    }
    out.into_iter().collect()
}

/// How the lie of an operation is told.
enum Shown {
    /// What is down and what is at the fence.
    Down,
    /// Which corner.
    Corner(crate::model::Side),
    /// Which end or edge.
    On,
}

fn told(op: &Operation) -> Option<Shown> {
    match op.process {
        Process::Housing | Process::EdgeGroove | Process::Rabbet | Process::Tongue => {
            Some(Shown::Down)
        }
        Process::Notch => op.lies.leads.map(Shown::Corner),
        Process::Score
        | Process::Tails
        | Process::Sockets
        | Process::Slot
        | Process::Mitre
        | Process::Band
        | Process::HoleRow
        | Process::Bore
        | Process::Recess => Some(Shown::On),
        Process::Plane
        | Process::TrueEdge
        | Process::Rip
        | Process::SquareEnd
        | Process::CutToLength => None,
    }
}
