//! The book's templates: those that ship inside the program, and a maker's own in their place.
//!
//! Reading a folder is the command line's work; here they are texts by name.

use include_dir::{Dir, include_dir};
use std::collections::BTreeMap;

static BUILT_IN: Dir = include_dir!("$CARGO_MANIFEST_DIR/book-templates");

/// The set of templates that a book is written with.
#[derive(Clone, Debug, Default)]
pub struct Templates {
    overrides: BTreeMap<String, String>,
}

impl Templates {
    /// Those that ship with the program.
    pub fn built_in() -> Templates {
        Templates::default()
    }

    /// The built-in ones, file by file replaced (or added to) by texts under the same names.
    pub fn with_overrides(texts: impl IntoIterator<Item = (String, String)>) -> Templates {
        Templates {
            overrides: texts.into_iter().collect(),
        }
    }

    /// The text of a template.
    pub fn get(&self, name: &str) -> Option<&str> {
        self.overrides.get(name).map(String::as_str).or_else(|| {
            BUILT_IN
                .get_file(name)
                .and_then(|file| file.contents_utf8())
        })
    }

    /// The names and texts of the built-in templates, by name.
    pub fn all_built_in() -> Vec<(String, &'static str)> {
        let mut out: Vec<_> = BUILT_IN
            .files()
            .filter_map(|file| Some((file.path().to_str()?.to_owned(), file.contents_utf8()?)))
            .collect();
        out.sort();
        out
    }

    /// The overrides, for reading them all before the first is used.
    pub(super) fn overrides(&self) -> impl Iterator<Item = (&str, &str)> {
        self.overrides
            .iter()
            .map(|(name, text)| (name.as_str(), text.as_str()))
    }
}
