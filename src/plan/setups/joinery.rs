//! Operations of the joints of solid wood: mortises, laps, fingers, pockets.

use super::cuts::{Job, near, space};
use super::operation::{
    Lies, Listed, Machine, Operation, Phase, Process, Setting, Space, Tooling, Work,
};
use crate::measure::{Length, Rational};
use crate::model::{Cut, CutKind, LocalAxis, LocalBox, Shape, Side, Solid};

impl Job<'_> {
    pub(super) fn whole(index: usize) -> Work {
        Work::Cut {
            cut: index,
            solid: None,
        }
    }

    fn middle(&self, b: &LocalBox, axis: LocalAxis, phase: Phase) -> Length {
        (b.lo[axis.index()] + b.hi[axis.index()]).half() + self.grown(phase, near(axis))
    }

    /// Mortises, by drill and chisel or with a router and guide: where each begins along its run, and
    /// where it lies across it. Those of one size in one line are worked together; a haunch has a size
    /// and a depth of its own.
    pub(super) fn mortises(&self, index: usize, cut: &Cut) -> Vec<Operation> {
        let boxes: Vec<LocalBox> = cut.solids.iter().map(Solid::bounds).collect();
        let (a, c) = (cut.along, cut.along.third(cut.entry.axis()));
        let size = |b: &LocalBox| [a, c, cut.entry.axis()].map(|axis| b.extent(axis));
        let alike = |b: &LocalBox| (size(b), b.lo[c.index()]);
        if boxes
            .windows(2)
            .all(|pair| alike(&pair[0]) == alike(&pair[1]))
        {
            return vec![self.mortise(cut, Self::whole(index), &boxes)];
        }
        let each = boxes.iter().enumerate();
        each.map(|(k, b)| {
            let work = Work::Cut {
                cut: index,
                solid: Some(k),
            };
            self.mortise(cut, work, std::slice::from_ref(b))
        })
        .collect()
    }

    fn mortise(&self, cut: &Cut, work: Work, boxes: &[LocalBox]) -> Operation {
        let step = (Phase::Mortise, Process::Mortise);
        let op = self.in_a_line(cut, work, step, boxes, cut.along);
        let first = boxes.first().map(|b| b.extent(cut.entry.axis()));
        Operation {
            height: first.or(op.height),
            ..op
        }
    }

    /// The slot of a fork: its near wall from the face side, as deep as what stands in it is wide.
    pub(super) fn open_mortise(&self, index: usize, cut: &Cut) -> Operation {
        let across = cut.along.third(cut.entry.axis());
        let wall = cut.bounds().lo[across.index()] + self.grown(Phase::Mortise, near(across));
        self.op(
            cut,
            Self::whole(index),
            (Phase::Mortise, Process::OpenMortise),
            Tooling {
                width: Some(cut.width),
                ..Tooling::plain(Machine::HandSaw)
            },
            Setting::Fence {
                at: wall,
                last: None,
            },
            Lies {
                down: cut.entry,
                against: Some(near(across)),
                leads: None,
            },
        )
    }

    /// A slot in the face of a mitre: its near wall from the inner corner, along the mitre.
    pub(super) fn spline_slot(&self, index: usize, cut: &Cut) -> Operation {
        let of_joint = |c: &&Cut| c.kind == CutKind::Mitre && c.joint == cut.joint;
        let mitre = self.part.cuts.iter().find(of_joint);
        // The mitre is the root of 2 longer than the part is thick, and the slot a third up from its foot.
        let root = Rational::new(8119, 5741);
        let middle = mitre.map_or(Length::ZERO, |mitre| (mitre.depth / 3).scale(root));
        self.op(
            cut,
            Self::whole(index),
            (Phase::MitreSlot, Process::SplineSlot),
            Tooling {
                width: Some(cut.width),
                ..Tooling::plain(Machine::Saw)
            },
            Setting::Fence {
                at: middle - (cut.width - cut.fit).half() - cut.fit,
                last: None,
            },
            Lies {
                down: cut.entry,
                against: Some(Side::Face),
                leads: None,
            },
        )
    }

    /// Slots for keys: one cut through both parts of the corner, so it is told at the first of them.
    pub(super) fn key_slots(&self, index: usize, cut: &Cut) -> Option<Operation> {
        if self.piece.cut_with_other(self.part, cut) {
            return None;
        }
        let mut centres: Vec<Length> = cut
            .solids
            .iter()
            .map(|solid| self.middle(&solid.bounds(), cut.along, Phase::KeySlot) - cut.fit.half())
            .collect();
        centres.sort();
        Some(self.op(
            cut,
            Self::whole(index),
            (Phase::KeySlot, Process::KeySlot),
            Tooling {
                width: Some(cut.width),
                ..Tooling::plain(Machine::Saw)
            },
            Setting::Slots {
                centres,
                height: cut.depth,
            },
            Lies {
                down: cut.entry,
                against: None,
                leads: None,
            },
        ))
    }

    /// Saw cuts in a tenon, from its end.
    pub(super) fn wedge_slots(&self, index: usize, cut: &Cut) -> Operation {
        let across = cut.along.third(cut.entry.axis());
        let mut centres: Vec<Length> = cut
            .solids
            .iter()
            .map(|solid| self.middle(&solid.bounds(), across, Phase::Notch))
            .collect();
        centres.sort();
        self.op(
            cut,
            Self::whole(index),
            (Phase::Notch, Process::WedgeSlot),
            Tooling::plain(Machine::HandSaw),
            Setting::Slots {
                centres,
                height: self.middle(&cut.bounds(), cut.along, Phase::Notch),
            },
            Lies {
                down: near(cut.along),
                against: Some(cut.entry),
                leads: None,
            },
        )
    }

    /// Half of a part: in a face by the saw's head or a router, in an edge by saw and chisel.
    pub(super) fn lap(&self, index: usize, cut: &Cut) -> Operation {
        let b = cut.bounds();
        let axes = [LocalAxis::Length, LocalAxis::Width];
        let in_face = cut.entry.axis() == LocalAxis::Thickness;
        let from = axes.map(|axis| {
            let at = b.lo[axis.index()].max(Length::ZERO);
            if at.is_zero() {
                at
            } else {
                at + self.grown(Phase::Lap, near(axis))
            }
        });
        let machine = if in_face {
            Machine::SawHead
        } else {
            Machine::HandSaw
        };
        let op = self.op(
            cut,
            Self::whole(index),
            (Phase::Lap, Process::Lap),
            Tooling::plain(machine),
            Setting::Window {
                from,
                size: axes.map(|axis| b.extent(axis)),
            },
            Lies {
                down: cut.entry,
                against: None,
                leads: None,
            },
        );
        Operation {
            height: op.height.filter(|_| in_face),
            ..op
        }
    }

    /// A taper: from where to which end, and how much comes off there.
    pub(super) fn taper(&self, index: usize, cut: &Cut) -> Operation {
        let (b, i) = (cut.bounds(), LocalAxis::Length.index());
        // Its outline has a point where it begins, and a side at the foot.
        let corners = cut.solids.iter().flat_map(|solid| match solid {
            Solid::Prism { outline, .. } => outline.as_slice(),
            Solid::Box(_) | Solid::Bore { .. } => &[],
        });
        let at_low = corners.filter(|corner| corner[0] == b.lo[i]).count();
        let (starts, foot) = if at_low > 1 {
            (b.hi[i], Side::End)
        } else {
            (b.lo[i], Side::FarEnd)
        };
        Operation {
            height: None,
            ..self.op(
                cut,
                Self::whole(index),
                (Phase::Taper, Process::Taper),
                Tooling::plain(Machine::HandSaw),
                Setting::Tapered {
                    starts,
                    foot,
                    off: cut.depth,
                },
                Lies {
                    down: cut.entry.opposite(),
                    against: Some(cut.entry),
                    leads: None,
                },
            )
        }
    }

    /// A shape: an edge over a cutter, a length on the lathe or by hand.
    pub(super) fn shape(&self, index: usize) -> Option<Operation> {
        let shaped = self.part.shaped.get(index)?;
        let phase = match self.part.bands.is_empty() {
            true => Phase::Shape,
            false => Phase::LateShape,
        };
        let zone = &shaped.zone;
        let along = [zone.lo, zone.hi].map(|corner| corner[LocalAxis::Length.index()]);
        // The surface that the shape leaves: the one further from it lies on the table.
        let t = LocalAxis::Thickness.index();
        let down = match zone.lo[t] <= Length::ZERO {
            true => Side::Face,
            false => Side::Reverse,
        };
        let (process, tooling, setting, height) = match &shaped.shape {
            Shape::Profile { cutter, wide, high } => {
                let cutter = Tooling {
                    cutter: Some(cutter.clone()),
                    listed: Listed::Shop,
                    ..Tooling::plain(Machine::RouterTable)
                };
                let grain = shaped.side.axis() != LocalAxis::Length;
                let setting = Setting::Along { grain, wide: *wide };
                (Process::Profile, cutter, setting, Some(*high))
            }
            Shape::Turned { least } => {
                let setting = Setting::Lengthwise {
                    between: along,
                    least: *least,
                };
                (Process::Turn, Tooling::plain(Machine::Lathe), setting, None)
            }
            Shape::Rounded => {
                let setting = Setting::Lengthwise {
                    between: along,
                    least: None,
                };
                (
                    Process::Round,
                    Tooling::plain(Machine::Bench),
                    setting,
                    None,
                )
            }
        };
        let lies = Lies {
            down,
            against: Some(shaped.side),
            leads: None,
        };
        Some(Operation {
            height,
            ..Operation::new(
                self.at,
                Work::Shape(index),
                (phase, process),
                tooling,
                setting,
                lies,
            )
        })
    }

    /// The slots between fingers, from the reference edge.
    pub(super) fn fingers(&self, index: usize, cut: &Cut) -> Operation {
        let mut spaces: Vec<Space> = cut.solids.iter().map(|s| space(s, cut.entry)).collect();
        spaces.sort();
        self.op(
            cut,
            Self::whole(index),
            (Phase::Lap, Process::Fingers),
            Tooling {
                width: Some(cut.width),
                ..Tooling::plain(Machine::SawHead)
            },
            Setting::Spaces(spaces),
            Lies {
                down: cut.entry,
                against: None,
                leads: None,
            },
        )
    }

    /// Pockets, with the guide that the machine's own sheet describes: their centres along the end.
    pub(super) fn pockets(&self, index: usize, cut: &Cut) -> Operation {
        let mut centres: Vec<Length> = cut
            .solids
            .iter()
            .map(|solid| self.middle(&solid.bounds(), cut.along, Phase::Bore))
            .collect();
        centres.sort();
        self.op(
            cut,
            Self::whole(index),
            (Phase::Bore, Process::PocketHole),
            Tooling::plain(Machine::Drill),
            Setting::Slots {
                centres,
                height: self.part.size.thick.half(),
            },
            Lies {
                down: cut.entry.opposite(),
                against: None,
                leads: None,
            },
        )
    }
}
