//! A cut, or what is joined to a part, in wood that a profile, the lathe or the spokeshave takes.

use super::name;
use crate::diag::{Diagnostic, code};
use crate::model::{Box3, Part, PartId, Shaped};
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;
use crate::source::Span;
use std::collections::BTreeSet;

const RULE: &str = "shapes, placement rules 2.7";

/// What lies in a shape.
struct Fact {
    what: String,
    line: Span,
    shared: Box3,
}

/// Holds every shape against the cuts of its part and against what lies on the part there.
pub fn check(view: &View, report: &mut Report) {
    for part in &view.piece.parts {
        for shaped in &part.shaped {
            let subject = format!("{}, {}", view.label(part), shaped.shape.word());
            let facts = found(view, part, shaped);
            if facts.is_empty() {
                report.holds(
                    Measured::none_of(&code::CUT_IN_SHAPE, subject.clone(), 0)
                        .by("cuts and joints in it")
                        .from(RULE)
                        .lines([shaped.origin.span]),
                );
            }
            for fact in facts {
                let measured = Measured::none_of(&code::CUT_IN_SHAPE, subject.clone(), 1)
                    .by(format!("{} lies in it", fact.what))
                    .from(RULE)
                    .lines([shaped.origin.span, fact.line]);
                report.fails(measured, diagnostic(view, part, shaped, &fact));
            }
        }
    }
}

fn found(view: &View, part: &Part, shaped: &Shaped) -> Vec<Fact> {
    let zone = part.to_piece(&shaped.zone);
    let mut out = Vec::new();
    let mut met: BTreeSet<PartId> = BTreeSet::new();
    for cut in &part.cuts {
        // Where strips or mouldings meet at a corner, the profile runs on round it.
        if cut.kind == crate::model::CutKind::Mitre {
            continue;
        }
        let shared = cut.solids.iter().find_map(|solid| {
            let shared = part.to_piece(&solid.bounds()).meet(&zone);
            shared.filter(|b| !b.is_empty())
        });
        if let Some(shared) = shared {
            met.extend(view.visitor(part.id, cut));
            out.push(Fact {
                what: name(view, part, cut),
                line: cut.origin.span,
                shared,
            });
        }
    }
    for joint in view.joints_of(part.id) {
        let other = if joint.a == part.id { joint.b } else { joint.a };
        let own = view.part(other).host == Some(part.id) || part.host == Some(other);
        // Of a return, which tapers to nothing at its mitre, the zone is larger than its wood.
        if own || met.contains(&other) || part.is_return() {
            continue;
        }
        // At a mitre both are moulded alike.
        if joint.kind == crate::model::JointKind::Mitre {
            continue;
        }
        let shared = joint
            .contact
            .meet(&zone)
            .filter(crate::rules::solids::is_area);
        // Members of one frame are moulded as one, round its corners.
        let other_part = view.part(other);
        let together = |shared: &Box3| {
            let mut shapes = other_part.shaped.iter();
            shapes.any(|s| other_part.to_piece(&s.zone).meet(shared).is_some())
        };
        if let Some(shared) = shared.filter(|shared| !together(shared)) {
            out.push(Fact {
                what: view.tick(other),
                line: joint.origin.span,
                shared,
            });
        }
    }
    out
}

fn diagnostic(view: &View, part: &Part, shaped: &Shaped, fact: &Fact) -> Diagnostic {
    let size: Vec<String> = crate::model::Axis::ALL
        .into_iter()
        .map(|axis| fact.shared.extent(axis))
        .filter(|extent| extent.is_positive())
        .map(|extent| view.text(extent))
        .collect();
    Diagnostic::new(
        &code::CUT_IN_SHAPE,
        format!(
            "{} lies in the {} of {}",
            fact.what,
            shaped.shape.word(),
            view.tick(part.id)
        ),
        shaped.origin.span,
        "this wood goes",
    )
    .at(fact.line, "here it is wanted")
    .note(format!("they share {}", size.join(" by ")))
    .help("end the shape before it, or move what lies there")
}
