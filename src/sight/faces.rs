//! Which of the two faces of a part a person sees.

use super::{Facet, Fronts, Sight, area, is_wide};
use crate::measure::{Length, Rational};
use crate::model::{AssemblyKind, Part, Side};
use crate::solid::Exact;

/// What is narrower is not looked at: a face that shows in a slit need not be a good one (judgement).
fn least() -> Length {
    Length::mm(10)
}

impl Sight<'_> {
    /// How much of a part's face and of its reverse is in sight with the fronts open, square millimetres.
    ///
    /// Doors, flaps and loose shelves show both, but for what their frame or edging covers.
    ///
    /// # Errors
    /// When a number does not fit.
    pub fn faces(&self, part: &Part) -> Exact<[(Side, Rational); 2]> {
        let mut faces = [Side::Face, Side::Reverse].map(|side| (side, Rational::ZERO));
        let surface = self.surface(part.id)?;
        for (side, sum) in &mut faces {
            let plane = Facet::of_side(&part.core, part.lay.looks(*side)).plane;
            for facet in surface.iter().filter(|facet| facet.plane == plane) {
                let split = match self.piece.assembly(part.assembly).kind {
                    AssemblyKind::Leaf | AssemblyKind::Shelf => {
                        let own = |other: &Part| other.assembly == part.assembly;
                        self.before(part, facet, None, &[], own)?
                    }
                    _ => self.seen(part, facet, Fronts::Open, &[], least())?,
                };
                let wide = split.free.iter();
                let wide = wide.filter(|ring| is_wide(ring, &plane, least()));
                *sum = *sum + area(wide, &plane);
            }
        }
        Ok(faces)
    }
}
