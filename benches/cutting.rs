//! Cutting layouts against published instances: `cargo bench --bench cutting -- FOLDER [NAME] [quick|long] [steps]`.
//!
//! Reads the JSON instances of a folder and prints for each its value, bound, gap, best known value
//! and seconds, then the totals by group. Without a folder it does nothing.

#![allow(clippy::print_stdout, reason = "figures are its output")]

use casewright::cutting::{
    Effort, FirstCut, Objective, Part, Problem, Sheet, Stages, Trim, solve, verify,
};
use serde_json::Value;
use std::collections::BTreeMap;
use std::path::Path;
use std::time::Instant;

/// Figures of one instance.
struct Row {
    name: String,
    value: i64,
    bound: i64,
    best: i64,
    known_bound: i64,
    most: bool,
    seconds: f64,
    /// Seconds of processor time; on a shared machine the better measure.
    busy: f64,
}

impl Row {
    /// Distance to the best known value, by that value.
    fn gap(&self) -> f64 {
        let off = if self.most {
            self.best - self.value
        } else {
            self.value - self.best
        };
        off as f64 / self.best as f64
    }

    fn matched(&self) -> bool {
        self.gap() <= 0.0
    }
}

fn main() {
    let args: Vec<String> = std::env::args()
        .skip(1)
        .filter(|a| !a.starts_with("--"))
        .collect();
    let Some(folder) = args.first() else {
        println!("cargo bench --bench cutting -- FOLDER [NAME] [quick|long] [steps]");
        return;
    };
    let effort = match () {
        () if args.iter().any(|a| a == "quick") => Effort::Quick,
        () if args.iter().any(|a| a == "long") => Effort::Long,
        () => Effort::Normal,
    };
    let steps = args.iter().any(|a| a == "steps");
    let words = ["quick", "long", "steps"];
    let filter = args.iter().skip(1).find(|a| !words.contains(&a.as_str()));
    let mut paths: Vec<_> = std::fs::read_dir(folder)
        .expect("the folder can be read")
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path.extension().is_some_and(|e| e == "json"))
        .filter(|path| filter.is_none_or(|f| path.to_string_lossy().contains(f.as_str())))
        .collect();
    paths.sort();
    println!(
        "{:<28} {:>12} {:>12} {:>7} {:>12} {:>8} {:>12} {:>7} {:>7}",
        "instance",
        "value",
        "bound",
        "gap %",
        "best known",
        "off %",
        "known bound",
        "seconds",
        "busy"
    );
    let mut groups: BTreeMap<String, Vec<Row>> = BTreeMap::new();
    for path in paths {
        let row = run(&path, effort, steps);
        println!(
            "{:<28} {:>12} {:>12} {:>7.3} {:>12} {:>8.3} {:>12} {:>7.3} {:>7.2}{}{}",
            row.name,
            row.value,
            row.bound,
            100.0 * (row.value - row.bound).abs() as f64 / row.bound.max(1) as f64,
            row.best,
            100.0 * row.gap(),
            row.known_bound,
            row.seconds,
            row.busy,
            if row.matched() { "" } else { "  *" },
            if (row.most && row.bound > row.known_bound)
                || (!row.most && row.bound < row.known_bound)
            {
                "  bound"
            } else {
                ""
            },
        );
        let group = row.name.split('-').next().unwrap_or_default().to_string();
        groups.entry(group).or_default().push(row);
    }
    let total = |name: &str, rows: &[&Row]| {
        println!(
            "{name:<12} {:>3} of {:>3} at the best known value, mean {:>7.3} % off, {:>3} bounds reached, {:>7.2} s, longest {:>6.2} s; busy {:>7.2} s, longest {:>6.2} s",
            rows.iter().filter(|r| r.matched()).count(),
            rows.len(),
            100.0 * rows.iter().map(|r| r.gap()).sum::<f64>() / rows.len().max(1) as f64,
            rows.iter()
                .filter(|r| if r.most {
                    r.bound <= r.known_bound
                } else {
                    r.bound >= r.known_bound
                })
                .count(),
            rows.iter().map(|r| r.seconds).sum::<f64>(),
            rows.iter().map(|r| r.seconds).fold(0.0, f64::max),
            rows.iter().map(|r| r.busy).sum::<f64>(),
            rows.iter().map(|r| r.busy).fold(0.0, f64::max),
        );
    };
    for (name, rows) in &groups {
        total(name, &rows.iter().collect::<Vec<_>>());
    }
    total("all", &groups.values().flatten().collect::<Vec<_>>());
}

