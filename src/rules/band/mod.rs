//! Edging and joints: an edge is for one or the other (placement rules 1.6).

pub mod in_joint;
