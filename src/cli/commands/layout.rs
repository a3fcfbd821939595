//! `casewright layout`.

use super::{EffortArg, SourceArgs, compile_file};
use crate::book::{self, Templates};
use crate::cli::output::Output;
use crate::cli::{FILES, FINE, MISTAKE, OURS, drawings};
use crate::draw::{layout_sketch, svg};
use crate::measure::{Length, Rational, Units};
use crate::model::{Model, StockId};
use crate::plan::layouts::{self, LayoutCost, Layouts, area, plan_layouts};
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
    /// Write the drawing of each sheet, board and strip into this folder, as an SVG file; what else is there stays.
    #[arg(long, value_name = "FOLDER")]
    svg: Option<PathBuf>,
}

/// What is sawn of a stock: its sheets, its boards of one rough thickness, its strips.
#[derive(Serialize)]
struct Stock<'a> {
    /// Its name in the text.
    stock: &'a str,
    /// `sheet`, `board` or `strip`.
    of: &'static str,
    thick: Length,
    sheets: Vec<Sheet>,
    /// Parts that nothing on sale holds.
    not_laid: usize,
    /// Area of the rough parts by area of the sheets.
    used: f64,
    cost: f64,
    /// Proven: no layout of this kind costs less.
    bound: f64,
    /// What could be saved at most, of the cost; 0 where the layout is proven the cheapest.
    gap: f64,
    /// Currency of cost and bound, or `mm²` of sheet where sizes can't be compared by price.
    unit: &'a str,
    #[serde(skip)]
    least: bool,
}

#[derive(Serialize)]
struct Sheet {
    number: u32,
    long: Length,
    wide: Length,
    parts: usize,
    used: f64,
}

/// Lays out sheets, boards and strips and prints what they hold and cost.
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
    let stocks = stocks(model, &layouts);
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
            "{}: nothing is sawn\n",
            args.source.file.display()
        ));
    }
    for stock in &stocks {
        output.print(&text(stock, units));
    }
    FINE
}

/// Writes the drawing of each sheet, board and strip.
fn draw(layouts: &Layouts, units: Units, folder: &Path) -> std::io::Result<()> {
    let sheets = layouts
        .sheets
        .iter()
        .flat_map(|stock| stock.sheets.iter().map(|sheet| (sheet, stock.thick)))
        .map(|(sheet, thick)| layout_sketch::sheet(sheet, thick, units).0);
    let boards = layouts.boards.iter().flat_map(|list| {
        let thick = list.rough.unwrap_or(list.needed);
        list.boards.iter().map(move |b| (b, "Board", thick))
    });
    let strips = layouts
        .strips
        .iter()
        .flat_map(|list| list.strips.iter().map(|s| (s, "Strip", list.thick)));
    let narrow = boards
        .chain(strips)
        .map(|(board, noun, thick)| layout_sketch::board(board, noun, thick, units).0);
    let svgs = sheets.chain(narrow).map(|scene| svg::write(&scene));
    let files = book::md::files("layouts", svgs, &Templates::built_in());
    drawings::stage(folder, &files)?.place()
}

/// Sheets, then boards, then strips.
fn stocks<'a>(model: &'a Model, layouts: &'a Layouts) -> Vec<Stock<'a>> {
    let sheets = layouts.sheets.iter().map(|l| {
        let left = l.unplaced.len();
        stock(
            model,
            ("sheet", l.stock, l.thick),
            &l.sheets,
            left,
            Some(&l.cost),
        )
    });
    let boards = layouts.boards.iter().map(|l| {
        let thick = l.rough.unwrap_or(l.needed);
        let cost = l.cost.as_ref();
        stock(
            model,
            ("board", l.stock, thick),
            &l.boards,
            l.unplaced.len(),
            cost,
        )
    });
    let strips = layouts.strips.iter().map(|l| {
        let cost = l.cost.as_ref();
        stock(
            model,
            ("strip", l.stock, l.thick),
            &l.strips,
            l.unplaced.len(),
            cost,
        )
    });
    sheets.chain(boards).chain(strips).collect()
}

fn stock<'a>(
    model: &'a Model,
    (of, id, thick): (&'static str, StockId, Length),
    sheets: &[layouts::Sheet],
    not_laid: usize,
    cost: Option<&'a LayoutCost>,
) -> Stock<'a> {
    let whole = sum(sheets.iter().map(|s| area(s.long, s.wide)));
    let sawn = sum(sheets.iter().map(|s| s.used * area(s.long, s.wide)));
    let (paid, bound) = cost.map_or_else(Default::default, |c| (c.cost, c.bound));
    // Nothing laid out costs nothing and uses nothing.
    let share = |of: Rational, whole: Rational| match whole.is_zero() {
        true => 0.0,
        false => (of / whole).to_f64(),
    };
    Stock {
        stock: model
            .stocks
            .get(id.0 as usize)
            .map_or("", |stock| &stock.name),
        of,
        thick,
        sheets: sheets
            .iter()
            .map(|s| Sheet {
                number: s.number,
                long: s.long,
                wide: s.wide,
                parts: s.placed.iter().map(|p| p.parts().count()).sum(),
                used: s.used.to_f64(),
            })
            .collect(),
        not_laid,
        used: share(sawn, whole),
        cost: paid.to_f64(),
        bound: bound.to_f64(),
        gap: share(paid - bound, paid),
        unit: cost
            .and_then(|cost| cost.currency.as_deref())
            .unwrap_or("mm\u{b2}"),
        least: paid == bound,
    }
}

fn sum(figures: impl Iterator<Item = Rational>) -> Rational {
    figures.fold(Rational::ZERO, |sum, figure| sum + figure)
}

/// A stock in lines: what it costs and at least must, then sheet by sheet.
fn text(stock: &Stock, units: Units) -> String {
    // Areas are printed in square metres, prices as they are.
    let (by, unit) = match stock.unit {
        "mm\u{b2}" => (1e6, "m\u{b2}"),
        currency => (1.0, currency),
    };
    let name = match stock.of {
        "board" => format!(
            "{}, {} {} rough",
            stock.stock,
            units.figure(stock.thick).plain(),
            units.name()
        ),
        _ => stock.stock.to_owned(),
    };
    let how = match stock.of {
        "sheet" => " in strips along the sheet",
        _ => "",
    };
    if stock.sheets.is_empty() && stock.not_laid == 0 {
        return format!("{name}: in which lengths and widths it is sold is not stated\n");
    }
    let mut out = format!(
        "{name}: {} {}{}, {:.1} % used, {:.2} {unit}",
        stock.sheets.len(),
        stock.of,
        if stock.sheets.len() == 1 { "" } else { "s" },
        stock.used * 100.0,
        stock.cost / by,
    );
    out.push_str(&if stock.least {
        format!(", proven the least{how}\n")
    } else {
        format!(
            ", at least {:.2}{how}: at most {:.1} % could be saved\n",
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
            "  nothing on sale holds parts: {}\n",
            stock.not_laid
        ));
    }
    out
}
