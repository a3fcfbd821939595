//! Running figures of a part: every place from the reference edge and end, and from edging that covers them.

use super::{Sheet, edging_before, mm, near};
use crate::draw::dimension::{Mark, Running, Stop, Way};
use crate::draw::scene::{Text, TextSize};
use crate::measure::Length;
use crate::model::{Cut, CutKind, LocalAxis, Part, Solid};

/// Places of interest along an axis of the part, with a figure each: walls, and the middles of
/// what is set by its middle.
pub(super) fn interest(part: &Part, cut: &Cut, axis: LocalAxis) -> Vec<Length> {
    let i = axis.index();
    let end = part.size.along(axis);
    let middle = |s: &Solid| {
        let b = s.bounds();
        (b.lo[i] + b.hi[i]).half()
    };
    match cut.kind {
        CutKind::PinHoles => {
            let all: Vec<Length> = cut.solids.iter().map(middle).collect();
            let mut ends: Vec<Length> = all.iter().min().into_iter().copied().collect();
            ends.extend(all.iter().max());
            ends
        }
        CutKind::CupBore
        | CutKind::PullHole
        | CutKind::ScrewHole
        | CutKind::DowelHole
        | CutKind::PocketHole
        | CutKind::BiscuitSlot => cut
            .solids
            .iter()
            .filter(|_| cut.entry.axis() != axis)
            .map(middle)
            .collect(),
        // Their spacing is told by a drawing of the end.
        CutKind::Tails | CutKind::Sockets | CutKind::Fingers if axis == LocalAxis::Width => {
            Vec::new()
        }
        _ => cut
            .solids
            .iter()
            .map(Solid::bounds)
            .flat_map(|b| [b.lo[i], b.hi[i]])
            .filter(|l| l.is_positive() && *l < end)
            .collect(),
    }
}

/// Where shapes begin and end along an axis of the part.
pub(super) fn shaped_places(part: &Part, axis: LocalAxis) -> Vec<Length> {
    let (i, end) = (axis.index(), part.size.along(axis));
    let zones = part.shaped.iter().map(|shaped| &shaped.zone);
    zones
        .flat_map(|zone| [zone.lo[i], zone.hi[i]])
        .filter(|l| l.is_positive() && *l < end)
        .collect()
}

pub(super) fn unique(mut all: Vec<Length>) -> Vec<Length> {
    all.sort();
    all.dedup();
    all
}

/// Figures along an axis that run from the covered edge: how far it has moved out, and the places
/// from the sawn one.
pub(super) fn after_edging(part: &Part, axis: LocalAxis) -> Option<(Length, Vec<Length>)> {
    let mut moved = Length::ZERO;
    let mut places = Vec::new();
    for cut in &part.cuts {
        let by = edging_before(part, cut, near(axis));
        let own = interest(part, cut, axis);
        if by.is_positive() && !own.is_empty() {
            moved = by;
            places.extend(own);
        }
    }
    (!places.is_empty()).then(|| (moved, unique(places)))
}

impl Sheet<'_> {
    pub(super) fn running(&mut self) {
        // Farther out, so first: the figures of the nearer row lie over its lines.
        self.running_after_edging(LocalAxis::Length);
        self.running_after_edging(LocalAxis::Width);
        let part = self.part;
        let area = self.area();
        let places = |axis: LocalAxis| {
            unique(
                part.cuts
                    .iter()
                    .filter(|cut| edging_before(part, cut, near(axis)).is_zero())
                    .flat_map(|cut| interest(part, cut, axis))
                    .chain(shaped_places(part, axis))
                    .collect(),
            )
        };
        let level: Vec<Mark> = places(LocalAxis::Length)
            .into_iter()
            .filter(|l| *l != part.size.length)
            .map(|l| (l, false))
            .chain([(part.size.length, true)])
            .map(|(l, bold)| Mark {
                at: self.along.x(mm(l)),
                outline: area.y0,
                label: self.figure(l),
                bold,
                red: false,
            })
            .collect();
        let upright: Vec<Mark> = places(LocalAxis::Width)
            .into_iter()
            .filter(|l| *l != part.size.width)
            .map(|l| (l, false))
            .chain([(part.size.width, true)])
            .map(|(l, bold)| Mark {
                at: self.y(mm(l)),
                outline: area.x0,
                label: self.figure(l),
                bold,
                red: false,
            })
            .collect();
        let crowded = |n: usize, room: f64| (n as f64 + 1.0) * 3.7 > room + 24.0;
        let size = |n: usize, room: f64| {
            if crowded(n, room) {
                TextSize::T1
            } else {
                TextSize::T2
            }
        };
        Running {
            way: Way::Level,
            row: area.y0 - 5.5,
            zero: Stop::new(self.along.x(0.0), area.y0),
            size: size(level.len(), area.width()),
            marks: level,
            within: None,
        }
        .draw(&mut self.scene);
        Running {
            way: Way::Upright,
            row: area.x0 - 5.5,
            zero: Stop::new(self.y(0.0), area.x0),
            size: size(upright.len(), area.height()),
            marks: upright,
            within: None,
        }
        .draw(&mut self.scene);
    }

    /// A second ring at the covered edge, for what is set out when the edging is on.
    pub(super) fn running_after_edging(&mut self, axis: LocalAxis) {
        let part = self.part;
        let Some((moved, places)) = after_edging(part, axis) else {
            return;
        };
        let area = self.area();
        let (way, outline, finished) = match axis {
            LocalAxis::Length => (Way::Level, area.y0, part.finished_size.length),
            _ => (Way::Upright, area.x0, part.finished_size.width),
        };
        // Off the figures of the first row, which are as long as the part's own size.
        let row = outline - 20.5;
        let size = part.size.along(axis);
        let paper = |l: Length| {
            let within = l.max(Length::ZERO).min(size);
            let beyond = mm(l - within) * self.factor;
            match axis {
                LocalAxis::Length => {
                    self.along.x(mm(within))
                        + if self.along.flip.is_some() {
                            -beyond
                        } else {
                            beyond
                        }
                }
                _ => self.y(mm(within)) - beyond,
            }
        };
        let mark = |place: Length, bold: bool| Mark {
            at: paper(place),
            outline,
            label: self.figure(place + moved),
            bold,
            red: false,
        };
        let marks: Vec<Mark> = places
            .into_iter()
            .map(|l| mark(l, false))
            .chain([mark(finished - moved, true)])
            .collect();
        let zero = paper(-moved);
        let words = Text::new((0.0, 0.0), "after edging").small().italic();
        let words = match (way, self.along.flip) {
            (Way::Upright, _) => {
                // The words of the other row, at this corner, say it for both.
                let other = after_edging(part, LocalAxis::Length).is_some();
                if other && self.along.flip.is_none() {
                    None
                } else {
                    let mut words = words.upright();
                    words.at = (row + 1.0, paper(finished - moved) - 2.6);
                    Some(words)
                }
            }
            (Way::Level, None) => {
                let mut words = words.end();
                words.at = (zero - 2.6, row + 1.0);
                Some(words)
            }
            (Way::Level, Some(_)) => {
                let mut words = words;
                words.at = (zero + 2.6, row + 1.0);
                Some(words)
            }
        };
        Running {
            way,
            row,
            zero: Stop::new(zero, outline),
            size: TextSize::T2,
            marks,
            within: None,
        }
        .draw(&mut self.scene);
        if let Some(words) = words {
            self.scene.text(words);
        }
    }
}
