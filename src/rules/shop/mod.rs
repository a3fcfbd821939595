//! Parts against the machines of the shop.

pub mod part_small;
pub mod saw_long;
