//! Chapter 10: where drawers, doors, hinges, pulls and shelf pins go, and the gaps that were planned.
//!
//! Fronts, drawers and rows of holes that are fitted alike share a card; each says its own heights.

use super::{Chapter, PartMark, in_place, part_mark};
use crate::book::{Facts, html, piece_name, thing_name};
use crate::draw::fitting as draw;
use crate::measure::{Length, Units};
use crate::model::{
    AssemblyId, AssemblyKind, Axis, Box3, CutKind, Drawer, Edge, Hardware, HardwareId,
    HardwareKind, HardwareUse, Hinge, Leaf, LeafKind, OpeningId, Part, PartId, Piece, PinRow, Role,
    RunnerPlace, ShelfSet,
};
use minijinja::Value;
use serde::Serialize;

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
struct DrawerCard {
    number: u32,
    names: Vec<String>,
    runner: Option<RunnerWords>,
    sketch: Value,
    settings: Vec<Setting>,
    sums: Vec<Sum>,
    members: Vec<DrawerMember>,
    /// How far the applied face stands beyond the box at each edge.
    face: Vec<EdgeFigure>,
    front: Option<FrontFacts>,
}

#[derive(Serialize)]
struct RunnerWords {
    /// `side` or `wooden`.
    kind: &'static str,
    title: String,
}

/// Opening against box, in one direction.
#[derive(Serialize)]
struct Sum {
    way: &'static str,
    opening: Value,
    outside: Value,
    room: Value,
    /// The room at each end, with its name.
    ends: Vec<EdgeFigure>,
}

#[derive(Serialize)]
struct EdgeFigure {
    edge: &'static str,
    figure: Value,
    negative: bool,
}

#[derive(Serialize)]
struct DrawerMember {
    name: String,
    opening: String,
    panels: Vec<PartMark>,
    height: Option<Value>,
    floor: Value,
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

#[derive(Serialize)]
struct DoorCard {
    number: u32,
    names: Vec<String>,
    marks: Vec<PartMark>,
    /// How it hangs, in words.
    hung: Option<String>,
    /// Whether it turns about a level line.
    flap: bool,
    size: Value,
    sketch: Value,
    hinge: Option<String>,
    count: usize,
    /// Whether it hangs on butts.
    butts: bool,
    settings: Vec<Setting>,
    members: Vec<DoorMember>,
    front: FrontFacts,
    /// The rows of the case that take the screws of the plates.
    plates: Option<PlateWords>,
    /// Where the stays of a flap are screwed on.
    stays: Option<StayWords>,
}

#[derive(Serialize)]
struct StayWords {
    title: String,
    /// The edge that the flap hangs on.
    hung: &'static str,
    /// On each of these, in the order of the members.
    panels: Vec<PartMark>,
    on_flap: Option<Value>,
    /// Behind the line on which the flap turns, and along the side from it.
    behind: Value,
    on_panel: Option<Value>,
    sum: Option<Value>,
}

#[derive(Serialize)]
struct PlateWords {
    rows: String,
    /// Behind the front edge of what they are screwed to.
    set_back: Option<Value>,
}

#[derive(Serialize)]
struct DoorMember {
    name: String,
    panel: Option<PartMark>,
    /// Hinges above the panel's lower end, from the bottom up.
    on_panel: Vec<Value>,
    /// The same above the opening's floor.
    on_floor: Vec<Value>,
    /// The two holes of each plate, counted from the lowest.
    holes: Vec<(u32, u32)>,
}

#[derive(Serialize)]
struct ShelfCard {
    number: u32,
    name: String,
    opening: String,
    count: usize,
    size: Option<Value>,
    mark: Option<PartMark>,
    pins: Option<PinWords>,
    /// The case's rows, if the holes are of those.
    in_rows: Option<String>,
    rows: Vec<RowFacts>,
}

#[derive(Serialize)]
struct PinWords {
    title: String,
    each: u32,
    diameter: Option<Value>,
    deep: Option<Value>,
}

#[derive(Serialize)]
struct RowFacts {
    panels: Vec<PartMark>,
    set_back: Value,
    first: Value,
    last: Value,
    pitch: Value,
    count: u32,
    floor: Value,
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

