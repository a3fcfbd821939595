//! What a project declares at the top of its files: stock, hardware, finishes, the shop.

use super::env::Env;
use super::project::Project;
use super::stmt::{Scoped, Stmt};
use super::value::{self, Lookup};
use super::{Poison, Res, abrasives, glues};
use crate::diag::{Code, Diagnostic, code};
use crate::measure::{Dimension, Length, Quantity, Rational};
use crate::model::{
    Clamp, Coat, Cutter, CutterKind, Finish, FinishStep, FirstCuts, GoodFaces, Hardware,
    HardwareKind, Hinge, Per, Price, Runner, SheetGrain, SheetSize, Shop, Stock, StockKind,
    UnderMount,
};
use crate::schema::Clause;
use crate::source::Span;
use crate::syntax::tree::{Expr, ExprKind};
use std::collections::BTreeMap;
use std::rc::Rc;

/// The length of a clause, if it stands.
pub fn clause_length(cx: &mut dyn Lookup, stmt: &Stmt, word: &str) -> Res<Option<Length>> {
    match stmt
        .clause(word)
        .and_then(|c| c.of.value().map(|v| (v, &c.env)))
    {
        Some((value, env)) => value::length_not_negative(cx, env, value).map(Some),
        None => Ok(None),
    }
}

/// The length above zero of a clause that must stand (its absence was reported by the schema).
fn size(cx: &mut dyn Lookup, stmt: &Stmt, word: &str) -> Res<Length> {
    let clause = stmt.clause(word).ok_or(Poison)?;
    value::positive_length(cx, &clause.env, clause.of.value().ok_or(Poison)?)
}

fn optional_size(cx: &mut dyn Lookup, stmt: &Stmt, word: &str) -> Res<Option<Length>> {
    if stmt.clause(word).is_some_and(|c| c.of.value().is_some()) {
        size(cx, stmt, word).map(Some)
    } else {
        Ok(None)
    }
}

/// `from A to B` of a clause.
fn range(cx: &mut dyn Lookup, stmt: &Stmt, clause: &Scoped<Clause>) -> Res<(Length, Length)> {
    let (Some(from), Some(to)) = (tail_value(&clause.of, "from"), tail_value(&clause.of, "to"))
    else {
        if !stmt.damaged {
            let word = clause.of.word;
            cx.report(
                Diagnostic::new(
                    &code::LINE_NEEDS,
                    format!("`{word}` of `{}` lacks an end", stmt.name()),
                    clause.of.span,
                    "not from one figure to another",
                )
                .help(format!("write `{word} from … to …`")),
            );
        }
        return Err(Poison);
    };
    let (low, high) = (
        value::length_not_negative(cx, &clause.env, from)?,
        value::length_not_negative(cx, &clause.env, to)?,
    );
    if low > high {
        cx.report(
            Diagnostic::new(
                &code::VALUE_RANGE,
                "a range that ends before it begins",
                to.span,
                format!("{high} is less than {low}"),
            )
            .at(from.span, "it begins here"),
        );
        return Err(Poison);
    }
    Ok((low, high))
}

fn tail_value<'a>(clause: &'a Clause, word: &str) -> Option<&'a Expr> {
    clause.tail(word).and_then(Clause::value)
}

/// The quantity of a clause, if it stands.
pub fn quantity_clause(
    cx: &mut dyn Lookup,
    stmt: &Stmt,
    word: &str,
    dimension: Dimension,
) -> Res<Option<Rational>> {
    match stmt
        .clause(word)
        .and_then(|c| c.of.value().map(|v| (v, &c.env)))
    {
        Some((value, env)) => value::quantity_not_negative(cx, env, value, dimension).map(Some),
        None => Ok(None),
    }
}

/// A share of a whole: of 0% or more, and of 100% or less; less than 100% where all would be nothing.
fn share(cx: &mut dyn Lookup, value: Rational, span: Span, all: bool) -> Res<Rational> {
    if value < Rational::ONE || (all && value == Rational::ONE) {
        return Ok(value);
    }
    let most = if all {
        "100% at most"
    } else {
        "less than 100%"
    };
    cx.report(Diagnostic::new(
        &code::VALUE_RANGE,
        "a share of more than there is",
        span,
        format!("this is {}%; it is {most}", value * Rational::int(100)),
    ));
    Err(Poison)
}

