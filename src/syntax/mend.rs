//! Slips that the grammar reads, but never as they were meant: a unit apart from its number, a minus on
//! one side, a decimal comma. Each is reported, and the tree gets what was meant, so that nothing
//! later stumbles over it again.

use super::build::whole;
use super::literal;
use super::parse::Stretch;
use super::tree::{Expr, ExprKind, Item, Op};
use crate::diag::{Diagnostic, Edit, code};
use crate::measure::{Dimension, Unit};
use crate::source::Span;

/// Looks through the items of a line.
pub(super) fn items(
    items: Vec<Item>,
    stretch: &Stretch<'_>,
    reports: &mut Vec<Diagnostic>,
) -> Vec<Item> {
    let mut mended: Vec<Item> = Vec::with_capacity(items.len());
    let last = items.len().saturating_sub(1);
    for (i, mut item) in items.into_iter().enumerate() {
        if item.exprs.len() > 1 {
            commas(&mut item, stretch, reports);
        }
        let unit = item
            .exprs
            .first()
            .and_then(Expr::as_name)
            .and_then(Unit::find);
        if let Some(unit) = unit {
            let alone = i == last && item.exprs.len() == 1;
            if apart(&mut mended, &mut item, unit, alone, stretch, reports) {
                continue;
            }
        } else if let Some(sign) = item.exprs.first().and_then(leading_minus)
            && one_sided(&mut mended, &mut item, sign, stretch, reports)
        {
            continue;
        }
        mended.push(item);
    }
    mended
}

/// `18 mm`, `16 1/2 in`: the item's first expression is the unit of the number before it. Only a number
/// that cannot be a count is taken for inches, since `2 in box` is two things in a box.
fn apart(
    mended: &mut Vec<Item>,
    item: &mut Item,
    unit: &Unit,
    alone: bool,
    stretch: &Stretch<'_>,
    reports: &mut Vec<Diagnostic>,
) -> bool {
    let Some(amount) = mended.last().and_then(|item| item.exprs.last()) else {
        return false;
    };
    let amount_text = text_of(stretch, amount.span);
    let (start, written) = match &amount.kind {
        ExprKind::Number(_) if unit.symbol != "in" || alone || amount_text.contains('.') => {
            (amount.span, amount_text.to_string())
        }
        ExprKind::Binary(above, Op::Div, _, below)
            if whole(above).is_some()
                && whole(below).is_some()
                && !amount_text.contains([' ', '\t', '\n', '(']) =>
        {
            let before = mended
                .len()
                .checked_sub(2)
                .and_then(|i| mended.get(i))
                .and_then(|item| item.exprs.last());
            let single = mended.last().is_some_and(|item| item.exprs.len() == 1);
            match before.filter(|expr| {
                single && whole(expr).is_some() && expr.span.end + 1 == amount.span.start
            }) {
                Some(before) => (
                    before.span,
                    format!("{} {amount_text}", text_of(stretch, before.span)),
                ),
                None => (amount.span, amount_text.to_string()),
            }
        }
        _ => return false,
    };
    let Some(name) = item.exprs.first() else {
        return false;
    };
    let span = start.to(name.span);
    let glued = format!("{written}{}", unit.symbol);
    reports.push(
        Diagnostic::new(
            &code::VALUE_UNIT_APART,
            format!("`{}` stands apart from its number", unit.symbol),
            span,
            "a number and a word",
        )
        .help(format!("glue the unit: `{glued}`"))
        .mend(span, glued.clone()),
    );
    let kind = literal::measure(&glued, span).map_or(ExprKind::BadUnit, ExprKind::Measure);
    if start != amount.span {
        mended.pop(); // the fraction; the whole before it becomes the measure
    }
    item.exprs.remove(0);
    if let Some(into) = mended.last_mut() {
        into.exprs.pop();
        into.exprs.push(Expr { kind, span });
        into.exprs.append(&mut item.exprs);
        into.span = into
            .exprs
            .first()
            .zip(into.exprs.last())
            .map_or(span, |(first, last)| first.span.to(last.span));
    }
    true
}

