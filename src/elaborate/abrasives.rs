//! Abrasives: those at the top of files, and the one that the shop takes by name or states itself.

use super::declare::{above_nothing, price, quantity_clause, title};
use super::materials::text;
use super::project::Project;
use super::stmt::Stmt;
use super::value::Lookup;
use super::{Poison, Res};
use crate::measure::{Dimension, Rational};
use crate::model::Abrasive;
use crate::schema::NameUse;

/// The area that one piece of one grit sands, if stated.
fn lasts(cx: &mut dyn Lookup, stmt: &Stmt) -> Res<Option<Rational>> {
    let found = quantity_clause(cx, stmt, "lasts", Dimension::AREA)?;
    match (found, stmt.clause("lasts")) {
        (Some(area), Some(clause)) => above_nothing(cx, area, clause.of.span).map(Some),
        _ => Ok(None),
    }
}

/// An abrasive of a file.
pub fn abrasive(cx: &mut dyn Lookup, stmt: &Stmt) -> Res<Abrasive> {
    Ok(Abrasive {
        name: stmt.name().to_owned(),
        title: title(stmt),
        lasts: lasts(cx, stmt)?.ok_or(Poison)?,
        source: text(cx, stmt, "source")?.map(|(source, _)| source),
        price: price(cx, stmt)?,
    })
}

/// The abrasive of the shop: what its line states, then what the abrasive of that name at the top of a
/// file says.
pub fn of_shop(
    cx: &mut dyn Lookup,
    line: &Stmt,
    declared: Option<&Abrasive>,
    project: &Project,
) -> Res<Abrasive> {
    let (own, price) = (lasts(cx, line)?, price(cx, line)?);
    let Some(declared) = declared else {
        let Some(lasts) = own else {
            return Err(lacks_area(cx, line, project));
        };
        return Ok(Abrasive {
            name: line.name().to_owned(),
            title: title(line),
            lasts,
            source: None,
            price,
        });
    };
    Ok(Abrasive {
        lasts: own.unwrap_or(declared.lasts),
        source: declared.source.clone().filter(|_| own.is_none()),
        price: price.or_else(|| declared.price.clone()),
        ..declared.clone()
    })
}

/// How long it lasts is stated, or an abrasive of that name is declared.
fn lacks_area(cx: &mut dyn Lookup, line: &Stmt, project: &Project) -> Poison {
    let Some(name) = line.names.first().filter(|_| !line.damaged) else {
        return Poison;
    };
    let name = NameUse {
        text: name.text.clone(),
        index: Vec::new(),
        span: name.span,
    };
    project.no_abrasive(cx, &name)
}