/// A share that a clause states.
fn share_clause(cx: &mut dyn Lookup, stmt: &Stmt, word: &str) -> Res<Option<Rational>> {
    let found = quantity_clause(cx, stmt, word, Dimension::NONE)?;
    match (found, stmt.clause(word)) {
        (Some(value), Some(clause)) => share(cx, value, clause.of.span, true).map(Some),
        _ => Ok(None),
    }
}

/// The share that a line of the shop states: some of the whole must be left.
fn share_line(cx: &mut dyn Lookup, line: &Stmt) -> Res<Rational> {
    let value = leading(cx, line, Dimension::NONE)?.ok_or(Poison)?;
    share(cx, value, line.span, false)
}

/// What something is priced or spread by: an amount above nothing.
pub fn above_nothing(cx: &mut dyn Lookup, amount: Rational, span: Span) -> Res<Rational> {
    if amount > Rational::ZERO {
        return Ok(amount);
    }
    cx.report(Diagnostic::new(
        &code::VALUE_RANGE,
        "an amount of nothing or less",
        span,
        "an amount is above nothing",
    ));
    Err(Poison)
}

/// The price of a line: `118EUR`, `2450EUR per m3`, `9EUR per box of 100`, `4EUR per pair`.
pub fn price(cx: &mut dyn Lookup, stmt: &Stmt) -> Res<Option<Price>> {
    let Some(clause) = stmt.clause("price") else {
        return Ok(None);
    };
    let amount_expr = clause.of.value().ok_or(Poison)?;
    let amount = value::quantity_not_negative(cx, &clause.env, amount_expr, Dimension::MONEY)?;
    let Some(currency) = currency_of(cx, amount_expr) else {
        cx.report(
            Diagnostic::new(
                &code::TYPE_MISMATCH,
                "a price whose currency can't be seen",
                amount_expr.span,
                "written elsewhere",
            )
            .help("write the amount with its currency here, as in `price 118EUR`"),
        );
        return Err(Poison);
    };
    let Some(per) = clause.of.tail("per") else {
        return Ok(Some(Price {
            amount,
            currency,
            per: Per::One,
        }));
    };
    let (share, counted) = match per.value() {
        Some(of) => counted(cx, &clause.env, per, of)?,
        None => (Rational::ONE, Per::One),
    };
    if !counts(stmt, &counted) {
        let span = per.value().map_or(per.span, |of| of.span);
        cx.report(
            Diagnostic::new(
                &code::TYPE_MISMATCH,
                "a price can't be for this",
                span,
                "what is bought is not counted so",
            )
            .help(match stmt.word() {
                "sold" => "write the price of a sheet, or of an area: `per m2`",
                "coat" | "glue" => "write it for a volume, as in `per L` or `per 750ml`",
                "stock" => "write it `per m`, `per m2` or `per m3`, as the stock is sold",
                _ => "write the price of one, or of a box: `per box of 100`",
            }),
        );
        return Err(Poison);
    }
    Ok(Some(Price {
        amount: amount / share,
        currency,
        per: counted,
    }))
}

/// Whether what a line declares is bought by this measure.
fn counts(stmt: &Stmt, per: &Per) -> bool {
    match (stmt.word(), per) {
        (_, Per::One) => true,
        ("sold", per) => matches!(per, Per::Area),
        ("coat" | "glue", per) => matches!(per, Per::Volume),
        ("stock", per) if kind_word(stmt) == "edging" => matches!(per, Per::Length),
        ("stock", per) => matches!(per, Per::Length | Per::Area | Per::Volume),
        (_, per) => matches!(per, Per::Pack(_)),
    }
}

/// What a price is for: how many of which measure, above nothing.
fn counted(cx: &mut dyn Lookup, env: &Rc<Env>, per: &Clause, of: &Expr) -> Res<(Rational, Per)> {
    let word = of.as_name().unwrap_or_default();
    let unit = crate::measure::Unit::find(word);
    if let (None, Some(n)) = (unit, per.tail("of").and_then(Clause::value)) {
        return Ok((Rational::ONE, Per::Pack(value::count(cx, env, n)?)));
    }
    if ["pair", "each", "piece", "set", "sheet", "board"].contains(&word) {
        return Ok((Rational::ONE, Per::One));
    }
    let measure = match unit {
        Some(unit) => unit.of(Rational::ONE),
        None if !word.is_empty() && env.find(word).is_none() => {
            cx.report(
                Diagnostic::new(
                    &code::NAME_UNKNOWN_CHOICE,
                    "a price is for a known amount",
                    of.span,
                    format!("how much is a {word}"),
                )
                .help(format!(
                    "write how many there are in it, as in `per {word} of 100`, or a measure"
                )),
            );
            return Err(Poison);
        }
        None => match value::eval(cx, env, of)? {
            value::Value::Quantity(measure) => measure,
            _ => Quantity::number(Rational::ONE),
        },
    };
    let per = match measure.dimension {
        Dimension::LENGTH => Per::Length,
        Dimension::AREA => Per::Area,
        Dimension::VOLUME => Per::Volume,
        Dimension::MASS => Per::Mass,
        _ => {
            cx.report(
                Diagnostic::new(
                    &code::TYPE_MISMATCH,
                    "a price can't be for this",
                    of.span,
                    "not a thing that is bought",
                )
                .help("write a measure, as in `per m2`, or how many: `per box of 100`"),
            );
            return Err(Poison);
        }
    };
    Ok((above_nothing(cx, measure.value, of.span)?, per))
}

