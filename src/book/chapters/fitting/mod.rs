//! Chapter 10: where drawers, doors, hinges, pulls and shelf pins go, and the gaps that were planned.
//!
//! Fronts, drawers and rows of holes that are fitted alike share a card; each says its own heights.

mod doors;
mod drawers;
mod shelves;

use super::{Chapter, PartMark, in_place, part_mark};
use crate::book::{Facts, html, piece_name, thing_name};
use crate::draw::fitting as draw;
use crate::measure::{Length, Units};
use crate::model::{
    AssemblyId, AssemblyKind, Box3, CutKind, Edge, Hardware, HardwareId, HardwareKind, HardwareUse,
    Leaf, LeafKind, OpeningId, Part, PartId, Piece, Role,
};
use doors::DoorCard;
use drawers::DrawerCard;
use minijinja::Value;
use serde::Serialize;
use shelves::ShelfCard;

/// Fitting.
pub const CHAPTER: Chapter = Chapter {
    number: 10,
    id: "fitting",
    title: "Fitting",
    template: "fitting.html",
    facts,
};

#[derive(Serialize)]
struct Fitting {
    pieces: Vec<PieceFitting>,
}

#[derive(Serialize)]
struct PieceFitting {
    title: Option<String>,
    letters: Vec<String>,
    unit: &'static str,
    drawers: Vec<DrawerCard>,
    doors: Vec<DoorCard>,
    shelves: Vec<ShelfCard>,
    /// Feet and straps: how many of what.
    fitted: Vec<(u32, String)>,
    /// Hinges of lids: how many of what.
    lid_hinges: Vec<(u32, String)>,
    /// The parts in which they lie.
    lid_parts: Vec<PartMark>,
    /// What lids stand open by: how many of what.
    lid_stays: Vec<(u32, String)>,
    /// Fillers, worktops, kicks, and what holds cases to each other.
    in_place: Option<in_place::InPlace>,
}

/// Anything that is said with one figure.
#[derive(Serialize)]
struct Setting {
    what: String,
    figure: Value,
    why: Option<Value>,
}

#[derive(Serialize)]
struct EdgeFigure {
    edge: &'static str,
    figure: Value,
    negative: bool,
}

/// Gaps and pulls of a front.
#[derive(Serialize)]
struct FrontFacts {
    inset: bool,
    gaps: Vec<EdgeFigure>,
    meeting: Option<Value>,
    pull: Option<PullFacts>,
    /// Catches and locks: how many of what.
    catches: Vec<(u32, String)>,
}

#[derive(Serialize)]
struct PullFacts {
    title: String,
    /// Face and box front together, where the screw goes through both.
    through: Option<Value>,
    bore: Option<Value>,
    centres: Option<Value>,
    places: Vec<(Value, Value)>,
}

/// Prepares the chapter; `None` if nothing is fitted.
pub fn facts(facts: &Facts) -> Option<Value> {
    let mut number = 0;
    let pieces: Vec<PieceFitting> = facts
        .model
        .pieces
        .iter()
        .enumerate()
        .map(|(index, piece)| {
            let one = OfPiece {
                facts,
                index,
                piece,
                units: piece.units,
            };
            let mut fitting = one.fitting();
            let numbers = fitting
                .drawers
                .iter_mut()
                .map(|card| &mut card.number)
                .chain(fitting.doors.iter_mut().map(|card| &mut card.number))
                .chain(fitting.shelves.iter_mut().map(|card| &mut card.number));
            for place in numbers {
                number += 1;
                *place = number;
            }
            if let Some(in_place) = &mut fitting.in_place {
                in_place.before = number;
                number += in_place.cards();
            }
            fitting
        })
        .filter(|p| {
            let fronts = !p.drawers.is_empty() || !p.doors.is_empty();
            let in_place = p.in_place.is_some();
            let fitted = !p.fitted.is_empty() || !p.lid_hinges.is_empty();
            fronts || in_place || fitted || !p.shelves.is_empty()
        })
        .collect();
    (!pieces.is_empty()).then(|| html::value(&Fitting { pieces }))
}

