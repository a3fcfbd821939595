//! Round bores, and the prisms that stand for them where they meet other cuts.

use super::hull::{Hull, others};
use super::{Exact, outline};
use crate::measure::Rational;
use crate::model::{Box3, Edge};

/// Corners of the prism that stands for a bore.
pub const CORNERS: usize = 64;

/// Cosines of the corners of the first quarter, in parts of 10⁹.
const COSINES: [i64; CORNERS / 4 + 1] = [
    1_000_000_000,
    995_184_727,
    980_785_280,
    956_940_336,
    923_879_533,
    881_921_264,
    831_469_612,
    773_010_453,
    707_106_781,
    634_393_284,
    555_570_233,
    471_396_737,
    382_683_432,
    290_284_677,
    195_090_322,
    98_017_140,
    0,
];

/// A regular polygon with 64 corners has the circle's area if its corners lie this much farther out, in
/// parts of 10⁹: the square root of `pi / (32 sin(2 pi / 64))`.
const SAME_AREA: i64 = 1_000_803_772;

/// A bore in the piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bore {
    /// The box round it.
    pub bounds: Box3,
    /// Toward which it opens.
    pub mouth: Edge,
}

impl Bore {
    /// Its volume, cubic millimetres, as a float: pi is no ratio.
    pub fn volume(&self) -> f64 {
        let axis = self.mouth.axis();
        let (u, _) = others(axis.index());
        let radius = (self.bounds.hi[u] - self.bounds.lo[u]).to_f64_mm() / 2.0;
        std::f64::consts::PI * radius * radius * self.bounds.extent(axis).to_f64_mm()
    }

    /// The prism inscribed in it: nowhere farther inside than 0.13 % of the radius.
    pub fn inscribed(&self) -> Exact<Vec<Hull>> {
        self.prism(Rational::ONE)
    }

    /// The prism with its area.
    pub fn same_area(&self) -> Exact<Vec<Hull>> {
        self.prism(Rational::new(SAME_AREA.into(), BILLION))
    }

    /// Corners in whole nanometres keep the numbers short.
    fn prism(&self, scale: Rational) -> Exact<Vec<Hull>> {
        let axis = self.mouth.axis().index();
        let (u, v) = others(axis);
        let (lo, hi) = (self.bounds.lo, self.bounds.hi);
        let radius = (hi[u] - lo[u]).half().as_nm() * scale;
        let place = |i: usize, along: i64| {
            let out = radius * Rational::new(along.into(), BILLION);
            let at = (lo[i] + hi[i]).half().as_nm() + out;
            at.round()
                .map_or(Rational::OVERFLOW, |nm| Rational::new(nm, 1))
        };
        let corners: Vec<[Rational; 2]> =
            circle().map(|[x, y]| [place(u, x), place(v, y)]).collect();
        outline::convex(&corners)?
            .iter()
            .map(|outline| Hull::prism(axis, outline, lo[axis].as_nm(), hi[axis].as_nm()))
            .collect()
    }
}

const BILLION: i128 = 1_000_000_000;

/// Points of the unit circle in parts of 10⁹, once round to the left.
fn circle() -> impl Iterator<Item = [i64; 2]> {
    let quarter = CORNERS / 4;
    (0..CORNERS).map(move |i| {
        let (x, y) = (COSINES[i % quarter], COSINES[quarter - i % quarter]);
        match i / quarter {
            0 => [x, y],
            1 => [-y, x],
            2 => [-x, -y],
            _ => [y, -x],
        }
    })
}
