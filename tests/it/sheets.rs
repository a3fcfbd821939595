//! Layouts of small sheets against an outside judge: `tests/judge/sheets.py` lists what a sheet can yield
//! and lets a general integer program (HiGHS) choose. What it needs and when it runs: see `judge`.

use crate::judge::{all, ask, python};
use casewright::cutting::{
    Effort, FirstCut, Objective, Outcome, Part, Problem, Sheet, Stages, Trim, solve,
};
use serde_json::{Value, json};
use std::path::PathBuf;

/// Numbers that look random and are the same everywhere (SplitMix64).
struct Dice(u64);

impl Dice {
    /// From `low` to `high`.
    fn between(&mut self, low: i64, high: i64) -> i64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^= z >> 31;
        low + (z % (high - low + 1) as u64) as i64
    }

    fn one_of<T: Copy>(&mut self, all: &[T]) -> T {
        all[self.between(0, all.len() as i64 - 1) as usize]
    }
}

/// Some kinds of part, each wanted several times, one or two sizes of sheet, any rules of cutting.
fn problem(seed: u64) -> Problem {
    let mut dice = Dice(seed);
    let most_profit = dice.between(0, 3) == 0;
    let trim = dice.between(0, 1);
    let sizes = if most_profit { 1 } else { dice.between(1, 2) };
    let sheets = (0..sizes)
        .map(|number| Sheet {
            w: dice.between(12, 20),
            h: dice.between(8, 14),
            trim: Trim::all(trim),
            cost: dice.between(5, 12),
            widest: [None, None],
            copies: (number > 0).then(|| dice.between(1, 3) as u32),
        })
        .collect();
    let parts = (0..dice.between(3, 5))
        .map(|_| Part {
            w: dice.between(3, 10),
            h: dice.between(2, 6),
            demand: dice.between(1, 6) as u32,
            turns: dice.between(0, 1) == 1,
            profit: dice.between(5, 40),
        })
        .collect();
    Problem {
        sheets,
        parts,
        kerf: dice.between(0, 1),
        stages: dice.one_of(&[Stages::One, Stages::Two, Stages::Three]),
        trimming: dice.between(0, 3) > 0,
        first_cut: dice.one_of(&[FirstCut::AlongW, FirstCut::AlongH, FirstCut::Any]),
        longest_cut: [None, None],
        objective: if most_profit {
            Objective::MostProfit
        } else {
            Objective::LeastCost
        },
    }
}

/// What the judge reads.
fn told(problem: &Problem, outcome: &Outcome) -> Value {
    let sheets = problem.sheets.iter();
    let parts = problem.parts.iter();
    json!({
        "sheets": sheets.map(|s| json!({
            "w": s.w, "h": s.h, "trim": s.trim.left, "cost": s.cost, "copies": s.copies,
        })).collect::<Vec<_>>(),
        "parts": parts.map(|p| json!({
            "w": p.w, "h": p.h, "demand": p.demand, "turns": p.turns, "profit": p.profit,
        })).collect::<Vec<_>>(),
        "kerf": problem.kerf,
        "stages": match problem.stages {
            Stages::One => "one",
            Stages::Two => "two",
            Stages::Three => "three",
            Stages::Any => "any",
        },
        "trimming": problem.trimming,
        "first_cut": match problem.first_cut {
            FirstCut::AlongW => "along-w",
            FirstCut::AlongH => "along-h",
            FirstCut::Any => "any",
        },
        "most_profit": problem.objective == Objective::MostProfit,
        "value": outcome.value,
        "bound": outcome.bound,
        "short": problem.objective == Objective::LeastCost
            && (outcome.short || outcome.unplaced.iter().any(|n| *n > 0)),
    })
}

#[test]
fn small_problems_are_solved_as_a_general_solver_solves_them() {
    let Some(python) = python("highspy") else {
        return;
    };
    let folder = tempfile::tempdir().unwrap();
    let count = if all() { 400 } else { 30 };
    let files: Vec<PathBuf> = (0..count)
        .map(|seed| {
            let problem = problem(seed);
            let outcome = solve(&problem, Effort::Quick).unwrap();
            let path = folder.path().join(format!("{seed}.json"));
            std::fs::write(&path, told(&problem, &outcome).to_string()).unwrap();
            path
        })
        .collect();
    ask(&python, "sheets.py", &files).unwrap_or_else(|faults| panic!("{faults}"));
}

/// A judge who always agrees would be none.
#[test]
fn the_judge_sees_a_layout_that_is_not_the_best() {
    let Some(python) = python("highspy") else {
        return;
    };
    let folder = tempfile::tempdir().unwrap();
    let mut problem = problem(1);
    problem.objective = Objective::LeastCost;
    for sheet in &mut problem.sheets {
        sheet.copies = None;
    }
    let outcome = solve(&problem, Effort::Quick).unwrap();
    let path = folder.path().join("wrong.json");
    for (key, by, says) in [
        ("value", 1, "the layout is worth"),
        ("value", -1, "is less than the best"),
        ("bound", 1, "is more than the best"),
    ] {
        let mut wrong = told(&problem, &outcome);
        wrong["bound"] = outcome.value.into();
        wrong[key] = (outcome.value + by).into();
        std::fs::write(&path, wrong.to_string()).unwrap();
        let said =
            ask(&python, "sheets.py", std::slice::from_ref(&path)).expect_err("it disagrees");
        assert!(said.contains(says), "{said}");
    }
}
