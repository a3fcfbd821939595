//! Changes as a page for a terminal: decisions first, then what follows from them, in sections with
//! their counts. A sign stands before each: `+` came, `-` went, `~` changed, `>` stands elsewhere.

use super::table::{Cell, Look, Paint, Table, left, right};
use super::{Called, decision_sign, direction, figures, named, place, sign, unit};
use crate::diag::safe;
use crate::diff::{
    Changes, CheckChange, Consequences, CutChange, CutFacet, Decision, Figure, Held, PartChange,
    Precision, Presence, Reuse, Step, Word,
};
use crate::measure::Units;
use crate::model::LocalAxis;

/// Writes the page.
pub fn human(changes: &Changes, called: &Called, color: bool) -> String {
    let page = Page {
        paint: Paint { color },
        units: changes.units,
    };
    let mut out = page.paint.set(
        &clean(&format!("{} → {}", called.old, called.new)),
        Look::Strong,
    );
    out.push('\n');
    if changes.is_empty() {
        out.push_str("no difference\n");
        return out;
    }
    page.decisions(&changes.decisions, &mut out);
    match &changes.consequences {
        Some(consequences) => page.consequences(consequences, &mut out),
        None => page.note(
            "what follows is not known, since one of the two does not compile",
            &mut out,
        ),
    }
    out
}

struct Page {
    paint: Paint,
    units: Units,
}

impl Page {
    fn head(&self, title: &str, count: usize, what: &str, out: &mut String) {
        let title = self.paint.set(title, Look::Strong);
        let what = if what.is_empty() {
            String::new()
        } else {
            format!(" {what}")
        };
        let count = self.paint.set(&format!("{count}{what}"), Look::Dim);
        out.push_str(&format!("\n{title}  {count}\n"));
    }

    fn note(&self, text: &str, out: &mut String) {
        out.push_str(&format!("\n{}\n", self.paint.set(text, Look::Dim)));
    }

    fn sign(&self, sign: &str) -> Cell {
        let look = match sign {
            "+" => Look::New,
            "-" => Look::Old,
            _ => Look::Plain,
        };
        left(sign, look)
    }

    fn decisions(&self, decisions: &[Decision], out: &mut String) {
        if decisions.is_empty() {
            return;
        }
        self.head("Decided", decisions.len(), "", out);
        let mut within: &[String] = &[];
        for decision in decisions {
            if decision.within != within {
                within = &decision.within;
                if !within.is_empty() {
                    let text = clean(&within.join(", "));
                    out.push_str(&format!("  {}\n", self.paint.set(&text, Look::Dim)));
                }
            }
            let sign = decision_sign(decision.kind);
            let mark = self.sign(sign);
            let mut line = String::new();
            let mut table = Table::default();
            self.words(&decision.line, &mut line);
            if decision.more > 0 {
                let lines = if decision.more == 1 { "line" } else { "lines" };
                line.push_str(
                    &self
                        .paint
                        .set(&format!(" {{ {} {lines} }}", decision.more), Look::Dim),
                );
            }
            if let Some(by) = &decision.by {
                let by = format!(
                    "  {} {}",
                    by.signed(self.units, Precision::Size),
                    by.unit(self.units)
                );
                line.push_str(&self.paint.set(by.trim_end(), Look::Strong));
            }
            let place = clean(&place(decision, "→"));
            line.push_str(&self.paint.set(&format!("  {place}"), Look::Dim));
            table.open(vec![mark, left(line, Look::Plain)]);
            table.write(
                if within.is_empty() { "  " } else { "    " },
                self.paint,
                out,
            );
        }
    }