/// The currency that an amount is written in: the unit at the end of its text.
fn currency_of(cx: &dyn Lookup, expr: &Expr) -> Option<String> {
    let text = cx.source(expr.span);
    let symbol: String = text
        .chars()
        .rev()
        .take_while(char::is_ascii_alphabetic)
        .collect::<Vec<_>>()
        .into_iter()
        .rev()
        .collect();
    crate::measure::Unit::find(&symbol)
        .filter(|unit| unit.dimension == Dimension::MONEY)
        .map(|unit| unit.symbol.to_owned())
}

/// Its name in print: the first sentence of its description, else its name in words.
pub fn title(stmt: &Stmt) -> String {
    let first = stmt.docs.first().map(|d| d.text.trim());
    match first.map(first_sentence) {
        Some(text) if !text.is_empty() => text.to_owned(),
        _ => super::label::words(stmt.name()),
    }
}

/// Words that a dot cuts short, so that it ends no sentence after them.
const CUT_SHORT: &[&str] = &[
    "no", "nos", "approx", "dia", "max", "min", "incl", "ca", "cf", "e.g", "i.e", "vs",
];

/// A text up to the dot that ends its first sentence: one at the end, or before a blank and a capital,
/// not that of `No.` and its like; the dot of `3.5 x 40 mm` ends nothing.
fn first_sentence(text: &str) -> &str {
    let ends = |at: &usize| {
        let (before, after) = (&text[..*at], &text[at + 1..]);
        let word = before.rsplit([' ', '(']).next().unwrap_or(before);
        let new = after.trim_start();
        let capital = new.len() < after.len() && new.starts_with(char::is_uppercase);
        new.is_empty() || (capital && !CUT_SHORT.contains(&word.to_lowercase().as_str()))
    };
    let dot = text.match_indices('.').map(|(at, _)| at).find(ends);
    dot.map_or(text, |at| &text[..at])
}

fn kind_word(stmt: &Stmt) -> &str {
    stmt.values.first().and_then(Expr::as_name).unwrap_or("")
}

/// A stock.
pub fn stock(cx: &mut dyn Lookup, stmt: &Stmt) -> Res<Stock> {
    let kind = match kind_word(stmt) {
        "sheet" => {
            let nominal = size(cx, stmt, "thick")?;
            let measured = optional_size(cx, stmt, "measured")?.unwrap_or(nominal);
            check_measured(cx, stmt, nominal, measured)?;
            let grain = match word_of(stmt, "grain") {
                Some("wide") => SheetGrain::Wide,
                Some("none") => SheetGrain::None,
                _ => SheetGrain::Long,
            };
            let mut sizes = Vec::new();
            for sold in stmt.forms("sold") {
                let long = size(cx, sold, "long")?;
                let wide = required(cx, sold, "wide")?;
                sizes.push(SheetSize {
                    long,
                    wide,
                    price: price(cx, sold)?,
                    origin: sold.origin(),
                });
            }
            StockKind::Sheet {
                nominal,
                measured,
                by_measure: stmt.clause("measured").is_some(),
                sizes,
                grain,
                good: match word_of(stmt, "good") {
                    Some("one") => GoodFaces::One,
                    _ => GoodFaces::Both,
                },
            }
        }
        "board" => {
            let rough_clause = stmt.clause("rough").ok_or(Poison)?;
            let mut rough = Vec::new();
            for value in &rough_clause.of.values {
                rough.push(value::positive_length(cx, &rough_clause.env, value)?);
            }
            rough.sort();
            let mut span_of = |word| match stmt.clause(word) {
                Some(clause) => range(cx, stmt, clause).map(Some),
                None => Ok(None),
            };
            let (wide, long) = (span_of("wide")?, span_of("long")?);
            StockKind::Board {
                rough,
                wide,
                long,
                moisture: share_clause(cx, stmt, "moisture")?,
                price: price(cx, stmt)?,
            }
        }
        "edging" => StockKind::Edging {
            thick: size(cx, stmt, "thick")?,
            wide: optional_size(cx, stmt, "wide")?,
            long: optional_size(cx, stmt, "long")?,
            price: price(cx, stmt)?,
        },
        _ => return Err(Poison),
    };
    let sheet = matches!(kind, StockKind::Sheet { .. });
    if let Some(sold) = stmt.forms("sold").next().filter(|_| !sheet) {
        cx.report(
            Diagnostic::new(
                &code::NAME_MISPLACED,
                "`sold` is of a sheet",
                sold.head_span,
                format!("this stock is {}", kind_word(stmt)),
            )
            .help("state `wide`, `long` and `price` in the stock itself"),
        );
        return Err(Poison);
    }
    Ok(Stock {
        name: stmt.name().to_owned(),
        title: title(stmt),
        kind,
        material: None,
        face: None,
        density: None,
        origin: stmt.origin(),
    })
}

