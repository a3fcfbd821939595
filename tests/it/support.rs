//! What several test modules share: a project held in memory.

use casewright::source::{Files, ReadFault};
use std::collections::BTreeMap;

/// Files by name.
pub struct Texts(BTreeMap<String, String>);

impl Texts {
    /// From pairs of name and text.
    pub fn of(files: &[(&str, &str)]) -> Texts {
        Texts(
            files
                .iter()
                .map(|(name, text)| ((*name).to_owned(), (*text).to_owned()))
                .collect(),
        )
    }
}

impl Files for Texts {
    fn read(&self, path: &str) -> Result<String, ReadFault> {
        self.0.get(path).cloned().ok_or(ReadFault::Missing)
    }
}
