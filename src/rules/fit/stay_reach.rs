//! A stay of a flap whose other end would be screwed to the side beyond the opening.

use super::{FRONTS, label};
use crate::diag::{Diagnostic, code};
use crate::model::Axis;
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

/// Holds the place of every stay on its side against the height of the opening.
pub fn check(view: &View, report: &mut Report) {
    for leaf in &view.piece.leaves {
        // Of two, both are at one height.
        let Some((stay, up)) = leaf
            .stays
            .first()
            .and_then(|stay| Some((stay, stay.from_pin()?)))
        else {
            continue;
        };
        let (Some(long), Some(from_hung), Some(hung)) = (stay.long, stay.from_hung, leaf.hung)
        else {
            continue;
        };
        let clear = view.piece.opening(leaf.opening).clear;
        let pin = view.piece.leaf_box(leaf).face(hung);
        let room = (clear.face(hung.opposite()) - pin).abs();
        let subject = format!("{}, stay on the side", label(view, &leaf.path));
        let sum = format!(
            "√({}² - {}²) + {} = {}",
            view.plain(long),
            view.plain(from_hung + stay.behind),
            view.plain(stay.rise),
            view.plain(up)
        );
        let measured = Measured::at_most(&code::FIT_STAY_REACH, subject, up, room)
            .by(sum.clone())
            .from(FRONTS)
            .lines([leaf.origin.span]);
        report.judge(measured, || {
            Diagnostic::new(
                &code::FIT_STAY_REACH,
                format!(
                    "the stay of `{}` reaches past its opening",
                    view.name(&leaf.path)
                ),
                leaf.origin.at("stay"),
                format!("{} along the side from the hinges", view.text(up)),
            )
            .note(format!(
                "{sum}; the opening is {} high from there",
                view.plain(clear.extent(Axis::Z).min(room))
            ))
            .help("a shorter stay, or `at` further from the hinges")
        });
    }
}