/// Sheet is up to a tenth or so off its name; half or one and a half times of it is a slip.
fn check_measured(cx: &mut dyn Lookup, stmt: &Stmt, nominal: Length, measured: Length) -> Res<()> {
    if measured * 2 >= nominal && measured * 2 <= nominal * 3 {
        return Ok(());
    }
    let span = |word| stmt.clause(word).map_or(stmt.name_span(), |c| c.of.span);
    cx.report(
        Diagnostic::new(
            &code::VALUE_RANGE,
            format!("`{}` measures far from its name", stmt.name()),
            span("measured"),
            format!("measures {measured}"),
        )
        .at(span("thick"), format!("is called {nominal}"))
        .help("write what the calipers say, in the unit that they say it in"),
    );
    Err(Poison)
}

/// The word that a clause holds.
pub fn word_of<'a>(stmt: &'a Stmt, clause: &str) -> Option<&'a str> {
    stmt.clause(clause)
        .and_then(|c| c.of.value())
        .and_then(Expr::as_name)
}

/// A piece of hardware.
pub fn hardware(cx: &mut dyn Lookup, stmt: &Stmt) -> Res<Hardware> {
    let kind = match kind_word(stmt) {
        "hinge" => HardwareKind::Hinge(hinge(cx, stmt)?),
        "runner" if matches!(word_of(stmt, "mounts"), Some("cup" | "butt")) => {
            return Err(refused(
                cx,
                stmt,
                "mounts",
                &code::NAME_UNKNOWN_CHOICE,
                "a runner mounts at the `side`",
                "write `mounts side`",
            ));
        }
        "runner" => HardwareKind::Runner(Runner {
            long: size(cx, stmt, "long")?,
            beside: match word_of(stmt, "mounts") {
                Some("under") => Length::ZERO,
                _ => required(cx, stmt, "beside")?,
            },
            under: match word_of(stmt, "mounts") {
                Some("under") => Some(UnderMount {
                    inside: required(cx, stmt, "inside")?,
                    side_max: optional_size(cx, stmt, "side_max")?,
                    recess: clause_length(cx, stmt, "recess")?,
                }),
                _ => None,
            },
            above: clause_length(cx, stmt, "above")?.unwrap_or_default(),
            below: clause_length(cx, stmt, "below")?.unwrap_or_default(),
            rear: clause_length(cx, stmt, "rear")?.unwrap_or_default(),
            load: quantity_clause(cx, stmt, "load", Dimension::MASS)?,
        }),
        "pin" => HardwareKind::Pin {
            diameter: size(cx, stmt, "thick")?,
            deep: size(cx, stmt, "deep")?,
        },
        "pull" if stmt.clause("bore").is_some_and(|c| !c.of.tails.is_empty()) => {
            return Err(refused(
                cx,
                stmt,
                "bore",
                &code::NAME_WORD_NOT_HERE,
                "the hole of a pull goes through",
                "write its diameter alone, as in `bore 4.5mm`",
            ));
        }
        "pull" => HardwareKind::Pull {
            bore: size(cx, stmt, "bore")?,
            centres: optional_size(cx, stmt, "pitch")?,
        },
        "catch" => HardwareKind::Catch,
        "lock" => HardwareKind::Lock,
        "stay" => HardwareKind::Stay {
            long: optional_size(cx, stmt, "long")?,
        },
        "foot" => HardwareKind::Foot,
        "strap" => HardwareKind::Strap,
        "screw" => HardwareKind::Screw {
            long: size(cx, stmt, "long")?,
            thick: size(cx, stmt, "thick")?,
        },
        "bolt" => HardwareKind::Bolt {
            long: size(cx, stmt, "long")?,
            thick: size(cx, stmt, "thick")?,
        },
        "nail" => HardwareKind::Nail {
            long: size(cx, stmt, "long")?,
            thick: optional_size(cx, stmt, "thick")?,
        },
        "dowel" => HardwareKind::Dowel {
            long: size(cx, stmt, "long")?,
            thick: size(cx, stmt, "thick")?,
        },
        "loose_tenon" => HardwareKind::LooseTenon {
            long: size(cx, stmt, "long")?,
            wide: size(cx, stmt, "wide")?,
            thick: size(cx, stmt, "thick")?,
        },
        "button" => HardwareKind::Button {
            wide: size(cx, stmt, "wide")?,
            thick: size(cx, stmt, "thick")?,
            deep: size(cx, stmt, "deep")?,
            below: size(cx, stmt, "below")?,
        },
        "biscuit" => HardwareKind::Biscuit {
            long: size(cx, stmt, "long")?,
            wide: size(cx, stmt, "wide")?,
            thick: size(cx, stmt, "thick")?,
        },
        _ => return Err(Poison),
    };
    Ok(Hardware {
        name: stmt.name().to_owned(),
        title: title(stmt),
        kind,
        price: price(cx, stmt)?,
        origin: stmt.origin(),
    })
}

