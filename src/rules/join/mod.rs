//! Joints as such: what is joined to nothing, connectors that do not fit, joints that the grain or
//! the thickness does not allow (placement rules 2.1 and 2.2).

pub mod across;
pub mod apart;
pub mod dovetail_grain;
pub mod dovetail_thin;
pub mod drawer;
pub mod half_blind;
pub mod mitre_thick;
pub mod no_room;
pub mod none;
pub mod none_carries;
pub mod tenon_grain;
pub mod too_long;
pub mod too_short;
pub mod wedge_grain;

use super::view::View;
use crate::measure::Length;
use crate::model::{
    AssemblyKind, Axis, CutKind, Fastening, HardwareKind, Joint, JointKind, Part, PartId, Role,
};

/// The connector rules, as the book names them.
pub const CONNECTORS: &str = "connectors, placement rules 2.1";

/// A screw, nail or biscuit of a joint, with its sizes.
pub struct Connector<'m> {
    /// The joint.
    pub joint: &'m Joint,
    /// Where they sit.
    pub fastening: &'m Fastening,
    /// Its name in the text.
    pub name: &'m str,
    /// Its sizes.
    pub kind: &'m HardwareKind,
    /// The axis of the piece along which it goes in.
    pub axis: Axis,
}

/// Every joint that has connectors.
pub fn connectors<'m>(view: &View<'m>) -> Vec<Connector<'m>> {
    view.piece
        .joints
        .iter()
        .filter_map(|joint| {
            let fastening = joint.fastening.as_ref()?;
            let hardware = view.hardware(fastening.hardware)?;
            let axis = Axis::ALL
                .into_iter()
                .find(|axis| joint.contact.extent(*axis).is_zero())?;
            Some(Connector {
                joint,
                fastening,
                name: &hardware.name,
                kind: &hardware.kind,
                axis,
            })
        })
        .collect()
}

/// A screw or nail: what it goes through and what holds it.
pub struct Driven<'m> {
    /// The connector.
    pub connector: Connector<'m>,
    /// Its whole length.
    pub long: Length,
    /// What it goes through first.
    pub through: &'m Part,
    /// What holds it.
    pub holder: &'m Part,
}

impl Driven<'_> {
    /// The wood that it goes through.
    pub fn passed(&self) -> Length {
        self.through.core.extent(self.connector.axis)
    }

    /// The wood of what holds it, along its way.
    pub fn held(&self) -> Length {
        self.holder.core.extent(self.connector.axis)
    }

    /// How far it reaches into what holds it.
    pub fn bite(&self) -> Length {
        self.long - self.passed()
    }
}

/// Every screw and nail that goes through one part into another.
pub fn driven<'m>(view: &View<'m>) -> Vec<Driven<'m>> {
    connectors(view)
        .into_iter()
        .filter_map(|connector| {
            let long = match connector.kind {
                HardwareKind::Screw { long, .. } | HardwareKind::Nail { long, .. } => *long,
                HardwareKind::Biscuit { .. }
                | HardwareKind::Bolt { .. }
                | HardwareKind::Dowel { .. }
                | HardwareKind::LooseTenon { .. }
                | HardwareKind::Button { .. }
                | HardwareKind::Hinge(_)
                | HardwareKind::Runner(_)
                | HardwareKind::Pin { .. }
                | HardwareKind::Pull { .. }
                | HardwareKind::Catch
                | HardwareKind::Lock
                | HardwareKind::Stay { .. }
                | HardwareKind::Foot
                | HardwareKind::Strap => return None,
            };
            let (a, b) = (view.part(connector.joint.a), view.part(connector.joint.b));
            let (through, holder) = if goes_through(&connector, a) {
                (a, b)
            } else if goes_through(&connector, b) {
                (b, a)
            } else if a.core.extent(connector.axis) <= b.core.extent(connector.axis) {
                (a, b)
            } else {
                (b, a)
            };
            Some(Driven {
                connector,
                long,
                through,
                holder,
            })
        })
        .collect()
}

/// Whether a part has holes of this joint that go all the way through it.
fn goes_through(connector: &Connector, part: &Part) -> bool {
    part.cuts
        .iter()
        .filter(|cut| {
            matches!(cut.kind, CutKind::ScrewHole | CutKind::ScrewSlot)
                && cut.joint == Some(connector.joint.id)
        })
        .any(|cut| cut.depth >= part.core.extent(connector.axis))
}

/// Whether a part should be joined to something: fronts hang, loose shelves lie, strips are glued to
/// their panel.
fn wants_joint(view: &View, part: &Part) -> bool {
    part.host.is_none()
        && part.role != Role::LooseShelf
        && matches!(
            view.kind(part),
            AssemblyKind::Case | AssemblyKind::Drawer | AssemblyKind::Fitted
        )
}

/// The line that joins a part, for a help.
fn join_line(view: &View, part: &Part) -> String {
    let (own, of) = view.own_name(part);
    format!("`join {own} into …` or `to …`{of}")
}

/// The parts of cases and drawers that are joined to nothing, and what is fitted that nothing holds.
pub fn loose<'m>(view: &View<'m>) -> Vec<&'m Part> {
    view.piece
        .parts
        .iter()
        .filter(|part| wants_joint(view, part))
        .filter(|part| {
            view.joints_of(part.id)
                .all(|joint| joint.kind == JointKind::Edging)
        })
        .collect()
}

/// What a part carries, in words; `None` if nothing.
pub fn carries(view: &View, part: PartId) -> Option<String> {
    let piece = view.piece;
    let shelves = piece
        .shelves
        .iter()
        .find(|set| set.rows.iter().any(|row| row.part == part));
    if let Some(set) = shelves {
        return Some(format!("the shelves `{}`", view.name(&set.path)));
    }
    let bounds = |opening, edges: &[crate::model::Edge]| {
        piece
            .opening(opening)
            .bounds
            .iter()
            .any(|(edge, id)| *id == part && edges.contains(edge))
    };
    use crate::model::Edge::{Left, Right};
    let drawer = piece
        .drawers
        .iter()
        .find(|drawer| drawer.runner.is_some() && bounds(drawer.opening, &[Left, Right]));
    if let Some(drawer) = drawer {
        return Some(format!("the drawer `{}`", view.name(&drawer.path)));
    }
    let leaf = piece.leaves.iter().find(|leaf| {
        leaf.hung.is_some_and(|edge| bounds(leaf.opening, &[edge]))
            || leaf.stays.iter().any(|stay| stay.part == part)
    });
    leaf.map(|leaf| format!("the front `{}`", view.name(&leaf.path)))
}
