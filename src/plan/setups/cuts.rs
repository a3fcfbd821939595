//! From the cuts of the model to operations, each with its setting worked out from the solids.

use super::cutters;
use super::operation::{
    Lies, Listed, Machine, Operation, Phase, Process, Setting, Space, Tooling, Work,
};
use super::stops::{lies, reach, step_stops, stops};
use crate::measure::Length;
use crate::model::{
    Banding, Cut, CutKind, CutterKind, Grain, LocalAxis, LocalBox, Model, Part, PartRef, Piece,
    Side, Solid,
};
use crate::plan::glue_up::layers;

/// A part under the cutter.
pub(super) struct Job<'a> {
    pub(super) model: &'a Model,
    pub(super) at: PartRef,
    pub(super) piece: &'a Piece,
    pub(super) part: &'a Part,
}

/// Every operation that cuts, bores or bands, over the whole commission.
pub(super) fn operations(model: &Model) -> Vec<Operation> {
    let jobs: Vec<Job> = model
        .parts()
        .map(|(at, part)| Job {
            model,
            at,
            piece: model.part(at).0,
            part,
        })
        .collect();
    let mut out: Vec<Operation> = jobs.iter().flat_map(Job::plain).collect();
    // Steps come last: a head that a housing wants anyway is stacked wide enough for many of them.
    let mut stacked: Vec<(Option<String>, Length)> = out
        .iter()
        .filter(|op| op.tooling.machine == Machine::SawHead)
        .filter_map(|op| Some((op.tooling.cutter.clone(), op.tooling.width?)))
        .collect();
    stacked.sort();
    stacked.dedup();
    out.extend(jobs.iter().flat_map(|job| job.steps(&stacked)));
    out
}

/// The near surface of an axis, where the book measures from.
pub(super) fn near(axis: LocalAxis) -> Side {
    match axis {
        LocalAxis::Length => Side::End,
        LocalAxis::Width => Side::Edge,
        LocalAxis::Thickness => Side::Face,
    }
}

/// The strip's own line on its panel, if the part is a strip.
fn banding<'a>(piece: &'a Piece, part: &Part) -> Option<&'a Banding> {
    let host = piece.part(part.host?);
    host.bands.iter().find(|band| band.strip == part.id)
}

