//! What the surfaces and cuts of a part are called on its sheet, in the words of the trade.

use crate::model::{Axis, Box3, Cut, CutKind, Edge, LocalAxis, LocalBox, Part, Piece, Role, Side};

/// The face side in words: `inner face`, `upper face`, `underside`, `front face`.
pub fn face_word(piece: &Piece, part: &Part) -> String {
    surface_word(piece, part, Side::Face)
}

/// A surface in words: `front edge`, `bottom end`, `inner face`.
pub fn surface_word(piece: &Piece, part: &Part, side: Side) -> String {
    let looks = part.lay.looks(side);
    match side.axis() {
        LocalAxis::Length => format!("{} end", looks.word()),
        LocalAxis::Width => format!("{} edge", looks.word()),
        LocalAxis::Thickness => match looks {
            Edge::Top => "upper face".to_string(),
            Edge::Bottom => "underside".to_string(),
            Edge::Front => "front face".to_string(),
            Edge::Rear => "rear face".to_string(),
            Edge::Left | Edge::Right => {
                let outer_left = matches!(part.role, Role::Side | Role::DrawerSide);
                let whole = piece
                    .assembly(part.assembly)
                    .parts
                    .iter()
                    .map(|id| piece.part(*id).core)
                    .reduce(|a: Box3, b| a.union(&b))
                    .unwrap_or(part.core);
                let at_left = part.core.middle(Axis::X) < whole.middle(Axis::X);
                if outer_left {
                    if at_left == (looks == Edge::Right) {
                        "inner face".to_string()
                    } else {
                        "outer face".to_string()
                    }
                } else {
                    format!("{} face", looks.word())
                }
            }
        },
    }
}

/// The kind of a cut as a maker calls it.
pub fn cut_word(kind: CutKind) -> &'static str {
    match kind {
        CutKind::Dado => "Dado",
        CutKind::Groove | CutKind::EdgeGroove => "Groove",
        CutKind::Rabbet => "Rabbet",
        CutKind::Tongue => "Tongue",
        CutKind::Tenon => "Tenon",
        CutKind::Mortise => "Mortise",
        CutKind::OpenMortise => "Open mortise",
        CutKind::WedgeSlot => "Saw cuts for wedges",
        CutKind::Lap => "Lap",
        CutKind::Fingers => "Fingers",
        CutKind::DovetailKey => "Dovetail",
        CutKind::DovetailHousing => "Dovetail housing",
        CutKind::DowelHole => "Holes for dowels",
        CutKind::LooseMortise => "Mortises for loose tenons",
        CutKind::PocketHole => "Screw pockets",
        CutKind::ButtonSlot => "Slots for buttons",
        CutKind::Notch => "Notch",
        CutKind::Tails => "Tails",
        CutKind::Sockets => "Sockets",
        CutKind::Mitre => "Mitre",
        CutKind::SplineSlot => "Slot for a spline",
        CutKind::KeySlot => "Slots for keys",
        CutKind::Taper => "Taper",
        CutKind::PinHoles => "Holes for shelf pins",
        CutKind::CupBore => "Bores for hinges",
        CutKind::HingeRecess => "Recesses for hinges",
        CutKind::PullHole => "Holes for a pull",
        CutKind::ScrewHole => "Holes for screws",
        CutKind::ScrewSlot => "Slots for screws",
        CutKind::BiscuitSlot => "Slots for biscuits",
        CutKind::EdgeNotch => "Notch",
        CutKind::Opening => "Opening",
        CutKind::Pocket => "Recess",
    }
}

/// Where a cut is, if its name should say so: the edge or end that it enters or lies along, or the
/// face that is not up.
pub fn cut_place(piece: &Piece, part: &Part, cut: &Cut) -> Option<String> {
    match cut.kind {
        CutKind::PinHoles | CutKind::CupBore | CutKind::PullHole if cut.entry == Side::Face => None,
        CutKind::Rabbet
        | CutKind::Tongue
        | CutKind::Tenon
        | CutKind::OpenMortise
        | CutKind::SplineSlot
        | CutKind::KeySlot
        | CutKind::Mitre
        | CutKind::Fingers
        | CutKind::DovetailKey
        | CutKind::Tails
        | CutKind::Sockets => edge_of(part, cut).map(|side| surface_word(piece, part, side)),
        CutKind::EdgeNotch => Some(reached(piece, part, &cut.bounds())),
        CutKind::Opening => None,
        // A leg may be tapered on any of its sides: each is named.
        CutKind::Taper => Some(surface_word(piece, part, cut.entry)),
        CutKind::Notch => cut.solids.first().map(|s| corner(piece, part, &s.bounds())),
        _ if cut.entry == Side::Face => None,
        _ => Some(surface_word(piece, part, cut.entry)),
    }
}

/// The corners at which a part is notched, each once; of other cuts their one place.
pub fn cut_places(piece: &Piece, part: &Part, cut: &Cut) -> Vec<String> {
    if cut.kind != CutKind::Notch {
        return cut_place(piece, part, cut).into_iter().collect();
    }
    let mut out: Vec<String> = Vec::new();
    for solid in &cut.solids {
        let place = corner(piece, part, &solid.bounds());
        if !out.contains(&place) {
            out.push(place);
        }
    }
    out
}

/// What a notch reaches: `bottom end at the front`, `rear edge`.
fn reached(piece: &Piece, part: &Part, b: &LocalBox) -> String {
    let sides = [Side::End, Side::FarEnd, Side::Edge, Side::FarEdge];
    let reached: Vec<Side> = sides
        .into_iter()
        .filter(|side| {
            let i = side.axis().index();
            if side.is_far() {
                b.hi[i] >= part.size.along(side.axis())
            } else {
                !b.lo[i].is_positive()
            }
        })
        .collect();
    match reached.as_slice() {
        [end, edge] if end.axis() != edge.axis() => corner(piece, part, b),
        sides => {
            let words: Vec<String> = sides
                .iter()
                .map(|side| surface_word(piece, part, *side))
                .collect();
            words.join(" and ")
        }
    }
}

/// The corner at which a box lies: `left end at the front`.
fn corner(piece: &Piece, part: &Part, b: &LocalBox) -> String {
    let [end, edge] = [LocalAxis::Length, LocalAxis::Width].map(|axis| part.side_of(b, axis));
    format!(
        "{} at the {}",
        surface_word(piece, part, end),
        part.lay.looks(edge).word()
    )
}

/// The end or edge that a cut runs along: the one that all its wood touches, across its run.
pub fn edge_of(part: &Part, cut: &Cut) -> Option<Side> {
    let b = cut.bounds();
    let sides = match cut.along {
        LocalAxis::Length => [Side::Edge, Side::FarEdge],
        LocalAxis::Width => [Side::End, Side::FarEnd],
        LocalAxis::Thickness => return Some(cut.entry),
    };
    sides.into_iter().find(|side| {
        let i = side.axis().index();
        if side.is_far() {
            b.hi[i] == part.size.along(side.axis())
        } else {
            b.lo[i].is_zero()
        }
    })
}
