//! A card, or a page of one: its settings, its counts and what is drawn on it.

use super::dovetails::{DovetailFacts, SlopeFacts, spacings};
use super::lines::{Line, main_figure};
use super::paging::Drawn;
use super::words::{kind_word, listed_word, machine_word, process_word};
use crate::book::{Facts, html};
use crate::measure::{Length, Units};
use crate::model::{LocalAxis, PartRef, StockKind};
use crate::plan::setups::{Card, Machine, Operation, Phase, Process, Setting};
use minijinja::Value;
use serde::Serialize;
use std::collections::BTreeSet;

/// A card, or a page of one whose table is long.
#[derive(Serialize)]
pub(super) struct CardFacts {
    pub number: u32,
    /// Page of the card, from 1, and how many.
    pub page: usize,
    pub pages: usize,
    pub process: &'static str,
    /// Whether it is about the boards of panels, before they are one.
    pub staves: bool,
    pub early: bool,
    /// `dado`, `groove` or both; for bores what they are for.
    pub kinds: Vec<&'static str>,
    pub stopped: bool,
    /// Whether a pair is run, so that the hands change ends.
    pub hands: bool,
    /// Whether a hole ends inside the wood.
    pub blind: bool,
    /// Ends so narrow that a gauge pushes them along the fence.
    pub gauge: Vec<GaugeFacts>,
    /// Spacing of dovetails, for the bevel and for a template guide.
    pub dovetails: Vec<DovetailFacts>,
    /// Slope of the bit, for dovetails that slide.
    pub slope: Option<SlopeFacts>,
    /// Whether a wall of them leans along the cut.
    pub leaning: bool,
    /// The widest bit that their housings take.
    pub bit: Option<Value>,
    /// Strips that are run in long lengths, and the setup at which they are cut up.
    pub lengths: Vec<Named>,
    pub cut_up: Option<u32>,
    pub turned: bool,
    pub moved: bool,
    /// What goes in, and what it is cut in.
    pub fillers: Vec<String>,
    pub hosts: Vec<Named>,
    pub host_names: Vec<String>,
    pub machine: &'static str,
    pub cutter: Option<String>,
    pub listed: &'static str,
    pub passes: usize,
    pub parts: usize,
    pub cutter_wide: Option<Value>,
    pub width: Option<WidthFacts>,
    pub height: Option<Value>,
    pub depth: Option<Value>,
    pub relief: Option<Value>,
    pub first: Option<Value>,
    pub rest: Vec<Value>,
    pub section: Option<Value>,
    pub sketch: Option<Value>,
    /// Whether the table stands beside the sketch.
    pub beside: bool,
    pub plans: Vec<Value>,
    pub stops: Option<StopFacts>,
    /// Whether each line carries figures beyond its setting.
    pub detailed: bool,
    /// Most hands in a line.
    pub cells: usize,
    /// Most boxes for a letter in a line of boxes: two, then they stand in two lines.
    pub most: u32,
    pub lines: Vec<Line>,
    pub test: Option<TestFacts>,
    pub fine: Value,
}

#[derive(Serialize, PartialEq)]
pub(super) struct Named {
    pub mark: u32,
    pub label: String,
}

#[derive(Serialize)]
pub(super) struct WidthFacts {
    pub whole: Value,
    pub inner: Value,
    pub fit: Value,
}

#[derive(Serialize)]
pub(super) struct StopFacts {
    pub diameter: Value,
    pub reach: Value,
    pub round: bool,
    pub starts_inside: bool,
    pub stops_inside: bool,
}

/// A part whose end at the fence is short for its reach away from it.
#[derive(Serialize, PartialEq)]
pub(super) struct GaugeFacts {
    pub named: Named,
    pub rides: Value,
    pub away: Value,
}

#[derive(Serialize)]
pub(super) struct StockFacts {
    pub title: String,
    pub thick: Option<Value>,
}

#[derive(Serialize)]
pub(super) struct TestFacts {
    pub stocks: Vec<StockFacts>,
    pub tries: Vec<Named>,
}

