//! What the kernel knows of a whole model, as data that others can check.

use super::{Exact, Touch, Wood, touching};
use crate::model::{Edge, JointId, Model, PartId};
use schemars::JsonSchema;
use serde::Serialize;

/// Volumes of parts and contacts of joints of one piece.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Measured {
    /// Every part, in order.
    pub parts: Vec<PartWood>,
    /// Every joint, in order.
    pub joints: Vec<JointTouch>,
}

/// How much wood a part has.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct PartWood {
    /// The part.
    pub part: PartId,
    /// Cubic millimetres, its cuts taken off.
    pub volume: f64,
}

/// Where the two parts of a joint lie on each other, as cut: square millimetres of the faces of `a` that
/// lie on `b`, by the side of the piece that they look to. A slanted face counts toward each side that it
/// looks to, with its area as seen from there; the mouths of bores count as wood.
#[derive(Clone, Debug, Serialize, JsonSchema)]
#[allow(missing_docs, reason = "the sides of the piece")]
pub struct JointTouch {
    /// The joint.
    pub joint: JointId,
    pub left: f64,
    pub right: f64,
    pub front: f64,
    pub rear: f64,
    pub bottom: f64,
    pub top: f64,
}

/// Measures every piece of a model, in order.
///
/// # Errors
/// When a number does not fit; a model that passes the rules has none.
pub fn measure(model: &Model) -> Exact<Vec<Measured>> {
    let piece = |piece: &crate::model::Piece| {
        let woods: Exact<Vec<Wood>> = piece.parts.iter().map(Wood::of).collect();
        let woods = woods?;
        let parts = piece.parts.iter().zip(&woods).map(|(part, wood)| {
            Ok(PartWood {
                part: part.id,
                volume: wood.volume()?,
            })
        });
        let joints = piece.joints.iter().filter_map(|joint| {
            let (a, b) = (
                woods.get(joint.a.0 as usize)?,
                woods.get(joint.b.0 as usize)?,
            );
            Some(touching(a, b).map(|touch| by_side(joint.id, &touch)))
        });
        Ok(Measured {
            parts: parts.collect::<Exact<_>>()?,
            joints: joints.collect::<Exact<_>>()?,
        })
    };
    model.pieces.iter().map(piece).collect()
}

fn by_side(joint: JointId, touch: &Touch) -> JointTouch {
    let toward = |edge| touch.toward(edge);
    JointTouch {
        joint,
        left: toward(Edge::Left),
        right: toward(Edge::Right),
        front: toward(Edge::Front),
        rear: toward(Edge::Rear),
        bottom: toward(Edge::Bottom),
        top: toward(Edge::Top),
    }
}
