//! What a revision comes to, one thing a line and in a fixed order, so that two listings can be
//! compared by any line diff. No places in the text, no marks of the book: a line changes only when
//! what it tells of changes.

use super::Built;
use super::checks::word;
use super::cuts::{kind_words, other};
use super::figure::{Figure, Precision};
use super::parts::natural;
use super::purchases::{amount, money, section_word};
use super::setups;
use crate::measure::{Length, Units};
use crate::model::{
    Axis, Cut, LocalAxis, Model, Outcome, Part, PartId, PartRef, Piece, Stock, StockKind,
};
use crate::plan::Plans;
use crate::source::FileId;

/// The listing: pieces with their openings, parts and cuts; what is bought; setups; checks that do not
/// simply hold; and the stock that the first file itself declares.
pub fn listing(built: &Built<'_>) -> String {
    let mut out: Vec<String> = Vec::new();
    stocks(built.model, &mut out);
    for (i, piece) in built.model.pieces.iter().enumerate() {
        one(built.model, i as u32, piece, &mut out);
    }
    if let Some(plans) = built.plans {
        planned(built.model, plans, &mut out);
    }
    let mut checks: Vec<String> = built
        .findings
        .iter()
        .filter(|finding| finding.outcome != Outcome::Holds)
        .map(|finding| {
            let piece = finding
                .piece
                .and_then(|i| built.model.pieces.get(i as usize));
            let units = piece.map_or(Units::Mm, |piece| piece.units);
            let text = |value| Figure::of_value(value).text(units);
            format!(
                "check {} {}: {}, {} against {}",
                finding.code,
                finding.subject,
                word(&finding.outcome),
                text(&finding.figure),
                text(&finding.limit)
            )
        })
        .collect();
    checks.sort();
    checks.dedup();
    out.extend(checks);
    let mut text = String::new();
    for line in out {
        // A name or title is one line, whatever it holds.
        text.push_str(&line.split_whitespace().collect::<Vec<_>>().join(" "));
        text.push('\n');
    }
    text
}

fn stocks(model: &Model, out: &mut Vec<String>) {
    let own = |stock: &&Stock| stock.origin.span.file == FileId(0);
    let mut lines: Vec<String> = model
        .stocks
        .iter()
        .filter(own)
        .map(|stock| {
            let mm = |length: Length| Units::Mm.text(length);
            match &stock.kind {
                StockKind::Sheet {
                    nominal, measured, ..
                } => format!(
                    "stock {} sheet {} ({})",
                    stock.name,
                    mm(*measured),
                    mm(*nominal)
                ),
                StockKind::Board { rough, .. } => {
                    let rough: Vec<String> = rough.iter().map(|r| mm(*r)).collect();
                    format!("stock {} board {}", stock.name, rough.join(", "))
                }
                StockKind::Edging { thick, .. } => {
                    format!("stock {} edging {}", stock.name, mm(*thick))
                }
            }
        })
        .collect();
    lines.sort();
    out.extend(lines);
}

fn one(model: &Model, index: u32, piece: &Piece, out: &mut Vec<String>) {
    let units = piece.units;
    let name = &piece.name;
    let plain = |length: Length| units.figure(length).plain();
    let extents = |b: &crate::model::Box3| {
        let of = |axis| plain(b.extent(axis));
        let [wide, high, deep] = [of(Axis::X), of(Axis::Z), of(Axis::Y)];
        format!("{wide} wide {high} high {deep} deep, {}", units.name())
    };
    out.push(format!("{name} made {}", piece.copies));
    out.push(format!("{name} outside {}", extents(&piece.overall)));
    let mut openings: Vec<&crate::model::Opening> = piece.openings.iter().collect();
    openings.sort_by_key(|opening| natural(&opening.path));
    for opening in openings {
        out.push(format!(
            "{name} opening {} {}",
            opening.path,
            extents(&opening.clear)
        ));
    }
    let mut parts: Vec<&Part> = piece.parts.iter().collect();
    parts.sort_by_key(|part| natural(&part.path));
    for part in parts {
        let size = model.sawn_size(PartRef {
            piece: index,
            part: part.id,
        });
        let size = LocalAxis::ALL.map(|axis| plain(size.along(axis)));
        let stock = model.stocks.get(part.stock.0 as usize);
        out.push(format!(
            "{name} part {} {} {} of {}",
            part.path,
            size.join(" x "),
            units.name(),
            stock.map_or("", |stock| &stock.name)
        ));
        let mut cuts: Vec<String> = part
            .cuts
            .iter()
            .map(|cut| format!("{name} cut {} {}", part.path, cut_line(piece, part, cut)))
            .collect();
        cuts.sort_by_key(|line| natural(line));
        out.extend(cuts);
    }
}

/// `dado for body.deck: 17.7 wide, 5.5 deep, from 594.8 along, 0 across`.
fn cut_line(piece: &Piece, part: &Part, cut: &Cut) -> String {
    let set = |length: Length| piece.units.setting(length).plain();
    let mate = other(piece, part, cut).map(|id: PartId| &piece.part(id).path);
    let mate = mate.map_or(String::new(), |path| format!(" for {path}"));
    let b = cut.bounds();
    let places = match cut.solids.len() {
        0 | 1 => String::new(),
        n => format!(", {n} places"),
    };
    format!(
        "{}{mate}: {} wide, {} deep, from {} to {} along, {} to {} across{places}",
        kind_words(cut.kind),
        set(cut.width),
        set(cut.depth),
        set(b.lo[0]),
        set(b.hi[0]),
        set(b.lo[1]),
        set(b.hi[1]),
    )
}

fn planned(model: &Model, plans: &Plans, out: &mut Vec<String>) {
    let units = model.pieces.first().map_or(Units::Mm, |piece| piece.units);
    for line in &plans.buying.lines {
        let size = line.size.map_or(String::new(), |(long, wide, thick)| {
            let sizes = [long, wide, thick].map(|l| units.figure(l).plain());
            format!(" {}", sizes.join(" x "))
        });
        let price = line.price.as_ref();
        let price = price.map_or(String::new(), |p| format!(", {}", money(p).text(units)));
        let section = section_word(line.section);
        let amount = amount(line, units).text(units);
        out.push(format!(
            "buy {section} {}{size}: {amount}{price}",
            line.what
        ));
    }
    for total in &plans.buying.totals {
        out.push(format!("cost {}", money(total).text(units)));
    }
    for card in &plans.setups.cards {
        let settings = setups::names(card).into_iter().zip(setups::settings(card));
        let settings = settings.filter_map(|(what, length)| {
            let figure = Figure::Length(length?).plain(units, Precision::Setting);
            Some(format!(", {what} {figure}"))
        });
        let settings: String = settings.collect();
        out.push(format!("setup {}{settings}", setups::what(card)));
    }
}
