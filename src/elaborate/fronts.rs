//! Fronts (placement rules 2.4): doors, pairs and drawer faces, inset and overlay.

use super::build::{Body, Builder, Filling, Item, Panel, ThingKind, part_id};
use super::project::{name_use, thing_use};
use super::stmt::{Scoped, Stmt};
use super::value;
use super::{Poison, Res};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{
    AssemblyId, AssemblyKind, Axis, Box3, Edge, Gaps, HardwareId, HardwareKind, Hinge, Leaf,
    LeafKind, OpeningId, Role,
};
use crate::schema::NameUse;
use std::collections::BTreeMap;
use std::rc::Rc;

/// The gap of a front whose line names none: overlay 3 mm, inset 2 mm (common practice).
const GAP_OVERLAY_MM: i64 = 3;
const GAP_INSET_MM: i64 = 2;
/// The reveal of an overlay front whose line names none, 1.5 mm (common practice).
const REVEAL_UM: i64 = 1500;

/// A front to be made in one space.
#[derive(Clone)]
pub struct Front {
    /// Its line: of a `door`, `doors` or `flap`, or of a drawer's `face`.
    pub line: Rc<Stmt>,
    /// The space before or in which it stands.
    pub space: usize,
    /// Whether it lies before the case.
    pub overlay: bool,
    /// A pair.
    pub pair: bool,
}

