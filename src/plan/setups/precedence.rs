//! What must come before what, and why: a table, and the relation of cards that follows from it.
//!
//! The reasons are common practice. Since a stage is part of what makes a card, and the stages can't
//! go round in a circle, neither can the cards.

use super::operation::{Operation, Phase, Work};
use crate::model::{JointId, PartId};
use std::collections::BTreeMap;

/// Which operations a row binds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scope {
    /// Two of the same part.
    SamePart,
    /// Two that serve the same joint, in either part.
    SameJoint,
    /// Any of a strip, and the putting on of that strip.
    Strip,
}

/// A row.
#[derive(Debug)]
pub struct Rule {
    /// What comes first.
    pub first: &'static [Phase],
    /// What comes after it.
    pub then: &'static [Phase],
    /// For which operations.
    pub scope: Scope,
    /// Why.
    pub because: &'static str,
}

use Phase::{
    Band, Bore, CutOut, CutToLength, EarlyBand, EarlyGroove, EarlyMitre, EarlyStripLength,
    EarlyStripSquare, EarlyTongue, EdgeGroove, Housing, KeySlot, Lap, LateBore, LateShape, Mitre,
    MitreSlot, Mortise, Notch, Plane, Rabbet, Rip, Score, Shape, Slot, Sockets, SquareEnd,
    StaveGlue, StaveJoint, StavePlane, StripLength, StripSquare, Tails, Taper, Tongue, TrueEdge,
};

const SIZED: &[Phase] = &[
    EarlyGroove,
    EarlyTongue,
    EarlyMitre,
    EarlyBand,
    Housing,
    EdgeGroove,
    Score,
    Rabbet,
    Tongue,
    Notch,
    CutOut,
    Tails,
    Sockets,
    Mortise,
    Lap,
    Taper,
    Slot,
    Bore,
    Shape,
    Mitre,
    MitreSlot,
    Band,
    LateShape,
    LateBore,
    KeySlot,
];

/// All that is done to a part before it is glued to others.
const BEFORE_GLUE: &[Phase] = &[
    Housing,
    EdgeGroove,
    Score,
    Rabbet,
    Tongue,
    StripSquare,
    StripLength,
    Notch,
    CutOut,
    Tails,
    Sockets,
    Mortise,
    Lap,
    Taper,
    Slot,
    Bore,
    Shape,
    Mitre,
    MitreSlot,
    Band,
    LateShape,
    LateBore,
];

/// What is machined with a fence or a guide on square wood.
const SQUARE: &[Phase] = &[
    Housing, EdgeGroove, Rabbet, Tongue, Notch, Tails, Sockets, Mortise, Lap, Taper, Slot, Bore,
];

const POINTS: &str = "a long strip is held better before its points are cut";
const LENGTHS: &str = "strips are run in long lengths, away from the hands, and cut up after";
const READY: &str = "the strip must be ready";

