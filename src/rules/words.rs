//! How findings and messages put figures and names: one place, so that all sound alike.

use crate::measure::{Length, Rational, Units};
use crate::model::{CutKind, JointKind};

/// A figure without its unit: `17.6`, `~276.3`, `16 1/2`.
pub fn plain(units: Units, length: Length) -> String {
    units.figure(length).plain()
}

/// A length as a maker would write it in the text, rounded down to something that can be set on a
/// machine: whole millimetres, or sixteenths of an inch. `None` if nothing is left.
pub fn written_down(units: Units, length: Length) -> Option<String> {
    written(units, length.as_mm(), length.as_inches(), Rational::floor)
}

/// As [`written_down`], rounded up.
pub fn written_up(units: Units, length: Length) -> Option<String> {
    written(units, length.as_mm(), length.as_inches(), Rational::ceil)
}

fn written(
    units: Units,
    mm: Rational,
    inches: Rational,
    round: fn(Rational) -> Option<i128>,
) -> Option<String> {
    match units {
        Units::Mm => round(mm).filter(|n| *n > 0).map(|n| format!("{n}mm")),
        Units::Inch(_) => {
            let sixteenths = round(inches * Rational::int(16)).filter(|n| *n > 0)?;
            let (whole, rest) = (sixteenths / 16, Rational::new(sixteenths % 16, 16));
            Some(match (whole, rest.is_zero()) {
                (_, true) => format!("{whole}in"),
                (0, _) => format!(
                    "{rest_n}/{rest_d}in",
                    rest_n = rest.numer(),
                    rest_d = rest.denom()
                ),
                _ => format!("{whole} {}/{}in", rest.numer(), rest.denom()),
            })
        }
    }
}

/// The language's word for a kind of joint.
pub fn joint(kind: JointKind) -> &'static str {
    match kind {
        JointKind::Butt => "butt",
        JointKind::Dado => "dado",
        JointKind::Groove => "groove",
        JointKind::Rabbet => "rabbet",
        JointKind::DadoRabbet => "dado_rabbet",
        JointKind::Tongue | JointKind::Edging => "tongue",
        JointKind::Mortise => "mortise",
        JointKind::Bridle => "bridle",
        JointKind::Breadboard => "breadboard",
        JointKind::Finger => "finger",
        JointKind::Lap => "lap",
        JointKind::DovetailSliding => "dovetail sliding",
        JointKind::DovetailDropped => "dovetail dropped",
        JointKind::Dowels => "dowels",
        JointKind::LooseTenons => "loose_tenons",
        JointKind::PocketScrews => "pocket_screws",
        JointKind::Buttons => "buttons",
        JointKind::Mitre => "mitre",
        JointKind::Spline => "mitre splined",
        JointKind::Key => "mitre keyed",
        JointKind::DovetailThrough => "dovetail through",
        JointKind::DovetailHalfBlind => "dovetail half_blind",
        JointKind::Biscuits => "biscuits",
        JointKind::Screws => "screws",
        JointKind::Bolts => "bolts",
        JointKind::Nails => "nails",
    }
}

/// What a cut is called in print.
pub fn cut(kind: CutKind) -> &'static str {
    match kind {
        CutKind::Dado => "dado",
        CutKind::Groove | CutKind::EdgeGroove => "groove",
        CutKind::Rabbet => "rabbet",
        CutKind::Tongue => "shoulder",
        CutKind::Taper
        | CutKind::Tenon
        | CutKind::Mortise
        | CutKind::OpenMortise
        | CutKind::SplineSlot
        | CutKind::KeySlot
        | CutKind::WedgeSlot
        | CutKind::Lap
        | CutKind::Fingers
        | CutKind::DovetailKey
        | CutKind::DovetailHousing
        | CutKind::DowelHole
        | CutKind::LooseMortise
        | CutKind::PocketHole
        | CutKind::ScrewSlot
        | CutKind::ButtonSlot => kind.word(),
        CutKind::Notch => "notch",
        CutKind::Tails => "tails",
        CutKind::Sockets => "sockets",
        CutKind::Mitre => "mitre",
        CutKind::PinHoles => "row of pin holes",
        CutKind::CupBore => "bore for a hinge cup",
        CutKind::HingeRecess => "hinge recess",
        CutKind::PullHole => "hole for a pull",
        CutKind::ScrewHole => "screw hole",
        CutKind::BiscuitSlot => "biscuit slot",
        CutKind::EdgeNotch => "notch",
        CutKind::Opening => "opening",
        CutKind::Pocket => "recess",
    }
}

/// `a`, `a and b`, `a, b and c`.
pub fn and(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [rest @ .., last] => format!("{} and {last}", rest.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::InchStep;

    #[test]
    fn lengths_are_written_as_the_language_reads_them() {
        let inch = Units::Inch(InchStep::SixtyFourth);
        assert_eq!(
            written_down(Units::Mm, Length::um(5250)).as_deref(),
            Some("5mm")
        );
        assert_eq!(
            written_up(Units::Mm, Length::um(5250)).as_deref(),
            Some("6mm")
        );
        assert_eq!(written_down(Units::Mm, Length::um(900)), None);
        assert_eq!(
            written_down(inch, Length::inches(45, 64)).as_deref(),
            Some("11/16in")
        );
        assert_eq!(
            written_up(inch, Length::inches(97, 64)).as_deref(),
            Some("1 9/16in")
        );
        assert_eq!(
            written_up(inch, Length::inches(2, 1)).as_deref(),
            Some("2in")
        );
    }
}
