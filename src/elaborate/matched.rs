//! Fronts whose grain runs on from one to the next: a row that must come from one sheet in sequence.

use super::build::Builder;
use super::label;
use super::stmt::Stmt;
use crate::diag::{Diagnostic, code};
use crate::model::{Axis, Box3, Matched, PartId, SheetGrain, StockKind};
use crate::schema::NameUse;

impl Builder<'_> {
    /// The `matched` lines of every case, once its fronts are made.
    pub fn matched_rows(&mut self) -> Vec<Matched> {
        let mut out = Vec::new();
        for body in 0..self.bodies.len() {
            let stmt = self.bodies[body].stmt.clone();
            for line in stmt.forms("matched").filter(|l| !l.damaged) {
                out.extend(self.matched(body, line));
            }
        }
        out
    }

    fn matched(&mut self, body: usize, line: &Stmt) -> Option<Matched> {
        let mut parts: Vec<PartId> = Vec::new();
        for name in &line.names {
            let found = self.fronts_of(body, name, line)?;
            parts.extend(
                found
                    .into_iter()
                    .filter(|p| !parts.contains(p))
                    .collect::<Vec<_>>(),
            );
        }
        let row = match parts.len() {
            0 => return None,
            1 => Err("one front alone follows nothing".to_owned()),
            _ => self.row_of(&parts),
        };
        match row {
            Ok(parts) => Some(Matched {
                parts,
                origin: line.origin(),
            }),
            Err(why) => {
                self.sink.push(
                    Diagnostic::new(
                        &code::STOCK_MATCHED,
                        "fronts that are matched can't come from one sheet in sequence",
                        line.span,
                        why,
                    )
                    .help("match fronts of one sheet stock with grain that stand side by side, or one above the other, and are equally large the other way"),
                );
                None
            }
        }
    }

    /// The fronts that a name stands for: a door, both leaves of a pair, the face of a drawer, each of an
    /// array.
    fn fronts_of(&mut self, body: usize, name: &NameUse, line: &Stmt) -> Option<Vec<PartId>> {
        let index = self.indices(name, &line.env).ok()?;
        let path = &self.bodies[body].path;
        let full = format!("{path}.{}", label::indexed(&name.text, &index));
        let of = |leaf: &str| {
            let rest = leaf.strip_prefix(full.as_str());
            rest.is_some_and(|rest| rest.is_empty() || rest.starts_with(['.', '[', ',']))
        };
        let parts: Vec<PartId> = self
            .leaves
            .iter()
            .filter(|leaf| of(&leaf.path))
            .map(|leaf| leaf.part)
            .collect();
        if parts.is_empty() && !self.bodies[body].stmt.omits(&name.text) {
            if !self.excused(body, &name.text) {
                self.sink.push(
                    Diagnostic::new(
                        &code::NAME_UNKNOWN,
                        format!("no front is called `{}`", name.text),
                        name.span,
                        "no door, flap or drawer with a face",
                    )
                    .help("write the names of doors and drawers of this case"),
                );
            }
            return None;
        }
        Some(parts)
    }

    /// The fronts in the order in which they are sawn, as one looks at them with the grain of the sheet
    /// along theirs; or why they are no row.
    fn row_of(&self, parts: &[PartId]) -> Result<Vec<PartId>, String> {
        let panel = |part: &PartId| &self.panels[part.0 as usize];
        let first = panel(&parts[0]);
        if parts.iter().any(|p| panel(p).stock != first.stock) {
            return Err("they are not of one stock".into());
        }
        let stock = self.project.stocks.get_index(first.stock.0 as usize);
        let grain = match stock.map(|(_, stock)| &stock.kind) {
            Some(StockKind::Sheet { grain, .. }) => *grain,
            _ => return Err("they are not of a sheet".into()),
        };
        if grain == SheetGrain::None {
            return Err("there is no grain to run on".into());
        }
        let along = first.grain;
        if parts.iter().any(|p| panel(p).grain != along) {
            return Err("their grain does not run one way".into());
        }
        let core = |part: &PartId| panel(part).core;
        let level = |axis: Axis| {
            let span = |b: Box3| (b.lo[axis as usize], b.hi[axis as usize]);
            parts.iter().all(|p| span(core(p)) == span(core(&parts[0])))
        };
        let row = match (level(Axis::Z), level(Axis::X)) {
            (true, false) => Axis::X,
            (false, true) => Axis::Z,
            _ => {
                return Err(
                    "they do not stand in one row, or are not equally large across it".into(),
                );
            }
        };
        if along != Axis::X && along != Axis::Z {
            return Err("their grain runs into the case".into());
        }
        let mut sorted = parts.to_vec();
        sorted.sort_by_key(|p| core(p).lo[row as usize]);
        for pair in sorted.windows(2) {
            let mut between = core(&pair[0]);
            between.set_face(row.low(), core(&pair[0]).face(row.high()));
            between.set_face(row.high(), core(&pair[1]).face(row.low()));
            let mut others = self
                .leaves
                .iter()
                .filter(|leaf| !parts.contains(&leaf.part));
            if let Some(other) = others.find(|leaf| core(&leaf.part).overlaps(&between)) {
                let name = other
                    .path
                    .split_once('.')
                    .map_or(other.path.as_str(), |(_, name)| name);
                return Err(format!("`{name}` stands between them"));
            }
        }
        // Upward where the length of the sheet stands upright, downward where it lies level.
        let upright = (along == Axis::Z) == (grain == SheetGrain::Long);
        if row == Axis::Z && !upright {
            sorted.reverse();
        }
        Ok(sorted)
    }
}
