//! From a node to its children: every part that is left, in every place where it may go next.

use super::super::problem::Stages;
use super::super::work::Work;
use super::front::Front;
use super::{Goal, Into, Node, Search};

impl Search<'_> {
    /// Takes a node up and offers its children.
    pub(super) fn expand(&mut self, node: Node, work: &mut Work) {
        let index = self.nodes.len();
        let from = node.parent as usize * self.state_len;
        self.states.extend_from_within(from..from + self.state_len);
        let way = self.ways[node.front.axis as usize][node.way as usize];
        let state = index * self.state_len;
        self.states[state + way.kind] -= 1;
        if node.into == Into::Next {
            self.states[state + self.job.kinds.len() + node.front.bin as usize] += 1;
        }
        self.nodes.push(node);
        work.spend(150 + self.state_len);
        let some = self.here(&node, index, work);
        if !some && matches!(self.goal, Goal::All { .. }) {
            self.next_sheets(&node, index, work);
        }
    }

    /// Offers children on the current sheet; whether there are any.
    fn here(&mut self, from: &Node, index: usize, work: &mut Work) -> bool {
        let f = from.front;
        let bin = &self.job.bins[f.bin as usize];
        let axis = f.axis as usize;
        let (size_u, size_v) = (bin.size[axis] as i32, bin.size[1 - axis] as i32);
        let widest = bin.widest[axis] as i32;
        let three = matches!(self.job.stages, Stages::Three | Stages::Any);
        let trims = self.job.trimming;
        let reach = if f.v[0] == 0 {
            size_u.min(f.u[0] + widest)
        } else {
            f.u[1]
        };
        let (height, strip) = (f.v[1] - f.v[0], f.u[1] - f.u[0]);
        let mut some = false;
        let count = self.ways[axis].len();
        work.spend(count * 4);
        let state = index * self.state_len;
        for rank in 0..count {
            let way = self.ways[axis][rank];
            if self.states[state + way.kind] == 0 {
                continue;
            }
            let suits = if trims {
                way.v <= height
            } else {
                way.v == height
            };
            if three && rank >= f.last as usize && suits && f.at + way.u <= reach {
                let at = f.at + way.u;
                let u = [f.u[0], f.u[1].max(at)];
                let last = rank as u32;
                self.offer(
                    from,
                    index,
                    rank,
                    Into::Row,
                    Front { u, at, last, ..f },
                    work,
                );
                some = true;
            }
            let suits = three || trims || way.u == strip;
            let last = rank as u32;
            if suits && way.u <= strip && f.v[1] + way.v <= size_v {
                let (v, at) = ([f.v[1], f.v[1] + way.v], f.u[0] + way.u);
                self.offer(
                    from,
                    index,
                    rank,
                    Into::Strip,
                    Front { v, at, last, ..f },
                    work,
                );
                some = true;
            }
            let room = f.u[1] + way.u <= size_u && way.u <= widest && way.v <= size_v;
            if self.job.stages != Stages::One && room {
                let (at, v) = (f.u[1] + way.u, [0, way.v]);
                let u = [f.u[1], at];
                self.offer(
                    from,
                    index,
                    rank,
                    Into::Sheet,
                    Front {
                        u,
                        v,
                        at,
                        last,
                        ..f
                    },
                    work,
                );
                some = true;
            }
        }
        some
    }

    /// Offers children on a new sheet.
    pub(super) fn next_sheets(&mut self, from: &Node, index: usize, work: &mut Work) {
        let state = index * self.state_len;
        let kinds = self.job.kinds.len();
        let one = self.job.stages == Stages::One;
        for (b, bin) in self.job.bins.iter().enumerate() {
            let wanted = match self.goal {
                Goal::Fill { bin, .. } => bin == b,
                Goal::All { .. } => true,
            };
            if !wanted || self.states[state + kinds + b] >= self.start.copies[b] {
                continue;
            }
            for axis in 0..2 {
                if !bin.first[axis] || !self.start.axes[axis] {
                    continue;
                }
                let (size_u, size_v) = (bin.size[axis] as i32, bin.size[1 - axis] as i32);
                let widest = (bin.widest[axis] as i32).min(size_u);
                work.spend(self.ways[axis].len() * 4);
                for rank in 0..self.ways[axis].len() {
                    let way = self.ways[axis][rank];
                    let fits = way.u <= widest && way.v <= size_v;
                    let exact = !one || self.job.trimming || way.u == size_u;
                    if self.states[state + way.kind] == 0 || !fits || !exact {
                        continue;
                    }
                    let front = Front {
                        bin: b as u16,
                        axis: axis as u16,
                        last: rank as u32,
                        u: [0, if one { size_u } else { way.u }],
                        v: [0, way.v],
                        at: way.u,
                    };
                    self.offer(from, index, rank, Into::Next, front, work);
                }
            }
        }
    }
}
