//! The build book: facts from model and plans, worded by templates, one HTML file.
//!
//! A chapter is one file of [`chapters`] that prepares facts and one template that words them.
//! Templates see plain data and decide wording and order; Rust decides facts. The output needs no
//! network and no script, and the same input gives the same bytes: revision and date are inputs.
//!
//! Nothing here reads files or clocks, checks the piece, or knows of the language.

pub mod chapters;
mod css;
mod fault;
pub mod html;
pub mod markdown;
pub mod md;
mod plain;
mod safety;
#[cfg(test)]
mod sample;
mod templates;
#[cfg(test)]
mod tests;
mod weight;

pub use chapters::{CHAPTERS, Chapter};
pub use css::{Paper, css_string};
pub use fault::BookFault;
pub use templates::Templates;

use crate::diff::Changes;
use crate::measure::Units;
use crate::model::{AssemblyId, Finding, Model, Piece};
use crate::plan::Plans;
use minijinja::{AutoEscape, Environment, UndefinedBehavior, Value, context};
use serde::Serialize;

/// Everything that a book is written from.
#[derive(Clone, Copy, Debug)]
pub struct Facts<'a> {
    /// The commission.
    pub model: &'a Model,
    /// Its plans.
    pub plans: &'a Plans,
    /// What the checks found, those that hold included.
    pub findings: &'a [Finding],
    /// The paper to lay out for.
    pub paper: Paper,
    /// The maker's name of this revision; left blank to write in when absent.
    pub revision: Option<&'a str>,
    /// Its date; left blank to write in when absent.
    pub date: Option<jiff::civil::Date>,
    /// What changed, if the maker asks for it.
    pub since: Option<Since<'a>>,
}

/// What changed since a revision.
#[derive(Clone, Copy, Debug)]
pub struct Since<'a> {
    /// What the maker calls that revision.
    pub name: &'a str,
    /// What changed since.
    pub changes: &'a Changes,
}

impl<'a> Facts<'a> {
    /// The title of the whole: the commission's, or the piece's that is built on its own.
    pub fn title(&self) -> &'a str {
        match &self.model.commission {
            Some(commission) => &commission.title,
            None => self.model.pieces.first().map_or("", |piece| &piece.title),
        }
    }

    /// The units of tables that span the commission: those of its first piece.
    pub fn units(&self) -> Units {
        self.model
            .pieces
            .first()
            .map_or(Units::Mm, |piece| piece.units)
    }

    /// The letters of every copy in the commission, in order.
    pub fn letters(&self) -> Vec<&'a str> {
        let pieces = self.model.pieces.iter();
        pieces
            .flat_map(|piece| piece.letters.iter().map(String::as_str))
            .collect()
    }

    /// Whether the book is about more than one kind of piece, so that tables name it.
    pub fn many(&self) -> bool {
        self.model.pieces.len() > 1
    }

    /// For whom, as it reads after "for": `The music school` becomes `the music school`.
    pub(crate) fn client_in_prose(&self) -> Option<String> {
        let client = self.model.commission.as_ref()?.client.as_ref()?;
        Some(match client.strip_prefix("The ") {
            Some(rest) => format!("the {rest}"),
            None => client.clone(),
        })
    }

    /// What stands at the head of every page, so that a sheet that strays still says what it is.
    pub(crate) fn running_title(&self) -> String {
        let mut out = self.title().to_owned();
        if let Some(client) = self.client_in_prose() {
            out.push_str(&format!(", for {client}"));
        }
        out
    }

    /// Revision and date at the foot of every page.
    pub(crate) fn stamp(&self) -> String {
        match (self.revision, self.date) {
            (Some(revision), Some(date)) => {
                format!("Revision {revision}\u{2002}{}", short_date(date))
            }
            (Some(revision), None) => format!("Revision {revision}"),
            (None, Some(date)) => short_date(date),
            (None, None) => "Revision".to_owned(),
        }
    }

    /// The unit names in use, for the foot of every page: `mm`, `inches`, `mm or inches`.
    pub(crate) fn unit_names(&self) -> String {
        let mut names: Vec<&str> = Vec::new();
        for piece in &self.model.pieces {
            let name = match piece.units {
                Units::Mm => "mm",
                Units::Inch(_) => "inches",
            };
            if !names.contains(&name) {
                names.push(name);
            }
        }
        names.join(" or ")
    }
}

/// `12 January 2027`.
pub fn short_date(date: jiff::civil::Date) -> String {
    date.strftime("%-d %B %Y").to_string()
}

/// `Friday 12 March 2027`.
pub fn long_date(date: jiff::civil::Date) -> String {
    date.strftime("%A %-d %B %Y").to_string()
}

/// `Score cabinet`, or with its letters where a commission holds several pieces.
pub fn piece_name(facts: &Facts, piece: &Piece) -> String {
    if facts.many() {
        format!("{}, {}", piece.title, piece.letters.join(" "))
    } else {
        piece.title.clone()
    }
}

