//! A line for one element of an array changes that element only (language rules, arrays):
//! `drawer box[2, 6] { … }` beside the line of the drawers `box`.

use super::build::Builder;
use super::merge::merge;
use super::panels::role_of;
use super::stmt::Stmt;
use super::{Poison, Res};
use crate::diag::{Diagnostic, code};
use crate::source::Span;
use std::collections::BTreeMap;
use std::rc::Rc;

/// Fittings, which go in each opening of an array.
const FITTINGS: &[&str] = &["case", "door", "doors", "flap", "drawer", "shelves"];

impl Stmt {
    /// Whether the line speaks of one element, by its index.
    pub fn is_of_element(&self) -> bool {
        self.names.first().is_some_and(|n| !n.index.is_empty())
    }
}

impl Builder<'_> {
    /// The line of a fitting as it stands for one opening: with what the lines of that element change.
    pub fn element(&mut self, body: usize, line: &Stmt, space: usize) -> Res<Stmt> {
        let index = self.fitting_index(line, space);
        let name = line.name().to_owned();
        self.changed(body, line, &name, &index)
    }

    /// The index of a fitting: that of its opening, or of the turn in which it is repeated.
    pub fn fitting_index(&self, line: &Stmt, space: usize) -> Vec<u32> {
        match self.spaces[space].index.as_slice() {
            [] => line.index.clone(),
            index => index.to_vec(),
        }
    }

    /// A line as it stands for one element of an array.
    pub fn changed(&mut self, body: usize, line: &Stmt, name: &str, index: &[u32]) -> Res<Stmt> {
        let mut out = line.clone();
        if index.is_empty() {
            return Ok(out);
        }
        let stmt = self.bodies[body].stmt.clone();
        let own = self.element_lines(body);
        let own = own.iter().filter_map(|at| stmt.lines.get(*at));
        self.changed_by(own, line.word(), &mut out, name, index)?;
        Ok(out)
    }

    /// The places of the lines of a body that change one element.
    fn element_lines(&mut self, body: usize) -> Rc<Vec<usize>> {
        let lines = &self.bodies[body].stmt.lines;
        let found = self.element_lines.entry(body).or_insert_with(|| {
            let own = lines.iter().enumerate().filter(|(_, l)| l.is_of_element());
            Rc::new(own.map(|(at, _)| at).collect())
        });
        found.clone()
    }

    /// Puts those of these lines that change one element over its line.
    pub fn changed_by<'l>(
        &mut self,
        lines: impl IntoIterator<Item = &'l Stmt>,
        word: &str,
        out: &mut Stmt,
        name: &str,
        index: &[u32],
    ) -> Res<()> {
        let own = |line: &&Stmt| line.word() == word && line.is_of_element();
        for own in lines.into_iter().filter(own) {
            let Some(element) = own.names.first().filter(|n| n.text == name) else {
                continue;
            };
            let of = self.indices(element, &own.env)?;
            if index.starts_with(&of) {
                *out = Stmt {
                    names: out.names.clone(),
                    head_span: out.head_span,
                    index: out.index.clone(),
                    ..merge(out.clone(), own)
                };
            }
        }
        Ok(())
    }

    /// Reports lines for elements that there are not.
    pub fn check_elements(&mut self, body: usize) {
        let stmt = self.bodies[body].stmt.clone();
        let mut had = BTreeMap::new();
        for own in stmt.lines.iter().filter(|l| l.is_of_element()) {
            if FITTINGS.contains(&own.word()) || role_of(own.word()).is_some() {
                let done = self.check_element(body, &stmt, own, &mut had);
                self.settle(done);
            }
        }
    }

    fn check_element(
        &mut self,
        body: usize,
        stmt: &Stmt,
        own: &Stmt,
        had: &mut BTreeMap<(u32, String, Vec<u32>), Span>,
    ) -> Res<()> {
        let name = own.names.first().cloned().ok_or(Poison)?;
        let index = self.indices(&name, &own.env)?;
        let full = super::label::indexed(&name.text, &index);
        let key = (own.layer, name.text.clone(), index.clone());
        let first = *had.entry(key).or_insert(name.span);
        if first != name.span {
            self.sink.push(
                Diagnostic::new(
                    &code::LINE_DOUBLED,
                    format!("`{full}` is changed twice"),
                    name.span,
                    "again here",
                )
                .at(first, "it was changed here")
                .help("write all that is different about it on one line"),
            );
            return Err(Poison);
        }
        let mut there = self.is_lost(body, &name.text, &index);
        if FITTINGS.contains(&own.word()) {
            for line in stmt.forms(own.word()) {
                if !line.is_of_element() && line.name() == name.text {
                    let spaces = self.target_spaces(body, line)?;
                    there |= spaces
                        .iter()
                        .any(|s| self.fitting_index(line, *s).starts_with(&index));
                }
            }
        } else {
            let role = self.role_in(body, own.word());
            there |= self.bodies[body].panels.iter().any(|p| {
                let p = &self.panels[*p];
                p.name == name.text && Some(p.role) == role && p.index.starts_with(&index)
            });
        }
        if there {
            return Ok(());
        }
        let report = Diagnostic::new(
            &code::NAME_UNKNOWN,
            format!("there is no `{full}` to change"),
            name.span,
            "no such element",
        );
        self.sink.push(if own.index.is_empty() {
            report.help(format!(
                "a line `{} {}` makes the whole array; this one changes one of it",
                own.word(),
                name.text
            ))
        } else {
            report.help(format!(
                "what is repeated takes its index by itself: write `{} {}`",
                own.word(),
                name.text
            ))
        });
        Err(Poison)
    }
}
