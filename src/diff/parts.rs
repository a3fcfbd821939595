//! Parts: what came, went, or is made otherwise; what only has another name or stands elsewhere.
//!
//! Sizes are those to which a part is sawn, as in the cut list; where only the finished size is
//! another, that. Parts that are called alike and change alike are told once.

use super::changes::{Move, Names, PartChange, Presence, Rename, Reuse, SizeStep};
use super::cuts;
use super::figure::{Figure, Step};
use super::matching::{Matched, PieceMatch};
use super::openings::without_index;
use super::pieces::presence;
use super::reuse::{Cutting, reuse};
use crate::measure::Length;
use crate::model::{LocalAxis, Model, Part, PartId, PartRef, Piece, StockKind};
use indexmap::IndexMap;
use std::collections::BTreeMap;

/// What [`compare`] gives.
pub(super) struct Compared {
    pub(super) parts: Vec<PartChange>,
    pub(super) renames: Vec<Rename>,
    pub(super) moves: Vec<Move>,
}

/// Compares the parts of every piece that is in both.
pub(super) fn compare(old: &Model, new: &Model, matched: &Matched) -> Compared {
    let (marks_old, marks_new) = (marks(old), marks(new));
    let mut out = Compared {
        parts: Vec::new(),
        renames: Vec::new(),
        moves: Vec::new(),
    };
    for pair in &matched.pieces {
        let (Some(o), Some(n)) = (pair.old, pair.new) else {
            continue;
        };
        let (Some(was), Some(is)) = (old.pieces.get(o), new.pieces.get(n)) else {
            continue;
        };
        let both = Both {
            old: Side {
                model: old,
                piece: was,
                index: o as u32,
                marks: &marks_old,
            },
            new: Side {
                model: new,
                piece: is,
                index: n as u32,
                marks: &marks_new,
            },
            others: pair.parts.iter().copied().collect(),
        };
        both.compare(pair, &mut out);
    }
    out
}

type Marks = BTreeMap<PartRef, u32>;

fn marks(model: &Model) -> Marks {
    let groups = model.groups.iter();
    groups
        .flat_map(|group| group.members.iter().map(|(at, _)| (*at, group.mark)))
        .collect()
}

/// A piece of one revision.
struct Side<'a> {
    model: &'a Model,
    piece: &'a Piece,
    index: u32,
    marks: &'a Marks,
}

impl Side<'_> {
    fn at(&self, part: &Part) -> PartRef {
        PartRef {
            piece: self.index,
            part: part.id,
        }
    }

    /// Name and title of a part's stock.
    fn stock(&self, part: &Part) -> (&str, &str) {
        let stock = self.model.stocks.get(part.stock.0 as usize);
        stock.map_or(("", ""), |stock| (&stock.name, &stock.title))
    }
}

/// A piece in both revisions.
struct Both<'a> {
    old: Side<'a>,
    new: Side<'a>,
    /// Which old part is which new one.
    others: BTreeMap<PartId, PartId>,
}

