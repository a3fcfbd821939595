//! A mortise that cuts through most of the fibres of solid wood: what is left beside it holds the part
//! together, and it breaks there.
//!
//! At most half of the section may go (common practice: between tenons stays as much wood as they take).

use super::TABLE;
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{Cut, CutKind, LocalAxis, LocalBox, Part};
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

/// Holds what the mortises of every joint take of the section of their part against half of it.
pub fn check(view: &View, report: &mut Report) {
    for part in view.piece.parts.iter().filter(|part| view.is_board(part)) {
        for cut in part.cuts.iter().filter(|cut| cut.kind == CutKind::Mortise) {
            let Some(joint) = cut.joint.filter(|_| cut.entry.axis() != LocalAxis::Length) else {
                continue;
            };
            let joint = view.joint(joint);
            let (holes, wide) = taken(part, cut);
            let limit = part.size.width.half();
            let by = |w: Length, t: Length| format!("{} x {}", view.plain(w), view.plain(t));
            let holes: Vec<String> = holes.into_iter().map(|[w, t]| by(w, t)).collect();
            let sum = format!(
                "{} of the {}",
                holes.join(" + "),
                by(part.size.width, part.size.thick)
            );
            let subject = format!(
                "{}, section at the mortise for {}",
                view.label(part),
                view.tick(joint.a)
            );
            let measured = Measured::at_most(&code::CUT_MORTISE_ACROSS, subject, wide, limit)
                .by(format!("{sum}, as a width of full thickness"))
                .from(format!("{TABLE} (common practice)"))
                .lines([joint.origin.span, part.origin.span])
                .of(part.assembly)
                .of_many();
            report.judge(measured, || {
                let name = view.tick(part.id);
                Diagnostic::new(
                    &code::CUT_MORTISE_ACROSS,
                    format!(
                        "the mortise for {} cuts through most of {name}",
                        view.tick(joint.a)
                    ),
                    joint.origin.at("with"),
                    "across the grain of what it is cut in",
                )
                .at(part.origin.span, format!("the grain of {name} runs across this joint"))
                .note(format!(
                    "{sum} of fibres go; at most half of a section may (common practice)"
                ))
                .help("house a wide part: `dado`, `dovetail sliding`, or `dowels`; `mortise` is for ends of rails")
            });
        }
    }
}

/// Width and thickness of each of the mortises of a cut that lie side by side in one section, where they
/// take most, and their sum as a width of the part's full thickness.
fn taken(part: &Part, cut: &Cut) -> (Vec<[Length; 2]>, Length) {
    let boxes: Vec<LocalBox> = cut.solids.iter().map(|solid| solid.bounds()).collect();
    let beside = |one: &LocalBox, other: &LocalBox| {
        let i = LocalAxis::Length.index();
        one.lo[i] < other.hi[i] && other.lo[i] < one.hi[i]
    };
    let section = |one: &LocalBox| {
        let holes = boxes.iter().filter(|other| beside(one, other));
        let sizes: Vec<[Length; 2]> = holes
            .map(|b| [LocalAxis::Width, LocalAxis::Thickness].map(|axis| b.extent(axis)))
            .collect();
        let wide = sizes
            .iter()
            .map(|[w, t]| w.scale(t.ratio(part.size.thick)))
            .fold(Length::ZERO, |sum, w| sum + w);
        (sizes, wide)
    };
    let all = boxes.iter().map(section);
    all.max_by_key(|(_, wide)| *wide).unwrap_or_default()
}
