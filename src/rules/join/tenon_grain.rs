//! Tenons, forks and fingers across the grain: short grain all through, which breaks off along the
//! fibres when the joint is driven together.

use crate::diag::{Diagnostic, code};
use crate::model::{Cut, CutKind, LocalAxis, Part};
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

/// Whether a cut leaves short grain standing: what it shapes stands out of a long edge of solid wood.
pub fn is_short(view: &View, part: &Part, cut: &Cut) -> bool {
    let stands = matches!(
        cut.kind,
        CutKind::Tenon | CutKind::OpenMortise | CutKind::Fingers
    );
    stands && view.is_board(part) && cut.entry.axis() != LocalAxis::Length
}

/// Looks at every tenon, fork and row of fingers in solid wood.
pub fn check(view: &View, report: &mut Report) {
    for part in &view.piece.parts {
        for cut in &part.cuts {
            let (Some(id), true) = (cut.joint, view.is_board(part)) else {
                continue;
            };
            let what = match cut.kind {
                CutKind::Tenon => "tenon",
                CutKind::OpenMortise => "fork",
                CutKind::Fingers => "fingers",
                _ => continue,
            };
            let joint = view.joint(id);
            let short = is_short(view, part, cut);
            let subject = format!("{}, grain of its {what}", view.label(part));
            let measured = Measured::none_of(&code::JOIN_TENON_GRAIN, subject, usize::from(short))
                .by("cut across the grain")
                .from("joint table, placement rules 2.2: in long grain")
                .lines([joint.origin.span, part.origin.span])
                .of_many();
            report.judge(measured, || {
                let name = view.tick(part.id);
                let stands = if what == "fingers" { "stand" } else { "stands" };
                Diagnostic::new(
                    &code::JOIN_TENON_GRAIN,
                    format!("the {what} of {name} {stands} across the grain"),
                    joint.origin.at("with"),
                    "short grain, which breaks off along the fibres",
                )
                .at(
                    part.origin.span,
                    format!("the grain of {name} runs along this joint, not into it"),
                )
                .help("turn the grain with `grain`, or use `groove`, `dowels` or `loose_tenons`")
            });
        }
    }
}
