//! The kinds of joint by their words.

use crate::model::JointKind;
use crate::schema::Clause;

/// The kind of joint with this word.
pub fn kind_of(word: &str, with: &Clause) -> Option<JointKind> {
    Some(match word {
        "butt" => JointKind::Butt,
        "dado" => JointKind::Dado,
        "groove" => JointKind::Groove,
        "rabbet" => JointKind::Rabbet,
        "dado_rabbet" => JointKind::DadoRabbet,
        "tongue" => JointKind::Tongue,
        "mortise" => JointKind::Mortise,
        "bridle" => JointKind::Bridle,
        "breadboard" => JointKind::Breadboard,
        "mitre" => JointKind::Mitre,
        "finger" => JointKind::Finger,
        "lap" => JointKind::Lap,
        "dovetail" if with.tail("half_blind").is_some() => JointKind::DovetailHalfBlind,
        "dovetail" if with.tail("sliding").is_some() => JointKind::DovetailSliding,
        "dovetail" if with.tail("dropped").is_some() => JointKind::DovetailDropped,
        "dovetail" => JointKind::DovetailThrough,
        "biscuits" => JointKind::Biscuits,
        "dowels" => JointKind::Dowels,
        "loose_tenons" => JointKind::LooseTenons,
        "screws" => JointKind::Screws,
        "pocket_screws" => JointKind::PocketScrews,
        "buttons" => JointKind::Buttons,
        "bolts" => JointKind::Bolts,
        "nails" => JointKind::Nails,
        _ => return None,
    })
}
