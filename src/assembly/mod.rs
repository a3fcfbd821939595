//! Assembly: which part stands in the way of which, and in which order they go together.
//!
//! After Wilson and Latombe, "Geometric reasoning about mechanical assembly" (Artificial Intelligence 71,
//! 1994): for each of the six directions of the axes a graph tells which part runs into which when it
//! moves that way ([`blocking`]); a set of parts can leave in a direction if none of it is blocked by the
//! rest. An order of assembly is one of taking apart, read backwards ([`take_apart`]). A connector in two
//! ends (a biscuit, a dowel) lets its parts together along itself alone ([`hold`]).
//!
//! What is proven is for straight moves along an axis, of parts and of what is already one, from far
//! away: a part that goes in by a turn, or first one way and then another, is not found. If any such order
//! exists, one is found: parts of what comes apart come apart too, so no choice leads astray.
//!
//! Edging moves with its panel. What is driven after (screws, nails, bolts) holds nothing while parts move.

mod blocking;
mod hold;
mod stated;
mod take_apart;
#[cfg(test)]
mod tests;
mod trap;

pub use hold::flat;
pub use take_apart::{Barred, Body, Join, Order, parts};
pub use trap::{Cure, Hold, Trap};

use crate::model::{AssemblyId, Joint, JointKind, PartId, Piece};
use crate::solid::Exact;
use std::collections::BTreeSet;
use take_apart::Work;

/// The joints that close when an assembly is put together; edging is on by then.
pub fn joints_of(piece: &Piece, assembly: AssemblyId) -> Vec<&Joint> {
    piece
        .joints
        .iter()
        .filter(|j| j.assembly == assembly && j.kind != JointKind::Edging)
        .collect()
}

/// The order in which the parts of some joints go together.
///
/// # Errors
/// When a slanted side has numbers that do not fit.
pub fn order(piece: &Piece, joints: &[&Joint]) -> Exact<Order> {
    Ok(work(piece, joints)?.order())
}

/// The parts of some joints that can't be put together, in sets that are as small as can be; empty if all
/// can.
///
/// # Errors
/// When a slanted side has numbers that do not fit.
pub fn trapped(piece: &Piece, joints: &[&Joint]) -> Exact<Vec<Trap>> {
    let work = work(piece, joints)?;
    let order = work.order();
    Ok(trap::traps(&work, &order))
}

/// The stage of the maker's own order that can't be done, if there is one.
///
/// # Errors
/// When a slanted side has numbers that do not fit.
pub fn barred(piece: &Piece, joints: &[&Joint]) -> Exact<Option<Barred>> {
    let stated = joints
        .first()
        .is_some_and(|joint| !piece.assembly(joint.assembly).stages.is_empty());
    match stated {
        true => Ok(work(piece, joints)?.order().barred),
        false => Ok(None),
    }
}

fn work<'a>(piece: &'a Piece, joints: &[&'a Joint]) -> Exact<Work<'a>> {
    let touched: BTreeSet<PartId> = joints.iter().flat_map(|j| [j.a, j.b]).collect();
    let touched: Vec<PartId> = touched.into_iter().collect();
    let units = blocking::units(piece, &touched)?;
    let way = blocking::in_the_way(&units)?;
    let parts = units.iter().map(|unit| unit.part).collect();
    Ok(Work::new(piece, parts, way, joints))
}
