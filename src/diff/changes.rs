//! What changed, as plain data.

use super::figure::{Figure, Step};
use crate::measure::{Length, Units};
use crate::model::{Axis, LocalAxis, Size};
use schemars::JsonSchema;
use serde::Serialize;

/// What changed between two revisions.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Changes {
    /// In which sums over several pieces print.
    pub units: Units,
    /// Whether the old revision can be built.
    pub old: Build,
    /// Whether the new one can.
    pub new: Build,
    /// Errors in the old revision.
    pub old_errors: usize,
    /// Errors in the new one.
    pub new_errors: usize,
    /// What the maker decided otherwise.
    pub decisions: Vec<Decision>,
    /// What follows from it; `None` where one of the two makes no model.
    pub consequences: Option<Consequences>,
}

impl Changes {
    /// Whether nothing changed.
    pub fn is_empty(&self) -> bool {
        let follows = match &self.consequences {
            Some(consequences) => !consequences.is_empty(),
            // Neither can be built, or one of both: the latter is a difference.
            None => self.old != self.new,
        };
        self.decisions.is_empty() && !follows
    }
}

/// Whether a revision can be built.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Build {
    /// It can.
    Sound,
    /// It makes a model, and a check stands against it: nothing is planned.
    Faulty,
    /// It does not compile.
    Fails,
}

/// Whether something came, went or stayed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Presence {
    /// In both.
    Stays,
    /// In the new one only.
    Added,
    /// In the old one only.
    Gone,
}

/// A line of a file.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
pub struct Place {
    /// The file, relative to its project folder.
    pub file: String,
    /// From 1.
    pub line: u32,
}

/// A line that was decided otherwise.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Decision {
    /// How.
    pub kind: DecisionKind,
    /// The blocks that it stands in, outermost first: `piece score_cabinet`, `case body`.
    pub within: Vec<String>,
    /// The line in its own words, with what is no longer said and what is said now.
    pub line: Vec<Word>,
    /// Lines in its block that came or went with it.
    pub more: u32,
    /// Where it stood.
    pub old: Option<Place>,
    /// Where it stands.
    pub new: Option<Place>,
    /// By how much, where it is one figure that changed.
    pub by: Option<Figure>,
}

/// How a decision changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs, reason = "the words say it")]
pub enum DecisionKind {
    Changed,
    Added,
    Gone,
    /// It stands elsewhere, where the order of lines says something.
    Moved,
}

/// Words of a line.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Word {
    /// In both.
    Same(String),
    /// No longer said.
    Old(String),
    /// Said now.
    New(String),
}

/// What follows from the decisions.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Consequences {
    /// Whether both were planned: otherwise purchases, cost and setups are not compared.
    pub planned: bool,
    /// Pieces that came, went, or are made in another number or size.
    pub pieces: Vec<PieceChange>,
    /// Clear sizes.
    pub openings: Vec<OpeningChange>,
    /// What only has another name.
    pub renames: Vec<Rename>,
    /// Parts that came, went, or are made otherwise.
    pub parts: Vec<PartChange>,
    /// Parts that are made as before and stand elsewhere.
    pub moves: Vec<Move>,
    /// What is bought otherwise.
    pub purchases: Vec<Purchase>,
    /// The total, by currency.
    pub cost: Vec<Total>,
    /// Setups that came, went, or are set otherwise.
    pub setups: Vec<SetupChange>,
    /// How many parts, sheets, setups and stages.
    pub totals: Vec<Total>,
    /// Checks that are not what they were.
    pub checks: Vec<CheckChange>,
}

impl Consequences {
    /// Whether nothing follows.
    pub fn is_empty(&self) -> bool {
        self.pieces.is_empty()
            && self.openings.is_empty()
            && self.renames.is_empty()
            && self.parts.is_empty()
            && self.moves.is_empty()
            && self.purchases.is_empty()
            && self.cost.is_empty()
            && self.setups.is_empty()
            && self.totals.is_empty()
            && self.checks.is_empty()
    }
}

/// A piece.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct PieceChange {
    /// Whether it came or went.
    pub presence: Presence,
    /// Its title in print.
    pub title: String,
    /// Its name, where it is another.
    pub name: Option<Step>,
    /// How many are made, where that changed, or the piece came or went.
    pub copies: Option<Step>,
    /// Outside sizes that changed.
    pub outside: Vec<(Extent, Step)>,
    /// In which it prints.
    pub units: Units,
}

/// A size of an opening or of a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs, reason = "the words of the trade say it")]
pub enum Extent {
    Wide,
    Deep,
    High,
}

impl Extent {
    /// By the axis of the piece.
    pub fn of(axis: Axis) -> Extent {
        match axis {
            Axis::X => Extent::Wide,
            Axis::Y => Extent::Deep,
            Axis::Z => Extent::High,
        }
    }

    /// The word of the language.
    pub fn word(self) -> &'static str {
        match self {
            Extent::Wide => "wide",
            Extent::Deep => "deep",
            Extent::High => "high",
        }
    }
}

/// The name of a thing in both revisions.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
pub struct Names {
    /// Then; `None` for what came.
    pub old: Option<String>,
    /// Now; `None` for what went.
    pub new: Option<String>,
}

impl Names {
    /// The name now, or the last one that it had.
    pub fn now(&self) -> &str {
        self.new.as_deref().or(self.old.as_deref()).unwrap_or("")
    }
}

