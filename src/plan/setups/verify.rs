//! The independent check of a setups plan: every cut made once, nothing before its time; and what the
//! shop's cutters can't do.
//!
//! It reads the model and the finished cards, and shares no working with the planner beyond the table
//! of precedences, which is the statement of what is right.

use super::Setups;
use super::operation::{Listed, Operation, Process, Work};
use super::precedence::{RULES, Scope};
use crate::measure::Length;
use crate::model::{
    Cut, CutKind, Finding, LocalAxis, Model, Outcome, PartRef, Sense, Side, Solid, StockKind, Value,
};
use std::collections::BTreeMap;

/// A promise of the plan that is broken. There is none unless the planner is wrong.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Broken {
    /// The part needs this work so many times and the cards do it so many.
    Count {
        /// The part.
        at: PartRef,
        /// The work.
        work: Work,
        /// Wanted.
        wanted: usize,
        /// Planned.
        planned: usize,
    },
    /// The second card's work is done on the part before the first's.
    Order {
        /// Number of the card that comes too late.
        first: u32,
        /// Number of the card that comes too early.
        then: u32,
        /// Why it should not.
        because: &'static str,
    },
}

/// Everything that is broken.
pub fn verify(model: &Model, setups: &Setups) -> Vec<Broken> {
    let mut broken = coverage(model, setups);
    broken.extend(precedence(model, setups));
    broken
}

/// What each part needs, from the model alone.
fn wanted(model: &Model) -> BTreeMap<(PartRef, Work), usize> {
    let mut out = BTreeMap::new();
    for (at, part) in model.parts() {
        let mut need = |work| *out.entry((at, work)).or_insert(0) += 1;
        let stock = model.stocks.get(part.stock.0 as usize).map(|s| &s.kind);
        match stock {
            Some(StockKind::Board { .. }) => {
                [Work::Plane, Work::TrueEdge, Work::Rip]
                    .into_iter()
                    .for_each(&mut need);
            }
            Some(StockKind::Sheet { .. }) | None => {
                [Work::TrueEdge, Work::Rip].into_iter().for_each(&mut need);
            }
            Some(StockKind::Edging { .. }) => {}
        }
        if model.staves(at).is_some() {
            let staves = [Work::StavePlane, Work::StaveJoint, Work::StaveGlue];
            staves.into_iter().for_each(&mut need);
        }
        if part.is_tape(&model.stocks) {
            continue; // cut over-long by hand, trimmed on the panel
        }
        let mitre = |side| {
            part.cuts
                .iter()
                .any(|c| c.kind == CutKind::Mitre && c.entry == side)
        };
        if !mitre(Side::End) {
            need(Work::SquareEnd);
        }
        if !mitre(Side::FarEnd) {
            need(Work::CutToLength);
        }
        let host = part.host.map(|id| model.part(at).0.part(id));
        for (cut, c) in part.cuts.iter().enumerate() {
            if host.is_some_and(|host| part.shares(host, c)) {
                continue; // cut in panel and strip at once
            }
            if model.part(at).0.cut_with_other(part, c) {
                continue; // cut in both parts of a corner at once
            }
            let steps = match c.kind {
                CutKind::Rabbet
                | CutKind::Tongue
                | CutKind::Tenon
                | CutKind::Notch
                | CutKind::DovetailKey => true,
                CutKind::Mortise
                | CutKind::LooseMortise
                | CutKind::ButtonSlot
                | CutKind::ScrewSlot => !in_a_line(c),
                _ => false,
            };
            if steps {
                (0..c.solids.len()).for_each(|k| {
                    need(Work::Cut {
                        cut,
                        solid: Some(k),
                    });
                });
            } else {
                need(Work::Cut { cut, solid: None });
            }
        }
        (0..part.bands.len()).for_each(|band| need(Work::Band(band)));
        (0..part.shaped.len()).for_each(|shape| need(Work::Shape(shape)));
    }
    out
}

/// Whether all its solids are of one size, and differ in place along the cut alone.
fn in_a_line(cut: &Cut) -> bool {
    let moved = |solid: &Solid| {
        let b = solid.bounds();
        LocalAxis::ALL.map(|axis| match axis == cut.along {
            true => [b.extent(axis), Length::ZERO],
            false => [b.lo[axis.index()], b.hi[axis.index()]],
        })
    };
    cut.solids
        .windows(2)
        .all(|pair| moved(&pair[0]) == moved(&pair[1]))
}

