//! An order of assembly, found by taking the piece apart.
//!
//! Again and again something is taken off that can leave in one direction: nothing blocks it, and
//! each glued joint that opens is one that closes in that direction. Single parts come off first;
//! where none can, the smallest group that can. What is only dry comes off before what is glued (so
//! it goes in last), then backs, then what lies over, then what is between. What is glued in itself and
//! only fastened to the rest (a top on buttons) comes off whole. Read backwards the list
//! is an order in which each part still can get in. Where nothing comes off without sliding over glue,
//! what does so is taken; where nothing comes off that is one by its joints, what can be held together by
//! hand is; where nothing comes off at all, the rest is closed all at once and is trapped.
//!
//! A group that can leave toward an edge is one that leads to nothing outside itself in the graph
//! "stands in the way, or is held by a glued joint that does not open that way". The smallest such
//! groups are the strongly connected components without a way out (Halperin, Latombe and Wilson, "A
//! general framework for assembly planning", Algorithmica 26, 2000).

use super::blocking::Ways;
use super::hold::{closes, flat, lets};
use crate::model::{Axis, Edge, Joint, JointId, PartId, Piece, StatedStage};
use petgraph::algo::kosaraju_scc;
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::unionfind::UnionFind;
use std::collections::{BTreeMap, BTreeSet};

/// Something that is one while it is moved.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Body {
    /// A part by itself.
    Part(PartId),
    /// What a join, by its index in the list, made one.
    Joined(usize),
}

/// One coming together.
#[derive(Clone, Debug)]
pub struct Join {
    /// What is there already and what is brought to it; where all closes at once, all of it.
    pub bodies: Vec<Body>,
    /// The way in which the second moves; `None` where all closes at once.
    pub way: Option<Edge>,
    /// Joints that close, glued and dry.
    pub joints: Vec<JointId>,
    /// The maker's stage to which it belongs, if the order is stated.
    pub stage: Option<usize>,
}

/// The parts of a body, smallest first.
pub fn parts(joins: &[Join], body: Body) -> Vec<PartId> {
    let (mut found, mut open) = (Vec::new(), vec![body]);
    while let Some(body) = open.pop() {
        match body {
            Body::Part(part) => found.push(part),
            Body::Joined(join) => open.extend(&joins[join].bodies),
        }
    }
    found.sort_unstable();
    found
}

/// How an assembly goes together.
#[derive(Clone, Debug)]
pub struct Order {
    /// Its joins in the order of work.
    pub joins: Vec<Join>,
    /// What of it can't be put together by any move.
    pub stuck: Vec<BTreeSet<PartId>>,
    /// The maker's stage whose parts can't be brought to what stands by then, if there is one.
    pub barred: Option<Barred>,
}

/// A stage of the maker's own order that can't be done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Barred {
    /// Its index; that of what no stage names is their number.
    pub stage: usize,
    /// Its parts that can't get in.
    pub parts: Vec<PartId>,
    /// By side from which they might come: of what stands, what is in their way, and the joints that do not
    /// close that way.
    pub ways: Vec<(Edge, Vec<PartId>, Vec<JointId>)>,
}

/// What is asked of a move, strictest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Care {
    /// Glued joints close square, and what moves is one by its joints.
    Clean,
    /// What moves is one by its joints.
    Held,
    /// Nothing is run into, and connectors go in along themselves.
    Free,
}

/// How joints are thought of otherwise, to see what would free its parts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Ease {
    /// As if it were made without connectors, and without letting one part into the other.
    Plain,
    /// As if the slots of its connectors in `b` were open to an edge.
    Open(Edge),
}

/// What is to be put together: units by their index, the joints that each has, what is in its way.
#[derive(Clone)]
pub(super) struct Work<'a> {
    pub(super) piece: &'a Piece,
    pub(super) units: Vec<PartId>,
    /// By unit: the joints that it has, and with which other unit.
    pub(super) held: Vec<Vec<(usize, &'a Joint)>>,
    pub(super) way: Ways,
    /// Joints thought of otherwise.
    pub(super) eased: Option<(Vec<JointId>, Ease)>,
    /// The maker's own order, if it is stated.
    pub(super) stages: &'a [StatedStage],
}

