//! Parts, their cuts, and groups of parts that are made alike.

use super::{
    AssemblyId, Box3, JointId, Lay, LocalAxis, LocalBox, Origin, Side, Size, Solid, Stock, StockId,
    StockKind,
};
use crate::measure::Length;
use schemars::JsonSchema;
use serde::Serialize;

/// A part of a piece, by its index in [`super::Piece::parts`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
pub struct PartId(pub u32);

/// A part of the commission: piece and part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
pub struct PartRef {
    /// Index in [`super::Model::pieces`].
    pub piece: u32,
    /// The part of it.
    pub part: PartId,
}

/// What a part is in the piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs, reason = "the words of the trade say it")]
pub enum Role {
    Side,
    Bottom,
    Top,
    Lid,
    Front,
    Back,
    Shelf,
    Divider,
    Rail,
    Stile,
    Kick,
    Cleat,
    /// Anywhere in a case, by its stated extents, or before an opening for good.
    Panel,
    Leg,
    Apron,
    /// Upright in a face frame.
    FaceStile,
    /// Level in a face frame.
    FaceRail,
    /// Wraps around a case, outside it.
    Moulding,
    /// Fills the rest of a run.
    Filler,
    /// Lies on a run or on cases.
    Worktop,
    /// A door, or one leaf of a pair.
    Door,
    /// A front that opens down or up.
    Flap,
    /// The panel within a frame.
    Field,
    /// A face applied to a drawer box.
    Face,
    LooseShelf,
    DrawerSide,
    DrawerFront,
    DrawerBack,
    DrawerBottom,
    /// A strip of edging.
    Band,
    /// Carries a drawer's side from below.
    Bearer,
    /// Guides a drawer's side.
    Guide,
    /// Keeps a drawer from tipping when it is pulled out.
    Kicker,
    /// Packs a runner out to the daylight.
    Packing,
    /// In slots of both faces of a mitre.
    Spline,
    /// In a slot across a glued mitre.
    Key,
}

/// Which way the grain of a part runs in the piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Grain {
    /// With the part's length.
    Lengthwise,
    /// The stock has none; the part may be turned on the sheet.
    None,
}

/// One physical part.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Part {
    /// Its index.
    pub id: PartId,
    /// Full name in the piece: `body.left`, `body.tray.front`, `body.lid.band_front`.
    pub path: String,
    /// Name in print: `Side`, `Deck`, `Tray, side`, `Edging, lid`.
    pub label: String,
    /// What it is.
    pub role: Role,
    /// The case, drawer or leaf that it belongs to.
    pub assembly: AssemblyId,
    /// What it is made of.
    pub stock: StockId,
    /// Its grain.
    pub grain: Grain,
    /// The finished part in the piece, edging and joints included.
    pub finished: Box3,
    /// What is sawn, in the piece: tongues and what enters joints included, edging not.
    pub core: Box3,
    /// How it lies.
    pub lay: Lay,
    /// Finished size.
    pub finished_size: Size,
    /// Sawn size; the frame of the cuts.
    pub size: Size,
    /// What of the box round it is no wood of it: only slips across a mitre stand at 45 degrees, their
    /// `core` the box round them and their `size` their own.
    pub aslant: Vec<Solid>,
    /// What is cut from it after sawing, in the order in which the lines stand.
    pub cuts: Vec<Cut>,
    /// The strips on its edges, in the order in which they go on.
    pub bands: Vec<Banding>,
    /// Where it is shaped: wood is left square there in its size, its volume and what it meets.
    pub shaped: Vec<Shaped>,
    /// For a strip: the panel that it is glued to.
    pub host: Option<PartId>,
    /// The lines that made it.
    pub origin: Origin,
}

impl Part {
    /// A box of this part's frame in the piece.
    pub fn to_piece(&self, b: &LocalBox) -> Box3 {
        self.lay.to_piece(&self.core, b)
    }

    /// A box of the piece in this part's frame.
    pub fn to_local(&self, b: &Box3) -> LocalBox {
        self.lay.to_local(&self.core, b)
    }

