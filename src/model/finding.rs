//! What a check found: always a figure, a limit and a source, also when it holds.

use crate::measure::Length;
use crate::source::Span;
use schemars::JsonSchema;
use serde::Serialize;

/// A figure or a limit.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Value {
    /// A length.
    Length(Length),
    /// A number with its unit in print (`kg`, `min`, ``), rounded towards caution by its rule.
    Number(f64, String),
}

/// Which way the limit works.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Sense {
    /// The figure must not exceed the limit.
    AtMost,
    /// The figure must reach the limit.
    AtLeast,
}

/// What came of it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Outcome {
    /// Within the limit.
    Holds,
    /// A maker would look twice.
    Caution,
    /// It can't be built so.
    Error,
    /// A caution that the maker allowed, with the reason given.
    Allowed(String),
}

/// One check on one thing.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Finding {
    /// The code that a failure has: `fit.drawer_wide`.
    pub code: String,
    /// What was looked at, in print: `Tray, width in the well`.
    pub subject: String,
    /// The piece it belongs to, by index; `None` for the whole commission.
    pub piece: Option<u32>,
    /// The computed figure.
    pub figure: Value,
    /// What it is held against.
    pub limit: Value,
    /// Which way.
    pub sense: Sense,
    /// What came of it.
    pub outcome: Outcome,
    /// How the figure comes about: `864.8 - 2 x 12.7`.
    pub arithmetic: String,
    /// Where the limit comes from: `runner400`, `common practice`, a standard.
    pub source: String,
    /// The lines concerned, the main one first.
    pub spans: Vec<Span>,
}