    /// A line with `old → new`; what only went in `[-…-]`, what only came in `{+…+}`.
    fn words(&self, words: &[Word], out: &mut String) {
        let mut plain = String::new();
        let mut i = 0;
        while let Some(word) = words.get(i) {
            let (text, shown, step) = match (word, words.get(i + 1)) {
                (Word::Old(old), Some(Word::New(new))) => {
                    let old = clean(old);
                    let new = clean(new);
                    let shown = format!(
                        "{} → {}",
                        self.paint.set(&old, Look::Old),
                        self.paint.set(&new, Look::New)
                    );
                    (old, shown, 2)
                }
                (Word::Old(old), _) => {
                    let old = clean(old);
                    let shown = self.alone(&old, words.len(), ["[-", "-]"], Look::Old);
                    (old, shown, 1)
                }
                (Word::New(new), _) => {
                    let new = clean(new);
                    let shown = self.alone(&new, words.len(), ["{+", "+}"], Look::New);
                    (new, shown, 1)
                }
                (Word::Same(same), _) => (clean(same), clean(same), 1),
            };
            if crate::diff::lines::spaced(&plain, &text) {
                out.push(' ');
            }
            out.push_str(&shown);
            plain = text;
            i += step;
        }
    }

    /// What came or went by itself; a whole line has its sign already.
    fn alone(&self, text: &str, of: usize, marks: [&str; 2], look: Look) -> String {
        if of == 1 || self.paint.color {
            return self.paint.set(text, look);
        }
        format!("{}{text}{}", marks[0], marks[1])
    }

    fn consequences(&self, all: &Consequences, out: &mut String) {
        if all.is_empty() {
            self.note("nothing follows from it", out);
        }
        self.pieces(all, out);
        self.openings(all, out);
        self.renames(all, out);
        self.parts(&all.parts, out);
        self.moves(all, out);
        self.purchases(all, out);
        self.totals(all, out);
        self.setups(all, out);
        self.checks(&all.checks, out);
        if !all.planned {
            self.note("purchases, cost and setups are not compared, since a check stands against one of the two", out);
        }
    }

    fn pieces(&self, all: &Consequences, out: &mut String) {
        if all.pieces.is_empty() {
            return;
        }
        let lengths = all.pieces.iter().any(|piece| !piece.outside.is_empty());
        let what = if lengths { self.units.name() } else { "" };
        self.head("Pieces", all.pieces.len(), what, out);
        let mut table = Table::default();
        for piece in &all.pieces {
            let mut name = vec![
                self.sign(sign(piece.presence)),
                left(clean(&piece.title), Look::Plain),
            ];
            let mut steps: Vec<(String, &Step)> = Vec::new();
            steps.extend(piece.name.iter().map(|step| ("called".to_owned(), step)));
            steps.extend(piece.copies.iter().map(|step| ("make".to_owned(), step)));
            let outside = piece.outside.iter();
            steps
                .extend(outside.map(|(extent, step)| (format!("outside {}", extent.word()), step)));
            for (what, step) in steps {
                let mut row = std::mem::replace(&mut name, vec![blank(), blank()]);
                row.extend(self.step(&what, step, piece.units));
                table.row(row);
            }
        }
        table.write("  ", self.paint, out);
    }

    /// What, from, arrow, to, by, unit.
    fn step(&self, what: &str, step: &Step, units: Units) -> Vec<Cell> {
        self.step_to(what, step, units, Precision::Size)
    }

    /// The same, as finely as a machine is set.
    fn setting(&self, facet: &CutFacet, what: &str, units: Units) -> Vec<Cell> {
        self.step_to(what, &facet.step, units, Precision::Setting)
    }

    fn step_to(&self, what: &str, step: &Step, units: Units, to: Precision) -> Vec<Cell> {
        let [old, new, by] = figures(step, units, to).map(|text| clean(&text));
        let arrow = if old.is_empty() || new.is_empty() {
            ""
        } else {
            "→"
        };
        vec![
            left(clean(what), Look::Dim),
            right(old, Look::Old),
            left(arrow, Look::Dim),
            right(new, Look::New),
            right(by, Look::Strong),
            left(self.unit(step, units), Look::Dim),
        ]
    }

