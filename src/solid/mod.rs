//! The wood of a part: its sawn box less its cuts, as a sum of convex cells that share no space.
//!
//! Boxes and prisms are exact, in rational numbers: volume, what two parts both claim, where their
//! faces lie on each other. A round bore is exact in volume where it stands alone within the wood; where
//! it meets another cut it counts as a prism with [`bore::CORNERS`] corners and the bore's own area. In
//! [`shared`] it is the prism inscribed in the bore, so what is called free of clashes is free of them;
//! [`touching`] leaves bores out. Where a number does not fit, the answer is [`Overflow`] instead.
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
pub use hull::{Hull, Plane, Point};
pub use measured::{JointTouch, Measured, PartWood, measure};
pub use touch::{Touch, sweep_hits, touching};
pub use volume::Volume;
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