/// Solves one instance.
fn run(path: &Path, effort: Effort, steps: bool) -> Row {
    let text = std::fs::read_to_string(path).expect("the instance can be read");
    let data: Value = serde_json::from_str(&text).expect("the instance is JSON");
    let problem = problem(&data);
    let (start, before) = (Instant::now(), busy());
    let outcome = solve(&problem, effort).expect("the instance makes sense");
    let seconds = start.elapsed().as_secs_f64();
    let busy = busy() - before;
    let value = verify::value(&problem, &outcome.layout, &outcome.unplaced)
        .unwrap_or_else(|fault| panic!("{}: {fault}", path.display()));
    assert_eq!(value, outcome.value, "{}", path.display());
    if steps {
        for step in &outcome.history {
            println!(
                "  {:<18} {:>12} {:>12} {:>12}",
                step.by, step.value, step.bound, step.work
            );
        }
    }
    Row {
        name: data["name"].as_str().unwrap_or_default().into(),
        value,
        bound: outcome.bound,
        best: data["best_known"].as_i64().unwrap_or(0),
        known_bound: data["lower_bound"].as_i64().unwrap_or(0),
        most: problem.objective == Objective::MostProfit,
        seconds,
        busy,
    }
}

/// Processor time of this process in seconds where the system tells it (Linux: clock ticks of 1/100 s).
fn busy() -> f64 {
    let stat = std::fs::read_to_string("/proc/self/stat").unwrap_or_default();
    let after = stat.rsplit(") ").next().unwrap_or_default();
    let ticks = after
        .split(' ')
        .skip(11)
        .take(2)
        .filter_map(|t| t.parse::<f64>().ok());
    ticks.sum::<f64>() / 100.0
}

/// Reads an instance. Sizes may have one decimal: the unit becomes a tenth.
fn problem(data: &Value) -> Problem {
    let tenth = |v: &Value| (v.as_f64().unwrap_or(0.0) * 10.0).round() as i64;
    let rows = |key: &str| data[key].as_array().cloned().unwrap_or_default();
    let whole = tenth(&data["kerf"]) % 10 == 0 && tenth(&data["trim"]) % 10 == 0;
    let size = |v: &Value| if whole { tenth(v) / 10 } else { tenth(v) };
    let one = data["dim"].as_i64() == Some(1);
    let trim = size(&data["trim"]);
    let count = |v: &Value| v.as_u64().map(|n| n as u32);
    Problem {
        sheets: rows("sheets")
            .iter()
            .map(|s| Sheet {
                w: size(&s["w"]),
                h: size(&s["h"]),
                // The width of a stick is not cut.
                trim: if one {
                    Trim {
                        left: trim,
                        right: trim,
                        bottom: 0,
                        top: 0,
                    }
                } else {
                    Trim::all(trim)
                },
                cost: s["cost"].as_i64().unwrap_or(1),
                copies: count(&s["copies"]),
                widest: [None, None],
            })
            .collect(),
        parts: rows("items")
            .iter()
            .map(|i| Part {
                w: size(&i["w"]),
                h: size(&i["h"]),
                demand: count(&i["demand"]).unwrap_or(1),
                turns: i["rotation"]
                    .as_bool()
                    .or(data["rotation"].as_bool())
                    .unwrap_or(false),
                profit: i["profit"].as_i64().unwrap_or(0),
            })
            .collect(),
        kerf: size(&data["kerf"]),
        stages: match data["stages"].as_i64() {
            Some(1) => Stages::One,
            Some(2) => Stages::Two,
            Some(3) => Stages::Three,
            _ => Stages::Any,
        },
        trimming: data["trimming"].as_bool().unwrap_or(true),
        first_cut: match data["first_cut"].as_str() {
            Some("horizontal") => FirstCut::AlongW,
            Some("vertical") => FirstCut::AlongH,
            _ => FirstCut::Any,
        },
        longest_cut: [None, None],
        objective: match data["objective"].as_str() {
            Some("max-profit") => Objective::MostProfit,
            _ => Objective::LeastCost,
        },
    }
}