fn hinge(cx: &mut dyn Lookup, stmt: &Stmt) -> Res<Hinge> {
    let cup = match word_of(stmt, "mounts") {
        Some(word) => word == "cup",
        None => stmt.has("bore"),
    };
    if !cup {
        of_another_sort(
            cx,
            stmt,
            &["bore", "covers", "stand_off", "set_back"],
            "a butt hinge",
        )?;
        return Ok(Hinge::Butt {
            long: required(cx, stmt, "long")?,
            wide: required(cx, stmt, "wide")?,
            thick: required(cx, stmt, "thick")?,
        });
    }
    of_another_sort(cx, stmt, &["long", "wide", "thick"], "a cup hinge")?;
    let Some(bore) = stmt.clause("bore") else {
        return Err(missing(cx, stmt, "bore"));
    };
    let diameter = value::positive_length(cx, &bore.env, bore.of.value().ok_or(Poison)?)?;
    let deep = match tail_value(&bore.of, "deep") {
        Some(value) => value::positive_length(cx, &bore.env, value)?,
        None => Length::mm(13), // common practice for a 35 mm cup
    };
    let rim = match tail_value(&bore.of, "set_in") {
        Some(value) => value::positive_length(cx, &bore.env, value)?,
        None => Length::mm(4), // common practice: 3 to 7 mm
    };
    let covers = match stmt.clause("covers") {
        Some(clause) => Some(range(cx, stmt, clause)?),
        None => None,
    };
    let stand_off = clause_length(cx, stmt, "stand_off")?.unwrap_or_default();
    let set_back = optional_size(cx, stmt, "set_back")?;
    Ok(Hinge::Cup {
        diameter,
        deep,
        rim,
        covers,
        stand_off,
        set_back,
    })
}

fn required(cx: &mut dyn Lookup, stmt: &Stmt, word: &str) -> Res<Length> {
    if stmt.has(word) {
        size(cx, stmt, word)
    } else {
        Err(missing(cx, stmt, word))
    }
}

/// Reports a clause that can't stand.
fn refused(
    cx: &mut dyn Lookup,
    stmt: &Stmt,
    word: &str,
    code: &'static Code,
    why: &str,
    help: &str,
) -> Poison {
    let span = stmt.clause(word).map_or(stmt.name_span(), |c| c.of.span);
    let title = format!("`{word}` has no place on `{}`", stmt.name());
    cx.report(Diagnostic::new(code, title, span, why).help(help));
    Poison
}