    /// Whether it is thin ready-made edging, glued flat: a tape or veneer under 3 mm is cut with shears
    /// or a knife, put on and trimmed, and never goes over a machine (common practice).
    pub fn is_tape(&self, stocks: &[Stock]) -> bool {
        match stocks.get(self.stock.0 as usize).map(|stock| &stock.kind) {
            Some(StockKind::Edging { thick, .. }) => {
                *thick < Length::mm(3) && self.cuts.iter().all(|cut| cut.kind == CutKind::Mitre)
            }
            _ => false,
        }
    }

    /// Whether it is a strip of solid wood that can be run in a long length with others before it is
    /// cut to its own: its grooves, rabbets and tongues run from end to end, and what is cut back at
    /// its ends is cut after. Slips are cut off a strip too.
    pub fn runs_in_lengths(&self, stocks: &[Stock]) -> bool {
        let board = matches!(
            stocks.get(self.stock.0 as usize).map(|stock| &stock.kind),
            Some(StockKind::Board { .. })
        );
        let through = |cut: &Cut| match cut.kind {
            CutKind::Dado | CutKind::Groove | CutKind::EdgeGroove => {
                cut.along == LocalAxis::Length && cut.stopped == [false, false]
            }
            CutKind::Rabbet | CutKind::Tongue => {
                let runs = cut.solids.iter().filter(|solid| {
                    let b = solid.bounds();
                    b.lo[0] <= Length::ZERO && b.hi[0] >= self.size.length
                });
                cut.along == LocalAxis::Length && runs.count() > 0
            }
            _ => true,
        };
        let strip = board
            && self.role == Role::Band
            && self.host.is_some()
            && self.cuts.iter().all(through);
        strip || !self.aslant.is_empty()
    }

    /// The surface of an axis at which a box lies, or to which it lies nearer: a tongue may stand
    /// beyond a notch.
    pub fn side_of(&self, b: &LocalBox, axis: LocalAxis) -> Side {
        let i = axis.index();
        let near = match axis {
            LocalAxis::Length => Side::End,
            LocalAxis::Width => Side::Edge,
            LocalAxis::Thickness => Side::Face,
        };
        if b.lo[i] <= Length::ZERO || b.lo[i] <= self.size.along(axis) - b.hi[i] {
            near
        } else {
            near.opposite()
        }
    }

    /// Whether a cut of a strip is also its panel's: it is made once, in both, the strip being on.
    pub fn shares(&self, host: &Part, cut: &Cut) -> bool {
        self.host == Some(host.id)
            && host.cuts.iter().any(|c| {
                (c.kind, c.joint) == (cut.kind, cut.joint) && c.origin.span == cut.origin.span
            })
    }

    /// Whether it is the return of a moulding: mitred on the end of a long strip, and cut off it.
    pub fn is_return(&self) -> bool {
        self.role == Role::Moulding && self.size.length <= self.size.thick
    }

    /// The strip on a surface, if there is one.
    pub fn band_on(&self, side: Side) -> Option<&Banding> {
        self.bands.iter().find(|band| band.side == side)
    }
}

/// Where a part gets a shape that is no box or wedge: an allowance, of which its cuts and joints must
/// stay clear.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Shaped {
    /// What is done.
    pub shape: Shape,
    /// Of a profile the side along which it runs; of what is turned or rounded its far end.
    pub side: Side,
    /// The wood that the shape may take, in the part's frame.
    pub zone: LocalBox,
    /// The line.
    pub origin: Origin,
}

/// A shape.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Shape {
    /// Moulded along an edge with a cutter of the shop: how far it takes in from the edge, and of the
    /// edge from the face.
    Profile {
        /// The name of the cutter.
        cutter: String,
        /// In from the edge.
        wide: Length,
        /// From the face along the edge.
        high: Length,
    },
    /// Turned on a lathe, to a least thickness if that is stated.
    Turned {
        /// Left where it is thinnest.
        least: Option<Length>,
    },
    /// Its arrises taken off and rounded.
    Rounded,
}

impl Shape {
    /// What it is called in a sentence.
    pub fn word(&self) -> &'static str {
        match self {
            Shape::Profile { .. } => "profile",
            Shape::Turned { .. } => "turned length",
            Shape::Rounded => "rounded length",
        }
    }
}

