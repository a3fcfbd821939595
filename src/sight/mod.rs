//! What a person sees of a piece, with its fronts closed and with them open.
//!
//! An eye far away looks along each side of the case that shows (`seen`), and slantwise between two of
//! them, halfway. What it sees of a surface is exact: the surface less what the wood of all parts hides
//! of it, cuts and all; bores are not looked through. From below nothing is looked at, nor from the rear
//! unless `seen` says so. With the fronts open, doors, flaps, lids and drawers are out of the way.

mod faces;
mod facet;
mod ring;
mod shadow;

pub use facet::Facet;
pub use ring::{Ring, Split, area};

use crate::measure::{Length, Rational};
use crate::model::tree::Tree;
use crate::model::{AssemblyKind, Box3, Edge, Part, PartId, Piece};
use crate::solid::{Cell, Exact, Overflow, Plane, Wood, steepest};
use facet::surface;
use shadow::{Way, shadow, slope};

/// Whether the fronts of a piece hide what is behind them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fronts {
    /// All is in its place.
    Closed,
    /// Doors, flaps, lids and drawers are out of the way.
    Open,
}

/// A piece to be looked at.
#[derive(Clone, Copy, Debug)]
pub struct Sight<'a> {
    piece: &'a Piece,
    woods: &'a [Exact<Wood>],
    /// Of the parts' sawn boxes.
    tree: &'a Tree,
}

/// What a look at a piece needs, where nobody has it yet: the wood of its parts, and which lie near which.
#[derive(Debug)]
pub struct Woods {
    woods: Vec<Exact<Wood>>,
    tree: Tree,
}

impl Woods {
    /// Of the parts of a piece.
    pub fn of(piece: &Piece) -> Woods {
        Woods {
            woods: piece.parts.iter().map(Wood::of).collect(),
            tree: Tree::new(piece.parts.iter().map(|part| part.core).collect()),
        }
    }

    /// A look at that piece.
    pub fn sight<'a>(&'a self, piece: &'a Piece) -> Sight<'a> {
        Sight::of(piece, &self.woods, &self.tree)
    }
}

impl<'a> Sight<'a> {
    /// Looks at a piece; `woods` and `tree` are those of its parts, in their order.
    pub fn of(piece: &'a Piece, woods: &'a [Exact<Wood>], tree: &'a Tree) -> Sight<'a> {
        Sight { piece, woods, tree }
    }

    fn wood(&self, part: PartId) -> Exact<&'a Wood> {
        match self.woods.get(part.0 as usize) {
            Some(Ok(wood)) => Ok(wood),
            Some(Err(Overflow)) | None => Err(Overflow),
        }
    }

    /// The surface of a part, as it is before anything lies on it.
    ///
    /// # Errors
    /// When a number does not fit.
    pub fn surface(&self, part: PartId) -> Exact<Vec<Facet>> {
        surface(&self.wood(part)?.cells()?)
    }

    /// The sides from which a part is looked at.
    fn sides(&self, part: &Part) -> Vec<Edge> {
        let fitted = self.piece.assembly(part.assembly).kind == AssemblyKind::Fitted;
        let case = self.piece.inner_case(part.assembly).filter(|_| !fitted);
        let looked_at = |edge: &Edge| match case {
            Some(case) => case.seen.contains(edge),
            // A worktop or filler is seen from every side but the rear, which stands at the wall.
            None => *edge != Edge::Rear && !self.piece.walls.contains(edge),
        };
        let sides = Edge::ALL.into_iter().filter(|edge| *edge != Edge::Bottom);
        sides.filter(looked_at).collect()
    }

    /// The ways to the eyes that look at a part: along each side, then halfway between two.
    fn ways(&self, part: &Part) -> Vec<Way> {
        let straight: Vec<Way> = self.sides(part).into_iter().map(way).collect();
        let mut ways = straight.clone();
        for (i, one) in straight.iter().enumerate() {
            for other in &straight[i + 1..] {
                let between = [0, 1, 2].map(|k| one[k] + other[k]);
                if between != [Rational::ZERO; 3] {
                    ways.push(between);
                }
            }
        }
        ways
    }

