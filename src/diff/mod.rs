//! The semantic diff: what was decided otherwise between two revisions, and what follows from it.
//!
//! In: of each revision its lines as plain data ([`WrittenLine`]) and, where it could be built, its
//! frozen model, plans and findings. Out: [`Changes`], plain data, which the terminal, JSON and the
//! book's chapter print, each in its way.
//!
//! Decisions are compared line by line as the schema reads them, so layout, the order of free lines
//! and the way in which a number is written are no change. Pieces, openings and parts are matched by
//! name, then by place and shape ([`matching`]), so that a rename is a rename; what is alike and
//! changes alike is told once. Nothing here knows of text, terminals or pages.

mod changes;
mod checks;
mod cuts;
mod decisions;
mod figure;
pub mod lines;
mod listing;
mod matching;
mod openings;
mod parts;
mod pieces;
mod purchases;
mod reuse;
mod setups;
mod words;

pub use changes::{
    Build, Changes, CheckChange, Consequences, CutChange, CutFacet, Decision, DecisionKind, Extent,
    Held, Move, Names, OpeningChange, PartChange, PieceChange, Place, Presence, Purchase, Rename,
    Reuse, SetupChange, SizeStep, Total, Word,
};
pub use figure::{Figure, Precision, Step};
pub use listing::listing;

use crate::measure::Units;
use crate::model::{Finding, Model, WrittenLine};
use crate::plan::Plans;

/// A revision of a file, with all that it uses.
#[derive(Clone, Copy, Debug)]
pub struct Revision<'a> {
    /// Its lines.
    pub lines: &'a [WrittenLine],
    /// What it builds; `None` where it does not compile.
    pub built: Option<Built<'a>>,
    /// How many errors it has.
    pub errors: usize,
}

/// What a revision builds.
#[derive(Clone, Copy, Debug)]
pub struct Built<'a> {
    /// The model.
    pub model: &'a Model,
    /// Its plans; `None` where a check stands against it, so that nothing may be planned.
    pub plans: Option<&'a Plans>,
    /// What was checked.
    pub findings: &'a [Finding],
}

/// Compares two revisions.
pub fn diff(old: &Revision<'_>, new: &Revision<'_>) -> Changes {
    let units = [new, old]
        .into_iter()
        .filter_map(|revision| revision.built)
        .find_map(|built| built.model.pieces.first().map(|piece| piece.units))
        .unwrap_or(Units::Mm);
    let build = |revision: &Revision<'_>| match revision.built {
        None => Build::Fails,
        Some(built) if built.plans.is_none() => Build::Faulty,
        Some(_) => Build::Sound,
    };
    Changes {
        units,
        old: build(old),
        new: build(new),
        old_errors: old.errors,
        new_errors: new.errors,
        decisions: decisions::compare(old.lines, new.lines),
        consequences: match (old.built, new.built) {
            (Some(old), Some(new)) => Some(follow(&old, &new, units)),
            _ => None,
        },
    }
}

/// What follows, where both revisions make a model.
fn follow(old: &Built<'_>, new: &Built<'_>, units: Units) -> Consequences {
    let matched = matching::match_models(old.model, new.model);
    let (pieces, openings) = (
        pieces::compare(old.model, new.model, &matched),
        openings::compare(old.model, new.model, &matched),
    );
    let parts::Compared {
        parts,
        renames,
        moves,
    } = parts::compare(old.model, new.model, &matched);
    let (mut purchases, mut cost, mut setups, mut totals) = (vec![], vec![], vec![], vec![]);
    if let (Some(was), Some(is)) = (old.plans, new.plans) {
        purchases = purchases::compare(old.model, was, new.model, is, units);
        cost = purchases::cost(was, is);
        setups = setups::compare(was, is);
        totals = setups::totals(was, is);
    }
    Consequences {
        planned: old.plans.is_some() && new.plans.is_some(),
        pieces,
        openings,
        renames,
        parts,
        moves,
        purchases,
        cost,
        setups,
        totals,
        checks: checks::compare(old, new, &matched),
    }
}
