//! A part of which both faces show, of sheet that is good on one.

use crate::diag::{Diagnostic, code};
use crate::measure::Rational;
use crate::model::{AssemblyKind, Part};
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

/// Looks at every part of such sheet, but for drawer boxes.
pub fn check(view: &View, report: &mut Report) {
    let (mut looked, mut clean) = (0, true);
    for part in &view.piece.parts {
        let Some(stock) = view.stock(part) else {
            continue;
        };
        if !stock.is_good_on_one() || view.kind(part) == AssemblyKind::Drawer {
            continue;
        }
        looked += 1;
        // What does not fit a number is told where parts share space.
        let Ok([(_, face), (_, reverse)]) = view.sight().faces(part) else {
            continue;
        };
        let lesser = face.min(reverse);
        if lesser.is_zero() {
            continue;
        }
        clean = false;
        let measured = Measured::none_of(&code::SHOW_FACE_GRADE, view.label(part), 1)
            .by("both faces of sheet that is good on one in sight")
            .from("placement rules 2.1")
            .lines([part.origin.span, stock.origin.span])
            .of(part.assembly);
        report.fails(measured, diagnostic(view, part, &stock.name, lesser));
    }
    if clean && looked > 0 {
        let subject = format!("{}, parts of sheet good on one face", view.piece.title);
        report.holds(
            Measured::none_of(&code::SHOW_FACE_GRADE, subject, 0)
                .by(format!(
                    "{looked} parts looked at: of each one face shows at most"
                ))
                .from("placement rules 2.1"),
        );
    }
}

fn diagnostic(view: &View, part: &Part, stock: &str, lesser: Rational) -> Diagnostic {
    let stock_span = view.stock(part).map(|stock| stock.origin.span);
    let square = lesser / Rational::int(100);
    let diagnostic = Diagnostic::new(
        &code::SHOW_FACE_GRADE,
        format!(
            "both faces of {} show, and `{stock}` is good on one",
            view.tick(part.id)
        ),
        part.origin.span,
        "seen from both sides",
    );
    let diagnostic = match stock_span {
        Some(span) => diagnostic.at(span, "one of its faces may show"),
        None => diagnostic,
    };
    diagnostic
        .note(format!(
            "about {} cm² of the lesser side are in sight",
            square.round().unwrap_or(0).max(1)
        ))
        .help("take a sheet with `good both`")
        .help("`allow show.face_grade \"…\"` if the lesser face may show there")
}
