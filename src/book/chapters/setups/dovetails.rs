//! What a row of dovetails asks of a bevel and of a template guide, beside the lines for cutting by hand.

use super::card::Named;
use crate::book::html;
use crate::measure::{Length, Rational, Units};
use crate::plan::setups::{Card, Operation, Process, Setting, Space};
use minijinja::Value;
use serde::Serialize;

/// Rows of tails that are spaced alike.
#[derive(Serialize, PartialEq)]
pub(super) struct DovetailFacts {
    /// The first part of a card with this spacing.
    pub named: Named,
    #[serde(flatten)]
    pub slope: SlopeFacts,
    /// From the middle of a tail to that of the next; `None` for a single tail.
    pub pitch: Option<Value>,
    /// The middle of the first tail from the reference edge.
    pub first: Value,
    /// How deep the bit is set.
    pub deep: Value,
}

/// How much a wall leans over its depth.
#[derive(Serialize, PartialEq)]
pub(super) struct SlopeFacts {
    /// `1 in 7`: to the side for each so much of length.
    pub slope: String,
    /// The same as an angle, in degrees to a tenth.
    pub angle: String,
}

impl SlopeFacts {
    pub(super) fn new(slope: Rational) -> SlopeFacts {
        let slope = slope.to_f64();
        // A slope is stated as a whole number nearly always; others to a tenth.
        let whole = (slope - slope.round()).abs() < 0.05;
        SlopeFacts {
            slope: if whole {
                format!("1 in {slope:.0}")
            } else {
                format!("1 in {slope:.1}")
            },
            angle: format!("{:.1}", libm::atan(1.0 / slope).to_degrees()),
        }
    }
}

/// Where the tails are, from the waste between them, or from their sockets: the middle of each at the
/// outside of the corner.
fn middles(process: Process, spaces: &[Space]) -> Vec<Length> {
    match process {
        Process::Sockets => spaces
            .iter()
            .map(|s| (s.outside[0] + s.outside[1]).half())
            .collect(),
        _ => spaces
            .windows(2)
            .map(|w| (w[0].outside[1] + w[1].outside[0]).half())
            .collect(),
    }
}

/// How far the walls lean over all of their depth.
fn lean(spaces: &[Space]) -> Length {
    spaces
        .iter()
        .flat_map(|s| [0, 1].map(|i| (s.outside[i] - s.inside[i]).abs()))
        .max()
        .unwrap_or_default()
}

fn of(units: Units, process: Process, op: &Operation, named: Named) -> Option<DovetailFacts> {
    let Setting::Spaces(spaces) = &op.setting else {
        return None;
    };
    let (deep, lean) = (op.height?, lean(spaces));
    let middles = middles(process, spaces);
    let first = *middles.first()?;
    if !lean.is_positive() {
        return None;
    }
    let figure = |l: Length| html::figure_setting(units, l);
    Some(DovetailFacts {
        named,
        slope: SlopeFacts::new(deep.ratio(lean)),
        pitch: middles.get(1).map(|next| figure(*next - first)),
        first: figure(first),
        deep: figure(deep),
    })
}

/// Each spacing of a card's rows, once.
pub(super) fn spacings(units: Units, card: &Card) -> Vec<DovetailFacts> {
    if !matches!(card.process, Process::Tails | Process::Sockets) {
        return Vec::new();
    }
    let mut out: Vec<DovetailFacts> = Vec::new();
    for run in card.rows.iter().flat_map(|row| &row.runs) {
        let named = Named {
            mark: run.mark,
            label: run.label.clone(),
        };
        let Some(fact) = run
            .operations
            .first()
            .and_then(|op| of(units, card.process, op, named))
        else {
            continue;
        };
        let alike = |known: &DovetailFacts| {
            (&known.slope, &known.pitch, &known.first) == (&fact.slope, &fact.pitch, &fact.first)
        };
        if !out.iter().any(alike) {
            out.push(fact);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Three tails on 120, pitch 40, 5/8 of it wide in the middle of 14 mm, 1 in 7: 25 - 2 and 25 + 2.
    /// Slopes as angles: 1 in 6 is 9.46 degrees, 1 in 7 8.13, 1 in 8 7.13 (arc tangents).
    #[test]
    fn a_row_of_three() {
        let mm = Length::mm;
        let space = |o: [i64; 2], i: [i64; 2]| Space {
            outside: o.map(mm),
            inside: i.map(mm),
        };
        let half = |n: i64| mm(n).half();
        let wastes = [
            Space {
                outside: [mm(0), half(13)],
                inside: [mm(0), half(17)],
            },
            Space {
                outside: [half(67), half(93)],
                inside: [half(63), half(97)],
            },
            Space {
                outside: [half(147), half(173)],
                inside: [half(143), half(177)],
            },
            Space {
                outside: [half(227), mm(120)],
                inside: [half(223), mm(120)],
            },
        ];
        assert_eq!(middles(Process::Tails, &wastes), [20, 60, 100].map(mm));
        assert_eq!(lean(&wastes), mm(2));
        let sockets = [space([6, 34], [8, 32]), space([46, 74], [48, 72])];
        assert_eq!(middles(Process::Sockets, &sockets), [20, 60].map(mm));
        for (slope, angle) in [(6, "9.5"), (7, "8.1"), (8, "7.1")] {
            assert_eq!(SlopeFacts::new(Rational::new(slope, 1)).angle, angle);
        }
    }
}
