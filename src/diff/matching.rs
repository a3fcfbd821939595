//! Which piece, opening and part of the old model is which of the new one.
//!
//! First by name: a path is what a maker calls a thing. What is left over is matched by what it is
//! and where it lies: the same box in the piece, then the same shape elsewhere, then boxes that
//! mostly overlap. Each step is the same whichever revision is called the old one.

use crate::model::{Box3, Model, Opening, OpeningId, Part, PartId, Piece, Role};
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// What is which.
#[derive(Debug)]
pub struct Matched {
    /// Pieces: old index, new index; in the order of the new model, what went at the end.
    pub pieces: Vec<PieceMatch>,
}

/// A piece in either or both.
#[derive(Debug)]
pub struct PieceMatch {
    /// Its index in the old model.
    pub old: Option<usize>,
    /// Its index in the new model.
    pub new: Option<usize>,
    /// Its parts that are in both.
    pub parts: Vec<(PartId, PartId)>,
    /// Its openings that are in both.
    pub openings: Vec<(OpeningId, OpeningId)>,
}

impl Matched {
    /// The match of an old piece.
    pub fn of_old(&self, piece: usize) -> Option<&PieceMatch> {
        self.pieces.iter().find(|m| m.old == Some(piece))
    }
}

/// Matches all of two models.
pub fn match_models(old: &Model, new: &Model) -> Matched {
    let mut pieces: Vec<PieceMatch> = Vec::new();
    let pairs = match_pieces(old, new);
    for n in 0..new.pieces.len() {
        let o = pairs.iter().find(|(_, k)| *k == n).map(|(o, _)| *o);
        pieces.push(whole(old, new, o, Some(n)));
    }
    for o in 0..old.pieces.len() {
        if !pairs.iter().any(|(k, _)| *k == o) {
            pieces.push(whole(old, new, Some(o), None));
        }
    }
    Matched { pieces }
}

fn whole(old: &Model, new: &Model, o: Option<usize>, n: Option<usize>) -> PieceMatch {
    let was = o.and_then(|i| old.pieces.get(i));
    let is = n.and_then(|i| new.pieces.get(i));
    let (parts, openings) = match (was, is) {
        (Some(was), Some(is)) => (match_parts(old, was, new, is), match_openings(was, is)),
        _ => (Vec::new(), Vec::new()),
    };
    PieceMatch {
        old: o,
        new: n,
        parts,
        openings,
    }
}

/// By name and parameters, by name, then by the share of parts that are called the same.
fn match_pieces(old: &Model, new: &Model) -> Vec<(usize, usize)> {
    let mut pairing = Pairing::new(old.pieces.len(), new.pieces.len());
    let of = |model: &Model, i: usize, params: bool| {
        let piece = model.pieces.get(i)?;
        let params = if params { piece.params.as_slice() } else { &[] };
        Some((piece.name.clone(), params.to_vec()))
    };
    pairing.by(|o| of(old, o, true), |n| of(new, n, true));
    pairing.by(|o| of(old, o, false), |n| of(new, n, false));
    let only = pairing.old.len() == 1 && pairing.new.len() == 1;
    pairing.best(|o, n| {
        let (a, b) = (old.pieces.get(o)?, new.pieces.get(n)?);
        let paths = |piece: &Piece| -> BTreeSet<String> {
            piece.parts.iter().map(|part| part.path.clone()).collect()
        };
        let (x, y) = (paths(a), paths(b));
        let common = x.intersection(&y).count() as f64;
        let share = common / x.len().max(y.len()).max(1) as f64;
        let likely = share >= 0.5 || only;
        likely.then(|| (share, [a.name.clone(), b.name.clone()]))
    });
    pairing.found
}

fn match_parts(
    old_model: &Model,
    old: &Piece,
    new_model: &Model,
    new: &Piece,
) -> Vec<(PartId, PartId)> {
    let mut pairing = Pairing::new(old.parts.len(), new.parts.len());
    let stock = |model: &Model, part: &Part| {
        let stock = model.stocks.get(part.stock.0 as usize);
        stock.map(|stock| stock.name.clone())
    };
    let (a, b) = (|i: usize| old.parts.get(i), |i: usize| new.parts.get(i));
    // A name that is given to another kind of thing is another thing.
    let path = |part: &Part| (part.path.clone(), class(part));
    pairing.by(|o| a(o).map(path), |n| b(n).map(path));
    let place = |part: &Part| (class(part), part.finished);
    pairing.by(|o| a(o).map(place), |n| b(n).map(place));
    let of_old = |part: &Part| (class(part), part.finished_size, stock(old_model, part));
    let of_new = |part: &Part| (class(part), part.finished_size, stock(new_model, part));
    pairing.by(|o| a(o).map(of_old), |n| b(n).map(of_new));
    pairing.best(|o, n| {
        let (x, y) = (a(o)?, b(n)?);
        let share = overlap(&x.finished, &y.finished);
        let likely = class(x) == class(y) && share >= 0.5;
        likely.then(|| (share, [x.path.clone(), y.path.clone()]))
    });
    let found = pairing.found.into_iter();
    found
        .map(|(o, n)| (PartId(o as u32), PartId(n as u32)))
        .collect()
}