/// Prepares one page of a card.
pub(super) fn page(
    facts: &Facts,
    units: Units,
    card: &Card,
    (page, pages): (usize, usize),
    drawn: Drawn,
    lines: Vec<Line>,
) -> CardFacts {
    let model = facts.model;
    let figure = |length| html::figure_setting(units, length);
    let first = card.operations().next();
    let copies = |at: PartRef| model.part(at).0.copies as usize;
    let parts_made: BTreeSet<PartRef> = card.operations().map(|op| op.at).collect();
    let stopped = card.operations().find_map(|op| op.stops);
    let kinds: BTreeSet<&'static str> = card
        .operations()
        .filter_map(|op| kind_word(model, op))
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
        staves: matches!(
            card.phase,
            Phase::StavePlane | Phase::StaveJoint | Phase::StaveGlue
        ),
        kinds: kinds.into_iter().collect(),
        stopped: stopped.is_some()
            || card.operations().any(|op| match &op.setting {
                Setting::Guided { .. } => true,
                Setting::Sliding(run) => run.from.is_positive() || run.to.is_some(),
                _ => false,
            }),
        hands: card
            .rows
            .iter()
            .flat_map(|row| &row.runs)
            .any(|run| run.hand.is_some()),
        blind: card.height.is_some(),
        gauge: gauge(facts, units, card),
        dovetails: spacings(units, card),
        slope: card.tooling.slope.map(SlopeFacts::new),
        leaning: card.operations().any(|op| leaning(&op.setting)),
        bit: card.operations().filter_map(narrowest).min().map(figure),
        cut_up: cut_up(facts, card),
        lengths: lengths(facts, card),
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
            reach: html::figure_column(units, stops.reach),
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
            let stocks = test
                .stocks
                .iter()
                .filter_map(|id| model.stocks.get(id.0 as usize));
            TestFacts {
                stocks: stocks
                    .map(|stock| StockFacts {
                        title: crate::book::plain::short(&stock.title).to_owned(),
                        thick: match stock.kind {
                            StockKind::Sheet { measured, .. } => {
                                Some(html::figure(units, measured))
                            }
                            StockKind::Board { .. } | StockKind::Edging { .. } => None,
                        },
                    })
                    .collect(),
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

/// Whether a wall of a dovetail that slides leans along it.
fn leaning(setting: &Setting) -> bool {
    match setting {
        Setting::Shimmed { .. } => true,
        Setting::Sliding(run) => run.mouth[0] != run.mouth[1],
        _ => false,
    }
}

/// How wide the floor of a dovetail housing is where it is narrowest.
fn narrowest(op: &Operation) -> Option<Length> {
    let Setting::Sliding(run) = &op.setting else {
        return None;
    };
    run.floor.iter().map(|walls| walls[1] - walls[0]).min()
}

fn width(units: Units, card: &Card, wide: Option<Length>) -> Option<WidthFacts> {
    let op = card.operations().next()?;
    let housing = matches!(
        card.process,
        Process::Housing
            | Process::EdgeGroove
            | Process::OpenMortise
            | Process::SplineSlot
            | Process::KeySlot
    );
    let whole = wide.filter(|_| housing)?;
    Some(WidthFacts {
        whole: html::figure_setting(units, whole),
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

/// Housings across parts whose end at the fence is short: under 300 mm, and less than two thirds of
/// what the part reaches away from it (common practice: a gauge or sled carries such a part, the fence is a stop).
fn gauge(facts: &Facts, units: Units, card: &Card) -> Vec<GaugeFacts> {
    let mut out: Vec<GaugeFacts> = Vec::new();
    let at_fence = matches!(
        card.tooling.machine,
        Machine::SawHead | Machine::RouterTable
    ) && card.process == Process::Housing;
    for run in card.rows.iter().flat_map(|row| &row.runs) {
        for op in run.operations.iter().filter(|_| at_fence) {
            let part = facts.model.part(op.at).1;
            let Some(against) = op.lies.against else {
                continue;
            };
            let away = part.size.along(against.axis());
            let rides = match against.axis() {
                LocalAxis::Length => part.size.width,
                LocalAxis::Width | LocalAxis::Thickness => part.size.length,
            };
            if rides * 3 >= away * 2 || rides >= Length::mm(300) {
                continue;
            }
            let fact = GaugeFacts {
                named: Named {
                    mark: run.mark,
                    label: run.label.clone(),
                },
                rides: html::figure(units, rides),
                away: html::figure(units, away),
            };
            if !out.contains(&fact) {
                out.push(fact);
            }
        }
    }
    out
}

/// The strips of a card that are run in long lengths and not cut up yet.
fn lengths(facts: &Facts, card: &Card) -> Vec<Named> {
    let mut out: Vec<Named> = Vec::new();
    let before = !matches!(
        card.process,
        Process::SquareEnd | Process::CutToLength | Process::Notch | Process::Mitre
    );
    for run in card.rows.iter().flat_map(|row| &row.runs) {
        let long = run.operations.iter().any(|op| {
            let part = facts.model.part(op.at).1;
            part.runs_in_lengths(&facts.model.stocks)
        });
        let named = Named {
            mark: run.mark,
            label: run.label.clone(),
        };
        if long && before && !out.contains(&named) {
            out.push(named);
        }
    }
    out
}

/// The setup at which such strips are cut to their own length.
fn cut_up(facts: &Facts, card: &Card) -> Option<u32> {
    let at = card.operations().map(|op| op.at).find(|at| {
        let part = facts.model.part(*at).1;
        part.runs_in_lengths(&facts.model.stocks)
    })?;
    let cards = &facts.plans.setups.cards;
    cards
        .iter()
        .filter(|c| {
            matches!(
                c.phase,
                Phase::StripSquare
                    | Phase::StripLength
                    | Phase::EarlyStripSquare
                    | Phase::EarlyStripLength
            ) || c.process == Process::Mitre
        })
        .find(|c| c.operations().any(|op| op.at == at))
        .map(|c| c.number)
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
