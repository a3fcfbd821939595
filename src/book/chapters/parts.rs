//! Chapter 8: a sheet for every part that is cut, plain parts several to a page, strips in a table.

use super::Chapter;
use crate::book::{Facts, html, thing_name};
use crate::draw::part_face::part_face;
use crate::draw::part_section::{cut_section, shape, wants_section};
use crate::draw::part_small::{both_hands, plain_part};
use crate::draw::setup_sketch::side_words;
use crate::draw::words::{cut_places, cut_word, face_word, surface_word};
use crate::measure::{Length, Units};
use crate::model::{
    Cut, CutKind, Grain, Group, Hand, LocalAxis, Part, PartRef, Piece, Role, Shape, Shaped, Side,
    Solid, StockKind,
};
use crate::plan::setups::{Card, Work};
use minijinja::Value;
use serde::Serialize;

/// The part sheets.
pub const CHAPTER: Chapter = Chapter {
    number: 8,
    id: "parts",
    title: "Part sheets",
    template: "parts.html",
    facts,
};

#[derive(Serialize)]
struct Parts {
    sheets: Vec<Sheet>,
    plain: Vec<Plain>,
    strips: Vec<Strip>,
    strip_units: &'static str,
}

/// What every kind of entry says of its group.
#[derive(Serialize)]
struct Head {
    mark: u32,
    label: String,
    /// `3 left, 3 right` or `6 off`.
    count: String,
    /// `White oak`.
    stock: String,
    /// As sawn, length × width × thickness.
    size: Value,
    unit: &'static str,
    /// Finished, where edging makes it differ.
    finished: Option<Value>,
    /// Where it goes: pieces and assemblies.
    goes: String,
    /// Of a part wider than any board: how many staves it is glued up of, and how wide each is.
    staves: Option<(u32, Value)>,
    no_grain: bool,
}

#[derive(Serialize)]
struct Sheet {
    number: usize,
    head: Head,
    face: Value,
    face_word: String,
    edge_word: String,
    /// The hand that is drawn.
    drawn: Option<&'static str>,
    other: Option<&'static str>,
    end_at_left: bool,
    edged: bool,
    scale: String,
    broken: bool,
    sections: Vec<Section>,
    section_scales: Vec<String>,
    ticks_left: Vec<Tick>,
    ticks_right: Vec<Tick>,
    ticks: Vec<Tick>,
    /// Most boxes of one copy, for the width of a column.
    most: usize,
    rows: Vec<Row>,
    hands: Option<Value>,
}

#[derive(Serialize)]
struct Section {
    numbers: Vec<u32>,
    caption: String,
    drawing: Value,
    scale: String,
}

/// A copy's letter and the boxes it has.
#[derive(Serialize)]
struct Tick {
    letter: String,
    boxes: usize,
}

#[derive(Serialize)]
struct Row {
    number: u32,
    name: String,
    figure: Value,
    /// The strip that goes on.
    strip: Option<u32>,
}

#[derive(Serialize)]
struct Plain {
    head: Head,
    drawing: Value,
    scale: String,
}

#[derive(Serialize)]
struct Strip {
    mark: u32,
    label: String,
    off: usize,
    size: [Value; 3],
    edges: String,
    tongue: Option<Value>,
    mitred: bool,
    early: bool,
}

/// Prepares the sheets.
pub fn facts(facts: &Facts) -> Option<Value> {
    let mut out = Parts {
        sheets: Vec::new(),
        plain: Vec::new(),
        strips: Vec::new(),
        strip_units: facts.units().name(),
    };
    for group in &facts.model.groups {
        let Some((at, hand)) = drawn(facts, group) else {
            continue;
        };
        let (piece, part) = facts.model.part(at);
        if part.role == Role::Band {
            out.strips.push(strip(facts, group, piece, part));
        } else if part.cuts.is_empty() && part.shaped.is_empty() {
            let (scene, scale) = plain_part(piece, part);
            out.plain.push(Plain {
                head: head(facts, group, piece, part),
                drawing: html::svg(&scene),
                scale: scale.text(),
            });
        } else {
            let number = out.sheets.len() + 1;
            let sheet = sheet(facts, group, at, hand, number);
            out.sheets.push(sheet);
        }
    }
    let some = !(out.sheets.is_empty() && out.plain.is_empty() && out.strips.is_empty());
    some.then(|| html::value(&out))
}

