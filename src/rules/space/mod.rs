//! Space: no two parts claim the same, and joined parts do meet (placement rules 1.1).

pub mod no_contact;
pub mod overlap;
