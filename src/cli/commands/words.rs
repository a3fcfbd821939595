//! `casewright words`.

use crate::cli::output::Output;
use crate::cli::{FINE, USAGE};
use crate::schema;
use clap::Args;

/// Arguments of `words`.
#[derive(Debug, Args)]
pub struct WordsArgs {
    /// A word of the language: a head, a clause, a joint; `std`, the library, or a name of it; left out, the overview.
    word: Option<String>,
}

/// Prints the reference.
pub fn run(args: &WordsArgs, output: &Output) -> u8 {
    if args.word.as_deref() == Some("std") {
        output.print(&crate::elaborate::library_words());
        return FINE;
    }
    let word = args.word.as_deref();
    let known = word.and_then(crate::elaborate::library_page);
    match (schema::words(word), known) {
        (Some(text), None) | (None, Some(text)) => output.print(&text),
        (Some(text), Some(known)) => output.print(&format!("{text}\n{known}")),
        (None, None) => {
            let word = word.unwrap_or("");
            let heads = schema::table::heads().map(|h| h.word);
            let library = crate::elaborate::library().iter().map(|d| d.name);
            let near = crate::diag::nearest(word, heads.chain(library))
                .map_or_else(String::new, |near| format!("; did you mean `{near}`?"));
            output.problem(&format!(
                "`{word}` is neither a word of the language nor a name of the library{near}"
            ));
            return USAGE;
        }
    }
    FINE
}
