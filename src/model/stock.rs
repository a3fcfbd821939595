//! What is bought: stock, hardware, finishes, prices.

use super::{Figure, MaterialId, Origin};
use crate::measure::{Length, Rational};
use schemars::JsonSchema;
use serde::{Serialize, Serializer};

/// Exact numbers print as their text in JSON.
fn exact<S: Serializer>(value: &Rational, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_str(value)
}

fn exact_option<S: Serializer>(value: &Option<Rational>, serializer: S) -> Result<S::Ok, S::Error> {
    match value {
        Some(value) => serializer.collect_str(value),
        None => serializer.serialize_none(),
    }
}

/// What a price is for.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Per {
    /// One of it, in the thing's own unit (sheet, piece, pair, strip).
    One,
    /// A pack of so many.
    Pack(u32),
    /// A millimetre of length.
    Length,
    /// A square millimetre.
    Area,
    /// A cubic millimetre.
    Volume,
    /// A kilogram.
    Mass,
}

/// An exact price.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Price {
    /// Amount for each `per`.
    #[serde(serialize_with = "exact")]
    #[schemars(with = "String")]
    pub amount: Rational,
    /// `EUR`.
    pub currency: String,
    /// For what.
    pub per: Per,
}

impl Price {
    /// What one sheet or board of a length, width and thickness costs, in the price's currency; `None` where
    /// the price is for a pack or a mass.
    pub fn of_size(&self, long: Length, wide: Length, thick: Length) -> Option<Rational> {
        let area = || long.as_mm() * wide.as_mm();
        let times = match self.per {
            Per::One => Rational::ONE,
            Per::Length => long.as_mm(),
            Per::Area => area(),
            Per::Volume => area() * thick.as_mm(),
            Per::Pack(_) | Per::Mass => return None,
        };
        Some(self.amount * times)
    }
}

/// A stock, by its index in [`super::Model::stocks`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
pub struct StockId(pub u32);

/// What parts are made of.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Stock {
    /// Its name in the text.
    pub name: String,
    /// Its name in print (its description, or its name).
    pub title: String,
    /// Its kind.
    pub kind: StockKind,
    /// What it is made of: the species of boards and edging, the core of sheets; see
    /// [`super::Model::material`].
    pub material: Option<MaterialId>,
    /// The wood of a sheet's faces.
    pub face: Option<MaterialId>,
    /// Kilograms a cubic metre, where the stock states its own; see [`super::Model::density`].
    pub density: Option<Figure>,
    /// The line.
    pub origin: Origin,
}

impl Stock {
    /// Whether it is a sheet of which one face alone may show.
    pub fn is_good_on_one(&self) -> bool {
        matches!(
            self.kind,
            StockKind::Sheet {
                good: GoodFaces::One,
                ..
            }
        )
    }

    /// Whether it is a sheet whose thickness was measured.
    pub fn is_measured(&self) -> bool {
        matches!(
            self.kind,
            StockKind::Sheet {
                by_measure: true,
                ..
            }
        )
    }
}

/// The kinds of stock.
#[derive(Clone, Debug, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum StockKind {
    /// Sheets of one thickness.
    Sheet {
        /// The thickness it is called by.
        nominal: Length,
        /// The thickness it has.
        measured: Length,
        /// Whether somebody measured it; else it is taken to be what it is called.
        by_measure: bool,
        /// What is sold.
        sizes: Vec<SoldSize>,
        /// Its grain.
        grain: SheetGrain,
        /// How many of its faces may show.
        good: GoodFaces,
    },
    /// Rough boards, planed to what a part states.
    Board {
        /// Rough thicknesses on offer, thinnest first.
        rough: Vec<Length>,
        /// In just which sizes they are sold; none of boards that come in random ones.
        sizes: Vec<SoldSize>,
        /// Least and greatest width of random ones.
        wide: Option<(Length, Length)>,
        /// Least and greatest length of random ones.
        long: Option<(Length, Length)>,
        /// Moisture when bought, as a fraction.
        #[serde(serialize_with = "exact_option")]
        #[schemars(with = "Option<String>")]
        moisture: Option<Rational>,
        /// Price of random ones.
        price: Option<Price>,
    },
    /// Ready-made edging.
    Edging {
        /// How far it stands out from the edge.
        thick: Length,
        /// Across.
        wide: Option<Length>,
        /// Length of a strip or roll.
        long: Option<Length>,
        /// Its price.
        price: Option<Price>,
    },
}