impl Builder<'_> {
    /// Notes which spaces get overlay fronts; covers depend on their neighbours.
    pub fn declare_fronts(&mut self, body: usize) {
        let stmt = self.bodies[body].stmt.clone();
        for line in stmt.lines.iter().filter(|l| !l.is_of_element()) {
            if !closes(line) && line.word() != "drawer" {
                continue;
            }
            // Most are alike, and an inset one says nothing here: its opening is looked up later.
            if !overlaid(line)
                && !stmt
                    .forms(line.word())
                    .any(|l| l.is_of_element() && l.name() == line.name())
            {
                continue;
            }
            for space in self.target_spaces(body, line).unwrap_or_default() {
                let Ok(own) = self.element(body, line, space) else {
                    continue;
                };
                if let Some(face) = face_of(&own).filter(|_| overlaid(&own)) {
                    self.note_overlay(space, Rc::new(face.clone()));
                }
            }
        }
    }

    /// Notes an overlay front where its neighbours look for it.
    fn note_overlay(&mut self, space: usize, face: Rc<Stmt>) {
        self.overlays.insert(space, face);
        let mut at = Some(space);
        while let Some(holder) = at {
            self.fronts_under.entry(holder).or_default().push(space);
            at = self.spaces[holder].parent.map(|(parent, _)| parent);
        }
        for edge in [Edge::Left, Edge::Right, Edge::Bottom, Edge::Top] {
            // A boundary that can't be placed is reported when it is placed.
            if let Ok(Some(panel)) = self.bounding(space, edge) {
                self.fronts_at.entry((panel, edge)).or_default().push(space);
            }
        }
    }

    /// The spaces that a fitting's `in` names.
    pub fn target_spaces(&mut self, body: usize, line: &Stmt) -> Res<Vec<usize>> {
        let clause = line.clause("in").cloned().ok_or(Poison)?;
        let mut out = Vec::new();
        for value in &clause.of.values {
            let name = name_use(self, value)?;
            out.extend(self.spaces_of(body, &name, &clause.env)?);
        }
        // A door may close a space that is divided behind it.
        let behind = !closes(line);
        for space in &out {
            if behind && self.spaces[*space].divided {
                let name = self.spaces[*space].name.clone();
                self.sink.push(
                    Diagnostic::new(
                        &code::PLACE_FILLED,
                        format!("`{name}` is divided, and can't be filled as a whole"),
                        clause.of.span,
                        "divided",
                    )
                    .at(self.spaces[*space].origin.span, "this space")
                    .help("name the openings that it is divided into"),
                );
                return Err(Poison);
            }
        }
        Ok(out)
    }

    /// `door`, `doors` and `flap` of a body.
    pub fn make_doors(&mut self, body: usize) {
        let stmt = self.bodies[body].stmt.clone();
        for line in stmt
            .lines
            .iter()
            .filter(|l| closes(l) && !l.is_of_element())
        {
            let done = self.make_door_line(body, &Rc::new(line.clone()));
            self.settle(done);
        }
    }

    fn make_door_line(&mut self, body: usize, line: &Rc<Stmt>) -> Res<()> {
        let pair = line.word() == "doors";
        let (role, kind) = match line.word() {
            "flap" => (Role::Flap, LeafKind::Flap),
            _ => (Role::Door, LeafKind::Door),
        };
        let name = line.name().to_owned();
        self.name(body, &name, line.named(), ThingKind::Fitting)?;
        for space in self.target_spaces(body, line)? {
            let line = &Rc::new(self.element(body, line, space)?);
            let front = Front {
                line: line.clone(),
                space,
                overlay: !line.has("inset"),
                pair,
            };
            let index = self.fitting_index(line, space);
            let path = format!(
                "{}.{}",
                self.bodies[body].path,
                super::label::indexed(&name, &index)
            );
            self.claim_space(space, line)?;
            let boxes = self.front_boxes(&front, role)?;
            self.check_hinges_line(line);
            for (leaf_edge, finished) in boxes {
                let (leaf_path, leaf_name, label) = match leaf_edge {
                    Some(edge) => (
                        format!("{path}.{}", edge.word()),
                        edge.word().to_owned(),
                        format!("{}, {}", super::label::words(&name), edge.word()),
                    ),
                    None => (path.clone(), name.clone(), super::label::words(&name)),
                };
                let part_label = super::label::within(&name, super::label::role(role));
                let made = self.make_leaf_body(
                    &leaf_path,
                    &label,
                    &leaf_name,
                    &part_label,
                    line,
                    finished,
                    role,
                )?;
                let stated = line.clause("hung").and_then(|c| c.of.value());
                let stated = stated.and_then(|v| v.as_name()).and_then(Edge::from_word);
                let hung = leaf_edge.or(stated).unwrap_or(match kind {
                    LeafKind::Flap => Edge::Bottom,
                    _ => Edge::Left,
                });
                self.dress_leaf(
                    made,
                    &front,
                    kind,
                    leaf_path,
                    finished,
                    Some(hung),
                    pair,
                    None,
                )?;
            }
        }
        Ok(())
    }

    /// A space takes one front, and one drawer behind it. Loose shelves may stand behind a door.
    pub fn claim_space(&mut self, space: usize, line: &Stmt) -> Res<()> {
        let takes: &[Filling] = match line.word() {
            "drawer" if line.forms("face").next().is_some() => &[Filling::Front, Filling::Within],
            "drawer" => &[Filling::Within],
            _ => &[Filling::Front],
        };
        self.claim_parts(space, line, takes)
    }

    /// Takes parts of a space for a fitting; what is taken already is reported.
    pub fn claim_parts(&mut self, space: usize, line: &Stmt, takes: &[Filling]) -> Res<()> {
        let taken = |filling: &&Filling| self.filled.contains_key(&(space, **filling));
        let first = takes.iter().find(taken).map(|filling| (space, *filling));
        if let Some(first) = first.and_then(|first| self.filled.get(&first)) {
            let name = super::label::indexed(&self.spaces[space].name, &self.spaces[space].index);
            self.sink.push(
                Diagnostic::new(
                    &code::PLACE_FILLED,
                    format!("`{name}` is filled twice"),
                    line.name_span(),
                    "a second filling",
                )
                .at(*first, "the first")
                .help("divide the space, or leave one of them out"),
            );
            return Err(Poison);
        }
        for filling in takes {
            self.filled.insert((space, *filling), line.name_span());
        }
        Ok(())
    }

    fn check_hinges_line(&mut self, line: &Stmt) {
        if line.forms("hinge").next().is_none() && !line.damaged {
            self.sink.push(
                Diagnostic::new(
                    &code::FIT_NO_HINGE,
                    format!("`{}` has no hinges", line.name()),
                    line.name_span(),
                    "nothing holds it",
                )
                .help("add a line `hinge 2 of …` to its block"),
            );
        }
    }

    /// The air of a front at an edge: reveal, gap to a neighbour, and a stated cover.
    pub fn front_air(&mut self, space: usize, edge: Edge) -> Res<(Length, Length, Option<Length>)> {
        let Some(line) = self.overlays.get(&space).cloned() else {
            return Ok((Length::um(REVEAL_UM), Length::mm(GAP_OVERLAY_MM), None));
        };
        self.air_of(&line, edge, true)
    }

    fn air_of(
        &mut self,
        line: &Stmt,
        edge: Edge,
        overlay: bool,
    ) -> Res<(Length, Length, Option<Length>)> {
        let mut out = (
            Length::um(REVEAL_UM),
            Length::mm(if overlay {
                GAP_OVERLAY_MM
            } else {
                GAP_INSET_MM
            }),
            None,
        );
        for clause in line.clauses.clone() {
            let Scoped { of, env } = &clause;
            if !matches!(of.word, "reveal" | "gap" | "overlay") {
                continue;
            }
            let on = of.tail("on").map(|on| {
                on.values
                    .iter()
                    .filter_map(|v| v.as_name())
                    .map(str::to_owned)
                    .collect::<Vec<_>>()
            });
            if on
                .as_ref()
                .is_some_and(|on| !on.iter().any(|w| w == edge.word() || w == "all"))
            {
                continue;
            }
            let Some(value) = of.value() else { continue };
            let length = value::length_not_negative(self, env, value)?;
            match of.word {
                "reveal" => out.0 = length,
                "gap" => out.1 = length,
                _ => out.2 = Some(length),
            }
        }
        Ok(out)
    }

    /// The gap where a pair meets.
    fn meeting_gap(&mut self, line: &Stmt, overlay: bool) -> Res<Length> {
        let mut out = Length::mm(if overlay {
            GAP_OVERLAY_MM
        } else {
            GAP_INSET_MM
        });
        for clause in line.all("gap").cloned().collect::<Vec<_>>() {
            let on = clause
                .of
                .tail("on")
                .map(|on| on.values.iter().any(|v| v.as_name() == Some("meeting")));
            if on.unwrap_or(true) {
                out = value::length_not_negative(
                    self,
                    &clause.env,
                    clause.of.value().ok_or(Poison)?,
                )?;
            }
        }
        Ok(out)
    }

    /// How far an overlay front covers what bounds its opening at an edge (rule 2.4).
    pub fn cover_of(&mut self, space: usize, edge: Edge) -> Res<Length> {
        let (reveal, gap, stated) = self.front_air(space, edge)?;
        if let Some(cover) = stated {
            return Ok(cover);
        }
        let bounding = self.bounding(space, edge)?;
        let Some(panel) = bounding else {
            if self.touching(space, edge) {
                let beyond = self.front_beyond(space, edge, None)?;
                return Ok(if beyond { -gap / 2 } else { -reveal });
            }
            return Ok(-reveal);
        };
        let front_plane = self.bodies[self.spaces[space].body]
            .envelope
            .face(Edge::Front);
        if self.face(panel, Edge::Front)? < front_plane {
            return Ok(-gap);
        }
        // The member before it, which may stand out past it both ways.
        if let Some(member) = self.member_at_bound(space, edge)? {
            let wide = self.member_width(member)?;
            return Ok(if self.front_beyond(space, edge, Some(panel))? {
                (wide - gap).half()
            } else {
                wide - reveal
            });
        }
        let axis = edge.axis();
        // Its thickness, not its place: that may follow from this very cover.
        let own = if self.panels[panel].pos == axis {
            self.size_along(panel, axis)?
        } else {
            self.face(panel, axis.high())? - self.face(panel, axis.low())?
        };
        let thick = own + self.hanging(panel, axis.high()) + self.hanging(panel, axis.low());
        Ok(if self.front_beyond(space, edge, Some(panel))? {
            (thick - gap).half()
        } else {
            thick - reveal
        })
    }

    /// Whether another overlay front stands on the other side of what bounds a space.
    fn front_beyond(&mut self, space: usize, edge: Edge, panel: Option<usize>) -> Res<bool> {
        let cross = edge.axis().third(Axis::Y);
        let others = match panel {
            Some(panel) => self.fronts_at.get(&(panel, edge.opposite())),
            None => self
                .neighbour(space, edge)
                .and_then(|n| self.fronts_under.get(&n)),
        };
        for other in others.cloned().unwrap_or_default() {
            if other == space || (panel.is_none() && !self.touching(other, edge.opposite())) {
                continue;
            }
            let (a, b) = (
                self.space_face(space, cross.low())?,
                self.space_face(space, cross.high())?,
            );
            let (c, d) = (
                self.space_face(other, cross.low())?,
                self.space_face(other, cross.high())?,
            );
            if a < d && c < b {
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// The space that touches a space at an edge, in the division that sets them side by side.
    fn neighbour(&self, space: usize, edge: Edge) -> Option<usize> {
        let mut at = space;
        loop {
            let (parent, division) = self.spaces[at].parent?;
            let division = &self.divisions[division];
            if division.axis == edge.axis() {
                let is = |item: &Item, s: usize| matches!(item, Item::Opening { space, .. } if *space == s);
                let i = division.items.iter().position(|item| is(item, at))?;
                let j = if edge.is_high() != division.downward {
                    i.checked_add(1)?
                } else {
                    i.checked_sub(1)?
                };
                match division.items.get(j) {
                    Some(Item::Opening { space, .. }) => return Some(*space),
                    Some(Item::Part(_)) => return None,
                    None => {}
                }
            }
            at = parent;
        }
    }

    /// The daylight of a space: its clear box less edging that hangs into it.
    pub fn daylight(&mut self, space: usize) -> Res<Box3> {
        let mut out = self.space_box(space)?;
        for edge in [Edge::Left, Edge::Right, Edge::Bottom, Edge::Top] {
            if let Some(panel) = self.bounding(space, edge)? {
                let hangs = self.hanging(panel, edge.opposite());
                out.grow(edge, -hangs);
            }
            if let Some(member) = self.member_at_bound(space, edge)? {
                let inner = self.face(member, edge.opposite())?;
                let (day, place) = (out.face(edge), inner);
                out.set_face(
                    edge,
                    if edge.is_high() {
                        day.min(place)
                    } else {
                        day.max(place)
                    },
                );
            }
        }
        Ok(out)
    }

    /// The finished boxes of a front: one, or a left and a right leaf.
    pub fn front_boxes(&mut self, front: &Front, role: Role) -> Res<Vec<(Option<Edge>, Box3)>> {
        let day = self.daylight(front.space)?;
        let line = front.line.clone();
        let thick = self.take_stock(&line, role)?.thick;
        let plane = self.bodies[self.spaces[front.space].body]
            .envelope
            .face(Edge::Front);
        let mut whole = day;
        for edge in [Edge::Left, Edge::Right, Edge::Bottom, Edge::Top] {
            let out = if front.overlay {
                self.cover_of(front.space, edge)?
            } else {
                -self.air_of(&line, edge, false)?.1
            };
            whole.grow(edge, out);
        }
        if front.overlay {
            let stand_off = match super::declare::clause_length(self, &line, "stand_off")? {
                Some(stated) => stated,
                None => self.hinge_stand_off(&line)?,
            };
            whole.set_face(Edge::Rear, plane - stand_off);
            whole.set_face(Edge::Front, plane - stand_off - thick);
        } else {
            let set_back =
                super::declare::clause_length(self, &line, "set_back")?.unwrap_or_default();
            whole.set_face(Edge::Front, plane + set_back);
            whole.set_face(Edge::Rear, plane + set_back + thick);
        }
        let mut out = vec![(None, whole)];
        if front.pair {
            let gap = self.meeting_gap(&line, front.overlay)?;
            let each = (whole.extent(Axis::X) - gap).half();
            let (mut left, mut right) = (whole, whole);
            left.set_face(Edge::Right, whole.face(Edge::Left) + each);
            right.set_face(Edge::Left, whole.face(Edge::Right) - each);
            out = vec![(Some(Edge::Left), left), (Some(Edge::Right), right)];
        }
        for (_, b) in &out {
            if b.is_empty() {
                let units = self.units;
                self.sink.push(
                    Diagnostic::new(
                        &code::SUM_NO_ROOM,
                        format!("no room is left for `{}`", line.name()),
                        line.name_span(),
                        "nothing would be left of it",
                    )
                    .note(format!(
                        "it would be {} wide and {} high",
                        units.text(b.extent(Axis::X)),
                        units.text(b.extent(Axis::Z))
                    )),
                );
                return Err(Poison);
            }
        }
        Ok(out)
    }

    fn hinge_stand_off(&mut self, line: &Stmt) -> Res<Length> {
        let Some(hinge) = line.forms("hinge").next() else {
            return Ok(Length::ZERO);
        };
        match self.hardware_of(hinge)? {
            (_, HardwareKind::Hinge(Hinge::Cup { stand_off, .. })) => Ok(stand_off),
            _ => Ok(Length::ZERO),
        }
    }

    /// The hardware of a line's `of`.
    pub fn hardware_of(&mut self, line: &Stmt) -> Res<(HardwareId, HardwareKind)> {
        let of = line.clause("of").cloned().ok_or(Poison)?;
        let name = thing_use(self, &of.env, of.of.value().ok_or(Poison)?)?;
        let project = self.project;
        let (id, data) = project.hardware(self, &name)?;
        let wanted = match line.word() {
            "hinge" => matches!(data.kind, HardwareKind::Hinge(_)),
            "pull" => matches!(data.kind, HardwareKind::Pull { .. }),
            "catch" => matches!(data.kind, HardwareKind::Catch),
            "pins" | "rows" => matches!(data.kind, HardwareKind::Pin { .. }),
            "lock" => matches!(data.kind, HardwareKind::Lock),
            "stay" => matches!(data.kind, HardwareKind::Stay { .. }),
            "foot" => matches!(data.kind, HardwareKind::Foot),
            "strap" => matches!(data.kind, HardwareKind::Strap),
            "runner" => matches!(data.kind, HardwareKind::Runner(_)),
            _ => true,
        };
        if !wanted {
            let what = if matches!(line.word(), "pins" | "rows") {
                "pin"
            } else {
                line.word()
            };
            self.sink.push(
                Diagnostic::new(
                    &code::TYPE_MISMATCH,
                    format!("`{}` is not a {what}", data.name),
                    name.span,
                    format!("this is a {}", super::label::hardware(&data.kind)),
                )
                .at(data.origin.span, "declared here")
                .help(format!("name hardware that is a {what}")),
            );
            return Err(Poison);
        }
        Ok((id, data.kind.clone()))
    }

    /// A body of one panel: a leaf, a face, a loose shelf.
    pub fn make_leaf_body(
        &mut self,
        path: &str,
        label: &str,
        name: &str,
        part_label: &str,
        line: &Rc<Stmt>,
        finished: Box3,
        role: Role,
    ) -> Res<usize> {
        self.room_for_more(line.head_span)?;
        let taken = self.take_stock(line, role)?;
        let kind = match role {
            Role::LooseShelf => AssemblyKind::Shelf,
            Role::Worktop | Role::Kick | Role::Filler => AssemblyKind::Fitted,
            _ => AssemblyKind::Leaf,
        };
        let body = self.bodies.len();
        self.bodies.push(Body {
            kind,
            path: path.to_owned(),
            label: label.to_owned(),
            envelope: finished,
            stmt: line.clone(),
            panels: Vec::new(),
            frame: Vec::new(),
            names: BTreeMap::new(),
            seen: Vec::new(),
        });
        let (axis, default) = match role {
            Role::LooseShelf | Role::Worktop => (Axis::Z, Axis::X),
            Role::Door | Role::Filler => (Axis::Y, Axis::Z),
            _ => (Axis::Y, Axis::X),
        };
        let grain = match line
            .clause("grain")
            .and_then(|c| c.of.value())
            .and_then(|v| v.as_name())
        {
            Some("up") if axis != Axis::Z => Axis::Z,
            Some("across") => Axis::X,
            Some("inward") if axis != Axis::Y => Axis::Y,
            _ => default,
        };
        self.panels.push(Panel {
            name: name.to_owned(),
            path: path.to_owned(),
            label: part_label.to_owned(),
            role,
            grain,
            ..Panel::placed(body, line, &taken, axis, finished)
        });
        let panel = self.panels.len() - 1;
        self.bodies[body].panels.push(panel);
        self.frame_panel(panel, label)?;
        self.declare_bands(body);
        self.make_joints(body);
        Ok(body)
    }

    /// Hinges, pulls and catches of a leaf, its strips, and its record.
    #[expect(clippy::too_many_arguments, reason = "what a leaf is")]
    pub fn dress_leaf(
        &mut self,
        body: usize,
        front: &Front,
        kind: LeafKind,
        path: String,
        finished: Box3,
        hung: Option<Edge>,
        pair: bool,
        drawer: Option<AssemblyId>,
    ) -> Res<()> {
        let line = front.line.clone();
        let panel = self.hung_member(body, hung).ok_or(Poison)?;
        let day = self.daylight(front.space)?;
        let air = |edge: Edge| {
            if edge.is_high() {
                day.face(edge) - finished.face(edge)
            } else {
                finished.face(edge) - day.face(edge)
            }
        };
        let mut gaps = Gaps {
            left: air(Edge::Left),
            right: air(Edge::Right),
            bottom: air(Edge::Bottom),
            top: air(Edge::Top),
        };
        let mut meeting = None;
        if pair && let Some(edge) = hung {
            let gap = self.meeting_gap(&line, front.overlay)?;
            meeting = Some((edge.opposite(), gap));
            if edge == Edge::Left {
                gaps.right = gap
            } else {
                gaps.left = gap
            }
        }
        let covers = match hung {
            Some(edge) if front.overlay => Some(self.cover_of(front.space, edge)?),
            _ => None,
        };
        let mut leaf = Leaf {
            path: path.clone(),
            kind,
            part: part_id(panel),
            opening: OpeningId(front.space as u32),
            inset: !front.overlay,
            gaps,
            meeting,
            covers,
            hung: hung.filter(|_| kind.turns()),
            hinges: Vec::new(),
            stays: Vec::new(),
            pulls: Vec::new(),
            catches: Vec::new(),
            drawer,
            origin: line.origin(),
        };
        if let (true, Some(edge)) = (kind.turns(), hung) {
            for hinge in line.forms("hinge") {
                let done = self.hang(
                    panel,
                    edge,
                    hinge,
                    finished,
                    &mut leaf,
                    AssemblyId(body as u32),
                );
                self.settle(done);
            }
        }
        for pull in line.forms("pull") {
            let done = self.place_pulls(
                hung.filter(|_| kind.turns()),
                pull,
                finished,
                &mut leaf,
                body,
            );
            self.settle(done);
        }
        let label = self.bodies[body].label.clone();
        for word in ["catch", "lock", "stay"] {
            let taken = self.take_fitted(body, &label, &line, word);
            leaf.catches.extend(taken);
        }
        for stay in line.forms("stay") {
            let done = self.place_stays(stay, finished, &mut leaf);
            self.settle(done);
        }
        self.make_strips(body);
        self.leaves.push(leaf);
        Ok(())
    }
}

/// Whether a line is that of a front that closes an opening.
fn closes(line: &Stmt) -> bool {
    matches!(line.word(), "door" | "doors" | "flap")
}

/// The line of a fitting's front: its own, or of a drawer its face.
fn face_of(line: &Stmt) -> Option<&Stmt> {
    match line.word() {
        "drawer" => line.forms("face").next(),
        _ => Some(line),
    }
}

/// Whether a fitting has a front that lies before the case.
fn overlaid(line: &Stmt) -> bool {
    face_of(line).is_some_and(|face| !face.has("inset"))
}

/// A name without indices.
pub fn bare(text: &str, span: crate::source::Span) -> NameUse {
    NameUse {
        text: text.to_owned(),
        index: Vec::new(),
        span,
    }
}