/// Openings that changed alike.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct OpeningChange {
    /// The title of their piece.
    pub piece: String,
    /// In which it prints.
    pub units: Units,
    /// Whether they came or went.
    pub presence: Presence,
    /// Which.
    pub names: Vec<Names>,
    /// Clear sizes that changed; all three of what came or went.
    pub sizes: Vec<(Extent, Step)>,
}

/// Parts or openings that only have another name.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Rename {
    /// The title of their piece.
    pub piece: String,
    /// Name then, of the part or of what the parts belong to.
    pub old: String,
    /// Name now.
    pub new: String,
    /// How many parts it concerns.
    pub parts: u32,
    /// How many openings it concerns.
    pub openings: u32,
}

/// Parts that are alike and changed alike.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct PartChange {
    /// The title of their piece.
    pub piece: String,
    /// In which it prints.
    pub units: Units,
    /// What they belong to, in print: `Case`, `Tray`.
    pub within: String,
    /// Their name in print.
    pub label: String,
    /// Their number in the new book; in the old one if they went.
    pub mark: Option<u32>,
    /// Whether they came or went.
    pub presence: Presence,
    /// Which, of one copy of the piece.
    pub names: Vec<Names>,
    /// Sizes that changed.
    pub sizes: Vec<SizeStep>,
    /// Sawn size now; of what went, then.
    pub size: Size,
    /// Stock, where it is another, or the part came or went.
    pub stock: Option<Step>,
    /// Cuts that changed; empty for what came or went.
    pub cuts: Vec<CutChange>,
    /// What can be done with those that are cut already.
    pub reuse: Reuse,
}

/// A size of a part that changed.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SizeStep {
    /// Which.
    pub axis: LocalAxis,
    /// Whether only the finished size changed, with its edging; otherwise it is the sawn size.
    pub finished: bool,
    /// From, to.
    pub step: Step,
}

/// A cut that changed.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CutChange {
    /// What it is, in print: `dado for Deck`.
    pub what: String,
    /// Whether it came or went.
    pub presence: Presence,
    /// What of it changed.
    pub facets: Vec<CutFacet>,
}

/// What of a cut changed.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CutFacet {
    /// In a few words: `wide`, `deep`, `from the end`, `holes`.
    pub what: String,
    /// From, to.
    pub step: Step,
}

/// Parts that stand elsewhere.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Move {
    /// The title of their piece.
    pub piece: String,
    /// In which it prints.
    pub units: Units,
    /// To the right, to the rear, up.
    pub by: [Length; 3],
    /// Which.
    pub names: Vec<Names>,
    /// Their names in print, each once.
    pub labels: Vec<String>,
}

/// What can be done with a part that is cut already.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Reuse {
    /// It serves as it is.
    Usable,
    /// It is cut further: what is to go now holds all that went.
    CutFurther,
    /// It is trimmed, its cuts stay.
    Trim,
    /// It is trimmed and cut further.
    TrimAndCut,
    /// It is planed thinner.
    Plane,
    /// It is of no use.
    MakeAgain,
    /// It was not there.
    Make,
    /// It is not needed.
    NotNeeded,
}

impl Reuse {
    /// In a few words.
    pub fn words(self) -> &'static str {
        match self {
            Reuse::Usable => "usable",
            Reuse::CutFurther => "cut further",
            Reuse::Trim => "trim",
            Reuse::TrimAndCut => "trim, cut further",
            Reuse::Plane => "plane",
            Reuse::MakeAgain => "make again",
            Reuse::Make => "make",
            Reuse::NotNeeded => "not needed",
        }
    }
}

/// Something to buy.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Purchase {
    /// Where it stands: `sheets`, `hardware`.
    pub section: String,
    /// What.
    pub what: String,
    /// Its size, as far as one asks for it.
    pub size: Vec<Length>,
    /// How much, where that changed.
    pub amount: Option<Step>,
    /// How many of a pack are used, where that changed.
    pub used: Option<Step>,
    /// What it comes to, where that changed.
    pub price: Option<Step>,
    /// Whether it came or went.
    pub presence: Presence,
}

/// A total that changed.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Total {
    /// Of what.
    pub what: String,
    /// From, to.
    pub step: Step,
}

/// A setup.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SetupChange {
    /// Whether it came or went.
    pub presence: Presence,
    /// What is done with what.
    pub what: String,
    /// Its number then.
    pub old_number: Option<u32>,
    /// Its number now.
    pub new_number: Option<u32>,
    /// Settings that changed; of what came or went, those that it has.
    pub settings: Vec<CutFacet>,
}

/// Checks of one code that came out alike then and alike now.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct CheckChange {
    /// The title of its piece; `None` for the commission.
    pub piece: Option<String>,
    /// In which it prints.
    pub units: Units,
    /// Its code.
    pub code: String,
    /// What is looked at.
    pub subjects: Vec<String>,
    /// What came of it then; `None` if there was nothing to look at.
    pub old: Option<Held>,
    /// What comes of it now.
    pub new: Option<Held>,
}

/// What came of a check.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Held {
    /// `holds`, `caution`, `error`, `allowed`.
    pub outcome: &'static str,
    /// The figure.
    pub figure: Figure,
    /// Its limit.
    pub limit: Figure,
    /// What is to spare; below nothing where it oversteps.
    pub margin: Option<Figure>,
}
