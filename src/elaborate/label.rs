//! Names in print, made from the names in the text.

use crate::model::{Edge, HardwareKind, Role};

/// `score_cabinet` as words: `Score cabinet`.
pub fn words(name: &str) -> String {
    let spaced = name.replace('_', " ");
    let mut chars = spaced.chars();
    match chars.next() {
        Some(first) => first.to_uppercase().chain(chars).collect(),
        None => spaced,
    }
}

/// What a role is called.
pub fn role(role: Role) -> &'static str {
    match role {
        Role::Side => "side",
        Role::Bottom => "bottom",
        Role::Top => "top",
        Role::Lid => "lid",
        Role::Front => "front",
        Role::Back => "back",
        Role::Shelf => "shelf",
        Role::Divider => "divider",
        Role::Rail => "rail",
        Role::Stile => "stile",
        Role::Kick => "kick",
        Role::Cleat => "cleat",
        Role::Panel => "panel",
        Role::Leg => "leg",
        Role::Apron => "apron",
        Role::FaceStile => "stile",
        Role::FaceRail => "rail",
        Role::Moulding => "moulding",
        Role::Filler => "filler",
        Role::Worktop => "worktop",
        Role::Door => "door",
        Role::Flap => "flap",
        Role::Field => "field",
        Role::Face => "face",
        Role::LooseShelf => "shelf",
        Role::DrawerSide => "side",
        Role::DrawerFront => "front",
        Role::DrawerBack => "back",
        Role::DrawerBottom => "bottom",
        Role::Band => "edging",
        Role::Bearer => "bearer",
        Role::Guide => "guide",
        Role::Kicker => "kicker",
        Role::Packing => "packing",
        Role::Spline => "spline",
        Role::Key => "key",
    }
}

/// What a kind of hardware is called.
pub fn hardware(kind: &HardwareKind) -> &'static str {
    match kind {
        HardwareKind::Hinge(_) => "hinge",
        HardwareKind::Runner(_) => "runner",
        HardwareKind::Pin { .. } => "pin",
        HardwareKind::Pull { .. } => "pull",
        HardwareKind::Catch => "catch",
        HardwareKind::Lock => "lock",
        HardwareKind::Stay { .. } => "stay",
        HardwareKind::Foot => "foot",
        HardwareKind::Strap => "strap",
        HardwareKind::Screw { .. } => "screw",
        HardwareKind::Bolt { .. } => "bolt",
        HardwareKind::Nail { .. } => "nail",
        HardwareKind::Dowel { .. } => "dowel",
        HardwareKind::LooseTenon { .. } => "loose tenon",
        HardwareKind::Button { .. } => "button",
        HardwareKind::Biscuit { .. } => "biscuit",
    }
}

/// A panel of a case: `Side`, `Deck`, `Toe kick`, `Middle rail`.
pub fn panel(name: &str, of: Role) -> String {
    if Edge::from_word(name).is_some() || name == role(of) || of == Role::Leg {
        return words(role(of));
    }
    // Names such as `lid`, `floor`, `deck` say what the panel is; narrow parts keep their trade name.
    let narrow = matches!(
        of,
        Role::Kick | Role::Rail | Role::Stile | Role::Cleat | Role::Filler
    );
    if narrow && !name.contains(role(of)) {
        format!("{} {}", words(name), role(of))
    } else {
        words(name)
    }
}

/// A part within a thing: `Tray, side`.
pub fn within(thing: &str, part: &str) -> String {
    format!("{}, {part}", words(thing))
}

/// `tray[2]` from a name and its indices.
pub fn indexed(name: &str, index: &[u32]) -> String {
    if index.is_empty() {
        return name.to_owned();
    }
    let list: Vec<String> = index.iter().map(u32::to_string).collect();
    format!("{name}[{}]", list.join(","))
}
