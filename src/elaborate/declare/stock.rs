//! `stock`: sheets, boards and ready-made edging.

use super::{kind_word, optional_size, price, range, required, share_clause, size, title, word_of};
use crate::diag::{Diagnostic, code};
use crate::elaborate::stmt::Stmt;
use crate::elaborate::value::{self, Lookup};
use crate::elaborate::{Poison, Res};
use crate::measure::Length;
use crate::model::{GoodFaces, SheetGrain, SheetSize, Stock, StockKind};

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
