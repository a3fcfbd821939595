//! Mortises that meet inside a leg or post: the tenons of two rails want the same wood.

use super::pairs::Pair;
use super::{names, place};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{Cut, CutKind};
use crate::rules::report::{Measured, Report, down, help_with};
use crate::rules::view::View;
use crate::rules::words;

/// Whether this pair is this rule's to speak of.
pub fn speaks(pair: &Pair) -> bool {
    let mortise = |cut: &Cut| matches!(cut.kind, CutKind::Mortise | CutKind::LooseMortise);
    let fault = pair.clash.is_some() || (pair.open() && !pair.exempt);
    fault && mortise(pair.first) && mortise(pair.second)
}

/// Looks at every pair of mortises that lie near each other.
pub fn check(view: &View, report: &mut Report) {
    let mut count = 0;
    for pair in view.pairs().iter().filter(|pair| speaks(pair)) {
        count += 1;
        if let [Some(a), Some(b)] = pair.visitors {
            report.tell(a, b);
        }
        let subject = format!("{}, mortises that meet", view.label(pair.part));
        let measured = Measured::none_of(&code::CUT_MORTISES_MEET, subject, 1)
            .by(sums(view, pair).join("; "))
            .from("placement rules 2.1")
            .lines([pair.first.origin.span, pair.second.origin.span]);
        report.fails(measured, diagnostic(view, pair));
    }
    if count == 0 {
        let subject = format!("{}, mortises that meet", view.piece.title);
        let measured = Measured::none_of(&code::CUT_MORTISES_MEET, subject, 0);
        report.holds(measured.from("placement rules 2.1"));
    }
}

/// From the surface through which the first is cut to the nearer wall of the second.
fn before(pair: &Pair) -> Length {
    let side = pair.first.entry;
    let i = side.axis().index();
    if side.is_far() {
        pair.part.size.along(side.axis()) - pair.boxes[1].hi[i]
    } else {
        pair.boxes[1].lo[i]
    }
}

fn sums(view: &View, pair: &Pair) -> Vec<String> {
    let [first, second] = names(view, pair.part, pair.first, pair.second);
    let (deep, room) = (pair.first.depth, pair.first.relief);
    vec![
        format!(
            "{first} goes {} + {} = {} in, with its room for glue",
            view.plain(deep - room),
            view.plain(room),
            view.plain(deep)
        ),
        format!(
            "{second} begins {} in from the same surface",
            view.plain(before(pair))
        ),
    ]
}

fn diagnostic(view: &View, pair: &Pair) -> Diagnostic {
    let part = view.tick(pair.part.id);
    let [first, second] = names(view, pair.part, pair.first, pair.second);
    let mut out = Diagnostic::new(
        &code::CUT_MORTISES_MEET,
        format!("{first} and {second} meet in {part}"),
        place(pair.first),
        first,
    )
    .at(place(pair.second), second);
    for sum in sums(view, pair) {
        out = out.note(sum);
    }
    let kind = view.joint_kind(pair.first).map_or("mortise", words::joint);
    let most = before(pair) - pair.first.relief - view.model.shop.web;
    help_with(out, down(view, most), |deep| {
        format!("`{kind} deep {deep}`: then the first ends before the second")
    })
    .help("or set the two off in height, by `haunched` too; what is left between them may be cut away by hand, the ends of both tenons mitred")
}
