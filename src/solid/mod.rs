//! The wood of a part: its sawn box less its cuts, as a sum of convex cells that share no space.
//!
//! Corners and planes are exact, in rational numbers, and so is whether two parts share space, touch, or
//! run into each other; volumes and areas are floats of exact corners. A round bore counts with its circle
//! where it stands alone within the wood; where it meets another cut it counts as a prism with
//! [`bore::CORNERS`] corners and the circle's area. In [`shared`] it is the prism inscribed in the bore, so
//! what is called free of clashes is free of them; [`touching`] counts bores as wood. Where a number does
//! not fit, the answer is [`Overflow`] instead.
//!
//! Knows lengths and the plain data of parts; nothing of joints, rules or order.

mod bore;
mod cell;
mod hull;
mod measured;
mod outline;
mod touch;
mod volume;
mod wood;

pub use cell::Cell;
pub use hull::{Face, Hull, Plane, Point, clip_ring, has_area, others, seen_area, steepest};
pub use measured::{JointTouch, Measured, PartWood, measure};
pub use touch::{Touch, sweep_hits, touching};
pub use wood::{Wood, shared};

use crate::measure::Rational;

/// A number of the computation did not fit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Overflow;

/// A result, unless a number did not fit.
pub type Exact<T> = Result<T, Overflow>;

/// A number, if it fits.
fn fits(number: Rational) -> Exact<Rational> {
    if number.is_overflow() {
        Err(Overflow)
    } else {
        Ok(number)
    }
}

#[cfg(test)]
mod tests;
