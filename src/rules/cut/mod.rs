//! What is cut: depths, webs, tongues, cheeks, bores. Limits are those of the joint table (placement
//! rules 2.1 and 2.2); those that are judgement are settings of the shop or said to be common practice.

pub mod bore_through;
pub mod cuts_meet;
pub mod dado_rabbet_thin;
pub mod edge_cheek;
pub mod edge_web;
pub mod housings_meet;
pub mod in_shape;
pub mod in_taper;
pub mod mortise_across;
pub mod mortises_meet;
pub mod over_joint;
pub mod pairs;
pub mod past_half;
pub mod short_grain;
pub mod tongue_cut;
pub mod tongue_thick;
pub mod too_deep;
pub mod use_rabbet;
pub mod web_thin;

use super::view::View;
use super::words;
use crate::measure::Length;
use crate::model::{Axis, Box3, Cut, CutKind, Edge, Joint, JointKind, LocalAxis, Part};
use crate::source::Span;

/// The joint table, as the book names it.
pub const TABLE: &str = "joint table, placement rules 2.2";

/// What must stay under a housing, and beside a groove in an edge.
pub fn least_wood() -> Length {
    Length::mm(3)
}

/// A cut by its kind and what goes in: "the dado for `deck`".
pub fn name(view: &View, part: &Part, cut: &Cut) -> String {
    let kind = words::cut(cut.kind);
    match (view.joint_kind(cut), view.visitor(part.id, cut)) {
        (Some(JointKind::Edging), Some(strip)) => match edging_edge(view, part, strip) {
            Some(edge) => format!("the {kind} for the edging at the {}", edge.word()),
            None => format!("the {kind} for {}", view.tick(strip)),
        },
        (Some(JointKind::Tongue | JointKind::DadoRabbet), Some(other)) if cut.filler.is_some() => {
            format!("the groove for the tongue of {}", view.tick(other))
        }
        (_, Some(other)) if cut.filler.is_some() => format!("the {kind} for {}", view.tick(other)),
        (_, Some(other)) => format!("the {kind} toward {}", view.tick(other)),
        (_, None) => format!("the {kind}"),
    }
}

/// Two cuts of a part by their names; of the same name, the second is another of that kind.
pub fn names(view: &View, part: &Part, first: &Cut, second: &Cut) -> [String; 2] {
    let (a, b) = (name(view, part, first), name(view, part, second));
    let b = if a == b {
        format!("another {}", b.strip_prefix("the ").unwrap_or(&b))
    } else {
        b
    };
    [a, b]
}

fn edging_edge(view: &View, part: &Part, strip: crate::model::PartId) -> Option<Edge> {
    let host = if part.host.is_some() {
        view.part(strip)
    } else {
        part
    };
    host.bands
        .iter()
        .find(|band| band.strip == strip || band.strip == part.id)
        .map(|band| host.lay.looks(band.side))
}

/// The place of a cut's decision: its depth, else its thickness, else its line.
pub fn place(cut: &Cut) -> Span {
    cut.origin
        .clause("deep")
        .or_else(|| cut.origin.clause("thick"))
        .unwrap_or(cut.origin.span)
}

/// Whether a groove is centred in the stock, its room to slide in left out (it lies on either side or
/// on both).
pub fn is_centred(groove: &Cut, axis: LocalAxis, stock: Length) -> bool {
    let (bounds, i) = (groove.bounds(), axis.index());
    let margin = (stock - (groove.width - groove.fit)).half();
    let (low, high) = (bounds.lo[i], stock - bounds.hi[i]);
    low == margin || high == margin || low == high
}

/// A housing, groove or step that a joint cuts in the part that receives.
pub struct Housing<'m> {
    /// The joint.
    pub joint: &'m Joint,
    /// The part that is cut.
    pub part: &'m Part,
    /// The cut.
    pub cut: &'m Cut,
    /// The extent of the part in the direction of entry.
    pub stock: Length,
    /// As deep as asked for.
    pub deep: Length,
}

/// Every housing, groove and step of a piece that has a filler.
pub fn housings<'m>(view: &View<'m>) -> Vec<Housing<'m>> {
    entered(view, |cut, _| {
        matches!(
            cut.kind,
            CutKind::Dado | CutKind::Groove | CutKind::EdgeGroove | CutKind::Rabbet
        )
    })
}

/// Every blind mortise, and every housing or socket of a dovetail that slides or drops in.
pub fn sockets<'m>(view: &View<'m>) -> Vec<Housing<'m>> {
    entered(view, |cut, joint| match cut.kind {
        // A through mortise has no floor, so no room for glue under it.
        CutKind::Mortise => !cut.relief.is_zero(),
        CutKind::DovetailHousing => true,
        CutKind::Sockets => joint.kind == JointKind::DovetailDropped,
        _ => false,
    })
}