impl StockKind {
    /// Length of the longest board that is sold; `None` where no length is stated, and of what is no board.
    pub fn longest_board(&self) -> Option<Length> {
        let StockKind::Board { sizes, long, .. } = self else {
            return None;
        };
        let longest = sizes.iter().map(|size| size.long).max();
        longest.or(long.map(|(_, most)| most))
    }

    /// Length of the longest board that is sold at least this wide; `None` where none is, where no length or
    /// width is stated, and of what is no board.
    pub fn longest_of_width(&self, least: Length) -> Option<Length> {
        let StockKind::Board {
            sizes, wide, long, ..
        } = self
        else {
            return None;
        };
        let holds = sizes.iter().filter(|size| size.wide >= least);
        let random = long.zip(*wide).filter(|(_, wide)| wide.1 >= least);
        let longest = holds.map(|size| size.long).max();
        longest.or(random.map(|(long, _)| long.1))
    }

    /// Least and greatest width of the boards that are sold at least this long, or of the longest where none
    /// is so long; `None` where no width is stated, and of what is no board.
    pub fn board_widths(&self, long: Length) -> Option<(Length, Length)> {
        let StockKind::Board { sizes, wide, .. } = self else {
            return None;
        };
        let enough = long.min(self.longest_board().unwrap_or(long));
        let holds = sizes.iter().filter(|size| size.long >= enough);
        let widths = || holds.clone().map(|size| size.wide);
        widths().min().zip(widths().max()).or(*wide)
    }
}

/// How many of a sheet's two faces are good enough to show.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum GoodFaces {
    /// One; the other is of a lesser grade.
    One,
    /// Both.
    Both,
}

/// The grain of a sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum SheetGrain {
    /// With its length.
    Long,
    /// With its width.
    Wide,
    /// None to see.
    None,
}

/// A size in which a sheet or board is sold.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct SoldSize {
    /// Along its length.
    pub long: Length,
    /// Across it.
    pub wide: Length,
    /// Its price.
    pub price: Option<Price>,
    /// The line.
    pub origin: Origin,
}

/// Hardware, by its index in [`super::Model::hardware`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
pub struct HardwareId(pub u32);

/// Something bought and fitted.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Hardware {
    /// Its name in the text.
    pub name: String,
    /// Its name in print.
    pub title: String,
    /// Its kind and sizes.
    pub kind: HardwareKind,
    /// Its price.
    pub price: Option<Price>,
    /// The line.
    pub origin: Origin,
}