/// One piece with what is needed to speak of it.
struct OfPiece<'a> {
    facts: &'a Facts<'a>,
    index: usize,
    piece: &'a Piece,
    units: Units,
}

impl<'a> OfPiece<'a> {
    fn fitting(&self) -> PieceFitting {
        PieceFitting {
            title: self
                .facts
                .many()
                .then(|| piece_name(self.facts, self.piece)),
            letters: self.piece.letters.clone(),
            unit: self.units.name(),
            drawers: self.drawers(),
            doors: self.doors(),
            shelves: self
                .piece
                .shelves
                .iter()
                .map(|set| self.shelf(set))
                .collect(),
            fitted: self.fitted(|_, kind| matches!(kind, HardwareKind::Foot | HardwareKind::Strap)),
            lid_hinges: self
                .fitted(|row, kind| self.of_case(row) && matches!(kind, HardwareKind::Hinge(_))),
            lid_parts: self.lid_parts(),
            lid_stays: self
                .fitted(|row, kind| self.of_case(row) && matches!(kind, HardwareKind::Stay { .. })),
            in_place: in_place::facts(self.facts, self.index, self.piece),
        }
    }

    /// Hardware of the kinds that are wanted, each sort once.
    fn fitted(&self, wanted: impl Fn(&HardwareUse, &HardwareKind) -> bool) -> Vec<(u32, String)> {
        let mut out: Vec<(HardwareId, u32)> = Vec::new();
        for row in &self.piece.hardware {
            let kind = self.hardware(row.hardware).map(|hardware| &hardware.kind);
            if !kind.is_some_and(|kind| wanted(row, kind)) {
                continue;
            }
            match out.iter_mut().find(|(id, _)| *id == row.hardware) {
                Some((_, n)) => *n = n.saturating_add(row.count),
                None => out.push((row.hardware, row.count)),
            }
        }
        out.into_iter()
            .filter_map(|(id, n)| Some((n, self.hardware(id)?.title.clone())))
            .collect()
    }

    /// Of a case itself, not of its fronts.
    fn of_case(&self, row: &HardwareUse) -> bool {
        self.piece.assembly(row.assembly).kind == AssemblyKind::Case
    }

    /// The parts with recesses for the hinges of lids: not those of doors.
    fn lid_parts(&self) -> Vec<PartMark> {
        let of_door = |part: &Part| {
            let doors = self.piece.leaves.iter();
            let own = |leaf: &Leaf| self.piece.part(leaf.part).assembly == part.assembly;
            doors.filter(|leaf| !leaf.hinges.is_empty()).any(own)
        };
        let recessed = |part: &&Part| {
            let mut cuts = part.cuts.iter();
            cuts.any(|cut| cut.kind == CutKind::HingeRecess) && !of_door(part)
        };
        let parts = self.piece.parts.iter().filter(recessed);
        let mut out: Vec<PartMark> = parts.filter_map(|part| self.mark(part.id)).collect();
        out.sort_by_key(|mark| mark.mark);
        out.dedup_by_key(|mark| mark.mark);
        out
    }

    fn figure(&self, length: Length) -> Value {
        html::figure(self.units, length)
    }

    fn column(&self, length: Length) -> Value {
        html::figure_column(self.units, length)
    }

    fn edge(&self, edge: &'static str, length: Length) -> EdgeFigure {
        EdgeFigure {
            edge,
            figure: self.column(length.abs()),
            negative: length.is_negative(),
        }
    }

    fn mark(&self, part: PartId) -> Option<PartMark> {
        part_mark(self.facts, self.index, part)
    }

