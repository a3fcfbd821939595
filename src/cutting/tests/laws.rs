//! Laws that hold for every problem.

use super::super::{Effort, Problem, Stages, solve};
use super::plain;
use proptest::prelude::*;

fn problems() -> impl Strategy<Value = Problem> {
    let part = (20..400_i64, 20..300_i64, 1..6_u32, any::<bool>());
    (
        proptest::collection::vec(part, 1..12),
        0..8_i64,
        prop_oneof![Just(Stages::Two), Just(Stages::Three), Just(Stages::Any)],
    )
        .prop_map(|(parts, kerf, stages)| {
            let sized: Vec<_> = parts.iter().map(|p| (p.0, p.1, p.2)).collect();
            let mut problem = plain([800, 600], &sized);
            for (part, of) in problem.parts.iter_mut().zip(&parts) {
                part.turns = of.3;
            }
            problem.kerf = kerf;
            problem.stages = stages;
            problem
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(5))]

    /// What holds for more parts holds for fewer: bounds below every layout of the larger job.
    #[test]
    fn one_more_part_never_costs_less(problem in problems()) {
        let all = solve(&problem, Effort::Quick).unwrap();
        prop_assert!(all.bound <= all.value);
        let mut fewer = problem.clone();
        fewer.parts[0].demand -= 1;
        let fewer = solve(&fewer, Effort::Quick).unwrap();
        prop_assert!(fewer.bound <= all.value, "{} and {}", fewer.bound, all.value);
    }

    /// A layout for a wide blade is one for a narrow blade.
    #[test]
    fn a_wider_kerf_never_helps(problem in problems()) {
        let mut wider = problem.clone();
        wider.kerf += 5;
        let narrow = solve(&problem, Effort::Quick).unwrap();
        let wide = solve(&wider, Effort::Quick).unwrap();
        prop_assert!(narrow.bound <= wide.value);
    }

    /// Freedom never costs.
    #[test]
    fn more_stages_and_turning_never_cost(problem in problems()) {
        let tight = solve(&problem, Effort::Quick).unwrap();
        let mut loose = problem.clone();
        loose.stages = Stages::Any;
        loose.parts.iter_mut().for_each(|p| p.turns = true);
        let loose = solve(&loose, Effort::Quick).unwrap();
        prop_assert!(loose.bound <= tight.value);
    }

    /// The same problem gives the same layout.
    #[test]
    fn the_same_again(problem in problems()) {
        let [a, b] = [0, 1].map(|_| solve(&problem, Effort::Quick).unwrap());
        prop_assert_eq!(a.layout, b.layout);
        prop_assert_eq!(a.work, b.work);
    }
}

#[test]
fn parts_that_fit_no_sheet_are_told() {
    let problem = plain([100, 100], &[(120, 10, 2), (50, 50, 3)]);
    let outcome = solve(&problem, Effort::Quick).unwrap();
    assert_eq!(outcome.unplaced, [2, 0]);
    assert!(!outcome.short);
    assert_eq!(outcome.value, 1);
}

#[test]
fn too_few_sheets_hold_what_fits() {
    let mut problem = plain([100, 100], &[(100, 50, 5)]);
    problem.sheets[0].copies = Some(2);
    let outcome = solve(&problem, Effort::Quick).unwrap();
    assert!(outcome.short);
    assert_eq!(outcome.unplaced, [1]);
    assert_eq!(outcome.value, 2);
}

#[test]
fn nothing_to_do_costs_nothing() {
    let outcome = solve(&plain([100, 100], &[]), Effort::Quick).unwrap();
    assert_eq!((outcome.value, outcome.bound), (0, 0));
}

#[test]
fn the_saw_limits_the_cut() {
    // A cut along the sheet's length of 2,400 is too long for the saw: strips are cross-cut first.
    let mut problem = plain([2400, 1200], &[(1100, 300, 8)]);
    problem.longest_cut = [Some(1300), None];
    let outcome = solve(&problem, Effort::Quick).unwrap();
    assert_eq!(outcome.value, 1);
    let super::super::Becomes::Cut { axis, .. } = &outcome.layout.sheets[0].piece.becomes else {
        panic!("a sheet with eight parts is cut");
    };
    assert_eq!(*axis, super::super::Axis::W);
}
