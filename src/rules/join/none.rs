//! A part that is joined, fixed or banded to nothing: nothing holds it in the piece. So also a case on
//! another that is held to nothing.

use super::{carries, join_line, loose};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{AssemblyId, AssemblyKind, CaseBox, Edge, Part, PartId, Role};
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;
use std::collections::BTreeSet;

/// Looks for parts of cases and drawers without a joint that carry nothing (those that do are the
/// error `join.none_carries`), and for loose shelves that lie on nothing.
pub fn check(view: &View, report: &mut Report) {
    let mut clean = true;
    for part in loose(view) {
        clean = false;
        if carries(view, part.id).is_some() {
            continue;
        }
        let measured =
            Measured::none_of(&code::JOIN_NONE, format!("{}, joints", view.label(part)), 1)
                .by("parts without a joint")
                .from("placement rules 1.3")
                .lines([part.origin.span])
                .of(part.assembly);
        let name = view.tick(part.id);
        if view.kind(part) == AssemblyKind::Fitted {
            report.fails(measured, not_held(view, part));
            continue;
        }
        report.fails(
            measured,
            Diagnostic::new(
                &code::JOIN_NONE,
                format!("{name} is joined to nothing"),
                part.origin.span,
                "no `join` line names it",
            )
            .help(join_line(view, part)),
        );
    }
    for (below, upper) in stacked(view) {
        clean = false;
        let label = &view.piece.assembly(upper.assembly).label;
        let own = &upper.name;
        let measured = Measured::none_of(&code::JOIN_NONE, format!("{label}, what holds it"), 1)
            .by("cases that stand on others and are held to nothing")
            .from("placement rules 1.8")
            .lines([upper.origin.span])
            .of(upper.assembly);
        report.fails(
            measured,
            Diagnostic::new(
                &code::JOIN_NONE,
                format!("`{own}` stands on `{below}` and is held to nothing"),
                upper.origin.span,
                "no `fix` line names it",
            )
            .help(format!("`fix {below} to {own} with screws …`")),
        );
    }
    for set in view.piece.shelves.iter().filter(|set| set.pins.is_none()) {
        clean = false;
        let name = view.name(&set.path);
        let subject = format!("{}, pins", crate::rules::fit::label(view, &set.path));
        let measured = Measured::none_of(&code::JOIN_NONE, subject, 1)
            .by("loose shelves without pins")
            .from("adjustable shelves, placement rules 2.6")
            .lines([set.origin.span]);
        report.fails(
            measured,
            Diagnostic::new(
                &code::JOIN_NONE,
                format!("nothing carries the shelves `{name}`"),
                set.origin.span,
                "no `pins` in its block",
            )
            .help("add a line `pins 4 of … pitch … set_back …`"),
        );
    }
    if clean {
        let subject = format!("{}, parts joined to nothing", view.piece.title);
        report.holds(
            Measured::none_of(&code::JOIN_NONE, subject, 0)
                .by(format!("{} joints", view.piece.joints.len()))
                .from("placement rules 1.3"),
        );
    }
}

/// A filler, worktop or kick that nothing holds where it stands.
fn not_held(view: &View, part: &Part) -> Diagnostic {
    // Lengths of one worktop are held by one line.
    let name = part.path.split('[').next().unwrap_or(&part.path);
    let mut around = part.core;
    for edge in Edge::ALL {
        around.grow(edge, Length::mm(1));
    }
    let meets = |other: &&Part| {
        let faces = Edge::ALL
            .iter()
            .filter(|edge| other.core.face(edge.opposite()) == part.core.face(**edge));
        faces.count() > 0 && view.kind(other) == AssemblyKind::Case
    };
    let case = view
        .near(&around)
        .find(meets)
        .and_then(|other| view.piece.outer_case(other.assembly));
    let report = Diagnostic::new(
        &code::JOIN_NONE,
        format!("nothing holds {}", view.tick(part.id)),
        part.origin.span,
        "no `fix` line names it",
    );
    match case {
        // Screws go from inside the case, where they are not seen.
        Some(case) => report.help(format!("`fix {} to {name} with screws …`", case.name)),
        None => report
            .help("let it reach a case that can hold it")
            .help(format!("then `fix … to {name} with screws …`")),
    }
}

/// Every case that stands on another or on a worktop and has no joint with anything, with the name of
/// what it stands on.
fn stacked<'v>(view: &'v View) -> Vec<(&'v str, &'v CaseBox)> {
    let piece = view.piece;
    let of = |id: PartId| {
        piece
            .outer_case(piece.part(id).assembly)
            .map(|case| case.assembly)
    };
    let held: BTreeSet<AssemblyId> = piece
        .joints
        .iter()
        .filter(|joint| of(joint.a) != of(joint.b))
        .flat_map(|joint| [of(joint.a), of(joint.b)])
        .flatten()
        .collect();
    let mut out = Vec::new();
    for upper in piece
        .outer_cases()
        .filter(|case| !held.contains(&case.assembly))
    {
        let b = &upper.envelope;
        let carries = |part: &&Part| {
            let a = &part.finished;
            let over = [0, 1]
                .iter()
                .all(|i| a.lo[*i] < b.hi[*i] && b.lo[*i] < a.hi[*i]);
            // A kick of a run stands under it and is held to it.
            let seat = of(part.id).is_some() || part.role == Role::Worktop;
            seat && over && a.hi[2] == b.lo[2] && of(part.id) != Some(upper.assembly)
        };
        if let Some(part) = piece.parts.iter().find(carries) {
            let own = part.path.split('[').next().unwrap_or(&part.path);
            let case = piece.outer_case(part.assembly);
            out.push((case.map_or(own, |case| case.name.as_str()), upper));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use crate::model::fixture::id;
    use crate::rules::testing;

    #[test]
    fn a_deck_without_its_joints() {
        let mut model = testing::sound();
        testing::unjoin(&mut model, id::DECK);
        let said = testing::only(&testing::checked(model), "join.none");
        assert_eq!(said.title, "`deck` is joined to nothing");
    }
}