/// The member that is drawn: one whose reference end is at the left, if there is one.
fn drawn(facts: &Facts, group: &Group) -> Option<(PartRef, Option<Hand>)> {
    let at_left = group
        .members
        .iter()
        .find(|(at, _)| facts.model.part(*at).1.lay.end_at_left());
    at_left.or_else(|| group.members.first()).copied()
}

/// How many parts of a hand the whole commission has.
fn off(facts: &Facts, group: &Group, hand: Option<Hand>) -> usize {
    group
        .members
        .iter()
        .filter(|(_, h)| *h == hand)
        .map(|(at, _)| facts.model.part(*at).0.copies as usize)
        .sum()
}

fn head(facts: &Facts, group: &Group, piece: &Piece, part: &Part) -> Head {
    let left = off(facts, group, Some(Hand::Left));
    let right = off(facts, group, Some(Hand::Right));
    let plain = off(facts, group, None);
    let mut counts = Vec::new();
    if left + right > 0 {
        counts.push(format!("{left} left, {right} right"));
    }
    if plain > 0 {
        counts.push(format!("{plain} off"));
    }
    let size = part.size;
    let finished = part.finished_size;
    let mut goes: Vec<String> = Vec::new();
    for (at, _) in &group.members {
        let (piece, part) = facts.model.part(*at);
        let name = thing_name(piece, part.assembly);
        let name = if facts.many() {
            format!("{}: {name}", piece.title)
        } else {
            name
        };
        if !goes.contains(&name) {
            goes.push(name);
        }
    }
    let stock = facts.model.stocks.get(part.stock.0 as usize);
    Head {
        mark: group.mark,
        label: group.label.clone(),
        count: counts.join(", "),
        stock: stock.map_or_else(String::new, |stock| stock.title.clone()),
        size: html::sizes(piece.units, &[size.length, size.width, size.thick]),
        unit: piece.units.name(),
        finished: (finished != size).then(|| {
            html::sizes(
                piece.units,
                &[finished.length, finished.width, finished.thick],
            )
        }),
        goes: goes.join("; "),
        staves: group
            .members
            .first()
            .and_then(|(at, _)| facts.model.staves(*at))
            .map(|staves| (staves.count, html::figure(piece.units, staves.wide))),
        no_grain: part.grain == Grain::None
            && stock.is_some_and(|s| matches!(s.kind, StockKind::Sheet { .. })),
    }
}

fn hand_word(hand: Hand) -> &'static str {
    match hand {
        Hand::Left => "left",
        Hand::Right => "right",
    }
}

fn sheet(facts: &Facts, group: &Group, at: PartRef, hand: Option<Hand>, number: usize) -> Sheet {
    let (piece, part) = facts.model.part(at);
    let cards = |cut: usize| -> Vec<u32> {
        let does = |card: &&Card| {
            card.operations()
                .any(|op| op.at == at && matches!(op.work, Work::Cut { cut: c, .. } if c == cut))
        };
        let cards = facts.plans.setups.cards.iter().filter(does);
        cards.map(|card| card.number).collect()
    };
    let label = |cut: usize| {
        let numbers: Vec<String> = cards(cut).iter().map(u32::to_string).collect();
        (!numbers.is_empty()).then(|| numbers.join(" "))
    };
    let face = part_face(piece, part, hand, &label);
    let sections = sections(facts, piece, part, &cards);
    let mut section_scales: Vec<String> = Vec::new();
    for section in &sections {
        if !section_scales.contains(&section.scale) {
            section_scales.push(section.scale.clone());
        }
    }
    let other = hand.map(|hand| match hand {
        Hand::Left => Hand::Right,
        Hand::Right => Hand::Left,
    });
    let other = other.filter(|other| group.members.iter().any(|(_, h)| *h == Some(*other)));
    let columns = [Some(Hand::Left), Some(Hand::Right), None].map(|h| ticks(facts, group, h));
    let most = columns
        .iter()
        .flatten()
        .map(|tick| tick.boxes.min(4))
        .max()
        .unwrap_or(1);
    let [ticks_left, ticks_right, ticks] = columns;
    Sheet {
        number,
        head: head(facts, group, piece, part),
        face: html::svg(&face.scene),
        face_word: face_word(piece, part),
        edge_word: surface_word(piece, part, Side::Edge),
        drawn: hand.map(hand_word),
        other: other.map(hand_word),
        end_at_left: face.end_at_left,
        edged: face.edged,
        scale: face.scale.text(),
        broken: face.broken,
        sections,
        section_scales,
        ticks_left,
        ticks_right,
        ticks,
        most,
        rows: rows(facts, piece, part, at),
        hands: hand
            .filter(|_| other.is_some())
            .map(|hand| html::svg(&both_hands(part, hand))),
    }
}

