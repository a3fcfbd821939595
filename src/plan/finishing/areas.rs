//! What there is to coat, by class of surface.
//!
//! Of a case's parts each of the six faces is split up: what lies against a neighbour in a joint is
//! not coated; what looks into an opening, or at another part of a case, is inside; the rest is
//! outside. Doors, drawer faces and loose shelves are coated all round, drawer boxes in and out, less
//! the joints. Strips of edging are part of the panel that carries them.

use super::rectangle;
use crate::measure::{Length, Rational};
use crate::model::{AssemblyKind, Axis, Box3, Edge, Model, Part, PartId, Piece, Role};
use crate::plan::glue_up::seen_box;

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
        for part in piece.parts.iter().filter(|p| p.host.is_none()) {
            for (class, area) in face_areas(piece, part) {
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

/// What there is to coat on one part, by class.
pub fn face_areas(piece: &Piece, part: &Part) -> Vec<(AreaClass, Rational)> {
    let whole = match part.role {
        Role::Door | Role::Face => Some(AreaClass::Fronts),
        Role::LooseShelf => Some(AreaClass::Shelves),
        _ => match piece.assembly(part.assembly).kind {
            AssemblyKind::Drawer => Some(AreaClass::Drawers),
            AssemblyKind::Leaf => Some(AreaClass::Fronts),
            AssemblyKind::Shelf => Some(AreaClass::Shelves),
            AssemblyKind::Case => None,
        },
    };
    let seen = seen_box(piece, part.id);
    let mut sums: Vec<(AreaClass, Rational)> = Vec::new();
    let mut add = |class, area: Rational| match sums.iter_mut().find(|(c, _)| *c == class) {
        Some((_, sum)) => *sum = *sum + area,
        None => sums.push((class, area)),
    };
    for edge in Edge::ALL {
        let face = Flat::face(&seen, edge);
        let covered = contacts(piece, part.id, &seen, edge);
        let open = face.area() - union(&face, &covered);
        match whole {
            Some(class) => add(class, open),
            None => {
                let mut inner = covered.clone();
                inner.extend(looks_inside(piece, part.id, &seen, edge));
                let outside = face.area() - union(&face, &inner);
                add(AreaClass::Outside, outside);
                add(AreaClass::Inside, open - outside);
            }
        }
    }
    sums
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

/// Joint faces on this face of the part.
fn contacts(piece: &Piece, part: PartId, seen: &Box3, edge: Edge) -> Vec<Flat> {
    let i = edge.axis().index();
    let joints = piece.joints.iter().filter(|j| {
        (j.a == part || j.b == part)
            && j.contact.lo[i] == j.contact.hi[i]
            && j.contact.lo[i] == seen.face(edge)
    });
    joints.map(|j| Flat::face(&j.contact, edge)).collect()
}

/// Where this face looks into an opening, or at another part of a case.
fn looks_inside(piece: &Piece, part: PartId, seen: &Box3, edge: Edge) -> Vec<Flat> {
    let plane = seen.face(edge);
    let mut out: Vec<Flat> = piece
        .openings
        .iter()
        .filter(|o| !o.divided && o.clear.face(edge.opposite()) == plane)
        .map(|o| Flat::face(&o.clear, edge))
        .collect();
    let beyond = |b: &Box3| {
        let near = b.face(edge.opposite());
        if edge.is_high() {
            near >= plane
        } else {
            near <= plane
        }
    };
    out.extend(
        piece
            .parts
            .iter()
            .filter(|p| p.id != part && p.host != Some(part))
            .filter(|p| piece.assembly(p.assembly).kind == AssemblyKind::Case)
            .map(|p| seen_box(piece, p.id))
            .filter(|b| beyond(b))
            .map(|b| Flat::face(&b, edge)),
    );
    out
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
