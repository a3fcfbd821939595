//! The finishing calendar: a row a step, a column a day; solid at work, dense drying, wide curing,
//! upright lines where the shop is closed.

use super::hatch;
use super::mark;
use super::region::Region;
use super::scene::{Pen, Rect, Scene, Text};
use crate::plan::finishing::{Calendar, Moment};

/// A row of the calendar.
#[derive(Clone, Debug)]
pub struct CalendarRow {
    /// Its number.
    pub number: u32,
    /// What is done.
    pub name: String,
    /// Whether waiting is curing rather than drying.
    pub cures: bool,
}

const WIDE: f64 = 174.0;
const NAMES: f64 = 44.0;
const HEAD: f64 = 11.0;
const ROW: f64 = 7.6;
const BAR: f64 = 4.6;

struct Day {
    day: i64,
    open: bool,
    wide: f64,
    left: f64,
}

/// Draws the calendar.
pub fn calendar(calendar: &Calendar, rows: &[CalendarRow]) -> Scene {
    let days = days(calendar);
    let high = HEAD + ROW * rows.len() as f64;
    let mut scene = Scene::new(WIDE, high + 8.5, "Calendar of the finishing steps");
    head(&mut scene, calendar, &days, high);
    let place = |moment: Moment| at(&days, moment);
    for (i, (row, slot)) in rows.iter().zip(&calendar.slots).enumerate() {
        let top = HEAD + ROW * i as f64;
        let middle = top + ROW / 2.0;
        mark::square(&mut scene, (3.0, middle), &row.number.to_string());
        scene.text(Text::new((7.0, middle + 1.2), row.name.as_str()));
        scene.line((0.0, top + ROW), (WIDE, top + ROW), Pen::THIN);
        let bar = |from: Moment, to: Moment| {
            let (a, b) = (place(from), place(to));
            Rect::of(
                (a, middle - BAR / 2.0),
                (b.max(a + 0.4), middle + BAR / 2.0),
            )
        };
        if slot.ready > slot.worked {
            let rect = bar(slot.worked, slot.ready);
            let step = if row.cures { 2.4 } else { 0.9 };
            scene.rect(rect, Pen::THIN.white());
            hatch::slope(&mut scene, &Region::rect(rect), step, Pen::HATCH);
            scene.rect(rect, Pen::THIN);
        }
        // Work that goes on over a night is drawn in its working hours alone.
        for (from, to) in at_work(calendar, slot.start, slot.worked) {
            scene.rect(bar(from, to), Pen::BLACK);
        }
    }
    legend(&mut scene, high + 5.6);
    if let (Some(due), Some(by)) = (calendar.due, calendar.ready_by) {
        let x = place(by);
        scene.line((x, HEAD - 2.0), (x, high + 2.0), Pen::THICK.red());
        let words = format!("due {}", due.strftime("%A %-d %B"));
        scene.text(
            Text::new((WIDE.min(x + 20.0), high + 5.6), words)
                .bold()
                .red()
                .end(),
        );
    }
    scene
}

/// The days from the first step to the last, or to the due date; idle ones narrow.
fn days(calendar: &Calendar) -> Vec<Day> {
    let moments: Vec<Moment> = calendar
        .slots
        .iter()
        .flat_map(|s| [s.start, s.worked, s.ready])
        .chain(calendar.ready_by)
        .collect();
    let first = moments.iter().min().map_or(0, |m| Calendar::day(*m));
    let last = moments.iter().max().map_or(0, |m| Calendar::day(*m));
    // A calendar of months is cut off on paper; the table below it still gives every date.
    let last = last.min(first + 60);
    let mut out: Vec<Day> = (first..=last)
        .map(|day| {
            let open = calendar.open(day);
            let busy = moments.iter().any(|m| Calendar::day(*m) == day);
            let wide = match (open, busy) {
                (_, true) => 18.0,
                (true, false) => 9.0,
                (false, false) => 5.0,
            };
            Day {
                day,
                open,
                wide,
                left: 0.0,
            }
        })
        .collect();
    let sum: f64 = out.iter().map(|d| d.wide).sum();
    let squeeze = ((WIDE - NAMES) / sum).min(1.0);
    let mut left = NAMES;
    for day in &mut out {
        day.wide *= squeeze;
        day.left = left;
        left += day.wide;
    }
    out
}

