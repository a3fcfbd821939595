//! Stages: joins gathered as long as the glue stays open, with their clamps and their square check.

use super::glue::GlueInUse;
use super::joints::{glued_area, holds_square, needs_clamps};
use super::square::{Diagonal, Rings};
use super::{clamp_pitch, jaws};
use crate::assembly::{Body, Join, flat, joints_of, order, parts};
use crate::measure::{Length, Rational};
use crate::model::{
    Assembly, AssemblyId, AssemblyKind, Axis, Box3, Edge, Finding, Joint, JointId, JointKind,
    Model, Outcome, PartId, Piece, Sense, Value,
};
use std::collections::BTreeSet;

/// What kind of stage it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StageKind {
    /// With glue.
    Glued,
    /// Put in without glue, after the glue about it is dry.
    Dry,
    /// Cases and what is fitted to them, held together where they stand.
    Standing,
}

/// What is put together at once, for each copy in turn.
#[derive(Clone, Debug)]
pub struct Stage {
    /// Its number over the whole glue-up; stages that are done alike have the same.
    pub number: u32,
    /// Its kind.
    pub kind: StageKind,
    /// The piece, by index.
    pub piece: u32,
    /// What is put together.
    pub assembly: AssemblyId,
    /// Each coming together, in order.
    pub moves: Vec<Move>,
    /// All that is one when the stage is done.
    pub body: Vec<PartId>,
    /// The part that the first move is made to, or the parts that all close at once.
    pub first: Vec<PartId>,
    /// Parts that are touched for the first time, in the order in which they are laid out.
    pub fresh: Vec<PartId>,
    /// Fresh parts whose faces end up inside and can't be sanded after.
    pub sand_before: Vec<PartId>,
    /// Glued area, square millimetres.
    pub area: Rational,
    /// Seconds to spread and to bring together.
    pub spread: u32,
    /// Seconds to bring together.
    pub assemble: u32,
    /// Clamps.
    pub clamps: Vec<ClampNeed>,
    /// The square check, where the stage closes a ring of parts.
    pub diagonal: Option<Diagonal>,
    /// Whether nothing could be taken off alone, so that all must close at once.
    pub all_at_once: bool,
}

impl Stage {
    /// Seconds from the first glue to the clamps.
    pub fn seconds(&self) -> u32 {
        self.spread.saturating_add(self.assemble)
    }
}

/// One coming together within a stage.
#[derive(Clone, Debug)]
pub struct Move {
    /// What is brought.
    pub parts: Vec<PartId>,
    /// The way it moves; `None` where all closes at once.
    pub way: Option<Edge>,
    /// Joints that close.
    pub joints: Vec<JointId>,
}

/// Clamps across one direction.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClampNeed {
    /// Along which they press.
    pub axis: Axis,
    /// They must open to at least this.
    pub open: Length,
    /// How many.
    pub count: u32,
    /// Taken from the wall: name, opening, how many.
    pub taken: Vec<(String, Length, u32)>,
    /// How many the wall does not have (none are missed where the shop lists no clamps at all).
    pub missing: u32,
}

/// The stages of one assembly.
pub(super) fn stages(
    model: &Model,
    index: usize,
    assembly: &Assembly,
    glue: &GlueInUse,
    findings: &mut Vec<Finding>,
) -> Vec<Stage> {
    let Some(piece) = model.pieces.get(index) else {
        return Vec::new();
    };
    let joints = joints_of(piece, assembly.id);
    if joints.is_empty() {
        return Vec::new();
    }
    // Without an order, which the rules have told, all closes at once.
    let joins = order(piece, &joints).map_or_else(|_| vec![at_once(&joints)], |found| found.joins);
    let mut maker = Maker {
        model,
        piece,
        index,
        assembly,
        glue,
        joins,
        joints,
        seen: seen_boxes(piece),
        used: BTreeSet::new(),
        measured: Vec::new(),
    };
    let mut out: Vec<Stage> = Vec::new();
    let mut run: Vec<usize> = Vec::new();
    for join in 0..maker.joins.len() {
        if !maker.belongs(&run, join) {
            // What is dry waits for the glue that holds it in.
            let dry = maker.cut_dry_end(&mut run);
            out.extend(maker.stage(std::mem::replace(&mut run, dry)));
        }
        run.push(join);
    }
    let dry = maker.cut_dry_end(&mut run);
    out.extend(maker.stage(run));
    out.extend(maker.stage(dry));
    for stage in out.iter().filter(|s| s.kind == StageKind::Glued) {
        maker.report(stage, findings);
    }
    out
}

