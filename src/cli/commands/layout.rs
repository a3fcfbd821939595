//! `casewright layout`.

use super::{EffortArg, SourceArgs, compile_file, rack_file};
use crate::book::{self, Templates};
use crate::cli::output::Output;
use crate::cli::{FILES, FINE, MISTAKE, OURS, drawings};
use crate::draw::{layout_sketch, svg};
use crate::measure::{Length, Rational, Units};
use crate::model::{FirstCuts, Model, SoldSize, StockId, StockKind};
use crate::plan::layouts::{
    self, CostUnits, CutDo, LayoutCost, Layouts, Taken, area, plan_layouts,
};
use clap::Args;
use serde::Serialize;
use std::path::{Path, PathBuf};
use std::slice::from_ref;

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
    /// Write what is on the rack when all of this is sawn, as a file of the language: what was used is
    /// taken out, offcuts worth keeping are in.
    #[arg(long, value_name = "FILE")]
    rack_after: Option<PathBuf>,
}

/// What is sawn of a stock: its sheets, its boards of one rough thickness, its strips.
#[derive(Serialize)]
struct Stock<'a> {
    /// Its name in the text.
    stock: &'a str,
    /// `sheet`, `board` or `strip`.
    of: &'static str,
    thick: Length,
    /// The sizes that are sold, where they are fixed.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    sold: Vec<Sold>,
    sheets: Vec<Sheet>,
    /// Parts that nothing on sale holds.
    not_laid: usize,
    /// Area of the rough parts by area of the sheets.
    used: f64,
    cost: f64,
    /// What of the cost is paid for.
    to_buy: f64,
    /// What of the cost is for what was on hand, at what it counts.
    on_hand: f64,
    /// Proven: no layout of this kind costs less.
    bound: f64,
    /// What could be saved at most, of the cost; 0 where the layout is proven the cheapest.
    gap: f64,
    /// Currency of cost and bound, or `mm²` of sheet where sizes can't be compared by price.
    unit: &'a str,
    /// Which way the first cuts of a sheet go: `along` it, `across` it, or `either`.
    #[serde(skip_serializing_if = "Option::is_none")]
    first: Option<&'static str>,
    #[serde(skip)]
    least: bool,
    #[serde(skip)]
    of_cost: Option<&'a LayoutCost>,
}

/// A size in which sheets or boards are sold.
#[derive(Serialize)]
struct Sold {
    long: Length,
    wide: Length,
    /// Of one, if it is stated.
    #[serde(skip_serializing_if = "Option::is_none")]
    price: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    currency: Option<String>,
    /// How many of them are laid out, without spare ones.
    laid: usize,
}

#[derive(Serialize)]
struct Sheet {
    number: u32,
    /// The first of those that are cut in the same way, one after another, if that is another one: what is set
    /// for it is set for this one too.
    #[serde(skip_serializing_if = "Option::is_none")]
    cut_with: Option<u32>,
    long: Length,
    wide: Length,
    /// What it is on the rack, if it is from there.
    #[serde(skip_serializing_if = "Option::is_none")]
    rack: Option<&'static str>,
    parts: usize,
    used: f64,
    /// How often the fence is set for rips, and the stop for cross-cuts.
    fence_settings: u32,
    stop_settings: u32,
    /// Quarter turns of the work, from rips to cross-cuts or back.
    turns: u32,
    cuts: Vec<Cut>,
    offcuts: Vec<Offcut>,
}

/// One setting and the cuts that are made with it.
#[derive(Serialize)]
struct Cut {
    number: u32,
    what: &'static str,
    setting: Length,
    times: u32,
}

