//! The workbench of elaboration: bodies, panels and spaces while their sizes are being found.

use super::circle::{Step, What};
use super::compose::Slot;
use super::env::{Env, Segment};
use super::project::Project;
use super::run::{Fitted, Run};
use super::stmt::{Scoped, Stmt};
use super::value::{Lookup, Value};
use super::{Poison, Res};
use crate::diag::{Diagnostic, code};
use crate::measure::{Dimension, Length, Units};
use crate::model::{
    AssemblyKind, Axis, Box3, CutKind, Drawer, Edge, Grain, HardwareId, HardwareUse, JointId,
    JointKind, Leaf, Origin, PartId, Role, Shape, ShelfSet, Size, StockId,
};
use crate::schema::{Clause, NameUse};
use crate::source::Span;
use crate::syntax::tree::Expr;
use std::collections::BTreeMap;
use std::rc::Rc;

/// A body: what has panels of its own. A case, a drawer, a leaf, a loose shelf.
#[derive(Debug)]
pub struct Body {
    /// What it is.
    pub kind: AssemblyKind,
    /// Name in the piece.
    pub path: String,
    /// Name in print.
    pub label: String,
    /// Its envelope in the piece.
    pub envelope: Box3,
    /// Its lines.
    pub stmt: Rc<Stmt>,
    /// Its panels.
    pub panels: Vec<usize>,
    /// Those that bound it, and the rails that stand in no division: what its inside is asked of.
    pub frame: Vec<usize>,
    /// Things found by name.
    pub names: BTreeMap<String, Thing>,
    /// Which sides show.
    pub seen: Vec<Edge>,
}

/// What a name of a body stands for.
#[derive(Clone, Debug)]
pub struct Thing {
    /// Where it was declared.
    pub span: Span,
    /// What it is.
    pub kind: ThingKind,
    /// Of an array, the line of each element: in another turn of a repetition another branch may hold.
    pub elements: BTreeMap<Vec<u32>, Span>,
}

impl Thing {
    /// The line that bears the name already, if what this line declares is no further element.
    fn taken(&self, span: Span, index: &[u32]) -> Option<Span> {
        let array = !index.is_empty() && !self.elements.contains_key([].as_slice());
        let first = match self.elements.get(index) {
            Some(first) => *first,
            None if array => return None,
            None => self.span,
        };
        (first != span).then_some(first)
    }
}

/// The kinds of named thing.
#[derive(Clone, Debug)]
pub enum ThingKind {
    /// Panels; several where the name is an array.
    Panels(Vec<usize>),
    /// Spaces.
    Spaces(Vec<usize>),
    /// Fronts, drawers, shelves: known by name only.
    Fitting,
}

/// The state of a face or a division.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// Not yet found.
    Todo,
    /// Being found: meeting it again is a cycle.
    Busy,
    /// Reported.
    Bad,
    /// Its place along its axis.
    At(Length),
}

/// A panel on its way to a part.
#[derive(Debug)]
pub struct Panel {
    /// Its name in its body.
    pub name: String,
    /// Its indices, if it is of an array.
    pub index: Vec<u32>,
    /// Name in the piece.
    pub path: String,
    /// Name in print.
    pub label: String,
    /// What it is.
    pub role: Role,
    /// Its body.
    pub body: usize,
    /// Its line.
    pub stmt: Rc<Stmt>,
    /// What it is made of.
    pub stock: StockId,
    /// Its thickness.
    pub thick: Length,
    /// The axis of its thickness.
    pub axis: Axis,
    /// The axis along which it is placed (a rail on edge and a stile: not that of the thickness).
    pub pos: Axis,
    /// The edge of the body that it bounds.
    pub edge: Option<Edge>,
    /// The space that it stands in, and the division that places it.
    pub within: Option<(usize, Option<usize>)>,
    /// Where its six faces are, in the order of [`Edge::ALL`].
    pub faces: [Place; 6],
    /// The axis of its grain.
    pub grain: Axis,
    /// Whether its stock has any.
    pub grained: Grain,
    /// The finished panel, before joints.
    pub finished: Box3,
    /// Less the edging that goes on after the joints; grows as joints are made.
    pub core: Box3,
    /// What is cut, in the piece.
    pub cuts: Vec<CutWork>,
    /// Its strips.
    pub bands: Vec<BandWork>,
    /// Where it is shaped: what is done, the edge, and the wood that it may take.
    pub shaped: Vec<(Shape, Edge, Box3, Origin)>,
    /// For a strip: its panel.
    pub host: Option<usize>,
    /// What a slip that stands at 45 degrees is besides the box round it.
    pub aslant: Option<Aslant>,
    /// Growth already claimed at each edge, with the line that claimed it.
    pub growth: Vec<(Edge, Length, Span)>,
}

