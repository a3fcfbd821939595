//! A row of matched fronts longer than any sheet that is sold.

use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{Axis, LocalAxis, SheetGrain, StockKind};
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

/// Holds every row, at its size for breakdown with a kerf between neighbours, against the sheets of its
/// stock, less what is trimmed.
pub fn check(view: &View, report: &mut Report) {
    let shop = &view.model.shop;
    for row in &view.piece.matched {
        let parts = row.parts.iter().map(|part| view.piece.part(*part));
        let Some(first) = parts.clone().next() else {
            continue;
        };
        let Some(StockKind::Sheet { sizes, grain, .. }) = view.stock(first).map(|s| &s.kind) else {
            continue;
        };
        let along = row.along_grain(view.piece);
        let of = |size: (Length, Length)| if along { size.0 } else { size.1 };
        let sum: Length = parts.clone().map(|part| of(view.rough_size(part))).sum();
        let figure = sum + shop.kerf * (row.parts.len() as i64 - 1);
        let side = |long, wide| match along == (*grain == SheetGrain::Long) {
            true => long,
            false => wide,
        };
        let Some(limit) = sizes
            .iter()
            .map(|s| side(s.long, s.wide) - shop.trim * 2)
            .max()
        else {
            continue;
        };
        let way = match first.lay.axis(LocalAxis::Length) == Axis::X {
            true if along => "side by side",
            false if !along => "side by side",
            _ => "one above the other",
        };
        let subject = format!(
            "{} matched fronts {way}, from {}",
            row.parts.len(),
            view.label(first)
        );
        let measured = Measured::at_most(&code::STOCK_MATCHED, subject, figure, limit)
            .by("rough sizes and the kerfs between them")
            .from("the largest sheet that is sold, trimmed")
            .lines([row.origin.span])
            .of_many();
        report.judge(measured, || {
            Diagnostic::new(
                &code::STOCK_MATCHED,
                "matched fronts are longer together than any sheet that is sold",
                row.origin.span,
                format!("together {} for breakdown", view.text(figure)),
            )
            .note(format!(
                "{} - {} = {}",
                view.plain(figure),
                view.plain(limit),
                view.plain(figure - limit)
            ))
            .help("match them in two rows, or buy a larger sheet")
        });
    }
}
