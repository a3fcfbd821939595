//! Chapter 13: what was decided otherwise since a revision, and what follows from it, with what can be
//! done where parts are cut already. Only where the maker asks for it.

use super::Chapter;
use crate::book::{Facts, html, plain};
use crate::diff::{
    Changes, CheckChange, Consequences, CutChange, Decision, DecisionKind, Figure, Held,
    PartChange, PieceChange, Precision, Presence, Purchase, Reuse, SetupChange, Step, Word, lines,
};
use crate::measure::Units;
use crate::model::LocalAxis;
use minijinja::Value;
use serde::Serialize;

/// The changes.
pub const CHAPTER: Chapter = Chapter {
    number: 13,
    id: "changes",
    title: "Changes",
    template: "changes.html",
    facts,
};

#[derive(Serialize)]
struct ChangesFacts {
    since: String,
    decisions: Vec<DecisionFacts>,
    groups: Vec<Group>,
    /// What only has another name.
    renames: Vec<[String; 2]>,
    moves: Vec<MoveFacts>,
    totals: Vec<RowFacts>,
    /// What does not change.
    stays: Vec<&'static str>,
    /// Whether what follows could be worked out.
    followed: bool,
    /// Whether purchases, cost and setups could be compared.
    planned: bool,
    nothing: bool,
}

#[derive(Serialize)]
struct DecisionFacts {
    kind: &'static str,
    within: String,
    /// The words of the line: how they stand to the old one, the words, whether a blank is before.
    words: Vec<(&'static str, String, bool)>,
    more: u32,
    by: Option<Value>,
    place: String,
}

#[derive(Serialize)]
struct Group {
    title: String,
    rows: Vec<RowFacts>,
}

/// A line of the table.
#[derive(Serialize)]
struct RowFacts {
    /// A part's number.
    mark: Option<u32>,
    /// A setup's number.
    square: Option<u32>,
    label: String,
    /// What of it, after the label.
    what: String,
    presence: &'static str,
    old: Option<Value>,
    new: Option<Value>,
    by: Option<Value>,
    /// What stands in the last column.
    note: String,
    /// Whether it goes on from the row before.
    more: bool,
}

#[derive(Serialize)]
struct MoveFacts {
    by: Value,
    labels: String,
}

/// Prepares the chapter.
pub fn facts(facts: &Facts) -> Option<Value> {
    let since = facts.since?;
    let changes = since.changes;
    let mut out = ChangesFacts {
        since: since.name.to_owned(),
        decisions: changes
            .decisions
            .iter()
            .map(|d| decision(d, changes.units))
            .collect(),
        groups: Vec::new(),
        renames: Vec::new(),
        moves: Vec::new(),
        totals: Vec::new(),
        stays: Vec::new(),
        followed: changes.consequences.is_some(),
        planned: changes.consequences.as_ref().is_some_and(|c| c.planned),
        nothing: changes.is_empty(),
    };
    if let Some(all) = &changes.consequences {
        out.groups = groups(facts, changes, all);
        out.renames = all
            .renames
            .iter()
            .map(|r| [r.old.clone(), r.new.clone()])
            .collect();
        out.moves = all.moves.iter().map(moved).collect();
        out.totals = all
            .cost
            .iter()
            .chain(&all.totals)
            .map(|total| row(&total.what, "", &total.step, changes.units))
            .collect();
        out.stays = stays(all);
    }
    Some(html::value(&out))
}

fn decision(of: &Decision, units: Units) -> DecisionFacts {
    let mut before = String::new();
    let words = of
        .line
        .iter()
        .map(|word| {
            let (kind, text) = match word {
                Word::Same(text) => ("same", text),
                Word::Old(text) => ("old", text),
                Word::New(text) => ("new", text),
            };
            let spaced = lines::spaced(&before, text);
            before = text.clone();
            (kind, text.clone(), spaced)
        })
        .collect();
    let place = |place: &crate::diff::Place| format!("{}:{}", place.file, place.line);
    let places = [&of.old, &of.new].map(|p| p.as_ref().map(place));
    DecisionFacts {
        kind: match of.kind {
            DecisionKind::Changed => "changed",
            DecisionKind::Added => "added",
            DecisionKind::Gone => "gone",
            DecisionKind::Moved => "moved",
        },
        within: of.within.join(", "),
        words,
        more: of.more,
        by: of.by.as_ref().map(|by| by_of(by, units, Precision::Size)),
        place: match places {
            [Some(old), Some(new)] if old != new => format!("{old} → {new}"),
            [old, new] => new.or(old).unwrap_or_default(),
        },
    }
}

fn groups(facts: &Facts, changes: &Changes, all: &Consequences) -> Vec<Group> {
    let units = changes.units;
    let mut out = Vec::new();
    let mut add = |title: &str, rows: Vec<RowFacts>| {
        if !rows.is_empty() {
            out.push(Group {
                title: title.to_owned(),
                rows,
            });
        }
    };
    add("Pieces", all.pieces.iter().flat_map(piece).collect());
    let openings = all.openings.iter().flat_map(|opening| {
        let name = names(opening.names.iter().map(|n| n.now()));
        let sizes = opening.sizes.iter();
        let rows = sizes.map(|(extent, step)| RowFacts {
            presence: presence(opening.presence),
            ..row(&name, extent.word(), step, opening.units)
        });
        chained(rows.collect())
    });
    add("Openings, clear", openings.collect());
    let many = facts.many();
    let mut title = None;
    let mut rows = Vec::new();
    // Parts stand under what they belong to, in the order of the model.
    for part in &all.parts {
        let here = match many {
            true => format!("{}: {}", part.piece, part.within),
            false => part.within.clone(),
        };
        if title.as_ref() != Some(&here)
            && let Some(title) = title.replace(here)
        {
            add(&title, std::mem::take(&mut rows));
        }
        rows.extend(part_rows(part));
    }
    if let Some(title) = title {
        add(&title, rows);
    }
    add(
        "Setups",
        all.setups.iter().flat_map(|s| setup(s, units)).collect(),
    );
    add(
        "To buy",
        all.purchases
            .iter()
            .flat_map(|p| purchase(p, units))
            .collect(),
    );
    add(
        "Checks",
        all.checks.iter().map(|c| check(facts, c)).collect(),
    );
    merged(out)
}

/// Groups of the same title as one, where the first stands.
fn merged(groups: Vec<Group>) -> Vec<Group> {
    let mut out: Vec<Group> = Vec::new();
    for group in groups {
        match out.iter_mut().find(|known| known.title == group.title) {
            Some(known) => known.rows.extend(group.rows),
            None => out.push(group),
        }
    }
    out
}

fn presence(of: Presence) -> &'static str {
    match of {
        Presence::Stays => "stays",
        Presence::Added => "added",
        Presence::Gone => "gone",
    }
}

