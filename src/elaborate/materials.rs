//! Species and cores: their figures, and the stock that is made of them.

use super::library::is_library;
use super::project::{Project, TopLevel};
use super::stmt::Stmt;
use super::value::{self, Lookup};
use super::{Poison, Res, declare};
use crate::diag::{Diagnostic, code};
use crate::measure::{Dimension, Length, Rational};
use crate::model::{Figure, Material, MaterialId, MaterialSort, Stock, StockKind};
use crate::schema::NameUse;
use crate::source::Span;
use crate::syntax::tree::ExprKind;

/// The heads that declare what others are made of: they are read before the rest.
pub const HEADS: &[&str] = &["species", "core", "glue", "abrasive"];

/// A name as the project's table of names holds it: species and cores stand apart, so that a stock
/// may bear the name of its wood.
pub fn key(head: &str, name: &str) -> String {
    match head {
        "species" | "core" => format!("{head} {name}"),
        _ => name.to_owned(),
    }
}

/// A species or a core.
pub fn material(cx: &mut dyn Lookup, stmt: &Stmt) -> Res<Material> {
    let mega = Rational::int(1000);
    Ok(Material {
        name: stmt.name().to_owned(),
        title: declare::title(stmt),
        sort: if stmt.word() == "core" {
            MaterialSort::Core
        } else {
            MaterialSort::Species
        },
        latin: text(cx, stmt, "latin")?.map(|(text, _)| text),
        density: density(cx, stmt)?,
        radial: change(cx, stmt, "radial")?,
        tangential: change(cx, stmt, "tangential")?,
        stiffness: figure(cx, stmt, "stiffness", Dimension::PRESSURE, mega)?,
        strength: figure(cx, stmt, "strength", Dimension::PRESSURE, mega)?,
        hardness: figure(cx, stmt, "hardness", Dimension::FORCE, mega)?,
        origin: stmt.origin(),
    })
}

/// The words of a clause.
pub fn text(cx: &mut dyn Lookup, stmt: &Stmt, word: &str) -> Res<Option<(String, Span)>> {
    let Some(clause) = stmt.clause(word) else {
        return Ok(None);
    };
    let expr = clause.of.value().ok_or(Poison)?;
    value::text(cx, &clause.env, expr).map(|text| Some((text, expr.span)))
}

/// What a clause states, in so many base units, with its source or that of the block.
fn figure(
    cx: &mut dyn Lookup,
    stmt: &Stmt,
    word: &str,
    dimension: Dimension,
    unit: Rational,
) -> Res<Option<Figure>> {
    let Some(clause) = stmt.clause(word) else {
        return Ok(None);
    };
    let expr = clause.of.value().ok_or(Poison)?;
    let amount = value::quantity_not_negative(cx, &clause.env, expr, dimension)?;
    let value = declare::above_nothing(cx, amount, expr.span)? / unit;
    sourced(cx, stmt, word, value).map(Some)
}

fn sourced(cx: &mut dyn Lookup, stmt: &Stmt, word: &str, value: Rational) -> Res<Figure> {
    let own = stmt.clause(word).and_then(|clause| {
        let tail = clause.of.tail("source").and_then(|tail| tail.value())?;
        Some((clause.env.clone(), tail))
    });
    let source = match own {
        Some((env, expr)) => Some(value::text(cx, &env, expr)?),
        None => text(cx, stmt, "source")?.map(|(text, _)| text),
    };
    Ok(Figure { value, source })
}

/// A change of size for each per cent of moisture: a small share.
fn change(cx: &mut dyn Lookup, stmt: &Stmt, word: &str) -> Res<Option<Figure>> {
    let found = figure(cx, stmt, word, Dimension::NONE, Rational::ONE)?;
    let most = Rational::new(1, 100);
    if let (Some(change), Some(clause)) = (&found, stmt.clause(word))
        && change.value > most
    {
        cx.report(
            Diagnostic::new(
                &code::VALUE_RANGE,
                "wood that moves beyond all wood",
                clause.of.span,
                format!(
                    "{} % for each per cent of moisture",
                    change.value * Rational::int(100)
                ),
            )
            .note("the most that is known is about half a per cent")
            .help(
                "write the coefficient for one per cent of moisture, as in `0.00365` or `0.365%`",
            ),
        );
        return Err(Poison);
    }
    Ok(found)
}

