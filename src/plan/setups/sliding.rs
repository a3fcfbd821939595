//! Dovetails that slide: the key along an end over a bit at the router table, a wall at a time; the housing
//! for it with the router in the hands, along a guide.

use super::cuts::{Job, near};
use super::cutters;
use super::operation::{Lies, Machine, Operation, Phase, Process, Setting, Sliding, Tooling, Work};
use crate::measure::Length;
use crate::model::{Cut, LocalAxis, Solid};

/// Where two walls are: the one nearer to the reference side, and the other.
type Walls = [Length; 2];

impl Job<'_> {
    /// The bit for walls that lean by `flare` over the depth of a cut.
    fn dovetail_bit(&self, machine: Machine, cut: &Cut, flare: Length) -> Tooling {
        let deep = cut.depth - cut.relief;
        Tooling {
            machine,
            slope: flare.is_positive().then(|| deep.ratio(flare)),
            ..cutters::dovetail(&self.model.shop, cut.depth)
        }
    }

    /// The key along an end, which stands on the table: each wall with its own side to the fence. Where one
    /// wall leans along the end too, a shim holds the part off the fence at the end that is to be wide.
    pub(super) fn key(&self, index: usize, cut: &Cut) -> Vec<Operation> {
        let across = cut.along.third(cut.entry.axis());
        let exposed = |solid: &Solid| solid.bounds().extent(across);
        // The wall that leans along the end takes the flare and more.
        let flare = cut.solids.iter().map(exposed).min().unwrap_or_default();
        let wall = |(k, solid): (usize, &Solid)| {
            let leans = matches!(solid, Solid::Prism { far: Some(_), .. });
            let setting = match cut.lean().filter(|_| leans) {
                Some((shim, narrow)) => Setting::Shimmed {
                    exposed: exposed(solid),
                    shim,
                    at: narrow.opposite(),
                },
                None => Setting::Exposed(exposed(solid)),
            };
            self.op(
                cut,
                Work::Cut {
                    cut: index,
                    solid: Some(k),
                },
                (Phase::Tongue, Process::DovetailKey),
                self.dovetail_bit(Machine::RouterTable, cut, flare),
                setting,
                Lies {
                    down: cut.entry,
                    against: Some(self.part.side_of(&solid.bounds(), across)),
                    leads: None,
                },
            )
        };
        cut.solids.iter().enumerate().map(wall).collect()
    }

    /// The housing for a key: its walls at the surface and at the floor, and how far it runs. A side is too
    /// long to be run along a fence by its end.
    pub(super) fn dovetail_housing(&self, index: usize, cut: &Cut) -> Operation {
        let across = cut.along.third(cut.entry.axis());
        let ends = [false, true].map(|high| walls(cut, across, high));
        let flare = ends[0].0[0] - ends[0].1[0];
        let grown = |axis| self.grown(Phase::Housing, near(axis));
        let from_reference = |walls: Walls| walls.map(|wall| wall + grown(across));
        let (bounds, i) = (cut.bounds(), cut.along.index());
        // From the part's own edge it is zero, also where a strip is on.
        let from = match bounds.lo[i].is_positive() {
            true => bounds.lo[i] + grown(cut.along),
            false => Length::ZERO,
        };
        let through = bounds.hi[i] >= self.part.size.along(cut.along);
        self.op(
            cut,
            Self::whole(index),
            (Phase::Housing, Process::DovetailHousing),
            self.dovetail_bit(Machine::Router, cut, flare),
            Setting::Sliding(Box::new(Sliding {
                from,
                to: (!through).then(|| bounds.hi[i] + grown(cut.along)),
                mouth: ends.map(|(mouth, _)| from_reference(mouth)),
                floor: ends.map(|(_, floor)| from_reference(floor)),
            })),
            Lies {
                down: cut.entry.opposite(),
                against: Some(near(across)),
                leads: None,
            },
        )
    }
}

/// The walls of a housing at the surface and at the floor, at the low or high end of its run.
fn walls(cut: &Cut, across: LocalAxis, high: bool) -> (Walls, Walls) {
    // Corners have their places along the two axes beside that of the run, in order.
    let (a, d) = match across.index() < cut.entry.axis().index() {
        true => (0, 1),
        false => (1, 0),
    };
    let corners = || {
        cut.solids.iter().flat_map(move |solid| match solid {
            Solid::Prism { outline, far, .. } => {
                far.as_ref().filter(|_| high).unwrap_or(outline).as_slice()
            }
            Solid::Box(_) | Solid::Bore { .. } => &[],
        })
    };
    let depths = || corners().map(|corner| corner[d]);
    let surface = match cut.entry.is_far() {
        true => depths().max(),
        false => depths().min(),
    };
    let spread = |places: Vec<Length>| {
        let least = places.iter().min().copied().unwrap_or_default();
        [least, places.into_iter().max().unwrap_or_default()]
    };
    let at_surface = corners().filter(|corner| Some(corner[d]) == surface);
    (
        spread(at_surface.map(|corner| corner[a]).collect()),
        spread(corners().map(|corner| corner[a]).collect()),
    )
}
