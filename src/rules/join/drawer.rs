//! A drawer's box that is not held together all round: every pull on it works at these joints.

use super::loose;
use crate::diag::{Diagnostic, code};
use crate::model::{Drawer, Part, Role};
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;

/// Looks whether sides, front and back of every box are joined to each other, and whether its bottom
/// is held at two opposite sides. A part that is joined to nothing at all is `join.none`.
pub fn check(view: &View, report: &mut Report) {
    for drawer in &view.piece.drawers {
        let parts: Vec<&Part> = view
            .piece
            .parts
            .iter()
            .filter(|part| part.assembly == drawer.assembly && part.host.is_none())
            .collect();
        // A fixture of rules may know the outside of a box only.
        if parts.is_empty() {
            continue;
        }
        let open = open(view, drawer, &parts);
        let name = view.name(&drawer.path);
        let measured = Measured::none_of(
            &code::JOIN_DRAWER,
            format!(
                "{}, corners and bottom",
                super::super::fit::label(view, &drawer.path)
            ),
            open.len(),
        )
        .by("open places of its box")
        .from("drawers, common practice")
        .lines([drawer.origin.span])
        .of(drawer.assembly);
        report.judge(measured, || {
            let report = Diagnostic::new(
                &code::JOIN_DRAWER,
                format!("the box of `{name}` is not whole"),
                drawer.origin.span,
                format!("{} wanting", open.len()),
            );
            open.into_iter()
                .fold(report, Diagnostic::note)
                .help("a line `join … into …` for each corner, and for the bottom at two sides that face each other")
        });
    }
}

/// What is open, in words.
fn open(view: &View, drawer: &Drawer, parts: &[&Part]) -> Vec<String> {
    let of = |role: Role| parts.iter().filter(move |part| part.role == role);
    let loose: Vec<_> = loose(view).into_iter().map(|part| part.id).collect();
    let mut open = Vec::new();
    let ends = || of(Role::DrawerFront).chain(of(Role::DrawerBack));
    for end in ends() {
        for side in of(Role::DrawerSide) {
            let told = loose.contains(&end.id) || loose.contains(&side.id);
            if !told && !view.joined(end.id, side.id) {
                open.push(format!(
                    "{} is not joined to {}",
                    view.tick(end.id),
                    view.tick(side.id)
                ));
            }
        }
    }
    match of(Role::DrawerBottom).next() {
        None => open.push(format!("`{}` has no bottom", view.name(&drawer.path))),
        Some(bottom) if !loose.contains(&bottom.id) => {
            let held = |part: &&Part| view.joined(bottom.id, part.id);
            if !of(Role::DrawerSide).copied().all(|part| held(&part))
                && !ends().copied().all(|part| held(&part))
            {
                open.push(format!(
                    "{} is not held at two sides that face each other",
                    view.tick(bottom.id)
                ));
            }
        }
        Some(_) => {}
    }
    open
}