    fn drawers(&self) -> Vec<DrawerCard> {
        let mut cards: Vec<(String, DrawerCard)> = Vec::new();
        for drawer in &self.piece.drawers {
            let opening = self.piece.opening(drawer.opening);
            let front = self
                .piece
                .leaves
                .iter()
                .find(|leaf| leaf.drawer == Some(drawer.assembly));
            let relative = |b: &Box3| shifted(b, &opening.clear.lo);
            let key = format!(
                "{:?}",
                (
                    relative(&opening.clear),
                    relative(&opening.daylight),
                    relative(&drawer.outside),
                    &drawer.runner,
                    front.map(|leaf| (
                        relative(&self.piece.leaf_box(leaf)),
                        leaf.kind,
                        leaf.inset,
                        leaf.gaps,
                        pulls(leaf),
                        &leaf.catches
                    ))
                )
            );
            let member = self.drawer_member(drawer);
            let name = thing_name(self.piece, drawer.assembly);
            match cards.iter_mut().find(|(known, _)| *known == key) {
                Some((_, card)) => {
                    card.names.push(name);
                    card.members.push(member);
                }
                None => cards.push((key, self.drawer_card(drawer, front, name, member))),
            }
        }
        let of_each = |(_, mut card): (String, DrawerCard)| {
            card.names = counted(&card.names);
            card
        };
        cards.into_iter().map(of_each).collect()
    }

    fn drawer_member(&self, drawer: &Drawer) -> DrawerMember {
        let panels: Vec<PartId> = [Edge::Left, Edge::Right]
            .into_iter()
            .filter_map(|edge| self.panel(drawer.opening, edge))
            .collect();
        let low = drawer.outside.lo[2];
        DrawerMember {
            name: numbered(self.piece, drawer.assembly),
            opening: self.opening_name(drawer.opening),
            height: panels
                .first()
                .map(|part| self.column(low - self.foot(*part))),
            panels: panels
                .into_iter()
                .filter_map(|part| self.mark(part))
                .collect(),
            floor: self.column(low - self.piece.opening(drawer.opening).clear.lo[2]),
        }
    }

    fn drawer_card(
        &self,
        drawer: &Drawer,
        front: Option<&Leaf>,
        name: String,
        member: DrawerMember,
    ) -> DrawerCard {
        let opening = self.piece.opening(drawer.opening);
        // Side runners stand between the panels; a drawer on wood runs in the daylight.
        let room = match drawer.runner {
            Some(RunnerPlace::Side { .. }) | None => Box3 {
                lo: [
                    opening.clear.lo[0],
                    opening.clear.lo[1],
                    opening.daylight.lo[2],
                ],
                hi: [
                    opening.clear.hi[0],
                    opening.clear.hi[1],
                    opening.daylight.hi[2],
                ],
            },
            Some(RunnerPlace::Wooden { .. }) => Box3 {
                lo: [
                    opening.daylight.lo[0],
                    opening.clear.lo[1],
                    opening.daylight.lo[2],
                ],
                hi: [
                    opening.daylight.hi[0],
                    opening.clear.hi[1],
                    opening.daylight.hi[2],
                ],
            },
        };
        let face = front
            .filter(|leaf| leaf.kind == LeafKind::DrawerFace)
            .map(|leaf| self.piece.leaf_box(leaf));
        let sketch = draw::drawer(
            self.units,
            &room,
            &drawer.outside,
            face.as_ref(),
            &format!("{name} in its opening, seen from the front"),
        );
        let runner = drawer.runner.as_ref().map(|runner| self.runner(runner));
        DrawerCard {
            number: 0,
            names: vec![name],
            runner,
            sketch: html::svg(&sketch),
            settings: self.drawer_settings(drawer),
            sums: self.sums(&room, &drawer.outside),
            members: vec![member],
            face: face.map_or_else(Vec::new, |face| self.beyond(&face, &drawer.outside)),
            front: front.map(|leaf| self.front(leaf)),
        }
    }

    fn runner(&self, runner: &RunnerPlace) -> RunnerWords {
        match runner {
            RunnerPlace::Side { hardware, .. } => RunnerWords {
                kind: "side",
                title: self
                    .hardware(*hardware)
                    .map_or_else(String::new, |h| h.title.clone()),
            },
            RunnerPlace::Wooden { .. } => RunnerWords {
                kind: "wooden",
                title: String::new(),
            },
        }
    }

    fn drawer_settings(&self, drawer: &Drawer) -> Vec<Setting> {
        match &drawer.runner {
            Some(RunnerPlace::Side {
                box_above_floor,
                set_back,
                ..
            }) => vec![
                Setting {
                    what: "Lower edge of the box above the opening’s floor".to_owned(),
                    figure: self.figure(*box_above_floor),
                    why: Some(Value::from(if box_above_floor.is_positive() {
                        "a block of this height carries it while you fit"
                    } else {
                        "nothing is left below: the runner states no room there, and the box scrapes"
                    })),
                },
                Setting {
                    what: "Runner’s front end behind the front of the case".to_owned(),
                    figure: self.figure(*set_back),
                    why: None,
                },
            ],
            Some(RunnerPlace::Wooden { gap }) => vec![Setting {
                what: "Gap at each side".to_owned(),
                figure: self.figure(*gap),
                why: Some(Value::from("plane the sides until it runs, no more")),
            }],
            None => Vec::new(),
        }
    }

