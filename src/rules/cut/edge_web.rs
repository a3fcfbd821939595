//! Too little wood between a notch, opening or recess and an edge, end or face of its part: it breaks
//! out when the part is handled.
//!
//! The least is the shop's least web (1.5 mm, judgement), as between two cuts; what lies between two
//! cuts is the business of [`super::web_thin`].

use super::{name, place};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{Cut, CutKind, LocalAxis, Part, Side};
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

struct Left<'v, 'm> {
    view: &'v View<'m>,
    part: &'m Part,
    cut: &'m Cut,
    side: Side,
    left: Length,
    least: Length,
}

/// Holds the wood at every side of every such cut against the shop's least web.
pub fn check(view: &View, report: &mut Report) {
    let least = view.model.shop.web;
    let mut any = false;
    for part in &view.piece.parts {
        for cut in part.cuts.iter().filter(|cut| cut.kind.is_own()) {
            for (side, left) in sides(part, cut) {
                any = true;
                let fact = Left {
                    view,
                    part,
                    cut,
                    side,
                    left,
                    least,
                };
                let subject = format!(
                    "{}, wood beside {}",
                    view.label(part),
                    name(view, part, cut)
                );
                let measured = Measured::at_least(&code::CUT_EDGE_WEB, subject, left, least)
                    .by(format!("at the {}", fact.where_words()))
                    .from("the shop's least web, placement rules 1.7")
                    .lines([cut.origin.span])
                    .of(part.assembly)
                    .of_many();
                report.judge(measured, || fact.diagnostic());
            }
        }
    }
    if !any {
        let subject = format!("{}, wood beside notches and openings", view.piece.title);
        report.holds(
            Measured::none_of(&code::CUT_EDGE_WEB, subject, 0)
                .by("none that leaves wood beside it")
                .from("the shop's least web, placement rules 1.7"),
        );
    }
}

/// What is left between a cut and each surface that it does not reach.
fn sides(part: &Part, cut: &Cut) -> Vec<(Side, Length)> {
    let b = cut.bounds();
    let mut out = Vec::new();
    for side in [Side::End, Side::FarEnd, Side::Edge, Side::FarEdge] {
        let i = side.axis().index();
        let left = if side.is_far() {
            part.size.along(side.axis()) - b.hi[i]
        } else {
            b.lo[i]
        };
        if left.is_positive() {
            out.push((side, left));
        }
    }
    if cut.kind == CutKind::Pocket {
        let floor = part.size.along(LocalAxis::Thickness) - cut.depth;
        out.push((cut.entry.opposite(), floor));
    }
    out
}

impl Left<'_, '_> {
    fn where_words(&self) -> String {
        let edge = self.part.lay.looks(self.side).word();
        match self.side.axis() {
            LocalAxis::Length | LocalAxis::Width => edge.to_owned(),
            LocalAxis::Thickness => format!("{edge} face"),
        }
    }

    fn diagnostic(&self) -> Diagnostic {
        let (view, part) = (self.view, self.view.tick(self.part.id));
        let what = name(view, self.part, self.cut);
        Diagnostic::new(
            &code::CUT_EDGE_WEB,
            format!(
                "in {part}, {what} leaves {} at the {}",
                view.text(self.left),
                self.where_words()
            ),
            place(self.cut),
            "cut here",
        )
        .note(format!("the shop's least web is {}", view.text(self.least)))
        .help("move it away, make it smaller, or let it go out at the edge")
    }
}
