//! Parts as surfaces and as sections: boxes with their cuts taken out, in millimetres of wood.

use super::region::{Outline, Region};
use super::scene::{Point, Rect};
use crate::model::{Axis, Box3, Edge, LocalAxis, Part, Solid};

/// A point of the piece as floats.
pub type Spot = [f64; 3];

/// A box of the piece as floats.
pub fn corners(b: &Box3) -> (Spot, Spot) {
    (b.lo.map(|l| l.to_f64_mm()), b.hi.map(|l| l.to_f64_mm()))
}

/// The two axes of a plane, in the order x, y, z.
pub fn plane_axes(normal: Axis) -> (usize, usize) {
    match normal {
        Axis::X => (1, 2),
        Axis::Y => (0, 2),
        Axis::Z => (0, 1),
    }
}

/// A flat face of a part that looks one way.
#[derive(Clone, Debug)]
pub struct Surface {
    /// Where it looks.
    pub looks: Edge,
    /// Its place along that axis.
    pub place: f64,
    /// What of it is there, in the two other axes (order x, y, z).
    pub region: Region,
    /// The floor of a cut rather than the outer face.
    pub floor: bool,
}

/// Something that stands in a view: a part, whole or with its cuts, perhaps moved.
#[derive(Clone, Copy, Debug)]
pub struct Block<'a> {
    /// The part.
    pub part: &'a Part,
    /// Its box: as sawn, or as finished where its edging is not drawn apart.
    pub size: Box3,
    /// Whether its cuts are taken out.
    pub cuts: bool,
    /// Whether it is a front: what it hides may be drawn as hidden.
    pub front: bool,
    /// Moved so far from its place.
    pub shift: Spot,
}

const NEAR: f64 = 1e-4;