    fn sums(&self, room: &Box3, outside: &Box3) -> Vec<Sum> {
        [
            ("wide", Axis::X, ["left", "right"]),
            ("high", Axis::Z, ["below", "above"]),
            ("deep", Axis::Y, ["in front", "behind"]),
        ]
        .into_iter()
        .map(|(way, axis, [low, high])| {
            let i = axis.index();
            Sum {
                way,
                opening: self.column(room.extent(axis)),
                outside: self.column(outside.extent(axis)),
                room: self.column(room.extent(axis) - outside.extent(axis)),
                ends: vec![
                    self.edge(low, outside.lo[i] - room.lo[i]),
                    self.edge(high, room.hi[i] - outside.hi[i]),
                ],
            }
        })
        .collect()
    }

    /// How far a face stands beyond its box; negative where the box is larger.
    fn beyond(&self, face: &Box3, outside: &Box3) -> Vec<EdgeFigure> {
        [Edge::Left, Edge::Right, Edge::Top, Edge::Bottom]
            .into_iter()
            .map(|edge| {
                let out = face.face(edge) - outside.face(edge);
                self.edge(edge.word(), if edge.is_high() { out } else { -out })
            })
            .collect()
    }

    fn doors(&self) -> Vec<DoorCard> {
        let mut cards: Vec<(String, DoorCard)> = Vec::new();
        let doors = self.piece.leaves.iter().filter(|leaf| leaf.kind.turns());
        for leaf in doors {
            let part = self.piece.part(leaf.part);
            let hinges: Vec<_> = leaf
                .hinges
                .iter()
                .map(|hinge| (hinge.hardware, hinge.along_leaf))
                .collect();
            let floor = self.piece.opening(leaf.opening).clear.lo;
            let above = [0, 2].map(|i| part.finished.lo[i] - floor[i]);
            let stays: Vec<_> = leaf
                .stays
                .iter()
                .map(|s| (s.hardware, s.from_hung))
                .collect();
            let key = format!(
                "{:?}",
                (
                    part.finished_size,
                    leaf.hung,
                    hinges,
                    if level(leaf) { above[0] } else { above[1] },
                    stays,
                    leaf.inset,
                    leaf.gaps,
                    leaf.meeting,
                    pulls(leaf),
                    &leaf.catches,
                    plates_in(leaf)
                )
            );
            let name = thing_name(self.piece, part.assembly);
            let member = self.door_member(leaf, &numbered(self.piece, part.assembly));
            let mark = self.mark(leaf.part);
            match cards.iter_mut().find(|(known, _)| *known == key) {
                Some((_, card)) => {
                    card.names.push(name);
                    card.members.push(member);
                    card.marks.extend(mark);
                    let panels = self.stay_panels(leaf);
                    card.stays
                        .iter_mut()
                        .for_each(|s| s.panels.extend(panels.clone()));
                }
                None => cards.push((key, self.door_card(leaf, name, member, mark))),
            }
        }
        let of_each = |(_, mut card): (String, DoorCard)| {
            card.names = counted(&card.names);
            card
        };
        cards.into_iter().map(of_each).collect()
    }

    /// What a door hangs on: the member of a face frame at that edge of the daylight, or the panel.
    fn post(&self, leaf: &Leaf) -> Option<PartId> {
        let edge = leaf.hung?;
        let daylight = &self.piece.opening(leaf.opening).daylight;
        let stile = self.piece.parts.iter().find(|part| {
            let b = &part.finished;
            let i = edge.axis().third(Axis::Y).index();
            matches!(part.role, Role::FaceStile | Role::FaceRail)
                && b.face(edge.opposite()) == daylight.face(edge)
                && b.lo[i] <= daylight.lo[i]
                && daylight.hi[i] <= b.hi[i]
        });
        stile
            .map(|part| part.id)
            .or_else(|| self.panel(leaf.opening, edge))
    }