/// A section for each kind of cut, under the numbers of its setups.
fn sections(
    facts: &Facts,
    piece: &Piece,
    part: &Part,
    cards: &dyn Fn(usize) -> Vec<u32>,
) -> Vec<Section> {
    let mut had = Vec::new();
    let mut out = Vec::new();
    for cut in part.cuts.iter().filter(|cut| wants_section(cut)) {
        let key = shape(part, cut);
        if had.contains(&key) {
            continue;
        }
        let Some(drawn) = cut_section(facts.model, piece, part, cut) else {
            continue;
        };
        let alike: Vec<(usize, &Cut)> = part
            .cuts
            .iter()
            .enumerate()
            .filter(|(_, c)| wants_section(c) && shape(part, c) == key)
            .collect();
        let mut numbers: Vec<u32> = alike.iter().flat_map(|(i, _)| cards(*i)).collect();
        numbers.sort_unstable();
        numbers.dedup();
        let cuts: Vec<&Cut> = alike.iter().map(|(_, c)| *c).collect();
        out.push(Section {
            numbers,
            caption: names(piece, part, &cuts),
            drawing: html::svg(&drawn.scene),
            scale: drawn.scale.text(),
        });
        had.push(key);
    }
    out
}

/// What cuts are called together: `Dado, for floor and deck; groove, front edge`.
fn names(piece: &Piece, part: &Part, cuts: &[&Cut]) -> String {
    // Word, places, what goes in.
    let mut rows: Vec<(&'static str, Vec<String>, Vec<String>)> = Vec::new();
    for cut in cuts {
        let word = cut_word(cut.kind);
        let at_places = cut_places(piece, part, cut);
        let filler = cut.filler.map(|id| {
            let filler = piece.part(id);
            if filler.role == Role::Band {
                "edging".to_owned()
            } else {
                filler.label.to_lowercase()
            }
        });
        let at = match rows.iter().position(|(w, ..)| *w == word) {
            Some(at) => at,
            None => {
                rows.push((word, Vec::new(), Vec::new()));
                rows.len() - 1
            }
        };
        if let Some((_, places, fillers)) = rows.get_mut(at) {
            let new: Vec<String> = at_places
                .into_iter()
                .filter(|p| !places.contains(p))
                .collect();
            places.extend(new);
            fillers.extend(filler.filter(|f| !fillers.contains(f)));
        }
    }
    let texts: Vec<String> = rows
        .into_iter()
        .enumerate()
        .map(|(i, (word, places, fillers))| {
            let mut text = if i == 0 {
                word.to_owned()
            } else {
                word.to_lowercase()
            };
            if !places.is_empty() {
                text.push_str(&format!(", {}", html::list(&places)));
            }
            if !fillers.is_empty() {
                text.push_str(&format!(", for {}", html::list(&fillers)));
            }
            text
        })
        .collect();
    texts.join("; ")
}

/// The figures of a cut: width × depth, diameter and depth.
fn figure(units: Units, part: &Part, cut: &Cut) -> String {
    let l = |length| html::setting_markup(units, length);
    let cross = "\u{202f}×\u{202f}";
    match cut.solids.first() {
        Some(Solid::Bore {
            diameter, depth, ..
        }) => {
            let through = *depth >= part.size.along(cut.entry.axis());
            if through {
                format!("{} dia, through", l(*diameter))
            } else {
                format!("{} dia, {} deep", l(*diameter), l(*depth))
            }
        }
        _ => match cut.kind {
            CutKind::BiscuitSlot => match cut.solids.len() {
                1 => "1 slot".to_owned(),
                n => format!("{n} slots"),
            },
            CutKind::Tails | CutKind::Sockets => format!("{} deep", l(cut.depth)),
            CutKind::Fingers => format!("{}{cross}{} deep", l(cut.width), l(cut.depth)),
            CutKind::PocketHole => match cut.solids.len() {
                1 => "1 pocket".to_owned(),
                n => format!("{n} pockets"),
            },
            CutKind::Mitre => "45°".to_owned(),
            CutKind::Taper => {
                let long = cut.bounds().extent(cut.along);
                format!("{} long, {} off", l(long), l(cut.depth))
            }
            CutKind::EdgeNotch | CutKind::Opening | CutKind::Pocket => {
                let b = cut.bounds();
                let size = format!("{}{cross}{}", l(b.hi[0] - b.lo[0]), l(b.hi[1] - b.lo[1]));
                if cut.kind == CutKind::Pocket {
                    format!("{size}{cross}{}", l(cut.depth))
                } else {
                    size
                }
            }
            CutKind::Notch => {
                let mut sizes: Vec<String> = Vec::new();
                for b in cut.solids.iter().map(Solid::bounds) {
                    let size = format!("{}{cross}{}", l(b.hi[0] - b.lo[0]), l(b.hi[1] - b.lo[1]));
                    if !sizes.contains(&size) {
                        sizes.push(size);
                    }
                }
                sizes.join("; ")
            }
            CutKind::Tenon => format!("{}{cross}{}", l(cut.width), l(cut.depth)),
            CutKind::Mortise | CutKind::LooseMortise | CutKind::ButtonSlot | CutKind::ScrewSlot => {
                let mut sizes: Vec<String> = Vec::new();
                for b in cut.solids.iter().map(Solid::bounds) {
                    let (long, deep) = (b.extent(cut.along), b.extent(cut.entry.axis()));
                    let size = format!("{}{cross}{}{cross}{}", l(long), l(cut.width), l(deep));
                    if !sizes.contains(&size) {
                        sizes.push(size);
                    }
                }
                sizes.join("; ")
            }
            CutKind::Tongue => {
                // What is left between the shoulders, and how far it stands out.
                let gone = cut
                    .solids
                    .iter()
                    .map(|s| {
                        let b = s.bounds();
                        b.hi[2] - b.lo[2]
                    })
                    .sum();
                let left = part.size.thick - gone;
                if left.is_positive() {
                    format!("{}{cross}{}", l(left), l(cut.depth))
                } else {
                    format!("{}{cross}{}", l(cut.width), l(cut.depth))
                }
            }
            _ => {
                let lean = cut.lean().map(|(by, side)| {
                    format!(", {} narrower at the {}", l(by), side_words(part, side))
                });
                format!(
                    "{}{cross}{}{}",
                    l(cut.width),
                    l(cut.depth),
                    lean.unwrap_or_default()
                )
            }
        },
    }
}

/// The setups that work on a part, in their order.
fn rows(facts: &Facts, piece: &Piece, part: &Part, at: PartRef) -> Vec<Row> {
    let mut out = Vec::new();
    for card in &facts.plans.setups.cards {
        let mut cuts: Vec<usize> = Vec::new();
        let mut strips: Vec<usize> = Vec::new();
        let mut shapes: Vec<usize> = Vec::new();
        for op in card.operations().filter(|op| op.at == at) {
            match op.work {
                Work::Cut { cut, .. } if !cuts.contains(&cut) => cuts.push(cut),
                Work::Band(n) => strips.push(n),
                Work::Shape(n) => shapes.push(n),
                _ => {}
            }
        }
        cuts.sort_unstable();
        let done: Vec<&Cut> = cuts.iter().filter_map(|i| part.cuts.get(*i)).collect();
        if !done.is_empty() {
            let mut figures: Vec<String> = Vec::new();
            for cut in &done {
                let text = figure(piece.units, part, cut);
                if !figures.contains(&text) {
                    figures.push(text);
                }
            }
            out.push(Row {
                number: card.number,
                name: names(piece, part, &done),
                figure: html::safe(figures.join("; ")),
                strip: None,
            });
        }
        shapes.sort_unstable();
        let shaped: Vec<&Shaped> = shapes.iter().filter_map(|n| part.shaped.get(*n)).collect();
        if let Some(first) = shaped.first() {
            let on: Vec<String> = shaped
                .iter()
                .map(|s| surface_word(piece, part, s.side))
                .collect();
            let l = |length| html::setting_markup(piece.units, length);
            let length = LocalAxis::Length.index();
            let (from, to) = (first.zone.lo[length], first.zone.hi[length]);
            let (name, figure) = match &first.shape {
                Shape::Profile { cutter, wide, high } => (
                    format!("Profile {cutter}, {}", html::list(&on)),
                    format!("{} × {}", l(*wide), l(*high)),
                ),
                Shape::Turned { .. } => ("Turned".to_owned(), format!("{} to {}", l(from), l(to))),
                Shape::Rounded => ("Rounded".to_owned(), format!("{} to {}", l(from), l(to))),
            };
            out.push(Row {
                number: card.number,
                name,
                figure: html::safe(figure),
                strip: None,
            });
        }
        // Strips that are made alike stand in one line: `Edging, top end and bottom end`.
        let mut alike: Vec<(Option<u32>, Length, Vec<String>)> = Vec::new();
        for band in strips.iter().filter_map(|n| part.bands.get(*n)) {
            let group = facts.model.groups.iter().find(|g| {
                g.members
                    .iter()
                    .any(|(m, _)| m.piece == at.piece && m.part == band.strip)
            });
            let mark = group.map(|g| g.mark);
            let word = surface_word(piece, part, band.side);
            match alike
                .iter_mut()
                .find(|(m, thick, _)| *m == mark && *thick == band.thick)
            {
                Some((_, _, words)) => words.push(word),
                None => alike.push((mark, band.thick, vec![word])),
            }
        }
        for (mark, thick, words) in alike {
            out.push(Row {
                number: card.number,
                name: format!("Edging, {}", html::list(&words)),
                figure: html::safe(html::setting_markup(piece.units, thick)),
                strip: mark,
            });
        }
    }
    out
}

/// The boxes to tick for each cut of a hand: every copy's letter with as many as it has parts.
fn ticks(facts: &Facts, group: &Group, hand: Option<Hand>) -> Vec<Tick> {
    facts
        .model
        .pieces
        .iter()
        .enumerate()
        .flat_map(|(i, piece)| {
            let boxes = group
                .members
                .iter()
                .filter(|(at, h)| at.piece as usize == i && *h == hand)
                .count();
            let letters = piece.letters.iter().filter(move |_| boxes > 0);
            letters.map(move |letter| Tick {
                letter: letter.clone(),
                boxes,
            })
        })
        .collect()
}

fn strip(facts: &Facts, group: &Group, piece: &Piece, part: &Part) -> Strip {
    let banding = |at: PartRef| {
        let (piece, strip) = facts.model.part(at);
        let host = piece.part(strip.host?);
        let band = host.bands.iter().find(|b| b.strip == strip.id)?;
        Some((piece, host, band))
    };
    // By the panel that it covers: `Lid: left end and right end`.
    let mut hosts: Vec<(String, Vec<String>)> = Vec::new();
    let mut first = None;
    for (at, _) in &group.members {
        if let Some((piece, host, band)) = banding(*at) {
            let edge = surface_word(piece, host, band.side);
            match hosts.iter_mut().find(|(label, _)| *label == host.label) {
                Some((_, edges)) if edges.contains(&edge) => {}
                Some((_, edges)) => edges.push(edge),
                None => hosts.push((host.label.clone(), vec![edge])),
            }
            first = first.or(Some(band));
        }
    }
    let edges: Vec<String> = hosts
        .iter()
        .map(|(label, edges)| format!("{label}: {}", html::list(edges)))
        .collect();
    let l = |length| html::figure_column(piece.units, length);
    let own_tongue = part.cuts.iter().any(|cut| cut.kind == CutKind::Tongue);
    Strip {
        mark: group.mark,
        label: group.label.clone(),
        off: group
            .members
            .iter()
            .map(|(at, _)| facts.model.part(*at).0.copies as usize)
            .sum(),
        size: [l(part.size.length), l(part.size.width), l(part.size.thick)],
        edges: edges.join("; "),
        tongue: first.and_then(|band| band.tongue).map(|(thick, deep)| {
            html::safe(format!(
                "{} {}\u{202f}×\u{202f}{}",
                if own_tongue { "tongue" } else { "groove" },
                html::figure_markup(piece.units, thick),
                html::figure_markup(piece.units, deep)
            ))
        }),
        mitred: first.is_some_and(|band| band.mitred),
        early: first.is_some_and(|band| band.early),
    }
}