impl Panel {
    /// A panel whose box is known: to be given its names, role and grain.
    pub fn placed(
        body: usize,
        stmt: &Rc<Stmt>,
        taken: &super::panels::Taken,
        axis: Axis,
        finished: Box3,
    ) -> Panel {
        Panel {
            name: String::new(),
            index: Vec::new(),
            path: String::new(),
            label: String::new(),
            role: Role::Side,
            body,
            stmt: stmt.clone(),
            stock: taken.stock,
            thick: taken.thick,
            axis,
            pos: axis,
            edge: None,
            within: None,
            faces: Edge::ALL.map(|edge| Place::At(finished.face(edge))),
            grain: axis,
            grained: taken.grain,
            finished,
            core: finished,
            cuts: Vec::new(),
            bands: Vec::new(),
            host: None,
            aslant: None,
            shaped: Vec::new(),
            growth: Vec::new(),
        }
    }
}

/// A part at 45 degrees to the axes of its piece.
#[derive(Clone, Debug)]
pub struct Aslant {
    /// As it is sawn.
    pub size: Size,
    /// What of the box round it is not wood.
    pub off: Vec<Work>,
}

/// A cut on its way into a part's frame.
#[derive(Clone, Debug)]
pub struct CutWork {
    /// Its kind.
    pub kind: CutKind,
    /// The wood that goes.
    pub solids: Vec<Work>,
    /// The side of the piece toward which the entry surface looks.
    pub entry: Edge,
    /// Along which it runs.
    pub along: Axis,
    /// Across the run, as machined.
    pub width: Length,
    /// From the surface, as machined.
    pub depth: Length,
    /// Of the width.
    pub fit: Length,
    /// Of the depth.
    pub relief: Length,
    /// Its joint.
    pub joint: Option<JointId>,
    /// What goes in.
    pub filler: Option<usize>,
    /// The line.
    pub origin: Origin,
}

/// A volume in the piece.
#[derive(Clone, Debug)]
pub enum Work {
    /// A box.
    Box(Box3),
    /// A bore from a point on the surface that looks toward `entry`.
    Bore {
        /// Centre of its mouth.
        mouth: [Length; 3],
        /// The surface.
        entry: Edge,
        /// Across.
        diameter: Length,
        /// In.
        depth: Length,
    },
    /// A prism along an axis; corners are points of the piece (their place along the axis unused).
    Prism {
        /// Along.
        axis: Axis,
        /// Corners.
        outline: Vec<[Length; 3]>,
        /// Start.
        lo: Length,
        /// End.
        hi: Length,
    },
    /// A prism whose sides lean: as many corners at its end, each side parallel to that at its start.
    Leaning {
        /// Along.
        axis: Axis,
        /// Corners at its start and at its end.
        outlines: [Vec<[Length; 3]>; 2],
        /// Start.
        lo: Length,
        /// End.
        hi: Length,
    },
}

