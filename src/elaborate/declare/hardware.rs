//! `hardware`: what is bought to hold, hang and run.

use super::{
    clause_length, kind_word, missing, of_another_sort, optional_size, price, quantity_clause,
    range, refused, required, size, tail_value, title, word_of,
};
use crate::diag::code;
use crate::elaborate::stmt::Stmt;
use crate::elaborate::value::{self, Lookup};
use crate::elaborate::{Poison, Res};
use crate::measure::{Dimension, Length};
use crate::model::{Hardware, HardwareKind, Hinge, Runner, UnderMount};

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