    /// The unit of a step; lengths in the units of the whole say so in the heading.
    fn unit(&self, step: &Step, units: Units) -> String {
        let length = |figure: &Option<Figure>| matches!(figure, Some(Figure::Length(_)));
        if units == self.units && (length(&step.old) || length(&step.new)) {
            return String::new();
        }
        unit(step, units)
    }

    fn openings(&self, all: &Consequences, out: &mut String) {
        if all.openings.is_empty() {
            return;
        }
        let count = all.openings.iter().map(|o| o.names.len()).sum();
        self.head("Openings", count, self.units.name(), out);
        let many = all
            .openings
            .iter()
            .any(|o| all.openings.first().is_some_and(|f| f.piece != o.piece));
        let mut table = Table::default();
        let mut piece = "";
        for opening in &all.openings {
            if many && opening.piece != piece {
                piece = &opening.piece;
                table.open(vec![left(clean(piece), Look::Strong)]);
            }
            let mut first = vec![
                self.sign(sign(opening.presence)),
                left(clean(&named(&opening.names)), Look::Plain),
            ];
            if opening.presence != Presence::Stays {
                first.push(left(self.clear(opening), Look::Plain));
                table.open(first);
                continue;
            }
            for (extent, step) in &opening.sizes {
                let mut row = std::mem::replace(&mut first, vec![blank(), blank()]);
                row.extend(self.step(extent.word(), step, opening.units));
                table.row(row);
            }
        }
        table.write("  ", self.paint, out);
    }

    /// `400 wide, 300 high, 250 deep`.
    fn clear(&self, opening: &crate::diff::OpeningChange) -> String {
        let sizes = opening.sizes.iter().map(|(extent, step)| {
            let [old, new, _] = figures(step, opening.units, Precision::Size);
            format!("{old}{new} {}", extent.word())
        });
        sizes.collect::<Vec<_>>().join(", ")
    }

    fn renames(&self, all: &Consequences, out: &mut String) {
        if all.renames.is_empty() {
            return;
        }
        self.head("Renamed", all.renames.len(), "", out);
        let mut table = Table::default();
        for rename in &all.renames {
            let count = |n: u32, one: &str| match n {
                0 => None,
                1 => Some(format!("1 {one}")),
                n => Some(format!("{n} {one}s")),
            };
            let of = [
                count(rename.parts, "part"),
                count(rename.openings, "opening"),
            ];
            let of: Vec<String> = of.into_iter().flatten().collect();
            table.row(vec![
                left("~", Look::Plain),
                left(clean(&rename.old), Look::Old),
                left("→", Look::Dim),
                left(clean(&rename.new), Look::New),
                left(of.join(", "), Look::Dim),
            ]);
        }
        table.write("  ", self.paint, out);
    }

    fn parts(&self, parts: &[PartChange], out: &mut String) {
        if parts.is_empty() {
            return;
        }
        let count = parts.iter().map(|part| part.names.len()).sum();
        let what = format!("of one copy, {}", self.units.name());
        self.head("Parts", count, &what, out);
        let many = parts
            .iter()
            .any(|p| parts.first().is_some_and(|f| f.piece != p.piece));
        let mut table = Table::default();
        let mut group = (String::new(), String::new());
        for part in grouped(parts) {
            let here = (part.piece.clone(), part.within.clone());
            if here != group {
                let title = if many {
                    format!("{}: {}", here.0, here.1)
                } else {
                    here.1.clone()
                };
                table.open(vec![left(clean(&title), Look::Strong)]);
                group = here;
            }
            self.part(part, &mut table);
        }
        table.write("  ", self.paint, out);
    }

