//! Gathering what the files of a project declare.

use super::env::{Env, Slot};
use super::load::Loaded;
use super::project::{Project, Set, TopLevel, twice};
use super::stmt::Stmt;
use super::unfold::bind_lets;
use super::value::{self, Lookup};
use super::{Poison, Res, abrasives, declare, glues, library, like, materials, rack};
use crate::diag::{Diagnostic, code};
use crate::model::Shop;
use crate::schema::{Entry, Form};
use crate::source::{FileId, Span};
use indexmap::IndexMap;
use std::rc::Rc;

/// Gathers the declarations of all files.
///
/// Parameters of files take their values from outside before anything is computed from them.
pub fn gather(loaded: Loaded, sets: &[Set], sink: &mut Vec<Diagnostic>) -> Project {
    let Loaded {
        sources,
        entries: files,
        holes,
        library: in_use,
        ..
    } = loaded;
    let mut project = Project {
        sources,
        globals: Rc::new(Env::default()),
        materials: IndexMap::new(),
        glues: IndexMap::new(),
        abrasives: IndexMap::new(),
        stocks: IndexMap::new(),
        hardware: IndexMap::new(),
        finishes: IndexMap::new(),
        patterns: IndexMap::new(),
        pieces: IndexMap::new(),
        commissions: Vec::new(),
        notes: Vec::new(),
        shop: Shop::default(),
        rack: Vec::new(),
        broken: Vec::new(),
        holes,
        library: in_use,
        edition: 1,
    };
    let held = decided(&project, &files, sets, sink);
    let forms = || held.iter().copied();
    // Names first, so that the order of lines does not matter; the library's give way.
    let of_library: Vec<FileId> = files
        .iter()
        .map(|(file, _)| *file)
        .filter(|file| library::is_library(&project.sources.get(*file).path))
        .collect();
    let ordered = || {
        let own = forms().filter(|(file, _)| !of_library.contains(file));
        own.chain(forms().filter(|(file, _)| of_library.contains(file)))
    };
    let mut names: IndexMap<String, Span> = IndexMap::new();
    for (file, form) in ordered() {
        let name = form.names.first();
        if let Some(name) =
            name.filter(|_| form.head.word != "commission" && form.head.word != "use")
        {
            let key = materials::key(form.head.word, &name.text);
            if let Some(first) = names.get(&key) {
                if of_library.contains(&file) {
                    continue;
                }
                sink.push(twice(&name.text, name.span, *first));
                continue;
            }
            names.insert(key, name.span);
        }
        match (form.head.word, name) {
            ("pattern", Some(name)) => {
                project
                    .patterns
                    .insert(name.text.clone(), Rc::new(form.clone()));
            }
            ("piece", Some(name)) => {
                project
                    .pieces
                    .insert(name.text.clone(), (file, Rc::new(form.clone())));
            }
            ("note", _) if file == FileId(0) => project.notes.push(Rc::new(form.clone())),
            ("commission", _) => project.commissions.push((file, Rc::new(form.clone()))),
            _ => {}
        }
    }
    let texts = project.sources.clone();
    for (_, form) in ordered().filter(|(_, form)| form.head.word == "param") {
        let mut cx = TopLevel::new(&texts, holes, sink);
        let Some(name) = form.names.first() else {
            continue;
        };
        // Of another kind, or out of bounds, is reported once; its users stay quiet.
        let set = sets.iter().find(|set| set.name == name.text);
        let typed = match (set, &form.set) {
            (Some(set), Some(default)) => {
                let globals = &project.globals;
                like::same_type(
                    &mut cx,
                    &project,
                    (&name.text, default, globals),
                    (&set.value, globals),
                )
            }
            _ => Ok(()),
        };
        if typed.is_err() || like::check_bounds(&mut cx, form, &project.globals, None).is_err() {
            project.globals.set(&name.text, Slot::Bad);
        }
    }
    let mut shop: Option<Span> = None;
    // A stock may be like a stock, hardware like hardware, a finish like a finish.
    let goods: Vec<Stmt> = ordered()
        .filter(|(_, form)| {
            let goods = ["stock", "hardware", "finish"];
            goods.contains(&form.head.word) || materials::HEADS.contains(&form.head.word)
        })
        .map(|(_, form)| {
            let mut unheard = Vec::new();
            let mut cx = TopLevel::new(&texts, holes, &mut unheard);
            Stmt::new(&mut cx, form, &project.globals)
        })
        .collect();
    // What others are made of comes first.
    let early = |(_, form): &(FileId, &Form)| materials::HEADS.contains(&form.head.word);
    for (_, form) in ordered()
        .filter(early)
        .chain(ordered().filter(|line| !early(line)))
    {
        let mut cx = TopLevel::new(&texts, holes, sink);
        if matches!(form.head.word, "piece" | "commission") {
            continue; // expanded when it is built, by its own parameters
        }
        let name = form
            .names
            .first()
            .map_or(form.head.word, |n| n.text.as_str());
        let name = name.to_owned();
        let made = match project
            .patterns
            .get(&name)
            .filter(|_| form.patterned.is_some())
        {
            // It is tried with its defaults; a pattern that is like another is a thing of its head.
            Some(pattern) => like::with_defaults(&mut cx, &project, &pattern.clone()),
            None => Ok(Stmt::new(&mut cx, form, &project.globals)),
        };
        let Ok(stmt) = made else {
            project.broken.push(name);
            continue;
        };
        let Ok(stmt) = like::expand_beside(&mut cx, &project, &stmt, &goods) else {
            project.broken.push(name);
            continue;
        };
        if form.patterned.is_none() {
            like::complete(&mut cx, &stmt, false);
        }
        let kept = match form.head.word {
            "species" | "core" => materials::material(&mut cx, &stmt).map(|material| {
                let key = materials::key(form.head.word, &name);
                project.materials.entry(key).or_insert(material);
            }),
            "abrasive" => abrasives::abrasive(&mut cx, &stmt).map(|abrasive| {
                project.abrasives.entry(name.clone()).or_insert(abrasive);
            }),
            "glue" => glues::glue(&mut cx, &stmt).map(|glue| {
                project.glues.entry(name.clone()).or_insert(glue);
            }),
            "stock" => declare::stock(&mut cx, &stmt)
                .and_then(|stock| materials::made_of(&mut cx, &project, &stmt, stock))
                .map(|stock| {
                    project.stocks.entry(name.clone()).or_insert(stock);
                }),
            "hardware" => declare::hardware(&mut cx, &stmt).map(|hardware| {
                project.hardware.entry(name.clone()).or_insert(hardware);
            }),
            "finish" => declare::finish(&mut cx, &stmt).map(|finish| {
                project.finishes.entry(name.clone()).or_insert(finish);
            }),
            "shop" => {
                let mut kept = Ok(());
                match shop {
                    Some(first) => sink.push(
                        Diagnostic::new(
                            &code::NAME_TWICE,
                            "a second shop",
                            form.head_span,
                            "every piece is made in one shop",
                        )
                        .at(first, "the first stands here"),
                    ),
                    None => {
                        let sound;
                        (project.shop, sound) = declare::shop(&mut cx, &project, &stmt);
                        shop = Some(form.head_span);
                        if !sound {
                            kept = Err(Poison);
                        }
                    }
                }
                kept
            }
            "edition" => edition(&mut cx, &stmt).map(|edition| project.edition = edition),
            _ => Ok(()),
        };
        if kept.is_err() {
            debug_assert!(
                sink.iter().any(Diagnostic::is_error),
                "what is poisoned was reported"
            );
            project.broken.push(name);
        }
    }
    racks(&mut project, ordered().map(|(_, form)| form), sink);
    // A `let` that nothing uses must make sense too.
    for (_, form) in forms().filter(|(_, f)| f.head.word == "let" && !f.damaged) {
        let mut cx = TopLevel::new(&texts, holes, sink);
        if let Some(name) = form.names.first() {
            let _ = value::eval(&mut cx, &project.globals, &name.as_expr());
        }
    }
    project
}

