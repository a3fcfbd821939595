//! What shows that should not: housings that run out in sight, bare edges of sheet. What is in sight
//! is told in [`super::sight`].

pub mod bare_edge;
pub mod housing;
