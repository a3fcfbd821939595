//! Joints between parts.

use super::{AssemblyId, Box3, Edge, HardwareId, Origin, PartId};
use crate::measure::Length;
use schemars::JsonSchema;
use serde::Serialize;

/// A joint, by its index in [`super::Piece::joints`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
pub struct JointId(pub u32);

/// The kinds of joint.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs, reason = "the words of the trade say it")]
pub enum JointKind {
    Butt,
    Dado,
    Groove,
    Rabbet,
    DadoRabbet,
    Tongue,
    /// Mortise and tenon.
    Mortise,
    /// An open mortise and tenon: a fork at an end, and what stands in it.
    Bridle,
    /// A cap across the end of a solid panel: a tongue, and tenons of which the middle one is glued.
    Breadboard,
    Mitre,
    /// A spline and a part of the mitre that it lies in.
    Spline,
    /// A key and a part of the mitre that it lies across.
    Key,
    Finger,
    /// Each cut away by half where they meet or cross.
    Lap,
    DovetailThrough,
    DovetailHalfBlind,
    DovetailSliding,
    /// One tail let into the end of a leg or post from above.
    DovetailDropped,
    Biscuits,
    Dowels,
    LooseTenons,
    Screws,
    PocketScrews,
    /// Wooden buttons, screwed to the first part, that hold it in slots of the second.
    Buttons,
    Nails,
    Bolts,
    /// A strip of edging on a panel, with a tongue on either or glued flat.
    Edging,
}

impl JointKind {
    /// Whether wood of one part has a place in wood of the other.
    pub fn shapes(self) -> bool {
        self.enters() || self.is_corner() || self == JointKind::Lap
    }

    /// Whether both parts run out to their common corner, whichever of them ran through.
    pub fn is_corner(self) -> bool {
        matches!(
            self,
            JointKind::Mitre
                | JointKind::Finger
                | JointKind::DovetailThrough
                | JointKind::DovetailHalfBlind
        )
    }

    /// Whether an end or edge of the first part goes into the second.
    pub fn enters(self) -> bool {
        matches!(
            self,
            JointKind::Dado
                | JointKind::Groove
                | JointKind::Rabbet
                | JointKind::DadoRabbet
                | JointKind::Tongue
                | JointKind::Mortise
                | JointKind::Bridle
                | JointKind::Breadboard
                | JointKind::DovetailThrough
                | JointKind::DovetailHalfBlind
                | JointKind::DovetailSliding
                | JointKind::DovetailDropped
        )
    }

    /// Whether hardware holds it.
    pub fn is_fastened(self) -> bool {
        matches!(
            self,
            JointKind::Biscuits
                | JointKind::Dowels
                | JointKind::LooseTenons
                | JointKind::Screws
                | JointKind::PocketScrews
                | JointKind::Buttons
                | JointKind::Nails
                | JointKind::Bolts
        )
    }
}

/// One meeting of two parts.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Joint {
    /// Its index.
    pub id: JointId,
    /// Its kind.
    pub kind: JointKind,
    /// The part that enters, or the first named.
    pub a: PartId,
    /// The part that receives.
    pub b: PartId,
    /// How far `a` enters.
    pub deep: Length,
    /// Where their nominal faces meet in the piece; flat in the direction of entry.
    pub contact: Box3,
    /// Whether glue is spread; `dry` joints are not.
    pub glued: bool,
    /// Along how much of the meeting glue is spread, where not along all of it: the middle tenon of a
    /// breadboard end.
    pub glued_along: Option<Length>,
    /// Whether its screws sit in slots, so that solid wood can move.
    pub slotted: bool,
    /// The edge to which the slots of its connectors in `b` run out, for `a` to slide in.
    pub open_to: Option<Edge>,
    /// What holds it, where something does.
    pub fastening: Option<Fastening>,
    /// The assembly in whose glue-up it closes.
    pub assembly: AssemblyId,
    /// The line.
    pub origin: Origin,
}

/// Connectors of a joint.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Fastening {
    /// What they are.
    pub hardware: HardwareId,
    /// Their places in the piece, on the meeting faces.
    pub places: Vec<[Length; 3]>,
}
