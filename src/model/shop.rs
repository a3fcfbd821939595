//! The shop: machines, allowances, clamps, glue. Each default is common practice, and a maker's own
//! line replaces it.

use super::Price;
use crate::measure::{Length, Rational};
use schemars::JsonSchema;
use serde::{Serialize, Serializer};

fn exact<S: Serializer>(value: &Rational, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_str(value)
}

/// What this shop can do.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Shop {
    /// Name of the saw, its longest and widest cut.
    pub saw: Option<String>,
    /// Longest rip.
    pub saw_long: Option<Length>,
    /// Widest rip.
    pub saw_wide: Option<Length>,
    /// Width of the saw's cut.
    pub kerf: Length,
    /// Blade diameter of a stacked head, for stopped cuts.
    pub head_diameter: Length,
    /// Added to a sheet part for breakdown: length, width.
    pub rough_sheet: (Length, Length),
    /// Added to a board part: length, width, thickness.
    pub rough_board: (Length, Length, Length),
    /// Added to a strip of edging, so that it stands proud of its panel until it is flushed: length,
    /// width over two faces.
    pub rough_strip: (Length, Length),
    /// Taken off each edge of a new sheet.
    pub trim: Length,
    /// Which way the first cuts of a sheet go, if stated.
    pub first_sheets: Option<FirstCuts>,
    /// Which way the first cuts of a board go, if stated.
    pub first_boards: Option<FirstCuts>,
    /// Rounds of cuts of a sheet, two or three, before what is larger than its part is cut once more.
    pub cut_rounds: u32,
    /// The smallest offcut of a sheet that is kept: along and across the grain.
    pub keep_sheet: (Length, Length),
    /// The smallest offcut of a board that is kept: length, width.
    pub keep_board: (Length, Length),
    /// The shortest length of edging that is kept.
    pub keep_strip: Length,
    /// What one person lifts, kilograms, if stated.
    #[serde(skip)]
    pub lift: Option<Rational>,
    /// Its cutters.
    pub cutters: Vec<Cutter>,
    /// Its clamps.
    pub clamps: Vec<Clamp>,
    /// Its glues, the first being the one in use.
    pub glues: Vec<Glue>,
    /// What it sands with, if stated.
    pub abrasive: Option<Abrasive>,
    /// Relative humidity range, as fractions: dry, damp.
    #[serde(skip)]
    pub climate: Option<(Rational, Rational)>,
    /// Added to the width of a housing.
    pub fit: Length,
    /// Added to the depth of housings and grooves.
    pub relief_groove: Length,
    /// Added to the depth of mortises.
    pub relief_mortise: Length,
    /// Least wood that must stay between two cuts.
    pub web: Length,
    /// Waste of board when its parts are sawn from it, as a fraction of what is bought.
    #[serde(serialize_with = "exact")]
    #[schemars(with = "String")]
    pub board_waste: Rational,
    /// Square metres of glue that one person spreads a minute.
    #[serde(serialize_with = "exact")]
    #[schemars(with = "String")]
    pub spread_pace: Rational,
    /// Seconds to bring one joint together.
    pub joint_pace: u32,
    /// Start and end of the working day, hours.
    pub hours: (u32, u32),
    /// Square metres sanded or coated an hour.
    #[serde(serialize_with = "exact")]
    #[schemars(with = "String")]
    pub finish_pace: Rational,
    /// Added to finish bought, as a fraction.
    #[serde(serialize_with = "exact")]
    #[schemars(with = "String")]
    pub finish_loss: Rational,
}

impl Default for Shop {
    /// Common practice; every figure can be stated in `shop { }`.
    fn default() -> Shop {
        Shop {
            saw: None,
            saw_long: None,
            saw_wide: None,
            kerf: Length::um(3200),
            head_diameter: Length::inches(8, 1),
            rough_sheet: (Length::mm(3), Length::mm(3)),
            rough_board: (Length::mm(25), Length::mm(6), Length::mm(3)),
            rough_strip: (Length::mm(6), Length::um(1500)),
            trim: Length::mm(5),
            first_sheets: None,
            first_boards: None,
            cut_rounds: 3,
            keep_sheet: (Length::mm(300), Length::mm(100)),
            keep_board: (Length::mm(300), Length::mm(60)),
            keep_strip: Length::mm(300),
            lift: None,
            cutters: Vec::new(),
            clamps: Vec::new(),
            glues: Vec::new(),
            abrasive: None,
            climate: None,
            fit: Length::um(100),
            relief_groove: Length::um(500),
            relief_mortise: Length::um(1500),
            web: Length::um(1500),
            board_waste: Rational::new(3, 10),
            spread_pace: Rational::new(1, 10),
            joint_pace: 20,
            hours: (8, 17),
            finish_pace: Rational::int(6),
            finish_loss: Rational::new(1, 10),
        }
    }
}

/// Which way the first cuts go, those right through.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum FirstCuts {
    /// Along the length: rips.
    Along,
    /// Across it.
    Across,
    /// Whichever is better, sheet by sheet.
    Either,
}

/// What a cutter does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum CutterKind {
    /// Grooves of one width.
    Groove,
    /// A stacked head of many widths.
    Dado,
    /// Round holes.
    Bore,
    /// Rabbets.
    Rabbet,
    /// Dovetails.
    Dovetail,
    /// Mouldings along an edge: `thick` is how far it takes in from the edge, `deep` how much of the edge.
    Profile,
}

/// A cutter.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Cutter {
    /// Its name.
    pub name: String,
    /// What it does.
    pub kind: CutterKind,
    /// Least and greatest width (equal for one width).
    pub thick: (Length, Length),
    /// Deepest cut.
    pub deep: Option<Length>,
    /// Diameter of the head.
    pub across: Option<Length>,
}

/// Clamps of a kind.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Clamp {
    /// Their name.
    pub name: String,
    /// How many hang on the wall.
    pub count: u32,
    /// Greatest opening.
    pub long: Length,
}

/// A glue.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Glue {
    /// Its name.
    pub name: String,
    /// From spreading to clamping, seconds.
    pub open: u32,
    /// In clamps, seconds.
    pub clamped: u32,
    /// Before it is worked, seconds.
    pub cured: Option<u32>,
    /// Square millimetres that a cubic millimetre covers, if stated.
    #[serde(skip)]
    pub covers: Option<Rational>,
    /// Where its times were looked up, as its declaration says; none where the shop states them itself.
    pub source: Option<String>,
    /// Its price.
    pub price: Option<Price>,
}

/// What the shop sands with: a disc, a sheet, a belt.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Abrasive {
    /// Its name.
    pub name: String,
    /// As one asks for it.
    pub title: String,
    /// Square millimetres that one piece of one grit sands.
    #[serde(serialize_with = "exact")]
    #[schemars(with = "String")]
    pub lasts: Rational,
    /// Where that was looked up, as its declaration says; none where the shop states it itself.
    pub source: Option<String>,
    /// Its price: of a piece, or of a box of one grit.
    pub price: Option<Price>,
}
