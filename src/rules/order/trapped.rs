//! Parts that can't be put together: whatever is left for last, something is in its way.
//!
//! What is looked for, and what is not, is told in [`crate::assembly`]. Each trap is told once, with the
//! joints that make it and, found by trying each, those that would free it if made otherwise.

use super::toward;
use crate::assembly::{self, Cure, Hold, Trap};
use crate::diag::{Diagnostic, code};
use crate::model::{Assembly, AssemblyKind, CutKind, Edge, Joint, JointId, PartId};
use crate::rules::report::{Measured, Report};
use crate::rules::solids;
use crate::rules::view::View;
use crate::rules::words;
use crate::solid::Overflow;
use crate::source::Span;

const SOURCE: &str = "blocking graphs over six directions (Wilson and Latombe, 1994)";

/// Proves of every assembly that its parts can be brought together one after the other.
pub fn check(view: &View, report: &mut Report) {
    let (mut clean, mut looked) = (true, 0);
    for assembly in &view.piece.assemblies {
        // Where cases meet, what is one by then is set down in its place.
        if assembly.kind == AssemblyKind::Fitted && assembly.parts.is_empty() {
            continue;
        }
        let joints = assembly::joints_of(view.piece, assembly.id);
        if joints.is_empty() {
            continue;
        }
        looked += joints.len();
        let measured = |count: usize| {
            let subject = format!("{}, parts that can't get in", assembly.label);
            Measured::none_of(&code::ORDER_TRAPPED, subject, count).from(SOURCE)
        };
        match assembly::trapped(view.piece, &joints) {
            Ok(traps) => {
                for trap in traps {
                    clean = false;
                    if clash(view, &trap) {
                        continue;
                    }
                    let spans = trap.holds.iter().map(|h| view.joint(h.joint).origin.span);
                    let measured = measured(trap.parts.len()).lines(spans);
                    report.fails(measured, trapped(view, assembly, &trap));
                }
            }
            Err(Overflow) => {
                clean = false;
                let lines = joints.iter().map(|joint| joint.origin.span);
                let measured = measured(1).by("numbers that do not fit").lines(lines);
                let span = joints
                    .first()
                    .map_or(view.piece.origin.span, |j| j.origin.span);
                report.fails(measured, too_fine(assembly, span));
            }
        }
    }
    if clean {
        let subject = format!("{}, parts that can't get in", view.piece.title);
        report.holds(
            Measured::none_of(&code::ORDER_TRAPPED, subject, 0)
                .by(format!("{looked} joints, each with a way to close"))
                .from(SOURCE),
        );
    }
}

/// Whether two of the parts share space, strips included: that is told already, and nothing that is in
/// another thing comes out of it.
fn clash(view: &View, trap: &Trap) -> bool {
    let with_strips = |id: &PartId| -> Vec<PartId> {
        let strips = view.part(*id).bands.iter().map(|band| band.strip);
        std::iter::once(*id).chain(strips).collect()
    };
    let bodies: Vec<Vec<PartId>> = trap.parts.iter().map(with_strips).collect();
    let shares = |a: &[PartId], b: &[PartId]| {
        a.iter().any(|one| {
            b.iter()
                .any(|other| !solids::shared(view, *one, *other).is_empty())
        })
    };
    bodies
        .iter()
        .enumerate()
        .any(|(i, body)| bodies[..i].iter().any(|other| shares(body, other)))
}

fn too_fine(assembly: &Assembly, span: Span) -> Diagnostic {
    Diagnostic::new(
        &code::VALUE_OVERFLOW,
        format!(
            "whether `{}` goes together cannot be computed exactly",
            assembly.path
        ),
        span,
        "slanted cuts with too long fractions",
    )
    .help("give the slanted cuts rounder sizes or slopes")
}

