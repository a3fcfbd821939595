//! What a project declares at the top of its files, a file a head: stock, hardware, finishes, the shop. Here:
//! what their lines have in common, sizes, shares, prices and titles.

mod finish;
mod hardware;
mod shop;
mod stock;

pub use finish::{coverage, finish};
pub use hardware::hardware;
pub use shop::{seconds, shop};
pub use stock::stock;

use crate::diag::{Code, Diagnostic, code};
use crate::elaborate::env::Env;
use crate::elaborate::stmt::{Scoped, Stmt};
use crate::elaborate::value::{self, Lookup};
use crate::elaborate::{Poison, Res};
use crate::measure::{Dimension, Length, Quantity, Rational};
use crate::model::{Per, Price};
use crate::schema::Clause;
use crate::source::Span;
use crate::syntax::tree::Expr;
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

/// `from A to B` of a clause; one figure is both ends.
fn range(cx: &mut dyn Lookup, stmt: &Stmt, clause: &Scoped<Clause>) -> Res<(Length, Length)> {
    if let (Some(only), true) = (clause.of.value(), clause.of.tails.is_empty()) {
        let only = value::positive_length(cx, &clause.env, only)?;
        return Ok((only, only));
    }
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
    price_of(cx, stmt, kind_word(stmt))
}

/// The price that a line states for a thing of this kind.
fn price_of(cx: &mut dyn Lookup, stmt: &Stmt, kind: &str) -> Res<Option<Price>> {
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
    if !counts(stmt.word(), kind, &counted) {
        let span = per.value().map_or(per.span, |of| of.span);
        cx.report(
            Diagnostic::new(
                &code::TYPE_MISMATCH,
                "a price can't be for this",
                span,
                "what is bought is not counted so",
            )
            .help(match (stmt.word(), kind) {
                ("sold", "sheet") => "write the price of a sheet, or of an area: `per m2`",
                ("sold", _) => "write the price of a board, or `per m`, `per m2` or `per m3`",
                ("coat" | "glue", _) => "write it for a volume, as in `per L` or `per 750ml`",
                ("stock", _) => "write it `per m`, `per m2` or `per m3`, as the stock is sold",
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
fn counts(word: &str, kind: &str, per: &Per) -> bool {
    match (word, kind) {
        _ if *per == Per::One => true,
        ("sold", "sheet") => matches!(per, Per::Area),
        ("coat" | "glue", _) => matches!(per, Per::Volume),
        ("stock", "edging") => matches!(per, Per::Length),
        ("stock" | "sold", _) => matches!(per, Per::Length | Per::Area | Per::Volume),
        _ => matches!(per, Per::Pack(_)),
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

/// The word that a clause holds.
pub fn word_of<'a>(stmt: &'a Stmt, clause: &str) -> Option<&'a str> {
    stmt.clause(clause)
        .and_then(|c| c.of.value())
        .and_then(Expr::as_name)
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
