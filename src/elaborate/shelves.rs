//! Loose shelves and the rows of holes for their pins (placement rules 2.6).

use super::build::{Builder, CutWork, ThingKind, Work, part_id};
use super::declare::clause_length;
use super::rows::{Resting, Within};
use super::stmt::Stmt;
use super::value;
use super::{Poison, Res};
use crate::diag::{Diagnostic, code};
use crate::measure::{Dimension, Length, Rational, Unit};
use crate::model::{
    AssemblyId, Axis, Box3, CutKind, Edge, HardwareKind, HardwareUse, OpeningId, PinRow, Role,
    ShelfSet,
};
use crate::schema::Clause;
use crate::source::Span;
use std::rc::Rc;

/// Room around loose shelves, 1 mm unless said.
const SHELF_GAP_MM: i64 = 1;

/// The rows of holes that carry a shelf: front and rear, left and right.
const ROWS: u32 = 4;

impl Builder<'_> {
    /// The loose shelves of a body.
    pub fn make_shelves(&mut self, body: usize) {
        let stmt = self.bodies[body].stmt.clone();
        for line in stmt.forms("shelves").filter(|l| !l.is_of_element()) {
            let done = self.make_shelves_line(body, line);
            self.settle(done);
        }
    }

    fn make_shelves_line(&mut self, body: usize, line: &Stmt) -> Res<()> {
        let name = line.name().to_owned();
        self.name(body, &name, line.named(), ThingKind::Fitting)?;
        let n = match &line.count {
            Some(count) => value::count(self, &line.env, count)?,
            None => return Err(Poison),
        };
        for space in self.target_spaces(body, line)? {
            let line = &self.element(body, line, space)?;
            let done = self.make_shelves_in(body, space, line, n);
            self.settle(done);
        }
        Ok(())
    }

    /// The air at the left, at the right and at the rear of loose shelves.
    fn shelf_gaps(&mut self, line: &Stmt) -> Res<[Length; 3]> {
        let edges = [Edge::Left, Edge::Right, Edge::Rear];
        let mut gaps = [Length::mm(SHELF_GAP_MM); 3];
        for (gap, edge) in gaps.iter_mut().zip(edges) {
            if let Some(stated) = self.gap_on(line, edge)? {
                *gap = stated;
            }
        }
        Ok(gaps)
    }

    fn make_shelves_in(&mut self, parent: usize, space: usize, line: &Stmt, n: u32) -> Res<()> {
        let clear = self.space_box(space)?;
        let [left, right, rear] = self.shelf_gaps(line)?;
        let front = self.set_back(parent, line, clear.face(Edge::Front))?;
        let set_back = front - clear.face(Edge::Front);
        let thick = self.take_stock(line, Role::LooseShelf)?.thick;
        let rows = match line.forms("pins").next() {
            Some(pins) if pins.has("in") => {
                let lies = Resting {
                    body: parent,
                    space,
                    thick,
                    front: clear.face(Edge::Front) + set_back,
                    rear: clear.face(Edge::Rear) - rear,
                };
                Some(self.pins_in_rows(pins, clear, &lies)?)
            }
            Some(pins) => Some(self.pin_rows(pins, clear, set_back, rear)?),
            None => None,
        };
        let index = self.fitting_index(line, space);
        let path = format!(
            "{}.{}",
            self.bodies[parent].path,
            super::label::indexed(line.name(), &index)
        );
        let label = if line.name() == "shelves" {
            "Loose shelf".to_owned()
        } else {
            format!("{} shelf", super::label::words(line.name()))
        };
        let mut parts = Vec::new();
        let mut shelf = None;
        let shared = Rc::new(line.clone());
        for i in 1..=n {
            // Drawn equally spaced, each on the nearest hole.
            let wanted = clear
                .extent(Axis::Z)
                .scale(Rational::new(i128::from(i), i128::from(n) + 1));
            let above = match &rows {
                Some(rows) => rows.nearest(wanted),
                None => wanted,
            };
            let mut b = clear;
            b.grow(Edge::Left, -left);
            b.grow(Edge::Right, -right);
            b.grow(Edge::Rear, -rear);
            b.grow(Edge::Front, -set_back);
            b.set_face(Edge::Bottom, clear.face(Edge::Bottom) + above);
            b.set_face(Edge::Top, clear.face(Edge::Bottom) + above + thick);
            if b.is_empty() {
                self.sink.push(
                    Diagnostic::new(
                        &code::SUM_NO_ROOM,
                        format!("no room is left for the shelves `{}`", line.name()),
                        line.name_span(),
                        "nothing would be left of them",
                    )
                    .note(format!(
                        "they would be {} wide and {} deep",
                        self.units.text(b.extent(Axis::X)),
                        self.units.text(b.extent(Axis::Y))
                    )),
                );
                return Err(Poison);
            }
            let own = if n == 1 {
                path.clone()
            } else {
                format!("{path}.{i}")
            };
            let made = self.make_leaf_body(
                &own,
                &label,
                line.name(),
                &label,
                &shared,
                b,
                Role::LooseShelf,
            )?;
            if let Some(panel) = self.bodies[made].panels.first() {
                parts.push(part_id(*panel));
            }
            shelf = Some(b);
            self.make_strips(made);
        }
        let load = match (line.clause("load").cloned(), shelf) {
            (Some(load), Some(shelf)) => Some(self.load_of(&load, &shelf)?),
            _ => None,
        };
        let mut set = ShelfSet {
            path,
            opening: OpeningId(space as u32),
            parts,
            rows: Vec::new(),
            in_rows: None,
            pins: None,
            load,
            origin: line.origin(),
        };
        if let (Some(rows), Some(pins)) = (rows, line.forms("pins").next()) {
            let (id, diameter, deep) = match &rows.shared {
                Some(shared) => (shared.hardware, shared.diameter, shared.deep),
                None => {
                    let (id, kind) = self.hardware_of(pins)?;
                    let HardwareKind::Pin { diameter, deep } = kind else {
                        return Err(Poison);
                    };
                    (id, diameter, deep)
                }
            };
            let per_shelf = match &pins.count {
                Some(count) => value::count(self, &pins.env, count)?,
                None => return Err(Poison),
            };
            self.check_pins(pins, per_shelf, &rows, diameter, deep, [left, right])?;
            set.pins = Some((id, per_shelf));
            self.hardware.push(HardwareUse {
                hardware: id,
                count: per_shelf * n,
                reason: format!("{label}, pins"),
                assembly: AssemblyId(parent as u32),
            });
            match rows.shared {
                Some(shared) => {
                    set.rows = shared.rows;
                    set.in_rows = name_in(pins);
                }
                None => set.rows = self.bore_rows(space, &rows, diameter, deep, clear, pins)?,
            }
        }
        self.shelves.push(set);
        Ok(())
    }

    /// A shelf lies on one pin of each row, and reaches over them; holes leave wood between them.
    fn check_pins(
        &mut self,
        pins: &Stmt,
        per_shelf: u32,
        rows: &Rows,
        diameter: Length,
        deep: Length,
        air: [Length; 2],
    ) -> Res<()> {
        let units = self.units;
        let [left, right] = air;
        let most = left.max(right);
        let span = |word: &str| pins.clause(word).map_or(pins.head_span, |c| c.of.span);
        let report = if per_shelf != ROWS {
            let count = pins.count.as_ref().map_or(pins.head_span, |c| c.span);
            Diagnostic::new(
                &code::VALUE_RANGE,
                "a shelf lies on four pins",
                count,
                format!("{per_shelf} a shelf"),
            )
            .note("a front row and a rear row are bored at the left and at the right, and a shelf lies on one pin of each")
            .help(format!("write `pins {ROWS}`"))
        } else if rows.count > 1 && rows.pitch <= diameter {
            super::rows::holes_meet(span("pitch"), &units.text(diameter))
        } else if most >= deep {
            Diagnostic::new(
                &code::VALUE_RANGE,
                "a shelf that falls off its pins",
                pins.head_span,
                format!("{} of air beside the shelf", units.text(most)),
            )
            .note(format!(
                "a pin goes in for {}, and is taken to stand out no further",
                units.text(deep)
            ))
            .help("a smaller `gap` of the shelves")
        } else {
            return Ok(());
        };
        self.sink.push(report);
        Err(Poison)
    }

    /// `load 60kg per m2`, `load 40kg per m`, `load 25kg` on each shelf: in kilograms a square metre.
    fn load_of(&mut self, load: &super::stmt::Scoped<Clause>, shelf: &Box3) -> Res<f64> {
        let amount = load.of.value().ok_or(Poison)?;
        let mass = value::quantity_not_negative(self, &load.env, amount, Dimension::MASS)?;
        let metres = |axis: Axis| shelf.extent(axis).as_mm() / Rational::int(1000);
        let (wide, deep) = (metres(Axis::X), metres(Axis::Y));
        let per = load.of.tail("per").and_then(Clause::value);
        let unit = per.and_then(|p| p.as_name()).and_then(Unit::find);
        let spread = match (per, unit.map(|u| u.of(Rational::ONE))) {
            (None, _) => wide * deep,
            (_, Some(q)) if q.dimension == Dimension::AREA => q.value / Rational::int(1_000_000),
            (_, Some(q)) if q.dimension == Dimension::LENGTH => {
                q.value / Rational::int(1000) * deep
            }
            (Some(per), _) => {
                self.sink.push(
                    Diagnostic::new(
                        &code::TYPE_MISMATCH,
                        "a load is for an area or a length of shelf",
                        per.span,
                        "neither",
                    )
                    .help("write `load 60kg per m2`, `load 40kg per m`, or `load 25kg` for each shelf"),
                );
                return Err(Poison);
            }
        };
        Ok((mass / spread).to_f64())
    }

    fn pin_rows(
        &mut self,
        pins: &Stmt,
        clear: Box3,
        shelf_set_back: Length,
        gap: Length,
    ) -> Res<Rows> {
        let pitch_clause = pins.clause("pitch").cloned().ok_or(Poison)?;
        let pitch = value::positive_length(
            self,
            &pitch_clause.env,
            pitch_clause.of.value().ok_or(Poison)?,
        )?;
        let set_back = clause_length(self, pins, "set_back")?.ok_or(Poison)?;
        let from = clause_length(self, pins, "from")?;
        let to = clause_length(self, pins, "to")?;
        let (first, steps) = match (from, to) {
            (Some(from), Some(to)) => (from, self.whole_pitches(pins, pitch, from, to)?),
            _ => {
                // As many whole pitches as go into half of the clear height, centred in it (rule 2.6).
                let clear_high = clear.extent(Axis::Z);
                let steps = clear_high.half().ratio(pitch).floor().unwrap_or(0).max(0);
                let span = pitch.scale(Rational::new(steps, 1));
                let first = from.unwrap_or((clear_high - span).half());
                (first, steps)
            }
        };
        let count = self.hole_count(steps, pitch_clause.of.span)?;
        let shelf_front = clear.face(Edge::Front) + shelf_set_back;
        let shelf_rear = clear.face(Edge::Rear) - gap;
        Ok(Rows {
            first,
            pitch,
            count,
            set_back,
            shelf_front,
            shelf_rear,
            span: pins.head_span,
            shared: None,
        })
    }

    /// The holes of the case's rows that lie in an opening.
    fn pins_in_rows(&mut self, pins: &Stmt, clear: Box3, lies: &Resting) -> Res<Rows> {
        let holes = self.holes_for_shelves(pins, lies)?;
        Ok(Rows {
            first: holes.first_z - clear.face(Edge::Bottom),
            pitch: holes.pitch,
            count: holes.count,
            set_back: Length::ZERO,
            shelf_front: lies.front,
            shelf_rear: lies.rear,
            span: pins.head_span,
            shared: Some(holes),
        })
    }

    /// The rows in both panels beside an opening: front row and rear row.
    fn bore_rows(
        &mut self,
        space: usize,
        rows: &Rows,
        diameter: Length,
        deep: Length,
        clear: Box3,
        pins: &Stmt,
    ) -> Res<Vec<PinRow>> {
        let mut out = Vec::new();
        self.room_for_holes(4 * rows.count, rows.span)?;
        for edge in [Edge::Left, Edge::Right] {
            let bounding = self.bounding(space, edge)?;
            let Some(panel) = bounding else {
                if self.lost_panel(self.spaces[space].body) {
                    return Err(Poison);
                }
                self.sink.push(Diagnostic::new(
                    &code::PLACE_MISSING,
                    "no panel to bore for the pins",
                    rows.span,
                    format!("nothing bounds the opening at its {}", edge.word()),
                ));
                return Err(Poison);
            };
            let face = self.face(panel, edge.opposite())?;
            let front_row = self.face(panel, Edge::Front)? + rows.set_back;
            let rear_row = rows.shelf_rear - (front_row - rows.shelf_front);
            for (y, from) in [
                (front_row, rows.set_back),
                (rear_row, rear_row - self.face(panel, Edge::Front)?),
            ] {
                let first_z = clear.face(Edge::Bottom) + rows.first;
                out.push(PinRow {
                    part: part_id(panel),
                    set_back: from,
                    first_z,
                    pitch: rows.pitch,
                    count: rows.count,
                });
                let bores = (0..rows.count)
                    .map(|i| Work::Bore {
                        mouth: [face, y, first_z + rows.pitch * i64::from(i)],
                        entry: edge.opposite(),
                        diameter,
                        depth: deep,
                    })
                    .collect();
                self.panels[panel].cuts.push(CutWork {
                    kind: CutKind::PinHoles,
                    solids: bores,
                    entry: edge.opposite(),
                    along: Axis::Z,
                    width: diameter,
                    depth: deep,
                    fit: Length::ZERO,
                    relief: Length::ZERO,
                    joint: None,
                    filler: None,
                    origin: pins.origin(),
                });
            }
        }
        Ok(out)
    }
}

/// Rows of holes for an opening.
struct Rows {
    /// The first hole above the clear floor.
    first: Length,
    pitch: Length,
    count: u32,
    /// Behind the front edge of what is bored.
    set_back: Length,
    shelf_front: Length,
    shelf_rear: Length,
    span: Span,
    /// The holes of the case's rows, where these are used.
    shared: Option<Within>,
}

/// The rows that a line of pins names.
fn name_in(pins: &Stmt) -> Option<String> {
    let named = pins.clause("in")?.of.value()?.as_name()?;
    Some(named.to_owned())
}

impl Rows {
    /// The hole nearest to a height above the clear floor.
    fn nearest(&self, wanted: Length) -> Length {
        let step = (wanted - self.first)
            .ratio(self.pitch)
            .round()
            .unwrap_or(0)
            .clamp(0, i128::from(self.count) - 1);
        self.first + self.pitch.scale(Rational::new(step, 1))
    }
}