/// A strip to be put on.
#[derive(Clone, Debug)]
pub struct BandWork {
    /// The edge that it covers.
    pub edge: Edge,
    /// Out from the edge.
    pub thick: Length,
    /// Where it lies across the edge.
    pub across: (Length, Length),
    /// What it is made of.
    pub stock: StockId,
    /// Mitred ends.
    pub mitred: bool,
    /// On before the joints.
    pub early: bool,
    /// Tongue: thickness, depth, and whether it is on the strip.
    pub tongue: Option<(Length, Length, bool)>,
    /// The groove goes on to the ends.
    pub run_out: bool,
    /// What it is called in print.
    pub title: String,
    /// The strip's panel, once made.
    pub strip: Option<usize>,
    /// The line.
    pub origin: Origin,
}

/// A space on its way to an opening.
#[derive(Debug)]
pub struct Space {
    /// Its name.
    pub name: String,
    /// Its indices.
    pub index: Vec<u32>,
    /// Its body.
    pub body: usize,
    /// The space that it is a part of, and the division.
    pub parent: Option<(usize, usize)>,
    /// Where its faces are.
    pub faces: [Place; 6],
    /// The panel that bounds it at each edge; a space that touches another has none.
    pub bounds: [Option<usize>; 6],
    /// The edges at which it touches another space.
    pub touches: [bool; 6],
    /// Whether it is divided.
    pub divided: bool,
    /// The line.
    pub origin: Origin,
}

/// A division of a space.
#[derive(Debug)]
pub struct Division {
    /// The space.
    pub space: usize,
    /// Along which.
    pub axis: Axis,
    /// Whether the first item is at the high end.
    pub downward: bool,
    /// What stands in it, in order.
    pub items: Vec<Item>,
    /// Whether it is solved.
    pub state: Place,
    /// The line.
    pub span: Span,
    /// `by faces`: the items of such a line, from one to before another.
    pub by_faces: Vec<(usize, usize)>,
}

/// An item of a division.
#[derive(Clone, Debug)]
pub enum Item {
    /// An opening: the space, its line, its size if stated, its share.
    Opening {
        /// The space.
        space: usize,
        /// Where its size is stated, or its name.
        span: Span,
        /// Stated clear size, computed when the division is solved.
        size: Option<Rc<Scoped<Clause>>>,
        /// Its share of the rest.
        share: crate::measure::Rational,
    },
    /// A part between.
    Part(usize),
}

/// A joint on its way to the model.
#[derive(Clone, Debug)]
pub struct JointWork {
    /// Its kind.
    pub kind: JointKind,
    /// What enters.
    pub a: usize,
    /// What receives.
    pub b: usize,
    /// The edge of `a` that meets `b`.
    pub edge: Edge,
    /// How far it enters.
    pub deep: Length,
    /// Where the nominal faces meet.
    pub contact: Box3,
    /// Whether it is glued.
    pub glued: bool,
    /// Along how much of the meeting, where not along all of it.
    pub glued_along: Option<Length>,
    /// Whether its screws sit in slots, so that solid wood can move.
    pub slotted: bool,
    /// The edge to which the slots of its connectors in `b` run out.
    pub open_to: Option<Edge>,
    /// Its connectors.
    pub fastening: Option<(HardwareId, Vec<[Length; 3]>)>,
    /// Whose glue-up.
    pub body: usize,
    /// The line.
    pub origin: Origin,
}

impl JointWork {
    /// Parts that are glued where they meet, by the line that makes the first.
    pub fn glued(
        kind: JointKind,
        [a, b]: [usize; 2],
        edge: Edge,
        contact: Box3,
        body: usize,
        line: &Stmt,
    ) -> JointWork {
        JointWork {
            kind,
            a,
            b,
            edge,
            deep: Length::ZERO,
            contact,
            glued: true,
            glued_along: None,
            slotted: false,
            open_to: None,
            fastening: None,
            body,
            origin: line.origin(),
        }
    }
}

/// What a fitting takes of a space: a drawer with a face both.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Filling {
    /// The front of it.
    Front,
    /// The room behind.
    Within,
}