/// Reports clauses that belong to another sort of the same kind of hardware.
fn of_another_sort(cx: &mut dyn Lookup, stmt: &Stmt, words: &[&str], sort: &str) -> Res<()> {
    match words.iter().find(|word| stmt.has(word)) {
        None => Ok(()),
        Some(word) => Err(refused(
            cx,
            stmt,
            word,
            &code::NAME_WORD_NOT_HERE,
            &format!("not of {sort}"),
            "take it out, or change what it `mounts`",
        )),
    }
}

fn missing(cx: &mut dyn Lookup, stmt: &Stmt, word: &str) -> Poison {
    if stmt.damaged {
        return Poison;
    }
    cx.report(
        Diagnostic::new(
            &code::LINE_NEEDS,
            format!("`{}` lacks its `{word}`", stmt.name()),
            stmt.name_span(),
            "needs one",
        )
        .help(format!("add `{word}` with a figure")),
    );
    Poison
}

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

/// The value that a line states, after the word for what it sets where it takes one.
fn stated(line: &Stmt) -> Option<&Expr> {
    line.values.get(line.head.values.len().checked_sub(1)?)
}

fn leading(cx: &mut dyn Lookup, line: &Stmt, dimension: Dimension) -> Res<Option<Rational>> {
    match stated(line) {
        Some(value) => value::quantity_not_negative(cx, &line.env, value, dimension).map(Some),
        None => Ok(None),
    }
}

/// The length that a line of the shop states.
fn leading_length(cx: &mut dyn Lookup, line: &Stmt) -> Res<Length> {
    let value = stated(line).ok_or(Poison)?;
    value::length_not_negative(cx, &line.env, value)
}

/// The shop's lines over its defaults, and whether all of them are sound: one that is not was reported,
/// and the others still count.
pub fn shop(cx: &mut dyn Lookup, project: &Project, stmt: &Stmt) -> (Shop, bool) {
    let mut shop = Shop::default();
    let mut sound = true;
    let mut had: BTreeMap<(&str, &str), Span> = BTreeMap::new();
    for line in &stmt.lines {
        // A line that sets something is told by its word, `rough boards` and `cutter slot` by both.
        let name = line.names.first().map(|name| name.text.as_str());
        let of = name.unwrap_or_else(|| kind_word(line));
        let first = *had.entry((line.word(), of)).or_insert(line.span);
        if first != line.span && line.word() != "note" {
            let shown = format!("{} {of}", line.word());
            let title = format!("a second `{}`", shown.trim_end());
            cx.report(
                Diagnostic::new(&code::LINE_DOUBLED, title, line.span, "again here")
                    .at(first, "it was stated here"),
            );
            sound = false;
            continue;
        }
        sound &= shop_line(cx, project, &mut shop, line).is_ok();
    }
    (shop, sound)
}

/// Whole seconds.
pub fn seconds(value: Rational) -> u32 {
    u32::try_from(value.round().unwrap_or(0)).unwrap_or(u32::MAX)
}

