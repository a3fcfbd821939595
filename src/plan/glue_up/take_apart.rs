//! An order of assembly, found by taking the piece apart.
//!
//! Again and again something is taken off that can leave in one direction: nothing blocks it, and
//! each glued joint that opens is one that closes in that direction. What is only dry comes off
//! first (so it goes in last), then backs, then what lies over, then what is between. Read backwards
//! the list is an order in which each part still can get in. Where nothing can come off alone, the
//! rest is closed all at once and marked so.

use super::joints::closes;
use super::shapes::{Unit, blocks};
use crate::model::{Axis, Edge, Joint, JointId, PartId, Piece};
use std::collections::BTreeSet;

/// One coming together.
#[derive(Clone, Debug)]
pub(super) struct Join {
    /// What is there already.
    pub(super) base: BTreeSet<PartId>,
    /// What is brought to it.
    pub(super) body: BTreeSet<PartId>,
    /// The way in which `body` moves; `None` where all closes at once.
    pub(super) way: Option<Edge>,
    /// Joints that close, glued and dry.
    pub(super) joints: Vec<JointId>,
}

/// The search below looks at every set that can come off, which grows with the fourth power of the
/// number of parts; an assembly of more is closed all at once and marked so, for its maker to order.
const MOST_UNITS: usize = 48;

/// The joins of an assembly in the order of work.
pub(super) fn joins(piece: &Piece, units: &[Unit], joints: &[&Joint]) -> Vec<Join> {
    if units.len() > MOST_UNITS {
        return vec![Join {
            base: BTreeSet::new(),
            body: units.iter().map(|unit| unit.part).collect(),
            way: None,
            joints: joints.iter().map(|joint| joint.id).collect(),
        }];
    }
    let way: Vec<Vec<Vec<bool>>> = Edge::ALL
        .iter()
        .map(|edge| {
            units
                .iter()
                .map(|a| {
                    units
                        .iter()
                        .map(|b| a.part != b.part && blocks(a, b, *edge))
                        .collect()
                })
                .collect()
        })
        .collect();
    let work = Work {
        piece,
        units,
        joints,
        way,
    };
    let mut out = Vec::new();
    work.split((0..units.len()).collect(), &mut out);
    out
}

struct Work<'a> {
    piece: &'a Piece,
    units: &'a [Unit],
    joints: &'a [&'a Joint],
    /// By edge, moving unit, standing unit.
    way: Vec<Vec<Vec<bool>>>,
}

impl Work<'_> {
    /// Takes a set apart to single units, and writes down the joins in the order of work.
    fn split(&self, set: BTreeSet<usize>, out: &mut Vec<Join>) {
        if set.len() < 2 {
            return;
        }
        let Some((edge, off)) = self.best(&set) else {
            let parts: BTreeSet<PartId> = self.parts(&set);
            let joints = self.within(&set);
            out.push(Join {
                base: BTreeSet::new(),
                body: parts,
                way: None,
                joints: joints.iter().map(|j| j.id).collect(),
            });
            return;
        };
        let rest: BTreeSet<usize> = set.difference(&off).copied().collect();
        let joints = self.across(&rest, &off);
        self.split(rest.clone(), out);
        self.split(off.clone(), out);
        out.push(Join {
            base: self.parts(&rest),
            body: self.parts(&off),
            way: Some(edge.opposite()),
            joints: joints.iter().map(|j| j.id).collect(),
        });
    }

    /// What is best taken off a set, and toward which side.
    fn best(&self, set: &BTreeSet<usize>) -> Option<(Edge, BTreeSet<usize>)> {
        let mut found: Option<(Rank, Edge, BTreeSet<usize>)> = None;
        for (e, edge) in Edge::ALL.into_iter().enumerate() {
            for unit in set {
                let off = self.with(e, *unit, set);
                if off.len() == set.len() || !self.is_one(&off) {
                    continue;
                }
                let rest: BTreeSet<usize> = set.difference(&off).copied().collect();
                let open = self.across(&rest, &off);
                if !open.iter().all(|j| closes(self.piece, j, edge.axis())) {
                    continue;
                }
                let rank = self.rank(edge, &off, &open);
                if found.as_ref().is_none_or(|(r, _, _)| rank < *r) {
                    found = Some((rank, edge, off));
                }
            }
        }
        found.map(|(_, edge, off)| (edge, off))
    }

    fn rank(&self, edge: Edge, off: &BTreeSet<usize>, open: &[&Joint]) -> Rank {
        let glue = open.iter().any(|j| j.glued);
        let kind = match (open.is_empty(), glue) {
            (false, false) => 0,
            (false, true) => 1,
            (true, _) => 2,
        };
        let axis = match edge.axis() {
            Axis::Y => 0,
            Axis::Z => 1,
            Axis::X => 2,
        };
        let first = off.iter().next().copied().unwrap_or(0);
        let moved = self.parts(off);
        let receive = open.iter().filter(|j| moved.contains(&j.b)).count();
        (kind, axis, off.len(), open.len(), receive, first, edge)
    }

    /// Whether joints hold a set together: what moves as one must be one.
    fn is_one(&self, set: &BTreeSet<usize>) -> bool {
        let parts = self.parts(set);
        let Some(first) = parts.first().copied() else {
            return false;
        };
        let (mut seen, mut open) = (BTreeSet::from([first]), vec![first]);
        while let Some(part) = open.pop() {
            for joint in self.joints {
                for (from, to) in [(joint.a, joint.b), (joint.b, joint.a)] {
                    if from == part && parts.contains(&to) && seen.insert(to) {
                        open.push(to);
                    }
                }
            }
        }
        seen.len() == parts.len()
    }

    /// The least set with `unit` that can leave toward an edge.
    fn with(&self, edge: usize, unit: usize, set: &BTreeSet<usize>) -> BTreeSet<usize> {
        let (mut off, mut open) = (BTreeSet::from([unit]), vec![unit]);
        while let Some(a) = open.pop() {
            for b in set {
                if self.way[edge][a][*b] && off.insert(*b) {
                    open.push(*b);
                }
            }
        }
        off
    }

    fn parts(&self, set: &BTreeSet<usize>) -> BTreeSet<PartId> {
        set.iter().map(|u| self.units[*u].part).collect()
    }

    fn across(&self, one: &BTreeSet<usize>, other: &BTreeSet<usize>) -> Vec<&Joint> {
        let (one, other) = (self.parts(one), self.parts(other));
        self.joints
            .iter()
            .filter(|j| {
                (one.contains(&j.a) && other.contains(&j.b))
                    || (one.contains(&j.b) && other.contains(&j.a))
            })
            .copied()
            .collect()
    }

    fn within(&self, set: &BTreeSet<usize>) -> Vec<&Joint> {
        let parts = self.parts(set);
        self.joints
            .iter()
            .filter(|j| parts.contains(&j.a) && parts.contains(&j.b))
            .copied()
            .collect()
    }
}

/// Smaller comes off earlier: dry before glued before loose; front and rear before up and down
/// before left and right; few parts; few joints; what enters before what receives; then by index.
type Rank = (u8, u8, usize, usize, usize, usize, Edge);