/// What is on hand, once every stock is known.
fn racks<'a>(
    project: &mut Project,
    forms: impl Iterator<Item = &'a Form>,
    sink: &mut Vec<Diagnostic>,
) {
    let texts = project.sources.clone();
    let mut first: Option<Span> = None;
    for form in forms.filter(|form| form.head.word == "rack" && form.patterned.is_none()) {
        if let Some(first) = first {
            sink.push(
                Diagnostic::new(
                    &code::NAME_TWICE,
                    "a second rack",
                    form.head_span,
                    "what is on hand is told once",
                )
                .at(first, "the first stands here"),
            );
            continue;
        }
        first = Some(form.head_span);
        let mut cx = TopLevel::new(&texts, project.holes, sink);
        let stmt = Stmt::new(&mut cx, form, &project.globals);
        let sound;
        (project.rack, sound) = rack::rack(&mut cx, project, &stmt);
        if !sound {
            project.broken.push("rack".to_owned());
        }
    }
}

fn edition(cx: &mut dyn Lookup, stmt: &Stmt) -> Res<u32> {
    let value = stmt.values.first().ok_or(Poison)?;
    let edition = value::count(cx, &stmt.env, value)?;
    if edition != 1 {
        cx.report(
            Diagnostic::new(
                &code::NAME_LATER,
                format!("edition {edition} is not known"),
                value.span,
                "this program reads edition 1",
            )
            .help("write `edition 1`, or use a newer program"),
        );
        return Err(Poison);
    }
    Ok(edition)
}