fn shop_line(cx: &mut dyn Lookup, project: &Project, shop: &mut Shop, line: &Stmt) -> Res<()> {
    match line.word() {
        "saw" => {
            shop.saw = Some(line.name().to_owned());
            shop.saw_long = optional_size(cx, line, "long")?;
            shop.saw_wide = optional_size(cx, line, "wide")?;
            if let Some(kerf) = clause_length(cx, line, "kerf")? {
                shop.kerf = kerf;
            }
        }
        "rough" => {
            let kind = kind_word(line);
            let (long, wide, thick) = match kind {
                "sheets" => (shop.rough_sheet.0, shop.rough_sheet.1, Length::ZERO),
                "strips" => (shop.rough_strip.0, shop.rough_strip.1, Length::ZERO),
                _ => shop.rough_board,
            };
            let long = clause_length(cx, line, "long")?.unwrap_or(long);
            let wide = clause_length(cx, line, "wide")?.unwrap_or(wide);
            let thick = clause_length(cx, line, "thick")?.unwrap_or(thick);
            match kind {
                "sheets" => shop.rough_sheet = (long, wide),
                "strips" => shop.rough_strip = (long, wide),
                _ => shop.rough_board = (long, wide, thick),
            }
        }
        "cutter" => {
            let kind = match kind_word(line) {
                "dado" => CutterKind::Dado,
                "bore" => CutterKind::Bore,
                "rabbet" => CutterKind::Rabbet,
                "dovetail" => CutterKind::Dovetail,
                "profile" => CutterKind::Profile,
                _ => CutterKind::Groove,
            };
            if kind == CutterKind::Profile {
                let [wide, high] = ["wide", "high"].map(|word| optional_size(cx, line, word));
                let wide = wide?.ok_or_else(|| missing(cx, line, "wide"))?;
                let high = high?.ok_or_else(|| missing(cx, line, "high"))?;
                for word in ["thick", "from", "to", "deep"] {
                    if line.has(word) {
                        return Err(refused(
                            cx,
                            line,
                            word,
                            &code::NAME_WORD_NOT_HERE,
                            "a profile takes so much of an edge",
                            "state `wide` and `high`",
                        ));
                    }
                }
                let across = optional_size(cx, line, "across")?;
                shop.cutters.push(Cutter {
                    name: line.name().to_owned(),
                    kind,
                    thick: (wide, wide),
                    deep: Some(high),
                    across,
                });
                return Ok(());
            }
            for word in ["wide", "high"] {
                if line.has(word) {
                    return Err(refused(
                        cx,
                        line,
                        word,
                        &code::NAME_WORD_NOT_HERE,
                        "only a profile takes so much of an edge",
                        "`thick` is how wide a cutter cuts",
                    ));
                }
            }
            let one = optional_size(cx, line, "thick")?;
            let (from, to) = (
                optional_size(cx, line, "from")?,
                optional_size(cx, line, "to")?,
            );
            let thick = match (one, from, to) {
                (Some(thick), None, None) => (thick, thick),
                (None, Some(from), Some(to)) if from <= to => (from, to),
                (None, Some(from), Some(to)) => {
                    return Err(refused(
                        cx,
                        line,
                        "to",
                        &code::VALUE_RANGE,
                        &format!("{to} is less than {from}"),
                        "write the narrowest cut after `from`, the widest after `to`",
                    ));
                }
                (Some(_), ..) => {
                    return Err(refused(
                        cx,
                        line,
                        if from.is_some() { "from" } else { "to" },
                        &code::LINE_DOUBLED,
                        "its width is stated by `thick` already",
                        "`thick` is for a cutter of one width, `from … to …` for a stacked head",
                    ));
                }
                _ => return Err(missing(cx, line, "thick")),
            };
            let (deep, across) = (
                optional_size(cx, line, "deep")?,
                optional_size(cx, line, "across")?,
            );
            if kind == CutterKind::Dado
                && let Some(across) = across
            {
                shop.head_diameter = across;
            }
            shop.cutters.push(Cutter {
                name: line.name().to_owned(),
                kind,
                thick,
                deep,
                across,
            });
        }
        "clamp" => {
            let count = match &line.count {
                Some(count) => value::count(cx, &line.env, count)?,
                None => 1,
            };
            shop.clamps.push(Clamp {
                name: line.name().to_owned(),
                count,
                long: size(cx, line, "long")?,
            });
        }
        "glue" => {
            let declared = project.glues.get(line.name());
            shop.glues
                .push(glues::of_shop(cx, line, declared, project)?);
        }
        "abrasive" => {
            let declared = project.abrasives.get(line.name());
            shop.abrasive = Some(abrasives::of_shop(cx, line, declared, project)?);
        }
        "climate" => {
            let dry = share_clause(cx, line, "dry")?.ok_or(Poison)?;
            let damp = share_clause(cx, line, "damp")?.ok_or(Poison)?;
            if dry > damp {
                let span = |word| line.clause(word).map_or(line.span, |c| c.of.span);
                cx.report(
                    Diagnostic::new(
                        &code::VALUE_RANGE,
                        "a dry season damper than the damp one",
                        span("dry"),
                        "the dry season",
                    )
                    .at(span("damp"), "the damp season"),
                );
                return Err(Poison);
            }
            shop.climate = Some((dry, damp));
        }
        "relief" => {
            let value = leading_length(cx, line)?;
            if kind_word(line) == "mortise" {
                shop.relief_mortise = value;
            } else {
                shop.relief_groove = value;
            }
        }
        "fit" => shop.fit = leading_length(cx, line)?,
        "web" => shop.web = leading_length(cx, line)?,
        "trim" => shop.trim = leading_length(cx, line)?,
        "first_cuts" => {
            let way = match line.values.get(1).and_then(Expr::as_name) {
                Some("across") => FirstCuts::Across,
                Some("either") => FirstCuts::Either,
                _ => FirstCuts::Along,
            };
            match kind_word(line) {
                "boards" => shop.first_boards = Some(way),
                _ => shop.first_sheets = Some(way),
            }
        }
        "cut_rounds" => {
            let value = stated(line).ok_or(Poison)?;
            let rounds = value::count(cx, &line.env, value)?;
            if !(2..=3).contains(&rounds) {
                cx.report(
                    Diagnostic::new(
                        &code::VALUE_RANGE,
                        "sheets are cut in two or three rounds",
                        value.span,
                        format!("not in {rounds}"),
                    )
                    .help("write `cut_rounds 2` or `cut_rounds 3`; a last trimming cut is not counted"),
                );
                return Err(Poison);
            }
            shop.cut_rounds = rounds;
        }
        "keep" => {
            let kind = kind_word(line);
            let (long, wide) = match kind {
                "boards" => shop.keep_board,
                "strips" => (shop.keep_strip, Length::ZERO),
                _ => shop.keep_sheet,
            };
            let long = clause_length(cx, line, "long")?.unwrap_or(long);
            if kind == "strips" && line.has("wide") {
                let why = "edging is kept by its length";
                let help = "take it out";
                return Err(refused(
                    cx,
                    line,
                    "wide",
                    &code::NAME_WORD_NOT_HERE,
                    why,
                    help,
                ));
            }
            let wide = clause_length(cx, line, "wide")?.unwrap_or(wide);
            match kind {
                "boards" => shop.keep_board = (long, wide),
                "strips" => shop.keep_strip = long,
                _ => shop.keep_sheet = (long, wide),
            }
        }
        "lift" => {
            let value = stated(line).ok_or(Poison)?;
            let mass = value::quantity_not_negative(cx, &line.env, value, Dimension::MASS)?;
            shop.lift = Some(above_nothing(cx, mass, value.span)?);
        }
        "waste" => shop.board_waste = share_line(cx, line)?,
        "loss" => shop.finish_loss = share_line(cx, line)?,
        "hours" => {
            let from = quantity_clause(cx, line, "from", Dimension::TIME)?.ok_or(Poison)?;
            let to = quantity_clause(cx, line, "to", Dimension::TIME)?.ok_or(Poison)?;
            if from >= to || to > Rational::int(86_400) {
                cx.report(
                    Diagnostic::new(
                        &code::VALUE_RANGE,
                        "a working day that ends before it begins, or after midnight",
                        line.span,
                        "not the hours of one day",
                    )
                    .help("write hours after midnight, as in `hours from 7h to 16h`"),
                );
                return Err(Poison);
            }
            if let Some(span) = [("from", from), ("to", to)]
                .into_iter()
                .find(|(_, at)| !(*at / Rational::int(3600)).is_integer())
                .and_then(|(word, _)| Some(line.clause(word)?.of.span))
            {
                cx.report(
                    Diagnostic::new(
                        &code::VALUE_RANGE,
                        "working hours begin and end on the hour",
                        span,
                        "not a whole hour",
                    )
                    .help("write whole hours, as in `hours from 7h to 16h`"),
                );
                return Err(Poison);
            }
            shop.hours = (seconds(from) / 3600, seconds(to) / 3600);
        }
        "pace" => pace(cx, shop, line)?,
        _ => {}
    }
    Ok(())
}

