//! Parts in sequence: laid out as one block, cut up in order.

use super::super::{Axis, Effort, Part, Run, Stages, solve, verify};
use super::plain;

#[test]
fn three_fronts_of_one_sheet_in_sequence() {
    let mut problem = plain(
        [2440, 1220],
        &[(400, 720, 1), (600, 720, 1), (500, 700, 1), (900, 350, 3)],
    );
    problem.kerf = 4;
    let run = Run {
        parts: vec![0, 1, 2],
        axis: Axis::W,
    };
    // 400 + 4 + 600 + 4 + 500 long, 720 wide.
    let block = run.block(&problem.parts, problem.kerf);
    assert_eq!((block.w, block.h), (1508, 720));
    let mut blocks = problem.clone();
    let single: Vec<Part> = problem.parts[3..].to_vec();
    blocks.parts.truncate(3);
    blocks.parts.iter_mut().for_each(|p| p.demand = 0);
    blocks.parts.extend(single);
    blocks.parts.push(block);
    let mut layout = solve(&blocks, Effort::Quick).unwrap().layout;
    run.cut_up(&mut layout, 4, &problem.parts, problem.kerf);
    // One more round than stated, hence any number.
    problem.stages = Stages::Any;
    assert_eq!(verify::value(&problem, &layout, &[]), Ok(1));
    let spots = layout.sheets[0].piece.spots([0, 0], problem.kerf);
    let at = |index: usize| {
        let found = spots.iter().find(|s| {
            matches!(&s.piece.becomes, super::super::Becomes::Part { part, .. } if *part == index)
        });
        found.unwrap().at
    };
    assert_eq!(at(1)[0] - at(0)[0], 404);
    assert_eq!(at(2)[0] - at(1)[0], 604);
    assert_eq!((at(0)[1], at(1)[1]), (at(2)[1], at(2)[1]));
}
