//! Glues: those at the top of files, and those that the shop takes by name or states itself.

use super::declare::{coverage, price, quantity_clause, seconds};
use super::materials::text;
use super::project::Project;
use super::stmt::Stmt;
use super::value::Lookup;
use super::{Poison, Res};
use crate::diag::{Diagnostic, code};
use crate::measure::Dimension;
use crate::model::Glue;
use crate::schema::NameUse;

/// A glue of a file, with all that it must state.
pub fn glue(cx: &mut dyn Lookup, stmt: &Stmt) -> Res<Glue> {
    let time = |cx: &mut dyn Lookup, word| quantity_clause(cx, stmt, word, Dimension::TIME);
    let open = time(cx, "open")?.ok_or(Poison)?;
    let clamped = time(cx, "clamped")?.ok_or(Poison)?;
    let cured = time(cx, "cured")?;
    Ok(Glue {
        name: stmt.name().to_owned(),
        open: seconds(open),
        clamped: seconds(clamped),
        cured: cured.map(seconds),
        covers: coverage(cx, stmt)?,
        source: text(cx, stmt, "source")?.map(|(source, _)| source),
        price: price(cx, stmt)?,
    })
}

/// A glue of the shop: what its line states, then what the glue of that name at the top of a file says.
pub fn of_shop(
    cx: &mut dyn Lookup,
    line: &Stmt,
    declared: Option<&Glue>,
    project: &Project,
) -> Res<Glue> {
    let time = |cx: &mut dyn Lookup, word| quantity_clause(cx, line, word, Dimension::TIME);
    let (open, clamped) = (time(cx, "open")?, time(cx, "clamped")?);
    let cured = time(cx, "cured")?.map(seconds);
    let (covers, price) = (coverage(cx, line)?, price(cx, line)?);
    let Some(declared) = declared else {
        let (Some(open), Some(clamped)) = (open, clamped) else {
            return Err(lacks_times(cx, line, project));
        };
        return Ok(Glue {
            name: line.name().to_owned(),
            open: seconds(open),
            clamped: seconds(clamped),
            cured,
            covers,
            source: None,
            price,
        });
    };
    let own = open.is_some() && clamped.is_some();
    Ok(Glue {
        name: line.name().to_owned(),
        open: open.map_or(declared.open, seconds),
        clamped: clamped.map_or(declared.clamped, seconds),
        cured: cured.or(declared.cured),
        covers: covers.or(declared.covers),
        source: declared.source.clone().filter(|_| !own),
        price: price.or_else(|| declared.price.clone()),
    })
}

/// Times are stated, or a glue of that name is declared.
fn lacks_times(cx: &mut dyn Lookup, line: &Stmt, project: &Project) -> Poison {
    if line.damaged {
        return Poison;
    }
    let lacking = ["open", "clamped"].into_iter().find(|word| !line.has(word));
    let (Some(name), Some(lacking)) = (line.names.first(), lacking) else {
        return Poison;
    };
    // Half of its times: the line states a glue of its own.
    if line.has("open") || line.has("clamped") {
        cx.report(
            Diagnostic::new(
                &code::LINE_NEEDS,
                format!("`{}` lacks its `{lacking}`", line.name()),
                name.span,
                "needs one",
            )
            .help(format!("add `{lacking}` with a time")),
        );
        return Poison;
    }
    let name = NameUse {
        text: name.text.clone(),
        index: Vec::new(),
        span: name.span,
    };
    project.no_glue(cx, &name)
}