/// What a cut is to the person at the machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum CutKind {
    /// A housing across the grain, in a face.
    Dado,
    /// A housing with the grain, in a face.
    Groove,
    /// A groove in an edge or end.
    EdgeGroove,
    /// A step at an edge or end.
    Rabbet,
    /// Shoulders that leave a tongue at an edge or end; one solid a shoulder.
    Tongue,
    /// A corner taken off so that a stopped joint closes.
    Notch,
    /// Cheeks and shoulders that leave a tenon.
    Tenon,
    /// The hole for a tenon.
    Mortise,
    /// The slot between the cheeks of a fork, open at an end.
    OpenMortise,
    /// A saw cut in a tenon for a wedge.
    WedgeSlot,
    /// Half of a part where another lies across it or ends on it.
    Lap,
    /// The slots between fingers.
    Fingers,
    /// The sides of an end that leave a dovetail along it.
    DovetailKey,
    /// A housing wider at its floor than at its mouth.
    DovetailHousing,
    /// A wedge off a face of a leg.
    Taper,
    /// The waste between tails.
    Tails,
    /// The sockets between pins.
    Sockets,
    /// An end or edge at 45 degrees.
    Mitre,
    /// A slot in the face of a mitre, square to it, for a spline.
    SplineSlot,
    /// A slot across a mitre that is glued, for a key.
    KeySlot,
    /// A row of holes for shelf pins.
    PinHoles,
    /// The bore for a hinge's cup.
    CupBore,
    /// The recess for a butt hinge's leaf.
    HingeRecess,
    /// A hole for a pull.
    PullHole,
    /// A hole for a screw: clearance in what it goes through, pilot in what holds it.
    ScrewHole,
    /// A slot for a screw, in which it can move.
    ScrewSlot,
    /// A slot for a biscuit.
    BiscuitSlot,
    /// A hole for a dowel.
    DowelHole,
    /// A mortise for a loose tenon.
    LooseMortise,
    /// A slanted pocket for a screw.
    PocketHole,
    /// A slot for a wooden button.
    ButtonSlot,
    /// A notch of the maker's own: goes through, and reaches an edge or end.
    EdgeNotch,
    /// An opening of the maker's own: goes through, and lies inside.
    Opening,
    /// A recess of the maker's own: does not go through.
    Pocket,
}

impl CutKind {
    /// What a maker calls it.
    pub fn word(self) -> &'static str {
        match self {
            CutKind::Dado => "dado",
            CutKind::Groove => "groove",
            CutKind::EdgeGroove => "groove in the edge",
            CutKind::Rabbet => "rabbet",
            CutKind::Tongue => "tongue",
            CutKind::Tenon => "tenon",
            CutKind::Mortise => "mortise",
            CutKind::OpenMortise => "open mortise",
            CutKind::WedgeSlot => "saw cut for wedges",
            CutKind::Lap => "lap",
            CutKind::Fingers => "fingers",
            CutKind::DovetailKey => "dovetail along the end",
            CutKind::DovetailHousing => "dovetail housing",
            CutKind::Notch | CutKind::EdgeNotch => "notch",
            CutKind::Tails => "tails",
            CutKind::Sockets => "sockets",
            CutKind::Mitre => "mitre",
            CutKind::SplineSlot => "slot for a spline",
            CutKind::KeySlot => "slot for a key",
            CutKind::Taper => "taper",
            CutKind::PinHoles => "row of pin holes",
            CutKind::CupBore => "bore for a hinge",
            CutKind::HingeRecess => "recess for a hinge",
            CutKind::PullHole => "hole for a pull",
            CutKind::ScrewHole => "screw hole",
            CutKind::ScrewSlot => "slot for a screw",
            CutKind::BiscuitSlot => "biscuit slot",
            CutKind::DowelHole => "dowel hole",
            CutKind::LooseMortise => "mortise for a loose tenon",
            CutKind::PocketHole => "screw pocket",
            CutKind::ButtonSlot => "slot for a button",
            CutKind::Opening => "opening",
            CutKind::Pocket => "recess",
        }
    }

    /// Whether the maker asked for it by a line of its own.
    pub fn is_own(self) -> bool {
        matches!(
            self,
            CutKind::EdgeNotch | CutKind::Opening | CutKind::Pocket
        )
    }
}

