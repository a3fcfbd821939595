//! Parts against what is sold.

pub mod matched;
pub mod part_long;
pub mod part_thick;
pub mod rack_idle;

use super::view::View;
use crate::model::PartId;

/// The other parts of one cause, for a note: the first few by name.
fn also(view: &View, parts: &[PartId]) -> Option<String> {
    let (shown, more) = parts.split_at(parts.len().min(3));
    let mut names: Vec<String> = shown.iter().map(|part| view.tick(*part)).collect();
    if !more.is_empty() {
        names.push(format!("{} more", more.len()));
    }
    let last = names.pop()?;
    Some(match names.as_slice() {
        [] => format!("so is {last}"),
        _ => format!("so are {} and {last}", names.join(", ")),
    })
}