    fn door_member(&self, leaf: &Leaf, name: &str) -> DoorMember {
        let panel = self.post(leaf);
        let i = if level(leaf) { 0 } else { 2 };
        let floor = self.piece.opening(leaf.opening).clear.lo[i];
        let heights = |from: Length| {
            leaf.hinges
                .iter()
                .map(|hinge| self.column(hinge.place - from))
                .collect()
        };
        let start = |id: PartId| match i {
            0 => self.piece.part(id).core.lo[0],
            _ => self.foot(id),
        };
        DoorMember {
            name: name.to_owned(),
            panel: panel.and_then(|part| self.mark(part)),
            on_panel: panel.map_or_else(Vec::new, |part| heights(start(part))),
            on_floor: heights(floor),
            holes: leaf
                .hinges
                .iter()
                .filter_map(|hinge| hinge.plate.as_ref())
                .map(|plate| (plate.hole, plate.hole + 1))
                .collect(),
        }
    }

    fn door_card(
        &self,
        leaf: &Leaf,
        name: String,
        member: DoorMember,
        mark: Option<PartMark>,
    ) -> DoorCard {
        let finished = self.piece.leaf_box(leaf);
        let (wide, high) = (finished.extent(Axis::X), finished.extent(Axis::Z));
        let hardware = leaf.hinges.first().and_then(|h| self.hardware(h.hardware));
        let hinge = match hardware.map(|h| &h.kind) {
            Some(HardwareKind::Hinge(hinge)) => Some(hinge),
            _ => None,
        };
        let hinges: Vec<Length> = leaf.hinges.iter().map(|h| h.along_leaf).collect();
        let pulls: Vec<(Length, Length)> = leaf
            .pulls
            .iter()
            .map(|pull| (pull.from_left, pull.from_bottom))
            .collect();
        let (cup, butt) = match hinge {
            Some(Hinge::Cup { diameter, rim, .. }) => {
                (Some((*rim + diameter.half(), *diameter)), None)
            }
            Some(Hinge::Butt { long, .. }) => (None, Some(*long)),
            None => (None, None),
        };
        let title = format!("{name}, seen from the front");
        let sketch = draw::door(&draw::DoorView {
            units: self.units,
            wide,
            high,
            hung: leaf.hung,
            hinges: &hinges,
            cup,
            butt,
            pulls: &pulls,
            title: &title,
        });
        let mut settings = hinge.map_or_else(Vec::new, |hinge| self.hinge_settings(hinge));
        if let Some(covers) = leaf.covers {
            settings.push(Setting {
                what: "Covers the case at the hung edge".to_owned(),
                figure: self.figure(covers),
                why: None,
            });
        }
        DoorCard {
            number: 0,
            names: vec![name],
            marks: mark.into_iter().collect(),
            hung: leaf.hung.map(hung_words),
            flap: level(leaf),
            size: html::sizes(self.units, &[wide, high]),
            sketch: html::svg(&sketch),
            hinge: hardware.map(|h| h.title.clone()),
            count: leaf.hinges.len(),
            butts: butt.is_some(),
            settings,
            members: vec![member],
            front: self.front(leaf),
            plates: plates_in(leaf).map(|rows| self.plates(leaf, rows)),
            stays: self.stays(leaf),
        }
    }

    /// Where the stays of a flap are screwed on.
    fn stays(&self, leaf: &Leaf) -> Option<StayWords> {
        let stay = leaf.stays.first()?;
        let shown = |length: Length| html::figure_markup(self.units, length);
        Some(StayWords {
            title: self
                .hardware(stay.hardware)
                .map_or_else(String::new, |h| h.title.clone()),
            hung: leaf.hung.map_or("", Edge::word),
            panels: self.stay_panels(leaf),
            on_flap: stay.from_hung.map(|length| self.figure(length)),
            on_panel: stay.from_pin().map(|length| self.figure(length)),
            behind: self.figure(stay.behind),
            sum: stay.long.zip(stay.from_hung).map(|(long, from)| {
                let root = format!("√({}² − {}²)", shown(long), shown(from + stay.behind));
                html::safe(match stay.rise.is_zero() {
                    true => root,
                    false => format!("{root} + {}", shown(stay.rise)),
                })
            }),
        })
    }

    fn stay_panels(&self, leaf: &Leaf) -> Vec<PartMark> {
        let stays = leaf.stays.iter();
        stays.filter_map(|stay| self.mark(stay.part)).collect()
    }

    /// Where the plates of a door's hinges are screwed on.
    fn plates(&self, leaf: &Leaf, rows: &str) -> PlateWords {
        let panel = leaf.hung.and_then(|edge| self.panel(leaf.opening, edge));
        let named = self.piece.rows.iter().filter(|shared| {
            let name = shared.path.rsplit_once('.').map(|(_, name)| name);
            name == Some(rows)
        });
        let mut all = named.flat_map(|shared| &shared.rows);
        // The front row comes first.
        let row = all.find(|row| Some(row.part) == panel);
        PlateWords {
            rows: rows.replace('_', " "),
            set_back: row.map(|row| self.figure(row.set_back)),
        }
    }

