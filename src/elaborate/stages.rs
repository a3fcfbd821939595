//! The maker's own order of assembly: `assemble`, and its stages.

use super::build::Builder;
use super::stmt::Stmt;
use super::{Poison, Res};
use crate::diag::{Diagnostic, code};
use crate::model::{Edge, Origin};

/// A stage, its parts by their panels.
#[derive(Clone, Debug)]
pub struct StageWork {
    /// What goes in.
    pub panels: Vec<usize>,
    /// The side from which it comes, if stated.
    pub from: Option<Edge>,
    /// The line.
    pub origin: Origin,
}

impl Builder<'_> {
    /// The stages that the block of a body states.
    pub fn make_stages(&mut self, body: usize) {
        let stmt = self.bodies[body].stmt.clone();
        let mut blocks = stmt.forms("assemble").filter(|line| !line.damaged);
        let Some(block) = blocks.next() else {
            return;
        };
        if let Some(second) = blocks.next() {
            self.sink.push(
                Diagnostic::new(
                    &code::NAME_TWICE,
                    "a second order of assembly",
                    second.head_span,
                    "`assemble` stands once in a case",
                )
                .at(block.head_span, "the first is here")
                .help("let the stages of both stand in one block"),
            );
        }
        let mut stages: Vec<StageWork> = Vec::new();
        for line in block.forms("stage").filter(|line| !line.damaged) {
            let stage = self.stage(body, line, &stages);
            stages.extend(self.settle(stage));
        }
        self.stages.insert(body, stages);
    }

    fn stage(&mut self, body: usize, line: &Stmt, before: &[StageWork]) -> Res<StageWork> {
        let mut panels: Vec<usize> = Vec::new();
        for name in &line.names {
            for panel in self.panels_of(body, name, &line.env)? {
                let earlier = before.iter().find(|stage| stage.panels.contains(&panel));
                if earlier.is_some() || panels.contains(&panel) {
                    let first = earlier.map_or(line.head_span, |stage| stage.origin.span);
                    let name_of = &self.panels[panel].name;
                    self.sink.push(
                        Diagnostic::new(
                            &code::NAME_TWICE,
                            format!("`{name_of}` goes in twice"),
                            name.span,
                            "named in a stage already",
                        )
                        .at(first, "in this one")
                        .help("leave it out of one of them"),
                    );
                    return Err(Poison);
                }
                panels.push(panel);
            }
        }
        let from = line.clause("from").and_then(|clause| clause.of.value());
        Ok(StageWork {
            panels,
            from: from.and_then(|edge| Edge::from_word(edge.as_name()?)),
            origin: line.origin(),
        })
    }
}
