//! Chapter 11: the finish by its calendar, its steps, and the surfaces that drink it.

use super::Chapter;
use crate::book::{Facts, html, long_date};
use crate::draw::calendar::{self as draw, CalendarRow};
use crate::measure::Rational;
use crate::plan::finishing::{
    AreaClass, Calendar, FinishPlan, Moment, Step, StepKind, litres, square_metres,
};
use minijinja::Value;
use serde::Serialize;

/// Finishing.
pub const CHAPTER: Chapter = Chapter {
    number: 11,
    id: "finishing",
    title: "Finishing",
    template: "finishing.html",
    facts,
};

#[derive(Serialize)]
struct Finishing {
    plans: Vec<PlanFacts>,
    bare: Vec<String>,
}

#[derive(Serialize)]
struct PlanFacts {
    title: String,
    pieces: Vec<String>,
    letters: Vec<String>,
    coats: Vec<(u32, String)>,
    drawing: Value,
    due: Option<String>,
    in_hand: Option<String>,
    late: bool,
    first_day: Option<String>,
    /// Sanded before the glue-up: square metres, and how long that takes.
    inner: Option<(String, String)>,
    steps: Vec<StepRow>,
    areas: Vec<AreaRow>,
    together: AreaRow,
    loss: String,
    /// Of each material: litres to buy.
    buy: Vec<String>,
    rags: bool,
}

#[derive(Serialize)]
struct StepRow {
    number: u32,
    /// `sand`, `coat`, `rub`, `cure`.
    kind: &'static str,
    name: String,
    grits: Vec<u32>,
    which: u32,
    of: u32,
    first: bool,
    stated: bool,
    wait: String,
    day: String,
    start: String,
    ready: String,
    /// Work goes on over the night before.
    days: i64,
}

#[derive(Serialize)]
struct AreaRow {
    /// `outside`, `fronts`, `inside`, `shelves`, `drawers`, `all`.
    class: &'static str,
    area: String,
    litres: Vec<String>,
}

/// Prepares the chapter.
pub fn facts(facts: &Facts) -> Option<Value> {
    let plan = &facts.plans.finishing;
    if plan.plans.is_empty() {
        return None;
    }
    Some(html::value(&Finishing {
        plans: plan.plans.iter().map(|p| one(facts, p)).collect(),
        bare: plan
            .bare
            .iter()
            .filter_map(|i| Some(facts.model.pieces.get(*i as usize)?.title.clone()))
            .collect(),
    }))
}

fn one(facts: &Facts, plan: &FinishPlan) -> PlanFacts {
    let calendar = &plan.calendar;
    let rows: Vec<CalendarRow> = plan
        .steps
        .iter()
        .map(|step| CalendarRow {
            number: step.number,
            name: short(step),
            cures: step.kind == StepKind::Cure,
        })
        .collect();
    let class = |class| match class {
        AreaClass::Outside => "outside",
        AreaClass::Unseen => "unseen",
        AreaClass::Fronts => "fronts",
        AreaClass::Inside => "inside",
        AreaClass::Shelves => "shelves",
        AreaClass::Drawers => "drawers",
    };
    let drinks = |area: Rational| -> Vec<String> {
        plan.coats
            .iter()
            .map(|c| {
                let net = area * Rational::int(i64::from(c.coats)) / c.covers;
                decimals(litres(net), 2)
            })
            .collect()
    };
    let title = facts
        .model
        .finishes
        .get(plan.finish.0 as usize)
        .map(|f| f.title.clone())
        .unwrap_or_default();
    let percent = (facts.model.shop.finish_loss * Rational::int(100))
        .round()
        .unwrap_or(0);
    PlanFacts {
        title,
        pieces: plan
            .pieces
            .iter()
            .filter_map(|i| Some(facts.model.pieces.get(*i as usize)?.title.clone()))
            .collect(),
        letters: plan.letters.clone(),
        coats: plan
            .coats
            .iter()
            .map(|c| (c.coats, c.name.clone()))
            .collect(),
        drawing: html::svg(&draw::calendar(calendar, &rows)),
        due: calendar.due.map(long_date),
        in_hand: calendar.in_hand.filter(|m| *m >= 0).map(span),
        late: calendar.in_hand.is_some_and(|m| m < 0),
        first_day: calendar
            .slots
            .first()
            .and_then(|s| calendar.date(Calendar::day(s.start)))
            .map(long_date),
        inner: (plan.inner_sanding > 0)
            .then(|| (metres(plan.inner), span(i64::from(plan.inner_sanding)))),
        steps: steps(plan),
        areas: plan
            .areas
            .iter()
            .map(|row| AreaRow {
                class: class(row.class),
                area: metres(row.area),
                litres: drinks(row.area),
            })
            .collect(),
        together: AreaRow {
            class: "all",
            area: metres(plan.area),
            litres: drinks(plan.area),
        },
        loss: format!("{percent} %"),
        buy: plan.coats.iter().map(|c| decimals(c.litres, 1)).collect(),
        rags: plan.rags,
    }
}