fn coverage(model: &Model, setups: &Setups) -> Vec<Broken> {
    let mut planned: BTreeMap<(PartRef, Work), usize> = BTreeMap::new();
    for op in setups.cards.iter().flat_map(|card| card.operations()) {
        *planned.entry((op.at, op.work)).or_insert(0) += 1;
    }
    let mut wanted = wanted(model);
    // Knife lines are work of the plan's own making: one each at most.
    for (key, count) in &planned {
        if matches!(key.1, Work::Score { .. }) && *count == 1 {
            wanted.insert(*key, 1);
        }
    }
    let keys: std::collections::BTreeSet<_> = wanted.keys().chain(planned.keys()).collect();
    keys.into_iter()
        .filter_map(|key| {
            let (w, p) = (
                wanted.get(key).copied().unwrap_or(0),
                planned.get(key).copied().unwrap_or(0),
            );
            (w != p).then_some(Broken::Count {
                at: key.0,
                work: key.1,
                wanted: w,
                planned: p,
            })
        })
        .collect()
}

/// Every pair of operations held against every row of the table.
fn precedence(model: &Model, setups: &Setups) -> Vec<Broken> {
    let placed: Vec<(u32, &Operation)> = setups
        .cards
        .iter()
        .flat_map(|card| card.operations().map(|op| (card.number, op)))
        .collect();
    let mut broken = Vec::new();
    for (then, b) in &placed {
        for (first, a) in &placed {
            if first < then || a.at.piece != b.at.piece {
                continue;
            }
            for rule in RULES {
                let bound = match rule.scope {
                    Scope::SamePart => a.at == b.at,
                    Scope::SameJoint => a.joint.is_some() && a.joint == b.joint,
                    Scope::Strip => match b.work {
                        Work::Band(i) => model
                            .part(b.at)
                            .1
                            .bands
                            .get(i)
                            .is_some_and(|band| band.strip == a.at.part),
                        _ => false,
                    },
                };
                if bound && rule.first.contains(&a.phase) && rule.then.contains(&b.phase) {
                    broken.push(Broken::Order {
                        first: *first,
                        then: *then,
                        because: rule.because,
                    });
                }
            }
        }
    }
    broken
}

/// Cuts that no cutter of the shop's list makes. Nothing is said where the shop lists none. (Whether a
/// part is too long for the saw is a rule's matter.)
pub(super) fn findings(model: &Model, setups: &Setups) -> Vec<Finding> {
    let mut out: Vec<Finding> = Vec::new();
    for op in setups.cards.iter().flat_map(|card| card.operations()) {
        let (Some(width), Listed::NoneFits) = (op.width, op.tooling.listed) else {
            continue;
        };
        let (piece, part) = model.part(op.at);
        let origin = match op.work {
            Work::Cut { cut, .. } => part.cuts.get(cut).map(|c| c.origin.span),
            _ => None,
        };
        let span = origin.unwrap_or(part.origin.span);
        if out.iter().any(|f| f.spans.first() == Some(&span)) {
            continue; // one report a line
        }
        let units = piece.units;
        let depth = op.height.unwrap_or(Length::ZERO);
        let widest = model
            .shop
            .cutters
            .iter()
            .filter(|c| suits(op.process, c.kind))
            .map(|c| c.thick.1)
            .max()
            .unwrap_or(Length::ZERO);
        let lists: Vec<String> = model
            .shop
            .cutters
            .iter()
            .map(|c| format!("`{}`", c.name))
            .collect();
        out.push(Finding {
            code: "shop.no_cutter".into(),
            subject: format!("{}, {}", part.label, kind_word(op.kind)),
            piece: Some(op.at.piece),
            figure: Value::Length(width),
            limit: Value::Length(widest),
            sense: Sense::AtMost,
            outcome: Outcome::Caution,
            arithmetic: format!(
                "a cut {} wide and {} deep; the shop lists {}",
                units.text(width),
                units.text(depth),
                lists.join(", ")
            ),
            source: "shop".into(),
            spans: vec![span],
        });
    }
    out
}

fn suits(process: Process, kind: crate::model::CutterKind) -> bool {
    use crate::model::CutterKind::{Bore, Dado, Groove, Rabbet};
    match process {
        Process::Housing | Process::EdgeGroove => matches!(kind, Dado | Groove),
        Process::Rabbet | Process::Tongue | Process::Tenon => matches!(kind, Dado | Rabbet),
        Process::HoleRow | Process::Bore => kind == Bore,
        _ => false,
    }
}

fn kind_word(kind: Option<CutKind>) -> &'static str {
    kind.map_or("cut", CutKind::word)
}