/// The kinds of hardware.
#[derive(Clone, Debug, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum HardwareKind {
    /// A hinge.
    Hinge(Hinge),
    /// A pair of drawer runners.
    Runner(Runner),
    /// A shelf pin: diameter and depth of its hole.
    Pin {
        /// Of its hole.
        diameter: Length,
        /// Of its hole.
        deep: Length,
    },
    /// A pull: diameter of its screw hole, and the distance between two, if it has two.
    Pull {
        /// Of the screw's hole.
        bore: Length,
        /// Between the two holes of a handle.
        centres: Option<Length>,
    },
    /// A catch.
    Catch,
    /// A lock.
    Lock,
    /// What holds a lid or flap open, or lets it down slowly.
    Stay {
        /// From screw to screw when it is drawn out.
        long: Option<Length>,
    },
    /// A foot under a case.
    Foot,
    /// A restraint to a wall.
    Strap,
    /// A screw.
    Screw {
        /// Whole length.
        long: Length,
        /// Shank diameter.
        thick: Length,
    },
    /// A bolt with its nut.
    Bolt {
        /// The most that it holds together.
        long: Length,
        /// Diameter of its hole.
        thick: Length,
    },
    /// A nail or brad.
    Nail {
        /// Whole length.
        long: Length,
        /// Shank diameter, if stated.
        thick: Option<Length>,
    },
    /// A round pin, half in each part.
    Dowel {
        /// Whole length.
        long: Length,
        /// Diameter.
        thick: Length,
    },
    /// A tenon of its own, half in each part.
    LooseTenon {
        /// Into both parts together.
        long: Length,
        /// Along the joint.
        wide: Length,
        /// Across it.
        thick: Length,
    },
    /// A wooden button that holds a top and lets it move.
    Button {
        /// Along the joint.
        wide: Length,
        /// Of its tongue.
        thick: Length,
        /// How far the tongue goes in, its air included.
        deep: Length,
        /// From the top's underside to the slot.
        below: Length,
    },
    /// A biscuit.
    Biscuit {
        /// Along the joint.
        long: Length,
        /// Across it, both halves.
        wide: Length,
        /// Of the slot.
        thick: Length,
    },
}

/// A hinge's sizes.
#[derive(Clone, Debug, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Hinge {
    /// Let into a bore in the leaf.
    Cup {
        /// Of the bore.
        diameter: Length,
        /// Of the bore.
        deep: Length,
        /// From the leaf's edge to the rim of the bore.
        rim: Length,
        /// How far a leaf may cover the case.
        covers: Option<(Length, Length)>,
        /// Between the case and an overlay leaf's back.
        stand_off: Length,
        /// From the front edge of what its plate is screwed to, to the plate's screws.
        set_back: Option<Length>,
    },
    /// Two leaves on a knuckle.
    Butt {
        /// Along the edge.
        long: Length,
        /// Of one leaf, across.
        wide: Length,
        /// Of one leaf.
        thick: Length,
    },
}

/// A runner's sizes.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Runner {
    /// Length, and depth of the drawer box.
    pub long: Length,
    /// Room at each side of the box.
    pub beside: Length,
    /// Room above the box.
    pub above: Length,
    /// Room below the box.
    pub below: Length,
    /// Room behind the box.
    pub rear: Length,
    /// What a pair carries, kilograms.
    #[serde(serialize_with = "exact_option")]
    #[schemars(with = "Option<String>")]
    pub load: Option<Rational>,
    /// Of runners that stand under the box; then `beside` follows from its sides.
    pub under: Option<UnderMount>,
}

/// What a runner under the box asks of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct UnderMount {
    /// The clear width less the inside width of the box.
    pub inside: Length,
    /// The thickest side that it takes.
    pub side_max: Option<Length>,
    /// From the lower edge of the box to the underside of its bottom.
    pub recess: Option<Length>,
}

/// A finish, by its index in [`super::Model::finishes`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
pub struct FinishId(pub u32);

/// How a piece is finished.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Finish {
    /// Its name in the text.
    pub name: String,
    /// Its name in print.
    pub title: String,
    /// In the order written.
    pub steps: Vec<FinishStep>,
    /// Before it may be used, seconds.
    #[serde(serialize_with = "exact_option")]
    #[schemars(with = "Option<String>")]
    pub cure: Option<Rational>,
    /// The line.
    pub origin: Origin,
}

/// A step of finishing.
#[derive(Clone, Debug, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum FinishStep {
    /// Sanding through these grits.
    Sand(Vec<u32>),
    /// Coats of something.
    Coat(Coat),
}

/// Coats of one material.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Coat {
    /// What: `varnish`.
    pub name: String,
    /// How many.
    pub coats: u32,
    /// Until the next coat, seconds.
    #[serde(serialize_with = "exact")]
    #[schemars(with = "String")]
    pub dry: Rational,
    /// Square millimetres that a cubic millimetre covers (so: per mm).
    #[serde(serialize_with = "exact")]
    #[schemars(with = "String")]
    pub covers: Rational,
    /// Its price.
    pub price: Option<Price>,
}
