//! `shop`: machines, allowances and paces.

use super::{
    above_nothing, clause_length, kind_word, leading_length, missing, optional_size,
    quantity_clause, refused, share_clause, share_line, size, stated,
};
use crate::diag::{Diagnostic, code};
use crate::elaborate::project::Project;
use crate::elaborate::stmt::Stmt;
use crate::elaborate::value::{self, Lookup};
use crate::elaborate::{Poison, Res, abrasives, glues};
use crate::measure::{Dimension, Length, Rational};
use crate::model::{Clamp, Cutter, CutterKind, FirstCuts, Shop};
use crate::source::Span;
use crate::syntax::tree::Expr;
use std::collections::BTreeMap;

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