impl Block<'_> {
    /// What is no wood of it within its box.
    fn taken(&self) -> impl Iterator<Item = &Solid> {
        let cuts = self.part.cuts.iter().flat_map(|cut| &cut.solids);
        cuts.chain(&self.part.aslant)
    }

    /// Its corners where it stands.
    pub fn corners(&self) -> (Spot, Spot) {
        let (mut lo, mut hi) = corners(&self.size);
        for i in 0..3 {
            lo[i] += self.shift[i];
            hi[i] += self.shift[i];
        }
        (lo, hi)
    }

    /// The outer face that looks one way, without the mouths of cuts, and the floors of those cuts.
    pub fn surfaces(&self, looks: Edge) -> Vec<Surface> {
        let (lo, hi) = self.corners();
        let axis = looks.axis();
        let (i, (u, v)) = (axis.index(), plane_axes(axis));
        let place = if looks.is_high() { hi[i] } else { lo[i] };
        let mut outer = Region::rect(Rect::of((lo[u], lo[v]), (hi[u], hi[v])));
        let mut out = Vec::new();
        if self.cuts {
            for solid in self.taken() {
                let (mut clo, mut chi) = corners(&self.part.to_piece(&solid.bounds()));
                for k in 0..3 {
                    clo[k] += self.shift[k];
                    chi[k] += self.shift[k];
                }
                let mouth = if looks.is_high() { chi[i] } else { clo[i] };
                if (mouth - place).abs() > NEAR {
                    continue;
                }
                let outline = match solid {
                    Solid::Box(_) => Rect::of((clo[u], clo[v]), (chi[u], chi[v]))
                        .corners()
                        .to_vec(),
                    Solid::Prism { axis: run, .. } if self.part.lay.axis(*run) == axis => {
                        self.prism(solid, u, v)
                    }
                    // Bores are drawn as circles; a bevel does not break the face that it starts at.
                    _ => continue,
                };
                let (far, near) = if looks.is_high() {
                    (lo[i], clo[i])
                } else {
                    (hi[i], chi[i])
                };
                if (far - near).abs() > NEAR {
                    out.push(Surface {
                        looks,
                        place: near,
                        region: Region::of(outline.clone()),
                        floor: true,
                    });
                }
                outer.voids.push(outline);
            }
        }
        out.insert(
            0,
            Surface {
                looks,
                place,
                region: outer,
                floor: false,
            },
        );
        out
    }

    /// The outline of a prism in the piece's axes `u` and `v`, to one of which neither is its run.
    fn prism(&self, solid: &Solid, u: usize, v: usize) -> Outline {
        let Solid::Prism {
            axis, outline, lo, ..
        } = solid
        else {
            return Vec::new();
        };
        let others: Vec<usize> = (0..3).filter(|k| *k != axis.index()).collect();
        outline
            .iter()
            .map(|p| {
                let mut at = [*lo; 3];
                for (k, place) in others.iter().zip(p) {
                    at[*k] = *place;
                }
                let b = self
                    .part
                    .to_piece(&crate::model::LocalBox { lo: at, hi: at });
                let spot = b.lo.map(|l| l.to_f64_mm());
                (spot[u] + self.shift[u], spot[v] + self.shift[v])
            })
            .collect()
    }

    /// What a plane cuts of it, in the plane's two axes; `None` if the plane misses it.
    pub fn section(&self, normal: Axis, place: f64) -> Option<Region> {
        let (lo, hi) = self.corners();
        let (i, (u, v)) = (normal.index(), plane_axes(normal));
        if place <= lo[i] + NEAR || place >= hi[i] - NEAR {
            return None;
        }
        let mut region = Region::rect(Rect::of((lo[u], lo[v]), (hi[u], hi[v])));
        if !self.cuts {
            return Some(region);
        }
        for solid in self.taken() {
            let (clo, chi) = corners(&self.part.to_piece(&solid.bounds()));
            let at = place - self.shift[i];
            if at <= clo[i] || at >= chi[i] {
                continue;
            }
            let (su, sv) = (self.shift[u], self.shift[v]);
            match solid {
                Solid::Prism { axis, .. } if self.part.lay.axis(*axis) == normal => {
                    region.voids.push(self.prism(solid, u, v));
                }
                Solid::Prism { axis, .. } => {
                    let run = self.part.lay.axis(*axis).index();
                    let across = 3 - i - run;
                    let slice = self.prism(solid, across, i);
                    if let Some((from, to)) = slice_at(&slice, place) {
                        let mut a = [clo, chi];
                        a[0][across] = from - self.shift[across];
                        a[1][across] = to - self.shift[across];
                        region.voids.push(
                            Rect::of((a[0][u] + su, a[0][v] + sv), (a[1][u] + su, a[1][v] + sv))
                                .corners()
                                .to_vec(),
                        );
                    }
                }
                Solid::Box(_) | Solid::Bore { .. } => region.voids.push(
                    Rect::of((clo[u] + su, clo[v] + sv), (chi[u] + su, chi[v] + sv))
                        .corners()
                        .to_vec(),
                ),
            }
        }
        Some(region)
    }
}

/// Where a level line at `y` runs inside an outline: least and greatest x.
fn slice_at(outline: &[Point], y: f64) -> Option<(f64, f64)> {
    let mut found: Option<(f64, f64)> = None;
    for (a, b) in super::region::sides(outline) {
        if (a.1 - y) * (b.1 - y) <= 0.0 && (a.1 - b.1).abs() > NEAR {
            let x = a.0 + (y - a.1) / (b.1 - a.1) * (b.0 - a.0);
            found = Some(found.map_or((x, x), |(p, q)| (p.min(x), q.max(x))));
        }
    }
    found
}

/// How a part is hatched where a plane cuts it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grainwise {
    /// The plane is square to the fibres.
    Across,
    /// The fibres lie in the plane, along this axis of the piece.
    Along(Axis),
}

/// How solid wood shows in a plane with this normal.
pub fn grain_in(part: &Part, normal: Axis) -> Grainwise {
    let long = part.lay.axis(LocalAxis::Length);
    if long == normal {
        Grainwise::Across
    } else {
        Grainwise::Along(long)
    }
}
