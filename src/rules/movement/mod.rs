//! Solid wood moves across the grain as the air gets dry and damp.

pub mod across_grain;
pub mod breadboard;
pub mod field_gap;
pub mod wood;
