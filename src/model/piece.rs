//! Pieces, their cases and openings, and the whole commission.

use super::{
    Axis, Box3, Cut, CutKind, Drawer, Edge, Finish, FinishId, Group, Hardware, HardwareUse, Joint,
    JointId, Leaf, Matched, Material, OnHand, Part, PartId, PartRef, SharedRows, ShelfSet, Shop,
    Stock,
};
use crate::measure::{Length, Units};
use crate::source::Span;
use schemars::JsonSchema;
use serde::Serialize;

/// The lines that made a thing.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Origin {
    /// The line.
    pub span: Span,
    /// Its clauses, by word (`wide`, `high`, `deep`, `of`, …), where a message may want to point.
    pub clauses: Vec<(String, Span)>,
}

impl Origin {
    /// A line without clauses of interest.
    pub fn line(span: Span) -> Origin {
        Origin {
            span,
            clauses: Vec::new(),
        }
    }

    /// The place of a clause, or of the line if it has none of that word.
    pub fn at(&self, word: &str) -> Span {
        self.clause(word).unwrap_or(self.span)
    }

    /// The place of a clause, if it was written.
    pub fn clause(&self, word: &str) -> Option<Span> {
        self.clauses
            .iter()
            .find(|(w, _)| w == word)
            .map(|(_, span)| *span)
    }
}

/// Everything that is to be built.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Model {
    /// Of the language.
    pub edition: u32,
    /// The files that it was made from, by index of [`crate::source::FileId`].
    pub files: Vec<String>,
    /// Who it is for; `None` when a piece is built on its own.
    pub commission: Option<Commission>,
    /// Each distinct piece (same name with other parameters is another).
    pub pieces: Vec<Piece>,
    /// Parts made alike, in the order of their marks.
    pub groups: Vec<Group>,
    /// Every species and core that is declared; of those of the library, what the texts name.
    pub materials: Vec<Material>,
    /// Every stock that is declared; of those of the library, what the texts name. So also hardware
    /// and finishes.
    pub stocks: Vec<Stock>,
    /// Every piece of hardware that is declared.
    pub hardware: Vec<Hardware>,
    /// Every finish.
    pub finishes: Vec<Finish>,
    /// The shop; its defaults where the text names none.
    pub shop: Shop,
    /// What is on hand.
    pub rack: Vec<OnHand>,
}

impl Model {
    /// The piece and part that a reference names.
    pub fn part(&self, at: PartRef) -> (&Piece, &Part) {
        let piece = self
            .pieces
            .get(at.piece as usize)
            .expect("a part reference names a piece of its model");
        (piece, piece.part(at.part))
    }

    /// The part by whose place in its piece the sides of a part are named. Parts of a group and hand are
    /// laid alike but stand apart: what is the left edge of one is the right edge of the next. All take the
    /// names of one, that of their part sheet: the first whose reference end is at the left.
    pub fn told_by(&self, at: PartRef) -> PartRef {
        let of = |group: &Group| {
            let (_, hand) = *group.members.iter().find(|(member, _)| *member == at)?;
            let alike = || group.members.iter().filter(|(_, other)| *other == hand);
            let at_left = alike().find(|(member, _)| self.part(*member).1.lay.end_at_left());
            at_left
                .or_else(|| alike().next())
                .map(|(member, _)| *member)
        };
        self.groups.iter().find_map(of).unwrap_or(at)
    }

    /// Every part of every piece, once (not times its copies).
    pub fn parts(&self) -> impl Iterator<Item = (PartRef, &Part)> {
        self.pieces.iter().enumerate().flat_map(|(i, piece)| {
            piece.parts.iter().map(move |part| {
                (
                    PartRef {
                        piece: i as u32,
                        part: part.id,
                    },
                    part,
                )
            })
        })
    }
}

/// What the whole is for.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Commission {
    /// Its name.
    pub name: String,
    /// Its title.
    pub title: String,
    /// For whom.
    pub client: Option<String>,
    /// ISO date.
    pub due: Option<String>,
    /// Its description and notes, Markdown.
    pub notes: Vec<Note>,
    /// The line.
    pub origin: Origin,
}

/// Words in the book.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Note {
    /// Markdown, with `{expr}` already computed.
    pub markdown: String,
    /// Where it was written.
    pub origin: Origin,
}