impl Job<'_> {
    /// Whether a cut serves a strip that is glued on before the joints are cut.
    fn early(&self, cut: &Cut) -> bool {
        if let Some(own) = banding(self.piece, self.part) {
            return own.early;
        }
        cut.filler
            .and_then(|filler| self.part.bands.iter().find(|band| band.strip == filler))
            .is_some_and(|band| band.early)
    }

    /// What a strip adds to a distance from a surface, once it is on.
    pub(super) fn grown(&self, phase: Phase, side: Side) -> Length {
        let on = |band: &&Banding| {
            band.side == side
                && (phase == Phase::LateBore || (band.early && phase > Phase::EarlyBand))
        };
        let bands = self.part.bands.iter().filter(on);
        // A strip itself stands proud until it is on its panel.
        self.model.proud(self.at).beyond(side) + bands.map(|band| band.thick).sum()
    }

    /// What strips add at both ends of an axis, once they are on.
    fn beyond(&self, phase: Phase, axis: LocalAxis) -> [Length; 2] {
        [near(axis), near(axis).opposite()].map(|side| self.grown(phase, side))
    }

    /// Whether a cut of a strip is made with the panel that it is on.
    fn with_host(&self, cut: &Cut) -> bool {
        let host = self.part.host.map(|id| self.piece.part(id));
        host.is_some_and(|host| self.part.shares(host, cut))
    }

    pub(super) fn op(
        &self,
        cut: &Cut,
        work: Work,
        step: (Phase, Process),
        tooling: Tooling,
        setting: Setting,
        lies: Lies,
    ) -> Operation {
        Operation {
            height: Some(cut.depth),
            kind: Some(cut.kind),
            width: Some(cut.width),
            fit: cut.fit,
            relief: cut.relief,
            joint: cut.joint,
            filler: cut.filler,
            ..Operation::new(self.at, work, step, tooling, setting, lies)
        }
    }

    /// All but rabbets and tongues.
    fn plain(&self) -> Vec<Operation> {
        let mut out = super::sizing::operations(self.model, self.at);
        for (index, cut) in self.part.cuts.iter().enumerate() {
            if self.with_host(cut) {
                continue;
            }
            match cut.kind {
                CutKind::Notch => {
                    out.extend(self.notches(index, cut));
                    continue;
                }
                CutKind::DovetailKey => {
                    out.extend(self.key(index, cut));
                    continue;
                }
                CutKind::Mortise
                | CutKind::LooseMortise
                | CutKind::ButtonSlot
                | CutKind::ScrewSlot => {
                    out.extend(self.mortises(index, cut));
                    continue;
                }
                _ => {}
            }
            out.extend(match cut.kind {
                CutKind::Rabbet
                | CutKind::Tongue
                | CutKind::Tenon
                | CutKind::Notch
                | CutKind::DovetailKey
                | CutKind::Mortise
                | CutKind::LooseMortise
                | CutKind::ButtonSlot
                | CutKind::ScrewSlot => None,
                CutKind::OpenMortise => Some(self.open_mortise(index, cut)),
                CutKind::WedgeSlot => Some(self.wedge_slots(index, cut)),
                CutKind::Lap => Some(self.lap(index, cut)),
                CutKind::Taper => Some(self.taper(index, cut)),
                CutKind::Fingers => Some(self.fingers(index, cut)),
                CutKind::DovetailHousing => Some(self.dovetail_housing(index, cut)),
                CutKind::PocketHole => Some(self.pockets(index, cut)),
                CutKind::Dado | CutKind::Groove | CutKind::EdgeGroove => {
                    Some(self.housing(index, cut))
                }
                CutKind::Tails | CutKind::Sockets => Some(self.dovetail(index, cut)),
                CutKind::Mitre => Some(self.mitre(index, cut)),
                CutKind::SplineSlot => Some(self.spline_slot(index, cut)),
                CutKind::KeySlot => self.key_slots(index, cut),
                CutKind::PinHoles
                | CutKind::CupBore
                | CutKind::PullHole
                | CutKind::ScrewHole
                | CutKind::DowelHole => Some(self.bores(index, cut)),
                CutKind::HingeRecess => Some(self.recess(index, cut)),
                CutKind::BiscuitSlot => Some(self.slots(index, cut)),
                CutKind::EdgeNotch | CutKind::Opening | CutKind::Pocket => {
                    Some(self.cut_out(index, cut))
                }
            });
        }
        out.extend((0..self.part.shaped.len()).filter_map(|index| self.shape(index)));
        let layers = layers(self.model, self.piece, self.part);
        for ((index, band), layer) in self.part.bands.iter().enumerate().zip(layers) {
            let phase = if band.early {
                Phase::EarlyBand
            } else {
                Phase::Band
            };
            let process = if layer.tape {
                Process::Tape
            } else {
                Process::Band
            };
            out.push(Operation {
                filler: Some(band.strip),
                ..Operation::new(
                    self.at,
                    Work::Band(index),
                    (phase, process),
                    Tooling::plain(Machine::Bench),
                    Setting::Strip(layer.number),
                    Lies {
                        down: Side::Reverse,
                        against: Some(band.side),
                        leads: None,
                    },
                )
            });
        }
        out
    }

    /// A housing in a face, or a groove in an edge or end.
    fn housing(&self, index: usize, cut: &Cut) -> Operation {
        let in_face = cut.entry.axis() == LocalAxis::Thickness;
        let (phase, process) = match (in_face, self.early(cut)) {
            (true, false) => (Phase::Housing, Process::Housing),
            (true, true) => (Phase::EarlyGroove, Process::Housing),
            (false, false) => (Phase::EdgeGroove, Process::EdgeGroove),
            (false, true) => (Phase::EarlyGroove, Process::EdgeGroove),
        };
        let (kinds, usual) = if in_face {
            ([CutterKind::Dado, CutterKind::Groove], Machine::SawHead)
        } else {
            ([CutterKind::Groove, CutterKind::Dado], Machine::RouterTable)
        };
        let choice = cutters::housing(&self.model.shop, kinds, usual, cut.width, cut.depth);
        let across = cut.along.third(cut.entry.axis());
        let all = cut.bounds();
        let whole = self.part.size.along(across);
        let (mut lo, mut hi) = (all.lo[across.index()], all.hi[across.index()]);
        let mut fence = near(across);
        if in_face && self.better_turned(cut, across, choice.tooling.machine) {
            (lo, hi, fence) = (whole - hi, whole - lo, fence.opposite());
        }
        let grown = self.grown(phase, fence);
        // Centred in an edge: the same fence from both faces, and the groove is in the middle
        // whatever the thickness.
        let turned = !in_face
            && choice.passes > 1
            && lo + grown == whole - hi + self.grown(phase, fence.opposite());
        let cutter = choice.tooling.width.unwrap_or(cut.width);
        let last = (choice.passes > 1 && !turned).then_some(hi - cutter + grown);
        let lies = lies(&self.part.lay, cut.entry, fence);
        let round = choice.tooling.machine != Machine::SawHead;
        let diameter = if round {
            cutter
        } else {
            choice.across.unwrap_or(self.model.shop.head_diameter)
        };
        let reach = if round {
            diameter.half()
        } else {
            reach(diameter, cut.depth)
        };
        let beyond = self.beyond(phase, cut.along);
        let stops = stops(
            (self.part, index),
            cut,
            beyond,
            &lies,
            (diameter, reach, round),
        );
        if let Some(stops) = stops.filter(|s| !round && s.mostly_arc()) {
            let long = stops.long;
            let (low, high) = if lies.leads.is_some_and(Side::is_far) {
                (stops.after, stops.before)
            } else {
                (stops.before, stops.after)
            };
            let (from, to) = (low, long - high);
            return self.op(
                cut,
                Work::Cut {
                    cut: index,
                    solid: None,
                },
                (phase, process),
                Tooling {
                    machine: Machine::Router,
                    cutter: None,
                    width: Some(cut.width),
                    slope: None,
                    listed: Listed::NotAsked,
                },
                Setting::Guided {
                    wall: lo + grown,
                    from,
                    to,
                },
                Lies {
                    down: cut.entry.opposite(),
                    against: Some(fence),
                    leads: None,
                },
            );
        }
        Operation {
            passes: choice.passes,
            turned,
            stops,
            ..self.op(
                cut,
                Work::Cut {
                    cut: index,
                    solid: None,
                },
                (phase, process),
                choice.tooling,
                Setting::Fence {
                    at: lo + grown,
                    last,
                },
                lies,
            )
        }
    }

    /// Whether a housing is better measured from the far side, the part turned end for end: where its
    /// twin stands as far from the near side, so that one fence does for both; and at a router table,
    /// whose fence does not go back far.
    fn better_turned(&self, cut: &Cut, across: LocalAxis, machine: Machine) -> bool {
        let i = across.index();
        let whole = self.part.size.along(across);
        let all = cut.bounds();
        let far = whole - all.hi[i];
        if far >= all.lo[i] {
            return false;
        }
        let twin = self.part.cuts.iter().any(|other| {
            let b = other.bounds();
            (other.entry, other.along) == (cut.entry, cut.along)
                && (other.width, other.depth) == (cut.width, cut.depth)
                && (b.lo[i], b.hi[i]) == (far, whole - all.lo[i])
        });
        twin || machine == Machine::RouterTable
    }

    /// Rabbets and tongues: one step a solid, with a knife line first where it runs across the grain.
    fn steps(&self, stacked: &[(Option<String>, Length)]) -> Vec<Operation> {
        let mut out = Vec::new();
        for (index, cut) in self.part.cuts.iter().enumerate() {
            let (phase, process) = match cut.kind {
                CutKind::Rabbet => (Phase::Rabbet, Process::Rabbet),
                CutKind::Tongue if self.early(cut) => (Phase::EarlyTongue, Process::Tongue),
                CutKind::Tongue => (Phase::Tongue, Process::Tongue),
                CutKind::Tenon => (Phase::Tongue, Process::Tenon),
                _ => continue,
            };
            if self.with_host(cut) {
                continue;
            }
            let boxes: Vec<LocalBox> = cut.solids.iter().map(Solid::bounds).collect();
            let up = height_axis(cut, &boxes);
            let across = cut.along.third(up);
            for (k, b) in boxes.iter().enumerate() {
                if self.is_end_piece(b, up) {
                    out.push(match process {
                        Process::Tenon => self.corner(index, cut, k, b),
                        _ => self.end_piece(index, cut, k, b, across),
                    });
                    continue;
                }
                let along_fence = lies(
                    &self.part.lay,
                    self.part.side_of(b, up),
                    self.part.side_of(b, across),
                );
                let lies = Lies {
                    leads: None,
                    ..along_fence
                };
                let height =
                    b.extent(up) + self.model.proud(self.at).beyond(self.part.side_of(b, up));
                let exposed = b.extent(across);
                let scored = cut.along == LocalAxis::Width
                    && up == LocalAxis::Thickness
                    && self.part.grain == Grain::Lengthwise;
                if scored {
                    out.push(Operation {
                        kind: Some(cut.kind),
                        joint: cut.joint,
                        ..Operation::new(
                            self.at,
                            Work::Score {
                                cut: index,
                                solid: Some(k),
                            },
                            (Phase::Score, Process::Score),
                            Tooling::plain(Machine::Knife),
                            Setting::Line(exposed),
                            lies,
                        )
                    });
                }
                let choice = cutters::step(
                    &self.model.shop,
                    exposed,
                    height,
                    process == Process::Tenon,
                    stacked,
                );
                let round = choice.tooling.machine != Machine::SawHead;
                let diameter = choice.across.unwrap_or(if round {
                    exposed * 2
                } else {
                    self.model.shop.head_diameter
                });
                let reach = if round {
                    diameter.half()
                } else {
                    reach(diameter, height)
                };
                let cutter = (diameter, reach, round);
                let beyond = self.beyond(phase, cut.along);
                let stops = step_stops((self.part, index), (cut, b), beyond, &along_fence, cutter);
                let lies = if stops.is_some() { along_fence } else { lies };
                out.push(Operation {
                    height: Some(height),
                    width: Some(exposed),
                    passes: choice.passes,
                    stops,
                    ..self.op(
                        cut,
                        Work::Cut {
                            cut: index,
                            solid: Some(k),
                        },
                        (phase, process),
                        choice.tooling,
                        Setting::Exposed(exposed),
                        lies,
                    )
                });
            }
        }
        out
    }

    /// Whether a solid lies at neither side of the tongue: the tongue is cut back there at its end.
    fn is_end_piece(&self, b: &LocalBox, up: LocalAxis) -> bool {
        let i = up.index();
        b.lo[i].is_positive() && b.hi[i] < self.part.size.along(up)
    }

    /// A tongue cut back at its end, by hand.
    fn end_piece(
        &self,
        index: usize,
        cut: &Cut,
        solid: usize,
        b: &LocalBox,
        across: LocalAxis,
    ) -> Operation {
        let phase = if self.early(cut) {
            Phase::EarlyMitre
        } else {
            Phase::Notch
        };
        let work = Work::Cut {
            cut: index,
            solid: Some(solid),
        };
        self.by_hand(cut, work, phase, b, [cut.along, across], [Length::ZERO; 2])
    }

    /// What is sawn off by hand: its size along two axes, and how far inside the part it begins.
    fn by_hand(
        &self,
        cut: &Cut,
        work: Work,
        phase: Phase,
        b: &LocalBox,
        [along, across]: [LocalAxis; 2],
        inside: [Length; 2],
    ) -> Operation {
        Operation {
            height: None,
            ..self.op(
                cut,
                work,
                (phase, Process::Notch),
                Tooling::plain(Machine::HandSaw),
                Setting::Corner {
                    along: b.extent(along),
                    across: b.extent(across),
                    inside,
                },
                Lies {
                    down: Side::Reverse,
                    against: Some(self.part.side_of(b, along)),
                    leads: Some(self.part.side_of(b, across)),
                },
            )
        }
    }

    /// Corners taken off: each is a notch of its own, with its own size.
    fn notches(&self, index: usize, cut: &Cut) -> Vec<Operation> {
        let boxes = cut.solids.iter().map(Solid::bounds).enumerate();
        boxes.map(|(k, b)| self.corner(index, cut, k, &b)).collect()
    }

    /// Wood taken off by hand at an end of the part: a corner, or between two tenons.
    fn corner(&self, index: usize, cut: &Cut, solid: usize, b: &LocalBox) -> Operation {
        let axes = [LocalAxis::Length, LocalAxis::Width];
        let inside = axes.map(|axis| {
            let (i, at) = (axis.index(), self.part.side_of(b, axis));
            let rest = if at.is_far() {
                self.part.size.along(axis) - b.hi[i]
            } else {
                b.lo[i]
            };
            (rest + self.grown(Phase::Notch, at)).max(Length::ZERO)
        });
        let work = Work::Cut {
            cut: index,
            solid: Some(solid),
        };
        self.by_hand(cut, work, Phase::Notch, b, axes, inside)
    }

    fn dovetail(&self, index: usize, cut: &Cut) -> Operation {
        let step = if cut.kind == CutKind::Tails {
            (Phase::Tails, Process::Tails)
        } else {
            (Phase::Sockets, Process::Sockets)
        };
        // Tails are cut from the outside of the corner, their sockets from the inside.
        let outside = if cut.kind == CutKind::Tails {
            cut.entry
        } else {
            cut.entry.opposite()
        };
        let mut spaces: Vec<Space> = cut.solids.iter().map(|s| space(s, outside)).collect();
        spaces.sort();
        self.op(
            cut,
            Work::Cut {
                cut: index,
                solid: None,
            },
            step,
            cutters::dovetail(&self.model.shop, cut.depth),
            Setting::Spaces(spaces),
            Lies {
                down: Side::Reverse,
                against: Some(cut.entry),
                leads: None,
            },
        )
    }

    fn mitre(&self, index: usize, cut: &Cut) -> Operation {
        let across_end = cut.entry.axis() == LocalAxis::Length;
        let phase = if self.early(cut) {
            Phase::EarlyMitre
        } else {
            Phase::Mitre
        };
        let (machine, setting, against) = if across_end {
            (
                Machine::MitreSaw,
                Setting::LongPoint(self.part.size.length),
                cut.entry.opposite(),
            )
        } else {
            (
                Machine::Saw,
                Setting::LongPoint(self.part.size.along(cut.entry.axis())),
                cut.entry.opposite(),
            )
        };
        Operation {
            height: None,
            ..self.op(
                cut,
                Work::Cut {
                    cut: index,
                    solid: None,
                },
                (phase, Process::Mitre),
                Tooling::plain(machine),
                setting,
                Lies {
                    down: Side::Reverse,
                    against: Some(against),
                    leads: None,
                },
            )
        }
    }

    fn bores(&self, index: usize, cut: &Cut) -> Operation {
        let (phase, process) = match cut.kind {
            CutKind::PinHoles => (Phase::Bore, Process::HoleRow),
            CutKind::ScrewHole | CutKind::DowelHole => (Phase::Bore, Process::Bore),
            _ => (Phase::LateBore, Process::Bore),
        };
        // In a face: from the end and the edge. In an edge or end: along it, and from the face.
        let (a, b) = match cut.entry.axis() {
            LocalAxis::Thickness => (LocalAxis::Length, LocalAxis::Width),
            LocalAxis::Width => (LocalAxis::Length, LocalAxis::Thickness),
            LocalAxis::Length => (LocalAxis::Width, LocalAxis::Thickness),
        };
        let centre = |solid: &Solid| {
            let bounds = solid.bounds();
            [a, b].map(|axis| {
                let i = axis.index();
                (bounds.lo[i] + bounds.hi[i]).half() + self.grown(phase, near(axis))
            })
        };
        let mut centres: Vec<[Length; 2]> = cut.solids.iter().map(centre).collect();
        centres.sort();
        let setting = match (process, row(&centres)) {
            (Process::HoleRow, Some(row)) => row,
            _ => Setting::Points(centres),
        };
        let through = cut.depth >= self.part.size.along(cut.entry.axis());
        Operation {
            height: (!through).then_some(cut.depth),
            ..self.op(
                cut,
                Work::Cut {
                    cut: index,
                    solid: None,
                },
                (phase, process),
                cutters::bore(&self.model.shop, cut.width, cut.depth),
                setting,
                Lies {
                    down: cut.entry.opposite(),
                    against: Some(near(b)),
                    leads: None,
                },
            )
        }
    }

    fn recess(&self, index: usize, cut: &Cut) -> Operation {
        let boxes: Vec<LocalBox> = cut.solids.iter().map(Solid::bounds).collect();
        let along = match cut.entry.axis() {
            LocalAxis::Thickness => LocalAxis::Length,
            _ => cut.along,
        };
        let work = Work::Cut {
            cut: index,
            solid: None,
        };
        self.in_a_line(cut, work, (Phase::LateBore, Process::Recess), &boxes, along)
    }

    /// Recesses or mortises of one size in one line: where each begins along it, and where they lie
    /// across it.
    pub(super) fn in_a_line(
        &self,
        cut: &Cut,
        work: Work,
        step: (Phase, Process),
        boxes: &[LocalBox],
        along: LocalAxis,
    ) -> Operation {
        let b = boxes.first().copied().unwrap_or_else(|| cut.bounds());
        let across = along.third(cut.entry.axis());
        let from =
            |b: &LocalBox, axis: LocalAxis| b.lo[axis.index()] + self.grown(step.0, near(axis));
        let mut starts: Vec<Length> = boxes.iter().map(|b| from(b, along)).collect();
        starts.sort();
        starts.dedup();
        self.op(
            cut,
            work,
            step,
            Tooling::plain(Machine::Router),
            Setting::Recess {
                starts,
                back: from(&b, across),
                size: [b.extent(along), b.extent(across)],
            },
            Lies {
                down: cut.entry.opposite(),
                // No fence reaches from an end.
                against: (across != LocalAxis::Length).then(|| near(across)),
                leads: None,
            },
        )
    }

    /// A notch or opening, sawn along lines from a bored corner; a recess, routed with a template.
    fn cut_out(&self, index: usize, cut: &Cut) -> Operation {
        let b = cut.bounds();
        let axes = [LocalAxis::Length, LocalAxis::Width];
        let from = axes.map(|axis| {
            let at = b.lo[axis.index()].max(Length::ZERO);
            // From the part's own edge it is zero, also where a strip is on.
            if at.is_zero() {
                at
            } else {
                at + self.grown(Phase::CutOut, near(axis))
            }
        });
        let machine = if cut.kind == CutKind::Pocket {
            Machine::Router
        } else {
            Machine::HandSaw
        };
        let pocket = cut.kind == CutKind::Pocket;
        let op = self.op(
            cut,
            Work::Cut {
                cut: index,
                solid: None,
            },
            (Phase::CutOut, Process::CutOut),
            Tooling::plain(machine),
            Setting::Window {
                from,
                size: axes.map(|axis| b.extent(axis)),
            },
            Lies {
                down: cut.entry.opposite(),
                against: None,
                leads: None,
            },
        );
        Operation {
            // What goes through has no depth to be set.
            height: op.height.filter(|_| pocket),
            ..op
        }
    }

    fn slots(&self, index: usize, cut: &Cut) -> Operation {
        let a = cut.along;
        let c = a.third(cut.entry.axis());
        let middle = |b: &LocalBox, axis: LocalAxis| {
            (b.lo[axis.index()] + b.hi[axis.index()]).half() + self.grown(Phase::Slot, near(axis))
        };
        let boxes: Vec<LocalBox> = cut.solids.iter().map(Solid::bounds).collect();
        let mut centres: Vec<Length> = boxes.iter().map(|b| middle(b, a)).collect();
        centres.sort();
        self.op(
            cut,
            Work::Cut {
                cut: index,
                solid: None,
            },
            (Phase::Slot, Process::Slot),
            Tooling::plain(Machine::BiscuitCutter),
            Setting::Slots {
                centres,
                height: middle(&cut.bounds(), c),
            },
            Lies {
                down: near(c),
                against: Some(cut.entry),
                leads: None,
            },
        )
    }
}

