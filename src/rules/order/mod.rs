//! Order: what has to come together has a way in.

pub mod barred;
pub mod trapped;

use crate::model::Edge;

/// The way to a side of the piece, in words.
fn toward(edge: Edge) -> &'static str {
    match edge {
        Edge::Left => "to the left",
        Edge::Right => "to the right",
        Edge::Front => "to the front",
        Edge::Rear => "to the rear",
        Edge::Bottom => "downward",
        Edge::Top => "upward",
    }
}
