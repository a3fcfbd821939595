//! What is on hand.

use super::project::{Project, thing_use};
use super::stmt::Stmt;
use super::value::{self, Lookup};
use super::{Poison, Res};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{OnHand, OnHandKind, StockKind};

/// The lines of the rack; one that is not sound is reported, and the others still count.
pub fn rack(cx: &mut dyn Lookup, project: &Project, stmt: &Stmt) -> (Vec<OnHand>, bool) {
    let mut sound = true;
    let mut out = Vec::new();
    for line in &stmt.lines {
        match on_hand(cx, project, line) {
            Ok(row) => out.push(row),
            Err(Poison) => sound = false,
        }
    }
    (out, sound)
}

fn on_hand(cx: &mut dyn Lookup, project: &Project, line: &Stmt) -> Res<OnHand> {
    let of = line.clause("of").ok_or(Poison)?;
    let name = thing_use(cx, &of.env, of.of.value().ok_or(Poison)?)?;
    let (stock, data) = project.stock(cx, &name)?;
    let (kind, fits) = match line.word() {
        "sheet" => (
            OnHandKind::Sheet,
            matches!(data.kind, StockKind::Sheet { .. }),
        ),
        "offcut" => (
            OnHandKind::Offcut,
            matches!(data.kind, StockKind::Sheet { .. }),
        ),
        "board" => (
            OnHandKind::Board,
            matches!(data.kind, StockKind::Board { .. }),
        ),
        _ => (
            OnHandKind::Strip,
            matches!(data.kind, StockKind::Edging { .. }),
        ),
    };
    if !fits {
        let (is, word) = match data.kind {
            StockKind::Sheet { .. } => ("sold in sheets", "sheet` or `offcut"),
            StockKind::Board { .. } => ("board", "board"),
            StockKind::Edging { .. } => ("edging", "strip"),
        };
        let title = format!("`{}` is no {}", data.name, line.word());
        cx.report(
            Diagnostic::new(&code::NAME_MISPLACED, title, line.head_span, "of this kind")
                .at(name.span, format!("this stock is {is}"))
                .help(format!("write `{word}`")),
        );
        return Err(Poison);
    }
    let mut size = |word: &str| match line.clause(word) {
        Some(clause) => {
            let value = clause.of.value().ok_or(Poison)?;
            value::positive_length(cx, &clause.env, value)
        }
        None => Ok(Length::ZERO),
    };
    let (long, wide, thick) = (size("long")?, size("wide")?, size("thick")?);
    let count = match &line.count {
        Some(count) => value::count(cx, &line.env, count)?,
        None => 1,
    };
    let mut faults = Vec::new();
    for row in line.forms("fault") {
        faults.push(fault(cx, row, long)?);
    }
    faults.sort();
    Ok(OnHand {
        kind,
        count,
        stock,
        long,
        wide,
        thick,
        faults: joined(faults),
        origin: line.origin(),
    })
}

/// From where to where a fault reaches, within the board.
fn fault(cx: &mut dyn Lookup, row: &Stmt, long: Length) -> Res<(Length, Length)> {
    let mut end = |word: &str, unless: Length| match row.clause(word) {
        Some(clause) => {
            let value = clause.of.value().ok_or(Poison)?;
            value::length_not_negative(cx, &clause.env, value)
        }
        None => Ok(unless),
    };
    let (from, to) = (end("from", Length::ZERO)?, end("to", long)?);
    if from < to && to <= long {
        return Ok((from, to));
    }
    let (word, why) = match from < to {
        true => ("to", format!("the board is {long} long")),
        false if row.clause("to").is_none() => ("from", format!("the board is {long} long")),
        false => ("to", format!("{to} is not past {from}")),
    };
    let span = row.clause(word).map_or(row.span, |c| c.of.span);
    cx.report(
        Diagnostic::new(
            &code::VALUE_RANGE,
            "a fault that does not lie on its board",
            span,
            why,
        )
        .help("write where it begins and ends, both from the same end of the board"),
    );
    Err(Poison)
}

/// Faults that meet are one.
fn joined(faults: Vec<(Length, Length)>) -> Vec<(Length, Length)> {
    let mut out: Vec<(Length, Length)> = Vec::new();
    for (from, to) in faults {
        match out.last_mut() {
            Some(last) if from <= last.1 => last.1 = last.1.max(to),
            _ => out.push((from, to)),
        }
    }
    out
}
