//! The cautions of chapter 2. They follow from the work in the book, and are written here rather
//! than in a template, so that no template of a maker's can word them away or leave them out.
//!
//! Sources: the usual cautions of the trade (common practice) and, where one is named, the rule
//! itself. The cautions defer to machine manuals, product labels, local codes and licensed practice.

use super::weight::{ALONE, mass};
use super::{Facts, html, weight};
use crate::measure::{Length, Units};
use crate::model::{CutKind, FinishStep, Model, Part, PartRef, Piece, Stock, StockId, StockKind};
use std::collections::BTreeSet;

/// Shorter parts keep hands too near the cutter: common practice, 300 mm or 12 in.
const SHORT_MM: i64 = 300;

/// One caution: what it is about, and what to mind.
struct Caution {
    title: &'static str,
    lines: Vec<String>,
}

/// The cautions as one block of markup, the same for the same book.
pub(super) fn block(facts: &Facts) -> String {
    let mut out = String::from(
        "<div class=\"cautions\" id=\"cautions\">\n<p class=\"care\">These cautions follow from the \
         work in this book. The manual of the machine, the label and data sheet of the product, \
         local codes and rules of the workplace come before anything printed here. Wiring, gas, water \
         and the structure of a building are for licensed people. If a step seems unsafe with your \
         machines, do it another way.</p>\n<div class=\"cols2\">\n",
    );
    for caution in cautions(facts) {
        out.push_str(&format!(
            "<div class=\"caution\"><h3>{}</h3><ul>",
            html::escape(caution.title)
        ));
        for line in caution.lines {
            out.push_str(&format!("<li>{}</li>", html::escape(&line)));
        }
        out.push_str("</ul></div>\n");
    }
    out.push_str("</div>\n</div>");
    out
}

/// Whether the block stands in the finished book as live markup: present, and not inside a comment
/// or an element that shows nothing.
pub(super) fn stands_in(book: &str, block: &str) -> bool {
    let Some(before) = book.find(block).and_then(|at| book.get(..at)) else {
        return false;
    };
    let closed = |open: &str, close: &str| {
        let last_open = before.rfind(open);
        last_open.is_none_or(|at| before.rfind(close).is_some_and(|end| end > at))
    };
    closed("<!--", "-->")
        && [
            "template", "script", "style", "noscript", "textarea", "title",
        ]
        .iter()
        .all(|name| closed(&format!("<{name}"), &format!("</{name}")))
}

fn cautions(facts: &Facts) -> Vec<Caution> {
    [
        Some(always()),
        machines(facts),
        small_parts(facts),
        Some(dust(facts)),
        glue(facts),
        finish(facts),
        lifting(facts),
        tipping(facts),
    ]
    .into_iter()
    .flatten()
    .collect()
}

fn line(text: &str) -> String {
    text.to_owned()
}

fn always() -> Caution {
    Caution {
        title: "Always",
        lines: vec![
            line(
                "Eye and ear protection at every machine; no gloves, loose sleeves, rings or untied hair near a cutter.",
            ),
            line(
                "Switch off and unplug, or lock out, before you change a blade or cutter or reach near one.",
            ),
            line("Guards stay on for every cut that they allow. Stop when tired."),
        ],
    }
}

/// The kinds of cut in the whole book.
fn kinds(facts: &Facts) -> BTreeSet<CutKind> {
    facts
        .model
        .parts()
        .flat_map(|(_, part)| part.cuts.iter().map(|cut| cut.kind))
        .collect()
}

fn stopped(facts: &Facts) -> bool {
    facts
        .model
        .parts()
        .flat_map(|(_, part)| &part.cuts)
        .any(|cut| cut.stopped.contains(&true) && is_channel(cut.kind))
}

/// Cut with a dado head at the saw, or with a router.
fn is_channel(kind: CutKind) -> bool {
    matches!(
        kind,
        CutKind::Dado
            | CutKind::Groove
            | CutKind::EdgeGroove
            | CutKind::Rabbet
            | CutKind::Tongue
            | CutKind::Tenon
            | CutKind::Lap
            | CutKind::Fingers
            | CutKind::DovetailKey
            | CutKind::DovetailHousing
            | CutKind::Notch
    )
}