/// Everything about a piece that is being built.
pub struct Builder<'a> {
    /// The project.
    pub project: &'a Project,
    /// Where reports go.
    pub sink: &'a mut Vec<Diagnostic>,
    /// How it prints.
    pub units: Units,
    /// Its bodies; each becomes an assembly of the same index.
    pub bodies: Vec<Body>,
    /// Its panels; each becomes a part of the same index.
    pub panels: Vec<Panel>,
    /// Its spaces; each becomes an opening of the same index.
    pub spaces: Vec<Space>,
    /// Its divisions.
    pub divisions: Vec<Division>,
    /// Its joints.
    pub joints: Vec<JointWork>,
    /// The joints of each two parts, the lower first.
    pub joints_of: BTreeMap<(usize, usize), Vec<usize>>,
    /// Its fronts.
    pub leaves: Vec<Leaf>,
    /// Its drawers.
    pub drawers: Vec<Drawer>,
    /// Its rows of holes.
    pub rows: Vec<super::rows::SharedHoles>,
    /// Its loose shelves.
    pub shelves: Vec<ShelfSet>,
    /// Its hardware.
    pub hardware: Vec<HardwareUse>,
    /// Cautions allowed.
    pub allowed: Vec<crate::model::Allowed>,
    /// The lines of overlay fronts by space: covers depend on a front's neighbours.
    pub overlays: BTreeMap<usize, Rc<Stmt>>,
    /// The spaces with overlay fronts that a space is or holds.
    pub fronts_under: BTreeMap<usize, Vec<usize>>,
    /// The spaces with overlay fronts that a panel bounds at an edge.
    pub fronts_at: BTreeMap<(usize, Edge), Vec<usize>>,
    /// Which spaces are filled, in front or within, and by which line.
    pub filled: BTreeMap<(usize, Filling), Span>,
    /// The face frames, by the case before which they stand.
    pub face_frames: BTreeMap<usize, usize>,
    /// What the members of face frames stand before.
    pub covers: BTreeMap<usize, super::face_frame::Covers>,
    /// The order of assembly that a body's block states.
    pub stages: BTreeMap<usize, Vec<super::stages::StageWork>>,
    /// The body whose names are looked up first.
    pub current: usize,
    /// Known when all is placed.
    pub overall: Option<Box3>,
    /// How many holes, slots and fittings it has so far.
    pub holes: u32,
    /// How many values and places wait for the one that is being found.
    pub depth: usize,
    /// The cases of the piece, declared or not.
    pub slots: Vec<Slot>,
    /// Its runs.
    pub runs: Vec<Run>,
    /// Its worktops, kicks and fillers.
    pub fitted: Vec<Fitted>,
    /// Parts that could not be made, by body, name and index: they are not missed again.
    pub lost_parts: Vec<(usize, String, Vec<u32>)>,
    /// The lines of a body that change one element, by their places in its block, once asked for.
    pub element_lines: BTreeMap<usize, Rc<Vec<usize>>>,
    /// Whether a case, run or worktop was lost: its name is not missed.
    pub lost_cases: bool,
    /// What is being found.
    pub trail: Vec<Step>,
    /// How many turns repetitions have taken.
    pub turns: u32,
}

/// A part id from a panel's index.
pub fn part_id(panel: usize) -> PartId {
    PartId(panel as u32)
}

