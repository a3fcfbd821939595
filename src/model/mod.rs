//! The model: plain data of what is to be built, frozen. Rules, plans, drawings and the book read it
//! and nothing else.
//!
//! Two frames are used. The *piece frame*: x left to right, y front to rear, z up; origin at the
//! front left bottom corner of the first case's envelope. The *part frame* ([`Lay`]): `l` from the
//! reference end along the grain, `w` from the reference edge, `t` from the face side into the wood;
//! its origin is a corner of the part as sawn, so all cuts have coordinates from 0 to the part's
//! size. A mirrored pair has the same part coordinates; only the handedness of the lay differs.
//!
//! No length in a frozen model is [`crate::measure::Length::OVERFLOW`]. Nothing here parses,
//! checks or prints.

mod finding;
mod fitting;
#[cfg(test)]
pub mod fixture;
mod geometry;
mod joint;
mod material;
mod movement;
mod part;
mod piece;
mod rack;
mod sawn;
mod shop;
mod stock;
pub mod tree;
mod written;

pub use finding::{Finding, Outcome, Sense, Value};
pub use fitting::{
    Drawer, Gaps, HardwareUse, HingePlace, Leaf, LeafKind, Matched, PinRow, PlatePlace, PullPlace,
    RunnerPlace, SharedRows, ShelfSet, StayPlace,
};
pub use geometry::{Axis, Box3, Edge, Lay, LocalAxis, LocalBox, Side, Size, Solid};
pub use joint::{Fastening, Joint, JointId, JointKind};
pub use material::{Figure, Material, MaterialId, MaterialSort};
pub use movement::{Yearly, equilibrium_moisture};
pub use part::{
    Banding, Cut, CutKind, Grain, Group, Hand, Part, PartId, PartRef, Role, Shape, Shaped,
};
pub use piece::{
    Allowed, Assembly, AssemblyId, AssemblyKind, CaseBox, Commission, Model, Note, Opening,
    OpeningId, Origin, Piece, Stated, StatedStage,
};
pub use rack::{OnHand, OnHandKind};
pub use sawn::{Proud, Staves};
pub use shop::{Abrasive, Clamp, Cutter, CutterKind, FirstCuts, Glue, Shop};
pub use stock::{
    Coat, Finish, FinishId, FinishStep, GoodFaces, Hardware, HardwareId, HardwareKind, Hinge, Per,
    Price, Runner, SheetGrain, SoldSize, Stock, StockId, StockKind, UnderMount,
};
pub use written::{Token, WrittenClause, WrittenLine, WrittenOrder, text_of};