fn machines(facts: &Facts) -> Option<Caution> {
    facts.model.parts().next()?;
    let kinds = kinds(facts);
    let has = |wanted: &[CutKind]| wanted.iter().any(|kind| kinds.contains(kind));
    let mut lines = vec![line(
        "Saw: guard and riving knife in place for through cuts, push stick within reach, stand out of \
         line with the blade. Never cut freehand. Support long and wide panels beyond the table.",
    )];
    if kinds.iter().any(|kind| is_channel(*kind)) {
        lines.push(line(
            "Dadoes, grooves and rabbets are not through cuts. Use a dado head only on a saw made for \
             it, with push blocks and featherboards; guard and riving knife go back on before the next \
             through cut.",
        ));
        lines.push(line(
            "Router: feed against the turn of the cutter, deep cuts in several passes, cutter held by \
             at least three quarters of its shank.",
        ));
    }
    if stopped(facts) {
        lines.push(line(
            "Stopped cuts: only against stops that are fixed. Let the cutter stop before you lift the \
             part off.",
        ));
    }
    if has(&[
        CutKind::PinHoles,
        CutKind::CupBore,
        CutKind::PullHole,
        CutKind::ScrewHole,
        CutKind::DowelHole,
        CutKind::PocketHole,
    ]) {
        lines.push(line(
            "Drill: clamp the part, never hold it by hand; set the depth stop; scrap under a hole that \
             goes through.",
        ));
    }
    if has(&[CutKind::CupBore]) {
        lines.push(line(
            "Hinge cups: a large bit wants to turn the part. Drill press, slow speed, part clamped to a \
             fence.",
        ));
    }
    if has(&[CutKind::BiscuitSlot]) {
        lines.push(line(
            "Biscuit slots: part clamped, both hands on the machine, none in front of it.",
        ));
    }
    if has(&[CutKind::Tails, CutKind::Sockets, CutKind::HingeRecess]) {
        lines.push(line(
            "Dovetails and recesses: part and template clamped; with a chisel both hands stay behind \
             the edge.",
        ));
    }
    if has(&[
        CutKind::Mortise,
        CutKind::OpenMortise,
        CutKind::LooseMortise,
        CutKind::ButtonSlot,
        CutKind::ScrewSlot,
    ]) {
        lines.push(line(
            "Mortises: part clamped; with a router the base held wider than the part by a scrap beside \
             it, several shallow passes; with a chisel both hands stay behind the edge.",
        ));
    }
    if has(&[CutKind::EdgeNotch, CutKind::Opening]) {
        lines.push(line(
            "Notches and openings: part clamped to the bench with air under the line, both hands on the \
             saw, none below the part; the saw runs before it meets the wood and stops before it is \
             lifted out; what falls out is held or supported before the last cut.",
        ));
    }
    if has(&[CutKind::Pocket]) {
        lines.push(line(
            "Recesses: part and template clamped, router lowered and fed only while its base lies on \
             the template; let the bit stop before the router is lifted.",
        ));
    }
    if facts.model.parts().any(|(at, _)| is_board(facts, at)) {
        lines.push(line(
            "Jointer and planer: push blocks, no boards shorter or thinner than the manual allows, \
             knots and nails looked for first.",
        ));
    }
    Some(Caution {
        title: "Machines that this book uses",
        lines,
    })
}

fn is_board(facts: &Facts, at: PartRef) -> bool {
    let (_, part) = facts.model.part(at);
    facts
        .model
        .stocks
        .get(part.stock.0 as usize)
        .is_some_and(|stock| match stock.kind {
            StockKind::Board { .. } => true,
            StockKind::Sheet { .. } | StockKind::Edging { .. } => false,
        })
}

