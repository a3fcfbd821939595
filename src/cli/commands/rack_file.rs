//! The file that `layout --rack-after` writes.

use crate::cli::disk::write_whole;
use crate::elaborate::{is_library, resolve};
use crate::model::Model;
use crate::plan::layouts::{Layouts, rack};
use crate::source::{FileId, Source, Sources};
use crate::syntax::tree::{ExprKind, Node};
use crate::syntax::{parse, tidy};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// Writes the rack as it is afterwards, into a new file or over the one that this project reads; a file
/// that holds anything else than that rack stays as it is. `project` is the file that was compiled,
/// `texts` all that it reads.
///
/// # Errors
/// In words, when the file holds something else or can't be written.
pub fn write(
    model: &Model,
    layouts: &Layouts,
    texts: &Sources,
    project: &Path,
    file: &Path,
) -> Result<(), String> {
    let shown = file.display();
    let folder = project.parent().unwrap_or(Path::new(""));
    let is_read = |file: &Path| {
        let of_project = |name: &String| folder.join(name).canonicalize().ok();
        let place = file.canonicalize().ok();
        place.is_some() && model.files.iter().map(of_project).any(|own| own == place)
    };
    if file.exists() && !file.is_file() {
        return Err(format!("{shown} is no ordinary file"));
    }
    let read = |text: String| {
        let mut sources = Sources::default();
        let id = sources.add(Source::new(shown.to_string(), text));
        (sources, id)
    };
    match std::fs::read_to_string(file) {
        Ok(text) => {
            let remarks = text.replace(rack::DOC, "").contains("//");
            let (sources, id) = read(text);
            let (tree, faults) = parse(&sources, id);
            let of_rack = |node: &Node| match node {
                Node::Line(line) => ["edition", "use", "rack"].contains(&line.head.text.as_str()),
                Node::Blank => true,
                _ => false,
            };
            if !tree.nodes.iter().all(of_rack) || !faults.is_empty() {
                return Err(format!(
                    "{shown} holds more than a rack, and is not written over"
                ));
            }
            if remarks {
                return Err(format!(
                    "{shown} has remarks, which would be lost, and is not written over: name a new file"
                ));
            }
            if !tree.nodes.is_empty() && !is_read(file) {
                return Err(format!(
                    "{shown} is not the rack that this project reads, and is not written over"
                ));
            }
        }
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => {}
        Err(error) => return Err(format!("{shown} can't be read: {error}")),
    }
    let rows = layouts.rack_after(model);
    let stocks = rows
        .iter()
        .filter_map(|row| model.stocks.get(row.stock.0 as usize));
    // Called as the project's own lines call them.
    let seen = format!("{}/", folder.to_string_lossy().trim_end_matches('/'));
    let texts = texts
        .clone()
        .called(|path| path.strip_prefix(&seen).unwrap_or(path).to_owned());
    let declared = stocks.map(|stock| texts.get(stock.origin.span.file).path.as_str());
    let place = within(folder, file);
    let uses = uses(&texts, &declared.collect(), place.as_deref());
    let (sources, id) = read(rack::text(model, &rows, &uses));
    let text = tidy(&sources, id).map_err(|_| format!("{shown} can't be laid out"))?;
    write_whole(file, &text).map_err(|error| format!("{shown} can't be written: {error}"))
}

/// Where a file lies in a folder, its name last, as texts of a project write it; `None` outside of it.
fn within(folder: &Path, file: &Path) -> Option<String> {
    let parent = |of: &Path| match of.parent() {
        Some(parent) if parent != Path::new("") => parent.canonicalize().ok(),
        _ => Path::new(".").canonicalize().ok(),
    };
    let folder = match folder == Path::new("") {
        true => Path::new(".").canonicalize().ok()?,
        false => folder.canonicalize().ok()?,
    };
    let whole = parent(file)?.join(file.file_name()?);
    let inside = whole.strip_prefix(folder).ok()?;
    let names: Option<Vec<&str>> = inside.iter().map(|name| name.to_str()).collect();
    Some(names?.join("/"))
}

/// What a file at `place` uses to know these files' declarations, as its lines write them. Files that use it
/// are left out, and the first of the project, which is to use it: files can't use each other in a circle.
fn uses(texts: &Sources, declared: &BTreeSet<&str>, place: Option<&str>) -> Vec<String> {
    let graph: BTreeMap<String, Vec<String>> = texts
        .iter()
        .map(|(id, source)| (source.path.clone(), used(texts, id, &source.path)))
        .collect();
    let first = texts.iter().next().map(|(_, source)| source.path.clone());
    let reaches = |from: &str, to: &str| {
        let mut seen = BTreeSet::from([from.to_owned()]);
        let mut open = vec![from.to_owned()];
        while let Some(file) = open.pop() {
            if file == to {
                return true;
            }
            let next = graph.get(&file).into_iter().flatten();
            open.extend(next.filter(|file| seen.insert((*file).clone())).cloned());
        }
        false
    };
    let up = place.map_or(0, |place| place.matches('/').count());
    let mut out = BTreeSet::new();
    for path in declared {
        let circle = place.is_some_and(|place| reaches(path, place));
        if is_library(path) {
            out.insert("std".to_owned());
        } else if !circle && first.as_deref() != Some(path) {
            out.insert(format!("\"{}{path}\"", "../".repeat(up)));
        }
    }
    out.into_iter().collect()
}

/// The files that a file uses.
fn used(texts: &Sources, id: FileId, path: &str) -> Vec<String> {
    let (tree, _) = parse(texts, id);
    let lines = tree.nodes.iter().filter_map(|node| match node {
        Node::Line(line) if line.head.text == "use" => line.items.first()?.exprs.first(),
        _ => None,
    });
    let targets = lines.filter_map(|item| match &item.kind {
        ExprKind::Text(target) => resolve(path, target),
        _ => None,
    });
    targets.collect()
}