fn metres(area: Rational) -> String {
    decimals(square_metres(area), 2)
}

/// A number to some decimals, rounded to the nearest.
fn decimals(value: Rational, places: u32) -> String {
    let scale = 10i64.pow(places);
    let n = (value * Rational::int(scale)).round().unwrap_or(0);
    let scale = i128::from(scale);
    format!(
        "{}.{:0width$}",
        n / scale,
        n % scale,
        width = places as usize
    )
}

/// Minutes as `14 h 30`.
fn span(minutes: i64) -> String {
    match (minutes / 60, minutes % 60) {
        (h, 0) => format!("{h} h"),
        (0, m) => format!("{m} min"),
        (h, m) => format!("{h} h {m:02}"),
    }
}

/// The name of a step in the calendar's rows.
fn short(step: &Step) -> String {
    match &step.kind {
        StepKind::Sand(grits) => {
            let grits: Vec<String> = grits.iter().map(u32::to_string).collect();
            format!("Sand {}", grits.join(", "))
        }
        StepKind::Coat { name, number, of } if *of > 1 => {
            format!("{}, coat {number}", html::capital(name))
        }
        StepKind::Coat { name, .. } => html::capital(name),
        StepKind::Rub { grit, .. } => format!("Rub {grit}"),
        StepKind::Cure => format!("Cure, {}", span(i64::from(step.wait))),
    }
}

fn steps(plan: &FinishPlan) -> Vec<StepRow> {
    let calendar = &plan.calendar;
    let rows = plan.steps.iter().zip(&calendar.slots);
    rows.enumerate()
        .map(|(i, (step, slot))| {
            let (kind, name, grits, which, of, stated) = match &step.kind {
                StepKind::Sand(grits) => ("sand", String::new(), grits.clone(), 0, 0, true),
                StepKind::Coat { name, number, of } => {
                    ("coat", html::capital(name), Vec::new(), *number, *of, true)
                }
                StepKind::Rub { grit, stated } => {
                    ("rub", String::new(), vec![*grit], 0, 0, *stated)
                }
                StepKind::Cure => ("cure", String::new(), Vec::new(), 0, 0, true),
            };
            StepRow {
                number: step.number,
                kind,
                name,
                grits,
                which,
                of,
                first: i == 0,
                stated,
                wait: span(i64::from(step.wait)),
                day: day(calendar, slot.start),
                start: clock(slot.start),
                ready: if Calendar::day(slot.ready) == Calendar::day(slot.start) {
                    clock(slot.ready)
                } else {
                    format!("{} {}", day(calendar, slot.ready), clock(slot.ready))
                },
                days: Calendar::day(slot.worked) - Calendar::day(slot.start),
            }
        })
        .collect()
}

/// `Fri 5`, or `day 3` where no date is known.
fn day(calendar: &Calendar, moment: Moment) -> String {
    let day = Calendar::day(moment);
    match calendar.date(day) {
        Some(date) => date.strftime("%a %-d").to_string(),
        None => format!("day {}", day + 1),
    }
}

/// `8.00`.
fn clock(moment: Moment) -> String {
    let minute = Calendar::minute(moment);
    format!("{}.{:02}", minute / 60, minute % 60)
}