impl<'a> Work<'a> {
    pub(super) fn new(
        piece: &'a Piece,
        units: Vec<PartId>,
        way: Ways,
        joints: &[&'a Joint],
    ) -> Work<'a> {
        let assembly = joints.first().map(|joint| piece.assembly(joint.assembly));
        let index: BTreeMap<PartId, usize> =
            units.iter().enumerate().map(|(i, u)| (*u, i)).collect();
        let mut held = vec![Vec::new(); units.len()];
        for joint in joints {
            if let (Some(a), Some(b)) = (index.get(&joint.a), index.get(&joint.b)) {
                held[*a].push((*b, *joint));
                held[*b].push((*a, *joint));
            }
        }
        Work {
            piece,
            units,
            held,
            way,
            eased: None,
            stages: assembly.map_or(&[], |assembly| assembly.stages.as_slice()),
        }
    }

    /// The order in which all of it goes together.
    pub(super) fn order(&self) -> Order {
        let mut order = Order {
            joins: Vec::new(),
            stuck: Vec::new(),
            barred: None,
        };
        let all: BTreeSet<usize> = (0..self.units.len()).collect();
        match self.in_stages(&all) {
            Ok(Some(stated)) => return stated,
            Ok(None) => {}
            Err(barred) => order.barred = Some(barred),
        }
        self.put_together(&all, &mut order);
        order
    }

    /// What keeps a unit from leaving toward an edge, some of it perhaps twice.
    pub(super) fn held_by(
        &self,
        e: usize,
        edge: Edge,
        unit: usize,
        care: Care,
    ) -> impl Iterator<Item = usize> {
        let axis = edge.axis();
        let rigid = self.held[unit].iter().filter(move |(_, joint)| {
            let is_a = joint.a == self.units[unit];
            let lets = || lets(joint, edge, is_a);
            let out = if is_a { edge } else { edge.opposite() };
            let free = match self.ease(joint) {
                Some(Ease::Plain) => true,
                Some(Ease::Open(open)) => open == out || lets(),
                None => lets(),
            };
            !free || care == Care::Clean && !closes(self.piece, joint, axis)
        });
        // Plain faces are in the way along one axis only.
        let beside = move |other: &usize| {
            self.eased.is_some()
                && self.held[unit].iter().any(|(with, joint)| {
                    with == other && self.ease(joint) == Some(Ease::Plain) && flat(joint) != axis
                })
        };
        let ahead = self.way[e][unit].iter().copied();
        let ahead = ahead.filter(move |other| !beside(other));
        ahead.chain(rigid.map(|(other, _)| *other))
    }

    /// The sets of more than one unit that glue makes one; none if there is only one.
    fn glued(&self, set: &BTreeSet<usize>) -> Vec<BTreeSet<usize>> {
        let mut roots = UnionFind::new(self.units.len());
        for unit in set {
            let glued = self.held[*unit]
                .iter()
                .filter(|(other, joint)| joint.glued && set.contains(other));
            glued.for_each(|(other, _)| {
                roots.union(*unit, *other);
            });
        }
        let mut sets: BTreeMap<usize, BTreeSet<usize>> = BTreeMap::new();
        for unit in set {
            sets.entry(roots.find(*unit)).or_default().insert(*unit);
        }
        let sets: Vec<BTreeSet<usize>> = sets.into_values().filter(|set| set.len() > 1).collect();
        if sets.len() > 1 { sets } else { Vec::new() }
    }

    fn ease(&self, joint: &Joint) -> Option<Ease> {
        let (joints, ease) = self.eased.as_ref()?;
        joints.contains(&joint.id).then_some(*ease)
    }

    /// What can leave a set and the direction in which it does, over and over; what remains in the end.
    pub(super) fn remains(&self, set: &BTreeSet<usize>) -> BTreeSet<usize> {
        let mut open = vec![set.clone()];
        while let Some(set) = open.pop() {
            if set.len() < 2 {
                continue;
            }
            match Bench::new(self, &set).group(Care::Free, |_| true) {
                Some((_, off)) => {
                    open.push(set.difference(&off).copied().collect());
                    open.push(off);
                }
                None => return set,
            }
        }
        BTreeSet::new()
    }
}