/// `density 762kg per m3`, in kilograms a cubic metre.
pub fn density(cx: &mut dyn Lookup, stmt: &Stmt) -> Res<Option<Figure>> {
    let Some(clause) = stmt.clause("density") else {
        return Ok(None);
    };
    let expr = clause.of.value().ok_or(Poison)?;
    let mass = value::quantity_not_negative(cx, &clause.env, expr, Dimension::MASS)?;
    let mass = declare::above_nothing(cx, mass, expr.span)?;
    let per = clause.of.tail("per").and_then(|per| per.value());
    let volume = match per.map(|per| &per.kind) {
        Some(ExprKind::Name(word)) => crate::measure::Unit::find(word)
            .filter(|unit| unit.dimension == Dimension::VOLUME)
            .map(|unit| unit.of(Rational::ONE).value),
        Some(ExprKind::Measure(q)) if q.dimension == Dimension::VOLUME => Some(q.value),
        _ => None,
    };
    let Some(volume) = volume else {
        let at = per.map_or(clause.of.span, |per| per.span);
        cx.report(
            Diagnostic::new(
                &code::TYPE_MISMATCH,
                "a density is a mass for a volume",
                at,
                "not a mass for a volume",
            )
            .help("write `density 700kg per m3`"),
        );
        return Err(Poison);
    };
    let volume = declare::above_nothing(cx, volume, clause.of.span)?;
    let value = mass / volume * Rational::int(1_000_000_000);
    // The heaviest wood sinks, at about 1300 kg; what is below 20 kg is foam.
    if value < Rational::int(20) || value > Rational::int(3000) {
        cx.report(
            Diagnostic::new(
                &code::VALUE_RANGE,
                "a density beyond all stock",
                clause.of.span,
                format!(
                    "{} kg a cubic metre",
                    Length::from_mm(value).to_f64_mm().round()
                ),
            )
            .help("look for a slip in the figure or its unit"),
        );
        return Err(Poison);
    }
    sourced(cx, stmt, "density", value).map(Some)
}

/// A stock with what it is made of.
pub fn made_of(cx: &mut TopLevel<'_>, project: &Project, stmt: &Stmt, stock: Stock) -> Res<Stock> {
    let species = named(cx, project, stmt, "species")?;
    let core = named(cx, project, stmt, "core")?;
    let sheet = matches!(stock.kind, StockKind::Sheet { .. });
    let mut stock = stock;
    // What sheets usually measure is no measure of the maker's own pack.
    if let StockKind::Sheet { by_measure, .. } = &mut stock.kind
        && let Some(clause) = stmt.clause("measured")
    {
        *by_measure = !is_library(&cx.sources.get(clause.of.span.file).path);
    }
    Ok(Stock {
        material: if sheet { core } else { species },
        face: species.filter(|_| sheet),
        density: density(cx, stmt)?,
        ..stock
    })
}

/// The material that a clause names. A core may be solid wood: then a species is named.
fn named(
    cx: &mut dyn Lookup,
    project: &Project,
    stmt: &Stmt,
    word: &'static str,
) -> Res<Option<MaterialId>> {
    let Some(clause) = stmt.clause(word) else {
        return Ok(None);
    };
    let expr = clause.of.value().ok_or(Poison)?;
    let name = NameUse {
        text: expr.as_name().ok_or(Poison)?.to_owned(),
        index: Vec::new(),
        span: expr.span,
    };
    let heads: &[&str] = if word == "core" {
        &["core", "species"]
    } else {
        &["species"]
    };
    let found = heads
        .iter()
        .find_map(|head| project.materials.get_index_of(&key(head, &name.text)));
    match found {
        Some(at) => Ok(Some(MaterialId(at as u32))),
        None => Err(project.no_material(cx, &name, heads)),
    }
}