    fn part(&self, part: &PartChange, table: &mut Table) {
        let mut name = part.label.clone();
        if part.names.len() > 1 {
            name = format!("{name} \u{d7}{}", part.names.len());
        }
        let mut first = vec![
            self.sign(sign(part.presence)),
            right(
                part.mark.map_or(String::new(), |n| n.to_string()),
                Look::Dim,
            ),
            left(clean(&name), Look::Plain),
        ];
        // Rows below the first leave the columns of sign, number and name free.
        let free = || vec![blank(), blank(), blank()];
        let units = part.units;
        if part.presence != Presence::Stays {
            let size = LocalAxis::ALL.map(|axis| units.figure(part.size.along(axis)).plain());
            let stock = part
                .stock
                .as_ref()
                .map(|step| figures(step, units, Precision::Size));
            let stock = stock.map_or(String::new(), |[old, new, _]| format!("  {old}{new}"));
            first.push(left(
                format!(
                    "{} {}{}",
                    size.join(" \u{d7} "),
                    units.name(),
                    clean(&stock)
                ),
                Look::Plain,
            ));
            table.open(first);
            return;
        }
        let mut rows: Vec<Vec<Cell>> = Vec::new();
        for size in &part.sizes {
            let what = match size.axis {
                LocalAxis::Length => "length",
                LocalAxis::Width => "width",
                LocalAxis::Thickness => "thick",
            };
            let what = if size.finished {
                format!("finished {what}")
            } else {
                what.to_owned()
            };
            rows.push(self.step(&what, &size.step, units));
        }
        rows.extend(
            part.stock
                .iter()
                .map(|step| self.step("stock", step, units)),
        );
        // Of a part of another size the cuts follow; they are told where they are all that changed.
        let resized = !part.sizes.is_empty();
        if !resized {
            rows.extend(part.cuts.iter().flat_map(|cut| self.cut(cut, units)));
        }
        let reuse = match part.reuse {
            Reuse::MakeAgain => Look::Warn,
            _ => Look::Dim,
        };
        if let Some(row) = rows.first_mut() {
            row.push(left(part.reuse.words(), reuse));
        }
        for row in rows {
            let mut cells = std::mem::replace(&mut first, free());
            cells.extend(row);
            table.row(cells);
        }
        if resized && !part.cuts.is_empty() {
            let mut cells = free();
            cells.push(left("its cuts too", Look::Dim));
            table.open(cells);
        }
    }

    fn cut(&self, cut: &CutChange, units: Units) -> Vec<Vec<Cell>> {
        if cut.presence != Presence::Stays {
            let text = format!("{} {}", sign(cut.presence), cut.what);
            return vec![vec![left(clean(&text), Look::Dim)]];
        }
        let facets = cut.facets.iter();
        facets
            .map(|facet| self.setting(facet, &format!("{}, {}", cut.what, facet.what), units))
            .collect()
    }

    fn moves(&self, all: &Consequences, out: &mut String) {
        if all.moves.is_empty() {
            return;
        }
        let count = all.moves.iter().map(|m| m.names.len()).sum();
        self.head("Moved", count, "made as before", out);
        let mut table = Table::default();
        for group in &all.moves {
            const MOST: usize = 8;
            let mut labels = group
                .labels
                .iter()
                .take(MOST)
                .cloned()
                .collect::<Vec<_>>()
                .join("; ");
            if group.labels.len() > MOST {
                labels.push_str(&format!(" and {} more", group.labels.len() - MOST));
            }
            table.open(vec![
                left(
                    format!("{} {}", direction(group), group.units.name()),
                    Look::Plain,
                ),
                left(clean(&labels), Look::Plain),
            ]);
        }
        table.write("  ", self.paint, out);
    }

    fn purchases(&self, all: &Consequences, out: &mut String) {
        if all.purchases.is_empty() {
            return;
        }
        self.head("To buy", all.purchases.len(), "", out);
        let mut table = Table::default();
        for line in &all.purchases {
            let mut what = line.what.clone();
            if !line.size.is_empty() {
                let size = line.size.iter().map(|l| self.units.figure(*l).plain());
                what = format!("{what} {}", size.collect::<Vec<_>>().join(" \u{d7} "));
            }
            let mut first = vec![
                self.sign(sign(line.presence)),
                left(clean(&what), Look::Plain),
            ];
            let steps = [
                ("", &line.amount),
                ("used", &line.used),
                ("price", &line.price),
            ];
            for (what, step) in steps {
                let Some(step) = step else { continue };
                let mut row = std::mem::replace(&mut first, vec![blank(), blank()]);
                row.extend(self.step(what, step, self.units));
                table.row(row);
            }
        }
        table.write("  ", self.paint, out);
    }

