//! What there is to coat, by class of surface.
//!
//! Of a case's parts each of the six faces is split up: what lies against a neighbour in a joint is
//! not coated; what looks into an opening, or at another part of a case, is inside; the rest is
//! outside. Doors, drawer faces and loose shelves are coated all round, drawer boxes in and out, less
//! the joints. Strips of edging are part of the panel that carries them.

use super::rectangle;
use crate::measure::{Length, Rational};
use crate::model::tree::Tree;
use crate::model::{AssemblyKind, Axis, Box3, Edge, Joint, Model, Part, Piece, Role};
use crate::plan::glue_up::seen_boxes;

/// A class of surfaces.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum AreaClass {
    /// What looks outward.
    Outside,
    /// Doors and drawer faces, all sides.
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
        let faces = Faces::of(piece);
        for part in piece.parts.iter().filter(|p| p.host.is_none()) {
            for (class, area) in faces.areas(part) {
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
    /// What is seen of each part, by its index.
    seen: Vec<Box3>,
    parts: Tree,
    hull: Option<Box3>,
    /// The openings that are not divided further.
    openings: Vec<Box3>,
    hollows: Tree,
    /// By part.
    joints: Vec<Vec<&'a Joint>>,
}

impl<'a> Faces<'a> {
    /// Looks at a piece.
    pub fn of(piece: &'a Piece) -> Faces<'a> {
        let seen = seen_boxes(piece);
        let whole = piece.openings.iter().filter(|o| !o.divided);
        let openings: Vec<Box3> = whole.map(|o| o.clear).collect();
        let mut joints = vec![Vec::new(); piece.parts.len()];
        for joint in &piece.joints {
            for part in [joint.a, joint.b] {
                if let Some(of) = joints.get_mut(part.0 as usize) {
                    of.push(joint);
                }
            }
        }
        Faces {
            piece,
            parts: Tree::new(seen.clone()),
            hull: seen.iter().copied().reduce(|a, b| a.union(&b)),
            hollows: Tree::new(openings.clone()),
            seen,
            openings,
            joints,
        }
    }

    /// What there is to coat on one part, by class, square millimetres.
    pub fn areas(&self, part: &Part) -> Vec<(AreaClass, Rational)> {
        let whole = match part.role {
            Role::Door | Role::Face => Some(AreaClass::Fronts),
            Role::LooseShelf => Some(AreaClass::Shelves),
            _ => match self.piece.assembly(part.assembly).kind {
                AssemblyKind::Drawer => Some(AreaClass::Drawers),
                AssemblyKind::Leaf => Some(AreaClass::Fronts),
                AssemblyKind::Shelf => Some(AreaClass::Shelves),
                AssemblyKind::Case | AssemblyKind::Fitted => None,
            },
        };
        let mut sums: Vec<(AreaClass, Rational)> = Vec::new();
        let mut add = |class, area: Rational| match sums.iter_mut().find(|(c, _)| *c == class) {
            Some((_, sum)) => *sum = *sum + area,
            None => sums.push((class, area)),
        };
        let Some(seen) = self.seen.get(part.id.0 as usize) else {
            return sums;
        };
        for edge in Edge::ALL {
            let face = Flat::face(seen, edge);
            let covered = self.contacts(part, seen, edge);
            let open = face.area() - union(&face, &covered);
            match whole {
                Some(class) => add(class, open),
                None => {
                    let mut inner = covered.clone();
                    inner.extend(self.looks_inside(part, seen, edge));
                    let outside = face.area() - union(&face, &inner);
                    add(AreaClass::Outside, outside);
                    add(AreaClass::Inside, open - outside);
                }
            }
        }
        sums
    }

    /// Joint faces on this face of the part.
    fn contacts(&self, part: &Part, seen: &Box3, edge: Edge) -> Vec<Flat> {
        let i = edge.axis().index();
        let joints = self.joints.get(part.id.0 as usize).into_iter().flatten();
        joints
            .filter(|j| j.contact.lo[i] == j.contact.hi[i] && j.contact.lo[i] == seen.face(edge))
            .map(|j| Flat::face(&j.contact, edge))
            .collect()
    }

    /// Where this face looks into an opening, or at another part of a case.
    fn looks_inside(&self, part: &Part, seen: &Box3, edge: Edge) -> Vec<Flat> {
        let plane = seen.face(edge);
        // The face itself, and all that lies before it.
        let mut before = *seen;
        before.set_face(edge.opposite(), plane);
        let openings = self.hollows.touching(&before).into_iter();
        let mut out: Vec<Flat> = openings
            .filter_map(|i| self.openings.get(i))
            .filter(|clear| clear.face(edge.opposite()) == plane)
            .map(|clear| Flat::face(clear, edge))
            .collect();
        if let Some(hull) = &self.hull {
            before.set_face(edge, hull.face(edge));
        }
        let others = self.parts.touching(&before).into_iter();
        out.extend(
            others
                .filter_map(|i| Some((self.piece.parts.get(i)?, self.seen.get(i)?)))
                .filter(|(other, _)| other.id != part.id && other.host != Some(part.id))
                .filter(|(other, _)| self.piece.assembly(other.assembly).kind == AssemblyKind::Case)
                .filter(|(_, b)| {
                    let near = b.face(edge.opposite());
                    if edge.is_high() {
                        near >= plane
                    } else {
                        near <= plane
                    }
                })
                .map(|(_, b)| Flat::face(b, edge)),
        );
        out
    }
}

/// A rectangle in the two axes across an axis.
#[derive(Clone, Copy, Debug)]
struct Flat {
    lo: [Length; 2],
    hi: [Length; 2],
}

impl Flat {
    fn face(b: &Box3, edge: Edge) -> Flat {
        let axes: Vec<usize> = Axis::ALL
            .into_iter()
            .filter(|a| *a != edge.axis())
            .map(Axis::index)
            .collect();
        let (i, j) = (axes[0], axes[1]);
        Flat {
            lo: [b.lo[i], b.lo[j]],
            hi: [b.hi[i], b.hi[j]],
        }
    }

    fn area(&self) -> Rational {
        rectangle(self.hi[0] - self.lo[0], self.hi[1] - self.lo[1])
    }
}

/// The area of `face` that some rectangles cover, counted once where they overlap.
fn union(face: &Flat, rects: &[Flat]) -> Rational {
    let clipped: Vec<Flat> = rects
        .iter()
        .map(|r| Flat {
            lo: [r.lo[0].max(face.lo[0]), r.lo[1].max(face.lo[1])],
            hi: [r.hi[0].min(face.hi[0]), r.hi[1].min(face.hi[1])],
        })
        .filter(|r| r.lo[0] < r.hi[0] && r.lo[1] < r.hi[1])
        .collect();
    let mut xs: Vec<Length> = clipped.iter().flat_map(|r| [r.lo[0], r.hi[0]]).collect();
    xs.sort_unstable();
    xs.dedup();
    xs.windows(2).fold(Rational::ZERO, |sum, x| {
        let mut spans: Vec<(Length, Length)> = clipped
            .iter()
            .filter(|r| r.lo[0] <= x[0] && r.hi[0] >= x[1])
            .map(|r| (r.lo[1], r.hi[1]))
            .collect();
        spans.sort_unstable();
        let mut high: Option<Length> = None;
        let mut covered = Length::ZERO;
        for (lo, hi) in spans {
            let from = high.map_or(lo, |h| h.max(lo));
            if hi > from {
                covered += hi - from;
                high = Some(hi);
            }
        }
        sum + rectangle(x[1] - x[0], covered)
    })
}
