//! The table of a card: a line for each setting and part, with what more must be said of it.

use super::super::cutlist::hand_word;
use super::card::Named;
use crate::book::{Facts, html};
use crate::draw::setup_sketch::side_words;
use crate::measure::{Length, Units};
use crate::model::{Hand, PartRef, Side};
use crate::plan::setups::{Card, Lies, Operation, Process, Run, Setting};
use minijinja::Value;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// Up to so many copies both hands stand in one line.
const BESIDE: usize = 3;

/// A line.
#[derive(Serialize)]
pub(super) struct Line {
    pub figure: Option<Value>,
    pub detail: Option<Detail>,
    pub mark: u32,
    pub label: String,
    pub lies: String,
    /// The strips that go on.
    pub strips: Vec<Named>,
    pub stops: Vec<StopLine>,
    /// Passes of each part, where there are several.
    pub each: usize,
    pub cells: Vec<Cell>,
}

/// Stops of one way to run a part.
#[derive(Serialize)]
pub(super) struct StopLine {
    /// What goes first.
    pub leads: String,
    /// From mark 1 to the stop behind, where the cut starts inside.
    pub start: Option<Value>,
    /// From mark 2 to the stop ahead, where it stops inside.
    pub end: Option<Value>,
}

#[derive(Serialize)]
pub(super) struct Cell {
    pub hand: Option<&'static str>,
    pub boxes: Vec<u32>,
}

#[derive(Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub(super) enum Detail {
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
    pub(super) fn letters(&self) -> usize {
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

/// What stands large in a line of the table.
pub(super) fn main_figure(setting: &Setting) -> Option<Length> {
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
pub(super) fn lines(facts: &Facts, units: Units, card: &Card) -> Vec<Line> {
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
    Corner(Side),
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
