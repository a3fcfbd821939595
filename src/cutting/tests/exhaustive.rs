//! Tiny problems, solved by trying every cut at every whole number.

use super::super::{Effort, FirstCut, Objective, Part, Problem, Sheet, Stages, Trim, solve};
use proptest::prelude::*;
use std::collections::BTreeMap;

/// Every part by itself: size and whether it turns.
type Single = ([i64; 2], bool, i64);

struct Tries<'a> {
    parts: &'a [Single],
    kerf: i64,
    trimming: bool,
    known: BTreeMap<(u32, [i64; 2], usize, u32), bool>,
}

impl Tries<'_> {
    /// Whether the parts of a set can be cut from a piece when the next cuts separate along `axis`
    /// and `left` rounds are to go.
    fn fits(&mut self, set: u32, size: [i64; 2], axis: usize, left: u32) -> bool {
        if set == 0 {
            return true;
        }
        if size.iter().any(|s| *s <= 0) {
            return false;
        }
        let key = (set, size, axis, left);
        if let Some(known) = self.known.get(&key) {
            return *known;
        }
        let fits = self.lies(set, size, axis, left == 0)
            || (left > 0 && (self.fits(set, size, 1 - axis, left - 1) || self.cut(key)));
        self.known.insert(key, fits);
        fits
    }

    /// Whether a single part is the piece, or becomes it by the last trimming cut.
    fn lies(&self, set: u32, size: [i64; 2], axis: usize, last: bool) -> bool {
        if set.count_ones() != 1 {
            return false;
        }
        let (part, turns, _) = self.parts[set.trailing_zeros() as usize];
        let ways = [Some(part), turns.then_some([part[1], part[0]])];
        ways.into_iter().flatten().any(|way| {
            way == size
                || (last
                    && self.trimming
                    && way[1 - axis] == size[1 - axis]
                    && way[axis] <= size[axis])
        })
    }

    /// Whether some first piece along the axis takes some of the parts and the remainder the others.
    fn cut(&mut self, key: (u32, [i64; 2], usize, u32)) -> bool {
        let (set, size, axis, left) = key;
        for extent in 1..=size[axis] {
            let (mut piece, mut rest) = (size, size);
            piece[axis] = extent;
            rest[axis] = size[axis] - extent - self.kerf;
            let mut some = set;
            while some > 0 {
                if self.fits(some, piece, 1 - axis, left - 1)
                    && self.fits(set & !some, rest, axis, left)
                {
                    return true;
                }
                some = (some - 1) & set;
            }
        }
        false
    }
}

/// The least cost, or the most profit; `None` if the parts do not fit.
fn best(problem: &Problem) -> Option<i64> {
    let mut parts: Vec<Single> = Vec::new();
    for part in &problem.parts {
        parts.extend((0..part.demand).map(|_| ([part.w, part.h], part.turns, part.profit)));
    }
    let mut tries = Tries {
        parts: &parts,
        kerf: problem.kerf,
        trimming: problem.trimming,
        known: BTreeMap::new(),
    };
    let rounds = match problem.stages {
        Stages::One => 1,
        Stages::Two => 2,
        Stages::Three => 3,
        Stages::Any => 12,
    };
    let axes: &[usize] = match problem.first_cut {
        FirstCut::AlongW => &[1],
        FirstCut::AlongH => &[0],
        FirstCut::Any => &[0, 1],
    };
    let full = (1_u32 << parts.len()) - 1;
    let holds: Vec<Vec<bool>> = problem
        .sheets
        .iter()
        .map(|sheet| {
            let size = sheet.usable();
            (0..=full)
                .map(|set| axes.iter().any(|a| tries.fits(set, size, *a, rounds)))
                .collect()
        })
        .collect();
    let profit = |set: u32| -> i64 {
        (0..parts.len())
            .filter(|i| set >> i & 1 == 1)
            .map(|i| parts[i].2)
            .sum()
    };
    if problem.objective == Objective::MostProfit {
        return (0..=full)
            .filter(|s| holds[0][*s as usize])
            .map(profit)
            .max();
    }
    // Sheet by sheet, copies counted.
    let mut states: BTreeMap<(u32, Vec<u32>), i64> = BTreeMap::new();
    let copies: Vec<u32> = problem
        .sheets
        .iter()
        .map(|s| s.copies.unwrap_or(9))
        .collect();
    states.insert((full, copies), 0);
    let mut best: Option<i64> = None;
    while let Some(((left, copies), cost)) = states.pop_last() {
        if left == 0 {
            best = Some(best.map_or(cost, |b| b.min(cost)));
            continue;
        }
        for (b, sheet) in problem
            .sheets
            .iter()
            .enumerate()
            .filter(|(b, _)| copies[*b] > 0)
        {
            let mut set = left;
            while set > 0 {
                if holds[b][set as usize] {
                    let mut copies = copies.clone();
                    copies[b] -= 1;
                    let total = cost + sheet.cost;
                    let known = states.entry((left & !set, copies)).or_insert(total);
                    *known = total.min(*known);
                }
                set = (set - 1) & left;
            }
        }
    }
    best
}

fn problems() -> impl Strategy<Value = Problem> {
    let part = (1..7_i64, 1..7_i64, 1..3_u32, any::<bool>(), 1..9_i64).prop_map(
        |(w, h, demand, turns, profit)| Part {
            w,
            h,
            demand,
            turns,
            profit,
        },
    );
    let sheet = (4..9_i64, 4..9_i64, 1..9_i64, proptest::option::of(1..3_u32)).prop_map(
        |(w, h, cost, copies)| Sheet {
            w,
            h,
            trim: Trim::default(),
            cost,
            copies,
            widest: [None, None],
        },
    );
    (
        proptest::collection::vec(sheet, 1..3),
        proptest::collection::vec(part, 1..4),
        0..2_i64,
        prop_oneof![
            Just(Stages::One),
            Just(Stages::Two),
            Just(Stages::Three),
            Just(Stages::Any)
        ],
        any::<bool>(),
        prop_oneof![
            Just(FirstCut::AlongW),
            Just(FirstCut::AlongH),
            Just(FirstCut::Any)
        ],
        any::<bool>(),
    )
        .prop_map(
            |(mut sheets, parts, kerf, stages, trimming, first_cut, profit)| {
                if profit {
                    sheets.truncate(1);
                }
                Problem {
                    sheets,
                    parts,
                    kerf,
                    stages,
                    trimming,
                    first_cut,
                    longest_cut: [None, None],
                    objective: if profit {
                        Objective::MostProfit
                    } else {
                        Objective::LeastCost
                    },
                }
            },
        )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// The bound is never more than the best there is, the layout never less; and with so few parts
    /// and at most three stages the layout is the best.
    #[test]
    fn value_and_bound_enclose_the_best(problem in problems()) {
        let outcome = solve(&problem, Effort::Quick).unwrap();
        match best(&problem) {
            None => prop_assert!(outcome.unplaced.iter().any(|n| *n > 0)),
            Some(best) if problem.objective == Objective::MostProfit => {
                prop_assert!(outcome.bound >= best, "bound {} best {best}", outcome.bound);
                prop_assert!(outcome.value <= best);
                if problem.stages != Stages::Any {
                    prop_assert_eq!(outcome.value, best);
                }
            }
            Some(best) => {
                prop_assert!(outcome.bound <= best, "bound {} best {best}", outcome.bound);
                prop_assert!(outcome.value >= best);
                if problem.stages != Stages::Any {
                    prop_assert_eq!(outcome.value, best);
                }
            }
        }
    }
}
