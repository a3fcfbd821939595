//! Joints between parts.

use super::{AssemblyId, Box3, HardwareId, Origin, PartId};
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
    Mitre,
    DovetailThrough,
    DovetailHalfBlind,
    Biscuits,
    Screws,
    Nails,
    Bolts,
    /// A strip of edging on a panel, with a tongue on either or glued flat.
    Edging,
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
    /// Screws, nails, bolts or biscuits.
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