/// One piece.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Piece {
    /// Its name in the text.
    pub name: String,
    /// Its title in print.
    pub title: String,
    /// Its description (`///`).
    pub docs: String,
    /// How many are made.
    pub copies: u32,
    /// A letter for each copy, unique in the commission: `A`, `B`, … `Z`, `AA`.
    pub letters: Vec<String>,
    /// In which it prints.
    pub units: Units,
    /// How it is finished.
    pub finish: Option<FinishId>,
    /// Parameters with the values that were taken, as text.
    pub params: Vec<(String, String)>,
    /// Its cases.
    pub cases: Vec<CaseBox>,
    /// All of it: proud tops, edging, fronts; not pulls.
    pub overall: Box3,
    /// Where a wall stands against it, besides its rear: at the ends of a run that a filler closes.
    pub walls: Vec<Edge>,
    /// Every part; indexed by [`PartId`].
    pub parts: Vec<Part>,
    /// Every joint; indexed by [`super::JointId`].
    pub joints: Vec<Joint>,
    /// Every opening; indexed by [`OpeningId`].
    pub openings: Vec<Opening>,
    /// What is glued up, filled or hung as one; indexed by [`AssemblyId`].
    pub assemblies: Vec<Assembly>,
    /// Doors and faces.
    pub leaves: Vec<Leaf>,
    /// Drawers.
    pub drawers: Vec<Drawer>,
    /// Rows of holes that its openings share.
    pub rows: Vec<SharedRows>,
    /// Loose shelves.
    pub shelves: Vec<ShelfSet>,
    /// Fronts whose grain runs on from one to the next.
    pub matched: Vec<Matched>,
    /// Hardware for one copy.
    pub hardware: Vec<HardwareUse>,
    /// `require` and `expect` lines, all of which hold.
    pub stated: Vec<Stated>,
    /// Cautions that the maker has decided to live with.
    pub allowed: Vec<Allowed>,
    /// Its notes.
    pub notes: Vec<Note>,
    /// The line.
    pub origin: Origin,
}

impl Piece {
    /// A part of this piece.
    pub fn part(&self, id: PartId) -> &Part {
        self.parts
            .get(id.0 as usize)
            .expect("a part id comes from its own piece")
    }

    /// Whether it needs a restraint against tipping: tall, or with something that opens and brings its
    /// weight forward. From 27 in the US rule for clothing storage units asks for a stability test
    /// (16 CFR part 1261, ASTM F2057-23); that height is used here for every case with doors, flaps or drawers.
    pub fn can_tip(&self) -> bool {
        let high = self.overall.extent(Axis::Z);
        let doors = self.leaves.iter().any(|leaf| leaf.kind.turns());
        let drawers = !self.drawers.is_empty();
        let narrow = high > self.overall.extent(Axis::Y) * 2;
        let tall = high >= Length::inches(27, 1);
        tall && (doors || drawers || narrow) || drawers && narrow
    }

    /// The cases that stand in no other.
    pub fn outer_cases(&self) -> impl Iterator<Item = &CaseBox> {
        let within = |a: &CaseBox, b: &CaseBox| under(&a.name, &b.name);
        self.cases
            .iter()
            .filter(move |case| !self.cases.iter().any(|other| within(case, other)))
    }

    /// The case that an assembly is, or stands or hangs in: of cases within cases the outermost.
    pub fn outer_case(&self, id: AssemblyId) -> Option<&CaseBox> {
        let path = self.assembly(id).path.as_str();
        self.outer_cases()
            .find(|case| case.assembly == id || under(path, &case.name))
    }

    /// The case that an assembly is, or stands or hangs in: of cases within cases the innermost.
    pub fn inner_case(&self, id: AssemblyId) -> Option<&CaseBox> {
        let path = self.assembly(id).path.as_str();
        let holds = |case: &&CaseBox| case.assembly == id || under(path, &case.name);
        self.cases
            .iter()
            .filter(holds)
            .max_by_key(|case| case.name.len())
    }

    /// Whether it is made of several things that are put together where it stands.
    pub fn is_composed(&self) -> bool {
        self.outer_cases().count() > 1
            || self
                .parts
                .iter()
                .any(|part| matches!(self.assembly(part.assembly).kind, AssemblyKind::Fitted))
    }

    /// A door or face as it stands, with all the members of its frame.
    pub fn leaf_box(&self, leaf: &Leaf) -> Box3 {
        let part = self.part(leaf.part);
        let assembly = self.assembly(part.assembly);
        if assembly.kind != AssemblyKind::Leaf {
            return part.finished;
        }
        let boxes = assembly.parts.iter().map(|id| self.part(*id).finished);
        boxes.fold(part.finished, |all, b| all.union(&b))
    }

    /// Whether a cut is made when the same one is made in the other part of its joint: a slot for a key
    /// goes through both, once they are glued.
    pub fn cut_with_other(&self, part: &Part, cut: &Cut) -> bool {
        let joint = cut.joint.map(|id| self.joint(id));
        cut.kind == CutKind::KeySlot && joint.is_some_and(|joint| joint.b == part.id)
    }