fn trapped(view: &View, assembly: &Assembly, trap: &Trap) -> Diagnostic {
    let names: Vec<String> = trap.parts.iter().map(|part| view.tick(*part)).collect();
    let mut lines: Vec<&Hold> = trap.holds.iter().collect();
    // The line that was written last closes the trap.
    lines.sort_by_key(|hold| std::cmp::Reverse(view.joint(hold.joint).origin.span.start));
    lines.dedup_by_key(|hold| view.joint(hold.joint).origin.span);
    let mut lines = lines.into_iter();
    let span = |hold: &Hold| view.joint(hold.joint).origin.span;
    let place = lines.next().map_or_else(
        || trap.parts.first().map(|part| view.part(*part).origin.span),
        |hold| Some(span(hold)),
    );
    let mut out = Diagnostic::new(
        &code::ORDER_TRAPPED,
        format!("{} can't be put together", words::and(&names)),
        place.unwrap_or(view.piece.origin.span),
        "none of them can be the last to go in",
    );
    for hold in lines {
        out = out.at(span(hold), "and this holds them");
    }
    for hold in &trap.holds {
        out = out.note(ways(view, hold));
    }
    if trap.holds.is_empty() {
        out = out.note(format!(
            "in `{}`, one is in the way of the other",
            assembly.path
        ));
    }
    out = out.note(
        "so in each of the six directions one is in the way, of each alone and of any together",
    );
    help(view, trap, out)
}

/// Toward which sides one part of a joint can leave the other.
fn ways(view: &View, hold: &Hold) -> String {
    let joint = view.joint(hold.joint);
    let (a, b) = (view.tick(joint.a), view.tick(joint.b));
    let sides: Vec<&str> = hold.ways.iter().map(|edge| toward(*edge)).collect();
    match sides.as_slice() {
        [] => format!("{a} can't leave {b} at all ({})", words::joint(joint.kind)),
        sides => format!(
            "{a} can leave {b} {} only ({})",
            sides.join(" or "),
            words::joint(joint.kind)
        ),
    }
}

/// What would free them, in the maker's words.
fn help(view: &View, trap: &Trap, mut out: Diagnostic) -> Diagnostic {
    let pairs = |joints: &[JointId]| {
        let name = |part: PartId| view.name(&view.part(part).path);
        let (mut from, mut to) = (Vec::new(), Vec::new());
        for joint in joints.iter().map(|id| view.joint(*id)) {
            for (names, part) in [(&mut from, joint.a), (&mut to, joint.b)] {
                if !names.contains(&name(part)) {
                    names.push(name(part));
                }
            }
        }
        (from, to)
    };
    let mut freed = false;
    for cure in &trap.cures {
        if let Cure::Plain(joints) = cure {
            let (from, to) = pairs(joints);
            let (or, from, to) = (
                if freed { "or " } else { "" },
                from.join(", "),
                to.join(", "),
            );
            out = out.help(format!(
                "{or}`join {from} to {to} with screws …`, or `with butt`: what is driven last holds nothing before"
            ));
            freed = true;
        }
    }
    let slots = trap.cures.iter().find_map(|cure| match cure {
        Cure::Open(joints, _) => Some(joints),
        Cure::Plain(_) => None,
    });
    if let Some(joints) = slots {
        let ends = trap.cures.iter().filter_map(|cure| match cure {
            Cure::Open(of, end) if of == joints => Some(format!("`open_to {}`", end.word())),
            _ => None,
        });
        let (from, to) = pairs(joints);
        let or = if freed { "or " } else { "" };
        out = out.help(format!(
            "{or}{} at the joint of {} to {}: slots that are open there, to slide in",
            ends.collect::<Vec<_>>().join(" or "),
            tick(from).join(", "),
            tick(to).join(", "),
        ));
        freed = true;
    }
    for hold in trap.holds.iter().filter(|hold| hold.ways.is_empty()) {
        if let Some(end) = other_end(view, view.joint(hold.joint)) {
            let or = if freed { "or " } else { "" };
            out = out.help(format!(
                "{or}let {} slide in from the other end: `tapered … on {}`",
                view.tick(view.joint(hold.joint).a),
                end.word()
            ));
            freed = true;
            break;
        }
    }
    if freed {
        out
    } else {
        out.help("let several of these joints be plain faces held by screws or nails")
    }
}

/// The end at which a tapered dovetail should be narrow instead, where its housing is shut at the wide one
/// and runs out at the other.
fn other_end(view: &View, joint: &Joint) -> Option<Edge> {
    let part = view.part(joint.b);
    let mut cuts = part.cuts.iter();
    let own =
        cuts.find(|cut| cut.joint == Some(joint.id) && cut.kind == CutKind::DovetailHousing)?;
    let (_, narrow) = own.lean()?;
    let [at_narrow, at_wide] = match narrow.is_far() {
        true => [own.stopped[1], own.stopped[0]],
        false => own.stopped,
    };
    (at_wide && !at_narrow).then(|| part.lay.looks(narrow.opposite()))
}

fn tick(names: Vec<String>) -> Vec<String> {
    names.into_iter().map(|name| format!("`{name}`")).collect()
}