/// Parts that are cut while still part of something longer.
fn small_parts(facts: &Facts) -> Option<Caution> {
    let short = Length::mm(SHORT_MM);
    let is_short = |part: &Part| part.size.length < short && part.size.width < short;
    let marks: Vec<String> = facts
        .model
        .groups
        .iter()
        .filter(|group| {
            group
                .members
                .iter()
                .any(|(at, _)| is_short(facts.model.part(*at).1))
        })
        .map(|group| group.mark.to_string())
        .collect();
    if marks.is_empty() {
        return None;
    }
    let limit = facts.units().text(match facts.units() {
        Units::Mm => short,
        Units::Inch(_) => Length::inches(12, 1),
    });
    Some(Caution {
        title: "Small parts",
        lines: vec![format!(
            "Shorter than {limit} each way: part {}. Cut and shape them while they are still part of a \
             longer piece, or hold them in a sled or jig. Hands stay a hand's width from the cutter.",
            html::list(&marks)
        )],
    })
}

fn dust(facts: &Facts) -> Caution {
    let mut lines = vec![line(
        "Dust harms lungs, skin and eyes, and can burn or explode in the air. Extract at the machine, \
         wear a mask that the local rules accept, vacuum rather than blow.",
    )];
    // Of what the project lists only what is cut here.
    let parts = facts.model.pieces.iter().flat_map(|piece| &piece.parts);
    let used: BTreeSet<StockId> = parts.map(|part| part.stock).collect();
    let stocks = || {
        used.iter()
            .filter_map(|id| facts.model.stocks.get(id.0 as usize))
    };
    // Oak and beech: ACGIH class A1, confirmed to cause cancer in people (osha.gov, wood dust).
    let named: BTreeSet<&str> = stocks()
        .flat_map(|stock| {
            let material = facts.model.material(stock);
            let woods = [material, facts.model.face(stock)].into_iter().flatten();
            woods
                .map(|wood| wood.title.as_str())
                .chain([stock.title.as_str()])
        })
        .flat_map(|words| {
            ["oak", "beech"]
                .into_iter()
                .filter(|wood| has_word(words, wood))
        })
        .collect();
    if !named.is_empty() {
        let woods: Vec<String> = named.into_iter().map(str::to_owned).collect();
        lines.push(format!(
            "Dust of {} is counted among those that cause cancer in people (ACGIH, class A1): keep \
             to the exposure limit that holds where you work.",
            html::list(&woods)
        ));
    }
    if stocks().any(|stock| matches!(stock.kind, StockKind::Sheet { .. })) {
        lines.push(line(
            "Sheets are held together with resin: its dust and, fresh from the pack, its vapour call \
             for an open window as well.",
        ));
    }
    Caution {
        title: "Dust",
        lines,
    }
}

/// Whether a text has a word, in any case, set apart by anything but letters.
fn has_word(text: &str, word: &str) -> bool {
    text.split(|c: char| !c.is_alphabetic())
        .any(|one| one.eq_ignore_ascii_case(word))
}

fn glue(facts: &Facts) -> Option<Caution> {
    let glued = facts
        .model
        .pieces
        .iter()
        .any(|piece| piece.joints.iter().any(|joint| joint.glued));
    glued.then(|| {
        let names: Vec<String> = facts.model.shop.glues.iter().map(|g| g.name.clone()).collect();
        let of = if names.is_empty() {
            String::new()
        } else {
            format!(" ({})", names.join(", "))
        };
        Caution {
            title: "Glue",
            lines: vec![
                format!(
                    "Read the label of the glue{of}: gloves, ventilation, temperature, first aid. Keep \
                     it off skin and out of eyes."
                ),
                line("Clamps under load slip: keep fingers out of joints that close, and heads out of line with bars."),
            ],
        }
    })
}

/// Coats in use in the book, in order.
fn coats<'a>(facts: &Facts<'a>) -> Vec<&'a str> {
    let mut out: Vec<&str> = Vec::new();
    for piece in &facts.model.pieces {
        let finish = piece
            .finish
            .and_then(|id| facts.model.finishes.get(id.0 as usize));
        for step in finish.into_iter().flat_map(|finish| &finish.steps) {
            if let FinishStep::Coat(coat) = step
                && !out.contains(&coat.name.as_str())
            {
                out.push(&coat.name);
            }
        }
    }
    out
}

