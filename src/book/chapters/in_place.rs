//! What is fitted where the piece stands, beside what chapter 10 says of fronts: fillers to scribe,
//! worktops, kicks, and the holes by which cases hold each other.

use super::{PartMark, part_mark};
use crate::book::{Facts, html};
use crate::draw::piece_view::{envelope, fitted};
use crate::measure::{Length, Units};
use crate::model::{Axis, Joint, Part, PartId, Piece, Role};
use minijinja::Value;
use serde::Serialize;

/// What of a piece is fitted in place; nothing if it is one case.
#[derive(Serialize)]
pub(super) struct InPlace {
    /// The number of the card before its first.
    pub(super) before: u32,
    fillers: Vec<FillerFacts>,
    tops: Vec<TopFacts>,
    kicks: Vec<KickFacts>,
    held: Vec<HeldFacts>,
    /// What is left on a filler for the wall.
    scribe: Value,
    unit: &'static str,
}

#[derive(Serialize)]
struct FillerFacts {
    mark: Option<PartMark>,
    name: String,
    wide: Value,
    high: Value,
    /// Above the floor.
    up: Value,
    /// `left` or `right`, where a wall is.
    wall: Option<&'static str>,
    /// The cases beside it.
    beside: Vec<String>,
}

#[derive(Serialize)]
struct TopFacts {
    mark: Option<PartMark>,
    name: String,
    count: usize,
    size: Value,
    /// Upper face above the floor.
    level: Value,
    /// How far beyond the cases, by edge.
    proud: Vec<(&'static str, Value)>,
    /// Where lengths meet, from the left end, with the case below.
    meet: Vec<(Value, Option<String>)>,
}

#[derive(Serialize)]
struct KickFacts {
    mark: Option<PartMark>,
    name: String,
    count: usize,
    size: Value,
    set_back: Value,
    /// Room between it and the cases.
    below: Option<Value>,
}

#[derive(Serialize)]
struct HeldFacts {
    first: String,
    first_mark: Option<PartMark>,
    second: String,
    second_mark: Option<PartMark>,
    count: usize,
    title: String,
    /// Which way the places are told.
    way: &'static str,
    /// Of the first part's holes, from the floor or from the left end of the run.
    places: Vec<Value>,
}

/// Prepares the section.
pub(super) fn facts(facts: &Facts, index: usize, piece: &Piece) -> Option<InPlace> {
    let held = held(facts, index, piece);
    let one = One {
        facts,
        index,
        piece,
    };
    let out = InPlace {
        before: 0,
        fillers: one.fillers(),
        tops: one.tops(),
        kicks: one.kicks(),
        held,
        scribe: html::figure(
            piece.units,
            match piece.units {
                Units::Mm => Length::mm(10),
                Units::Inch(_) => Length::inches(3, 8),
            },
        ),
        unit: piece.units.name(),
    };
    let some = !out.fillers.is_empty() || !out.tops.is_empty() || !out.kicks.is_empty();
    (some || !out.held.is_empty()).then_some(out)
}

impl InPlace {
    /// How many cards it prints.
    pub(super) fn cards(&self) -> u32 {
        let some = |empty: bool| usize::from(!empty);
        let tables = some(self.fillers.is_empty()) + some(self.held.is_empty());
        u32::try_from(tables + self.tops.len() + self.kicks.len()).unwrap_or(u32::MAX)
    }
}

struct One<'a> {
    facts: &'a Facts<'a>,
    index: usize,
    piece: &'a Piece,
}