impl Both<'_> {
    fn compare(&self, pair: &PieceMatch, out: &mut Compared) {
        let mut changes: IndexMap<String, PartChange> = IndexMap::new();
        let mut moves: IndexMap<[Length; 3], Move> = IndexMap::new();
        let mut add = |change: PartChange| {
            let Some(names) = change.names.first().cloned() else {
                return;
            };
            let key = PartChange {
                names: Vec::new(),
                within: String::new(),
                ..change.clone()
            };
            let key = format!("{key:?}");
            match changes.get_mut(&key) {
                Some(known) => {
                    known.names.push(names);
                    known.within = common(&known.within, &change.within);
                }
                None => {
                    changes.insert(key, change);
                }
            }
        };
        let back: BTreeMap<PartId, PartId> = pair.parts.iter().map(|(o, n)| (*n, *o)).collect();
        for is in &self.new.piece.parts {
            let Some(was) = back.get(&is.id).map(|o| self.old.piece.part(*o)) else {
                add(self.alone(&self.new, is, Presence::Added));
                continue;
            };
            if let Some(change) = self.changed(was, is) {
                add(change);
            } else if was.finished != is.finished {
                let by = [0, 1, 2].map(|i| is.finished.lo[i] - was.finished.lo[i]);
                let entry = moves.entry(by).or_insert_with(|| Move {
                    piece: self.new.piece.title.clone(),
                    units: self.new.piece.units,
                    by,
                    names: Vec::new(),
                    labels: Vec::new(),
                });
                entry.names.push(names(Some(was), Some(is)));
                if !entry.labels.contains(&is.label) {
                    entry.labels.push(is.label.clone());
                }
            }
        }
        for was in &self.old.piece.parts {
            if !self.others.contains_key(&was.id) {
                add(self.alone(&self.old, was, Presence::Gone));
            }
        }
        let mut changes: Vec<PartChange> = changes.into_values().collect();
        for change in &mut changes {
            change.names.sort_by_key(|names| natural(names.now()));
        }
        out.parts.extend(changes);
        out.moves.extend(moves.into_values());
        out.renames.extend(self.renames(pair));
    }

    /// A part that is in one only.
    fn alone(&self, side: &Side<'_>, part: &Part, presence: Presence) -> PartChange {
        let added = presence == Presence::Added;
        let size = side.model.sawn_size(side.at(part));
        let stock = Some(Figure::Words(side.stock(part).1.to_owned()));
        let step = |figure: Option<Figure>| {
            if added {
                Step::new(None, figure)
            } else {
                Step::new(figure, None)
            }
        };
        PartChange {
            piece: self.new.piece.title.clone(),
            units: self.new.piece.units,
            within: side.piece.assembly(part.assembly).label.clone(),
            label: part.label.clone(),
            mark: side.marks.get(&side.at(part)).copied(),
            presence,
            names: vec![if added {
                names(None, Some(part))
            } else {
                names(Some(part), None)
            }],
            sizes: LocalAxis::ALL
                .map(|axis| SizeStep {
                    axis,
                    finished: false,
                    step: step(Some(Figure::Length(size.along(axis)))),
                })
                .to_vec(),
            size,
            stock: Some(step(stock)),
            cuts: Vec::new(),
            reuse: if added { Reuse::Make } else { Reuse::NotNeeded },
        }
    }

    /// How a part is made otherwise; `None` if it is not.
    fn changed(&self, was: &Part, is: &Part) -> Option<PartChange> {
        let sawn_old = self.old.model.sawn_size(self.old.at(was));
        let sawn_new = self.new.model.sawn_size(self.new.at(is));
        let sizes: Vec<SizeStep> = LocalAxis::ALL
            .into_iter()
            .filter_map(|axis| {
                let sawn = Step::lengths(sawn_old.along(axis), sawn_new.along(axis));
                let (a, b) = (was.finished_size.along(axis), is.finished_size.along(axis));
                let finished = sawn.is_none();
                let step = sawn.or_else(|| Step::lengths(a, b))?;
                Some(SizeStep {
                    axis,
                    finished,
                    step,
                })
            })
            .collect();
        let (a, b) = (self.old.stock(was), self.new.stock(is));
        let stock = if a.0 == b.0 {
            None
        } else {
            Step::words(a.1, b.1).or_else(|| Step::words(a.0, b.0))
        };
        let cuts = cuts::compare((self.old.piece, was), (self.new.piece, is), &self.others);
        if sizes.is_empty() && stock.is_none() && cuts.is_empty() {
            return None;
        }
        let kind = |side: &Side<'_>, part: &Part| {
            let stock = side.model.stocks.get(part.stock.0 as usize);
            matches!(stock.map(|s| &s.kind), Some(StockKind::Board { .. }))
        };
        let can = reuse(
            &Cutting {
                size: was.size,
                cuts: &was.cuts,
            },
            &Cutting {
                size: is.size,
                cuts: &is.cuts,
            },
            stock.is_some(),
            kind(&self.old, was) && kind(&self.new, is),
        );
        Some(PartChange {
            piece: self.new.piece.title.clone(),
            units: self.new.piece.units,
            within: self.new.piece.assembly(is.assembly).label.clone(),
            label: is.label.clone(),
            mark: self.new.marks.get(&self.new.at(is)).copied(),
            presence: presence(true, true),
            names: vec![names(Some(was), Some(is))],
            sizes,
            size: sawn_new,
            stock,
            cuts,
            reuse: can,
        })
    }

    /// What only has another name: told by what the rename is about, not for each part.
    fn renames(&self, pair: &PieceMatch) -> Vec<Rename> {
        let mut found: IndexMap<(String, String), (u32, u32)> = IndexMap::new();
        for (o, n) in &pair.parts {
            let (a, b) = (&self.old.piece.part(*o).path, &self.new.piece.part(*n).path);
            if a != b {
                found.entry(about(a, b)).or_default().0 += 1;
            }
        }
        for (o, n) in &pair.openings {
            let was = &self.old.piece.opening(*o).path;
            let is = &self.new.piece.opening(*n).path;
            if was != is {
                found.entry(about(was, is)).or_default().1 += 1;
            }
        }
        let rename = |((old, new), (parts, openings))| Rename {
            piece: self.new.piece.title.clone(),
            old,
            new,
            parts,
            openings,
        };
        found.into_iter().map(rename).collect()
    }
}

/// What two things stand in that are made alike: `Gates` of `Gates, left` and `Gates, right`.
fn common(a: &str, b: &str) -> String {
    let both = a.split(", ").zip(b.split(", "));
    let same: Vec<&str> = both.take_while(|(x, y)| x == y).map(|(x, _)| x).collect();
    if same.is_empty() {
        a.to_owned()
    } else {
        same.join(", ")
    }
}

/// What a rename is about: `body.deck` of `body.deck.band_front`, `body.post` of `body.post[2]`.
fn about(old: &str, new: &str) -> (String, String) {
    let (mut a, mut b): (Vec<&str>, Vec<&str>) =
        (old.split('.').collect(), new.split('.').collect());
    while a.len() > 1 && b.len() > 1 && a.last() == b.last() {
        a.pop();
        b.pop();
    }
    let (a, b) = (a.join("."), b.join("."));
    let (short_a, short_b) = (without_index(&a), without_index(&b));
    if short_a == short_b {
        (a, b)
    } else {
        (short_a, short_b)
    }
}

fn names(old: Option<&Part>, new: Option<&Part>) -> Names {
    Names {
        old: old.map(|part| part.path.clone()),
        new: new.map(|part| part.path.clone()),
    }
}

/// A name for sorting, numbers by their size: `post[2]` before `post[10]`.
pub(super) fn natural(name: &str) -> Vec<(String, u64)> {
    let mut out = vec![(String::new(), 0u64)];
    for c in name.chars() {
        let Some((text, number)) = out.last_mut() else {
            break;
        };
        match c.to_digit(10) {
            Some(digit) => *number = number.saturating_mul(10).saturating_add(u64::from(digit)),
            None if *number > 0 => out.push((c.to_string(), 0)),
            None => text.push(c),
        }
    }
    out
}
