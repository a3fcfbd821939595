//! The maker's own order of assembly, proven: from the last stage to the first, what a stage brings is
//! taken off what stands after it.

use super::hold::lets;
use super::take_apart::{Barred, Bench, Body, Care, Join, Off, Order, Work};
use crate::model::{Edge, JointId, PartId, StatedStage};
use std::collections::BTreeSet;

impl Work<'_> {
    /// The stated order with all its moves; `None` where none is stated.
    ///
    /// # Errors
    /// The last stage whose parts can't be brought to what stands before it.
    pub(super) fn in_stages(&self, all: &BTreeSet<usize>) -> Result<Option<Order>, Barred> {
        let last = self.stages.len();
        if last == 0 {
            return Ok(None);
        }
        let stage_of = |unit: usize| {
            let named = |stage: &StatedStage| stage.parts.contains(&self.units[unit]);
            self.stages.iter().position(named).unwrap_or(last)
        };
        let of = |stage: usize| -> BTreeSet<usize> {
            all.iter()
                .copied()
                .filter(|unit| stage_of(*unit) == stage)
                .collect()
        };
        // Stages that speak of nothing that is joined here bring nothing.
        let stages: Vec<usize> = (0..=last).filter(|stage| !of(*stage).is_empty()).collect();
        let Some((first, later)) = stages.split_first() else {
            return Ok(None);
        };
        let mut bench = Bench::new(self, all);
        let mut offs: Vec<(usize, Off)> = Vec::new();
        for stage in later.iter().rev() {
            let brought = of(*stage);
            for off in self.take_stage(&mut bench, *stage, brought)? {
                offs.push((*stage, off));
            }
        }
        let mut order = Order {
            joins: Vec::new(),
            stuck: Vec::new(),
            barred: None,
        };
        let mut made = self.put_together(&bench.rest, &mut order);
        order.mark(0, *first);
        while let (Some(standing), Some((stage, off))) = (made, offs.pop()) {
            let from = order.joins.len();
            if let Some(brought) = self.put_together(&off.units, &mut order) {
                order.joins.push(Join {
                    bodies: vec![standing, brought],
                    way: Some(off.edge.opposite()),
                    joints: off.joints,
                    stage: None,
                });
                made = Some(Body::Joined(order.joins.len() - 1));
            }
            order.mark(from, stage);
        }
        Ok(Some(order))
    }

    /// Takes off what a stage brings, all of it.
    fn take_stage(
        &self,
        bench: &mut Bench,
        stage: usize,
        mut brought: BTreeSet<usize>,
    ) -> Result<Vec<Off>, Barred> {
        let mut offs = Vec::new();
        if let Some(edge) = self.stages.get(stage).and_then(|stage| stage.from) {
            if !self.holding(bench, &brought, edge).is_empty() {
                return Err(self.barred(bench, stage, &brought, &[edge]));
            }
            return Ok(vec![bench.take_off(edge, brought)]);
        }
        while !brought.is_empty() {
            let Some((edge, units)) = bench.next(|unit| brought.contains(&unit)) else {
                return Err(self.barred(bench, stage, &brought, &Edge::ALL));
            };
            brought.retain(|unit| !units.contains(unit));
            offs.push(bench.take_off(edge, units));
        }
        Ok(offs)
    }

    /// What of the rest keeps a set from leaving toward an edge.
    fn holding(&self, bench: &Bench, set: &BTreeSet<usize>, edge: Edge) -> BTreeSet<usize> {
        let e = Edge::ALL.iter().position(|other| *other == edge);
        let held = set.iter().flat_map(|unit| {
            let e = e.unwrap_or_default();
            self.held_by(e, edge, *unit, Care::Free)
        });
        held.filter(|other| bench.rest.contains(other) && !set.contains(other))
            .collect()
    }

    fn barred(
        &self,
        bench: &Bench,
        stage: usize,
        brought: &BTreeSet<usize>,
        edges: &[Edge],
    ) -> Barred {
        let ways = edges.iter().map(|edge| {
            let holding = self.holding(bench, brought, *edge);
            let joints: BTreeSet<JointId> = brought
                .iter()
                .flat_map(|unit| self.held[*unit].iter().map(move |held| (unit, held)))
                .filter(|(unit, (other, joint))| {
                    let is_a = joint.a == self.units[**unit];
                    holding.contains(other) && !lets(joint, *edge, is_a)
                })
                .map(|(_, (_, joint))| joint.id)
                .collect();
            let parts: Vec<PartId> = holding.into_iter().map(|unit| self.units[unit]).collect();
            (*edge, parts, joints.into_iter().collect())
        });
        Barred {
            stage,
            parts: brought.iter().map(|unit| self.units[*unit]).collect(),
            ways: ways.collect(),
        }
    }
}

impl Order {
    /// Says of all joins from one on to which stage they belong.
    fn mark(&mut self, from: usize, stage: usize) {
        for join in &mut self.joins[from..] {
            join.stage = Some(stage);
        }
    }
}
