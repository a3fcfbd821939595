//! Joints (placement rules 2): who meets whom, growth, then cuts in both as long as the cores meet.
//!
//! A kind of joint is a file that cuts it and a row in [`kind`].

mod breadboard;
mod bridle;
mod connectors;
mod cut;
mod dovetail;
mod finger;
mod growth;
mod housing;
mod kind;
mod lap;
mod loose;
mod meeting;
mod mitre;
mod mortise;
mod options;
mod sliding;
mod slips;

pub use cut::tongue_thick;
pub use kind::kind_of;
pub use options::Options;

use super::build::{Builder, JointWork};
use super::project::name_use;
use super::stmt::Stmt;
use super::{Poison, Res};
use crate::measure::Length;
use crate::model::{HardwareUse, JointKind};
use std::collections::BTreeSet;
use std::rc::Rc;

/// A joint of a line, with its options read, before its cuts are made.
pub struct Pending {
    pub joint: usize,
    pub options: Rc<Options>,
}

impl Builder<'_> {
    /// Makes the joints of a body: all growth first, then all cuts.
    pub fn make_joints(&mut self, body: usize) {
        let stmt = self.bodies[body].stmt.clone();
        let mut pending = Vec::new();
        for line in stmt.forms("join") {
            // A joint that is wrong was reported; the others go on.
            let more = self.join_line(body, line);
            pending.extend(self.settle(more).unwrap_or_default());
        }
        for p in &pending {
            let done = self.grow(p);
            self.settle(done);
        }
        // A tenon clears the grooves beside it, so these are cut first.
        pending.sort_by_key(|p| {
            let kind = self.joints[p.joint].kind;
            matches!(kind, JointKind::Mortise | JointKind::Bridle)
        });
        for p in &pending {
            self.cut_joint(p);
        }
        self.let_move(&pending);
    }

    fn join_line(&mut self, body: usize, line: &Stmt) -> Res<Vec<Pending>> {
        let with = line.clause("with").cloned().ok_or(Poison)?;
        let other = line
            .clause("into")
            .or_else(|| line.clause("to"))
            .cloned()
            .ok_or(Poison)?;
        let kind_word = with
            .of
            .value()
            .and_then(|v| v.as_name())
            .ok_or(Poison)?
            .to_owned();
        let kind = kind_of(&kind_word, &with.of).ok_or(Poison)?;
        let mut options = self.joint_options(line, &with, kind)?;
        if kind == JointKind::Mitre {
            options.slips = self.slips(line, &with)?;
        }
        let options = Rc::new(options);
        let deep = match kind {
            _ if kind.is_corner() || !kind.enters() => Length::ZERO,
            JointKind::Mortise if options.through => Length::ZERO,
            JointKind::Bridle => Length::ZERO,
            _ => self.option_length(&with, "deep", line)?,
        };
        let fastener = self.fastener(&with, kind)?;
        let mut first = Vec::new();
        for name in &line.names {
            first.push((name, self.panels_of(body, name, &line.env)?));
        }
        let mut second = Vec::new();
        for value in &other.of.values {
            let name = name_use(self, value)?;
            let panels = self.panels_of(body, &name, &other.env)?;
            second.push((name, panels));
        }
        // What is made no times is joined to nothing.
        if first.iter().all(|(_, l)| l.is_empty()) || second.iter().all(|(_, l)| l.is_empty()) {
            return Ok(Vec::new());
        }
        // A panel without a place was reported: it joins nothing, and nothing misses it.
        let placed =
            |me: &Self, list: &[usize]| list.iter().all(|p| !me.panels[*p].finished.is_empty());
        if !first.iter().all(|(_, list)| placed(self, list))
            || !second.iter().all(|(_, list)| placed(self, list))
        {
            return Err(Poison);
        }
        let mut out = Vec::new();
        let mut met_first: BTreeSet<usize> = BTreeSet::new();
        let mut met_second: BTreeSet<usize> = BTreeSet::new();
        let mut doubled = false;
        for a in first.iter().flat_map(|(_, list)| list) {
            for b in second.iter().flat_map(|(_, list)| list) {
                let crosses = if kind == JointKind::Lap {
                    self.crossing(*a, *b)
                } else {
                    None
                };
                let Some((edge, contact)) = crosses.or_else(|| self.meeting(*a, *b)) else {
                    continue;
                };
                met_first.insert(*a);
                met_second.insert(*b);
                let (a, b) = (*a, *b);
                if let Some(first) = self.same_joint(a, b, kind, deep) {
                    // One line may do so in many places: once is enough.
                    if !doubled {
                        self.report_doubled(a, b, first, line);
                    }
                    doubled = true;
                    continue;
                }
                // At a corner either part may be the one that ran through.
                let edge = if kind.is_corner() && edge.axis() == self.panels[a].axis {
                    self.corner(b, a)
                } else {
                    edge
                };
                if kind.enters() {
                    self.enters(a, b, edge, line)?;
                }
                if kind == JointKind::Mitre {
                    self.check_flat_mitre(a, b, &with)?;
                }
                let deep = deep - options.gap;
                // Right through is as deep as the other is there.
                let through = kind == JointKind::Mortise && options.through;
                let deep = if through || kind == JointKind::Bridle {
                    self.panels[b].finished.extent(edge.axis()) + options.proud
                } else {
                    deep
                };
                let fastening = match &fastener {
                    Some((hardware, n, from_ends)) => {
                        let places = self.connector_places(&contact, *n, *from_ends, line, a)?;
                        Some((*hardware, places))
                    }
                    None => None,
                };
                // What may move is not glued.
                let slotted = with.of.tail("slotted").is_some();
                let open_to = self.open_to(&with, &contact)?;
                let dry = slotted
                    || line.has("dry")
                    || with.of.tail("dry").is_some()
                    || options.gap.is_positive()
                    || kind == JointKind::Buttons;
                let mut origin = line.origin();
                origin.span = line.span;
                for tail in &with.of.tails {
                    origin.clauses.push((tail.word.to_owned(), tail.span));
                }
                let both = self.joints_of.entry((a.min(b), a.max(b)));
                both.or_default().push(self.joints.len());
                self.joints.push(JointWork {
                    kind,
                    a,
                    b,
                    edge,
                    deep,
                    contact,
                    glued: !dry,
                    glued_along: None,
                    slotted,
                    open_to,
                    fastening,
                    body,
                    origin,
                });
                out.push(Pending {
                    joint: self.joints.len() - 1,
                    options: options.clone(),
                });
            }
        }
        self.stops_have_ends(&with, &out)?;
        // Of what is framed one member that meets is enough.
        let framed = |p: &usize| Some(self.panels[*p].body).filter(|own| *own != body);
        let lists = [
            first
                .iter()
                .flat_map(|(_, l)| l)
                .copied()
                .collect::<Vec<_>>(),
            second.iter().flat_map(|(_, l)| l).copied().collect(),
        ];
        for (list, met) in lists.into_iter().zip([&mut met_first, &mut met_second]) {
            let leaves: BTreeSet<usize> = met.iter().filter_map(framed).collect();
            let meets = |p: &usize| framed(p).is_some_and(|own| leaves.contains(&own));
            met.extend(list.into_iter().filter(meets));
        }
        for (name, list) in &first {
            for a in list.iter().filter(|a| !met_first.contains(a)) {
                self.report_apart(
                    *a,
                    name.span,
                    second.iter().flat_map(|(_, l)| l).copied().collect(),
                    other.of.span,
                );
            }
        }
        let named = line.names.iter().fold(line.head_span, |all, n| {
            if all == line.head_span {
                n.span
            } else {
                all.to(n.span)
            }
        });
        for (name, list) in &second {
            for b in list.iter().filter(|b| !met_second.contains(b)) {
                if first
                    .iter()
                    .flat_map(|(_, l)| l)
                    .all(|a| met_first.contains(a))
                {
                    self.report_apart(
                        *b,
                        name.span,
                        first.iter().flat_map(|(_, l)| l).copied().collect(),
                        named,
                    );
                }
            }
        }
        if let Some((hardware, n, _)) = fastener
            && !out.is_empty()
        {
            let names: Vec<&str> = line.names.iter().map(|n| n.text.as_str()).collect();
            self.hardware.push(HardwareUse {
                hardware,
                count: u32::try_from(out.len())
                    .unwrap_or(u32::MAX)
                    .saturating_mul(n),
                reason: format!("{}: {}", self.bodies[body].label, names.join(", ")),
                assembly: crate::model::AssemblyId(body as u32),
            });
        }
        Ok(out)
    }
}