    fn totals(&self, all: &Consequences, out: &mut String) {
        let totals: Vec<_> = all.cost.iter().chain(&all.totals).collect();
        if totals.is_empty() {
            return;
        }
        self.head("In all", totals.len(), "", out);
        let mut table = Table::default();
        for total in totals {
            let mut row = vec![left("~", Look::Plain)];
            row.extend(self.step(&total.what, &total.step, self.units));
            table.row(row);
        }
        table.write("  ", self.paint, out);
    }

    fn setups(&self, all: &Consequences, out: &mut String) {
        if all.setups.is_empty() {
            return;
        }
        self.head("Setups", all.setups.len(), self.units.name(), out);
        let mut table = Table::default();
        for setup in &all.setups {
            let number = setup.new_number.or(setup.old_number);
            let mut first = vec![
                self.sign(sign(setup.presence)),
                right(number.map_or(String::new(), |n| n.to_string()), Look::Dim),
                left(clean(&setup.what), Look::Plain),
            ];
            if setup.settings.is_empty() {
                table.row(std::mem::take(&mut first));
            }
            for facet in &setup.settings {
                let mut row = std::mem::replace(&mut first, vec![blank(), blank(), blank()]);
                row.extend(self.setting(facet, &facet.what, self.units));
                table.row(row);
            }
        }
        table.write("  ", self.paint, out);
    }

    fn checks(&self, checks: &[CheckChange], out: &mut String) {
        if checks.is_empty() {
            return;
        }
        let count = checks.iter().map(|check| check.subjects.len()).sum();
        self.head("Checks", count, "", out);
        let mut table = Table::default();
        for check in checks {
            let state = |held: &Option<Held>| {
                held.as_ref()
                    .map_or("not there", |held| held.outcome)
                    .to_owned()
            };
            let look = match check.new.as_ref().map(|held| held.outcome) {
                Some("error") => Look::Old,
                Some("caution") => Look::Warn,
                Some("holds") | None => Look::New,
                _ => Look::Plain,
            };
            let figure = |held: &Option<Held>| {
                held.as_ref()
                    .map_or(String::new(), |h| h.figure.text(check.units))
            };
            let mut figures = vec![figure(&check.old), figure(&check.new)];
            figures.retain(|text| !text.is_empty());
            figures.dedup();
            table.row(vec![
                left(state(&check.old), Look::Dim),
                left("→", Look::Dim),
                left(state(&check.new), look),
                left(clean(&subjects(&check.subjects)), Look::Plain),
                left(figures.join(" → "), Look::Plain),
                left(&*check.code, Look::Dim),
            ]);
        }
        table.write("  ", self.paint, out);
    }
}

/// Parts of one assembly together, in the order in which the assemblies first occur.
fn grouped(parts: &[PartChange]) -> Vec<&PartChange> {
    let mut order: Vec<(&str, &str)> = Vec::new();
    let mut out: Vec<&PartChange> = parts.iter().collect();
    for part in parts {
        let at = (part.piece.as_str(), part.within.as_str());
        if !order.contains(&at) {
            order.push(at);
        }
    }
    let key = |part: &&PartChange| {
        order
            .iter()
            .position(|k| *k == (part.piece.as_str(), part.within.as_str()))
    };
    out.sort_by_key(key);
    out
}

/// What was looked at; of many alike the first two.
fn subjects(all: &[String]) -> String {
    match all {
        [first, second, rest @ ..] if !rest.is_empty() => {
            format!("{first}; {second}; and {} more", rest.len())
        }
        few => few.join("; "),
    }
}

fn blank() -> Cell {
    left("", Look::Plain)
}

/// A maker's text must not steer the terminal.
fn clean(text: &str) -> String {
    safe(&text.replace(['\n', '\r', '\t'], " ")).into_owned()
}
