//! What is fitted to fronts: hinges with their bores or recesses, and pulls (placement rules 2.4, 2.6).

use super::build::{Builder, CutWork, Work};
use super::stmt::Stmt;
use super::value;
use super::{Poison, Res};
use crate::diag::{Diagnostic, code};
use crate::measure::{Length, Rational};
use crate::model::{
    AssemblyId, Axis, Box3, CutKind, Edge, HardwareKind, HardwareUse, Hinge, HingePlace, Leaf,
    PullPlace,
};
use crate::schema::Clause;
use std::collections::BTreeMap;

/// A pull on a door or flap sits 40 mm from its free edge unless said (common practice).
const PULL_IN_MM: i64 = 40;
/// The end hinges of a door or flap are this far from its ends, or a sixth of the edge if less (common practice).
const HINGE_END_MM: i64 = 100;

impl Builder<'_> {
    /// Hinges along the hung edge, with their bores or recesses.
    pub fn hang(
        &mut self,
        panel: usize,
        edge: Edge,
        line: &Stmt,
        finished: Box3,
        leaf: &mut Leaf,
        assembly: AssemblyId,
    ) -> Res<()> {
        let (id, kind) = self.hardware_of(line)?;
        let n = match &line.count {
            Some(count) => value::count(self, &line.env, count)?,
            None => return Err(Poison),
        };
        self.room_for_holes(n, line.head_span)?;
        let along = edge.axis().third(Axis::Y);
        let start = finished.face(along.low());
        let long = finished.extent(along);
        let end = Length::mm(HINGE_END_MM).min(long / 6);
        // A stated place is that of the first hinge; the last one mirrors it.
        let stated = self.stated_along(line, along, long)?;
        let first = stated.unwrap_or(if n == 1 { long.half() } else { end });
        let mut places: Vec<Length> = match n {
            1 => vec![first],
            _ => (0..n)
                .map(|i| {
                    let share = Rational::new(i128::from(i), i128::from(n) - 1);
                    first + (long - first * 2).scale(share)
                })
                .collect(),
        };
        places.sort();
        let mut plates = Vec::new();
        if let Some(rows) = line.clause("in") {
            if along == Axis::X {
                let report = Diagnostic::new(
                    &code::NAME_WORD_NOT_HERE,
                    "the hinges of a flap lie side by side",
                    rows.of.span,
                    "rows of holes stand upright",
                );
                self.sink.push(report.help("leave `in` out"));
                return Err(Poison);
            }
            plates = self.hinges_on_rows(line, &kind, leaf, edge, start, &mut places)?;
        }
        let mut plates = plates.into_iter();
        let mut bores = Vec::new();
        for from_start in &places {
            let place = start + *from_start;
            leaf.hinges.push(HingePlace {
                hardware: id,
                along_leaf: *from_start,
                place,
                plate: plates.next(),
            });
            match &kind {
                HardwareKind::Hinge(Hinge::Cup {
                    diameter,
                    deep,
                    rim,
                    ..
                }) => {
                    let mut mouth = [finished.face(Edge::Rear); 3];
                    mouth[along.index()] = place;
                    mouth[edge.axis().index()] =
                        edge.inward(finished.face(edge), *rim + diameter.half());
                    bores.push(Work::Bore {
                        mouth,
                        entry: Edge::Rear,
                        diameter: *diameter,
                        depth: *deep,
                    });
                }
                HardwareKind::Hinge(Hinge::Butt { long, wide, thick }) => {
                    let mut recess = finished;
                    recess.set_face(along.low(), place - long.half());
                    recess.set_face(along.high(), place + long.half());
                    recess.set_face(edge.opposite(), edge.inward(finished.face(edge), *thick));
                    // Its pin is where the leaf turns: at the front of an inset one.
                    if leaf.inset {
                        recess.set_face(Edge::Rear, finished.face(Edge::Front) + *wide);
                    } else {
                        recess.set_face(Edge::Front, finished.face(Edge::Rear) - *wide);
                    }
                    bores.push(Work::Box(recess));
                }
                _ => {}
            }
        }
        self.within_leaf(&bores, finished, line)?;
        let (cut_kind, entry, width, depth) = match &kind {
            HardwareKind::Hinge(Hinge::Cup { diameter, deep, .. }) => {
                (CutKind::CupBore, Edge::Rear, *diameter, *deep)
            }
            HardwareKind::Hinge(Hinge::Butt { thick, wide, .. }) => {
                (CutKind::HingeRecess, edge, *wide, *thick)
            }
            _ => return Err(Poison),
        };
        self.panels[panel].cuts.push(CutWork {
            kind: cut_kind,
            solids: bores,
            entry,
            along,
            width,
            depth,
            fit: Length::ZERO,
            relief: Length::ZERO,
            joint: None,
            filler: None,
            origin: line.origin(),
        });
        self.hardware.push(HardwareUse {
            hardware: id,
            count: n,
            reason: format!("{}, hinges", self.bodies[assembly.0 as usize].label),
            assembly,
        });
        Ok(())
    }

    /// What is bored or recessed for one line lies on the leaf, and each clear of the one before it.
    fn within_leaf(&mut self, work: &[Work], leaf: Box3, line: &Stmt) -> Res<()> {
        let spots: Vec<Box3> = work
            .iter()
            .map(|work| match work {
                Work::Bore {
                    mouth, diameter, ..
                } => {
                    let mut spot = Box3 {
                        lo: *mouth,
                        hi: *mouth,
                    };
                    for edge in [Edge::Left, Edge::Right, Edge::Bottom, Edge::Top] {
                        spot.grow(edge, diameter.half());
                    }
                    spot
                }
                Work::Box(recess) => *recess,
                Work::Prism { .. } | Work::Leaning { .. } => leaf,
            })
            .collect();
        let span = line.clause("at").map_or(line.head_span, |at| at.of.span);
        let units = self.units;
        for spot in &spots {
            let off = [Edge::Left, Edge::Right, Edge::Bottom, Edge::Top]
                .into_iter()
                .map(|edge| (edge, spot.face(edge), leaf.face(edge)))
                .find(|(edge, spot, leaf)| {
                    if edge.is_high() {
                        spot > leaf
                    } else {
                        spot < leaf
                    }
                });
            if let Some((edge, at, end)) = off {
                let past = if edge.is_high() { at - end } else { end - at };
                self.sink.push(
                    Diagnostic::new(
                        &code::VALUE_RANGE,
                        format!("a {} that does not lie on its front", line.word()),
                        span,
                        format!("{} past its {} edge", units.text(past), edge.word()),
                    )
                    .note(format!(
                        "the front is {} wide and {} high",
                        units.text(leaf.extent(Axis::X)),
                        units.text(leaf.extent(Axis::Z))
                    ))
                    .help("`at` counts from an edge of the front inward"),
                );
                return Err(Poison);
            }
        }
        let crowded = spots.windows(2).any(|pair| {
            [Axis::X, Axis::Z]
                .into_iter()
                .map(Axis::index)
                .all(|i| pair[0].lo[i] < pair[1].hi[i] && pair[1].lo[i] < pair[0].hi[i])
        });
        if crowded {
            self.sink.push(
                Diagnostic::new(
                    &code::VALUE_RANGE,
                    format!("no room for so many on one front: `{}`", line.word()),
                    line.head_span,
                    format!("{} run into each other", spots.len()),
                )
                .help("fit fewer, or further apart"),
            );
            return Err(Poison);
        }
        Ok(())
    }

    /// `at L from EDGE` of a hinge: how far along the leaf, from its lower or left end.
    fn stated_along(&mut self, line: &Stmt, along: Axis, long: Length) -> Res<Option<Length>> {
        let Some(at) = line.clause("at").cloned() else {
            return Ok(None);
        };
        let from = at.of.tail("from").and_then(Clause::value);
        let edge = from
            .and_then(|v| v.as_name())
            .map_or(Some(along.low()), Edge::from_word);
        let Some(edge) = edge.filter(|edge| edge.axis() == along) else {
            let ends = [along.high().word(), along.low().word()];
            let report = Diagnostic::new(
                &code::NAME_UNKNOWN_EDGE,
                format!(
                    "this {} lies on an edge that runs the other way",
                    line.word()
                ),
                from.map_or(at.of.span, |v| v.span),
                "not an end of the edge that the leaf hangs on",
            );
            let help = format!("count from `{}` or `{}`", ends[0], ends[1]);
            self.sink.push(report.help(help));
            return Err(Poison);
        };
        let value = value::length(self, &at.env, at.of.value().ok_or(Poison)?)?;
        Ok(Some(if edge.is_high() { long - value } else { value }))
    }

    /// `at L from top` or `from bottom` of a fitting: its height above the leaf's lower edge.
    pub(super) fn stated_height(&mut self, line: &Stmt, high: Length) -> Res<Option<Length>> {
        for at in line.all("at").cloned().collect::<Vec<_>>() {
            let from = at
                .of
                .tail("from")
                .and_then(Clause::value)
                .and_then(|v| v.as_name())
                .unwrap_or("bottom")
                .to_owned();
            let value = value::length(self, &at.env, at.of.value().ok_or(Poison)?)?;
            match from.as_str() {
                "top" => return Ok(Some(high - value)),
                "bottom" => return Ok(Some(value)),
                _ => {}
            }
        }
        Ok(None)
    }

    fn stated_across(
        &mut self,
        line: &Stmt,
        wide: Length,
        hung: Option<Edge>,
    ) -> Res<Option<Length>> {
        for at in line.all("at").cloned().collect::<Vec<_>>() {
            let Some(from) = at
                .of
                .tail("from")
                .and_then(Clause::value)
                .and_then(|v| v.as_name())
            else {
                continue;
            };
            let from = from.to_owned();
            let value = value::length(self, &at.env, at.of.value().ok_or(Poison)?)?;
            let edge = match (from.as_str(), hung) {
                ("left", _) => Edge::Left,
                ("right", _) => Edge::Right,
                ("meeting", Some(edge)) => edge.opposite(),
                ("meeting", None) => {
                    self.sink.push(Diagnostic::new(
                        &code::NAME_UNKNOWN_EDGE,
                        "`meeting` is an edge of a pair of doors",
                        at.of.span,
                        "this is not one of a pair",
                    ));
                    return Err(Poison);
                }
                _ => continue,
            };
            return Ok(Some(if edge.is_high() { wide - value } else { value }));
        }
        Ok(None)
    }

    /// Pulls on a front: where the line says; else on a door near its free edge, at half height; on a
    /// flap or a face spread over the width, of a flap near its free edge.
    pub fn place_pulls(
        &mut self,
        hung: Option<Edge>,
        line: &Stmt,
        finished: Box3,
        leaf: &mut Leaf,
        body: usize,
    ) -> Res<()> {
        let (id, kind) = self.hardware_of(line)?;
        let HardwareKind::Pull { bore, centres } = kind else {
            return Err(Poison);
        };
        let n = match &line.count {
            Some(count) => value::count(self, &line.env, count)?,
            None => return Err(Poison),
        };
        let (wide, high) = (finished.extent(Axis::X), finished.extent(Axis::Z));
        let flap = hung.filter(|edge| edge.axis() == Axis::Z);
        let hung = hung.filter(|edge| edge.axis() == Axis::X);
        let height = match (self.stated_height(line, high)?, flap) {
            (Some(stated), _) => stated,
            (None, Some(edge)) => {
                let inward = Length::mm(PULL_IN_MM).min(high.half());
                if edge.is_high() {
                    inward
                } else {
                    high - inward
                }
            }
            (None, None) => high.half(),
        };
        let across = self.stated_across(line, wide, hung)?;
        self.room_for_holes(n, line.head_span)?;
        let mut holes = Vec::new();
        for i in 0..n {
            let from_left = match (across, hung, n) {
                (Some(first), _, 1) => first,
                (Some(first), _, _) => {
                    first
                        + (wide - first * 2).scale(Rational::new(i128::from(i), i128::from(n) - 1))
                }
                (None, Some(edge), 1) => {
                    let inward = Length::mm(PULL_IN_MM).min(wide.half());
                    if edge == Edge::Left {
                        wide - inward
                    } else {
                        inward
                    }
                }
                // Each in the middle of its share of the width.
                _ => wide.scale(Rational::new(2 * i128::from(i) + 1, 2 * i128::from(n))),
            };
            leaf.pulls.push(PullPlace {
                hardware: id,
                from_left,
                from_bottom: height,
            });
            // A handle's two holes stand one above the other on a door, side by side on a drawer.
            let half = centres.unwrap_or_default().half();
            let offsets: Vec<Length> = if centres.is_some() {
                vec![-half, half]
            } else {
                vec![Length::ZERO]
            };
            for off in offsets {
                let (dx, dz) = if hung.is_some() {
                    (Length::ZERO, off)
                } else {
                    (off, Length::ZERO)
                };
                let mouth = [
                    finished.face(Edge::Left) + from_left + dx,
                    finished.face(Edge::Front),
                    finished.face(Edge::Bottom) + height + dz,
                ];
                holes.push(Work::Bore {
                    mouth,
                    entry: Edge::Front,
                    diameter: bore,
                    depth: finished.extent(Axis::Y),
                });
            }
        }
        self.within_leaf(&holes, finished, line)?;
        // Of a framed front, in the members where they sit.
        let mut bored: BTreeMap<usize, Vec<Work>> = BTreeMap::new();
        for hole in holes {
            let Work::Bore { mouth, .. } = &hole else {
                continue;
            };
            let spot = Box3 {
                lo: *mouth,
                hi: *mouth,
            };
            let panel = self.member_at(body, &spot).ok_or(Poison)?;
            bored.entry(panel).or_default().push(hole);
        }
        for (panel, solids) in bored {
            self.panels[panel].cuts.push(CutWork {
                kind: CutKind::PullHole,
                solids,
                entry: Edge::Front,
                along: Axis::X,
                width: bore,
                depth: finished.extent(Axis::Y),
                fit: Length::ZERO,
                relief: Length::ZERO,
                joint: None,
                filler: None,
                origin: line.origin(),
            });
        }
        self.hardware.push(HardwareUse {
            hardware: id,
            count: n,
            reason: format!("{}, pulls", self.bodies[body].label),
            assembly: AssemblyId(body as u32),
        });
        Ok(())
    }
}
