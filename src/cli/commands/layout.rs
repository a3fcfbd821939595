//! `casewright layout`.

use super::{EffortArg, SourceArgs, compile_file};
use crate::book::{self, Templates};
use crate::cli::output::Output;
use crate::cli::{FILES, FINE, MISTAKE, OURS, drawings};
use crate::draw::{layout_sketch, svg};
use crate::measure::{Length, Rational, Units};
use crate::model::Model;
use crate::plan::layouts::{Layouts, StockLayout, area, plan_layouts};
use clap::Args;
use serde::Serialize;
use std::path::{Path, PathBuf};

/// Arguments of `layout`.
#[derive(Debug, Args)]
pub struct LayoutArgs {
    #[command(flatten)]
    source: SourceArgs,
    /// How long to look for cheaper layouts; the same file and effort give the same layouts.
    #[arg(long, value_enum, default_value_t)]
    effort: EffortArg,
    /// Write the drawing of each sheet into this folder, as an SVG file; what else is there stays.
    #[arg(long, value_name = "FOLDER")]
    svg: Option<PathBuf>,
}

/// The sheets of a stock.
#[derive(Serialize)]
struct Stock<'a> {
    /// Its name in the text.
    stock: &'a str,
    sheets: Vec<Sheet>,
    /// Parts that no sheet on sale holds.
    not_laid: usize,
    /// Area of the rough parts by area of the sheets.
    used: f64,
    cost: f64,
    /// Proven: no layout in strips along the sheet costs less.
    bound: f64,
    /// What could be saved at most, of the cost; 0 where the layout is proven the cheapest.
    gap: f64,
    /// Currency of cost and bound, or `mm²` of sheet where sizes can't be compared by price.
    unit: &'a str,
}

#[derive(Serialize)]
struct Sheet {
    number: u32,
    long: Length,
    wide: Length,
    parts: usize,
    used: f64,
}

/// Lays out the sheets and prints what they hold and cost.
pub fn run(args: &LayoutArgs, output: &Output) -> u8 {
    let compiled = match compile_file(&args.source.file, &args.source.set, output) {
        Ok(compiled) => compiled,
        Err(code) => return code,
    };
    let Some(model) = compiled.model.as_ref().filter(|_| !compiled.has_errors()) else {
        output.reports(&compiled.diagnostics, &compiled.sources);
        return MISTAKE;
    };
    output.reports_beside(&compiled.diagnostics, &compiled.sources);
    let layouts = plan_layouts(model, args.effort.into());
    let units = model.pieces.first().map_or(Units::Mm, |piece| piece.units);
    if let Some(folder) = &args.svg
        && let Err(error) = draw(&layouts, units, folder)
    {
        output.problem(&format!("the drawings can't be written: {error}"));
        return FILES;
    }
    let stocks: Vec<Stock> = layouts.sheets.iter().map(|l| stock(model, l)).collect();
    if output.is_json() {
        return match serde_json::to_string_pretty(&stocks) {
            Ok(text) => {
                output.print(&format!("{text}\n"));
                FINE
            }
            Err(error) => {
                output.problem(&format!("the layouts can't be written as JSON: {error}"));
                OURS
            }
        };
    }
    if stocks.is_empty() {
        output.tell(&format!(
            "{}: nothing is sawn from sheets\n",
            args.source.file.display()
        ));
    }
    for (stock, layout) in stocks.iter().zip(&layouts.sheets) {
        output.print(&text(stock, layout, units));
    }
    FINE
}

/// Writes the drawing of each sheet.
fn draw(layouts: &Layouts, units: Units, folder: &Path) -> std::io::Result<()> {
    let sheets = layouts
        .sheets
        .iter()
        .flat_map(|stock| stock.sheets.iter().map(|sheet| (sheet, stock.thick)));
    let svgs = sheets.map(|(sheet, thick)| {
        let (scene, _) = layout_sketch::sheet(sheet, thick, units);
        svg::write(&scene)
    });
    let files = book::md::files("layouts", svgs, &Templates::built_in());
    drawings::stage(folder, &files)?.place()
}

fn stock<'a>(model: &'a Model, layout: &'a StockLayout) -> Stock<'a> {
    let cost = &layout.cost;
    let whole = sum(layout.sheets.iter().map(|s| area(s.long, s.wide)));
    let sawn = sum(layout.sheets.iter().map(|s| s.used * area(s.long, s.wide)));
    // Nothing laid out costs nothing and uses nothing.
    let share = |of: Rational, whole: Rational| match whole.is_zero() {
        true => 0.0,
        false => (of / whole).to_f64(),
    };
    Stock {
        stock: model
            .stocks
            .get(layout.stock.0 as usize)
            .map_or("", |stock| &stock.name),
        sheets: layout
            .sheets
            .iter()
            .map(|s| Sheet {
                number: s.number,
                long: s.long,
                wide: s.wide,
                parts: s.placed.len(),
                used: s.used.to_f64(),
            })
            .collect(),
        not_laid: layout.unplaced.len(),
        used: share(sawn, whole),
        cost: cost.cost.to_f64(),
        bound: cost.bound.to_f64(),
        gap: share(cost.cost - cost.bound, cost.cost),
        unit: cost.currency.as_deref().unwrap_or("mm²"),
    }
}

fn sum(figures: impl Iterator<Item = Rational>) -> Rational {
    figures.fold(Rational::ZERO, |sum, figure| sum + figure)
}

/// A stock in lines: what it costs and at least must, then sheet by sheet.
fn text(stock: &Stock, layout: &StockLayout, units: Units) -> String {
    // Areas are printed in square metres, prices as they are.
    let (by, unit) = match layout.cost.currency {
        Some(_) => (1.0, stock.unit),
        None => (1e6, "m²"),
    };
    let mut out = format!(
        "{}: {} sheet{}, {:.1} % used, {:.2} {unit}",
        stock.stock,
        stock.sheets.len(),
        if stock.sheets.len() == 1 { "" } else { "s" },
        stock.used * 100.0,
        stock.cost / by,
    );
    out.push_str(&if layout.cost.is_least() {
        ", proven the least in strips along the sheet\n".into()
    } else {
        format!(
            ", at least {:.2} in strips along the sheet: at most {:.1} % could be saved\n",
            stock.bound / by,
            stock.gap * 100.0
        )
    });
    for sheet in &stock.sheets {
        out.push_str(&format!(
            "  {}: {} x {} {}, parts {}, {:.1} % used\n",
            sheet.number,
            units.figure(sheet.long).plain(),
            units.figure(sheet.wide).plain(),
            units.name(),
            sheet.parts,
            sheet.used * 100.0
        ));
    }
    if stock.not_laid > 0 {
        out.push_str(&format!(
            "  no sheet on sale holds parts: {}\n",
            stock.not_laid
        ));
    }
    out
}