/// `100mm -3mm`: the item begins with a minus, and what stands before it is a value.
fn one_sided(
    mended: &mut [Item],
    item: &mut Item,
    sign: Span,
    stretch: &Stretch<'_>,
    reports: &mut Vec<Diagnostic>,
) -> bool {
    let Some(left) = mended.last_mut() else {
        return false;
    };
    let value = |expr: &Expr| {
        use ExprKind::{Binary, Call, Index, Measure, Member, Number};
        matches!(
            expr.kind,
            Measure(_) | Number(_) | Member(..) | Index(..) | Call(..) | Binary(..)
        )
    };
    if !left.exprs.last().is_some_and(value) {
        return false;
    }
    let Some(old) = left.exprs.pop() else {
        return false;
    };
    let span = old.span.to(item.span);
    let left_text = text_of(stretch, old.span);
    let right_text = text_of(
        stretch,
        Span {
            start: sign.end,
            ..item.span
        },
    );
    let mut report = Diagnostic::new(
        &code::SYNTAX_MINUS,
        "a minus has a blank on one side only",
        sign,
        "begins a new value",
    );
    if left_text.len() + right_text.len() < 60
        && !left_text.contains('\n')
        && !right_text.contains('\n')
    {
        report = report.help(format!(
            "to subtract, put a blank on both sides: `{left_text} - {right_text}`"
        ));
    } else {
        report = report.help("to subtract, put a blank on both sides: `a - b`");
    }
    reports.push(report.mend(sign, "- "));
    let mut rest = std::mem::take(&mut item.exprs).into_iter();
    let kind = match rest.next() {
        Some(Expr {
            kind: ExprKind::Neg(right),
            ..
        }) => ExprKind::Binary(Box::new(old), Op::Sub, sign, right),
        _ => ExprKind::BadUnit,
    };
    left.exprs.push(Expr { kind, span });
    left.exprs.extend(rest);
    left.span = left.span.to(item.span);
    true
}

/// The sign with which an expression begins.
fn leading_minus(expr: &Expr) -> Option<Span> {
    match &expr.kind {
        ExprKind::Neg(inner) if expr.span.start < inner.span.start => Some(Span {
            end: expr.span.start + 1,
            ..expr.span
        }),
        ExprKind::Binary(left, ..) if left.span.start == expr.span.start => leading_minus(left),
        _ => None,
    }
}

/// `17,6mm`: a list of a bare number and a measure, without a blank.
fn commas(item: &mut Item, stretch: &Stretch<'_>, reports: &mut Vec<Diagnostic>) {
    let mut mended: Vec<Expr> = Vec::with_capacity(item.exprs.len());
    for expr in std::mem::take(&mut item.exprs) {
        let decimal = mended.last().filter(|left| {
            matches!(expr.kind, ExprKind::Measure(_))
                && whole(left).is_some()
                && left.span.end + 1 == expr.span.start
        });
        let Some(left) = decimal else {
            mended.push(expr);
            continue;
        };
        let span = left.span.to(expr.span);
        let (whole, part) = (text_of(stretch, left.span), text_of(stretch, expr.span));
        let written = format!("{whole}.{part}");
        // `27,52mm` may be two sizes, of which the first lacks its unit.
        let one_digit = part.bytes().take_while(u8::is_ascii_digit).count() == 1;
        let mend = Edit::new(span, written.clone());
        reports.push(
            Diagnostic::new(
                &code::VALUE_COMMA,
                "a decimal is written with a comma",
                span,
                "reads as a list of two",
            )
            .help(format!("write `{written}`"))
            .help("of a list each number has its unit, and a blank follows the comma")
            .mends([mend], one_digit),
        );
        let kind = literal::measure(&written, span).map_or(ExprKind::BadUnit, ExprKind::Measure);
        mended.pop();
        mended.push(Expr { kind, span });
    }
    item.exprs = mended;
}

/// `16-1/2in`: a whole number less a fraction of an inch, where `16 1/2in` was meant.
pub(super) fn hyphen(
    left: &Expr,
    right: &Expr,
    stretch: &Stretch<'_>,
    reports: &mut Vec<Diagnostic>,
) -> Option<Expr> {
    let ExprKind::Measure(fraction) = &right.kind else {
        return None;
    };
    let (whole_text, part) = (text_of(stretch, left.span), text_of(stretch, right.span));
    let meant = whole(left).is_some()
        && fraction.dimension == Dimension::LENGTH
        && left.span.end + 1 == right.span.start
        && part.contains('/')
        && !part.contains(' ')
        && whole_text.bytes().all(|b| b.is_ascii_digit());
    if !meant {
        return None;
    }
    let span = left.span.to(right.span);
    let written = format!("{whole_text} {part}");
    reports.push(
        Diagnostic::new(
            &code::VALUE_MIXED,
            "a mixed number is written with a hyphen",
            span,
            "takes a length from a number",
        )
        .help(format!("write `{written}`"))
        .mend(span, written.clone()),
    );
    let kind = literal::measure(&written, span).map_or(ExprKind::BadUnit, ExprKind::Measure);
    Some(Expr { kind, span })
}

fn text_of<'a>(stretch: &Stretch<'a>, span: Span) -> &'a str {
    stretch
        .text
        .get(span.start as usize..span.end as usize)
        .unwrap_or("")
}