/// All parts of some joints, closed at once.
fn at_once(joints: &[&Joint]) -> Join {
    let parts: BTreeSet<PartId> = joints.iter().flat_map(|j| [j.a, j.b]).collect();
    Join {
        bodies: parts.into_iter().map(Body::Part).collect(),
        way: None,
        joints: joints.iter().map(|j| j.id).collect(),
        stage: None,
    }
}

struct Maker<'a> {
    model: &'a Model,
    piece: &'a Piece,
    index: usize,
    assembly: &'a Assembly,
    glue: &'a GlueInUse,
    joints: Vec<&'a Joint>,
    joins: Vec<Join>,
    /// What is seen of each part of the piece, by its index.
    seen: Vec<Box3>,
    /// Parts of the stages made so far.
    used: BTreeSet<PartId>,
    /// The rings of parts that they closed.
    measured: Vec<Diagonal>,
}

impl Maker<'_> {
    fn glued<'b>(&'b self, joints: impl Iterator<Item = &'b JointId>) -> Vec<&'b Joint> {
        joints
            .map(|id| self.piece.joint(*id))
            .filter(|j| j.glued)
            .collect()
    }

    fn run<'b>(&'b self, run: &'b [usize]) -> impl Iterator<Item = &'b Join> {
        run.iter().map(|join| &self.joins[*join])
    }

    /// Whether a join goes into the stage that `run` makes up so far.
    fn belongs(&self, run: &[usize], join: usize) -> bool {
        let before = self.glued(self.run(run).flat_map(|j| &j.joints));
        let next = &self.joins[join];
        let more = self.glued(next.joints.iter());
        if before.is_empty() || more.is_empty() {
            return true;
        }
        // Keys go in when the corner is dry, and its slots are sawn.
        let keyed = |joints: &[&Joint]| joints.iter().any(|j| j.kind == JointKind::Key);
        if keyed(&before) != keyed(&more) {
            return false;
        }
        let Some(last) = run.last() else { return true };
        // What the maker puts in another stage is glued in another.
        let stated = self.joins[*last].stage;
        if stated != next.stage {
            return false;
        }
        let chain = next.bodies.contains(&Body::Joined(*last));
        // Small boxes are glued in one go from all sides; a case goes together side by side.
        let same = self.assembly.kind != AssemblyKind::Case
            || stated.is_some()
            || self
                .run(run)
                .filter(|j| !j.joints.is_empty())
                .all(|j| j.way.map(Edge::axis) == next.way.map(Edge::axis));
        let all: Vec<&Joint> = before.into_iter().chain(more).collect();
        chain && same && self.seconds(&all).2 <= self.glue.open
    }

    /// Takes the joins without glue off the end of a run.
    fn cut_dry_end(&self, run: &mut Vec<usize>) -> Vec<usize> {
        let last = run
            .iter()
            .rposition(|join| !self.glued(self.joins[*join].joints.iter()).is_empty());
        run.split_off(last.map_or(0, |i| i + 1))
    }

    /// Area, seconds to spread, seconds in all.
    fn seconds(&self, joints: &[&Joint]) -> (Rational, u32, u32) {
        let area = joints
            .iter()
            .fold(Rational::ZERO, |sum, j| sum + glued_area(j));
        let spread = spread_seconds(self.model, area);
        let assemble = joints.len() as u32 * self.model.shop.joint_pace;
        (area, spread, spread.saturating_add(assemble))
    }

    fn stage(&mut self, run: Vec<usize>) -> Option<Stage> {
        if self.run(&run).all(|j| j.joints.is_empty()) {
            return None;
        }
        let glued = self.glued(self.run(&run).flat_map(|j| &j.joints));
        let (area, spread, all) = self.seconds(&glued);
        let kind = if glued.is_empty() {
            StageKind::Dry
        } else {
            StageKind::Glued
        };
        let parts = |body: &Body| parts(&self.joins, *body);
        let moves: Vec<Move> = self
            .run(&run)
            .map(|join| {
                let brought = if join.way.is_some() { 1 } else { 0 };
                let mut moved: Vec<PartId> =
                    join.bodies[brought..].iter().flat_map(parts).collect();
                moved.sort_unstable();
                Move {
                    parts: moved,
                    way: join.way,
                    joints: join.joints.clone(),
                }
            })
            .collect();
        let first: Vec<PartId> = self
            .run(&run)
            .next()
            .map(|join| match join.way {
                Some(_) => join.bodies.first().map_or(Vec::new(), parts),
                None => join.bodies.iter().flat_map(parts).collect(),
            })
            .unwrap_or_default();
        let body: BTreeSet<PartId> = self
            .run(&run)
            .flat_map(|join| {
                join.bodies
                    .iter()
                    .filter(|b| !matches!(b, Body::Joined(i) if run.contains(i)))
            })
            .flat_map(parts)
            .collect();
        let mut fresh: Vec<PartId> = Vec::new();
        let mut had = std::mem::take(&mut self.used);
        let moved = moves.iter().flat_map(|m| &m.parts);
        for part in first.iter().chain(moved).chain(&body) {
            if had.insert(*part) {
                fresh.push(*part);
            }
        }
        let inside = matches!(
            self.assembly.kind,
            AssemblyKind::Case | AssemblyKind::Drawer
        );
        let stage = Stage {
            number: 0,
            kind,
            piece: self.index as u32,
            assembly: self.assembly.id,
            sand_before: if inside { fresh.clone() } else { Vec::new() },
            first,
            fresh,
            area,
            spread,
            assemble: all - spread,
            clamps: self.clamps(&run, &body),
            diagonal: self.diagonal(&moves, &body),
            all_at_once: self.run(&run).any(|j| j.way.is_none()),
            body: body.into_iter().collect(),
            moves,
        };
        self.used = had;
        self.measured.extend(stage.diagonal.clone());
        Some(stage)
    }

    fn hull(&self, parts: impl IntoIterator<Item = PartId>) -> Option<Box3> {
        parts
            .into_iter()
            .filter_map(|p| self.seen.get(p.0 as usize).copied())
            .reduce(|a, b| a.union(&b))
    }

    fn clamps(&self, run: &[usize], body: &BTreeSet<PartId>) -> Vec<ClampNeed> {
        // Clamps press in the direction in which a joint closes: of a rabbet that need not be the
        // one in which its parts meet.
        let joints: Vec<(Axis, &Joint)> = self
            .run(run)
            .flat_map(|join| {
                let way = join.way.map(Edge::axis);
                self.glued(join.joints.iter())
                    .into_iter()
                    .map(move |j| (way.unwrap_or(flat(j)), j))
            })
            .filter(|(_, j)| needs_clamps(self.model, j))
            .collect();
        let Some(hull) = self.hull(body.iter().copied()) else {
            return Vec::new();
        };
        let mut needs = Vec::new();
        for axis in Axis::ALL {
            let mine: Vec<&Joint> = joints
                .iter()
                .filter(|(a, _)| *a == axis)
                .map(|(_, j)| *j)
                .collect();
            let count = lines(&mine, axis);
            if count > 0 {
                needs.push(ClampNeed {
                    axis,
                    open: hull.extent(axis) + jaws(),
                    count,
                    taken: Vec::new(),
                    missing: 0,
                });
            }
        }
        take(self.model, &mut needs);
        needs
    }

    /// The square check, where a ring of parts now stands for the first time.
    fn diagonal(&self, moves: &[Move], body: &BTreeSet<PartId>) -> Option<Diagonal> {
        let held = self
            .joints
            .iter()
            .filter(|j| holds_square(j) && body.contains(&j.a) && body.contains(&j.b))
            .map(|j| (j.id, j.a, j.b));
        let fresh = moves.iter().flat_map(|m| &m.joints).copied().collect();
        Rings::new(&self.seen, held).close(&fresh, &self.measured)
    }

    /// What the stage takes against what the shop has.
    fn report(&self, stage: &Stage, findings: &mut Vec<Finding>) {
        let names: Vec<&str> = stage
            .fresh
            .iter()
            .map(|p| self.piece.part(*p).label.as_str())
            .collect();
        let subject = format!(
            "{}: {}",
            self.assembly.label,
            if names.is_empty() {
                "glue-up".to_string()
            } else {
                names.join(", ")
            }
        );
        let count = self.glued(stage.moves.iter().flat_map(|m| &m.joints)).len();
        let spans: Vec<_> = stage
            .moves
            .iter()
            .flat_map(|m| &m.joints)
            .map(|id| self.piece.joint(*id).origin.span)
            .collect();
        findings.push(open_time(
            self.index,
            &subject,
            (stage.spread, count, self.model.shop.joint_pace),
            self.glue,
            spans.clone(),
        ));
        if !self.model.shop.clamps.is_empty() {
            findings.push(clamps_finding(
                self.piece,
                self.index,
                &subject,
                &stage.clamps,
                spans,
            ));
        }
    }
}

