//! Operations gathered into cards: one card a machine, cutter and height; one row a fence or stop;
//! one run a part and hand.

use super::operation::{Operation, Phase, Process, Setting, Tooling};
use super::order::{Changes, Item, order};
use super::precedence::each_pair;
use crate::measure::Length;
use crate::model::{CutKind, Hand, JointKind, Model, PartRef, Side, StockId};
use std::collections::{BTreeMap, BTreeSet};

/// A machine set up once.
#[derive(Clone, Debug)]
pub struct Card {
    /// Its number in print, from 1, in the order in which to do them.
    pub number: u32,
    /// The stage of its operations.
    pub phase: Phase,
    /// What is done.
    pub process: Process,
    /// With what.
    pub tooling: Tooling,
    /// Height of the cutter, or depth of the bit.
    pub height: Option<Length>,
    /// Fences or stops, in the order to set them.
    pub rows: Vec<Row>,
    /// What to try first, where the card makes a fit.
    pub test: Option<TestCut>,
}

/// One fence or stop.
#[derive(Clone, Debug)]
pub struct Row {
    /// What is set.
    pub setting: Setting,
    /// What is run at it.
    pub runs: Vec<Run>,
}

/// Parts of one mark and hand.
#[derive(Clone, Debug)]
pub struct Run {
    /// Number of their group.
    pub mark: u32,
    /// Name of their group.
    pub label: String,
    /// Their hand.
    pub hand: Option<Hand>,
    /// Every operation at this setting, part by part.
    pub operations: Vec<Operation>,
}

impl Run {
    /// The distinct parts, each once (not times its copies).
    pub fn parts(&self) -> Vec<PartRef> {
        let set: BTreeSet<PartRef> = self.operations.iter().map(|op| op.at).collect();
        set.into_iter().collect()
    }
}

/// A test cut before the parts are run.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TestCut {
    /// From each stock that is run, that of the most parts first.
    pub stocks: Vec<StockId>,
    /// What is tried in it: mark and name of the group.
    pub tries: Vec<(u32, String)>,
}

impl Card {
    /// Every operation of the card.
    pub fn operations(&self) -> impl Iterator<Item = &Operation> {
        self.rows
            .iter()
            .flat_map(|row| &row.runs)
            .flat_map(|run| &run.operations)
    }
}

/// Mark, name and hand of every part.
pub(super) struct Marks<'a>(BTreeMap<PartRef, (u32, &'a str, Option<Hand>)>);

impl<'a> Marks<'a> {
    pub(super) fn new(model: &'a Model) -> Marks<'a> {
        Marks(
            model
                .groups
                .iter()
                .flat_map(|g| {
                    g.members
                        .iter()
                        .map(move |(at, hand)| (*at, (g.mark, g.label.as_str(), *hand)))
                })
                .collect(),
        )
    }

    /// Mark, name and hand; a part that is in no group has mark 0 and its own name.
    fn of(&self, model: &'a Model, at: PartRef) -> (u32, &'a str, Option<Hand>) {
        self.0
            .get(&at)
            .copied()
            .unwrap_or_else(|| (0, model.part(at).1.label.as_str(), None))
    }
}

/// What makes a card.
type Key = (Phase, Process, Tooling, Option<Length>);
/// Rows of a card, each with its operations.
type Rows = BTreeMap<Setting, Vec<Operation>>;
/// A card before it has its place: what makes it, and its rows by setting.
type Unordered = (Key, Vec<(Setting, Vec<Operation>)>);

/// Cards in order.
pub(super) fn cards(
    model: &Model,
    operations: Vec<Operation>,
    most_states: usize,
) -> (Vec<Card>, Changes, Changes, bool) {
    let marks = Marks::new(model);
    let mut by_key: BTreeMap<Key, Rows> = BTreeMap::new();
    for op in operations {
        let key = (op.phase, op.process, op.tooling.clone(), op.height);
        by_key
            .entry(key)
            .or_default()
            .entry(op.setting.clone())
            .or_default()
            .push(op);
    }
    let list: Vec<Unordered> = by_key
        .into_iter()
        .map(|(key, rows)| (key, rows.into_iter().collect()))
        .collect();
    let items = items(&list);
    let order = order(&items, most_states);
    let mut cards = Vec::new();
    for (number, (index, rows)) in order.cards.iter().enumerate() {
        let Some(((phase, process, tooling, height), all)) = list.get(*index) else {
            continue;
        };
        // Ends are moulded before sides, whatever the fence: what tears out is cut away.
        let mut rows = rows.clone();
        if *process == Process::Profile {
            rows.sort_unstable();
        }
        let mut rows: Vec<Row> = rows
            .iter()
            .filter_map(|row| all.get(*row))
            .map(|(setting, ops)| Row {
                setting: setting.clone(),
                runs: runs(model, &marks, ops),
            })
            .collect();
        // What is laid out with a rule sets no fence: all of one part while it lies on the bench.
        if rows
            .iter()
            .all(|row| matches!(row.setting, Setting::Window { .. }))
        {
            rows.sort_by_key(|row| row.runs.first().map(|run| run.mark));
        }
        let test = test_cut(model, &marks, *process, &rows);
        cards.push(Card {
            number: number as u32 + 1,
            phase: *phase,
            process: *process,
            tooling: tooling.clone(),
            height: *height,
            rows,
            test,
        });
    }
    (cards, order.changes, order.bound, order.proven)
}

/// What the order needs to know, with what must come before each.
fn items(list: &[Unordered]) -> Vec<Item> {
    let mut flat = Vec::new();
    let mut owner = Vec::new();
    for (card, (_, rows)) in list.iter().enumerate() {
        for op in rows.iter().flat_map(|(_, ops)| ops) {
            flat.push(op);
            owner.push(card);
        }
    }
    let mut after = vec![BTreeSet::new(); list.len()];
    each_pair(&flat, |first, then, _| {
        if let (Some(a), Some(b)) = (owner.get(first), owner.get(then))
            && a != b
            && let Some(set) = after.get_mut(*b)
        {
            set.insert(*a);
        }
    });
    list.iter()
        .zip(after)
        .map(|(((phase, _, tooling, height), rows), after)| Item {
            tooling: tooling.clone(),
            height: *height,
            settings: rows.iter().map(|(setting, _)| setting.clone()).collect(),
            rank: *phase as u32,
            after,
        })
        .collect()
}

fn runs(model: &Model, marks: &Marks<'_>, ops: &[Operation]) -> Vec<Run> {
    type Key<'m> = (u32, Option<Hand>, &'m str, Option<Side>);
    let mut by_part: BTreeMap<Key<'_>, Vec<Operation>> = BTreeMap::new();
    for op in ops {
        let (mark, label, hand) = marks.of(model, op.at);
        // What is laid out from a surface is told for the surface it is let into.
        let into = matches!(op.setting, Setting::Recess { .. }).then_some(op.lies.down);
        by_part
            .entry((mark, hand, label, into))
            .or_default()
            .push(op.clone());
    }
    by_part
        .into_iter()
        .map(|((mark, hand, label, _), mut operations)| {
            // First the part that the others are told by: it is drawn.
            operations.sort_by_cached_key(|op| (op.at != model.told_by(op.at), op.at, op.work));
            Run {
                mark,
                label: label.into(),
                hand,
                operations,
            }
        })
        .collect()
}

