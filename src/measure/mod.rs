//! Exact measures: rationals, lengths, quantities with dimensions, and how they are printed.
//!
//! Nothing here knows of files, text or furniture. No floating point decides a size; floats appear
//! only in readers whose names say so (`to_f64_…`), for drawings and handbook physics.

mod length;
mod print;
mod quantity;
mod rational;

pub use length::Length;
pub use print::{Figure, Fraction, InchStep, Units};
pub use quantity::{Dimension, Quantity, UNITS, Unit};
pub use rational::Rational;
