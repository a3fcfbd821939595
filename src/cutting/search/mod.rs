//! Tree search over insertions: a node is a partial layout, a child has one more part in the current
//! row, in a new row of the current strip, in a new strip, or on a new sheet. The most promising
//! node goes on, and only so many wait (memory-bounded best-first search; Libralesso & Fontan 2021,
//! EJOR 291; Fontan & Libralesso 2020, arXiv 2004.02603; both from memory).
//!
//! Strips follow each other along an axis `u` of the sheet, rows of a strip along the other axis
//! `v`, parts of a row along `u` again; a part lower than its row is trimmed. Without loss the first
//! row of a strip is its longest and the first part of a row its highest.

mod back;
mod front;
mod grow;

use front::{Front, Seen};

use super::job::Job;
use super::pattern::Plan;
use super::problem::Stages;
use super::work::Work;
use std::collections::VecDeque;

/// What a search is after.
#[derive(Clone, Copy, Debug)]
pub(super) enum Goal<'a> {
    /// All parts, for less than this cost.
    All { below: i64 },
    /// On one sheet of this bin, the most value.
    Fill { bin: usize, values: &'a [f64] },
}

/// How promising a partial layout is; less is better.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Guide {
    /// Sheet used up for what is placed.
    Waste,
    /// The same for each part placed, by its mean size: large parts first.
    Large,
    /// The same by the root of the mean size.
    Middling,
}

/// What a search starts from.
#[derive(Clone, Debug)]
pub(super) struct Start<'a> {
    /// What is wanted of each kind.
    pub left: &'a [u32],
    /// How many there are of each bin.
    pub copies: &'a [u32],
    /// Axes along which strips may follow each other.
    pub axes: [bool; 2],
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Into {
    Row,
    Strip,
    Sheet,
    Next,
}

/// A way a kind may lie when strips follow each other along an axis.
#[derive(Clone, Copy, Debug)]
struct Way {
    kind: usize,
    turned: bool,
    /// Along `u` and along `v`.
    u: i32,
    v: i32,
    area: i64,
    value: f64,
    /// Scrambled number of the kind.
    hash: u64,
}

/// A partial layout: its parent and the part put in.
#[derive(Clone, Copy, Debug)]
struct Node {
    parent: u32,
    way: u32,
    front: Front,
    into: Into,
    sheets: u32,
    parts: u32,
    /// Cost of the sheets before this one.
    closed: i64,
    area: i64,
    value: f64,
    /// Sum of the hashes of the parts: the same for the same set in any order.
    hash: u64,
}

/// What a search found.
#[derive(Clone, Debug)]
pub(super) struct Found {
    pub plan: Plan,
    pub cost: i64,
    pub value: f64,
}

struct Search<'a> {
    job: &'a Job,
    goal: Goal<'a>,
    guide: Guide,
    start: &'a Start<'a>,
    width: usize,
    /// By axis, highest first.
    ways: [Vec<Way>; 2],
    /// Nodes that were taken up, and what each leaves: of kinds, then how many bins of each it used.
    nodes: Vec<Node>,
    states: Vec<u32>,
    state_len: usize,
    /// How promising and which of `held`; best first, then in order of making.
    waiting: VecDeque<(u64, u32)>,
    /// Nodes that wait, and places among them that are free again.
    held: Vec<Node>,
    free: Vec<u32>,
    seen: Seen,
    best: Option<Best>,
    /// Area of all that is wanted.
    wanted: i64,
    /// Cost by area of the cheapest bin.
    rate: f64,
    least_price: i64,
}

#[derive(Clone, Copy, Debug)]
struct Best {
    node: Node,
    cost: i64,
    value: f64,
    gone: i64,
}

/// Looks for a layout; at most `width` nodes wait.
pub(super) fn search(
    job: &Job,
    start: &Start<'_>,
    goal: Goal<'_>,
    guide: Guide,
    width: usize,
    work: &mut Work,
) -> Option<Found> {
    let bins = || (0..job.bins.len()).filter(|b| start.copies[*b] > 0);
    let wanted = job
        .kinds
        .iter()
        .zip(start.left)
        .map(|(k, n)| k.area() * i64::from(*n))
        .sum();
    let mut search = Search {
        job,
        goal,
        guide,
        start,
        width,
        ways: [0, 1].map(|axis| ways(job, start, goal, axis)),
        nodes: Vec::new(),
        states: Vec::new(),
        state_len: job.kinds.len() + job.bins.len(),
        waiting: VecDeque::new(),
        held: Vec::new(),
        free: Vec::new(),
        seen: Seen::default(),
        best: None,
        wanted,
        rate: bins()
            .map(|b| Job::rate(&job.bins[b]))
            .fold(f64::INFINITY, f64::min),
        least_price: bins().map(|b| job.bins[b].cost).min().unwrap_or(0),
    };
    let ways = search.ways.iter().map(Vec::len).sum::<usize>();
    work.spend(1000 + 60 * ways);
    search.root(work);
    while let Some((_, place)) = search.waiting.pop_front() {
        if work.done() {
            break;
        }
        search.free.push(place);
        search.expand(search.held[place as usize], work);
    }
    search.found()
}

