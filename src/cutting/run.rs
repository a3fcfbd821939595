//! Parts that must come from one sheet in sequence, so that the grain runs on from one to the next: a
//! run is laid out as one part and cut up afterwards.
//!
//! The engine sees the block only. Cutting it up takes one more round of cuts than the problem states
//! (and a trimming cut for a part that is lower than its run), made when the block is free.

use super::layout::{Becomes, Layout, Piece};
use super::problem::{Axis, Part};

/// A run: indices of parts of the problem's own list, in sequence along an axis of the sheet. Its
/// grain runs along the sheet's `w`, so a run does not turn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Run {
    /// In order from the near edge.
    pub parts: Vec<usize>,
    /// Along which they follow each other.
    pub axis: Axis,
}

impl Run {
    /// The block to lay out for the parts of a list: as long as they are together with a kerf between
    /// neighbours, as wide as the widest; wanted once.
    pub fn block(&self, parts: &[Part], kerf: i64) -> Part {
        let mut size = [0, 0];
        for (i, part) in self.parts.iter().filter_map(|p| parts.get(*p)).enumerate() {
            let part = [part.w, part.h];
            let (along, across) = (self.axis.index(), self.axis.other().index());
            size[along] += part[along] + if i > 0 { kerf } else { 0 };
            size[across] = size[across].max(part[across]);
        }
        Part {
            w: size[0],
            h: size[1],
            demand: 1,
            turns: false,
            profit: 0,
        }
    }

    /// Cuts the block up wherever `layout` holds it as part `block`; numbers of parts are then those
    /// of `parts`, the list from which the block was made.
    pub fn cut_up(&self, layout: &mut Layout, block: usize, parts: &[Part], kerf: i64) {
        for sheet in &mut layout.sheets {
            self.cut_piece(&mut sheet.piece, block, parts, kerf);
        }
    }

    fn cut_piece(&self, piece: &mut Piece, block: usize, parts: &[Part], kerf: i64) {
        match &mut piece.becomes {
            Becomes::Part { part, .. } if *part == block => {
                let pieces = self
                    .parts
                    .iter()
                    .filter_map(|p| Some((*p, parts.get(*p)?)))
                    .map(|(index, part)| self.member(index, part, piece.size, kerf))
                    .collect();
                piece.becomes = Becomes::Cut {
                    axis: self.axis,
                    pieces,
                };
            }
            Becomes::Cut { pieces, .. } => {
                for piece in pieces {
                    self.cut_piece(piece, block, parts, kerf);
                }
            }
            Becomes::Part { .. } | Becomes::Rest => {}
        }
    }

    /// One part of the run out of the block's full width.
    fn member(&self, index: usize, part: &Part, block: [i64; 2], kerf: i64) -> Piece {
        let (along, across) = (self.axis.index(), self.axis.other().index());
        let size = [part.w, part.h];
        let finished = Piece {
            size,
            becomes: Becomes::Part {
                part: index,
                turned: false,
            },
        };
        if size[across] == block[across] {
            return finished;
        }
        let mut full = block;
        full[along] = size[along];
        let mut pieces = vec![finished];
        let mut rest = full;
        rest[across] -= size[across] + kerf;
        if rest[across] > 0 {
            pieces.push(Piece {
                size: rest,
                becomes: Becomes::Rest,
            });
        }
        Piece {
            size: full,
            becomes: Becomes::Cut {
                axis: self.axis.other(),
                pieces,
            },
        }
    }
}
