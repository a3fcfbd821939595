//! What a path of names stands for: `cupboard.wide`, `floor.top`, `bench_a.sink[2].high`, `overall.high`.
//! Every thing with a size or a face has the members of a box; parts have `thick` and `nominal` too.

use super::build::{Builder, ThingKind, extent_axis};
use super::env::Segment;
use super::value::Value;
use super::{Poison, Res};
use crate::diag::{Diagnostic, code};
use crate::measure::{Length, Quantity};
use crate::model::{AssemblyKind, Axis, Box3, Edge, StockKind};

/// What the first names of a path stand for.
#[derive(Clone, Debug)]
enum Target {
    /// Parts: one, or the elements of an array.
    Panels(Vec<usize>),
    /// Openings.
    Spaces(Vec<usize>),
    /// Cases, by their slots.
    Cases(Vec<usize>),
    /// A run.
    Run(usize),
    /// A worktop, kick or filler.
    Fitted(usize),
    /// A stock.
    Stock(usize),
    /// The whole piece.
    Overall,
    /// A fitting by its path; its parts come when all is placed.
    Fitting(String),
}

impl Builder<'_> {
    /// What a path of names gives: sizes and faces. `None` if nothing bears its first name.
    pub fn geometry(&mut self, path: &[Segment]) -> Option<Res<Value>> {
        let (first, rest) = path.split_first()?;
        let mut target = match self.first_of(first)? {
            Ok(target) => target,
            Err(poison) => return Some(Err(poison)),
        };
        let (member, between) = rest.split_last()?;
        for segment in between {
            match self.next_of(&target, segment)? {
                Ok(next) => target = next,
                Err(poison) => return Some(Err(poison)),
            }
        }
        Some(self.member_of(target, path, member))
    }

    fn first_of(&mut self, first: &Segment) -> Option<Res<Target>> {
        if let Some(found) = self.named_in(self.current, first) {
            return Some(found);
        }
        if let Some(found) = self.case_of(first) {
            return Some(found);
        }
        if first.name == "overall" {
            return Some(Ok(Target::Overall));
        }
        let stock = self.project.stocks.get_index_of(&first.name)?;
        Some(Ok(Target::Stock(stock)))
    }

    /// A case, run, worktop or kick of the piece by its own name.
    fn case_of(&mut self, first: &Segment) -> Option<Res<Target>> {
        let path = super::label::indexed(&first.name, &first.index);
        if let Some(run) = self.runs.iter().position(|run| run.name == path) {
            return Some(Ok(Target::Run(run)));
        }
        if let Some(fitted) = self.fitted.iter().position(|f| f.name == path) {
            return Some(Ok(Target::Fitted(fitted)));
        }
        let slots = self.slots_of(&path);
        (!slots.is_empty()).then_some(Ok(Target::Cases(slots)))
    }

    /// What a name of a body stands for.
    fn named_in(&mut self, body: usize, segment: &Segment) -> Option<Res<Target>> {
        let body_path = self.bodies.get(body)?.path.clone();
        let kind = self.bodies[body].names.get(&segment.name)?.kind.clone();
        let index = &segment.index;
        let target = match kind {
            ThingKind::Panels(mut list) => {
                list.retain(|p| self.panels[*p].index.starts_with(index));
                Target::Panels(list)
            }
            ThingKind::Spaces(mut list) => {
                list.retain(|s| self.spaces[*s].index.starts_with(index));
                Target::Spaces(list)
            }
            ThingKind::Fitting => {
                let name = super::label::indexed(&segment.name, index);
                Target::Fitting(format!("{body_path}.{name}"))
            }
        };
        let none =
            matches!(&target, Target::Panels(list) | Target::Spaces(list) if list.is_empty());
        if none {
            return Some(Err(self.no_element(
                body,
                &segment.name,
                index,
                segment.span,
            )));
        }
        Some(Ok(target))
    }

    /// What a name within a target stands for.
    fn next_of(&mut self, target: &Target, segment: &Segment) -> Option<Res<Target>> {
        match target {
            Target::Cases(list) => {
                let mut out: Option<Target> = None;
                for slot in list.clone() {
                    let body = match self.case_body(slot) {
                        Ok(body) => body,
                        Err(poison) => return Some(Err(poison)),
                    };
                    match (self.named_in(body, segment)?, &mut out) {
                        (Err(poison), _) => return Some(Err(poison)),
                        (Ok(Target::Panels(more)), Some(Target::Panels(all)))
                        | (Ok(Target::Spaces(more)), Some(Target::Spaces(all))) => all.extend(more),
                        (Ok(found), out) => *out = Some(found),
                    }
                }
                out.map(Ok)
            }
            Target::Run(run) => {
                let name = super::label::indexed(&segment.name, &segment.index);
                let path = format!("{}.{name}", self.runs[*run].name);
                let fitted = self.fitted.iter().position(|f| f.name == path);
                fitted.map(|fitted| Ok(Target::Fitted(fitted)))
            }
            Target::Fitting(path) => {
                let name = super::label::indexed(&segment.name, &segment.index);
                let inner = format!("{path}.{name}");
                let starts = |at: &str| at == inner || at.starts_with(&format!("{inner}."));
                if self.bodies.iter().any(|b| starts(&b.path)) {
                    return Some(Ok(Target::Fitting(inner)));
                }
                if let [slot, ..] = self.slots_of(path)[..]
                    && let Err(poison) = self.case_body(slot)
                {
                    return Some(Err(poison));
                }
                let body = self.bodies.iter().position(|b| b.path == *path)?;
                self.named_in(body, segment)
            }
            Target::Panels(_)
            | Target::Spaces(_)
            | Target::Stock(_)
            | Target::Fitted(_)
            | Target::Overall => Some(Err(self.no_member(segment))),
        }
    }

    fn member_of(&mut self, target: Target, path: &[Segment], member: &Segment) -> Res<Value> {
        let mut values: Vec<(Vec<u32>, Value)> = Vec::new();
        match target {
            Target::Panels(list) => {
                for panel in list {
                    let value = self.panel_member(panel, member)?;
                    values.push((self.panels[panel].index.clone(), value));
                }
            }
            Target::Spaces(list) => {
                for space in list {
                    let value = self.space_member(space, member)?;
                    values.push((self.spaces[space].index.clone(), value));
                }
            }
            Target::Cases(list) => {
                for slot in list {
                    values.push((Vec::new(), self.slot_member(slot, member)?));
                }
            }
            Target::Run(run) => {
                let whole = self.run_box(run)?;
                return box_member(&whole, &member.name).ok_or_else(|| self.no_member(member));
            }
            Target::Fitted(fitted) => {
                let whole = self.fitted_box(fitted)?;
                if member.name == "thick" {
                    let thin = Axis::ALL.map(|axis| whole.extent(axis)).into_iter().min();
                    return Ok(Value::Quantity(Quantity::length(thin.unwrap_or_default())));
                }
                return box_member(&whole, &member.name).ok_or_else(|| self.no_member(member));
            }
            Target::Fitting(of) => {
                for slot in self.slots_of(&of) {
                    self.case_body(slot)?;
                }
                let mut found = Vec::new();
                for (i, body) in self.bodies.iter().enumerate() {
                    let of_pair = [".left", ".right"].map(|leaf| format!("{of}{leaf}"));
                    if body.path == of
                        || of_pair.contains(&body.path)
                        || element_of(&body.path, &of)
                    {
                        found.push(i);
                    }
                }
                if found.is_empty() {
                    return Err(self.not_yet(path));
                }
                for body in found {
                    values.push((Vec::new(), self.body_member(body, path, member)?));
                }
            }
            Target::Stock(stock) => return self.stock_member(stock, member),
            Target::Overall => {
                let Some(overall) = self.overall else {
                    return Err(self.not_yet(path));
                };
                return box_member(&overall, &member.name).ok_or_else(|| self.no_member(member));
            }
        }
        let first = values.first().ok_or(Poison)?.1.clone();
        match values.iter().all(|(_, value)| *value == first) {
            true => Ok(first),
            false => Ok(Value::Each(values)),
        }
    }

    /// Reports a size that is asked for before it can be known.
    fn not_yet(&mut self, path: &[Segment]) -> Poison {
        let Some(first) = path.first() else {
            return Poison;
        };
        let name = &first.name;
        // What was to be made and could not was reported.
        if self.sink.iter().any(Diagnostic::is_error) {
            return Poison;
        }
        let (title, here) = match name.as_str() {
            "overall" => (
                "the overall size follows from this".to_owned(),
                "not known until all is placed",
            ),
            _ => (
                format!("the size of `{name}` follows from this"),
                "made when its opening is placed",
            ),
        };
        self.sink.push(
            Diagnostic::new(&code::VALUE_CYCLE, title, first.span, here)
                .help("use it in `require`, `expect` or a note, or state the size that it is to follow from"),
        );
        Poison
    }

    fn no_member(&mut self, member: &Segment) -> Poison {
        const MEMBERS: &[&str] = &[
            "wide", "high", "deep", "left", "right", "front", "rear", "top", "bottom", "thick",
            "nominal",
        ];
        let report = Diagnostic::new(
            &code::NAME_UNKNOWN,
            format!("there is no member `{}` here", member.name),
            member.span,
            "not known",
        );
        self.sink.push(match crate::diag::nearest(&member.name, MEMBERS.iter().copied()) {
            Some(near) => report.help(format!("did you mean `{near}`?")),
            None => report.note("parts, openings and cases have wide, high, deep, left, right, front, rear, top, bottom; parts and stock also thick, of sheet nominal too"),
        });
        Poison
    }

    fn stock_member(&mut self, stock: usize, member: &Segment) -> Res<Value> {
        let kind = self.project.stocks.get_index(stock).map(|(_, s)| &s.kind);
        let length = |length: &Length| Ok(Value::Quantity(Quantity::length(*length)));
        match (kind, member.name.as_str()) {
            (Some(StockKind::Sheet { measured, .. }), "thick" | "measured") => length(measured),
            (Some(StockKind::Sheet { nominal, .. }), "nominal") => length(nominal),
            _ => Err(self.no_member(member)),
        }
    }

    /// A size of a case needs no place; its faces do.
    fn slot_member(&mut self, slot: usize, member: &Segment) -> Res<Value> {
        if let Some(size) = self.extent_of_slot(slot, &member.name) {
            return size.map(|size| Value::Quantity(Quantity::length(size)));
        }
        let body = self.case_body(slot)?;
        let envelope = self.bodies[body].envelope;
        box_member(&envelope, &member.name).ok_or_else(|| self.no_member(member))
    }

    fn body_member(&mut self, body: usize, path: &[Segment], member: &Segment) -> Res<Value> {
        let b = &self.bodies[body];
        // A door or face is as large as its finished panel, which is placed when it is made.
        let size = match b.kind {
            AssemblyKind::Leaf | AssemblyKind::Shelf => {
                let panel = b.panels.first().map(|p| self.panels[*p].finished);
                match panel {
                    Some(finished) => finished,
                    None => return Err(self.not_yet(path)),
                }
            }
            _ => b.envelope,
        };
        box_member(&size, &member.name).ok_or_else(|| self.no_member(member))
    }

    fn panel_member(&mut self, panel: usize, member: &Segment) -> Res<Value> {
        if member.name == "thick" {
            return Ok(Value::Quantity(Quantity::length(self.panels[panel].thick)));
        }
        if member.name == "nominal" {
            let stock = self.panels[panel].stock.0 as usize;
            return self.stock_member(stock, member);
        }
        self.faces_member(member, |me, edge| me.face(panel, edge))
    }

    fn space_member(&mut self, space: usize, member: &Segment) -> Res<Value> {
        self.faces_member(member, |me, edge| me.space_face(space, edge))
    }

    /// A face, or the distance between two.
    fn faces_member(
        &mut self,
        member: &Segment,
        mut face: impl FnMut(&mut Self, Edge) -> Res<Length>,
    ) -> Res<Value> {
        if let Some(edge) = Edge::from_word(&member.name) {
            return face(self, edge).map(|at| Value::Place(edge.axis(), at));
        }
        let axis: Axis = extent_axis(&member.name).ok_or_else(|| self.no_member(member))?;
        let (hi, lo) = (face(self, axis.high())?, face(self, axis.low())?);
        Ok(Value::Quantity(Quantity::length(hi - lo)))
    }
}

/// Whether a path is that of an element of an array: `body.tray[2]` of `body.tray`.
pub fn element_of(path: &str, array: &str) -> bool {
    path.strip_prefix(array)
        .is_some_and(|rest| rest.starts_with('[') && rest.ends_with(']') && !rest.contains('.'))
}

fn box_member(b: &Box3, word: &str) -> Option<Value> {
    if let Some(edge) = Edge::from_word(word) {
        return Some(Value::Place(edge.axis(), b.face(edge)));
    }
    extent_axis(word).map(|axis| Value::Quantity(Quantity::length(b.extent(axis))))
}
