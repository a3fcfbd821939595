//! Hardware that is bought and fitted, and for which nothing is machined by this book: catches and locks
//! of leaves, feet and straps of cases. Where it goes is for its own sheet to say.

use super::build::Builder;
use super::stmt::Stmt;
use super::value;
use crate::diag::{Diagnostic, code};
use crate::model::{AssemblyId, HardwareId, HardwareUse};
use crate::source::Span;
use std::collections::BTreeMap;

impl Builder<'_> {
    /// The feet and straps of a case.
    pub fn make_fitted(&mut self, body: usize) {
        let stmt = self.bodies[body].stmt.clone();
        for word in ["foot", "strap"] {
            let label = self.bodies[body].label.clone();
            self.take_fitted(body, &label, &stmt, word);
        }
    }

    /// What the lines of this word in a block take, and how many: for the thing of this label.
    pub fn take_fitted(
        &mut self,
        body: usize,
        label: &str,
        stmt: &Stmt,
        word: &str,
    ) -> Vec<(HardwareId, u32)> {
        let many = match word {
            "catch" => "catches",
            "foot" => "feet",
            "strap" => "straps",
            "stay" => "stays",
            _ => "locks",
        };
        let mut taken = Vec::new();
        let mut had: BTreeMap<HardwareId, Span> = BTreeMap::new();
        for line in stmt.forms(word) {
            let found = self.hardware_of(line);
            let count = line.count.as_ref().ok_or(super::Poison);
            let count = count.and_then(|count| value::count(self, &line.env, count));
            let (Ok((hardware, _)), Ok(count)) = (found, count) else {
                self.settle::<()>(Err(super::Poison));
                continue;
            };
            let first = *had.entry(hardware).or_insert(line.span);
            if first != line.span {
                self.sink.push(
                    Diagnostic::new(
                        &code::LINE_DOUBLED,
                        format!("the same `{word}` is stated twice"),
                        line.span,
                        "again here",
                    )
                    .at(first, "it was stated here")
                    .help("state on one line how many there are"),
                );
                continue;
            }
            self.hardware.push(HardwareUse {
                hardware,
                count,
                reason: format!("{label}, {many}"),
                assembly: AssemblyId(body as u32),
            });
            taken.push((hardware, count));
        }
        taken
    }
}
