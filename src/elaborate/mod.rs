//! From checked lines to the model: names, patterns, places, joints, edging, fittings.
//!
//! The only stage that sees both text and model. In order: files are loaded and their lines checked,
//! declarations are gathered, each piece is built (panels, spaces, finished boxes, cores, growth,
//! cuts, strips, fronts, drawers, shelves) and frozen. Every mistake is a report; what is broken is
//! poisoned and stays quiet. Nothing here draws, plans or judges by rules of the trade.

mod abrasives;
mod bands;
mod build;
mod circle;
mod compose;
mod cut_out;
mod declare;
mod divide;
mod drawers;
mod elements;
mod env;
mod face_frame;
mod fitted;
mod fix;
mod flap;
mod frame;
mod freeze;
mod fronts;
mod gather;
mod glues;
mod groups;
mod idle;
mod joints;
mod label;
mod leaf_fittings;
mod library;
mod lid;
mod like;
mod load;
mod matched;
mod materials;
mod merge;
mod moulding;
mod notes;
mod orphans;
mod panels;
mod paths;
mod piece;
mod place;
mod project;
mod rack;
mod rows;
mod run;
mod shape;
mod shelves;
mod stages;
mod stand;
mod stmt;
mod unbuilt;
mod unfold;
mod value;
mod wooden;
mod written;

pub use library::{
    Declared, all as library, is_library, page as library_page, words as library_words,
};
pub use load::{Unreadable, resolve};
pub use written::written;

use crate::diag::Diagnostic;
use crate::model::Model;
use crate::source::{Files, Sources};

/// What went wrong was reported already: carry on quietly.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Poison;

/// A result whose error was reported.
pub type Res<T> = Result<T, Poison>;

/// What the maker asks for beside the text.
#[derive(Clone, Debug, Default)]
pub struct Options {
    /// Parameters set from outside: name and expression, as in `--set width=800mm`.
    pub set: Vec<(String, String)>,
}

/// What elaboration gives.
#[derive(Debug)]
pub struct Outcome {
    /// The texts, for messages.
    pub sources: Sources,
    /// What was found, in the order of the stages.
    pub diagnostics: Vec<Diagnostic>,
    /// The model; `None` if there was an error.
    pub model: Option<Model>,
}

/// Elaborates a file and all that it uses.
///
/// # Errors
/// When the file itself can't be read.
pub fn elaborate(files: &dyn Files, entry: &str, options: &Options) -> Result<Outcome, Unreadable> {
    let mut loaded = load::load(files, entry)?;
    let mut sink = std::mem::take(&mut loaded.diagnostics);
    let sets = piece::read_sets(&mut loaded.sources, &options.set, &mut sink);
    let project = gather::gather(loaded, &sets, &mut sink);
    let model = piece::build(&project, &sets, &mut sink);
    let model = model.filter(|_| !sink.iter().any(Diagnostic::is_error));
    Ok(Outcome {
        sources: project.sources,
        diagnostics: sink,
        model,
    })
}
