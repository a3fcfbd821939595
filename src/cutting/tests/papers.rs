//! Small published instances with known values.

use super::super::{Effort, FirstCut, Objective, Stages, solve};
use super::plain;

/// The textbook example of a paper mill: rolls of 5,600 mm; the best is 73 rolls (from memory).
#[test]
fn paper_rolls() {
    let parts = [
        (1380, 22),
        (1520, 25),
        (1560, 12),
        (1710, 14),
        (1820, 18),
        (1880, 18),
        (1930, 20),
        (2000, 10),
        (2050, 12),
        (2100, 14),
        (2140, 16),
        (2150, 18),
        (2200, 20),
    ];
    let parts: Vec<_> = parts.iter().map(|(w, n)| (*w, 1, *n)).collect();
    let mut problem = plain([5600, 1], &parts);
    problem.stages = Stages::One;
    problem.first_cut = FirstCut::AlongH;
    let outcome = solve(&problem, Effort::Quick).unwrap();
    assert_eq!((outcome.value, outcome.bound), (73, 73));
}

/// CHL5 of Cung, Hifi & Le Cun 2000 (ITOR 7) as bin packing: three stages, first cuts along `h`; 4
/// sheets are the best value known, 3 sheets are not excluded.
#[test]
fn chl5() {
    let mut problem = plain(
        [20, 20],
        &[
            (14, 2, 1),
            (1, 5, 1),
            (20, 4, 2),
            (12, 3, 3),
            (11, 8, 2),
            (11, 6, 2),
            (7, 9, 1),
            (17, 5, 1),
            (7, 14, 2),
            (1, 7, 3),
        ],
    );
    problem.first_cut = FirstCut::AlongH;
    let outcome = solve(&problem, Effort::Quick).unwrap();
    assert_eq!((outcome.value, outcome.bound), (4, 3));
}

/// A1 of Hifi 1997 (COR 24) as bin packing: 23 sheets are proven.
#[test]
fn a1() {
    let mut problem = plain(
        [50, 60],
        &[
            (31, 43, 4),
            (30, 41, 2),
            (29, 39, 4),
            (28, 38, 4),
            (27, 37, 3),
            (26, 36, 4),
            (25, 35, 3),
            (24, 34, 4),
            (33, 23, 4),
            (22, 32, 3),
            (31, 21, 3),
            (29, 18, 3),
            (17, 27, 2),
            (15, 24, 3),
            (16, 25, 4),
            (23, 14, 4),
            (21, 12, 3),
            (19, 11, 4),
            (9, 17, 1),
        ],
    );
    problem.first_cut = FirstCut::AlongH;
    let outcome = solve(&problem, Effort::Quick).unwrap();
    assert_eq!((outcome.value, outcome.bound), (23, 23));
}

/// A3 of Hifi 1997 (COR 24), one sheet, two stages, first cuts along `w`: 5,380 is the best.
#[test]
fn a3() {
    let parts = [
        (29, 41, 1, 1189),
        (31, 43, 2, 1333),
        (32, 39, 1, 1248),
        (27, 38, 4, 1026),
        (28, 37, 3, 1036),
        (29, 36, 2, 1044),
        (35, 35, 3, 1225),
        (26, 34, 4, 884),
        (31, 24, 2, 744),
        (22, 33, 2, 726),
        (31, 22, 3, 682),
        (29, 21, 4, 609),
        (19, 27, 2, 513),
        (18, 24, 2, 432),
        (17, 25, 2, 425),
        (17, 24, 2, 408),
        (25, 17, 1, 425),
        (21, 16, 2, 336),
        (19, 15, 3, 285),
        (15, 14, 1, 210),
    ];
    let sized: Vec<_> = parts.iter().map(|p| (p.0, p.1, p.2)).collect();
    let mut problem = plain([70, 80], &sized);
    for (part, of) in problem.parts.iter_mut().zip(parts) {
        part.profit = of.3;
    }
    problem.stages = Stages::Two;
    problem.first_cut = FirstCut::AlongW;
    problem.objective = Objective::MostProfit;
    let outcome = solve(&problem, Effort::Quick).unwrap();
    assert_eq!((outcome.value, outcome.bound), (5380, 5380));
}

/// Class 1 of Berkey & Wang 1987 (JORS 38), 20 parts, the third: 9 sheets are the best with three
/// stages, first cuts along `w`.
#[test]
fn berkey_wang() {
    let problem = plain(
        [10, 10],
        &[
            (7, 5, 1),
            (10, 6, 1),
            (5, 6, 1),
            (7, 2, 1),
            (4, 8, 1),
            (9, 10, 1),
            (8, 5, 1),
            (8, 6, 1),
            (4, 9, 1),
            (9, 3, 1),
            (3, 10, 1),
            (9, 5, 1),
            (1, 7, 1),
            (8, 9, 1),
            (4, 6, 1),
            (3, 6, 1),
            (4, 3, 1),
            (10, 2, 1),
            (6, 1, 1),
            (1, 4, 1),
        ],
    );
    let outcome = solve(&problem, Effort::Quick).unwrap();
    assert_eq!(outcome.value, 9);
}
