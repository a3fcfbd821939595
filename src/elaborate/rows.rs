//! Rows of holes that the openings of a case share (placement rules 2.6): where they are bored, and
//! which of their holes a shelf's pins or a hinge's plate come on.

use super::build::{Builder, CutWork, Work, part_id};
use super::declare::clause_length;
use super::project::name_use;
use super::stmt::{Scoped, Stmt};
use super::value;
use super::{Poison, Res};
use crate::diag::{Diagnostic, code};
use crate::measure::{Length, Rational};
use crate::model::{
    Axis, CutKind, Edge, HardwareId, HardwareKind, Hinge, Leaf, Origin, PinRow, PlatePlace,
    SharedRows,
};
use crate::schema::Clause;
use crate::source::Span;
use std::collections::BTreeSet;

/// The two screws of a plate are one pitch of 32 mm apart (common practice).
const PLATE_MM: i64 = 32;

/// Rows of holes of a case.
#[derive(Clone, Debug)]
pub struct SharedHoles {
    body: usize,
    name: String,
    hardware: HardwareId,
    diameter: Length,
    deep: Length,
    pitch: Length,
    count: u32,
    set_back: Length,
    bored: Vec<Bored>,
    origin: Origin,
}

/// The rows in one face of a panel.
#[derive(Clone, Debug)]
struct Bored {
    panel: usize,
    /// The way the face looks.
    looks: Edge,
    /// The front edge of the panel.
    edge: Length,
    /// The height of the first holes.
    first_z: Length,
    /// Where the front row is, from front to rear.
    front: Length,
    /// Where the rear row is; `front` leaves it out.
    rear: Option<Length>,
}

impl Bored {
    fn rows(&self) -> impl Iterator<Item = Length> + '_ {
        std::iter::once(self.front).chain(self.rear)
    }
}

/// The holes of shared rows that lie in one opening.
pub struct Within {
    /// The pins that they are for.
    pub hardware: HardwareId,
    /// Of each hole.
    pub diameter: Length,
    /// Of each hole.
    pub deep: Length,
    /// Between holes.
    pub pitch: Length,
    /// The height of the lowest.
    pub first_z: Length,
    /// How many, one above the other.
    pub count: u32,
    /// Front and rear, left and right.
    pub rows: Vec<PinRow>,
}

/// What lies on the holes of an opening.
pub struct Resting {
    /// The body that the opening is in.
    pub body: usize,
    /// The opening.
    pub space: usize,
    /// How thick a shelf is.
    pub thick: Length,
    /// The front edge of the shelves.
    pub front: Length,
    /// Their rear edge.
    pub rear: Length,
}

