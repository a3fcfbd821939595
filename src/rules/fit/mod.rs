//! What must fit: drawers, fronts, hinges, loose shelves and their pins, each against its opening
//! (placement rules 2.4 to 2.6).

pub mod cup_edge;
pub mod drawer_deep;
pub mod drawer_high;
pub mod drawer_narrow;
pub mod drawer_wide;
pub mod flap_swing;
pub mod front_blocked;
pub mod front_gap;
pub mod fronts_meet;
pub mod hinge_covers;
pub mod hinge_wide;
pub mod no_stay;
pub mod no_way_in;
pub mod pins_off;
pub mod runner_long;
pub mod runner_unpacked;
pub mod stay_reach;

use super::report::Report;
use super::view::View;
use crate::measure::Length;
use crate::model::ShelfSet;
use crate::model::{
    Axis, Drawer, Edge, HardwareId, HardwareKind, Leaf, Opening, Role, Runner, RunnerPlace,
};

/// The drawer rules, as the book names them.
pub const DRAWERS: &str = "drawers, placement rules 2.5";
/// The front rules, as the book names them.
pub const FRONTS: &str = "fronts, placement rules 2.4";

/// The runner of a drawer that hangs on a pair of them, with its name.
pub fn runner<'m>(view: &View<'m>, drawer: &Drawer) -> Option<(&'m Runner, &'m str, Length)> {
    let Some(RunnerPlace::Side {
        hardware, set_back, ..
    }) = &drawer.runner
    else {
        return None;
    };
    let found = view.hardware(*hardware)?;
    match &found.kind {
        HardwareKind::Runner(runner) => Some((runner, found.name.as_str(), *set_back)),
        HardwareKind::Hinge(_)
        | HardwareKind::Pin { .. }
        | HardwareKind::Pull { .. }
        | HardwareKind::Catch
        | HardwareKind::Lock
        | HardwareKind::Stay { .. }
        | HardwareKind::Foot
        | HardwareKind::Strap
        | HardwareKind::Screw { .. }
        | HardwareKind::Bolt { .. }
        | HardwareKind::Dowel { .. }
        | HardwareKind::LooseTenon { .. }
        | HardwareKind::Button { .. }
        | HardwareKind::Nail { .. }
        | HardwareKind::Biscuit { .. } => None,
    }
}

/// How wide a drawer's box may be, and the sum that gives it.
pub struct Room {
    /// As wide as this.
    pub wide: Length,
    /// `864.8 - 2 x 12.7 (runner400, beside) = 839.4`.
    pub sum: String,
}

/// See [`Room`].
pub fn room(view: &View, drawer: &Drawer) -> Room {
    let opening = view.piece.opening(drawer.opening);
    let clear = opening.clear.extent(Axis::X);
    let daylight = opening.daylight.extent(Axis::X);
    let sum = |from: Length, each: Length, why: &str| {
        let wide = from - each * 2;
        Room {
            wide,
            sum: format!(
                "{} - 2 x {} ({why}) = {}",
                view.plain(from),
                view.plain(each),
                view.plain(wide)
            ),
        }
    };
    if let Some((runner, name, _)) = runner(view, drawer) {
        let from = if is_packed(view, opening) {
            daylight
        } else {
            clear
        };
        if let Some(under) = runner.under {
            let parts = &view.piece.assembly(drawer.assembly).parts;
            let mut sides = parts.iter().map(|id| view.part(*id));
            let side = sides.find(|part| part.role == Role::DrawerSide);
            let side = side.map_or(Length::ZERO, |part| part.size.thick);
            let wide = from - under.inside + side * 2;
            return Room {
                wide,
                sum: format!(
                    "{} - {} ({name}, inside) + 2 x {} = {}",
                    view.plain(from),
                    view.plain(under.inside),
                    view.plain(side),
                    view.plain(wide)
                ),
            };
        }
        return sum(from, runner.beside, &format!("{name}, beside"));
    }
    match &drawer.runner {
        Some(RunnerPlace::Wooden { gap }) => sum(daylight, *gap, "gap"),
        Some(RunnerPlace::Side { .. }) | None => Room {
            wide: daylight,
            sum: format!("daylight {}", view.plain(daylight)),
        },
    }
}

/// Whether runners stand on packing in an opening.
pub fn is_packed(view: &View, opening: &Opening) -> bool {
    view.near(&opening.clear)
        .any(|part| part.role == Role::Packing && part.core.overlaps(&opening.clear))
}

/// What stands at the left and right of an opening, in words.
pub fn between(view: &View, opening: &Opening, low: Edge, high: Edge) -> String {
    let bound = |edge: Edge| {
        opening
            .bounds
            .iter()
            .find(|(e, _)| *e == edge)
            .map(|(_, part)| view.tick(*part))
    };
    match (bound(low), bound(high)) {
        (Some(low), Some(high)) => format!(", between {low} and {high}"),
        _ => String::new(),
    }
}

/// The face of a drawer, or the front of its own, if it stands in the opening.
pub fn inset_face<'m>(view: &View<'m>, drawer: &Drawer) -> Option<&'m Leaf> {
    view.piece
        .leaves
        .iter()
        .find(|leaf| leaf.drawer == Some(drawer.assembly) && leaf.inset)
}

/// Notes that the clash of a drawer with what bounds its opening has been told.
pub fn tell(view: &View, report: &mut Report, drawer: &Drawer) {
    let opening = view.piece.opening(drawer.opening);
    for part in &view.piece.assembly(drawer.assembly).parts {
        for (_, bound) in &opening.bounds {
            report.tell(*part, *bound);
            for band in &view.part(*bound).bands {
                report.tell(*part, band.strip);
            }
        }
        // One that reaches beyond its opening may run into what lies there too.
        for other in view.near(&view.part(*part).finished) {
            if other.assembly != drawer.assembly {
                report.tell(*part, other.id);
            }
        }
    }
}

/// A hinge's own sizes.
pub fn hinge<'m>(view: &View<'m>, id: HardwareId) -> Option<(&'m crate::model::Hinge, &'m str)> {
    let hardware = view.hardware(id)?;
    match &hardware.kind {
        HardwareKind::Hinge(hinge) => Some((hinge, hardware.name.as_str())),
        HardwareKind::Runner(_)
        | HardwareKind::Pin { .. }
        | HardwareKind::Pull { .. }
        | HardwareKind::Catch
        | HardwareKind::Lock
        | HardwareKind::Stay { .. }
        | HardwareKind::Foot
        | HardwareKind::Strap
        | HardwareKind::Screw { .. }
        | HardwareKind::Bolt { .. }
        | HardwareKind::Dowel { .. }
        | HardwareKind::LooseTenon { .. }
        | HardwareKind::Button { .. }
        | HardwareKind::Nail { .. }
        | HardwareKind::Biscuit { .. } => None,
    }
}

/// Loose shelves at the start of a subject in print: `Loose shelf`.
pub fn shelves(view: &View, set: &ShelfSet) -> String {
    match set.parts.first() {
        Some(first) => view.label(view.part(*first)),
        None => label(view, &set.path),
    }
}

/// A thing's name at the start of a subject in print: `Tray`, `Gates, left`.
pub fn label(view: &View, path: &str) -> String {
    let name = view.name(path).replace('_', " ").replace('.', ", ");
    let mut chars = name.chars();
    match chars.next() {
        Some(first) => first.to_uppercase().chain(chars).collect(),
        None => name,
    }
}
