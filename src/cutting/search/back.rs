//! From the last insertion back to the first, and forward again as nested pieces.

use super::super::pattern::{Cell, Pattern, Plan};
use super::super::problem::Stages;
use super::{Found, Into, Node, Search};

impl Search<'_> {
    /// Reads the best layout back from its last part to its first.
    pub(super) fn found(&self) -> Option<Found> {
        let best = self.best?;
        let (cost, value) = (best.cost, best.value);
        let mut node = best.node;
        let mut steps = vec![node];
        while node.parts > 1 {
            node = self.nodes[node.parent as usize];
            steps.push(node);
        }
        steps.reverse();
        let mut plan: Plan = Vec::new();
        let mut at = 0;
        while at < steps.len() {
            let end = (at + 1..steps.len())
                .find(|i| steps[*i].into == Into::Next)
                .unwrap_or(steps.len());
            let pattern = self.pattern(&steps[at..end]);
            match plan.iter_mut().find(|(p, _)| *p == pattern) {
                Some((_, times)) => *times += 1,
                None => plan.push((pattern, 1)),
            }
            at = end;
        }
        Some(Found { plan, cost, value })
    }

    /// The nested pieces of one sheet from its insertions in order.
    fn pattern(&self, steps: &[Node]) -> Pattern {
        let f = steps[0].front;
        let (u, v) = (f.axis as usize, 1 - f.axis as usize);
        let mut strips: Vec<(i64, Cell)> = Vec::new();
        let mut rows: Vec<(i64, Cell)> = Vec::new();
        let mut row: Vec<(i64, Cell)> = Vec::new();
        for (i, step) in steps.iter().enumerate() {
            let way = self.ways[u][step.way as usize];
            let leaf = Cell::Leaf {
                kind: way.kind,
                turned: way.turned,
            };
            row.push((i64::from(way.u), leaf));
            let next = steps.get(i + 1).map(|s| s.into);
            if next != Some(Into::Row) {
                let height = i64::from(step.front.v[1] - step.front.v[0]);
                let cells = std::mem::take(&mut row);
                let plain = !matches!(self.job.stages, Stages::Three | Stages::Any);
                let cell = match cells.as_slice() {
                    [(_, leaf)] if plain => leaf.clone(),
                    _ => Cell::Split { axis: u, cells },
                };
                rows.push((height, cell));
            }
            if matches!(next, None | Some(Into::Sheet)) {
                let wide = i64::from(step.front.u[1] - step.front.u[0]);
                let cells = std::mem::take(&mut rows);
                strips.push((wide, Cell::Split { axis: v, cells }));
            }
        }
        Pattern::new(
            f.bin as usize,
            Cell::Split {
                axis: u,
                cells: strips,
            },
        )
    }
}