/// Seconds to spread glue on an area at the shop's pace, rounded up.
pub(super) fn spread_seconds(model: &Model, area: Rational) -> u32 {
    // Pace is square metres a minute.
    let seconds = area * Rational::int(60) / (model.shop.spread_pace * Rational::int(1_000_000));
    seconds
        .ceil()
        .and_then(|s| u32::try_from(s).ok())
        .unwrap_or(u32::MAX / 2)
}

/// Clamps along a joint line: one every 200 mm, from alternate sides, at least two.
pub(super) fn clamps_for(line: Length) -> u32 {
    line.ratio(clamp_pitch())
        .ceil()
        .and_then(|n| u32::try_from(n).ok())
        .unwrap_or(2)
        .max(2)
}

/// How many clamps along `axis` close some joints. Joints behind one another (a shelf's two ends) are on
/// one line, and so are those beside one another by less than half the way from clamp to clamp, where
/// that takes no more clamps than each by itself: pads of scrap spread what a clamp presses (common
/// practice).
fn lines(joints: &[&Joint], axis: Axis) -> u32 {
    let mut lines: Vec<Box3> = Vec::new();
    for joint in joints {
        let mut line = joint.contact;
        line.lo[axis.index()] = Length::ZERO;
        line.hi[axis.index()] = Length::mm(1);
        // What has grown may now reach another.
        while let Some(near) = lines.iter().position(|other| share(other, &line, axis)) {
            line = line.union(&lines.swap_remove(near));
        }
        lines.push(line);
    }
    lines.iter().map(|line| clamps_on(line, axis)).sum()
}