/// A row of a step.
fn row(label: &str, what: &str, step: &Step, units: Units) -> RowFacts {
    row_to(label, what, step, units, Precision::Size)
}

fn row_to(label: &str, what: &str, step: &Step, units: Units, to: Precision) -> RowFacts {
    let set = |figure: &Option<Figure>| figure.as_ref().map(|f| set(f, units, to));
    RowFacts {
        mark: None,
        square: None,
        label: html::capital(label),
        what: what.to_owned(),
        presence: "stays",
        old: set(&step.old),
        new: set(&step.new),
        by: step.by.as_ref().map(|by| by_of(by, units, to)),
        note: String::new(),
        more: false,
    }
}

/// Rows of one thing: it is named once.
fn chained(mut rows: Vec<RowFacts>) -> Vec<RowFacts> {
    for row in rows.iter_mut().skip(1) {
        row.more = true;
    }
    rows
}

fn set(figure: &Figure, units: Units, to: Precision) -> Value {
    match (figure, to) {
        (Figure::Length(length), Precision::Size) => html::figure_column(units, *length),
        (Figure::Length(length), Precision::Setting) => html::figure_setting(units, *length),
        _ => Value::from(figure.text(units)),
    }
}

/// A difference with its sign.
fn by_of(by: &Figure, units: Units, to: Precision) -> Value {
    match by {
        Figure::Length(length) => {
            let sign = if length.is_negative() {
                html::MINUS
            } else {
                "+"
            };
            let size = set(&Figure::Length(length.abs()), units, to);
            html::safe(format!("{sign}\u{a0}{size}"))
        }
        _ => {
            let signed = by.signed(units, to);
            let mut chars = signed.chars();
            let sign = chars.next().map_or(String::new(), |c| c.to_string());
            Value::from(format!("{sign}\u{a0}{}", chars.as_str()))
        }
    }
}

