//! A project to begin with: a small piece that builds as it stands, in files that a maker goes on
//! editing. The texts stand beside this file, under a name of their own that is replaced; what comes
//! out is checked and laid out before anyone sees it.

use crate::compile;
use crate::diag::Diagnostic;
use crate::elaborate::Options;
use crate::plan;
use crate::source::{Files, ReadFault, Source, Sources};
use crate::syntax;
use clap::ValueEnum;
use std::collections::BTreeMap;

/// The units that a project is written in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Units {
    /// Millimetres.
    #[default]
    Mm,
    /// Inches and their fractions.
    In,
}

/// The name of the piece in the texts.
const NAME: &str = "piece_name";
/// Its title in the texts.
const TITLE: &str = "Piece title";

/// The files of a project, by name.
pub type Project = BTreeMap<String, String>;

/// The project of a piece with this name.
///
/// # Errors
/// Says why the name can't be that of a piece.
pub fn project(name: &str, units: Units) -> Result<Project, String> {
    if !is_name(name) {
        return Err("a name is a word of letters, digits and `_`, and starts with a letter".into());
    }
    let piece = format!("{name}.case");
    let title = title(name);
    let [piece_text, commission, stock, shop] = match units {
        Units::Mm => [
            include_str!("mm/piece.case"),
            include_str!("mm/commission.case"),
            include_str!("mm/stock.case"),
            include_str!("mm/shop.case"),
        ],
        Units::In => [
            include_str!("in/piece.case"),
            include_str!("in/commission.case"),
            include_str!("in/stock.case"),
            include_str!("in/shop.case"),
        ],
    };
    let texts = [
        ("commission.case", commission),
        ("stock.case", stock),
        ("shop.case", shop),
        ("README.md", include_str!("README.md")),
        (".gitignore", include_str!("gitignore")),
        (".gitattributes", include_str!("gitattributes")),
        (piece.as_str(), piece_text),
    ];
    let mut project = Project::new();
    for (file, text) in texts {
        let text = text.replace(NAME, name).replace(TITLE, &title);
        if project.insert(file.to_owned(), text).is_some() {
            return Err(format!("a project has a `{file}` already"));
        }
    }
    for (file, text) in &mut project {
        if file.ends_with(".case") {
            *text = tidied(file, text)?;
        }
    }
    match first_fault(&project) {
        None => Ok(project),
        Some(report) => Err(report.title),
    }
}

/// Whether the text may be the name of a thing, words of the language aside.
fn is_name(name: &str) -> bool {
    name.starts_with(|c: char| c.is_ascii_alphabetic())
        && name.chars().all(|c| c.is_ascii_alphanumeric() || c == '_')
        && name.len() <= 60
}

/// A name for the piece after that of its folder: signs that no name has become `_`.
pub fn name_of(folder: &str) -> String {
    folder
        .chars()
        .map(|c| match c {
            ' ' | '-' | '.' => '_',
            c => c.to_ascii_lowercase(),
        })
        .collect()
}

fn title(name: &str) -> String {
    let words = name.replace('_', " ");
    let words = words.trim();
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(chars).collect()
    })
}

fn tidied(name: &str, text: &str) -> Result<String, String> {
    let mut sources = Sources::default();
    let file = sources.add(Source::new(name, text));
    syntax::tidy(&sources, file).map_err(|fault| match fault {
        syntax::Untidy::Faults(reports) => reports
            .into_iter()
            .next()
            .map_or_else(String::new, |report| report.title),
        syntax::Untidy::Changed => format!("`{name}` can't be laid out"),
    })
}

/// What is wrong with the project, cautions too.
fn first_fault(project: &Project) -> Option<Diagnostic> {
    let mut compiled = compile(&Memory(project), "commission.case", &Options::default()).ok()?;
    if let Some(model) = compiled.model.as_ref().filter(|_| !compiled.has_errors()) {
        compiled.judge(plan::findings(model));
    }
    compiled.diagnostics.into_iter().next()
}

struct Memory<'p>(&'p Project);

impl Files for Memory<'_> {
    fn read(&self, path: &str) -> Result<String, ReadFault> {
        self.0.get(path).cloned().ok_or(ReadFault::Missing)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The texts are written as they come out, so that they are read here as a maker reads them.
    #[test]
    fn projects_are_tidy_and_without_a_caution() {
        for units in [Units::Mm, Units::In] {
            let project = project(NAME, units).unwrap();
            assert!(first_fault(&project).is_none());
            assert_eq!(project.len(), 7);
            for text in project.values() {
                assert!(!text.contains(TITLE), "{text}");
            }
        }
        let mm = project(NAME, Units::Mm).unwrap();
        assert_eq!(mm["stock.case"], include_str!("mm/stock.case"));
        assert_eq!(mm["shop.case"], include_str!("mm/shop.case"));
    }

    /// Both ends of what the piece lets its maker choose are built without a caution too.
    #[test]
    fn every_width_that_is_offered_is_well() {
        for (units, widths) in [
            (Units::Mm, ["350mm", "600mm", "800mm"]),
            (Units::In, ["14in", "24in", "32in"]),
        ] {
            let mut project = project("rack", units).unwrap();
            for width in widths {
                let text = project.get_mut("commission.case").unwrap();
                let start = text.find("width: ").unwrap() + "width: ".len();
                let end = start + text[start..].find(')').unwrap();
                text.replace_range(start..end, width);
                let fault = first_fault(&project);
                assert!(fault.is_none(), "{width}: {fault:?}");
            }
        }
    }

    #[test]
    fn names_that_cannot_be_are_refused() {
        for name in [
            "",
            "9lives",
            "a b",
            "a\"b",
            "wide",
            "if",
            "stock",
            "pine",
            "commission",
            "../up",
        ] {
            assert!(project(name, Units::Mm).is_err(), "{name}");
        }
        assert_eq!(name_of("Hall-shelf 2.1"), "hall_shelf_2_1");
        assert_eq!(title("hall_shelf"), "Hall shelf");
    }
}
