//! What there is to coat, by class of surface.
//!
//! The surface of a part's wood, cuts and all, less what lies against the wood of its own case, door or box,
//! or of what it is joined to: that is glue, or not to be reached. Of a case's parts, what looks into an
//! opening or at another part of a case is inside; the rest is outside, in sight or not. Doors, flaps, drawer
//! faces and loose shelves are coated all round, drawer boxes in and out. Strips of edging count with the panel
//! that carries them; bores are not coated.

use crate::measure::{Length, Rational};
use crate::model::tree::Tree;
use crate::model::{AssemblyKind, Box3, Edge, Model, Part, PartId, Piece, Role, Shop};
use crate::sight::{Facet, Fronts, Ring, Woods, area, bounds, is_wide};
use crate::solid::{Cell, Exact};

/// A class of surfaces.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum AreaClass {
    /// What looks outward and is in sight with the fronts closed.
    Outside,
    /// What looks outward and is not: undersides, rears, what stands at a wall.
    Unseen,
    /// Doors, flaps and drawer faces, all sides.
    Fronts,
    /// What looks into the case.
    Inside,
    /// Loose shelves, all sides.
    Shelves,
    /// Drawer boxes, in and out.
    Drawers,
}

/// The surfaces of a class.
#[derive(Clone, Debug)]
pub struct AreaRow {
    /// Which.
    pub class: AreaClass,
    /// Over all copies, square millimetres.
    pub area: Rational,
}

/// The areas of some pieces, times their copies; classes that do not occur are left out.
pub(super) fn rows(model: &Model, pieces: &[u32]) -> Vec<AreaRow> {
    let mut rows: Vec<AreaRow> = Vec::new();
    for piece in pieces.iter().filter_map(|i| model.pieces.get(*i as usize)) {
        let copies = Rational::int(i64::from(piece.copies));
        let faces = Faces::of(piece, &model.shop);
        for part in &piece.parts {
            // What does not fit a number is an error of the text: no book is made of it.
            for (class, area) in faces.areas(part).unwrap_or_default() {
                match rows.iter_mut().find(|r| r.class == class) {
                    Some(row) => row.area = row.area + area * copies,
                    None => rows.push(AreaRow {
                        class,
                        area: area * copies,
                    }),
                }
            }
        }
    }
    rows.retain(|r| !r.area.is_zero());
    rows.sort_by_key(|r| r.class);
    rows
}

/// The faces of a piece put together: what lies against what, and what stands before what.
#[derive(Debug)]
pub struct Faces<'a> {
    piece: &'a Piece,
    woods: Woods,
    /// The openings that are not divided further.
    openings: Vec<Box3>,
    hollows: Tree,
    /// What each part is joined to.
    joined: Vec<Vec<PartId>>,
    /// The air that joints are cut with: what lies no farther off is not coated.
    air: Length,
}

impl<'a> Faces<'a> {
    /// Looks at a piece.
    pub fn of(piece: &'a Piece, shop: &Shop) -> Faces<'a> {
        let whole = piece.openings.iter().filter(|o| !o.divided);
        let openings: Vec<Box3> = whole.map(|o| o.clear).collect();
        let mut joined = vec![Vec::new(); piece.parts.len()];
        for joint in &piece.joints {
            for (one, other) in [(joint.a, joint.b), (joint.b, joint.a)] {
                if let Some(of) = joined.get_mut(one.0 as usize) {
                    of.push(other);
                }
            }
        }
        Faces {
            piece,
            woods: Woods::of(piece),
            hollows: Tree::new(openings.clone()),
            openings,
            joined,
            air: shop.fit.max(shop.relief_groove).max(shop.relief_mortise),
        }
    }

    /// What there is to coat on one part, by class, square millimetres.
    ///
    /// # Errors
    /// When a number does not fit.
    pub fn areas(&self, part: &Part) -> Exact<Vec<(AreaClass, Rational)>> {
        let sight = self.woods.sight(self.piece);
        let whole = match (part.role, self.piece.assembly(part.assembly).kind) {
            (Role::Door | Role::Flap | Role::Face, _) | (_, AssemblyKind::Leaf) => {
                Some(AreaClass::Fronts)
            }
            (Role::LooseShelf, _) | (_, AssemblyKind::Shelf) => Some(AreaClass::Shelves),
            (_, AssemblyKind::Drawer) => Some(AreaClass::Drawers),
            (_, AssemblyKind::Case | AssemblyKind::Fitted) => None,
        };
        let mut sums: Vec<(AreaClass, Rational)> = Vec::new();
        let joined = self.joined.get(part.id.0 as usize);
        let against = |other: &Part| {
            other.assembly == part.assembly
                || joined.is_some_and(|joined| joined.contains(&other.id))
        };
        let of_case = |other: &Part| self.piece.assembly(other.assembly).kind == AssemblyKind::Case;
        for mut facet in sight.surface(part.id)? {
            let plane = facet.plane;
            let mut add = |class, rings: &[Ring]| {
                let sum = area(rings, &plane);
                match sums.iter_mut().find(|(c, _)| *c == class) {
                    Some((_, all)) => *all = *all + sum,
                    None => sums.push((class, sum)),
                }
            };
            let air = Some(self.air);
            facet.rings = sight.before(part, &facet, air, &[], against)?.free;
            // No brush reaches the walls of that air.
            let sawn = Edge::ALL.map(|edge| Facet::of_side(&part.core, edge).plane);
            let outer = sawn.contains(&plane);
            facet
                .rings
                .retain(|ring| outer || is_wide(ring, &plane, self.air));
            if let Some(class) = whole {
                add(class, &facet.rings);
                continue;
            }
            let split = sight.before(part, &facet, None, &self.hollows_at(&facet), of_case)?;
            add(AreaClass::Inside, &split.hidden);
            facet.rings = split.free;
            let split = sight.seen(part, &facet, Fronts::Closed, &[], Length::ZERO)?;
            add(AreaClass::Outside, &split.free);
            add(AreaClass::Unseen, &split.hidden);
        }
        sums.retain(|(_, area)| !area.is_zero());
        Ok(sums)
    }

    /// The openings into which a surface looks.
    fn hollows_at(&self, facet: &Facet) -> Vec<Cell> {
        let near = facet.rings.iter().map(bounds);
        let near = near.reduce(|a, b| a.union(&b));
        let near = near.map(|near| self.hollows.touching(&near));
        near.into_iter()
            .flatten()
            .filter_map(|i| self.openings.get(i))
            .map(|clear| Cell::Box(*clear))
            .collect()
    }
}
