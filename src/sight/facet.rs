//! The surface of a part's wood: the sides of its cells that do not lie on each other.

use super::ring::{Ring, Split, sides_of};
use crate::model::{Box3, Edge};
use crate::solid::{Cell, Exact, Face, Plane, others, steepest};

/// A flat piece of surface.
#[derive(Clone, Debug)]
pub struct Facet {
    /// Its plane; the wood lies inside.
    pub plane: Plane,
    /// Convex figures that share no area.
    pub rings: Vec<Ring>,
}

impl Facet {
    /// The side of a box that looks to an edge.
    pub fn of_side(b: &Box3, edge: Edge) -> Facet {
        let i = edge.axis().index();
        let (u, v) = others(i);
        let at = b.face(edge).as_nm();
        let corner = |high: [bool; 2]| {
            let place = |k: usize, high: bool| if high { b.hi[k] } else { b.lo[k] }.as_nm();
            let mut corner = [at; 3];
            (corner[u], corner[v]) = (place(u, high[0]), place(v, high[1]));
            corner
        };
        let round = [[false, false], [true, false], [true, true], [false, true]];
        Facet {
            plane: Plane::square(i, edge.is_high(), at),
            rings: vec![round.into_iter().map(corner).collect()],
        }
    }
}

/// The surface of wood that is made of cells which share no space.
pub fn surface(cells: &[Cell]) -> Exact<Vec<Facet>> {
    let faces: Vec<(usize, Face)> = cells
        .iter()
        .enumerate()
        .flat_map(|(i, cell)| cell.faces().into_iter().map(move |face| (i, face)))
        .collect();
    let mut facets = Vec::new();
    for (own, face) in &faces {
        let axis = steepest(&face.plane);
        let against = face.plane.flipped();
        let mut split = Split {
            free: vec![face.ring.clone()],
            hidden: Vec::new(),
        };
        for (other, back) in faces.iter().filter(|(_, back)| back.plane == against) {
            let near = cells[*own].bounds().meet(cells[*other].bounds()).is_some();
            if other != own
                && near
                && let Some(sides) = sides_of(&back.ring, axis)?
            {
                split.hide(&sides, axis)?;
            }
        }
        if !split.free.is_empty() {
            facets.push(Facet {
                plane: face.plane,
                rings: split.free,
            });
        }
    }
    Ok(facets)
}
