//! Axes, directions, boxes, and how a part lies.

use crate::measure::Length;
use schemars::JsonSchema;
use serde::Serialize;

/// An axis of the piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Axis {
    /// Left to right.
    X,
    /// Front to rear.
    Y,
    /// Up.
    Z,
}

impl Axis {
    /// All three.
    pub const ALL: [Axis; 3] = [Axis::X, Axis::Y, Axis::Z];

    /// 0, 1 or 2.
    pub fn index(self) -> usize {
        self as usize
    }

    /// The side of the piece at the low end of this axis.
    pub fn low(self) -> Edge {
        [Edge::Left, Edge::Front, Edge::Bottom][self.index()]
    }

    /// The side of the piece at the high end of this axis.
    pub fn high(self) -> Edge {
        [Edge::Right, Edge::Rear, Edge::Top][self.index()]
    }

    /// The axis across both, which must differ.
    pub fn third(self, other: Axis) -> Axis {
        Axis::ALL
            .into_iter()
            .find(|axis| *axis != self && *axis != other)
            .unwrap_or(self)
    }
}

/// One of the six sides of a piece, part or opening, as the language names them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Edge {
    /// Low x.
    Left,
    /// High x.
    Right,
    /// Low y.
    Front,
    /// High y.
    Rear,
    /// Low z.
    Bottom,
    /// High z.
    Top,
}

impl Edge {
    /// All six.
    pub const ALL: [Edge; 6] = [
        Edge::Left,
        Edge::Right,
        Edge::Front,
        Edge::Rear,
        Edge::Bottom,
        Edge::Top,
    ];

    /// The word of the language.
    pub fn word(self) -> &'static str {
        ["left", "right", "front", "rear", "bottom", "top"][self as usize]
    }

    /// The edge with this word.
    pub fn from_word(word: &str) -> Option<Edge> {
        Edge::ALL.into_iter().find(|edge| edge.word() == word)
    }

    /// The axis that it bounds.
    pub fn axis(self) -> Axis {
        [Axis::X, Axis::X, Axis::Y, Axis::Y, Axis::Z, Axis::Z][self as usize]
    }

    /// Whether it is at the high end of its axis.
    pub fn is_high(self) -> bool {
        matches!(self, Edge::Right | Edge::Rear | Edge::Top)
    }

    /// A place moved from this edge toward the other end of its axis.
    pub fn inward(self, place: Length, by: Length) -> Length {
        if self.is_high() {
            place - by
        } else {
            place + by
        }
    }

    /// The other end of the same axis.
    pub fn opposite(self) -> Edge {
        if self.is_high() {
            self.axis().low()
        } else {
            self.axis().high()
        }
    }
}

/// A box in the piece frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
pub struct Box3 {
    /// x, y, z of the low corner.
    pub lo: [Length; 3],
    /// x, y, z of the high corner.
    pub hi: [Length; 3],
}

impl Box3 {
    /// Nothing, at the origin.
    pub const NONE: Box3 = Box3 {
        lo: [Length::ZERO; 3],
        hi: [Length::ZERO; 3],
    };

    /// The place of one of its faces along that face's axis.
    pub fn face(&self, edge: Edge) -> Length {
        let i = edge.axis().index();
        if edge.is_high() {
            self.hi[i]
        } else {
            self.lo[i]
        }
    }

    /// Moves one face to a place along its axis.
    pub fn set_face(&mut self, edge: Edge, place: Length) {
        let i = edge.axis().index();
        if edge.is_high() {
            self.hi[i] = place;
        } else {
            self.lo[i] = place;
        }
    }

    /// Moves one face outward by `by` (inward if negative).
    pub fn grow(&mut self, edge: Edge, by: Length) {
        let place = self.face(edge);
        self.set_face(
            edge,
            if edge.is_high() {
                place + by
            } else {
                place - by
            },
        );
    }

    /// The extent along an axis.
    pub fn extent(&self, axis: Axis) -> Length {
        self.hi[axis.index()] - self.lo[axis.index()]
    }

    /// The middle along an axis.
    pub fn middle(&self, axis: Axis) -> Length {
        (self.hi[axis.index()] + self.lo[axis.index()]).half()
    }

    /// What both hold; may be flat (touching faces) in an axis. `None` if they are apart.
    pub fn meet(&self, other: &Box3) -> Option<Box3> {
        let mut out = *self;
        for i in 0..3 {
            out.lo[i] = self.lo[i].max(other.lo[i]);
            out.hi[i] = self.hi[i].min(other.hi[i]);
            if out.lo[i] > out.hi[i] {
                return None;
            }
        }
        Some(out)
    }

    /// Whether their insides share space.
    pub fn overlaps(&self, other: &Box3) -> bool {
        (0..3).all(|i| self.lo[i] < other.hi[i] && other.lo[i] < self.hi[i])
    }

    /// The smallest box that holds both.
    pub fn union(&self, other: &Box3) -> Box3 {
        let mut out = *self;
        for i in 0..3 {
            out.lo[i] = self.lo[i].min(other.lo[i]);
            out.hi[i] = self.hi[i].max(other.hi[i]);
        }
        out
    }