/// Words by which a finish is known to hold a drying oil, which heats as it cures.
const OILY: [&str; 11] = [
    "oil",
    "varnish",
    "linseed",
    "tung",
    "danish",
    "alkyd",
    "hardwax",
    "wiping",
    "stain",
    "teak",
    "polyurethane",
];

fn finish(facts: &Facts) -> Option<Caution> {
    let coats = coats(facts);
    if coats.is_empty() {
        return None;
    }
    let names: Vec<String> = coats.iter().map(|name| name.replace('_', " ")).collect();
    let oily = names
        .iter()
        .any(|name| OILY.iter().any(|word| name.to_lowercase().contains(word)));
    let rags = "Rags, pads and sanding dust with oil or varnish heat up by themselves and can catch fire \
                within hours. Spread them flat, one layer, outdoors until hard, or keep them in a metal \
                can with a self-closing lid, emptied daily. Never in a heap, never in the bin.";
    Some(Caution {
        title: "Finish",
        lines: vec![
            format!(
                "Labels and data sheets of {} come first: ventilation, gloves, the right respirator. No \
                 flame, spark or heater near wet finish or open cans.",
                html::list(&names)
            ),
            if oily {
                line(rags)
            } else {
                format!("If the label names oil or a varnish: {}", lower_first(rags))
            },
            line(
                "Dry coats are sanded with a mask on. Leftovers go where local rules say, not down the drain.",
            ),
        ],
    })
}

fn lower_first(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| {
        first.to_lowercase().chain(chars).collect()
    })
}

fn lifting(facts: &Facts) -> Option<Caution> {
    let model = facts.model;
    let mut lines = Vec::new();
    let stocks: BTreeSet<u32> = model.parts().map(|(_, part)| part.stock.0).collect();
    let stocks = || {
        stocks
            .iter()
            .filter_map(|id| model.stocks.get(*id as usize))
    };
    for stock in stocks() {
        if let Some(sheet) = weight::sheet(model, stock)
            && sheet.bound > ALONE
        {
            let units = facts.units();
            let (long, wide, thick) = sheet.size;
            lines.push(format!(
                "{}, whole sheet {} × {} × {} {}, {}: two carry it, and two feed it until it is broken \
                 down.",
                stock.title,
                units.figure(long).plain(),
                units.figure(wide).plain(),
                units.figure(thick).plain(),
                units.name(),
                match sheet.weighs {
                    Some(kilograms) => format!("weighs about {}", mass(units, kilograms)),
                    None => "weighs what nobody stated".to_owned(),
                }
            ));
        }
    }
    for piece in &model.pieces {
        if piece.is_composed() {
            lines.extend(lifted_one_by_one(facts, piece));
            continue;
        }
        let weight = weight::piece(model, piece);
        if weight.bound > ALONE {
            lines.push(lifted(facts, piece, &piece.title, &weight));
        }
    }
    if lines.is_empty() {
        return None;
    }
    lines.push(format!(
        "{}Cuts not taken off; more than {} is not for one person.",
        reckoned_with(model, stocks()),
        mass(facts.units(), ALONE)
    ));
    Some(Caution {
        title: "Lifting",
        lines,
    })
}

/// A piece of several cases is carried case by case: what of it is too heavy for one, alike together.
fn lifted_one_by_one(facts: &Facts, piece: &Piece) -> Vec<String> {
    let mut rows: Vec<(Vec<String>, weight::Weight)> = Vec::new();
    for thing in weight::things(facts.model, piece) {
        if thing.weight.bound <= ALONE {
            continue;
        }
        match rows.iter_mut().find(|(_, weight)| *weight == thing.weight) {
            Some((names, _)) if names.contains(&thing.name) => {}
            Some((names, _)) => names.push(thing.name),
            None => rows.push((vec![thing.name], thing.weight)),
        }
    }
    rows.into_iter()
        .map(|(names, weight)| {
            let each = if names.len() > 1 { "each of " } else { "" };
            let what = format!("Of {}, {each}{}", piece.title, html::list(&names));
            lifted(facts, piece, &what, &weight)
        })
        .collect()
}

