//! A line for one element of an array changes that element only (language rules, arrays):
//! `drawer box[2, 6] { … }` beside the line of the drawers `box`.

use super::build::Builder;
use super::stmt::{Stmt, merge};
use super::{Poison, Res};
use crate::diag::{Diagnostic, code};

/// Fittings, which go in each opening of an array.
const FITTINGS: &[&str] = &["door", "doors", "drawer", "shelves"];

impl Stmt {
    /// Whether the line speaks of one element, by its index.
    pub fn is_of_element(&self) -> bool {
        self.names.first().is_some_and(|n| !n.index.is_empty())
    }
}

impl Builder<'_> {
    /// The line of a fitting as it stands for one opening: with what the lines of that element change.
    pub fn element(&mut self, body: usize, line: &Stmt, space: usize) -> Res<Stmt> {
        let stmt = self.bodies[body].stmt.clone();
        let mut out = line.clone();
        for own in stmt.forms(line.word()).filter(|l| l.is_of_element()) {
            let Some(name) = own.names.first().filter(|n| n.text == line.name()) else {
                continue;
            };
            let index = self.indices(name, &own.env)?;
            if self.spaces[space].index.starts_with(&index) {
                out = Stmt {
                    names: out.names.clone(),
                    head_span: out.head_span,
                    ..merge(out, own)
                };
            }
        }
        Ok(out)
    }

    /// Reports lines for elements that there are not.
    pub fn check_elements(&mut self, body: usize) {
        let stmt = self.bodies[body].stmt.clone();
        let fitting = |l: &&Stmt| FITTINGS.contains(&l.word());
        for own in stmt.lines.iter().filter(fitting) {
            if own.is_of_element() {
                let done = self.check_element(body, &stmt, own);
                self.settle(done);
            }
        }
    }

    fn check_element(&mut self, body: usize, stmt: &Stmt, own: &Stmt) -> Res<()> {
        let name = own.names.first().cloned().ok_or(Poison)?;
        let index = self.indices(&name, &own.env)?;
        let mut there = false;
        for line in stmt.forms(own.word()) {
            if !line.is_of_element() && line.name() == name.text {
                let spaces = self.target_spaces(body, line)?;
                there |= spaces
                    .iter()
                    .any(|s| self.spaces[*s].index.starts_with(&index));
            }
        }
        if there {
            return Ok(());
        }
        let full = super::label::indexed(&name.text, &index);
        self.sink.push(
            Diagnostic::new(
                &code::NAME_UNKNOWN,
                format!("there is no `{full}` to change"),
                name.span,
                "no such element",
            )
            .help(format!(
                "a line `{} {} in …` makes them all; this one changes one of them",
                own.word(),
                name.text
            )),
        );
        Err(Poison)
    }
}
