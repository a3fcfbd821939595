//! `finish`: its steps and coats, and what they cover.

use super::{above_nothing, leading, price, quantity_clause, title};
use crate::diag::{Diagnostic, code};
use crate::elaborate::stmt::Stmt;
use crate::elaborate::value::{self, Lookup};
use crate::elaborate::{Poison, Res};
use crate::measure::{Dimension, Rational};
use crate::model::{Coat, Finish, FinishStep};
use crate::schema::Clause;
use crate::syntax::tree::{Expr, ExprKind};

/// A finish.
pub fn finish(cx: &mut dyn Lookup, stmt: &Stmt) -> Res<Finish> {
    let mut steps = Vec::new();
    let mut cure = None;
    for line in &stmt.lines {
        match line.word() {
            "sand" => {
                let mut grits = Vec::new();
                for value in &line.values {
                    grits.push(value::count(cx, &line.env, value)?);
                }
                steps.push(FinishStep::Sand(grits));
            }
            "coat" => {
                let coats = match &line.count {
                    Some(count) => value::count(cx, &line.env, count)?,
                    None => 1,
                };
                let dry = quantity_clause(cx, line, "dry", Dimension::TIME)?.ok_or(Poison)?;
                let covers = match coverage(cx, line)? {
                    Some(covers) => covers,
                    None => Rational::int(10_000), // 10 m2 a litre, common practice
                };
                steps.push(FinishStep::Coat(Coat {
                    name: line.name().to_owned(),
                    coats,
                    dry,
                    covers,
                    price: price(cx, line)?,
                }));
            }
            "cure" => cure = leading(cx, line, Dimension::TIME)?,
            _ => {}
        }
    }
    Ok(Finish {
        name: stmt.name().to_owned(),
        title: title(stmt),
        steps,
        cure,
        origin: stmt.origin(),
    })
}

/// `covers 10m2 per L` in square millimetres a cubic millimetre (a litre is 1,000,000 mm3).
pub fn coverage(cx: &mut dyn Lookup, line: &Stmt) -> Res<Option<Rational>> {
    let Some(clause) = line.clause("covers") else {
        return Ok(None);
    };
    let area_expr = clause.of.value().ok_or(Poison)?;
    let area = value::quantity_of(cx, &clause.env, area_expr, Dimension::AREA)?;
    let per = match clause.of.tail("per").and_then(Clause::value) {
        Some(Expr {
            kind: ExprKind::Name(word),
            ..
        }) => crate::measure::Unit::find(word).map(|unit| unit.of(Rational::ONE)),
        Some(Expr {
            kind: ExprKind::Measure(q),
            ..
        }) => Some(*q),
        _ => None,
    };
    match per {
        Some(q) if q.dimension == Dimension::VOLUME => {
            let area = above_nothing(cx, area, area_expr.span)?;
            let volume = above_nothing(cx, q.value, clause.of.span)?;
            Ok(Some(area / volume))
        }
        _ => {
            cx.report(
                Diagnostic::new(
                    &code::TYPE_MISMATCH,
                    "a coverage is an area for a volume",
                    clause.of.span,
                    "not an area for a volume",
                )
                .help("write `covers 10m2 per L`"),
            );
            Err(Poison)
        }
    }
}