fn piece(of: &PieceChange) -> Vec<RowFacts> {
    let mut rows = Vec::new();
    rows.extend(
        of.name
            .iter()
            .map(|step| row(&of.title, "called", step, of.units)),
    );
    rows.extend(
        of.copies
            .iter()
            .map(|step| row(&of.title, "made", step, of.units)),
    );
    let outside = of.outside.iter();
    rows.extend(outside.map(|(extent, step)| {
        row(
            &of.title,
            &format!("outside, {}", extent.word()),
            step,
            of.units,
        )
    }));
    for row in &mut rows {
        row.presence = presence(of.presence);
    }
    chained(rows)
}

/// Three names at most; without their case.
fn names<'a>(all: impl Iterator<Item = &'a str>) -> String {
    let all: Vec<&str> = all
        .map(|name| name.split_once('.').map_or(name, |(_, rest)| rest))
        .collect();
    let shown: Vec<String> = all
        .iter()
        .take(3)
        .map(|name| name.replace(['_', '.'], " "))
        .collect();
    match all.len() {
        0..=3 => html::list(&shown),
        n => format!("{} and {} more", shown.join(", "), n - 3),
    }
}

fn part_rows(part: &PartChange) -> Vec<RowFacts> {
    let label = match part.names.len() {
        1 => part.label.clone(),
        n => format!("{}{}×{}{n}", part.label, html::THIN, html::THIN),
    };
    let units = part.units;
    let mut rows: Vec<RowFacts> = Vec::new();
    if part.presence == Presence::Stays {
        for size in &part.sizes {
            let what = match size.axis {
                LocalAxis::Length => "length",
                LocalAxis::Width => "width",
                LocalAxis::Thickness => "thickness",
            };
            let what = if size.finished {
                format!("finished {what}")
            } else {
                what.to_owned()
            };
            rows.push(row(&label, &what, &size.step, units));
        }
        rows.extend(
            part.stock
                .iter()
                .map(|step| row(&label, "stock", step, units)),
        );
        // Who makes a part again reads its cuts off its sheet; who has it on the bench must know them.
        if !part.sizes.is_empty() && part.reuse == Reuse::MakeAgain {
            let cuts = (!part.cuts.is_empty()).then(|| Step::new(None, None));
            rows.extend(cuts.map(|none| row(&label, "and its cuts", &none, units)));
        } else {
            rows.extend(
                part.cuts
                    .iter()
                    .flat_map(|cut| cut_rows(&label, cut, units)),
            );
        }
    } else {
        // A part that came or went is told by its size.
        let sizes = LocalAxis::ALL.map(|axis| part.size.along(axis));
        let sizes = html::sizes(units, &sizes);
        let stock = part
            .stock
            .as_ref()
            .and_then(|s| s.new.as_ref().or(s.old.as_ref()));
        let stock = stock.map_or(String::new(), |stock| stock.text(units));
        let added = part.presence == Presence::Added;
        rows.push(RowFacts {
            presence: presence(part.presence),
            old: (!added).then(|| sizes.clone()),
            new: added.then_some(sizes),
            ..row(&label, &stock, &Step::new(None, None), units)
        });
    }
    if let Some(first) = rows.first_mut() {
        first.mark = part.mark.filter(|_| part.presence != Presence::Gone);
        first.note = part.reuse.words().to_owned();
    }
    chained(rows)
}

fn cut_rows(label: &str, cut: &CutChange, units: Units) -> Vec<RowFacts> {
    let rows = cut.facets.iter().map(|facet| {
        let what = match facet.what.as_str() {
            "deep" | "wide" | "long" => format!("{}, {}", cut.what, facet.what),
            other => format!("{} {other}", cut.what),
        };
        row_to(label, &what, &facet.step, units, Precision::Setting)
    });
    if cut.presence == Presence::Stays {
        return rows.collect();
    }
    // What came or went is one row: its width, or its depth where it has no width.
    let mut first: Vec<RowFacts> = rows.take(1).collect();
    for row in &mut first {
        row.presence = presence(cut.presence);
    }
    first
}

