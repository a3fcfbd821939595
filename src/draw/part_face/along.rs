//! Where lengths of a part stand on the paper, and the scale at which it is drawn.

use super::{BESIDE, GAP, HIGH, LOW, WIDE};
use crate::draw::frame::Scale;

/// Where lengths of the part stand on the paper; stretches without cuts may be left out.
#[derive(Clone, Debug)]
pub struct Along {
    pub(super) factor: f64,
    /// Start and end in the part, start on the paper.
    pub(super) kept: Vec<(f64, f64, f64)>,
    pub(super) flip: Option<f64>,
}

impl Along {
    pub(super) fn whole(long: f64, factor: f64) -> Along {
        Along {
            factor,
            kept: vec![(0.0, long, 0.0)],
            flip: None,
        }
    }

    /// Leaves out what is far from every place of interest.
    pub(super) fn broken(long: f64, factor: f64, busy: &[(f64, f64)]) -> Along {
        let pad = BESIDE / factor;
        let mut kept: Vec<(f64, f64)> = Vec::new();
        let ends = [(0.0, 2.0 * pad), (long - 2.0 * pad, long)];
        let mut spans: Vec<(f64, f64)> = busy.iter().copied().chain(ends).collect();
        spans.sort_by(|a, b| a.0.total_cmp(&b.0));
        for (a, b) in spans {
            let (a, b) = ((a - pad).max(0.0), (b + pad).min(long));
            match kept.last_mut() {
                // A break must leave out more than it takes.
                Some(last) if a <= last.1 + (GAP + 4.0) / factor => last.1 = last.1.max(b),
                _ => kept.push((a, b)),
            }
        }
        let mut at = 0.0;
        let kept = kept
            .into_iter()
            .map(|(a, b)| {
                let start = at;
                at += (b - a) * factor + GAP;
                (a, b, start)
            })
            .collect();
        Along {
            factor,
            kept,
            flip: None,
        }
    }

    pub(super) fn paper(&self) -> f64 {
        self.kept
            .last()
            .map_or(0.0, |(a, b, x)| x + (b - a) * self.factor)
    }

    /// The x of a length.
    pub fn x(&self, l: f64) -> f64 {
        let plain = self
            .kept
            .iter()
            .rev()
            .find(|(a, ..)| *a <= l + 1e-9)
            .map_or(0.0, |(a, b, x)| x + (l.min(*b) - a) * self.factor);
        self.flip.map_or(plain, |wide| wide - plain)
    }

    /// A span, in the pieces that are drawn; each with whether its start and its end are breaks.
    pub(super) fn spans(&self, from: f64, to: f64) -> Vec<(f64, f64)> {
        self.kept
            .iter()
            .filter_map(|(a, b, _)| {
                let (p, q) = (from.max(*a), to.min(*b));
                (q > p + 1e-9).then_some((p, q))
            })
            .collect()
    }

    /// Both sides of every break, on the paper.
    pub(super) fn breaks(&self) -> Vec<(f64, f64)> {
        self.kept
            .windows(2)
            .map(|w| (self.x(w[0].1), self.x(w[1].0 + 1e-6)))
            .collect()
    }
}

pub(super) fn choose(long: f64, wide: f64, busy: &[(f64, f64)]) -> (Scale, Along) {
    let mut whole = None;
    for scale in Scale::reductions() {
        let f = scale.factor();
        whole = Some((scale, Along::whole(long, f)));
        if long * f <= WIDE && wide * f <= HIGH {
            break;
        }
    }
    let (scale, along) = whole.unwrap_or((Scale::FULL, Along::whole(long, 1.0)));
    if wide * scale.factor() >= LOW {
        return (scale, along);
    }
    for larger in Scale::reductions().take_while(|s| s.factor() > scale.factor()) {
        let f = larger.factor();
        let broken = Along::broken(long, f, busy);
        if wide * f <= 2.5 * LOW && broken.paper() <= WIDE {
            return (larger, broken);
        }
    }
    (scale, along)
}