/// The place of a moment across the page.
fn at(days: &[Day], moment: Moment) -> f64 {
    let day = Calendar::day(moment);
    let share = Calendar::minute(moment) as f64 / (24.0 * 60.0);
    match days.iter().find(|d| d.day == day) {
        Some(d) => d.left + d.wide * share,
        None => days.last().map_or(NAMES, |d| d.left + d.wide),
    }
}

fn at_work(calendar: &Calendar, start: Moment, end: Moment) -> Vec<(Moment, Moment)> {
    let (from, to) = calendar.hours;
    (Calendar::day(start)..=Calendar::day(end))
        .filter(|day| calendar.open(*day))
        .map(|day| {
            let midnight = day * 24 * 60;
            (start.max(midnight + from), end.min(midnight + to))
        })
        .filter(|(a, b)| a < b)
        .collect()
}

fn head(scene: &mut Scene, calendar: &Calendar, days: &[Day], high: f64) {
    let mut month = String::new();
    for day in days {
        let middle = day.left + day.wide / 2.0;
        let wide = day.wide >= 9.0;
        scene.line((day.left, 0.0), (day.left, high), Pen::THIN);
        match calendar.date(day.day) {
            Some(date) => {
                if month.is_empty() {
                    month = date.strftime("%B %Y").to_string();
                }
                if wide {
                    let name = date.strftime("%a").to_string();
                    scene.text(Text::new((middle, 4.4), name).middle());
                }
                if day.wide >= 4.4 {
                    let number = Text::new((middle, 9.0), date.strftime("%-d").to_string());
                    let number = if wide { number.bold() } else { number.small() };
                    scene.text(number.middle());
                }
            }
            None if wide && day.open => {
                scene.text(Text::new((middle, 4.4), "day").middle());
                scene.text(
                    Text::new((middle, 9.0), (day.day + 1).to_string())
                        .bold()
                        .middle(),
                );
            }
            None => {}
        }
        if !day.open {
            let lines = (day.wide / 1.1).floor().max(1.0);
            for k in 1..(lines as u32) {
                let x = day.left + day.wide * f64::from(k) / lines;
                scene.line((x, HEAD), (x, high), Pen::HATCH);
            }
        }
    }
    if let Some(last) = days.last() {
        let x = last.left + last.wide;
        scene.line((x, 0.0), (x, high), Pen::THIN);
    }
    scene.text(Text::new((NAMES - 2.0, 9.0), month).italic().end());
    scene.line((0.0, HEAD), (WIDE, HEAD), Pen::MEDIUM);
}

fn legend(scene: &mut Scene, y: f64) {
    let mut x = 0.0;
    for (kind, words) in ["at work", "drying", "curing", "closed"].iter().enumerate() {
        let rect = Rect::of((x, y - 3.4), (x + 7.0, y));
        match kind {
            0 => scene.rect(rect, Pen::BLACK),
            1 | 2 => {
                let step = if kind == 1 { 0.9 } else { 2.4 };
                hatch::slope(scene, &Region::rect(rect), step, Pen::HATCH);
                scene.rect(rect, Pen::THIN);
            }
            _ => {
                for k in 0..6 {
                    let at = x + 0.7 + 1.1 * f64::from(k);
                    scene.line((at, y - 3.4), (at, y), Pen::HATCH);
                }
            }
        }
        let text = Text::new((x + 8.2, y - 0.4), *words);
        x += 8.2 + text.width() + 4.0;
        scene.text(text);
    }
}
