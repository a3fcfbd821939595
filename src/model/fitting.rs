//! What fills openings: leaves, drawers, shelves, and the hardware that goes with them.

use super::{AssemblyId, Box3, Edge, HardwareId, LocalAxis, OpeningId, Origin, PartId, Piece};
use crate::measure::Length;
use schemars::JsonSchema;
use serde::Serialize;

/// What kind of front a leaf is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum LeafKind {
    /// A door or one of a pair.
    Door,
    /// A front that opens down or up.
    Flap,
    /// A face applied to a drawer box.
    DrawerFace,
    /// A drawer's own front that fills the opening.
    OwnFront,
}

impl LeafKind {
    /// Whether it turns on hinges.
    pub fn turns(self) -> bool {
        matches!(self, LeafKind::Door | LeafKind::Flap)
    }
}

/// Clearances round a front: finished gap at each edge (negative: overlap over the case).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[allow(missing_docs, reason = "edges")]
pub struct Gaps {
    pub left: Length,
    pub right: Length,
    pub bottom: Length,
    pub top: Length,
}

/// A front.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Leaf {
    /// Name in the piece: `body.gates.left`, `body.tray.face`.
    pub path: String,
    /// What it is.
    pub kind: LeafKind,
    /// Its panel.
    pub part: PartId,
    /// The opening that it closes.
    pub opening: OpeningId,
    /// Whether it stands in the opening rather than over the case.
    pub inset: bool,
    /// Visible gaps for an inset leaf; how far it stops short of the daylight (negative where it
    /// covers) for an overlay leaf.
    pub gaps: Gaps,
    /// The gap between the leaves of a pair.
    pub meeting: Option<(Edge, Length)>,
    /// How far it covers the case at its hung edge.
    pub covers: Option<Length>,
    /// The edge that it is hung on.
    pub hung: Option<Edge>,
    /// Its hinges, from the bottom up; of a flap from left to right.
    pub hinges: Vec<HingePlace>,
    /// What holds a flap open, and where it is screwed on.
    pub stays: Vec<StayPlace>,
    /// Its pulls.
    pub pulls: Vec<PullPlace>,
    /// Catches and locks: hardware and how many.
    pub catches: Vec<(HardwareId, u32)>,
    /// The drawer that a face belongs to.
    pub drawer: Option<AssemblyId>,
    /// The line.
    pub origin: Origin,
}

/// A hinge.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct HingePlace {
    /// What it is.
    pub hardware: HardwareId,
    /// Its middle along the edge that the leaf hangs on: above the lower end, of a flap from the left.
    pub along_leaf: Length,
    /// Its middle in the piece, on the same axis.
    pub place: Length,
    /// The holes that its plate is screwed into, where those are of rows of the case.
    pub plate: Option<PlatePlace>,
}

/// A stay of a flap, between the flap and a side of its opening.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct StayPlace {
    /// What it is.
    pub hardware: HardwareId,
    /// The end of the flap that it sits at: left or right.
    pub end: Edge,
    /// The part that its other end is screwed to.
    pub part: PartId,
    /// Its screw in the flap, from the edge that the flap hangs on.
    pub from_hung: Option<Length>,
    /// Its screw in the side, behind the line on which the flap turns.
    pub behind: Length,
    /// How far beyond that line the inner face of the flap lies when it stands open.
    pub rise: Length,
    /// From screw to screw when it is drawn out.
    pub long: Option<Length>,
}

impl StayPlace {
    /// How far up or down the side from the line on which the flap turns its screw there sits, to the
    /// hundredth of a millimetre, if the flap is to stop square to the side: the stay is the long side of
    /// a right triangle (Pythagoras), one side of which lies along the open flap.
    pub fn from_pin(&self) -> Option<Length> {
        let (long, along) = (
            self.long?.to_f64_mm(),
            (self.from_hung? + self.behind).to_f64_mm(),
        );
        let up = (long > along).then(|| (long * long - along * along).sqrt())?;
        Some(Length::um((up * 100.0).round() as i64 * 10) + self.rise)
    }
}

