//! `casewright words`.

use crate::cli::output::Output;
use crate::cli::{FINE, USAGE};
use crate::schema;
use clap::Args;

/// Arguments of `words`.
#[derive(Debug, Args)]
pub struct WordsArgs {
    /// A word of the language: a head, a clause, a joint; `std`, the library; left out, the overview.
    word: Option<String>,
}

/// Prints the reference.
pub fn run(args: &WordsArgs, output: &Output) -> u8 {
    if args.word.as_deref() == Some("std") {
        output.print(&crate::elaborate::library_words());
        return FINE;
    }
    match schema::words(args.word.as_deref()) {
        Some(text) => {
            output.print(&text);
            FINE
        }
        None => {
            let word = args.word.as_deref().unwrap_or("");
            let heads = schema::table::heads().map(|h| h.word);
            let near = crate::diag::nearest(word, heads)
                .map_or_else(String::new, |near| format!("; did you mean `{near}`?"));
            output.problem(&format!("`{word}` is not a word of the language{near}"));
            USAGE
        }
    }
}
