//! When each step is done: counted back from the due date over working days.
//!
//! A moment is a number of minutes from midnight before the due date (below zero before it); without
//! a due date from midnight before a first day that is taken as a Monday. The steps are walked
//! backwards for the latest day on which the work can begin, then forwards from that morning, each
//! as early as it can be; what is left over is the time in hand.

use super::steps::Step;
use crate::model::Shop;
use jiff::civil::{Date, Weekday};

/// Minutes from midnight before the day that the calendar hangs on.
pub type Moment = i64;

const DAY: i64 = 24 * 60;

/// When the steps are done.
#[derive(Clone, Debug)]
pub struct Calendar {
    /// The due date; `None` if none is stated (days are then counted from 1).
    pub due: Option<Date>,
    /// The moment by which all is ready: the shop's opening hour on the due date.
    pub ready_by: Option<Moment>,
    /// One a step.
    pub slots: Vec<Slot>,
    /// Minutes between the end of the last step and `ready_by`.
    pub in_hand: Option<i64>,
    /// The shop's working hours, in minutes of the day.
    pub hours: (i64, i64),
}

/// When a step is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Slot {
    /// Work begins.
    pub start: Moment,
    /// Work ends.
    pub worked: Moment,
    /// Dry or cured; the next step may begin.
    pub ready: Moment,
}

impl Calendar {
    /// The day of a moment: 0 is the due date, or the first day.
    pub fn day(moment: Moment) -> i64 {
        moment.div_euclid(DAY)
    }

    /// Minutes after midnight.
    pub fn minute(moment: Moment) -> i64 {
        moment.rem_euclid(DAY)
    }

    /// The date of a day, if there is a due date.
    pub fn date(&self, day: i64) -> Option<Date> {
        let days = i32::try_from(day).ok()?;
        self.due?
            .checked_add(jiff::Span::new().try_days(days).ok()?)
            .ok()
    }

    /// Whether the shop is open on a day.
    pub fn open(&self, day: i64) -> bool {
        open(self.due, day)
    }
}

/// Monday to Friday (common practice); public holidays are not known.
fn open(due: Option<Date>, day: i64) -> bool {
    let monday = match due {
        Some(date) => i64::from(date.weekday().to_monday_zero_offset()),
        None => i64::from(Weekday::Monday.to_monday_zero_offset()),
    };
    (monday + day).rem_euclid(7) < 5
}

struct Hours {
    due: Option<Date>,
    from: i64,
    to: i64,
}

impl Hours {
    /// The first working minute that is not before a moment.
    fn next(&self, moment: Moment) -> Moment {
        let mut at = moment;
        loop {
            let (day, minute) = (at.div_euclid(DAY), at.rem_euclid(DAY));
            if open(self.due, day) && minute < self.to {
                return day * DAY + minute.max(self.from);
            }
            at = (day + 1) * DAY;
        }
    }

    /// The last working minute that is not after a moment.
    fn last(&self, moment: Moment) -> Moment {
        let mut at = moment;
        loop {
            let (day, minute) = (at.div_euclid(DAY), at.rem_euclid(DAY));
            if open(self.due, day) && minute > self.from {
                return day * DAY + minute.min(self.to);
            }
            at = day * DAY - 1;
        }
    }

    /// When work of some minutes begins at the earliest; a coat that fits into a day is not begun
    /// where the rest of the day is too short for it.
    fn begin(&self, moment: Moment, work: i64, coat: bool) -> Moment {
        let at = self.next(moment);
        let room = at.div_euclid(DAY) * DAY + self.to - at;
        if coat && work > room && work <= self.to - self.from {
            self.next((at.div_euclid(DAY) + 1) * DAY)
        } else {
            at
        }
    }

    /// When work of some minutes ends at the latest, likewise.
    fn end(&self, moment: Moment, work: i64, coat: bool) -> Moment {
        let at = self.last(moment);
        let room = at - (at.div_euclid(DAY) * DAY + self.from);
        if coat && work > room && work <= self.to - self.from {
            self.last(at.div_euclid(DAY) * DAY - 1)
        } else {
            at
        }
    }

    /// Where work of some minutes ends that begins at a working minute.
    fn forward(&self, start: Moment, work: i64) -> Moment {
        let (mut at, mut left) = (start, work);
        while left > 0 {
            at = self.next(at);
            let room = at.div_euclid(DAY) * DAY + self.to - at;
            let done = left.min(room);
            at += done;
            left -= done;
        }
        at
    }

    /// Where work of some minutes begins that ends not after a moment.
    fn backward(&self, end: Moment, work: i64) -> Moment {
        let (mut at, mut left) = (end, work);
        while left > 0 {
            at = self.last(at);
            let room = at - (at.div_euclid(DAY) * DAY + self.from);
            let done = left.min(room);
            at -= done;
            left -= done;
        }
        at
    }
}

/// The calendar of some steps.
pub(super) fn calendar(shop: &Shop, steps: &[Step], due: Option<&str>) -> Calendar {
    let due: Option<Date> = due.and_then(|text| text.parse().ok());
    let (from, to) = (i64::from(shop.hours.0) * 60, i64::from(shop.hours.1) * 60);
    // A shop that opens at no time of the day still gets a calendar, of whole days.
    let (from, to) = if from < to && to <= DAY {
        (from, to)
    } else {
        (0, DAY)
    };
    let hours = Hours { due, from, to };
    let ready_by = due.map(|_| from);
    let start = match ready_by {
        Some(end) => {
            let latest = steps.iter().rev().fold(end, |at, step| {
                let (work, coat) = (i64::from(step.work), step.is_coat());
                let by = at - i64::from(step.wait);
                if work > 0 {
                    hours.backward(hours.end(by, work, coat), work)
                } else {
                    by
                }
            });
            // From the morning of that day: the hours before are time in hand.
            let morning = latest.div_euclid(DAY) * DAY + from;
            if morning > latest {
                morning - DAY
            } else {
                morning
            }
        }
        None => from,
    };
    let mut at = start;
    let slots: Vec<Slot> = steps
        .iter()
        .map(|step| {
            let start = if step.work > 0 {
                hours.begin(at, i64::from(step.work), step.is_coat())
            } else {
                at
            };
            let worked = hours.forward(start, i64::from(step.work));
            let ready = worked + i64::from(step.wait);
            at = ready;
            Slot {
                start,
                worked,
                ready,
            }
        })
        .collect();
    Calendar {
        due,
        ready_by,
        in_hand: ready_by.map(|by| by - slots.last().map_or(by, |s| s.ready)),
        slots,
        hours: (from, to),
    }
}