/// The lines of all files that hold: values are bound, parameters take theirs from outside, then the
/// conditions are decided. A condition may use what is named outside of conditions.
fn decided<'a>(
    project: &Project,
    files: &'a [(FileId, Vec<Entry>)],
    sets: &[Set],
    sink: &mut Vec<Diagnostic>,
) -> Vec<(FileId, &'a Form)> {
    // The library's values give way, as all that it declares.
    for (_, entries) in files.iter().rev() {
        bind_values(&project.globals, entries);
    }
    for set in sets {
        if project.globals.binds(&set.name) {
            project.globals.bind(&set.name, set.value.clone(), None);
        }
    }
    let mut held = Vec::new();
    for (file, entries) in files {
        let mut cx = TopLevel::new(&project.sources, project.has_holes(), sink);
        decide(&mut cx, &project.globals, *file, entries, &mut held);
    }
    held
}

/// Binds what `let` and `param` lines name; the first of a name counts, another is reported later.
fn bind_values(globals: &Env, entries: &[Entry]) {
    for entry in entries.iter().rev() {
        if let Entry::Form(form) = entry
            && matches!(form.head.word, "let" | "param")
        {
            super::project::bind_let(globals, form.names.first(), form.set.as_ref());
        }
    }
}

fn decide<'a>(
    cx: &mut dyn Lookup,
    globals: &Rc<Env>,
    file: FileId,
    entries: &'a [Entry],
    held: &mut Vec<(FileId, &'a Form)>,
) {
    for entry in entries {
        match entry {
            Entry::Form(form) => held.push((file, form)),
            Entry::If(branch) => {
                // A condition that can't be computed was reported; nothing of it holds.
                let Ok(holds) = value::boolean(cx, globals, &branch.condition) else {
                    continue;
                };
                let content = if holds {
                    &branch.then
                } else {
                    &branch.otherwise
                };
                bind_lets(globals, &content.lines);
                decide(cx, globals, file, &content.lines, held);
            }
        }
    }
}