/// The ways of the kinds that are left, highest first.
fn ways(job: &Job, start: &Start<'_>, goal: Goal<'_>, axis: usize) -> Vec<Way> {
    let short = |size: i64| i32::try_from(size).unwrap_or(i32::MAX);
    let mut ways: Vec<Way> = Vec::new();
    for (kind, k) in job
        .kinds
        .iter()
        .enumerate()
        .filter(|(k, _)| start.left[*k] > 0)
    {
        let scrambled = (kind as u64 + 1).wrapping_mul(0x9e37_79b9_7f4a_7c15);
        let scrambled = (scrambled ^ (scrambled >> 29)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        ways.extend(k.ways().map(|(turned, size)| Way {
            kind,
            turned,
            u: short(size[axis]),
            v: short(size[1 - axis]),
            area: k.area(),
            value: match goal {
                Goal::All { .. } => 0.0,
                Goal::Fill { values, .. } => values[kind],
            },
            hash: scrambled ^ (scrambled >> 32),
        }));
    }
    ways.sort_by_key(|w| (-w.v, -w.u, w.kind));
    ways
}

impl Search<'_> {
    fn root(&mut self, work: &mut Work) {
        self.states.extend(self.start.left);
        self.states
            .extend(std::iter::repeat_n(0, self.job.bins.len()));
        let node = Node {
            parent: u32::MAX,
            way: 0,
            front: Front {
                bin: 0,
                axis: 0,
                last: 0,
                u: [0; 2],
                v: [0; 2],
                at: 0,
            },
            into: Into::Next,
            sheets: 0,
            parts: 0,
            closed: 0,
            area: 0,
            value: 0.0,
            hash: 0,
        };
        self.nodes.push(node);
        self.next_sheets(&node, 0, work);
    }

    /// Area of the current sheet that is used up or can no longer be reached.
    fn gone(&self, f: &Front) -> i64 {
        let [u0, u1, v0, v1, at] = [f.u[0], f.u[1], f.v[0], f.v[1], f.at].map(i64::from);
        if self.job.stages == Stages::One {
            return v1 * u1;
        }
        let size_v = self.job.bins[f.bin as usize].size[1 - f.axis as usize];
        u0 * size_v + (u1 - u0) * v0 + (at - u0) * (v1 - v0)
    }

    /// Puts a child among those that wait, unless it cannot win.
    fn offer(
        &mut self,
        from: &Node,
        index: usize,
        rank: usize,
        into: Into,
        front: Front,
        work: &mut Work,
    ) {
        work.spend(35);
        let way = &self.ways[front.axis as usize][rank];
        let bin = &self.job.bins[front.bin as usize];
        let next = into == Into::Next && from.sheets > 0;
        let before = if next {
            self.job.bins[from.front.bin as usize].cost
        } else {
            0
        };
        let (closed, parts) = (from.closed + before, from.parts + 1);
        let (area, value) = (from.area + way.area, from.value + way.value);
        let gone = self.gone(&front);
        let placed = area as f64;
        // Whether it is the best so far, then how promising it is.
        let (cost, wins, key) = match self.goal {
            Goal::All { below } => {
                let cost = closed + bin.cost;
                let below = self.best.map_or(below, |best| best.cost.min(below));
                let missing = self.wanted - area - (bin.area() - gone);
                let more = if missing > 0 {
                    ((missing as f64 * self.rate) as i64).max(self.least_price)
                } else {
                    0
                };
                if cost + more >= below {
                    return;
                }
                let share = gone as f64 / bin.area() as f64;
                let key = (closed as f64 + bin.cost as f64 * share) / placed;
                (cost, area == self.wanted, key)
            }
            Goal::Fill { .. } => {
                let wins = self.best.is_none_or(|best| {
                    value > best.value || (value == best.value && gone < best.gone)
                });
                (0, wins, gone as f64 / value.max(1e-9))
            }
        };
        let mean = placed / f64::from(parts);
        let key = match self.guide {
            Guide::Waste => key,
            Guide::Large => key / mean,
            Guide::Middling => key / mean.sqrt(),
        };
        let key = key.max(0.0).to_bits();
        let full = self.waiting.len() >= self.width;
        let poor = full && self.waiting.back().is_some_and(|(worst, _)| key >= *worst);
        if poor && !wins {
            return;
        }
        let node = Node {
            parent: index as u32,
            way: rank as u32,
            front,
            into,
            sheets: from.sheets + u32::from(into == Into::Next),
            parts,
            closed,
            area,
            value,
            hash: from.hash.wrapping_add(way.hash),
        };
        if wins {
            self.best = Some(Best {
                node,
                cost,
                value,
                gone,
            });
        }
        let ended = wins && matches!(self.goal, Goal::All { .. });
        if poor || ended || (self.width > 1 && !self.seen.fresh(node.hash, &node.front, closed)) {
            return;
        }
        work.spend(120 + self.width / 8);
        if full && let Some((_, place)) = self.waiting.pop_back() {
            self.free.push(place);
        }
        let place = self.free.pop().unwrap_or(self.held.len() as u32);
        if place as usize == self.held.len() {
            self.held.push(node);
        } else {
            self.held[place as usize] = node;
        }
        let at = self.waiting.partition_point(|(other, _)| *other <= key);
        self.waiting.insert(at, (key, place));
    }
}
