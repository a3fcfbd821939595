//! What stock is made of: species of wood and cores of sheets, with the figures that are known of them.
//! A figure that nobody stated is absent: whoever needs it says so and takes no other.

use super::{Model, Origin, Stock};
use crate::measure::Rational;
use schemars::JsonSchema;
use serde::{Serialize, Serializer};

fn exact<S: Serializer>(value: &Rational, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_str(value)
}

/// A figure that was looked up or measured.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Figure {
    /// In the unit of its field.
    #[serde(serialize_with = "exact")]
    #[schemars(with = "String")]
    pub value: Rational,
    /// Where it was looked up, in the words of whoever stated it.
    pub source: Option<String>,
}

/// A material, by its index in [`Model::materials`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
pub struct MaterialId(pub u32);

/// The two sorts of material.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum MaterialSort {
    /// A species of wood.
    Species,
    /// The core of a sheet.
    Core,
}

/// A species of wood, or the core of a sheet. Figures hold at 12 % moisture.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Material {
    /// Its name in the text.
    pub name: String,
    /// Its name in print.
    pub title: String,
    /// Which of the two.
    pub sort: MaterialSort,
    /// Its botanical name.
    pub latin: Option<String>,
    /// Kilograms a cubic metre.
    pub density: Option<Figure>,
    /// Change of a quarter-sawn width, or of the thickness of a flat-sawn board: share of its size for
    /// each per cent of moisture, from 6 to 14 %.
    pub radial: Option<Figure>,
    /// Change of a flat-sawn width, likewise.
    pub tangential: Option<Figure>,
    /// Modulus of elasticity in bending, along the grain, megapascals.
    pub stiffness: Option<Figure>,
    /// Modulus of rupture in bending, along the grain, megapascals.
    pub strength: Option<Figure>,
    /// Side hardness, newtons.
    pub hardness: Option<Figure>,
    /// The line.
    pub origin: Origin,
}

impl Model {
    /// What a stock is made of: the species of boards and edging, the core of sheets.
    pub fn material(&self, stock: &Stock) -> Option<&Material> {
        self.materials.get(stock.material?.0 as usize)
    }

    /// The wood of a sheet's faces.
    pub fn face(&self, stock: &Stock) -> Option<&Material> {
        self.materials.get(stock.face?.0 as usize)
    }

    /// What a cubic metre of a stock weighs, kilograms: its own figure, or that of its material.
    pub fn density<'a>(&'a self, stock: &'a Stock) -> Option<&'a Figure> {
        stock
            .density
            .as_ref()
            .or_else(|| self.material(stock)?.density.as_ref())
    }
}
