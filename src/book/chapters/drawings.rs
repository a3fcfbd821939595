//! Chapter 3: each piece from the front and in section, from above and from the side, its joints at
//! a large scale, and taken apart.

use super::Chapter;
use crate::book::{Facts, html, piece_name};
use crate::draw::elevation::{HIGH, MEASURE, front_and_section, plan_and_side};
use crate::draw::exploded::exploded;
use crate::draw::joint::{Detail, details};
use crate::draw::mark::check_rule;
use crate::measure::Length;
use crate::model::{Axis, Opening, Piece};
use minijinja::Value;
use serde::Serialize;

/// The drawings.
pub const CHAPTER: Chapter = Chapter {
    number: 3,
    id: "drawings",
    title: "Drawings",
    template: "drawings.html",
    facts,
};

#[derive(Serialize)]
struct Drawings {
    pieces: Vec<PieceDrawings>,
    rule: Value,
}

#[derive(Serialize)]
struct PieceDrawings {
    title: String,
    views: Option<View>,
    outside: Option<View>,
    details: Vec<Joint>,
    exploded: Option<View>,
    openings: Vec<OpeningRow>,
    unit: &'static str,
}

#[derive(Serialize)]
struct View {
    /// `3.1`
    sheet: String,
    drawing: Value,
    scale: String,
}

#[derive(Serialize)]
struct Joint {
    letter: String,
    caption: String,
    view: &'static str,
    scale: String,
    drawing: Value,
}

#[derive(Serialize)]
struct OpeningRow {
    name: String,
    /// Wide, high, deep between panels.
    clear: [Value; 3],
    /// Wide and high at the front, where that is less.
    daylight: Option<[Value; 2]>,
    /// What closes or fills it.
    holds: String,
}

/// Prepares the drawings.
pub fn facts(facts: &Facts) -> Option<Value> {
    let mut sheet = 0;
    let mut number = || {
        sheet += 1;
        format!("{}.{sheet}", CHAPTER.number)
    };
    let mut pieces = Vec::new();
    for (i, piece) in facts.model.pieces.iter().enumerate() {
        let joints = details(facts.model, i);
        let views = front_and_section(facts.model, piece, &joints).map(|drawn| View {
            sheet: number(),
            drawing: html::svg(&drawn.scene),
            scale: drawn.scale.text(),
        });
        let outside = plan_and_side(piece, &joints).map(|drawn| View {
            sheet: number(),
            drawing: html::svg(&drawn.scene),
            scale: drawn.scale.text(),
        });
        let taken_apart = exploded(facts.model, i, (MEASURE, HIGH)).map(|scene| View {
            sheet: number(),
            drawing: html::svg(&scene),
            scale: String::new(),
        });
        pieces.push(PieceDrawings {
            title: piece_name(facts, piece),
            views,
            outside,
            details: joints.into_iter().map(joint).collect(),
            exploded: taken_apart,
            openings: openings(piece),
            unit: piece.units.name(),
        });
    }
    let some = pieces
        .iter()
        .any(|p| p.views.is_some() || p.outside.is_some());
    some.then(|| {
        html::value(&Drawings {
            pieces,
            rule: html::svg(&check_rule()),
        })
    })
}

fn joint(detail: Detail) -> Joint {
    Joint {
        letter: detail.letter,
        caption: detail.caption,
        view: detail.view,
        scale: detail.scale.text(),
        drawing: html::svg(&detail.scene),
    }
}

/// Every space that is not divided further; those of one array that are alike share a row.
fn openings(piece: &Piece) -> Vec<OpeningRow> {
    let one_case = piece.cases.len() < 2;
    // Name without its index, sizes, what it holds, how many.
    let mut rows: Vec<(String, [Length; 5], String, usize)> = Vec::new();
    let mut first_names: Vec<String> = Vec::new();
    for opening in &piece.openings {
        let clear = [Axis::X, Axis::Z, Axis::Y].map(|axis| opening.clear.extent(axis));
        if opening.divided || in_drawer(piece, opening) || clear.iter().any(|l| !l.is_positive()) {
            continue;
        }
        let front = [Axis::X, Axis::Z].map(|axis| opening.daylight.extent(axis));
        let name = opening_name(&opening.path, one_case);
        let base = match name.split_once('[') {
            Some((base, _)) => base.to_owned(),
            None => name.clone(),
        };
        let sizes = [clear[0], clear[1], clear[2], front[0], front[1]];
        let holds = holds(piece, opening);
        match rows
            .iter_mut()
            .find(|(b, s, h, _)| *b == base && *s == sizes && *h == holds)
        {
            Some((.., n)) => *n += 1,
            None => {
                rows.push((base, sizes, holds, 1));
                first_names.push(name);
            }
        }
    }
    let l = |length| html::figure_column(piece.units, length);
    rows.into_iter()
        .zip(first_names)
        .map(|((base, [w, h, d, fw, fh], holds, n), name)| OpeningRow {
            name: match n {
                1 => name,
                n => format!("{base}, {} alike", html::count_word(n as u32)),
            },
            clear: [w, h, d].map(l),
            daylight: (fw != w || fh != h).then(|| [fw, fh].map(l)),
            holds,
        })
        .collect()
}

/// The space in a drawer's box is told by the drawer.
fn in_drawer(piece: &Piece, opening: &Opening) -> bool {
    piece.drawers.iter().any(|d| {
        opening
            .path
            .strip_prefix(d.path.as_str())
            .is_some_and(|rest| rest.starts_with('.'))
    })
}

/// `body.well` of a piece with one case: `Well`.
fn opening_name(path: &str, one_case: bool) -> String {
    let name = match path.split_once('.') {
        Some((_, rest)) if one_case => rest,
        _ => path,
    };
    html::capital(&name.replace('_', " ").replace('.', ", "))
}

/// Fronts, drawers and shelves in an opening, by their names.
fn holds(piece: &Piece, opening: &Opening) -> String {
    let same = |id: crate::model::OpeningId| {
        piece
            .openings
            .get(id.0 as usize)
            .is_some_and(|o| o.path == opening.path)
    };
    let mut out: Vec<String> = Vec::new();
    let mut add = |text: String| {
        if !out.contains(&text) {
            out.push(text);
        }
    };
    for drawer in piece.drawers.iter().filter(|d| same(d.opening)) {
        add(piece.assembly(drawer.assembly).label.clone());
    }
    for leaf in piece
        .leaves
        .iter()
        .filter(|l| same(l.opening) && l.drawer.is_none())
    {
        let part = piece.part(leaf.part);
        add(piece.assembly(part.assembly).label.clone());
    }
    for set in piece.shelves.iter().filter(|s| same(s.opening)) {
        let label = set.parts.first().map(|id| piece.part(*id).label.clone());
        if let Some(label) = label {
            add(match set.parts.len() {
                1 => label,
                n => format!("{label}, {}", html::count_word(n as u32)),
            });
        }
    }
    // A case that stands in it.
    for case in &piece.cases {
        let within = case.name.rsplit_once('.').is_some_and(|(of, _)| {
            opening
                .path
                .strip_prefix(of)
                .is_some_and(|rest| rest.starts_with('.'))
        });
        let clear = &opening.clear;
        let stands = Axis::ALL.iter().all(|axis| {
            let i = axis.index();
            clear.lo[i] <= case.envelope.lo[i] && case.envelope.hi[i] <= clear.hi[i]
        });
        if within && stands {
            add(piece.assembly(case.assembly).label.clone());
        }
    }
    out.join("; ")
}