impl Lookup for Builder<'_> {
    fn path(&mut self, path: &[Segment]) -> Option<Res<Value>> {
        self.geometry(path)
    }
    fn candidates(&self) -> Vec<String> {
        let mut names: Vec<String> = self
            .bodies
            .iter()
            .flat_map(|b| b.names.keys().cloned())
            .collect();
        names.extend(self.slots.iter().map(|slot| slot.path.clone()));
        names.extend(self.runs.iter().map(|run| run.name.clone()));
        names.extend(self.fitted.iter().map(|fitted| fitted.name.clone()));
        names
    }
    fn excuses(&self, path: &[Segment]) -> bool {
        // The name of a case may stand before the names of what is in it.
        if self.lost_cases {
            return true;
        }
        let known = |name: &str| {
            self.bodies
                .iter()
                .any(|b| b.path == name || b.names.contains_key(name))
        };
        let Some(strange) = path.iter().find(|s| !known(&s.name)) else {
            return false;
        };
        self.excused(self.current, &strange.name) || self.excused(0, &strange.name)
    }
    fn source(&self, span: Span) -> String {
        self.project.sources.text(span).to_owned()
    }
    fn depth(&mut self) -> &mut usize {
        &mut self.depth
    }
    fn trail(&mut self) -> &mut Vec<Step> {
        &mut self.trail
    }
    fn name_of(&self, what: &What) -> String {
        let indexed = super::label::indexed;
        match what {
            What::Value(name) | What::Case(name) => name.clone(),
            What::Face(panel, _) => {
                let p = &self.panels[*panel];
                indexed(&p.name, &p.index)
            }
            What::Space(space, _) => {
                let s = &self.spaces[*space];
                indexed(&s.name, &s.index)
            }
            What::Division(division) => {
                let s = &self.spaces[self.divisions[*division].space];
                indexed(&s.name, &s.index)
            }
        }
    }
    fn turns(&mut self) -> &mut u32 {
        &mut self.turns
    }
    fn report(&mut self, diagnostic: Diagnostic) {
        self.sink.push(diagnostic);
    }
}

