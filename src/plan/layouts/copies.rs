//! Every part of the commission as the bench counts them: one for each copy of its piece.

use crate::model::{Hand, Model, PartRef};

/// One physical part of one copy.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartCopy {
    /// The piece and the part.
    pub part: PartRef,
    /// The number of its group; 0 if it is in none.
    pub mark: u32,
    /// The name in print of its group.
    pub label: String,
    /// Its hand.
    pub hand: Option<Hand>,
    /// The letter of its copy.
    pub letter: String,
}

/// Every copy of every part, by mark, then by copy, then in the order of the group.
pub fn copies(model: &Model) -> Vec<PartCopy> {
    let mut out = Vec::new();
    for group in &model.groups {
        let mut rows: Vec<(usize, usize, PartCopy)> = Vec::new();
        for (order, (part, hand)) in group.members.iter().enumerate() {
            let (piece, _) = model.part(*part);
            for copy in 0..piece.copies as usize {
                rows.push((
                    part.piece as usize * 100_000 + copy,
                    order,
                    PartCopy {
                        part: *part,
                        mark: group.mark,
                        label: group.label.clone(),
                        hand: *hand,
                        letter: piece.letters.get(copy).cloned().unwrap_or_default(),
                    },
                ));
            }
        }
        rows.sort_by_key(|(copy, order, _)| (*copy, *order));
        out.extend(rows.into_iter().map(|(_, _, copy)| copy));
    }
    out
}
