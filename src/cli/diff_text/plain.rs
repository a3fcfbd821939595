//! Changes one line each, for screen readers and searching: `section: thing: what old -> new (by)`.

use super::{Called, decision_sign, direction, figures, place, sign, unit};
use crate::diag::safe;
use crate::diff::{Changes, Consequences, Held, Names, Precision, Presence, Step, Word};
use crate::measure::Units;
use crate::model::LocalAxis;

/// Writes the lines.
pub fn plain(changes: &Changes, called: &Called) -> String {
    let mut lines = Lines {
        out: vec![
            format!("old: {}", called.old),
            format!("new: {}", called.new),
        ],
    };
    if changes.is_empty() {
        lines.out.push("no difference".into());
    }
    for decision in &changes.decisions {
        let mut text = Vec::new();
        let mut words = decision.line.iter().peekable();
        while let Some(word) = words.next() {
            text.push(match (word, words.peek()) {
                (Word::Old(old), Some(Word::New(new))) => {
                    words.next();
                    format!("{old} -> {new}")
                }
                (Word::Old(old), _) if decision.line.len() > 1 => format!("[-{old}-]"),
                (Word::New(new), _) if decision.line.len() > 1 => format!("{{+{new}+}}"),
                (Word::Old(text) | Word::New(text) | Word::Same(text), _) => text.clone(),
            });
        }
        let by = decision.by.as_ref().map_or(String::new(), |by| {
            format!(
                " ({})",
                join(
                    &by.signed(changes.units, Precision::Size),
                    by.unit(changes.units)
                )
            )
        });
        let within = decision.within.iter().map(|w| format!("{w}: "));
        lines.add(
            "decided",
            decision_sign(decision.kind),
            &format!(
                "{}{}{by} at {}",
                within.collect::<String>(),
                text.join(" "),
                place(decision, "->")
            ),
        );
    }
    match &changes.consequences {
        Some(all) => lines.consequences(all, changes.units),
        None if changes.is_empty() => {}
        None => lines
            .out
            .push("what follows is not known, since one of the two does not compile".into()),
    }
    let mut text = lines.out.join("\n");
    text.push('\n');
    safe(&text).into_owned()
}

struct Lines {
    out: Vec<String>,
}

impl Lines {
    fn add(&mut self, section: &str, sign: &str, text: &str) {
        let text = text.replace(['\n', '\r', '\t'], " ");
        self.out.push(format!("{section}: {sign} {text}"));
    }