/// Whether two lines of joints are closed by the same clamps.
fn share(a: &Box3, b: &Box3, axis: Axis) -> bool {
    let near = Axis::ALL.into_iter().filter(|x| *x != axis).all(|x| {
        let i = x.index();
        let apart = (a.lo[i] - b.hi[i]).max(b.lo[i] - a.hi[i]);
        apart < clamp_pitch().half()
    });
    let each = clamps_on(a, axis) + clamps_on(b, axis);
    a.overlaps(b) || (near && clamps_on(&a.union(b), axis) <= each)
}

/// Clamps on a line of joints: one in the middle of what is no longer than half the way from clamp to
/// clamp; in as many rows as it is wide.
fn clamps_on(line: &Box3, axis: Axis) -> u32 {
    let mut sides: Vec<Length> = Axis::ALL
        .into_iter()
        .filter(|x| *x != axis)
        .map(|x| line.extent(x))
        .collect();
    sides.sort_unstable();
    let rows = sides[0].ratio(clamp_pitch()).ceil();
    let rows = rows.and_then(|n| u32::try_from(n).ok()).unwrap_or(1).max(1);
    let along = if sides[1] <= clamp_pitch().half() {
        1
    } else {
        clamps_for(sides[1])
    };
    rows * along
}

/// Takes clamps from the wall: for the longest need first, the shortest that will do.
pub(super) fn take(model: &Model, needs: &mut [ClampNeed]) {
    let mut wall: Vec<(&str, Length, u32)> = model
        .shop
        .clamps
        .iter()
        .map(|c| (c.name.as_str(), c.long, c.count))
        .collect();
    if wall.is_empty() {
        return;
    }
    wall.sort_by_key(|(_, long, _)| *long);
    let mut order: Vec<usize> = (0..needs.len()).collect();
    order.sort_by_key(|i| std::cmp::Reverse(needs[*i].open));
    for i in order {
        let need = &mut needs[i];
        let mut left = need.count;
        for (name, long, count) in wall.iter_mut().filter(|(_, long, _)| *long >= need.open) {
            let n = left.min(*count);
            if n > 0 {
                need.taken.push((name.to_string(), *long, n));
                *count -= n;
                left -= n;
            }
        }
        need.missing = left;
    }
}