/// The table.
pub const RULES: &[Rule] = &[
    Rule {
        first: &[StavePlane],
        then: &[StaveJoint],
        scope: Scope::SamePart,
        because: "an edge is jointed square to a flat face",
    },
    Rule {
        first: &[StaveJoint],
        then: &[StaveGlue],
        scope: Scope::SamePart,
        because: "only jointed edges close",
    },
    Rule {
        first: &[StaveGlue],
        then: &[Plane],
        scope: Scope::SamePart,
        because: "a panel is flattened when it is one board and its glue is hard",
    },
    Rule {
        first: &[Plane],
        then: &[TrueEdge],
        scope: Scope::SamePart,
        because: "an edge is true to a flat face",
    },
    Rule {
        first: &[TrueEdge],
        then: &[Rip],
        scope: Scope::SamePart,
        because: "the fence needs a straight edge",
    },
    Rule {
        first: &[Rip],
        then: &[SquareEnd],
        scope: Scope::SamePart,
        because: "an end is squared from the reference edge",
    },
    Rule {
        first: &[SquareEnd],
        then: &[CutToLength],
        scope: Scope::SamePart,
        because: "the stop needs a square end",
    },
    Rule {
        first: &[Rip, SquareEnd, CutToLength],
        then: SIZED,
        scope: Scope::SamePart,
        because: "measures start from the reference edge and end",
    },
    Rule {
        first: SQUARE,
        then: &[Shape, LateShape],
        scope: Scope::SamePart,
        because: "joints are cut while the part is square",
    },
    Rule {
        first: &[Shape],
        then: &[Mitre],
        scope: Scope::SamePart,
        because: "a profile is run in the length, and its ends are cut after",
    },
    Rule {
        first: &[Band],
        then: &[LateShape],
        scope: Scope::SamePart,
        because: "the strip is moulded with its panel",
    },
    Rule {
        first: &[EarlyGroove, EarlyTongue],
        then: &[EarlyStripSquare],
        scope: Scope::SamePart,
        because: LENGTHS,
    },
    Rule {
        first: &[Rip, Housing, EdgeGroove, Rabbet, Tongue],
        then: &[StripSquare],
        scope: Scope::SamePart,
        because: LENGTHS,
    },
    Rule {
        first: &[Rip],
        then: &[EarlyStripSquare],
        scope: Scope::SamePart,
        because: "an end is squared from the reference edge",
    },
    Rule {
        first: &[EarlyStripSquare],
        then: &[EarlyStripLength],
        scope: Scope::SamePart,
        because: "the stop needs a square end",
    },
    Rule {
        first: &[StripSquare],
        then: &[StripLength],
        scope: Scope::SamePart,
        because: "the stop needs a square end",
    },
    Rule {
        first: &[EarlyStripSquare, EarlyStripLength],
        then: &[EarlyMitre, EarlyBand],
        scope: Scope::SamePart,
        because: "a strip is cut from its length before its ends are worked",
    },
    Rule {
        first: &[StripSquare, StripLength],
        then: &[Notch, Slot, Bore, Mitre],
        scope: Scope::SamePart,
        because: "a strip is cut from its length before its ends are worked",
    },
    Rule {
        first: &[EarlyGroove],
        then: &[EarlyTongue],
        scope: Scope::SameJoint,
        because: "the tongue is fitted to the groove",
    },
    Rule {
        first: &[EarlyGroove, EarlyTongue, EarlyMitre],
        then: &[EarlyBand],
        scope: Scope::SamePart,
        because: "the strip needs its groove",
    },
    Rule {
        first: &[EarlyBand],
        then: &[
            Housing, EdgeGroove, Score, Rabbet, Tongue, Notch, CutOut, Tails, Sockets, Mortise,
            Lap, Slot, Bore,
        ],
        scope: Scope::SamePart,
        because: "this edging is cut with the panel",
    },
    Rule {
        first: &[Housing, EdgeGroove],
        then: &[Rabbet, Tongue],
        scope: Scope::SameJoint,
        because: "the tongue is fitted to the groove",
    },
    Rule {
        first: &[Housing, Mortise, Sockets, Lap, Bore],
        then: &[Taper],
        scope: Scope::SamePart,
        because: "a leg lies square at the machines until its joints are cut",
    },
    Rule {
        first: &[Mortise],
        then: &[Rabbet, Tongue],
        scope: Scope::SameJoint,
        because: "the tenon is fitted to the mortise",
    },
    Rule {
        first: &[Mortise],
        then: &[Lap],
        scope: Scope::SameJoint,
        because: "what stands in a fork is fitted to it",
    },
    Rule {
        first: &[Score],
        then: &[Rabbet, Tongue],
        scope: Scope::SamePart,
        because: "veneers chip across the grain",
    },
    Rule {
        first: &[Tongue],
        then: &[Notch],
        scope: Scope::SameJoint,
        because: "the tongue is there before its end is cut back",
    },
    Rule {
        first: &[Tails],
        then: &[Sockets],
        scope: Scope::SameJoint,
        because: "the pins are marked from the tails",
    },
    Rule {
        first: &[EarlyGroove, EarlyTongue],
        then: &[EarlyMitre],
        scope: Scope::SamePart,
        because: POINTS,
    },
    Rule {
        first: &[EdgeGroove, Tongue],
        then: &[Mitre],
        scope: Scope::SamePart,
        because: POINTS,
    },
    Rule {
        first: &[Mitre],
        then: &[MitreSlot],
        scope: Scope::SamePart,
        because: "the slot is square to the face of the mitre",
    },
    Rule {
        first: BEFORE_GLUE,
        then: &[KeySlot],
        scope: Scope::SamePart,
        because: "these slots go through both parts of a corner, when its glue is dry",
    },
    Rule {
        first: &[
            Housing, EdgeGroove, Score, Rabbet, Tongue, Notch, Tails, Sockets, Mortise, Lap, Slot,
            Mitre, MitreSlot,
        ],
        then: &[CutOut],
        scope: Scope::SamePart,
        because: "a whole panel lies and runs more safely at the saw than one with a gap in it",
    },
    Rule {
        first: &[
            Housing, EdgeGroove, Score, Rabbet, Tongue, Notch, CutOut, Tails, Sockets, Mortise,
            Lap, Slot, Bore, Mitre, MitreSlot,
        ],
        then: &[Band],
        scope: Scope::SamePart,
        because: "measures are from the sawn edge, and the edging covers the ends of the cuts",
    },
    Rule {
        first: &[
            Plane,
            TrueEdge,
            Rip,
            SquareEnd,
            CutToLength,
            EarlyGroove,
            EarlyTongue,
            EarlyStripSquare,
            EarlyStripLength,
            EarlyMitre,
        ],
        then: &[EarlyBand],
        scope: Scope::Strip,
        because: READY,
    },
    Rule {
        first: &[
            Plane,
            TrueEdge,
            Rip,
            SquareEnd,
            CutToLength,
            Housing,
            EdgeGroove,
            Score,
            Rabbet,
            Tongue,
            StripSquare,
            StripLength,
            Notch,
            Slot,
            Bore,
            Mitre,
        ],
        then: &[Band],
        scope: Scope::Strip,
        because: READY,
    },
    Rule {
        first: &[EarlyBand, Band],
        then: &[LateBore],
        scope: Scope::SamePart,
        because: "measures are from the finished edge, which is not there before",
    },
];