/// The test cut of a card that makes a fit.
fn test_cut(model: &Model, marks: &Marks<'_>, process: Process, rows: &[Row]) -> Option<TestCut> {
    let ops = || {
        rows.iter()
            .flat_map(|row| &row.runs)
            .flat_map(|run| &run.operations)
    };
    let fits = match process {
        Process::Housing
        | Process::EdgeGroove
        | Process::Rabbet
        | Process::Tongue
        | Process::Tenon
        | Process::Mortise
        | Process::OpenMortise
        | Process::SplineSlot
        | Process::KeySlot
        | Process::Lap
        | Process::Fingers
        | Process::DovetailKey
        | Process::DovetailHousing
        | Process::PocketHole
        | Process::Tails
        | Process::Sockets
        | Process::Slot
        | Process::HoleRow => true,
        Process::Bore => {
            ops().any(|op| matches!(op.kind, Some(CutKind::CupBore | CutKind::DowelHole)))
        }
        Process::JointEdges
        | Process::Panel
        | Process::Plane
        | Process::TrueEdge
        | Process::Rip
        | Process::SquareEnd
        | Process::CutToLength
        | Process::Score
        | Process::WedgeSlot
        | Process::Taper
        | Process::Notch
        | Process::Recess
        | Process::CutOut
        | Process::Mitre
        | Process::Profile
        | Process::Turn
        | Process::Round
        | Process::Band
        | Process::Tape => false,
    };
    if !fits {
        return None;
    }
    let mut made: BTreeMap<StockId, u32> = BTreeMap::new();
    let parts: BTreeSet<PartRef> = ops().map(|op| op.at).collect();
    for at in parts {
        let (piece, part) = model.part(at);
        *made.entry(part.stock).or_insert(0) += piece.copies;
    }
    let mut stocks: Vec<(StockId, u32)> = made.into_iter().collect();
    stocks.sort_by_key(|(id, count)| (std::cmp::Reverse(*count), *id));
    let mut tries = BTreeSet::new();
    for op in ops() {
        if let Some(part) = tried(model, op) {
            let (mark, label, _) = marks.of(
                model,
                PartRef {
                    piece: op.at.piece,
                    part,
                },
            );
            tries.insert((mark, label.to_string()));
        }
    }
    Some(TestCut {
        stocks: stocks.into_iter().map(|(id, _)| id).collect(),
        tries: tries.into_iter().collect(),
    })
}

/// What is tried in a cut: the part that goes in, or that at the other side of its joint; none where
/// that is a connector.
fn tried(model: &Model, op: &Operation) -> Option<crate::model::PartId> {
    let (piece, part) = model.part(op.at);
    let joint = op.joint.map(|id| piece.joint(id));
    let connector = matches!(
        joint.map(|joint| joint.kind),
        Some(JointKind::Screws | JointKind::Nails | JointKind::Bolts | JointKind::LooseTenons)
    );
    let other = joint.map(|joint| if joint.a == part.id { joint.b } else { joint.a });
    op.filler.or(other).filter(|_| !connector)
}