fn pace(cx: &mut dyn Lookup, shop: &mut Shop, line: &Stmt) -> Res<()> {
    let amount = stated(line).ok_or(Poison)?;
    if kind_word(line) == "joint" {
        shop.joint_pace = seconds(value::quantity_not_negative(
            cx,
            &line.env,
            amount,
            Dimension::TIME,
        )?);
        return Ok(());
    }
    let area = value::quantity_not_negative(cx, &line.env, amount, Dimension::AREA)?
        / Rational::int(1_000_000);
    let area = above_nothing(cx, area, amount.span)?;
    let per = line
        .clause("per")
        .and_then(|c| c.of.value())
        .and_then(Expr::as_name)
        .and_then(crate::measure::Unit::find);
    let unit_seconds = per
        .filter(|u| u.dimension == Dimension::TIME)
        .map(|u| u.of(Rational::ONE).value)
        .ok_or_else(|| {
            cx.report(
                Diagnostic::new(
                    &code::TYPE_MISMATCH,
                    "a pace is an area for a time",
                    line.span,
                    "for which time",
                )
                .help("write `0.1m2 per min`"),
            );
            Poison
        })?;
    if kind_word(line) == "spread" {
        shop.spread_pace = area / unit_seconds * Rational::int(60);
    } else {
        shop.finish_pace = area / unit_seconds * Rational::int(3600);
    }
    Ok(())
}