fn setup(of: &SetupChange, units: Units) -> Vec<RowFacts> {
    let mut rows: Vec<RowFacts> = of
        .settings
        .iter()
        .map(|facet| {
            row_to(
                &of.what,
                &facet.what,
                &facet.step,
                units,
                Precision::Setting,
            )
        })
        .collect();
    if rows.is_empty() {
        rows.push(row(&of.what, "", &Step::new(None, None), units));
    }
    for row in &mut rows {
        row.presence = presence(of.presence);
    }
    if let Some(first) = rows.first_mut() {
        first.square = of.new_number;
    }
    chained(rows)
}

fn purchase(of: &Purchase, units: Units) -> Vec<RowFacts> {
    let mut label = of.what.clone();
    if !of.size.is_empty() {
        let sizes: Vec<String> = of.size.iter().map(|l| units.figure(*l).plain()).collect();
        label = format!("{label} {}", sizes.join(&format!("{0}×{0}", html::THIN)));
    }
    let steps = [("", &of.amount), ("used", &of.used), ("price", &of.price)];
    let rows = steps.into_iter().filter_map(|(what, step)| {
        Some(RowFacts {
            presence: presence(of.presence),
            ..row(&label, what, step.as_ref()?, units)
        })
    });
    chained(rows.collect())
}

/// So many things that came out alike are named.
const SUBJECTS: usize = 3;

fn check(facts: &Facts, of: &CheckChange) -> RowFacts {
    let model = facts.model;
    let piece = of
        .piece
        .as_ref()
        .and_then(|title| model.pieces.iter().find(|piece| piece.title == *title));
    let figure = |held: &Option<Held>| held.as_ref().map(|held| held.figure.clone());
    let step = Step::new(figure(&of.old), figure(&of.new));
    let word = |held: &Option<Held>| match held.as_ref().map(|held| held.outcome) {
        None => "not there",
        Some("holds") => "holds",
        Some("error") => "a fault",
        Some("allowed") => "allowed",
        Some(_) => "a caution",
    };
    let (was, is) = (word(&of.old), word(&of.new));
    let note = if was == is {
        format!("{is} as before")
    } else {
        format!("was {was}, now {is}")
    };
    let subjects = of.subjects.iter().take(SUBJECTS);
    let mut subject = subjects
        .map(|subject| plain::words(model, piece, subject))
        .collect::<Vec<_>>()
        .join("; ");
    if let Some(more) = of.subjects.len().checked_sub(SUBJECTS).filter(|n| *n > 0) {
        subject.push_str(&format!("; and {more} more"));
    }
    RowFacts {
        note,
        ..row(&subject, "", &step, of.units)
    }
}

fn moved(of: &crate::diff::Move) -> MoveFacts {
    let words = [
        ["to the left", "to the right"],
        ["to the front", "to the rear"],
        ["down", "up"],
    ];
    let parts: Vec<String> = of
        .by
        .iter()
        .zip(words)
        .filter(|(by, _)| !by.is_zero())
        .map(|(by, [low, high])| {
            let word = if by.is_negative() { low } else { high };
            format!("{} {word}", html::figure(of.units, by.abs()))
        })
        .collect();
    MoveFacts {
        by: html::safe(parts.join(", ")),
        labels: of.labels.join("; "),
    }
}

/// What a maker would ask first, where it is as it was.
fn stays(all: &Consequences) -> Vec<&'static str> {
    let outside = all.pieces.iter().all(|piece| piece.outside.is_empty());
    let bought = |sections: &[&str]| {
        let mut lines = all.purchases.iter();
        all.planned && !lines.any(|line| sections.contains(&line.section.as_str()))
    };
    [
        (outside, "outside sizes"),
        (all.openings.is_empty(), "every opening"),
        (all.parts.is_empty(), "every part"),
        (bought(&["sheets"]), "sheets to buy"),
        (bought(&["boards", "edging"]), "boards and edging to buy"),
        (bought(&["hardware", "fasteners"]), "all hardware"),
        (bought(&["finish"]), "the finish"),
        (
            all.planned && all.setups.is_empty(),
            "how every setup is set, but for fences and stops",
        ),
        (all.planned && all.cost.is_empty(), "the cost"),
    ]
    .into_iter()
    .filter(|(so, _)| *so)
    .map(|(_, what)| what)
    .collect()
}