impl One<'_> {
    fn of(&self, role: Role) -> Vec<&Part> {
        let all = fitted(self.piece).filter(|part| part.role == role);
        let mut all: Vec<&Part> = all.collect();
        all.sort_by_key(|part| part.finished.lo[0]);
        all
    }

    /// Lengths of one worktop or kick together.
    fn lengths(&self, role: Role) -> Vec<Vec<&Part>> {
        let mut out: Vec<Vec<&Part>> = Vec::new();
        for part in self.of(role) {
            let base = |part: &Part| part.path.split('[').next().map(str::to_owned);
            match out
                .iter_mut()
                .find(|row| row.first().is_some_and(|p| base(p) == base(part)))
            {
                Some(row) => row.push(part),
                None => out.push(vec![part]),
            }
        }
        out
    }

    fn mark(&self, part: &Part) -> Option<PartMark> {
        part_mark(self.facts, self.index, part.id)
    }

    fn figure(&self, length: Length) -> Value {
        html::figure(self.piece.units, length)
    }

    fn size(&self, part: &Part) -> Value {
        let size = part.finished_size;
        html::sizes(self.piece.units, &[size.length, size.width, size.thick])
    }

    fn fillers(&self) -> Vec<FillerFacts> {
        let env = envelope(self.piece);
        self.of(Role::Filler)
            .into_iter()
            .map(|part| {
                let b = &part.finished;
                let beside = self.piece.outer_cases().filter(|case| {
                    case.envelope.hi[0] == b.lo[0] || case.envelope.lo[0] == b.hi[0]
                });
                FillerFacts {
                    mark: self.mark(part),
                    name: part.label.clone(),
                    wide: self.figure(b.extent(Axis::X)),
                    high: self.figure(b.extent(Axis::Z)),
                    up: self.figure(b.lo[2]),
                    wall: match (b.lo[0] == env.lo[0], b.hi[0] == env.hi[0]) {
                        (true, _) => Some("left"),
                        (_, true) => Some("right"),
                        _ => None,
                    },
                    beside: beside
                        .map(|case| self.piece.assembly(case.assembly).label.clone())
                        .collect(),
                }
            })
            .collect()
    }

    fn tops(&self) -> Vec<TopFacts> {
        let env = envelope(self.piece);
        let rows = self.lengths(Role::Worktop).into_iter();
        rows.filter_map(|row| {
            let first = *row.first()?;
            let whole = row
                .iter()
                .map(|part| part.finished)
                .reduce(|a, b| a.union(&b))?;
            // Beyond what it lies over; of several tops in a piece each over its own cases.
            let over = self
                .piece
                .outer_cases()
                .map(|case| case.envelope)
                .filter(|case| {
                    case.hi[2] <= whole.lo[2]
                        && case.lo[0] < whole.hi[0]
                        && whole.lo[0] < case.hi[0]
                })
                .reduce(|a, b| a.union(&b))?;
            let fillers = self.of(Role::Filler).into_iter().map(|part| part.finished);
            let over = fillers
                .filter(|filler| filler.lo[0] == over.hi[0] || filler.hi[0] == over.lo[0])
                .fold(over, |all, filler| crate::model::Box3 {
                    lo: [all.lo[0].min(filler.lo[0]), all.lo[1], all.lo[2]],
                    hi: [all.hi[0].max(filler.hi[0]), all.hi[1], all.hi[2]],
                });
            let beyond = [
                ("front", over.lo[1] - whole.lo[1]),
                ("rear", whole.hi[1] - over.hi[1]),
                ("left", over.lo[0] - whole.lo[0]),
                ("right", whole.hi[0] - over.hi[0]),
            ];
            let meet = row.iter().skip(1).map(|part| {
                let at = part.finished.lo[0];
                let case = self.piece.outer_cases().find(|case| {
                    case.envelope.lo[0] < at
                        && at < case.envelope.hi[0]
                        && case.envelope.hi[2] <= whole.lo[2]
                });
                let label = case.map(|case| self.piece.assembly(case.assembly).label.clone());
                (self.figure(at - whole.lo[0]), label)
            });
            Some(TopFacts {
                mark: self.mark(first),
                name: first.label.clone(),
                count: row.len(),
                size: self.size(first),
                level: self.figure(whole.hi[2] - env.lo[2].min(Length::ZERO)),
                proud: beyond
                    .into_iter()
                    .filter(|(_, by)| by.is_positive())
                    .map(|(edge, by)| (edge, self.figure(by)))
                    .collect(),
                meet: meet.collect(),
            })
        })
        .collect()
    }

    fn kicks(&self) -> Vec<KickFacts> {
        let rows = self.lengths(Role::Kick).into_iter();
        rows.filter_map(|row| {
            let first = *row.first()?;
            let over = self
                .piece
                .outer_cases()
                .map(|case| case.envelope)
                .filter(|case| {
                    case.lo[0] < first.finished.hi[0] && first.finished.lo[0] < case.hi[0]
                });
            let over = over.reduce(|a, b| a.union(&b))?;
            let below = over.lo[2] - first.finished.hi[2];
            Some(KickFacts {
                mark: self.mark(first),
                name: first.label.clone(),
                count: row.len(),
                size: self.size(first),
                set_back: self.figure(first.finished.lo[1] - over.lo[1]),
                below: below.is_positive().then(|| self.figure(below)),
            })
        })
        .collect()
    }
}

/// Every joint by which one thing holds another where it stands, in the order of the text.
fn held(facts: &Facts, index: usize, piece: &Piece) -> Vec<HeldFacts> {
    let name = |id: PartId| {
        let part = piece.part(id);
        match piece.outer_case(part.assembly) {
            Some(case) => piece.assembly(case.assembly).label.clone(),
            None => part.label.clone(),
        }
    };
    let standing = |joint: &&Joint| {
        let assembly = piece.assembly(joint.assembly);
        assembly.kind == crate::model::AssemblyKind::Fitted && assembly.parts.is_empty()
    };
    let joints = piece.joints.iter().filter(standing);
    joints
        .filter_map(|joint| {
            let fastening = joint.fastening.as_ref()?;
            let hardware = facts.model.hardware.get(fastening.hardware.0 as usize)?;
            let normal = Axis::ALL
                .into_iter()
                .find(|axis| joint.contact.extent(*axis).is_zero())?;
            // Along the longer way of the meeting.
            let along = Axis::ALL
                .into_iter()
                .filter(|axis| *axis != normal)
                .max_by_key(|axis| joint.contact.extent(*axis))?;
            let mut places: Vec<Length> = fastening
                .places
                .iter()
                .filter_map(|place| place.get(along.index()).copied())
                .collect();
            places.sort();
            Some(HeldFacts {
                first: name(joint.a),
                first_mark: part_mark(facts, index, joint.a),
                second: name(joint.b),
                second_mark: part_mark(facts, index, joint.b),
                count: fastening.places.len(),
                title: hardware.title.clone(),
                way: match along {
                    Axis::X => "from the left end of the whole",
                    Axis::Y => "behind the fronts",
                    Axis::Z => "above the floor",
                },
                places: places
                    .into_iter()
                    .map(|place| html::figure(piece.units, place))
                    .collect(),
            })
        })
        .collect()
}
