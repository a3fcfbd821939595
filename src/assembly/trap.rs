//! Why parts can't be put together, and which joint made otherwise would free them.

use super::hold::{flat, is_pinned};
use super::take_apart::{Care, Ease, Order, Work};
use crate::model::{Axis, Edge, Joint, JointId, PartId};
use crate::source::Span;
use std::collections::BTreeSet;

/// Parts of which none can leave the others, alone or with some of them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trap {
    /// The parts; without any one of them the rest comes apart.
    pub parts: Vec<PartId>,
    /// What each joint among them allows.
    pub holds: Vec<Hold>,
    /// Each change of the joints of one line that frees them, and all that is trapped with them.
    pub cures: Vec<Cure>,
}

/// In which directions one part of a joint can leave the other, were they alone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hold {
    /// The joint.
    pub joint: JointId,
    /// Toward which its part `a` can leave `b`.
    pub ways: Vec<Edge>,
}

/// A change of the joints of one line that lie among what is trapped.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Cure {
    /// Plain faces, held by what is driven afterwards or by glue alone.
    Plain(Vec<JointId>),
    /// The slots of their connectors in the second part open to this edge, so that the first can slide in.
    Open(Vec<JointId>, Edge),
}

/// The traps of an order that has found no way.
pub(super) fn traps(work: &Work, order: &Order) -> Vec<Trap> {
    order.stuck.iter().map(|stuck| trap(work, stuck)).collect()
}

fn trap(work: &Work, stuck: &BTreeSet<PartId>) -> Trap {
    let units = work.units.iter().enumerate();
    let set: BTreeSet<usize> = units
        .filter(|(_, part)| stuck.contains(part))
        .map(|(unit, _)| unit)
        .collect();
    let core = least(work, set.clone());
    let joints = among(work, &core);
    let mut lines: Vec<Span> = joints.iter().map(|joint| joint.origin.span).collect();
    lines.dedup();
    let around = among(work, &set);
    let of_line = |line: &Span| -> Vec<&Joint> {
        let own = around.iter().filter(|joint| joint.origin.span == *line);
        own.copied().collect()
    };
    Trap {
        parts: core.iter().map(|unit| work.units[*unit]).collect(),
        holds: joints.iter().map(|joint| hold(work, joint)).collect(),
        cures: lines
            .iter()
            .flat_map(|line| cures(work, &set, &of_line(line)))
            .collect(),
    }
}

/// A smallest set within one that is stuck: whatever is left of it without a unit, if that is stuck too.
fn least(work: &Work, mut set: BTreeSet<usize>) -> BTreeSet<usize> {
    for unit in set.clone() {
        let mut less = set.clone();
        if less.remove(&unit) {
            let remains = work.remains(&less);
            if !remains.is_empty() {
                set = remains;
            }
        }
    }
    set
}

fn hold(work: &Work, joint: &Joint) -> Hold {
    let index = |part: PartId| work.units.iter().position(|unit| *unit == part);
    let ways = match (index(joint.a), index(joint.b)) {
        (Some(a), Some(b)) => Edge::ALL
            .into_iter()
            .enumerate()
            .filter(|(e, edge)| {
                work.held_by(*e, *edge, a, Care::Free)
                    .all(|other| other != b)
            })
            .map(|(_, edge)| edge)
            .collect(),
        _ => Vec::new(),
    };
    Hold {
        joint: joint.id,
        ways,
    }
}

/// The joints of which both parts are in a set, in order.
fn among<'a>(work: &Work<'a>, set: &BTreeSet<usize>) -> Vec<&'a Joint> {
    let mut joints: Vec<&Joint> = set
        .iter()
        .flat_map(|unit| &work.held[*unit])
        .filter(|(other, _)| set.contains(other))
        .map(|(_, joint)| *joint)
        .collect();
    joints.sort_by_key(|joint| joint.id);
    joints.dedup_by_key(|joint| joint.id);
    joints
}

/// Which changes of some joints let all of a set come apart.
fn cures(work: &Work, set: &BTreeSet<usize>, joints: &[&Joint]) -> Vec<Cure> {
    let ids: Vec<JointId> = joints.iter().map(|joint| joint.id).collect();
    let frees = |ease| {
        let eased = Work {
            eased: Some((ids.clone(), ease)),
            ..work.clone()
        };
        eased.remains(set).is_empty()
    };
    let mut out = Vec::new();
    if frees(Ease::Plain) {
        out.push(Cure::Plain(ids.clone()));
    }
    let slots = joints.iter().filter(|joint| is_pinned(joint));
    let across: BTreeSet<Axis> = slots.map(|joint| flat(joint)).collect();
    if let [axis] = Vec::from_iter(across).as_slice() {
        // Slots run out at the ends of a meeting.
        let long = |joint: &&Joint| {
            let others = Axis::ALL.into_iter().filter(|other| other != axis);
            others.max_by_key(|other| joint.contact.extent(*other))
        };
        let runs: BTreeSet<Option<Axis>> = joints.iter().map(long).collect();
        let ends = Edge::ALL.into_iter();
        let ends = ends.filter(|end| runs.iter().all(|run| *run == Some(end.axis())));
        let open = ends.filter(|end| frees(Ease::Open(*end)));
        out.extend(open.map(|end| Cure::Open(ids.clone(), end)));
    }
    out
}
