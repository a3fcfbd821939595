//! Parts against what is sold.

pub mod part_long;
pub mod part_thick;
