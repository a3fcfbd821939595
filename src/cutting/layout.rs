//! What comes out: a tree of cuts for each sheet. Positions and the order of cuts follow from it.

use super::problem::Axis;

/// The sheets to cut.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Layout {
    /// In cutting order: equal layouts together, full sheets first.
    pub sheets: Vec<CutSheet>,
}

/// Sheets that are cut alike.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CutSheet {
    /// Index of the sheet in the problem.
    pub sheet: usize,
    /// How many are cut so.
    pub times: u32,
    /// The trimmed sheet and what becomes of it.
    pub piece: Piece,
}

/// A rectangle of material.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Piece {
    /// Its size, `[w, h]` along the sheet's axes.
    pub size: [i64; 2],
    /// What becomes of it.
    pub becomes: Becomes,
}

/// What becomes of a piece.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Becomes {
    /// A finished part, exactly as large as the piece.
    Part {
        /// Index of the part in the problem.
        part: usize,
        /// Whether its `w` lies along the sheet's `h`.
        turned: bool,
    },
    /// Nothing: an offcut.
    Rest,
    /// Pieces that follow each other along an axis, each sawn off by a cut across that axis, a kerf
    /// between neighbours. What remains after the last is at most a kerf.
    Cut {
        /// Along which the pieces follow each other.
        axis: Axis,
        /// In order from the near edge.
        pieces: Vec<Piece>,
    },
}

/// A rectangle on a sheet, from the raw sheet's corner.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spot<'a> {
    /// Its near corner, `[w, h]`.
    pub at: [i64; 2],
    /// What lies there.
    pub piece: &'a Piece,
}

impl Piece {
    /// Every part and offcut under this piece with its place, in cutting order.
    pub fn spots(&self, at: [i64; 2], kerf: i64) -> Vec<Spot<'_>> {
        let mut out = Vec::new();
        self.gather(at, kerf, &mut out);
        out
    }

    fn gather<'a>(&'a self, at: [i64; 2], kerf: i64, out: &mut Vec<Spot<'a>>) {
        let Becomes::Cut { axis, pieces } = &self.becomes else {
            out.push(Spot { at, piece: self });
            return;
        };
        let mut at = at;
        for piece in pieces {
            piece.gather(at, kerf, out);
            at[axis.index()] += piece.size[axis.index()] + kerf;
        }
    }
}
