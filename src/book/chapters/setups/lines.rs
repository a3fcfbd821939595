//! The table of a card: a line for each setting and part, with what more must be said of it.

use super::super::cutlist::hand_word;
use super::card::Named;
use crate::book::{Facts, html};
use crate::draw::setup_sketch::side_words;
use crate::measure::{Length, Units};
use crate::model::{Cut, CutKind, Hand, LocalAxis, Part, PartRef, Side};
use crate::plan::setups::{Card, Lies, Operation, Process, Run, Setting, Sliding, Work};
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
        /// Surface that the height is from.
        above: String,
        /// Where the centres are measured from.
        from: &'static str,
        centres: Vec<Value>,
        height: Value,
    },
    Recess {
        starts: Vec<Value>,
        back: Value,
        /// Surfaces that `starts` and `back` are from.
        from: [&'static str; 2],
        size: [Value; 2],
    },
    Window {
        /// The face that a recess is let into.
        face: Option<String>,
        from: [Value; 2],
        size: [Value; 2],
    },
    Corner {
        width: Value,
        /// Whether it is a tongue that is cut back.
        tongue: bool,
        /// Whether it is between tenons.
        between: bool,
        /// Where a tongue or a tenon stands beyond it: how far, at the `end` or the `edge`.
        inside: Vec<(Value, &'static str)>,
    },
    Spaces {
        /// Whether the walls are square, so that the outside says it all.
        straight: bool,
        spaces: Vec<[Value; 4]>,
    },
    Moved {
        last: Value,
    },
    /// An edge that is moulded: with the grain, or across it.
    Along {
        grain: bool,
    },
    /// A taper: where it begins, and how much comes off at the end to which it runs.
    Tapered {
        starts: Value,
        off: Value,
        foot: String,
    },
    /// A length that is turned or rounded, and what is left of its thickness.
    Lengthwise {
        between: [Value; 2],
        least: Option<Value>,
    },
    /// A dovetail housing: its walls, where it begins and where it ends if a wall leans, and how far it runs.
    Sliding {
        walls: Vec<[Value; 4]>,
        across: &'static str,
        from: Option<Value>,
        to: Option<Value>,
        near: &'static str,
    },
    /// What holds one side of the part off the fence.
    Shim {
        shim: Value,
        at: String,
    },
    /// Where a cut with the router in the hands begins, if inside, and where it ends.
    Guided {
        from: Option<Value>,
        to: Value,
        near: &'static str,
    },
}

impl Detail {
    /// About how many letters it takes.
    pub(super) fn letters(&self) -> usize {
        match self {
            Detail::Row { .. } => 70,
            Detail::Points { points } => points.len() * 30,
            Detail::Slots { centres, .. } => 40 + centres.len() * 8,
            Detail::Recess { starts, .. } => 60 + starts.len() * 8,
            Detail::Window { .. } => 70,
            Detail::Corner { inside, .. } => 36 + inside.len() * 40,
            Detail::Moved { .. } => 36,
            Detail::Along { .. } => 20,
            Detail::Lengthwise { .. } | Detail::Tapered { .. } => 70,
            Detail::Guided { .. } | Detail::Shim { .. } => 60,
            Detail::Sliding { walls, .. } => 60 + walls.len() * 60,
            Detail::Spaces { spaces, .. } => 24 + spaces.len() * 36,
        }
    }
}

/// What stands large in a line of the table.
pub(super) fn main_figure(setting: &Setting) -> Option<Length> {
    match setting {
        Setting::Free
        | Setting::Points(_)
        | Setting::Spaces(_)
        | Setting::Strip(_)
        | Setting::Window { .. }
        | Setting::Lengthwise { .. }
        | Setting::Tapered { .. }
        | Setting::Recess { .. } => None,
        Setting::Thickness(l)
        | Setting::Trim(l)
        | Setting::Exposed(l)
        | Setting::Shimmed { exposed: l, .. }
        | Setting::Stop(l)
        | Setting::LongPoint(l)
        | Setting::Line(l)
        | Setting::Along { wide: l, .. }
        | Setting::Corner { along: l, .. } => Some(*l),
        Setting::Fence { at, .. } => Some(*at),
        Setting::Guided { wall, .. } => Some(*wall),
        Setting::Sliding(run) => Some(run.mouth[0][0].min(run.mouth[1][0])),
        Setting::Row { back, .. } => Some(*back),
        Setting::Slots { height, .. } => Some(*height),
    }
}

fn detail(facts: &Facts, units: Units, setting: &Setting, run: &Run) -> Option<Detail> {
    let figure = |l: Length| html::figure_setting(units, l);
    let first = run.operations.first();
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
            above: first.map_or_else(String::new, |op| {
                side_words(told_by(facts, op), op.lies.down)
            }),
            from: first.map_or("reference end", |op| centres_from(facts, op)),
            centres: centres.iter().map(|c| figure(*c)).collect(),
            height: figure(*height),
        }),
        Setting::Recess { starts, back, size } => Some(Detail::Recess {
            // Laid out with a rule: finer than the rule's step is no help.
            starts: starts
                .iter()
                .map(|v| html::figure_column(units, *v))
                .collect(),
            back: figure(*back),
            from: first.map_or(["reference end", "reference edge"], |op| {
                recess_from(facts, op)
            }),
            size: size.map(figure),
        }),
        // Laid out with a rule too.
        Setting::Window { from, size } => Some(Detail::Window {
            face: first
                .filter(|op| op.height.is_some())
                .map(|op| side_words(told_by(facts, op), op.lies.down.opposite())),
            from: from.map(figure),
            size: size.map(figure),
        }),
        Setting::Corner { across, inside, .. } => Some(Detail::Corner {
            width: figure(*across),
            tongue: first.is_some_and(|op| op.kind == Some(CutKind::Tongue)),
            between: first.is_some_and(|op| op.kind == Some(CutKind::Tenon)),
            inside: inside
                .iter()
                .zip(["end", "edge"])
                .filter(|(l, _)| l.is_positive())
                .map(|(l, word)| (figure(*l), word))
                .collect(),
        }),
        Setting::Spaces(spaces) => Some(Detail::Spaces {
            straight: spaces.iter().all(|s| s.outside == s.inside),
            spaces: spaces
                .iter()
                .map(|s| {
                    let line = |l| html::figure_column(units, l);
                    [s.outside[0], s.outside[1], s.inside[0], s.inside[1]].map(line)
                })
                .collect(),
        }),
        Setting::Guided { from, to, .. } => Some(Detail::Guided {
            from: from.is_positive().then(|| figure(*from)),
            to: figure(*to),
            near: first.map_or("reference edge", |op| centres_from(facts, op)),
        }),
        Setting::Sliding(run) => {
            let Sliding {
                from,
                to,
                mouth,
                floor,
            } = run.as_ref();
            let ends = if mouth[0] == mouth[1] { 1 } else { 2 };
            let walls = mouth.iter().zip(floor).take(ends);
            Some(Detail::Sliding {
                walls: walls
                    .map(|(m, f)| [m[0], m[1], f[0], f[1]].map(figure))
                    .collect(),
                across: match first.and_then(|op| op.lies.against) {
                    Some(Side::End | Side::FarEnd) => "reference end",
                    Some(Side::Edge | Side::FarEdge) | None => "reference edge",
                    Some(Side::Face | Side::Reverse) => "face side",
                },
                from: from.is_positive().then(|| figure(*from)),
                to: to.map(figure),
                near: first.map_or("reference edge", |op| centres_from(facts, op)),
            })
        }
        Setting::Shimmed { shim, at, .. } => Some(Detail::Shim {
            shim: figure(*shim),
            at: first.map_or_else(String::new, |op| side_words(told_by(facts, op), *at)),
        }),
        Setting::Fence {
            last: Some(last), ..
        } => Some(Detail::Moved {
            last: figure(*last),
        }),
        Setting::Tapered { starts, foot, off } => Some(Detail::Tapered {
            starts: figure(*starts),
            off: figure(*off),
            foot: first.map_or_else(String::new, |op| side_words(told_by(facts, op), *foot)),
        }),
        Setting::Along { grain, .. } => Some(Detail::Along { grain: *grain }),
        Setting::Lengthwise { between, least } => Some(Detail::Lengthwise {
            between: between.map(figure),
            least: least.map(figure),
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

/// The part by whose place the sides of an operation's part are named.
fn told_by<'a>(facts: &Facts<'a>, op: &Operation) -> &'a Part {
    facts.model.part(facts.model.told_by(op.at)).1
}