/// What is kept: along the sheet and across it.
#[derive(Serialize)]
struct Offcut {
    name: String,
    long: Length,
    wide: Length,
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
    if let Some(file) = &args.rack_after
        && let Err(error) =
            rack_file::write(model, &layouts, &compiled.sources, &args.source.file, file)
    {
        output.problem(&error);
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
        .map(|(sheet, thick)| layout_sketch::sheet(from_ref(sheet), thick, units).0);
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
        .map(|(board, noun, thick)| layout_sketch::board(from_ref(board), noun, thick, units).0);
    let svgs = sheets.chain(narrow).map(|scene| svg::write(&scene));
    let files = book::md::files("layouts", svgs, &Templates::built_in());
    drawings::stage(folder, &files)?.place()
}

/// Sheets, then boards, then strips.
fn stocks<'a>(model: &'a Model, layouts: &'a Layouts) -> Vec<Stock<'a>> {
    let sheets = layouts.sheets.iter().map(|l| {
        let left = l.unplaced.len();
        let of = ("sheet", l.stock, l.thick);
        Stock {
            first: Some(match l.first {
                FirstCuts::Along => "along",
                FirstCuts::Across => "across",
                FirstCuts::Either => "either",
            }),
            ..stock(model, of, &l.sheets, left, Some(&l.cost))
        }
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
        sold: sold(model, id, thick, sheets),
        sheets: layouts::alike(sheets)
            .flat_map(|alike| alike.iter().map(|s| (s, alike[0].number)))
            .map(|(s, first)| Sheet {
                number: s.number,
                cut_with: (first != s.number).then_some(first),
                long: s.long,
                wide: s.wide,
                rack: match s.taken {
                    Taken::Bought(_) => None,
                    Taken::OnHand { row, .. } => model.rack.get(row).map(|r| r.kind.word()),
                },
                fence_settings: s.handling().fence,
                stop_settings: s.handling().stop,
                turns: s.handling().turns,
                cuts: s.cuts.iter().map(cut).collect(),
                offcuts: s
                    .offcuts
                    .iter()
                    .map(|k| Offcut {
                        name: k.name.clone(),
                        long: k.area.long(),
                        wide: k.area.wide(),
                    })
                    .collect(),
                parts: s.placed.iter().map(|p| p.parts().count()).sum(),
                used: s.used.to_f64(),
            })
            .collect(),
        not_laid,
        used: share(sawn, whole),
        cost: paid.to_f64(),
        to_buy: cost.map_or(0.0, |c| (c.cost - c.on_hand).to_f64()),
        on_hand: cost.map_or(0.0, |c| c.on_hand.to_f64()),
        bound: bound.to_f64(),
        gap: share(paid - bound, paid),
        unit: cost
            .and_then(|cost| cost.currency.as_deref())
            .unwrap_or("mm\u{b2}"),
        first: None,
        least: paid == bound,
        of_cost: cost,
    }
}

/// The sizes that are sold, with the price of one and how many are laid out.
fn sold(model: &Model, id: StockId, thick: Length, sheets: &[layouts::Sheet]) -> Vec<Sold> {
    let sizes = match model.stocks.get(id.0 as usize).map(|stock| &stock.kind) {
        Some(StockKind::Sheet { sizes, .. } | StockKind::Board { sizes, .. }) => sizes.as_slice(),
        _ => &[],
    };
    let one = |(k, size): (usize, &SoldSize)| {
        let price = size.price.as_ref().and_then(|price| {
            let one = price.of_size(size.long, size.wide, thick)?;
            Some((one.to_f64(), price.currency.clone()))
        });
        let (price, currency) = price.unzip();
        let laid = sheets.iter().filter(|s| s.taken == Taken::Bought(k));
        Sold {
            long: size.long,
            wide: size.wide,
            price,
            currency,
            laid: laid.count(),
        }
    };
    sizes.iter().enumerate().map(one).collect()
}

fn cut(cut: &layouts::SheetCut) -> Cut {
    Cut {
        number: cut.number,
        what: match cut.what {
            CutDo::TrueEdge => "true_edge",
            CutDo::SquareEnd => "square_end",
            CutDo::Rip => "rip",
            CutDo::CrossCut => "cross_cut",
        },
        setting: cut.setting,
        times: cut.times,
    }
}

fn sum(figures: impl Iterator<Item = Rational>) -> Rational {
    figures.fold(Rational::ZERO, |sum, figure| sum + figure)
}

/// A stock in lines: what it costs and at least must, then sheet by sheet.
fn text(stock: &Stock, units: Units) -> String {
    // Areas are printed in square metres, prices as they are; of each a hundredth.
    let (by, unit) = match stock.unit {
        "mm\u{b2}" => (Rational::int(10_000), "m\u{b2}"),
        currency => (Rational::new(1, 100), currency),
    };
    let units_of = stock.of_cost.and_then(|cost| cost.in_units(by));
    let figure = |of: fn(&CostUnits) -> i128| {
        let n = units_of.as_ref().map_or(0, of);
        format!("{}.{:02}", n / 100, n % 100)
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
    let how = match stock.first {
        Some("either") => " in strips along or across the sheet".to_owned(),
        Some(first) => format!(" in strips {first} the sheet"),
        None => String::new(),
    };
    if stock.sheets.is_empty() && stock.not_laid == 0 {
        return format!("{name}: in which lengths and widths it is sold is not stated\n");
    }
    let mut out = format!(
        "{name}: {} {}{}, {:.1} % used, {} {unit}",
        stock.sheets.len(),
        stock.of,
        if stock.sheets.len() == 1 { "" } else { "s" },
        stock.used * 100.0,
        figure(|units| units.cost),
    );
    if stock.on_hand > 0.0 {
        out.push_str(&format!(
            " ({} to buy, {} for what is from the rack)",
            figure(|units| units.to_buy),
            figure(|units| units.on_hand)
        ));
    }
    let saving = stock.of_cost.map_or(0, LayoutCost::saving);
    out.push_str(&if stock.not_laid > 0 {
        ", and not all parts laid out\n".to_owned()
    } else if stock.least {
        format!(", proven the least{how}\n")
    } else {
        format!(
            ", at least {}{how}: at most {}.{} % could be saved\n",
            figure(|units| units.bound),
            saving / 10,
            saving % 10
        )
    });
    for sheet in &stock.sheets {
        out.push_str(&format!(
            "  {}: {} x {} {}{}, parts {}, {:.1} % used, {}\n",
            sheet.number,
            units.figure(sheet.long).plain(),
            units.figure(sheet.wide).plain(),
            units.name(),
            sheet
                .rack
                .map_or_else(String::new, |word| format!(" {word} from the rack")),
            sheet.parts,
            sheet.used * 100.0,
            match sheet.cut_with {
                Some(first) => format!("cut with {first}"),
                None => format!("settings {}", sheet.fence_settings + sheet.stop_settings),
            }
        ));
    }
    if stock.not_laid > 0 {
        out.push_str(&format!(
            "  nothing that is sold or on the rack holds, within what the saw takes, parts: {}\n",
            stock.not_laid
        ));
    }
    out
}
