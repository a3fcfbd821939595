//! Space: no two parts claim the same (placement rules 1.1).

pub mod overlap;