    fn hinge_settings(&self, hinge: &Hinge) -> Vec<Setting> {
        match hinge {
            Hinge::Cup {
                diameter,
                deep,
                rim,
                ..
            } => vec![
                Setting {
                    what: "Centre of the cup from the leaf’s edge".to_owned(),
                    figure: self.figure(*rim + diameter.half()),
                    why: Some(html::safe(format!(
                        "rim {} + half of {}",
                        html::figure_markup(self.units, *rim),
                        html::figure_markup(self.units, *diameter)
                    ))),
                },
                Setting {
                    what: "Bore, diameter × depth".to_owned(),
                    figure: html::sizes(self.units, &[*diameter, *deep]),
                    why: None,
                },
            ],
            Hinge::Butt { long, wide, thick } => vec![Setting {
                what: "Recess, along × across × deep".to_owned(),
                figure: html::sizes(self.units, &[*long, *wide, *thick]),
                why: Some(Value::from("the hinge’s own leaf; try it in a scrap first")),
            }],
        }
    }

    fn shelf(&self, set: &ShelfSet) -> ShelfCard {
        let floor = self.piece.opening(set.opening).clear.lo[2];
        let mut rows: Vec<(&PinRow, Vec<PartId>)> = Vec::new();
        for row in &set.rows {
            let alike = |a: &PinRow| {
                (
                    a.set_back,
                    a.first_z - self.foot(a.part),
                    a.first_z,
                    a.pitch,
                    a.count,
                )
            };
            match rows
                .iter_mut()
                .find(|(known, _)| alike(known) == alike(row))
            {
                Some((_, parts)) => parts.push(row.part),
                None => rows.push((row, vec![row.part])),
            }
        }
        let part = set.parts.first().map(|id| self.piece.part(*id));
        let name = set.path.rsplit('.').next().unwrap_or(&set.path);
        ShelfCard {
            number: 0,
            name: name.replace('_', " "),
            opening: self.opening_name(set.opening),
            count: set.parts.len(),
            size: part.map(|p| {
                let size = p.finished_size;
                html::sizes(self.units, &[size.length, size.width, size.thick])
            }),
            mark: set.parts.first().and_then(|id| self.mark(*id)),
            pins: set.pins.map(|(id, each)| self.pins(id, each)),
            in_rows: set.in_rows.as_ref().map(|name| name.replace('_', " ")),
            rows: rows
                .into_iter()
                .map(|(row, parts)| {
                    let first = row.first_z - self.foot(row.part);
                    let last = first + row.pitch * (i64::from(row.count).max(1) - 1);
                    RowFacts {
                        panels: parts.into_iter().filter_map(|id| self.mark(id)).collect(),
                        set_back: self.column(row.set_back),
                        first: self.column(first),
                        last: self.column(last),
                        pitch: self.column(row.pitch),
                        count: row.count,
                        floor: self.column(row.first_z - floor),
                    }
                })
                .collect(),
        }
    }

    fn pins(&self, id: HardwareId, each: u32) -> PinWords {
        let hardware = self.hardware(id);
        let (diameter, deep) = match hardware.map(|h| &h.kind) {
            Some(HardwareKind::Pin { diameter, deep }) => (Some(*diameter), Some(*deep)),
            _ => (None, None),
        };
        PinWords {
            title: hardware.map_or_else(String::new, |h| h.title.clone()),
            each,
            diameter: diameter.map(|length| self.figure(length)),
            deep: deep.map(|length| self.figure(length)),
        }
    }
}

/// Whether a leaf turns about a level line, as flaps do.
fn level(leaf: &Leaf) -> bool {
    leaf.hung.is_some_and(|edge| edge.axis() == Axis::Z)
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

/// How a leaf hangs.
fn hung_words(edge: Edge) -> String {
    match edge {
        Edge::Bottom => "hung at the bottom, opens down".to_owned(),
        Edge::Top => "hung at the top, opens up".to_owned(),
        _ => format!("hung {}", edge.word()),
    }
}

/// The rows of the case that a door's plates are screwed to.
fn plates_in(leaf: &Leaf) -> Option<&str> {
    let plate = leaf.hinges.iter().find_map(|hinge| hinge.plate.as_ref())?;
    Some(plate.rows.as_str())
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