fn match_openings(old: &Piece, new: &Piece) -> Vec<(OpeningId, OpeningId)> {
    let mut pairing = Pairing::new(old.openings.len(), new.openings.len());
    let (a, b) = (
        |i: usize| old.openings.get(i),
        |i: usize| new.openings.get(i),
    );
    let path = |opening: &Opening| opening.path.clone();
    pairing.by(|o| a(o).map(path), |n| b(n).map(path));
    // A space and what it is divided into are told apart, though one may be as large as the other.
    let place = |opening: &Opening| (opening.clear, opening.divided);
    pairing.by(|o| a(o).map(place), |n| b(n).map(place));
    pairing.best(|o, n| {
        let (x, y) = (a(o)?, b(n)?);
        let share = overlap(&x.clear, &y.clear);
        let likely = x.divided == y.divided && share >= 0.5;
        likely.then(|| (share, [x.path.clone(), y.path.clone()]))
    });
    let found = pairing.found.into_iter();
    found
        .map(|(o, n)| (OpeningId(o as u32), OpeningId(n as u32)))
        .collect()
}

/// What a part is, apart from its name: roles that stand in for each other count as one.
fn class(part: &Part) -> Role {
    match part.role {
        // A lid is a top that lies on the sides.
        Role::Lid => Role::Top,
        role => role,
    }
}

/// The share of two boxes that both hold.
fn overlap(a: &Box3, b: &Box3) -> f64 {
    let Some(both) = a.meet(b) else { return 0.0 };
    let volume = |of: &Box3| -> f64 { (0..3).map(|i| (of.hi[i] - of.lo[i]).to_f64_mm()).product() };
    let common = volume(&both);
    let all = volume(a) + volume(b) - common;
    if all > 0.0 { common / all } else { 0.0 }
}

/// More things left over than this are not compared each with each.
const MOST: usize = 200;

/// Two lists of which some are paired.
struct Pairing {
    old: BTreeSet<usize>,
    new: BTreeSet<usize>,
    found: Vec<(usize, usize)>,
}

impl Pairing {
    fn new(old: usize, new: usize) -> Pairing {
        Pairing {
            old: (0..old).collect(),
            new: (0..new).collect(),
            found: Vec::new(),
        }
    }

    fn pair(&mut self, o: usize, n: usize) {
        self.old.remove(&o);
        self.new.remove(&n);
        self.found.push((o, n));
    }

    /// Pairs those of equal key, in turn.
    fn by<K: Ord>(
        &mut self,
        of_old: impl Fn(usize) -> Option<K>,
        of_new: impl Fn(usize) -> Option<K>,
    ) {
        let mut waiting: BTreeMap<K, VecDeque<usize>> = BTreeMap::new();
        for o in &self.old {
            if let Some(key) = of_old(*o) {
                waiting.entry(key).or_default().push_back(*o);
            }
        }
        for n in self.new.clone() {
            let queue = of_new(n).and_then(|key| waiting.get_mut(&key));
            if let Some(o) = queue.and_then(VecDeque::pop_front) {
                self.pair(o, n);
            }
        }
    }

    /// Pairs what is most alike first: the score of a likely pair, and names that tell equal scores
    /// apart.
    fn best(&mut self, score: impl Fn(usize, usize) -> Option<(f64, [String; 2])>) {
        if self.old.len() > MOST || self.new.len() > MOST {
            return;
        }
        let mut all = Vec::new();
        for o in &self.old {
            for n in &self.new {
                if let Some((share, mut names)) = score(*o, *n) {
                    names.sort();
                    all.push((share, names, *o, *n));
                }
            }
        }
        all.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.cmp(&b.1)));
        for (_, _, o, n) in all {
            if self.old.contains(&o) && self.new.contains(&n) {
                self.pair(o, n);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::fixture::{self, dmm, id};

    /// The fixture with some of its parts changed.
    fn edited(edit: impl Fn(&mut Piece)) -> Model {
        let mut model = fixture::cabinet();
        edit(&mut model.pieces[0]);
        model
    }

    /// The new path of an old part.
    fn became(new: &Model, part: PartId) -> Option<String> {
        let matched = match_models(&fixture::cabinet(), new);
        let pair = matched.pieces[0].parts.iter().find(|(o, _)| *o == part);
        pair.map(|(_, n)| new.pieces[0].part(*n).path.clone())
    }

    #[test]
    fn by_name_then_by_place_then_by_what_mostly_overlaps() {
        let deck = id::DECK.0 as usize;
        let named = edited(|piece| piece.parts[deck].path = "body.ledge".into());
        assert_eq!(became(&named, id::DECK).as_deref(), Some("body.ledge"));
        // Called otherwise and a little thinner at the same time.
        let thinner = edited(|piece| {
            piece.parts[deck].path = "body.ledge".into();
            piece.parts[deck].finished.hi[2] -= dmm(2);
            piece.parts[deck].finished_size.thick -= dmm(2);
        });
        assert_eq!(became(&thinner, id::DECK).as_deref(), Some("body.ledge"));
        // Elsewhere and of another size it is another part.
        let other = edited(|piece| {
            piece.parts[deck].path = "body.ledge".into();
            let b = &mut piece.parts[deck].finished;
            b.lo[2] += dmm(500);
            b.hi[2] += dmm(500);
            piece.parts[deck].finished_size.width -= dmm(300);
        });
        assert_eq!(became(&other, id::DECK), None);
        // A name that is now another kind of thing's is no match.
        let swapped = edited(|piece| piece.parts[deck].role = Role::Divider);
        assert_eq!(became(&swapped, id::DECK), None);
    }
}