    /// A joint of this piece.
    pub fn joint(&self, id: JointId) -> &Joint {
        self.joints
            .get(id.0 as usize)
            .expect("a joint id comes from its own piece")
    }

    /// An assembly of this piece.
    pub fn assembly(&self, id: AssemblyId) -> &Assembly {
        self.assemblies
            .get(id.0 as usize)
            .expect("an assembly id comes from its own piece")
    }

    /// An opening of this piece.
    pub fn opening(&self, id: OpeningId) -> &Opening {
        self.openings
            .get(id.0 as usize)
            .expect("an opening id comes from its own piece")
    }
}

/// Whether a path is that of something within another: `body.till` within `body`.
fn under(path: &str, within: &str) -> bool {
    path.strip_prefix(within)
        .is_some_and(|rest| rest.starts_with('.'))
}

/// A case: its envelope.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct CaseBox {
    /// Its name.
    pub name: String,
    /// `size`, in the piece.
    pub envelope: Box3,
    /// Which sides of it show.
    pub seen: Vec<Edge>,
    /// Its assembly.
    pub assembly: AssemblyId,
    /// The line.
    pub origin: Origin,
}

/// An opening, by its index in [`Piece::openings`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
pub struct OpeningId(pub u32);

/// A space between panels.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Opening {
    /// Name in the piece: `body.well`, `body.tray[2]`, `body.inside`.
    pub path: String,
    /// Between the panels.
    pub clear: Box3,
    /// What can pass at its front: x and z of the clear box less face frame and hanging edging; y as
    /// `clear`.
    pub daylight: Box3,
    /// The panels that bound it, by edge.
    pub bounds: Vec<(Edge, PartId)>,
    /// Whether it is divided further (then it has no front of its own).
    pub divided: bool,
    /// The axis along which its parent was divided.
    pub axis: Option<Axis>,
    /// The line.
    pub origin: Origin,
}

/// An assembly, by its index in [`Piece::assemblies`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
pub struct AssemblyId(pub u32);

/// What kind of thing an assembly is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs, reason = "the words of the trade say it")]
pub enum AssemblyKind {
    Case,
    Drawer,
    /// A door or a drawer's face, with its edging.
    Leaf,
    /// A loose shelf with its edging.
    Shelf,
    /// What is fitted where the piece stands: a worktop, a filler, the kick of a run; and the joints that
    /// hold cases together.
    Fitted,
}

/// Parts that become one thing.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Assembly {
    /// Its index.
    pub id: AssemblyId,
    /// Name in the piece: `body`, `body.tray`, `body.gates.left`.
    pub path: String,
    /// Name in print: `Case`, `Tray`, `Gates, left`.
    pub label: String,
    /// What it is.
    pub kind: AssemblyKind,
    /// Its parts, edging included.
    pub parts: Vec<PartId>,
    /// The order of assembly that the maker states, if any.
    pub stages: Vec<StatedStage>,
}

/// A stage of the maker's own order of assembly.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct StatedStage {
    /// What is put together and brought to what stands already.
    pub parts: Vec<PartId>,
    /// The side from which all of it comes in one move; `None` where any will do.
    pub from: Option<Edge>,
    /// The line.
    pub origin: Origin,
}

/// A condition of the maker's that holds.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Stated {
    /// The condition as written.
    pub text: String,
    /// The reason or name that the maker gave.
    pub why: Option<String>,
    /// For a comparison of lengths: figure, limit, and whether the figure must be at least the limit.
    pub margin: Option<(Length, Length, bool)>,
    /// The line.
    pub origin: Origin,
}

/// `allow CODE "why"`.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Allowed {
    /// The caution.
    pub code: String,
    /// Why it is all right.
    pub why: String,
    /// The lines that it is about, those of a pattern too: a caution with a place in them is allowed.
    pub about: Vec<Span>,
    /// The assemblies that it is about, of several made by one pattern; empty: all of the piece.
    pub within: Vec<AssemblyId>,
    /// The line.
    pub origin: Origin,
}

impl Allowed {
    /// Whether a place lies in the lines that it is about.
    pub fn covers(&self, place: Span) -> bool {
        self.about.iter().any(|about| about.holds(place))
    }

    /// Whether it is about an assembly.
    pub fn concerns(&self, assembly: AssemblyId) -> bool {
        self.within.is_empty() || self.within.contains(&assembly)
    }

    /// Whether another is about some of the same only.
    pub fn holds(&self, other: &Allowed) -> bool {
        let lines = other.about.iter().all(|place| self.covers(*place));
        let things = other.within.iter().all(|of| self.concerns(*of));
        lines && things && (self.within.is_empty() || !other.within.is_empty())
    }
}
