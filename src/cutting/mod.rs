//! Cutting stock: which part comes out of which sheet, board or strip, by cuts that go right through.
//!
//! Plain integers go in ([`Problem`]), a tree of cuts for each sheet comes out ([`Layout`]), with a
//! proven bound on what any layout costs. Nothing here knows furniture. In order of use:
//!
//! | module | idea |
//! |---|---|
//! | [`problem`], [`layout`] | what is asked, what comes out |
//! | `job`, `pattern` | the same inside: kerf added, equal parts merged, pieces nested |
//! | `bounds` | area and dual feasible functions; whole sheets |
//! | `search` | tree of insertions, memory-bounded |
//! | `rests` | offcuts laid out again where any number of stages is allowed |
//! | `grid`, `knapsack`, `price` | the most valuable pattern of a sheet by dynamic programming |
//! | `simplex`, `colgen` | the linear program over patterns and the bound that it proves |
//! | `dive`, `fill` | whole sheets from the program; sheet by sheet with values that learn |
//! | `mix` | which sheets would make a cheaper plan |
//! | `free` | one sheet in any number of stages, by dynamic programming over sizes |
//! | `profit` | the most valuable single sheet |
//! | `repair`, `finish` | a few sheets cut anew; the better of equally dear plans |
//! | `engine`, `least` | the phases of a run, counted in `work` |
//! | [`Run`] | parts that must follow each other on one sheet |
//! | [`verify`] | looks at a layout without knowing how it came about |

mod bounds;
mod colgen;
mod dive;
mod engine;
mod fill;
mod finish;
mod free;
mod grid;
mod job;
mod knapsack;
pub mod layout;
mod least;
mod mix;
mod pattern;
mod price;
pub mod problem;
mod profit;
mod repair;
mod rests;
mod run;
mod search;
mod simplex;
mod squeeze;
#[cfg(test)]
mod tests;
pub mod verify;
mod work;

pub use layout::{Becomes, CutSheet, Layout, Piece, Spot};
pub use problem::{
    Axis, Fault, FirstCut, LARGEST, MOST, Objective, Part, Problem, Sheet, Stages, Trim, rack_worth,
};
pub use work::Effort;

pub use engine::Step;
use engine::{Engine, budget, finishing};
use job::Job;
pub use run::Run;
pub(crate) use work::Dice;
use work::Work;

/// What the engine found.
#[derive(Clone, Debug)]
pub struct Outcome {
    /// The sheets to cut.
    pub layout: Layout,
    /// Total cost, or total profit.
    pub value: i64,
    /// Proven: no layout costs less (or earns more). 0 if sheets ran out.
    pub bound: i64,
    /// By part: how many are not in the layout, because no sheet is large enough or sheets ran out.
    pub unplaced: Vec<u32>,
    /// Whether there are too few sheets, so that the layout holds only what was found to fit.
    pub short: bool,
    /// How the value came about.
    pub history: Vec<Step>,
    /// Units of work spent.
    pub work: i64,
}

/// Units of work for a layout of what fits when sheets run out.
const SHORT: i64 = 50_000_000;

/// Lays out a problem.
///
/// The same problem and effort give the same outcome on every machine.
///
/// # Errors
///
/// What makes the problem meaningless.
///
/// # Panics
///
/// If the layout does not pass [`verify`]: an error of the engine, never of the problem.
pub fn solve(problem: &Problem, effort: Effort) -> Result<Outcome, Fault> {
    problem.check()?;
    let job = Job::new(problem);
    let mut work = Work::new(budget(&job, effort));
    let mut engine = Engine::new(&job);
    let mut unplaced = job.unplaced.clone();
    let mut short = false;
    match problem.objective {
        Objective::LeastCost if job.kinds.is_empty() => engine.cost = 0,
        Objective::LeastCost => {
            engine.least_cost(&mut work);
            short = engine.plan.is_empty();
            if short {
                let left = engine.as_far_as_it_goes(&mut Work::new(SHORT));
                job.deal_out(left, &mut unplaced);
            } else {
                engine.finish(&mut Work::new(finishing(&job, effort)));
            }
        }
        Objective::MostProfit => engine.most_profit(&mut work),
    }
    let layout = pattern::layout(&job, &engine.plan);
    let value = match verify::value(problem, &layout, &unplaced) {
        Ok(value) if value == engine.cost => value,
        Ok(value) => panic!("a layout is worth what the engine says: {value}"),
        Err(fault) => panic!("a layout passes its verifier: {fault}"),
    };
    Ok(Outcome {
        layout,
        value,
        bound: engine.bound,
        unplaced,
        short,
        history: engine.history,
        work: work.spent(),
    })
}