/// Calls `found(first, then, rule)` for each pair of operations, by index, that a row binds.
pub(super) fn each_pair(operations: &[&Operation], mut found: impl FnMut(usize, usize, &Rule)) {
    let mut parts: BTreeMap<_, Vec<usize>> = BTreeMap::new();
    let mut joints: BTreeMap<(u32, JointId), Vec<usize>> = BTreeMap::new();
    let mut strips: BTreeMap<(u32, PartId), Vec<usize>> = BTreeMap::new();
    for (i, op) in operations.iter().enumerate() {
        parts.entry(op.at).or_default().push(i);
        if let Some(joint) = op.joint {
            joints.entry((op.at.piece, joint)).or_default().push(i);
        }
        if let (Work::Band(_), Some(strip)) = (op.work, op.filler) {
            strips.entry((op.at.piece, strip)).or_default().push(i);
        }
    }
    for rule in RULES {
        let mut bind = |firsts: &[usize], thens: &[usize]| {
            for a in firsts {
                for b in thens {
                    let (Some(first), Some(then)) = (operations.get(*a), operations.get(*b)) else {
                        continue;
                    };
                    if rule.first.contains(&first.phase) && rule.then.contains(&then.phase) {
                        found(*a, *b, rule);
                    }
                }
            }
        };
        match rule.scope {
            Scope::SamePart => parts.values().for_each(|list| bind(list, list)),
            Scope::SameJoint => joints.values().for_each(|list| bind(list, list)),
            Scope::Strip => {
                for ((piece, strip), bands) in &strips {
                    let at = crate::model::PartRef {
                        piece: *piece,
                        part: *strip,
                    };
                    if let Some(list) = parts.get(&at) {
                        bind(list, bands);
                    }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// No stage comes before itself by way of others, so that cards can always be ordered.
    #[test]
    fn the_table_has_no_circle() {
        let mut before: Vec<(Phase, Phase)> = RULES
            .iter()
            .flat_map(|r| r.first.iter().flat_map(|a| r.then.iter().map(|b| (*a, *b))))
            .collect();
        before.sort();
        before.dedup();
        let mut left: Vec<Phase> = before.iter().flat_map(|(a, b)| [*a, *b]).collect();
        left.sort();
        left.dedup();
        while !left.is_empty() {
            let free = left
                .iter()
                .copied()
                .find(|p| !before.iter().any(|(a, b)| b == p && left.contains(a)));
            let free = free.expect("some stage waits for no other");
            left.retain(|p| *p != free);
        }
    }
}
