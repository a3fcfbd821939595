//! First pieces no wider than one person carries.

use super::super::{Effort, FirstCut, solve};
use super::plain;

/// Strips along, 30 wide at most: parts of 30 one to a strip, three strips; without the limit one of 90.
#[test]
fn strips_are_no_wider_than_they_may_be() {
    let mut problem = plain([100, 100], &[(100, 30, 3), (40, 40, 1)]);
    problem.first_cut = FirstCut::AlongW;
    problem.sheets[0].widest = [None, Some(30)];
    let outcome = solve(&problem, Effort::Quick).unwrap();
    // 40 is wider whichever way it lies.
    assert_eq!(outcome.unplaced, [0, 1]);
    assert_eq!((outcome.value, outcome.bound), (1, 1));
    // Either way first: strips across may be as wide as they like, and hold all four lengths of 30, but
    // not 90 and 40 in 100.
    problem.first_cut = FirstCut::Any;
    let outcome = solve(&problem, Effort::Quick).unwrap();
    assert_eq!(outcome.unplaced, [0, 0]);
    assert_eq!(outcome.value, 2);
}