    fn consequences(&mut self, all: &Consequences, units: Units) {
        for piece in &all.pieces {
            let mut steps: Vec<(String, &Step)> = Vec::new();
            steps.extend(piece.name.iter().map(|step| ("called".to_owned(), step)));
            steps.extend(piece.copies.iter().map(|step| ("make".to_owned(), step)));
            let outside = piece.outside.iter();
            steps
                .extend(outside.map(|(extent, step)| (format!("outside {}", extent.word()), step)));
            for (what, step) in steps {
                let text = format!("{}: {what} {}", piece.title, said(step, piece.units));
                self.add("piece", sign(piece.presence), &text);
            }
        }
        for opening in &all.openings {
            let steps = opening.sizes.iter();
            let steps =
                steps.map(|(e, step)| format!("{} {}", e.word(), said(step, opening.units)));
            let text = format!(
                "{}: {}: {}",
                opening.piece,
                list(&opening.names),
                steps.collect::<Vec<_>>().join(", ")
            );
            self.add("opening", sign(opening.presence), &text);
        }
        for rename in &all.renames {
            let text = format!("{}: {} -> {}", rename.piece, rename.old, rename.new);
            self.add("renamed", "~", &text);
        }
        for part in &all.parts {
            let mut said_of: Vec<String> = Vec::new();
            for size in &part.sizes {
                let what = match size.axis {
                    LocalAxis::Length => "length",
                    LocalAxis::Width => "width",
                    LocalAxis::Thickness => "thickness",
                };
                let finished = if size.finished { "finished " } else { "" };
                said_of.push(format!("{finished}{what} {}", said(&size.step, part.units)));
            }
            said_of.extend(
                part.stock
                    .iter()
                    .map(|s| format!("stock {}", said(s, part.units))),
            );
            for cut in &part.cuts {
                if cut.presence == Presence::Stays {
                    let facets = cut.facets.iter();
                    said_of.extend(facets.map(|facet| {
                        format!(
                            "{}, {} {}",
                            cut.what,
                            facet.what,
                            said_to(&facet.step, part.units, Precision::Setting)
                        )
                        .trim_end()
                        .to_owned()
                    }));
                } else {
                    said_of.push(format!("{} {}", sign(cut.presence), cut.what));
                }
            }
            let text = format!(
                "{}: {}: {}: {}",
                part.piece,
                list(&part.names),
                said_of.join(", "),
                part.reuse.words()
            );
            self.add("part", sign(part.presence), &text);
        }
        for group in &all.moves {
            let unit = group.units.name();
            let text = format!(
                "{}: {}: {} {unit}",
                group.piece,
                list(&group.names),
                direction(group)
            );
            self.add("moved", ">", &text);
        }
        self.plans(all, units);
        for check in &all.checks {
            let held = |held: &Option<Held>| match held {
                None => "not there".to_owned(),
                Some(held) => format!("{} {}", held.outcome, held.figure.text(check.units)),
            };
            let text = format!(
                "{}: {}: {} -> {}",
                check.code,
                check.subjects.join("; "),
                held(&check.old),
                held(&check.new)
            );
            self.add("check", "~", &text);
        }
    }

    fn plans(&mut self, all: &Consequences, units: Units) {
        for line in &all.purchases {
            let size = line.size.iter().map(|l| units.figure(*l).plain());
            let size = size.collect::<Vec<_>>().join(" x ");
            let steps = [
                ("", &line.amount),
                ("used ", &line.used),
                ("price ", &line.price),
            ];
            let steps: Vec<String> = steps
                .into_iter()
                .filter_map(|(what, step)| Some(format!("{what}{}", said(step.as_ref()?, units))))
                .collect();
            let text = format!(
                "{}: {}: {}",
                line.section,
                join(&line.what, &size),
                steps.join(", ")
            );
            self.add("buy", sign(line.presence), &text);
        }
        for total in all.cost.iter().chain(&all.totals) {
            let text = format!("{}: {}", total.what, said(&total.step, units));
            self.add("in all", "~", &text);
        }
        for setup in &all.setups {
            let facets = setup.settings.iter();
            let facets = facets
                .map(|f| format!("{} {}", f.what, said_to(&f.step, units, Precision::Setting)));
            let facets = facets.collect::<Vec<_>>().join(", ");
            let text = format!("{}: {facets}", setup.what);
            self.add(
                "setup",
                sign(setup.presence),
                text.trim_end_matches([' ', ':']),
            );
        }
    }
}

fn list(names: &[Names]) -> String {
    names.iter().map(Names::now).collect::<Vec<_>>().join(", ")
}

/// `748 -> 748.4 mm (+0.4)`; one figure of what came or went.
fn said(step: &Step, units: Units) -> String {
    said_to(step, units, Precision::Size)
}

fn said_to(step: &Step, units: Units, precision: Precision) -> String {
    let [old, new, by] = figures(step, units, precision);
    let unit = unit(step, units);
    match (old.is_empty(), new.is_empty()) {
        (false, false) if by.is_empty() => join(&format!("{old} -> {new}"), &unit),
        (false, false) => format!("{} ({by})", join(&format!("{old} -> {new}"), &unit)),
        _ => join(&format!("{old}{new}"), &unit),
    }
}

fn join(text: &str, more: &str) -> String {
    format!("{text} {more}").trim_end().to_owned()
}
