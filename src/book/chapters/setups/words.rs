//! Words by which the template knows what a card is about.

use crate::model::{CutKind, JointKind, Model};
use crate::plan::setups::{Listed, Machine, Operation, Process};

pub(super) fn process_word(process: Process) -> &'static str {
    match process {
        Process::JointEdges => "joint_edges",
        Process::Panel => "panel",
        Process::Plane => "plane",
        Process::TrueEdge => "true_edge",
        Process::Rip => "rip",
        Process::SquareEnd => "square_end",
        Process::CutToLength => "cut_to_length",
        Process::Housing => "housing",
        Process::EdgeGroove => "edge_groove",
        Process::Score => "score",
        Process::Rabbet => "rabbet",
        Process::Tongue => "tongue",
        Process::Taper => "taper",
        Process::Tenon => "tenon",
        Process::Mortise => "mortise",
        Process::OpenMortise => "open_mortise",
        Process::WedgeSlot => "wedge_slot",
        Process::Lap => "lap",
        Process::Fingers => "fingers",
        Process::DovetailKey => "dovetail_key",
        Process::DovetailHousing => "dovetail_housing",
        Process::PocketHole => "pocket_hole",
        Process::Notch => "notch",
        Process::Tails => "tails",
        Process::Sockets => "sockets",
        Process::Slot => "slot",
        Process::HoleRow => "hole_row",
        Process::Bore => "bore",
        Process::Recess => "recess",
        Process::CutOut => "cut_out",
        Process::Mitre => "mitre",
        Process::SplineSlot => "spline_slot",
        Process::KeySlot => "key_slot",
        Process::Profile => "profile",
        Process::Turn => "turn",
        Process::Round => "round",
        Process::Band => "band",
        Process::Tape => "tape",
    }
}

pub(super) fn machine_word(machine: Machine) -> &'static str {
    match machine {
        Machine::Planer => "planer",
        Machine::Saw => "saw",
        Machine::SawHead => "saw_head",
        Machine::RouterTable => "router_table",
        Machine::Router => "router",
        Machine::Drill => "drill",
        Machine::MitreSaw => "mitre_saw",
        Machine::BiscuitCutter => "biscuit_cutter",
        Machine::Lathe => "lathe",
        Machine::HandSaw => "hand_saw",
        Machine::Knife => "knife",
        Machine::Bench => "bench",
    }
}

pub(super) fn listed_word(listed: Listed) -> &'static str {
    match listed {
        Listed::NotAsked => "not_asked",
        Listed::Shop => "shop",
        Listed::NoList => "no_list",
        Listed::NoneFits => "none_fits",
    }
}

/// What an operation cuts. A slot that is open at its end is for the loose tenons of its joint, not for
/// the part that they hold.
pub(super) fn kind_word(model: &Model, op: &Operation) -> Option<&'static str> {
    if op
        .joint
        .is_some_and(|id| model.part(op.at).0.joint(id).kind == JointKind::LooseTenons)
    {
        return Some("loose");
    }
    Some(match op.kind? {
        CutKind::Dado => "dado",
        CutKind::Groove => "groove",
        CutKind::CupBore => "cup",
        CutKind::PullHole => "pull",
        CutKind::ScrewHole => "screw",
        CutKind::EdgeNotch | CutKind::Opening => "opening",
        CutKind::Pocket => "pocket",
        CutKind::Mortise => "mortise",
        CutKind::LooseMortise => "loose",
        CutKind::ButtonSlot => "button",
        CutKind::ScrewSlot => "screw_slot",
        CutKind::DowelHole => "dowel",
        CutKind::EdgeGroove
        | CutKind::Taper
        | CutKind::Tenon
        | CutKind::OpenMortise
        | CutKind::SplineSlot
        | CutKind::KeySlot
        | CutKind::WedgeSlot
        | CutKind::Lap
        | CutKind::Fingers
        | CutKind::DovetailKey
        | CutKind::DovetailHousing
        | CutKind::PocketHole
        | CutKind::Rabbet
        | CutKind::Tongue
        | CutKind::Notch
        | CutKind::Tails
        | CutKind::Sockets
        | CutKind::Mitre
        | CutKind::PinHoles
        | CutKind::HingeRecess
        | CutKind::BiscuitSlot => "cut",
    })
}