    /// Whether it has no room inside (an extent is zero or less).
    pub fn is_empty(&self) -> bool {
        (0..3).any(|i| self.lo[i] >= self.hi[i])
    }

    /// Whether some length of it did not fit.
    pub fn is_overflow(&self) -> bool {
        self.lo.iter().chain(&self.hi).any(|l| l.is_overflow())
    }
}

/// An axis of a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum LocalAxis {
    /// Along the grain (for a part without grain: along its longer side).
    Length,
    /// Across it.
    Width,
    /// Through it.
    Thickness,
}

impl LocalAxis {
    /// All three.
    pub const ALL: [LocalAxis; 3] = [LocalAxis::Length, LocalAxis::Width, LocalAxis::Thickness];

    /// 0, 1 or 2.
    pub fn index(self) -> usize {
        self as usize
    }

    /// The axis across both, which must differ.
    pub fn third(self, other: LocalAxis) -> LocalAxis {
        LocalAxis::ALL
            .into_iter()
            .find(|axis| *axis != self && *axis != other)
            .unwrap_or(self)
    }
}

/// One of the six surfaces of a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    /// The reference end, `l` = 0.
    End,
    /// The other end.
    FarEnd,
    /// The reference edge, `w` = 0.
    Edge,
    /// The other edge.
    FarEdge,
    /// The face side, `t` = 0.
    Face,
    /// The reverse.
    Reverse,
}

impl Side {
    /// All six.
    pub const ALL: [Side; 6] = [
        Side::End,
        Side::FarEnd,
        Side::Edge,
        Side::FarEdge,
        Side::Face,
        Side::Reverse,
    ];

    /// The axis that it bounds.
    pub fn axis(self) -> LocalAxis {
        match self {
            Side::End | Side::FarEnd => LocalAxis::Length,
            Side::Edge | Side::FarEdge => LocalAxis::Width,
            Side::Face | Side::Reverse => LocalAxis::Thickness,
        }
    }

    /// Whether it is the far one of its axis.
    pub fn is_far(self) -> bool {
        matches!(self, Side::FarEnd | Side::FarEdge | Side::Reverse)
    }

    /// The surface on the other side.
    pub fn opposite(self) -> Side {
        match self {
            Side::End => Side::FarEnd,
            Side::FarEnd => Side::End,
            Side::Edge => Side::FarEdge,
            Side::FarEdge => Side::Edge,
            Side::Face => Side::Reverse,
            Side::Reverse => Side::Face,
        }
    }
}

/// A box in a part's frame: `[l, w, t]`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
pub struct LocalBox {
    /// Low corner.
    pub lo: [Length; 3],
    /// High corner.
    pub hi: [Length; 3],
}

impl LocalBox {
    /// The extent along an axis.
    pub fn extent(&self, axis: LocalAxis) -> Length {
        self.hi[axis.index()] - self.lo[axis.index()]
    }
}

/// Length, width and thickness of a part; the length runs with the grain.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
pub struct Size {
    /// Along the grain.
    pub length: Length,
    /// Across it.
    pub width: Length,
    /// Through it.
    pub thick: Length,
}

impl Size {
    /// The extent along an axis of the part.
    pub fn along(&self, axis: LocalAxis) -> Length {
        [self.length, self.width, self.thick][axis.index()]
    }
}

/// A volume that a cut takes out of a part, in the part's frame.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Solid {
    /// A box.
    Box(LocalBox),
    /// A round bore that starts at `mouth` on the surface and goes in along `axis`.
    Bore {
        /// Centre of the mouth.
        mouth: [Length; 3],
        /// The surface that it enters.
        entry: Side,
        /// Across.
        diameter: Length,
        /// From the surface.
        depth: Length,
    },
    /// A prism: a polygon in the two other axes (in the order length, width, thickness), from `lo`
    /// to `hi` along `axis`. Dovetails and mitres are these. With another outline at `hi` its sides lean:
    /// convex, with as many corners in the same order, and side by side parallel, so that it is bounded by
    /// planes. A dovetail that narrows is that.
    Prism {
        /// Along which the outline runs.
        axis: LocalAxis,
        /// Corners, in order round; those at `lo`.
        outline: Vec<[Length; 2]>,
        /// Corners at `hi`, where they are others; of a corner that is none at one end two coincide.
        far: Option<Vec<[Length; 2]>>,
        /// Start along `axis`.
        lo: Length,
        /// End along `axis`.
        hi: Length,
    },
}

