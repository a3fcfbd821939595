//! What the engine promises, against exhaustive search, published instances and laws.

mod exhaustive;
mod laws;
mod light;
mod papers;
mod runs;
mod verifier;

use super::{FirstCut, Objective, Part, Problem, Sheet, Stages, Trim};

/// One size of sheet without limit, kerf or trim; three stages, trimming, first cut either way.
pub(super) fn plain(sheet: [i64; 2], parts: &[(i64, i64, u32)]) -> Problem {
    Problem {
        sheets: vec![Sheet {
            w: sheet[0],
            h: sheet[1],
            trim: Trim::default(),
            cost: 1,
            copies: None,
            widest: [None, None],
        }],
        parts: parts
            .iter()
            .map(|(w, h, demand)| Part {
                w: *w,
                h: *h,
                demand: *demand,
                turns: false,
                profit: 0,
            })
            .collect(),
        kerf: 0,
        stages: Stages::Three,
        trimming: true,
        first_cut: FirstCut::Any,
        longest_cut: [None, None],
        objective: Objective::LeastCost,
    }
}