fn entered<'m>(view: &View<'m>, wanted: impl Fn(&Cut, &Joint) -> bool) -> Vec<Housing<'m>> {
    let mut found = Vec::new();
    for part in &view.piece.parts {
        for cut in &part.cuts {
            let Some(joint) = cut.joint.map(|id| view.joint(id)) else {
                continue;
            };
            // A rabbet of a rabbeted tongue is cut on the part that enters; `tongue_*` look at it.
            // What connectors slide in by is no housing of a part.
            if !wanted(cut, joint) || joint.b != part.id || joint.open_to.is_some() {
                continue;
            }
            found.push(Housing {
                joint,
                part,
                cut,
                stock: part.size.along(cut.entry.axis()),
                deep: cut.depth - cut.relief,
            });
        }
    }
    found
}

/// How far B goes on past A beside a housing: the lesser of the two sides.
pub struct Beyond {
    /// How far; zero or less: not at all.
    pub past: Length,
    /// On which side.
    pub edge: Edge,
    /// Whether that way lies along B's grain: then what is left beside the housing is short grain.
    pub short: bool,
}

/// How far B goes on past what enters it, for joints where it must.
pub fn beyond(view: &View, housing: &Housing) -> Option<Beyond> {
    let part = housing.part;
    let across = LocalAxis::ALL
        .into_iter()
        .find(|axis| *axis != housing.cut.along && *axis != housing.cut.entry.axis())?;
    let axis = part.lay.axis(across);
    let i = axis.index();
    let within = match housing.joint.kind {
        JointKind::Dado | JointKind::Groove => view.part(housing.joint.a).core,
        JointKind::DadoRabbet => {
            // The wall of the housing toward the nearer end is where the tongue is; the room to slide
            // in lies on its other side.
            part.to_piece(&housing.cut.bounds())
        }
        JointKind::Butt
        | JointKind::Rabbet
        | JointKind::Tongue
        | JointKind::Mortise
        | JointKind::Bridle
        | JointKind::Breadboard
        | JointKind::Finger
        | JointKind::Lap
        | JointKind::DovetailSliding
        | JointKind::DovetailDropped
        | JointKind::Dowels
        | JointKind::LooseTenons
        | JointKind::PocketScrews
        | JointKind::Buttons
        | JointKind::Mitre
        | JointKind::Spline
        | JointKind::Key
        | JointKind::DovetailThrough
        | JointKind::DovetailHalfBlind
        | JointKind::Biscuits
        | JointKind::Screws
        | JointKind::Bolts
        | JointKind::Nails
        | JointKind::Edging => return None,
    };
    let (low, high) = (
        within.lo[i] - part.core.lo[i],
        part.core.hi[i] - within.hi[i],
    );
    let (past, edge) = if low <= high {
        (low, axis.low())
    } else {
        (high, axis.high())
    };
    let short = across == LocalAxis::Length && part.grain == crate::model::Grain::Lengthwise;
    Some(Beyond { past, edge, short })
}

/// The wood of a tongue: a part, the joint that shaped it, and what stands of it after that joint's
/// own cuts, in the piece.
pub struct Tongue<'m> {
    /// The joint.
    pub joint: &'m Joint,
    /// The part that has the tongue.
    pub part: &'m Part,
    /// What stands.
    pub wood: Vec<Box3>,
    /// How many shoulders it has.
    pub shoulders: usize,
}

/// Every tongue of a piece.
pub fn tongues<'m>(view: &View<'m>) -> Vec<Tongue<'m>> {
    let mut found: Vec<Tongue> = Vec::new();
    for part in &view.piece.parts {
        for cut in &part.cuts {
            let Some(joint) = cut.joint.map(|id| view.joint(id)) else {
                continue;
            };
            let shaped = cut.kind == CutKind::Tongue
                || (cut.kind == CutKind::Rabbet
                    && joint.kind == JointKind::DadoRabbet
                    && joint.a == part.id);
            if !shaped {
                continue;
            }
            let known = found
                .iter_mut()
                .rev()
                .take_while(|tongue| tongue.part.id == part.id)
                .find(|tongue| tongue.joint.id == joint.id);
            if let Some(known) = known {
                // Each shoulder may be a cut of its own.
                known.shoulders += cut.solids.len();
                continue;
            }
            let Some(entry) = Axis::ALL
                .into_iter()
                .find(|axis| joint.contact.extent(*axis).is_zero())
            else {
                continue;
            };
            let reach = part.to_piece(&cut.bounds());
            let mut end = part.core;
            end.lo[entry.index()] = reach.lo[entry.index()];
            end.hi[entry.index()] = reach.hi[entry.index()];
            let mut wood = vec![end];
            for own in part.cuts.iter().filter(|c| c.joint == Some(joint.id)) {
                for solid in &own.solids {
                    wood = super::solids::less(wood, &part.to_piece(&solid.bounds()));
                }
            }
            found.push(Tongue {
                joint,
                part,
                wood,
                shoulders: cut.solids.len(),
            });
        }
    }
    found
}