impl Solid {
    /// The smallest box round it.
    pub fn bounds(&self) -> LocalBox {
        match self {
            Solid::Box(b) => *b,
            Solid::Bore {
                mouth,
                entry,
                diameter,
                depth,
            } => {
                let r = diameter.half();
                let (mut lo, mut hi) = (*mouth, *mouth);
                for axis in LocalAxis::ALL {
                    let i = axis.index();
                    if axis != entry.axis() {
                        lo[i] -= r;
                        hi[i] += r;
                    } else if entry.is_far() {
                        lo[i] -= *depth;
                    } else {
                        hi[i] += *depth;
                    }
                }
                LocalBox { lo, hi }
            }
            Solid::Prism {
                axis,
                outline,
                far,
                lo,
                hi,
            } => {
                let others: Vec<usize> = (0..3).filter(|i| *i != axis.index()).collect();
                let (mut low, mut high) = ([*lo; 3], [*hi; 3]);
                let corners = || outline.iter().chain(far.iter().flatten());
                for (k, i) in others.into_iter().enumerate() {
                    low[i] = corners().map(|p| p[k]).min().unwrap_or(Length::ZERO);
                    high[i] = corners().map(|p| p[k]).max().unwrap_or(Length::ZERO);
                }
                LocalBox { lo: low, hi: high }
            }
        }
    }
}

/// How a part lies in the piece: where its reference end, reference edge and face side look.
///
/// The three are of three different axes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
pub struct Lay {
    /// The side of the piece toward which the reference end looks; the length runs away from it.
    pub end: Edge,
    /// The side toward which the reference edge looks.
    pub edge: Edge,
    /// The side toward which the face side looks.
    pub face: Edge,
}

impl Lay {
    /// The side of the piece toward which a surface of the part looks.
    pub fn looks(&self, side: Side) -> Edge {
        let near = [self.end, self.edge, self.face][side.axis().index()];
        if side.is_far() { near.opposite() } else { near }
    }

    /// The surface of the part that looks toward a side of the piece.
    pub fn side(&self, edge: Edge) -> Side {
        Side::ALL
            .into_iter()
            .find(|side| self.looks(*side) == edge)
            .unwrap_or(Side::Face)
    }

    /// The axis of the piece along which an axis of the part runs.
    pub fn axis(&self, local: LocalAxis) -> Axis {
        [self.end, self.edge, self.face][local.index()].axis()
    }

    /// The axis of the part that runs along an axis of the piece.
    pub fn local_axis(&self, axis: Axis) -> LocalAxis {
        LocalAxis::ALL
            .into_iter()
            .find(|local| self.axis(*local) == axis)
            .unwrap_or(LocalAxis::Length)
    }

    /// Whether, face side up and reference edge toward the reader, the reference end is at the
    /// reader's left. Of a mirrored pair one is so and one is not.
    pub fn end_at_left(&self) -> bool {
        // Reader's right = direction of length; away from the reader = direction of width; up = the
        // way that the face looks. The end is at the left when right x away = up.
        let order = [
            self.end.axis().index(),
            self.edge.axis().index(),
            self.face.axis().index(),
        ];
        let even = matches!(order, [0, 1, 2] | [1, 2, 0] | [2, 0, 1]);
        // Length and width run from their near sides: a high near side means a negative direction.
        let flips = [
            self.end.is_high(),
            self.edge.is_high(),
            !self.face.is_high(),
        ];
        even == (flips.iter().filter(|f| **f).count() % 2 == 0)
    }

    /// A box of the piece in the frame of a part whose sawn box is `core`.
    pub fn to_local(&self, core: &Box3, b: &Box3) -> LocalBox {
        let mut out = LocalBox {
            lo: [Length::ZERO; 3],
            hi: [Length::ZERO; 3],
        };
        for (k, near) in [self.end, self.edge, self.face].into_iter().enumerate() {
            let from = core.face(near);
            let (a, c) = (b.face(near), b.face(near.opposite()));
            let (p, q) = if near.is_high() {
                (from - a, from - c)
            } else {
                (a - from, c - from)
            };
            out.lo[k] = p;
            out.hi[k] = q;
        }
        out
    }

    /// A box of a part's frame in the piece.
    pub fn to_piece(&self, core: &Box3, b: &LocalBox) -> Box3 {
        let mut out = *core;
        for (k, near) in [self.end, self.edge, self.face].into_iter().enumerate() {
            let from = core.face(near);
            let place = |d: Length| if near.is_high() { from - d } else { from + d };
            out.set_face(near, place(b.lo[k]));
            out.set_face(near.opposite(), place(b.hi[k]));
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mirrored_pair_has_the_same_coordinates_and_other_handedness() {
        let mm = Length::mm;
        let left = Box3 {
            lo: [mm(0), mm(0), mm(0)],
            hi: [mm(18), mm(400), mm(700)],
        };
        let right = Box3 {
            lo: [mm(582), mm(0), mm(0)],
            hi: [mm(600), mm(400), mm(700)],
        };
        let lay = |face| Lay {
            end: Edge::Bottom,
            edge: Edge::Front,
            face,
        };
        let dado = |x0: i64, x1: i64| Box3 {
            lo: [mm(x0), mm(0), mm(90)],
            hi: [mm(x1), mm(400), mm(108)],
        };
        let (l, r) = (lay(Edge::Right), lay(Edge::Left));
        assert_eq!(
            l.to_local(&left, &dado(13, 18)),
            r.to_local(&right, &dado(582, 587))
        );
        assert_eq!(
            l.to_piece(&left, &l.to_local(&left, &dado(13, 18))),
            dado(13, 18)
        );
        // Inner face up, front edge toward the reader: the bottom of the right side is at the left.
        assert!(r.end_at_left() && !l.end_at_left());
    }
}