/// What an assembly is called in print: of several cases with the name of the one in which it is.
pub fn thing_name(piece: &Piece, id: AssemblyId) -> String {
    let own = &piece.assembly(id).label;
    let case = piece.inner_case(id).filter(|_| piece.cases.len() > 1);
    match case.filter(|case| case.assembly != id) {
        Some(case) => {
            let case = &piece.assembly(case.assembly).label;
            format!("{case}, {}", html::small(own))
        }
        None => own.clone(),
    }
}

/// What every template sees beside its own facts.
#[derive(Serialize)]
struct Book {
    title: String,
    revision: Option<String>,
    date: Option<String>,
    units: String,
    letters: Vec<String>,
    many: bool,
}

/// One chapter in print.
#[derive(Serialize)]
struct Printed {
    number: u32,
    id: &'static str,
    title: &'static str,
    body: Value,
}

/// A template gives up after so many steps; the longest book of ours takes a fraction of it.
const FUEL: u64 = 50_000_000;

/// A chapter, filled in.
struct Filled {
    id: &'static str,
    body: String,
}

/// Writes the book.
///
/// # Errors
/// The first template that can't be filled in.
pub fn write(facts: &Facts, templates: &Templates) -> Result<String, BookFault> {
    let filled = chapters_of(facts, templates)?;
    let mut printed = Vec::new();
    let mut in_print = Vec::new();
    for chapter in CHAPTERS {
        let body = filled.iter().find(|filled| filled.id == chapter.id);
        printed.extend(body.map(|filled| Printed {
            number: chapter.number,
            id: chapter.id,
            title: chapter.title,
            body: html::safe(filled.body.as_str()),
        }));
        in_print.extend(body.map(|_| chapter));
    }
    let style = format!(
        "{}\n{}\n{}",
        templates.get("drawing.css").unwrap_or_default(),
        templates.get("style.css").unwrap_or_default(),
        css::page_rules(facts, &in_print)
    );
    let context = context! {
        book => about(facts), chapters => html::value(&printed), style => html::safe(style)
    };
    let env = environment(templates)?;
    let book = render(&env, "base.html", templates, context)?;
    with_cautions(facts, templates, &book)?;
    Ok(book)
}

/// What every template is told of the whole.
fn about(facts: &Facts) -> Value {
    html::value(&Book {
        title: facts.title().to_owned(),
        revision: facts.revision.map(str::to_owned),
        date: facts.date.map(short_date),
        units: facts.unit_names(),
        letters: facts.letters().into_iter().map(str::to_owned).collect(),
        many: facts.many(),
    })
}

/// The chapters that have something to say, filled in, in order.
fn chapters_of(facts: &Facts, templates: &Templates) -> Result<Vec<Filled>, BookFault> {
    let env = environment(templates)?;
    let about = about(facts);
    let mut out = Vec::new();
    for chapter in CHAPTERS {
        let Some(value) = (chapter.facts)(facts) else {
            continue;
        };
        let head = context! { number => chapter.number, id => chapter.id, title => chapter.title };
        let context = context! { chapter => head, book => about.clone(), ..value };
        out.push(Filled {
            id: chapter.id,
            body: render(&env, chapter.template, templates, context)?,
        });
    }
    Ok(out)
}

/// Sees to it that the cautions stand in what is written.
fn with_cautions(facts: &Facts, templates: &Templates, written: &str) -> Result<(), BookFault> {
    if safety::stands_in(written, &safety::block(facts)) {
        return Ok(());
    }
    Err(no_cautions(
        templates,
        "the cautions, `{{ cautions }}`, do not stand in the book",
    ))
}

/// The fault of a book that lacks its cautions.
fn no_cautions(templates: &Templates, what: &str) -> BookFault {
    BookFault {
        template: "start.html".to_owned(),
        line: None,
        range: None,
        text: templates.get("start.html").unwrap_or_default().to_owned(),
        what: what.to_owned(),
    }
}

/// The template engine, with every template that the maker has replaced already read, so that a
/// fault in one is found whether or not it is used.
fn environment(templates: &Templates) -> Result<Environment<'static>, BookFault> {
    let mut env = Environment::new();
    env.set_undefined_behavior(UndefinedBehavior::Strict);
    env.set_auto_escape_callback(|_| AutoEscape::Html);
    env.set_fuel(Some(FUEL));
    env.set_debug(true); // errors then carry the range in the template
    let all = templates.clone();
    env.set_loader(move |name| Ok(all.get(name).map(str::to_owned)));
    for (name, text) in templates.overrides() {
        if name.ends_with(".html") {
            env.get_template(name)
                .map_err(|error| BookFault::from_engine(name, text, &error))?;
        }
    }
    Ok(env)
}

fn render(
    env: &Environment,
    name: &str,
    templates: &Templates,
    context: Value,
) -> Result<String, BookFault> {
    env.get_template(name)
        .and_then(|template| template.render(context))
        .map_err(|error| {
            BookFault::from_engine(name, templates.get(name).unwrap_or_default(), &error)
        })
}
