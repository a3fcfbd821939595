//! `stock`: sheets, boards and ready-made edging.

use super::{
    kind_word, optional_size, price, price_of, range, required, share_clause, size, title, word_of,
};
use crate::diag::{Diagnostic, code};
use crate::elaborate::stmt::Stmt;
use crate::elaborate::value::{self, Lookup};
use crate::elaborate::{Poison, Res};
use crate::measure::Length;
use crate::model::{GoodFaces, Per, SheetGrain, SoldSize, Stock, StockKind};
use crate::source::Span;

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
            StockKind::Sheet {
                nominal,
                measured,
                by_measure: stmt.clause("measured").is_some(),
                sizes: sold(cx, stmt)?,
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
            let mut sizes = sold(cx, stmt)?;
            if let Some(first) = stmt.forms("sold").next() {
                check_listed(cx, stmt, first)?;
            }
            let mut span_of = |word| match stmt.clause(word) {
                Some(clause) => range(cx, stmt, clause).map(Some),
                None => Ok(None),
            };
            let (mut wide, mut long) = (span_of("wide")?, span_of("long")?);
            let mut price = price(cx, stmt)?;
            if let Some(clause) = stmt.clause("price")
                && price.as_ref().is_some_and(|price| price.per == Per::One)
            {
                check_priced(cx, stmt, clause.of.span)?;
            }
            let one = |ends: Option<(Length, Length)>| {
                let alike = ends.filter(|(least, most)| least == most);
                alike.map(|(only, _)| only)
            };
            if let Some((only_long, only_wide)) = one(long).zip(one(wide)) {
                // Boards that are all of one size are sold in just that.
                sizes.push(SoldSize {
                    long: only_long,
                    wide: only_wide,
                    price: price.take(),
                    origin: stmt.origin(),
                });
                (long, wide) = (None, None);
            }
            StockKind::Board {
                rough,
                sizes,
                wide,
                long,
                moisture: share_clause(cx, stmt, "moisture")?,
                price,
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
    let edging = matches!(kind, StockKind::Edging { .. });
    if let Some(sold) = stmt.forms("sold").next().filter(|_| edging) {
        cx.report(
            Diagnostic::new(
                &code::NAME_MISPLACED,
                "`sold` is of a sheet or board",
                sold.head_span,
                "this stock is edging",
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

/// The sizes in which sheets or boards are sold, none of them twice.
fn sold(cx: &mut dyn Lookup, stmt: &Stmt) -> Res<Vec<SoldSize>> {
    let mut sizes: Vec<SoldSize> = Vec::new();
    for line in stmt.forms("sold") {
        let long = size(cx, line, "long")?;
        let wide = required(cx, line, "wide")?;
        if let Some(first) = sizes.iter().find(|s| (s.long, s.wide) == (long, wide)) {
            cx.report(
                Diagnostic::new(
                    &code::LINE_DOUBLED,
                    format!("`{}` is sold twice in one size", stmt.name()),
                    line.span,
                    format!("{long} x {wide} again"),
                )
                .at(first.origin.span, "first here")
                .help("leave the size in one line, with the price that holds"),
            );
            return Err(Poison);
        }
        sizes.push(SoldSize {
            long,
            wide,
            price: price_of(cx, line, kind_word(stmt))?,
            origin: line.origin(),
        });
    }
    Ok(sizes)
}

/// Boards whose sizes are listed, from the line `first`, are sold in no others, and are of one thickness: a
/// size is priced for it.
fn check_listed(cx: &mut dyn Lookup, stmt: &Stmt, first: &Stmt) -> Res<()> {
    for word in ["long", "wide", "price"] {
        let Some(clause) = stmt.clause(word) else {
            continue;
        };
        cx.report(
            Diagnostic::new(
                &code::NAME_WORD_NOT_HERE,
                format!("`{word}` of a stock that lists what is sold"),
                clause.of.span,
                "of all its boards",
            )
            .at(first.head_span, "of boards of this size")
            .help(match word {
                "price" => "write its price in each line of `sold`",
                _ => "leave it out: the boards are as long and wide as the lines of `sold` say",
            })
            .help(
                "or leave the lines of `sold` out, if each board has a length and width of its own",
            ),
        );
        return Err(Poison);
    }
    let Some(rough) = thicknesses(stmt) else {
        return Ok(());
    };
    cx.report(
        Diagnostic::new(
            &code::LINE_TOO_MANY,
            "sizes of boards of several thicknesses",
            rough,
            "more than one",
        )
        .at(first.head_span, "a board of which thickness?")
        .help(format!(
            "a stock for each thickness: `stock NAME board like {} {{ rough … }}`, with its own lines of \
             `sold`",
            stmt.name()
        )),
    );
    Err(Poison)
}

/// A price of one board, stated at `price`, is that of one thickness.
fn check_priced(cx: &mut dyn Lookup, stmt: &Stmt, price: Span) -> Res<()> {
    let Some(rough) = thicknesses(stmt) else {
        return Ok(());
    };
    cx.report(
        Diagnostic::new(
            &code::LINE_TOO_MANY,
            "one price of a board of several thicknesses",
            rough,
            "more than one",
        )
        .at(price, "a board of which thickness?")
        .help(format!(
            "a stock for each thickness: `stock NAME board like {} {{ rough … price … }}`",
            stmt.name()
        ))
        .help("or the price of a volume, as in `per m3`, which holds for all of them"),
    );
    Err(Poison)
}

/// The thicknesses in which boards are sold, where these are several.
fn thicknesses(stmt: &Stmt) -> Option<Span> {
    let rough = stmt.clause("rough")?;
    (rough.of.values.len() > 1).then_some(rough.of.span)
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