/// The two holes of a row that take the screws of a hinge's plate.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct PlatePlace {
    /// The name of the rows in the text.
    pub rows: String,
    /// The number of the lower hole, the lowest of its row being the first.
    pub hole: u32,
}

/// A pull.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct PullPlace {
    /// What it is.
    pub hardware: HardwareId,
    /// Its middle on the leaf: from the left and from the bottom edge of the finished leaf.
    pub from_left: Length,
    /// See `from_left`.
    pub from_bottom: Length,
}

/// How a drawer runs.
#[derive(Clone, Debug, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum RunnerPlace {
    /// A pair of runners on the case's and the drawer's sides.
    Side {
        /// What they are.
        hardware: HardwareId,
        /// Height of the drawer's lower edge above the opening's clear floor.
        box_above_floor: Length,
        /// From the front plane of the case to the runner's front end.
        set_back: Length,
    },
    /// On wood, with a gap a side.
    Wooden {
        /// The gap between drawer and opening at each side.
        gap: Length,
    },
}

/// A drawer.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Drawer {
    /// Name in the piece: `body.tray`.
    pub path: String,
    /// Its parts.
    pub assembly: AssemblyId,
    /// The opening that it stands in.
    pub opening: OpeningId,
    /// The box outside, in the piece.
    pub outside: Box3,
    /// How it runs; `None` if the text does not say.
    pub runner: Option<RunnerPlace>,
    /// The line, with the clauses of its box.
    pub origin: Origin,
}

/// Loose shelves of an opening.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct ShelfSet {
    /// Name in the piece.
    pub path: String,
    /// Where.
    pub opening: OpeningId,
    /// The shelves.
    pub parts: Vec<PartId>,
    /// Rows of holes for their pins; of rows of the case, the holes that lie in this opening.
    pub rows: Vec<PinRow>,
    /// The name of the case's rows, if the holes are of those.
    pub in_rows: Option<String>,
    /// Pins a shelf.
    pub pins: Option<(HardwareId, u32)>,
    /// The load that the maker states, kilograms a square metre, as text and value.
    pub load: Option<f64>,
    /// The line.
    pub origin: Origin,
}

/// Rows of holes that openings of a case share.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct SharedRows {
    /// Name in the piece: `body.line32`.
    pub path: String,
    /// The pins that the holes are for.
    pub hardware: HardwareId,
    /// The rows, panel by panel.
    pub rows: Vec<PinRow>,
    /// The line.
    pub origin: Origin,
}

/// A row of holes up a panel.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct PinRow {
    /// The panel.
    pub part: PartId,
    /// From the panel's front edge (finished) to the row.
    pub set_back: Length,
    /// Height of the first hole in the piece.
    pub first_z: Length,
    /// Between holes.
    pub pitch: Length,
    /// How many.
    pub count: u32,
}

/// Hardware that a piece needs.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct HardwareUse {
    /// What.
    pub hardware: HardwareId,
    /// How many, in the hardware's own unit (a pair of runners is one).
    pub count: u32,
    /// What for: `gates, hinges`.
    pub reason: String,
    /// Where it goes.
    pub assembly: AssemblyId,
}

/// Fronts that come from one sheet in sequence, so that the grain runs on from one to the next.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Matched {
    /// In the order in which they are sawn, as one looks at them: along the sheet from its squared end, or
    /// across it from its trued edge.
    pub parts: Vec<PartId>,
    /// The line.
    pub origin: Origin,
}

impl Matched {
    /// Whether they follow each other along the grain.
    pub fn along_grain(&self, piece: &Piece) -> bool {
        let [first, second, ..] = self.parts.as_slice() else {
            return false;
        };
        let (first, second) = (piece.part(*first), piece.part(*second));
        let axis = first.lay.axis(LocalAxis::Length) as usize;
        first.core.lo[axis] != second.core.lo[axis]
    }
}
