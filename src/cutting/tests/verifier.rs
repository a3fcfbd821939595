//! The verifier sees what is wrong with a layout.

use super::super::{Becomes, Effort, FirstCut, Layout, Piece, Problem, Stages, solve, verify};
use super::plain;

/// A job with everything a layout can get wrong, and a sound layout for it.
fn job() -> (Problem, Layout) {
    let parts = [(700, 300, 4), (400, 250, 5), (150, 150, 9), (320, 90, 7)];
    let mut problem = plain([1500, 1000], &parts);
    problem.kerf = 4;
    problem.parts[0].turns = true;
    let outcome = solve(&problem, Effort::Quick).unwrap();
    assert_eq!(
        verify::value(&problem, &outcome.layout, &[]),
        Ok(outcome.value)
    );
    (problem, outcome.layout)
}

/// The first piece under this one that a test picks, in cutting order.
fn find<'a>(piece: &'a mut Piece, pick: &mut dyn FnMut(&Piece) -> bool) -> Option<&'a mut Piece> {
    if pick(piece) {
        return Some(piece);
    }
    match &mut piece.becomes {
        Becomes::Cut { pieces, .. } => pieces.iter_mut().find_map(|p| find(p, pick)),
        _ => None,
    }
}

fn fault(problem: &Problem, layout: &Layout) -> String {
    verify::value(problem, layout, &[]).unwrap_err()
}

fn is_part(piece: &Piece) -> bool {
    matches!(piece.becomes, Becomes::Part { .. })
}

#[test]
fn a_part_left_out() {
    let (problem, mut layout) = job();
    find(&mut layout.sheets[0].piece, &mut is_part)
        .unwrap()
        .becomes = Becomes::Rest;
    assert!(fault(&problem, &layout).contains("times, wanted"));
}

#[test]
fn a_part_too_often() {
    let (problem, mut layout) = job();
    layout.sheets[0].times += 1;
    assert!(fault(&problem, &layout).contains("times, wanted"));
}

#[test]
fn a_part_across_the_grain() {
    let (problem, mut layout) = job();
    let mut square = |p: &Piece| is_part(p) && p.size == [150, 150];
    let piece = find(&mut layout.sheets[0].piece, &mut square).unwrap();
    if let Becomes::Part { turned, .. } = &mut piece.becomes {
        *turned = true;
    }
    assert!(fault(&problem, &layout).contains("across the grain"));
}

#[test]
fn a_part_of_another_size() {
    let (problem, mut layout) = job();
    let mut square = |p: &Piece| is_part(p) && p.size == [150, 150];
    let piece = find(&mut layout.sheets[0].piece, &mut square).unwrap();
    if let Becomes::Part { part, .. } = &mut piece.becomes {
        *part = 0;
    }
    assert!(fault(&problem, &layout).contains("is cut"));
}

#[test]
fn pieces_that_overlap() {
    let (problem, mut layout) = job();
    let mut several =
        |p: &Piece| matches!(&p.becomes, Becomes::Cut { pieces, .. } if pieces.len() > 1);
    let piece = find(&mut layout.sheets[0].piece, &mut several).unwrap();
    let Becomes::Cut { axis, pieces } = &mut piece.becomes else {
        unreachable!()
    };
    pieces[0].size[axis.index()] += 5;
    assert!(verify::value(&problem, &layout, &[]).is_err());
}

#[test]
fn a_wider_blade() {
    let (mut problem, layout) = job();
    problem.kerf += 3;
    assert!(verify::value(&problem, &layout, &[]).is_err());
}

#[test]
fn another_trim() {
    let (mut problem, layout) = job();
    problem.sheets[0].trim.left = 1;
    assert!(fault(&problem, &layout).contains("is laid out on"));
}

#[test]
fn too_many_rounds() {
    let (mut problem, layout) = job();
    for stages in [Stages::One, Stages::Two] {
        problem.stages = stages;
        assert!(
            fault(&problem, &layout).contains("rounds of cuts"),
            "{stages:?}"
        );
    }
}

#[test]
fn trimming_not_allowed() {
    let mut problem = plain([100, 100], &[(100, 60, 1), (40, 40, 2), (20, 30, 1)]);
    problem.stages = Stages::Two;
    let layout = solve(&problem, Effort::Quick).unwrap().layout;
    problem.trimming = false;
    assert!(fault(&problem, &layout).contains("rounds of cuts"));
}

#[test]
fn the_first_cut_in_the_wrong_direction() {
    let mut problem = plain([100, 100], &[(60, 100, 1), (40, 50, 2), (20, 30, 1)]);
    problem.first_cut = FirstCut::AlongH;
    problem.stages = Stages::Two;
    let layout = solve(&problem, Effort::Quick).unwrap().layout;
    problem.first_cut = FirstCut::AlongW;
    assert!(fault(&problem, &layout).contains("wrong direction"));
}

#[test]
fn more_sheets_than_there_are() {
    let (mut problem, layout) = job();
    problem.sheets[0].copies = Some(1);
    assert!(fault(&problem, &layout).contains("is used"));
}

#[test]
fn a_cut_too_long_for_the_saw() {
    let (mut problem, layout) = job();
    problem.longest_cut = [Some(600), Some(400)];
    assert!(fault(&problem, &layout).contains("is too long"));
}