    /// What is seen of a surface of a part, and what is not. Parts in `aside` hide nothing.
    ///
    /// A strip in sight narrower than `least` is not told; seen slantwise it counts from five times that, so
    /// that a gap lets nobody look in (judgement).
    ///
    /// # Errors
    /// When a number does not fit.
    pub fn seen(
        &self,
        part: &Part,
        facet: &Facet,
        fronts: Fronts,
        aside: &[PartId],
        least: Length,
    ) -> Exact<Split> {
        let counts = |other: &Part| {
            let away = fronts == Fronts::Open
                && other.assembly != part.assembly
                && matches!(
                    self.piece.assembly(other.assembly).kind,
                    AssemblyKind::Leaf | AssemblyKind::Drawer
                );
            !away && !aside.contains(&other.id)
        };
        let mut all = Split {
            free: Vec::new(),
            hidden: facet.rings.clone(),
        };
        for way in self.ways(part) {
            if slope(&facet.plane, &way) <= Rational::ZERO {
                continue;
            }
            let straight = way.iter().filter(|step| !step.is_zero()).count() == 1;
            let least = if straight { least } else { least * 5 };
            for ring in std::mem::take(&mut all.hidden) {
                let mut split = Split {
                    free: vec![ring],
                    hidden: Vec::new(),
                };
                self.hide(&mut split, part, &facet.plane, &way, None, counts)?;
                for ring in split.free {
                    match is_wide(&ring, &facet.plane, least) {
                        true => all.free.push(ring),
                        false => all.hidden.push(ring),
                    }
                }
                all.hidden.append(&mut split.hidden);
            }
        }
        Ok(all)
    }

    /// Splits a surface, looked at squarely: what nothing lies before, and what something does.
    ///
    /// Parts hide for which `counts` says so, no farther off than `within`, and the part itself; so do
    /// `hollows` that touch the surface.
    ///
    /// # Errors
    /// When a number does not fit.
    pub fn before(
        &self,
        part: &Part,
        facet: &Facet,
        within: Option<Length>,
        hollows: &[Cell],
        counts: impl Fn(&Part) -> bool,
    ) -> Exact<Split> {
        let plane = &facet.plane;
        let mut split = Split {
            free: facet.rings.clone(),
            hidden: Vec::new(),
        };
        for cell in hollows {
            if let Some(sides) = shadow(cell, plane, &plane.normal, Some(TOUCHES))? {
                split.hide(&sides, steepest(plane))?;
            }
        }
        self.hide(&mut split, part, plane, &plane.normal, within, counts)?;
        Ok(split)
    }

    /// Hides of figures in a plane of a part what wood lies before on the way to an eye.
    fn hide(
        &self,
        split: &mut Split,
        part: &Part,
        plane: &Plane,
        way: &Way,
        within: Option<Length>,
        counts: impl Fn(&Part) -> bool,
    ) -> Exact<()> {
        let axis = steepest(plane);
        let Some(mut between) = split.free.iter().map(bounds).reduce(|a, b| a.union(&b)) else {
            return Ok(());
        };
        for (i, step) in way.iter().enumerate() {
            let overall = &self.piece.overall;
            let (lo, hi) = match within {
                Some(within) => (between.lo[i] - within, between.hi[i] + within),
                None => (overall.lo[i], overall.hi[i]),
            };
            if step.is_negative() {
                between.lo[i] = between.lo[i].min(lo);
            } else if !step.is_zero() {
                between.hi[i] = between.hi[i].max(hi);
            }
        }
        let within = within.map(|within| off(plane, within));
        for i in self.tree.touching(&between) {
            let Some(other) = self.piece.parts.get(i) else {
                continue;
            };
            if other.id != part.id && !counts(other) {
                continue;
            }
            for cell in self.wood(other.id)?.within(&between)? {
                if split.free.is_empty() {
                    return Ok(());
                }
                if let Some(sides) = shadow(&cell, plane, way, within)? {
                    split.hide(&sides, axis)?;
                }
            }
        }
        Ok(())
    }
}

/// How far before a surface a hollow is looked for that touches it; how much does not matter.
const TOUCHES: Rational = Rational::ONE;

/// A distance from a plane in units of its normal, or somewhat more where it is slanted.
fn off(plane: &Plane, distance: Length) -> Rational {
    let long = plane
        .normal
        .iter()
        .fold(Rational::ZERO, |sum, n| sum + n.abs());
    distance.as_nm() * long
}

fn way(edge: Edge) -> Way {
    let mut way = [Rational::ZERO; 3];
    way[edge.axis().index()] = Rational::int(if edge.is_high() { 1 } else { -1 });
    way
}

/// The smallest box round a figure.
pub fn bounds(ring: &Ring) -> Box3 {
    let first = ring.first().copied().unwrap_or([Rational::ZERO; 3]);
    let (mut lo, mut hi) = (first, first);
    for corner in ring {
        for i in 0..3 {
            lo[i] = lo[i].min(corner[i]);
            hi[i] = hi[i].max(corner[i]);
        }
    }
    Box3 {
        lo: lo.map(Length::from_nm),
        hi: hi.map(Length::from_nm),
    }
}

/// Whether a figure is nowhere narrower than `least`, as the box round it has it.
pub fn is_wide(ring: &Ring, plane: &Plane, least: Length) -> bool {
    let round = bounds(ring);
    let across = |i: usize| round.hi[i] - round.lo[i];
    let flat = plane.axis();
    let mut extents: Vec<Length> = (0..3).filter(|i| Some(*i) != flat).map(across).collect();
    extents.sort_unstable();
    // Of a slanted figure the longest two.
    extents.iter().rev().take(2).all(|extent| *extent >= least)
}

#[cfg(test)]
mod tests;