/// What is cut from a part in one go, in the part's frame.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Cut {
    /// Its kind.
    pub kind: CutKind,
    /// The wood that goes; boxes for all but bores, dovetails and mitres. It may lie beyond the sawn
    /// part, in strips that are on when it is cut: early ones at a joint, all of them at a hinge.
    pub solids: Vec<Solid>,
    /// The surface through which the cutter enters.
    pub entry: Side,
    /// The direction in which the cut runs.
    pub along: LocalAxis,
    /// Across the run, as machined (`fit` included).
    pub width: Length,
    /// From the entry surface, as machined (`relief` included).
    pub depth: Length,
    /// The part of `width` that is room to slide in.
    pub fit: Length,
    /// The part of `depth` that is room for glue.
    pub relief: Length,
    /// Whether it ends inside the wood at the low and at the high end of its run.
    pub stopped: [bool; 2],
    /// The joint that asked for it.
    pub joint: Option<JointId>,
    /// The part that goes in, if one does.
    pub filler: Option<PartId>,
    /// The line that asked for it.
    pub origin: Origin,
}

impl Cut {
    /// The smallest box round all its solids (a cut has at least one).
    pub fn bounds(&self) -> LocalBox {
        let mut boxes = self.solids.iter().map(Solid::bounds);
        let first = boxes.next().unwrap_or(LocalBox {
            lo: [Length::ZERO; 3],
            hi: [Length::ZERO; 3],
        });
        boxes.fold(first, |mut all, b| {
            for i in 0..3 {
                all.lo[i] = all.lo[i].min(b.lo[i]);
                all.hi[i] = all.hi[i].max(b.hi[i]);
            }
            all
        })
    }

    /// How much one wall of a dovetail that slides leans in over the length of the cut, and the end at
    /// which the dovetail is narrower; `None` where its walls run side by side.
    pub fn lean(&self) -> Option<(Length, Side)> {
        let (by, narrow) = self.solids.iter().find_map(|solid| {
            let Solid::Prism {
                axis,
                outline,
                far: Some(far),
                ..
            } = solid
            else {
                return None;
            };
            // Corners have their places along the two axes beside that of the prism, in order.
            let mut beside = LocalAxis::ALL.into_iter().filter(|other| other != axis);
            let across = beside.position(|other| other != self.entry.axis())?;
            let leans = outline
                .iter()
                .zip(far)
                .map(|(a, b)| (a[across] - b[across]).abs());
            let wide = |corners: &[[Length; 2]]| {
                let places = || corners.iter().map(|corner| corner[across]);
                places().max().unwrap_or_default() - places().min().unwrap_or_default()
            };
            let ends = Side::ALL.into_iter().filter(|side| side.axis() == *axis);
            let narrow = ends
                .into_iter()
                .find(|side| side.is_far() == (wide(far) < wide(outline)))?;
            Some((leans.max()?, narrow))
        })?;
        // What is cut off beside a key is narrower where the key is wider.
        let key = self.kind == CutKind::DovetailKey;
        Some((by, if key { narrow.opposite() } else { narrow }))
    }
}

/// A strip on a panel's edge.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Banding {
    /// The surface of the panel that it covers.
    pub side: Side,
    /// The strip, a part of its own.
    pub strip: PartId,
    /// How far it stands out from the panel's edge.
    pub thick: Length,
    /// Its tongue in the panel's edge (thickness, depth), or the panel's tongue in the strip.
    pub tongue: Option<(Length, Length)>,
    /// Whether its ends are mitred.
    pub mitred: bool,
    /// Glued on before the joints are cut.
    pub early: bool,
}

/// Left or right of a mirrored pair.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Hand {
    /// The one that stands at the left.
    Left,
    /// Its mirror image.
    Right,
}

/// Parts that are made alike, over the whole commission: one number, one sheet.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Group {
    /// Its number in print, from 1.
    pub mark: u32,
    /// Name in print.
    pub label: String,
    /// The members with their hands; `None` where the part is its own mirror image or has no partner.
    pub members: Vec<(PartRef, Option<Hand>)>,
}
