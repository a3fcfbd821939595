//! A stage of the maker's own order of assembly that can't be done: what stands by then is in the way.

use super::toward;
use crate::assembly::{self, Barred};
use crate::diag::{Diagnostic, code};
use crate::model::{Assembly, Edge, JointId, PartId};
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;
use crate::rules::words;

const SOURCE: &str = "blocking graphs over six directions (Wilson and Latombe, 1994)";

/// Proves of every stated order that each of its stages can be done.
pub fn check(view: &View, report: &mut Report) {
    for assembly in view.piece.assemblies.iter() {
        if assembly.stages.is_empty() {
            continue;
        }
        let joints = assembly::joints_of(view.piece, assembly.id);
        let subject = format!("{}, stages of its stated order", assembly.label);
        let lines = assembly.stages.iter().map(|stage| stage.origin.span);
        // What does not fit a number is told where parts are trapped.
        match assembly::barred(view.piece, &joints) {
            Ok(Some(barred)) => {
                let measured = Measured::none_of(&code::ORDER_BARRED, subject, 1)
                    .by("stages that can't be done")
                    .from(SOURCE)
                    .lines(lines)
                    .of(assembly.id);
                report.fails(measured, diagnostic(view, assembly, &barred));
            }
            Ok(None) => report.holds(
                Measured::none_of(&code::ORDER_BARRED, subject, 0)
                    .by(format!(
                        "{} stages, each with a way in",
                        assembly.stages.len()
                    ))
                    .from(SOURCE),
            ),
            Err(_) => {}
        }
    }
}

fn diagnostic(view: &View, assembly: &Assembly, barred: &Barred) -> Diagnostic {
    let names = |parts: &[PartId]| -> String {
        let ticks: Vec<String> = parts.iter().map(|part| view.tick(*part)).collect();
        words::and(&ticks)
    };
    let brought = names(&barred.parts);
    let (span, when) = match assembly.stages.get(barred.stage) {
        Some(stage) => (stage.origin.span, format!("at stage {}", barred.stage + 1)),
        None => (
            assembly
                .stages
                .last()
                .map_or(view.piece.origin.span, |stage| stage.origin.span),
            "after the last stage".to_owned(),
        ),
    };
    let mut out = Diagnostic::new(
        &code::ORDER_BARRED,
        format!("{brought} can't get in {when}"),
        span,
        match barred.ways.as_slice() {
            [_] => "by then something is in the way from there",
            _ => "by then something is in the way, whichever way it comes",
        },
    );
    for (edge, parts, joints) in &barred.ways {
        out = out.note(way(view, *edge, &names(parts), joints));
    }
    let fewest = barred.ways.iter().min_by_key(|(_, parts, _)| parts.len());
    if let Some((edge, parts, _)) = fewest.filter(|(_, parts, _)| !parts.is_empty()) {
        out = out.help(format!(
            "let {} go in later: then it comes from the {}",
            names(parts),
            edge.word()
        ));
    }
    out.help("leave `assemble` out, and an order is found where there is one")
}

/// What is in the way of what comes from a side.
fn way(view: &View, edge: Edge, parts: &str, joints: &[JointId]) -> String {
    let mut kinds: Vec<&str> = joints
        .iter()
        .map(|joint| words::joint(view.joint(*joint).kind))
        .collect();
    kinds.sort_unstable();
    kinds.dedup();
    let by = match kinds.as_slice() {
        [] => String::new(),
        kinds => format!(" (its {} closes another way)", kinds.join(", ")),
    };
    let moves = toward(edge.opposite());
    format!("from the {}, moved {moves}: {parts}{by}", edge.word())
}
