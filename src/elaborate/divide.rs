//! Spaces and their division (placement rules 1.4): openings and the parts between them must sum to
//! the clear size.

use super::build::{Builder, Division, Item, Place, Space, ThingKind, extent_word};
use super::circle::{self, What};
use super::stmt::{Scoped, Stmt};
use super::value;
use super::{Poison, Res};
use crate::diag::{Diagnostic, code};
use crate::measure::{Dimension, Length, Rational};
use crate::model::{Axis, Edge, Origin, Role};
use crate::schema::{Clause, NameUse};
use std::rc::Rc;

impl Builder<'_> {
    /// Declares the inside of a body.
    pub fn declare_inside(&mut self, body: usize) {
        let stmt = self.bodies[body].stmt.clone();
        self.spaces.push(Space {
            name: "inside".into(),
            index: Vec::new(),
            body,
            parent: None,
            faces: [Place::Todo; 6],
            bounds: [None; 6],
            touches: [false; 6],
            divided: false,
            origin: Origin::line(stmt.name_span()),
        });
        let space = self.spaces.len() - 1;
        // The word is the language's own: it can't be taken.
        let _ = self.name(
            body,
            "inside",
            (stmt.head_span, &[]),
            ThingKind::Spaces(vec![space]),
        );
        self.declare_front_of_stand(body);
    }

    /// Declares the divisions of a body: in any order, as long as each finds its space.
    pub fn declare_divisions(&mut self, body: usize) {
        let stmt = self.bodies[body].stmt.clone();
        let mut open: Vec<Stmt> = stmt.forms("divide").cloned().collect();
        while !open.is_empty() {
            let before = open.len();
            let mut waiting = Vec::new();
            for divide in open {
                let Some(name) = divide.names.first().cloned() else {
                    continue;
                };
                if !self.bodies[body].names.contains_key(&name.text) {
                    waiting.push(divide);
                    continue;
                }
                // What is wrong in a division was reported; the others go on.
                let done = self.declare_division(body, &divide, &name);
                self.settle(done);
            }
            open = waiting;
            if open.len() == before {
                for divide in &open {
                    if let Some(name) = divide.names.first() {
                        let done = self.spaces_of(body, name, &divide.env.clone());
                        self.settle(done);
                    }
                }
                return;
            }
        }
    }

    fn declare_division(&mut self, body: usize, divide: &Stmt, name: &NameUse) -> Res<()> {
        let direction = divide
            .values
            .first()
            .and_then(|v| v.as_name())
            .unwrap_or("downward")
            .to_owned();
        let (axis, downward) = match direction.as_str() {
            "upward" => (Axis::Z, false),
            "rightward" => (Axis::X, false),
            "inward" => (Axis::Y, false),
            _ => (Axis::Z, true),
        };
        for space in self.spaces_of(body, name, &divide.env)? {
            if self.spaces[space].divided {
                let report = Diagnostic::new(
                    &code::NAME_TWICE,
                    format!("`{}` is divided twice", name.text),
                    name.span,
                    "divided already",
                )
                .at(self.spaces[space].origin.span, "this space")
                .help("divide one of its openings instead");
                self.sink.push(report);
                return Err(Poison);
            }
            self.spaces[space].divided = true;
            let division = self.divisions.len();
            self.divisions.push(Division {
                space,
                axis,
                downward,
                items: Vec::new(),
                state: Place::Todo,
                span: divide.span,
                by_faces: Vec::new(),
            });
            let index = self.spaces[space].index.clone();
            let mut sound = !divide.damaged;
            for line in &divide.lines {
                let done = self.declare_item(body, division, space, divide, line, &index);
                sound &= self.settle(done).is_some() && !line.damaged;
            }
            sound &= self.check_opening_elements(body, divide, &index).is_ok();
            self.link_bounds(division);
            if !sound {
                // What is lost would be missed in the sum.
                self.divisions[division].state = Place::Bad;
            }
        }
        Ok(())
    }

    /// Reports lines that change an opening that there is not.
    fn check_opening_elements(&mut self, body: usize, divide: &Stmt, within: &[u32]) -> Res<()> {
        let changes = divide.forms("opening").filter(|l| l.is_of_element());
        for name in changes.filter_map(|line| line.names.first()) {
            let index = self.indices(name, &divide.env)?;
            // One that speaks of an element of another division of this line.
            if !index.iter().zip(within).all(|(a, b)| a == b) {
                continue;
            }
            self.spaces_of(body, name, &divide.env)?;
        }
        Ok(())
    }

    fn declare_item(
        &mut self,
        body: usize,
        division: usize,
        space: usize,
        divide: &Stmt,
        line: &Stmt,
        index: &[u32],
    ) -> Res<()> {
        let index = &[index, &line.index].concat();
        match line.word() {
            "opening" if line.is_of_element() => Ok(()),
            "opening" => self.declare_opening(body, division, space, divide, line, index.to_vec()),
            "openings" => {
                let n = match &line.count {
                    Some(count) => value::count(self, &line.env, count)?,
                    None => return Err(Poison),
                };
                let first = self.divisions[division].items.len();
                let between: Vec<&Stmt> = line.lines.iter().filter(|l| is_part(l.word())).collect();
                for i in 1..=n {
                    let mut at = index.to_vec();
                    at.push(i);
                    self.declare_opening(body, division, space, divide, line, at.clone())?;
                    if i < n {
                        for part in &between {
                            self.declare_between(body, division, space, part, at.clone())?;
                        }
                    }
                }
                if line.clause("by").is_some() {
                    let d = &mut self.divisions[division];
                    d.by_faces.push((first, d.items.len()));
                }
                Ok(())
            }
            word if is_part(word) => {
                self.declare_between(body, division, space, line, index.to_vec())
            }
            _ => Ok(()),
        }
    }

    fn declare_opening(
        &mut self,
        body: usize,
        division: usize,
        parent: usize,
        divide: &Stmt,
        line: &Stmt,
        index: Vec<u32>,
    ) -> Res<()> {
        let mut line = line.clone();
        let name = line.name().to_owned();
        self.changed_by(&divide.lines, "opening", &mut line, &name, &index)?;
        let line = &line;
        let word = extent_word(self.divisions[division].axis);
        let size_clause = line.clause(word).cloned();
        for other in ["wide", "high", "deep"] {
            if other != word
                && let Some(clause) = line.clause(other)
            {
                let report = Diagnostic::new(
                    &code::PLACE_AXIS,
                    format!("`{other}` is not decided by this division"),
                    clause.of.span,
                    format!("this division decides how {word} its openings are"),
                )
                .at(self.divisions[division].span, "the division");
                self.sink.push(report);
                return Err(Poison);
            }
        }
        let share = match line.clause("share").cloned() {
            Some(clause) => value::quantity_of(
                self,
                &clause.env,
                clause.of.value().ok_or(Poison)?,
                Dimension::NONE,
            )?,
            None => Rational::ONE,
        };
        if share <= Rational::ZERO {
            self.sink.push(
                Diagnostic::new(
                    &code::VALUE_RANGE,
                    "a share of nothing or less",
                    line.span,
                    "no room would be left",
                )
                .help("a share is above 0"),
            );
            return Err(Poison);
        }
        self.room_for_more(line.name_span())?;
        self.spaces.push(Space {
            name: line.name().to_owned(),
            index,
            body,
            parent: Some((parent, division)),
            faces: [Place::Todo; 6],
            bounds: [None; 6],
            touches: [false; 6],
            divided: false,
            origin: line.origin(),
        });
        let space = self.spaces.len() - 1;
        let span = size_clause.as_ref().map_or(line.name_span(), |c| c.of.span);
        self.divisions[division].items.push(Item::Opening {
            space,
            span,
            size: size_clause.map(Rc::new),
            share,
        });
        let name = line.name().to_owned();
        let index = self.spaces[space].index.clone();
        self.name(
            body,
            &name,
            (line.name_span(), &index),
            ThingKind::Spaces(vec![space]),
        )
    }

    fn declare_between(
        &mut self,
        body: usize,
        division: usize,
        space: usize,
        line: &Stmt,
        index: Vec<u32>,
    ) -> Res<()> {
        let panel = self.declare_panel(
            body,
            &Rc::new(line.clone()),
            line.names.first(),
            Some((space, Some(division))),
            index,
        )?;
        self.divisions[division].items.push(Item::Part(panel));
        let pos = self.panels[panel].pos;
        let axis = self.divisions[division].axis;
        if pos != axis {
            let role = super::label::role(self.panels[panel].role);
            let report = Diagnostic::new(
                &code::PLACE_AXIS,
                format!("a {role} does not divide this way"),
                line.head_span,
                format!(
                    "a {role} has its place from {} to {}",
                    pos.low().word(),
                    pos.high().word()
                ),
            )
            .at(
                self.divisions[division].span,
                format!(
                    "this division runs from {} to {}",
                    axis.low().word(),
                    axis.high().word()
                ),
            );
            self.sink.push(report);
            return Err(Poison);
        }
        Ok(())
    }

    /// Tells each opening of a division what bounds it there.
    fn link_bounds(&mut self, division: usize) {
        let d = &self.divisions[division];
        let (axis, downward) = (d.axis, d.downward);
        let (first_edge, last_edge) = if downward {
            (axis.high(), axis.low())
        } else {
            (axis.low(), axis.high())
        };
        let items = d.items.clone();
        for (i, item) in items.iter().enumerate() {
            let Item::Opening { space, .. } = item else {
                continue;
            };
            let before = i.checked_sub(1).and_then(|j| items.get(j));
            for (edge, neighbour) in [(first_edge, before), (last_edge, items.get(i + 1))] {
                match neighbour {
                    Some(Item::Part(panel)) => {
                        self.spaces[*space].bounds[edge as usize] = Some(*panel)
                    }
                    Some(Item::Opening { .. }) => self.spaces[*space].touches[edge as usize] = true,
                    None => {}
                }
            }
        }
    }

    /// The panel that bounds a space at an edge, looking outward through its parents.
    pub fn bounding(&mut self, space: usize, edge: Edge) -> Res<Option<usize>> {
        let mut at = space;
        loop {
            if let Some(panel) = self.spaces[at].bounds[edge as usize] {
                return Ok(Some(panel));
            }
            if self.spaces[at].touches[edge as usize] {
                return Ok(None);
            }
            match self.spaces[at].parent {
                Some((parent, _)) => at = parent,
                None => {
                    return self
                        .inside_bound(self.spaces[at].body, edge)
                        .map(|(_, by)| by);
                }
            }
        }
    }

    /// Whether a space touches another at an edge with nothing between.
    pub fn touching(&self, space: usize, edge: Edge) -> bool {
        let mut at = space;
        loop {
            if self.spaces[at].bounds[edge as usize].is_some() {
                return false;
            }
            if self.spaces[at].touches[edge as usize] {
                return true;
            }
            match self.spaces[at].parent {
                Some((parent, _)) => at = parent,
                None => return false,
            }
        }
    }

    /// Where a face of a space is.
    pub fn space_face(&mut self, space: usize, edge: Edge) -> Res<Length> {
        match self.spaces[space].faces[edge as usize] {
            Place::At(at) => return Ok(at),
            Place::Bad => return Err(Poison),
            Place::Busy => {
                let what = What::Space(space, edge);
                let span = self.spaces[space].origin.span;
                let report = circle::report(self, &code::PLACE_CYCLE, &what, span);
                self.sink.push(report);
                self.spaces[space].faces[edge as usize] = Place::Bad;
                return Err(Poison);
            }
            Place::Todo => {}
        }
        self.spaces[space].faces[edge as usize] = Place::Busy;
        let span = self.spaces[space].origin.span;
        let found = circle::while_finding(self, What::Space(space, edge), span, |me| {
            value::deeper(me, span, |me| me.find_space_face(space, edge))
        });
        self.spaces[space].faces[edge as usize] = match found {
            Ok(at) if at.is_overflow() => {
                self.sink.push(Diagnostic::new(
                    &code::VALUE_OVERFLOW,
                    "a size that is too large or too fine to hold",
                    span,
                    "the place of a side of it does not fit",
                ));
                Place::Bad
            }
            Ok(at) => Place::At(at),
            Err(Poison) => Place::Bad,
        };
        match self.spaces[space].faces[edge as usize] {
            Place::At(at) => Ok(at),
            _ => Err(Poison),
        }
    }

    fn find_space_face(&mut self, space: usize, edge: Edge) -> Res<Length> {
        match self.spaces[space].parent {
            None => self
                .inside_bound(self.spaces[space].body, edge)
                .map(|(place, _)| place),
            Some((_, division)) if self.divisions[division].axis == edge.axis() => {
                match self.solve(division) {
                    Ok(()) => match self.spaces[space].faces[edge as usize] {
                        Place::At(at) => Ok(at),
                        _ => Err(Poison),
                    },
                    Err(poison) => Err(poison),
                }
            }
            Some((parent, _)) => self.space_face(parent, edge),
        }
    }

    /// The inside of a body at an edge: its boundary panel, or the envelope where there is none; and
    /// within that, rails from side to side that lie against it.
    pub fn inside_bound(&mut self, body: usize, edge: Edge) -> Res<(Length, Option<usize>)> {
        if let Some(found) = self.between_legs(body, edge) {
            return found;
        }
        let (mut inner, mut by) = self.bound(body, edge)?;
        if edge.axis() != Axis::Z {
            return Ok((inner, by));
        }
        let rails: Vec<usize> = self.bodies[body]
            .frame
            .iter()
            .copied()
            .filter(|p| self.panels[*p].role == Role::Rail && self.panels[*p].within.is_none())
            .filter(|p| self.stands_alone(*p, &mut Vec::new()))
            .collect();
        // A rail may lie against another.
        loop {
            let mut next = None;
            for rail in &rails {
                if by != Some(*rail) && self.face(*rail, edge)? == inner && self.spans(*rail)? {
                    let face = self.face(*rail, edge.opposite())?;
                    let further = |than: Length| {
                        if edge.is_high() {
                            face < than
                        } else {
                            face > than
                        }
                    };
                    if further(inner) && next.is_none_or(|(at, _)| further(at)) {
                        next = Some((face, *rail));
                    }
                }
            }
            match next {
                Some((face, rail)) => (inner, by) = (face, Some(rail)),
                None => return Ok((inner, by)),
            }
        }
    }

    /// Whether the height at which a rail lies is known without the inside: not if it is measured from
    /// a shelf or an opening.
    fn stands_alone(&self, rail: usize, asked: &mut Vec<usize>) -> bool {
        if asked.contains(&rail) {
            return true;
        }
        asked.push(rail);
        let p = &self.panels[rail];
        let names = &self.bodies[p.body].names;
        let mut words = Vec::new();
        for clause in p.stmt.all("at").chain(p.stmt.all("high")) {
            let tails = clause.of.tails.iter().flat_map(|tail| &tail.values);
            clause
                .of
                .values
                .iter()
                .chain(tails)
                .for_each(|v| v.names_in(&mut words));
        }
        words
            .iter()
            .all(|word| match names.get(*word).map(|thing| &thing.kind) {
                Some(ThingKind::Spaces(_)) => false,
                Some(ThingKind::Panels(list)) => list.iter().all(|panel| {
                    self.panels[*panel].edge.is_some()
                        || (self.panels[*panel].role == Role::Rail
                            && self.panels[*panel].within.is_none()
                            && self.stands_alone(*panel, asked))
                }),
                Some(ThingKind::Fitting) | None => true,
            })
    }

    /// Whether a rail runs from side to side, and not behind the back.
    fn spans(&mut self, rail: usize) -> Res<bool> {
        let body = self.panels[rail].body;
        if self.face(rail, Edge::Front)? >= self.bound(body, Edge::Rear)?.0 {
            return Ok(false);
        }
        for edge in [Edge::Left, Edge::Right] {
            if self.face(rail, edge)? != self.bound(body, edge)?.0 {
                return Ok(false);
            }
        }
        Ok(true)
    }

    /// Finds the places of all that stands in a division.
    pub fn solve(&mut self, division: usize) -> Res<()> {
        match self.divisions[division].state {
            Place::At(_) => return Ok(()),
            Place::Bad => return Err(Poison),
            Place::Busy => {
                let what = What::Division(division);
                let span = self.divisions[division].span;
                let report = circle::report(self, &code::PLACE_CYCLE, &what, span);
                self.sink.push(report);
                self.divisions[division].state = Place::Bad;
                return Err(Poison);
            }
            Place::Todo => {}
        }
        self.divisions[division].state = Place::Busy;
        let span = self.divisions[division].span;
        let solved = circle::while_finding(self, What::Division(division), span, |me| {
            me.solve_now(division)
        });
        self.divisions[division].state = solved.map_or(Place::Bad, |()| Place::At(Length::ZERO));
        if solved.is_err() {
            for item in self.divisions[division].items.clone() {
                let axis = self.divisions[division].axis;
                for edge in [axis.low(), axis.high()] {
                    match item {
                        Item::Opening { space, .. } => {
                            self.spaces[space].faces[edge as usize] = Place::Bad
                        }
                        Item::Part(panel) => self.panels[panel].faces[edge as usize] = Place::Bad,
                    }
                }
            }
        }
        solved
    }

    /// The stated size of an opening within a space; names in it are those of the space's body.
    fn stated_size(&mut self, space: usize, size: Option<&Scoped<Clause>>) -> Res<Option<Length>> {
        let Some(clause) = size else { return Ok(None) };
        let body = self.spaces[space].body;
        let before = std::mem::replace(&mut self.current, body);
        let value = clause.of.value().ok_or(Poison);
        if let Some(step) = self.trail.last_mut() {
            step.span = clause.of.span;
        }
        let size = value.and_then(|v| value::positive_length(self, &clause.env, v));
        self.current = before;
        size.map(Some)
    }

    fn solve_now(&mut self, division: usize) -> Res<()> {
        let (space, axis, downward) = {
            let d = &self.divisions[division];
            (d.space, d.axis, d.downward)
        };
        let (low, high) = (
            self.space_face(space, axis.low())?,
            self.space_face(space, axis.high())?,
        );
        let total = high - low;
        let items = self.divisions[division].items.clone();
        let mut sizes: Vec<Option<Length>> = Vec::with_capacity(items.len());
        let mut fixed = Length::ZERO;
        let mut shares = Rational::ZERO;
        for item in &items {
            let size = match item {
                Item::Part(panel) => Some(self.size_along(*panel, axis)?),
                Item::Opening { size, share, .. } => {
                    if size.is_none() {
                        shares = shares + *share;
                    }
                    self.stated_size(space, size.as_deref())?
                }
            };
            fixed += size.unwrap_or_default();
            sizes.push(size);
        }
        let rest = total - fixed;
        let open = items
            .iter()
            .filter(|i| matches!(i, Item::Opening { size: None, .. }))
            .count();
        if total.is_overflow() || rest.is_overflow() {
            self.sink.push(Diagnostic::new(
                &code::VALUE_OVERFLOW,
                "a size that is too large to hold",
                self.divisions[division].span,
                "its sum does not fit",
            ));
            return Err(Poison);
        }
        if (open == 0 && !rest.is_zero()) || (open > 0 && !rest.is_positive()) {
            let report = self.sum_report(division, &items, &sizes, total, rest, open);
            self.sink.push(report);
            return Err(Poison);
        }
        for (item, size) in items.iter().zip(&mut sizes) {
            if let (Item::Opening { share, .. }, None) = (item, &size) {
                *size = Some(rest.scale(*share / shares));
            }
        }
        for (first, end) in self.divisions[division].by_faces.clone() {
            if let (Some(items), Some(sizes)) = (items.get(first..end), sizes.get_mut(first..end)) {
                self.equal_faces(division, items, sizes)?;
            }
        }
        let mut at = if downward { high } else { low };
        for (item, size) in items.iter().zip(&sizes) {
            let size = size.ok_or(Poison)?;
            let next = if downward { at - size } else { at + size };
            let (lo, hi) = (at.min(next), at.max(next));
            let faces = match item {
                Item::Opening { space, .. } => &mut self.spaces[*space].faces,
                Item::Part(panel) => &mut self.panels[*panel].faces,
            };
            faces[axis.low() as usize] = Place::At(lo);
            faces[axis.high() as usize] = Place::At(hi);
            at = next;
        }
        Ok(())
    }

    fn sum_report(
        &self,
        division: usize,
        items: &[Item],
        sizes: &[Option<Length>],
        total: Length,
        rest: Length,
        open: usize,
    ) -> Diagnostic {
        let units = self.units;
        let d = &self.divisions[division];
        let space = super::label::indexed(&self.spaces[d.space].name, &self.spaces[d.space].index);
        let word = extent_word(d.axis);
        let sum: Vec<String> = sizes
            .iter()
            .flatten()
            .map(|s| units.figure(*s).plain())
            .collect();
        let over = rest.is_negative();
        let title = match (open, over) {
            (0, true) => format!(
                "what stands in `{space}` is {} too {word}",
                units.text(rest.abs())
            ),
            (0, false) => format!("what stands in `{space}` leaves {} over", units.text(rest)),
            _ => format!("nothing is left for the open part of `{space}`"),
        };
        let last = items
            .iter()
            .zip(sizes)
            .rev()
            .find_map(|(item, size)| match (item, size) {
                (Item::Opening { span, .. }, Some(size)) => Some((*span, *size)),
                _ => None,
            });
        let (span, here) = match last {
            Some((span, size)) => (span, format!("{} here", units.text(size))),
            None => (d.span, format!("{} in all", units.text(total))),
        };
        let mut report = Diagnostic::new(
            if open == 0 {
                &code::SUM_OFF
            } else {
                &code::SUM_NO_ROOM
            },
            title,
            span,
            here,
        );
        for (item, size) in items.iter().zip(sizes) {
            if let (Item::Opening { span: other, .. }, Some(size)) = (item, size)
                && *other != span
                && report.labels.len() < 5
                && !report.labels.iter().any(|l| l.span == *other)
            {
                report = report.at(*other, format!("{} here", units.text(*size)));
            }
        }
        if report.labels.iter().all(|l| l.span != d.span) {
            report = report.at(
                self.spaces[d.space].origin.span,
                format!("`{space}` is {} {word}", units.text(total)),
            );
        }
        report = report.note(format!(
            "{} = {}, of {}",
            sum.join(" + "),
            units.text(total - rest),
            units.text(total)
        ));
        if open == 0 {
            report.help("leave the size of one opening out, and it takes what is left")
        } else {
            report.help("make a stated size smaller, or the case larger")
        }
    }

    /// `by faces` (placement rules 2.4): what these openings have together is so shared that the overlay
    /// fronts before them are equal. Each front is its opening and what it covers at both ends.
    fn equal_faces(
        &mut self,
        division: usize,
        items: &[Item],
        sizes: &mut [Option<Length>],
    ) -> Res<()> {
        let axis = self.divisions[division].axis;
        let mut covers = Vec::new();
        let mut sum = Length::ZERO;
        for (item, size) in items.iter().zip(sizes.iter()) {
            if let Item::Opening { space, .. } = item {
                let cover =
                    self.cover_of(*space, axis.high())? + self.cover_of(*space, axis.low())?;
                sum += size.ok_or(Poison)? + cover;
                covers.push(cover);
            }
        }
        let n = i64::try_from(covers.len()).map_err(|_| Poison)?;
        let openings = items.iter().zip(sizes.iter_mut());
        let openings = openings.filter(|(item, _)| matches!(item, Item::Opening { .. }));
        for ((_, size), cover) in openings.zip(covers) {
            *size = Some(sum / n - cover);
        }
        Ok(())
    }
}

/// Whether a head stands between openings.
fn is_part(word: &str) -> bool {
    matches!(word, "shelf" | "divider" | "rail" | "stile")
}