impl Builder<'_> {
    /// The rows of a case.
    pub fn make_rows(&mut self, body: usize) {
        let stmt = self.bodies[body].stmt.clone();
        for line in stmt.forms("rows").filter(|l| !l.damaged) {
            let done = self.make_rows_line(body, line);
            self.settle(done);
        }
    }

    fn make_rows_line(&mut self, body: usize, line: &Stmt) -> Res<()> {
        let kind = super::build::ThingKind::Fitting;
        self.name(body, line.name(), line.named(), kind)?;
        let (hardware, kind) = self.hardware_of(line)?;
        let HardwareKind::Pin { diameter, deep } = kind else {
            return Err(Poison);
        };
        let clause = line.clause("pitch").cloned().ok_or(Poison)?;
        let pitch = value::positive_length(self, &clause.env, clause.of.value().ok_or(Poison)?)?;
        let set_back = clause_length(self, line, "set_back")?.ok_or(Poison)?;
        let from = clause_length(self, line, "from")?.ok_or(Poison)?;
        let to = clause_length(self, line, "to")?.ok_or(Poison)?;
        let steps = self.whole_pitches(line, pitch, from, to)?;
        let count = self.hole_count(steps, clause.of.span)?;
        if count > 1 && pitch <= diameter {
            let report = holes_meet(clause.of.span, &self.units.text(diameter));
            self.sink.push(report);
            return Err(Poison);
        }
        let mut rows = SharedHoles {
            body,
            name: line.name().to_owned(),
            hardware,
            diameter,
            deep,
            pitch,
            count,
            set_back,
            bored: Vec::new(),
            origin: line.origin(),
        };
        let faces = self.faces_at_openings(body)?;
        let into = line.clause("into").cloned().ok_or(Poison)?;
        for part in &into.of.values {
            let name = name_use(self, part)?;
            for panel in self.panels_of(body, &name, &into.env)? {
                let looking = self.looking(panel, &faces, name.span)?;
                for looks in looking {
                    let bored = self.face_bored(panel, looks, line, &rows, from)?;
                    rows.bored.push(bored);
                }
            }
        }
        if rows.bored.is_empty() {
            return Ok(());
        }
        let mut each = 0;
        for bored in &rows.bored {
            each += bored.rows().count() as u32;
        }
        self.room_for_holes(each.saturating_mul(count), line.head_span)?;
        for bored in &rows.bored {
            self.bore(bored, &rows);
        }
        self.rows.push(rows);
        Ok(())
    }

    /// The faces of upright panels that look at openings.
    fn faces_at_openings(&mut self, body: usize) -> Res<BTreeSet<(usize, Edge)>> {
        let mut faces = BTreeSet::new();
        for space in 0..self.spaces.len() {
            if self.spaces[space].body != body {
                continue;
            }
            for edge in [Edge::Left, Edge::Right] {
                if let Some(panel) = self.bounding(space, edge)? {
                    faces.insert((panel, edge.opposite()));
                }
            }
        }
        Ok(faces)
    }

    /// Which faces of a panel are bored: those that look at openings.
    fn looking(
        &mut self,
        panel: usize,
        faces: &BTreeSet<(usize, Edge)>,
        named: Span,
    ) -> Res<Vec<Edge>> {
        let p = &self.panels[panel];
        if p.axis != Axis::X {
            self.sink.push(
                Diagnostic::new(
                    &code::PLACE_AXIS,
                    format!("`{}` has no upright face beside an opening", p.name),
                    named,
                    "rows of holes go up a side or a divider",
                )
                .help("name the sides and dividers beside the openings"),
            );
            return Err(Poison);
        }
        let looking: Vec<Edge> = [Edge::Left, Edge::Right]
            .into_iter()
            .filter(|edge| faces.contains(&(panel, *edge)))
            .collect();
        if looking.is_empty() {
            self.sink.push(
                Diagnostic::new(
                    &code::FIT_ROW_MISSING,
                    format!("no face of `{}` looks at an opening", p.name),
                    named,
                    "nothing would lie on its holes",
                )
                .help("name the sides and dividers beside the openings"),
            );
            return Err(Poison);
        }
        Ok(looking)
    }

    /// Where the rows lie in one face.
    fn face_bored(
        &mut self,
        panel: usize,
        looks: Edge,
        line: &Stmt,
        rows: &SharedHoles,
        from: Length,
    ) -> Res<Bored> {
        let edge = self.face(panel, Edge::Front)?;
        let front = edge + rows.set_back;
        let rear = if line.has("front") {
            None
        } else {
            let (back, _) = self.inside_bound(rows.body, Edge::Rear)?;
            let rear = back - rows.set_back;
            if rear - front <= rows.diameter {
                let units = self.units;
                let span = line
                    .clause("set_back")
                    .map_or(line.head_span, |c| c.of.span);
                self.sink.push(
                    Diagnostic::new(
                        &code::VALUE_RANGE,
                        "no room for a front row and a rear row",
                        span,
                        format!("in `{}` the two rows would meet", self.panels[panel].name),
                    )
                    .note(format!(
                        "from the front edge of `{}` to the back: {}; {} \u{2212} 2 \u{d7} {} = {}",
                        self.panels[panel].name,
                        units.text(back - edge),
                        units.text(back - edge),
                        units.text(rows.set_back),
                        units.text(rear - front)
                    ))
                    .help("a smaller `set_back`, or `front` for a front row only"),
                );
                return Err(Poison);
            }
            Some(rear)
        };
        Ok(Bored {
            panel,
            looks,
            edge,
            first_z: self.face(panel, Edge::Bottom)? + from,
            front,
            rear,
        })
    }

    /// Bores the rows of one face.
    fn bore(&mut self, bored: &Bored, rows: &SharedHoles) {
        let faces = self.panels[bored.panel].finished;
        for y in bored.rows() {
            let solids = (0..rows.count)
                .map(|i| Work::Bore {
                    mouth: [
                        faces.face(bored.looks),
                        y,
                        bored.first_z + rows.pitch * i64::from(i),
                    ],
                    entry: bored.looks,
                    diameter: rows.diameter,
                    depth: rows.deep,
                })
                .collect();
            self.panels[bored.panel].cuts.push(CutWork {
                kind: CutKind::PinHoles,
                solids,
                entry: bored.looks,
                along: Axis::Z,
                width: rows.diameter,
                depth: rows.deep,
                fit: Length::ZERO,
                relief: Length::ZERO,
                joint: None,
                filler: None,
                origin: rows.origin.clone(),
            });
        }
    }

    /// The rows that a line's `in` names, by their index.
    fn rows_named(&mut self, body: usize, clause: &Scoped<Clause>) -> Res<usize> {
        let name = name_use(self, clause.of.value().ok_or(Poison)?)?;
        let here = |rows: &SharedHoles| rows.body == body;
        let found = self
            .rows
            .iter()
            .position(|rows| here(rows) && rows.name == name.text);
        if let Some(found) = found {
            return Ok(found);
        }
        let stmt = self.bodies[body].stmt.clone();
        let lines: Vec<&Stmt> = stmt.forms("rows").collect();
        if stmt.damaged || lines.iter().any(|l| l.name() == name.text || l.damaged) {
            // Its own line, or one that may be it, was reported.
            if self.sink.iter().any(Diagnostic::is_error) {
                return Err(Poison);
            }
        }
        let mut report = Diagnostic::new(
            &code::NAME_UNKNOWN,
            format!(
                "no rows of `{}` are called `{}`",
                self.bodies[body].path, name.text
            ),
            name.span,
            "not known",
        );
        let known: Vec<&str> = lines.iter().map(|l| l.name()).collect();
        report = match crate::diag::nearest(&name.text, known.iter().copied()) {
            Some(near) => report
                .help(format!("did you mean `{near}`?"))
                .might_mend(name.span, near),
            None if known.is_empty() => report.help(
                "add a line `rows NAME of … into left, right pitch 32mm set_back … from … to …` to the case",
            ),
            None => report.note(format!("rows here: {}", known.join(", "))),
        };
        self.sink.push(report);
        Err(Poison)
    }

    /// The rows in the panel beside an opening.
    fn bored_beside(&mut self, at: usize, space: usize, edge: Edge, span: Span) -> Res<Bored> {
        let rows = self.rows[at].clone();
        let Some(panel) = self.bounding(space, edge)? else {
            if self.lost_panel(rows.body) {
                return Err(Poison);
            }
            self.sink.push(Diagnostic::new(
                &code::PLACE_MISSING,
                format!("no panel with the holes of `{}`", rows.name),
                span,
                format!("nothing bounds the opening at its {}", edge.word()),
            ));
            return Err(Poison);
        };
        let looks = edge.opposite();
        let found = rows
            .bored
            .iter()
            .find(|b| b.panel == panel && b.looks == looks);
        if let Some(bored) = found {
            return Ok(bored.clone());
        }
        let p = &self.panels[panel];
        self.sink.push(
            Diagnostic::new(
                &code::FIT_ROW_MISSING,
                format!("`{}` is not bored by `{}`", p.name, rows.name),
                span,
                format!("at the {} is `{}`", edge.word(), p.name),
            )
            .at(rows.origin.at("into"), "these are bored")
            .help(format!("add `{}` to them", p.name)),
        );
        Err(Poison)
    }

    /// The holes on which the shelves of an opening lie, and the checks that they do.
    pub fn holes_for_shelves(&mut self, pins: &Stmt, shelf: &Resting) -> Res<Within> {
        let clause = pins.clause("in").cloned().ok_or(Poison)?;
        let span = clause.of.span;
        let at = self.rows_named(shelf.body, &clause)?;
        let left = self.bored_beside(at, shelf.space, Edge::Left, span)?;
        let right = self.bored_beside(at, shelf.space, Edge::Right, span)?;
        let rows = self.rows[at].clone();
        self.check_level(&rows, &left, &right, span)?;
        for bored in [&left, &right] {
            self.check_reached(&rows, bored, shelf, span)?;
        }
        let clear = self.space_box(shelf.space)?;
        let last = rows.pitch * i64::from(rows.count - 1);
        let lowest = left.first_z.max(right.first_z);
        let highest = (left.first_z + last).min(right.first_z + last);
        let (floor, top) = (
            clear.face(Edge::Bottom) + rows.diameter.half(),
            clear.face(Edge::Top) - shelf.thick,
        );
        // The first hole of both that is not below the floor.
        let up = (floor - lowest)
            .ratio(rows.pitch)
            .ceil()
            .unwrap_or(0)
            .max(0);
        let first_z = lowest + rows.pitch.scale(Rational::new(up, 1));
        let room = (highest.min(top) - first_z).ratio(rows.pitch).floor();
        let count = room.and_then(|steps| u32::try_from(steps + 1).ok());
        let Some(count) = count.filter(|n| *n > 0 && first_z <= highest.min(top)) else {
            let units = self.units;
            let foot = |z: Length| units.text(z - clear.face(Edge::Bottom));
            let name = super::label::indexed(
                &self.spaces[shelf.space].name,
                &self.spaces[shelf.space].index,
            );
            self.sink.push(
                Diagnostic::new(
                    &code::FIT_ROW_MISSING,
                    format!("no hole of `{}` for a shelf in `{name}`", rows.name),
                    span,
                    "no hole at which it has room",
                )
                .at(rows.origin.at("from"), "the first hole")
                .at(rows.origin.at("to"), "the last hole")
                .note(format!(
                    "above the floor of `{name}` the holes go from {} to {}, every {}; a shelf of {} has room from {} to {}",
                    foot(lowest),
                    foot(highest),
                    units.text(rows.pitch),
                    units.text(shelf.thick),
                    foot(floor),
                    foot(top)
                ))
                .help("begin or end the rows elsewhere, or bore the shelves' own holes"),
            );
            return Err(Poison);
        };
        let mut own = Vec::new();
        for bored in [&left, &right] {
            own.extend(bored.rows().map(|y| PinRow {
                part: part_id(bored.panel),
                set_back: y - bored.edge,
                first_z,
                pitch: rows.pitch,
                count,
            }));
        }
        Ok(Within {
            hardware: rows.hardware,
            diameter: rows.diameter,
            deep: rows.deep,
            pitch: rows.pitch,
            first_z,
            count,
            rows: own,
        })
    }

    /// The holes at the left and at the right of an opening stand at the same heights.
    fn check_level(
        &mut self,
        rows: &SharedHoles,
        left: &Bored,
        right: &Bored,
        span: Span,
    ) -> Res<()> {
        let apart = (right.first_z - left.first_z).abs();
        if apart.ratio(rows.pitch).is_integer() {
            return Ok(());
        }
        let units = self.units;
        let [a, b] = [left, right].map(|bored| self.panels[bored.panel].name.clone());
        self.sink.push(
            Diagnostic::new(
                &code::FIT_ROW_LEVEL,
                format!("the holes in `{a}` and `{b}` are not level"),
                span,
                "a shelf would lie aslant",
            )
            .at(rows.origin.at("from"), "counted from the lower end of each")
            .note(format!(
                "the first hole stands {} above the ground in `{a}`, {} in `{b}`",
                units.text(left.first_z),
                units.text(right.first_z)
            ))
            .note(format!(
                "{} apart: {} pitches of {}",
                units.text(apart),
                apart.ratio(rows.pitch),
                units.text(rows.pitch)
            ))
            .help("bring their lower ends whole pitches apart, or bore the shelves' own holes"),
        );
        Err(Poison)
    }

    /// Shelves reach over a front and a rear row, by the whole of a pin.
    fn check_reached(
        &mut self,
        rows: &SharedHoles,
        bored: &Bored,
        shelf: &Resting,
        span: Span,
    ) -> Res<()> {
        let units = self.units;
        let panel = self.panels[bored.panel].name.clone();
        let radius = rows.diameter.half();
        let behind = |y: Length| units.text(y - bored.edge);
        let report = match bored.rear {
            None => Diagnostic::new(
                &code::FIT_ROW_MISSING,
                format!("`{}` has no rear row for a shelf to lie on", rows.name),
                span,
                "only pins at the front would carry it",
            )
            .at(rows.origin.at("front"), "leaves the rear row out")
            .help("leave `front` out"),
            Some(rear) if rear + radius > shelf.rear => Diagnostic::new(
                &code::FIT_ROW_MISSING,
                "a shelf that does not reach the rear row",
                span,
                format!("ends before the pins in `{panel}`"),
            )
            .note(format!(
                "behind the front edge of `{panel}`: the pins go to {} + {} = {}, the shelf to {}",
                behind(rear),
                units.text(radius),
                behind(rear + radius),
                behind(shelf.rear)
            ))
            .help("a smaller `gap` of the shelves at the rear, or a larger `set_back` of the rows"),
            Some(_) if bored.front - radius < shelf.front => Diagnostic::new(
                &code::FIT_ROW_MISSING,
                "a shelf that does not reach the front row",
                span,
                format!("begins behind the pins in `{panel}`"),
            )
            .note(format!(
                "behind the front edge of `{panel}`: the pins begin at {} \u{2212} {} = {}, the shelf at {}",
                behind(bored.front),
                units.text(radius),
                behind(bored.front - radius),
                behind(shelf.front)
            ))
            .help("a smaller `set_back` of the shelves, or a larger one of the rows"),
            Some(_) => return Ok(()),
        };
        self.sink.push(report);
        Err(Poison)
    }

    /// Moves the hinges of a leaf to the pairs of holes nearest to their heights, and says which.
    pub fn hinges_on_rows(
        &mut self,
        line: &Stmt,
        kind: &HardwareKind,
        leaf: &Leaf,
        edge: Edge,
        foot: Length,
        heights: &mut [Length],
    ) -> Res<Vec<PlatePlace>> {
        let clause = line.clause("in").cloned().ok_or(Poison)?;
        let span = clause.of.span;
        let space = leaf.opening.0 as usize;
        let at = self.rows_named(self.spaces[space].body, &clause)?;
        let bored = self.bored_beside(at, space, edge, span)?;
        let rows = self.rows[at].clone();
        self.check_plates(line, kind, leaf, &rows, &bored, span)?;
        let units = self.units;
        let mut plates = Vec::new();
        for height in heights.iter_mut() {
            let wanted = foot + *height - rows.pitch.half() - bored.first_z;
            let most = i128::from(rows.count) - 2;
            let hole = wanted.ratio(rows.pitch).round().unwrap_or(-1);
            if hole < 0 || hole > most {
                let place = foot + *height;
                let ends = (
                    bored.first_z + rows.pitch.half(),
                    bored.first_z + rows.pitch * i64::from(rows.count) - rows.pitch.half() * 3,
                );
                let bottom = self.panels[bored.panel].finished.face(Edge::Bottom);
                let panel = &self.panels[bored.panel].name;
                self.sink.push(
                    Diagnostic::new(
                        &code::FIT_ROW_MISSING,
                        format!("`{}` does not reach the plates of these hinges", rows.name),
                        span,
                        format!(
                            "a hinge is to sit {} above the lower end of `{panel}`",
                            units.text(place - bottom)
                        ),
                    )
                    .at(rows.origin.at("from"), "the first hole")
                    .at(rows.origin.at("to"), "the last hole")
                    .note(format!(
                        "between two holes of `{panel}` a hinge sits from {} to {} above its lower end",
                        units.text(ends.0 - bottom),
                        units.text(ends.1 - bottom)
                    ))
                    .help("longer rows, or `at` for the hinges"),
                );
                return Err(Poison);
            }
            *height =
                bored.first_z + rows.pitch.scale(Rational::new(hole, 1)) + rows.pitch.half() - foot;
            plates.push(PlatePlace {
                rows: rows.name.clone(),
                hole: u32::try_from(hole + 1).unwrap_or(1),
            });
        }
        Ok(plates)
    }

    /// The screws of the plates lie as far behind the front edge as the front row, and as far apart
    /// as its holes.
    fn check_plates(
        &mut self,
        line: &Stmt,
        kind: &HardwareKind,
        leaf: &Leaf,
        rows: &SharedHoles,
        bored: &Bored,
        span: Span,
    ) -> Res<()> {
        let units = self.units;
        let of = line.clause("of").map_or(line.head_span, |c| c.of.span);
        let named = line
            .clause("of")
            .and_then(|c| c.of.value())
            .and_then(|v| v.as_name())
            .unwrap_or("hinge")
            .to_owned();
        let HardwareKind::Hinge(Hinge::Cup { set_back, .. }) = kind else {
            self.sink.push(
                Diagnostic::new(
                    &code::FIT_PLATE_ROW,
                    "a butt hinge has no plate for a row of holes",
                    span,
                    "its leaf is let into the edge",
                )
                .at(of, "this hinge")
                .help("leave `in` out, or fit cup hinges"),
            );
            return Err(Poison);
        };
        let Some(plate) = *set_back else {
            self.sink.push(
                Diagnostic::new(
                    &code::FIT_PLATE_ROW,
                    format!("`{named}` does not say where the screws of its plate sit"),
                    span,
                    "they are to come on these holes",
                )
                .at(of, "this hinge")
                .help(format!(
                    "add `set_back` to `{named}`: from the front edge of the case's side to the screws, from its maker's sheet"
                )),
            );
            return Err(Poison);
        };
        // Behind an inset door the plate moves back with the door's rear face (common practice).
        let rear = self.panels[leaf.part.0 as usize].finished.face(Edge::Rear);
        let behind = if leaf.inset {
            (rear - bored.edge).max(Length::ZERO)
        } else {
            Length::ZERO
        };
        let wanted = plate + behind;
        let report = if wanted != rows.set_back {
            let sum = if behind.is_zero() {
                format!(
                    "`{named}` has its screws {} behind the front edge",
                    units.text(plate)
                )
            } else {
                format!(
                    "`{named}` has its screws {} behind the door, whose rear face lies {} behind the front edge: {} + {} = {}",
                    units.text(plate),
                    units.text(behind),
                    units.text(behind),
                    units.text(plate),
                    units.text(wanted)
                )
            };
            let off = (rows.set_back - wanted).abs();
            Diagnostic::new(
                &code::FIT_PLATE_ROW,
                format!(
                    "the plates of `{named}` miss the holes of `{}` by {}",
                    rows.name,
                    units.text(off)
                ),
                span,
                format!("{} behind the front edge", units.text(rows.set_back)),
            )
            .at(
                rows.origin.at("set_back"),
                format!("the front row, {}", units.text(rows.set_back)),
            )
            .note(sum)
            .help(format!(
                "a `set_back` of {} for the rows, or leave `in` out",
                units.text(wanted)
            ))
        } else if rows.pitch != Length::mm(PLATE_MM) {
            Diagnostic::new(
                &code::FIT_PLATE_ROW,
                format!("the plates of `{named}` do not come on two holes"),
                span,
                format!("these are {} apart", units.text(rows.pitch)),
            )
            .at(rows.origin.at("pitch"), "the pitch of the rows")
            .note(format!(
                "the two screws of a plate are {} apart (common practice)",
                units.text(Length::mm(PLATE_MM))
            ))
            .help("`pitch 32mm`, or leave `in` out")
        } else if rows.count < 2 {
            Diagnostic::new(
                &code::FIT_ROW_MISSING,
                format!("`{}` has one hole, and a plate has two screws", rows.name),
                span,
                "not enough holes",
            )
            .help("longer rows")
        } else {
            return Ok(());
        };
        self.sink.push(report);
        Err(Poison)
    }

    /// From the first hole of a line to its last: how many pitches, which must be whole.
    pub fn whole_pitches(
        &mut self,
        line: &Stmt,
        pitch: Length,
        from: Length,
        to: Length,
    ) -> Res<i128> {
        let units = self.units;
        let span = |word: &str| line.clause(word).map_or(line.head_span, |c| c.of.span);
        let steps = (to - from).ratio(pitch);
        if to < from {
            self.sink.push(
                Diagnostic::new(
                    &code::VALUE_RANGE,
                    "rows of holes that end before they begin",
                    span("to"),
                    format!("{} is below the first hole", units.text(to)),
                )
                .at(span("from"), "the first hole"),
            );
            return Err(Poison);
        }
        if steps.is_integer() {
            return Ok(steps.numer());
        }
        let whole = pitch.scale(Rational::new(steps.floor().unwrap_or(0), 1));
        self.sink.push(
            Diagnostic::new(
                &code::SUM_PITCH,
                "the rows of holes do not end on a hole",
                span("to"),
                format!("{} is not whole pitches above the first", units.text(to)),
            )
            .at(span("pitch"), format!("the pitch is {}", units.text(pitch)))
            .note(format!(
                "({} \u{2212} {}) / {} = {}",
                units.text(to),
                units.text(from),
                units.text(pitch),
                steps
            ))
            .help(format!(
                "end at {} or {}",
                units.text(from + whole),
                units.text(from + whole + pitch)
            )),
        );
        Err(Poison)
    }

    /// How many holes so many pitches give.
    pub fn hole_count(&mut self, steps: i128, span: Span) -> Res<u32> {
        let count = u32::try_from(steps + 1).ok().filter(|n| *n <= value::MOST);
        if let Some(count) = count {
            return Ok(count);
        }
        self.sink.push(
            Diagnostic::new(
                &code::VALUE_RANGE,
                "more holes than can be bored",
                span,
                format!("{} in a row", steps + 1),
            )
            .note(format!("at most {} are taken", value::MOST)),
        );
        Err(Poison)
    }

    /// The rows of the model.
    pub fn freeze_rows(&mut self) -> Vec<SharedRows> {
        let freeze = |rows: SharedHoles| SharedRows {
            path: format!("{}.{}", self.bodies[rows.body].path, rows.name),
            hardware: rows.hardware,
            rows: rows
                .bored
                .iter()
                .flat_map(|bored| {
                    bored.rows().map(|y| PinRow {
                        part: part_id(bored.panel),
                        set_back: y - bored.edge,
                        first_z: bored.first_z,
                        pitch: rows.pitch,
                        count: rows.count,
                    })
                })
                .collect(),
            origin: rows.origin,
        };
        std::mem::take(&mut self.rows)
            .into_iter()
            .map(freeze)
            .collect()
    }
}

/// Holes of one row that touch.
pub fn holes_meet(pitch: Span, diameter: &str) -> Diagnostic {
    Diagnostic::new(
        &code::VALUE_RANGE,
        "holes that run into each other",
        pitch,
        format!("the next begins within {diameter}"),
    )
    .note(format!("a hole is {diameter} wide"))
    .help("a larger `pitch`: 32 mm is common practice")
}