impl Builder<'_> {
    /// Goes on without what is poisoned: its fault was reported, which this checks in debug builds.
    pub fn settle<T>(&self, result: Res<T>) -> Option<T> {
        debug_assert!(
            result.is_ok() || self.sink.iter().any(Diagnostic::is_error),
            "what is poisoned was reported"
        );
        result.ok()
    }

    /// Whether a name that nothing bears may be the name of something that could not be read or made.
    pub(super) fn excused(&self, body: usize, name: &str) -> bool {
        // Nothing is excused before a fault was told.
        let told = self.sink.iter().any(Diagnostic::is_error);
        let Some(body) = self.bodies.get(body).filter(|_| told) else {
            return false;
        };
        // The sides of a drawer's box have no lines of their own.
        let of_box = body.kind == AssemblyKind::Drawer
            && matches!(name, "left" | "right" | "front" | "back");
        self.project.has_holes()
            || body.stmt.damaged
            || of_box
            || declared_somewhere(&body.stmt, name)
    }

    /// Declares a name in a body, with the index that it has there.
    pub fn name(
        &mut self,
        body: usize,
        name: &str,
        (span, index): (Span, &[u32]),
        kind: ThingKind,
    ) -> Res<()> {
        let names = &mut self.bodies[body].names;
        let Some(thing) = names.get_mut(name) else {
            let elements = BTreeMap::from([(index.to_vec(), span)]);
            let thing = Thing {
                span,
                kind,
                elements,
            };
            names.insert(name.to_owned(), thing);
            return Ok(());
        };
        let taken = thing.taken(span, index);
        match (&mut thing.kind, kind) {
            // The elements of an array come one after another.
            (ThingKind::Panels(list), ThingKind::Panels(more))
            | (ThingKind::Spaces(list), ThingKind::Spaces(more))
                if taken.is_none() =>
            {
                list.extend(more);
            }
            (ThingKind::Fitting, ThingKind::Fitting) if taken.is_none() => {}
            _ => {
                let first = taken.unwrap_or(thing.span);
                let report = super::project::twice(name, span, first);
                self.sink.push(report);
                return Err(Poison);
            }
        }
        thing.elements.entry(index.to_vec()).or_insert(span);
        Ok(())
    }

    /// The indices of a name use, computed.
    pub fn indices(&mut self, name: &NameUse, env: &Rc<Env>) -> Res<Vec<u32>> {
        let index = name.index.iter();
        index.map(|e| self.index_of(&name.text, env, e)).collect()
    }

    /// One index of an element.
    fn index_of(&mut self, name: &str, env: &Rc<Env>, expr: &Expr) -> Res<u32> {
        let value = super::value::quantity_of(self, env, expr, Dimension::NONE)?;
        let whole = value
            .is_integer()
            .then(|| u32::try_from(value.numer()).ok());
        match whole.flatten() {
            Some(n) if n > 0 => Ok(n),
            _ => {
                let report = Diagnostic::new(
                    &code::VALUE_RANGE,
                    format!("`{name}` has no such element"),
                    expr.span,
                    format!("this is {value}; the elements are counted from 1, in whole numbers"),
                );
                self.sink
                    .push(report.help(format!("the first is `{name}[1]`")));
                Err(Poison)
            }
        }
    }

    /// The panels that a name of a body stands for.
    pub fn panels_of(&mut self, body: usize, name: &NameUse, env: &Rc<Env>) -> Res<Vec<usize>> {
        if let Some((within, own)) = self.within(body, name) {
            return self.panels_of(within, &own, env);
        }
        let index = self.indices(name, env)?;
        match self.thing_kind(body, name) {
            Some(ThingKind::Panels(mut list)) => {
                list.retain(|p| self.panels[*p].index.starts_with(&index));
                self.elements(body, list, name, &index)
            }
            None if self.made_no_times(body, name) => Ok(Vec::new()),
            other => Err(self.unknown(body, name, "part", other.is_some())),
        }
    }

    /// The spaces that a name of a body stands for.
    pub fn spaces_of(&mut self, body: usize, name: &NameUse, env: &Rc<Env>) -> Res<Vec<usize>> {
        let index = self.indices(name, env)?;
        match self.thing_kind(body, name) {
            Some(ThingKind::Spaces(mut list)) => {
                list.retain(|s| self.spaces[*s].index.starts_with(&index));
                self.elements(body, list, name, &index)
            }
            None if self.made_no_times(body, name) => Ok(Vec::new()),
            other => Err(self.unknown(body, name, "opening", other.is_some())),
        }
    }

    /// Whether a name is that of something which a branch that does not hold, or a repetition without a
    /// turn, declares: there is none of it, and it is no slip.
    fn made_no_times(&self, body: usize, name: &NameUse) -> bool {
        let first = name.text.split('.').next().unwrap_or_default();
        self.bodies[body].stmt.omits(first)
    }

    /// Of a name with dots, `till.floor`: the case that stands in this one, and the name in it.
    fn within(&self, body: usize, name: &NameUse) -> Option<(usize, NameUse)> {
        let (case, own) = name.text.rsplit_once('.')?;
        let path = format!("{}.{case}", self.bodies[body].path);
        let within = self.bodies.iter().position(|b| b.path == path)?;
        let own = NameUse {
            text: own.to_owned(),
            ..name.clone()
        };
        Some((within, own))
    }

    fn thing_kind(&self, body: usize, name: &NameUse) -> Option<ThingKind> {
        let thing = self.bodies[body].names.get(&name.text);
        thing.map(|thing| thing.kind.clone())
    }

    /// The elements that an index leaves; none is a report.
    fn elements(
        &mut self,
        body: usize,
        list: Vec<usize>,
        name: &NameUse,
        index: &[u32],
    ) -> Res<Vec<usize>> {
        match list.is_empty() {
            true => Err(self.no_element(body, &name.text, index, name.span)),
            false => Ok(list),
        }
    }

    /// Reports that an array has no such element, and which it has; one that could not be made was
    /// reported.
    pub fn no_element(&mut self, body: usize, name: &str, index: &[u32], span: Span) -> Poison {
        if self.is_lost(body, name, index) {
            return Poison;
        }
        let report = Diagnostic::new(
            &code::NAME_UNKNOWN,
            format!("there is no `{}`", super::label::indexed(name, index)),
            span,
            "no such element",
        );
        let kind = self.bodies[body].names.get(name).map(|thing| &thing.kind);
        let all: Vec<&[u32]> = match kind {
            Some(ThingKind::Panels(list)) => list
                .iter()
                .map(|p| self.panels[*p].index.as_slice())
                .collect(),
            Some(ThingKind::Spaces(list)) => list
                .iter()
                .map(|s| self.spaces[*s].index.as_slice())
                .collect(),
            _ => Vec::new(),
        };
        let report = match (all.iter().min(), all.iter().max()) {
            (Some([]), _) => report.help(format!(
                "`{name}` is one thing, not an array; leave the index out"
            )),
            (Some(first), Some(last)) if first != last => report.help(format!(
                "there are `{}` to `{}`",
                super::label::indexed(name, first),
                super::label::indexed(name, last)
            )),
            (Some(only), _) => report.help(format!(
                "there is only `{}`",
                super::label::indexed(name, only)
            )),
            _ => report,
        };
        self.sink.push(report);
        Poison
    }

    /// Whether a part of this name, or of an array of this name, could not be made.
    pub fn is_lost(&self, body: usize, name: &str, index: &[u32]) -> bool {
        let mut lost = self.lost_parts.iter();
        lost.any(|(of, lost, at)| *of == body && lost == name && at.starts_with(index))
    }

    /// Reports a name that is not a part or opening of a body.
    fn unknown(&mut self, body: usize, name: &NameUse, what: &str, is_other: bool) -> Poison {
        let b = &self.bodies[body];
        if !is_other && self.excused(body, &name.text) {
            // Its own line is broken and was reported.
            return Poison;
        }
        let wanted: Vec<&str> = b
            .names
            .iter()
            .filter(|(_, t)| {
                matches!(
                    (&t.kind, what),
                    (ThingKind::Panels(_), "part") | (ThingKind::Spaces(_), "opening")
                )
            })
            .map(|(n, _)| n.as_str())
            .collect();
        let here = if is_other {
            format!(
                "is not {} {what}",
                if what == "opening" { "an" } else { "a" }
            )
        } else {
            "not known".into()
        };
        let mut report = Diagnostic::new(
            &code::NAME_UNKNOWN,
            format!("no {what} of `{}` is called `{}`", b.path, name.text),
            name.span,
            here,
        );
        report = match crate::diag::nearest(&name.text, wanted.iter().copied()) {
            Some(near) => report
                .help(format!("did you mean `{near}`?"))
                .might_mend(name.span, near),
            None if wanted.is_empty() => report,
            None => report.note(format!("{what}s here: {}", wanted.join(", "))),
        };
        self.sink.push(report);
        Poison
    }

    /// The box of a panel, all faces found.
    pub fn panel_box(&mut self, panel: usize) -> Res<Box3> {
        let mut out = Box3 {
            lo: [Length::ZERO; 3],
            hi: [Length::ZERO; 3],
        };
        let mut fine = Ok(());
        for edge in Edge::ALL {
            match self.face(panel, edge) {
                Ok(at) => out.set_face(edge, at),
                Err(poison) => fine = Err(poison),
            }
        }
        fine.map(|()| out)
    }

    /// The box of a space.
    pub fn space_box(&mut self, space: usize) -> Res<Box3> {
        let mut out = Box3 {
            lo: [Length::ZERO; 3],
            hi: [Length::ZERO; 3],
        };
        for edge in Edge::ALL {
            let at = self.space_face(space, edge)?;
            out.set_face(edge, at);
        }
        Ok(out)
    }
}

/// The axis that an extent word speaks of.
pub fn extent_axis(word: &str) -> Option<Axis> {
    match word {
        "wide" => Some(Axis::X),
        "deep" => Some(Axis::Y),
        "high" => Some(Axis::Z),
        _ => None,
    }
}

/// The extent word of an axis.
pub fn extent_word(axis: Axis) -> &'static str {
    ["wide", "deep", "high"][axis.index()]
}

/// Whether a line of a body gives a name, or is too damaged to tell. Such a name that is not known was
/// reported with its line. What stands in a drawer or a door has names of its own.
fn declared_somewhere(stmt: &Stmt, name: &str) -> bool {
    stmt.lines.iter().any(|line| {
        let declares = if line.names.is_empty() {
            line.word() == name
        } else {
            line.names.iter().any(|n| n.text == name)
        };
        line.damaged
            || (line.head.declares && declares)
            || (matches!(line.word(), "divide" | "openings") && declared_somewhere(line, name))
    })
}