/// The axis in which a step is as high as the cutter stands: that in which the shoulders of a tongue
/// lie apart; for a rabbet, through the thickness.
fn height_axis(cut: &Cut, boxes: &[LocalBox]) -> LocalAxis {
    let candidates = LocalAxis::ALL
        .into_iter()
        .filter(|axis| *axis != cut.along && *axis != cut.entry.axis());
    let apart = |axis: &LocalAxis| {
        let i = axis.index();
        boxes
            .iter()
            .any(|b| boxes.iter().any(|other| b.hi[i] <= other.lo[i]))
    };
    if cut.kind == CutKind::Rabbet && cut.along != LocalAxis::Thickness {
        return LocalAxis::Thickness;
    }
    let list: Vec<LocalAxis> = candidates.collect();
    list.iter()
        .copied()
        .find(apart)
        .or_else(|| list.first().copied())
        .unwrap_or(LocalAxis::Thickness)
}

/// Centres in one line at one distance.
fn row(centres: &[[Length; 2]]) -> Option<Setting> {
    let [first, back] = *centres.first()?;
    let pitch = centres
        .get(1)
        .map_or(Length::ZERO, |second| second[0] - first);
    let even = centres
        .iter()
        .enumerate()
        .all(|(i, c)| c[1] == back && c[0] == first + pitch * i as i64);
    even.then_some(Setting::Row {
        first,
        pitch,
        count: centres.len() as u32,
        back,
    })
}

/// The walls of a piece of waste across the width, at the `outside` of the corner and at its inside.
pub(super) fn space(solid: &Solid, outside: Side) -> Space {
    let b = solid.bounds();
    let w = LocalAxis::Width.index();
    let whole = [b.lo[w], b.hi[w]];
    let square = Space {
        outside: whole,
        inside: whole,
    };
    let Solid::Prism { axis, outline, .. } = solid else {
        return square;
    };
    // Outline points are in the two other axes, in the order length, width, thickness.
    let (w, d) = match axis {
        LocalAxis::Length => (0, 1),
        LocalAxis::Thickness => (1, 0),
        LocalAxis::Width => return square,
    };
    let depths = outline.iter().map(|p| p[d]);
    let (low, high) = (depths.clone().min(), depths.max());
    let walls = |at: Option<Length>| {
        let on = outline.iter().filter(|p| Some(p[d]) == at).map(|p| p[w]);
        let lo = on.clone().min().unwrap_or(whole[0]);
        [lo, on.max().unwrap_or(lo)]
    };
    let (out, inner) = if outside.is_far() {
        (high, low)
    } else {
        (low, high)
    };
    Space {
        outside: walls(out),
        inside: walls(inner),
    }
}
