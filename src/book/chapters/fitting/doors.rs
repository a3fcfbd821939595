//! Cards of doors and flaps: gaps, hinges, plates, stays, pulls.

use super::{FrontFacts, OfPiece, Setting, counted, numbered, pulls};
use crate::book::chapters::PartMark;
use crate::book::{html, thing_name};
use crate::draw::fitting as draw;
use crate::measure::Length;
use crate::model::{Axis, Edge, HardwareKind, Hinge, Leaf, PartId, Role};
use minijinja::Value;
use serde::Serialize;

#[derive(Serialize)]
pub(super) struct DoorCard {
    pub(super) number: u32,
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

impl OfPiece<'_> {
    pub(super) fn doors(&self) -> Vec<DoorCard> {
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
}

/// Whether a leaf turns about a level line, as flaps do.
pub(super) fn level(leaf: &Leaf) -> bool {
    leaf.hung.is_some_and(|edge| edge.axis() == Axis::Z)
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