/// The extent of each part as seen when all is together, by its index: finished, less what enters
/// its neighbours.
pub fn seen_boxes(piece: &Piece) -> Vec<Box3> {
    let mut boxes: Vec<Box3> = piece.parts.iter().map(|part| part.finished).collect();
    for joint in piece.joints.iter().filter(|j| !j.deep.is_zero()) {
        let Some(seen) = boxes.get_mut(joint.a.0 as usize) else {
            continue;
        };
        let i = flat(joint).index();
        let plane = joint.contact.lo[i];
        if plane <= seen.lo[i] || plane >= seen.hi[i] {
            continue;
        }
        if plane - seen.lo[i] < seen.hi[i] - plane {
            seen.lo[i] = plane;
        } else {
            seen.hi[i] = plane;
        }
    }
    boxes
}

/// What came of it; whether the maker lives with it is judged later.
fn judged(fails: bool) -> Outcome {
    if fails {
        Outcome::Caution
    } else {
        Outcome::Holds
    }
}

/// Time of a stage against the glue's open time.
pub(super) fn open_time(
    index: usize,
    subject: &str,
    (spread, joints, pace): (u32, usize, u32),
    glue: &GlueInUse,
    spans: Vec<crate::source::Span>,
) -> Finding {
    let all = spread.saturating_add(joints as u32 * pace);
    let minutes = |s: u32| f64::from(s.div_ceil(6)) / 10.0;
    Finding {
        code: "order.open_time".into(),
        subject: format!("{subject}, from first glue to clamps"),
        piece: Some(index as u32),
        figure: Value::Number(minutes(all), "min".into()),
        limit: Value::Number(f64::from(glue.open / 6) / 10.0, "min".into()),
        sense: Sense::AtMost,
        outcome: judged(all > glue.open),
        arithmetic: format!(
            "{spread} s to spread + {joints} {} x {pace} s",
            if joints == 1 { "joint" } else { "joints" }
        ),
        source: match (&glue.source, glue.stated) {
            (Some(source), true) => format!("open time of {}: {source}; read the label", glue.name),
            (None, true) => format!("open time of {}, as the shop states it", glue.name),
            (_, false) => "common practice; read the label".into(),
        },
        spans,
    }
}

/// Clamps of a stage against those on the wall.
pub(super) fn clamps_finding(
    piece: &Piece,
    index: usize,
    subject: &str,
    needs: &[ClampNeed],
    spans: Vec<crate::source::Span>,
) -> Finding {
    let want: u32 = needs.iter().map(|n| n.count).sum();
    let missing: u32 = needs.iter().map(|n| n.missing).sum();
    let figures: Vec<String> = needs
        .iter()
        .map(|n| format!("{} that open to {}", n.count, piece.units.text(n.open)))
        .collect();
    Finding {
        code: "order.clamps".into(),
        subject: format!("{subject}, clamps"),
        piece: Some(index as u32),
        figure: Value::Number(f64::from(want - missing), String::new()),
        limit: Value::Number(f64::from(want), String::new()),
        sense: Sense::AtLeast,
        outcome: judged(missing > 0),
        arithmetic: figures.join(", "),
        source: "the shop's clamps".into(),
        spans,
    }
}