/// A taking off: what, toward which edge, and the joints that it opened.
pub(super) struct Off {
    pub(super) units: BTreeSet<usize>,
    pub(super) edge: Edge,
    pub(super) joints: Vec<JointId>,
}

/// Smaller comes off earlier: dry before glued before loose; of what is dry, what slides over few faces;
/// front and rear before up and down before left and right; few parts; few joints; what enters before
/// what receives; then by index.
type Rank = (u8, usize, u8, usize, usize, usize, usize, Edge);

/// First in a rank: what leaves opens joints, and none of them is glued.
const DRY: u8 = 0;

impl Work<'_> {
    /// Takes a set apart to single units and writes down the joins in the order of work; what they
    /// make in the end.
    pub(super) fn put_together(&self, set: &BTreeSet<usize>, out: &mut Order) -> Option<Body> {
        let (rest, offs) = self.take_apart(set);
        let mut made = self.all_at_once(&rest, out)?;
        for off in offs.iter().rev() {
            let brought = self.put_together(&off.units, out)?;
            out.joins.push(Join {
                bodies: vec![made, brought],
                way: Some(off.edge.opposite()),
                joints: off.joints.clone(),
                stage: None,
            });
            made = Body::Joined(out.joins.len() - 1);
        }
        Some(made)
    }

    /// A single unit, or several that nothing can be taken off.
    fn all_at_once(&self, set: &BTreeSet<usize>, out: &mut Order) -> Option<Body> {
        let stuck: BTreeSet<PartId> = set.iter().map(|u| self.units[*u]).collect();
        let bodies: Vec<Body> = stuck.iter().map(|part| Body::Part(*part)).collect();
        if bodies.len() < 2 {
            return bodies.first().copied();
        }
        out.stuck.push(stuck);
        let joints: BTreeSet<JointId> = set
            .iter()
            .flat_map(|u| &self.held[*u])
            .filter(|(other, _)| set.contains(other))
            .map(|(_, joint)| joint.id)
            .collect();
        out.joins.push(Join {
            bodies,
            way: None,
            joints: joints.into_iter().collect(),
            stage: None,
        });
        Some(Body::Joined(out.joins.len() - 1))
    }

    /// What comes off a set, in that order, and what remains.
    fn take_apart(&self, set: &BTreeSet<usize>) -> (BTreeSet<usize>, Vec<Off>) {
        let mut bench = Bench::new(self, set);
        let mut offs = Vec::new();
        while bench.rest.len() > 1 {
            let Some((edge, units)) = bench.next(|_| true) else {
                break;
            };
            offs.push(bench.take_off(edge, units));
        }
        (bench.rest, offs)
    }
}

/// What is not yet taken apart, with what holds each unit counted, so that taking one off costs no
/// more than it has neighbours.
pub(super) struct Bench<'a> {
    work: &'a Work<'a>,
    pub(super) rest: BTreeSet<usize>,
    /// By edge and unit: how many hold it from leaving that way.
    holds: Vec<Vec<usize>>,
    /// What can leave alone, best first.
    free: BTreeSet<(Rank, usize)>,
    /// By unit: its ranks in `free`.
    ranked: Vec<Vec<Rank>>,
    /// Sets of more than one unit that glue makes one, if there is more than one such set.
    glued: Vec<BTreeSet<usize>>,
}