/// From where recesses and mortises are measured: along their run, and across it. Recesses in a face lie
/// along the part.
fn recess_from(facts: &Facts, op: &Operation) -> [&'static str; 2] {
    let into = op.lies.down.axis();
    let along = match cut_of(facts, op) {
        Some(cut) if cut.kind != CutKind::HingeRecess || into != LocalAxis::Thickness => cut.along,
        _ => LocalAxis::Length,
    };
    [along, along.third(into)].map(near_word)
}

/// From where the centres of slots are measured: the near side of the way in which they lie. Saw cuts for
/// wedges lie beside each other across their run.
fn centres_from(facts: &Facts, op: &Operation) -> &'static str {
    near_word(match cut_of(facts, op) {
        Some(cut) if cut.kind == CutKind::WedgeSlot => cut.along.third(cut.entry.axis()),
        Some(cut) => cut.along,
        None => LocalAxis::Length,
    })
}

fn cut_of<'a>(facts: &'a Facts, op: &Operation) -> Option<&'a Cut> {
    match op.work {
        Work::Cut { cut, .. } => facts.model.part(op.at).1.cuts.get(cut),
        _ => None,
    }
}

/// The near side of an axis, where the book measures from.
fn near_word(axis: LocalAxis) -> &'static str {
    match axis {
        LocalAxis::Length => "reference end",
        LocalAxis::Width => "reference edge",
        LocalAxis::Thickness => "face side",
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
    // No sketch shows which edge is moulded, which wall of a key is cut, or the side of a taper.
    let tell_ways = matches!(
        card.process,
        Process::Profile | Process::DovetailKey | Process::Taper
    ) || ways(facts, card.operations()) != first;
    let mut out: Vec<Line> = Vec::new();
    for row in &card.rows {
        let start = out.len();
        for run in &row.runs {
            let cell = Cell {
                hand: run.hand.map(hand_word),
                boxes: boxes(facts, &letters, run),
            };
            let lies = if tell_ways {
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
                    detail: detail(facts, units, &row.setting, run),
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
        // A line with more figures than one says all of them itself; others share what stands above.
        let figure = main_figure(&row.setting).map(|l| html::figure_setting(units, l));
        for line in out.get_mut(start..).into_iter().flatten() {
            if line.detail.is_some() {
                line.figure = figure.clone();
            }
        }
        if let Some(first) = out.get_mut(start) {
            first.figure = figure;
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
            let leads = side_words(told_by(facts, op), leads);
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
        .filter(|op| matches!(op.process, Process::Band | Process::Tape))
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
    let of_staves = |op: &Operation| matches!(op.work, Work::StavePlane | Work::StaveJoint);
    let staves = run.operations.iter().all(of_staves);
    for at in run.parts() {
        let boards = facts.model.staves(at).filter(|_| staves);
        for letter in &facts.model.part(at).0.letters {
            *each.entry(letter).or_insert(0) += boards.map_or(1, |staves| staves.count);
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
        let part = told_by(facts, op);
        let Lies { down, against, .. } = op.lies;
        match (told(op), against) {
            (Some(Shown::Down), Some(against)) => {
                pairs.insert((side_words(part, down), side_words(part, against)));
            }
            (Some(Shown::Corner(leads)), Some(against)) => {
                let end = side_words(part, against);
                // The end piece of a tongue: the corner is the tongue's own.
                out.insert(
                    if matches!(op.kind, Some(CutKind::Tongue | CutKind::Rabbet)) {
                        format!("tongue cut back at the {end}")
                    } else {
                        format!("{end}, {}", side_words(part, leads))
                    },
                );
            }
            (Some(Shown::Mitred), Some(against)) => {
                out.insert(format!("{} mitred", side_words(part, against.opposite())));
            }
            (Some(Shown::On), Some(against)) => {
                out.insert(side_words(part, against));
            }
            (Some(Shown::In), _) => {
                out.insert(format!("in the {}", side_words(part, down.opposite())));
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
    /// Into which surface.
    In,
    /// The end that is mitred, opposite to what is at the stop.
    Mitred,
}

fn told(op: &Operation) -> Option<Shown> {
    match op.process {
        Process::Housing
        | Process::EdgeGroove
        | Process::Rabbet
        | Process::Tongue
        | Process::Tenon
        | Process::DovetailKey => Some(Shown::Down),
        Process::Notch => op.lies.leads.map(Shown::Corner),
        Process::Mitre => Some(Shown::Mitred),
        Process::Mortise => Some(Shown::In),
        Process::OpenMortise
        | Process::SplineSlot
        | Process::KeySlot
        | Process::WedgeSlot
        | Process::Taper
        | Process::Lap
        | Process::Fingers
        | Process::DovetailHousing
        | Process::PocketHole
        | Process::Profile
        | Process::Score
        | Process::Tails
        | Process::Sockets
        | Process::Slot
        | Process::Band
        | Process::Tape
        | Process::HoleRow
        | Process::Bore
        | Process::Recess
        | Process::CutOut => Some(Shown::On),
        Process::JointEdges
        | Process::Panel
        | Process::Plane
        | Process::TrueEdge
        | Process::Rip
        | Process::SquareEnd
        | Process::CutToLength
        | Process::Turn
        | Process::Round => None,
    }
}