/// What a thing weighs, and who lifts it.
fn lifted(facts: &Facts, piece: &Piece, what: &str, weight: &weight::Weight) -> String {
    let units = piece.units;
    let bare = if weight.bare < weight.whole {
        format!(
            ", about {} with drawers, doors and loose shelves out",
            mass(units, weight.bare)
        )
    } else {
        String::new()
    };
    let lift = if weight.bound > 3 * ALONE {
        "three or more, or a trolley and a lift,"
    } else {
        "two"
    };
    if weight.unknown.is_empty() {
        return format!(
            "{} weighs about {}{bare}, without hardware: {lift} lift it.",
            what,
            mass(units, weight.whole)
        );
    }
    let titles: Vec<String> = weight
        .unknown
        .iter()
        .filter_map(|id| facts.model.stocks.get(id.0 as usize))
        .map(|stock| stock.title.clone())
        .collect();
    let known = if weight.whole == 0 {
        "weighs what nobody can tell from the text".to_owned()
    } else {
        format!(
            "weighs more than {}{bare}, without hardware",
            mass(units, weight.whole)
        )
    };
    format!(
        "{} {known}: what {} weighs is not known, for the stock states no species, core or density. {} \
         lift it until you have tried an end.",
        what,
        html::list(&titles),
        capital(lift)
    )
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// The densities that the weights were reckoned with, and where each comes from.
fn reckoned_with<'a>(model: &'a Model, stocks: impl Iterator<Item = &'a Stock>) -> String {
    let mut told: Vec<String> = Vec::new();
    for stock in stocks {
        let Some(density) = model.density(stock) else {
            continue;
        };
        let of = match (model.material(stock), &stock.density) {
            (Some(material), None) => &material.title,
            _ => &stock.title,
        };
        let source = density.source.as_deref().unwrap_or("as stated");
        let figure = density.value.round().unwrap_or(0);
        let one = format!("{figure} kg a cubic metre for {of} ({source})");
        if !told.contains(&one) {
            told.push(one);
        }
    }
    if told.is_empty() {
        String::new()
    } else {
        format!("Reckoned with {}. ", html::list(&told))
    }
}

fn tipping(facts: &Facts) -> Option<Caution> {
    let pieces: Vec<String> = facts
        .model
        .pieces
        .iter()
        .filter(|piece| piece.can_tip())
        .map(|piece| piece.title.clone())
        .collect();
    if pieces.is_empty() {
        return None;
    }
    Some(Caution {
        title: "Tipping over",
        lines: vec![
            format!(
                "{} can fall forward when drawers and doors stand open or a child climbs. Fasten {} to \
                 the wall before anything is put in: a restraint made for it, into studs or solid \
                 masonry, as its instructions say. Heavy things go low.",
                html::list(&pieces),
                if pieces.len() == 1 { "it" } else { "each" }
            ),
            line(
                "Nothing in this book computes whether a piece tips. Furniture that is sold or stands where children live may fall under a rule of its own \
                 (in the USA 16 CFR part 1261 for clothing storage): ask locally.",
            ),
        ],
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_block_in_a_comment_does_not_count() {
        assert!(stands_in("<p>BLOCK</p>", "BLOCK"));
        assert!(stands_in("<!-- a --><style>b</style>BLOCK", "BLOCK"));
        for hidden in [
            "<p></p>",
            "<!-- BLOCK -->",
            "<style>a</style><style>BLOCK</style>",
            "<template><p>BLOCK</p></template>",
        ] {
            assert!(!stands_in(hidden, "BLOCK"), "{hidden}");
        }
    }

    #[test]
    fn words_are_whole() {
        assert!(has_word("white_oak", "oak") && has_word("Oak-faced plywood", "oak"));
        assert!(!has_word("soaked pine", "oak"));
    }
}
