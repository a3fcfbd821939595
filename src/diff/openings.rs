//! Openings: their clear sizes. Those of one name and another index that changed alike are told once.

use super::changes::{Names, OpeningChange};
use super::matching::Matched;
use super::pieces::{extents, presence};
use crate::model::{Model, Opening, OpeningId};
use std::collections::{BTreeMap, BTreeSet};

/// Every opening whose clear size changed, or that came or went.
pub(super) fn compare(old: &Model, new: &Model, matched: &Matched) -> Vec<OpeningChange> {
    let mut out: Vec<OpeningChange> = Vec::new();
    for pair in &matched.pieces {
        // A piece that came or went is told as a whole.
        let (Some(was), Some(is)) = (
            pair.old.and_then(|i| old.pieces.get(i)),
            pair.new.and_then(|i| new.pieces.get(i)),
        ) else {
            continue;
        };
        let mut pairs: BTreeMap<OpeningId, OpeningId> =
            pair.openings.iter().map(|(o, n)| (*n, *o)).collect();
        let mut left: BTreeSet<OpeningId> = ids(&was.openings).collect();
        let mut all: Vec<(Option<&Opening>, Option<&Opening>)> = Vec::new();
        for n in ids(&is.openings) {
            let o = pairs.remove(&n);
            o.inspect(|o| {
                left.remove(o);
            });
            all.push((o.map(|o| was.opening(o)), Some(is.opening(n))));
        }
        all.extend(left.into_iter().map(|o| (Some(was.opening(o)), None)));
        let from = out.len();
        for (o, n) in all {
            let sizes = extents(o.map(|o| &o.clear), n.map(|n| &n.clear));
            if sizes.is_empty() {
                continue;
            }
            let names = Names {
                old: o.map(|o| o.path.clone()),
                new: n.map(|n| n.path.clone()),
            };
            let alike = out.iter_mut().skip(from).find(|change| {
                change.sizes == sizes
                    && change
                        .names
                        .first()
                        .is_some_and(|first| same_array(first, &names))
            });
            match alike {
                Some(change) => change.names.push(names),
                None => out.push(OpeningChange {
                    piece: is.title.clone(),
                    units: is.units,
                    presence: presence(o.is_some(), n.is_some()),
                    names: vec![names],
                    sizes,
                }),
            }
        }
    }
    out
}

fn ids(openings: &[Opening]) -> impl Iterator<Item = OpeningId> {
    (0..openings.len() as u32).map(OpeningId)
}

/// Whether two names are of one array.
pub(super) fn same_array(a: &Names, b: &Names) -> bool {
    let base = |name: &Option<String>| name.as_deref().map(without_index);
    base(&a.old) == base(&b.old) && base(&a.new) == base(&b.new)
}

/// `body.till` of `body.till[2,6]`.
pub(super) fn without_index(path: &str) -> String {
    let mut out = String::new();
    let mut depth = 0;
    for c in path.chars() {
        match c {
            '[' => depth += 1,
            ']' => depth -= 1,
            c if depth == 0 => out.push(c),
            _ => {}
        }
    }
    out
}