    fn hardware(&self, id: HardwareId) -> Option<&'a Hardware> {
        self.facts.model.hardware.get(id.0 as usize)
    }

    /// `well` for `body.well`.
    fn opening_name(&self, id: OpeningId) -> String {
        let path = &self.piece.opening(id).path;
        let own = path.rsplit('.').next().unwrap_or(path).replace('_', " ");
        // Of several cases each may have one of this name.
        let under = |name: &str| path.strip_prefix(name).is_some_and(|r| r.starts_with('.'));
        let cases = self.piece.cases.iter().filter(|case| under(&case.name));
        let case = cases.max_by_key(|case| case.name.len());
        match case.filter(|_| self.piece.cases.len() > 1) {
            Some(case) => {
                let case = &self.piece.assembly(case.assembly).label;
                format!("{own} of {}", html::small(case))
            }
            None => own,
        }
    }

    /// The panel at an edge of an opening.
    fn panel(&self, opening: OpeningId, edge: Edge) -> Option<PartId> {
        let bounds = &self.piece.opening(opening).bounds;
        bounds
            .iter()
            .find(|(e, _)| *e == edge)
            .map(|(_, part)| *part)
    }

    /// The lower end of a panel in the piece.
    fn foot(&self, part: PartId) -> Length {
        self.piece.part(part).finished.lo[2]
    }

    fn front(&self, leaf: &Leaf) -> FrontFacts {
        FrontFacts {
            inset: leaf.inset,
            gaps: draw::edges(&leaf.gaps)
                .into_iter()
                .filter(|(edge, _)| leaf.meeting.is_none_or(|(meeting, _)| meeting != *edge))
                .map(|(edge, gap)| self.edge(edge.word(), gap))
                .collect(),
            meeting: leaf.meeting.map(|(_, gap)| self.column(gap)),
            pull: self.pull(leaf),
            catches: leaf
                .catches
                .iter()
                .filter_map(|(id, count)| Some((*count, self.hardware(*id)?.title.clone())))
                .collect(),
        }
    }

    fn pull(&self, leaf: &Leaf) -> Option<PullFacts> {
        let first = leaf.pulls.first()?;
        let hardware = self.hardware(first.hardware);
        let (bore, centres) = match hardware.map(|h| &h.kind) {
            Some(HardwareKind::Pull { bore, centres }) => (Some(*bore), *centres),
            _ => (None, None),
        };
        let through = leaf
            .drawer
            .filter(|_| leaf.kind == LeafKind::DrawerFace)
            .and_then(|id| {
                let front = self
                    .piece
                    .parts
                    .iter()
                    .find(|part| part.assembly == id && part.role == Role::DrawerFront)?;
                let face = self.piece.part(leaf.part);
                Some(self.figure(face.finished_size.thick + front.finished_size.thick))
            });
        Some(PullFacts {
            through,
            title: hardware.map_or_else(String::new, |h| h.title.clone()),
            bore: bore.map(|length| self.figure(length)),
            centres: centres.map(|length| self.figure(length)),
            places: leaf
                .pulls
                .iter()
                .map(|pull| (self.column(pull.from_left), self.column(pull.from_bottom)))
                .collect(),
        })
    }
}

/// A thing by its name, and by its place in an array.
fn numbered(piece: &Piece, id: AssemblyId) -> String {
    let name = thing_name(piece, id);
    let path = &piece.assembly(id).path;
    let last = path
        .rsplit_once(']')
        .and_then(|(before, _)| before.rsplit_once('['));
    match last {
        Some((_, index)) => format!("{name} {}", index.replace(',', ", ")),
        None => name,
    }
}

/// Each name once, with how many bear it.
fn counted(names: &[String]) -> Vec<String> {
    let mut out: Vec<(&String, u32)> = Vec::new();
    for name in names {
        match out.iter_mut().find(|(known, _)| *known == name) {
            Some((_, n)) => *n += 1,
            None => out.push((name, 1)),
        }
    }
    let words = |(name, n): (&String, u32)| match n {
        1 => name.clone(),
        n => format!("{n}\u{202f}×\u{202f}{name}"),
    };
    out.into_iter().map(words).collect()
}

fn pulls(leaf: &Leaf) -> Vec<(HardwareId, Length, Length)> {
    leaf.pulls
        .iter()
        .map(|pull| (pull.hardware, pull.from_left, pull.from_bottom))
        .collect()
}

/// A box seen from another origin.
fn shifted(b: &Box3, origin: &[Length; 3]) -> Box3 {
    let mut out = *b;
    for (place, from) in out.lo.iter_mut().zip(origin) {
        *place -= *from;
    }
    for (place, from) in out.hi.iter_mut().zip(origin) {
        *place -= *from;
    }
    out
}
