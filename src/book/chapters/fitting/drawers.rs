//! Cards of drawers: the box in its opening, its runners, its face.

use super::{EdgeFigure, FrontFacts, OfPiece, Setting, counted, numbered, pulls, shifted};
use crate::book::chapters::PartMark;
use crate::book::{html, thing_name};
use crate::draw::fitting as draw;
use crate::model::{Axis, Box3, Drawer, Edge, Leaf, LeafKind, PartId, RunnerPlace};
use minijinja::Value;
use serde::Serialize;

#[derive(Serialize)]
pub(super) struct DrawerCard {
    pub(super) number: u32,
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
struct DrawerMember {
    name: String,
    opening: String,
    panels: Vec<PartMark>,
    height: Option<Value>,
    floor: Value,
}

impl OfPiece<'_> {
    pub(super) fn drawers(&self) -> Vec<DrawerCard> {
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
        let across = match drawer.runner {
            Some(RunnerPlace::Wooden { .. }) => &opening.daylight,
            Some(RunnerPlace::Side { .. }) | None => &opening.clear,
        };
        let (deep, high) = (&opening.clear, &opening.daylight);
        let room = Box3 {
            lo: [across.lo[0], deep.lo[1], high.lo[2]],
            hi: [across.hi[0], deep.hi[1], high.hi[2]],
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
}
