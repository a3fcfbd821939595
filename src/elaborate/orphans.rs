//! Lines whose head was lost: where a brace closes no block, the lines above it that stand further in
//! are what is left of a block. They are taken out before anyone asks what they mean in the wrong
//! place: the brace was reported, and one mistake gives one report.

use crate::diag::{Diagnostic, code};
use crate::source::Source;
use crate::syntax::tree::{Block, Node};
use std::ops::Range;

/// Takes out what stands in the ranges of lost blocks.
pub fn take_out(source: &Source, reports: &[Diagnostic], nodes: &mut [Node]) {
    let ranges: Vec<Range<u32>> = reports
        .iter()
        .filter(|report| *report.code == code::SYNTAX_BRACE_EXTRA)
        .filter_map(|report| lost_block(source, report.span().start))
        .collect();
    if !ranges.is_empty() {
        clear(nodes, &ranges);
    }
}

/// The bytes of the lines above a brace that stand further in than it.
fn lost_block(source: &Source, brace: u32) -> Option<Range<u32>> {
    let line_at = |i: usize| -> Option<&str> {
        let start = *source.line_starts.get(i)? as usize;
        let end = source
            .line_starts
            .get(i + 1)
            .map_or(source.text.len(), |end| *end as usize);
        source.text.get(start..end)
    };
    let inset = |line: &str| line.len() - line.trim_start().len();
    let (line, _) = source.place(brace);
    let own = line_at(line - 1)?;
    if !own.trim_start().starts_with('}') {
        return None;
    }
    let mut first = line - 1;
    while let Some(above) = first.checked_sub(1) {
        let text = line_at(above)?;
        if !text.trim().is_empty() && inset(text) <= inset(own) {
            break;
        }
        first = above;
    }
    let start = *source.line_starts.get(first)?;
    let end = *source.line_starts.get(line - 1)?;
    (start < end).then_some(start..end)
}

fn clear(nodes: &mut [Node], ranges: &[Range<u32>]) {
    for node in nodes {
        match node {
            Node::Line(line) => {
                if ranges.iter().any(|r| r.contains(&line.head.span.start)) {
                    *node = Node::Bad(line.span);
                } else if let Some(block) = &mut line.block {
                    clear(&mut block.nodes, ranges);
                }
            }
            Node::If(branch) => {
                clear(&mut branch.then.nodes, ranges);
                if let Some(Block { nodes, .. }) = &mut branch.otherwise {
                    clear(nodes, ranges);
                }
            }
            Node::Comment(_) | Node::Blank | Node::Bad(_) => {}
        }
    }
}