impl<'a> Bench<'a> {
    pub(super) fn new(work: &'a Work<'a>, set: &BTreeSet<usize>) -> Bench<'a> {
        let mut bench = Bench {
            work,
            rest: set.clone(),
            holds: vec![vec![0; work.units.len()]; Edge::ALL.len()],
            free: BTreeSet::new(),
            ranked: vec![Vec::new(); work.units.len()],
            glued: work.glued(set),
        };
        for unit in set {
            for (e, edge) in Edge::ALL.into_iter().enumerate() {
                bench.holds[e][*unit] = bench.held_by(e, edge, *unit, Care::Clean).count();
            }
        }
        for unit in set {
            bench.rank_again(*unit);
        }
        bench
    }

    /// What of the rest keeps a unit from leaving toward an edge.
    fn held_by(
        &self,
        e: usize,
        edge: Edge,
        unit: usize,
        care: Care,
    ) -> impl Iterator<Item = usize> {
        self.work
            .held_by(e, edge, unit, care)
            .filter(|other| self.rest.contains(other))
    }

    /// The joints between a set and the rest of what is there.
    fn open(&self, off: &BTreeSet<usize>) -> Vec<&'a Joint> {
        off.iter()
            .flat_map(|unit| &self.work.held[*unit])
            .filter(|(other, _)| self.rest.contains(other) && !off.contains(other))
            .map(|(_, joint)| *joint)
            .collect()
    }

    fn rank(&self, edge: Edge, off: &BTreeSet<usize>) -> Rank {
        let open = self.open(off);
        let kind = match (open.is_empty(), open.iter().any(|j| j.glued)) {
            (false, false) => DRY,
            (false, true) => 1,
            (true, _) => 2,
        };
        let axis = match edge.axis() {
            Axis::Y => 0,
            Axis::Z => 1,
            Axis::X => 2,
        };
        let first = off.first().copied().unwrap_or(0);
        let moved: BTreeSet<PartId> = off.iter().map(|u| self.work.units[*u]).collect();
        let receive = open.iter().filter(|j| moved.contains(&j.b)).count();
        let slides = |joint: &&&Joint| kind == DRY && flat(joint) != edge.axis();
        let slides = open.iter().filter(slides).count();
        (
            kind,
            slides,
            axis,
            off.len(),
            open.len(),
            receive,
            first,
            edge,
        )
    }

    /// Puts a unit where it belongs among what can leave alone.
    fn rank_again(&mut self, unit: usize) {
        for rank in std::mem::take(&mut self.ranked[unit]) {
            self.free.remove(&(rank, unit));
        }
        if !self.rest.contains(&unit) {
            return;
        }
        let alone = BTreeSet::from([unit]);
        for (e, edge) in Edge::ALL.into_iter().enumerate() {
            if self.holds[e][unit] == 0 {
                let rank = self.rank(edge, &alone);
                self.free.insert((rank, unit));
                self.ranked[unit].push(rank);
            }
        }
    }

    /// The best to take off, of units that may leave.
    pub(super) fn next(&self, may: impl Fn(usize) -> bool) -> Option<(Edge, BTreeSet<usize>)> {
        let single = self.single(&may);
        let dry = single.as_ref().is_some_and(|(rank, ..)| rank.0 == DRY);
        let whole = (!dry).then(|| self.glued_whole(&may)).flatten();
        whole
            .or_else(|| single.map(|(_, edge, off)| (edge, off)))
            .or_else(|| self.group(Care::Clean, &may))
            .or_else(|| self.group(Care::Held, &may))
            .or_else(|| self.group(Care::Free, &may))
    }

    /// Takes a set off toward an edge.
    pub(super) fn take_off(&mut self, edge: Edge, units: BTreeSet<usize>) -> Off {
        let joints = self.open(&units);
        let mut joints: Vec<JointId> = joints.into_iter().map(|j| j.id).collect();
        joints.sort_unstable();
        self.take(&units);
        Off {
            units,
            edge,
            joints,
        }
    }

    /// The best single unit to take off.
    fn single(&self, may: impl Fn(usize) -> bool) -> Option<(Rank, Edge, BTreeSet<usize>)> {
        let (rank, unit) = self.free.iter().find(|(_, unit)| may(*unit))?;
        Some((*rank, rank.7, BTreeSet::from([*unit])))
    }

    /// The best to take off of what is glued in itself and only fastened to the rest.
    fn glued_whole(&self, may: impl Fn(usize) -> bool) -> Option<(Edge, BTreeSet<usize>)> {
        let wholes = self.glued.iter().map(|set| &self.rest & set);
        let wholes = wholes.filter(|off| off.len() > 1 && off.len() < self.rest.len());
        let ways = wholes
            .filter(|off| off.iter().all(|unit| may(*unit)))
            .flat_map(|off| {
                let out = Edge::ALL.into_iter().enumerate().filter(|(e, edge)| {
                    let mut holds = off
                        .iter()
                        .flat_map(|unit| self.held_by(*e, *edge, *unit, Care::Clean));
                    holds.all(|other| off.contains(&other))
                });
                let ranked = out.map(|(_, edge)| (self.rank(edge, &off), edge));
                ranked
                    .filter(|(rank, _)| rank.0 == DRY)
                    .map(|way| (way, off.clone()))
                    .collect::<Vec<_>>()
            });
        ways.min().map(|((_, edge), off)| (edge, off))
    }

    /// The best group to take off: what leads to nothing outside itself.
    fn group(&self, care: Care, may: impl Fn(usize) -> bool) -> Option<(Edge, BTreeSet<usize>)> {
        let units: Vec<usize> = self.rest.iter().copied().collect();
        let place: BTreeMap<usize, usize> =
            units.iter().enumerate().map(|(i, u)| (*u, i)).collect();
        let mut best: Option<(Rank, Edge, BTreeSet<usize>)> = None;
        for (e, edge) in Edge::ALL.into_iter().enumerate() {
            let leads = units.iter().enumerate().flat_map(|(i, unit)| {
                let held = self.held_by(e, edge, *unit, care);
                held.map(|other| (i as u32, place[&other] as u32))
                    .collect::<Vec<_>>()
            });
            let mut graph: DiGraph<(), ()> = DiGraph::from_edges(leads);
            while graph.node_count() < units.len() {
                graph.add_node(());
            }
            for group in kosaraju_scc(&graph) {
                let inside: BTreeSet<NodeIndex> = group.iter().copied().collect();
                let leaves = group
                    .iter()
                    .all(|node| graph.neighbors(*node).all(|to| inside.contains(&to)));
                let off: BTreeSet<usize> = group.iter().map(|node| units[node.index()]).collect();
                let one = care == Care::Free || self.is_one(&off);
                let may = off.iter().all(|unit| may(*unit));
                if !leaves || off.len() == units.len() || !one || !may {
                    continue;
                }
                let rank = self.rank(edge, &off);
                if best.as_ref().is_none_or(|(r, ..)| rank < *r) {
                    best = Some((rank, edge, off));
                }
            }
        }
        best.map(|(_, edge, off)| (edge, off))
    }

    /// Whether joints hold a set together: what moves as one must be one.
    fn is_one(&self, set: &BTreeSet<usize>) -> bool {
        let mut open: Vec<usize> = set.first().copied().into_iter().collect();
        let mut reached: BTreeSet<usize> = open.iter().copied().collect();
        while let Some(unit) = open.pop() {
            for (other, _) in &self.work.held[unit] {
                if set.contains(other) && reached.insert(*other) {
                    open.push(*other);
                }
            }
        }
        reached.len() == set.len()
    }

    /// Takes a set off.
    fn take(&mut self, off: &BTreeSet<usize>) {
        let mut touched: BTreeSet<usize> = off.clone();
        for unit in off {
            for (e, edge) in Edge::ALL.into_iter().enumerate() {
                // Whom it held toward an edge: those that it has in its way toward the other.
                let opposite = Edge::ALL.iter().position(|o| *o == edge.opposite());
                let freed: Vec<usize> = opposite
                    .map(|o| {
                        self.held_by(o, edge.opposite(), *unit, Care::Clean)
                            .collect()
                    })
                    .unwrap_or_default();
                for other in freed {
                    self.holds[e][other] -= 1;
                    if self.holds[e][other] == 0 {
                        touched.insert(other);
                    }
                }
            }
            touched.extend(self.work.held[*unit].iter().map(|(other, _)| *other));
        }
        for unit in off {
            self.rest.remove(unit);
        }
        for unit in touched {
            self.rank_again(unit);
        }
    }
}
